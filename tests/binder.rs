//! The binder as a builder and a machinist meet it: every demo engine on both
//! papers, engines that are awkward, and what outside programs say about the
//! files, where they are installed.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod harness;

use crowndeck::drawing::lettering::{printable, text_width};
use crowndeck::drawing::list::{Anchor, Shape};
use crowndeck::drawing::page::{Block, CellKind, Date, Document};
use crowndeck::project::{Construction, Project, demos};
use crowndeck::render::pdf;
use crowndeck::report::{csv, figures_in_markdown, figures_in_plain_text, tables};
use crowndeck::schema::{BenchStep, Torque, TorqueUnit};
use crowndeck::sheet::{BinderError, Choices, Context, Paper, SheetKind, Stamp, binder, worst_cylinder};
use crowndeck::study::{Answers, Question};
use std::io::Write as _;
use std::process::Command;

fn stamp() -> Stamp {
    Stamp { date: Date::new(2026, 11, 25).unwrap(), author: "North bench".into() }
}

struct Asked {
    project: Project,
    question: Question,
    answers: Answers,
}

impl Asked {
    fn of(project: Project) -> Self {
        let question = project.question();
        let answers = Answers::to(&question);
        Self { project, question, answers }
    }

    fn demo(id: &str) -> Self {
        Self::of(demos().iter().find(|demo| demo.id == id).unwrap().project().unwrap())
    }

    fn context(&self) -> Context<'_> {
        Context {
            project: &self.project,
            question: &self.question,
            answers: &self.answers,
            units: self.project.units,
            cylinder: worst_cylinder(&self.answers),
            crank_deg: 0.0,
        }
    }

    fn binder(&self, paper: Paper) -> Document {
        let context = self.context();
        let choices = Choices {
            sheets: SheetKind::fitting(&self.project),
            paper,
            units: context.units,
            cylinder: context.cylinder,
            every_cylinder: false,
            crank_deg: 0.0,
        };
        binder(&context, &choices, &stamp(), &mut |_, _| true).unwrap()
    }
}

/// Every text of a page with its left and right end and its baseline.
fn texts(document: &Document) -> Vec<Vec<(f64, f64, f64, String)>> {
    let ends = |shape: &Shape| match shape {
        Shape::Text { at, anchor, turn_deg, size, bold, text, .. }
            if *turn_deg == 0.0 && !text.is_empty() =>
        {
            let width = text_width(text, *size, *bold);
            let left = match anchor {
                Anchor::Left => at.x,
                Anchor::Middle => at.x - width / 2.0,
                Anchor::Right => at.x - width,
            };
            Some((left, left + width, at.y, text.clone()))
        }
        _ => None,
    };
    document.pages.iter().map(|page| page.shapes().filter_map(ends).collect()).collect()
}

fn assert_inside_the_frame(document: &Document, paper: Paper) {
    let frame = paper.frame();
    for (page, texts) in texts(document).iter().enumerate() {
        for (left, right, y, text) in texts {
            let inside = *left >= frame.x0 && *right <= frame.x1 + 1e-6 && *y >= frame.y0 && *y <= frame.y1;
            assert!(inside, "page {}: {text:?} from {left} to {right} at {y}", page + 1);
        }
    }
}

/// What a program says about a file, or nothing if it is not installed.
fn ask(bytes: &[u8], program: &str, arguments: &[&str]) -> Option<(bool, String)> {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(bytes).unwrap();
    let arguments = arguments.iter().map(|&a| if a == "FILE" { file.path().to_str().unwrap() } else { a });
    let output = Command::new(program).args(arguments).output().ok()?;
    let said = [output.stdout, output.stderr].concat();
    Some((output.status.success(), String::from_utf8_lossy(&said).into_owned()))
}

