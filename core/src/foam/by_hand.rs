//! Boards laid by hand: a start corner dragged, a piece locked, a zone drawn, and the count while
//! dragging.
//!
//! Questions: which layer does the hand's change make, and how many boards would it take? What a
//! person fixes stands in the job ([`FoamLayer::start_corner`], [`FoamLayer::locked`]); these
//! functions make the changed build-up for [`crate::edit::Edit::SetBuildUp`], and
//! [`count_while_dragging`] lays it with a short search.

use super::{Foam, FoamLayout, PieceSurface};
use crate::effort::{Cancel, Cancelled};
use crate::geometry::{Point, Vector};
use crate::job::Job;
use crate::job::build_up::{BuildUp, Coverage, FoamLayer, LockedPiece};
use crate::plan::Plan;

/// Steps a layer while something is dragged: a tenth of the full search.
const DRAG_STEPS: u64 = 8_000;
/// Locks whose ends are nearer than this are one, inches.
const ONE_LOCK: f64 = 1.0;

/// Foam of a job after a short search, for the count beside the pointer. It never shows fewer
/// boards than could be had, and may show one or two more than the full search that follows.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn count_while_dragging(job: &Job, plan: &Plan, cancel: &Cancel) -> Result<Foam, Cancelled> {
    super::lay::lay_within(job, plan, (DRAG_STEPS, cancel))
}

/// The corner of the outline nearest to a place, where a start corner snaps to.
#[must_use]
pub fn nearest_corner(plan: &Plan, at: Point) -> Option<Point> {
    let apart = |corner: &Point| corner.distance(at);
    plan.region.outer.iter().copied().min_by(|a, b| apart(a).total_cmp(&apart(b)))
}

/// The build-up in which a layer starts with a whole board at a corner, or is free to.
#[must_use]
pub fn with_start_corner(build_up: &BuildUp, layer: usize, corner: Option<Point>) -> BuildUp {
    changed(build_up, layer, |layer| layer.start_corner = corner)
}

/// The build-up in which a layer covers one zone more, its corners in order; a layer that covered
/// all of the floor or a band covers this zone alone.
#[must_use]
pub fn with_zone(build_up: &BuildUp, layer: usize, corners: Vec<Point>) -> BuildUp {
    changed(build_up, layer, |layer| match &mut layer.coverage {
        Coverage::Zones(zones) => zones.push(corners),
        Coverage::Full | Coverage::Perimeter(_) => layer.coverage = Coverage::Zones(vec![corners]),
    })
}

/// The build-up in which a layer does without one of its zones, named by its place; without the
/// last of them it covers all of the floor again.
#[must_use]
pub fn without_zone(build_up: &BuildUp, layer: usize, zone: usize) -> BuildUp {
    changed(build_up, layer, |layer| {
        if let Coverage::Zones(zones) = &mut layer.coverage
            && zone < zones.len()
        {
            zones.remove(zone);
            if zones.is_empty() {
                layer.coverage = Coverage::Full;
            }
        }
    })
}

/// The build-up in which a piece (its place in [`FoamLayout::pieces`]) is locked, or set free when
/// it was. Only pieces under the floor can be locked.
#[must_use]
pub fn with_lock_toggled(
    build_up: &BuildUp,
    (layer, layout): (usize, &FoamLayout),
    piece: usize,
) -> BuildUp {
    let Some(lock) = lock_of(layout, piece) else { return build_up.clone() };
    changed(build_up, layer, |layer| {
        let before = layer.locked.len();
        layer.locked.retain(|kept| !is_one(kept, &lock));
        if layer.locked.len() == before {
            layer.locked.push(lock);
        }
    })
}

/// Whether a piece is locked in its layer.
#[must_use]
pub fn is_locked(layer: &FoamLayer, layout: &FoamLayout, piece: usize) -> bool {
    lock_of(layout, piece).is_some_and(|lock| layer.locked.iter().any(|kept| is_one(kept, &lock)))
}

fn changed(build_up: &BuildUp, layer: usize, change: impl FnOnce(&mut FoamLayer)) -> BuildUp {
    let mut build_up = build_up.clone();
    if let Some(layer) = build_up.foam_layers.get_mut(layer) {
        change(layer);
    }
    build_up
}

fn is_one(a: &LockedPiece, b: &LockedPiece) -> bool {
    a.from.distance(b.from) < ONE_LOCK && a.to.distance(b.to) < ONE_LOCK
}

