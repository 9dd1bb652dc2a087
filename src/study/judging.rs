//! Figures against limits: for one cylinder, for the level under a head and
//! for the cylinders against each other.

use super::build::mean_piston_speed;
use super::level::{self, Level};
use super::question::{CylinderInput, Question};
use super::uncertainty::{Figure, of_difference, of_sums};
use super::verdict::{Judgement, Subject, Verdict, What, judge};
use crate::engine::{Dual, Engine, Figures, Key, Provenance};
use crate::reading::Uncertainty;
use crate::schema::limit::{Limit, LimitId};

/// Chain and trial assembly must agree within this, mm, else a part is
/// measured wrongly or a rod is bent (common practice).
pub(crate) const CHAIN_AGREES_MM: f64 = 0.05;

/// The dimensions of a cylinder that were given but only assumed, and never
/// read.
pub(crate) fn assumed(cylinder: &CylinderInput) -> impl Iterator<Item = Key> {
    let read = |key| cylinder.measured.dimensions.contains_key(&key);
    Key::all().filter(move |&key| {
        cylinder.dims.get(key).is_some() && cylinder.known.get(key) == Provenance::Assumed && !read(key)
    })
}

/// Everything about one figure but the verdict.
struct Case<'a> {
    what: What,
    subject: Subject,
    value: Option<f64>,
    doubt: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    sources: [Option<&'a Limit>; 2],
}

impl<'a> Case<'a> {
    /// A figure with one limit on each side at most, as they stand.
    fn of(
        what: What,
        subject: Subject,
        value: Option<f64>,
        low: Option<&'a Limit>,
        high: Option<&'a Limit>,
    ) -> Self {
        let number = |limit: Option<&Limit>| limit.map(|l| l.value);
        Self { what, subject, value, doubt: None, low: number(low), high: number(high), sources: [low, high] }
    }

    fn doubt(mut self, doubt: Option<f64>) -> Self {
        self.doubt = doubt;
        self
    }

    /// None where there is no limit.
    fn judged(self, unmeasured: &[Key]) -> Option<Judgement> {
        let verdict = match self.value {
            Some(value) => judge(value, self.low, self.high, self.doubt, unmeasured)?,
            None if self.low.is_none() && self.high.is_none() => return None,
            None => Verdict::Unknown { why: "until it is measured".to_owned() },
        };
        let mut source = String::new();
        for text in self.sources.into_iter().flatten().map(Limit::support_text) {
            if source.is_empty() {
                source = text;
            } else if source != text {
                source = format!("{source}; {text}");
            }
        }
        let Self { what, subject, value, doubt, low, high, .. } = self;
        Some(Judgement { what, subject, value, doubt, low, high, verdict, source })
    }
}

