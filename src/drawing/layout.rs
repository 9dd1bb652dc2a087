//! Positions of main view and details in a frame.

use super::clip::Convex;
use super::detail::{Detail, is_upright};
use super::paint::Scene;
use super::parts::Datums;
use super::pens::Pens;
use super::view::{Turn, View};
use kurbo::{Point, Rect};

/// The area of a section on a screen, in points.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// Inside the sheet's frame.
    pub area: Rect,
    /// Areas to keep clear of, such as the title block.
    pub keep_clear: Vec<Rect>,
    /// Radius of circle Z; `None` for that of the pens.
    pub circle: Option<f64>,
    /// Whether the chain of what raises the barrel is drawn.
    pub tower: bool,
    /// The part that is looked at closely; `None` for the whole drawing.
    pub lens: Option<Lens>,
}

/// A part of the drawing, looked at closely.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lens {
    /// Output units per mm of the engine.
    pub scale: f64,
    /// The point of the model in the middle of the frame.
    pub middle: Point,
}

impl Lens {
    /// Returns the lens that shows what a view shows in a frame.
    #[must_use]
    pub fn of(view: &View, area: Rect) -> Self {
        Self { scale: view.scale(), middle: view.model_from_out(area.center()) }
    }

    /// Returns the view through the lens.
    #[must_use]
    pub fn view(&self, area: Rect, turn: Turn) -> View {
        View::showing(self.scale, self.middle, area.center(), turn)
    }
}

impl Frame {
    /// Creates an empty frame.
    #[must_use]
    pub fn new(area: Rect) -> Self {
        Self { area, keep_clear: Vec::new(), circle: None, tower: true, lens: None }
    }
}

/// Sizes of circle Z to choose from, as parts of the wanted one.
const SIZES: [f64; 4] = [1.0, 0.83, 0.66, 0.5];

/// Space around the model for dimension lines and ends of axes, in output
/// units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pads {
    pub left: f64,
    pub right: f64,
    pub ends: f64,
}

impl Pads {
    pub(super) fn of(pens: &Pens, tower: bool) -> Self {
        let text = pens.dimension.capitals() + 2.0 * pens.breath;
        let right = if tower { pens.first_line + pens.overshoot } else { pens.breath };
        Self { left: pens.first_line + text, right, ends: pens.breath }
    }
}

/// Returns the box of the model with its dimension lines in the view's own
/// axes: across and along the bore, output units from the crank centre.
fn own_box(d: &Datums, pads: Pads, scale: f64, axis_mm: f64) -> Rect {
    Rect::new(
        -d.widest_x * scale - pads.left,
        (d.lowest_y - axis_mm) * scale - pads.ends,
        d.widest_x * scale + pads.right,
        (d.highest_y + axis_mm) * scale + pads.ends,
    )
}

/// Returns the upright box around [`own_box`] on the output, relative to the
/// crank centre.
fn turned_box(own: Rect, turn: Turn) -> Rect {
    let view = View::new(1.0, Point::ZERO, turn);
    let corners = [(own.x0, own.y0), (own.x1, own.y0), (own.x1, own.y1), (own.x0, own.y1)];
    let corners = corners.map(|(x, y)| view.out_from_model(Point::new(x, y)));
    super::clip::bounds(&corners)
}

/// Returns how far the axes extend beyond the parts, mm.
fn axis_beyond(scene: &Scene<'_>) -> f64 {
    let d = &scene.parts.datums;
    let low = scene.parts.lines.iter().map(|line| kurbo::Shape::bounding_box(&line.path).y0);
    (d.lowest_y - low.fold(d.lowest_y, f64::min)).max(0.0)
}

/// Returns the main view that fills `room` as far as it can, in its middle.
pub(super) fn fill(scene: &Scene<'_>, room: Rect, pads: Pads) -> View {
    let turn = scene.input.turn;
    let d = &scene.parts.datums;
    let axis = axis_beyond(scene);
    // Widths grow linearly with the scale: two boxes tell the line.
    let (zero, one) =
        (turned_box(own_box(d, pads, 0.0, axis), turn), turned_box(own_box(d, pads, 1.0, axis), turn));
    let fit = |room: f64, zero: f64, one: f64| (room - zero) / (one - zero);
    let scale =
        fit(room.width(), zero.width(), one.width()).min(fit(room.height(), zero.height(), one.height()));
    // A frame too small for its own letters still shows a speck rather than an
    // empty area.
    let scale = scale.max(1e-3 * room.height().max(1.0) / (d.highest_y - d.lowest_y));
    let around = turned_box(own_box(d, pads, scale, axis), turn);
    View::new(scale, room.center() - around.center().to_vec2(), turn)
}

/// Returns the box of the main view with its dimension lines.
pub(super) fn bounds(scene: &Scene<'_>, view: &View, pads: Pads) -> Rect {
    let own = own_box(&scene.parts.datums, pads, view.scale(), axis_beyond(scene));
    turned_box(own, view.turn()) + view.out_from_model(Point::ZERO).to_vec2()
}

