//! Board courses: a surface cut into bands of board width, each band into strips that run along it.
//!
//! Question: what does one row of boards have to fill? Everything here is in *course axes*: x
//! along the courses, y across them, the first course line at the offset asked for.
//!
//! Method: in each band the corners of the area give breakpoints along the course; between two
//! of them every boundary is straight, so the area there is a few trapezoids, the [`Cell`]s.
//! Cells that follow each other are joined to a [`Strip`] as long as it stays convex (or steps
//! by no more than a small amount); where a wall steps in or out the strip ends, so that each
//! piece is cut from about the board it needs.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::offcuts::hull;
use crate::geometry::{Point, Polygon};

/// Breakpoints and heights closer than this are the same, inches.
const SAME: f64 = 1e-6;
/// Cells and strips thinner than this carry no board, inches.
const THINNEST: f64 = 1e-4;

/// Strips shorter than this are no pieces of their own: they go with a neighbour, inches.
const STUB: f64 = 2.0;

/// A trapezoid with two sides across the course.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cell {
    /// Where it starts along the course.
    pub from: f64,
    /// Where it ends along the course.
    pub to: f64,
    /// Its lower boundary at the start and at the end.
    pub low: (f64, f64),
    /// Its upper boundary at the start and at the end.
    pub high: (f64, f64),
}

impl Cell {
    fn at(&self, ends: (f64, f64), along: f64) -> f64 {
        let share = ((along - self.from) / (self.to - self.from)).clamp(0.0, 1.0);
        if ends.0 == ends.1 { ends.0 } else { ends.0 + (ends.1 - ends.0) * share }
    }

    /// Area, square inches.
    pub fn area(&self) -> f64 {
        let (left, right) = (self.high.0 - self.low.0, self.high.1 - self.low.1);
        (left + right) / 2.0 * (self.to - self.from)
    }

    /// Lower and upper boundary at a place along the course.
    pub fn side_at(&self, along: f64) -> (f64, f64) {
        (self.at(self.low, along), self.at(self.high, along))
    }
}

/// A run of cells in one course that boards fill end to end.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Strip {
    /// Its cells, each starting where the one before ends.
    pub cells: Vec<Cell>,
    /// The course's own lower and upper line.
    pub band: (f64, f64),
    /// Number of the course, from 0.
    pub course: usize,
    /// Which surface it belongs to.
    pub surface: usize,
    /// Whether it is one rectangle.
    pub is_rectangle: bool,
    /// End seams in neighbouring courses must stand apart here.
    pub is_staggered: bool,
    /// A person locked it: it stays one piece.
    pub is_locked: bool,
}

impl Strip {
    /// Where it starts along the course.
    pub fn start(&self) -> f64 {
        self.cells.first().map_or(0.0, |cell| cell.from)
    }

    /// Where it ends along the course.
    pub fn end(&self) -> f64 {
        self.cells.last().map_or(0.0, |cell| cell.to)
    }

    /// Lower and upper boundary at a place along the course.
    pub fn side_at(&self, along: f64) -> (f64, f64) {
        let cell = self.cells.iter().find(|cell| along <= cell.to + SAME).or(self.cells.last());
        cell.map_or((0.0, 0.0), |cell| cell.side_at(along))
    }

    /// Area, square inches.
    pub fn area(&self) -> f64 {
        self.cells.iter().map(Cell::area).sum()
    }

    /// Lower boundary from `from` to `to`, then the upper one, both in the course's direction.
    pub fn boundaries(&self, from: f64, to: f64) -> (Vec<Point>, Vec<Point>) {
        let (mut lower, mut upper) = (Vec::with_capacity(4), Vec::with_capacity(4));
        for cell in &self.cells {
            if cell.to <= from + SAME || cell.from >= to - SAME {
                continue;
            }
            for along in [cell.from.max(from), cell.to.min(to)] {
                let (low, high) = cell.side_at(along);
                push_corner(&mut lower, Point::new(along, low));
                push_corner(&mut upper, Point::new(along, high));
            }
        }
        (lower, upper)
    }

