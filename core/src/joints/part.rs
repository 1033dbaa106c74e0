//! One part of a floor laid out for an aim, with the joints that its neighbours bring.

use super::block::{Block, Window};
use super::candidates::{CandidateLimits, candidate_lines};
use super::ground::Ground;
use super::guillotine::{Range, Rim, lay_out};
use super::halves::Axis;
use super::improve::{Task, exact_cost, improve, sawing};
use super::rules::Weights;
use super::search::Aim;
use crate::effort::{Budget, Cancel, Cancelled};
use crate::geometry::{Point, nearest, polygon};

/// How much more sawing than the least a balanced layout may take, as a share.
const SAWING_OVER_LEAST: f64 = 0.025;
/// Windows looked at, at most, while groups of panels of one part are laid out anew.
const IMPROVING_STEPS: u64 = 24_000;

/// What joints cost that end on the border of a part, with the neighbours laid out before.
#[must_use]
pub fn rim_between(block: &Block, near: &[Vec<Point>], weights: &Weights) -> Rim {
    let mut rim = Rim::wall(block);
    let (Some(&left), Some(&right)) = (block.xs.first(), block.xs.last()) else { return rim };
    let (Some(&bottom), Some(&top)) = (block.ys.first(), block.ys.last()) else { return rim };
    let end = |at: Point| end_cost(block.ground, near, at, weights);
    for (slots, y) in [(&mut rim.bottom, bottom), (&mut rim.top, top)] {
        for (slot, &x) in slots.iter_mut().zip(&block.xs) {
            *slot = end(Point::new(x, y));
        }
    }
    for (slots, x) in [(&mut rim.left, left), (&mut rim.right, right)] {
        for (slot, &y) in slots.iter_mut().zip(&block.ys) {
            *slot = end(Point::new(x, y));
        }
    }
    rim
}

fn end_cost(ground: &Ground, near: &[Vec<Point>], at: Point, weights: &Weights) -> f64 {
    if ground.is_on_edge(at)
        || ground.columns.iter().any(|column| column.at.distance(at) < column.reach)
    {
        return 0.0;
    }
    let meets =
        near.iter().filter(|panel| panel.iter().any(|corner| corner.distance(at) < 0.1)).count();
    let touches = || {
        near.iter().any(|panel| {
            polygon::edges(panel).any(|(from, to)| nearest::distance_to_line(at, from, to) < 0.1)
        })
    };
    let price = ground.tee_price(at, weights);
    if meets >= 2 {
        -price
    } else if touches() {
        price
    } else {
        // The neighbour is laid out later and will try to run on.
        0.2 * price
    }
}

/// What rules that give way cost in a layout of a part.
#[must_use]
pub fn broken(block: &Block, windows: &[Window]) -> f64 {
    windows.iter().map(|&window| block.judged(window).unwrap_or_default().broken).sum()
}

/// What layouts of a part are known already: one stands behind the others' aims.
#[derive(Default)]
pub struct Known {
    /// The least sawing.
    pub least: Option<Vec<Window>>,
    balanced: Option<Vec<Window>>,
}

/// A part to lay out, with the panels of its neighbours.
pub struct Part<'a, 'b> {
    /// Its grid.
    pub block: &'a Block<'b>,
    /// Panels laid out before that touch it.
    pub near: &'a [Vec<Point>],
    /// Raised when nobody waits any more.
    pub cancel: &'a Cancel,
}

impl Part<'_, '_> {
    /// The windows for an aim.
    ///
    /// # Errors
    /// [`Cancelled`] when the flag was raised.
    pub fn solve(&self, aim: Aim, known: &mut Known) -> Result<Vec<Window>, Cancelled> {
        if aim == Aim::FewestTees {
            let weights = aim.weights();
            let cut = self.improved(weights, self.cut(&weights))?;
            let through =
                self.improved(weights, through_lines(self.block, self.near.is_empty()))?;
            let rim = rim_between(self.block, self.near, &weights);
            let balanced = match known.balanced.take() {
                Some(balanced) => balanced,
                None => self.solve(Aim::Balanced, known)?,
            };
            let cost = |windows: &[Window]| exact_cost(self.block, windows, &rim, &weights);
            let others = [through, balanced].into_iter();
            let fewer = |best: Vec<Window>, other: Vec<Window>| {
                if cost(&other) < cost(&best) - 1e-6 { other } else { best }
            };
            return Ok(others.fold(cut, fewer));
        }
        if aim == Aim::Balanced {
            let balanced = self.balanced(known)?;
            known.balanced = Some(balanced.clone());
            return Ok(balanced);
        }
        Ok(self.least(known))
    }

