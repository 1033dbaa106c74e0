//! Joints: those that move are decided; contraction joints are searched, then settled off tube.
//!
//! Question: where does the floor crack, and can the saw be there in time and off the tube.
//!
//! Vocabulary: a *contraction joint* is sawn; a *slab panel* is floor between joints; an *inside
//! corner* must lie on a joint; a *tee* is a joint that ends at the side of a panel and passes
//! restraint on; a *run* is as far as the saw goes straight.
//!
//! Method: the floor is turned into the frame of its walls; candidate lines stand at inside
//! corners, columns and even splits; panels are windows between lines; a dynamic programme cuts
//! the floor from side to side at least cost (rules first, then sawing, then set-ups, tees and
//! shape), and groups of panels are laid out anew with tees counted exactly. Large floors are
//! taken apart first. Rules that cannot be kept are reported with their place.

mod block;
mod blunt;
mod bound;
mod breaches;
mod candidates;
mod column;
mod crossings;
mod ground;
mod guillotine;
mod halves;
mod improve;
mod judging;
mod layout;
mod lines;
mod manners;
mod mend;
mod moving;
mod part;
mod rules;
mod sawing;
mod search;
mod settle;
mod shape;
mod shared_end;
mod square_ends;
mod stretches;
mod wings;

pub use rules::JointRules;

use crate::concrete::Concrete;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::{Point, Vector};
use crate::job::Job;
use crate::job::ids::JointId;
use crate::job::joints::{JointChoices, JointProposal};
use crate::plan::Plan;
use crate::tube::Tube;
use crate::units::Length;

/// What a joint is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum JointKind {
    /// Sawn or tooled, to choose where it cracks.
    #[default]
    Contraction,
    /// Full-depth separation, movement both ways.
    Isolation,
    /// Where a day's pour ends.
    Construction,
}

/// One straight joint.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JointLine {
    /// Its name on the sheet: A, B, 1, 2.
    pub name: String,
    /// What it is.
    pub kind: JointKind,
    /// One end.
    pub from: Point,
    /// Other end.
    pub to: Point,
    /// Blade depth, inches; zero for a joint that is not sawn.
    pub saw_depth: f64,
    /// The joint drawn by hand that it comes from.
    pub drawn: Option<JointId>,
}

impl JointLine {
    /// Its length, inches.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }
}

/// A floor panel between joints.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SlabPanel {
    /// Its corners.
    pub outline: Vec<Point>,
    /// Longer side of the least box round it, inches.
    pub long: f64,
    /// Shorter side, inches.
    pub short: f64,
}

impl SlabPanel {
    /// Longer to shorter.
    #[must_use]
    pub fn aspect(&self) -> f64 {
        if self.short > 0.0 { self.long / self.short } else { f64::INFINITY }
    }
}

/// Joints that move: isolation and construction. They are decided before tube is routed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MovingJoints {
    /// The lines.
    pub lines: Vec<JointLine>,
}

/// A layout of contraction joints.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JointLayout {
    /// Contraction joints, each a saw run.
    pub lines: Vec<JointLine>,
    /// Panels between all joints.
    pub panels: Vec<SlabPanel>,
    /// Largest spacing the rules allow, inches.
    pub max_spacing: f64,
    /// The direction of level joints as a unit step: numbered lines run along it, lettered lines
    /// square to it, and running dimensions are taken in these two directions.
    pub along: Vector,
    /// Sawing, inches.
    pub saw_length: f64,
    /// Joints that end at the side of a panel.
    pub tees: u32,
    /// No layout can do with less sawing than this, inches; zero when no bound was proven.
    pub saw_bound: f64,
    /// Other layouts worth choosing from.
    pub proposals: Vec<Proposal>,
    /// Rules that this layout could not keep, and where.
    pub breaches: Vec<JointBreach>,
    /// Whether the search ended before it had tried all that it would.
    pub is_cut_short: bool,
}

/// Another layout with its figures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proposal {
    /// What it is good at.
    pub name: String,
    /// The choice that leads to it.
    pub choice: JointProposal,
    /// Its joints.
    pub lines: Vec<JointLine>,
    /// Sawing, inches.
    pub saw_length: f64,
    /// Joints that end at the side of a panel.
    pub tees: u32,
    /// Panels.
    pub panels: u32,
    /// Worst aspect.
    pub worst_aspect: f64,
    /// Spacing it was laid for, inches.
    pub spacing: f64,
}

