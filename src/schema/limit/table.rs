//! The list of limits, and of what they judge: one row for each, walked by the
//! file, the window, the command line, the searches and the lessons.
//!
//! To add a limit, add its row to `limits!`; if it judges something new, add
//! that to `judged!` as well. The enums are made from the rows, so no row can
//! be missing or out of place. Where the value that is judged comes from
//! stands in `study::judging` (a test demands that it is there), and for the
//! searches in `advise::shims::table` (the compiler asks for it).

use super::row::{Feed, Form, JudgedRow, LimitRow, Measure, Scope};
use crate::engine::Key;
use crate::quantity::Kind;
use crate::reading::Valve;
use Feed::{Clamp, Dimension, Duty, Figure, PistonToValve, Stock};
use Form::{AtLeast, AtMost, FromWanted, Wanted};
use Measure::{Count, Of, Ratio, Speed};

macro_rules! judged {
    ($($id:ident { $($row:tt)* })*) => {
        /// What is judged by limits.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        #[expect(missing_docs, reason = "the row of each says what it is")]
        pub enum Judged { $($id),* }

        const JUDGED_ROWS: [JudgedRow; [$(Judged::$id),*].len()] = [$(JudgedRow { id: Judged::$id, $($row)* }),*];
    };
}

macro_rules! limits {
    ($($id:ident { $($row:tt)* })*) => {
        /// A limit.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[expect(missing_docs, reason = "the row of each says what it is")]
        pub enum LimitId { $($id),* }

        const LIMIT_ROWS: [LimitRow; LimitId::COUNT] = [$(LimitRow { id: LimitId::$id, $($row)* }),*];

        impl LimitId {
            /// How many limits there are.
            pub const COUNT: usize = [$(LimitId::$id),*].len();
        }
    };
}

judged! {
    Squish {
        name: "Squish",
        short: "squish",
        measure: Of(Kind::Length),
        scope: Scope::Cylinder,
        fed_by: &[Figure("squish_clearance_mm")],
        term: "squish",
    }
    Level {
        name: "Level",
        short: "level",
        measure: Of(Kind::Length),
        scope: Scope::Head,
        fed_by: &[Dimension(Key::CaseHeight), Dimension(Key::BarrelLength)],
        term: "level",
    }
    RatioWanted {
        name: "Static ratio",
        short: "ratio",
        measure: Ratio,
        scope: Scope::Cylinder,
        fed_by: &[Figure("static_ratio")],
        term: "static_ratio",
    }
    RatioForFuel {
        name: "Static ratio for the fuel",
        short: "ratio for the fuel",
        measure: Ratio,
        scope: Scope::Cylinder,
        fed_by: &[Figure("static_ratio")],
        term: "static_ratio",
    }
    Effective {
        name: "Effective ratio",
        short: "effective ratio",
        measure: Ratio,
        scope: Scope::Cylinder,
        fed_by: &[Dimension(Key::IntakeClosing), Dimension(Key::PortClosing)],
        term: "effective_ratio",
    }
    Trapped {
        name: "Trapped ratio",
        short: "effective ratio",
        measure: Ratio,
        scope: Scope::Cylinder,
        fed_by: &[Dimension(Key::PortClosing)],
        term: "trapped_ratio",
    }
    RatioSpread {
        name: "Ratio, between cylinders",
        short: "ratio, between cylinders",
        measure: Ratio,
        scope: Scope::Engine,
        fed_by: &[Figure("static_ratio")],
        term: "static_ratio",
    }
    ChamberSpread {
        name: "Chambers, between cylinders",
        short: "chambers, between cylinders",
        measure: Of(Kind::Volume),
        scope: Scope::Engine,
        fed_by: &[Dimension(Key::ChamberVolume)],
        term: "chamber_volume",
    }
    ValveIntake {
        name: "Piston to intake valve",
        short: "piston to intake valve",
        measure: Of(Kind::Length),
        scope: Scope::Cylinder,
        fed_by: &[PistonToValve(Valve::Intake)],
        term: "piston_to_valve",
    }
    ValveExhaust {
        name: "Piston to exhaust valve",
        short: "piston to exhaust valve",
        measure: Of(Kind::Length),
        scope: Scope::Cylinder,
        fed_by: &[PistonToValve(Valve::Exhaust)],
        term: "piston_to_valve",
    }
    Chain {
        name: "Deck read against the chain",
        short: "deck read against the chain",
        measure: Of(Kind::Length),
        scope: Scope::Cylinder,
        fed_by: &[Dimension(Key::MockupDeck)],
        term: "deck_clearance",
    }
    PistonSpeed {
        name: "Mean piston speed",
        short: "mean piston speed",
        measure: Speed,
        scope: Scope::Engine,
        fed_by: &[Duty("max_rpm")],
        term: "stroke",
    }
    Pieces {
        name: "Pieces under the barrel",
        short: "pieces",
        measure: Count,
        scope: Scope::Cylinder,
        fed_by: &[Stock],
        term: "stack",
    }
    SoftPieces {
        name: "Soft pieces under the barrel",
        short: "soft pieces",
        measure: Count,
        scope: Scope::Cylinder,
        fed_by: &[Stock],
        term: "stack",
    }
    Thread {
        name: "Thread that clamps the barrel",
        short: "thread",
        measure: Of(Kind::Length),
        scope: Scope::Cylinder,
        fed_by: &[Clamp],
        term: "stack",
    }
}

