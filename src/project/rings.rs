//! Makes the study of the rings from a project.

use super::Project;
use crate::advise::rings::{RingStudy, ask};
use crate::reading::evaluate;
use crate::schema::RingLayout;
use crate::study::Question;
use crate::study::build::Ignition;
use crate::study::cautions::{self, Decision};

impl Project {
    /// Returns the study of the rings.
    ///
    /// ```
    /// let study = crowndeck::project::demo().ring_study();
    /// assert!(study.faults.is_empty() && study.left_to_do().rings > 0);
    /// ```
    #[must_use]
    pub fn ring_study(&self) -> RingStudy {
        self.ring_study_with(&self.ring_layout)
    }

    /// Returns the study with another layout than that of the document: other
    /// temperatures, say.
    #[must_use]
    pub fn ring_study_with(&self, layout: &RingLayout) -> RingStudy {
        self.ring_study_of(&self.question(), layout)
    }

    /// Returns the study for an existing question of this document.
    #[must_use]
    pub fn ring_study_of(&self, question: &Question, layout: &RingLayout) -> RingStudy {
        let cylinders: Vec<_> = question.cylinders.iter().map(|c| (c.label.clone(), c.dims)).collect();
        // An uncertainty that overflows can't be reported.
        let read = evaluate(&self.readings, &self.instruments).unwrap_or_default();
        let barrel = &self.engine.materials.barrel;
        let asked = ask(&self.rings, &cylinders, barrel, &read, &self.instruments);
        let diesel = question.build.ignition != Ignition::Spark;
        RingStudy::new(asked, layout, diesel, cautions::cautions_for(Decision::Rings, &question.build, None))
    }
}
