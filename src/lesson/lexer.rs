//! Splits an expression into tokens.

use super::error::TextError;
use crate::quantity::Unit;

/// A token of an expression.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    /// A number with its unit, if it has one.
    Number(f64, Option<Unit>),
    /// A name: letters, digits and underscores.
    Name(String),
    /// A text in straight single quotes.
    Text(String),
    /// A sign, in the parser's spelling.
    Sign(&'static str),
}

impl Token {
    /// Returns its name in an error.
    pub(super) fn shown(&self) -> String {
        match self {
            Self::Number(number, None) => format!("‘{number}’"),
            Self::Number(number, Some(unit)) => format!("‘{number} {}’", unit.ascii()),
            Self::Name(name) => format!("‘{name}’"),
            Self::Text(text) => format!("'{text}'"),
            Self::Sign(sign) => format!("‘{sign}’"),
        }
    }
}

/// Signs with their spelling in the parser, longer ones first.
const SIGNS: [(&str, &str); 20] = [
    ("<=", "<="),
    (">=", ">="),
    ("==", "=="),
    ("!=", "!="),
    ("≤", "<="),
    ("≥", ">="),
    ("≠", "!="),
    ("<", "<"),
    (">", ">"),
    ("=", "=="),
    ("+", "+"),
    ("−", "-"),
    ("-", "-"),
    ("×", "*"),
    ("*", "*"),
    ("÷", "/"),
    ("/", "/"),
    ("(", "("),
    (")", ")"),
    (",", ","),
];

/// Splits a text into tokens, each with the column where it begins, from 1.
///
/// # Errors
/// A sign that is not known, a number that can't be read, a text that does
/// not end.
pub(super) fn tokens(text: &str) -> Result<Vec<(usize, Token)>, TextError> {
    let mut found = Vec::new();
    let mut rest = text;
    let mut column = 1;
    while let Some(first) = rest.chars().next() {
        let (taken, token) = if first.is_whitespace() {
            (first.len_utf8(), None)
        } else if first.is_ascii_digit() {
            let (taken, token) = number(rest, column)?;
            (taken, Some(token))
        } else if first.is_alphabetic() || first == '_' {
            let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
            (end, rest.get(..end).map(|name| Token::Name(name.to_owned())))
        } else if first == '\'' {
            let inner = rest.get(1..).unwrap_or_default();
            let end =
                inner.find('\'').ok_or_else(|| TextError::at(column, "the text in quotes does not end"))?;
            (end + 2, inner.get(..end).map(|text| Token::Text(text.to_owned())))
        } else if let Some((spelled, sign)) = SIGNS.iter().find(|(spelled, _)| rest.starts_with(spelled)) {
            (spelled.len(), Some(Token::Sign(sign)))
        } else {
            return Err(TextError::at(column, format!("‘{first}’ means nothing here")));
        };
        if let Some(token) = token {
            found.push((column, token));
        }
        let (passed, left) = rest.split_at(taken);
        column += passed.chars().count();
        rest = left;
    }
    Ok(found)
}

/// Reads a number with a decimal point and an optional unit after it.
fn number(text: &str, column: usize) -> Result<(usize, Token), TextError> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let digits = text.get(..end).unwrap_or_default();
    let value: f64 =
        digits.parse().map_err(|_| TextError::at(column, format!("‘{digits}’ is not a number")))?;
    let after = text.get(end..).unwrap_or_default();
    let spaces = after.len() - after.trim_start_matches(' ').len();
    let word = after.trim_start_matches(' ');
    let long = word.find(|c: char| !(c.is_alphanumeric() || c == '°')).unwrap_or(word.len());
    let unit = word.get(..long).filter(|word| !word.is_empty()).and_then(Unit::from_text);
    match unit {
        Some(unit) => Ok((end + spaces + long, Token::Number(value, Some(unit)))),
        None => Ok((end, Token::Number(value, None))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_have_two_spellings_and_columns_count_letters() {
        let found = tokens("a − 0.2 mm ≤ b").unwrap();
        let expected = [
            (1, Token::Name("a".into())),
            (3, Token::Sign("-")),
            (5, Token::Number(0.2, Some(Unit::Millimetre))),
            (12, Token::Sign("<=")),
            (14, Token::Name("b".into())),
        ];
        assert_eq!(found, expected);
    }

    #[test]
    fn what_can_not_be_read_is_told_with_its_column() {
        for (text, column, what) in [
            ("a ? b", 3, "‘?’ means nothing here"),
            ("1.2.3", 1, "‘1.2.3’ is not a number"),
            ("at('1, x)", 4, "the text in quotes does not end"),
        ] {
            let error = tokens(text).unwrap_err();
            assert_eq!((error.column, error.what.as_str()), (column, what), "{text}");
        }
    }
}
