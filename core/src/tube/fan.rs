//! Leaders: how the tubes of a manifold spread out to the circuits without crossing.
//!
//! The leaders of all circuits run side by side from their ports into the floor, a *bus*, and peel
//! off to the left and the right of it, the outermost first. Each is then a plain L inside the
//! next one's L, so that none can cross another, and the bus narrows as it goes. A circuit's first
//! cell, its *root*, lies beside the bus in the row where its two leaders peel off.
//! Axes: those of the lanes, turned so that the bus runs north.

#![expect(
    clippy::indexing_slicing,
    reason = "ports and lanes are numbered by this file's own loops over the same vectors"
)]

use super::cells::{Cell, Cells, NONE};
use super::field::{Field, Heading};
use crate::geometry::clip::union_all;
use crate::geometry::{Point, Polygon};

/// The first cell of a circuit and its two leaders.
#[derive(Clone, Debug, PartialEq)]
pub struct Root {
    /// Column and row of the cell.
    pub at: (usize, usize),
    /// The side at which the tube enters and leaves it.
    pub opening: Heading,
    /// From the port to the last corner of the opening side: the course starts here.
    pub into: Vec<Point>,
    /// From the port to the first corner of the opening side: the course ends here.
    pub out_of: Vec<Point>,
}

impl Root {
    /// Lets both leaders end at the corners of the root as it stands once they have taken their
    /// floor.
    pub fn meet(&mut self, cell: &Cell) {
        let ends = [
            (&mut self.into, cell.last(self.opening)),
            (&mut self.out_of, cell.first(self.opening)),
        ];
        for (leader, corner) in ends {
            if let [.., turn, end] = &mut leader[..] {
                if self.opening.0.is_multiple_of(2) {
                    turn.y = corner.y;
                } else {
                    turn.x = corner.x;
                }
                *end = corner;
            }
        }
    }
}

/// The floor that leaders may cross.
#[derive(Clone, Copy, Debug)]
pub struct LeaderGround<'a> {
    /// Where full runs may lie.
    pub field: &'a Field,
    /// The same up to the walls, where ports stand.
    pub open: &'a Field,
    /// How far from a wall the field begins, inches.
    pub edge: f64,
}

/// Columns beyond the nearest one in which a root may lie where something is in the way.
const FARTHER_ROOTS: usize = 2;
/// Rows or columns in a row that a root may skip where something is in the way.
const MOST_SKIPPED: usize = 8;

/// What a fan is made from.
#[derive(Clone, Copy, Debug)]
pub struct FanRules {
    /// Bend radius, inches.
    pub radius: f64,
    /// How far from its last bend a leader reaches its root, inches, so that the tube may turn
    /// back at once.
    pub reach: f64,
    /// Both tubes of a circuit enter along one lane, this far to each side of it, inches.
    pub pair: Option<f64>,
    /// Distance between leaders that run side by side, inches.
    pub lane: f64,
    /// How near to the nearest lane of a cell a leader may lie, inches.
    pub off_cells: f64,
    /// How far off it must lie that a tooth there has room for the bulb at its end, inches.
    pub off_teeth: f64,
}

/// How the leaders of one side of a bus leave it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wing {
    /// Each goes straight ahead and turns off in a row of its own, after so many rows that the
    /// bus passes first.
    Ahead(usize),
    /// All turn off at once and run along the wall, past so many columns, then each turns ahead
    /// into a column of its own.
    AlongWall(usize),
    /// The outermost half along the wall, the others ahead beyond them.
    Both(usize),
    /// Each goes straight ahead and turns off in a row of its own, none before the row given for
    /// it, the outermost first.
    InRows(Vec<usize>),
    /// So many of the outermost along the wall, each ahead in a column of its own; the others
    /// straight ahead between them, past so many rows more.
    Wide {
        /// Those along the wall.
        along: usize,
        /// Rows that the others pass beyond the first they could leave in.
        before: usize,
    },
}

