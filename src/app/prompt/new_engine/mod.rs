//! The assistant for a new engine: a few steps over the sheet, each with an
//! answer already in place, so that Enter alone goes through. Nothing is
//! changed before the last of them.

mod hand;
mod parts;
mod start;

use super::PromptAnswer;
use crate::app::command::Command;
use crate::app::theme::{Tokens, radius, regular, semibold, space, text, width};
use crate::app::widgets::button::{Button, Kind};
use crate::project::{NewEngine, Project};
use crate::reading::catalogue;
use egui::{Area, Frame, Id, Key, Margin, Modal, Order, Rect, RichText, ScrollArea, Ui, pos2, vec2};

/// The width of the steps, where the sheet leaves the choice.
const WIDTH: std::ops::RangeInclusive<f32> = 560.0..=720.0;
/// What stands around the steps inside the frame, above and below together.
const AROUND: f32 = 188.0;
/// The most height that a step needs.
const HIGH: f32 = 462.0;

/// One step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Step {
    /// How it is built, or what it is taken from.
    #[default]
    Built,
    /// How many cylinders, and how they stand.
    Cylinders,
    /// The units to read in.
    Units,
    /// Instruments and gaskets.
    Hand,
}

all!(Step: Built, Cylinders, Units, Hand);

impl Step {
    fn number(self) -> usize {
        Self::ALL.iter().position(|&step| step == self).map_or(1, |index| index + 1)
    }

    fn by(self, steps: isize) -> Self {
        let to = self.number().saturating_add_signed(steps).saturating_sub(1);
        Self::ALL.get(to).copied().unwrap_or(self)
    }

    fn title(self) -> &'static str {
        match self {
            Self::Built => "How is it built?",
            Self::Cylinders => "Cylinders and heads",
            Self::Units => "What do you read in?",
            Self::Hand => "What have you in hand?",
        }
    }
}

/// What was said so far.
#[derive(Clone, Debug, Default)]
pub(crate) struct NewEngineWizard {
    step: Step,
    /// The step was just come to: the keyboard goes to its first control.
    fresh: bool,
    draft: NewEngine,
    /// Which instruments of the catalogue are at hand.
    tools: Vec<&'static str>,
    /// Engines that another one can be begun from, the last opened first.
    others: Vec<Project>,
}

impl NewEngineWizard {
    /// The first step. `others` are the engines that another one can be begun
    /// from; the units of the first are taken over.
    #[must_use]
    pub(crate) fn new(others: Vec<Project>) -> Self {
        let units = others.first().map(|other| other.units).unwrap_or_default();
        let draft = NewEngine { units, ..NewEngine::default() };
        Self { fresh: true, draft, others, ..Self::default() }
    }

    /// The project that was described.
    fn project(&self) -> Project {
        let at_hand = |tool: &&catalogue::Tool| self.tools.contains(&tool.id);
        let instruments = catalogue::tools().iter().filter(at_hand).filter_map(catalogue::Tool::instrument);
        NewEngine { instruments: instruments.collect(), ..self.draft.clone() }.project()
    }

    fn go(&mut self, steps: isize) {
        self.step = self.step.by(steps);
        self.fresh = true;
    }
}

/// Shows the step over the sheet; what the person decided.
pub(super) fn begin_ui(
    ui: &mut Ui,
    begin: &mut NewEngineWizard,
    sheet: Rect,
    t: &Tokens,
) -> Option<PromptAnswer> {
    let window = ui.max_rect();
    let wide = sheet.width().clamp(*WIDTH.start(), *WIDTH.end());
    let left = (sheet.center().x - wide / 2.0).min(window.right() - wide - space::NEAR).max(space::NEAR);
    let id = Id::unique("begin");
    let area = Area::new(id).order(Order::Foreground).fixed_pos(pos2(left, sheet.top() + space::NEAR));
    let frame = Frame::new()
        .fill(t.sheet)
        .corner_radius(radius::FIELD)
        .inner_margin(Margin::same(24))
        .stroke(t.stroke(width::FRAME, t.ink2));
    let modal = Modal::new(id).area(area).frame(frame).backdrop_color(t.board.gamma_multiply(0.62));
    let high = (window.bottom() - sheet.top() - AROUND).min(HIGH);
    let shown = modal.show(ui.ctx(), |ui| {
        ui.set_width(wide - 2.0 * space::WIDE);
        ui.spacing_mut().item_spacing = vec2(space::NEAR, space::NEAR);
        head_ui(ui, begin, t);
        let fresh = std::mem::take(&mut begin.fresh);
        // Of one height, so that the buttons below stay under the hand.
        let scroll = ScrollArea::vertical().max_height(high).min_scrolled_height(high).auto_shrink(false);
        let ring = Margin::same(5);
        let shown = scroll
            .show(ui, |ui| Frame::new().inner_margin(ring).show(ui, |ui| step_ui(ui, begin, fresh, t)).inner);
        let answer = shown.inner;
        ui.add_space(space::TIGHT);
        let foot = foot_ui(ui, begin, fresh, t);
        answer.or(foot)
    });
    let close = shown.should_close();
    shown.inner.or(close.then_some(PromptAnswer::Close))
}

