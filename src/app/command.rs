//! Everything that a person can ask of the window: one list for buttons, keys
//! and the search field.

use super::binder_settings::BinderSettings;
use super::session::StateName;
use super::views::Panel;
use super::views::panel::PANELS;
use super::widgets::field;
use crate::project::{Edit, Gesture, Project};
use egui::{Key, KeyboardShortcut, Modifiers};
use std::path::PathBuf;
use std::sync::LazyLock;

/// What was asked for. Views send commands; the window alone carries them out.
#[derive(Clone, Debug)]
pub enum Command {
    /// Change the document.
    Edit(Edit, Option<Gesture>),
    /// Turn the crank to this many degrees after piston top dead centre.
    SetCrank(f64),
    /// Show this cylinder.
    ShowCylinder(usize),
    /// Open this file.
    OpenFile(PathBuf),
    /// Begin this new engine.
    NewEngine(Box<Project>),
    /// Compare from now on with this state.
    CompareWith(StateName),
    /// Put the keyboard into the field of this dimension.
    GoTo(crate::engine::Key),
    /// Open this demo engine.
    OpenDemo(usize),
    /// Open this panel, or go back to the figures if it is open.
    Show(Panel),
    /// Show a word of the trade, by its place in the glossary, or all of them.
    Explain(Option<usize>),
    /// Back from the words to where they were asked for.
    LeaveWords,
    /// Something about the lessons.
    Lesson(LessonCommand),
    /// Make the binder so from now on.
    SetBinder(BinderSettings),
    /// Stop making a file of the binder.
    StopExport,
    /// One of the commands that have a name and perhaps a key.
    Action(Action),
}

/// What can be asked of the lessons.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LessonCommand {
    /// Begin the lesson of this place in the book at a step, on its own engine
    /// or on a copy of the person's.
    Begin {
        /// Place in the book, from 0.
        index: usize,
        /// On a copy of the person's engine.
        own: bool,
        /// The step, from 0.
        step: usize,
    },
    /// Leave the lesson; the person's engine is shown again.
    Leave,
    /// To the step before.
    Back,
    /// To the next step, or to the end.
    Next,
    /// Take this choice of the question.
    Choose(usize),
    /// Give the hint now.
    Hint,
    /// Do the task as the lesson shows it.
    ShowMe,
    /// Write the handout of the lesson of this place in the book.
    Handout(usize),
    /// Open the card of the lesson of this place in the book.
    OpenCard(usize),
}

/// A command with a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[expect(missing_docs, reason = "the row of each command says what it does")]
pub enum Action {
    New,
    Open,
    Save,
    SaveAs,
    Revert,
    Quit,
    Undo,
    Redo,
    KeepState,
    Print,
    SavePdf,
    SaveSvg,
    SavePng,
    SaveCsv,
    SaveMarkdown,
    CopyFigures,
    PlayCrank,
    CrankToTop,
    CrankBack,
    CrankOn,
    NextCylinder,
    PreviousCylinder,
    NextUnits,
    NextTheme,
    CrankBySteps,
    FollowSystem,
    UsualPanes,
    Towers,
    Upright,
    ZoomIn,
    ZoomOut,
    ZoomWhole,
    TrueSize,
    MatchRuler,
    GoTo,
    Keys,
    About,
    StepBack,
    StepOn,
    LeaveLesson,
    Words,
    WhatIsThis,
    Handout,
    LargeView,
    Panel(Panel),
}

/// One row of the list of commands.
#[derive(Clone, Copy, Debug)]
pub struct ActionRow {
    /// The command.
    pub command: Action,
    /// Its name.
    pub name: &'static str,
    /// What it does, in one sentence.
    pub help: &'static str,
    /// Its key, if it has one.
    pub key: Option<KeyboardShortcut>,
    /// The key also works while a field has the keyboard.
    pub in_fields: bool,
}

/// A key as it stands on the keyboard: "?", "Ctrl+S".
#[must_use]
pub fn key_words(ctx: &egui::Context, key: &KeyboardShortcut) -> String {
    let words = ctx.format_shortcut(key);
    match words.strip_suffix(key.logical_key.name()) {
        Some(with) => format!("{with}{}", key.logical_key.symbol_or_name()),
        None => words,
    }
}

const fn plain(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::NONE, key))
}

const fn with(modifiers: Modifiers, key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(modifiers, key))
}

const COMMAND_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// The list, keys with more modifiers before those with fewer, so that the
/// longest wins; each panel is called by its key.
pub static COMMANDS: LazyLock<Vec<ActionRow>> = LazyLock::new(|| {
    let panels = PANELS.iter().map(|panel| ActionRow {
        command: Action::Panel(panel.panel),
        name: panel.name,
        help: panel.help,
        key: plain(panel.key),
        in_fields: true,
    });
    OF_THE_DOCUMENT.iter().copied().chain(panels).chain(OF_THE_VIEW.iter().copied()).collect()
});