impl Wing {
    /// The same after so many rows or columns; rows that are given come earlier by so many.
    #[must_use]
    pub fn after(&self, before: usize) -> Self {
        match self {
            Self::Ahead(_) => Self::Ahead(before),
            Self::AlongWall(_) => Self::AlongWall(before),
            Self::Both(_) => Self::Both(before),
            Self::InRows(rows) => {
                Self::InRows(rows.iter().map(|row| row.saturating_sub(before)).collect())
            }
            &Self::Wide { along, .. } => Self::Wide { along, before },
        }
    }
}

impl Wing {
    /// The same so many rows or columns farther on, or nearer.
    #[must_use]
    pub fn moved(&self, by: usize, is_farther: bool) -> Self {
        let moved = |from: usize| if is_farther { from + by } else { from.saturating_sub(by) };
        match self {
            Self::Ahead(before) => Self::Ahead(moved(*before)),
            Self::AlongWall(before) => Self::AlongWall(moved(*before)),
            Self::Both(before) => Self::Both(moved(*before)),
            Self::InRows(rows) => Self::InRows(rows.iter().map(|&row| moved(row)).collect()),
            &Self::Wide { along, before } => Self::Wide { along, before: moved(before) },
        }
    }
}

/// How a fan is shaped.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FanShape {
    /// How many circuits leave to the left; the rest go right.
    pub to_left: usize,
    /// How those do.
    pub left: Wing,
    /// And the others.
    pub right: Wing,
}

/// The roots of a fan of this shape, in the order of the ports; `None` when it does not fit.
/// `ports` stand in order from west to east, two for each circuit.
#[must_use]
pub fn spread(
    ground: &LeaderGround,
    cells: &Cells,
    ports: &[Point],
    shape: &FanShape,
    rules: FanRules,
) -> Option<Vec<Root>> {
    let count = ports.len() / 2;
    let to_left = shape.to_left.min(count);
    let left = (0..to_left).map(|n| (ports[2 * n], ports[2 * n + 1])).collect::<Vec<_>>();
    let right =
        (to_left..count).rev().map(|n| (ports[2 * n + 1], ports[2 * n])).collect::<Vec<_>>();
    let mut roots = wing(ground, cells, &left, (&shape.left, true), rules)?;
    let mut others = wing(ground, cells, &right, (&shape.right, false), rules)?;
    others.reverse();
    roots.append(&mut others);
    let is_clear = roots
        .iter()
        .flat_map(|root| [&root.into, &root.out_of])
        .all(|leader| is_leader_clear(ground, leader));
    is_clear.then_some(roots)
}

/// The roots of one wing, the outermost pair of ports (outer, inner) first.
fn wing(
    ground: &LeaderGround,
    cells: &Cells,
    pairs: &[(Point, Point)],
    (wing_shape, is_left): (&Wing, bool),
    rules: FanRules,
) -> Option<Vec<Root>> {
    match wing_shape {
        &Wing::Both(before) => {
            both(ground, cells, pairs, (pairs.len() / 2, before, 0, is_left), rules)
        }
        &Wing::Wide { along, before } => {
            both(ground, cells, pairs, (along, 0, before, is_left), rules)
        }
        Wing::InRows(rows) => ahead(ground, cells, pairs, (0, rows, is_left), rules),
        &Wing::Ahead(before) => ahead(ground, cells, pairs, (before, &[], is_left), rules),
        &Wing::AlongWall(before) => along_wall(ground, cells, pairs, (before, is_left), rules),
    }
}

/// So many of the outermost pairs along the wall, past so many columns, the others ahead beyond
/// them, past so many rows.
fn both(
    ground: &LeaderGround,
    cells: &Cells,
    pairs: &[(Point, Point)],
    (along, columns, rows, is_left): (usize, usize, usize, bool),
    rules: FanRules,
) -> Option<Vec<Root>> {
    let (along, others) = pairs.split_at(along.min(pairs.len()));
    let mut roots = along_wall(ground, cells, along, (columns, is_left), rules)?;
    let above = roots.iter().map(|root| root.at.1 + 1).max().unwrap_or(0);
    let plain = ahead(ground, cells, others, (0, &[], is_left), rules)?;
    let first = plain.iter().map(|root| root.at.1).min().unwrap_or(above);
    let more = above.saturating_sub(first) + rows;
    roots.extend(ahead(ground, cells, others, (more, &[], is_left), rules)?);
    Some(roots)
}

