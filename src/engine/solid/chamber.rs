//! The chamber: the kind of shape and its opening are chosen, its depth is
//! solved so that it holds the measured volume exactly.
//!
//! Datum: x = 0 is the bore axis, y = 0 the joint plane (the sealing face of
//! the head), y up. The flat band of the head lies at y = head step.
//!
//! **What the burette's volume is made of.** The chamber volume is what a flat
//! plate on the sealing face encloses. With the band set back by a step s > 0
//! that is the slice A·s over the bore (A = π/4·bore²) and the cavity above the
//! band. With s < 0 the band reaches down into the barrel as a plug. The space
//! between the crown and the head is then A·(deck + gasket) − A·|s| + cavity:
//! the gap under the joint plane, less the plug that is in it, and the cavity
//! inside the plug. Interface and trade add A·deck, the gasket and the chamber
//! volume, so the chamber volume is cavity − A·|s| (the plate being laid
//! against the band, the plug's volume is subtracted from the reading). Both
//! cases are one line: cavity = chamber volume − A·s. The plug is taken to fill
//! the bore.

use super::fault::SolidFault;
use super::forms;
use super::profile::{Profile, Stretch};
use super::{Fitted, MM3_PER_CC};
use crate::engine::num::{PI, hypot};
use kurbo::BezPath;
use serde::{Deserialize, Serialize};

/// The kinds of chamber. Proportions are fractions of the bore, so that one
/// kind serves any size; each has a default (common practice, from memory).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum ChamberKind {
    /// A spherical cap.
    Cap {
        /// Diameter of the opening.
        #[serde(default = "cap_opening")]
        opening: f64,
    },
    /// A cylinder whose roof is rounded off.
    Bowl {
        /// Diameter of the opening.
        #[serde(default = "bowl_opening")]
        opening: f64,
        /// Radius of the fillet round the roof.
        #[serde(default = "bowl_fillet")]
        fillet: f64,
    },
    /// Two sloping planes over a round plan; the ridge lies along the crank.
    PentRoof {
        /// Diameter of the plan.
        #[serde(default = "pent_roof_opening")]
        opening: f64,
    },
    /// One sloping plane over a round plan, deep at +x.
    Wedge {
        /// Diameter of the plan.
        #[serde(default = "wedge_opening")]
        opening: f64,
        /// Depth at the shallow side as a fraction of the depth at the deep one.
        #[serde(default = "wedge_shallow")]
        shallow: f64,
    },
    /// A flat roof over a rounded rectangle.
    Bathtub {
        /// Width across the crank.
        #[serde(default = "bathtub_width")]
        width: f64,
        /// Length along the crank.
        #[serde(default = "bathtub_length")]
        length: f64,
        /// Radius of the corners.
        #[serde(default = "bathtub_corner")]
        corner: f64,
    },
}

fn cap_opening() -> f64 {
    0.88
}
fn bowl_opening() -> f64 {
    0.7
}
fn bowl_fillet() -> f64 {
    0.08
}
fn pent_roof_opening() -> f64 {
    0.94
}
fn wedge_opening() -> f64 {
    0.84
}
fn wedge_shallow() -> f64 {
    0.25
}
fn bathtub_width() -> f64 {
    0.62
}
fn bathtub_length() -> f64 {
    0.88
}
fn bathtub_corner() -> f64 {
    0.26
}

impl Default for ChamberKind {
    fn default() -> Self {
        Self::Cap { opening: cap_opening() }
    }
}

impl ChamberKind {
    /// Returns one chamber of each kind with its default proportions.
    #[must_use]
    pub fn all() -> [Self; 5] {
        [
            Self::Cap { opening: cap_opening() },
            Self::Bowl { opening: bowl_opening(), fillet: bowl_fillet() },
            Self::PentRoof { opening: pent_roof_opening() },
            Self::Wedge { opening: wedge_opening(), shallow: wedge_shallow() },
            Self::Bathtub { width: bathtub_width(), length: bathtub_length(), corner: bathtub_corner() },
        ]
    }

