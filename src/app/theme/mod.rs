//! The colours, sizes and strokes of the window: one [`Tokens`] per
//! [`Theme`], held by the app and handed to everything that paints.
//!
//! Two things have colour: what moved or is under the hand (accent), and a
//! limit that is broken or near, or an entry that is wrong (warn). All else is
//! ink. Nothing is said by colour alone.

pub mod contrast;
pub(crate) mod style;

pub(crate) use style::apply;

use egui::{Color32, FontFamily, FontId, Stroke};
use serde::{Deserialize, Serialize};

/// The look that the user chose.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Theme {
    /// Ink on a drawing sheet.
    #[default]
    Paper,
    /// Chalk on a writing slate.
    Slate,
    /// Black on white, no tints, thicker strokes.
    ContrastLight,
    /// White on black, no tints, thicker strokes.
    ContrastDark,
}

// In the order in which the theme button walks them.
all!(pub Theme: Paper, Slate, ContrastLight, ContrastDark);

impl Theme {
    /// The theme that fits what the system asks for.
    #[must_use]
    pub fn following(system: egui::Theme, high_contrast: bool) -> Self {
        match (system, high_contrast) {
            (egui::Theme::Light, false) => Self::Paper,
            (egui::Theme::Dark, false) => Self::Slate,
            (egui::Theme::Light, true) => Self::ContrastLight,
            (egui::Theme::Dark, true) => Self::ContrastDark,
        }
    }

    /// What the next press of the theme button gives.
    #[must_use]
    pub fn next(self) -> Self {
        match self {
            Self::Paper => Self::Slate,
            Self::Slate => Self::ContrastLight,
            Self::ContrastLight => Self::ContrastDark,
            Self::ContrastDark => Self::Paper,
        }
    }

    /// The name on the theme button, which names the theme it leads to.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Paper => "Paper",
            Self::Slate => "Slate",
            Self::ContrastLight => "High contrast",
            Self::ContrastDark => "High contrast, dark",
        }
    }

    /// The colours of this theme.
    #[must_use]
    pub fn tokens(self) -> &'static Tokens {
        match self {
            Self::Paper => &PAPER,
            Self::Slate => &SLATE,
            Self::ContrastLight => &CONTRAST_LIGHT,
            Self::ContrastDark => &CONTRAST_DARK,
        }
    }
}

/// Fills of the parts that are cut in the section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartFills {
    /// The barrel.
    pub barrel: Color32,
    /// The piston.
    pub piston: Color32,
    /// The head.
    pub head: Color32,
    /// The crankcase.
    pub case: Color32,
    /// The rod, which is not cut.
    pub rod: Color32,
}

/// Tints of the volumes that make up the clearance volume. Words on them are
/// always ink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VolumeTints {
    /// Combustion chamber in the head.
    pub chamber: Color32,
    /// Space between the crown's rim and the top of the barrel.
    pub deck: Color32,
    /// Valve pockets.
    pub pockets: Color32,
    /// Space inside the head gasket.
    pub gasket: Color32,
    /// Crevice around the top land.
    pub top_land: Color32,
    /// What the dome of the crown takes away.
    pub dome: Color32,
    /// What the piston has left on its way down.
    pub swept: Color32,
}

/// Every colour of one theme, and how its strokes and hatches differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tokens {
    /// Light figures on a dark ground.
    pub dark: bool,
    /// Window ground.
    pub board: Color32,
    /// Columns, curves, drawers.
    pub panel: Color32,
    /// Group heads.
    pub row: Color32,
    /// The sheet that carries the drawing.
    pub sheet: Color32,
    /// Entry fields and plain buttons.
    pub field: Color32,
    /// Key caps.
    pub key: Color32,
    /// Text, measured edges.
    pub ink: Color32,
    /// Second text, axes, dimension lines.
    pub ink2: Color32,
    /// Captions, axis numbers, units.
    pub ink3: Color32,
    /// Dividers; carries no meaning.
    pub line: Color32,
    /// Outlines of controls, scales.
    pub line2: Color32,
    /// Moved, focused, chosen, dragged.
    pub accent: Color32,
    /// Ground of what moved or is chosen.
    pub accent_tint: Color32,
    /// On accent.
    pub on_accent: Color32,
    /// Broken or near limit, wrong entry.
    pub warn: Color32,
    /// Ground of a wrong entry.
    pub warn_tint: Color32,
    /// On warn.
    pub on_warn: Color32,
    /// The kept state.
    pub ghost: Color32,
    /// Outlines of what was assumed.
    pub assumed: Color32,
    /// Hatch lines.
    pub hatch: Color32,
    /// Shims, gaskets, rings.
    pub solid: Color32,
    /// Fills of the cut parts.
    pub parts: PartFills,
    /// Tints of the volumes.
    pub volumes: VolumeTints,
    /// Points added to every stroke width.
    pub stroke_more: f32,
    /// Factor on every hatch pitch.
    pub hatch_pitch: f32,
}

