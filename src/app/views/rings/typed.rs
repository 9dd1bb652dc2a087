//! What a typed text means in this drawer.

use crate::app::entry::quantity;
use crate::app::views::ViewContext;
use crate::engine::Key;
use crate::quantity::{Kind, Quantity, suspects};
use crate::schema::WantedGap;
use egui::Id;

/// A factor per bore above this is a length that lost its unit.
const MAX_FACTOR: f64 = 0.02;
/// No gap is read below this, mm, nor above this part of the bore: three times
/// what the manuals allow. What lies beyond is asked about.
const MIN_MM: f64 = 0.02;
const MAX_PART: f64 = 0.03;
/// In place of a bore that was not entered, mm.
const MAX_BORE_MM: f64 = 300.0;

/// A length as it was typed; nothing takes it back. `what` begins the
/// sentence of a refusal: "A gap".
pub(super) fn length(shown: &ViewContext<'_>, typed: &str, what: &str) -> Result<Option<Quantity>, String> {
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

/// A gap as it was typed; nothing takes it back. One that no ring has is
/// questioned: typed in the same field once more, it is taken.
pub(super) fn gap(
    shown: &ViewContext<'_>,
    typed: &str,
    (field, asked): (Id, &mut Option<(Id, String)>),
) -> Result<Option<Quantity>, String> {
    let before = asked.take();
    let Some(gap) = length(shown, typed, "A gap")? else { return Ok(None) };
    let bore_mm = shown.value(Key::Bore).unwrap_or(MAX_BORE_MM);
    let slip = suspects(&gap, (MIN_MM, MAX_PART * bore_mm));
    let again = before.is_some_and(|(of, words)| of == field && words == typed);
    let Some(slip) = slip.filter(|_| !again && gap.base() > 0.0) else { return Ok(Some(gap)) };
    *asked = Some((field, typed.to_owned()));
    let meant = slip.meant.first().map_or_else(String::new, |meant| format!(" Did you mean {meant}?"));
    Err(format!("A gap of {gap} is far from that of any ring.{meant} Type it once more to take it as it is."))
}

/// An angle as it was typed, in degrees where nothing else is said; nothing
/// takes it back.
pub(super) fn angle(typed: &str) -> Result<Option<Quantity>, String> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    quantity(Kind::Angle, typed, "°").map(Some).map_err(|why| format!("Not taken: {why}"))
}

/// The gap wanted as it was typed, with who says so: a bare small number is a
/// part of the bore, a length the maker's figure.
pub(super) fn wanted(shown: &ViewContext<'_>, typed: &str) -> Result<(WantedGap, &'static str), String> {
    let words = typed.trim().trim_start_matches("bore").trim_start_matches([' ', '×', 'x', '*']);
    if let Ok(factor) = words.replace(',', ".").parse::<f64>()
        && factor > 0.0
        && factor <= MAX_FACTOR
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
