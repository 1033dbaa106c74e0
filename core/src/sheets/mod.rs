//! The sheet set: what the crew pins to the trailer wall, one file a sheet.
//!
//! Question: what must each trade see on paper, at which scale, in which order.
//! Method: every sheet is a function of the job and its results that gives drafts; the set gives
//! them numbers, frames and title blocks. Plans are drawn from the same tagged marks that the
//! picture uses ([`plan_marks`]); labels are placed on paper so that none stands on another.
//! A sheet whose subject the job does not have is left out.
//! Words: a *draft* is a sheet without its number; a *piece* is what flows in the column beside
//! a plan; a *plan area* is a plan at its scale with the room for its labels.

pub mod cover;
mod cut_diagrams;
pub mod edges;
pub mod floor_temperature;
pub mod foam;
mod foam_rows;
pub mod forms;
pub mod frame;
pub mod heat;
mod joint_rows;
pub mod joints;
mod manifold_detail;
pub mod money;
pub mod order;
pub mod pieces;
pub mod plan_area;
pub mod plan_marks;
pub mod pour;
pub mod record;
pub mod section_view;
pub mod set;
pub mod spread;
mod standing_foam;
pub mod steel;
pub mod subgrade;
pub mod tags;
pub mod tube;

pub use set::{Subject, ready_set, sheet_set, sheet_set_of, tables};
pub use tags::Shown;
