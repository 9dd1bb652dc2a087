//! Two routes to the same thing: the chain against the deck that was read,
//! the sum against squeezed solder, the sum of parts against a whole fill.

use super::judging::CHAIN_AGREES_MM;
use super::measured::Measured;
use super::question::DimensionProvenance;
use super::uncertainty::Components;
use super::words;
use crate::engine::{Allowed, Engine, Figures, Key, Provenance, Scalar};
use crate::quantity::{Kind, UnitChoice, write};
use crate::reading::{Combined, Comparison, Estimate};

/// Which two routes are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Route {
    /// The chain of dimensions against the deck read on a trial assembly.
    Deck,
    /// Deck, gasket and head step against squeezed solder.
    Solder,
    /// The sum of all volumes against a fill through the plug hole.
    WholeFill,
}

all!(pub Route: Deck, Solder, WholeFill);

impl Route {
    /// What is compared, in a sentence.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Deck => "Deck from the chain against deck as read",
            Self::Solder => "Squish from the sum against solder",
            Self::WholeFill => "Clearance volume from the sum against the whole fill",
        }
    }

    /// Length or volume.
    #[must_use]
    pub fn kind(self) -> Kind {
        match self {
            Self::Deck | Self::Solder => Kind::Length,
            Self::WholeFill => Kind::Volume,
        }
    }

    /// The computed side.
    fn computed<T: Scalar>(self, figures: &Figures<T>) -> T {
        match self {
            Self::Deck => figures.chain_deck,
            Self::Solder => figures.squish_clearance,
            Self::WholeFill => figures.clearance_volume,
        }
    }

    fn read(self, measured: &Measured) -> Option<&Estimate> {
        match self {
            Self::Deck => measured.deck.as_ref(),
            Self::Solder => measured.squish.as_ref(),
            Self::WholeFill => measured.fill.as_ref(),
        }
    }
}

/// What can be said of two routes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finding {
    /// They agree within their doubts.
    Agree,
    /// They differ by more than the doubts that are known, and by no more
    /// than two routes do by common practice, while not all doubts are known.
    AgreeByPractice,
    /// They differ by more than their doubts explain.
    Part,
}

/// One dimension that would bring both routes together if it alone were
/// otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Explanation {
    /// The dimension.
    pub key: Key,
    /// By how much it would have to be otherwise, in its base unit.
    pub change: f64,
    /// How surprising that would be: the change in units of what it is
    /// doubted by (see [`crosscheck`]).
    pub surprise: f64,
}

/// Two routes held against each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Crosscheck {
    /// Which ones.
    pub route: Route,
    /// The computed value.
    pub computed: f64,
    /// The value that was read, brought to the shims as they are now.
    pub read: f64,
    /// Computed less read, with its uncertainty.
    pub comparison: Comparison,
    /// What can be said.
    pub finding: Finding,
    /// Dimensions that move the computed value and of whose doubt nothing is
    /// known.
    pub uncounted: Vec<Key>,
    /// What would explain a difference, the least surprising first; empty
    /// where the routes agree.
    pub explanations: Vec<Explanation>,
}

/// Compares what was computed with what was read; none where it was not read.
///
/// The uncertainty of the difference has the doubts of both sides, what both
/// share counted once. An assumed value is doubted by one step of its
/// dimension, one that is known but was never read with an instrument by a
/// tenth of it (common practice), when it comes to what would explain a
/// difference.
#[must_use]
pub fn crosscheck(
    route: Route,
    engine: &Engine,
    measured: &Measured,
    known: &DimensionProvenance,
) -> Option<Crosscheck> {
    let estimate = route.read(measured)?;
    let figures = engine.figures();
    let dims = engine.dims();
    let shim_now = dims.filled(Key::BaseShim)?;
    let shim_then = estimate.shim.or_else(|| dims.filled(Key::MockupShim))?;
    // A fill belongs to the engine as it stood: one more shim, one more slice.
    let (per_shim, shift) = match route {
        Route::Deck => (1.0, shim_now - shim_then),
        // Where the deck itself is a reading, squish still follows the shim.
        Route::Solder if estimate.shim.is_some() => (1.0, shim_now - shim_then),
        Route::WholeFill if estimate.shim.is_some() => {
            (figures.bore_area / 1000.0, figures.bore_area / 1000.0 * (shim_now - shim_then))
        }
        Route::Solder | Route::WholeFill => (0.0, 0.0),
    };
    let (computed, read) = (route.computed(figures), estimate.value + shift);
    let doubts = measured.of_dimensions(dims);
    let mut all = Combined::new();
    all.add(-1.0, &estimate.doubts);
    let (mut slopes, mut uncounted) = (Vec::new(), Vec::new());
    for key in Key::all() {
        let Some(slope) = engine.slopes(key).map(|f| route.computed(&f).slope()) else { continue };
        let slope = if key == Key::BaseShim { slope - per_shim } else { slope };
        // What cancels but for rounding does not move the difference.
        if slope.abs() < 1e-9 {
            continue;
        }
        slopes.push((key, slope));
        let of_key = doubts.get(key);
        all.add(slope, of_key);
        if of_key.is_empty() && dims.get(key).is_some_and(|v| v != 0.0) {
            uncounted.push(key);
        }
    }
    let comparison = Comparison::with(computed - read, all.uncertainty());
    let close = route.kind() == Kind::Length && comparison.difference.abs() <= CHAIN_AGREES_MM + 1e-9;
    let finding = if comparison.agrees() {
        Finding::Agree
    } else if close && (!uncounted.is_empty() || comparison.normalised.is_none()) {
        Finding::AgreeByPractice
    } else {
        Finding::Part
    };
    let explanations = if finding == Finding::Part {
        explain(engine, &doubts, known, &slopes, comparison.difference)
    } else {
        Vec::new()
    };
    Some(Crosscheck { route, computed, read, comparison, finding, uncounted, explanations })
}

