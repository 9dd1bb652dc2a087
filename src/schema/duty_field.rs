//! What can be said of the duty, as it is typed: one row a field.

use super::Duty;

/// A field of the duty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DutyField {
    /// The speed at which the engine works.
    RatedSpeed,
    /// The speed that is never passed.
    GreatestSpeed,
    /// The fuel, in words.
    Fuel,
    /// What goes up and down in one cylinder.
    ReciprocatingMass,
    /// What the rods are made of, in words.
    RodMaterial,
    /// Young's modulus of that.
    RodModulus,
    /// The cross-section of the shank.
    RodArea,
}

/// How a number of the duty is written: its unit first, then others that are
/// taken, each with what one of them is in it as a fraction.
struct Number {
    units: &'static [(&'static str, f64, f64)],
    /// The most that is taken; beyond it a slip is certain.
    most: f64,
    example: &'static str,
}

const SPEED: Number = Number {
    units: &[("rpm", 1.0, 1.0), ("r/min", 1.0, 1.0), ("1/min", 1.0, 1.0), ("/min", 1.0, 1.0)],
    most: 100_000.0,
    example: "6000",
};
const MASS: Number = Number {
    // A pound is 0.453 592 37 kg by definition, an ounce a sixteenth of it.
    units: &[("kg", 1.0, 1.0), ("g", 1.0, 1000.0), ("lb", 0.453_592_37, 1.0), ("oz", 0.453_592_37, 16.0)],
    most: 10_000.0,
    example: "0.42",
};
const MODULUS: Number = Number {
    units: &[("GPa", 1.0, 1.0), ("MPa", 1.0, 1000.0), ("N/mm²", 1.0, 1000.0), ("N/mm2", 1.0, 1000.0)],
    most: 1_000.0,
    example: "205",
};
const AREA: Number = Number {
    units: &[("mm²", 1.0, 1.0), ("mm2", 1.0, 1.0), ("cm²", 100.0, 1.0), ("cm2", 100.0, 1.0)],
    most: 1_000_000.0,
    example: "150",
};

/// Why a text can't be taken; nothing has changed then.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}: {what}", .field.title())]
pub(crate) struct DutyError {
    /// For which field it was typed.
    field: DutyField,
    what: String,
}

impl DutyField {
    /// All of them, in the order in which they are asked for.
    pub(crate) const ALL: [Self; 7] = [
        Self::RatedSpeed,
        Self::GreatestSpeed,
        Self::Fuel,
        Self::ReciprocatingMass,
        Self::RodMaterial,
        Self::RodModulus,
        Self::RodArea,
    ];

