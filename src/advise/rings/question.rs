//! Makes the question from the rings of a project.

use super::answer::{Bore, RingInput, Stages};
use super::clearance::{Clearance, ClearanceVerdict, SIDE, side_clearance};
use super::gap::{GapRule, WhichRing};
use super::material::Material;
use super::stagger::Oil;
use crate::engine::{Dims, Key};
use crate::quantity::Quantity;
use crate::reading::{Evaluation, Instrument, Reading, Subject, evaluate};
use crate::schema::{FittedRing, Ring, WantedGap};

/// The rings of a project, ready to be answered.
#[derive(Clone, Debug, PartialEq)]
pub struct RingQuestion {
    /// The rings.
    pub rings: Vec<RingInput>,
    /// The position of each in the set.
    pub which: Vec<WhichRing>,
    /// The bores.
    pub bores: Vec<Bore>,
    /// The oil ring as far as its words say.
    pub oil: Oil,
    /// Whether a peg holds each ring: its words say so, or the angle of its peg
    /// is given.
    pub pegged: Vec<bool>,
    /// The angle of the peg of each ring where it is given, degrees from the
    /// front end of the pin.
    pub pegs: Vec<Option<f64>>,
}

/// Gathers rings, bores and readings. `cylinders` are (label, dimensions);
/// `barrel` is the material of the barrels, in the user's words. A gap that was
/// read and not written down with its ring counts as delivered; one that is
/// written there has the uncertainty of the instrument named with it.
#[must_use]
pub(crate) fn ask(
    rings: &[Ring],
    cylinders: &[(String, Dims)],
    barrel: &str,
    read: &[Evaluation],
    instruments: &[Instrument],
) -> RingQuestion {
    let of_bore = Material::in_words(barrel).map(|material| material.per_kelvin);
    let bores = cylinders.iter().map(|(label, dims)| Bore {
        cylinder: label.clone(),
        mm: dims.get(Key::Bore),
        per_kelvin: of_bore,
    });
    let says = |ring: &Ring, word: &str| {
        ring.name.to_lowercase().contains(word) || ring.material.to_lowercase().contains(word)
    };
    let is_oil = |ring: &Ring| ["oil", "rail", "scraper", "expander"].iter().any(|word| says(ring, word));
    let oil = match rings.iter().find(|ring| is_oil(ring)) {
        None => Oil::None,
        Some(ring) if says(ring, "rail") && !says(ring, "one-piece") && !says(ring, "slotted") => {
            Oil::ThreePiece
        }
        Some(_) => Oil::OnePiece,
    };
    let mut compression = 0;
    let which = rings.iter().map(|ring| {
        if is_oil(ring) {
            return WhichRing::Oil;
        }
        compression += 1;
        if compression == 1 { WhichRing::Top } else { WhichRing::Second }
    });
    RingQuestion {
        which: which.collect(),
        rings: rings.iter().map(|ring| input(ring, cylinders, read, instruments)).collect(),
        bores: bores.collect(),
        oil,
        pegged: rings.iter().map(|ring| ring.peg.is_some() || says(ring, "peg")).collect(),
        pegs: rings.iter().map(|ring| ring.peg.as_ref().map(Quantity::base)).collect(),
    }
}

fn input(
    ring: &Ring,
    cylinders: &[(String, Dims)],
    read: &[Evaluation],
    instruments: &[Instrument],
) -> RingInput {
    let mm = |quantity: &Option<Quantity>| quantity.as_ref().map(Quantity::base);
    let mut stages: Vec<Stages> = ring
        .fitted
        .iter()
        .map(|fitted| Stages {
            cylinder: fitted.cylinder.clone(),
            delivered_mm: mm(&fitted.delivered),
            filed_mm: mm(&fitted.filed),
            final_mm: mm(&fitted.fitted),
            read_where_mm: mm(&fitted.read_where),
            doubt_mm: doubt(ring, fitted, instruments),
        })
        .collect();
    for (label, _) in cylinders {
        let gap = read.iter().filter(|evaluation| evaluation.cylinder == *label).find_map(|evaluation| {
            let of_this = matches!(&evaluation.of, Subject::RingGap(name) if *name == ring.name);
            evaluation.estimate.as_ref().filter(|_| of_this)
        });
        let Some(gap) = gap else { continue };
        match stages.iter_mut().find(|stages| stages.cylinder == *label) {
            Some(stages) if stages.delivered_mm.is_some() => {}
            Some(stages) => stages.delivered_mm = Some(gap.value),
            None => stages.push(Stages {
                cylinder: label.clone(),
                delivered_mm: Some(gap.value),
                doubt_mm: Some(gap.uncertainty().expanded()).filter(|doubt| doubt.is_finite()),
                ..Stages::default()
            }),
        }
    }
    RingInput {
        name: ring.name.clone(),
        wanted: match &ring.wanted {
            WantedGap::PerBore(factor) => GapRule::PerBore(*factor),
            WantedGap::AtLeast(gap) => GapRule::AtLeast(gap.base()),
            WantedGap::Figure(gap) => GapRule::Figure(gap.base()),
        },
        sold_mm: mm(&ring.supplied_gap),
        per_kelvin: Material::in_words(&ring.material).map(|material| material.per_kelvin),
        stages,
    }
}

