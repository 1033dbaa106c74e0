//! Where two segments of rings cross or touch, lines and arcs alike, without flattening.
//!
//! Lines meet by their cross product, a line and a circle by a quadratic, two circles on their
//! common chord; what lies off an arc's sweep is dropped. Then the ends of each segment are held
//! against the other one, and the places of nearest approach of a line and a circle or of two
//! circles are, so that segments that come within [`SAME_POINT_IN`] of each other without
//! crossing are found as well, and collinear overlaps too.

use super::arc::ArcCircle;
use super::nearest::{crossing, nearest_on_line};
use super::tolerance::SAME_POINT_IN;
use super::{Arc, Point, Segment, Vector};
use std::f64::consts::TAU;

/// A place where two segments meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// Where.
    pub at: Point,
    /// It lies at an end of the first segment, within [`SAME_POINT_IN`].
    pub is_end_of_first: bool,
    /// It lies at an end of the second segment.
    pub is_end_of_second: bool,
    /// The two pass through each other here, as far as these two segments can tell.
    pub is_crossing: bool,
}

/// The straight or the curved form of a segment; an arc too flat to have a circle is straight.
#[derive(Clone, Copy)]
enum Form {
    Line(Point, Point),
    Arc(Arc, ArcCircle),
}

impl Form {
    fn of(segment: Segment) -> Self {
        match segment {
            Segment::Line(from, to) => Self::Line(from, to),
            Segment::Arc(arc) => match arc.circle() {
                Some(circle) => Self::Arc(arc, circle),
                None => Self::Line(arc.from, arc.to),
            },
        }
    }

    const fn ends(self) -> [Point; 2] {
        match self {
            Self::Line(from, to) => [from, to],
            Self::Arc(arc, _) => [arc.from, arc.to],
        }
    }

    /// The point of the segment nearest to `point`.
    fn nearest(self, point: Point) -> Point {
        match self {
            Self::Line(from, to) => nearest_on_line(point, from, to),
            Self::Arc(arc, circle) => {
                let out = (point - circle.center).unit();
                match out.map(|out| circle.center + out * circle.radius) {
                    Some(foot) if is_on_sweep(circle, foot) => foot,
                    _ if point.distance(arc.from) <= point.distance(arc.to) => arc.from,
                    _ => arc.to,
                }
            }
        }
    }
}

/// Whether a point of the circle lies on the swept part, ends included.
fn is_on_sweep(circle: ArcCircle, point: Point) -> bool {
    let slack = SAME_POINT_IN / circle.radius.max(SAME_POINT_IN);
    let mut turned = (point - circle.center).angle() - circle.start_angle;
    if circle.sweep < 0.0 {
        turned = -turned;
    }
    let turned = turned.rem_euclid(TAU);
    turned <= circle.sweep.abs() + slack || turned >= TAU - slack
}

/// The radius of the segment's arc; `None` for a straight one.
#[must_use]
pub fn radius(segment: Segment) -> Option<f64> {
    match Form::of(segment) {
        Form::Line(..) => None,
        Form::Arc(_, circle) => Some(circle.radius),
    }
}

/// Every place where the two segments cross or come within [`SAME_POINT_IN`] of each other, each
/// place once. Segments must be finite.
#[must_use]
pub fn meetings(first: Segment, second: Segment) -> Vec<Meeting> {
    let (first, second) = (Form::of(first), Form::of(second));
    let mut found: Vec<Meeting> = Vec::new();
    let mut add = |at: Point, is_exact: bool| {
        if !at.is_finite() || found.iter().any(|meeting| meeting.at.is_near(at)) {
            return;
        }
        let is_end_of_first = first.ends().iter().any(|end| end.is_near(at));
        let is_end_of_second = second.ends().iter().any(|end| end.is_near(at));
        let is_crossing = is_exact && !is_end_of_first && !is_end_of_second;
        found.push(Meeting { at, is_end_of_first, is_end_of_second, is_crossing });
    };
    for at in exact_meetings(first, second) {
        add(at, true);
    }
    for end in first.ends() {
        if second.nearest(end).is_near(end) {
            add(end, false);
        }
    }
    for end in second.ends() {
        if first.nearest(end).is_near(end) {
            add(end, false);
        }
    }
    for (on_first, on_second) in near_tangencies(first, second) {
        if on_first.is_near(on_second) {
            add(on_first, false);
        }
    }
    found
}

fn exact_meetings(first: Form, second: Form) -> Vec<Point> {
    match (first, second) {
        (Form::Line(a, b), Form::Line(c, d)) => {
            crossing((a, b), (c, d)).map(|(share, _)| a.toward(b, share)).into_iter().collect()
        }
        (Form::Line(from, to), Form::Arc(_, circle))
        | (Form::Arc(_, circle), Form::Line(from, to)) => line_and_circle(from, to, circle),
        (Form::Arc(_, a), Form::Arc(_, b)) => two_circles(a, b),
    }
}

