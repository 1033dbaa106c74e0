//! Parts: all that layouts and quantities gave, an [`Arc`] each, so that what did not change is
//! the same allocation and costs nothing to keep.

use crate::concrete::Concrete;
use crate::foam::Foam;
use crate::heat::Heat;
use crate::heat::compare::FoamChoice;
use crate::heat::study::HeatStudy;
use crate::joints::{JointLayout, MovingJoints, SettledJoints};
use crate::plan::Plan;
use crate::pour::{Pour, SubgradeSurvey};
use crate::price::Price;
use crate::takeoff::Takeoff;
use crate::tube::Tube;
use crate::tube::coils::CoilPlan;
use std::sync::Arc;

/// What follows from a job, part by part.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Parts {
    /// The checked slab.
    pub plan: Arc<Plan>,
    /// The solid, forms, steel, base.
    pub concrete: Arc<Concrete>,
    /// The ground as measured.
    pub subgrade: Arc<SubgradeSurvey>,
    /// Foam boards.
    pub foam: Arc<Foam>,
    /// Isolation and construction joints.
    pub moving_joints: Arc<MovingJoints>,
    /// Contraction joints before tube, for the layouts to choose from.
    pub joint_draft: Arc<JointLayout>,
    /// Contraction joints, crossings, sawing.
    pub joints: Arc<SettledJoints>,
    /// Circuits.
    pub tube: Arc<Tube>,
    /// Heat and hydraulics.
    pub heat: Arc<Heat>,
    /// Other depths and spacings side by side, and sections to look at.
    pub heat_study: Arc<HeatStudy>,
    /// Thicknesses of the first foam layer by what they cost and lose, thinnest first; none where
    /// the floor is not heated.
    pub foam_costs: Arc<Vec<FoamChoice>>,
    /// Coils to buy and what is cut from each.
    pub coils: Arc<CoilPlan>,
    /// Order and trucks.
    pub pour: Arc<Pour>,
    /// Quantities.
    pub takeoff: Arc<Takeoff>,
    /// Price.
    pub price: Arc<Price>,
}
