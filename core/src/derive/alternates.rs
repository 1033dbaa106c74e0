//! The same job with other choices, each derived and priced, to stand side by side in the bid.

use super::{Results, derive_cancellable};
use crate::effort::{Cancel, Cancelled};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::job::prices::Alternate;
use std::sync::Arc;

/// One alternate with what follows from it.
#[derive(Clone, Debug)]
pub struct DerivedAlternate {
    /// What it is called.
    pub name: String,
    /// The job as it would be.
    pub job: Job,
    /// What follows.
    pub results: Results,
}

/// The job with an alternate's choices in place of its own; nothing else differs.
#[must_use]
pub fn with_choices(job: &Job, alternate: &Alternate) -> Job {
    let mut job = job.clone();
    let changes_build_up = alternate.floor_thickness.is_some()
        || alternate.foam_thickness.is_some()
        || alternate.fibre_instead_of_steel.is_some();
    if changes_build_up {
        let build_up = Arc::make_mut(&mut job.build_up);
        if let Some(thickness) = alternate.floor_thickness {
            build_up.floor_thickness = thickness;
        }
        if let (Some(thickness), Some(layer)) =
            (alternate.foam_thickness, build_up.foam_layers.first_mut())
        {
            layer.thickness = thickness;
        }
        if let Some(dosage) = alternate.fibre_instead_of_steel {
            build_up.steel.floor = FloorSteel::None;
            build_up.steel.fibre_lb_per_yd3 = dosage;
        }
    }
    if let Some(spacing) = alternate.tube_spacing {
        for zone in &mut Arc::make_mut(&mut job.heating).zones {
            zone.spacing = spacing;
        }
    }
    job
}

/// Derives every alternate of the job's rate book.
///
/// # Errors
/// [`Cancelled`] when the flag was raised before the end.
pub fn derive_alternates(job: &Job, cancel: &Cancel) -> Result<Vec<DerivedAlternate>, Cancelled> {
    job.prices
        .alternates
        .iter()
        .map(|alternate| {
            let other = with_choices(job, alternate);
            let results = derive_cancellable(&other, cancel)?;
            Ok(DerivedAlternate { name: alternate.name.clone(), job: other, results })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    #[test]
    fn an_alternate_differs_by_what_it_changes_and_nothing_else() {
        let job = Job::default();
        let alternate =
            Alternate { tube_spacing: Some(Length::inches(9.0)), ..Alternate::default() };
        let other = with_choices(&job, &alternate);
        assert!(Arc::ptr_eq(&job.build_up, &other.build_up));
        assert!(Arc::ptr_eq(&job.outline, &other.outline));
        let none = with_choices(&job, &Alternate::default());
        assert_eq!(none, job);
    }
}
