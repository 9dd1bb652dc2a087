//! What a gap becomes when ring and bore are hot.

use crate::engine::num::PI;

/// How much a part grows: its coefficient and how much hotter it is than when
/// it was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Growth {
    /// Linear expansion, per kelvin.
    pub per_kelvin: f64,
    /// Temperature above that of the measurement, K.
    pub kelvin: f64,
}

impl Growth {
    /// By what a length is multiplied.
    #[must_use]
    pub fn factor(self) -> f64 {
        1.0 + self.per_kelvin * self.kelvin
    }
}

/// The end gap hot, mm; below 0 the ends meet and press.
///
/// The ring along its outside is π·bore − gap long and grows with its own
/// material and temperature; the bore's circumference grows with its own:
///
/// hot = π·bore·(1 + α_b·ΔT_b) − (π·bore − gap)·(1 + α_r·ΔT_r)
///
/// Exact for free growth at uniform temperatures; nothing is dropped as
/// small. `bore_mm` and `gap_mm` are those of the cold parts.
///
/// ```
/// use crowndeck::advise::rings::{Growth, hot_gap};
/// let iron = |kelvin| Growth { per_kelvin: 11.4e-6, kelvin };
/// // An iron ring 85 K hotter than its iron bore of 86 mm closes by 0.26 mm.
/// let closes = 0.39 - hot_gap(86.0, 0.39, iron(180.0), iron(95.0));
/// assert!((closes - 0.26).abs() < 0.005);
/// ```
#[must_use]
pub fn hot_gap(bore_mm: f64, gap_mm: f64, ring: Growth, bore: Growth) -> f64 {
    let around = PI * bore_mm;
    // π·bore·(factor_b − factor_r) + gap·factor_r, with the difference of the
    // factors taken without the ones, so that no digits are lost.
    around * (bore.per_kelvin * bore.kelvin - ring.per_kelvin * ring.kelvin) + gap_mm * ring.factor()
}

/// The cold gap that just closes when hot, mm; 0 or less where the bore
/// outgrows the ring and no gap ever closes. From hot = 0:
///
/// gap = π·bore·(α_r·ΔT_r − α_b·ΔT_b)/(1 + α_r·ΔT_r)
#[must_use]
pub(crate) fn cold_gap_that_closes(bore_mm: f64, ring: Growth, bore: Growth) -> f64 {
    PI * bore_mm * (ring.per_kelvin * ring.kelvin - bore.per_kelvin * bore.kelvin) / ring.factor()
}

#[cfg(test)]
mod tests {
    use super::super::gap::gap_after;
    use super::*;
    use serde_json::Value;

    fn number(value: &Value) -> f64 {
        value.as_str().and_then(|text| text.parse().ok()).expect("a number as text")
    }

    /// The `ring` blocks of the cases: 50-digit arithmetic from first
    /// principles.
    #[test]
    fn every_cold_gap_of_the_cases_is_met() {
        let file = include_str!("../../../tests/data/cases.json");
        let file: Value = serde_json::from_str(file).expect("the file is JSON");
        let mut checked = 0;
        for case in file["cases"].as_array().expect("cases") {
            let (ring, bore) = (&case["ring"], number(&case["set"]["bore"]));
            let at = |name: &str| number(&ring[name]);
            let of_ring = Growth { per_kelvin: at("alpha_ring"), kelvin: at("dT_ring") };
            let of_bore = Growth { per_kelvin: at("alpha_bore"), kelvin: at("dT_bore") };
            let closes = cold_gap_that_closes(bore, of_ring, of_bore);
            let checks = [
                ("bore change", gap_after(at("cold_gap"), at("bore_change")), at("gap_after_bore_change")),
                ("hot", hot_gap(bore, at("cold_gap"), of_ring, of_bore), at("hot_gap")),
                ("closes", closes, at("cold_gap_that_just_closes")),
            ];
            for (what, ours, theirs) in checks {
                let error = (ours - theirs).abs() / theirs.abs();
                assert!(error < 1e-9, "{}: {what} {ours} against {theirs}", case["id"]);
                checked += 1;
            }
            // Exact, not linear: the two part where the digits say so.
            let linear = at("same_linearised");
            assert!((closes - linear).abs() > 1e-4 * linear.abs(), "{}", case["id"]);
            assert!(hot_gap(bore, closes, of_ring, of_bore).abs() < 1e-12, "{}", case["id"]);
        }
        assert_eq!(checked, 60);
    }

    /// Computed by others for an 86 mm bore: a ring 80 to 160 K over its bore
    /// closes 0.25 to 0.50 mm.
    #[test]
    fn the_closing_has_the_size_that_builders_know() {
        let iron = |kelvin| Growth { per_kelvin: 11.4e-6, kelvin };
        let closes = |over| cold_gap_that_closes(86.0, iron(100.0 + over), iron(100.0));
        assert!((closes(80.0) - 0.25).abs() < 0.01 && (closes(160.0) - 0.50).abs() < 0.02);
        // Cold on cold nothing moves.
        assert_eq!(hot_gap(86.0, 0.39, iron(0.0), iron(0.0)), 0.39);
    }
}
