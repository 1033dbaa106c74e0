//! The tree's own rules.
