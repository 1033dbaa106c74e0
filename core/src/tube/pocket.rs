//! Bare floor filled from the runs beside it.
//!
//! A pipe takes a whole cell of the lattice away, a slanted wall or the lane that was dropped to
//! keep circuits even takes more, and floor is left there that no tube serves. An installer pushes
//! a run over, or lays a tooth into it. So does this, once, on the finished circuits: each pocket
//! of bare floor is taken in turn, the largest first, and every run beside it is tried in a few
//! ways: moved as a whole, over a stretch, from a place to its end, or with a tooth. What serves
//! most floor beyond what it lays bare elsewhere is kept, where it is worth its bends; where no run
//! by itself helps, runs side by side move over together, or steps of one are laid straight; and last
//! of all a run goes aslant. Leaders are runs like others here: where they fan out from the manifold,
//! the wall behind them is bare.

#![expect(
    clippy::indexing_slicing,
    reason = "corners, courses and pieces are numbered by this file's own loops over the same vectors"
)]

mod gain;
mod rows;
mod stairs;
mod tries;

use self::gain::Stretch;
use self::rows::best_shift;
use self::stairs::best_straight;
use self::tries::{Try, Ways, moved_over, tilted};
use super::draw_out::Legs;
use super::field::Field;
use super::rules::Rules;
use crate::geometry::nearest::{distance_between_lines, distance_to_line};
use crate::geometry::{Bounds, Point};

/// Pockets of less weight than this are left, square spacings.
const LEAST_POCKET: f64 = 0.6;
/// What a change must serve, and more for each right angle that it adds, square spacings.
const LEAST_GAIN: f64 = 0.2;
const GAIN_FOR_A_BEND: f64 = 0.1;
/// How many pockets of a zone are looked at, so that a poor layout costs no more than others.
const MOST_POCKETS: usize = 200;
/// How often a pocket is changed at most.
const MOST_CHANGES: usize = 4;
/// How many of the tries that have room are measured, and while none of them serves anything.
const MOST_MEASURED: usize = 60;
const MOST_IN_VAIN: usize = 40;
/// How many tries are looked at.
const MOST_TRIED: usize = 500;
/// How many places are held against tries in all: a floor that no leader reaches is one pocket of
/// very many.
const MOST_LOOKED_AT: u64 = 8_000_000;
/// No try with a run serves floor farther from it, spacings.
const SERVED_FROM: f64 = 5.5;
/// How much farther runs are kept apart than the check asks, inches.
const STRICTER_IN: f64 = 0.05;
/// How far about a pocket runs are looked at, spacings.
const ABOUT: f64 = 4.0;

/// Where tube may lie, and what it should serve.
#[derive(Clone, Copy, Debug)]
pub struct Floor<'a> {
    /// Where tube may lie.
    pub tube: &'a Field,
    /// What should be heated.
    pub heated: &'a Field,
    /// The least distance between two runs, inches.
    pub least: f64,
    /// The least distance of a run from a bend.
    pub least_at_bends: f64,
    /// Distance from run to run, inches.
    pub spacing: f64,
    /// Bend radius, inches.
    pub radius: f64,
    /// Bulbs come nearer to runs than runs may to each other.
    pub is_crowded: bool,
}

impl<'a> Floor<'a> {
    /// Floor where tube may lie and what should be heated, with changes a little stricter than the check
    /// that comes after them.
    pub fn of(tube: &'a Field, heated: &'a Field, rules: &Rules) -> Self {
        let demands = rules.demands();
        Self {
            tube,
            heated,
            least: demands.least + STRICTER_IN,
            least_at_bends: demands.least_at_bends[0] + STRICTER_IN,
            spacing: rules.tube_spacing(),
            radius: rules.bend(),
            is_crowded: rules.is_crowded(),
        }
    }
}

/// How long circuits are and may become.
#[derive(Clone, Debug)]
pub struct Lengths {
    /// Each of them, inches.
    pub each: Vec<f64>,
    /// The shortest and the longest that one may become.
    pub between: (f64, f64),
    /// How much tube may be added in all.
    pub spare: f64,
}

