//! Where everything stands in the window: a pure function of the window's
//! size, so that it can be tested without a window.
//!
//! Left the dimensions, in the middle the sheet above the curves, right the
//! cylinders, the open panel and the fronts of the closed ones. Only the
//! sheet and the curves grow with the window.

use super::theme::{AnswerSizes, space};
use super::views::panel::PANELS;
use egui::{Rect, Vec2, pos2, vec2};
use serde::{Deserialize, Serialize};

/// Drawers that are closed while one is open.
pub const FRONTS: usize = PANELS.len() - 1;
/// The least window that the layout is made for.
pub const LEAST: Vec2 = vec2(1024.0, 640.0);

const TOP_BAR: f32 = 44.0;

/// How wide the window is, which decides how much room each thing gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// Around 1024 by 640: the right column lies over the sheet when called.
    Least,
    /// Around 1280 by 720.
    Small,
    /// Around 1440 by 900.
    Usual,
    /// From 1920 by 1000.
    Large,
}

/// How the rows of the dimension list are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rows {
    /// Effect and rule on every row, 39 high.
    Full,
    /// 27 high, the rule only under the row in hand.
    Compact,
    /// Beside a wide panel: mark, name and field.
    Plain,
}

/// What the curves panel shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curves {
    /// Below the top, volume, ratio.
    Three,
    /// One plot.
    One,
    /// Only the angle and its field, on one line.
    AngleLine,
}

/// How far a person has moved the edges between the panes from where they
/// stand usually: by so many points each pane is larger.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Panes {
    /// The dimensions.
    pub left: f32,
    /// The right column.
    pub right: f32,
    /// The right column with a wide panel open.
    pub wide: f32,
    /// The curves.
    pub curves: f32,
}

/// Every rectangle of the window, in points, and what follows from its size.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// How wide the window is.
    pub class: Class,
    /// The bar on the board.
    pub top: Rect,
    /// The dimensions.
    pub left: Rect,
    /// The sheet with the drawing.
    pub sheet: Rect,
    /// The curves against the crank angle.
    pub curves: Rect,
    /// The whole right column.
    pub right: Rect,
    /// The right column lies over the sheet and is shown only when called.
    pub right_over_sheet: bool,
    /// All cylinders, worst first.
    pub cylinders: Rect,
    /// The open panel.
    pub panel: Rect,
    /// Fronts of the closed panels, top to bottom; in two columns beside a
    /// wide panel and in a small window.
    pub fronts: [Rect; FRONTS],
    /// How the rows of the dimension list are written.
    pub rows: Rows,
    /// What the curves panel shows.
    pub plots: Curves,
    /// Title block, at the bottom right corner inside the sheet's frame.
    pub title_block: Vec2,
    /// Radius of circle Z on the sheet.
    pub detail_radius: f32,
    /// Sizes of the answers.
    pub answers: AnswerSizes,
    /// How far the edges really stand from their usual places.
    pub panes: Panes,
}

/// Distances and heights of one class.
#[derive(Clone)]
struct Measures {
    margin: f32,
    top: f32,
    left: f32,
    right: f32,
    curves: f32,
    cylinders: f32,
    front: f32,
    front_gap: f32,
}

/// Lays the window out. Sizes below [`LEAST`] are laid out as that size: the
/// rest is then cut off at the right and at the bottom, nothing overlaps.
///
/// ```
/// use crowndeck::app::layout::layout;
/// let l = layout(egui::vec2(1440.0, 900.0), false);
/// assert_eq!(l.sheet.size(), egui::vec2(700.0, 652.0));
/// ```
#[must_use]
pub fn layout(size: Vec2, wide_panel: bool) -> Layout {
    layout_with(size, wide_panel, &Panes::default())
}

