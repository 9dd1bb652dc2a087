//! Tests of the section against the model.

use super::*;
use crate::drawing::fixtures::{ALL, changed, engine};
use crate::drawing::handles::HandleKind;
use crate::drawing::input::Keys;
use crate::drawing::list::{Dash, Part, Shape, Term};

use crate::drawing::parts::PartsInput;
use crate::drawing::pictures::pictures;
use crate::drawing::view::Turn;
use crate::engine::Key;
use kurbo::{BezPath, PathEl, Point, Rect};

fn frame(width: f64, height: f64, block: (f64, f64)) -> Frame {
    let mut frame = Frame::new(Rect::new(0.0, 0.0, width, height));
    frame.keep_clear.push(Rect::new(width - block.0, height - block.1 - 24.0, width, height));
    frame
}

/// The sheet's frames of the usual and the small window, next to a wide panel
/// and in a large window.
fn frames() -> [Frame; 4] {
    let mut narrow = frame(540.0, 634.0, (242.0, 202.0));
    (narrow.circle, narrow.tower) = (Some(88.0), false);
    [
        frame(675.0, 620.0, (324.0, 228.0)),
        frame(664.0, 524.0, (300.0, 202.0)),
        narrow,
        frame(1160.0, 800.0, (324.0, 228.0)),
    ]
}

fn on_screen(parts: &PartsInput) -> SectionInput<'_> {
    SectionInput { tints: true, ..SectionInput::new(parts, Keys::all()) }
}

fn assert_apart(texts: &[Placed], what: &str) {
    for (i, a) in texts.iter().enumerate() {
        for b in &texts[..i] {
            assert!(!a.outline.overlaps(&b.outline), "{what}: {:?} over {:?}", a.text, b.text);
        }
    }
}

fn has(texts: &[Placed], text: &str) -> bool {
    texts.iter().any(|placed| placed.text == text)
}

/// Returns strokes of one kind as corners in the model.
fn edges(list: &DisplayList, view: &View, wanted: (Ink, f64)) -> Vec<Vec<Point>> {
    let strokes = list.shapes.iter().filter_map(|shape| match shape {
        Shape::Stroke { path, ink, width, .. } if (*ink, *width) == wanted => Some(path),
        _ => None,
    });
    let corners = |path: &BezPath| {
        path.elements().iter().filter_map(PathEl::end_point).map(|p| view.model_from_out(p)).collect()
    };
    strokes.map(corners).collect()
}

#[test]
fn no_text_lies_on_another_and_none_is_left_out_at_the_top() {
    for name in ALL {
        let parts = engine(name);
        for (i, frame) in frames().iter().enumerate() {
            for pens in [Pens::SCREEN, Pens::SCREEN.times(1.25)] {
                let drawn = section(&on_screen(&parts), frame, &pens);
                let what = format!("{name} in frame {i}");
                assert_apart(&drawn.texts, &what);
                assert_eq!(drawn.left_out, Vec::<String>::new(), "{what}");
                assert!(drawn.texts.len() > 10, "{what}: {} texts", drawn.texts.len());
            }
        }
    }
}

#[test]
fn no_text_lies_on_another_or_leaves_the_frame_at_any_angle_of_crank_and_bank() {
    let parts = engine("sorrendel");
    for turn in [0.0, 90.0, -90.0, 45.0, -30.0] {
        for angle in [-180.0, -60.0, 0.3, 12.0, 90.0, 179.0] {
            for frame in frames() {
                let input =
                    SectionInput { angle_deg: angle, turn: Turn::from_deg(turn), ..on_screen(&parts) };
                let drawn = section(&input, &frame, &Pens::SCREEN);
                assert_apart(&drawn.texts, &format!("turned {turn}, crank at {angle}"));
                for placed in &drawn.texts {
                    assert!(frame.area.contains_rect(placed.outline.bounds()), "{:?} at {turn}", placed.text);
                    let block = frame.keep_clear[0].inset(-1e-6);
                    assert_eq!(
                        block.intersect(placed.outline.bounds()).area(),
                        0.0,
                        "{:?} at {turn}",
                        placed.text
                    );
                }
            }
        }
    }
}

