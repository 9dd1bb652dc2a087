//! The order of the job at the bench, made from how the engine is built; and
//! the stages on the way to a final torque. No value is offered here: every
//! figure is the person's, from the maker.

use super::build::{Build, Construction, Cycle};
use super::question::Question;
use super::words;
use crate::schema::{BenchStep, Torque, TorqueUnit};

/// The interim stage of a torque in percent of the final figure, where the
/// maker states none (common practice: about 60 %).
pub(crate) const INTERIM_PERCENT: u32 = 60;

/// The most stages of one torque.
pub(crate) const MAX_STAGES: usize = 8;

impl Torque {
    /// The figure in two stages: about 60 %, then all of it (common practice;
    /// the maker's stages come first).
    ///
    /// ```
    /// use crowndeck::schema::{Torque, TorqueUnit};
    /// let torque = Torque::in_two_stages(28.0, TorqueUnit::NewtonMetre);
    /// assert_eq!(torque.stages_text(), "60 %: 16.8, then 28 N·m");
    /// ```
    #[must_use]
    pub fn in_two_stages(figure: f64, unit: TorqueUnit) -> Self {
        Self { figure, unit, percents: vec![INTERIM_PERCENT, 100], source: String::new() }
    }

    /// Each stage with its percentage: figure · percent / 100.
    pub fn stages(&self) -> impl Iterator<Item = (u32, f64)> + '_ {
        self.percents.iter().map(|&percent| (percent, self.figure * f64::from(percent) / 100.0))
    }

    /// The stages in words: "60 %: 16.8, then 28 N·m".
    #[must_use]
    pub fn stages_text(&self) -> String {
        let number = |value: f64| {
            let text = words::plain(value, 1);
            text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
        };
        let stages = self.stages().map(|(percent, value)| match percent {
            100 => number(value),
            percent => format!("{percent} %: {}", number(value)),
        });
        format!("{} {}", stages.collect::<Vec<_>>().join(", then "), self.unit.symbol())
    }

    /// A figure with its unit as a person types it: "28 Nm", "20,5 lbf·ft",
    /// "90 lb in"; without a unit it is N·m.
    ///
    /// ```
    /// use crowndeck::schema::{Torque, TorqueUnit};
    /// assert_eq!(Torque::parse("20,5 ft lb"), Ok((20.5, TorqueUnit::PoundFoot)));
    /// assert!(Torque::parse("tight").is_err());
    /// ```
    ///
    /// # Errors
    /// A sentence that says what would do.
    pub fn parse(text: &str) -> Result<(f64, TorqueUnit), String> {
        let text = text.trim();
        let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(text.len());
        let (number, unit) = text.split_at(end);
        let letters: String = unit.to_lowercase().chars().filter(|c| c.is_alphabetic()).collect();
        let unit = match letters.as_str() {
            "" | "nm" => TorqueUnit::NewtonMetre,
            "lbft" | "ftlb" | "lbfft" | "ftlbf" | "lbsft" | "ftlbs" => TorqueUnit::PoundFoot,
            "lbin" | "inlb" | "lbfin" | "inlbf" | "lbsin" | "inlbs" => TorqueUnit::PoundInch,
            _ => return Err(format!("‘{unit}’ is no unit of torque; write N·m, lbf·ft or lbf·in")),
        };
        match number.replace(',', ".").parse::<f64>() {
            Ok(figure) if figure.is_finite() && figure > 0.0 => Ok((figure, unit)),
            _ => {
                Err(format!("‘{text}’ is no torque; write the maker's figure with its unit, such as 28 N·m"))
            }
        }
    }

    /// Stages as a person types them: "60, 100" or "40 70 100".
    ///
    /// # Errors
    /// A sentence that says what would do.
    pub fn parse_percents(text: &str) -> Result<Vec<u32>, String> {
        let parts = text.split(|c: char| !c.is_ascii_digit()).filter(|part| !part.is_empty());
        let percents: Option<Vec<u32>> = parts.map(|part| part.parse().ok()).collect();
        let percents = percents.unwrap_or_default();
        let probe = Self { percents, ..Self::in_two_stages(1.0, TorqueUnit::NewtonMetre) };
        match probe.fault() {
            None => Ok(probe.percents),
            Some((_, hint)) => Err(format!("‘{text}’ are no stages; {hint}")),
        }
    }

    /// What is wrong with it, as a clause and what to do; none if nothing is.
    #[must_use]
    pub fn fault(&self) -> Option<(String, &'static str)> {
        if !(self.figure.is_finite() && self.figure > 0.0) {
            return Some((format!("its torque is {}", self.figure), "give the maker's figure, above 0"));
        }
        let rising = self.percents.iter().zip(self.percents.iter().skip(1)).all(|(a, b)| a < b);
        let ends =
            self.percents.first().is_some_and(|&first| first > 0) && self.percents.last() == Some(&100);
        if !(rising && ends) || self.percents.len() > MAX_STAGES {
            return Some((
                format!("its stages are {:?} percent", self.percents),
                "give one to eight rising percentages, the last 100",
            ));
        }
        None
    }
}

