//! The ways in which a run may be changed to serve a pocket of bare floor beside it.

#![expect(clippy::indexing_slicing, reason = "corners are numbered by the caller's loop over them")]

use super::{Floor, is_clear};
use crate::geometry::nearest::length_along;
use crate::geometry::{Point, Vector};
use crate::units::exact_math;
use std::f64::consts::FRAC_PI_2;

/// Floor farther from a run than this is not reached from it, spacings.
const REACH: f64 = 4.5;
/// A pocket that begins farther from a run than this lies behind another one, spacings.
const BESIDE: f64 = 1.2;
/// The ends of a run slide along a leg that leaves it no flatter than this: the sine of the angle.
const STEEP: f64 = 0.7;
/// How steeply a run leaves its line to run beside it.
const SLOPES: [f64; 2] = [0.5, 1.0];
/// How far a part of a run is moved by slants, spacings.
const MOVES: [f64; 6] = [0.2, 0.35, 0.5, 0.7, 0.9, 1.2];
/// A run is moved squarely by so much more at each try, and by so much at most, spacings.
const MOVE_STEP: f64 = 0.15;
const MOST_MOVES: usize = 24;
/// How far a stretch goes beyond the pocket at each end, spacings.
const BEYOND: [f64; 3] = [-0.5, 0.0, 0.4];
/// An end of a run is moved farther than the other by so much more at each try, spacings, so often,
/// and the run never stands steeper than this: the tangent of the angle.
const TILT_STEP: f64 = 0.25;
const MOST_TILTS: usize = 6;
const STEEPEST_TILT: f64 = 0.6;
/// A stretch that is moved keeps this much of the run straight at its ends, spacings.
const STRAIGHT: f64 = 0.4;
/// What is moved of it is at least so long, spacings.
const LEAST_STEP: f64 = 0.6;
const LEAST_STRETCH: f64 = 0.3;
/// Places along a pocket where a tooth is tried, spacings apart, and how many at most.
const TOOTH_STEP: f64 = 0.25;
const MOST_TEETH: usize = 24;
/// How deep a tooth goes beyond the farthest floor of the pocket, spacings.
const TOOTH_BEYOND: [f64; 5] = [0.3, -0.1, -0.5, -1.0, -1.6];

/// Right angles of a tooth that ends in a bulb.
const BENDS_OF_A_BULB: f64 = 5.6;

/// A run changed.
pub struct Try {
    /// Its corners, its ends included.
    pub line: Vec<Point>,
    /// How many right angles it adds.
    pub bends: f64,
}

impl Try {
    /// How much longer the circuit becomes, inches.
    pub fn longer(&self, corners: &[Point], at: usize, radius: f64) -> f64 {
        let length = |line: &[Point]| length_along(&with_ends(corners, at, line));
        // A right angle cut round by an arc: 2r less a quarter of its circle.
        let cut = (2.0 - FRAC_PI_2) * radius;
        length(&self.line) - length(&corners[at..=at + 1]) - cut * self.bends
    }
}

/// A line in place of the run after a corner, with the corners before and after it.
fn with_ends(corners: &[Point], at: usize, line: &[Point]) -> Vec<Point> {
    let before = at.checked_sub(1).and_then(|before| corners.get(before));
    before.into_iter().chain(line).chain(corners.get(at + 2)).copied().collect()
}

/// How many right angles a course turns through more with a line in place of the run after a corner.
fn bends_added(corners: &[Point], at: usize, line: &[Point]) -> f64 {
    let turning = |line: &[Point]| turning(&with_ends(corners, at, line));
    turning(line) - turning(&corners[at..=at + 1])
}

/// How many right angles corners turn through.
pub fn turning(corners: &[Point]) -> f64 {
    let turn = |three: &[Point]| {
        let (into, out) = (three[1] - three[0], three[2] - three[1]);
        exact_math::atan2(into.cross(out).abs(), into.dot(out))
    };
    corners.windows(3).map(turn).sum::<f64>() / FRAC_PI_2
}

/// A run, seen from one side.
struct Side<'a> {
    corners: &'a [Point],
    at: usize,
    along: Vector,
    out: Vector,
    length: f64,
    /// What the pocket takes up along the run, and how far from it it begins and goes.
    from: f64,
    to: f64,
    near: f64,
    far: f64,
}

/// What is tried with the run after a corner of a course.
pub type Ways = fn(&[Point], usize, &[(Point, f64)], Floor) -> Vec<Try>;