    /// The outline of the part from `from` to `to`, counter-clockwise.
    pub fn outline(&self, from: f64, to: f64) -> Vec<Point> {
        if let Some(ring) = self.rectangle(from, to) {
            return ring;
        }
        let (mut ring, upper) = self.boundaries(from, to);
        for point in upper.into_iter().rev() {
            push_corner(&mut ring, point);
        }
        while ring.len() > 1 && is_same(ring[0], ring[ring.len() - 1]) {
            ring.pop();
        }
        straightened(&ring)
    }

    /// The part from `from` to `to` when the strip is one rectangle, which most are.
    fn rectangle(&self, from: f64, to: f64) -> Option<Vec<Point>> {
        let cell = self.cells.first().filter(|_| self.is_rectangle)?;
        let (from, to) = (from.max(cell.from), to.min(cell.to));
        let is_one = to > from + SAME;
        is_one.then(|| {
            Polygon::rectangle(Point::new(from, cell.low.0), Point::new(to, cell.high.0)).outer
        })
    }

    /// The convex hull of the part from `from` to `to`: what is cut out of a board.
    pub fn hull(&self, from: f64, to: f64) -> Vec<Point> {
        self.rectangle(from, to).unwrap_or_else(|| hull(&self.outline(from, to)))
    }

    /// The strip parted at the ends of a locked piece; the piece is a strip of its own. Whole when
    /// the piece does not lie in it.
    pub fn with_locked(self, (from, to): (f64, f64)) -> Vec<Self> {
        if self.end() < from + STUB || self.start() > to - STUB {
            return vec![self];
        }
        let (from, to) = (from.max(self.start()), to.min(self.end()));
        [(self.start(), from, false), (from, to, true), (to, self.end(), false)]
            .into_iter()
            .filter(|(start, end, _)| end - start > SAME)
            .map(|(start, end, is_locked)| self.part(start, end, self.is_locked || is_locked))
            .collect()
    }

    /// The part from `start` to `end` as a strip of its own.
    pub fn part(&self, start: f64, end: f64, is_locked: bool) -> Self {
        let cells = self
            .cells
            .iter()
            .filter(|cell| cell.to > start + SAME && cell.from < end - SAME)
            .map(|cell| {
                let (from, to) = (cell.from.max(start), cell.to.min(end));
                let (left, right) = (cell.side_at(from), cell.side_at(to));
                Cell { from, to, low: (left.0, right.0), high: (left.1, right.1) }
            })
            .collect();
        Self { cells, is_locked, ..self.clone() }
    }

    /// The strip turned half round about the origin, so that it can be filled from its other end.
    pub fn turned(&self) -> Self {
        let cells = self
            .cells
            .iter()
            .rev()
            .map(|cell| Cell {
                from: -cell.to,
                to: -cell.from,
                low: (-cell.high.1, -cell.high.0),
                high: (-cell.low.1, -cell.low.0),
            })
            .collect();
        Self { cells, band: (-self.band.1, -self.band.0), ..self.clone() }
    }
}

fn is_same(a: Point, b: Point) -> bool {
    (a.x - b.x).abs() < SAME && (a.y - b.y).abs() < SAME
}

fn push_corner(ring: &mut Vec<Point>, point: Point) {
    if ring.last().is_none_or(|last| !is_same(*last, point)) {
        ring.push(point);
    }
}

/// The ring without corners that are not corners.
pub(super) fn straightened(ring: &[Point]) -> Vec<Point> {
    let count = ring.len();
    (0..count)
        .filter(|&index| {
            let (before, after) = (ring[(index + count - 1) % count], ring[(index + 1) % count]);
            let (arriving, leaving) = (ring[index] - before, after - ring[index]);
            let turn = arriving.cross(leaving).abs();
            turn > 1e-9 * (arriving.length() * leaving.length()).max(1e-9)
                || arriving.dot(leaving) < 0.0
        })
        .map(|index| ring[index])
        .collect()
}