/// The limits that one cylinder is held to, in the order in which a person
/// asks. `engine` stands for the cylinder's own dimensions or for a variation
/// of them.
#[must_use]
pub(crate) fn cylinder(question: &Question, index: usize, engine: &Engine) -> Vec<Judgement> {
    let Some(input) = question.cylinders.get(index) else { return Vec::new() };
    let subject = Subject::Cylinder(index);
    let limit = |id| question.limits.get(id);
    let figures = engine.figures();
    // Where the deck was read and agrees with its chain, what the chain
    // assumes no longer moves it.
    let (propagated, _) = input.measured.propagated(engine);
    let slopes: Vec<(Key, Figures<Dual>)> =
        assumed(input).filter_map(|key| propagated.slopes(key).map(|slopes| (key, slopes))).collect();
    // The assumed dimensions that move a figure.
    let movers = |figure: fn(&Figures<Dual>) -> Option<Dual>| -> Vec<Key> {
        let moves = |(key, slopes): &(Key, Figures<Dual>)| {
            figure(slopes).is_some_and(|f| f.slope() != 0.0).then_some(*key)
        };
        slopes.iter().filter_map(moves).collect()
    };
    let squish = Case::of(
        What::Squish,
        subject,
        Some(figures.squish_clearance),
        limit(LimitId::SquishLow),
        limit(LimitId::SquishHigh),
    )
    .doubt(input.doubt.squish_clearance)
    .judged(&movers(|f| Some(f.squish_clearance)));
    let ratio_movers = movers(|f| Some(f.static_ratio));
    let wanted = match (question.target, limit(LimitId::RatioTolerance)) {
        (Some(target), Some(tolerance)) => {
            let mut case =
                Case::of(What::RatioWanted, subject, Some(figures.static_ratio), Some(tolerance), None);
            case.low = Some(target.get() - tolerance.value);
            case.high = Some(target.get() + tolerance.value);
            case.doubt(input.doubt.static_ratio).judged(&ratio_movers)
        }
        _ => None,
    };
    let for_fuel =
        Case::of(What::RatioForFuel, subject, Some(figures.static_ratio), None, limit(LimitId::RatioHigh))
            .doubt(input.doubt.static_ratio)
            .judged(&ratio_movers);
    let effective = figures.effective_ratio.and_then(|ratio| {
        let what = if input.dims.get(Key::PortClosing).is_some() { What::Trapped } else { What::Effective };
        Case::of(what, subject, Some(ratio), None, limit(LimitId::EffectiveHigh))
            .doubt(input.doubt.effective_ratio)
            .judged(&movers(|f| f.effective_ratio))
    });
    let valve = |what, value, id| Case::of(what, subject, value, limit(id), None).judged(&[]);
    let intake = valve(What::ValveIntake, input.valve_gap.intake, LimitId::ValveIntake);
    let exhaust = valve(What::ValveExhaust, input.valve_gap.exhaust, LimitId::ValveExhaust);
    let chain = engine.dims().get(Key::MockupDeck).and_then(|_| {
        let difference = (figures.deck_clearance - figures.chain_deck).abs();
        let mut case = Case::of(What::Chain, subject, Some(difference), None, None);
        case.high = Some(CHAIN_AGREES_MM);
        let keys: Vec<Key> = slopes
            .iter()
            .filter(|(_, f)| f.deck_clearance.slope() != f.chain_deck.slope())
            .map(|(key, _)| *key)
            .collect();
        case.judged(&keys).map(|j| Judgement { source: "common practice".to_owned(), ..j })
    });
    let pieces = input.pieces.and_then(|pieces| {
        Case::of(
            What::Pieces,
            subject,
            Some(f64::from(pieces)),
            limit(LimitId::PiecesLow),
            limit(LimitId::PiecesHigh),
        )
        .judged(&[])
    });
    [squish, wanted, for_fuel, effective, intake, exhaust, chain, pieces].into_iter().flatten().collect()
}

/// The level of a head's tops, by the limit of the head or else of the engine.
/// `members` are the places of its cylinders.
#[must_use]
pub(crate) fn level_of_head(
    question: &Question,
    head: usize,
    members: &[usize],
) -> Option<(Option<Level>, Judgement)> {
    let input = question.heads.get(head)?;
    if !input.level || members.len() < 2 {
        return None;
    }
    let cylinders: Vec<&CylinderInput> = members.iter().filter_map(|&i| question.cylinders.get(i)).collect();
    let tops: Option<Vec<f64>> = cylinders.iter().map(|c| level::top(&c.dims)).collect();
    let level = tops.and_then(Level::of);
    let unmeasured: Vec<Key> = Key::TOWER
        .into_iter()
        .filter(|key| cylinders.iter().any(|c| assumed(c).any(|k| k == *key)))
        .collect();
    let limit = input.tolerance.as_ref().or_else(|| question.limits.get(LimitId::Level));
    let judged = Case::of(What::Level, Subject::Head(head), level.as_ref().map(|l| l.spread), None, limit)
        .doubt(input.doubt)
        .judged(&unmeasured)?;
    Some((level, judged))
}

