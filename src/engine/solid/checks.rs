//! Checks of the solids against something outside: the drawn outline,
//! integrated by a quadrature that knows nothing of the closed forms; answers
//! computed elsewhere; and a search over thousands of points.

use super::*;
use crate::engine::num::{PI, exp, hypot};
use kurbo::{BezPath, ParamCurve as _, ParamCurveDeriv as _, PathSeg, Point};
use proptest::prelude::*;

/// Computes ∫ f over 0..1 by the double exponential rule (Takahasi & Mori 1974,
/// from memory): t = 1/(1 + e^(−π·sinh u)). It does not mind a vertical tangent
/// at an end.
fn integral(f: impl Fn(f64) -> f64) -> f64 {
    let step = 1.0 / 16.0;
    (-56..=56)
        .map(|i| {
            let u = f64::from(i) * step;
            let (sinh, cosh) = ((exp(u) - exp(-u)) / 2.0, (exp(u) + exp(-u)) / 2.0);
            let grown = exp(-PI * sinh);
            let t = 1.0 / (1.0 + grown);
            f(t) * PI * cosh * grown * t * t * step
        })
        .sum()
}

/// Computes ∫ y(x)·weight(x) dx along a drawn path.
fn along(path: &BezPath, weight: impl Fn(f64) -> f64) -> f64 {
    path.segments()
        .map(|segment| {
            let cubic = segment.to_cubic();
            let slope = cubic.deriv();
            integral(|t| {
                let p = cubic.eval(t);
                p.y * weight(p.x) * slope.eval(t).x
            })
        })
        .sum()
}

/// Computes the volume of a solid of revolution under a drawn profile: each
/// side counts as half a turn.
fn revolved(path: &BezPath) -> f64 {
    along(path, |x| PI * x.abs())
}

/// Returns the length of a circle's chord at distance `x` from its centre.
fn chord(radius: f64, x: f64) -> f64 {
    2.0 * f64::sqrt((radius * radius - x * x).max(0.0))
}

/// Computes the volume under a flat plate on the joint face, from the drawn
/// roof alone.
fn measured_chamber(chamber: &Chamber) -> f64 {
    let (bore, step) = (chamber.bore_mm(), chamber.head_step_mm());
    let mouth = chamber.opening_mm() / 2.0;
    let above_band = chamber.roof().between(-mouth, mouth).shifted(-step);
    let cavity = match *chamber.kind() {
        _ if mouth == 0.0 => 0.0,
        ChamberKind::Cap { .. } | ChamberKind::Bowl { .. } => revolved(&above_band.path()),
        ChamberKind::PentRoof { .. } | ChamberKind::Wedge { .. } => {
            along(&above_band.path(), |x| chord(mouth, x))
        }
        ChamberKind::Bathtub { length, corner, .. } => {
            let (length, corner) = (length * bore, corner * bore);
            let straight = mouth - corner;
            let plan = |x: f64| {
                let beyond = (x.abs() - straight).max(0.0);
                length - 2.0 * corner + chord(corner, beyond)
            };
            [(-mouth, -straight), (-straight, straight), (straight, mouth)]
                .iter()
                .filter(|(from, to)| to > from)
                .map(|&(from, to)| along(&above_band.between(from, to).path(), plan))
                .sum()
        }
    };
    (PI / 4.0 * bore * bore * step + cavity) / 1000.0
}

/// Computes crown volume (dish positive) and pocket volume from the drawn tops.
fn measured_crown(crown: &Crown) -> (f64, f64) {
    let gives = -revolved(&crown.bare_top().path()) / 1000.0;
    let pockets = crown.pockets().map_or(0.0, |pockets| {
        let (c, q) = (pockets.centre_mm(), pockets.radius_mm());
        let over = |profile: &Profile| along(&profile.between(c - q, c + q).path(), |x| chord(q, x - c));
        2.0 * (over(crown.bare_top()) - over(crown.top())) / 1000.0
    });
    (gives, pockets)
}

fn assert_near(got: f64, want: f64, scale: f64, what: &str) {
    assert!((got - want).abs() <= 1e-6 * scale, "{what}: {got} against {want}");
}

/// Returns 86 mm times 1e-3 to 1e3.
fn bores() -> impl Strategy<Value = f64> {
    (-3.0..3.0_f64).prop_map(|k| 86.0 * exp(k * std::f64::consts::LN_10))
}

