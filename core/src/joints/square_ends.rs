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
pub(super) const SAME_IN: f64 = 0.05;

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
    /// From the end along the joint, a unit step.
    joint: Vector,
    joint_length: f64,
    /// The edge from the end on, as far as it runs straight or bends gently.
    edge: Vec<Point>,
    angle: f64,
}

/// An edge that has turned by more than this from where the joint meets it is another edge.
const SAME_EDGE: f64 = 0.6;

fn next_sharp_end(
    panel: &[Point],
    ground: &Ground,
    rules: &JointRules,
    tried: &[Point],
) -> Option<SharpEnd> {
    let panel = shape::tidy(panel);
    let count = panel.len();
    let corners: Vec<(Point, f64)> = shape::angles(&panel).collect();
    (0..count).find_map(|index| {
        let (at, angle) = corners[index];
        let is_sharp = angle < rules.sharpest - 1e-3
            && ground.own_angle(at).is_none()
            && !tried.iter().any(|known| known.distance(at) < SAME_IN);
        if !is_sharp {
            return None;
        }
        let corner = |step: usize, forward: bool| {
            let offset = if forward { step } else { count - step % count };
            panel[(index + offset) % count]
        };
        let (before, after) = (corner(1, false), corner(1, true));
        let (joint_end, forward) = match (ground.is_edge(before, at), ground.is_edge(at, after)) {
            (false, true) => (before, true),
            (true, false) => (after, false),
            _ => return None,
        };
        let mut edge = vec![at, corner(1, forward)];
        let first = edge[1] - at;
        for step in 2..count {
            let (last, next) = (edge[step - 1], corner(step, forward));
            let turn = first.unit()?.cross((next - last).unit()?).abs();
            if turn > SAME_EDGE || !ground.is_edge(last, next) || ground.own_angle(last).is_some() {
                break;
            }
            edge.push(next);
        }
        let joint = joint_end - at;
        Some(SharpEnd { at, joint: joint.unit()?, joint_length: joint.length(), edge, angle })
    })
}

/// The turn of one end: where the joint bends, where it meets the edge, and the corners of the
/// edge that lie between the old end and the new.
struct Turn {
    bend: Point,
    passed: Vec<Point>,
    foot: Point,
}

/// The turn of a given length, square to the edge, if there is room for it.
fn turn_of(end: &SharpEnd, length: f64) -> Option<Turn> {
    let sin = crate::units::exact_math::sin(end.angle);
    if sin < 0.05 {
        return None;
    }
    let back = length / sin;
    if end.joint_length < back + CLEAR_IN {
        return None;
    }
    let bend = end.at + end.joint * back;
    let feet = end.edge.windows(2).enumerate().map(|(piece, pair)| {
        let foot = nearest::nearest_on_line(bend, pair[0], pair[1]);
        (foot.distance(bend), piece, foot)
    });
    let (_, piece, foot) = feet.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let last = *end.edge.last()?;
    if foot.distance(last) < CLEAR_IN || foot.distance(end.at) < 1.0 {
        return None;
    }
    Some(Turn { bend, passed: end.edge[1..=piece].to_vec(), foot })
}

/// Turns one end; false when there is no room or a rule would be lost.
fn turn(
    panels: &mut [Vec<Point>],
    sharp: usize,
    end: &SharpEnd,
    length: f64,
    rules: &JointRules,
) -> bool {
    let Some(turn) = turn_of(end, length) else { return false };
    let back = turn.bend.distance(end.at);
    let Some(blunt) = (0..panels.len()).find(|&other| {
        other != sharp
            && panels[other].iter().any(|corner| corner.distance(end.at) < SAME_IN)
            && leaves_along(&panels[other], end, back)
    }) else {
        return false;
    };
    let (Some(cut), Some(grown)) =
        (without_tip(&panels[sharp], end, &turn), with_tip(&panels[blunt], end, &turn))
    else {
        return false;
    };
    let broken = |ring: &[Point]| {
        let (long, short) = shape::least_box(ring);
        8 * u32::from(long > rules.spacing + 0.005)
            + u32::from(long > short * rules.aspect_limit + 1e-6)
            + 2 * u32::from(short < rules.narrowest)
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

/// Where a panel has its corner at the end, and whether it comes there along the joint.
fn corner_at(panel: &[Point], end: &SharpEnd) -> Option<(usize, bool)> {
    let count = panel.len();
    let index = (0..count).find(|&index| panel[index].distance(end.at) < SAME_IN)?;
    let before = panel[(index + count - 1) % count] - end.at;
    Some((index, before.cross(end.joint).abs() < SAME_IN && before.dot(end.joint) > 0.0))
}

/// The panel on the sharp side without its tip.
fn without_tip(panel: &[Point], end: &SharpEnd, turn: &Turn) -> Option<Vec<Point>> {
    let mut panel = shape::tidy(panel);
    panel.retain(|corner| !turn.passed.iter().any(|gone| gone.distance(*corner) < 1e-9));
    let (index, comes_by_joint) = corner_at(&panel, end)?;
    let corners = if comes_by_joint { [turn.bend, turn.foot] } else { [turn.foot, turn.bend] };
    panel.splice(index..=index, corners);
    Some(panel)
}

/// The panel on the blunt side with the tip.
fn with_tip(panel: &[Point], end: &SharpEnd, turn: &Turn) -> Option<Vec<Point>> {
    let mut panel = shape::tidy(panel);
    let (index, comes_by_joint) = corner_at(&panel, end)?;
    let mut corners = vec![end.at];
    corners.extend(&turn.passed);
    corners.extend([turn.foot, turn.bend]);
    if comes_by_joint {
        corners.reverse();
    }
    panel.splice(index..=index, corners);
    Some(panel)
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
