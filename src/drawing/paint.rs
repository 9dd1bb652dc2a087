//! Painting of the parts into a view: grounds, section lining, assumed
//! outlines, measured edges, solid sheets, the kept state, axes.
//!
//! The same parts go through here for every view; only scale and clipping
//! differ, so a detail can't disagree with the main view.

use super::clip::{Convex, Ring, path_of, rings_of};
use super::dim::line_path;
use super::hatch;
use super::input::SectionInput;
use super::list::{Dash, DisplayList, Ink, Part, Shape, Term};
use super::nearest::Nearest;
use super::parts::{self, LineKind, Moves, Parts, Piece};
use super::pens::Pens;
use super::view::View;
use crate::engine::{Group, Key};
use kurbo::{Affine, BezPath, ParamCurve as _, ParamCurveNearest as _, PathSeg, Point, Rect, Shape as _};

/// An area of the model that belongs to one term of the clearance volume.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tint {
    pub term: Term,
    pub area: BezPath,
}

/// The parts of one cylinder at one crank angle, ready to be painted.
#[derive(Clone, Debug)]
pub(super) struct Scene<'a> {
    pub input: SectionInput<'a>,
    pub parts: Parts,
    pub ghost: Option<Parts>,
    pub step: Option<Parts>,
    pub tints: Vec<Tint>,
    pub nearest: Nearest,
    pub pens: &'a Pens,
}

/// One view of a scene.
#[derive(Clone, Debug)]
pub(super) struct Pane<'a> {
    /// The position of the model.
    pub view: View,
    /// The outline outside which everything is cut off.
    pub clip: Option<Convex>,
    /// Whether axes are drawn, whose ends lie outside of the engine.
    pub axes: bool,
    /// Factor of the pitch of lining.
    pub lining: f64,
    /// Texts that lining is interrupted for.
    pub holes: &'a [Convex],
}

impl<'a> Scene<'a> {
    pub(super) fn new(input: SectionInput<'a>, pens: &'a Pens) -> Self {
        let angle = input.angle_deg.to_radians();
        let parts = parts::parts(input.parts, angle);
        let tints = if input.tints { tints(&input, &parts) } else { Vec::new() };
        let nearest = Nearest::of(input.parts, &parts);
        let ghost = input.ghost.map(|kept| parts::parts(kept, angle));
        let step = input.step.map(|next| parts::parts(next, angle));
        Self { input, parts, ghost, step, tints, nearest, pens }
    }

    /// Returns the same scene with parts that take no more room than at this
    /// crank angle.
    pub(super) fn standing_still(self) -> Self {
        Self { parts: self.parts.standing_still(), ..self }
    }

    /// Returns the ink and width of a dimension's edge; `None` where the
    /// assumed outline is drawn instead.
    fn edge(&self, part: Part, key: Key) -> Option<(Ink, f64)> {
        let marked = self.input.marked;
        let carried = |group| Key::of_group(group).any(|key| marked.has(key));
        // A part that rests on a marked one moves with it.
        let moved = match part {
            Part::Barrel => carried(Group::Tower),
            Part::Piston => carried(Group::Reach),
            _ => false,
        };
        let measured = self.input.measured.has(key);
        let width = if measured { self.pens.wide } else { self.pens.narrow };
        if moved || marked.has(key) {
            Some((Ink::Accent, width))
        } else {
            measured.then_some((Ink::Edge, width))
        }
    }

    /// Paints everything that can be seen in a pane.
    pub(super) fn paint(&self, pane: &Pane<'_>, list: &mut DisplayList) {
        let (webs, others): (Vec<&Piece>, Vec<&Piece>) = self
            .parts
            .pieces
            .iter()
            .filter(|piece| !is_sheet(piece))
            .partition(|piece| piece.part == Part::Web);
        for piece in webs {
            self.piece(pane, piece, list);
        }
        self.lines(pane, list, |kind| kind == LineKind::ThrowCircle);
        for tint in &self.tints {
            if let Some((path, _)) = pane.area(&tint.area, self.pens.tolerance) {
                list.shapes.push(Shape::Fill { path, ink: Ink::Term(tint.term) });
            }
        }
        for &piece in &others {
            self.piece(pane, piece, list);
        }
        for piece in others {
            for edge in &piece.measured {
                if let Some((ink, width)) = self.edge(piece.part, edge.key) {
                    pane.stroke(&edge.path, ink, width, Dash::Solid, self.pens, list);
                }
            }
        }
        self.sheets(pane, list);
        self.ghost(pane, list);
        self.nearest.paint(pane, self.pens, list);
        if pane.axes {
            self.lines(pane, list, |kind| kind != LineKind::ThrowCircle);
        }
    }

