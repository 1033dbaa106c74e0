//! Rules about foam boards.

mod below_code;
mod close_seams;
mod crushed_edge;
mod crushed_floor;
mod seams_over_seams;
mod small_pieces;

use super::Rule;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[
    crushed_edge::RULE,
    crushed_floor::RULE,
    below_code::RULE,
    close_seams::RULE,
    seams_over_seams::RULE,
    small_pieces::RULE,
];
