//! Painters: pages to bytes, each ignorant of the others.
//!
//! A page is a list of marks in points of 1/72 in; a painter walks it and decides nothing about
//! where things go. Same pages and facts, same bytes.

pub mod csv;
pub mod pdf;
pub mod png;
pub mod svg;

#[cfg(test)]
mod sample;
#[cfg(test)]
mod sets;
