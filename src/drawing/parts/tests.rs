//! Tests of the outlines against the dimensions that put them where they are,
//! and against each other: two bodies can't be in one place.

use super::*;
use crate::engine::Dims;
use crate::engine::solid::{ChamberKind, CrownKind};
use kurbo::ParamCurve as _;
use proptest::prelude::*;

/// One of the invented engines of the design notes: bore, stroke, rod,
/// compression height, case, shim, barrel, gasket and its hole, chamber,
/// crown, pockets, top land.
type Numbers = [f64; 14];

const TARNBECK: Numbers = [80.0, 62.0, 118.0, 36.0, 97.1, 0.5, 88.6, 0.8, 82.0, 33.5, 0.0, 0.0, 6.0, 79.5];
const OLDERMOOR: Numbers = [92.0, 110.0, 195.0, 58.0, 308.3, 0.0, 0.0, 1.5, 94.0, 86.5, 22.0, 0.0, 9.0, 91.3];
const BRACKWELL: Numbers =
    [114.3, 139.7, 279.4, 76.2, 437.5, 0.0, 0.0, 1.4, 117.0, 238.0, 0.0, 0.0, 15.0, 113.4];
const ZUNNAR: Numbers = [52.0, 58.0, 112.0, 27.0, 86.0, 0.6, 82.2, 0.0, 52.0, 11.9, -2.663, 0.0, 3.0, 51.7];
const SORRENDEL: Numbers =
    [86.0, 74.0, 130.0, 34.5, 104.62, 0.25, 97.85, 0.0, 86.0, 58.9, -18.0, 4.0, 5.5, 85.4];

fn input(n: Numbers, construction: Construction, kind: &ChamberKind) -> PartsInput {
    let [bore, stroke, rod, height, case, shim, barrel, gasket, hole, chamber, crown, pockets, land, land_d] =
        n;
    let dims = Dims::new()
        .with(Key::Bore, bore)
        .with(Key::Stroke, stroke)
        .with(Key::RodLength, rod)
        .with(Key::CompressionHeight, height)
        .with(Key::CaseHeight, case)
        .with(Key::BaseShim, shim)
        .with(Key::BarrelLength, barrel)
        .with(Key::GasketThickness, gasket)
        .with(Key::GasketBore, hole)
        .with(Key::ChamberVolume, chamber)
        .with(Key::CrownVolume, crown)
        .with(Key::PocketVolume, pockets)
        .with(Key::TopLandHeight, land)
        .with(Key::TopLandDiameter, land_d);
    PartsInput {
        engine: Engine::new(dims).unwrap(),
        construction,
        chamber: Chamber::nearest(kind, bore, 0.0, chamber).unwrap().solid,
        crown: Crown::nearest(&CrownKind::for_volume(bore, crown), bore, crown, pockets).unwrap().solid,
        shim_foils: Vec::new(),
    }
}

fn each() -> [PartsInput; 6] {
    let kinds = ChamberKind::all();
    [
        input(TARNBECK, Construction::FinnedBarrel, &kinds[0]),
        input(OLDERMOOR, Construction::Block, &kinds[4]),
        input(BRACKWELL, Construction::Block, &kinds[1]),
        input(BRACKWELL, Construction::WetLiners, &kinds[1]),
        input(ZUNNAR, Construction::TwoStroke, &kinds[0]),
        input(SORRENDEL, Construction::FinnedBarrel, &kinds[0]),
    ]
}

/// Returns whether a point lies inside an outline under the even-odd rule.
fn inside(piece: &Piece, p: Point) -> bool {
    piece.outline.winding(p) % 2 != 0
}

/// Returns whether a piece is a body in the section plane or swinging in it,
/// which may not be where another one is. The web and the boss lie behind the
/// plane.
fn is_body(piece: &Piece) -> bool {
    piece.cut || piece.part == Part::Rod
}

/// Returns the first point at which two bodies are one in the other.
fn clash(parts: &Parts, steps: u32) -> Option<(Part, Part, Point)> {
    let boxes: Vec<Rect> = parts.pieces.iter().map(|piece| piece.outline.bounding_box()).collect();
    for (i, a) in parts.pieces.iter().enumerate().filter(|(_, a)| is_body(a)) {
        for (j, b) in parts.pieces.iter().enumerate().skip(i + 1).filter(|(_, b)| is_body(b)) {
            let common = boxes[i].intersect(boxes[j]);
            if common.width() <= 1e-9 || common.height() <= 1e-9 {
                continue;
            }
            for k in 0..steps * steps {
                let (u, v) = (f64::from(k / steps) + 0.5, f64::from(k % steps) + 0.5);
                let p = common.origin()
                    + kurbo::Vec2::new(common.width() * u, common.height() * v) / f64::from(steps);
                if inside(a, p) && inside(b, p) {
                    return Some((a.part, b.part, p));
                }
            }
        }
    }
    None
}

#[test]
fn no_two_bodies_stand_in_one_place() {
    for (engine, input) in each().iter().enumerate() {
        for deg in [0.0, 30.0, 75.0, 90.0, 140.0, 180.0, 250.0, 300.0_f64] {
            let parts = parts(input, deg.to_radians());
            assert_eq!(clash(&parts, 24), None, "engine {engine} at {deg}°");
        }
    }
}

