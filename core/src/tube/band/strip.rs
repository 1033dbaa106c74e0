//! The lanes of an edge band: lines side by side that follow the outside walls.
//!
//! Vocabulary: *lane* k is the rim of the slab shrunk by its edge distance and k spacings, so it is
//! parallel to every wall, whatever its direction. Where something stands in the band, lanes
//! nearer to the wall pass behind it and the others in front of it, round a box that is joined to
//! the wall. A
//! *station* is a place on lane 0 from which all lanes lie straight inward, one spacing apart; the
//! ends of circuits lie at stations only. Two stations are *linked* when every lane is clear from
//! the one to the next.

#![expect(
    clippy::indexing_slicing,
    reason = "ring and station numbers come from this file's own loops over the same vectors"
)]

use crate::geometry::clip::{difference, union_all};
use crate::geometry::nearest::{
    distance_between_lines, distance_to_line, distance_to_sides, nearest_on_line,
};
use crate::geometry::offset::inset;
use crate::geometry::polygon::edges;
use crate::geometry::{Bounds, Point, Polygon, Vector};
use crate::tube::field::Field;
use crate::tube::frame::Frame;

/// What reaches farther into the floor than this beyond the band is not passed in front of: there
/// the band ends, inches.
const MOST_DETOUR_IN: f64 = 24.0;
/// A lane this near to a thing still passes behind it, inches.
const BESIDE_IN: f64 = 0.1;
/// How much of its box a thing fills for lanes to pass round the box.
const FILLS_ITS_BOX: f64 = 0.7;
/// Lanes are parallel when they lie this exactly one spacing apart, inches.
const PARALLEL_IN: f64 = 0.03;
/// How far a station keeps from the ends of its side, inches.
const FROM_CORNER_IN: f64 = 0.5;

/// Closed line with the distance of each corner from the first.
#[derive(Clone, Debug)]
struct Ring {
    points: Vec<Point>,
    along: Vec<f64>,
    length: f64,
}

impl Ring {
    fn new(ring: &[Point]) -> Option<Self> {
        let mut points: Vec<Point> = Vec::with_capacity(ring.len());
        for &point in ring {
            if points.last().is_none_or(|last| last.distance(point) > 0.01) {
                points.push(point);
            }
        }
        while points.len() > 1 && points[0].distance(points[points.len() - 1]) < 0.01 {
            points.pop();
        }
        if points.len() < 3 {
            return None;
        }
        let mut along = Vec::with_capacity(points.len());
        let mut length = 0.0;
        for (from, to) in edges(&points) {
            along.push(length);
            length += from.distance(to);
        }
        Some(Self { points, along, length })
    }

