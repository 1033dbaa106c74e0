//! Outlines and shots from exchange files: the same L in every format, the checked point file in
//! both orders, and texts that are refused with their place.

use proptest::prelude::*;
use slabloom_core::geometry::{Point, polygon};
use slabloom_core::job::ReadError;
use slabloom_core::job::ids::IdSource;
use slabloom_core::job::import::shots::{self, HeightColumn, ShotOptions, ShotOrder};
use slabloom_core::job::import::{Imported, csv, geojson, wkt};
use slabloom_core::units::{Length, LengthUnit};

const L: [(f64, f64); 6] =
    [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (16.0, 28.0), (16.0, 16.0), (0.0, 16.0)];

fn outline(imported: &Imported) -> Vec<Point> {
    imported.outline.iter().map(|(at, _)| *at).collect()
}

fn area_ft2(imported: &Imported) -> f64 {
    polygon::signed_area(&outline(imported)) / 144.0
}

#[test]
fn the_same_l_in_every_format() {
    let feet = LengthUnit::Feet;
    let well_known =
        "POLYGON ((0 0, 40 0, 40 28, 16 28, 16 16, 0 16, 0 0), (20 4, 24 4, 24 8, 20 8, 20 4))";
    let bare = r#"{"type":"Polygon","coordinates":[[[0,0],[40,0],[40,28],[16,28],[16,16],[0,16],[0,0]],
        [[20,4],[24,4],[24,8],[20,8],[20,4]]]}"#;
    let collection = format!(
        r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{}},"geometry":{bare}}}]}}"#
    );
    let table = "x,y\n0,0\n40,0\n40,28\n16,28\n16,16\n0,16\nopening\n20,4\n24,4\n24,8\n20,8\n";
    let by_names = "north_ft; east_ft\n0;0\n0;40\n28;40\n28;16\n16;16\n16;0\nopening\n4;20\n4;24\n8;24\n8;20\n";
    for imported in [
        wkt::read(well_known, feet).unwrap(),
        wkt::read(
            "polygon z((0 0 1,40 0 1,40 28 1,16 28 1,16 16 1,0 16 1,0 0 1),
            (20 4 1, 24 4 1, 24 8 1, 20 8 1, 20 4 1))",
            feet,
        )
        .unwrap(),
        geojson::read(bare, feet).unwrap(),
        geojson::read(&collection, feet).unwrap(),
        csv::read(table, feet).unwrap(),
        csv::read(by_names, feet).unwrap(),
    ] {
        assert_eq!(outline(&imported), L.map(|(x, y)| Point::feet(x, y)).to_vec());
        assert_eq!(imported.openings.len(), 1);
        assert!((area_ft2(&imported) - 928.0).abs() < 1e-9);
        assert!(imported.notes.is_empty(), "{:?}", imported.notes);
        let job = imported.into_job();
        assert_eq!(job.outline.sides.len(), 6);
        assert_eq!(job.openings.openings[0].corners.len(), 4);
        assert!((job.outline.ring().perimeter() / 12.0 - 136.0).abs() < 1e-9);
    }
}

#[test]
fn units_text_lengths_and_other_separators() {
    let metres =
        wkt::read("POLYGON((0 0,12.192 0,12.192 7.62,0 7.62,0 0))", LengthUnit::Meters).unwrap();
    assert!((area_ft2(&metres) - 1000.0).abs() < 1e-9);
    let text = csv::read("0'\t0'\n40'-0\"\t0\n40'\t25\n0\t25'", LengthUnit::Feet).unwrap();
    assert!((area_ft2(&text) - 1000.0).abs() < 1e-9);
    let quoted =
        csv::read("\"40'-0\"\"\",0\n40,25\n0,25\n\"0\",\"0\"\n", LengthUnit::Feet).unwrap();
    assert!((area_ft2(&quoted) - 1000.0).abs() < 1e-9);
    let blanks =
        csv::read("# a note\n\n 0   0\n480 0\n480 300\n0 300\n", LengthUnit::Inches).unwrap();
    assert!((area_ft2(&blanks) - 1000.0).abs() < 1e-9);
}