    /// Returns the name of the shape.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Cap { .. } => "spherical cap",
            Self::Bowl { .. } => "bowl",
            Self::PentRoof { .. } => "pent roof",
            Self::Wedge { .. } => "wedge",
            Self::Bathtub { .. } => "bathtub",
        }
    }

    /// Returns the area of its plan at the flat band, mm².
    #[must_use]
    pub fn plan_area_mm2(&self, bore_mm: f64) -> f64 {
        match *self {
            Self::Cap { opening }
            | Self::Bowl { opening, .. }
            | Self::PentRoof { opening }
            | Self::Wedge { opening, .. } => PI / 4.0 * (opening * bore_mm) * (opening * bore_mm),
            Self::Bathtub { width, length, corner } => {
                forms::rounded_rectangle(length * bore_mm, width * bore_mm, corner * bore_mm)
            }
        }
    }

    /// Returns the same kind with its default proportions.
    fn with_defaults(&self) -> Self {
        Self::all().into_iter().find(|kind| kind.name() == self.name()).unwrap_or_default()
    }

    /// Refuses proportions that make no shape inside a bore.
    fn check(&self, bore_mm: f64) -> Result<(), SolidFault> {
        let name = self.name();
        let opening = |value| SolidFault::proportion(name, "opening (of the bore)", value, 0.05, 1.0);
        match *self {
            Self::Cap { opening: o } | Self::PentRoof { opening: o } => opening(o),
            Self::Bowl { opening: o, fillet } => {
                opening(o)?;
                SolidFault::proportion(name, "fillet (of the bore)", fillet, 0.0, o / 2.0)
            }
            Self::Wedge { opening: o, shallow } => {
                opening(o)?;
                SolidFault::proportion(name, "shallow side (of the deep one)", shallow, 0.0, 1.0)
            }
            Self::Bathtub { width, length, corner } => {
                SolidFault::proportion(name, "width (of the bore)", width, 0.05, 1.0)?;
                SolidFault::proportion(name, "length (of the bore)", length, 0.05, 1.0)?;
                let most = width.min(length) / 2.0;
                SolidFault::proportion(name, "corner radius (of the bore)", corner, 0.0, most)?;
                // The farthest point of the plan lies on the diagonal through
                // the centre of a corner's quarter circle.
                let reach = hypot(width / 2.0 - corner, length / 2.0 - corner) + corner;
                if reach > 0.5 {
                    let across_mm = 2.0 * reach * bore_mm;
                    return Err(SolidFault::BeyondBore { shape: name, across_mm, bore_mm });
                }
                Ok(())
            }
        }
    }
}

/// A chamber that holds its volume.
///
/// ```
/// use crowndeck::engine::solid::{Chamber, ChamberKind};
/// let chamber = Chamber::solve(&ChamberKind::Cap { opening: 0.8 }, 72.5, 0.0, 6.0272)?;
/// assert!((chamber.depth_mm() - 4.525_726_221_266).abs() < 1e-9);
/// # Ok::<(), crowndeck::engine::solid::SolidFault>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Chamber {
    kind: ChamberKind,
    bore_mm: f64,
    head_step_mm: f64,
    volume_cc: f64,
    depth_mm: f64,
    roof: Profile,
}

impl Chamber {
    /// Solves the depth of the chosen shape.
    ///
    /// # Errors
    /// Reports what makes the shape impossible, by how much, and what would be
    /// accepted.
    pub fn solve(
        kind: &ChamberKind,
        bore_mm: f64,
        head_step_mm: f64,
        volume_cc: f64,
    ) -> Result<Self, SolidFault> {
        Self::check_numbers(bore_mm, head_step_mm, volume_cc)?;
        kind.check(bore_mm)?;
        let volume = cavity(bore_mm, head_step_mm, volume_cc)?;
        let depth_mm = depth(kind, bore_mm, volume)?;
        Ok(Self::with_depth(kind.clone(), bore_mm, head_step_mm, volume_cc, depth_mm))
    }