    /// The place on it nearest to a point: how far from it, and how far along.
    fn nearest(&self, point: Point) -> (f64, f64) {
        edges(&self.points)
            .zip(&self.along)
            .map(|((from, to), along)| {
                let on = nearest_on_line(point, from, to);
                (on.distance(point), along + from.distance(on))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or((f64::INFINITY, 0.0))
    }

    fn at(&self, along: f64) -> Point {
        let count = self.points.len();
        let edge = self.along.partition_point(|&start| start <= along).max(1) - 1;
        let (from, to) = (self.points[edge], self.points[(edge + 1) % count]);
        let length = from.distance(to).max(1e-9);
        from.toward(to, ((along - self.along[edge]) / length).clamp(0.0, 1.0))
    }

    /// From one place on to another, corners between included.
    fn between(&self, from: f64, to: f64) -> Vec<Point> {
        let until = if to >= from { to } else { to + self.length };
        let mut line = vec![self.at(from)];
        for round in [0.0, self.length] {
            for (point, along) in self.points.iter().zip(&self.along) {
                let along = along + round;
                if along > from + 1e-6 && along < until - 1e-6 {
                    line.push(*point);
                }
            }
        }
        line.push(self.at(to));
        line
    }
}

/// A place from which all lanes lie straight inward.
#[derive(Clone, Debug)]
pub struct Station {
    /// On lane 0.
    pub at: Point,
    /// Away from the wall.
    pub inward: Vector,
    /// Ring and distance along it, lane by lane.
    places: Vec<(usize, f64)>,
}

/// The lanes of a band and where circuits may begin and end on them.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Rings of each lane, from the wall inward.
    lanes: Vec<Vec<Ring>>,
    /// The stations, round each wall counter-clockwise.
    pub stations: Vec<Station>,
    /// The station before and after each one that lanes lead to.
    links: Vec<[Option<usize>; 2]>,
    /// Distance from lane to lane, inches.
    pub spacing: f64,
}

/// What a band is made from.
#[derive(Clone, Copy, Debug)]
pub struct StripRules {
    /// Number of lanes.
    pub lanes: usize,
    /// Distance from lane to lane, inches.
    pub spacing: f64,
    /// Distance of the first lane from the slab edge, inches.
    pub edge: f64,
    /// Bend radius, inches.
    pub radius: f64,
}

impl StripRules {
    /// The first lane keeps so far from the slab edge that its bends round an inside corner, which
    /// cut that corner, keep the edge distance too.
    fn first_lane(&self) -> f64 {
        let diagonal = std::f64::consts::SQRT_2;
        self.edge.max((self.edge + (diagonal - 1.0) * self.radius) / diagonal)
    }
}

impl Strip {
    /// The lanes along the outside walls of a slab where `field` is clear of what stands in their
    /// way, round the things `kept_off` that lie near a wall.
    #[must_use]
    pub fn new(
        slab: &Polygon,
        kept_off: &[Polygon],
        field: &Field,
        rules: StripRules,
    ) -> Option<Self> {
        let whole = Polygon::new(slab.outer.clone(), Vec::new());
        let things = in_front(&whole, slab, kept_off, rules);
        let lanes: Vec<Vec<Ring>> = (0..rules.lanes)
            .map(|lane| {
                let within = within_lane(&whole, &things, lane, rules);
                within.iter().filter_map(|polygon| Ring::new(&polygon.outer)).collect()
            })
            .collect();
        let mut strip =
            Self { lanes, stations: Vec::new(), links: Vec::new(), spacing: rules.spacing };
        strip.set_stations(field);
        (!strip.stations.is_empty()).then_some(strip)
    }

    fn set_stations(&mut self, field: &Field) {
        let Some(walls) = self.lanes.first() else { return };
        let mut rounds: Vec<Vec<Station>> = Vec::new();
        for ring in walls {
            let mut round = Vec::new();
            for (from, to) in edges(&ring.points) {
                let Some(step) = (to - from).unit() else { continue };
                for along in along_side(from.distance(to), self.spacing) {
                    let found = self.station(from + step * along, step.left(), field);
                    round.extend(found);
                }
            }
            rounds.push(round);
        }
        for round in rounds {
            let first = self.stations.len();
            let count = round.len();
            self.stations.extend(round);
            self.links.resize(self.stations.len(), [None; 2]);
            for place in 0..count {
                let (here, next) = (first + place, first + (place + 1) % count);
                if here != next && self.is_clear(here, next, field) {
                    self.links[here][1] = Some(next);
                    self.links[next][0] = Some(here);
                }
            }
        }
    }

    fn station(&self, at: Point, inward: Vector, field: &Field) -> Option<Station> {
        let mut places = Vec::with_capacity(self.lanes.len());
        for (lane, rings) in self.lanes.iter().enumerate() {
            let point = at + inward * (lane as f64 * self.spacing);
            if !field.contains(point + inward * 0.02) {
                return None;
            }
            let (ring, (distance, along)) = rings
                .iter()
                .map(|ring| ring.nearest(point))
                .enumerate()
                .min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
            if distance > PARALLEL_IN {
                return None;
            }
            places.push((ring, along));
        }
        Some(Station { at, inward, places })
    }

