//! Cuts off barrel tops, case, block deck or head to reach a goal: what to take
//! off, what to leave, from which face it is measured, and its tolerance.
//!
//! What a cut does is plane geometry. Taking x off a barrel, off the face of
//! the case or off the deck of a block lowers the top of the cylinder by x:
//! deck and squish lose x, the clearance volume loses π/4·B²·x. Taking x off
//! the face of a head takes a slice of the chamber: as wide as the bore while
//! the flat band lies set back, as wide as the chamber's plan from the band
//! on; the band comes nearer by the first part only. The walls are taken as
//! upright over so thin a slice; the chamber is filled again after the cut.

use crate::advise::what_if::WhatIf;
use crate::engine::num::PI;
use crate::engine::solid::ChamberKind;
use crate::engine::{Dims, Engine, Figures, Key};
use crate::quantity::{Kind, LengthUnit, UnitChoice, write};
use crate::schema::limit::{Limit, LimitId};
use crate::study::Question;
use crate::study::verdict::TOUCH;
use crate::study::words;

/// The face that is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Where {
    /// The top of one barrel.
    BarrelTop,
    /// The face of the case under the barrels of one head.
    CaseFace,
    /// The deck of a block, for all its cylinders at once.
    BlockDeck,
    /// The sealing face of a head, for all its chambers at once.
    HeadFace,
}

impl Where {
    /// Returns the name of the face, as a sentence states it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::BarrelTop => "barrel top",
            Self::CaseFace => "face of the case",
            Self::BlockDeck => "deck of the block",
            Self::HeadFace => "face of the head",
        }
    }

    /// Returns the datum from which the size that is left is measured.
    #[must_use]
    pub fn datum(self) -> &'static str {
        match self {
            Self::BarrelTop => "from the barrel's seat, square to the bore",
            Self::CaseFace | Self::BlockDeck => "from the crank centre line, parallel to it",
            Self::HeadFace => "parallel to the old sealing face",
        }
    }
}

/// The goal of a cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Goal {
    /// All tops under the head as high as the lowest.
    Level,
    /// This deck clearance, mm.
    Deck(f64),
    /// This squish, mm.
    Squish(f64),
    /// This static ratio.
    Ratio(f64),
}

/// The dimension that is left after the cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Left {
    /// The dimension.
    pub key: Key,
    /// Its value, mm or cc.
    pub value: f64,
}

/// One cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// The face.
    pub of: Where,
    /// The cylinders that it changes, by index.
    pub cylinders: Vec<usize>,
    /// Depth to take off, mm; above 0.
    pub remove_mm: f64,
    /// The size to leave, for each cylinder.
    pub leave: Vec<Left>,
    /// Tolerance, mm, for the limits that are set to hold; `None` where none of
    /// them says.
    pub tolerance_mm: Option<f64>,
    /// Figures of each cylinder after the cut.
    pub then: Vec<Figures>,
}

/// Returns the dimensions after a cut; `None` where the face can't be cut like
/// that: more than there is, or the face of a head whose band is proud of it.
#[must_use]
pub(crate) fn after(dims: &Dims, of: Where, remove_mm: f64, chamber: &ChamberKind) -> Option<Dims> {
    let value = |key| dims.filled(key).unwrap_or(0.0);
    if !(remove_mm.is_finite() && remove_mm >= 0.0) {
        return None;
    }
    let mut cut = *dims;
    if of == Where::HeadFace {
        let (bore, step) = (value(Key::Bore), value(Key::HeadStep));
        if step < 0.0 {
            return None;
        }
        let wide = remove_mm.min(step);
        let slice = PI / 4.0 * bore * bore * wide + chamber.plan_area_mm2(bore) * (remove_mm - wide);
        cut.set(Key::HeadStep, Some(step - wide));
        cut.set(Key::ChamberVolume, Some(value(Key::ChamberVolume) - slice / 1000.0));
        return Some(cut).filter(|cut| cut.filled(Key::ChamberVolume).is_some_and(|cc| cc >= 0.0));
    }
    let key = if of == Where::BarrelTop { Key::BarrelLength } else { Key::CaseHeight };
    let left = value(key) - remove_mm;
    if left <= 0.0 {
        return None;
    }
    cut.set(key, Some(left));
    // A reading of the deck on the parts as they were moves with the face.
    if let Some(read) = dims.get(Key::MockupDeck) {
        cut.set(Key::MockupDeck, Some(read - remove_mm));
    }
    Some(cut)
}

