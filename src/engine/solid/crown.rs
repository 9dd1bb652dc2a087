//! The crown: the kind of shape and its proportions are chosen, its height
//! or depth is solved so that it holds the measured volume exactly; valve
//! pockets are cut into it afterwards.
//!
//! Datum: x = 0 is the bore axis, y = 0 the flat rim, y up. The crown volume
//! is positive for a dish (it adds to the clearance volume) and negative for
//! a dome, as in the list of dimensions.

use super::fault::SolidFault;
use super::forms;
use super::pockets::Pockets;
use super::profile::{Profile, Stretch};
use super::{Fitted, MM3_PER_CC};
use kurbo::BezPath;
use serde::{Deserialize, Serialize};

/// The kinds of crown. Proportions are fractions of the bore, so that one kind
/// serves any size; each has a default (common practice, from memory).
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum CrownKind {
    /// Flat from rim to rim; its volume is 0.
    #[default]
    Flat,
    /// A cylindrical recess with a fillet round its floor.
    Dish {
        /// Diameter of the recess.
        #[serde(default = "dish_opening")]
        opening: f64,
        /// Radius of the fillet.
        #[serde(default = "dish_fillet")]
        fillet: f64,
    },
    /// A spherical cap hollowed out.
    Bowl {
        /// Diameter of the opening.
        #[serde(default = "bowl_opening")]
        opening: f64,
    },
    /// A spherical cap above the rim.
    Dome {
        /// Diameter of the base.
        #[serde(default = "dome_base")]
        base: f64,
    },
    /// A truncated cone above the rim.
    FlatDome {
        /// Diameter of the base.
        #[serde(default = "dome_base")]
        base: f64,
        /// Diameter of the flat top.
        #[serde(default = "flat_dome_top")]
        top: f64,
    },
}

fn dish_opening() -> f64 {
    0.72
}
fn dish_fillet() -> f64 {
    0.03
}
fn bowl_opening() -> f64 {
    0.8
}
fn dome_base() -> f64 {
    0.86
}
fn flat_dome_top() -> f64 {
    0.5
}

impl CrownKind {
    /// Returns one crown of each kind with its default proportions.
    #[must_use]
    pub fn all() -> [Self; 5] {
        [
            Self::Flat,
            Self::Dish { opening: dish_opening(), fillet: dish_fillet() },
            Self::Bowl { opening: bowl_opening() },
            Self::Dome { base: dome_base() },
            Self::FlatDome { base: dome_base(), top: flat_dome_top() },
        ]
    }

    /// Returns the plainest kind that suits a crown volume: a dish for a
    /// positive one, its fillet no more than half of what its depth has room
    /// for, a dome for a negative one, else flat.
    #[must_use]
    pub fn for_volume(bore_mm: f64, crown_cc: f64) -> Self {
        if crown_cc < 0.0 {
            return Self::Dome { base: dome_base() };
        }
        if crown_cc > 0.0 {
            let opening = dish_opening();
            let room = forms::bowl_largest_fillet(opening * bore_mm / 2.0, crown_cc * MM3_PER_CC) / bore_mm;
            return Self::Dish { opening, fillet: dish_fillet().min(room / 2.0) };
        }
        Self::Flat
    }

    /// Returns the name of the shape.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Flat => "flat crown",
            Self::Dish { .. } => "dish",
            Self::Bowl { .. } => "crown bowl",
            Self::Dome { .. } => "dome",
            Self::FlatDome { .. } => "flat-topped dome",
        }
    }

    /// Refuses proportions that make no shape and a volume of the wrong sign.
    fn check(&self, crown_cc: f64) -> Result<(), SolidFault> {
        let shape = self.name();
        let across = |what, value| SolidFault::proportion(shape, what, value, 0.05, 1.0);
        let suits = match *self {
            Self::Flat => crown_cc == 0.0,
            Self::Dish { opening, fillet } => {
                across("opening (of the bore)", opening)?;
                SolidFault::proportion(shape, "fillet (of the bore)", fillet, 0.0, opening / 2.0)?;
                crown_cc >= 0.0
            }
            Self::Bowl { opening } => {
                across("opening (of the bore)", opening)?;
                crown_cc >= 0.0
            }
            Self::Dome { base } => {
                across("base (of the bore)", base)?;
                crown_cc <= 0.0
            }
            Self::FlatDome { base, top } => {
                across("base (of the bore)", base)?;
                SolidFault::proportion(shape, "flat top (of the bore)", top, 0.0, base)?;
                crown_cc <= 0.0
            }
        };
        if suits { Ok(()) } else { Err(SolidFault::Sign { shape, crown_cc }) }
    }
}

