//! Sharp corners of panels that no turned end can mend.
//!
//! Two things make them. A wall that cuts a grid of joints aslant leaves a crumb with no room to
//! turn a joint in: the crumb is joined to a neighbour, or the two joints that bound it share one
//! end. And the joint that a splayed bay's inside
//! corner asks for, drawn on in line with the wall, runs out beside the splay at its own angle: it
//! is swung about the corner until the angle between them is large enough, and meets the next
//! joint that much farther on.
//!
//! A change is kept when fewer sharp corners are measured on the panels and no more breaches of any
//! other rule but tees, so that nothing graver is traded for a blunt corner.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::breaches::{breaches, sharp_corners};
use super::ground::Ground;
use super::lines::{runs_between, tees};
use super::mend::unions;
use super::rules::JointRules;
use super::shared_end::sharing_one_end;
use super::square_ends::{SAME_IN, turned_square};
use super::{JointRule, SlabPanel, shape};
use crate::geometry::{Point, Polygon, Vector, nearest, polygon};
use crate::units::exact_math::tan;

/// Changes made at most.
const MOST_CHANGES: usize = 24;
/// A joint is swung by this much more than the least angle asks for, radians.
const SWUNG_OVER: f64 = 0.01;
/// A swung joint ends this far off the end of the joint it meets, inches.
const CLEAR_IN: f64 = 6.0;

/// The panels with ends turned square and the other sharp corners mended where that breaks no
/// other rule.
#[must_use]
pub fn blunted(
    mut panels: Vec<Vec<Point>>,
    ground: &Ground,
    rules: &JointRules,
) -> Vec<Vec<Point>> {
    let mut turned = turned_square(panels.clone(), ground, rules);
    for _ in 0..MOST_CHANGES {
        let sharp = sharp_places(&turned, ground, rules);
        if sharp.is_empty() {
            break;
        }
        let now = Faults::of(&turned, ground, rules);
        let better = sharp.iter().find_map(|&(at, angle)| {
            let joined = joined_at(&panels, at, ground);
            let swung = swung_at(&panels, (at, angle), ground, rules);
            let shared = sharing_one_end(&panels, at, ground, rules)
                .into_iter()
                .filter(|layout| !layout.iter().any(|panel| crosses_locked(panel, ground)));
            joined.into_iter().chain(swung).chain(shared).find_map(|changed| {
                let turned = turned_square(changed.clone(), ground, rules);
                let then = Faults::of(&turned, ground, rules);
                then.is_better_than(&now).then_some((changed, turned))
            })
        });
        let Some(better) = better else { break };
        (panels, turned) = better;
    }
    turned
}

/// Rules that a blunt corner must not be bought with; a tee is worth it.
const OTHERS: [JointRule; 5] = [
    JointRule::Spacing,
    JointRule::Aspect,
    JointRule::Sliver,
    JointRule::InsideCorner,
    JointRule::Column,
];

/// How many breaches a layout has, by rule.
pub struct Faults {
    /// Sharp corners that the slab itself does not have.
    pub sharp: usize,
    others: [usize; OTHERS.len()],
}

impl Faults {
    /// Those of panels.
    #[must_use]
    pub fn of(panels: &[Vec<Point>], ground: &Ground, rules: &JointRules) -> Self {
        let runs = runs_between(panels, ground);
        let ends = tees(&runs, ground);
        let measured: Vec<SlabPanel> = panels
            .iter()
            .map(|panel| {
                let outline = shape::tidy(panel);
                let (long, short) = shape::least_box(&outline);
                SlabPanel { outline, long, short }
            })
            .collect();
        let found = breaches(&measured, &runs, &ends, ground, rules);
        let count = |rule: JointRule| found.iter().filter(|breach| breach.rule == rule).count();
        Self { sharp: count(JointRule::SharpCorner), others: OTHERS.map(count) }
    }

    /// Fewer sharp corners and no more of anything else.
    #[must_use]
    pub fn is_better_than(&self, other: &Self) -> bool {
        self.sharp < other.sharp && self.others.iter().zip(&other.others).all(|(a, b)| a <= b)
    }
}

fn sharp_places(panels: &[Vec<Point>], ground: &Ground, rules: &JointRules) -> Vec<(Point, f64)> {
    panels
        .iter()
        .flat_map(|panel| sharp_corners(&shape::tidy(panel), ground, rules))
        .map(|breach| (breach.at, breach.amount.to_radians()))
        .collect()
}

