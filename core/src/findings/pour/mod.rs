//! Rules about the subgrade, the order and pour day.

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[];
