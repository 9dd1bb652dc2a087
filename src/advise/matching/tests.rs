//! Tests of the searches against a brute force that tries every permutation and
//! knows no bounds.

use super::parts::Seat;
use super::{Goal, Locks, open, pair, swap};
use crate::advise::budget::Budget;
use crate::engine::{Dims, Engine, Key};
use crate::schema::limit::{Limit, LimitId};
use crate::study::{CylinderInput, HeadInput, Question, TargetRatio};

/// Numbers that look random and are the same in each run: a linear
/// congruential generator (constants of Numerical Recipes, from memory).
struct Dice(u32);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        low + (high - low) * f64::from(self.0 >> 8) / f64::from(1_u32 << 24)
    }

    /// Bench values in hundredths, so that ties occur.
    fn hundredths(&mut self, around: f64, off: f64) -> f64 {
        ((around + self.between(-off, off)) * 100.0).round() / 100.0
    }
}

fn engine(dice: &mut Dice, count: usize, per_head: usize) -> Question {
    let cylinder = |i: usize, dice: &mut Dice| CylinderInput {
        label: (i + 1).to_string(),
        head: i / per_head,
        dims: Dims::new()
            .with(Key::Bore, 80.0)
            .with(Key::Stroke, 62.0)
            .with(Key::RodLength, dice.hundredths(120.0, 0.06))
            .with(Key::CompressionHeight, dice.hundredths(36.0, 0.06))
            .with(Key::CaseHeight, dice.hundredths(95.0, 0.06))
            .with(Key::BarrelLength, dice.hundredths(92.8, 0.08))
            .with(Key::GasketThickness, 0.0)
            .with(Key::ChamberVolume, dice.hundredths(38.0, 1.0)),
        ..Default::default()
    };
    Question {
        cylinders: (0..count).map(|i| cylinder(i, dice)).collect(),
        heads: (0..count.div_ceil(per_head))
            .map(|i| HeadInput { label: i.to_string(), level: per_head > 1, ..Default::default() })
            .collect(),
        ..Default::default()
    }
}

fn nodes(most: u64) -> Budget<'static> {
    Budget::new(most, &|| false)
}

fn permutations(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![vec![]];
    }
    let mut all = Vec::new();
    for shorter in permutations(count - 1) {
        for place in 0..count {
            let mut one = shorter.clone();
            one.insert(place, count - 1);
            all.push(one);
        }
    }
    all
}

/// Returns (out of level beyond the tolerance, decks, levels), in billionths,
/// by the chain of interface.md: a pin on the bore axis reaches S/2 + L + H.
fn cost(q: &Question, seats: &[Seat], tolerance: f64) -> [i64; 3] {
    let of = |i: usize, key| q.cylinders[i].dims.get(key).unwrap();
    let top = |i: usize| of(i, Key::CaseHeight) + of(seats[i].barrel, Key::BarrelLength);
    let deck = |i: usize| {
        top(i) - 31.0 - of(seats[i].rod, Key::RodLength) - of(seats[i].piston, Key::CompressionHeight)
    };
    let spread = |values: Vec<f64>| {
        let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        most - values.iter().copied().fold(f64::INFINITY, f64::min)
    };
    let mut level = 0.0_f64;
    for head in (0..q.heads.len()).filter(|&h| q.heads[h].level) {
        level =
            level.max(spread((0..seats.len()).filter(|&i| q.cylinders[i].head == head).map(top).collect()));
    }
    let whole = |mm: f64| (mm * 1e6).round() as i64;
    [whole((level - tolerance).max(0.0)), whole(spread((0..seats.len()).map(deck).collect())), whole(level)]
}

#[test]
fn the_best_pairing_is_the_one_that_trying_all_finds() {
    let mut dice = Dice(3);
    let mut bought = 0;
    for case in 0..300 {
        let count = if case % 10 == 0 { 4 } else { 2 + case % 2 };
        let mut q = engine(&mut dice, count, 1 + case % 3);
        let tolerance = [0.0, 0.03, 0.05][case % 3];
        q.limits.set(LimitId::Level, Some(Limit::builder(tolerance)));
        let mut some = || (0..count).map(|_| dice.between(0.0, 1.0) < 0.25).collect::<Vec<bool>>();
        let locks = Locks {
            rods: some(),
            pistons: some(),
            barrels: some(),
            pistons_stay_in_their_barrels: case % 7 == 0,
        };
        let stays = |locked: &[bool], p: &[usize]| (0..count).all(|i| !locked[i] || p[i] == i);
        let all = permutations(count);
        let mut least = [i64::MAX; 3];
        for rods in all.iter().filter(|p| stays(&locks.rods, p)) {
            for pistons in all.iter().filter(|p| stays(&locks.pistons, p)) {
                for barrels in all.iter().filter(|p| stays(&locks.barrels, p)) {
                    if locks.pistons_stay_in_their_barrels && pistons != barrels {
                        continue;
                    }
                    let seat = |i: usize| Seat { rod: rods[i], piston: pistons[i], barrel: barrels[i] };
                    least = least.min(cost(&q, &(0..count).map(seat).collect::<Vec<_>>(), tolerance));
                }
            }
        }
        let found = pair(&q, &locks, &mut nodes(4_000_000)).unwrap();
        assert!(found.proved);
        let told = cost(&q, &found.seats, tolerance);
        assert_eq!(told, least, "case {case}: {found:?}");
        assert!((found.then.deck_spread_mm - told[1] as f64 / 1e6).abs() < 1e-6);
        bought += usize::from(found.then.deck_spread_mm < found.now.deck_spread_mm - 1e-9);
    }
    assert!(bought > 100, "pairing must buy something in many cases: {bought}");
}

