//! What the window keeps between two runs: the look, the open panel, the
//! files opened before.

use super::Window;
use crate::app::appearance::AppearanceWatcher;
use crate::app::layout::Panes;
use crate::app::theme::{self, Theme};
use crate::app::views::Panel;
use crate::app::views::dimensions::DimensionsView;
use crate::app::views::sheet::SheetView;
use crate::lesson::Progress;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// Files that the menu remembers.
const RECENT: usize = 8;

/// What is kept between two runs of the program. The project is not: it is
/// saved when the person says so.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Settings {
    /// None: as the system asks for.
    pub(super) theme: Option<Theme>,
    /// A turning crank goes by steps; none: as the system asks for.
    pub(super) still: Option<bool>,
    #[serde(alias = "drawer")]
    pub(super) panel: Panel,
    pub(super) dimensions: DimensionsView,
    pub(super) sheet: SheetView,
    pub(super) panes: Panes,
    pub(super) recent: Vec<PathBuf>,
    pub(super) progress: Progress,
}

impl Settings {
    /// Puts a file in front of those that the menu remembers.
    pub(super) fn remember(&mut self, path: &Path) {
        self.recent.retain(|known| known != path);
        self.recent.insert(0, path.to_path_buf());
        self.recent.truncate(RECENT);
    }
}

impl Window {
    pub(super) fn theme(&self, ctx: &egui::Context) -> Theme {
        let asked = self.appearance.now();
        let dark = asked.dark.map(|dark| if dark { egui::Theme::Dark } else { egui::Theme::Light });
        let system = dark.or(ctx.system_theme()).unwrap_or(egui::Theme::Light);
        self.settings.theme.unwrap_or_else(|| Theme::following(system, asked.contrast))
    }

    /// The theme that is shown.
    #[must_use]
    pub fn theme_shown(&self) -> Option<Theme> {
        self.theme_applied
    }

    /// Whether a turning crank goes by steps.
    pub(super) fn is_still(&self) -> bool {
        self.settings.still.unwrap_or(self.appearance.now().still)
    }

    /// How the system asks programs to look.
    #[must_use]
    pub fn appearance(&self) -> &AppearanceWatcher {
        &self.appearance
    }

    pub(super) fn apply_theme(&mut self, ctx: &egui::Context) {
        let theme = self.theme(ctx);
        if self.theme_applied != Some(theme) {
            theme::apply(ctx, theme);
            self.theme_applied = Some(theme);
        }
    }
}
