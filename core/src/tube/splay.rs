//! Lanes that follow walls which are not square to each other, or bowed.
//!
//! Between two walls that stand askew, or along one that is bowed, a plain grid leaves a wedge: lanes
//! end there in steps, and each step is a return with bare floor beside it. Lanes that splay a little
//! from one wall to the other, or bow with it, serve that floor and run on. So the grid is laid in a
//! rectangle, and the rectangle is stretched over the four walls: lines along its sides stay straight
//! where those are, and stand a little closer at one place than at another.

mod bow;
mod walls;

use super::bends::without_straights;
use super::cells::Cells;
use crate::geometry::{Bounds, Point, Polygon, Vector};
use bow::Bow;
pub use walls::{askew, over};

/// Lines that bow more than this in the rectangle are cut up, inches.
const BOW_IN: f64 = 0.02;
/// In how many parts at most, as a power of two.
const MOST_HALVINGS: u32 = 5;
/// A leg that lies bowed is laid in parts that bow no more than this, inches, and are no shorter
/// than this, so that a return has room on half of the last one.
const LEG_BOW_IN: f64 = 0.15;
const SHORTEST_PART_IN: f64 = 24.0;
/// A wall of the rectangle that is no farther off its line than this is straight, inches: what is
/// left of the chords of an arc.
const STRAIGHT_IN: f64 = 0.4;
/// Lanes along such a wall lie so far inside of it, inches: the arcs that they are laid in are not quite
/// on it.
const HAIR_IN: f64 = 0.05;
/// How near a place is found to where it was, in the steps of so many tries, as a share of a side.
const NEAR: f64 = 1e-12;
const TRIES: u32 = 12;
/// A step as long as this many sides leads nowhere: far off the floor the rectangle may fold.
const FOLDED: f64 = 10.0;

/// A rectangle stretched over four walls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Splay {
    /// Where its south-west corner lies, and the ways from there to the south-east and the
    /// north-west one.
    origin: Point,
    east: Vector,
    north: Vector,
    /// How much longer the way is along the north side than along the south side.
    skew: Vector,
    /// How its sides bow: south, east, north, west; `None` where all are straight.
    bows: Option<[Bow; 4]>,
    /// The rectangle.
    wide: f64,
    deep: f64,
    /// The closest that lanes stand, as a share of what they would in the rectangle: those from
    /// south to north, and those from west to east.
    pub closest: (f64, f64),
    /// How slanted the ways across lanes are to them at most: their slope.
    pub slant: f64,
}

impl Splay {
    /// Stretched over four corners, counter-clockwise from the south-west one, with sides that bow so;
    /// how lanes stand is seen at these places of the floor. `None` where the corners make no
    /// rectangle.
    fn between(
        [south_west, south_east, north_east, north_west]: [Point; 4],
        bows: Option<[Bow; 4]>,
        floor: &[Point],
    ) -> Option<Self> {
        let (east, north) = (south_east - south_west, north_west - south_west);
        let skew = (north_east - north_west) - east;
        let whole = Self {
            origin: south_west,
            east,
            north,
            skew,
            bows,
            wide: 1.0,
            deep: 1.0,
            closest: (1.0, 1.0),
            slant: 0.0,
        };
        let (mut most, mut least) = ((0.0_f64, 0.0_f64), (f64::INFINITY, f64::INFINITY));
        let mut slant = 0.0_f64;
        for &place in floor {
            let at = whole.back(place);
            let (east, north) = whole.steps(at.x, at.y);
            let area = east.cross(north);
            let apart = (area / north.length(), area / east.length());
            most = (most.0.max(apart.0), most.1.max(apart.1));
            least = (least.0.min(apart.0), least.1.min(apart.1));
            slant = slant.max((east.dot(north) / area).abs());
        }
        let apart = (least.0 / most.0, least.1 / most.1);
        let splay = Self { wide: most.0, deep: most.1, closest: apart, slant, ..whole };
        (least.0 > 1.0 && least.1 > 1.0).then_some(splay)
    }

    /// Whether a side bows, and lanes with it.
    #[must_use]
    pub const fn is_bowed(&self) -> bool {
        self.bows.is_some()
    }

