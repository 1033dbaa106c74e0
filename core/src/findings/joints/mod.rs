//! Rules about joints and sawing.

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[];
