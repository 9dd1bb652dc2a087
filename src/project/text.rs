//! The text of a project file.
//!
//! RON, in a stable order; lengths, volumes and angles are texts with their
//! unit (`"3 1/2 in"`), fields at their default are left out, a comment line
//! stands at the top. Comments of a person are read over and not kept.
//!
//! What is refused, each with a sentence: a file above [`MAX_BYTES`], text
//! that nests deeper than [`MAX_DEPTH`], a field or key that is not known, a
//! dimension given twice, a format that is newer than this program, and a
//! content that contradicts itself.

use super::check::{Finding, Severity};
use super::{Format, Project, format, layout, locate, syntax};
use crate::schema::bounds::MAX_BYTES;
use ron::Options;
use ron::extensions::Extensions;
use serde::Deserialize;
use std::path::PathBuf;

/// How deep the text may nest: the schema needs about ten.
pub(crate) const MAX_DEPTH: usize = 64;

/// The comment at the top of a file.
const HEAD: &str = "\
// A crowndeck project. Every length, volume and angle is a text with its unit,
// such as \"0.85 mm\", \"43 thou\", \"3 1/2 in\", \"60.5 cc\" or \"40 deg\".
";

/// Why a project can't be read.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// The file can't be read at all.
    #[error("{} can't be read: {source}", .path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file is larger than any project.
    #[error("the file is larger than {} MiB and is not read", .most / 1024 / 1024)]
    TooLarge {
        /// The largest size that is read, in bytes.
        most: u64,
    },
    /// The file is not text.
    #[error("the file is not text: line {line} holds bytes that are no UTF-8")]
    NotText {
        /// The line, from 1.
        line: usize,
    },
    /// The text is damaged.
    #[error("line {line}, column {column}: {what}")]
    Syntax {
        /// The line, from 1.
        line: usize,
        /// The column, from 1.
        column: usize,
        /// What is wrong there.
        what: String,
    },
    /// The format is not one that this program reads.
    #[error("the file has format {found}, and this program reads up to {newest}")]
    Format {
        /// The number in the file.
        found: u32,
        /// The newest number that is read.
        newest: u32,
    },
    /// The text is well formed and contradicts itself.
    #[error("{}", sentences(.0))]
    Content(Vec<Finding>),
}

fn sentences(findings: &[Finding]) -> String {
    findings.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

impl LoadError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Io { .. } => "check the path and that you may read the file".into(),
            Self::TooLarge { .. } => "check that this is a crowndeck project".into(),
            Self::NotText { .. } => "save the file as UTF-8 text".into(),
            Self::Syntax { .. } => "correct that line in a text editor, or go back to an older copy".into(),
            Self::Format { .. } => "open it with the newer program that wrote it".into(),
            Self::Content(findings) => {
                findings.first().map_or_else(String::new, |finding| finding.hint.clone())
            }
        }
    }
}

/// How texts are read and written: an optional value is written bare.
pub(crate) fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME).with_recursion_limit(MAX_DEPTH)
}

/// A project as the text of its file.
///
/// # Errors
/// Does not happen for a project that can be built; the error of the writer
/// is passed on.
pub(crate) fn to_text(project: &Project) -> Result<String, ron::Error> {
    Ok(format!("{HEAD}{}", layout::laid_out(&options().to_string(project)?)))
}

/// Reads the text of a file.
///
/// # Errors
/// As the head of this module says.
pub(crate) fn from_text(text: &str) -> Result<Project, LoadError> {
    if u64::try_from(text.len()).is_ok_and(|bytes| bytes > MAX_BYTES) {
        return Err(LoadError::TooLarge { most: MAX_BYTES });
    }
    // Some editors put a byte order mark in front.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let found = format_of(text)?;
    if !Format::reads(found) {
        return Err(LoadError::Format { found, newest: Format::NEWEST });
    }
    let project = format::brought_up(options().from_str::<Project>(text).map_err(damage)?, found);
    let mut faults: Vec<Finding> =
        project.check().into_iter().filter(|finding| finding.severity == Severity::Fault).collect();
    for fault in faults.iter_mut().filter(|fault| !fault.path.is_empty()) {
        fault.line = Some(locate::line_of(text, &fault.path));
    }
    if faults.is_empty() { Ok(project) } else { Err(LoadError::Content(faults)) }
}

/// The number of the format, before anything else is looked at.
pub(super) fn format_of(text: &str) -> Result<u32, LoadError> {
    /// The one field that every format has.
    #[derive(Deserialize)]
    struct Numbered {
        format: u32,
    }
    options().from_str::<Numbered>(text).map(|numbered| numbered.format).map_err(damage)
}

fn damage(error: ron::error::SpannedError) -> LoadError {
    LoadError::Syntax {
        line: error.span.start.line,
        column: error.span.start.col,
        what: syntax::what(&error.code),
    }
}

#[cfg(test)]
mod tests {
    use super::super::demo;
    use super::*;
    use proptest::prelude::*;