#[test]
fn every_demo_has_a_binder_on_both_papers_that_a_checker_accepts() {
    for demo in demos() {
        let asked = Asked::of(demo.project().unwrap());
        for paper in [Paper::A4, Paper::Letter] {
            let document = asked.binder(paper);
            assert_inside_the_frame(&document, paper);
            let named = document.pages.iter().filter(|page| !page.name.is_empty()).count();
            assert_eq!(
                named,
                SheetKind::fitting(&asked.project).len(),
                "{}: a bookmark for each sheet",
                demo.id
            );
            let pages = document.pages.len();
            for (i, page) in texts(&document).iter().enumerate() {
                for wanted in [&format!("{} / {pages}", i + 1), "2026-11-25", &asked.project.title] {
                    assert!(
                        page.iter().any(|(.., text)| text == wanted),
                        "{} page {}: {wanted}",
                        demo.id,
                        i + 1
                    );
                }
            }
            let bytes = pdf::write(&document).unwrap();
            if let Some((good, said)) = ask(&bytes, "qpdf", &["--check", "FILE"]) {
                assert!(good && said.contains("No syntax or stream encoding errors"), "{}: {said}", demo.id);
            }
        }
    }
}

#[test]
fn the_contents_name_the_page_on_which_each_sheet_begins() {
    let document = Asked::demo("sorrendel-f6").binder(Paper::A4);
    let Some(Block::Table(rows, _)) = document.pages[0].blocks.iter().find(
        |block| matches!(block, Block::Table(_, summary) if summary.starts_with("The sheets of this binder")),
    ) else {
        panic!("no contents")
    };
    let text = |cell: &crowndeck::drawing::page::Cell| match cell.list.shapes.first() {
        Some(Shape::Text { text, .. }) => text.clone(),
        _ => String::new(),
    };
    let listed: Vec<(String, usize)> =
        rows.iter().map(|row| (text(&row[0]), text(&row[1]).parse().unwrap())).collect();
    let begins: Vec<(String, usize)> = document
        .pages
        .iter()
        .enumerate()
        .skip(1)
        .filter(|(_, page)| !page.name.is_empty())
        .map(|(i, page)| (page.name.clone(), i + 1))
        .collect();
    assert_eq!(listed, begins);
    assert_eq!(listed.len(), SheetKind::ALL.len() - 1);
}

/// The words of each sheet stand in a file, so that a change of wording or of
/// a figure is seen. `UPDATE_SNAPSHOTS=true` writes them anew: read the
/// difference before it is kept.
#[test]
fn the_words_of_each_sheet_are_those_on_record() {
    let asked = Asked::demo("sorrendel-f6");
    let context = asked.context();
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots/sheets");
    let update = std::env::var("UPDATE_SNAPSHOTS").is_ok_and(|value| value == "true");
    let mut differ = Vec::new();
    for kind in SheetKind::fitting(&asked.project) {
        let choices = Choices {
            sheets: vec![kind],
            paper: Paper::A4,
            units: context.units,
            cylinder: context.cylinder,
            every_cylinder: false,
            crank_deg: 0.0,
        };
        let document = binder(&context, &choices, &stamp(), &mut |_, _| true).unwrap();
        let pages: Vec<String> = texts(&document)
            .into_iter()
            .map(|page| page.into_iter().map(|(.., text)| text + "\n").collect::<String>())
            .collect();
        let words = pages.join("\n");
        let path = folder.join(format!("{}.txt", kind.id()));
        if update {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, &words).unwrap();
        }
        if std::fs::read_to_string(&path).unwrap_or_default() != words {
            differ.push(path);
        }
    }
    assert!(differ.is_empty(), "other words than on record: {differ:?}");
}

#[test]
fn every_cylinder_can_have_its_own_section_and_towers() {
    let asked = Asked::demo("sorrendel-f6");
    let context = asked.context();
    let choices = Choices {
        sheets: vec![SheetKind::Section, SheetKind::Towers, SheetKind::Curves],
        paper: Paper::A4,
        units: context.units,
        cylinder: 2,
        every_cylinder: true,
        crank_deg: 0.0,
    };
    let mut steps = 0;
    let document = binder(&context, &choices, &stamp(), &mut |done, of| {
        assert_eq!((done, of), (steps, 13));
        steps += 1;
        true
    })
    .unwrap();
    let named = |what: &str| -> Vec<String> {
        let pages = document.pages.iter().map(|page| page.name.clone());
        pages.filter(|name| name.to_lowercase().contains(what)).collect()
    };
    let labels: Vec<&String> = asked.project.engine.cylinders.iter().map(|c| &c.label).collect();
    for what in ["section", "towers"] {
        let named = named(what);
        assert_eq!(named.len(), labels.len(), "{named:?}");
        // The cylinder in hand first, then the others in the engine's order.
        for (name, i) in named.iter().zip([2, 0, 1, 3, 4, 5]) {
            assert!(name.contains(labels[i].as_str()), "{name} is not of {}", labels[i]);
        }
    }
    assert_eq!(named("curves").len(), 1, "{:?}", named("curves"));
}

