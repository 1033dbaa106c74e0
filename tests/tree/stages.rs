//! Each stage lists every subject of the job that its room reads: one that is not listed would
//! be changed without the stage being run again.

use crate::sources::{below, root};
use std::collections::BTreeSet;

/// A room and the stages that run its code.
const ROOMS: &[(&str, &[&str])] = &[
    ("plan", &["plan"]),
    ("concrete", &["concrete"]),
    ("foam", &["foam"]),
    ("joints", &["moving_joints", "joint_draft", "joints"]),
    ("tube", &["tube", "coils"]),
    ("heat", &["heat", "heat_study", "foam_costs"]),
    ("pour", &["subgrade", "pour"]),
    ("takeoff", &["takeoff"]),
];

const SUBJECTS: &[&str] = &[
    "facts",
    "outline",
    "edges",
    "openings",
    "thickenings",
    "build_up",
    "heating",
    "joints",
    "subgrade",
    "pour",
    "prices",
    "sheet_set",
    "as_laid",
    "underlay",
];

/// The subjects that the code of a room reads, in whatever way it is broken into lines.
fn read_by(room: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for source in below(&[&format!("core/src/{room}")]) {
        let code: String = source
            .code()
            .filter(|line| !line.trim_start().starts_with("//"))
            .flat_map(|line| line.chars().filter(|c| !c.is_whitespace()))
            .collect();
        for (at, _) in code.match_indices("job.") {
            let before = code[..at].chars().last();
            let rest = &code[at + "job.".len()..];
            let name: String =
                rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            let is_word = before.is_none_or(|c| !(c.is_alphanumeric() || c == '_'));
            if is_word && SUBJECTS.contains(&name.as_str()) {
                found.insert(name);
            }
        }
    }
    found
}

/// The subjects that a stage lists.
fn listed_by(stage: &str) -> BTreeSet<String> {
    let text = std::fs::read_to_string(root().join("core/src/derive/stages.rs"))
        .expect("the stages are there");
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let start = format!(" {stage} reads ");
    let list = text.split(&start).nth(1).and_then(|rest| rest.split(';').next());
    let list = list.unwrap_or_else(|| panic!("there is no stage {stage}"));
    list.split(',').map(|name| name.trim().to_owned()).collect()
}

#[test]
fn every_subject_that_a_room_reads_is_listed_by_its_stages() {
    for (room, stages) in ROOMS {
        let listed: BTreeSet<String> = stages.iter().flat_map(|stage| listed_by(stage)).collect();
        let missing: Vec<String> = read_by(room).difference(&listed).cloned().collect();
        assert!(missing.is_empty(), "stages of {room} read but do not list {missing:?}");
    }
}
