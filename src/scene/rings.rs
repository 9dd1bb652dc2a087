//! Makes the inputs of ring pictures from a document.

use crate::advise::rings::{GapAnswer, GapPlace, RingStudy, Role, Step, Warning, Zone, ZoneKind, clock};
use crate::drawing::rings::filing::{FilingInput, Stop};
use crate::drawing::rings::groove::{GrooveInput, Measure};
use crate::drawing::rings::plan::{Band, Dial, PlanGap, PlanInput, PlanZone, ZoneKind as Drawn};
use crate::engine::{Key, Provenance};
use crate::project::Project;
use crate::quantity::{Kind, Quantity, UnitChoice, write};
use crate::schema::bounds::MAX_DRAWN_MM;

/// Returns the plan of a cylinder's bore with the gaps of its piston; `None`
/// while the bore is not known or too large to draw.
#[must_use]
pub(crate) fn plan_input(
    project: &Project,
    study: &RingStudy,
    cylinder: usize,
    marked: Option<Role>,
    dial: Dial,
) -> Option<PlanInput> {
    let bore_mm = project.dims(cylinder)?.get(Key::Bore).filter(|mm| *mm > 0.0 && *mm <= MAX_DRAWN_MM)?;
    let bore = project.engine.entry(cylinder, Key::Bore);
    let index = |role: Role| study.places.iter().position(|place| place.role == role);
    let wrong = |role: Role| study.warnings.iter().any(|warning| concerns(warning, role));
    let turned = study.places.iter().any(|place| !place.pegged);
    Some(PlanInput {
        bore_mm,
        bore_text: format!("Ø{}", write(Kind::Length, bore_mm, None, &project.units).number),
        bore_measured: bore.is_some_and(|(entry, _)| entry.known == Provenance::Measured),
        gaps: study
            .places
            .iter()
            .map(|place| PlanGap {
                number: number(study, place),
                band: match place.role {
                    Role::UpperRail | Role::LowerRail => Band::Rail,
                    Role::Expander => Band::Expander,
                    Role::Compression(_) | Role::OilRing => Band::Ring,
                },
                angle_deg: place.angle_deg,
                pegged: place.pegged,
                marked: marked == Some(place.role),
                wrong: wrong(place.role),
            })
            .collect(),
        zones: study.zones.iter().map(|zone| drawn(zone, turned)).collect(),
        in_line: study
            .warnings
            .iter()
            .filter_map(|warning| match warning {
                Warning::InLine { upper, lower, .. } => Some((index(*upper)?, index(*lower)?)),
                Warning::On { .. } => None,
            })
            .collect(),
        dial,
    })
}

/// Returns the number of the ring that a gap belongs to, from the top, from 1.
#[must_use]
pub(crate) fn number(study: &RingStudy, place: &GapPlace) -> usize {
    let ring = study.asked.roles().into_iter().find(|(_, role)| *role == place.role);
    ring.map_or(0, |(ring, _)| ring + 1)
}

fn concerns(warning: &Warning, gap: Role) -> bool {
    match warning {
        Warning::InLine { upper, lower, .. } => *upper == gap || *lower == gap,
        Warning::On { role, .. } => *role == gap,
    }
}

/// Returns a zone as drawn. A gap that a peg holds has to keep off the ports
/// only.
fn drawn(zone: &Zone, turned: bool) -> PlanZone {
    let (name, kind) = match &zone.kind {
        ZoneKind::ThrustFace => ("thrust".to_owned(), Drawn::Thrust),
        ZoneKind::PinEnd if zone.at_deg < 90.0 => ("pin end, front".to_owned(), Drawn::PinEnd),
        ZoneKind::PinEnd => ("pin end, rear".to_owned(), Drawn::PinEnd),
        ZoneKind::Port(name) => (name.clone(), Drawn::Port),
    };
    let minded = turned || kind == Drawn::Port;
    PlanZone { name, kind, at_deg: zone.at_deg, half_width_deg: zone.half_width_deg, minded }
}

