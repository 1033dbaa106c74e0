//! How a wall bows off the straight line between its ends.

#![expect(clippy::indexing_slicing, reason = "corners are numbered by this file's own loops")]

use crate::geometry::{Point, Polygon, Vector};
use crate::units::exact_math;
use std::ops::RangeInclusive;

/// Walls that turn by less than this from one to the next are one, radians.
const SMOOTH: f64 = 0.15;
/// A wall that bows less than this is straight, inches.
const STRAIGHT_IN: f64 = 1.0;
/// At how many places along a wall its bow is measured.
const MEASURED: u32 = 32;

/// How far a side bows off the line between its ends: t·(1 - t)·(a + b·τ + c·τ²) at the share t of
/// the way along it, where τ = 2t - 1. That is near to any wall that bows one way, or one way and
/// then the other; an arc that bows by a quarter of its width is met to a hundredth of that.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bow {
    terms: [Vector; 3],
}

impl Bow {
    /// The bow of a wall through these places; `None` where it is straight, or turns back.
    #[must_use]
    pub fn of(wall: &[Point]) -> Option<Self> {
        let (&start, &end) = wall.first().zip(wall.last())?;
        let chord = end - start;
        let square = chord.dot(chord);
        // How far along the line between the ends, and how far off it, both as shares of it.
        let seen: Vec<(f64, f64)> = wall
            .iter()
            .map(|&at| ((at - start).dot(chord) / square, chord.cross(at - start) / square))
            .collect();
        let is_bowed = seen.iter().any(|place| place.1.abs() * chord.length() > STRAIGHT_IN);
        if !is_bowed || square <= 0.0 || seen.windows(2).any(|pair| pair[1].0 <= pair[0].0) {
            return None;
        }
        // Least squares; the middle term has nothing to do with the others, by symmetry.
        let (mut sums, mut own) = ([0.0; 3], [0.0; 3]);
        let mut common = 0.0;
        let mut after = 1;
        for step in 1..MEASURED {
            let along = f64::from(step) / f64::from(MEASURED);
            while after + 1 < seen.len() && seen[after].0 < along {
                after += 1;
            }
            let (from, to) = (seen[after - 1], seen[after]);
            let off = from.1 + (to.1 - from.1) * (along - from.0) / (to.0 - from.0);
            let (room, side) = (along * (1.0 - along), 2.0 * along - 1.0);
            let shapes = [room, room * side, room * side * side];
            for (term, shape) in shapes.into_iter().enumerate() {
                sums[term] += off * shape;
                own[term] += shape * shape;
            }
            common += shapes[0] * shapes[2];
        }
        let area = own[0] * own[2] - common * common;
        let terms = [
            (sums[0] * own[2] - sums[2] * common) / area,
            sums[1] / own[1],
            (sums[2] * own[0] - sums[0] * common) / area,
        ];
        Some(Self { terms: terms.map(|term| chord.left() * term) })
    }

    /// The same side seen from its other end.
    #[must_use]
    pub fn reversed(self) -> Self {
        let [even, odd, fourth] = self.terms;
        Self { terms: [even, -odd, fourth] }
    }

    /// So much of it.
    #[must_use]
    pub fn share(self, share: f64) -> Self {
        Self { terms: self.terms.map(|term| term * share) }
    }

    /// How far the side is off its line at a share of the way along it, and how that changes by the
    /// way. Beyond its ends it runs straight on.
    #[must_use]
    pub fn at(&self, along: f64) -> (Vector, Vector) {
        let [even, odd, fourth] = self.terms;
        let within = along.clamp(0.0, 1.0);
        let (room, side) = (within * (1.0 - within), 2.0 * within - 1.0);
        let shape = even + odd * side + fourth * (side * side);
        let change = shape * -side + (odd * 2.0 + fourth * (4.0 * side)) * room;
        (shape * room + change * (along - within), change)
    }
}

