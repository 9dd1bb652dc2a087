//! Sentences of a lesson with values in them.
//!
//! `{base_shim}` is written with its unit as the user reads it, a gap with its
//! side ("1.10 mm below"). A style may follow after a colon: `mm`, `in` or
//! `thou` for a unit whatever the user chose, `size` for a gap or a difference
//! without side and sign, `change` with its sign, a digit for decimals.
//! `{engine}`, `{cylinder}` and `{tightest}` are the names of the engine, of
//! the chosen cylinder and of the one with the least squish.
//!
//! Outside of the braces there are no digits: every number is computed.

use super::error::TextError;
use super::eval::{Scene, Value};
use super::expr::{Expr, Sort};
use crate::quantity::{LengthUnit, UnitChoice, write};
use crate::study::words;

/// The style in which a value is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Style {
    /// As its sort is usually written.
    Usual,
    /// In this unit of length.
    Unit(LengthUnit),
    /// Without side or sign.
    Size,
    /// With its sign.
    Change,
    /// With so many decimals.
    Decimals(u8),
}

#[derive(Clone, Debug, PartialEq)]
enum Piece {
    Plain(String),
    Value(Expr, Style),
    Engine,
    Cylinder,
    Tightest,
}

/// A sentence with values in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Text(Vec<Piece>);

impl Text {
    /// Reads a sentence; `names` as in [`Expr::parse`].
    ///
    /// # Errors
    /// A digit outside of braces, a brace that does not close, an expression
    /// that is wrong, a style that does not fit; with the column.
    pub fn parse(text: &str, names: &[(String, Expr)]) -> Result<Self, TextError> {
        let mut pieces = Vec::new();
        let mut rest = text;
        let mut column = 1;
        while !rest.is_empty() {
            let open = rest.find('{').unwrap_or(rest.len());
            let (plain, braced) = rest.split_at(open);
            if let Some(at) = plain.chars().position(|c| c.is_ascii_digit() || c == '}') {
                let found = plain.chars().nth(at).unwrap_or_default();
                let what = if found == '}' {
                    "this brace closes nothing".to_owned()
                } else {
                    format!(
                        "‘{found}’ is typed: a number must be computed, in braces; spell small counts out"
                    )
                };
                return Err(TextError::at(column + at, what));
            }
            if !plain.is_empty() {
                pieces.push(Piece::Plain(plain.to_owned()));
            }
            column += plain.chars().count();
            if braced.is_empty() {
                break;
            }
            let close = braced.find('}').ok_or_else(|| TextError::at(column, "this brace does not close"))?;
            let inner = braced.get(1..close).unwrap_or_default();
            pieces.push(piece(inner, names).map_err(|error| error.moved(column))?);
            let (passed, left) = braced.split_at(close + 1);
            column += passed.chars().count();
            rest = left;
        }
        Ok(Self(pieces))
    }

    /// Returns whether it is empty.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Returns the expressions in it, in order.
    pub fn values(&self) -> impl Iterator<Item = &Expr> {
        self.0.iter().filter_map(|piece| match piece {
            Piece::Value(expr, _) => Some(expr),
            _ => None,
        })
    }

    /// Returns the sentence with its values; "–" for one that is missing.
    #[must_use]
    pub fn fill(&self, scene: &Scene<'_>, units: &UnitChoice) -> String {
        let piece = |piece: &Piece| match piece {
            Piece::Plain(text) => text.clone(),
            Piece::Value(expr, style) => match scene.value(expr) {
                Some(Value::Number(number)) => written(number, expr.sort, *style, units),
                Some(Value::Truth(_)) | None => "–".to_owned(),
            },
            Piece::Engine => scene.now.project.title.clone(),
            Piece::Cylinder => label(scene, scene.cylinder),
            Piece::Tightest => {
                let squish = |i: &usize| scene.now.answers.cylinders.get(*i).and_then(|c| c.squish());
                let count = scene.now.question.cylinders.len();
                let least = (0..count).filter(|i| squish(i).is_some()).min_by(|a, b| {
                    squish(a).unwrap_or(f64::INFINITY).total_cmp(&squish(b).unwrap_or(f64::INFINITY))
                });
                least.map_or_else(|| "–".to_owned(), |i| label(scene, i))
            }
        };
        self.0.iter().map(piece).collect()
    }
}

fn label(scene: &Scene<'_>, cylinder: usize) -> String {
    scene.now.question.cylinders.get(cylinder).map_or_else(|| "–".to_owned(), |c| c.label.clone())
}

