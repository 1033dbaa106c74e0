//! Whether rings can be a slab and its openings, and if not, what is wrong and where.
//!
//! Every fault is found, not the first only. Pairs of segments are swept from west to east, so
//! that only those whose boxes overlap are compared, with arcs exact (see [`super::meeting`]).
//! Two sides that come within [`tolerance::SAME_POINT_IN`] of each other count as touching. Sides
//! that are not finite or too far end the search early: nothing else can be said about them.

use super::meeting::{Meeting, meetings, radius};
use super::nearest::distance_to_line;
use super::tolerance::{
    self, LARGEST_COORDINATE_IN, SAME_POINT_IN, SHORTEST_SIDE_IN, SMALLEST_OPENING_IN2,
    SMALLEST_OUTLINE_IN2,
};
use super::{Bounds, Point, Ring, Segment, polygon};

/// Which ring of a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RingRole {
    /// The outer ring.
    Outline,
    /// The opening of this number, counted from 0.
    Opening(usize),
}

/// A side of a ring: the one that starts at the corner of the same number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SideOf {
    /// The ring.
    pub ring: RingRole,
    /// The side, counted from 0.
    pub side: usize,
}

/// What is wrong with a shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShapeFault {
    /// A number is infinite or not a number.
    NotFinite {
        /// The side whose corner or arc point it is.
        side: SideOf,
    },
    /// A place is farther from the origin than [`LARGEST_COORDINATE_IN`].
    TooFar {
        /// The side that reaches there.
        side: SideOf,
    },
    /// A ring has fewer than three sides, or two without an arc among them.
    TooFewSides {
        /// The ring.
        ring: RingRole,
    },
    /// A side starts and ends at the same place.
    ZeroLengthSide {
        /// The side.
        side: SideOf,
        /// The place.
        at: Point,
    },
    /// A side is too short to be meant: below [`SHORTEST_SIDE_IN`].
    ShortSide {
        /// The side.
        side: SideOf,
        /// Its middle.
        at: Point,
        /// Its length in inches.
        length: f64,
    },
    /// Two sides that follow each other run back over each other.
    Spike {
        /// The side that ends at the tip.
        before: SideOf,
        /// The side that starts at the tip.
        after: SideOf,
        /// The tip.
        at: Point,
    },
    /// Two corners that do not follow each other are the same place.
    RepeatedCorner {
        /// A side at the first corner.
        first: SideOf,
        /// A side at the second corner.
        second: SideOf,
        /// The place.
        at: Point,
    },
    /// Two sides of one ring cross.
    CrossingSides {
        /// One side.
        first: SideOf,
        /// The other.
        second: SideOf,
        /// Where.
        at: Point,
    },
    /// A ring touches itself.
    TouchingSides {
        /// One side.
        first: SideOf,
        /// The other.
        second: SideOf,
        /// Where.
        at: Point,
    },
    /// A ring encloses almost nothing.
    TooSmall {
        /// The ring.
        ring: RingRole,
        /// The first corner.
        at: Point,
        /// The area in square inches.
        area: f64,
    },
    /// An opening lies outside the outline.
    OpeningOutside {
        /// The opening's number.
        opening: usize,
        /// One of its corners.
        at: Point,
    },
    /// An opening crosses the outline.
    OpeningCrossesOutline {
        /// The opening's side.
        opening: SideOf,
        /// The outline's side.
        outline: SideOf,
        /// Where.
        at: Point,
    },
    /// An opening touches the outline: it is a notch of the outline and should be drawn so.
    OpeningTouchesOutline {
        /// The opening's side.
        opening: SideOf,
        /// The outline's side.
        outline: SideOf,
        /// Where.
        at: Point,
    },
    /// Two openings overlap.
    OpeningsOverlap {
        /// One opening's number.
        first: usize,
        /// The other's.
        second: usize,
        /// A place in both.
        at: Point,
    },
    /// Two openings touch: they are one opening and should be drawn so.
    OpeningsTouch {
        /// One opening's number.
        first: usize,
        /// The other's.
        second: usize,
        /// Where.
        at: Point,
    },
}

