//! The last step of the choice: the deck is read again over the shims that were
//! fitted, and compared with the computed one.

use crate::engine::Key;
use crate::engine::words::gap;
use crate::quantity::UnitChoice;
use crate::study::answers::Answers;
use crate::study::question::Question;
use crate::study::routes::{Crosscheck, Route};

/// The verification of the shims under one barrel by a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Verification<'a> {
    /// No deck was read, or not over which shims.
    NotMeasured,
    /// It was read over other shims, of so many mm together.
    Stale(f64),
    /// It was read over these shims; the computed deck against it.
    Measured(&'a Crosscheck),
}

/// A thickness is the same within a nanometre: sums of typed decimals.
const SAME_MM: f64 = 1e-6;

/// Returns the verification of the shims under the barrel at `place`; `None`
/// where the cylinder can't exist.
#[must_use]
pub(crate) fn verify<'a>(
    question: &Question,
    answers: &'a Answers,
    place: usize,
) -> Option<Verification<'a>> {
    let input = question.cylinders.get(place)?;
    let solved = answers.cylinders.get(place)?.solved()?;
    let now = input.dims.filled(Key::BaseShim)?;
    let route = solved.routes.iter().find(|route| route.route == Route::Deck);
    let then = input.measured.deck.as_ref().and_then(|deck| deck.shim);
    Some(match (route, then) {
        (Some(route), Some(then)) if (then - now).abs() < SAME_MM => Verification::Measured(route),
        (Some(_), Some(then)) => Verification::Stale(then),
        _ => Verification::NotMeasured,
    })
}

impl Verification<'_> {
    /// Returns the verification in one sentence, in the user's units.
    #[must_use]
    pub(crate) fn sentence(&self, units: &UnitChoice) -> String {
        match self {
            Self::NotMeasured => "no deck was read over these shims yet".into(),
            Self::Stale(then) => {
                let then = crate::quantity::write(crate::quantity::Kind::Length, *then, None, units);
                format!("the deck was read over {then} of shim, not over what lies there now: read it again")
            }
            Self::Measured(route) => format!(
                "read {} over these shims, computed {}. {}",
                gap(route.read, None, units),
                gap(route.computed, None, units),
                route.sentence(units)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advise::shims::{Budget, MAX_NODES, answer};
    use crate::project::{History, demos};
    use crate::schema::{Aim, Margin};

    /// The demo was read over 0.25 mm under every barrel.
    #[test]
    fn a_deck_read_before_the_shims_went_in_confirms_nothing() {
        let mut history =
            History::new(demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap());
        let told = |history: &History| {
            let question = history.present().question();
            let answers = Answers::to(&question);
            verify(&question, &answers, 0).map(|closing| closing.sentence(&UnitChoice::default()))
        };
        let before = told(&history).unwrap();
        assert!(
            before.starts_with("read 1.22 mm below over these shims, computed 1.22 mm below."),
            "{before}"
        );
        let ask = history.present().shim_ask(Margin::None, Aim::Ratio);
        let all = answer(&ask, &mut Budget::new(MAX_NODES, &|| false));
        let fits =
            &all.heads.iter().find(|head| head.head == ask.question.cylinders[0].head).unwrap().choices[0]
                .fits;
        assert!((fits[0].height_mm - 0.25).abs() > 0.01, "the choice changes what lies there");
        let edit = history.present().fit_shims("Fit".into(), fits).unwrap();
        history.apply(&edit, None).unwrap();
        let after = told(&history).unwrap();
        assert_eq!(
            after,
            "the deck was read over 0.25 mm of shim, not over what lies there now: read it again"
        );
    }
}
