//! Course axes: the plan turned so that courses run along x.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use crate::geometry::{Point, Polygon, Vector};

/// Coordinates nearer than this are one line, inches: above the noise of the boolean engine,
/// far below what a knife can follow.
const ONE_LINE: f64 = 4e-5;

/// The direction of courses as a unit step; course axes have their origin at the plan's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Frame {
    /// Along the courses.
    pub along: Vector,
}

impl Frame {
    /// A frame along a direction; exact when it is a quarter turn.
    pub fn of(along: Vector) -> Option<Self> {
        let unit = along.unit()?;
        let snapped = |part: f64| {
            if part.abs() < 1e-9 {
                0.0
            } else if (part.abs() - 1.0).abs() < 1e-12 {
                part.signum()
            } else {
                part
            }
        };
        Some(Self { along: Vector::new(snapped(unit.x), snapped(unit.y)) })
    }

    /// A place in course axes.
    pub fn course_from_plan(&self, p: Point) -> Point {
        let d = self.along;
        Point::new(d.x * p.x + d.y * p.y, d.x * p.y - d.y * p.x)
    }

    /// A place in plan.
    pub fn plan_from_course(&self, p: Point) -> Point {
        let d = self.along;
        Point::new(d.x * p.x - d.y * p.y, d.y * p.x + d.x * p.y)
    }

    /// An area in course axes, with sides that run along or across made exactly so.
    pub fn into_course(self, area: &[Polygon]) -> Vec<Polygon> {
        let mut turned: Vec<Polygon> = area
            .iter()
            .map(|polygon| Polygon {
                outer: polygon.outer.iter().map(|p| self.course_from_plan(*p)).collect(),
                holes: polygon
                    .holes
                    .iter()
                    .map(|hole| hole.iter().map(|p| self.course_from_plan(*p)).collect())
                    .collect(),
            })
            .collect();
        let values = |of: fn(&Point) -> f64| {
            let mut all: Vec<f64> =
                turned.iter().flat_map(Polygon::rings).flatten().map(of).collect();
            all.sort_by(f64::total_cmp);
            all
        };
        let (along, across) = (lines(&values(|p| p.x)), lines(&values(|p| p.y)));
        for point in turned
            .iter_mut()
            .flat_map(|polygon| std::iter::once(&mut polygon.outer).chain(&mut polygon.holes))
            .flatten()
        {
            *point = Point::new(on_line(&along, point.x), on_line(&across, point.y));
        }
        turned
    }
}

/// Groups of nearly equal values: where each starts, and the value that stands for it.
fn lines(sorted: &[f64]) -> Vec<(f64, f64)> {
    let mut groups: Vec<(f64, f64)> = Vec::new();
    for &value in sorted {
        if groups.last().is_none_or(|(start, _)| value - start > ONE_LINE) {
            // A value that is all but a whole thousandth is meant to be it.
            let round = (value * 1000.0).round() / 1000.0;
            groups
                .push((value, if (round - value).abs() < ONE_LINE / 2.0 { round } else { value }));
        }
    }
    groups
}

fn on_line(groups: &[(f64, f64)], value: f64) -> f64 {
    let after = groups.partition_point(|(start, _)| *start <= value);
    if after == 0 { value } else { groups[after - 1].1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back_and_straight_lines_made_straight() {
        let frame = Frame::of(Vector::from_angle(0.3)).unwrap();
        let place = Point::new(12.0, 7.0);
        let back = frame.plan_from_course(frame.course_from_plan(place));
        assert!(place.distance(back) < 1e-12);
        let quarter = Frame::of(Vector::new(0.0, 5.0)).unwrap();
        assert_eq!(quarter.course_from_plan(place), Point::new(7.0, -12.0));
        let noisy = [Polygon::rectangle(Point::new(0.0, 3e-7), Point::new(10.0 + 2e-7, 5.0))];
        let straight = quarter.into_course(&noisy);
        assert_eq!(straight[0].area(), 50.0);
    }
}
