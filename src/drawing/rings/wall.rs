//! The wall of the bore in plan: lined, opened at the ports, with thick arcs
//! where no gap may be.

use super::plan::{PlanZone, ZoneKind};
use super::polar::Polar;
use crate::drawing::clip::rings_of;
use crate::drawing::dim::Drafter;
use crate::drawing::hatch;
use crate::drawing::list::{Dash, DisplayList, Ink, Part, Shape};
use kurbo::{BezPath, Circle, Shape as _};

/// The thickness of the wall as a part of the bore's radius; never measured.
pub(super) const THICKNESS: f64 = 0.09;
/// The thick arcs as parts of the bore's radius: inside the wall, and outside
/// it where there is a port instead of a wall.
const IN_WALL: (f64, f64) = (1.018, 1.072);
const BEYOND_PORT: (f64, f64) = (1.105, 1.14);

/// The wall as it is drawn.
pub(super) struct Wall<'a> {
    pub polar: Polar,
    /// The radius of the bore on the output.
    pub radius: f64,
    pub bore_measured: bool,
    pub zones: &'a [PlanZone],
}

impl Wall<'_> {
    pub(super) fn draw(&self, drafter: Drafter<'_>, list: &mut DisplayList) {
        let pens = drafter.pens;
        let (inner, outer) = (self.radius, self.radius * (1.0 + THICKNESS));
        let stretches = self.stretches();
        let area = if stretches.is_empty() {
            let mut area = Circle::new(self.polar.centre, outer).to_path(pens.tolerance);
            area.extend(
                Circle::new(self.polar.centre, inner).to_path(pens.tolerance).elements().iter().copied(),
            );
            area
        } else {
            stretches.iter().flat_map(|&(from, to)| self.polar.sector((inner, outer), from, to)).collect()
        };
        let lines =
            hatch::hatch(&rings_of(&area, pens.tolerance), pens.lining(Part::Barrel), self.polar.centre);
        list.shapes.push(Shape::Fill { path: area.clone(), ink: Ink::Part(Part::Barrel) });
        drafter.stroke(list, hatch::path_of(&lines), Ink::Hatch, pens.narrow, Dash::Solid);
        drafter.stroke(list, area, Ink::Assumed, pens.narrow, Dash::Solid);
        let (ink, width) =
            if self.bore_measured { (Ink::Edge, pens.wide) } else { (Ink::Assumed, pens.narrow) };
        let bore: BezPath = if stretches.is_empty() {
            Circle::new(self.polar.centre, inner).to_path(pens.tolerance)
        } else {
            stretches.iter().flat_map(|&(from, to)| self.polar.arc(inner, from, to)).collect()
        };
        drafter.stroke(list, bore, ink, width, Dash::Solid);
        for zone in self.zones {
            self.keep_clear(zone, drafter, list);
        }
    }

    /// Draws a thick arc; hollow where no gap has to keep off it.
    fn keep_clear(&self, zone: &PlanZone, drafter: Drafter<'_>, list: &mut DisplayList) {
        let (inner, outer) = if zone.kind == ZoneKind::Port { BEYOND_PORT } else { IN_WALL };
        let radii = (inner * self.radius, outer * self.radius);
        let path =
            self.polar.sector(radii, zone.at_deg - zone.half_width_deg, zone.at_deg + zone.half_width_deg);
        if zone.minded {
            list.shapes.push(Shape::Fill { path, ink: Ink::Second });
        } else {
            list.shapes.push(Shape::Fill { path: path.clone(), ink: Ink::Sheet });
            drafter.stroke(list, path, Ink::Assumed, drafter.pens.narrow, Dash::Solid);
        }
    }

    /// Returns the stretches of wall: from and to, degrees, clockwise; empty
    /// for a bore without ports. Ports that overlap are one opening.
    fn stretches(&self) -> Vec<(f64, f64)> {
        let mut ports: Vec<(f64, f64)> = self
            .zones
            .iter()
            .filter(|zone| zone.kind == ZoneKind::Port)
            .map(|zone| {
                let from = (zone.at_deg - zone.half_width_deg).rem_euclid(360.0);
                (from, from + 2.0 * zone.half_width_deg)
            })
            .collect();
        ports.sort_by(|a, b| a.0.total_cmp(&b.0));
        let Some(&(first, _)) = ports.first() else { return Vec::new() };
        let mut stretches = Vec::new();
        // A port that runs over the top again covers what begins there.
        let wrapped = ports.iter().map(|port| port.1 - 360.0).fold(f64::NEG_INFINITY, f64::max);
        let mut end = f64::NEG_INFINITY;
        for (from, to) in ports {
            if end > f64::NEG_INFINITY && from > end {
                stretches.push((end, from));
            }
            end = end.max(to);
        }
        let last = (end, (first + 360.0).max(wrapped + 360.0));
        if last.1 > last.0 {
            stretches.push(last);
        }
        stretches
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Point;

    fn stretches(ports: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let zones: Vec<PlanZone> = ports
            .iter()
            .map(|&(at_deg, width)| PlanZone {
                name: String::new(),
                kind: ZoneKind::Port,
                at_deg,
                half_width_deg: width / 2.0,
                minded: true,
            })
            .collect();
        let polar = Polar { centre: Point::ZERO, tolerance: 0.1 };
        Wall { polar, radius: 50.0, bore_measured: true, zones: &zones }.stretches()
    }

    #[test]
    fn the_wall_is_what_the_ports_leave() {
        assert!(stretches(&[]).is_empty());
        assert_eq!(stretches(&[(90.0, 60.0)]), [(120.0, 420.0)]);
        assert_eq!(stretches(&[(90.0, 60.0), (270.0, 40.0)]), [(120.0, 250.0), (290.0, 420.0)]);
        // Two that overlap, and one across the top.
        assert_eq!(stretches(&[(90.0, 40.0), (105.0, 40.0)]), [(125.0, 430.0)]);
        assert_eq!(stretches(&[(0.0, 40.0), (180.0, 20.0)]), [(190.0, 340.0), (380.0, 530.0)]);
    }
}
