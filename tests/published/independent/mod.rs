//! Second, plainer computations that share no method with the program, and random jobs for them.

pub mod levels;
pub mod offsets;
pub mod random_slabs;
//! Second, plainer computations to hold the program against.

pub mod panels;
