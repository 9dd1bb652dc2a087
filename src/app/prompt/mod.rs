//! What lies over the window for a moment: the path of a file, the question
//! about unsaved changes, the search for commands and dimensions.

mod about;
mod find;
mod keys;
mod new_engine;

pub(crate) use new_engine::NewEngineWizard;

use super::command::{Action, Command};
use super::theme::{Tokens, radius, regular, semibold, space, text};
use crate::engine::Key;
use egui::{Align2, Frame, Id, Margin, Modal, Rect, RichText, TextEdit, Ui, vec2};
use std::path::{Path, PathBuf};

/// What a path is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// Read a project.
    Open,
    /// Write the project.
    SaveAs,
    /// Write the binder as PDF.
    Pdf,
    /// Write a page of the binder as SVG.
    Svg,
    /// Write a page of the binder as PNG.
    Png,
    /// Write the tables of the binder.
    Csv,
    /// Write the figures as Markdown.
    Markdown,
    /// Write the handout of the lesson of this place in the book.
    Handout(usize),
}

impl Purpose {
    /// The title and the word on the button.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Open => ("Open a project", "Open"),
            Self::SaveAs => ("Save the project", "Save"),
            Self::Pdf => ("Save the binder as PDF", "Save"),
            Self::Svg => ("Save the page as SVG", "Save"),
            Self::Png => ("Save the page as PNG", "Save"),
            Self::Csv => ("Save the tables as CSV", "Save"),
            Self::Markdown => ("Save the figures as Markdown", "Save"),
            Self::Handout(_) => ("Save the lesson handout as PDF", "Save"),
        }
    }

    /// The ending of such a file.
    #[must_use]
    pub(crate) fn ending(self) -> &'static str {
        match self {
            Self::Open | Self::SaveAs => "ron",
            Self::Pdf | Self::Handout(_) => "pdf",
            Self::Svg => "svg",
            Self::Png => "png",
            Self::Csv => "csv",
            Self::Markdown => "md",
        }
    }
}

/// What lies over the window.
#[derive(Clone, Debug)]
pub(crate) enum Prompt {
    /// A path is wanted. Typing one works where the desktop has no dialogs.
    Path {
        /// What for.
        purpose: Purpose,
        /// What was typed.
        typed: String,
        /// Why the last try failed.
        error: Option<String>,
    },
    /// The changes are not saved, and this would lose them.
    Unsaved {
        /// What was asked for.
        then: Box<Command>,
    },
    /// An earlier run left behind what it could not save.
    Recovered {
        /// Where it is kept.
        place: PathBuf,
    },
    /// The file was changed by someone else since it was read.
    ChangedOnDisk {
        /// The file.
        path: PathBuf,
    },
    /// The steps of a new engine.
    NewEngine(Box<NewEngineWizard>),
    /// All keys on one card.
    Keys,
    /// What the program is, and its licences.
    About {
        /// The part whose licence is shown.
        part: usize,
    },
    /// The search for commands and dimensions.
    GoTo {
        /// What was typed.
        typed: String,
        /// The row that Enter takes.
        row: usize,
    },
}

/// What the person said.
#[derive(Clone, Debug)]
pub(crate) enum PromptAnswer {
    /// Close the prompt.
    Close,
    /// This path.
    Path(Purpose, PathBuf),
    /// Ask with the desktop's own dialog.
    Browse(Purpose),
    /// Save, then do this.
    SaveThen(Box<Command>),
    /// Do this and lose the changes.
    LoseThen(Box<Command>),
    /// Take what an earlier run could not save.
    TakeRecovered(PathBuf),
    /// Go on without what an earlier run could not save.
    DropRecovered(PathBuf),
    /// Save over what someone else wrote.
    SaveOver(PathBuf),
    /// Do this.
    Do(Box<Command>),
    /// Put the keyboard into the field of this dimension.
    GoTo(Key),
}

/// Shows the prompt, the steps of a new engine over the sheet; what the person
/// said.
pub(crate) fn prompt_ui(ui: &mut Ui, prompt: &mut Prompt, sheet: Rect, t: &Tokens) -> Option<PromptAnswer> {
    if let Prompt::NewEngine(begin) = prompt {
        return new_engine::begin_ui(ui, begin, sheet, t);
    }
    let frame = Frame::new()
        .fill(t.panel)
        .corner_radius(radius::PANEL)
        .inner_margin(Margin::same(16))
        .stroke(t.stroke(1.0, t.line2));
    // Each has its own size, and so a place of its own.
    let id = Id::unique(("prompt", std::mem::discriminant(prompt)));
    let modal = Modal::new(id).frame(frame).backdrop_color(t.board.gamma_multiply(0.62));
    let modal = modal.area(Modal::default_area(id).anchor(Align2::CENTER_TOP, vec2(0.0, 110.0)));
    let shown = modal.show(ui.ctx(), |ui| match prompt {
        Prompt::Path { purpose, typed, error } => path_ui(ui, *purpose, typed, error.as_deref(), t),
        Prompt::Unsaved { then } => unsaved_ui(ui, then, t),
        Prompt::Recovered { place } => recovered_ui(ui, place, t),
        Prompt::ChangedOnDisk { path } => changed_on_disk_ui(ui, path, t),
        Prompt::NewEngine(_) => None,
        Prompt::Keys => keys::keys_ui(ui, t),
        Prompt::About { part } => about::about_ui(ui, part, t),
        Prompt::GoTo { typed, row } => find::go_to_ui(ui, typed, row, t),
    });
    let close = shown.should_close();
    match (shown.inner, close) {
        (Some(answer), _) => Some(answer),
        (None, true) => Some(PromptAnswer::Close),
        (None, false) => None,
    }
}

