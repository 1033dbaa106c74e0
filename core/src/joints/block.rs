//! A part of the floor with candidate lines across it, and every window between lines judged.
//!
//! A *window* is the rectangle between two upright and two level lines; what of the floor lies in
//! it is a panel, if the rules allow it. Areas and joint lengths come from sums over the grid's
//! cells, so that windows that are all floor cost a few additions; only those cut by a slanted
//! wall, a curve or an opening are cut out and measured.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::candidates::{COLUMN_ON_LINE_IN, CandidateLimits, candidate_lines};
use super::ground::Ground;
use super::halves::{Axis, Side, half, inside_box};
use super::rules::{JointRules, Weights, penalty};
use super::shape;
use super::stretches::{inner_stretches, overlap, sawn_stretches};
use crate::facts::joints::SQUARE_END_IN;
use crate::geometry::{Bounds, Point, Polygon, Vector, polygon};

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

/// A window by the indices of its lines: left, right, bottom, top.
pub type Window = [usize; 4];

/// A part of the floor with its grid.
pub struct Block<'a> {
    /// The floor and what joints must mind.
    pub ground: &'a Ground,
    /// The rules.
    pub rules: &'a JointRules,
    /// This part of the floor.
    pub region: Polygon,
    /// Upright lines, left to right.
    pub xs: Vec<f64>,
    /// Level lines, bottom to top.
    pub ys: Vec<f64>,
    /// Floor area left of and below each grid point, square inches.
    area: Vec<f64>,
    /// Sawing along each upright line below each level one.
    upright: Vec<f64>,
    /// Sawing along each level line left of each upright one.
    level: Vec<f64>,
    /// Grid points strictly inside this part.
    inner: Vec<bool>,
    judged: Vec<Option<Judged>>,
    filling: Vec<Filling>,
}

/// How the floor lies in a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filling {
    /// No floor.
    Void,
    /// Floor in every outer row and column of cells.
    Spanning,
    /// A smaller window holds the same floor.
    Loose,
}

/// Panels may exceed the spacing by this much: rounding, inches.
const SPACING_SLACK_IN: f64 = 0.002;

impl<'a> Block<'a> {
    /// The grid of one part of the floor. `also` are further lines across each axis.
    #[must_use]
    pub fn new(
        ground: &'a Ground,
        rules: &'a JointRules,
        region: Polygon,
        also: [&[f64]; 2],
        limits: CandidateLimits,
    ) -> Option<Self> {
        let bounds = region.bounds()?;
        let lines = |axis, also| candidate_lines(ground, bounds, axis, rules.spacing, also, limits);
        let (xs, ys) = (lines(Axis::X, also[0]), lines(Axis::Y, also[1]));
        if xs.len() < 2 || ys.len() < 2 {
            return None;
        }
        let mut block = Self {
            ground,
            rules,
            region,
            area: Vec::new(),
            upright: Vec::new(),
            level: Vec::new(),
            inner: Vec::new(),
            judged: Vec::new(),
            filling: Vec::new(),
            xs,
            ys,
        };
        block.sum_areas();
        block.sum_lengths();
        block.find_inner_points();
        block.judge_all();
        Some(block)
    }

