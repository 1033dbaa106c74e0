//! Rules about the subgrade, the order and pour day.

mod cold;
mod evaporation;
mod hot_mix;
mod rough_subgrade;
mod short_load;
mod unmeasured;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[
    rough_subgrade::RULE,
    unmeasured::RULE,
    short_load::RULE,
    evaporation::RULE,
    cold::RULE,
    hot_mix::RULE,
];