#[test]
fn the_same_project_on_the_same_day_gives_the_same_bytes() {
    let asked = Asked::demo("sorrendel-f6");
    let (one, two) =
        (pdf::write(&asked.binder(Paper::A4)).unwrap(), pdf::write(&asked.binder(Paper::A4)).unwrap());
    assert!(one == two, "{} and {} bytes", one.len(), two.len());
    let mut other = asked.project.clone();
    other.notes.push('.');
    assert!(pdf::write(&Asked::of(other).binder(Paper::A4)).unwrap() != one);
}

#[test]
fn the_text_of_the_file_has_every_figure_of_the_table() {
    let asked = Asked::demo("sorrendel-f6");
    let bytes = pdf::write(&asked.binder(Paper::A4)).unwrap();
    let Some((_, said)) = ask(&bytes, "pdftotext", &["-layout", "FILE", "-"]) else { return };
    let figures = tables(&asked.context(), &[SheetKind::Figures]);
    let (_, table) = &figures[0];
    assert_eq!(table.rows.len(), 6);
    for cell in table.rows.iter().flatten() {
        assert!(said.contains(&cell.plain()), "{} is not in the file", cell.plain());
    }
    // Worked by hand: 104.5 + 0.25 + 97.85 = 202.60 mm of tower less a reach of
    // √((130 + 37)² − 0.6²) + 34.5 = 201.499 mm leaves 1.10 mm.
    assert!(said.contains("1.22 mm below"));
}

#[test]
fn a_table_that_goes_on_carries_its_heads_again() {
    let document = Asked::demo("sorrendel-f6").binder(Paper::Letter);
    let mut pages = 0;
    for page in &document.pages {
        let found = page.blocks.iter().find_map(|block| match block {
            Block::Table(rows, summary) if summary.starts_with("Every reading with place") => Some(rows),
            _ => None,
        });
        if let Some(rows) = found {
            pages += 1;
            assert!(rows[0].iter().all(|cell| cell.kind == CellKind::ColumnHead));
            assert!(rows.len() > 2);
        }
    }
    assert!(pages >= 2, "{pages}");
}

#[test]
fn long_names_foreign_letters_and_twelve_cylinders_lose_nothing() {
    let mut project = Asked::demo("sorrendel-f6").project;
    project.title = "The touring engine of the north bench, second rebuild after the long winter, ".repeat(4);
    assert!(project.title.len() > 300);
    project.owner = "A very long name of an owner who has many names and uses all of them ".repeat(3);
    project.notes =
        "🛠 checked twice 🛠 שלום مرحبا 圧縮 – and \u{202e}turned\u{202c}.\n\nEnd of the notes.".into();
    let more = project.engine.cylinders.clone();
    for (i, mut cylinder) in more.into_iter().enumerate() {
        cylinder.label = (i + 7).to_string();
        project.engine.cylinders.push(cylinder);
    }
    project.readings[0].note = "written at the bench, ".repeat(200);
    let asked = Asked::of(project);
    assert_eq!(asked.answers.cylinders.len(), 12);
    for paper in [Paper::A4, Paper::Letter] {
        let document = asked.binder(paper);
        assert_inside_the_frame(&document, paper);
        assert!(pdf::write(&document).is_ok());
        let all: String = texts(&document).concat().iter().map(|(.., text)| format!("{text} ")).collect();
        assert!(!all.contains('…'), "something was cut");
        assert_eq!(all.matches("written at").count(), 200);
        assert!(all.contains("End of the notes."));
        let shown = printable(&asked.project.notes).into_owned();
        assert!(
            shown.contains('\u{FFFD}') && !shown.contains('🛠'),
            "what the font lacks is replaced visibly"
        );
        for label in 1..=12 {
            assert!(all.contains(&format!("Cylinder {label}: deck measured a last time")), "{label}");
        }
    }
}

