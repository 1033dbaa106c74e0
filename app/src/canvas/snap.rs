//! Where a pointed place is likely meant to be: corners, middles, crossings, square, in line,
//! on a side, and even measures.
//!
//! The nearest candidate of the highest rank within reach wins; without any, the place goes to
//! an even measure that suits the zoom. Each answer carries a word, which the canvas shows beside
//! its mark, and the lines that lead the eye to it.

use slabloom_core::geometry::nearest::{meeting_of_lines, nearest_on_line};
use slabloom_core::geometry::{Point, Vector};

/// Why a place snapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SnapKind {
    /// A corner, a centre or another marked place.
    Corner,
    /// Where two lines cross.
    Crossing,
    /// The middle of a side.
    Middle,
    /// Square to a side or in line with a corner, both ways at once.
    SquareAndInLine,
    /// Straight east, north, west or south of where the tool measures from.
    Square,
    /// Along the direction of another side.
    Parallel,
    /// Square to the direction of another side.
    Perpendicular,
    /// In line with a corner.
    InLine,
    /// On a side.
    Side,
    /// A whole foot, or an even part of one.
    Even,
    /// Snapping was held off.
    Free,
}

impl SnapKind {
    /// The word beside the mark.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::Crossing => "crossing",
            Self::Middle => "middle",
            Self::SquareAndInLine => "square, in line",
            Self::Square => "square",
            Self::Parallel => "parallel",
            Self::Perpendicular => "perpendicular",
            Self::InLine => "in line",
            Self::Side => "on side",
            Self::Even => "even",
            Self::Free => "free",
        }
    }
}

/// A snapped place.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapped {
    /// The place.
    pub at: Point,
    /// Why.
    pub kind: SnapKind,
    /// Lines that lead the eye to it.
    pub guides: Vec<(Point, Point)>,
}

/// What there is to snap to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SnapScene {
    /// Corners and centres.
    pub corners: Vec<Point>,
    /// Straight lines.
    pub lines: Vec<(Point, Point)>,
    /// Where the tool measures from.
    pub anchor: Option<Point>,
    /// The step of even measures, inches.
    pub even_step: f64,
}

/// The step of even measures for a zoom in screen points an inch: a foot far out, an inch near.
#[must_use]
pub fn even_step(zoom: f64) -> f64 {
    // The steps keep at least six screen points apart, so that any of them can be pointed at.
    [1.0, 3.0, 6.0, 12.0, 24.0, 60.0].into_iter().find(|step| step * zoom >= 6.0).unwrap_or(120.0)
}

/// Snaps a place within `reach` inches.
#[must_use]
pub fn snap(raw: Point, scene: &SnapScene, reach: f64) -> Snapped {
    let found = corner(raw, scene, reach)
        .or_else(|| crossing(raw, scene, reach))
        .or_else(|| middle(raw, scene, reach))
        .or_else(|| square(raw, scene, reach))
        .or_else(|| slanted(raw, scene, reach))
        .or_else(|| in_line(raw, scene, reach))
        .or_else(|| on_side(raw, scene, reach));
    found.unwrap_or_else(|| Snapped {
        at: Point::new(even(raw.x, scene.even_step), even(raw.y, scene.even_step)),
        kind: SnapKind::Even,
        guides: Vec::new(),
    })
}

fn even(value: f64, step: f64) -> f64 {
    if step > 0.0 { (value / step).round() * step } else { value }
}

fn nearest(raw: Point, candidates: impl Iterator<Item = Point>, reach: f64) -> Option<Point> {
    candidates
        .map(|at| (at, at.distance(raw)))
        .filter(|(_, distance)| *distance <= reach)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(at, _)| at)
}

fn mark(at: Point, kind: SnapKind) -> Snapped {
    Snapped { at, kind, guides: Vec::new() }
}

fn corner(raw: Point, scene: &SnapScene, reach: f64) -> Option<Snapped> {
    nearest(raw, scene.corners.iter().copied(), reach).map(|at| mark(at, SnapKind::Corner))
}

