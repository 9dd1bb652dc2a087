//! Position, volume and ratio against crank angle.

use crate::engine::Engine;

/// One point of the curves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Degrees after piston top dead centre.
    pub angle_deg: f64,
    /// Below top dead centre, mm.
    pub position_mm: f64,
    /// mm per radian, positive downward.
    pub velocity_mm_per_rad: f64,
    /// mm per radian².
    pub acceleration_mm_per_rad2: f64,
    /// Above the piston, cc.
    pub volume_cc: f64,
    /// (swept + clearance)/volume.
    pub ratio: f64,
}

/// Everything at one crank angle, in degrees after piston top dead centre.
#[must_use]
pub fn at(engine: &Engine, angle_deg: f64) -> CurvePoint {
    let motion = engine.figures().crank.motion(angle_deg);
    let space = engine.space_at(motion.position_mm);
    CurvePoint {
        angle_deg,
        position_mm: motion.position_mm,
        velocity_mm_per_rad: motion.velocity_mm_per_rad,
        acceleration_mm_per_rad2: motion.acceleration_mm_per_rad2,
        volume_cc: space.volume_cc,
        ratio: space.ratio,
    }
}

/// The least step of a curve, degrees: finer than any degree wheel is read.
pub const MIN_STEP_DEG: f64 = 0.01;

/// One turn of the crank, from −180° to 180° after piston top dead centre in
/// steps of `step_deg`; the last point is 180° whatever the step.
///
/// # Errors
/// The step as a sentence, if it is not within [`MIN_STEP_DEG`] to 180.
pub fn curves(engine: &Engine, step_deg: f64) -> Result<Vec<CurvePoint>, String> {
    if !(MIN_STEP_DEG..=180.0).contains(&step_deg) {
        return Err(format!("a step of {step_deg}° is not possible; accepted: {MIN_STEP_DEG}° to 180°"));
    }
    let mut points = Vec::new();
    for n in 0_u32.. {
        // Multiplied, not summed, so that no error builds up.
        let angle = -180.0 + f64::from(n) * step_deg;
        if angle >= 180.0 - step_deg * 1e-9 {
            break;
        }
        points.push(at(engine, angle));
    }
    points.push(at(engine, 180.0));
    Ok(points)
}

/// One turn of the crank in steps of one degree.
#[must_use]
pub fn turn(engine: &Engine) -> Vec<CurvePoint> {
    (-180..=180_i32).map(|degree| at(engine, f64::from(degree))).collect()
}
