//! Figures against limits: for one cylinder, for the level under a head and
//! for the cylinders against each other.

use super::build::mean_piston_speed;
use super::level::{self, Level};
use super::question::{CylinderInput, Question, ValveReading};
use super::target::TargetRatio;
use super::uncertainty::{Figure, of_difference, of_sums};
use super::verdict::{Judgement, Subject, Verdict, judge};
use crate::engine::{Dual, Engine, Figures, Key, Provenance};
use crate::reading::Uncertainty;
use crate::schema::limit::{Form, Judged, Limit, LimitId};

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
    what: Judged,
    subject: Subject,
    value: Option<f64>,
    doubt: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    sources: [Option<&'a Limit>; 2],
}

impl<'a> Case<'a> {
    /// A figure with the limits of it that are set.
    fn of(question: &'a Question, what: Judged, subject: Subject, value: Option<f64>) -> Self {
        let limits = &question.limits;
        let wanted = question.target.map(TargetRatio::get);
        let mut case = Self::without_limits(what, subject, value);
        for row in what.limits() {
            let Some(limit) = limits.get(row.id) else { continue };
            let place = match (row.form, wanted) {
                (Form::AtLeast, _) => {
                    case.low = Some(limit.base());
                    0
                }
                (Form::AtMost, _) => {
                    case.high = Some(limit.base());
                    1
                }
                (Form::FromWanted, Some(wanted)) => {
                    (case.low, case.high) = (Some(wanted - limit.base()), Some(wanted + limit.base()));
                    0
                }
                (Form::FromWanted, None) | (Form::Wanted, _) => continue,
            };
            if let Some(source) = case.sources.get_mut(place) {
                *source = Some(limit);
            }
        }
        case
    }

    /// A figure that nothing limits yet.
    fn without_limits(what: Judged, subject: Subject, value: Option<f64>) -> Self {
        Self { what, subject, value, doubt: None, low: None, high: None, sources: [None; 2] }
    }

    /// The same held to this most, in place of the engine's.
    fn at_most(mut self, limit: Option<&'a Limit>) -> Self {
        self.high = limit.map(Limit::base);
        self.sources = [None, limit];
        self
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
    let case = |what, value| Case::of(question, what, Subject::Cylinder(index), value);
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
    let squish = case(Judged::Squish, Some(figures.squish_clearance))
        .doubt(input.doubt.squish_clearance)
        .judged(&movers(|f| Some(f.squish_clearance)));
    let ratio_movers = movers(|f| Some(f.static_ratio));
    let ratio =
        |what| case(what, Some(figures.static_ratio)).doubt(input.doubt.static_ratio).judged(&ratio_movers);
    let (wanted, for_fuel) = (ratio(Judged::RatioWanted), ratio(Judged::RatioForFuel));
    let effective = figures.effective_ratio.and_then(|ratio| {
        let trapped = input.dims.get(Key::PortClosing).is_some();
        let what = if trapped { Judged::Trapped } else { Judged::Effective };
        case(what, Some(ratio)).doubt(input.doubt.effective_ratio).judged(&movers(|f| f.effective_ratio))
    });
    let shim = engine.dims().filled(Key::BaseShim).unwrap_or(0.0);
    let valve = |what, read| piston_to_valve(read, shim, |value| case(what, value));
    let intake = valve(Judged::ValveIntake, input.valve_gap.intake);
    let exhaust = valve(Judged::ValveExhaust, input.valve_gap.exhaust);
    let chain = engine.dims().get(Key::MockupDeck).and_then(|_| {
        let difference = (figures.deck_clearance - figures.chain_deck).abs();
        let mut case = case(Judged::Chain, Some(difference));
        case.high = Some(CHAIN_AGREES_MM);
        let keys: Vec<Key> = slopes
            .iter()
            .filter(|(_, f)| f.deck_clearance.slope() != f.chain_deck.slope())
            .map(|(key, _)| *key)
            .collect();
        case.judged(&keys).map(|j| Judgement { source: "common practice".to_owned(), ..j })
    });
    let pieces = input.pieces.and_then(|pieces| case(Judged::Pieces, Some(f64::from(pieces))).judged(&[]));
    [squish, wanted, for_fuel, effective, intake, exhaust, chain, pieces].into_iter().flatten().collect()
}

/// Two thicknesses of shims closer than this are the same, mm: what is left of
/// them is rounding.
const SAME_SHIM_MM: f64 = 1e-6;

/// The distance to a valve against its limit. One that was read over other
/// shims than those of the engine is judged only where it is too small
/// whatever the lean of the valve; else it is to be read again.
fn piston_to_valve<'a>(
    read: Option<ValveReading>,
    shim_mm: f64,
    case: impl Fn(Option<f64>) -> Case<'a>,
) -> Option<Judgement> {
    let Some(read) = read else { return case(None).judged(&[]) };
    let (_, most) = read.over(shim_mm);
    let judged = case(Some(most)).doubt(read.doubt).judged(&[])?;
    let same_shims = read.shim.is_none_or(|then| (then - shim_mm).abs() <= SAME_SHIM_MM);
    if same_shims || matches!(judged.verdict, Verdict::Over { .. }) {
        return Some(judged);
    }
    let why = "until it is read over the shims that are fitted now".to_owned();
    Some(Judgement { value: None, doubt: None, verdict: Verdict::Unknown { why }, ..judged })
}

