//! Rules about circuits.

mod cold_spot;
mod fault;
mod oxygen;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] =
    &[fault::NOT_LAID, fault::NOT_AS_ASKED, cold_spot::RULE, oxygen::RULE];
