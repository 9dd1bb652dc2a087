//! The barrels under one head side by side: their tops at their heights on a
//! band as high as the tolerance, and under each the shims as separate foils.
//!
//! Tops and foils have scales of their own, both standard ones; the barrel
//! between them is broken off. The band lies about the middle between the
//! highest and the lowest top, so that all tops are on it exactly where they
//! differ by no more than the tolerance.

use super::clip::rings_of;
use super::hatch;
use super::list::{Anchor, Dash, DisplayList, Ink, Part, Shape};
use super::pens::{Letters, Lining, Pens};
use crate::quantity::{Kind, UnitChoice, write};
use kurbo::{BezPath, Line, Point, Rect, Shape as _};

/// One shim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Foil {
    /// Its thickness, mm.
    pub mm: f64,
    /// Whether it gives under load.
    pub soft: bool,
}

/// One barrel.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Barrel {
    pub label: String,
    /// The foils under it, from the case upward.
    pub foils: Vec<Foil>,
    /// Its top above any datum that all barrels share, mm.
    pub top_mm: f64,
}

impl Barrel {
    fn height(&self) -> f64 {
        self.foils.iter().map(|foil| foil.mm).sum()
    }
}

/// The barrels under one head.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bank {
    /// The barrels in the order of the engine.
    pub barrels: Vec<Barrel>,
    /// Greatest difference of their tops, mm; `None` where there is no level to
    /// keep.
    pub tolerance_mm: Option<f64>,
    /// Units of the texts.
    pub units: UnitChoice,
}

/// A picture with its scales.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Drawn {
    /// The drawing.
    pub list: DisplayList,
    /// Output units per mm between the tops.
    pub level_scale: f64,
    /// Output units per mm of a foil.
    pub leaf_scale: f64,
}

/// Standard scales of enlargement (ISO 5455: 1, 2 and 5 times a power of
/// ten).
const SCALES: [f64; 11] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];

/// Returns the largest standard scale at which `mm` takes no more than `room`.
fn scale(mm: f64, room: f64, most: f64) -> f64 {
    let fits = |scale: &&f64| **scale * mm <= room && **scale <= most;
    SCALES.iter().rev().find(fits).copied().unwrap_or_else(|| room / mm.max(1e-9))
}

impl Bank {
    /// Returns the lowest and highest top, mm.
    fn tops(&self) -> (f64, f64) {
        let tops = self.barrels.iter().map(|barrel| (barrel.top_mm, barrel.top_mm));
        tops.reduce(|(low, high), (l, h)| (low.min(l), high.max(h))).unwrap_or((0.0, 0.0))
    }

    /// Returns highest less lowest top, mm.
    #[must_use]
    pub(crate) fn spread(&self) -> f64 {
        let (low, high) = self.tops();
        high - low
    }

    /// Returns whether the tops differ by more than the tolerance.
    #[must_use]
    pub(crate) fn is_off_level(&self) -> bool {
        // Tops are sums of lengths of a hundred millimetres.
        self.tolerance_mm.is_some_and(|tolerance| self.spread() > tolerance + 1e-9)
    }

    fn length(&self, mm: f64) -> String {
        write(Kind::Length, mm, None, &self.units).to_string()
    }

    fn number(&self, mm: f64) -> String {
        write(Kind::Length, mm, None, &self.units).number
    }

    /// Returns the picture in words.
    #[must_use]
    pub(crate) fn words(&self) -> String {
        let (low, _) = self.tops();
        let each: Vec<String> = self
            .barrels
            .iter()
            .map(|barrel| {
                let foils: Vec<String> = barrel.foils.iter().map(|foil| self.number(foil.mm)).collect();
                let shims = if foils.is_empty() { "no shim".to_owned() } else { foils.join(" + ") };
                let over = barrel.top_mm - low;
                let place =
                    if over < 1e-9 { "lowest".into() } else { format!("{} higher", self.length(over)) };
                format!("barrel {}: {shims}, top {place}", barrel.label)
            })
            .collect();
        match self.barrels.as_slice() {
            [alone] => {
                let shims: Vec<String> = alone.foils.iter().map(|foil| self.number(foil.mm)).collect();
                let shims = if shims.is_empty() { "no shim".to_owned() } else { shims.join(" + ") };
                format!("barrel {}: {shims}, alone under its head.", alone.label)
            }
            _ => format!("{}. Tops level within {}.", each.join("; "), self.length(self.spread())),
        }
    }

