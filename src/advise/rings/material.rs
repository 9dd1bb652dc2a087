//! Thermal expansion of metals: coefficients from handbooks, each with its
//! source.

/// A metal with its coefficient of linear expansion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Its name.
    pub name: &'static str,
    /// Mean linear expansion near room temperature, per kelvin.
    pub per_kelvin: f64,
    /// The source of the figure, and the unit in which it is printed there.
    pub source: &'static str,
    /// Words by which a user may call it, lower case.
    called: &'static [&'static str],
}

const DOE: &str = "DOE-HDBK-1017/2-93, Material Science, MS-03 table 1, printed per °F";
const CALLISTER: &str = "W. D. Callister, Fundamentals of Materials Science and Engineering, 3rd edition, table B.6, printed per °C";

/// The metals of rings, bores and cases. Both sources were read. A handbook
/// figure is a mean near room temperature; at 200 °C the true one is some per
/// cent larger, which a gap does not feel as much as a wrong temperature.
pub(crate) static MATERIALS: [Material; 6] = [
    Material {
        name: "grey cast iron",
        per_kelvin: 11.4e-6,
        source: CALLISTER,
        called: &[
            "grey iron",
            "gray iron",
            "grey cast",
            "gray cast",
            "cast iron",
            "chromed iron",
            "iron liner",
            "iron",
        ],
    },
    Material {
        name: "ductile iron",
        per_kelvin: 11.2e-6,
        source: CALLISTER,
        called: &["ductile", "nodular", "spheroidal", "sg iron", "ductile cast iron", "nodular cast iron"],
    },
    Material {
        name: "alloy steel (4140, 4340)",
        per_kelvin: 12.3e-6,
        source: CALLISTER,
        called: &["alloy steel", "4140", "4340", "nitrided"],
    },
    Material { name: "carbon steel", per_kelvin: 5.8e-6 * 9.0 / 5.0, source: DOE, called: &["steel"] },
    Material {
        name: "aluminium casting (Al-7Si, 356.0)",
        per_kelvin: 21.5e-6,
        source: CALLISTER,
        called: &["aluminium", "aluminum", "alloy", "356"],
    },
    Material {
        name: "aluminium, pure",
        per_kelvin: 13.3e-6 * 9.0 / 5.0,
        source: DOE,
        called: &["pure aluminium", "pure aluminum"],
    },
];

impl Material {
    /// Returns the metal that the user's words name: the one with the longest
    /// word that occurs in them. `None` where no metal is named, and then it
    /// must be asked for, not guessed.
    ///
    /// ```
    /// use crowndeck::advise::rings::Material;
    /// let name = |words| Material::in_words(words).map(|m| m.name);
    /// assert_eq!(name("Chromed steel, pegged"), Some("carbon steel"));
    /// assert_eq!(name("grey cast iron, taper face"), Some("grey cast iron"));
    /// assert_eq!(name("bronze"), None);
    /// ```
    #[must_use]
    pub fn in_words(words: &str) -> Option<&'static Self> {
        let words = words.to_lowercase();
        let longest = |material: &Self| {
            material.called.iter().filter(|called| words.contains(**called)).map(|called| called.len()).max()
        };
        MATERIALS
            .iter()
            .filter_map(|m| Some((longest(m)?, m)))
            .max_by_key(|(length, _)| *length)
            .map(|(_, m)| m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `published.md` part H: what the sources print, in their own units.
    #[test]
    fn coefficients_are_those_of_the_handbooks() {
        let printed = [
            ("carbon steel", 10.44),
            ("aluminium, pure", 23.94),
            ("grey cast iron", 11.4),
            ("alloy steel (4140, 4340)", 12.3),
            ("aluminium casting (Al-7Si, 356.0)", 21.5),
            ("ductile iron", 11.2),
        ];
        for (name, millionths) in printed {
            let material = MATERIALS.iter().find(|m| m.name == name).expect("a row");
            assert!((material.per_kelvin * 1e6 - millionths).abs() < 1e-9, "{name}");
        }
        assert_eq!(MATERIALS.len(), printed.len());
        // The same figures per °F, as printed next to them.
        for (name, per_fahrenheit) in
            [("grey cast iron", 6.3), ("alloy steel (4140, 4340)", 6.8), ("ductile iron", 6.2)]
        {
            let material = MATERIALS.iter().find(|m| m.name == name).expect("a row");
            assert!((material.per_kelvin * 1e6 * 5.0 / 9.0 - per_fahrenheit).abs() < 0.06, "{name}");
        }
    }

    #[test]
    fn words_name_the_most_particular_metal() {
        let name = |words| Material::in_words(words).map(|m| m.name);
        assert_eq!(name("Steel rails"), Some("carbon steel"));
        assert_eq!(name("nitrided alloy steel"), Some("alloy steel (4140, 4340)"));
        assert_eq!(name("nodular cast iron"), Some("ductile iron"));
        assert_eq!(name("ductile iron"), Some("ductile iron"));
        assert_eq!(name("aluminium with iron liner"), Some("grey cast iron"));
        assert_eq!(name(""), None);
    }
}
