//! Everything that follows from a document, computed once per change and
//! shared by all who show it.

use super::cautions::{Caution, Situation, of_figures};
use super::curves::{self, CurvePoint};
use super::effects::{Effect, effects};
use super::judging;
use super::level::Level;
use super::outlying_parts::{OutlyingPart, outlying_parts};
use super::plausible::{Questioned, question_base};
use super::question::Question;
use super::routes::{Crosscheck, Finding, crosschecks};
use super::uncertainty::Propagated;
use super::verdict::{Judgement, TOUCH, Verdict};
use crate::engine::{Engine, Fault, Key};
use crate::quantity::UnitChoice;
use crate::reading::{self, Remark};
use crate::schema::limit::Judged;

/// One cylinder that can exist, with all that follows.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// Its dimensions and figures.
    pub engine: Engine,
    /// One turn in steps of a degree, from −180° to 180°.
    pub curve: Vec<CurvePoint>,
    /// What moves what, with the change of each dimension that reaches the
    /// wanted ratio.
    pub effects: Vec<Effect>,
    /// Its figures with their uncertainties, to first order.
    pub uncertain: Vec<Propagated>,
    /// What was computed against what was read on the assembled parts.
    pub routes: Vec<Crosscheck>,
    /// Its figures against the limits.
    pub judged: Vec<Judgement>,
    /// The cautions that its figures call for.
    pub cautions: Vec<&'static Caution>,
}

/// The answers for one cylinder.
#[derive(Clone, Debug, PartialEq)]
pub struct CylinderAnswer {
    /// Its figures, or every reason why it can't exist.
    pub result: Result<Solved, Vec<Fault>>,
    /// Values that are possible but look like a slip.
    pub questioned: Vec<Questioned>,
    /// Readings that stand out, with what was read there.
    pub odd: Vec<(reading::Subject, reading::Outlier)>,
    /// What was read as 0: a valve that touches its piston.
    pub contact: Vec<reading::Subject>,
}

impl CylinderAnswer {
    /// The cylinder, if it can exist.
    #[must_use]
    pub fn solved(&self) -> Option<&Solved> {
        self.result.as_ref().ok()
    }

    /// Squish, mm, if the cylinder can exist.
    #[must_use]
    pub fn squish(&self) -> Option<f64> {
        self.solved().map(|s| s.engine.figures().squish_clearance)
    }
}

/// The answers for one head.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadAnswer {
    /// The places of its cylinders, worst first: impossible ones, then by the
    /// least squish.
    pub cylinders: Vec<usize>,
    /// The heights of its tops, in the order of the engine, where the
    /// cylinders must stand level and all heights are known.
    pub level: Option<Level>,
    /// The verdict on the level; none for a head with no level to keep or
    /// without a limit.
    pub judged: Option<Judgement>,
}

/// All answers.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// In the order of the question.
    pub cylinders: Vec<CylinderAnswer>,
    /// In the order of the question.
    pub heads: Vec<HeadAnswer>,
    /// The cylinders against each other.
    pub engine: Vec<Judgement>,
    /// Parts that are not like those of the other cylinders.
    pub odd_parts: Vec<OutlyingPart>,
    /// The places of the heads, worst first: by the worst verdict on level and
    /// squish, then by the least squish under them.
    pub worst_first: Vec<usize>,
}

impl Answers {
    /// Answers a question.
    #[must_use]
    pub fn to(question: &Question) -> Self {
        let cylinders: Vec<CylinderAnswer> =
            (0..question.cylinders.len()).filter_map(|i| cylinder_answer(question, i)).collect();
        let heads: Vec<HeadAnswer> =
            (0..question.heads.len()).map(|head| head_answer(question, head, &cylinders)).collect();
        let engines: Vec<Option<&Engine>> = cylinders.iter().map(|c| c.solved().map(|s| &s.engine)).collect();
        let engine = judging::engine_wide(question, &engines);
        let mut worst_first: Vec<usize> = (0..heads.len()).collect();
        worst_first.sort_by(|&a, &b| {
            let rank = |i: usize| heads.get(i).map(|head| head_rank(head, &cylinders));
            let ((sa, qa), (sb, qb)) = (rank(a).unwrap_or_default(), rank(b).unwrap_or_default());
            sb.cmp(&sa).then(qa.total_cmp(&qb))
        });
        let dims: Vec<_> = question.cylinders.iter().map(|c| c.dims).collect();
        Self { cylinders, heads, engine, odd_parts: outlying_parts(&dims), worst_first }
    }

