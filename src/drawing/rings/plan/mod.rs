//! The bore seen from above with the gaps of the rings around it.
//!
//! The bore is to scale. The rings, which lie under one another in the engine,
//! are drawn inside one another, the top one outermost; their gaps are drawn
//! wide, and the drawing says so. Angles are degrees clockwise from the front
//! end of the piston pin, which points up.

pub use super::polar::angle_at;

use super::polar::Polar;
use super::wall::{THICKNESS, Wall};
use crate::drawing::clip::Convex;
use crate::drawing::dim::{Drafter, line_path};
use crate::drawing::hatch;
use crate::drawing::label::{Labels, Placed, Pose, Word};
use crate::drawing::list::{Dash, DisplayList, Ink, Part, Shape};
use crate::drawing::pens::{Letters, Pens};
use crate::engine::num;
use kurbo::{BezPath, Circle, Line, Point, Rect, Shape as _};

/// The input of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanInput {
    /// The diameter of the bore, mm.
    pub bore_mm: f64,
    /// The diameter as written: "Ø86.01".
    pub bore_text: String,
    /// Whether it was measured.
    pub bore_measured: bool,
    /// The gaps, from the top of the piston down.
    pub gaps: Vec<PlanGap>,
    /// The zones that gaps keep off.
    pub zones: Vec<PlanZone>,
    /// Pairs of gaps in line, by their index in `gaps`.
    pub in_line: Vec<(usize, usize)>,
    /// The scale of angles.
    pub dial: Dial,
}

/// The scale of angles around the bore.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Dial {
    /// As hours, the front end of the pin at twelve.
    #[default]
    Clock,
    /// As degrees from the front end of the pin.
    Degrees,
}

/// The kind of ring that has a gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Band {
    /// A ring in one piece.
    Ring,
    /// A thin rail of an oil ring.
    Rail,
    /// The expander between rails, whose ends meet.
    Expander,
}

/// One gap.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanGap {
    /// The number of its ring in the list next to the drawing.
    pub number: usize,
    /// The kind of ring that has it.
    pub band: Band,
    /// Angle, degrees.
    pub angle_deg: f64,
    /// Whether a peg holds it there.
    pub pegged: bool,
    /// Whether it is under the hand or referred to.
    pub marked: bool,
    /// Whether its angle breaks a rule.
    pub wrong: bool,
}

/// The kind of a zone on the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ZoneKind {
    /// A side that the piston is pressed against.
    Thrust,
    /// An end of the pin.
    PinEnd,
    /// A port, where there is no wall.
    Port,
}

/// A part of the circumference that gaps keep off.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanZone {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: ZoneKind,
    /// Its middle, degrees.
    pub at_deg: f64,
    /// Half its width, degrees.
    pub half_width_deg: f64,
    /// Whether any gap here has to keep off it.
    pub minded: bool,
}

/// A plan of the bore with its ring gaps.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The drawing.
    pub list: DisplayList,
    /// The numbers next to the bore, by which the gaps can be dragged; an
    /// expander has none.
    pub holds: Vec<Hold>,
    /// The middle of the bore on the output.
    pub centre: Point,
    /// Output units per mm.
    pub scale: f64,
    /// All texts with the outlines that no other text shares.
    pub texts: Vec<Placed>,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
}

/// A number next to the bore, by which a gap can be dragged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// Index of the gap in the input.
    pub gap: usize,
    /// Position of its number next to the bore.
    pub at: Point,
    /// The radius of the circle round the number.
    pub radius: f64,
    /// The middle of the gap itself.
    pub gap_at: Point,
}

/// Widths of the bands and of what is free between them, as parts of the
/// bore's radius; never measured.
const RING: f64 = 0.095;
const RAIL: f64 = 0.042;
const EXPANDER: f64 = 0.03;
const BETWEEN: f64 = 0.03;
/// Distance from the wall to the outermost ring.
const FIRST: f64 = 0.014;
/// Part of the radius that the bands leave free at least in the middle.
const MIDDLE: f64 = 0.46;
/// Drawn width of every gap.
const GAP: f64 = 0.085;