    /// The layout of least sawing. Cut at its least already, only tees could be fewer, and they do
    /// not count here.
    fn least(&self, known: &mut Known) -> Vec<Window> {
        known.least.get_or_insert_with(|| self.cut(&Weights::LEAST_SAWING)).clone()
    }

    /// Squarer panels and fewer tees for little more sawing than the least.
    fn balanced(&self, known: &mut Known) -> Result<Vec<Window>, Cancelled> {
        let known = self.least(known);
        let most = sawing(self.block, &known) * (1.0 + SAWING_OVER_LEAST) + 0.1;
        let least_broken = broken(self.block, &known);
        for factor in [1.0, 0.4, 0.15] {
            let weights = Weights::BALANCED.scaled(factor);
            let windows = self.cut(&weights);
            if sawing(self.block, &windows) > most * 1.03 {
                continue;
            }
            let windows = self.improved(weights, windows)?;
            let is_taken = sawing(self.block, &windows) <= most
                && broken(self.block, &windows) <= least_broken + 0.1;
            if is_taken {
                return Ok(windows);
            }
        }
        Ok(known)
    }

    /// The best layout by cuts from side to side.
    fn cut(&self, weights: &Weights) -> Vec<Window> {
        let block = self.block;
        let (columns, rows) = block.size();
        let rim = rim_between(block, self.near, weights);
        let window = [0, columns.saturating_sub(1), 0, rows.saturating_sub(1)];
        let prices = block.prices(weights);
        lay_out(&Range { block, window, rim: &rim, weights, prices: &prices, inner_tee: 0.5 }).1
    }

    fn improved(&self, weights: Weights, windows: Vec<Window>) -> Result<Vec<Window>, Cancelled> {
        let rim = rim_between(self.block, self.near, &weights);
        let prices = self.block.prices(&weights);
        let mut budget = Budget::new(IMPROVING_STEPS, self.cancel.clone());
        let task = Task { block: self.block, rim: &rim, weights: &weights, prices: &prices };
        improve(&task, windows, &mut budget)
    }
}

/// The windows between lines that run through the whole part: those that rules ask for and the
/// fewest even splits.
fn through_lines(block: &Block, is_alone: bool) -> Vec<Window> {
    let Some(bounds) = block.region.bounds() else { return Vec::new() };
    let limits = CandidateLimits { most: if is_alone { 2 } else { 20 }, extra_parts: 0 };
    let chosen = |axis: Axis, all: &[f64]| -> Vec<usize> {
        let spacing = block.rules.spacing;
        let lines = candidate_lines(block.ground, bounds, axis, spacing, &[], limits);
        let nearest = |at: f64| {
            all.iter()
                .enumerate()
                .min_by(|a, b| (a.1 - at).abs().total_cmp(&(b.1 - at).abs()))
                .map(|(index, _)| index)
        };
        let mut chosen: Vec<usize> = lines.into_iter().filter_map(nearest).collect();
        chosen.dedup();
        chosen
    };
    let (xs, ys) = (chosen(Axis::X, &block.xs), chosen(Axis::Y, &block.ys));
    let mut windows: Vec<Window> = Vec::new();
    for (&left, &right) in xs.iter().zip(xs.iter().skip(1)) {
        for (&bottom, &top) in ys.iter().zip(ys.iter().skip(1)) {
            windows.extend(block.shrunk([left, right, bottom, top]));
        }
    }
    windows
}
