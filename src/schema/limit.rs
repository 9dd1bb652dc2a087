//! The limits that a builder holds an engine to: one list, each with where it
//! comes from. A limit warns; it never forbids.

use crate::quantity::Kind;

/// What a limit bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LimitId {
    /// Least gap between crown rim and head, mm, cold.
    SquishLow,
    /// Greatest gap between crown rim and head, mm, cold.
    SquishHigh,
    /// Greatest difference between the barrel tops under one head, mm.
    Level,
    /// Greatest distance of a static ratio from the wanted one.
    RatioTolerance,
    /// Greatest static ratio for the fuel.
    RatioHigh,
    /// Greatest ratio counted from intake or port closing.
    EffectiveHigh,
    /// Greatest difference of static ratio between cylinders.
    RatioSpread,
    /// Greatest difference of chamber volume between cylinders, cc.
    ChamberSpread,
    /// Least distance of piston and intake valve, mm.
    ValveIntake,
    /// Least distance of piston and exhaust valve, mm.
    ValveExhaust,
    /// Greatest mean piston speed, m/s.
    PistonSpeed,
    /// Fewest pieces under one barrel.
    PiecesLow,
    /// Most pieces under one barrel.
    PiecesHigh,
}

/// The unit of a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A length or a volume, in its base unit (mm, cc).
    Of(Kind),
    /// A plain number.
    Ratio,
    /// Metres per second.
    Speed,
    /// A count of pieces.
    Count,
}

/// Which side of a value a limit stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The value must not be less.
    Least,
    /// The value must not be more.
    Most,
}

/// One row of the list of limits.
#[derive(Clone, Copy, Debug)]
pub struct LimitRow {
    /// The limit.
    pub id: LimitId,
    /// The trade's name of what is bounded.
    pub name: &'static str,
    /// Its unit.
    pub measure: Measure,
    /// Least or most.
    pub side: Side,
    /// What it guards against, in one sentence.
    pub meaning: &'static str,
}

use Measure::{Count, Of, Ratio, Speed};

static TABLE: [LimitRow; LimitId::COUNT] = [
    LimitRow {
        id: LimitId::SquishLow,
        name: "Squish, at least",
        measure: Of(Kind::Length),
        side: Side::Least,
        meaning: "Rods stretch, bearings have clearance, pistons rock and grow: a gap that is too small cold is contact at speed.",
    },
    LimitRow {
        id: LimitId::SquishHigh,
        name: "Squish, at most",
        measure: Of(Kind::Length),
        side: Side::Most,
        meaning: "A wide gap stirs the charge no longer, and the engine knocks sooner at the same ratio.",
    },
    LimitRow {
        id: LimitId::Level,
        name: "Level under one head",
        measure: Of(Kind::Length),
        side: Side::Most,
        meaning: "A head that bridges barrels of different height leaks or cracks.",
    },
    LimitRow {
        id: LimitId::RatioTolerance,
        name: "Ratio, from the wanted one",
        measure: Ratio,
        side: Side::Most,
        meaning: "How far the ratio may lie from the one that is wanted.",
    },
    LimitRow {
        id: LimitId::RatioHigh,
        name: "Static ratio, at most",
        measure: Ratio,
        side: Side::Most,
        meaning: "Above what the fuel stands the charge explodes instead of burning.",
    },
    LimitRow {
        id: LimitId::EffectiveHigh,
        name: "Effective ratio, at most",
        measure: Ratio,
        side: Side::Most,
        meaning: "The ratio from where compression really starts; for a two-stroke the trapped ratio.",
    },
    LimitRow {
        id: LimitId::RatioSpread,
        name: "Ratio, between cylinders",
        measure: Ratio,
        side: Side::Most,
        meaning: "Cylinders of different ratio pull differently, and the highest one knocks first.",
    },
    LimitRow {
        id: LimitId::ChamberSpread,
        name: "Chambers, between cylinders",
        measure: Of(Kind::Volume),
        side: Side::Most,
        meaning: "Chambers that differ make ratios that differ.",
    },
    LimitRow {
        id: LimitId::ValveIntake,
        name: "Piston to intake valve",
        measure: Of(Kind::Length),
        side: Side::Least,
        meaning: "A valve that floats or a chain that stretches brings valve and piston together.",
    },
    LimitRow {
        id: LimitId::ValveExhaust,
        name: "Piston to exhaust valve",
        measure: Of(Kind::Length),
        side: Side::Least,
        meaning: "The piston follows the exhaust valve on its way up; the valve is hot and long.",
    },
    LimitRow {
        id: LimitId::PistonSpeed,
        name: "Mean piston speed",
        measure: Speed,
        side: Side::Most,
        meaning: "A check of sense: rings, pistons and rods of a kind run up to a certain speed.",
    },
    LimitRow {
        id: LimitId::PiecesLow,
        name: "Pieces under a barrel, at least",
        measure: Count,
        side: Side::Least,
        meaning: "A barrel that needs a gasket or a shim must have one.",
    },
    LimitRow {
        id: LimitId::PiecesHigh,
        name: "Pieces under a barrel, at most",
        measure: Count,
        side: Side::Most,
        meaning: "Each joint leaks oil and settles.",
    },
];

