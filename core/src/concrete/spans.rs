//! Where lines and rows across a region lie inside it.
//!
//! Works in axes turned so that rows run along x. Rows of mesh and lines of bar ask the same
//! question: from where to where.

use super::partition::trapezoids;
use crate::geometry::{Bounds, Point, Polygon, Vector};

/// Spans nearer than this, in inches, are one.
const JOINED_IN: f64 = 1e-6;
/// Grid lines in an inch that the region is laid on: the offset engine's own noise is finer.
const GRID_PER_IN: f64 = 16_384.0;

/// A region in turned axes, as trapezoids between level lines.
pub(super) struct Spans {
    /// Each tile with the heights of its bottom and top.
    tiles: Vec<(f64, f64, Vec<Point>)>,
    /// The box round it.
    pub(super) bounds: Bounds,
    along: Vector,
}

impl Spans {
    /// The regions with `along` as the direction of rows; `None` when there is nothing.
    pub(super) fn of(regions: &[Polygon], along: Vector) -> Option<Self> {
        let turned = |ring: &Vec<Point>| -> Vec<Point> {
            ring.iter().map(|&place| on_grid(turned_by(along, place))).collect()
        };
        let tiles: Vec<(f64, f64, Vec<Point>)> = regions
            .iter()
            .flat_map(|region| {
                let region = Polygon {
                    outer: turned(&region.outer),
                    holes: region.holes.iter().map(turned).collect(),
                };
                trapezoids(&region)
            })
            .map(|tile| {
                let heights = || tile.iter().map(|corner| corner.y);
                let bottom = heights().fold(f64::INFINITY, f64::min);
                let top = heights().fold(f64::NEG_INFINITY, f64::max);
                (bottom, top, tile)
            })
            .collect();
        let corners = tiles.iter().flat_map(|(_, _, tile)| tile);
        let bounds = Bounds::of(corners.copied())?;
        Some(Self { tiles, bounds, along })
    }

    /// Back to the plan.
    pub(super) fn plan(&self, place: Point) -> Point {
        Point::ORIGIN + self.along * place.x + self.along.left() * place.y
    }

    /// From the plan into the turned axes.
    pub(super) fn turned(&self, place: Point) -> Point {
        turned_by(self.along, place)
    }

    /// From where to where a row between two heights meets the region, west to east; parts of a
    /// row that touch are one.
    pub(super) fn of_row(&self, low: f64, high: f64) -> Vec<(f64, f64)> {
        let reach = |(bottom, top, tile): &(f64, f64, Vec<Point>)| -> Option<(f64, f64)> {
            let (from, to) = (bottom.max(low), top.min(high));
            if from > to - JOINED_IN {
                return None;
            }
            let (at_from, at_to) = (across(tile, from), across(tile, to));
            let (one, other) = (at_from.or(at_to)?, at_to.or(at_from)?);
            Some((one.0.min(other.0), one.1.max(other.1)))
        };
        joined(self.tiles.iter().filter_map(reach).collect())
    }

    /// From where to where a line at one height lies inside the region.
    pub(super) fn of_line(&self, y: f64) -> Vec<(f64, f64)> {
        let met = self.tiles.iter().filter(|(bottom, top, _)| (*bottom..=*top).contains(&y));
        joined(met.filter_map(|(_, _, tile)| across(tile, y)).collect())
    }
}

/// A place on a grid far finer than a tape: what an offset left of rounding in level sides would
/// else make many rows of trapezoids out of one.
fn on_grid(place: Point) -> Point {
    let snapped = |value: f64| (value * GRID_PER_IN).round() / GRID_PER_IN;
    Point::new(snapped(place.x), snapped(place.y))
}

fn turned_by(along: Vector, place: Point) -> Point {
    let step = place.to_vector();
    Point::new(along.dot(step), along.cross(step))
}

/// From where to where a line at a height crosses a convex tile.
fn across(tile: &[Point], y: f64) -> Option<(f64, f64)> {
    let mut ends: Option<(f64, f64)> = None;
    for (from, to) in crate::geometry::polygon::edges(tile) {
        let (low, high) = (from.y.min(to.y), from.y.max(to.y));
        if y < low || y > high {
            continue;
        }
        let at = if high > low {
            let x = from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y);
            (x, x)
        } else {
            (from.x.min(to.x), from.x.max(to.x))
        };
        ends = Some(ends.map_or(at, |ends| (ends.0.min(at.0), ends.1.max(at.1))));
    }
    ends.filter(|ends| ends.0 < ends.1)
}

fn joined(mut spans: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::with_capacity(spans.len());
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.0 <= last.1 + JOINED_IN => last.1 = last.1.max(span.1),
            _ => joined.push(span),
        }
    }
    joined
}

/// Whether a line has a part inside a box (Liang and Barsky's clipping).
pub(super) fn passes_through(bounds: Bounds, from: Point, to: Point) -> bool {
    let step = to - from;
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    let limits = [
        (-step.x, from.x - bounds.min.x),
        (step.x, bounds.max.x - from.x),
        (-step.y, from.y - bounds.min.y),
        (step.y, bounds.max.y - from.y),
    ];
    for (rate, room) in limits {
        if rate == 0.0 {
            if room < 0.0 {
                return false;
            }
        } else if rate < 0.0 {
            start = start.max(room / rate);
        } else {
            end = end.min(room / rate);
        }
    }
    start < end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_over_a_hole_comes_in_two_spans() {
        let frame = Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(100.0, 0.0),
                Point::new(100.0, 100.0),
                Point::new(0.0, 100.0),
            ],
            vec![vec![
                Point::new(40.0, 40.0),
                Point::new(60.0, 40.0),
                Point::new(60.0, 60.0),
                Point::new(40.0, 60.0),
            ]],
        );
        let spans = Spans::of(&[frame], Vector::new(1.0, 0.0)).expect("a region");
        assert_eq!(spans.of_line(50.0), vec![(0.0, 40.0), (60.0, 100.0)]);
        assert_eq!(spans.of_row(45.0, 55.0), vec![(0.0, 40.0), (60.0, 100.0)]);
        assert_eq!(spans.of_row(30.0, 55.0), vec![(0.0, 100.0)]);
        assert_eq!(spans.of_line(10.0), vec![(0.0, 100.0)]);
    }
}
