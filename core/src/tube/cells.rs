//! The floor as cells of two lanes each way, which may be joined into ribbons of tube.
//!
//! Vocabulary: a *cell* is crossed by two lanes in each direction, so it has four lane points, its
//! *corners*; a tube round a tree of cells runs along their sides. A *side* of a cell may be pushed
//! inward a little where a pipe or a slanted wall is in the way. A *stub* reaches out from a side
//! of a cell into floor that is too small for a cell of its own, as far as its two lanes can go:
//! that is how slanted and curved walls, and strips that fit no whole lane, are covered.

#![expect(
    clippy::indexing_slicing,
    reason = "corner and side numbers are 0 to 3, cell numbers come from the same vector"
)]

use super::field::{Field, Heading};
use crate::geometry::{Bounds, Point};

/// Number of no cell.
pub const NONE: usize = u32::MAX as usize;

/// One cell.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Column and row.
    pub at: (usize, usize),
    /// Lane points: south-west, south-east, north-east, north-west.
    pub corners: [Point; 4],
    /// How far the two lanes of each side reach out beyond it, from the side's first corner and
    /// its last (counter-clockwise); zero for no stub.
    pub stubs: [[f64; 2]; 4],
    /// About how much tube it takes, inches.
    pub tube: f64,
}

impl Cell {
    /// Where side `heading` starts, going round counter-clockwise.
    #[must_use]
    pub fn first(&self, heading: Heading) -> Point {
        self.corners[(heading.0 + 1) % 4]
    }

    /// Where it ends.
    #[must_use]
    pub fn last(&self, heading: Heading) -> Point {
        self.corners[(heading.0 + 2) % 4]
    }

    /// Whether a stub reaches out from a side.
    #[must_use]
    pub fn has_stub(&self, heading: Heading) -> bool {
        let [first, last] = self.stubs[heading.0];
        first.max(last) > 0.0
    }

    /// The middle of it.
    #[must_use]
    pub fn middle(&self) -> Point {
        self.corners[0].middle(self.corners[2])
    }
}

/// All cells of a field.
#[derive(Clone, Debug, Default)]
pub struct Cells {
    /// The cells, row by row.
    pub list: Vec<Cell>,
    /// Lane positions from west to east.
    pub xs: Vec<f64>,
    /// Lane positions from south to north.
    pub ys: Vec<f64>,
    number: Vec<usize>,
    /// Neighbours that each may be joined with. Apart from all else and in few bytes, since searches
    /// go from cell to cell millions of times.
    beside: Vec<[u32; 4]>,
}

/// How cells are made.
#[derive(Clone, Copy, Debug)]
pub struct CellRules {
    /// Spacing of the tube, inches.
    pub spacing: f64,
    /// The least distance between two runs, inches.
    pub least: f64,
    /// Tubes that run in a lane: one, or two side by side.
    pub tubes: f64,
    /// Sides may be pushed inward: the jogs that this makes have room between bends.
    pub may_push: bool,
}

