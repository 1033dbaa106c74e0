//! Where leaders run: the floor in front of a manifold on which tube lies closer than elsewhere.
//!
//! Leaders lie at the distance of the ports, which is closer than any zone is spaced. The places
//! where they do are marked, so that the sheet may ask for insulation there and whoever measures
//! distances between runs knows which are meant to be close.

use super::clear_area::grown_line;
use super::{Circuit, RoutedManifold};
use crate::geometry::clip::union_all;
use crate::geometry::{Point, Polygon};
use crate::job::Job;
use crate::job::heating::Manifold;

/// How far the mark reaches beyond half the distance of two leaders, so that those of one bus
/// make one mark, inches.
const OVERLAP_IN: f64 = 0.1;
/// How coarsely bends are followed, inches.
const CHORD_IN: f64 = 0.25;

/// Every manifold of the job with the marks of its leaders.
#[must_use]
pub fn manifolds(job: &Job, circuits: &[Circuit]) -> Vec<RoutedManifold> {
    job.heating
        .manifolds
        .iter()
        .map(|manifold| RoutedManifold {
            id: manifold.id,
            name: manifold.name.clone(),
            at: manifold.at,
            leader_corridor: leader_corridor(manifold, circuits),
        })
        .collect()
}

/// Every place within about half the distance of two leaders from a leader of the manifold.
fn leader_corridor(manifold: &Manifold, circuits: &[Circuit]) -> Vec<Polygon> {
    let half = manifold.port_spacing.to_inches().max(1.0) / 2.0 + OVERLAP_IN;
    let strips: Vec<Polygon> = circuits
        .iter()
        .filter(|circuit| circuit.manifold == manifold.id)
        .flat_map(leaders_of)
        .flat_map(|leader| grown_line(&leader, half))
        .collect();
    union_all(&strips)
}

/// The two leaders of a circuit as lines, each from its port.
#[must_use]
pub fn leaders_of(circuit: &Circuit) -> [Vec<Point>; 2] {
    let points = circuit.points(CHORD_IN);
    let back: Vec<Point> = points.iter().rev().copied().collect();
    [beginning(&points, circuit.leader_ends.0), beginning(&back, circuit.leader_ends.1)]
}

/// A circuit between its leaders as a line.
#[must_use]
pub fn field_of(circuit: &Circuit) -> Vec<Point> {
    let points = circuit.points(CHORD_IN);
    let (start, end) = (circuit.leader_ends.0, circuit.length - circuit.leader_ends.1);
    let mut along = 0.0;
    let mut kept = Vec::new();
    for (&from, &to) in points.iter().zip(points.iter().skip(1)) {
        let next = along + from.distance(to);
        if next > start && along < end {
            if kept.is_empty() {
                kept.push(from);
            }
            kept.push(to);
        }
        along = next;
    }
    kept
}

fn beginning(line: &[Point], length: f64) -> Vec<Point> {
    let mut kept = Vec::new();
    let mut left = length;
    for (&from, &to) in line.iter().zip(line.iter().skip(1)) {
        if left <= 0.0 {
            break;
        }
        if kept.is_empty() {
            kept.push(from);
        }
        let step = from.distance(to);
        kept.push(if step > left { from.toward(to, left / step) } else { to });
        left -= step;
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Segment;

    #[test]
    fn two_leaders_side_by_side_make_one_mark_of_their_length() {
        let [a, b, c, d] =
            [(0.0, 0.0), (0.0, 100.0), (3.0, 100.0), (3.0, 0.0)].map(|(x, y)| Point::new(x, y));
        let path = vec![Segment::Line(a, b), Segment::Line(b, c), Segment::Line(c, d)];
        let circuit = Circuit { path, leader_ends: (40.0, 30.0), ..Circuit::default() };
        assert_eq!(leaders_of(&circuit)[1], [d, Point::new(3.0, 30.0)]);
        let manifold = Manifold::default();
        let marks = leader_corridor(&manifold, std::slice::from_ref(&circuit));
        assert_eq!(marks.len(), 1);
        // 3.2 in round the one and the other, which share 0.2 in of width.
        let area: f64 = marks.iter().map(Polygon::area).sum();
        assert!((area - (43.2 * 3.2 + 33.2 * 3.0)).abs() < 0.1, "{area}");
        let other = Manifold { id: crate::job::ids::ManifoldId(9), ..manifold };
        assert!(leader_corridor(&other, &[circuit]).is_empty());
    }
}