    /// The demo with one piece of its text replaced.
    fn damaged(from: &str, to: &str) -> LoadError {
        let text = to_text(&demo()).unwrap();
        assert!(text.contains(from), "{from}");
        from_text(&text.replacen(from, to, 1)).unwrap_err()
    }

    #[test]
    fn damage_is_told_with_line_and_column() {
        let cases = [
            ("title:", "colour: \"red\", title:", "line 5, column 5: ‘colour’ is not known here"),
            (
                "known: maker",
                "known: guess",
                "line 23, column 43: ‘guess’ is not known here; known are measured",
            ),
            ("(value: \"80 mm\", known: maker)", "(known: maker)", "line 23, column 32: ‘value’ is missing"),
            ("bore: (value: \"80 mm\"", "bore: (value: \"80\"", "line 23, column 28: ‘80’ has no unit"),
            ("stroke: (", "bore: (", "line 24, column 50: bore is given twice"),
            ("stroke: (", "strike: (", "line 24, column 13: ‘strike’ is not known here"),
            ("separate_barrels,", "separate_barrels", "line 12, column 9: a comma is wanted here"),
            ("cooling: air,", "cooling: air, cooling: air,", "line 12, column 23: ‘cooling’ is given twice"),
            ("format: 2", "format: \"2\"", "line 4, column 12: a whole number"),
            ("format: 2,", "", "‘format’ is missing"),
            ("\"1.21 mm\"", "1.21", "a value such as"),
            ("cap(opening: 0.88)", "cap(opening: wide)", "line 13, column "),
            (
                "cap(opening: 0.88)",
                "cap(opening: 0.88, width: 1)",
                "‘width’ is not known here; known are opening",
            ),
        ];
        for (from, to, told) in cases {
            let error = damaged(from, to);
            assert!(matches!(error, LoadError::Syntax { .. }) && error.to_string().contains(told), "{error}");
            assert!(!error.hint().is_empty());
        }
    }

    #[test]
    fn what_is_no_project_is_refused() {
        let whole = to_text(&demo()).unwrap();
        let half = &whole[..whole.find("readings:").unwrap()];
        for text in ["", "(", "(format: 2", "hello", "(format: 2, title: \"x", "[[[[", half] {
            let error = from_text(text).unwrap_err();
            assert!(matches!(error, LoadError::Syntax { .. }), "{text}: {error}");
        }
        let error = from_text(&format!("{whole} more")).unwrap_err();
        assert!(error.to_string().contains("behind the end"), "{error}");
        assert!(matches!(from_text(&" ".repeat(5 << 20)), Err(LoadError::TooLarge { .. })));
    }

    #[test]
    fn a_newer_format_is_refused_with_a_sentence() {
        let error = damaged("format: 2", "format: 3, wings: 4");
        assert_eq!(error.to_string(), "the file has format 3, and this program reads up to 2");
        assert!(matches!(damaged("format: 2", "format: 0"), LoadError::Format { found: 0, .. }));
    }

    /// The engines of this program as they were in format 1, and as they are.
    const FORMAT_1: [(&str, &str); 5] = [
        (include_str!("../../tests/data/formats/1/tarnbeck-ft62.ron"), "tarnbeck-ft62"),
        (include_str!("../../tests/data/formats/1/oldermoor-t4.ron"), "oldermoor-t4"),
        (include_str!("../../tests/data/formats/1/brackwell-s7.ron"), "brackwell-s7"),
        (include_str!("../../tests/data/formats/1/zunnar-k123.ron"), "zunnar-k123"),
        (include_str!("../../tests/data/formats/1/sorrendel-f6.ron"), "sorrendel-f6"),
    ];

    #[test]
    fn a_file_of_format_1_opens_with_every_value_and_is_written_in_the_newest() {
        for (old, id) in FORMAT_1 {
            assert!(old.contains("    format: 1,"), "{id}");
            let project = from_text(old).unwrap();
            let text = to_text(&project).unwrap();
            // Nothing but the number differs: every value as it was typed.
            assert_eq!(text, old.replacen("format: 1,", &format!("format: {},", Format::NEWEST), 1), "{id}");
            let again = from_text(&text).unwrap();
            assert_eq!(again, project, "{id}");
            let figures = |project: &Project| {
                let question = project.question();
                let answers = crate::study::Answers::to(&question);
                let of =
                    |cylinder: &crate::study::CylinderAnswer| *cylinder.solved().unwrap().engine.figures();
                answers.cylinders.iter().map(of).collect::<Vec<_>>()
            };
            let (before, after) = (figures(&project), figures(&again));
            assert_eq!(before, after, "{id}: to the last digit");
            let demo = super::super::demos().iter().find(|demo| demo.id == id).unwrap();
            assert_eq!(before.len(), figures(&demo.project().unwrap()).len());
        }
    }

