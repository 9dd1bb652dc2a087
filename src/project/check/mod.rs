//! Checks of a project for contradictions. All findings are collected, none
//! stops the check. What makes an engine impossible to compute is reported by
//! the geometry, not here.

mod place;
mod rings;
mod size;

pub(super) use place::Step;

use super::{Assembly, Dimensions, Orientation, Project};
use crate::quantity::{Kind, Quantity};
use crate::reading::{CrankAngle, DeckPlace, Subject};
use crate::schema::Torque;
use crate::schema::bounds::{MAX_FINDINGS, alternatives, grouped, shortened};
use crate::schema::limit::{LimitId, LimitValue, Measure};
use place::Place;
use std::fmt;

/// The severity of a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// The project can't be used like this; it is refused.
    Fault,
    /// The project can be used; the content is probably not meant.
    Remark,
}

/// A contradiction in a project.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Its severity.
    pub severity: Severity,
    /// Position: "cylinder 3", "reading 12".
    pub place: String,
    /// The contradiction, as a clause.
    pub what: String,
    /// The remedy.
    pub hint: String,
    /// The way to it in the file; empty where it has no place of its own.
    pub path: Vec<Step>,
    /// The line of the file, from 1; none for a project that was not just
    /// read.
    pub line: Option<usize>,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        write!(f, "{}: {}", self.place, self.what)
    }
}

impl Finding {
    /// Whether it says the same of the same thing, wherever that stands now.
    pub(super) fn says_what(&self, other: &Self) -> bool {
        let said = |finding: &Self| (finding.severity, finding.place.clone(), finding.what.clone());
        said(self) == said(other)
    }
}

impl Project {
    /// Returns all findings, faults and remarks, in the order of the file.
    #[must_use]
    pub fn check(&self) -> Vec<Finding> {
        let mut found = Findings::default();
        found.size(self);
        if found.all.is_empty() {
            found.content(self);
        }
        found.told()
    }
}

/// What was found so far: of each severity the first [`MAX_FINDINGS`].
#[derive(Default)]
struct Findings {
    all: Vec<Finding>,
    faults: usize,
    remarks: usize,
}

impl Findings {
    fn content(&mut self, project: &Project) {
        self.assembly(&project.engine, "", &[]);
        for number in project.duty.numbers() {
            self.number(Place::field("duty", &[], "duty"), number.0, number.1, 0.0);
        }
        if let (Some(rated), Some(greatest)) = (project.duty.rated_rpm, project.duty.max_rpm)
            && rated > greatest
        {
            self.remark(
                Place::field("duty", &[], "duty"),
                format!("rated speed {rated} rpm is above greatest speed {greatest} rpm"),
                "change one",
            );
        }
        self.limits(project);
        self.stock(project);
        self.rings(project);
        self.readings(project);
        self.bench(project);
        let names: Vec<_> = project.kept.iter().map(|kept| kept.name.as_str()).collect();
        self.labels("kept state", &names, &[], "kept");
        for (i, kept) in project.kept.iter().enumerate() {
            let path = [Step::Field("kept"), Step::Item(i), Step::Field("engine")];
            self.assembly(&kept.engine, &format!("kept state ‘{}’, ", kept.name), &path);
        }
    }

    /// All of them, with a last one that counts those beyond the bound.
    fn told(mut self) -> Vec<Finding> {
        for (severity, count) in [(Severity::Fault, self.faults), (Severity::Remark, self.remarks)] {
            if count > MAX_FINDINGS {
                let what = format!("has {} more findings", grouped(count - MAX_FINDINGS));
                let hint = "correct these first, then look again".to_owned();
                let (place, path) = ("project".to_owned(), Vec::new());
                self.all.push(Finding { severity, place, what, hint, path, line: None });
            }
        }
        self.all
    }

