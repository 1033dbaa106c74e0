//! Rules about what can hurt someone.

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[];