/// The layouts in which a panel with a corner here is joined to one beside it.
fn joined_at(panels: &[Vec<Point>], at: Point, ground: &Ground) -> Vec<Vec<Vec<Point>>> {
    let has_corner = |panel: &Vec<Point>| panel.iter().any(|corner| corner.distance(at) < SAME_IN);
    let mut layouts = Vec::new();
    for index in (0..panels.len()).filter(|&index| has_corner(&panels[index])) {
        for (other, union) in unions(panels, index) {
            if crosses_locked(&union, ground) {
                continue;
            }
            let mut changed = panels.to_vec();
            changed[other] = union;
            changed.remove(index);
            layouts.push(changed);
        }
    }
    layouts
}

/// Whether a joint that a person locked runs inside a panel.
fn crosses_locked(panel: &[Point], ground: &Ground) -> bool {
    let area = Polygon::new(panel.to_vec(), Vec::new());
    ground.locked.iter().any(|&(from, to)| {
        (1..20).any(|step| {
            let at = from.toward(to, f64::from(step) / 20.0);
            area.contains(at)
                && polygon::edges(panel).all(|(a, b)| nearest::distance_to_line(at, a, b) > 0.5)
        })
    })
}

/// The layout in which the joint that leaves an inside corner too near to a wall is swung.
fn swung_at(
    panels: &[Vec<Point>],
    (at, angle): (Point, f64),
    ground: &Ground,
    rules: &JointRules,
) -> Option<Vec<Vec<Point>>> {
    ground.own_angle(at).filter(|own| *own > std::f64::consts::PI)?;
    let (along, away) = leaving_joint(panels, (at, angle), ground)?;
    let slope = tan(rules.sharpest - angle + SWUNG_OVER);
    let place = |corner: Point| {
        let step = corner - at;
        (step.cross(along).abs() < SAME_IN).then_some(step.dot(along))
    };
    // The joint ends where one across it goes on to both sides.
    let mut stops: Vec<(f64, Point)> = panels
        .iter()
        .flatten()
        .filter_map(|corner| Some((place(*corner)?, *corner)))
        .filter(|(step, _)| *step > 1.0)
        .collect();
    stops.sort_by(|a, b| a.0.total_cmp(&b.0));
    let leaves = |corner: Point, way: Vector, length: f64| {
        panels.iter().flat_map(|panel| polygon::edges(panel)).any(|(from, to)| {
            [(from, to), (to, from)].iter().any(|(near, far)| {
                let step = *far - *near;
                near.distance(corner) < SAME_IN
                    && step.dot(way) > length
                    && step.cross(way).abs() < SAME_IN
            })
        })
    };
    let (far, _) = stops.into_iter().find(|(step, corner)| {
        leaves(*corner, away, step * slope + CLEAR_IN) && leaves(*corner, -away, CLEAR_IN)
    })?;
    let middle = at + along * (far / 2.0);
    let is_locked = ground
        .locked
        .iter()
        .chain(&ground.moving)
        .any(|&(from, to)| nearest::distance_to_line(middle, from, to) < 0.6);
    if is_locked {
        return None;
    }
    let swung = panels.iter().map(|panel| {
        let panel = with_corner(panel, at);
        let lies_along = polygon::edges(&panel).any(|(from, to)| {
            let ends = place(from).zip(place(to));
            ends.is_some_and(|(a, b)| a.max(b) < far + SAME_IN && a.min(b) > -SAME_IN)
        });
        let moved = |corner: &Point| match place(*corner) {
            Some(step) if lies_along && step > SAME_IN && step < far + SAME_IN => {
                *corner + away * (step * slope)
            }
            _ => *corner,
        };
        panel.iter().map(moved).collect()
    });
    let swung: Vec<Vec<Point>> = swung.collect();
    // What one panel gives another must take, or the joint was not between whole panels.
    let area = |panels: &[Vec<Point>]| -> f64 {
        panels.iter().map(|panel| polygon::signed_area(panel)).sum()
    };
    ((area(&swung) - area(panels)).abs() < SAME_IN).then_some(swung)
}

/// The ring with a corner at a place on one of its sides: a wall that runs on as the joint has none
/// where they meet.
fn with_corner(panel: &[Point], at: Point) -> Vec<Point> {
    let mut ring = panel.to_vec();
    let side = polygon::edges(panel).position(|(from, to)| {
        nearest::distance_to_line(at, from, to) < SAME_IN
            && from.distance(at) > SAME_IN
            && to.distance(at) > SAME_IN
    });
    let is_corner = panel.iter().any(|corner| corner.distance(at) < SAME_IN);
    if let Some(side) = side.filter(|_| !is_corner) {
        ring.insert(side + 1, at);
    }
    ring
}

