//! Runs side by side that move over together.
//!
//! Question: how is a strip served that is too wide for the run beside it to move into, and too
//! narrow for tube of its own? That run alone would leave as much bare behind it. Method: the runs
//! behind it move along, each as far as the one before or a little less, so that what is bare is
//! shared out among the gaps between them, where it matters least.

#![expect(
    clippy::indexing_slicing,
    reason = "courses, legs and corners are numbered by this file's own loops over the same vectors"
)]

use super::gain::{can_be_bent, gain_of, rounded_leg};
use super::{
    Around, Edit, Floor, LEAST_GAIN, Leg, Lengths, Near, bulb_across, is_clear, legs_within,
};
use crate::geometry::nearest::{distance_between_lines, length_along, meeting_of_lines};
use crate::geometry::{Bounds, Point, Vector};
use crate::tube::draw_out::Legs;
use std::collections::{BTreeMap, BTreeSet};

/// How far about a pocket runs are looked at, and how far about it those that move may lie: what is
/// beside them is looked at too. Spacings.
const ABOUT: f64 = 6.0;
const MOVED_ABOUT: f64 = 3.5;
/// A run farther from the pocket than this lies behind another one, spacings.
const BESIDE: f64 = 1.6;
/// A run this far behind another is the next one, spacings.
const BEHIND: (f64, f64) = (0.6, 1.7);
/// How far runs side by side overlap at least, spacings.
const OVERLAP: f64 = 2.0;
/// So many rows move at most.
const MOST_ROWS: usize = 4;
/// Farther by so much at each try, and so often, spacings.
const STEP: f64 = 0.15;
const MOST_STEPS: usize = 10;
/// A corner moves at most so many times as far as its runs.
const MOST_SLID: f64 = 2.5;
/// Runs are parallel whose directions have this cosine.
const PARALLEL: f64 = 0.995;
/// So many tries are looked at, and so many with room are measured.
const MOST_TRIED: usize = 400;
const MOST_MEASURED: usize = 24;

/// Courses with other corners, as many as before.
pub struct Shift {
    /// How much tube serves that did not, square spacings, beyond what it must.
    pub gain: f64,
    /// Each course that changes: its number, its corners, and how much longer it is.
    pub courses: Vec<(usize, Vec<Point>, f64)>,
    /// The legs that moved, as they lie now.
    pub moved: Vec<[Point; 2]>,
}

impl Shift {
    pub fn edit(self, courses: &[Legs]) -> Edit {
        let legs = |(course, corners, longer): (usize, Vec<Point>, f64)| {
            (course, Legs { corners, leaders: courses[course].leaders }, longer)
        };
        Edit { courses: self.courses.into_iter().map(legs).collect(), legs: self.moved }
    }
}

/// A leg: its course and its number there.
type At = (usize, usize);

/// How far each leg moves.
type Moves = BTreeMap<At, Vector>;

/// The best way in which runs beside a pocket move over to it together, if one is worth it.
pub fn best_shift(around: Around) -> Option<Shift> {
    let Around { courses, pocket, floor, lengths, is_held } = around;
    let spacing = floor.spacing;
    let bounds = Bounds::of(pocket.iter().map(|(place, _)| *place))?;
    let near = legs_within(courses, bounds.grown(ABOUT * spacing), floor);
    let about = bounds.grown(MOVED_ABOUT * spacing);
    let runs: Vec<&Near> = near.iter().filter(|run| is_run(courses, run, about)).collect();
    let mut best: Option<Shift> = None;
    let (mut tried, mut measured) = (0, 0);
    for &run in &runs {
        let Some(along) = (run.ends.1 - run.ends.0).unit() else { continue };
        for out in [along.left(), along.left() * -1.0] {
            if !faces(run.ends, (along, out), pocket, spacing) {
                continue;
            }
            let rows = rows_behind(courses, (run, out), &runs, spacing);
            for moves in moves_of(&rows, out * spacing) {
                if measured == MOST_MEASURED || tried == MOST_TRIED {
                    return best;
                }
                tried += 1;
                let Some(shift) = shifted(courses, &moves, &near, (floor, lengths), is_held) else {
                    continue;
                };
                measured += 1;
                if shift.gain > best.as_ref().map_or(0.0, |best| best.gain) {
                    best = Some(shift);
                }
            }
        }
    }
    best
}

