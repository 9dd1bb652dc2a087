//! A choice in numbers: the shims under each barrel and the resulting figures.

use super::problem::stack_excess;
use super::question::ShimQuestion;
use super::stock::{mm, pm};
use super::table::{StackTable, with_shims};
use crate::advise::gaskets::on_base;
use crate::engine::{Engine, Key, Provenance};
use crate::schema::limit::{Judged, LimitId};
use crate::study::judging;
use crate::study::question::Question;
use crate::study::verdict::{Judgement, Verdict};

/// A thickness is the same within a nanometre: sums of typed decimals.
const SAME_MM: f64 = 1e-6;

/// The shims under one barrel and the resulting figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Index of the cylinder in the question.
    pub cylinder: usize,
    /// The thickness of each piece, mm, thinnest first.
    pub stack_mm: Vec<f64>,
    /// Height of all pieces together, mm.
    pub height_mm: f64,
    /// Distance of the rim below the top of the cylinder, mm.
    pub deck_mm: f64,
    /// Distance of the rim from the head, mm.
    pub squish_mm: f64,
    /// The static ratio.
    pub ratio: f64,
    /// Height of the top of the cylinder above the crank centre, mm.
    pub top_mm: f64,
}

/// Shims for every barrel under one head.
#[derive(Clone, Debug, PartialEq)]
pub struct ShimChoice {
    /// In the order of the engine.
    pub fits: Vec<Fit>,
    /// The greatest distance of a ratio from the wanted one; `None` where none
    /// is wanted.
    pub worst_ratio_error: Option<f64>,
    /// Highest top less lowest, mm.
    pub level_spread_mm: f64,
    /// Number of pieces in all; those under a common casting count once.
    pub pieces: u32,
    /// Broken rules; empty for a choice that holds every limit.
    pub breaks: Vec<Break>,
}

/// A rule that is broken.
#[derive(Clone, Debug, PartialEq)]
pub struct Break {
    /// The rule.
    pub rule: LimitId,
    /// The cylinder that breaks it most; `None` for the level of a head.
    pub cylinder: Option<usize>,
    /// The value, in the unit of the rule.
    pub value: f64,
    /// The limit; for the ratio wanted, the tolerance.
    pub limit: f64,
    /// The expanded uncertainty that was kept as margin; 0 where the values
    /// were taken without.
    pub doubt: f64,
    /// The excess, above 0.
    pub by: f64,
}

