//! The choice of head gaskets from the stock.
//!
//! One gasket lies under a head, over all its cylinders: the worst cylinder
//! decides. A gasket must hold every limit at the present values; then the
//! smallest worst distance of a ratio from the wanted one is best, without a
//! wanted ratio the tightest squish that is allowed, then the thinner one.

use crate::advise::what_if::{WhatIf, over};
use crate::engine::{Fault, Key};
use crate::quantity::{Kind, Quantity, UnitChoice, write};
use crate::schema::HeadGasket;
use crate::study::question::Question;
use crate::study::verdict::{Judgement, TOUCH, Verdict};
use crate::study::words;
use std::cmp::Ordering;

/// A head gasket as fitted in the engine, lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Offered {
    /// Its name.
    pub name: String,
    /// Crushed thickness.
    pub crushed_mm: f64,
    /// Diameter of its hole; `None` where it is unknown, and then that of the
    /// gasket fitted now counts.
    pub bore_mm: Option<f64>,
    /// Least and greatest protrusion of its class, proud of the block.
    pub class: Option<(f64, f64)>,
}

impl From<&HeadGasket> for Offered {
    fn from(given: &HeadGasket) -> Self {
        Self {
            name: given.name.clone(),
            crushed_mm: given.crushed.base(),
            bore_mm: given.bore.as_ref().map(Quantity::base),
            class: given.for_stand.as_ref().map(|class| (class.from.base(), class.to.base())),
        }
    }
}

/// A reason why a gasket can't be taken.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Reason {
    /// A cylinder could not exist with it.
    Impossible {
        /// Index of the cylinder.
        cylinder: usize,
        /// The faults.
        faults: Vec<Fault>,
    },
    /// A limit would be broken.
    Limit {
        /// Index of the cylinder.
        cylinder: usize,
        /// The limit with the figure.
        judged: Judgement,
    },
    /// Its hole is smaller than the cylinder: its edge would be in the flame.
    Hole {
        /// Index of the cylinder.
        cylinder: usize,
        /// Overhang, on the diameter, mm.
        by_mm: f64,
    },
}

impl Reason {
    /// Returns "cylinder 3: squish 2.32 mm, 0.02 over: at most 2.30 (common
    /// practice)".
    #[must_use]
    pub(crate) fn sentence(&self, question: &Question, units: &UnitChoice) -> String {
        let label = |i: &usize| question.cylinders.get(*i).map_or("", |c| c.label.as_str());
        match self {
            Self::Impossible { cylinder, faults } => {
                let why = faults.first().map_or_else(String::new, ToString::to_string);
                format!("cylinder {}: {why}", label(cylinder))
            }
            Self::Limit { cylinder, judged } => {
                format!("cylinder {}: {}", label(cylinder), lower(&judged.sentence(units)))
            }
            Self::Hole { cylinder, by_mm } => format!(
                "cylinder {}: the hole is {} smaller than the bore, its edge would stand in the flame",
                label(cylinder),
                write(Kind::Length, *by_mm, None, units)
            ),
        }
    }
}

fn lower(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// A gasket tried under a head.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tried {
    /// Index of the gasket in the offer.
    pub offer: usize,
    /// Least and greatest squish under the head, mm; `None` while a cylinder
    /// can't exist.
    pub squish: Option<(f64, f64)>,
    /// Lowest and highest static ratio.
    pub ratio: Option<(f64, f64)>,
    /// Worst distance from the wanted ratio, where one is wanted.
    pub ratio_error: Option<f64>,
    /// Reasons against it; empty where every limit is held.
    pub against: Vec<Reason>,
    /// Limits that are held and lie inside the uncertainty.
    pub too_near: Vec<(usize, Judgement)>,
    /// Whether a limit that is held rests on a value that nobody measured.
    pub unmeasured: bool,
    /// Whether it is the one fitted now.
    pub fitted: bool,
}

impl Tried {
    /// Returns whether every limit is held at the present values.
    #[must_use]
    pub(crate) fn holds(&self) -> bool {
        self.against.is_empty()
    }

    /// Returns the weight of the reasons against it, for sorting what can't be
    /// taken: an engine that can't exist, then the hole, then the number of
    /// broken limits.
    fn weight(&self) -> usize {
        let of = |reason: &Reason| match reason {
            Reason::Impossible { .. } => 1_000_000,
            Reason::Hole { .. } => 1_000,
            Reason::Limit { .. } => 1,
        };
        self.against.iter().map(of).sum()
    }

    /// Returns the reason for its rank, in a few words for the table.
    #[must_use]
    pub(crate) fn why(&self, question: &Question, units: &UnitChoice) -> String {
        if let Some(first) = self.against.first() {
            let more = match self.against.len() {
                1 => String::new(),
                n => format!("; and {} more", n - 1),
            };
            return format!("{}{more}", first.sentence(question, units));
        }
        let near = match self.too_near.first() {
            Some((cylinder, judged)) => {
                let label = question.cylinders.get(*cylinder).map_or("", |c| c.label.as_str());
                format!("; cylinder {label} {} too near to call", judged.what.name().to_lowercase())
            }
            None if self.unmeasured => "; not all measured".to_owned(),
            None => String::new(),
        };
        match (self.ratio_error, question.target) {
            (Some(error), Some(target)) => {
                let wanted = words::plain(target.get(), 2);
                format!("{} off {wanted} at the worst{near}", words::plain(error, 2))
            }
            _ => format!("every limit held{near}"),
        }
    }
}

