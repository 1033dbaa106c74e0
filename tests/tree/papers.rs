//! README and top level keep what they promise.

use crate::sources::root;
use std::fs;

#[test]
fn the_readme_has_its_two_commands_and_a_picture() {
    let readme = fs::read_to_string(root().join("README.md")).expect("there is a README.md");
    assert!(readme.contains("cargo run --release"));
    assert!(readme.contains("cargo test --workspace"));
    let picture = readme
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split(')').next())
        .find(|link| link.ends_with(".png"))
        .expect("the README shows a picture");
    assert!(root().join(picture).is_file(), "{picture} is missing");
}

#[test]
fn the_top_level_is_as_agreed() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "app",
        "core",
        "samples",
        "tests",
        "screenshots",
        "target",
    ];
    for entry in fs::read_dir(root()).expect("the root can be listed").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let is_known =
            allowed.contains(&name.as_str()) || name.starts_with('.') || name.ends_with(".toml");
        assert!(is_known, "{name} is not part of the agreed top level");
    }
}