fn highest(pairs: &[(Point, Point)]) -> f64 {
    pairs.iter().map(|pair| pair.0.y.max(pair.1.y)).fold(f64::MIN, f64::max)
}

/// Each pair in turn takes the next row in which its leaders and its root have room, from the row
/// wished for it on. Where one finds none, it and those before it wish for rows nearer to the ports.
fn ahead(
    ground: &LeaderGround,
    cells: &Cells,
    pairs: &[(Point, Point)],
    (before, wished, is_left): (usize, &[usize], bool),
    rules: FanRules,
) -> Option<Vec<Root>> {
    let mut wished = wished.to_vec();
    loop {
        let mut roots = Vec::with_capacity(pairs.len());
        let placed = take_rows(ground, cells, pairs, (before, &wished, is_left), rules, &mut roots);
        if placed.is_some() {
            return Some(roots);
        }
        let stuck = roots.len();
        let row = roots.last()?.at.1;
        let mut is_changed = false;
        for (number, wish) in wished.iter_mut().enumerate().take(stuck + 1) {
            let latest = row.checked_sub(stuck - number)?;
            is_changed |= *wish > latest;
            *wish = latest.min(*wish);
        }
        if !is_changed {
            return None;
        }
    }
}

/// One try of [`ahead`]: the roots up to the first pair that finds no room.
fn take_rows(
    ground: &LeaderGround,
    cells: &Cells,
    pairs: &[(Point, Point)],
    (before, wished, is_left): (usize, &[usize], bool),
    rules: FanRules,
    roots: &mut Vec<Root>,
) -> Option<()> {
    let (_, rows) = cells.size();
    let low = highest(pairs) + rules.radius + 0.1 + rules.pair.unwrap_or(0.0);
    let mut row = (0..rows).find(|&row| cells.ys[2 * row] >= low)? + before;
    let (opening, out) = if is_left { (Heading(0), Heading(2)) } else { (Heading(2), Heading(0)) };
    for (number, &(outer, inner)) in pairs.iter().enumerate() {
        let wish = row.max(wished.get(number).copied().unwrap_or(0));
        let nearest = column_beyond(cells, outer.x, is_left, rules.radius + rules.reach)?;
        let columns = (0..=FARTHER_ROOTS).filter_map(|away| {
            if is_left { nearest.checked_sub(away) } else { Some(nearest + away) }
        });
        // Farther on than wished where something is in the way, else nearer.
        let place =
            (wish..rows.min(wish + MOST_SKIPPED)).chain((row..wish).rev()).find_map(|row| {
                columns.clone().find_map(|column| {
                    let root =
                        root_beside(cells, (column, row), opening, (outer, inner), rules.pair)?;
                    is_usable(ground, cells, &root, out).then_some(root)
                })
            })?;
        row = place.at.1 + 1;
        roots.push(place);
    }
    Some(())
}

/// How much farther from the wall leaders run along it where something stands in their way, inches.
const LIFTS_IN: [f64; 5] = [0.0, 9.0, 18.0, 30.0, 42.0];

/// Leaders along the wall as near to it as they have room.
fn along_wall(
    ground: &LeaderGround,
    cells: &Cells,
    pairs: &[(Point, Point)],
    (before, is_left): (usize, bool),
    rules: FanRules,
) -> Option<Vec<Root>> {
    let enters = pairs
        .iter()
        .flat_map(|pair| [pair.0, pair.1])
        .map(|port| entry(ground, port).map(|point| point.y))
        .collect::<Option<Vec<_>>>()?;
    let lowest = enters.into_iter().fold(highest(pairs) + rules.radius, f64::max) + 0.1;
    let lowest = off_teeth(cells, lowest, rules);
    LIFTS_IN
        .into_iter()
        .find_map(|lift| lifted(ground, cells, pairs, (before, is_left, lowest + lift), rules))
}

