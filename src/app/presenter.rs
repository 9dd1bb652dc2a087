//! The large view for a teacher: the drawing and the present step of the
//! lesson in letters that a class can read, and nothing else.
//!
//! How large is large enough: a letter is read without effort when its
//! capitals are seen under twice the angle that sound eyes just make out,
//! which is 5 minutes of arc for the letters of a test chart (ISO 8596, from
//! memory; the factor is common practice).

use super::command::Action;
use super::layout::{Class, Curves, Layout, Rows, layout};
use super::theme::AnswerSizes;
use super::views::Panel;
use super::views::sheet::SheetView;
use crate::drawing::lettering::CAPITAL_HEIGHT;
use crate::engine::num;
use egui::{Id, Rect, Vec2, pos2, vec2};

/// The angle under which the capitals are seen, minutes of arc.
const ARC_MINUTES: f64 = 10.0;
/// How far the class is away, m.
pub const DISTANCE_M: f64 = 3.0;
/// The window in points is never larger than this; what is more makes all of
/// it larger.
const ROOM: Vec2 = vec2(980.0, 560.0);
/// Letters of a step are never larger or smaller than this, points.
pub const LARGEST: f32 = 34.0;
/// The least of them, points.
pub const SMALLEST: f32 = 13.0;
const MARGIN: f32 = 8.0;
/// The part of the width that the drawing has beside a step.
const SHEET: f32 = 0.47;
/// Height of the line at the foot, which names the keys.
const FOOT: f32 = 22.0;

/// What stood in the window before.
#[derive(Clone, Debug)]
pub struct SavedState {
    pub(super) full_screen: bool,
    pub(super) zoom: f32,
    pub(super) panel: Panel,
    pub(super) overlay_open: bool,
    pub(super) sheet: SheetView,
    pub(super) cylinder: usize,
    pub(super) crank_deg: f64,
    pub(super) playing: bool,
    /// The step of the lesson, if one was open.
    pub(super) step: Option<usize>,
    pub(super) focus: Option<Id>,
    /// The size of the window, in points, that everything was made to fit.
    pub(super) fitted: Option<Vec2>,
}

/// How much larger everything is drawn in a window of this many points at its
/// usual size.
#[must_use]
pub fn zoom(size: Vec2) -> f32 {
    (size.x / ROOM.x).min(size.y / ROOM.y).clamp(1.0, 5.0)
}

/// Height of the capitals, mm, that is read from so many metres.
#[must_use]
pub fn capitals_mm(distance_m: f64) -> f64 {
    1000.0 * distance_m * angle()
}

/// From how many metres capitals of this height are read.
///
/// ```
/// use crowndeck::app::presenter::{capitals_mm, distance_m};
/// assert!((capitals_mm(3.0) - 8.73).abs() < 0.01);
/// assert!((distance_m(capitals_mm(3.0)) - 3.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn distance_m(capitals_mm: f64) -> f64 {
    capitals_mm / angle() / 1000.0
}

/// The tangent of the angle.
fn angle() -> f64 {
    let angle = (ARC_MINUTES / 60.0).to_radians();
    num::sin(angle) / num::cos(angle)
}

/// Height of the capitals, mm, of letters of this size in points.
#[must_use]
pub fn capitals_of(letters: f32, points_per_mm: f64) -> f64 {
    f64::from(letters) * CAPITAL_HEIGHT / points_per_mm
}

/// The letters that the class can read, points, as far as a step can have
/// them.
#[must_use]
pub fn wanted_letters(points_per_mm: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "the size of letters on a screen")]
    let points = (capitals_mm(DISTANCE_M) * points_per_mm / CAPITAL_HEIGHT) as f32;
    points.clamp(SMALLEST, LARGEST)
}

/// Where everything stands: the sheet, the step beside it if there is one,
/// and a line with the keys.
#[derive(Clone, Debug, PartialEq)]
pub struct Places {
    /// The layout that the sheet reads.
    pub layout: Layout,
    /// The step of the lesson.
    pub step: Rect,
    /// The line with the keys.
    pub foot: Rect,
}