/// What would be judged of a question if every limit were set: all that its
/// dimensions, its readings and its duty give a value to.
#[must_use]
pub(crate) fn judgeable(question: &Question) -> Vec<Judged> {
    let mut asked = question.clone();
    asked.target = asked.target.or_else(|| TargetRatio::new(2.0).ok());
    for id in LimitId::all() {
        asked.limits.set(id, Some(Limit::builder(1.0)));
    }
    let engines: Vec<Option<Engine>> =
        asked.cylinders.iter().map(|input| Engine::new(input.dims).ok()).collect();
    let of_cylinders = engines
        .iter()
        .enumerate()
        .filter_map(|(index, engine)| Some(cylinder(&asked, index, engine.as_ref()?)))
        .flatten();
    let of_heads = (0..asked.heads.len()).filter_map(|head| {
        let under = asked.cylinders.iter().enumerate().filter(|(_, input)| input.head == head);
        let members: Vec<usize> = under.map(|(index, _)| index).collect();
        level_of_head(&asked, head, &members).map(|(_, judged)| judged)
    });
    let engines: Vec<Option<&Engine>> = engines.iter().map(Option::as_ref).collect();
    let all = of_cylinders.chain(of_heads).chain(engine_wide(&asked, &engines));
    all.filter(|judged| judged.value.is_some()).map(|judged| judged.what).collect()
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
    let judged = Case::without_limits(Judged::Level, Subject::Head(head), level.as_ref().map(|l| l.spread))
        .at_most(limit)
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
    let is_set = |id| question.limits.get(id).is_some();
    let case = |what, value| Case::of(question, what, Subject::Engine, value);
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
        if is_set(LimitId::RatioSpread) {
            let ratios: Vec<f64> = engines.iter().map(|e| e.figures().static_ratio).collect();
            let between = |low: usize, high: usize| {
                let propagated =
                    |i: usize| Some(question.cylinders.get(i)?.measured.propagated(engines.get(i)?));
                let ((a, doubts_a), (b, doubts_b)) = (propagated(low)?, propagated(high)?);
                of_difference(Figure::StaticRatio, (&a, &doubts_a), (&b, &doubts_b))
            };
            let (spread, doubt) = spread(&ratios, between);
            let movers = assumed_of(&|key, e| e.slopes(key).is_some_and(|f| f.static_ratio.slope() != 0.0));
            all.extend(case(Judged::RatioSpread, spread).doubt(doubt).judged(&movers));
        }
        if is_set(LimitId::ChamberSpread) {
            let chambers: Option<Vec<f64>> =
                engines.iter().map(|e| e.dims().get(Key::ChamberVolume)).collect();
            let between = |low: usize, high: usize| {
                let doubts = |i: usize| question.cylinders.get(i).map(|c| c.measured.of_dimensions(&c.dims));
                Some(of_sums(&[Key::ChamberVolume], &doubts(low)?, &doubts(high)?))
            };
            let (spread, doubt) = spread(&chambers.unwrap_or_default(), between);
            let case = case(Judged::ChamberSpread, spread).doubt(doubt);
            all.extend(case.judged(&assumed_of(&|key, _| key == Key::ChamberVolume)));
        }
    }
    if let Some(rpm) = question.build.max_rpm {
        let longest = engines.iter().map(|e| e.figures().crank.true_stroke()).reduce(f64::max);
        let speed = longest.map(|stroke| mean_piston_speed(stroke, rpm));
        let keys = assumed_of(&|key, _| key == Key::Stroke);
        all.extend(case(Judged::PistonSpeed, speed).judged(&keys));
    }
    all
}