/// The run moved squarely, over all of it or a part, or with a tooth.
pub fn moved_over(corners: &[Point], at: usize, pocket: &[(Point, f64)], floor: Floor) -> Vec<Try> {
    let mut tries = Vec::new();
    for side in Side::both(corners, at, pocket, floor) {
        side.moved(floor, &mut tries);
        side.bumps(floor, &mut tries);
        side.steps(floor, &mut tries);
        side.teeth(floor, &mut tries);
    }
    tries
}

/// The run aslant.
pub fn tilted(corners: &[Point], at: usize, pocket: &[(Point, f64)], floor: Floor) -> Vec<Try> {
    let mut tries = Vec::new();
    for side in Side::both(corners, at, pocket, floor) {
        side.tilted(floor, &mut tries);
    }
    tries
}

impl<'a> Side<'a> {
    /// The sides of the run after a corner beside which a part of the pocket lies.
    fn both(corners: &'a [Point], at: usize, pocket: &[(Point, f64)], floor: Floor) -> Vec<Self> {
        let (from, to) = (corners[at], corners[at + 1]);
        let Some(along) = (to - from).unit() else { return Vec::new() };
        let side = |out: Vector| {
            let mut side = Side {
                corners,
                at,
                along,
                out,
                length: from.distance(to),
                from: f64::INFINITY,
                to: f64::NEG_INFINITY,
                near: f64::INFINITY,
                far: 0.0,
            };
            let spacing = floor.spacing;
            for &(place, _) in pocket {
                let step = place - from;
                let (ahead, off) = (step.dot(along), step.dot(out));
                let is_beside = ahead > -0.8 * spacing && ahead < side.length + 0.8 * spacing;
                if is_beside && off > 0.4 * spacing && off < REACH * spacing {
                    side.from = side.from.min(ahead);
                    side.to = side.to.max(ahead);
                    side.near = side.near.min(off);
                    side.far = side.far.max(off);
                }
            }
            (side.to >= side.from && side.near < BESIDE * spacing).then_some(side)
        };
        [along.left(), -along.left()].into_iter().filter_map(side).collect()
    }

    /// Takes a try in where it lies on the floor, or on the run as it was.
    fn push(&self, one: Try, floor: Floor, tries: &mut Vec<Try>) {
        let run = self.ends();
        if one.line.windows(2).all(|leg| is_clear((leg[0], leg[1]), run, floor)) {
            tries.push(one);
        }
    }

    fn place(&self, along: f64, out: f64) -> Point {
        self.corners[self.at] + self.along * along + self.out * out
    }

    fn ends(&self) -> (Point, Point) {
        (self.corners[self.at], self.corners[self.at + 1])
    }

    /// How its ends slide along the legs beside it when it moves out by an inch, if they can.
    fn slides(&self) -> (Option<Vector>, Option<Vector>) {
        let slide = |leg: Vector| {
            let leg = leg.unit()?;
            let out = leg.dot(self.out);
            (out.abs() > STEEP).then(|| leg * (1.0 / out))
        };
        let (from, to) = self.ends();
        let before = self.at.checked_sub(1).map(|before| from - self.corners[before]);
        let after = self.corners.get(self.at + 2).map(|after| *after - to);
        (before.and_then(slide), after.and_then(slide))
    }

    /// How much of the run stays as it is at its ends: what comes out of it keeps off the legs
    /// beside it that go out to the same side.
    fn kept(&self, floor: Floor) -> (f64, f64) {
        let (from, to) = self.ends();
        let kept = |beyond: Option<Point>, end: Point| {
            let goes_out =
                beyond.is_some_and(|beyond| (beyond - end).dot(self.out) > 0.1 * floor.spacing);
            if goes_out { floor.least + 0.01 } else { STRAIGHT * floor.spacing }
        };
        let before = self.at.checked_sub(1).map(|before| self.corners[before]);
        (kept(before, from), kept(self.corners.get(self.at + 2).copied(), to))
    }

    /// The run as a whole.
    fn moved(&self, floor: Floor, tries: &mut Vec<Try>) {
        let (Some(first), Some(last)) = self.slides() else { return };
        let (from, to) = self.ends();
        for number in 1..=MOST_MOVES {
            let far = number as f64 * MOVE_STEP * floor.spacing;
            let line = vec![from + first * far, to + last * far];
            self.push(Try { line, bends: 0.0 }, floor, tries);
        }
    }

