//! The answer in words, in the user's units.

use super::answer::{HeadAnswer, Proof, ShimAnswer};
use super::choice::{Break, Fit, ShimChoice};
use super::question::ShimQuestion;
use super::remedies::{Remedy, ShimRange};
use super::why::Relaxation;
use crate::engine::Key;
use crate::quantity::{Kind, UnitChoice, default_decimals, write};
use crate::schema::limit::{LimitId, Measure};
use crate::schema::{Aim, Margin};
use crate::study::CylinderInput;
use crate::study::build::Construction;
use crate::study::verdict::written;
use crate::study::words::plain;

/// A formatter of parts of an answer into sentences.
#[derive(Clone, Copy, Debug)]
pub struct ShimFormatter<'a> {
    /// The question.
    pub ask: &'a ShimQuestion,
    /// The user's units.
    pub units: &'a UnitChoice,
}

/// Returns the pieces under a barrel, thinnest first: "0.15 + 0.25", or "no
/// shim".
#[must_use]
pub(crate) fn stack_text(stack_mm: &[f64], units: &UnitChoice) -> String {
    if stack_mm.is_empty() {
        return "no shim".into();
    }
    let pieces: Vec<String> =
        stack_mm.iter().map(|mm| write(Kind::Length, *mm, None, units).number).collect();
    format!("{} {}", pieces.join(" + "), units.unit(Kind::Length).symbol())
}

