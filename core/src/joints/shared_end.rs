//! Two joints that cross close by a slanted wall end in one.
//!
//! Drawn on past their crossing, each would meet the wall aslant and leave a crumb between them
//! with no room to turn either end in. In place of both, one joint runs from the crossing to the
//! wall, square to it or as far off square as the panels beside it need to keep the spacing; what
//! the crumb held goes to the panels on its two sides.

use super::ground::Ground;
use super::mend::unions;
use super::rules::JointRules;
use super::square_ends::SAME_IN;
use crate::geometry::{Point, nearest};
use crate::units::exact_math::tan;
use std::f64::consts::FRAC_PI_2;

/// Ends tried along the wall, as shares of the way from the square one to the sharpest allowed.
const ALONG: [f64; 7] = [0.0, 0.3, -0.3, 0.6, -0.6, 0.95, -0.95];

/// The layouts in which a crumb with a corner here is cut from the crossing to the wall and its
/// two parts are joined to the panels beside them; the squarest first.
#[must_use]
pub fn sharing_one_end(
    panels: &[Vec<Point>],
    at: Point,
    ground: &Ground,
    rules: &JointRules,
) -> Vec<Vec<Vec<Point>>> {
    let has_corner = |panel: &Vec<Point>| panel.iter().any(|own| own.distance(at) < SAME_IN);
    let Some((number, crumb)) = panels.iter().enumerate().find_map(|(number, panel)| {
        let crumb = has_corner(panel).then(|| Crumb::of(panel, ground)).flatten()?;
        Some((number, crumb))
    }) else {
        return Vec::new();
    };
    let mut rest = panels.to_vec();
    rest.remove(number);
    ALONG
        .iter()
        .filter_map(|share| crumb.cut(share * tan(FRAC_PI_2 - rules.sharpest)))
        .flat_map(|[one, other]| {
            let with_one = given(&rest, &one);
            with_one.into_iter().flat_map(move |with_one| given(&with_one, &other))
        })
        .collect()
}

/// A panel with one corner off the walls.
struct Crumb {
    /// That corner, where the joints cross.
    crossing: Point,
    /// The wall from the end of one joint to the end of the other.
    wall: Vec<Point>,
}

impl Crumb {
    fn of(panel: &[Point], ground: &Ground) -> Option<Self> {
        let mut inner = (0..panel.len())
            .filter(|&index| panel.get(index).is_some_and(|&at| !ground.is_on_edge(at)));
        let (Some(index), None) = (inner.next(), inner.next()) else { return None };
        let mut ring = panel.to_vec();
        ring.rotate_left(index);
        let (&crossing, wall) = ring.split_first()?;
        Some(Self { crossing, wall: wall.to_vec() })
    }

    /// The two parts between the wall and a cut that meets it `slant` times its length from where
    /// a square one would; `None` where that is not between the joints.
    fn cut(&self, slant: f64) -> Option<[Vec<Point>; 2]> {
        let Self { crossing, wall } = self;
        let (&first, &last) = (wall.first()?, wall.last()?);
        let stretches = wall.iter().zip(wall.iter().skip(1));
        let square = |(&from, &to)| (nearest::nearest_on_line(*crossing, from, to), to - from);
        let (before, (foot, along)) = stretches
            .map(square)
            .enumerate()
            .min_by(|a, b| a.1.0.distance(*crossing).total_cmp(&b.1.0.distance(*crossing)))?;
        let (before, after) = wall.split_at_checked(before + 1)?;
        let end = foot + along.unit()? * (slant * foot.distance(*crossing));
        let on_stretch = nearest::nearest_on_line(end, *before.last()?, *after.first()?);
        if on_stretch.distance(end) > SAME_IN || end.distance(first).min(end.distance(last)) < 1.0 {
            return None;
        }
        Some([[&[*crossing], before, &[end]].concat(), [&[*crossing, end], after].concat()])
    }
}

/// The layouts in which a piece of floor is joined to one of the panels.
fn given(panels: &[Vec<Point>], piece: &[Point]) -> Vec<Vec<Vec<Point>>> {
    let with_piece = [panels, &[piece.to_vec()]].concat();
    unions(&with_piece, panels.len())
        .map(|(other, union)| {
            let mut changed = panels.to_vec();
            if let Some(panel) = changed.get_mut(other) {
                *panel = union;
            }
            changed
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Polygon, polygon};

    fn feet(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|&(x, y)| Point::feet(x, y)).collect()
    }

    /// Four panels about a crossing at (10, 10) with the far corner of the slab cut off a few feet
    /// beyond it.
    fn four_panels() -> (Ground, Vec<Vec<Point>>) {
        let slab = feet(&[(0.0, 0.0), (20.0, 0.0), (20.0, 4.0), (4.0, 20.0), (0.0, 20.0)]);
        let ground = Ground { region: Polygon::new(slab, Vec::new()), ..Ground::default() };
        let panels = vec![
            feet(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]),
            feet(&[(10.0, 0.0), (20.0, 0.0), (20.0, 4.0), (14.0, 10.0), (10.0, 10.0)]),
            feet(&[(10.0, 10.0), (14.0, 10.0), (10.0, 14.0)]),
            feet(&[(0.0, 10.0), (10.0, 10.0), (10.0, 14.0), (4.0, 20.0), (0.0, 20.0)]),
        ];
        (ground, panels)
    }

    #[test]
    fn one_joint_square_to_the_wall_takes_the_place_of_two() {
        let (ground, panels) = four_panels();
        let rules = JointRules::with_spacing(150.0, 1.5);
        let shared = sharing_one_end(&panels, Point::feet(10.0, 14.0), &ground, &rules);
        let area =
            |panels: &[Vec<Point>]| panels.iter().map(|own| polygon::signed_area(own)).sum::<f64>();
        let off = shared.iter().map(|layout| (area(layout) - area(&panels)).abs());
        // The overlay works on a grid of its own: some millionths of a square inch.
        assert!(off.fold(0.0, f64::max) < 1e-4);
        let ends_at = |layout: &&Vec<Vec<Point>>, foot: Point| {
            let ends = layout.iter().flatten().filter(|at| at.distance(foot) < SAME_IN);
            layout.len() == 3 && ends.count() == 2
        };
        let square = Point::feet(12.0, 12.0);
        assert!(shared.iter().any(|layout| ends_at(&layout, square)));
        // At 60 degrees to the wall the end is tan 30 times the joint's length along it.
        let aside = 24.0 * 0.95 / 3.0_f64.sqrt();
        let slanted = square + crate::geometry::Vector::new(-aside, aside);
        assert!(shared.iter().any(|layout| ends_at(&layout, slanted)));
    }

    #[test]
    fn a_whole_panel_keeps_its_corners() {
        let (ground, panels) = four_panels();
        let rules = JointRules::with_spacing(150.0, 1.5);
        let at = Point::feet(10.0, 10.0);
        assert!(sharing_one_end(&panels[1..2], at, &ground, &rules).is_empty());
    }
}
