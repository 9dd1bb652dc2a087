//! Angles of the gaps around the bore.
//!
//! Angles are degrees from the front end of the piston pin, clockwise as the
//! piston is seen from above; the clock puts twelve there. Rings turn in
//! service, so this is how they start, not how they stay.

pub(crate) use crate::schema::Role;

/// Distance below which two gaps of neighbouring rings are in line, degrees
/// (common practice: never in line; rails are 45 from their expander).
pub(crate) const IN_LINE_DEG: f64 = 30.0;

/// The angle of one gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapPlace {
    /// The role of the gap.
    pub role: Role,
    /// Degrees from the datum, 0 to 360.
    pub angle_deg: f64,
    /// Whether a peg holds it: it can't be turned.
    pub pegged: bool,
}

/// The kind of a zone that a gap must keep off.
#[derive(Clone, Debug, PartialEq)]
pub enum ZoneKind {
    /// A side of the bore that the piston is pressed against.
    ThrustFace,
    /// An end of the piston pin.
    PinEnd,
    /// A port in the bore: the ends of a ring catch in it.
    Port(String),
}

/// A part of the bore's circumference.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// Its kind.
    pub kind: ZoneKind,
    /// Its middle, degrees from the datum.
    pub at_deg: f64,
    /// Half its width, degrees.
    pub half_width_deg: f64,
}

impl Zone {
    /// Returns thrust faces and pin ends, 15° to either side (common practice).
    #[must_use]
    pub fn usual() -> Vec<Self> {
        let zone = |kind, at_deg| Self { kind, at_deg, half_width_deg: 15.0 };
        vec![
            zone(ZoneKind::PinEnd, 0.0),
            zone(ZoneKind::ThrustFace, 90.0),
            zone(ZoneKind::PinEnd, 180.0),
            zone(ZoneKind::ThrustFace, 270.0),
        ]
    }

    fn name(&self) -> String {
        match &self.kind {
            ZoneKind::ThrustFace => "a thrust face".to_owned(),
            ZoneKind::PinEnd => "an end of the pin".to_owned(),
            ZoneKind::Port(name) => format!("the {name}"),
        }
    }
}

/// The oil ring of a piston.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Oil {
    /// No oil ring: a two-stroke.
    None,
    /// One piece.
    OnePiece,
    /// Two rails on an expander.
    ThreePiece,
}

/// The spread of the compression rings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Layout {
    /// Evenly: two rings 180° apart, three 120°.
    Even,
    /// A quarter turn from one to the next.
    Quarter,
}

/// Returns the shorter way round between two angles, degrees, 0 to 180.
pub(super) fn apart(a: f64, b: f64) -> f64 {
    let d = (a - b).rem_euclid(360.0);
    d.min(360.0 - d)
}

/// Returns the angles at the start: the compression rings by the layout, the
/// rails of an oil ring 45° to either side of their expander's ends, all of it
/// turned so that the gaps keep as far off the zones and off each other as they
/// can.
///
/// Every turn by 5° is tried for the rings and for the oil ring. Rules:
/// common practice.
#[must_use]
pub(crate) fn start_layout(compression: u8, oil: Oil, layout: Layout, zones: &[Zone]) -> Vec<GapPlace> {
    let step = match layout {
        Layout::Even => 360.0 / f64::from(compression.max(1)),
        Layout::Quarter => 90.0,
    };
    let steps = || (0..72_u32).map(|i| f64::from(i) * 5.0);
    let place = |role, angle: f64| GapPlace { role, angle_deg: angle.rem_euclid(360.0), pegged: false };
    // Every turn of the oil ring, with the room that it has by itself.
    let oil_at = |turn: f64| match oil {
        Oil::None => Vec::new(),
        Oil::OnePiece => vec![place(Role::OilRing, turn)],
        Oil::ThreePiece => vec![
            place(Role::UpperRail, turn - 45.0),
            place(Role::Expander, turn),
            place(Role::LowerRail, turn + 45.0),
        ],
    };
    let oils: Vec<(f64, Vec<GapPlace>)> = steps()
        .take(if oil == Oil::None { 1 } else { 72 })
        .map(|turn| {
            let places = oil_at(turn);
            (room(&places, zones), places)
        })
        .collect();
    let mut best: Option<(f64, Vec<GapPlace>)> = None;
    for turn in steps() {
        let rings: Vec<GapPlace> =
            (0..compression).map(|i| place(Role::Compression(i + 1), turn + f64::from(i) * step)).collect();
        let of_rings = room(&rings, zones);
        for (of_oil, oil) in &oils {
            // Each only takes room from the other.
            let most = of_rings.min(*of_oil);
            if best.as_ref().is_some_and(|(before, _)| most <= *before + 1e-9) {
                continue;
            }
            let room = most.min(between(&rings, oil));
            if best.as_ref().is_none_or(|(before, _)| room > *before + 1e-9) {
                best = Some((room, rings.iter().chain(oil).cloned().collect()));
            }
        }
    }
    best.map(|(_, places)| places).unwrap_or_default()
}