    #[test]
    fn the_use_of_the_engine_is_a_field_of_the_duty() {
        let text = to_text(&demo()).unwrap().replacen("duty: (", "duty: (use: race, ", 1);
        let project = from_text(&text).unwrap();
        assert_eq!(project.duty.usage, Some(crate::schema::Usage::Race));
        assert_eq!(project.question().build.usage, crate::schema::Usage::Race);
        assert_eq!(from_text(&to_text(&project).unwrap()).unwrap(), project);
        let error = damaged("duty: (", "duty: (use: fun, ");
        assert!(error.to_string().contains("‘fun’ is not known here; known are stationary"), "{error}");
    }

    #[test]
    fn a_distance_to_a_valve_is_a_reading_at_a_crank_angle() {
        let with = |line: &str| {
            let text = to_text(&demo()).unwrap();
            from_text(&text.replacen("readings: [", &format!("readings: [{line},"), 1))
        };
        let line = "(cylinder: \"1\", of: piston_to_valve(exhaust), place: crank(\"-10 deg\"), values: [\"2.6 mm\"])";
        let project = with(line).unwrap();
        assert!(to_text(&project).unwrap().contains("place: crank(\"-10 deg\")"));
        assert_eq!(from_text(&to_text(&project).unwrap()).unwrap(), project);
        let read = project.question().cylinders[0].valve_gap.exhaust.unwrap();
        assert_eq!((read.value, project.question().cylinders[0].valve_gap.intake), (2.6, None));
        assert!(with(&line.replace("2.6 mm", "0 mm")).is_ok(), "contact can be read");
        for (from, to, told) in [
            ("2.6 mm", "-0.1 mm", "reading 1: piston to exhaust valve is ‘-0.1 mm’"),
            ("-10 deg", "10 mm", "reading 1: its crank angle is ‘10 mm’, and an angle belongs there"),
            ("-10 deg", "350 deg", "reading 1: its crank angle is ‘350 deg’"),
            ("piston_to_valve(exhaust)", "deck", "reading 1: deck clearance is not read at a crank angle"),
        ] {
            let error = with(&line.replace(from, to)).unwrap_err();
            assert!(error.to_string().contains(told), "{error}");
            assert!(!error.hint().is_empty());
        }
    }

    #[test]
    fn text_that_nests_without_end_is_refused() {
        for piece in ["[", "Some(", "{1:", "(a:", "/*"] {
            let text = format!("(format: 2, title: {}", piece.repeat(300_000));
            let error = from_text(&text).unwrap_err();
            assert!(matches!(error, LoadError::Syntax { .. }), "{piece}: {error}");
        }
        let text = format!("(title: {}, format: 2)", "[".repeat(70));
        assert!(from_text(&text).unwrap_err().to_string().contains("nests deeper than 64"));
    }

    #[test]
    fn content_that_contradicts_itself_is_told_in_full() {
        let error = damaged("head: \"L\"", "head: \"X\"");
        assert!(error.to_string().contains("‘X’"), "{error}");
        assert_eq!(error.hint(), "name one of: L, R");
        let text = to_text(&demo()).unwrap().replace("head: \"L\"", "head: \"X\"");
        let error = from_text(&text.replace("cylinder: \"2\"", "cylinder: \"9\"")).unwrap_err();
        let LoadError::Content(findings) = error else { panic!("{error}") };
        assert!(findings.len() > 5, "{findings:?}");
    }

    #[test]
    fn a_mark_of_byte_order_and_comments_are_read_over() {
        let text = to_text(&demo()).unwrap();
        assert_eq!(from_text(&format!("\u{feff}{text}")).unwrap(), demo());
        assert_eq!(from_text(&text.replace("duty: (", "// checked\n    duty: ( /* all */")).unwrap(), demo());
        assert_eq!(from_text(&text.replace('\n', "\r\n")).unwrap().engine, demo().engine);
    }

    #[test]
    fn any_text_in_the_fields_is_kept() {
        let mut project = demo();
        project.title = "“Ünit” \\ \"1\" (a: [b]), {c}\u{a0}\u{7} 漢字 🛠".into();
        project.notes = "one\n\n  two\ttabs\r\nthree \\n 'quoted' // no comment /* either */".into();
        project.owner = "'\"'\\'".into();
        assert_eq!(from_text(&to_text(&project).unwrap()).unwrap(), project);
    }

    proptest! {
        #[test]
        fn any_notes_are_kept(notes in any::<String>()) {
            let project = Project { notes, ..demo() };
            prop_assert_eq!(from_text(&to_text(&project).unwrap()).unwrap(), project);
        }

        #[test]
        fn no_damage_makes_it_fail(at in 0_usize..8000, length in 0_usize..40, put in "[-(){}\\[\\]:,.\"\\\\a-z0-9 \n]{0,6}") {
            let text = to_text(&demo()).unwrap();
            let cut = |at: usize| text.floor_char_boundary(at.min(text.len()));
            let damaged = format!("{}{put}{}", &text[..cut(at)], &text[cut(at + length)..]);
            match from_text(&damaged) {
                Ok(project) => prop_assert!(to_text(&project).is_ok()),
                Err(error) => prop_assert!(!error.to_string().is_empty()),
            }
        }
    }
}