/// How a surface is divided into courses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Division {
    /// A place across the courses where a course line runs.
    pub offset: f64,
    /// Width of a course.
    pub width: f64,
    /// Steps in a wall up to this size do not end a strip.
    pub step_kept: f64,
}

/// Strips of an area in course axes, course by course from the lowest, each course from its
/// start.
pub(super) fn strips_of(area: &[Polygon], division: Division) -> Vec<Strip> {
    let edges: Vec<(Point, Point)> = area.iter().flat_map(Polygon::edges).collect();
    let Some((lowest, highest)) = extent(&edges, |point| point.y) else {
        return Vec::new();
    };
    if division.width <= THINNEST {
        return Vec::new();
    }
    let first = ((lowest + THINNEST - division.offset) / division.width).floor();
    let count = ((highest - THINNEST - division.offset) / division.width).floor() - first + 1.0;
    let mut strips = Vec::new();
    // A plan is at most some miles across; the cast is of a small whole number.
    for course in 0..count.clamp(0.0, 1e6) as usize {
        let low = division.offset + (first + course as f64) * division.width;
        let band = (low, low + division.width);
        strips.extend(strips_of_band(&edges, band, course, division.step_kept));
    }
    strips
}

fn extent(edges: &[(Point, Point)], of: impl Fn(Point) -> f64) -> Option<(f64, f64)> {
    edges.iter().map(|edge| of(edge.0)).fold(None, |range: Option<(f64, f64)>, value| {
        Some(range.map_or((value, value), |(low, high)| (low.min(value), high.max(value))))
    })
}

fn strips_of_band(
    edges: &[(Point, Point)],
    band: (f64, f64),
    course: usize,
    step_kept: f64,
) -> Vec<Strip> {
    let breaks = breakpoints(edges, band);
    let mut open: Vec<Vec<Cell>> = Vec::new();
    let mut done: Vec<Vec<Cell>> = Vec::new();
    for pair in breaks.windows(2) {
        let cells = cells_between(edges, band, (pair[0], pair[1]));
        let mut next: Vec<Vec<Cell>> = Vec::new();
        for cell in cells {
            let joins = open.iter().position(|strip| {
                strip.last().is_some_and(|last| continues(last, &cell, step_kept))
            });
            let mut strip = joins.map_or_else(Vec::new, |index| open.remove(index));
            push_cell(&mut strip, cell);
            next.push(strip);
        }
        done.append(&mut open);
        open = next;
    }
    done.append(&mut open);
    join_stubs(&mut done);
    done.sort_by(|a, b| {
        let key = |cells: &[Cell]| cells.first().map_or((0.0, 0.0), |c| (c.from, c.low.0));
        key(a).partial_cmp(&key(b)).unwrap_or(std::cmp::Ordering::Equal)
    });
    done.into_iter()
        .map(|cells| {
            let is_rectangle =
                matches!(cells.as_slice(), [c] if c.low.0 == c.low.1 && c.high.0 == c.high.1);
            Strip {
                cells,
                band,
                course,
                surface: 0,
                is_rectangle,
                is_staggered: true,
                is_locked: false,
            }
        })
        .filter(|strip| strip.area() > 0.05)
        .collect()
}

/// Joins runs of cells too short to be a piece to a run that they meet end to end.
fn join_stubs(runs: &mut Vec<Vec<Cell>>) {
    let mut index = 0;
    while index < runs.len() {
        let ends = |run: &[Cell]| run.first().copied().zip(run.last().copied());
        let Some((first, last)) = ends(&runs[index]) else { return };
        let meets = |a: (f64, f64), b: (f64, f64)| a.1.min(b.1) - a.0.max(b.0) > THINNEST;
        let neighbour = |run: &Vec<Cell>| {
            let (start, end) = ends(run)?;
            if (end.to - first.from).abs() < SAME
                && meets((end.low.1, end.high.1), (first.low.0, first.high.0))
            {
                return Some(true);
            }
            let is_before = (start.from - last.to).abs() < SAME
                && meets((start.low.0, start.high.0), (last.low.1, last.high.1));
            is_before.then_some(false)
        };
        let found = runs
            .iter()
            .enumerate()
            .filter(|(other, _)| last.to - first.from < STUB && *other != index)
            .find_map(|(other, run)| Some((other, neighbour(run)?)));
        let Some((other, is_behind)) = found else {
            index += 1;
            continue;
        };
        let stub = std::mem::take(&mut runs[index]);
        if is_behind {
            runs[other].extend(stub);
        } else {
            runs[other].splice(0..0, stub);
        }
        runs.remove(index);
    }
}