/// Returns a volume as a fraction of bore³, from a hair to more than a half
/// sphere.
fn fractions() -> impl Strategy<Value = f64> {
    (-5.0..-0.3_f64).prop_map(|k| exp(k * std::f64::consts::LN_10))
}

proptest! {
    /// Whatever shape is drawn, the drawing holds the volume: as wished, or
    /// the nearest shape with its fault. A head step that alone holds more
    /// than the chamber is the one exception.
    #[test]
    fn the_drawn_chamber_holds_the_measured_volume(
        bore in bores(), part in fractions(), step in -0.05..0.05_f64, pick in 0..5_usize, flat in any::<bool>()
    ) {
        let kind = &ChamberKind::all()[pick];
        let step = if flat { 0.0 } else { step * bore };
        let area = PI / 4.0 * bore * bore;
        let volume_cc = (part * bore * bore * bore + area * step).max(0.0) / 1000.0;
        let fitted = Chamber::nearest(kind, bore, step, volume_cc).unwrap();
        if matches!(fitted.fault, Some(SolidFault::StepTakesAll { .. })) {
            prop_assert!(area * step > volume_cc * 1000.0);
            return Ok(());
        }
        let scale = volume_cc + area * step.abs() / 1000.0;
        assert_near(measured_chamber(&fitted.solid), volume_cc, scale, kind.name());
        prop_assert!(fitted.solid.profile().is_finite());
        // No part of the roof is below the band or above its height.
        prop_assert!(fitted.solid.roof().bottom() >= step - 1e-12 * bore);
        prop_assert!((fitted.solid.roof().top() - fitted.solid.height_mm()).abs() <= 1e-12 * bore);
    }

    /// The same for crown and valve pockets.
    #[test]
    fn the_drawn_crown_holds_both_volumes(
        bore in bores(), part in fractions(), pocket in 1e-5..3e-2_f64, pick in 0..5_usize,
        domed in any::<bool>(), smooth in any::<bool>()
    ) {
        let kind = &CrownKind::all()[pick];
        let cube = bore * bore * bore / 1000.0;
        let crown_cc = if domed { -part * cube } else { part * cube };
        let pocket_cc = if smooth { 0.0 } else { pocket * cube };
        let fitted = Crown::nearest(kind, bore, crown_cc, pocket_cc).unwrap();
        let (gives, pockets) = measured_crown(&fitted.solid);
        assert_near(gives, crown_cc, crown_cc.abs(), kind.name());
        assert_near(pockets, pocket_cc, pocket_cc, "valve pockets");
        prop_assert!(fitted.solid.profile().is_finite());
        // A pocket only takes away. Near a steep wall a height moves many times as far
        // as the edge that was solved for, so the slack is a ten-millionth of the bore:
        // still far below what a pen can draw.
        for i in -100..=100 {
            let x = bore / 2.0 * f64::from(i) / 100.0;
            let (top, bare) = (fitted.solid.top(), fitted.solid.bare_top());
            let slack = 1e-7 * bore;
            prop_assert!(top.y(x) <= bare.y(x) + slack || top.y(x) <= bare.y(-x) + slack);
        }
    }

    /// One engine, drawn k times as large: the shape stays the same.
    #[test]
    fn a_scaled_engine_gives_the_scaled_shape(k in -6.0..6.0_f64, pick in 0..5_usize) {
        let k = exp(k * std::f64::consts::LN_10);
        let kind = &ChamberKind::all()[pick];
        let small = Chamber::nearest(kind, 86.0, 1.2, 44.0).unwrap().solid;
        let large = Chamber::nearest(kind, 86.0 * k, 1.2 * k, 44.0 * k * k * k).unwrap().solid;
        prop_assert!((large.depth_mm() / (small.depth_mm() * k) - 1.0).abs() < 1e-12);
        let crown = Crown::solve(&CrownKind::Dome { base: 0.8 }, 86.0, -12.0, 2.0).unwrap();
        let grown = Crown::solve(&CrownKind::Dome { base: 0.8 }, 86.0 * k, -12.0 * k * k * k, 2.0 * k * k * k).unwrap();
        prop_assert!((grown.height_mm() / (crown.height_mm() * k) - 1.0).abs() < 1e-12);
        let near = closest_approach(&crown, &small, 1.0).distance_mm;
        let near_grown = closest_approach(&grown, &large, k).distance_mm;
        prop_assert!((near_grown / (near * k) - 1.0).abs() < 1e-9, "{} {}", near, near_grown / k);
    }

    /// The least distance against a search over some thousand points of both
    /// outlines, which can only find more, and not much more.
    #[test]
    fn the_least_distance_is_that_of_a_search(
        head in 0..5_usize, top in 0..5_usize, part in 0.002..0.1_f64, rise in 0.001..0.06_f64,
        pocket in 0.0..0.01_f64, gap in 0.0..0.05_f64
    ) {
        let cube = 86.0_f64 * 86.0 * 86.0 / 1000.0;
        let chamber = Chamber::nearest(&ChamberKind::all()[head], 86.0, 0.0, part * cube).unwrap().solid;
        let sign = if top > 2 { -1.0 } else { 1.0 };
        let crown_cc = if top == 0 { 0.0 } else { sign * rise * cube };
        let crown = Crown::nearest(&CrownKind::all()[top], 86.0, crown_cc, pocket * cube).unwrap().solid;
        let gap = gap * 86.0;
        let near = closest_approach(&crown, &chamber, gap);
        // A drawn arc misses the arc by up to 1e-9 of its radius.
        let drawn = 1e-9 * 10.0 * 86.0;

        let crown_points = points(&crown.top().shifted(-gap).path());
        let head_points = points(&chamber.roof().path());
        if near.is_contact() {
            // A mesh of points steps over an overlap thinner than itself.
            let deepest = crown_points.iter().map(|p| chamber.roof_y(p.x) - p.y).fold(f64::INFINITY, f64::min);
            prop_assert!(deepest >= near.distance_mm - drawn);
            prop_assert_eq!(near.distance_mm, near.vertical_mm);
        } else {
            let found = crown_points
                .iter()
                .flat_map(|p| head_points.iter().map(move |q| p.distance(*q)))
                .fold(f64::INFINITY, f64::min);
            prop_assert!(near.distance_mm <= found + drawn, "{} beyond {}", near.distance_mm, found);
            prop_assert!(hypot(near.distance_mm, 0.2) > found, "{} far below {}", near.distance_mm, found);
            prop_assert!((near.crown.distance(near.head) - near.distance_mm).abs() < 1e-6);
            prop_assert!(near.distance_mm <= near.vertical_mm);
        }
    }
}

