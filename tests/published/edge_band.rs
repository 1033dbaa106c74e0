//! Edge bands looked at from outside: what lies along outside walls of random floors, and how close.
//!
//! Property: circuits of a band and of what it leaves do not cross, keep 0.8 of the local spacing,
//! the bend radius and the slab edge; the floor along the walls that a band reaches has tube
//! within its spacing.

#![expect(clippy::indexing_slicing, reason = "indices run over the vectors they come from")]

use slabloom_core::concrete::Concrete;
use slabloom_core::effort::Cancel;
use slabloom_core::geometry::nearest::{
    crossing, distance_between_lines, distance_to_line, distance_to_sides,
};
use slabloom_core::geometry::{Point, Polygon};
use slabloom_core::job::Job;
use slabloom_core::job::heating::EdgeBand;
use slabloom_core::joints::MovingJoints;
use slabloom_core::plan::Plan;
use slabloom_core::tube::{BandShort, Tube, route_circuits};
use slabloom_core::units::Length;
use std::sync::Arc;

use crate::tube::zones::{KINDS, floor};

fn routed(job: &Job) -> (Plan, Tube) {
    let plan = Plan::of(job);
    let (concrete, moving) = (Concrete::default(), MovingJoints::default());
    let tube = route_circuits(job, &plan, &concrete, &moving, &Cancel::new()).unwrap();
    (plan, tube)
}

fn with_band(job: &mut Job, width: f64, spacing: f64) {
    let heating = Arc::make_mut(&mut job.heating);
    let band = EdgeBand { width: Length::inches(width), spacing: Length::inches(spacing) };
    heating.zones[0].edge_band = Some(band);
}

fn house(w: f64, h: f64) -> Job {
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
    let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
    Arc::make_mut(&mut job.heating).manifolds[0].at = Point::feet(w / 2.0, 0.5);
    job
}

/// A leg of a circuit, with the spacing it should keep and how far along its tube it lies.
struct Leg {
    from: Point,
    to: Point,
    circuit: usize,
    spacing: f64,
    along: f64,
    is_leader: bool,
}

fn legs(tube: &Tube) -> Vec<Leg> {
    let mut legs = Vec::new();
    for (number, circuit) in tube.circuits.iter().enumerate() {
        let points = circuit.points(0.05);
        let mut along = 0.0;
        for (&from, &to) in points.iter().zip(&points[1..]) {
            let length = from.distance(to);
            let parts = (length / 6.0).ceil().max(1.0);
            for part in 0..parts as usize {
                let share = |n: usize| n as f64 / parts;
                let middle = along + length * (share(part) + share(part + 1)) / 2.0;
                legs.push(Leg {
                    from: from.toward(to, share(part)),
                    to: from.toward(to, share(part + 1)),
                    circuit: number,
                    spacing: circuit.spacing,
                    along: middle,
                    is_leader: middle < circuit.leader_ends.0 + 4.0
                        || middle > circuit.length - circuit.leader_ends.1 - 4.0,
                });
            }
            along += length;
        }
    }
    legs
}

/// Crossings, and the least distance of straight runs over the closer of their spacings.
fn closeness(tube: &Tube, radius: f64) -> (usize, f64, String) {
    const FAR_IN: f64 = 40.0;
    let mut legs = legs(tube);
    legs.sort_by(|a, b| a.from.x.total_cmp(&b.from.x));
    let (mut crossings, mut least, mut at) = (0, f64::INFINITY, String::new());
    for (number, a) in legs.iter().enumerate() {
        for b in &legs[number + 1..] {
            if b.from.x - a.from.x > FAR_IN {
                break;
            }
            if a.from.distance(b.from) > FAR_IN {
                continue;
            }
            let same = a.circuit == b.circuit;
            let is_next = same && (a.along - b.along).abs() < 7.0;
            if !is_next && crossing((a.from, a.to), (b.from, b.to)).is_some() {
                crossings += 1;
            }
            // Legs of one bend, and bends themselves where bulbs must stand nearer, are not runs.
            let is_bend = a.from.distance(a.to) < 2.0 || b.from.distance(b.to) < 2.0;
            let half_turn = (4.0 * radius).max(1.9 * a.spacing);
            let is_same_bend = same && (a.along - b.along).abs() < half_turn;
            if is_bend || is_same_bend || a.is_leader || b.is_leader {
                continue;
            }
            let distance = distance_between_lines((a.from, a.to), (b.from, b.to));
            let share = distance / a.spacing.min(b.spacing);
            if share < least {
                let names = [a, b].map(|leg| tube.circuits[leg.circuit].name.as_str());
                (least, at) = (share, format!("{names:?} at {:?}", a.from));
            }
        }
    }
    (crossings, least, at)
}

