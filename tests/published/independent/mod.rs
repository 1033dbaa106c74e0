//! Second, plainer computations that share no method with the program, and random jobs for them.

pub mod foam_checker;
pub mod levels;
pub mod offsets;
pub mod panels;
pub mod partition;
pub mod random_slabs;