/// A crown that holds its volume.
///
/// ```
/// use crowndeck::engine::solid::{Crown, CrownKind};
/// let crown = Crown::solve(&CrownKind::Dome { base: 0.86 }, 84.0, -18.2, 0.0)?;
/// assert!((crown.height_mm() - 8.711_942_190_5).abs() < 1e-9);
/// # Ok::<(), crowndeck::engine::solid::SolidFault>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Crown {
    kind: CrownKind,
    bore_mm: f64,
    crown_cc: f64,
    pocket_cc: f64,
    bare: Profile,
    top: Profile,
    pockets: Option<Pockets>,
}

impl Crown {
    /// Solves the height or depth of the chosen shape and of its pockets.
    ///
    /// # Errors
    /// Reports what makes the shape impossible, by how much, and what would be
    /// accepted.
    pub fn solve(kind: &CrownKind, bore_mm: f64, crown_cc: f64, pocket_cc: f64) -> Result<Self, SolidFault> {
        Self::check_numbers(bore_mm, crown_cc, pocket_cc)?;
        kind.check(crown_cc)?;
        let bare = bare(kind, bore_mm, crown_cc.abs() * MM3_PER_CC)?;
        Ok(Self::with_profile(kind.clone(), bore_mm, crown_cc, pocket_cc, bare))
    }

    /// Returns the wanted crown, or the nearest shape that can be drawn, with
    /// the fault that made it differ. Tried in turn: a wider base or opening, a
    /// smaller fillet, the plainest kind that suits the volume, and a cylinder
    /// as wide as the bore, which holds any volume.
    ///
    /// # Errors
    /// Only for numbers that no engine has: a bore not above 0, pockets below
    /// 0, anything that is not finite.
    pub fn nearest(
        kind: &CrownKind,
        bore_mm: f64,
        crown_cc: f64,
        pocket_cc: f64,
    ) -> Result<Fitted<Self>, SolidFault> {
        Self::check_numbers(bore_mm, crown_cc, pocket_cc)?;
        let fault = match Self::solve(kind, bore_mm, crown_cc, pocket_cc) {
            Ok(solid) => return Ok(Fitted { solid, fault: None }),
            Err(fault) => fault,
        };
        // A hair wider, so that rounding can't refuse it again.
        let wider = |needed_mm: f64| needed_mm / bore_mm * (1.0 + 1e-12);
        let eased = match (&fault, kind) {
            (SolidFault::TooMuch { needed_opening_mm, .. }, CrownKind::Bowl { .. }) => {
                CrownKind::Bowl { opening: wider(*needed_opening_mm) }
            }
            (SolidFault::TooMuch { needed_opening_mm, .. }, CrownKind::Dome { .. }) => {
                CrownKind::Dome { base: wider(*needed_opening_mm) }
            }
            (SolidFault::TooLittle { most_fillet_mm, .. }, CrownKind::Dish { opening, .. }) => {
                // Half of what just fits leaves a wall to be seen.
                CrownKind::Dish { opening: *opening, fillet: most_fillet_mm / bore_mm / 2.0 }
            }
            _ => CrownKind::for_volume(bore_mm, crown_cc),
        };
        let cylinder = if crown_cc < 0.0 {
            CrownKind::FlatDome { base: 1.0, top: 1.0 }
        } else {
            CrownKind::Dish { opening: 1.0, fillet: 0.0 }
        };
        for wish in [eased, cylinder] {
            if let Ok(solid) = Self::solve(&wish, bore_mm, crown_cc, pocket_cc) {
                return Ok(Fitted { solid, fault: Some(fault) });
            }
        }
        let bare = flat(bore_mm / 2.0);
        let solid = Self::with_profile(CrownKind::Flat, bore_mm, crown_cc, pocket_cc, bare);
        Ok(Fitted { solid, fault: Some(fault) })
    }

    fn check_numbers(bore_mm: f64, crown_cc: f64, pocket_cc: f64) -> Result<(), SolidFault> {
        SolidFault::positive("bore", bore_mm, "mm")?;
        SolidFault::finite("crown volume", crown_cc, "cc")?;
        SolidFault::not_negative("volume of the valve pockets", pocket_cc, "cc")
    }

    fn with_profile(kind: CrownKind, bore_mm: f64, crown_cc: f64, pocket_cc: f64, bare: Profile) -> Self {
        let pockets = Pockets::solve(&kind, bore_mm, &bare, pocket_cc * MM3_PER_CC);
        let top = pockets.as_ref().map_or_else(|| bare.clone(), |pockets| pockets.cut(&bare));
        Self { kind, bore_mm, crown_cc, pocket_cc, bare, top, pockets }
    }