/// All routes of a cylinder that were gone.
#[must_use]
pub fn crosschecks(engine: &Engine, measured: &Measured, known: &DimensionProvenance) -> Vec<Crosscheck> {
    Route::ALL.into_iter().filter_map(|route| crosscheck(route, engine, measured, known)).collect()
}

fn explain(
    engine: &Engine,
    doubts: &Components,
    known: &DimensionProvenance,
    slopes: &[(Key, f64)],
    difference: f64,
) -> Vec<Explanation> {
    let one = |&(key, slope): &(Key, f64)| {
        let change = -difference / slope;
        let value = engine.dims().get(key)?;
        let then = value + change;
        let possible = match key.row().allowed {
            Allowed::Positive => then > 0.0,
            Allowed::NotNegative => then >= 0.0,
            Allowed::Any => true,
        };
        let u = match (doubts.u(key), known.get(key)) {
            (u, _) if u > 0.0 => u,
            (_, Provenance::Assumed) => key.row().step,
            (_, Provenance::Measured | Provenance::Maker) => key.row().step / 10.0,
        };
        let surprise = (change / u).abs();
        (possible && surprise.is_finite()).then_some(Explanation { key, change, surprise })
    };
    let mut all: Vec<Explanation> = slopes.iter().filter_map(one).collect();
    all.sort_by(|a, b| a.surprise.total_cmp(&b.surprise));
    all
}

impl Crosscheck {
    /// The verdict in plain words.
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        let kind = self.route.kind();
        let number = |v: f64| write(kind, v.abs(), None, units).to_string();
        let difference = number(self.comparison.difference);
        let explained = number(self.comparison.expanded);
        let names =
            |keys: &[Key]| words::list(&keys.iter().map(|key| key.name().to_lowercase()).collect::<Vec<_>>());
        match self.finding {
            Finding::Agree => {
                format!(
                    "The two routes agree: they differ by {difference}, and their doubts explain {explained}"
                )
            }
            Finding::AgreeByPractice => format!(
                "The two routes differ by {difference}, within the {} that common practice allows; the doubt of {} \
                 is not known",
                write(Kind::Length, CHAIN_AGREES_MM, None, units),
                names(&self.uncounted)
            ),
            Finding::Part => {
                let known =
                    if self.uncounted.is_empty() { "their doubts" } else { "the doubts that are known" };
                let mut text =
                    format!("The two routes differ by {difference}, and {known} explain only {explained}");
                if let Some(best) = self.best(units) {
                    text = format!("{text}. {best}");
                }
                text
            }
        }
    }

    /// What would explain the difference best: all dimensions for which it
    /// would be about as surprising as for the first.
    fn best(&self, units: &UnitChoice) -> Option<String> {
        let least = self.explanations.first()?.surprise;
        let alike: Vec<String> = self
            .explanations
            .iter()
            .filter(|e| e.surprise <= least * 1.01)
            .map(|e| {
                let by = write(e.key.kind(), e.change.abs(), None, units);
                let way = if e.change > 0.0 { "more" } else { "less" };
                format!("{} {by} {way}", e.key.name().to_lowercase())
            })
            .collect();
        Some(format!(
            "It would fit best with {}: measure again before anything is cut or shimmed",
            or(&alike)
        ))
    }
}

