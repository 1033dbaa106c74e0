//! A closed ring of straight and curved segments, exact.

use super::{Arc, Bounds, Point};

/// One segment of a ring or path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Straight from the first point to the second.
    Line(Point, Point),
    /// A circular arc.
    Arc(Arc),
}

impl Segment {
    /// Where it starts.
    #[must_use]
    pub const fn start(self) -> Point {
        match self {
            Self::Line(from, _) => from,
            Self::Arc(arc) => arc.from,
        }
    }

    /// Where it ends.
    #[must_use]
    pub const fn end(self) -> Point {
        match self {
            Self::Line(_, to) => to,
            Self::Arc(arc) => arc.to,
        }
    }

    /// True length.
    #[must_use]
    pub fn length(self) -> f64 {
        match self {
            Self::Line(from, to) => from.distance(to),
            Self::Arc(arc) => arc.length(),
        }
    }

    /// The same course from its other end.
    #[must_use]
    pub const fn reversed(self) -> Self {
        match self {
            Self::Line(from, to) => Self::Line(to, from),
            Self::Arc(arc) => Self::Arc(Arc { from: arc.to, through: arc.through, to: arc.from }),
        }
    }

    /// The point at `share` of the way along (0 start, 1 end).
    #[must_use]
    pub fn point_at(self, share: f64) -> Point {
        match self {
            Self::Line(from, to) => from.toward(to, share),
            Self::Arc(arc) => arc.point_at(share),
        }
    }

    /// Points after the start up to and with the end.
    #[must_use]
    pub fn flatten(self, chord_tolerance: f64) -> Vec<Point> {
        match self {
            Self::Line(_, to) => vec![to],
            Self::Arc(arc) => arc.flatten(chord_tolerance),
        }
    }
}

/// A closed ring: each segment starts where the one before ends, the last ends at the first start.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ring {
    /// The segments in order.
    pub segments: Vec<Segment>,
}

impl Ring {
    /// The ring through corners, each with the middle point of an arc to the next corner where
    /// that side is curved.
    #[must_use]
    pub fn from_corners(corners: &[(Point, Option<Point>)]) -> Self {
        let next = corners.iter().cycle().skip(1);
        let segments = corners
            .iter()
            .zip(next)
            .map(|(&(from, through), &(to, _))| match through {
                Some(through) => Segment::Arc(Arc { from, through, to }),
                None => Segment::Line(from, to),
            })
            .collect();
        Self { segments }
    }

    /// Signed area, arcs exact: positive when the ring runs counter-clockwise.
    #[must_use]
    pub fn signed_area(&self) -> f64 {
        let Some(first) = self.segments.first() else {
            return 0.0;
        };
        // Summed from the first corner, so that a slab far from the origin loses no digits.
        let base = first.start();
        self.segments
            .iter()
            .map(|segment| {
                let chord = (segment.start() - base).cross(segment.end() - base) / 2.0;
                match segment {
                    Segment::Line(..) => chord,
                    Segment::Arc(arc) => chord + arc.bow_area(),
                }
            })
            .sum()
    }

    /// True length round, arcs exact.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.segments.iter().map(|segment| segment.length()).sum()
    }

    /// The same ring the other way round.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let segments = self.segments.iter().rev().map(|segment| segment.reversed()).collect();
        Self { segments }
    }

    /// The corners with every arc as chords that stand off at most `chord_tolerance`.
    #[must_use]
    pub fn flatten(&self, chord_tolerance: f64) -> Vec<Point> {
        let mut points: Vec<Point> =
            self.segments.iter().flat_map(|segment| segment.flatten(chord_tolerance)).collect();
        // Each segment gives its end, so the last point is the first corner: put it first.
        if !points.is_empty() {
            points.rotate_right(1);
        }
        points
    }

    /// The box round it (of the flattened ring).
    #[must_use]
    pub fn bounds(&self) -> Option<Bounds> {
        Bounds::of(self.flatten(super::tolerance::ARC_CHORD_IN))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn a_stadium_has_its_exact_area_and_perimeter() {
        let ring = Ring::from_corners(&[
            (Point::new(0.0, 0.0), None),
            (Point::new(100.0, 0.0), Some(Point::new(120.0, 20.0))),
            (Point::new(100.0, 40.0), None),
            (Point::new(0.0, 40.0), Some(Point::new(-20.0, 20.0))),
        ]);
        assert!((ring.signed_area() - (4000.0 + 400.0 * PI)).abs() < 1e-9);
        assert!((ring.perimeter() - (200.0 + 40.0 * PI)).abs() < 1e-9);
        assert!((ring.reversed().signed_area() + ring.signed_area()).abs() < 1e-9);
        assert_eq!(ring.flatten(0.02).first(), Some(&Point::new(0.0, 0.0)));
    }
}
