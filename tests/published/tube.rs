//! Tube on random floors, measured by a second, plainer computation.
//!
//! `SLABLOOM_CASES=1000` raises the number of floors; `SLABLOOM_FIRST` sets the first seed;
//! `SLABLOOM_PICTURES=folder` writes an SVG of every floor, named by what is wrong with it.

#[path = "independent/tube.rs"]
mod independent;
#[path = "shapes/zones.rs"]
pub mod zones;

use independent::{Line, Measured, measure};
use slabloom_core::concrete::Concrete;
use slabloom_core::effort::Cancel;
use slabloom_core::geometry::Segment;
use slabloom_core::joints::MovingJoints;
use slabloom_core::plan::Plan;
use slabloom_core::tube::{Tube, TubeFaultKind, route_circuits};
use zones::{Floor, KINDS, floor};

/// Of so many random floors the means are held to what is asked.
const MANY_FLOORS: usize = 400;

fn variable(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

struct Case {
    seed: u64,
    floor: Floor,
    tube: Tube,
    measured: Measured,
    area: f64,
    millis: f64,
}

impl Case {
    fn imbalance(&self) -> f64 {
        let lengths = &self.measured.lengths;
        let mean = lengths.iter().sum::<f64>() / lengths.len().max(1) as f64;
        let most = lengths.iter().copied().fold(0.0, f64::max);
        let least = lengths.iter().copied().fold(f64::INFINITY, f64::min);
        if lengths.is_empty() { 0.0 } else { (most - least) / mean }
    }

    /// Right angles in 100 ft of tube.
    fn turns(&self) -> f64 {
        self.measured.turns / (self.measured.length / 1200.0).max(1e-9)
    }

    fn fill(&self) -> f64 {
        self.measured.length * self.floor.spacing / self.area.max(1.0)
    }

    fn over_bound(&self) -> bool {
        let bound = (self.area / self.floor.spacing / 3600.0).ceil().max(1.0);
        self.tube.circuits.len() as f64 > bound + 1.0
    }

    /// At 6 in a return with the 5 in radius must be a bulb, which stands nearer to others: never
    /// without a word.
    fn says_crowded(&self) -> bool {
        self.tube.faults.iter().any(|fault| fault.kind == TubeFaultKind::TightBend)
    }

    fn is_hard_broken(&self) -> bool {
        let m = &self.measured;
        !self.tube.circuits.is_empty()
            && (m.crossings > 0
                || m.least_run < 0.8 * self.floor.spacing - 0.3
                || (!self.says_crowded() && m.least_bend < 0.8 * self.floor.spacing - 0.3)
                || m.least_radius < 4.99
                || m.least_edge < 5.9
                || m.least_pipe < 5.9
                || m.lengths.iter().any(|&length| length > 3600.0))
    }
}

fn run(seed: u64) -> Case {
    let floor = floor(seed);
    let plan = Plan::of(&floor.job);
    let start = std::time::Instant::now();
    let tube = route_circuits(
        &floor.job,
        &plan,
        &Concrete::default(),
        &MovingJoints::default(),
        &Cancel::new(),
    )
    .unwrap();
    let millis = start.elapsed().as_secs_f64() * 1000.0;
    let lines: Vec<Line> = tube
        .circuits
        .iter()
        .map(|circuit| Line { points: circuit.points(0.02), leader_each_end: circuit.leader / 2.0 })
        .collect();
    let pipes: Vec<_> = plan
        .penetrations
        .iter()
        .map(|item| (item.at, item.widest / 2.0, item.tube_clearance))
        .collect();
    let measured = measure(&lines, &plan.region, &pipes, (floor.spacing, 6.0, 5.0));
    let area = tube.zones.first().map_or(0.0, |zone| zone.heated_area);
    Case { seed, floor, tube, measured, area, millis }
}

fn print_table(cases: &[Case]) {
    let share = |cases: &[&Case], test: &dyn Fn(&Case) -> bool| {
        100.0 * cases.iter().filter(|case| test(case)).count() as f64 / cases.len().max(1) as f64
    };
    let mean = |cases: &[&Case], value: &dyn Fn(&Case) -> f64| {
        cases.iter().map(|case| value(case)).sum::<f64>() / cases.len().max(1) as f64
    };
    println!(
        "{:8} {:>4} {:>4} {:>4} {:>6} {:>6} {:>6} {:>5} {:>5} {:>5} {:>6} {:>6} {:>5} {:>4} {:>6} {:>6}",
        "kind",
        "n",
        "none",
        "hard",
        "half%",
        "3/4%",
        "min34",
        ">10%",
        ">15%",
        "over",
        "turns",
        "lead%",
        "fill",
        "!fil",
        "ms",
        "maxms"
    );
    let mut groups: Vec<(String, Vec<&Case>)> = KINDS
        .iter()
        .enumerate()
        .map(|(kind, name)| {
            ((*name).to_owned(), cases.iter().filter(|case| case.floor.kind == kind).collect())
        })
        .collect();
    for spacing in [6.0, 9.0, 12.0] {
        groups.push((
            format!("{spacing} in"),
            cases.iter().filter(|case| case.floor.spacing == spacing).collect(),
        ));
    }
    groups.push(("all".to_owned(), cases.iter().collect()));
    for (name, all) in groups {
        let laid: Vec<&Case> =
            all.iter().copied().filter(|case| !case.tube.circuits.is_empty()).collect();
        println!(
            "{:8} {:>4} {:>4} {:>4} {:>6.2} {:>6.2} {:>6.1} {:>5.1} {:>5.1} {:>5} {:>6.1} {:>6.1} {:>5.2} {:>4.0} {:>6.0} {:>6.0}",
            name,
            all.len(),
            all.len() - laid.len(),
            laid.iter().filter(|case| case.is_hard_broken()).count(),
            100.0 * mean(&laid, &|case| case.measured.half),
            100.0 * mean(&laid, &|case| case.measured.three_quarters),
            100.0 * laid.iter().map(|case| case.measured.three_quarters).fold(1.0, f64::min),
            share(&laid, &|case| case.imbalance() > 0.10),
            share(&laid, &|case| case.imbalance() > 0.15),
            laid.iter().filter(|case| case.over_bound()).count(),
            mean(&laid, &Case::turns),
            100.0 * mean(&laid, &|case| case.measured.leader / case.measured.length.max(1.0)),
            mean(&laid, &Case::fill),
            share(&laid, &|case| case.area > 57_600.0 && !(0.88..=1.08).contains(&case.fill())),
            mean(&all, &|case| case.millis),
            all.iter().map(|case| case.millis).fold(0.0, f64::max),
        );
    }
}

fn print_worst(cases: &[Case]) {
    for case in cases {
        let m = &case.measured;
        let mut words = Vec::new();
        if case.tube.circuits.is_empty() {
            words.push(format!("NONE {:?}", case.tube.faults.first().map(|fault| fault.kind)));
        } else {
            if m.crossings > 0 {
                words.push(format!("{} crossings", m.crossings));
            }
            if m.least_run < 0.8 * case.floor.spacing - 0.3 {
                words.push(format!("run {:.2}", m.least_run));
            }
            if m.least_bend < 0.8 * case.floor.spacing - 0.3 {
                words.push(format!("bend {:.2}", m.least_bend));
            }
            if m.least_radius < 4.99 {
                words.push(format!("radius {:.2}", m.least_radius));
            }
            if m.least_edge < 5.9 {
                words.push(format!("edge {:.2}", m.least_edge));
            }
            if m.least_pipe < 5.9 {
                words.push(format!("pipe {:.2}", m.least_pipe));
            }
            if m.lengths.iter().any(|&length| length > 3600.0) {
                words.push("long".to_owned());
            }
            if m.three_quarters < 0.97 {
                words.push(format!("3/4 {:.1}", 100.0 * m.three_quarters));
            }
            if case.imbalance() > 0.10 {
                words.push(format!("imb {:.0}", 100.0 * case.imbalance()));
            }
            if case.over_bound() {
                words.push("over bound".to_owned());
            }
        }
        if !words.is_empty() {
            println!(
                "seed {:4} {:7} {:4.0} ft2 {:2} in {:2} pipes N {:2}: {}",
                case.seed,
                KINDS[case.floor.kind],
                case.area / 144.0,
                case.floor.spacing,
                case.floor.job.openings.penetrations.len(),
                case.tube.circuits.len(),
                words.join(", ")
            );
        }
    }
}

fn draw(case: &Case, folder: &str) {
    use std::fmt::Write;
    let plan = Plan::of(&case.floor.job);
    let b = plan.bounds().unwrap().grown(12.0);
    let mut svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='{} {} {} {}' width='{:.0}' height='{:.0}'><rect x='{}' y='{}' width='100%' height='100%' fill='white'/>",
        b.min.x,
        -b.max.y,
        b.width(),
        b.height(),
        b.width() * 1.6,
        b.height() * 1.6,
        b.min.x,
        -b.max.y
    );
    let ring = |points: &[slabloom_core::geometry::Point]| {
        points.iter().map(|p| format!("{:.2},{:.2}", p.x, -p.y)).collect::<Vec<_>>().join(" ")
    };
    for r in plan.region.rings() {
        let _ = write!(
            svg,
            "<polygon points='{}' fill='none' stroke='black' stroke-width='2'/>",
            ring(r)
        );
    }
    for p in &plan.penetrations {
        let _ = write!(
            svg,
            "<circle cx='{}' cy='{}' r='{}' fill='#ddd'/>",
            p.at.x,
            -p.at.y,
            p.widest / 2.0 + p.tube_clearance
        );
    }
    let colors = ["#d33", "#36c", "#292", "#c80", "#828", "#088", "#555", "#b59", "#940", "#06a"];
    for (n, c) in case.tube.circuits.iter().enumerate() {
        let _ = write!(
            svg,
            "<polyline points='{}' fill='none' stroke='{}' stroke-width='1.2'/>",
            ring(&c.points(0.05)),
            colors[n % colors.len()]
        );
    }
    for f in &case.tube.faults {
        let _ = write!(
            svg,
            "<circle cx='{}' cy='{}' r='9' fill='none' stroke='magenta' stroke-width='2'/>",
            f.at.x, -f.at.y
        );
    }
    let m = case.floor.job.heating.manifolds[0].at;
    let _ = write!(svg, "<circle cx='{}' cy='{}' r='4' fill='black'/></svg>", m.x, -m.y);
    std::fs::write(format!("{folder}/{:04}.svg", case.seed), svg).unwrap();
}