impl Tokens {
    /// A stroke of `width` points, thicker where the theme asks for it.
    #[must_use]
    pub fn stroke(&self, width: f32, color: Color32) -> Stroke {
        Stroke::new(width + self.stroke_more, color)
    }
}

/// Spaces between things, in points.
pub mod space {
    /// Between things that belong together.
    pub const TIGHT: f32 = 4.0;
    /// Between the panels of the small window, and between a name and its value.
    pub const NEAR: f32 = 8.0;
    /// Between the panels.
    pub const GAP: f32 = 12.0;
    /// Inside a panel.
    pub const INNER: f32 = 14.0;
    /// Between groups.
    pub const GROUP: f32 = 16.0;
    /// Around what stands alone.
    pub const WIDE: f32 = 24.0;
}

/// Corner radii, in points.
pub mod radius {
    /// Grips.
    pub const GRIP: f32 = 2.5;
    /// Entry fields and key caps.
    pub const FIELD: f32 = 3.0;
    /// Buttons and drawer fronts.
    pub const BUTTON: f32 = 4.0;
    /// Panels.
    pub const PANEL: f32 = 6.0;
}

/// Stroke widths, in points.
pub mod width {
    /// At rest.
    pub const REST: f32 = 1.0;
    /// Sheet frame, title block, grips, marks.
    pub const FRAME: f32 = 1.4;
    /// Moved, edited, wrong, measured edge.
    pub const HEAVY: f32 = 2.0;
    /// Focus ring.
    pub const FOCUS: f32 = 2.0;
    /// How far the middle of the focus ring lies outside what it rings: a gap
    /// of 2 and half of its own width.
    pub const FOCUS_OUT: f32 = 3.0;
}

/// Text sizes, in points, that do not change with the window.
pub mod text {
    /// Title of a lesson.
    pub const LESSON: f32 = 22.0;
    /// Second headings of numbers.
    pub const NUMBER: f32 = 26.0;
    /// Titles and cells of the title block.
    pub const TITLE: f32 = 17.0;
    /// Panel titles and the dimension in the circle.
    pub const PANEL: f32 = 15.0;
    /// Values in fields.
    pub const VALUE: f32 = 14.5;
    /// Names and running text.
    pub const BODY: f32 = 13.5;
    /// Dimensions on the drawing.
    pub const DIMENSION: f32 = 13.0;
    /// Captions, effects, statuses.
    pub const CAPTION: f32 = 12.5;
    /// Units inside a field.
    pub const UNIT: f32 = 12.0;
    /// The least: key caps, axis numbers.
    pub const LEAST: f32 = 11.5;
}

/// The two sizes of the answers that are read at arm's length; they follow
/// the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnswerSizes {
    /// Deck clearance, the one hero figure of the sheet.
    pub deck: f32,
    /// Squish and ratio.
    pub second: f32,
}

impl AnswerSizes {
    /// The small window.
    pub const SMALL: Self = Self { deck: 34.0, second: 26.0 };
    /// The usual window.
    pub const USUAL: Self = Self { deck: 42.0, second: 30.0 };
    /// The large window: one step up.
    pub const LARGE: Self = Self { deck: 52.0, second: 36.0 };
}

/// Name of the family with the regular face.
pub const REGULAR: &str = "plex";
/// Name of the family with the SemiBold face.
pub const SEMIBOLD: &str = "plex-semibold";

/// The regular face at `size` points: assumed figures, names, captions.
#[must_use]
pub fn regular(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(REGULAR.into()))
}

/// The SemiBold face at `size` points: measured figures, titles, what moved.
#[must_use]
pub fn semibold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(SEMIBOLD.into()))
}

