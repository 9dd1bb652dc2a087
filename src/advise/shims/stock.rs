//! The stock of shims, ready to be counted.

use crate::quantity::{Kind, UnitChoice, write};
use crate::schema as given;

/// Picometres in a millimetre. Heights are counted in whole picometres while
/// choices are compared: typed decimals, thou and fractions down to a 64th then
/// add up exactly, and two equal levels are equal.
const PM_PER_MM: f64 = 1e9;

/// Converts a length in mm to whole picometres.
#[must_use]
pub(super) fn pm(mm: f64) -> i64 {
    // Saturates, which no length of an engine reaches.
    (mm * PM_PER_MM).round() as i64
}

/// Converts a length in whole picometres to mm.
#[must_use]
pub(super) fn mm(pm: i64) -> f64 {
    pm as f64 / PM_PER_MM
}

/// Shims of one thickness that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Foil {
    /// The thickness of one, mm.
    pub mm: f64,
    /// Whether it gives under load.
    pub soft: bool,
    /// Number in stock.
    pub count: u32,
}

/// The stock of shims.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// Thinnest first, hard before soft; every count above 0, no two alike.
    foils: Vec<Foil>,
    /// Remarks on the stock.
    pub remarks: Vec<StockRemark>,
}

/// A remark on the stock.
#[derive(Clone, Debug, PartialEq)]
pub enum StockRemark {
    /// No shim is listed.
    Empty,
    /// Every count is 0.
    AllUsed,
    /// A thickness is listed with a count of 0, mm.
    NoneLeft(f64),
    /// A thickness is listed more than once; the counts were added, mm.
    ListedTwice(f64),
    /// A thickness that is not above 0 can't be fitted, mm.
    NoThickness(f64),
}

impl StockRemark {
    /// Returns the remark as one sentence.
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        let length = |mm: f64| write(Kind::Length, mm, None, units);
        match *self {
            Self::Empty => {
                "The drawer is empty: only barrels without a shim were looked at. List the shims that you have.".into()
            }
            Self::AllUsed => {
                "Every shim in the drawer has a count of 0: only barrels without a shim were looked at.".into()
            }
            Self::NoneLeft(thickness) => {
                format!("Of {} there is none left: it was not looked at.", length(thickness))
            }
            Self::ListedTwice(thickness) => {
                format!("{} is listed more than once: the counts were added.", length(thickness))
            }
            Self::NoThickness(thickness) => {
                format!("A shim of {} can't be fitted: give a thickness above 0.", length(thickness))
            }
        }
    }
}

impl Stock {
    /// Makes the stock: counts of the same thickness are added, what is used up
    /// is left out.
    #[must_use]
    pub fn of(shims: &[given::Shim]) -> Self {
        let mut stock = Self::default();
        for shim in shims {
            let thickness = shim.thickness.base();
            if pm(thickness) <= 0 {
                stock.remarks.push(StockRemark::NoThickness(thickness));
            } else if shim.count == 0 {
                stock.remarks.push(StockRemark::NoneLeft(thickness));
            } else if let Some(foil) = stock.alike(thickness, shim.soft) {
                foil.count = foil.count.saturating_add(shim.count);
                stock.remarks.push(StockRemark::ListedTwice(thickness));
            } else {
                stock.foils.push(Foil { mm: thickness, soft: shim.soft, count: shim.count });
            }
        }
        stock.foils.sort_by(|a, b| a.mm.total_cmp(&b.mm).then(a.soft.cmp(&b.soft)));
        if stock.foils.is_empty() {
            stock.remarks.push(if shims.is_empty() { StockRemark::Empty } else { StockRemark::AllUsed });
        }
        stock
    }

    fn alike(&mut self, thickness: f64, soft: bool) -> Option<&mut Foil> {
        self.foils.iter_mut().find(|foil| pm(foil.mm) == pm(thickness) && foil.soft == soft)
    }

    /// Returns the shims: thinnest first, hard before soft.
    #[must_use]
    pub fn foils(&self) -> &[Foil] {
        &self.foils
    }

    /// Returns the same stock with more shims of one thickness, hard.
    #[must_use]
    pub(super) fn with(&self, thickness: f64, count: u32) -> Self {
        let mut more = self.clone();
        match more.alike(thickness, false) {
            Some(foil) => foil.count = foil.count.saturating_add(count),
            None => more.foils.push(Foil { mm: thickness, soft: false, count }),
        }
        more.foils.sort_by(|a, b| a.mm.total_cmp(&b.mm).then(a.soft.cmp(&b.soft)));
        more
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Quantity;

    fn shim(text: &str, count: u32, soft: bool) -> given::Shim {
        let thickness = Quantity::parse(Kind::Length, text).unwrap();
        given::Shim { thickness, count, material: String::new(), soft }
    }

    #[test]
    fn the_drawer_is_looked_through() {
        let stock = Stock::of(&[
            shim("0.50", 2, false),
            shim("10 thou", 1, false),
            shim("0.254 mm", 2, false),
            shim("0.2", 0, false),
            shim("0.5 mm", 1, true),
        ]);
        let told: Vec<_> = stock.foils().iter().map(|l| (l.mm, l.count, l.soft)).collect();
        assert_eq!(told, [(0.254, 3, false), (0.5, 2, false), (0.5, 1, true)]);
        let units = UnitChoice::default();
        let texts: Vec<_> = stock.remarks.iter().map(|r| r.sentence(&units)).collect();
        assert_eq!(
            texts,
            [
                "0.25 mm is listed more than once: the counts were added.",
                "Of 0.20 mm there is none left: it was not looked at."
            ]
        );
    }

    #[test]
    fn an_empty_drawer_and_one_of_zeros_are_told_apart() {
        assert_eq!(Stock::of(&[]).remarks, [StockRemark::Empty]);
        let zeros = Stock::of(&[shim("0.2", 0, false)]);
        assert_eq!(zeros.remarks, [StockRemark::NoneLeft(0.2), StockRemark::AllUsed]);
    }

    #[test]
    fn thou_and_decimals_add_up_exactly() {
        assert_eq!(pm(0.254) * 3, pm(0.762));
        assert_eq!(pm(104.44 + 97.86) + pm(0.15), pm(104.44 + 97.86 + 0.15));
        assert_eq!(mm(pm(25.4 / 64.0)), 25.4 / 64.0);
    }
}