impl ShimChoice {
    /// Returns the tightest squish, mm, and the index of its cylinder.
    #[must_use]
    pub fn tightest(&self) -> Option<(f64, usize)> {
        let fits = self.fits.iter().map(|fit| (fit.squish_mm, fit.cylinder));
        fits.min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Returns the least and the greatest ratio.
    #[must_use]
    pub fn ratios(&self) -> Option<(f64, f64)> {
        let ratios = self.fits.iter().map(|fit| (fit.ratio, fit.ratio));
        ratios.reduce(|(low, high), (l, h)| (low.min(l), high.max(h)))
    }

    /// Returns largest less smallest deck clearance, mm.
    #[must_use]
    pub fn deck_spread_mm(&self) -> f64 {
        let decks = self.fits.iter().map(|fit| (fit.deck_mm, fit.deck_mm));
        let span = decks.reduce(|(low, high), (l, h)| (low.min(l), high.max(h)));
        span.map_or(0.0, |(low, high)| high - low)
    }

    /// Returns whether these shims lie under the barrels now.
    #[must_use]
    pub fn is_under(&self, question: &Question) -> bool {
        self.fits.iter().all(|fit| {
            let now = question.cylinders.get(fit.cylinder).and_then(|c| c.dims.filled(Key::BaseShim));
            (now.unwrap_or(0.0) - fit.height_mm).abs() < SAME_MM
        })
    }

    /// Returns whether every barrel gets the same height as in another choice.
    #[must_use]
    pub fn is_alike(&self, other: &Self) -> bool {
        let heights = |choice: &Self| choice.fits.iter().map(|f| pm(f.height_mm)).collect::<Vec<_>>();
        heights(self) == heights(other)
    }
}

/// The indices of the shims in the table for one casting: height and stack.
pub(super) type Picked = (Vec<usize>, usize, usize);

/// Returns the choice under one head, from what was picked for each casting
/// under it.
pub(super) fn choice(ask: &ShimQuestion, table: &StackTable, head: usize, picked: &[Picked]) -> ShimChoice {
    let mut fits = Vec::new();
    let mut pieces = 0;
    let mut breaks: Vec<Break> = Vec::new();
    for (members, height, stack) in picked {
        let Some(at_height) = table.heights.get(*height) else { continue };
        let Some(stack) = at_height.stacks.get(*stack) else { continue };
        let mut under_it = false;
        for &member in members {
            let input = ask.question.cylinders.get(member);
            let (Some(input), Some(at)) = (input, table.at(member, *height)) else { continue };
            if input.head != head {
                continue;
            }
            under_it = true;
            let thickness = |place: &usize| ask.stock.foils().get(*place).map(|foil| foil.mm);
            fits.push(Fit {
                cylinder: member,
                stack_mm: stack.foils.iter().filter_map(thickness).collect(),
                height_mm: at_height.mm,
                deck_mm: at.deck,
                squish_mm: at.squish,
                ratio: at.ratio,
                top_mm: mm(table.tops.get(member).copied().unwrap_or(0) + at_height.pm),
            });
            for rule in LimitId::bound() {
                let by = at.excess(rule).max(stack_excess(ask, rule, stack, head));
                let Some(limit) = ask.limit(rule, head).filter(|_| by > 0.0) else { continue };
                let value = match rule.row().judged {
                    Judged::Squish => at.squish,
                    Judged::RatioWanted | Judged::RatioForFuel => at.ratio,
                    Judged::Pieces => f64::from(stack.pieces()),
                    Judged::SoftPieces => f64::from(stack.soft),
                    // Judged as given: the excess says what it would be.
                    _ if rule.is_least() => limit - by,
                    _ => limit + by,
                };
                let off = match (rule, ask.question.target) {
                    (LimitId::RatioTolerance, Some(target)) => (value - target.get()).abs(),
                    _ => value,
                };
                let plainly = if rule.is_least() { limit - off } else { off - limit };
                let new =
                    Break { rule, cylinder: Some(member), value, limit, doubt: (by - plainly).max(0.0), by };
                match breaks.iter_mut().find(|b| b.rule == rule) {
                    Some(worst) if worst.by >= by => {}
                    Some(worst) => *worst = new,
                    None => breaks.push(new),
                }
            }
        }
        if under_it {
            pieces += stack.pieces();
        }
    }
    fits.sort_by_key(|fit| fit.cylinder);
    let tops = fits.iter().map(|fit| (pm(fit.top_mm), pm(fit.top_mm)));
    let span = tops.reduce(|(low, high), (l, h)| (low.min(l), high.max(h)));
    let spread = span.map_or(0, |(low, high)| high - low);
    if let Some(limit) = ask.limit(LimitId::Level, head) {
        let doubt = table.level_doubts.get(head).copied().unwrap_or(0);
        let over = spread + doubt - pm(limit);
        if over > 1 {
            breaks.push(Break {
                rule: LimitId::Level,
                cylinder: None,
                value: mm(spread),
                limit,
                doubt: mm(doubt),
                by: mm(over),
            });
        }
    }
    breaks.sort_by_key(|b| b.rule.row().bound);
    let off = |fit: &Fit| ask.question.target.map(|target| (fit.ratio - target.get()).abs());
    ShimChoice {
        worst_ratio_error: fits.iter().filter_map(off).reduce(f64::max),
        level_spread_mm: mm(spread),
        pieces,
        breaks,
        fits,
    }
}

/// Returns the question with these shims under the barrels, for judging and
/// drawing. A shim from the stock is as thick as its marking says until it is
/// measured.
#[must_use]
pub(crate) fn fitted(question: &Question, fits: &[Fit]) -> Question {
    let mut fitted = question.clone();
    for fit in fits {
        let Some(input) = fitted.cylinders.get_mut(fit.cylinder) else { continue };
        input.measured = with_shims(input, fit.height_mm);
        input.dims = on_base(&input.dims, fit.height_mm);
        input.known.set(Key::BaseShim, Provenance::Maker);
        input.pieces = u32::try_from(fit.stack_mm.len()).ok();
    }
    fitted.propagate();
    fitted
}

/// Returns the judgements of the choice within the uncertainties: every limit
/// of its cylinders and of its head, judged with these shims.
#[must_use]
pub(crate) fn judged(question: &Question, head: usize, fits: &[Fit]) -> Vec<Judgement> {
    let question = fitted(question, fits);
    let mut all = Vec::new();
    let members: Vec<usize> = fits.iter().map(|fit| fit.cylinder).collect();
    if let Some((_, level)) = judging::level_of_head(&question, head, &members) {
        all.push(level);
    }
    for &member in &members {
        let Some(input) = question.cylinders.get(member) else { continue };
        if let Ok(engine) = Engine::new(input.dims) {
            all.extend(judging::cylinder(&question, member, &engine));
        }
    }
    all
}

/// Returns the worst verdict of several; `None` for no verdicts.
#[must_use]
pub(crate) fn worst(judged: &[Judgement]) -> Option<&Judgement> {
    let rank = |j: &&Judgement| match j.verdict {
        // A figure that nobody measured, such as a valve gap, says less than
        // one that is too near to call.
        Verdict::Unknown { .. } => 1,
        ref other => other.severity(),
    };
    judged.iter().rev().max_by_key(rank)
}
