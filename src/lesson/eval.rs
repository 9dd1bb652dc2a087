//! Evaluation of expressions for the engine at hand.

use super::expr::{Across, Compare, Expr, Join, Node, Read, Sort};
use super::fact::{Fact, RingFact};
use crate::advise::rings;
use crate::advise::rings::{Growth, Verdict};
use crate::engine::{Dims, Engine, Key};
use crate::project::Project;
use crate::reading::{DeckPlace, Evaluation, Subject, evaluate};
use crate::schema::Role;
use crate::study::level::{Level, top};
use crate::study::{Answers, CylinderInput, Figure, Question};
use std::sync::Arc;

/// An engine at one moment, with everything that follows from it. Cheap to
/// copy.
#[derive(Clone, Debug)]
pub struct Moment {
    /// The document.
    pub project: Arc<Project>,
    /// The question that was asked of it.
    pub question: Arc<Question>,
    /// The answers.
    pub answers: Arc<Answers>,
}

impl Moment {
    /// Computes the answers for a project.
    #[must_use]
    pub fn of(project: Arc<Project>) -> Self {
        let question = Arc::new(project.question());
        let answers = Arc::new(Answers::to(&question));
        Self { project, question, answers }
    }
}

/// A view or a panel that a lesson may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "each is the view or drawer of that name")]
pub enum Shows {
    Section,
    Towers,
    Figures,
    Effects,
    Readings,
    Shims,
    Rings,
}

all!(pub Shows: Section, Towers, Figures, Effects, Readings, Shims, Rings);

impl Shows {
    /// Returns its name in an expression and in a lesson file.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Section => "section",
            Self::Towers => "towers",
            Self::Figures => "figures",
            Self::Effects => "effects",
            Self::Readings => "readings",
            Self::Shims => "shims",
            Self::Rings => "rings",
        }
    }

    pub(super) fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|shows| shows.id() == id)
    }
}

/// The context in which an expression is evaluated.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// The engine now.
    pub now: &'a Moment,
    /// The engine when the step began.
    pub start: &'a Moment,
    /// The chosen cylinder, from 0.
    pub cylinder: usize,
    /// Degrees after piston top dead centre.
    pub crank_deg: f64,
    /// The open views and panels.
    pub shows: &'a [Shows],
}

/// The value of an expression.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// True or false.
    Truth(bool),
    /// A number in the base unit of its sort.
    Number(f64),
}

impl Scene<'_> {
    /// Evaluates an expression; `None` where something it needs is missing,
    /// such as a figure of an engine that can't exist.
    #[must_use]
    pub fn value(&self, expr: &Expr) -> Option<Value> {
        self.at().value(expr)
    }

    /// Returns whether a condition is known to hold.
    #[must_use]
    pub fn holds(&self, expr: &Expr) -> bool {
        self.at().truth(expr) == Some(true)
    }

    /// Evaluates an expression that gives a number; `None` for any other.
    #[must_use]
    pub fn number(&self, expr: &Expr) -> Option<f64> {
        self.at().number(expr)
    }

    fn at(&self) -> At<'_> {
        At {
            scene: self,
            moment: self.now,
            cylinder: self.cylinder,
            crank_deg: self.crank_deg,
            changed: Vec::new(),
        }
    }
}

/// Returns the subject under which a reading of this dimension is kept.
pub(super) fn subject(key: Key) -> Subject {
    if key == Key::MockupDeck { Subject::Deck } else { Subject::Dimension(key) }
}

/// Temperatures of ring and bore in [`RingFact::Closes`], K above the bench:
/// the bore a hundred, the ring a hundred more. Ring over bore 80 to 160 K is
/// common practice.
pub(super) const WARM: (f64, f64) = (200.0, 100.0);

/// A cylinder at a moment, with the changes of a `with`.
#[derive(Clone)]
pub(super) struct At<'a> {
    scene: &'a Scene<'a>,
    pub(super) moment: &'a Moment,
    pub(super) cylinder: usize,
    pub(super) crank_deg: f64,
    changed: Vec<(Key, f64)>,
}