/// A colour written as 0xRRGGBB.
const fn hex(rgb: u32) -> Color32 {
    let [_, r, g, b] = rgb.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

static PAPER: Tokens = Tokens {
    dark: false,
    board: hex(0xD3DBD0),
    panel: hex(0xEDF1E9),
    row: hex(0xE3E9DF),
    sheet: hex(0xFCFBF7),
    field: hex(0xFFFFFF),
    key: hex(0xFFFFFF),
    ink: hex(0x1B2321),
    ink2: hex(0x46524D),
    ink3: hex(0x545F5A),
    line: hex(0xC3CCC0),
    line2: hex(0x6E7B74),
    accent: hex(0x14508F),
    accent_tint: hex(0xD6E3F1),
    on_accent: hex(0xFFFFFF),
    warn: hex(0xA93316),
    warn_tint: hex(0xF8DFD5),
    on_warn: hex(0xFFFFFF),
    ghost: hex(0x66736D),
    assumed: hex(0x6F7B75),
    hatch: hex(0x7A8680),
    solid: hex(0x1B2321),
    parts: PartFills {
        barrel: hex(0xE6EBE9),
        piston: hex(0xEFEBE1),
        head: hex(0xEBEBE5),
        case: hex(0xF1F1EC),
        rod: hex(0xFBFAF5),
    },
    volumes: VolumeTints {
        chamber: hex(0xF5E7B4),
        deck: hex(0xBFE0D3),
        pockets: hex(0xDAE5B1),
        gasket: hex(0xF0D2DD),
        top_land: hex(0xF3D3B6),
        dome: hex(0xDED6EC),
        swept: hex(0xE2EDF5),
    },
    stroke_more: 0.0,
    hatch_pitch: 1.0,
};

static SLATE: Tokens = Tokens {
    dark: true,
    board: hex(0x121716),
    panel: hex(0x1B2221),
    row: hex(0x232C2A),
    sheet: hex(0x252E2C),
    field: hex(0x121716),
    key: hex(0x2C3634),
    ink: hex(0xEFECE1),
    ink2: hex(0xBCC5BE),
    ink3: hex(0x9CA8A1),
    line: hex(0x38433F),
    line2: hex(0x78867F),
    accent: hex(0x86BDF3),
    accent_tint: hex(0x233C50),
    on_accent: hex(0x0E1A24),
    warn: hex(0xFF9A78),
    warn_tint: hex(0x4B2B20),
    on_warn: hex(0x2A0F06),
    ghost: hex(0x95A29C),
    assumed: hex(0x95A19A),
    hatch: hex(0x7C8983),
    solid: hex(0xEFECE1),
    parts: PartFills {
        barrel: hex(0x313D3B),
        piston: hex(0x3B3D37),
        head: hex(0x343A39),
        case: hex(0x2B3432),
        rod: hex(0x2A3331),
    },
    volumes: VolumeTints {
        chamber: hex(0x5B4F22),
        deck: hex(0x1E594A),
        pockets: hex(0x46541F),
        gasket: hex(0x5C3147),
        top_land: hex(0x643F22),
        dome: hex(0x473C60),
        swept: hex(0x253643),
    },
    stroke_more: 0.0,
    hatch_pitch: 1.0,
};

static CONTRAST_LIGHT: Tokens = contrast_tokens(false, 0xFFFFFF, 0x000000, 0x003A80, 0x8A1500);
static CONTRAST_DARK: Tokens = contrast_tokens(true, 0x000000, 0xFFFFFF, 0x9FD0FF, 0xFFB199);

/// High contrast: one ground, one ink, no tints; the kind of line, its weight
/// and the hatching carry the meaning.
const fn contrast_tokens(dark: bool, ground: u32, ink: u32, accent: u32, warn: u32) -> Tokens {
    let (ground, ink, accent, warn) = (hex(ground), hex(ink), hex(accent), hex(warn));
    Tokens {
        dark,
        board: ground,
        panel: ground,
        row: ground,
        sheet: ground,
        field: ground,
        key: ground,
        ink,
        ink2: ink,
        ink3: ink,
        line: ink,
        line2: ink,
        accent,
        accent_tint: ground,
        on_accent: ground,
        warn,
        warn_tint: ground,
        on_warn: ground,
        ghost: ink,
        assumed: ink,
        hatch: ink,
        solid: ink,
        parts: PartFills { barrel: ground, piston: ground, head: ground, case: ground, rod: ground },
        volumes: VolumeTints {
            chamber: ground,
            deck: ground,
            pockets: ground,
            gasket: ground,
            top_land: ground,
            dome: ground,
            swept: ground,
        },
        stroke_more: 1.0,
        hatch_pitch: 1.25,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_presses_of_the_theme_button_come_back() {
        let mut seen = vec![Theme::Paper];
        for _ in 0..3 {
            seen.push(seen[seen.len() - 1].next());
        }
        assert_eq!(seen, Theme::ALL);
        assert_eq!(seen[3].next(), Theme::Paper);
    }

    #[test]
    fn high_contrast_strokes_are_one_point_wider() {
        assert_eq!(Theme::ContrastDark.tokens().stroke(width::REST, Color32::WHITE).width, 2.0);
        assert_eq!(Theme::Paper.tokens().stroke(width::REST, Color32::WHITE).width, 1.0);
    }
}
