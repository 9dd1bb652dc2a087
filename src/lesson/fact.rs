//! The facts that an expression may name, in addition to the dimensions: one
//! list, each with its meaning and source. There is no formula here; every fact
//! is asked of the engine or of a study.

use super::eval::At;
use super::expr::Sort;
use crate::advise::gaskets::Port;
use crate::engine::{Dims, Figures, Key};
use crate::reading::{DeckPlace, State, Subject};
use crate::schema::limit::{Limit, LimitId};
use crate::study::Figure;
use crate::study::level;

/// A fact of the engine at hand. The rows give the meaning of each.
#[derive(Clone, Copy, Debug)]
pub struct Fact(&'static FactRow);

impl PartialEq for Fact {
    fn eq(&self, other: &Self) -> bool {
        self.0.id == other.0.id
    }
}

/// One row of the list of facts.
struct FactRow {
    id: &'static str,
    sort: Sort,
    says: &'static str,
    of: fn(&At<'_>) -> Option<f64>,
}

impl std::fmt::Debug for FactRow {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id)
    }
}

impl Fact {
    /// Returns the fact of this name; `None` for an unknown name.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Self> {
        FACTS.iter().find(|row| row.id == id).map(Self)
    }

    /// Returns all facts, in the order of the list.
    pub fn all() -> impl Iterator<Item = Self> {
        FACTS.iter().map(Self)
    }

    /// Returns its name in an expression.
    #[must_use]
    pub fn id(self) -> &'static str {
        self.0.id
    }

    /// Returns its meaning, in one clause.
    #[must_use]
    pub fn says(self) -> &'static str {
        self.0.says
    }

    /// Returns the sort of its value.
    #[must_use]
    pub fn sort(self) -> Sort {
        self.0.sort
    }

    pub(super) fn value(self, at: &At<'_>) -> Option<f64> {
        (self.0.of)(at)
    }
}

/// Returns all names of dimensions and facts, for an error.
pub(super) fn ids() -> impl Iterator<Item = &'static str> {
    Key::all().map(Key::id).chain(FACTS.iter().map(|row| row.id))
}

fn figure_of(at: &At<'_>, of: fn(&Figures) -> f64) -> Option<f64> {
    at.engine().map(|engine| of(engine.figures()))
}

fn limit(at: &At<'_>, id: LimitId) -> Option<f64> {
    at.moment.question.limits.value(id)
}

/// Returns the port. Its closing is that of the engine as the step began; shims
/// put under the barrel since then lift the edge.
fn port(at: &At<'_>) -> Option<Port> {
    let base = |dims: &Dims| Some(dims.filled(Key::BaseShim)? + dims.filled(Key::BaseGasket)?);
    let start = at.at_start().engine()?;
    let lift = base(&at.dims()?)? - base(start.dims())?;
    Port::of(&start)?.lifted(&at.engine()?.figures().crank, lift)
}

fn truth(holds: bool) -> f64 {
    f64::from(u8::from(holds))
}

