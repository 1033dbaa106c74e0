//! Runs that lean toward bare floor beside them.
//!
//! Lanes run along two axes, walls do not always, and pipes take a lane away here and there: a
//! wedge of floor is then left beside a straight run that is too narrow for tube of its own. An
//! installer lets the run follow the wall, as far as the floor on its other side allows. So does
//! this: a run is moved sideways, more where more floor is bare, until the farthest floor on both
//! sides of it is about equally far from tube.

#![expect(
    clippy::indexing_slicing,
    reason = "corners, courses and samples are numbered by this file's own loops over the same vectors"
)]

use super::bends::strain;
use super::draw_out::Legs;
use super::field::{Field, Heading};
use super::raster::whole;
use crate::geometry::nearest::distance_between_lines;
use crate::geometry::{Point, Vector};
use crate::units::exact_math;

/// Looked at this often along a run, in spacings.
const SAMPLE_STEP: f64 = 0.3;
/// How steeply a run may leave its lane.
const STEEPEST: f64 = 0.5;
/// Floor no farther from tube than this many spacings is served well enough.
const SERVED: f64 = 0.6;
/// The widest gap that leaning may open behind a run, in spacings.
const WIDEST_BEHIND: f64 = 1.45;
/// Leaning less than this is not worth a bend, in spacings.
const LEAST_LEAN: f64 = 0.08;
/// A run leans along a stretch of at least this many spacings.
const LEAST_STRETCH: f64 = 1.2;
/// How far a leaning run may stand off its sampled course, in spacings.
const TOLERANCE: f64 = 0.04;
/// How far floor is looked at beside a run, in spacings.
const FAR: f64 = 2.5;
/// A tube comes straight out of its port for so long, inches.
const STRAIGHT_AT_PORTS_IN: f64 = 18.0;

/// What a run leans in.
#[derive(Clone, Copy, Debug)]
pub struct Beside<'a> {
    /// Where tube may lie.
    pub field: &'a Field,
    /// The least distance between two runs, inches.
    pub least: f64,
    /// Distance from run to run, inches.
    pub spacing: f64,
    /// How far the floor goes beyond the field, inches.
    pub edge: f64,
    /// Bend radius, inches.
    pub radius: f64,
}

/// Lets every run of these courses lean but those that `is_held`.
pub fn lean(courses: &mut [Legs], beside: Beside, is_held: &dyn Fn(Point, Point) -> bool) {
    for course in 0..courses.len() {
        let mut at = 0;
        while at + 1 < courses[course].corners.len() {
            let corners = &courses[course].corners;
            let (from, to) = (corners[at], corners[at + 1]);
            let leaning = (!is_held(from, to))
                .then(|| Run::of(corners, at))
                .flatten()
                .and_then(|run| {
                    let near = neighbours(courses, (course, at), FAR * beside.spacing);
                    [run.heading.left(), run.heading.right()]
                        .into_iter()
                        .find_map(|side| run.leaning(side, &near, beside))
                })
                .and_then(|line| spliced(corners, at, &line, beside.radius));
            at += 1;
            if let Some(leaning) = leaning {
                at += leaning.len() - corners.len();
                courses[course].corners = leaning;
            }
        }
    }
}

/// How many corners before and after a run its bends may touch.
const CORNERS_AROUND: usize = 4;

/// The corners with the leg after `at` replaced by a line; `None` where they cannot be bent then.
fn spliced(corners: &[Point], at: usize, line: &[Point], radius: f64) -> Option<Vec<Point>> {
    let mut changed = corners.to_vec();
    changed.splice(at..=at + 1, line.iter().copied());
    let first = at.saturating_sub(CORNERS_AROUND);
    let short_legs = |corners: &[Point], last: usize| {
        let last = (last + CORNERS_AROUND).min(corners.len());
        strain(&corners[first..last], radius, &mut Vec::new()).short_legs
    };
    let (before, after) = (short_legs(corners, at + 2), short_legs(&changed, at + line.len()));
    (after <= before).then_some(changed)
}

