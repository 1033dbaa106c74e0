//! Where leaders run: the floor in front of a manifold on which tube lies closer than elsewhere.
//!
//! Leaders lie at the distance of the ports, which is closer than any zone is spaced. The places
//! where they do are marked, so that the sheet may ask for insulation there and whoever measures
//! distances between runs knows which are meant to be close.

use super::clear_area::grown_line;
use super::limits::leader_spacing;
use super::{Circuit, LeaderCrowd, RoutedManifold};
use crate::geometry::clip::{intersection, union_all};
use crate::geometry::nearest::crossing;
use crate::geometry::offset::{inset, simplified};
use crate::geometry::{Point, Polygon, Vector};
use crate::job::Job;
use crate::job::heating::Manifold;

/// How far the mark reaches beyond half the distance of two leaders, so that those of one bus
/// make one mark, inches.
const OVERLAP_IN: f64 = 0.1;
/// So many leaders side by side heat the floor over them noticeably: those of four circuits
/// (common practice).
const CROWD: usize = 8;
/// A crowd shorter than this is the manifold's own place, inches.
const LONG_IN: f64 = 36.0;
/// No corridor is wider than this to either side, inches.
const FAR_IN: f64 = 1200.0;
/// How coarsely bends are followed, inches.
const CHORD_IN: f64 = 0.25;

/// Every manifold of the job with the marks of its leaders.
#[must_use]
pub fn manifolds(job: &Job, circuits: &[Circuit]) -> Vec<RoutedManifold> {
    job.heating
        .manifolds
        .iter()
        .map(|manifold| {
            let corridor = leader_corridor(job, manifold, circuits);
            RoutedManifold {
                id: manifold.id,
                name: manifold.name.clone(),
                at: manifold.at,
                crowd: crowd(job, manifold, (circuits, &corridor)),
                leader_corridor: corridor,
            }
        })
        .collect()
}

/// Every place within about half the distance of two leaders from a leader of the manifold.
fn leader_corridor(job: &Job, manifold: &Manifold, circuits: &[Circuit]) -> Vec<Polygon> {
    let half = leader_spacing(&job.heating.tube) / 2.0 + OVERLAP_IN;
    let strips: Vec<Polygon> = circuits
        .iter()
        .filter(|circuit| circuit.manifold == manifold.id)
        .flat_map(leaders_of)
        .flat_map(|leader| grown_line(&leader, half))
        .collect();
    union_all(&strips)
}

/// Where so many leaders of a manifold run side by side that the floor gets warmer there; none
/// where they do not.
fn crowd(
    job: &Job,
    manifold: &Manifold,
    (circuits, corridor): (&[Circuit], &[Polygon]),
) -> Option<LeaderCrowd> {
    let own: Vec<&Circuit> =
        circuits.iter().filter(|circuit| circuit.manifold == manifold.id).collect();
    let pitch = leader_spacing(&job.heating.tube);
    let closest = own.iter().map(|circuit| circuit.spacing).fold(f64::INFINITY, f64::min);
    if 2 * own.len() < CROWD || pitch > 0.6 * closest {
        return None;
    }
    // Parts of it narrower than a crowd vanish when it is shrunk by half a crowd's width. The steps
    // along its bends do not matter to that, and cost the most of it.
    let half = (CROWD as f64 - 0.5) * pitch / 2.0;
    let plain = simplified(corridor, CHORD_IN);
    let kept = intersection(&inset(&inset(&plain, half), -half), corridor);
    let long = |part: &Polygon| part.area() > LONG_IN * CROWD as f64 * pitch;
    let areas: Vec<Polygon> = kept.into_iter().filter(long).collect();
    let at = areas.first()?.bounds()?.center();
    let leaders: Vec<Vec<Point>> = own.into_iter().flat_map(leaders_of).collect();
    let legs = leaders.iter().flat_map(|line| line.iter().zip(line.iter().skip(1)));
    let width = legs
        .filter_map(|(&from, &to)| width_at(from.middle(to), (to - from).unit()?, &areas))
        .fold(0.0, f64::max);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let count = (width / pitch).round().clamp(0.0, 10_000.0) as usize;
    Some(LeaderCrowd { leaders: count, pitch, width, at, areas })
}

/// How wide areas are across a leader at a place on it; none where it lies in none of them.
fn width_at(at: Point, along: Vector, areas: &[Polygon]) -> Option<f64> {
    let area = areas.iter().find(|area| area.contains(at))?;
    let reach = |aside: Vector| {
        let far = at + aside * FAR_IN;
        let cuts = area.edges().filter_map(|side| crossing((at, far), side));
        cuts.map(|(share, _)| share * FAR_IN).fold(FAR_IN, f64::min)
    };
    Some(reach(along.left()) + reach(-along.left()))
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
        let job = Job::default();
        let marks = leader_corridor(&job, &manifold, std::slice::from_ref(&circuit));
        assert_eq!(marks.len(), 1);
        // 3.2 in round the one and the other, which share 0.2 in of width.
        let area: f64 = marks.iter().map(Polygon::area).sum();
        assert!((area - (43.2 * 3.2 + 33.2 * 3.0)).abs() < 0.1, "{area}");
        let other = Manifold { id: crate::job::ids::ManifoldId(9), ..manifold };
        assert!(leader_corridor(&job, &other, &[circuit]).is_empty());
    }

    #[test]
    fn leaders_of_five_circuits_crowd_where_they_run_on_together() {
        // Ten leaders 3 in apart, of which so many run on for 100 in.
        let circuits = |far: usize| -> Vec<Circuit> {
            let reach = |tube: usize| if tube < far { 100.0 } else { 12.0 };
            (0..5)
                .map(|n| {
                    let (x, a, b) = (6.0 * n as f64, reach(2 * n), reach(2 * n + 1));
                    let places = [(x, 0.0), (x, a), (x + 1.5, a), (x + 3.0, b), (x + 3.0, 0.0)];
                    let [p, q, r, s, t] = places.map(|(x, y)| Point::new(x, y));
                    Circuit {
                        path: vec![
                            Segment::Line(p, q),
                            Segment::Line(q, r),
                            Segment::Line(r, s),
                            Segment::Line(s, t),
                        ],
                        leader_ends: (a, b),
                        spacing: 12.0,
                        ..Circuit::default()
                    }
                })
                .collect()
        };
        let job = Job::default();
        let crowd_of = |far: usize| {
            let (manifold, circuits) = (Manifold::default(), circuits(far));
            let corridor = leader_corridor(&job, &manifold, &circuits);
            crowd(&job, &manifold, (&circuits, &corridor))
        };
        let found = crowd_of(10).unwrap();
        assert_eq!(found.leaders, 10);
        assert!((found.width - 30.2).abs() < 0.5, "{}", found.width);
        assert_eq!(crowd_of(6), None);
    }
}