#[test]
fn random_floors_are_laid_as_an_installer_would() {
    let (first, count) = (variable("SLABLOOM_FIRST", 100), variable("SLABLOOM_CASES", 10));
    let only = variable("SLABLOOM_SPACING", 0) as f64;
    let cases: Vec<Case> = (first..)
        .filter(|&seed| only == 0.0 || floor(seed).spacing == only)
        .take(count as usize)
        .map(run)
        .collect();
    print_table(&cases);
    print_worst(&cases);
    if let Ok(folder) = std::env::var("SLABLOOM_PICTURES") {
        for case in &cases {
            draw(case, &folder);
        }
    }
    for case in &cases {
        assert!(!case.is_hard_broken(), "seed {}: {:?}", case.seed, case.measured);
    }
    // Of fewer floors the mean says more about the floors than about how they are laid.
    if cases.len() >= MANY_FLOORS {
        let mean = |value: &dyn Fn(&Case) -> f64| {
            cases.iter().map(value).sum::<f64>() / cases.len() as f64
        };
        assert!(mean(&|case| case.measured.half) > 0.97);
        assert!(mean(&|case| case.measured.three_quarters) > 0.995);
        assert!(mean(&Case::turns) < 15.0);
        assert!(mean(&|case| case.measured.leader / case.measured.length.max(1.0)) < 0.12);
    }
}

