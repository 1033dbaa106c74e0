//! The slab as a plate of square cells: heat along it, up into the room, down, and out at the
//! rim.
//!
//! One layer of dead cells is kept all round, so that no cell needs to ask whether it has a
//! neighbour. A cell that the rim cuts counts with the share of it that is slab.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::{PlateValues, RimPiece};
use crate::geometry::{Point, Polygon};

/// Rows of samples in a cell that measure how much of it is slab.
const SAMPLE_ROWS: u32 = 4;
/// A cell with less slab in it than this share takes no part.
const LEAST_SHARE: f64 = 0.02;
const METERS_PER_INCH: f64 = 0.0254;

/// A plate of cells with its conductances, W/K.
#[derive(Clone, Debug)]
pub(super) struct Plate {
    /// South-west corner of the first cell of the padded grid, inches.
    pub origin: Point,
    /// Side of a cell, inches.
    pub cell: f64,
    /// Cells to a row, padding included.
    pub width: usize,
    /// Rows, padding included.
    pub height: usize,
    /// Share of each cell that is slab.
    pub share: Vec<f64>,
    /// To the room, from each cell.
    pub up: Vec<f64>,
    /// To the ground.
    pub down: Vec<f64>,
    /// To the outside.
    pub edge: Vec<f64>,
    east: Vec<f64>,
    north: Vec<f64>,
    diagonal: Vec<f64>,
}

impl Plate {
    /// Cuts a region into cells.
    pub(super) fn of(
        region: &Polygon,
        rim: &[RimPiece],
        cell: f64,
        values: &PlateValues,
    ) -> Option<Self> {
        let bounds = region.bounds()?;
        let cells_over = |length: f64| (length / cell - 1e-6).ceil().clamp(1.0, 4e4) as usize;
        let width = cells_over(bounds.max.x - bounds.min.x) + 4;
        let height = cells_over(bounds.max.y - bounds.min.y) + 4;
        let origin = Point::new(bounds.min.x - 2.0 * cell, bounds.min.y - 2.0 * cell);
        let count = width * height;
        let mut plate = Self {
            origin,
            cell,
            width,
            height,
            share: vec![0.0; count],
            up: Vec::new(),
            down: Vec::new(),
            edge: vec![0.0; count],
            east: vec![0.0; count],
            north: vec![0.0; count],
            diagonal: vec![1.0; count],
        };
        plate.measure_shares(region);
        let side = cell * METERS_PER_INCH;
        plate.up = plate.share.iter().map(|share| values.up * share * side * side).collect();
        plate.down = plate.share.iter().map(|share| values.down * share * side * side).collect();
        // From the middle of a cell heat still has half a cell of plate to go to the rim.
        let to_rim = 0.5 * side / values.along;
        for piece in rim.iter().filter(|piece| piece.loss > 0.0) {
            plate.share_out(piece, 1.0 / (1.0 / piece.loss + to_rim));
        }
        plate.link_cells(values.along);
        Some(plate)
    }

    /// Number of the cell that holds a point; points off the grid are held to its border.
    pub(super) fn cell_at(&self, point: Point) -> usize {
        let along = |from: f64, to: f64, count: usize| {
            ((to - from) / self.cell).floor().clamp(0.0, (count - 1) as f64) as usize
        };
        let (i, j) =
            (along(self.origin.x, point.x, self.width), along(self.origin.y, point.y, self.height));
        j * self.width + i
    }

    /// Middle of a cell.
    pub(super) fn middle(&self, cell: usize) -> Point {
        let (i, j) = (cell % self.width, cell / self.width);
        let at = |from: f64, count: usize| from + self.cell * (count as f64 + 0.5);
        Point::new(at(self.origin.x, i), at(self.origin.y, j))
    }

