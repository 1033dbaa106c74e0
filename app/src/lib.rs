//! Slabloom's program.

pub mod export;
