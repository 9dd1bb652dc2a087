use super::*;
use crate::engine::Key;
use crate::quantity::Quantity;
use crate::reading::component::Origin;
use proptest::prelude::*;

fn quantity(text: &str) -> Quantity {
    Quantity::parse_with_unit(text).unwrap()
}

fn instrument(id: &str, step: &str, repeatability: Option<&str>) -> Instrument {
    Instrument {
        id: id.into(),
        name: id.into(),
        step: quantity(step),
        repeatability: repeatability.map(quantity),
        note: String::new(),
    }
}

fn tools() -> Vec<Instrument> {
    vec![
        instrument("indicator", "0.01 mm", Some("0.01 mm")),
        instrument("feeler", "0.05 mm", Some("0.03 mm")),
        instrument("burette", "0.1 cc", Some("0.2 cc")),
        instrument("exact", "0 mm", None),
    ]
}

fn reading(of: Subject, place: Option<DeckPlace>, instrument: Option<&str>, values: &[&str]) -> Reading {
    Reading {
        cylinder: "1".into(),
        of,
        place,
        instrument: instrument.map(str::to_owned),
        values: values.iter().map(|text| quantity(text).into()).collect(),
        state: Some(State::Clamped),
        shim: None,
        date: String::new(),
        note: String::new(),
    }
}

fn deck(place: DeckPlace, values: &[&str]) -> Reading {
    reading(Subject::Deck, Some(place), Some("indicator"), values)
}

fn chamber(values: &[&str]) -> Reading {
    reading(Subject::Dimension(Key::ChamberVolume), None, Some("burette"), values)
}

fn only(readings: &[Reading]) -> Evaluation {
    let mut all = evaluate(readings, &tools()).unwrap();
    assert_eq!(all.len(), 1);
    all.remove(0)
}

fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual} against {expected}");
}

/// Cylinder 1 of the flat twin: deck 1.20 in truth, rock 0.05 at the edge.
#[test]
fn places_beside_the_pin_axis_show_rock_and_stay_out_of_the_deck() {
    let found = only(&[
        deck(DeckPlace::PinAxisFront, &["1.21 mm", "1.2 mm", "1.19 mm"]),
        deck(DeckPlace::PinAxisRear, &["1.19 mm", "1.21 mm", "1.21 mm"]),
        deck(DeckPlace::Thrust, &["1.13 mm"]),
        deck(DeckPlace::Antithrust, &["1.26 mm"]),
    ]);
    let estimate = found.estimate.unwrap();
    near(estimate.value, 7.21 / 6.0, 1e-12);
    let uncertainty = estimate.uncertainty();
    println!("{} ± {} (ν = {})", estimate.value, uncertainty.expanded(), uncertainty.degrees_of_freedom);
    near(uncertainty.expanded(), 0.0178, 0.001);
    let rock = found.rock.unwrap();
    near(rock.half, 0.065, 1e-12);
    near(rock.edges, 1.195, 1e-12);
    assert!(found.odd.is_empty() && found.remarks.is_empty(), "{:?} {:?}", found.odd, found.remarks);
    assert_eq!(found.places.len(), 4);
    near(found.places[0].spread.unwrap(), 0.02, 1e-12);
}

/// The three faults of the demo engines, found by the program itself, counted
/// until the user strikes them out, and gone from the mean after that.
#[test]
fn a_bubble_an_inch_slip_and_a_low_fill_are_flagged_and_never_dropped() {
    let found = only(&[chamber(&["33.8 cc", "33.8 cc", "32.9 cc"])]);
    let odd = &found.odd[0];
    assert_eq!((found.odd.len(), odd.reading, odd.value, odd.cause), (1, 0, 2, Cause::Bubble));
    assert_eq!(
        odd.sentence(&found.of, &UnitChoice::default()),
        "32.9 cc stands 0.9 cc below the others: an air bubble makes a fill read low. \
         Tilt the head while filling, and fill again, or strike it out"
    );
    near(found.estimate.unwrap().value, 33.5, 1e-12);

    let mut struck = chamber(&["33.8 cc", "33.8 cc", "32.9 cc"]);
    struck.values[2].struck = Some("bubble".into());
    let found = only(&[struck]);
    assert!(found.odd.is_empty());
    near(found.estimate.unwrap().value, 33.8, 1e-12);

    let low = only(&[chamber(&["86.2 cc", "85.6 cc", "86.2 cc"])]);
    assert_eq!((low.odd.len(), low.odd[0].value, low.odd[0].cause), (1, 1, Cause::Bubble));

    let front = deck(DeckPlace::PinAxisFront, &["0.35 mm", "0.35 mm", "0.34 mm"]);
    let rear = deck(DeckPlace::PinAxisRear, &["0.34 mm", "0.014 mm", "0.36 mm"]);
    let found = only(&[front, rear]);
    let odd = &found.odd[0];
    assert_eq!((found.odd.len(), odd.reading, odd.value, odd.cause), (1, 1, 1, Cause::InchSlip));
    assert!(odd.score < -outlier::LIMIT);
}