/// A rule that gave way.
#[derive(Clone, Debug, PartialEq)]
pub struct JointBreach {
    /// Which rule.
    pub rule: JointRule,
    /// Where.
    pub at: Point,
    /// By how much, in the rule's own measure.
    pub amount: f64,
}

/// A rule of the joint layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum JointRule {
    /// A panel side longer than the spacing (amount in inches).
    Spacing,
    /// A panel longer to shorter than the limit (amount is the aspect).
    Aspect,
    /// An inside corner without a joint.
    InsideCorner,
    /// A panel corner sharper than 60 degrees that the outline does not force (degrees).
    SharpCorner,
    /// A panel narrower than two feet (inches).
    Sliver,
    /// A joint that ends at the side of a panel.
    Tee,
    /// A column that no joint meets.
    Column,
    /// A thickened strip without a joint over it (amount is its length without one, inches).
    Strip,
    /// A joint that ends at the side of a panel nearer to a door or a drain than asked (amount is
    /// how near, inches).
    NearDoorOrDrain,
}

/// A place where a joint crosses a circuit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JointCrossing {
    /// Name of the joint.
    pub joint: String,
    /// What the joint is.
    pub kind: JointKind,
    /// Name of the circuit.
    pub circuit: String,
    /// Where.
    pub at: Point,
    /// Concrete between blade and tube with the slab at its thinnest, inches; for a joint that is
    /// not sawn, the slab's depth above the tube.
    pub clearance: f64,
    /// A sleeve is needed.
    pub needs_sleeve: bool,
}

/// Contraction joints after they settled, with crossings and the saw plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SettledJoints {
    /// The layout.
    pub layout: JointLayout,
    /// Crossings of joints and tube.
    pub crossings: Vec<JointCrossing>,
    /// Sawing on the day.
    pub sawing: SawPlan,
}

/// Sawing on the day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SawPlan {
    /// Indices of the layout's lines in cutting order.
    pub cut_sequence: Vec<usize>,
    /// Total sawing, feet.
    pub feet: f64,
    /// Hours at the crew's rate.
    pub hours: f64,
    /// Hours after finishing when sawing may start, earliest and latest, guide values.
    pub window_hours: (f64, f64),
    /// The same as minutes after midnight, when the pour's start is given.
    pub window_clock: Option<(f64, f64)>,
}

/// The joint choices of a job that took a proposal: the next layout is the one proposed.
#[must_use]
pub fn taking_proposal(job: &Job, proposal: &Proposal) -> JointChoices {
    let mut choices = (*job.joints).clone();
    choices.proposal = proposal.choice;
    if proposal.spacing > JointRules::of(job).spacing + 0.01 {
        let spacing = Length::inches(proposal.spacing);
        let thickness = job.build_up.floor_thickness.to_inches().max(0.1);
        // A hair more, so that rounding does not take the last panel away.
        choices.spacing_multiple = (proposal.spacing + 1e-6) / thickness;
        if choices.spacing_cap < spacing {
            choices.spacing_cap = spacing;
        }
    }
    choices
}

/// Isolation and construction joints of a job.
#[must_use]
pub fn decide_moving_joints(job: &Job, plan: &Plan) -> MovingJoints {
    moving::decide(job, plan)
}

/// Contraction joints of a job, before tube.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn lay_out_joints(
    job: &Job,
    plan: &Plan,
    _concrete: &Concrete,
    moving: &MovingJoints,
    cancel: &Cancel,
) -> Result<JointLayout, Cancelled> {
    layout::lay_out(job, plan, moving, cancel)
}

/// Contraction joints settled off tube within their slack, with crossings and the saw plan.
#[must_use]
pub fn settle_joints(
    job: &Job,
    plan: &Plan,
    moving: &MovingJoints,
    draft: &JointLayout,
    tube: &Tube,
) -> SettledJoints {
    layout::settle(job, plan, moving, draft, tube)
}
