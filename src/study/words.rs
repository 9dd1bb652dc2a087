//! Figures in words: a gap never wears a bare sign, a result never more
//! digits than its doubt allows.

use crate::quantity::{Kind, UnitChoice, default_decimals, write};

pub(crate) use crate::engine::words::{UNCHANGED, gap, gap_change};

/// True minus.
const MINUS: char = '\u{2212}';

/// A change with its sign, for a ratio or a volume: "+0.22", "−0.09" or "0".
#[must_use]
pub fn change(value: f64, decimals: u8) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let number = plain(value.abs(), decimals);
    if number.chars().all(|c| matches!(c, '0' | '.')) {
        "0".to_owned()
    } else if value > 0.0 {
        format!("+{number}")
    } else {
        format!("{MINUS}{number}")
    }
}

/// A plain number with a true minus, "–" where it is not finite.
#[must_use]
pub fn plain(value: f64, decimals: u8) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let text = format!("{value:.*}", usize::from(decimals));
    match text.strip_prefix('-') {
        Some(zero) if zero.chars().all(|c| matches!(c, '0' | '.')) => zero.to_owned(),
        Some(rest) => format!("{MINUS}{rest}"),
        None => text,
    }
}

/// How many decimals a result with this expanded uncertainty may show, at
/// most `most`: the digit in which the doubt begins, and one more where it
/// begins with a 1, so that rounding the doubt changes it by less than half.
///
/// Source: JCGM 100:2008 (GUM), 7.2.6 (from memory): at most two significant
/// digits in an uncertainty, and a result rounded to agree with it.
///
/// ```
/// use crowndeck::study::words::decimals_for;
/// assert_eq!(decimals_for(0.043, 3), 2);
/// assert_eq!(decimals_for(0.012, 3), 3);
/// assert_eq!(decimals_for(0.012, 2), 2);
/// assert_eq!(decimals_for(4.0, 2), 0);
/// ```
#[must_use]
pub fn decimals_for(doubt: f64, most: u8) -> u8 {
    if !(doubt.is_finite() && doubt > 0.0) {
        return most;
    }
    for decimals in 0..most {
        let step = pow10(-i32::from(decimals));
        // The slack of a billionth lets 0.02 count as 2 hundredths whatever
        // its binary fraction is.
        if doubt * (1.0 + 1e-9) >= 2.0 * step {
            return decimals;
        }
    }
    most
}

/// Decimals that show a number above 0 with two significant digits; at most
/// six, which in any unit is finer than anything at the bench.
#[must_use]
pub fn two_digits(number: f64) -> u8 {
    decimals_for(number / 5.0, 6)
}

/// An uncertainty itself in the user's unit, with two significant digits at
/// most (JCGM 100:2008, 7.2.6, from memory).
#[must_use]
pub fn small(kind: Kind, base: f64, units: &UnitChoice) -> String {
    let unit = units.unit(kind);
    write(kind, base, Some(two_digits(unit.from_base(base))), units).to_string()
}

/// The uncertainty as it stands beside a result: "±0.05", rounded up, so that
/// no doubt is hidden.
#[must_use]
pub fn plus_minus(doubt: f64, decimals: u8) -> String {
    if !doubt.is_finite() {
        return "±–".to_owned();
    }
    let scale = pow10(i32::from(decimals));
    // The same slack as above, the other way: 0.05 stays 0.05.
    let up = (doubt.abs() * scale * (1.0 - 1e-9)).ceil() / scale;
    format!("±{up:.*}", usize::from(decimals))
}

/// A value with its doubt, both in the user's unit: the value, then "±".
#[must_use]
pub fn with_doubt(kind: Kind, base: f64, doubt: Option<f64>, units: &UnitChoice) -> String {
    let unit = units.unit(kind);
    let most = default_decimals(unit);
    match doubt {
        None => write(kind, base, None, units).to_string(),
        Some(doubt) => {
            let doubt = unit.from_base(doubt);
            let decimals = decimals_for(doubt, most);
            format!("{} {}", write(kind, base, Some(decimals), units), plus_minus(doubt, decimals))
        }
    }
}

