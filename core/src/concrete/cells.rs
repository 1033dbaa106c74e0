//! The solid as convex cells: top and underside are planes over each, and the cells tile the slab.
//!
//! A feature comes as convex facets, each a piece of plan with a plane. Where a facet asks for a
//! lower underside (or a lower top) than a cell has, that part of the cell is cut out and takes
//! the facet's plane; elsewhere nothing is cut. So overlapping features count once, by the lowest,
//! and the volume is an exact sum. A grid over the plan finds the cells near a facet.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::convex::{self, Plane, cut, sides_of};
use super::{SolidCell, SolidPart};
use crate::geometry::{Bounds, Point, Vector};

/// Most grid squares along one side of the plan.
const FINEST_GRID: usize = 48;

/// A convex piece of plan that asks for a depth.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Facet {
    /// Its corners, counter-clockwise.
    pub(super) corners: Vec<Point>,
    /// The depth it asks for.
    pub(super) plane: Plane,
    /// What asks.
    pub(super) part: SolidPart,
}

/// A cell while the solid is being made.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    pub(super) corners: Vec<Point>,
    pub(super) top: Plane,
    pub(super) underside: Plane,
    pub(super) part: SolidPart,
    bounds: Bounds,
}

/// Cells that tile a region, with the grid that finds them.
pub(super) struct Cells {
    cells: Vec<Cell>,
    bounds: Bounds,
    columns: usize,
    rows: usize,
    squares: Vec<Vec<u32>>,
}

impl Cells {
    /// Convex tiles with a level top at floor level and a level underside.
    pub(super) fn of_tiles(tiles: &[Vec<Point>], depth: f64) -> Self {
        let bounds = Bounds::of(tiles.iter().flatten().copied())
            .unwrap_or(Bounds { min: Point::ORIGIN, max: Point::ORIGIN });
        // About as many squares as tiles keeps both the lists short and the squares few.
        let side = (2 * tiles.len()).isqrt().clamp(1, FINEST_GRID);
        let mut cells = Self {
            cells: Vec::with_capacity(tiles.len() * 4),
            bounds,
            columns: side,
            rows: side,
            squares: vec![Vec::new(); side * side],
        };
        for tile in tiles {
            let cell = Cell {
                corners: tile.clone(),
                top: Plane::level(0.0),
                underside: Plane::level(depth),
                part: SolidPart::Floor,
                bounds,
            };
            cells.add(cell);
        }
        cells
    }

    /// Lowers the underside to the facet where the facet is lower.
    pub(super) fn lower_underside(&mut self, facet: &Facet) {
        self.within(
            &facet.corners,
            |cell| facet.plane.less(cell.underside),
            |mut piece, done| {
                piece.underside = facet.plane;
                piece.part = facet.part;
                done.push(piece);
            },
        );
    }

    /// Lowers the top to the facet where the facet is lower, but never below the underside.
    pub(super) fn lower_top(&mut self, corners: &[Point], plane: Plane) {
        self.within(
            corners,
            |cell| plane.less(cell.top),
            |piece, done| {
                let halves =
                    cut(&piece.corners, |place| piece.underside.at(place) - plane.at(place));
                done.push(piece.with(halves.inside, plane));
                done.push(piece.with(halves.outside, piece.underside));
            },
        );
    }

    /// Volume between top and underside.
    pub(super) fn volume(&self) -> f64 {
        self.cells
            .iter()
            .map(|cell| convex::volume_under(&cell.corners, cell.underside.less(cell.top)))
            .sum()
    }

    /// The cells as they stand.
    pub(super) fn all(&self) -> &[Cell] {
        &self.cells
    }

    /// The cells as others read them, moved by `shift`.
    pub(super) fn into_solid(self, shift: Vector) -> Vec<SolidCell> {
        self.cells
            .into_iter()
            .map(|cell| SolidCell {
                top: cell.corners.iter().map(|&corner| cell.top.at(corner)).collect(),
                underside: cell.corners.iter().map(|&corner| cell.underside.at(corner)).collect(),
                corners: cell.corners.iter().map(|&corner| corner + shift).collect(),
                part: cell.part,
            })
            .collect()
    }

    /// Cuts out of every cell the part within the convex `corners` where `gain` is positive, and
    /// lets `change` say what becomes of it.
    fn within(
        &mut self,
        corners: &[Point],
        gain: impl Fn(&Cell) -> Plane,
        change: impl Fn(Cell, &mut Vec<Cell>),
    ) {
        let Some(bounds) = Bounds::of(corners.iter().copied()) else { return };
        let mut pieces = Vec::new();
        for index in self.near(bounds) {
            let cell = &self.cells[index];
            let gained = gain(cell);
            let lower = cut(&cell.corners, |place| gained.at(place));
            let mut inside = lower.inside;
            let mut outside = vec![lower.outside];
            for side in sides_of(corners) {
                if inside.is_empty() {
                    break;
                }
                let halves = cut(&inside, |place| side.depth_of(place));
                outside.push(halves.outside);
                inside = halves.inside;
            }
            if inside.is_empty() {
                continue;
            }
            pieces.clear();
            change(cell.with(inside, cell.top), &mut pieces);
            let kept = outside.into_iter().map(|corners| cell.with(corners, cell.top));
            pieces.extend(kept);
            pieces.retain(|piece| piece.corners.len() > 2);
            self.replace(index, &mut pieces);
        }
    }