/// The same with the edges where a person has put them, as far as each pane
/// keeps the room that it needs.
#[must_use]
pub fn layout_with(size: Vec2, wide_panel: bool, panes: &Panes) -> Layout {
    let size = size.max(LEAST);
    let class = class(size);
    let usual = measures(class, size, wide_panel);
    let m = usual.moved(class, size, wide_panel, panes);
    let over = class == Class::Least;
    let bottom = size.y - m.margin;

    let top = Rect::from_min_size(pos2(0.0, 0.0), vec2(size.x, TOP_BAR));
    let left = Rect::from_min_max(pos2(m.margin, m.top), pos2(m.margin + m.left, bottom));
    let right_edge = size.x - m.margin;
    let right = Rect::from_min_max(pos2(right_edge - m.right, m.top), pos2(right_edge, bottom));
    let middle_end = if over { right_edge } else { right.left() - m.margin };
    let middle = Rect::from_min_max(pos2(left.right() + m.margin, m.top), pos2(middle_end, bottom));
    let curves = Rect::from_min_max(pos2(middle.left(), bottom - m.curves), middle.right_bottom());
    let sheet = Rect::from_min_max(middle.left_top(), pos2(middle.right(), curves.top() - space::NEAR));

    let cylinders = Rect::from_min_size(right.left_top(), vec2(right.width(), m.cylinders));
    let small = matches!(class, Class::Least | Class::Small);
    let fronts = fronts(right, &m, wide_panel, small);
    let fronts_top = fronts.iter().map(Rect::top).fold(bottom, f32::min);
    let panel = Rect::from_min_max(
        pos2(right.left(), cylinders.bottom() + space::NEAR),
        pos2(right.right(), fronts_top - m.front_gap),
    );
    let narrow = wide_panel && !over;
    Layout {
        class,
        top,
        left,
        sheet,
        curves,
        right,
        right_over_sheet: over,
        cylinders,
        panel,
        fronts,
        rows: match (narrow, small) {
            (true, _) => Rows::Plain,
            (false, true) => Rows::Compact,
            (false, false) => Rows::Full,
        },
        plots: match (over, narrow && small) {
            (true, _) => Curves::AngleLine,
            (false, true) => Curves::One,
            (false, false) => Curves::Three,
        },
        title_block: match (narrow, class) {
            (true, _) => vec2(242.0, 202.0),
            (false, Class::Least | Class::Small) => vec2(300.0, 202.0),
            (false, Class::Usual) => vec2(324.0, 228.0),
            (false, Class::Large) => vec2(400.0, 276.0),
        },
        detail_radius: match (narrow, class) {
            (true, _) => 88.0,
            (false, Class::Least | Class::Small) => 84.0,
            (false, Class::Usual) => 106.0,
            (false, Class::Large) => 132.0,
        },
        answers: match (narrow, class) {
            (true, _) | (false, Class::Least | Class::Small) => AnswerSizes::SMALL,
            (false, Class::Usual) => AnswerSizes::USUAL,
            (false, Class::Large) => AnswerSizes::LARGE,
        },
        panes: {
            let right = m.right - usual.right;
            let (right, wide) = if wide_panel { (panes.right, right) } else { (right, panes.wide) };
            Panes { left: m.left - usual.left, right, wide, curves: m.curves - usual.curves }
        },
    }
}

impl Measures {
    /// With the edges moved as far as there is room. In the least window they
    /// stand still.
    fn moved(&self, class: Class, size: Vec2, wide: bool, panes: &Panes) -> Self {
        if class == Class::Least {
            return self.clone();
        }
        // The sheet keeps its title block and the drawing beside it.
        let sheet = vec2(if wide { 404.0 } else { 520.0 }, 330.0);
        let least_right = match (wide, class) {
            (true, _) => 520.0,
            (false, Class::Small) => 312.0,
            (false, _) => 340.0,
        };
        let across = size.x - 4.0 * self.margin - sheet.x;
        let left = (self.left + panes.left).min(self.left + 160.0).min(across - self.right).max(self.left);
        let right = self.right + if wide { panes.wide } else { panes.right };
        let right = right.min(across - left).max(least_right);
        let down = size.y - self.top - self.margin - space::NEAR - sheet.y;
        let curves = (self.curves + panes.curves).min(down.max(self.curves)).max(100.0);
        Self { left, right, curves, ..self.clone() }
    }
}

/// Thresholds lie below the sizes that they are named for, so that the same
/// layout still holds when the system's own bars have taken their share.
fn class(size: Vec2) -> Class {
    if size.x < 1200.0 {
        Class::Least
    } else if size.x < 1400.0 || size.y < 840.0 {
        Class::Small
    } else if size.x < 1900.0 || size.y < 980.0 {
        Class::Usual
    } else {
        Class::Large
    }
}