impl ShimFormatter<'_> {
    fn length(&self, mm: f64) -> String {
        write(Kind::Length, mm, None, self.units).to_string()
    }

    fn label(&self, place: usize) -> &str {
        self.ask.question.cylinders.get(place).map_or("", |cylinder| cylinder.label.as_str())
    }

    fn head(&self, head: usize) -> &str {
        self.ask.question.heads.get(head).map_or("", |head| head.label.as_str())
    }

    /// Returns the remarks on the stock that come before the choices, a
    /// sentence each.
    #[must_use]
    pub fn remarks(&self) -> Vec<String> {
        let mut all = Vec::new();
        if self.ask.question.build.construction == Construction::Block {
            all.push("No shim goes under the cylinders of a block: gasket and machining set the gap.".into());
        }
        if self.ask.question.target.is_none() {
            all.push("No ratio is wanted: the choices are those that are most level.".into());
        }
        let limits = &self.ask.question.limits;
        if let (Some(least), Some(most)) =
            (limits.value(LimitId::SquishMin), limits.value(LimitId::SquishMax))
            && least > most
        {
            all.push(format!(
                "The least squish, {}, is above the greatest, {}: no shim holds both, change one.",
                self.length(least),
                self.length(most)
            ));
        }
        if let (Some(fewest), Some(most)) =
            (limits.value(LimitId::PiecesMin), limits.value(LimitId::PiecesMax))
            && fewest > most
        {
            all.push(format!(
                "The fewest pieces, {}, are more than the most, {}: no stack holds both, change one.",
                plain(fewest, 0),
                plain(most, 0)
            ));
        }
        all.extend(self.ask.stock.remarks.iter().map(|remark| remark.sentence(self.units)));
        all.extend(self.unread());
        all
    }

    /// Returns the barrels over which no deck was read: their figures follow
    /// from the parts alone.
    fn unread(&self) -> Option<String> {
        let cylinders = &self.ask.question.cylinders;
        let unread = |c: &&CylinderInput| c.measured.deck.is_none() && c.dims.get(Key::MockupDeck).is_none();
        let labels: Vec<&str> = cylinders.iter().filter(unread).map(|c| c.label.as_str()).collect();
        let barrels = match labels.as_slice() {
            [] => return None,
            _ if self.ask.question.build.construction == Construction::Block => return None,
            [one] => format!("barrel {one}"),
            several => format!("barrels {}", several.join(", ")),
        };
        Some(format!(
            "No deck was read over {barrels}: what is told of them follows from the dimensions alone. Read it before you \
             trust a choice."
        ))
    }

    /// Returns a broken rule as a clause: "squish of 2 is 0.84 mm, 0.06 mm
    /// under 0.90 mm".
    #[must_use]
    pub fn broken(&self, broken: &Break) -> String {
        let Break { rule, value, limit, doubt, by, .. } = *broken;
        let number = |v: f64| written(rule.measure(), v, self.units, true);
        let of = broken.cylinder.map_or_else(String::new, |place| format!(" of {}", self.label(place)));
        let side = match rule {
            LimitId::RatioTolerance => "outside".to_owned(),
            _ if rule.is_least() => format!("under {}", number(limit)),
            _ => format!("over {}", number(limit)),
        };
        let side = match (rule, self.ask.question.target) {
            (LimitId::RatioTolerance, Some(target)) => {
                format!("{side} {} ±{}", plain(target.get(), 2), plain(limit, 2))
            }
            _ => side,
        };
        let doubt = if doubt > 0.0 {
            format!(" with ±{} for its uncertainty", written(rule.measure(), doubt, self.units, false))
        } else {
            String::new()
        };
        format!("{}{of} is {}, {} {side}{doubt}", rule.judged().short, number(value), number(by))
    }

    /// Returns what a choice gives up compared with the best one; empty where
    /// there is no difference to report.
    #[must_use]
    pub fn gives_up(&self, choice: &ShimChoice, best: &ShimChoice) -> String {
        let mut parts = Vec::new();
        if let (Some(error), Some(least)) = (choice.worst_ratio_error, best.worst_ratio_error)
            && error > least + 5e-4
        {
            parts.push(format!("ratio {} further off", plain(error - least, 3)));
        }
        let level = choice.level_spread_mm - best.level_spread_mm;
        if level > 1e-6 {
            parts.push(format!("level {} worse", self.length(level)));
        }
        match choice.pieces.checked_sub(best.pieces) {
            Some(0) | None => {}
            Some(1) => parts.push("one piece more".into()),
            Some(more) => parts.push(format!("{more} pieces more")),
        }
        if parts.is_empty() { "as good, but thicker".into() } else { parts.join(", ") }
    }

    /// Returns why there is no choice under a head, a sentence each; empty
    /// where there is one.
    #[must_use]
    pub fn why_none(&self, answer: &ShimAnswer, head: &HeadAnswer) -> Vec<String> {
        let Some(why) = &head.why else { return Vec::new() };
        let name = self.head(head.head);
        let mut all = Vec::new();
        if why.parts_at_fault {
            for (place, faults) in answer.faults.iter().enumerate() {
                let under = self.ask.question.cylinders.get(place).is_some_and(|c| c.head == head.head);
                for fault in faults.iter().filter(|_| under) {
                    let label = self.label(place);
                    all.push(format!("Cylinder {label} can't exist whatever lies under it: {fault}."));
                }
            }
            if all.is_empty() {
                all.push(format!("A cylinder that stands in one casting with those of {name} can't exist."));
            }
            return all;
        }
        if matches!(answer.proof, Proof::Stopped { .. }) {
            all.push(format!("The search was stopped: for {name} it is not known whether a choice exists."));
            if why.clash.is_empty() {
                return all;
            }
        }
        if why.starved {
            all.push(format!(
                "The drawer would do for {name} alone, but the other heads need the same shims."
            ));
        }
        match why.clash.as_slice() {
            [] if why.starved => {}
            [] => all.push(format!("The drawer holds too few shims for {name}, whatever the limits.")),
            [one] => all.push(format!("{} can't be held by anything in the drawer.", capital(&title(*one)))),
            several => {
                let titles: Vec<String> = several.iter().map(|rule| title(*rule)).collect();
                all.push(format!(
                    "These can't be held together with what is in the drawer: {}.",
                    titles.join(", ")
                ));
            }
        }
        all.extend(why.wishes.iter().filter(|wish| !wish.can_be_met()).map(|wish| self.wish(wish)));
        if why.relaxations.is_empty() && !why.starved && !why.clash.is_empty() {
            all.push("No single limit, changed alone, makes a choice possible.".into());
        }
        all.extend(why.relaxations.iter().map(|relaxation| self.relaxation(relaxation)));
        all.extend(why.ways.iter().map(|way| self.way(way)));
        all
    }

    /// Returns the range of shim that a barrel needs and no shim can give.
    fn wish(&self, wish: &ShimRange) -> String {
        let label = self.label(wish.cylinder);
        let by = |rule: Option<LimitId>| rule.map_or_else(|| "its limits".to_owned(), title);
        if wish.high_mm < 0.0 {
            return format!(
                "Cylinder {label} stands too high without any shim: for {} its top would have to come down by {}.",
                by(wish.high_by),
                self.length(-wish.high_mm)
            );
        }
        format!(
            "Cylinder {label} wants at least {} of shim for {} and at most {} for {}: no shim does both.",
            self.length(wish.low_mm),
            by(wish.low_by),
            self.length(wish.high_mm),
            by(wish.high_by)
        )
    }

    /// Returns what one limit alone would have to be.
    #[must_use]
    pub fn relaxation(&self, relaxation: &Relaxation) -> String {
        let Relaxation { rule, limit, needed, .. } = *relaxation;
        // Never rounded to where it would still be too tight.
        let (limit, needed) = (written(rule.measure(), limit, self.units, true), self.loosened(rule, needed));
        format!("A choice exists with {} at {needed} in place of {limit}.", title(rule))
    }

    /// Returns a value with its unit, rounded to the loose side.
    fn loosened(&self, rule: LimitId, value: f64) -> String {
        let (unit, decimals) = match rule.measure() {
            Measure::Count | Measure::Speed => return written(rule.measure(), value, self.units, true),
            Measure::Ratio => (None, 3),
            Measure::Of(kind) => (Some(self.units.unit(kind)), default_decimals(self.units.unit(kind)) + 1),
        };
        let shown = unit.map_or(value, |unit| unit.from_base(value));
        let scale = (0..decimals).fold(1.0, |scale, _| scale * 10.0);
        let tiny = 1e-9 * scale;
        let out = if rule.is_least() {
            (shown * scale + tiny).floor() / scale
        } else {
            (shown * scale - tiny).ceil() / scale
        };
        match unit {
            Some(unit) => format!("{} {}", plain(out, decimals), unit.symbol()),
            None => plain(out, decimals),
        }
    }

    /// Returns a remedy with its result.
    #[must_use]
    pub fn way(&self, way: &Remedy) -> String {
        let thick = |mm: f64, thou: Option<f64>| match thou {
            Some(thou) => format!("{} thou ({})", plain(thou, 0), self.length(mm)),
            None => self.length(mm),
        };
        let (what, choice) = match way {
            Remedy::Buy { mm, thou, count, choice } => {
                let shims = if *count == 1 { "one shim" } else { "shims" };
                let number = if *count == 1 { String::new() } else { format!("{count} ") };
                (format!("Buy {number}{shims} of {}", thick(*mm, *thou)), choice)
            }
            Remedy::Gasket { change_mm, choice } => {
                let side = if *change_mm > 0.0 { "thicker" } else { "thinner" };
                (format!("Fit head gaskets {} {side} when crushed", self.length(change_mm.abs())), choice)
            }
            Remedy::Chamber { change_cc, choice } => {
                let volume = write(Kind::Volume, change_cc.abs(), None, self.units);
                let what = if *change_cc > 0.0 {
                    format!("Open every chamber under the head by {volume}")
                } else {
                    format!("Have the head work make every chamber {volume} smaller")
                };
                (what, choice)
            }
            Remedy::CutAll { cut_mm, choice } => {
                (format!("Have {} taken off every barrel top", self.length(*cut_mm)), choice)
            }
            Remedy::CutLevel { cuts, choice } => {
                let each = |(place, cut): &(usize, f64)| {
                    format!("{} off the top of barrel {}", self.length(*cut), self.label(*place))
                };
                let cuts: Vec<String> = cuts.iter().map(each).collect();
                (format!("Have {} taken so that the tops stand level", cuts.join(", ")), choice)
            }
        };
        format!("{what}: then {}.", self.outcome(choice))
    }

    /// Returns the result of a choice: "1: 0.15 mm, 2: no shim; level 0.02 mm;
    /// worst ratio 0.03 off".
    #[must_use]
    pub fn outcome(&self, choice: &ShimChoice) -> String {
        let stacks: Vec<String> = choice
            .fits
            .iter()
            .map(|fit| format!("{}: {}", self.label(fit.cylinder), stack_text(&fit.stack_mm, self.units)))
            .collect();
        let mut parts = vec![stacks.join(", ")];
        if choice.fits.len() > 1 {
            parts.push(format!("level {}", self.length(choice.level_spread_mm)));
        }
        if let Some((squish, _)) = choice.tightest() {
            parts.push(format!("tightest squish {}", self.length(squish)));
        }
        if let Some(error) = choice.worst_ratio_error {
            parts.push(format!("ratio at most {} off", plain(error, 3)));
        }
        parts.join("; ")
    }

    /// Returns what was searched and how far the answer is proved.
    #[must_use]
    pub fn proof(&self, answer: &ShimAnswer) -> String {
        let sets: u128 = answer.heads.iter().map(|head| head.sets).fold(0, u128::saturating_add);
        let held = match self.ask.margin {
            Margin::None => "at the values as they stand",
            Margin::Uncertainty => "at the unfavourable end of their uncertainty",
        };
        match answer.proof {
            Proof::Proved => {
                let sets = if sets == 1 { "1 set".into() } else { format!("{} sets", grouped(sets)) };
                format!("Proved among {sets} of stacks, limits held {held}.")
            }
            Proof::Stopped { cost_at_least: Some(cost) } => self.how_far(answer, cost),
            Proof::Stopped { cost_at_least: None } => {
                "The search was stopped: a better choice may exist, and nothing is known of how much better."
                    .into()
            }
            Proof::FirstProved => {
                "The first choice is proved the best; the search for the next ones was stopped, and others \
                                   may be better than they."
                    .into()
            }
            Proof::Pieces(pieces) => format!(
                "There are more stacks than can be looked at: only those of up to {pieces} pieces were."
            ),
        }
    }

    /// Returns the best so far of a search that was stopped, and its greatest
    /// distance from the best possible.
    fn how_far(&self, answer: &ShimAnswer, bound: f64) -> String {
        let firsts = answer.heads.iter().filter_map(|head| head.choices.first());
        let (what, so_far, told) = match self.ask.aim {
            Aim::Ratio => {
                let off = |choice: &ShimChoice| choice.worst_ratio_error.unwrap_or(0.0);
                ("off the wanted ratio", firsts.map(off).fold(0.0, f64::max), plain(bound, 3))
            }
            Aim::EvenRatio => {
                let ratios = |f: &Fit| f.ratio;
                ("apart in ratio", spread(firsts, ratios), plain(bound, 3))
            }
            Aim::EvenDeck => ("apart in deck", spread(firsts, |f: &Fit| f.deck_mm), self.length(bound)),
        };
        let best = if self.ask.aim == Aim::EvenDeck { self.length(so_far) } else { plain(so_far, 3) };
        if so_far <= bound + 1e-9 {
            return format!(
                "The search was stopped. No choice is less than {told} {what}, as the one told is; another may be more \
                 level, of fewer pieces or thinner."
            );
        }
        format!("The search was stopped. The best so far is {best} {what}; none can be less than {told}.")
    }

    /// Returns cylinders by name, for a button: "4, 5, 6".
    #[must_use]
    pub fn labels(&self, choice: &ShimChoice) -> String {
        let labels: Vec<&str> = choice.fits.iter().map(|fit| self.label(fit.cylinder)).collect();
        labels.join(", ")
    }
}