/// Lays the view out in a window of this many points.
#[must_use]
pub fn places(size: Vec2, has_step: bool) -> Places {
    let inner = Rect::from_min_max(pos2(MARGIN, MARGIN), pos2(size.x - MARGIN, size.y - FOOT - MARGIN));
    let share = if has_step { SHEET } else { 1.0 };
    let middle = inner.left() + share * inner.width();
    let sheet_end = if has_step { middle - MARGIN / 2.0 } else { inner.right() };
    let sheet = Rect::from_min_max(inner.min, pos2(sheet_end, inner.bottom()));
    let step = Rect::from_min_max(pos2(middle + MARGIN / 2.0, inner.top()), inner.max);
    let foot =
        Rect::from_min_max(pos2(inner.left(), inner.bottom() + 2.0), pos2(inner.right(), size.y - 4.0));
    let layout = Layout {
        class: Class::Small,
        sheet,
        right_over_sheet: false,
        rows: if has_step { Rows::Plain } else { Rows::Compact },
        plots: Curves::AngleLine,
        title_block: if has_step { vec2(242.0, 202.0) } else { vec2(324.0, 228.0) },
        detail_radius: if has_step { 84.0 } else { 106.0 },
        answers: if has_step { AnswerSizes::SMALL } else { AnswerSizes::USUAL },
        ..layout(size, false)
    };
    Places { layout, step, foot }
}

/// Whether a command has a meaning while nothing but drawing and step is in
/// sight.
#[must_use]
pub fn has_meaning(named: Action) -> bool {
    matches!(
        named,
        Action::LargeView
            | Action::PlayCrank
            | Action::CrankToTop
            | Action::CrankBack
            | Action::CrankOn
            | Action::NextCylinder
            | Action::PreviousCylinder
            | Action::NextUnits
            | Action::NextTheme
            | Action::CrankBySteps
            | Action::FollowSystem
            | Action::Towers
            | Action::Upright
            | Action::ZoomIn
            | Action::ZoomOut
            | Action::ZoomWhole
            | Action::StepBack
            | Action::StepOn
            | Action::Undo
            | Action::Redo
            | Action::Save
            | Action::Quit
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheet_and_step_share_the_window_and_overlap_nowhere() {
        for size in [vec2(980.0, 560.0), vec2(914.0, 514.0), vec2(1024.0, 640.0)] {
            for has_step in [true, false] {
                let places = places(size, has_step);
                let window = Rect::from_min_size(pos2(0.0, 0.0), size);
                assert!(window.contains_rect(places.layout.sheet) && window.contains_rect(places.foot));
                assert!(places.layout.sheet.bottom() < places.foot.top());
                if has_step {
                    assert!(window.contains_rect(places.step));
                    assert!(places.layout.sheet.right() < places.step.left());
                }
            }
        }
    }

    /// 3 m and 10 minutes of arc: 3000 mm · tan 10′ = 8.727 mm, worked by hand.
    #[test]
    fn letters_follow_the_distance_and_the_screen() {
        assert!((capitals_mm(3.0) - 8.727).abs() < 1e-3);
        // A large screen at a usual density, everything drawn twice as large.
        let points_per_mm = 96.0 / 25.4 / 2.0;
        let letters = wanted_letters(points_per_mm);
        assert!((distance_m(capitals_of(letters, points_per_mm)) - 3.0).abs() < 1e-4);
        assert_eq!(wanted_letters(100.0), LARGEST);
        assert_eq!(wanted_letters(0.1), SMALLEST);
    }

    #[test]
    fn a_larger_window_draws_everything_larger() {
        assert_eq!(zoom(vec2(640.0, 480.0)), 1.0);
        assert!((zoom(vec2(1960.0, 1120.0)) - 2.0).abs() < 1e-6);
    }
}
