//! A turned set of axes in which lanes run east-west and north-south.

use super::cells::Cells;
use super::splay::{Splay, over};
use crate::geometry::nearest::length_along;
use crate::geometry::{Arc, Point, Polygon, Segment, Vector};

/// Axes with their own origin and direction; lanes may splay from them to follow walls askew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    origin: Point,
    east: Vector,
    splay: Option<Splay>,
}

impl Frame {
    /// Axes through `origin` whose east points along `angle`, radians from plan east.
    #[must_use]
    pub fn new(origin: Point, angle: f64) -> Self {
        Self { origin, east: Vector::from_angle(angle), splay: None }
    }

    /// The same with lanes that follow the walls of these regions of the plan, and stand at one place
    /// no closer than a `least` share of how they stand at another, in each way that there is; none
    /// where they do without.
    #[must_use]
    pub fn splayed(&self, regions: &[Polygon], least: f64) -> Vec<Self> {
        let square = self.square();
        let splays = over(&square.local_regions(regions), least);
        splays.into_iter().map(|splay| Self { splay: Some(splay), ..square }).collect()
    }

    /// These axes themselves, from which no lane splays.
    #[must_use]
    pub const fn square(&self) -> Self {
        Self { splay: None, ..*self }
    }

    /// Whether lanes splay.
    #[must_use]
    pub const fn is_splayed(&self) -> bool {
        self.splay.is_some()
    }

    /// Whether lanes bow.
    #[must_use]
    pub fn is_bowed(&self) -> bool {
        self.splay.is_some_and(|splay| splay.is_bowed())
    }

    /// Cells along lanes, weighed by the tube that they take as laid.
    #[must_use]
    pub fn weighed(&self, mut cells: Cells) -> Cells {
        if let Some(splay) = &self.splay {
            splay.weigh(&mut cells);
        }
        cells
    }

    /// How long a course of corners along lanes is as laid, inches.
    #[must_use]
    pub fn length(&self, corners: &[Point]) -> f64 {
        length_along(&self.squared(corners.to_vec()))
    }

    /// The closest that lanes stand, as a share of how they stand at the most.
    #[must_use]
    pub fn closest(&self) -> f64 {
        let (upright, level) = self.closest_lanes();
        upright.min(level)
    }

    /// The same of lanes that run north, and of those that run east.
    #[must_use]
    pub fn closest_lanes(&self) -> (f64, f64) {
        self.splay.map_or((1.0, 1.0), |splay| splay.closest)
    }

    /// How much of its legs a right angle between lanes takes at most, as a share of what it takes
    /// where they are square to each other.
    #[must_use]
    pub fn turn(&self) -> f64 {
        // tan(45° + slant/2) by the slope of the slant.
        self.splay.map_or(1.0, |splay| splay.slant + (1.0 + splay.slant * splay.slant).sqrt())
    }

    /// Where a course of corners along lanes comes to lie in the axes themselves, with the places
    /// between them that bowed legs need.
    #[must_use]
    pub fn squared(&self, course: Vec<Point>) -> Vec<Point> {
        match &self.splay {
            Some(splay) => splay.course(&course),
            None => course,
        }
    }

    /// Where a place along lanes comes to lie in the axes themselves.
    #[must_use]
    pub fn laid(&self, place: Point) -> Point {
        self.splay.map_or(place, |splay| splay.laid(place))
    }

    /// A place of the axes themselves along lanes.
    #[must_use]
    pub fn along_lanes(&self, place: Point) -> Point {
        self.splay.map_or(place, |splay| splay.back(place))
    }

    /// A plan point in these axes.
    #[must_use]
    pub fn local(&self, point: Point) -> Point {
        let step = point - self.origin;
        self.along_lanes(Point::new(step.dot(self.east), step.dot(self.east.left())))
    }

    /// A plan direction in the axes themselves.
    #[must_use]
    pub fn local_step(&self, step: Vector) -> Vector {
        Vector::new(step.dot(self.east), step.dot(self.east.left()))
    }

    /// A point of these axes on the plan.
    #[must_use]
    pub fn plan(&self, point: Point) -> Point {
        let point = self.laid(point);
        self.origin + self.east * point.x + self.east.left() * point.y
    }

    /// Regions in these axes.
    #[must_use]
    pub fn local_regions(&self, regions: &[Polygon]) -> Vec<Polygon> {
        let square = self.square();
        let turn = |ring: &Vec<Point>| ring.iter().map(|&point| square.local(point)).collect();
        let turned: Vec<Polygon> = regions
            .iter()
            .map(|region| Polygon {
                outer: turn(&region.outer),
                holes: region.holes.iter().map(turn).collect(),
            })
            .collect();
        self.splay.map_or_else(|| turned.clone(), |splay| splay.regions_back(&turned))
    }

    /// A course of the axes themselves on the plan.
    #[must_use]
    pub fn plan_course(&self, course: &[Segment]) -> Vec<Segment> {
        let square = self.square();
        course
            .iter()
            .map(|segment| match *segment {
                Segment::Line(from, to) => Segment::Line(square.plan(from), square.plan(to)),
                Segment::Arc(arc) => Segment::Arc(Arc {
                    from: square.plan(arc.from),
                    through: square.plan(arc.through),
                    to: square.plan(arc.to),
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

    #[test]
    fn splayed_lanes_lead_there_and_back_again() {
        let corners = [(0.0, 0.0), (400.0, 30.0), (380.0, 320.0), (20.0, 290.0)];
        let floor = corners.map(|(x, y)| Point::new(x, y)).to_vec();
        let plain = Frame::new(Point::new(3.0, -7.0), 0.05);
        let frame = plain.splayed(&[Polygon::new(floor, Vec::new())], 0.8).remove(0);
        let point = Point::new(120.0, 44.0);
        assert!(frame.plan(frame.local(point)).distance(point) < 1e-9);
        // What is laid along lanes comes to lie where the axes themselves have it.
        let laid = frame.squared(vec![frame.local(point)]);
        assert!(laid[0].distance(plain.local(point)) < 1e-9);
        assert!(frame.along_lanes(laid[0]).distance(frame.local(point)) < 1e-9);
        assert!(frame.closest() < 1.0 && frame.turn() > 1.0);
        assert_eq!((plain.closest(), plain.turn()), (1.0, 1.0));
    }
}
