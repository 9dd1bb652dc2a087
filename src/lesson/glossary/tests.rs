use super::*;
use crate::project::demos;
use std::collections::BTreeMap;

fn id(place: usize) -> &'static str {
    glossary()[place].id()
}

#[test]
fn the_file_is_sound_and_every_dimension_has_its_word() {
    let terms = read(TEXT).unwrap_or_else(|error| panic!("{error}"));
    for key in Key::all() {
        let own: Vec<&Arc<Term>> = terms.iter().filter(|term| term.dimension() == Some(key)).collect();
        assert_eq!(own.len(), 1, "{key}");
        assert_eq!(own[0].id(), key.id());
        assert!(own[0].file.term.is_empty() && own[0].file.means.is_empty(), "{key}: said twice");
        assert!(own[0].file.measured.is_empty() && own[0].file.here.is_empty(), "{key}: said twice");
    }
    for (i, term) in terms.iter().enumerate() {
        assert!(terms.iter().skip(i + 1).all(|other| other.id() != term.id()), "{} stands twice", term.id());
        for (what, words) in
            [("means", term.means()), ("confused", term.confused()), ("measured", term.measured())]
        {
            assert!(!words.contains(['{', '}', '!']), "{}, {what}", term.id());
            assert!(words.is_empty() || words.ends_with('.'), "{}, {what}: ends in no full stop", term.id());
        }
        assert!(
            !term.name().is_empty() && !term.means().is_empty() && !term.confused().is_empty(),
            "{}",
            term.id()
        );
        assert!(!term.see().contains(&i), "{} sends to itself", term.id());
    }
}

/// The words that the trade needs, in addition to the dimensions.
#[test]
fn no_word_is_forgotten() {
    let wanted = [
        "deck_height",
        "deck_clearance",
        "block_height",
        "proud",
        "below",
        "squish",
        "spigot",
        "shim",
        "crush",
        "rock",
        "thrust_side",
        "dwell",
        "tdc",
        "bdc",
        "stagger",
        "cc_ing",
        "clearance_volume",
        "static_ratio",
        "effective_ratio",
        "trapped_ratio",
        "level",
        "stack",
        "end_gap",
        "side_clearance",
        "back_clearance",
        "swept_volume",
        "rod_ratio",
        "dish",
        "dome",
        "top_land",
        "barrel",
        "fire_ring",
        "stand_out",
        "piston_pin",
    ];
    for word in wanted {
        assert!(place_of(word).is_some(), "{word}");
    }
}

/// A word that means more than one thing says so wherever it is written.
#[test]
fn every_synonym_is_unique_or_says_so() {
    let mut uses: BTreeMap<String, Vec<(usize, bool)>> = BTreeMap::new();
    for (i, term) in glossary().iter().enumerate() {
        uses.entry(term.name().to_lowercase()).or_default().push((i, true));
        for (_, word) in term.also() {
            assert!(!word.is_empty(), "{}", term.id());
            uses.entry(word.to_lowercase()).or_default().push((i, false));
        }
    }
    for (word, places) in uses.into_iter().filter(|(_, places)| places.len() > 1) {
        let terms = places.iter().filter(|(_, is_term)| *is_term).count();
        assert!(terms <= 1, "‘{word}’ is the name of {terms} words");
        for (place, is_term) in places {
            let told = glossary()[place].confused().to_lowercase().contains(&word);
            assert!(is_term || told, "{}: does not say that ‘{word}’ has another meaning", id(place));
        }
    }
}

#[test]
fn a_word_is_found_by_name_by_synonym_and_by_meaning() {
    let first = |typed: &str| find(typed).first().map(|&place| id(place));
    for (typed, wanted) in [
        ("squi", "squish"),
        ("QUENCH", "squish"),
        ("Kolbenrückstand", "below"),
        ("kolbenruckstand", "below"),
        ("wrist pin", "piston_pin"),
        ("alesage", "bore"),
        ("ausliter", "cc_ing"),
        ("base_shim", "base_shim"),
        ("burette", "cc_ing"),
        ("squeezed out", "squish"),
        ("deck height", "deck_height"),
    ] {
        assert_eq!(first(typed), Some(wanted), "{typed}");
    }
    // All three meanings are there.
    let three: Vec<&str> = find("deck height").into_iter().map(id).collect();
    for wanted in ["deck_height", "deck_clearance", "case_height", "block_height"] {
        assert!(three.contains(&wanted), "{wanted} in {three:?}");
    }
    assert_eq!(find("").len(), glossary().len());
    assert!(find("carburettor jet").is_empty());
    for (i, term) in glossary().iter().enumerate() {
        assert!(find(term.name()).contains(&i), "{}", term.id());
        for (_, word) in term.also() {
            assert!(find(word).contains(&i), "{}: {word}", term.id());
        }
    }
}

#[test]
fn a_label_leads_to_its_word() {
    for (label, wanted) in [
        ("Base shim, 0.25 mm", Some("base_shim")),
        ("Compr. height", Some("compression_height")),
        ("Squish below its limit", Some("squish")),
        ("Level, right bank", Some("level")),
        ("Side clearance of the top ring", Some("side_clearance")),
        ("Shims: right bank not level", Some("level")),
        ("Limit of the ring end gaps", Some("end_gap")),
        ("Undo: nothing yet", None),
    ] {
        assert_eq!(in_label(label).map(id), wanted, "{label}");
    }
}

/// What is said of the engine at hand comes from the engine.
#[test]
fn a_word_tells_what_it_is_here() {
    let demo = demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap();
    let now = Moment::of(Arc::new(demo.project().unwrap()));
    let here = |word: &str| {
        let place = place_of(word).unwrap();
        glossary()[place].here(&now, 0, &UnitChoice::default())
    };
    assert_eq!(here("deck_clearance").as_deref(), Some("1.22 mm below"));
    assert_eq!(here("static_ratio").as_deref(), Some("9.18"));
    assert_eq!(here("bore").as_deref(), Some("86.01 mm"));
    assert_eq!(here("compression"), None);
}