#[test]
fn an_engine_that_nobody_measured_says_so_and_is_never_called_in_order() {
    let mut project = Asked::demo("tarnbeck-ft62").project;
    project.readings.clear();
    project.instruments.clear();
    for cylinder in &mut project.engine.cylinders {
        cylinder.own = Default::default();
    }
    for (_, entry) in project.engine.nominal.clone().iter() {
        assert!(entry.known != crowndeck::engine::Provenance::Measured);
    }
    let asked = Asked::of(project);
    let document = asked.binder(Paper::A4);
    let all: String = texts(&document).concat().iter().map(|(.., text)| format!("{text} ")).collect();
    assert!(all.contains("Not measured") && all.contains("no verdict until"));
    assert!(!all.contains("to spare"), "nothing measured is called inside its limits");
}

#[test]
fn an_engine_that_cannot_exist_still_has_a_binder_that_tells_why() {
    use crowndeck::engine::{Key, Provenance};
    use crowndeck::project::Entry;
    use crowndeck::quantity::{Kind, Quantity};
    let mut project = Asked::demo("tarnbeck-ft62").project;
    for cylinder in &mut project.engine.cylinders {
        let value = Quantity::of(Kind::Length, 10.0).unwrap();
        cylinder.own.set(Key::RodLength, Entry { value, known: Provenance::Measured, note: String::new() });
    }
    let document = Asked::of(project).binder(Paper::A4);
    let all: String = texts(&document).concat().iter().map(|(.., text)| format!("{text} ")).collect();
    assert!(all.contains("Nothing is drawn") && all.contains("can't exist"), "{all}");
    assert!(pdf::write(&document).is_ok());
}

#[test]
fn the_assembly_log_shows_stages_of_the_builders_own_torque() {
    let mut asked = Asked::demo("sorrendel-f6");
    let torque =
        Torque { source: "maker's manual".into(), ..Torque::in_two_stages(28.0, TorqueUnit::NewtonMetre) };
    asked.project.bench = vec![BenchStep {
        chapter: "Assemble".into(),
        what: "Head L tightened".into(),
        torque: Some(torque),
        done: true,
        who: "nb".into(),
        when: "2026-11-25 10:40".into(),
        ..BenchStep::default()
    }];
    let document = asked.binder(Paper::A4);
    let all: Vec<String> = texts(&document).concat().into_iter().map(|(.., text)| text).collect();
    let said = all.join(" ");
    assert!(said.contains("60 %: 16.8, then 28 N·m (maker's manual)"), "{said}");
    assert!(said.contains("2026-11-25 10:40") && !said.contains("No checklist was begun"));
    // Nothing else on any sheet looks like a torque.
    assert_eq!(said.matches("N·m").count(), 1);
}

#[test]
fn the_work_stops_when_asked_and_an_empty_choice_is_refused() {
    let asked = Asked::demo("zunnar-k123");
    let context = asked.context();
    let of = |sheets| Choices {
        sheets,
        paper: Paper::A4,
        units: context.units,
        cylinder: 0,
        every_cylinder: false,
        crank_deg: 0.0,
    };
    let mut asked_times = 0;
    let all = of(SheetKind::ALL.to_vec());
    let stopped = binder(&context, &all, &stamp(), &mut |done, of| {
        asked_times += 1;
        assert_eq!(of, SheetKind::ALL.len());
        done < 3
    });
    assert_eq!((stopped, asked_times), (Err(BinderError::Stopped), 4));
    assert_eq!(binder(&context, &of(vec![]), &stamp(), &mut |_, _| true), Err(BinderError::Nothing));
}

#[test]
fn a_two_stroke_has_no_valves_and_its_own_words() {
    let asked = Asked::demo("zunnar-k123");
    assert_eq!(asked.project.engine.construction, Construction::TwoStroke);
    assert!(!SheetKind::fitting(&asked.project).contains(&SheetKind::Valves));
}

