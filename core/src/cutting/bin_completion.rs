//! Can the pieces be cut for this much? An exhaustive search, one stock length after another.
//!
//! The longest piece not yet placed must lie in some stock length, so the search fills that one
//! with every maximal set of other pieces and goes on. A set is maximal when no unplaced piece
//! fits in what is left and none can be swapped for a longer one: moving a piece forward, or a
//! longer one for a shorter, never spoils a plan, so others need no look.
//! What prunes is waste: a cost limit leaves a known amount of waste to spend, and every stock
//! length spends some. States that failed are remembered with the waste they failed at.
//!
//! Limits: exponential in the worst case, so steps are counted; an answer "no" is a proof only
//! when the search ran to its end.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use crate::effort::{Budget, Cancelled};
use std::collections::BTreeMap;

/// Failed states remembered at most; more would cost memory and seldom help.
const REMEMBERED_STATES: usize = 100_000;
/// Fillings of one stock length looked at in one place; past it the search is not exhaustive.
const FILLINGS_AT_ONCE: usize = 4_000;

/// Pieces by size, and stock, in whole numbers.
#[derive(Clone, Debug)]
pub(super) struct Sizes {
    /// Piece sizes, largest first, all different and positive.
    pub piece: Vec<i64>,
    /// Stock lengths.
    pub stock: Vec<i64>,
    /// Cost of one of each stock length, positive.
    pub cost: Vec<i64>,
}

impl Sizes {
    /// The stock with the least cost per length, as (cost, length).
    fn cheapest_rate(&self) -> (i64, i64) {
        let mut best = (self.cost[0], self.stock[0]);
        for (&cost, &length) in self.cost.iter().zip(&self.stock) {
            if i128::from(cost) * i128::from(best.1) < i128::from(best.0) * i128::from(length) {
                best = (cost, length);
            }
        }
        best
    }
}

/// One stock length and how many pieces of each size come out of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Filling {
    /// Which stock.
    pub stock: usize,
    /// Pieces of each size.
    pub counts: Vec<u32>,
}

/// What a search ended with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// A plan within the limits.
    Found(Vec<Filling>),
    /// There is none.
    None,
    /// Given up for want of steps.
    Unknown,
}

/// Looks for a plan for `counts` that costs no more than `cost_limit` and uses no more than
/// `bin_limit` stock lengths, within `steps`.
pub(super) fn search(
    sizes: &Sizes,
    counts: &[u32],
    (cost_limit, bin_limit): (i64, usize),
    steps: u64,
    budget: &mut Budget,
) -> Result<Outcome, Cancelled> {
    let (rate_cost, rate_length) = sizes.cheapest_rate();
    let total: i128 =
        sizes.piece.iter().zip(counts).map(|(&w, &n)| i128::from(w) * i128::from(n)).sum();
    let waste = i128::from(cost_limit) * i128::from(rate_length) - i128::from(rate_cost) * total;
    if waste < 0 {
        return Ok(Outcome::None);
    }
    let mut search = Search {
        sizes,
        rate: (i128::from(rate_cost), i128::from(rate_length)),
        longest: sizes.stock.iter().copied().max().unwrap_or(0),
        left: counts.to_vec(),
        failed: BTreeMap::new(),
        plan: Vec::new(),
        steps,
        truncated: false,
    };
    let found = search.fill_next(waste, bin_limit, budget)?;
    Ok(if found {
        Outcome::Found(search.plan)
    } else if search.steps == 0 || search.truncated {
        Outcome::Unknown
    } else {
        Outcome::None
    })
}

struct Search<'a> {
    sizes: &'a Sizes,
    rate: (i128, i128),
    longest: i64,
    left: Vec<u32>,
    failed: BTreeMap<Vec<u32>, (i128, usize)>,
    plan: Vec<Filling>,
    steps: u64,
    truncated: bool,
}