/// Share of the strip along the slab's edge, to the depth of a band, with tube within `reach`.
fn covered(plan: &Plan, tube: &Tube, (near, depth, reach): (f64, f64, f64)) -> f64 {
    let legs = legs(tube);
    let rim = Polygon::new(plan.region.outer.clone(), Vec::new());
    let (mut all, mut close) = (0, 0);
    let bounds = rim.bounds().unwrap();
    let mut y = bounds.min.y;
    while y < bounds.max.y {
        let mut x = bounds.min.x;
        while x < bounds.max.x {
            let at = Point::new(x, y);
            let away = distance_to_sides(at, &rim);
            if rim.contains(at) && away > near && away < depth {
                all += 1;
                let is_close = legs.iter().any(|leg| {
                    leg.from.distance(at) < reach + 8.0
                        && distance_to_line(at, leg.from, leg.to) < reach
                });
                close += usize::from(is_close);
            }
            x += 4.0;
        }
        y += 4.0;
    }
    f64::from(close as u32) / f64::from(all.max(1) as u32)
}

#[test]
fn a_house_has_closer_tube_along_all_its_walls() {
    for (width, spacing, laid) in [(24.0, 6.0, 27.0), (24.0, 8.0, 18.0), (36.0, 9.0, 37.5)] {
        let mut job = house(40.0, 28.0);
        with_band(&mut job, width, spacing);
        let (plan, tube) = routed(&job);
        let band = tube.bands[0];
        assert_eq!((band.width, band.spacing, band.short), (laid, spacing, None));
        let own: Vec<_> = tube.circuits.iter().filter(|circuit| circuit.is_edge_band).collect();
        assert!(!own.is_empty() && own.iter().all(|circuit| circuit.length <= circuit.limit));
        let (crossings, least, at) = closeness(&tube, 5.0);
        assert_eq!(crossings, 0);
        assert!(least > 0.78, "{spacing}: {least}, {at}");
        // The wall less its corners and the ports' own room.
        assert!(band.along > 0.88 * band.wall, "{band:?}");
        let share = covered(&plan, &tube, (3.0, laid - spacing / 2.0, 0.75 * spacing));
        assert!(share > 0.9, "{spacing}: {share}");
        let within = tube.zones.iter().find(|zone| !zone.is_edge_band).unwrap();
        assert!(within.covered > 0.94 && within.laid_spacing == 12.0, "{}", within.covered);
    }
}

