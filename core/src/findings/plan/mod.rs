//! Rules about the plan itself.

mod no_outline;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[no_outline::RULE];
