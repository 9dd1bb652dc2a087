//! Likely causes of outlying readings.

use super::record::{DeckPlace, State, Subject};
use crate::quantity::Kind;

/// The likely cause of an outlying reading, from what goes wrong at the bench
/// (common practice).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Cause {
    /// The number fits the others if it was read in inches and taken for
    /// millimetres, or the other way round.
    InchSlip,
    /// The number fits the others with its decimal mark moved.
    DecimalSlip,
    /// Air under the plate: a fill that reads low.
    Bubble,
    /// Fluid lost through a valve, the plug or under the plate: a fill that
    /// reads high.
    Leak,
    /// The barrel was not held down as it will run: a deck that reads too
    /// deep.
    NotClamped,
    /// The piston rocked, or something lay under the straightedge.
    Rock,
    /// Read or written wrongly, for no reason that shows.
    Misread,
}

impl Cause {
    /// Returns the cause as a clause.
    #[must_use]
    pub fn text(self) -> &'static str {
        match self {
            Self::InchSlip => "it fits if millimetres and inches were mixed up",
            Self::DecimalSlip => "it fits with the decimal mark moved",
            Self::Bubble => "an air bubble makes a fill read low",
            Self::Leak => "a leaking valve or plug, or fluid under the plate, makes a fill read high",
            Self::NotClamped => "a barrel that is not held down stands too high",
            Self::Rock => "the piston may have rocked, or dirt lay in between",
            Self::Misread => "it may have been read or written wrongly",
        }
    }

    /// Returns the reason to write down when the value is struck out for it.
    #[must_use]
    pub fn reason(self) -> &'static str {
        match self {
            Self::InchSlip => "millimetres and inches mixed up",
            Self::DecimalSlip => "decimal mark in the wrong place",
            Self::Bubble => "air bubble",
            Self::Leak => "fluid was lost",
            Self::NotClamped => "barrel was not held down",
            Self::Rock => "piston rocked, or dirt in between",
            Self::Misread => "read or written wrongly",
        }
    }

    /// Returns what to do about it, as a sentence without full stop.
    #[must_use]
    pub fn check(self) -> &'static str {
        match self {
            Self::InchSlip | Self::DecimalSlip => "Look at what was written down at the bench",
            Self::Bubble => "Tilt the head while filling, and fill again",
            Self::Leak => "Watch the level for two minutes, wipe the plate, and fill again",
            Self::NotClamped => "Seat the barrel again, tighten it as it will run, and read again",
            Self::Rock => "Wipe both faces, read over the pin axis, front and rear, and read again",
            Self::Misread => "Read again",
        }
    }
}

/// Returns the likely cause for which `value` of `of` is `away` from the
/// `middle` of the others, where `near` is the ordinary distance of its
/// readings from each other.
#[must_use]
pub(crate) fn likely(
    of: &Subject,
    place: Option<&DeckPlace>,
    state: Option<State>,
    value: f64,
    middle: f64,
    near: f64,
) -> Cause {
    // Ordinary scatter, and what rounding before the slip left of it. About 0
    // every number fits, and no cause follows.
    let fits =
        |meant: f64| middle.abs() > 3.0 * near && (meant - middle).abs() <= near.max(0.03 * middle.abs());
    let high = value > middle;
    if of.kind() == Kind::Length && value != 0.0 {
        if [25.4, 1.0 / 25.4].into_iter().any(|times| fits(value * times)) {
            return Cause::InchSlip;
        }
        if [10.0, 0.1, 100.0, 0.01].into_iter().any(|times| fits(value * times)) {
            return Cause::DecimalSlip;
        }
    }
    if of.kind() == Kind::Volume {
        return if [10.0, 0.1].into_iter().any(|times| fits(value * times)) {
            Cause::DecimalSlip
        } else if high {
            Cause::Leak
        } else {
            Cause::Bubble
        };
    }
    match of {
        Subject::Deck if high && matches!(state, Some(State::HeldByHand | State::Loose)) => Cause::NotClamped,
        Subject::Deck if high && state.is_none() && on_pin_axis(place) => Cause::NotClamped,
        Subject::Deck | Subject::Squish => Cause::Rock,
        Subject::Dimension(_) | Subject::RingGap(_) | Subject::WholeFill | Subject::PistonToValve(_) => {
            Cause::Misread
        }
    }
}

/// Returns whether a place is on the pin axis, or may be.
fn on_pin_axis(place: Option<&DeckPlace>) -> bool {
    !matches!(place, Some(DeckPlace::Thrust | DeckPlace::Antithrust | DeckPlace::ThrustAxis))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Key;

    #[test]
    fn the_cause_follows_from_what_was_read_and_which_way_it_is_off() {
        let chamber = Subject::Dimension(Key::ChamberVolume);
        let bore = Subject::Dimension(Key::Bore);
        let rows = [
            (&chamber, None, 32.9, 33.8, 0.3, Cause::Bubble),
            (&chamber, None, 34.9, 33.8, 0.3, Cause::Leak),
            (&chamber, None, 3.38, 33.8, 0.3, Cause::DecimalSlip),
            (&Subject::Deck, Some(State::Clamped), 0.014, 0.35, 0.02, Cause::InchSlip),
            (&Subject::Deck, Some(State::Clamped), 8.9, 0.35, 0.02, Cause::InchSlip),
            (&Subject::Deck, Some(State::HeldByHand), 1.35, 1.20, 0.02, Cause::NotClamped),
            (&Subject::Deck, None, 1.35, 1.20, 0.02, Cause::NotClamped),
            (&Subject::Deck, Some(State::Clamped), 1.35, 1.20, 0.02, Cause::Rock),
            (&Subject::Deck, None, 1.05, 1.20, 0.02, Cause::Rock),
            (&Subject::Deck, Some(State::Clamped), 0.5, 0.01, 0.02, Cause::Rock),
            (&bore, None, 3.386, 86.0, 0.02, Cause::InchSlip),
            (&bore, None, 860.0, 86.0, 0.02, Cause::DecimalSlip),
            (&bore, None, 87.0, 86.0, 0.02, Cause::Misread),
            (&Subject::RingGap("top".into()), None, 0.0, 0.3, 0.02, Cause::Misread),
        ];
        for (of, state, value, middle, near, cause) in rows {
            assert_eq!(likely(of, None, state, value, middle, near), cause, "{of:?} {value}");
        }
        let edge = likely(&Subject::Deck, Some(&DeckPlace::Thrust), None, 1.35, 1.2, 0.02);
        assert_eq!(edge, Cause::Rock);
    }
}
