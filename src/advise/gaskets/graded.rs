//! Graded head gaskets: the maker lists classes by how far the pistons stand
//! proud of the block, and the piston that stands highest chooses for all.
//!
//! Source: workshop manuals of three makers of diesel engines have the same
//! rule (trade knowledge, quoted without their names): each piston is read at
//! two points over the pin, the two are averaged, and the largest average in
//! the block decides.

use super::heads::Offered;
use crate::engine::{Engine, Key, Provenance, words::gap};
use crate::quantity::UnitChoice;
use crate::study::question::Question;
use crate::study::verdict::TOUCH;

/// How far one piston stands proud of the block.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stand {
    /// The place of its cylinder.
    pub cylinder: usize,
    /// Proud of the face, mm; below 0 where it stays below.
    pub proud_mm: f64,
    /// Expanded uncertainty, mm, where readings give it.
    pub doubt: Option<f64>,
    /// Whether it was read, and does not only follow from the parts.
    pub read: bool,
}

/// What the classes say.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Class {
    /// This gasket, by its place in what is offered.
    Take(usize),
    /// A bound between two classes lies inside the uncertainty: the thinner
    /// and the thicker one.
    Between(usize, usize),
    /// The pistons stay lower than the table begins.
    BelowAll,
    /// A piston stands prouder than the table ends.
    AboveAll,
}

/// The choice by classes for the whole block.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Graded {
    /// Every piston, the one that stands highest first.
    pub stands: Vec<Stand>,
    /// What the highest one chooses.
    pub class: Class,
}

impl Graded {
    /// The piston that decides.
    #[must_use]
    pub(crate) fn rules(&self) -> Option<&Stand> {
        self.stands.first()
    }

    /// The choice in words.
    #[must_use]
    pub(crate) fn sentence(&self, question: &Question, offered: &[Offered], units: &UnitChoice) -> String {
        let name = |i: usize| offered.get(i).map_or("", |o| o.name.as_str());
        let Some(rules) = self.rules() else { return String::new() };
        let label = question.cylinders.get(rules.cylinder).map_or("", |c| c.label.as_str());
        let stands = gap(-rules.proud_mm, None, units);
        let head = format!("Piston {label} stands highest, {stands}, and chooses for the whole block");
        match self.class {
            Class::Take(i) => format!("{head}: ‘{}’", name(i)),
            Class::Between(thin, thick) => format!(
                "{head}: too near to call between ‘{}’ and ‘{}’. Read it again; the thicker one keeps the gap",
                name(thin),
                name(thick)
            ),
            Class::BelowAll => format!(
                "{head}, and that is below the first class: read it again, then ask the maker's table"
            ),
            Class::AboveAll => format!(
                "{head}, and that is above the last class: no listed gasket keeps the gap. Look for a wrong piston, a wrong rod or a block that was cut"
            ),
        }
    }
}

/// Chooses by classes; none where no gasket has one or a cylinder can't
/// exist. `Err` names cylinders by their places whose deck is not known.
///
/// A stand between the end of one class and the beginning of the next, which
/// a table in hundredths leaves open, belongs to the next.
///
/// # Errors
/// The places of the cylinders that can't be computed.
pub(crate) fn graded(question: &Question, offered: &[Offered]) -> Result<Option<Graded>, Vec<usize>> {
    let mut classes: Vec<(usize, f64, f64)> =
        offered.iter().enumerate().filter_map(|(i, o)| o.class.map(|(from, to)| (i, from, to))).collect();
    if classes.is_empty() || question.cylinders.is_empty() {
        return Ok(None);
    }
    classes.sort_by(|a, b| a.2.total_cmp(&b.2).then(a.0.cmp(&b.0)));
    let mut unknown = Vec::new();
    let mut stands = Vec::new();
    for (cylinder, input) in question.cylinders.iter().enumerate() {
        // The reading is the mean over the pin, which is what the tables ask
        // for; without one the chain of dimensions stands in.
        match (&input.measured.deck, Engine::new(input.dims)) {
            (Some(read), _) => stands.push(Stand {
                cylinder,
                proud_mm: -read.value,
                doubt: Some(read.uncertainty().expanded()).filter(|u| *u > 0.0),
                read: true,
            }),
            (None, Ok(engine)) => stands.push(Stand {
                cylinder,
                proud_mm: -engine.figures().deck_clearance,
                doubt: input.doubt.deck_clearance,
                read: input.dims.get(Key::MockupDeck).is_some()
                    && input.known.get(Key::MockupDeck) == Provenance::Measured,
            }),
            (None, Err(_)) => unknown.push(cylinder),
        }
    }
    if !unknown.is_empty() {
        return Err(unknown);
    }
    stands.sort_by(|a, b| b.proud_mm.total_cmp(&a.proud_mm));
    let highest = stands.first().map_or(0.0, |s| s.proud_mm);
    // Any piston may be the highest: the block's stand lies between the
    // greatest low end and the greatest high end of all of them.
    let end = |sign: f64| {
        stands.iter().map(|s| s.proud_mm + sign * s.doubt.unwrap_or(0.0)).fold(f64::NEG_INFINITY, f64::max)
    };
    let lowest_class = classes.first().map_or(0.0, |c| c.1);
    let class_of = |stand: f64| classes.iter().find(|c| stand <= c.2 + TOUCH).map(|c| c.0);
    let class = if highest < lowest_class - TOUCH {
        Class::BelowAll
    } else {
        match (class_of(highest), class_of(end(-1.0)), class_of(end(1.0))) {
            (None, ..) => Class::AboveAll,
            (Some(at), _, Some(above)) if above != at => Class::Between(at, above),
            (Some(at), Some(below), _) if below != at => Class::Between(below, at),
            (Some(at), ..) => Class::Take(at),
        }
    };
    Ok(Some(Graded { stands, class }))
}