/// The ways in which two rows or more move over: step by step farther, all as far as the first or
/// each less far than the one before it. `spacing` is a spacing outward.
fn moves_of(rows: &[Vec<At>], spacing: Vector) -> impl Iterator<Item = Moves> + '_ {
    let steps = (1..=MOST_STEPS).map(|step| step as f64 * STEP);
    let ways = steps.flat_map(|far| [(far, false), (far, true)]);
    let counts = 2..=rows.len();
    counts.flat_map(move |count| ways.clone().map(move |way| (count, way))).map(
        move |(count, (far, is_shared_out))| {
            let share = |row: usize| if is_shared_out { row as f64 / count as f64 } else { 0.0 };
            let by = |row: usize| spacing * (far * (1.0 - share(row)));
            let moving = rows.iter().take(count).enumerate();
            moving.flat_map(|(row, legs)| legs.iter().map(move |&leg| (leg, by(row)))).collect()
        },
    )
}

/// A leg in a box with legs before and after it, not the widest part of a bulb.
fn is_run(courses: &[Legs], near: &Near, about: Bounds) -> bool {
    let corners = &courses[near.course].corners;
    let (from, to) = near.ends;
    let is_leg = corners[near.leg] == from && corners[near.leg + 1] == to;
    let is_within = about.contains(from) && about.contains(to);
    is_leg && is_within && near.leg > 0 && near.leg + 2 < corners.len()
}

/// Whether a part of the pocket lies right beside a run, on one side of it.
fn faces(ends: Leg, (along, out): (Vector, Vector), pocket: &[(Point, f64)], spacing: f64) -> bool {
    let length = ends.0.distance(ends.1);
    length > OVERLAP * spacing
        && pocket.iter().any(|&(place, _)| {
            let step = place - ends.0;
            let (ahead, off) = (step.dot(along), step.dot(out));
            (0.0..=length).contains(&ahead) && off > 0.4 * spacing && off < BESIDE * spacing
        })
}

/// A run and the runs behind it, row by row.
fn rows_behind(
    courses: &[Legs],
    (run, out): (&Near, Vector),
    runs: &[&Near],
    spacing: f64,
) -> Vec<Vec<At>> {
    let mut rows = vec![vec![(run.course, run.leg)]];
    let ends = |at: At| (courses[at.0].corners[at.1], courses[at.0].corners[at.1 + 1]);
    while rows.len() < MOST_ROWS {
        let last = &rows[rows.len() - 1];
        let is_next =
            |other: &&&Near| last.iter().any(|&at| is_behind(other.ends, ends(at), out, spacing));
        let next: Vec<At> =
            runs.iter().filter(is_next).map(|other| (other.course, other.leg)).collect();
        if next.is_empty() {
            break;
        }
        rows.push(next);
    }
    rows
}

/// Whether a run lies behind another: parallel to it, a spacing or so off it, and beside it.
fn is_behind(run: Leg, before: Leg, out: Vector, spacing: f64) -> bool {
    let Some((a, b)) = (run.1 - run.0).unit().zip((before.1 - before.0).unit()) else {
        return false;
    };
    let off = (before.0 - run.0).dot(out) / spacing;
    if a.dot(b).abs() < PARALLEL || off < BEHIND.0 || off > BEHIND.1 {
        return false;
    }
    let span = |leg: Leg| {
        let (from, to) = ((leg.0 - before.0).dot(b), (leg.1 - before.0).dot(b));
        (from.min(to), from.max(to))
    };
    let (own, other) = (span(run), span(before));
    own.1.min(other.1) - own.0.max(other.0) > OVERLAP * spacing
}