    /// Draws the whole into `area`.
    #[must_use]
    pub(crate) fn draw(&self, area: Rect, pens: &Pens) -> Drawn {
        let mut drawing = Drawing { bank: self, pens, list: DisplayList::default() };
        let line = pens.caption.size * 1.35;
        let captions = pens.caption.width("lowest top") + 2.0 * pens.breath;
        let right = area.x1 - pens.caption.width(&self.band_words()) - 2.0 * pens.breath;
        let columns = Rect::new(area.x0 + captions, area.y0, right, area.y1);
        // From the top: words over the tops, tops, barrels broken off, foils, the case
        // with the names under it.
        let names = 2.0 * line + pens.breath;
        let share = if self.barrels.len() < 2 { 0.0 } else { 0.36 };
        let level_room = (area.height() - names - 2.0 * line) * share;
        let top = area.y0 + line;
        let level = Rect::new(columns.x0, top, columns.x1, top + level_room);
        let foot = area.y1 - names;
        let over = if self.barrels.len() < 2 { 0.0 } else { 1.2 * line };
        let foils = Rect::new(columns.x0, level.y1 + over, columns.x1, foot);
        // A barrel alone has no level to keep.
        let alone = self.barrels.len() < 2;
        let level_scale = if alone { 0.0 } else { drawing.level(level, true) };
        let leaf_scale = drawing.foils(foils, true);
        drawing.barrels(level, foils, level_scale, leaf_scale);
        drawing.text(Point::new(area.x0, foot), Anchor::Left, "case");
        if !alone {
            drawing.text(Point::new(area.x0, level.y0 + pens.caption.capitals()), Anchor::Left, "tops");
        }
        if pens.medium == super::pens::Medium::Paper {
            if !alone {
                let says = format!("{level_scale:.0}:1");
                let at = Point::new(area.x0, level.y0 + line + pens.caption.capitals());
                drawing.text(at, Anchor::Left, &says);
            }
            let says = format!("{leaf_scale:.0}:1");
            drawing.text(Point::new(area.x0, foot - line), Anchor::Left, &says);
        }
        Drawn { list: drawing.list, level_scale, leaf_scale }
    }

    fn band_words(&self) -> String {
        self.tolerance_mm.map_or_else(String::new, |tolerance| format!("{} allowed", self.number(tolerance)))
    }
}

struct Drawing<'a> {
    bank: &'a Bank,
    pens: &'a Pens,
    list: DisplayList,
}

