//! From ports to lanes: how the tubes of a band leave their ports and which lanes each circuit takes.
//!
//! Tubes leave to the left and the right of the ports, the outermost for the nearest lanes, so
//! that each lies inside the next one's bend and none crosses. A circuit takes an even number of
//! lanes beside each other, as far as the band goes on its hand: out on the one, back on the next.
//! A lane nearer than a bend from the ports is reached from beyond, by a step back to it.

use super::strip::{Strip, StripRules};
use crate::geometry::{Point, Polygon};
use crate::tube::frame::Frame;

/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// A station this nearly square to the ports stands on their wall.
const SQUARE: f64 = 0.9999;
/// How far from the ports a band may begin, inches.
const FARTHEST_START_IN: f64 = 96.0;

/// Where the tubes of a band come from.
#[derive(Clone, Debug)]
pub struct Feed {
    /// Axes whose east runs along the ports and whose north leads toward the lanes.
    pub frame: Frame,
    /// Ports on the left and on the right, the outermost first: how far out they stand.
    pub ports: [Vec<f64>; 2],
    /// How far to each side of the middle no run may lie.
    pub kept_free: f64,
    /// The ports stand at the wall, else they come to the band from inside.
    pub is_at_wall: bool,
    /// Distance between tubes side by side, inches.
    pub pitch: f64,
}

/// A circuit of a band before it is bent.
#[derive(Clone, Debug)]
pub struct BandCourse {
    /// Corners from port to port.
    pub corners: Vec<Point>,
    /// Length of its leaders, inches.
    pub leaders: (f64, f64),
    /// The circuit's lanes, each from the ports on.
    pub lanes: Vec<Vec<Point>>,
    /// How much wall its tube runs along first of all lanes, inches.
    pub wall: f64,
}

/// One side of the ports.
struct Hand<'a> {
    strip: &'a Strip,
    feed: &'a Feed,
    rules: StripRules,
    is_right: bool,
}

/// What one side begins with.
struct Start {
    /// Corners of each tube from its port to its lane, the outermost first, and the lane's place in
    /// the order of nearness.
    leaders: Vec<Vec<Point>>,
    /// Stations from the first on, as far as all lanes lead.
    stations: Vec<usize>,
}

/// Circuits of a band; empty when none fits. `limit` is the longest circuit allowed, inches.
#[must_use]
pub fn courses(strip: &Strip, feed: &Feed, rules: StripRules, limit: f64) -> Vec<BandCourse> {
    let hand = |is_right: bool| Hand { strip, feed, rules, is_right };
    let [left, right] = [hand(false), hand(true)];
    let mut starts = [left.start(), right.start()];
    // The hand whose circuits take fewer lanes goes farther.
    let most = |hand: &Hand| hand.blocks().iter().map(Vec::len).max().unwrap_or(1) as f64;
    let lanes = [most(&left), most(&right)];
    share_ring(strip, &mut starts, lanes);
    [left, right]
        .iter()
        .zip(starts)
        .filter_map(|(hand, start)| Some(hand.circuits(start?, limit)))
        .flatten()
        .collect()
}

/// Where both hands come round to the same walls, they share them so that circuits of so many
/// lanes on each are equally long.
fn share_ring(strip: &Strip, starts: &mut [Option<Start>; 2], lanes: [f64; 2]) {
    let [Some(left), Some(right)] = starts else { return };
    let Some(&last) = left.stations.first() else { return };
    let Some(meet) = right.stations.iter().position(|&station| station == last) else { return };
    right.stations.truncate(meet + 1);
    let way = |stations: &[usize]| {
        let mut along = 0.0;
        let mut before: Option<usize> = None;
        let mut ways = Vec::with_capacity(stations.len());
        for &station in stations {
            along += before.map_or(0.0, |before| wall_between(strip, before, station));
            ways.push(along);
            before = Some(station);
        }
        ways
    };
    let all = way(&right.stations).last().copied().unwrap_or(0.0);
    let [left_lanes, right_lanes] = lanes.map(|count| count / lanes.iter().sum::<f64>());
    for (start, share) in [(left, right_lanes), (right, left_lanes)] {
        let ways = way(&start.stations);
        let end = share * all - strip.spacing / 2.0;
        let kept = ways.iter().take_while(|&&along| along <= end).count();
        start.stations.truncate(kept);
    }
}

