//! Form boards, stakes and kickers along every side.
//!
//! A side longer than the longest stock board is made of whole boards and one shorter board;
//! every splice has a stake. The shorter boards of all sides are then cut together from stock.
//! Sides at a frost wall need no form: the wall is the form. The rims of openings are boxed out
//! and count. Boards along an arc are bent; their length is the arc's.

use super::{FormSide, Forms, squaring};
use crate::cutting::stock_lengths::{CutProblem, Stock, cut_stock};
use crate::effort::{Budget, Cancel};
use crate::facts::concrete::DRESSED_HEIGHTS_IN;
use crate::job::Job;
use crate::job::edges::EdgeProfile;
use crate::plan::{Plan, RimId, RimSide};
use std::collections::BTreeMap;

/// Lost in a saw cut, inches.
const KERF_IN: f64 = 0.125;
/// A board shorter than this is not spliced in, inches: its neighbour is cut shorter instead.
const SHORTEST_BOARD_IN: f64 = 24.0;
/// Steps spent on looking for the cheapest boards.
const CUTTING_STEPS: u64 = 400;

/// Forms of a job.
pub(super) fn set_forms(job: &Job, plan: &Plan) -> Forms {
    if plan.is_empty() {
        return Forms::default();
    }
    let stock = &job.build_up.forms;
    let lengths: Vec<f64> = stock
        .stock_lengths
        .iter()
        .map(|length| length.to_inches())
        .filter(|&length| length > 0.0)
        .collect();
    let longest = lengths.iter().copied().fold(0.0, f64::max);
    let formed = |side: &&RimSide| match side.id {
        RimId::Side(id) => !matches!(job.edges.of_side(id), EdgeProfile::FrostWall),
        RimId::Opening(_) => true,
    };
    let spacing = stock.stake_spacing.to_inches();
    let sides: Vec<FormSide> = plan
        .rim
        .iter()
        .filter(formed)
        .map(|side| {
            let length = side.segment.length();
            let boards = boards_of(length, longest);
            let stakes = 1 + boards.iter().map(|&board| spaces(board, spacing)).sum::<u32>();
            FormSide {
                id: side.id,
                from: side.segment.start(),
                to: side.segment.end(),
                length,
                boards,
                stakes,
            }
        })
        .collect();
    let kicker_spacing = stock.kicker_spacing.to_inches();
    let kickers = if kicker_spacing > 0.0 {
        sides.iter().map(|side| spaces(side.length, kicker_spacing)).sum()
    } else {
        0
    };
    let squared = squaring::square(plan);
    Forms {
        board_height: board_height(job),
        stock: bought(&sides, &lengths),
        stakes: sides.iter().map(|side| side.stakes).sum(),
        kickers,
        sides,
        diagonals: squared.diagonals,
        offsets: squared.offsets,
        base_corner: squared.base_corner,
        check_legs: squared.check_legs,
    }
}

/// How many spaces of at most `spacing` a length has; one when no spacing is given.
fn spaces(length: f64, spacing: f64) -> u32 {
    if spacing <= 0.0 {
        return 1;
    }
    // A hair is forgiven, so that 24 ft at 3 ft are eight spaces whatever the last digit.
    let count = (length / spacing - 1e-6).ceil().clamp(1.0, 1e6);
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    #[expect(clippy::cast_sign_loss, reason = "clamped")]
    let count = count as u32;
    count
}

/// Lengths of board along a side, whole boards first.
fn boards_of(length: f64, longest: f64) -> Vec<f64> {
    if longest <= 0.0 || length <= longest {
        return vec![length];
    }
    let mut boards = Vec::new();
    let mut left = length;
    while left > longest + 1e-6 && boards.len() < 10_000 {
        boards.push(longest);
        left -= longest;
    }
    if left < SHORTEST_BOARD_IN.min(longest / 2.0)
        && let Some(last) = boards.last_mut()
    {
        *last -= SHORTEST_BOARD_IN - left;
        left = SHORTEST_BOARD_IN;
    }
    boards.push(left);
    boards
}

/// True height of the boards: as chosen, else the highest that is no higher than the deepest
/// edge, else the lowest there is.
fn board_height(job: &Job) -> f64 {
    let nominal = job.build_up.forms.nominal_height;
    if let Some(&(_, height)) = DRESSED_HEIGHTS_IN.iter().find(|(name, _)| *name == nominal) {
        return height;
    }
    if nominal > 0 {
        return f64::from(nominal);
    }
    let floor = job.build_up.floor_thickness.to_inches();
    let deepest = job
        .outline
        .sides
        .iter()
        .filter_map(|side| job.edges.of_side(side.id).thickened())
        .map(|edge| edge.total_depth.to_inches())
        .fold(floor, f64::max);
    let heights = DRESSED_HEIGHTS_IN.iter().map(|&(_, height)| height);
    heights
        .clone()
        .filter(|&height| height <= deepest)
        .fold(None, |_, height| Some(height))
        .unwrap_or(heights.fold(f64::INFINITY, f64::min))
}

/// Stock boards to buy: length and how many, shortest first.
fn bought(sides: &[FormSide], lengths: &[f64]) -> Vec<(f64, u32)> {
    let stocks: Vec<Stock> = lengths.iter().map(|&length| Stock::by_length(length)).collect();
    let pieces: Vec<f64> = sides.iter().flat_map(|side| side.boards.iter().copied()).collect();
    let problem = CutProblem { stocks: &stocks, pieces: &pieces, kerf: KERF_IN };
    let mut budget = Budget::new(CUTTING_STEPS, Cancel::new());
    // No one can raise this flag, so there is always a plan.
    let plan = cut_stock(&problem, &mut budget).unwrap_or_default();
    let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
    for cut in &plan.cuts {
        *counts.entry(cut.stock).or_default() += 1;
    }
    let mut bought: Vec<(f64, u32)> = counts
        .into_iter()
        .filter_map(|(stock, count)| Some((*lengths.get(stock)?, count)))
        .collect();
    bought.sort_by(|a, b| a.0.total_cmp(&b.0));
    bought
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_side_is_whole_boards_and_one_shorter() {
        assert_eq!(boards_of(360.0, 192.0), vec![192.0, 168.0]);
        assert_eq!(boards_of(192.0, 192.0), vec![192.0]);
        // No six-inch board at the end: the one before is cut.
        assert_eq!(boards_of(390.0, 192.0), vec![192.0, 174.0, 24.0]);
    }

    #[test]
    fn spaces_between_stakes() {
        assert_eq!(spaces(288.0, 36.0), 8);
        assert_eq!(spaces(289.0, 36.0), 9);
        assert_eq!(spaces(10.0, 36.0), 1);
        assert_eq!(spaces(10.0, 0.0), 1);
    }
}
