//! The floor as the joint search sees it: turned so that joints run upright and level.
//!
//! Slabs stand at any angle, and a wing may stand at another. The search works in a frame whose
//! axes lie along the walls; a frame that needs no turn leaves every coordinate as it was typed.

use super::column::ColumnSpot;
use super::rules::{Weights, penalty};
use crate::geometry::{Point, Polygon, Vector, nearest};
use crate::units::exact_math;

/// A turn between the job's axes and those of the joints.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    cos: f64,
    sin: f64,
}

impl Frame {
    /// The job's own axes.
    pub const UPRIGHT: Self = Self { cos: 1.0, sin: 0.0 };

    /// Axes turned by `angle` radians counter-clockwise; a hair's turn counts as none.
    #[must_use]
    pub fn turned(angle: f64) -> Self {
        if angle.abs() < 1e-7 {
            return Self::UPRIGHT;
        }
        let (sin, cos) = exact_math::sin_cos(angle);
        Self { cos, sin }
    }

    /// From the job's axes to these.
    #[must_use]
    pub fn enter(self, point: Point) -> Point {
        Point::new(point.x * self.cos + point.y * self.sin, point.y * self.cos - point.x * self.sin)
    }

    /// From these axes to the job's.
    #[must_use]
    pub fn leave(self, point: Point) -> Point {
        Point::new(point.x * self.cos - point.y * self.sin, point.x * self.sin + point.y * self.cos)
    }

    /// A region in these axes.
    #[must_use]
    pub fn enter_region(self, region: &Polygon) -> Polygon {
        if self == Self::UPRIGHT {
            return region.clone();
        }
        let ring = |ring: &Vec<Point>| ring.iter().map(|&point| self.enter(point)).collect();
        Polygon { outer: ring(&region.outer), holes: region.holes.iter().map(ring).collect() }
    }

    /// The first axis as a step in the job's axes.
    #[must_use]
    pub const fn along(self) -> Vector {
        Vector::new(self.cos, self.sin)
    }
}

/// Walls that stand within this of each other count as one direction, radians.
const SAME_DIRECTION: f64 = 0.01;
/// A direction counts when it has this share of the walls.
const LEAST_SHARE: f64 = 0.12;
/// Chords of curves and other short sides say nothing about direction, inches.
const SHORTEST_WALL_IN: f64 = 18.0;

/// The frames worth trying for a region with their share of the walls, best first, never empty.
#[must_use]
pub fn frames_of(region: &Polygon, most: usize) -> Vec<(Frame, f64)> {
    let quarter = std::f64::consts::FRAC_PI_2;
    // Direction modulo a quarter turn, and length of wall that has it.
    let mut groups: Vec<(f64, f64)> = Vec::new();
    let mut total = 0.0;
    for (from, to) in region.edges() {
        let side = to - from;
        let length = side.length();
        if length < SHORTEST_WALL_IN {
            continue;
        }
        total += length;
        let mut angle = side.angle().rem_euclid(quarter);
        if quarter - angle < SAME_DIRECTION / 2.0 {
            angle -= quarter;
        }
        match groups.iter_mut().find(|(known, _)| {
            (known.abs() - angle.abs()).abs() < SAME_DIRECTION
                && (*known - angle).abs() < SAME_DIRECTION
        }) {
            Some(group) => group.1 += length,
            None => groups.push((angle, length)),
        }
    }
    groups.sort_by(|a, b| b.1.total_cmp(&a.1));
    let frames: Vec<(Frame, f64)> = groups
        .iter()
        .enumerate()
        .filter(|(rank, group)| *rank == 0 || group.1 >= LEAST_SHARE * total)
        .take(most)
        .map(|(_, group)| (Frame::turned(group.0), group.1 / total.max(1.0)))
        .collect();
    if frames.is_empty() { vec![(Frame::UPRIGHT, 1.0)] } else { frames }
}

/// A straight part of a thickened strip under the floor: a joint is wanted along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StripLine {
    /// One end of its middle line.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// A joint this far off the middle line still stands over the strip, inches.
    pub half_width: f64,
}

impl StripLine {
    /// How much of it lies strictly between the sides of an upright box, inches; nothing of one
    /// that stands askew to the box.
    #[must_use]
    pub fn inside(&self, low: Point, high: Point) -> f64 {
        let level = |across: (f64, f64), along: (f64, f64), sides: [(f64, f64); 2]| {
            let [(near, far), (start, end)] = sides;
            let is_level = (across.0 - across.1).abs() <= 0.01 * (along.0 - along.1).abs();
            let at = 0.5 * (across.0 + across.1);
            if is_level && at > near + self.half_width && at < far - self.half_width {
                (along.0.max(along.1).min(end) - along.0.min(along.1).max(start)).max(0.0)
            } else {
                0.0
            }
        };
        let (x, y) = ((self.from.x, self.to.x), (self.from.y, self.to.y));
        let (wide, high) = ((low.x, high.x), (low.y, high.y));
        level(y, x, [high, wide]) + level(x, y, [wide, high])
    }
}