    /// Everything judged: the engine, then the heads, then the cylinders.
    pub fn judged(&self) -> impl Iterator<Item = &Judgement> {
        let of_heads = self.heads.iter().filter_map(|head| head.judged.as_ref());
        let of_cylinders = self.cylinders.iter().filter_map(CylinderAnswer::solved).flat_map(|s| &s.judged);
        self.engine.iter().chain(of_heads).chain(of_cylinders)
    }

    /// What looks wrong with one cylinder: values that look like a slip,
    /// readings that stand out, parts that are not like those of the other
    /// cylinders, two routes that do not agree.
    #[must_use]
    pub fn to_look_at(&self, cylinder: usize, units: &UnitChoice) -> Vec<String> {
        let Some(answer) = self.cylinders.get(cylinder) else { return Vec::new() };
        let mut texts: Vec<String> = answer.questioned.iter().map(|q| q.text.clone()).collect();
        let odd = |(of, odd): &(reading::Subject, reading::Outlier)| {
            format!("In the readings of the {}: {}", of.name(), odd.sentence(of, units))
        };
        texts.extend(answer.odd.iter().map(odd));
        texts.extend(answer.contact.iter().map(|of| {
            format!("In the readings of the {}: {}", of.name(), Remark::Contact.sentence(of, units))
        }));
        let own_part = |part: &&OutlyingPart| part.cylinder == cylinder;
        texts.extend(self.odd_parts.iter().filter(own_part).map(|part| part.sentence(units)));
        let parts = |check: &&Crosscheck| check.finding == Finding::Part;
        let sentence = |check: &Crosscheck| format!("{}. {}", check.route.name(), check.sentence(units));
        let routes = answer.solved().map_or(&[][..], |solved| &solved.routes);
        texts.extend(routes.iter().filter(parts).map(sentence));
        texts
    }

    /// What a person must know about one cylinder before using its figures:
    /// what looks wrong, limits that are broken or too near or
    /// can't be judged, and the cautions that its figures call for.
    #[must_use]
    pub fn warnings(&self, cylinder: usize, units: &UnitChoice) -> Vec<String> {
        let Some(answer) = self.cylinders.get(cylinder) else { return Vec::new() };
        let mut texts = self.to_look_at(cylinder, units);
        let told = |j: &&Judgement| !matches!(j.verdict, Verdict::Inside { .. });
        let head = self.heads.iter().find(|head| head.cylinders.contains(&cylinder));
        texts.extend(head.and_then(|h| h.judged.as_ref()).filter(told).map(|j| j.sentence(units)));
        if let Some(solved) = answer.solved() {
            texts.extend(solved.judged.iter().filter(told).map(|j| j.sentence(units)));
            texts.extend(solved.cautions.iter().map(|c| c.text.to_owned()));
        }
        texts
    }
}

fn cylinder_answer(question: &Question, index: usize) -> Option<CylinderAnswer> {
    let input = question.cylinders.get(index)?;
    let questioned = Key::all().filter_map(|key| question_base(key, input.dims.get(key)?)).collect();
    let result = Engine::new(input.dims).map(|engine| {
        let situation = Situation { engine: &engine, limits: &question.limits, build: &question.build };
        Solved {
            curve: curves::turn(&engine),
            effects: effects(&engine, question.target),
            uncertain: input.measured.first_order(&engine),
            routes: crosschecks(&engine, &input.measured, &input.known),
            judged: judging::cylinder(question, index, &engine),
            cautions: of_figures(&situation),
            engine,
        }
    });
    let touches = |evaluation: &&reading::Evaluation| evaluation.remarks.contains(&Remark::Contact);
    let contact = input.measured.evaluations.iter().filter(touches).map(|e| e.of.clone()).collect();
    Some(CylinderAnswer { result, questioned, odd: input.measured.odd.clone(), contact })
}

fn head_answer(question: &Question, head: usize, cylinders: &[CylinderAnswer]) -> HeadAnswer {
    let members = members(question, head);
    let (level, judged) = match judging::level_of_head(question, head, &members) {
        Some((level, judged)) => (level, Some(judged)),
        None => (None, None),
    };
    let mut worst = members;
    // An impossible cylinder has no squish and stands first.
    let squish = |i: usize| cylinders.get(i).and_then(CylinderAnswer::squish).unwrap_or(f64::NEG_INFINITY);
    worst.sort_by(|&a, &b| squish(a).total_cmp(&squish(b)));
    HeadAnswer { cylinders: worst, level, judged }
}

