//! A job's own consistency: what must hold before anything can follow from it.
//!
//! Held in this order: numbers are finite and in a range that a slab can have ([`ranges`]), ids
//! are given out once and exist ([`references`]), rings can be built ([`shapes`]), and there is not
//! more of anything than the program can lay out. The ranges are wide: they keep out slips of the
//! unit and numbers that would make a layout endless, not unusual slabs. Whether a slab is a good
//! one is the business of the findings.

mod range;
mod ranges;
mod references;
mod shapes;
mod trade_ranges;

use super::Job;
use super::ids::ItemId;
use crate::geometry::Point;
use std::fmt;

/// The most corners of all rings together that a job may have.
pub const MOST_CORNERS: usize = 2_000;
/// The most zones, manifolds, strips, pads, drawn joints and other listed things, each kind.
pub const MOST_THINGS: usize = 1_000;
/// The most survey shots.
pub const MOST_SHOTS: usize = 20_000;
/// The largest slab that is laid out, in square feet.
pub const LARGEST_SLAB_FT2: f64 = 200_000.0;
/// The longest text in a field, in bytes.
pub const LONGEST_FIELD: usize = 20_000;

/// How much a fault stands in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultLevel {
    /// A number is none or far out of range, an id is taken twice: no such job can be opened.
    Unusable,
    /// A shape cannot be built: the job opens and can be mended, but nothing follows from it.
    Unbuildable,
    /// Something refers to what is not there; it is passed over.
    Loose,
}

/// Something that does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct JobFault {
    /// How much it stands in the way.
    pub level: FaultLevel,
    /// The field, as `heating.zones[0].spacing`.
    pub field: String,
    /// Where on the plan.
    pub at: Option<Point>,
    /// The thing it is about.
    pub item: Option<ItemId>,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

impl fmt::Display for JobFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}: {}", self.field, self.message)?;
        if !self.remedy.is_empty() {
            write!(formatter, ". {}", self.remedy)?;
        }
        Ok(())
    }
}

/// The first number that no slab can have, as typed or read; `None` when every one is in range.
#[must_use]
pub fn unusable_number(job: &Job) -> Option<JobFault> {
    let mut found = Vec::new();
    let mut held = range::Ranges { found: &mut found };
    ranges::check(job, &mut held);
    trade_ranges::check(job, &mut held);
    found.into_iter().next()
}

/// Everything about a job that does not hold, worst first.
#[must_use]
pub fn faults(job: &Job) -> Vec<JobFault> {
    let mut found = Vec::new();
    let mut held = range::Ranges { found: &mut found };
    ranges::check(job, &mut held);
    trade_ranges::check(job, &mut held);
    references::check(job, &mut found);
    // Shapes of numbers that are none would say the same again.
    if found.iter().all(|fault| fault.level > FaultLevel::Unusable) {
        shapes::check(job, &mut found);
    }
    found.sort_by_key(|fault| fault.level);
    found
}

/// The first fault that keeps anything from following from the job; `None` when it can be derived.
#[must_use]
pub fn blocking_fault(job: &Job) -> Option<JobFault> {
    faults(job).into_iter().find(|fault| fault.level < FaultLevel::Loose)
}