    /// The run aslant: one end farther out than the other, or from a place on it to one end.
    fn tilted(&self, floor: Floor, tries: &mut Vec<Try>) {
        let (first, last) = self.ends();
        let slides = self.slides();
        let far = |number: usize| number as f64 * TILT_STEP * floor.spacing;
        let mut lines = Vec::new();
        for number in 1..=MOST_TILTS {
            let far = far(number);
            if let Some(slide) = slides.1 {
                lines.push(vec![first, last + slide * far]);
                for from in self.pivots(floor) {
                    lines.push(vec![first, self.place(from, 0.0), last + slide * far]);
                }
            }
            if let Some(slide) = slides.0 {
                lines.push(vec![first + slide * far, last]);
                for to in self.pivots(floor) {
                    lines.push(vec![first + slide * far, self.place(to, 0.0), last]);
                }
            }
        }
        if let (Some(from), Some(to)) = slides {
            for one in 1..=MOST_TILTS {
                for other in (1..=MOST_TILTS).filter(|other| *other != one) {
                    lines.push(vec![first + from * far(one), last + to * far(other)]);
                }
            }
        }
        for line in lines {
            let is_flat = line.windows(2).all(|leg| {
                let step = leg[1] - leg[0];
                step.dot(self.out).abs() <= STEEPEST_TILT * step.dot(self.along)
            });
            if is_flat {
                let bends = bends_added(self.corners, self.at, &line);
                self.push(Try { line, bends }, floor, tries);
            }
        }
    }

    /// Places on the run from which it may turn toward the pocket.
    fn pivots(&self, floor: Floor) -> impl Iterator<Item = f64> + use<> {
        let (least, most) = (floor.spacing, self.length - floor.spacing);
        [self.from, (self.from + self.to) / 2.0, self.to]
            .into_iter()
            .filter(move |&place| place > least && place < most)
    }

    /// A stretch of it, along the pocket.
    fn bumps(&self, floor: Floor, tries: &mut Vec<Try>) {
        let spacing = floor.spacing;
        let kept = self.kept(floor);
        for slope in SLOPES {
            let bends = 4.0 * exact_math::atan2(slope, 1.0) / FRAC_PI_2;
            for far in MOVES {
                let far = far * spacing;
                let slant = far / slope;
                for beyond in BEYOND {
                    let (from, to) = (self.from - beyond * spacing, self.to + beyond * spacing);
                    let (from, to) =
                        (from.max(kept.0 + slant), to.min(self.length - kept.1 - slant));
                    if to - from < LEAST_STRETCH * spacing {
                        continue;
                    }
                    let (first, last) = self.ends();
                    let line = vec![
                        first,
                        self.place(from - slant, 0.0),
                        self.place(from, far),
                        self.place(to, far),
                        self.place(to + slant, 0.0),
                        last,
                    ];
                    self.push(Try { line, bends }, floor, tries);
                }
            }
        }
    }

    /// From a place to one of its ends, or squarely over to the next lane and on.
    fn steps(&self, floor: Floor, tries: &mut Vec<Try>) {
        let spacing = floor.spacing;
        let (first, last) = self.ends();
        let (slides, kept) = (self.slides(), self.kept(floor));
        let slanted = SLOPES.into_iter().flat_map(|slope| MOVES.map(|far| (far, far / slope)));
        let square = (1..=MOST_MOVES).map(|number| (number as f64 * MOVE_STEP, 0.0));
        for (far, slant) in slanted.chain(square) {
            let (far, slant) = (far * spacing, slant * spacing);
            let bends = 2.0 * exact_math::atan2(far, slant) / FRAC_PI_2;
            for beyond in BEYOND {
                let from = (self.from - beyond * spacing).max(kept.0 + slant);
                if let Some(slide) = slides.1.filter(|_| self.length - from > LEAST_STEP * spacing)
                {
                    let line = vec![
                        first,
                        self.place(from - slant, 0.0),
                        self.place(from, far),
                        last + slide * far,
                    ];
                    self.push(Try { line, bends }, floor, tries);
                }
                let to = (self.to + beyond * spacing).min(self.length - kept.1 - slant);
                if let Some(slide) = slides.0.filter(|_| to > LEAST_STEP * spacing) {
                    let line = vec![
                        first + slide * far,
                        self.place(to, far),
                        self.place(to + slant, 0.0),
                        last,
                    ];
                    self.push(Try { line, bends }, floor, tries);
                }
            }
        }
    }

