//! Texts of a stranger's file on a terminal: a control character in a title
//! or a label must not move the cursor, colour a line or begin a new one.

use std::borrow::Cow;

/// Returns the text with every character that steers a terminal, breaks a
/// line or turns the direction of reading replaced by a visible mark.
///
/// Sources: C0 and C1 controls are those of ISO/IEC 6429; the marks are of
/// the Unicode block Control Pictures, or the number of the character.
#[must_use]
pub(crate) fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(steers) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if steers(c) { push_mark(&mut out, c) } else { out.push(c) }
    }
    Cow::Owned(out)
}

/// As [`visible`], with the ends of lines left as they are.
#[must_use]
pub(crate) fn visible_lines(text: &str) -> Cow<'_, str> {
    if !text.chars().any(|c| steers(c) && c != '\n') {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if steers(c) && c != '\n' { push_mark(&mut out, c) } else { out.push(c) }
    }
    Cow::Owned(out)
}

/// Controls; what breaks a line or a paragraph; what turns the direction of
/// reading (Unicode Standard Annex 9, explicit formatting characters).
pub(crate) fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn push_mark(out: &mut String, c: char) {
    let number = u32::from(c);
    let picture = match number {
        0..=0x1f => char::from_u32(0x2400 + number),
        0x7f => Some('\u{2421}'),
        _ => None,
    };
    match picture {
        Some(picture) => out.push(picture),
        None => out.push_str(&format!("⟨{number:04X}⟩")),
    }
}

/// Returns the text of a file with the texts in it made visible, so that
/// everything that is said of it later can be shown on a terminal: labels and
/// the names by which others refer to them change alike. What stands outside
/// of quotes stays.
pub(super) fn visible_texts(file: &str) -> Cow<'_, str> {
    if !file.chars().any(|c| (steers(c) && !matches!(c, '\n' | '\r' | '\t')) || c == '\\')
        && !quoted(file).any(|(_, text, _)| text.chars().any(steers))
    {
        return Cow::Borrowed(file);
    }
    let mut out = String::with_capacity(file.len() + 64);
    let mut done = 0;
    for (start, text, raw) in quoted(file) {
        out.push_str(file.get(done..start).unwrap_or_default());
        if raw {
            out.push_str(&visible(text));
        } else {
            push_unescaped(&mut out, text);
        }
        done = start + text.len();
    }
    out.push_str(file.get(done..).unwrap_or_default());
    Cow::Owned(out)
}

/// The texts in quotes of a file: where each begins, what stands between the
/// quotes, whether it is raw.
fn quoted(file: &str) -> impl Iterator<Item = (usize, &str, bool)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        loop {
            let rest = file.get(at..)?;
            let next = rest.find(['"', '/', 'r', '\''])?;
            at += next;
            let rest = file.get(at..)?;
            if rest.starts_with("//") {
                at += rest.find('\n').unwrap_or(rest.len());
            } else if rest.starts_with("/*") {
                at += comment(rest);
            } else if rest.starts_with("'\"'") {
                at += 3;
            } else if rest.starts_with('"') {
                let inner = rest.get(1..)?;
                let mut escaped = false;
                let end = inner.find(|c| {
                    let ends = c == '"' && !escaped;
                    escaped = c == '\\' && !escaped;
                    ends
                });
                let text = inner.get(..end.unwrap_or(inner.len()))?;
                let start = at + 1;
                at = start + text.len() + 1;
                return Some((start, text, false));
            } else {
                let hashes = rest.get(1..)?.bytes().take_while(|b| *b == b'#').count();
                if rest.starts_with('r') && rest.get(1 + hashes..)?.starts_with('"') {
                    let inner = rest.get(2 + hashes..)?;
                    let end = inner.find(&format!("\"{}", "#".repeat(hashes))).unwrap_or(inner.len());
                    let start = at + 2 + hashes;
                    at = start + end + 1 + hashes;
                    return Some((start, inner.get(..end)?, true));
                }
                at += 1;
            }
        }
    })
}

