//! What holds for every engine: scale, the ends of the stroke, the shim
//! identity, slopes, and that no number whatever makes it fail or give NaN.

use crowndeck::engine::{Dims, Engine, Key, num};
use crowndeck::quantity::Kind;
use crowndeck::study::{Answers, CylinderInput, Outputs, Question, curves, effects};
use proptest::prelude::*;

/// Engines of ordinary proportions, from small to large.
fn engines() -> impl Strategy<Value = Dims> {
    let mechanism = (20.0..200.0_f64, 0.6..1.8_f64, 1.4..2.6_f64, -0.08..0.08_f64);
    let gap = (-0.3..3.0_f64, 0.0..2.0_f64, 0.4..1.5_f64, 0.0..1.2_f64);
    let space = (0.05..0.2_f64, -0.03..0.03_f64, 0.0..0.01_f64, 0.97..1.0_f64, 0.0..90.0_f64);
    (mechanism, gap, space).prop_map(|(m, g, s)| {
        let (bore, stroke) = (m.0, m.0 * m.1);
        let rod = stroke * m.2;
        let height = 0.45 * bore;
        let swept_cc = std::f64::consts::FRAC_PI_4 * bore * bore * stroke / 1000.0;
        let barrel = 1.4 * stroke;
        Dims::new()
            .with(Key::Bore, bore)
            .with(Key::Stroke, stroke)
            .with(Key::RodLength, rod)
            .with(Key::PinOffset, m.3 * stroke)
            .with(Key::CompressionHeight, height)
            .with(Key::BarrelLength, barrel)
            .with(Key::CaseHeight, stroke / 2.0 + rod + height - barrel + g.0)
            .with(Key::BaseShim, g.1)
            .with(Key::GasketThickness, g.2)
            .with(Key::GasketBore, bore + g.3)
            .with(Key::ChamberVolume, s.0 * swept_cc)
            .with(Key::CrownVolume, s.1 * swept_cc)
            .with(Key::PocketVolume, s.2 * swept_cc)
            .with(Key::TopLandDiameter, s.3 * bore)
            .with(Key::TopLandHeight, 0.07 * bore)
            .with(Key::IntakeClosing, s.4)
    })
}

/// All lengths times k, all volumes times k³.
fn scaled(dims: &Dims, k: f64) -> Dims {
    let mut out = Dims::new();
    for key in Key::all() {
        let factor = match key.kind() {
            Kind::Length => k,
            Kind::Volume => k * k * k,
            Kind::Angle => 1.0,
        };
        out.set(key, dims.get(key).map(|v| v * factor));
    }
    out
}