fn middle(raw: Point, scene: &SnapScene, reach: f64) -> Option<Snapped> {
    let middles = scene.lines.iter().map(|(from, to)| from.middle(*to));
    nearest(raw, middles, reach).map(|at| mark(at, SnapKind::Middle))
}

/// Crossings of lines that are both within reach; few are, so that pairs are cheap.
fn crossing(raw: Point, scene: &SnapScene, reach: f64) -> Option<Snapped> {
    let near: Vec<(Point, Point)> = scene
        .lines
        .iter()
        .copied()
        .filter(|(from, to)| nearest_on_line(raw, *from, *to).distance(raw) <= reach)
        .collect();
    let crossings = near.iter().enumerate().flat_map(|(index, a)| {
        near.iter().skip(index + 1).filter_map(move |b| meeting_of_lines(*a, *b))
    });
    nearest(raw, crossings, reach).map(|at| mark(at, SnapKind::Crossing))
}

/// Straight along an axis or along a neighbouring line's direction from the anchor; the length
/// goes in line with a corner where one is near, else to an even measure.
fn square(raw: Point, scene: &SnapScene, reach: f64) -> Option<Snapped> {
    let anchor = scene.anchor?;
    let arm = raw - anchor;
    if arm.length() < reach {
        return None;
    }
    let mut directions = vec![Vector::new(1.0, 0.0), Vector::new(0.0, 1.0)];
    for (from, to) in &scene.lines {
        let touches = from.is_near(anchor) || to.is_near(anchor);
        if let (true, Some(along)) = (touches, (*to - *from).unit()) {
            directions.push(along);
            directions.push(along.left());
        }
    }
    let (along, off) = directions
        .into_iter()
        .map(|along| (along, arm.cross(along).abs()))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    if off > reach {
        return None;
    }
    let length = arm.dot(along);
    let lined_up = scene
        .corners
        .iter()
        .map(|corner| (*corner, (*corner - anchor).dot(along)))
        .filter(|(_, at)| (at - length).abs() <= reach && at.abs() > reach)
        .min_by(|a, b| (a.1 - length).abs().total_cmp(&(b.1 - length).abs()));
    Some(match lined_up {
        Some((corner, at)) => {
            let at = anchor + along * at;
            Snapped {
                at,
                kind: SnapKind::SquareAndInLine,
                guides: vec![(anchor, at), (corner, at)],
            }
        }
        None => {
            let at = anchor + along * even(length, scene.even_step);
            Snapped { at, kind: SnapKind::Square, guides: vec![(anchor, at)] }
        }
    })
}

/// Along or across a side that runs askew, from the anchor: what `square` does for the axes.
fn slanted(raw: Point, scene: &SnapScene, reach: f64) -> Option<Snapped> {
    let anchor = scene.anchor?;
    let arm = raw - anchor;
    if arm.length() < reach * 2.0 {
        return None;
    }
    let askew = scene.lines.iter().filter_map(|(from, to)| {
        let along = (*to - *from).unit()?;
        let is_askew = along.x.abs() > 1e-6 && along.y.abs() > 1e-6;
        is_askew.then_some((along, from.middle(*to)))
    });
    let (along, kind, middle) = askew
        .flat_map(|(along, middle)| {
            [(along, SnapKind::Parallel, middle), (along.left(), SnapKind::Perpendicular, middle)]
        })
        .min_by(|a, b| arm.cross(a.0).abs().total_cmp(&arm.cross(b.0).abs()))?;
    if arm.cross(along).abs() > reach {
        return None;
    }
    let at = anchor + along * even(arm.dot(along), scene.even_step);
    Some(Snapped { at, kind, guides: vec![(anchor, at), (middle, at)] })
}