/// A leg near the one looked at, and whether it touches that.
struct Near {
    legs: (Point, Point),
    touches: bool,
}

fn neighbours(courses: &[Legs], (course, at): (usize, usize), reach: f64) -> Vec<Near> {
    let corners = &courses[course].corners;
    let (from, to) = (corners[at], corners[at + 1]);
    let (west, east) = (from.x.min(to.x) - reach, from.x.max(to.x) + reach);
    let (south, north) = (from.y.min(to.y) - reach, from.y.max(to.y) + reach);
    let mut near = Vec::new();
    for (number, other) in courses.iter().enumerate() {
        for (leg, pair) in other.corners.windows(2).enumerate() {
            let (a, b) = (pair[0], pair[1]);
            let is_far = a.x.max(b.x) < west
                || a.x.min(b.x) > east
                || a.y.max(b.y) < south
                || a.y.min(b.y) > north;
            if is_far || (number == course && leg == at) {
                continue;
            }
            let touches = number == course && leg.abs_diff(at) == 1;
            near.push(Near { legs: (a, b), touches });
        }
    }
    near
}

/// A straight run along an axis.
struct Run {
    from: Point,
    to: Point,
    heading: Heading,
    /// The leg before it and the one after, none at a port.
    before: Option<Point>,
    after: Option<Point>,
}

impl Run {
    fn of(corners: &[Point], at: usize) -> Option<Self> {
        let (from, to) = (corners[at], corners[at + 1]);
        let ahead = (to - from).unit()?;
        let heading = Heading::ALL.into_iter().find(|heading| {
            let (x, y) = heading.step();
            ahead.dot(Vector::new(x, y)) > 0.999_999
        })?;
        let before = at.checked_sub(1).map(|before| corners[before]);
        Some(Self { from, to, heading, before, after: corners.get(at + 2).copied() })
    }

    /// The run leaning to one side, its ends included; `None` where it has no reason to.
    fn leaning(&self, side: Heading, near: &[Near], beside: Beside) -> Option<Vec<Point>> {
        let length = self.from.distance(self.to);
        let spacing = beside.spacing;
        if length < 1.5 * spacing {
            return None;
        }
        let parts = whole(length / (SAMPLE_STEP * spacing)).max(2);
        let step = length / parts as f64;
        let place = |part: usize| self.heading.ahead(self.from, part as f64 * step);
        let mut leans: Vec<f64> =
            (0..=parts).map(|part| self.wish(place(part), side, near, beside)).collect();
        if leans.iter().all(|&lean| lean < LEAST_LEAN * spacing) {
            return None;
        }
        let least_part = whole(LEAST_STRETCH / SAMPLE_STEP).max(1);
        open(&mut leans, least_part);
        self.hold_ends(&mut leans, step, side);
        level(&mut leans, step);
        if leans.iter().all(|&lean| lean < LEAST_LEAN * spacing) {
            return None;
        }
        for share in [1.0, 0.8, 0.5] {
            let line: Vec<Point> = corners_of(&leans, TOLERANCE * spacing)
                .into_iter()
                .map(|part| side.ahead(place(part), share * leans[part]))
                .collect();
            if self.has_room(&line, near, beside) {
                return Some(line);
            }
        }
        None
    }

    /// How far the run would lean at a place.
    fn wish(&self, at: Point, side: Heading, near: &[Near], beside: Beside) -> f64 {
        let (spacing, far) = (beside.spacing, FAR * beside.spacing);
        let out = look(at, side, near, beside);
        let limit = out.room.min(out.wall.min(far));
        let behind = look(at, side.back(), near, beside);
        let gap = behind.tube.min(2.0 * (behind.wall + beside.edge));
        let (bare, wish) = if out.tube < out.wall {
            (out.tube / 2.0, (out.tube - gap) / 2.0)
        } else {
            let bare = out.wall + beside.edge;
            (bare, (2.0 * bare - gap) / 3.0)
        };
        if bare < SERVED * spacing || out.wall >= far && out.tube >= far {
            return 0.0;
        }
        wish.min(WIDEST_BEHIND * spacing - gap).min(limit).max(0.0)
    }

