//! Whole jobs done through the real widget tree, without a display: what is clicked and typed,
//! and what stands in the saved file afterwards.

mod changing;
mod desk;
mod drawing;
mod fingers;
mod foam;
mod outside;
mod pour_day;
mod sample_house;
mod tracing;
mod tube_by_hand;
mod two_jobs;
mod what_is_where;
mod windows;
