//! The two towers: the reach of the piston next to the height of the cylinder,
//! from one floor, the crank centre, to one scale. The difference is the deck
//! clearance.
//!
//! Heights are to scale; widths have no meaning. The reach is the true one at
//! the dead centre, √((L + r)² − e²) + compression height, so with an offset
//! pin it is a hair less than the sum of its three parts.

use super::annotate::Spot;
use super::clip::{Convex, rings_of};
use super::detail::enlargement;
use super::dim::{Dimension, Drafter, Rail, line_path};
use super::hatch;
use super::input::SectionInput;
use super::label::{Labels, Placed, Pose, Word};
use super::layout::Frame;
use super::list::{Anchor, Dash, DisplayList, Ink, Part, Shape, Term};
use super::pens::{Letters, Medium, Pens};
use crate::engine::{Component, Key, words};
use kurbo::{BezPath, Circle, Line, Point, Rect, Shape as _, Vec2};

/// The view of the two towers.
#[derive(Clone, Debug, PartialEq)]
pub struct Towers {
    /// The drawing.
    pub list: DisplayList,
    /// Positions of the dimensions.
    pub spots: Vec<Spot>,
    /// All texts with the outlines that no other text shares.
    pub texts: Vec<Placed>,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
    /// Output units per mm of height.
    pub scale: f64,
    /// Height of the floor on the output.
    pub floor_y: f64,
    /// Reach of the piston's rim, mm above the crank centre.
    pub reach_mm: f64,
    /// Height of the cylinder's top, mm above the crank centre.
    pub tower_mm: f64,
}

/// One part of a tower, mm above the floor.
#[derive(Clone, Copy, Debug)]
struct Storey {
    key: Key,
    name: &'static str,
    low: f64,
    high: f64,
    value: f64,
    part: Part,
}

/// Both towers, from the floor upward.
struct Stacks {
    reach: Vec<Storey>,
    tower: Vec<Storey>,
}

impl Stacks {
    fn of(input: &SectionInput<'_>) -> Self {
        let crank = input.parts.engine.figures().crank;
        let mut at = 0.0;
        let mut storey = |key, name, value: f64, high: f64, part| {
            let low = std::mem::replace(&mut at, high);
            Storey { key, name, low, high, value, part }
        };
        let height = input.value(Key::CompressionHeight);
        let reach = vec![
            storey(Key::Stroke, "half stroke", crank.throw(), crank.throw(), Part::Web),
            storey(Key::RodLength, "rod", crank.rod(), crank.y_top(), Part::Rod),
            storey(
                Key::CompressionHeight,
                "compression height",
                height,
                crank.y_top() + height,
                Part::Piston,
            ),
        ];
        let block = input.parts.construction.is_block();
        let tower = input.tower().map(|(key, (low, high))| {
            let component = key.row().component;
            let name = if block && component == Component::Case { "block" } else { component.word() };
            Storey { key, name, low, high, value: input.value(key), part: Part::of(component) }
        });
        let tower = tower.collect();
        Self { reach, tower }
    }

    fn top(storeys: &[Storey]) -> f64 {
        storeys.last().map_or(0.0, |storey| storey.high)
    }
}

/// Widths of the picture, as parts of the distance of dimension lines.
struct Widths {
    column: f64,
    between: f64,
    rail: f64,
}

/// Narrowest width, as a part of the wanted one, at which the columns still
/// hold their values.
const NARROWEST: f64 = 0.75;

impl Widths {
    /// Returns the distance from one outer dimension line to the other.
    fn whole(&self) -> f64 {
        2.0 * (self.column + self.rail) + self.between
    }

    fn times(&self, factor: f64) -> Self {
        let Self { column, between, rail } = *self;
        Self { column: factor * column, between: factor * between, rail: factor * rail }
    }
}

