//! Swings made longer: fewer degrees to bend.
//!
//! A swing is two bends opposite ways close by each other: a jog to another lane, or the outward bend
//! before the cap of a bulb. Where it is as short as it can be both bends are as great as they can be.
//! Where the straight beside it has room, the tube leaves that a little earlier and comes to the other
//! bend on a straight that slants, and both become less. The slant may come nearer to its neighbours
//! than the course did, so the finished circuits are checked as ever, and a swing that has no room
//! becomes shorter until it has.

#![expect(
    clippy::indexing_slicing,
    reason = "segments are numbered by this file's own loops over the same vectors"
)]

use super::bends::lies_bowed;
use super::clear_area::ClearArea;
use super::field::Field;
use super::fill::{unsound, with_circuits};
use super::route::{Found, Layout};
use super::rules::Rules;
use crate::geometry::{Arc, Point, Segment};
use crate::units::exact_math;
use std::f64::consts::{FRAC_PI_2, PI};

/// By how little the tube is bent, the least first, as a share of what it was.
const BENT: [f64; 7] = [0.25, 0.4, 0.55, 0.7, 0.8, 0.89, 0.95];
/// How much earlier it leaves its lane for that at most, spacings.
const MOST_EARLIER: f64 = 0.6;
/// How much of a straight a swing may take: another may stand at its other end.
const OF_STRAIGHT: f64 = 0.48;
/// What is wrong so near to a swing is put down to it, spacings.
const NEAR: f64 = 1.6;
/// How often swings are shortened where they have no room.
const MOST_ROUNDS: usize = 9;
/// Bends of one swing have the same radius, inches.
const SAME_RADIUS_IN: f64 = 1e-3;
/// A bend this great is a corner, not the beginning of a swing, radians.
const CORNER: f64 = FRAC_PI_2 - 0.03;

/// The layout with its swings made as long as they have room; the same where there are none.
#[must_use]
pub fn with_long_swings(layout: Layout, area: &ClearArea, rules: &Rules) -> Layout {
    lengthened(&layout, area, rules).unwrap_or(layout)
}

fn lengthened(layout: &Layout, area: &ClearArea, rules: &Rules) -> Option<Layout> {
    // Where bulbs crowd their neighbours bends may come nearer to runs than others, and runs that
    // bow are bends to the check: it would let slants too near to those.
    let is_bowed = |found: &Found| lies_bowed(&found.path, rules.bend());
    let is_unsure = rules.is_crowded() && layout.circuits.iter().any(is_bowed);
    if !layout.breaches.is_empty() || is_unsure {
        return None;
    }
    let all = layout.circuits.iter().enumerate();
    let swings: Vec<Swing> =
        all.flat_map(|(circuit, found)| swings_of(&found.path, circuit)).collect();
    if swings.is_empty() {
        return None;
    }
    let (tube, open) = (Field::new(&area.tube)?, Field::new(&area.open)?);
    let spacing = rules.tube_spacing();
    let mut levels = vec![0; swings.len()];
    for _ in 0..MOST_ROUNDS {
        let circuits = with_swings(layout, &swings, &levels, spacing);
        let bad = unsound(&layout.circuits, &circuits, (&tube, &open), rules);
        if bad.is_empty() {
            return Some(with_circuits(layout, circuits));
        }
        let mut is_shorter = false;
        for (swing, level) in swings.iter().zip(&mut levels) {
            let is_near = |place: &Point| place.distance(swing.at) < NEAR * spacing;
            if *level < BENT.len() && bad.iter().any(is_near) {
                *level += 1;
                is_shorter = true;
            }
        }
        if !is_shorter {
            return None;
        }
    }
    None
}

/// A straight, a bend, and another the other way, along a course or against it: the numbers of their
/// segments.
struct Swing {
    circuit: usize,
    straight: usize,
    bend: usize,
    other: usize,
    /// Where it is.
    at: Point,
}

impl Swing {
    const fn goes_on(&self) -> bool {
        self.straight < self.bend
    }

    /// The slot of the straight between its bends, which may be empty: halfway between theirs.
    const fn between(&self) -> usize {
        self.bend + self.other
    }
}