/// The positions of main view and circles.
pub(super) struct Plan {
    pub main: View,
    pub rim: Option<Detail>,
    pub foot: Option<Detail>,
}

impl Plan {
    /// Returns the same circles with another main view, as far as they still
    /// enlarge it.
    fn seen_through(self, scene: &Scene<'_>, main: View) -> Self {
        let enlarges = |detail: &Detail| detail.view.scale() > 1.5 * main.scale();
        let rim = self.rim.map(|rim| Detail::rim(scene, &main, rim.centre, rim.radius)).filter(enlarges);
        let foot = match (&rim, self.foot) {
            (Some(rim), Some(foot)) => Detail::foot(scene, &main, rim, foot.centre, foot.radius),
            _ => None,
        };
        Self { main, rim, foot: foot.filter(enlarges) }
    }
}

/// Returns the plan for the whole drawing, or for the part that is looked at
/// closely, and the scale at which the whole would be seen.
pub(super) fn plan(scene: &Scene<'_>, frame: &Frame) -> (Plan, f64) {
    let whole = plan_whole(scene, frame);
    let scale = whole.main.scale();
    match frame.lens {
        None => (whole, scale),
        Some(lens) => (whole.seen_through(scene, lens.view(frame.area, scene.input.turn)), scale),
    }
}

/// Finds positions: the main view at the left with the details in a column at
/// the right, or above them; whichever shows it larger.
fn plan_whole(scene: &Scene<'_>, frame: &Frame) -> Plan {
    let pens = scene.pens;
    let pads = Pads::of(pens, frame.tower);
    let head = pens.letter.size + 3.0 * pens.breath;
    let inner = Rect { y0: frame.area.y0 + head, ..frame.area }.inset(-0.5 * pens.margin);
    let wish = frame.circle.unwrap_or(pens.circle_rim);
    let mut best: Option<Plan> = None;
    for radius in SIZES.map(|part| part * wish) {
        let need = Detail::room(scene, radius);
        for split in [beside, below] {
            let Some((room, column)) = split(frame, inner, need.width(), need.height()) else { continue };
            let main = fill(scene, room, pads);
            if best.as_ref().is_some_and(|b| main.scale() < 1.05 * b.main.scale()) {
                continue;
            }
            // At the top right of a column, in the middle of a row.
            let is_row = column.y0 > inner.y0;
            let beside = if is_row { foot_beside(scene, radius) } else { 0.0 };
            let mut spare = column.width() - need.width() - beside;
            let mut left = column.x0;
            if spare < 0.0 {
                spare += beside;
            } else if scene.input.turn.deg() < 0.0 {
                // The foot lies left of the rim, as in the main view.
                left += beside;
            }
            let left = left + if is_row { spare / 2.0 } else { spare };
            let centre = Point::new(left - need.x0, column.y0 - need.y0);
            let rim = Detail::rim(scene, &main, centre, radius);
            let foot = foot(scene, &main, &rim, column, need);
            best = Some(Plan { main, rim: Some(rim), foot });
        }
    }
    if !turn_is_quarter(scene.input.turn)
        && let Some(slanted) = slanted(scene, frame, inner, pads, wish)
        && best.as_ref().is_none_or(|b| slanted.main.scale() > 1.05 * b.main.scale())
    {
        best = Some(slanted);
    }
    // No room for a circle at all.
    best.unwrap_or_else(|| Plan { main: fill(scene, inner, pads), rim: None, foot: None })
}

fn turn_is_quarter(turn: Turn) -> bool {
    (turn.deg() / 90.0).fract() == 0.0
}

/// Plans an engine at its bank angle, which leaves the corners of its box free:
/// circle Z goes into one of them, and the main view into the largest slanted
/// box that is left.
fn slanted(scene: &Scene<'_>, frame: &Frame, inner: Rect, pads: Pads, radius: f64) -> Option<Plan> {
    let need = Detail::room(scene, radius);
    let turn = scene.input.turn;
    let (d, axis) = (&scene.parts.datums, axis_beyond(scene));
    let high = need.y0.abs() + frame.area.y0 + 0.5 * (inner.x0 - frame.area.x0);
    let low = inner.y1 - need.y1;
    let corners = [
        Point::new(inner.x1 - need.x1, high),
        Point::new(inner.x0 - need.x0, high.max(inner.y0 - need.y0)),
        Point::new(inner.x0 - need.x0, low),
        Point::new(inner.x1 - need.x1, low),
    ];
    let mut best: Option<(View, Point)> = None;
    for centre in corners {
        let mut taken: Vec<Rect> = frame.keep_clear.clone();
        let circle = need + centre.to_vec2();
        if taken.iter().any(|r| r.intersect(circle).area() > 0.0) {
            continue;
        }
        taken.push(circle);
        let taken: Vec<Convex> = taken.into_iter().map(Convex::rect).collect();
        // The scale is halved in on; a place is looked for on a grid.
        let least = best.map_or(0.0, |(view, _)| view.scale());
        let (mut fits, mut too_large) = (least, fill(scene, inner, pads).scale());
        for _ in 0..9 {
            let scale = (fits + too_large) / 2.0;
            let own = own_box(d, pads, scale, axis);
            let around = turned_box(own, turn);
            let place = grid(inner, around).find(|&at| {
                let slant = Convex::turned_rect(at, turn.deg(), own.x0, -own.y0, own.width(), own.height());
                taken.iter().all(|r| !r.overlaps(&slant))
            });
            match place {
                Some(at) => {
                    fits = scale;
                    best = Some((View::new(scale, at, turn), centre));
                }
                None => too_large = scale,
            }
        }
    }
    let (main, centre) = best?;
    Some(Plan { rim: Some(Detail::rim(scene, &main, centre, radius)), main, foot: None })
}

