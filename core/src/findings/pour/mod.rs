//! Rules about the subgrade, the order and pour day.

mod cold;
mod discharge;
mod evaporation;
mod hot_mix;
mod live_edge;
mod rough_subgrade;
mod short_load;
mod unmeasured;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[
    rough_subgrade::RULE,
    unmeasured::RULE,
    short_load::RULE,
    live_edge::RULE,
    discharge::RULE,
    evaporation::RULE,
    cold::RULE,
    hot_mix::RULE,
];
