//! From a course of straight legs to lines and true arcs that keep the bend radius.
//!
//! A single bend is an arc tangent to both legs. Two bends the same way on a leg shorter than
//! their arcs need are a *return*; where the leg is shorter than twice the radius it becomes a
//! *bulb*: two arcs outward by φ and one of π + 2φ round the end, all of the least radius, with
//! cos φ = (gap/2 + r)/(2r); beside a wall it bows less to that side and more to the other. Two bends
//! opposite ways on a short leg are a *jog*: two arcs of φ with cos φ = 1 - offset/(2r). Where none
//! of these has room the course cannot be laid so, and the place is given back.

#![expect(
    clippy::indexing_slicing,
    reason = "legs and corners are numbered by this file's own loops over the same vector"
)]

mod bowed;

use crate::geometry::{Arc, Point, Segment, Vector};
use crate::units::exact_math;
pub use bowed::{bend_bowed_course_within, lies_bowed};
use std::f64::consts::PI;

/// Legs turning less than this are one leg, radians.
const STRAIGHT: f64 = 0.002;

/// Lanes of a return or a jog that make no more than this with each other run side by side, radians.
const ALIKE: f64 = 0.06;
/// The end of a return goes along its lanes no more than so many times as far as across them.
const MOST_SLANT: f64 = 0.6;

/// Ends of arcs this near to each other are one, inches.
const TOUCHING_IN: f64 = 0.005;

/// In how many steps a bulb is moved aside until it stands in the floor.
const ASIDE_STEPS: u32 = 8;

/// One or two corners replaced by arcs.
struct Bend {
    /// First and last corner it replaces.
    corners: (usize, usize),
    /// How much of the leg before the first corner it uses, and of the leg after the last.
    uses: (f64, f64),
    arcs: Vec<Arc>,
}

/// The course with its corners bent to `radius`.
///
/// # Errors
/// A place where the legs are too short for that.
pub fn bend_course(corners: &[Point], radius: f64) -> Result<Vec<Segment>, Point> {
    bend_course_within(corners, radius, &|_| true)
}

/// The same where `is_open` tells where tube may lie: a bulb whose bow would leave it on one side
/// stands so much to the other side.
///
/// # Errors
/// A place where the legs are too short for that.
pub fn bend_course_within(
    corners: &[Point],
    radius: f64,
    is_open: &dyn Fn(Point) -> bool,
) -> Result<Vec<Segment>, Point> {
    let corners = without_straights(corners);
    string_together(&corners, &bends_of(&corners, radius, is_open)?)
}

/// The bends at the corners of a course without straights.
fn bends_of(
    corners: &[Point],
    radius: f64,
    is_open: &dyn Fn(Point) -> bool,
) -> Result<Vec<Bend>, Point> {
    let last = corners.len().saturating_sub(1);
    let mut bends: Vec<Bend> = Vec::new();
    let mut at = 1;
    while at < last {
        let bend = match tight_pair(corners, at, radius, is_open) {
            Some(pair) => pair.ok_or_else(|| corners[at].middle(corners[at + 1]))?,
            None => single(corners, at, radius),
        };
        at = bend.corners.1 + 1;
        bends.push(bend);
    }
    Ok(bends)
}

/// Turn at a corner, radians, positive to the left.
fn turn(corners: &[Point], at: usize) -> f64 {
    let (before, after) = (corners[at] - corners[at - 1], corners[at + 1] - corners[at]);
    exact_math::atan2(before.cross(after), before.dot(after))
}

/// Corners but those at which a course goes straight on.
pub fn without_straights(corners: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(corners.len());
    for &corner in corners {
        if kept.last().is_some_and(|last| last.distance(corner) < 1e-6) {
            continue;
        }
        while kept.len() >= 2 {
            let (a, b) = (kept[kept.len() - 2], kept[kept.len() - 1]);
            let (before, after) = (b - a, corner - b);
            let angle = exact_math::atan2(before.cross(after), before.dot(after));
            if angle.abs() > STRAIGHT {
                break;
            }
            kept.pop();
        }
        kept.push(corner);
    }
    kept
}