    /// Ends move only along a leg that comes from behind.
    fn hold_ends(&self, leans: &mut [f64], step: f64, side: Heading) {
        let out = Vector::new(side.step().0, side.step().1);
        let is_free = |beyond: Option<Point>, end: Point| {
            beyond.and_then(|beyond| (end - beyond).unit()).is_some_and(|way| way.dot(out) > 0.999)
        };
        let last = leans.len() - 1;
        if !is_free(self.before, self.from) {
            leans[0] = 0.0;
        }
        if !is_free(self.after, self.to) {
            leans[last] = 0.0;
        }
        let straight = whole(STRAIGHT_AT_PORTS_IN / step) + 1;
        if self.before.is_none() {
            leans.iter_mut().take(straight).for_each(|lean| *lean = 0.0);
        }
        if self.after.is_none() {
            leans.iter_mut().rev().take(straight).for_each(|lean| *lean = 0.0);
        }
    }

    /// Whether the leaning run lies on the floor and no nearer to others than runs may lie, or
    /// than it did.
    fn has_room(&self, line: &[Point], near: &[Near], beside: Beside) -> bool {
        let (Some(&first), Some(&last)) = (line.first(), line.last()) else { return false };
        let pieces: Vec<(Point, Point)> = [(self.from, first), (last, self.to)]
            .into_iter()
            .filter(|(a, b)| a.distance(*b) > 1e-6)
            .chain(line.windows(2).map(|pair| (pair[0], pair[1])))
            .collect();
        let old = (self.from, self.to);
        bends_fit(line, beside.radius)
            && pieces.iter().all(|&(a, b)| beside.field.is_clear(a, b))
            && near.iter().filter(|near| !near.touches).all(|near| {
                let least = beside.least.min(distance_between_lines(old, near.legs) - 0.01);
                pieces.iter().all(|&piece| distance_between_lines(piece, near.legs) >= least)
            })
    }
}

/// What lies to one side of a place, inches away: the wall, the next tube, and how far a run may
/// move there.
struct Look {
    wall: f64,
    tube: f64,
    room: f64,
}

fn look(at: Point, side: Heading, near: &[Near], beside: Beside) -> Look {
    let far = FAR * beside.spacing;
    let (x, y) = side.step();
    let out = Vector::new(x, y);
    let along = out.left();
    let aside = 0.5 * beside.spacing;
    let (mut tube, mut room) = (far, far);
    for near in near {
        let (a, b) = (near.legs.0 - at, near.legs.1 - at);
        let (from, to) = (a.dot(along).min(b.dot(along)), a.dot(along).max(b.dot(along)));
        let nearest = a.dot(out).min(b.dot(out));
        if a.dot(out).max(b.dot(out)) <= 0.01 {
            continue;
        }
        if from <= aside && to >= -aside {
            tube = tube.min(nearest.max(0.0));
        }
        if !near.touches && from < beside.least && to > -beside.least {
            room = room.min((nearest - beside.least).max(0.0));
        }
    }
    Look { wall: beside.field.reach(at, side, far), tube, room }
}

/// Whether the corners along a line can be bent to a radius.
fn bends_fit(line: &[Point], radius: f64) -> bool {
    let uses = |at: usize| {
        if at == 0 || at + 1 >= line.len() {
            return 0.0;
        }
        let (before, after) = (line[at] - line[at - 1], line[at + 1] - line[at]);
        let turn = exact_math::atan2(before.cross(after).abs(), before.dot(after));
        radius * exact_math::tan(turn / 2.0)
    };
    line.windows(2).enumerate().all(|(at, leg)| leg[0].distance(leg[1]) >= uses(at) + uses(at + 1))
}