/// The steps with one of them, from 0, ticked by somebody at some time, or
/// its tick taken back.
#[must_use]
pub(crate) fn ticked(steps: &[BenchStep], index: usize, done: bool, who: &str, when: &str) -> Vec<BenchStep> {
    let mut steps = steps.to_vec();
    if let Some(step) = steps.get_mut(index) {
        step.done = done;
        step.who = if done { who.to_owned() } else { String::new() };
        step.when = if done { when.to_owned() } else { String::new() };
    }
    steps
}

// The parts of the job.

const PARTS: &str = "Parts";
const MEASURE: &str = "Measure";
const TRIAL: &str = "Trial assembly";
const CHOOSE: &str = "Choose";
const CHECK: &str = "Check";
const RINGS: &str = "Rings";
const ASSEMBLE: &str = "Assemble";
const AFTER: &str = "After";

/// A checklist for an engine: the order of a careful builder (common
/// practice), what its construction needs and no more. Every reading and every
/// torque is left to the person.
#[must_use]
pub(crate) fn checklist(question: &Question) -> Vec<BenchStep> {
    let build = &question.build;
    let mut list = List::default();
    parts(&mut list, build);
    trial(&mut list, build);
    check(&mut list, build);
    assemble(&mut list, question);
    list.0
}

#[derive(Default)]
struct List(Vec<BenchStep>);

impl List {
    fn add(&mut self, chapter: &str, what: impl Into<String>) {
        self.0.push(BenchStep { chapter: chapter.to_owned(), what: what.into(), ..BenchStep::default() });
    }

    fn all(&mut self, chapter: &str, steps: &[&str]) {
        for step in steps {
            self.add(chapter, *step);
        }
    }
}

fn parts(list: &mut List, build: &Build) {
    list.all(
        PARTS,
        &[
            "Every part identified and marked to its cylinder, one tray for each",
            "Parts washed, deburred and photographed",
            "Cracks looked for; threads and studs looked at",
        ],
    );
    list.all(
        MEASURE,
        &[
            "Bores, three heights on two axes; ovality and taper",
            "Piston skirts, and the clearance of each piston in its bore",
            "Compression heights, rod centre distances and crank throws",
            "Main bearing clearance",
            "Big end clearance of each rod",
            "Pin clearance in piston and rod",
            "Crank end float",
            "Side float of each rod",
            "Oil pump: end clearance, tip or backlash clearance, relief valve and spring",
            "Head faces flat; recess depths of every hole",
        ],
    );
    match build.construction {
        Construction::Barrels => list.all(
            MEASURE,
            &[
                "Case seats to the crank axis, every hole, both halves",
                "Barrel lengths at four points each, seat to head face",
                "Parts paired: long rod with short piston, long barrel with low seat",
            ],
        ),
        Construction::Block => list.all(
            MEASURE,
            &[
                "Line of the main bores, then the deck square to it at its four corners",
                "Liner stand-out at four places each, where liners are wet",
            ],
        ),
    }
}

