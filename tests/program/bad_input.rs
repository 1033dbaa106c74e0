//! What no job can be made of: exit 2 or 3, one clear message, no panic, the old file intact.

use crate::command::{Folder, samples, slabloom};
use std::path::Path;

/// The verbs that read a job.
const READERS: [&str; 3] = ["takeoff", "results", "check"];

fn house() -> String {
    std::fs::read_to_string(&samples()[0]).expect("the sample is there")
}

/// Every verb refuses the file with exit 2 and these words, and leaves it as it was.
#[track_caller]
fn all_refuse(bytes: impl AsRef<[u8]>, words: &[&str]) {
    let folder = Folder::new();
    let job = folder.file("job.ron", bytes.as_ref());
    for verb in READERS {
        let said = slabloom(&[verb.as_ref(), job.as_os_str()]).refused(2);
        assert!(said.contains("job.ron"), "{said}");
        for word in words {
            assert!(said.contains(word), "{verb}: {word} is not in {said}");
        }
    }
    assert_eq!(std::fs::read(&job).unwrap(), bytes.as_ref());
    assert_eq!(folder.names(), ["job.ron"]);
}

/// The house with one text exchanged.
fn house_with(old: &str, new: &str) -> String {
    let house = house();
    assert!(house.contains(old), "{old} stands in the sample");
    house.replacen(old, new, 1)
}

#[test]
fn a_truncated_file() {
    let house = house();
    for share in [1, 3, 7, 9] {
        let mut end = house.len() * share / 10;
        while !house.is_char_boundary(end) {
            end -= 1;
        }
        all_refuse(&house[..end], &["job.ron:"]);
    }
}

#[test]
fn a_garbled_file() {
    all_refuse([0xff, 0xfe, 0x00, 0x9c, 0x28, 0x0a], &["not text"]);
    all_refuse("PK\u{3}\u{4} this is no job at all }{)(", &["job.ron:1:"]);
    let garbled: String =
        house().chars().enumerate().map(|(at, c)| if at % 97 == 96 { '~' } else { c }).collect();
    all_refuse(garbled, &["job.ron:"]);
}

#[test]
fn a_hand_edited_file() {
    all_refuse(
        house_with("floor_thickness:", "flor_thickness:"),
        &["no field “flor_thickness”", "Did you mean “floor_thickness”?", "job.ron:"],
    );
    all_refuse(house_with("schema: 1,", "schema: 99,"), &["newer program"]);
    all_refuse(house_with("schema: 1,", ""), &["does not say its schema"]);
    all_refuse(house_with("(id: 2,", "(id: 1,"), &["Id 1 is taken twice"]);
    all_refuse(house_with("spacing: 12", "spacing: 0"), &["heating.zones[0].spacing", "range"]);
}

#[test]
fn a_crossing_outline() {
    all_refuse(
        house_with("start: (312, 312)", "start: (-100, 100)"),
        &["cross, at", "outline.sides[", "Drag a corner"],
    );
}

#[test]
fn numbers_that_are_none() {
    all_refuse(
        house_with("start: (456, 0)", "start: (NaN, 0)"),
        &["outline.sides[1].start", "not a number", "job.ron:"],
    );
    all_refuse(house_with("start: (456, 0)", "start: (1e300, 0)"), &["of the origin", "job.ron:"]);
    all_refuse(house_with("start: (456, 0)", "start: (-inf, 0)"), &["not a number"]);
}

#[test]
fn an_empty_file() {
    all_refuse("", &["empty"]);
    all_refuse("\n \n", &["empty"]);
    all_refuse("(schema: 1)", &["no outline yet"]);
}

#[test]
fn a_folder_and_a_file_that_is_not_there() {
    let folder = Folder::new();
    for verb in READERS {
        let here = folder.path("");
        assert!(slabloom(&[verb.as_ref(), here.as_os_str()]).refused(2).contains("folder"));
        let nowhere = folder.path("nowhere.ron");
        assert!(slabloom(&[verb.as_ref(), nowhere.as_os_str()]).refused(2).contains("not there"));
    }
    assert_eq!(folder.names(), [""; 0]);
}

#[test]
fn a_file_too_large() {
    all_refuse(" ".repeat(17_000_000), &["too large"]);
}

fn new(job: &Path, rest: &[&str]) -> crate::command::Called {
    let mut arguments = vec!["new", job.to_str().expect("a path of letters")];
    arguments.extend(rest);
    slabloom(&arguments)
}