/// Returns points along a drawn path, at most 0.2 mm apart.
fn points(path: &BezPath) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in path.segments() {
        let length = match segment {
            PathSeg::Line(line) => line.p0.distance(line.p1),
            _ => segment.to_cubic().p0.distance(segment.to_cubic().p3),
        };
        let pieces = (length / 0.19).ceil().clamp(1.0, 1000.0);
        let mut i = 0.0;
        while i <= pieces {
            points.push(segment.eval(i / pieces));
            i += 1.0;
        }
    }
    points
}

/// Returns the invented engines of tests/data/cases.json. Their answers were
/// computed outside this program from first principles at 50 digits, the solids
/// cross-checked with a solid modeller (note at the head of the file).
fn cases() -> Vec<serde_json::Value> {
    let text = include_str!("../../../tests/data/cases.json");
    let file: serde_json::Value = serde_json::from_str(text).unwrap();
    file["cases"].as_array().unwrap().clone()
}

fn number(value: &serde_json::Value) -> f64 {
    value.as_str().unwrap().parse().unwrap()
}

#[test]
fn every_cap_of_the_cases_is_met() {
    let mut seen = 0;
    for case in cases() {
        let (cap, bore) = (&case["cap"], number(&case["set"]["bore"]));
        let opening = number(&cap["base_dia"]) / bore;
        let chamber =
            Chamber::solve(&ChamberKind::Cap { opening }, bore, 0.0, number(&cap["volume_cc"])).unwrap();
        let (depth, radius) = (chamber.depth_mm(), chamber.sphere_radius_mm().unwrap());
        assert!((depth / number(&cap["depth"]) - 1.0).abs() < 1e-13, "{}: {depth}", case["id"]);
        assert!((radius / number(&cap["sphere_radius"]) - 1.0).abs() < 1e-13, "{}: {radius}", case["id"]);
        seen += 1;
    }
    assert_eq!(seen, 20);
}

