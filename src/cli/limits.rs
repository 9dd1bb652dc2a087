//! `crowndeck limits`. The keys of its JSON are a promise to other programs:
//!
//! ```json
//! {"format": 1, "project": "…",
//!  "limits": [{"limit": "squish_min", "name": "Squish, at least", "form": "at_least", "unit": "mm",
//!    "value": 1.0, "text": "1.00 mm", "source": "…", "support": "common practice",
//!    "scope": "cylinder", "fed_by": [{"sort": "figure", "key": "squish_clearance_mm"}], "fed": true,
//!    "proposals": [{"value": 1.0, "text": "1.00 mm", "source": "…", "support": "common practice"}]}]}
//! ```
//!
//! `value`, `text`, `source` and `support` are null while a limit is off. One
//! of what stands under `fed_by` is enough for the limit to judge; `key` is
//! null where it is no single entry of the file.

use super::args::LimitsArgs;
use super::failure::Failure;
use super::input::{Reader, load};
use super::json::{self, FORMAT, Number, n};
use super::output::print;
use crate::project::{LimitLine, Project};
use crate::quantity::Kind;
use crate::schema::limit::{Form, LimitId, LimitText, Limits, Measure, Scope, Support};
use serde::Serialize;

/// Answers `limits`.
///
/// # Errors
/// Faults of the file.
pub(super) fn run(args: &LimitsArgs) -> Result<(), Failure> {
    let reader = Reader::of(args.json);
    let project = load(&args.project, reader)?;
    let lines = project.limit_lines();
    let text =
        if args.json { json::text(&LimitsObject::of(&project, &lines))? } else { text(&project, &lines) };
    print(&text, reader)
}

fn text(project: &Project, lines: &[LimitLine]) -> String {
    let mut text = format!("{}\n", project.title);
    for line in lines {
        let given = line.given.as_ref().map_or_else(|| "off".to_owned(), |given| told(line.id, given));
        text.push_str(&format!("\n{} ({}): {given}\n", line.id.row().name, key(line.id)));
        let feeds: Vec<String> = line.id.judged().fed_by.iter().map(|feed| feed.words()).collect();
        let feeds = feeds.join(" or ");
        text.push_str(&match (line.fed, feeds.as_str()) {
            (true, feeds) => format!("  judges: {}, from {feeds}\n", line.id.judged().short),
            (false, "") => "  nothing to judge: it can't be given yet\n".to_owned(),
            (false, feeds) => format!("  nothing to judge yet: give {feeds}\n"),
        });
        for proposed in &line.proposals {
            text.push_str(&format!("  proposed: {}\n", told(line.id, proposed)));
        }
    }
    text
}

/// "1.00 mm, common practice"; a speed gets its unit.
fn told(id: LimitId, limit: &LimitText) -> String {
    let unit = if id.measure() == Measure::Speed { " m/s" } else { "" };
    let source = if limit.source.is_empty() { Support::Builder.words() } else { &limit.source };
    format!("{}{unit}, {source}", limit.value)
}

/// The key of the file, or where else it is kept.
fn key(id: LimitId) -> &'static str {
    id.row().key.unwrap_or("clamp.least")
}

/// `limits --json`.
#[derive(Debug, Serialize)]
struct LimitsObject {
    format: u32,
    project: String,
    limits: Vec<OneLimit>,
}

/// One limit.
#[derive(Debug, Serialize)]
struct OneLimit {
    limit: &'static str,
    name: &'static str,
    form: &'static str,
    unit: Option<&'static str>,
    value: Option<Number>,
    text: Option<String>,
    source: Option<String>,
    support: Option<&'static str>,
    scope: &'static str,
    fed_by: Vec<FedBy>,
    fed: bool,
    proposals: Vec<Proposed>,
}

/// What a limit needs to judge anything.
#[derive(Debug, Serialize)]
struct FedBy {
    sort: &'static str,
    key: Option<&'static str>,
}

/// What can be taken.
#[derive(Debug, Serialize)]
struct Proposed {
    value: Option<Number>,
    text: String,
    source: String,
    support: &'static str,
}

impl LimitsObject {
    fn of(project: &Project, lines: &[LimitLine]) -> Self {
        let limits = lines.iter().map(OneLimit::of).collect();
        Self { format: FORMAT, project: project.title.clone(), limits }
    }
}

impl OneLimit {
    fn of(line: &LimitLine) -> Self {
        let (row, judged) = (line.id.row(), line.id.judged());
        let given = line.given.as_ref();
        Self {
            limit: key(line.id),
            name: row.name,
            form: match row.form {
                Form::AtLeast => "at_least",
                Form::AtMost => "at_most",
                Form::Wanted => "wanted",
                Form::FromWanted => "from_wanted",
            },
            unit: match judged.measure {
                Measure::Of(kind) => Some(Kind::base_unit(kind).ascii()),
                Measure::Speed => Some("m/s"),
                Measure::Ratio | Measure::Count => None,
            },
            value: line.value.map(n),
            text: given.map(|given| given.value.clone()),
            source: given.map(|given| given.source.clone()),
            support: given.map(|given| Support::of(&given.source).words()),
            scope: match judged.scope {
                Scope::Cylinder => "cylinder",
                Scope::Head => "head",
                Scope::Engine => "engine",
            },
            fed_by: judged.fed_by.iter().map(|feed| FedBy { sort: feed.sort(), key: feed.key() }).collect(),
            fed: line.fed,
            proposals: line.proposals.iter().map(|text| Proposed::of(line.id, text)).collect(),
        }
    }
}

impl Proposed {
    fn of(id: LimitId, proposed: &LimitText) -> Self {
        let mut taken = Limits::new();
        let value = taken.give(id, Some(proposed)).ok().and_then(|()| taken.value(id));
        Self {
            value: value.map(n),
            text: proposed.value.clone(),
            source: proposed.source.clone(),
            support: Support::of(&proposed.source).words(),
        }
    }
}
