//! Values that are questioned: possible, but so far from what engines are
//! that a slip of the unit or of the decimal mark is likelier. They are never
//! refused and never changed.

use crate::engine::Key;
use crate::quantity::{Quantity, Slip, suspects};

/// A value that is questioned.
#[derive(Clone, Debug, PartialEq)]
pub struct Questioned {
    /// The dimension.
    pub key: Key,
    /// What is strange about it, with the readings that would be plausible:
    /// one sentence.
    pub text: String,
    /// What may have been meant, likeliest first.
    pub meant: Vec<Quantity>,
}

/// A shim or gasket thinner than this, mm, is questioned: household foil is
/// about 0.016 mm thick (from memory) and no leaf is sold so thin.
const THINNEST_MM: f64 = 0.02;

/// Questions a value as it was typed; none where it is plausible.
///
/// ```
/// use crowndeck::engine::Key;
/// use crowndeck::quantity::{Kind, Quantity};
/// use crowndeck::study::plausible::question;
/// let typed = Quantity::parse(Kind::Length, "0.014")?;
/// let questioned = question(Key::GasketThickness, &typed).unwrap();
/// assert!(questioned.text.ends_with("thinner than foil. Did you mean 0.014 in?"));
/// # Ok::<(), crowndeck::quantity::QuantityError>(())
/// ```
#[must_use]
pub fn question(key: Key, value: &Quantity) -> Option<Questioned> {
    let row = key.row();
    let (low, high) = row.plausible;
    let thin = key.row().thin && value.base() > 0.0 && value.base() < THINNEST_MM;
    let range = if thin { (THINNEST_MM, high) } else { (low, high) };
    let Slip { meant } = suspects(value, range)?;
    let unit = row.kind.base_unit();
    let gap = unit.gap();
    let why = if thin {
        "thinner than foil".to_owned()
    } else {
        format!("outside {low} to {high}{gap}{}, where most engines lie", unit.symbol())
    };
    let ask = meant.first().map_or(String::new(), |likeliest| format!(" Did you mean {likeliest}?"));
    Some(Questioned { key, text: format!("{} {value}: {why}.{ask}", row.name), meant })
}

/// The same for a value in the base unit; nothing is allocated for a
/// plausible one.
#[must_use]
pub fn question_base(key: Key, base: f64) -> Option<Questioned> {
    let (low, high) = key.row().plausible;
    let thin = key.row().thin && base > 0.0 && base < THINNEST_MM;
    if (low..=high).contains(&base) && !thin {
        return None;
    }
    question(key, &Quantity::of(key.kind(), base).ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Kind;

    #[test]
    fn a_slip_is_questioned_with_what_was_meant() {
        let ask = |key: Key, text: &str| {
            let typed = Quantity::parse(key.kind(), text).expect("a value");
            question(key, &typed).map(|q| q.text)
        };
        assert_eq!(
            ask(Key::Bore, "3.4375").as_deref(),
            Some("Bore 3.4375 mm: outside 10 to 250 mm, where most engines lie. Did you mean 3.4375 in?")
        );
        assert_eq!(
            ask(Key::BaseShim, "0.014").as_deref(),
            Some("Base shim 0.014 mm: thinner than foil. Did you mean 0.014 in?")
        );
        assert_eq!(ask(Key::BaseShim, "0"), None, "no shim is no slip");
        assert_eq!(ask(Key::BaseShim, "10 thou"), None);
        assert_eq!(
            ask(Key::IntakeClosing, "400").as_deref().map(|t| t.ends_with("Did you mean 40 deg?")),
            Some(true)
        );
    }

    #[test]
    fn a_value_in_base_units_is_questioned_alike() {
        for (key, base) in
            [(Key::Bore, 3.4375), (Key::BaseShim, 0.014), (Key::Bore, 80.0), (Key::GasketThickness, 0.0)]
        {
            let typed = Quantity::of(key.kind(), base).expect("finite");
            assert_eq!(question_base(key, base), question(key, &typed), "{key} {base}");
        }
        assert_eq!(question_base(Key::Bore, f64::NAN), None, "that is refused elsewhere");
        assert_eq!(Key::Bore.kind(), Kind::Length);
    }
}