/// The walls of regions, each from its first corner to its last with the floor to the left: what
/// turns but a little from side to side is one wall.
#[must_use]
pub fn chains(regions: &[Polygon]) -> Vec<Vec<Point>> {
    let mut found = Vec::new();
    for ring in regions.iter().flat_map(|region| region.holes.iter().chain([&region.outer])) {
        found.extend(
            walls(ring).into_iter().map(|wall| wall.map(|at| ring[at % ring.len()]).collect()),
        );
    }
    found
}

/// The walls of a ring by the numbers of their corners, which run on past its end; none where it has
/// no sharp corner.
pub fn walls(ring: &[Point]) -> Vec<RangeInclusive<usize>> {
    let count = ring.len();
    let is_sharp = |&at: &usize| {
        let (before, after) = (ring[(at + count - 1) % count], ring[(at + 1) % count]);
        let (before, after) = (ring[at] - before, after - ring[at]);
        exact_math::atan2(before.cross(after), before.dot(after)).abs() > SMOOTH
    };
    let sharp: Vec<usize> = (0..count).filter(is_sharp).collect();
    let ends = sharp.iter().skip(1).copied().chain(sharp.first().map(|first| first + count));
    sharp.iter().zip(ends).map(|(&start, end)| start..=end).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An arc over 400 in that bows by so much, in chords.
    fn arc(bow: f64) -> Vec<Point> {
        let radius = (200.0 * 200.0 + bow * bow) / (2.0 * bow);
        let half = exact_math::atan2(200.0, radius - bow);
        let angle = |step: i32| half * f64::from(step) / 20.0;
        let at = |step: i32| {
            Point::new(
                200.0 + radius * exact_math::sin(angle(step)),
                radius * exact_math::cos(angle(step)) - radius + bow,
            )
        };
        (-20..=20).map(at).collect()
    }

    #[test]
    fn an_arc_is_met_closely() {
        for bow in [10.0, 50.0, 100.0] {
            let found = Bow::of(&arc(bow)).unwrap();
            for place in arc(bow) {
                let off = found.at(place.x / 400.0).0;
                assert!(
                    off.x.abs() < 1e-9 && (off.y - place.y).abs() < 0.01 * bow,
                    "{bow} {place:?}"
                );
            }
        }
    }

    #[test]
    fn it_changes_as_it_says() {
        let mut wall = arc(60.0);
        wall[12].y += 4.0;
        let bow = Bow::of(&wall).unwrap();
        for along in [-0.2, 0.1, 0.4, 0.93, 1.3] {
            let change = (bow.at(along + 1e-6).0 - bow.at(along - 1e-6).0) / 2e-6;
            assert!((change - bow.at(along).1).length() < 1e-3, "{along}");
            assert!((bow.reversed().at(1.0 - along).0 - bow.at(along).0).length() < 1e-9);
            assert!((bow.share(0.5).at(along).0 - bow.at(along).0 * 0.5).length() < 1e-9);
        }
    }

    #[test]
    fn straight_walls_do_not_bow() {
        let straight = [0.0, 40.0, 400.0].map(|x| Point::new(x, 0.2 * x));
        assert_eq!(Bow::of(&straight), None);
        let hooked = [(0.0, 0.0), (300.0, 60.0), (280.0, 90.0), (400.0, 0.0)];
        assert_eq!(Bow::of(&hooked.map(|(x, y)| Point::new(x, y))), None);
    }

    #[test]
    fn chords_of_an_arc_are_one_wall() {
        let mut corners = vec![Point::new(0.0, -200.0), Point::new(400.0, -200.0)];
        corners.extend(arc(60.0).into_iter().rev());
        let walls = chains(&[Polygon::new(corners, Vec::new())]);
        let ends = |wall: &Vec<Point>| (wall.len(), wall[0], wall[wall.len() - 1]);
        let at = |x: f64, y: f64| Point::new(x, y);
        let found: Vec<_> = walls.iter().map(ends).collect();
        assert_eq!(found.len(), 4);
        assert_eq!(found[0], (2, at(0.0, -200.0), at(400.0, -200.0)));
        let (count, from, to) = found[2];
        assert_eq!(count, 41);
        assert!(from.distance(at(400.0, 0.0)) < 1e-9 && to.distance(at(0.0, 0.0)) < 1e-9);
    }
}
