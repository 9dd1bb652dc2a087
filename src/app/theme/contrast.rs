//! Contrast between two colours, and the proof that every pair of tokens that
//! the window puts on each other can be read.

use crate::engine::num;
use egui::Color32;

/// Contrast ratio of two opaque colours, from 1 to 21.
///
/// Source: WCAG 2.2, definitions "relative luminance" and "contrast ratio":
/// L = 0.2126 R + 0.7152 G + 0.0722 B with each channel c linear as c/12.92 up
/// to 0.04045 and ((c + 0.055)/1.055)^2.4 above; ratio = (L1 + 0.05)/(L2 + 0.05).
#[must_use]
pub fn ratio(a: Color32, b: Color32) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Relative luminance of an opaque colour, 0 black to 1 white.
fn luminance(color: Color32) -> f64 {
    let linear = |channel: u8| {
        let c = f64::from(channel) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { num::pow((c + 0.055) / 1.055, 2.4) }
    };
    0.2126 * linear(color.r()) + 0.7152 * linear(color.g()) + 0.0722 * linear(color.b())
}

#[cfg(test)]
mod tests {
    use super::super::{Theme, Tokens};
    use super::*;

    /// What WCAG 2.2 asks of text (success criterion 1.4.3).
    const TEXT: f64 = 4.5;
    /// What WCAG 2.2 asks of lines that carry meaning (1.4.11).
    const LINE: f64 = 3.0;

