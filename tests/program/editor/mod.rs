//! Whole jobs done through the real widget tree, without a display: what is clicked and typed,
//! and what stands in the saved file afterwards.

mod changing;
mod desk;
mod drawing;
mod outside;
mod tracing;
mod windows;
