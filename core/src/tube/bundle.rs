//! A bundle: the leaders of a zone that does not touch its manifold, side by side all the way.
//!
//! Question: how do the tubes of a room reach it when the manifold stands in another? Method: the
//! middle line of the bundle is the cheapest way of square turns over a grid of lines that matter
//! (rims grown by half the bundle, zone boundaries, the port, the entries), where a way along a
//! wall or a zone boundary is cheaper than one across open floor, which it would cut in two.
//! The lanes are that line offset, each bend concentric, so that they cannot cross. Its far end is
//! a port line of its own for the zone beyond.

mod search;

use super::field::{Field, Heading};
use super::frame::Frame;
use super::ports::PortLine;
use crate::effort::Budget;
use crate::geometry::{Arc, Point, Segment, Vector};
use search::Search;

/// Most places where a bundle may enter a zone that ways are looked for to, the nearest.
const MOST_ENTRIES: usize = 200;

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
/// cheapest first: the corners of the middle line and its cost. Those that were found, when the
/// budget is spent before.
#[must_use]
pub fn ways(
    ground: &BundleGround,
    start: Point,
    entries: &[Entry],
    (rules, most): (BundleRules, f64),
    budget: &mut Budget,
) -> Vec<(f64, Vec<Point>)> {
    let entries = nearest(entries, start);
    let mut search = Search::new(ground, start, &entries, (rules, most));
    search.run(budget);
    let mut found = search.into_ways();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

/// The entries nearest to the start, in their order.
fn nearest(entries: &[Entry], start: Point) -> Vec<Entry> {
    let distance = |entry: &Entry| entry.at.distance(start);
    let mut distances: Vec<f64> = entries.iter().map(distance).collect();
    distances.sort_by(f64::total_cmp);
    let most = distances.get(MOST_ENTRIES).copied().unwrap_or(f64::INFINITY);
    entries.iter().filter(|entry| distance(entry) < most).copied().collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::Polygon;

    fn endless() -> Budget {
        Budget::new(u64::MAX, Cancel::new())
    }

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
        let ways = ways(&ground, start, &[entry], (rules, f64::INFINITY), &mut endless());
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
        let start = Point::new(20.0, 5.0);
        let rules = (rules, f64::INFINITY);
        assert!(ways(&ground, start, &[entry], rules, &mut endless()).is_empty());
    }
}