/// Severity of the worst verdict on level and squish, and the least squish.
fn head_rank(head: &HeadAnswer, cylinders: &[CylinderAnswer]) -> (u8, f64) {
    let mut severity = head.judged.as_ref().map_or(0, |j| j.verdict.severity());
    let mut least = f64::INFINITY;
    for answer in head.cylinders.iter().filter_map(|&i| cylinders.get(i)) {
        match answer.solved() {
            Some(solved) => {
                let squish = solved.judged.iter().filter(|j| j.what == Judged::Squish);
                severity = severity.max(squish.map(|j| j.verdict.severity()).max().unwrap_or(0));
                least = least.min(solved.engine.figures().squish_clearance);
            }
            None => (severity, least) = (u8::MAX, f64::NEG_INFINITY),
        }
    }
    (severity, least)
}

/// What would stand against moving one dimension of one cylinder alone to a
/// new value.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Consequence {
    /// The engine could not exist.
    Faults(Vec<Fault>),
    /// These limits would be broken by it, or further than they are now; none
    /// of them: nothing known.
    Limits(Vec<Judgement>),
}

/// What would stand against moving `key` of one cylinder to `value`: for "this
/// dimension alone reaches the ratio, but".
#[must_use]
pub(crate) fn consequences_of(question: &Question, cylinder: usize, key: Key, value: f64) -> Consequence {
    let mut moved = question.clone();
    let Some(input) = moved.cylinders.get_mut(cylinder) else { return Consequence::Limits(Vec::new()) };
    let was = Engine::new(input.dims);
    input.dims.set(key, Some(value));
    let is = match Engine::new(input.dims) {
        Ok(engine) => engine,
        Err(faults) => return Consequence::Faults(faults),
    };
    let before = was.map_or_else(|_| Vec::new(), |engine| cylinder_and_level(question, cylinder, &engine));
    let over = |judged: &Judgement| match judged.verdict {
        Verdict::Over { by } => Some(by),
        _ => None,
    };
    let worse = |judged: &Judgement| {
        let then = before.iter().find(|b| b.what == judged.what).and_then(over).unwrap_or(0.0);
        over(judged).is_some_and(|by| by > then + TOUCH)
    };
    Consequence::Limits(cylinder_and_level(&moved, cylinder, &is).into_iter().filter(worse).collect())
}

/// A cylinder against its limits, and the level of its head.
fn cylinder_and_level(question: &Question, cylinder: usize, engine: &Engine) -> Vec<Judgement> {
    let mut judged = judging::cylinder(question, cylinder, engine);
    if let Some(head) = question.cylinders.get(cylinder).map(|c| c.head) {
        let level = judging::level_of_head(question, head, &members(question, head));
        judged.extend(level.map(|(_, judged)| judged));
    }
    judged
}

