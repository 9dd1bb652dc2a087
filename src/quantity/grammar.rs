//! The grammar of a value: terms joined by + and -, each a number with an
//! optional unit.
//!
//! ```text
//! value  = [sign] term { sign term }
//! term   = number [unit]
//! number = decimal | whole/whole | whole whole/whole
//! ```
//!
//! The decimal mark is a point or a comma. Marks for thousands are not read:
//! `1,234.5` has two marks, and a comma before exactly three digits (`1,100`)
//! can be read in two ways; both are refused with a sentence. So is `3-1/2`,
//! which some write for three and a half.

use super::exact::Exact;
use super::{QuantityError, Unit};

/// Greatest number of characters read: far above any value, and a bound on the
/// work.
const MAX_CHARACTERS: usize = 200;

/// One number with its sign and unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Term {
    /// The number as written, without its sign.
    pub(super) number: String,
    pub(super) value: Exact,
    pub(super) unit: Option<Unit>,
    negative: bool,
}

impl Term {
    pub(super) fn signed(&self) -> Exact {
        if self.negative { self.value.negated() } else { self.value }
    }

    /// Returns the number as written, with its sign.
    pub(super) fn signed_text(&self) -> String {
        format!("{}{}", if self.negative { "-" } else { "" }, self.number)
    }
}

/// Returns the text with the many ways to write a space, a minus, a fraction or
/// a full-width character brought to one, trimmed, with single spaces between
/// words.
pub(super) fn normalised(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            // Full-width forms are at a fixed distance above ASCII (Unicode block
            // Halfwidth and Fullwidth Forms).
            '\u{ff01}'..='\u{ff5e}' => plain.extend(char::from_u32(u32::from(c) - 0xfee0)),
            '\u{2212}' => plain.push('-'),
            '\u{2044}' => plain.push('/'),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            // Includes the no-break, thin and ideographic spaces.
            c if c.is_whitespace() => plain.push(' '),
            c => plain.push(c),
        }
    }
    plain.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// Returns the terms of a normalised text, at least one.
pub(super) fn terms(text: &str) -> Result<Vec<Term>, QuantityError> {
    check_length(text)?;
    if text.is_empty() {
        return Err(QuantityError::Empty);
    }
    let mut cursor = Cursor { rest: text };
    let mut terms: Vec<Term> = Vec::new();
    let mut negative = cursor.sign().unwrap_or(false);
    loop {
        cursor.space();
        let term = cursor.term(negative)?;
        let spaced = cursor.space();
        terms.push(term);
        let Some(sign) = cursor.sign() else { break };
        negative = sign;
        if negative && !spaced {
            refuse_dashed_fraction(terms.last(), cursor.rest)?;
        }
    }
    match cursor.peek() {
        None => Ok(terms),
        Some(found) => Err(QuantityError::Unexpected { found: found.into() }),
    }
}

/// Refuses a text that is longer than any value is written.
pub(super) fn check_length(text: &str) -> Result<(), QuantityError> {
    let length = text.chars().count();
    if length > MAX_CHARACTERS {
        return Err(QuantityError::TooLong { length, most: MAX_CHARACTERS });
    }
    Ok(())
}

/// Refuses `3-1/2`, which is three and a half to some and two and a half to
/// others.
fn refuse_dashed_fraction(before: Option<&Term>, after: &str) -> Result<(), QuantityError> {
    let Some(before) = before.filter(|term| term.unit.is_none() && is_whole(&term.number)) else {
        return Ok(());
    };
    let fraction: String = after.chars().take_while(|c| c.is_ascii_digit() || *c == '/').collect();
    if !fraction.contains('/') {
        return Ok(());
    }
    let whole = &before.number;
    Err(QuantityError::Ambiguous {
        text: format!("{whole}-{fraction}"),
        one: format!("{whole} {fraction}"),
        other: format!("{whole} - {fraction}"),
    })
}

fn is_whole(number: &str) -> bool {
    !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())
}

/// The rest of the text, still to be read.
struct Cursor<'a> {
    rest: &'a str,
}

impl<'a> Cursor<'a> {
    fn peek(&self) -> Option<char> {
        self.rest.chars().next()
    }