    /// Returns the kind of shape that is drawn.
    #[must_use]
    pub fn kind(&self) -> &CrownKind {
        &self.kind
    }

    /// Returns the bore it was solved for, mm.
    #[must_use]
    pub fn bore_mm(&self) -> f64 {
        self.bore_mm
    }

    /// Returns the crown volume, cc: positive for a dish, negative for a dome.
    #[must_use]
    pub fn crown_cc(&self) -> f64 {
        self.crown_cc
    }

    /// Returns the volume of the valve pockets together, cc.
    #[must_use]
    pub fn pocket_cc(&self) -> f64 {
        self.pocket_cc
    }

    /// Returns the top of the crown from rim to rim, valve pockets cut in.
    #[must_use]
    pub fn top(&self) -> &Profile {
        &self.top
    }

    /// Returns the top of the crown before the valve pockets were cut.
    #[must_use]
    pub fn bare_top(&self) -> &Profile {
        &self.bare
    }

    /// Returns the valve pockets, or `None` if there are none.
    #[must_use]
    pub fn pockets(&self) -> Option<&Pockets> {
        self.pockets.as_ref()
    }

    /// Returns the highest point above the rim, mm; 0 where the crown does not
    /// rise above it.
    #[must_use]
    pub fn height_mm(&self) -> f64 {
        self.top.top().max(0.0)
    }

    /// Returns the deepest point below the rim, mm, valve pockets included.
    #[must_use]
    pub fn depth_mm(&self) -> f64 {
        (-self.top.bottom()).max(0.0)
    }

    /// Returns the diameter of the dish's mouth or of the dome's base, mm; 0
    /// for a flat crown.
    #[must_use]
    pub fn opening_mm(&self) -> f64 {
        if self.crown_cc == 0.0 { 0.0 } else { 2.0 * half_width(&self.kind, self.bore_mm) }
    }

    /// Returns the radius of the sphere of a dome or bowl, mm; `None` for other
    /// kinds.
    #[must_use]
    pub fn sphere_radius_mm(&self) -> Option<f64> {
        let round = matches!(self.kind, CrownKind::Bowl { .. } | CrownKind::Dome { .. });
        let height = self.bare.top().max(-self.bare.bottom());
        (round && height > 0.0)
            .then(|| forms::cap_sphere_radius(half_width(&self.kind, self.bore_mm), height))
    }

    /// Returns the closed outline of the dome above or the hollow below the
    /// rim.
    #[must_use]
    pub fn profile(&self) -> BezPath {
        self.top.closed_at(0.0)
    }
}

/// Returns half the width of the shape at the rim, mm.
fn half_width(kind: &CrownKind, bore_mm: f64) -> f64 {
    let across = match *kind {
        CrownKind::Flat => 0.0,
        CrownKind::Dish { opening, .. } | CrownKind::Bowl { opening } => opening,
        CrownKind::Dome { base } | CrownKind::FlatDome { base, .. } => base,
    };
    across * bore_mm / 2.0
}

fn flat(rim: f64) -> Profile {
    Profile::new([Stretch::line((-rim, 0.0), (rim, 0.0))])
}

/// Returns the top without pockets that holds `volume` mm³ above or below the
/// rim.
fn bare(kind: &CrownKind, bore_mm: f64, volume: f64) -> Result<Profile, SolidFault> {
    let rim = bore_mm / 2.0;
    if volume == 0.0 {
        return Ok(flat(rim));
    }
    let a = half_width(kind, bore_mm);
    let land = Stretch::line((a, 0.0), (rim, 0.0));
    Ok(match *kind {
        CrownKind::Flat => flat(rim),
        CrownKind::Dish { fillet, .. } => {
            let fillet = fillet * bore_mm;
            let depth = super::bowl_depth(kind.name(), a, fillet, volume)?;
            let [floor, round] = super::bowl_half(a, fillet, -depth);
            Profile::symmetric(&[floor, round, land])
        }
        CrownKind::Bowl { .. } => {
            let depth = super::cap_depth(kind.name(), a, volume)?;
            Profile::symmetric(&[super::cap_half(a, -depth), land])
        }
        CrownKind::Dome { .. } => {
            let height = super::cap_depth(kind.name(), a, volume)?;
            Profile::symmetric(&[super::cap_half(a, height), land])
        }
        CrownKind::FlatDome { top, .. } => {
            let b = top * bore_mm / 2.0;
            let height = forms::truncated_cone_height(a, b, volume);
            let plateau = Stretch::line((0.0, height), (b, height));
            let flank = Stretch::line((b, height), (a, 0.0));
            Profile::symmetric(&[plateau, flank, land])
        }
    })
}