    /// The ways from side to side at a share of the width and the depth.
    fn steps(&self, along: f64, up: f64) -> (Vector, Vector) {
        let (east, north) = (self.east + self.skew * up, self.north + self.skew * along);
        let Some([south_bow, east_bow, north_bow, west_bow]) = &self.bows else {
            return (east, north);
        };
        let (low, high) = (south_bow.at(along), north_bow.at(along));
        let (left, right) = (west_bow.at(up), east_bow.at(up));
        (
            east + low.1 * (1.0 - up) + high.1 * up + right.0 - left.0,
            north + left.1 * (1.0 - along) + right.1 * along + high.0 - low.0,
        )
    }

    /// Where a share of the width and the depth comes to lie.
    fn laid_share(&self, along: f64, up: f64) -> Point {
        let laid = self.origin + self.east * along + self.north * up + self.skew * (along * up);
        let Some([south_bow, east_bow, north_bow, west_bow]) = &self.bows else { return laid };
        let level = south_bow.at(along).0 * (1.0 - up) + north_bow.at(along).0 * up;
        let upright = west_bow.at(up).0 * (1.0 - along) + east_bow.at(up).0 * along;
        laid + level + upright
    }

    /// Where a place of the rectangle comes to lie.
    #[must_use]
    pub fn laid(&self, place: Point) -> Point {
        self.laid_share(place.x / self.wide, place.y / self.deep)
    }

    /// Where in the rectangle a place comes from.
    #[must_use]
    pub fn back(&self, place: Point) -> Point {
        let step = place - self.origin;
        // up is the root of a·up² + b·up + c that stays near where walls are parallel.
        let a = self.skew.cross(self.north);
        let b = self.east.cross(self.north) + step.cross(self.skew);
        let c = step.cross(self.east);
        let root = (b * b - 4.0 * a * c).max(0.0).sqrt();
        let mut up = -2.0 * c / (b + root).max(f64::MIN_POSITIVE);
        let way = self.east + self.skew * up;
        let mut along = (step - self.north * up).dot(way) / way.dot(way).max(f64::MIN_POSITIVE);
        // From where it would be between straight sides, Newton's steps.
        for _ in 0..if self.is_bowed() { TRIES } else { 0 } {
            let off = place - self.laid_share(along, up);
            let (east, north) = self.steps(along, up);
            let area = east.cross(north);
            let (more_along, more_up) = (off.cross(north) / area, east.cross(off) / area);
            let step = Vector::new(more_along, more_up).length();
            // Nor is a step without a length taken.
            if step.is_nan() || step > FOLDED {
                break;
            }
            (along, up) = (along + more_along, up + more_up);
            if step < NEAR {
                break;
            }
        }
        Point::new(along * self.wide, up * self.deep)
    }

    /// The places of a course of corners along lanes as they come to lie, with those between at which
    /// a leg that lies bowed turns.
    #[must_use]
    pub fn course(&self, corners: &[Point]) -> Vec<Point> {
        if !self.is_bowed() {
            return corners.iter().map(|&corner| self.laid(corner)).collect();
        }
        let corners = without_straights(corners);
        let mut laid: Vec<Point> = Vec::with_capacity(corners.len());
        laid.extend(corners.first().map(|&first| self.laid(first)));
        for (&from, &to) in corners.iter().zip(corners.iter().skip(1)) {
            self.turn_along((from, to), &mut laid);
            laid.push(self.laid(to));
        }
        laid
    }

    /// Adds the corners of the tangents of a leg, so that arcs between them lie along it.
    fn turn_along(&self, (from, to): (Point, Point), into: &mut Vec<Point>) {
        let (start, end) = (self.laid(from), self.laid(to));
        let off = self.laid(from.middle(to)).distance(start.middle(end));
        let parts = (off / LEG_BOW_IN).sqrt().ceil();
        let parts = parts.min((start.distance(end) / SHORTEST_PART_IN).floor());
        let mut before = (start, self.way(from, to - from));
        let mut part = 1.0;
        while part <= parts {
            let at = from.toward(to, part / parts);
            let after = (self.laid(at), self.way(at, to - from));
            let step = after.0 - before.0;
            // Where the tangents meet, as shares of their ways: about half of the part each.
            let turn = before.1.cross(after.1);
            let (ahead, back) = (step.cross(after.1) / turn, step.cross(before.1) / turn);
            let share = ahead * before.1.length() / step.length();
            if ahead > 0.0 && back < 0.0 && (0.25..0.75).contains(&share) {
                into.push(before.0 + before.1 * ahead);
            }
            before = after;
            part += 1.0;
        }
    }

    /// Which way a step at a place of the rectangle comes to lead.
    fn way(&self, at: Point, step: Vector) -> Vector {
        let (east, north) = self.steps(at.x / self.wide, at.y / self.deep);
        east * (step.x / self.wide) + north * (step.y / self.deep)
    }