/// What holds a piece where it lies: its ends on the lower line of its course.
#[must_use]
pub fn lock_of(layout: &FoamLayout, piece: usize) -> Option<LockedPiece> {
    let piece = layout.pieces.get(piece).filter(|piece| piece.surface == PieceSurface::Floor)?;
    let along = Vector::from_angle(layout.direction);
    let frame = super::frame::Frame::of(along)?;
    let mut span = (f64::INFINITY, f64::NEG_INFINITY);
    let mut low = f64::INFINITY;
    for point in &piece.outline {
        let at = frame.course_from_plan(*point);
        span = (span.0.min(at.x), span.1.max(at.x));
        low = low.min(at.y);
    }
    if layout.board_width <= 0.0 || !low.is_finite() {
        return None;
    }
    let grid = layout.course_lines.get(&piece.course).copied().unwrap_or(layout.course_line);
    let course = ((low + 0.1 - grid) / layout.board_width).floor();
    let line = grid + course * layout.board_width;
    let on_line = |x: f64| frame.plan_from_course(Point::new(x, line));
    Some(LockedPiece { from: on_line(span.0), to: on_line(span.1) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    #[test]
    fn zones_are_added_and_taken_off_one_by_one() {
        let build_up = BuildUp::default();
        let ring =
            |x: f64| vec![Point::feet(x, 0.0), Point::feet(x + 4.0, 0.0), Point::feet(x, 4.0)];
        let one = with_zone(&build_up, 0, ring(0.0));
        let two = with_zone(&one, 0, ring(8.0));
        assert_eq!(two.foam_layers[0].coverage, Coverage::Zones(vec![ring(0.0), ring(8.0)]));
        assert_eq!(without_zone(&two, 0, 1), one);
        assert_eq!(without_zone(&two, 0, 2), two, "there is no third");
        assert_eq!(without_zone(&one, 0, 0), build_up, "all of the floor again");
        assert_eq!(with_zone(&build_up, 3, ring(0.0)), build_up, "there is no such layer");
    }

    fn house() -> (Job, Plan) {
        let job = Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(39.0, 0.0), None),
            (Point::feet(39.0, 27.5), None),
            (Point::feet(0.0, 27.5), None),
        ]);
        let plan = Plan::of(&job);
        (job, plan)
    }

    fn lay(job: &Job, plan: &Plan) -> FoamLayout {
        let foam = super::super::lay::lay_all(job, plan, &Cancel::new()).unwrap();
        foam.layers[0].clone()
    }

    #[test]
    fn a_locked_piece_stays_where_it_lies_when_the_rest_changes() {
        let (mut job, plan) = house();
        let layout = lay(&job, &plan);
        let place = layout.pieces.len() / 2;
        let locked = with_lock_toggled(&job.build_up, (0, &layout), place);
        assert!(is_locked(&locked.foam_layers[0], &layout, place));
        let kept = layout.pieces[place].outline.clone();
        *Arc::make_mut(&mut job.build_up) = locked;
        Arc::make_mut(&mut job.build_up).foam_cutting.least_stagger =
            crate::units::Length::inches(20.0);
        let again = lay(&job, &plan);
        let is_same = |outline: &[Point]| {
            outline.len() == kept.len()
                && outline.iter().all(|p| kept.iter().any(|q| p.distance(*q) < 0.01))
        };
        assert!(again.pieces.iter().any(|piece| is_same(&piece.outline)), "{kept:?}");
        let free = with_lock_toggled(&job.build_up, (0, &layout), place);
        assert!(free.foam_layers[0].locked.is_empty());
    }

    #[test]
    fn a_dragged_corner_is_counted_and_never_under_the_bound() {
        let (mut job, plan) = house();
        let corner = nearest_corner(&plan, Point::feet(38.0, 1.0)).unwrap();
        assert!(corner.distance(Point::feet(39.0, 0.0)) < 1e-9);
        *Arc::make_mut(&mut job.build_up) = with_start_corner(&job.build_up, 0, Some(corner));
        let foam = count_while_dragging(&job, &plan, &Cancel::new()).unwrap();
        let full = lay(&job, &plan);
        assert!(foam.layers[0].boards >= foam.layers[0].bound);
        assert!(foam.layers[0].boards <= full.boards + 2);
    }
}