impl Lengths {
    /// Whether a circuit stays within what it may become, so much longer or shorter.
    fn may_grow(&self, course: usize, longer: f64) -> bool {
        let length = self.each[course] + longer;
        length <= self.between.1 && (longer >= 0.0 || length >= self.between.0)
    }

    /// A circuit became so much longer.
    fn grow(&mut self, course: usize, longer: f64) {
        self.each[course] += longer;
        self.spare -= longer;
    }
}

/// A pocket of bare floor: places evenly spread over it, each with what serving it is worth,
/// square spacings.
pub type Pocket = Vec<(Point, f64)>;

/// Fills pockets of bare floor, the largest first; how many changes that took.
pub fn fill_pockets(
    courses: &mut [Legs],
    mut pockets: Vec<Pocket>,
    floor: Floor,
    lengths: &mut Lengths,
    is_held: &dyn Fn(Point, Point) -> bool,
) -> usize {
    pockets.retain(|pocket| weight(pocket) >= LEAST_POCKET);
    pockets.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    pockets.truncate(MOST_POCKETS);
    let (mut changes, mut left) = (0, MOST_LOOKED_AT);
    for mut pocket in pockets {
        for _ in 0..MOST_CHANGES {
            if weight(&pocket) < LEAST_POCKET {
                break;
            }
            let around = Around { courses, pocket: &pocket, floor, lengths, is_held };
            let edit = best_change(around, moved_over, &mut left)
                .map(|change| change.edit(courses))
                .or_else(|| Some(best_shift(around)?.edit(courses)))
                .or_else(|| Some(best_straight(around)?.edit(courses)));
            let Some(edit) = edit else { break };
            edit.make(courses, &mut pocket, lengths, floor.spacing);
            changes += 1;
        }
        // Once, and last: a run aslant is in the way of other changes, and where bulbs are crowded in the
        // way of what would serve more.
        if !floor.is_crowded && weight(&pocket) >= LEAST_POCKET {
            let around = Around { courses, pocket: &pocket, floor, lengths, is_held };
            if let Some(change) = best_change(around, tilted, &mut left) {
                change.edit(courses).make(courses, &mut pocket, lengths, floor.spacing);
                changes += 1;
            }
        }
    }
    changes
}

/// A pocket and what lies about it.
#[derive(Clone, Copy)]
struct Around<'a> {
    courses: &'a [Legs],
    pocket: &'a [(Point, f64)],
    floor: Floor<'a>,
    lengths: &'a Lengths,
    /// Whether nothing is to be changed near a leg.
    is_held: &'a dyn Fn(Point, Point) -> bool,
}

fn weight(pocket: &[(Point, f64)]) -> f64 {
    pocket.iter().map(|(_, worth)| worth).sum()
}

fn serves(line: &[Point], place: Point, spacing: f64) -> bool {
    line.windows(2).any(|leg| distance_to_line(place, leg[0], leg[1]) <= spacing / 2.0)
}

/// What a line in place of a run serves of a pocket, of which that run serves nothing.
fn served_by(line: &[Point], run: Leg, pocket: &[(Point, f64)], spacing: f64) -> f64 {
    let legs = line.windows(2).map(|leg| (leg[0], leg[1])).filter(|&leg| !lies_on(leg, run));
    let legs: Vec<(Leg, Bounds)> = legs
        .filter_map(|leg| Some((leg, Bounds::of([leg.0, leg.1])?.grown(spacing / 2.0))))
        .collect();
    let is_served = |place: Point| {
        legs.iter().any(|(leg, about)| {
            about.contains(place) && distance_to_line(place, leg.0, leg.1) <= spacing / 2.0
        })
    };
    pocket.iter().filter(|(place, _)| is_served(*place)).map(|(_, worth)| worth).sum()
}

/// The run after a corner of a course replaced by a line.
struct Change {
    course: usize,
    at: usize,
    line: Vec<Point>,
    longer: f64,
}

