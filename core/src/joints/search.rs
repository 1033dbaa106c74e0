//! Finds a layout: turns the floor into the frame of its walls, takes large floors apart, lays
//! out each part, and puts the panels together.
//!
//! A part small enough for the dynamic programme is laid out whole and then improved. A larger
//! floor is cut first along lines that a good layout would have anyway (through inside corners
//! and columns, or an even split), so that the time grows with the area; each part knows the
//! joints that its neighbours bring to the common border, so that they run on.

use super::block::{Block, Window};
use super::candidates::{CandidateLimits, parts_of};
use super::ground::{Frame, Ground, frames_of};
use super::guillotine::{Range, Rim, lay_out};
use super::halves::{Axis, Side, half};
use super::improve::{exact_cost, improve, sawing};
use super::rules::{JointRules, Weights};
use crate::effort::{Budget, Cancel, Cancelled};
use crate::geometry::{Bounds, Point, Polygon, clip, nearest, polygon};

/// A layout as panels in the job's axes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Laid {
    /// Panels, counter-clockwise.
    pub panels: Vec<Vec<Point>>,
    /// Cost in inches of sawing, rules that give way included.
    pub cost: f64,
    /// The part of the cost that rules give.
    pub broken: f64,
    /// The frame it was laid in.
    pub frame: Option<Frame>,
}

/// What to look for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// What soft aims weigh.
    pub weights: Weights,
    /// How much more sawing than the least is taken for the soft aims; `None` for no limit.
    pub sawing_over_least: Option<f64>,
}

impl Aim {
    /// The least sawing.
    pub const LEAST_SAWING: Self =
        Self { weights: Weights::LEAST_SAWING, sawing_over_least: Some(0.0) };
    /// Squarer panels and fewer tees for up to 2 per cent more sawing than the least.
    pub const BALANCED: Self = Self { weights: Weights::BALANCED, sawing_over_least: Some(0.02) };
    /// Few tees, at whatever sawing.
    pub const FEWEST_TEES: Self = Self { weights: Weights::FEWEST_TEES, sawing_over_least: None };
}

/// Parts of up to this many panels are laid out whole.
const LARGEST_PART: u32 = 24;
/// Groups of panels laid out anew, at most, in one part.
const IMPROVING_STEPS: u64 = 400;

/// Lays out a floor given in the job's axes: the best over the frames worth trying.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn search(
    ground: &Ground,
    rules: &JointRules,
    aim: Aim,
    cancel: &Cancel,
) -> Result<Laid, Cancelled> {
    let mut best: Option<Laid> = None;
    for frame in frames_of(&ground.region, 2) {
        let turned = ground.entered(frame);
        let mut laid = Laid { frame: Some(frame), ..Laid::default() };
        lay_out_region(&turned, rules, aim, &turned.region, &mut laid, cancel)?;
        for point in laid.panels.iter_mut().flatten() {
            *point = frame.leave(*point);
        }
        if best.as_ref().is_none_or(|best| laid.cost < best.cost - 1e-6) {
            best = Some(laid);
        }
    }
    Ok(best.unwrap_or_default())
}

fn lay_out_region(
    ground: &Ground,
    rules: &JointRules,
    aim: Aim,
    region: &Polygon,
    laid: &mut Laid,
    cancel: &Cancel,
) -> Result<(), Cancelled> {
    let Some(bounds) = region.bounds() else { return Ok(()) };
    let parts = (parts_of(bounds.width(), rules.spacing), parts_of(bounds.height(), rules.spacing));
    if parts.0 * parts.1 > LARGEST_PART {
        let axis = if parts.0 >= parts.1 { Axis::X } else { Axis::Y };
        if let Some(at) = best_cut(ground, rules, region, bounds, axis) {
            for side in [Side::Below, Side::Above] {
                for piece in halves(region, axis, at, side) {
                    lay_out_region(ground, rules, aim, &piece, laid, cancel)?;
                }
            }
            return Ok(());
        }
    }
    lay_out_part(ground, rules, aim, region, laid, cancel)
}

/// The parts of a region on one side of a line.
fn halves(region: &Polygon, axis: Axis, at: f64, side: Side) -> Vec<Polygon> {
    let outers = half(&region.outer, axis, at, side);
    let holes: Vec<Vec<Point>> =
        region.holes.iter().flat_map(|hole| half(hole, axis, at, side)).collect();
    let is_cut =
        holes.len() != region.holes.len() || holes.iter().any(|hole| !region.holes.contains(hole));
    let plain = |outer| Polygon::new(outer, Vec::new());
    if region.holes.is_empty() || holes.is_empty() {
        return outers.into_iter().map(plain).collect();
    }
    if is_cut {
        let outers: Vec<Polygon> = outers.into_iter().map(plain).collect();
        let holes: Vec<Polygon> = holes.into_iter().map(plain).collect();
        return clip::difference(&outers, &holes);
    }
    outers
        .into_iter()
        .map(|outer| {
            let own = holes.iter().filter(|hole| {
                hole.first().is_some_and(|&point| polygon::ring_contains(&outer, point))
            });
            let own = own.cloned().collect();
            Polygon::new(outer, own)
        })
        .collect()
}

