//! What stands in the field of a dimension, and what a typed text means there.

use crate::engine::{Allowed, Key};
use crate::quantity::{
    Kind, LengthUnit, Quantity, QuantityError, Unit, UnitChoice, VolumeUnit, suspects, write,
};

/// What a field shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct FieldText {
    /// The number; empty where the dimension was not given.
    pub number: String,
    /// The unit; a draft without a unit means this one.
    pub unit: &'static str,
}

impl FieldText {
    /// Number and unit, or nothing.
    #[must_use]
    pub(crate) fn whole(&self) -> String {
        match (self.number.as_str(), self.unit) {
            ("", _) => String::new(),
            (number, "°") => format!("{number}°"),
            (number, unit) => format!("{number} {unit}"),
        }
    }
}

/// The text of a field: what was typed, with the unit it was typed in. A
/// plain decimal in the unit that the person reads in is filled up to the
/// decimals that are usual there; nothing is ever cut off.
#[must_use]
pub(crate) fn field_text(
    key: Key,
    typed: Option<&Quantity>,
    value: Option<f64>,
    units: &UnitChoice,
) -> FieldText {
    let kind = key.kind();
    match (typed, value) {
        (Some(quantity), _) => {
            let unit = quantity.unit().symbol();
            let number = number_as_typed(quantity);
            let padded =
                if quantity.unit() == units.unit(kind) { pad(&number, quantity, units) } else { number };
            FieldText { number: padded.replace('-', "\u{2212}"), unit }
        }
        (None, Some(value)) => {
            let written = write(kind, value, None, units);
            FieldText { number: written.number, unit: written.unit }
        }
        (None, None) => FieldText { number: String::new(), unit: units.unit(kind).symbol() },
    }
}

/// The typed text without its last unit.
fn number_as_typed(quantity: &Quantity) -> String {
    let text = quantity.text();
    let unit_start = text.rfind(|c: char| c.is_ascii_digit()).map_or(0, |i| i + 1);
    text.get(..unit_start).unwrap_or(text).to_owned()
}

/// Fills a plain decimal up with zeros where that says the same.
fn pad(number: &str, quantity: &Quantity, units: &UnitChoice) -> String {
    let usual = write(quantity.kind(), quantity.base(), None, units).number.replace('\u{2212}', "-");
    let same = |text: &str| text.replace(',', ".").parse::<f64>().ok();
    match (same(number), same(&usual)) {
        (Some(typed), Some(shown)) if typed == shown && usual.len() > number.len() => usual,
        _ => number.to_owned(),
    }
}

/// What a typed text means.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Typed {
    /// A value.
    Fine(Quantity),
    /// Nothing that can be used: the sentence that says why.
    Refused(String),
    /// A value that looks like a slip.
    Question {
        /// The value as typed.
        meant: Quantity,
        /// The question.
        ask: String,
        /// What Enter and Escape will do.
        choices: String,
        /// The text that Enter takes.
        enter: String,
    },
}

/// Reads the text of a field; without a unit it means the unit of the field.
#[must_use]
pub(crate) fn read(key: Key, text: &str, unit: &str) -> Typed {
    let value = match quantity(key.kind(), text, unit) {
        Ok(value) => value,
        Err(error) => return Typed::Refused(sentence(&error)),
    };
    let name = key.name();
    match key.row().allowed {
        Allowed::Positive if value.base() <= 0.0 => {
            return Typed::Refused(format!("{} {} is above 0.", article(name), name.to_lowercase()));
        }
        Allowed::NotNegative if value.base() < 0.0 => {
            return Typed::Refused(format!("{} {} is 0 or more.", article(name), name.to_lowercase()));
        }
        _ => {}
    }
    // 0 is how an absent part is written, not a slip.
    let slip = (value.base() != 0.0).then(|| suspects(&value, key.row().plausible)).flatten();
    match slip.as_ref().and_then(|slip| slip.meant.first()) {
        Some(meant) => Typed::Question {
            ask: format!("{value} is unusual here. Did you mean {meant}?"),
            choices: format!("Enter: {meant}.   Shift+Enter: {value}.   Escape: leave it."),
            enter: meant.text().to_owned(),
            meant: value,
        },
        None => Typed::Fine(value),
    }
}

/// What a draft means in the unit that the person reads in, where that is
/// another: "10 thou is 0.254 mm".
#[must_use]
pub(crate) fn meaning(key: Key, text: &str, unit: &str, units: &UnitChoice) -> Option<String> {
    let value = quantity(key.kind(), text, unit).ok()?;
    let shown = units.unit(key.kind());
    if value.unit() == shown && value.text().chars().all(|c| !matches!(c, '+' | '/')) {
        return None;
    }
    let decimals = if shown == Unit::Millimetre { Some(3) } else { None };
    Some(format!("{value} is {}", write(key.kind(), value.base(), decimals, units)))
}

/// Reads a text as a value of this kind; without a unit it means `unit`.
///
/// # Errors
/// Where the text is no such value.
pub(crate) fn quantity(kind: Kind, text: &str, unit: &str) -> Result<Quantity, QuantityError> {
    match Quantity::parse_with_unit(text) {
        Err(QuantityError::UnitMissing { .. }) => Quantity::parse(kind, &format!("{text} {unit}")),
        // The kind is asked for as well, so that "60 cc" is no bore.
        Ok(_) | Err(_) => Quantity::parse(kind, text),
    }
}

/// An error as a sentence of its own: what was found, and what to write.
pub(crate) fn sentence(error: &QuantityError) -> String {
    let text = format!("{error}: {}.", error.hint());
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

fn article(name: &str) -> &'static str {
    if name.starts_with(['A', 'E', 'I', 'O', 'U']) { "An" } else { "A" }
}