/// The length of a comment, which may hold others.
fn comment(rest: &str) -> usize {
    let (mut depth, mut at) = (0_usize, 0);
    while let Some(left) = rest.get(at..).filter(|left| !left.is_empty()) {
        if left.starts_with("/*") {
            depth += 1;
            at += 2;
        } else if left.starts_with("*/") {
            depth -= 1;
            at += 2;
            if depth == 0 {
                return at;
            }
        } else {
            at += left.chars().next().map_or(1, char::len_utf8);
        }
    }
    rest.len()
}

/// Writes the inside of quotes with what its escapes stand for made visible.
/// An escape that stands for a quote or a backslash, or for nothing that is
/// known, stays.
fn push_unescaped(out: &mut String, text: &str) {
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let (taken, stands_for) = if c == '\\' { escape(rest) } else { (c.len_utf8(), Some(c)) };
        match stands_for {
            Some(c) if steers(c) => push_mark(out, c),
            _ => out.push_str(rest.get(..taken).unwrap_or_default()),
        }
        rest = rest.get(taken..).unwrap_or_default();
    }
}

/// How many bytes an escape is long, and what it stands for.
fn escape(text: &str) -> (usize, Option<char>) {
    let code = |digits: &str| u32::from_str_radix(digits, 16).ok().and_then(char::from_u32);
    let second = text.chars().nth(1);
    match second {
        Some('n') => (2, Some('\n')),
        Some('r') => (2, Some('\r')),
        Some('t') => (2, Some('\t')),
        Some('0') => (2, Some('\0')),
        Some('x') => match text.get(2..4).and_then(code) {
            Some(c) => (4, Some(c)),
            None => (2, None),
        },
        Some('u') => match text.get(2..).and_then(|rest| rest.strip_prefix('{')?.split_once('}')) {
            Some((digits, _)) => (4 + digits.len(), code(digits)),
            None => (2, None),
        },
        other => (1 + other.map_or(0, char::len_utf8), None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::{demo, demos, text};

    #[test]
    fn what_steers_a_terminal_becomes_a_mark() {
        assert_eq!(visible("\u{1b}[2J twin\n\u{7}"), "␛[2J twin␊␇");
        assert_eq!(visible("\u{9b}31m\u{7f}\u{202e}x"), "⟨009B⟩31m␡⟨202E⟩x");
        assert_eq!(visible("Ø86 mm 漢字"), "Ø86 mm 漢字");
        assert_eq!(visible_lines("a\u{1b}\nb"), "a␛\nb");
    }

    #[test]
    fn the_texts_of_a_file_are_made_visible_however_they_are_written() {
        let file = "// \"no\u{1b}\" text\n(a: \"x\\n\\u{1b}[1m\\x07\", /* \"\\n\" /* */ */ b: r#\"q\"\u{1b}\"#,\n\tc: \"\\\\n \\\" 'é' \u{9b}\", d: \"one\ntwo\")";
        let shown = visible_texts(file);
        assert_eq!(
            shown,
            "// \"no\u{1b}\" text\n(a: \"x␊␛[1m␇\", /* \"\\n\" /* */ */ b: r#\"q\"␛\"#,\n\tc: \"\\\\n \\\" 'é' ⟨009B⟩\", d: \"one␊two\")"
        );
        for end in 0..file.len() {
            let _ = visible_texts(file.get(..end).unwrap_or_default());
        }
    }

    #[test]
    fn a_document_stays_the_same_but_for_its_marks() {
        for demo in demos() {
            let mut expected = text::from_text(demo.text).unwrap();
            expected.notes = visible(&expected.notes).into_owned();
            assert_eq!(text::from_text(&visible_texts(demo.text)).unwrap(), expected, "{}", demo.id);
        }
        let mut project = demo();
        project.title = "\u{1b}]0;x\u{7}\"\\\u{85}".into();
        project.engine.heads[0].label = "L\nR".into();
        project.engine.cylinders[0].head = "L\nR".into();
        let shown = text::from_text(&visible_texts(&text::to_text(&project).unwrap())).unwrap();
        assert_eq!(shown.title, "␛]0;x␇\"\\⟨0085⟩");
        assert_eq!(shown.engine.cylinders[0].head, "L␊R");
    }
}
