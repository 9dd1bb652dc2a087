//! Volumes written on their tints in the main view: the chamber, and away from
//! the top the space above the piston.

use super::annotate::{Annotator, Spot};
use super::dim::{reading_deg, writing};
use super::label::{self, Pose};
use super::list::{Anchor, Ink, Term};
use super::pens::Letters;
use crate::engine::Key;
use crate::quantity::{Kind, write};
use kurbo::{Point, Shape as _, Vec2};

impl Annotator<'_> {
    /// Writes the volumes that have room on the drawing.
    pub(super) fn volumes(&mut self) {
        self.chamber_volume();
        self.space();
    }

    /// Writes, away from the top, the volume above the piston and the ratio
    /// that it makes so far, between crown and top face where there is room.
    fn space(&mut self) {
        let scene = self.scene;
        let (d, letters) = (&scene.parts.datums, scene.pens.caption);
        let engine = &scene.input.parts.engine;
        let Some(swept) = scene.tints.iter().find(|tint| tint.term == Term::Swept) else { return };
        let area = swept.area.bounding_box();
        let now = engine.space_at(engine.figures().crank.motion(scene.input.angle_deg).position_mm);
        let volume = write(Kind::Volume, now.volume_cc, None, &scene.input.units).to_string();
        let ratio = format!("{:.2}:1 so far", now.ratio);
        let crown = scene.input.parts.crown.top();
        let view = self.view;
        let within = |corner: Point| {
            let p = view.model_from_out(corner);
            area.contains(p) && p.y > d.rim_y + crown.y(p.x)
        };
        let along_bore = reading_deg(view.right());
        let mut first: Option<(Pose, f64)> = None;
        for (text, bold) in [(volume, true), (ratio, false)] {
            let letters = Letters { bold, ..letters };
            let drop = |up: Vec2| up * (-letters.capitals() / 2.0);
            // The second one under the first, or somewhere else.
            let under = first.map(|(pose, size)| {
                let (_, up) = writing(pose.turn_deg);
                Pose { at: pose.at - up * (1.25 * size), ..pose }
            });
            let poses = [0.0, along_bore].into_iter().flat_map(|turn_deg| {
                let (_, up) = writing(turn_deg);
                [0.6, 0.45, 0.75, 0.3].into_iter().flat_map(move |part| {
                    [0.0, -0.2, 0.2, -0.3, 0.3].map(move |x| {
                        let at = Point::new(x * area.width(), area.y0 + part * area.height());
                        Pose { at: view.out_from_model(at) + drop(up), anchor: Anchor::Middle, turn_deg }
                    })
                })
            });
            let inside =
                |pose: &Pose| label::outline(&text, letters, *pose).corners().iter().all(|&c| within(c));
            let poses: Vec<Pose> = under.into_iter().chain(poses).filter(inside).collect();
            let Some(pose) = self.labels.place_off_lines(&text, letters, Ink::Edge, poses) else { return };
            self.patch(&label::outline(&text, letters, pose), Ink::Term(Term::Swept));
            first = Some((pose, letters.size));
        }
    }

    /// Writes the chamber's volume on its tint, if it has room there.
    fn chamber_volume(&mut self) {
        let scene = self.scene;
        let (d, letters) = (&scene.parts.datums, scene.pens.caption);
        let chamber = &scene.input.parts.chamber;
        let text = write(Kind::Volume, chamber.volume_cc(), None, &scene.input.units).to_string();
        let crown = scene.input.parts.crown.top();
        // The widest free height is looked for between roof and crown.
        let place = |x: f64| {
            let floor = (d.rim_y + crown.y(x)).max(d.joint_y);
            (d.joint_y + chamber.roof_y(x) + floor) / 2.0
        };
        let opening = chamber.opening_mm();
        let marked = scene.input.marked.has(Key::ChamberVolume);
        let ink = if marked { Ink::Accent } else { Ink::Edge };
        let within = |corner: Point| {
            let p = self.view.model_from_out(corner);
            p.x.abs() < opening / 2.0
                && p.y < d.joint_y + chamber.roof_y(p.x)
                && p.y > (d.rim_y + crown.y(p.x)).max(d.joint_y)
        };
        // Upright, or else along the width of the chamber.
        let poses = [0.0, reading_deg(self.view.right())].into_iter().flat_map(|turn_deg| {
            let (_, up) = writing(turn_deg);
            [0.0, 0.1, -0.1, 0.2, -0.2].map(|part| {
                let x = part * opening;
                let at = self.view.out_from_model(Point::new(x, place(x))) - up * (letters.capitals() / 2.0);
                Pose { at, anchor: Anchor::Middle, turn_deg }
            })
        });
        let inside = |pose: &Pose| label::outline(&text, letters, *pose).corners().iter().all(|&c| within(c));
        let poses: Vec<Pose> = poses.filter(inside).collect();
        if let Some(pose) = self.labels.place_off_lines(&text, letters, ink, poses) {
            let outline = label::outline(&text, letters, pose);
            self.patch(&outline, Ink::Term(Term::Chamber));
            self.spots.push(Spot { key: Key::ChamberVolume, area: outline.bounds() });
        }
    }
}