    /// How many upright and level lines there are.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.xs.len(), self.ys.len())
    }

    fn at(&self, x: usize, y: usize) -> usize {
        x * self.ys.len() + y
    }

    /// Floor area in a window, square inches.
    #[must_use]
    pub fn area(&self, [left, right, bottom, top]: Window) -> f64 {
        self.area[self.at(right, top)] + self.area[self.at(left, bottom)]
            - self.area[self.at(left, top)]
            - self.area[self.at(right, bottom)]
    }

    /// Sawing along an upright line between two level ones, inches.
    #[must_use]
    pub fn upright(&self, x: usize, bottom: usize, top: usize) -> f64 {
        self.upright[self.at(x, top)] - self.upright[self.at(x, bottom)]
    }

    /// Sawing along a level line between two upright ones, inches.
    #[must_use]
    pub fn level(&self, y: usize, left: usize, right: usize) -> f64 {
        self.level[self.at(right, y)] - self.level[self.at(left, y)]
    }

    /// Whether a grid point lies strictly inside this part of the floor.
    #[must_use]
    pub fn is_inner(&self, x: usize, y: usize) -> bool {
        self.inner[self.at(x, y)]
    }

    /// Index of a window among all windows.
    #[must_use]
    pub fn index(&self, [left, right, bottom, top]: Window) -> usize {
        let pair = |low: usize, high: usize| high * (high - 1) / 2 + low;
        let rows = self.ys.len() * (self.ys.len() - 1) / 2;
        pair(left, right) * rows + pair(bottom, top)
    }

    /// How many windows there are.
    #[must_use]
    pub fn window_count(&self) -> usize {
        let pairs = |count: usize| count * (count - 1) / 2;
        pairs(self.xs.len()) * pairs(self.ys.len())
    }

    /// What the rules say of a window; `None` for one that is no panel.
    #[must_use]
    pub fn judged(&self, window: Window) -> Option<Judged> {
        self.judged[self.index(window)]
    }

    /// The window without rows and columns of cells that hold no floor; `None` without floor.
    #[must_use]
    pub fn shrunk(&self, mut window: Window) -> Option<Window> {
        const NO_FLOOR_IN2: f64 = 0.5;
        loop {
            // Rows of less than nothing worth mention may add up to a little more than that.
            if self.area(window) < NO_FLOOR_IN2 {
                return None;
            }
            let [left, right, bottom, top] = window;
            window = if self.area([left, left + 1, bottom, top]) < NO_FLOOR_IN2 {
                [left + 1, right, bottom, top]
            } else if self.area([right - 1, right, bottom, top]) < NO_FLOOR_IN2 {
                [left, right - 1, bottom, top]
            } else if self.area([left, right, bottom, bottom + 1]) < NO_FLOOR_IN2 {
                [left, right, bottom + 1, top]
            } else if self.area([left, right, top - 1, top]) < NO_FLOOR_IN2 {
                [left, right, bottom, top - 1]
            } else {
                return Some(window);
            };
        }
    }

    /// The floor in a window as rings.
    #[must_use]
    pub fn parts(&self, [left, right, bottom, top]: Window) -> Vec<Vec<Point>> {
        let (x, y) = ((self.xs[left], self.xs[right]), (self.ys[bottom], self.ys[top]));
        let rings = inside_box(&self.region.outer, x, y);
        let window = Bounds { min: Point::new(x.0, y.0), max: Point::new(x.1, y.1) };
        let meets = |hole: &&Vec<Point>| {
            Bounds::of(hole.iter().copied()).is_some_and(|bounds| {
                bounds.min.x < window.max.x - 0.1
                    && bounds.max.x > window.min.x + 0.1
                    && bounds.min.y < window.max.y - 0.1
                    && bounds.max.y > window.min.y + 0.1
            })
        };
        let holes: Vec<Polygon> = self
            .region
            .holes
            .iter()
            .filter(meets)
            .map(|hole| Polygon::new(hole.clone(), Vec::new()))
            .collect();
        if holes.is_empty() {
            return rings;
        }
        let floor: Vec<Polygon> =
            rings.into_iter().map(|ring| Polygon::new(ring, Vec::new())).collect();
        crate::geometry::clip::difference(&floor, &holes).into_iter().map(keyholed).collect()
    }

    fn sum_areas(&mut self) {
        let (columns, rows) = self.size();
        self.area = vec![0.0; columns * rows];
        let mut cells = vec![0.0; columns * rows];
        let rings = self.region.rings().cloned().collect::<Vec<_>>();
        for (number, ring) in rings.iter().enumerate() {
            let sign = if number == 0 { 1.0 } else { -1.0 };
            let mut rest = vec![ring.clone()];
            for x in 1..columns {
                let strip = split_off(&mut rest, Axis::X, self.xs[x], x + 1 == columns);
                let mut strip_rest = strip;
                for y in 1..rows {
                    let cell = split_off(&mut strip_rest, Axis::Y, self.ys[y], y + 1 == rows);
                    let area: f64 = cell.iter().map(|part| polygon::signed_area(part).abs()).sum();
                    cells[x * rows + y] += sign * area;
                }
            }
        }
        for x in 1..columns {
            for y in 1..rows {
                self.area[x * rows + y] = cells[x * rows + y]
                    + self.area[(x - 1) * rows + y]
                    + self.area[x * rows + y - 1]
                    - self.area[(x - 1) * rows + y - 1];
            }
        }
    }

    fn sum_lengths(&mut self) {
        let (columns, rows) = self.size();
        self.upright = vec![0.0; columns * rows];
        self.level = vec![0.0; columns * rows];
        for x in 0..columns {
            let sawn = sawn_stretches(self.ground, &self.region, Axis::X, self.xs[x]);
            for y in 1..rows {
                self.upright[x * rows + y] =
                    self.upright[x * rows + y - 1] + overlap(&sawn, self.ys[y - 1], self.ys[y]);
            }
        }
        for y in 0..rows {
            let sawn = sawn_stretches(self.ground, &self.region, Axis::Y, self.ys[y]);
            for x in 1..columns {
                self.level[x * rows + y] =
                    self.level[(x - 1) * rows + y] + overlap(&sawn, self.xs[x - 1], self.xs[x]);
            }
        }
    }

    fn find_inner_points(&mut self) {
        let (columns, rows) = self.size();
        self.inner = vec![false; columns * rows];
        for x in 0..columns {
            let inside = inner_stretches(&self.region, Axis::X, self.xs[x]);
            for y in 0..rows {
                let at = self.ys[y];
                // A joint that ends at a column ends at its isolation, which is as good as an edge.
                let point = Point::new(self.xs[x], at);
                self.inner[x * rows + y] =
                    inside.iter().any(|&(low, high)| at > low + 0.1 && at < high - 0.1)
                        && !self
                            .ground
                            .columns
                            .iter()
                            .any(|column| column.at.distance(point) < column.reach);
            }
        }
    }

    fn judge_all(&mut self) {
        let (columns, rows) = self.size();
        self.judged = vec![None; self.window_count()];
        self.filling = vec![Filling::Void; self.window_count()];
        let most = self.rules.spacing + SPACING_SLACK_IN;
        for right in 1..columns {
            for left in 0..right {
                let is_wide = right > left + 1 && self.xs[right] - self.xs[left] > most;
                for top in 1..rows {
                    for bottom in 0..top {
                        let window = [left, right, bottom, top];
                        let index = self.index(window);
                        self.filling[index] = match self.shrunk(window) {
                            None => Filling::Void,
                            Some(shrunk) if shrunk != window => Filling::Loose,
                            Some(_) => Filling::Spanning,
                        };
                        let is_high = top > bottom + 1 && self.ys[top] - self.ys[bottom] > most;
                        if self.filling[index] == Filling::Spanning && !is_wide && !is_high {
                            self.judged[index] = Some(self.judge(window));
                        }
                    }
                }
            }
        }
    }

    /// How the floor lies in the window of an index.
    #[must_use]
    pub fn filling(&self, index: usize) -> Filling {
        self.filling[index]
    }

    /// What every window costs as a panel with these weights; infinite for one that is none.
    #[must_use]
    pub fn prices(&self, weights: &Weights) -> Vec<f64> {
        self.judged
            .iter()
            .map(|judged| judged.map_or(f64::INFINITY, |judged| judged.cost(weights)))
            .collect()
    }

    fn judge(&self, window: Window) -> Judged {
        let [left, right, bottom, top] = window;
        let low = Point::new(self.xs[left], self.ys[bottom]);
        let high = Point::new(self.xs[right], self.ys[top]);
        let (width, height) = (high.x - low.x, high.y - low.y);
        let mut judged = Judged::default();
        if (self.area(window) - width * height).abs() < 0.5 {
            judged.add(self.judge_sizes(width.max(height), width.min(height)));
        } else {
            for part in inside_box(&self.region.outer, (low.x, high.x), (low.y, high.y)) {
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
        for (index, (at, angle)) in shape::angles(&part).enumerate() {
            let own = self.ground.own_angle(at);
            if angle > 185.0_f64.to_radians() && own.is_some_and(|own| own > std::f64::consts::PI) {
                judged.broken += penalty::INSIDE_CORNER;
            }
            let sides = [part[(index + count - 1) % count], part[(index + 1) % count]];
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
        let is_joint = |end: &&Point| is_along_frame(**end - at) && !self.ground.is_edge(at, **end);
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

/// Whether a side is upright or level, as joints are.
fn is_along_frame(step: Vector) -> bool {
    step.x.abs().min(step.y.abs()) < 1e-6 * step.length()
}

/// A panel as it will be when the joints round it that meet an edge sharply have turned square to
/// it: sharp tips are cut off, and blunt corners gain the neighbour's tip.
fn with_turned_ends(part: &[Point], block: &Block) -> Vec<Point> {
    let count = part.len();
    let turn = 0.75 * SQUARE_END_IN;
    let mut turned = Vec::with_capacity(count + 2);
    for (index, (at, angle)) in shape::angles(part).enumerate() {
        let (before, after) = (part[(index + count - 1) % count], part[(index + 1) % count]);
        // A level facet of a curved wall lies along the frame as joints do.
        let is_joint = |end: Point| is_along_frame(end - at) && !block.ground.is_edge(at, end);
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

/// Takes what lies below `at` out of `rest` (all of it when this is the last).
fn split_off(rest: &mut Vec<Vec<Point>>, axis: Axis, at: f64, is_last: bool) -> Vec<Vec<Point>> {
    if is_last {
        return std::mem::take(rest);
    }
    let below = rest.iter().flat_map(|ring| half(ring, axis, at, Side::Below)).collect();
    *rest = rest.iter().flat_map(|ring| half(ring, axis, at, Side::Above)).collect();
    below
}

/// A region with holes as one ring: each hole is joined to the outside by a slit.
fn keyholed(region: Polygon) -> Vec<Point> {
    let mut ring = region.outer;
    for hole in region.holes {
        let nearest = ring
            .iter()
            .enumerate()
            .flat_map(|(a, &from)| {
                hole.iter().enumerate().map(move |(b, &to)| (from.distance(to), a, b))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, a, b)) = nearest {
            let mut joined = ring[..=a].to_vec();
            joined.extend(hole[b..].iter().chain(&hole[..=b]));
            joined.extend(&ring[a..]);
            ring = joined;
        }
    }
    ring
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Job;

    #[test]
    fn a_crumb_of_floor_is_no_panel() {
        // Two halves of 0.36 in² each: less than a floor alone, more than one together.
        let corners = [(0.0, 0.0), (240.0, 1.0), (240.0, 1.003), (0.0, 0.003)];
        let region = Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
        let ground = Ground { region: region.clone(), ..Ground::default() };
        let rules = JointRules { spacing: 120.0, ..JointRules::of(&Job::default()) };
        let limits = CandidateLimits { most: 3, extra_parts: 0 };
        let block = Block::new(&ground, &rules, region, [&[], &[]], limits).unwrap();
        let whole = [0, block.xs.len() - 1, 0, block.ys.len() - 1];
        assert!(block.area(whole) > 0.5);
        assert_eq!(block.shrunk(whole), None);
    }
}