    /// Returns the wanted chamber, or the nearest shape that can be drawn, with
    /// the fault that made it differ. Tried in turn: a wider opening, a smaller
    /// fillet, the kind's default proportions, a bowl as wide as the bore,
    /// which holds any volume. Only where the head step alone holds more than
    /// the chamber volume is a flat band drawn that does not hold the volume.
    ///
    /// # Errors
    /// Only for numbers that no engine has: a bore not above 0, a volume below
    /// 0, anything that is not finite.
    pub fn nearest(
        kind: &ChamberKind,
        bore_mm: f64,
        head_step_mm: f64,
        volume_cc: f64,
    ) -> Result<Fitted<Self>, SolidFault> {
        Self::check_numbers(bore_mm, head_step_mm, volume_cc)?;
        let fault = match Self::solve(kind, bore_mm, head_step_mm, volume_cc) {
            Ok(solid) => return Ok(Fitted { solid, fault: None }),
            Err(fault) => fault,
        };
        let eased = match (&fault, kind) {
            (SolidFault::TooMuch { needed_opening_mm, .. }, ChamberKind::Cap { .. }) => {
                // A hair wider, so that rounding can't refuse it again.
                ChamberKind::Cap { opening: needed_opening_mm / bore_mm * (1.0 + 1e-12) }
            }
            (SolidFault::TooLittle { most_fillet_mm, .. }, ChamberKind::Bowl { opening, .. }) => {
                // Half of what just fits leaves a wall to be seen.
                ChamberKind::Bowl { opening: *opening, fillet: most_fillet_mm / bore_mm / 2.0 }
            }
            _ => kind.with_defaults(),
        };
        for wish in [eased, ChamberKind::Bowl { opening: 1.0, fillet: 0.0 }] {
            if let Ok(solid) = Self::solve(&wish, bore_mm, head_step_mm, volume_cc) {
                return Ok(Fitted { solid, fault: Some(fault) });
            }
        }
        let solid = Self::with_depth(kind.clone(), bore_mm, head_step_mm, volume_cc, 0.0);
        Ok(Fitted { solid, fault: Some(fault) })
    }

    fn check_numbers(bore_mm: f64, head_step_mm: f64, volume_cc: f64) -> Result<(), SolidFault> {
        SolidFault::positive("bore", bore_mm, "mm")?;
        SolidFault::finite("head step", head_step_mm, "mm")?;
        SolidFault::not_negative("chamber volume", volume_cc, "cc")
    }

    fn with_depth(kind: ChamberKind, bore_mm: f64, head_step_mm: f64, volume_cc: f64, depth_mm: f64) -> Self {
        let roof = roof(&kind, bore_mm, depth_mm).shifted(head_step_mm);
        Self { kind, bore_mm, head_step_mm, volume_cc, depth_mm, roof }
    }

    /// Returns the kind of shape that is drawn.
    #[must_use]
    pub fn kind(&self) -> &ChamberKind {
        &self.kind
    }

    /// Returns the bore it was solved for, mm.
    #[must_use]
    pub fn bore_mm(&self) -> f64 {
        self.bore_mm
    }

    /// Returns the height of the flat band above the joint plane, mm.
    #[must_use]
    pub fn head_step_mm(&self) -> f64 {
        self.head_step_mm
    }

    /// Returns the volume under a flat plate on the joint face, cc.
    #[must_use]
    pub fn volume_cc(&self) -> f64 {
        self.volume_cc
    }

    /// Returns the depth from the band up to the highest point of the roof, mm.
    #[must_use]
    pub fn depth_mm(&self) -> f64 {
        self.depth_mm
    }

    /// Returns the height from the joint plane up to the highest point of the
    /// roof, mm.
    #[must_use]
    pub fn height_mm(&self) -> f64 {
        self.head_step_mm + self.depth_mm
    }

    /// Returns the width of the cavity's mouth in the section plane, mm; 0
    /// without a cavity.
    #[must_use]
    pub fn opening_mm(&self) -> f64 {
        if self.depth_mm > 0.0 { 2.0 * half_width(&self.kind, self.bore_mm) } else { 0.0 }
    }

    /// Returns the radius of the sphere of a cap, mm; `None` for other kinds.
    #[must_use]
    pub fn sphere_radius_mm(&self) -> Option<f64> {
        let is_cap = matches!(self.kind, ChamberKind::Cap { .. }) && self.depth_mm > 0.0;
        is_cap.then(|| forms::cap_sphere_radius(half_width(&self.kind, self.bore_mm), self.depth_mm))
    }