/// Floors on which some circuit has no room for its bends at first: it is given that room, or left
/// out, and none needs a circuit more.
#[test]
fn a_circuit_without_room_for_its_bends_costs_no_circuit_more() {
    for seed in [150_109, 160_190, 220_161] {
        let case = run(seed);
        assert!(!case.over_bound() && case.imbalance() < 0.10, "{:?}", case.measured.lengths);
        assert!(case.measured.three_quarters > 0.98, "{:?}", case.measured);
    }
}

/// Floors on which leaders push a lane aside, so that a bulb has room on one side of its lanes only:
/// it bows to that side, and layouts with few and even circuits are sound.
#[test]
fn a_bulb_between_a_narrow_row_and_a_wide_one_costs_no_circuit_more() {
    for seed in [220_201, 230_404] {
        let case = run(seed);
        assert!(!case.is_hard_broken() && !case.over_bound(), "{:?}", case.measured.lengths);
        assert!(case.imbalance() < 0.10 && case.measured.half > 0.97, "{:?}", case.measured);
    }
}

/// Manifolds for 20 circuits and more beside pipes in their wall, or before some: ports lie on both
/// sides of those, and the floor is laid at the spacing asked for.
#[test]
fn a_manifold_between_pipes_has_ports_on_both_sides_of_them() {
    for seed in [200_129, 220_132] {
        let case = run(seed);
        assert!(!case.is_hard_broken(), "{:?}", case.measured);
        assert!(
            case.measured.half > 0.95 && case.measured.three_quarters > 0.98,
            "{:?}",
            case.measured
        );
    }
}

