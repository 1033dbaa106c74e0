//! What of a mark lies within a box: for tiles of a large plan.
//!
//! A path that lies wholly inside stays as it is, curves and all; one that crosses the rim is
//! cut as chords that stand off at most a hundredth of a point.

use super::mark::{Mark, Shape};
use super::{BezPath, Rect, Spot, path};

const CHORD: f64 = 0.01;

/// The part of a mark within `room`; `None` when nothing is. Text stays when all of it fits.
#[must_use]
pub fn clip(mark: &Mark, room: Rect) -> Option<Mark> {
    let shape = match &mark.shape {
        Shape::Text(text) => {
            let bounds = text.bounds();
            (room.union(bounds) == room).then(|| Shape::Text(text.clone()))?
        }
        Shape::Stroke { path, pen } => Shape::Stroke { path: clip_stroke(path, room)?, pen: *pen },
        Shape::Fill { path, ink } => Shape::Fill { path: clip_area(path, room)?, ink: *ink },
        Shape::Hatch { path, hatch } => {
            Shape::Hatch { path: clip_area(path, room)?, hatch: *hatch }
        }
    };
    Some(Mark { layer: mark.layer, tag: mark.tag, shape })
}

fn is_within(course: &BezPath, room: Rect) -> bool {
    path::bounds(course).is_some_and(|bounds| room.union(bounds) == room)
}

fn is_outside(course: &BezPath, room: Rect) -> bool {
    path::bounds(course).is_none_or(|bounds| !room.overlaps(bounds))
}

fn clip_stroke(course: &BezPath, room: Rect) -> Option<BezPath> {
    if is_within(course, room) {
        return Some(course.clone());
    }
    if is_outside(course, room) {
        return None;
    }
    let mut out = BezPath::new();
    for (mut points, is_closed) in path::flatten(course, CHORD) {
        if let (true, Some(&first)) = (is_closed, points.first()) {
            points.push(first);
        }
        let mut pen_at: Option<Spot> = None;
        for pair in points.windows(2) {
            let &[from, to] = pair else { continue };
            let Some((from, to)) = clip_line(from, to, room) else {
                pen_at = None;
                continue;
            };
            if pen_at != Some(from) {
                out.move_to(from);
            }
            out.line_to(to);
            pen_at = Some(to);
        }
    }
    (!out.elements().is_empty()).then_some(out)
}

/// The part of a straight line within a box.
#[must_use]
pub fn clip_line(from: Spot, to: Spot, room: Rect) -> Option<(Spot, Spot)> {
    let step = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let bounds = [
        (-step.x, from.x - room.x0),
        (step.x, room.x1 - from.x),
        (-step.y, from.y - room.y0),
        (step.y, room.y1 - from.y),
    ];
    for (speed, gap) in bounds {
        if speed == 0.0 {
            if gap < 0.0 {
                return None;
            }
        } else if speed < 0.0 {
            enter = enter.max(gap / speed);
        } else {
            leave = leave.min(gap / speed);
        }
    }
    if enter >= leave {
        return None;
    }
    // The ends themselves are kept exactly where they lie inside.
    let start = if enter > 0.0 { from + step * enter } else { from };
    let end = if leave < 1.0 { from + step * leave } else { to };
    Some((start, end))
}

fn clip_area(area: &BezPath, room: Rect) -> Option<BezPath> {
    if is_within(area, room) {
        return Some(area.clone());
    }
    if is_outside(area, room) {
        return None;
    }
    let mut out = BezPath::new();
    for (points, _) in path::flatten(area, CHORD) {
        let mut ring = points;
        for side in 0..4_u8 {
            ring = clip_ring(&ring, side, room);
        }
        if ring.len() > 2 {
            out.extend(path::polygon(&ring).elements().to_vec());
        }
    }
    (!out.elements().is_empty()).then_some(out)
}

/// One side of the box at a time (the method of Sutherland and Hodgman).
fn clip_ring(ring: &[Spot], side: u8, room: Rect) -> Vec<Spot> {
    let inside = |spot: Spot| match side {
        0 => spot.x - room.x0,
        1 => room.x1 - spot.x,
        2 => spot.y - room.y0,
        _ => room.y1 - spot.y,
    };
    let mut out = Vec::with_capacity(ring.len() + 4);
    for (&from, &to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (before, after) = (inside(from), inside(to));
        if before >= 0.0 {
            out.push(from);
        }
        if (before >= 0.0) != (after >= 0.0) {
            out.push(from.lerp(to, before / (before - after)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::{Ink, Layer, Pen};
    use super::*;

    const ROOM: Rect = Rect::new(0.0, 0.0, 100.0, 100.0);
    const LAYER: Layer = Layer("Plan");

    #[test]
    fn a_line_is_cut_at_the_rim() {
        let mark = Mark::stroke(
            LAYER,
            path::line(Spot::new(-50.0, 50.0), Spot::new(150.0, 50.0)),
            Pen::FINE,
        );
        let bounds = clip(&mark, ROOM).unwrap().bounds().unwrap();
        assert_eq!(bounds, Rect::new(0.0, 50.0, 100.0, 50.0));
    }

    #[test]
    fn a_curve_inside_stays_a_curve() {
        let mark = Mark::stroke(LAYER, path::circle(Spot::new(50.0, 50.0), 20.0), Pen::FINE);
        assert_eq!(clip(&mark, ROOM).unwrap(), mark);
    }

    #[test]
    fn an_area_keeps_what_lies_inside() {
        let mark =
            Mark::fill(LAYER, path::rectangle(Rect::new(-20.0, -20.0, 30.0, 40.0)), Ink::LightGray);
        let Shape::Fill { path, .. } = clip(&mark, ROOM).unwrap().shape else { panic!() };
        assert_eq!(path::bounds(&path).unwrap(), Rect::new(0.0, 0.0, 30.0, 40.0));
        let away = Mark::fill(LAYER, path::circle(Spot::new(500.0, 50.0), 20.0), Ink::Black);
        assert!(clip(&away, ROOM).is_none());
    }
}
