//! Joints that would meet a slanted edge too sharply turn square to it over their last two feet.
//!
//! The joint stops short at `d = 24 in / sin θ` from the edge, θ the sharp angle, and runs from
//! there square to the edge. The sharp tip goes to the panel on the other side. Case J8 of the
//! project's reference: a joint at x = 44 ft that meets a 45 degree clip stops at (44, 25.1716)
//! and turns to (45.4142, 26.5858).

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::ground::Ground;
use super::rules::JointRules;
use super::shape;
use crate::facts::joints::SQUARE_END_IN;
use crate::geometry::{Point, Vector, nearest};

/// A turned end keeps this far off other corners, inches.
const CLEAR_IN: f64 = 3.0;
/// Two places this near are one, inches.
const SAME_IN: f64 = 0.05;

/// The panels with sharp ends turned square where there is room for it.
#[must_use]
pub fn turned_square(
    mut panels: Vec<Vec<Point>>,
    ground: &Ground,
    rules: &JointRules,
) -> Vec<Vec<Point>> {
    for index in 0..panels.len() {
        // Each turn changes the panel, so it is read anew until no sharp end can be turned.
        let mut tried: Vec<Point> = Vec::new();
        while let Some(end) = next_sharp_end(&panels[index], ground, rules, &tried) {
            tried.push(end.at);
            for length in [SQUARE_END_IN, 0.75 * SQUARE_END_IN] {
                if turn(&mut panels, index, &end, length, rules) {
                    break;
                }
            }
        }
    }
    panels
}

/// A joint's end on an edge, seen from the panel on the sharp side.
struct SharpEnd {
    at: Point,
    /// From the end along the joint.
    joint: Vector,
    /// From the end along the edge.
    edge: Vector,
    angle: f64,
    joint_length: f64,
    edge_length: f64,
}

fn next_sharp_end(
    panel: &[Point],
    ground: &Ground,
    rules: &JointRules,
    tried: &[Point],
) -> Option<SharpEnd> {
    let panel = shape::tidy(panel);
    let count = panel.len();
    let on_rim = |from: Point, to: Point| {
        let middle = from.middle(to);
        ground.region.edges().any(|(a, b)| nearest::distance_to_line(middle, a, b) < SAME_IN)
    };
    let corners: Vec<(Point, f64)> = shape::angles(&panel).collect();
    (0..count).find_map(|index| {
        let (at, angle) = corners[index];
        let is_sharp = angle < rules.sharpest - 1e-3
            && ground.own_angle(at).is_none()
            && !tried.iter().any(|known| known.distance(at) < SAME_IN);
        if !is_sharp {
            return None;
        }
        let (before, after) = (panel[(index + count - 1) % count], panel[(index + 1) % count]);
        let (joint_end, edge_end) = match (on_rim(before, at), on_rim(at, after)) {
            (false, true) => (before, after),
            (true, false) => (after, before),
            _ => return None,
        };
        let (joint, edge) = (joint_end - at, edge_end - at);
        Some(SharpEnd {
            at,
            joint: joint.unit()?,
            edge: edge.unit()?,
            angle,
            joint_length: joint.length(),
            edge_length: edge.length(),
        })
    })
}

/// Turns one end; false when there is no room or a rule would be lost.
fn turn(
    panels: &mut [Vec<Point>],
    sharp: usize,
    end: &SharpEnd,
    length: f64,
    rules: &JointRules,
) -> bool {
    let (sin, cos) = crate::units::exact_math::sin_cos(end.angle);
    if sin < 0.05 {
        return false;
    }
    let (back, side) = (length / sin, length / sin * cos);
    if end.joint_length < back + CLEAR_IN || end.edge_length < side + CLEAR_IN {
        return false;
    }
    let (bend, foot) = (end.at + end.joint * back, end.at + end.edge * side);
    let Some(blunt) = (0..panels.len()).find(|&other| {
        other != sharp
            && panels[other].iter().any(|corner| corner.distance(end.at) < SAME_IN)
            && leaves_along(&panels[other], end, back)
    }) else {
        return false;
    };
    let (Some(cut), Some(grown)) =
        (with_turn(&panels[sharp], end, bend, foot), with_turn(&panels[blunt], end, bend, foot))
    else {
        return false;
    };
    let broken = |ring: &[Point]| {
        let (long, short) = shape::least_box(ring);
        u32::from(long > rules.spacing + 0.005)
            + u32::from(long > short * rules.aspect_limit + 1e-6)
            + u32::from(short < rules.narrowest)
    };
    let before = broken(&panels[sharp]) + broken(&panels[blunt]);
    if broken(&cut) + broken(&grown) > before {
        return false;
    }
    panels[sharp] = cut;
    panels[blunt] = grown;
    true
}

/// Whether a panel has a side from the end along the joint with room for the turn.
fn leaves_along(panel: &[Point], end: &SharpEnd, back: f64) -> bool {
    let panel = shape::tidy(panel);
    crate::geometry::polygon::edges(&panel).any(|(from, to)| {
        let far = if from.distance(end.at) < SAME_IN {
            to
        } else if to.distance(end.at) < SAME_IN {
            from
        } else {
            return false;
        };
        let step = far - end.at;
        step.length() > back + CLEAR_IN
            && step.cross(end.joint).abs() < SAME_IN
            && step.dot(end.joint) > 0.0
    })
}

/// The panel with its corner at the end replaced by the turn.
fn with_turn(panel: &[Point], end: &SharpEnd, bend: Point, foot: Point) -> Option<Vec<Point>> {
    let panel = shape::tidy(panel);
    let count = panel.len();
    let index = (0..count).find(|&index| panel[index].distance(end.at) < SAME_IN)?;
    let before = panel[(index + count - 1) % count] - end.at;
    let comes_by_joint = before.cross(end.joint).abs() < SAME_IN && before.dot(end.joint) > 0.0;
    let turn = if comes_by_joint { [bend, foot] } else { [foot, bend] };
    let mut turned = panel[..index].to_vec();
    turned.extend(turn);
    turned.extend(&panel[index + 1..]);
    Some(turned)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::geometry::polygon::signed_area;

    #[test]
    fn the_worked_joint_turns_where_the_reference_says() {
        let feet = |corners: &[(f64, f64)]| -> Vec<Point> {
            corners.iter().map(|&(x, y)| Point::feet(x, y)).collect()
        };
        let slab = feet(&[(0.0, 0.0), (48.0, 0.0), (48.0, 24.0), (40.0, 32.0), (0.0, 32.0)]);
        let ground = Ground { region: Polygon::new(slab, Vec::new()), ..Ground::default() };
        let left = feet(&[(36.0, 16.0), (44.0, 16.0), (44.0, 28.0), (40.0, 32.0), (36.0, 32.0)]);
        let right = feet(&[(44.0, 16.0), (48.0, 16.0), (48.0, 24.0), (44.0, 28.0)]);
        let area = signed_area(&left) + signed_area(&right);
        let rules = JointRules::with_spacing(200.0, 3.0);
        let turned = turned_square(vec![left, right], &ground, &rules);
        let has = |x: f64, y: f64| {
            turned.iter().all(|panel| panel.iter().any(|at| at.distance(Point::feet(x, y)) < 0.001))
        };
        assert!(has(44.0, 25.171_573) && has(45.414_214, 26.585_786), "{turned:?}");
        let now: f64 = turned.iter().map(|panel| signed_area(panel)).sum();
        assert!((now - area).abs() < 1e-6);
    }
}