impl Cells {
    /// Columns and rows.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.xs.len() / 2, self.ys.len() / 2)
    }

    /// The cell at a column and row.
    #[must_use]
    pub fn at(&self, column: usize, row: usize) -> Option<usize> {
        let (columns, rows) = self.size();
        if column >= columns || row >= rows {
            return None;
        }
        Some(self.number[row * columns + column]).filter(|&cell| cell != NONE)
    }

    /// The neighbours a cell may be joined with: east, north, west, south; [`NONE`] where not.
    pub fn beside(&self, cell: usize) -> [usize; 4] {
        self.beside[cell].map(|next| next as usize)
    }

    /// The neighbour of a cell in the direction of a heading's number, [`NONE`] where they may not be
    /// joined.
    pub fn next(&self, cell: usize, heading: usize) -> usize {
        self.beside[cell][heading] as usize
    }

    fn set_next(&mut self, cell: usize, heading: Heading, next: usize) {
        self.beside[cell][heading.0] = u32::try_from(next).unwrap_or(u32::MAX);
    }

    /// The numbers of the cells no more than `reach` columns and rows from one, row by row; [`NONE`]
    /// where there is none.
    pub fn rows_about(&self, cell: usize, reach: usize) -> impl Iterator<Item = &[usize]> {
        let ((columns, rows), (column, row)) = (self.size(), self.list[cell].at);
        let about = |place: usize, count: usize| {
            (place.saturating_sub(reach), (place + reach + 1).min(count))
        };
        let ((west, east), (south, north)) = (about(column, columns), about(row, rows));
        (south..north).map(move |row| &self.number[row * columns + west..row * columns + east])
    }

    /// Takes a cell out of the work: nothing may be joined with it, and no tube is counted for it.
    pub fn set_aside(&mut self, cell: usize) {
        for heading in Heading::ALL {
            let other = self.next(cell, heading.0);
            self.set_next(cell, heading, NONE);
            if other != NONE {
                self.set_next(other, heading.back(), NONE);
            }
        }
        self.list[cell].tube = 0.0;
    }

    /// The cells of a plain room so many lanes wide and deep, 12 in apart.
    #[cfg(test)]
    pub fn of_room(wide: u32, deep: u32) -> Self {
        let corner = Point::new(12.0 * f64::from(wide), 12.0 * f64::from(deep));
        let room = [crate::geometry::Polygon::rectangle(Point::ORIGIN, corner)];
        let lanes = |count: u32| (0..count).map(|lane| 6.0 + 12.0 * f64::from(lane)).collect();
        let rules = CellRules { spacing: 12.0, least: 9.6, tubes: 1.0, may_push: true };
        Self::new(&Field::new(&room).unwrap(), (lanes(wide), lanes(deep)), rules)
    }

    /// Cells over the lanes `xs` and `ys` that lie in the field.
    #[must_use]
    pub fn new(field: &Field, (xs, ys): (Vec<f64>, Vec<f64>), rules: CellRules) -> Self {
        let none =
            Self { number: vec![NONE; (xs.len() / 2) * (ys.len() / 2)], xs, ys, ..Self::default() };
        none.left_in(field, rules, &|_| false)
    }

    /// The cells that are left in a smaller field, over the same lanes: those in boxes that
    /// `are_as_before` are taken over with their joins, the others are fitted anew.
    #[must_use]
    pub fn left_in(
        &self,
        field: &Field,
        rules: CellRules,
        are_as_before: &dyn Fn(Bounds) -> bool,
    ) -> Self {
        let (columns, rows) = self.size();
        let mut cells = Self {
            list: Vec::with_capacity(self.list.len()),
            xs: self.xs.clone(),
            ys: self.ys.clone(),
            number: vec![NONE; columns * rows],
            beside: Vec::new(),
        };
        let mut is_kept = Vec::with_capacity(self.list.len());
        for row in 0..rows {
            for column in 0..columns {
                let (west, east) = (cells.xs[2 * column], cells.xs[2 * column + 1]);
                let (south, north) = (cells.ys[2 * row], cells.ys[2 * row + 1]);
                let lanes = Bounds { min: Point::new(west, south), max: Point::new(east, north) };
                let as_before = are_as_before(lanes);
                let corners = if as_before {
                    self.at(column, row).map(|cell| self.list[cell].corners)
                } else {
                    fitted_corners(field, (west, east), (south, north), rules)
                };
                let Some(corners) = corners else { continue };
                is_kept.push(as_before);
                cells.number[row * columns + column] = cells.list.len();
                cells.list.push(Cell {
                    at: (column, row),
                    corners,
                    stubs: [[0.0; 2]; 4],
                    tube: 0.0,
                });
            }
        }
        cells.beside = vec![[u32::MAX; 4]; cells.list.len()];
        cells.join(field, self, &is_kept);
        cells.reach_out(field, rules);
        cells.weigh(rules);
        cells
    }

    /// Finds which neighbours may be joined: those taken over as they were `before`.
    fn join(&mut self, field: &Field, before: &Self, is_kept: &[bool]) {
        for number in 0..self.list.len() {
            let (column, row) = self.list[number].at;
            let was_joined = |heading: Heading| {
                let cell = before.at(column, row)?;
                Some(before.next(cell, heading.0) != NONE)
            };
            for (heading, other) in
                [(Heading(0), self.at(column + 1, row)), (Heading(1), self.at(column, row + 1))]
            {
                let Some(other) = other else { continue };
                let known = (is_kept[number] && is_kept[other]).then(|| was_joined(heading));
                let may = known.flatten();
                if may.unwrap_or_else(|| self.can_join(field, number, other, heading)) {
                    self.set_next(number, heading, other);
                    self.set_next(other, heading.back(), number);
                }
            }
        }
    }

    fn can_join(&self, field: &Field, from: usize, to: usize, heading: Heading) -> bool {
        let (from, to) = (&self.list[from], &self.list[to]);
        let back = heading.back();
        let joints = [(from.first(heading), to.last(back)), (from.last(heading), to.first(back))];
        joints.iter().all(|&(a, b)| field.is_clear(a, b))
    }

    /// The cell next to one in a heading, whether or not a way leads there.
    #[must_use]
    pub fn next_to(&self, cell: usize, heading: Heading) -> Option<&Cell> {
        let (column, row) = self.position_beside(self.list.get(cell)?.at, heading)?;
        self.at(column, row).and_then(|next| self.list.get(next))
    }

    /// The neighbour position in a heading, whether or not there is a cell.
    fn position_beside(
        &self,
        (column, row): (usize, usize),
        heading: Heading,
    ) -> Option<(usize, usize)> {
        let (columns, rows) = self.size();
        let next = match heading.0 {
            0 => (column + 1, row),
            1 => (column, row + 1),
            2 => (column.checked_sub(1)?, row),
            _ => (column, row.checked_sub(1)?),
        };
        (next.0 < columns && next.1 < rows).then_some(next)
    }

    fn reach_out(&mut self, field: &Field, rules: CellRules) {
        let mut wishes: Vec<(f64, usize, Heading, [f64; 2])> = Vec::new();
        for number in 0..self.list.len() {
            for heading in Heading::ALL {
                let Some(stub) = self.longest_stub(field, number, heading, rules) else { continue };
                wishes.push(((stub[0] + stub[1]) / 2.0, number, heading, stub));
            }
        }
        wishes.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)).then(a.2.0.cmp(&b.2.0)));
        // Each place without a cell takes stubs along one axis: that of the longest.
        let (columns, rows) = self.size();
        let mut axis = vec![NONE; columns * rows];
        for (_, number, heading, stub) in wishes {
            let at = self.list[number].at;
            let Some((column, row)) = self.position_beside(at, heading) else {
                self.list[number].stubs[heading.0] = stub;
                continue;
            };
            let place = row * columns + column;
            if axis[place] == NONE || axis[place] == heading.0 % 2 {
                axis[place] = heading.0 % 2;
                let stub = self.short_of_opposite(number, heading, stub, rules);
                self.list[number].stubs[heading.0] = stub;
            }
        }
    }

    /// How far the two lanes of a side can go beyond it; `None` where a cell stands there or the
    /// reach is not worth a bend.
    fn longest_stub(
        &self,
        field: &Field,
        number: usize,
        heading: Heading,
        rules: CellRules,
    ) -> Option<[f64; 2]> {
        let cell = &self.list[number];
        let next = self.position_beside(cell.at, heading);
        if next.is_some_and(|(column, row)| self.at(column, row).is_some()) {
            return None;
        }
        let (first, last) = (cell.first(heading), cell.last(heading));
        let most = next.map_or(2.2 * rules.spacing, |(column, row)| {
            let far = match heading.0 {
                0 => self.xs[2 * column + 1] - first.x,
                1 => self.ys[2 * row + 1] - first.y,
                2 => first.x - self.xs[2 * column],
                _ => first.y - self.ys[2 * row],
            };
            far.max(0.0)
        });
        let slack = 0.01;
        let mut reach = [
            (field.reach(first, heading, most) - slack).max(0.0),
            (field.reach(last, heading, most) - slack).max(0.0),
        ];
        for _ in 0..6 {
            if field.is_clear(heading.ahead(first, reach[0]), heading.ahead(last, reach[1])) {
                break;
            }
            let short = reach[0].min(reach[1]);
            let is_level = reach[0].max(reach[1]) - short < 0.2 * rules.spacing;
            let cap = if is_level {
                short - 0.2 * rules.spacing
            } else {
                short + 0.5 * (reach[0].max(reach[1]) - short)
            };
            reach = reach.map(|reach| reach.min(cap.max(0.0)));
        }
        let is_fit = field.is_clear(heading.ahead(first, reach[0]), heading.ahead(last, reach[1]));
        (is_fit && reach[0] + reach[1] > 0.25 * rules.spacing).then_some(reach)
    }

    /// Shortens a stub that would meet the one from the other side of the same place.
    fn short_of_opposite(
        &self,
        number: usize,
        heading: Heading,
        stub: [f64; 2],
        rules: CellRules,
    ) -> [f64; 2] {
        let cell = &self.list[number];
        let Some(next) = self.position_beside(cell.at, heading) else { return stub };
        let Some(far) = self.position_beside(next, heading) else { return stub };
        let Some(other) = self.at(far.0, far.1).map(|other| &self.list[other]) else { return stub };
        let [theirs_first, theirs_last] = other.stubs[heading.back().0];
        let theirs = theirs_first.max(theirs_last);
        if theirs <= 0.0 {
            return stub;
        }
        let between = match heading.0 % 2 {
            0 => (cell.first(heading).x - other.first(heading.back()).x).abs(),
            _ => (cell.first(heading).y - other.first(heading.back()).y).abs(),
        };
        let room = (between - theirs - rules.least).max(0.0);
        let shorter = stub.map(|reach| reach.min(room));
        if shorter[0] + shorter[1] > 0.25 * rules.spacing { shorter } else { [0.0; 2] }
    }

    fn weigh(&mut self, rules: CellRules) {
        for cell in &mut self.list {
            let across =
                (cell.corners[1].x - cell.corners[0].x, cell.corners[3].y - cell.corners[0].y);
            let stubs: f64 = cell.stubs.iter().map(|[first, last]| first + last).sum();
            cell.tube = 2.0 * (across.0 + across.1).max(rules.spacing) + 0.8 * stubs;
            cell.tube *= rules.tubes;
        }
    }
}

