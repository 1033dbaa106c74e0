//! A circuit fixed by hand that could not be laid as drawn.

use crate::findings::{Hit, Rule, Severity};
use crate::geometry::nearest::crossing;
use crate::geometry::{Point, Polygon};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "tube.pinned-circuit",
    severity: Severity::Stop,
    asks: "A circuit fixed by hand stays on the slab, off what stands there, and crosses no tube.",
    source: "needed to lay it as drawn",
    look,
};

/// How coarsely bends are followed, inches.
const CHORD_IN: f64 = 0.25;
/// A tube may start this far outside the slab, in the wall, inches.
const OUTSIDE_IN: f64 = 6.0;

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let lines: Vec<Vec<Point>> =
        parts.tube.circuits.iter().map(|circuit| circuit.points(CHORD_IN)).collect();
    let mut hits = Vec::new();
    for (number, circuit) in parts.tube.circuits.iter().enumerate() {
        if !circuit.is_pinned {
            continue;
        }
        let Some(line) = lines.get(number) else { continue };
        let problem = leaves_floor(job, parts, line)
            .map(|at| (at, "runs off the slab or over a place kept free of tube".to_owned()))
            .or_else(|| {
                lines.iter().enumerate().find_map(|(other, course)| {
                    let at = meets(line, course, other == number)?;
                    let name = &parts.tube.circuits.get(other)?.name;
                    let whom = if other == number { "itself" } else { name.as_str() };
                    Some((at, format!("crosses {whom}")))
                })
            })
            .or_else(|| {
                let is_over = circuit.length > circuit.limit;
                is_over.then(|| (line.first().copied().unwrap_or_default(), over(circuit)))
            });
        hits.extend(problem.map(|(at, what)| Hit {
            at: Some(at),
            item: Some(circuit.zone.into()),
            message: format!("{}, fixed by hand, {what}", circuit.name),
            remedy: "Move its corners, or release it and let it be routed".to_owned(),
        }));
    }
    hits
}

fn over(circuit: &crate::tube::Circuit) -> String {
    format!("is {:.0} ft long, over {:.0} ft", circuit.length / 12.0, circuit.limit / 12.0)
}

/// Where a line leaves the slab or enters a keep-out or what comes through the floor.
fn leaves_floor(job: &Job, parts: &Parts, line: &[Point]) -> Option<Point> {
    let kept_free: Vec<Polygon> = job
        .heating
        .keep_outs
        .iter()
        .map(|item| item.corners.clone())
        .chain(parts.plan.penetrations.iter().map(|item| item.outline.clone()))
        .map(|ring| Polygon::new(ring, Vec::new()))
        .collect();
    let ends = [line.first()?, line.last()?];
    let is_bad = |at: Point| {
        let is_end = ends.iter().any(|end| end.distance(at) < OUTSIDE_IN);
        let is_off = !is_end && !parts.plan.region.contains(at);
        is_off || kept_free.iter().any(|area| area.contains(at))
    };
    line.iter().zip(line.iter().skip(1)).find_map(|(&from, &to)| {
        let pieces = (from.distance(to) / 2.0).ceil().clamp(1.0, 1e4);
        let mut along = 0.0;
        while along <= pieces {
            let at = from.toward(to, along / pieces);
            if is_bad(at) {
                return Some(at);
            }
            along += 1.0;
        }
        None
    })
}

/// Where two lines cross, or one crosses itself.
fn meets(line: &[Point], other: &[Point], is_same: bool) -> Option<Point> {
    let legs = |line: &[Point]| -> Vec<(Point, Point)> {
        line.iter().copied().zip(line.iter().copied().skip(1)).collect()
    };
    let (own, others) = (legs(line), legs(other));
    own.iter().enumerate().find_map(|(n, &leg)| {
        others.iter().enumerate().find_map(|(m, &against)| {
            if is_same && m <= n + 1 {
                return None;
            }
            crossing(leg, against).map(|(share, _)| leg.0.toward(leg.1, share))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;
    use crate::tube::Circuit;
    use std::sync::Arc;

    fn hits(corners: &[(f64, f64)]) -> Vec<Hit> {
        let job = Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(20.0, 0.0), None),
            (Point::feet(20.0, 20.0), None),
            (Point::feet(0.0, 20.0), None),
        ]);
        let points: Vec<Point> = corners.iter().map(|&(x, y)| Point::feet(x, y)).collect();
        let path = points
            .iter()
            .zip(&points[1..])
            .map(|(&a, &b)| crate::geometry::Segment::Line(a, b))
            .collect();
        let circuit = Circuit { path, is_pinned: true, limit: 3600.0, ..Circuit::default() };
        let tube = crate::tube::Tube { circuits: vec![circuit], ..Default::default() };
        let plan = Arc::new(Plan::of(&job));
        look(&job, &Parts { tube: Arc::new(tube), plan, ..Parts::default() })
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(&[(5.0, 1.0), (5.0, 10.0), (9.0, 10.0), (9.0, 1.0)]).len(), 0);
        let out = hits(&[(5.0, 1.0), (5.0, 25.0), (9.0, 25.0), (9.0, 1.0)]);
        assert!(out[0].message.contains("off the slab"));
        let knot = hits(&[(5.0, 1.0), (5.0, 10.0), (9.0, 10.0), (9.0, 5.0), (3.0, 5.0)]);
        assert!(knot[0].message.contains("crosses itself"));
    }
}
