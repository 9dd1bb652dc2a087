//! How fast the window and the answers are: each beside a floor measured in
//! the same run, so that the ratio holds on any machine.
//!
//! `cargo bench` prints: the answers of a six-cylinder engine; its shims from
//! a full drawer; one pass of the whole window with its tessellation while a
//! rule moves; the same for as many bare sliders, value fields and curves of
//! the toolkit; their ratio.
#![expect(clippy::expect_used, reason = "a bench fails by panicking")]

use crowndeck::advise::shims;
use crowndeck::app::Window;
use crowndeck::project::demos;
use crowndeck::quantity::{Kind, Quantity};
use crowndeck::schema::Shim;
use crowndeck::schema::limit::LimitId;
use crowndeck::study::Answers;
use egui::accesskit::Role;
use egui::{Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use egui_plot::{Line, Plot, PlotPoints};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Rounds of which the median counts.
const ROUNDS: usize = 201;

fn median(mut round: impl FnMut(usize)) -> Duration {
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|i| {
            let start = Instant::now();
            round(i);
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[ROUNDS / 2]
}

/// One pass and its tessellation, with the pointer at another place.
fn pass<S>(harness: &mut Harness<'_, S>, at: egui::Pos2) {
    harness.hover_at(at);
    harness.step();
    let shapes = harness.output().shapes.clone();
    black_box(harness.ctx.tessellate(shapes, 1.0));
}

/// Where the pointer goes while a rule is dragged.
fn along(center: egui::Pos2, round: usize) -> egui::Pos2 {
    center + vec2(if round.is_multiple_of(2) { -8.0 } else { 8.0 }, 0.0)
}

/// As many bare sliders with their fields as the window has rules, and as many
/// curves with as many points.
struct Bare {
    values: Vec<f64>,
    curves: Vec<Vec<[f64; 2]>>,
}

fn bare(size: Vec2) -> Harness<'static, Bare> {
    let curve = |k: f64| (-180..=180).map(|a| [f64::from(a), k * f64::from(a).to_radians().abs()]).collect();
    let state = Bare {
        values: (0..20).map(|i| f64::from(i) * 4.0).collect(),
        curves: [1.0, 2.0, 3.0].map(curve).into(),
    };
    Harness::builder().with_size(size).with_step_dt(0.02).build_ui_state(
        |ui, state: &mut Bare| {
            for (i, value) in state.values.iter_mut().enumerate() {
                ui.horizontal(|ui| {
                    let label = ui.label("A dimension");
                    ui.add(egui::Slider::new(value, 0.0..=100.0)).labelled_by(label.id);
                    ui.label(format!("row {i}"));
                });
            }
            ui.horizontal(|ui| {
                for (i, curve) in state.curves.iter().enumerate() {
                    Plot::new(("bare", i)).width(200.0).height(130.0).show(ui, |plot| {
                        plot.line(Line::new("curve", PlotPoints::from(curve.clone())));
                    });
                }
            });
        },
        state,
    )
}

fn main() {
    let demo = demos().iter().find(|demo| demo.id == "sorrendel-f6").expect("the flat six");
    let question = demo.project().expect("a project").question();
    let answers = median(|_| {
        black_box(Answers::to(black_box(&question)));
    });
    println!("answers of a six-cylinder engine, all curves and effects: {answers:.1?}");

    // Twenty thicknesses, up to three pieces: eleven thousand million sets.
    let mut full = demo.project().expect("a project");
    full.limits.set(LimitId::PiecesMax, Some(3_u32.into()));
    full.shims = [5, 8, 10, 12, 15, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 60, 80, 100, 125, 150]
        .map(|hundredths| {
            let thickness = Quantity::of(Kind::Length, f64::from(hundredths) / 100.0).expect("a thickness");
            Shim { thickness, count: 6, material: String::new(), soft: false }
        })
        .to_vec();
    let ask = full.shims_as_chosen();
    let chosen = median(|_| {
        black_box(shims::answer(black_box(&ask), &mut shims::Budget::new(shims::MAX_NODES, &|| false)));
    });
    println!("shims under both heads of a six, twenty thicknesses, three pieces: {chosen:.1?}");

    let size = vec2(1440.0, 900.0);
    // A copy: what a window leaves unsaved is kept beside its file, and the
    // next run would begin with a question about it.
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("engine.ron");
    std::fs::copy("demo-projects/sorrendel-f6.ron", &file).expect("a copy of the demo");
    let mut window =
        Harness::builder().with_size(size).with_step_dt(0.02).build_eframe(|cc| Window::new(cc, Some(&file)));
    window.run();
    let rule = window.get_by_role_and_label(Role::Slider, "Rod length").rect().center();
    window.drag_at(rule);
    window.step();
    let ours = median(|i| pass(&mut window, along(rule, i)));

    let mut floor = bare(size);
    floor.run();
    let slider = floor.query_all_by_role(Role::Slider).next().expect("a slider").rect().center();
    floor.drag_at(slider);
    floor.step();
    let floor = median(|i| pass(&mut floor, along(slider, i)));
    println!("one pass of the whole window with tessellation, a rule moving: {ours:.1?}");
    println!("the same number of bare sliders and curves: {floor:.1?}");
    println!("ratio {:.2}", ours.as_secs_f64() / floor.as_secs_f64());
}