    fn push(&mut self, severity: Severity, place: impl Into<Place>, what: String, hint: impl Into<String>) {
        let count = match severity {
            Severity::Fault => &mut self.faults,
            Severity::Remark => &mut self.remarks,
        };
        *count += 1;
        if *count <= MAX_FINDINGS {
            let Place { words, path } = place.into();
            self.all.push(Finding { severity, place: words, what, hint: hint.into(), path, line: None });
        }
    }

    fn fault(&mut self, place: impl Into<Place>, what: String, hint: impl Into<String>) {
        self.push(Severity::Fault, place, what, hint);
    }

    fn remark(&mut self, place: impl Into<Place>, what: String, hint: impl Into<String>) {
        self.push(Severity::Remark, place, what, hint);
    }

    /// Labels that are empty or given twice; one that is given many times is
    /// told once.
    fn labels(&mut self, sort: &str, labels: &[&str], within: &[Step], list: &'static str) {
        for (i, label) in labels.iter().enumerate() {
            let place = || Place::item(format!("{sort} {}", i + 1), within, list, i);
            let before = labels.iter().take(i).filter(|before| *before == label).count();
            if label.trim().is_empty() {
                self.fault(place(), "has no label".into(), "give it a label");
            } else if before == 1 {
                let more = labels.iter().skip(i + 1).filter(|after| *after == label).count();
                let what = match more {
                    0 => format!("is called ‘{label}’ like another"),
                    _ => format!("is called ‘{label}’ like {} others", grouped(more + 1)),
                };
                self.fault(place(), what, "give each its own label");
            }
        }
    }

    /// A value that must be of a kind.
    fn kind(&mut self, place: impl Into<Place>, name: &str, value: &Quantity, kind: Kind) {
        if value.kind() != kind {
            self.fault(
                place,
                format!("{name} is ‘{}’, and {} belongs there", shortened(value.text()), kind.with_article()),
                format!("use {}", kind.units_in_words()),
            );
        }
    }

    /// A length that must be above 0, or 0 where `or_zero`.
    fn thickness(&mut self, place: impl Into<Place>, name: &str, value: &Quantity, or_zero: bool) {
        let place = place.into();
        self.kind(&place, name, value, Kind::Length);
        if value.base() < 0.0 || (value.base() == 0.0 && !or_zero) {
            let wanted = if or_zero { "0 or more" } else { "above 0" };
            self.fault(
                place,
                format!("{name} is ‘{}’", shortened(value.text())),
                format!("give a length {wanted}"),
            );
        }
    }

    /// A plain number that must be finite and above a bound.
    fn number(&mut self, place: impl Into<Place>, name: &str, value: Option<f64>, above: f64) {
        if let Some(value) = value
            && !(value.is_finite() && value > above)
        {
            self.fault(place, format!("{name} is {value}"), format!("give a number above {above}"));
        }
    }

    fn dimensions(&mut self, place: &Place, dimensions: &Dimensions) {
        for (key, entry) in dimensions.iter() {
            self.kind(place.within(key.id()), key.id(), &entry.value, key.kind());
        }
    }