/// The rows before those of the panels.
static OF_THE_DOCUMENT: &[ActionRow] = &[
    row(Action::SaveAs, "Save as…", "Write the project to another file.", with(COMMAND_SHIFT, Key::S), true),
    row(
        Action::Redo,
        "Redo",
        "Do the last step again that was taken back.",
        with(COMMAND_SHIFT, Key::Z),
        false,
    ),
    row(
        Action::New,
        "New engine…",
        "Begin with an engine of your own.",
        with(Modifiers::COMMAND, Key::N),
        true,
    ),
    row(Action::Open, "Open…", "Read a project file.", with(Modifiers::COMMAND, Key::O), true),
    row(Action::Save, "Save", "Write the project to its file.", with(Modifiers::COMMAND, Key::S), true),
    row(
        Action::Print,
        "Print…",
        "Open the binder in the system's viewer, to print it from there.",
        with(Modifiers::COMMAND, Key::P),
        true,
    ),
    row(Action::Undo, "Undo", "Take the last step back.", with(Modifiers::COMMAND, Key::Z), false),
    row(Action::Quit, "Quit", "Close the window.", with(Modifiers::COMMAND, Key::Q), true),
    row(
        Action::Revert,
        "Revert to the saved file",
        "Read the file again and drop the changes since.",
        None,
        false,
    ),
    row(Action::SavePdf, "Save the binder as PDF…", "Write the chosen sheets to a PDF file.", None, false),
    row(Action::SaveSvg, "Save the page as SVG…", "Write the page shown to an SVG file.", None, false),
    row(Action::SavePng, "Save the page as PNG…", "Write the page shown to a picture file.", None, false),
    row(
        Action::SaveCsv,
        "Save tables as CSV…",
        "Write the tables of the chosen sheets to a file.",
        None,
        false,
    ),
    row(
        Action::SaveMarkdown,
        "Save figures as Markdown…",
        "Write figures and limits to a text file.",
        None,
        false,
    ),
    row(
        Action::CopyFigures,
        "Copy the figures",
        "Put figures and limits on the clipboard as text.",
        None,
        false,
    ),
    row(
        Action::KeepState,
        "Keep this state",
        "Compare from now on with the engine as it stands.",
        plain(Key::K),
        false,
    ),
    row(Action::PlayCrank, "Turn the crank", "Turn the crank slowly, or stop it.", plain(Key::Space), false),
    row(
        Action::CrankToTop,
        "Crank to the top",
        "Put the piston at top dead centre.",
        plain(Key::Home),
        false,
    ),
    row(Action::CrankBack, "Crank back", "Turn the crank back by one degree.", plain(Key::Comma), false),
    row(Action::CrankOn, "Crank on", "Turn the crank on by one degree.", plain(Key::Period), false),
    row(Action::NextCylinder, "Next cylinder", "Show the next cylinder.", plain(Key::CloseBracket), false),
    row(
        Action::PreviousCylinder,
        "Previous cylinder",
        "Show the cylinder before.",
        plain(Key::OpenBracket),
        false,
    ),
    row(
        Action::GoTo,
        "Go to anything",
        "Search dimensions, commands and words of the trade by name, or by what they do.",
        plain(Key::Slash),
        false,
    ),
    row(
        Action::StepBack,
        "Lesson: step back",
        "Go to the step before in the lesson.",
        plain(Key::PageUp),
        true,
    ),
    row(
        Action::StepOn,
        "Lesson: step on",
        "Go on in the lesson when the task is done.",
        plain(Key::PageDown),
        true,
    ),
    row(
        Action::Handout,
        "Lesson handout…",
        "Write the lesson with its pictures and questions to a PDF file, the answers apart.",
        None,
        false,
    ),
    row(Action::LeaveLesson, "Leave the lesson", "Give your own engine back as you left it.", None, false),
    row(
        Action::LargeView,
        "Large view for a teacher",
        "Show the drawing and the step of the lesson over the whole screen, in letters for a class.",
        plain(Key::F11),
        true,
    ),
    row(
        Action::WhatIsThis,
        "What is this?",
        "Tell what the thing at the keyboard or under the pointer is.",
        plain(Key::F12),
        true,
    ),
    row(
        Action::Words,
        "Words of the trade",
        "Search the glossary by word, other name or meaning.",
        plain(Key::W),
        false,
    ),
];