#[test]
fn a_single_odd_value_is_found_along_the_axis() {
    let found = only(&[
        deck(DeckPlace::PinAxisFront, &["0.35 mm", "0.34 mm"]),
        deck(DeckPlace::PinAxisRear, &["0.014 mm"]),
        deck(DeckPlace::Thrust, &["0.29 mm"]),
    ]);
    assert_eq!((found.odd.len(), found.odd[0].reading), (1, 1));
}

#[test]
fn readings_by_hand_give_way_to_clamped_ones() {
    let mut rough = deck(DeckPlace::PinAxis, &["1.3 mm", "1.31 mm", "1.29 mm"]);
    rough.state = Some(State::HeldByHand);
    let alone = only(&[rough.clone()]);
    assert!(alone.remarks.contains(&Remark::Floating));
    let doubts = &alone.estimate.unwrap().doubts;
    assert!(doubts.iter().any(|d| d.origin() == Origin::NotClamped));
    let both = only(&[rough, deck(DeckPlace::PinAxis, &["1.2 mm", "1.21 mm", "1.19 mm"])]);
    near(both.estimate.unwrap().value, 1.2, 1e-12);
    assert!(both.remarks.contains(&Remark::FloatingLeftOut));
}

#[test]
fn decks_with_different_shims_are_brought_to_the_last_one() {
    let mut bare = deck(DeckPlace::PinAxis, &["0.95 mm", "0.96 mm", "0.94 mm"]);
    bare.shim = Some(quantity("0 mm"));
    let mut fitted = deck(DeckPlace::PinAxis, &["1.2 mm", "1.21 mm", "1.19 mm"]);
    fitted.shim = Some(quantity("0.25 mm"));
    let found = only(&[bare.clone(), fitted.clone()]);
    let estimate = found.estimate.unwrap();
    assert_eq!(estimate.shim, Some(0.25));
    near(estimate.value, 1.2, 1e-12);
    fitted.values = vec![quantity("1.35 mm").into(); 3];
    let found = only(&[bare.clone(), fitted]);
    assert!(found.remarks.iter().any(|r| matches!(r, Remark::RunsPart { .. })), "{:?}", found.remarks);
    let unsaid = deck(DeckPlace::PinAxisRear, &["0.95 mm"]);
    bare.shim = Some(quantity("0.1 mm"));
    assert!(only(&[unsaid, bare]).remarks.contains(&Remark::ShimUnsaid));
}

#[test]
fn one_instrument_shares_what_repeating_does_not_show() {
    let barrel = |cylinder: &str, value: &str| {
        let of = Subject::Dimension(Key::BarrelLength);
        Reading { cylinder: cylinder.into(), ..reading(of, None, Some("indicator"), &[value, value]) }
    };
    let all = evaluate(&[barrel("1", "97.85 mm"), barrel("2", "97.8 mm")], &tools()).unwrap();
    let doubts: Vec<_> = all.iter().map(|e| e.estimate.clone().unwrap().doubts).collect();
    let (mut difference, mut alone) = (Combined::new(), Combined::new());
    difference.add(1.0, &doubts[0]);
    difference.add(-1.0, &doubts[1]);
    alone.add(1.0, &doubts[0]);
    // Only the two steps are left of it.
    near(difference.u(), 0.005 * (2.0 / 3.0_f64).sqrt(), 1e-12);
    assert!(difference.u() < alone.u());
}