/// A floor whose south wall bows into it: the lane beside that lies within the floor, so that layouts
/// with few circuits are sound.
#[test]
fn lanes_that_bow_with_a_wall_cost_no_circuit_more() {
    let case = run(220_111);
    assert!(!case.is_hard_broken() && !case.over_bound(), "{:?}", case.measured.lengths);
    assert!(
        case.measured.half > 0.97 && case.measured.three_quarters > 0.99,
        "{:?}",
        case.measured
    );
}

/// A U floor with the manifold in an arm, far from which circuits were drawn back to their limit: a bulb
/// beside the wall has no room wherever its run ends, so that no layout came out sound but poor ones.
#[test]
fn circuits_drawn_back_to_their_limit_end_where_there_is_room() {
    let case = run(210_291);
    assert!(!case.is_hard_broken() && !case.over_bound(), "{:?}", case.measured);
    assert!(case.imbalance() < 0.15 && case.measured.three_quarters > 0.98, "{:?}", case.measured);
}

/// Floors laid soundly, more than such a share of each within three quarters of the spacing of tube.
fn serve_more_than(floors: &[(u64, f64)]) {
    for &(seed, least) in floors {
        let case = run(seed);
        assert!(!case.is_hard_broken(), "{seed}: {:?}", case.measured);
        assert!(case.measured.three_quarters > least, "{seed}: {:?}", case.measured);
    }
}

/// Floor behind leaders that fan out along a wall, and pockets beside runs along walls askew: the
/// leader there goes along the wall, and runs move over. Both lay bare 2 to 4 % before.
#[test]
fn floor_behind_leaders_and_along_walls_askew_is_served() {
    serve_more_than(&[
        (240_118, 0.98),
        (240_106, 0.98),
        (240_097, 0.988),
        (240_127, 0.998),
        (240_049, 0.985),
    ]);
}

/// Floors of an arm and a hall at 6 in, with the manifold in the arm: most leaders go on together
/// through it. Before, circuits were shut in there and the hall was left short of tube.
#[test]
fn leaders_go_on_through_an_arm_at_close_spacing() {
    for seed in [242_049, 240_098] {
        let case = run(seed);
        assert!(!case.is_hard_broken() && !case.over_bound(), "{:?}", case.measured.lengths);
        assert!(case.imbalance() < 0.10, "{seed}: {:?}", case.measured.lengths);
        assert!(case.measured.three_quarters > 0.99, "{seed}: {:?}", case.measured);
    }
}

/// Strips too wide for the run beside them to move into and too narrow for tube of their own: runs
/// side by side move over together. Both floors were under 96 % served before.
#[test]
fn runs_side_by_side_move_over_to_a_bare_strip() {
    serve_more_than(&[(242_062, 0.958), (242_143, 0.96)]);
}

/// Small floors and floors with many pipes, on which the layout that serves most before its pockets are
/// filled is not the one that does so afterwards. They were 97.3 and 98.9 % served before.
#[test]
fn layouts_are_held_against_each_other_with_their_pockets_filled() {
    serve_more_than(&[(244_069, 0.98), (244_117, 0.992)]);
}