/// 10 to a whole power, as a product: the same on every machine.
fn pow10(exponent: i32) -> f64 {
    let mut power = 1.0;
    for _ in 0..exponent.abs() {
        power *= 10.0;
    }
    if exponent < 0 { 1.0 / power } else { power }
}

/// Names in a sentence: "a", "a and b", "a, b and c", and beyond three
/// "a, b, c and 2 more".
#[must_use]
pub fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [a, b] => format!("{a} and {b}"),
        [a, b, c] => format!("{a}, {b} and {c}"),
        [a, b, c, rest @ ..] => format!("{a}, {b}, {c} and {} more", rest.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{LengthUnit, VolumeUnit};

    const MM: UnitChoice = UnitChoice { length: LengthUnit::Mm, volume: VolumeUnit::Cc };
    const THOU: UnitChoice = UnitChoice { length: LengthUnit::Thou, volume: VolumeUnit::Cc };

    #[test]
    fn a_gap_has_a_side_and_no_sign() {
        assert_eq!(gap(0.85, None, &MM), "0.85 mm below");
        assert_eq!(gap(1.0922, None, &THOU), "43.0 thou below");
        assert_eq!(gap(-0.1, Some(3), &MM), "0.100 mm proud");
        assert_eq!(gap(0.0, None, &MM), "flush");
        for mm in [-3.0, -0.02, 0.0, 0.02, 3.0] {
            let text = gap(mm, None, &MM);
            assert!(!text.contains(['-', '+', MINUS]), "{text}");
        }
    }

    #[test]
    fn a_change_of_a_gap_says_which_way() {
        assert_eq!(gap_change(-0.25, None, &MM), "0.25 closer");
        assert_eq!(gap_change(0.254, None, &THOU), "10.0 wider");
        assert_eq!(gap_change(0.001, None, &MM), "unchanged");
    }

    #[test]
    fn numbers_have_a_true_minus_and_no_minus_zero() {
        assert_eq!(change(0.216, 2), "+0.22");
        assert_eq!(change(-0.0901, 2), "−0.09");
        assert_eq!(change(-0.001, 2), "0");
        assert_eq!(plain(-0.001, 2), "0.00");
        assert_eq!(plain(-18.0, 1), "−18.0");
        assert_eq!((plain(f64::NAN, 1), change(f64::INFINITY, 1)), ("–".to_owned(), "–".to_owned()));
    }

    #[test]
    fn no_more_digits_than_the_doubt_allows_and_the_doubt_rounded_up() {
        assert_eq!(with_doubt(Kind::Length, 1.1013, Some(0.0203), &MM), "1.10 mm ±0.03");
        assert_eq!(with_doubt(Kind::Length, 1.1013, Some(0.02), &MM), "1.10 mm ±0.02");
        assert_eq!(with_doubt(Kind::Length, 1.1013, Some(0.31), &MM), "1.1 mm ±0.4");
        assert_eq!(with_doubt(Kind::Length, 1.1013, None, &MM), "1.10 mm");
        assert_eq!(
            [0.0174, 0.00853, 0.2, 1.04, 12.3].map(|u| small(Kind::Length, u, &MM)),
            ["0.017 mm", "0.0085 mm", "0.20 mm", "1.0 mm", "12 mm"]
        );
        assert_eq!(decimals_for(0.0, 2), 2);
        assert_eq!(decimals_for(f64::NAN, 2), 2);
    }

    #[test]
    fn a_long_list_is_cut_short() {
        let names: Vec<String> = ["a", "b", "c", "d", "e"].iter().map(|s| (*s).to_owned()).collect();
        assert_eq!(list(&names[..2]), "a and b");
        assert_eq!(list(&names), "a, b, c and 2 more");
    }
}
