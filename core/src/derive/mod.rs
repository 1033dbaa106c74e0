//! From a job to its results: the stages in order.

use crate::effort::{Cancel, Cancelled};
use crate::findings::{self, Finding};
use crate::job::Job;
use crate::parts::Parts;
use crate::{concrete, foam, heat, joints, plan, pour, price, takeoff, tube};
use std::sync::Arc;

/// Everything that follows from a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Results {
    /// What layouts and quantities gave.
    pub parts: Parts,
    /// What a person should know.
    pub findings: Vec<Finding>,
}

/// Derives everything from a job. Same job, same results, on any machine.
#[must_use]
pub fn derive(job: &Job) -> Results {
    derive_cancellable(job, &Cancel::new()).unwrap_or_default()
}

/// Derives everything from a job unless it is cancelled.
///
/// # Errors
/// [`Cancelled`] when the flag was raised before the end.
pub fn derive_cancellable(job: &Job, cancel: &Cancel) -> Result<Results, Cancelled> {
    let plan = Arc::new(plan::Plan::of(job));
    let concrete = Arc::new(concrete::cast(job, &plan));
    let subgrade = Arc::new(pour::survey_subgrade(job, &plan));
    let foam = Arc::new(foam::lay_foam(job, &plan, &concrete, cancel)?);
    let moving_joints = Arc::new(joints::decide_moving_joints(job, &plan));
    let draft = joints::lay_out_joints(job, &plan, &concrete, &moving_joints, cancel)?;
    let tube = Arc::new(tube::route_circuits(job, &plan, &concrete, &moving_joints, cancel)?);
    let joints = Arc::new(joints::settle_joints(job, &plan, &moving_joints, &draft, &tube));
    let heat = Arc::new(heat::work_out_heat(job, &plan, &tube));
    let pour = Arc::new(pour::plan_pour(job, &plan, &concrete, &subgrade));
    let takeoff = Arc::new(takeoff::Takeoff::default());
    let price = Arc::new(price::price(&job.prices, &takeoff));
    let parts = Parts {
        plan,
        concrete,
        subgrade,
        foam,
        moving_joints,
        joints,
        tube,
        heat,
        pour,
        takeoff,
        price,
    };
    let findings = findings::find(job, &parts);
    Ok(Results { parts, findings })
}