fn relative(a: f64, b: f64, scale: f64) -> f64 {
    (a - b).abs() / a.abs().max(b.abs()).max(scale)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    /// Ratios are pure numbers: they can't depend on the unit of length.
    #[test]
    fn scale_does_not_change_a_ratio(dims in engines(), exponent in -6.0..6.0_f64) {
        let Ok(engine) = Engine::new(dims) else { return Ok(()) };
        for k in [num::pow(10.0, exponent), 1e-6, 1e6] {
            let other = Engine::new(scaled(&dims, k)).map_err(|f| TestCaseError::fail(format!("k {k}: {f:?}")))?;
            let (a, b) = (engine.figures(), other.figures());
            prop_assert!(relative(a.static_ratio, b.static_ratio, 0.0) < 1e-9, "k {}", k);
            let effective = (a.effective_ratio.unwrap_or(0.0), b.effective_ratio.unwrap_or(0.0));
            prop_assert!(relative(effective.0, effective.1, 0.0) < 1e-9, "k {}", k);
            let deck = relative(a.deck_clearance * k, b.deck_clearance, 1e-3 * k * dims.get(Key::Stroke).unwrap_or(0.0));
            prop_assert!(deck < 1e-9, "k {}: deck off by {}", k, deck);
        }
    }

    /// The clearance volume at the top, swept and clearance at the bottom.
    #[test]
    fn volume_at_the_ends_of_the_stroke(dims in engines()) {
        let Ok(engine) = Engine::new(dims) else { return Ok(()) };
        let f = engine.figures();
        prop_assert_eq!(engine.space(0.0).volume_cc, f.clearance_volume);
        prop_assert_eq!(engine.space(0.0).ratio, f.static_ratio);
        let bottom = (f.crank.theta_bottom() - f.crank.theta_top()).to_degrees();
        let at = curves::at(&engine, bottom);
        prop_assert!(relative(at.volume_cc, f.swept + f.clearance_volume, 0.0) < 1e-12);
        prop_assert!((at.ratio - 1.0).abs() < 1e-12);
        // Nowhere is there more or less space than at the ends.
        for degree in -180..=180 {
            let v = engine.space(f64::from(degree)).volume_cc;
            prop_assert!(v >= f.clearance_volume * (1.0 - 1e-12) && v <= at.volume_cc * (1.0 + 1e-12));
        }
    }

    /// t/S = (CR1 − CR2)/((CR1 − 1)(CR2 − 1)): needs no chamber volume.
    /// Derivation: CR − 1 = V_s/V_c, so 1/(CR2 − 1) − 1/(CR1 − 1) is the added
    /// volume over the swept one, A·t/(A·S).
    #[test]
    fn the_shim_identity(dims in engines(), t in 0.01..3.0_f64) {
        let Ok(one) = Engine::new(dims) else { return Ok(()) };
        let shim = dims.get(Key::BaseShim).unwrap_or(0.0);
        let two = Engine::new(dims.with(Key::BaseShim, shim + t)).map_err(|f| TestCaseError::fail(format!("{f:?}")))?;
        let (cr1, cr2) = (one.figures().static_ratio, two.figures().static_ratio);
        let from_ratios = (cr1 - cr2) / ((cr1 - 1.0) * (cr2 - 1.0));
        let stroke = one.figures().crank.true_stroke();
        prop_assert!((from_ratios - t / stroke).abs() < 1e-10, "{} against {}", from_ratios, t / stroke);
    }

    /// Every slope against a central difference, whose own error is of the
    /// order of the square of its step.
    #[test]
    fn slopes_are_those_of_central_differences(dims in engines()) {
        let Ok(engine) = Engine::new(dims) else { return Ok(()) };
        for effect in effects(&engine, None) {
            let h = match effect.key.kind() {
                Kind::Volume => 1e-4 * engine.figures().clearance_volume,
                _ => 1e-4 * dims.get(Key::Bore).unwrap_or(1.0),
            };
            let side = |h: f64| Engine::new(dims.with(effect.key, effect.value + h)).ok().map(|e| Outputs::of_engine(&e));
            // At the edge of the range, or beside contact, one side is missing.
            let (Some(up), Some(down)) = (side(h), side(-h)) else { continue };
            let pairs = [
                (up.deck_clearance_mm, down.deck_clearance_mm, effect.slope.deck_clearance_mm),
                (up.squish_clearance_mm, down.squish_clearance_mm, effect.slope.squish_clearance_mm),
                (up.clearance_volume_cc, down.clearance_volume_cc, effect.slope.clearance_volume_cc),
                (up.static_ratio, down.static_ratio, effect.slope.static_ratio),
            ];
            for (i, (up, down, slope)) in pairs.into_iter().enumerate() {
                let difference = (up - down) / (2.0 * h);
                let floor = 1e-3 * (1.0 + up.abs()) / dims.get(Key::Bore).unwrap_or(1.0);
                prop_assert!(
                    relative(difference, slope, floor) < 1e-3,
                    "{} figure {}: slope {} against {}", effect.key, i, slope, difference
                );
            }
        }
    }

    /// Whatever numbers come in, the answer is a fault or a set of finite
    /// figures.
    #[test]
    fn awkward_numbers_give_faults_or_finite_figures(
        values in proptest::collection::vec(proptest::option::weighted(0.9, awkward()), Key::COUNT),
        angle in awkward(),
    ) {
        let mut dims = Dims::new();
        for (key, value) in Key::all().zip(values) {
            dims.set(key, value);
        }
        all_finite_or_refused(dims, angle)?;
    }

    /// The same with one awkward number in an engine that is sound.
    #[test]
    fn one_awkward_number_gives_a_fault_or_finite_figures(
        dims in engines(), place in 0..Key::COUNT, value in awkward(), angle in awkward(),
    ) {
        let key = Key::all().nth(place).ok_or_else(|| TestCaseError::fail("a key"))?;
        all_finite_or_refused(dims.with(key, value), angle)?;
    }
}

/// Numbers that break careless arithmetic.
fn awkward() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(-0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(f64::MAX),
        Just(f64::MIN_POSITIVE),
        Just(5e-324),
        Just(1e154),
        Just(1e-160),
        Just(86.0),
        Just(86.0 + f64::EPSILON * 64.0),
        Just(43.0),
        any::<f64>(),
        -10.0..200.0_f64,
    ]
}

fn all_finite_or_refused(dims: Dims, angle: f64) -> Result<(), TestCaseError> {
    let question = Question {
        cylinders: vec![CylinderInput { dims, ..CylinderInput::default() }],
        ..Question::default()
    };
    let answers = Answers::to(&question);
    let Some(answer) = answers.cylinders.first() else { return Err(TestCaseError::fail("an answer")) };
    match &answer.result {
        Err(faults) => {
            prop_assert!(!faults.is_empty());
            for fault in faults {
                let text = fault.to_string();
                prop_assert!(text.contains(fault.key.id()) && !fault.accepted.is_empty(), "{}", text);
            }
        }
        Ok(solved) => {
            let f = solved.engine.figures();
            for v in [
                f.deck_clearance,
                f.squish_clearance,
                f.swept,
                f.clearance_volume,
                f.static_ratio,
                f.bore_area,
                f.rod_ratio,
                f.crank.true_stroke(),
                f.crank.theta_top(),
                f.crank.theta_bottom(),
                f.effective_ratio.unwrap_or(0.0),
            ] {
                prop_assert!(v.is_finite(), "{:?}", dims);
            }
            let space = engine_space(&solved.engine, angle);
            prop_assert!(!space.is_some_and(f64::is_nan), "{:?} at {}", dims, angle);
        }
    }
    Ok(())
}

/// The volume at an angle that is a number.
fn engine_space(engine: &Engine, angle: f64) -> Option<f64> {
    angle.is_finite().then(|| engine.space(angle).volume_cc)
}
