//! The finished circuits of a zone, with the floor filled that they leave bare.

use super::bends::{bend_bowed_course_within, bend_course_within, lies_bowed};
use super::check::{Breach, Course, breaches};
use super::clear_area::ClearArea;
use super::cover::Samples;
use super::draw_out::Legs;
use super::field::Field;
use super::pocket::{Floor, Lengths, Pocket, fill_pockets};
use super::raster::whole;
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
/// Straights are looked at in pieces no longer than this where one of them strays, inches.
const PIECE_IN: f64 = 0.5;
/// Two places so near to each other where something is wrong are the same one, inches.
const SAME_PLACE_IN: f64 = 1.0;
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
    let floor = Floor::of(&tube, &heated, rules);
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
    let found = |courses: Vec<Course>| breaches(&courses, tube, rules.demands());
    let mut bad = found(circuits.iter().map(Found::course).collect());
    if bad.is_empty() {
        bad = found(halved(circuits));
        // What was so already is not the fault of these.
        let known = if bad.is_empty() { Vec::new() } else { found(halved(before)) };
        bad.retain(|breach| known.iter().all(|old| old.at().distance(breach.at()) > SAME_PLACE_IN));
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
        .flat_map(|(from, to)| in_pieces(from, to))
        .filter(|&(from, to)| !open.is_clear(from, to))
        .map(|(from, to)| from.middle(to))
        .filter(|&place| !was_there(place))
        .collect()
}

/// A straight in pieces: a slant may cross the old path in its middle, and stray off beside it.
fn in_pieces(from: Point, to: Point) -> impl Iterator<Item = (Point, Point)> {
    let count = whole(from.distance(to) / PIECE_IN) + 1;
    let at = move |piece: usize| from.toward(to, piece as f64 / count as f64);
    (0..count).map(move |piece| (at(piece), at(piece + 1)))
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

/// Circuits with as much leader at one end as at the other, as those read them who know but the sum.
fn halved(circuits: &[Found]) -> Vec<Course<'_>> {
    let all = circuits.iter().map(|found| {
        let each = (found.leaders.0 + found.leaders.1) / 2.0;
        Course { path: &found.path, leader_in: each, leader_out: each }
    });
    all.collect()
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
    // As its bulbs were bent, so that those which are not changed stay where they are.
    let is_narrow = |point: Point| layout.narrow.as_ref().is_some_and(|rows| rows.contains(point));
    let is_open = |point: Point| tube.contains(point) && !is_narrow(point);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::bends::bend_course;
    use std::rc::Rc;

    const RULES: Rules = Rules::half_inch(9.0);

    fn places(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    fn found(path: Vec<Segment>, corners: Vec<Point>, leaders: (f64, f64)) -> Found {
        let length = path.iter().map(|segment| segment.length()).sum();
        Found { path, length, leaders, legs: Legs { corners, leaders: (1, 1) } }
    }

    #[test]
    fn bulbs_that_bow_away_from_a_narrow_row_do_so_when_pockets_are_filled() {
        let floor = vec![Polygon::rectangle(Point::ORIGIN, Point::new(240.0, 130.0))];
        let area = ClearArea::of_empty(floor);
        // A bulb so near over another run that it must bow to its other side.
        let over =
            places(&[(20.0, 10.0), (20.0, 60.0), (110.0, 60.0), (110.0, 69.0), (29.0, 69.0)]);
        let over = [over, places(&[(29.0, 120.0)])].concat();
        let under = places(&[(38.0, 10.0), (38.0, 52.4), (210.0, 52.4), (210.0, 10.0)]);
        let row = Polygon::rectangle(Point::new(60.0, 54.0), Point::new(120.0, 59.9));
        let narrow = Field::new(&[row]).unwrap();
        let is_open = |place: Point| !narrow.contains(place);
        let bent = bend_course_within(&over, RULES.bend(), &is_open).unwrap();
        let circuits = vec![
            found(bent, over, (5.0, 5.0)),
            found(bend_course(&under, RULES.bend()).unwrap(), under, (5.0, 5.0)),
        ];
        let layout = Layout { circuits, narrow: Some(Rc::new(narrow)), ..Layout::default() };
        let tube = Field::new(&area.tube).unwrap();
        let check = |layout: &Layout| {
            let courses: Vec<Course> = layout.circuits.iter().map(Found::course).collect();
            breaches(&courses, &tube, RULES.demands())
        };
        assert!(check(&layout).is_empty(), "{:?}", check(&layout));
        let full = filled(layout.clone(), &area, &RULES);
        assert!(check(&full).is_empty(), "{:?}", check(&full));
        let all = |layout: &Layout| layout.circuits.iter().map(|found| found.length).sum::<f64>();
        assert!(all(&full) > all(&layout) + 1.0, "{} {}", all(&full), all(&layout));
    }

    #[test]
    fn a_leader_that_crosses_its_old_path_within_a_slant_may_not_stray_beside_it() {
        let (west, east) = (Point::new(0.0, 0.0), Point::new(100.0, 100.0));
        let jog = |from: f64, to: f64| {
            let corners = places(&[(0.0, 20.0), (from, 20.0), (to, 30.0), (100.0, 30.0)]);
            let path = corners.windows(2).map(|leg| Segment::Line(leg[0], leg[1])).collect();
            found(path, corners, (100.0, 0.0))
        };
        let pipe = Polygon::rectangle(Point::new(35.0, 23.0), Point::new(45.0, 40.0));
        let floor = crate::geometry::clip::difference(&[Polygon::rectangle(west, east)], &[pipe]);
        let open = Field::new(&floor).unwrap();
        // Both jogs have their middle at the same place; that of the longer one is drawn into the pipe.
        let (short, longer) = (jog(46.0, 54.0), jog(30.0, 70.0));
        assert!(stray(&short, &short, &open).is_empty());
        let strays = stray(&short, &longer, &open);
        assert!(!strays.is_empty() && strays.iter().all(|at| (34.0..=46.0).contains(&at.x)));
    }

    #[test]
    fn what_was_read_wrongly_before_is_not_the_fault_of_a_change() {
        let floor = vec![Polygon::rectangle(Point::ORIGIN, Point::new(240.0, 130.0))];
        let area = ClearArea::of_empty(floor);
        let (tube, open) = (Field::new(&area.tube).unwrap(), Field::new(&area.open).unwrap());
        // Leaders side by side at their beginnings alone: as halves of their sum they are too short.
        let pair = |far: f64| {
            let west = places(&[(20.0, 10.0), (20.0, 80.0), (10.0, 80.0), (10.0, 110.0)]);
            let east = places(&[(23.0, 10.0), (23.0, 80.0), (120.0, 80.0), (120.0, far)]);
            [west, east].map(|corners| {
                found(bend_course(&corners, RULES.bend()).unwrap(), corners, (80.0, 0.0))
            })
        };
        let before = pair(110.0);
        assert!(unsound(&before, &before, (&tube, &open), &RULES).is_empty());
        let off_the_floor = pair(140.0);
        assert!(!unsound(&before, &off_the_floor, (&tube, &open), &RULES).is_empty());
        assert!(!breaches(&halved(&before), &tube, RULES.demands()).is_empty());
    }
}