/// Returns the uncertainty of gaps that were read once each with a known
/// instrument, mm, for 95 %: that of its step and its repeatability.
fn doubt(ring: &Ring, fitted: &FittedRing, instruments: &[Instrument]) -> Option<f64> {
    let value = [&fitted.fitted, &fitted.filed, &fitted.delivered].into_iter().flatten().next()?;
    let reading = Reading {
        cylinder: fitted.cylinder.clone(),
        of: Subject::RingGap(ring.name.clone()),
        place: None,
        instrument: Some(fitted.instrument.clone()?),
        values: vec![value.clone().into()],
        state: None,
        shim: None,
        date: String::new(),
        note: String::new(),
    };
    let evaluations = evaluate(&[reading], instruments).ok()?;
    let estimate = evaluations.first()?.estimate.as_ref()?;
    Some(estimate.uncertainty().expanded()).filter(|doubt| doubt.is_finite() && *doubt > 0.0)
}

impl RingQuestion {
    /// Judges the side clearance of a ring by the row for its position and
    /// engine.
    #[must_use]
    pub fn side(&self, ring: usize, mm: f64, diesel: bool) -> Option<(&'static Clearance, ClearanceVerdict)> {
        let which = *self.which.get(ring)?;
        let fits = |row: &&Clearance| {
            row.ring == which && (row.engine == "all" || (row.engine == "diesel") == diesel)
        };
        let row = SIDE.iter().find(fits)?;
        Some((row, side_clearance(mm, row)))
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::answer::answers;
    use super::super::filing::Verdict;
    use super::super::stagger::{Role, Zone, warnings};
    use super::*;
    use crate::schema::RingLayout;

    /// Returns the question of these rings in one bore of 86 mm.
    pub(in super::super) fn asked(rings: &[Ring]) -> RingQuestion {
        let cylinders = [("1".to_owned(), Dims::new().with(Key::Bore, 86.0))];
        ask(rings, &cylinders, "aluminium, iron liner", &[], &[])
    }

    pub(in super::super) fn ring(name: &str, material: &str, wanted: WantedGap) -> Ring {
        let text = format!("(name: \"{name}\", material: \"{material}\", wanted: per_bore(0.004))");
        Ring { wanted, ..ron::from_str(&text).expect("a ring") }
    }

    fn mm(text: &str) -> Quantity {
        Quantity::parse(crate::quantity::Kind::Length, text).expect("a length")
    }

    #[test]
    fn the_words_of_a_set_tell_which_ring_is_which() {
        let rings = [
            ring("top", "chromed steel", WantedGap::PerBore(0.0045)),
            ring("second", "grey cast iron", WantedGap::PerBore(0.005)),
            ring("oil rail", "steel rails", WantedGap::AtLeast(mm("0.38 mm"))),
        ];
        let set = asked(&rings);
        assert_eq!(set.which, [WhichRing::Top, WhichRing::Second, WhichRing::Oil]);
        assert_eq!((set.oil, set.pegged.as_slice()), (Oil::ThreePiece, [false; 3].as_slice()));
        assert_eq!(set.bores[0].per_kelvin, Some(11.4e-6));
        let places = set.places(&RingLayout::default(), &Zone::usual());
        assert_eq!(places.len(), 5);
        assert!(
            places.iter().any(|p| p.role == Role::Compression(2))
                && warnings(&places, &Zone::usual()).is_empty()
        );
        assert_eq!(set.side(0, 0.05, false).map(|(_, verdict)| verdict), Some(ClearanceVerdict::Inside));
        assert_eq!(set.side(0, 0.05, true).map(|(_, verdict)| verdict), Some(ClearanceVerdict::Tight));
        let one_piece = [ring("oil rail", "one-piece cast iron", WantedGap::AtLeast(mm("0.25 mm")))];
        assert_eq!(asked(&one_piece).oil, Oil::OnePiece);
        let pegged = [ring("top", "chromed steel, pegged", WantedGap::PerBore(0.005))];
        assert_eq!(asked(&pegged).pegged, [true]);
    }

    #[test]
    fn what_was_read_counts_where_nothing_was_written_beside_the_ring() {
        let mut top = ring("top", "", WantedGap::Figure(mm("0.40 mm")));
        let fitted = |cylinder: &str, gap: &str| FittedRing {
            cylinder: cylinder.into(),
            delivered: Some(mm(gap)),
            filed: None,
            fitted: None,
            instrument: None,
            read_where: None,
            depth: None,
        };
        top.fitted.push(fitted("1", "0.40 mm"));
        let cylinders = ["1", "2", "3"].map(|label| (label.to_owned(), Dims::new().with(Key::Bore, 86.0)));
        let reading = |cylinder: &str, gap: &str| {
            let text = format!("(cylinder: \"{cylinder}\", of: ring_gap(\"top\"), values: [\"{gap}\"])");
            ron::from_str(&text).expect("a reading")
        };
        let read = [reading("1", "0.20 mm"), reading("2", "0.30 mm")];
        let evaluations = evaluate(&read, &[]).expect("readings");
        let asked = ask(&[top], &cylinders, "", &evaluations, &[]);
        let answers = answers(&asked.rings, &asked.bores, None).expect("sound rings");
        let verdicts: Vec<_> = answers[0].gaps.iter().map(|gap| gap.verdict).collect();
        assert!(matches!(verdicts[0], Verdict::Leave { .. }), "{verdicts:?}");
        assert!(matches!(verdicts[1], Verdict::File { remove_mm, .. } if (remove_mm - 0.1).abs() < 1e-12));
        assert_eq!(verdicts[2], Verdict::Unmeasured);
    }
}
