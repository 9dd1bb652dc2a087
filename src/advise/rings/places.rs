//! Angles of the gaps of one piston: by the rule, held by a peg, or turned by
//! hand.

use super::gap::WhichRing;
use super::question::RingQuestion;
use super::stagger::{GapPlace, IN_LINE_DEG, Layout, Oil, Role, Zone, ZoneKind, apart, start_layout};
use crate::schema::RingLayout;

impl RingQuestion {
    /// Returns the gaps of one piston from the top, each with the index of its
    /// ring, from 0. A second oil ring has none here: its maker's sheet gives
    /// its angle.
    #[must_use]
    pub fn roles(&self) -> Vec<(usize, Role)> {
        let mut roles = Vec::new();
        let mut compression = 0_u8;
        let mut oil = self.oil;
        for (index, which) in self.which.iter().enumerate() {
            match (which, oil) {
                (WhichRing::Oil, Oil::ThreePiece) => {
                    roles
                        .extend([Role::UpperRail, Role::Expander, Role::LowerRail].map(|role| (index, role)));
                }
                (WhichRing::Oil, Oil::OnePiece) => roles.push((index, Role::OilRing)),
                (WhichRing::Oil, Oil::None) => {}
                _ => {
                    compression = compression.saturating_add(1);
                    roles.push((index, Role::Compression(compression)));
                }
            }
            if *which == WhichRing::Oil {
                oil = Oil::None;
            }
        }
        roles
    }

    /// Returns the zones that the gaps keep off: thrust faces, pin ends, and
    /// the ports.
    #[must_use]
    pub fn zones(&self, layout: &RingLayout) -> Vec<Zone> {
        let ports = layout.ports.iter().map(|port| Zone {
            kind: ZoneKind::Port(port.name.clone()),
            at_deg: port.at.base().rem_euclid(360.0),
            half_width_deg: port.width.base() / 2.0,
        });
        Zone::usual().into_iter().chain(ports).collect()
    }

    /// Returns the angles of the gaps. A ring whose peg's angle is not known
    /// has none; a gap that was turned by hand is where it was turned to.
    #[must_use]
    pub fn places(&self, layout: &RingLayout, zones: &[Zone]) -> Vec<GapPlace> {
        let mut places = if self.pegged.iter().any(|pegged| *pegged) {
            self.beside_pegs(layout, zones)
        } else {
            self.by_rule(zones)
        };
        for place in places.iter_mut().filter(|place| !place.pegged) {
            if let Some(angle_deg) = by_hand(layout, place.role) {
                place.angle_deg = angle_deg;
            }
        }
        places
    }

    fn by_rule(&self, zones: &[Zone]) -> Vec<GapPlace> {
        let compression = self.which.iter().filter(|which| **which != WhichRing::Oil).count();
        let Ok(compression) = u8::try_from(compression) else { return Vec::new() };
        if compression == 0 && self.oil == Oil::None {
            return Vec::new();
        }
        let layout = if compression == 4 { Layout::Quarter } else { Layout::Even };
        start_layout(compression, self.oil, layout, zones)
    }

    /// Places pegs first; then each free gap where it keeps the most room.
    fn beside_pegs(&self, layout: &RingLayout, zones: &[Zone]) -> Vec<GapPlace> {
        let roles = self.roles();
        let mut places: Vec<GapPlace> = roles
            .iter()
            .filter_map(|&(index, role)| {
                let angle_deg = (*self.pegs.get(index)?)?.rem_euclid(360.0);
                Some(GapPlace { role, angle_deg, pegged: true })
            })
            .collect();
        for &(index, role) in &roles {
            if self.pegged.get(index).is_none_or(|pegged| *pegged) {
                continue;
            }
            let angles = (0..72_u32).map(|i| f64::from(i) * 5.0);
            let shut_in = |angle: &f64| -room_at(*angle, &places, zones);
            let roomiest = || angles.min_by(|a, b| shut_in(a).total_cmp(&shut_in(b)));
            let best = by_hand(layout, role).or_else(roomiest);
            places.extend(best.map(|angle_deg| GapPlace { role, angle_deg, pegged: false }));
        }
        let order = |place: &GapPlace| roles.iter().position(|(_, role)| *role == place.role);
        places.sort_by_key(order);
        places
    }
}

