//! A bundle: the leaders of a zone that does not touch its manifold, side by side all the way.
//!
//! Question: how do the tubes of a room reach it when the manifold stands in another? Method: the
//! middle line of the bundle is the cheapest way of square turns over a grid of lines that matter
//! (rims grown by half the bundle, zone boundaries, the port, the entries), where a way along a
//! wall or a zone boundary is cheaper than one across open floor, which it would cut in two.
//! The lanes are that line offset, each bend concentric, so that they cannot cross. Its far end is
//! a port line of its own for the zone beyond.

use super::field::{Field, Heading};
use super::frame::Frame;
use super::ports::PortLine;
use crate::geometry::nearest::distance_to_line;
use crate::geometry::{Arc, Point, Segment, Vector};
use std::collections::{BTreeMap, BTreeSet};

/// What a turn costs, in inches of way.
const TURN_COST_IN: f64 = 30.0;
/// A way across open floor costs this much more than one along a wall or a boundary.
const OPEN_FLOOR: f64 = 1.6;
/// Lines of the grid nearer to each other than this are one, inches.
const SAME_LINE_IN: f64 = 1.5;
/// Most lines of the grid each way.
const MOST_LINES: usize = 40;

/// Leaders that run together from a manifold to where a zone begins.
#[derive(Clone, Debug)]
pub struct Bundle {
    /// From port to far end, in the order of the far end's ports.
    pub lanes: Vec<Vec<Segment>>,
    /// The port line at the far end.
    pub end: PortLine,
}

/// How a bundle is made.
#[derive(Clone, Copy, Debug)]
pub struct BundleRules {
    /// Number of tubes.
    pub tubes: usize,
    /// Distance from tube to tube, inches.
    pub pitch: f64,
    /// Least bend radius, inches.
    pub radius: f64,
}

impl BundleRules {
    /// From the first tube to the last, inches.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.tubes.saturating_sub(1) as f64 * self.pitch
    }

    /// Radius of the middle line's bends: the innermost tube keeps the least radius.
    fn bend(&self) -> f64 {
        self.radius + self.width() / 2.0
    }

    /// How far a tube lies to the right of the middle line.
    fn aside(&self, tube: usize) -> f64 {
        tube as f64 * self.pitch - self.width() / 2.0
    }
}

/// A place where a bundle may enter a zone.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// On the zone's boundary.
    pub at: Point,
    /// The way in, in the axes of the ground.
    pub heading: Heading,
}

/// The floor a bundle may cross, in axes whose north leads from the manifold into the floor.
#[derive(Clone, Debug)]
pub struct BundleGround<'a> {
    /// Where its middle line may lie.
    pub middle: &'a Field,
    /// Where a tube may lie close to the manifold.
    pub open: &'a Field,
    /// Places through which its legs may run, both ways.
    pub corners: &'a [Point],
    /// Walls and zone boundaries, along which a bundle is least in the way.
    pub walls: &'a [(Point, Point)],
}

