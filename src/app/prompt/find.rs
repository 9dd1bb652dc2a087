//! The search for everything that has a name: dimensions, commands, examples,
//! words of the trade.

use super::PromptAnswer;
use crate::app::command::{Action, COMMANDS, Command, key_words};
use crate::app::theme::{Tokens, regular, space, text};
use crate::app::views::Panel;
use crate::engine::Key;
use crate::lesson::glossary;
use crate::project::demos;
use crate::schema::DutyField;
use egui::{Id, RichText, ScrollArea, TextEdit, Ui, vec2};

/// One thing to go to.
struct Target {
    name: String,
    help: String,
    /// What else it is called.
    also: Vec<String>,
    key: Option<egui::KeyboardShortcut>,
    answer: PromptAnswer,
}

impl Target {
    fn called(name: &str, help: &str, answer: PromptAnswer) -> Self {
        Self { name: name.to_owned(), help: help.to_owned(), also: Vec::new(), key: None, answer }
    }

    /// How well the typed words fit, 0 best: all in the name, or some of them
    /// in what else is said of it, of which one is given.
    fn fits(&self, words: &[String]) -> Option<(u8, Option<String>)> {
        let has = |text: &str, word: &String| text.to_lowercase().contains(word);
        if words.iter().all(|word| has(&self.name, word)) {
            return Some((0, None));
        }
        let all = [self.name.as_str(), &self.help].into_iter().chain(self.also.iter().map(String::as_str));
        let all = all.collect::<Vec<_>>().join(" ");
        if !words.iter().all(|word| has(&all, word)) {
            return None;
        }
        match self.also.iter().find(|also| words.iter().any(|word| has(also, word))) {
            Some(also) => Some((1, Some(format!("also: {also}")))),
            None => Some((2, Some(self.help.clone()))),
        }
    }
}

/// What is typed on a page of its own and is no dimension: the duty of the
/// engine, and the room at the valves.
fn fields() -> impl Iterator<Item = Target> {
    let on = |panel: Panel, name: &str, help: &str, also: &[&str]| Target {
        also: also.iter().map(|&word| word.to_owned()).collect(),
        ..Target::called(name, help, PromptAnswer::Do(Box::new(Command::Action(Action::Panel(panel)))))
    };
    let duty = DutyField::ALL
        .into_iter()
        .map(move |field| on(Panel::Engine, field.title(), field.meaning(), field.also()));
    let usage = on(
        Panel::Engine,
        "Use of the engine",
        "Road, race or stationary: limits are proposed by it.",
        &["duty", "competition"],
    );
    let valves = ["intake", "exhaust"].map(|valve| {
        on(
            Panel::Readings,
            &format!("Piston to {valve} valve: its readings"),
            "Typed like any other reading, under Read another dimension.",
            &["piston to valve", "valve clearance, valve-to-piston clearance", "clay"],
        )
    });
    duty.chain([usage]).chain(valves)
}

/// Everything that fits the typed words, the best first, each with why it
/// fits where its name does not say so.
fn targets(typed: &str) -> Vec<(Target, Option<String>)> {
    let words: Vec<String> = typed.split_whitespace().map(str::to_lowercase).collect();
    let also = |key: Key| {
        let term = glossary().iter().find(|term| term.dimension() == Some(key));
        term.map(|term| term.also().iter().map(|(_, word)| word.clone()).collect()).unwrap_or_default()
    };
    let dimensions = Key::all().map(|key| Target {
        also: also(key),
        ..Target::called(key.name(), key.row().meaning, PromptAnswer::GoTo(key))
    });
    let commands = COMMANDS.iter().filter(|row| row.command != Action::GoTo).map(|row| Target {
        key: row.key,
        ..Target::called(row.name, row.help, PromptAnswer::Do(Box::new(Command::Action(row.command))))
    });
    let examples = demos().iter().enumerate().map(|(i, demo)| {
        let open = PromptAnswer::Do(Box::new(Command::OpenDemo(i)));
        Target::called(&format!("Example: {}", demo.what), "Open this invented engine.", open)
    });
    // Words come only when they are asked for: there are many.
    let terms = glossary()
        .iter()
        .enumerate()
        .filter(|(_, term)| !typed.trim().is_empty() && term.dimension().is_none());
    let terms = terms.map(|(i, term)| Target {
        also: term.also().iter().map(|(_, word)| word.clone()).collect(),
        ..Target::called(
            &format!("What is: {}", term.name()),
            term.means(),
            PromptAnswer::Do(Box::new(Command::Explain(Some(i)))),
        )
    });
    let all = dimensions.chain(fields()).chain(commands).chain(examples).chain(terms);
    let mut found: Vec<(u8, (Target, Option<String>))> =
        all.filter_map(|target| target.fits(&words).map(|(rank, why)| (rank, (target, why)))).collect();
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, found)| found).collect()
}

