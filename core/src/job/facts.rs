//! What the job is called and how its numbers are shown.

use crate::units::{LengthUnit, Rounding};
use serde::{Deserialize, Serialize};

/// Name, place and customer of the job.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct JobFacts {
    /// What the job is called.
    pub title: String,
    /// The job's own number, as the company counts.
    pub number: String,
    /// Where it is.
    pub place: String,
    /// Who it is for.
    pub customer: String,
    /// Who drew it up.
    pub drawn_by: String,
    /// Date of the plan as YYYY-MM-DD; the program has no clock, people write it.
    pub date: String,
    /// Anything worth saying on the cover sheet.
    pub notes: String,
    /// How lengths are shown and what a bare typed number means.
    pub display: Display,
    /// A person has checked the sheets against the site and the local code.
    pub is_checked: bool,
}

/// How numbers of this job are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Display {
    /// Step to which lengths are rounded on screen and paper.
    pub rounding: Rounding,
    /// The unit of a bare typed number.
    pub bare_unit: LengthUnit,
    /// Direction of north in the plan, degrees clockwise from plan up.
    pub north_degrees: f64,
}