    /// Puts the first piece where the cell was and the others at the end.
    fn replace(&mut self, index: usize, pieces: &mut Vec<Cell>) {
        let mut pieces = pieces.drain(..);
        // The squares that listed the cell list all that its first piece touches, and more.
        match pieces.next() {
            Some(piece) => self.cells[index] = piece,
            None => return,
        }
        for piece in pieces {
            self.add(piece);
        }
    }

    fn add(&mut self, mut cell: Cell) {
        let Some(bounds) = Bounds::of(cell.corners.iter().copied()) else { return };
        cell.bounds = bounds;
        let Ok(number) = u32::try_from(self.cells.len()) else { return };
        let (columns, rows) = self.squares_of(bounds);
        for row in rows {
            for column in columns.clone() {
                self.squares[row * self.columns + column].push(number);
            }
        }
        self.cells.push(cell);
    }

    fn near(&self, bounds: Bounds) -> Vec<usize> {
        let (columns, rows) = self.squares_of(bounds);
        let mut found: Vec<u32> = Vec::new();
        for row in rows {
            for column in columns.clone() {
                let square = &self.squares[row * self.columns + column];
                let touches = |&&number: &&u32| self.cells[number as usize].bounds.touches(bounds);
                found.extend(square.iter().filter(touches));
            }
        }
        found.sort_unstable();
        found.dedup();
        found.into_iter().map(|number| number as usize).collect()
    }

    fn squares_of(
        &self,
        bounds: Bounds,
    ) -> (std::ops::RangeInclusive<usize>, std::ops::RangeInclusive<usize>) {
        let span = |low: f64, high: f64, from: f64, size: f64, count: usize| {
            let step = |at: f64| {
                let share = if size > 0.0 { (at - from) / size } else { 0.0 };
                #[expect(clippy::cast_possible_truncation, reason = "clamped to the grid")]
                #[expect(clippy::cast_sign_loss, reason = "clamped to the grid")]
                let square = (share * count as f64).clamp(0.0, count as f64 - 1.0) as usize;
                square
            };
            step(low)..=step(high)
        };
        let whole = self.bounds;
        (
            span(bounds.min.x, bounds.max.x, whole.min.x, whole.width(), self.columns),
            span(bounds.min.y, bounds.max.y, whole.min.y, whole.height(), self.rows),
        )
    }
}

impl Cell {
    /// The same cell over other corners and with another top.
    fn with(&self, corners: Vec<Point>, top: Plane) -> Self {
        let bounds = Bounds::of(corners.iter().copied()).unwrap_or(self.bounds);
        Self { corners, top, bounds, underside: self.underside, part: self.part }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, size: f64) -> Vec<Point> {
        vec![
            Point::new(x, y),
            Point::new(x + size, y),
            Point::new(x + size, y + size),
            Point::new(x, y + size),
        ]
    }

    fn pad(corners: Vec<Point>, depth: f64) -> Facet {
        Facet { corners, plane: Plane::level(depth), part: SolidPart::Pad }
    }

    #[test]
    fn overlaps_count_once_by_the_lowest() {
        let mut cells = Cells::of_tiles(&[square(0.0, 0.0, 100.0)], 4.0);
        cells.lower_underside(&pad(square(10.0, 10.0, 20.0), 10.0));
        cells.lower_underside(&pad(square(20.0, 20.0, 20.0), 12.0));
        cells.lower_underside(&pad(square(12.0, 12.0, 4.0), 9.0));
        let expected = 40_000.0 + 300.0 * 6.0 + 400.0 * 8.0;
        assert!((cells.volume() - expected).abs() < 1e-6, "{}", cells.volume());
    }

    #[test]
    fn a_top_never_goes_below_the_underside() {
        let mut cells = Cells::of_tiles(&[square(0.0, 0.0, 100.0)], 4.0);
        let falling = Plane::falling(Point::ORIGIN, 0.0, Vector::new(1.0, 0.0), 0.08);
        cells.lower_top(&square(0.0, 0.0, 100.0), falling);
        // Half the slab is a wedge from 4 to 0 in, the rest is gone.
        assert!((cells.volume() - 50.0 * 100.0 * 2.0).abs() < 1e-6, "{}", cells.volume());
    }
}