    fn assembly(&mut self, engine: &Assembly, within: &str, path: &[Step]) {
        let path = if path.is_empty() { &[Step::Field("engine")] } else { path };
        self.dimensions(&Place::field(format!("{within}nominal"), path, "nominal"), &engine.nominal);
        let banks: Vec<_> = engine.banks.iter().map(|bank| bank.label.as_str()).collect();
        let heads: Vec<_> = engine.heads.iter().map(|head| head.label.as_str()).collect();
        let cylinders: Vec<_> = engine.cylinders.iter().map(|cylinder| cylinder.label.as_str()).collect();
        self.labels(&format!("{within}bank"), &banks, path, "banks");
        self.labels(&format!("{within}head"), &heads, path, "heads");
        self.labels(&format!("{within}cylinder"), &cylinders, path, "cylinders");
        for (i, bank) in engine.banks.iter().enumerate() {
            if let Orientation::Leaning(angle) = &bank.stands {
                let place = Place::item(format!("{within}bank {}", bank.label), path, "banks", i);
                self.kind(place, "its lean", angle, Kind::Angle);
            }
        }
        for (i, head) in engine.heads.iter().enumerate() {
            let place = Place::item(format!("{within}head {}", head.label), path, "heads", i);
            if let Some(tolerance) = &head.tolerance {
                self.thickness(&place, "its tolerance", tolerance, true);
            }
            if !engine.cylinders.iter().any(|cylinder| cylinder.head == head.label) {
                self.remark(
                    place,
                    "is over no cylinder".into(),
                    "name it as the head of a cylinder, or remove it",
                );
            }
        }
        if engine.cylinders.is_empty() {
            let place = Place::field(format!("{within}engine"), path, "cylinders");
            self.fault(place, "has no cylinder".into(), "add a cylinder");
        }
        for (i, cylinder) in engine.cylinders.iter().enumerate() {
            let place = Place::item(format!("{within}cylinder {}", cylinder.label), path, "cylinders", i);
            if !heads.contains(&cylinder.head.as_str()) {
                let what = if cylinder.head.trim().is_empty() {
                    "is under no head".into()
                } else {
                    format!("names head ‘{}’, which does not exist", cylinder.head)
                };
                self.fault(place.clone(), what, known("head", &heads));
            }
            if let Some(bank) = cylinder.bank.as_deref().filter(|bank| !banks.contains(bank)) {
                let what = format!("names bank ‘{bank}’, which does not exist");
                self.fault(place.clone(), what, known("bank", &banks));
            }
            self.dimensions(&place.within("own"), &cylinder.own);
        }
    }

    fn limits(&mut self, project: &Project) {
        let limits = &project.limits;
        let place = Place::field("limits", &[], "limits");
        for id in LimitId::in_file() {
            let (Some(limit), title) = (limits.get(id), id.row().title) else { continue };
            match (id.measure(), &limit.value) {
                (Measure::Of(kind), LimitValue::Quantity(value)) => self.kind(&place, title, value, kind),
                (Measure::Count, _) => {}
                _ => {
                    let above = if id.is_whole_ratio() { 1.0 } else { 0.0 };
                    self.number(&place, title, Some(limit.base()), above);
                }
            }
        }
        let both = |one, other| Some((limits.get(one)?, limits.get(other)?));
        if let Some((least, most)) = both(LimitId::SquishMin, LimitId::SquishMax)
            && least.base() > most.base()
        {
            self.remark(
                &place,
                format!("least squish ‘{}’ is above greatest squish ‘{}’", least.value, most.value),
                "no shim can hold both; change one",
            );
        }
        if let Some((fewest, most)) = both(LimitId::PiecesMin, LimitId::PiecesMax)
            && fewest.base() > most.base()
        {
            self.remark(
                &place,
                format!("fewest pieces {} are above most pieces {}", fewest.value, most.value),
                "no stack can hold both; change one",
            );
        }
        if let Some((target, ceiling)) = both(LimitId::TargetRatio, LimitId::RatioCeiling)
            && target.base() > ceiling.base()
        {
            self.remark(
                &place,
                format!(
                    "target ratio {} is above the greatest ratio for the fuel {}",
                    target.value, ceiling.value
                ),
                "change one, and think of the fuel",
            );
        }
    }

    fn stock(&mut self, project: &Project) {
        for (i, shim) in project.shims.iter().enumerate() {
            let place = Place::item(format!("shim {}", i + 1), &[], "shims", i);
            self.thickness(place, "its thickness", &shim.thickness, false);
        }
        for (i, gasket) in project.gaskets.iter().enumerate() {
            let place = Place::item(format!("head gasket {}", i + 1), &[], "gaskets", i);
            self.thickness(&place, "its crushed thickness", &gasket.crushed, true);
            if let Some(free) = &gasket.free {
                self.thickness(&place, "its free thickness", free, true);
            }
            if let Some(bore) = &gasket.bore {
                self.thickness(&place, "its bore", bore, false);
            }
            if let Some(class) = &gasket.for_stand {
                self.kind(&place, "the least stand of its class", &class.from, Kind::Length);
                self.kind(&place, "the greatest stand of its class", &class.to, Kind::Length);
                if class.from.base() > class.to.base() {
                    self.fault(
                        &place,
                        format!("its class runs from ‘{}’ to ‘{}’", class.from, class.to),
                        "give the smaller stand first",
                    );
                }
            }
        }
    }

