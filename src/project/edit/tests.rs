//! Tests of each edit against its effect and its name.

use super::*;
use crate::project::demo;
use crate::schema::Usage;

fn length(text: &str) -> Quantity {
    Quantity::parse(Kind::Length, text).unwrap()
}

fn shim(label: &str, value: Quantity) -> Edit {
    let scope = Scope::Cylinder(label.into());
    Edit::SetDimension { scope, key: Key::BaseShim, value, known: Provenance::Measured }
}

#[test]
fn a_dimension_is_set_as_typed_and_named_for_undo() {
    let project = demo();
    let edit = shim("2", length("10 thou"));
    assert_eq!(edit.label(&project), "Base shim, cylinder 2: 0.50 mm to 10 thou");
    let after = edit.apply(&project).unwrap();
    assert_eq!(after.dims(1).unwrap().get(Key::BaseShim), Some(0.254));
    assert_eq!(after.dims(0), project.dims(0));
    assert_eq!(after.known(1, Key::BaseShim), Some(Provenance::Measured));
}

#[test]
fn what_is_not_there_or_of_the_wrong_kind_is_refused() {
    let project = demo();
    let error = shim("9", length("1 mm")).apply(&project).unwrap_err();
    assert_eq!(error.to_string(), "there is no cylinder ‘9’");
    let cc = Quantity::parse(Kind::Volume, "1 cc").unwrap();
    let error = shim("1", cc).apply(&project).unwrap_err();
    assert_eq!(error.to_string(), "base_shim is a length, and ‘1 cc’ is a volume");
    let mut engine = project.engine.clone();
    engine.heads.clear();
    let edit = Edit::SetEngine { what: "No heads".into(), engine: engine.into() };
    let error = edit.apply(&project).unwrap_err();
    assert_eq!(error.to_string(), "cylinder 1: names head ‘L’, which does not exist");
    let scope = Scope::Nominal;
    let error = Edit::ClearDimension { scope, key: Key::MockupDeck }.apply(&project).unwrap_err();
    assert_eq!(error.to_string(), "there is no Mock-up deck");
}

#[test]
fn a_kept_state_comes_back() {
    let start = demo();
    let keep = Edit::KeepState { name: "as built".into(), date: "12 May".into() };
    let kept = keep.apply(&start).unwrap();
    let changed = shim("1", length("1 mm")).apply(&kept).unwrap();
    let back = Edit::RestoreState("as built".into()).apply(&changed).unwrap();
    assert_eq!(back.engine, start.engine);
    assert_ne!(changed.engine, start.engine);
    assert_eq!(Edit::DropState("as built".into()).apply(&back).unwrap(), start);
    assert!(Edit::DropState("as built".into()).apply(&start).is_err());
}

#[test]
fn a_renamed_cylinder_takes_its_readings_and_rings_along() {
    let project = demo();
    let rename = |from: &str, to: &str| Edit::RenameCylinder { from: from.into(), to: to.into() };
    let after = rename("1", "left").apply(&project).unwrap();
    assert_eq!(after.engine.cylinders[0].label, "left");
    let named = |project: &Project, label: &str| {
        let readings = project.readings.iter().filter(|r| r.cylinder == label).count();
        let rings = project.rings.iter().flat_map(|r| &r.fitted).filter(|f| f.cylinder == label).count();
        (readings, rings)
    };
    assert!(named(&project, "1").0 > 0 && named(&project, "1").1 > 0, "the test needs both");
    assert_eq!((named(&after, "left"), named(&after, "1")), (named(&project, "1"), (0, 0)));
    assert_eq!(rename("left", "1").apply(&after).unwrap(), project);
    let error = rename("1", "2").apply(&project).unwrap_err();
    assert_eq!(error.to_string(), "cylinder 2: is called ‘2’ like another");
    assert_eq!(rename("9", "3").apply(&project).unwrap_err().to_string(), "there is no cylinder ‘9’");
}

#[test]
fn a_limit_is_set_with_its_source_and_named_for_undo() {
    let project = demo();
    let set = |value: &str| Edit::SetLimit {
        id: LimitId::SquishMin,
        to: Some(LimitText { value: value.into(), source: "maker's sheet".into() }),
    };
    assert_eq!(set("40 thou").label(&project), "Squish, at least: 1.00 mm to 40 thou");
    let after = set("40 thou").apply(&project).unwrap();
    let given = after.limits.get(LimitId::SquishMin).unwrap();
    assert_eq!((given.value.to_string(), given.source.as_str()), ("40 thou".to_owned(), "maker's sheet"));
    let error = set("no").apply(&project).unwrap_err();
    assert!(matches!(error, EditError::Limit(_)) && !error.hint().is_empty(), "{error}");
    let off = Edit::SetLimit { id: LimitId::SquishMin, to: None };
    assert_eq!(off.label(&project), "Squish, at least: off");
    assert_eq!(off.apply(&project).unwrap().limits.get(LimitId::SquishMin), None);
}