/// Returns the least distance, degrees, between a gap of one list and one of
/// the other.
fn between(these: &[GapPlace], those: &[GapPlace]) -> f64 {
    let all = these.iter().flat_map(|a| those.iter().map(|b| apart(a.angle_deg, b.angle_deg) - IN_LINE_DEG));
    all.fold(f64::INFINITY, f64::min)
}

/// Returns the least distance, degrees, that any gap keeps: to the edge of a
/// zone, or to being in line with another.
fn room(places: &[GapPlace], zones: &[Zone]) -> f64 {
    let gaps = || places.iter().filter(|place| place.role != Role::Expander);
    let to_zones = gaps().flat_map(|place| {
        zones.iter().map(move |zone| apart(place.angle_deg, zone.at_deg) - zone.half_width_deg)
    });
    let to_others = places.iter().enumerate().flat_map(|(i, a)| {
        places.iter().skip(i + 1).map(move |b| apart(a.angle_deg, b.angle_deg) - IN_LINE_DEG)
    });
    to_zones.chain(to_others).fold(f64::INFINITY, f64::min)
}

/// A warning about the gaps.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// Two gaps are in line.
    InLine {
        /// The upper gap.
        upper: Role,
        /// The lower gap.
        lower: Role,
        /// Their distance, degrees.
        apart_deg: f64,
    },
    /// A gap is in a zone that it must keep off.
    On {
        /// The role of the gap.
        role: Role,
        /// Its angle, degrees.
        angle_deg: f64,
        /// The zone, in words.
        what: String,
        /// Whether a peg holds it there, so that only another ring, bore or
        /// piston can help.
        pegged: bool,
    },
}

impl Warning {
    /// Returns the warning as a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            Self::InLine { upper, lower, apart_deg } => format!(
                "The gaps of {} and {} stand in line, {apart_deg:.0}° apart: turn one of them away.",
                upper.name(),
                lower.name()
            ),
            Self::On { role, angle_deg, what, pegged: false } => {
                format!("The gap of the {} stands at {angle_deg:.0}° on {what}: turn it off.", role.name())
            }
            Self::On { role, angle_deg, what, pegged: true } => format!(
                "The gap of the {} is pegged at {angle_deg:.0}°, on {what}: the ends of the ring will catch; check piston \
                 and barrel before going on.",
                role.name()
            ),
        }
    }
}

/// Returns the warnings about gaps at these angles. The ends of an expander
/// meet and let no gas through: only the rails next to it must not be in line
/// with them.
#[must_use]
pub(crate) fn warnings(places: &[GapPlace], zones: &[Zone]) -> Vec<Warning> {
    let mut warnings = Vec::new();
    for (i, upper) in places.iter().enumerate() {
        for lower in places.iter().skip(i + 1) {
            let is_rail = |role| matches!(role, Role::UpperRail | Role::LowerRail);
            let expander = upper.role == Role::Expander || lower.role == Role::Expander;
            let apart_deg = apart(upper.angle_deg, lower.angle_deg);
            if (!expander || is_rail(upper.role) || is_rail(lower.role)) && apart_deg < IN_LINE_DEG - 1e-9 {
                warnings.push(Warning::InLine { upper: upper.role, lower: lower.role, apart_deg });
            }
        }
    }
    for place in places.iter().filter(|place| place.role != Role::Expander) {
        for zone in zones {
            // A peg keeps a ring off ports only: it is where its maker put it, whatever
            // the thrust face is.
            let minds = !place.pegged || matches!(zone.kind, ZoneKind::Port(_));
            if minds && apart(place.angle_deg, zone.at_deg) < zone.half_width_deg - 1e-9 {
                warnings.push(Warning::On {
                    role: place.role,
                    angle_deg: place.angle_deg,
                    what: zone.name(),
                    pegged: place.pegged,
                });
            }
        }
    }
    warnings
}