/// Shows the search; `row` is the row that Enter takes.
pub(super) fn go_to_ui(ui: &mut Ui, typed: &mut String, row: &mut usize, t: &Tokens) -> Option<PromptAnswer> {
    ui.set_width(460.0);
    let (up, down, enter) = ui.input_mut(|i| {
        (
            i.consume_key(egui::Modifiers::NONE, egui::Key::ArrowUp),
            i.consume_key(egui::Modifiers::NONE, egui::Key::ArrowDown),
            i.key_pressed(egui::Key::Enter),
        )
    });
    let field = TextEdit::singleline(typed)
        .id(Id::unique("prompt search"))
        .hint_text("A dimension, a command, a word of the trade")
        .desired_width(f32::INFINITY);
    let response = ui.add(field).accessible_name("Search commands and dimensions");
    if ui.memory(|m| m.focused().is_none()) && !enter {
        response.request_focus();
    }
    if response.changed() {
        *row = 0;
    }
    let mut targets = targets(typed);
    let last = targets.len().saturating_sub(1);
    *row = match (up, down) {
        (true, _) => row.saturating_sub(1),
        (_, true) => (*row + 1).min(last),
        _ => (*row).min(last),
    };
    ui.add_space(space::NEAR);
    let mut chosen = (enter && !targets.is_empty()).then_some(*row);
    ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
        if targets.is_empty() {
            ui.label("Nothing is called that");
        }
        for (i, (target, why)) in targets.iter().enumerate() {
            let mut item = egui::Button::selectable(i == *row, &target.name).min_size(vec2(440.0, 24.0));
            if let Some(key) = &target.key {
                item = item.shortcut_text(key_words(ui.ctx(), key));
            }
            let response = ui.add(item).on_hover_text(&target.help);
            if let Some(why) = why {
                ui.horizontal(|ui| {
                    ui.add_space(space::NEAR);
                    let words = RichText::new(why).font(regular(text::CAPTION)).color(t.ink2);
                    ui.add(egui::Label::new(words).truncate());
                });
            }
            if i == *row && (up || down) {
                response.scroll_to_me(None);
            }
            if response.clicked() {
                chosen = Some(i);
            }
        }
    });
    chosen.map(|i| targets.swap_remove(i).0.answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(typed: &str) -> Vec<String> {
        targets(typed).into_iter().map(|(target, _)| target.name).collect()
    }

    #[test]
    fn a_name_comes_before_what_else_is_said() {
        let found = names("shim");
        assert!(found[0].to_lowercase().contains("shim"), "{found:?}");
        let by_name = found.iter().take_while(|name| name.to_lowercase().contains("shim")).count();
        assert!(by_name < found.len(), "and others whose help speaks of shims: {found:?}");
        assert!(found[by_name..].iter().all(|name| !name.to_lowercase().contains("shim")), "{found:?}");
    }

    #[test]
    fn what_is_typed_on_a_page_is_found_by_the_words_people_use() {
        for (typed, wanted) in [
            ("rpm", "Greatest speed"),
            ("speed", "Rated speed"),
            ("fuel", "Fuel"),
            ("octane", "Fuel"),
            ("rod material", "Rod material"),
            ("race", "Use of the engine"),
            ("piston to valve", "Piston to intake valve: its readings"),
            ("valve clearance", "Piston to exhaust valve: its readings"),
        ] {
            let found = names(typed);
            assert!(found.iter().take(6).any(|name| name == wanted), "{typed}: {found:?}");
        }
    }

    #[test]
    fn a_thing_is_found_by_what_it_does_and_by_what_it_is_called_elsewhere() {
        assert_eq!(names("licence")[0], "About crowndeck");
        assert!(
            names("pin height").contains(&Key::CompressionHeight.name().to_owned()),
            "{:?}",
            names("pin height")
        );
        assert!(names("dwell").iter().any(|name| name.starts_with("What is: ")));
        assert!(names("qqq").is_empty());
        assert!(names("").len() > 40 && names("").iter().all(|name| !name.starts_with("What is: ")));
    }
}