impl Drawing<'_> {
    fn fill(&mut self, rect: Rect, ink: Ink) {
        self.list.shapes.push(Shape::Fill { path: rect.to_path(0.1), ink });
    }

    fn stroke(&mut self, path: BezPath, ink: Ink, width: f64) {
        self.list.shapes.push(Shape::Stroke { path, ink, width, dash: Dash::Solid });
    }

    fn line(&mut self, from: (f64, f64), to: (f64, f64), ink: Ink, width: f64) {
        self.stroke(Line::new(from, to).to_path(0.1), ink, width);
    }

    fn words(&mut self, at: Point, anchor: Anchor, letters: Letters, ink: Ink, text: &str) {
        let Letters { size, bold } = letters;
        let text = text.to_owned();
        self.list.shapes.push(Shape::Text { at, anchor, turn_deg: 0.0, size, bold, ink, text });
    }

    fn text(&mut self, at: Point, anchor: Anchor, text: &str) {
        self.words(at, anchor, self.pens.caption, Ink::Second, text);
    }

    /// Returns the column of each barrel: its middle and half its width. Next
    /// to it there is room for words where `written`.
    fn columns(&self, area: Rect, written: bool) -> Vec<(f64, f64)> {
        let count = self.bank.barrels.len().max(1) as f64;
        let pitch = area.width() / count;
        let half = (if written { 0.26 } else { 0.36 } * pitch).min(1.8 * self.pens.first_line);
        (0..self.bank.barrels.len()).map(|i| (area.x0 + pitch * (i as f64 + 0.5), half)).collect()
    }

    fn top_y(&self, area: Rect, top_mm: f64, scale: f64) -> f64 {
        let (low, high) = self.bank.tops();
        area.center().y - (top_mm - (low + high) / 2.0) * scale
    }

    /// Draws tops on the band and returns their scale.
    fn level(&mut self, area: Rect, written: bool) -> f64 {
        let pens = self.pens;
        let bank = self.bank;
        let (low, _) = bank.tops();
        let tallest = bank.spread().max(bank.tolerance_mm.unwrap_or(0.0)).max(1e-3);
        let scale = scale(tallest, area.height() * 0.9, 1000.0);
        let (left, right) = (area.x0, area.x1);
        if let Some(tolerance) = bank.tolerance_mm {
            let half = tolerance * scale / 2.0;
            let middle = area.center().y;
            self.fill(Rect::new(left, middle - half, right, middle + half), Ink::Part(Part::Barrel));
            for y in [middle - half, middle + half] {
                self.line((left, y), (right, y), Ink::Second, pens.narrow);
            }
            if written {
                let at = Point::new(right + pens.breath, middle + pens.caption.capitals() / 2.0);
                self.text(at, Anchor::Left, &bank.band_words());
            }
        }
        let thick = 2.0 * pens.wide;
        let ink = if bank.is_off_level() { Ink::Warn } else { Ink::Edge };
        for ((x, half), barrel) in self.columns(area, written).into_iter().zip(&bank.barrels) {
            let y = self.top_y(area, barrel.top_mm, scale);
            self.fill(Rect::new(x - half, y, x + half, y + thick), ink);
            if written {
                let over = barrel.top_mm - low;
                let says = if over < 1e-9 {
                    "lowest".to_owned()
                } else {
                    let long = format!("{} higher", bank.number(over));
                    let fits = pens.caption.width(&long) < 3.6 * half;
                    if fits { long } else { bank.number(over) }
                };
                let at = Point::new(x, area.y0 - pens.breath);
                self.words(at, Anchor::Middle, pens.caption, Ink::Edge, &says);
            }
        }
        scale
    }

    /// Draws foils and the case under them and returns their scale.
    fn foils(&mut self, area: Rect, written: bool) -> f64 {
        let tallest = self.bank.barrels.iter().map(Barrel::height).fold(0.0, f64::max);
        let most = self.bank.barrels.iter().map(|barrel| barrel.foils.len()).max().unwrap_or(0);
        let gaps = most as f64 * self.pens.least_gap + 1.4 * self.pens.caption.size;
        let scale = scale(tallest.max(0.05), (area.height() - gaps).max(self.pens.least_solid), 100.0);
        self.stacks(area, scale, written);
        scale
    }

    fn stacks(&mut self, area: Rect, scale: f64, written: bool) {
        let pens = self.pens;
        let bank = self.bank;
        let foot = area.y1;
        for ((x, half), barrel) in self.columns(area, written).into_iter().zip(&bank.barrels) {
            let (x0, x1) = (x - half, x + half);
            let mut y = foot - pens.narrow;
            let mut label = foot + pens.caption.capitals();
            for foil in &barrel.foils {
                let high = (foil.mm * scale).max(pens.least_solid);
                let rect = Rect::new(x0, y - high, x1, y);
                self.foil(rect, foil.soft);
                if written {
                    let middle = rect.center().y;
                    label = (middle + pens.caption.capitals() / 2.0).min(label - pens.caption.size * 1.15);
                    let from = (x1 + 0.6 * pens.breath, middle);
                    let to = (x1 + 2.6 * pens.breath, label - pens.caption.capitals() / 2.0);
                    self.line(from, to, Ink::Second, pens.narrow);
                    let at = Point::new(to.0 + 0.5 * pens.breath, label);
                    self.words(at, Anchor::Left, pens.caption, Ink::Edge, &bank.number(foil.mm));
                }
                y -= high + pens.least_gap;
            }
            if written {
                let line = pens.caption.size * 1.35;
                let bold = Letters { bold: true, ..pens.dimension };
                let at = Point::new(x, foot + line);
                self.words(at, Anchor::Middle, bold, Ink::Edge, &barrel.label);
                let says =
                    if barrel.foils.is_empty() { "no shim".to_owned() } else { bank.length(barrel.height()) };
                self.text(Point::new(x, foot + 2.0 * line), Anchor::Middle, &says);
            } else {
                let says =
                    if barrel.foils.is_empty() { "none".to_owned() } else { bank.number(barrel.height()) };
                let bold = Letters { bold: true, ..pens.dimension };
                self.words(Point::new(x, y - pens.breath), Anchor::Middle, bold, Ink::Edge, &says);
                self.line((x - half - 2.0, foot), (x + half + 2.0, foot), Ink::Second, pens.narrow);
            }
        }
        if written {
            self.line((area.x0, foot), (area.x1, foot), Ink::Edge, pens.wide);
        }
    }

    /// Draws a foil: a hard one solid, a soft one lined.
    fn foil(&mut self, rect: Rect, soft: bool) {
        if !soft {
            self.fill(rect, Ink::Solid);
            return;
        }
        let pens = self.pens;
        let path = rect.to_path(0.1);
        self.fill(rect, Ink::Sheet);
        let lining = Lining { angle_deg: 45.0, pitch: 2.0 * pens.breath };
        let lines = hatch::hatch(&rings_of(&path, 0.1), lining, rect.origin());
        self.stroke(hatch::path_of(&lines), Ink::Solid, pens.narrow);
        self.stroke(path, Ink::Solid, pens.narrow);
    }

    /// Draws the walls of the barrels from their tops down to their shims,
    /// broken off in between.
    fn barrels(&mut self, level: Rect, foils: Rect, level_scale: f64, leaf_scale: f64) {
        let pens = self.pens;
        let bank = self.bank;
        let middle = (level.y1 + foils.y0) / 2.0;
        let gap = pens.breath;
        for ((x, half), barrel) in self.columns(level, true).into_iter().zip(&bank.barrels) {
            let alone = bank.barrels.len() < 2;
            let top = self.top_y(level, barrel.top_mm, level_scale) + 2.0 * pens.wide;
            let gaps = barrel.foils.len() as f64 * pens.least_gap;
            let high = |foil: &Foil| (foil.mm * leaf_scale).max(pens.least_solid);
            let bottom = foils.y1 - pens.narrow - gaps - barrel.foils.iter().map(high).sum::<f64>();
            for side in [-1.0, 1.0] {
                let wall = x + side * half * 0.8;
                if !alone {
                    self.line((wall, top), (wall, middle - gap), Ink::Assumed, pens.narrow);
                }
                if bottom > middle + gap {
                    self.line((wall, middle + gap), (wall, bottom), Ink::Assumed, pens.narrow);
                }
            }
            let breaks = if alone { &[middle + gap][..] } else { &[middle - gap, middle + gap] };
            for &y in breaks {
                let mut path = BezPath::new();
                path.move_to((x - half, y));
                path.curve_to((x - half / 3.0, y - gap), (x + half / 3.0, y + gap), (x + half, y));
                self.stroke(path, Ink::Assumed, pens.narrow);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn barrel(label: &str, foils: &[f64], top_mm: f64) -> Barrel {
        let foils = foils.iter().map(|&mm| Foil { mm, soft: false }).collect();
        Barrel { label: label.into(), foils, top_mm }
    }

    fn bank() -> Bank {
        Bank {
            barrels: vec![
                barrel("4", &[0.15], 202.45),
                barrel("5", &[0.2, 0.25], 202.43),
                barrel("6", &[], 202.45),
            ],
            tolerance_mm: Some(0.03),
            units: UnitChoice::default(),
        }
    }

    fn solids(list: &DisplayList, of: Ink) -> Vec<Rect> {
        let solid = |shape: &Shape| match shape {
            Shape::Fill { path, ink } if *ink == of => Some(path.bounding_box()),
            _ => None,
        };
        list.shapes.iter().filter_map(solid).collect()
    }

    #[test]
    fn foils_and_tops_stand_to_their_scales() {
        let drawn = bank().draw(Rect::new(0.0, 0.0, 160.0, 70.0), &Pens::PAPER);
        let foils = solids(&drawn.list, Ink::Solid);
        let heights: Vec<f64> = foils.iter().map(|foil| foil.height() / drawn.leaf_scale).collect();
        assert_eq!(heights.len(), 3);
        for (height, mm) in heights.iter().zip([0.15, 0.2, 0.25]) {
            assert!((height - mm).abs() < 1e-9, "{heights:?}");
        }
        // The two foils of one stack don't touch.
        assert!(foils[1].y0 - foils[2].y1 > 0.5);
        let tops = solids(&drawn.list, Ink::Edge);
        assert!(((tops[1].y0 - tops[0].y0) / drawn.level_scale - 0.02).abs() < 1e-9);
        assert!(SCALES.contains(&drawn.level_scale) && SCALES.contains(&drawn.leaf_scale));
    }

    #[test]
    fn tops_off_level_leave_the_band_and_are_told() {
        let area = Rect::new(0.0, 0.0, 80.0, 30.0);
        let mut off = bank();
        assert!(!off.is_off_level());
        off.barrels[1].top_mm = 202.38;
        let drawn = off.draw(area, &Pens::SCREEN);
        let band = solids(&drawn.list, Ink::Part(Part::Barrel))[0];
        let tops = solids(&drawn.list, Ink::Warn);
        assert!(off.is_off_level() && tops.iter().any(|top| top.y0 > band.y1));
        assert!(off.words().contains("barrel 5: 0.20 + 0.25, top lowest"), "{}", off.words());
        assert!(off.words().contains("level within 0.07 mm"), "{}", off.words());
    }

    #[test]
    fn everything_stays_in_its_area_and_every_number_is_finite() {
        let area = Rect::new(10.0, 10.0, 170.0, 80.0);
        for count in 1..=8 {
            let barrels = (0..count).map(|i| barrel(&i.to_string(), &[0.05; 4], 100.0 + 0.3 * f64::from(i)));
            let bank = Bank { barrels: barrels.collect(), ..bank() };
            let list = bank.draw(area, &Pens::PAPER).list;
            for shape in &list.shapes {
                assert!(shape.is_finite());
                if let Shape::Fill { path, .. } = shape {
                    let bounds = path.bounding_box();
                    assert!(area.inflate(0.6, 1.1).contains_rect(bounds), "{count}: {bounds:?}");
                }
            }
        }
    }
}
