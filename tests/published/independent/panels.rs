//! A plainer check of a joint layout: panels tile the slab, joints are the panels' sides.
//!
//! Tiling by winding: for a set of counter-clockwise panels, the sum of areas must be the slab's
//! and no point drawn from a fine lattice may lie in two panels or in none.

use slabloom_core::geometry::{Point, Polygon};
use slabloom_core::joints::{JointLayout, SlabPanel};

pub fn area(ring: &[Point]) -> f64 {
    (0..ring.len())
        .map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            (a.x * b.y - b.x * a.y) / 2.0
        })
        .sum()
}

/// Whether a point is in a ring, by the angle it sees (not the ray rule of the program).
pub fn sees_all_round(ring: &[Point], at: Point) -> bool {
    let turn: f64 = (0..ring.len())
        .map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            let (ax, ay, bx, by) = (a.x - at.x, a.y - at.y, b.x - at.x, b.y - at.y);
            (ax * by - ay * bx).atan2(ax * bx + ay * by)
        })
        .sum();
    turn.abs() > 3.0
}

pub fn distance(at: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let length2 = dx * dx + dy * dy;
    let share = if length2 > 0.0 {
        (((at.x - a.x) * dx + (at.y - a.y) * dy) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    ((at.x - a.x - share * dx).powi(2) + (at.y - a.y - share * dy).powi(2)).sqrt()
}

fn edges(ring: &[Point]) -> Vec<(Point, Point)> {
    (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])).collect()
}

/// How far the panels' areas are from the slab's, square feet.
pub fn area_gap_ft2(slab: &Polygon, panels: &[SlabPanel]) -> f64 {
    let whole = area(&slab.outer).abs() - slab.holes.iter().map(|h| area(h).abs()).sum::<f64>();
    let sum: f64 = panels.iter().map(|panel| area(&panel.outline).abs()).sum();
    (whole - sum).abs() / 144.0
}

/// Lattice points of the slab that lie in no panel or in two, away from sides.
pub fn wrongly_covered(slab: &Polygon, panels: &[SlabPanel], step: f64) -> usize {
    let (mut low, mut high) = (slab.outer[0], slab.outer[0]);
    for p in &slab.outer {
        low = Point::new(low.x.min(p.x), low.y.min(p.y));
        high = Point::new(high.x.max(p.x), high.y.max(p.y));
    }
    let near_side = |at: Point| {
        let rings = std::iter::once(&slab.outer).chain(&slab.holes);
        rings
            .chain(panels.iter().map(|panel| &panel.outline))
            .flat_map(|ring| edges(ring))
            .any(|(a, b)| distance(at, a, b) < 0.2)
    };
    let mut wrong = 0;
    let mut x = low.x + 1.37;
    while x < high.x {
        let mut y = low.y + 1.91;
        while y < high.y {
            let at = Point::new(x, y);
            let in_slab = sees_all_round(&slab.outer, at)
                && !slab.holes.iter().any(|hole| sees_all_round(hole, at));
            let count = panels.iter().filter(|panel| sees_all_round(&panel.outline, at)).count();
            if count != usize::from(in_slab) && !near_side(at) {
                wrong += 1;
            }
            y += step;
        }
        x += step;
    }
    wrong
}

/// Half the panels' sides that are not on the slab's rim: what the joints must add up to, inches.
/// Stretches inside column isolations count with it.
pub fn inner_sides(slab: &Polygon, panels: &[SlabPanel]) -> f64 {
    let rim: Vec<(Point, Point)> =
        std::iter::once(&slab.outer).chain(&slab.holes).flat_map(|ring| edges(ring)).collect();
    let perimeters: f64 = panels
        .iter()
        .flat_map(|panel| edges(&panel.outline))
        .map(|(a, b)| ((a.x - b.x).powi(2) + (a.y - b.y).powi(2)).sqrt())
        .sum();
    let rim_length: f64 =
        rim.iter().map(|(a, b)| ((a.x - b.x).powi(2) + (a.y - b.y).powi(2)).sqrt()).sum();
    (perimeters - rim_length) / 2.0
}

/// Joints with a middle on the rim or outside the slab.
pub fn joints_off_slab(slab: &Polygon, layout: &JointLayout) -> usize {
    layout
        .lines
        .iter()
        .filter(|line| {
            (1..10).any(|tenth| {
                let share = f64::from(tenth) / 10.0;
                let at = Point::new(
                    line.from.x + (line.to.x - line.from.x) * share,
                    line.from.y + (line.to.y - line.from.y) * share,
                );
                let on_rim = std::iter::once(&slab.outer)
                    .chain(&slab.holes)
                    .flat_map(|ring| edges(ring))
                    .any(|(a, b)| distance(at, a, b) < 0.02);
                on_rim || !sees_all_round(&slab.outer, at)
            })
        })
        .count()
}

/// Least box by turning through whole degrees and then finer, not by hull sides.
pub fn least_box_by_turning(ring: &[Point]) -> (f64, f64) {
    let sizes = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let extent = |ax: f64, ay: f64| {
            let (low, high) = ring
                .iter()
                .map(|p| p.x * ax + p.y * ay)
                .fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            high - low
        };
        (extent(cos, sin), extent(-sin, cos))
    };
    let mut best = (f64::MAX, 0.0);
    let mut centre = 0.0;
    let (mut span, mut step) = (90.0, 0.25);
    for _ in 0..4 {
        let mut at = centre - span / 2.0;
        while at <= centre + span / 2.0 {
            let (a, b) = sizes(at);
            if a * b < best.0 - 1e-9 {
                best = (a * b, at);
            }
            at += step;
        }
        centre = best.1;
        span = step * 2.0;
        step /= 20.0;
    }
    let (a, b) = sizes(best.1);
    (a.max(b), a.min(b))
}

/// Interior angles in degrees with their places, corners that do not turn left out.
pub fn corner_angles(ring: &[Point]) -> Vec<(Point, f64)> {
    let n = ring.len();
    (0..n)
        .filter_map(|i| {
            let (p, q, r) = (ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]);
            let (ax, ay, bx, by) = (p.x - q.x, p.y - q.y, r.x - q.x, r.y - q.y);
            let angle = (bx * ay - by * ax).atan2(ax * bx + ay * by).to_degrees();
            let angle = if angle < 0.0 { angle + 360.0 } else { angle };
            ((angle - 180.0).abs() > 0.2).then_some((q, angle))
        })
        .collect()
}
