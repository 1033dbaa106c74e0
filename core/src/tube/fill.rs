//! The finished circuits of a zone, with the floor filled that they leave bare.

use super::bends::{bend_bowed_course_within, bend_course_within, lies_bowed};
use super::check::{Breach, Course, breaches};
use super::clear_area::ClearArea;
use super::cover::Samples;
use super::draw_out::Legs;
use super::field::Field;
use super::pocket::{Floor, Lengths, Pocket, fill_pockets};
use super::route::{Found, Layout, imbalance, turning};
use super::rules::Rules;
use crate::geometry::nearest::distance_to_line;
use crate::geometry::{Point, Polygon, Segment};

/// Bare floor is looked for this often, in parts of a spacing.
const COARSE: f64 = 4.0;
/// How far from tube floor may be found, spacings: all beyond is alike.
const REACH: f64 = 0.8;
/// So much uneven circuits may become, as a share of their mean.
const EVEN: f64 = 0.08;
/// The most tube that a floor is given, against what its area asks for.
const FULLEST: f64 = 1.07;
/// How often pockets are filled again without changes near places where that broke something.
const MOST_FILLINGS: usize = 4;
/// How far about such a place nothing is changed, spacings.
const HELD_ABOUT: f64 = 1.8;
/// How far the chords of a bend may stand off it, inches.
const CHORD_IN: f64 = 0.02;
/// A course and its path begin and end at the same ports, inches.
const SAME_PORT_IN: f64 = 1e-3;

/// The layout with pockets of bare floor filled where that breaks nothing; the same where none is
/// found.
#[must_use]
pub fn filled(layout: Layout, area: &ClearArea, rules: &Rules) -> Layout {
    fill(&layout, area, rules).unwrap_or(layout)
}

fn fill(layout: &Layout, area: &ClearArea, rules: &Rules) -> Option<Layout> {
    let is_known = |found: &Found| {
        let (corners, path) = (&found.legs.corners, &found.path);
        let ends = |a: Option<Point>, b: Option<Point>| {
            a.zip(b).is_some_and(|(a, b)| a.distance(b) < SAME_PORT_IN)
        };
        ends(corners.first().copied(), path.first().map(|first| first.start()))
            && ends(corners.last().copied(), path.last().map(|last| last.end()))
    };
    if !layout.breaches.is_empty() || !layout.circuits.iter().all(is_known) {
        return None;
    }
    let spacing = rules.tube_spacing();
    let (tube, heated) = (Field::new(&area.tube)?, Field::new(&area.heated)?);
    let open = Field::new(&area.open)?;
    let floor = Floor {
        tube: &tube,
        heated: &heated,
        least: rules.demands().least + 0.05,
        least_at_bends: rules.demands().least_at_bends[0] + 0.05,
        spacing,
        radius: rules.bend(),
    };
    let pockets = pockets_of(layout, area, spacing)?;
    let mut held: Vec<Point> = Vec::new();
    for _ in 0..MOST_FILLINGS {
        let mut courses: Vec<Legs> =
            layout.circuits.iter().map(|found| found.legs.clone()).collect();
        let mut lengths = lengths_of(layout, area, rules);
        let is_held = |from: Point, to: Point| {
            held.iter().any(|&place| distance_to_line(place, from, to) < HELD_ABOUT * spacing)
        };
        if fill_pockets(&mut courses, pockets.clone(), floor, &mut lengths, &is_held) == 0 {
            return None;
        }
        match bent(layout, courses, &tube, rules) {
            Ok(circuits) => {
                let bad = unsound(&layout.circuits, &circuits, (&tube, &open), rules);
                if bad.is_empty() {
                    return Some(with_circuits(layout, circuits));
                }
                hold(&mut held, bad, spacing);
            }
            Err(bad) => hold(&mut held, bad, spacing),
        }
    }
    None
}

/// Where circuits in place of others could not be laid.
pub fn unsound(
    before: &[Found],
    circuits: &[Found],
    (tube, open): (&Field, &Field),
    rules: &Rules,
) -> Vec<Point> {
    let courses: Vec<Course> = circuits.iter().map(Found::course).collect();
    let mut bad = breaches(&courses, tube, rules.demands());
    if bad.is_empty() {
        bad = breaches(&halved(courses), tube, rules.demands());
    }
    let strays = before.iter().zip(circuits).flat_map(|(old, new)| stray(old, new, open));
    bad.iter().map(Breach::at).chain(strays).collect()
}

