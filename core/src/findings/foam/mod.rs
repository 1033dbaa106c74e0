//! Rules about foam boards.

mod close_seams;
mod crushed_edge;
mod crushed_floor;
mod small_pieces;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] =
    &[crushed_edge::RULE, crushed_floor::RULE, close_seams::RULE, small_pieces::RULE];
