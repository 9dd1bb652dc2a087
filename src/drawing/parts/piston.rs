//! The piston, its rings and the boss of its pin.

use super::outline::{self, circle, join, mirrored, strips};
use super::sizes::Sizes;
use super::{Edge, Moves, Piece};
use crate::drawing::list::Part;
use crate::engine::Key;
use crate::engine::solid::Crown;
use kurbo::{BezPath, Point};

/// Heights of the three rings and of the lands under the first two, as
/// fractions of the bore.
const RINGS: [f64; 3] = [0.02, 0.02, 0.034];
const LAND: f64 = 0.034;
/// Depth of a groove and of the ring in it, from the bore's wall.
const GROOVE: f64 = 0.052;
const RING: f64 = 0.042;

/// Returns the lower edges of the lands and of the grooves under the top land:
/// pairs of groove top and groove bottom below the rim.
fn grooves(sizes: &Sizes) -> [(f64, f64); 3] {
    // A compression height too short for three rings draws them closer.
    let tall: f64 = sizes.land_height + sizes.part(RINGS.iter().sum::<f64>() + 3.0 * LAND);
    let room = (sizes.rim_y - sizes.pin.y) + 0.9 * sizes.skirt_below;
    let shrink = (room / tall).min(1.0);
    let mut y = sizes.land_height * shrink;
    RINGS.map(|ring| {
        let groove = (y, y + sizes.part(ring) * shrink);
        y = groove.1 + sizes.part(LAND) * shrink;
        groove
    })
}

/// Returns the piston cut through its axis: crown, lands, grooves, skirt.
pub(super) fn piston(sizes: &Sizes, crown: &Crown) -> Piece {
    let rim = sizes.rim_y;
    let land_x = sizes.land_x;
    let skirt_x = sizes.half - sizes.part(0.0015);
    let lands_x = sizes.half - sizes.part(0.003);
    let low = sizes.pin.y - sizes.skirt_below;
    let top = crown.top().between(-land_x, land_x).shifted(rim);
    let grooves = grooves(sizes);

    let mut side = vec![(land_x, top.y(land_x), 0.0)];
    let mut x = land_x;
    for (upper, lower) in grooves {
        let bottom = sizes.half - sizes.part(GROOVE);
        side.extend([(x, rim - upper, 0.0), (bottom, rim - upper, 0.0), (bottom, rim - lower, 0.0)]);
        x = lands_x;
        side.push((x, rim - lower, 0.0));
    }
    let belt = grooves[2].1 + sizes.part(LAND);
    let (thin, thick) = (sizes.part(0.034), sizes.part(0.085));
    side.extend([
        (x, rim - belt, 0.0),
        (skirt_x, rim - belt - sizes.part(0.01), 0.0),
        (skirt_x, low, sizes.part(0.006)),
        (skirt_x - thin, low, sizes.part(0.006)),
    ]);
    let inner_x = (sizes.half - sizes.part(GROOVE) - thick * 0.5).max(0.3 * sizes.half);
    let inner_y = (rim - belt).max(low + sizes.part(0.02));
    side.push((inner_x, inner_y - sizes.part(0.04), sizes.part(0.05)));
    side.push((inner_x, inner_y, 0.0));
    let mut right = outline::rounded(&side);
    // From the inside of the skirt in a vault up to the underside of the crown.
    let vault = under_crown(sizes, crown).max(inner_y - rim + sizes.part(0.01)) + rim;
    let rise = vault - inner_y;
    right.curve_to((inner_x, inner_y + 0.5 * rise), (0.62 * inner_x, vault), (0.0, vault));

    let mut outline = top.path();
    join(&mut outline, &right);
    join(&mut outline, &mirrored(&right, 0.0).reverse_subpaths());
    outline.close_path();

    Piece {
        part: Part::Piston,
        outline,
        measured: edges(sizes, crown, rim),
        details: Vec::new(),
        cut: true,
        moves: Moves::WithPiston,
        anchor: Point::new(0.0, rim),
    }
}

/// Returns the height of the crown's underside on the axis relative to the rim.
fn under_crown(sizes: &Sizes, crown: &Crown) -> f64 {
    let near = sizes.part(0.26);
    crown.top().between(-near, near).bottom() - sizes.crown_thickness
}

/// Returns the edges that belong to dimensions: the flat rim, what rises above
/// it or is cut into it, the top land.
fn edges(sizes: &Sizes, crown: &Crown, rim: f64) -> Vec<Edge> {
    let land_x = sizes.land_x;
    let mouth = (crown.opening_mm() / 2.0).min(land_x);
    let pockets = crown.pockets().map_or(0.0, |p| p.centre_mm() + p.radius_mm()).min(land_x);
    let shaped = mouth.max(pockets);
    let mut edges = Vec::new();
    let mut edge = |key, path: BezPath| edges.push(Edge { key, path });
    if shaped == 0.0 {
        edge(Key::CompressionHeight, outline::line((-land_x, rim), (land_x, rim)));
    } else {
        if shaped < land_x {
            let right = outline::line((shaped, rim), (land_x, rim));
            edge(Key::CompressionHeight, outline::both_sides(&right));
        }
        let key = if mouth > 0.0 { Key::CrownVolume } else { Key::PocketVolume };
        let top = crown.top().between(-shaped, shaped).shifted(rim).path();
        edge(key, if shaped < land_x { outline::ending_at(&top, rim) } else { top });
    }
    let upper = rim + crown.top().y(land_x);
    let side = outline::line((land_x, upper), (land_x, rim - grooves(sizes)[0].0));
    edge(Key::TopLandDiameter, outline::both_sides(&side));
    edges
}

/// Returns the rings, small solid blocks that lie against the wall.
pub(super) fn rings(sizes: &Sizes) -> Piece {
    let mut outline = BezPath::new();
    for (upper, lower) in grooves(sizes) {
        // A hair of side clearance, so that ring and land stay apart.
        let clear = 0.06 * (lower - upper);
        let strip = strips(
            sizes.half - sizes.part(RING),
            sizes.half,
            sizes.rim_y - lower + clear,
            sizes.rim_y - upper - clear,
        );
        outline.extend(strip.elements().iter().copied());
    }
    Piece {
        part: Part::Ring,
        outline,
        measured: Vec::new(),
        details: Vec::new(),
        cut: true,
        moves: Moves::WithPiston,
        anchor: Point::new(0.0, sizes.rim_y),
    }
}

/// Returns the boss round the pin, behind the section plane.
pub(super) fn boss(sizes: &Sizes) -> Piece {
    let room = (sizes.rim_y - sizes.pin.y).max(1.2 * sizes.small_end_r);
    let radius = (1.2 * sizes.small_end_r).min(room);
    Piece {
        part: Part::Piston,
        outline: circle(sizes.pin, radius),
        measured: Vec::new(),
        details: Vec::new(),
        cut: false,
        moves: Moves::WithPiston,
        anchor: sizes.pin,
    }
}