fn trial(list: &mut List, build: &Build) {
    let held = match build.construction {
        Construction::Barrels => "Barrels held down as they will run, with light even torque, no sealant",
        Construction::Block => "Corner cylinders with one and the same rod and piston, then every cylinder",
    };
    list.all(
        TRIAL,
        &[
            held,
            "Top dead centre found: indicator for the height, positive stop for the degree wheel",
            "Deck read on the pin axis, front and rear, several times, parts lifted and put back between",
            "Deck read across the pin, both sides, for the rock",
        ],
    );
    if build.construction == Construction::Barrels {
        list.add(TRIAL, "Level of all barrels under one head, with a straightedge along the bank");
    }
    list.add(TRIAL, "Chambers filled three times each under a plate, to the plane the deck is read to");
    if build.cycle == Cycle::TwoStroke {
        list.add(TRIAL, "Top of the exhaust port to top dead centre, with a depth gauge");
    }
    match build.construction {
        Construction::Barrels => list.all(
            CHOOSE,
            &[
                "Shims or base gaskets chosen: level first, then gap, then ratio",
                "Trial assembly with the chosen shims, and measured again",
            ],
        ),
        Construction::Block => list.all(
            CHOOSE,
            &[
                "Head gasket chosen by the piston that stands highest, with its crushed thickness and its own bore",
                "Deck or head cut, if ordered: what was left is measured again",
            ],
        ),
    }
}

fn check(list: &mut List, build: &Build) {
    list.add(CHECK, "Squish by solder or clay on the pin axis, both sides, head fully tightened");
    if build.cycle == Cycle::FourStroke {
        list.all(
            CHECK,
            &[
                "Piston to valve, every 5° from 15° before to 15° after top dead centre on overlap",
                "Valve to valve on overlap",
                "Valve springs: free length, load, room to coil bind",
                "Cam timing with the final stack under the heads",
                "Pushrod length and rocker geometry, or chain run and tension, with the final stack",
            ],
        );
    } else {
        list.add(CHECK, "Ring pegs and gaps clear of every port window");
    }
    list.all(
        CHECK,
        &[
            "Rods clear of case and cylinder, skirts clear of the counterweights, one full turn",
            "Thread left under every nut with the final stack",
        ],
    );
}

