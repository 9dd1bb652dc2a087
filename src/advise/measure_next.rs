//! "Measure this next": which one further reading, with which instrument,
//! would make a figure better known.

use crate::engine::{Engine, Key};
use crate::quantity::UnitChoice;
use crate::reading::catalogue::Tool;
use crate::reading::{Combined, Origin, Shape, Shared, UncertaintyComponent};
use crate::study::measured::{Measured, is_read_with_deck};
use crate::study::uncertainty::{Figure, first_order};
use crate::study::words;

/// How many times the one further reading is repeated.
const REPEATS: f64 = 3.0;

/// A further reading and what it would do.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Next {
    /// The dimension to read.
    pub key: Key,
    /// The instrument to read it with.
    pub instrument: String,
    /// The expanded uncertainty of the figure now, in its unit.
    pub now: f64,
    /// What it would be after three more values, if they agree with what
    /// stands.
    pub then: f64,
}

/// What to measure next for one figure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Advice {
    /// The figure.
    pub figure: Figure,
    /// Dimensions that move it and of whose doubt nothing is known, those
    /// first whose one step moves it most: they come before all else, because
    /// without them its uncertainty is not known at all.
    pub unmeasured: Vec<Key>,
    /// Whether the deck still comes from a chain of which not all is known,
    /// so that one reading of it on a trial assembly would stand for all.
    pub chain_open: bool,
    /// Further readings that would lower its uncertainty, the best first.
    pub next: Vec<Next>,
}

/// What to measure next, so that a figure is better known.
///
/// Each dimension with a known doubt is thought read again, three times, with
/// each instrument of the [catalogue](crate::reading::catalogue) that suits
/// it, and the new mean joined to what is known, weighted by 1/u². The
/// scatter expected is the instrument's ±; what it shares with earlier
/// readings of the same thing with the same instrument gets no better by
/// repeating.
#[must_use]
pub(crate) fn measure_next(figure: Figure, engine: &Engine, measured: &Measured) -> Option<Advice> {
    let (engine, doubts) = measured.propagated(engine);
    let all = first_order(&engine, &doubts);
    let base = all.iter().find(|p| p.figure == figure)?;
    let now = base.uncertainty.expanded();
    let mut next = Vec::new();
    for contribution in base.contributions.iter().filter(|c| c.sensitivity != 0.0 && c.standard > 0.0) {
        let key = contribution.key;
        for tool in Tool::suited(key) {
            let Some(new) = reading_with(tool, key) else { continue };
            let Some(joined) = joined(doubts.get(key), new) else { continue };
            let after = first_order(&engine, &doubts.clone().with(key, joined));
            let Some(then) = after.iter().find(|p| p.figure == figure) else { continue };
            let then = then.uncertainty.expanded();
            // A gain of less than one in a hundred is none at the bench.
            if then < 0.99 * now {
                next.push(Next { key, instrument: tool.name.to_owned(), now, then });
            }
        }
    }
    next.sort_by(|a, b| a.then.total_cmp(&b.then));
    let effect = |key: Key| {
        let slope = engine.slopes(key).and_then(|f| figure.of(&f)).map_or(0.0, |f| f.slope());
        (slope * key.row().step).abs()
    };
    let mut unmeasured = base.uncounted.clone();
    unmeasured.sort_by(|a, b| effect(*b).total_cmp(&effect(*a)));
    let chain_open =
        engine.dims().get(Key::MockupDeck).is_none() && unmeasured.iter().any(|&key| is_read_with_deck(key));
    Some(Advice { figure, unmeasured, chain_open, next })
}

/// The doubts of a mean of three values with this instrument.
fn reading_with(tool: &Tool, key: Key) -> Option<Vec<UncertaintyComponent>> {
    let instrument = tool.instrument()?;
    let half = instrument.repeatability?.base();
    let scatter = UncertaintyComponent::within(Origin::Repeatability, half).ok()?.u() / REPEATS.sqrt();
    let shared = Shared { instrument: instrument.id, of: subject(key) };
    Some(vec![
        UncertaintyComponent::new(Origin::Repeatability, Shape::Normal, scatter, f64::INFINITY).ok()?,
        UncertaintyComponent::within(Origin::Step, instrument.step.base() / 2.0).ok()?,
        UncertaintyComponent::within(Origin::Instrument, half).ok()?.shared_as(shared),
    ])
}

/// What a reading of this dimension shares its instrument's doubt with.
fn subject(key: Key) -> String {
    use crate::reading::Subject;
    if key == Key::MockupDeck { Subject::Deck.name() } else { Subject::Dimension(key).name() }
}

/// Both together, weighted by 1/u². An instrument that was used before adds
/// only scatter and step; its own doubt is the one that is there already.
fn joined(old: &[UncertaintyComponent], new: Vec<UncertaintyComponent>) -> Option<Vec<UncertaintyComponent>> {
    let u = |doubts: &[UncertaintyComponent]| {
        let mut all = Combined::new();
        all.add(1.0, doubts);
        all.u()
    };
    let (u_old, u_new) = (u(old), u(&new));
    if u_old == 0.0 || u_new == 0.0 {
        return None;
    }
    let weight_old = 1.0 / (1.0 + (u_old / u_new) * (u_old / u_new));
    let scaled = |doubts: &[UncertaintyComponent], weight: f64| -> Option<Vec<UncertaintyComponent>> {
        doubts.iter().map(|d| d.times(weight).ok()).collect()
    };
    let mut all = scaled(old, weight_old)?;
    all.extend(scaled(&new, 1.0 - weight_old)?);
    Some(all)
}