/// All gaskets tried under one head.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HeadChoice {
    /// Index of the head.
    pub head: usize,
    /// Its cylinders, by index.
    pub cylinders: Vec<usize>,
    /// Best first; those that can't be taken are last.
    pub tried: Vec<Tried>,
    /// What has to be known first, a sentence each.
    pub missing: Vec<String>,
}

impl HeadChoice {
    /// Returns the gasket to take, if one holds every limit.
    #[must_use]
    pub(crate) fn best(&self) -> Option<&Tried> {
        self.tried.first().filter(|tried| tried.holds())
    }
}

/// Tries every gasket that is offered under every head.
#[must_use]
pub(crate) fn choose(question: &Question, offered: &[Offered]) -> Vec<HeadChoice> {
    (0..question.heads.len())
        .map(|head| {
            let members = |(i, c): (usize, &crate::study::CylinderInput)| (c.head == head).then_some(i);
            let cylinders: Vec<usize> = question.cylinders.iter().enumerate().filter_map(members).collect();
            let mut tried: Vec<Tried> =
                (0..offered.len()).filter_map(|i| try_one(question, &cylinders, offered, i)).collect();
            let thickness = |t: &Tried| offered.get(t.offer).map_or(0.0, |o| o.crushed_mm);
            tried.sort_by(|a, b| order(a, b).then(thickness(a).total_cmp(&thickness(b))));
            let missing = missing(question, &cylinders, offered);
            HeadChoice { head, cylinders, tried, missing }
        })
        .collect()
}

/// Returns what must be given before a gasket can be chosen.
fn missing(question: &Question, cylinders: &[usize], offered: &[Offered]) -> Vec<String> {
    let mut all = Vec::new();
    if cylinders.is_empty() {
        all.push("No cylinder stands under this head".to_owned());
    }
    if offered.is_empty() {
        all.push(
            "No head gasket is listed: give each one's name, its crushed thickness and its bore".to_owned(),
        );
    }
    if question.target.is_none() && question.limits.get(crate::schema::limit::LimitId::SquishMin).is_none() {
        all.push(
            "Neither a ratio is wanted nor a least squish given: nothing tells one gasket from another"
                .to_owned(),
        );
    }
    all
}

fn order(a: &Tried, b: &Tried) -> Ordering {
    // To 1e-9, so that rounding does not decide.
    let near = |x: f64, y: f64| if (x - y).abs() <= TOUCH { Ordering::Equal } else { x.total_cmp(&y) };
    let error = near(a.ratio_error.unwrap_or(0.0), b.ratio_error.unwrap_or(0.0));
    let tight = |t: &Tried| t.squish.map_or(f64::INFINITY, |(least, _)| least);
    a.weight().cmp(&b.weight()).then(error).then(near(tight(a), tight(b)))
}

fn try_one(question: &Question, cylinders: &[usize], offered: &[Offered], offer: usize) -> Option<Tried> {
    let gasket = offered.get(offer)?;
    let mut tried = Tried {
        offer,
        squish: None,
        ratio: None,
        ratio_error: None,
        against: Vec::new(),
        too_near: Vec::new(),
        unmeasured: false,
        fitted: true,
    };
    let mut figures = Vec::new();
    for &cylinder in cylinders {
        let input = question.cylinders.get(cylinder)?;
        let mut dims = input.dims.with(Key::GasketThickness, gasket.crushed_mm);
        if let Some(bore) = gasket.bore_mm {
            dims.set(Key::GasketBore, Some(bore));
        }
        let same = |key: Key| match (input.dims.filled(key), dims.filled(key)) {
            (Some(now), Some(then)) => (now - then).abs() <= TOUCH,
            _ => false,
        };
        tried.fitted &= same(Key::GasketThickness) && same(Key::GasketBore);
        if let (Some(hole), Some(bore)) = (dims.filled(Key::GasketBore), dims.get(Key::Bore))
            && hole < bore - TOUCH
        {
            tried.against.push(Reason::Hole { cylinder, by_mm: bore - hole });
        }
        match WhatIf::evaluate(question, cylinder, dims) {
            Err(faults) => tried.against.push(Reason::Impossible { cylinder, faults }),
            Ok(would) => {
                let mut broken: Vec<Judgement> = would.broken().cloned().collect();
                broken.sort_by(|a, b| over(b).total_cmp(&over(a)));
                tried.against.extend(broken.into_iter().map(|judged| Reason::Limit { cylinder, judged }));
                let unknown = |j: &Judgement| matches!(j.verdict, Verdict::Unknown { .. });
                tried.unmeasured |= would.judged.iter().any(unknown);
                tried.too_near.extend(would.too_near().map(|j| (cylinder, j.clone())));
                figures.push((would.engine.figures().squish_clearance, would.engine.figures().static_ratio));
            }
        }
    }
    if figures.len() == cylinders.len() && !figures.is_empty() {
        let span = |of: fn(&(f64, f64)) -> f64| {
            figures
                .iter()
                .map(of)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), v| (least.min(v), most.max(v)))
        };
        tried.squish = Some(span(|f| f.0));
        tried.ratio = Some(span(|f| f.1));
        tried.ratio_error = question
            .target
            .map(|target| figures.iter().map(|f| (f.1 - target.get()).abs()).fold(0.0, f64::max));
    }
    Some(tried)
}