/// Courses with these legs moved, where they have room; nothing where that serves no more.
fn shifted(
    courses: &[Legs],
    moves: &Moves,
    near: &[Near],
    (floor, lengths): (Floor, &Lengths),
    is_held: &dyn Fn(Point, Point) -> bool,
) -> Option<Shift> {
    let touched: BTreeSet<usize> = moves.keys().map(|&(course, _)| course).collect();
    let changed: Option<BTreeMap<usize, Vec<Point>>> = touched
        .into_iter()
        .map(|course| Some((course, moved_corners(&courses[course].corners, course, moves)?)))
        .collect();
    let mut changed = changed?;
    let mut all = Vec::new();
    let mut spare = lengths.spare;
    for (&course, corners) in &changed {
        let old = &courses[course].corners;
        let longer = length_along(corners) - length_along(old);
        spare -= longer;
        if spare < 0.0
            || !lengths.may_grow(course, longer)
            || !can_be_bent(old, corners, floor.radius)
        {
            return None;
        }
        all.push((course, longer));
    }
    // Legs whose ends are not where they were.
    let anew: Vec<(At, Leg, Leg)> = changed
        .iter()
        .flat_map(|(&course, corners)| {
            let old = &courses[course].corners;
            (0..old.len() - 1).map(move |leg| {
                ((course, leg), (old[leg], old[leg + 1]), (corners[leg], corners[leg + 1]))
            })
        })
        .filter(|(_, old, new)| old != new)
        .collect();
    let has_room = anew.iter().all(|&(at, old, new)| {
        !is_held(new.0, new.1)
            && is_clear(new, old, floor)
            && near.iter().all(|other| keeps_off((at, old, new), other, (courses, &changed), floor))
    });
    if !has_room {
        return None;
    }
    let gain = gain_near(courses, &changed, &anew, near, floor) - LEAST_GAIN;
    let courses = all.into_iter().filter_map(|(course, longer)| {
        changed.remove(&course).map(|corners| (course, corners, longer))
    });
    let moved = anew.iter().map(|&(_, _, new)| [new.0, new.1]).collect();
    Some(Shift { gain, courses: courses.collect(), moved })
}

/// The corners of a course, each where the lines of its two legs meet that moved; nothing where that
/// is far off, or a leg is turned round.
fn moved_corners(corners: &[Point], course: usize, moves: &Moves) -> Option<Vec<Point>> {
    let by = |leg: usize| moves.get(&(course, leg)).copied().unwrap_or_default();
    let mut new = corners.to_vec();
    for at in 1..corners.len() - 1 {
        let (before, after) = (by(at - 1), by(at));
        let most = before.length().max(after.length());
        if most == 0.0 {
            continue;
        }
        let line = |from: Point, to: Point, by: Vector| (from + by, to + by);
        new[at] = meeting_of_lines(
            line(corners[at - 1], corners[at], before),
            line(corners[at], corners[at + 1], after),
        )?;
        if new[at].distance(corners[at]) > MOST_SLID * most {
            return None;
        }
    }
    let is_kept = |(old, new): (&[Point], &[Point])| (old[1] - old[0]).dot(new[1] - new[0]) >= 0.0;
    corners.windows(2).zip(new.windows(2)).all(is_kept).then_some(new)
}

/// Whether a leg that moved keeps off another as far as it must, or as it did; and their bulbs.
fn keeps_off(
    ((course, leg), old, new): (At, Leg, Leg),
    other: &Near,
    (courses, changed): (&[Legs], &BTreeMap<usize, Vec<Point>>),
    floor: Floor,
) -> bool {
    if other.course == course && other.leg.abs_diff(leg) <= 1 {
        return true;
    }
    let old_corners = &courses[other.course].corners;
    let corners = changed.get(&other.course).unwrap_or(old_corners);
    let is_leg = old_corners[other.leg] == other.ends.0;
    let there = if is_leg {
        Some((corners[other.leg], corners[other.leg + 1]))
    } else {
        bulb_across(corners, other.leg, floor.radius)
    };
    let has_room = |old: Leg, new: Leg, least: f64| {
        let Some(there) = there else { return true };
        let distance = distance_between_lines(new, there);
        distance >= least || distance >= distance_between_lines(old, other.ends) - 0.01
    };
    let own = changed.get(&course).and_then(|corners| bulb_across(corners, leg, floor.radius));
    let own_before = bulb_across(&courses[course].corners, leg, floor.radius);
    let bulb_has_room = own.is_none_or(|bulb| {
        (own_before == Some(bulb) || floor.tube.is_clear(bulb.0, bulb.1))
            && has_room(own_before.unwrap_or(old), bulb, floor.least_at_bends)
    });
    bulb_has_room && has_room(old, new, other.least)
}

