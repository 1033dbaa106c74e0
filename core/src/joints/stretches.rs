//! Where an upright or level line runs: inside the floor, and where it must be sawn.

#![expect(clippy::indexing_slicing, reason = "chunks of two have two elements")]

use super::ground::Ground;
use super::halves::Axis;
use crate::geometry::Polygon;

/// Where a line runs strictly inside the region, as stretches along it.
#[must_use]
pub fn inner_stretches(region: &Polygon, axis: Axis, at: f64) -> Vec<(f64, f64)> {
    // A line along a wall has floor on one side only, so both sides must be floor.
    const BESIDE_IN: f64 = 0.03;
    let a = stretches_at(region, axis, at - BESIDE_IN);
    let b = stretches_at(region, axis, at + BESIDE_IN);
    let mut both = Vec::new();
    for &(low, high) in &a {
        for &(other_low, other_high) in &b {
            let (start, end) = (low.max(other_low), high.min(other_high));
            if end > start + 0.1 {
                both.push((start, end));
            }
        }
    }
    both
}

fn stretches_at(region: &Polygon, axis: Axis, at: f64) -> Vec<(f64, f64)> {
    let mut crossings: Vec<f64> = region
        .edges()
        .filter(|&(from, to)| (axis.of(from) > at) != (axis.of(to) > at))
        .map(|(from, to)| {
            let share = (at - axis.of(from)) / (axis.of(to) - axis.of(from));
            axis.along(from.toward(to, share))
        })
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The stretches of a line that must be sawn: inside, off columns and off joints that move.
pub fn sawn_stretches(ground: &Ground, region: &Polygon, axis: Axis, at: f64) -> Vec<(f64, f64)> {
    let mut sawn = inner_stretches(region, axis, at);
    let mut take_out = |from: f64, to: f64| {
        sawn = sawn
            .iter()
            .flat_map(|&(low, high)| [(low, high.min(from)), (low.max(to), high)])
            .filter(|&(low, high)| high > low + 1e-9)
            .collect();
    };
    for column in &ground.columns {
        let center = axis.along(column.at);
        let reach = column.reach + 1.0;
        let (from, to) = (axis.point(at, center - reach), axis.point(at, center + reach));
        if let Some((enters, leaves)) = column.covers(from, to) {
            let length = 2.0 * reach;
            take_out(center - reach + enters * length, center - reach + leaves * length);
        }
    }
    for &(from, to) in &ground.moving {
        if (axis.of(from) - at).abs() < 0.1 && (axis.of(to) - at).abs() < 0.1 {
            let (a, b) = (axis.along(from), axis.along(to));
            take_out(a.min(b), a.max(b));
        }
    }
    sawn
}

/// How much of `low` to `high` the stretches take up.
pub fn overlap(stretches: &[(f64, f64)], low: f64, high: f64) -> f64 {
    stretches.iter().map(|&(a, b)| (b.min(high) - a.max(low)).max(0.0)).sum()
}