    /// Paints ground, lining and assumed outline of a piece.
    fn piece(&self, pane: &Pane<'_>, piece: &Piece, list: &mut DisplayList) {
        let Some((path, rings)) = pane.area(&piece.outline, self.pens.tolerance) else {
            return;
        };
        let solid = piece.part == Part::Ring;
        let ink = if solid { Ink::Solid } else { Ink::Part(piece.part) };
        list.shapes.push(Shape::Fill { path, ink });
        if solid {
            return;
        }
        if piece.cut {
            self.lining(pane, piece, &rings, list);
        }
        for path in std::iter::once(&piece.outline).chain(&piece.details) {
            pane.stroke(path, Ink::Assumed, self.pens.narrow, Dash::Solid, self.pens, list);
        }
    }

    fn lining(&self, pane: &Pane<'_>, piece: &Piece, rings: &[Ring], list: &mut DisplayList) {
        let mut lining = self.pens.lining(piece.part);
        lining.pitch *= pane.lining;
        lining.angle_deg += pane.view.turn().deg();
        let lines = hatch::hatch(rings, lining, pane.view.out_from_model(piece.anchor));
        let path = hatch::path_of(&hatch::without(lines, pane.holes));
        push(list, path, Ink::Hatch, self.pens.narrow, Dash::Solid);
    }

    /// Paints shims and gaskets: solid where they are thin on the output, lined
    /// where they are thick. Sheets that lie on each other and are too thin to
    /// be told apart are drawn as one.
    fn sheets(&self, pane: &Pane<'_>, list: &mut DisplayList) {
        let scale = pane.view.scale();
        for stack in stacks(&self.parts.pieces) {
            let (Some(first), Some(last)) = (stack.first(), stack.last()) else { continue };
            let (low, high) = (extent(first).0, extent(last).1);
            let thinnest =
                stack.iter().map(|p| extent(p).1 - extent(p).0).fold(f64::INFINITY, f64::min) * scale;
            let apart = self.pens.least_solid + self.pens.least_gap;
            if stack.len() == 1 && thinnest >= self.pens.least_solid || thinnest >= apart {
                self.foils(pane, &stack, list);
                continue;
            }
            let marked = stack.iter().any(|piece| self.is_marked(piece));
            let ink = if marked { Ink::Accent } else { Ink::Solid };
            let thickness = (high - low).max(self.pens.least_solid / scale);
            let middle = (low + high) / 2.0;
            // The widest sheet represents all.
            let widest = stack.iter().max_by(|a, b| width(a).total_cmp(&width(b))).unwrap_or(first);
            let (y0, y1) = extent(widest);
            let stretch = Affine::translate((0.0, middle))
                * Affine::scale_non_uniform(1.0, thickness / (y1 - y0))
                * Affine::translate((0.0, -(y0 + y1) / 2.0));
            pane.fill(&(stretch * &widest.outline), ink, self.pens, list);
        }
    }

    /// Paints sheets that are thick enough to be drawn one by one.
    fn foils(&self, pane: &Pane<'_>, stack: &[&Piece], list: &mut DisplayList) {
        let scale = pane.view.scale();
        let is_solid = |piece: &Piece| (extent(piece).1 - extent(piece).0) * scale < self.pens.solid_below;
        let mut below: Option<&Piece> = None;
        for &piece in stack {
            let marked = self.is_marked(piece);
            if is_solid(piece) {
                let ink = if marked { Ink::Accent } else { Ink::Solid };
                pane.fill(&piece.outline, ink, self.pens, list);
            } else {
                self.piece(pane, piece, list);
                for edge in &piece.measured {
                    if let Some((ink, width)) = self.edge(piece.part, edge.key) {
                        pane.stroke(&edge.path, ink, width, Dash::Solid, self.pens, list);
                    }
                }
            }
            // Two solid sheets that touch are kept apart by a light line.
            if let Some(other) = below.filter(|other| is_solid(other) && is_solid(piece)) {
                let seam = extent(piece).0;
                let frame = piece.outline.bounding_box().union(other.outline.bounding_box());
                let path = line_path(Point::new(frame.x0, seam), Point::new(frame.x1, seam));
                pane.stroke(&path, Ink::Sheet, self.pens.least_gap, Dash::Solid, self.pens, list);
            }
            below = Some(piece);
        }
    }

    fn is_marked(&self, piece: &Piece) -> bool {
        // The faces of the head gasket are edges of what it lies between.
        let thickness = (piece.part == Part::Gasket && !is_under_barrel(&self.parts, piece))
            .then_some(Key::GasketThickness);
        let mut keys = piece.measured.iter().map(|edge| edge.key).chain(thickness);
        keys.any(|key| self.input.marked.has(key))
    }