fn tangent_length(turn: f64, radius: f64) -> f64 {
    radius * exact_math::tan((turn.abs() / 2.0).min(1.55))
}

fn single(corners: &[Point], at: usize, radius: f64) -> Bend {
    let angle = turn(corners, at);
    let used = tangent_length(angle, radius);
    let (Some(before), Some(after)) =
        ((corners[at] - corners[at - 1]).unit(), (corners[at + 1] - corners[at]).unit())
    else {
        return Bend { corners: (at, at), uses: (0.0, 0.0), arcs: Vec::new() };
    };
    let (from, to) = (corners[at] - before * used, corners[at] + after * used);
    let middle = from.middle(to);
    let toward = (corners[at] - middle).unit().unwrap_or_default();
    let depth = radius * (1.0 - exact_math::cos(angle / 2.0));
    let arc = Arc { from, through: middle + toward * depth, to };
    Bend { corners: (at, at), uses: (used, used), arcs: vec![arc] }
}

/// The return, bulb or jog over two corners when their leg is too short for two single bends.
/// `Some(None)` when it is too short for anything.
fn tight_pair(
    corners: &[Point],
    at: usize,
    radius: f64,
    is_open: &dyn Fn(Point) -> bool,
) -> Option<Option<Bend>> {
    if at + 2 >= corners.len() {
        return None;
    }
    let (first, second) = (turn(corners, at), turn(corners, at + 1));
    let leg = corners[at].distance(corners[at + 1]);
    let needed = tangent_length(first, radius) + tangent_length(second, radius);
    if needed <= leg + 1e-6 {
        return None;
    }
    if first * second < 0.0 {
        return Some(jog(corners, at, radius));
    }
    let is_steep = (first - second).abs() < 2.0 * exact_math::atan2(MOST_SLANT, 1.0);
    let is_return = is_steep && (first.abs() + second.abs() - PI).abs() < ALIKE;
    Some(if is_return { bulb(corners, at, radius, is_open) } else { None })
}

/// A lane that comes to a return or goes from it: a corner, outward along it, and away from the other.
#[derive(Clone, Copy)]
struct Lane {
    end: Point,
    ahead: Vector,
    outward: Vector,
}

impl Lane {
    fn of(beyond: Point, end: Point, other: Point) -> Option<Self> {
        let ahead = (end - beyond).unit()?;
        let is_left = ahead.cross(other - end) > 0.0;
        Some(Self { end, ahead, outward: if is_left { -ahead.left() } else { ahead.left() } })
    }

    /// How far inward of the lane a place lies.
    fn inward_of(&self, place: Point) -> f64 {
        (self.end - place).dot(self.outward)
    }
}