fn line_and_circle(from: Point, to: Point, circle: ArcCircle) -> Vec<Point> {
    let along = to - from;
    let to_start = from - circle.center;
    let a = along.dot(along);
    let half_b = along.dot(to_start);
    let c = to_start.dot(to_start) - circle.radius * circle.radius;
    let under_root = half_b * half_b - a * c;
    if a <= 0.0 || under_root <= 0.0 {
        return Vec::new();
    }
    let root = under_root.sqrt();
    [(-half_b - root) / a, (-half_b + root) / a]
        .into_iter()
        .filter(|share| (0.0..=1.0).contains(share))
        .map(|share| from.toward(to, share))
        .filter(|&point| is_on_sweep(circle, point))
        .collect()
}

fn two_circles(a: ArcCircle, b: ArcCircle) -> Vec<Point> {
    let between = b.center - a.center;
    let apart = between.length();
    let Some(along) = between.unit() else {
        return Vec::new();
    };
    let to_chord = (apart * apart + a.radius * a.radius - b.radius * b.radius) / (2.0 * apart);
    let half_chord_squared = a.radius * a.radius - to_chord * to_chord;
    if half_chord_squared <= 0.0 || !half_chord_squared.is_finite() {
        return Vec::new();
    }
    let foot = a.center + along * to_chord;
    let side = along.left() * half_chord_squared.sqrt();
    [foot + side, foot - side]
        .into_iter()
        .filter(|&point| is_on_sweep(a, point) && is_on_sweep(b, point))
        .collect()
}

/// Pairs of points, one on each segment, where a line and a circle or two circles run closest.
fn near_tangencies(first: Form, second: Form) -> Vec<(Point, Point)> {
    match (first, second) {
        (Form::Line(..), Form::Line(..)) => Vec::new(),
        (Form::Line(from, to), Form::Arc(_, circle))
        | (Form::Arc(_, circle), Form::Line(from, to)) => {
            let on_line = nearest_on_line(circle.center, from, to);
            radial(circle, on_line - circle.center)
                .into_iter()
                .map(|on_arc| (on_line, on_arc))
                .collect()
        }
        (Form::Arc(_, a), Form::Arc(_, b)) => {
            let between = b.center - a.center;
            let on_a = [radial(a, between), radial(a, -between)];
            let on_b = [radial(b, between), radial(b, -between)];
            on_a.into_iter()
                .flatten()
                .flat_map(|on_a| on_b.into_iter().flatten().map(move |on_b| (on_a, on_b)))
                .collect()
        }
    }
}

/// The point of the arc in the direction `out` from its centre, if it is on the sweep.
fn radial(circle: ArcCircle, out: Vector) -> Option<Point> {
    let point = circle.center + out.unit()? * circle.radius;
    is_on_sweep(circle, point).then_some(point)
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn line(ax: f64, ay: f64, bx: f64, by: f64) -> Segment {
        Segment::Line(Point::new(ax, ay), Point::new(bx, by))
    }

    /// The upper half circle of radius 10 about the origin.
    const HALF: Segment = Segment::Arc(Arc {
        from: Point::new(10.0, 0.0),
        through: Point::new(0.0, 10.0),
        to: Point::new(-10.0, 0.0),
    });

    #[test]
    fn lines_cross_touch_and_overlap() {
        let across = meetings(line(0.0, 0.0, 10.0, 0.0), line(5.0, -5.0, 5.0, 5.0));
        assert_eq!(across.len(), 1);
        assert!(across[0].is_crossing);
        let tee = meetings(line(0.0, 0.0, 10.0, 0.0), line(5.0, 0.005, 5.0, 5.0));
        assert!(tee.len() == 1 && !tee[0].is_crossing && tee[0].is_end_of_second);
        let overlap = meetings(line(0.0, 0.0, 10.0, 0.0), line(4.0, 0.0, 14.0, 0.0));
        assert_eq!(overlap.len(), 2);
        assert!(meetings(line(0.0, 0.0, 10.0, 0.0), line(0.0, 0.1, 10.0, 0.1)).is_empty());
    }

    #[test]
    fn a_line_meets_an_arc_only_on_its_sweep() {
        let through = meetings(line(-20.0, 6.0, 20.0, 6.0), HALF);
        assert_eq!(through.len(), 2);
        for meeting in &through {
            assert!(meeting.is_crossing && (meeting.at.x.abs() - 8.0).abs() < 1e-12);
        }
        assert!(meetings(line(-20.0, -6.0, 20.0, -6.0), HALF).is_empty());
        let tangent = meetings(line(-20.0, 10.004, 20.0, 10.004), HALF);
        assert!(tangent.len() == 1 && !tangent[0].is_crossing);
        assert!(meetings(line(-20.0, 10.2, 20.0, 10.2), HALF).is_empty());
    }

    #[test]
    fn arcs_meet_arcs() {
        let other = Segment::Arc(Arc {
            from: Point::new(22.0, 0.0),
            through: Point::new(12.0, 10.0),
            to: Point::new(2.0, 0.0),
        });
        let found = meetings(HALF, other);
        assert_eq!(found.len(), 1);
        assert!(found[0].is_crossing && found[0].at.is_near(Point::new(6.0, 8.0)));
        // The same half circle again: its ends touch.
        assert_eq!(meetings(HALF, HALF).len(), 2);
    }
}
