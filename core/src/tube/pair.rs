//! Two tubes side by side round one tree: supply and return of a circuit in every lane.
//!
//! Where the spacing is so close that a return between neighbouring tubes would be a bulb, lanes
//! are laid at twice the spacing and each holds both tubes of its circuit. The course round the
//! tree is then walked once out and back again beside itself: its outer returns are wide, and only
//! the inner tube of a return needs a bulb.

#![expect(clippy::indexing_slicing, reason = "legs are numbered by this file's own loops")]

use super::fan::Root;
use crate::geometry::{Point, Vector};

/// The course out along one side of `round` and back along the other, `half` from it, between
/// the two leaders of its root. The far end is shortened until its last leg has `room`.
#[must_use]
pub fn side_by_side(round: &[Point], root: &Root, half: f64, room: f64) -> Vec<Point> {
    let Some(&start) = round.first() else { return Vec::new() };
    let mut middle = vec![root.opening.ahead(start, 4.0 * half)];
    for &corner in round {
        push_corner(&mut middle, corner);
    }
    while middle.len() > 3 && middle[middle.len() - 2].distance(middle[middle.len() - 1]) < room {
        middle.pop();
    }
    stretch_end(&mut middle, root, half);
    let left = beside(&middle, half);
    let right = beside(&middle, -half);
    let (Some(&left_start), Some(&into_end), Some(&out_end)) =
        (left.get(1), root.into.last(), root.out_of.last())
    else {
        return Vec::new();
    };
    let entry = root.opening.back().step();
    let aside = |point: Point| Vector::new(entry.0, entry.1).cross(point - start);
    let (first, second) = if aside(into_end) > aside(out_end) {
        (&root.into, &root.out_of)
    } else {
        (&root.out_of, &root.into)
    };
    let mut course: Vec<Point> = first[..first.len() - 1].to_vec();
    course.push(left_start);
    course.extend(&left[2..]);
    course.extend(right[1..].iter().rev());
    course.extend(second[..second.len() - 1].iter().rev());
    course
}

/// Draws the far end out toward the root's own leaders, where its last leg points at them.
fn stretch_end(middle: &mut [Point], root: &Root, half: f64) {
    let [.., before, end] = middle else { return };
    let (x, y) = root.opening.step();
    let out = Vector::new(x, y);
    if (*end - *before).unit().is_none_or(|ahead| ahead.dot(out) < 0.99) {
        return;
    }
    let nearest = [&root.into, &root.out_of]
        .into_iter()
        .filter_map(|leader| leader.get(leader.len().wrapping_sub(2)))
        .map(|&bend| (bend - *end).dot(out))
        .fold(f64::INFINITY, f64::min);
    let room = nearest - 2.2 * half;
    if room > 0.0 && room < 24.0 * half {
        *end += out * room;
    }
}

/// Adds a corner; one on a straight leg replaces the last.
fn push_corner(list: &mut Vec<Point>, corner: Point) {
    if let [.., a, b] = list[..] {
        let (before, after) = (b - a, corner - b);
        if after.length() < 1e-6 {
            return;
        }
        if before.cross(after).abs() < 1e-6 * before.length() * after.length()
            && before.dot(after) > 0.0
        {
            list.pop();
        }
    }
    list.push(corner);
}

/// The line `aside` to the left of a line of legs, corners mitred.
fn beside(legs: &[Point], aside: f64) -> Vec<Point> {
    let normal = |at: usize| (legs[at + 1] - legs[at]).unit().unwrap_or_default().left();
    (0..legs.len())
        .map(|at| {
            if at == 0 {
                return legs[at] + normal(0) * aside;
            }
            if at + 1 == legs.len() {
                return legs[at] + normal(at - 1) * aside;
            }
            let (before, after) = (normal(at - 1), normal(at));
            let spread = (1.0 + before.dot(after)).max(0.05);
            legs[at] + (before + after) * (aside / spread)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_beside_another_keeps_its_distance() {
        let legs = [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0)].map(|(x, y)| Point::new(x, y));
        let left = beside(&legs, 3.0);
        assert_eq!(left[1], Point::new(97.0, 3.0));
        assert_eq!(left[2], Point::new(97.0, 50.0));
    }
}