fn bulb(
    corners: &[Point],
    at: usize,
    radius: f64,
    is_open: &dyn Fn(Point) -> bool,
) -> Option<Bend> {
    let (from, to) = (corners[at], corners[at + 1]);
    let lanes = [Lane::of(corners[at - 1], from, to)?, Lane::of(corners[at + 2], to, from)?];
    let ahead = (lanes[0].ahead + lanes[1].ahead).unit()?;
    let across = if ahead.cross(to - from) > 0.0 { ahead.left() } else { -ahead.left() };
    let middle = from.middle(to) - ahead * radius;
    // How far the cap may go aside until it touches the lane there: to the first, to the other.
    let bows = lanes.map(|lane| (radius - lane.inward_of(middle)) / across.dot(lane.outward).abs());
    if bows[0].min(bows[1]) <= 0.0 {
        return None;
    }
    // The cap stands over the middle of the gap, or as little to one side of it as lets it in.
    let edge = |aside: f64, outward: f64| middle + across * (aside + outward * radius);
    let as_far_as_needed = |bow: f64, outward: f64| {
        let mut shares = (1..ASIDE_STEPS).map(|step| f64::from(step) / f64::from(ASIDE_STEPS));
        let lets_in = |share: &f64| is_open(edge(-outward * bow * share, outward));
        -outward * bow * shares.find(lets_in).unwrap_or(1.0)
    };
    let aside = match [-1.0, 1.0].map(|outward| is_open(edge(0.0, outward))) {
        [false, true] => as_far_as_needed(bows[1], -1.0),
        [true, false] => as_far_as_needed(bows[0], 1.0),
        _ => 0.0,
    };
    let cap = middle + across * aside;
    let on = |center: Point, toward: Vector| center + toward.unit().unwrap_or_default() * radius;
    let half = |center: Point, a: Point, b: Point| on(center, (a - center) + (b - center));
    // The arc between a lane and the cap: how deep it begins, its centre and where it joins.
    let shoulder = |lane: Lane| {
        let from_cap = lane.end + lane.outward * radius - cap;
        let along = from_cap.dot(lane.ahead);
        let off = from_cap.dot(from_cap) - 4.0 * radius * radius;
        let deep = along + (along * along - off).max(0.0).sqrt();
        let center = lane.end + lane.outward * radius - lane.ahead * deep;
        let (start, join) = (lane.end - lane.ahead * deep, center.middle(cap));
        // Beside a cap that touches the lane there is no arc but by rounding.
        (deep, center, start, if start.distance(join) < TOUCHING_IN { start } else { join })
    };
    let (deep_in, before, entry, join_in) = shoulder(lanes[0]);
    let (deep_out, after, exit, join_out) = shoulder(lanes[1]);
    let mut arcs = Vec::with_capacity(3);
    if entry != join_in {
        arcs.push(Arc { from: entry, through: half(before, entry, join_in), to: join_in });
    }
    arcs.push(Arc { from: join_in, through: cap + ahead * radius, to: join_out });
    if join_out != exit {
        arcs.push(Arc { from: join_out, through: half(after, join_out, exit), to: exit });
    }
    Some(Bend { corners: (at, at + 1), uses: (deep_in, deep_out), arcs })
}

/// Two arcs between two lanes that run on much alike, as near to the leg between them on the one as on
/// the other.
fn jog(corners: &[Point], at: usize, radius: f64) -> Option<Bend> {
    let (from, to) = (corners[at], corners[at + 1]);
    let (ahead, leaving) = ((from - corners[at - 1]).unit()?, (corners[at + 2] - to).unit()?);
    if !is_alike(ahead, leaving) {
        return None;
    }
    let is_left = ahead.cross(to - from) > 0.0;
    let inside = |way: Vector| if is_left { way.left() } else { -way.left() } * radius;
    // From the second centre to the first where the arcs begin and end at the corners: each step back
    // on the one lane and on along the other brings them nearer by so much.
    let apart = (from - to) + inside(ahead) + inside(leaving);
    let nearer = ahead + leaving;
    if apart.dot(inside(ahead)) < 0.0 {
        return square_jog(corners, at, radius);
    }
    let (square, product) = (nearer.dot(nearer), apart.dot(nearer));
    let rest = apart.dot(apart) - 4.0 * radius * radius;
    let root = product * product - square * rest;
    let uses = (product + root.max(0.0).sqrt()) / square;
    let (entry, exit) = (from - ahead * uses, to + leaving * uses);
    let (turn_in, turn_out) = (entry + inside(ahead), exit - inside(leaving));
    let middle = turn_in.middle(turn_out);
    let bow = |center: Point, a: Point, b: Point| {
        center + ((a - center) + (b - center)).unit().unwrap_or_default() * radius
    };
    (root >= 0.0).then(|| Bend {
        corners: (at, at + 1),
        uses: (uses, uses),
        arcs: vec![
            Arc { from: entry, through: bow(turn_in, entry, middle), to: middle },
            Arc { from: middle, through: bow(turn_out, middle, exit), to: exit },
        ],
    })
}