fn measures(class: Class, size: Vec2, wide: bool) -> Measures {
    let wide_right = if size.x < 1280.0 { 520.0 } else { 612.0 };
    match class {
        Class::Least => Measures {
            margin: space::NEAR,
            top: 46.0,
            left: 272.0,
            right: if wide { wide_right } else { 312.0 },
            curves: 40.0,
            cylinders: 154.0,
            front: 25.0,
            front_gap: 3.0,
        },
        Class::Small => Measures {
            margin: space::NEAR,
            top: 46.0,
            left: if wide { 232.0 } else { 272.0 },
            right: if wide { wide_right } else { 312.0 },
            curves: 134.0,
            cylinders: 154.0,
            front: 25.0,
            front_gap: 3.0,
        },
        Class::Usual | Class::Large => Measures {
            margin: space::GAP,
            top: 52.0,
            left: if wide { 232.0 } else { 312.0 },
            right: if wide { wide_right } else { 380.0 },
            // a quarter of the height beyond the usual window goes to the curves
            curves: 176.0 + (size.y - 900.0).clamp(0.0, 360.0) / 4.0,
            cylinders: 152.0,
            front: 28.0,
            front_gap: 4.0,
        },
    }
}

/// In a small window they stand in two columns, as beside a wide panel.
fn fronts(right: Rect, m: &Measures, wide: bool, small: bool) -> [Rect; FRONTS] {
    let columns = if wide || small { 2 } else { 1 };
    let rows = FRONTS.div_ceil(columns);
    let pitch = vec2((right.width() + m.front_gap) / columns as f32, m.front + m.front_gap);
    let top = right.bottom() - rows as f32 * pitch.y + m.front_gap;
    std::array::from_fn(|i| {
        let at = vec2((i % columns) as f32, (i / columns) as f32) * pitch;
        Rect::from_min_size(pos2(right.left(), top) + at, pitch - Vec2::splat(m.front_gap))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZES: [Vec2; 4] =
        [vec2(1024.0, 640.0), vec2(1280.0, 720.0), vec2(1440.0, 900.0), vec2(1920.0, 1080.0)];

    fn rect(x0: f32, y0: f32, x1: f32, y1: f32) -> Rect {
        Rect::from_min_max(pos2(x0, y0), pos2(x1, y1))
    }

    #[test]
    fn the_usual_window_is_as_drawn() {
        let l = layout(SIZES[2], false);
        assert_eq!(l.left, rect(12.0, 52.0, 324.0, 888.0));
        assert_eq!(l.sheet, rect(336.0, 52.0, 1036.0, 704.0));
        assert_eq!(l.curves, rect(336.0, 712.0, 1036.0, 888.0));
        assert_eq!(l.right, rect(1048.0, 52.0, 1428.0, 888.0));
        assert_eq!(l.cylinders, rect(1048.0, 52.0, 1428.0, 204.0));
        assert_eq!(l.panel, rect(1048.0, 212.0, 1428.0, 600.0));
        assert_eq!(l.fronts[0], rect(1048.0, 604.0, 1428.0, 632.0));
        assert_eq!(l.fronts[8], rect(1048.0, 860.0, 1428.0, 888.0));
        assert_eq!((l.rows, l.plots, l.right_over_sheet), (Rows::Full, Curves::Three, false));
        assert_eq!(l.answers, AnswerSizes::USUAL);
    }

    #[test]
    fn a_wide_drawer_takes_room_from_sheet_and_dimensions() {
        let l = layout(SIZES[2], true);
        assert_eq!(l.left, rect(12.0, 52.0, 244.0, 888.0));
        assert_eq!(l.sheet, rect(256.0, 52.0, 804.0, 704.0));
        assert_eq!(l.panel, rect(816.0, 212.0, 1428.0, 728.0));
        assert_eq!(l.fronts[0], rect(816.0, 732.0, 1120.0, 760.0));
        assert_eq!(l.fronts[1], rect(1124.0, 732.0, 1428.0, 760.0));
        assert_eq!(l.fronts[8], rect(816.0, 860.0, 1120.0, 888.0));
        assert_eq!((l.rows, l.title_block), (Rows::Plain, vec2(242.0, 202.0)));
    }

    #[test]
    fn the_small_window_is_as_drawn() {
        let l = layout(SIZES[1], false);
        assert_eq!(l.left, rect(8.0, 46.0, 280.0, 712.0));
        assert_eq!(l.sheet, rect(288.0, 46.0, 952.0, 570.0));
        assert_eq!(l.curves, rect(288.0, 578.0, 952.0, 712.0));
        assert_eq!(l.right, rect(960.0, 46.0, 1272.0, 712.0));
        assert_eq!(l.fronts[8], rect(960.0, 687.0, 1114.5, 712.0));
        assert_eq!((l.rows, l.answers), (Rows::Compact, AnswerSizes::SMALL));
    }

    #[test]
    fn beside_a_wide_drawer_the_small_window_keeps_one_plot() {
        assert_eq!(layout(SIZES[1], true).plots, Curves::One);
        assert_eq!(layout(SIZES[2], true).plots, Curves::Three);
    }

    #[test]
    fn in_the_least_window_the_right_column_lies_over_the_sheet() {
        let l = layout(SIZES[0], false);
        assert!(l.right_over_sheet);
        assert_eq!(l.plots, Curves::AngleLine);
        assert_eq!(l.sheet.right(), l.right.right());
        assert!(l.right.left() > l.sheet.center().x, "only the right half is covered");
        assert_eq!(layout(SIZES[0], true).sheet, l.sheet, "a wide drawer moves nothing");
    }

    #[test]
    fn in_a_large_window_only_sheet_and_curves_grow() {
        let (usual, large) = (layout(SIZES[2], false), layout(SIZES[3], false));
        assert_eq!(large.left.width(), usual.left.width());
        assert_eq!(large.right.width(), usual.right.width());
        assert_eq!(large.cylinders.height(), usual.cylinders.height());
        assert_eq!(large.fronts[0].height(), usual.fronts[0].height());
        assert!(large.sheet.width() > usual.sheet.width() && large.sheet.height() > usual.sheet.height());
        assert!(large.curves.height() > usual.curves.height());
        assert_eq!(large.answers, AnswerSizes::LARGE);
    }

    /// Every size from the least upward, by odd steps: nothing overlaps,
    /// nothing leaves the window, nothing is turned inside out.
    #[test]
    fn nothing_overlaps_at_any_size() {
        let mut size = LEAST;
        while size.x < 2600.0 {
            while size.y < 1500.0 {
                for wide in [false, true] {
                    let l = layout(size, wide);
                    let window = Rect::from_min_size(pos2(0.0, 0.0), size);
                    let mut parts = vec![l.top, l.left, l.sheet, l.curves];
                    if !l.right_over_sheet {
                        parts.extend([l.cylinders, l.panel]);
                        parts.extend(l.fronts);
                    }
                    for (i, a) in parts.iter().enumerate() {
                        assert!(a.is_positive() && window.contains_rect(*a), "{size:?} {wide} {a:?}");
                        for b in &parts[i + 1..] {
                            assert!(!a.shrink(0.01).intersects(*b), "{size:?} {wide}: {a:?} meets {b:?}");
                        }
                    }
                    assert!(l.sheet.width() >= 360.0 && l.sheet.height() >= 320.0, "{size:?} {wide}");
                    assert!(l.panel.height() >= 150.0, "{size:?} {wide} {:?}", l.panel);
                    assert!(l.sheet.width() > l.title_block.x + 60.0, "{size:?} {wide}");
                }
                size.y += 37.0;
            }
            size = vec2(size.x + 53.0, LEAST.y);
        }
    }

    /// However far the edges are pulled, each pane keeps its room, and what
    /// is told of the edges puts them where they are.
    #[test]
    fn edges_stop_where_a_pane_would_lose_its_room() {
        for size in [SIZES[1], SIZES[2], SIZES[3], vec2(1210.0, 700.0)] {
            for wide in [false, true] {
                let usual = layout(size, wide);
                for far in [-2000.0, -30.0, 0.0, 25.0, 2000.0] {
                    let panes = Panes { left: far, right: far, wide: far, curves: far };
                    let l = layout_with(size, wide, &panes);
                    assert!(l.sheet.width() >= usual.sheet.width().min(404.0), "{size:?} {wide} {far}");
                    assert!(l.sheet.height() >= 320.0 && l.curves.height() >= 100.0, "{size:?} {wide} {far}");
                    assert!(l.left.width() >= usual.left.width() && l.right.width() >= 312.0);
                    assert!((l.left.right() - l.sheet.left()).abs() <= 13.0, "they stay side by side");
                    let again = layout_with(size, wide, &l.panes);
                    assert_eq!((again.left, again.sheet, again.right), (l.left, l.sheet, l.right));
                }
            }
        }
        let wider = layout_with(SIZES[2], false, &Panes { right: 60.0, ..Panes::default() });
        assert_eq!(wider.right.width(), layout(SIZES[2], false).right.width() + 60.0);
    }

    #[test]
    fn below_the_least_size_the_layout_stays_that_of_the_least() {
        assert_eq!(layout(vec2(300.0, 200.0), false), layout(LEAST, false));
    }
}