/// The swings of a course.
fn swings_of(path: &[Segment], circuit: usize) -> Vec<Swing> {
    let mut found = Vec::new();
    for bend in 1..path.len().saturating_sub(1) {
        for goes_on in [true, false] {
            let step = |from: usize, on: bool| {
                if on { Some(from + 1) } else { from.checked_sub(1) }.filter(|at| *at < path.len())
            };
            let is_line = |at: &usize| matches!(path[*at], Segment::Line(..));
            let (Some(straight), Some(next)) = (step(bend, !goes_on), step(bend, goes_on)) else {
                continue;
            };
            let beyond = if is_line(&next) { step(next, goes_on) } else { Some(next) };
            let (Some(other), true) = (beyond, is_line(&straight)) else { continue };
            let Segment::Arc(arc) = path[bend] else { continue };
            let swing = Swing { circuit, straight, bend, other, at: arc.through };
            if is_swing(path, &swing) {
                found.push(swing);
            }
        }
    }
    found
}

fn is_swing(path: &[Segment], swing: &Swing) -> bool {
    let (Segment::Arc(bend), Segment::Arc(other)) = (path[swing.bend], path[swing.other]) else {
        return false;
    };
    bend.circle().zip(other.circle()).is_some_and(|(bend, other)| {
        let is_bulb = other.sweep.abs() > PI;
        bend.sweep * other.sweep < 0.0
            && bend.sweep.abs() < CORNER
            && (is_bulb || other.sweep.abs() < CORNER)
            && (bend.radius - other.radius).abs() < SAME_RADIUS_IN
    })
}

/// The circuits with swings so long, by the number among [`BENT`].
fn with_swings(layout: &Layout, swings: &[Swing], levels: &[usize], spacing: f64) -> Vec<Found> {
    let mut circuits = layout.circuits.clone();
    for (number, found) in circuits.iter_mut().enumerate() {
        // A slot for each segment, and one after each for a straight that may come there.
        let slots = found.path.iter().flat_map(|&one| [Some(one), None]);
        let mut slots: Vec<Option<Segment>> = slots.collect();
        let own = swings.iter().zip(levels).filter(|(swing, _)| swing.circuit == number);
        let mut is_changed = false;
        for (swing, &level) in own {
            let straight = OF_STRAIGHT * found.path[swing.straight].length();
            let most = straight.min(MOST_EARLIER * spacing);
            let mut shares = BENT.iter().skip(level);
            is_changed |= shares.any(|&share| lengthen(&mut slots, swing, (share, most)).is_some());
        }
        if is_changed {
            found.path = slots.into_iter().flatten().collect();
            found.length = found.path.iter().map(|segment| segment.length()).sum();
        }
    }
    circuits
}