#[test]
fn a_struck_value_stays_with_its_reason() {
    let project = demo();
    let strike =
        |reason: Option<&str>| Edit::StrikeValue { reading: 0, value: 1, reason: reason.map(Into::into) };
    let struck = strike(Some("burr")).apply(&project).unwrap();
    assert_eq!(struck.readings[0].values[1].struck.as_deref(), Some("burr"));
    assert_eq!(struck.readings[0].values[1].value, project.readings[0].values[1].value);
    assert_eq!(strike(None).apply(&struck).unwrap(), project);
}

#[test]
fn a_value_put_right_leaves_the_wrong_one_in_the_record() {
    let project = demo();
    let before = project.readings[1].values.clone();
    let edit = Edit::CorrectValue { reading: 1, value: 0, to: length("1.22 mm") };
    let after = edit.apply(&project).unwrap();
    let values = &after.readings[1].values;
    assert_eq!(values.len(), before.len() + 1);
    assert_eq!(values[0].value, before[0].value);
    assert_eq!(values[0].struck.as_deref(), Some("written wrongly, should be 1.22 mm"));
    assert_eq!(values.last().unwrap().value.text(), "1.22 mm");
    assert_eq!(edit.label(&project), "Reading put right: 1.22 mm");
}

#[test]
fn an_instrument_joins_the_list_with_its_first_reading() {
    let project = demo();
    let tool = crate::reading::catalogue::tools().iter().find(|tool| tool.id == "bore gauge").unwrap();
    let instrument = tool.instrument().unwrap();
    let how = crate::reading::sets::How { instrument: Some(instrument.id.clone()), ..Default::default() };
    let reading = how.reading("1", &crate::reading::Subject::Dimension(Key::Bore), None);
    let alone = Edit::AddReading { reading: Box::new(reading.clone()), instrument: None };
    assert!(alone.apply(&project).unwrap_err().to_string().contains("does not exist"));
    let edit = Edit::AddReading { reading: Box::new(reading), instrument: Some(Box::new(instrument)) };
    let after = edit.apply(&project).unwrap();
    assert_eq!(after.instruments.len(), project.instruments.len() + 1);
    let again = edit.apply(&after).unwrap();
    assert_eq!(again.instruments, after.instruments);
    let detail = Box::new(ReadingDetail::State(Some(State::Loose)));
    let described = Edit::DescribeReadings { readings: vec![0, 2], detail }.apply(&project).unwrap();
    let states: Vec<_> = described.readings[..3].iter().map(|r| r.state).collect();
    assert_eq!((states[0], states[2]), (Some(State::Loose), Some(State::Loose)));
    assert_eq!(states[1], project.readings[1].state);
}

#[test]
fn a_reading_becomes_the_value_of_its_cylinder_in_one_step() {
    let project = demo();
    let edit = Edit::UseReading {
        cylinder: "2".into(),
        key: Key::MockupDeck,
        value: length("1.167 mm"),
        shim: Some(length("0.50 mm")),
    };
    let after = edit.apply(&project).unwrap();
    let dims = after.dims(1).unwrap();
    assert_eq!((dims.get(Key::MockupDeck), dims.get(Key::MockupShim)), (Some(1.167), Some(0.5)));
    assert_eq!(after.known(1, Key::MockupDeck), Some(Provenance::Measured));
    assert_eq!(after.dims(0), project.dims(0));
    assert_eq!(edit.label(&project), "Mock-up deck from its readings, cylinder 2: 1.167 mm");
}

#[test]
fn what_is_said_of_the_duty_is_named_for_undo() {
    let project = demo();
    let label = |change: &dyn Fn(&mut Duty)| {
        let mut duty = project.duty.clone();
        change(&mut duty);
        Edit::SetDuty(duty.into()).label(&project)
    };
    assert_eq!(label(&|duty| duty.max_rpm = Some(4000.0)), "Greatest speed: 3600 rpm to 4000 rpm");
    assert_eq!(label(&|duty| duty.fuel.clear()), "Fuel: cleared");
    assert_eq!(label(&|duty| duty.usage = Some(Usage::Race)), "Use: race");
    let mut bare = project.clone();
    bare.duty = Duty::default();
    let edit = Edit::SetDuty(project.duty.clone().into());
    assert_eq!(edit.label(&bare), "Rated speed: 3000 rpm");
}
