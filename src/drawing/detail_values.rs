//! Dimensions next to an enlarged detail.

use super::annotate::Spot;
use super::detail::{Detail, TOUCH_MM, is_upright};
use super::dim::{Dimension, Drafter, Rail, around, reading_deg, value_ink, writing};
use super::label::{self, Labels, Pose, Word};
use super::list::{Anchor, DisplayList, Ink, Part};
use super::paint::{Scene, extent};
use super::parts::Piece;
use super::pens::{Letters, Medium};
use crate::engine::{Group, Key, Stack, words};
use kurbo::{Line, Point, Rect, Vec2};

/// A writer of dimensions next to a detail, and of one into it.
pub(super) struct Values<'a> {
    pub detail: &'a Detail,
    pub scene: &'a Scene<'a>,
    pub list: &'a mut DisplayList,
    pub labels: &'a mut Labels,
    pub spots: &'a mut Vec<Spot>,
}

/// One dimension of a chain next to the circle, from face to face.
struct Step {
    /// Its name; empty where the picture says it.
    name: &'static str,
    /// The dimension that it shows unchanged, if it is one.
    key: Option<Key>,
    dim: Dimension,
}

impl Values<'_> {
    /// Writes the dimensions that this detail is for.
    pub(super) fn write(&mut self) {
        if self.detail.letter == 'Z' { self.write_gap() } else { self.write_foot() }
    }

    /// Writes the gap at the rim: deck clearance, and where they differ head
    /// gasket, head step and squish clearance.
    fn write_gap(&mut self) {
        let (d, input) = (&self.scene.parts.datums, &self.scene.input);
        let (squish, deck) = (d.band_y - d.rim_y, d.top_y - d.rim_y);
        if squish <= TOUCH_MM {
            self.write_contact();
            return;
        }
        let rises = |key: Key| key.row().stack != Stack::Apart || key.row().group == Group::Mockup;
        let moved = Key::all().any(|key| rises(key) && input.marked.has(key));
        if d.band_y == d.top_y {
            let text = self.deck_changed(input.length(deck), deck);
            match self.step("", None, (d.rim_y, d.top_y), text, moved) {
                Some(step) => self.write_chain(&[step], self.scene.pens.gap),
                None => self.write_wide_gap(squish),
            }
            return;
        }
        let marked = |key| input.marked.has(key);
        let length = |low: f64, high: f64| input.length((high - low).abs());
        let mut steps = Vec::new();
        let text = self.deck_changed(words::gap_at_line(deck, None, &input.units), deck);
        steps.extend(self.step("deck", None, (d.rim_y, d.top_y), text, moved));
        if d.joint_y > d.top_y {
            let key = Key::GasketThickness;
            let text = input.dimension("", d.joint_y - d.top_y, key);
            steps.extend(self.step("gasket", Some(key), (d.top_y, d.joint_y), text, marked(key)));
        }
        if d.band_y != d.joint_y {
            let key = Key::HeadStep;
            let text = length(d.joint_y, d.band_y);
            steps.extend(self.step("step", Some(key), (d.joint_y, d.band_y), text, marked(key)));
        }
        self.write_chain(&steps, Letters { bold: true, ..self.scene.pens.dimension });
        self.write_squish(squish);
    }

    /// Appends to the gap its change since the kept state at this crank angle.
    fn deck_changed(&self, text: String, deck: f64) -> String {
        let kept = self.scene.ghost.as_ref().map(|ghost| ghost.datums.top_y - ghost.datums.rim_y);
        match kept {
            Some(kept) => self.scene.input.with_change(text, deck - kept),
            None => self.with_uncertainty(text),
        }
    }

    /// Appends to the gap its uncertainty, where that can be seen in the unit.
    /// On paper it is in the table next to the drawing, which leaves that the
    /// larger scale.
    fn with_uncertainty(&self, text: String) -> String {
        if self.scene.pens.medium == Medium::Paper {
            return text;
        }
        let doubt = self.scene.input.doubt_at_top().map(|doubt| self.scene.input.length(doubt));
        match doubt.filter(|doubt| doubt.bytes().any(|b| (b'1'..=b'9').contains(&b))) {
            Some(doubt) => format!("{text} ±{doubt}"),
            None => text,
        }
    }

    /// Writes shims and gasket under the barrel, foil by foil.
    fn write_foot(&mut self) {
        let scene = self.scene;
        let is_sheet = |key: &Key| key.row().thin && key.row().stack == Stack::Top;
        let steps: Vec<Step> = scene
            .parts
            .pieces
            .iter()
            .filter_map(|piece| {
                let key = piece.measured.first().map(|edge| edge.key).filter(is_sheet)?;
                let name = key.row().component.word();
                let (low, high) = extent(piece);
                // The change of one foil among several is unknown.
                let alone = (high - low - scene.input.value(key)).abs() < 1e-9;
                let text = match alone {
                    true => scene.input.dimension("", high - low, key),
                    false => scene.input.stated("", high - low, key),
                };
                self.step(name, Some(key), (low, high), text, scene.input.marked.has(key))
            })
            .collect();
        self.write_chain(&steps, Letters { bold: true, ..scene.pens.dimension });
    }

    /// Creates a step between two heights; `None` where one of them is not seen
    /// in the circle.
    fn step(
        &self,
        name: &'static str,
        key: Option<Key>,
        (from, to): (f64, f64),
        text: String,
        marked: bool,
    ) -> Option<Step> {
        let ink = if marked { Ink::Accent } else { Ink::Second };
        let dim = Dimension { from: self.level(from)?, to: self.level(to)?, text, ink };
        Some(Step { name, key, dim })
    }

    /// Returns the line next to the circle for its dimensions, toward the bore
    /// axis.
    fn rail(&self) -> Rail {
        self.detail.rail(self.scene.pens)
    }

    /// Returns the point where a height of the model meets the circle on the
    /// side of the rail; `None` where it passes by.
    fn level(&self, y: f64) -> Option<Point> {
        let Detail { centre, radius, view, about, .. } = self.detail;
        let dy = (y - about.y) * view.scale();
        let chord = radius * radius - dy * dy;
        (chord > 0.0).then(|| *centre + self.detail.inward() * chord.sqrt() + view.up() * dy)
    }

    /// Draws lines, arrows and values of a chain.
    fn write_chain(&mut self, steps: &[Step], letters: Letters) {
        let rail = self.rail();
        let drafter = Drafter { pens: self.scene.pens };
        let mut drawn: Vec<Point> = Vec::new();
        for Step { dim, .. } in steps {
            for p in [dim.from, dim.to] {
                let foot = rail.foot(p);
                if drawn.iter().all(|q| (*q - foot).hypot() > self.scene.pens.narrow) {
                    drafter.projection(self.list, self.labels, p, rail, dim.ink);
                    drawn.push(foot);
                }
            }
        }
        for (i, Step { dim, .. }) in steps.iter().enumerate() {
            // Only the ends of the chain have room for arrows outside; between
            // two short stretches the projection line shows where one ends.
            drafter.between(self.list, rail, dim, (i == 0, i + 1 == steps.len()));
            self.labels.avoid_dimension(Line::new(rail.foot(dim.from), rail.foot(dim.to)));
        }
        for step in steps {
            self.write_value(rail, step, letters);
        }
    }

    /// Writes one value next to the rail, at its stretch or moved along where
    /// it would meet another, then with a fine line.
    fn write_value(&mut self, rail: Rail, step: &Step, letters: Letters) {
        let middle = rail.foot(step.dim.from).midpoint(rail.foot(step.dim.to));
        let value = Word { text: &step.dim.text, letters, ink: value_ink(step.dim.ink) };
        let name = Word { text: step.name, letters: self.scene.pens.caption, ink: Ink::Second };
        let row = [name, value];
        let row = if step.name.is_empty() { &row[1..] } else { &row[..] };
        let before = self.labels.placed().len();
        let mut poses = self.beside(middle, letters);
        poses.extend(around(middle, self.scene.pens.margin, letters));
        // The value without its name, rather than on another line; there, rather than
        // none.
        let alone = &row[row.len() - 1..];
        let left_out = self.labels.left_out().len();
        let mut pose = [row, alone]
            .into_iter()
            .find_map(|row| self.labels.place_row_off_lines(row, poses.iter().copied()));
        for row in [row, alone] {
            if pose.is_none() {
                self.labels.forgive(left_out);
                pose = self.labels.place_row(row, poses.iter().copied());
            }
        }
        let areas = self.labels.placed().iter().skip(before).map(|placed| placed.outline.bounds());
        if let (Some(pose), Some(area)) = (pose, areas.reduce(|a, b| a.union(b))) {
            self.tie(pose, middle, area);
            self.spots.extend(step.key.map(|key| Spot { key, area }));
        }
    }

    /// Returns positions for an upright text next to a point of the rail, on
    /// the far side from the circle, best first.
    fn beside(&self, at: Point, letters: Letters) -> Vec<Pose> {
        let (view, pens) = (&self.detail.view, self.scene.pens);
        let away = self.detail.inward();
        let out = pens.overshoot + pens.breath;
        let half = letters.capitals() / 2.0;
        let mut poses = Vec::new();
        for far in 0..3 {
            let row = f64::from(far) * 1.3 * letters.size;
            for k in 0..28 {
                let step = f64::from((k + 1) / 2) * if k % 2 == 0 { -1.0 } else { 1.0 };
                if is_upright(view) {
                    let along = view.up() * (step * 0.35 * letters.size);
                    let p = at + along + away * (out + row) + Vec2::new(0.0, half);
                    poses.push(if away.x < 0.0 { Pose::until(p) } else { Pose::from(p) });
                } else {
                    // The rail lies: texts are under or over it, in rows, the first in
                    // the middle, others pushed aside.
                    let down = if away.y > 0.0 { out + row + 2.0 * half } else { -out - row };
                    let p = at + Vec2::new(step * 0.7 * letters.size, down);
                    poses.push(match k {
                        0 => Pose::middle(p),
                        _ if step < 0.0 => Pose::until(p),
                        _ => Pose::from(p),
                    });
                }
            }
        }
        poses
    }

    /// Draws a fine line from a value that had to move to its dimension line.
    fn tie(&mut self, pose: Pose, middle: Point, area: Rect) {
        let pens = self.scene.pens;
        let y = pose.at.y - pens.dimension.capitals() / 2.0;
        let end = if is_upright(&self.detail.view) {
            if (y - middle.y).abs() <= pens.dimension.size * 0.75 {
                return;
            }
            let (x, side) = if pose.anchor == Anchor::Right { (area.x1, 0.5) } else { (area.x0, -0.5) };
            Point::new(x + side * pens.breath, y)
        } else {
            if pose.anchor == Anchor::Middle {
                return;
            }
            Point::new(pose.at.x, if y > middle.y { area.y0 } else { area.y1 })
        };
        Drafter { pens }.line(self.list, end, middle, Ink::Second);
    }

    /// Writes the squish clearance in the free space that it measures.
    fn write_squish(&mut self, squish: f64) {
        let (d, pens) = (&self.scene.parts.datums, self.scene.pens);
        let Detail { centre, radius, view, about, .. } = self.detail;
        let text = self.scene.input.length(squish);
        let value = Letters { bold: true, ..pens.dimension };
        // So far from the wall that name and value fit between; nearer to it where the
        // gap is too wide for the edge of the circle.
        let words =
            pens.caption.width("squish  ") + value.width(&text) + pens.arrow_width + 2.5 * pens.breath;
        let side = self.detail.side;
        let wall = (d.bore_x - side * about.x) * view.scale();
        let inside = |p: Point| (p - *centre).hypot() < 0.95 * radius;
        let ends = |part: f64| {
            let x = side * about.x + (wall - words).min(part * radius) / view.scale();
            let at = |y: f64| view.out_from_model(Point::new(side * x, y));
            (at(d.rim_y), at(d.band_y))
        };
        let places = [-0.52, -0.4, -0.28, -0.16].map(ends);
        let Some((low, high)) = places.into_iter().find(|&(low, high)| inside(low) && inside(high)) else {
            self.write_wide_gap(squish);
            return;
        };
        let rail = Rail { through: low, along: view.up() };
        let dim = Dimension { from: low, to: high, text, ink: Ink::Second };
        Drafter { pens }.between(self.list, rail, &dim, (true, true));
        let row = [
            Word { text: "squish", letters: pens.caption, ink: Ink::Edge },
            Word { text: &dim.text, letters: value, ink: Ink::Edge },
        ];
        // Across the measured direction, next to the line: that is where the free space
        // is long.
        let turn_deg = reading_deg(view.right());
        let (run, up) = writing(turn_deg);
        let middle = low.midpoint(high) - up * (pens.dimension.capitals() / 2.0);
        let aside = run * (pens.arrow_width + 1.5 * pens.breath);
        let step = view.up() * (0.5 * pens.dimension.size);
        let poses = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0].into_iter().flat_map(|k| {
            let mut sides = [(aside, Anchor::Left), (-aside, Anchor::Right)];
            // Toward the wall first: there the free space is long.
            if run.dot(self.detail.inward()) > 0.0 {
                sides.reverse();
            }
            sides.map(|(aside, anchor)| Pose { at: middle + step * k + aside, anchor, turn_deg })
        });
        // A dome rises into the gap next to the rim.
        let before = self.labels.lines();
        self.avoid(|piece| piece.part == Part::Piston);
        self.labels.place_row(&row, poses);
        self.labels.forget_lines(before);
        // Names keep as far off the line as off its arrows.
        for off in [-run, run].map(|way| way * pens.breath) {
            self.labels.avoid(Line::new(low + off, high + off));
        }
    }

    /// Writes that the rim touches the head, or would go through it.
    fn write_contact(&mut self) {
        let foot = self.rail().foot(self.detail.centre);
        let poses = self.beside(foot, self.scene.pens.gap);
        self.labels.place("contact", self.scene.pens.gap, Ink::Warn, poses);
    }

    /// Makes the next text keep off the outlines of these parts where it can.
    fn avoid(&mut self, which: impl Fn(&Piece) -> bool) {
        let map = self.detail.view.out_from_model_affine();
        for piece in self.scene.parts.pieces.iter().filter(|piece| which(piece)) {
            self.labels.avoid_path(&(map * &piece.outline));
        }
    }

    /// Writes the value alone, where the gap is wider than the circle: off
    /// every line in the free space, if there is any.
    fn write_wide_gap(&mut self, squish: f64) {
        let pens = self.scene.pens;
        let Detail { centre, radius, view, .. } = self.detail;
        let text = format!("{} to the head", self.scene.input.length(squish));
        let step = 0.5 * pens.dimension.size;
        let poses = (0..16).flat_map(|row| {
            let up = view.up() * (0.3 * radius) - Vec2::new(0.0, f64::from(row - 4) * step);
            [0.28, 0.1, -0.1, 0.4, -0.3]
                .map(|aside| Pose::middle(*centre + up + self.detail.inward() * (aside * radius)))
        });
        let inside = |pose: &Pose| {
            let outline = label::outline(&text, pens.dimension, *pose);
            outline.corners().iter().all(|&p| (p - *centre).hypot() < 0.97 * *radius)
        };
        let poses: Vec<Pose> = poses.filter(inside).collect();
        let before = self.labels.lines();
        self.avoid(|_| true);
        self.labels.place_off_lines(&text, pens.dimension, Ink::Edge, poses);
        self.labels.forget_lines(before);
    }
}
