//! Wings that stand at an angle: the floor is cut from an inside corner along one of its walls'
//! directions, and each part is laid out in the frame of its own walls.
//!
//! Tried only where the floor in one frame breaks rules or needs turned ends. Cuts are ranked by
//! how much of the parts' walls stand in their own best frames; the few best are laid out, and
//! one is taken when the whole costs less than uncut.

use super::ground::{Frame, Ground, frames_of};
use super::halves::{Axis, Side};
use super::rules::{JointRules, penalty};
use super::search::{Aim, Laid, halves, search_one_piece};
use crate::effort::{Budget, Cancelled};
use crate::geometry::{Point, Polygon};

/// Cuts laid out, at most.
const MOST_CUTS: usize = 4;

/// A floor of more corners than this is cut in the one best way only: each part is slow there.
const MANY_CORNERS: usize = 20;

/// A better layout with the floor cut at a wing, if there is one.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn cut_at_wings(
    ground: &Ground,
    rules: &JointRules,
    aims: &[Aim],
    uncut: &Laid,
    budget: &mut Budget,
) -> Result<Option<Vec<Laid>>, Cancelled> {
    if uncut.broken < penalty::SQUARE_END * 1.5 || frames_of(&ground.region, 2).len() < 2 {
        return Ok(None);
    }
    let mut best: Option<(f64, Vec<Laid>)> = None;
    let most = if ground.corners.len() > MANY_CORNERS { 1 } else { MOST_CUTS };
    for (_, sawn, pieces) in ranked_cuts(ground).into_iter().take(most) {
        if budget.is_spent() {
            break;
        }
        let most_cost = best.as_ref().map_or(uncut.cost, |(cost, _)| *cost);
        let mut laid = vec![Laid { cost: sawn, ..Laid::default() }; aims.len()];
        for piece in pieces {
            if laid.first().is_none_or(|laid| laid.cost >= most_cost) {
                break;
            }
            let part = Ground { region: piece, ..ground.clone() };
            let found = search_one_piece(&part, rules, aims, budget)?;
            for (laid, found) in laid.iter_mut().zip(found) {
                laid.cost += found.cost;
                laid.broken += found.broken;
                laid.panels.extend(found.panels);
                laid.frame = laid.frame.or(found.frame);
            }
        }
        let cost = laid.first().map_or(f64::INFINITY, |laid| laid.cost);
        let is_better =
            cost < uncut.cost - 1.0 && best.as_ref().is_none_or(|(known, _)| cost < *known);
        if is_better {
            best = Some((cost, laid));
        }
    }
    Ok(best.map(|(_, laid)| laid))
}

/// Cuts from inside corners with their sawing and the parts they make, best first.
fn ranked_cuts(ground: &Ground) -> Vec<(f64, f64, Vec<Polygon>)> {
    let corners: Vec<Point> = ground
        .inside_corners()
        .filter(|&corner| {
            crate::geometry::nearest::distance_to_sides(corner, &ground.region) < 0.05
        })
        .collect();
    let mut cuts: Vec<(f64, f64, Vec<Polygon>)> = Vec::new();
    for (frame, _) in frames_of(&ground.region, 3) {
        let turned = frame.enter_region(&ground.region);
        for &corner in &corners {
            let at = frame.enter(corner);
            for axis in [Axis::X, Axis::Y] {
                let pieces: Vec<Polygon> = [Side::Below, Side::Above]
                    .into_iter()
                    .flat_map(|side| halves(&turned, axis, axis.of(at), side))
                    .map(|piece| left(frame, &piece))
                    .collect();
                if pieces.len() < 2 || pieces.len() > 3 {
                    continue;
                }
                let sawn: f64 = super::stretches::inner_stretches(&turned, axis, axis.of(at))
                    .iter()
                    .map(|(from, to)| to - from)
                    .sum();
                let in_frame: f64 = pieces
                    .iter()
                    .map(|piece| {
                        let share = frames_of(piece, 1).first().map_or(0.0, |first| first.1);
                        share * piece.area()
                    })
                    .sum();
                cuts.push((in_frame, sawn, pieces));
            }
        }
    }
    cuts.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
    cuts
}

fn left(frame: Frame, piece: &Polygon) -> Polygon {
    let ring = |ring: &Vec<Point>| ring.iter().map(|&point| frame.leave(point)).collect();
    Polygon { outer: ring(&piece.outer), holes: piece.holes.iter().map(ring).collect() }
}