#[test]
fn files_of_tables_hold_every_sheet_and_no_formula() {
    let mut asked = Asked::demo("sorrendel-f6");
    asked.project.readings[0].note = "=SUM(A1:A9)".into();
    let file = csv(&tables(&asked.context(), &SheetKind::ALL));
    for title in ["Figures and limits,Figures", "Readings,As read", "Open items and cautions,Not measured"] {
        assert!(file.contains(title), "{title}");
    }
    for field in file.split(['\n', ',']) {
        let field = field.trim_matches('"');
        let is_number = field.trim_end_matches('\r').parse::<f64>().is_ok();
        assert!(is_number || !field.starts_with(['=', '+', '-', '@']), "{field:?}");
    }
    let markdown = figures_in_markdown(&asked.context());
    assert!(markdown.contains("| 1 | 1.22 mm below") && markdown.contains("machinist's"), "{markdown}");
    assert!(figures_in_plain_text(&asked.context()).contains("1.22 mm below"));
}

/// The drawers in the real window.
mod window {
    use super::harness::{Tested, USUAL, says, type_into, wait_for, window_of};
    use egui::Key as Press;
    use egui::accesskit::Role;
    use egui_kittest::kittest::Queryable as _;

    #[test]
    fn the_preview_is_the_page_and_follows_the_choice_of_sheets() {
        let mut harness = window_of(USUAL);
        harness.key_press(Press::F7);
        wait_for(&mut harness, "Page 1 of ");
        let pages = |harness: &Tested| (2..60).find(|n| says(harness, &format!("Page 1 of {n}."))).unwrap();
        let all = pages(&harness);
        assert!(all > 10, "{all}");
        harness.get_by_role_and_label(Role::CheckBox, "Assembly log").click();
        for _ in 0..1000 {
            harness.run();
            if !says(&harness, &format!("Page 1 of {all}.")) {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
        assert!(pages(&harness) < all);
        harness.get_by_role_and_label(Role::Button, "Page after").click();
        harness.run();
        assert!(says(&harness, "Page 2 of ") && says(&harness, "top dead centre"), "the section in words");
        harness.get_by_role_and_label(Role::Button, "Other files…").click();
        harness.run();
        harness.get_by_role_and_label(Role::Button, "Copy the figures").click();
        harness.run();
        assert!(harness.state().status().unwrap().text.contains("clipboard"));
    }

    #[test]
    fn a_checklist_is_begun_ticked_read_and_taken_back() {
        let mut harness = window_of(USUAL);
        harness.key_press(Press::F8);
        harness.run();
        harness.get_by_role_and_label(Role::Button, "Begin the checklist").click();
        harness.run();
        let steps = harness.state().session().project().bench.len();
        assert!(steps > 30, "{steps}");
        type_into(&mut harness, "Initials", "nb");
        let what = "Parts washed, deburred and photographed";
        harness.get_by_role_and_label(Role::CheckBox, what).click();
        harness.run();
        let step = harness.state().session().project().bench[1].clone();
        assert!(step.done && step.who == "nb" && step.when.len() == "2026-11-25 10:40".len(), "{step:?}");
        assert_eq!(harness.state().session().history().undo_label(), Some(format!("Tick: {what}").as_str()));
        type_into(&mut harness, &format!("Reading: {what}"), "all 6 trays");
        assert_eq!(harness.state().session().project().bench[1].reading, "all 6 trays");
        harness.get_by_role_and_label(Role::Button, "Edit step 2").click();
        harness.run();
        type_into(&mut harness, "Torque, the maker's figure", "28 Nm");
        assert!(says(&harness, "60 %: 16.8, then 28 N·m"));
        type_into(&mut harness, "Torque, the maker's figure", "tight");
        assert!(says(&harness, "is no unit of torque"));
        for _ in 0..4 {
            harness.key_press_modifiers(egui::Modifiers::COMMAND, Press::Z);
            harness.run();
        }
        assert!(harness.state().session().project().bench.is_empty(), "four steps taken back");
    }
}
