//! `crowndeck rings`.

use super::args::RingsArgs;
use super::failure::Failure;
use super::input::load;
use super::json;
use super::json_rings as j;
use super::output::{Table, print};
use crate::project::Project;
use crate::quantity::{Kind, UnitChoice, write};
use crate::reading::evaluate;
use crate::study::build::Ignition;
use crate::study::cautions::{self, Decision};
use crate::study::rings::{
    Asked, Heat, Place, RingAnswer, SCHOOLS, Verdict, Warning, Zone, answers, ask, clock, warnings,
};

/// Everything about the rings of a project.
pub struct Rings {
    /// The document.
    pub project: Project,
    /// What was asked.
    pub asked: Asked,
    /// The answers, ring by ring.
    pub answers: Vec<RingAnswer>,
    /// Where the gaps start; none for pegged rings or none at all.
    pub start: Option<Vec<Place>>,
    /// What is wrong with these places.
    pub warnings: Vec<Warning>,
    /// The temperatures that the call assumes.
    pub hot: Option<Temperatures>,
    /// Whether it is a diesel, for the side clearance.
    pub diesel: bool,
    /// Cautions.
    pub cautions: Vec<&'static str>,
}

/// Temperatures that a call assumes, °C.
#[derive(Clone, Copy, Debug)]
pub struct Temperatures {
    /// Of the ring at work.
    pub ring: f64,
    /// Of the bore at work.
    pub bore: f64,
    /// At which the gaps were measured.
    pub measured_at: f64,
}

/// Answers `rings`.
///
/// # Errors
/// Faults of the file, or of what it says about rings.
pub fn run(args: &RingsArgs) -> Result<(), Failure> {
    let project = load(&args.project)?;
    let hot = match (args.ring_temperature, args.bore_temperature) {
        (Some(ring), Some(bore)) => Some(Temperatures { ring, bore, measured_at: args.measured_at }),
        _ => None,
    };
    let rings = Rings::of(project, hot)?;
    let text = if args.json { json::text(&j::RingsObject::of(&rings))? } else { rings.text() };
    print(&text)
}

impl Rings {
    fn of(project: Project, hot: Option<Temperatures>) -> Result<Self, Failure> {
        let question = project.question();
        let cylinders: Vec<_> = question.cylinders.iter().map(|c| (c.label.clone(), c.dims)).collect();
        // A doubt that overflows is none that can be told.
        let read = evaluate(&project.readings, &project.instruments).unwrap_or_default();
        let asked = ask(&project.rings, &cylinders, &project.engine.materials.barrel, &read);
        let heat = hot.map(|hot| Heat {
            ring_kelvin: hot.ring - hot.measured_at,
            bore_kelvin: hot.bore - hot.measured_at,
        });
        let answers = answers(&asked.rings, &asked.bores, heat)
            .map_err(|faults| Failure::Engine(faults.iter().map(|f| f.sentence(&project.units)).collect()))?;
        let zones = Zone::usual();
        let start = asked.start(&zones);
        let warnings = start.as_ref().map(|places| warnings(places, &zones)).unwrap_or_default();
        let cautions =
            cautions::beside(Decision::Rings, &question.build, None).iter().map(|c| c.text).collect();
        let diesel = question.build.ignition != Ignition::Spark;
        Ok(Self { project, asked, answers, start, warnings, hot, diesel, cautions })
    }

    fn text(&self) -> String {
        let units = &self.project.units;
        let mut text = format!("{}\n", self.project.title);
        if self.answers.is_empty() {
            text.push_str("\nNo ring is entered: name the rings of one piston, from the top, with the gap that is wanted.\n");
        }
        for (index, answer) in self.answers.iter().enumerate() {
            text.push_str(&self.ring(index, answer, units));
        }
        if self.answers.len() > 1 {
            text.push_str("\nThe second ring: two schools\n");
            for school in &SCHOOLS {
                text.push_str(&format!("  {} ({}): {}\n", school.name, school.source, school.why));
            }
        }
        text.push_str(&self.positions());
        text.push_str("\nCautions\n");
        for caution in &self.cautions {
            text.push_str(&format!("  {caution}\n"));
        }
        text
    }

    fn ring(&self, index: usize, answer: &RingAnswer, units: &UnitChoice) -> String {
        let (Some(ring), Some(input)) = (self.project.rings.get(index), self.asked.rings.get(index)) else {
            return String::new();
        };
        let material = if ring.material.is_empty() { String::new() } else { format!(", {}", ring.material) };
        let mut text = format!("\n{}{material}: {} ({})\n", ring.name, input.wanted.rule(units), ring.source);
        if let Some(side) = &ring.side_clearance
            && let Some((row, verdict)) = self.asked.side(index, side.base(), self.diesel)
        {
            let (low, high) = row.new_mm;
            text.push_str(&format!(
                "Side clearance {}, {}: new parts have {} to {} ({} worn out)\n",
                write(Kind::Length, side.base(), None, units),
                j::clearance_word(verdict),
                number(Some(low), units),
                write(Kind::Length, high, None, units),
                write(Kind::Length, row.worn_mm, None, units)
            ));
        }
        let heading = |name: &str| format!(">{name}, {}", units.unit(Kind::Length).symbol());
        let mut headings = vec!["Cylinder".to_owned()];
        headings.extend(["Bore", "Wanted", "Delivered", "Filed", "Final", "To file"].map(heading));
        if self.hot.is_some() {
            headings.extend(["Hot", "Closes at"].map(heading));
        }
        headings.push("  ".to_owned());
        let mut table = Table::new(headings.iter().map(String::as_str));
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
            if self.hot.is_some() {
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
        if self.hot.is_some() && answer.gaps.iter().any(|gap| gap.hot.is_none()) {
            text.push_str("Hot: name the metals of ring and barrel in words that a handbook knows, such as grey cast iron.\n");
        }
        text
    }

    fn positions(&self) -> String {
        let Some(places) = &self.start else {
            return if self.asked.pegged {
                "\nThe rings are pegged: their pegs say where the gaps stand. See that no ring end runs over a port.\n".to_owned()
            } else {
                String::new()
            };
        };
        let mut text =
            "\nWhere the gaps start, clockwise from the front end of the pin, seen from above\n".to_owned();
        let mut table = Table::new(["Gap", ">Degrees", ">Clock"]);
        for place in places {
            table.row([place.role.name(), format!("{:.0}°", place.angle_deg), clock(place.angle_deg)]);
        }
        text.push_str(&table.text());
        for warning in &self.warnings {
            text.push_str(&format!("{}\n", warning.sentence()));
        }
        text
    }
}

fn number(mm: Option<f64>, units: &UnitChoice) -> String {
    mm.map_or_else(|| "–".to_owned(), |mm| write(Kind::Length, mm, None, units).number)
}
