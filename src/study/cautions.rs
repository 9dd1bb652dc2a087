//! Cautions, each where its decision is made. Those with a condition speak of
//! the engine at hand; the others always stand beside their decision.

use super::build::{Build, Construction, Cycle, Ignition};
use super::defaults::proposed_value;
use crate::engine::{Engine, Key};
use crate::schema::limit::{LimitId, Limits};

/// A decision or a job beside which cautions stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Decision {
    /// Which shims go under a barrel.
    Shim,
    /// Which ratio the engine gets.
    Ratio,
    /// How far the piston stays from the head.
    Squish,
    /// Whether valves and pistons clear each other.
    Valve,
    /// Ring gaps.
    Rings,
    /// Grinding, filing, drilling.
    Grinding,
    /// Filling chambers from a burette.
    Filling,
    /// Washing parts.
    Solvents,
    /// Tightening.
    Torque,
    /// Turning the engine over.
    TurningOver,
    /// The first run.
    FirstRun,
    /// What goes into the binder.
    Record,
}

// In the order of the work.
all!(
    pub Decision: Shim, Squish, Ratio, Valve, Rings, Grinding, Filling, Solvents, Torque, TurningOver, FirstRun,
    Record
);

/// The engine that a caution looks at.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Situation<'a> {
    /// One cylinder.
    pub engine: &'a Engine,
    /// Its limits.
    pub limits: &'a Limits,
    /// How it is built and used.
    pub build: &'a Build,
}

/// When a caution speaks.
#[derive(Clone, Copy)]
enum When {
    /// Beside its decision, whatever the figures.
    Always,
    /// Where construction or use makes it true.
    Built(fn(&Build) -> bool),
    /// Where the figures make it true.
    Figures(fn(&Situation<'_>) -> bool),
}

/// One caution.
#[derive(Clone, Copy)]
pub struct Caution {
    /// A name for tests and files.
    pub id: &'static str,
    /// The decisions beside which it stands.
    pub at: &'static [Decision],
    /// The words.
    pub text: &'static str,
    when: When,
}

impl std::fmt::Debug for Caution {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Caution({})", self.id)
    }
}

impl PartialEq for Caution {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl Caution {
    /// Whether it speaks of the figures at hand, and not of the job in
    /// general.
    #[must_use]
    pub fn is_about_figures(&self) -> bool {
        matches!(self.when, Figures(_))
    }

