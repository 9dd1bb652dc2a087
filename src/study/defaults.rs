//! Limits that can be proposed for an engine by its construction and use:
//! rules of thumb, each with its kind of support. The maker's and the
//! machinist's figures beat every one of them.

use super::build::{Build, Construction, Cooling, Cycle, HeadMaterial, Ignition, RodMaterial, Usage};
use crate::quantity::Kind;
use crate::schema::limit::{LimitId, LimitText, Measure, Support};

/// A rule of thumb: what it is for and the limits it proposes.
#[derive(Clone, Copy, Debug)]
pub struct ProposedLimits {
    /// What it is for, in the trade's words.
    pub case: &'static str,
    /// The limits, in base units.
    pub limits: &'static [(LimitId, f64)],
    /// The kind of support.
    pub support: Support,
    /// The title of a published source, or a remark; may be empty.
    pub source: &'static str,
    /// Whether it fits an engine of this build. What the document can't say
    /// yet, such as a motorcycle or a model engine, never fits.
    fits: fn(&Build) -> bool,
}

impl ProposedLimits {
    /// Whether it is proposed for this build.
    #[must_use]
    pub fn fits(&self, build: &Build) -> bool {
        (self.fits)(build)
    }

    /// The value that it proposes for this limit, in the base unit.
    #[must_use]
    pub fn value(&self, id: LimitId) -> Option<f64> {
        self.limits.iter().find(|(of, _)| *of == id).map(|(_, value)| *value)
    }

    /// The limit that it proposes, ready to be taken, with its support before
    /// the words: "common practice: aluminium rods".
    #[must_use]
    pub fn text(&self, id: LimitId) -> Option<LimitText> {
        let value = self.value(id)?;
        let value = match id.measure() {
            Measure::Of(Kind::Length) => format!("{value:.2} mm"),
            Measure::Of(kind) => format!("{value} {}", kind.base_unit().ascii()),
            Measure::Ratio | Measure::Speed | Measure::Count => value.to_string(),
        };
        let source = if self.source.is_empty() {
            self.case.to_owned()
        } else {
            format!("{}; {}", self.case, self.source)
        };
        Some(LimitText { value, source: self.support.told(&source) })
    }
}

/// The rules of thumb for a limit that fit an engine of this build, the one to
/// try first before the others.
///
/// ```
/// use crowndeck::schema::limit::{LimitId, Support};
/// use crowndeck::study::{build::Build, defaults};
/// // Separate barrels, petrol, steel rods, road.
/// let rule = defaults::proposals(LimitId::SquishMin, &Build::default()).next().unwrap();
/// let proposed = rule.text(LimitId::SquishMin).unwrap();
/// assert_eq!((proposed.value.as_str(), Support::of(&proposed.source)), ("1.00 mm", Support::CommonPractice));
/// ```
pub fn proposals(id: LimitId, build: &Build) -> impl Iterator<Item = &'static ProposedLimits> {
    RULES.iter().filter(move |rule| rule.fits(build) && rule.value(id).is_some())
}

/// The value of the limit of this kind that is proposed for such an engine.
#[must_use]
pub fn proposed_value(id: LimitId, build: &Build) -> Option<f64> {
    proposals(id, build).find_map(|rule| rule.value(id))
}

/// A petrol four-stroke with steel rods on the road or in the field.
fn petrol_steel_road(d: &Build) -> bool {
    d.is_petrol_four_stroke() && d.rods == RodMaterial::Steel && d.usage != Usage::Race
}

/// Lowest octane number of each row of the fuel table up to that of the next.
fn fuel(d: &Build, from: f64, below: f64) -> bool {
    d.is_petrol_four_stroke() && d.fuel_ron.is_some_and(|ron| (from..below).contains(&ron))
}

fn air(d: &Build) -> bool {
    d.cooling == Some(Cooling::Air) || (d.cooling.is_none() && d.construction == Construction::Barrels)
}

fn water_iron(d: &Build) -> bool {
    !air(d) && d.head != Some(HeadMaterial::Alloy)
}

fn water_alloy(d: &Build) -> bool {
    !air(d) && d.head == Some(HeadMaterial::Alloy)
}

