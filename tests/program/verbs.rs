//! Every verb, done: on the samples and on a footprint that is in none.

use crate::command::{Folder, samples, slabloom};
use serde_json::Value;

/// An F of feet with a slanted side, in no sample: 34 x 20 with a 10 x 8 wing and a cut corner.
const WALLS: &str = "E 34' N 20' W 12' N 8' W 10' S 8' W 6' S 45° W 8.48528137' close";
/// The same in a file of each kind.
const CORNERS: [(f64, f64); 8] = [
    (0.0, 0.0),
    (34.0, 0.0),
    (34.0, 20.0),
    (22.0, 20.0),
    (22.0, 28.0),
    (12.0, 28.0),
    (12.0, 20.0),
    (6.0, 20.0),
];

fn results(job: &std::path::Path) -> Value {
    let text = slabloom(&["results".as_ref(), job.as_os_str()]).done();
    serde_json::from_str(&text).expect("results are JSON")
}

#[test]
fn a_job_from_walls_and_from_every_outline_file() {
    let folder = Folder::new();
    let walls = folder.path("walls.ron");
    let said = slabloom(&["new", walls.to_str().unwrap(), "--walls", WALLS]).done();
    assert!(said.contains("9 sides") && said.contains("ft²"), "{said}");
    let closed: Vec<(f64, f64)> = CORNERS.into_iter().chain([(0.0, 14.0), CORNERS[0]]).collect();
    let pairs = |separator: &str, between: &str, corners: &[(f64, f64)]| {
        let all: Vec<String> = corners.iter().map(|(x, y)| format!("{x}{separator}{y}")).collect();
        all.join(between)
    };
    let files = [
        folder.file("p.wkt", format!("POLYGON (({}))", pairs(" ", ", ", &closed))),
        folder.file(
            "p.geojson",
            format!(
                r#"{{"type":"Feature","properties":null,"geometry":{{"type":"Polygon","coordinates":[[[{}]]]}}}}"#,
                pairs(",", "],[", &closed)
            ),
        ),
        folder.file("p.csv", format!("x,y\n{}\n", pairs(",", "\n", &closed[..9]))),
    ];
    let area = 34.0 * 20.0 + 80.0 - 18.0;
    let from_walls = results(&walls);
    assert!((from_walls["slab"]["area_ft2"].as_f64().unwrap() - area).abs() < 1e-4);
    for file in files {
        let job = folder.path("job.ron");
        let arguments =
            ["new", job.to_str().unwrap(), "--outline", file.to_str().unwrap(), "--force"];
        slabloom(&arguments).done();
        let derived = results(&job);
        assert!((derived["slab"]["area_ft2"].as_f64().unwrap() - area).abs() < 1e-9);
        assert!(derived["concrete"]["net_yd3"].as_f64().unwrap() > 0.0);
    }
    // The jobs and the files; nothing half begun.
    assert_eq!(folder.names(), ["job.ron", "p.csv", "p.geojson", "p.wkt", "walls.ron"]);
}

#[test]
fn units_of_outlines_are_heeded() {
    let folder = Folder::new();
    for (unit, size) in [("ft", 20.0), ("in", 240.0), ("m", 6.096), ("mm", 6096.0)] {
        let table = format!("0,0\n{size},0\n{size},{size}\n0,{size}\n");
        let file = folder.file("square.csv", table);
        let job = folder.path(&format!("{unit}.ron"));
        let arguments =
            ["new", job.to_str().unwrap(), "--outline", file.to_str().unwrap(), "--unit", unit];
        let said = slabloom(&arguments).done();
        assert!(said.contains("400.0 ft²") && said.contains("80'-0\" round"), "{unit}: {said}");
    }
}

#[test]
fn takeoff_results_and_check_on_every_sample() {
    for sample in samples() {
        let name = sample.display();
        let short = slabloom(&["takeoff".as_ref(), sample.as_os_str()]).done();
        for heading in ["To order", "Lumber yard", "Ready-mix plant", "Price: Total", "Findings"] {
            assert!(short.contains(heading), "{name}: {heading} is missing in\n{short}");
        }
        let widest = short.lines().map(|line| line.chars().count()).max();
        assert!(short.lines().count() <= 50 && widest <= Some(100), "{name}: one screen\n{short}");
        let table = slabloom(&["takeoff".as_ref(), sample.as_os_str(), "--all".as_ref()]).done();
        for heading in ["Concrete", "Foam", "Tube", "To order", "Price", "Total"] {
            assert!(table.contains(heading), "{name}: {heading} is missing in\n{table}");
        }
        let json = slabloom(&["takeoff".as_ref(), sample.as_os_str(), "--json".as_ref()]).done();
        let takeoff: Value = serde_json::from_str(&json).expect("a takeoff is JSON");
        let derived = results(&sample);
        for part in ["takeoff", "price", "findings"] {
            assert_eq!(takeoff[part], derived[part], "{name}: {part}");
        }
        let checked = slabloom(&["check".as_ref(), sample.as_os_str()]);
        let stops = derived["findings"].as_array().unwrap().iter().any(|f| f["level"] == "stop");
        assert_eq!(checked.exit, Some(i32::from(stops)), "{name}: {}", checked.out);
        assert!(!checked.out.is_empty() && checked.err.is_empty());
    }
}

