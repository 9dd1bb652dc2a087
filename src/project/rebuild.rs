//! Engines with more or fewer cylinders, under other heads, in other
//! orientations. Each function returns a new engine; an edit puts it in place.

use super::{Assembly, Bank, Cylinder, Dimensions, Head, Orientation};

/// Returns the first of these names that is free.
fn free(taken: &[&str], names: impl Iterator<Item = String>) -> String {
    let mut names = names;
    names.find(|name| !taken.contains(&name.as_str())).unwrap_or_default()
}

fn counted() -> impl Iterator<Item = String> {
    (1_u32..).map(|number| number.to_string())
}

fn lettered() -> impl Iterator<Item = String> {
    ('A'..='Z').map(String::from).chain(counted())
}

impl Assembly {
    /// Returns the engine with one more cylinder, under the head and in the
    /// bank of the last one.
    #[must_use]
    pub fn with_cylinder(&self) -> Self {
        let mut engine = self.clone();
        let taken: Vec<&str> = self.cylinders.iter().map(|c| c.label.as_str()).collect();
        let last = self.cylinders.last();
        if engine.heads.is_empty() {
            engine = engine.with_head();
        }
        let head = last.map(|c| c.head.clone()).or_else(|| engine.heads.first().map(|h| h.label.clone()));
        engine.cylinders.push(Cylinder {
            label: free(&taken, counted()),
            head: head.unwrap_or_default(),
            bank: last.and_then(|c| c.bank.clone()),
            casting: None,
            own: Dimensions::default(),
        });
        engine
    }

    /// Returns the engine without a cylinder. A head that is then over none
    /// goes too.
    #[must_use]
    pub fn without_cylinder(&self, label: &str) -> Self {
        let mut engine = self.clone();
        let heads: Vec<&str> =
            self.cylinders.iter().filter(|c| c.label == label).map(|c| c.head.as_str()).collect();
        engine.cylinders.retain(|c| c.label != label);
        let left = |head: &Head| engine.cylinders.iter().any(|c| c.head == head.label);
        engine.heads =
            self.heads.iter().filter(|h| !heads.contains(&h.label.as_str()) || left(h)).cloned().collect();
        engine
    }

    /// Returns the engine with one more head, over no cylinder yet.
    #[must_use]
    pub fn with_head(&self) -> Self {
        let mut engine = self.clone();
        let taken: Vec<&str> = self.heads.iter().map(|head| head.label.as_str()).collect();
        let label = free(&taken, lettered());
        engine.heads.push(Head { label, level: self.construction.has_barrels(), tolerance: None });
        engine
    }

    /// Returns the engine with a cylinder under another head. The head that it
    /// left goes when it is over none any more.
    #[must_use]
    pub fn under(&self, cylinder: &str, head: &str) -> Self {
        let mut engine = self.clone();
        let mut left = String::new();
        for moved in engine.cylinders.iter_mut().filter(|c| c.label == cylinder) {
            left = std::mem::replace(&mut moved.head, head.to_owned());
        }
        if left != head && engine.under_head(&left).next().is_none() {
            engine.heads.retain(|h| h.label != left);
        }
        engine
    }

    /// Returns the engine with a head that is level or need not be.
    #[must_use]
    pub fn with_level(&self, head: &str, level: bool) -> Self {
        let mut engine = self.clone();
        for changed in engine.heads.iter_mut().filter(|h| h.label == head) {
            changed.level = level;
        }
        engine
    }

    /// Returns the engine with one more bank, upright.
    #[must_use]
    pub fn with_bank(&self) -> Self {
        let mut engine = self.clone();
        let taken: Vec<&str> = self.banks.iter().map(|bank| bank.label.as_str()).collect();
        let label = free(&taken, lettered());
        engine.banks.push(Bank { label, stands: Orientation::Upright });
        engine
    }

    /// Returns the engine without a bank; its cylinders are then in none.
    #[must_use]
    pub fn without_bank(&self, label: &str) -> Self {
        let mut engine = self.clone();
        engine.banks.retain(|bank| bank.label != label);
        for cylinder in engine.cylinders.iter_mut().filter(|c| c.bank.as_deref() == Some(label)) {
            cylinder.bank = None;
        }
        engine
    }

    /// Returns the engine with a cylinder in another bank, or in none.
    #[must_use]
    pub fn in_bank(&self, cylinder: &str, bank: Option<&str>) -> Self {
        let mut engine = self.clone();
        for moved in engine.cylinders.iter_mut().filter(|c| c.label == cylinder) {
            moved.bank = bank.map(str::to_owned);
        }
        engine
    }

    /// Returns the engine with a bank in another orientation.
    #[must_use]
    pub fn standing(&self, bank: &str, stands: &Orientation) -> Self {
        let mut engine = self.clone();
        for turned in engine.banks.iter_mut().filter(|b| b.label == bank) {
            turned.stands = stands.clone();
        }
        engine
    }
}

#[cfg(test)]
mod tests {
    use super::super::Construction;
    use super::*;

    fn three() -> Assembly {
        Assembly::begun(Construction::SeparateBarrels, &[2, 1])
    }

    #[test]
    fn a_new_cylinder_gets_a_label_that_is_free() {
        let mut engine = three();
        engine.cylinders[1].label = "4".into();
        let more = engine.with_cylinder();
        assert_eq!((more.cylinders[3].label.as_str(), more.cylinders[3].head.as_str()), ("2", "B"));
    }

    #[test]
    fn a_head_over_no_cylinder_goes_with_the_last_one() {
        let heads = |engine: &Assembly| engine.heads.iter().map(|h| h.label.clone()).collect::<Vec<_>>();
        assert_eq!(heads(&three().without_cylinder("3")), ["A"]);
        assert_eq!(heads(&three().without_cylinder("1")), ["A", "B"]);
        let moved = three().under("3", "A");
        assert_eq!((heads(&moved), moved.under_head("A").count()), (vec!["A".to_owned()], 3));
        assert_eq!(three().under("3", "B"), three());
        assert_eq!(heads(&three().with_head()), ["A", "B", "C"]);
    }

    #[test]
    fn banks_come_and_go_with_their_cylinders() {
        let banked =
            three().with_bank().with_bank().in_bank("1", Some("A")).standing("A", &Orientation::LyingLeft);
        assert_eq!(banked.orientation(0).lean_deg(), -90.0);
        assert_eq!(banked.orientation(1).lean_deg(), 0.0);
        let gone = banked.without_bank("A");
        assert_eq!((gone.banks.len(), gone.cylinders[0].bank.as_deref()), (1, None));
    }
}