/// Returns the depth to take off one cylinder to reach a figure, mm; below 0
/// where metal would have to be added. `None` where this cut does not move it.
///
/// From the ratio R = S/V + 1 the volume to lose is V − S/(R − 1).
fn wanted_off(figures: &Figures, dims: &Dims, of: Where, goal: Goal, chamber: &ChamberKind) -> Option<f64> {
    let value = |key| dims.filled(key).unwrap_or(0.0);
    let (bore, step) = (value(Key::Bore), value(Key::HeadStep));
    let head = of == Where::HeadFace;
    match goal {
        Goal::Level => None,
        Goal::Deck(mm) => (!head).then_some(figures.deck_clearance - mm),
        Goal::Squish(mm) => {
            let off = figures.squish_clearance - mm;
            (!head || off <= step).then_some(off)
        }
        Goal::Ratio(ratio) => {
            let lose = (figures.clearance_volume - figures.swept / (ratio - 1.0)) * 1000.0;
            let across = PI / 4.0 * bore * bore;
            if !head || lose <= across * step {
                return Some(lose / across);
            }
            Some(step + (lose - across * step) / chamber.plan_area_mm2(bore))
        }
    }
}

/// Returns the cuts that reach a goal at one face of the engine. A face that
/// several cylinders share is cut once, as far as the first of them allows.
///
/// # Errors
/// A sentence that says why this can't be done by this cut.
pub(crate) fn cuts(
    question: &Question,
    cylinders: &[usize],
    of: Where,
    goal: Goal,
    chamber: &ChamberKind,
) -> Result<Vec<Cut>, String> {
    let mut off: Vec<(usize, Engine, f64)> = Vec::new();
    let lowest = cylinders
        .iter()
        .filter_map(|&i| crate::study::level::top(&question.cylinders.get(i)?.dims))
        .fold(f64::INFINITY, f64::min);
    for &place in cylinders {
        let Some(input) = question.cylinders.get(place) else { continue };
        let engine = Engine::new(input.dims).map_err(|faults| {
            let why = faults.first().map_or_else(String::new, ToString::to_string);
            format!("Cylinder {}: {why}", input.label)
        })?;
        let amount = match (goal, of, crate::study::level::top(&input.dims)) {
            (Goal::Level, Where::BarrelTop, Some(top)) => Some(top - lowest),
            _ => wanted_off(engine.figures(), &input.dims, of, goal, chamber),
        };
        let amount = amount.ok_or_else(|| format!("Cutting the {} does not reach that", of.name()))?;
        off.push((place, engine, amount));
    }
    if of != Where::BarrelTop {
        let least = off.iter().map(|one| one.2).fold(f64::INFINITY, f64::min);
        let all: Vec<(usize, Engine)> = off.into_iter().map(|(place, engine, _)| (place, engine)).collect();
        return cut(question, &all, of, goal, least, chamber).map(|cut| vec![cut]);
    }
    let needed = off.into_iter().filter(|one| goal != Goal::Level || one.2 > TOUCH);
    needed.map(|(place, engine, x)| cut(question, &[(place, engine)], of, goal, x, chamber)).collect()
}

fn cut(
    question: &Question,
    cylinders: &[(usize, Engine)],
    of: Where,
    goal: Goal,
    remove_mm: f64,
    chamber: &ChamberKind,
) -> Result<Cut, String> {
    let label = |place: usize| question.cylinders.get(place).map_or("", |c| c.label.as_str());
    if remove_mm < 0.0 {
        return Err(format!(
            "The {} of cylinder {} would have to be {} mm higher: a cut can't do that, a shim, a gasket or an opened \
             chamber can",
            of.name(),
            cylinders.first().map_or("", |one| label(one.0)),
            words::plain(-remove_mm, 3)
        ));
    }
    let (mut leave, mut then) = (Vec::new(), Vec::new());
    for (place, engine) in cylinders {
        let dims = after(engine.dims(), of, remove_mm, chamber).ok_or_else(|| {
            format!("The {} of cylinder {} can't be cut that far", of.name(), label(*place))
        })?;
        let built = Engine::new(dims).map_err(|faults| {
            let why = faults.first().map_or_else(String::new, ToString::to_string);
            format!("Cylinder {} after the cut: {why}", label(*place))
        })?;
        let key = match of {
            Where::BarrelTop => Key::BarrelLength,
            Where::CaseFace | Where::BlockDeck => Key::CaseHeight,
            Where::HeadFace => Key::ChamberVolume,
        };
        leave.push(Left { key, value: dims.filled(key).unwrap_or(0.0) });
        then.push(*built.figures());
    }
    let members: Vec<usize> = cylinders.iter().map(|one| one.0).collect();
    let tolerance_mm = tolerance(question, &members, of, goal, &then);
    Ok(Cut { of, cylinders: members, remove_mm, leave, tolerance_mm, then })
}