/// What floor is served that was not, less what is no longer, square spacings.
fn gain_near(
    courses: &[Legs],
    changed: &BTreeMap<usize, Vec<Point>>,
    anew: &[(At, Leg, Leg)],
    near: &[Near],
    floor: Floor,
) -> f64 {
    let ends = anew.iter().flat_map(|(_, old, new)| [old.0, old.1, new.0, new.1]);
    let Some(about) = Bounds::of(ends) else { return 0.0 };
    let (mut still, mut old, mut new) = (Vec::new(), Vec::new(), Vec::new());
    for other in near {
        let corners = &courses[other.course].corners;
        if corners[other.leg] != other.ends.0 {
            continue;
        }
        let is_touched = anew
            .iter()
            .any(|&((course, leg), ..)| course == other.course && other.leg.abs_diff(leg) <= 1);
        match changed.get(&other.course).filter(|_| is_touched) {
            Some(corners_now) => {
                rounded_leg(corners, other.leg, floor.radius, &mut old);
                rounded_leg(corners_now, other.leg, floor.radius, &mut new);
            }
            None => rounded_leg(corners, other.leg, floor.radius, &mut still),
        }
    }
    gain_of(about, &still, (&old, &new), floor)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::tube::field::Field;
    use crate::tube::rules::Rules;

    const SPACING: f64 = 12.0;

    /// Runs nested in each other, the outermost so far from the wall below, and how far each goes down
    /// with what is best, were they not held.
    fn moved(lowest: f64, is_held: bool) -> Option<(Vec<f64>, f64)> {
        let within = |margin: f64| {
            let (low, high) = (Point::new(margin, margin), Point::new(240.0 - margin, 140.0));
            Field::new(&[Polygon::rectangle(low, high)]).unwrap()
        };
        let (tube, heated) = (within(6.0), within(0.0));
        let floor = Floor::of(&tube, &heated, &Rules::half_inch(SPACING));
        let nested = |number: u32| {
            let aside = 8.0 + SPACING * f64::from(number);
            let y = lowest + SPACING * f64::from(number);
            let corners = [(aside, 130.0), (aside, y), (240.0 - aside, y), (240.0 - aside, 130.0)];
            Legs { corners: corners.map(|(x, y)| Point::new(x, y)).to_vec(), leaders: (1, 1) }
        };
        let courses: Vec<Legs> = (0..4).map(nested).collect();
        let lengths = Lengths { each: vec![400.0; 4], between: (200.0, 600.0), spare: 400.0 };
        let columns = (0..70).map(|column| 16.0 + 3.0 * f64::from(column));
        let pocket: Vec<(Point, f64)> = columns
            .flat_map(|x| [1.5, 4.5, 7.5].map(|y| (Point::new(x, y), 1.0 / 16.0)))
            .filter(|(place, _)| place.y < lowest - 0.5 * SPACING)
            .collect();
        let is_held = &|_: Point, _: Point| is_held;
        let around =
            Around { courses: &courses, pocket: &pocket, floor, lengths: &lengths, is_held };
        let shift = best_shift(around)?;
        let mut down = vec![0.0; 4];
        for (course, corners, longer) in &shift.courses {
            down[*course] = courses[*course].corners[1].y - corners[1].y;
            assert!((longer - 2.0 * down[*course]).abs() < 1e-9);
        }
        Some((down, shift.gain))
    }

    #[test]
    fn runs_side_by_side_share_out_a_strip_that_is_bare() {
        // Eleven inches of floor too much: two gaps of half as much more still serve all of it.
        let (down, gain) = moved(17.0, false).unwrap();
        assert!(gain > 1.0 && down[0] >= 6.0 && down[1] > 1.0, "{down:?} {gain}");
        assert!(down.is_sorted_by(|before, after| before >= after), "{down:?}");
        for pair in down.windows(2) {
            assert!(pair[0] - pair[1] <= 0.6 * SPACING, "{down:?}");
        }
    }

    #[test]
    fn runs_stay_where_they_are_held_or_nothing_is_bare() {
        assert!(moved(17.0, true).is_none());
        assert!(moved(6.5, false).is_none());
    }
}
