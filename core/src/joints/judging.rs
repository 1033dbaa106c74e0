//! What the rules say of the floor in one window: sizes, corners, openings, columns, drawn joints.
//!
//! Most windows are never used, and a part of a floor has tens of thousands of them, so what cannot
//! cost anything is told apart cheaply.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::block::{Block, SPACING_SLACK_IN, Window};
use super::candidates::COLUMN_ON_LINE_IN;
use super::rules::{JointRules, Weights, penalty};
use super::shape;
use crate::facts::joints::SQUARE_END_IN;
use crate::geometry::{Point, Vector, polygon};

/// What the rules say of one window.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Judged {
    /// Cost of rules that give way, inches of sawing.
    pub broken: f64,
    /// How many panels are beyond the aspect goal.
    pub beyond_goal: f64,
    /// Sum of aspects over 1.
    pub uneven: f64,
}

impl Judged {
    /// The cost with these weights, sawing apart.
    #[must_use]
    pub fn cost(&self, weights: &Weights) -> f64 {
        self.broken + weights.beyond_goal * self.beyond_goal + weights.uneven * self.uneven
    }

    fn add(&mut self, other: Self) {
        self.broken += other.broken;
        self.beyond_goal += other.beyond_goal;
        self.uneven += other.uneven;
    }
}

impl Block<'_> {
    /// What the rules say of a window; `rings` cuts out the floor in it, openings not left out.
    pub(super) fn judge(&self, window: Window, rings: impl FnOnce() -> Vec<Vec<Point>>) -> Judged {
        let [left, right, bottom, top] = window;
        let low = Point::new(self.xs[left], self.ys[bottom]);
        let high = Point::new(self.xs[right], self.ys[top]);
        let (width, height) = (high.x - low.x, high.y - low.y);
        let mut judged = Judged::default();
        if (self.area(window) - width * height).abs() < 0.5 {
            judged.add(self.judge_sizes(width.max(height), width.min(height)));
        } else {
            for part in rings() {
                judged.add(self.judge_part(&part));
            }
            judged.broken += self.judge_holes(low, high);
        }
        judged.broken += self.judge_fixtures(low, high);
        let strips = self.ground.strips.iter().map(|strip| strip.inside(low, high));
        judged.broken += penalty::STRIP * strips.sum::<f64>();
        judged
    }

    /// Spacing, aspect and least width of a panel.
    fn judge_sizes(&self, long: f64, short: f64) -> Judged {
        let rules = self.rules;
        let aspect = if short > 0.0 { (long / short).min(100.0) } else { 100.0 };
        let mut broken = 0.0;
        if long > rules.spacing + SPACING_SLACK_IN {
            broken += penalty::SPACING.0 + penalty::SPACING.1 * (long - rules.spacing);
        }
        if aspect > rules.aspect_limit + 1e-9 {
            broken += penalty::ASPECT.0 + penalty::ASPECT.1 * (aspect - rules.aspect_limit);
        }
        if short < rules.narrowest - 1e-6 {
            broken += penalty::SLIVER;
        }
        let beyond_goal = f64::from(u8::from(aspect > rules.aspect_goal + 1e-9));
        Judged { broken, beyond_goal, uneven: aspect - 1.0 }
    }

    /// A panel that is not a plain rectangle.
    fn judge_part(&self, part: &[Point]) -> Judged {
        let part = shape::tidy(part);
        if polygon::signed_area(&part).abs() < 1.0 {
            return Judged::default();
        }
        let (long, short) = shape::least_box(&with_turned_ends(&part, self));
        let mut judged = self.judge_sizes(long, short);
        let count = part.len();
        let may_cost = corners_that_may_cost(self.rules);
        for (index, &at) in part.iter().enumerate() {
            let (before, after) = (part[(index + count - 1) % count], part[(index + 1) % count]);
            if !may_cost(at - before, after - at) {
                continue;
            }
            let angle = shape::angle(before, at, after);
            let own = self.ground.own_angle(at);
            if angle > 185.0_f64.to_radians() && own.is_some_and(|own| own > std::f64::consts::PI) {
                judged.broken += penalty::INSIDE_CORNER;
            }
            let sides = [before, after];
            if own.is_none() && self.is_crowded_blunt_end(at, angle, sides) {
                judged.broken += penalty::SHARP;
            }
            if angle < self.rules.sharpest - 0.01 {
                judged.broken += match own {
                    // The slab itself is that sharp here.
                    Some(own) if own < angle + 0.01 => 0.0,
                    Some(_) => penalty::SHARP,
                    None => {
                        if has_room_to_turn(at, angle, sides) {
                            penalty::SQUARE_END
                        } else {
                            penalty::SHARP
                        }
                    }
                };
            }
        }
        judged
    }

    /// Whether a joint ends on the edge at a blunt corner of this panel, sharp for the neighbour, and
    /// the panel's side along the joint is too short for the joint to turn square.
    fn is_crowded_blunt_end(&self, at: Point, angle: f64, sides: [Point; 2]) -> bool {
        let half_turn = std::f64::consts::PI;
        if angle < half_turn - self.rules.sharpest + 0.01 || angle > half_turn - 0.05 {
            return false;
        }
        let back = 0.75 * SQUARE_END_IN / crate::units::exact_math::sin(angle).max(0.01);
        let is_joint = |end: &&Point| self.is_joint(at, **end);
        let mut joints = sides.iter().filter(is_joint);
        match (joints.next(), joints.next()) {
            (Some(&joint), None) => joint.distance(at) < back + 3.0,
            _ => false,
        }
    }

    /// Corners of openings inside a window.
    fn judge_holes(&self, low: Point, high: Point) -> f64 {
        let inside = |point: &&Point| {
            point.x > low.x + 0.1
                && point.x < high.x - 0.1
                && point.y > low.y + 0.1
                && point.y < high.y - 0.1
        };
        self.region
            .holes
            .iter()
            .map(|hole| {
                let held = hole.iter().filter(inside);
                let corners =
                    held.clone().filter(|point| self.ground.own_angle(**point).is_some()).count();
                let is_whole = held.count() == hole.len();
                corners as f64 * penalty::INSIDE_CORNER
                    + if is_whole { penalty::ENCLOSED_OPENING } else { 0.0 }
            })
            .sum()
    }

    /// Columns and locked joints inside a window, or joints that graze a column.
    fn judge_fixtures(&self, low: Point, high: Point) -> f64 {
        let mut broken = 0.0;
        for column in &self.ground.columns {
            let depth_x = (column.at.x - low.x).min(high.x - column.at.x);
            let depth_y = (column.at.y - low.y).min(high.y - column.at.y);
            let depth = depth_x.min(depth_y);
            if depth > COLUMN_ON_LINE_IN {
                broken += penalty::COLUMN;
                if depth < column.reach {
                    broken += penalty::COLUMN / 4.0;
                }
            }
        }
        for &(from, to) in self.ground.locked.iter().chain(&self.ground.moving) {
            if passes_through(from, to, low, high) {
                broken += penalty::LOCKED;
            }
        }
        broken
    }
}