    /// Returns the head's underside over the bore, flat band included.
    #[must_use]
    pub fn roof(&self) -> &Profile {
        &self.roof
    }

    /// Returns the height of the head's underside above the joint plane at `x`,
    /// mm.
    #[must_use]
    pub fn roof_y(&self, x: f64) -> f64 {
        self.roof.y(x)
    }

    /// Returns the closed outline of the space: from the joint plane up to the
    /// roof, or, where the band reaches below the joint plane, from the band up
    /// to the roof.
    #[must_use]
    pub fn profile(&self) -> BezPath {
        self.roof.closed_at(self.head_step_mm.min(0.0))
    }
}

/// Returns the volume above the band, mm³.
fn cavity(bore_mm: f64, head_step_mm: f64, volume_cc: f64) -> Result<f64, SolidFault> {
    let area = PI / 4.0 * bore_mm * bore_mm;
    let (volume, slice) = (volume_cc * MM3_PER_CC, area * head_step_mm);
    // A flat head is typed as the slice itself: rounding is not a fault.
    if slice > volume * (1.0 + 1e-12) {
        return Err(SolidFault::StepTakesAll {
            chamber_cc: volume_cc,
            slice_cc: slice / MM3_PER_CC,
            head_step_mm,
            most_step_mm: volume / area,
        });
    }
    Ok((volume - slice).max(0.0))
}

/// Returns half the width of the mouth in the section plane, mm.
fn half_width(kind: &ChamberKind, bore_mm: f64) -> f64 {
    let across = match *kind {
        ChamberKind::Cap { opening }
        | ChamberKind::Bowl { opening, .. }
        | ChamberKind::PentRoof { opening }
        | ChamberKind::Wedge { opening, .. } => opening,
        ChamberKind::Bathtub { width, .. } => width,
    };
    across * bore_mm / 2.0
}

/// Returns the depth above the band that holds `volume` mm³; 0 for no volume.
fn depth(kind: &ChamberKind, bore_mm: f64, volume: f64) -> Result<f64, SolidFault> {
    if volume == 0.0 {
        return Ok(0.0);
    }
    let a = half_width(kind, bore_mm);
    match *kind {
        ChamberKind::Cap { .. } => super::cap_depth(kind.name(), a, volume),
        ChamberKind::Bowl { fillet, .. } => super::bowl_depth(kind.name(), a, fillet * bore_mm, volume),
        ChamberKind::PentRoof { .. } => Ok(forms::pent_roof_round_depth(a, volume)),
        // The height over a round plan averages to that over its centre.
        ChamberKind::Wedge { shallow, .. } => Ok(2.0 * volume / (PI * a * a * (1.0 + shallow))),
        ChamberKind::Bathtub { width, length, corner } => {
            let plan = forms::rounded_rectangle(length, width, corner) * bore_mm * bore_mm;
            Ok(volume / plan)
        }
    }
}

/// Returns the head's underside with the band at y = 0.
fn roof(kind: &ChamberKind, bore_mm: f64, depth: f64) -> Profile {
    let rim = bore_mm / 2.0;
    if depth == 0.0 {
        return Profile::new([Stretch::line((-rim, 0.0), (rim, 0.0))]);
    }
    let a = half_width(kind, bore_mm);
    let band = |x0: f64, x1: f64| Stretch::line((x0, 0.0), (x1, 0.0));
    match *kind {
        ChamberKind::Cap { .. } => Profile::symmetric(&[super::cap_half(a, depth), band(a, rim)]),
        ChamberKind::Bowl { fillet, .. } => {
            let [flat, round] = super::bowl_half(a, fillet * bore_mm, depth);
            Profile::symmetric(&[flat, round, band(a, rim)])
        }
        ChamberKind::PentRoof { .. } => {
            Profile::symmetric(&[Stretch::line((0.0, depth), (a, 0.0)), band(a, rim)])
        }
        ChamberKind::Wedge { shallow, .. } => {
            Profile::new([band(-rim, -a), Stretch::line((-a, shallow * depth), (a, depth)), band(a, rim)])
        }
        ChamberKind::Bathtub { .. } => {
            Profile::symmetric(&[Stretch::line((0.0, depth), (a, depth)), band(a, rim)])
        }
    }
}
