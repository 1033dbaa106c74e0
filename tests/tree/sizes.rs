//! Files that a person can hold in mind, each saying what it is for.

use crate::sources::below;

/// Lines of code that no file goes past, its own tests not counted.
const LONGEST: usize = 600;

/// Files that are longer, and why.
const LONGER: &[(&str, &str)] = &[];

#[test]
fn no_file_is_too_long() {
    for source in below(&["core/src", "app/src", "tests"]) {
        let lines = source.code().count();
        let is_excused = LONGER.iter().any(|(path, _)| *path == source.path);
        assert!(
            lines <= LONGEST || is_excused,
            "{} has {lines} lines: look for the second idea in it",
            source.path
        );
    }
}

#[test]
fn every_file_says_what_it_is_for() {
    for source in below(&["core/src", "app/src", "tests"]) {
        let first = source.text.lines().find(|line| !line.trim().is_empty()).unwrap_or("");
        assert!(first.starts_with("//!"), "{} does not start with a module doc", source.path);
    }
}