fn piece(inner: &str, names: &[(String, Expr)]) -> Result<Piece, TextError> {
    let (expr, style) = inner.rsplit_once(':').map_or((inner, None), |(expr, style)| (expr, Some(style)));
    match (expr.trim(), style) {
        ("engine", None) => return Ok(Piece::Engine),
        ("cylinder", None) => return Ok(Piece::Cylinder),
        ("tightest", None) => return Ok(Piece::Tightest),
        _ => {}
    }
    let parsed = Expr::parse(expr, names)?;
    let column = expr.chars().count() + 2;
    if parsed.sort == Sort::Truth {
        return Err(TextError::at(1, "a number is wanted in a sentence, and this is a truth"));
    }
    let length = matches!(parsed.sort, Sort::Length | Sort::Gap);
    let style = match style.map(str::trim) {
        None => Style::Usual,
        Some("mm") if length => Style::Unit(LengthUnit::Mm),
        Some("in") if length => Style::Unit(LengthUnit::InchDecimal),
        Some("thou") if length => Style::Unit(LengthUnit::Thou),
        Some("mm" | "in" | "thou") => {
            return Err(TextError::at(column, "only a length can be written in this unit"));
        }
        Some("size") => Style::Size,
        Some("change") if parsed.sort == Sort::Gap => {
            return Err(TextError::at(column, "a gap never wears a bare sign; use size"));
        }
        Some("change") => Style::Change,
        Some(digit) => match digit.parse::<u8>() {
            Ok(decimals) if decimals <= 6 => Style::Decimals(decimals),
            _ => {
                let known = "mm, in, thou, size, change or a count of decimals";
                return Err(TextError::at(
                    column,
                    format!("‘{digit}’ is no way to write a value; use {known}"),
                ));
            }
        },
    };
    Ok(Piece::Value(parsed, style))
}

fn written(number: f64, sort: Sort, style: Style, units: &UnitChoice) -> String {
    let units = match style {
        Style::Unit(length) => &UnitChoice { length, ..*units },
        _ => units,
    };
    let decimals = match style {
        Style::Decimals(decimals) => Some(decimals),
        _ => None,
    };
    let number = if style == Style::Size { number.abs() } else { number };
    match (sort, style) {
        (Sort::Gap, Style::Size) => write(crate::quantity::Kind::Length, number, None, units).to_string(),
        (Sort::Gap, _) => words::gap(number, decimals, units),
        (Sort::Length | Sort::Volume | Sort::Angle, Style::Change) => {
            let written = sort.kind().map(|kind| write(kind, number, None, units).to_string());
            let sign = if number > 0.0 { "+" } else { "" };
            format!("{sign}{}", written.unwrap_or_default())
        }
        (Sort::Length | Sort::Volume | Sort::Angle, _) => {
            sort.kind().map_or_else(String::new, |kind| write(kind, number, decimals, units).to_string())
        }
        (Sort::Ratio | Sort::Plain, Style::Change) => words::change(number, 2),
        (Sort::Ratio, _) => words::plain(number, decimals.unwrap_or(2)),
        (Sort::Count, _) => words::plain(number, decimals.unwrap_or(0)),
        (Sort::Share, _) => format!("{} %", words::plain(100.0 * number, decimals.unwrap_or(0))),
        (Sort::Plain | Sort::Truth, _) => match decimals {
            Some(decimals) => words::plain(number, decimals),
            None => {
                let text = words::plain(number, 2);
                text.trim_end_matches('0').trim_end_matches('.').to_owned()
            }
        },
    }
}

#[cfg(test)]
mod tests {
    use super::super::eval::Moment;
    use super::*;
    use std::sync::Arc;

    fn filled(text: &str, units: &UnitChoice) -> String {
        let demo = crate::project::demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap();
        let moment = Moment::of(Arc::new(demo.project().unwrap()));
        let scene = Scene { now: &moment, start: &moment, cylinder: 0, crank_deg: 0.0, shows: &[] };
        Text::parse(text, &[]).unwrap().fill(&scene, units)
    }

    #[test]
    fn values_are_written_as_they_are_read_at_the_bench() {
        let mm = UnitChoice::default();
        let thou = UnitChoice { length: LengthUnit::Thou, ..mm };
        for (text, units, expected) in [
            ("The rim stands {deck_clearance}.", &mm, "The rim stands 1.22 mm below."),
            ("The gap is {deck_clearance:size}.", &mm, "The gap is 1.22 mm."),
            ("The gap is {deck_clearance:size}.", &thou, "The gap is 48.1 thou."),
            ("{base_shim:in}, {base_shim:mm}", &thou, "0.0098 in, 0.25 mm"),
            ("{static_ratio} of {engine}, cylinder {cylinder}", &mm, "9.18 of Sorrendel F6, cylinder 1"),
            ("{with(base_shim, 0, static_ratio) − static_ratio:change}", &mm, "+0.23"),
            ("{tightest} of {cylinders}", &mm, "5 of 6"),
            ("{static_ratio:3}, {1 ÷ 4}, {crank}", &mm, "9.182, 0.25, 0.0°"),
            ("{with(compression_height, 40 mm, static_ratio)}", &mm, "–"),
            ("{0.2 mm}", &mm, "0.20 mm"),
        ] {
            assert_eq!(filled(text, units), expected, "{text}");
        }
    }

    #[test]
    fn a_typed_number_is_refused() {
        for (text, column, what) in [
            ("It is 1.10 mm.", 7, "‘1’ is typed"),
            ("It is {deck_clearance.", 7, "this brace does not close"),
            ("It is } here", 7, "this brace closes nothing"),
            ("It is {dek}.", 8, "‘dek’ is not known"),
            ("It is {bore > 3 mm}.", 8, "a number is wanted"),
            ("It is {deck_clearance:change}.", 23, "a gap never wears a bare sign"),
            ("It is {static_ratio:mm}.", 21, "only a length"),
            ("It is {static_ratio:loud}.", 21, "‘loud’ is no way"),
        ] {
            let error = Text::parse(text, &[]).unwrap_err();
            assert_eq!(error.column, column, "{text}: {error}");
            assert!(error.what.starts_with(what), "{text}: {error}");
        }
    }
}
