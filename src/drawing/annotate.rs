//! Dimensions of the main view: reach on the left, tower on the right, the bore
//! across.

use super::clip::Convex;
use super::dim::{Dimension, Drafter, Rail, reading_deg, value_ink, writing};
use super::label::{self, Labels, Pose, Word};
use super::list::{Anchor, DisplayList, Ink, Part, Shape};
use super::paint::{Scene, is_rod, line_key, path_around};
use super::parts::{LineKind, Moves, Piece};
use super::pens::Letters;
use super::view::View;
use crate::engine::Key;
use kurbo::{BezPath, Line, Point, Rect, Shape as _, Vec2};

/// The position of a dimension on the output, so that pointing at one can light
/// up the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The dimension.
    pub key: Key,
    /// Around its edge or its value, in output units.
    pub area: Rect,
}

/// The dimensions to be written next to the main view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct DimensionRequest {
    /// The chain of what raises the barrel.
    pub tower: bool,
    /// Shim and gasket under the barrel, where no detail shows them.
    pub foot: bool,
}

/// Returns the line for the dimensions of what raises the barrel, next to the
/// widest part.
fn tower_rail(scene: &Scene<'_>, view: &View) -> Rail {
    let widest = view.out_from_model(Point::new(scene.parts.datums.widest_x, 0.0));
    Rail { through: widest + view.right() * scene.pens.first_line, along: view.up() }
}

/// Makes texts that are written before these dimensions keep off them too.
pub(super) fn keep_off_tower(scene: &Scene<'_>, view: &View, labels: &mut Labels) {
    let rail = tower_rail(scene, view);
    let end = |y: f64| rail.foot(view.out_from_model(Point::new(0.0, y)));
    labels.avoid(Line::new(end(0.0), end(scene.parts.datums.top_y)));
}

/// A writer of the dimensions next to the main view.
pub(super) struct Annotator<'a> {
    pub scene: &'a Scene<'a>,
    pub view: View,
    pub list: &'a mut DisplayList,
    pub labels: &'a mut Labels,
    pub spots: &'a mut Vec<Spot>,
}

impl<'a> Annotator<'a> {
    pub(super) fn annotate(&mut self, wanted: DimensionRequest) {
        self.spot_edges();
        self.avoid(|piece| is_rod(piece) || piece.part == Part::Piston);
        self.bore();
        self.avoid(|piece| piece.moves == Moves::Fixed);
        self.reach();
        if wanted.tower {
            self.tower();
        }
        if wanted.foot {
            self.foot();
        }
        self.words();
    }