use LimitId::{
    ChamberSpread, EffectiveCeiling, ExhaustValveMin, IntakeValveMin, Level, PiecesMax, PistonSpeed,
    RatioCeiling, RatioSpread, RatioTolerance, SquishMax, SquishMin,
};
use Support::{CommonPractice, FromMemory, Maker, Published};

const CAUTIOUS: &str =
    "static, unboosted, cautious; go lower with a large bore, heat, heavy load or early closing";

/// A rule; the order of the fields is that of [`ProposedLimits`].
const fn rule(
    case: &'static str,
    limits: &'static [(LimitId, f64)],
    support: Support,
    source: &'static str,
    fits: fn(&Build) -> bool,
) -> ProposedLimits {
    ProposedLimits { case, limits, support, source, fits }
}

static RULES: &[ProposedLimits] = &[
    // Least cold gap between piston and head, and the gap up to which builders
    // of that kind of engine go.
    rule(
        "iron or alloy block, steel rods, road, below about 6500 rpm",
        &[(SquishMin, 0.90), (SquishMax, 1.15)],
        CommonPractice,
        "",
        |d| d.construction == Construction::Block && petrol_steel_road(d),
    ),
    rule(
        "air-cooled separate barrels, steel rods, road",
        &[(SquishMin, 1.0), (SquishMax, 1.5)],
        CommonPractice,
        "many aim at 1.0 to 1.3",
        |d| d.construction == Construction::Barrels && petrol_steel_road(d),
    ),
    rule("aluminium rods", &[(SquishMin, 1.25), (SquishMax, 1.65)], CommonPractice, "", |d| {
        d.is_petrol_four_stroke() && d.rods == RodMaterial::Aluminium
    }),
    rule(
        "steel rods, high-speed competition",
        &[(SquishMin, 0.90), (SquishMax, 1.10)],
        CommonPractice,
        "contact reported near 0.65 in an iron four at 6500 rpm",
        |d| d.is_petrol_four_stroke() && d.rods == RodMaterial::Steel && d.usage == Usage::Race,
    ),
    rule(
        "air-cooled big single, competition",
        &[(SquishMin, 1.4), (SquishMax, 1.8)],
        CommonPractice,
        "one tuner's table: a hint",
        |_| false,
    ),
    rule(
        "motorcycle multis and V-twins, steel rods",
        &[(SquishMin, 0.8), (SquishMax, 1.0)],
        CommonPractice,
        "",
        |_| false,
    ),
    rule("two-stroke, water-cooled, road", &[(SquishMin, 0.8), (SquishMax, 1.0)], CommonPractice, "", |d| {
        d.cycle == Cycle::TwoStroke && d.ignition == Ignition::Spark && d.cooling == Some(Cooling::Water)
    }),
    rule("two-stroke, air-cooled, road", &[(SquishMin, 1.0), (SquishMax, 1.2)], CommonPractice, "", |d| {
        d.cycle == Cycle::TwoStroke && d.ignition == Ignition::Spark && d.cooling != Some(Cooling::Water)
    }),
    rule(
        "diesel, direct injection",
        &[(SquishMin, 0.5), (SquishMax, 0.9)],
        CommonPractice,
        "the maker's sheet rules",
        |d| d.ignition == Ignition::DieselDirect,
    ),
    rule("10 cc model engine", &[(SquishMin, 0.30), (SquishMax, 0.55)], FromMemory, "", |_| false),
    // Level.
    rule(
        "barrel tops under one head, no gasket",
        &[(Level, 0.05)],
        CommonPractice,
        "aim at 0.03, stop at 0.10",
        |d| d.construction == Construction::Barrels,
    ),
    rule(
        "block face from cylinder to cylinder",
        &[(Level, 0.08)],
        CommonPractice,
        "0.05 to 0.08 is good, 0.13 common",
        |d| d.construction == Construction::Block,
    ),
    rule(
        "stand-out of neighbouring liners in one block",
        &[(Level, 0.05)],
        Published,
        "TM 5-3805-263-14&P-2",
        |_| false,
    ),
    // Ratio against fuel and cooling.
    rule("paraffin, air-cooled", &[(RatioCeiling, 5.0)], CommonPractice, CAUTIOUS, |_| false),
    rule("paraffin, water-cooled, iron head", &[(RatioCeiling, 5.2)], CommonPractice, CAUTIOUS, |_| false),
    rule(
        "about 80 to 87 RON, air-cooled, open chamber",
        &[(RatioCeiling, 7.2)],
        CommonPractice,
        CAUTIOUS,
        |d| fuel(d, 80.0, 91.0) && air(d),
    ),
    rule(
        "about 80 to 87 RON, water-cooled, iron head",
        &[(RatioCeiling, 7.8)],
        CommonPractice,
        CAUTIOUS,
        |d| fuel(d, 80.0, 91.0) && water_iron(d),
    ),
    rule(
        "about 80 to 87 RON, water-cooled, alloy head, working squish",
        &[(RatioCeiling, 8.5)],
        CommonPractice,
        CAUTIOUS,
        |d| fuel(d, 80.0, 91.0) && water_alloy(d),
    ),
    rule("91 RON, air-cooled, open chamber", &[(RatioCeiling, 7.8)], CommonPractice, CAUTIOUS, |d| {
        fuel(d, 91.0, 95.0) && air(d)
    }),
    rule("91 RON, water-cooled, iron head", &[(RatioCeiling, 8.8)], CommonPractice, CAUTIOUS, |d| {
        fuel(d, 91.0, 95.0) && water_iron(d)
    }),
    rule(
        "91 RON, water-cooled, alloy head, working squish",
        &[(RatioCeiling, 9.8)],
        CommonPractice,
        CAUTIOUS,
        |d| fuel(d, 91.0, 95.0) && water_alloy(d),
    ),
    rule("95 RON, air-cooled, open chamber", &[(RatioCeiling, 8.5)], CommonPractice, CAUTIOUS, |d| {
        fuel(d, 95.0, 98.0) && air(d)
    }),
    rule("95 RON, water-cooled, iron head", &[(RatioCeiling, 9.3)], CommonPractice, CAUTIOUS, |d| {
        fuel(d, 95.0, 98.0) && water_iron(d)
    }),
    rule(
        "95 RON, water-cooled, alloy head, working squish",
        &[(RatioCeiling, 10.3)],
        CommonPractice,
        CAUTIOUS,
        |d| fuel(d, 95.0, 98.0) && water_alloy(d),
    ),
    rule("98 RON, air-cooled, open chamber", &[(RatioCeiling, 9.2)], CommonPractice, CAUTIOUS, |d| {
        fuel(d, 98.0, 130.0) && air(d)
    }),
    rule("98 RON, water-cooled, iron head", &[(RatioCeiling, 9.8)], CommonPractice, CAUTIOUS, |d| {
        fuel(d, 98.0, 130.0) && water_iron(d)
    }),
    rule(
        "98 RON, water-cooled, alloy head, working squish",
        &[(RatioCeiling, 11.0)],
        CommonPractice,
        CAUTIOUS,
        |d| fuel(d, 98.0, 130.0) && water_alloy(d),
    ),
    rule("diesel, direct injection", &[(RatioCeiling, 18.0)], FromMemory, "", |d| {
        d.ignition == Ignition::DieselDirect
    }),
    rule("diesel, injected beside the cylinder", &[(RatioCeiling, 23.0)], FromMemory, "", |d| {
        d.ignition == Ignition::DieselIndirect
    }),
    rule(
        "two-stroke with squish, trapped ratio",
        &[(EffectiveCeiling, 7.5)],
        CommonPractice,
        "6.5 without squish",
        |d| d.cycle == Cycle::TwoStroke && d.ignition == Ignition::Spark,
    ),
    // Matching.
    rule(
        "static ratio around the wanted one",
        &[(RatioTolerance, 0.15)],
        CommonPractice,
        "the burette alone is worth about 0.05",
        |_| true,
    ),
    rule("static ratio between cylinders", &[(RatioSpread, 0.2)], CommonPractice, "aim at 0.1", |_| true),
    rule("chamber volumes in one engine, competition", &[(ChamberSpread, 0.5)], CommonPractice, "", |d| {
        d.usage == Usage::Race
    }),
    rule("chamber volumes in one engine", &[(ChamberSpread, 1.0)], CommonPractice, "", |_| true),
    // Piston and valve.
    rule(
        "petrol, aluminium rods",
        &[(IntakeValveMin, 2.75), (ExhaustValveMin, 3.25)],
        FromMemory,
        "0.75 more than with steel rods",
        |d| d.is_petrol_four_stroke() && d.rods == RodMaterial::Aluminium,
    ),
    rule(
        "petrol, steel rods",
        &[(IntakeValveMin, 2.0), (ExhaustValveMin, 2.5)],
        CommonPractice,
        "",
        Build::is_petrol_four_stroke,
    ),
    rule(
        "racing single",
        &[(IntakeValveMin, 1.5), (ExhaustValveMin, 2.3)],
        CommonPractice,
        "one tuner's figures: a hint",
        |_| false,
    ),
    // Mean piston speed: a check of sense, not a cliff.
    rule(
        "stationary",
        &[(PistonSpeed, 10.0)],
        CommonPractice,
        "antique engines 2 to 5, industrial diesels 6 to 10",
        |d| d.usage == Usage::Stationary,
    ),
    rule("road", &[(PistonSpeed, 18.0)], CommonPractice, "about 20 is the end for cast pistons", |d| {
        d.usage == Usage::Road
    }),
    rule("competition, forged pistons", &[(PistonSpeed, 25.0)], CommonPractice, "", |d| {
        d.usage == Usage::Race
    }),
    // Stacks.
    rule("pieces under a barrel", &[(PiecesMax, 2.0)], CommonPractice, "one is best", |d| {
        d.construction == Construction::Barrels && d.cycle == Cycle::FourStroke
    }),
    rule(
        "base gaskets from a ladder that is sold for stacking",
        &[(PiecesMax, 3.0)],
        Maker,
        "a workshop manual",
        |d| d.construction == Construction::Barrels && d.cycle == Cycle::TwoStroke,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::limit::Limits;

    #[test]
    fn the_proposal_follows_construction_fuel_and_cooling() {
        let value = |build: &Build, id| proposed_value(id, build);
        let block = Build {
            construction: Construction::Block,
            cooling: Some(Cooling::Water),
            head: Some(HeadMaterial::Iron),
            fuel_ron: Some(91.0),
            ..Build::default()
        };
        assert_eq!(value(&block, SquishMin), Some(0.90));
        assert_eq!(value(&block, RatioCeiling), Some(8.8));
        assert_eq!(value(&block, Level), Some(0.08));
        let two_stroke = Build { cycle: Cycle::TwoStroke, cooling: Some(Cooling::Water), ..Build::default() };
        assert_eq!(value(&two_stroke, SquishMin), Some(0.8));
        assert_eq!(value(&two_stroke, EffectiveCeiling), Some(7.5));
        assert_eq!(value(&two_stroke, IntakeValveMin), None);
        assert_eq!(value(&Build::default(), RatioCeiling), None, "no fuel, no ceiling");
    }

    /// An octane number between two rows takes the lower one.
    #[test]
    fn the_fuel_table_is_read_on_the_cautious_side() {
        for (ron, high) in
            [(79.0, None), (87.0, Some(7.2)), (94.9, Some(7.8)), (95.0, Some(8.5)), (100.0, Some(9.2))]
        {
            let build = Build { fuel_ron: Some(ron), cooling: Some(Cooling::Air), ..Build::default() };
            assert_eq!(proposed_value(RatioCeiling, &build), high, "{ron} RON");
        }
    }

    #[test]
    fn every_rule_holds_together_and_a_published_one_names_its_source() {
        for rule in RULES {
            assert!(!rule.limits.is_empty() && rule.limits.iter().all(|(_, v)| *v > 0.0), "{}", rule.case);
            let value = |id| rule.value(id);
            if let (Some(low), Some(high)) = (value(SquishMin), value(SquishMax)) {
                assert!(low < high, "{}", rule.case);
            }
            assert!(rule.support != Published || !rule.source.is_empty(), "{}", rule.case);
        }
    }

    /// What is proposed can be taken: as it is told, and with its support.
    #[test]
    fn every_proposal_is_taken_as_it_stands() {
        for rule in RULES {
            for &(id, value) in rule.limits {
                let text = rule.text(id).unwrap();
                let mut limits = Limits::new();
                limits.give(id, Some(&text)).unwrap();
                assert_eq!(limits.value(id), Some(value), "{}", rule.case);
                assert_eq!(limits.text(id), Some(text.clone()), "{}", rule.case);
                assert_eq!(Support::of(&text.source), rule.support, "{}", rule.case);
            }
        }
    }
}