impl LimitId {
    /// How many limits there are.
    pub const COUNT: usize = 13;

    /// All limits in the order of the list.
    pub fn all() -> impl ExactSizeIterator<Item = Self> {
        TABLE.iter().map(|row| row.id)
    }

    /// The row of this limit.
    #[must_use]
    pub fn row(self) -> &'static LimitRow {
        &TABLE[self as usize]
    }
}

/// What stands behind a figure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Support {
    /// A public document, which the source names.
    Published,
    /// The engine or part maker's figure.
    Maker,
    /// What builders do; no source.
    CommonPractice,
    /// Quoted from memory; no source at hand.
    FromMemory,
    /// Set by the builder for this engine.
    #[default]
    Builder,
}

impl Support {
    /// The words for it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Maker => "maker's figure",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
            Self::Builder => "set for this engine",
        }
    }
}

/// One limit: its value in its base unit and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The value: mm, cc, m/s, or a plain number.
    pub value: f64,
    /// The kind of support.
    pub support: Support,
    /// Where it comes from, in words; may be empty.
    pub source: String,
}

impl Limit {
    /// A limit that the builder sets.
    #[must_use]
    pub fn builder(value: f64) -> Self {
        Self { value, support: Support::Builder, source: String::new() }
    }

    /// Where it comes from, for a tooltip or a footnote. What the builder
    /// wrote stands for itself.
    #[must_use]
    pub fn support_text(&self) -> String {
        match (self.support, self.source.as_str()) {
            (support, "") => support.words().to_owned(),
            (Support::Builder, source) => source.to_owned(),
            (support, source) => format!("{}: {source}", support.words()),
        }
    }
}

/// The limits of one engine; each may be absent, and then nothing is judged
/// by it.
///
/// ```
/// use crowndeck::schema::limit::{Limit, LimitId, Limits};
/// let limits = Limits::new().with(LimitId::SquishLow, Limit::builder(1.0));
/// assert_eq!(limits.value(LimitId::SquishLow), Some(1.0));
/// assert_eq!(limits.value(LimitId::SquishHigh), None);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits {
    given: [Option<Limit>; LimitId::COUNT],
}

impl Limits {
    /// No limits.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The limit, if it is set.
    #[must_use]
    pub fn get(&self, id: LimitId) -> Option<&Limit> {
        self.given.get(id as usize).and_then(Option::as_ref)
    }

    /// Its value in the base unit, if it is set.
    #[must_use]
    pub fn value(&self, id: LimitId) -> Option<f64> {
        self.get(id).map(|limit| limit.value)
    }

    /// Sets a limit or takes it away.
    pub fn set(&mut self, id: LimitId, limit: Option<Limit>) {
        if let Some(place) = self.given.get_mut(id as usize) {
            *place = limit;
        }
    }

    /// The same limits with one more.
    #[must_use]
    pub fn with(mut self, id: LimitId, limit: Limit) -> Self {
        self.set(id, Some(limit));
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_stand_in_the_order_of_the_limits() {
        for (i, row) in TABLE.iter().enumerate() {
            assert_eq!(row.id as usize, i, "{} stands in the wrong place", row.name);
        }
    }

    #[test]
    fn a_limit_says_where_it_comes_from() {
        let mut limit = Limit::builder(0.03);
        assert_eq!(limit.support_text(), "set for this engine");
        limit.support = Support::Published;
        limit.source = "workshop manual of the engine".into();
        assert_eq!(limit.support_text(), "published: workshop manual of the engine");
    }
}