/// The ways from a manifold to the entries it can reach at no more than a cost of `most`, the
/// cheapest first: the corners of the middle line and its cost.
#[must_use]
pub fn ways(
    ground: &BundleGround,
    start: Point,
    entries: &[Entry],
    (rules, most): (BundleRules, f64),
) -> Vec<(f64, Vec<Point>)> {
    let mut search = Search::new(ground, start, entries, (rules, most));
    search.run();
    let reached = std::mem::take(&mut search.reached);
    let mut found: Vec<(f64, Vec<Point>)> = reached
        .into_iter()
        .map(|(entry, (cost, stand))| {
            let mut way = search.way_to(stand);
            way.extend(entries.get(entry).map(|entry| entry.at));
            (cost, way)
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

/// The bundle along a middle line, on the plan.
#[must_use]
pub fn along(middle: &[Point], frame: &Frame, rules: BundleRules) -> Option<Bundle> {
    let steps: Option<Vec<Vector>> =
        middle.iter().zip(middle.iter().skip(1)).map(|(&a, &b)| (b - a).unit()).collect();
    let steps = steps?;
    let last = *steps.last()?;
    let lanes = (0..rules.tubes).map(|tube| {
        let lane = lane(middle, &steps, rules.aside(tube), rules.bend());
        frame.plan_course(&lane)
    });
    let end = frame.plan(*middle.last()?);
    let east = frame.plan(*middle.last()? - last.left()) - end;
    Some(Bundle {
        lanes: lanes.collect(),
        end: PortLine { at: end, along: east, spacing: rules.pitch },
    })
}

/// One tube `aside` to the right of the middle line, whose bends have the radius `bend`.
fn lane(middle: &[Point], steps: &[Vector], aside: f64, bend: f64) -> Vec<Segment> {
    let right = |step: Vector| -step.left() * aside;
    let Some((&first, rest)) = middle.split_first() else { return Vec::new() };
    let Some(&first_step) = steps.first() else { return Vec::new() };
    let mut from = first + right(first_step);
    let mut lane = Vec::new();
    for (&corner, pair) in rest.iter().zip(steps.iter().zip(steps.iter().skip(1))) {
        let (&before, &after) = pair;
        let is_left = before.cross(after) > 0.0;
        let radius = if is_left { bend + aside } else { bend - aside };
        let corner = corner + right(before) + right(after);
        let (start, end) = (corner - before * radius, corner + after * radius);
        let center = corner - before * radius + after * radius;
        let outward = (corner - center).unit().unwrap_or_default();
        lane.push(Segment::Line(from, start));
        lane.push(Segment::Arc(Arc { from: start, through: center + outward * radius, to: end }));
        from = end;
    }
    if let (Some(&end), Some(&step)) = (middle.last(), steps.last()) {
        lane.push(Segment::Line(from, end + right(step)));
    }
    lane
}

/// A place of the grid and the heading in which it is reached, to turn there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Stand {
    column: usize,
    row: usize,
    heading: usize,
}

/// Dijkstra's search over stands: each leg ends in a turn or at an entry.
struct Search<'a> {
    ground: &'a BundleGround<'a>,
    entries: &'a [Entry],
    rules: BundleRules,
    most: f64,
    start: Point,
    xs: Vec<f64>,
    ys: Vec<f64>,
    /// Cost of every stand seen, and the stand before it; none after the first leg.
    seen: BTreeMap<Stand, (f64, Option<Stand>)>,
    open: BTreeSet<(u64, Stand)>,
    /// The cheapest way to each entry: its cost and last turn, none for a straight one.
    reached: BTreeMap<usize, (f64, Option<Stand>)>,
}

impl<'a> Search<'a> {
    fn new(
        ground: &'a BundleGround<'a>,
        start: Point,
        entries: &'a [Entry],
        (rules, most): (BundleRules, f64),
    ) -> Self {
        let exact: Vec<Point> = entries.iter().map(|entry| entry.at).chain([start]).collect();
        let lines = |of| lines(&exact, ground.corners, of);
        let (xs, ys) = (lines(|p| p.x), lines(|p| p.y));
        Self {
            ground,
            entries,
            rules,
            most,
            start,
            xs,
            ys,
            seen: BTreeMap::new(),
            open: BTreeSet::new(),
            reached: BTreeMap::new(),
        }
    }

    fn run(&mut self) {
        let north = Heading(1);
        if let Some(inside) = self.first_inside() {
            self.go(None, (self.start, inside), north, self.rules.bend(), 0.0);
        }
        while let Some((known, stand)) = self.open.pop_first() {
            let Some(&(cost, _)) = self.seen.get(&stand) else { continue };
            // A cheaper way there was found after it was put down, and has been gone on from.
            if steps(cost) < known {
                continue;
            }
            let Some(at) = self.place(stand) else { continue };
            let heading = Heading(stand.heading);
            for next in [heading.left(), heading.right()] {
                let shortest = 2.0 * self.rules.bend();
                self.go(Some(stand), (at, at), next, shortest, cost + TURN_COST_IN);
            }
        }
    }

    /// All legs from a place on, of which the first part up to `clear` is known to be free.
    fn go(
        &mut self,
        before: Option<Stand>,
        (from, clear): (Point, Point),
        heading: Heading,
        shortest: f64,
        cost: f64,
    ) {
        let is_level = heading.0.is_multiple_of(2);
        let ahead = if heading.0 < 2 { 1.0 } else { -1.0 };
        let along = |p: Point| if is_level { p.x } else { p.y };
        let across = |p: Point| if is_level { p.y } else { p.x };
        for number in 0..self.entries.len() {
            let Some(&entry) = self.entries.get(number) else { continue };
            let distance = (along(entry.at) - along(from)) * ahead;
            let is_here = entry.heading == heading
                && cost + entry.at.distance(from) <= self.most
                && (across(entry.at) - across(from)).abs() < 1e-6
                && distance >= (shortest - self.rules.bend()).max(1.0)
                && self.is_clear(clear, entry.at, ahead * (along(entry.at) - along(clear)));
            if !is_here {
                continue;
            }
            let total = cost + self.leg_cost(from, entry.at);
            if self.reached.get(&number).is_none_or(|(least, _)| total < *least) {
                self.reached.insert(number, (total, before));
            }
        }
        let values = if is_level { self.xs.clone() } else { self.ys.clone() };
        let fixed = if is_level { &self.ys } else { &self.xs };
        let Some(other) = fixed.iter().position(|value| (value - across(from)).abs() < 1e-6) else {
            return;
        };
        let farthest =
            values.iter().map(|value| (value - along(clear)) * ahead).fold(0.0, f64::max);
        let free = self.ground.middle.reach(clear, heading, farthest + 1.0);
        for (index, value) in values.iter().enumerate() {
            let distance = (value - along(from)) * ahead;
            let beyond = (value - along(clear)) * ahead;
            let is_far = cost + distance > self.most;
            if distance < shortest || is_far || beyond < 0.0 || beyond >= free {
                continue;
            }
            let to = if is_level { Point::new(*value, from.y) } else { Point::new(from.x, *value) };
            let (column, row) = if is_level { (index, other) } else { (other, index) };
            let stand = Stand { column, row, heading: heading.0 };
            let known = self.seen.get(&stand).map_or(f64::INFINITY, |(least, _)| *least);
            if cost + distance >= known {
                continue;
            }
            let total = cost + self.leg_cost(from, to);
            if total < known {
                self.seen.insert(stand, (total, before));
                self.open.insert((steps(total), stand));
            }
        }
    }

    fn is_clear(&self, from: Point, to: Point, ahead: f64) -> bool {
        ahead >= 0.0 && self.ground.middle.contains(to) && self.ground.middle.is_clear(from, to)
    }

    fn leg_cost(&self, from: Point, to: Point) -> f64 {
        let reach = self.rules.width() / 2.0 + 18.0;
        let middle = from.middle(to);
        let is_along =
            self.ground.walls.iter().any(|wall| distance_to_line(middle, wall.0, wall.1) < reach);
        from.distance(to) * if is_along { 1.0 } else { OPEN_FLOOR }
    }

    /// Where the middle line comes into its ground straight ahead of the ports, if every tube may
    /// lie up to there.
    fn first_inside(&self) -> Option<Point> {
        let most = self.rules.width() + 36.0;
        let mut ahead = 0.0;
        while !self.ground.middle.contains(Heading(1).ahead(self.start, ahead)) {
            ahead += 1.0;
            if ahead > most {
                return None;
            }
        }
        let is_open = (0..self.rules.tubes).all(|tube| {
            let port = Heading(0).ahead(self.start, self.rules.aside(tube));
            self.ground.open.is_clear(port, Heading(1).ahead(port, ahead))
        });
        is_open.then(|| Heading(1).ahead(self.start, ahead))
    }

    fn place(&self, stand: Stand) -> Option<Point> {
        Some(Point::new(*self.xs.get(stand.column)?, *self.ys.get(stand.row)?))
    }

    /// The corners up to a stand, from the start.
    fn way_to(&self, last: Option<Stand>) -> Vec<Point> {
        let mut way = Vec::new();
        let mut at = last;
        while let Some(stand) = at {
            way.extend(self.place(stand));
            at = self.seen.get(&stand).and_then(|(_, before)| *before);
        }
        way.push(self.start);
        way.reverse();
        way
    }
}

/// Lines of the grid one way: every exact place, and corners that are not close to one.
fn lines(exact: &[Point], corners: &[Point], of: fn(&Point) -> f64) -> Vec<f64> {
    let mut lines: Vec<f64> = Vec::new();
    for value in exact.iter().map(of) {
        if lines.iter().all(|known| (known - value).abs() > 1e-6) {
            lines.push(value);
        }
    }
    let most = lines.len() + MOST_LINES;
    for value in corners.iter().map(of) {
        let is_new = lines.iter().all(|known| (known - value).abs() > SAME_LINE_IN);
        if is_new && lines.len() < most {
            lines.push(value);
        }
    }
    lines
}

/// A cost in whole sixteenths, to be sorted by.
fn steps(cost: f64) -> u64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let steps = (cost * 16.0).clamp(0.0, 1e15) as u64;
    steps
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;

    fn field(min: (f64, f64), max: (f64, f64)) -> Field {
        Field::new(&[Polygon::rectangle(Point::new(min.0, min.1), Point::new(max.0, max.1))])
            .unwrap()
    }

    #[test]
    fn a_bundle_turns_its_corner_with_concentric_lanes() {
        let (middle, open) =
            (field((0.0, 0.0), (200.0, 200.0)), field((-9.0, -9.0), (209.0, 209.0)));
        let ground = BundleGround { middle: &middle, open: &open, corners: &[], walls: &[] };
        let rules = BundleRules { tubes: 4, pitch: 3.0, radius: 5.0 };
        let start = Point::new(20.0, -5.0);
        let entry = Entry { at: Point::new(150.0, 100.0), heading: Heading(0) };
        let ways = ways(&ground, start, &[entry], (rules, f64::INFINITY));
        assert_eq!(ways.len(), 1);
        assert_eq!(ways[0].1, [start, Point::new(20.0, 100.0), entry.at]);
        let bundle = along(&ways[0].1, &Frame::new(Point::ORIGIN, 0.0), rules).unwrap();
        assert_eq!(bundle.lanes.len(), 4);
        // The outermost tube of a right turn lies leftmost; radii 5, 8, 11 and 14 in.
        let ends: Vec<f64> = bundle.lanes.iter().map(|lane| lane[2].end().y).collect();
        assert_eq!(ends, [104.5, 101.5, 98.5, 95.5]);
        for (lane, radius) in bundle.lanes.iter().zip([14.0, 11.0, 8.0, 5.0]) {
            let Segment::Arc(arc) = lane[1] else { panic!("a bend") };
            assert!((arc.circle().unwrap().radius - radius).abs() < 1e-9);
        }
        // Ports of the far end run from left to right of the way in.
        assert!(bundle.end.along.y < -0.99);
    }

    #[test]
    fn what_is_walled_off_has_no_way() {
        let middle = Field::new(&[
            Polygon::rectangle(Point::new(0.0, 0.0), Point::new(90.0, 90.0)),
            Polygon::rectangle(Point::new(100.0, 0.0), Point::new(190.0, 90.0)),
        ])
        .unwrap();
        let ground = BundleGround { middle: &middle, open: &middle, corners: &[], walls: &[] };
        let rules = BundleRules { tubes: 2, pitch: 3.0, radius: 5.0 };
        let entry = Entry { at: Point::new(150.0, 40.0), heading: Heading(0) };
        assert!(ways(&ground, Point::new(20.0, 5.0), &[entry], (rules, f64::INFINITY)).is_empty());
    }
}
