//! Lays RON out so that it can be read by people and a comparison of two
//! versions shows what changed: one dimension, one record, one field a line;
//! what belongs together and fits stays on one line.

use std::fmt::Write as _;

/// Columns within which an item stays on one line.
const WIDTH: usize = 100;
/// One step of indentation.
const STEP: &str = "    ";

/// A piece of RON.
enum Node<'a> {
    /// A number, a text, a name.
    Atom(&'a str),
    /// A group in brackets, with the name before them.
    Group { name: &'a str, open: char, close: char, items: Vec<Item<'a>> },
}

/// An item in brackets, with its key where it has one.
struct Item<'a> {
    key: Option<&'a str>,
    node: Node<'a>,
}

/// Lays out one value of RON that was written without any space between its
/// pieces. A text that is no such RON is returned as it is.
pub(super) fn laid_out(compact: &str) -> String {
    let mut rest = compact;
    match item(&mut rest) {
        Some(Item { key: None, node }) if rest.is_empty() => {
            let mut out = String::with_capacity(compact.len() * 2);
            write_node(&mut out, &node, 0);
            out.push('\n');
            out
        }
        _ => compact.into(),
    }
}

/// Takes one item. The depth is bounded: the text was just written from a
/// project, which does not nest deeper than its schema.
fn item<'a>(rest: &mut &'a str) -> Option<Item<'a>> {
    let first = atom(rest)?;
    if let Some(after) = rest.strip_prefix(':') {
        *rest = after;
        let name = atom(rest)?;
        return Some(Item { key: Some(first), node: group(name, rest)? });
    }
    Some(Item { key: None, node: group(first, rest)? })
}

/// Takes a text in quotes, or everything up to the next mark; may be empty.
fn atom<'a>(rest: &mut &'a str) -> Option<&'a str> {
    let end = if rest.starts_with('"') {
        let mut escaped = false;
        let closing = rest.char_indices().skip(1).find(|&(_, c)| {
            let closes = c == '"' && !escaped;
            escaped = c == '\\' && !escaped;
            closes
        });
        closing?.0 + 1
    } else {
        rest.find(['(', ')', '[', ']', '{', '}', ',', ':']).unwrap_or(rest.len())
    };
    let (taken, after) = rest.split_at_checked(end)?;
    *rest = after;
    Some(taken)
}

/// Takes the brackets after a name; `None` if there are none.
fn group<'a>(name: &'a str, rest: &mut &'a str) -> Option<Node<'a>> {
    let (open, close) = match rest.chars().next() {
        Some('(') => ('(', ')'),
        Some('[') => ('[', ']'),
        Some('{') => ('{', '}'),
        _ => return Some(Node::Atom(name)),
    };
    *rest = rest.get(1..)?;
    let mut items = Vec::new();
    while !rest.starts_with(close) {
        let before = rest.len();
        items.push(item(rest)?);
        *rest = rest.strip_prefix(',').unwrap_or(rest);
        if rest.len() == before {
            return None;
        }
    }
    *rest = rest.get(1..)?;
    Some(Node::Group { name, open, close, items })
}

/// Returns whether it may be on one line at all: not a non-empty map, not a
/// list of records, not a text of several lines.
fn may_be_one_line(node: &Node<'_>) -> bool {
    match node {
        Node::Atom(text) => !text.contains("\\n"),
        Node::Group { open, items, .. } => {
            let records = |item: &Item<'_>| matches!(&item.node, Node::Group { open: '(', name: "", .. });
            let listed = (*open == '{' && !items.is_empty()) || (*open == '[' && items.iter().any(records));
            !listed && items.iter().all(|item| may_be_one_line(&item.node))
        }
    }
}

fn write_node(out: &mut String, node: &Node<'_>, depth: usize) {
    match node {
        Node::Atom(text) => write_atom(out, text),
        Node::Group { name, open, close, items } => {
            let column = out.len() - out.rfind('\n').map_or(0, |at| at + 1);
            if may_be_one_line(node) {
                let line = one_line(node);
                // One more column for the comma after it.
                if depth > 0 && column + line.chars().count() < WIDTH || items.is_empty() {
                    out.push_str(&line);
                    return;
                }
            }
            out.push_str(name);
            out.push(*open);
            out.push('\n');
            for item in items {
                out.extend(std::iter::repeat_n(STEP, depth + 1));
                if let Some(key) = item.key {
                    out.push_str(key);
                    out.push_str(": ");
                }
                write_node(out, &item.node, depth + 1);
                out.push_str(",\n");
            }
            out.extend(std::iter::repeat_n(STEP, depth));
            out.push(*close);
        }
    }
}

/// Writes a text with its line breaks as line breaks and its apostrophes bare,
/// both of which RON allows.
fn write_atom(out: &mut String, text: &str) {
    let mut escaped = false;
    for c in text.chars() {
        match (escaped, c) {
            (false, '\\') => {
                escaped = true;
                continue;
            }
            (true, 'n') => out.push('\n'),
            (true, '\'') => out.push('\''),
            (true, c) => out.extend(['\\', c]),
            (false, c) => out.push(c),
        }
        escaped = false;
    }
}

fn one_line(node: &Node<'_>) -> String {
    match node {
        Node::Atom(text) => (*text).into(),
        Node::Group { name, open, close, items } => {
            let mut line = format!("{name}{open}");
            for (i, item) in items.iter().enumerate() {
                if i > 0 {
                    line.push_str(", ");
                }
                if let Some(key) = item.key {
                    // Writing to a text does not fail.
                    let _ = write!(line, "{key}: ");
                }
                line.push_str(&one_line(&item.node));
            }
            line.push(*close);
            line
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_and_dimensions_stand_on_lines_of_their_own() {
        let compact = "(a:\"x, (y) \\\"z\\\"\",m:{bore:(v:\"1 mm\",k:maker),stroke:(v:\"2 mm\")},l:[(x:1)],v:[\"1\",\"2\"],e:[],o:{},s:per_bore(0.1))";
        let expected = r#"(
    a: "x, (y) \"z\"",
    m: {
        bore: (v: "1 mm", k: maker),
        stroke: (v: "2 mm"),
    },
    l: [
        (x: 1),
    ],
    v: ["1", "2"],
    e: [],
    o: {},
    s: per_bore(0.1),
)
"#;
        assert_eq!(laid_out(compact), expected);
    }

    #[test]
    fn what_is_too_wide_is_broken_and_line_breaks_stay() {
        let long = "y".repeat(90);
        let laid = laid_out(&format!("(r:(a:\"{long}\",b:\"c\"),t:\"one\\ntwo\\\\n it\\'s\")"));
        assert_eq!(
            laid,
            format!(
                "(\n    r: (\n        a: \"{long}\",\n        b: \"c\",\n    ),\n    t: \"one\ntwo\\\\n it's\",\n)\n"
            )
        );
    }

    #[test]
    fn what_is_no_ron_comes_back_as_it_is() {
        for text in ["", "(", "\"a", "(a:\"b)", "[1,2", "(a))", "[a)", "(:"] {
            assert!(laid_out(text).trim_end() == text, "{text}");
        }
    }
}