impl Search<'_> {
    fn spend(&mut self, budget: &mut Budget) -> Result<bool, Cancelled> {
        if self.steps == 0 || !budget.step()? {
            self.steps = 0;
            return Ok(false);
        }
        self.steps -= 1;
        Ok(true)
    }

    fn fill_next(
        &mut self,
        waste: i128,
        bins: usize,
        budget: &mut Budget,
    ) -> Result<bool, Cancelled> {
        let Some(first) = self.left.iter().position(|&n| n > 0) else { return Ok(true) };
        let rest: i128 = (self.sizes.piece.iter().zip(&self.left))
            .map(|(&w, &n)| i128::from(w) * i128::from(n))
            .sum();
        let room =
            i128::try_from(bins).unwrap_or(i128::MAX).saturating_mul(i128::from(self.longest));
        if rest > room || !self.spend(budget)? {
            return Ok(false);
        }
        if self.failed.get(&self.left).is_some_and(|&(w, b)| w >= waste && b >= bins) {
            return Ok(false);
        }
        let mut fillings = self.fillings(first, waste, budget)?;
        fillings.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| b.1.counts.cmp(&a.1.counts)));
        for (spent, filling) in fillings {
            for (left, n) in self.left.iter_mut().zip(&filling.counts) {
                *left -= n;
            }
            self.plan.push(filling);
            if self.fill_next(waste - spent, bins - 1, budget)? {
                return Ok(true);
            }
            if let Some(filling) = self.plan.pop() {
                for (left, n) in self.left.iter_mut().zip(&filling.counts) {
                    *left += n;
                }
            }
            if self.steps == 0 {
                return Ok(false);
            }
        }
        if self.failed.len() < REMEMBERED_STATES && !self.truncated {
            self.failed.insert(self.left.clone(), (waste, bins));
        }
        Ok(false)
    }

    /// Every maximal filling of one stock length that holds a piece of size `first`, with the
    /// waste it spends, in units of cost times length.
    fn fillings(
        &mut self,
        first: usize,
        waste: i128,
        budget: &mut Budget,
    ) -> Result<Vec<(i128, Filling)>, Cancelled> {
        let mut found = Vec::new();
        let sizes = self.sizes;
        for stock in 0..sizes.stock.len() {
            // What this stock costs over the cheapest rate is waste before a piece is cut.
            let (length, cost) = (i128::from(sizes.stock[stock]), i128::from(sizes.cost[stock]));
            let dear = cost * self.rate.1 - self.rate.0 * length;
            let offcut_limit = (waste - dear).div_euclid(self.rate.0);
            if waste < dear || sizes.stock[stock] < sizes.piece[first] {
                continue;
            }
            let mut counts = vec![0; self.left.len()];
            counts[first] = 1;
            let mut spot = Spot {
                stock,
                offcut_limit: i64::try_from(offcut_limit).unwrap_or(i64::MAX),
                counts,
                found: &mut found,
                dear,
            };
            self.extend(first, sizes.stock[stock] - sizes.piece[first], &mut spot, budget)?;
        }
        Ok(found)
    }

    /// Whether a piece of the filling could be swapped for a longer one that waits elsewhere: the
    /// shorter then fits wherever the longer was, so the plan with the swap is as good.
    fn is_dominated(&self, counts: &[u32], room: i64) -> bool {
        let mut longer_waiting = None;
        for (i, &count) in counts.iter().enumerate() {
            if count > 0
                && longer_waiting.is_some_and(|longer| longer - self.sizes.piece[i] <= room)
            {
                return true;
            }
            if self.left[i] > count {
                longer_waiting = Some(self.sizes.piece[i]);
            }
        }
        false
    }

    /// Tries every number of pieces of size `index` and smaller in the `room` left.
    fn extend(
        &mut self,
        index: usize,
        room: i64,
        spot: &mut Spot<'_>,
        budget: &mut Budget,
    ) -> Result<(), Cancelled> {
        if spot.found.len() >= FILLINGS_AT_ONCE {
            self.truncated = true;
            return Ok(());
        }
        // The next size that is left and fits.
        let next = (index..self.left.len())
            .find(|&i| self.left[i] > spot.counts[i] && self.sizes.piece[i] <= room);
        let Some(i) = next else {
            let maximal = (0..self.left.len())
                .rfind(|&i| self.left[i] > spot.counts[i])
                .is_none_or(|smallest| self.sizes.piece[smallest] > room);
            if maximal && room <= spot.offcut_limit && !self.is_dominated(&spot.counts, room) {
                let waste = spot.dear + self.rate.0 * i128::from(room);
                spot.found
                    .push((waste, Filling { stock: spot.stock, counts: spot.counts.clone() }));
            }
            return Ok(());
        };
        if !self.spend(budget)? {
            return Ok(());
        }
        let fillable: i64 = (i..self.left.len())
            .map(|j| self.sizes.piece[j] * i64::from(self.left[j] - spot.counts[j]))
            .sum();
        if room - fillable > spot.offcut_limit {
            return Ok(());
        }
        let free = self.left[i] - spot.counts[i];
        let most = u32::try_from(room / self.sizes.piece[i]).unwrap_or(u32::MAX).min(free);
        for n in (0..=most).rev() {
            spot.counts[i] += n;
            self.extend(i + 1, room - self.sizes.piece[i] * i64::from(n), spot, budget)?;
            spot.counts[i] -= n;
        }
        Ok(())
    }
}

/// The stock length being filled.
struct Spot<'a> {
    stock: usize,
    offcut_limit: i64,
    counts: Vec<u32>,
    found: &'a mut Vec<(i128, Filling)>,
    dear: i128,
}