#[test]
fn what_turns_keeps_clear_of_what_stands() {
    for (engine, input) in each().iter().enumerate() {
        for deg in (0..360).step_by(15) {
            let parts = parts(input, f64::from(deg).to_radians());
            let web = &parts.pieces[0];
            assert_eq!(web.part, Part::Web);
            for fixed in parts.pieces.iter().filter(|piece| piece.moves == Moves::Fixed) {
                for segment in web.outline.segments() {
                    for t in [0.0, 0.25, 0.5, 0.75] {
                        let p = segment.eval(t);
                        assert!(!inside(fixed, p), "engine {engine} at {deg}°: web in {:?}", fixed.part);
                    }
                }
            }
            // At the bottom the web passes under the skirt.
            let piston = parts.pieces.iter().find(|piece| piece.part == Part::Piston && piece.cut).unwrap();
            for segment in web.outline.segments() {
                assert!(!inside(piston, segment.eval(0.5)), "engine {engine} at {deg}°: web in the piston");
            }
        }
    }
}

#[test]
fn measured_parts_stand_where_the_dimensions_put_them() {
    for input in each() {
        let figures = *input.engine.figures();
        let given = |key| input.engine.dims().filled(key).unwrap();
        for deg in [0.0, 40.0, 180.0, 275.0_f64] {
            let parts = parts(&input, deg.to_radians());
            let d = parts.datums;
            // The rod is as long as it was measured.
            assert!((d.pin.distance(d.crankpin) - given(Key::RodLength)).abs() < 1e-9);
            assert!((d.crankpin.to_vec2().hypot() - given(Key::Stroke) / 2.0).abs() < 1e-9);
            // Rim to band: squish at the top and the piston's way since.
            let way = figures.crank.motion(deg).position_mm;
            assert!((d.band_y - d.rim_y - figures.squish_clearance - way).abs() < 1e-9);
            assert!((d.rim_y - d.pin.y - given(Key::CompressionHeight)).abs() < 1e-9);
            let tower = given(Key::CaseHeight) + given(Key::BaseShim) + given(Key::BarrelLength);
            assert!((d.top_y - tower).abs() < 1e-9);
            // Edges lie on their parts' outlines' boxes.
            for edge in parts.pieces.iter().flat_map(|piece| &piece.measured) {
                let bounds = edge.path.bounding_box();
                match edge.key {
                    Key::Bore => assert!((bounds.x0.abs() - d.bore_x).abs() < 1e-9),
                    Key::CompressionHeight => {
                        assert!((bounds.y0 - d.rim_y).abs() < 1e-9 && (bounds.y1 - d.rim_y).abs() < 1e-9);
                    }
                    Key::TopLandDiameter => {
                        assert!((bounds.x1 - given(Key::TopLandDiameter) / 2.0).abs() < 1e-9)
                    }
                    Key::HeadStep => assert!((bounds.y0 - d.band_y).abs() < 1e-9),
                    _ => {}
                }
            }
        }
    }
}

#[test]
fn leaves_are_drawn_as_they_lie_and_only_if_they_make_the_shim() {
    let mut input = input(SORRENDEL, Construction::FinnedBarrel, &ChamberKind::default());
    let count = |input: &PartsInput| parts(input, 0.0).pieces.iter().filter(|p| p.part == Part::Shim).count();
    assert_eq!(count(&input), 1);
    input.shim_foils = vec![0.1, 0.15];
    assert_eq!(count(&input), 2);
    let total: f64 = parts(&input, 0.0)
        .pieces
        .iter()
        .filter(|p| p.part == Part::Shim)
        .map(|p| p.outline.bounding_box().height())
        .sum();
    assert!((total - 0.25).abs() < 1e-9);
    input.shim_foils = vec![0.1, 0.2];
    assert_eq!(count(&input), 1);
}

#[test]
fn a_mockup_reading_moves_the_rim_not_the_barrel() {
    let before = input(SORRENDEL, Construction::FinnedBarrel, &ChamberKind::default());
    let dims = before.engine.dims().with(Key::MockupDeck, 1.35).with(Key::MockupShim, 0.25);
    let after = PartsInput { engine: Engine::new(dims).unwrap(), ..before.clone() };
    let (a, b) = (parts(&before, 0.0).datums, parts(&after, 0.0).datums);
    assert_eq!(a.top_y, b.top_y);
    assert!((b.top_y - b.rim_y - 1.35).abs() < 1e-12);
}

#[test]
fn the_port_edge_stands_where_the_piston_shuts_it() {
    let input = input(ZUNNAR, Construction::TwoStroke, &ChamberKind::default());
    let dims = input.engine.dims().with(Key::PortClosing, 88.0);
    let input = PartsInput { engine: Engine::new(dims).unwrap(), ..input };
    // 88° before the top the rim is at the port's upper edge.
    let shut = parts(&input, (-88.0_f64).to_radians());
    let edge = shut
        .pieces
        .iter()
        .flat_map(|piece| &piece.measured)
        .find(|edge| edge.key == Key::PortClosing)
        .unwrap();
    assert!((edge.path.bounding_box().y1 - shut.datums.rim_y).abs() < 1e-9);
}

