//! The icons of the window, drawn by us as polylines on an 18 by 18 grid with
//! a stroke of 1.5 and round ends.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2};
use std::f32::consts::TAU;

/// Side of the grid on which the icons are drawn, and their size in points
/// at rest.
pub(crate) const GRID: f32 = 18.0;
/// Stroke on that grid.
const STROKE: f32 = 1.5;
/// Points of a full circle.
const ROUND: u16 = 24;

/// An icon of the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Icon {
    /// The gap under the head: headline figures.
    Figures,
    /// Bars to both sides of a line: what moves what.
    Effects,
    /// A dial indicator.
    Readings,
    /// A stack of leaves with their notches.
    Shims,
    /// A ring with its gap.
    Rings,
    /// A page with filing holes.
    Binder,
    /// A pen on a line.
    Log,
    /// Books on a shelf.
    Lessons,
    /// Back by one step.
    Undo,
    /// Forward by one step.
    Redo,
    /// The state and its ghost.
    Keep,
    /// A lens.
    Find,
    /// Turn the crank.
    Play,
    /// Stop turning.
    Pause,
    /// To the top.
    Top,
    /// One more.
    Plus,
    /// Towards the left.
    Left,
    /// Towards the right.
    Right,
    /// Open downward; pressing folds it away.
    Fold,
    /// Folded; pressing opens it.
    Unfold,
    /// Open a file.
    Open,
    /// Save a file.
    Save,
    /// A barrel with its fins: the engine as it is built.
    Engine,
}