#[test]
fn a_read_only_target() {
    let folder = Folder::new();
    let job = folder.file("job.ron", "what was there");
    let walls = ["--walls", "E 20 N 20 W 20 close"];
    let forced = ["--walls", "E 20 N 20 W 20 close", "--force"];
    // Without --force nothing is put in the place of a file.
    assert!(new(&job, &walls).refused(2).contains("there already"));
    let mut rights = std::fs::metadata(&job).unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&job, rights).unwrap();
    assert!(new(&job, &forced).refused(3).contains("read-only"));
    assert_eq!(std::fs::read(&job).unwrap(), b"what was there");
    assert_eq!(folder.names(), ["job.ron"]);
}

#[cfg(unix)]
#[test]
fn a_read_only_folder_and_a_full_disk() {
    use std::os::unix::fs::PermissionsExt as _;
    use std::process::{Command, Stdio};
    let folder = Folder::new();
    let inner = folder.path("locked");
    std::fs::create_dir(&inner).unwrap();
    std::fs::set_permissions(&inner, std::fs::Permissions::from_mode(0o555)).unwrap();
    let walls = ["--walls", "E 20 N 20 W 20 close"];
    assert!(new(&inner.join("job.ron"), &walls).refused(3).contains("read-only"));
    assert_eq!(std::fs::read_dir(&inner).unwrap().count(), 0);
    std::fs::set_permissions(&inner, std::fs::Permissions::from_mode(0o755)).unwrap();
    assert!(new(&folder.path("no/job.ron"), &walls).refused(3).contains("not there"));
    assert!(
        new(&inner, &["--walls", "E 20 N 20 W 20 close", "--force"]).refused(3).contains("folder")
    );
    if Path::new("/dev/full").exists() {
        let full = std::fs::File::options().write(true).open("/dev/full").unwrap();
        let ended = Command::new(env!("CARGO_BIN_EXE_slabloom"))
            .arg("results")
            .arg(&samples()[0])
            .stdout(full)
            .stderr(Stdio::piped())
            .output()
            .unwrap();
        assert_eq!(ended.status.code(), Some(3));
        let said = String::from_utf8_lossy(&ended.stderr).into_owned();
        assert!(said.starts_with("slabloom: The output cannot be written"), "{said}");
        assert_eq!(said.lines().count(), 1);
    }
}

#[test]
fn walls_and_outlines_that_are_none() {
    let folder = Folder::new();
    let job = folder.path("job.ron");
    let said = new(&job, &["--walls", "E 38 N 26 W 37'-11\" S 26"]).refused(2);
    assert!(said.contains("0'-1\" east of the start"), "{said}");
    assert!(said.contains("Leg 3, “W 37'-11\"”, is most likely wrong: with 38'-0\""), "{said}");
    assert!(new(&job, &["--walls", "E 38 N twenty"]).refused(2).contains("line 1, column 8"));
    let crossing = new(&job, &["--walls", "E 20 N 20 W 10 S 30 W 10 close"]).refused(2);
    assert!(crossing.contains("cross"), "{crossing}");
    for (name, text, words) in [
        ("a.wkt", "MULTIPOLYGON (((0 0, 9 0, 9 9, 0 0)))", "more than one slab"),
        ("b.wkt", "POLYGON ((0 0, 20 20, 20 0, 0 30, 0 0))", "b.wkt:1:11: Side 1"),
        ("c.geojson", "{\"type\":", "c.geojson:1:8: That is not JSON"),
        ("d.csv", "x,y\n0,0\n5,six\n", "d.csv:3:3:"),
        ("e.csv", "", "no corners"),
        ("f.dxf", "0", "Name it .wkt, .geojson or .csv"),
    ] {
        let file = folder.file(name, text);
        let said = new(&job, &["--outline", file.to_str().unwrap()]).refused(2);
        assert!(said.contains(words), "{said}");
    }
    assert!(!job.exists());
}

#[test]
fn no_display_is_one_sentence() {
    let ended = std::process::Command::new(env!("CARGO_BIN_EXE_slabloom"))
        .arg(&samples()[0])
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ended.stderr).into_owned();
    assert_eq!(ended.status.code(), Some(2), "{said}");
    assert_eq!(said.lines().count(), 1, "{said}");
    assert!(said.contains("no display") && said.contains("slabloom --help"), "{said}");
}

#[test]
fn wrong_usage_is_exit_2() {
    // A word that is no verb is a job that is not there.
    assert!(slabloom(&["frobnicate"]).refused(2).contains("frobnicate: cannot be read"));
    for arguments in [
        &["takeoff"][..],
        &["new", "job.ron"],
        &["check", "a", "b"],
        &["picture", "a", "-o", "b", "--size", "9x9"],
    ] {
        let called = slabloom(arguments);
        assert_eq!(called.exit, Some(2), "{called:?}");
        assert!(called.out.is_empty() && called.err.contains("--help"), "{called:?}");
    }
}