/// A jog whose lanes stand so far apart that both bends have room on a leg square to them, but not on
/// one that slants back.
fn square_jog(corners: &[Point], at: usize, radius: f64) -> Option<Bend> {
    let (from, to) = (corners[at], corners[at + 1]);
    let (ahead, leaving) = ((from - corners[at - 1]).unit()?, (corners[at + 2] - to).unit()?);
    let half = (to - from).dot((ahead + leaving).unit()?) / 2.0;
    let square = [corners[at - 1], from + ahead * half, to - leaving * half, corners[at + 2]];
    let bends = [single(&square, 1, radius), single(&square, 2, radius)];
    let [first, second] = &bends;
    if first.uses.1 + second.uses.0 > square[1].distance(square[2]) + 1e-6 {
        return None;
    }
    let uses = (first.uses.0 - half, second.uses.1 - half);
    Some(Bend {
        corners: (at, at + 1),
        uses,
        arcs: bends.into_iter().flat_map(|bend| bend.arcs).collect(),
    })
}

/// Whether two ways are so much alike that a return or a jog leads from lane to lane.
fn is_alike(a: Vector, b: Vector) -> bool {
    a.cross(b).abs() < ALIKE * a.length() * b.length() && a.dot(b) > 0.0
}

fn string_together(corners: &[Point], bends: &[Bend]) -> Result<Vec<Segment>, Point> {
    let Some((&start, &end)) = corners.first().zip(corners.last()) else { return Ok(Vec::new()) };
    let mut path = Vec::with_capacity(2 * bends.len() + 1);
    let (mut here, mut corner, mut used) = (start, 0, 0.0);
    for bend in bends {
        let leg = corners[corner].distance(corners[bend.corners.0]);
        if used + bend.uses.0 > leg + 1e-6 {
            return Err(corners[corner].middle(corners[bend.corners.0]));
        }
        for &arc in &bend.arcs {
            if here.distance(arc.from) > 1e-6 {
                path.push(Segment::Line(here, arc.from));
            }
            path.push(Segment::Arc(arc));
            here = arc.to;
        }
        (corner, used) = (bend.corners.1, bend.uses.1);
    }
    if used > corners[corner].distance(end) + 1e-6 {
        return Err(corners[corner].middle(end));
    }
    if here.distance(end) > 1e-6 {
        path.push(Segment::Line(here, end));
    }
    Ok(path)
}

/// What a course asks of its bends, found without bending it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Strain {
    /// Corners.
    pub corners: usize,
    /// Returns so tight that they must be bulbs.
    pub bulbs: usize,
    /// Legs too short for the bends at their ends.
    pub short_legs: usize,
}

/// The strain of a course whose corners are bent to `radius`: [`bend_course`] succeeds on it when
/// no leg is too short. `spare` is room for the corners, kept from call to call.
#[must_use]
pub fn strain(course: &[Point], radius: f64, spare: &mut Vec<Point>) -> Strain {
    spare.clear();
    for &point in course {
        while let [.., a, b] = spare[..] {
            let (before, after) = (b - a, point - b);
            if before.cross(after).abs() > STRAIGHT * before.dot(after) {
                break;
            }
            spare.pop();
        }
        if spare.last().is_none_or(|last| last.distance(point) > 1e-6) {
            spare.push(point);
        }
    }
    let mut found = Strain::default();
    let corners = &spare[..];
    let last = corners.len().saturating_sub(1);
    let (mut at, mut from, mut used) = (1, 0, 0.0);
    while at < last {
        found.corners += 1;
        let (mut to, mut uses) = (at, tangent_at(corners, at, radius));
        if at + 1 < last {
            let leg = corners[at].distance(corners[at + 1]);
            if uses + tangent_at(corners, at + 1, radius) > leg + 1e-6 {
                found.corners += 1;
                to = at + 1;
                if let Some(pair) = pair_uses(corners, at, radius) {
                    found.bulbs += usize::from(pair.1);
                    uses = pair.0;
                } else {
                    found.short_legs += 1;
                }
            }
        }
        if used + uses > corners[from].distance(corners[at]) + 1e-6 {
            found.short_legs += 1;
        }
        (from, used, at) = (to, uses, to + 1);
    }
    if last > 0 && used > corners[from].distance(corners[last]) + 1e-6 {
        found.short_legs += 1;
    }
    found
}

