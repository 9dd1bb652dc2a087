//! From a project and its answers to what the section page says.

use super::draft::FactRow;
use super::paper::{Paper, Stamp};
use super::section_page::SectionPage;
use super::title_block::TitleBlock;
use crate::drawing::input::SectionInput;
use crate::drawing::page::Document;
use crate::drawing::parts;
use crate::drawing::pens::Pens;
use crate::drawing::pictures::{Pictures, pictures};
use crate::engine::solid::SolidFault;
use crate::engine::{Fault, Key, Provenance};
use crate::project::Project;
use crate::quantity::{Kind, UnitChoice, write};
use crate::report::Context;
use crate::report::section::{Note, Weight};
use crate::report::wording::{doubted, gap, ratio, typed, volume, volume_decimals, word};
use crate::scene::cylinder::{measured, parts_input};
use crate::study::cautions::{self, Decision};
use crate::study::{Answers, ExpandedUncertainty, Judgement, Question, Solved, Verdict, words};

/// Why the page of a cylinder can't be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(crate) enum SheetError {
    /// The project has no such cylinder.
    #[error("the project has no cylinder number {0}")]
    NoCylinder(usize),
    /// The cylinder can't exist.
    #[error("cylinder {cylinder} can't be drawn: {}", faults.iter().map(Fault::to_string).collect::<Vec<_>>().join("; "))]
    Impossible {
        /// Its label.
        cylinder: String,
        /// All reasons.
        faults: Vec<Fault>,
    },
    /// Chamber or crown can't be drawn at all.
    #[error("cylinder {cylinder} can't be drawn: {fault}")]
    Shape {
        /// Its label.
        cylinder: String,
        /// The reason.
        fault: SolidFault,
    },
}

/// The cylinder that needs looking at most: the worst under the worst head;
/// the first where there are no heads.
#[must_use]
pub fn worst_cylinder(answers: &Answers) -> usize {
    let head = answers.worst_first.first().and_then(|&head| answers.heads.get(head));
    head.and_then(|head| head.cylinders.first()).copied().unwrap_or(0)
}

/// The section page of one cylinder at one crank angle.
///
/// # Errors
/// When there is no such cylinder or it can't exist.
pub(crate) fn cylinder_page(
    context: &Context<'_>,
    paper: Paper,
    stamp: &Stamp,
) -> Result<Document, SheetError> {
    let imprint = TitleBlock::of(context.project, paper, stamp);
    with_section_page(context, imprint, |page| page.document())
}

/// Does something with the section page of one cylinder, which borrows the
/// parts that it draws.
pub(super) fn with_section_page<R>(
    context: &Context<'_>,
    imprint: TitleBlock,
    then: impl FnOnce(&SectionPage<'_>) -> R,
) -> Result<R, SheetError> {
    let Context { project, question, answers, units, cylinder, crank_deg } = *context;
    let (Some(answer), Some(input)) = (answers.cylinders.get(cylinder), question.cylinders.get(cylinder))
    else {
        return Err(SheetError::NoCylinder(cylinder.saturating_add(1)));
    };
    let label = || input.label.clone();
    let solved = answer
        .result
        .as_ref()
        .map_err(|faults| SheetError::Impossible { cylinder: label(), faults: faults.clone() })?;
    let (parts, shape_faults) = parts_input(&project.engine, &solved.engine)
        .map_err(|fault| SheetError::Shape { cylinder: label(), fault })?;
    let measured = measured(&project.engine, cylinder);
    let draw = |scale: f64, details: f64| {
        let doubt_mm = input.doubt.deck_clearance;
        let angle_deg = crank_deg;
        let input = SectionInput { units, doubt_mm, angle_deg, ..SectionInput::new(&parts, measured) };
        let mut pens = Pens::PAPER;
        pens.letter = pens.gap;
        pens.circle_rim *= details;
        pens.circle_foot *= details;
        let whole = pictures(&input, scale, &pens);
        // A smaller circle needs smaller letters inside.
        for letters in [&mut pens.dimension, &mut pens.caption] {
            letters.size *= details;
        }
        Pictures { section: whole.section, ..pictures(&input, scale, &pens) }
    };
    let teller = Teller { project, question, answers, cylinder, solved, units };
    Ok(then(&SectionPage {
        imprint,
        cylinder: label(),
        crank_deg,
        figures: teller.figures(),
        terms: teller.terms(),
        dimensions: teller.dimensions(),
        cautions: teller.cautions(&shape_faults),
        size: parts::parts(&parts, 0.0).standing_still().datums.bounds().size(),
        draw: &draw,
    }))
}

/// Puts the answers for one cylinder into words.
struct Teller<'a> {
    project: &'a Project,
    question: &'a Question,
    answers: &'a Answers,
    cylinder: usize,
    solved: &'a Solved,
    units: UnitChoice,
}