#[test]
fn a_search_cut_short_says_so_and_is_never_worse_than_how_it_stands() {
    let q = engine(&mut Dice(5), 6, 3);
    let short = pair(&q, &Locks::default(), &mut nodes(20_000)).unwrap();
    assert!(!short.proved && short.moves());
    assert!(short.then.deck_spread_mm < short.now.deck_spread_mm, "{short:?}");
    assert!(pair(&q, &Locks::default(), &mut nodes(0)).unwrap().then == short.now);
}

#[test]
fn what_cannot_be_paired_is_told_in_a_sentence() {
    let mut q = engine(&mut Dice(9), 2, 1);
    q.cylinders[1].dims.set(Key::RodLength, None);
    let says = pair(&q, &Locks::default(), &mut nodes(1000)).unwrap_err();
    assert!(says.starts_with("Cylinder 2 can't be computed as it stands"), "{says}");
    q.cylinders.pop();
    assert!(pair(&q, &Locks::default(), &mut nodes(1000)).unwrap_err().starts_with("One cylinder alone"));
}

#[test]
fn opened_chambers_give_what_was_wanted_when_the_engine_is_built_with_them() {
    let mut dice = Dice(13);
    for _ in 0..200 {
        let mut q = engine(&mut dice, 3, 1);
        q.target = TargetRatio::new(dice.between(7.0, 8.0)).ok();
        q.limits.set(LimitId::RatioTolerance, Some(Limit::builder(0.01)));
        let rebuilt = |i: usize, cc: f64| {
            Engine::new(q.cylinders[i].dims.with(Key::ChamberVolume, cc)).unwrap().figures().static_ratio
        };
        for goal in [Goal::Volumes, Goal::Ratios, Goal::Wanted] {
            let told = open(&q, goal).unwrap();
            let lowest = told.iter().map(|o| o.ratio_now).fold(f64::INFINITY, f64::min);
            let largest = told.iter().map(|o| o.now_cc).fold(0.0, f64::max);
            for o in &told {
                let then = rebuilt(o.cylinder, o.leave_cc());
                assert!((then - o.ratio_then).abs() < 1e-9);
                match goal {
                    Goal::Volumes => assert!((o.leave_cc() - largest).abs() < 1e-9 && o.open_cc >= 0.0),
                    Goal::Ratios => assert!((then - lowest).abs() < 1e-9 && o.open_cc >= -1e-9),
                    Goal::Wanted => assert!((then - q.target.unwrap().get()).abs() < 1e-9),
                }
                // The tolerance moves the ratio by its own tolerance, to
                // second order.
                let off = rebuilt(o.cylinder, o.leave_cc() + o.tolerance_cc);
                assert!(((then - off) - 0.01).abs() < 1e-4, "{then} {off}");
            }
        }
    }
    let mut q = engine(&mut dice, 2, 1);
    q.limits.set(LimitId::RatioTolerance, None);
    q.limits.set(LimitId::ChamberSpread, Some(Limit::builder(0.5)));
    assert!(open(&q, Goal::Ratios).unwrap().iter().all(|o| o.tolerance_cc == 0.25));
    q.limits.set(LimitId::RatioTolerance, Some(Limit::builder(1e-6)));
    assert!(open(&q, Goal::Ratios).unwrap().iter().all(|o| o.tolerance_cc < 0.001));
    q.limits.set(LimitId::ChamberSpread, None);
    q.limits.set(LimitId::RatioTolerance, None);
    assert!(open(&q, Goal::Ratios).unwrap().iter().all(|o| o.tolerance_cc == 0.5));
    assert!(open(&q, Goal::Wanted).unwrap_err().starts_with("No ratio is wanted"));
}

#[test]
fn the_best_places_of_heads_are_those_that_trying_all_finds() {
    let mut dice = Dice(17);
    for case in 0..200 {
        let per_head = 1 + case % 2;
        let mut q = engine(&mut dice, 4 * per_head, per_head);
        if case % 3 > 0 {
            q.target = TargetRatio::new(dice.between(7.5, 9.0)).ok();
        }
        let ratio = |i: usize, from: usize| {
            let chamber = q.cylinders[from].dims.get(Key::ChamberVolume).unwrap();
            Engine::new(q.cylinders[i].dims.with(Key::ChamberVolume, chamber)).unwrap().figures().static_ratio
        };
        let worst = |heads: &[usize]| {
            let ratios: Vec<f64> = (0..q.cylinders.len())
                .map(|i| ratio(i, heads[i / per_head] * per_head + i % per_head))
                .collect();
            let most = ratios.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let least = ratios.iter().copied().fold(f64::INFINITY, f64::min);
            q.target.map_or(most - least, |t| (most - t.get()).max(t.get() - least))
        };
        let best = permutations(4).iter().map(|p| worst(p)).fold(f64::INFINITY, f64::min);
        let found = swap(&q, &mut nodes(1_000_000)).unwrap();
        assert!(found.proved && (found.then - best).abs() < 1e-8, "case {case}: {found:?} {best}");
        assert!((worst(&found.heads) - best).abs() < 1e-8);
    }
    assert!(swap(&engine(&mut dice, 2, 2), &mut nodes(1000)).unwrap_err().starts_with("No head can go"));
}
