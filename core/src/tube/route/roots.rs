//! Roots of a fan that its trees can go on from.

#![expect(clippy::indexing_slicing, reason = "cell numbers come from the same vector")]

use crate::geometry::Point;
use crate::tube::bends::bulb_depth;
use crate::tube::cells::NONE;
use crate::tube::fan::{FanRules, FanShape, Root, spread};
use crate::tube::field::Heading;
use crate::tube::frame::Frame;
use crate::tube::rules::Rules;
use crate::tube::view::View;

/// The roots of a fan, `None` when it does not fit or a root has no way out.
#[must_use]
pub fn roots_of(
    view: &View,
    ports: &[Point],
    shape: &FanShape,
    rules: &Rules,
) -> Option<Vec<Root>> {
    let roots = spread(&view.ground(), &view.cells, ports, shape, fan_rules(rules, &view.frame))?;
    have_ways_out(view, &roots).then_some(roots)
}

/// What fans are made from under these rules.
#[must_use]
pub fn fan_rules(rules: &Rules, frame: &Frame) -> FanRules {
    let off_cells = rules.beside_leaders();
    // Beside a wall a bulb bows to the other side only.
    let with_bulb = rules.bow_to_one_side() + rules.demands().least_at_leaders + 0.05;
    FanRules {
        off_cells,
        off_teeth: with_bulb.max(off_cells),
        radius: rules.bend() * frame.turn(),
        reach: return_depth(rules) * frame.turn() + 0.5,
        lane: rules.port_spacing,
        pair: rules.pair,
    }
}

/// Whether a tree can go on from every root.
#[must_use]
pub fn have_ways_out(view: &View, roots: &[Root]) -> bool {
    let places: Vec<_> = roots.iter().map(|root| root.at).collect();
    let has_way_out = |root: &Root| {
        let Some(cell) = view.cells.at(root.at.0, root.at.1) else { return false };
        Heading::ALL.into_iter().any(|heading| {
            let beside = view.cells.next(cell, heading.0);
            heading != root.opening
                && beside != NONE
                && !places.contains(&view.cells.list[beside].at)
        })
    };
    roots.iter().all(has_way_out)
}

/// How much of the leg before it a return between neighbours takes: a bulb more than a half circle.
fn return_depth(rules: &Rules) -> f64 {
    let radius = rules.bend();
    if rules.is_tight() { bulb_depth(rules.least_pitch(), radius) } else { radius }
}
