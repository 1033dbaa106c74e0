//! Returns drawn out into the floor ahead of them.
//!
//! The lattice of lanes leaves a full spacing between a return and the run it faces, and the floor
//! beside its two round corners is then farther from tube than half a spacing. Tube may lie a
//! little closer, so each return is drawn out as far as the least distance allows: that serves
//! the floor at its corners, and any strip too narrow for a lane of its own.

#![expect(
    clippy::indexing_slicing,
    reason = "corners and courses are numbered by this file's own loops over the same vectors"
)]

use super::field::Field;
use crate::geometry::nearest::length_along;
use crate::geometry::{Point, Vector};

/// A course as straight legs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Legs {
    /// Its corners, port to port.
    pub corners: Vec<Point>,
    /// How many of them at its beginning and its end belong to leaders.
    pub leaders: (usize, usize),
}

impl Legs {
    /// The leg after a corner replaced by a line; where it belonged to a leader, so does that.
    pub fn change(&mut self, at: usize, line: Vec<Point>) {
        let more = line.len().saturating_sub(2);
        let (first, last) = &mut self.leaders;
        if at + 1 < *first {
            *first += more;
        }
        if at + 1 + *last > self.corners.len() {
            *last += more;
        }
        self.corners.splice(at..=at + 1, line);
    }

    /// How long the straight legs of both leaders are, inches.
    #[must_use]
    pub fn leader_lengths(&self) -> (f64, f64) {
        let (first, last) = self.leaders;
        let length = |corners: Option<&[Point]>| corners.map_or(0.0, length_along);
        let rest = self.corners.len().saturating_sub(last);
        (length(self.corners.get(..first)), length(self.corners.get(rest..)))
    }
}

/// How far returns may be drawn out.
#[derive(Clone, Copy, Debug)]
pub struct Room<'a> {
    /// Where tube may lie.
    pub field: &'a Field,
    /// The least distance between two runs, inches.
    pub least: f64,
    /// The widest return that is drawn out, inches.
    pub widest: f64,
    /// The most it is drawn out, inches.
    pub most: f64,
}

/// Draws out every return of these courses but those at places that `is_held`.
pub fn draw_out(courses: &mut [Legs], room: Room, is_held: &dyn Fn(Point) -> bool) {
    for course in 0..courses.len() {
        let (first, last) = courses[course].leaders;
        let count = courses[course].corners.len();
        for at in first.max(1)..count.saturating_sub(last.max(1) + 1) {
            let corners = &courses[course].corners;
            let Some(cap) = Cap::of(corners, at, room.widest) else { continue };
            if is_held(cap.from.middle(cap.to)) {
                continue;
            }
            let far = reach(courses, (course, at), cap, room);
            if far > 0.2 {
                let corners = &mut courses[course].corners;
                corners[at] = cap.from + cap.ahead * far;
                corners[at + 1] = cap.to + cap.ahead * far;
            }
        }
    }
}

/// The end of a return: the leg between two right angles the same way.
#[derive(Clone, Copy)]
struct Cap {
    from: Point,
    to: Point,
    ahead: Vector,
}

impl Cap {
    fn of(corners: &[Point], at: usize, widest: f64) -> Option<Self> {
        let (from, to) = (corners[at], corners[at + 1]);
        let ahead = (from - corners[at - 1]).unit()?;
        let back = (*corners.get(at + 2)? - to).unit()?;
        let across = to - from;
        let is_square = across.dot(ahead).abs() < 1e-6 && ahead.dot(back) < -0.999_999;
        (is_square && across.length() <= widest).then_some(Self { from, to, ahead })
    }
}