/// Draws the towers into a frame. They are always upright.
#[must_use]
pub fn towers(input: &SectionInput<'_>, frame: &Frame, pens: &Pens) -> Towers {
    let stacks = Stacks::of(input);
    let mut drawing = Drawing {
        input,
        pens,
        list: DisplayList::default(),
        labels: Labels::within(frame.area),
        spots: Vec::new(),
        scale: 1.0,
        floor: Point::ZERO,
        widths: Widths {
            column: 3.7 * pens.first_line,
            between: 3.9 * pens.first_line,
            rail: 1.3 * pens.first_line,
        },
    };
    for &rect in &frame.keep_clear {
        drawing.labels.keep_clear(Convex::rect(rect));
    }
    drawing.arrange(frame, &stacks);
    drawing.draw(frame, &stacks);
    let (scale, floor_y) = (drawing.scale, drawing.floor.y);
    let (mut list, spots) = (drawing.list, drawing.spots);
    let (texts, left_out) = drawing.labels.finish(&mut list);
    let (reach_mm, tower_mm) = (Stacks::top(&stacks.reach), Stacks::top(&stacks.tower));
    Towers { list, spots, texts, left_out, scale, floor_y, reach_mm, tower_mm }
}

/// Returns the obstacles in the lower half of the frame.
fn low(frame: &Frame) -> impl Iterator<Item = &Rect> {
    frame.keep_clear.iter().filter(|r| r.center().y > frame.area.center().y)
}

struct Drawing<'a> {
    input: &'a SectionInput<'a>,
    pens: &'a Pens,
    list: DisplayList,
    labels: Labels,
    spots: Vec<Spot>,
    /// Output units per mm.
    scale: f64,
    /// The left end of the reach on the floor.
    floor: Point,
    widths: Widths,
}

