//! What is more than a project may hold ([`bounds`]). Told before anything
//! else is looked at: nothing is worked out of a document beyond them.

use super::{Findings, Place, Step};
use crate::project::{Assembly, Dimensions, Project};
use crate::reading::{DeckPlace, Reading, Subject};
use crate::schema::bounds::{self, Bound, grouped};
use crate::schema::limit::LimitId;

/// A text of the project with the bound that it is held to.
struct Measured<'a> {
    findings: &'a mut Findings,
    within: Place,
}

impl Measured<'_> {
    /// A text on one line.
    fn line(&mut self, name: &'static str, text: &str) {
        self.text(name, text, bounds::LINE);
    }

    /// A text of any number of lines.
    fn notes(&mut self, name: &'static str, text: &str) {
        self.text(name, text, bounds::NOTES);
    }

    fn text(&mut self, name: &'static str, text: &str, bound: Bound) {
        // Most texts have no more bytes than they may have letters.
        if text.len() <= bound.most {
            return;
        }
        let letters = text.chars().count();
        if letters > bound.most {
            let what = format!(
                "its {} has {} letters; at most {} are read",
                name.replace('_', " "),
                grouped(letters),
                grouped(bound.most)
            );
            self.findings.fault(self.within.within(name), what, "shorten it");
        }
    }
}

impl Findings {
    /// Everything that is more than a project may hold.
    pub(super) fn size(&mut self, project: &Project) {
        self.engine_size(&project.engine, "", &[]);
        let stock = project.shims.len() + project.gaskets.len();
        self.count("stock", "shims", stock, bounds::STOCK);
        self.count("instruments", "instruments", project.instruments.len(), bounds::INSTRUMENTS);
        let read: usize = project.readings.iter().map(|reading| reading.values.len().max(1)).sum();
        self.count("readings", "readings", read, bounds::READINGS);
        self.count("rings", "rings", project.rings.len(), bounds::RINGS);
        let places = project.ring_layout.gaps.len() + project.ring_layout.ports.len();
        self.count("ring layout", "ring_layout", places, bounds::RING_PLACES);
        self.count("bench", "bench", project.bench.len(), bounds::BENCH_STEPS);
        self.count("log", "log", project.log.len(), bounds::LOG_LINES);
        self.count("kept states", "kept", project.kept.len(), bounds::KEPT_STATES);
        for (i, ring) in project.rings.iter().enumerate() {
            let place = Place::item(format!("ring {}", i + 1), &[], "rings", i);
            if let Some(what) = bounds::CYLINDERS.exceeded(ring.fitted.len()) {
                self.fault(place.within("fitted"), what, "keep one line for each cylinder");
            }
        }
        for (i, kept) in project.kept.iter().enumerate() {
            let within = format!("kept state {}, ", i + 1);
            self.engine_size(
                &kept.engine,
                &within,
                &[Step::Field("kept"), Step::Item(i), Step::Field("engine")],
            );
        }
        self.texts(project);
    }

    fn count(&mut self, place: &str, field: &'static str, count: usize, bound: Bound) {
        if let Some(what) = bound.exceeded(count) {
            self.fault(Place::field(place, &[], field), what, "split it into several projects");
        }
    }

    fn engine_size(&mut self, engine: &Assembly, within: &str, path: &[Step]) {
        let path = if path.is_empty() { &[Step::Field("engine")] } else { path };
        for (field, count, bound) in [
            ("banks", engine.banks.len(), bounds::BANKS),
            ("heads", engine.heads.len(), bounds::HEADS),
            ("cylinders", engine.cylinders.len(), bounds::CYLINDERS),
        ] {
            if let Some(what) = bound.exceeded(count) {
                let place = Place::field(format!("{within}engine"), path, field);
                self.fault(place, what, "split it into several projects");
            }
        }
    }

