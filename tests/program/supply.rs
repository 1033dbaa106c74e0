//! What the program is made of: every package that this system's build takes comes from the
//! registry at a locked version, under a licence that lets the program be given on under its
//! own, and their number does not grow unseen.

use crate::command::root;
use serde_json::Value;
use std::process::Command;

/// Licences that ask for no more than their text to be kept (SPDX names), and the file-level
/// Mozilla licence, whose files we do not change; the two font licences are of the toolkit's own
/// fonts.
const WELCOME: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "MPL-2.0",
    "OFL-1.1",
    "Ubuntu-font-1.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// More packages than this are a decision to be made, not a drift.
const MOST_PACKAGES: usize = 380;

/// The packages of a build for this system, tests included, as cargo tells them.
fn packages() -> Vec<Value> {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let host = Command::new(rustc).args(["--print", "host-tuple"]).output().unwrap();
    let host = String::from_utf8(host.stdout).unwrap();
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let told = Command::new(cargo)
        .args(["metadata", "--locked", "--format-version", "1", "--filter-platform", host.trim()])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
    let told: Value = serde_json::from_slice(&told.stdout).unwrap();
    told["packages"].as_array().unwrap().clone()
}

/// Whether an expression of licences can be met with welcome ones: `AND` needs both sides, `OR`
/// (and the older `/`) one of them; `AND` binds closer (SPDX 2.3, annex D).
fn is_welcome(expression: &str) -> bool {
    let spaced = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut at = 0;
    let met = either(&words, &mut at);
    met && at == words.len()
}

fn either(words: &[&str], at: &mut usize) -> bool {
    let mut met = both(words, at);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        met |= both(words, at);
    }
    met
}

fn both(words: &[&str], at: &mut usize) -> bool {
    let mut met = one(words, at);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        met &= one(words, at);
    }
    met
}

fn one(words: &[&str], at: &mut usize) -> bool {
    let Some(&word) = words.get(*at) else { return false };
    *at += 1;
    if word == "(" {
        let met = either(words, at);
        let is_closed = words.get(*at) == Some(&")");
        *at += 1;
        return met && is_closed;
    }
    if words.get(*at) == Some(&"WITH") {
        let whole = format!("{word} WITH {}", words.get(*at + 1).unwrap_or(&""));
        *at += 2;
        return WELCOME.contains(&whole.as_str());
    }
    WELCOME.contains(&word)
}

#[test]
fn every_package_may_be_given_on_and_comes_from_the_registry() {
    let packages = packages();
    assert!(packages.len() > 2, "cargo told of no packages");
    for package in &packages {
        let name = format!("{} {}", package["name"], package["version"]);
        let licence = package["license"].as_str().unwrap_or_default();
        assert!(is_welcome(licence), "{name}: licence {licence:?}");
        // Our own two packages have no source.
        if let Some(source) = package["source"].as_str() {
            assert!(source.starts_with("registry+"), "{name} comes from {source}");
        }
    }
    let count = packages.len();
    assert!(count <= MOST_PACKAGES, "{count} packages; raise the number knowingly");
}

#[test]
fn expressions_of_licences_are_read() {
    for met in [
        "MIT",
        "MIT/GPL-2.0-only",
        "Apache-2.0 WITH LLVM-exception OR GPL-3.0-only",
        "(MIT OR GPL-3.0-only) AND Unicode-3.0",
        "GPL-3.0-only AND MIT OR ISC",
    ] {
        assert!(is_welcome(met), "{met}");
    }
    for unmet in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT",
        "MIT AND (GPL-2.0-only OR AGPL-3.0-only)",
    ] {
        assert!(!is_welcome(unmet), "{unmet}");
    }
}
