//! The ground as measured: a surface through the shots, and the volumes between it and the target.
//!
//! The surface is the triangles of [`super::triangulation`]: it honours every shot and invents
//! nothing between them. Beyond the outermost shots it goes on level for [`BEYOND_SHOTS_IN`], at
//! the height of the nearest place on their hull; farther out nobody measured, and that is said.
//! Every piece is clipped to the slab and cut where it crosses the target or the tolerance, so
//! volumes and areas are exact sums. Heights are inches above target; the slab's arcs are chords.

use super::SubgradeSurvey;
use super::triangulation::triangulate;
use crate::concrete::convex::{Plane, area, clipped, cut, sides_of, volume_under};
use crate::concrete::partition::trapezoids;
use crate::geometry::{Bounds, Point, Polygon, Vector, clip};
use crate::job::Job;
use crate::plan::Plan;

/// How far the surface goes on beyond the outermost shots, inches.
pub(crate) const BEYOND_SHOTS_IN: f64 = 48.0;
/// A corner of the shots' hull is rounded in steps of at most this, radians.
const ROUNDING_STEP: f64 = 0.3;

/// A convex piece of the measured surface.
struct Piece {
    corners: Vec<Point>,
    height: Plane,
}

/// The measured ground of a job.
pub(super) fn survey(job: &Job, plan: &Plan) -> SubgradeSurvey {
    let subgrade = &job.subgrade;
    let tolerance = subgrade.tolerance.to_inches().max(0.0);
    let target = subgrade.target_height.to_inches();
    let mut shots: Vec<(Point, f64)> = Vec::new();
    for shot in subgrade.shots.iter().filter(|shot| shot.at.is_finite()) {
        // Of two shots at one place the later one counts: it was taken to correct the first.
        let height = shot.height.to_inches() - target;
        match shots.iter_mut().find(|(at, _)| at.is_near(shot.at)) {
            Some(earlier) => *earlier = (shot.at, height),
            None => shots.push((shot.at, height)),
        }
    }
    let mut result = SubgradeSurvey {
        shots: shots.len(),
        out_of_tolerance: shots
            .iter()
            .copied()
            .filter(|(_, height)| height.abs() > tolerance)
            .collect(),
        extremes: extremes(&shots),
        ..SubgradeSurvey::default()
    };
    if shots.is_empty() || plan.is_empty() {
        return result;
    }
    let points: Vec<Point> = shots.iter().map(|shot| shot.0).collect();
    let found = triangulate(&points);
    let hull: Vec<(Point, f64)> =
        found.hull.iter().filter_map(|&index| shots.get(index).copied()).collect();
    let mut pieces: Vec<Piece> = found
        .triangles
        .iter()
        .filter_map(|triangle| {
            let corner = |index: usize| shots.get(index).copied();
            let [a, b, c] = *triangle;
            let places = [corner(a)?, corner(b)?, corner(c)?];
            let corners = places.map(|place| place.0).to_vec();
            Some(Piece { corners, height: Plane::through(places) })
        })
        .collect();
    let (beyond, reach) = beyond_hull(&hull);
    pieces.extend(beyond);
    add_up(&mut result, &pieces, plan, tolerance);
    let reached = if reach.len() > 2 { vec![Polygon::new(reach, Vec::new())] } else { Vec::new() };
    super::contours::complete(&mut result);
    result.unmeasured = clip::difference(std::slice::from_ref(&plan.region), &reached);
    result
}

/// Clips every piece to the slab and adds up what it holds.
fn add_up(result: &mut SubgradeSurvey, pieces: &[Piece], plan: &Plan, tolerance: f64) {
    let tiles: Vec<(Bounds, Vec<Point>)> = trapezoids(&plan.region)
        .into_iter()
        .filter_map(|tile| Some((Bounds::of(tile.iter().copied())?, tile)))
        .collect();
    let mut within = 0.0;
    for piece in pieces {
        let Some(bounds) = Bounds::of(piece.corners.iter().copied()) else { continue };
        for (tile_bounds, tile) in &tiles {
            if !tile_bounds.touches(bounds) {
                continue;
            }
            let part = clipped(&piece.corners, sides_of(tile));
            if part.is_empty() {
                continue;
            }
            let height = piece.height;
            let halves = cut(&part, |place| height.at(place));
            result.cut += volume_under(&halves.inside, height);
            result.fill -= volume_under(&halves.outside, height);
            let not_high = cut(&part, |place| tolerance - height.at(place)).inside;
            let not_low = cut(&not_high, |place| tolerance + height.at(place)).inside;
            within += area(&not_low);
            for (b, c) in part.iter().skip(1).zip(part.iter().skip(2)) {
                if let Some(a) = part.first() {
                    result.triangles.push([*a, *b, *c].map(|corner| (corner, height.at(corner))));
                }
            }
        }
    }
    let slab = plan.region.area();
    result.share_in_tolerance = if slab > 0.0 { (within / slab).clamp(0.0, 1.0) } else { 0.0 };
    result.extra_concrete = result.fill;
}

/// The surface beyond the hull: a strip along every side and a fan round every corner, and the
/// ring that they reach to.
fn beyond_hull(hull: &[(Point, f64)]) -> (Vec<Piece>, Vec<Point>) {
    let (mut pieces, mut reach) = (Vec::new(), Vec::new());
    let outward = |from: Point, to: Point| (to - from).unit().map(|step| -step.left());
    let count = hull.len();
    let corner = |index: usize| hull.get(index % count.max(1)).copied();
    for index in 0..count {
        let (Some(before), Some(from), Some(to)) =
            (corner(index + count - 1), corner(index), corner(index + 1))
        else {
            continue;
        };
        let (Some(out_before), Some(out)) = (outward(before.0, from.0), outward(from.0, to.0))
        else {
            continue;
        };
        let arc = fan(from.0, out_before, out);
        for (a, b) in arc.iter().zip(arc.iter().skip(1)) {
            pieces.push(Piece { corners: vec![from.0, *a, *b], height: Plane::level(from.1) });
        }
        reach.extend(arc);
        let (far_from, far_to) = (from.0 + out * BEYOND_SHOTS_IN, to.0 + out * BEYOND_SHOTS_IN);
        pieces.push(Piece {
            corners: vec![from.0, far_from, far_to, to.0],
            height: Plane::through([from, to, (far_from, from.1)]),
        });
    }
    for piece in &mut pieces {
        if area(&piece.corners) < 0.0 {
            piece.corners.reverse();
        }
    }
    (pieces, reach)
}

/// Points round a corner of the hull from one outward step to the next, counter-clockwise.
fn fan(at: Point, from: Vector, to: Vector) -> Vec<Point> {
    let turn = from.cross(to).max(0.0);
    let angle = crate::units::exact_math::atan2(turn, from.dot(to));
    #[expect(clippy::cast_possible_truncation, reason = "at most eleven steps")]
    #[expect(clippy::cast_sign_loss, reason = "a quotient of two positive numbers")]
    let steps = ((angle / ROUNDING_STEP).ceil() as u32).max(1);
    let start = from.angle();
    (0..=steps)
        .map(|step| {
            let turned = angle * f64::from(step) / f64::from(steps);
            at + Vector::from_angle(start + turned) * BEYOND_SHOTS_IN
        })
        .collect()
}

/// The highest and the lowest shot.
fn extremes(shots: &[(Point, f64)]) -> Option<[(Point, f64); 2]> {
    let highest = shots.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let lowest = shots.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some([highest, lowest])
}