/// Returns how far a value of the barrels differs over several choices.
fn spread<'c>(choices: impl Iterator<Item = &'c ShimChoice>, of: impl Fn(&Fit) -> f64) -> f64 {
    let span = choices.flat_map(|choice| &choice.fits).map(of);
    let (low, high) = span.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    (high - low).max(0.0)
}

/// Returns the text with a capital letter.
/// A limit in a sentence: "the least squish".
fn title(rule: LimitId) -> String {
    format!("the {}", rule.row().title)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Returns a whole number in groups of three: "117 649".
fn grouped(number: u128) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push('\u{a0}');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::stock::Stock;
    use super::*;
    use crate::schema::Aim;
    use crate::study::Question;

    #[test]
    fn stacks_are_told_piece_by_piece() {
        let units = UnitChoice::default();
        assert_eq!(stack_text(&[], &units), "no shim");
        assert_eq!(stack_text(&[0.15, 0.25], &units), "0.15 + 0.25 mm");
    }

    #[test]
    fn large_numbers_stand_in_groups() {
        assert_eq!(grouped(117_649), "117\u{a0}649");
        assert_eq!(grouped(12), "12");
        assert_eq!(grouped(1_000), "1\u{a0}000");
    }

    #[test]
    fn a_limit_that_would_do_is_never_rounded_to_one_that_would_not() {
        let ask = ShimQuestion {
            question: Question::default(),
            stock: Stock::default(),
            inch_stock: false,
            castings: Vec::new(),
            clamp: None,
            margin: Margin::None,
            aim: Aim::Ratio,
        };
        let units = UnitChoice::default();
        let telling = ShimFormatter { ask: &ask, units: &units };
        assert_eq!(telling.loosened(LimitId::Level, 0.0701), "0.071 mm");
        assert_eq!(telling.loosened(LimitId::Level, 0.07), "0.070 mm");
        assert_eq!(telling.loosened(LimitId::SquishMin, 0.9137), "0.913 mm");
        assert_eq!(telling.loosened(LimitId::RatioTolerance, 0.0301), "0.031");
    }
}