impl Change {
    fn edit(self, courses: &[Legs]) -> Edit {
        let legs = self.line.windows(2).map(|leg| [leg[0], leg[1]]).collect();
        let mut course = courses[self.course].clone();
        course.change(self.at, self.line);
        Edit { courses: vec![(self.course, course, self.longer)], legs }
    }
}

/// What a pocket is filled with.
struct Edit {
    /// Each course that changes: its number, its legs, and how much longer it is.
    courses: Vec<(usize, Legs, f64)>,
    /// Those of them that lie elsewhere now.
    legs: Vec<[Point; 2]>,
}

impl Edit {
    fn make(self, courses: &mut [Legs], pocket: &mut Pocket, lengths: &mut Lengths, spacing: f64) {
        pocket.retain(|(at, _)| !self.legs.iter().any(|leg| serves(leg, *at, spacing)));
        for (course, legs, longer) in self.courses {
            lengths.grow(course, longer);
            courses[course] = legs;
        }
    }
}

/// Two corners, or two places, with a straight line between them.
type Leg = (Point, Point);

/// A leg near a pocket.
struct Near {
    course: usize,
    leg: usize,
    ends: Leg,
    /// How near to it a run may lie, inches.
    least: f64,
}

fn best_change(around: Around, ways: Ways, left: &mut u64) -> Option<Change> {
    let Around { courses, pocket, floor, lengths, is_held } = around;
    let about = Bounds::of(pocket.iter().map(|(place, _)| *place))?.grown(ABOUT * floor.spacing);
    let near = legs_within(courses, about, floor);
    let mut tries: Vec<(f64, usize, Try)> = Vec::new();
    for (number, run) in near.iter().enumerate() {
        let course = &courses[run.course];
        *left = left.saturating_sub(pocket.len() as u64);
        if *left == 0 {
            return None;
        }
        let (from, to) = run.ends;
        let is_served_from_here =
            |place: Point| distance_to_line(place, from, to) < SERVED_FROM * floor.spacing;
        let beside: Pocket =
            pocket.iter().copied().filter(|(place, _)| is_served_from_here(*place)).collect();
        if beside.is_empty() {
            continue;
        }
        for one in ways(&course.corners, run.leg, &beside, floor) {
            *left = left.saturating_sub(beside.len() as u64);
            let hope = served_by(&one.line, run.ends, &beside, floor.spacing) - needed(one.bends);
            if hope > 0.0 {
                tries.push((hope, number, one));
            }
        }
    }
    tries.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut best: Option<(f64, Change)> = None;
    let mut measured = 0;
    for (hope, number, one) in tries.into_iter().take(MOST_TRIED) {
        let most = if best.is_none() { MOST_IN_VAIN } else { MOST_MEASURED };
        if measured >= most || best.as_ref().is_some_and(|(gain, _)| *gain >= hope) {
            break;
        }
        let run = &near[number];
        let corners = &courses[run.course].corners;
        let longer = one.longer(corners, run.leg, floor.radius);
        if longer > lengths.spare || !lengths.may_grow(run.course, longer) {
            continue;
        }
        if changed_legs(&one.line, corners, run.leg).any(|(from, to)| is_held(from, to)) {
            continue;
        }
        let stretch = Stretch::of(courses, run.course, (run.leg, run.leg + 1), &one.line);
        if !stretch.can_be_bent(floor.radius) || !has_room(&one.line, (corners, run), &near, floor)
        {
            continue;
        }
        measured += 1;
        let gain = stretch.gain(courses, &near, floor) - needed(one.bends);
        if gain > 0.0 && best.as_ref().is_none_or(|(most, _)| gain > *most) {
            let change = Change { course: run.course, at: run.leg, line: one.line, longer };
            best = Some((gain, change));
        }
    }
    best.map(|(_, change)| change)
}

