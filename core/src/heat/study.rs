//! What the floor could be instead, and the sections to look at: worked out once for all who show
//! it.
//!
//! Question: what would another depth or spacing do to this floor, and what does its section look
//! like? Method: [`compare`](super::compare), [`picture`](super::picture).
//! It takes longer than a glance, so it comes last of the heat and can be given up.

use super::Heat;
use super::compare::{FloorChoice, GroundLoss, compare_floors, ground_loss};
use super::picture::{EdgePicture, SectionPicture, picture_edge, picture_section};
use crate::effort::{Cancel, Cancelled};
use crate::job::Job;
use crate::plan::Plan;
use crate::tube::Tube;

/// °F from line to line in the floor's section and in the edge's.
const STEPS_F: (f64, f64) = (2.0, 5.0);

/// Choices side by side and sections.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeatStudy {
    /// Depths and spacings for the same heat.
    pub floors: Vec<FloorChoice>,
    /// What the ground takes of the floor as it is.
    pub ground: GroundLoss,
    /// The floor in section at the spacing of its largest zone.
    pub section: Option<SectionPicture>,
    /// The edge in section.
    pub edge: Option<EdgePicture>,
}

/// Spacing of the zone with the most heated floor, inches, as laid; as asked before tube is
/// routed.
#[must_use]
pub fn main_spacing(job: &Job, tube: &Tube) -> f64 {
    let largest = tube.zones.iter().max_by(|a, b| a.heated_area.total_cmp(&b.heated_area));
    let asked = || job.heating.zones.first().map(|zone| zone.spacing.to_inches());
    largest.map(|zone| zone.laid_spacing).or_else(asked).filter(|s| *s > 0.5).unwrap_or(12.0)
}

/// Works out the study of a heated floor; nothing for one that is not.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn study_floor(
    job: &Job,
    plan: &Plan,
    tube: &Tube,
    heat: &Heat,
    cancel: &Cancel,
) -> Result<HeatStudy, Cancelled> {
    if !job.heating.is_heated || plan.is_empty() {
        return Ok(HeatStudy::default());
    }
    let spacing = main_spacing(job, tube);
    Ok(HeatStudy {
        floors: compare_floors(job, plan, heat, spacing, cancel)?,
        ground: ground_loss(job, plan),
        section: picture_section(job, plan, heat, spacing, STEPS_F.0),
        edge: picture_edge(job, plan, spacing, STEPS_F.1),
    })
}