fn step_ui(ui: &mut Ui, begin: &mut NewEngineWizard, fresh: bool, t: &Tokens) -> Option<PromptAnswer> {
    match begin.step {
        Step::Built => return start::built_ui(ui, begin, fresh, t),
        Step::Cylinders => parts::cylinders_ui(ui, begin, t),
        Step::Units => hand::units_ui(ui, begin, t),
        Step::Hand => hand::hand_ui(ui, begin, t),
    }
    None
}

fn head_ui(ui: &mut Ui, begin: &NewEngineWizard, t: &Tokens) {
    ui.label(RichText::new(begin.step.title()).font(semibold(text::LESSON)).color(t.ink));
    let says = format!("New engine, step {} of {}", begin.step.number(), Step::ALL.len());
    ui.label(RichText::new(says).font(regular(text::CAPTION)).color(t.ink2));
}

/// Back, on, or away. The step after the first begin with the keyboard on the
/// way on.
fn foot_ui(ui: &mut Ui, begin: &mut NewEngineWizard, fresh: bool, t: &Tokens) -> Option<PromptAnswer> {
    let mut answer = None;
    ui.horizontal(|ui| {
        let first = begin.step == Step::Built;
        if !first {
            let last = begin.step == Step::Hand;
            let words = if last { "Begin" } else { "Next" };
            let on = Button::primary(Id::unique(("begin on", begin.step.number())), words).add(ui, t);
            if fresh {
                on.request_focus();
            }
            if on.clicked() && last {
                answer = Some(begun(begin));
            } else if on.clicked() {
                begin.go(1);
            }
            if Button::plain(Id::unique("begin back"), "Back").add(ui, t).clicked() {
                begin.go(-1);
            }
            let now = Button::plain(Id::unique("begin now"), "Begin now")
                .tooltip("The steps that are left keep the answers that they show");
            if !last && now.add(ui, t).clicked() {
                answer = Some(begun(begin));
            }
        }
        if Button::plain(Id::unique("begin cancel"), "Cancel").with_key("Esc").add(ui, t).clicked() {
            answer = Some(PromptAnswer::Close);
        }
        if first {
            caption(
                ui,
                "Tab and Enter, or the number of an answer. Everything stays as it is until the end.",
                t,
            );
        }
    });
    answer
}

fn begun(begin: &NewEngineWizard) -> PromptAnswer {
    PromptAnswer::Do(Box::new(Command::NewEngine(Box::new(begin.project()))))
}

fn caption(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
}

fn question_ui(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.add_space(space::TIGHT);
    ui.label(RichText::new(words).font(semibold(text::BODY)).color(t.ink));
}

/// One of several short answers side by side, the chosen one marked; whether
/// it was pressed.
fn pick(ui: &mut Ui, group: &str, words: &str, chosen: bool, t: &Tokens) -> bool {
    let kind = if chosen { Kind::Chosen } else { Kind::Plain };
    let button = Button { kind, ..Button::plain(Id::unique(("begin", group, words)), words) };
    button.add(ui, t).clicked()
}

/// The digit that was pressed, if no field has the keyboard.
fn digit(ui: &Ui) -> Option<usize> {
    const DIGITS: [Key; 9] =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    if ui.ctx().text_edit_focused() {
        return None;
    }
    ui.input(|i| DIGITS.iter().position(|&key| i.key_pressed(key))).map(|index| index + 1)
}
