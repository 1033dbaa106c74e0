//! The best layout of a block by cuts that run from side to side, each part cut again.
//!
//! Dynamic programme over all windows between the block's lines: a window is a panel at the
//! price of the rules it breaks, or a cut in two at the price of the sawing and its ends. Exact
//! for cuts of this kind but for tees, whose price depends on the neighbour: an end on the rim of
//! the range asked for costs what the caller says, an end on a cut inside costs a share.
//! Theory: minimum-length guillotine partition, O(n^5) in lines.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::block::{Block, Filling, Window};
use super::rules::Weights;
use crate::geometry::Point;

/// What it costs when a joint ends on the rim of a range, by line.
#[derive(Clone, Debug, PartialEq)]
pub struct Rim {
    /// Upright lines that end on the bottom.
    pub bottom: Vec<f64>,
    /// Upright lines that end on the top.
    pub top: Vec<f64>,
    /// Level lines that end on the left.
    pub left: Vec<f64>,
    /// Level lines that end on the right.
    pub right: Vec<f64>,
}

impl Rim {
    /// A rim that is all wall: joints end there for nothing.
    #[must_use]
    pub fn wall(block: &Block) -> Self {
        let (columns, rows) = block.size();
        Self {
            bottom: vec![0.0; columns],
            top: vec![0.0; columns],
            left: vec![0.0; rows],
            right: vec![0.0; rows],
        }
    }
}

/// A range of a block to lay out anew.
pub struct Range<'a, 'b> {
    /// The block.
    pub block: &'a Block<'b>,
    /// The range.
    pub window: Window,
    /// What ends on its rim cost.
    pub rim: &'a Rim,
    /// What soft aims weigh.
    pub weights: &'a Weights,
    /// What each window costs as a panel with these weights: [`Block::prices`].
    pub prices: &'a [f64],
    /// Share of a tee's price for an end on a cut inside the range.
    pub inner_tee: f64,
}

/// Least cost and the windows that have it.
#[must_use]
pub fn lay_out(range: &Range) -> (f64, Vec<Window>) {
    let table = Table::filled(range);
    let mut panels = Vec::new();
    table.collect(range, range.window, &mut panels);
    (table.value(range.window), panels)
}

/// Least costs of all windows of a range.
struct Table {
    window: Window,
    rows: usize,
    values: Vec<f64>,
}

/// Place of a pair of lines among all pairs, the lower line below the higher.
const fn pair(low: usize, high: usize) -> usize {
    high * (high - 1) / 2 + low
}

impl Table {
    /// Fills the table by columns: all windows between two upright lines at once, so that a cut
    /// between them is two runs of known values, the runs' own costs, and a third of sums.
    fn filled(range: &Range) -> Self {
        let [left, right, bottom, top] = range.window;
        let (columns, rows) = (right - left, top - bottom);
        let heights = pair(0, rows + 1);
        let mut table = Self {
            window: range.window,
            rows: heights,
            values: vec![0.0; pair(0, columns + 1) * heights],
        };
        let uprights = upright_costs(range);
        let mut upright = vec![f64::INFINITY; heights];
        let mut levels = vec![0.0; rows + 1];
        let mut column = vec![0.0; heights];
        for width in 1..=columns {
            for first in 0..=columns - width {
                let last = first + width;
                upright.fill(f64::INFINITY);
                for cut in first + 1..last {
                    let below = &table.values[pair(first, cut) * heights..][..heights];
                    let above = &table.values[pair(cut, last) * heights..][..heights];
                    let costs = &uprights[cut * heights..][..heights];
                    let parts = below.iter().zip(above).zip(costs);
                    for (best, ((below, above), cost)) in upright.iter_mut().zip(parts) {
                        let all = below + above + cost;
                        *best = if all < *best { all } else { *best };
                    }
                }
                for (y, cost) in levels.iter_mut().enumerate().take(rows).skip(1) {
                    *cost = level_cost(range, y + bottom, first + left, last + left);
                }
                for height in 1..=rows {
                    for low in 0..=rows - height {
                        let high = low + height;
                        let window = [first + left, last + left, low + bottom, high + bottom];
                        let place = pair(low, high);
                        column[place] = match settled(range, window) {
                            Settled::Void => 0.0,
                            Settled::As(inner)
                                if inner[0] == window[0] && inner[1] == window[1] =>
                            {
                                column[pair(inner[2] - bottom, inner[3] - bottom)]
                            }
                            Settled::As(inner) => table.value(inner),
                            Settled::Open => {
                                let price = range.prices[range.block.index(window)];
                                let mut best = price.min(upright[place]);
                                for cut in low + 1..high {
                                    let all = column[pair(low, cut)]
                                        + column[pair(cut, high)]
                                        + levels[cut];
                                    best = if all < best { all } else { best };
                                }
                                best
                            }
                        };
                    }
                }
                table.values[pair(first, last) * heights..][..heights].copy_from_slice(&column);
            }
        }
        table
    }

