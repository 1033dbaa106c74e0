//! Pieces out of stock lengths in one dimension, for the least cost.
//!
//! Lengths become whole sixty-fourths of the caller's unit (pieces rounded up, stock down), so
//! every comparison is exact. In order: the plan of best-fit decreasing gives a first answer;
//! the linear relaxation gives the bound; then, from the bound up, an exhaustive search asks
//! whether the pieces can be cut for that much. With hundreds of pieces the whole patterns of
//! the relaxation are kept and only the rest is searched. Among plans of one cost the one with
//! fewest stock lengths is kept, and what is left over is gathered into as few offcuts as moves
//! of single pieces allow (that last part is not exact).
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::bin_completion::{self, Filling, Outcome, Sizes};
use super::column_generation;
use crate::effort::{Budget, Cancelled};

/// Parts of the caller's unit that a length is rounded to.
const TICKS_PER_UNIT: f64 = 64.0;
/// Steps of one exhaustive search at most.
const STEPS_PER_SEARCH: u64 = 150_000;
/// With more pieces than this only what the relaxation leaves over is searched.
const SEARCH_ALL_PIECES: u32 = 250;
/// With more stock lengths than this offcuts stay where they are: nobody looks for one long
/// offcut among so many, and looking grows with the square.
const MOST_GATHERED: usize = 200;

/// A length that can be bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// Its length, in the caller's unit.
    pub length: f64,
    /// What one costs, in whole numbers of any kind (cents, or length when waste is what counts).
    pub cost: i64,
}

impl Stock {
    /// A stock length whose cost is its length, so that the plan buys the least length.
    #[must_use]
    pub fn by_length(length: f64) -> Self {
        Self { length, cost: ticks_down(length) }
    }
}

/// What is to be cut, and from what.
#[derive(Clone, Copy, Debug)]
pub struct CutProblem<'a> {
    /// Lengths that can be bought, any number of each.
    pub stocks: &'a [Stock],
    /// Lengths of the pieces.
    pub pieces: &'a [f64],
    /// Lost in every cut between two pieces.
    pub kerf: f64,
}

/// One stock length and the pieces cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct StockCut {
    /// Index into [`CutProblem::stocks`].
    pub stock: usize,
    /// Indices into [`CutProblem::pieces`], longest first.
    pub pieces: Vec<usize>,
    /// What is left, in the caller's unit.
    pub left: f64,
}

/// A cutting plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutPlan {
    /// Every stock length bought; the order is that of their longest pieces.
    pub cuts: Vec<StockCut>,
    /// Pieces longer than any stock, or not a positive length: they are in no cut.
    pub unfit: Vec<usize>,
    /// What the plan costs.
    pub cost: i64,
    /// No plan can cost less.
    pub bound: i64,
}

impl CutPlan {
    /// Whether no cheaper plan exists. Proven, not supposed.
    #[must_use]
    pub fn is_cheapest(&self) -> bool {
        self.cost <= self.bound
    }

    /// Total length bought.
    #[must_use]
    pub fn bought(&self, stocks: &[Stock]) -> f64 {
        self.cuts.iter().filter_map(|cut| stocks.get(cut.stock)).map(|s| s.length).sum()
    }
}

/// Finds the cheapest plan, or the cheapest found within the budget with the bound beside it.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub fn cut_stock(problem: &CutProblem<'_>, budget: &mut Budget) -> Result<CutPlan, Cancelled> {
    let Some(table) = Table::new(problem) else {
        return Ok(CutPlan { unfit: (0..problem.pieces.len()).collect(), ..CutPlan::default() });
    };
    let counts: Vec<u32> =
        table.members.iter().map(|m| u32::try_from(m.len()).unwrap_or(u32::MAX)).collect();
    let mut plan = best_fit_decreasing(&table.sizes, &counts);
    let material = material_bound(&table.sizes, &counts);
    let relaxation = column_generation::relax(&table.sizes, &counts, budget)?;
    let from_relaxation = relaxation.as_ref().map_or(0, |r| round_up(r.bound));
    let mut bound = table.next_cost(material.max(from_relaxation));
    let total: u32 = counts.iter().sum();
    if total <= SEARCH_ALL_PIECES {
        search_from_bound(&table, &counts, &mut plan, &mut bound, budget)?;
    }
    if let Some(relaxation) = relaxation.filter(|_| cost(&table.sizes, &plan) > bound) {
        search_remainder(&table, &counts, &relaxation.patterns, (&mut plan, bound), budget)?;
    }
    if total <= SEARCH_ALL_PIECES {
        use_fewest(&table, &counts, &mut plan, budget)?;
    }
    gather_offcuts(&table.sizes, &mut plan);
    Ok(table.written_out(problem, &plan, bound))
}