/// The legs of a line that are no part of the run as it was, and those that end elsewhere.
fn changed_legs<'a>(
    line: &'a [Point],
    corners: &'a [Point],
    at: usize,
) -> impl Iterator<Item = Leg> + 'a {
    let (from, to) = (corners[at], corners[at + 1]);
    let is_old = move |leg: &Leg| lies_on(*leg, (from, to));
    let before = at.checked_sub(1).map(|before| corners[before]).zip(line.first().copied());
    let after = line.last().copied().zip(corners.get(at + 2).copied());
    let slid = [before.filter(|leg| leg.1 != from), after.filter(|leg| leg.0 != to)];
    let legs = line.windows(2).map(|leg| (leg[0], leg[1])).filter(move |leg| !is_old(leg));
    legs.chain(slid.into_iter().flatten())
}

fn needed(bends: f64) -> f64 {
    LEAST_GAIN + GAIN_FOR_A_BEND * bends.max(0.0)
}

fn legs_within(courses: &[Legs], about: Bounds, floor: Floor) -> Vec<Near> {
    let mut near = Vec::new();
    for (course, legs) in courses.iter().enumerate() {
        for (leg, pair) in legs.corners.windows(2).enumerate() {
            let ends = (pair[0], pair[1]);
            if Bounds::of([ends.0, ends.1]).is_some_and(|leg| leg.touches(about)) {
                near.push(Near { course, leg, ends, least: floor.least });
                if let Some(ends) = bulb_across(&legs.corners, leg, floor.radius) {
                    near.push(Near { course, leg, ends, least: floor.least_at_bends });
                }
            }
        }
    }
    near
}

/// Where the bulb over a leg is widest, if it must be one.
fn bulb_across(corners: &[Point], leg: usize, radius: f64) -> Option<Leg> {
    let (from, to) = (corners[leg], corners[leg + 1]);
    let before = (from - corners[leg.checked_sub(1)?]).unit()?;
    let after = (*corners.get(leg + 2)? - to).unit()?;
    let across = (to - from).unit()?;
    let is_bulb = from.distance(to) < 2.0 * radius && before.dot(after) < -0.999;
    let middle = from.middle(to) - before * radius;
    is_bulb.then_some((middle - across * radius, middle + across * radius))
}

/// The leg before a run or after it, whose end moves along with the run's.
struct Slid {
    leg: usize,
    old: Leg,
    new: Leg,
}

/// Whether a leg in place of a run lies on the floor, or on the run: a leader may come from beyond it.
fn is_clear(leg: Leg, run: Leg, floor: Floor) -> bool {
    lies_on(leg, run) || floor.tube.is_clear(leg.0, leg.1)
}

fn lies_on(leg: Leg, run: Leg) -> bool {
    [leg.0, leg.1].iter().all(|&end| distance_to_line(end, run.0, run.1) < 1e-6)
}

