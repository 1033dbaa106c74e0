//! Cuts a ring by an upright or level line and keeps one side.
//!
//! A ring that crosses the line is broken into chains on the kept side; along the line the
//! chains' ends alternate between going into the floor and out of it, so neighbours in order
//! close each other. Corners within [`ON_LINE_IN`] of the line count as on it and stay where they
//! are, so the two sides of a cut fit without a gap. Rings must not touch themselves.

use crate::geometry::Point;

/// A corner this near a line lies on it, inches.
pub const ON_LINE_IN: f64 = 0.02;

/// The direction that a line stands across.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// The line is upright, at one x.
    X,
    /// The line is level, at one y.
    Y,
}

impl Axis {
    /// The coordinate that is constant along a line across this axis.
    #[must_use]
    pub const fn of(self, point: Point) -> f64 {
        match self {
            Self::X => point.x,
            Self::Y => point.y,
        }
    }

    /// The coordinate that runs along a line across this axis.
    #[must_use]
    pub const fn along(self, point: Point) -> f64 {
        match self {
            Self::X => point.y,
            Self::Y => point.x,
        }
    }

    /// The point at `at` across and `along` along.
    #[must_use]
    pub const fn point(self, at: f64, along: f64) -> Point {
        match self {
            Self::X => Point::new(at, along),
            Self::Y => Point::new(along, at),
        }
    }
}

/// Which side of a line is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Smaller coordinates.
    Below,
    /// Larger coordinates.
    Above,
}

/// The parts of a ring on one side of the line at `at`, each a ring of the same direction.
#[must_use]
pub fn half(ring: &[Point], axis: Axis, at: f64, keep: Side) -> Vec<Vec<Point>> {
    let sign = if keep == Side::Below { -1.0 } else { 1.0 };
    let side_of = |point: Point| {
        let off = (axis.of(point) - at) * sign;
        if off > ON_LINE_IN {
            1
        } else if off < -ON_LINE_IN {
            -1
        } else {
            0
        }
    };
    let marked = with_crossings(ring, axis, at, side_of);
    if !marked.iter().any(|&(_, side)| side < 0) {
        return if marked.iter().any(|&(_, side)| side > 0) {
            vec![ring.to_vec()]
        } else {
            Vec::new()
        };
    }
    close_chains(chains(&marked), axis)
}

/// The ring's corners with the crossings put in, each with its side (1 kept, -1 not, 0 on line).
fn with_crossings(
    ring: &[Point],
    axis: Axis,
    at: f64,
    side_of: impl Fn(Point) -> i8,
) -> Vec<(Point, i8)> {
    let mut marked = Vec::with_capacity(ring.len() + 4);
    for (from, to) in crate::geometry::polygon::edges(ring) {
        let (side, next) = (side_of(from), side_of(to));
        marked.push((from, side));
        if side * next < 0 {
            // From the same end whichever way the side runs, so neighbours get the same point.
            let (a, b) = if axis.of(from) < axis.of(to) { (from, to) } else { (to, from) };
            let share = (at - axis.of(a)) / (axis.of(b) - axis.of(a));
            marked.push((axis.point(at, axis.along(a.toward(b, share))), 0));
        }
    }
    marked
}

/// Runs of corners on the kept side, each with its end points on the line.
fn chains(marked: &[(Point, i8)]) -> Vec<Vec<Point>> {
    let count = marked.len();
    let side = |index: usize| marked.get(index % count).map_or(0, |entry| entry.1);
    let point = |index: usize| marked.get(index % count).map_or(Point::ORIGIN, |entry| entry.0);
    let mut chains = Vec::new();
    for start in 0..count {
        let starts = side(start) == 0 && side(start + 1) > 0 && side(start + count - 1) <= 0;
        if !starts {
            continue;
        }
        let mut chain = vec![point(start)];
        for step in 1..=count {
            chain.push(point(start + step));
            // A corner that only touches the line from the kept side does not end the chain.
            if side(start + step) == 0 && side(start + step + 1) <= 0 {
                break;
            }
        }
        chains.push(chain);
    }
    chains
}