#[test]
fn bad_input_is_told_and_gives_no_number_that_is_none() {
    let expect = |readings: &[Reading], remark: Remark| {
        let found = only(readings);
        assert!(found.remarks.contains(&remark), "{remark:?} not in {:?}", found.remarks);
        for remark in &found.remarks {
            let sentence = remark.sentence(&found.of, &UnitChoice::default());
            assert!(!sentence.contains("NaN") && !sentence.contains("inf"), "{sentence}");
        }
        found
    };
    let none = expect(&[chamber(&[])], Remark::NoValue);
    assert_eq!((none.estimate, none.places[0].mean, none.places[0].count), (None, None, 0));
    let one = expect(&[chamber(&["33.8 cc"])], Remark::SingleValue { stated: true });
    assert_eq!(one.places[0].standard_deviation, None);
    expect(&[chamber(&["33.8 cc", "33.8 cc", "33.8 cc"])], Remark::AllEqual);
    let mixed = expect(&[deck(DeckPlace::PinAxis, &["1.1 mm", "43 thou"])], Remark::MixedUnits);
    near(mixed.estimate.unwrap().value, (1.1 + 1.0922) / 2.0, 1e-12);
    expect(&[deck(DeckPlace::PinAxis, &["1.1 mm", "1.4 mm"])], Remark::TwoApart(1.4 - 1.1));
    let wrong = expect(&[chamber(&["33.8 cc", "12 mm"])], Remark::WrongKind("12 mm".into()));
    near(wrong.estimate.unwrap().value, 33.8, 1e-12);
    let exact = reading(Subject::Deck, None, Some("exact"), &["1.2 mm", "1.2 mm", "1.2 mm"]);
    let exact = expect(&[exact], Remark::NoStep);
    assert!(exact.remarks.contains(&Remark::PlaceUnsaid) && exact.remarks.contains(&Remark::RockUnread));
    let uncertainty = exact.estimate.unwrap().uncertainty();
    assert_eq!((uncertainty.standard, uncertainty.degrees_of_freedom), (0.0, f64::INFINITY));
    expect(&[reading(Subject::Deck, None, None, &["1.2 mm"])], Remark::SingleValue { stated: false });
    let unknown = reading(Subject::Deck, None, Some("burette"), &["1.2 mm"]);
    expect(&[unknown], Remark::UnknownInstrument("burette".into()));
    expect(&[deck(DeckPlace::Thrust, &["1.2 mm"])], Remark::OneEdge);
    expect(&[deck(DeckPlace::PinAxisRear, &["1.2 mm"])], Remark::OneEnd(DeckPlace::PinAxisRear));
    let edges = [
        deck(DeckPlace::PinAxis, &["1.4 mm"]),
        deck(DeckPlace::Thrust, &["1.13 mm"]),
        deck(DeckPlace::Antithrust, &["1.26 mm"]),
    ];
    expect(&edges, Remark::NotBetweenEdges);
}

#[test]
fn a_thousand_values_are_evaluated() {
    let texts: Vec<String> = (0..1000).map(|i| format!("{} cc", 33.8 + f64::from(i % 7) / 100.0)).collect();
    let found = only(&[chamber(&texts.iter().map(String::as_str).collect::<Vec<_>>())]);
    let estimate = found.estimate.unwrap();
    near(estimate.value, 33.83, 0.001);
    assert!(estimate.doubts[0].dof() > 998.0 && estimate.doubts[0].u() < 0.001);
}

/// Solder squeezed on a two-stroke: on the pin axis it reads the gap, across
/// it the rock.
#[test]
fn solder_on_the_pin_axis_gives_the_gap_and_across_it_the_rock() {
    let of = |place, values: &[&str]| reading(Subject::Squish, Some(place), Some("feeler"), values);
    let found = only(&[
        of(DeckPlace::PinAxis, &["1.18 mm", "1.18 mm"]),
        of(DeckPlace::ThrustAxis, &["1.22 mm", "1.11 mm"]),
    ]);
    near(found.estimate.unwrap().value, 1.18, 1e-12);
    near(found.rock.unwrap().half.abs(), 0.055, 1e-12);
    assert!(found.remarks.contains(&Remark::Springback));
}

