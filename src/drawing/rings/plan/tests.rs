use super::*;

fn gap(number: usize, band: Band, angle_deg: f64) -> PlanGap {
    PlanGap { number, band, angle_deg, pegged: false, marked: false, wrong: false }
}

fn zone(name: &str, kind: ZoneKind, at_deg: f64, half_width_deg: f64) -> PlanZone {
    PlanZone { name: name.into(), kind, at_deg, half_width_deg, minded: true }
}

fn four_stroke() -> PlanInput {
    PlanInput {
        bore_mm: 86.01,
        bore_text: "Ø86.01".into(),
        bore_measured: true,
        gaps: vec![
            gap(1, Band::Ring, 65.0),
            gap(2, Band::Ring, 245.0),
            gap(3, Band::Rail, 290.0),
            gap(3, Band::Expander, 335.0),
            gap(3, Band::Rail, 20.0),
        ],
        zones: vec![
            zone("pin end, front", ZoneKind::PinEnd, 0.0, 15.0),
            zone("thrust", ZoneKind::Thrust, 90.0, 15.0),
            zone("pin end, rear", ZoneKind::PinEnd, 180.0, 15.0),
            zone("thrust", ZoneKind::Thrust, 270.0, 15.0),
        ],
        in_line: Vec::new(),
        dial: Dial::Clock,
    }
}

fn area(width: f64, height: f64) -> Rect {
    Rect::new(5.0, 7.0, 5.0 + width, 7.0 + height)
}

fn drawn(input: &PlanInput) -> Plan {
    plan(input, area(352.0, 320.0), &Pens::SCREEN)
}

/// Returns the openings of the bands: angles of the corners of each filled
/// band.
fn openings(plan: &Plan) -> Vec<(f64, f64)> {
    plan.list
        .shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Fill { path, ink: Ink::Part(Part::Ring) } => {
                let start = path.elements().first()?.end_point()?;
                // The end of the outer arc is where the straight line begins.
                let mut last = start;
                for element in path.elements() {
                    if matches!(element, kurbo::PathEl::LineTo(_)) {
                        break;
                    }
                    last = element.end_point()?;
                }
                Some((angle_at(plan.centre, start), angle_at(plan.centre, last)))
            }
            _ => None,
        })
        .collect()
}

#[test]
fn every_gap_opens_where_it_stands() {
    let input = four_stroke();
    let plan = drawn(&input);
    let wanted: Vec<f64> =
        input.gaps.iter().filter(|gap| gap.band != Band::Expander).map(|gap| gap.angle_deg).collect();
    let found = openings(&plan);
    assert_eq!(found.len(), 4);
    for ((after, before), wanted) in found.into_iter().zip(wanted) {
        let half = (after - before).rem_euclid(360.0) / 2.0;
        let middle = (before + half).rem_euclid(360.0);
        assert!((middle - wanted).abs() < 1e-6, "{middle} against {wanted}");
        assert!(half > 1.0 && half < 10.0, "drawn wide, and not too wide: {half}");
    }
}

#[test]
fn the_bore_is_to_scale() {
    for bore_mm in [52.01, 86.01, 140.0] {
        let input = PlanInput { bore_mm, ..four_stroke() };
        let plan = drawn(&input);
        let bore = plan.list.shapes.iter().find_map(|shape| match shape {
            Shape::Stroke { path, ink: Ink::Edge, width, .. } if *width == Pens::SCREEN.wide => {
                Some(path.bounding_box().width())
            }
            _ => None,
        });
        let bore = bore.expect("the measured bore");
        assert!((bore - bore_mm * plan.scale).abs() < 0.05, "{bore} against {}", bore_mm * plan.scale);
    }
}

#[test]
fn thick_arcs_lie_where_gaps_keep_clear() {
    let plan = drawn(&four_stroke());
    let arcs: Vec<Point> = plan
        .list
        .shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Fill { path, ink: Ink::Second } => Some(path.bounding_box().center()),
            _ => None,
        })
        .collect();
    let angles: Vec<f64> =
        arcs.iter().map(|at| angle_at(plan.centre, *at).round().rem_euclid(360.0)).collect();
    assert_eq!(angles, [0.0, 90.0, 180.0, 270.0]);
}

#[test]
fn every_text_finds_its_place_on_screen_and_paper() {
    let mut two_stroke = four_stroke();
    two_stroke.gaps = vec![PlanGap { pegged: true, ..gap(1, Band::Ring, 236.0) }];
    two_stroke.zones.extend([
        zone("exhaust port", ZoneKind::Port, 90.0, 29.0),
        zone("front transfer", ZoneKind::Port, 22.0, 17.0),
        zone("rear transfer", ZoneKind::Port, 158.0, 17.0),
        zone("rear side port", ZoneKind::Port, 206.0, 15.0),
        zone("front side port", ZoneKind::Port, 334.0, 15.0),
        zone("boost port", ZoneKind::Port, 270.0, 19.0),
    ]);
    for input in [four_stroke(), two_stroke] {
        for dial in [Dial::Clock, Dial::Degrees] {
            let input = PlanInput { dial, ..input.clone() };
            for (pens, width, height) in
                [(Pens::SCREEN, 352.0, 320.0), (Pens::SCREEN, 300.0, 270.0), (Pens::PAPER, 90.0, 84.0)]
            {
                let plan = plan(&input, area(width, height), &pens);
                assert!(plan.left_out.is_empty(), "{width} × {height}: {:?}", plan.left_out);
                for (i, a) in plan.texts.iter().enumerate() {
                    for b in &plan.texts[i + 1..] {
                        assert!(!a.outline.overlaps(&b.outline), "{} over {}", a.text, b.text);
                    }
                }
            }
        }
    }
}

#[test]
fn numbers_of_gaps_that_stand_together_keep_apart_and_the_line_between_is_shown() {
    let mut input = four_stroke();
    input.gaps[1].angle_deg = 70.0;
    input.in_line = vec![(0, 1)];
    let plan = drawn(&input);
    let [a, b, ..] = plan.holds.as_slice() else { panic!("four holds") };
    assert!((a.at - b.at).hypot() >= 2.0 * a.radius - 1e-6);
    let warned = plan.list.shapes.iter().filter(|shape| {
        matches!(shape, Shape::Fill { ink: Ink::Warn, .. } | Shape::Stroke { ink: Ink::Warn, .. })
    });
    assert_eq!(warned.count(), 2, "a line and its diamond");
    assert!(plan.list.shapes.iter().all(Shape::is_finite));
}