/// Where a circuit that was changed comes too near to what stands in the floor and did not before.
/// The check lets leaders do so, which may have to come from beyond the floor.
fn stray(old: &Found, new: &Found, open: &Field) -> Vec<Point> {
    if old.path == new.path {
        return Vec::new();
    }
    let before = chords(&old.path);
    let was_there = |place: Point| {
        before.iter().any(|&(from, to)| distance_to_line(place, from, to) < 2.0 * CHORD_IN)
    };
    chords(&new.path)
        .into_iter()
        .filter(|&(from, to)| !open.is_clear(from, to))
        .map(|(from, to)| from.middle(to))
        .filter(|&place| !was_there(place))
        .collect()
}

/// A path as straight lines.
fn chords(path: &[Segment]) -> Vec<(Point, Point)> {
    let mut found = Vec::new();
    for leg in path {
        let mut from = leg.start();
        for to in leg.flatten(CHORD_IN) {
            found.push((from, to));
            from = to;
        }
    }
    found
}

/// The same with as much leader at one end as at the other, as those read it who know but the sum.
fn halved(mut courses: Vec<Course>) -> Vec<Course> {
    for course in &mut courses {
        let each = (course.leader_in + course.leader_out) / 2.0;
        (course.leader_in, course.leader_out) = (each, each);
    }
    courses
}

/// Takes places in where nothing is to be changed, those apart only.
fn hold(held: &mut Vec<Point>, places: impl IntoIterator<Item = Point>, spacing: f64) {
    for place in places {
        if held.iter().all(|other| other.distance(place) > 0.25 * spacing) {
            held.push(place);
        }
    }
}

fn pockets_of(layout: &Layout, area: &ClearArea, spacing: f64) -> Option<Vec<Pocket>> {
    let step = spacing / COARSE;
    let mut samples = Samples::new(&area.heated, step, REACH * spacing)?;
    for found in &layout.circuits {
        samples.lay(&found.path);
    }
    let each = 1.0 / (COARSE * COARSE);
    let worth = |distance: f64| if distance > 0.75 * spacing { 2.0 * each } else { each };
    let pockets = samples.pockets(spacing).into_iter();
    Some(
        pockets
            .map(|pocket| pocket.into_iter().map(|(at, far)| (at, worth(far))).collect())
            .collect(),
    )
}

fn lengths_of(layout: &Layout, area: &ClearArea, rules: &Rules) -> Lengths {
    let each: Vec<f64> = layout.circuits.iter().map(|found| found.length).collect();
    let all: f64 = each.iter().sum();
    let mean = all / each.len().max(1) as f64;
    let least = each.iter().copied().fold(f64::INFINITY, f64::min);
    let most = each.iter().copied().fold(0.0, f64::max);
    let heated: f64 = area.heated.iter().map(Polygon::area).sum();
    let longest = most.max(least + EVEN * mean).min(0.998 * rules.limit);
    let spare = FULLEST * (heated - area.served).max(0.0) / rules.tube_spacing() - all;
    Lengths { each, between: (least, longest), spare }
}

/// The courses bent; the places where that cannot be done.
fn bent(
    layout: &Layout,
    courses: Vec<Legs>,
    tube: &Field,
    rules: &Rules,
) -> Result<Vec<Found>, Vec<Point>> {
    let is_open = |point: Point| tube.contains(point);
    let (mut circuits, mut bad) = (Vec::with_capacity(courses.len()), Vec::new());
    for (old, legs) in layout.circuits.iter().zip(courses) {
        if old.legs == legs {
            circuits.push(old.clone());
            continue;
        }
        let bent = if lies_bowed(&old.path, rules.bend()) {
            bend_bowed_course_within(&legs.corners, rules.bend(), &is_open)
        } else {
            bend_course_within(&legs.corners, rules.bend(), &is_open)
        };
        match bent {
            Ok(path) => {
                let length: f64 = path.iter().map(|segment| segment.length()).sum();
                if length > rules.limit {
                    circuits.push(old.clone());
                } else {
                    circuits.push(Found { path, length, leaders: leaders(old, &legs), legs });
                }
            }
            Err(at) => bad.push(at),
        }
    }
    if bad.is_empty() { Ok(circuits) } else { Err(bad) }
}

/// How long the leaders of a circuit are with other legs, inches.
fn leaders(old: &Found, legs: &Legs) -> (f64, f64) {
    let (before, after) = (old.legs.leader_lengths(), legs.leader_lengths());
    (old.leaders.0 + after.0 - before.0, old.leaders.1 + after.1 - before.1)
}

/// The layout with other circuits in place of its own.
pub fn with_circuits(layout: &Layout, circuits: Vec<Found>) -> Layout {
    let uneven = |circuits: &[Found]| {
        imbalance(&circuits.iter().map(|found| found.length).collect::<Vec<f64>>())
    };
    let more = uneven(&circuits) - uneven(&layout.circuits);
    Layout {
        imbalance: (layout.imbalance + more).max(0.0),
        bends: circuits.iter().map(|found| turning(&found.path)).sum(),
        circuits,
        ..layout.clone()
    }
}
