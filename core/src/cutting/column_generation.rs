//! The least that pieces can cost if stock could be bought in fractions: a bound from below.
//!
//! The linear program "least cost of patterns that give every piece" has one pattern for every
//! way to fill a stock length, far too many to write down. Gilmore and Gomory (1961, 1963) add
//! them one at a time: the prices of the pieces at the present optimum ask, by a knapsack, for
//! the pattern worth most, until no pattern is worth more than its stock costs.
//!
//! The bound returned is Farley's: the prices scaled until no pattern is worth more than its
//! stock, which holds at every stage and not only at the optimum. Rounding up is left to the
//! caller: a bound of 1.96 that rounds to 2 does not mean that 2 can be had.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::bin_completion::{Filling, Sizes};
use crate::effort::{Budget, Cancelled};

/// More sizes than this are bounded by their material alone: the basis is a dense matrix.
const SIZES_AT_MOST: usize = 160;
/// Pivots at most.
const PIVOTS_AT_MOST: usize = 3_000;
/// Steps of one knapsack at most.
const KNAPSACK_STEPS: u64 = 200_000;
/// A pattern must be worth this much more than its stock to enter.
const WORTH_MORE: f64 = 1e-9;

/// The bound, and the patterns it rests on.
#[derive(Clone, Debug)]
pub(super) struct Relaxation {
    /// No plan costs less than this.
    pub bound: f64,
    /// Patterns with the (fractional) number of times each is cut.
    pub patterns: Vec<(Filling, f64)>,
}

/// Solves the relaxation for `counts` pieces of each size; `None` when it is too large.
pub(super) fn relax(
    sizes: &Sizes,
    counts: &[u32],
    budget: &mut Budget,
) -> Result<Option<Relaxation>, Cancelled> {
    let m = sizes.piece.len();
    if m == 0 || m > SIZES_AT_MOST {
        return Ok(None);
    }
    let mut basis: Vec<Filling> = (0..m).map(|i| single_size_pattern(sizes, counts, i)).collect();
    let mut inverse = vec![vec![0.0; m]; m];
    for (i, (row, filling)) in inverse.iter_mut().zip(&basis).enumerate() {
        row[i] = 1.0 / f64::from(filling.counts[i]);
    }
    let mut bound: f64 = 0.0;
    for _ in 0..PIVOTS_AT_MOST {
        let prices: Vec<f64> = (0..m)
            .map(|j| (0..m).map(|i| cost_of(sizes, basis[i].stock) * inverse[i][j]).sum())
            .collect();
        let Some((pattern, worth)) = best_pattern(sizes, counts, &prices, budget)? else {
            return Ok(None);
        };
        let value: f64 = prices.iter().zip(counts).map(|(p, &n)| p.max(0.0) * f64::from(n)).sum();
        let scale = worth.max(1.0);
        bound = bound.max(value / scale);
        if worth <= 1.0 + WORTH_MORE || !enter(&mut basis, &mut inverse, counts, pattern) {
            break;
        }
    }
    let amounts = multiply(&inverse, counts);
    let patterns = basis.into_iter().zip(amounts).filter(|(_, x)| *x > 1e-9).collect();
    Ok(Some(Relaxation { bound, patterns }))
}

fn cost_of(sizes: &Sizes, stock: usize) -> f64 {
    sizes.cost[stock] as f64
}

/// As many pieces of one size as fit in the stock that does it most cheaply.
fn single_size_pattern(sizes: &Sizes, counts: &[u32], i: usize) -> Filling {
    let fit = |stock: usize| {
        let fits = sizes.stock[stock] / sizes.piece[i];
        u32::try_from(fits).unwrap_or(u32::MAX).min(counts[i].max(1))
    };
    let stock = (0..sizes.stock.len())
        .filter(|&s| fit(s) > 0)
        .min_by(|&a, &b| {
            let rate = |s: usize| cost_of(sizes, s) / f64::from(fit(s));
            rate(a).total_cmp(&rate(b))
        })
        .unwrap_or(0);
    let mut pattern = vec![0; sizes.piece.len()];
    pattern[i] = fit(stock).max(1);
    Filling { stock, counts: pattern }
}

