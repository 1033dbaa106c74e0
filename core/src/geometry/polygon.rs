//! A straight-sided region: one outer ring and any number of holes.

use super::{Bounds, Point, Vector};

/// A region with straight sides. The outer ring runs counter-clockwise and holes clockwise when
/// it was made by [`Polygon::new`]; rings are not closed by a repeated point.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Polygon {
    /// The outer ring.
    pub outer: Vec<Point>,
    /// The rings of the holes.
    pub holes: Vec<Vec<Point>>,
}

/// Signed area of a ring of points: positive when it runs counter-clockwise.
#[must_use]
pub fn signed_area(ring: &[Point]) -> f64 {
    let Some(&base) = ring.first() else {
        return 0.0;
    };
    edges(ring).map(|(from, to)| (from - base).cross(to - base) / 2.0).sum()
}

/// The sides of a ring, from each point to the next and from the last to the first.
pub fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + Clone {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Length round a ring.
#[must_use]
pub fn perimeter(ring: &[Point]) -> f64 {
    edges(ring).map(|(from, to)| from.distance(to)).sum()
}

/// Whether `point` lies inside the ring (even-odd rule; points on a side may fall either way).
#[must_use]
pub fn ring_contains(ring: &[Point], point: Point) -> bool {
    edges(ring).fold(false, |inside, (from, to)| {
        let straddles = (from.y > point.y) != (to.y > point.y);
        if straddles {
            let cross = (to - from).cross(point - from);
            // The ray to the east crosses the side when the point is on its west.
            inside != ((to.y > from.y) == (cross > 0.0))
        } else {
            inside
        }
    })
}

/// Where the centre of the ring's area lies; the mean of its points when it has no area.
#[must_use]
pub fn centroid(ring: &[Point]) -> Point {
    let Some(&base) = ring.first() else {
        return Point::ORIGIN;
    };
    let (mut area, mut sum) = (0.0, Vector::default());
    for (from, to) in edges(ring) {
        let (a, b) = (from - base, to - base);
        let twice = a.cross(b);
        area += twice / 2.0;
        sum = sum + (a + b) * (twice / 6.0);
    }
    if area.abs() > f64::EPSILON {
        base + sum / area
    } else {
        let total = ring.iter().fold(Vector::default(), |sum, point| sum + (*point - base));
        base + total / ring.len() as f64
    }
}

impl Polygon {
    /// A region of these rings, each turned to the agreed direction.
    #[must_use]
    pub fn new(mut outer: Vec<Point>, mut holes: Vec<Vec<Point>>) -> Self {
        if signed_area(&outer) < 0.0 {
            outer.reverse();
        }
        for hole in &mut holes {
            if signed_area(hole) > 0.0 {
                hole.reverse();
            }
        }
        Self { outer, holes }
    }

    /// An upright rectangle.
    #[must_use]
    pub fn rectangle(min: Point, max: Point) -> Self {
        Self::new(vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)], Vec::new())
    }

    /// The outer ring, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &Vec<Point>> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// Every side of every ring.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point)> {
        self.rings().flat_map(|ring| edges(ring))
    }

    /// Area of the outer ring less the holes.
    #[must_use]
    pub fn area(&self) -> f64 {
        signed_area(&self.outer).abs()
            - self.holes.iter().map(|hole| signed_area(hole).abs()).sum::<f64>()
    }

    /// Length round the outer ring and the holes.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.rings().map(|ring| perimeter(ring)).sum()
    }

    /// The box round the outer ring.
    #[must_use]
    pub fn bounds(&self) -> Option<Bounds> {
        Bounds::of(self.outer.iter().copied())
    }

    /// Whether `point` lies inside (points on a side may fall either way).
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        ring_contains(&self.outer, point)
            && !self.holes.iter().any(|hole| ring_contains(hole, point))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_l_with_a_hole() {
        let l = Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(40.0, 0.0),
                Point::new(40.0, 18.0),
                Point::new(24.0, 18.0),
                Point::new(24.0, 30.0),
                Point::new(0.0, 30.0),
            ],
            vec![vec![
                Point::new(2.0, 2.0),
                Point::new(6.0, 2.0),
                Point::new(6.0, 6.0),
                Point::new(2.0, 6.0),
            ]],
        );
        assert_eq!(l.area(), 1008.0 - 16.0);
        assert_eq!(l.perimeter(), 156.0);
        assert!(l.contains(Point::new(10.0, 25.0)));
        assert!(!l.contains(Point::new(30.0, 25.0)));
        assert!(!l.contains(Point::new(4.0, 4.0)));
        // Published with the L of the handbook's sloped-top case: x of the plan centroid 17.71429 ft.
        assert!((centroid(&l.outer).x - 17.714_285_714).abs() < 1e-6);
    }
}