impl Teller<'_> {
    fn doubt(&self) -> ExpandedUncertainty {
        self.question.cylinders.get(self.cylinder).map(|input| input.doubt).unwrap_or_default()
    }

    fn known(&self, key: Key) -> Provenance {
        self.project.known(self.cylinder, key).unwrap_or_default()
    }

    fn figures(&self) -> Vec<FactRow> {
        let (units, doubt) = (&self.units, self.doubt());
        let engine = &self.solved.engine;
        let f = engine.figures();
        let given = |key| engine.dims().get(key);
        let row = |name: &str, value: String, note: String| FactRow {
            name: name.to_owned(),
            value,
            note,
            ..FactRow::default()
        };
        let plain = |name: &str, kind, base| {
            let value = match kind {
                Kind::Volume => volume(base, None, units).0,
                kind => write(kind, base, None, units).to_string(),
            };
            row(name, value, String::new())
        };
        let (deck, deck_doubt) = gap(f.deck_clearance, doubt.deck_clearance, units);
        let route = if given(Key::MockupDeck).is_some() { "as read" } else { "from the chain" };
        let deck_note = if deck_doubt.is_empty() { route.to_owned() } else { deck_doubt };
        let (squish, squish_note) = doubted(Kind::Length, f.squish_clearance, doubt.squish_clearance, units);
        let (clearance, clearance_note) = volume(f.clearance_volume, doubt.clearance_volume, units);
        let (static_ratio, static_note) = ratio(f.static_ratio, doubt.static_ratio);
        let wanted = self.question.target.map(|t| format!("wanted {}", words::plain(t.get(), 2)));
        let mut rows = vec![
            row("Deck clearance", deck, deck_note),
            row("Squish", squish, squish_note),
            row(
                "Static ratio",
                static_ratio,
                if static_note.is_empty() { wanted.unwrap_or_default() } else { static_note },
            ),
        ];
        if let Some(effective) = f.effective_ratio {
            let (value, note) = ratio(effective, doubt.effective_ratio);
            let name = match (given(Key::PortClosing), given(Key::IntakeClosing)) {
                (Some(deg), _) => {
                    format!("Trapped ratio, port shut at {}", write(Kind::Angle, deg, Some(0), units))
                }
                (None, Some(deg)) => {
                    format!("At intake closing, {}", write(Kind::Angle, deg, Some(0), units))
                }
                (None, None) => "Effective ratio".to_owned(),
            };
            rows.push(row(&name, value, note));
        }
        rows.push(plain("Swept volume", Kind::Volume, f.swept));
        rows.push(row("Clearance volume", clearance, clearance_note));
        rows.push(plain("True stroke", Kind::Length, f.crank.true_stroke()));
        rows.push(row("Rod to stroke", words::plain(f.rod_ratio, 2), String::new()));
        if let Some(level) = self.head_judged() {
            rows.push(row(
                &format!("Level, head {}", self.head_label()),
                level.value_text(units),
                String::new(),
            ));
        }
        rows
    }

    fn head(&self) -> Option<usize> {
        self.question.cylinders.get(self.cylinder).map(|input| input.head)
    }

    fn head_label(&self) -> &str {
        self.head().and_then(|head| self.question.heads.get(head)).map_or("", |head| head.label.as_str())
    }

    fn head_judged(&self) -> Option<&Judgement> {
        self.answers.heads.get(self.head()?)?.judged.as_ref()
    }

    /// The terms that count, with their sign, and what is left.
    fn terms(&self) -> Vec<FactRow> {
        let units = &self.units;
        let engine = &self.solved.engine;
        let c = &engine.figures().clearance;
        let decimals = Some(volume_decimals(engine.figures().clearance_volume, units));
        let cc = |value: f64| write(Kind::Volume, value, decimals, units);
        let signed = |value: f64| {
            let number = cc(value).number;
            let is_zero = number.chars().all(|c| matches!(c, '0' | '.'));
            if value > 0.0 && !is_zero { format!("+{number}") } else { number }
        };
        let by = |keys: &[Key]| keys.iter().map(|&key| self.known(key)).max().unwrap_or_default();
        let terms: [(&str, f64, &[Key]); 6] = [
            ("Chamber, under a plate", c.chamber, &[Key::ChamberVolume]),
            ("Deck", c.deck, &[]),
            ("Head gasket", c.gasket, &[Key::GasketThickness, Key::GasketBore]),
            (if c.crown < 0.0 { "Dome" } else { "Dish" }, c.crown, &[Key::CrownVolume]),
            ("Valve pockets", c.pockets, &[Key::PocketVolume]),
            ("Beside the top land", c.top_land, &[Key::TopLandHeight, Key::TopLandDiameter]),
        ];
        let mut rows: Vec<FactRow> = terms
            .into_iter()
            .filter(|(_, value, keys)| *value != 0.0 || keys.len() < 2 && keys.contains(&Key::ChamberVolume))
            .map(|(name, value, keys)| {
                let known = by(keys);
                let note = if keys.is_empty() { "from the gap" } else { word(known) };
                let light = !keys.is_empty() && known != Provenance::Measured;
                FactRow {
                    name: name.to_owned(),
                    value: signed(value),
                    note: note.to_owned(),
                    light,
                    ..FactRow::default()
                }
            })
            .collect();
        let left = cc(engine.figures().clearance_volume).to_string();
        rows.push(FactRow { name: "Clearance volume".to_owned(), value: left, ..FactRow::default() });
        rows
    }

    /// The dimensions that were given, as they were typed.
    fn dimensions(&self) -> Vec<FactRow> {
        let rows = Key::all().filter_map(|key| {
            let (entry, _) = self.project.engine.entry(self.cylinder, key)?;
            Some(FactRow {
                name: key.name().to_owned(),
                short: key.row().short.to_owned(),
                value: typed(key, &entry.value),
                note: word(entry.known).to_owned(),
                light: entry.known != Provenance::Measured,
            })
        });
        rows.collect()
    }

    /// What to beware of: broken limits, then what is near or not known, then
    /// what the figures call for, then what holds for every engine.
    fn cautions(&self, shapes: &[SolidFault]) -> Vec<Note> {
        let units = &self.units;
        let of_cylinder = self.solved.judged.iter();
        let judged: Vec<&Judgement> =
            self.answers.engine.iter().chain(self.head_judged()).chain(of_cylinder).collect();
        let sentences = |weight: Weight, severities: &[u8]| -> Vec<Note> {
            let told = judged.iter().filter(|j| severities.contains(&j.verdict.severity()));
            told.map(|j| Note { weight, text: format!("{}.", j.sentence(units)) }).collect()
        };
        let over = Verdict::Over { by: 0.0 }.severity();
        let near = Verdict::TooNear.severity();
        let unknown = Verdict::Unknown { why: String::new() }.severity();
        let mut all = sentences(Weight::Broken, &[over]);
        all.extend(sentences(Weight::Close, &[near, unknown]));
        let close = |text: String| Note { weight: Weight::Close, text };
        let questioned = self.answers.cylinders.get(self.cylinder).map(|answer| &answer.questioned);
        all.extend(questioned.into_iter().flatten().map(|q| close(q.text.clone())));
        all.extend(shapes.iter().map(|fault| close(format!("Drawn otherwise than wished: {fault}."))));
        all.extend(self.solved.cautions.iter().map(|caution| close(caution.text.to_owned())));
        let build = &self.question.build;
        let turning = cautions::cautions_for(Decision::TurningOver, build, None).into_iter().take(1);
        let standing = turning.chain(cautions::cautions_for(Decision::Record, build, None));
        all.extend(standing.map(|c| Note { weight: Weight::Standing, text: c.text.to_owned() }));
        all
    }
}

#[cfg(test)]
mod tests;
