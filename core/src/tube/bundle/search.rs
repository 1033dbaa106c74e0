//! The search for the middle lines of a bundle: Dijkstra's, over the places of a grid and the
//! headings in which they are reached.
//!
//! Every leg runs along a line of the grid, ends in a turn or at an entry, and is long enough for
//! the bends at its ends.

use super::{BundleGround, BundleRules, Entry, Heading};
use crate::effort::Budget;
use crate::geometry::Point;
use crate::geometry::nearest::distance_to_line;
use std::collections::{BTreeMap, BTreeSet};

/// What a turn costs, in inches of way.
const TURN_COST_IN: f64 = 30.0;
/// A way across open floor costs this much more than one along a wall or a boundary.
const OPEN_FLOOR: f64 = 1.6;
/// Lines of the grid nearer to each other than this are one, inches.
const SAME_LINE_IN: f64 = 1.5;
/// Most lines of the grid each way, beside those through entries.
const MOST_LINES: usize = 40;
/// Places nearer than this are on one line, inches.
const ON_LINE_IN: f64 = 1e-6;
/// A bundle is along a wall when its rim is within this of it, inches.
const BESIDE_WALL_IN: f64 = 18.0;
/// What it costs to go on from a place.
const GONE_ON: u64 = 3;

/// A place of the grid and the heading in which it is reached, to turn there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Stand {
    column: usize,
    row: usize,
    heading: usize,
}

/// The cheapest way to somewhere: its cost and its last turn, none for a straight one.
type Reached = (f64, Option<Stand>);

/// The state of a search.
pub(super) struct Search<'a> {
    ground: &'a BundleGround<'a>,
    entries: &'a [Entry],
    /// Entries of each heading by where they lie across it.
    across: [Vec<(f64, usize)>; 4],
    rules: BundleRules,
    most: f64,
    start: Point,
    columns: Lines,
    rows: Lines,
    /// Of every stand.
    seen: Vec<Option<Reached>>,
    open: BTreeSet<(u64, Stand)>,
    /// Of every entry that is reached.
    reached: BTreeMap<usize, Reached>,
}

impl<'a> Search<'a> {
    /// A search for ways of at most a cost.
    pub(super) fn new(
        ground: &'a BundleGround<'a>,
        start: Point,
        entries: &'a [Entry],
        (rules, most): (BundleRules, f64),
    ) -> Self {
        let exact: Vec<Point> = entries.iter().map(|entry| entry.at).chain([start]).collect();
        let reach = rules.width() / 2.0 + BESIDE_WALL_IN;
        let lines = |of| Lines::new(&exact, ground, of, reach);
        let (columns, rows) = (lines(|p| p.x), lines(|p| p.y));
        Self {
            ground,
            entries,
            across: Heading::ALL.map(|heading| across(entries, heading)),
            rules,
            most,
            start,
            seen: vec![None; 4 * columns.values.len() * rows.values.len()],
            columns,
            rows,
            open: BTreeSet::new(),
            reached: BTreeMap::new(),
        }
    }

    /// Looks until nothing is left to go on from, or nothing of the budget.
    pub(super) fn run(&mut self, budget: &mut Budget) {
        let north = Heading(1);
        if let Some(inside) = self.first_inside() {
            self.go(None, (self.start, inside), north, self.rules.bend(), 0.0);
        }
        while let Some((known, stand)) = self.open.pop_first() {
            let Some((cost, _)) = self.known(stand) else { continue };
            // A cheaper way there was found after it was put down, and has been gone on from.
            if steps(cost) < known {
                continue;
            }
            budget.spend(GONE_ON);
            if budget.is_spent() {
                return;
            }
            let Some(at) = self.place(stand) else { continue };
            let heading = Heading(stand.heading);
            for next in [heading.left(), heading.right()] {
                let shortest = 2.0 * self.rules.bend();
                self.go(Some(stand), (at, at), next, shortest, cost + TURN_COST_IN);
            }
        }
    }

    /// The cost and corners of the cheapest way to each entry reached.
    pub(super) fn into_ways(self) -> Vec<(f64, Vec<Point>)> {
        self.reached
            .iter()
            .map(|(&entry, &(cost, stand))| {
                let mut way = self.way_to(stand);
                way.extend(self.entries.get(entry).map(|entry| entry.at));
                (cost, way)
            })
            .collect()
    }