/// Everything that is wrong with an outline and its openings; empty when they can be built.
#[must_use]
pub fn faults(outline: &Ring, openings: &[Ring]) -> Vec<ShapeFault> {
    let rings: Vec<(RingRole, &Ring)> = std::iter::once((RingRole::Outline, outline))
        .chain(openings.iter().enumerate().map(|(number, ring)| (RingRole::Opening(number), ring)))
        .collect();
    let unusable: Vec<_> =
        rings.iter().flat_map(|&(role, ring)| unusable_numbers(role, ring)).collect();
    if !unusable.is_empty() {
        return unusable;
    }
    let mut found: Vec<_> =
        rings.iter().flat_map(|&(role, ring)| ring_faults(role, ring)).collect();
    let rings: Vec<_> = rings
        .into_iter()
        .filter(|&(ring, _)| !found.contains(&ShapeFault::TooFewSides { ring }))
        .collect();
    let met = pair_faults(&rings, &mut found);
    nesting_faults(&rings, &met, &mut found);
    drop_what_follows(&mut found);
    found
}

/// Whether there is no fault at all.
#[must_use]
pub fn is_sound(outline: &Ring, openings: &[Ring]) -> bool {
    faults(outline, openings).is_empty()
}

fn unusable_numbers(ring: RingRole, shape: &Ring) -> Option<ShapeFault> {
    shape.segments.iter().enumerate().find_map(|(side, segment)| {
        let side = SideOf { ring, side };
        let points = match *segment {
            Segment::Line(from, to) => [from, to, to],
            Segment::Arc(arc) => [arc.from, arc.through, arc.to],
        };
        let is_near = |point: &Point| point.x.abs().max(point.y.abs()) <= LARGEST_COORDINATE_IN;
        if !points.iter().all(|point| point.is_finite()) {
            Some(ShapeFault::NotFinite { side })
        } else if !points.iter().all(is_near)
            || !segment.flatten(tolerance::ARC_CHORD_IN).iter().all(is_near)
        {
            Some(ShapeFault::TooFar { side })
        } else {
            None
        }
    })
}

/// Faults of one ring by itself, but for its sides' meetings.
fn ring_faults(ring: RingRole, shape: &Ring) -> Vec<ShapeFault> {
    let sides = shape.segments.len();
    let has_arc = shape.segments.iter().any(|&segment| radius(segment).is_some());
    if sides < if has_arc { 2 } else { 3 } {
        return vec![ShapeFault::TooFewSides { ring }];
    }
    let mut found = Vec::new();
    for (number, segment) in shape.segments.iter().enumerate() {
        let side = SideOf { ring, side: number };
        let length = segment.length();
        if length <= SAME_POINT_IN {
            found.push(ShapeFault::ZeroLengthSide { side, at: segment.start() });
        } else if length < SHORTEST_SIDE_IN {
            found.push(ShapeFault::ShortSide { side, at: segment.point_at(0.5), length });
        }
    }
    let least = match ring {
        RingRole::Outline => SMALLEST_OUTLINE_IN2,
        RingRole::Opening(_) => SMALLEST_OPENING_IN2,
    };
    let area = shape.signed_area().abs();
    if area < least {
        let at = shape.segments.first().map_or(Point::ORIGIN, |segment| segment.start());
        found.push(ShapeFault::TooSmall { ring, at, area });
    }
    found
}