/// How deep a bulb over the middle of a gap is.
#[must_use]
pub fn bulb_depth(gap: f64, radius: f64) -> f64 {
    let half = gap / 2.0 + radius;
    (4.0 * radius * radius - half * half).max(0.0).sqrt() + radius
}

/// How much of both its legs a single bend uses: r·tan(turn/2).
fn tangent_at(corners: &[Point], at: usize, radius: f64) -> f64 {
    let (before, after) = (corners[at] - corners[at - 1], corners[at + 1] - corners[at]);
    let lengths = before.length() * after.length();
    radius * before.cross(after).abs() / (lengths + before.dot(after)).max(1e-6 * lengths)
}

/// What a bulb or a jog over two corners uses of the legs outside them, and whether it is a bulb.
fn pair_uses(corners: &[Point], at: usize, radius: f64) -> Option<(f64, bool)> {
    let before = corners[at] - corners[at - 1];
    let across = corners[at + 1] - corners[at];
    let after = corners[at + 2] - corners[at + 1];
    if before.cross(across) * across.cross(after) > 0.0 {
        let ahead = (before.unit()? - after.unit()?).unit()?;
        let (gap, slant) = (across.cross(ahead).abs(), across.dot(ahead).abs());
        let fits = is_alike(before, -after) && slant < MOST_SLANT * gap && gap < 2.0 * radius;
        return fits.then(|| (bulb_depth(gap, radius) + slant / 2.0, true));
    }
    let ahead = before.unit()?;
    if !is_alike(before, after) {
        return None;
    }
    let along = across.dot(ahead);
    let cosine = 1.0 - across.cross(ahead).abs() / (2.0 * radius);
    let run = 2.0 * radius * (1.0 - cosine * cosine).max(0.0).sqrt();
    (cosine >= 0.0).then_some(((run - along) / 2.0, false))
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(super) fn least_radius(path: &[Segment]) -> f64 {
        path.iter()
            .filter_map(|segment| match segment {
                Segment::Arc(arc) => arc.circle().map(|circle| circle.radius),
                Segment::Line(..) => None,
            })
            .fold(f64::INFINITY, f64::min)
    }

    pub(super) fn is_smooth(path: &[Segment]) -> bool {
        path.windows(2).all(|pair| {
            let a = crate::plan::direction_at_end(pair[0]).unwrap();
            let b = crate::plan::direction_at_start(pair[1]).unwrap();
            pair[0].end().distance(pair[1].start()) < 1e-6
                && a.cross(b).abs() < 1e-4
                && a.dot(b) > 0.0
        })
    }

    pub(super) fn points(list: &[(f64, f64)]) -> Vec<Point> {
        list.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    #[test]
    fn a_square_return_is_a_half_circle() {
        let path = bend_course(&points(&[(0.0, 0.0), (50.0, 0.0), (50.0, 12.0), (0.0, 12.0)]), 6.0)
            .unwrap();
        assert!(is_smooth(&path));
        let length: f64 = path.iter().map(|segment| segment.length()).sum();
        assert!((length - (88.0 + 6.0 * PI)).abs() < 1e-6);
    }

    #[test]
    fn a_tight_return_is_a_bulb_with_the_published_depth() {
        // Row "6, 5" of the bulb table: φ 36.9°, depth 11.0 in, 6.6 in more than the straight legs.
        let path =
            bend_course(&points(&[(0.0, 0.0), (50.0, 0.0), (50.0, 6.0), (0.0, 6.0)]), 5.0).unwrap();
        assert!(is_smooth(&path));
        assert!((least_radius(&path) - 5.0).abs() < 1e-6);
        let length: f64 = path.iter().map(|segment| segment.length()).sum();
        assert!((length - 78.0 - (10.0 * 36.87_f64.to_radians() * 2.0 + 5.0 * PI)).abs() < 0.02);
    }

    #[test]
    fn a_short_jog_bends_both_ways() {
        let path = bend_course(&points(&[(0.0, 0.0), (20.0, 0.0), (20.0, 4.0), (50.0, 4.0)]), 5.0)
            .unwrap();
        assert!(is_smooth(&path));
        assert!((least_radius(&path) - 5.0).abs() < 1e-6);
    }

    #[test]
    fn splayed_lanes_take_returns_and_jogs_that_slant() {
        let mut bent = [0, 0];
        for (slant, fan) in
            (-5..=5).flat_map(|slant| [-0.05, -0.02, 0.0, 0.03].map(|fan| (slant, fan)))
        {
            for gap in [4.0, 5.5, 7.0, 9.0, 11.0, 14.0] {
                let slant = f64::from(slant) * 0.1 * gap;
                let (from, to) = (Point::new(60.0, 0.0), Point::new(60.0 + slant, gap));
                for (kind, beyond) in [(0, -60.0), (1, 60.0)] {
                    let after = to + Vector::new(beyond, beyond * fan);
                    let course = [Point::ORIGIN, from, to, after];
                    let Ok(path) = bend_course(&course, 5.0) else { continue };
                    bent[kind] += 1;
                    assert!(is_smooth(&path), "{course:?} {path:?}");
                    assert!(least_radius(&path) > 4.999, "{course:?} {path:?}");
                    assert_eq!((path[0].start(), path[path.len() - 1].end()), (course[0], after));
                }
            }
        }
        assert!(bent.iter().all(|bent| *bent > 200), "{bent:?}");
    }

    #[test]
    fn a_leg_without_room_is_given_back() {
        assert!(
            bend_course(&points(&[(0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0)]), 5.0).is_err()
        );
    }

    #[test]
    fn a_bulb_beside_a_wall_bows_to_the_other_side_only() {
        let legs = points(&[(0.0, 0.0), (50.0, 0.0), (50.0, 9.0), (0.0, 9.0)]);
        let path = bend_course_within(&legs, 5.0, &|point| point.y > -0.01).unwrap();
        assert!(is_smooth(&path));
        assert!((least_radius(&path) - 5.0).abs() < 1e-6);
        let ends: Vec<Point> = path.iter().flat_map(|segment| segment.flatten(0.01)).collect();
        assert!(ends.iter().all(|point| point.y > -0.01 && point.y < 10.02));
    }

    #[test]
    fn a_bulb_stands_no_farther_aside_than_it_must() {
        let legs = points(&[(0.0, 0.0), (50.0, 0.0), (50.0, 6.0), (0.0, 6.0)]);
        // A bulb of 5 in over a gap of 6 in bows by 2 in to either side.
        for (wall, farthest) in [(-2.1, 8.0), (-1.5, 8.5), (-1.0, 9.0), (-0.1, 10.0)] {
            let path = bend_course_within(&legs, 5.0, &|point| point.y > wall - 0.01).unwrap();
            assert!(is_smooth(&path));
            assert!((least_radius(&path) - 5.0).abs() < 1e-6);
            let all: Vec<Point> = path.iter().flat_map(|segment| segment.flatten(0.01)).collect();
            let (low, high) = all.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), point| {
                (low.min(point.y), high.max(point.y))
            });
            assert!(low > wall - 0.02, "{wall}: {low}");
            assert!((high - farthest).abs() < 0.02, "{wall}: {high}");
        }
    }

    #[test]
    fn strain_finds_short_legs_where_bending_fails() {
        let mut spare = Vec::new();
        // Two returns of a comb whose teeth are `tooth` long.
        let comb = |tooth: f64| {
            points(&[
                (-40.0, 0.0),
                (0.0, 0.0),
                (0.0, tooth),
                (6.0, tooth),
                (6.0, 0.0),
                (12.0, 0.0),
                (12.0, tooth),
                (60.0, tooth),
            ])
        };
        for tooth in [6.0, 12.0, 18.0, 21.0, 23.0, 30.0] {
            let found = strain(&comb(tooth), 5.0, &mut spare);
            assert_eq!(found.corners, 6);
            let bent = bend_course(&comb(tooth), 5.0);
            assert_eq!(found.short_legs == 0, bent.is_ok(), "{tooth}: {found:?}");
        }
    }
}
