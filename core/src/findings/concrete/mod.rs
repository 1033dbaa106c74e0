//! Rules about concrete, forms, steel and base.

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[];
