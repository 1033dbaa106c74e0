//! Rules about concrete, forms, steel and base.

mod large_aggregate;
mod large_penetration;
mod narrow_flat;
mod narrow_wing;
mod no_membrane;
mod shallow_edge;
mod short_lap;
mod slump;
mod thin_cover;
mod thin_floor;
mod thin_membrane;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[
    thin_floor::RULE,
    shallow_edge::RULE,
    narrow_flat::RULE,
    narrow_wing::RULE,
    large_aggregate::RULE,
    thin_cover::RULE,
    short_lap::RULE,
    no_membrane::RULE,
    thin_membrane::RULE,
    slump::RULE,
    large_penetration::RULE,
];

#[cfg(test)]
fn square_of_feet(side: f64) -> [(crate::geometry::Point, Option<crate::geometry::Point>); 4] {
    [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
        .map(|(x, y)| (crate::geometry::Point::feet(x, y), None))
}

#[cfg(test)]
fn planned(job: &crate::job::Job) -> crate::parts::Parts {
    let plan = std::sync::Arc::new(crate::plan::Plan::of(job));
    crate::parts::Parts { plan, ..crate::parts::Parts::default() }
}
