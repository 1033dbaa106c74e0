//! A part of the floor with candidate lines across it, and every window between lines judged.
//!
//! A *window* is the rectangle between two upright and two level lines; what of the floor lies in
//! it is a panel, if the rules allow it. Areas and joint lengths come from sums over the grid's
//! cells, so that windows that are all floor cost a few additions; only those cut by a slanted
//! wall, a curve or an opening are cut out and measured.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::candidates::{CandidateLimits, candidate_lines};
use super::ground::Ground;
use super::halves::{Axis, Side, between_lines, cut, half, inside_box};
use super::judging::{Judged, is_along_frame};
use super::rules::{JointRules, Weights};
use super::stretches::{inner_stretches, overlap, sawn_stretches};
use crate::geometry::{Bounds, Point, Polygon, nearest, polygon};

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
    /// Sides of the slab that are upright or level in this frame, as joints are.
    walls_along_frame: Vec<(Point, Point)>,
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
pub(super) const SPACING_SLACK_IN: f64 = 0.002;

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
        let walls = ground.region.edges().filter(|(from, to)| is_along_frame(*to - *from));
        let mut block = Self {
            walls_along_frame: walls.collect(),
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

    /// Whether a panel's side is a joint: it lies along the frame and is no side of the slab, as a
    /// level facet of a curved wall is.
    #[must_use]
    pub fn is_joint(&self, from: Point, to: Point) -> bool {
        const ON_WALL_IN: f64 = 0.05;
        let middle = from.middle(to);
        let is_wall = |&(start, end): &(Point, Point)| {
            nearest::distance_to_line(middle, start, end) < ON_WALL_IN
        };
        is_along_frame(to - from) && !self.walls_along_frame.iter().any(is_wall)
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
                // Cut out step by step, since most windows share their first cuts with others.
                let mut between: Option<Vec<Vec<Point>>> = None;
                for bottom in 0..rows - 1 {
                    let mut above: Option<Vec<Vec<Point>>> = None;
                    for top in bottom + 1..rows {
                        let window = [left, right, bottom, top];
                        let index = self.index(window);
                        self.filling[index] = match self.shrunk(window) {
                            None => Filling::Void,
                            Some(shrunk) if shrunk != window => Filling::Loose,
                            Some(_) => Filling::Spanning,
                        };
                        let is_high = top > bottom + 1 && self.ys[top] - self.ys[bottom] > most;
                        if self.filling[index] == Filling::Spanning && !is_wide && !is_high {
                            self.judged[index] = Some(self.judge(window, || {
                                let x = (self.xs[left], self.xs[right]);
                                let between = between
                                    .get_or_insert_with(|| between_lines(&self.region.outer, x));
                                let above = above.get_or_insert_with(|| {
                                    cut(between, Axis::Y, self.ys[bottom], Side::Above)
                                });
                                cut(above, Axis::Y, self.ys[top], Side::Below)
                            }));
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