#[test]
fn every_pent_roof_of_the_cases_is_met() {
    let mut seen = 0;
    for case in cases() {
        let (roof, bore) = (&case["pentroof"], number(&case["set"]["bore"]));
        let volume_cc = number(&roof["volume_cc"]);
        let opening = number(&roof["round_dia"]) / bore;
        let chamber = Chamber::solve(&ChamberKind::PentRoof { opening }, bore, 0.0, volume_cc).unwrap();
        let depth = chamber.depth_mm();
        assert!((depth / number(&roof["depth_round"]) - 1.0).abs() < 1e-13, "{}: {depth}", case["id"]);
        let (width, length) = (number(&roof["plan_width"]), number(&roof["plan_length"]));
        let one = forms::roof_over_rectangle(length, width, length, 1.0);
        let rect = volume_cc * 1000.0 / one;
        assert!((rect / number(&roof["depth_rect"]) - 1.0).abs() < 1e-13, "{}: {rect}", case["id"]);
        seen += 1;
    }
    assert_eq!(seen, 20);
}

#[test]
fn crown_to_chamber_of_all_cases() {
    let mut seen = 0;
    for case in cases() {
        let Some(block) = case.get("crown_to_chamber") else { continue };
        let (id, bore) = (&case["id"], number(&case["set"]["bore"]));
        // The exact height of a dome that takes the crown volume.
        let base = number(&block["dome_base_dia"]) / bore;
        let dome = CrownKind::Dome { base };
        let exact = Crown::solve(&dome, bore, number(&case["set"]["crown_volume"]), 0.0).unwrap();
        let height = exact.height_mm();
        assert!((height / number(&block["dome_height_exact"]) - 1.0).abs() < 1e-13, "{id}: {height}");
        // The distance was computed for heights rounded to 0.001 mm: volumes
        // that give those heights are put in.
        let cc =
            |dia: &str, height: &str| forms::cap(number(&block[dia]) / 2.0, number(&block[height])) / 1000.0;
        let crown = Crown::solve(&dome, bore, -cc("dome_base_dia", "dome_height_used"), 0.0).unwrap();
        let opening = number(&block["chamber_dia"]) / bore;
        let volume_cc = cc("chamber_dia", "chamber_depth");
        let chamber = Chamber::solve(&ChamberKind::Cap { opening }, bore, 0.0, volume_cc).unwrap();
        let near = closest_approach(&crown, &chamber, number(&block["face_gap"]));
        let (normal, vertical) = (number(&block["min_normal"]), number(&block["min_vertical"]));
        assert!((near.distance_mm - normal).abs() < 1e-9, "{id}: {} for {normal}", near.distance_mm);
        assert!((near.vertical_mm - vertical).abs() < 1e-9, "{id}: {} for {vertical}", near.vertical_mm);
        let radius = number(&block["at_radius"]);
        assert!((near.crown.x - radius).abs() < 1e-7, "{id}: {} for {radius}", near.crown.x);
        seen += 1;
    }
    assert_eq!(seen, 6);
}

#[test]
fn a_chamber_that_is_all_slice_is_flat() {
    let slice_cc = PI / 4.0 * 90.0 * 90.0 * 1.5 / 1000.0;
    let chamber = Chamber::solve(&ChamberKind::default(), 90.0, 1.5, slice_cc).unwrap();
    assert_eq!((chamber.opening_mm(), chamber.sphere_radius_mm()), (0.0, None));
    assert!(chamber.depth_mm() < 1e-9 && (chamber.roof_y(10.0) - 1.5).abs() < 1e-9);

    let fault = Chamber::solve(&ChamberKind::default(), 90.0, 1.6, slice_cc).unwrap_err();
    let SolidFault::StepTakesAll { most_step_mm, .. } = fault else { panic!("{fault}") };
    assert!((most_step_mm - 1.5).abs() < 1e-12);
    let fitted = Chamber::nearest(&ChamberKind::default(), 90.0, 1.6, slice_cc).unwrap();
    assert!(fitted.fault.is_some() && fitted.solid.depth_mm() == 0.0);
}