    /// All legs from a place on, of which the first part up to `clear` is known to be free.
    fn go(
        &mut self,
        before: Option<Stand>,
        (from, clear): (Point, Point),
        heading: Heading,
        shortest: f64,
        cost: f64,
    ) {
        let is_level = heading.0.is_multiple_of(2);
        let ahead = if heading.0 < 2 { 1.0 } else { -1.0 };
        let along = |p: Point| if is_level { p.x } else { p.y };
        let fixed = if is_level { from.y } else { from.x };
        let (lines, own) =
            if is_level { (&self.columns, &self.rows) } else { (&self.rows, &self.columns) };
        let Some(line) = own.at(fixed) else { return };
        let walls = own.walls_beside(line);
        let mut arrived: Vec<(usize, f64)> = Vec::new();
        for number in entries_on(&self.across, heading, fixed) {
            let Some(&entry) = self.entries.get(number) else { continue };
            let distance = (along(entry.at) - along(from)) * ahead;
            let is_here = cost + entry.at.distance(from) <= self.most
                && distance >= (shortest - self.rules.bend()).max(1.0)
                && self.is_clear(clear, entry.at, ahead * (along(entry.at) - along(clear)));
            if !is_here {
                continue;
            }
            let total = cost + self.leg_cost(walls, from, entry.at);
            if self.reached.get(&number).is_none_or(|(least, _)| total < *least) {
                arrived.push((number, total));
            }
        }
        let farthest = (lines.end(ahead) - along(clear)) * ahead;
        let free = self.ground.middle.reach(clear, heading, farthest.max(0.0) + 1.0);
        let mut better: Vec<(Stand, f64)> = Vec::new();
        for (index, value) in lines.from(along(from), ahead, shortest) {
            let distance = (value - along(from)) * ahead;
            let beyond = (value - along(clear)) * ahead;
            if cost + distance > self.most || beyond >= free {
                break;
            }
            if beyond < 0.0 {
                continue;
            }
            let (column, row) = if is_level { (index, line) } else { (line, index) };
            let stand = Stand { column, row, heading: heading.0 };
            let known = self.known(stand).map_or(f64::INFINITY, |(least, _)| least);
            if cost + distance >= known {
                continue;
            }
            let to = if is_level { Point::new(value, from.y) } else { Point::new(from.x, value) };
            let total = cost + self.leg_cost(walls, from, to);
            if total < known {
                better.push((stand, total));
            }
        }
        self.reached.extend(arrived.into_iter().map(|(entry, total)| (entry, (total, before))));
        for (stand, total) in better {
            let number = self.number(stand);
            if let Some(seen) = self.seen.get_mut(number) {
                *seen = Some((total, before));
                self.open.insert((steps(total), stand));
            }
        }
    }

    fn is_clear(&self, from: Point, to: Point, ahead: f64) -> bool {
        ahead >= 0.0 && self.ground.middle.contains(to) && self.ground.middle.is_clear(from, to)
    }

    fn leg_cost(&self, walls: &[(Point, Point)], from: Point, to: Point) -> f64 {
        let reach = self.rules.width() / 2.0 + BESIDE_WALL_IN;
        let middle = from.middle(to);
        let is_along = walls.iter().any(|wall| distance_to_line(middle, wall.0, wall.1) < reach);
        from.distance(to) * if is_along { 1.0 } else { OPEN_FLOOR }
    }

    /// Where the middle line comes into its ground straight ahead of the ports, if every tube may
    /// lie up to there.
    fn first_inside(&self) -> Option<Point> {
        let most = self.rules.width() + 36.0;
        let mut ahead = 0.0;
        while !self.ground.middle.contains(Heading(1).ahead(self.start, ahead)) {
            ahead += 1.0;
            if ahead > most {
                return None;
            }
        }
        let is_open = (0..self.rules.tubes).all(|tube| {
            let port = Heading(0).ahead(self.start, self.rules.aside(tube));
            self.ground.open.is_clear(port, Heading(1).ahead(port, ahead))
        });
        is_open.then(|| Heading(1).ahead(self.start, ahead))
    }

    fn number(&self, stand: Stand) -> usize {
        (stand.column * self.rows.values.len() + stand.row) * 4 + stand.heading
    }

    /// The cheapest way to a stand that is known.
    fn known(&self, stand: Stand) -> Option<Reached> {
        *self.seen.get(self.number(stand))?
    }

    fn place(&self, stand: Stand) -> Option<Point> {
        let (x, y) = (self.columns.values.get(stand.column)?, self.rows.values.get(stand.row)?);
        Some(Point::new(*x, *y))
    }

