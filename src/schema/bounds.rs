//! How much a document may hold: one table, read by the loader, the edits,
//! `check`, its help and the pages for readers.
//!
//! Within these bounds every answer comes within a second and 256 MiB;
//! beyond them a document is refused before anything is worked out of it.

/// How much there may be of one thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Bound {
    /// Of what, in the plural.
    pub(crate) what: &'static str,
    /// The most there may be.
    pub(crate) most: usize,
}

/// Cylinders of an engine, and of each kept state.
pub(crate) const CYLINDERS: Bound = Bound { what: "cylinders", most: 64 };
/// Heads of an engine.
pub(crate) const HEADS: Bound = Bound { what: "heads", most: 64 };
/// Banks of an engine.
pub(crate) const BANKS: Bound = Bound { what: "banks", most: 64 };
/// Values that were read, of all readings together. A line without a value
/// counts as one.
pub(crate) const READINGS: Bound = Bound { what: "readings", most: 20_000 };
/// Kinds of shims and kinds of gaskets together.
pub(crate) const STOCK: Bound = Bound { what: "shims and gaskets in stock", most: 10_000 };
/// Instruments.
pub(crate) const INSTRUMENTS: Bound = Bound { what: "instruments", most: 200 };
/// Rings of one piston.
pub(crate) const RINGS: Bound = Bound { what: "rings", most: 20 };
/// Places of ring gaps, and windows in a bore.
pub(crate) const RING_PLACES: Bound = Bound { what: "ring gaps and ports", most: 200 };
/// Steps of the checklist.
pub(crate) const BENCH_STEPS: Bound = Bound { what: "steps at the bench", most: 2_000 };
/// Lines of the log.
pub(crate) const LOG_LINES: Bound = Bound { what: "lines of the log", most: 10_000 };
/// States that were kept.
pub(crate) const KEPT_STATES: Bound = Bound { what: "kept states", most: 100 };
/// Letters of a title, a label, a name, a date: what stands on one line.
pub(crate) const LINE: Bound = Bound { what: "letters of a text on one line", most: 200 };
/// Letters of notes.
pub(crate) const NOTES: Bound = Bound { what: "letters of notes", most: 20_000 };
/// Steps of a lesson.
pub(crate) const LESSON_STEPS: Bound = Bound { what: "steps of a lesson", most: 200 };
/// Names of a lesson.
pub(crate) const LESSON_NAMES: Bound = Bound { what: "names of a lesson", most: 200 };
/// Changes, flags, mistakes and choices of a lesson, all steps together.
pub(crate) const LESSON_PARTS: Bound =
    Bound { what: "changes, flags, mistakes and choices of a lesson", most: 2_000 };
/// Operations of one expression of a lesson, its names written out.
pub(crate) const EXPRESSION: Bound = Bound { what: "operations of an expression", most: 1_000 };
/// Facts that all expressions of a lesson ask for, those of every cylinder
/// counted for each.
pub(crate) const LESSON_WORK: Bound = Bound { what: "facts that a lesson asks for", most: 100_000 };
/// Size of a file.
pub(crate) const FILE_MIB: Bound = Bound { what: "MiB of a file", most: 4 };
/// Size of what is drawn, in metres; figures go on at any size.
pub(crate) const DRAWING_M: Bound = Bound { what: "metres of any length that is drawn", most: 10 };

/// All of them, in the order in which they are told.
pub(crate) const TABLE: [Bound; 20] = [
    CYLINDERS,
    HEADS,
    BANKS,
    READINGS,
    STOCK,
    INSTRUMENTS,
    RINGS,
    RING_PLACES,
    BENCH_STEPS,
    LOG_LINES,
    KEPT_STATES,
    LINE,
    NOTES,
    FILE_MIB,
    DRAWING_M,
    LESSON_STEPS,
    LESSON_NAMES,
    LESSON_PARTS,
    EXPRESSION,
    LESSON_WORK,
];