    /// Whether every lane is clear from a station to the next one round the wall.
    fn is_clear(&self, from: usize, to: usize, field: &Field) -> bool {
        (0..self.lanes.len()).all(|lane| {
            let (start, end) = (self.stations[from].places[lane], self.stations[to].places[lane]);
            if start.0 != end.0 {
                return false;
            }
            let ring = &self.lanes[lane][start.0];
            let way = (end.1 - start.1 + ring.length) % ring.length;
            way > 1e-6
                && way < 0.75 * ring.length
                && ring
                    .between(start.1, end.1)
                    .windows(2)
                    .all(|leg| field.contains(leg[0].middle(leg[1])) && is_clear(field, leg))
        })
    }

    /// The station that lanes lead to from one, counter-clockwise round the floor or the other way.
    #[must_use]
    pub fn next(&self, station: usize, is_forward: bool) -> Option<usize> {
        self.links.get(station).and_then(|links| links[usize::from(is_forward)])
    }

    /// Ends the band at a place: no lane leads past it.
    pub fn cut_at(&mut self, place: Point) {
        let nearest = (0..self.stations.len())
            .filter_map(|here| {
                let next = self.links[here][1]?;
                let legs = (0..self.lanes.len()).filter_map(|lane| self.lane(lane, here, next));
                let away = legs
                    .flat_map(|legs| {
                        let pairs = legs.windows(2).map(|leg| (leg[0], leg[1]));
                        pairs.collect::<Vec<_>>()
                    })
                    .map(|(from, to)| distance_to_line(place, from, to))
                    .fold(f64::INFINITY, f64::min);
                Some((away, here, next))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, here, next)) = nearest {
            self.links[here][1] = None;
            self.links[next][0] = None;
        }
    }

    /// A lane from one station forward to another.
    #[must_use]
    pub fn lane(&self, lane: usize, from: usize, to: usize) -> Option<Vec<Point>> {
        let (start, end) =
            (self.stations.get(from)?.places.get(lane)?, self.stations.get(to)?.places.get(lane)?);
        let ring = self.lanes.get(lane)?.get(start.0)?;
        (start.0 == end.0).then(|| ring.between(start.1, end.1))
    }

    /// Length of the first lane round all walls, inches.
    #[must_use]
    pub fn wall(&self) -> f64 {
        self.lanes.first().map_or(0.0, |rings| rings.iter().map(|ring| ring.length).sum())
    }

    /// Number of lanes.
    #[must_use]
    pub fn lanes(&self) -> usize {
        self.lanes.len()
    }