    fn value(&self, [left, right, bottom, top]: Window) -> f64 {
        self.values[pair(left - self.window[0], right - self.window[0]) * self.rows
            + pair(bottom - self.window[2], top - self.window[2])]
    }

    /// How the least cost of a window comes about.
    fn choice(&self, range: &Range, window: Window) -> Choice {
        match settled(range, window) {
            Settled::Void => return Choice::Nothing,
            Settled::As(inner) => return Choice::Shrink(inner),
            Settled::Open => {}
        }
        let [left, right, bottom, top] = window;
        let mut best = (range.prices[range.block.index(window)], Choice::Panel);
        for x in left + 1..right {
            let all = self.value([left, x, bottom, top])
                + self.value([x, right, bottom, top])
                + upright_cost(range, x, bottom, top);
            if all < best.0 {
                best = (all, Choice::Upright(x));
            }
        }
        for y in bottom + 1..top {
            let all = self.value([left, right, bottom, y])
                + self.value([left, right, y, top])
                + level_cost(range, y, left, right);
            if all < best.0 {
                best = (all, Choice::Level(y));
            }
        }
        best.1
    }

    fn collect(&self, range: &Range, window: Window, panels: &mut Vec<Window>) {
        let [left, right, bottom, top] = window;
        match self.choice(range, window) {
            Choice::Nothing => {}
            Choice::Panel => panels.push(window),
            Choice::Shrink(shrunk) => self.collect(range, shrunk, panels),
            Choice::Upright(x) => {
                self.collect(range, [left, x, bottom, top], panels);
                self.collect(range, [x, right, bottom, top], panels);
            }
            Choice::Level(y) => {
                self.collect(range, [left, right, bottom, y], panels);
                self.collect(range, [left, right, y, top], panels);
            }
        }
    }
}

/// What a window is before any cut of it is looked at.
enum Settled {
    /// No floor.
    Void,
    /// The same as a smaller window that holds the same floor.
    As(Window),
    /// A panel, or to be cut.
    Open,
}

fn settled(range: &Range, window: Window) -> Settled {
    let block = range.block;
    match block.filling(block.index(window)) {
        Filling::Void => Settled::Void,
        Filling::Loose => block.shrunk(window).map_or(Settled::Void, Settled::As),
        Filling::Spanning => Settled::Open,
    }
}

/// What every upright cut costs, by line and then by the pair of level lines it runs between.
fn upright_costs(range: &Range) -> Vec<f64> {
    let [left, right, bottom, top] = range.window;
    let (columns, rows) = (right - left, top - bottom);
    let heights = pair(0, rows + 1);
    let mut costs = vec![0.0; (columns + 1) * heights];
    for x in 1..columns {
        for high in 1..=rows {
            for low in 0..high {
                costs[x * heights + pair(low, high)] =
                    upright_cost(range, x + left, low + bottom, high + bottom);
            }
        }
    }
    costs
}

