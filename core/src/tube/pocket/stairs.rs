//! Stairs laid straight.
//!
//! Along a wall aslant to the lanes a run goes in steps, with a wedge of bare floor before each. Laid
//! straight from one step to another it goes along the wall instead, with fewer bends and less tube;
//! where the next run's steps then leave it as near as runs may lie, and that serves more floor, it is
//! worth it.

#![expect(
    clippy::indexing_slicing,
    reason = "corners and courses are numbered by this file's own loops over the same vectors"
)]

use super::gain::Stretch;
use super::{Around, Edit, Floor, GAIN_FOR_A_BEND, LEAST_GAIN, Leg, Near, legs_within, served_by};
use crate::geometry::nearest::distance_between_lines;
use crate::geometry::{Bounds, Point};
use crate::tube::draw_out::Legs;

/// How far about a pocket stairs are looked at, spacings.
const ABOUT: f64 = 3.0;
/// So many legs are laid straight, at least and at most.
const LEGS: (usize, usize) = (3, 9);
/// Steps are no longer than this, spacings.
const LONGEST_STEP: f64 = 6.0;
/// The straight begins so far before the first corner of the stairs, spacings, and ends so far after the
/// last.
const BEFORE: [f64; 5] = [0.0, 0.5, 1.0, 1.7, 2.5];
/// So many are measured.
const MOST_MEASURED: usize = 30;

/// Stairs of a course and a straight in their place.
pub struct Straight {
    course: usize,
    /// The first corner of the stairs, and the last.
    corners: (usize, usize),
    line: [Point; 2],
    /// How much longer the course is, inches: shorter, as a rule.
    longer: f64,
}

impl Straight {
    pub fn edit(self, courses: &[Legs]) -> Edit {
        let mut course = courses[self.course].clone();
        // Stairs are no part of a leader, so that those stay as they are.
        course.corners.splice(self.corners.0..=self.corners.1, self.line);
        Edit { courses: vec![(self.course, course, self.longer)], legs: vec![self.line] }
    }

    fn stretch(&self, courses: &[Legs]) -> Stretch {
        Stretch::of(courses, self.course, self.corners, &self.line)
    }

    /// Whether it lies on the floor, and no nearer to others than runs may, or than the stairs did.
    fn has_room(&self, corners: &[Point], near: &[Near], floor: Floor) -> bool {
        let (first, last) = self.corners;
        let line: Leg = (self.line[0], self.line[1]);
        let stairs = || corners[first - 1..=last + 1].windows(2);
        floor.tube.is_clear(line.0, line.1)
            && near.iter().all(|other| {
                // The legs before and after are those that it begins and ends on.
                if other.course == self.course && (first - 1..=last).contains(&other.leg) {
                    return true;
                }
                let distance = distance_between_lines(line, other.ends);
                let before = || {
                    let each =
                        stairs().map(|leg| distance_between_lines((leg[0], leg[1]), other.ends));
                    each.fold(f64::INFINITY, f64::min)
                };
                distance >= other.least || distance >= before() - 0.01
            })
    }
}

/// The best stairs near a pocket to lay straight, if that is worth it.
pub fn best_straight(around: Around) -> Option<Straight> {
    let Around { courses, pocket, floor, lengths, is_held } = around;
    let bounds = Bounds::of(pocket.iter().map(|(place, _)| *place))?;
    let near = legs_within(courses, bounds.grown(2.0 * ABOUT * floor.spacing), floor);
    let with_room = straights_near(courses, (pocket, bounds), &near, floor)
        .into_iter()
        .filter(|one| {
            !is_held(one.line[0], one.line[1])
                && lengths.may_grow(one.course, one.longer)
                && one.stretch(courses).can_be_bent(floor.radius)
                && one.has_room(&courses[one.course].corners, &near, floor)
        })
        .take(MOST_MEASURED);
    let worth = |one: Straight| {
        let stretch = one.stretch(courses);
        let needed = LEAST_GAIN + GAIN_FOR_A_BEND * stretch.bends();
        (stretch.gain(courses, &near, floor) - needed, one)
    };
    let best = with_room.map(worth).max_by(|a, b| a.0.total_cmp(&b.0));
    best.filter(|(gain, _)| *gain > 0.0).map(|(_, best)| best)
}

