#![expect(clippy::expect_used, reason = "a test fails by panicking")]
//! Where the packages come from that the program is made with, and under which
//! licences: what a tool for such rules would say, without the network and
//! without minutes of building it.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

const LOCK: &str = include_str!("../Cargo.lock");
const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// Licences that ask for no more than their notice (`assets/notices.txt`), or,
/// as the Mozilla licence, for changes of their own files alone.
const LICENCES: [&str; 13] = [
    "MIT",
    "Apache-2.0",
    "Zlib",
    "ISC",
    "0BSD",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "Unlicense",
    "Unicode-3.0",
    "OFL-1.1",
    "Ubuntu-font-1.0",
    "MPL-2.0",
];

/// Packages that are there in several versions, because two that use them ask
/// for different ones. A name that comes to this list makes the program larger:
/// look first whether one of its users can be brought up to date.
const SEVERAL: [&str; 36] = [
    "base64",
    "bit-set",
    "bit-vec",
    "bitflags",
    "block2",
    "calloop",
    "calloop-wayland-source",
    "foldhash",
    "font-types",
    "getrandom",
    "hashbrown",
    "jni-sys",
    "linux-raw-sys",
    "miniz_oxide",
    "objc2",
    "objc2-app-kit",
    "objc2-foundation",
    "objc2-metal",
    "objc2-quartz-core",
    "objc2-ui-kit",
    "pollster",
    "quick-error",
    "r-efi",
    "read-fonts",
    "redox_syscall",
    "roxmltree",
    "rustc-hash",
    "rustix",
    "skrifa",
    "smithay-client-toolkit",
    "syn",
    "thiserror",
    "thiserror-impl",
    "tiny-skia",
    "tiny-skia-path",
    "windows-sys",
];

/// Packages that nobody maintains any more, with those that may still use them
/// and why that stands. Looked up when this was written; an advisory can't be
/// looked up without the network.
const UNMAINTAINED: [(&str, &[&str]); 2] = [
    // Through the toolkit's window frame on Wayland (ab_glyph), which draws the
    // title of a window with a font of the system, and through rustybuzz. The
    // program reads its own two fonts with it and no other: it would be built
    // without that use too.
    ("ttf-parser", &["crowndeck", "owned_ttf_parser", "rustybuzz"]),
    // Through the writer of PDFs, which shapes text with it. It gets the font of
    // the program and nothing from outside.
    ("rustybuzz", &["krilla"]),
];

/// The packages of the lock file: name, fields, names of what they use.
fn packages() -> Vec<(String, BTreeMap<String, String>, BTreeSet<String>)> {
    let package = |block: &str| {
        let mut fields = BTreeMap::new();
        let mut uses = BTreeSet::new();
        for line in block.lines() {
            if let Some((key, value)) = line.split_once(" = ") {
                fields.insert(key.to_owned(), value.trim_matches('"').to_owned());
            } else if let Some(used) = line.trim().strip_prefix('"') {
                uses.extend(used.split([' ', '"']).next().map(str::to_owned));
            }
        }
        (fields.get("name").expect("a name").clone(), fields, uses)
    };
    LOCK.split("[[package]]\n").skip(1).map(package).collect()
}

#[test]
fn every_package_is_of_the_public_registry_with_its_checksum() {
    let all = packages();
    assert!(all.len() > 100, "the lock file was read");
    for (name, fields, _) in &all {
        if name == "crowndeck" {
            continue;
        }
        assert_eq!(fields.get("source").map(String::as_str), Some(REGISTRY), "{name}");
        assert!(fields.get("checksum").is_some_and(|sum| sum.len() == 64), "{name}");
    }
}

#[test]
fn no_other_package_is_there_twice() {
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    for (name, ..) in packages() {
        *count.entry(name).or_default() += 1;
    }
    let several: Vec<&str> = count.iter().filter(|(_, n)| **n > 1).map(|(name, _)| name.as_str()).collect();
    assert_eq!(several, SEVERAL, "the list of packages in several versions is of today");
}

#[test]
fn what_nobody_maintains_is_used_by_none_but_those_who_are_known() {
    let all = packages();
    for (name, known) in UNMAINTAINED {
        let users: Vec<&str> =
            all.iter().filter(|(_, _, uses)| uses.contains(name)).map(|(user, ..)| user.as_str()).collect();
        assert_eq!(users, known, "{name}; if nobody uses it any more, take it off the list");
    }
}

#[test]
fn every_package_has_a_licence_that_is_accepted() {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--locked", "--offline", "--format-version", "1"])
        .args(["--filter-platform", "x86_64-unknown-linux-gnu"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo starts");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let all: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let all = all["packages"].as_array().expect("packages");
    assert!(all.len() > 100, "there are packages");
    for package in all {
        let (name, licence) = (package["name"].as_str().expect("a name"), package["license"].as_str());
        let Some(licence) = licence else { panic!("{name} names no licence") };
        // Of what is joined by AND all count, of what is joined by OR one.
        let accepted = |part: &str| {
            part.replace('/', " OR ").split(" OR ").any(|one| {
                let one = one.trim_matches([' ', '(', ')']).split(" WITH ").next().unwrap_or_default();
                LICENCES.contains(&one)
            })
        };
        assert!(licence.split(" AND ").all(accepted), "{name} is under {licence}");
    }
}
