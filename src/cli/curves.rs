//! `crowndeck curves`.

use super::args::CurvesArgs;
use super::failure::Failure;
use super::input::{Input, Reader, solved};
use super::json::{At, NO_NUMBER};
use super::output::{print, write_file};
use crate::report::csv_text;
use crate::study::curves::{MIN_STEP_DEG, curves};

/// Answers `curves`.
///
/// # Errors
/// Faults of the engine, the file or the call.
pub(super) fn run(args: &CurvesArgs) -> Result<(), Failure> {
    if !(MIN_STEP_DEG..=180.0).contains(&args.step) {
        return Err(Failure::Call(format!("--step {}: accepted: {MIN_STEP_DEG} to 180 degrees", args.step)));
    }
    // A file keeps every label as it is.
    let reader = if args.out.is_some() { Reader::Program } else { Reader::Terminal };
    let input = Input::of(&args.source, reader)?;
    let answers = input.answers()?;
    let mut text = format!("cylinder,{}\n", At::COLUMNS.join(","));
    for (index, cylinder) in input.question.cylinders.iter().enumerate() {
        let points = curves(&solved(&answers, index)?.engine, args.step).map_err(Failure::Call)?;
        for point in &points {
            text.push_str(&csv_text(&cylinder.label));
            for value in At::of(point).values() {
                if !value.0.is_finite() {
                    return Err(Failure::engine(NO_NUMBER));
                }
                text.push_str(&format!(",{}", value.0));
            }
            text.push('\n');
        }
    }
    match &args.out {
        Some(path) => write_file(path, text.as_bytes()),
        None => print(&text, reader),
    }
}