    /// One use of a colour: what it is, the colour, every ground under it, the
    /// least ratio asked for.
    type Use = (&'static str, Color32, Vec<(&'static str, Color32)>, f64);

    fn grounds(t: &Tokens) -> Vec<(&'static str, Color32)> {
        vec![
            ("board", t.board),
            ("panel", t.panel),
            ("row", t.row),
            ("sheet", t.sheet),
            ("field", t.field),
            ("key", t.key),
        ]
    }

    fn parts(t: &Tokens) -> Vec<(&'static str, Color32)> {
        vec![
            ("barrel", t.parts.barrel),
            ("piston", t.parts.piston),
            ("head", t.parts.head),
            ("case", t.parts.case),
            ("rod", t.parts.rod),
        ]
    }

    fn volumes(t: &Tokens) -> Vec<(&'static str, Color32)> {
        vec![
            ("chamber", t.volumes.chamber),
            ("deck", t.volumes.deck),
            ("pockets", t.volumes.pockets),
            ("gasket", t.volumes.gasket),
            ("top land", t.volumes.top_land),
            ("dome", t.volumes.dome),
            ("swept", t.volumes.swept),
        ]
    }

    fn tints(t: &Tokens) -> Vec<(&'static str, Color32)> {
        vec![("accent tint", t.accent_tint), ("warn tint", t.warn_tint)]
    }

    fn uses(t: &Tokens) -> Vec<Use> {
        let mut under_ink = grounds(t);
        under_ink.extend(parts(t));
        under_ink.extend(volumes(t));
        under_ink.extend(tints(t));
        let mut under_second = grounds(t);
        under_second.push(("accent tint", t.accent_tint));
        let mut under_warn = grounds(t);
        under_warn.push(("warn tint", t.warn_tint));
        let mut under_ghost = parts(t);
        under_ghost.push(("sheet", t.sheet));
        under_ghost.push(("panel", t.panel));
        under_ghost.extend(volumes(t));
        vec![
            ("ink", t.ink, under_ink, TEXT),
            ("ink2", t.ink2, under_second.clone(), TEXT),
            ("ink3", t.ink3, under_second, TEXT),
            ("line2", t.line2, grounds(t), LINE),
            ("accent", t.accent, grounds(t), TEXT),
            ("on accent", t.on_accent, vec![("accent", t.accent)], TEXT),
            ("warn", t.warn, under_warn, TEXT),
            ("on warn", t.on_warn, vec![("warn", t.warn)], TEXT),
            ("ghost", t.ghost, under_ghost.clone(), LINE),
            ("assumed", t.assumed, under_ghost, LINE),
            ("hatch", t.hatch, parts(t), LINE),
            ("solid", t.solid, parts(t), LINE),
        ]
    }

    #[test]
    fn every_pair_of_tokens_can_be_read() {
        let mut short = Vec::new();
        for theme in Theme::ALL {
            for (name, color, grounds, least) in uses(theme.tokens()) {
                for (ground, under) in grounds {
                    let r = ratio(color, under);
                    if r < least {
                        short.push(format!("{theme:?}: {name} on {ground} is {r:.2}, wants {least}"));
                    }
                }
            }
        }
        assert!(short.is_empty(), "{}", short.join("\n"));
    }

    /// The worst figures that the table of the visual language states; they
    /// were computed apart from this program.
    #[test]
    fn the_stated_figures_hold() {
        let worst = |color: Color32, grounds: &[(&str, Color32)]| {
            grounds.iter().map(|(_, g)| ratio(color, *g)).fold(f64::INFINITY, f64::min)
        };
        let paper = Theme::Paper.tokens();
        let slate = Theme::Slate.tokens();
        let stated = [
            ("ink on board", ratio(paper.ink, paper.board), 11.3),
            ("ink2 on board", ratio(paper.ink2, paper.board), 5.8),
            ("ink3 on board", ratio(paper.ink3, paper.board), 4.7),
            ("line2 on board", ratio(paper.line2, paper.board), 3.1),
            ("accent on board", ratio(paper.accent, paper.board), 5.8),
            ("accent on sheet", ratio(paper.accent, paper.sheet), 7.9),
            ("ink on accent tint", ratio(paper.ink, paper.accent_tint), 12.3),
            ("on accent", ratio(paper.on_accent, paper.accent), 8.2),
            ("warn on board", ratio(paper.warn, paper.board), 4.7),
            ("warn on its tint", ratio(paper.warn, paper.warn_tint), 5.2),
            ("ink on warn tint", ratio(paper.ink, paper.warn_tint), 12.6),
            ("on warn", ratio(paper.on_warn, paper.warn), 6.6),
            ("ghost on parts", worst(paper.ghost, &parts(paper)), 4.1),
            ("hatch on parts", worst(paper.hatch, &parts(paper)), 3.1),
            ("ink on parts", worst(paper.ink, &parts(paper)), 13.3),
            ("ink on volumes", worst(paper.ink, &volumes(paper)), 11.3),
            ("slate ink on sheet", ratio(slate.ink, slate.sheet), 11.8),
            ("slate ink2 on sheet", ratio(slate.ink2, slate.sheet), 7.9),
            ("slate ink3 on sheet", ratio(slate.ink3, slate.sheet), 5.7),
            ("slate line2 on sheet", ratio(slate.line2, slate.sheet), 3.7),
            ("slate accent on sheet", ratio(slate.accent, slate.sheet), 7.0),
            ("slate ink on accent tint", ratio(slate.ink, slate.accent_tint), 9.7),
            ("slate on accent", ratio(slate.on_accent, slate.accent), 8.9),
            ("slate ink on warn tint", ratio(slate.ink, slate.warn_tint), 10.7),
            ("slate on warn", ratio(slate.on_warn, slate.warn), 8.7),
            ("slate ghost on parts", worst(slate.ghost, &parts(slate)), 4.1),
            ("slate hatch on parts", worst(slate.hatch, &parts(slate)), 3.0),
            ("slate ink on parts", worst(slate.ink, &parts(slate)), 9.3),
            ("slate ink on volumes", worst(slate.ink, &volumes(slate)), 6.9),
        ];
        let wrong: Vec<_> = stated
            .iter()
            .filter(|(_, got, told)| (got - told).abs() > 0.1)
            .map(|(what, got, told)| format!("{what}: {got:.2}, stated {told}"))
            .collect();
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    /// The two ends of the scale, from the definition itself.
    #[test]
    fn black_on_white_is_21_and_a_colour_on_itself_is_1() {
        assert!((ratio(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-12);
        assert!((ratio(Color32::RED, Color32::RED) - 1.0).abs() < 1e-12);
    }
}
