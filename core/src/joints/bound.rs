//! How little sawing a layout of a block can do with, proven: a bound from below.
//!
//! Every cell of the grid must lie in exactly one panel that breaks no rule, and a panel costs
//! half of its sides inside the floor. Any prices of cells give a bound: the sum of the prices
//! plus, for each panel that its cells overpay, the difference (Lagrangian of the set partition).
//! Prices are moved along the subgradient for a fixed number of rounds; the best bound stands.
//! It holds for layouts on the block's own candidate lines.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::block::{Block, Window};

/// Rounds of moving prices.
const ROUNDS: u32 = 120;

/// A lower bound of the sawing, inches, given a layout's own; zero when there is none.
#[must_use]
pub fn sawing_bound(block: &Block, known: f64) -> f64 {
    let (columns, rows) = block.size();
    let panels = allowed_panels(block);
    if panels.is_empty() || known <= 0.0 {
        return 0.0;
    }
    let has_floor: Vec<bool> = (0..(columns - 1) * (rows - 1))
        .map(|cell| {
            let (x, y) = (cell / (rows - 1), cell % (rows - 1));
            block.area([x, x + 1, y, y + 1]) > 0.5
        })
        .collect();
    let mut prices = first_prices(block, &panels, &has_floor);
    let mut best = 0.0_f64;
    let mut pace = 1.0;
    let mut since_better = 0;
    for _ in 0..ROUNDS {
        let (bound, slope) = bound_and_slope(&prices, &panels, &has_floor, (columns, rows));
        if bound > best + 1e-9 {
            best = bound;
            since_better = 0;
        } else {
            since_better += 1;
            if since_better >= 6 {
                pace *= 0.6;
                since_better = 0;
            }
        }
        let steepness: f64 = slope.iter().map(|part| part * part).sum();
        if best >= known - 1e-6 || steepness < 1e-9 {
            break;
        }
        let step = pace * (known * 1.002 - bound).max(0.0) / steepness;
        for (price, part) in prices.iter_mut().zip(&slope) {
            *price += step * part;
        }
    }
    best.min(known)
}

/// Panels that break no rule, with half their sides inside the floor.
fn allowed_panels(block: &Block) -> Vec<(Window, f64)> {
    let (columns, rows) = block.size();
    let mut panels = Vec::new();
    for right in 1..columns {
        for left in 0..right {
            for top in 1..rows {
                for bottom in 0..top {
                    let window = [left, right, bottom, top];
                    if block.judged(window).is_some_and(|judged| judged.broken < 1.0) {
                        panels.push((window, super::improve::sawing(block, &[window])));
                    }
                }
            }
        }
    }
    panels
}

/// Each cell at the cheapest share of a panel over it.
fn first_prices(block: &Block, panels: &[(Window, f64)], has_floor: &[bool]) -> Vec<f64> {
    let rows = block.size().1 - 1;
    let mut prices = vec![f64::INFINITY; has_floor.len()];
    for &([left, right, bottom, top], cost) in panels {
        let per_area = cost / block.area([left, right, bottom, top]).max(1.0);
        for x in left..right {
            for y in bottom..top {
                let share = per_area * block.area([x, x + 1, y, y + 1]);
                let price = &mut prices[x * rows + y];
                *price = price.min(share);
            }
        }
    }
    for (price, &floor) in prices.iter_mut().zip(has_floor) {
        if !floor || !price.is_finite() {
            *price = 0.0;
        }
    }
    prices
}

fn bound_and_slope(
    prices: &[f64],
    panels: &[(Window, f64)],
    has_floor: &[bool],
    (columns, rows): (usize, usize),
) -> (f64, Vec<f64>) {
    let mut sums = vec![0.0; columns * rows];
    for x in 1..columns {
        for y in 1..rows {
            sums[x * rows + y] = prices[(x - 1) * (rows - 1) + y - 1]
                + sums[(x - 1) * rows + y]
                + sums[x * rows + y - 1]
                - sums[(x - 1) * rows + y - 1];
        }
    }
    let mut bound = sums[columns * rows - 1];
    // How often chosen panels cover each cell, as differences at their corners.
    let mut covers = vec![0.0; columns * rows];
    for &([left, right, bottom, top], cost) in panels {
        let paid = sums[right * rows + top] + sums[left * rows + bottom]
            - sums[left * rows + top]
            - sums[right * rows + bottom];
        if paid > cost + 1e-9 {
            bound += cost - paid;
            covers[left * rows + bottom] += 1.0;
            covers[right * rows + top] += 1.0;
            covers[left * rows + top] -= 1.0;
            covers[right * rows + bottom] -= 1.0;
        }
    }
    let mut slope = vec![0.0; prices.len()];
    for x in 0..columns - 1 {
        for y in 0..rows - 1 {
            if x > 0 {
                covers[x * rows + y] += covers[(x - 1) * rows + y];
            }
        }
    }
    for x in 0..columns - 1 {
        let mut count = 0.0;
        for y in 0..rows - 1 {
            count += covers[x * rows + y];
            let cell = x * (rows - 1) + y;
            if has_floor[cell] {
                slope[cell] = 1.0 - count;
            }
        }
    }
    (bound, slope)
}
