//! Rules about heat and water.

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[];