/// Returns the distance of a gap at an angle from the zones and from being in
/// line with others, degrees.
fn room_at(angle_deg: f64, others: &[GapPlace], zones: &[Zone]) -> f64 {
    let to_zones = zones.iter().map(|zone| apart(angle_deg, zone.at_deg) - zone.half_width_deg);
    let to_others = others.iter().map(|other| apart(angle_deg, other.angle_deg) - IN_LINE_DEG);
    to_zones.chain(to_others).fold(f64::INFINITY, f64::min)
}

fn by_hand(layout: &RingLayout, role: Role) -> Option<f64> {
    let gap = layout.gaps.iter().find(|gap| gap.gap == role)?;
    Some(gap.at.base().rem_euclid(360.0))
}

#[cfg(test)]
mod tests {
    use super::super::question::tests::{asked, ring};
    use super::super::stagger::warnings;
    use super::*;
    use crate::schema::WantedGap;

    fn layout(text: &str) -> RingLayout {
        ron::from_str(text).expect("a layout")
    }

    #[test]
    fn what_is_turned_by_hand_moves_alone() {
        let set = asked(&[
            ring("top", "iron", WantedGap::PerBore(0.004)),
            ring("second", "iron", WantedGap::PerBore(0.004)),
            ring("oil rail", "steel rails", WantedGap::PerBore(0.004)),
        ]);
        let rule = set.places(&RingLayout::default(), &Zone::usual());
        assert_eq!(rule.len(), 5);
        let turned = layout("(gaps: [(gap: compression(2), at: \"-20 deg\")])");
        let places = set.places(&turned, &Zone::usual());
        for (before, after) in rule.iter().zip(&places) {
            let expected = if after.role == Role::Compression(2) { 340.0 } else { before.angle_deg };
            assert_eq!(after.angle_deg, expected, "{:?}", after.role);
        }
        assert_eq!(set.roles().iter().map(|(i, _)| *i).collect::<Vec<_>>(), [0, 1, 2, 2, 2]);
    }

    #[test]
    fn a_peg_holds_its_ring_and_ports_are_minded() {
        let mut top = ring("top", "chromed steel, pegged", WantedGap::PerBore(0.005));
        let ports = layout("(ports: [(name: \"exhaust port\", at: \"90 deg\", width: \"60 deg\")])");
        let unknown = asked(&[top.clone()]);
        assert!(unknown.places(&ports, &unknown.zones(&ports)).is_empty());
        for (peg, told) in [("236 deg", 0), ("115 deg", 1), ("120 deg", 0)] {
            top.peg = crate::quantity::Quantity::parse(crate::quantity::Kind::Angle, peg).ok();
            let set = asked(&[top.clone()]);
            let zones = set.zones(&ports);
            let places = set.places(&layout("(gaps: [(gap: compression(1), at: \"10 deg\")])"), &zones);
            assert!(places.len() == 1 && places[0].pegged && places[0].angle_deg != 10.0, "{places:?}");
            assert_eq!(warnings(&places, &zones).len(), told, "{peg}");
        }
    }

    #[test]
    fn a_free_ring_beside_a_peg_keeps_off_it() {
        let mut top = ring("top", "iron, pegged", WantedGap::PerBore(0.005));
        top.peg = crate::quantity::Quantity::parse(crate::quantity::Kind::Angle, "0 deg").ok();
        let set = asked(&[top, ring("second", "iron", WantedGap::PerBore(0.005))]);
        let zones = Zone::usual();
        let places = set.places(&RingLayout::default(), &zones);
        assert_eq!(places.len(), 2);
        assert!(warnings(&places, &zones).is_empty(), "{places:?}");
        assert_eq!(places[1].angle_deg, 135.0);
    }
}
