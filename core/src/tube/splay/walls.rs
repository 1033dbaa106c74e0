//! Which walls of a floor lanes follow, and how far.

use super::Splay;
use super::bow::{Bow, chains};
use crate::geometry::nearest::meeting_of_lines;
use crate::geometry::{Bounds, Point, Polygon, Vector};
use crate::units::exact_math;

/// The sides of a floor, as they are numbered.
const SOUTH: usize = 0;
const EAST: usize = 1;
const NORTH: usize = 2;
const WEST: usize = 3;
/// In how many steps walls are followed less where lanes would splay too much.
const SHARES: u32 = 20;
/// A wall that makes a larger angle with the lanes, as a slope, is no wall along them.
const STEEPEST: f64 = 0.6;
/// A wall shorter than this share of the floor's own length does not lead lanes.
const LEADS: f64 = 0.3;
/// A slope less than this is none.
const SQUARE: f64 = 1e-6;
/// The ends of a bowed wall that lanes bow with lie within this share of its side from the corners.
const WHOLE_SIDE: f64 = 0.12;
/// The most that ways across lanes that bow may slant to them, as a slope: all bends of the floor
/// are given the room that those ask for.
const MOST_SLANT: f64 = 0.35;
/// Lanes that bow are left so much more room beside that, as a share of how they stand at the most:
/// with less there is hardly a way to fit them to walls as well.
const BOWED: f64 = 0.07;
/// At how many places of a wall it is seen how lanes stand.
const LOOKS: u32 = 4;

/// Stretches over the walls of a floor, lanes of which stand at one place no closer than a `least`
/// share of how they stand at another: each follows all walls as far as that lets it, or one wall
/// in full and the others as far. None where walls are square, or make no four sides.
#[must_use]
pub fn over(regions: &[Polygon], least: f64) -> Vec<Splay> {
    let walls = chains(regions);
    let corners = regions.iter().flat_map(|region| &region.outer);
    let Some(bounds) = Bounds::of(corners.copied()) else { return Vec::new() };
    let walls = [
        wall(&walls, bounds.width(), |step| step),
        wall(&walls, bounds.height(), |step| -step.left()),
        wall(&walls, bounds.width(), |step| -step),
        wall(&walls, bounds.height(), Vector::left),
    ];
    let is_followed = walls.map(|wall| wall.is_some_and(|wall| !wall.is_square()));
    if is_followed == [false; 4] {
        return Vec::new();
    }
    let floor = Floor { walls, bounds, looks: looks(regions) };
    let full = (0..4).filter(|&side| is_followed.get(side) == Some(&true)).map(Some);
    let mut found: Vec<Splay> = Vec::new();
    for full in [None].into_iter().chain(full) {
        if let Some(splay) = as_far_as(&floor, full, least).filter(|splay| !found.contains(splay)) {
            found.push(splay);
        }
    }
    found
}

/// The stretch that follows walls as far as lanes stand no closer than a `least` share, one of the
/// sides south, east, north and west in full.
fn as_far_as(floor: &Floor, full: Option<usize>, least: f64) -> Option<Splay> {
    let (mut level, mut upright) = (SHARES, SHARES);
    loop {
        let mut shares = [level, upright, level, upright];
        if let Some(share) = full.and_then(|side| shares.get_mut(side)) {
            *share = SHARES;
        }
        let splay = following(floor, shares.map(|share| f64::from(share) / f64::from(SHARES)))?;
        let apart = splay.closest;
        let is_slanted = splay.is_bowed() && splay.slant > MOST_SLANT;
        let least = if splay.is_bowed() { least + BOWED } else { least };
        if apart.0 >= least && apart.1 >= least && !is_slanted {
            return (shares != [0; 4]).then_some(splay);
        }
        // Walls that make lanes splay too much are followed less.
        if apart.0 < least || is_slanted && level <= upright {
            upright = upright.checked_sub(1)?;
        }
        if apart.1 < least || is_slanted && upright < level {
            level = level.checked_sub(1)?;
        }
    }
}