#[test]
fn far_plans_move_near_and_slips_are_mended() {
    let far = wkt::read(
        "POLYGON((2000000.5 700000,2000040.5 700000,2000040.5 700025,2000000.5 700025,2000000.5 700000))",
        LengthUnit::Feet,
    )
    .unwrap();
    assert_eq!(far.outline[0].0, Point::feet(0.5, 0.0));
    assert_eq!(far.shift.x, -2_000_000.0 * 12.0);
    assert!(far.notes[0].contains("moved"));
    let slips =
        csv::read("0,0\n40,0\n40,0\n40,25\n40,30\n40,25\n0,25\n", LengthUnit::Feet).unwrap();
    assert_eq!(slips.outline.len(), 4);
    assert_eq!(slips.notes.len(), 1, "{:?}", slips.notes);
    let clockwise = csv::read("0,0\n0,25\n40,25\n40,0\n", LengthUnit::Feet).unwrap();
    assert!(clockwise.notes[0].contains("mirrored"));
    let open = wkt::read("POLYGON((0 0,40 0,40 25,0 25))", LengthUnit::Feet).unwrap();
    assert!(open.notes[0].contains("closed straight"));
}

type Reader = fn(&str, LengthUnit) -> Result<Imported, ReadError>;
/// Reader, text, line and column of the mistake, words of the message.
type Refused = (Reader, &'static str, Option<(usize, usize)>, &'static str);