/// Adds a cell, making one of two that continue each other exactly.
fn push_cell(strip: &mut Vec<Cell>, cell: Cell) {
    if let Some(last) = strip.last_mut() {
        let is_level = |ends: (f64, f64), next: (f64, f64)| {
            ends.0 == ends.1 && next.0 == next.1 && (ends.1 - next.0).abs() < SAME
        };
        if is_level(last.low, cell.low) && is_level(last.high, cell.high) {
            last.to = cell.to;
            return;
        }
    }
    strip.push(cell);
}

/// Whether a strip that ends with `last` goes on with `next`.
fn continues(last: &Cell, next: &Cell, step_kept: f64) -> bool {
    let overlap = last.high.1.min(next.high.0) - last.low.1.max(next.low.0);
    if (last.to - next.from).abs() > SAME || overlap <= THINNEST {
        return false;
    }
    let step = (last.high.1 - next.high.0).abs().max((last.low.1 - next.low.0).abs());
    if step > SAME {
        return step <= step_kept;
    }
    let slope = |cell: &Cell, ends: (f64, f64)| (ends.1 - ends.0) / (cell.to - cell.from);
    let falls_off = |turn: f64| turn * (next.to - next.from).min(last.to - last.from) <= step_kept;
    falls_off(slope(next, next.high) - slope(last, last.high))
        && falls_off(slope(last, last.low) - slope(next, next.low))
}

/// Places along the course where the area's boundary bends, starts or leaves the band.
fn breakpoints(edges: &[(Point, Point)], band: (f64, f64)) -> Vec<f64> {
    let mut breaks: Vec<f64> = Vec::new();
    for &(from, to) in edges {
        let (low, high) = if from.y <= to.y { (from, to) } else { (to, from) };
        if high.y < band.0 || low.y > band.1 {
            continue;
        }
        for (level, end) in [(band.0, low), (band.1, high)] {
            let outside = if level == band.0 { end.y < level } else { end.y > level };
            breaks.push(if outside { along_at(low, high, level) } else { end.x });
        }
    }
    breaks.sort_by(f64::total_cmp);
    breaks.dedup_by(|later, earlier| *later - *earlier < SAME);
    breaks
}

fn along_at(low: Point, high: Point, level: f64) -> f64 {
    if low.x == high.x {
        return low.x;
    }
    low.x + (high.x - low.x) * ((level - low.y) / (high.y - low.y))
}

