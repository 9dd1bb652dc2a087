//! What a typed text means in this drawer.

use crate::app::entry::quantity;
use crate::app::views::Shown;
use crate::quantity::{Kind, Quantity};
use crate::study::given::WantedGap;

/// A factor per bore above this is a length that lost its unit.
const MOST_FACTOR: f64 = 0.02;

/// A length as it was typed; nothing takes it back. `what` begins the
/// sentence of a refusal: "A gap".
pub fn length(shown: &Shown<'_>, typed: &str, what: &str) -> Result<Option<Quantity>, String> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    let unit = shown.units().unit(Kind::Length).symbol();
    let value = quantity(Kind::Length, typed, unit).map_err(|why| format!("Not taken: {why}"))?;
    if value.base() >= 0.0 {
        Ok(Some(value))
    } else {
        Err(format!("{what} of {value} can't be: type 0 or more"))
    }
}

/// An angle as it was typed, in degrees where nothing else is said; nothing
/// takes it back.
pub fn angle(typed: &str) -> Result<Option<Quantity>, String> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    quantity(Kind::Angle, typed, "°").map(Some).map_err(|why| format!("Not taken: {why}"))
}

/// The gap wanted as it was typed, with who says so: a bare small number is a
/// part of the bore, a length the maker's figure.
pub fn wanted(shown: &Shown<'_>, typed: &str) -> Result<(WantedGap, &'static str), String> {
    let words = typed.trim().trim_start_matches("bore").trim_start_matches([' ', '×', 'x', '*']);
    if let Ok(factor) = words.replace(',', ".").parse::<f64>()
        && factor > 0.0
        && factor <= MOST_FACTOR
    {
        return Ok((WantedGap::PerBore(factor), "the builder"));
    }
    let least = words.strip_prefix("at least");
    let unit = shown.units().unit(Kind::Length).symbol();
    let words = least.unwrap_or(words).trim_end_matches(", the maker's figure").trim();
    match quantity(Kind::Length, words, unit) {
        Ok(gap) if gap.base() > 0.0 && least.is_some() => Ok((WantedGap::AtLeast(gap), "the builder")),
        Ok(gap) if gap.base() > 0.0 => Ok((WantedGap::Figure(gap), "the maker's figure")),
        _ => Err(format!(
            "‘{typed}’ is no gap: type a part of the bore such as 0.0045, a figure such as 0.40 mm, or at least 0.38 mm"
        )),
    }
}