/// Returns the positions of the crank centre at which the box around the view
/// stays inside.
fn grid(inner: Rect, around: Rect) -> impl Iterator<Item = Point> {
    let free =
        Rect::new(inner.x0 - around.x0, inner.y0 - around.y0, inner.x1 - around.x1, inner.y1 - around.y1);
    let room = free.x0 <= free.x1 && free.y0 <= free.y1;
    const STEPS: u32 = 8;
    (0..if room { (STEPS + 1) * (STEPS + 1) } else { 0 }).map(move |i| {
        let (column, row) = (f64::from(i % (STEPS + 1)), f64::from(i / (STEPS + 1)));
        let steps = f64::from(STEPS);
        Point::new(free.x0 + free.width() * column / steps, free.y0 + free.height() * row / steps)
    })
}

/// Returns the obstacles at the bottom as one box.
fn block(frame: &Frame, inner: Rect) -> Option<Rect> {
    let low = frame.keep_clear.iter().filter(|r| r.center().y > inner.center().y);
    low.copied().reduce(|a, b| a.union(b))
}

/// Returns the room of the main view, and a column for the details at its
/// right.
fn beside(frame: &Frame, inner: Rect, wide: f64, tall: f64) -> Option<(Rect, Rect)> {
    let gap = inner.x0 - frame.area.x0;
    let block = block(frame, inner);
    let column = Rect {
        x0: inner.x1 - wide,
        y0: frame.area.y0 + gap / 2.0,
        y1: block.map_or(inner.y1, |b| b.y0 - gap),
        ..inner
    };
    let room_x1 = block.map_or(column.x0, |b| column.x0.min(b.x0 - gap));
    let room = Rect { x1: room_x1, ..inner };
    (column.height() >= tall && room.width() > wide / 2.0).then_some((room, column))
}

/// Returns the room of the main view, and a row for the details under it, left
/// of the obstacles at the bottom.
fn below(frame: &Frame, inner: Rect, wide: f64, tall: f64) -> Option<(Rect, Rect)> {
    let gap = inner.x0 - frame.area.x0;
    let block = block(frame, inner);
    let height = block.map_or(tall, |b| (frame.area.y1 - b.y0).max(tall));
    let row = Rect { x1: block.map_or(inner.x1, |b| b.x0 - gap), y0: inner.y1 - height, ..inner };
    let room = Rect { y1: row.y0 - gap / 2.0, ..inner };
    (row.width() >= wide && room.height() > tall / 2.0).then_some((room, row))
}

/// Returns the width that circle Y takes next to circle Z in a row under a
/// lying engine; 0 for an upright one, whose circle Y needs no space reserved.
fn foot_beside(scene: &Scene<'_>, rim_radius: f64) -> f64 {
    let d = &scene.parts.datums;
    let lies = !is_upright(&View::new(1.0, Point::ZERO, scene.input.turn));
    if lies && d.foot_y > d.seat_y { 2.0 * foot_radius(scene, rim_radius) + scene.pens.margin } else { 0.0 }
}

fn foot_radius(scene: &Scene<'_>, rim_radius: f64) -> f64 {
    scene.pens.circle_foot * rim_radius / scene.pens.circle_rim
}

/// Places circle Y below circle Z in a column, or next to it in a row; `None`
/// without room.
fn foot(scene: &Scene<'_>, main: &View, rim: &Detail, column: Rect, need: Rect) -> Option<Detail> {
    let pens = scene.pens;
    let radius = foot_radius(scene, rim.radius);
    let title = pens.letter.size + 4.0 * pens.breath;
    let taken = need + rim.centre.to_vec2();
    let centre = if is_upright(main) {
        let below = Point::new(column.x1 - radius - pens.breath, taken.y1 + 0.7 * title + radius);
        let right = Point::new(column.x1 - radius - pens.breath, rim.centre.y);
        let beside = pens.caption.width("gasket") + pens.dimension.width("00.00") + pens.first_line;
        if below.y + radius <= column.y1 {
            below
        } else if right.x - radius - beside >= taken.x1 {
            right
        } else {
            return None;
        }
    } else {
        let aside = radius + pens.margin;
        let left = scene.input.turn.deg() < 0.0;
        let x = if left { taken.x0 - aside } else { taken.x1 + aside };
        if x - radius < column.x0 || x + radius > column.x1 {
            return None;
        }
        Point::new(x, rim.centre.y)
    };
    Detail::foot(scene, main, rim, centre, radius)
}