/// A piece of an icon, on the grid.
enum Piece {
    Line(&'static [[f32; 2]]),
    Closed(&'static [[f32; 2]]),
    /// Centre, radius, from and to in turns, clockwise from the right.
    Arc([f32; 2], f32, f32, f32),
    /// A filled disc.
    Dot([f32; 2], f32),
}

all!(
    pub Icon: Figures, Effects, Readings, Shims, Rings, Binder, Log, Lessons, Undo, Redo, Keep, Find, Play,
    Pause, Top, Plus, Left, Right, Fold, Unfold, Open, Save, Engine
);

impl Icon {
    fn pieces(self) -> &'static [Piece] {
        use Piece::{Arc, Closed, Dot, Line};
        match self {
            Self::Figures => &[
                Line(&[[1.0, 3.0], [17.0, 3.0]]),
                Line(&[[6.0, 3.0], [6.0, 11.0]]),
                Line(&[[1.0, 11.0], [11.5, 11.0], [11.5, 17.0]]),
                Line(&[[14.8, 3.0], [14.8, 17.0]]),
            ],
            Self::Effects => &[
                Line(&[[9.0, 1.0], [9.0, 17.0]]),
                Line(&[[9.0, 4.5], [16.0, 4.5]]),
                Line(&[[9.0, 9.0], [3.4, 9.0]]),
                Line(&[[9.0, 13.5], [12.4, 13.5]]),
            ],
            Self::Readings => &[
                Arc([9.0, 7.0], 6.1, 0.0, 1.0),
                Line(&[[9.0, 7.0], [12.0, 3.9]]),
                Line(&[[9.0, 13.2], [9.0, 17.0]]),
            ],
            Self::Shims => &[
                Line(&[[15.0, 4.5], [1.0, 4.5], [3.6, 9.0], [1.0, 13.5], [15.0, 13.5]]),
                Line(&[[3.6, 9.0], [17.0, 9.0]]),
            ],
            Self::Rings => &[Arc([9.0, 9.2], 7.1, -0.205, 0.705)],
            Self::Binder => &[
                Closed(&[[2.8, 1.0], [15.4, 1.0], [15.4, 17.0], [2.8, 17.0]]),
                Dot([6.5, 5.6], 1.25),
                Dot([6.5, 12.4], 1.25),
                Line(&[[9.6, 5.6], [13.0, 5.6]]),
                Line(&[[9.6, 9.0], [13.0, 9.0]]),
            ],
            Self::Log => &[
                Line(&[[1.0, 14.8], [7.2, 14.8]]),
                Closed(&[[7.2, 14.8], [8.2, 10.8], [14.4, 2.9], [16.8, 4.8], [10.7, 12.7]]),
            ],
            Self::Lessons => &[
                Line(&[[1.0, 16.8], [17.0, 16.8]]),
                Line(&[[3.4, 16.8], [3.4, 4.6], [7.4, 4.6], [7.4, 16.8]]),
                Line(&[[10.8, 16.8], [10.8, 2.2], [14.8, 2.2], [14.8, 16.8]]),
            ],
            Self::Undo => &[
                Line(&[[5.9, 3.2], [2.3, 6.8], [5.9, 10.4]]),
                Line(&[[2.3, 6.8], [10.8, 6.8]]),
                Arc([10.8, 10.9], 4.1, -0.25, 0.25),
                Line(&[[10.8, 15.0], [7.8, 15.0]]),
            ],
            Self::Redo => &[
                Line(&[[12.1, 3.2], [15.7, 6.8], [12.1, 10.4]]),
                Line(&[[15.7, 6.8], [7.2, 6.8]]),
                Arc([7.2, 10.9], 4.1, 0.25, 0.75),
                Line(&[[7.2, 15.0], [10.2, 15.0]]),
            ],
            Self::Keep => &[
                Closed(&[[2.0, 8.0], [12.4, 8.0], [12.4, 16.2], [2.0, 16.2]]),
                Dot([6.2, 5.9], 0.85),
                Dot([6.2, 3.2], 0.85),
                Dot([9.4, 3.2], 0.85),
                Dot([12.6, 3.2], 0.85),
                Dot([15.8, 3.2], 0.85),
                Dot([15.8, 6.2], 0.85),
                Dot([15.8, 9.2], 0.85),
                Dot([15.4, 12.0], 0.85),
            ],
            Self::Find => &[Arc([7.5, 7.5], 5.6, 0.0, 1.0), Line(&[[11.6, 11.6], [16.3, 16.3]])],
            Self::Play => &[Closed(&[[4.8, 3.2], [14.4, 9.0], [4.8, 14.8]])],
            Self::Pause => &[Line(&[[6.0, 3.4], [6.0, 14.6]]), Line(&[[12.0, 3.4], [12.0, 14.6]])],
            Self::Top => &[
                Line(&[[2.0, 2.4], [16.0, 2.4]]),
                Line(&[[9.0, 5.8], [9.0, 17.0]]),
                Line(&[[5.5, 9.2], [9.0, 5.7], [12.5, 9.2]]),
            ],
            Self::Plus => &[Line(&[[9.0, 2.5], [9.0, 15.5]]), Line(&[[2.5, 9.0], [15.5, 9.0]])],
            Self::Left => &[Line(&[[11.4, 2.6], [5.0, 9.0], [11.4, 15.4]])],
            Self::Right => &[Line(&[[6.6, 2.6], [13.0, 9.0], [6.6, 15.4]])],
            Self::Fold => &[Line(&[[3.4, 6.5], [9.0, 12.1], [14.6, 6.5]])],
            Self::Unfold => &[Line(&[[6.6, 3.4], [12.2, 9.0], [6.6, 14.6]])],
            Self::Open => &[Line(&[
                [2.0, 15.2],
                [2.0, 3.6],
                [7.0, 3.6],
                [8.8, 6.0],
                [14.8, 6.0],
                [14.8, 8.6],
                [4.8, 8.6],
                [2.0, 15.2],
                [14.2, 15.2],
                [17.0, 8.6],
                [14.8, 8.6],
            ])],
            Self::Save => &[
                Line(&[[9.0, 1.8], [9.0, 11.0]]),
                Line(&[[5.4, 7.4], [9.0, 11.0], [12.6, 7.4]]),
                Line(&[[2.2, 11.4], [2.2, 16.0], [15.8, 16.0], [15.8, 11.4]]),
            ],
            Self::Engine => &[
                Line(&[[6.0, 2.0], [6.0, 16.4]]),
                Line(&[[12.0, 2.0], [12.0, 16.4]]),
                Line(&[[1.8, 2.4], [16.2, 2.4]]),
                Line(&[[3.0, 5.8], [6.0, 5.8]]),
                Line(&[[12.0, 5.8], [15.0, 5.8]]),
                Line(&[[3.0, 9.2], [6.0, 9.2]]),
                Line(&[[12.0, 9.2], [15.0, 9.2]]),
                Line(&[[1.8, 16.4], [16.2, 16.4]]),
                Line(&[[6.0, 8.0], [12.0, 8.0]]),
            ],
        }
    }

    /// Paints the icon centred in a square of `side` points around `center`.
    pub fn paint(self, painter: &Painter, center: Pos2, side: f32, color: Color32) {
        let scale = side / GRID;
        let corner = center - Vec2::splat(side / 2.0);
        let at = |[x, y]: [f32; 2]| corner + Vec2::new(x, y) * scale;
        let stroke = Stroke::new(STROKE * scale, color);
        for piece in self.pieces() {
            match piece {
                Piece::Line(points) => {
                    round_line(painter, points.iter().map(|p| at(*p)).collect(), false, stroke)
                }
                Piece::Closed(points) => {
                    round_line(painter, points.iter().map(|p| at(*p)).collect(), true, stroke)
                }
                Piece::Arc(c, r, from, to) => {
                    round_line(painter, arc(at(*c), r * scale, *from, *to), false, stroke);
                }
                Piece::Dot(c, r) => {
                    painter.circle_filled(at(*c), r * scale, color);
                }
            }
        }
    }

    /// Paints the icon at its own size in the middle of `rect`.
    pub fn paint_in(self, painter: &Painter, rect: Rect, color: Color32) {
        self.paint(painter, rect.center(), GRID, color);
    }
}

/// An arc as a polyline; `from` and `to` in turns, clockwise from the right.
pub(super) fn arc(center: Pos2, radius: f32, from: f32, to: f32) -> Vec<Pos2> {
    let pieces = ((to - from).abs() * f32::from(ROUND)).ceil().max(2.0);
    let step = (to - from) / pieces;
    let mut points = Vec::new();
    let mut i = 0.0;
    while i <= pieces {
        points.push(center + radius * Vec2::angled((from + step * i) * TAU));
        i += 1.0;
    }
    points
}

/// A polyline with round joins and ends, which epaint's own lines lack.
fn round_line(painter: &Painter, points: Vec<Pos2>, closed: bool, stroke: Stroke) {
    let radius = stroke.width / 2.0;
    if !closed && points.len() < 8 {
        for end in [points.first(), points.last()].into_iter().flatten() {
            painter.circle_filled(pos2(end.x, end.y), radius, stroke.color);
        }
    }
    painter.add(if closed { Shape::closed_line(points, stroke) } else { Shape::line(points, stroke) });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_icon_keeps_to_its_grid() {
        let within = |p: &[f32; 2]| p.iter().all(|v| (0.75..=GRID - 0.75).contains(v));
        for icon in Icon::ALL {
            for piece in icon.pieces() {
                match piece {
                    Piece::Line(p) | Piece::Closed(p) => {
                        assert!(p.len() > 1 && p.iter().all(within), "{icon:?}");
                    }
                    Piece::Arc([x, y], r, ..) | Piece::Dot([x, y], r) => {
                        assert!([[x - r, y - r], [x + r, y + r]].iter().all(within), "{icon:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn an_arc_begins_and_ends_where_it_is_told() {
        let points = arc(pos2(10.0, 10.0), 5.0, -0.25, 0.25);
        let first = points[0];
        let last = points[points.len() - 1];
        assert!((first - pos2(10.0, 5.0)).length() < 1e-4, "{first:?}");
        assert!((last - pos2(10.0, 15.0)).length() < 1e-4, "{last:?}");
    }
}