// The order is that of the file.
limits! {
    TargetRatio {
        key: Some("target_ratio"),
        name: "Ratio wanted",
        title: "target ratio",
        judged: Judged::RatioWanted,
        form: Wanted,
        bound: None,
        meaning: "The static ratio that the engine is built for.",
    }
    RatioTolerance {
        key: Some("ratio_tolerance"),
        name: "Ratio, from the wanted one",
        title: "ratio tolerance",
        judged: Judged::RatioWanted,
        form: FromWanted,
        bound: Some(3),
        meaning: "How far the ratio may lie from the one that is wanted.",
    }
    RatioCeiling {
        key: Some("ratio_ceiling"),
        name: "Static ratio, at most",
        title: "greatest ratio for the fuel",
        judged: Judged::RatioForFuel,
        form: AtMost,
        bound: Some(4),
        meaning: "Above what the fuel stands the charge explodes instead of burning.",
    }
    EffectiveCeiling {
        key: Some("effective_ceiling"),
        name: "Effective ratio, at most",
        title: "greatest effective ratio",
        judged: Judged::Effective,
        form: AtMost,
        bound: Some(5),
        meaning: "The ratio from where compression really starts; for a two-stroke the trapped ratio.",
    }
    RatioSpread {
        key: Some("ratio_spread"),
        name: "Ratio, between cylinders",
        title: "spread of the ratios",
        judged: Judged::RatioSpread,
        form: AtMost,
        bound: None,
        meaning: "Cylinders of different ratio pull differently, and the highest one knocks first.",
    }
    SquishMin {
        key: Some("squish_min"),
        name: "Squish, at least",
        title: "least squish",
        judged: Judged::Squish,
        form: AtLeast,
        bound: Some(1),
        meaning: "Rods stretch, bearings have clearance, pistons rock and grow: a gap that is too small cold is contact at speed.",
    }
    SquishMax {
        key: Some("squish_max"),
        name: "Squish, at most",
        title: "greatest squish",
        judged: Judged::Squish,
        form: AtMost,
        bound: Some(2),
        meaning: "A wide gap stirs the charge no longer, and the engine knocks sooner at the same ratio.",
    }
    Level {
        key: Some("level"),
        name: "Level under one head",
        title: "level tolerance",
        judged: Judged::Level,
        form: AtMost,
        bound: Some(0),
        meaning: "A head that bridges barrels of different height leaks or cracks.",
    }
    ChamberSpread {
        key: Some("chamber_spread"),
        name: "Chambers, between cylinders",
        title: "spread of the chambers",
        judged: Judged::ChamberSpread,
        form: AtMost,
        bound: None,
        meaning: "Chambers that differ make ratios that differ.",
    }
    PiecesMin {
        key: Some("pieces_min"),
        name: "Pieces under a barrel, at least",
        title: "fewest pieces",
        judged: Judged::Pieces,
        form: AtLeast,
        bound: Some(9),
        meaning: "A barrel that needs a gasket or a shim must have one.",
    }
    PiecesMax {
        key: Some("pieces_max"),
        name: "Pieces under a barrel, at most",
        title: "most pieces",
        judged: Judged::Pieces,
        form: AtMost,
        bound: Some(10),
        meaning: "Each joint leaks oil and settles.",
    }
    SoftPiecesMax {
        key: Some("soft_pieces_max"),
        name: "Soft pieces under a barrel, at most",
        title: "most soft pieces",
        judged: Judged::SoftPieces,
        form: AtMost,
        bound: Some(11),
        meaning: "Soft gaskets settle one on the other, and the barrel works loose.",
    }
    IntakeValveMin {
        key: Some("intake_valve_min"),
        name: "Piston to intake valve",
        title: "least gap to the intake valve",
        judged: Judged::ValveIntake,
        form: AtLeast,
        bound: Some(6),
        meaning: "A valve that floats or a chain that stretches brings valve and piston together.",
    }
    ExhaustValveMin {
        key: Some("exhaust_valve_min"),
        name: "Piston to exhaust valve",
        title: "least gap to the exhaust valve",
        judged: Judged::ValveExhaust,
        form: AtLeast,
        bound: Some(7),
        meaning: "The piston follows the exhaust valve on its way up; the valve is hot and long.",
    }
    PistonSpeed {
        key: Some("piston_speed"),
        name: "Mean piston speed",
        title: "mean piston speed",
        judged: Judged::PistonSpeed,
        form: AtMost,
        bound: None,
        meaning: "A check of sense: rings, pistons and rods of a kind run up to a certain speed.",
    }
    ThreadMin {
        key: None,
        name: "Thread that clamps the barrel, at least",
        title: "least thread",
        judged: Judged::Thread,
        form: AtLeast,
        bound: Some(8),
        meaning: "A thread that holds by a few turns strips, and the barrel lifts.",
    }
}

