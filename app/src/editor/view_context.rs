//! What panels may read in a frame.

use crate::canvas::hit::Pick;
use crate::editor::plan_picture::PictureStatus;
use crate::editor::settings::Settings;
use crate::editor::stages::Stage;
use crate::editor::theme::Palette;
use slabloom_core::derive::Results;
use slabloom_core::derive::alternates::DerivedAlternate;
use slabloom_core::job::Job;
use slabloom_core::job::facts::Display;
use slabloom_core::plan::Plan;
use slabloom_core::units::UnitSystem;

/// What panels may read in a frame.
#[derive(Clone, Copy, Debug)]
pub struct ViewContext<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its checked slab.
    pub plan: &'a Plan,
    /// The newest results.
    pub results: &'a Results,
    /// The results when the drag began that is going on.
    pub before_drag: Option<&'a Results>,
    /// Newer results are coming.
    pub is_behind: bool,
    /// There are none yet of this job.
    pub awaits_first: bool,
    /// What is chosen.
    pub selection: &'a [Pick],
    /// The stage of the work.
    pub stage: Stage,
    /// Settings of the program.
    pub settings: Settings,
    /// The colours.
    pub palette: &'static Palette,
    /// How the plan picture stands.
    pub picture: PictureStatus<'a>,
    /// The key of the quantity whose parts are lit on the plan.
    pub traced: Option<&'a str>,
    /// The job's alternates, once they are worked out.
    pub alternates: Option<&'a [DerivedAlternate]>,
}

impl ViewContext<'_> {
    /// How numbers of this job are shown.
    #[must_use]
    pub fn display(&self) -> Display {
        self.job.facts.display
    }

    /// Feet and yards, or metres.
    #[must_use]
    pub fn system(&self) -> UnitSystem {
        self.display().rounding.system()
    }
}