#[test]
fn a_clash_would_be_seen() {
    let input = input(SORRENDEL, Construction::FinnedBarrel, &ChamberKind::default());
    let mut parts = parts(&input, 0.0);
    let piston = parts.pieces.iter_mut().find(|piece| piece.part == Part::Piston && piece.cut).unwrap();
    piston.outline = kurbo::Affine::translate((0.0, 2.0)) * piston.outline.clone();
    assert!(clash(&parts, 40).is_some());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Engines of any build and size: everything finite, nothing in the same
    /// place, and k times the engine gives k times the picture.
    #[test]
    fn any_engine_can_be_drawn(
        bore in 20.0..200.0_f64, square in 0.6..1.6_f64, slender in 1.5..2.4_f64, tall in 0.26..0.7_f64,
        deck in 0.0..0.06_f64, part in 0.01..0.12_f64, crown in -0.02..0.03_f64, gasket in 0.0..0.02_f64,
        shim in 0.0..0.02_f64, offset in -0.02..0.02_f64, kind in 0..5_usize, build in 0..3_usize, deg in 0.0..360.0_f64,
        k in -3.0..3.0_f64
    ) {
        let stroke = bore * square;
        let rod = stroke * slender;
        let height = bore * tall;
        let cube = bore * bore * bore / 1000.0;
        let construction = [Construction::FinnedBarrel, Construction::Block, Construction::TwoStroke][build];
        // The top of the cylinder that gives the wished deck, shared out.
        let e = bore * offset;
        let reach = f64::sqrt((rod + stroke / 2.0) * (rod + stroke / 2.0) - e * e) + height;
        let tower = reach + bore * deck;
        let shims = if build == 1 { 0.0 } else { bore * shim };
        let barrel = if build == 1 { 0.0 } else { (stroke + 0.35 * bore).min(tower - shims - stroke / 2.0 - 0.5 * bore) };
        let build_at = |k: f64| -> Option<PartsInput> {
            let dims = Dims::new()
                .with(Key::Bore, k * bore)
                .with(Key::Stroke, k * stroke)
                .with(Key::RodLength, k * rod)
                .with(Key::PinOffset, -k * e)
                .with(Key::CompressionHeight, k * height)
                .with(Key::CaseHeight, k * (tower - shims - barrel))
                .with(Key::BaseShim, k * shims)
                .with(Key::BarrelLength, k * barrel)
                .with(Key::GasketThickness, k * bore * gasket)
                .with(Key::GasketBore, k * bore * 1.01)
                .with(Key::ChamberVolume, k * k * k * part * cube)
                .with(Key::CrownVolume, k * k * k * crown * cube);
            let engine = Engine::new(dims).ok()?;
            let (bore, cube) = (k * bore, k * k * k * cube);
            let crown_kind = CrownKind::for_volume(bore, crown * cube);
            Some(PartsInput {
                engine,
                construction,
                chamber: Chamber::nearest(&ChamberKind::all()[kind], bore, 0.0, part * cube).ok()?.solid,
                crown: Crown::nearest(&crown_kind, bore, crown * cube, 0.0).ok()?.solid,
                shim_foils: Vec::new(),
            })
        };
        // A dome too large for the space is no engine.
        let Some(input) = build_at(1.0) else { return Ok(()) };
        let near = crate::engine::solid::closest_approach(&input.crown, &input.chamber, input.engine.figures().squish_clearance);
        prop_assume!(!near.is_contact());
        let drawn = parts(&input, deg.to_radians());
        for piece in &drawn.pieces {
            prop_assert!(piece.outline.is_finite(), "{:?}", piece.part);
            prop_assert!(piece.measured.iter().all(|edge| edge.path.is_finite()));
            prop_assert!(piece.details.iter().all(|path| path.is_finite()));
        }
        prop_assert!(drawn.lines.iter().all(|line| line.path.is_finite()));
        prop_assert_eq!(clash(&drawn, 24), None);
        for piece in &drawn.pieces {
            let (inner, outer) = (piece.outline.bounding_box(), drawn.datums.bounds().inflate(1e-6 * bore, 1e-6 * bore));
            prop_assert!(outer.union(inner).area() <= outer.area() * (1.0 + 1e-9), "{:?} beyond the bounds", piece.part);
        }

        let k = crate::engine::num::exp(k * std::f64::consts::LN_10);
        let grown = parts(&build_at(k).unwrap(), deg.to_radians());
        prop_assert_eq!(grown.pieces.len(), drawn.pieces.len());
        for (a, b) in drawn.pieces.iter().zip(&grown.pieces) {
            let (a, b) = (a.outline.bounding_box(), b.outline.bounding_box());
            prop_assert!((b.width() / (a.width() * k) - 1.0).abs() < 1e-6);
            prop_assert!((b.center().y - a.center().y * k).abs() < 1e-6 * bore * k);
        }
    }
}
