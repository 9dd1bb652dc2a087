//! Makes the drawing of a bank from a choice of shims.

use crate::advise::shims::{Fit, ShimQuestion};
use crate::drawing::bank::{Bank, Barrel, Foil};
use crate::quantity::UnitChoice;
use crate::schema::limit::LimitId;

/// Returns the barrels under a head with these shims, the thick foils outside
/// (common practice). Whether a foil is soft is looked up in the stock; of a
/// hard and a soft one of one thickness the hard one counts.
#[must_use]
pub(crate) fn shim_bank(ask: &ShimQuestion, head: usize, fits: &[Fit], units: &UnitChoice) -> Bank {
    let foil = |&mm: &f64| {
        let mut alike = ask.stock.foils().iter().filter(|foil| (foil.mm - mm).abs() < 1e-9).peekable();
        let soft = alike.peek().is_some() && alike.all(|foil| foil.soft);
        Foil { mm, soft }
    };
    let barrel = |fit: &Fit| Barrel {
        label: ask.question.cylinders.get(fit.cylinder).map_or_else(String::new, |c| c.label.clone()),
        foils: outside_first(&fit.stack_mm).iter().map(foil).collect(),
        top_mm: fit.top_mm,
    };
    let tolerance_mm = if fits.len() > 1 { ask.limit(LimitId::Level, head) } else { None };
    Bank { barrels: fits.iter().map(barrel).collect(), tolerance_mm, units: *units }
}

/// Returns the foils from the case upward: the thickest at the case, the next
/// at the barrel, the thinnest in the middle.
fn outside_first(thinnest_first: &[f64]) -> Vec<f64> {
    let thickest_first = thinnest_first.iter().rev().enumerate();
    let (low, high): (Vec<_>, Vec<_>) = thickest_first.partition(|(i, _)| i % 2 == 0);
    low.into_iter().chain(high.into_iter().rev()).map(|(_, mm)| *mm).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thick_leaves_lie_outside() {
        assert_eq!(outside_first(&[0.1, 0.2, 0.3, 0.5]), [0.5, 0.2, 0.1, 0.3]);
        assert_eq!(outside_first(&[0.1, 0.2]), [0.2, 0.1]);
        assert_eq!(outside_first(&[]), [0.0; 0]);
    }
}