/// A lane for a leader along the wall, so far from the wall that a tooth between them has room for
/// the bulb at its end.
fn off_teeth(cells: &Cells, lowest: f64, rules: FanRules) -> f64 {
    let farther = cells.ys.iter().skip(1).step_by(2);
    let nearest = farther.take_while(|lane| **lane + rules.off_cells <= lowest).last();
    nearest.map_or(lowest, |lane| lowest.max(lane + rules.off_teeth))
}

/// Each pair, the innermost first, takes the next column in which its leaders and its root have
/// room; the outermost lies nearest to the wall, at `lowest`.
fn lifted(
    ground: &LeaderGround,
    cells: &Cells,
    pairs: &[(Point, Point)],
    (before, is_left, lowest): (usize, bool, f64),
    rules: FanRules,
) -> Option<Vec<Root>> {
    let (columns, rows) = cells.size();
    let Some(&(_, innermost)) = pairs.last() else { return Some(Vec::new()) };
    let nearest = column_beyond(cells, innermost.x, is_left, 2.0 * rules.radius + 0.5)?;
    let mut away = before;
    let mut roots: Vec<Root> = Vec::with_capacity(pairs.len());
    for (number, &(outer, inner)) in pairs.iter().enumerate().rev() {
        let taken = roots.last().map(|root| root.at.0);
        let lane = lowest + 2.0 * number as f64 * rules.lane;
        let row = (0..rows)
            .find(|&row| cells.ys[2 * row] >= lane + rules.lane + 2.0 * rules.radius + 0.5)?;
        let tubes = [(outer, lane), (inner, lane + rules.lane)];
        let (found, root) = (away..away + MOST_SKIPPED).find_map(|away| {
            let column = if is_left { nearest.checked_sub(away)? } else { nearest + away };
            let root = (column < columns && Some(column) != taken)
                .then(|| root_above(cells, (column, row), tubes, rules.pair))??;
            is_usable(ground, cells, &root, Heading(1)).then_some((away, root))
        })?;
        away = found + 1;
        roots.push(root);
    }
    roots.reverse();
    Some(roots)
}

/// The leaders of a root have room, and its tree a way to go on.
fn is_usable(ground: &LeaderGround, cells: &Cells, root: &Root, onward: Heading) -> bool {
    cells.at(root.at.0, root.at.1).is_some_and(|cell| cells.next(cell, onward.0) != NONE)
        && is_leader_clear(ground, &root.into)
        && is_leader_clear(ground, &root.out_of)
}

/// The nearest column on one side that leaves so much room from `x`.
fn column_beyond(cells: &Cells, x: f64, is_left: bool, room: f64) -> Option<usize> {
    let (columns, _) = cells.size();
    if is_left {
        (0..columns).rev().find(|&column| cells.xs[2 * column + 1] <= x - room)
    } else {
        (0..columns).find(|&column| cells.xs[2 * column] >= x + room)
    }
}

/// A root that its leaders enter from below, each from a lane along the wall of its own.
fn root_above(
    cells: &Cells,
    at: (usize, usize),
    tubes: [(Point, f64); 2],
    pair: Option<f64>,
) -> Option<Root> {
    let cell = &cells.list[cells.at(at.0, at.1)?];
    let opening = Heading(3);
    let [(outer, low), (inner, high)] = tubes;
    let leader = |(port, lane): (Point, f64), end: Point| {
        vec![port, Point::new(port.x, lane), Point::new(end.x, lane), end]
    };
    let (west, east) = match pair {
        None => (cell.first(opening), cell.last(opening)),
        Some(half) => {
            let lane = cell.last(opening);
            (Point::new(lane.x - half, lane.y), Point::new(lane.x + half, lane.y))
        }
    };
    // The lower lane goes to the corner farther from the ports.
    let is_left = west.x < outer.x;
    let (out_of, into) = if is_left {
        (leader((outer, low), west), leader((inner, high), east))
    } else {
        (leader((inner, high), west), leader((outer, low), east))
    };
    Some(Root { at, opening, into, out_of })
}