impl At<'_> {
    pub(super) fn input(&self) -> Option<&CylinderInput> {
        self.moment.question.cylinders.get(self.cylinder)
    }

    /// Returns the dimensions of the cylinder as changed.
    pub(super) fn dims(&self) -> Option<Dims> {
        let mut dims = self.input()?.dims;
        for &(key, value) in &self.changed {
            dims.set(key, Some(value));
        }
        Some(dims)
    }

    /// Returns the same cylinder as the step began.
    pub(super) fn at_start(&self) -> Self {
        Self { moment: self.scene.start, changed: Vec::new(), ..self.clone() }
    }

    /// Returns the cylinder, or `None` if it can't exist.
    pub(super) fn engine(&self) -> Option<Engine> {
        if self.changed.is_empty() {
            return self.moment.answers.cylinders.get(self.cylinder)?.solved().map(|solved| solved.engine);
        }
        Engine::new(self.dims()?).ok()
    }

    /// Returns highest less lowest top under the head of the cylinder.
    pub(super) fn level(&self) -> Option<f64> {
        let head = self.input()?.head;
        let tops = self.moment.question.cylinders.iter().enumerate().filter(|(_, c)| c.head == head).map(
            |(index, input)| {
                if index == self.cylinder { top(&self.dims()?) } else { top(&input.dims) }
            },
        );
        Level::of(tops.collect::<Option<Vec<f64>>>()?).map(|level| level.spread)
    }

    pub(super) fn doubt(&self, figure: Figure) -> Option<f64> {
        let engine = self.engine()?;
        let all = self.input()?.measured.first_order(&engine);
        let found = all.iter().find(|p| p.figure == figure)?;
        Some(found.uncertainty.expanded()).filter(|u| *u > 0.0)
    }

    fn share(&self, key: Key, figure: Figure) -> Option<f64> {
        let engine = self.engine()?;
        let all = self.input()?.measured.first_order(&engine);
        let found = all.iter().find(|p| p.figure == figure)?;
        Some(found.contributions.iter().find(|c| c.key == key).map_or(0.0, |c| c.share))
    }

    /// Evaluates the readings of one subject in the cylinder.
    fn evaluation(&self, of: &Subject) -> Option<Evaluation> {
        let label = &self.input()?.label;
        let project = &self.moment.project;
        let all = evaluate(&project.readings, &project.instruments).ok()?;
        all.into_iter().find(|e| e.cylinder == *label && e.of == *of)
    }

    pub(super) fn deck_readings(&self) -> Option<Evaluation> {
        self.evaluation(&Subject::Deck)
    }

    fn read(&self, read: Read, key: Key) -> Option<f64> {
        let of = subject(key);
        let evaluation = self.evaluation(&of);
        match read {
            Read::Times => {
                let places = evaluation.map(|e| e.places).unwrap_or_default();
                return Some(places.iter().map(|place| place.count).sum::<usize>() as f64);
            }
            Read::Struck => {
                let label = &self.input()?.label;
                let own = self.moment.project.readings.iter().filter(|r| r.cylinder == *label && r.of == of);
                return Some(own.flat_map(|r| &r.values).filter(|v| v.struck.is_some()).count() as f64);
            }
            Read::Odd => {
                let odd = evaluation.map(|e| e.odd).unwrap_or_default();
                return Some(odd.iter().filter(|odd| odd.kept.is_none()).count() as f64);
            }
            _ => {}
        }
        let evaluation = evaluation?;
        match read {
            Read::Value => evaluation.estimate.map(|estimate| estimate.value),
            Read::Doubt => evaluation.estimate.map(|estimate| estimate.uncertainty().expanded()),
            Read::Spread => evaluation.places.iter().filter_map(|place| place.spread).reduce(f64::max),
            Read::Times | Read::Struck | Read::Odd => None,
        }
    }

    /// Returns the crank angle from where the piston comes within this depth of
    /// its top to where it leaves.
    fn dwell(&self, depth_mm: f64) -> Option<f64> {
        let (down, up) = self.engine()?.figures().crank.angles_at(depth_mm)?;
        Some(down + up)
    }

    fn edge(&self, place: &DeckPlace) -> Option<f64> {
        let found = self.deck_readings()?;
        found.places.iter().find(|p| p.place.as_ref() == Some(place))?.mean
    }

    fn edge_times(&self, place: &DeckPlace) -> f64 {
        let places = self.deck_readings().map(|found| found.places).unwrap_or_default();
        places.iter().filter(|p| p.place.as_ref() == Some(place)).map(|p| p.count).sum::<usize>() as f64
    }

    fn ring(&self, number: usize, fact: RingFact) -> Option<f64> {
        let project = &self.moment.project;
        if fact == RingFact::Stands {
            let role = Role::Compression(u8::try_from(number + 1).ok()?);
            let places = project.ring_study().places;
            return places.iter().find(|place| place.role == role).map(|place| place.angle_deg);
        }
        let label = self.input()?.label.clone();
        let read = evaluate(&project.readings, &project.instruments).ok()?;
        let cylinders = [(label, self.dims()?)];
        let asked = rings::ask(
            &project.rings,
            &cylinders,
            &project.engine.materials.barrel,
            &read,
            &project.instruments,
        );
        let ring = asked.rings.get(number)?;
        let bore = asked.bores.first()?;
        match fact {
            RingFact::ForWear => return Some(rings::gap_after(0.0, 0.01)),
            RingFact::Closes => {
                let of_ring = Growth { per_kelvin: ring.per_kelvin?, kelvin: WARM.0 };
                let of_bore = Growth { per_kelvin: bore.per_kelvin?, kelvin: WARM.1 };
                return Some(rings::cold_gap_that_closes(bore.mm?, of_ring, of_bore));
            }
            _ => {}
        }
        // The list names all bores; only this cylinder's is asked about.
        let mut own = ring.clone();
        own.stages.retain(|stages| stages.cylinder == bore.cylinder);
        let answers = rings::answers(&[own], &asked.bores, None).ok()?;
        let gap = answers.first()?.gaps.first()?;
        match fact {
            RingFact::Wanted => Some(gap.wanted_mm),
            RingFact::Delivered => gap.stages.delivered_mm,
            RingFact::Now => gap.now.map(|(_, mm)| mm),
            RingFact::ToFile => match gap.verdict {
                Verdict::File { remove_mm, .. } => Some(remove_mm),
                Verdict::Unmeasured => None,
                _ => Some(0.0),
            },
            RingFact::ForWear | RingFact::Closes | RingFact::Stands => None,
        }
    }

    fn number(&self, expr: &Expr) -> Option<f64> {
        match self.value(expr)? {
            Value::Number(number) => Some(number),
            Value::Truth(_) => None,
        }
    }

    fn truth(&self, expr: &Expr) -> Option<bool> {
        match self.value(expr)? {
            Value::Truth(truth) => Some(truth),
            Value::Number(_) => None,
        }
    }

    fn value(&self, expr: &Expr) -> Option<Value> {
        let truth = |truth: Option<bool>| truth.map(Value::Truth);
        let number = |number: Option<f64>| number.filter(|n| n.is_finite()).map(Value::Number);
        match &expr.node {
            Node::Truth(value) => Some(Value::Truth(*value)),
            Node::Number(value) => Some(Value::Number(*value)),
            Node::Dimension(key) => number(self.dims()?.filled(*key)),
            Node::Fact(fact) => self.fact(*fact),
            Node::Shows(shows) => Some(Value::Truth(self.scene.shows.contains(shows))),
            Node::Not(inner) => truth(self.truth(inner).map(|t| !t)),
            Node::Both(a, b) => truth(match (self.truth(a), self.truth(b)) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (a, b) => a.zip(b).map(|(a, b)| a && b),
            }),
            Node::Either(a, b) => truth(match (self.truth(a), self.truth(b)) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (a, b) => a.zip(b).map(|(a, b)| a || b),
            }),
            Node::Compared(compare, a, b) => {
                truth(self.number(a).zip(self.number(b)).map(|(a, b)| compared(*compare, a, b)))
            }
            Node::Negative(inner) => number(self.number(inner).map(|n| -n)),
            Node::Abs(inner) => number(self.number(inner).map(f64::abs)),
            Node::Joined(join, a, b) => {
                number(self.number(a).zip(self.number(b)).and_then(|(a, b)| joined(*join, a, b)))
            }
            Node::Start(inner) => At { moment: self.scene.start, ..self.clone() }.value(inner),
            Node::Cylinder(label, inner) => {
                let cylinder = self.moment.question.cylinders.iter().position(|c| c.label == *label)?;
                At { cylinder, changed: Vec::new(), ..self.clone() }.value(inner)
            }
            Node::With(key, value, inner) => {
                let mut changed = self.changed.clone();
                changed.push((*key, self.number(value)?));
                At { changed, ..self.clone() }.value(inner)
            }
            Node::Turned(angle, inner) => At { crank_deg: self.number(angle)?, ..self.clone() }.value(inner),
            Node::Dwell(depth) => number(self.dwell(self.number(depth)?)),
            Node::Across(across, inner) => self.across(*across, inner),
            Node::Read(read, key) => number(self.read(*read, *key)),
            Node::Edge(place) => number(self.edge(place)),
            Node::EdgeTimes(place) => number(Some(self.edge_times(place))),
            Node::Share(key, figure) => number(self.share(*key, *figure)),
            Node::Ring(ring, fact) => number(self.ring(*ring, *fact)),
        }
    }

    fn fact(&self, fact: Fact) -> Option<Value> {
        let value = fact.value(self).filter(|n| n.is_finite())?;
        Some(if fact.sort() == Sort::Truth { Value::Truth(value != 0.0) } else { Value::Number(value) })
    }

    fn across(&self, across: Across, inner: &Expr) -> Option<Value> {
        let each = (0..self.moment.question.cylinders.len())
            .map(|cylinder| At { cylinder, ..self.clone() }.value(inner));
        let values: Vec<Value> = each.collect::<Option<_>>()?;
        let numbers = values.iter().filter_map(|value| match value {
            Value::Number(number) => Some(*number),
            Value::Truth(_) => None,
        });
        let truths = |wanted: bool| values.contains(&Value::Truth(wanted));
        match across {
            Across::Least => numbers.reduce(f64::min).map(Value::Number),
            Across::Most => numbers.reduce(f64::max).map(Value::Number),
            Across::Spread => {
                let (low, high) = (numbers.clone().reduce(f64::min)?, numbers.reduce(f64::max)?);
                Some(Value::Number(high - low))
            }
            Across::All => Some(Value::Truth(!truths(false))),
            Across::Any => Some(Value::Truth(truths(true))),
        }
    }
}