/// Returns the tolerance of a cut. Two tops that are each off by t differ by 2t
/// at most, so half of the level tolerance belongs to each; the ratio moves by
/// (R − 1)²/S·π/4·B² for each mm of height (from R = S/V + 1); squish may not
/// leave its limits.
fn tolerance(
    question: &Question,
    cylinders: &[usize],
    of: Where,
    goal: Goal,
    then: &[Figures],
) -> Option<f64> {
    let mut least: Option<f64> = None;
    let mut keep = |mm: f64| least = Some(least.map_or(mm, |least| least.min(mm)));
    for (&place, figures) in cylinders.iter().zip(then) {
        let head = question.cylinders.get(place).and_then(|c| question.heads.get(c.head));
        if let Some(head) = head.filter(|head| head.level && of == Where::BarrelTop)
            && let Some(level) =
                head.tolerance.as_ref().map(Limit::base).or(question.limits.value(LimitId::Level))
        {
            keep(level / 2.0);
        }
        if let (Goal::Ratio(_), Some(allowed)) = (goal, question.limits.value(LimitId::RatioTolerance)) {
            let r = figures.static_ratio - 1.0;
            keep(allowed * figures.swept * 1000.0 / (r * r * figures.bore_area));
        }
        if of != Where::HeadFace {
            for (limit, side) in [(LimitId::SquishMin, 1.0), (LimitId::SquishMax, -1.0)] {
                if let Some(limit) = question.limits.value(limit) {
                    keep(side * (figures.squish_clearance - limit));
                }
            }
        }
    }
    least.filter(|mm| *mm > 0.0)
}

/// Returns a length in both units, for a work order that leaves the house:
/// "0.35 mm (0.0138 in)".
#[must_use]
pub(crate) fn both_units(mm: f64) -> String {
    let inch = UnitChoice { length: LengthUnit::InchDecimal, ..UnitChoice::default() };
    let kind = Kind::Length;
    let metric = write(kind, mm, Some(2), &UnitChoice::default());
    format!("{metric} ({})", write(kind, mm, Some(4), &inch))
}

/// Returns the size to leave, its tolerance and its datum, in both units.
#[must_use]
pub(crate) fn plan(question: &Question, cut: &Cut, units: &UnitChoice) -> String {
    let label = |place: &usize| question.cylinders.get(*place).map_or("", |c| c.label.as_str());
    let size = |left: &Left| match left.key {
        Key::ChamberVolume => format!("a chamber of {}", write(Kind::Volume, left.value, Some(2), units)),
        _ => both_units(left.value),
    };
    let leave: Vec<String> = cut
        .cylinders
        .iter()
        .zip(&cut.leave)
        .map(|(place, left)| match cut.leave.len() {
            1 => size(left),
            _ => format!("{}: {}", label(place), size(left)),
        })
        .collect();
    // Never wider than allowed: rounded down to what a machinist reads.
    let whole = cut.tolerance_mm.map(|mm| (mm * 100.0 + 1e-6).floor() / 100.0).filter(|mm| *mm > 0.0);
    let tolerance =
        whole.map_or_else(|| "tolerance to agree".to_owned(), |mm| format!("±{}", both_units(mm)));
    format!("Leave {}; {tolerance}; measured {}.", leave.join(", "), cut.of.datum())
}