/// East or north in line with a corner, both where two corners offer it.
fn in_line(raw: Point, scene: &SnapScene, reach: f64) -> Option<Snapped> {
    // Half the reach: being in line is a weaker guess than the others.
    let reach = reach * 0.5;
    let nearest_by = |distance: &dyn Fn(&Point) -> f64| {
        scene
            .corners
            .iter()
            .filter(|corner| distance(corner) <= reach)
            .min_by(|a, b| a.distance(raw).total_cmp(&b.distance(raw)))
            .copied()
    };
    let x = nearest_by(&|corner| (corner.x - raw.x).abs());
    let y = nearest_by(&|corner| (corner.y - raw.y).abs());
    if x.is_none() && y.is_none() {
        return None;
    }
    let at = Point::new(
        x.map_or_else(|| even(raw.x, scene.even_step), |corner| corner.x),
        y.map_or_else(|| even(raw.y, scene.even_step), |corner| corner.y),
    );
    let guides = [x, y].into_iter().flatten().map(|corner| (corner, at)).collect();
    Some(Snapped { at, kind: SnapKind::InLine, guides })
}

fn on_side(raw: Point, scene: &SnapScene, reach: f64) -> Option<Snapped> {
    let (line, at) = scene
        .lines
        .iter()
        .map(|line| (line, nearest_on_line(raw, line.0, line.1)))
        .filter(|(_, at)| at.distance(raw) <= reach)
        .min_by(|a, b| a.1.distance(raw).total_cmp(&b.1.distance(raw)))?;
    // Along the side to an even measure from its start.
    let along = (line.1 - line.0).unit()?;
    let length = even((at - line.0).dot(along), scene.even_step);
    let length = length.clamp(0.0, line.0.distance(line.1));
    Some(mark(line.0 + along * length, SnapKind::Side))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scene() -> SnapScene {
        let corners = vec![Point::feet(0.0, 0.0), Point::feet(40.0, 0.0), Point::feet(40.0, 28.0)];
        let lines = vec![(corners[0], corners[1]), (corners[1], corners[2])];
        SnapScene { corners, lines, anchor: None, even_step: 12.0 }
    }

    #[test]
    fn each_snap_has_its_place_and_word() {
        let mut scene = scene();
        let word = |scene: &SnapScene, x: f64, y: f64| {
            let snapped = snap(Point::feet(x, y), scene, 6.0);
            (snapped.kind.word(), snapped.at)
        };
        assert_eq!(word(&scene, 40.3, 0.2), ("corner", Point::feet(40.0, 0.0)));
        assert_eq!(word(&scene, 20.2, 0.1), ("middle", Point::feet(20.0, 0.0)));
        assert_eq!(word(&scene, 13.2, 0.3), ("on side", Point::feet(13.0, 0.0)));
        assert_eq!(word(&scene, 12.3, 13.4), ("even", Point::feet(12.0, 13.0)));
        assert_eq!(word(&scene, 12.4, 28.1), ("in line", Point::feet(12.0, 28.0)));
        scene.anchor = Some(Point::feet(5.0, 13.0));
        assert_eq!(word(&scene, 12.4, 13.3), ("square", Point::feet(12.0, 13.0)));
        assert_eq!(word(&scene, 39.8, 12.8), ("square, in line", Point::feet(40.0, 13.0)));
    }

    #[test]
    fn a_line_goes_along_or_across_a_side_that_runs_askew() {
        let slant = (Point::feet(0.0, 0.0), Point::feet(12.0, 9.0));
        let scene = SnapScene {
            lines: vec![slant],
            anchor: Some(Point::feet(30.0, 2.0)),
            even_step: 12.0,
            ..SnapScene::default()
        };
        let along = snap(Point::feet(38.1, 8.0), &scene, 6.0);
        assert_eq!(along.kind, SnapKind::Parallel);
        assert!(along.at.distance(Point::feet(38.0, 8.0)) < 1e-6, "{:?}", along.at);
        let across = snap(Point::feet(26.9, 6.1), &scene, 6.0);
        assert_eq!(across.kind, SnapKind::Perpendicular);
        assert!(across.at.distance(Point::feet(27.0, 6.0)) < 1e-6, "{:?}", across.at);
    }

    #[test]
    fn even_steps_can_be_pointed_at() {
        assert!((even_step(1.2) - 6.0).abs() < 1e-9);
        assert!((even_step(0.1) - 60.0).abs() < 1e-9);
        assert!((even_step(8.0) - 1.0).abs() < 1e-9);
    }
}