/// Where a spike folds back, or a side has no length, its neighbors touch too: that is the same
/// fault and is told once.
fn drop_what_follows(found: &mut Vec<ShapeFault>) {
    let (mut spiked, mut empty) = (Vec::new(), Vec::new());
    for fault in found.iter() {
        match *fault {
            ShapeFault::Spike { before, after, .. } => spiked.extend([before, after]),
            ShapeFault::ZeroLengthSide { at, .. } => empty.push(at),
            _ => {}
        }
    }
    found.retain(|fault| match *fault {
        ShapeFault::TouchingSides { first, second, at }
        | ShapeFault::RepeatedCorner { first, second, at } => {
            !spiked.contains(&first)
                && !spiked.contains(&second)
                && !empty.iter().any(|place| place.distance(at) <= 2.0 * SAME_POINT_IN)
        }
        _ => true,
    });
}

/// A segment with its box, ready for the sweep.
struct Swept {
    side: SideOf,
    sides_of_ring: usize,
    segment: Segment,
    bounds: Bounds,
}

/// Faults where segments meet; gives the pairs of rings that meet anywhere.
fn pair_faults(
    rings: &[(RingRole, &Ring)],
    found: &mut Vec<ShapeFault>,
) -> Vec<(RingRole, RingRole)> {
    let mut swept: Vec<Swept> = Vec::new();
    for &(ring, shape) in rings {
        for (side, &segment) in shape.segments.iter().enumerate() {
            let points =
                std::iter::once(segment.start()).chain(segment.flatten(tolerance::ARC_CHORD_IN));
            let Some(bounds) = Bounds::of(points) else { continue };
            let bounds = bounds.grown(tolerance::ARC_CHORD_IN + SAME_POINT_IN);
            let side = SideOf { ring, side };
            swept.push(Swept { side, sides_of_ring: shape.segments.len(), segment, bounds });
        }
    }
    swept.sort_by(|a, b| a.bounds.min.x.total_cmp(&b.bounds.min.x).then(a.side.cmp(&b.side)));
    let mut met = Vec::new();
    let mut places: Vec<(Point, RingRole, RingRole)> = Vec::new();
    for (position, first) in swept.iter().enumerate() {
        let later = swept.iter().skip(position + 1);
        for second in later.take_while(|second| second.bounds.min.x <= first.bounds.max.x) {
            if !first.bounds.touches(second.bounds) {
                continue;
            }
            let (first, second) =
                if first.side <= second.side { (first, second) } else { (second, first) };
            let rings = (first.side.ring, second.side.ring);
            for (fault, at) in pair_fault(first, second) {
                if rings.0 != rings.1 && !met.contains(&rings) {
                    met.push(rings);
                }
                // A touch at a corner shows in both sides of it: say it once.
                let is_told = places.iter().any(|&(told, ring_a, ring_b)| {
                    (ring_a, ring_b) == rings && told.distance(at) <= 2.0 * SAME_POINT_IN
                });
                if !is_told {
                    places.push((at, rings.0, rings.1));
                    found.push(fault);
                }
            }
        }
    }
    met
}

fn pair_fault(first: &Swept, second: &Swept) -> Vec<(ShapeFault, Point)> {
    if first.side.ring == second.side.ring {
        let count = first.sides_of_ring;
        let follows = |a: usize, b: usize| (a + 1) % count == b;
        let (a, b) = (first.side.side, second.side.side);
        if follows(a, b) || follows(b, a) {
            let mut faults = Vec::new();
            if follows(a, b) {
                faults.extend(neighbor_fault(first, second));
            }
            if follows(b, a) {
                faults.extend(neighbor_fault(second, first));
            }
            return faults;
        }
    }
    meetings(first.segment, second.segment)
        .into_iter()
        .map(|meeting| (name_meeting(first.side, second.side, meeting), meeting.at))
        .collect()
}