#[test]
fn a_plug_that_reaches_into_the_barrel_gives_its_volume_back_as_cavity() {
    let flush = Chamber::solve(&ChamberKind::default(), 60.0, 0.0, 15.0).unwrap();
    let plug_cc = PI / 4.0 * 60.0 * 60.0 * 2.0 / 1000.0;
    let plug = Chamber::solve(&ChamberKind::default(), 60.0, -2.0, 15.0 - plug_cc).unwrap();
    assert!((plug.depth_mm() - flush.depth_mm()).abs() < 1e-12);
    assert!((plug.height_mm() - (flush.height_mm() - 2.0)).abs() < 1e-12);
    assert_eq!(plug.roof_y(29.9), -2.0);
}

#[test]
fn faults_say_what_would_do_and_that_does() {
    let cap = ChamberKind::Cap { opening: 0.5 };
    let fault = Chamber::solve(&cap, 80.0, 0.0, 50.0).unwrap_err();
    let SolidFault::TooMuch { needed_opening_mm, most_cc, .. } = fault else { panic!("{fault}") };
    assert!(Chamber::solve(&cap, 80.0, 0.0, most_cc).is_ok());
    let wider = ChamberKind::Cap { opening: needed_opening_mm / 80.0 * (1.0 + 1e-12) };
    assert!(Chamber::solve(&wider, 80.0, 0.0, 50.0).is_ok());

    let bowl = ChamberKind::Bowl { opening: 0.5, fillet: 0.1 };
    let fault = Chamber::solve(&bowl, 80.0, 0.0, 2.0).unwrap_err();
    let SolidFault::TooLittle { most_fillet_mm, .. } = fault else { panic!("{fault}") };
    let softer = ChamberKind::Bowl { opening: 0.5, fillet: most_fillet_mm / 80.0 };
    assert!(Chamber::solve(&softer, 80.0, 0.0, 2.0).is_ok());

    let tub = ChamberKind::Bathtub { width: 0.9, length: 0.9, corner: 0.1 };
    let fault = Chamber::solve(&tub, 80.0, 0.0, 50.0).unwrap_err();
    assert!(matches!(fault, SolidFault::BeyondBore { across_mm, .. } if across_mm > 80.0), "{fault}");

    for (kind, cc) in [
        (CrownKind::Flat, 2.0),
        (CrownKind::Dome { base: 0.8 }, 2.0),
        (CrownKind::Bowl { opening: 0.8 }, -2.0),
    ] {
        let fault = Crown::solve(&kind, 80.0, cc, 0.0).unwrap_err();
        assert!(matches!(fault, SolidFault::Sign { .. }), "{fault}");
        let fitted = Crown::nearest(&kind, 80.0, cc, 0.0).unwrap();
        assert_eq!(fitted.solid.kind(), &CrownKind::for_volume(80.0, cc));
    }
    for value in [f64::NAN, f64::INFINITY, -1.0] {
        assert!(Chamber::nearest(&cap, 80.0, 0.0, value).is_err());
        assert!(Crown::nearest(&CrownKind::Flat, value, 0.0, 0.0).is_err());
    }
}

#[test]
fn kinds_are_written_by_name_and_read_with_defaults() {
    let kind: ChamberKind = ron::from_str("pent_roof()").unwrap();
    assert_eq!(kind, ChamberKind::all()[2]);
    assert_eq!(
        ron::to_string(&CrownKind::Dish { opening: 0.5, fillet: 0.0 }).unwrap(),
        "dish(opening:0.5,fillet:0.0)"
    );
    for kind in ChamberKind::all() {
        assert_eq!(ron::from_str::<ChamberKind>(&ron::to_string(&kind).unwrap()).unwrap(), kind);
    }
}

#[test]
fn a_dome_too_high_overlaps_by_its_vertical_depth() {
    let chamber = Chamber::solve(&ChamberKind::default(), 80.0, 0.0, 0.0).unwrap();
    let crown = Crown::solve(&CrownKind::Dome { base: 0.8 }, 80.0, -8.0, 0.0).unwrap();
    let near = closest_approach(&crown, &chamber, 1.0);
    assert!(near.is_contact());
    assert!((near.distance_mm - (1.0 - crown.height_mm())).abs() < 1e-12);
    assert_eq!(near.crown.x, 0.0);
}