#[test]
fn sheets_as_pdf_and_as_svg() {
    let folder = Folder::new();
    let mut kept = Vec::new();
    for sample in samples() {
        let file = folder.path("plan.pdf");
        let arguments =
            ["sheets", sample.to_str().unwrap(), "-o", file.to_str().unwrap(), "--paper", "ansi-d"];
        let said = slabloom(&arguments).done();
        let bytes = std::fs::read(&file).unwrap();
        assert!(bytes.starts_with(b"%PDF-"), "{said}");
        slabloom(&arguments).done();
        assert_eq!(std::fs::read(&file).unwrap(), bytes, "the same sheets, the same bytes");
        kept.push(bytes);
    }
    assert!(kept[0] != kept[1] && kept[1] != kept[2]);
    let house = samples()[0].to_str().unwrap().to_owned();
    let svg = folder.path("svg");
    let all = ["sheets", &house, "-o", svg.to_str().unwrap(), "--svg", "--only", "joints,tube"];
    slabloom(&all).done();
    let names: Vec<_> =
        std::fs::read_dir(&svg).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert!(names.len() >= 2, "{names:?}");
    for name in names {
        assert!(std::fs::read_to_string(name).unwrap().contains("<svg"));
    }
    let one = ["sheets", &house, "-o", svg.to_str().unwrap(), "--only", "walls"];
    assert!(slabloom(&one).refused(2).contains("no sheet “walls”. Known are cover, forms"));
    let at_folder = ["sheets", &house, "-o", svg.to_str().unwrap()];
    assert!(slabloom(&at_folder).refused(3).contains("folder"));
}

#[test]
fn a_picture_of_the_window_without_a_display() {
    let folder = Folder::new();
    let file = folder.path("house.png");
    let job = samples()[0].to_str().unwrap().to_owned();
    let arguments =
        ["picture", &job, "-o", file.to_str().unwrap(), "--size", "640x400", "--stage", "saw"];
    slabloom(&arguments).done();
    let first = std::fs::read(&file).unwrap();
    let picture = image::load_from_memory(&first).expect("a PNG").to_rgb8();
    assert_eq!(picture.dimensions(), (640, 400));
    let colors: std::collections::BTreeSet<_> = picture.pixels().map(|pixel| pixel.0).collect();
    assert!(colors.len() > 20, "something is drawn");
    slabloom(&arguments).done();
    assert_eq!(std::fs::read(&file).unwrap(), first, "the same picture again");
    assert_eq!(folder.names(), ["house.png"]);
}

#[test]
fn a_finding_that_says_stop_is_exit_1() {
    let folder = Folder::new();
    let job = folder.path("hot.ron");
    slabloom(&["new", job.to_str().unwrap(), "--walls", WALLS]).done();
    let text = std::fs::read_to_string(&job).unwrap();
    let hot = text.replace("supply_f: None", "supply_f: 240.0");
    assert_ne!(hot, text);
    std::fs::write(&job, hot).unwrap();
    let checked = slabloom(&["check".as_ref(), job.as_os_str()]);
    assert_eq!(checked.exit, Some(1), "{checked:?}");
    assert!(checked.out.contains("STOP"), "{}", checked.out);
}

#[test]
fn help_and_version_are_output() {
    let help = slabloom(&["--help"]).done();
    for verb in ["new", "takeoff", "results", "check", "sheets", "picture"] {
        assert!(help.contains(verb), "{help}");
    }
    assert!(slabloom(&["--version"]).done().starts_with("slabloom "));
}

#[test]
fn a_reader_that_has_had_enough_is_no_fault() {
    use std::io::Read as _;
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_slabloom"))
        .arg("results")
        .arg(&samples()[0])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = [0; 10];
    child.stdout.take().unwrap().read_exact(&mut first).unwrap();
    let ended = child.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&ended.stderr), "");
}

#[test]
fn two_jobs_side_by_side_say_only_what_differs() {
    let folder = Folder::new();
    let (small, large) = (folder.path("small.ron"), folder.path("large.ron"));
    let make = |path: &std::path::Path, walls: &str| {
        slabloom(&["new", path.to_str().unwrap(), "--walls", walls]).done();
    };
    make(&small, "E 30' N 20' W 30' close");
    make(&large, "E 36' N 20' W 36' close");
    let compare = |one: &std::path::Path, other: &std::path::Path| {
        slabloom(&["compare".as_ref(), one.as_os_str(), other.as_os_str()]).done()
    };
    let said = compare(&small, &large);
    assert!(said.lines().all(|line| line.chars().count() <= 100), "{said}");
    // 6 ft of 20 ft are 120 ft2, and two sides of 6 ft are 12 ft of forms.
    let (one, other) = (results(&small), results(&large));
    let net = |job: &Value| job["concrete"]["net_yd3"].as_f64().unwrap();
    let line = said.lines().find(|line| line.contains("yd3")).expect("concrete differs");
    let told: Vec<f64> = line
        .split_whitespace()
        .rev()
        .take(3)
        .map(|word| word.replace(',', "").parse().expect("a figure"))
        .collect();
    assert!((told[0] - (told[1] - told[2])).abs() < 0.011, "{line}");
    assert!(net(&other) > net(&one) && told[0] > 0.0);
    assert!(said.contains("+12"), "forms: {said}");
    let same = compare(&small, &small);
    assert!(same.contains("the same in both"), "{same}");
    assert_eq!(same.lines().count(), 3, "{same}");
}