    /// Returns the edges of a kept state, in the model.
    pub(super) fn ghost_edges(&self, view: &View) -> Vec<&BezPath> {
        self.ghost.as_ref().map_or_else(Vec::new, |ghost| self.edges_apart(ghost, view))
    }

    /// Returns the edges of another state that lie visibly apart from the
    /// present ones.
    fn edges_apart<'b>(&self, other: &'b Parts, view: &View) -> Vec<&'b BezPath> {
        let visible = 1.5 * self.pens.narrow / view.scale();
        let mut edges = Vec::new();
        for kept in &other.pieces {
            if !matches!(kept.part, Part::Barrel | Part::Head | Part::Piston) {
                continue;
            }
            let same = self.parts.pieces.iter().filter(|piece| piece.part == kept.part);
            let now: Vec<PathSeg> =
                same.flat_map(|piece| &piece.measured).flat_map(|edge| edge.path.segments()).collect();
            let apart = |path: &BezPath| path.segments().any(|kept| lies_apart(kept, &now, visible));
            edges.extend(kept.measured.iter().map(|edge| &edge.path).filter(|path| apart(path)));
        }
        edges
    }

    /// Paints a kept state dashed, and the state after one step of the
    /// dimension being changed as a thin second outline.
    fn ghost(&self, pane: &Pane<'_>, list: &mut DisplayList) {
        for path in self.ghost_edges(&pane.view) {
            pane.stroke(path, Ink::Ghost, 1.4 * self.pens.narrow, Dash::Ghost, self.pens, list);
        }
        if let Some(step) = &self.step {
            for path in self.edges_apart(step, &pane.view) {
                pane.stroke(path, Ink::Accent, self.pens.narrow, Dash::Solid, self.pens, list);
            }
        }
    }

    fn lines(&self, pane: &Pane<'_>, list: &mut DisplayList, wanted: impl Fn(LineKind) -> bool) {
        let near = self.pens.least_gap / pane.view.scale();
        for line in self.parts.lines.iter().filter(|line| wanted(line.kind)) {
            // Two chain lines almost on each other would read as none.
            let frame = line.path.bounding_box();
            let on_axis = frame.x0.abs().max(frame.x1.abs()) < near;
            let second = matches!(line.kind, LineKind::PinPath | LineKind::RodAxis);
            if !(second && on_axis) {
                let marked = line_key(line.kind).is_some_and(|key| self.input.marked.has(key));
                let ink = if marked { Ink::Accent } else { Ink::Second };
                pane.stroke(&line.path, ink, self.pens.narrow, line.kind.dash(), self.pens, list);
            }
        }
    }
}

impl Pane<'_> {
    /// Returns an area of the model on the output: as a path, and as rings of
    /// chords.
    pub(super) fn area(&self, path: &BezPath, tolerance: f64) -> Option<(BezPath, Vec<Ring>)> {
        let path = self.view.out_from_model_affine() * path;
        match &self.clip {
            None => {
                let rings = rings_of(&path, tolerance);
                Some((path, rings))
            }
            Some(clip) => {
                let rings = clip.area(&path, tolerance);
                (!rings.is_empty()).then(|| (path_of(&rings), rings))
            }
        }
    }

    fn fill(&self, path: &BezPath, ink: Ink, pens: &Pens, list: &mut DisplayList) {
        if let Some((path, _)) = self.area(path, pens.tolerance) {
            list.shapes.push(Shape::Fill { path, ink });
        }
    }

    /// Draws a line of the model on the output.
    pub(super) fn stroke(
        &self,
        path: &BezPath,
        ink: Ink,
        width: f64,
        dash: Dash,
        pens: &Pens,
        list: &mut DisplayList,
    ) {
        let path = self.view.out_from_model_affine() * path;
        let path = match &self.clip {
            None => path,
            Some(clip) => clip.lines(&path, pens.tolerance),
        };
        push(list, path, ink, width, dash);
    }
}

fn push(list: &mut DisplayList, path: BezPath, ink: Ink, width: f64, dash: Dash) {
    if !path.is_empty() {
        list.shapes.push(Shape::Stroke { path, ink, width, dash });
    }
}

fn is_sheet(piece: &Piece) -> bool {
    matches!(piece.part, Part::Shim | Part::Gasket)
}

/// Returns whether a sheet lies under the barrel rather than under the head.
fn is_under_barrel(parts: &Parts, piece: &Piece) -> bool {
    extent(piece).0 < (parts.datums.foot_y + parts.datums.top_y) / 2.0
}

/// Returns lower and upper face of a sheet.
pub(super) fn extent(piece: &Piece) -> (f64, f64) {
    let frame = piece.outline.bounding_box();
    (frame.y0, frame.y1)
}