/// What the rule of a dimension spans.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Span {
    /// Left end, base unit.
    pub from: f64,
    /// Right end, base unit.
    pub to: f64,
    /// One bench step, base unit.
    pub step: f64,
}

/// One step of the rule and of the arrow keys, base unit: half the sensible
/// step of the list for shims and gaskets, which come in twentieths; in inches
/// a round number of thou near it.
#[must_use]
pub(crate) fn rule_step(key: Key, units: &UnitChoice) -> f64 {
    let step = if key.row().thin { key.row().step / 2.0 } else { key.row().step };
    match key.kind() {
        Kind::Length if units.length != LengthUnit::Mm => step / 0.1 * 5.0 * 0.0254,
        Kind::Volume if units.volume != VolumeUnit::Cc => step * 1.638_706_4,
        _ => step,
    }
}

/// Ticks on either side of the middle of a rule.
const HALF_TICKS: f64 = 10.0;

/// The span of a rule: twenty steps around the state of comparison, or from 0
/// for thin parts, doubled until the value lies inside.
#[must_use]
pub(crate) fn rule_span(key: Key, value: f64, reference: Option<f64>, units: &UnitChoice) -> Span {
    let step = rule_step(key, units);
    let centre = (reference.unwrap_or(value) / step).round() * step;
    let holds = |half: f64| {
        if key.row().thin { value <= 2.0 * half + 1e-9 } else { (value - centre).abs() <= half + 1e-9 }
    };
    let mut half = HALF_TICKS * step;
    // A few dozen doublings pass every value that a rule can stand for.
    for _ in 0..60 {
        if holds(half) {
            break;
        }
        half *= 2.0;
    }
    let (from, to) = if key.row().thin { (0.0, 2.0 * half) } else { (centre - half, centre + half) };
    let floor = if key.row().allowed == Allowed::Any { f64::NEG_INFINITY } else { 0.0 };
    Span { from: from.max(floor), to, step }
}

/// A value after a step, written in the unit that the person reads in, never
/// below what the dimension can be.
#[must_use]
pub(crate) fn stepped(key: Key, value: f64, by: f64, units: &UnitChoice) -> Option<Quantity> {
    let floor = if key.row().allowed == Allowed::Any { f64::NEG_INFINITY } else { 0.0 };
    let to = (value + by).max(floor);
    if key.row().allowed == Allowed::Positive && to <= 0.0 {
        return None;
    }
    let decimals = match units.unit(key.kind()) {
        Unit::Millimetre | Unit::CubicInch => Some(3),
        Unit::CubicCentimetre => Some(2),
        _ => None,
    };
    let rounded = Quantity::rounded(key.kind(), to, decimals, units).ok()?;
    // "0.300 mm" is written as "0.3 mm" in the file.
    let text = rounded.text();
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let short =
        if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    Quantity::parse(key.kind(), &format!("{short} {unit}")).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm() -> UnitChoice {
        UnitChoice::default()
    }

    fn typed(text: &str) -> Quantity {
        Quantity::parse_with_unit(text).unwrap()
    }

    #[test]
    fn what_was_typed_stays_and_plain_decimals_are_filled_up() {
        for (text, number, unit) in [
            ("104.5 mm", "104.50", "mm"),
            ("43 thou", "43", "thou"),
            ("0.254 mm", "0.254", "mm"),
            ("3 1/2 in", "3 1/2", "in"),
            ("-0.1 mm", "\u{2212}0.10", "mm"),
            ("60 cc", "60.0", "cc"),
        ] {
            let kind = typed(text).kind();
            let key = if kind == Kind::Volume { Key::ChamberVolume } else { Key::Bore };
            let shown = field_text(key, Some(&typed(text)), None, &mm());
            assert_eq!((shown.number.as_str(), shown.unit), (number, unit), "{text}");
        }
    }

    #[test]
    fn a_text_without_unit_means_the_unit_of_the_field() {
        let Typed::Fine(value) = read(Key::BaseShim, "10", "thou") else { panic!("refused") };
        assert_eq!(value.text(), "10 thou");
        let Typed::Fine(value) = read(Key::BaseShim, "0,25", "mm") else { panic!("refused") };
        assert_eq!(value.base(), 0.25);
    }

    #[test]
    fn nonsense_is_refused_and_a_slip_is_asked_about() {
        assert!(matches!(read(Key::Bore, "-86", "mm"), Typed::Refused(why) if why.contains("above 0")));
        assert!(matches!(read(Key::Bore, "60 cc", "mm"), Typed::Refused(_)));
        assert!(matches!(read(Key::Bore, "abc", "mm"), Typed::Refused(_)));
        let Typed::Question { enter, .. } = read(Key::Bore, "3.4375", "mm") else { panic!("swallowed") };
        assert_eq!(enter, "3.4375 in");
    }

    #[test]
    fn a_step_leaves_a_short_number_and_never_goes_below_what_is_possible() {
        assert_eq!(stepped(Key::BaseShim, 0.25, 0.05, &mm()).unwrap().text(), "0.3 mm");
        assert_eq!(stepped(Key::BaseShim, 0.02, -0.05, &mm()).unwrap().base(), 0.0);
        assert_eq!(stepped(Key::Bore, 0.05, -0.1, &mm()), None);
    }

    #[test]
    fn the_rule_holds_the_value() {
        for value in [0.0, 0.25, 3.7, 40.0] {
            let span = rule_span(Key::BaseShim, value, Some(0.25), &mm());
            assert!(span.from <= value && value <= span.to, "{value}: {span:?}");
        }
        let span = rule_span(Key::Stroke, 74.0, Some(74.0), &mm());
        assert_eq!((span.from, span.to), (73.0, 75.0));
    }
}
