//! The contraction joints of a job: the layout chosen, its figures, and others to choose from.

use super::breaches::breaches;
use super::ground::{Frame, Ground};
use super::lines::{Run, named, runs_between, tees};
use super::rules::{JointRules, saw_depth};
use super::search::{Aim, Laid, search};
use super::{JointKind, JointLayout, JointLine, MovingJoints, SlabPanel, moving, shape};
use crate::effort::{Cancel, Cancelled};
use crate::geometry::Point;
use crate::job::Job;
use crate::job::joints::{DrawnKind, JointProposal};
use crate::plan::Plan;

impl Ground {
    /// The floor of a job with what its joints must mind, in the job's axes.
    #[must_use]
    pub fn of(job: &Job, plan: &Plan, moving_joints: &MovingJoints) -> Self {
        let locked = job
            .joints
            .drawn
            .iter()
            .filter(|drawn| drawn.kind == DrawnKind::Contraction)
            .filter(|drawn| drawn.from.is_finite() && drawn.to.is_finite())
            .map(|drawn| (drawn.from, drawn.to))
            .collect();
        let lines = moving_joints.lines.iter().filter(|line| line.drawn.is_some());
        Self {
            region: plan.region.clone(),
            corners: plan.corners.iter().map(|corner| (corner.at, corner.angle)).collect(),
            columns: moving::columns(job, plan),
            locked,
            moving: lines.map(|line| (line.from, line.to)).collect(),
        }
    }
}

/// The aim that stands behind a proposal's name.
#[must_use]
pub const fn aim_of(proposal: JointProposal) -> Aim {
    match proposal {
        JointProposal::Balanced => Aim::BALANCED,
        JointProposal::LeastSawing => Aim::LEAST_SAWING,
        JointProposal::FewestTees | JointProposal::NoTees => Aim::FEWEST_TEES,
    }
}

/// Lays out the contraction joints of a job.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn lay_out(
    job: &Job,
    plan: &Plan,
    moving_joints: &MovingJoints,
    cancel: &Cancel,
) -> Result<JointLayout, Cancelled> {
    let rules = JointRules::of(job);
    let ground = Ground::of(job, plan, moving_joints);
    if plan.is_empty() {
        return Ok(JointLayout { max_spacing: rules.spacing, ..JointLayout::default() });
    }
    let laid = if job.joints.has_contraction_joints {
        search(&ground, &rules, aim_of(job.joints.proposal), cancel)?
    } else {
        Laid { panels: vec![plan.region.outer.clone()], ..Laid::default() }
    };
    Ok(finished(job, &ground, &rules, laid))
}

/// A layout with its runs named and its figures and breaches worked out.
fn finished(job: &Job, ground: &Ground, rules: &JointRules, laid: Laid) -> JointLayout {
    let frame = laid.frame.unwrap_or(Frame::UPRIGHT);
    let panels: Vec<SlabPanel> = laid.panels.iter().map(|panel| slab_panel(panel)).collect();
    let runs = runs_between(&laid.panels, ground);
    let named_runs = named(runs, frame);
    let runs: Vec<Run> = named_runs.iter().map(|&(_, run)| run).collect();
    let ends = tees(&runs, ground);
    let has_joints = job.joints.has_contraction_joints;
    let breaches =
        if has_joints { breaches(&panels, &runs, &ends, ground, rules) } else { Vec::new() };
    let depth = saw_depth(job);
    let lines: Vec<JointLine> = named_runs
        .into_iter()
        .map(|(name, run)| JointLine {
            name,
            kind: JointKind::Contraction,
            from: run.from,
            to: run.to,
            saw_depth: depth,
            drawn: drawn_along(job, run),
        })
        .collect();
    JointLayout {
        saw_length: lines.iter().map(JointLine::length).sum(),
        tees: u32::try_from(ends.len()).unwrap_or(u32::MAX),
        lines,
        panels,
        max_spacing: rules.spacing,
        breaches,
        ..JointLayout::default()
    }
}

fn slab_panel(panel: &[Point]) -> SlabPanel {
    let outline = shape::tidy(panel);
    let (long, short) = shape::least_box(&outline);
    SlabPanel { outline, long, short }
}

/// The drawn contraction joint that a run follows.
fn drawn_along(job: &Job, run: Run) -> Option<crate::job::ids::JointId> {
    use crate::geometry::nearest::distance_to_line;
    job.joints
        .drawn
        .iter()
        .filter(|drawn| drawn.kind == DrawnKind::Contraction)
        .find(|drawn| {
            let middle = drawn.from.middle(drawn.to);
            let along = (drawn.to - drawn.from).unit().unwrap_or_default();
            let own = (run.to - run.from).unit().unwrap_or_default();
            distance_to_line(middle, run.from, run.to) < 0.6 && along.cross(own).abs() < 0.01
        })
        .map(|drawn| drawn.id)
}