fn multiply(inverse: &[Vec<f64>], counts: &[u32]) -> Vec<f64> {
    inverse.iter().map(|row| row.iter().zip(counts).map(|(a, &n)| a * f64::from(n)).sum()).collect()
}

/// Brings `pattern` into the basis; false when no row limits it (which ends the search).
fn enter(
    basis: &mut [Filling],
    inverse: &mut [Vec<f64>],
    counts: &[u32],
    pattern: Filling,
) -> bool {
    let direction = multiply(inverse, &pattern.counts);
    let amounts = multiply(inverse, counts);
    let leaving = (0..basis.len())
        .filter(|&i| direction[i] > 1e-9)
        .min_by(|&a, &b| (amounts[a] / direction[a]).total_cmp(&(amounts[b] / direction[b])));
    let Some(leaving) = leaving else { return false };
    let pivot_row: Vec<f64> = inverse[leaving].iter().map(|x| x / direction[leaving]).collect();
    for (i, row) in inverse.iter_mut().enumerate() {
        if i == leaving {
            row.clone_from(&pivot_row);
        } else if direction[i] != 0.0 {
            for (x, p) in row.iter_mut().zip(&pivot_row) {
                *x -= direction[i] * p;
            }
        }
    }
    basis[leaving] = pattern;
    true
}

/// The pattern worth most for its stock, and its worth per cost; `None` when the knapsack ran
/// out of steps, for then no bound can be trusted.
fn best_pattern(
    sizes: &Sizes,
    counts: &[u32],
    prices: &[f64],
    budget: &mut Budget,
) -> Result<Option<(Filling, f64)>, Cancelled> {
    let mut order: Vec<usize> = (0..prices.len()).filter(|&i| prices[i] > 1e-12).collect();
    let rate = |i: usize| prices[i] / sizes.piece[i] as f64;
    order.sort_by(|&a, &b| rate(b).total_cmp(&rate(a)).then(a.cmp(&b)));
    let mut best: Option<(Filling, f64)> = None;
    for stock in 0..sizes.stock.len() {
        let mut sack = Knapsack {
            sizes,
            counts,
            prices,
            order: &order,
            now: vec![0; prices.len()],
            best: (vec![0; prices.len()], 0.0),
            steps: KNAPSACK_STEPS,
        };
        sack.fill(0, sizes.stock[stock], 0.0, budget)?;
        if sack.steps == 0 {
            return Ok(None);
        }
        let worth = sack.best.1 / cost_of(sizes, stock);
        if best.as_ref().is_none_or(|(_, w)| worth > *w) {
            best = Some((Filling { stock, counts: sack.best.0 }, worth));
        }
    }
    Ok(best)
}

/// Branch and bound over sizes in falling price per length.
struct Knapsack<'a> {
    sizes: &'a Sizes,
    counts: &'a [u32],
    prices: &'a [f64],
    order: &'a [usize],
    now: Vec<u32>,
    best: (Vec<u32>, f64),
    steps: u64,
}

impl Knapsack<'_> {
    fn fill(
        &mut self,
        place: usize,
        room: i64,
        value: f64,
        budget: &mut Budget,
    ) -> Result<(), Cancelled> {
        if value > self.best.1 {
            self.best = (self.now.clone(), value);
        }
        let Some(&i) = self.order.get(place) else { return Ok(()) };
        if self.steps == 0 || !budget.step()? {
            self.steps = 0;
            return Ok(());
        }
        self.steps -= 1;
        let hope = value + self.prices[i] / self.sizes.piece[i] as f64 * room as f64;
        // A hair of slack keeps the comparison from cutting off an equal or better pattern.
        if hope <= self.best.1 * (1.0 + 1e-12) {
            return Ok(());
        }
        let fits = u32::try_from(room / self.sizes.piece[i]).unwrap_or(u32::MAX);
        for n in (0..=fits.min(self.counts[i])).rev() {
            self.now[i] = n;
            let room = room - self.sizes.piece[i] * i64::from(n);
            self.fill(place + 1, room, value + self.prices[i] * f64::from(n), budget)?;
        }
        self.now[i] = 0;
        Ok(())
    }
}