/// Joins chains into rings along the line.
fn close_chains(chains: Vec<Vec<Point>>, axis: Axis) -> Vec<Vec<Point>> {
    // Ends in order along the line: position, chain, whether it is the chain's start.
    let mut ends: Vec<(f64, usize, bool)> = Vec::with_capacity(chains.len() * 2);
    for (index, chain) in chains.iter().enumerate() {
        if let (Some(&first), Some(&last)) = (chain.first(), chain.last()) {
            ends.push((axis.along(first), index, true));
            ends.push((axis.along(last), index, false));
        }
    }
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut next: Vec<Option<usize>> = vec![None; chains.len()];
    for pair in ends.chunks_exact(2) {
        if let [a, b] = pair {
            let (start, end) = if a.2 { (a, b) } else { (b, a) };
            if let Some(slot) = next.get_mut(end.1) {
                *slot = Some(start.1);
            }
        }
    }
    let mut used = vec![false; chains.len()];
    let mut rings = Vec::new();
    for start in 0..chains.len() {
        let mut ring: Vec<Point> = Vec::new();
        let mut at = start;
        while let Some(seen) = used.get_mut(at) {
            if *seen {
                break;
            }
            *seen = true;
            if let Some(chain) = chains.get(at) {
                ring.extend(chain);
            }
            match next.get(at).copied().flatten() {
                Some(after) => at = after,
                None => break,
            }
        }
        ring.dedup_by(|b, a| a.distance(*b) < 1e-9);
        if ring.len() > 2 {
            rings.push(ring);
        }
    }
    rings
}

/// The parts of rings on one side of a line.
#[must_use]
pub fn cut(rings: &[Vec<Point>], axis: Axis, at: f64, keep: Side) -> Vec<Vec<Point>> {
    rings.iter().flat_map(|ring| half(ring, axis, at, keep)).collect()
}

/// The parts of a ring between two upright lines.
#[must_use]
pub fn between_lines(ring: &[Point], x: (f64, f64)) -> Vec<Vec<Point>> {
    cut(&half(ring, Axis::X, x.0, Side::Above), Axis::X, x.1, Side::Below)
}

/// The parts of a ring inside an upright box.
#[must_use]
pub fn inside_box(ring: &[Point], x: (f64, f64), y: (f64, f64)) -> Vec<Vec<Point>> {
    let above = cut(&between_lines(ring, x), Axis::Y, y.0, Side::Above);
    cut(&above, Axis::Y, y.1, Side::Below)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::polygon::signed_area;

    fn u_shape() -> Vec<Point> {
        [
            (0.0, 0.0),
            (44.0, 0.0),
            (44.0, 34.0),
            (30.0, 34.0),
            (30.0, 14.0),
            (14.0, 14.0),
            (14.0, 34.0),
            (0.0, 34.0),
        ]
        .map(|(x, y)| Point::feet(x, y))
        .to_vec()
    }

    #[test]
    fn a_u_above_its_bottom_is_two_arms() {
        let arms = half(&u_shape(), Axis::Y, 14.0 * 12.0, Side::Above);
        assert_eq!(arms.len(), 2);
        assert!(arms.iter().all(|arm| (signed_area(arm) / 144.0 - 280.0).abs() < 1e-9));
        let arms = half(&u_shape(), Axis::Y, 20.0 * 12.0, Side::Above);
        assert!(arms.iter().all(|arm| (signed_area(arm) / 144.0 - 196.0).abs() < 1e-9));
        let base = half(&u_shape(), Axis::Y, 14.0 * 12.0, Side::Below);
        assert_eq!(base.len(), 1);
        assert!((signed_area(&base[0]) / 144.0 - 616.0).abs() < 1e-9);
    }

    #[test]
    fn both_halves_make_the_whole_for_slanted_sides() {
        let ring: Vec<Point> = [
            (0.0, 0.0),
            (38.0, 0.0),
            (48.0, 20.0),
            (30.0, 30.0),
            (22.0, 22.0),
            (10.0, 36.0),
            (-4.0, 16.0),
        ]
        .map(|(x, y)| Point::feet(x, y))
        .to_vec();
        let whole = signed_area(&ring);
        for step in 0..60 {
            let at = -48.0 + 11.0 * f64::from(step);
            for axis in [Axis::X, Axis::Y] {
                let sum: f64 = [Side::Below, Side::Above]
                    .into_iter()
                    .flat_map(|keep| half(&ring, axis, at, keep))
                    .map(|part| signed_area(&part))
                    .sum();
                assert!((sum - whole).abs() < 1e-6, "{axis:?} {at}");
            }
        }
    }
}
