//! Edits of the rings, each with its name for undo.

use super::{Edit, Project};
use crate::advise::rings::{Stage, clock};
use crate::quantity::{Kind, Quantity};
use crate::schema::{FittedRing, GapAt, Ring, Role, WantedGap};

impl Project {
    /// Returns an edit of one ring of the set; `None` where there is no such
    /// ring.
    pub fn ring_edit(&self, ring: usize, what: String, change: impl FnOnce(&mut Ring)) -> Option<Edit> {
        let mut rings = self.rings.clone();
        change(rings.get_mut(ring)?);
        Some(Edit::SetRings { what, rings })
    }

    /// Returns the edit that sets the end gap of one ring in one cylinder at a
    /// stage, or clears it.
    ///
    /// ```
    /// use crowndeck::quantity::{Kind, Quantity};
    /// use crowndeck::advise::rings::Stage;
    /// let project = crowndeck::project::demo();
    /// let gap = Quantity::parse(Kind::Length, "0.34 mm").unwrap();
    /// let edit = project.gap_edit(0, "1", Stage::Filed, Some(gap)).unwrap();
    /// assert!(edit.label(&project).ends_with("cylinder 1, filed: 0.34 mm"));
    /// ```
    #[must_use]
    pub fn gap_edit(
        &self,
        ring: usize,
        cylinder: &str,
        stage: Stage,
        value: Option<Quantity>,
    ) -> Option<Edit> {
        let title = self.rings.get(ring)?.title();
        let stage_name = match stage {
            Stage::Delivered => "as delivered",
            Stage::Filed => "filed",
            Stage::Final => "final",
        };
        let told = value.as_ref().map_or_else(|| "taken back".to_owned(), ToString::to_string);
        let what = format!("{title}, cylinder {cylinder}, {stage_name}: {told}");
        self.ring_edit(ring, what, |ring| {
            let instrument = ring.fitted.iter().find_map(|fitted| fitted.instrument.clone());
            let fitted = fitted_mut(ring, cylinder, instrument);
            match stage {
                Stage::Delivered => fitted.delivered = value,
                Stage::Filed => fitted.filed = value,
                Stage::Final => fitted.fitted = value,
            }
        })
    }

    /// Returns the edit that sets the width of the bore where the gaps of one
    /// ring were read.
    #[must_use]
    pub fn read_where_edit(&self, ring: usize, cylinder: &str, bore: Option<Quantity>) -> Option<Edit> {
        let title = self.rings.get(ring)?.title();
        let what = match &bore {
            Some(bore) => format!("{title}, cylinder {cylinder}, read where the bore is {bore}"),
            None => format!("{title}, cylinder {cylinder}, read where the bore counts"),
        };
        self.ring_edit(ring, what, |ring| fitted_mut(ring, cylinder, None).read_where = bore)
    }

    /// Returns the edit that sets the depth below the top of the bore at which
    /// the gaps of one ring were read.
    #[must_use]
    pub fn read_depth_edit(&self, ring: usize, cylinder: &str, depth: Option<Quantity>) -> Option<Edit> {
        let title = self.rings.get(ring)?.title();
        let what = match &depth {
            Some(depth) => format!("{title}, cylinder {cylinder}, read {depth} down"),
            None => format!("{title}, cylinder {cylinder}, depth of reading taken back"),
        };
        self.ring_edit(ring, what, |ring| fitted_mut(ring, cylinder, None).depth = depth)
    }

    /// Returns the edit that sets the instrument with which the gaps of a ring
    /// were read.
    #[must_use]
    pub fn gap_instrument_edit(&self, ring: usize, id: Option<String>) -> Option<Edit> {
        let what = format!("Instrument of the gaps, {}", self.rings.get(ring)?.title().to_lowercase());
        self.ring_edit(ring, what, |ring| {
            for fitted in &mut ring.fitted {
                fitted.instrument.clone_from(&id);
            }
        })
    }

