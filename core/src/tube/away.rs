//! A zone that does not touch its manifold: a bundle of leaders to it, and its circuits from there.

use super::bundle::{Bundle, BundleGround, BundleRules, Entry, along, ways};
use super::clear_area::{ClearArea, bundle_ground};
use super::draw_out::Legs;
use super::field::{Field, Heading};
use super::frame::Frame;
use super::ports::PortLine;
use super::route::{Found, Layout};
use super::rules::Rules;
use super::zone::route_zone;
use super::{Circuit, one_zone::is_sound};
use crate::effort::{Budget, Cancelled};
use crate::geometry::nearest::distance_to_sides;
use crate::geometry::{Point, Polygon, Segment};
use crate::job::Job;
use crate::joints::MovingJoints;
use crate::plan::Plan;

/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// More circuits than the least that are tried.
const MORE: usize = 3;
/// What it costs to make the ground of a bundle, and to look from one place for its ways.
const GROUND_MADE: u64 = 1_000;
const PLACE_TRIED: u64 = 50;
/// Most circuits of a zone that is led to.
const MOST_CIRCUITS: usize = 24;
/// Entries tried for each number of circuits.
const MOST_WAYS: usize = 4;
/// Places of the bundle's ports that are looked at to each side of the manifold's middle.
const MOST_SLOTS: i32 = 12;
/// A bundle that turns off within this of its ports runs along the wall, inches.
const AT_ONCE_IN: f64 = 60.0;
/// A bundle's port and a zone's first run are the same place, inches.
const SAME_PORT_IN: f64 = 0.02;

/// What a zone that is led to is routed on.
#[derive(Clone, Copy, Debug)]
pub struct Led<'a> {
    /// The job.
    pub job: &'a Job,
    /// The slab.
    pub plan: &'a Plan,
    /// Joints that a bundle keeps off.
    pub moving: &'a MovingJoints,
    /// Circuits that lie already.
    pub laid: &'a [Circuit],
    /// The zone.
    pub area: &'a ClearArea,
    /// The manifold's ports on the slab.
    pub ports: PortLine,
    /// Room for ports of the zones that stand at the manifold, inches.
    pub reserve: f64,
}

/// The best layout of a zone led to from its manifold, leaders included.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn route_led_zone(
    led: Led,
    rules: &Rules,
    wanted: Option<u32>,
    budget: &mut Budget,
) -> Result<Option<Layout>, Cancelled> {
    let floor = led.area.heated.iter().map(Polygon::area).sum::<f64>() - led.area.served;
    let tube = floor.max(0.0) / rules.tube_spacing();
    let wanted = wanted.map(|count| usize::try_from(count).unwrap_or(1).max(1));
    let mut tried = 0;
    let mut best: Option<Layout> = None;
    for count in wanted.map_or(1..=MOST_CIRCUITS, |count| count..=count) {
        if budget.cancel().is_raised() {
            return Err(Cancelled);
        }
        if budget.is_spent() {
            break;
        }
        let least_room = count as f64 * FULL * rules.limit;
        if wanted.is_none() && tube > least_room {
            continue;
        }
        let bundle_rules =
            BundleRules { tubes: 2 * count, pitch: rules.port_spacing, radius: rules.bend() };
        let bundles = bundles(led, bundle_rules, rules, budget);
        // A wider bundle has no way where a narrower one has none.
        if bundles.is_empty() {
            break;
        }
        let led_length = bundles.first().map_or(0.0, |bundle| 2.0 * length(bundle));
        if wanted.is_none() && tube > count as f64 * (FULL * rules.limit - led_length) {
            continue;
        }
        tried += 1;
        for bundle in &bundles {
            let Some(layout) = from_bundle(led, bundle, (rules, count), budget)? else { continue };
            let is_better = best.as_ref().is_none_or(|best| layout.imbalance < best.imbalance);
            if is_sound(&layout, rules.limit) && is_better {
                best = Some(layout);
            }
            if best.as_ref().is_some_and(|best| best.imbalance < 0.10) {
                return Ok(best);
            }
        }
        if tried > MORE {
            break;
        }
    }
    Ok(best)
}

/// The circuits of a zone from the end of a bundle, with their leaders.
fn from_bundle(
    led: Led,
    bundle: &Bundle,
    (rules, count): (&Rules, usize),
    budget: &mut Budget,
) -> Result<Option<Layout>, Cancelled> {
    let left = rules.limit - 2.0 * length(bundle);
    if left <= 0.0 {
        return Ok(None);
    }
    let within = Rules { limit: left, ..*rules };
    let wanted = u32::try_from(count).ok();
    let Some(mut layout) = route_zone(led.area, bundle.end, &within, wanted, budget)? else {
        return Ok(None);
    };
    for found in &mut layout.circuits {
        let Some(joined) = joined(bundle, found) else { return Ok(None) };
        *found = joined;
    }
    let lengths = || layout.circuits.iter().map(|found| found.length);
    let mean = lengths().sum::<f64>() / layout.circuits.len().max(1) as f64;
    let spread = lengths().fold(0.0, f64::max) - lengths().fold(f64::INFINITY, f64::min);
    layout.imbalance = if mean > 0.0 { (spread / mean).max(0.0) } else { 0.0 };
    Ok(Some(layout))
}