    fn bench(&mut self, project: &Project) {
        for (i, step) in project.bench.iter().enumerate() {
            let place = Place::item(format!("bench step {}", i + 1), &[], "bench", i);
            if step.what.trim().is_empty() {
                self.fault(place.clone(), "says nothing".into(), "say what is done, or remove it");
            }
            if let Some((what, hint)) = step.torque.as_ref().and_then(Torque::fault) {
                self.fault(place, what, hint);
            }
        }
    }

    fn readings(&mut self, project: &Project) {
        let ids: Vec<_> = project.instruments.iter().map(|instrument| instrument.id.as_str()).collect();
        self.labels("instrument", &ids, &[], "instruments");
        for (i, instrument) in project.instruments.iter().enumerate() {
            let place = Place::item(format!("instrument {}", instrument.id), &[], "instruments", i);
            let numbers = [Some(&instrument.step), instrument.repeatability.as_ref()];
            if numbers.into_iter().flatten().any(|value| value.base() < 0.0) {
                self.fault(place.clone(), "has a step or repeatability below 0".into(), "give 0 or more");
            }
            if instrument.repeatability.as_ref().is_some_and(|r| r.kind() != instrument.step.kind()) {
                self.fault(
                    place,
                    "has a step and a repeatability of different kinds".into(),
                    "give both as lengths, or both as volumes",
                );
            }
        }
        for (i, reading) in project.readings.iter().enumerate() {
            let place = Place::item(format!("reading {}", i + 1), &[], "readings", i);
            self.cylinder_exists(project, &place, &reading.cylinder);
            if let Some(id) = &reading.instrument {
                match project.instrument(id) {
                    None => self.fault(
                        place.clone(),
                        format!("names instrument ‘{id}’, which does not exist"),
                        known("instrument", &ids),
                    ),
                    Some(instrument) if instrument.step.kind() != reading.of.kind() => self.fault(
                        place.clone(),
                        format!("{} can't be read with ‘{id}’", reading.of.name()),
                        "name the instrument that was used",
                    ),
                    Some(_) => {}
                }
            }
            for value in &reading.values {
                self.kind(&place, &reading.of.name(), &value.value, reading.of.kind());
                if reading.of.may_be_0() && value.value.base() < 0.0 {
                    let what = format!("{} is ‘{}’", reading.of.name(), value.value);
                    self.fault(place.clone(), what, "a distance is 0, which is contact, or more");
                }
            }
            if let Some(DeckPlace::Crank(angle)) = &reading.place {
                self.crank_angle(&place, &reading.of, angle);
            }
            if reading.values.is_empty() {
                self.remark(place.clone(), "has no value".into(), "enter what was read, or remove it");
            }
            if let Some(shim) = &reading.shim {
                self.thickness(&place, "the shim fitted", shim, true);
            }
        }
    }

    /// A place that is a crank angle on overlap.
    fn crank_angle(&mut self, place: &Place, of: &Subject, angle: &CrankAngle) {
        self.kind(place, "its crank angle", &angle.0, Kind::Angle);
        if !matches!(of, Subject::PistonToValve(_)) {
            let what = format!("{} is not read at a crank angle", of.name());
            self.fault(place, what, "name the place on the part, or none");
        } else if angle.0.kind() == Kind::Angle && angle.degrees().abs() > 180.0 {
            let what = format!("its crank angle is ‘{}’", angle.0);
            self.fault(place, what, "give degrees from overlap top dead centre, at most 180 either way");
        }
    }

