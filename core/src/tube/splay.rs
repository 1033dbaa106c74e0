//! Lanes that follow walls which are not square to each other.
//!
//! Between two walls that stand askew a plain grid leaves a wedge along one of them: lanes end there
//! in steps, and each step is a return with bare floor beside it. Lanes that splay a little from
//! one wall to the other serve that floor, and run on straight. So the grid is laid in a rectangle,
//! and the rectangle is stretched over the four walls: lines along its sides stay straight, and stand
//! a little closer at one end than at the other.

use super::cells::Cells;
use crate::geometry::nearest::meeting_of_lines;
use crate::geometry::{Bounds, Point, Polygon, Vector};
use crate::units::exact_math;

/// In how many steps walls are followed less where lanes would splay too much.
const SHARES: u32 = 20;
/// A wall that makes a larger angle with the lanes, as a slope, is no wall along them.
const STEEPEST: f64 = 0.6;
/// A wall shorter than this share of the floor's own length does not lead lanes.
const LEADS: f64 = 0.3;
/// A slope less than this is none.
const SQUARE: f64 = 1e-6;
/// Lines that bow more than this in the rectangle are cut up, inches.
const BOW_IN: f64 = 0.02;
/// In how many parts at most, as a power of two.
const MOST_HALVINGS: u32 = 5;

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
    /// The rectangle.
    wide: f64,
    deep: f64,
    /// The closest that lanes stand, as a share of what they would in the rectangle.
    pub closest: f64,
    /// How slanted the ways across lanes are to them at most: their slope.
    pub slant: f64,
}

impl Splay {
    /// A stretch over the walls of a floor, lanes of which stand at one end no closer than a `least`
    /// share of how they stand at the other; `None` where walls are square, or make no four sides.
    #[must_use]
    pub fn over(regions: &[Polygon], least: f64) -> Option<Self> {
        let sides: Vec<(Point, Point)> = regions.iter().flat_map(Polygon::edges).collect();
        let bounds = Bounds::of(sides.iter().map(|side| side.0))?;
        let lead = [
            wall(&sides, bounds.width(), |step| step),
            wall(&sides, bounds.height(), |step| -step.left()),
            wall(&sides, bounds.width(), |step| -step),
            wall(&sides, bounds.height(), Vector::left),
        ];
        if lead.iter().flatten().all(|wall| wall.slope.abs() < SQUARE) {
            return None;
        }
        let [south, east, north, west] = lead;
        let (mut level, mut upright) = (SHARES, SHARES);
        loop {
            let followed = |wall: Option<Wall>, steps: u32, square: (Point, Point)| {
                let share = f64::from(steps) / f64::from(SHARES);
                wall.map_or(square, |wall| wall.turned(share))
            };
            let along = |wall: Option<Wall>, y: f64| {
                followed(wall, level, (Point::new(0.0, y), Point::new(1.0, y)))
            };
            let across = |wall: Option<Wall>, x: f64| {
                followed(wall, upright, (Point::new(x, 0.0), Point::new(x, 1.0)))
            };
            let (south, north) = (along(south, bounds.min.y), along(north, bounds.max.y));
            let (west, east) = (across(west, bounds.min.x), across(east, bounds.max.x));
            let corners = [
                meeting_of_lines(south, west)?,
                meeting_of_lines(south, east)?,
                meeting_of_lines(north, east)?,
                meeting_of_lines(north, west)?,
            ];
            let (splay, apart) = Self::between(corners, &sides)?;
            if apart.0 >= least && apart.1 >= least {
                return (level.max(upright) > 0).then_some(splay);
            }
            // Walls that make lanes splay too much are followed less.
            if apart.0 < least {
                upright = upright.checked_sub(1)?;
            }
            if apart.1 < least {
                level = level.checked_sub(1)?;
            }
        }
    }

    /// Stretched over four corners, counter-clockwise from the south-west one, and how lanes stand at
    /// the closest among the corners of the floor, as a share of how they stand at the most there:
    /// those from south to north, and the others. `None` where the corners make no rectangle.
    fn between(
        [south_west, south_east, north_east, north_west]: [Point; 4],
        floor: &[(Point, Point)],
    ) -> Option<(Self, (f64, f64))> {
        let (east, north) = (south_east - south_west, north_west - south_west);
        let skew = (north_east - north_west) - east;
        let whole = Self {
            origin: south_west,
            east,
            north,
            skew,
            wide: 1.0,
            deep: 1.0,
            closest: 1.0,
            slant: 0.0,
        };
        let (mut most, mut least) = ((0.0_f64, 0.0_f64), (f64::INFINITY, f64::INFINITY));
        let mut slant = 0.0_f64;
        for &(corner, _) in floor {
            let at = whole.back(corner);
            let (east, north) = whole.steps(at.x, at.y);
            let area = east.cross(north);
            let apart = (area / north.length(), area / east.length());
            most = (most.0.max(apart.0), most.1.max(apart.1));
            least = (least.0.min(apart.0), least.1.min(apart.1));
            slant = slant.max((east.dot(north) / area).abs());
        }
        let apart = (least.0 / most.0, least.1 / most.1);
        let closest = apart.0.min(apart.1);
        let splay = Self { wide: most.0, deep: most.1, closest, slant, ..whole };
        (least.0 > 1.0 && least.1 > 1.0).then_some((splay, apart))
    }