/// Length of lane 0 between two stations that follow each other either way.
fn wall_between(strip: &Strip, from: usize, to: usize) -> f64 {
    let (from, to) = if strip.next(from, true) == Some(to) { (from, to) } else { (to, from) };
    strip.lane(0, from, to).map_or(0.0, |line| length(&line))
}

impl Hand<'_> {
    fn ports(&self) -> &[f64] {
        let [left, right] = &self.feed.ports;
        if self.is_right { right } else { left }
    }

    /// A place in the axes of the ports, east counted away from them.
    fn local(&self, point: Point) -> Point {
        let local = self.feed.frame.local(point);
        Point::new(if self.is_right { local.x } else { -local.x }, local.y)
    }

    fn plan(&self, x: f64, y: f64) -> Point {
        self.feed.frame.plan(Point::new(if self.is_right { x } else { -x }, y))
    }

    /// Lanes in the order in which they lie before the ports.
    fn order(&self) -> Vec<usize> {
        let count = self.strip.lanes();
        if self.feed.is_at_wall { (0..count).collect() } else { (0..count).rev().collect() }
    }

    /// Whether lanes run along the ports at a station.
    fn is_before_ports(&self, station: usize) -> bool {
        let north =
            self.feed.frame.plan(Point::new(0.0, 1.0)) - self.feed.frame.plan(Point::ORIGIN);
        self.strip.stations.get(station).is_some_and(|station| {
            let ahead = station.inward.dot(north);
            if self.feed.is_at_wall { ahead > SQUARE } else { ahead < -SQUARE }
        })
    }

    fn start(&self) -> Option<Start> {
        let &outermost = self.ports().first()?;
        let near = self.first_station(outermost.max(self.feed.kept_free), None)?;
        let level = |lane: usize| self.local(self.strip.place(near, lane)).y;
        let blocks = self.blocks();
        let radius = self.rules.radius;
        let mut leaders = Vec::with_capacity(self.ports().len());
        let (mut least, mut step_back) = (radius + 0.1, outermost + 2.0 * radius + 0.5);
        let mut begins = outermost + radius + 0.5;
        for (tube, port) in self.ports().iter().enumerate() {
            let block = blocks.get(tube / 2)?;
            let winding = self.winding(block);
            let [outer, inner] = self.ends(&winding)?;
            let lane = if tube % 2 == 0 { outer } else { inner };
            let (port, lane) = (*port, level(lane));
            let high = lane.max(least);
            let mut corners = vec![self.plan(port, 0.0), self.plan(port, high)];
            if high > lane + 1e-6 {
                corners.extend([self.plan(step_back, high), self.plan(step_back, lane)]);
                begins = begins.max(step_back + 2.0 * radius + 1.0);
                step_back += self.feed.pitch;
            }
            leaders.push(corners);
            least = high + self.feed.pitch;
        }
        let first = self.first_station(begins.max(self.feed.kept_free), Some(level(0)))?;
        Some(Start { leaders, stations: self.stations_from(first) })
    }

    /// The nearest station beside the ports that lies so far away from their middle.
    fn first_station(&self, least: f64, level: Option<f64>) -> Option<usize> {
        let count = self.strip.stations.len();
        (0..count)
            .filter(|&station| self.is_before_ports(station))
            .filter_map(|station| {
                let at = self.local(self.strip.place(station, 0));
                let is_near = at.x >= least && at.x <= least + FARTHEST_START_IN;
                let is_level = level
                    .map_or_else(|| self.is_at_ports(at.y), |level| (at.y - level).abs() < 0.1);
                (is_near && is_level).then_some((at.x, station))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, station)| station)
    }

    /// Whether a wall whose first lane lies at this level is the one of the ports.
    fn is_at_ports(&self, level: f64) -> bool {
        let depth = self.strip.lanes().saturating_sub(1) as f64 * self.strip.spacing;
        if self.feed.is_at_wall {
            level.abs() <= self.rules.edge + depth + 24.0
        } else {
            level >= self.rules.radius && level <= depth + 24.0 + self.rules.radius
        }
    }

    fn stations_from(&self, first: usize) -> Vec<usize> {
        let is_forward = self.is_right == self.feed.is_at_wall;
        let mut stations = vec![first];
        let mut here = first;
        while let Some(next) = self.strip.next(here, is_forward) {
            let is_round = stations.len() > self.strip.stations.len() || next == first;
            if is_round || self.shuts_ports_in(next) {
                break;
            }
            stations.push(next);
            here = next;
        }
        stations
    }

    /// Whether lanes at a station lie on the way that is kept free before the ports.
    fn shuts_ports_in(&self, station: usize) -> bool {
        let StripRules { spacing, radius, edge, .. } = self.rules;
        // Beyond the band leaders that turn off lie in front of each other.
        let lanes = self.strip.lanes() as f64 * spacing;
        let ahead = edge + lanes + 2.0 * radius + 2.0 * self.feed.kept_free;
        (0..self.strip.lanes()).any(|lane| {
            let at = self.local(self.strip.place(station, lane));
            at.x.abs() < self.feed.kept_free && at.y < ahead && at.y > -ahead
        })
    }

    /// Lanes of each circuit, the outermost circuit first.
    fn blocks(&self) -> Vec<Vec<usize>> {
        let order = self.order();
        let (circuits, pairs) = (self.ports().len() / 2, order.len() / 2);
        let mut blocks = Vec::with_capacity(circuits);
        let mut taken = 0;
        for circuit in 0..circuits {
            let until = 2 * (pairs * (circuit + 1) / circuits);
            blocks.push(order.iter().copied().take(until).skip(taken).collect());
            taken = until;
        }
        blocks
    }

    /// The order in which a circuit's lanes are laid, the one at the wall first. Where a return
    /// from lane to lane must be a bulb, the first return is the wide one to the last lane: bulbs
    /// then stand inside it and not over the wall.
    fn winding(&self, block: &[usize]) -> Vec<usize> {
        let is_tight = 2.0 * self.rules.radius > self.rules.spacing;
        let mut block = block.to_vec();
        block.sort_unstable();
        match block.split_first() {
            Some((&first, rest)) if is_tight => {
                std::iter::once(first).chain(rest.iter().rev().copied()).collect()
            }
            _ => block,
        }
    }

    /// The lanes that the outer and the inner tube of a circuit come to: the outer one's is nearer
    /// to the ports.
    fn ends(&self, winding: &[usize]) -> Option<[usize; 2]> {
        let (&first, &last) = (winding.first()?, winding.last()?);
        Some(if self.feed.is_at_wall { [first, last] } else { [last, first] })
    }

    fn circuits(&self, start: Start, limit: f64) -> Vec<BandCourse> {
        let blocks = self.blocks();
        let most = blocks.iter().map(Vec::len).max().unwrap_or(0);
        let Some(&first) = start.stations.first() else { return Vec::new() };
        let lead = start
            .leaders
            .iter()
            .map(|leader| length(leader) + end_to(leader, self.strip.place(first, 0)))
            .fold(0.0, f64::max);
        let room = (FULL * limit - 2.0 * lead) / most.max(1) as f64;
        let Some(last) = self.last_within(&start.stations, room) else { return Vec::new() };
        let mut found = Vec::with_capacity(blocks.len());
        for (block, leaders) in blocks.iter().zip(start.leaders.chunks(2)) {
            let [outer, inner] = leaders else { continue };
            // Water comes to the wall first.
            let (into, out_of) = if self.feed.is_at_wall { (outer, inner) } else { (inner, outer) };
            let winding = self.winding(block);
            // A bulb at the end of lanes nearer to the wall bows over those beside them.
            let shorter = blocks.iter().filter(|other| other.iter().min() < block.iter().min());
            let shorter = shorter.count() as f64 * self.bulb_room();
            let Some(end) = self.before(&start.stations, last, shorter) else { continue };
            let Some(lanes) = self.lanes(&winding, &start.stations, end) else { continue };
            let at_wall = winding.iter().zip(&lanes).filter(|(lane, _)| **lane == 0);
            let wall = at_wall.map(|(_, line)| length(line)).sum();
            let ends =
                (lanes.first().and_then(|l| l.first()), lanes.last().and_then(|l| l.first()));
            let (Some(&from), Some(&to)) = ends else { continue };
            let leaders = (length(into) + end_to(into, from), length(out_of) + end_to(out_of, to));
            let mut corners = into.clone();
            for (number, lane) in lanes.iter().enumerate() {
                if number % 2 == 0 {
                    corners.extend(lane);
                } else {
                    corners.extend(lane.iter().rev());
                }
            }
            corners.extend(out_of.iter().rev());
            found.push(BandCourse { corners, leaders, lanes, wall });
        }
        found
    }

    /// The lanes of a circuit in the order they are laid, each from the ports on. Returns that must
    /// be bulbs are drawn back from each other and from the wide one round them.
    fn lanes(&self, winding: &[usize], stations: &[usize], last: usize) -> Option<Vec<Vec<Point>>> {
        let StripRules { spacing, radius, .. } = self.rules;
        let is_tight = 2.0 * radius > spacing;
        let is_second = |number: usize| !number.is_multiple_of(2);
        let aside = |is_drawn: bool| if is_drawn { self.bulb_room() } else { 0.0 };
        let count = stations.iter().position(|&station| station == last)? + 1;
        let out = stations.get(..count)?;
        let back: Vec<usize> = out.iter().rev().copied().collect();
        let lane = |(place, &lane): (usize, &usize)| {
            let is_leader = place == 0 || place + 1 == winding.len();
            let far =
                if is_tight && place > 1 { spacing + aside(!is_second(place / 2)) } else { 0.0 };
            let near = if is_leader { 0.0 } else { aside(is_second((place - 1) / 2)) };
            self.lane(lane, self.after(out, near)?, self.after(&back, far)?)
        };
        winding.iter().enumerate().map(lane).collect()
    }

    /// How far a bulb is drawn back so that the one beside it stands clear of it; nothing where
    /// returns are plain.
    fn bulb_room(&self) -> f64 {
        let StripRules { spacing, radius, .. } = self.rules;
        if 2.0 * radius > spacing { 2.0 * radius + spacing } else { 0.0 }
    }

    /// The last of some stations that lies so far before one of them.
    fn before(&self, stations: &[usize], last: usize, distance: f64) -> Option<usize> {
        let upto = stations.iter().take_while(|&&station| station != last).chain([&last]);
        let mut back: Vec<usize> = upto.copied().collect();
        back.reverse();
        self.after(&back, distance)
    }

    /// The first of some stations that lies so far from the first of them along the wall.
    fn after(&self, stations: &[usize], distance: f64) -> Option<usize> {
        let mut along = 0.0;
        let mut before = *stations.first()?;
        for &station in stations {
            along +=
                if station == before { 0.0 } else { wall_between(self.strip, before, station) };
            if along >= distance {
                return Some(station);
            }
            before = station;
        }
        None
    }

    /// A lane from the ports on, from one station to another.
    fn lane(&self, lane: usize, first: usize, last: usize) -> Option<Vec<Point>> {
        if self.is_right == self.feed.is_at_wall {
            self.strip.lane(lane, first, last)
        } else {
            let mut line = self.strip.lane(lane, last, first)?;
            line.reverse();
            Some(line)
        }
    }

    /// The last of some stations up to which the middle of the lanes is no longer than `room`.
    fn last_within(&self, stations: &[usize], room: f64) -> Option<usize> {
        let lanes = [0, self.strip.lanes().saturating_sub(1)];
        let (mut along, mut last, mut before) = (0.0, None, *stations.first()?);
        for &station in stations.iter().skip(1) {
            let step = |&lane: &usize| self.lane(lane, before, station).map(|line| length(&line));
            let steps: Option<Vec<f64>> = lanes.iter().map(step).collect();
            along += steps?.iter().sum::<f64>() / 2.0;
            if along > room {
                break;
            }
            (last, before) = (Some(station), station);
        }
        // A circuit shorter than its own turns heats nothing.
        last.filter(|_| along > 6.0 * self.rules.spacing.max(self.rules.radius))
    }
}

fn end_to(leader: &[Point], place: Point) -> f64 {
    leader.last().map_or(0.0, |end| end.distance(place))
}

/// Length of a line, inches.
#[must_use]
pub fn length(line: &[Point]) -> f64 {
    line.iter().zip(line.iter().skip(1)).map(|(from, to)| from.distance(*to)).sum()
}

/// The floor that lanes serve: half a spacing to each side of them.
#[must_use]
pub fn served(courses: &[BandCourse], spacing: f64) -> Vec<Polygon> {
    let strips: Vec<Polygon> = courses
        .iter()
        .flat_map(|course| &course.lanes)
        .flat_map(|lane| crate::tube::clear_area::grown_line(lane, spacing / 2.0 + 0.05))
        .collect();
    crate::geometry::clip::union_all(&strips)
}