/// The straights in place of stairs near a pocket that serve some of it, those first that serve most.
fn straights_near(
    courses: &[Legs],
    (pocket, bounds): (&[(Point, f64)], Bounds),
    near: &[Near],
    floor: Floor,
) -> Vec<Straight> {
    let spacing = floor.spacing;
    let about = bounds.grown(ABOUT * spacing);
    let mut found: Vec<(f64, Straight)> = Vec::new();
    for run in near.iter().filter(|run| is_leg(courses, run)) {
        let Legs { corners, leaders } = &courses[run.course];
        let first = run.leg + 1;
        if first < leaders.0 {
            continue;
        }
        let ends = ends_of_stairs(corners, first, spacing).into_iter();
        for last in ends.filter(|last| last + leaders.1 < corners.len()) {
            for line in lines_between(corners, (first, last), spacing) {
                if !Bounds::of(line).is_some_and(|line| line.touches(about)) {
                    continue;
                }
                let hope = served_by(&line, run.ends, pocket, spacing);
                if hope > 0.0 {
                    let one =
                        Straight { course: run.course, corners: (first, last), line, longer: 0.0 };
                    let longer = one.stretch(courses).longer();
                    found.push((hope, Straight { longer, ..one }));
                }
            }
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|(_, one)| one).collect()
}

/// Whether it is a leg, not the widest part of a bulb.
fn is_leg(courses: &[Legs], near: &Near) -> bool {
    let corners = &courses[near.course].corners;
    corners[near.leg] == near.ends.0 && corners[near.leg + 1] == near.ends.1
}

/// The last corners of the stairs that begin with a corner: turns to the left and to the right by turns.
fn ends_of_stairs(corners: &[Point], first: usize, spacing: f64) -> Vec<usize> {
    let mut found = Vec::new();
    let mut before = 0.0;
    for at in first..corners.len().saturating_sub(1).min(first + LEGS.1) {
        let (into, out) = (corners[at] - corners[at - 1], corners[at + 1] - corners[at]);
        let turn = into.cross(out);
        let is_step = at == first || into.length() < LONGEST_STEP * spacing;
        if turn * before > 0.0 || !is_step {
            break;
        }
        before = turn;
        if at + 2 - first >= LEGS.0 {
            found.push(at);
        }
    }
    found
}

/// Straight lines in place of stairs from one corner to another.
fn lines_between(
    corners: &[Point],
    (first, last): (usize, usize),
    spacing: f64,
) -> impl Iterator<Item = [Point; 2]> {
    let ends = |corner: Point, beyond: Point| {
        let leg = corner.distance(beyond);
        let far = BEFORE.into_iter().map(move |far| far * spacing).filter(move |far| *far < leg);
        far.map(move |far| corner.toward(beyond, far / leg))
    };
    let begins = ends(corners[first], corners[first - 1]);
    let finish = ends(corners[last], corners[last + 1]);
    begins.flat_map(move |begin| finish.clone().map(move |end| [begin, end]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::geometry::nearest::length_along;
    use crate::tube::field::Field;
    use crate::tube::pocket::Lengths;
    use crate::tube::rules::Rules;

    const SPACING: f64 = 12.0;

    /// A run that goes in steps along a wall aslant, as it lies with the bare floor before each step
    /// looked at; the same where it is held or too short already.
    fn straightened(least: f64, is_held: bool) -> Option<Vec<Point>> {
        let place = |(x, y): (f64, f64)| Point::new(x, y);
        let floor = |off: f64| {
            let wall =
                [(0.0, 100.0 - off), (240.0 - off, 220.0 - off), (240.0 - off, off), (off, off)];
            Field::new(&[Polygon::new(wall.map(place).to_vec(), Vec::new())]).unwrap()
        };
        let (tube, heated) = (floor(6.0), floor(0.0));
        let floor = Floor::of(&tube, &heated, &Rules::half_inch(SPACING));
        let steps = (0..7).flat_map(|step| {
            let (x, y) = (30.0 + 24.0 * f64::from(step), 88.0 + 12.0 * f64::from(step));
            [(x, y), (x, y + 12.0)]
        });
        let run: Vec<Point> = [(14.0, 20.0), (14.0, 88.0)]
            .into_iter()
            .chain(steps)
            .chain([(220.0, 172.0), (220.0, 20.0)])
            .map(place)
            .collect();
        // Straight already, where the steps of the next run would be.
        let within = [(26.0, 20.0), (26.0, 76.0), (206.0, 160.0), (206.0, 20.0)];
        let within = Legs { corners: within.map(place).to_vec(), leaders: (1, 1) };
        let courses = [Legs { corners: run, leaders: (1, 1) }, within];
        let corner = |step: u32| {
            let (x, y) = (30.0 + 24.0 * f64::from(step), 100.0 + 12.0 * f64::from(step));
            [(x - 12.0, y), (x - 9.0, y + 1.0), (x - 6.0, y + 2.0)]
        };
        let pocket: Vec<(Point, f64)> =
            (0..7).flat_map(corner).map(|at| (place(at), 2.0 / 16.0)).collect();
        let lengths = Lengths { each: vec![600.0; 2], between: (least, 700.0), spare: 100.0 };
        let is_held = &|_: Point, _: Point| is_held;
        let around =
            Around { courses: &courses, pocket: &pocket, floor, lengths: &lengths, is_held };
        let found = best_straight(around)?;
        let longer = found.longer;
        let edit = found.edit(&courses);
        let (_, legs, _) = &edit.courses[0];
        let by = length_along(&legs.corners) - length_along(&courses[0].corners);
        assert!((by - longer).abs() < 1e-9 && longer < 0.0, "{by} {longer}");
        Some(legs.corners.clone())
    }

    #[test]
    fn steps_along_a_wall_aslant_are_laid_straight() {
        let corners = straightened(400.0, false).unwrap();
        assert!(corners.len() < 14, "{corners:?}");
        let aslant = |leg: &&[Point]| {
            let step = leg[1] - leg[0];
            step.x > 60.0 && (step.y / step.x - 0.5).abs() < 0.1
        };
        assert_eq!(corners.windows(2).filter(aslant).count(), 1, "{corners:?}");
    }

    #[test]
    fn steps_stay_where_they_are_held_or_the_circuit_is_short() {
        assert!(straightened(400.0, true).is_none());
        assert!(straightened(599.0, false).is_none());
    }
}