impl Drawing<'_> {
    /// Chooses scale and position: as tall as the frame allows, left of what is
    /// at the bottom right.
    fn arrange(&mut self, frame: &Frame, stacks: &Stacks) {
        let pens = self.pens;
        let inner = frame.area.inset(-pens.margin);
        let tallest = Stacks::top(&stacks.reach).max(Stacks::top(&stacks.tower));
        // Name, heads of the columns, the mark; below the floor its name.
        let above = 2.0 * pens.letter.size + 12.0 * pens.breath + 2.0 * pens.least_mark;
        let below = pens.margin + pens.caption.size + 4.0 * pens.breath;
        let beside = low(frame).map(|r| r.x0).fold(inner.x1, f64::min);
        // Rather narrower than lower. In a very narrow sheet they lie over what is at
        // the bottom.
        let letters = 2.0 * pens.dimension.size + pens.breath;
        let narrower = (beside - inner.x0 - letters) / (self.widths.whole() + self.widths.rail);
        let (right, floor) = if narrower >= NARROWEST {
            self.widths = self.widths.times(narrower.min(1.0));
            (beside, inner.y1)
        } else {
            (inner.x1, low(frame).map(|r| r.y0 - pens.breath).fold(inner.y1, f64::min))
        };
        let wide = self.widths.whole();
        let left = pens.dimension.size + self.widths.rail + pens.breath;
        self.scale = ((floor - inner.y0 - above - below) / tallest).max(1e-3 / tallest);
        let slack = (right - inner.x0 - wide - 2.0 * pens.dimension.size).clamp(0.0, 2.0 * pens.margin);
        self.floor = Point::new(inner.x0 + left + slack / 2.0, floor - below);
    }

    fn y(&self, mm: f64) -> f64 {
        self.floor.y - mm * self.scale
    }

    fn reach_x(&self) -> (f64, f64) {
        (self.floor.x, self.floor.x + self.widths.column)
    }

    fn tower_x(&self) -> (f64, f64) {
        let x0 = self.floor.x + self.widths.column + self.widths.between;
        (x0, x0 + self.widths.column)
    }

    fn draw(&mut self, frame: &Frame, stacks: &Stacks) {
        let pens = self.pens;
        let (reach, tower) = (Stacks::top(&stacks.reach), Stacks::top(&stacks.tower));
        let name =
            Point::new(frame.area.x0 + pens.margin, frame.area.y0 + pens.letter.size + 2.0 * pens.breath);
        let row = [
            Word { text: "Two towers", letters: pens.letter, ink: Ink::Edge },
            Word { text: "from one floor, the crank centre", letters: pens.caption, ink: Ink::Second },
        ];
        let before = self.labels.left_out().len();
        if self.labels.place_row(&row, [Pose::from(name)]).is_none() {
            self.labels.forgive(before);
            self.labels.place_row(&row[..1], [Pose::from(name)]);
        }
        for x in [self.reach_x().0, self.reach_x().1, self.tower_x().0, self.tower_x().1] {
            let top = Point::new(x, self.y(reach.max(tower)));
            self.labels.avoid(Line::new(Point::new(x, self.floor.y), top));
        }
        let circle = self.place_of_circle(frame);
        match circle {
            Some(_) => self.labels.keep_off(self.mark(reach, tower)),
            None => self.gap_between(tower - reach, reach.max(tower)),
        }
        let [left, right] = [self.reach_x().0, self.tower_x().1].map(|x| Point::new(x, self.floor.y));
        self.labels.avoid(Line::new(left, right));
        // Names first: lining is interrupted for them.
        let mut notes = DisplayList::default();
        std::mem::swap(&mut self.list, &mut notes);
        self.names(&stacks.reach, self.reach_x(), "Reach", reach.max(tower));
        self.names(&stacks.tower, self.tower_x(), "Tower", reach.max(tower));
        std::mem::swap(&mut self.list, &mut notes);
        let holes: Vec<Convex> = self.labels.placed().iter().map(|placed| placed.outline.clone()).collect();
        self.ground();
        self.storeys(&stacks.reach, self.reach_x(), &holes);
        self.storeys(&stacks.tower, self.tower_x(), &holes);
        self.list.shapes.extend(notes.shapes);
        self.heights(reach, tower);
        if let Some(circle) = circle {
            self.detail(circle, reach, tower);
        }
    }

    /// Draws the floor, with short strokes under it.
    fn ground(&mut self) {
        let pens = self.pens;
        let (x0, x1) = (self.reach_x().0 - self.widths.rail, self.tower_x().1 + self.widths.rail);
        let depth = 2.0 * pens.breath;
        let strip = Rect::new(x0, self.floor.y, x1, self.floor.y + depth).to_path(0.1);
        let lining = super::pens::Lining { angle_deg: 45.0, pitch: 0.45 * pens.first_line };
        let lines = hatch::hatch(&rings_of(&strip, 0.1), lining, self.floor);
        let drafter = Drafter { pens };
        drafter.stroke(&mut self.list, hatch::path_of(&lines), Ink::Second, pens.narrow, Dash::Solid);
        let floor = line_path(Point::new(x0, self.floor.y), Point::new(x1, self.floor.y));
        drafter.stroke(&mut self.list, floor, Ink::Edge, pens.wide, Dash::Solid);
        let at = Point::new(x0, self.floor.y + depth + pens.breath + pens.caption.size);
        self.labels.place("floor: crank centre", pens.caption, Ink::Second, [Pose::from(at)]);
    }

    fn is_thin(&self, storey: &Storey) -> bool {
        (storey.high - storey.low) * self.scale < self.pens.solid_below
    }

    /// Writes names and values of one tower, and its head.
    fn names(&mut self, storeys: &[Storey], (x0, x1): (f64, f64), head: &str, highest: f64) {
        let pens = self.pens;
        let over = self.y(highest) - 3.0 * pens.breath - 2.0 * pens.least_mark - pens.letter.size;
        let bold = Letters { bold: true, ..pens.gap };
        self.labels.place(head, bold, Ink::Edge, [Pose::middle(Point::new((x0 + x1) / 2.0, over))]);
        for storey in storeys {
            let ink = if self.input.marked.has(storey.key) { Ink::Accent } else { Ink::Edge };
            let value = self.input.dimension("", storey.value, storey.key);
            let letters = Letters { bold: self.input.measured.has(storey.key), ..pens.gap };
            let middle = Point::new((x0 + x1) / 2.0, self.y((storey.low + storey.high) / 2.0));
            let line = pens.caption.size * 1.15;
            // A long name is set on two lines.
            let words: Vec<&str> = if pens.caption.width(storey.name) > x1 - x0 - 2.0 * pens.breath {
                storey.name.split(' ').collect()
            } else {
                vec![storey.name]
            };
            let count = words.len() as f64;
            let tall = letters.size + line * count;
            if (storey.high - storey.low) * self.scale >= tall {
                let top = middle.y - tall / 2.0 + letters.capitals();
                self.labels.place(&value, letters, ink, [Pose::middle(Point::new(middle.x, top))]);
                let mut y = top;
                for word in words {
                    y += line;
                    self.labels.place_if_free(
                        word,
                        pens.caption,
                        Ink::Second,
                        [Pose::middle(Point::new(middle.x, y))],
                    );
                }
                let area = Rect::new(x0, self.y(storey.high), x1, self.y(storey.low));
                self.spots.push(Spot { key: storey.key, area });
            } else {
                self.aside(storey, middle.y, &value, ink);
            }
        }
    }

    /// Writes the value of a storey too low for letters between the towers:
    /// with its name where there is room.
    fn aside(&mut self, storey: &Storey, y: f64, value: &str, ink: Ink) {
        let pens = self.pens;
        let is_reach = matches!(storey.part, Part::Web | Part::Rod | Part::Piston);
        let (side, x) = if is_reach { (1.0, self.reach_x().1) } else { (-1.0, self.tower_x().0) };
        let target = Point::new(x, y);
        let bold = Letters { bold: self.input.measured.has(storey.key), ..pens.dimension };
        let note = [
            Word { text: storey.name, letters: pens.caption, ink: Ink::Second },
            Word { text: value, letters: bold, ink },
        ];
        let drop = Vec2::new(0.0, bold.capitals() / 2.0);
        let poses = (0..30).flat_map(|i| {
            let k = f64::from((i + 1) / 2) * if i % 2 == 0 { -1.0 } else { 1.0 };
            [0.5, 1.0].map(|far| {
                let at = target + Vec2::new(side * far * pens.margin, k * 0.5 * pens.dimension.size) + drop;
                if is_reach { Pose::from(at) } else { Pose::until(at) }
            })
        });
        let poses: Vec<Pose> = poses.collect();
        // Rather with its name under it than far away.
        let (near, all) = (&poses[..poses.len() / 3], &poses[..]);
        let ways = [(&note[..], near), (&note[1..], near), (&note[..], all), (&note[1..], all)];
        let placed = ways.into_iter().find_map(|(note, poses)| {
            let pose = self.labels.place_tied_off_lines(note, target, poses.iter().copied())?;
            Some((pose, note.len() == 1))
        });
        let line = if ink == Ink::Accent { Ink::Accent } else { Ink::Second };
        let drafter = Drafter { pens };
        if placed.is_none()
            && drafter.leader(&mut self.list, &mut self.labels, target, &note, line, []).is_none()
        {
            return;
        }
        if let Some(area) = self.labels.placed().last().map(|placed| placed.outline.bounds()) {
            self.spots.push(Spot { key: storey.key, area });
        }
        let Some((pose, is_bare)) = placed else { return };
        let end = pose.at - Vec2::new(side * pens.breath, 0.0) - drop;
        self.labels.avoid(Line::new(target, end));
        drafter.line(&mut self.list, target, end, line);
        let mut under = pose;
        for word in storey.name.split(' ').filter(|_| is_bare) {
            under.at.y += 1.15 * pens.caption.size;
            self.labels.place_off_lines(word, pens.caption, Ink::Second, [under]);
        }
    }

    fn storeys(&mut self, storeys: &[Storey], (x0, x1): (f64, f64), holes: &[Convex]) {
        let pens = self.pens;
        let drafter = Drafter { pens };
        let (thin, thick): (Vec<&Storey>, Vec<&Storey>) =
            storeys.iter().partition(|storey| self.is_thin(storey));
        for storey in thick {
            let area = Rect::new(x0, self.y(storey.high), x1, self.y(storey.low)).to_path(0.1);
            self.block(&area, storey.part, Point::new(x0, self.y(storey.low)), holes);
            let measured = self.input.measured.has(storey.key);
            let marked = self.input.marked.has(storey.key);
            let ink = match (marked, measured) {
                (true, _) => Ink::Accent,
                (false, true) => Ink::Edge,
                (false, false) => Ink::Assumed,
            };
            let width = if measured { pens.wide } else { pens.narrow };
            drafter.stroke(&mut self.list, area, ink, width, Dash::Solid);
        }
        for storey in thin {
            let (low, high) = (self.y(storey.low), self.y(storey.high));
            let half = ((low - high) / 2.0).max(pens.least_solid / 2.0);
            let middle = (low + high) / 2.0;
            let path = Rect::new(x0, middle - half, x1, middle + half).to_path(0.1);
            let ink = if self.input.marked.has(storey.key) { Ink::Accent } else { Ink::Solid };
            self.list.shapes.push(Shape::Fill { path, ink });
        }
    }

    /// Draws ground and lining of a block.
    fn block(&mut self, area: &BezPath, part: Part, anchor: Point, holes: &[Convex]) {
        self.list.shapes.push(Shape::Fill { path: area.clone(), ink: Ink::Part(part) });
        // A rod is never lined.
        if part != Part::Rod {
            let lines = hatch::hatch(&rings_of(area, 0.1), self.pens.lining(part), anchor);
            let path = hatch::path_of(&hatch::without(lines, holes));
            Drafter { pens: self.pens }.stroke(
                &mut self.list,
                path,
                Ink::Hatch,
                self.pens.narrow,
                Dash::Solid,
            );
        }
    }

    /// Draws the whole height of each tower, outside.
    fn heights(&mut self, reach: f64, tower: f64) {
        let up = Vec2::new(0.0, -1.0);
        let sides = [("reach", reach, self.reach_x().0, -1.0), ("tower", tower, self.tower_x().1, 1.0)];
        for (word, height, x, side) in sides {
            let rail = Rail { through: Point::new(x + side * self.widths.rail, self.floor.y), along: up };
            let text = format!("{word} {}", self.input.length(height));
            let dim = Dimension {
                from: Point::new(x, self.floor.y),
                to: Point::new(x, self.y(height)),
                text,
                ink: Ink::Second,
            };
            let drafter = Drafter { pens: self.pens };
            drafter.projection(&mut self.list, &mut self.labels, dim.to, rail, Ink::Second);
            drafter.between(&mut self.list, rail, &dim, (true, true));
            let letters = Letters { bold: true, ..self.pens.dimension };
            let poses = drafter.poses(rail, &dim, letters, (false, true));
            self.labels.place(&dim.text, letters, Ink::Edge, poses);
        }
    }

    /// Returns the position where the circle with both tops has room, right of
    /// the towers; `None` where the sheet is too narrow.
    fn place_of_circle(&self, frame: &Frame) -> Option<Circle> {
        let pens = self.pens;
        let title = pens.letter.size + 3.0 * pens.breath;
        let block = low(frame).map(|r| r.y0).fold(frame.area.y1, f64::min);
        let right = frame.area.x1 - pens.margin;
        let free = right - self.tower_x().1 - self.widths.rail - 2.0 * pens.margin;
        let radius = frame.circle.unwrap_or(pens.circle_rim).min(free / 2.0);
        if radius < 2.0 * pens.first_line || frame.area.y0 + title + 2.0 * radius > block {
            return None;
        }
        let centre = Point::new(right - radius, frame.area.y0 + title + 2.0 * pens.breath + radius);
        Some(Circle::new(centre, radius))
    }

    /// Draws the circle with the tops of both towers, and its mark between
    /// them.
    fn detail(&mut self, circle: Circle, reach: f64, tower: f64) {
        let pens = self.pens;
        let Circle { center: centre, radius } = circle;
        let gap = tower - reach;
        let enlarged = enlargement(gap.abs(), gap.abs(), self.scale, radius, pens);
        let mark = self.mark(reach, tower);
        let mark_at = mark.center;
        let drafter = Drafter { pens };
        for (mm, x0, x1) in [
            (reach, self.reach_x().1, mark_at.x + pens.least_mark),
            (tower, mark_at.x - pens.least_mark, self.tower_x().0),
        ] {
            let path = line_path(Point::new(x0, self.y(mm)), Point::new(x1, self.y(mm)));
            drafter.stroke(&mut self.list, path, Ink::Second, pens.narrow, Dash::Ghost);
        }
        let ring = |c: Circle| c.to_path(pens.tolerance / 10.0);
        drafter.stroke(&mut self.list, ring(mark), Ink::Edge, pens.ring, Dash::Solid);
        let end = centre + Vec2::new(-0.785, -0.62) * radius;
        let way = end - mark_at;
        let start = mark_at + way * (mark.radius / way.hypot());
        drafter.line(&mut self.list, start, end, Ink::Second);
        self.labels.avoid(Line::new(start, end));
        let letter = Pose::middle(mark_at - Vec2::new(0.0, mark.radius + 2.0 * pens.breath));
        let lifted =
            (0..8).map(|i| Pose { at: letter.at - Vec2::new(0.0, f64::from(i) * pens.breath), ..letter });
        self.labels.place("Z", pens.letter, Ink::Edge, lifted);

        let scale_text = match pens.medium {
            Medium::Paper => format!("({}:1)", enlarged.factor),
            Medium::Screen => format!("{} × the towers", enlarged.factor),
        };
        let row = [
            Word { text: "Z", letters: pens.letter, ink: Ink::Edge },
            Word { text: &scale_text, letters: pens.caption, ink: Ink::Second },
        ];
        let over = centre - Vec2::new(0.0, radius + 2.0 * pens.breath);
        self.labels.place_row(&row, [Pose::middle(over)]);
        self.circle(circle, enlarged.scale, gap);
    }

    /// Returns the ring between the tops that the circle enlarges.
    fn mark(&self, reach: f64, tower: f64) -> Circle {
        let x = (self.reach_x().1 + self.tower_x().0) / 2.0;
        Circle::new((x, self.y((reach + tower) / 2.0)), self.pens.least_mark)
    }

    /// Returns the gap as a line of this view states it.
    fn gap_text(&self, gap: f64) -> String {
        let text = words::gap_at_line(gap, None, &self.input.units);
        if gap > 0.0 && text != "flush" { format!("{text} below") } else { text }
    }

    /// Writes the gap over the space between the towers, where there is no room
    /// for a circle.
    fn gap_between(&mut self, gap: f64, highest: f64) {
        let pens = self.pens;
        let letters = Letters { bold: true, ..pens.dimension };
        let x = (self.reach_x().1 + self.tower_x().0) / 2.0;
        let y = self.y(highest) - 2.0 * pens.breath;
        let text = self.gap_text(gap);
        self.labels.place(&text, letters, Ink::Edge, [Pose::middle(Point::new(x, y))]);
    }

    /// Draws the contents of the circle: both tops, and the gap between them.
    fn circle(&mut self, circle: Circle, scale: f64, gap: f64) {
        let pens = self.pens;
        let Circle { center, radius } = circle;
        let clip = Convex::circle(center, radius, pens.tolerance / 2.0);
        let half = gap * scale / 2.0;
        let (reach_y, tower_y) = (center.y + half, center.y - half);
        let (reach_x1, tower_x0) = (center.x - 0.18 * radius, center.x + 0.22 * radius);
        let (left, right, bottom) = (center.x - radius, center.x + radius, center.y + radius);
        let drafter = Drafter { pens };
        let ring = circle.to_path(pens.tolerance / 10.0);
        self.list.shapes.push(Shape::Fill { path: ring.clone(), ink: Ink::Sheet });

        let text = self.gap_text(gap);
        let letters = Letters { bold: true, ..pens.dimension };
        let space = Rect::new(left, tower_y.min(reach_y), tower_x0, tower_y.max(reach_y));
        let drop = letters.capitals() / 2.0;
        let middle = Point::new((left + 0.15 * radius + tower_x0) / 2.0, center.y + drop);
        let lift = |i: i32| Point::new(middle.x, middle.y - f64::from(i) * 0.5 * letters.size);
        let poses: Vec<Pose> = (0..16).map(lift).filter(|p| clip.contains(*p)).map(Pose::middle).collect();
        // Where the gap is too low for the letters, they are above it.
        let fits = space.height() >= letters.size * 1.1;
        let poses = poses.into_iter().filter(|p| fits || p.at.y < space.y0 - pens.breath);
        self.labels.place(&text, letters, Ink::Edge, poses);
        let captions = [
            ("reach", (left + reach_x1) / 2.0 + 0.1 * radius),
            ("tower", (tower_x0 + right) / 2.0 - 0.06 * radius),
        ];
        for (word, x) in captions {
            let at = Point::new(x, center.y + 0.62 * radius);
            self.labels.place_if_free(
                word,
                pens.caption,
                Ink::Second,
                [Pose { at, anchor: Anchor::Middle, turn_deg: 0.0 }],
            );
        }
        let holes: Vec<Convex> = self.labels.placed().iter().map(|placed| placed.outline.clone()).collect();

        if gap > 0.0 && self.input.tints {
            let path = super::clip::path_of(&clip.area(&space.to_path(0.1), pens.tolerance));
            self.list.shapes.push(Shape::Fill { path, ink: Ink::Term(Term::Deck) });
        }
        let blocks = [
            (Rect::new(left, reach_y, reach_x1, bottom), Part::Piston),
            (Rect::new(tower_x0, tower_y, right, bottom), Part::Barrel),
        ];
        for (rect, part) in blocks {
            let path = rect.to_path(0.1);
            let rings = clip.area(&path, pens.tolerance);
            self.list.shapes.push(Shape::Fill { path: super::clip::path_of(&rings), ink: Ink::Part(part) });
            let mut lining = pens.lining(part);
            lining.pitch *= pens.detail_lining;
            let lines = hatch::without(hatch::hatch(&rings, lining, rect.origin()), &holes);
            drafter.stroke(&mut self.list, hatch::path_of(&lines), Ink::Hatch, pens.narrow, Dash::Solid);
            // Only the top and the side toward the other tower are edges.
            let mut edge = BezPath::new();
            let (near, far) = if part == Part::Piston { (rect.x1, rect.x0) } else { (rect.x0, rect.x1) };
            edge.move_to((far, rect.y0));
            edge.line_to((near, rect.y0));
            edge.line_to((near, rect.y1));
            drafter.stroke(
                &mut self.list,
                clip.lines(&edge, pens.tolerance),
                Ink::Edge,
                pens.wide,
                Dash::Solid,
            );
        }
        for (y, x0, x1) in [(tower_y, left, tower_x0), (reach_y, reach_x1, tower_x0)] {
            let path = clip.lines(&line_path(Point::new(x0, y), Point::new(x1, y)), pens.tolerance);
            drafter.stroke(&mut self.list, path, Ink::Second, pens.narrow, Dash::Ghost);
        }
        drafter.stroke(&mut self.list, ring, Ink::Second, pens.ring, Dash::Solid);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::fixtures::{ALL, changed, engine};
    use crate::drawing::input::Keys;

    fn frame() -> Frame {
        let mut frame = Frame::new(Rect::new(0.0, 0.0, 664.0, 524.0));
        frame.keep_clear.push(Rect::new(340.0, 296.0, 664.0, 524.0));
        frame
    }

    fn drawn(parts: &super::super::parts::PartsInput) -> Towers {
        let input = SectionInput { tints: true, ..SectionInput::new(parts, Keys::all()) };
        towers(&input, &frame(), &Pens::SCREEN)
    }

    #[test]
    fn no_text_lies_on_another() {
        for name in ALL {
            let towers = drawn(&engine(name));
            assert_eq!(towers.left_out, Vec::<String>::new(), "{name}");
            for (i, a) in towers.texts.iter().enumerate() {
                for b in &towers.texts[..i] {
                    assert!(!a.outline.overlaps(&b.outline), "{name}: {} over {}", a.text, b.text);
                }
            }
        }
    }

    /// The arithmetic of the two towers by hand: 37 + 130 + 34.5 less a hair
    /// for the offset pin, against 104.62 + 0.25 + 97.85.
    #[test]
    fn both_heights_and_what_is_left_over_are_written() {
        let parts = engine("sorrendel");
        let towers = drawn(&parts);
        for text in
            ["reach 201.50", "tower 202.72", "1.22 below", "37.00", "130.00", "34.50", "104.62", "97.85"]
        {
            assert!(towers.texts.iter().any(|placed| placed.text == text), "{text} is missing");
        }
        let proud = drawn(&changed("tarnbeck", &[(Key::CompressionHeight, 37.5)]));
        assert!(proud.texts.iter().any(|placed| placed.text == "0.30 proud"));
    }

    #[test]
    fn tops_stand_at_their_heights() {
        let parts = engine("tarnbeck");
        let towers = drawn(&parts);
        let tops: Vec<f64> = towers
            .list
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Stroke { path, width, .. } if *width == Pens::SCREEN.wide => {
                    Some((towers.floor_y - path.bounding_box().y0) / towers.scale)
                }
                _ => None,
            })
            .collect();
        // 31, 31 + 118, 31 + 118 + 36; 97.1, 97.1 + 0.5 + 88.6.
        for height in [31.0, 149.0, 185.0, 97.1, 186.2] {
            assert!(tops.iter().any(|top| (top - height).abs() < 1e-9), "{height}: {tops:?}");
        }
        assert!((185.0 + parts.engine.figures().chain_deck - 186.2).abs() < 1e-9);
    }
}