/// Where to cut a large part: near its middle, on a line that costs no extra row of panels.
fn best_cut(
    ground: &Ground,
    rules: &JointRules,
    region: &Polygon,
    bounds: Bounds,
    axis: Axis,
) -> Option<f64> {
    let (low, high) = (axis.of(bounds.min), axis.of(bounds.max));
    let limits = CandidateLimits { most: 400, extra_parts: 0 };
    let lines =
        super::candidates::candidate_lines(ground, bounds, axis, rules.spacing, &[], limits);
    let length = high - low;
    let all = parts_of(length, rules.spacing);
    let middle = (low + high) / 2.0;
    let corners: Vec<Point> =
        ground.inside_corners().filter(|corner| bounds.grown(0.1).contains(*corner)).collect();
    let rated = |at: f64| {
        let share = (at - low) / length;
        if !(0.2..=0.8).contains(&share) {
            return None;
        }
        let sawn: f64 = super::block::inner_stretches(region, axis, at)
            .iter()
            .map(|(from, to)| to - from)
            .sum();
        let parts = parts_of(at - low, rules.spacing) + parts_of(high - at, rules.spacing);
        let across = axis.along(bounds.max) - axis.along(bounds.min);
        let extra_row = f64::from(parts.saturating_sub(all)) * across * 0.5;
        let met = corners.iter().filter(|corner| (axis.of(**corner) - at).abs() < 0.1).count()
            + ground.columns.iter().filter(|column| (axis.of(column.at) - at).abs() < 0.1).count();
        let off_middle = (at - middle).abs() * 0.2;
        Some(sawn * 0.3 + extra_row + off_middle - met as f64 * rules.spacing * 0.5)
    };
    lines
        .into_iter()
        .filter_map(|at| Some((rated(at)?, at)))
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)))
        .map(|(_, at)| at)
}

/// Lays out one part whole.
fn lay_out_part(
    ground: &Ground,
    rules: &JointRules,
    aim: Aim,
    region: &Polygon,
    laid: &mut Laid,
    cancel: &Cancel,
) -> Result<(), Cancelled> {
    let Some(bounds) = region.bounds() else { return Ok(()) };
    let near: Vec<&Vec<Point>> = laid
        .panels
        .iter()
        .filter(|panel| {
            Bounds::of(panel.iter().copied()).is_some_and(|own| own.grown(0.2).touches(bounds))
        })
        .collect();
    let brought = |axis: Axis| -> Vec<f64> {
        let on_rim = |point: &&Point| {
            (axis.along(**point) - axis.along(bounds.min)).abs() < 0.1
                || (axis.along(**point) - axis.along(bounds.max)).abs() < 0.1
        };
        near.iter()
            .flat_map(|panel| panel.iter().filter(on_rim))
            .map(|point| axis.of(*point))
            .collect()
    };
    let also = [brought(Axis::X), brought(Axis::Y)];
    let limits = CandidateLimits { most: 20, extra_parts: 2 };
    let Some(block) = Block::new(ground, rules, region.clone(), [&also[0], &also[1]], limits)
    else {
        return Ok(());
    };
    let windows = solve(&block, aim, |weights| rim_between(&block, &near, weights), cancel)?;
    let rim = rim_between(&block, &near, &aim.weights);
    laid.cost += exact_cost(&block, &windows, &rim, &aim.weights);
    laid.broken += broken(&block, &windows);
    let panels = windows.iter().flat_map(|&window| block.parts(window)).collect::<Vec<_>>();
    laid.panels.extend(panels);
    Ok(())
}

/// What joints cost that end on the border of a part, with the neighbours laid out before.
fn rim_between(block: &Block, near: &[&Vec<Point>], weights: &Weights) -> Rim {
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

fn end_cost(ground: &Ground, near: &[&Vec<Point>], at: Point, weights: &Weights) -> f64 {
    let on_wall =
        ground.region.edges().any(|(from, to)| nearest::distance_to_line(at, from, to) < 0.1);
    if on_wall || ground.columns.iter().any(|column| column.at.distance(at) < column.reach) {
        return 0.0;
    }
    let meets =
        near.iter().filter(|panel| panel.iter().any(|corner| corner.distance(at) < 0.1)).count();
    let touches = || {
        near.iter().any(|panel| {
            polygon::edges(panel).any(|(from, to)| nearest::distance_to_line(at, from, to) < 0.1)
        })
    };
    if meets >= 2 {
        -weights.tee
    } else if touches() {
        weights.tee
    } else {
        // The neighbour is laid out later and will try to run on.
        0.2 * weights.tee
    }
}

fn broken(block: &Block, windows: &[Window]) -> f64 {
    windows.iter().map(|&window| block.judged(window).unwrap_or_default().broken).sum()
}

/// The windows of a part for an aim.
fn solve(
    block: &Block,
    aim: Aim,
    rim: impl Fn(&Weights) -> Rim,
    cancel: &Cancel,
) -> Result<Vec<Window>, Cancelled> {
    let laid = |weights: Weights| -> Result<Vec<Window>, Cancelled> {
        let (columns, rows) = block.size();
        let rim = rim(&weights);
        let window = [0, columns.saturating_sub(1), 0, rows.saturating_sub(1)];
        let range = Range { block, window, rim: &rim, weights: &weights, inner_tee: 0.5 };
        let (_, windows) = lay_out(&range);
        let mut budget = Budget::new(IMPROVING_STEPS, cancel.clone());
        improve(block, windows, &rim, &weights, &mut budget)
    };
    let Some(over) = aim.sawing_over_least else { return laid(aim.weights) };
    let least = laid(Weights::LEAST_SAWING)?;
    if over <= 0.0 {
        return Ok(least);
    }
    let most = sawing(block, &least) * (1.0 + over) + 0.1;
    let least_broken = broken(block, &least);
    for factor in [1.0, 0.4, 0.15] {
        let windows = laid(aim.weights.scaled(factor))?;
        if sawing(block, &windows) <= most && broken(block, &windows) <= least_broken + 0.1 {
            return Ok(windows);
        }
    }
    Ok(least)
}
