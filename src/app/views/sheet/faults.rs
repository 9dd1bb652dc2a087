//! An engine that can't exist: what is impossible, which dimension, what
//! would be possible, and the ways out.

use crate::app::command::{Action, Command};
use crate::app::theme::{radius, regular, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::app::widgets::verdict::Verdict;
use crate::engine::{Fault, FaultKind, Key};
use egui::{Align, Id, Rect, Sense, Ui, UiBuilder, pos2, vec2};

/// Shows the box beside the title block.
pub(super) fn faults_ui(
    ui: &mut Ui,
    frame: Rect,
    block: Rect,
    faults: &[Fault],
    shown: &ViewContext<'_>,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let wide = (frame.width() * 0.56).max(block.width()).min(frame.width() - 24.0);
    let lines: Vec<String> = faults.iter().map(line).collect();
    let painter = ui.painter().clone();
    let galley = paint::wrapped(&painter, &lines.join("\n"), regular(text::BODY), t.ink, wide - 28.0);
    let height = galley.size().y + 90.0;
    let rect = Rect::from_min_size(
        pos2(frame.right() - wide - 12.0, block.top() - height - 12.0),
        vec2(wide, height),
    );
    painter.rect_filled(rect, radius::BUTTON, t.warn_tint);
    painter.rect_stroke(rect, radius::BUTTON, t.stroke(width::FRAME, t.warn), egui::StrokeKind::Inside);
    let title = title(faults);
    Verdict::Over.paint(&painter, rect.min + vec2(22.0, 20.0), 16.0, t);
    paint::text(&painter, rect.min + vec2(38.0, 25.0), Align::Min, title, semibold(text::PANEL), t.ink);
    painter.galley(rect.min + vec2(14.0, 36.0), galley, t.ink);
    let response = ui.interact(rect, Id::unique("faults"), Sense::hover());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::accesskit::Role::Alert, true, format!("{title}. {}", lines.join(" ")))
    });
    let foot =
        Rect::from_min_max(pos2(rect.left() + 14.0, rect.bottom() - 40.0), rect.max - vec2(14.0, 10.0));
    ui.scope_builder(UiBuilder::new().max_rect(foot), |ui| ways_out(ui, foot, faults, shown, out));
}

fn line(fault: &Fault) -> String {
    format!("{} {}: {}. Possible: {}.", fault.key.name(), fault.value_text(), fault.why, fault.accepted)
}

fn title(faults: &[Fault]) -> &'static str {
    match faults {
        [Fault { kind: FaultKind::Contact, .. }] => "The piston would meet the head",
        [Fault { kind: FaultKind::NoClearance, .. }] => "No space would be left above the piston",
        [Fault { kind: FaultKind::RodTooShort, .. }] => "The rod would not pass the crank",
        _ => "This engine can't exist as it stands",
    }
}

/// Back to what was, or on to the dimension that is at fault.
fn ways_out(ui: &Ui, foot: Rect, faults: &[Fault], shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let mut x = foot.left();
    let mut offer = |button: Button<'_>, command: Command| {
        let size = button.size(ui.painter(), t);
        if x + size.x <= foot.right() {
            let place = Rect::from_min_size(pos2(x, foot.top()), size);
            x = place.right() + 8.0;
            if button.show(ui, place, t).clicked() {
                out.push(command);
            }
        }
    };
    if let Some(last) = shown.session.history().undo_label() {
        let back = Button::primary(Id::unique("faults undo"), "Take the last step back").tooltip(last);
        offer(back, Command::Action(Action::Undo));
    }
    let mut named: Vec<Key> = Vec::new();
    for key in faults.iter().map(|fault| fault.key) {
        if !named.contains(&key) {
            named.push(key);
            let label = format!("Change {}", key.name().to_lowercase());
            offer(Button::plain(Id::unique(("faults go to", key.index())), &label), Command::GoTo(key));
        }
    }
}