/// How far a cap can go ahead.
fn reach(courses: &[Legs], (course, at): (usize, usize), cap: Cap, room: Room) -> f64 {
    let across = (cap.to - cap.from).unit().unwrap_or_default();
    let width = cap.from.distance(cap.to);
    let mut far = room.most;
    for (number, other) in courses.iter().enumerate() {
        for (leg, pair) in other.corners.windows(2).enumerate() {
            // The cap itself and its two sides move with it.
            if number == course && leg + 1 >= at && leg <= at + 1 {
                continue;
            }
            let (a, b) = (pair[0] - cap.from, pair[1] - cap.from);
            let (ahead, aside) =
                ((a.dot(cap.ahead), b.dot(cap.ahead)), (a.dot(across), b.dot(across)));
            let is_beside =
                aside.0.max(aside.1) <= -room.least || aside.0.min(aside.1) >= width + room.least;
            if is_beside || ahead.0.max(ahead.1) <= 0.0 {
                continue;
            }
            far = far.min(ahead.0.min(ahead.1) - room.least);
            if far <= 0.0 {
                return 0.0;
            }
        }
    }
    // Step back until all of the moved return lies in the field.
    let mut share = 1.0;
    while share > 0.05 {
        let (from, to) = (cap.from + cap.ahead * (far * share), cap.to + cap.ahead * (far * share));
        let field = room.field;
        if field.is_clear(from, to) && field.is_clear(cap.from, from) && field.is_clear(cap.to, to)
        {
            return far * share;
        }
        share -= 0.1;
    }
    0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;

    fn legs(list: &[(f64, f64)]) -> Legs {
        let corners = list.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Legs { corners, leaders: (1, 1) }
    }

    /// A tooth toward a run 12 in ahead of it, another toward a wall 30 in ahead.
    fn drawn(is_held: &dyn Fn(Point) -> bool) -> Vec<Legs> {
        let floor = [Polygon::rectangle(Point::new(0.0, 0.0), Point::new(200.0, 130.0))];
        let field = Field::new(&floor).unwrap();
        let tooth = [(20.0, 1.0), (20.0, 100.0), (32.0, 100.0), (32.0, 1.0)];
        let other = [(120.0, 1.0), (120.0, 100.0), (132.0, 100.0), (132.0, 1.0)];
        let mut courses = vec![legs(&tooth), legs(&other), legs(&[(1.0, 112.0), (90.0, 112.0)])];
        let room = Room { field: &field, least: 9.6, widest: 15.0, most: 24.0 };
        draw_out(&mut courses, room, is_held);
        courses
    }

    #[test]
    fn returns_come_as_near_as_allowed_and_stay_on_the_floor() {
        let courses = drawn(&|_| false);
        let tips = [0, 1].map(|course: usize| courses[course].corners[1].y);
        assert!((tips[0] - 102.4).abs() < 1e-9, "{tips:?}");
        assert!((120.0..130.0).contains(&tips[1]), "{tips:?}");
        assert_eq!(courses[0].corners[1].y, courses[0].corners[2].y);
    }

    #[test]
    fn what_takes_the_place_of_a_leg_of_a_leader_is_leader() {
        let corners =
            [(0.0, 0.0), (0.0, 20.0), (60.0, 20.0), (60.0, 90.0), (72.0, 90.0), (72.0, 0.0)];
        let course = Legs { leaders: (3, 2), ..legs(&corners) };
        assert_eq!(course.leader_lengths(), (80.0, 90.0));
        let bump = |at: usize| {
            let (from, to) = (course.corners[at], course.corners[at + 1]);
            let aside = (to - from).left() * 0.1;
            let mut changed = course.clone();
            changed.change(at, vec![from, from + aside, to + aside, to]);
            assert_eq!(changed.corners.len(), corners.len() + 2);
            (changed.leaders, changed.leader_lengths())
        };
        assert_eq!(bump(1), ((5, 2), (92.0, 90.0)));
        assert_eq!(bump(2), ((3, 2), (80.0, 90.0)));
        assert_eq!(bump(4), ((3, 4), (80.0, 108.0)));
    }

    #[test]
    fn a_return_that_is_held_stays() {
        let courses = drawn(&|at| at.x < 50.0);
        assert_eq!(courses[0].corners[1].y, 100.0);
        assert!(courses[1].corners[1].y > 100.0);
    }
}
