//! What is wrong in the text of a file, in the words of a person who edits it
//! by hand.

use super::text::MAX_DEPTH;
use crate::schema::bounds::{alternatives, shortened};
use ron::Error;

/// Returns what is wrong, as a clause.
pub(crate) fn what(code: &Error) -> String {
    match code {
        Error::ExceededRecursionLimit => format!("the text nests deeper than {MAX_DEPTH}"),
        Error::NoSuchStructField { expected, found, .. }
        | Error::NoSuchEnumVariant { expected, found, .. } => {
            let known = alternatives(expected.iter().copied());
            format!("‘{}’ is not known here; known are {known}", shortened(found))
        }
        Error::MissingStructField { field, .. } => format!("‘{field}’ is missing"),
        Error::DuplicateStructField { field, .. } => format!("‘{field}’ is given twice"),
        Error::Eof => "the text ends too early".into(),
        Error::TrailingCharacters => "something stands behind the end of the project".into(),
        Error::InvalidValueForType { expected, found } => {
            format!("{} is wanted here, and this is {}", wanted(expected), found_instead(found))
        }
        Error::ExpectedDifferentLength { .. } => "there are too few or too many values here".into(),
        // From our own readers of values; those of the library are in the
        // other arms.
        Error::Message(message) if !message.contains("untagged") => message.clone(),
        other => format!("{} is wanted here", bare(other)),
    }
}

/// What the text should go on with.
fn bare(code: &Error) -> &'static str {
    match code {
        Error::ExpectedArray => "a list, ‘[’,",
        Error::ExpectedArrayEnd => "the end of the list, ‘]’,",
        Error::ExpectedBoolean => "true or false",
        Error::ExpectedComma => "a comma",
        Error::ExpectedFloat | Error::FloatUnderscore | Error::UnderscoreAtBeginning => "a number",
        Error::ExpectedInteger | Error::IntegerOutOfBounds | Error::InvalidIntegerDigit { .. } => {
            "a whole number, not below 0 and not too large,"
        }
        Error::ExpectedMap => "a list of dimensions, ‘{’,",
        Error::ExpectedMapColon => "a colon",
        Error::ExpectedMapEnd => "the end of the dimensions, ‘}’,",
        Error::ExpectedStructLike
        | Error::ExpectedNamedStructLike(_)
        | Error::ExpectedDifferentStructName { .. }
        | Error::ExpectedStructName(_)
        | Error::ExpectedUnit => "an opening bracket, ‘(’,",
        Error::ExpectedStructLikeEnd | Error::ExpectedOptionEnd => "a closing bracket, ‘)’,",
        Error::ExpectedString | Error::ExpectedChar | Error::ExpectedByteString => "a text in double quotes",
        Error::ExpectedStringEnd => "the double quote that ends the text",
        Error::InvalidEscape(_) | Error::Utf8Error(_) => "a plain letter, or \\\\ for a backslash,",
        Error::ExpectedIdentifier | Error::InvalidIdentifier(_) | Error::SuggestRawIdentifier(_) => "a name",
        Error::UnclosedBlockComment | Error::UnclosedLineComment => "the end of the comment, ‘*/’,",
        _ => "something else",
    }
}

/// What a reader of the library expected.
fn wanted(expected: &str) -> &str {
    let has = |word: &str| expected.contains(word);
    match expected {
        // Our own words.
        own if own.contains("such as") => own,
        "f32" | "f64" => "a number",
        "a boolean" => "true or false",
        _ if has("struct") => "an entry in round brackets",
        _ if has("enum") || has("variant") || has("identifier") => "a name",
        _ if has("sequence") || has("tuple") || has("array") => "a list in square brackets",
        _ if has("map") => "a list of dimensions in braces",
        _ if has("string") => "a text in double quotes",
        _ if expected.starts_with(['u', 'i']) => "a whole number, not below 0 and not too large,",
        _ => "something else",
    }
}

/// What stands there in its place.
fn found_instead(found: &str) -> String {
    let quoted = |open: char, close: char| {
        let start = found.find(open)? + open.len_utf8();
        let end = found.rfind(close).filter(|end| *end >= start)?;
        found.get(start..end)
    };
    match quoted('`', '`').or_else(|| quoted('"', '"')) {
        Some(text) => format!("‘{}’", shortened(text)),
        None if found.contains("string") => "a text".into(),
        None if found.contains("sequence") || found.contains("array") => "a list".into(),
        None if found.contains("map") || found.contains("struct") => "an entry in brackets".into(),
        None => "something else".into(),
    }
}

#[cfg(test)]
mod tests {
    use crate::project::{demo, text};

    /// Pieces of a sound file put wrong in many ways: no message speaks of
    /// the library or of the program's own types.
    #[test]
    fn no_message_speaks_of_the_library() {
        let whole = text::to_text(&demo()).unwrap();
        let puts = [
            "(", ")", "[", "]", "{", "}", "\"", "1", "-1", "1e99", "true", "x", ",", ":", "Some(", "'", "#",
            "\\",
        ];
        let spots: Vec<usize> = whole.char_indices().map(|(at, _)| at).step_by(61).collect();
        for put in puts {
            for &at in &spots {
                for from in [at, whole.ceil_char_boundary(at + 1), whole.ceil_char_boundary(at + 9)] {
                    let damaged = format!("{}{put}{}", &whole[..at], &whole[from.min(whole.len())..]);
                    let Err(error) = text::from_text(&damaged) else { continue };
                    let said = error.to_string();
                    for word in [
                        "struct ",
                        "enum ",
                        "variant",
                        "RON",
                        "ron::",
                        "xpected",
                        "`",
                        "identifier",
                        "sequence",
                    ] {
                        assert!(!said.contains(word), "{put:?} at {at}: {said}");
                    }
                }
            }
        }
    }

    #[test]
    fn what_is_wanted_is_said_in_words_of_the_file() {
        for (from, to, told) in [
            ("format: 2", "format: \"2\"", "a whole number, not below 0 and not too large, is wanted here"),
            ("limits: (", "limits: [", "a comma is wanted here"),
            ("title: \"", "title: ", "a comma is wanted here"),
            ("readings: [", "readings: (", "is wanted here"),
            ("nominal: {", "nominal: (", "a name is wanted here"),
        ] {
            let whole = text::to_text(&demo()).unwrap();
            assert!(whole.contains(from), "{from}");
            let error = text::from_text(&whole.replacen(from, to, 1)).unwrap_err().to_string();
            assert!(error.contains(told), "{error}");
        }
        assert!(
            text::from_text("hello")
                .unwrap_err()
                .to_string()
                .ends_with("an opening bracket, ‘(’, is wanted here")
        );
    }
}
