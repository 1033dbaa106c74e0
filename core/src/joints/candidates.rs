//! Where joints may stand: lines through inside corners and columns, and even splits between.
//!
//! Lines are ranked: those that a rule asks for first, then the even splits that keep the
//! spacing, then splits into more parts than needed (a narrow floor has no panel of good shape
//! without them). A weaker line close to a stronger one is dropped; the list is cut at a length
//! that keeps the search quick.

use super::ground::Ground;
use super::halves::Axis;
use crate::geometry::Bounds;

/// A line this close to a stronger one is dropped, inches.
const TOO_CLOSE_IN: f64 = 4.0;
/// Lines that rules ask for are kept apart by this much, inches.
const SAME_LINE_IN: f64 = 0.5;

/// A column this near a line through a corner is met by that line, inches.
pub const COLUMN_ON_LINE_IN: f64 = 3.0;

/// No more lines than this across an axis of one search, whatever rules ask for: its work grows
/// with the fifth power of them.
pub const MOST_LINES: usize = 32;

/// How many lines to keep, and how finely to split.
#[derive(Clone, Copy, Debug)]
pub struct CandidateLimits {
    /// Most lines across one axis, the two sides of the box among them.
    pub most: usize,
    /// Most parts beyond the least that an interval is split into.
    pub extra_parts: u32,
}

/// Candidate coordinates across an axis within a box, in order, its two sides among them.
#[must_use]
pub fn candidate_lines(
    ground: &Ground,
    bounds: Bounds,
    axis: Axis,
    spacing: f64,
    also: &[f64],
    limits: CandidateLimits,
) -> Vec<f64> {
    let (low, high) = (axis.of(bounds.min), axis.of(bounds.max));
    let mut ranked: Vec<(u32, f64)> = vec![(0, low), (0, high)];
    let inside = |at: f64| at > low + SAME_LINE_IN && at < high - SAME_LINE_IN;
    let near = bounds.grown(0.1);
    let corners = ground.inside_corners().filter(|&corner| near.contains(corner));
    ranked.extend(corners.map(|corner| (1, axis.of(corner))));
    for &(from, to) in ground.locked.iter().chain(&ground.moving) {
        if (axis.of(from) - axis.of(to)).abs() < SAME_LINE_IN || near.contains(from) {
            ranked.push((1, axis.of(from)));
        }
        if near.contains(to) {
            ranked.push((1, axis.of(to)));
        }
    }
    let columns = ground.columns.iter().filter(|column| near.contains(column.at));
    ranked.extend(columns.map(|column| (2, axis.of(column.at))));
    let strips = ground.strips.iter().filter(|strip| {
        let is_across = (axis.of(strip.from) - axis.of(strip.to)).abs() < SAME_LINE_IN;
        is_across && near.touches(Bounds::of([strip.from, strip.to]).unwrap_or(near))
    });
    ranked.extend(strips.map(|strip| (3, axis.of(strip.from))));
    ranked.retain(|&(rank, at)| rank == 0 || inside(at));
    let majors = distinct(&ranked);
    ranked.extend(splits(&majors, spacing, limits.extra_parts));
    ranked.extend(narrow_stops(ground, bounds, axis, spacing));
    ranked.extend(also.iter().filter(|&&at| inside(at)).map(|&at| (5, at)));
    let convex = ground.corners.iter().filter(|(corner, _)| near.contains(*corner));
    ranked.extend(convex.map(|&(corner, _)| (10, axis.of(corner))));
    ranked.retain(|&(rank, at)| rank == 0 || inside(at));
    close_gaps(thinned(ranked, limits.most), spacing)
}

/// Where a panel must end that stands in a narrow gap beside an inside corner: at 1.4 times the
/// gap along it, or it would be too long for its width.
fn narrow_stops(
    ground: &Ground,
    bounds: Bounds,
    axis: Axis,
    spacing: f64,
) -> impl Iterator<Item = (u32, f64)> {
    let other = if axis == Axis::X { Axis::Y } else { Axis::X };
    let near = bounds.grown(0.1);
    let corners: Vec<_> = ground.inside_corners().filter(|&at| near.contains(at)).collect();
    let mut across: Vec<f64> = corners.iter().map(|&corner| other.of(corner)).collect();
    across.extend([other.of(bounds.min), other.of(bounds.max)]);
    let stops: Vec<(u32, f64)> = corners
        .iter()
        .flat_map(|&corner| {
            let gaps = across.iter().map(move |at| (at - other.of(corner)).abs());
            let narrow = gaps.filter(move |gap| (18.0..0.6 * spacing).contains(gap));
            narrow
                .flat_map(move |gap| [1.4 * gap, -1.4 * gap].map(|off| (7, axis.of(corner) + off)))
        })
        .collect();
    stops.into_iter()
}

