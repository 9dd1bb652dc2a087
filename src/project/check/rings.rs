//! Checks of the rings of a project.

use super::{Findings, Place, known};
use crate::project::Project;
use crate::quantity::Kind;
use crate::schema::{FittedRing, Ring, WantedGap};

/// Absolute zero, °C.
const ABSOLUTE_ZERO_C: f64 = -273.15;

impl Findings {
    pub(super) fn rings(&mut self, project: &Project) {
        let names: Vec<_> = project.rings.iter().map(|ring| ring.name.as_str()).collect();
        self.labels("ring", &names, &[], "rings");
        for (number, ring) in project.rings.iter().enumerate() {
            let own = Place::item(format!("ring {}", ring.name), &[], "rings", number);
            self.ring(&own, ring);
            for (i, fitted) in ring.fitted.iter().enumerate() {
                let words = format!("ring {}, cylinder {}", ring.name, fitted.cylinder);
                let place = Place::item(words, &own.path, "fitted", i);
                if ring.fitted.iter().take(i).any(|before| before.cylinder == fitted.cylinder) {
                    self.fault(place.clone(), "is listed twice".into(), "keep one line for each cylinder");
                }
                self.fitted(project, &place, fitted);
            }
        }
        self.ring_layout(project);
    }

    fn ring(&mut self, place: &Place, ring: &Ring) {
        match &ring.wanted {
            WantedGap::PerBore(factor) => self.number(place, "its gap per bore", Some(*factor), 0.0),
            WantedGap::AtLeast(gap) | WantedGap::Figure(gap) => {
                self.thickness(place, "its wanted gap", gap, false);
            }
        }
        let of_set = [
            ("its supplied gap", &ring.supplied_gap, true),
            ("its side clearance", &ring.side_clearance, true),
            ("its back clearance", &ring.back_clearance, true),
            ("its height", &ring.height, false),
            ("its thickness", &ring.thickness, false),
        ];
        for (name, length, or_zero) in of_set {
            if let Some(length) = length {
                self.thickness(place, name, length, or_zero);
            }
        }
        if let Some(peg) = &ring.peg {
            self.kind(place, "its peg", peg, Kind::Angle);
        }
    }

    fn fitted(&mut self, project: &Project, place: &Place, fitted: &FittedRing) {
        self.cylinder_exists(project, place, &fitted.cylinder);
        for gap in [&fitted.delivered, &fitted.filed, &fitted.fitted].into_iter().flatten() {
            self.thickness(place, "its gap", gap, true);
        }
        if let Some(bore) = &fitted.read_where {
            self.thickness(place, "the bore where it was read", bore, false);
        }
        if let Some(depth) = &fitted.depth {
            self.thickness(place, "how far down it was read", depth, true);
        }
        let Some(id) = &fitted.instrument else { return };
        match project.instrument(id) {
            None => {
                let ids: Vec<_> = project.instruments.iter().map(|i| i.id.as_str()).collect();
                let what = format!("names instrument ‘{id}’, which does not exist");
                self.fault(place, what, known("instrument", &ids));
            }
            Some(instrument) if instrument.step.kind() != Kind::Length => self.fault(
                place,
                format!("a gap can't be read with ‘{id}’"),
                "name the instrument that was used",
            ),
            Some(_) => {}
        }
    }

    fn ring_layout(&mut self, project: &Project) {
        let layout = &project.ring_layout;
        for (i, gap) in layout.gaps.iter().enumerate() {
            let place =
                Place::field(format!("gap of the {}", gap.gap.name()), &[], "ring_layout").within("gaps");
            self.kind(&place, "its place", &gap.at, Kind::Angle);
            if layout.gaps.iter().take(i).any(|before| before.gap == gap.gap) {
                self.fault(place, "is listed twice".into(), "keep one line for each gap");
            }
        }
        for port in &layout.ports {
            let place = Place::field(format!("port {}", port.name), &[], "ring_layout").within("ports");
            self.kind(&place, "its place", &port.at, Kind::Angle);
            self.kind(&place, "its width", &port.width, Kind::Angle);
            if !(port.width.base() > 0.0 && port.width.base() < 360.0) {
                self.fault(
                    place,
                    format!("its width is ‘{}’", port.width),
                    "give an angle above 0 and below 360 degrees",
                );
            }
        }
        if let Some(heat) = layout.heat {
            let given = [
                ("temperature of the rings", heat.ring),
                ("temperature of the bore", heat.bore),
                ("temperature of the measurement", heat.measured_at),
            ];
            for (name, celsius) in given {
                self.number("heat", name, Some(celsius), ABSOLUTE_ZERO_C);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::project::demo;
    use crate::schema::RingLayout;

    #[test]
    fn what_a_layout_can_t_be_is_told() {
        let mut project = demo();
        project.ring_layout = ron::from_str::<RingLayout>(
            "(gaps: [(gap: oil_ring, at: \"3 mm\"), (gap: oil_ring, at: \"10 deg\")],
              ports: [(name: \"inlet\", at: \"10 deg\", width: \"400 deg\")],
              heat: Some((ring: -300.0, bore: 100.0)))",
        )
        .unwrap();
        project.rings[0].fitted[0].instrument = Some("eye".into());
        let told: Vec<String> = project.check().iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "ring top, cylinder 1: names instrument ‘eye’, which does not exist",
                "gap of the oil ring: its place is ‘3 mm’, and an angle belongs there",
                "gap of the oil ring: is listed twice",
                "port inlet: its width is ‘400 deg’",
                "heat: temperature of the rings is -300",
            ]
        );
    }
}