/// Whether a run so changed lies on the floor, and no nearer to others than runs may, or than it
/// did. What leaves it keeps off the legs beside it by how it is made.
fn has_room(
    line: &[Point],
    (corners, run): (&[Point], &Near),
    near: &[Near],
    floor: Floor,
) -> bool {
    let (Some(&first), Some(&last)) = (line.first(), line.last()) else { return false };
    let at = run.leg;
    let pieces: Vec<Leg> = line.windows(2).map(|leg| (leg[0], leg[1])).collect();
    let bulbs: Vec<Leg> =
        (0..pieces.len()).filter_map(|leg| bulb_across(line, leg, floor.radius)).collect();
    if !bulbs.iter().all(|bulb| floor.tube.is_clear(bulb.0, bulb.1)) {
        return false;
    }
    let slid = |leg: usize, outer: Option<Point>, old: Point, new: Point| {
        let outer = outer.filter(|_| old.distance(new) > 1e-6)?;
        Some(Slid { leg, old: (outer, old), new: (outer, new) })
    };
    let before = at.checked_sub(1).and_then(|leg| slid(leg, Some(corners[leg]), run.ends.0, first));
    let after = slid(at + 1, corners.get(at + 2).copied(), run.ends.1, last);
    let slid: Vec<Slid> = [before, after].into_iter().flatten().collect();
    // A leg that slides is lengthened at most.
    let mut longer = slid.iter().map(|slid| (slid.old.1, slid.new.1));
    if !pieces.iter().all(|&piece| is_clear(piece, run.ends, floor))
        || !longer.all(|leg| floor.tube.is_clear(leg.0, leg.1))
    {
        return false;
    }
    let slid_ends = slid.iter().flat_map(|slid| [slid.new.0, slid.new.1]);
    let Some(about) = Bounds::of(line.iter().copied().chain(slid_ends)) else { return false };
    let about = about.grown(floor.least);
    near.iter().all(|other| {
        let is_near =
            Bounds::of([other.ends.0, other.ends.1]).is_some_and(|leg| leg.touches(about));
        let touches = |leg: usize| other.course == run.course && other.leg.abs_diff(leg) <= 1;
        if !is_near || touches(at) {
            return true;
        }
        let room = |old: Leg, new: Leg| {
            let distance = distance_between_lines(new, other.ends);
            distance >= other.least || distance >= distance_between_lines(old, other.ends) - 0.01
        };
        let has_bulb_room =
            |&bulb: &Leg| distance_between_lines(bulb, other.ends) >= floor.least_at_bends;
        pieces.iter().all(|&piece| room(run.ends, piece))
            && bulbs.iter().all(has_bulb_room)
            && slid.iter().all(|slid| touches(slid.leg) || room(slid.old, slid.new))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::tube::raster::Raster;

    /// Runs at 12 in on a floor so wide and deep, some of which is bare between these places, with so
    /// much tube to spare.
    fn filled_with(
        (wide, deep): (f64, f64),
        mut courses: Vec<Legs>,
        bare: (Point, Point),
        spare: f64,
        is_held: &dyn Fn(Point, Point) -> bool,
    ) -> Vec<Legs> {
        let within = |margin: f64| {
            let corner = Point::new(wide - margin, deep - margin);
            Field::new(&[Polygon::rectangle(Point::new(margin, margin), corner)]).unwrap()
        };
        let (tube, heated) = (within(6.0), within(0.0));
        let floor = Floor::of(&tube, &heated, &Rules::half_inch(12.0));
        let across = bare.1 - bare.0;
        let raster = Raster::new(bare.0, (across.x, across.y), 3.0);
        let pocket = (0..raster.len()).map(|number| (raster.place(number), 1.0 / 16.0));
        let each = vec![900.0; courses.len()];
        let mut lengths = Lengths { each, between: (200.0, 2_000.0), spare };
        fill_pockets(&mut courses, vec![pocket.collect()], floor, &mut lengths, is_held);
        assert!(lengths.spare >= 0.0 && lengths.spare <= spare);
        courses
    }

    fn legs(corners: &[(f64, f64)], leaders: (usize, usize)) -> Legs {
        Legs { corners: corners.iter().map(|&(x, y)| Point::new(x, y)).collect(), leaders }
    }

    /// A run from wall to wall with a pocket of bare floor beside it, 24 in wide and 34 in deep.
    fn filled(spare: f64, is_held: &dyn Fn(Point, Point) -> bool) -> Vec<Legs> {
        let run = [(20.0, 6.0), (20.0, 30.0), (220.0, 30.0), (220.0, 6.0)];
        let beside = |x: f64| legs(&[(x, 42.0), (x, 74.0)], (1, 1));
        let courses = vec![legs(&run, (1, 1)), beside(90.0), beside(132.0)];
        let bare = (Point::new(98.0, 40.0), Point::new(119.0, 70.0));
        filled_with((240.0, 80.0), courses, bare, spare, is_held)
    }

    #[test]
    fn a_leader_moves_over_to_the_bare_floor_behind_it() {
        // From a port in the wall, along that wall two lanes off it, and away from it.
        let leader = [(30.0, 0.0), (30.0, 30.0), (200.0, 30.0), (200.0, 110.0)];
        let bare = (Point::new(52.0, 2.0), Point::new(196.0, 20.0));
        let course = vec![legs(&leader, (3, 1))];
        let found = filled_with((240.0, 120.0), course, bare, 100.0, &|_, _| false).remove(0);
        let (first, last) = (found.corners[0], found.corners[found.corners.len() - 1]);
        assert_eq!((first, last), (Point::new(30.0, 0.0), Point::new(200.0, 110.0)));
        let middle = Point::new(120.0, 10.0);
        let off = |leg: &[Point]| distance_to_line(middle, leg[0], leg[1]);
        let nearest = found.corners.windows(2).map(off).fold(f64::INFINITY, f64::min);
        assert!(nearest < 6.0, "{found:?}");
        assert_eq!(found.leaders.0, found.corners.len() - 1, "{found:?}");
    }

    #[test]
    fn a_run_moves_along_legs_that_are_not_square_to_it() {
        let run = [(20.0, 110.0), (40.0, 30.0), (190.0, 30.0), (220.0, 110.0)];
        let bare = (Point::new(46.0, 2.0), Point::new(187.0, 20.0));
        let course = vec![legs(&run, (1, 1))];
        let found = filled_with((240.0, 120.0), course, bare, 400.0, &|_, _| false).remove(0);
        assert!(found.corners[1].y < 20.0, "{found:?}");
        let place = |(x, y): (f64, f64)| Point::new(x, y);
        let last = found.corners.len() - 2;
        for (corner, (from, to)) in [(1, (run[0], run[1])), (last, (run[3], run[2]))] {
            let leg = (place(to) - place(from)).unit().unwrap();
            let off = leg.cross(found.corners[corner] - place(from));
            assert!(off.abs() < 1e-9, "{found:?}");
        }
    }

    #[test]
    fn a_run_lays_a_tooth_into_a_pocket_between_its_neighbours() {
        let courses = filled(200.0, &|_, _| false);
        let run = &courses[0].corners;
        assert_eq!(run.len(), 8, "{run:?}");
        let tip = run.iter().map(|corner| corner.y).fold(0.0, f64::max);
        assert!((60.0..=74.0).contains(&tip), "{run:?}");
        for leg in run.windows(2) {
            for other in [90.0, 132.0] {
                let beside = (Point::new(other, 42.0), Point::new(other, 74.0));
                assert!(distance_between_lines((leg[0], leg[1]), beside) > 9.6, "{run:?}");
            }
        }
    }

    #[test]
    fn a_run_stays_where_it_is_held_or_tube_is_short() {
        for courses in [filled(200.0, &|_, _| true), filled(0.0, &|_, _| false)] {
            assert_eq!(courses[0].corners.len(), 4);
        }
    }

    #[test]
    fn a_floor_without_tube_is_no_pocket_to_look_at_without_end() {
        let rectangle = |margin: f64| {
            let corner = Point::new(3_600.0 - margin, 3_600.0 - margin);
            [Polygon::rectangle(Point::new(margin, margin), corner)]
        };
        let (tube, heated) =
            (Field::new(&rectangle(6.0)).unwrap(), Field::new(&rectangle(0.0)).unwrap());
        let floor = Floor::of(&tube, &heated, &Rules::half_inch(6.0));
        // Runs all over it, and places everywhere, as if none of them served any.
        let run = |number: u32| {
            let y = 12.0 * f64::from(number + 1);
            let corners = [6.0, 20.0, 3_580.0, 3_594.0].map(|x| Point::new(x, y)).to_vec();
            Legs { corners, leaders: (1, 1) }
        };
        let mut courses: Vec<Legs> = (0..290).map(run).collect();
        let places = (0..1_000).flat_map(|row| (0..1_000).map(move |column| (row, column)));
        let pocket: Pocket = places
            .map(|(x, y)| (Point::new(3.6 * f64::from(x), 3.6 * f64::from(y)), 1.0 / 16.0))
            .collect();
        let mut lengths =
            Lengths { each: vec![3_588.0; 290], between: (3_000.0, 4_000.0), spare: 1e6 };
        let mut left = 3 * pocket.len() as u64;
        let around = Around {
            courses: &courses,
            pocket: &pocket,
            floor,
            lengths: &lengths,
            is_held: &|_, _| false,
        };
        let found = best_change(around, moved_over, &mut left);
        assert!(found.is_none() && left == 0);
        fill_pockets(&mut courses, vec![pocket], floor, &mut lengths, &|_, _| false);
    }
}
