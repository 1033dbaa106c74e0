//! Rules about circuits.

mod cold_spot;
mod crowded_leaders;
mod edge_band;
mod fault;
mod oxygen;
mod pinned;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[
    fault::NOT_LAID,
    fault::NOT_AS_ASKED,
    pinned::RULE,
    cold_spot::RULE,
    edge_band::RULE,
    crowded_leaders::RULE,
    oxygen::RULE,
];