/// Walls that bow out, and bulbs beside rows so narrow that they bow to one side alone: filling pockets
/// bent those to both sides again, which left no room, so that the floor stayed as it was laid, 95.8 %
/// served.
#[test]
fn pockets_are_filled_where_bulbs_stand_beside_narrow_rows() {
    serve_more_than(&[(249_522, 0.98)]);
}

/// At 9 in a return is half an inch a side too close for its bends: right at the cap the tube would have
/// to be bent outward by φ with cos φ = (gap/2 + r)/(2r), 18 degrees. It leaves its lane a little
/// earlier instead.
#[test]
fn bulbs_with_room_behind_them_have_long_necks() {
    let case = run(244_028);
    assert!(!case.is_hard_broken(), "{:?}", case.measured);
    assert_eq!(case.floor.spacing, 9.0);
    let sweep = |leg: &Segment| match leg {
        Segment::Arc(arc) => arc.circle().map_or(0.0, |circle| circle.sweep),
        Segment::Line(..) => 0.0,
    };
    let mut outward = Vec::new();
    for circuit in &case.tube.circuits {
        let bends: Vec<f64> = circuit.path.iter().map(sweep).filter(|turn| *turn != 0.0).collect();
        for pair in bends.windows(2) {
            if pair[0] * pair[1] < 0.0 && pair[1].abs() > std::f64::consts::PI {
                outward.push(pair[0].abs());
            }
        }
    }
    let mean = outward.iter().sum::<f64>() / outward.len() as f64;
    let least = ((4.5_f64 + 5.0) / 10.0).acos();
    assert!(outward.len() > 20 && mean < 0.5 * least, "{} {mean} {least}", outward.len());
    // 18.6 before.
    assert!(case.turns() < 16.5, "{}", case.turns());
}

/// A U floor with long leaders, which as many circuits as there may be cannot fill within their limit:
/// lanes stand a little wider, and it is said so.
#[test]
fn tube_that_is_short_is_spread_over_a_floor() {
    let case = run(200_497);
    assert!(!case.is_hard_broken() && !case.over_bound(), "{:?}", case.measured);
    assert!(case.imbalance() < 0.10 && case.measured.three_quarters > 0.97, "{:?}", case.measured);
    let zone = &case.tube.zones[0];
    assert!(zone.laid_spacing > 9.0 && zone.laid_spacing < 10.125, "{}", zone.laid_spacing);
    assert!(case.tube.faults.iter().any(|fault| fault.kind == TubeFaultKind::LaidWider));
}

/// Floors on which lanes that fit the walls closely, or leaders, took 8 to 10 % more tube than the floor
/// asks for: lanes stand a little wider.
#[test]
fn no_more_tube_is_laid_than_the_floor_asks_for() {
    for seed in [250_329, 250_370, 250_131] {
        let case = run(seed);
        assert!(!case.is_hard_broken() && case.imbalance() < 0.10, "{seed}: {:?}", case.measured);
        assert!((0.88..=1.08).contains(&case.fill()), "{seed}: {}", case.fill());
        assert!(case.measured.half > 0.96, "{seed}: {:?}", case.measured);
        assert!(case.measured.three_quarters > 0.995, "{seed}: {:?}", case.measured);
    }
}

/// Circuits at the manifold of a U, within the turn of all the others, had 22 % less tube than those,
/// since none of them gave way.
#[test]
fn circuits_within_the_turn_of_others_come_out_alike() {
    let case = run(251_144);
    assert!(!case.is_hard_broken() && case.imbalance() < 0.15, "{:?}", case.measured);
    assert!(case.measured.half > 0.95, "{:?}", case.measured);
    assert!(case.measured.three_quarters > 0.995, "{:?}", case.measured);
}

/// Circuits within 10 % of each other on a floor whose curved walls make tube come out other than
/// its cells promise.
#[test]
fn circuits_along_curved_walls_come_out_alike() {
    let case = run(140_112);
    assert!(case.imbalance() < 0.10, "{:?}", case.measured.lengths);
}