    /// The name on a screen.
    #[must_use]
    pub(crate) fn title(self) -> &'static str {
        match self {
            Self::RatedSpeed => "Rated speed",
            Self::GreatestSpeed => "Greatest speed",
            Self::Fuel => "Fuel",
            Self::ReciprocatingMass => "Reciprocating mass",
            Self::RodMaterial => "Rod material",
            Self::RodModulus => "Rod modulus",
            Self::RodArea => "Rod shank area",
        }
    }

    /// What it is and what it does, in a sentence or two.
    #[must_use]
    pub(crate) fn meaning(self) -> &'static str {
        match self {
            Self::RatedSpeed => "The speed at which the engine works.",
            Self::GreatestSpeed => "The speed that is never passed: the mean piston speed is judged at it.",
            Self::Fuel => {
                "In words, with its octane number and the scale of it: \u{201c}petrol, 95 RON\u{201d}, \
                 \u{201c}diesel\u{201d}. The proposed ratio limit goes by the RON in it."
            }
            Self::ReciprocatingMass => {
                "Piston, rings, pin and the small end of the rod of one cylinder, on a scale."
            }
            Self::RodMaterial => {
                "In words: steel, aluminium. Aluminium rods are longer when hot and stretch more, and ask for \
                 a wider squish and more room to the valves."
            }
            Self::RodModulus => {
                "Young\u{2019}s modulus: about 205 GPa for steel, 72 for aluminium (handbooks)."
            }
            Self::RodArea => "The cross-section of the shank where it is thinnest.",
        }
    }

    /// What else people call it, for the search.
    #[must_use]
    pub(crate) fn also(self) -> &'static [&'static str] {
        match self {
            Self::RatedSpeed => &["rpm", "working speed", "revolutions, revs"],
            Self::GreatestSpeed => &["rpm", "red line", "revolutions, revs", "mean piston speed"],
            Self::Fuel => &["octane", "RON, MON, AKI", "petrol, gasoline, diesel"],
            Self::ReciprocatingMass => &["piston weight", "inertia"],
            Self::RodMaterial => &["connecting rod, con rod", "steel or aluminium rods"],
            Self::RodModulus => &["Young's modulus", "rod stretch"],
            Self::RodArea => &["rod stretch", "cross-section of the connecting rod"],
        }
    }

    /// Its unit; empty for words.
    #[must_use]
    pub(crate) fn unit(self) -> &'static str {
        self.number().and_then(|number| number.units.first()).map_or("", |unit| unit.0)
    }

    /// What to write there, for an empty field.
    #[must_use]
    pub(crate) fn example(self) -> &'static str {
        match self {
            Self::Fuel => "petrol, 95 RON",
            Self::RodMaterial => "steel",
            _ => self.number().map_or("", |number| number.example),
        }
    }

    /// A text of this field with its unit, if it has one.
    #[must_use]
    pub(crate) fn with_unit(self, text: &str) -> String {
        format!("{text} {}", self.unit()).trim_end().to_owned()
    }

    fn number(self) -> Option<&'static Number> {
        match self {
            Self::RatedSpeed | Self::GreatestSpeed => Some(&SPEED),
            Self::ReciprocatingMass => Some(&MASS),
            Self::RodModulus => Some(&MODULUS),
            Self::RodArea => Some(&AREA),
            Self::Fuel | Self::RodMaterial => None,
        }
    }

    /// The number that a text stands for, in the unit of the field; none for
    /// an empty one.
    fn read(self, number: &Number, typed: &str) -> Result<Option<f64>, DutyError> {
        let text = typed.trim();
        if text.is_empty() {
            return Ok(None);
        }
        let refused = |what: String| DutyError { field: self, what };
        let unit = self.unit();
        let (bare, times, over) = number
            .units
            .iter()
            .filter_map(|&(name, times, over)| Some((strip_unit(text, name)?, times, over)))
            .min_by_key(|(bare, ..)| bare.len())
            .unwrap_or((text, 1.0, 1.0));
        let spaced = |c: char| matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}');
        let bare: String = bare.chars().filter(|c| !spaced(*c)).collect::<String>().replace('\u{2212}', "-");
        // "6,000" is six or six thousand, and nobody can tell which.
        if let Some((whole, part)) = bare.split_once(',')
            && part.len() == 3
            && whole.len() <= 3
            && whole.bytes().chain(part.bytes()).all(|b| b.is_ascii_digit())
        {
            let (one, thousand) = (format!("{whole}.{part}"), format!("{whole}{part}"));
            return Err(refused(format!("‘{typed}’ may be {one} or {thousand} {unit}; write one of them")));
        }
        let value = bare.replace(',', ".").parse::<f64>().ok().filter(|value| value.is_finite());
        let Some(value) = value.map(|value| converted(value, times, over)) else {
            let example = number.example;
            return Err(refused(format!("‘{typed}’ is no number; write one in {unit}, such as {example}")));
        };
        if value <= 0.0 {
            return Err(refused(format!("{value} {unit} is not above 0")));
        }
        if value > number.most {
            return Err(refused(format!("{value} {unit} is more than {} {unit}", number.most)));
        }
        Ok(Some(value))
    }
}

/// A value in the unit of its field, without what the conversion leaves in the
/// last digits: 2.2 cm² are 220 mm².
fn converted(value: f64, times: f64, over: f64) -> f64 {
    let product = value * times / over;
    format!("{product:.12e}").parse().unwrap_or(product)
}

/// A text without the unit at its end, whatever its letters' size.
fn strip_unit<'a>(text: &'a str, unit: &str) -> Option<&'a str> {
    let at = text.len().checked_sub(unit.len())?;
    let (bare, end) = text.split_at_checked(at)?;
    (end.to_lowercase() == unit.to_lowercase()).then(|| bare.trim_end())
}