/// Tries every possible cost from the bound up to what the plan costs now.
fn search_from_bound(
    table: &Table,
    counts: &[u32],
    plan: &mut Vec<Filling>,
    bound: &mut i64,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    let mut proving = true;
    let mut limit = *bound;
    while limit < cost(&table.sizes, plan) {
        match bin_completion::search(
            &table.sizes,
            counts,
            (limit, usize::MAX),
            STEPS_PER_SEARCH,
            budget,
        )? {
            Outcome::Found(found) => *plan = found,
            Outcome::None if proving => *bound = table.next_cost(limit + 1),
            Outcome::None => {}
            Outcome::Unknown => proving = false,
        }
        limit = table.next_cost(limit + 1);
    }
    if proving {
        *bound = cost(&table.sizes, plan);
    }
    Ok(())
}

/// Keeps whole patterns of the relaxation and searches a plan for the pieces that remain; lets
/// go of one more of each pattern when that fails.
fn search_remainder(
    table: &Table,
    counts: &[u32],
    patterns: &[(Filling, f64)],
    (plan, bound): (&mut Vec<Filling>, i64),
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    for let_go in 0..3 {
        let mut kept = Vec::new();
        let mut rest = counts.to_vec();
        for (filling, times) in patterns {
            let whole = round_down(*times + 1e-6) - let_go;
            for _ in 0..whole.max(0) {
                // The last of a pattern may give more pieces than are still wanted.
                let take: Vec<u32> =
                    filling.counts.iter().zip(&rest).map(|(&n, &left)| n.min(left)).collect();
                if take.iter().all(|&n| n == 0) {
                    break;
                }
                rest.iter_mut().zip(&take).for_each(|(left, n)| *left -= n);
                kept.push(Filling { stock: filling.stock, counts: take });
            }
        }
        let kept_cost = cost(&table.sizes, &kept);
        let mut limit = bound;
        while limit < cost(&table.sizes, plan) {
            let limits = (limit - kept_cost, usize::MAX);
            let outcome =
                bin_completion::search(&table.sizes, &rest, limits, STEPS_PER_SEARCH, budget)?;
            if let Outcome::Found(found) = outcome {
                *plan = kept.iter().cloned().chain(found).collect();
            }
            limit = table.next_cost(limit + 1);
        }
        if cost(&table.sizes, plan) <= bound {
            return Ok(());
        }
    }
    Ok(())
}

/// With the cost fixed, looks for a plan of fewer stock lengths.
fn use_fewest(
    table: &Table,
    counts: &[u32],
    plan: &mut Vec<Filling>,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    if table.sizes.stock.len() < 2 {
        return Ok(());
    }
    let limit = cost(&table.sizes, plan);
    while plan.len() > 1 {
        let limits = (limit, plan.len() - 1);
        match bin_completion::search(&table.sizes, counts, limits, STEPS_PER_SEARCH, budget)? {
            Outcome::Found(found) => *plan = found,
            _ => break,
        }
    }
    Ok(())
}

/// Moves single pieces as long as that makes the longer offcut longer still.
fn gather_offcuts(sizes: &Sizes, plan: &mut [Filling]) {
    if plan.len() > MOST_GATHERED {
        return;
    }
    let room = |filling: &Filling| sizes.stock[filling.stock] - used(sizes, filling);
    for _ in 0..plan.len() * 2 {
        let mut best: Option<(i64, usize, usize, usize)> = None;
        for from in 0..plan.len() {
            for to in (0..plan.len()).filter(|&to| to != from) {
                let (room_from, room_to) = (room(&plan[from]), room(&plan[to]));
                for i in (0..sizes.piece.len()).filter(|&i| plan[from].counts[i] > 0) {
                    let gain = room_from + sizes.piece[i];
                    let grows = sizes.piece[i] <= room_to && gain > room_to.max(room_from);
                    if grows && best.is_none_or(|(g, ..)| gain > g) {
                        best = Some((gain, from, to, i));
                    }
                }
            }
        }
        // Each move makes the longest offcut longer, so the moves come to an end.
        let longest = plan.iter().map(room).max().unwrap_or(0);
        let Some((_, from, to, i)) = best.filter(|b| b.0 > longest) else { return };
        plan[from].counts[i] -= 1;
        plan[to].counts[i] += 1;
    }
}