#[test]
fn pictures_for_paper_have_their_texts_apart_and_inside() {
    for name in ALL {
        let parts = engine(name);
        for scale in [0.5, 0.2, 1.0] {
            let pictures = pictures(&SectionInput::new(&parts, Keys::all()), scale, &Pens::PAPER);
            for picture in std::iter::once(&pictures.section).chain(&pictures.details) {
                assert_eq!(picture.left_out, Vec::<String>::new(), "{name} at {scale}");
                let texts = picture.list.shapes.iter().filter(|s| matches!(s, Shape::Text { .. }));
                assert!(texts.count() >= 3, "{name} at {scale}: {}", picture.alt);
                let lines = picture.list.shapes.iter().filter_map(|shape| match shape {
                    Shape::Fill { path, .. } | Shape::Stroke { path, .. } => Some(path.bounding_box()),
                    Shape::Text { .. } => None,
                });
                for line in lines {
                    let slack = Pens::PAPER.wide;
                    assert!(
                        picture.bounds.inflate(slack, slack).contains_rect(line),
                        "{name} at {scale}: {line:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn values_are_those_of_the_model() {
    let parts = engine("sorrendel");
    let drawn = section(&on_screen(&parts), &frames()[0], &Pens::SCREEN);
    for text in ["37.00", "130.00", "34.50", "104.62", "97.85", "Ø86.01", "1.22", "58.9 cc"] {
        assert!(has(&drawn.texts, text), "{text} is missing");
    }
    // What was not measured is in brackets.
    let measured = Keys::all();
    let but_stroke = Key::all().filter(|&key| key != Key::Stroke && measured.has(key)).collect();
    let input = SectionInput { measured: but_stroke, ..on_screen(&parts) };
    let drawn = section(&input, &frames()[0], &Pens::SCREEN);
    assert!(has(&drawn.texts, "(37.00)") && !has(&drawn.texts, "37.00"));
}

#[test]
fn gasket_step_and_squish_are_told_apart_from_the_deck() {
    let drawn = section(&on_screen(&engine("tarnbeck")), &frames()[0], &Pens::SCREEN);
    // 97.1 + 0.5 + 88.6 − (31 + 118 + 36) = 1.2; with 0.8 of gasket 2.0.
    for text in ["deck", "1.20", "gasket", "0.80", "squish", "2.00"] {
        assert!(has(&drawn.texts, text), "{text} is missing");
    }
    let drawn = section(&on_screen(&engine("zunnar")), &frames()[0], &Pens::SCREEN);
    for text in ["step", "0.35", "squish", "1.15"] {
        assert!(has(&drawn.texts, text), "{text} is missing");
    }
}

#[test]
fn no_gap_wears_a_sign() {
    // 36.5 instead of 36: 0.8 − 0.5 = 0.7 mm higher than the top... of 1.2.
    let proud = changed("tarnbeck", &[(Key::CompressionHeight, 37.5)]);
    let flush = changed("tarnbeck", &[(Key::CompressionHeight, 37.2)]);
    for (parts, word) in [(&proud, "0.30 proud"), (&flush, "flush")] {
        let drawn = section(&on_screen(parts), &frames()[0], &Pens::SCREEN);
        assert!(
            has(&drawn.texts, word),
            "{word}: {:?}",
            drawn.texts.iter().map(|t| &t.text).collect::<Vec<_>>()
        );
        for placed in &drawn.texts {
            assert!(!placed.text.starts_with(['-', '−', '+']), "{:?}", placed.text);
        }
    }
}

#[test]
fn a_rim_at_the_head_says_contact() {
    let parts = engine("sorrendel");
    let touching = changed(
        "sorrendel",
        &[(Key::CompressionHeight, 34.5 + parts.engine.figures().squish_clearance - 1e-10)],
    );
    let drawn = section(&on_screen(&touching), &frames()[0], &Pens::SCREEN);
    assert!(has(&drawn.texts, "contact"));
    assert!(
        drawn
            .list
            .shapes
            .iter()
            .any(|s| matches!(s, Shape::Text { ink: Ink::Warn, text, .. } if text == "contact"))
    );
    let open = section(&on_screen(&parts), &frames()[0], &Pens::SCREEN);
    assert!(!has(&open.texts, "contact"));
    let squish = format!("nearest {}", on_screen(&parts).length(parts.engine.figures().squish_clearance));
    assert!(has(&open.texts, &squish), "{squish}");
}

/// A dome that is too high for its chamber is seen without any colour: by
/// crossed lines and words.
#[test]
fn an_overlap_is_lined_crosswise_and_says_how_deep_it_is() {
    let deep = changed("sorrendel", &[(Key::CrownVolume, -65.0)]);
    let drawn = section(&on_screen(&deep), &frames()[0], &Pens::SCREEN);
    let gap = deep.engine.figures().squish_clearance;
    let near = crate::engine::solid::closest_approach(&deep.crown, &deep.chamber, gap);
    assert!(near.distance_mm < 0.0, "{near:?}");
    let words = format!("contact, {} too far up", on_screen(&deep).length(-near.distance_mm));
    assert!(has(&drawn.texts, &words), "{words}");
    // In each view that shows it: lines both ways and the edge.
    let crossed = |s: &&Shape| matches!(s, Shape::Stroke { ink: Ink::Warn, .. });
    assert!(drawn.list.shapes.iter().filter(crossed).count() >= 4);
}

/// Rim and top are in the list where the dimensions put them, to 1e-9 mm, in
/// the main view and in the detail.
#[test]
fn rim_and_cylinder_top_stand_where_the_model_puts_them() {
    for name in ALL {
        let parts = engine(name);
        for angle in [0.0, 15.0] {
            let input = SectionInput { angle_deg: angle, ..on_screen(&parts) };
            let drawn = section(&input, &frames()[0], &Pens::SCREEN);
            let value = |key| parts.engine.dims().filled(key).unwrap();
            let top = value(Key::CaseHeight)
                + value(Key::BaseGasket)
                + value(Key::BaseShim)
                + value(Key::BarrelLength);
            let figures = parts.engine.figures();
            let rim = top - figures.deck_clearance - figures.crank.motion(angle).position_mm;
            let half = value(Key::Bore) / 2.0;
            let detail = drawn.rim.as_ref().unwrap();
            let wide = (Ink::Edge, Pens::SCREEN.wide);
            for view in [&drawn.view, &detail.view] {
                let edges = edges(&drawn.list, view, wide);
                let corner = |y: f64| edges.iter().flatten().any(|p| (p.y - y).abs() < 1e-9);
                assert!(corner(top), "{name} at {angle}: no edge at the top");
                assert!(corner(rim), "{name} at {angle}: no edge at the rim");
                assert!(
                    edges.iter().flatten().any(|p| (p.x - half).abs() < 1e-9),
                    "{name}: no edge at the bore"
                );
            }
        }
    }
}

/// The examples of the drafting rules, section H: on paper the first standard
/// scale that makes the gap at least 4 mm wide.
#[test]
fn details_on_paper_have_the_standard_scale_that_shows_the_gap() {
    for (gap, scale) in [(1.1, "5:1"), (0.6, "10:1"), (0.25, "20:1")] {
        let parts = changed("sorrendel", &[(Key::CompressionHeight, 34.5 + 1.22 - gap)]);
        for main in [1.0, 0.5] {
            let pictures = pictures(&SectionInput::new(&parts, Keys::all()), main, &Pens::PAPER);
            assert_eq!(pictures.detail_scale, scale, "a gap of {gap} beside a view of {main}");
        }
    }
}

#[test]
fn the_detail_follows_the_piston_and_its_factor_falls() {
    let parts = engine("sorrendel");
    let mut factors = Vec::new();
    for angle in [0.0, 8.0, 20.0, 60.0, 180.0] {
        let input = SectionInput { angle_deg: angle, ..on_screen(&parts) };
        let drawn = section(&input, &frames()[0], &Pens::SCREEN);
        let detail = drawn.rim.unwrap();
        factors.push(detail.enlargement.factor);
        let rim = 104.62 + 0.25 + 97.85 - 1.22 - parts.engine.figures().crank.motion(angle).position_mm;
        let corner = detail.view.out_from_model(Point::new(43.005, rim));
        assert!((corner - detail.centre).hypot() < detail.radius, "the rim left the circle at {angle}");
    }
    assert!(factors.is_sorted_by(|a, b| a >= b), "{factors:?}");
    assert_eq!((factors[0], factors[4]), (20.0, 2.0));
}

#[test]
fn leaves_are_shown_one_by_one_and_named_with_their_thickness() {
    let mut parts = changed("sorrendel", &[(Key::BaseShim, 0.45), (Key::BaseGasket, 0.3)]);
    parts.shim_foils = vec![0.25, 0.2];
    let drawn = section(&on_screen(&parts), &frames()[3], &Pens::SCREEN);
    for text in ["0.25", "0.20", "0.30"] {
        assert!(has(&drawn.texts, text), "{text} is missing");
    }
    let shims = drawn.texts.iter().filter(|placed| placed.text == "shim").count();
    assert_eq!(shims, 2);
    assert!(drawn.foot.is_some());
    // A block rests on no shim.
    assert!(section(&on_screen(&engine("oldermoor")), &frames()[3], &Pens::SCREEN).foot.is_none());
}

#[test]
fn a_thin_shim_is_solid_and_never_thinner_than_the_pen_says() {
    let parts = engine("sorrendel");
    let drawn = section(&on_screen(&parts), &frames()[0], &Pens::SCREEN);
    // 0.25 mm at less than 2 points per mm is half a point.
    let solids: Vec<Rect> = drawn
        .list
        .shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Fill { path, ink: Ink::Solid } => Some(path.bounding_box()),
            _ => None,
        })
        .collect();
    let seat = drawn.view.out_from_model(Point::new(0.0, 104.745)).y;
    let shim = solids.iter().find(|r| (r.center().y - seat).abs() < 1e-6).expect("no shim");
    assert!((shim.height() - Pens::SCREEN.least_solid).abs() < 1e-9, "{shim:?}");
}

#[test]
fn what_is_marked_is_in_accent_and_nothing_else() {
    let parts = engine("sorrendel");
    let accents = |marked: Keys| {
        let drawn = section(&SectionInput { marked, ..on_screen(&parts) }, &frames()[0], &Pens::SCREEN);
        let shapes = drawn.list.shapes.iter();
        shapes
            .filter(|s| {
                matches!(
                    s,
                    Shape::Fill { ink: Ink::Accent, .. }
                        | Shape::Stroke { ink: Ink::Accent, .. }
                        | Shape::Text { ink: Ink::Accent, .. }
                )
            })
            .count()
    };
    assert_eq!(accents(Keys::NONE), 0);
    for key in [
        Key::BaseShim,
        Key::Bore,
        Key::RodLength,
        Key::Stroke,
        Key::CompressionHeight,
        Key::CaseHeight,
        Key::BarrelLength,
        Key::ChamberVolume,
    ] {
        assert!(accents(Keys::NONE.with(key)) > 0, "{key} can't be seen");
    }
}

#[test]
fn a_kept_state_is_dashed_where_it_differs() {
    let (now, kept) = (engine("sorrendel"), changed("sorrendel", &[(Key::BaseShim, 0.5)]));
    let dashed = |ghost| {
        let input = SectionInput { ghost, ..on_screen(&now) };
        let drawn = section(&input, &frames()[0], &Pens::SCREEN);
        drawn
            .list
            .shapes
            .iter()
            .filter(|s| matches!(s, Shape::Stroke { ink: Ink::Ghost, dash: Dash::Ghost, .. }))
            .count()
    };
    assert_eq!(dashed(None), 0);
    assert_eq!(dashed(Some(&now)), 0, "the same state has no ghost");
    assert!(dashed(Some(&kept)) > 0);
}

#[test]
fn what_changed_since_the_kept_state_stands_behind_its_value() {
    // Worked by hand: 0.10 mm of shim more and 2 mm of stroke less lower the
    // rim by 1 mm and raise the top face by 0.10 mm: the gap grows by 1.10.
    let now = changed("sorrendel", &[(Key::BaseShim, 0.35), (Key::Stroke, 72.0)]);
    let kept = changed("sorrendel", &[(Key::BaseShim, 0.25), (Key::Stroke, 74.0)]);
    for frame in frames() {
        let input = SectionInput { ghost: Some(&kept), ..on_screen(&now) };
        let drawn = section(&input, &frame, &Pens::SCREEN);
        assert_apart(&drawn.texts, "with changes");
        let says: Vec<&str> = drawn.texts.iter().map(|placed| placed.text.as_str()).collect();
        for words in ["36.00 \u{2212}1.00", "0.35 +0.10"] {
            assert!(says.contains(&words), "{words}: {says:?}");
        }
        assert!(says.iter().any(|text| text.ends_with("+1.10")), "{says:?}");
        assert!(says.contains(&"130.00"), "what is as it was has nothing behind it: {says:?}");
        let plain = section(&on_screen(&now), &frame, &Pens::SCREEN);
        assert!(plain.texts.iter().all(|placed| !placed.text.contains('+')));
    }
}

#[test]
fn the_band_in_which_the_rim_stands_is_as_wide_as_its_doubt() {
    let parts = engine("sorrendel");
    let lines = |doubt_mm, angle_deg| {
        let input = SectionInput { doubt_mm, angle_deg, ..on_screen(&parts) };
        let drawn = section(&input, &frames()[3], &Pens::SCREEN);
        let view = drawn.rim.as_ref().unwrap().view;
        let dashed = drawn.list.shapes.iter().filter_map(|shape| match shape {
            Shape::Stroke { path, ink: Ink::Second, dash: Dash::Ghost, .. } => Some(path.bounding_box()),
            _ => None,
        });
        let heights: Vec<f64> = dashed.map(|b| view.model_from_out(b.center()).y).collect();
        (heights, drawn.texts.iter().any(|placed| placed.text.ends_with(" ±0.30")))
    };
    let (heights, said) = lines(Some(0.3), 0.0);
    assert!(said && heights.len() == 2, "{heights:?}");
    assert!((heights[1] - heights[0] - 0.6).abs() < 1e-9, "{heights:?}");
    assert_eq!(lines(Some(0.3), 20.0), (Vec::new(), false), "away from the top nothing is claimed");
    assert_eq!(lines(None, 0.0), (Vec::new(), false));
}

#[test]
fn assumed_edges_are_never_heavy() {
    let parts = engine("sorrendel");
    let input = SectionInput { measured: Keys::NONE, ..on_screen(&parts) };
    let drawn = section(&input, &frames()[0], &Pens::SCREEN);
    let heavy = drawn
        .list
        .shapes
        .iter()
        .filter(|s| matches!(s, Shape::Stroke { width, .. } if *width >= Pens::SCREEN.wide));
    // But for the sample that says what heavy means.
    assert_eq!(heavy.count(), usize::from(has(&drawn.texts, "measured")));
}

#[test]
fn the_sheet_says_what_heavy_and_light_lines_mean() {
    let told: Vec<bool> = ALL
        .iter()
        .flat_map(|name| {
            let parts = engine(name);
            frames().map(|frame| {
                let drawn = section(&on_screen(&parts), &frame, &Pens::SCREEN);
                has(&drawn.texts, "measured") && has(&drawn.texts, "assumed")
            })
        })
        .collect();
    let without = told.iter().filter(|told| !*told).count();
    assert!(4 * without <= told.len(), "{without} of {} sheets lack it", told.len());
}

#[test]
fn a_tint_has_the_volume_of_its_term() {
    // A circle's area times the height: what the tint shows in the section is
    // a rectangle of bore × deck.
    let parts = engine("sorrendel");
    let scene = Scene::new(on_screen(&parts), &Pens::SCREEN);
    let tint = |term| scene.tints.iter().find(|t| t.term == term).map(|t| t.area.bounding_box());
    let deck = tint(Term::Deck).unwrap();
    let figures = parts.engine.figures();
    let cc = std::f64::consts::PI / 4.0 * deck.width() * deck.width() * deck.height() / 1000.0;
    assert!((cc - figures.clearance.deck).abs() < 1e-9);
    let beside = tint(Term::TopLand).unwrap();
    assert!((beside.height() - 5.5).abs() < 1e-9 && (beside.width() - 86.01).abs() < 1e-9);
    assert_eq!(tint(Term::Gasket), None);
    let plain = SectionInput::new(&parts, Keys::all());
    assert!(Scene::new(plain, &Pens::SCREEN).tints.is_empty());
}

#[test]
fn handles_move_what_they_say_by_what_they_say() {
    let parts = engine("sorrendel");
    let at = |parts: &PartsInput, angle_deg: f64| {
        let input = SectionInput { angle_deg, ..on_screen(parts) };
        section(&input, &frames()[0], &Pens::SCREEN)
    };
    let find = |drawn: &Section, what| drawn.handles.iter().find(|h| h.what == what).copied().unwrap();
    let before = at(&parts, 20.0);
    // The crank: a hundredth of a degree moves the pin by what it promises.
    let crank = find(&before, HandleKind::Crank);
    let moved = find(&at(&parts, 20.01), HandleKind::Crank).at - crank.at;
    assert!((moved - crank.way * (crank.out_per_unit * 0.01)).hypot() < 1e-4, "{moved:?}");
    // The shim: the barrel's foot rises by its thickness.
    let shim = find(&before, HandleKind::Dimension(Key::BaseShim));
    let foot = before.view.model_from_out(shim.at);
    assert!((foot.y - 104.87).abs() < 1e-9);
    let up = before.view.model_from_out(shim.at + shim.way * shim.out_per_unit);
    assert!((up.y - foot.y - 1.0).abs() < 1e-9 && (up.x - foot.x).abs() < 1e-9);
    // Throw and barrel: a longer one moves its own handle by what it promises.
    for key in [Key::Stroke, Key::BarrelLength] {
        let held = find(&before, HandleKind::Dimension(key));
        let value = parts.engine.dims().filled(key).unwrap();
        let longer = changed("sorrendel", &[(key, value + 0.01)]);
        let drawn =
            section(&SectionInput { angle_deg: 20.0, ..on_screen(&longer) }, &frames()[0], &Pens::SCREEN);
        let at = find(&drawn, HandleKind::Dimension(key)).at;
        let moved = drawn.view.model_from_out(at) - before.view.model_from_out(held.at);
        let promised = before.view.model_from_out(held.at + held.way * (held.out_per_unit * 0.01))
            - before.view.model_from_out(held.at);
        assert!((moved - promised).hypot() < 1e-5, "{key:?}: {moved:?} for {promised:?}");
    }
    // What was never measured can't be taken hold of, but for what shows how
    // an engine goes together.
    let input = SectionInput { measured: Keys::NONE, ..on_screen(&parts) };
    let few = section(&input, &frames()[0], &Pens::SCREEN).handles;
    assert_eq!(few.len(), 4, "{few:?}");
}

#[test]
fn every_dimension_of_the_chains_has_its_spots() {
    let parts = engine("sorrendel");
    let drawn = section(&on_screen(&parts), &frames()[0], &Pens::SCREEN);
    for key in [
        Key::Bore,
        Key::Stroke,
        Key::RodLength,
        Key::CompressionHeight,
        Key::CaseHeight,
        Key::BaseShim,
        Key::BarrelLength,
        Key::ChamberVolume,
    ] {
        let spots: Vec<_> = drawn.spots.iter().filter(|spot| spot.key == key).collect();
        assert!(!spots.is_empty(), "{key}");
        for spot in spots {
            assert!(spot.area.area() > 0.0 && spot.area.is_finite(), "{key}: {:?}", spot.area);
        }
    }
}

#[test]
fn a_flat_engine_lies_and_fills_its_sheet() {
    let parts = engine("tarnbeck");
    let upright = section(&on_screen(&parts), &frames()[0], &Pens::SCREEN);
    for turn in [Turn::LYING_LEFT, Turn::LYING_RIGHT] {
        let drawn = section(&SectionInput { turn, ..on_screen(&parts) }, &frames()[0], &Pens::SCREEN);
        assert!(drawn.view.scale() > 0.8 * upright.view.scale(), "{} points per mm", drawn.view.scale());
        assert!(drawn.rim.is_some());
    }
}

#[test]
fn everything_is_finite_for_engines_of_any_size() {
    for k in [1e-6, 1e-3, 1e3, 1e6] {
        let parts = engine("sorrendel");
        let mut dims = *parts.engine.dims();
        for key in Key::all() {
            let power = match key.kind() {
                crate::quantity::Kind::Length => k,
                crate::quantity::Kind::Volume => k * k * k,
                crate::quantity::Kind::Angle => 1.0,
            };
            dims.set(key, dims.get(key).map(|value| value * power));
        }
        let get = |key| dims.filled(key).unwrap();
        let chamber = crate::engine::solid::Chamber::nearest(
            parts.chamber.kind(),
            get(Key::Bore),
            0.0,
            get(Key::ChamberVolume),
        );
        let crown = crate::engine::solid::Crown::nearest(
            parts.crown.kind(),
            get(Key::Bore),
            get(Key::CrownVolume),
            get(Key::PocketVolume),
        );
        let scaled = PartsInput {
            engine: crate::engine::Engine::new(dims).unwrap(),
            chamber: chamber.unwrap().solid,
            crown: crown.unwrap().solid,
            ..parts
        };
        let drawn = section(&on_screen(&scaled), &frames()[0], &Pens::SCREEN);
        assert!(drawn.list.shapes.iter().all(Shape::is_finite), "at {k}");
        assert_apart(&drawn.texts, &format!("at {k}"));
        assert!(
            (drawn.view.scale() * k
                / section(&on_screen(&engine("sorrendel")), &frames()[0], &Pens::SCREEN).view.scale()
                - 1.0)
                .abs()
                < 0.2
        );
    }
}

#[test]
fn rings_are_solid_and_the_rod_is_not_cut() {
    let parts = engine("sorrendel");
    let scene = Scene::new(on_screen(&parts), &Pens::SCREEN);
    let rod = scene.parts.pieces.iter().filter(|piece| piece.part == Part::Rod);
    assert!(rod.clone().count() > 0 && rod.clone().all(|piece| !piece.cut));
    let drawn = section(&on_screen(&parts), &frames()[0], &Pens::SCREEN);
    assert!(drawn.list.shapes.iter().any(|s| matches!(s, Shape::Fill { ink: Ink::Solid, .. })));
    assert!(!drawn.list.shapes.iter().any(|s| matches!(s, Shape::Fill { ink: Ink::Part(Part::Ring), .. })));
}
