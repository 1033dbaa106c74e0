//! The job file: what is written is read back the same, and what is wrong is told with its line,
//! column, field and remedy.

use slabloom_core::geometry::Point;
use slabloom_core::job::check::{self, FaultLevel};
use slabloom_core::job::edges::EdgeProfile;
use slabloom_core::job::heating::Zone;
use slabloom_core::job::ids::{ManifoldId, SideId};
use slabloom_core::job::openings::{Footprint, Penetration, PenetrationKind};
use slabloom_core::job::sheet_set::PlanScale;
use slabloom_core::job::{Job, file};
use slabloom_core::units::Length;
use std::sync::Arc;

fn l_shape() -> Job {
    Job::from_corners(&[
        (Point::feet(0.0, 0.0), None),
        (Point::feet(40.0, 0.0), Some(Point::feet(42.0, 14.0))),
        (Point::feet(40.0, 28.0), None),
        (Point::feet(16.0, 28.0), None),
        (Point::feet(16.0, 16.0), None),
        (Point::feet(0.0, 16.0), None),
    ])
}

/// A job with something in many of its corners.
fn full() -> Job {
    let mut job = l_shape();
    let id = job.ids.fresh();
    Arc::make_mut(&mut job.openings).penetrations.push(Penetration {
        id,
        name: "Floor drain \"A\"\nnear the door".to_owned(),
        at: Point::feet(8.0, 8.0),
        kind: PenetrationKind::Drain,
        shape: Footprint::Rectangle {
            length: Length::inches(12.1),
            width: Length::inches(8.3),
            turn_degrees: 30.0,
        },
        tube_clearance: Length::inches(6.0),
    });
    let side = job.outline.sides[2].id;
    Arc::make_mut(&mut job.edges).by_side.insert(side, EdgeProfile::FrostWall);
    Arc::make_mut(&mut job.joints).isolated_sides.insert(side);
    Arc::make_mut(&mut job.sheet_set).scale = Some(PlanScale(48.0));
    Arc::make_mut(&mut job.heating).design.supply_f = Some(104.5);
    let id = job.ids.fresh();
    let corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)].map(|(x, y)| Point::feet(x, y)).to_vec();
    Arc::make_mut(&mut job.heating).zones.push(Zone { id, corners, ..Zone::default() });
    job
}

#[test]
fn what_is_written_is_read_back_byte_for_byte() {
    for job in [Job::default(), l_shape(), full()] {
        let text = file::write(&job).unwrap();
        let opened = file::read(&text).unwrap();
        assert_eq!(opened.job, job);
        assert_eq!(opened.migrated_from, None);
        assert_eq!(opened.faults, vec![]);
        assert_eq!(file::write(&opened.job).unwrap(), text);
    }
    let text = file::write(&full()).unwrap();
    assert!(text.contains("scale: 48.0,"), "an optional value is written plainly");
    assert!(text.lines().all(|line| line.len() < 500), "lines stay readable");
}

#[test]
fn a_short_hand_written_file_is_enough() {
    let opened = file::read(
        "(schema: 1, ids: 5, /* four walls */ outline: (sides: [
            (id: 1, start: (0, 0)), (id: 2, start: (480, 0)),
            (id: 3, start: (480, 336)), (id: 4, start: (0, 336)),
        ]), sheet_set: (scale: 48))",
    )
    .unwrap();
    assert_eq!(opened.job.outline.sides.len(), 4);
    assert_eq!(opened.job.sheet_set.scale, Some(PlanScale(48.0)));
    assert!(opened.faults.is_empty());
}

/// One text exchanged for another in the full job's file, and what is then said.
fn said_after(old: &str, new: &str) -> (Option<(usize, usize)>, String) {
    let text = file::write(&full()).unwrap();
    assert_eq!(text.matches(old).count(), 1, "{old} stands once in\n{text}");
    let error = file::read(&text.replace(old, new)).unwrap_err();
    (error.place.map(|place| (place.line, place.column)), error.to_string())
}

