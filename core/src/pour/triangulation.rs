//! Delaunay triangles through points of the plan, by sweep and edge flips.
//!
//! Points are taken from west to east, each joined to the part of the hull that it sees; then any
//! edge whose two triangles fit better the other way is turned (Lawson 1977). Whether a point lies
//! left of a line or inside a circle is decided exactly (Shewchuk's adaptive predicates, crate
//! `robust`), so survey grids, where four shots lie on one circle, cannot go wrong.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use crate::geometry::Point;
use robust::{Coord, incircle, orient2d};
use std::collections::BTreeMap;

/// Triangles through points, and the hull of the points.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Triangulation {
    /// Indices of corners, counter-clockwise.
    pub(super) triangles: Vec<[usize; 3]>,
    /// Indices round the hull, counter-clockwise.
    pub(super) hull: Vec<usize>,
}

fn coord(point: Point) -> Coord<f64> {
    Coord { x: point.x, y: point.y }
}

/// Triangulates points that are all different; empty when they lie on one line.
pub(super) fn triangulate(points: &[Point]) -> Triangulation {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&a, &b| {
        points[a].x.total_cmp(&points[b].x).then(points[a].y.total_cmp(&points[b].y))
    });
    let turn = |a: usize, b: usize, c: usize| {
        orient2d(coord(points[a]), coord(points[b]), coord(points[c]))
    };
    let Some(first_off) = (2..order.len()).find(|&at| turn(order[0], order[1], order[at]) != 0.0)
    else {
        return Triangulation::default();
    };
    let apex = order[first_off];
    let line: Vec<usize> = order[..first_off].to_vec();
    let is_left = turn(line[0], line[1], apex) > 0.0;
    let mut triangles: Vec<[usize; 3]> = line
        .windows(2)
        .map(|pair| if is_left { [pair[0], pair[1], apex] } else { [pair[1], pair[0], apex] })
        .collect();
    let mut hull = line;
    if !is_left {
        hull.reverse();
    }
    hull.push(apex);
    for &point in &order[first_off + 1..] {
        add_outside(point, &mut hull, &mut triangles, &turn);
    }
    flip_until_delaunay(&mut triangles, points);
    Triangulation { triangles, hull }
}

/// Joins a point outside the hull to every side of the hull that it sees.
fn add_outside(
    point: usize,
    hull: &mut Vec<usize>,
    triangles: &mut Vec<[usize; 3]>,
    turn: &impl Fn(usize, usize, usize) -> f64,
) {
    let count = hull.len();
    let sees = |side: usize| turn(hull[side % count], hull[(side + 1) % count], point) < 0.0;
    // The sides seen follow one another; start at the first after one that is not seen.
    let Some(start) = (0..count).find(|&side| sees(side) && !sees(side + count - 1)) else {
        return;
    };
    let seen = (0..count).take_while(|&step| sees(start + step)).count();
    for step in 0..seen {
        let (a, b) = (hull[(start + step) % count], hull[(start + step + 1) % count]);
        triangles.push([b, a, point]);
    }
    // Corners between sides seen are inside now.
    let mut next: Vec<usize> = Vec::with_capacity(count + 1);
    for step in 0..=(count - seen) {
        next.push(hull[(start + seen + step) % count]);
    }
    next.push(point);
    *hull = next;
}

/// Turns edges until no corner lies inside the circle of a neighbouring triangle.
fn flip_until_delaunay(triangles: &mut [[usize; 3]], points: &[Point]) {
    let mut owner: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for (at, triangle) in triangles.iter().enumerate() {
        for corner in 0..3 {
            owner.insert((triangle[corner], triangle[(corner + 1) % 3]), at);
        }
    }
    let mut waiting: Vec<(usize, usize)> = owner.keys().copied().filter(|(a, b)| a < b).collect();
    let opposite = |triangle: [usize; 3], a: usize, b: usize| {
        triangle.into_iter().find(|&corner| corner != a && corner != b)
    };
    while let Some((a, b)) = waiting.pop() {
        let (Some(&one), Some(&other)) = (owner.get(&(a, b)), owner.get(&(b, a))) else { continue };
        let (Some(c), Some(d)) = (opposite(triangles[one], a, b), opposite(triangles[other], a, b))
        else {
            continue;
        };
        let [at_a, at_b, at_c, at_d] = [a, b, c, d].map(|corner| coord(points[corner]));
        if incircle(at_a, at_b, at_c, at_d) <= 0.0 {
            continue;
        }
        owner.remove(&(a, b));
        owner.remove(&(b, a));
        triangles[one] = [a, d, c];
        triangles[other] = [d, b, c];
        for edge in [(a, d), (d, c), (c, a)] {
            owner.insert(edge, one);
        }
        for edge in [(d, b), (b, c), (c, d)] {
            owner.insert(edge, other);
        }
        waiting.extend([(a, d), (d, b), (b, c), (c, a)]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::polygon::signed_area;

    fn area(points: &[Point], found: &Triangulation) -> f64 {
        found.triangles.iter().map(|t| signed_area(&t.map(|i| points[i]))).sum()
    }

    #[test]
    fn a_grid_is_tiled_once() {
        let points: Vec<Point> = (0..5)
            .flat_map(|x| (0..4).map(move |y| Point::feet(f64::from(x) * 8.0, f64::from(y) * 8.0)))
            .collect();
        let found = triangulate(&points);
        assert_eq!(found.triangles.len(), 24);
        assert!((area(&points, &found) - 32.0 * 24.0 * 144.0).abs() < 1e-6);
        assert!(found.triangles.iter().all(|t| signed_area(&t.map(|i| points[i])) > 0.0));
        let hull: Vec<Point> = found.hull.iter().map(|&i| points[i]).collect();
        assert!((signed_area(&hull) - 32.0 * 24.0 * 144.0).abs() < 1e-6);
    }

    #[test]
    fn no_shot_lies_in_the_circle_of_a_triangle() {
        let mut seed = 7_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 40) as f64 / 10.0
        };
        let points: Vec<Point> = (0..60).map(|_| Point::new(next(), next())).collect();
        let found = triangulate(&points);
        for t in &found.triangles {
            let [a, b, c] = t.map(|i| coord(points[i]));
            let is_inside = |i: usize| incircle(a, b, c, coord(points[i])) > 0.0;
            assert!(!(0..points.len()).any(|i| !t.contains(&i) && is_inside(i)));
        }
        let hull: Vec<Point> = found.hull.iter().map(|&i| points[i]).collect();
        let whole = signed_area(&hull);
        assert!((area(&points, &found) - whole).abs() < 1e-12 * whole);
    }

    #[test]
    fn shots_on_a_line_have_no_triangles() {
        let points = [0.0, 1.0, 2.0, 3.0].map(|x| Point::new(x, 2.0 * x));
        assert_eq!(triangulate(&points), Triangulation::default());
    }
}
