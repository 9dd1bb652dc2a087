//! Tests of the choices against a second way of making them: every case tried
//! by hand, without the code that sorts and bounds.

use super::graded::Class;
use super::{Offered, Port, choose, graded, ladder};
use crate::engine::{Dims, Engine, Key};
use crate::schema::limit::{Limit, LimitId};
use crate::study::{CylinderInput, HeadInput, Question, TargetRatio};

/// Numbers that look random and are the same in each run: a linear
/// congruential generator (constants of Numerical Recipes, from memory).
struct Dice(u32);

impl Dice {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(self.0 >> 8) / f64::from(1_u32 << 24)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

fn dims() -> Dims {
    Dims::new()
        .with(Key::Bore, 80.0)
        .with(Key::Stroke, 82.0)
        .with(Key::RodLength, 140.0)
        .with(Key::CompressionHeight, 34.0)
        .with(Key::CaseHeight, 215.2)
        .with(Key::BarrelLength, 0.0)
        .with(Key::GasketThickness, 1.2)
        .with(Key::ChamberVolume, 42.0)
}

fn question(all: Vec<Dims>) -> Question {
    let cylinder =
        |(i, dims): (usize, Dims)| CylinderInput { label: (i + 1).to_string(), dims, ..Default::default() };
    Question {
        cylinders: all.into_iter().enumerate().map(cylinder).collect(),
        heads: vec![HeadInput { label: "A".into(), ..Default::default() }],
        ..Default::default()
    }
}

fn offered(crushed_mm: f64, bore_mm: Option<f64>, class: Option<(f64, f64)>) -> Offered {
    Offered { name: format!("{crushed_mm:.2}"), crushed_mm, bore_mm, class }
}

#[test]
fn the_best_gasket_is_the_one_that_trying_each_by_hand_finds() {
    let mut dice = Dice(7);
    let mut found = 0;
    for _ in 0..300 {
        let mut parts = || {
            dims()
                .with(Key::CompressionHeight, 34.0 + dice.between(-0.2, 0.2))
                .with(Key::ChamberVolume, 42.0 + dice.between(-2.0, 2.0))
        };
        let mut asked = question(vec![parts(), parts(), parts()]);
        let target = dice.between(8.5, 11.0);
        asked.target = TargetRatio::new(target).ok();
        let (low, high, allowed) = (dice.between(0.6, 1.2), dice.between(1.3, 2.2), dice.between(0.1, 0.8));
        asked.limits.set(LimitId::SquishMin, Some(Limit::builder(low)));
        asked.limits.set(LimitId::SquishMax, Some(Limit::builder(high)));
        asked.limits.set(LimitId::RatioTolerance, Some(Limit::builder(allowed)));
        let gaskets: Vec<Offered> = (0..6)
            .map(|_| {
                let bore = (dice.next() > 0.3).then(|| dice.between(79.5, 83.0));
                offered(dice.between(0.4, 2.0), bore, None)
            })
            .collect();
        let by_hand = gaskets
            .iter()
            .enumerate()
            .filter_map(|(i, gasket)| {
                let mut worst = 0.0_f64;
                for cylinder in &asked.cylinders {
                    let hole = gasket.bore_mm.unwrap_or(80.0);
                    let dims = cylinder.dims.with(Key::GasketThickness, gasket.crushed_mm);
                    let figures = *Engine::new(dims.with(Key::GasketBore, hole)).ok()?.figures();
                    let error = (figures.static_ratio - target).abs();
                    let squish = figures.squish_clearance;
                    if hole < 80.0 || squish < low || squish > high || error > allowed {
                        return None;
                    }
                    worst = worst.max(error);
                }
                Some((i, worst))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let choice = &choose(&asked, &gaskets)[0];
        assert_eq!(choice.best().map(|t| t.offer), by_hand.map(|b| b.0), "{choice:?}");
        assert_eq!(choice.tried.len(), gaskets.len());
        found += usize::from(by_hand.is_some());
    }
    assert!((50..250).contains(&found), "both answers must occur: {found}");
}

#[test]
fn a_hole_smaller_than_the_bore_is_told_and_no_gasket_is_told_too() {
    let asked = question(vec![dims()]);
    let choice = &choose(&asked, &[offered(1.2, Some(79.0), None)])[0];
    assert!(choice.best().is_none());
    let says = choice.tried[0].why(&asked, &Default::default());
    assert_eq!(
        says,
        "cylinder 1: the hole is 1.00 mm smaller than the bore, its edge would stand in the flame"
    );
    let none = &choose(&asked, &[])[0];
    assert!(none.missing[0].starts_with("No head gasket is listed"), "{none:?}");
}

/// The rule of the workshop manuals: the highest piston chooses.
#[test]
fn the_highest_piston_chooses_the_class_for_the_whole_block() {
    // Proud by 82/2 + 140 + H − 215.2 mm.
    let stands =
        |all: &[f64]| question(all.iter().map(|s| dims().with(Key::CompressionHeight, 34.2 + s)).collect());
    let classes = [
        offered(1.5, None, Some((0.66, 0.75))),
        offered(1.3, None, Some((0.45, 0.55))),
        offered(1.4, None, Some((0.56, 0.65))),
    ];
    let class = |all: &[f64]| graded(&stands(all), &classes).unwrap().unwrap().class;
    assert_eq!(class(&[0.46, 0.61, 0.50]), Class::Take(2));
    assert_eq!(class(&[0.46, 0.50]), Class::Take(1));
    // What the table in hundredths leaves open belongs to the next class.
    assert_eq!(class(&[0.555]), Class::Take(2));
    assert_eq!(class(&[0.30, 0.20]), Class::BelowAll);
    assert_eq!(class(&[0.50, 0.76]), Class::AboveAll);
    let mut near = stands(&[0.50, 0.64]);
    near.cylinders[1].doubt.deck_clearance = Some(0.02);
    let told = graded(&near, &classes).unwrap().unwrap();
    assert_eq!(told.class, Class::Between(2, 0));
    let says = told.sentence(&near, &classes, &Default::default());
    assert!(says.starts_with("Piston 2 stands highest, 0.64 mm proud"), "{says}");
    assert!(says.contains("too near to call"), "{says}");
    // A piston of uncertain height just below the highest one can lift the
    // block too.
    let mut second = stands(&[0.63, 0.64]);
    second.cylinders[0].doubt.deck_clearance = Some(0.05);
    assert_eq!(graded(&second, &classes).unwrap().unwrap().class, Class::Between(2, 0));
    assert_eq!(graded(&stands(&[0.5]), &[offered(1.0, None, None)]).unwrap(), None);
    let broken = question(vec![dims(), dims().with(Key::RodLength, 10.0)]);
    assert_eq!(graded(&broken, &classes), Err(vec![1]));
}

#[test]
fn every_height_of_the_ladder_is_one_that_counting_all_stacks_finds() {
    let mut dice = Dice(11);
    let base = dims().with(Key::PortClosing, 88.0).with(Key::CaseHeight, 215.6);
    let mut asked = question(vec![base]);
    for _ in 0..200 {
        let pieces: Vec<(f64, u32, bool)> = (0..4)
            .map(|_| {
                ((dice.between(1.0, 12.0)).round() / 20.0, (dice.next() * 3.0) as u32, dice.next() > 0.6)
            })
            .collect();
        let soft_most = (dice.next() * 3.0) as u32;
        asked.limits.set(LimitId::SoftPiecesMax, Some(soft_most.into()));
        // Every count of every piece, as an odometer.
        let mut all: Vec<(f64, usize)> = vec![(0.0, 0)];
        let mut counts = vec![0_u32; pieces.len()];
        'all: loop {
            let mut digit = 0;
            loop {
                let Some(count) = counts.get_mut(digit) else { break 'all };
                *count += 1;
                if *count <= pieces[digit].1 {
                    break;
                }
                *count = 0;
                digit += 1;
            }
            let sum = |of: fn(&(f64, u32, bool)) -> f64| -> f64 {
                pieces.iter().zip(&counts).map(|(p, n)| of(p) * f64::from(*n)).sum()
            };
            let (height, soft) = (sum(|p| p.0), sum(|p| f64::from(u8::from(p.2))));
            let used = counts.iter().sum::<u32>();
            if used <= 3 && soft <= f64::from(soft_most) {
                all.push((height, used as usize));
            }
        }
        let told = ladder(&asked, 0, &pieces);
        for (height, used) in &all {
            let rung = told.rungs.iter().find(|r| (r.height_mm - height).abs() < 1e-9).expect("every height");
            assert!(rung.pieces.len() <= *used, "{rung:?}: {used}");
        }
        for rung in &told.rungs {
            assert!(all.iter().any(|(h, n)| (h - rung.height_mm).abs() < 1e-9 && *n == rung.pieces.len()));
            assert!((rung.pieces.iter().sum::<f64>() - rung.height_mm).abs() < 1e-9);
        }
    }
}

/// The barrel lifts port and squish together; the head leaves the port alone.
#[test]
fn base_moves_ports_and_squish_and_the_head_moves_squish_only() {
    let asked = question(vec![dims().with(Key::PortClosing, 88.0).with(Key::CaseHeight, 215.6)]);
    let told = ladder(&asked, 0, &[(0.5, 1, false)]);
    let now = told.now.unwrap();
    assert!((now.opens_deg - 88.0).abs() < 1e-9, "without offset it opens as it closes: {now:?}");
    let rung = told.rungs.iter().find(|r| r.lift_mm == 0.5).unwrap();
    let (base, head) = (rung.by_base.as_ref().unwrap(), rung.by_head.as_ref().unwrap());
    let squish = |e: &super::Effect| e.engine.figures().squish_clearance;
    assert!((squish(base) - squish(head)).abs() < 1e-9);
    assert_eq!(head.port, Some(now));
    let lifted = base.port.unwrap();
    // A lifted edge is met earlier on the way down: open for longer.
    assert!(lifted.opens_deg < now.opens_deg && lifted.open_for_deg() > now.open_for_deg());
    let crank = &base.engine.figures().crank;
    assert!((crank.motion(lifted.opens_deg).position_mm - (now.piston_down_mm - 0.5)).abs() < 1e-9);
    assert!((base.engine.figures().deck_clearance + lifted.piston_down_mm - now.below_top_mm).abs() < 1e-9);
    assert_eq!(Port::of(&Engine::new(dims()).unwrap()), None);
    let unknown = ladder(&question(vec![dims()]), 0, &[]);
    assert_eq!(unknown.missing.len(), 2, "{:?}", unknown.missing);
}
