//! The solids of chamber and crown: the kind of shape and its opening are
//! chosen, the depth is solved so that the measured volume is kept exactly,
//! and the section is drawn from the same numbers.
//!
//! Datum: x = 0 is the bore axis, x runs across the crank in the plane of the
//! crank throw, y is up. A chamber has y = 0 at the joint plane, a crown at
//! its flat rim. Lengths are millimetres, volumes cc (1 cc = 1000 mm³).
//!
//! Accuracy: depths come from closed forms (or their inverses solved to the
//! last bit), so a shape holds its volume to about 1e-14 of it. Drawn arcs are
//! true to 1e-9 of the radius.

mod approach;
mod chamber;
#[cfg(test)]
mod checks;
mod crown;
mod fault;
pub mod forms;
mod pockets;
mod profile;

pub(crate) use approach::Approach;
pub use approach::closest_approach;
pub use chamber::{Chamber, ChamberKind};
pub use crown::{Crown, CrownKind};
pub use fault::SolidFault;
pub(crate) use profile::{Profile, Stretch};

/// Cubic millimetres in a cubic centimetre.
const MM3_PER_CC: f64 = 1000.0;

/// A shape that can be drawn, with the reason why it is not the wanted one.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted<T> {
    /// The shape to draw.
    pub solid: T,
    /// The fault of the wanted shape; `None` when it is drawn as wanted.
    pub fault: Option<SolidFault>,
}

/// Returns the height of the spherical cap with base radius `a`, at most a half
/// sphere.
fn cap_depth(shape: &'static str, a: f64, volume: f64) -> Result<f64, SolidFault> {
    let most = forms::cap(a, a);
    if volume > most {
        return Err(SolidFault::TooMuch {
            shape,
            volume_cc: volume / MM3_PER_CC,
            most_cc: most / MM3_PER_CC,
            opening_mm: 2.0 * a,
            needed_opening_mm: 2.0 * forms::half_sphere_radius(volume),
        });
    }
    Ok(forms::cap_height(a, volume).min(a))
}

/// Returns the depth of the bowl of radius `a` with a complete fillet.
fn bowl_depth(shape: &'static str, a: f64, fillet: f64, volume: f64) -> Result<f64, SolidFault> {
    let least = forms::bowl_least(a, fillet);
    if volume < least {
        return Err(SolidFault::TooLittle {
            shape,
            volume_cc: volume / MM3_PER_CC,
            least_cc: least / MM3_PER_CC,
            fillet_mm: fillet,
            most_fillet_mm: forms::bowl_largest_fillet(a, volume),
        });
    }
    Ok(forms::bowl_depth(a, fillet, volume))
}

/// Returns the right half of a cap with base radius `a` at y = 0 and its pole
/// at `height`, which may be negative.
fn cap_half(a: f64, height: f64) -> Stretch {
    // κ = 1/ρ = 2h/(a² + h²).
    Stretch::arc((0.0, height), a, 0.0, 2.0 * height / (a * a + height * height)).ending(0.0)
}

/// Returns the right half of a bowl of radius `a`: its roof at `depth`, which
/// may be negative, and the fillet.
fn bowl_half(a: f64, fillet: f64, depth: f64) -> [Stretch; 2] {
    let bulge = if depth < 0.0 { -1.0 } else { 1.0 };
    let flat = Stretch::line((0.0, depth), (a - fillet, depth));
    if fillet == 0.0 {
        return [flat, Stretch::line((a, depth), (a, depth))];
    }
    [flat, Stretch::arc((a - fillet, depth), a, 0.0, bulge / fillet)]
}
