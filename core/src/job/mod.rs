//! What people decide about a slab: plain data that is saved, and nothing that can be computed.
//!
//! Each subject is a file of this room and sits behind an [`Arc`], so that a copy of a job is
//! cheap and "unchanged" is a pointer comparison. Every field has a default, so that a file of an
//! older program opens; a field nobody knows is an error, so that a slip of the pen is not lost.
//! Lengths are saved in inches, temperatures in °F, money in cents.

pub mod as_laid;
pub mod build_up;
pub mod check;
pub mod closing;
pub mod edges;
pub mod facts;
pub mod file;
pub mod file_bytes;
mod file_error;
mod file_places;
pub mod heating;
pub mod ids;
pub mod import;
pub mod joints;
pub mod migrate;
pub mod openings;
pub mod outline;
pub mod pour;
pub mod prices;
pub mod read_error;
pub mod sheet_set;
pub mod subgrade;
pub mod thickenings;
pub mod traverse;
pub mod underlay;

use serde::{Deserialize, Serialize};
use std::sync::Arc;

pub use as_laid::AsLaid;
pub use build_up::BuildUp;
pub use edges::Edges;
pub use facts::JobFacts;
pub use heating::Heating;
pub use ids::{IdSource, ItemId};
pub use joints::JointChoices;
pub use openings::Openings;
pub use outline::Outline;
pub use pour::PourPlan;
pub use prices::Prices;
pub use read_error::{ReadError, TextPlace};
pub use sheet_set::SheetSet;
pub use subgrade::Subgrade;
pub use thickenings::Thickenings;
pub use underlay::Underlay;

/// The version of the job file that this program writes.
pub const SCHEMA: u32 = 1;

/// A slab job: every decision, none of the consequences.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Job {
    /// Version of the file's form; see [`SCHEMA`].
    pub schema: u32,
    /// The next id that [`IdSource`] gives out; ids are never used twice in a job.
    pub ids: IdSource,
    /// Name, place, customer, units.
    pub facts: Arc<JobFacts>,
    /// The outer form face of the slab.
    pub outline: Arc<Outline>,
    /// What each side's edge is made like.
    pub edges: Arc<Edges>,
    /// Openings through the slab, and what comes up through it.
    pub openings: Arc<Openings>,
    /// Thickened strips, pads, recesses and slopes.
    pub thickenings: Arc<Thickenings>,
    /// Floor thickness and everything under and in it.
    pub build_up: Arc<BuildUp>,
    /// Zones, manifolds, tube and heat.
    pub heating: Arc<Heating>,
    /// Joint rules chosen and joints drawn by hand.
    pub joints: Arc<JointChoices>,
    /// Survey shots of the subgrade.
    pub subgrade: Arc<Subgrade>,
    /// Trucks, direction, mix, weather.
    pub pour: Arc<PourPlan>,
    /// The rate book.
    pub prices: Arc<Prices>,
    /// Paper, scale, title block.
    pub sheet_set: Arc<SheetSet>,
    /// What was really built.
    pub as_laid: Arc<AsLaid>,
    /// The picture of a plan that is traced.
    pub underlay: Arc<Underlay>,
}

impl Default for Job {
    fn default() -> Self {
        Self {
            schema: SCHEMA,
            ids: IdSource::default(),
            facts: Arc::default(),
            outline: Arc::default(),
            edges: Arc::default(),
            openings: Arc::default(),
            thickenings: Arc::default(),
            build_up: Arc::default(),
            heating: Arc::default(),
            joints: Arc::default(),
            subgrade: Arc::default(),
            pour: Arc::default(),
            prices: Arc::default(),
            sheet_set: Arc::default(),
            as_laid: Arc::default(),
            underlay: Arc::default(),
        }
    }
}

impl Job {
    /// A job with an outline through these corners and every other decision at its default:
    /// one heated zone over the whole floor, one manifold inside the longest wall.
    #[must_use]
    pub fn from_corners(
        corners: &[(crate::geometry::Point, Option<crate::geometry::Point>)],
    ) -> Self {
        let mut ids = IdSource::default();
        let outline = Outline::from_corners(corners, &mut ids);
        let heating = Heating::with_manifold_on_longest_side(&outline, &mut ids);
        Self { ids, outline: Arc::new(outline), heating: Arc::new(heating), ..Self::default() }
    }
}
