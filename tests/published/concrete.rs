//! Volumes, order, forms and steel against worked cases from outside the program.
//!
//! The worked volumes V1 to V12h were computed twice outside this program: in closed form by the
//! prismoidal formula with the sum of half-angle cotangents over the corners, and by integration
//! over mitred offsets with a general geometry library (Simpson, 400 levels). Each pair agrees to
//! four decimals of a cubic foot. Cases have no edge foam.

use crate::independent::levels::Levels;
use crate::independent::offsets;
use crate::independent::random_slabs::{Dice, cases, edged_slab, full_slab};
use slabloom_core::concrete::{Concrete, cast};
use slabloom_core::geometry::offset::inset;
use slabloom_core::geometry::{Point, Polygon};
use slabloom_core::job::Job;
use slabloom_core::job::edges::{EdgeProfile, ThickenedEdge, Threshold};
use slabloom_core::job::openings::{Corner, Footprint, Opening};
use slabloom_core::job::thickenings::{FallsTo, Pad, SlopedArea, ThickenedStrip};
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

pub fn rectangle(x: f64, y: f64) -> Vec<(f64, f64)> {
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
pub fn edged(corners: &[(f64, f64)], floor: f64, depth: f64, flat: f64, run: f64) -> Job {
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

#[test]
fn random_edges_agree_with_the_closed_form() {
    let (mut checked, mut worst) = (0, 0.0_f64);
    for case in 0..cases(300) {
        let job = edged_slab(&mut Dice(case), case % 2 == 1);
        let plan = Plan::of(&job);
        let Some(closed) = offsets::edged_volume(&job, &plan) else { continue };
        let ours = cast(&job, &plan).volumes.net;
        let off = (ours - closed).abs() / closed;
        assert!(off < 1e-9, "case {case}: {ours} for {closed}, off by {off:e}");
        checked += 1;
        worst = worst.max(off);
    }
    println!("closed form: {checked} jobs, worst {worst:e}");
    assert!(checked > cases(300) / 4, "only {checked} jobs had a closed form");
}

#[test]
fn random_solids_agree_level_by_level() {
    let (mut checked, mut worst) = (0, 0.0_f64);
    for case in 0..cases(40) {
        let job = full_slab(&mut Dice(1_000_000 + case));
        let plan = Plan::of(&job);
        let Some(levels) = Levels::new(&job, &plan) else { continue };
        let (ours, theirs) = (cast(&job, &plan).volumes.net, levels.volume());
        let off = (ours - theirs).abs() / theirs;
        assert!(off < 1e-6, "case {case}: {ours} for {theirs}, off by {off:e}");
        checked += 1;
        worst = worst.max(off);
    }
    println!("levels: {checked} jobs, worst {worst:e}");
    assert!(checked > 5);
}

/// Answers that plausible short cuts give, each far enough off to be caught.
#[test]
fn the_usual_wrong_answers_are_not_given() {
    let traps: [(&str, f64, f64); 6] = [
        ("V3 by the outer perimeter, corners twice", net_ft3(&v3()), 977.7778),
        ("V4 likewise", net_ft3(&edged(V2, 5.0, 12.0, 12.0, 12.0)), 542.5),
        ("V4 with its inside corner rounded", net_ft3(&edged(V2, 5.0, 12.0, 12.0, 12.0)), 536.7635),
        ("V5 by the outer perimeter", net_ft3(&edged(V5, 4.0, 12.0, 12.0, 8.0)), 639.39),
        ("V6 by the outer perimeter", net_ft3(&edged(V6, 4.0, 12.0, 12.0, 8.0)), 296.2527),
        ("V9 with the strip carried through the edges", net_ft3(&v9()), 1026.2716),
    ];
    for (name, ours, wrong) in traps {
        assert!((ours - wrong).abs() > 0.2, "{name}: {ours}");
    }
    let hole = with_hole(v3(), HOLE_V8, edge(12.0, 12.0, 8.0));
    assert!((net_ft3(&hole) - 986.517).abs() > 0.2, "opening with rounded corners");
    let stub = net_ft3(&edged(&rectangle(3.0, 10.0), 4.0, 12.0, 12.0, 12.0));
    assert!((stub - 29.7778).abs() > 0.2, "closed form past its limit: {stub}");
}

/// The amount of one square corner: 1.209877 ft³ for t 4, D 12, b 12, s 8 in; the second figure
/// for t 5, D 12, b 12, s 12.
#[test]
fn a_square_corner_takes_its_own_amount() {
    let per_corner = |floor: f64, run: f64| {
        let straight = (12.0 - floor) / 12.0 * (1.0 + run / 24.0) * 200.0;
        let edges = solid(&edged(&rectangle(40.0, 60.0), floor, 12.0, 12.0, run)).volumes.edges;
        (straight - edges / 1728.0) / 4.0
    };
    assert!((per_corner(4.0, 8.0) - 1.209_877).abs() < 1e-6);
    assert!((per_corner(5.0, 12.0) - 1.361_111).abs() < 1e-6);
}

#[test]
fn turning_moving_and_splitting_change_nothing() {
    // V5 turned 30 degrees and moved (10, 5), as printed with the case.
    let turned =
        [(10.0, 5.0), (51.5692, 29.0), (39.5692, 49.7846), (28.641, 52.7128), (-6.0, 32.7128)];
    let ours = net_ft3(&edged(&turned, 4.0, 12.0, 12.0, 8.0));
    assert!((ours - 634.758).abs() < 0.005, "{ours}");
    let right = net_ft3(&edged(V12, 4.0, 12.0, 12.0, 8.0));
    let mut backward = V12.to_vec();
    backward.reverse();
    let mut split = V12.to_vec();
    split.insert(1, (20.0, 0.0));
    let far: Vec<_> = V12.iter().map(|&(x, y)| (x + 7000.0, y - 7000.0)).collect();
    for corners in [backward, split, far] {
        let ours = net_ft3(&edged(&corners, 4.0, 12.0, 12.0, 8.0));
        assert!((ours - right).abs() < 1e-9 * right, "{ours} for {right}");
    }
}

#[test]
fn volumes_scale_and_grow_as_they_must() {
    let base = net_ft3(&edged(V2, 4.0, 12.0, 12.0, 8.0));
    let doubled: Vec<_> = V2.iter().map(|&(x, y)| (2.0 * x, 2.0 * y)).collect();
    let twice = net_ft3(&edged(&doubled, 8.0, 24.0, 24.0, 16.0));
    assert!((twice - 8.0 * base).abs() < 1e-9 * twice);
    for grown in [
        edged(V2, 4.5, 12.0, 12.0, 8.0),
        edged(V2, 4.0, 12.5, 12.0, 8.0),
        edged(V2, 4.0, 12.0, 12.5, 8.0),
        edged(V2, 4.0, 12.0, 12.0, 8.5),
    ] {
        assert!(net_ft3(&grown) > base);
    }
    assert!(base > 1008.0 * 4.0 / 12.0 && base < 1008.0);
    // A strip that lies wholly in the edge adds nothing.
    let mut job = v3();
    let id = job.ids.fresh();
    Arc::make_mut(&mut job.thickenings).strips.push(ThickenedStrip {
        id,
        name: String::new(),
        line: vec![Point::feet(0.5, 10.0), Point::feet(0.5, 20.0)],
        flat_width: Length::inches(8.0),
        total_depth: Length::inches(12.0),
        haunch_run: Length::ZERO,
    });
    assert!(solid(&job).volumes.strips.abs() < 1e-6);
}

#[test]
fn parts_add_up_and_cells_tile_the_slab() {
    for case in 0..50 {
        let job = full_slab(&mut Dice(2_000_000 + case));
        let plan = Plan::of(&job);
        let concrete = cast(&job, &plan);
        let v = concrete.volumes;
        let sum = v.floor + v.edges + v.strips + v.pads + v.recesses + v.slopes + v.displaced;
        assert!((sum - v.net).abs() <= 1e-9 * v.net);
        let area: f64 = concrete
            .cells
            .iter()
            .map(|cell| slabloom_core::geometry::polygon::signed_area(&cell.corners))
            .sum();
        assert!((area - plan.region.area()).abs() < 1e-9 * area, "case {case}");
        for cell in &concrete.cells {
            let pairs = cell.top.iter().zip(&cell.underside);
            assert!(pairs.clone().all(|(top, underside)| *underside - *top > -1e-6));
        }
    }
}

/// A 12 in round pier 3 ft deep is 2.3562 ft³, a 16 in one 4.1888 (πr²h).
#[test]
fn round_piers_have_the_volume_of_cylinders() {
    for (across, printed) in [(12.0, 2.3562), (16.0, 4.1888)] {
        let mut job = slab(&rectangle(20.0, 20.0), 0.0);
        let id = job.ids.fresh();
        Arc::make_mut(&mut job.thickenings).pads.push(Pad {
            id,
            name: String::new(),
            at: Point::feet(10.0, 10.0),
            shape: Footprint::Round { diameter: Length::inches(across) },
            total_depth: Length::inches(36.0),
            haunch_run: Length::ZERO,
        });
        volume(&job, printed);
    }
}

/// Prismoid of an engineering handbook: 100 ft long, 1504, 1860 and 2240 ft² at the ends and the
/// middle, printed 6904 yd³. The same rule gives the volume of a sloped round pad.
#[test]
fn the_prismoidal_rule() {
    let printed: f64 = 100.0 * (1504.0 + 4.0 * 1860.0 + 2240.0) / 6.0 / 27.0;
    assert!((printed - 6904.0).abs() < 1.0);
    let mut job = slab(&rectangle(20.0, 20.0), 4.0);
    let id = job.ids.fresh();
    Arc::make_mut(&mut job.thickenings).pads.push(Pad {
        id,
        name: String::new(),
        at: Point::feet(10.0, 10.0),
        shape: Footprint::Round { diameter: Length::inches(24.0) },
        total_depth: Length::inches(12.0),
        haunch_run: Length::inches(6.0),
    });
    let area = |radius: f64| std::f64::consts::PI * radius * radius;
    let frustum = 8.0 / 6.0 * (area(18.0) + 4.0 * area(15.0) + area(12.0));
    assert!((solid(&job).volumes.pads - frustum).abs() < 1e-6);
}

/// A stadium: the floor and the edge are those of the true half circles (Pappus).
#[test]
fn round_ends_are_exact() {
    let corners = [
        (Point::new(0.0, 0.0), None),
        (Point::new(480.0, 0.0), Some(Point::new(600.0, 120.0))),
        (Point::new(480.0, 240.0), None),
        (Point::new(0.0, 240.0), Some(Point::new(-120.0, 120.0))),
    ];
    let mut job = edged(&rectangle(1.0, 1.0), 4.0, 12.0, 12.0, 8.0);
    job.outline = Arc::new(slabloom_core::job::Outline::from_corners(&corners, &mut job.ids));
    let pi = std::f64::consts::PI;
    let floor = 4.0 * (480.0 * 240.0 + pi * 120.0 * 120.0);
    let section = 8.0 * (12.0 + 4.0);
    let first = 8.0 * (72.0 + 48.0 + 64.0 / 6.0);
    let edges = section * 960.0 + 2.0 * pi * (120.0 * section - first);
    let ours = solid(&job).volumes;
    assert!((ours.floor - floor).abs() < 1e-6);
    assert!((ours.edges - edges).abs() < 1e-6 * edges, "{} for {edges}", ours.edges);
}

/// Narrow wings and jogs shorter than the band is wide: for edges alike all round, the level
/// between them is the outline shrunk with mitred corners by a general offset engine, however
/// many pieces that leaves.
#[test]
fn swallowed_wings_agree_with_an_offset_engine() {
    let mut worst = 0.0_f64;
    for case in 0..cases(60) {
        let mut dice = Dice(3_000_000 + case);
        let wings = 2 + dice.below(5);
        let (mut x, mut top, mut last) = (0.0, Vec::new(), 0.0_f64);
        for _ in 0..wings {
            let width = dice.between(15.0, 60.0);
            let mut height = dice.between(20.0, 90.0);
            while (height - last).abs() < 2.0 {
                height = dice.between(20.0, 90.0);
            }
            last = height;
            top.extend([(x, height), (x + width, height)]);
            x += width;
        }
        let corners: Vec<_> = [(0.0, 0.0), (x, 0.0)]
            .into_iter()
            .chain(top.into_iter().rev())
            .map(|(x, y)| (Point::new(x, y), None))
            .collect();
        let mut job = Job::from_corners(&corners);
        let edges = Arc::make_mut(&mut job.edges);
        edges.edge_foam.thickness = Length::ZERO;
        edges.usual = edge(12.0, dice.between(4.0, 14.0), dice.between(2.0, 10.0));
        let EdgeProfile::Thickened(profile) = edges.usual else { unreachable!() };
        let (flat, run) = (profile.flat_width.to_inches(), profile.haunch_run.to_inches());
        let plan = Plan::of(&job);
        let slab = [plan.region.clone()];
        let whole = plan.region.area();
        let ring = |depth: f64| {
            let width = flat + run * (12.0 - depth) / 8.0;
            whole - inset(&slab, width).iter().map(Polygon::area).sum::<f64>()
        };
        let steps = 400;
        let height = 8.0 / f64::from(steps);
        let theirs: f64 = (0..steps)
            .map(|step| {
                let from = 4.0 + height * f64::from(step);
                height / 6.0 * (ring(from) + 4.0 * ring(from + height / 2.0) + ring(from + height))
            })
            .sum::<f64>()
            + 4.0 * whole;
        let ours = cast(&job, &plan).volumes.net;
        let off = (ours - theirs).abs() / theirs;
        assert!(off < 1e-6, "case {case}: {ours} for {theirs}");
        worst = worst.max(off);
    }
    println!("offset engine: worst {worst:e}");
}

#[test]
fn foam_inside_the_form_takes_no_concrete_where_a_door_has_none() {
    // Worked by hand: 40 x 20 ft, 6 in floor, 2 in of foam all round, a door of 10 ft in the long
    // side with its own corners. Foam takes (40 x 20 - 39 8/12 x 19 8/12) ft2 of a half foot;
    // without it at the door, 10 ft x 2 in of a half foot stay.
    let corners = [(0.0, 0.0), (15.0, 0.0), (25.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0)];
    let mut job = slab(&corners, 6.0);
    let door = job.outline.sides[1].id;
    let edges = Arc::make_mut(&mut job.edges);
    let level = Threshold {
        lowered_by: Length::ZERO,
        foam_stops_short: Length::ZERO,
        thickened: None,
        ..Threshold::default()
    };
    edges.by_side.insert(door, EdgeProfile::Threshold(level));
    edges.edge_foam.thickness = Length::inches(2.0);
    let net = |job: &Job| cast(job, &Plan::of(job)).volumes.net / 1728.0;
    let inner = (40.0 - 4.0 / 12.0) * (20.0 - 4.0 / 12.0) * 0.5;
    for (at_doors, stays) in [(0.0, 2.0), (0.5, 1.5), (2.0, 0.0), (4.0, 0.0)] {
        Arc::make_mut(&mut job.edges).edge_foam.at_doors = Length::inches(at_doors);
        let expected = inner + 10.0 * stays / 12.0 * 0.5;
        assert!((net(&job) - expected).abs() < 1e-6, "{at_doors} in: {} ft3", net(&job));
    }
}