fn distinct(ranked: &[(u32, f64)]) -> Vec<f64> {
    let mut majors: Vec<f64> = ranked.iter().map(|&(_, at)| at).collect();
    majors.sort_by(f64::total_cmp);
    majors.dedup_by(|b, a| *b - *a < SAME_LINE_IN);
    majors
}

/// Even splits of the intervals between majors, ranked.
fn splits(majors: &[f64], spacing: f64, extra_parts: u32) -> Vec<(u32, f64)> {
    let mut ranked = Vec::new();
    for (first, &from) in majors.iter().enumerate() {
        for (second, &to) in majors.iter().enumerate().skip(first + 1) {
            let least = parts_of(to - from, spacing);
            let is_whole = first == 0 && second + 1 == majors.len();
            let is_next = second == first + 1;
            if !is_whole && !is_next && second > first + 4 {
                continue;
            }
            for extra in 0..=extra_parts {
                let rank = match (is_next, is_whole) {
                    (true, _) => [4, 8, 9, 10],
                    (false, true) => [6, 6, 9, 9],
                    (false, false) => [7, 10, 11, 12],
                };
                let rank = rank.get(extra as usize).copied().unwrap_or(13);
                let parts = least + extra;
                ranked.extend(
                    (1..parts).map(|part| {
                        (rank, from + (to - from) * f64::from(part) / f64::from(parts))
                    }),
                );
            }
        }
    }
    ranked
}

/// The least number of parts no longer than the spacing.
#[must_use]
pub fn parts_of(length: f64, spacing: f64) -> u32 {
    let parts = (length / spacing - 1e-6).ceil().clamp(1.0, 10_000.0);
    // Clamped to whole numbers that fit.
    parts as u32
}

fn thinned(mut ranked: Vec<(u32, f64)>, most: usize) -> Vec<f64> {
    ranked.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut kept: Vec<(u32, f64)> = Vec::new();
    for (rank, at) in ranked {
        let clear_of = |&(other, stands): &(u32, f64)| {
            let least = match (rank, other) {
                (2, 1) => COLUMN_ON_LINE_IN,
                (0..=2, 0..=2) => SAME_LINE_IN,
                _ => TOO_CLOSE_IN,
            };
            // An even split that keeps the spacing may stand close to a line of a rule.
            let least = if rank == 4 { least.min(2.0) } else { least };
            (at - stands).abs() >= least
        };
        let has_room = kept.len() < most || (rank <= 4 && kept.len() < MOST_LINES);
        if kept.iter().all(clear_of) && has_room {
            kept.push((rank, at));
        }
    }
    let mut lines: Vec<f64> = kept.into_iter().map(|(_, at)| at).collect();
    lines.sort_by(f64::total_cmp);
    lines
}

/// Puts lines in where neighbours stand farther apart than the spacing.
fn close_gaps(lines: Vec<f64>, spacing: f64) -> Vec<f64> {
    let mut closed: Vec<f64> = Vec::with_capacity(lines.len());
    for at in lines {
        if let Some(&last) = closed.last() {
            let parts = parts_of(at - last, spacing);
            closed.extend(
                (1..parts).map(|part| last + (at - last) * f64::from(part) / f64::from(parts)),
            );
        }
        closed.push(at);
    }
    closed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Polygon};

    #[test]
    fn a_narrow_floor_gets_the_splits_it_needs() {
        let region = Polygon::rectangle(Point::ORIGIN, Point::feet(70.0, 13.0));
        let bounds = region.bounds().unwrap();
        let ground = Ground { region, ..Ground::default() };
        let limits = CandidateLimits { most: 24, extra_parts: 3 };
        let lines = candidate_lines(&ground, bounds, Axis::X, 150.0, &[], limits);
        // Eight parts of 8 ft 9 in: with 6 ft 6 in across, an aspect of 1.35.
        for part in 1..8 {
            let at = 840.0 * f64::from(part) / 8.0;
            assert!(lines.iter().any(|line| (line - at).abs() < TOO_CLOSE_IN), "{at}");
        }
        assert!(lines.windows(2).all(|pair| pair[1] - pair[0] <= 150.0));
    }
}