    fn at(&mut self, within: Place) -> Measured<'_> {
        Measured { findings: self, within }
    }

    fn texts(&mut self, project: &Project) {
        let mut own = self.at("project".into());
        own.line("title", &project.title);
        own.line("owner", &project.owner);
        own.line("serial", &project.serial);
        own.notes("notes", &project.notes);
        let duty = Place::field("duty", &[], "duty");
        self.at(duty.clone()).line("fuel", &project.duty.fuel);
        self.at(Place { words: "rod".into(), ..duty.within("rod") })
            .line("material", &project.duty.rod.material);
        self.engine_texts(&project.engine, "", &[Step::Field("engine")]);
        let limits = Place::field("limits", &[], "limits");
        for source in sources(&project.limits) {
            self.at(limits.clone()).line("source", source);
        }
        for (i, shim) in project.shims.iter().enumerate() {
            self.at(Place::item(format!("shim {}", i + 1), &[], "shims", i)).line("material", &shim.material);
        }
        for (i, gasket) in project.gaskets.iter().enumerate() {
            self.at(Place::item(format!("head gasket {}", i + 1), &[], "gaskets", i))
                .line("name", &gasket.name);
        }
        for (i, ring) in project.rings.iter().enumerate() {
            let mut own = self.at(Place::item(format!("ring {}", i + 1), &[], "rings", i));
            own.line("name", &ring.name);
            own.line("material", &ring.material);
            own.line("source", &ring.source);
            for fitted in &ring.fitted {
                own.line("cylinder", &fitted.cylinder);
                own.line("instrument", fitted.instrument.as_deref().unwrap_or_default());
            }
        }
        for port in &project.ring_layout.ports {
            self.at(Place::field("port", &[], "ring_layout")).line("name", &port.name);
        }
        for (i, instrument) in project.instruments.iter().enumerate() {
            let mut own = self.at(Place::item(format!("instrument {}", i + 1), &[], "instruments", i));
            own.line("id", &instrument.id);
            own.line("name", &instrument.name);
            own.notes("note", &instrument.note);
        }
        for (i, reading) in project.readings.iter().enumerate() {
            self.reading_texts(reading, i);
        }
        for (i, step) in project.bench.iter().enumerate() {
            let mut own = self.at(Place::item(format!("bench step {}", i + 1), &[], "bench", i));
            own.line("chapter", &step.chapter);
            own.notes("what", &step.what);
            own.line("reading", &step.reading);
            own.line("who", &step.who);
            own.line("when", &step.when);
            own.line("source", step.torque.as_ref().map_or("", |torque| &torque.source));
        }
        for (i, line) in project.log.iter().enumerate() {
            let mut own = self.at(Place::item(format!("line {} of the log", i + 1), &[], "log", i));
            own.line("date", &line.date);
            own.line("who", &line.who);
            own.notes("text", &line.text);
        }
        for (i, kept) in project.kept.iter().enumerate() {
            let mut own = self.at(Place::item(format!("kept state {}", i + 1), &[], "kept", i));
            own.line("name", &kept.name);
            own.line("date", &kept.date);
            self.engine_texts(
                &kept.engine,
                &format!("kept state {}, ", i + 1),
                &[Step::Field("kept"), Step::Item(i), Step::Field("engine")],
            );
        }
    }

    fn reading_texts(&mut self, reading: &Reading, index: usize) {
        let mut own = self.at(Place::item(format!("reading {}", index + 1), &[], "readings", index));
        own.line("cylinder", &reading.cylinder);
        own.line("instrument", reading.instrument.as_deref().unwrap_or_default());
        own.line("date", &reading.date);
        own.notes("note", &reading.note);
        if let Some(DeckPlace::Other(words)) = &reading.place {
            own.line("place", words);
        }
        if let Subject::RingGap(ring) = &reading.of {
            own.line("of", ring);
        }
        for value in &reading.values {
            own.notes("values", value.struck.as_deref().unwrap_or_default());
            own.notes("values", value.kept.as_deref().unwrap_or_default());
        }
    }

    fn engine_texts(&mut self, engine: &Assembly, within: &str, path: &[Step]) {
        let mut own = self.at(Place::field(format!("{within}materials"), path, "materials"));
        let materials = &engine.materials;
        for (name, text) in [
            ("case", &materials.case),
            ("barrel", &materials.barrel),
            ("head", &materials.head),
            ("gasket", &materials.gasket),
            ("piston", &materials.piston),
        ] {
            own.line(name, text);
        }
        for (i, bank) in engine.banks.iter().enumerate() {
            self.at(Place::item(format!("{within}bank {}", i + 1), path, "banks", i))
                .line("label", &bank.label);
        }
        for (i, head) in engine.heads.iter().enumerate() {
            self.at(Place::item(format!("{within}head {}", i + 1), path, "heads", i))
                .line("label", &head.label);
        }
        self.dimension_texts(&engine.nominal, &Place::field(format!("{within}nominal"), path, "nominal"));
        for (i, cylinder) in engine.cylinders.iter().enumerate() {
            let place = Place::item(format!("{within}cylinder {}", i + 1), path, "cylinders", i);
            self.dimension_texts(&cylinder.own, &place.within("own"));
            let mut own = self.at(place);
            own.line("label", &cylinder.label);
            own.line("head", &cylinder.head);
            own.line("bank", cylinder.bank.as_deref().unwrap_or_default());
            own.line("casting", cylinder.casting.as_deref().unwrap_or_default());
        }
    }

    fn dimension_texts(&mut self, dimensions: &Dimensions, place: &Place) {
        for (key, entry) in dimensions.iter() {
            if entry.note.len() > bounds::NOTES.most {
                let words = format!("{}, {key}", place.words);
                self.at(Place { words, ..place.within(key.id()) }).notes("note", &entry.note);
            }
        }
    }
}

