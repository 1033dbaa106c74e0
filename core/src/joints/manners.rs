//! Other ways to take a floor apart, for floors on which the first leaves a sharp corner.
//!
//! Two things make such corners where a better layout exists. A joint and the one across it end on
//! a slanted wall a foot or two apart and leave a crumb that no neighbour can take: then both are
//! wanted at the same place of the wall, or finer splits. And a large floor was cut first along a
//! line that the best layout does not have: then another first cut is tried.

use super::candidates::{CandidateLimits, candidate_lines};
use super::ground::Ground;
use super::halves::Axis;
use super::rules::JointRules;

/// A way to take a floor apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Manner {
    /// How many of the best first cuts of a large floor are passed over.
    pub skipped_cuts: usize,
    /// Further lines across each axis.
    pub further: [Vec<f64>; 2],
    /// Lines across an axis beyond the usual number.
    pub more_lines: usize,
}

/// Lines beyond the usual number where finer splits alone are tried.
const FINER_LINES: usize = 12;
/// First cuts passed over, at most.
const MOST_SKIPPED: usize = 3;

/// The ways to try after the first, in order.
#[must_use]
pub fn other_manners(ground: &Ground, rules: &JointRules) -> Vec<Manner> {
    let further = lines_through_walls(ground, rules);
    let more_lines = further.iter().map(Vec::len).max().unwrap_or(0).min(8);
    let plain = |skipped_cuts| Manner { skipped_cuts, ..Manner::default() };
    let met = |skipped_cuts| Manner { skipped_cuts, further: further.clone(), more_lines };
    let finer = Manner { more_lines: FINER_LINES, ..Manner::default() };
    let all = (0..=MOST_SKIPPED).flat_map(|skipped| [met(skipped), plain(skipped)]);
    std::iter::once(finer).chain(all.filter(|manner| *manner != Manner::default())).collect()
}

/// Where the lines across one axis cross slanted walls, as lines across the other axis.
fn lines_through_walls(ground: &Ground, rules: &JointRules) -> [Vec<f64>; 2] {
    let Some(bounds) = ground.region.bounds() else { return Default::default() };
    let limits = CandidateLimits { most: 20, extra_parts: 0 };
    let met_by = |axis: Axis| {
        let lines = candidate_lines(ground, bounds, axis, rules.spacing, &[], limits);
        let walls = ground.region.edges().filter(|&(from, to)| {
            let step = to - from;
            step.x.abs().min(step.y.abs()) > 0.02 * step.length()
        });
        let mut met: Vec<f64> = walls
            .flat_map(|(from, to)| {
                let (start, end) = (axis.of(from), axis.of(to));
                lines
                    .iter()
                    .filter(move |at| (**at - start) * (**at - end) < 0.0)
                    .map(move |at| axis.along(from.toward(to, (at - start) / (end - start))))
                    .collect::<Vec<_>>()
            })
            .collect();
        met.sort_by(f64::total_cmp);
        met.dedup_by(|b, a| *b - *a < 1.0);
        met
    };
    // A place met by upright lines is a height for level ones.
    [met_by(Axis::Y), met_by(Axis::X)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Polygon};

    #[test]
    fn lines_meet_on_a_slanted_wall() {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 17.0), (27.0, 30.0), (0.0, 30.0)];
        let region = Polygon::new(corners.map(|(x, y)| Point::feet(x, y)).to_vec(), Vec::new());
        let ground = Ground { region, ..Ground::default() };
        let rules = JointRules::with_spacing(120.0, 1.5);
        let [upright, level] = lines_through_walls(&ground, &rules);
        assert!(!level.is_empty() && !upright.is_empty());
        // The wall runs where feet across and up add up to 57.
        let lines = |axis| {
            let bounds = ground.region.bounds().unwrap();
            let limits = CandidateLimits { most: 20, extra_parts: 0 };
            candidate_lines(&ground, bounds, axis, 120.0, &[], limits)
        };
        let adds_up = |a: f64, others: &[f64]| others.iter().any(|b| (a + b - 684.0).abs() < 1e-6);
        assert!(upright.iter().all(|&x| adds_up(x, &lines(Axis::Y))));
        assert!(level.iter().all(|&y| adds_up(y, &lines(Axis::X))));
    }
}
