//! The wall that a serpentine starts from: runs lie along it, and water comes to it first.

use super::route::Layout;
use crate::geometry::nearest::{distance_to_line, distance_to_sides};
use crate::geometry::{Point, Polygon, Vector};

/// Floor whose edge is nearer than this to the slab's outer edge lies along an outside wall, inches.
const AT_RIM_IN: f64 = 1.0;
/// How coarsely bends are followed, inches.
const CHORD_IN: f64 = 0.25;
/// Sides that lie on one line, and meet, make one wall, inches.
const ONE_LINE_IN: f64 = 0.5;

/// A straight wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColdWall {
    /// Its ends.
    pub ends: (Point, Point),
}

impl ColdWall {
    /// The longest outside wall of a floor: the longest straight stretch of its edge along the
    /// outer edge of the slab, else the longest of its edges.
    #[must_use]
    pub fn of(floor: &[Polygon], slab: &Polygon) -> Option<Self> {
        let rim = Polygon::new(slab.outer.clone(), Vec::new());
        let is_outside = |(from, to): &(Point, Point)| {
            [0.1, 0.5, 0.9]
                .iter()
                .all(|&share| distance_to_sides(from.toward(*to, share), &rim) < AT_RIM_IN)
        };
        let sides: Vec<(Point, Point)> = floor.iter().flat_map(Polygon::edges).collect();
        let outside: Vec<_> = sides.iter().copied().filter(is_outside).collect();
        let walls = joined(if outside.is_empty() { &sides } else { &outside });
        let length = |wall: &(Point, Point)| wall.0.distance(wall.1);
        walls.into_iter().max_by(|a, b| length(a).total_cmp(&length(b))).map(|ends| Self { ends })
    }

    /// Along it.
    #[must_use]
    pub fn along(&self) -> Vector {
        (self.ends.1 - self.ends.0).unit().unwrap_or(Vector::new(1.0, 0.0))
    }

    /// Turns circuits so that water comes to this wall first: the half of a circuit from its
    /// supply lies nearer to it than the other half.
    pub fn take_supply(&self, layout: &mut Layout) {
        for found in &mut layout.circuits {
            let half = found.length / 2.0;
            let (mut along, mut sums) = (0.0, [(0.0, 0.0); 2]);
            let mut from = found.path.first().map(|segment| segment.start());
            for to in found.path.iter().flat_map(|segment| segment.flatten(CHORD_IN)) {
                let Some(before) = from.replace(to) else { continue };
                let length = before.distance(to);
                // A long leg may lie in both halves.
                let first = (half - along).clamp(0.0, length);
                let cut = if length > 0.0 { before.toward(to, first / length) } else { to };
                for (sum, (a, b)) in sums.iter_mut().zip([(before, cut), (cut, to)]) {
                    let part = a.distance(b);
                    let away = distance_to_line(a.middle(b), self.ends.0, self.ends.1);
                    *sum = (sum.0 + part * away, sum.1 + part);
                }
                along += length;
            }
            let [first, second] = sums.map(|(sum, length)| sum / f64::max(length, 1e-9));
            if first > second {
                found.path = found.path.iter().rev().map(|segment| segment.reversed()).collect();
                found.leaders = (found.leaders.1, found.leaders.0);
            }
        }
    }
}

/// Sides that continue each other as one.
fn joined(sides: &[(Point, Point)]) -> Vec<(Point, Point)> {
    let mut walls: Vec<(Point, Point)> = Vec::new();
    for &(from, to) in sides {
        let longer = walls.iter_mut().find(|wall| {
            let meets = wall.1.distance(from) < ONE_LINE_IN || wall.0.distance(to) < ONE_LINE_IN;
            let (start, end) =
                if wall.1.distance(from) < ONE_LINE_IN { (wall.0, to) } else { (from, wall.1) };
            meets
                && distance_to_line(from, start, end) < ONE_LINE_IN
                && distance_to_line(to, start, end) < ONE_LINE_IN
                && distance_to_line(wall.0, start, end) < ONE_LINE_IN
        });
        match longer {
            Some(wall) if wall.1.distance(from) < ONE_LINE_IN => wall.1 = to,
            Some(wall) => wall.0 = from,
            None => walls.push((from, to)),
        }
    }
    walls
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Segment;
    use crate::tube::route::Found;

    #[test]
    fn the_longest_outside_wall_is_found_whole() {
        let slab = Polygon::new(
            [(0.0, 0.0), (200.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0)]
                .map(|(x, y)| Point::new(x, y))
                .to_vec(),
            Vec::new(),
        );
        let wall = ColdWall::of(std::slice::from_ref(&slab), &slab).unwrap();
        assert!((wall.ends.0.distance(wall.ends.1) - 400.0).abs() < 1e-9);
        // A zone that has only its short end at an outside wall.
        let zone = Polygon::rectangle(Point::new(0.0, 100.0), Point::new(200.0, 180.0));
        let wall = ColdWall::of(&[zone], &slab).unwrap();
        assert!(wall.ends.0.x.abs() < 1e-9 && wall.ends.1.x.abs() < 1e-9);
    }

    #[test]
    fn a_circuit_whose_return_lies_at_the_wall_is_turned() {
        let line = |from: (f64, f64), to: (f64, f64)| {
            Segment::Line(Point::new(from.0, from.1), Point::new(to.0, to.1))
        };
        let path = vec![
            line((0.0, 60.0), (90.0, 60.0)),
            line((90.0, 60.0), (90.0, 12.0)),
            line((90.0, 12.0), (0.0, 12.0)),
        ];
        let found = Found { path, length: 228.0, leaders: (5.0, 7.0), ..Found::default() };
        let mut layout = Layout { circuits: vec![found], ..Layout::default() };
        let wall = ColdWall { ends: (Point::ORIGIN, Point::new(90.0, 0.0)) };
        wall.take_supply(&mut layout);
        let turned = layout.circuits[0].clone();
        assert_eq!(turned.path[0].start(), Point::new(0.0, 12.0));
        assert_eq!(turned.leaders, (7.0, 5.0));
        wall.take_supply(&mut layout);
        assert_eq!(layout.circuits[0], turned, "the right way already");
    }
}