/// "a, b or c".
fn or(names: &[String]) -> String {
    match names {
        [one] => one.clone(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
        [] => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Dims;
    use crate::reading::{Shape, UncertaintyComponent};

    /// Cylinder 3 of the tractor four, with the rod as the maker gives it.
    fn dims() -> Dims {
        Dims::new()
            .with(Key::Bore, 92.01)
            .with(Key::Stroke, 110.0)
            .with(Key::RodLength, 195.0)
            .with(Key::CompressionHeight, 58.0)
            .with(Key::CaseHeight, 308.31)
            .with(Key::GasketThickness, 1.5)
            .with(Key::ChamberVolume, 86.1)
            .with(Key::CrownVolume, 22.0)
    }

    fn read(value: f64, u: f64) -> Option<Estimate> {
        Some(Estimate {
            value,
            doubts: vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()],
            shim: None,
        })
    }

    fn check(route: Route, measured: &Measured, known: &DimensionProvenance) -> Crosscheck {
        crosscheck(route, &Engine::new(dims()).unwrap(), measured, known).unwrap()
    }

    /// The deck was read 0.52, the chain gives 0.31: the rod that nobody
    /// measured explains it best.
    #[test]
    fn a_short_rod_is_named() {
        let measured = Measured { deck: read(0.52, 0.007), ..Measured::default() };
        let known = DimensionProvenance::all(Provenance::Measured).with(Key::RodLength, Provenance::Assumed);
        let found = check(Route::Deck, &measured, &known);
        assert_eq!(found.finding, Finding::Part);
        let best = found.explanations[0];
        assert_eq!(best.key, Key::RodLength);
        assert!((best.change + 0.21).abs() < 1e-9, "{best:?}");
        let sentence = found.sentence(&UnitChoice::default());
        assert!(sentence.contains("rod length 0.21 mm less"), "{sentence}");
        // Put in, it closes the gap.
        let moved = dims().with(Key::RodLength, 195.0 + best.change);
        let deck = Engine::new(moved).unwrap().figures().chain_deck;
        assert!((deck - 0.52).abs() < 1e-9);
    }

    #[test]
    fn what_is_doubted_more_explains_more() {
        let mut measured = Measured { deck: read(0.52, 0.007), ..Measured::default() };
        let stated = |u| vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()];
        measured.stated.set(Key::CompressionHeight, stated(0.03));
        measured.stated.set(Key::RodLength, stated(0.01));
        let found = check(Route::Deck, &measured, &DimensionProvenance::all(Provenance::Measured));
        let order: Vec<Key> = found.explanations.iter().map(|e| e.key).collect();
        assert_eq!(order[0], Key::CompressionHeight);
        assert!(order.windows(2).all(|p| p[0] != p[1]));
    }

    #[test]
    fn within_their_doubts_or_within_practice_two_routes_agree() {
        let known = DimensionProvenance::all(Provenance::Measured);
        let mut measured = Measured { deck: read(0.32, 0.007), ..Measured::default() };
        assert_eq!(check(Route::Deck, &measured, &known).finding, Finding::Agree);
        measured.deck = read(0.35, 0.007);
        let found = check(Route::Deck, &measured, &known);
        assert_eq!(found.finding, Finding::AgreeByPractice);
        assert!(found.uncounted.contains(&Key::RodLength) && found.explanations.is_empty());
        // With all doubts known, common practice has no say.
        for key in [Key::Stroke, Key::RodLength, Key::CompressionHeight, Key::CaseHeight] {
            measured.stated.set(key, vec![UncertaintyComponent::stated(Shape::Normal, 0.001).unwrap()]);
        }
        assert_eq!(check(Route::Deck, &measured, &known).finding, Finding::Part);
        assert!(crosscheck(Route::Solder, &Engine::new(dims()).unwrap(), &measured, &known).is_none());
    }

    /// 0.31 + 1.5 = 1.81 of squish; a whole fill of the sum of parts.
    #[test]
    fn solder_and_whole_fill_are_compared_with_the_sum() {
        let engine = Engine::new(dims()).unwrap();
        let volume = engine.figures().clearance_volume;
        let measured =
            Measured { squish: read(1.82, 0.03), fill: read(volume + 3.0, 0.3), ..Measured::default() };
        let known = DimensionProvenance::all(Provenance::Measured);
        let all = crosschecks(&engine, &measured, &known);
        assert_eq!(all.iter().map(|c| c.finding).collect::<Vec<_>>(), [Finding::Agree, Finding::Part]);
        assert!((all[0].comparison.difference + 0.01).abs() < 1e-9);
        // A cc of chamber is one step; a fill that is 3 cc larger needs 3 cc.
        let chamber = all[1].explanations.iter().find(|e| e.key == Key::ChamberVolume).unwrap();
        assert!((chamber.change - 3.0).abs() < 1e-9);
    }

    #[test]
    fn a_reading_with_another_shim_is_brought_to_the_present_one() {
        let engine = Engine::new(dims().with(Key::BaseShim, 0.5)).unwrap();
        let mut deck = read(0.31, 0.007);
        if let Some(deck) = &mut deck {
            deck.shim = Some(0.0);
        }
        let measured = Measured { deck, ..Measured::default() };
        let found = crosscheck(Route::Deck, &engine, &measured, &DimensionProvenance::default()).unwrap();
        assert!((found.read - 0.81).abs() < 1e-12 && found.comparison.difference.abs() < 1e-9);
        assert!(!found.uncounted.contains(&Key::BaseShim), "the shim is on both sides");
    }
}
