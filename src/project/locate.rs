//! The line on which a piece of a file stands. A file is read in one go and
//! then judged; only where it is at fault are its lines counted.

use super::check::Step;

/// Returns the line, from 1, on which the piece at the end of a path begins,
/// or of the last part of the path that is there.
pub(super) fn line_of(text: &str, path: &[Step]) -> usize {
    let mut cursor = Cursor { text: text.as_bytes(), at: 0 };
    for step in path {
        let before = cursor.at;
        if !cursor.enter() || !cursor.find(*step) {
            cursor.at = before;
            break;
        }
    }
    cursor.blank();
    let before = text.as_bytes().iter().take(cursor.at);
    1 + before.filter(|&&byte| byte == b'\n').count()
}

struct Cursor<'a> {
    text: &'a [u8],
    at: usize,
}

impl Cursor<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.get(self.at).copied()
    }

    fn starts_with(&self, with: &[u8]) -> bool {
        self.text.get(self.at..).is_some_and(|rest| rest.starts_with(with))
    }

    /// Passes spaces and comments.
    fn blank(&mut self) {
        loop {
            match self.peek() {
                Some(byte) if byte.is_ascii_whitespace() => self.at += 1,
                Some(b'/') if self.starts_with(b"//") => {
                    while self.peek().is_some_and(|byte| byte != b'\n') {
                        self.at += 1;
                    }
                }
                Some(b'/') if self.starts_with(b"/*") => {
                    let mut depth = 0;
                    while self.peek().is_some() {
                        if self.starts_with(b"/*") {
                            depth += 1;
                            self.at += 2;
                        } else if self.starts_with(b"*/") {
                            depth -= 1;
                            self.at += 2;
                            if depth == 0 {
                                break;
                            }
                        } else {
                            self.at += 1;
                        }
                    }
                }
                _ => return,
            }
        }
    }

    /// Passes a name, and gives it.
    fn name(&mut self) -> &[u8] {
        let start = self.at;
        while self.peek().is_some_and(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'.' | b'-' | b'+'))
        {
            self.at += 1;
        }
        self.text.get(start..self.at).unwrap_or_default()
    }

    /// Passes a text in quotes, plain or raw.
    fn quoted(&mut self) {
        if self.peek() == Some(b'r') {
            self.at += 1;
        }
        let mut end = vec![b'"'];
        while self.peek() == Some(b'#') {
            end.push(b'#');
            self.at += 1;
        }
        self.at += 1;
        let raw = end.len() > 1;
        while self.peek().is_some() && !self.starts_with(&end) {
            self.at += if !raw && self.peek() == Some(b'\\') { 2 } else { 1 };
        }
        self.at += end.len();
    }

    /// Goes behind the opening bracket of a value.
    fn enter(&mut self) -> bool {
        self.blank();
        self.name();
        self.blank();
        let opens = matches!(self.peek(), Some(b'(' | b'[' | b'{'));
        self.at += usize::from(opens);
        opens
    }

    /// Goes to a piece of the group that it is in.
    fn find(&mut self, step: Step) -> bool {
        let mut index = 0;
        loop {
            self.blank();
            if matches!(self.peek(), None | Some(b')' | b']' | b'}')) {
                return false;
            }
            match step {
                Step::Item(wanted) if wanted == index => return true,
                Step::Item(_) => {}
                Step::Field(field) => {
                    let found = self.name() == field.as_bytes();
                    self.blank();
                    if self.peek() == Some(b':') {
                        self.at += 1;
                        if found {
                            return true;
                        }
                    }
                }
            }
            if !self.pass() {
                return false;
            }
            index += 1;
        }
    }

    /// Passes the rest of a piece and the comma behind it.
    fn pass(&mut self) -> bool {
        let mut depth = 0_usize;
        loop {
            self.blank();
            match self.peek() {
                None => return false,
                Some(b'"') => self.quoted(),
                Some(b'r') if self.starts_with(b"r\"") || self.starts_with(b"r#") => self.quoted(),
                Some(b'(' | b'[' | b'{') => {
                    depth += 1;
                    self.at += 1;
                }
                Some(b')' | b']' | b'}') if depth == 0 => return true,
                Some(b')' | b']' | b'}') => {
                    depth -= 1;
                    self.at += 1;
                }
                Some(b',') if depth == 0 => {
                    self.at += 1;
                    return true;
                }
                Some(byte) if byte.is_ascii_alphanumeric() || byte == b'_' => {
                    self.name();
                }
                Some(_) => self.at += 1,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Step::{Field, Item};

    #[test]
    fn pieces_are_found_past_comments_and_texts_with_brackets() {
        let text = "// (a: 1)\n(\n  a: \"x, ) \\\" (\", /* b: [ /* , */ */\n  b: [\n    (c: 1, d: 2),\n    (c: 3,\n     d: r#\"\"]\"#),\n  ],\n  e: { bore: 1,\n    stroke: 2 },\n)";
        for (path, line) in [
            (vec![], 2),
            (vec![Field("a")], 3),
            (vec![Field("b")], 4),
            (vec![Field("b"), Item(0)], 5),
            (vec![Field("b"), Item(1), Field("c")], 6),
            (vec![Field("b"), Item(1), Field("d")], 7),
            (vec![Field("e"), Field("stroke")], 10),
            // What is not there stands where it would.
            (vec![Field("b"), Item(7)], 4),
            (vec![Field("z")], 2),
        ] {
            assert_eq!(line_of(text, &path), line, "{path:?}");
        }
        for end in 0..text.len() {
            let _ = line_of(&text[..end], &[Field("b"), Item(1), Field("d")]);
        }
    }
}
