//! A turned set of axes in which lanes run east-west and north-south.

use crate::geometry::{Arc, Point, Polygon, Segment, Vector};

/// Axes with their own origin and direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    origin: Point,
    east: Vector,
}

impl Frame {
    /// Axes through `origin` whose east points along `angle`, radians from plan east.
    #[must_use]
    pub fn new(origin: Point, angle: f64) -> Self {
        Self { origin, east: Vector::from_angle(angle) }
    }

    /// A plan point in these axes.
    #[must_use]
    pub fn local(&self, point: Point) -> Point {
        let step = point - self.origin;
        Point::new(step.dot(self.east), step.dot(self.east.left()))
    }

    /// A plan direction in these axes.
    #[must_use]
    pub fn local_step(&self, step: Vector) -> Vector {
        Vector::new(step.dot(self.east), step.dot(self.east.left()))
    }

    /// A point of these axes on the plan.
    #[must_use]
    pub fn plan(&self, point: Point) -> Point {
        self.origin + self.east * point.x + self.east.left() * point.y
    }

    /// Regions in these axes.
    #[must_use]
    pub fn local_regions(&self, regions: &[Polygon]) -> Vec<Polygon> {
        let turn = |ring: &Vec<Point>| ring.iter().map(|&point| self.local(point)).collect();
        regions
            .iter()
            .map(|region| Polygon {
                outer: turn(&region.outer),
                holes: region.holes.iter().map(turn).collect(),
            })
            .collect()
    }

    /// A course of these axes on the plan.
    #[must_use]
    pub fn plan_course(&self, course: &[Segment]) -> Vec<Segment> {
        course
            .iter()
            .map(|segment| match *segment {
                Segment::Line(from, to) => Segment::Line(self.plan(from), self.plan(to)),
                Segment::Arc(arc) => Segment::Arc(Arc {
                    from: self.plan(arc.from),
                    through: self.plan(arc.through),
                    to: self.plan(arc.to),
                }),
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back_again() {
        let frame = Frame::new(Point::new(3.0, -7.0), 0.7);
        let point = Point::new(120.0, 44.0);
        assert!(frame.plan(frame.local(point)).distance(point) < 1e-9);
    }
}
