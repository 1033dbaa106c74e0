//! Circuits that the user has fixed: taken over as drawn.

use super::bends::bend_course;
use super::one_zone::least_radius;
use super::{Circuit, limits};
use crate::geometry::{Point, Segment, Vector};
use crate::job::Job;
use crate::job::heating::{PinnedCircuit, Zone};
use crate::units::exact_math;

/// The widest turn that is one corner, radians.
const WIDEST_CORNER: f64 = 1.8;

/// The pinned circuits of a zone, bent where the drawn corners leave room for the bend radius and
/// left as drawn where they do not (their least radius then tells).
#[must_use]
pub fn circuits(job: &Job, zone: &Zone) -> Vec<Circuit> {
    let choice = &job.heating.tube;
    let manifolds = &job.heating.manifolds;
    let manifold = zone
        .manifold
        .and_then(|id| manifolds.iter().find(|item| item.id == id))
        .or_else(|| manifolds.first());
    job.heating
        .pinned
        .iter()
        .filter(|pinned| pinned.zone == zone.id && pinned.path.len() > 1)
        .map(|pinned| {
            let mut points = pinned.path.clone();
            if pinned.is_reversed {
                points.reverse();
            }
            let bent = bend_course(&points, limits::least_bend_radius(choice) + 0.01);
            let is_bent = bent.is_ok();
            let path = bent.unwrap_or_else(|_| straight_legs(&points));
            Circuit {
                name: format!(
                    "{}-P{}",
                    manifold.map_or("M", |item| item.name.as_str()),
                    pinned.number + 1
                ),
                number: pinned.number,
                zone: zone.id,
                manifold: manifold.map(|item| item.id).unwrap_or_default(),
                length: path.iter().map(|segment| segment.length()).sum(),
                leader: 0.0,
                leader_ends: (0.0, 0.0),
                limit: limits::longest_circuit(choice),
                least_radius: if is_bent { least_radius(&path) } else { 0.0 },
                path,
                is_pinned: true,
                spacing: zone.spacing.to_inches(),
                is_edge_band: false,
            }
        })
        .collect()
}

/// A circuit as it lies, to be fixed: its corners, which bend to the same course again.
#[must_use]
pub fn pinned_of(circuit: &Circuit) -> PinnedCircuit {
    let mut path: Vec<Point> = circuit.path.first().map(|leg| leg.start()).into_iter().collect();
    for segment in &circuit.path {
        let Segment::Arc(arc) = segment else { continue };
        let Some(circle) = arc.circle() else { continue };
        // A wide turn has several corners round it.
        let count = (circle.sweep.abs() / WIDEST_CORNER).ceil().max(1.0);
        let half = circle.sweep / count / 2.0;
        let out = circle.radius / exact_math::cos(half);
        let from = (arc.from - circle.center).angle();
        let mut corner = 0.0;
        while corner < count {
            let angle = from + half * (2.0 * corner + 1.0);
            path.push(circle.center + Vector::from_angle(angle) * out);
            corner += 1.0;
        }
    }
    path.extend(circuit.path.last().map(|leg| leg.end()));
    PinnedCircuit { zone: circuit.zone, number: circuit.number, path, is_reversed: false }
}

fn straight_legs(points: &[Point]) -> Vec<Segment> {
    points.iter().zip(points.iter().skip(1)).map(|(&a, &b)| Segment::Line(a, b)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::ids::ZoneId;

    #[test]
    fn a_circuit_that_is_fixed_lies_as_before() {
        // A return, a bulb and a slanted leg.
        let corners: Vec<Point> = [
            (0.0, 0.0),
            (80.0, 0.0),
            (80.0, 12.0),
            (20.0, 12.0),
            (20.0, 40.0),
            (90.0, 40.0),
            (90.0, 46.0),
            (0.0, 46.0),
            (-40.0, 80.0),
        ]
        .map(|(x, y)| Point::new(x, y))
        .to_vec();
        let job = Job::default();
        let radius = limits::least_bend_radius(&job.heating.tube) + 0.01;
        let path = bend_course(&corners, radius).unwrap();
        let length: f64 = path.iter().map(|segment| segment.length()).sum();
        let circuit = Circuit { path, length, zone: ZoneId(7), ..Circuit::default() };
        let mut job = job;
        std::sync::Arc::make_mut(&mut job.heating).pinned = vec![pinned_of(&circuit)];
        let zone = Zone { id: ZoneId(7), ..Zone::default() };
        let again = circuits(&job, &zone);
        assert_eq!(again.len(), 1);
        assert!((again[0].length - length).abs() < 0.01, "{} and {length}", again[0].length);
        assert!(again[0].least_radius >= 5.0, "{}", again[0].least_radius);
        let (old, new) = (circuit.points(0.05), again[0].points(0.05));
        assert!(old.iter().all(|at| new.iter().any(|other| other.distance(*at) < 1.5)));
    }
}