/// Each piece, longest first, into the stock length already open that it fills best; else into
/// a new one of the kind that costs least per length.
fn best_fit_decreasing(sizes: &Sizes, counts: &[u32]) -> Vec<Filling> {
    let mut plan: Vec<(i64, Filling)> = Vec::new();
    for (i, (&size, &count)) in sizes.piece.iter().zip(counts).enumerate() {
        for _ in 0..count {
            let open =
                plan.iter_mut().filter(|(room, _)| *room >= size).min_by_key(|(room, _)| *room);
            if let Some((room, filling)) = open {
                *room -= size;
                filling.counts[i] += 1;
                continue;
            }
            let stock =
                (0..sizes.stock.len()).filter(|&s| sizes.stock[s] >= size).min_by_key(|&s| {
                    i128::from(sizes.cost[s]) * 1_000_000 / i128::from(sizes.stock[s])
                });
            let stock = stock.unwrap_or(0);
            let mut filling = Filling { stock, counts: vec![0; sizes.piece.len()] };
            filling.counts[i] = 1;
            plan.push((sizes.stock[stock] - size, filling));
        }
    }
    // A stock length that turned out half empty is swapped for the cheapest that holds the same.
    for (_, filling) in &mut plan {
        let length = used(sizes, filling);
        let fits = (0..sizes.stock.len()).filter(|&s| sizes.stock[s] >= length);
        filling.stock = fits.min_by_key(|&s| sizes.cost[s]).unwrap_or(filling.stock);
    }
    plan.into_iter().map(|(_, filling)| filling).collect()
}

fn used(sizes: &Sizes, filling: &Filling) -> i64 {
    sizes.piece.iter().zip(&filling.counts).map(|(&w, &n)| w * i64::from(n)).sum()
}

fn cost(sizes: &Sizes, plan: &[Filling]) -> i64 {
    plan.iter().map(|filling| sizes.cost[filling.stock]).sum()
}

/// All the material at the cheapest rate, rounded up.
fn material_bound(sizes: &Sizes, counts: &[u32]) -> i64 {
    let total: i128 =
        sizes.piece.iter().zip(counts).map(|(&w, &n)| i128::from(w) * i128::from(n)).sum();
    let rates = sizes.stock.iter().zip(&sizes.cost);
    let least = rates
        .map(|(&length, &cost)| (total * i128::from(cost)).div_ceil_positive(i128::from(length)));
    least.min().and_then(|bound| i64::try_from(bound).ok()).unwrap_or(0)
}

trait DivCeilPositive {
    fn div_ceil_positive(self, by: Self) -> Self;
}

impl DivCeilPositive for i128 {
    fn div_ceil_positive(self, by: Self) -> Self {
        (self + by - 1).div_euclid(by)
    }
}

/// The problem in whole numbers: sizes with the pieces that have them.
struct Table {
    sizes: Sizes,
    /// Index of each of `sizes.stock` in the problem.
    stock_index: Vec<usize>,
    /// Pieces of each size.
    members: Vec<Vec<usize>>,
    unfit: Vec<usize>,
    /// Every cost of a plan is a multiple of this.
    cost_step: i64,
}

impl Table {
    fn new(problem: &CutProblem<'_>) -> Option<Self> {
        let kerf = ticks_up(problem.kerf.max(0.0));
        let usable = |s: &Stock| s.length.is_finite() && ticks_down(s.length) > 0 && s.cost > 0;
        let stock_index: Vec<usize> =
            (0..problem.stocks.len()).filter(|&s| usable(&problem.stocks[s])).collect();
        // The last piece of a stock length needs no cut after it.
        let stock: Vec<i64> =
            stock_index.iter().map(|&s| ticks_down(problem.stocks[s].length) + kerf).collect();
        let longest = stock.iter().copied().max()?;
        let mut order: Vec<(i64, usize)> = Vec::new();
        let mut unfit = Vec::new();
        for (i, &piece) in problem.pieces.iter().enumerate() {
            let ticks = ticks_up(piece).saturating_add(kerf);
            if piece.is_finite() && piece > 0.0 && ticks <= longest {
                order.push((ticks, i));
            } else {
                unfit.push(i);
            }
        }
        order.sort_by_key(|&(ticks, i)| (std::cmp::Reverse(ticks), i));
        let mut sizes: Vec<i64> = Vec::new();
        let mut members: Vec<Vec<usize>> = Vec::new();
        for (ticks, i) in order {
            if sizes.last() != Some(&ticks) {
                sizes.push(ticks);
                members.push(Vec::new());
            }
            members.last_mut()?.push(i);
        }
        let cost: Vec<i64> = stock_index.iter().map(|&s| problem.stocks[s].cost).collect();
        let cost_step = cost.iter().copied().reduce(gcd).unwrap_or(1).max(1);
        Some(Self {
            sizes: Sizes { piece: sizes, stock, cost },
            stock_index,
            members,
            unfit,
            cost_step,
        })
    }

