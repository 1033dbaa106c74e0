//! Joins crumbs and slivers of floor to a neighbour when the two together keep the rules better.
//!
//! A wall that passes close by a crossing of two lines leaves a crumb that no line would make
//! good; taking the joint between it and a neighbour away does.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::rules::JointRules;
use super::shape;
use crate::geometry::{Bounds, Point, Polygon, clip, polygon};

/// The panels with those that break a rule of shape joined to a neighbour where that helps.
#[must_use]
pub fn joined(mut panels: Vec<Vec<Point>>, rules: &JointRules) -> Vec<Vec<Point>> {
    let mut index = 0;
    while index < panels.len() {
        if fault(&panels[index], rules) == 0 {
            index += 1;
            continue;
        }
        match best_neighbour(&panels, index, rules) {
            Some((other, joined)) => {
                panels[other] = joined;
                panels.remove(index);
                // The joined panel may stand earlier or later; faults only get fewer.
                index = 0;
            }
            None => index += 1,
        }
    }
    panels
}

/// How badly a panel breaks the rules of shape.
fn fault(panel: &[Point], rules: &JointRules) -> u32 {
    let (long, short) = shape::least_box(panel);
    8 * u32::from(long > rules.spacing + 0.002)
        + 2 * u32::from(short < rules.narrowest)
        + u32::from(long > rules.aspect_limit * short + 1e-6)
}

fn best_neighbour(
    panels: &[Vec<Point>],
    index: usize,
    rules: &JointRules,
) -> Option<(usize, Vec<Point>)> {
    let own_fault = fault(&panels[index], rules);
    let mut best: Option<(u32, f64, usize, Vec<Point>)> = None;
    for (other, union) in unions(panels, index) {
        let rated = (fault(&union, rules), shape::least_box(&union).0);
        let is_better = best.as_ref().is_none_or(|known| rated < (known.0, known.1));
        if rated.0 < own_fault + fault(&panels[other], rules) && is_better {
            best = Some((rated.0, rated.1, other, union));
        }
    }
    best.map(|(_, _, other, joined)| (other, joined))
}

/// The neighbours that a panel can be made one with, by index, and what the two are together:
/// whole, and nowhere bent in, since the joint between them may have come from an inside corner.
pub fn unions(
    panels: &[Vec<Point>],
    index: usize,
) -> impl Iterator<Item = (usize, Vec<Point>)> + '_ {
    let own = &panels[index];
    let bounds = Bounds::of(own.iter().copied()).map(|bounds| bounds.grown(0.1));
    panels.iter().enumerate().filter_map(move |(other, panel)| {
        let their = Bounds::of(panel.iter().copied())?;
        if other == index || !their.touches(bounds?) {
            return None;
        }
        let as_region = |ring: &Vec<Point>| [Polygon::new(ring.clone(), Vec::new())];
        let union = clip::union(&as_region(own), &as_region(panel));
        let [one] = union.as_slice() else { return None };
        let sum = polygon::signed_area(own) + polygon::signed_area(panel);
        let is_whole = one.holes.is_empty() && (one.area() - sum).abs() < 0.2;
        let bends_in = shape::angles(&shape::tidy(&one.outer)).any(|(_, angle)| angle > 3.4);
        (is_whole && !bends_in).then(|| (other, one.outer.clone()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crumb_joins_its_neighbour() {
        let ring = |corners: &[(f64, f64)]| corners.iter().map(|&c| Point::from(c)).collect();
        let panels: Vec<Vec<Point>> = vec![
            ring(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]),
            ring(&[(100.0, 0.0), (200.0, 0.0), (200.0, 100.0), (100.0, 100.0)]),
            ring(&[(100.0, 100.0), (110.0, 100.0), (100.0, 102.0)]),
        ];
        let area: f64 = panels.iter().map(|panel| polygon::signed_area(panel)).sum();
        let mended = joined(panels, &JointRules::with_spacing(120.0, 1.5));
        assert_eq!(mended.len(), 2);
        let now: f64 = mended.iter().map(|panel| polygon::signed_area(panel)).sum();
        assert!((now - area).abs() < 0.01);
    }
}
