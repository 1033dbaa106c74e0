//! The stages of the work, from setting forms to handing in the bid.
//!
//! A stage decides which tools are at hand, which layers show, and what is still missing before
//! the next one makes sense. Stages never lock anything: every one can be entered at any time.

use crate::canvas::layers::{Layer, Layers};
use crate::canvas::tools::ToolKind;
use serde::{Deserialize, Serialize};
use slabloom_core::derive::Results;
use slabloom_core::job::Job;

/// A stage of the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Stage {
    /// The slab's shape, its edges and thickenings, the ground.
    #[default]
    Forms,
    /// Boards.
    Foam,
    /// Heating tube.
    Tube,
    /// What the heated floor gives.
    Heat,
    /// Joints.
    Saw,
    /// Concrete and trucks.
    Pour,
    /// Quantities and prices.
    Bid,
}

impl Stage {
    /// All of them in the order of the work.
    pub const ALL: [Self; 7] =
        [Self::Forms, Self::Foam, Self::Tube, Self::Heat, Self::Saw, Self::Pour, Self::Bid];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Forms => "Forms",
            Self::Foam => "Foam",
            Self::Tube => "Tube",
            Self::Heat => "Heat",
            Self::Saw => "Saw",
            Self::Pour => "Pour",
            Self::Bid => "Bid",
        }
    }

    /// What is done in it.
    #[must_use]
    pub const fn task(self) -> &'static str {
        match self {
            Self::Forms => "Outline, edges, thickenings, ground",
            Self::Foam => "Boards under the floor and at the edge",
            Self::Tube => "Zones, manifold, circuits, heat",
            Self::Heat => "Floor temperature, sections, losses",
            Self::Saw => "Joints and floor panels",
            Self::Pour => "Order, trucks, crew",
            Self::Bid => "Quantities, rates, price",
        }
    }

    /// The tools at hand.
    #[must_use]
    pub const fn tools(self) -> &'static [ToolKind] {
        use ToolKind as T;
        match self {
            Self::Forms => &[
                T::Select,
                T::Walls,
                T::AddRectangle,
                T::TakeRectangle,
                T::Corner,
                T::Opening,
                T::Pipe,
                T::Drain,
                T::Column,
                T::Strip,
                T::Pad,
                T::Shot,
                T::Measure,
            ],
            Self::Foam => &[T::Select, T::StartCorner, T::FoamZone, T::Pipe, T::Drain, T::Measure],
            Self::Tube => &[T::Select, T::Manifold, T::Zone, T::KeepOut, T::Circuit, T::Measure],
            Self::Heat => &[T::Select, T::Manifold, T::Measure],
            Self::Saw => &[
                T::Select,
                T::Joint,
                T::IsolationJoint,
                T::ConstructionJoint,
                T::Column,
                T::Measure,
            ],
            Self::Pour => &[T::Select, T::Shot, T::ConstructionJoint, T::Measure],
            Self::Bid => &[T::Select, T::Measure],
        }
    }

    /// The tools for a plan picture, at hand once one lies under the slab.
    #[must_use]
    pub fn picture_tools(self, job: &Job) -> &'static [ToolKind] {
        use ToolKind as T;
        match (self, &job.underlay.picture) {
            (Self::Forms, Some(_)) => &[T::PictureScale, T::PictureSquare, T::PictureMove],
            _ => &[],
        }
    }

    /// The layers that show at first.
    #[must_use]
    pub fn layers(self) -> Layers {
        use Layer as L;
        Layers::of(match self {
            Self::Forms => &[L::Grid, L::Picture, L::Dimensions, L::Thickenings],
            Self::Foam => &[L::Grid, L::Dimensions, L::Foam],
            Self::Tube => &[L::Grid, L::Zones, L::Tube],
            Self::Heat => &[L::HeatMap],
            Self::Saw => &[L::Grid, L::Joints, L::SlabPanels, L::Dimensions],
            Self::Pour => &[L::Grid, L::Thickenings, L::Trucks, L::Subgrade],
            Self::Bid => &[L::Grid, L::Dimensions, L::Thickenings, L::Joints],
        })
    }

    /// What should be done here before going on.
    #[must_use]
    pub fn missing(self, job: &Job, results: &Results) -> Vec<&'static str> {
        let has_slab = !results.parts.plan.is_empty();
        if !has_slab {
            return match self {
                Self::Forms if needs_scale(job) => {
                    vec![PICTURE_SCALE, "Then draw the slab over it: Walls (W)"]
                }
                Self::Forms => vec!["Draw the slab: Walls (W) or Add rectangle (R)"],
                _ => vec!["There is no slab yet: draw it under Forms"],
            };
        }
        let mut missing = Vec::new();
        let mut need = |is_missing: bool, what| {
            if is_missing {
                missing.push(what);
            }
        };
        let parts = &results.parts;
        match self {
            Self::Forms => {
                need(needs_scale(job), PICTURE_SCALE);
                need(
                    job.edges.frost_depth.to_inches() <= 0.0,
                    "Give the depth of frost at the site",
                );
                need(job.facts.title.is_empty(), "Give the job a name");
            }
            Self::Foam => {
                need(
                    job.build_up.foam_layers.is_empty(),
                    "No foam chosen: add a layer if it is heated",
                );
            }
            Self::Tube => {
                let heating = &job.heating;
                need(heating.is_heated && heating.manifolds.is_empty(), "Place a manifold (M)");
                need(heating.is_heated && heating.zones.is_empty(), "Draw a heated zone (Z)");
                need(
                    heating.is_heated && heating.tube.has_oxygen_barrier.is_none(),
                    "Say whether the tube has an oxygen barrier",
                );
            }
            Self::Heat => {
                let heating = &job.heating;
                need(heating.is_heated && parts.tube.circuits.is_empty(), "Lay tube first");
                need(
                    heating.is_heated && heating.design.degree_days <= 0.0,
                    "Give the degree days of the place: they make a year's loss",
                );
            }
            Self::Saw => {
                let layout = &parts.joints.layout;
                need(!layout.breaches.is_empty(), "Some joint rules gave way: see the findings");
            }
            Self::Pour => {
                need(job.pour.start_minutes.is_none(), "Give the time of the first truck");
                need(job.subgrade.shots.is_empty(), "No ground shots yet: take some (S)");
                need(
                    job.pour.weather.humidity_percent <= 0.0,
                    "Weather readings are missing: no evaporation is worked out",
                );
            }
            Self::Bid => {
                let priced = |key: &str| {
                    job.prices.rates.iter().any(|rate| rate.item == key && rate.rate.0 != 0)
                };
                let unpriced =
                    parts.takeoff.lines.iter().any(|line| line.is_bought && !priced(&line.key));
                need(unpriced || job.prices.rates.is_empty(), "Some quantities have no rate yet");
            }
        }
        missing
    }
}

/// What to do with a picture whose scale nobody has set.
const PICTURE_SCALE: &str = "Set the scale of the plan picture by a dimension you know";

/// Whether a plan picture lies under the slab in no known scale.
fn needs_scale(job: &Job) -> bool {
    job.underlay.picture.as_ref().is_some_and(|picture| !picture.is_to_scale)
}