    fn cylinder_exists(&mut self, project: &Project, place: &Place, label: &str) {
        if project.cylinder_index(label).is_none() {
            let labels: Vec<_> = project.engine.cylinders.iter().map(|c| c.label.as_str()).collect();
            self.fault(
                place,
                format!("names cylinder ‘{label}’, which does not exist"),
                known("cylinder", &labels),
            );
        }
    }
}

/// Returns the names that are accepted instead.
fn known(sort: &str, labels: &[&str]) -> String {
    if labels.is_empty() {
        format!("add a {sort} and name it here")
    } else {
        format!("name one of: {}", alternatives(labels.iter().copied()))
    }
}

#[cfg(test)]
mod tests {
    use super::super::demo;
    use super::*;
    use crate::engine::{Key, Provenance};
    use crate::project::Entry;
    use crate::reading::Reading;
    use crate::schema::{BenchStep, TorqueUnit};

    fn whats(project: &Project) -> Vec<String> {
        project.check().iter().map(ToString::to_string).collect()
    }

    fn entry(kind: Kind, text: &str) -> Entry {
        Entry { value: Quantity::parse(kind, text).unwrap(), known: Provenance::Assumed, note: String::new() }
    }

    #[test]
    fn a_sound_project_has_no_findings() {
        assert_eq!(whats(&demo()), Vec::<String>::new());
    }

    #[test]
    fn all_findings_are_told_at_once() {
        let mut project = demo();
        project.engine.cylinders[0].head = "X".into();
        project.engine.cylinders[1].label = "1".into();
        project.engine.cylinders[1].bank = Some("middle".into());
        project.engine.nominal.set(Key::Bore, entry(Kind::Volume, "80 cc"));
        project.readings.clear();
        for ring in &mut project.rings {
            ring.fitted.clear();
        }
        project.readings.push(Reading {
            cylinder: "7".into(),
            of: Subject::Deck,
            place: None,
            instrument: Some("eye".into()),
            values: vec![Quantity::parse(Kind::Volume, "1 cc").unwrap().into()],
            state: None,
            shim: None,
            date: String::new(),
            note: String::new(),
        });
        assert_eq!(
            whats(&project),
            [
                "nominal: bore is ‘80 cc’, and a length belongs there",
                "cylinder 2: is called ‘1’ like another",
                "head L: is over no cylinder",
                "cylinder 1: names head ‘X’, which does not exist",
                "cylinder 1: names bank ‘middle’, which does not exist",
                "reading 1: names cylinder ‘7’, which does not exist",
                "reading 1: names instrument ‘eye’, which does not exist",
                "reading 1: deck clearance is ‘1 cc’, and a length belongs there",
            ]
        );
        assert_eq!(project.check()[3].hint, "name one of: L, R");
    }

    #[test]
    fn a_step_at_the_bench_says_something_and_its_torque_makes_sense() {
        let mut project = demo();
        let step = BenchStep { what: "Head on".into(), ..BenchStep::default() };
        let torque = Torque::in_two_stages(-28.0, TorqueUnit::NewtonMetre);
        project.bench = vec![step.clone(), BenchStep::default(), BenchStep { torque: Some(torque), ..step }];
        assert_eq!(whats(&project), ["bench step 2: says nothing", "bench step 3: its torque is -28"]);
    }

    #[test]
    fn an_engine_without_cylinders_and_limits_that_clash_are_told() {
        let mut project = demo();
        project.engine.cylinders.clear();
        project.engine.heads.clear();
        project.readings.clear();
        project.rings.clear();
        project.limits.set(LimitId::SquishMin, Some(Quantity::parse(Kind::Length, "3 mm").unwrap().into()));
        project.limits.set(LimitId::TargetRatio, Some(1.0.into()));
        assert_eq!(
            whats(&project),
            [
                "engine: has no cylinder",
                "limits: target ratio is 1",
                "limits: least squish ‘3 mm’ is above greatest squish ‘2.60 mm’",
            ]
        );
        project.limits.set(LimitId::TargetRatio, Some(f64::NAN.into()));
        assert_eq!(whats(&project)[1], "limits: target ratio is NaN");
    }
}
