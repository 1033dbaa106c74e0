//! How tube winds, looked at from outside: what each pattern means for where water goes.
//!
//! Serpentine: runs lie along the longest outside wall and water comes to it first. Counterflow:
//! beside nearly every run from supply lies one that goes to return, so that their mean is about
//! the same everywhere (the purpose of the pattern, common practice).

#![expect(clippy::indexing_slicing, reason = "indices run over the vectors they come from")]

use slabloom_core::concrete::Concrete;
use slabloom_core::effort::Cancel;
use slabloom_core::geometry::{Point, Segment};
use slabloom_core::job::Job;
use slabloom_core::job::heating::TubePattern;
use slabloom_core::joints::MovingJoints;
use slabloom_core::plan::Plan;
use slabloom_core::tube::{Circuit, Tube, route_circuits};
use std::sync::Arc;

/// A floor whose longest wall is the south one, or the west one when turned.
fn house(width: f64, depth: f64, is_turned: bool, pattern: TubePattern) -> Job {
    let (w, d) = (width, depth);
    let corners = [(0.0, 0.0), (w, 0.0), (w, d), (w / 2.0, d), (w / 2.0, d - 2.0), (0.0, d - 2.0)];
    let place = |(x, y): (f64, f64)| {
        if is_turned { Point::feet(d - y, x) } else { Point::feet(x, y) }
    };
    let mut job = Job::from_corners(&corners.map(|corner| (place(corner), None)));
    let heating = Arc::make_mut(&mut job.heating);
    heating.manifolds[0].at = place((0.4 * w, 0.5));
    heating.zones[0].pattern = pattern;
    job
}

fn routed(job: &Job) -> Tube {
    let (concrete, moving) = (Concrete::default(), MovingJoints::default());
    route_circuits(job, &Plan::of(job), &concrete, &moving, &Cancel::new()).unwrap()
}

/// Share of a circuit's straight tube between its leaders that runs along a direction.
fn share_along(circuit: &Circuit, is_level: bool) -> f64 {
    let (mut all, mut along) = (0.0, 0.0);
    for segment in &circuit.path {
        if let Segment::Line(from, to) = segment {
            let step = *to - *from;
            all += step.length();
            if (step.x.abs() > step.y.abs()) == is_level {
                along += step.length();
            }
        }
    }
    along / all
}

/// Mean of something over the first half of a circuit's length and over the second.
fn halves(circuit: &Circuit, of: impl Fn(Point) -> f64) -> (f64, f64) {
    let mut sums = [(0.0, 0.0); 2];
    let mut along = 0.0;
    let points = circuit.points(0.1);
    for (from, to) in points.iter().zip(&points[1..]) {
        let length = from.distance(*to);
        let parts = (length / 2.0).ceil().max(1.0);
        for part in 0..parts as usize {
            let share = (part as f64 + 0.5) / parts;
            let half = usize::from(along + length * share > circuit.length / 2.0);
            sums[half].0 += of(from.toward(*to, share)) * length / parts;
            sums[half].1 += length / parts;
        }
        along += length;
    }
    let mean = |(sum, length): (f64, f64)| sum / length;
    (mean(sums[0]), mean(sums[1]))
}

#[test]
fn a_serpentine_lies_along_the_cold_wall_and_works_inward() {
    for (width, depth) in [(40.0, 30.0), (56.0, 28.0), (30.0, 26.0)] {
        for is_turned in [false, true] {
            let job = house(width, depth, is_turned, TubePattern::Serpentine);
            let tube = routed(&job);
            let what = format!("{width} x {depth}, turned {is_turned}");
            assert!(tube.zones[0].covered > 0.9, "{what}: {}", tube.zones[0].covered);
            let lengths: f64 = tube.circuits.iter().map(|circuit| circuit.length).sum();
            let along = |circuit: &Circuit| share_along(circuit, !is_turned) * circuit.length;
            let share = tube.circuits.iter().map(along).sum::<f64>() / lengths;
            println!("{what}: {share:.2} along the wall, {} circuits", tube.circuits.len());
            assert!(share > 0.7, "{what}: {share}");
            let wall = |at: Point| if is_turned { depth * 12.0 - at.x } else { at.y };
            for circuit in &tube.circuits {
                let (first, second) = halves(circuit, wall);
                assert!(first < second, "{what}, {}: {first} and {second}", circuit.name);
            }
        }
    }
}

/// Share of the first halves of circuits beside which, within 1.3 spacings, a second half runs.
fn paired(tube: &Tube) -> f64 {
    let mut dots: Vec<(Point, bool)> = Vec::new();
    for circuit in &tube.circuits {
        let points = circuit.points(0.1);
        let mut along = 0.0;
        for (from, to) in points.iter().zip(&points[1..]) {
            let length = from.distance(*to);
            let parts = (length / 4.0).ceil().max(1.0);
            for part in 0..parts as usize {
                let share = (part as f64 + 0.5) / parts;
                let at = along + length * share;
                dots.push((from.toward(*to, share), at < circuit.length / 2.0));
            }
            along += length;
        }
    }
    let supply: Vec<&(Point, bool)> = dots.iter().filter(|dot| dot.1).collect();
    let is_paired = |dot: &&&(Point, bool)| {
        dots.iter().any(|other| !other.1 && other.0.distance(dot.0) < 1.3 * 12.0)
    };
    supply.iter().filter(is_paired).count() as f64 / supply.len() as f64
}

#[test]
fn counterflow_lays_supply_beside_return() {
    let mut shares = Vec::new();
    for (width, depth) in [(40.0, 30.0), (56.0, 28.0), (30.0, 26.0)] {
        let of = |pattern| paired(&routed(&house(width, depth, false, pattern)));
        let (spiral, serpentine) = (of(TubePattern::Counterflow), of(TubePattern::Serpentine));
        println!("{width} x {depth}: {spiral:.2} counterflow, {serpentine:.2} serpentine");
        assert!(spiral > 0.75, "{width} x {depth}: {spiral}");
        shares.push((spiral, serpentine));
    }
    let mean = |of: fn(&(f64, f64)) -> f64| shares.iter().map(of).sum::<f64>() / 3.0;
    assert!(mean(|s| s.0) > mean(|s| s.1) + 0.25, "{shares:?}");
}