    /// Out and back across the pocket.
    fn teeth(&self, floor: Floor, tries: &mut Vec<Try>) {
        let spacing = floor.spacing;
        let (first, last) = self.ends();
        let bend = 2.0 * floor.radius + 0.02;
        let kept = self.kept(floor);
        // Its end a bulb where two bends are wider than the spacing, or as wide as those.
        let wides = [spacing, spacing.max(bend), 1.3 * spacing.max(bend / 1.2)];
        for wide in wides.into_iter().skip(usize::from(spacing >= bend)) {
            let bends = if wide < bend { BENDS_OF_A_BULB } else { 4.0 };
            for number in 0..MOST_TEETH {
                let middle = self.from + number as f64 * TOOTH_STEP * spacing;
                let (from, to) = (middle - wide / 2.0, middle + wide / 2.0);
                if middle > self.to + 0.01 {
                    break;
                }
                if from < kept.0 || to > self.length - kept.1 {
                    continue;
                }
                for beyond in TOOTH_BEYOND {
                    let far = self.far + beyond * spacing;
                    if far < bend {
                        break;
                    }
                    let line = vec![
                        first,
                        self.place(from, 0.0),
                        self.place(from, far),
                        self.place(to, far),
                        self.place(to, 0.0),
                        last,
                    ];
                    self.push(Try { line, bends }, floor, tries);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::tube::field::Field;
    use crate::tube::rules::Rules;

    /// How wide the teeth are that a run lays into floor beside it, and the bends of each.
    fn teeth(spacing: f64) -> Vec<(f64, f64)> {
        let floor = [Polygon::rectangle(Point::ORIGIN, Point::new(200.0, 100.0))];
        let field = Field::new(&floor).unwrap();
        let floor = Floor::of(&field, &field, &Rules::half_inch(spacing));
        let corners = [(10.0, 90.0), (10.0, 20.0), (190.0, 20.0), (190.0, 90.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        let places = (0..8).flat_map(|column| (0..10).map(move |row| (column, row)));
        let pocket: Vec<(Point, f64)> = places
            .map(|(x, y)| (Point::new(90.0 + 2.0 * f64::from(x), 26.0 + 2.0 * f64::from(y)), 1.0))
            .collect();
        let mut found: Vec<(f64, f64)> = moved_over(&corners, 1, &pocket, floor)
            .iter()
            .filter(|one| one.line.len() == 6 && one.bends >= 4.0)
            .map(|one| (one.line[2].distance(one.line[3]), one.bends))
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6);
        found
    }

    #[test]
    fn a_tooth_ends_in_a_bulb_where_two_bends_are_wider_than_the_spacing() {
        let close = teeth(6.0);
        assert_eq!(close[0], (6.0, BENDS_OF_A_BULB));
        assert!(close[1..].iter().all(|&(wide, bends)| wide >= 10.02 && bends == 4.0), "{close:?}");
        let wide = teeth(12.0);
        assert!(wide.iter().all(|&(wide, bends)| wide >= 12.0 - 1e-9 && bends == 4.0), "{wide:?}");
    }

    #[test]
    fn an_end_of_a_run_goes_out_to_a_wall_aslant() {
        let place = |(x, y): (f64, f64)| Point::new(x, y);
        let corners = [(10.0, 20.0), (10.0, 80.0), (190.0, 80.0), (190.0, 20.0)].map(place);
        let wall = [(0.0, 0.0), (200.0, 0.0), (200.0, 125.0), (0.0, 85.0)].map(place);
        let field = Field::new(&[Polygon::new(wall.to_vec(), Vec::new())]).unwrap();
        let floor = Floor::of(&field, &field, &Rules::half_inch(12.0));
        let pocket: Vec<(Point, f64)> =
            (0..20).map(|x| (Point::new(100.0 + 4.5 * f64::from(x), 92.0), 1.0 / 16.0)).collect();
        let found = tilted(&corners, 1, &pocket, floor);
        let far = |one: &Try| {
            let (first, last) = (one.line[0], one.line[one.line.len() - 1]);
            assert!((first.x - 10.0).abs() < 1e-9 && (last.x - 190.0).abs() < 1e-9);
            (first.y - 80.0, last.y - 80.0)
        };
        assert!(found.iter().any(|one| far(one).0 == 0.0 && far(one).1 > 12.0));
        let kinked = found.iter().filter(|one| one.line.len() == 3);
        assert!(kinked.clone().count() > 3);
        // A kink outward, and as much less to turn at the corner: two right angles as before.
        assert!(kinked.filter(|one| far(one).0 == 0.0).all(|one| one.bends > 0.0));
        for one in found {
            assert!(field.is_clear(one.line[0], one.line[1]), "{:?}", one.line);
        }
    }
}