impl Duty {
    /// What is said in a field, as it is typed; empty where nothing is.
    #[must_use]
    pub(crate) fn text(&self, field: DutyField) -> String {
        let number = |value: Option<f64>| value.map(|value| value.to_string()).unwrap_or_default();
        match field {
            DutyField::RatedSpeed => number(self.rated_rpm),
            DutyField::GreatestSpeed => number(self.max_rpm),
            DutyField::Fuel => self.fuel.clone(),
            DutyField::ReciprocatingMass => number(self.reciprocating_mass_kg),
            DutyField::RodMaterial => self.rod.material.clone(),
            DutyField::RodModulus => number(self.rod.modulus_gpa),
            DutyField::RodArea => number(self.rod.shank_area_mm2),
        }
    }

    /// Says something in a field; an empty text takes it back.
    ///
    /// # Errors
    /// When a number is none, not above 0, or more than any engine has.
    pub(crate) fn give(&mut self, field: DutyField, typed: &str) -> Result<(), DutyError> {
        let value = match field.number() {
            Some(number) => field.read(number, typed)?,
            None => None,
        };
        match field {
            DutyField::RatedSpeed => self.rated_rpm = value,
            DutyField::GreatestSpeed => self.max_rpm = value,
            DutyField::Fuel => typed.trim().clone_into(&mut self.fuel),
            DutyField::ReciprocatingMass => self.reciprocating_mass_kg = value,
            DutyField::RodMaterial => typed.trim().clone_into(&mut self.rod.material),
            DutyField::RodModulus => self.rod.modulus_gpa = value,
            DutyField::RodArea => self.rod.shank_area_mm2 = value,
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_said_back_in_the_unit_of_the_field() {
        for (field, typed, said) in [
            (DutyField::RatedSpeed, "6000", "6000"),
            (DutyField::GreatestSpeed, "6 500 rpm", "6500"),
            (DutyField::GreatestSpeed, "6500/min", "6500"),
            (DutyField::GreatestSpeed, "6500 1/min", "6500"),
            (DutyField::Fuel, " petrol, 95 RON ", "petrol, 95 RON"),
            (DutyField::ReciprocatingMass, "0,42", "0.42"),
            (DutyField::ReciprocatingMass, "420 g", "0.42"),
            (DutyField::ReciprocatingMass, "16 oz", "0.45359237"),
            (DutyField::RodMaterial, "aluminium", "aluminium"),
            (DutyField::RodModulus, "205000 MPa", "205"),
            (DutyField::RodArea, "2.2 cm2", "220"),
            (DutyField::RodArea, "150 mm²", "150"),
        ] {
            let mut duty = Duty::default();
            duty.give(field, typed).unwrap();
            assert_eq!(duty.text(field), said, "{field:?} {typed}");
            duty.give(field, "").unwrap();
            assert_eq!(duty, Duty::default(), "{field:?}: an empty text takes it back");
        }
    }

    #[test]
    fn nonsense_is_refused_with_quantity_value_and_limit() {
        let before = Duty { max_rpm: Some(3600.0), ..Duty::default() };
        for (typed, why) in [
            ("fast", "Greatest speed: ‘fast’ is no number; write one in rpm, such as 6000"),
            ("nan", "Greatest speed: ‘nan’ is no number; write one in rpm, such as 6000"),
            ("0", "Greatest speed: 0 rpm is not above 0"),
            ("-20", "Greatest speed: -20 rpm is not above 0"),
            ("1e9", "Greatest speed: 1000000000 rpm is more than 100000 rpm"),
            ("6,000", "Greatest speed: ‘6,000’ may be 6.000 or 6000 rpm; write one of them"),
            ("6000 kg", "Greatest speed: ‘6000 kg’ is no number; write one in rpm, such as 6000"),
        ] {
            let mut duty = before.clone();
            let error = duty.give(DutyField::GreatestSpeed, typed).unwrap_err();
            assert_eq!((error.to_string().as_str(), &duty), (why, &before));
        }
    }
}