/// Who said so, for every limit.
fn sources(limits: &crate::schema::limit::Limits) -> impl Iterator<Item = &str> {
    LimitId::in_file().filter_map(|id| limits.get(id).map(|limit| limit.source.as_str()))
}

#[cfg(test)]
mod tests {
    use crate::project::text::{LoadError, from_text, to_text};
    use crate::project::{Edit, TextField, demo, demos};
    use crate::schema::bounds;

    fn told(text: &str) -> String {
        from_text(text).unwrap_err().to_string()
    }

    /// Every text of every demo in turn, made longer than any may be: whatever
    /// field it stands in, the file is refused with a sentence.
    #[test]
    fn no_text_of_a_file_may_be_of_any_length() {
        let long = "x".repeat(bounds::NOTES.most + 1);
        for demo in demos() {
            let text = to_text(&demo.project().unwrap()).unwrap();
            let body = text.find('(').unwrap();
            let quotes: Vec<usize> = text[body..].match_indices('"').map(|(at, _)| body + at).collect();
            assert!(
                quotes.len().is_multiple_of(2) && !text.contains('\\'),
                "{} has plain texts only",
                demo.id
            );
            for pair in quotes.chunks(2).filter(|pair| pair[1] > pair[0] + 1) {
                let longer = format!("{}\"{long}{}", &text[..pair[0]], &text[pair[1]..]);
                let told = told(&longer);
                let first = told.lines().next().unwrap();
                assert!(first.contains("at most"), "{}: {first}", &text[pair[0]..pair[1]]);
                assert!(told.len() < 2000, "{told}");
            }
        }
    }

    #[test]
    fn what_is_more_than_a_project_holds_is_told_before_anything_else() {
        let text = to_text(&demo()).unwrap();
        let cylinder = "(label: \"1\", head: \"nowhere\"),";
        let head = "(label: \"L\"),";
        let many = text
            .replace("cylinders: [", &format!("cylinders: [{}", cylinder.repeat(30_000)))
            .replace("heads: [", &format!("heads: [{}", head.repeat(30_000)));
        let start = std::time::Instant::now();
        let error = told(&many);
        assert!(start.elapsed().as_millis() < 2000, "{:?}", start.elapsed());
        let lines: Vec<&str> = error.lines().collect();
        assert_eq!(lines.len(), 2, "{error}");
        assert!(lines[0].ends_with("engine: has 30,002 heads; at most 64 are read"), "{error}");
        assert!(lines[1].ends_with("engine: has 30,002 cylinders; at most 64 are read"), "{error}");
        assert!(lines.iter().all(|line| line.starts_with("line ")), "{error}");
    }

    #[test]
    fn an_edit_can_t_go_beyond_them_either() {
        let title = Edit::SetText { field: TextField::Title, to: "x".repeat(201) };
        let error = title.apply(&demo()).unwrap_err().to_string();
        assert_eq!(error, "project: its title has 201 letters; at most 200 are read");
        let notes = Edit::SetText { field: TextField::Notes, to: "é".repeat(20_000) };
        assert!(notes.apply(&demo()).is_ok());
    }

    #[test]
    fn a_file_with_ten_thousand_faults_names_the_first_and_counts_the_others() {
        let text = to_text(&demo()).unwrap();
        let reading = "(cylinder: \"9\", of: deck, values: [\"1 mm\"]),";
        let many = text.replace("readings: [", &format!("readings: [{}", reading.repeat(10_000)));
        let LoadError::Content(findings) = from_text(&many).unwrap_err() else { panic!("no content") };
        assert_eq!(findings.len(), bounds::MAX_FINDINGS + 1);
        assert_eq!(findings[100].to_string(), "project: has 9,900 more findings");
        assert!(findings[0].line.is_some());
    }
}