    /// Where a lane passes a station.
    #[must_use]
    pub fn place(&self, station: usize, lane: usize) -> Point {
        self.stations.get(station).map_or(Point::ORIGIN, |station| {
            station.at + station.inward * (lane as f64 * self.spacing)
        })
    }
}

/// A lane may lie on the very rim of the field.
fn is_clear(field: &Field, leg: &[Point]) -> bool {
    let Some(step) = (leg[1] - leg[0]).unit() else { return true };
    let aside = step.left() * 0.01;
    field.is_clear(leg[0] + aside + step * 0.01, leg[1] + aside - step * 0.01)
}

/// Where stations are tried along a side of some length.
fn along_side(length: f64, spacing: f64) -> Vec<f64> {
    let room = length - 2.0 * FROM_CORNER_IN;
    if room < spacing {
        return vec![length / 2.0];
    }
    let count = (room / spacing).ceil().min(10_000.0);
    let mut places = Vec::new();
    let mut number = 0.0;
    while number <= count {
        places.push(FROM_CORNER_IN + room * number / count);
        number += 1.0;
    }
    places
}

/// A thing in the way of some lanes.
struct InFront {
    /// It and all between it and the walls near it.
    area: Vec<Polygon>,
    /// The first lane that passes in front of it; nearer ones pass behind.
    first: usize,
}

/// What stands in the way of lanes, near enough to the walls to be passed in front of.
fn in_front(
    whole: &Polygon,
    slab: &Polygon,
    kept_off: &[Polygon],
    rules: StripRules,
) -> Vec<InFront> {
    let openings = slab.holes.iter().map(|hole| Polygon::new(hole.clone(), Vec::new()));
    let openings: Vec<Polygon> = openings.flat_map(|hole| inset(&[hole], -rules.edge)).collect();
    let depth_of = |lane: usize| rules.first_lane() + lane as f64 * rules.spacing;
    // Bends round its corners cut them.
    let margin = (std::f64::consts::SQRT_2 - 1.0) * rules.radius;
    let mut found = Vec::new();
    for thing in kept_off.iter().chain(&openings) {
        let away = |point: &Point| distance_to_sides(*point, whole);
        let inside = thing.outer.iter().filter(|point| whole.contains(**point));
        let far = inside.map(away).fold(0.0, f64::max);
        let is_inside = thing.outer.iter().all(|point| whole.contains(*point));
        let near = if is_inside {
            thing.outer.iter().map(away).fold(f64::INFINITY, f64::min)
        } else {
            0.0
        };
        let last = depth_of(rules.lanes.saturating_sub(1));
        let Some(first) = (0..rules.lanes).find(|&lane| depth_of(lane) > near - BESIDE_IN) else {
            continue;
        };
        if far > last + MOST_DETOUR_IN {
            continue;
        }
        let area = joined_to_walls(whole, thing, (margin, last + rules.spacing))
            .unwrap_or_else(|| inset(std::slice::from_ref(thing), -margin));
        found.push(InFront { area, first });
    }
    found
}

/// What a lane is the rim of: the slab less its distance from the walls and less what stands in
/// front of it, grown as far as lanes before it take up.
fn within_lane(
    whole: &Polygon,
    things: &[InFront],
    lane: usize,
    rules: StripRules,
) -> Vec<Polygon> {
    let distance = rules.first_lane() + lane as f64 * rules.spacing;
    let grown = things
        .iter()
        .filter(|thing| thing.first <= lane)
        .flat_map(|thing| inset(&thing.area, -((lane - thing.first) as f64) * rules.spacing));
    let rim = difference(&inset(std::slice::from_ref(whole), distance), &grown.collect::<Vec<_>>());
    rim.into_iter().map(|part| Polygon::new(part.outer, Vec::new())).collect()
}

/// The box of a thing, `margin` larger, together with all between it and each wall within `reach`
/// of it; `None` for a thing that fills too little of its box.
fn joined_to_walls(
    whole: &Polygon,
    thing: &Polygon,
    (margin, reach): (f64, f64),
) -> Option<Vec<Polygon>> {
    let away = |from: Point, to: Point| {
        let sides = edges(&thing.outer);
        sides.map(|side| distance_between_lines(side, (from, to))).fold(f64::INFINITY, f64::min)
    };
    let boxed = |(from, to): (Point, Point)| {
        let frame = Frame::new(from, (to - from).angle());
        let bounds = Bounds::of(thing.outer.iter().map(|&point| frame.local(point)))?;
        let is_filled = thing.area() >= FILLS_ITS_BOX * bounds.width() * bounds.height();
        let is_before = bounds.max.x > -reach && bounds.min.x < from.distance(to) + reach;
        let low = Point::new(bounds.min.x - margin, bounds.min.y.min(-margin));
        let high = Point::new(bounds.max.x + margin, bounds.max.y + margin);
        let ring = Polygon::rectangle(low, high).outer;
        let ring = ring.into_iter().map(|point| frame.plan(point)).collect();
        (is_filled && is_before).then(|| Polygon::new(ring, Vec::new()))
    };
    let mut walls: Vec<(f64, (Point, Point))> =
        whole.edges().map(|(from, to)| (away(from, to), (from, to))).collect();
    walls.sort_by(|a, b| a.0.total_cmp(&b.0));
    let nearest = boxed(walls.first()?.1)?;
    // A second wall only where the thing stands in a corner of both.
    let along = walls.first()?.1;
    let corner = walls.iter().skip(1).find(|(distance, side)| {
        let (a, b) = ((along.1 - along.0).unit(), (side.1 - side.0).unit());
        let is_square = a.zip(b).is_some_and(|(a, b)| a.dot(b).abs() < 0.1);
        *distance < reach && is_square
    });
    let second = corner.and_then(|(_, side)| boxed(*side));
    Some(union_all(&std::iter::once(nearest).chain(second).collect::<Vec<_>>()))
}
