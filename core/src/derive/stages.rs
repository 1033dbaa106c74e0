//! The stages in order: what each reads and what it gives. No stage reads a later one.
//!
//! Joints that move are decided before tube is routed and are inputs to it; contraction joints
//! are drafted before and settle after it, within their slack. So joints and tube, which each ask
//! about the other, meet without a circle.

use crate::effort::{Cancel, Cancelled};
use crate::job::Job;
use crate::parts::Parts;
use crate::plan::Plan;
use crate::tube::coils::{CoilPlan, plan_coils};
use crate::{concrete, foam, heat, joints, pour, price, takeoff, tube};
use std::sync::Arc;

/// What was derived last, to be taken over where nothing changed.
struct Before<'a> {
    job: &'a Job,
    parts: &'a Parts,
}

/// Runs one stage: `$part` from the subjects and earlier parts it `reads`.
macro_rules! stage {
    ($now:ident, $job:ident, $before:ident, $cancel:ident, $each:ident:
     $part:ident reads $($subject:ident),* ; $($earlier:ident),* => $make:expr) => {
        let is_same = $before.is_some_and(|before: &Before<'_>| {
            $(Arc::ptr_eq(&before.job.$subject, &$job.$subject) &&)*
            $(Arc::ptr_eq(&before.parts.$earlier, &$now.$earlier) &&)*
            true
        });
        let old = $before.map(|before: &Before<'_>| &before.parts.$part);
        $now.$part = match old {
            Some(old) if is_same => Arc::clone(old),
            _ => {
                if $cancel.is_raised() {
                    return Err(Cancelled);
                }
                let new = $make;
                match old {
                    Some(old) if **old == new => Arc::clone(old),
                    _ => Arc::new(new),
                }
            }
        };
        $each(&$now);
    };
}

pub(super) fn run(
    job: &Job,
    last: Option<&(Job, Parts)>,
    cancel: &Cancel,
    each: &mut dyn FnMut(&Parts),
) -> Result<Parts, Cancelled> {
    let before = last.map(|(job, parts)| Before { job, parts });
    let before = before.as_ref();
    let mut now = Parts::default();

    stage!(now, job, before, cancel, each:
        plan reads outline, openings; => Plan::of(job));
    stage!(now, job, before, cancel, each:
        concrete reads outline, edges, thickenings, build_up; plan
        => concrete::cast(job, &now.plan));
    stage!(now, job, before, cancel, each:
        subgrade reads subgrade; plan
        => pour::survey_subgrade(job, &now.plan));
    stage!(now, job, before, cancel, each:
        moving_joints reads joints, build_up; plan
        => joints::decide_moving_joints(job, &now.plan));
    stage!(now, job, before, cancel, each:
        joint_draft reads joints, build_up, edges, thickenings; plan, moving_joints
        => joints::lay_out_joints(job, &now.plan, &now.concrete, &now.moving_joints, cancel)?);
    stage!(now, job, before, cancel, each:
        pour reads pour, subgrade; plan, concrete, subgrade
        => pour::plan_pour(job, &now.plan, &now.concrete, &now.subgrade));
    stage!(now, job, before, cancel, each:
        foam reads outline, build_up, edges, thickenings; plan, concrete
        => foam::lay_foam(job, &now.plan, &now.concrete, cancel)?);
    stage!(now, job, before, cancel, each:
        tube reads heating, thickenings; plan, moving_joints
        => tube::route_circuits(job, &now.plan, &now.concrete, &now.moving_joints, cancel)?);
    stage!(now, job, before, cancel, each:
        joints reads joints, heating, build_up, edges, thickenings, pour; plan, moving_joints, joint_draft, tube
        => joints::settle_joints(job, &now.plan, &now.moving_joints, &now.joint_draft, &now.tube));
    stage!(now, job, before, cancel, each:
        coils reads heating; tube => coils(job, &now.tube, cancel)?);
    stage!(now, job, before, cancel, each:
        heat reads heating, build_up, edges, as_laid; plan, tube
        => heat::work_out_heat(job, &now.plan, &now.tube, cancel)?);
    stage!(now, job, before, cancel, each:
        takeoff reads build_up, heating;
        plan, concrete, foam, moving_joints, joints, tube, coils, pour
        => takeoff::take_off(job, &inputs(&now)));
    stage!(now, job, before, cancel, each:
        price reads prices; takeoff => price::price(&job.prices, &now.takeoff));
    stage!(now, job, before, cancel, each:
        heat_study reads heating, build_up, edges; plan, tube, heat
        => heat::study::study_floor(job, &now.plan, &now.tube, &now.heat, cancel)?);
    stage!(now, job, before, cancel, each:
        foam_costs reads heating, build_up, edges, prices; plan, foam
        => heat::compare::foam_choices(job, &now.plan, &now.foam));
    Ok(now)
}

/// The parts that the takeoff counts.
fn inputs(now: &Parts) -> takeoff::Counted<'_> {
    takeoff::Counted {
        plan: &now.plan,
        concrete: &now.concrete,
        foam: &now.foam,
        moving_joints: &now.moving_joints,
        joints: &now.joints,
        tube: &now.tube,
        coils: &now.coils,
        pour: &now.pour,
    }
}

fn coils(job: &Job, tube: &tube::Tube, cancel: &Cancel) -> Result<CoilPlan, Cancelled> {
    let lengths: Vec<f64> = tube.circuits.iter().map(|circuit| circuit.length).collect();
    let stock: Vec<f64> =
        job.heating.tube.coil_lengths.iter().map(|length| length.to_inches()).collect();
    plan_coils(&lengths, 2.0 * job.heating.tube.tail.to_inches(), &stock, cancel)
}