/// Draws the plan into an area.
#[must_use]
pub fn plan(input: &PlanInput, area: Rect, pens: &Pens) -> Plan {
    let small = Letters { size: 0.92 * pens.caption.size, bold: false };
    let balloon = 0.74 * pens.dimension.size;
    let half = area.width().min(area.height()) / 2.0 - pens.narrow;
    // From outside in: numbers of the gaps, figures of the dial, its ticks,
    // the wall.
    let balloons = half - balloon;
    let figures = balloons - balloon - pens.breath - 0.5 * small.capitals();
    let ticks = figures - 0.5 * small.capitals() - pens.breath;
    let radius = ((ticks - 2.0 * pens.breath) / (1.0 + 0.6 * THICKNESS + THICKNESS)).max(1e-3);
    let polar = Polar { centre: area.center(), tolerance: pens.tolerance };
    let mut labels = Labels::within(area);
    let drawing = Drawing { input, pens, polar, small, balloon, radius, ticks, figures, balloons };
    let mut list = DisplayList::default();
    let wall = Wall { polar, radius, bore_measured: input.bore_measured, zones: &input.zones };
    wall.draw(Drafter { pens }, &mut list);
    let bands = drawing.bands();
    let mut holds = Vec::new();
    // Places of texts first: axes are interrupted for them.
    drawing.dial(&mut list, &mut labels);
    let inner = bands.last().map_or(radius, |band| band.0);
    drawing.middle(inner, &mut labels);
    let mut over = DisplayList::default();
    for (gap, band) in input.gaps.iter().zip(&bands) {
        drawing.band(gap, *band, &mut over);
    }
    drawing.in_line(&bands, &mut over);
    for (index, (gap, band)) in input.gaps.iter().zip(&bands).enumerate() {
        if gap.band != Band::Expander {
            holds.extend(drawing.number(index, gap, *band, &mut over, &mut labels));
        }
    }
    drawing.names(inner, &mut labels);
    drawing.axes(&mut list, &labels);
    list.shapes.extend(over.shapes);
    let (texts, left_out) = labels.finish(&mut list);
    Plan { list, holds, centre: polar.centre, scale: 2.0 * radius / input.bore_mm, texts, left_out }
}

struct Drawing<'a> {
    input: &'a PlanInput,
    pens: &'a Pens,
    polar: Polar,
    small: Letters,
    /// Radii: of a circle round a number; of the bore; to the ticks, the
    /// figures and the numbers.
    balloon: f64,
    radius: f64,
    ticks: f64,
    figures: f64,
    balloons: f64,
}