/// Returns an angle on the clock face, to the nearest five minutes: 65° is
/// "2:10".
///
/// ```
/// use crowndeck::advise::rings::clock;
/// assert_eq!((clock(0.0), clock(65.0), clock(359.0)), ("12:00".into(), "2:10".into(), "12:00".into()));
/// ```
#[must_use]
pub fn clock(angle_deg: f64) -> String {
    // Twelve hours are 360°, so five minutes are 2.5°.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 144 after rem_euclid, and 0 for what is not finite"
    )]
    let fives = ((angle_deg.rem_euclid(360.0) / 2.5).round() as u32) % 144;
    let (hour, minute) = (fives / 12, fives % 12 * 5);
    format!("{}:{minute:02}", if hour == 0 { 12 } else { hour })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_start_keeps_clear_of_everything() {
        let zones = Zone::usual();
        for (rings, oil, layout) in [
            (1, Oil::None, Layout::Even),
            (2, Oil::None, Layout::Even),
            (2, Oil::OnePiece, Layout::Even),
            (2, Oil::ThreePiece, Layout::Even),
            (3, Oil::None, Layout::Even),
            (3, Oil::OnePiece, Layout::Even),
            (3, Oil::OnePiece, Layout::Quarter),
        ] {
            let places = start_layout(rings, oil, layout, &zones);
            let told = warnings(&places, &zones);
            assert!(told.is_empty(), "{rings} rings, {oil:?}, {layout:?}: {places:?}: {told:?}");
        }
    }

    #[test]
    fn the_rules_of_the_layout_are_kept() {
        let places = start_layout(2, Oil::ThreePiece, Layout::Even, &Zone::usual());
        let at = |role| places.iter().find(|p| p.role == role).expect("a place").angle_deg;
        assert!((apart(at(Role::Compression(1)), at(Role::Compression(2))) - 180.0).abs() < 1e-9);
        for rail in [Role::UpperRail, Role::LowerRail] {
            assert!((apart(at(rail), at(Role::Expander)) - 45.0).abs() < 1e-9);
        }
        let three = start_layout(3, Oil::None, Layout::Even, &[]);
        assert!((apart(three[0].angle_deg, three[1].angle_deg) - 120.0).abs() < 1e-9);
    }

    #[test]
    fn gaps_in_line_and_on_zones_are_told() {
        let place = |role, angle_deg| GapPlace { role, angle_deg, pegged: false };
        let places = [
            place(Role::Compression(1), 350.0),
            place(Role::Compression(2), 10.0),
            place(Role::OilRing, 95.0),
        ];
        let told: Vec<String> = warnings(&places, &Zone::usual()).iter().map(Warning::sentence).collect();
        assert_eq!(
            told,
            [
                "The gaps of top ring and second ring stand in line, 20° apart: turn one of them away.",
                "The gap of the top ring stands at 350° on an end of the pin: turn it off.",
                "The gap of the second ring stands at 10° on an end of the pin: turn it off.",
                "The gap of the oil ring stands at 95° on a thrust face: turn it off.",
            ]
        );
    }

    #[test]
    fn a_pegged_ring_is_held_against_ports_alone() {
        let port = Zone { kind: ZoneKind::Port("exhaust port".into()), at_deg: 200.0, half_width_deg: 30.0 };
        let mut zones = Zone::usual();
        zones.push(port);
        let pegged = |angle_deg| [GapPlace { role: Role::Compression(1), angle_deg, pegged: true }];
        assert!(warnings(&pegged(0.0), &zones).is_empty());
        let told = warnings(&pegged(210.0), &zones);
        assert!(
            told.len() == 1 && told[0].sentence().contains("pegged at 210°, on the exhaust port"),
            "{told:?}"
        );
    }

    #[test]
    fn an_expander_minds_only_its_rails() {
        let place = |role, angle_deg| GapPlace { role, angle_deg, pegged: false };
        let fine = [place(Role::Compression(1), 45.0), place(Role::Expander, 45.0)];
        assert!(warnings(&fine, &[]).is_empty());
        let bad = [place(Role::UpperRail, 45.0), place(Role::Expander, 50.0)];
        assert_eq!(warnings(&bad, &[]).len(), 1);
    }
}
