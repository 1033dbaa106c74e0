//! Circuits that the user has fixed: taken over as drawn.

use super::bends::bend_course;
use super::one_zone::least_radius;
use super::{Circuit, limits};
use crate::geometry::{Point, Segment};
use crate::job::Job;
use crate::job::heating::Zone;

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

fn straight_legs(points: &[Point]) -> Vec<Segment> {
    points.iter().zip(points.iter().skip(1)).map(|(&a, &b)| Segment::Line(a, b)).collect()
}