/// Returns every limit that these cuts together would break, a sentence each.
#[must_use]
pub(crate) fn broken(
    question: &Question,
    cuts: &[Cut],
    chamber: &ChamberKind,
    units: &UnitChoice,
) -> Vec<String> {
    let mut all = Vec::new();
    let mut now: Vec<Dims> = question.cylinders.iter().map(|c| c.dims).collect();
    for cut in cuts {
        for &place in &cut.cylinders {
            let Some(dims) = now.get_mut(place) else { continue };
            let Some(then) = after(dims, cut.of, cut.remove_mm, chamber) else { continue };
            *dims = then;
            let label = question.cylinders.get(place).map_or("", |c| c.label.as_str());
            if let Ok(would) = WhatIf::evaluate(question, place, then) {
                all.extend(would.broken().map(|judged| format!("{label}: {}.", judged.sentence(units))));
            }
        }
    }
    let touched = |head: usize| {
        let under = |place: &usize| question.cylinders.get(*place).is_some_and(|c| c.head == head);
        cuts.iter().any(|cut| cut.of == Where::BarrelTop && cut.cylinders.iter().any(under))
    };
    for (place, head) in
        question.heads.iter().enumerate().filter(|(place, head)| head.level && touched(*place))
    {
        let under = question.cylinders.iter().zip(&now).filter(|(c, _)| c.head == place);
        let tops = under.filter_map(|(_, dims)| crate::study::level::top(dims)).collect();
        let spread = crate::study::level::Level::of(tops).map_or(0.0, |level| level.spread);
        let most = head.tolerance.as_ref().map(Limit::base).or(question.limits.value(LimitId::Level));
        if let Some(most) = most.filter(|most| spread > most + TOUCH) {
            all.push(format!(
                "Head {} would not stand level: its tops would differ by {}, and at most {} is allowed.",
                head.label,
                write(Kind::Length, spread, None, units),
                write(Kind::Length, most, None, units)
            ));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::{CylinderInput, HeadInput};

    fn question() -> Question {
        let barrel = |label: &str, length: f64, chamber: f64| CylinderInput {
            label: label.into(),
            dims: Dims::new()
                .with(Key::Bore, 82.0)
                .with(Key::Stroke, 66.0)
                .with(Key::RodLength, 125.0)
                .with(Key::CompressionHeight, 36.0)
                .with(Key::CaseHeight, 98.0)
                .with(Key::BarrelLength, length)
                .with(Key::HeadStep, 0.3)
                .with(Key::ChamberVolume, chamber),
            ..Default::default()
        };
        let mut question = Question {
            cylinders: vec![barrel("1", 97.85, 44.0), barrel("2", 97.75, 44.6), barrel("3", 97.80, 43.5)],
            heads: vec![HeadInput { label: "R".into(), level: true, ..Default::default() }],
            ..Default::default()
        };
        question.limits.set(LimitId::Level, Some(Limit::builder(0.04)));
        question
    }

    const ALL: [usize; 3] = [0, 1, 2];

    /// Every cut is checked by building the engine with it.
    #[test]
    fn the_engine_built_with_a_cut_meets_what_was_wanted() {
        let q = question();
        let roof = ChamberKind::default();
        for (goal, of) in [
            (Goal::Ratio(8.2), Where::BarrelTop),
            (Goal::Ratio(8.2), Where::CaseFace),
            (Goal::Ratio(8.2), Where::HeadFace),
            (Goal::Ratio(10.0), Where::HeadFace),
            (Goal::Squish(1.2), Where::BarrelTop),
            (Goal::Squish(2.0), Where::HeadFace),
            (Goal::Deck(0.9), Where::CaseFace),
            (Goal::Deck(0.9), Where::BarrelTop),
        ] {
            let told = cuts(&q, &ALL, of, goal, &roof).unwrap();
            let mut met = 0;
            for cut in &told {
                for &i in &cut.cylinders {
                    let dims = after(&q.cylinders[i].dims, of, cut.remove_mm, &roof).unwrap();
                    let figures = *Engine::new(dims).unwrap().figures();
                    let (is, wanted, sign) = match goal {
                        Goal::Ratio(r) => (figures.static_ratio, r, 1.0),
                        Goal::Squish(mm) => (figures.squish_clearance, mm, -1.0),
                        Goal::Deck(mm) => (figures.deck_clearance, mm, -1.0),
                        Goal::Level => unreachable!(),
                    };
                    // Nobody is cut beyond what was wanted; with own tops all
                    // meet it, on a shared face the first one does.
                    assert!(sign * (is - wanted) < 1e-9, "{goal:?} {of:?}: {is}");
                    met += usize::from((is - wanted).abs() < 1e-9);
                }
            }
            assert!(met >= if of == Where::BarrelTop { 3 } else { 1 }, "{goal:?} {of:?}: {told:?}");
        }
    }

    #[test]
    fn a_reading_of_the_deck_moves_with_the_face_that_is_cut() {
        let mut q = question();
        let read = q.cylinders[0].dims.with(Key::MockupDeck, 1.80).with(Key::MockupShim, 0.0);
        q.cylinders[0].dims = read;
        let told = cuts(&q, &[0], Where::BarrelTop, Goal::Deck(1.2), &ChamberKind::default()).unwrap();
        assert!((told[0].remove_mm - 0.6).abs() < 1e-9);
        assert!((told[0].then[0].deck_clearance - 1.2).abs() < 1e-9);
    }

    #[test]
    fn tops_are_brought_to_the_lowest_with_half_the_tolerance_each() {
        let q = question();
        let told = cuts(&q, &ALL, Where::BarrelTop, Goal::Level, &ChamberKind::default()).unwrap();
        let off: Vec<(usize, f64)> = told.iter().map(|c| (c.cylinders[0], c.remove_mm)).collect();
        assert_eq!(off.len(), 2);
        assert!(off[0].0 == 0 && (off[0].1 - 0.10).abs() < 1e-9);
        assert!(off[1].0 == 2 && (off[1].1 - 0.05).abs() < 1e-9);
        assert_eq!(told[0].leave[0].key, Key::BarrelLength);
        assert!((told[0].leave[0].value - 97.75).abs() < 1e-9);
        assert_eq!(told[0].tolerance_mm, Some(0.02));
        assert_eq!(both_units(0.35), "0.35 mm (0.0138 in)");
    }

    #[test]
    fn the_tolerance_of_a_cut_moves_the_ratio_by_its_own_tolerance() {
        let mut q = question();
        q.heads[0].level = false;
        q.limits.set(LimitId::RatioTolerance, Some(Limit::builder(0.01)));
        let told = cuts(&q, &[0], Where::BarrelTop, Goal::Ratio(8.2), &ChamberKind::default()).unwrap();
        let more = told[0].remove_mm + told[0].tolerance_mm.unwrap();
        let dims = after(&q.cylinders[0].dims, Where::BarrelTop, more, &ChamberKind::default()).unwrap();
        let ratio = Engine::new(dims).unwrap().figures().static_ratio;
        assert!((ratio - 8.21).abs() < 1e-4, "{ratio}");
    }

    #[test]
    fn what_a_cut_cannot_do_is_told() {
        let mut q = question();
        let roof = ChamberKind::default();
        let says = |q: &Question, of, goal| cuts(q, &ALL, of, goal, &roof).unwrap_err();
        assert!(says(&q, Where::BarrelTop, Goal::Ratio(4.0)).contains("a cut can't do that"));
        assert!(says(&q, Where::HeadFace, Goal::Squish(0.2)).contains("does not reach that"));
        assert!(says(&q, Where::HeadFace, Goal::Deck(1.0)).contains("does not reach that"));
        for cylinder in &mut q.cylinders {
            cylinder.dims.set(Key::HeadStep, Some(-0.2));
        }
        assert!(says(&q, Where::HeadFace, Goal::Ratio(8.2)).contains("can't be cut that far"));
    }

    #[test]
    fn a_cut_is_planned_in_both_units_and_says_what_it_would_break() {
        let mut q = question();
        q.limits.set(LimitId::SquishMin, Some(Limit::builder(0.9)));
        q.limits.set(LimitId::Level, Some(Limit::builder(0.03)));
        let flat = ChamberKind::default();
        let units = UnitChoice::default();
        let all: Vec<usize> = (0..q.cylinders.len()).collect();
        let level = cuts(&q, &all, Where::BarrelTop, Goal::Level, &flat).unwrap();
        let told = broken(&q, &level, &flat, &units).join(" ");
        assert!(!told.contains("would not stand level"), "{told}");
        let words = plan(&q, &level[0], &units);
        assert!(
            words.contains(" mm (") && words.contains(" in)") && words.contains("from the barrel"),
            "{words}"
        );
        // One top cut by half a millimetre, alone.
        let far = Cut { remove_mm: 0.5, ..level[0].clone() };
        let told = broken(&q, &[far], &flat, &units).join(" ");
        assert!(told.contains("would not stand level") && told.contains("at most 0.03 mm"), "{told}");
    }
}
