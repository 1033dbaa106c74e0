//! Walked outlines against hand-computed closures of surveying practice (latitude is length times
//! the cosine of the azimuth, departure its sine; ratio of closure is perimeter over misclosure),
//! and wrong lists with the place where they are said to be wrong.

use proptest::prelude::*;
use slabloom_core::geometry::{Point, Ring};
use slabloom_core::job::traverse::{Traverse, parse_traverse};
use slabloom_core::units::{Length, LengthUnit};

fn walk(text: &str) -> Traverse {
    parse_traverse(text, LengthUnit::Feet).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn area_ft2(walked: &Traverse) -> f64 {
    Ring::from_corners(&walked.corners).signed_area() / 144.0
}

fn refused(text: &str) -> String {
    parse_traverse(text, LengthUnit::Feet).unwrap_err().to_string()
}

#[test]
fn closed_walks_have_their_areas() {
    for (text, area, perimeter, corners) in [
        ("E 38, N 26, W 38, S 26", 988.0, 128.0, 4),
        ("E 40, N 28, W 24, S 12, W 16, S 16", 928.0, 136.0, 6),
        ("E 40' N 28' W 16' S 4' W 24' close", 1024.0, 136.0, 6),
        ("az 90 30, az 330 30, az 210 30", 389.711, 90.0, 3),
        ("90° 30' 330° 30' 210° 30'", 389.711, 90.0, 3),
        ("E 30 left 120 30 left 120 30", 389.711, 90.0, 3),
        ("E 38 left 90 26 left 38 left 26", 988.0, 128.0, 4),
        ("n 26; right 38'; right 26'; close", -988.0, 128.0, 4),
        ("E38 N26 W38 S26", 988.0, 128.0, 4),
        ("E38N26W38S26", 988.0, 128.0, 4),
        ("E 38 N 26 W 38 S 26", 988.0, 128.0, 4),
        ("N 45° E 20 N45W 20 S 45°0'0\" W 20 close", 400.0, 80.0, 4),
        ("NE 20\nNW 20 # a note: S 99\nSW 20\nSE 20\n", 400.0, 80.0, 4),
        ("east 11.5824 m north 7.9248m west 11,582.4 mm south 26'", 988.0, 128.0, 4),
        ("E 12'-6 1/2\" N 10' W 12' 6 1/2\" close", 125.416_667, 45.083_333, 4),
    ] {
        let walked = walk(text);
        assert!((area_ft2(&walked) - area).abs() < 1e-3, "{text}: {}", area_ft2(&walked));
        let around = Ring::from_corners(&walked.corners).perimeter() / 12.0;
        assert!((around - perimeter).abs() < 1e-3, "{text}: {around}");
        assert_eq!(walked.corners.len(), corners, "{text}");
        assert_eq!(walked.closing.note, None, "{text}");
    }
}

#[test]
fn bowed_walls_are_arcs() {
    // A half round bay of radius 5 ft on the east wall: π 25 / 2 more than the rectangle.
    let walked = walk("E 30 N 8 N 10 bow 5' N 8 W 30 close");
    assert!((area_ft2(&walked) - (780.0 + 12.5 * std::f64::consts::PI)).abs() < 1e-9);
    let inward = walk("E 30 N 8 N 10 bow in 5' N 8 W 30 close");
    assert!((area_ft2(&inward) - (780.0 - 12.5 * std::f64::consts::PI)).abs() < 1e-9);
    let clockwise = walk("N 26 E 30 S 8 S 10 bow 5' S 8 W 30");
    assert!((area_ft2(&clockwise) + 780.0 + 12.5 * std::f64::consts::PI).abs() < 1e-9);
    assert_eq!(
        walk("E 30 bow right 2' N 8 W 30 close").corners[0].1,
        Some(Point::feet(15.0, -2.0))
    );
}

#[test]
fn what_does_not_close_says_by_how_much_and_where() {
    let said = refused("E 38, N 26, W 37'-11\", S 26");
    assert!(said.contains("they end 0'-1\" east of the start, 1 in 1,535"), "{said}");
    assert!(said.contains("Leg 3, “W 37'-11\"”, is most likely wrong: with 38'-0\" it closes"));
    assert!(said.starts_with("line 1, column 13: "), "{said}");
    let said = refused("E 40, N 28, W 24, S 12, W 16, S 15.5");
    assert!(said.contains("0'-6\" north of the start, 1 in 271"), "{said}");
    assert!(said.contains("Leg 6, “S 15.5”"), "{said}");
    // A leg walked the wrong way.
    let said = refused("E 40 N 28 E 16 S 4 W 24 S 24");
    assert!(said.contains("Leg 3, “E 16”, most likely goes the other way"), "{said}");
    // With `close`, a side that would be an inch out of square is refused, a real angle is not.
    let said = refused("E 38 N 26 W 37'-11\" close");
    assert!(said.contains("out of square: its end is 0'-1\" east of where it should be"), "{said}");
    assert!(said.contains("with 38'-0\""), "{said}");
    assert!(walk("E 38 N 26 W 37'-11\" close straight").closing.added_side.is_some());
    let angled = walk("E 40 N 28 W 30 close");
    assert!(angled.closing.note.is_some() && (area_ft2(&angled) - 980.0).abs() < 1e-9);
    // A missing wall.
    assert!(refused("E 40 N 28 W 40").contains("28'-0\" north of the start"));
}

#[test]
fn small_misses_are_taken_up() {
    let silent = walk("E 38 N 26 W 37'-11 15/16\" S 26");
    assert_eq!(silent.closing.note, None);
    assert_eq!(silent.closing.error, Length::inches(0.0625));
    assert_eq!(silent.corners.len(), 4);
    let noted = walk("E 38 N 26 W 37'-11 5/8\" S 26");
    assert!(noted.closing.note.is_some_and(|note| note.contains("0'-0 3/8\" east")));
    // Half an inch in a shed of 5 ft is worse than 1 in 500.
    assert!(parse_traverse("E 5 N 5 W 4'-11 1/2\" S 5", LengthUnit::Feet).is_err());
}

#[test]
fn mistakes_have_their_place() {
    for (text, line, column) in [
        ("E 40\nX 28", 2, 1),
        ("E 40 N 12'-13\"", 1, 12),
        ("E", 1, 2),
        ("E 40 N", 1, 7),
        ("40 E", 1, 1),
        ("left 40", 1, 1),
        ("E 40 close N 3", 1, 12),
        ("N 45° 10'", 1, 7),
        ("N 95° E 10'", 1, 3),
        ("E 40 N 0", 1, 8),
        ("az 400 12", 1, 4),
        ("E 4,0", 1, 4),
    ] {
        let error = parse_traverse(text, LengthUnit::Feet).unwrap_err();
        let place = error.place.unwrap_or_else(|| panic!("{text}: {error}"));
        assert_eq!((place.line, place.column), (line, column), "{text}: {error}");
        assert!(!error.message.is_empty());
    }
    assert!(refused("").contains("no wall"));
    assert!(refused(&"E 4 ".repeat(30_000)).contains("longer than"));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn any_text_is_read_or_refused(text in "[NSEWnsew0-9 '\"°.,;#\\nlrazbowcloseinftm/-]{0,60}") {
        if let Ok(walked) = parse_traverse(&text, LengthUnit::Feet) {
            prop_assert!(walked.corners.iter().all(|(at, _)| at.is_finite()));
        }
    }

    #[test]
    fn one_wrong_leg_is_named(
        sizes in prop::collection::vec(4_u32..40, 2..8),
        wrong in 0_usize..100,
        by in 1_u32..12,
    ) {
        // A staircase of whole feet, one of its legs misread by some inches.
        let mut legs: Vec<(char, u32)> = Vec::new();
        let (mut east, mut north) = (0, 0);
        for (step, &size) in sizes.iter().enumerate() {
            if step % 2 == 0 { legs.push(('E', size)); east += size; } else { legs.push(('N', size)); north += size; }
        }
        legs.push(('W', east));
        legs.push(('S', north));
        let wrong = wrong % legs.len();
        let text: Vec<String> = legs.iter().enumerate().map(|(number, (way, feet))| {
            if number == wrong { format!("{way} {feet}'-{by}\"") } else { format!("{way} {feet}'") }
        }).collect();
        let said = refused(&text.join(" "));
        let named = format!("Leg {}, ", wrong + 1);
        prop_assert!(said.contains(&named), "{said}");
        let right = format!("with {}'-0\" it closes", legs[wrong].1);
        prop_assert!(said.contains(&right), "{said}");
    }
}