fn root_beside(
    cells: &Cells,
    at: (usize, usize),
    opening: Heading,
    (outer, inner): (Point, Point),
    pair: Option<f64>,
) -> Option<Root> {
    let cell = &cells.list[cells.at(at.0, at.1)?];
    let (first, last) = match pair {
        None => (cell.first(opening), cell.last(opening)),
        Some(half) => {
            let lane = cell.last(opening);
            (Point::new(lane.x, lane.y - half), Point::new(lane.x, lane.y + half))
        }
    };
    // The outer tube of the pair takes the lower lane.
    let leader = |port: Point, end: Point| vec![port, Point::new(port.x, end.y), end];
    let (into, out_of) = if first.y < last.y {
        (leader(inner, last), leader(outer, first))
    } else {
        (leader(outer, last), leader(inner, first))
    };
    Some(Root { at, opening, into, out_of })
}

/// Whether a leader has room all the way from its port.
#[must_use]
pub fn is_leader_clear(ground: &LeaderGround, leader: &[Point]) -> bool {
    let Some((&port, rest)) = leader.split_first() else { return false };
    let Some(start) = entry(ground, port) else { return false };
    let mut from = start;
    rest.iter().all(|&to| {
        let clear = ground.field.is_clear(from, to);
        from = to;
        clear
    })
}

/// Where a leader that goes north from its port enters the field.
#[must_use]
pub fn entry(ground: &LeaderGround, port: Point) -> Option<Point> {
    let steps = [0.0, 0.25, 0.5, 0.75, 1.02, 1.25, 1.5, 1.75, 2.0, 2.5];
    steps
        .iter()
        .map(|share| Point::new(port.x, port.y + share * ground.edge.max(2.0)))
        .find(|&point| ground.field.contains(point))
        .filter(|&point| ground.open.is_clear(port, point))
}

/// The floor that leaders take: no full run comes nearer to them than `distance`.
#[must_use]
pub fn taken(roots: &[Root], distance: f64) -> Vec<Polygon> {
    let leaders = roots.iter().flat_map(|root| [&root.into, &root.out_of]);
    let strips: Vec<Polygon> = leaders.flat_map(|leader| strips_beside(leader, distance)).collect();
    // Taken away one over the other they would give floor back where two of them lie.
    union_all(&strips)
}