    /// The ways from side to side at a share of the width and the depth.
    fn steps(&self, along: f64, up: f64) -> (Vector, Vector) {
        (self.east + self.skew * up, self.north + self.skew * along)
    }

    /// Where a place of the rectangle comes to lie.
    #[must_use]
    pub fn laid(&self, place: Point) -> Point {
        let (along, up) = (place.x / self.wide, place.y / self.deep);
        self.origin + self.east * along + self.north * up + self.skew * (along * up)
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
        let up = -2.0 * c / (b + root).max(f64::MIN_POSITIVE);
        let way = self.east + self.skew * up;
        let along = (step - self.north * up).dot(way) / way.dot(way).max(f64::MIN_POSITIVE);
        Point::new(along * self.wide, up * self.deep)
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

/// A wall that lanes follow, in axes in which it runs about east with the floor to its left.
#[derive(Clone, Copy)]
struct Wall {
    middle: Point,
    /// What it is turned from: the way it would run if it were square.
    square: Vector,
    slope: f64,
    length: f64,
}

impl Wall {
    /// It, turned about its middle so that it is askew by a share of what it is.
    fn turned(self, share: f64) -> (Point, Point) {
        let along = self.square + self.square.left() * (self.slope * share);
        (self.middle, self.middle + along)
    }
}

/// The longest wall that runs about east once it is turned.
fn wall(sides: &[(Point, Point)], extent: f64, turned: impl Fn(Vector) -> Vector) -> Option<Wall> {
    let walls = sides.iter().filter_map(|&(from, to)| {
        let step = turned(to - from);
        let slope = step.y / step.x;
        let is_along = step.x > LEADS * extent && slope.abs() < STEEPEST;
        is_along.then(|| {
            let askew = exact_math::atan2(step.y, step.x);
            let square = Vector::from_angle((to - from).angle() - askew);
            Wall { middle: from.middle(to), square, slope, length: step.length() }
        })
    });
    walls.max_by(|a, b| a.length.total_cmp(&b.length))
}

/// How far walls run off square in all: so much floor along them lanes end in, step by step.
#[must_use]
pub fn askew(regions: &[Polygon]) -> f64 {
    let sides = regions.iter().flat_map(Polygon::edges).map(|(from, to)| to - from);
    sides.map(|step| step.x.abs().min(step.y.abs())).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A floor of four walls, none square to another.
    fn askew() -> Polygon {
        let corners = [(0.0, 10.0), (420.0, -20.0), (390.0, 300.0), (30.0, 330.0)];
        Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new())
    }

    #[test]
    fn places_come_back_to_where_they_were() {
        let splay = Splay::over(&[askew()], 0.8).unwrap();
        for place in [(0.0, 10.0), (200.0, 150.0), (400.0, 100.0), (-9.0, 340.0)] {
            let place = Point::new(place.0, place.1);
            assert!(splay.laid(splay.back(place)).distance(place) < 1e-9);
        }
    }

    #[test]
    fn four_walls_askew_become_a_rectangle() {
        let splay = Splay::over(&[askew()], 0.8).unwrap();
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
        let splay = Splay::over(&[askew()], 0.8).unwrap();
        assert!(splay.closest >= 0.8);
        for (x, y) in [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.5, 0.5)] {
            let (east, north) = splay.steps(x, y);
            let area = east.cross(north) / (splay.wide * splay.deep);
            for apart in [area / north.length() * splay.deep, area / east.length() * splay.wide] {
                assert!((splay.closest - 1e-9..=1.0 + 1e-9).contains(&apart), "{apart}");
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
            let Some(splay) = Splay::over(&[Polygon::new(corners.clone(), Vec::new())], least)
            else {
                continue;
            };
            found += 1;
            for &corner in &corners {
                let at = splay.back(corner);
                let (east, north) = splay.steps(at.x / splay.wide, at.y / splay.deep);
                let area = east.cross(north) / (splay.wide * splay.deep);
                for apart in [area / north.length() * splay.deep, area / east.length() * splay.wide]
                {
                    assert!((least - 1e-9..=1.0 + 1e-9).contains(&apart), "{least} {apart}");
                }
            }
        }
        assert!(found > 1, "{found}");
    }

    #[test]
    fn square_walls_need_no_stretch() {
        let square = Polygon::rectangle(Point::ORIGIN, Point::new(400.0, 300.0));
        assert!(Splay::over(&[square], 0.8).is_none());
    }
}
