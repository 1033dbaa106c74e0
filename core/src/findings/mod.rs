//! Findings: what is wrong or worth knowing, where, by which rule, and what to do about it.

use crate::geometry::Point;
use crate::job::Job;
use crate::job::ids::ItemId;
use crate::parts::Parts;

/// Something that a person should know before the truck is ordered.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The rule's id: subject and name, such as `concrete.thin-floor`.
    pub rule: &'static str,
    /// How bad.
    pub severity: Severity,
    /// Where on the plan.
    pub at: Option<Point>,
    /// The thing of the job it is about.
    pub item: Option<ItemId>,
    /// What is wrong, in the user's words.
    pub message: String,
    /// What to do.
    pub remedy: String,
    /// Document, edition and table, or that it is common practice.
    pub source: String,
}

/// How bad a finding is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Do not build it so.
    Stop,
    /// Look at it before building.
    Warn,
    /// Worth knowing.
    #[default]
    Note,
}

/// All findings of a job, worst first.
#[must_use]
pub fn find(_job: &Job, _parts: &Parts) -> Vec<Finding> {
    Vec::new()
}
