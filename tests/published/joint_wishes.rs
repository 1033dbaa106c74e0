//! What is asked of joints beside their rules of shape: one over every thickened strip, and ends
//! that keep from doors and drains. Measured on the lines by plainer means.

use crate::independent::panels;
use crate::shapes::footprints::random_job;
use slabloom_core::concrete::Concrete;
use slabloom_core::effort::Cancel;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::openings::{Corner, Footprint, Opening, Penetration, PenetrationKind};
use slabloom_core::job::thickenings::ThickenedStrip;
use slabloom_core::joints::{
    JointLayout, JointRule, decide_moving_joints, lay_out_joints, settle_joints,
};
use slabloom_core::plan::Plan;
use slabloom_core::tube::Tube;
use slabloom_core::units::Length;
use std::sync::Arc;

fn cases(usual: u64) -> u64 {
    std::env::var("SLABLOOM_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// The layout drafted and settled on a floor without tube.
fn settled(job: &Job) -> (Plan, JointLayout) {
    let plan = Plan::of(job);
    let moving = decide_moving_joints(job, &plan);
    let draft = lay_out_joints(job, &plan, &Concrete::default(), &moving, &Cancel::new()).unwrap();
    let layout = settle_joints(job, &plan, &moving, &draft, &Tube::default()).layout;
    (plan, layout)
}

/// The longest piece of a line across the floor.
fn longest_inside(plan: &Plan, from: Point, to: Point) -> Option<(Point, Point)> {
    const STEPS: u32 = 600;
    let at = |step: u32| from.toward(to, f64::from(step) / f64::from(STEPS));
    let mut best: Option<(u32, u32)> = None;
    let mut start = None;
    for step in 0..=STEPS {
        if plan.region.contains(at(step)) {
            let start = *start.get_or_insert(step);
            if best.is_none_or(|(a, b)| step - start > b - a) {
                best = Some((start, step));
            }
        } else {
            start = None;
        }
    }
    best.map(|(a, b)| (at(a), at(b))).filter(|(a, b)| a.distance(*b) > 96.0)
}

#[test]
fn joints_stand_over_thickened_strips_or_the_strip_is_told() {
    let (mut strips, mut covered, mut told) = (0, 0, 0);
    for seed in 0..cases(40) {
        let (_, mut job) = random_job(seed);
        let bounds = Plan::of(&job).region.bounds().unwrap();
        let share = 0.25 + 0.5 * (seed as f64 * 0.618).fract();
        let x = bounds.min.x + share * bounds.width();
        let line = (Point::new(x, bounds.min.y - 1.0), Point::new(x, bounds.max.y + 1.0));
        let Some((from, to)) = longest_inside(&Plan::of(&job), line.0, line.1) else { continue };
        let strip = ThickenedStrip {
            id: job.ids.fresh(),
            name: "Bearing wall".to_owned(),
            line: vec![from, to],
            flat_width: Length::inches(16.0),
            total_depth: Length::inches(14.0),
            haunch_run: Length::inches(6.0),
        };
        Arc::make_mut(&mut job.thickenings).strips.push(strip);
        let (plan, layout) = settled(&job);
        assert!(panels::area_gap_ft2(&plan.region, &layout.panels) < 0.01, "seed {seed}");
        let over: f64 = layout
            .lines
            .iter()
            .filter(|line| (line.from.x - x).abs() < 8.2 && (line.to.x - x).abs() < 8.2)
            .map(|line| {
                let (low, high) = (line.from.y.min(line.to.y), line.from.y.max(line.to.y));
                (high.min(to.y) - low.max(from.y)).max(0.0)
            })
            .sum();
        let is_covered = over > 0.74 * from.distance(to);
        let is_told = layout.breaches.iter().any(|breach| breach.rule == JointRule::Strip);
        assert!(is_covered || is_told, "seed {seed}: {over:.0} in of {:.0}", from.distance(to));
        strips += 1;
        covered += u32::from(is_covered);
        told += u32::from(is_told);
    }
    println!("{strips} strips: {covered} have a joint over them, {told} are told");
    // The others lie a foot or two beside an inside corner or a column, whose joint comes first.
    assert!(f64::from(covered) > 0.7 * f64::from(strips));
}

/// Pits anywhere in a floor too large for one search: cuts meet them, and the panels still tile.
#[test]
fn large_floors_with_pits_are_tiled() {
    for seed in 0..cases(8) {
        let feet = |x: f64, y: f64| (Point::feet(x, y), None);
        let (wide, high) = (70.0 + 3.0 * (seed % 7) as f64, 50.0 + 2.0 * (seed % 5) as f64);
        let mut job = Job::from_corners(&[
            feet(0.0, 0.0),
            feet(wide, 0.0),
            feet(wide, high),
            feet(0.0, high),
        ]);
        for pit in 0..4_u32 {
            let spin = (seed as f64 * 0.377 + f64::from(pit) * 0.618).fract();
            let (x, y) = (10.0 + spin * (wide - 26.0), 6.0 + 11.0 * f64::from(pit) + 3.0 * spin);
            let corner = |x: f64, y: f64| Corner { at: Point::feet(x, y), through: None };
            let id = job.ids.fresh();
            let corners = vec![
                corner(x, y),
                corner(x + 4.0, y),
                corner(x + 4.0, y + 3.0),
                corner(x, y + 3.0),
            ];
            Arc::make_mut(&mut job.openings).openings.push(Opening {
                id,
                name: String::new(),
                corners,
            });
        }
        let (plan, layout) = settled(&job);
        assert_eq!(plan.openings.len(), 4, "seed {seed}");
        let gap = panels::area_gap_ft2(&plan.region, &layout.panels);
        assert!(gap < 0.01, "seed {seed}: {gap} ft2");
        for at in plan.inside_corners().map(|corner| corner.at) {
            let is_met =
                layout.lines.iter().any(|line| panels::distance(at, line.from, line.to) < 0.1);
            let is_told = layout.breaches.iter().any(|breach| {
                breach.rule == JointRule::InsideCorner && breach.at.distance(at) < 0.1
            });
            assert!(is_met || is_told, "seed {seed}: {at:?}");
        }
    }
}

/// The layout called so has the fewest tees of all that are offered, where none breaks more rules.
#[test]
fn the_layout_of_fewest_tees_has_them() {
    let mut offered = 0;
    for seed in 0..cases(60) {
        let (_, job) = random_job(seed);
        let (_, layout) = settled(&job);
        let named = |name: &str| layout.proposals.iter().find(|other| other.name == name);
        let Some(fewest) = named("Fewest tees").or_else(|| named("No tees")) else { continue };
        let others = layout.proposals.iter().filter(|other| other.spacing == fewest.spacing);
        let least = others.map(|other| other.tees).chain([layout.tees]).min().unwrap();
        assert!(fewest.tees <= least, "seed {seed}: {} of {least}", fewest.tees);
        offered += 1;
    }
    println!("{offered} layouts of fewest tees");
    assert!(offered > 8);
}

#[test]
fn ends_of_joints_keep_from_a_drain_or_are_told() {
    const ASKED_IN: f64 = 30.0;
    let (mut asked, mut kept) = (0, 0);
    for seed in 0..cases(40) {
        let (_, mut job) = random_job(seed);
        let (_, before) = settled(&job);
        let tee = before.breaches.iter().find(|breach| breach.rule == JointRule::Tee);
        let Some(tee) = tee.map(|breach| breach.at) else { continue };
        // A drain a foot off the place where a joint ends.
        let at = tee + slabloom_core::geometry::Vector::new(12.0, 5.0);
        if !Plan::of(&job).region.contains(at) {
            continue;
        }
        let drain = Penetration {
            id: job.ids.fresh(),
            name: "Floor drain".to_owned(),
            at,
            kind: PenetrationKind::Drain,
            shape: Footprint::Round { diameter: Length::inches(6.0) },
            tube_clearance: Penetration::usual_clearance(),
        };
        Arc::make_mut(&mut job.openings).penetrations.push(drain);
        let (_, unasked) = settled(&job);
        assert_eq!(unasked.lines, before.lines, "seed {seed}: nothing was asked");
        Arc::make_mut(&mut job.joints).offsets_keep_off = Length::inches(ASKED_IN);
        let (plan, layout) = settled(&job);
        assert!(panels::area_gap_ft2(&plan.region, &layout.panels) < 0.01, "seed {seed}");
        // An end is worth fifty feet of sawing elsewhere, and rarely stands alone.
        assert!(layout.saw_length <= before.saw_length + 2400.0, "seed {seed}");
        assert!(layout.panels.iter().all(|panel| panel.long <= layout.max_spacing + 0.01));
        let near = layout.breaches.iter().filter(|breach| breach.rule == JointRule::Tee);
        let near = near.filter(|tee| tee.at.distance(at) - 3.0 < ASKED_IN - 0.1).count();
        let told = layout.breaches.iter().filter(|b| b.rule == JointRule::NearDoorOrDrain).count();
        assert!(told >= near, "seed {seed}: {near} ends near, {told} told");
        asked += 1;
        kept += u32::from(near == 0);
    }
    println!("{asked} drains beside an end: {kept} are clear of ends now");
    assert!(asked > 10 && kept * 4 > asked, "{kept} of {asked}");
}