/// Tells corners of panels that may cost something from those that cannot, by the sides that
/// arrive and leave and without the angle: most corners cannot, and there are very many.
fn corners_that_may_cost(rules: &JointRules) -> impl Fn(Vector, Vector) -> bool {
    // A little wider than the sharpest corner allowed.
    let cos = crate::units::exact_math::cos(rules.sharpest) - 0.05;
    move |arriving, leaving| {
        let is_sharp = || arriving.dot(leaving) < -cos * arriving.length() * leaving.length();
        let bends_in = arriving.cross(leaving) < 0.0;
        bends_in || is_along_frame(arriving) != is_along_frame(leaving) || is_sharp()
    }
}

/// Whether a side is upright or level, as joints are.
pub(super) fn is_along_frame(step: Vector) -> bool {
    let (x, y) = (step.x.abs(), step.y.abs());
    x.min(y) < 1e-6 * x.max(y)
}

/// A panel as it will be when the joints round it that meet an edge sharply have turned square to
/// it: sharp tips are cut off, and blunt corners gain the neighbour's tip.
fn with_turned_ends(part: &[Point], block: &Block) -> Vec<Point> {
    let count = part.len();
    let turn = 0.75 * SQUARE_END_IN;
    let mut turned = Vec::with_capacity(count + 2);
    for (index, &at) in part.iter().enumerate() {
        let (before, after) = (part[(index + count - 1) % count], part[(index + 1) % count]);
        if is_along_frame(before - at) == is_along_frame(after - at) {
            turned.extend([at, at]);
            continue;
        }
        let angle = shape::angle(before, at, after);
        let is_joint = |end: Point| block.is_joint(at, end);
        let is_blunt = angle > std::f64::consts::PI - block.rules.sharpest + 0.01;
        let is_sharp = angle < block.rules.sharpest - 0.01;
        let may_turn = (is_blunt || is_sharp)
            && angle < std::f64::consts::PI
            && block.ground.own_angle(at).is_none();
        let corners = if may_turn && is_joint(before) != is_joint(after) {
            let (joint, edge) = if is_joint(before) { (before, after) } else { (after, before) };
            let sharp = if is_sharp { angle } else { std::f64::consts::PI - angle };
            let (sin, cos) = crate::units::exact_math::sin_cos(sharp);
            let along = (joint - at).unit().unwrap_or_default();
            let edge = (edge - at).unit().unwrap_or_default();
            let edge = if is_sharp { edge } else { -edge };
            let bend = at + along * (turn / sin.max(0.05));
            let foot = at + edge * (turn * cos / sin.max(0.05));
            if is_joint(before) { [bend, foot] } else { [foot, bend] }
        } else {
            [at, at]
        };
        turned.extend(corners);
    }
    turned
}

/// Whether a joint that ends sharply at `at` can turn square to the edge: the side along the
/// frame is the joint's, the slanted one the edge's.
fn has_room_to_turn(at: Point, angle: f64, sides: [Point; 2]) -> bool {
    let (sin, cos) = crate::units::exact_math::sin_cos(angle);
    let turn = 0.75 * SQUARE_END_IN;
    let (back, side) = (turn / sin.max(0.01), turn * cos / sin.max(0.01));
    sides.into_iter().all(|end| {
        let step = end - at;
        step.length() > if is_along_frame(step) { back } else { side } + 3.0
    })
}

/// Whether a line runs through the inside of a box, its border left out.
fn passes_through(from: Point, to: Point, low: Point, high: Point) -> bool {
    const MARGIN_IN: f64 = 0.6;
    let step = to - from;
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for (start, slope, least, most) in [
        (from.x, step.x, low.x + MARGIN_IN, high.x - MARGIN_IN),
        (from.y, step.y, low.y + MARGIN_IN, high.y - MARGIN_IN),
    ] {
        if slope.abs() < 1e-9 {
            if start < least || start > most {
                return false;
            }
        } else {
            let (a, b) = ((least - start) / slope, (most - start) / slope);
            enters = enters.max(a.min(b));
            leaves = leaves.min(a.max(b));
        }
    }
    (leaves - enters) * step.length() > MARGIN_IN
}
