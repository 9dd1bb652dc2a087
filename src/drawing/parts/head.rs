//! The air-cooled head, the underside that all heads share, and the head
//! gasket.

use super::barrel::fins;
use super::outline::{self, Corner, join, mirrored, strips};
use super::sizes::Sizes;
use super::{Edge, Moves, Piece};
use crate::drawing::list::Part;
use crate::engine::Key;
use crate::engine::solid::{Chamber, Profile};
use kurbo::{BezPath, Point};

/// Distance from fin to fin, as a fraction of the bore.
const FIN_PITCH: f64 = 0.07;

/// Returns the roof over the bore in place. A band that reaches down into the
/// barrel gets a little play next to the wall.
pub(super) fn roof(sizes: &Sizes, chamber: &Chamber) -> Profile {
    let play = if chamber.head_step_mm() < 0.0 { sizes.part(0.002) } else { 0.0 };
    chamber.roof().between(-sizes.half + play, sizes.half - play).shifted(sizes.joint_y)
}

/// Returns the closed outline of a head: the roof, then the right side from the
/// joint face at the bore to the axis above the roof, and its mirror image.
pub(super) fn shell(sizes: &Sizes, chamber: &Chamber, right: &[Corner]) -> BezPath {
    let roof = roof(sizes, chamber);
    let mut side = vec![(roof.right(), sizes.joint_y, 0.0)];
    side.extend_from_slice(right);
    let side = outline::rounded(&side);
    let mut path = roof.path();
    join(&mut path, &side);
    join(&mut path, &mirrored(&side, 0.0).reverse_subpaths());
    path.close_path();
    path
}

/// Returns the hole for the plug, from the roof up to `top`.
pub(super) fn plug_hole(sizes: &Sizes, chamber: &Chamber, top: f64) -> BezPath {
    let r = sizes.plug_r;
    let mut path = roof(sizes, chamber).between(-r, r).path();
    path.line_to((r, top));
    path.line_to((-r, top));
    path.close_path();
    path
}

/// Returns the roof with its band, and the joint face out to `outer`.
pub(super) fn edges(sizes: &Sizes, chamber: &Chamber, outer: f64) -> Vec<Edge> {
    let roof = roof(sizes, chamber);
    let mouth = chamber.opening_mm() / 2.0;
    let mut edges = Vec::new();
    let mut edge = |key, path| edges.push(Edge { key, path });
    if mouth > 0.0 {
        let band = sizes.joint_y + chamber.head_step_mm();
        edge(Key::ChamberVolume, outline::ending_at(&roof.between(-mouth, mouth).path(), band));
    }
    if mouth < roof.right() {
        let band = sizes.joint_y + chamber.head_step_mm();
        let right = outline::line((mouth, band), (roof.right(), band));
        edge(Key::HeadStep, outline::both_sides(&right));
    }
    let face = outline::line((roof.right(), sizes.joint_y), (outer, sizes.joint_y));
    edge(Key::GasketThickness, outline::both_sides(&face));
    edges
}

/// Returns a piece of the head.
pub(super) fn piece(outline: BezPath, measured: Vec<Edge>, joint_y: f64) -> Piece {
    Piece {
        part: Part::Head,
        outline,
        measured,
        details: Vec::new(),
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, joint_y),
    }
}

/// Returns an air-cooled head: a thick roof with a boss for the plug, fins at
/// the sides.
pub(super) fn finned(sizes: &Sizes, chamber: &Chamber) -> Piece {
    let part = |f: f64| sizes.part(f);
    let joint = sizes.joint_y;
    let over = |from: f64, to: f64| sizes.roof_over(chamber, part(from), part(to));
    // Metal over the roof everywhere.
    let crest = (over(0.0, 0.25) + part(0.14)).max(part(0.44));
    let haunch = (over(0.25, 0.42) + part(0.12)).max(crest - part(0.08));
    let shoulder = (over(0.36, 0.5) + part(0.1)).max(part(0.31)).min(haunch);
    let (boss_x, boss) = (sizes.plug_r + part(0.035), crest.max(haunch) + part(0.05));
    let root_x = sizes.half + part(0.1);
    let flange = part(0.075);

    let mut right = vec![
        (sizes.joint_x, joint, part(0.006)),
        (sizes.joint_x, joint + flange, part(0.012)),
        (root_x, joint + flange, part(0.012)),
    ];
    let mut climb = fins(
        sizes,
        FIN_PITCH,
        root_x,
        (joint + shoulder, sizes.fin_x - part(0.03)),
        (joint + flange + part(0.015), sizes.fin_x),
    );
    // The list runs downward; a head is walked upward.
    climb.reverse();
    right.extend(climb);
    right.extend([
        (root_x, joint + shoulder, part(0.03)),
        (part(0.36), joint + haunch, part(0.06)),
        (boss_x, joint + crest.max(haunch - part(0.02)), part(0.02)),
        (boss_x, joint + boss, part(0.008)),
        (0.0, joint + boss, 0.0),
    ]);
    let mut outline = shell(sizes, chamber, &right);
    outline.extend(plug_hole(sizes, chamber, joint + boss).elements().iter().copied());
    piece(outline, edges(sizes, chamber, sizes.joint_x - part(0.006)), joint)
}

/// Returns the head gasket, as thick as it is crushed.
pub(super) fn gasket(sizes: &Sizes) -> Option<Piece> {
    if sizes.joint_y <= sizes.top_y {
        return None;
    }
    let (inner, outer) = (sizes.gasket_x, sizes.joint_x - sizes.part(0.006));
    let hole = outline::line((inner, sizes.top_y), (inner, sizes.joint_y));
    Some(Piece {
        part: Part::Gasket,
        outline: strips(inner, outer, sizes.top_y, sizes.joint_y),
        measured: vec![Edge { key: Key::GasketBore, path: outline::both_sides(&hole) }],
        details: Vec::new(),
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, sizes.top_y),
    })
}
