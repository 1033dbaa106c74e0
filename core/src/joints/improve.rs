//! Improves a layout by laying out groups of neighbouring panels anew, tees counted exactly.
//!
//! A group is the set of panels that fills some window. Its inside is laid out again with the
//! joints round it known, so that a joint which runs on across the rim is cheaper than one that
//! ends there; the new layout is taken when the exact cost of the whole falls.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::block::{Block, Window};
use super::guillotine::{Range, Rim, lay_out};
use super::rules::Weights;
use crate::effort::{Budget, Cancelled};
use std::collections::BTreeSet;

/// Groups of more panels than this are not laid out anew.
const LARGEST_GROUP: usize = 7;

/// The exact cost of a layout of a block: broken rules, sawing, set-ups, tees, shape.
#[must_use]
pub fn exact_cost(block: &Block, panels: &[Window], rim: &Rim, weights: &Weights) -> f64 {
    let rows = block.size().1;
    let shapes: f64 =
        panels.iter().map(|&panel| block.judged(panel).unwrap_or_default().cost(weights)).sum();
    let corners = corner_counts(block, panels);
    let mut tees = 0.0;
    for (index, &count) in corners.iter().enumerate() {
        if count != 2 {
            continue;
        }
        let (x, y) = (index / rows, index % rows);
        tees += if block.is_inner(x, y) {
            block.tee_price(x, y, weights)
        } else {
            rim_cost(block, rim, x, y)
        };
    }
    shapes + sawing(block, panels) + tees + set_ups(block, panels) * weights.set_up
}

/// What an end at a point of the block's own rim costs.
fn rim_cost(block: &Block, rim: &Rim, x: usize, y: usize) -> f64 {
    let (columns, rows) = block.size();
    if y == 0 {
        rim.bottom[x]
    } else if y + 1 == rows {
        rim.top[x]
    } else if x == 0 {
        rim.left[y]
    } else if x + 1 == columns {
        rim.right[y]
    } else {
        0.0
    }
}

/// Sawing of a layout, inches: every joint is the side of two panels.
#[must_use]
pub fn sawing(block: &Block, panels: &[Window]) -> f64 {
    panels.iter().map(|&panel| sides(block, panel)).sum::<f64>() / 2.0
}

fn sides(block: &Block, [left, right, bottom, top]: Window) -> f64 {
    let (columns, rows) = block.size();
    let upright = |x: usize| {
        if x == 0 || x + 1 == columns { 0.0 } else { block.upright(x, bottom, top) }
    };
    let level = |y: usize| {
        if y == 0 || y + 1 == rows { 0.0 } else { block.level(y, left, right) }
    };
    upright(left) + upright(right) + level(bottom) + level(top)
}

/// How many panels have a corner at each grid point.
fn corner_counts(block: &Block, panels: &[Window]) -> Vec<u8> {
    let (columns, rows) = block.size();
    let mut corners = vec![0_u8; columns * rows];
    for &[left, right, bottom, top] in panels {
        for (x, y) in [(left, bottom), (right, bottom), (left, top), (right, top)] {
            corners[x * rows + y] += 1;
        }
    }
    corners
}

/// How many straight cuts a layout takes.
fn set_ups(block: &Block, panels: &[Window]) -> f64 {
    let mut stretches: Vec<(bool, usize, usize, usize)> = Vec::with_capacity(panels.len() * 4);
    for &[left, right, bottom, top] in panels {
        for x in [left, right] {
            if block.upright(x, bottom, top) > 0.1 {
                stretches.push((true, x, bottom, top));
            }
        }
        for y in [bottom, top] {
            if block.level(y, left, right) > 0.1 {
                stretches.push((false, y, left, right));
            }
        }
    }
    stretches.sort_unstable();
    let mut count = 0;
    let mut open: Option<(bool, usize, usize)> = None;
    for (is_upright, line, from, to) in stretches {
        match &mut open {
            Some((upright, at, end)) if *upright == is_upright && *at == line && *end >= from => {
                *end = (*end).max(to);
            }
            _ => {
                count += 1;
                open = Some((is_upright, line, to));
            }
        }
    }
    f64::from(count)
}

/// A layout task: a block, what joints cost that end on its rim, and what the aims weigh.
#[derive(Clone, Copy)]
pub struct Task<'a, 'b> {
    /// The block.
    pub block: &'a Block<'b>,
    /// What ends on its rim cost.
    pub rim: &'a Rim,
    /// What soft aims weigh.
    pub weights: &'a Weights,
    /// What each window costs as a panel.
    pub prices: &'a [f64],
}