const fn row(id: &'static str, sort: Sort, says: &'static str, of: fn(&At<'_>) -> Option<f64>) -> FactRow {
    FactRow { id, sort, says, of }
}

static FACTS: [FactRow; 39] = [
    row("deck_clearance", Sort::Gap, "the rim below the top of the cylinder at top dead centre", |at| {
        figure_of(at, |f| f.deck_clearance)
    }),
    row("chain_deck", Sort::Gap, "the same from the chain of dimensions", |at| {
        figure_of(at, |f| f.chain_deck)
    }),
    row("squish_clearance", Sort::Length, "the rim to the flat band of the head", |at| {
        figure_of(at, |f| f.squish_clearance)
    }),
    row("swept_volume", Sort::Volume, "what the piston sweeps", |at| figure_of(at, |f| f.swept)),
    row("clearance_volume", Sort::Volume, "what is left above the piston at the top", |at| {
        figure_of(at, |f| f.clearance_volume)
    }),
    row("deck_volume", Sort::Volume, "the part of it above the rim", |at| {
        figure_of(at, |f| f.clearance.deck)
    }),
    row("gasket_volume", Sort::Volume, "the part of it inside the head gasket", |at| {
        figure_of(at, |f| f.clearance.gasket)
    }),
    row("top_land_volume", Sort::Volume, "the part of it beside the top land", |at| {
        figure_of(at, |f| f.clearance.top_land)
    }),
    row("static_ratio", Sort::Ratio, "swept and clearance volume over clearance volume", |at| {
        figure_of(at, |f| f.static_ratio)
    }),
    row("effective_ratio", Sort::Ratio, "the ratio from where the cylinder is shut", |at| {
        at.engine()?.figures().effective_ratio
    }),
    row("rod_ratio", Sort::Ratio, "rod length over stroke", |at| figure_of(at, |f| f.rod_ratio)),
    row("true_stroke", Sort::Length, "between the dead centres of the piston", |at| {
        figure_of(at, |f| f.crank.true_stroke())
    }),
    row("throw", Sort::Length, "crank centre to crankpin", |at| figure_of(at, |f| f.crank.throw())),
    row("reach", Sort::Length, "crank centre to rim at top dead centre", |at| {
        let engine = at.engine()?;
        let height = engine.dims().filled(Key::CompressionHeight)?;
        Some(engine.figures().crank.y_top() + height)
    }),
    row("tower", Sort::Length, "crank centre to the top of the cylinder", |at| level::top(&at.dims()?)),
    row("crank", Sort::Angle, "degrees after piston top dead centre", |at| Some(at.crank_deg)),
    row("position", Sort::Length, "the piston below its top at the crank angle", |at| {
        Some(at.engine()?.figures().crank.motion(at.crank_deg).position_mm)
    }),
    row("volume", Sort::Volume, "the space above the piston at the crank angle", |at| {
        Some(at.engine()?.space(at.crank_deg).volume_cc)
    }),
    row("ratio_so_far", Sort::Ratio, "the ratio at the crank angle", |at| {
        Some(at.engine()?.space(at.crank_deg).ratio)
    }),
    row("level", Sort::Length, "highest less lowest top under the head of the cylinder", |at| at.level()),
    row("level_max", Sort::Length, "the limit of that", |at| {
        let input = at.input()?;
        let head = at.moment.question.heads.get(input.head)?;
        head.tolerance.as_ref().map(Limit::base).or_else(|| limit(at, LimitId::Level))
    }),
    row("squish_min", Sort::Length, "the least squish allowed", |at| limit(at, LimitId::SquishMin)),
    row("squish_max", Sort::Length, "the greatest squish allowed", |at| limit(at, LimitId::SquishMax)),
    row("ratio_wanted", Sort::Ratio, "the ratio that is wanted", |at| {
        at.moment.question.target.map(crate::study::TargetRatio::get)
    }),
    row("ratio_tolerance", Sort::Ratio, "how far from it the ratio may lie", |at| {
        limit(at, LimitId::RatioTolerance)
    }),
    row("pieces_max", Sort::Count, "most pieces under one barrel", |at| limit(at, LimitId::PiecesMax)),
    row("deck_doubt", Sort::Length, "± of the deck clearance", |at| at.doubt(Figure::DeckClearance)),
    row("squish_doubt", Sort::Length, "± of the squish", |at| at.doubt(Figure::SquishClearance)),
    row("clearance_doubt", Sort::Volume, "± of the clearance volume", |at| {
        at.doubt(Figure::ClearanceVolume)
    }),
    row("ratio_doubt", Sort::Ratio, "± of the static ratio", |at| at.doubt(Figure::StaticRatio)),
    row(
        "rock",
        Sort::Length,
        "how far an edge of the crown stands from the plane of the rim, as read",
        |at| at.deck_readings()?.rock.map(|rock| rock.half.abs()),
    ),
    row("deck_read", Sort::Gap, "the deck that was read, carried to the shim as it is now", |at| {
        let read = at.input()?.measured.deck.as_ref()?;
        let now = at.dims()?.filled(Key::BaseShim)?;
        Some(read.value + read.shim.map_or(0.0, |then| now - then))
    }),
    row("clamped", Sort::Truth, "whether each deck that counts was read with the barrel held down", |at| {
        let label = &at.input()?.label;
        let own = at.moment.project.readings.iter().filter(|r| r.cylinder == *label && r.of == Subject::Deck);
        let counts = own.filter(|r| r.values.iter().any(|value| value.struck.is_none()));
        let held = |state: Option<State>| matches!(state, Some(State::Clamped | State::FinalTorque));
        Some(truth(counts.map(|r| r.state).all(held)))
    }),
    row("one_leaf", Sort::Truth, "whether the drawer holds a single shim as thick as the one fitted", |at| {
        let fitted = at.dims()?.filled(Key::BaseShim)?;
        let mut foils = at.moment.project.shims.iter().map(|shim| shim.thickness.base());
        Some(truth(foils.any(|foil| (foil - fitted).abs() < 1e-6)))
    }),
    row("gaps_wrong", Sort::Count, "how many things are wrong with where the ring gaps stand", |at| {
        Some(at.moment.project.ring_study().warnings.len() as f64)
    }),
    row(
        "port_opens",
        Sort::Angle,
        "after the top, the exhaust port opens; its barrel rises with the base",
        |at| port(at).map(|port| port.opens_deg),
    ),
    row("port_open_for", Sort::Angle, "for how long the exhaust port is open", |at| {
        port(at).map(|port| port.open_for_deg())
    }),
    row("cylinders", Sort::Count, "how many cylinders there are", |at| {
        Some(at.moment.question.cylinders.len() as f64)
    }),
    row("possible", Sort::Truth, "whether the engine can exist", |at| Some(truth(at.engine().is_some()))),
];

/// Figures by the name of their fact.
pub(super) const FIGURES: [(&str, Figure); 5] = [
    ("deck_clearance", Figure::DeckClearance),
    ("squish_clearance", Figure::SquishClearance),
    ("clearance_volume", Figure::ClearanceVolume),
    ("static_ratio", Figure::StaticRatio),
    ("effective_ratio", Figure::EffectiveRatio),
];

pub(super) fn figure(id: &str) -> Option<Figure> {
    FIGURES.iter().find(|(known, _)| *known == id).map(|(_, figure)| *figure)
}

/// Positions of a deck reading by name, as in a project file.
pub(super) const PLACES: [(&str, DeckPlace); 4] = [
    ("pin_axis_front", DeckPlace::PinAxisFront),
    ("pin_axis_rear", DeckPlace::PinAxisRear),
    ("thrust", DeckPlace::Thrust),
    ("antithrust", DeckPlace::Antithrust),
];

pub(super) fn place(id: &str) -> Option<DeckPlace> {
    PLACES.iter().find(|(known, _)| *known == id).map(|(_, place)| place.clone())
}

/// A fact of a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RingFact {
    /// The wanted end gap in this bore.
    Wanted,
    /// The gap as delivered.
    Delivered,
    /// The gap that was read last.
    Now,
    /// The length to be filed off, 0 for none.
    ToFile,
    /// The widening of the gap for a hundredth of a millimetre of bore.
    ForWear,
    /// The cold gap that just closes when the bore is 100 K and the ring
    /// 200 K above the bench.
    Closes,
    /// The angle of its gap, clockwise from the front end of the pin.
    Stands,
}

all!(pub RingFact: Wanted, Delivered, Now, ToFile, ForWear, Closes, Stands);

impl RingFact {
    /// Returns its name in an expression.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Wanted => "wanted",
            Self::Delivered => "delivered",
            Self::Now => "now",
            Self::ToFile => "to_file",
            Self::ForWear => "for_wear",
            Self::Closes => "closes",
            Self::Stands => "stands",
        }
    }

    pub(super) fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fact| fact.id() == id)
    }

    pub(super) fn sort(self) -> Sort {
        if self == Self::Stands { Sort::Angle } else { Sort::Length }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_fact_is_called_like_another_or_like_a_dimension() {
        for (i, row) in FACTS.iter().enumerate() {
            assert!(Key::from_id(row.id).is_none(), "{}", row.id);
            assert!(FACTS.iter().skip(i + 1).all(|other| other.id != row.id), "{}", row.id);
            assert!(!row.says.is_empty() && !row.says.ends_with('.'), "{}", row.id);
        }
    }
}
