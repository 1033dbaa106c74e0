//! Stock to pieces: which bar, coil or board each piece is cut from.
//!
//! Form boards, bars, tube coils and edge boards are all the same question: pieces that must
//! each come whole out of one stock length, for the least money. [`stock_lengths`] answers it
//! in one dimension. It gives the best plan it found together with a lower bound, and says
//! whether the two meet; it never calls a plan the best because no better one was seen.
//!
//! Method: [`column_generation`] (Gilmore and Gomory 1961, 1963) bounds the cost from below,
//! `bin_completion` (after Korf 2002, from memory) searches plan by plan between that bound and
//! the plan of best-fit decreasing.

mod bin_completion;
pub mod column_generation;
pub mod guillotine;
pub mod stock_lengths;

pub use stock_lengths::{CutPlan, CutProblem, Stock, StockCut, cut_stock};
