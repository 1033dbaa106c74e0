//! Which room may name which: those of lower rank, and none of its own rank.

use crate::sources::{Source, below};

/// Rooms of the core by rank.
const RANKS: &[(u32, &[&str])] = &[
    (0, &["units", "effort"]),
    (1, &["geometry", "facts"]),
    (2, &["cutting", "drawing", "job"]),
    (3, &["edit", "plan"]),
    (4, &["concrete"]),
    (5, &["foam", "joints", "pour"]),
    (6, &["tube"]),
    (7, &["heat"]),
    (8, &["takeoff"]),
    (9, &["price"]),
    (10, &["parts"]),
    (11, &["findings"]),
    (12, &["derive"]),
    (13, &["sheets"]),
];

/// Files that stand higher than their room: contraction joints settle after tube is routed.
const HIGHER_FILES: &[(&str, &str)] = &[
    ("core/src/joints/layout.rs", "tube"),
    ("core/src/joints/mod.rs", "tube"),
    ("core/src/joints/settle.rs", "tube"),
    ("core/src/joints/crossings.rs", "tube"),
    ("core/src/joints/sawing.rs", "tube"),
];

fn rank(room: &str) -> Option<u32> {
    RANKS.iter().find(|(_, rooms)| rooms.contains(&room)).map(|(rank, _)| *rank)
}

/// Rooms that a line of code names by `crate::room`, also in a group `crate::{room, room}`.
fn named_rooms(line: &str) -> Vec<String> {
    let mut rooms = Vec::new();
    for (at, _) in line.match_indices("crate::") {
        if line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let rest = &line[at + "crate::".len()..];
        if let Some(group) = rest.strip_prefix('{') {
            let (mut depth, mut word) = (0, String::new());
            for c in group.chars() {
                match c {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => rooms.push(std::mem::take(&mut word)),
                    c if depth == 0 => word.push(c),
                    _ => {}
                }
            }
            rooms.push(word);
        } else {
            rooms.push(rest.to_owned());
        }
    }
    rooms
        .iter()
        .map(|path| path.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect())
        .filter(|room: &String| rank(room).is_some())
        .collect()
}

fn wrong_arrows(source: &Source) -> Vec<String> {
    let Some(room) = source.path.strip_prefix("core/src/").and_then(|path| path.split('/').next())
    else {
        return Vec::new();
    };
    let room = room.trim_end_matches(".rs");
    let Some(own) = rank(room) else { return Vec::new() };
    // `use crate::{` may go on over several lines: read statements, not lines.
    let code: String = source
        .code()
        .filter(|line| !line.trim_start().starts_with("//"))
        .map(|line| format!("{line} "))
        .collect();
    code.split(';')
        .flat_map(named_rooms)
        .filter(|named| named != room && rank(named).is_some_and(|rank| rank >= own))
        .filter(|named| !HIGHER_FILES.contains(&(source.path.as_str(), named.as_str())))
        .map(|named| format!("{}: {room} (rank {own}) may not name {named}", source.path))
        .collect()
}

#[test]
fn arrows_point_down() {
    let wrong: Vec<String> = below(&["core/src"]).iter().flat_map(wrong_arrows).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_planted_wrong_arrow_is_found() {
    let source = Source {
        path: "core/src/geometry/planted.rs".to_owned(),
        text: "use crate::{\n    units,\n    job::Job,\n};\nfn f() { crate::foam::lay() }\n"
            .to_owned(),
    };
    assert_eq!(wrong_arrows(&source).len(), 2);
}

#[test]
fn every_room_has_a_rank() {
    let lib = below(&["core/src"]).into_iter().find(|source| source.path == "core/src/lib.rs");
    let lib = lib.expect("the core has a lib.rs").text;
    for line in lib.lines().filter_map(|line| line.strip_prefix("pub mod ")) {
        let room = line.trim_end_matches(';');
        assert!(rank(room).is_some(), "give the room {room} a rank");
    }
}

#[test]
fn tools_and_snaps_do_not_see_the_toolkit() {
    let blind = ["app/src/canvas/tools", "app/src/canvas/snap"];
    for source in below(&blind) {
        assert!(
            source.code().all(|line| line.trim_start().starts_with("//") || !line.contains("egui")),
            "{} names the toolkit; it should see Pointer and Key only",
            source.path
        );
    }
}

#[test]
fn developers_page_shows_the_same_ranks() {
    let page = std::fs::read_to_string(crate::sources::root().join("DEVELOPERS.md"));
    let page = page.expect("there is a DEVELOPERS.md");
    for (rank, rooms) in RANKS {
        let row = format!("| {rank} | {} |", rooms.join(", "));
        assert!(page.contains(&row), "DEVELOPERS.md should hold the row “{row}”");
    }
}