    /// Takes the longest run of characters for which `wanted` holds.
    fn take(&mut self, wanted: impl Fn(char) -> bool) -> &'a str {
        let end = self.rest.find(|c| !wanted(c)).unwrap_or(self.rest.len());
        let (taken, rest) = self.rest.split_at(end);
        self.rest = rest;
        taken
    }

    /// Takes spaces and returns whether there were any.
    fn space(&mut self) -> bool {
        !self.take(|c| c == ' ').is_empty()
    }

    /// Takes a sign and returns whether it is a minus; `None` where there is no
    /// sign.
    fn sign(&mut self) -> Option<bool> {
        let sign = self.peek().filter(|c| matches!(c, '+' | '-'))?;
        self.rest = self.rest.get(1..).unwrap_or("");
        Some(sign == '-')
    }

    fn term(&mut self, negative: bool) -> Result<Term, QuantityError> {
        let first = self.take(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
        if first.is_empty() {
            return Err(self.number_missing());
        }
        let exponent = self.exponent();
        let whole = exponent.is_empty() && is_whole(first);
        let spaced = self.space();
        let (number, value) = match self.peek() {
            Some('/') => self.fraction(None, &format!("{first}{exponent}"))?,
            Some(c) if c.is_ascii_digit() || matches!(c, '.' | ',') => {
                let second = self.take(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
                self.space();
                if !(whole && spaced && is_whole(second) && self.peek() == Some('/')) {
                    return Err(QuantityError::TwoNumbers { text: format!("{first} {second}") });
                }
                self.fraction(Some(first), second)?
            }
            _ => (format!("{first}{exponent}"), decimal(first, exponent)?),
        };
        self.space();
        Ok(Term { number, value, unit: self.unit()?, negative })
    }

    fn number_missing(&self) -> QuantityError {
        let place = match self.rest {
            "" => "at the end".into(),
            rest => format!("before ‘{rest}’"),
        };
        QuantityError::NumberMissing { place }
    }

    /// Takes a power of ten such as e-3, if one follows.
    fn exponent(&mut self) -> &'a str {
        let Some(after) = self.rest.strip_prefix(['e', 'E']) else { return "" };
        let digits = after.strip_prefix(['+', '-']).unwrap_or(after);
        let unread = digits.trim_start_matches(|c: char| c.is_ascii_digit());
        if unread.len() == digits.len() {
            return "";
        }
        let (taken, rest) = self.rest.split_at(self.rest.len() - unread.len());
        self.rest = rest;
        taken
    }

    /// Takes the slash and the denominator below it.
    fn fraction(&mut self, whole: Option<&str>, numerator: &str) -> Result<(String, Exact), QuantityError> {
        self.take(|c| c == '/');
        self.space();
        let denominator = self.take(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
        let text = format!("{}{numerator}/{denominator}", whole.map_or(String::new(), |w| format!("{w} ")));
        let (Ok(above), Ok(below @ 1..)) = (numerator.parse(), denominator.parse()) else {
            return Err(QuantityError::Fraction { text });
        };
        let part = Exact::fraction(above, below);
        let value = match whole {
            Some(whole) => decimal(whole, "")?.plus(part),
            None => part,
        };
        Ok((text, value))
    }

    /// Takes a unit, if one follows.
    fn unit(&mut self) -> Result<Option<Unit>, QuantityError> {
        // A unit ends at a space, a sign or the end; its last character may be
        // the 3 of cm3 or in3.
        let mut name = self.take(|c| !matches!(c, ' ' | '+' | '-')).to_owned();
        if name.is_empty() {
            return Ok(None);
        }
        if name.eq_ignore_ascii_case("cu") {
            self.space();
            name = format!("cu {}", self.take(|c| !matches!(c, ' ' | '+' | '-')));
        }
        match Unit::from_text(&name) {
            Some(unit) => Ok(Some(unit)),
            None => Err(QuantityError::UnknownUnit { unit: name, wanted: None }),
        }
    }
}

/// Returns the value of digits with at most one decimal mark, times a power of
/// ten.
fn decimal(text: &str, exponent: &str) -> Result<Exact, QuantityError> {
    let mut parts = text.split(['.', ',']);
    let (whole, part) = (parts.next().unwrap_or(""), parts.next().unwrap_or(""));
    if parts.next().is_some() {
        return Err(QuantityError::ManyMarks { text: text.into() });
    }
    if whole.is_empty() && part.is_empty() {
        return Err(QuantityError::NumberMissing { place: format!("beside ‘{text}’") });
    }
    let thousands = text.contains(',') && part.len() == 3 && (1..=3).contains(&whole.len());
    if thousands && !whole.starts_with('0') && exponent.is_empty() {
        return Err(QuantityError::Ambiguous {
            text: text.into(),
            one: format!("{whole}.{part}"),
            other: format!("{whole}{part}"),
        });
    }
    let out_of_range = || QuantityError::OutOfRange { text: format!("{text}{exponent}") };
    let float: f64 = format!("0{whole}.{part}0{exponent}").parse().map_err(|_| out_of_range())?;
    let vanished = float == 0.0 && text.bytes().any(|b| (b'1'..=b'9').contains(&b));
    if !float.is_finite() || vanished {
        return Err(out_of_range());
    }
    let power = exponent.get(1..).filter(|e| !e.is_empty()).map_or(Some(0), |e| e.parse::<i32>().ok());
    let power = power.zip(i32::try_from(part.len()).ok()).and_then(|(e, places)| e.checked_sub(places));
    let digits = format!("0{whole}{part}").parse::<i128>().ok();
    Ok(match power {
        Some(power) => Exact::decimal(digits, power, float),
        None => Exact::decimal(None, 0, float),
    })
}