/// The trapezoids of the area inside the band between two breakpoints, from the lowest.
fn cells_between(edges: &[(Point, Point)], band: (f64, f64), span: (f64, f64)) -> Vec<Cell> {
    let middle = (span.0 + span.1) / 2.0;
    let height = |edge: &(Point, Point), along: f64| {
        if edge.0.y == edge.1.y {
            return edge.0.y;
        }
        edge.0.y + (edge.1.y - edge.0.y) * ((along - edge.0.x) / (edge.1.x - edge.0.x))
    };
    let mut crossed: Vec<(f64, &(Point, Point))> = edges
        .iter()
        .filter(|edge| (edge.0.x > middle) != (edge.1.x > middle))
        .map(|edge| (height(edge, middle), edge))
        .collect();
    crossed.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut cells: Vec<Cell> = Vec::new();
    for pair in crossed.chunks_exact(2) {
        if pair[1].0 <= band.0 + THINNEST || pair[0].0 >= band.1 - THINNEST {
            continue;
        }
        // A side that passes outside the band has its ends there too and no breakpoint: the
        // course line bounds the cell instead.
        let bounded = |(middle, edge): (f64, &(Point, Point))| {
            if middle <= band.0 {
                (band.0, band.0)
            } else if middle >= band.1 {
                (band.1, band.1)
            } else {
                let at = |along: f64| height(edge, along).clamp(band.0, band.1);
                (at(span.0), at(span.1))
            }
        };
        let cell = Cell { from: span.0, to: span.1, low: bounded(pair[0]), high: bounded(pair[1]) };
        if (cell.high.0 - cell.low.0).max(cell.high.1 - cell.low.1) > THINNEST {
            cells.push(cell);
        }
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    fn division(offset: f64) -> Division {
        Division { offset, width: 48.0, step_kept: 0.0 }
    }

    #[test]
    fn a_rectangle_gives_one_strip_a_course() {
        let area = [Polygon::rectangle(Point::new(0.0, 0.0), Point::new(456.0, 312.0))];
        let strips = strips_of(&area, division(0.0));
        assert_eq!(strips.len(), 7);
        assert!(strips.iter().all(|strip| strip.is_rectangle));
        assert_eq!(strips[6].cells[0].high, (312.0, 312.0));
        let shifted = strips_of(&area, division(-24.0));
        assert_eq!(shifted.len(), 7);
        assert_eq!(shifted[0].side_at(10.0), (0.0, 24.0));
    }

    #[test]
    fn a_slanted_wall_stays_one_strip_and_a_step_parts_it() {
        let slanted = [Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(200.0, 0.0),
                Point::new(150.0, 48.0),
                Point::new(0.0, 48.0),
            ],
            Vec::new(),
        )];
        let strips = strips_of(&slanted, division(0.0));
        assert_eq!(strips.len(), 1);
        assert!((strips[0].area() - 175.0 * 48.0).abs() < 1e-6);
        assert_eq!(strips[0].outline(100.0, 200.0).len(), 4);
        let stepped = [Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(200.0, 0.0),
                Point::new(200.0, 20.0),
                Point::new(120.0, 20.0),
                Point::new(120.0, 48.0),
                Point::new(0.0, 48.0),
            ],
            Vec::new(),
        )];
        let strips = strips_of(&stepped, division(0.0));
        assert_eq!(strips.len(), 2);
        let area: f64 = strips.iter().map(Strip::area).sum();
        assert!((area - (200.0 * 20.0 + 120.0 * 28.0)).abs() < 1e-6);
        let whole = strips_of(&stepped, Division { step_kept: 30.0, ..division(0.0) });
        assert_eq!(whole.len(), 1);
        assert_eq!(whole[0].outline(0.0, 200.0).len(), 6);
        assert_eq!(whole[0].turned().turned(), whole[0]);
    }

    #[test]
    fn a_hole_parts_the_course_round_it() {
        let mut area = Polygon::rectangle(Point::new(0.0, 0.0), Point::new(200.0, 48.0));
        area.holes.push(vec![
            Point::new(80.0, 10.0),
            Point::new(80.0, 30.0),
            Point::new(110.0, 30.0),
            Point::new(110.0, 10.0),
        ]);
        let strips = strips_of(std::slice::from_ref(&area), division(0.0));
        assert_eq!(strips.len(), 4);
        let total: f64 = strips.iter().map(Strip::area).sum();
        assert!((total - area.area()).abs() < 1e-6);
    }

    #[test]
    fn a_stub_goes_with_its_neighbour() {
        // The wall steps back by 20 in at the last inch: no piece of an inch is cut for it.
        let stepped = [Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(101.0, 0.0),
                Point::new(101.0, 28.0),
                Point::new(100.0, 28.0),
                Point::new(100.0, 48.0),
                Point::new(0.0, 48.0),
            ],
            Vec::new(),
        )];
        let strips = strips_of(&stepped, division(0.0));
        assert_eq!(strips.len(), 1);
        assert!((strips[0].area() - 4828.0).abs() < 1e-6);
        assert_eq!(strips[0].outline(0.0, 101.0).len(), 6);
    }
}