/// The rows after those of the panels.
static OF_THE_VIEW: &[ActionRow] = &[
    row(
        Action::NextUnits,
        "Change units",
        "Show lengths in the next unit; what was typed stays as typed.",
        None,
        false,
    ),
    row(Action::Keys, "Keys", "All keys on one card.", plain(Key::Questionmark), false),
    row(
        Action::About,
        "About crowndeck",
        "Which version this is, and the licences of the program, its lettering and its packages.",
        None,
        false,
    ),
    row(Action::NextTheme, "Change theme", "Paper, slate or high contrast.", None, false),
    row(
        Action::CrankBySteps,
        "Turn the crank by steps",
        "Less movement: a turning crank stands still between steps of ten degrees. Again: it turns smoothly.",
        None,
        false,
    ),
    row(
        Action::UsualPanes,
        "Usual sizes of the panes",
        "Puts the edges between dimensions, sheet, curves and drawers back; a double click does it for one.",
        None,
        false,
    ),
    row(
        Action::FollowSystem,
        "Look as the system asks",
        "Follow the system in dark or light, contrast and movement, also when it changes.",
        None,
        false,
    ),
    row(
        Action::Towers,
        "Towers or section",
        "Show what raises the piston beside what raises the barrel, or the section again.",
        plain(Key::T),
        false,
    ),
    row(
        Action::Upright,
        "Stand the drawing upright",
        "Draw a lying or leaning cylinder upright, or as it stands in the engine.",
        None,
        false,
    ),
    row(
        Action::ZoomIn,
        "Look closer",
        "Enlarge the drawing; the wheel does it too.",
        plain(Key::Plus),
        false,
    ),
    row(Action::ZoomOut, "Look from farther", "Make the drawing smaller.", plain(Key::Minus), false),
    row(Action::ZoomWhole, "Whole drawing", "Show the whole drawing.", plain(Key::Num0), false),
    row(
        Action::TrueSize,
        "True size",
        "Draw the engine as large as it is; the screen is matched to a ruler once.",
        None,
        false,
    ),
    row(
        Action::MatchRuler,
        "Match the screen to a ruler…",
        "Tell how long a millimetre is on this screen, for the true size.",
        None,
        false,
    ),
];

const fn row(
    command: Action,
    name: &'static str,
    help: &'static str,
    key: Option<KeyboardShortcut>,
    in_fields: bool,
) -> ActionRow {
    ActionRow { command, name, help, key, in_fields }
}

impl Action {
    /// The row of this command.
    #[must_use]
    pub fn row(self) -> Option<&'static ActionRow> {
        COMMANDS.iter().find(|row| row.command == self)
    }
}

/// Keys that a quantity may begin with, or that move about in a field.
const OF_QUANTITIES: [Key; 8] =
    [Key::Num0, Key::Plus, Key::Minus, Key::Comma, Key::Period, Key::Space, Key::Home, Key::End];

/// The commands whose keys were pressed. A key without Ctrl belongs to a field
/// that has the keyboard; so do the field's own undo and redo. A field in which
/// nothing was typed yet gives up what no quantity begins with: after Enter,
/// `]` goes to the next cylinder and `/` searches.
pub fn pressed(ctx: &egui::Context) -> Vec<Action> {
    let typing = ctx.text_edit_focused();
    let at_rest = typing && field::is_at_rest(ctx);
    let given_up =
        |row: &ActionRow| at_rest && row.key.is_some_and(|key| !OF_QUANTITIES.contains(&key.logical_key));
    let usable = |row: &&ActionRow| row.in_fields || !typing || given_up(row);
    ctx.input_mut(|input| {
        let commands: Vec<Action> = COMMANDS
            .iter()
            .filter(usable)
            .filter(|row| row.key.as_ref().is_some_and(|key| input.consume_shortcut(key)))
            .map(|row| row.command)
            .collect();
        if at_rest && !commands.is_empty() {
            // The letter was the command's and is not typed as well.
            input.events.retain(|event| !matches!(event, egui::Event::Text(_)));
        }
        commands
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_key_is_tried_first_and_no_key_twice() {
        let keys: Vec<KeyboardShortcut> = COMMANDS.iter().filter_map(|row| row.key).collect();
        let weight = |m: Modifiers| u8::from(m.command) + u8::from(m.shift) + u8::from(m.alt);
        for (i, a) in keys.iter().enumerate() {
            for b in &keys[i + 1..] {
                assert!(a != b, "{a:?} stands twice");
                if a.logical_key == b.logical_key {
                    assert!(weight(a.modifiers) >= weight(b.modifiers), "{a:?} hides behind {b:?}");
                }
            }
        }
    }

    #[test]
    fn every_named_command_has_a_row() {
        for row in COMMANDS.iter() {
            assert!(row.command.row().is_some_and(|found| found.name == row.name));
            assert!(row.help.ends_with('.'), "{}", row.name);
        }
    }
}