/// The lane rectangle of a cell, its sides pushed inward where that makes it lie in the field.
fn fitted_corners(
    field: &Field,
    (west, east): (f64, f64),
    (south, north): (f64, f64),
    rules: CellRules,
) -> Option<[Point; 4]> {
    let bounds = field.bounds();
    let room = (east - west - rules.least, north - south - rules.least);
    if west > bounds.max.x || east < bounds.min.x || south > bounds.max.y || north < bounds.min.y {
        return None;
    }
    let corners = |push: [f64; 4]| {
        let (w, e) = (west + push[2], east - push[0]);
        let (s, n) = (south + push[3], north - push[1]);
        [Point::new(w, s), Point::new(e, s), Point::new(e, n), Point::new(w, n)]
    };
    let bad_sides = |corners: &[Point; 4]| {
        [0, 1, 2, 3].map(|side| !field.is_clear(corners[(side + 1) % 4], corners[(side + 2) % 4]))
    };
    let start = corners([0.0; 4]);
    let bad = bad_sides(&start);
    if bad == [false; 4] {
        return Some(start);
    }
    if !rules.may_push {
        return None;
    }
    // One side alone, then two that meet, each as little as serves.
    let tries: [[bool; 4]; 8] = [
        [true, false, false, false],
        [false, true, false, false],
        [false, false, true, false],
        [false, false, false, true],
        [true, true, false, false],
        [false, true, true, false],
        [false, false, true, true],
        [true, false, false, true],
    ];
    for share in [0.25, 0.5, 0.75, 1.0] {
        for sides in tries {
            if sides.iter().zip(&bad).any(|(push, bad)| *push && !bad) {
                continue;
            }
            let mut push = [0.0; 4];
            for side in 0..4 {
                if sides[side] {
                    push[side] = share * if side % 2 == 0 { room.0 } else { room.1 }.max(0.0);
                }
            }
            let pushed = corners(push);
            if bad_sides(&pushed) == [false; 4] {
                return Some(pushed);
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::geometry::clip::difference;
    use crate::tube::random::Dice;

    #[test]
    fn cells_taken_over_are_those_fitted_anew() {
        let rules = CellRules { spacing: 12.0, least: 9.6, tubes: 1.0, may_push: true };
        let lanes = |count: u32| -> Vec<f64> {
            (0..count).map(|lane| 6.0 + 12.0 * f64::from(lane)).collect()
        };
        // A slanted wall, so that sides are pushed and stubs reach out.
        let rim = [(0.0, 0.0), (300.0, 0.0), (241.3, 200.0), (0.0, 200.0)];
        let rim = rim.map(|(x, y)| Point::new(x, y)).to_vec();
        let floor = [Polygon::new(rim, Vec::new())];
        let all = Cells::new(&Field::new(&floor).unwrap(), (lanes(24), lanes(16)), rules);
        let (mut dice, mut lost) = (Dice::new(11), 0);
        for _ in 0..60 {
            let at = Point::new(280.0 * dice.share(), 180.0 * dice.share());
            let (wide, deep) = (4.0 + 90.0 * dice.share(), 4.0 + 60.0 * dice.share());
            let strip = Polygon::rectangle(at, Point::new(at.x + wide, at.y + deep));
            let box_round = strip.bounds().unwrap();
            let field = Field::new(&difference(&floor, &[strip])).unwrap();
            let left = all.left_in(&field, rules, &|lanes| !lanes.grown(18.0).touches(box_round));
            let anew = Cells::new(&field, (lanes(24), lanes(16)), rules);
            lost += all.list.len() - left.list.len();
            assert_eq!(left.number, anew.number);
            assert_eq!(left.beside, anew.beside);
            for (a, b) in left.list.iter().zip(&anew.list) {
                assert_eq!(a.corners, b.corners);
                assert!((a.tube - b.tube).abs() < 1e-3, "{} {}", a.tube, b.tube);
            }
        }
        assert!(lost > 60, "{lost}");
    }
}