/// The places of the cylinders under a head.
fn members(question: &Question, head: usize) -> Vec<usize> {
    question.cylinders.iter().enumerate().filter(|(_, c)| c.head == head).map(|(i, _)| i).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Dims, Provenance};
    use crate::schema::limit::{Limit, LimitId, Limits};
    use crate::study::question::{
        CylinderInput, DimensionProvenance, ExpandedUncertainty, HeadInput, ValveReading,
    };
    use crate::study::target::TargetRatio;

    /// An invented flat six: three separate barrels under each of two heads;
    /// the fifth barrel is 0.06 mm short.
    fn flat_six() -> Question {
        // Bore, rod, compression height, case, barrel, chamber.
        let parts = [
            (86.01, 130.0, 34.5, 104.5, 97.85, 60.1),
            (86.0, 130.01, 34.49, 104.5, 97.86, 59.8),
            (86.01, 129.99, 34.51, 104.51, 97.84, 60.3),
            (86.01, 130.0, 34.5, 104.44, 97.86, 60.0),
            (86.02, 130.02, 34.5, 104.44, 97.8, 60.4),
            (86.01, 130.0, 34.48, 104.45, 97.86, 59.9),
        ];
        let cylinders = parts.iter().enumerate().map(|(i, &(bore, rod, height, case, barrel, chamber))| {
            let dims = Dims::new()
                .with(Key::Bore, bore)
                .with(Key::Stroke, 74.0)
                .with(Key::RodLength, rod)
                .with(Key::PinOffset, 0.6)
                .with(Key::CompressionHeight, height)
                .with(Key::CaseHeight, case)
                .with(Key::BarrelLength, barrel)
                .with(Key::BaseShim, 0.25)
                .with(Key::ChamberVolume, chamber)
                .with(Key::CrownVolume, -18.0)
                .with(Key::PocketVolume, 4.0)
                .with(Key::TopLandHeight, 5.5)
                .with(Key::TopLandDiameter, 85.4)
                .with(Key::IntakeClosing, 55.0);
            CylinderInput {
                label: format!("{}", i + 1),
                head: i / 3,
                dims,
                known: DimensionProvenance::all(Provenance::Measured),
                ..CylinderInput::default()
            }
        });
        let head = |label: &str| HeadInput { label: label.into(), level: true, ..HeadInput::default() };
        Question {
            cylinders: cylinders.collect(),
            heads: vec![head("left bank"), head("right bank")],
            limits: Limits::new()
                .with(LimitId::SquishMin, Limit::builder(0.9))
                .with(LimitId::SquishMax, Limit::builder(1.5))
                .with(LimitId::Level, Limit::builder(0.03))
                .with(LimitId::RatioTolerance, Limit::builder(0.15))
                .with(LimitId::RatioSpread, Limit::builder(0.2))
                .with(LimitId::IntakeValveMin, Limit::builder(1.5)),
            target: TargetRatio::new(9.3).ok(),
            ..Question::default()
        }
    }

    fn find(answers: &Answers, what: Judged, subject: crate::study::Subject) -> Judgement {
        answers.judged().find(|j| j.what == what && j.subject == subject).cloned().expect("judged")
    }

    use crate::study::Subject::{Cylinder, Head};

    #[test]
    fn the_short_barrel_is_found_and_stands_first() {
        let answers = Answers::to(&flat_six());
        let mm = UnitChoice::default();
        // Right bank first: it is not level. In it barrel 5 is the tightest.
        assert_eq!(answers.worst_first, [1, 0]);
        assert_eq!(answers.heads[1].cylinders, [4, 3, 5]);
        let level = find(&answers, Judged::Level, Head(1));
        assert_eq!((level.value_text(&mm), level.verdict_text(&mm)), ("0.07 mm".into(), "0.04 over".into()));
        assert_eq!(find(&answers, Judged::Level, Head(0)).verdict_text(&mm), "0.02 to spare");
        let heights = answers.heads[1].level.as_ref().expect("a level");
        let offsets: Vec<String> = heights.offsets().map(|o| format!("{o:.2}")).collect();
        assert_eq!(offsets, ["0.00", "-0.06", "0.01"]);
        assert_eq!(find(&answers, Judged::Squish, Cylinder(4)).verdict_text(&mm), "0.07 to spare");
        let valve = find(&answers, Judged::ValveIntake, Cylinder(0));
        assert_eq!(valve.verdict_text(&mm), "no verdict until it is measured");
        assert!(
            answers.warnings(4, &mm).iter().any(|w| w.starts_with("Level 0.07 mm, 0.04 over: at most 0.03"))
        );
        assert_eq!(answers.cylinders[0].solved().map(|s| s.curve.len()), Some(361));
    }

    #[test]
    fn uncertainty_and_assumption_hold_back_the_verdict() {
        let mut question = flat_six();
        question.cylinders[0].doubt =
            ExpandedUncertainty { static_ratio: Some(0.05), ..ExpandedUncertainty::default() };
        // 9.12 with ±0.05 against at least 9.15.
        let mm = UnitChoice::default();
        let ratio = |q: &Question| find(&Answers::to(q), Judged::RatioWanted, Cylinder(0)).verdict_text(&mm);
        assert_eq!(ratio(&question), "too near to call");
        question.cylinders[0].known.set(Key::CrownVolume, Provenance::Assumed);
        assert_eq!(ratio(&question), "no verdict until crown volume is measured");
        // What is assumed but does not move the gap leaves the gap's verdict.
        let squish = |q: &Question| find(&Answers::to(q), Judged::Squish, Cylinder(0)).verdict_text(&mm);
        assert_eq!(squish(&question), "0.20 to spare");
        question.cylinders[0].known.set(Key::RodLength, Provenance::Assumed);
        assert_eq!(squish(&question), "no verdict until rod length is measured");
        question.cylinders[0].dims.set(Key::BaseShim, Some(0.0));
        assert_eq!(squish(&question), "0.05 under", "a broken limit is told all the same");
        // A reading of the deck makes the rod of the chain irrelevant.
        question.cylinders[0].dims.set(Key::MockupDeck, Some(0.95));
        assert_eq!(squish(&question), "0.05 to spare");
    }

    #[test]
    fn chain_and_reading_are_held_against_each_other() {
        let mut question = flat_six();
        question.cylinders[2].dims.set(Key::MockupDeck, Some(1.22));
        question.cylinders[2].dims.set(Key::MockupShim, Some(0.25));
        let chain = find(&Answers::to(&question), Judged::Chain, Cylinder(2));
        assert_eq!(chain.verdict_text(&UnitChoice::default()), "0.07 over");
    }

    /// 1.5 mm are asked for at the intake valve; 0.25 mm of shims are fitted.
    #[test]
    fn a_valve_is_judged_with_its_doubt_and_over_its_own_shims() {
        let mm = UnitChoice::default();
        let verdict = |value: f64, doubt: Option<f64>, shim: Option<f64>| {
            let mut question = flat_six();
            question.cylinders[0].valve_gap.intake = Some(ValveReading { value, doubt, shim });
            find(&Answers::to(&question), Judged::ValveIntake, Cylinder(0)).sentence(&mm)
        };
        let told = |text: &str| format!("Piston to intake valve {text} (set for this engine)");
        assert_eq!(verdict(1.82, Some(0.05), Some(0.25)), told("1.82 mm, 0.32 to spare: at least 1.50"));
        assert_eq!(
            verdict(1.53, Some(0.05), Some(0.25)),
            told("1.53 mm ±0.05, too near to call: may be below 1.50")
        );
        assert_eq!(verdict(1.40, Some(0.05), None), told("1.40 mm, 0.10 under: at least 1.50"));
        assert_eq!(verdict(0.0, None, Some(0.25)), told("0.00 mm, 1.50 under: at least 1.50"));
        // Read over other shims: never inside, whatever the sum says.
        let again = told(
            "not measured, no verdict until it is read over the shims that are fitted now: at least 1.50",
        );
        assert_eq!(verdict(1.82, None, Some(0.5)), again, "0.25 mm came out since");
        assert_eq!(verdict(1.40, None, Some(0.0)), again, "0.25 mm went in since");
        assert_eq!(verdict(1.10, None, Some(0.0)), told("1.41 mm, 0.09 under: at least 1.50"));
    }

    #[test]
    fn an_impossible_cylinder_is_told_and_the_others_stay() {
        let mut question = flat_six();
        question.cylinders[1].dims.set(Key::RodLength, Some(30.0));
        let answers = Answers::to(&question);
        assert!(answers.cylinders[1].result.is_err() && answers.cylinders[0].result.is_ok());
        assert_eq!((answers.worst_first[0], answers.heads[0].cylinders[0]), (0, 1));
        assert!(answers.engine.is_empty(), "no spread over an engine that can't exist");
    }

    #[test]
    fn the_way_to_the_ratio_tells_what_it_would_break() {
        let question = flat_six();
        let answers = Answers::to(&question);
        let shim = answers.cylinders[0].solved().and_then(|s| {
            let effect = s.effects.iter().find(|e| e.key == Key::BaseShim)?;
            Some((s, effect.to_target?))
        });
        let (_, to) = shim.expect("the shim reaches 9.30");
        let Consequence::Limits(broken) = consequences_of(&question, 0, Key::BaseShim, to.value) else {
            panic!("the engine exists")
        };
        let told: Vec<Judged> = broken.iter().map(|j| j.what).collect();
        assert_eq!(told, [Judged::Level], "{to:?}");
        let Consequence::Limits(broken) = consequences_of(&question, 0, Key::BaseShim, 0.0) else {
            panic!("the engine exists")
        };
        assert_eq!(broken.iter().map(|j| j.what).collect::<Vec<_>>(), [Judged::Squish, Judged::Level]);
        assert!(matches!(consequences_of(&question, 0, Key::RodLength, 135.0), Consequence::Faults(_)));
    }

    /// No bound is asserted: the machine decides. The figure is printed.
    #[test]
    fn six_cylinders_are_answered_quickly() {
        let question = flat_six();
        let mut best = f64::INFINITY;
        for _ in 0..50 {
            let start = std::time::Instant::now();
            let answers = Answers::to(&question);
            best = best.min(start.elapsed().as_secs_f64());
            assert_eq!(answers.cylinders.len(), 6);
        }
        println!("six cylinders with curves and effects: {:.3} ms", best * 1e3);
    }
}