/// Lays out groups of panels anew until nothing gets better or the budget is spent: a step is
/// one window looked at.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn improve(
    task: &Task,
    mut panels: Vec<Window>,
    budget: &mut Budget,
) -> Result<Vec<Window>, Cancelled> {
    let Task { block, rim, weights, prices } = *task;
    let mut cost = exact_cost(block, &panels, rim, weights);
    let mut tried: BTreeSet<(Window, Vec<Window>)> = BTreeSet::new();
    'again: loop {
        let corners = corner_counts(block, &panels);
        for group in groups(&panels) {
            if !has_tee(block, &corners, group) {
                continue;
            }
            let inside: Vec<Window> =
                panels.iter().copied().filter(|&panel| holds(group, panel)).collect();
            if !tried.insert((group, inside.clone())) {
                continue;
            }
            let others: Vec<Window> =
                panels.iter().copied().filter(|&panel| !holds(group, panel)).collect();
            let around = rim_of(block, &others, group, rim, weights);
            for inner_tee in [0.3, 1.0] {
                for _ in 0..windows_in(group) {
                    if !budget.step()? {
                        return Ok(panels);
                    }
                }
                let range =
                    Range { block, window: group, rim: &around, weights, prices, inner_tee };
                let (_, mut changed) = lay_out(&range);
                changed.extend(&others);
                let new_cost = exact_cost(block, &changed, rim, weights);
                if new_cost < cost - 1e-6 {
                    panels = changed;
                    panels.sort_unstable();
                    cost = new_cost;
                    continue 'again;
                }
            }
        }
        return Ok(panels);
    }
}

/// How many windows a group is searched over: the measure of work.
fn windows_in([left, right, bottom, top]: Window) -> usize {
    let pairs = |count: usize| count * (count + 1) / 2;
    pairs(right - left) * pairs(top - bottom)
}

/// Whether a joint ends at the side of a panel in a group or on its rim: without one the group
/// was laid out at its best the first time.
fn has_tee(block: &Block, corners: &[u8], [left, right, bottom, top]: Window) -> bool {
    let rows = block.size().1;
    (left..=right)
        .any(|x| (bottom..=top).any(|y| corners[x * rows + y] == 2 && block.is_inner(x, y)))
}

fn holds(outer: Window, inner: Window) -> bool {
    outer[0] <= inner[0] && outer[1] >= inner[1] && outer[2] <= inner[2] && outer[3] >= inner[3]
}

fn meet(a: Window, b: Window) -> bool {
    a[0] < b[1] && b[0] < a[1] && a[2] < b[3] && b[2] < a[3]
}

fn around(a: Window, b: Window) -> Window {
    [a[0].min(b[0]), a[1].max(b[1]), a[2].min(b[2]), a[3].max(b[3])]
}

/// Windows that groups of up to [`LARGEST_GROUP`] neighbouring panels fill, smallest first.
fn groups(panels: &[Window]) -> Vec<Window> {
    let touches =
        |a: Window, b: Window| a[0] <= b[1] && b[0] <= a[1] && a[2] <= b[3] && b[2] <= a[3];
    let mut found: BTreeSet<(usize, Window)> = BTreeSet::new();
    for (index, &first) in panels.iter().enumerate() {
        for &second in panels.iter().skip(index + 1).filter(|&&other| touches(first, other)) {
            let Some((count, pair)) = closed(panels, around(first, second)) else { continue };
            found.insert((count, pair));
            for &third in
                panels.iter().filter(|&&other| touches(pair, other) && !holds(pair, other))
            {
                found.extend(closed(panels, around(pair, third)));
            }
        }
    }
    found.into_iter().map(|(_, group)| group).collect()
}

/// The window grown until no panel crosses its border, with how many panels it holds.
fn closed(panels: &[Window], mut window: Window) -> Option<(usize, Window)> {
    loop {
        let mut count = 0;
        let mut grown = window;
        for &panel in panels.iter().filter(|&&panel| meet(window, panel)) {
            grown = around(grown, panel);
            count += 1;
            if count > LARGEST_GROUP {
                return None;
            }
        }
        if grown == window {
            return Some((count, window));
        }
        window = grown;
    }
}

/// What ends on the rim of a group cost, with the panels outside it known.
fn rim_of(
    block: &Block,
    others: &[Window],
    group: Window,
    block_rim: &Rim,
    weights: &Weights,
) -> Rim {
    let corners = corner_counts(block, others);
    let (columns, rows) = block.size();
    let end = |x: usize, y: usize| {
        if !block.is_inner(x, y) {
            return rim_cost(block, block_rim, x, y);
        }
        // Two corners outside are a tee already: running on makes it a crossing.
        let price = block.tee_price(x, y, weights);
        if corners[x * rows + y] >= 2 { -price } else { price }
    };
    let [left, right, bottom, top] = group;
    Rim {
        bottom: (0..columns).map(|x| end(x, bottom)).collect(),
        top: (0..columns).map(|x| end(x, top)).collect(),
        left: (0..rows).map(|y| end(left, y)).collect(),
        right: (0..rows).map(|y| end(right, y)).collect(),
    }
}