/// Returns the plan in words, for a reader who hears it.
#[must_use]
pub(crate) fn plan_words(study: &RingStudy) -> String {
    let gap = |place: &GapPlace| {
        let pegged = if place.pegged { ", pegged" } else { "" };
        format!("{} {:.0}°, {}{pegged}", place.role.name(), place.angle_deg, clock(place.angle_deg))
    };
    let gaps: Vec<String> = study.places.iter().map(gap).collect();
    let gaps = if gaps.is_empty() { "no place known".to_owned() } else { gaps.join("; ") };
    let warnings: String = study.warnings.iter().map(|warning| format!(" {}", warning.sentence())).collect();
    format!("Bore from above, clockwise from the front end of the pin. Gaps: {gaps}.{warnings}")
}

/// Returns a ring of the set in its groove; `None` where it is too large to
/// draw.
#[must_use]
pub(crate) fn groove_input(project: &Project, ring: usize, bore_mm: f64) -> Option<GrooveInput> {
    let ring = project.rings.get(ring)?;
    let measure = |value: &Option<Quantity>| measure(value.as_ref(), &project.units);
    let lengths = [&ring.height, &ring.thickness, &ring.side_clearance, &ring.back_clearance];
    let longest = lengths.into_iter().flatten().map(Quantity::base).fold(bore_mm, f64::max);
    if longest > MAX_DRAWN_MM {
        return None;
    }
    Some(GrooveInput {
        bore_mm,
        height: measure(&ring.height),
        thickness: measure(&ring.thickness),
        side: measure(&ring.side_clearance),
        back: measure(&ring.back_clearance),
    })
}

/// Returns the filing of a gap, with the words for each stop; `None` where it
/// needs none.
#[must_use]
pub(crate) fn filing_input(gap: &GapAnswer, units: &UnitChoice) -> Option<FilingInput> {
    let (_, now_mm) = gap.now?;
    if now_mm > MAX_DRAWN_MM {
        return None;
    }
    let steps = gap.steps();
    let last = steps.len().checked_sub(1)?;
    let stop = |mm: f64, words: &str| Stop {
        mm,
        text: format!("{} {words}", write(Kind::Length, mm, None, units).number),
    };
    let of_step = |(i, step): (usize, &Step)| {
        let words = if i == last { "wanted, never past" } else { "stop and measure" };
        stop(step.stop_at_mm, words)
    };
    Some(FilingInput { now: stop(now_mm, "now"), stops: steps.iter().enumerate().map(of_step).collect() })
}

/// Returns the filing in words, for a reader who hears it.
#[must_use]
pub(crate) fn filing_words(input: &FilingInput) -> String {
    let stops: Vec<&str> =
        std::iter::once(&input.now).chain(&input.stops).map(|stop| stop.text.as_str()).collect();
    format!(
        "The ends of the ring, magnified. File one end, in one direction, from the outer face inward: {}.",
        stops.join("; ")
    )
}

fn measure(value: Option<&Quantity>, units: &UnitChoice) -> Measure {
    let mm = value.map(Quantity::base);
    let text = mm.map(|mm| write(Kind::Length, mm, None, units).number);
    Measure { mm, text: text.unwrap_or_default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::demos;

    #[test]
    fn every_demo_with_rings_has_its_plan_and_its_numbers() {
        for demo in demos() {
            let project = demo.project().unwrap();
            let study = project.ring_study();
            let plan = plan_input(&project, &study, 0, None, Dial::Clock).unwrap();
            assert_eq!(plan.gaps.len(), study.places.len());
            assert!(plan.gaps.iter().all(|gap| gap.number >= 1 && gap.number <= project.rings.len()));
            assert!(plan.in_line.is_empty(), "the demos stand by the rule");
            assert!(plan_words(&study).contains("front end of the pin"));
        }
    }
}
