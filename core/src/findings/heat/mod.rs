//! Rules about heat and water.

mod downward_loss;
mod hot_supply;
mod no_foam;
mod short_output;
mod warm_surface;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] =
    &[warm_surface::RULE, short_output::RULE, hot_supply::RULE, downward_loss::RULE, no_foam::RULE];