impl Advice {
    /// The advice in words, the most useful sentence first; empty where
    /// nothing would help.
    #[must_use]
    pub(crate) fn sentences(&self, units: &UnitChoice) -> Vec<String> {
        let mut sentences = Vec::new();
        let figure = self.figure.name();
        if let Some((first, others)) = self.unmeasured.split_first() {
            let others: Vec<String> = others.iter().map(|key| key.name().to_lowercase()).collect();
            let and_others =
                if others.is_empty() { String::new() } else { format!(", nor of {}", words::list(&others)) };
            sentences.push(format!(
                "For the {figure}: nothing is known of {} but the value{and_others}. {}",
                first.name().to_lowercase(),
                first.row().measure
            ));
        }
        if self.chain_open {
            sentences.push(format!(
                "For the {figure}: one reading of the deck on a trial assembly, barrel clamped, stands for the whole \
                 chain"
            ));
        }
        if let Some(best) = self.next.first() {
            let number = |v: f64| match self.figure.kind() {
                Some(kind) => words::small(kind, v, units),
                None => words::plain(v, words::two_digits(v)),
            };
            sentences.push(format!(
                "Read the {} three more times with {}: the {figure} would be known to ±{} instead of ±{}",
                best.key.name().to_lowercase(),
                with_article(&best.instrument),
                number(best.then),
                number(best.now)
            ));
        }
        sentences
    }
}

/// "Outside micrometer" as "an outside micrometer".
fn with_article(name: &str) -> String {
    let mut chars = name.chars();
    let lower: String =
        chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect());
    let article = if lower.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {lower}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Dims;
    use crate::study::uncertainty::Components;

    fn engine() -> Engine {
        let dims = Dims::new()
            .with(Key::Bore, 86.0)
            .with(Key::Stroke, 74.0)
            .with(Key::RodLength, 130.0)
            .with(Key::CompressionHeight, 34.5)
            .with(Key::CaseHeight, 104.5)
            .with(Key::BarrelLength, 97.85)
            .with(Key::BaseShim, 0.25)
            .with(Key::ChamberVolume, 60.0)
            .with(Key::MockupDeck, 1.1)
            .with(Key::MockupShim, 0.25);
        Engine::new(dims).unwrap()
    }

    fn stated(pairs: &[(Key, f64)]) -> Components {
        let mut doubts = Components::new();
        for &(key, u) in pairs {
            doubts.set(key, vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()]);
        }
        doubts
    }

    fn advice(figure: Figure, doubts: Components) -> Advice {
        let measured = Measured { stated: doubts, ..Measured::default() };
        measure_next(figure, &engine(), &measured).unwrap()
    }

    /// "The burette, not the indicator, limits a ratio; the indicator limits
    /// the squish" (common practice).
    #[test]
    fn the_burette_limits_the_ratio_and_the_indicator_the_squish() {
        let doubts = || stated(&[(Key::ChamberVolume, 0.4), (Key::MockupDeck, 0.03), (Key::Bore, 0.005)]);
        let ratio = advice(Figure::StaticRatio, doubts());
        assert_eq!(ratio.next[0].key, Key::ChamberVolume);
        assert!(ratio.next[0].then < ratio.next[0].now);
        let squish = advice(Figure::SquishClearance, doubts());
        assert_eq!(squish.next[0].key, Key::MockupDeck);
        assert!(squish.next.iter().all(|n| n.key == Key::MockupDeck));
        // The finer instrument stands before the coarser one.
        let place = |name: &str| squish.next.iter().position(|n| n.instrument.contains(name));
        assert!(place("indicator") < place("feeler") || place("feeler").is_none(), "{:?}", squish.next);
        let text = squish.sentences(&UnitChoice::default()).join(" ");
        assert!(text.contains("Read the mock-up deck three more times with a"), "{text}");
    }

    /// By hand: u 0.03 joined to u_new gives 1/√(1/0.03² + 1/u_new²).
    #[test]
    fn a_further_reading_is_joined_by_its_weight() {
        let new = reading_with(Tool::suited(Key::MockupDeck).next().unwrap(), Key::MockupDeck).unwrap();
        let mut alone = Combined::new();
        alone.add(1.0, &new);
        let old = vec![UncertaintyComponent::stated(Shape::Normal, 0.03).unwrap()];
        let mut both = Combined::new();
        both.add(1.0, &joined(&old, new).unwrap());
        let expected = 1.0 / (1.0 / 0.0009 + 1.0 / (alone.u() * alone.u())).sqrt();
        assert!((both.u() - expected).abs() < 1e-12);
        assert_eq!(joined(&[], old), None);
    }

    #[test]
    fn what_nobody_measured_comes_first() {
        let none = advice(Figure::StaticRatio, Components::new());
        assert_eq!(none.next, []);
        // One cc of chamber moves the ratio more than a tenth of a millimetre
        // of anything.
        assert_eq!(none.unmeasured[0], Key::ChamberVolume);
        assert!(!none.unmeasured.contains(&Key::RodLength), "the deck was read");
        let text = &none.sentences(&UnitChoice::default())[0];
        assert!(text.contains("nothing is known of chamber volume but the value"), "{text}");
        assert!(!none.chain_open);
    }
}