    fn drafter(&self) -> Drafter<'a> {
        Drafter { pens: self.scene.pens }
    }

    /// Returns a point of the model on the output, moved by output units across
    /// (toward +x) and along the bore.
    fn at(&self, x: f64, y: f64, across: f64, along: f64) -> Point {
        self.view.out_from_model(Point::new(x, y)) + self.view.right() * across + self.view.up() * along
    }

    /// Creates a dimension between two points of the model; in accent where one
    /// of its keys is marked.
    fn dimension(&self, from: Point, to: Point, text: String, key: Key) -> Dimension {
        let ink = if self.scene.input.marked.has(key) { Ink::Accent } else { Ink::Second };
        Dimension { from: self.view.out_from_model(from), to: self.view.out_from_model(to), text, ink }
    }

    /// Draws a chain and notes the positions of its values.
    fn chain(&mut self, rail: Rail, dims: &[Dimension], keys: &[Key]) {
        let before = self.labels.placed().len();
        self.drafter().chain(self.list, self.labels, rail, dims);
        for placed in self.labels.placed().iter().skip(before) {
            let mine = dims.iter().zip(keys).find(|(dim, _)| dim.text == placed.text);
            if let Some((_, &key)) = mine {
                self.spots.push(Spot { key, area: placed.outline.bounds() });
            }
        }
    }

    fn spot_edges(&mut self) {
        let map = self.view.out_from_model_affine();
        let reach = self.scene.pens.breath;
        for piece in &self.scene.parts.pieces {
            for edge in &piece.measured {
                let area = (map * &edge.path).bounding_box().inflate(reach, reach);
                self.spots.push(Spot { key: edge.key, area });
            }
        }
        for line in &self.scene.parts.lines {
            if let Some(key) = line_key(line.kind) {
                let area = (map * &line.path).bounding_box().inflate(reach, reach);
                self.spots.push(Spot { key, area });
            }
        }
    }

    /// Makes the following texts keep off the outlines of these parts where
    /// they have another position.
    fn avoid(&mut self, which: impl Fn(&Piece) -> bool) {
        let map = self.view.out_from_model_affine();
        for piece in self.scene.parts.pieces.iter().filter(|piece| which(piece)) {
            self.labels.avoid_path(&(map * &piece.outline));
        }
    }

    /// Draws half stroke, rod, compression height: what raises the piston.
    fn reach(&mut self) {
        let scene = self.scene;
        let (d, input) = (&scene.parts.datums, &scene.input);
        let rail =
            Rail { through: self.at(-d.widest_x, 0.0, -scene.pens.first_line, 0.0), along: self.view.up() };
        let crank = input.parts.engine.figures().crank;
        let left_of = |kind: LineKind| {
            let line = scene.parts.lines.iter().find(|line| line.kind == kind);
            line.map_or(0.0, |line| line.path.bounding_box().x0)
        };
        let crankpin_edge = scene
            .parts
            .pieces
            .iter()
            .find(|piece| piece.part == Part::Pin && piece.moves == Moves::WithCrank)
            .map_or(d.crankpin.x, |piece| piece.outline.bounding_box().x0);
        let centre = Point::new(left_of(LineKind::CrankAxis), 0.0);
        let crankpin = Point::new(crankpin_edge, d.crankpin.y);
        let pin = Point::new(left_of(LineKind::PinAxis), d.pin.y);
        let rim = Point::new(-d.bore_x, d.rim_y);

        let half_stroke = input.dimension("", crank.throw(), Key::Stroke);
        let rod = input.dimension("", crank.rod(), Key::RodLength);
        let height = input.value(Key::CompressionHeight);
        let height = self.dimension(
            pin,
            rim,
            input.dimension("", height, Key::CompressionHeight),
            Key::CompressionHeight,
        );
        // Off the dead centre crank and rod lean: what is measured upright is
        // no longer their length, so the lengths are written along them.
        let error = (crank.throw() - d.crankpin.y).abs().max((crank.rod() - (d.pin.y - d.crankpin.y)).abs());
        if error * self.view.scale() <= scene.pens.narrow / 2.0 {
            let dims = [
                self.dimension(centre, crankpin, half_stroke, Key::Stroke),
                self.dimension(crankpin, pin, rod, Key::RodLength),
                height,
            ];
            self.chain(rail, &dims, &[Key::Stroke, Key::RodLength, Key::CompressionHeight]);
        } else {
            self.chain(rail, &[height], &[Key::CompressionHeight]);
            self.along_member(d.crankpin, d.pin, &rod, Key::RodLength, Part::Rod);
            self.throw_radius();
        }
    }

    /// Draws the throw as the radius of its circle, with a line from outside.
    fn throw_radius(&mut self) {
        let scene = self.scene;
        let (d, pens) = (&scene.parts.datums, scene.pens);
        let throw = scene.input.parts.engine.figures().crank.throw();
        let text = scene.input.dimension("R", throw, Key::Stroke);
        let ink = if scene.input.marked.has(Key::Stroke) { Ink::Accent } else { Ink::Second };
        let word = Word { text: &text, letters: pens.dimension, ink: value_ink(ink) };
        let centre = self.view.out_from_model(Point::ZERO);
        let (near, far) = (throw * self.view.scale(), -d.lowest_y * self.view.scale() + pens.margin);
        // Down to the left first: there is least of the engine.
        for (x, y) in [(-0.8, 0.6), (0.8, 0.6), (-0.6, 0.8), (0.6, 0.8), (-0.95, 0.3), (0.95, 0.3)] {
            let way = Vec2::new(x, y);
            let ends = [centre + way * far];
            let before = self.labels.left_out().len();
            let target = centre + way * near;
            let pose = self.drafter().leader(self.list, self.labels, target, &[word], ink, ends);
            self.labels.forgive(before);
            if let Some(pose) = pose {
                self.drafter().arrow(self.list, target, -way, ink);
                let area = label::outline(&text, pens.dimension, pose).bounds();
                self.spots.push(Spot { key: Key::Stroke, area });
                return;
            }
        }
    }

    /// Writes a length along a member that leans, on a patch of its ground.
    fn along_member(&mut self, from: Point, to: Point, text: &str, key: Key, ground: Part) {
        let letters = self.scene.pens.dimension;
        let (a, b) = (self.view.out_from_model(from), self.view.out_from_model(to));
        let turn_deg = reading_deg(b - a);
        let (_, up) = writing(turn_deg);
        let drop = up * (-letters.capitals() / 2.0);
        let poses = [0.5, 0.4, 0.6, 0.3, 0.7, 0.25, 0.75].into_iter().flat_map(|t| {
            [0.0, 1.5, -1.5, 3.0, -3.0, 4.5, -4.5].map(|side| Pose {
                at: a.lerp(b, t) + drop + up * (side * letters.size),
                anchor: Anchor::Middle,
                turn_deg,
            })
        });
        // Next to the member rather than on fixed parts around it.
        let still = self.scene.parts.pieces.iter().filter(|piece| piece.moves == Moves::Fixed);
        let still: Vec<&BezPath> = still.map(|piece| &piece.outline).collect();
        let clear = |pose: &Pose| {
            let outline = label::outline(text, letters, *pose);
            let mut places = outline.corners().iter().copied().chain([outline.bounds().center()]);
            !places.any(|p| still.iter().any(|path| path.contains(self.view.model_from_out(p))))
        };
        let (mut poses, others): (Vec<Pose>, Vec<Pose>) = poses.partition(clear);
        if poses.is_empty() {
            poses = others;
        }
        let ink = if self.scene.input.marked.has(key) { Ink::Accent } else { Ink::Edge };
        if let Some(pose) = self.labels.place(text, letters, ink, poses) {
            let outline = label::outline(text, letters, pose);
            if (pose.at - drop - a).cross(b - a).abs() < 1e-6 * (b - a).hypot2() {
                self.patch(&outline, Ink::Part(ground));
            }
            self.spots.push(Spot { key, area: outline.bounds() });
        }
    }

    /// Fills the ground of a text.
    pub(super) fn patch(&mut self, outline: &Convex, ink: Ink) {
        self.list.shapes.push(Shape::Fill { path: path_around(outline), ink });
    }

    /// Draws case and barrel: what raises the head, but for the sheets between.
    fn tower(&mut self) {
        let scene = self.scene;
        let (d, input) = (&scene.parts.datums, &scene.input);
        let rail = tower_rail(scene, &self.view);
        let axis = scene.parts.lines.iter().find(|line| line.kind == LineKind::CrankAxis);
        let centre = Point::new(axis.map_or(0.0, |line| line.path.bounding_box().x1), 0.0);
        let edge = |y: f64| Point::new(d.foot_x, y);
        let (keys, dims): (Vec<Key>, Vec<Dimension>) = input
            .tower()
            .filter(|(key, _)| !key.row().thin)
            .map(|(key, (low, high))| {
                let text = input.dimension("", input.value(key), key);
                let from = if low == 0.0 { centre } else { edge(low) };
                (key, self.dimension(from, edge(high), text, key))
            })
            .unzip();
        self.chain(rail, &dims, &keys);
    }

    /// Draws the bore, below the cylinder's wall.
    fn bore(&mut self) {
        let scene = self.scene;
        let d = &scene.parts.datums;
        let edges = scene.parts.pieces.iter().filter(|piece| piece.part == Part::Barrel);
        let low = edges
            .flat_map(|piece| &piece.measured)
            .filter(|edge| edge.key == Key::Bore)
            .map(|edge| edge.path.bounding_box().y0)
            .fold(d.top_y, f64::min);
        let below = 0.8 * scene.pens.first_line;
        let rail = Rail { through: self.at(0.0, low, 0.0, -below), along: self.view.right() };
        let text = scene.input.dimension("Ø", scene.input.value(Key::Bore), Key::Bore);
        let dim = self.dimension(Point::new(-d.bore_x, low), Point::new(d.bore_x, low), text, Key::Bore);
        let drafter = self.drafter();
        for end in [dim.from, dim.to] {
            drafter.projection(self.list, self.labels, end, rail, Ink::Second);
        }
        drafter.between(self.list, rail, &dim, (true, true));
        self.labels.avoid_dimension(Line::new(rail.foot(dim.from), rail.foot(dim.to)));
        let letters = scene.pens.dimension;
        let ink = value_ink(dim.ink);
        // Rather next to the rod or on it than across its edge, but rather there than
        // outside the cylinder.
        let over = drafter.poses_over(rail, &dim, letters);
        if self.labels.place_if_free(&dim.text, letters, ink, over).is_none() {
            self.labels.place(&dim.text, letters, ink, drafter.poses(rail, &dim, letters, (true, true)));
        }
        // The value often is on the rod, whose axis would run through it.
        if let Some(value) = self.labels.placed().last().map(|placed| placed.outline.clone()) {
            let middle = self.view.model_from_out(value.bounds().center());
            let rod = scene.parts.pieces.iter().filter(|piece| is_rod(piece));
            let on_rod = rod.clone().any(|piece| piece.outline.contains(middle));
            self.patch(&value, if on_rod { Ink::Part(Part::Rod) } else { Ink::Sheet });
            self.spots.push(Spot { key: Key::Bore, area: value.bounds() });
        }
    }

    /// Draws the dimensions of gasket and shims, next to the barrel's foot.
    fn foot(&mut self) {
        let scene = self.scene;
        let (d, input) = (&scene.parts.datums, &scene.input);
        let target = self.at(d.foot_x, (d.seat_y + d.foot_y) / 2.0, 0.0, 0.0);
        let out = scene.pens.first_line + scene.pens.next_line;
        for key in Key::TOWER.into_iter().filter(|key| key.row().thin) {
            let thickness = input.value(key);
            if thickness <= 0.0 {
                continue;
            }
            let value = input.dimension("", thickness, key);
            let beyond = (d.widest_x - d.foot_x) * self.view.scale() + out;
            let (right, up, step) = (self.view.right(), self.view.up(), scene.pens.dimension.size);
            let ends = (0..24).map(|i| {
                let side = if i % 2 == 0 { -1.0 } else { 1.0 };
                target + right * beyond + up * (side * step * (1.0 + f64::from(i / 2)))
            });
            let ink = if input.marked.has(key) { Ink::Accent } else { Ink::Second };
            let ends: Vec<Point> = ends.collect();
            let bold = Letters { bold: true, ..scene.pens.dimension };
            let note = [
                Word { text: key.row().component.word(), letters: scene.pens.caption, ink: Ink::Second },
                Word { text: &value, letters: bold, ink: value_ink(ink) },
            ];
            if self.drafter().leader(self.list, self.labels, target, &note, ink, ends).is_some() {
                let area = self.labels.placed().last().map(|placed| placed.outline.bounds());
                self.spots.extend(area.map(|area| Spot { key, area }));
            }
        }
    }

    /// Writes the word at the other dead centre, and the volume in the chamber.
    fn words(&mut self) {
        let scene = self.scene;
        let (d, pens) = (&scene.parts.datums, scene.pens);
        let along_bore = self.view.right();
        let turn_deg = reading_deg(along_bore);
        let (run, up) = writing(turn_deg);
        if let Some(line) = scene.parts.lines.iter().find(|line| line.kind == LineKind::OtherDeadCentre) {
            let y = line.path.bounding_box().center().y;
            let word = if y < d.rim_y { "bottom" } else { "top" };
            let reach = d.bore_x * self.view.scale();
            let letters = pens.caption;
            // Inside the cylinder rather than on the head.
            let mut rises = [pens.breath, -pens.breath - letters.capitals()];
            if word == "top" && up.dot(self.view.up()) > 0.0 {
                rises.reverse();
            }
            let middle = self.at(0.0, y, 0.0, 0.0);
            let poses = rises.into_iter().flat_map(|rise| {
                [(-1.0, Anchor::Left), (1.0, Anchor::Right)].map(|(side, anchor)| Pose {
                    at: middle + run * (side * (reach - 1.5 * pens.breath)) + up * rise,
                    anchor,
                    turn_deg,
                })
            });
            self.labels.place_off_lines(word, letters, Ink::Third, poses);
        }
        if scene.input.tints {
            self.volumes();
        }
    }
}