proptest! {
    /// Whatever was typed, every number that comes out is finite, the mean
    /// lies between the ends, and order does not matter.
    #[test]
    fn nothing_typed_gives_a_number_that_is_none(
        values in prop::collection::vec(-1e9_f64..1e9, 0..12),
        step in 0.0_f64..10.0,
        repeatability in prop::option::of(0.0_f64..10.0),
    ) {
        let texts: Vec<String> = values.iter().map(|v| format!("{v} mm")).collect();
        let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
        let ruler = Instrument {
            step: Quantity::of(crate::quantity::Kind::Length, step).unwrap(),
            repeatability: repeatability.map(|r| Quantity::of(crate::quantity::Kind::Length, r).unwrap()),
            ..instrument("ruler", "1 mm", None)
        };
        let of = Subject::Dimension(Key::Bore);
        let mut one = reading(of, None, Some("ruler"), &texts);
        let found = evaluate(std::slice::from_ref(&one), std::slice::from_ref(&ruler)).unwrap().remove(0);
        prop_assert_eq!(found.estimate.is_none(), values.is_empty());
        if let Some(estimate) = &found.estimate {
            let uncertainty = estimate.uncertainty();
            let all = [estimate.value, uncertainty.standard, uncertainty.expanded(), uncertainty.coverage_factor];
            prop_assert!(all.iter().all(|v| v.is_finite()));
            prop_assert!(uncertainty.degrees_of_freedom >= 1.0);
            let low = values.iter().copied().fold(f64::INFINITY, f64::min);
            let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(low - 1e-6 <= estimate.value && estimate.value <= high + 1e-6);
        }
        one.values.reverse();
        let again = evaluate(&[one], &[ruler]).unwrap().remove(0);
        prop_assert_eq!(found.odd.len(), again.odd.len());
    }
}

fn at_valve(degrees: Option<&str>, values: &[&str]) -> Reading {
    let angle = degrees.map(|text| DeckPlace::Crank(CrankAngle(Quantity::parse_with_unit(text).unwrap())));
    reading(Subject::PistonToValve(crate::reading::Valve::Intake), angle, Some("indicator"), values)
}

/// A sweep is no place for a mean: the least of it counts, with its own doubt.
#[test]
fn the_least_of_a_sweep_counts_and_where_it_was_is_told() {
    let sweep = [
        at_valve(Some("5 deg"), &["2.30 mm", "2.32 mm"]),
        at_valve(Some("10 deg"), &["2.11 mm", "2.13 mm", "2.12 mm"]),
        at_valve(Some("15°"), &["2.40 mm"]),
    ];
    let found = only(&sweep);
    let least = found.estimate.as_ref().unwrap();
    near(least.value, 2.12, 1e-12);
    let alone = only(&sweep[1..2]);
    assert_eq!(least.doubts, alone.estimate.as_ref().unwrap().doubts, "the others add no doubt");
    assert!(least.uncertainty().expanded() > 0.0);
    assert_eq!(found.least_at.as_ref().map(|angle| angle.words()), Some("10° after".into()));
    assert!(found.odd.is_empty(), "angles are not held against each other: {:?}", found.odd);
    assert!(!found.remarks.contains(&Remark::LeastAtEnd));
    // The same angle written in another way is the same line of the sweep.
    let again = at_valve(Some("10°"), &["2.15 mm"]);
    near(only(&[sweep[1].clone(), again]).estimate.unwrap().value, 2.1275, 1e-12);
}

#[test]
fn an_open_end_a_missing_angle_and_contact_are_told() {
    let has = |readings: &[Reading], remark: &Remark| only(readings).remarks.contains(remark);
    let falling = [
        at_valve(Some("5 deg"), &["2.5 mm"]),
        at_valve(Some("10 deg"), &["2.3 mm"]),
        at_valve(Some("15 deg"), &["2.1 mm"]),
    ];
    assert!(has(&falling, &Remark::LeastAtEnd));
    assert!(has(&[at_valve(None, &["2.1 mm"])], &Remark::AngleUnsaid));
    assert!(!has(&falling, &Remark::AngleUnsaid) && !has(&falling, &Remark::Contact));
    let touching = [at_valve(Some("8 deg"), &["0 mm"])];
    assert!(has(&touching, &Remark::Contact));
    assert_eq!(only(&touching).estimate.unwrap().value, 0.0);
}

/// Over other shims it is another distance: the last shims count, the others
/// are named and stay out.
#[test]
fn distances_over_other_shims_are_left_out() {
    let over = |shim: &str, values: &[&str]| Reading {
        shim: Some(Quantity::parse_with_unit(shim).unwrap()),
        ..at_valve(Some("10 deg"), values)
    };
    let found = only(&[over("0.50 mm", &["1.9 mm"]), over("0.80 mm", &["2.2 mm"])]);
    let estimate = found.estimate.unwrap();
    assert_eq!((estimate.value, estimate.shim), (2.2, Some(0.8)));
    assert!(found.remarks.contains(&Remark::OtherShims));
}