/// Relative difference below which values are the same: a billionth of the
/// larger one, far below what any instrument reads and above the rounding of
/// long sums.
const SAME: f64 = 1e-9;

fn compared(compare: Compare, a: f64, b: f64) -> bool {
    let same = (a - b).abs() <= SAME * a.abs().max(b.abs()).max(1.0);
    match compare {
        Compare::Less => a < b && !same,
        Compare::AtMost => a < b || same,
        Compare::Same => same,
        Compare::Other => !same,
        Compare::AtLeast => a > b || same,
        Compare::More => a > b && !same,
    }
}

fn joined(join: Join, a: f64, b: f64) -> Option<f64> {
    Some(match join {
        Join::Plus => a + b,
        Join::Minus => a - b,
        Join::Times => a * b,
        Join::Over if b == 0.0 => return None,
        Join::Over => a / b,
        Join::Min => a.min(b),
        Join::Max => a.max(b),
        Join::Round if b <= 0.0 => return None,
        Join::Round => (a / b).round() * b,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::demos;

    fn six() -> Moment {
        let demo = demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap();
        Moment::of(Arc::new(demo.project().unwrap()))
    }

    fn value(moment: &Moment, text: &str) -> Option<Value> {
        let expr = Expr::parse(text, &[]).unwrap();
        let scene =
            Scene { now: moment, start: moment, cylinder: 0, crank_deg: 0.0, shows: &[Shows::Towers] };
        scene.value(&expr)
    }

    fn number(moment: &Moment, text: &str) -> f64 {
        match value(moment, text) {
            Some(Value::Number(number)) => number,
            other => panic!("{text}: {other:?}"),
        }
    }

    /// Against the reference that `project::demo` holds for this engine
    /// (figures of two other programs, four decimals).
    #[test]
    fn facts_are_those_of_the_engine() {
        let six = six();
        for (text, expected) in [
            ("deck_clearance", 1.2211),
            ("squish_clearance", 1.2211),
            ("static_ratio", 9.1824),
            ("clearance_volume", 52.5463),
            ("swept_volume", 429.9565),
            ("cylinder('5', squish_clearance)", 1.0911),
            ("least(deck_clearance)", 1.0911),
            ("most(static_ratio)", 9.2545),
            // 202.72, 202.73, 202.72 against 202.67, 202.61, 202.68.
            ("level", 0.01),
            ("cylinder('5', level)", 0.07),
            ("most(level)", 0.07),
            ("tower − reach", 1.2211),
            ("throw", 37.0),
            ("level_max", 0.03),
            ("ratio_wanted", 9.3),
            ("cylinders", 6.0),
            ("1 + 2 × 3 − 8 ÷ 4", 5.0),
            ("round(1.1011, 0.1)", 1.1),
            ("−2 + 3", 1.0),
        ] {
            let actual = number(&six, text);
            assert!((actual - expected).abs() < 0.6e-4, "{text}: {actual} against {expected}");
        }
        assert_eq!(value(&six, "possible and shows(towers) and not shows(rings)"), Some(Value::Truth(true)));
        assert_eq!(value(&six, "all(level ≤ level_max)"), Some(Value::Truth(false)));
        assert_eq!(value(&six, "any(level ≤ level_max) or 1 > 2"), Some(Value::Truth(true)));
    }

    #[test]
    fn what_if_changes_the_argument_and_nothing_else() {
        let six = six();
        let (now, out) = (number(&six, "deck_clearance"), number(&six, "with(base_shim, 0, deck_clearance)"));
        assert!((now - out - 0.25).abs() < 1e-12);
        assert!((number(&six, "with(base_shim, 0.35 mm, level)") - 0.10).abs() < 1e-9);
        assert_eq!(number(&six, "deck_clearance"), now);
        // A rim that meets the head: no figure, and no truth about it.
        assert_eq!(value(&six, "with(compression_height, 40 mm, static_ratio)"), None);
        assert_eq!(value(&six, "with(compression_height, 40 mm, static_ratio > 9)"), None);
        assert_eq!(value(&six, "with(compression_height, 40 mm, possible)"), Some(Value::Truth(false)));
        assert_eq!(value(&six, "1 ÷ 0"), None);
    }

    #[test]
    fn the_crank_turns_for_the_argument() {
        let six = six();
        assert_eq!(number(&six, "position"), 0.0);
        let ten = number(&six, "turned(10 deg, position)");
        // S/2·(1 − cos a)(1 + λ·cos² (a/2)) to first order, λ = 37/130.
        assert!((ten - 0.72).abs() < 0.02, "{ten}");
        assert!((number(&six, "turned(0, ratio_so_far)") - 9.1824).abs() < 1e-4);
    }

    #[test]
    fn readings_and_rings_are_those_of_the_studies() {
        let six = six();
        for (text, expected, within) in [
            // 1.21, 1.23, 1.22 in front and 1.21, 1.22, 1.23 behind, 1.16 and
            // 1.29 across.
            ("read(mockup_deck)", 1.22, 1e-9),
            ("times(mockup_deck)", 8.0, 0.0),
            ("edge(thrust)", 1.16, 1e-9),
            ("edge_times(pin_axis_front)", 3.0, 0.0),
            ("rock", 0.065, 1e-9),
            ("spread_read(chamber_volume)", 0.3, 1e-9),
            ("times(chamber_volume)", 3.0, 0.0),
            ("times(stroke)", 0.0, 0.0),
            // 0.0045 of 86.01, delivered with 0.30.
            ("ring(1, wanted)", 0.387_045, 1e-9),
            ("ring(1, delivered)", 0.30, 1e-9),
            ("ring(1, to_file)", 0.087_045, 1e-9),
            ("ring(1, for_wear)", 0.031_416, 1e-6),
        ] {
            let actual = number(&six, text);
            assert!((actual - expected).abs() <= within, "{text}: {actual} against {expected}");
        }
        let shares = number(&six, "share(chamber_volume, static_ratio)");
        assert!(shares > 0.5 && shares <= 1.0, "the burette rules the ratio: {shares}");
    }
}
