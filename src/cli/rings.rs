//! `crowndeck rings`.

use super::args::RingsArgs;
use super::failure::Failure;
use super::input::load;
use super::json;
use super::json_rings as j;
use super::output::{TextTable, print};
use crate::advise::rings::{
    RingAnswer, RingStudy, SCHOOLS, Verdict, WhichRing, back_sentence, clock, second_sentence, side_sentence,
};
use crate::project::Project;
use crate::quantity::{Kind, UnitChoice, write};
use crate::schema::{RingLayout, Temperatures};

/// A project with the answers about its rings.
pub(super) struct Rings {
    /// The document.
    pub project: Project,
    /// The answers.
    pub study: RingStudy,
}

/// Answers `rings`.
///
/// # Errors
/// Faults of the file, or of what it says about rings.
pub(super) fn run(args: &RingsArgs) -> Result<(), Failure> {
    let project = load(&args.project)?;
    let heat = match (args.ring_temperature, args.bore_temperature) {
        (Some(ring), Some(bore)) => Some(Temperatures { ring, bore, measured_at: args.measured_at }),
        _ => project.ring_layout.heat,
    };
    let rings = Rings::of(project, heat)?;
    let text = if args.json { json::text(&j::RingsObject::of(&rings))? } else { rings.text() };
    print(&text)
}

impl Rings {
    fn of(project: Project, heat: Option<Temperatures>) -> Result<Self, Failure> {
        let study = project.ring_study_with(&RingLayout { heat, ..project.ring_layout.clone() });
        if study.faults.is_empty() {
            Ok(Self { project, study })
        } else {
            let sentences = study.faults.iter().map(|fault| fault.sentence(&project.units));
            Err(Failure::Engine(sentences.collect()))
        }
    }

    fn text(&self) -> String {
        let units = &self.project.units;
        let mut text = format!("{}\n", self.project.title);
        if self.study.rings.is_empty() {
            text.push_str("\nNo ring is entered: name the rings of one piston, from the top, with the gap that is wanted.\n");
        }
        for (index, answer) in self.study.rings.iter().enumerate() {
            text.push_str(&self.ring(index, answer, units));
        }
        if self.study.rings.len() > 1 {
            text.push_str("\nThe second ring: two schools\n");
            for school in &SCHOOLS {
                text.push_str(&format!("  {} ({}): {}\n", school.name, school.source, school.why));
            }
        }
        text.push_str(&self.positions());
        text.push_str("\nCautions\n");
        for caution in &self.study.cautions {
            text.push_str(&format!("  {}\n", caution.text));
        }
        text
    }

    fn ring(&self, index: usize, answer: &RingAnswer, units: &UnitChoice) -> String {
        let (Some(ring), Some(input)) = (self.project.rings.get(index), self.study.asked.rings.get(index))
        else {
            return String::new();
        };
        let material = if ring.material.is_empty() { String::new() } else { format!(", {}", ring.material) };
        let mut text = format!("\n{}{material}: {} ({})\n", ring.name, input.wanted.rule(units), ring.source);
        if let Some(side) = &ring.side_clearance
            && let Some((row, _)) = self.study.asked.side(index, side.base(), self.study.diesel)
        {
            text.push_str(&format!("{}\n", side_sentence(side.base(), row, units)));
        }
        if let Some(back) = &ring.back_clearance {
            text.push_str(&format!("{}\n", back_sentence(back.base(), units)));
        }
        let heading = |name: &str| format!(">{name}, {}", units.unit(Kind::Length).symbol());
        let mut headings = vec!["Cylinder".to_owned()];
        headings.extend(["Bore", "Wanted", "Delivered", "Filed", "Final", "To file"].map(heading));
        if self.study.heat.is_some() {
            headings.extend(["Hot", "Closes at"].map(heading));
        }
        headings.push("  ".to_owned());
        let mut table = TextTable::new(headings.iter().map(String::as_str));
        for gap in &answer.gaps {
            let to_file = match gap.verdict {
                Verdict::File { remove_mm, .. } => Some(remove_mm),
                _ => None,
            };
            let stages = [gap.stages.delivered_mm, gap.stages.filed_mm, gap.stages.final_mm];
            let mut cells = vec![gap.cylinder.clone()];
            cells.extend([Some(gap.bore_mm), Some(gap.wanted_mm)].map(|mm| number(mm, units)));
            cells.extend(stages.map(|mm| number(mm, units)));
            cells.push(number(to_file, units));
            if self.study.heat.is_some() {
                let hot = gap.hot;
                let closes = hot.map(|hot| hot.closes_at_mm.max(0.0));
                cells.extend(
                    [hot.map(|hot| hot.gap_mm.unwrap_or(hot.wanted_mm)), closes].map(|mm| number(mm, units)),
                );
            }
            cells.push(gap.sentence(units));
            table.row(cells);
        }
        text.push_str(&table.text());
        for gap in &answer.gaps {
            if let Some(elsewhere) = gap.elsewhere(units) {
                text.push_str(&format!("Cylinder {}: {elsewhere}\n", gap.cylinder));
            }
        }
        if self.study.asked.which.get(index) == Some(&WhichRing::Second)
            && let (Some(top), Some(second)) = (self.study.rings.first(), answer.gaps.first())
            && let Some(top) = top.gaps.first()
        {
            let words = second_sentence(top.wanted_mm, second.wanted_mm, second.bore_mm, units);
            text.push_str(&format!("{words}\n"));
        }
        if self.study.heat.is_some() && answer.gaps.iter().any(|gap| gap.hot.is_none()) {
            text.push_str("Hot: name the metals of ring and barrel in words that a handbook knows, such as grey cast iron.\n");
        }
        text
    }

    fn positions(&self) -> String {
        let (asked, places) = (&self.study.asked, &self.study.places);
        let mut text = String::new();
        if asked.pegged.iter().zip(&asked.pegs).any(|(pegged, peg)| *pegged && peg.is_none()) {
            text.push_str(
                "\nA ring is pegged: its peg says where its gap stands. See that no ring end runs over a port.\n",
            );
        }
        if places.is_empty() {
            return text;
        }
        text.push_str("\nWhere the gaps start, clockwise from the front end of the pin, seen from above\n");
        let mut table = TextTable::new(["Gap", ">Degrees", ">Clock"]);
        for place in places {
            let name =
                if place.pegged { format!("{}, pegged", place.role.name()) } else { place.role.name() };
            table.row([name, format!("{:.0}°", place.angle_deg), clock(place.angle_deg)]);
        }
        text.push_str(&table.text());
        for warning in &self.study.warnings {
            text.push_str(&format!("{}\n", warning.sentence()));
        }
        text
    }
}

fn number(mm: Option<f64>, units: &UnitChoice) -> String {
    mm.map_or_else(|| "–".to_owned(), |mm| write(Kind::Length, mm, None, units).number)
}