/// The floor in the axes of the joints, with what its joints must mind.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ground {
    /// The floor.
    pub region: Polygon,
    /// Corners of the rim with the slab's own angle, radians.
    pub corners: Vec<(Point, f64)>,
    /// Columns with their isolation.
    pub columns: Vec<ColumnSpot>,
    /// Contraction joints that stay.
    pub locked: Vec<(Point, Point)>,
    /// Joints that move: boundaries that need no sawing.
    pub moving: Vec<(Point, Point)>,
    /// Thickened strips under the floor.
    pub strips: Vec<StripLine>,
    /// Doors and drains that offsets of joints keep from, and how far, inches.
    pub kept_off: (Vec<(Point, Point)>, f64),
}

impl Ground {
    /// The same in another frame.
    #[must_use]
    pub fn entered(&self, frame: Frame) -> Self {
        let lines = |lines: &[(Point, Point)]| {
            lines.iter().map(|&(from, to)| (frame.enter(from), frame.enter(to))).collect()
        };
        Self {
            region: frame.enter_region(&self.region),
            corners: self.corners.iter().map(|&(at, angle)| (frame.enter(at), angle)).collect(),
            columns: self.columns.iter().map(|column| column.entered(frame)).collect(),
            locked: lines(&self.locked),
            moving: lines(&self.moving),
            kept_off: (lines(&self.kept_off.0), self.kept_off.1),
            strips: self
                .strips
                .iter()
                .map(|strip| StripLine {
                    from: frame.enter(strip.from),
                    to: frame.enter(strip.to),
                    ..*strip
                })
                .collect(),
        }
    }

    /// Whether a place lies on the edge of the slab or of an opening in it.
    #[must_use]
    pub fn is_on_edge(&self, at: Point) -> bool {
        const ON_EDGE_IN: f64 = 0.05;
        self.region.edges().any(|(from, to)| nearest::distance_to_line(at, from, to) < ON_EDGE_IN)
    }

    /// Whether a side of a panel is edge of the slab: a joint is not.
    #[must_use]
    pub fn is_edge(&self, from: Point, to: Point) -> bool {
        self.is_on_edge(from.middle(to))
    }

    /// Inside corners: where the slab turns more than 185 degrees.
    pub fn inside_corners(&self) -> impl Iterator<Item = Point> + '_ {
        let least = 185.0_f64.to_radians();
        self.corners.iter().filter(move |(_, angle)| *angle > least).map(|&(at, _)| at)
    }

    /// How near a place is to a door or drain that offsets keep from, inches; `None` when it is
    /// far enough, or nothing was asked.
    #[must_use]
    pub fn too_near_door_or_drain(&self, at: Point) -> Option<f64> {
        let (lines, least) = &self.kept_off;
        let near = lines.iter().map(|&(from, to)| nearest::distance_to_line(at, from, to));
        near.min_by(f64::total_cmp).filter(|near| near + 1e-6 < *least)
    }

    /// What a joint that ends at the side of a panel costs at a place.
    #[must_use]
    pub fn tee_price(&self, at: Point, weights: &Weights) -> f64 {
        let is_near = self.too_near_door_or_drain(at).is_some();
        weights.tee + if is_near { penalty::NEAR_DOOR_OR_DRAIN } else { 0.0 }
    }

    /// Whether the floor has so many corners, columns and drawn joints that one search over it is
    /// all there is time for: no building is like that.
    #[must_use]
    pub fn is_intricate(&self) -> bool {
        const MOST_SIDES: usize = 400;
        const MOST_PLACES: usize = 48;
        let places =
            self.corners.len() + self.columns.len() / 3 + 2 * self.locked.len() + self.moving.len();
        places > MOST_PLACES || self.region.edges().count() > MOST_SIDES
    }

    /// The slab's own angle at a corner, radians.
    #[must_use]
    pub fn own_angle(&self, at: Point) -> Option<f64> {
        self.corners.iter().find(|(corner, _)| corner.distance(at) < 0.05).map(|&(_, angle)| angle)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_upright_frame_changes_no_bit_and_a_turned_one_comes_back() {
        let point = Point::new(123.456, 789.25);
        assert_eq!(Frame::turned(0.0).enter(point), point);
        let frame = Frame::turned(0.7);
        assert!(frame.leave(frame.enter(point)).distance(point) < 1e-9);
    }

    #[test]
    fn a_strip_counts_in_a_box_that_it_passes_through() {
        let strip =
            StripLine { from: Point::new(0.0, 50.0), to: Point::new(200.0, 50.0), half_width: 8.0 };
        let inside = |low: (f64, f64), high: (f64, f64)| strip.inside(low.into(), high.into());
        assert_eq!(inside((20.0, 0.0), (120.0, 100.0)), 100.0);
        assert_eq!(inside((150.0, 0.0), (300.0, 100.0)), 50.0);
        assert_eq!(inside((20.0, 45.0), (120.0, 100.0)), 0.0, "a side stands over the strip");
        assert_eq!(inside((20.0, 60.0), (120.0, 100.0)), 0.0, "it passes outside");
    }

    #[test]
    fn walls_give_the_frames() {
        let clipped = Polygon::new(
            [(0.0, 0.0), (48.0, 0.0), (48.0, 24.0), (40.0, 32.0), (0.0, 32.0)]
                .map(|(x, y)| Point::feet(x, y))
                .to_vec(),
            Vec::new(),
        );
        assert_eq!(frames_of(&clipped, 2).first().map(|first| first.0), Some(Frame::UPRIGHT));
    }
}