/// A circuit with the lanes of the bundle at both ends; `None` when it starts beside them.
pub fn joined(bundle: &Bundle, found: &Found) -> Option<Found> {
    let lane_to = |at: Point| {
        bundle.lanes.iter().find(|lane| {
            lane.last().is_some_and(|segment| segment.end().distance(at) < SAME_PORT_IN)
        })
    };
    let into = lane_to(found.path.first()?.start())?;
    let out_of = lane_to(found.path.last()?.end())?;
    let back: Vec<Segment> = out_of.iter().rev().map(|segment| segment.reversed()).collect();
    let sum = |path: &[Segment]| path.iter().map(|segment| segment.length()).sum::<f64>();
    let (before, after) = (sum(into), sum(out_of));
    Some(Found {
        path: [into.as_slice(), &found.path, &back].concat(),
        length: before + found.length + after,
        leaders: (before + found.leaders.0, after + found.leaders.1),
        legs: Legs::default(),
    })
}

/// Length of the longest lane, inches.
fn length(bundle: &Bundle) -> f64 {
    bundle
        .lanes
        .iter()
        .map(|lane| lane.iter().map(|segment| segment.length()).sum::<f64>())
        .fold(0.0, f64::max)
}

/// The ways to the zone, the cheapest first.
pub fn bundles(
    led: Led,
    bundle_rules: BundleRules,
    rules: &Rules,
    budget: &mut Budget,
) -> Vec<Bundle> {
    budget.spend(GROUND_MADE);
    let frame = Frame::new(led.ports.at, led.ports.along.angle());
    let half = bundle_rules.width() / 2.0;
    let (middle, open) =
        bundle_ground(led.job, led.plan, led.moving, (half, bundle_rules.pitch, led.laid));
    let (middle, open) =
        (Field::new(&frame.local_regions(&middle)), Field::new(&frame.local_regions(&open)));
    let (Some(middle), Some(open)) = (middle, open) else { return Vec::new() };
    let walls = walls(led, &frame);
    let corners: Vec<Point> = middle.sides().iter().map(|side| side.0).collect();
    let ground = BundleGround { middle: &middle, open: &open, corners: &corners, walls: &walls };
    let margin = half + rules.tube_spacing() / 2.0 + 1.0;
    let mut found: Vec<(f64, Vec<Point>)> = Vec::new();
    // Those that turn off at once start beside the ports of the zones at the manifold, so that
    // those are not shut in; those that go straight on start as near the middle as they can.
    let aside = led.reserve / 2.0 + half + bundle_rules.pitch;
    for (first, side, wanted) in [
        (0.0, 1.0, Off::Straight),
        (0.0, -1.0, Off::Straight),
        (-aside, -1.0, Off::Left),
        (aside, 1.0, Off::Right),
    ] {
        for slot in (0..=MOST_SLOTS).map(|slot| first + side * f64::from(slot) * bundle_rules.pitch)
        {
            let start = Point::new(slot, 0.0);
            let entries = entries(led, &frame, (start, margin, rules.edge));
            budget.spend(PLACE_TRIED);
            let mut ways = ways(&ground, start, &entries, (bundle_rules, f64::INFINITY), budget);
            ways.retain(|(_, way)| Off::of(way) == wanted || led.reserve <= 0.0);
            if !ways.is_empty() {
                found.extend(ways.into_iter().map(|(cost, way)| (cost + slot.abs(), way)));
                break;
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
        .into_iter()
        .take(MOST_WAYS)
        .filter_map(|(_, way)| along(&way, &frame, bundle_rules))
        .collect()
}

/// How a way leaves its ports.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Off {
    Straight,
    Left,
    Right,
}

impl Off {
    fn of(way: &[Point]) -> Self {
        let [first, second, third, ..] = way else { return Self::Straight };
        if first.distance(*second) > AT_ONCE_IN {
            Self::Straight
        } else if third.x < second.x {
            Self::Left
        } else {
            Self::Right
        }
    }
}

/// Rims of the slab and boundaries of zones, in the axes of the frame.
fn walls(led: Led, frame: &Frame) -> Vec<(Point, Point)> {
    let zones = led.job.heating.zones.iter().filter(|zone| zone.corners.len() > 2);
    let zones = zones.map(|zone| Polygon::new(zone.corners.clone(), Vec::new()));
    let all: Vec<Polygon> = zones.chain([led.plan.region.clone()]).collect();
    let edges = all.iter().flat_map(Polygon::edges);
    edges.map(|(from, to)| (frame.local(from), frame.local(to))).collect()
}

/// Where a bundle may enter a zone: on its straight boundaries that are no rim of the slab.
fn entries(led: Led, frame: &Frame, (start, margin, edge): (Point, f64, f64)) -> Vec<Entry> {
    let mut entries = Vec::new();
    for (from, to) in led.area.floor.iter().flat_map(Polygon::edges) {
        if distance_to_sides(from.middle(to), &led.plan.region) < 1.0 {
            continue;
        }
        let (from, to) = (frame.local(from), frame.local(to));
        let Some(step) = (to - from).unit() else { continue };
        // Floor lies to the left of every side, so the way in is to the left.
        let inward = step.left();
        let heading = Heading::ALL.into_iter().find(|heading| {
            let (x, y) = heading.step();
            inward.x * x + inward.y * y > 0.9999
        });
        let Some(heading) = heading else { continue };
        let length = from.distance(to);
        let ahead = (start - from).dot(step);
        let near = [margin, margin + edge, margin + 3.0 * edge];
        let ends = near.into_iter().flat_map(|near| [near, length - near]);
        for along in ends.chain([length / 2.0, ahead]) {
            if along >= margin && along <= length - margin {
                entries.push(Entry { at: from + step * along, heading });
            }
        }
    }
    entries
}
