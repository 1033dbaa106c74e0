//! A polygon with holes cut into triangles, for painting and for sums over the plan.
//!
//! Ear clipping with holes joined to the outer ring by bridges: exact corners in, the same corners
//! out, no new points.

use super::polygon::signed_area;
use super::{Point, Polygon};

/// Triangles that tile the polygon, each counter-clockwise.
#[must_use]
pub fn triangulate(polygon: &Polygon) -> Vec<[Point; 3]> {
    clip_ears(join_holes(polygon))
}

/// One ring that walks the outer ring and, by way of bridges, every hole.
fn join_holes(polygon: &Polygon) -> Vec<Point> {
    let mut ring = polygon.outer.clone();
    // The hole that reaches farthest east first: its bridge to the east can then only meet the
    // outer ring or a hole that is joined already.
    let mut holes: Vec<&Vec<Point>> = polygon.holes.iter().filter(|hole| hole.len() > 2).collect();
    let east = |hole: &[Point]| hole.iter().map(|point| point.x).fold(f64::NEG_INFINITY, f64::max);
    holes.sort_by(|a, b| east(b).total_cmp(&east(a)));
    for hole in holes {
        let start = hole
            .iter()
            .enumerate()
            .max_by(|(_, a), (_, b)| a.x.total_cmp(&b.x))
            .map_or(0, |(index, _)| index);
        let walk: Vec<Point> =
            hole.iter().cycle().skip(start).take(hole.len() + 1).copied().collect();
        let Some(&from) = walk.first() else { continue };
        let Some(at) = bridge_end(&ring, hole, from) else { continue };
        let mut joined: Vec<Point> = ring.iter().take(at + 1).copied().collect();
        joined.extend(&walk);
        joined.extend(ring.iter().skip(at).copied());
        ring = joined;
    }
    ring
}

/// The corner of `ring` that `from`, a corner of `hole`, sees nearest without crossing any side.
fn bridge_end(ring: &[Point], hole: &[Point], from: Point) -> Option<usize> {
    let mut corners: Vec<(usize, Point)> = ring.iter().copied().enumerate().collect();
    corners.sort_by(|a, b| from.distance(a.1).total_cmp(&from.distance(b.1)));
    corners
        .iter()
        .find(|(index, corner)| {
            let next = ring.get((index + 1) % ring.len()).copied().unwrap_or(*corner);
            let before =
                ring.get((index + ring.len() - 1) % ring.len()).copied().unwrap_or(*corner);
            let clear =
                super::polygon::edges(ring).chain(super::polygon::edges(hole)).all(|(a, b)| {
                    [a, b].contains(corner)
                        || [a, b].contains(&from)
                        || super::nearest::crossing((from, *corner), (a, b)).is_none()
                });
            clear && in_corner(before, *corner, next, from)
        })
        .or_else(|| corners.first())
        .map(|(index, _)| *index)
}

/// Whether `point` lies on the inner side of the corner `before`-`at`-`next`.
fn in_corner(before: Point, at: Point, next: Point, point: Point) -> bool {
    let left_of_in = (at - before).cross(point - before) >= 0.0;
    let left_of_out = (next - at).cross(point - at) >= 0.0;
    if (at - before).cross(next - at) >= 0.0 {
        left_of_in && left_of_out
    } else {
        left_of_in || left_of_out
    }
}

fn clip_ears(ring: Vec<Point>) -> Vec<[Point; 3]> {
    let mut left: Vec<Point> = ring;
    let mut triangles = Vec::with_capacity(left.len());
    while left.len() > 3 {
        let count = left.len();
        let corner = |index: usize| left.get(index % count).copied().unwrap_or_default();
        let ear = (0..count).find(|&index| {
            let (a, b, c) = (corner(index + count - 1), corner(index), corner(index + 1));
            (b - a).cross(c - b) > 0.0
                && left.iter().all(|&point| {
                    point == a || point == b || point == c || !in_triangle(point, a, b, c)
                })
        });
        // With no ear left the rest is folded or flat: drop its flattest corner and go on.
        let index = ear.unwrap_or_else(|| {
            (0..count)
                .min_by(|&a, &b| {
                    let bend = |index: usize| {
                        (corner(index) - corner(index + count - 1))
                            .cross(corner(index + 1) - corner(index))
                            .abs()
                    };
                    bend(a).total_cmp(&bend(b))
                })
                .unwrap_or(0)
        });
        let triangle = [corner(index + count - 1), corner(index), corner(index + 1)];
        if signed_area(&triangle) > 0.0 {
            triangles.push(triangle);
        }
        left.remove(index);
    }
    if let [a, b, c] = left[..] {
        let last = [a, b, c];
        if signed_area(&last) > 0.0 {
            triangles.push(last);
        }
    }
    triangles
}

fn in_triangle(point: Point, a: Point, b: Point, c: Point) -> bool {
    (b - a).cross(point - a) >= 0.0
        && (c - b).cross(point - b) >= 0.0
        && (a - c).cross(point - c) >= 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn triangles_add_up_to_the_region() {
        let slab = Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(480.0, 0.0),
                Point::new(480.0, 216.0),
                Point::new(288.0, 216.0),
                Point::new(288.0, 360.0),
                Point::new(0.0, 360.0),
            ],
            vec![
                vec![
                    Point::new(24.0, 24.0),
                    Point::new(60.0, 24.0),
                    Point::new(60.0, 60.0),
                    Point::new(24.0, 60.0),
                ],
                vec![Point::new(100.0, 24.0), Point::new(130.0, 50.0), Point::new(100.0, 60.0)],
            ],
        );
        let sum: f64 = triangulate(&slab).iter().map(|triangle| signed_area(triangle)).sum();
        assert!((sum - slab.area()).abs() < 1e-6);
    }
}