#[test]
fn what_is_refused_says_where_and_why() {
    let cases: &[Refused] = &[
        (wkt::read, "", Some((1, 1)), "POLYGON is expected"),
        (wkt::read, "MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0)))", Some((1, 1)), "more than one slab"),
        (wkt::read, "POINT (1 2)", Some((1, 1)), "not “POINT”"),
        (wkt::read, "POLYGON EMPTY", Some((1, 8)), "empty"),
        (wkt::read, "POLYGON ((0 0, 40 0,\n 40 x, 0 0))", Some((2, 5)), "“x” is not a number"),
        (wkt::read, "POLYGON ((0 0, 40 0, NaN 5, 0 0))", Some((1, 22)), "“NaN”"),
        (wkt::read, "POLYGON ((0 0, 40 0, 40 1e999, 0 0))", Some((1, 25)), "not a number"),
        (wkt::read, "POLYGON ((0 0, 40 0, 40 1e300, 0 0))", Some((1, 16)), "ft from the origin"),
        (wkt::read, "POLYGON ((0 0, 40 0, 40 28", Some((1, 27)), "“)” is missing"),
        (wkt::read, "POLYGON ((0 0, 40 0, 40 28, 0 0)) x", Some((1, 35)), "follows after"),
        (wkt::read, "POLYGON ((0 0, 40 0, 40))", Some((1, 24)), "A number is missing"),
        (wkt::read, "POLYGON ((0 0, 40 28, 40 0, 0 30, 0 0))", Some((1, 11)), "cross"),
        (geojson::read, "{", Some((1, 1)), "not JSON"),
        (geojson::read, "[]", None, "no “type”"),
        (geojson::read, r#"{"type":"MultiPolygon","coordinates":[]}"#, None, "more than one slab"),
        (geojson::read, r#"{"type":"Polygon"}"#, None, "no coordinates"),
        (geojson::read, r#"{"type":"Polygon","coordinates":[]}"#, None, "no outline"),
        (
            geojson::read,
            r#"{"type":"Polygon","coordinates":[[[0,0],[1,"a"]]]}"#,
            None,
            "Position 2 of ring 1",
        ),
        (geojson::read, r#"{"type":"FeatureCollection","features":[]}"#, None, "0 features"),
        (
            geojson::read,
            r#"{"type":"Polygon","coordinates":[[[-72.5,44.2],[-72.4998,44.2],[-72.4998,44.2002],[-72.5,44.2]]]}"#,
            None,
            "degrees",
        ),
        (csv::read, "", None, "no corners"),
        (csv::read, "x,y\n0,0\n40,4q\n", Some((3, 5)), "no unit of length"),
        (csv::read, "x,y\n0,0\n40\n", Some((3, 1)), "cell 2 is needed"),
        (csv::read, "a,b\n0,0\n", Some((1, 1)), "names no columns"),
        (csv::read, "0,0\n40,28\n40,0\n0,30\n", Some((1, 1)), "cross"),
        (csv::read, "0,0\n40,0\n", None, "too few sides"),
        (csv::read, "0,0\n1e300,0\n5,5\n", Some((2, 2)), "no unit"),
    ];
    for (read, text, place, words) in cases {
        let error = read(text, LengthUnit::Feet).unwrap_err();
        assert!(error.to_string().contains(words), "{text}: {error}");
        assert_eq!(error.place.map(|place| (place.line, place.column)), *place, "{text}: {error}");
    }
}

/// The point file of common surveying practice: number, north, east, height, note.
const POINTS: &str = "101,5000.000,1000.000,100.00,SLAB COR
102,5000.000,1040.000,100.00,SLAB COR
103,5028.000,1040.000,100.25,SLAB COR, NE of drive
104,5028.000,1016.000,100.00,SLAB COR,
105,5016.000,1016.000,100.00,
106,5016.000,1000.000,100.00
";

#[test]
fn a_point_file_in_both_orders() {
    let area = |order| {
        let options = ShotOptions { order, ..ShotOptions::default() };
        let read = shots::read(POINTS, options, &mut IdSource::default()).unwrap();
        let points: Vec<Point> = read.shots.iter().map(|shot| shot.at).collect();
        (polygon::signed_area(&points) / 144.0, read)
    };
    let (north_first, read) = area(None);
    assert!((north_first - 928.0).abs() < 1e-9);
    assert!(read.notes[0].contains("mirrored"));
    assert_eq!(read.shots[2].note, "SLAB COR, NE of drive");
    assert_eq!(read.shots[3].note, "SLAB COR");
    assert_eq!(read.shots[2].height, Length::feet(100.25));
    assert_eq!(read.shots[0].name, "101");
    assert!(read.shots.windows(2).all(|pair| pair[0].id < pair[1].id));
    let (east_first, _) = area(Some(ShotOrder::EastNorth));
    assert!((east_first + 928.0).abs() < 1e-9);
}

#[test]
fn headers_rods_and_three_columns() {
    let ids = &mut IdSource::default();
    let named = "Point,Easting,Northing,Elev,Desc\n1,10,20,99.5,a\n";
    let read = shots::read(named, ShotOptions::default(), ids).unwrap();
    assert_eq!(read.shots[0].at, Point::feet(10.0, 20.0));
    assert!(read.notes.is_empty());
    let rod = "x,y,rod\n1,2,4.25\n";
    let read = shots::read(rod, ShotOptions::default(), ids).unwrap();
    assert_eq!(read.shots[0].height, Length::feet(-4.25));
    assert_eq!(read.notes.len(), 1);
    let heights = HeightColumn::RodReadings(Length::feet(104.0));
    let read = shots::read(rod, ShotOptions { heights, ..ShotOptions::default() }, ids).unwrap();
    assert_eq!(read.shots[0].height, Length::feet(99.75));
    let plain = shots::read("1 2 3\n4 5 6\n", ShotOptions::default(), ids).unwrap();
    assert_eq!(plain.shots[1].at, Point::feet(4.0, 5.0));
    let error = shots::read("1,2,x,4\n", ShotOptions::default(), ids).unwrap_err();
    assert_eq!(error.place.map(|place| place.column), Some(5));
    assert!(shots::read("", ShotOptions::default(), ids).is_err());
    assert!(shots::read("a,b\n", ShotOptions::default(), ids).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn any_text_is_read_or_refused(text in "[POLYGNZMpolygn(){}\\[\\]0-9eE., \":\\-+\\n;\\t#'xytype]{0,80}") {
        let read = |text: &str| {
            let _ = wkt::read(text, LengthUnit::Feet);
            let _ = geojson::read(text, LengthUnit::Feet);
            let _ = csv::read(text, LengthUnit::Feet);
            let _ = shots::read(text, ShotOptions::default(), &mut IdSource::default());
        };
        read(&text);
        read(&format!("POLYGON (({text}"));
        read(&format!("{{\"type\":\"Polygon\",\"coordinates\":[[{text}]]}}"));
    }

    #[test]
    fn what_is_written_is_read_back(corners in prop::collection::vec((1_u32..400, 0.0..1.0_f64), 3..30)) {
        let n = corners.len() as f64;
        let points: Vec<(f64, f64)> = corners.iter().enumerate().map(|(k, &(r, _))| {
            let angle = k as f64 / n * std::f64::consts::TAU;
            (f64::from(r + 20) * slabloom_core::units::exact_math::cos(angle), f64::from(r + 20) * slabloom_core::units::exact_math::sin(angle))
        }).collect();
        let well_known: Vec<String> = points.iter().chain(points.first()).map(|(x, y)| format!("{x} {y}")).collect();
        let imported = wkt::read(&format!("POLYGON (({}))", well_known.join(", ")), LengthUnit::Inches).unwrap();
        let expected: Vec<Point> = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
        prop_assert_eq!(outline(&imported), expected);
    }
}
