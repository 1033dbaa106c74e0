//! Tables of standards and of the trade as data, each with where it comes from.
//!
//! Code, tests and documents read the same rows. A fact of the trade without a document behind
//! it is marked as common practice, and one that nobody re-read is marked as from memory, so
//! that a reader knows what to confirm before leaning on it.

pub mod concrete;
pub mod fluids;
pub mod foam;
pub mod heating;
pub mod joints;
pub mod safety;
pub mod soil;
pub mod source;
pub mod steel;
pub mod tube;
pub mod weather;

pub use source::{HowKnown, Source};