    /// Share of slab in each cell: exact along the lines of sampling, four lines to a cell.
    fn measure_shares(&mut self, region: &Polygon) {
        let rings: Vec<&Vec<Point>> = std::iter::once(&region.outer).chain(&region.holes).collect();
        let lines = self.height as u32 * SAMPLE_ROWS;
        let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); lines as usize];
        let spacing = self.cell / f64::from(SAMPLE_ROWS);
        let line_y = |line: u32| self.origin.y + spacing * (f64::from(line) + 0.5);
        for ring in rings {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
                let first = ((low.y - self.origin.y) / spacing - 0.5).ceil().clamp(0.0, 1e9) as u32;
                for line in first..lines {
                    let y = line_y(line);
                    if y < low.y || y >= high.y {
                        break;
                    }
                    let x = low.x + (high.x - low.x) * (y - low.y) / (high.y - low.y);
                    crossings[line as usize].push((x - self.origin.x) / self.cell);
                }
            }
        }
        for (line, mut xs) in crossings.into_iter().enumerate() {
            xs.sort_by(f64::total_cmp);
            let row = line / SAMPLE_ROWS as usize * self.width;
            for pair in xs.chunks_exact(2) {
                let (from, to) = (pair[0].max(0.0), pair[1].min((self.width - 1) as f64));
                let mut i = from.floor();
                while i < to {
                    let part = (to.min(i + 1.0) - from.max(i)).max(0.0);
                    self.share[row + i as usize] += part / f64::from(SAMPLE_ROWS);
                    i += 1.0;
                }
            }
        }
        for share in &mut self.share {
            if *share < LEAST_SHARE {
                *share = 0.0;
            }
        }
    }

    /// Gives the loss along a piece of the rim to the cells just inside it.
    fn share_out(&mut self, piece: &RimPiece, per_meter: f64) {
        let along = piece.to - piece.from;
        let length = along.length();
        let Some(inward) = along.unit().map(crate::geometry::Vector::left) else { return };
        let parts = (length / (0.5 * self.cell)).ceil().max(1.0);
        let mut part = 0.5;
        while part < parts {
            let at = piece.from + along * (part / parts);
            let places =
                [0.5, 0.1, 1.0, -0.5].map(|off| self.cell_at(at + inward * (off * self.cell)));
            if let Some(&cell) = places.iter().find(|&&cell| self.share[cell] > 0.0) {
                self.edge[cell] += per_meter * length / parts * METERS_PER_INCH;
            }
            part += 1.0;
        }
    }

    fn link_cells(&mut self, along: f64) {
        let width = self.width;
        for cell in 0..self.share.len() - width {
            let open = |other: usize| along * self.share[cell].min(self.share[other]);
            self.east[cell] = open(cell + 1);
            self.north[cell] = open(cell + width);
        }
        for cell in width..self.share.len() - width {
            if self.share[cell] > 0.0 {
                self.diagonal[cell] = self.up[cell]
                    + self.down[cell]
                    + self.edge[cell]
                    + self.east[cell]
                    + self.east[cell - 1]
                    + self.north[cell]
                    + self.north[cell - width];
            }
        }
    }

    /// The conductance matrix times a field.
    pub(super) fn times(&self, field: &[f64], product: &mut [f64]) {
        let (width, count) = (self.width, field.len());
        let inner = count - 2 * width;
        let here = &field[width..][..inner];
        let (right, left) = (&field[width + 1..][..inner], &field[width - 1..][..inner]);
        let (over, under) = (&field[2 * width..][..inner], &field[..inner]);
        let (east, west) = (&self.east[width..][..inner], &self.east[width - 1..][..inner]);
        let (north, south) = (&self.north[width..][..inner], &self.north[..inner]);
        let diagonal = &self.diagonal[width..][..inner];
        let result = &mut product[width..][..inner];
        for k in 0..inner {
            result[k] = diagonal[k] * here[k]
                - (east[k] * right[k] + west[k] * left[k])
                - (north[k] * over[k] + south[k] * under[k]);
        }
    }

    /// Diagonal of the matrix.
    pub(super) fn diagonal(&self) -> &[f64] {
        &self.diagonal
    }
}