/// Takes away what stands out of a profile for fewer samples than `least`.
fn open(leans: &mut [f64], least: usize) {
    let lowest = |values: &[f64], at: usize| {
        let window = &values[at..(at + least).min(values.len())];
        window.iter().copied().fold(f64::INFINITY, f64::min)
    };
    let windows = leans.len().saturating_sub(least) + 1;
    let lows: Vec<f64> = (0..windows).map(|at| lowest(leans, at)).collect();
    for (at, lean) in leans.iter_mut().enumerate() {
        let first = (at + 1).saturating_sub(least);
        let held = &lows[first.min(windows - 1)..=at.min(windows - 1)];
        *lean = held.iter().copied().fold(0.0, f64::max);
    }
}

/// Lowers a profile until it rises nowhere more steeply than a run may leave its lane.
fn level(leans: &mut [f64], step: f64) {
    let rise = STEEPEST * step;
    for part in 1..leans.len() {
        leans[part] = leans[part].min(leans[part - 1] + rise);
    }
    for part in (1..leans.len()).rev() {
        leans[part - 1] = leans[part - 1].min(leans[part] + rise);
    }
}

/// The samples that a profile needs as corners to be followed within a tolerance.
fn corners_of(leans: &[f64], tolerance: f64) -> Vec<usize> {
    let last = leans.len().saturating_sub(1);
    let mut kept = vec![0, last];
    let mut open = vec![(0, last)];
    while let Some((first, last)) = open.pop() {
        let farthest = (first + 1..last)
            .map(|part| {
                let share = (part - first) as f64 / (last - first) as f64;
                let straight = leans[first] + share * (leans[last] - leans[first]);
                ((leans[part] - straight).abs(), part)
            })
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((off, part)) = farthest
            && off > tolerance
        {
            kept.push(part);
            open.extend([(first, part), (part, last)]);
        }
    }
    kept.sort_unstable();
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;

    fn courses() -> Vec<Legs> {
        let corners = |list: &[(f64, f64)]| list.iter().map(|&(x, y)| Point::new(x, y)).collect();
        let outer = corners(&[(300.0, 42.0), (20.0, 42.0), (20.0, 30.0), (300.0, 30.0)]);
        let next = corners(&[(300.0, 54.0), (20.0, 54.0), (20.0, 200.0)]);
        [outer, next].map(|corners| Legs { corners, leaders: (1, 1) }).to_vec()
    }

    /// Runs along a wall that falls away from them, 6 in off the field at first and 14 in at last.
    fn leaning(is_held: &dyn Fn(Point, Point) -> bool) -> Vec<Legs> {
        let corners = [(0.0, 30.0), (320.0, 14.0), (320.0, 220.0), (0.0, 220.0)];
        let floor = Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
        let field = Field::new(&[floor]).unwrap();
        let beside = Beside { field: &field, least: 9.6, spacing: 12.0, edge: 6.0, radius: 5.0 };
        let mut courses = courses();
        lean(&mut courses, beside, is_held);
        courses
    }

    #[test]
    fn a_run_follows_a_wall_that_falls_away_from_it() {
        let courses = leaning(&|_, _| false);
        let run = &courses[0].corners[2..];
        let lowest = run.iter().map(|corner| corner.y).fold(f64::INFINITY, f64::min);
        assert!((20.0..26.0).contains(&lowest), "{run:?}");
        // It keeps its end at the port, and comes straight out of it.
        assert_eq!(run.last(), Some(&Point::new(300.0, 30.0)));
        assert!(run.windows(2).all(|leg| {
            let step = leg[1] - leg[0];
            step.y.abs() <= (STEEPEST + 0.01) * step.x.abs()
        }));
    }

    #[test]
    fn a_run_that_is_held_or_well_served_stays() {
        let held = leaning(&|_, _| true);
        assert_eq!(held[0].corners, courses()[0].corners);
        let courses = leaning(&|_, _| false);
        assert_eq!(courses[1].corners, self::courses()[1].corners);
    }
}