#[test]
fn mistakes_are_told_with_line_field_and_remedy() {
    let line_of = |words: &str| {
        let text = file::write(&full()).unwrap();
        let at = text.find(words).unwrap_or_else(|| panic!("{words}"));
        text[..at].lines().count()
    };
    let (place, said) = said_after("floor_thickness: 4.0,", "flor_thickness: 4.0,");
    assert!(said.contains("no field “flor_thickness”"), "{said}");
    assert!(said.contains("Did you mean “floor_thickness”?"), "{said}");
    assert_eq!(place.unwrap().0, line_of("floor_thickness: 4.0,"));
    let (_, said) = said_after("kind: Drain", "kind: Drane");
    assert!(
        said.contains("“Drane” is no choice") && said.contains("Did you mean “Drain”?"),
        "{said}"
    );
    let (place, said) = said_after("floor_thickness: 4.0,", "floor_thickness: NaN,");
    assert!(said.contains("build_up.floor_thickness: That is not a number"), "{said}");
    assert_eq!(place, Some((line_of("floor_thickness: 4.0,"), 22)), "{said}");
    let (place, said) = said_after("start: (192.0, 336.0)", "start: (192.0, 1e300)");
    assert!(said.contains("outline.sides[3].start: It lies"), "{said}");
    assert_eq!(place.unwrap().0, line_of("start: (192.0, 336.0)"));
    let (_, said) = said_after("turn_degrees: 30.0", "turn_degrees: inf");
    assert!(said.contains("openings.penetrations[0].shape.turn_degrees"), "{said}");
    let (_, said) = said_after("schema: 1,", "schema: 7,");
    assert!(said.contains("newer program"), "{said}");
    let (_, said) = said_after("schema: 1,", "");
    assert!(said.contains("does not say its schema"), "{said}");
    let (place, said) = said_after("floor_thickness: 4.0,", "floor_thickness: four,");
    assert!(place.is_some() && !said.is_empty(), "{said}");
    let (_, said) =
        said_after("floor_thickness: 4.0,", "floor_thickness: 4.0,\n floor_thickness: 5.0,");
    assert!(said.contains("given twice"), "{said}");
    let (_, said) = said_after("(id: 2, start", "(id: 1, start");
    assert!(said.contains("outline.sides[1].id: Id 1 is taken twice"), "{said}");
    let (_, said) = said_after("(id: 2, start", "(id: 77, start");
    assert!(said.contains("Id 77 was never given out"), "{said}");
}

#[test]
fn a_truncated_file_is_refused_wherever_it_is_cut() {
    let text = file::write(&full()).unwrap();
    let whole = text.trim_end().len();
    // Every seventh place, so that each kind of token is cut somewhere.
    for end in (0..whole).step_by(7).filter(|&end| text.is_char_boundary(end)) {
        let error = file::read(&text[..end]).expect_err("a cut file is no job");
        assert!(!error.message.is_empty());
    }
}

#[test]
fn a_shape_that_cannot_be_built_opens_and_is_told() {
    let mut job = full();
    Arc::make_mut(&mut job.outline).sides[3].start = Point::feet(60.0, 8.0);
    let opened = file::read(&file::write(&job).unwrap()).unwrap();
    assert!(opened.faults.iter().any(|fault| fault.level == FaultLevel::Unbuildable
        && fault.message.contains("cross")
        && fault.item.is_some()
        && fault.at.is_some()));
    assert!(check::blocking_fault(&job).is_some());
    // What refers to nothing is told and does not stand in the way.
    let mut job = full();
    Arc::make_mut(&mut job.edges).by_side.insert(SideId(50), EdgeProfile::Plain);
    Arc::make_mut(&mut job.heating).zones[0].manifold = Some(ManifoldId(60));
    let faults = check::faults(&job);
    assert_eq!(faults.len(), 2);
    assert!(faults.iter().all(|fault| fault.level == FaultLevel::Loose));
    assert!(check::blocking_fault(&job).is_none());
}

#[test]
fn ranges_keep_out_what_would_never_end() {
    let refuse = |change: &dyn Fn(&mut Job), field: &str| {
        let mut job = full();
        change(&mut job);
        let fault = check::blocking_fault(&job).unwrap_or_else(|| panic!("{field} is let through"));
        assert_eq!(fault.field, field);
    };
    refuse(
        &|job| Arc::make_mut(&mut job.build_up).foam_layers[0].board_width = Length::ZERO,
        "build_up.foam_layers[0].board_width",
    );
    refuse(
        &|job| Arc::make_mut(&mut job.heating).zones[1].spacing = Length::inches(-12.0),
        "heating.zones[1].spacing",
    );
    refuse(&|job| Arc::make_mut(&mut job.pour).truck_yd3 = 0.0, "pour.truck_yd3");
    refuse(&|job| Arc::make_mut(&mut job.pour).order_step_yd3 = f64::NAN, "pour.order_step_yd3");
    refuse(
        &|job| {
            for side in &mut Arc::make_mut(&mut job.outline).sides {
                side.start = Point::new(side.start.x * 100.0, side.start.y * 100.0);
                side.through = None;
            }
        },
        "outline",
    );
    refuse(
        &|job| {
            let fan: Vec<(Point, Option<Point>)> = (0..2500)
                .map(|step| {
                    let (sin, cos) = (f64::from(step) / 2500.0 * std::f64::consts::TAU).sin_cos();
                    (Point::feet(80.0 * cos, 80.0 * sin), None)
                })
                .collect();
            *job = Job::from_corners(&fan);
        },
        "outline",
    );
}

#[test]
fn old_files_open_for_ever() {
    // One file for each version.
    let files: [&str; slabloom_core::job::SCHEMA as usize] = [include_str!("../old_jobs/v1.ron")];
    for text in files {
        let opened = file::read(text).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(opened.job.schema, slabloom_core::job::SCHEMA);
        assert_eq!(opened.faults, vec![]);
        assert_eq!(opened.job.outline.sides.len(), 6);
    }
}

#[test]
fn the_samples_open_without_a_fault() {
    for text in [
        include_str!("../../samples/house.ron"),
        include_str!("../../samples/workshop.ron"),
        include_str!("../../samples/studio.ron"),
    ] {
        let opened = file::read(text).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(opened.faults, vec![]);
    }
}