fn title(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(semibold(17.0)).color(t.ink));
    ui.add_space(space::NEAR);
}

fn path_ui(
    ui: &mut Ui,
    purpose: Purpose,
    typed: &mut String,
    error: Option<&str>,
    t: &Tokens,
) -> Option<PromptAnswer> {
    ui.set_width(520.0);
    let (words, button) = purpose.words();
    title(ui, words, t);
    let label = ui.label(RichText::new("Path of the file").font(regular(text::CAPTION)).color(t.ink2));
    let field = TextEdit::singleline(typed).id(Id::unique("prompt path")).desired_width(f32::INFINITY);
    let response = ui.add(field).labelled_by(label.id);
    if ui.memory(|m| m.focused().is_none()) {
        response.request_focus();
    }
    if let Some(error) = error {
        ui.add_space(space::TIGHT);
        ui.label(RichText::new(error).font(semibold(text::DIMENSION)).color(t.warn));
    }
    ui.add_space(space::GAP);
    let entered = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    ui.horizontal(|ui| {
        let go = ui.button(button).clicked() || entered;
        let browse = ui.button("Browse…").clicked();
        let cancel = ui.button("Cancel").clicked();
        if cancel {
            Some(PromptAnswer::Close)
        } else if browse {
            Some(PromptAnswer::Browse(purpose))
        } else if go && !typed.trim().is_empty() {
            Some(PromptAnswer::Path(purpose, PathBuf::from(typed.trim())))
        } else {
            None
        }
    })
    .inner
}

fn unsaved_ui(ui: &mut Ui, then: &Command, t: &Tokens) -> Option<PromptAnswer> {
    ui.set_width(420.0);
    title(ui, "The changes are not saved", t);
    ui.label("Going on without saving loses them.");
    ui.add_space(space::GAP);
    ui.horizontal(|ui| {
        let save = ui.button("Save and go on").clicked();
        let lose = ui.button("Go on without saving").clicked();
        let stay = ui.button("Stay here").clicked();
        if save {
            Some(PromptAnswer::SaveThen(Box::new(then.clone())))
        } else if lose {
            Some(PromptAnswer::LoseThen(Box::new(then.clone())))
        } else if stay {
            Some(PromptAnswer::Close)
        } else {
            None
        }
    })
    .inner
}

fn recovered_ui(ui: &mut Ui, place: &Path, t: &Tokens) -> Option<PromptAnswer> {
    ui.set_width(480.0);
    title(ui, "Unsaved work was kept", t);
    ui.label("The program ended before this project was saved. What was changed until shortly before is still there.");
    ui.label(RichText::new(place.display().to_string()).font(regular(text::CAPTION)).color(t.ink2));
    ui.add_space(space::GAP);
    ui.horizontal(|ui| {
        let take = ui.button("Take it").clicked();
        let drop = ui.button("Go on without it").clicked();
        if take {
            Some(PromptAnswer::TakeRecovered(place.to_path_buf()))
        } else if drop {
            Some(PromptAnswer::DropRecovered(place.to_path_buf()))
        } else {
            None
        }
    })
    .inner
}

fn changed_on_disk_ui(ui: &mut Ui, path: &Path, t: &Tokens) -> Option<PromptAnswer> {
    ui.set_width(520.0);
    title(ui, "The file was changed by someone else", t);
    ui.label("It is not what was read or saved here last. Saving over it loses what was written there.");
    ui.label(RichText::new(path.display().to_string()).font(regular(text::CAPTION)).color(t.ink2));
    ui.add_space(space::GAP);
    ui.horizontal(|ui| {
        let over = ui.button("Save over it").clicked();
        let other = ui.button("Save to another file…").clicked();
        let read = ui.button("Read it again").clicked();
        let stay = ui.button("Stay here").clicked();
        if over {
            Some(PromptAnswer::SaveOver(path.to_path_buf()))
        } else if other {
            Some(PromptAnswer::Do(Box::new(Command::Action(Action::SaveAs))))
        } else if read {
            Some(PromptAnswer::Do(Box::new(Command::Action(Action::Revert))))
        } else if stay {
            Some(PromptAnswer::Close)
        } else {
            None
        }
    })
    .inner
}