/// The most findings that are told one by one; the others are counted.
pub(crate) const MAX_FINDINGS: usize = 100;
/// The most alternatives that a message names.
pub(crate) const MAX_ALTERNATIVES: usize = 10;
/// The most digits of a number that a message repeats.
pub(crate) const MAX_DIGITS: usize = 24;

/// The size of the largest file that is read, in bytes.
pub(crate) const MAX_BYTES: u64 = FILE_MIB.most as u64 * 1024 * 1024;
/// The greatest length that is drawn, mm.
pub(crate) const MAX_DRAWN_MM: f64 = DRAWING_M.most as f64 * 1000.0;

impl Bound {
    /// Returns what is wrong with a count, as a clause; `None` where it fits.
    pub(crate) fn exceeded(self, count: usize) -> Option<String> {
        (count > self.most)
            .then(|| format!("has {} {}; at most {} are read", grouped(count), self.what, grouped(self.most)))
    }
}

/// Writes a count with commas between its thousands.
pub(crate) fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// Lists what may be named instead, the first few of it.
pub(crate) fn alternatives<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let mut names = names.into_iter();
    let first: Vec<&str> = names.by_ref().take(MAX_ALTERNATIVES).collect();
    match names.count() {
        0 => first.join(", "),
        more => format!("{} and {} more", first.join(", "), grouped(more)),
    }
}

/// Keeps the first messages and counts the others: "9,900 more".
pub(crate) fn first_messages(mut messages: Vec<String>) -> Vec<String> {
    if messages.len() > MAX_FINDINGS {
        let more = messages.len() - MAX_FINDINGS;
        messages.truncate(MAX_FINDINGS);
        messages.push(format!("{} more", grouped(more)));
    }
    messages
}

/// Shortens a text that a message repeats: a number of a hundred digits, a
/// name of a thousand letters.
pub(crate) fn shortened(text: &str) -> String {
    if text.chars().count() <= MAX_DIGITS + 8 {
        return text.to_owned();
    }
    let start: String = text.chars().take(MAX_DIGITS).collect();
    format!("{start}…")
}

/// The table as lines of text: "  64  cylinders".
pub(crate) fn as_text() -> String {
    let counts: Vec<String> = TABLE.iter().map(|bound| grouped(bound.most)).collect();
    let width = counts.iter().map(String::len).max().unwrap_or(0);
    let line = |(count, bound): (&String, &Bound)| format!("  {count:>width$}  {}\n", bound.what);
    counts.iter().zip(&TABLE).map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    /// The rows of the table as the pages for readers must have them.
    #[test]
    fn the_pages_for_readers_state_the_same_bounds() {
        let page =
            std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("SECURITY.md")).unwrap();
        for bound in TABLE {
            let row = format!("| {} | {} |", bound.what, grouped(bound.most));
            assert!(page.contains(&row), "SECURITY.md lacks {row}");
        }
        let rows = page.lines().filter(|line| line.starts_with("| ")).count();
        assert_eq!(rows, TABLE.len() + 2, "a head, a rule and the rows");
    }

    #[test]
    fn counts_are_told_with_what_is_accepted() {
        assert_eq!(CYLINDERS.exceeded(64), None);
        assert_eq!(READINGS.exceeded(123_456).unwrap(), "has 123,456 readings; at most 20,000 are read");
        assert_eq!([0, 999, 1000, 1_234_567].map(grouped), ["0", "999", "1,000", "1,234,567"]);
    }

    #[test]
    fn long_lists_and_long_texts_are_cut() {
        let names: Vec<String> = (1..=64).map(|i| i.to_string()).collect();
        assert_eq!(
            alternatives(names.iter().map(String::as_str)),
            "1, 2, 3, 4, 5, 6, 7, 8, 9, 10 and 54 more"
        );
        assert_eq!(alternatives(["L", "R"]), "L, R");
        let told = first_messages(vec!["x".to_owned(); 10_000]);
        assert_eq!((told.len(), told[100].as_str()), (101, "9,900 more"));
        assert_eq!(shortened(&"9".repeat(100)), format!("{}…", "9".repeat(24)));
        assert_eq!(shortened("86.000000000000000001 mm"), "86.000000000000000001 mm");
    }
}