/// The floor within `distance` of a leader, but for what lies beyond its end, leg by leg.
#[must_use]
pub fn strips_beside(leader: &[Point], distance: f64) -> Vec<Polygon> {
    let last = leader.len().saturating_sub(2);
    let strip = |(number, leg): (usize, &[Point])| {
        let ahead = (leg[1] - leg[0]).unit()?;
        let start = leg[0] - ahead * distance;
        // The last leg stops short of the root, which it enters.
        let end = if number == last { leg[1] - ahead * 0.1 } else { leg[1] + ahead * distance };
        let aside = ahead.left() * distance;
        Some(Polygon::new(vec![start - aside, end - aside, end + aside, start + aside], Vec::new()))
    };
    leader.windows(2).enumerate().filter_map(strip).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::clip::difference;
    use crate::tube::cells::CellRules;
    use crate::tube::frame::Frame;
    use crate::tube::route::fan_rules;
    use crate::tube::rules::Rules;

    #[test]
    fn floor_that_two_leaders_take_is_not_given_back() {
        let leader =
            |x: f64, y: f64| [(x, 0.0), (x, y), (200.0, y)].map(|(x, y)| Point::new(x, y)).to_vec();
        let root = Root {
            at: (0, 0),
            opening: Heading(2),
            into: leader(50.0, 90.0),
            out_of: leader(53.0, 87.0),
        };
        let floor = [Polygon::rectangle(Point::ORIGIN, Point::new(300.0, 200.0))];
        let left = Field::new(&difference(&floor, &taken(&[root], 9.6))).unwrap();
        for (x, y) in [(51.5, 40.0), (51.5, 88.5), (120.0, 88.5), (44.0, 97.0)] {
            assert!(!left.contains(Point::new(x, y)), "{x}, {y}");
        }
        assert!(left.contains(Point::new(80.0, 40.0)));
    }

    #[test]
    fn leaders_along_the_wall_leave_a_tooth_there_room_for_its_end_or_none_at_all() {
        let hall = [Polygon::rectangle(Point::new(0.0, 0.0), Point::new(120.0, 96.0))];
        let lanes = |count: u32| (0..count).map(|lane| 6.0 + 6.0 * f64::from(lane)).collect();
        let rules = CellRules { spacing: 6.0, least: 4.8, tubes: 1.0, may_push: false };
        let cells = Cells::new(&Field::new(&hall).unwrap(), (lanes(18), lanes(14)), rules);
        let fan = FanRules {
            radius: 5.0,
            reach: 5.5,
            pair: None,
            lane: 3.0,
            off_cells: 4.85,
            off_teeth: 6.05,
        };
        // Lanes of cells end at 12, 24, 36 in.
        for (asked, given) in [(16.8, 16.8), (16.9, 18.05), (18.4, 18.4), (29.0, 30.05)] {
            assert_eq!(off_teeth(&cells, asked, fan), given, "{asked}");
        }
    }

    #[test]
    fn a_wide_fan_sends_the_outermost_along_the_wall_and_the_others_ahead() {
        let hall = [Polygon::rectangle(Point::new(-300.0, 0.0), Point::new(300.0, 480.0))];
        let field = Field::new(&hall).unwrap();
        let lanes = |from: f64, count: u32| -> Vec<f64> {
            (0..count).map(|lane| from + 12.0 * f64::from(lane)).collect()
        };
        let rules = CellRules { spacing: 12.0, least: 9.6, tubes: 1.0, may_push: true };
        let cells = Cells::new(&field, (lanes(-294.0, 50), lanes(6.0, 40)), rules);
        let ground = LeaderGround { field: &field, open: &field, edge: 6.0 };
        let ports: Vec<Point> =
            (0..16).map(|port| Point::new(-22.5 + 3.0 * f64::from(port), 1.0)).collect();
        let wing = || Wing::Wide { along: 3, before: 4 };
        let shape = FanShape { to_left: 4, left: wing(), right: wing() };
        let fan = fan_rules(&Rules::half_inch(12.0), &Frame::new(Point::ORIGIN, 0.0));
        let roots = spread(&ground, &cells, &ports, &shape, fan).unwrap();
        let openings: Vec<usize> = roots.iter().map(|root| root.opening.0).collect();
        assert_eq!(openings, [3, 3, 3, 0, 2, 3, 3, 3]);
        let columns: Vec<usize> = roots.iter().map(|root| root.at.0).collect();
        assert!(columns.is_sorted(), "{columns:?}");
        let highest_along = roots[..3].iter().map(|root| root.at.1).max().unwrap();
        assert!(roots[3].at.1 >= highest_along + 5, "{roots:?}");
        let legs = |root: &Root| -> Vec<(Point, Point)> {
            let of = |leader: &Vec<Point>| -> Vec<(Point, Point)> {
                leader.windows(2).map(|leg| (leg[0], leg[1])).collect()
            };
            [of(&root.into), of(&root.out_of)].concat()
        };
        let all: Vec<_> = roots.iter().flat_map(legs).collect();
        for (number, &(a, b)) in all.iter().enumerate() {
            for &(c, d) in &all[..number] {
                let apart = |p: Point, q: Point, at: Point| (q - p).cross(at - p);
                let crosses = apart(a, b, c) * apart(a, b, d) < -1e-9
                    && apart(c, d, a) * apart(c, d, b) < -1e-9;
                assert!(!crosses, "{a:?} {b:?} and {c:?} {d:?}");
            }
        }
    }
}
