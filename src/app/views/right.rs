//! The right column: all cylinders, the open drawer, and the fronts of the
//! closed ones, which still say what is inside.

use super::{Drawer, Shown, binder, cylinders, effects, figures};
use crate::app::command::Command;
use crate::app::icons::Icon;
use crate::app::widgets::front::{Front, drawer_head};
use crate::app::widgets::panel;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::sheet::Paper;
use crate::study::verdict::Verdict;
use egui::{Id, Rect, Ui, UiBuilder, pos2, vec2};

/// What the column remembers.
#[derive(Clone, Copy, Debug, Default)]
pub struct RightView {
    /// The paper of the binder page.
    pub paper: Paper,
    /// In the least window: the column was called over the sheet.
    pub called: bool,
}

impl Drawer {
    /// All drawers, in the order of their keys.
    pub const ALL: [Self; 3] = [Self::Figures, Self::Effects, Self::Binder];

    /// The name on the front.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Figures => "Figures",
            Self::Effects => "What moves what",
            Self::Binder => "Binder",
        }
    }

    /// The key that opens it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Figures => "F2",
            Self::Effects => "F3",
            Self::Binder => "F7",
        }
    }

    fn icon(self) -> Icon {
        match self {
            Self::Figures => Icon::Figures,
            Self::Effects => Icon::Effects,
            Self::Binder => Icon::Binder,
        }
    }

    /// Whether it needs the wide column.
    #[must_use]
    pub fn is_wide(self) -> bool {
        false
    }
}

/// The shape of a verdict.
#[must_use]
pub fn shape(verdict: &Verdict) -> Shape {
    match verdict {
        Verdict::Inside { .. } => Shape::Inside,
        Verdict::TooNear => Shape::Close,
        Verdict::Over { .. } => Shape::Over,
        Verdict::Unknown { .. } => Shape::Unknown,
    }
}

/// Shows the column.
pub fn right_ui(ui: &mut Ui, shown: &Shown<'_>, view: &mut RightView, out: &mut Vec<Command>) {
    let t = shown.t;
    let layout = shown.layout;
    if layout.right_over_sheet && !view.called {
        return;
    }
    panel::paint_panel(ui.painter(), layout.cylinders, t);
    cylinders::cylinders_ui(ui, layout.cylinders, shown, out);
    let closed: Vec<Drawer> = Drawer::ALL.into_iter().filter(|&d| d != shown.drawer).collect();
    // The fronts that exist stand at the bottom; the drawer takes the rest.
    let places: Vec<Rect> = layout.fronts.iter().rev().take(closed.len()).rev().copied().collect();
    let top = places.first().map_or(layout.drawer.bottom(), |front| front.top() - 4.0);
    let drawer = Rect::from_min_max(layout.drawer.min, pos2(layout.drawer.right(), top));
    panel::paint_panel(ui.painter(), drawer, t);
    let head = Rect::from_min_size(drawer.min + vec2(14.0, 4.0), vec2(drawer.width() - 28.0, 32.0));
    let id = Id::unique("drawer head");
    if drawer_head(ui, head, id, shown.drawer.icon(), shown.drawer.name(), shown.drawer.key(), t).clicked() {
        out.push(Command::Show(Drawer::Figures));
    }
    let body =
        Rect::from_min_max(pos2(drawer.left() + 14.0, head.bottom() + 2.0), drawer.max - vec2(14.0, 8.0));
    ui.scope_builder(UiBuilder::new().max_rect(body).id_salt(shown.drawer.name()), |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        match shown.drawer {
            Drawer::Figures => figures::figures_ui(ui, shown),
            Drawer::Effects => effects::effects_ui(ui, shown),
            Drawer::Binder => binder::binder_ui(ui, shown, view, out),
        }
    });
    for (drawer, rect) in closed.into_iter().zip(places) {
        let (status, verdict) = status(shown, drawer);
        let front = Front {
            id: Id::unique(("front", drawer.name())),
            icon: drawer.icon(),
            name: drawer.name(),
            key: drawer.key(),
            status: &status,
            verdict,
        };
        if front.show(ui, rect, t).clicked() {
            out.push(Command::Show(drawer));
        }
    }
}

/// What a closed drawer says.
fn status(shown: &Shown<'_>, drawer: Drawer) -> (String, Option<Shape>) {
    match drawer {
        Drawer::Figures => {
            let count =
                |severity: u8| shown.answers().judged().filter(|j| j.verdict.severity() == severity).count();
            match (count(3), count(2)) {
                (0, 0) => ("no limit broken".into(), None),
                (0, close) => (format!("{close} too near to call"), Some(Shape::Close)),
                (over, 0) => (limits_broken(over), Some(Shape::Over)),
                (over, close) => (format!("{}, {close} close", limits_broken(over)), Some(Shape::Over)),
            }
        }
        Drawer::Effects => {
            let note = super::sheet::step_note(shown);
            (note.unwrap_or_default(), None)
        }
        Drawer::Binder => ("section, one page".into(), None),
    }
}

fn limits_broken(count: usize) -> String {
    if count == 1 { "1 limit broken".into() } else { format!("{count} limits broken") }
}
