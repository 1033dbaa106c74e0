//! Volumes, order, forms and steel against worked cases from outside the program.
//!
//! The worked volumes V1 to V12h were computed twice outside this program: in closed form by the
//! prismoidal formula with the sum of half-angle cotangents over the corners, and by integration
//! over mitred offsets with a general geometry library (Simpson, 400 levels). Each pair agrees to
//! four decimals of a cubic foot. Cases have no edge foam.

use slabloom_core::concrete::{Concrete, cast};
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::edges::{EdgeProfile, ThickenedEdge};
use slabloom_core::job::openings::{Corner, Opening};
use slabloom_core::job::thickenings::{FallsTo, SlopedArea, ThickenedStrip};
use slabloom_core::plan::Plan;
use slabloom_core::units::Length;
use std::sync::Arc;

const V2: &[(f64, f64)] =
    &[(0.0, 0.0), (40.0, 0.0), (40.0, 18.0), (24.0, 18.0), (24.0, 30.0), (0.0, 30.0)];
const V5: &[(f64, f64)] = &[(0.0, 0.0), (48.0, 0.0), (48.0, 24.0), (40.0, 32.0), (0.0, 32.0)];
const V6: &[(f64, f64)] = &[(0.0, 0.0), (40.0, 0.0), (20.0, 20.0), (0.0, 20.0)];
const V7: &[(f64, f64)] =
    &[(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (30.0, 20.0), (24.0, 26.0), (0.0, 26.0)];
const V12: &[(f64, f64)] =
    &[(0.0, 0.0), (50.0, 0.0), (50.0, 20.0), (42.0, 28.0), (30.0, 28.0), (30.0, 40.0), (0.0, 40.0)];

fn rectangle(x: f64, y: f64) -> Vec<(f64, f64)> {
    vec![(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)]
}

/// A slab through corners in feet, with a floor thickness in inches, plain edges and no foam.
pub fn slab(corners: &[(f64, f64)], floor: f64) -> Job {
    let corners: Vec<_> = corners.iter().map(|&(x, y)| (Point::feet(x, y), None)).collect();
    let mut job = Job::from_corners(&corners);
    Arc::make_mut(&mut job.build_up).floor_thickness = Length::inches(floor);
    let edges = Arc::make_mut(&mut job.edges);
    edges.usual = EdgeProfile::Plain;
    edges.edge_foam.thickness = Length::ZERO;
    job
}

/// An edge of total depth, flat width and slope run in inches.
fn edge(depth: f64, flat: f64, run: f64) -> EdgeProfile {
    EdgeProfile::Thickened(ThickenedEdge {
        total_depth: Length::inches(depth),
        flat_width: Length::inches(flat),
        haunch_run: Length::inches(run),
    })
}

/// The same slab with this edge all round.
fn edged(corners: &[(f64, f64)], floor: f64, depth: f64, flat: f64, run: f64) -> Job {
    let mut job = slab(corners, floor);
    Arc::make_mut(&mut job.edges).usual = edge(depth, flat, run);
    job
}

fn with_hole(mut job: Job, corners: &[(f64, f64)], rim: EdgeProfile) -> Job {
    let opening = job.ids.fresh();
    let corners =
        corners.iter().map(|&(x, y)| Corner { at: Point::feet(x, y), through: None }).collect();
    Arc::make_mut(&mut job.openings).openings.push(Opening {
        id: opening,
        name: String::new(),
        corners,
    });
    Arc::make_mut(&mut job.edges).by_opening.insert(opening, rim);
    job
}

fn solid(job: &Job) -> Concrete {
    cast(job, &Plan::of(job))
}

fn net_ft3(job: &Job) -> f64 {
    solid(job).volumes.net / 1728.0
}

#[track_caller]
fn volume(job: &Job, printed_ft3: f64) {
    let ours = net_ft3(job);
    assert!((ours - printed_ft3).abs() < 0.000_06, "{ours} for {printed_ft3}");
}

const HOLE_V8: &[(f64, f64)] = &[(20.0, 16.0), (26.0, 16.0), (26.0, 20.0), (20.0, 20.0)];
const HOLE_V12: &[(f64, f64)] = &[(10.0, 10.0), (14.0, 10.0), (14.0, 14.0), (10.0, 14.0)];

fn v3() -> Job {
    edged(&rectangle(40.0, 60.0), 4.0, 12.0, 12.0, 8.0)
}

fn v9() -> Job {
    let mut job = v3();
    let id = job.ids.fresh();
    Arc::make_mut(&mut job.thickenings).strips.push(ThickenedStrip {
        id,
        name: String::new(),
        line: vec![Point::feet(0.0, 30.0), Point::feet(40.0, 30.0)],
        flat_width: Length::inches(16.0),
        total_depth: Length::inches(12.0),
        haunch_run: Length::inches(8.0),
    });
    job
}

#[test]
fn flat_slabs() {
    volume(&slab(&rectangle(24.0, 30.0), 4.0), 240.0);
    volume(&slab(V2, 5.0), 420.0);
}

#[test]
fn a_rectangle_with_thickened_edges() {
    volume(&v3(), 972.9383);
    assert!((net_ft3(&v3()) / 27.0 - 36.0348).abs() < 0.000_06);
    volume(&edged(&rectangle(40.0, 60.0), 4.0, 11.25, 12.0, 7.25), 953.1643);
    volume(&edged(&rectangle(40.0, 60.0), 4.0, 11.25, 12.0, 8.0), 956.7253);
    volume(&edged(&rectangle(40.0, 60.0), 4.0, 12.0, 12.0, 0.0), 930.6667);
    // A pavement's free edge at 125 % of thickness, tapering over 5 ft (UFC 3-260-02, 12).
    volume(&edged(&rectangle(40.0, 60.0), 6.0, 7.5, 0.0, 60.0), 1258.3333);
}

#[test]
fn corners_of_every_kind() {
    volume(&edged(V2, 5.0, 12.0, 12.0, 12.0), 537.0556);
    volume(&edged(V5, 4.0, 12.0, 12.0, 8.0), 634.7580);
    volume(&edged(V6, 4.0, 12.0, 12.0, 8.0), 290.4109);
    volume(&edged(V7, 4.0, 12.0, 12.0, 8.0), 430.0363);
    volume(&edged(V12, 4.0, 12.0, 12.0, 8.0), 727.2025);
}

#[test]
fn openings_plain_and_thickened() {
    volume(&with_hole(v3(), HOLE_V8, EdgeProfile::Plain), 964.9383);
    volume(&with_hole(v3(), HOLE_V8, edge(12.0, 12.0, 8.0)), 987.5556);
    let v12 = edged(V12, 4.0, 12.0, 12.0, 8.0);
    volume(&with_hole(v12, HOLE_V12, EdgeProfile::Plain), 721.8692);
}

#[test]
fn a_strip_counts_once_where_it_meets_the_edges() {
    volume(&v9(), 1022.6173);
    let strips = solid(&v9()).volumes.strips / 1728.0;
    assert!((strips - 4024.0 / 81.0).abs() < 1e-9, "{strips}");
}

#[test]
fn a_narrow_stub_is_the_union_of_its_edges() {
    let stub = edged(&rectangle(3.0, 10.0), 4.0, 12.0, 12.0, 12.0);
    assert!((net_ft3(&stub) - 517.0 / 18.0).abs() < 1e-9);
}

#[test]
fn a_falling_top_over_a_level_bottom() {
    let mut job = slab(V2, 6.0);
    let id = job.ids.fresh();
    Arc::make_mut(&mut job.thickenings).slopes.push(SlopedArea {
        id,
        name: String::new(),
        corners: V2.iter().map(|&(x, y)| Point::feet(x, y)).collect(),
        falls_to: FallsTo::Line { from: Point::feet(40.0, 0.0), to: Point::feet(40.0, 18.0) },
        fall_per_foot: Length::inches(0.125),
    });
    volume(&job, 318.0);
}
