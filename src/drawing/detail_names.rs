//! Names of parts inside an enlarged detail, each where its part has most room.

use super::clip::{Ring, bounds};
use super::detail::Detail;
use super::label::{Labels, Pose};
use super::list::{Ink, Part, Term};
use super::paint::Scene;
use super::parts::Construction;
use kurbo::{Point, Vec2};

/// The grid on which a position is looked for.
const COLUMNS: u32 = 14;
const ROWS: u32 = 11;

/// Writes names into a detail.
pub(super) struct Names<'a> {
    pub detail: &'a Detail,
    pub scene: &'a Scene<'a>,
}

impl Names<'_> {
    pub(super) fn write(&self, labels: &mut Labels) {
        let d = &self.scene.parts.datums;
        for part in [Part::Head, Part::Piston, Part::Barrel, Part::Case] {
            let pieces = self.scene.parts.pieces.iter().filter(|piece| piece.part == part && piece.cut);
            let seen = pieces.map(|piece| self.detail.seen(&piece.outline, self.scene.pens));
            let widest = seen.max_by(|a, b| area(a).total_cmp(&area(b))).unwrap_or_default();
            self.name(labels, self.word(part), Ink::Second, &widest);
        }
        // Its tint shows the meaning of the deck: the space above the rim at the top,
        // wherever the piston is now.
        let tint = self.scene.tints.iter().find(|tint| tint.term == Term::Deck);
        if let Some(tint) = tint.filter(|_| d.band_y == d.top_y) {
            self.name(labels, "deck", Ink::Edge, &self.detail.seen(&tint.area, self.scene.pens));
        }
    }

    fn word(&self, part: Part) -> &'static str {
        match part {
            Part::Head => "head",
            Part::Piston => "piston",
            Part::Barrel => match self.scene.input.parts.construction {
                Construction::Block => "block",
                Construction::WetLiners => "liner",
                Construction::FinnedBarrel | Construction::TwoStroke => "barrel",
            },
            _ if self.scene.input.parts.construction.is_block() => "block",
            _ => "case",
        }
    }

    /// Writes a name where it lies inside the area with room around it, near
    /// the middle.
    fn name(&self, labels: &mut Labels, text: &str, ink: Ink, rings: &[Ring]) {
        let letters = self.scene.pens.caption;
        let around = bounds(&rings.concat());
        let half = Vec2::new(letters.width(text) / 2.0 + self.scene.pens.breath, letters.size / 2.0);
        let enough = 0.6 * letters.size;
        let drop = Vec2::new(0.0, letters.capitals() / 2.0);
        let edges: Vec<(Point, Point)> = edges(rings).collect();
        let mut places: Vec<(f64, Pose)> = Vec::new();
        for row in 1..ROWS {
            for column in 1..COLUMNS {
                let p = Point::new(
                    around.x0 + around.width() * f64::from(column) / f64::from(COLUMNS),
                    around.y0 + around.height() * f64::from(row) / f64::from(ROWS),
                );
                let ends = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (0.0, -1.0), (0.0, 1.0)];
                let mut ends = ends.iter().map(|&(x, y)| p + Vec2::new(x * half.x, y * half.y));
                if inside(&edges, p) && ends.all(|end| inside(&edges, end)) {
                    // Room beyond what is enough counts less than the middle.
                    let room = clearance(&edges, p).min(half.y + enough) - half.y;
                    let aside = (p - around.center()).hypot() / around.width().max(around.height());
                    places.push((room / enough - aside, Pose::middle(p + drop)));
                }
            }
        }
        places.sort_by(|a, b| b.0.total_cmp(&a.0));
        labels.place_off_lines(text, letters, ink, places.into_iter().map(|(_, pose)| pose));
    }
}

fn edges(rings: &[Ring]) -> impl Iterator<Item = (Point, Point)> + '_ {
    rings.iter().flat_map(|ring| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().copied().zip(next.copied())
    })
}

/// Returns whether a point lies in an area under the even-odd rule.
fn inside(edges: &[(Point, Point)], p: Point) -> bool {
    let crossings = edges
        .iter()
        .filter(|(a, b)| (a.y <= p.y) != (b.y <= p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y));
    crossings.count() % 2 == 1
}

/// Returns the distance of a point from the nearest edge.
fn clearance(edges: &[(Point, Point)], p: Point) -> f64 {
    let distance = |&(a, b): &(Point, Point)| {
        let way = b - a;
        let t = if way.hypot2() > 0.0 { ((p - a).dot(way) / way.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
        (p - a.lerp(b, t)).hypot2()
    };
    edges.iter().map(distance).fold(f64::INFINITY, f64::min).sqrt()
}

/// Returns the size of an area, holes counted as filled.
fn area(rings: &[Ring]) -> f64 {
    let ring = |ring: &Ring| {
        edges(std::slice::from_ref(ring)).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs()
    };
    rings.iter().map(ring).fold(0.0, f64::max)
}