    /// Where regions come from; their sides cut up where they bow there.
    #[must_use]
    pub fn regions_back(&self, regions: &[Polygon]) -> Vec<Polygon> {
        let ring = |ring: &Vec<Point>| {
            let mut back = Vec::with_capacity(ring.len());
            for (number, &from) in ring.iter().enumerate() {
                let to = ring.get(number + 1).or(ring.first()).copied().unwrap_or(from);
                back.push(self.back(from));
                self.cut_up((from, to), MOST_HALVINGS, &mut back);
            }
            if self.is_bowed() {
                straighten(&mut back);
            }
            back
        };
        let region = |region: &Polygon| Polygon {
            outer: ring(&region.outer),
            holes: region.holes.iter().map(ring).collect(),
        };
        regions.iter().map(region).collect()
    }

    /// Adds the places between the ends of a line that it needs to be followed.
    fn cut_up(&self, (from, to): (Point, Point), halvings: u32, into: &mut Vec<Point>) {
        let middle = from.middle(to);
        let back = self.back(middle);
        if halvings == 0 || back.distance(self.back(from).middle(self.back(to))) < BOW_IN {
            return;
        }
        self.cut_up((from, middle), halvings - 1, into);
        into.push(back);
        self.cut_up((middle, to), halvings - 1, into);
    }

    /// Weighs cells of the rectangle by the tube that they take as laid.
    pub fn weigh(&self, cells: &mut Cells) {
        for cell in &mut cells.list {
            let middle = cell.middle();
            let (east, north) = self.steps(middle.x / self.wide, middle.y / self.deep);
            cell.tube *= (east.length() / self.wide + north.length() / self.deep) / 2.0;
        }
    }
}