    /// The corners up to a stand, from the start.
    fn way_to(&self, last: Option<Stand>) -> Vec<Point> {
        let mut way = Vec::new();
        let mut at = last;
        while let Some(stand) = at {
            way.extend(self.place(stand));
            at = self.known(stand).and_then(|(_, before)| before);
        }
        way.push(self.start);
        way.reverse();
        way
    }
}

/// The entries of a heading by where they lie across it.
fn across(entries: &[Entry], heading: Heading) -> Vec<(f64, usize)> {
    let is_level = heading.0.is_multiple_of(2);
    let place = |entry: &Entry| if is_level { entry.at.y } else { entry.at.x };
    let mut across: Vec<(f64, usize)> = entries
        .iter()
        .enumerate()
        .filter(|(_, entry)| entry.heading == heading)
        .map(|(number, entry)| (place(entry), number))
        .collect();
    across.sort_by(|a, b| a.0.total_cmp(&b.0));
    across
}

/// The entries of a heading on the line at `fixed`.
fn entries_on(across: &[Vec<(f64, usize)>; 4], heading: Heading, fixed: f64) -> Vec<usize> {
    let Some(own) = across.get(heading.0) else { return Vec::new() };
    let first = own.partition_point(|(place, _)| *place <= fixed - ON_LINE_IN);
    let after = own.iter().skip(first);
    after.take_while(|(place, _)| *place < fixed + ON_LINE_IN).map(|(_, number)| *number).collect()
}

/// The lines of the grid one way.
struct Lines {
    /// Where each lies.
    values: Vec<f64>,
    /// Where each lies and its number, from the least to the greatest.
    sorted: Vec<(f64, usize)>,
    /// The walls that come so near to each that a leg on it may be along them.
    walls: Vec<Vec<(Point, Point)>>,
}

impl Lines {
    /// Every exact place, and corners that are not close to one.
    fn new(exact: &[Point], ground: &BundleGround, of: fn(&Point) -> f64, reach: f64) -> Self {
        let mut values: Vec<f64> = Vec::new();
        for value in exact.iter().map(of) {
            if values.iter().all(|known| (known - value).abs() > ON_LINE_IN) {
                values.push(value);
            }
        }
        let most = values.len() + MOST_LINES;
        for value in ground.corners.iter().map(of) {
            let is_new = values.iter().all(|known| (known - value).abs() > SAME_LINE_IN);
            if is_new && values.len() < most {
                values.push(value);
            }
        }
        let mut sorted: Vec<(f64, usize)> =
            values.iter().enumerate().map(|(number, &value)| (value, number)).collect();
        sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
        let near = |value: f64| {
            let is_near = |wall: &&(Point, Point)| {
                let (one, other) = (of(&wall.0), of(&wall.1));
                (one.min(other) - reach..=one.max(other) + reach).contains(&value)
            };
            ground.walls.iter().filter(is_near).copied().collect()
        };
        let walls = values.iter().map(|&value| near(value)).collect();
        Self { values, sorted, walls }
    }

    /// The number of the line at a place.
    fn at(&self, value: f64) -> Option<usize> {
        let first = self.sorted.partition_point(|(known, _)| *known <= value - ON_LINE_IN);
        let found = self.sorted.get(first).filter(|(known, _)| *known < value + ON_LINE_IN)?;
        Some(found.1)
    }

    fn walls_beside(&self, line: usize) -> &[(Point, Point)] {
        self.walls.get(line).map_or(&[], Vec::as_slice)
    }

    /// The last line one way.
    fn end(&self, ahead: f64) -> f64 {
        let last = if ahead > 0.0 { self.sorted.last() } else { self.sorted.first() };
        last.map_or(0.0, |(value, _)| *value)
    }

    /// The lines at least so far from a place one way, the nearest first: number and place.
    fn from(
        &self,
        place: f64,
        ahead: f64,
        shortest: f64,
    ) -> impl Iterator<Item = (usize, f64)> + '_ {
        let nearest = place + ahead * shortest;
        let up = self.sorted.partition_point(|(value, _)| *value < nearest);
        let down = self.sorted.partition_point(|(value, _)| *value <= nearest);
        let (above, below) = if ahead > 0.0 {
            (self.sorted.get(up..), None)
        } else {
            (None, self.sorted.get(..down))
        };
        let above = above.unwrap_or_default().iter();
        let below = below.unwrap_or_default().iter().rev();
        above.chain(below).map(|&(value, number)| (number, value))
    }
}

/// A cost in whole sixteenths, to be sorted by.
fn steps(cost: f64) -> u64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let steps = (cost * 16.0).clamp(0.0, 1e15) as u64;
    steps
}