#[derive(Clone, Copy, Debug)]
enum Choice {
    Nothing,
    Panel,
    Shrink(Window),
    Upright(usize),
    Level(usize),
}

fn upright_cost(range: &Range, x: usize, bottom: usize, top: usize) -> f64 {
    let block = range.block;
    let length = block.upright(x, bottom, top);
    if length < 0.1 {
        return 0.0;
    }
    let mut cost = length + range.weights.set_up;
    if block.upright(x, bottom, bottom + 1) > 0.1 {
        cost += if bottom == range.window[2] {
            range.rim.bottom[x]
        } else {
            inner_end(range, x, bottom)
        };
    }
    if block.upright(x, top - 1, top) > 0.1 {
        cost += if top == range.window[3] { range.rim.top[x] } else { inner_end(range, x, top) };
    }
    cost
}

fn level_cost(range: &Range, y: usize, left: usize, right: usize) -> f64 {
    let block = range.block;
    let length = block.level(y, left, right);
    if length < 0.1 {
        return 0.0;
    }
    let mut cost = length + range.weights.set_up;
    if block.level(y, left, left + 1) > 0.1 {
        cost += if left == range.window[0] { range.rim.left[y] } else { inner_end(range, left, y) };
    }
    if block.level(y, right - 1, right) > 0.1 {
        cost +=
            if right == range.window[1] { range.rim.right[y] } else { inner_end(range, right, y) };
    }
    cost
}

impl Block<'_> {
    /// What a joint that ends at this grid point, at the side of a panel, costs.
    #[must_use]
    pub fn tee_price(&self, x: usize, y: usize, weights: &Weights) -> f64 {
        self.ground.tee_price(Point::new(self.xs[x], self.ys[y]), weights)
    }
}

fn inner_end(range: &Range, x: usize, y: usize) -> f64 {
    if range.block.is_inner(x, y) {
        range.block.tee_price(x, y, range.weights) * range.inner_tee
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::super::candidates::CandidateLimits;
    use super::super::ground::Ground;
    use super::super::rules::JointRules;
    use super::*;
    use crate::geometry::{Point, Polygon};

    /// Cases J1 to J6 of the project's reference, computed by hand: panels and saw feet.
    #[test]
    fn rectangles_take_the_sawing_of_the_worked_layouts() {
        for (size, spacing, panels, feet) in [
            ((60.0, 40.0), 15.0, 12, 240.0),
            ((60.0, 40.0), 12.0, 20, 340.0),
            ((24.0, 24.0), 10.0, 9, 96.0),
            ((30.0, 24.0), 10.0, 9, 108.0),
            ((30.0, 24.0), 12.0, 6, 78.0),
            ((48.0, 32.0), 12.5, 12, 192.0),
        ] {
            let region = Polygon::rectangle(Point::ORIGIN, Point::feet(size.0, size.1));
            let ground = Ground { region: region.clone(), ..Ground::default() };
            let rules = JointRules::with_spacing(spacing * 12.0, 1.5);
            let limits = CandidateLimits { most: 20, extra_parts: 2 };
            let block = Block::new(&ground, &rules, region, [&[], &[]], limits).unwrap();
            let (columns, rows) = block.size();
            let rim = Rim::wall(&block);
            let weights = Weights::LEAST_SAWING;
            let window = [0, columns - 1, 0, rows - 1];
            let prices = block.prices(&weights);
            let range = Range {
                block: &block,
                window,
                rim: &rim,
                weights: &weights,
                prices: &prices,
                inner_tee: 0.5,
            };
            let (_, laid) = lay_out(&range);
            assert_eq!(laid.len(), panels, "{size:?}");
            let sawn: f64 = laid
                .iter()
                .map(|&[left, right, bottom, top]| {
                    block.upright(left, bottom, top)
                        + block.upright(right, bottom, top)
                        + block.level(bottom, left, right)
                        + block.level(top, left, right)
                })
                .sum::<f64>()
                / 24.0;
            assert!((sawn - feet).abs() < 1e-6, "{size:?} {sawn}");
        }
    }
}
