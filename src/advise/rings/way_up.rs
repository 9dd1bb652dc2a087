//! Identification of rings, and which way up they go: common practice; the ring
//! maker's sheet rules.

use super::gap::WhichRing;

/// How the rings of a set are told apart.
pub(crate) const WHICH_IS_WHICH: &str = "Top: a bright or coated face, mostly barrel-shaped. Second: plain iron, mostly with a \
     tapered or hooked face. Oil: two thin rails on an expander, or one slotted ring. Go by the maker's sheet and its \
     colour marks where there are any.";

/// The advice on a form that a ring's words name.
struct Form {
    words: &'static [&'static str],
    says: &'static str,
}

static FORMS: [Form; 5] = [
    Form {
        words: &["taper"],
        says: "Tapered face: the mark to the crown, so that its lower edge scrapes the oil down. The wrong way up it \
               pumps oil.",
    },
    Form {
        words: &["hook", "napier", "stepped", "scraper"],
        says: "Hooked or stepped face: the mark to the crown, the hook downward.",
    },
    Form {
        words: &["bevel", "chamfer", "twist", "torsion"],
        says: "Bevelled inside: which way it twists is the maker's to say. The mark goes to the crown.",
    },
    Form {
        words: &["keystone", "wedge"],
        says: "Wedge-shaped: the mark to the crown; its groove has the same slope, so the side clearance is read with \
               the face flush.",
    },
    Form {
        words: &["peg"],
        says: "Pegged: the two ends go round the peg. Push the ring home all around before the barrel goes over it.",
    },
];

/// Returns which way up a ring goes, as far as its position and its words say.
///
/// ```
/// use crowndeck::advise::rings::{WhichRing, way_up};
/// assert!(way_up(WhichRing::Second, "grey cast iron, taper face")[0].contains("mark to the crown"));
/// assert!(way_up(WhichRing::Oil, "steel rails")[0].contains("must meet"));
/// ```
#[must_use]
pub fn way_up(which: WhichRing, words: &str) -> Vec<&'static str> {
    let words = words.to_lowercase();
    let named = FORMS.iter().filter(|form| form.words.iter().any(|word| words.contains(word)));
    let mut says: Vec<&'static str> = named.map(|form| form.says).collect();
    if has_rails(which, &words) {
        says.push(
            "Expander first: its ends must meet and not overlap. Then the rails, either way up, wound in from one end.",
        );
    }
    if says.is_empty() {
        says.push("A marked side goes to the crown. A plain ring without a mark goes either way up.");
    }
    says
}

/// Returns whether an oil ring is two rails on an expander, as far as its
/// words, in lower case, say.
fn has_rails(which: WhichRing, words: &str) -> bool {
    let one_piece = ["one-piece", "slotted"].iter().any(|word| words.contains(word));
    which == WhichRing::Oil && words.contains("rail") && !one_piece
}

/// Returns the same in a few words, for a card.
///
/// ```
/// use crowndeck::advise::rings::{WhichRing, way_up_in_short};
/// assert_eq!(way_up_in_short(WhichRing::Second, "grey cast iron, taper face"), "mark to the crown");
/// ```
#[must_use]
pub fn way_up_in_short(which: WhichRing, words: &str) -> &'static str {
    let words = words.to_lowercase();
    let pegged = words.contains("peg");
    if has_rails(which, &words) {
        "expander's ends meet; rails either way up"
    } else if pegged {
        "mark to the crown, ends round the peg"
    } else if FORMS.iter().any(|form| form.words.iter().any(|word| words.contains(word))) {
        "mark to the crown"
    } else {
        "a mark, if any, to the crown"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_form_that_is_named_is_told() {
        let says = way_up(WhichRing::Top, "Chromed steel, pegged, keystone");
        assert_eq!(says.len(), 2);
        assert!(says[0].starts_with("Wedge") && says[1].starts_with("Pegged"));
        assert_eq!(way_up(WhichRing::Top, "chromed steel").len(), 1);
        assert!(way_up(WhichRing::Top, "").concat().contains("marked side"));
        let short = |which, words| way_up_in_short(which, words);
        assert_eq!(short(WhichRing::Top, "chromed steel, pegged"), "mark to the crown, ends round the peg");
        assert!(short(WhichRing::Oil, "steel rails").contains("ends meet"));
        for words in ["oil rail slotted cast iron", "chromed steel"] {
            assert_eq!(short(WhichRing::Oil, words), "a mark, if any, to the crown");
            assert!(!way_up(WhichRing::Oil, words).concat().contains("Expander"), "{words}");
        }
    }
}
