//! Where circuits should leave a bus: by the floor that is nearest to each place along it.
//!
//! Circuits that leave the bus in one narrow arm of a floor are shut in there, however much floor
//! lies beyond. So the floor is first shared out among the places at which the bus can be left,
//! each cell to the one it is nearest to by way of floor; then every stretch of the bus gets as
//! many circuits as its floor has work for, what their leaders take included.

#![expect(
    clippy::indexing_slicing,
    reason = "cell, hand and row numbers come from this file's own loops over the same vectors"
)]

use super::cells::{Cells, NONE};
use super::fan::{FanShape, LeaderGround, Wing, entry};
use super::field::Heading;
use crate::geometry::Point;

/// Halvings of the search for a length that gives the wanted number of circuits.
const HALVINGS: usize = 40;

/// Shares of its way ahead that a bus may run.
const RUNS: [f64; 6] = [1.0, 0.7, 0.4, 0.85, 0.55, 0.25];

/// Fans whose circuits leave where the floor has work for them, with longer and shorter buses.
/// `ports` stand in order from west to east.
#[must_use]
pub fn by_demand(ground: &LeaderGround, cells: &Cells, ports: &[Point]) -> Vec<FanShape> {
    let on_each: Vec<Vec<FanShape>> =
        RUNS.iter().filter_map(|run| on_bus(ground, cells, ports, *run)).collect();
    // The fair share of every bus first.
    let most = on_each.iter().map(Vec::len).max().unwrap_or(0);
    (0..most)
        .flat_map(|nth| on_each.iter().filter_map(move |fans| fans.get(nth).cloned()))
        .collect()
}

/// The same on a bus that runs so much of its way; `None` where it has none.
fn on_bus(
    ground: &LeaderGround,
    cells: &Cells,
    ports: &[Point],
    run: f64,
) -> Option<Vec<FanShape>> {
    let count = ports.len() / 2;
    let middle = ports.first()?.middle(*ports.last()?);
    let start = entry(ground, middle)?;
    let bounds = ground.field.bounds();
    let far = start.y + run * ground.field.reach(start, Heading(1), bounds.max.y - bounds.min.y);
    let (_, rows) = cells.size();
    let along: Vec<usize> =
        (0..rows).filter(|&row| cells.ys[2 * row] > middle.y && cells.ys[2 * row] < far).collect();
    let work = work_along(cells, middle.x, &along);
    let leader = |place: usize| 2.0 * (cells.ys[2 * along[place]] - middle.y);
    let lengths = shared_length(&work, leader, count)?;
    let hands = [0, 1].map(|hand| leave_at(&work[hand], leader, lengths));
    let fair = to_hand(hands[0].len(), hands[1].len(), count);
    let wing = |places: &[usize], count: usize| {
        Wing::InRows(in_turn(&resized(places, count), along.len(), &along))
    };
    let shape = |to_left: usize| {
        let [left, right] = [wing(&hands[0], to_left), wing(&hands[1], count - to_left)];
        FanShape { to_left, left, right }
    };
    Some([fair, (fair + 1).min(count), fair.saturating_sub(1)].map(shape).to_vec())
}

/// Tube of the floor nearest to each place along the bus, on its left hand and its right.
fn work_along(cells: &Cells, x: f64, along: &[usize]) -> [Vec<f64>; 2] {
    let (columns, _) = cells.size();
    let is_left = |column: usize| cells.xs[2 * column] + cells.xs[2 * column + 1] < 2.0 * x;
    let mut work = [vec![0.0; along.len()], vec![0.0; along.len()]];
    let mut nearest = vec![(NONE, NONE); cells.list.len()];
    let mut queue = std::collections::VecDeque::new();
    for (place, &row) in along.iter().enumerate() {
        let beside = [
            (0..columns).rev().filter(|&column| is_left(column)).find_map(|c| cells.at(c, row)),
            (0..columns).filter(|&column| !is_left(column)).find_map(|c| cells.at(c, row)),
        ];
        for (hand, cell) in beside.into_iter().enumerate() {
            if let Some(cell) = cell.filter(|&cell| nearest[cell].0 == NONE) {
                nearest[cell] = (hand, place);
                queue.push_back(cell);
            }
        }
    }
    let last_row = along.last().copied().unwrap_or(0);
    while let Some(cell) = queue.pop_front() {
        let (hand, place) = nearest[cell];
        work[hand][place] += cells.list[cell].tube;
        for next in cells.beside(cell) {
            if next == NONE || nearest[next].0 != NONE {
                continue;
            }
            // Nothing crosses the bus.
            let (column, row) = cells.list[next].at;
            if is_left(column) != is_left(cells.list[cell].at.0) && row <= last_row {
                continue;
            }
            nearest[next] = (hand, place);
            queue.push_back(next);
        }
    }
    work
}

