//! Rules about the plan itself.

mod fault;
mod no_outline;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[no_outline::RULE, fault::FAULT, fault::LOOSE];