    /// The least cost of a plan that is not under `least`, as far as the costs' common step says.
    fn next_cost(&self, least: i64) -> i64 {
        (least + self.cost_step - 1).div_euclid(self.cost_step) * self.cost_step
    }

    fn written_out(self, problem: &CutProblem<'_>, plan: &[Filling], bound: i64) -> CutPlan {
        let total = cost(&self.sizes, plan);
        let mut waiting: Vec<std::vec::IntoIter<usize>> =
            self.members.into_iter().map(Vec::into_iter).collect();
        let mut order: Vec<&Filling> = plan.iter().collect();
        order.sort_by(|a, b| b.counts.cmp(&a.counts).then(a.stock.cmp(&b.stock)));
        let mut cuts = Vec::new();
        for filling in order {
            let mut pieces = Vec::new();
            for (members, &n) in waiting.iter_mut().zip(&filling.counts) {
                pieces.extend(members.by_ref().take(usize::try_from(n).unwrap_or(0)));
            }
            let stock = self.stock_index[filling.stock];
            let lengths: f64 = pieces.iter().map(|&i| problem.pieces[i]).sum();
            let kerfs = problem.kerf.max(0.0) * pieces.len() as f64;
            let left = (problem.stocks[stock].length - lengths - kerfs).max(0.0);
            cuts.push(StockCut { stock, pieces, left });
        }
        CutPlan { cuts, unfit: self.unfit, cost: total, bound: bound.min(total) }
    }
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Ticks of a length, rounded down unless it is a whole number but for float noise.
fn ticks_down(length: f64) -> i64 {
    round_down(length * TICKS_PER_UNIT + 1e-6)
}

fn ticks_up(length: f64) -> i64 {
    round_up(length * TICKS_PER_UNIT)
}

/// Rounds down; values out of range are held at the range's ends.
fn round_down(value: f64) -> i64 {
    value.floor().clamp(-1e15, 1e15) as i64
}

/// Rounds up, but for float noise above a whole number; see [`round_down`].
fn round_up(value: f64) -> i64 {
    (value - 1e-6).ceil().clamp(-1e15, 1e15) as i64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;

    fn plan(stocks: &[Stock], pieces: &[f64], kerf: f64) -> CutPlan {
        let mut budget = Budget::new(2_000_000, Cancel::new());
        cut_stock(&CutProblem { stocks, pieces, kerf }, &mut budget).unwrap()
    }

    #[test]
    fn nothing_to_cut_costs_nothing_and_no_stock_fits_nothing() {
        let none = plan(&[Stock::by_length(96.0)], &[], 0.0);
        assert_eq!((none.cost, none.bound, none.cuts.len()), (0, 0, 0));
        assert_eq!(plan(&[], &[12.0], 0.0).unfit, vec![0]);
        assert_eq!(
            plan(&[Stock::by_length(96.0)], &[97.0, 12.0, f64::NAN, -1.0], 0.0).unfit,
            vec![0, 2, 3]
        );
    }

    #[test]
    fn a_kerf_is_lost_between_pieces_and_not_after_the_last() {
        let board = [Stock::by_length(48.0)];
        assert_eq!(plan(&board, &[12.0; 4], 0.0).cuts.len(), 1);
        assert_eq!(plan(&board, &[12.0; 4], 0.125).cuts.len(), 2);
        assert_eq!(plan(&board, &[12.0, 12.0, 12.0, 11.625], 0.125).cuts.len(), 1);
    }

    #[test]
    fn price_rules_over_length_when_prices_are_given() {
        // One long bar is dearer than two short ones here.
        let stocks = [Stock { length: 20.0, cost: 5000 }, Stock { length: 10.0, cost: 2000 }];
        let best = plan(&stocks, &[9.0, 9.0], 0.0);
        assert_eq!(best.cost, 4000);
        assert!(best.is_cheapest());
    }

    #[test]
    fn the_offcut_is_left_in_one_piece() {
        let best = plan(&[Stock::by_length(100.0)], &[60.0, 55.0, 20.0, 18.0], 0.0);
        let longest = best.cuts.iter().map(|cut| cut.left).fold(0.0, f64::max);
        assert_eq!(best.cuts.len(), 2);
        assert_eq!(longest, 45.0);
    }

    #[test]
    fn a_raised_flag_stops_the_search() {
        let cancel = Cancel::new();
        cancel.raise();
        let problem =
            CutProblem { stocks: &[Stock::by_length(100.0)], pieces: &[60.0, 55.0], kerf: 0.0 };
        assert_eq!(cut_stock(&problem, &mut Budget::new(10, cancel)), Err(Cancelled));
    }
}