/// Makes one swing so long that the tube is bent by this share of what it was, where it need not
/// leave its straight earlier than so much for that, inches.
fn lengthen(slots: &mut [Option<Segment>], swing: &Swing, (share, most): (f64, f64)) -> Option<()> {
    let (Segment::Line(from, to), Segment::Arc(bend), Segment::Arc(other)) =
        (slots[2 * swing.straight]?, slots[2 * swing.bend]?, slots[2 * swing.other]?)
    else {
        return None;
    };
    let (beyond, end) = if swing.goes_on() { (from, to) } else { (to, from) };
    let (bent, round) = (bend.circle()?, other.circle()?);
    let (radius, second) = (bent.radius, round.center);
    let back = (beyond - end).unit()?;
    // Two circles of one radius whose centres lie so far apart across the lane touch a straight
    // between them that slants by φ, where they are (2r - across·cos φ)/sin φ apart along it.
    let apart = second - bent.center;
    let (across, along) = (apart.cross(back).abs(), -apart.dot(back));
    let slant = share * bent.sweep.abs();
    let needed = (2.0 * radius - across * exact_math::cos(slant)) / exact_math::sin(slant);
    let earlier = needed - along;
    if !(0.0..=most).contains(&earlier) {
        return None;
    }
    let first = bent.center + back * earlier;
    let leaves = end + back * earlier;
    // The straight that touches both circles and passes between them goes through the middle.
    let way = (second - first).unit()?;
    let cos = 2.0 * radius / first.distance(second);
    let sin = (1.0 - cos * cos).max(0.0).sqrt();
    let touches = [1.0, -1.0].map(|hand| first + (way * cos + way.left() * (hand * sin)) * radius);
    let is_first_nearer = touches[0].distance(leaves) < touches[1].distance(leaves);
    let touch = if is_first_nearer { touches[0] } else { touches[1] };
    let joins = second - (touch - first);
    let through = |center: Point, a: Point, b: Point| {
        Some(center + ((a - center) + (b - center)).unit()? * radius)
    };
    let bow = through(first, leaves, touch)?;
    let far_end = if swing.goes_on() { other.to } else { other.from };
    let is_cap = round.sweep.abs() > PI;
    let cap = if is_cap { other.through } else { through(second, joins, far_end)? };
    let [straight, slanted, bend, other] = if swing.goes_on() {
        [
            Segment::Line(from, leaves),
            Segment::Line(touch, joins),
            Segment::Arc(Arc { from: leaves, through: bow, to: touch }),
            Segment::Arc(Arc { from: joins, through: cap, to: far_end }),
        ]
    } else {
        [
            Segment::Line(leaves, to),
            Segment::Line(joins, touch),
            Segment::Arc(Arc { from: touch, through: bow, to: leaves }),
            Segment::Arc(Arc { from: far_end, through: cap, to: joins }),
        ]
    };
    slots[2 * swing.straight] = Some(straight);
    slots[swing.between()] = Some(slanted);
    slots[2 * swing.bend] = Some(bend);
    slots[2 * swing.other] = Some(other);
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::tube::bends::bend_course;
    use crate::tube::draw_out::Legs;
    use crate::tube::route::turning;

    /// Courses at a spacing before and after their swings are made longer.
    fn laid(spacing: f64, courses: &[&[(f64, f64)]]) -> (Layout, Layout) {
        let rules = Rules::half_inch(spacing);
        let circuits = courses.iter().map(|corners| {
            let corners: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
            let path = bend_course(&corners, rules.bend()).unwrap();
            let length = path.iter().map(|segment| segment.length()).sum();
            Found { path, length, leaders: (0.0, 0.0), legs: Legs::default() }
        });
        let circuits: Vec<Found> = circuits.collect();
        let floor = Polygon::rectangle(Point::new(0.0, -12.0), Point::new(150.0, 108.0));
        let area = ClearArea::of_empty(vec![floor]);
        let bends = circuits.iter().map(|found| turning(&found.path)).sum();
        let layout = Layout { circuits, bends, ..Layout::default() };
        (layout.clone(), with_long_swings(layout, &area, &rules))
    }

    /// A tooth at a spacing between two straight runs, so far from each as the runs of it are apart.
    fn tooth(spacing: f64) -> (Layout, Layout) {
        let tooth = [(60.0, 0.0), (60.0, 90.0), (60.0 + spacing, 90.0), (60.0 + spacing, 0.0)];
        let beside = [60.0 - spacing, 60.0 + 2.0 * spacing].map(|x| [(x, 0.0), (x, 96.0)]);
        laid(spacing, &[&tooth, &beside[0], &beside[1]])
    }

    #[test]
    fn a_bulb_with_room_behind_it_takes_fewer_bends_at_the_same_place() {
        // At 9 in the bulb bows half an inch to each side: a slant hardly comes nearer to others.
        let (before, after) = tooth(9.0);
        let fewer = before.bends - after.bends;
        assert!((0.5..0.62).contains(&fewer), "{fewer}");
        assert!((after.bends - turning(&after.circuits[0].path)).abs() < 1e-9);
        let top = |layout: &Layout| {
            let ends = layout.circuits[0].path.iter().flat_map(|leg| leg.flatten(0.001));
            ends.map(|place| place.y).fold(0.0, f64::max)
        };
        assert!((top(&before) - top(&after)).abs() < 0.01);
        assert_eq!(before.circuits[1..], after.circuits[1..]);
    }

    #[test]
    fn a_bulb_between_close_runs_keeps_off_them_as_runs_do() {
        let (before, after) = tooth(6.0);
        let fewer = before.bends - after.bends;
        // Slants may come as near as 0.8 of the spacing: φ becomes 33 degrees for 37.
        assert!((0.1..0.2).contains(&fewer), "{fewer}");
        let corners = after.circuits[0].path.iter().filter_map(|leg| match leg {
            Segment::Line(from, to) => Some([*from, *to]),
            Segment::Arc(_) => None,
        });
        let least = 0.8 * 6.0 - 0.03;
        for place in corners.flatten() {
            assert!((54.0 + least..72.0 - least).contains(&place.x), "{place:?}");
        }
    }

    #[test]
    fn a_jog_to_another_lane_is_made_longer() {
        let corners = [(40.0, 0.0), (40.0, 48.0), (44.0, 48.0), (44.0, 96.0)];
        let (before, after) = laid(9.0, &[&corners]);
        assert!(after.bends < 0.5 * before.bends, "{} {}", after.bends, before.bends);
        assert!(after.circuits[0].length < before.circuits[0].length);
    }

    #[test]
    fn corners_stay_where_they_are() {
        let (before, after) = tooth(12.0);
        assert_eq!(before.circuits, after.circuits);
        let corners = [(40.0, 0.0), (40.0, 48.0), (60.0, 48.0), (60.0, 96.0)];
        let (before, after) = laid(9.0, &[&corners]);
        assert_eq!(before.circuits, after.circuits);
    }
}