fn width(piece: &Piece) -> f64 {
    piece.outline.bounding_box().width()
}

/// Returns sheets that lie on each other, from below.
fn stacks(pieces: &[Piece]) -> Vec<Vec<&Piece>> {
    let mut sheets: Vec<&Piece> = pieces.iter().filter(|piece| is_sheet(piece)).collect();
    sheets.sort_by(|a, b| extent(a).0.total_cmp(&extent(b).0));
    let mut stacks: Vec<Vec<&Piece>> = Vec::new();
    for sheet in sheets {
        match stacks.last_mut() {
            Some(stack) if stack.last().is_some_and(|below| extent(below).1 >= extent(sheet).0 - 1e-9) => {
                stack.push(sheet);
            }
            _ => stacks.push(vec![sheet]),
        }
    }
    stacks
}

/// Returns whether the middle of an edge lies farther than `visible` mm from
/// all present edges. An edge that only slid along itself does not.
fn lies_apart(kept: PathSeg, now: &[PathSeg], visible: f64) -> bool {
    let middle = kept.eval(0.5);
    now.iter().all(|segment| segment.nearest(middle, 0.1 * visible).distance_sq > visible * visible)
}

/// Distance of a piston from its top, in mm, below which it is at the top.
const APART: f64 = 1e-6;

/// Returns the areas of the terms of the clearance volume. They are painted
/// under the parts, so a dome simply covers what it takes away.
fn tints(input: &SectionInput<'_>, parts: &Parts) -> Vec<Tint> {
    let d = &parts.datums;
    let figures = input.parts.engine.figures();
    let box_path = |x0: f64, x1: f64, y0: f64, y1: f64| Rect::new(x0, y0, x1, y1).to_path(0.1);
    let lift = |path: BezPath, y: f64| Affine::translate((0.0, y)) * path;
    let mut tints = Vec::new();
    let mut tint = |term, area: BezPath| tints.push(Tint { term, area });

    // At the top dead centre the rim is this far below the top face.
    let top_y = d.top_y - figures.deck_clearance;
    if d.rim_y < top_y - APART {
        tint(Term::Swept, box_path(-d.bore_x, d.bore_x, d.rim_y, top_y));
    }
    tint(Term::Chamber, lift(input.parts.chamber.profile(), d.joint_y));
    if d.joint_y > d.top_y {
        let x = input.value(Key::GasketBore) / 2.0;
        tint(Term::Gasket, box_path(-x, x, d.top_y, d.joint_y));
    }
    if figures.deck_clearance > 0.0 {
        // The deck is the space above the rim at top dead centre, wherever
        // the piston is now.
        tint(Term::Deck, box_path(-d.bore_x, d.bore_x, top_y, d.top_y));
    }
    let crown = &input.parts.crown;
    if crown.crown_cc() > 0.0 {
        tint(Term::Crown, lift(crown.bare_top().closed_at(0.0), d.rim_y));
    }
    if crown.pocket_cc() > 0.0 {
        let mut pockets = crown.bare_top().path();
        let floor = crown.top().path().reverse_subpaths();
        if let Some(end) = floor.elements().first().and_then(|el| el.end_point()) {
            pockets.line_to(end);
            pockets.extend(floor.elements().iter().skip(1).copied());
            pockets.close_path();
            tint(Term::Pockets, lift(pockets, d.rim_y));
        }
    }
    let height = input.value(Key::TopLandHeight);
    if input.value(Key::TopLandDiameter) > 0.0 && height > 0.0 && d.land_x < d.bore_x {
        let mut beside = box_path(d.land_x, d.bore_x, d.rim_y - height, d.rim_y);
        beside.extend(box_path(-d.bore_x, -d.land_x, d.rim_y - height, d.rim_y).elements().iter().copied());
        tint(Term::TopLand, beside);
    }
    tints
}

/// Returns the outline of a text as a path.
pub(super) fn path_around(outline: &Convex) -> BezPath {
    path_of(&[outline.corners().to_vec()])
}

/// Returns the dimension that determines the position of a line; `None` where
/// there is none.
pub(super) fn line_key(kind: LineKind) -> Option<Key> {
    match kind {
        LineKind::ThrowCircle => Some(Key::Stroke),
        LineKind::RodAxis => Some(Key::RodLength),
        LineKind::PinPath => Some(Key::PinOffset),
        _ => None,
    }
}

/// Returns whether a piece turns or swings, so that notes keep clear of its
/// outline.
pub(super) fn is_rod(piece: &Piece) -> bool {
    piece.moves == Moves::WithRod && piece.part == Part::Rod
}