/// Makes walls straight that lanes bow with, a hair inside of where they lie.
fn straighten(ring: &mut [Point]) {
    let count = ring.len();
    for wall in bow::walls(ring) {
        let places = || wall.clone().filter_map(|at| ring.get(at % count).copied());
        let Some(bounds) = Bounds::of(places()) else { continue };
        let ends = places().next().zip(places().next_back());
        let step = ends.map_or(Vector::default(), |(from, to)| to - from);
        // Floor lies to the left.
        if bounds.height() < STRAIGHT_IN && step.x.abs() > bounds.height() {
            let inside = if step.x > 0.0 { bounds.max.y + HAIR_IN } else { bounds.min.y - HAIR_IN };
            for at in wall {
                if let Some(place) = ring.get_mut(at % count) {
                    place.y = inside;
                }
            }
        } else if bounds.width() < STRAIGHT_IN && step.y.abs() > bounds.width() {
            let inside = if step.y > 0.0 { bounds.min.x - HAIR_IN } else { bounds.max.x + HAIR_IN };
            for at in wall {
                if let Some(place) = ring.get_mut(at % count) {
                    place.x = inside;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Segment;
    use crate::plan::{direction_at_end, direction_at_start};
    use crate::tube::bends::bend_bowed_course_within;
    use crate::tube::field::Field;

    /// A floor of four walls, none square to another.
    fn askew() -> Polygon {
        let corners = [(0.0, 10.0), (420.0, -20.0), (390.0, 300.0), (30.0, 330.0)];
        Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new())
    }

    /// A room between two straight walls, whose others bow north in chords: the south one by `low`.
    fn bowed(low: f64, high: f64) -> Polygon {
        let chords = 40;
        let along = |step: u32| f64::from(step) / f64::from(chords);
        // An arc, so that nothing here has the form that lanes bow in.
        let bow = |depth: f64, share: f64| {
            let radius = (300.0 * 300.0 + depth * depth) / (2.0 * depth);
            let x = 600.0 * share - 300.0;
            (radius * radius - x * x).sqrt() - radius + depth
        };
        let south = (0..=chords).map(|step| (along(step), bow(low, along(step))));
        let north = (0..=chords).rev().map(|step| (along(step), 400.0 + bow(high, along(step))));
        let corners = south.chain(north).map(|(share, y)| Point::new(600.0 * share, y));
        Polygon::new(corners.collect(), Vec::new())
    }

    /// How lanes stand at a place, as a share of how they do in the rectangle: both ways.
    fn apart(splay: &Splay, place: Point) -> [f64; 2] {
        let at = splay.back(place);
        let (east, north) = splay.steps(at.x / splay.wide, at.y / splay.deep);
        let area = east.cross(north) / (splay.wide * splay.deep);
        [area / north.length() * splay.deep, area / east.length() * splay.wide]
    }

    #[test]
    fn places_come_back_to_where_they_were() {
        for floor in [askew(), bowed(20.0, 40.0)] {
            for splay in over(&[floor], 0.7) {
                for place in [(0.0, 10.0), (200.0, 150.0), (400.0, 100.0), (-9.0, 340.0)] {
                    let place = Point::new(place.0, place.1);
                    assert!(splay.laid(splay.back(place)).distance(place) < 1e-9);
                }
            }
        }
    }

    #[test]
    fn bowed_walls_become_straight() {
        let floor = bowed(20.0, 40.0);
        let splay = over(std::slice::from_ref(&floor), 0.8).remove(0);
        let back = splay.regions_back(std::slice::from_ref(&floor));
        for place in &back[0].outer {
            let off = place.y.abs().min((place.y - splay.deep).abs());
            let is_on_straight_wall = place.x.abs().min((place.x - splay.wide).abs()) < 1e-6;
            assert!(off < STRAIGHT_IN || is_on_straight_wall, "{place:?}");
        }
        // As straight as lanes are laid along: not a hair off within a wall.
        let level = |low: bool| {
            let is_of = move |y: &f64| low == (*y < splay.deep / 2.0);
            back[0].outer.iter().map(|place| place.y).filter(is_of)
        };
        for low in [true, false] {
            let most = level(low).fold(f64::NEG_INFINITY, f64::max);
            let least = level(low).fold(f64::INFINITY, f64::min);
            assert!(most - least < 1e-9, "{least} {most}");
        }
    }

    #[test]
    fn lanes_that_bow_stand_far_enough_apart() {
        for (low, high) in [(20.0, 40.0), (1.5, 90.0), (60.0, 60.0), (110.0, 30.0)] {
            let floor = bowed(low, high);
            let splays = over(std::slice::from_ref(&floor), 0.8);
            assert!(!splays.is_empty());
            for splay in splays {
                for apart in floor.outer.iter().flat_map(|&corner| apart(&splay, corner)) {
                    assert!((0.8..=1.0 + 1e-9).contains(&apart), "{low} {high}: {apart}");
                }
            }
        }
    }

    #[test]
    fn one_wall_is_followed_in_full_where_both_cannot_be() {
        let floor = bowed(15.0, 130.0);
        let splays = over(std::slice::from_ref(&floor), 0.85);
        let steepest = |splay: &Splay, y: f64| {
            let back = splay.regions_back(std::slice::from_ref(&floor));
            let wall = back[0].edges().filter(|(from, to)| {
                (splay.laid(*from).y > 300.0) == (y > 300.0) && (to.x - from.x).abs() > 1.0
            });
            wall.map(|(from, to)| ((to.y - from.y) / (to.x - from.x)).abs()).fold(0.0, f64::max)
        };
        let slopes: Vec<[f64; 2]> =
            splays.iter().map(|splay| [0.0, 400.0].map(|y| steepest(splay, y))).collect();
        assert!(slopes[0][0] > 0.01 && slopes[0][1] > 0.01, "{slopes:?}");
        assert!(slopes[1..].iter().any(|slope| slope[0] < 0.005), "{slopes:?}");
    }

    #[test]
    fn a_leg_lies_along_the_bow_in_wide_arcs() {
        let splay = over(&[bowed(20.0, 40.0)], 0.8).remove(0);
        let legs = [(30.0, 12.0), (30.0, 300.0), (560.0, 300.0), (560.0, 312.0), (80.0, 312.0)];
        let legs = legs.map(|(x, y)| Point::new(x, y));
        let course = bend_bowed_course_within(&splay.course(&legs), 5.0, &|_| true).unwrap();
        let mut bent: Vec<f64> = Vec::new();
        for segment in &course {
            for at in segment.flatten(0.02) {
                let back = splay.back(at);
                let off = (back.y - 300.0).abs().min((back.y - 312.0).abs());
                // But for the bends at the ends of legs.
                let is_inside = back.x > 45.0 && back.x < 545.0;
                assert!(!is_inside || off < LEG_BOW_IN, "{back:?}");
            }
            if let Segment::Arc(arc) = segment {
                bent.push(arc.circle().unwrap().radius);
            }
        }
        let wide: Vec<&f64> = bent.iter().filter(|radius| **radius > 200.0).collect();
        assert!(wide.len() > 4 && bent.iter().all(|radius| *radius >= 4.999), "{bent:?}");
        for pair in course.windows(2) {
            let before = direction_at_end(pair[0]).unwrap();
            let after = direction_at_start(pair[1]).unwrap();
            assert!(before.cross(after).abs() < 1e-3 && before.dot(after) > 0.0);
        }
    }

    #[test]
    fn lanes_along_bowed_walls_lie_within_them() {
        let mut seen = 0;
        for (low, high) in [(20.0, 40.0), (1.5, 90.0), (60.0, 60.0), (110.0, 30.0)] {
            let floor = bowed(low, high);
            let field = Field::new(std::slice::from_ref(&floor)).unwrap();
            for splay in over(std::slice::from_ref(&floor), 0.8) {
                let back = splay.regions_back(std::slice::from_ref(&floor));
                let bounds = Bounds::of(back[0].outer.iter().copied()).unwrap();
                let middle = (bounds.min.y + bounds.max.y) / 2.0;
                // Walls that are followed in part stay bowed in the rectangle.
                let is_straight = |y: &f64| {
                    back[0].outer.iter().filter(|at| (at.y - y).abs() < 0.011).count() > 20
                };
                let lanes = [bounds.min.y + 0.01, bounds.max.y - 0.01];
                for y in lanes.into_iter().filter(is_straight) {
                    seen += 1;
                    let (west, east) = (bounds.min.x + 12.0, bounds.max.x - 12.0);
                    let legs = [(west, middle), (west, y), (east, y), (east, middle)];
                    let legs = legs.map(|(x, y)| Point::new(x, y));
                    let is_open = |at: Point| field.contains(at);
                    let laid = splay.course(&legs);
                    let course = bend_bowed_course_within(&laid, 5.0, &is_open).unwrap();
                    for segment in course {
                        let mut from = segment.start();
                        for to in segment.flatten(0.02) {
                            assert!(field.is_clear(from, to), "{low} {high} {y}: {from:?}");
                            from = to;
                        }
                    }
                }
            }
        }
        assert!(seen >= 4, "{seen}");
    }

    #[test]
    fn four_walls_askew_become_a_rectangle() {
        let splay = over(&[askew()], 0.8).remove(0);
        let back = splay.regions_back(&[askew()]);
        let corners = &back[0].outer;
        let (west, south) = (corners[0].x, corners[0].y);
        assert!(west.abs() < 1e-9 && south.abs() < 1e-9);
        for corner in corners {
            let off_x = corner.x.abs().min((corner.x - splay.wide).abs());
            let off_y = corner.y.abs().min((corner.y - splay.deep).abs());
            assert!(off_x.min(off_y) < 1e-6, "{corner:?}");
        }
    }

    #[test]
    fn lanes_stand_no_wider_than_asked_and_not_too_close() {
        let splay = over(&[askew()], 0.8).remove(0);
        let closest = splay.closest.0.min(splay.closest.1);
        assert!(closest >= 0.8);
        for (x, y) in [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.5, 0.5)] {
            let (east, north) = splay.steps(x, y);
            let area = east.cross(north) / (splay.wide * splay.deep);
            for apart in [area / north.length() * splay.deep, area / east.length() * splay.wide] {
                assert!((closest - 1e-9..=1.0 + 1e-9).contains(&apart), "{apart}");
            }
        }
    }

    #[test]
    fn lanes_keep_their_distance_beyond_the_walls_that_lead_them() {
        // The longest north wall stands halfway up; the arm beyond it goes on as far again.
        let corners = [
            (0.0, 0.0),
            (500.0, 0.0),
            (470.0, 200.0),
            (180.0, 210.0),
            (170.0, 420.0),
            (20.0, 420.0),
        ];
        let corners = corners.map(|(x, y)| Point::new(x, y)).to_vec();
        let mut found = 0;
        for least in [0.7, 0.8, 0.85, 0.9] {
            for splay in over(&[Polygon::new(corners.clone(), Vec::new())], least) {
                found += 1;
                for apart in corners.iter().flat_map(|&corner| apart(&splay, corner)) {
                    assert!((least - 1e-9..=1.0 + 1e-9).contains(&apart), "{least} {apart}");
                }
            }
        }
        assert!(found > 1, "{found}");
    }

    #[test]
    fn square_walls_need_no_stretch() {
        let square = Polygon::rectangle(Point::ORIGIN, Point::new(400.0, 300.0));
        assert!(over(&[square], 0.8).is_empty());
    }
}