#[test]
fn bands_of_random_floors_keep_every_distance() {
    let cases = std::env::var("SLABLOOM_CASES").ok().and_then(|text| text.parse().ok());
    let cases: u64 = cases.unwrap_or(18);
    let (mut reached, mut wall, mut unlaid) = (0.0, 0.0, 0);
    let mut broken: Vec<String> = Vec::new();
    for seed in 0..cases {
        let mut floor = floor(seed);
        let spacing = [6.0, 8.0, 9.0][(seed % 3) as usize];
        Arc::make_mut(&mut floor.job.heating).zones[0].spacing = Length::inches(12.0);
        with_band(&mut floor.job, [18.0, 24.0, 36.0][(seed / 3 % 3) as usize], spacing);
        let (plan, tube) = routed(&floor.job);
        let Some(band) = tube.bands.first() else { continue };
        reached += band.along;
        wall += band.wall;
        unlaid += usize::from(band.along <= 0.0);
        assert!(
            band.along > 0.0 || band.short.is_some(),
            "seed {seed}: nothing laid, nothing said"
        );
        let (crossings, least, at) = closeness(&tube, 5.0);
        let what = format!("seed {seed}, {} {:.0} in", KINDS[floor.kind], floor.spacing);
        if crossings > 0 || least <= 0.78 {
            broken.push(format!("{what}: {crossings} crossings, {least:.3} {at}"));
        }
        for circuit in &tube.circuits {
            assert!(circuit.length <= circuit.limit, "seed {seed}: {}", circuit.name);
            assert!(circuit.least_radius > 4.99, "seed {seed}: {}", circuit.least_radius);
            let ends = (circuit.leader_ends.0 + 4.0, circuit.length - circuit.leader_ends.1 - 1.0);
            let mut along = 0.0;
            let points = circuit.points(0.05);
            for (from, to) in points.iter().zip(&points[1..]) {
                along += from.distance(*to);
                if along > ends.0 && along < ends.1 {
                    let away = distance_to_sides(*to, &plan.region);
                    assert!(plan.region.contains(*to) && away > 5.9, "seed {seed}: {away}");
                }
            }
        }
    }
    println!(
        "{cases} floors: {:.0} % of the walls have a band, {unlaid} none",
        100.0 * reached / wall
    );
    assert!(broken.is_empty(), "{broken:#?}");
    assert!(reached > 0.6 * wall, "{reached} of {wall}");
}

#[test]
fn a_band_gives_more_heat_by_area_than_the_rest_and_both_what_is_asked() {
    let mut job = house(40.0, 28.0);
    with_band(&mut job, 24.0, 6.0);
    let results = slabloom_core::derive::derive(&job);
    let (tube, heat) = (&results.parts.tube, &results.parts.heat);
    let by_area = |is_edge_band: bool| {
        let own = tube.circuits.iter().zip(&heat.circuits);
        let given = own.filter(|(circuit, _)| circuit.is_edge_band == is_edge_band);
        let given: f64 = given.map(|(_, heat)| heat.output_btuh).sum();
        let floor = tube.zones.iter().filter(|zone| zone.is_edge_band == is_edge_band);
        given / floor.map(|zone| zone.heated_area / 144.0).sum::<f64>()
    };
    let (band, rest) = (by_area(true), by_area(false));
    println!("{band:.1} Btu/h a ft2 in the band, {rest:.1} elsewhere");
    assert!(band > 1.1 * rest, "{band} and {rest}");
    assert!((heat.up_btuh - heat.load_btuh).abs() < 0.03 * heat.load_btuh, "{}", heat.up_btuh);
    let total: f64 = tube.circuits.iter().map(|circuit| circuit.length).sum::<f64>() / 12.0;
    let line = results.parts.takeoff.lines.iter().find(|line| line.key == "tube.length").unwrap();
    assert!((line.quantity - total).abs() < 0.5, "the takeoff counts the band");
}

#[test]
fn what_cannot_be_laid_as_asked_is_said() {
    let short = |width: f64, spacing: f64| {
        let mut job = house(40.0, 28.0);
        with_band(&mut job, width, spacing);
        let (_, tube) = routed(&job);
        (tube.bands[0].short, tube.bands[0].spacing, tube.bands[0].width)
    };
    assert_eq!(short(24.0, 4.0), (Some(BandShort::TightBend), 4.75, 22.625));
    assert_eq!(short(6.0, 9.0), (Some(BandShort::TooNarrow), 9.0, 19.5));
    let mut narrow = house(40.0, 11.0);
    with_band(&mut narrow, 60.0, 8.0);
    let (_, tube) = routed(&narrow);
    let said = [Some(BandShort::NoRoom), Some(BandShort::Blocked)];
    assert!(said.contains(&tube.bands[0].short), "{:?}", tube.bands[0]);
    // A spacing no closer than the zone's is no band.
    let mut plain = house(40.0, 28.0);
    let before = routed(&plain).1;
    with_band(&mut plain, 24.0, 12.0);
    assert_eq!(routed(&plain).1, before);
}