impl Drawing<'_> {
    fn drafter(&self) -> Drafter<'_> {
        Drafter { pens: self.pens }
    }

    /// Returns inner and outer radius of each band, from the wall inward.
    fn bands(&self) -> Vec<(f64, f64)> {
        let width = |gap: &PlanGap| match gap.band {
            Band::Ring => RING,
            Band::Rail => RAIL,
            Band::Expander => EXPANDER,
        };
        let all: f64 = self.input.gaps.iter().map(|gap| width(gap) + BETWEEN).sum();
        let shrink = ((1.0 - MIDDLE) / (FIRST + all)).min(1.0) * self.radius;
        let mut outer = self.radius - FIRST * self.radius;
        self.input
            .gaps
            .iter()
            .map(|gap| {
                let inner = outer - width(gap) * shrink;
                let band = (inner, outer);
                outer = inner - BETWEEN * shrink;
                band
            })
            .collect()
    }

    fn middle_of(&self, (inner, outer): (f64, f64), deg: f64) -> Point {
        self.polar.at((inner + outer) / 2.0, deg)
    }

    fn ink(gap: &PlanGap) -> Ink {
        match (gap.marked, gap.wrong) {
            (true, _) => Ink::Accent,
            (false, true) => Ink::Warn,
            (false, false) => Ink::Edge,
        }
    }

    fn band(&self, gap: &PlanGap, (inner, outer): (f64, f64), list: &mut DisplayList) {
        let pens = self.pens;
        let width = if gap.marked { pens.wide } else { 1.2 * pens.narrow };
        let middle = (inner + outer) / 2.0;
        if gap.band == Band::Expander {
            let path = Circle::new(self.polar.centre, middle).to_path(pens.tolerance);
            self.drafter().stroke(list, path, Ink::Second, pens.narrow, Dash::Ghost);
            let dot = Circle::new(self.polar.at(middle, gap.angle_deg), 0.024 * self.radius);
            list.shapes.push(Shape::Fill { path: dot.to_path(pens.tolerance), ink: Self::ink(gap) });
            return;
        }
        let half = num::asin((0.5 * GAP * self.radius / middle).min(1.0)).to_degrees();
        let path = self.polar.sector((inner, outer), gap.angle_deg + half, gap.angle_deg + 360.0 - half);
        list.shapes.push(Shape::Fill { path: path.clone(), ink: Ink::Part(Part::Ring) });
        let ink = if gap.marked { Ink::Accent } else { Ink::Edge };
        self.drafter().stroke(list, path, ink, width, Dash::Solid);
        if gap.pegged {
            let peg = Circle::new(self.polar.at(middle, gap.angle_deg), 0.024 * self.radius);
            list.shapes.push(Shape::Fill { path: peg.to_path(pens.tolerance), ink: Ink::Solid });
        }
    }

    /// Joins gaps in line by a heavy line with a diamond on it.
    fn in_line(&self, bands: &[(f64, f64)], list: &mut DisplayList) {
        let place =
            |index: usize| Some(self.middle_of(*bands.get(index)?, self.input.gaps.get(index)?.angle_deg));
        for &(upper, lower) in &self.input.in_line {
            let (Some(a), Some(b)) = (place(upper), place(lower)) else { continue };
            self.drafter().stroke(list, line_path(a, b), Ink::Warn, self.pens.wide, Dash::Solid);
            let (c, r) = (a.midpoint(b), 2.2 * self.pens.wide);
            let mut diamond = BezPath::new();
            diamond.move_to((c.x, c.y - r));
            for corner in [(c.x + r, c.y), (c.x, c.y + r), (c.x - r, c.y)] {
                diamond.line_to(corner);
            }
            diamond.close_path();
            list.shapes.push(Shape::Fill { path: diamond, ink: Ink::Warn });
        }
    }

    /// Writes the number of a ring next to its gap, at the first free position
    /// near it.
    fn number(
        &self,
        index: usize,
        gap: &PlanGap,
        band: (f64, f64),
        list: &mut DisplayList,
        labels: &mut Labels,
    ) -> Option<Hold> {
        let text = gap.number.to_string();
        let letters = Letters { bold: true, ..self.pens.dimension };
        let step = (1.1 * self.balloon / self.balloons).to_degrees();
        let shifts = (0..24_u8).map(|i| f64::from(i.div_ceil(2)) * if i % 2 == 0 { step } else { -step });
        let poses = shifts.map(|shift| {
            let at = self.polar.at(self.balloons, gap.angle_deg + shift);
            Pose::middle(Point::new(at.x, at.y + letters.capitals() / 2.0))
        });
        let ink = if gap.wrong && !gap.marked { Ink::Warn } else { Ink::Accent };
        let pose = labels.place(&text, letters, ink, poses)?;
        let at = Point::new(pose.at.x, pose.at.y - letters.capitals() / 2.0);
        labels.keep_clear(Convex::circle(at, self.balloon, self.pens.tolerance));
        let gap_at = self.middle_of(band, gap.angle_deg);
        let way = gap_at - at;
        let length = way.hypot();
        if length > self.balloon {
            let from = at + way / length * self.balloon;
            self.drafter().line(list, from, gap_at, ink);
        }
        let circle = Circle::new(at, self.balloon).to_path(self.pens.tolerance);
        let (fill, width) =
            if gap.marked { (Ink::Sheet, self.pens.wide) } else { (Ink::Sheet, self.pens.ring) };
        list.shapes.push(Shape::Fill { path: circle.clone(), ink: fill });
        self.drafter().stroke(list, circle, ink, width, Dash::Solid);
        Some(Hold { gap: index, at, radius: self.balloon, gap_at })
    }

    /// Draws ticks and figures around the bore.
    fn dial(&self, list: &mut DisplayList, labels: &mut Labels) {
        let wall = self.radius * (1.0 + THICKNESS + 0.6 * THICKNESS);
        for i in 0..72_u16 {
            let deg = f64::from(i) * 5.0;
            let is_figure = i % 6 == 0;
            let fine = match self.input.dial {
                Dial::Clock => i % 3 == 0,
                Dial::Degrees => i % 2 == 0,
            };
            if !is_figure && !fine {
                continue;
            }
            let reach = if is_figure { 1.0 } else { 0.5 };
            let (a, b) = (self.polar.at(wall, deg), self.polar.at(wall + reach * (self.ticks - wall), deg));
            self.drafter().line(list, a, b, Ink::Third);
        }
        for i in 0..12_u16 {
            let at = self.polar.at(self.figures, f64::from(i) * 30.0);
            let text = match (self.input.dial, i) {
                (Dial::Clock, 0) => "12".to_owned(),
                (Dial::Clock, hour) => hour.to_string(),
                (Dial::Degrees, i) => (i * 30).to_string(),
            };
            let pose = Pose::middle(Point::new(at.x, at.y + self.small.capitals() / 2.0));
            labels.place_if_free(&text, self.small, Ink::Third, [pose]);
        }
    }

    /// Writes the name of the drawing in its middle.
    fn middle(&self, inner: f64, labels: &mut Labels) {
        let small = self.small;
        let lines = ["seen from above", &self.input.bore_text, "gaps drawn wide"];
        let fits = lines.iter().all(|line| small.width(line) < 1.9 * inner);
        let at = |row: f64| {
            let y = self.polar.centre.y + (row * 1.35) * small.size + small.capitals() / 2.0;
            Pose::middle(Point::new(self.polar.centre.x, y))
        };
        if fits {
            for (row, line) in [-1.0, 0.0, 1.0].into_iter().zip(lines) {
                labels.place_if_free(line, small, Ink::Second, [at(row)]);
            }
        }
    }

    /// Writes the names of zones on the wall: outside next to the figures, or
    /// inside the innermost ring.
    fn names(&self, inner: f64, labels: &mut Labels) {
        // No name lies across the innermost ring or the wall.
        for radius in [inner, self.radius, self.radius * (1.0 + THICKNESS)] {
            labels.keep_off(Circle::new(self.polar.centre, radius));
        }
        for zone in &self.input.zones {
            let letters = self.small;
            let word = [Word { text: &zone.name, letters, ink: Ink::Second }];
            let shifts = [0.0, 4.0, -4.0, 8.0, -8.0, 12.0, -12.0, 16.0, -16.0, 20.0, -20.0, 26.0, -26.0];
            let pose = |radius: f64, deg: f64, outward: bool| {
                let at = self.polar.at(radius, deg);
                let way = (at - self.polar.centre) / radius;
                let x = if outward { way.x } else { -way.x };
                let y = if outward { way.y } else { -way.y };
                let at = Point::new(at.x, at.y + letters.capitals() * (0.5 + 0.5 * y));
                match x {
                    x if x > 0.2 => Pose::from(at),
                    x if x < -0.2 => Pose::until(at),
                    _ => Pose::middle(at),
                }
            };
            let outside = self.figures + 0.9 * letters.size;
            let around = shifts.iter().map(|shift| pose(outside, zone.at_deg + shift, true));
            let beyond =
                shifts.iter().map(|shift| pose(outside + 0.8 * letters.size, zone.at_deg + shift, true));
            let within = shifts
                .iter()
                .filter(|_| zone.kind == ZoneKind::Port)
                .map(|shift| pose(inner - 2.0 * self.pens.breath, zone.at_deg + shift, false));
            labels.place_row(&word, around.chain(beyond).chain(within));
        }
    }

    /// Draws the pin axis and the one across it, interrupted for texts.
    fn axes(&self, list: &mut DisplayList, labels: &Labels) {
        let reach = self.radius * (1.0 + THICKNESS + 0.6 * THICKNESS);
        let c = self.polar.centre;
        let lines = vec![
            Line::new((c.x - reach, c.y), (c.x + reach, c.y)),
            Line::new((c.x, c.y - reach), (c.x, c.y + reach)),
        ];
        let holes: Vec<Convex> = labels
            .placed()
            .iter()
            .map(|placed| Convex::rect(placed.outline.bounds().inflate(self.pens.breath, 0.0)))
            .collect();
        for line in hatch::without(lines, &holes) {
            let path = line_path(line.p0, line.p1);
            self.drafter().stroke(list, path, Ink::Second, self.pens.narrow, Dash::Axis);
        }
    }
}

#[cfg(test)]
mod tests;