    /// Returns the edit that sets the wanted gap, with its source.
    #[must_use]
    pub fn wanted_gap_edit(&self, ring: usize, wanted: WantedGap, source: &str) -> Option<Edit> {
        let told = match &wanted {
            WantedGap::PerBore(factor) => format!("bore × {factor:.4}"),
            WantedGap::AtLeast(gap) => format!("at least {gap}"),
            WantedGap::Figure(gap) => format!("{gap}, the maker's figure"),
        };
        let what = format!("{}, wanted gap: {told}", self.rings.get(ring)?.title());
        self.ring_edit(ring, what, |ring| {
            ring.wanted = wanted;
            source.clone_into(&mut ring.source);
        })
    }

    /// Returns the edit that turns a gap to an angle, degrees clockwise from
    /// the front end of the pin; `None` puts it back where the rule has it.
    #[must_use]
    pub fn turn_gap_edit(&self, gap: Role, to_deg: Option<f64>) -> Option<Edit> {
        let mut layout = self.ring_layout.clone();
        layout.gaps.retain(|known| known.gap != gap);
        let what = match to_deg {
            Some(deg) => {
                let deg = deg.rem_euclid(360.0);
                layout
                    .gaps
                    .push(GapAt { gap, at: Quantity::parse(Kind::Angle, &format!("{deg:.0} deg")).ok()? });
                format!("Gap of the {} to {deg:.0}°, {}", gap.name(), clock(deg))
            }
            None => format!("Gap of the {} by the rule", gap.name()),
        };
        Some(Edit::SetRingLayout { what, layout: Box::new(layout) })
    }
}

fn fitted_mut<'a>(ring: &'a mut Ring, cylinder: &str, instrument: Option<String>) -> &'a mut FittedRing {
    let index = ring.fitted.iter().position(|fitted| fitted.cylinder == cylinder).unwrap_or_else(|| {
        ring.fitted.push(FittedRing { cylinder: cylinder.to_owned(), instrument, ..FittedRing::default() });
        ring.fitted.len() - 1
    });
    &mut ring.fitted[index]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::demo;

    fn mm(text: &str) -> Quantity {
        Quantity::parse(Kind::Length, text).unwrap()
    }

    #[test]
    fn a_gap_is_written_where_it_belongs_and_taken_back() {
        let project = demo();
        let edit = project.gap_edit(0, "1", Stage::Filed, Some(mm("14 thou"))).unwrap();
        let after = edit.apply(&project).unwrap();
        let fitted = after.rings[0].fitted.iter().find(|fitted| fitted.cylinder == "1").unwrap();
        assert_eq!(fitted.filed.as_ref().unwrap().text(), "14 thou");
        let back = after.gap_edit(0, "1", Stage::Filed, None).unwrap().apply(&after).unwrap();
        assert_eq!(back.ring_study().gap(0, "1"), project.ring_study().gap(0, "1"));
        assert!(project.gap_edit(99, "1", Stage::Filed, None).is_none());
    }

    #[test]
    fn a_maker_s_figure_replaces_the_factor_and_names_its_source() {
        let project = demo();
        let edit = project.wanted_gap_edit(0, WantedGap::Figure(mm("0.40 mm")), "maker's sheet").unwrap();
        assert!(edit.label(&project).ends_with("wanted gap: 0.40 mm, the maker's figure"));
        let after = edit.apply(&project).unwrap();
        assert_eq!(after.rings[0].source, "maker's sheet");
        assert_eq!(after.ring_study().gap(0, "1").unwrap().wanted_mm, 0.4);
    }

    #[test]
    fn a_gap_is_turned_and_goes_back_to_the_rule() {
        let project = demo();
        let role = Role::Compression(1);
        let edit = project.turn_gap_edit(role, Some(-50.0)).unwrap();
        assert_eq!(edit.label(&project), "Gap of the top ring to 310°, 10:20");
        let after = edit.apply(&project).unwrap();
        let angle = |project: &Project| {
            project.ring_study().places.into_iter().find(|place| place.role == role).unwrap().angle_deg
        };
        assert_eq!(angle(&after), 310.0);
        let back = after.turn_gap_edit(role, None).unwrap().apply(&after).unwrap();
        assert_eq!(angle(&back), angle(&project));
    }
}