/// The stretch that follows the walls to the south, east, north and west by these shares.
fn following(floor: &Floor, shares: [f64; 4]) -> Option<Splay> {
    let Bounds { min, max } = floor.bounds;
    let level = |y: f64| (Point::new(0.0, y), Point::new(1.0, y));
    let upright = |x: f64| (Point::new(x, 0.0), Point::new(x, 1.0));
    let line = |side: usize, square: (Point, Point)| {
        let wall = floor.walls.get(side).copied().flatten().zip(shares.get(side));
        wall.map_or(square, |(wall, &share)| wall.turned(share))
    };
    let (low, right) = (line(SOUTH, level(min.y)), line(EAST, upright(max.x)));
    let (high, left) = (line(NORTH, level(max.y)), line(WEST, upright(min.x)));
    let corners = [
        meeting_of_lines(low, left)?,
        meeting_of_lines(low, right)?,
        meeting_of_lines(high, right)?,
        meeting_of_lines(high, left)?,
    ];
    let [south_west, south_east, north_east, north_west] = corners;
    let bow = |side: usize, ends: (Point, Point)| {
        let (wall, &share) = floor.walls.get(side).copied().flatten().zip(shares.get(side))?;
        Some(wall.bow_along(ends)?.share(share))
    };
    let bows = [
        bow(SOUTH, (south_west, south_east)),
        bow(EAST, (south_east, north_east)),
        bow(NORTH, (north_west, north_east)),
        bow(WEST, (south_west, north_west)),
    ];
    let is_bowed = bows.iter().any(Option::is_some);
    let bows = is_bowed.then(|| bows.map(Option::unwrap_or_default));
    Splay::between(corners, bows, &floor.looks)
}

/// What lanes follow: the walls to the south, east, north and west, where the floor lies, and places at
/// which it is seen how lanes stand.
struct Floor {
    walls: [Option<Wall>; 4],
    bounds: Bounds,
    looks: Vec<Point>,
}

/// A wall that lanes follow, in axes in which it runs about east with the floor to its left.
#[derive(Clone, Copy)]
struct Wall {
    ends: (Point, Point),
    /// What it is turned from: the way it would run if it were square.
    square: Vector,
    slope: f64,
    length: f64,
    bow: Option<Bow>,
}

impl Wall {
    fn is_square(self) -> bool {
        self.slope.abs() < SQUARE && self.bow.is_none()
    }

    /// It, turned about its middle so that it is askew by a share of what it is.
    fn turned(self, share: f64) -> (Point, Point) {
        let along = self.square + self.square.left() * (self.slope * share);
        let middle = self.ends.0.middle(self.ends.1);
        (middle, middle + along)
    }

    /// Its bow as that of a side, where it takes up all of that.
    fn bow_along(self, side: (Point, Point)) -> Option<Bow> {
        let way = side.1 - side.0;
        let share = |place: Point| (place - side.0).dot(way) / way.dot(way);
        let (from, to) = (share(self.ends.0), share(self.ends.1));
        let is_whole = from.min(to).abs() < WHOLE_SIDE && (from.max(to) - 1.0).abs() < WHOLE_SIDE;
        let bow = self.bow.filter(|_| is_whole)?;
        Some(if from < to { bow } else { bow.reversed() })
    }
}

/// The longest wall that runs about east once it is turned.
fn wall(walls: &[Vec<Point>], extent: f64, turned: impl Fn(Vector) -> Vector) -> Option<Wall> {
    let walls = walls.iter().filter_map(|wall| {
        let (&from, &to) = wall.first().zip(wall.last())?;
        let step = turned(to - from);
        let slope = step.y / step.x;
        let is_along = step.x > LEADS * extent && slope.abs() < STEEPEST;
        is_along.then(|| {
            let askew = exact_math::atan2(step.y, step.x);
            let square = Vector::from_angle((to - from).angle() - askew);
            let bow = Bow::of(wall);
            Wall { ends: (from, to), square, slope, length: step.length(), bow }
        })
    });
    walls.max_by(|a, b| a.length.total_cmp(&b.length))
}

/// Places at which it is seen how lanes stand: the corners, and some on each wall.
fn looks(regions: &[Polygon]) -> Vec<Point> {
    let on_wall = |(from, to): (Point, Point)| {
        (0..LOOKS).map(move |look| from.toward(to, f64::from(look) / f64::from(LOOKS)))
    };
    regions.iter().flat_map(Polygon::edges).flat_map(on_wall).collect()
}

/// How far walls run off square in all: so much floor along them lanes end in, step by step.
#[must_use]
pub fn askew(regions: &[Polygon]) -> f64 {
    let sides = regions.iter().flat_map(Polygon::edges).map(|(from, to)| to - from);
    sides.map(|step| step.x.abs().min(step.y.abs())).sum()
}