fn assemble(list: &mut List, question: &Question) {
    let build = &question.build;
    let barrels = build.construction == Construction::Barrels;
    for cylinder in &question.cylinders {
        let label = &cylinder.label;
        list.add(
            RINGS,
            format!("Cylinder {label}: end gap of each ring read square in its own bore, filed, washed"),
        );
        list.add(RINGS, format!("Cylinder {label}: side and back clearance of each ring"));
    }
    list.all(
        ASSEMBLE,
        &[
            "Final wash, oil ways blown through, everything dry",
            "Crank in its bearings, lubricated; caps or case tightened; turns freely",
            "Rods on their own journals, caps as marked; bolts tightened",
        ],
    );
    for cylinder in &question.cylinders {
        let label = &cylinder.label;
        list.add(
            ASSEMBLE,
            format!(
                "Cylinder {label}: piston the right way round, pin oiled, both clips seated, ring gaps apart"
            ),
        );
        if barrels {
            list.add(
                ASSEMBLE,
                format!("Cylinder {label}: its own shims or gasket, seal, barrel home on its seat"),
            );
        }
        list.add(ASSEMBLE, format!("Cylinder {label}: deck measured a last time"));
    }
    for head in &question.heads {
        let label = &head.label;
        if barrels && head.level {
            list.add(ASSEMBLE, format!("Head {label}: barrels level, measured a last time"));
        }
        list.add(
            ASSEMBLE,
            format!("Head {label}: gasket the right way, head on, tightened in the maker's order"),
        );
    }
    if build.cycle == Cycle::FourStroke {
        list.add(ASSEMBLE, "Cam drive timed; valve play set cold");
    }
    list.all(
        ASSEMBLE,
        &[
            "Oil pump primed; oil and filter fitted",
            "Turned by hand two full turns, plugs out, no resistance; bar taken off",
        ],
    );
    if build.cycle == Cycle::FourStroke {
        list.add(AFTER, "Valve play again, cold");
    }
    list.all(
        AFTER,
        &[
            "Oil pressure seen before the engine is asked to run",
            "First run: leaks, noise, oil pressure, temperature",
            "Tightened again cold, where the maker says so",
            "Leak-down or compression of every cylinder, as the record to come back to",
        ],
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::question::{CylinderInput, HeadInput};

    fn question(construction: Construction, cycle: Cycle) -> Question {
        let cylinder = |label: &str| CylinderInput { label: label.into(), ..CylinderInput::default() };
        Question {
            cylinders: vec![cylinder("1"), cylinder("2")],
            heads: vec![HeadInput { label: "L".into(), level: true, ..HeadInput::default() }],
            build: Build { construction, cycle, ..Build::default() },
            ..Question::default()
        }
    }

    fn says(steps: &[BenchStep], part: &str) -> bool {
        steps.iter().any(|step| step.what.contains(part))
    }

    #[test]
    fn the_list_follows_the_construction() {
        let barrels = checklist(&question(Construction::Barrels, Cycle::FourStroke));
        assert!(says(&barrels, "Case seats") && says(&barrels, "Level of all barrels"));
        assert!(says(&barrels, "Piston to valve") && !says(&barrels, "port"));
        let block = checklist(&question(Construction::Block, Cycle::FourStroke));
        assert!(says(&block, "Liner stand-out") && !says(&block, "barrel"));
        let two = checklist(&question(Construction::Barrels, Cycle::TwoStroke));
        assert!(says(&two, "exhaust port") && !says(&two, "valve play") && !says(&two, "Piston to valve"));
        for steps in [barrels, block, two] {
            assert!(steps.iter().all(|step| !step.done && step.torque.is_none() && step.reading.is_empty()));
            let at = |part: &str| steps.iter().position(|step| step.what.contains(part)).unwrap();
            let order =
                ["marked to its cylinder", "Bores", "Deck read on", "Chambers filled", "Squish by solder"];
            let order = order.map(at);
            assert!(order.is_sorted(), "{order:?}");
            assert!(at("end gap of each ring") < at("both clips seated"));
            assert!(at("two full turns") < at("First run"));
            assert!(says(&steps, "Cylinder 2: deck measured a last time"));
        }
    }

    #[test]
    fn stages_are_parts_of_the_figure() {
        let torque =
            Torque { percents: vec![40, 70, 100], ..Torque::in_two_stages(35.0, TorqueUnit::PoundFoot) };
        let stages: Vec<(u32, f64)> = torque.stages().collect();
        assert_eq!(stages, [(40, 14.0), (70, 24.5), (100, 35.0)]);
        assert_eq!(torque.stages_text(), "40 %: 14, then 70 %: 24.5, then 35 lbf·ft");
        assert_eq!(torque.fault(), None);
    }

    #[test]
    fn torques_and_stages_are_read_as_typed() {
        for (text, figure, unit) in [
            ("28 Nm", 28.0, TorqueUnit::NewtonMetre),
            ("28", 28.0, TorqueUnit::NewtonMetre),
            ("7,5 N·m", 7.5, TorqueUnit::NewtonMetre),
            ("20 lbf·ft", 20.0, TorqueUnit::PoundFoot),
            ("90 in-lb", 90.0, TorqueUnit::PoundInch),
        ] {
            assert_eq!(Torque::parse(text), Ok((figure, unit)), "{text}");
        }
        for text in ["", "Nm", "0 Nm", "-5 Nm", "28 furlongs", "1.2.3 Nm"] {
            assert!(Torque::parse(text).is_err(), "{text}");
        }
        assert_eq!(Torque::parse_percents("40 / 70 / 100 %"), Ok(vec![40, 70, 100]));
        for text in ["", "60", "100, 60", "0, 100", "99999999999 100"] {
            assert!(Torque::parse_percents(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_tick_carries_who_and_when_and_comes_off_whole() {
        let steps = checklist(&question(Construction::Barrels, Cycle::FourStroke));
        let done = ticked(&steps, 2, true, "nb", "2026-11-25 10:40");
        assert_eq!(
            (done[2].done, done[2].who.as_str(), done[2].when.as_str()),
            (true, "nb", "2026-11-25 10:40")
        );
        assert_eq!(ticked(&done, 2, false, "nb", "later"), steps);
        assert_eq!(ticked(&steps, 9999, true, "nb", ""), steps);
    }

    #[test]
    fn senseless_torques_are_refused() {
        for (figure, percents) in [
            (0.0, vec![100]),
            (f64::NAN, vec![100]),
            (28.0, vec![]),
            (28.0, vec![60]),
            (28.0, vec![60, 50, 100]),
            (28.0, vec![0, 100]),
            (28.0, vec![1, 2, 3, 4, 5, 6, 7, 8, 100]),
        ] {
            let torque = Torque { figure, percents, ..Torque::in_two_stages(1.0, TorqueUnit::NewtonMetre) };
            assert!(torque.fault().is_some(), "{torque:?}");
        }
    }
}