/// The joint that makes the sharp corner: its direction from the corner, and the direction square
/// to it that leads away from the wall beside it.
fn leaving_joint(
    panels: &[Vec<Point>],
    (at, angle): (Point, f64),
    ground: &Ground,
) -> Option<(Vector, Vector)> {
    panels.iter().find_map(|panel| {
        let panel = shape::tidy(panel);
        let corners: Vec<(Point, f64)> = shape::angles(&panel).collect();
        let index = corners.iter().position(|(corner, own)| {
            corner.distance(at) < SAME_IN && (own - angle).abs() < 1e-6
        })?;
        let count = panel.len();
        let (before, after) = (panel[(index + count - 1) % count], panel[(index + 1) % count]);
        match (ground.is_edge(before, at), ground.is_edge(at, after)) {
            // The panel lies on the left of its sides; the wall beside the joint bounds it.
            (true, false) => (after - at).unit().map(|along| (along, -along.left())),
            (false, true) => (before - at).unit().map(|along| (along, along.left())),
            _ => None,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::polygon::signed_area;

    fn feet(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|&(x, y)| Point::feet(x, y)).collect()
    }

    #[test]
    fn the_joint_beside_a_splay_is_swung_about_the_inside_corner() {
        // A wall along y = 0 with a bay that splays at 45 degrees from (10, 0).
        let slab =
            feet(&[(0.0, 0.0), (10.0, 0.0), (13.0, -3.0), (20.0, -3.0), (20.0, 10.0), (0.0, 10.0)]);
        let ground = Ground {
            region: Polygon::new(slab, Vec::new()),
            corners: vec![(Point::feet(10.0, 0.0), 1.25 * std::f64::consts::PI)],
            ..Ground::default()
        };
        let panels = vec![
            // The wall and the joint are one side of the first panel.
            feet(&[(0.0, 0.0), (15.0, 0.0), (15.0, 10.0), (0.0, 10.0)]),
            feet(&[(10.0, 0.0), (13.0, -3.0), (15.0, -3.0), (15.0, 0.0)]),
            feet(&[(15.0, -3.0), (20.0, -3.0), (20.0, 10.0), (15.0, 10.0)]),
        ];
        let rules = JointRules::with_spacing(200.0, 3.0);
        assert_eq!(sharp_places(&panels, &ground, &rules).len(), 1);
        let now = blunted(panels.clone(), &ground, &rules);
        assert!(sharp_places(&now, &ground, &rules).is_empty(), "{now:?}");
        let area =
            |panels: &[Vec<Point>]| panels.iter().map(|panel| signed_area(panel)).sum::<f64>();
        assert!((area(&now) - area(&panels)).abs() < 1e-6);
        // Swung by a little over 15 degrees: 5 ft on it is 1 ft 4 in up, and the third panel is
        // as it was.
        let rises = 60.0 * tan(15.0_f64.to_radians() + SWUNG_OVER);
        let end = Point::new(180.0, rises);
        assert!(now[0].iter().chain(&now[1]).filter(|at| at.distance(end) < 1e-6).count() == 2);
        assert_eq!(now[2], panels[2]);
    }

    #[test]
    fn a_locked_joint_is_not_swung_nor_joined_away() {
        let slab =
            feet(&[(0.0, 0.0), (10.0, 0.0), (13.0, -3.0), (15.0, -3.0), (15.0, 10.0), (0.0, 10.0)]);
        let locked = vec![(Point::feet(10.0, 0.0), Point::feet(15.0, 0.0))];
        let ground = Ground {
            region: Polygon::new(slab, Vec::new()),
            corners: vec![(Point::feet(10.0, 0.0), 1.25 * std::f64::consts::PI)],
            locked,
            ..Ground::default()
        };
        let panels = vec![
            feet(&[(0.0, 0.0), (10.0, 0.0), (15.0, 0.0), (15.0, 10.0), (0.0, 10.0)]),
            feet(&[(10.0, 0.0), (13.0, -3.0), (15.0, -3.0), (15.0, 0.0)]),
        ];
        let rules = JointRules::with_spacing(200.0, 3.0);
        assert_eq!(blunted(panels.clone(), &ground, &rules), panels);
    }
}