/// The length at which so many circuits have all the work, leaders included.
fn shared_length(work: &[Vec<f64>; 2], leader: impl Fn(usize) -> f64, count: usize) -> Option<f64> {
    let needed = |length: f64| -> f64 {
        let each = |(place, work): (usize, &f64)| work / (length - leader(place)).max(1.0);
        work.iter().map(|hand| hand.iter().enumerate().map(each).sum::<f64>()).sum()
    };
    let all: f64 = work.iter().flatten().sum();
    if all <= 0.0 {
        return None;
    }
    let (mut short, mut long) = (0.0, 1e6);
    for _ in 0..HALVINGS {
        let length = (short + long) / 2.0;
        if needed(length) > count as f64 { short = length } else { long = length }
    }
    Some(long)
}

/// The places at which the circuits of one hand leave: where half the work of each is reached.
fn leave_at(work: &[f64], leader: impl Fn(usize) -> f64, length: f64) -> Vec<usize> {
    let mut places = Vec::new();
    let mut done = 0.0;
    for (place, work) in work.iter().enumerate() {
        done += work / (length - leader(place)).max(1.0);
        while done > places.len() as f64 + 0.5 {
            places.push(place);
        }
    }
    places
}

/// How many of `count` go to the left when so many would like to on each hand.
fn to_hand(left: usize, right: usize, count: usize) -> usize {
    let share = left as f64 / (left + right).max(1) as f64;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of them")]
    let left = (share * count as f64).round() as usize;
    left.min(count)
}

/// Adds places like the last or takes the last ones away.
fn resized(places: &[usize], count: usize) -> Vec<usize> {
    let last = places.last().copied().unwrap_or(0);
    let mut places = places.to_vec();
    places.resize(count, last);
    places
}

/// Rows in which circuits leave one after the other, each no later than it must.
fn in_turn(places: &[usize], count: usize, along: &[usize]) -> Vec<usize> {
    let mut next = count;
    let mut rows: Vec<usize> = places
        .iter()
        .rev()
        .map(|&place| {
            next = place.min(next.saturating_sub(1));
            along.get(next).copied().unwrap_or(0)
        })
        .collect();
    rows.reverse();
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::tube::cells::CellRules;
    use crate::tube::field::Field;

    #[test]
    fn circuits_leave_where_the_floor_widens() {
        // A neck 120 in wide and 240 in long leads into a hall.
        let neck = Polygon::rectangle(Point::new(-60.0, 0.0), Point::new(60.0, 240.0));
        let hall = Polygon::rectangle(Point::new(-240.0, 240.0), Point::new(240.0, 480.0));
        let floor = crate::geometry::clip::union_all(&[neck, hall]);
        let field = Field::new(&floor).unwrap();
        let lanes = |from: f64, count: u32| {
            (0..count).map(|lane| from + 12.0 * f64::from(lane)).collect::<Vec<_>>()
        };
        let rules = CellRules { spacing: 12.0, least: 9.6, tubes: 1.0, may_push: true };
        let cells = Cells::new(&field, (lanes(-234.0, 40), lanes(6.0, 40)), rules);
        let ground = LeaderGround { field: &field, open: &field, edge: 6.0 };
        let ports: Vec<Point> =
            (0..12).map(|port| Point::new(-16.5 + 3.0 * f64::from(port), 1.0)).collect();
        let shape = by_demand(&ground, &cells, &ports).into_iter().next().unwrap();
        assert_eq!(shape.to_left, 3);
        let Wing::InRows(rows) = shape.left else { panic!("rows") };
        let beyond = rows.iter().filter(|&&row| row >= 10).count();
        assert_eq!((rows.len(), beyond), (3, 2), "{rows:?}");
    }
}
