//! The parts of the screen that a lesson may point at.

use crate::engine::Key;

/// An area of the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WindowArea {
    /// The list of dimensions.
    Dimensions,
    /// The drawing.
    Sheet,
    /// The curves against the crank angle.
    Curves,
    /// All cylinders, worst first.
    Cylinders,
    /// The title block with the answers.
    TitleBlock,
    /// The tabs of the closed panels.
    Fronts,
}

/// A part of the screen that a step refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScreenPlace {
    /// A dimension: its row, and its position on the drawing.
    Dimension(Key),
    /// An area of the window.
    Area(WindowArea),
    /// The gap between rim and top, enlarged in circle Z.
    Gap,
    /// The foot of the barrel, enlarged in circle Y.
    Foot,
    /// The handle of the shim on the drawing.
    ShimHandle,
    /// The crankpin, by which the crank is turned.
    Crankpin,
    /// The chamber in the head.
    Chamber,
}

const NAMED: [(&str, ScreenPlace); 11] = [
    ("dimensions", ScreenPlace::Area(WindowArea::Dimensions)),
    ("sheet", ScreenPlace::Area(WindowArea::Sheet)),
    ("curves", ScreenPlace::Area(WindowArea::Curves)),
    ("cylinders", ScreenPlace::Area(WindowArea::Cylinders)),
    ("title_block", ScreenPlace::Area(WindowArea::TitleBlock)),
    ("fronts", ScreenPlace::Area(WindowArea::Fronts)),
    ("gap", ScreenPlace::Gap),
    ("foot", ScreenPlace::Foot),
    ("shim_handle", ScreenPlace::ShimHandle),
    ("crankpin", ScreenPlace::Crankpin),
    ("chamber", ScreenPlace::Chamber),
];

impl ScreenPlace {
    /// Returns the place of this name: a dimension by its key, or one of the
    /// list; `None` for an unknown name.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Self> {
        let named = NAMED.iter().find(|(known, _)| *known == id).map(|(_, place)| *place);
        named.or_else(|| Key::from_id(id).map(Self::Dimension))
    }

    /// Returns all names but those of the dimensions.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMED.iter().map(|(id, _)| *id)
    }

    /// Returns whether it lies on the sheet.
    #[must_use]
    pub fn is_on_sheet(self) -> bool {
        !matches!(
            self,
            Self::Area(
                WindowArea::Dimensions | WindowArea::Curves | WindowArea::Cylinders | WindowArea::Fronts
            )
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_found_by_name_and_by_key() {
        assert_eq!(ScreenPlace::from_id("gap"), Some(ScreenPlace::Gap));
        assert_eq!(ScreenPlace::from_id("bore"), Some(ScreenPlace::Dimension(Key::Bore)));
        assert_eq!(ScreenPlace::from_id("kitchen"), None);
        assert!(ScreenPlace::names().all(|name| Key::from_id(name).is_none()));
    }
}
