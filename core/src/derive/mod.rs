//! From a job to its results.
//!
//! [`derive()`] is pure: same job, same results, on any machine. [`Deriver`] gives the same answer
//! and remembers the last one: a stage whose inputs are the same allocations as last time is not
//! run again, and one that ran and gave an equal answer keeps the old allocation, so that nothing
//! after it runs either. The stages and what each reads stand in [`stages`].

pub mod alternates;
pub mod contract;
mod stages;

use crate::effort::{Cancel, Cancelled};
use crate::findings::{self, Finding};
use crate::job::{Job, check};
use crate::parts::Parts;

/// Everything that follows from a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Results {
    /// What layouts and quantities gave.
    pub parts: Parts,
    /// What a person should know, worst first.
    pub findings: Vec<Finding>,
}

/// Derives everything from a job.
#[must_use]
pub fn derive(job: &Job) -> Results {
    // Nobody holds the flag, so the work cannot be given up.
    derive_cancellable(job, &Cancel::new()).unwrap_or_default()
}

/// Derives everything from a job unless it is cancelled.
///
/// # Errors
/// [`Cancelled`] when the flag was raised before the end.
pub fn derive_cancellable(job: &Job, cancel: &Cancel) -> Result<Results, Cancelled> {
    Deriver::default().derive(job, cancel, &mut |_| {})
}

/// Derives one job after another and does not do again what did not change.
#[derive(Clone, Debug, Default)]
pub struct Deriver {
    last: Option<(Job, Parts)>,
}

impl Deriver {
    /// One that remembers what was derived from a job.
    #[must_use]
    pub fn after(job: &Job, results: &Results) -> Self {
        Self { last: Some((job.clone(), results.parts.clone())) }
    }

    /// Derives everything from a job; `each_part` sees the parts as they grow, cheap ones first.
    ///
    /// # Errors
    /// [`Cancelled`] when the flag was raised before the end; what was remembered stays as it was.
    pub fn derive(
        &mut self,
        job: &Job,
        cancel: &Cancel,
        each_part: &mut dyn FnMut(&Parts),
    ) -> Result<Results, Cancelled> {
        // Nothing can follow from a job with numbers that are none or rings that cross; the
        // findings say what and where.
        let parts = match check::blocking_fault(job) {
            Some(_) => Parts::default(),
            None => stages::run(job, self.last.as_ref(), cancel, each_part)?,
        };
        let findings = findings::find(job, &parts);
        self.last = Some((job.clone(), parts.clone()));
        Ok(Results { parts, findings })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::{Edit, MoveBy, OutlineEdit};
    use crate::geometry::Point;
    use std::sync::Arc;

    fn square() -> Job {
        Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(24.0, 0.0), None),
            (Point::feet(24.0, 18.0), None),
            (Point::feet(0.0, 18.0), None),
        ])
    }

    #[test]
    fn what_did_not_change_is_the_same_allocation() {
        let mut deriver = Deriver::default();
        let job = square();
        let first = deriver.derive(&job, &Cancel::new(), &mut |_| {}).unwrap();
        let mut prices = (*job.prices).clone();
        prices.margin = 0.2;
        let dearer = Edit::SetPrices(prices).apply(&job).unwrap();
        let second = deriver.derive(&dearer, &Cancel::new(), &mut |_| {}).unwrap();
        assert!(Arc::ptr_eq(&first.parts.tube, &second.parts.tube));
        assert!(Arc::ptr_eq(&first.parts.takeoff, &second.parts.takeoff));
    }

    #[test]
    fn a_remembering_deriver_agrees_with_a_fresh_one() {
        let mut deriver = Deriver::default();
        let mut job = square();
        let side = job.outline.sides[1].id;
        let mut build_up = (*job.build_up).clone();
        build_up.floor_thickness = crate::units::Length::inches(5.0);
        let mut pour = (*job.pour).clone();
        pour.truck_yd3 = 7.0;
        let edits = [
            Edit::Outline(OutlineEdit::MoveSide(side, MoveBy { x: 30.0, y: 0.0 })),
            Edit::SetBuildUp(build_up),
            Edit::SetPour(pour),
            Edit::Move(job.heating.manifolds[0].id.into(), MoveBy { x: 12.0, y: 0.0 }),
        ];
        for edit in edits {
            job = edit.apply(&job).unwrap();
            let reused = deriver.derive(&job, &Cancel::new(), &mut |_| {}).unwrap();
            assert_eq!(
                contract::to_json(&reused),
                contract::to_json(&derive(&job)),
                "after {}",
                edit.name()
            );
        }
    }

    #[test]
    fn a_crossing_outline_gives_a_stop_with_its_place_and_no_numbers() {
        let mut job = square();
        Arc::make_mut(&mut job.outline).sides[1].start = Point::feet(10.0, 30.0);
        let results = derive(&job);
        assert!(results.parts.plan.is_empty());
        assert!(
            results
                .findings
                .iter()
                .any(|finding| finding.rule == "plan.fault" && finding.at.is_some())
        );
    }

    #[test]
    fn a_raised_flag_gives_the_work_up() {
        let cancel = Cancel::new();
        cancel.raise();
        assert_eq!(derive_cancellable(&square(), &cancel), Err(Cancelled));
    }
}