/// Sides that follow each other may meet at their common corner only.
fn neighbor_fault(before: &Swept, after: &Swept) -> Option<(ShapeFault, Point)> {
    let corner = after.segment.start();
    if before.segment.length() <= SAME_POINT_IN || after.segment.length() <= SAME_POINT_IN {
        return None; // Told as a side without length.
    }
    if let (Segment::Line(start, tip), Segment::Line(_, end)) = (before.segment, after.segment) {
        let is_back = (tip - start).dot(end - tip) < 0.0;
        let off = if tip.distance(end) <= tip.distance(start) {
            distance_to_line(end, start, tip)
        } else {
            distance_to_line(start, tip, end)
        };
        let fault = ShapeFault::Spike { before: before.side, after: after.side, at: tip };
        return (is_back && off <= SAME_POINT_IN).then_some((fault, tip));
    }
    // An arc that leaves a line smoothly meets it near the corner in rounding only: a meeting
    // counts when between it and the corner the two stand apart by more than a point's width.
    let least_radius = [radius(before.segment), radius(after.segment)]
        .into_iter()
        .flatten()
        .fold(f64::MAX, f64::min);
    let closes_ring = before.sides_of_ring == 2;
    meetings(before.segment, after.segment).into_iter().find_map(|meeting| {
        let away = meeting.at.distance(corner);
        let stands_off = away * away / (8.0 * least_radius) > SAME_POINT_IN;
        let is_other_corner = closes_ring && meeting.at.is_near(before.segment.start());
        if !stands_off || away <= 2.0 * SAME_POINT_IN || is_other_corner {
            return None;
        }
        Some((name_meeting(before.side, after.side, meeting), meeting.at))
    })
}

fn name_meeting(first: SideOf, second: SideOf, meeting: Meeting) -> ShapeFault {
    use RingRole::{Opening, Outline};
    let at = meeting.at;
    let crosses = meeting.is_crossing;
    match (first.ring, second.ring) {
        (a, b) if a == b => {
            if crosses {
                ShapeFault::CrossingSides { first, second, at }
            } else if meeting.is_end_of_first && meeting.is_end_of_second {
                ShapeFault::RepeatedCorner { first, second, at }
            } else {
                ShapeFault::TouchingSides { first, second, at }
            }
        }
        (Opening(first), Opening(second)) => {
            if crosses {
                ShapeFault::OpeningsOverlap { first, second, at }
            } else {
                ShapeFault::OpeningsTouch { first, second, at }
            }
        }
        _ => {
            let (outline, opening) =
                if first.ring == Outline { (first, second) } else { (second, first) };
            if crosses {
                ShapeFault::OpeningCrossesOutline { opening, outline, at }
            } else {
                ShapeFault::OpeningTouchesOutline { opening, outline, at }
            }
        }
    }
}

/// Openings must lie in the outline and not in each other; rings that meet are told already.
fn nesting_faults(
    rings: &[(RingRole, &Ring)],
    met: &[(RingRole, RingRole)],
    found: &mut Vec<ShapeFault>,
) {
    let flat: Vec<(RingRole, Vec<Point>)> = rings
        .iter()
        .map(|&(role, ring)| (role, ring.flatten(tolerance::ARC_CHORD_IN)))
        .filter(|(_, points)| !points.is_empty())
        .collect();
    for (position, (role_a, ring_a)) in flat.iter().enumerate() {
        for (role_b, ring_b) in flat.iter().skip(position + 1) {
            if met.contains(&(*role_a, *role_b)) {
                continue;
            }
            let (Some(&first_of_a), Some(&first_of_b)) = (ring_a.first(), ring_b.first()) else {
                continue;
            };
            match (*role_a, *role_b) {
                (RingRole::Outline, RingRole::Opening(opening))
                    if !polygon::ring_contains(ring_a, first_of_b) =>
                {
                    found.push(ShapeFault::OpeningOutside { opening, at: first_of_b });
                }
                (RingRole::Opening(first), RingRole::Opening(second)) => {
                    let at = if polygon::ring_contains(ring_a, first_of_b) {
                        Some(first_of_b)
                    } else if polygon::ring_contains(ring_b, first_of_a) {
                        Some(first_of_a)
                    } else {
                        None
                    };
                    if let Some(at) = at {
                        found.push(ShapeFault::OpeningsOverlap { first, second, at });
                    }
                }
                _ => {}
            }
        }
    }
}