    fn speaks(&self, build: &Build, situation: Option<&Situation<'_>>) -> bool {
        match self.when {
            Always => true,
            Built(fits) => fits(build),
            Figures(holds) => situation.is_some_and(holds),
        }
    }
}

/// All cautions that belong beside a decision: those of the figures first,
/// when a cylinder is given.
#[must_use]
pub(crate) fn cautions_for(
    decision: Decision,
    build: &Build,
    situation: Option<&Situation<'_>>,
) -> Vec<&'static Caution> {
    let (mut first, rest): (Vec<_>, Vec<_>) = TABLE
        .iter()
        .filter(|caution| caution.at.contains(&decision) && caution.speaks(build, situation))
        .partition(|caution| caution.is_about_figures());
    first.extend(rest);
    first
}

/// The cautions that the figures of this cylinder call for.
#[must_use]
pub(crate) fn of_figures(situation: &Situation<'_>) -> Vec<&'static Caution> {
    TABLE.iter().filter(|c| c.is_about_figures() && c.speaks(situation.build, Some(situation))).collect()
}

/// Every caution, for the binder and the lessons.
pub(crate) fn all() -> impl Iterator<Item = &'static Caution> {
    TABLE.iter()
}

fn value(s: &Situation<'_>, key: Key) -> f64 {
    s.engine.dims().filled(key).unwrap_or(0.0)
}

fn squish(s: &Situation<'_>) -> f64 {
    s.engine.figures().squish_clearance
}

/// Below this a gap counts as near contact, mm. Common practice: contact was
/// reported near 0.65 in an iron four-stroke at 6500 rpm; two-strokes stop
/// at about 0.6, direct diesels at 0.5.
fn near_contact(build: &Build) -> f64 {
    match (build.ignition, build.cycle) {
        (Ignition::DieselDirect, _) => 0.5,
        (_, Cycle::TwoStroke) => 0.6,
        _ => 0.7,
    }
}

/// A base stack from which the thread left under the nuts is worth a look,
/// mm: the thickest of the thin shims (common practice).
const LONG_STACK_MM: f64 = 1.0;

/// Squish that is neither tight nor absent, mm: benefit is said to fade above
/// the first and to be gone by the second (common practice).
const FADING_MM: (f64, f64) = (1.3, 2.0);

use Decision::{
    Filling, FirstRun, Grinding, Ratio, Record, Rings, Shim, Solvents, Squish, Torque, TurningOver, Valve,
};
use When::{Always, Built, Figures};

const fn caution(id: &'static str, at: &'static [Decision], when: When, text: &'static str) -> Caution {
    Caution { id, at, text, when }
}

static TABLE: &[Caution] = &[
    // What the figures themselves call for.
    caution(
        "near_contact",
        &[Squish, Shim, TurningOver],
        Figures(|s| squish(s) < near_contact(s.build)),
        "This gap is near contact: rod stretch, bearing clearance, a rocking and a growing piston eat it at speed. Measure it with soft wire before the engine turns.",
    ),
    caution(
        "proud",
        &[Squish, Shim],
        Figures(|s| s.engine.figures().deck_clearance < 0.0),
        "The piston stands proud of the cylinder: the head gasket or the head must clear it. Choose them by the piston that stands highest.",
    ),
    caution(
        "fading_squish",
        &[Squish, Ratio],
        Figures(|s| s.build.is_petrol_four_stroke() && (FADING_MM.0..=FADING_MM.1).contains(&squish(s))),
        "Where the head has a flat band, a gap between 1.3 and 2 mm is the least useful: neither tight nor absent.",
    ),
    caution(
        "no_squish",
        &[Squish, Ratio],
        Figures(|s| s.build.is_petrol_four_stroke() && squish(s) > FADING_MM.1),
        "Beyond about 2 mm a flat band in the head no longer stirs the charge: allow less ratio.",
    ),
    caution(
        "long_stack",
        &[Shim, Torque],
        Figures(|s| value(s, Key::BaseShim) + value(s, Key::BaseGasket) >= LONG_STACK_MM),
        "A thick stack leaves less thread in the case. A steel stud wants at least one diameter of thread in steel or iron, one and a half to two in light alloy.",
    ),
    caution(
        "dome_and_valve",
        &[Valve, Squish, Shim],
        Figures(|s| s.build.cycle == Cycle::FourStroke && value(s, Key::CrownVolume) < 0.0),
        "The piston is domed: the gap at the rim says nothing about dome, chamber and valves. Check them with clay, each valve on its own.",
    ),
    caution(
        "mockup_rules",
        &[Shim, Squish],
        Figures(|s| s.engine.dims().get(Key::MockupDeck).is_some()),
        "The deck is the one read on the trial assembly. Other dimensions of the chain don't move it, only the shim does: read it again after any part is changed.",
    ),
    caution(
        "over_fuel",
        &[Ratio],
        Figures(|s| {
            let common = || proposed_value(LimitId::RatioCeiling, s.build);
            let high = s.limits.value(LimitId::RatioCeiling).or_else(common);
            high.is_some_and(|high| s.engine.figures().static_ratio > high)
        }),
        "The ratio is above what is common for this fuel and cooling: an engine that knocks breaks pistons before you hear it.",
    ),
    caution(
        "crevice_left_out",
        &[Ratio],
        Figures(|s| value(s, Key::TopLandDiameter) == 0.0),
        "The narrow space beside the top land is not counted: the true ratio is a little lower.",
    ),
    caution(
        "gasket_bore_taken",
        &[Ratio],
        Figures(|s| value(s, Key::GasketThickness) > 0.0 && s.engine.dims().get(Key::GasketBore).is_none()),
        "The hole of the head gasket was taken as the bore; it is commonly 0.75 to 1.5 mm wider, and the ratio a little lower.",
    ),
    caution(
        "trapped",
        &[Ratio],
        Figures(|s| s.engine.dims().get(Key::PortClosing).is_some()),
        "The full-stroke and the trapped ratio are different figures: see which of the two a target or a table means.",
    ),
    // Shims.
    caution(
        "measure_again",
        &[Shim, Squish, Ratio, Record],
        Always,
        "All of this is arithmetic on what was typed. The maker's and the machinist's figures win. Fit the parts, then measure again.",
    ),
    caution(
        "level_first",
        &[Shim],
        Built(|d| d.construction == Construction::Barrels),
        "Level comes first: a head that bridges uneven barrels leaks or cracks. A shim can't make up for a long rod or a tall piston without upsetting the level; change the part.",
    ),
    caution(
        "stacking",
        &[Shim],
        Built(|d| d.construction == Construction::Barrels),
        "One piece is best, two are accepted, three only where the maker sells them for stacking. Thick ones outside, never two soft ones.",
    ),
    caution(
        "head_moves_out",
        &[Shim, Valve],
        Built(|d| d.construction == Construction::Barrels && d.cycle == Cycle::FourStroke),
        "A shim moves the head outward: check pushrod length and tubes, rocker geometry, cam chain and cooling tin.",
    ),
    caution(
        "ports_move",
        &[Shim],
        Built(|d| d.cycle == Cycle::TwoStroke),
        "A base gasket moves ports and gap together; a head gasket or a cut at the head moves the gap alone.",
    ),
    caution(
        "gasket_is_no_cure",
        &[Ratio, Squish],
        Built(|d| d.construction == Construction::Block),
        "A thicker head gasket lowers the ratio and widens the squish: on a head with a flat band that can bring knock instead of curing it.",
    ),
    // Ratio.
    caution(
        "knock",
        &[Ratio, FirstRun],
        Always,
        "A ratio limit is a guess without chamber, fuel, timing, heat and load. Keep a margin, don't raise ratio and advance together, and listen.",
    ),
    caution(
        "octane_scale",
        &[Ratio],
        Built(|d| d.ignition == Ignition::Spark),
        "RON, MON and the mean of both on some pumps differ by 4 to 6: say which one a figure means.",
    ),
    caution(
        "local_rules",
        &[Ratio, Record],
        Always,
        "Rules on emissions, noise, registration and race classes are local and may forbid a change.",
    ),
    caution(
        "no_certified_use",
        &[Ratio, FirstRun, Record],
        Always,
        "Not for certified aircraft, classed marine or life-critical engines without approved data.",
    ),
    // Valve.
    caution(
        "valve_not_computed",
        &[Valve, Squish],
        Built(|d| d.cycle == Cycle::FourStroke),
        "Valve clearance is not computed here. Measure it every 5° from 15° before to 15° after top dead centre on overlap, and again after any change to cam, gasket, shim or head.",
    ),
    caution(
        "valve_diesel",
        &[Valve],
        Built(|d| d.ignition != Ignition::Spark),
        "Valves of a diesel stand far closer to the piston: only its maker's figure counts.",
    ),
    caution("worst_counts", &[Squish, Valve], Always, "The tightest cylinder decides, never the mean."),
    // Rings.
    caution(
        "file_one_way",
        &[Rings],
        Always,
        "File in one direction, from the outer face inward, ends square, then break the edge and wash. When unsure leave the gap larger: a small gap butts and breaks the piston, a large one costs little.",
    ),
    caution(
        "ring_maker",
        &[Rings],
        Always,
        "The ring maker's sheet governs. Measure each ring in its own bore, square, at the least worn place.",
    ),
    caution(
        "eyes",
        &[Rings, Grinding],
        Always,
        "Wear eye protection when filing, grinding, drilling and with compressed air.",
    ),
    caution(
        "hone",
        &[Grinding],
        Always,
        "Gloves against grit, but never a hand near a spinning hone. Wash every trace of grit out before assembly.",
    ),
    caution(
        "old_parts",
        &[Grinding, Solvents],
        Always,
        "Old gaskets and brakes may hold asbestos, old paint lead: never sand them dry. Leave burnt rubber seals alone with bare hands.",
    ),
    // Filling and washing.
    caution(
        "burette_fluid",
        &[Filling],
        Always,
        "Use a fluid that is harmless in the open and kind to the parts, and dry everything before assembly: what stays behind locks, rusts or washes the oil away.",
    ),
    caution(
        "solvents",
        &[Solvents, Filling],
        Always,
        "Ventilate; no flame, no heater. Use a high-flash solvent, never petrol. Old manuals name benzene and carbon tetrachloride: no.",
    ),
    // Torque.
    caution(
        "torque",
        &[Torque, Shim],
        Always,
        "Only the maker's values, order, stages and state of lubrication count; this program has none to offer. Yield bolts once only; retighten cold where the maker says so.",
    ),
    // Turning over and first run.
    caution(
        "turn_by_hand",
        &[TurningOver, Valve, FirstRun],
        Always,
        "Plugs out, by hand, in the normal direction, two full turns before any starter. Stop at any resistance, never force it, and take the bar off.",
    ),
    caution(
        "hands",
        &[TurningOver, Shim],
        Always,
        "Keep fingers away from barrel edges and rods: a piston can drop, studs bite. Disconnect the battery, shut the fuel and tag the switches.",
    ),
    caution(
        "first_run",
        &[FirstRun],
        Always,
        "In the open air for the exhaust gas, extinguisher at hand, fuel lines checked for leaks; engine stand and lifting gear rated for the weight. It will be hot.",
    ),
    // Record.
    caution(
        "keep_readings",
        &[Record, Filling],
        Always,
        "Keep every raw reading, with date, tool and name. Nothing is made from the drawing unless the dimension is written on it.",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Dims;
    use crate::schema::limit::Limit;

    fn dims() -> Dims {
        Dims::new()
            .with(Key::Bore, 80.0)
            .with(Key::Stroke, 62.0)
            .with(Key::RodLength, 118.0)
            .with(Key::CompressionHeight, 36.0)
            .with(Key::CaseHeight, 97.1)
            .with(Key::BarrelLength, 88.6)
            .with(Key::BaseShim, 0.3)
            .with(Key::ChamberVolume, 33.5)
            .with(Key::TopLandDiameter, 79.5)
    }

    fn ids(dims: Dims, limits: &Limits, build: &Build) -> Vec<&'static str> {
        let engine = Engine::new(dims).expect("possible");
        of_figures(&Situation { engine: &engine, limits, build }).iter().map(|c| c.id).collect()
    }

    #[test]
    fn each_figure_calls_for_its_caution() {
        let (none, build) = (Limits::new(), Build::default());
        let plain = ids(dims(), &none, &build);
        assert!(plain.is_empty(), "1.00 mm of squish calls for nothing: {plain:?}");
        let cases: [(Key, f64, &[&str]); 7] = [
            (Key::CompressionHeight, 36.4, &["near_contact"]),
            (Key::BaseShim, 0.8, &["fading_squish"]),
            (Key::BaseShim, 1.6, &["no_squish", "long_stack"]),
            (Key::CrownVolume, -4.0, &["dome_and_valve"]),
            (Key::MockupDeck, 0.72, &["mockup_rules"]),
            (Key::TopLandDiameter, 0.0, &["crevice_left_out"]),
            (Key::PortClosing, 88.0, &["trapped"]),
        ];
        for (key, value, expected) in cases {
            assert_eq!(ids(dims().with(key, value), &none, &build), expected, "{key} = {value}");
        }
        let gasket = dims().with(Key::GasketThickness, 0.2);
        assert_eq!(ids(gasket, &none, &build), ["gasket_bore_taken"]);
        let proud = dims().with(Key::CompressionHeight, 37.2).with(Key::GasketThickness, 1.2);
        assert_eq!(ids(proud.with(Key::GasketBore, 81.0), &none, &build), ["proud"]);
        let low = Limits::new().with(LimitId::RatioCeiling, Limit::builder(7.0));
        assert_eq!(ids(dims(), &low, &build), ["over_fuel"]);
        // 8.3 on 87 RON with air cooling, where no limit is set.
        let poor_fuel = Build { fuel_ron: Some(87.0), ..Build::default() };
        assert_eq!(ids(dims(), &none, &poor_fuel), ["over_fuel"]);
    }

    #[test]
    fn every_decision_has_its_cautions_and_none_promises_anything() {
        let build = Build::default();
        for decision in [
            Shim,
            Ratio,
            Squish,
            Valve,
            Rings,
            Grinding,
            Filling,
            Solvents,
            Torque,
            TurningOver,
            FirstRun,
            Record,
        ] {
            assert!(!cautions_for(decision, &build, None).is_empty(), "{decision:?}");
        }
        for caution in all() {
            let words = caution.text.to_lowercase();
            assert!(
                !words.split(|c: char| !c.is_alphabetic()).any(|w| w == "ok" || w == "safe"),
                "{}",
                caution.id
            );
            assert!(words.len() < 260 && !caution.at.is_empty() && !words.contains('!'), "{}", caution.id);
            assert_eq!(all().filter(|c| c.id == caution.id).count(), 1, "{}", caution.id);
        }
    }

    #[test]
    fn construction_decides_and_figures_come_first() {
        let two_stroke = Build { cycle: Cycle::TwoStroke, ..Build::default() };
        let has = |list: &[&Caution], id| list.iter().any(|c| c.id == id);
        assert!(has(&cautions_for(Shim, &two_stroke, None), "ports_move"));
        assert!(!has(&cautions_for(Shim, &Build::default(), None), "ports_move"));
        let engine = Engine::new(dims().with(Key::BaseShim, 1.6)).expect("possible");
        let situation = Situation { engine: &engine, limits: &Limits::new(), build: &Build::default() };
        assert_eq!(cautions_for(Shim, &Build::default(), Some(&situation))[0].id, "long_stack");
    }
}