/// Largest less smallest, and the expanded uncertainty of that difference,
/// which `between` gives for the places of the two: what one instrument
/// shares between them drops out. None where there is nothing or no doubt.
fn spread(
    values: &[f64],
    between: impl Fn(usize, usize) -> Option<Uncertainty>,
) -> (Option<f64>, Option<f64>) {
    let place =
        |by: fn(&(usize, &f64), &(usize, &f64)) -> std::cmp::Ordering| values.iter().enumerate().min_by(by);
    let (Some((low, least)), Some((high, most))) =
        (place(|a, b| a.1.total_cmp(b.1)), place(|a, b| b.1.total_cmp(a.1)))
    else {
        return (None, None);
    };
    let doubt = between(low, high).map(|u| u.expanded()).filter(|u| *u > 0.0 && low != high);
    (Some(most - least), doubt)
}

/// The cylinders against each other, and the engine's speed. `engines` holds
/// every cylinder; nothing is compared while one of them is impossible.
#[must_use]
pub(crate) fn engine_wide(question: &Question, engines: &[Option<&Engine>]) -> Vec<Judgement> {
    let limit = |id| question.limits.get(id);
    let mut all = Vec::new();
    let Some(engines) = engines.iter().copied().collect::<Option<Vec<&Engine>>>() else { return all };
    let assumed_of = |relevant: &dyn Fn(Key, &Engine) -> bool| -> Vec<Key> {
        let moves = |key: Key| {
            question
                .cylinders
                .iter()
                .zip(&engines)
                .any(|(c, e)| assumed(c).any(|k| k == key) && relevant(key, e))
        };
        Key::all().filter(|&key| moves(key)).collect()
    };
    if engines.len() > 1 {
        if let Some(limit) = limit(LimitId::RatioSpread) {
            let ratios: Vec<f64> = engines.iter().map(|e| e.figures().static_ratio).collect();
            let between = |low: usize, high: usize| {
                let propagated =
                    |i: usize| Some(question.cylinders.get(i)?.measured.propagated(engines.get(i)?));
                let ((a, doubts_a), (b, doubts_b)) = (propagated(low)?, propagated(high)?);
                of_difference(Figure::StaticRatio, (&a, &doubts_a), (&b, &doubts_b))
            };
            let (spread, doubt) = spread(&ratios, between);
            let movers = assumed_of(&|key, e| e.slopes(key).is_some_and(|f| f.static_ratio.slope() != 0.0));
            let case = Case::of(What::RatioSpread, Subject::Engine, spread, None, Some(limit)).doubt(doubt);
            all.extend(case.judged(&movers));
        }
        if let Some(limit) = limit(LimitId::ChamberSpread) {
            let chambers: Option<Vec<f64>> =
                engines.iter().map(|e| e.dims().get(Key::ChamberVolume)).collect();
            let between = |low: usize, high: usize| {
                let doubts = |i: usize| question.cylinders.get(i).map(|c| c.measured.of_dimensions(&c.dims));
                Some(of_sums(&[Key::ChamberVolume], &doubts(low)?, &doubts(high)?))
            };
            let (spread, doubt) = spread(&chambers.unwrap_or_default(), between);
            let case = Case::of(What::ChamberSpread, Subject::Engine, spread, None, Some(limit)).doubt(doubt);
            all.extend(case.judged(&assumed_of(&|key, _| key == Key::ChamberVolume)));
        }
    }
    if let (Some(rpm), Some(limit)) = (question.build.max_rpm, limit(LimitId::PistonSpeed)) {
        let longest = engines.iter().map(|e| e.figures().crank.true_stroke()).reduce(f64::max);
        let speed = longest.map(|stroke| mean_piston_speed(stroke, rpm));
        let case = Case::of(What::PistonSpeed, Subject::Engine, speed, None, Some(limit));
        all.extend(case.judged(&assumed_of(&|key, _| key == Key::Stroke)));
    }
    all
}