/// How many limits a choice of shims must keep.
const BOUND_COUNT: usize = {
    let (mut count, mut i) = (0, 0);
    while i < LIMIT_ROWS.len() {
        count += LIMIT_ROWS[i].bound.is_some() as usize;
        i += 1;
    }
    count
};

/// The limits that a choice of shims must keep, by their places. Does not
/// compile where a place is given beyond the last.
const BOUND: [LimitId; BOUND_COUNT] = {
    let mut all = [None; BOUND_COUNT];
    let mut i = 0;
    while i < LIMIT_ROWS.len() {
        if let Some(place) = LIMIT_ROWS[i].bound {
            assert!(all[place].is_none(), "two limits have the same place");
            all[place] = Some(LIMIT_ROWS[i].id);
        }
        i += 1;
    }
    let mut bound = [LimitId::Level; BOUND_COUNT];
    let mut i = 0;
    while i < BOUND_COUNT {
        match all[i] {
            Some(id) => bound[i] = id,
            None => panic!("a place is left out"),
        }
        i += 1;
    }
    bound
};

/// How many limits have a key in the file.
const KEY_COUNT: usize = {
    let (mut count, mut i) = (0, 0);
    while i < LIMIT_ROWS.len() {
        count += LIMIT_ROWS[i].key.is_some() as usize;
        i += 1;
    }
    count
};

/// The keys of the file, in its order.
pub(super) const KEYS: [&str; KEY_COUNT] = {
    let mut keys = [""; KEY_COUNT];
    let (mut place, mut i) = (0, 0);
    while i < LIMIT_ROWS.len() {
        if let Some(key) = LIMIT_ROWS[i].key {
            keys[place] = key;
            place += 1;
        }
        i += 1;
    }
    keys
};

static JUDGED: [JudgedRow; JUDGED_ROWS.len()] = JUDGED_ROWS;
static LIMITS: [LimitRow; LimitId::COUNT] = LIMIT_ROWS;

impl Judged {
    /// The row.
    #[must_use]
    pub fn row(self) -> &'static JudgedRow {
        &JUDGED[self as usize]
    }

    /// The name, as it stands before the value.
    #[must_use]
    pub(crate) fn name(self) -> &'static str {
        self.row().name
    }

    /// The limits that judge it, in the order of the list. A trapped ratio is
    /// the effective ratio of a two-stroke.
    pub(crate) fn limits(self) -> impl Iterator<Item = &'static LimitRow> {
        let of = if self == Self::Trapped { Self::Effective } else { self };
        LIMITS.iter().filter(move |row| row.judged == of)
    }
}

impl LimitId {
    /// All limits in the order of the list.
    pub fn all() -> impl ExactSizeIterator<Item = Self> {
        LIMITS.iter().map(|row| row.id)
    }

    /// The limits that stand among the limits of a file, in its order.
    pub fn in_file() -> impl Iterator<Item = Self> {
        LIMITS.iter().filter(|row| row.key.is_some()).map(|row| row.id)
    }

    /// The limits that a choice of shims must keep, in the order in which a
    /// person asks.
    pub(crate) fn bound() -> impl DoubleEndedIterator<Item = Self> {
        BOUND.into_iter()
    }

    /// The limit with this key in a file.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        LIMITS.iter().find(|row| row.key == Some(key)).map(|row| row.id)
    }

    /// The row of this limit.
    #[must_use]
    pub fn row(self) -> &'static LimitRow {
        &LIMITS[self as usize]
    }

    /// The row of what it judges.
    #[must_use]
    pub fn judged(self) -> &'static JudgedRow {
        self.row().judged.row()
    }

    /// The unit of its value.
    #[must_use]
    pub fn measure(self) -> Measure {
        self.judged().measure
    }

    /// Whether a value below the limit breaks it; for the others one above
    /// it does.
    #[must_use]
    pub fn is_least(self) -> bool {
        self.row().form == AtLeast
    }

    /// Whether it is a ratio itself, above 1, and no difference of ratios.
    #[must_use]
    pub(crate) fn is_whole_ratio(self) -> bool {
        let row = self.row();
        self.measure() == Ratio && self.judged().scope == Scope::Cylinder && row.form != FromWanted
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_has_a_key_of_its_own_and_a_sentence() {
        for id in LimitId::all() {
            let row = id.row();
            assert_eq!(row.id, id);
            assert!(row.meaning.ends_with('.'), "{id:?}");
            if let Some(key) = row.key {
                assert_eq!(LimitId::from_key(key), Some(id));
            }
        }
        let keys: Vec<_> = LimitId::in_file().filter_map(|id| id.row().key).collect();
        assert_eq!(keys, KEYS);
    }

    #[test]
    fn each_thing_judged_has_at_most_one_limit_of_a_form() {
        for id in LimitId::all() {
            let alike = id.row().judged.limits().filter(|row| row.form == id.row().form);
            assert_eq!(alike.count(), 1, "{id:?}");
        }
    }
}
