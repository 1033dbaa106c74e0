//! Random slabs for property tests, from a seeded generator of our own.

pub mod footprints;
pub mod houses;
pub mod odd_footprints;
