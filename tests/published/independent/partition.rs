//! The least cost of a small rectilinear slab, exhaustively: every way to tile its cells with
//! allowed panels, each state of "which cells are covered" solved once.
//!
//! Lines: every corner coordinate, and even splits of each interval between neighbouring corner
//! coordinates and of the whole side into the least number of parts and up to three more.

use slabloom_core::geometry::Point;
use std::collections::HashMap;

pub struct Tiling {
    /// Least cost: sawing in inches and what the panels' shapes weigh.
    pub cost: f64,
    /// States looked at.
    pub states: usize,
}

fn lines(mut at: Vec<f64>, spacing: f64) -> Vec<f64> {
    at.sort_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < 0.5);
    let hard = at.clone();
    let mut spans: Vec<(f64, f64)> = hard.windows(2).map(|w| (w[0], w[1])).collect();
    spans.push((hard[0], hard[hard.len() - 1]));
    for (low, high) in spans {
        let least = ((high - low) / spacing - 1e-9).ceil() as u32;
        for parts in least..least + 4 {
            for part in 1..parts {
                let x = low + (high - low) * f64::from(part) / f64::from(parts);
                if at.iter().all(|other| (other - x).abs() > 2.0) {
                    at.push(x);
                }
            }
        }
    }
    at.sort_by(f64::total_cmp);
    at
}

struct Search {
    cells: Vec<(usize, usize)>,
    number: Vec<Vec<Option<usize>>>,
    xs: Vec<f64>,
    ys: Vec<f64>,
    spacing: f64,
    /// What a panel of this aspect weighs, in inches of sawing.
    weighs: fn(f64) -> f64,
    known: HashMap<u128, f64>,
}

impl Search {
    fn floor(&self, x: isize, y: isize) -> bool {
        x >= 0
            && y >= 0
            && (x as usize) < self.number.len()
            && (y as usize) < self.number[0].len()
            && self.number[x as usize][y as usize].is_some()
    }

    /// Sides of a panel that have floor on the other side.
    fn inner_sides(&self, x0: usize, x1: usize, y0: usize, y1: usize) -> f64 {
        let mut sum = 0.0;
        for y in y0..y1 {
            let length = self.ys[y + 1] - self.ys[y];
            for x in [x0 as isize - 1, x1 as isize] {
                sum += if self.floor(x, y as isize) { length } else { 0.0 };
            }
        }
        for x in x0..x1 {
            let length = self.xs[x + 1] - self.xs[x];
            for y in [y0 as isize - 1, y1 as isize] {
                sum += if self.floor(x as isize, y) { length } else { 0.0 };
            }
        }
        sum
    }

    fn least(&mut self, covered: u128) -> f64 {
        let Some(first) = (0..self.cells.len()).find(|cell| covered >> cell & 1 == 0) else {
            return 0.0;
        };
        if let Some(&known) = self.known.get(&covered) {
            return known;
        }
        let (x0, y0) = self.cells[first];
        let mut best = f64::INFINITY;
        let mut tallest = self.ys.len();
        for x1 in x0 + 1..self.xs.len() {
            let width = self.xs[x1] - self.xs[x0];
            if width > self.spacing + 1e-6 {
                break;
            }
            let mut mask = 0_u128;
            for y1 in y0 + 1..tallest {
                let height = self.ys[y1] - self.ys[y0];
                if height > self.spacing + 1e-6 {
                    break;
                }
                let mut is_free = true;
                for x in x0..x1 {
                    match self.number[x][y1 - 1] {
                        Some(cell) if covered >> cell & 1 == 0 => mask |= 1 << cell,
                        _ => is_free = false,
                    }
                }
                if !is_free {
                    tallest = y1;
                    break;
                }
                if width.max(height) > 1.5 * width.min(height) + 1e-9 || width.min(height) < 24.0 {
                    continue;
                }
                let aspect = width.max(height) / width.min(height);
                let own = self.inner_sides(x0, x1, y0, y1) / 2.0 + (self.weighs)(aspect);
                let rest = self.least(covered | mask);
                best = best.min(own + rest);
            }
        }
        self.known.insert(covered, best);
        best
    }
}

/// The least cost of a rectilinear slab given by its corners, where a panel weighs by its aspect;
/// `None` when it has too many cells.
pub fn least_cost(corners: &[Point], spacing: f64, weighs: fn(f64) -> f64) -> Option<Tiling> {
    let xs = lines(corners.iter().map(|p| p.x).collect(), spacing);
    let ys = lines(corners.iter().map(|p| p.y).collect(), spacing);
    let mut cells = Vec::new();
    let mut number = vec![vec![None; ys.len() - 1]; xs.len() - 1];
    for x in 0..xs.len() - 1 {
        for y in 0..ys.len() - 1 {
            let middle = Point::new((xs[x] + xs[x + 1]) / 2.0, (ys[y] + ys[y + 1]) / 2.0);
            if super::panels::sees_all_round(corners, middle) {
                number[x][y] = Some(cells.len());
                cells.push((x, y));
            }
        }
    }
    if cells.len() > 110 {
        return None;
    }
    let mut search = Search { cells, number, xs, ys, spacing, weighs, known: HashMap::new() };
    let cost = search.least(0);
    Some(Tiling { cost, states: search.known.len() })
}
