//! What each side's edge is made like.

use super::ids::{OpeningId, SideId};
use crate::units::Length;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Edge profiles: one for all sides, others by side.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Edges {
    /// The edge of every side that has none of its own.
    pub usual: EdgeProfile,
    /// Sides with an edge of their own.
    pub by_side: BTreeMap<SideId, EdgeProfile>,
    /// Openings whose rim is not plain.
    pub by_opening: BTreeMap<OpeningId, EdgeProfile>,
    /// Foam at the edges.
    pub edge_foam: EdgeFoam,
    /// Depth of frost at the site; zero when not known.
    pub frost_depth: Length,
    /// The foundation is protected from frost otherwise (foam to a standard, or a heated
    /// building with insulated skirt), so that an edge above the frost depth is intended.
    pub is_frost_protected: bool,
    /// Storeys that the edge carries, for the least flat width.
    pub storeys: u8,
}

/// How one side's edge is made.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum EdgeProfile {
    /// The floor goes on to the form at its own thickness.
    Plain,
    /// The floor is thickened along this side.
    Thickened(ThickenedEdge),
    /// The slab meets a frost wall that stands before it and is isolated from it.
    FrostWall,
    /// A door: the top is lowered along a band, and foam may stop short so that wheels bear on
    /// full concrete.
    Threshold(Threshold),
}

impl Default for EdgeProfile {
    fn default() -> Self {
        Self::Thickened(ThickenedEdge::default())
    }
}

/// The deeper band along a side: total depth from the top of the slab, flat bottom measured in
/// from the outer face, then a slope back up to the underside of the floor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ThickenedEdge {
    /// From the top of the slab to the bottom of the edge.
    pub total_depth: Length,
    /// Width of the flat bottom, from the outer face.
    pub flat_width: Length,
    /// Horizontal run of the slope up to the underside of the floor.
    pub haunch_run: Length,
}

impl Default for ThickenedEdge {
    fn default() -> Self {
        Self {
            total_depth: Length::inches(12.0),
            flat_width: Length::inches(12.0),
            haunch_run: Length::inches(8.0),
        }
    }
}

/// A door threshold along a side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Threshold {
    /// How much lower than the floor the top is along the band.
    pub lowered_by: Length,
    /// Width of the lowered band, from the outer face.
    pub width: Length,
    /// How far from the outer face the foam stops; zero when foam goes to the edge.
    pub foam_stops_short: Length,
    /// The thickened edge under the door, when it has one.
    pub thickened: Option<ThickenedEdge>,
}

impl Default for Threshold {
    fn default() -> Self {
        Self {
            lowered_by: Length::inches(0.75),
            width: Length::inches(6.0),
            foam_stops_short: Length::inches(12.0),
            thickened: Some(ThickenedEdge::default()),
        }
    }
}

/// Foam that stands along the edges: in full along walls, thinner or not at all at doors, where
/// wheels and boots would break what stands bare beside the threshold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct EdgeFoam {
    /// Thickness; zero for none.
    pub thickness: Length,
    /// Which face of the form it stands at.
    pub place: EdgeFoamPlace,
    /// How high the strips are; zero for the full depth of the edge.
    pub height: Length,
    /// Thickness along doors, no more than elsewhere; zero leaves doors without foam.
    pub at_doors: Length,
}

impl Default for EdgeFoam {
    fn default() -> Self {
        Self {
            thickness: Length::inches(2.0),
            place: EdgeFoamPlace::InsideForm,
            height: Length::ZERO,
            at_doors: Length::ZERO,
        }
    }
}

impl EdgeFoam {
    /// Thickness along an edge of this profile, inches: at doors what is left of it there.
    #[must_use]
    pub fn thickness_along(&self, profile: &EdgeProfile) -> f64 {
        let full = self.thickness.to_inches().max(0.0);
        match profile {
            EdgeProfile::Threshold(_) => self.at_doors.to_inches().clamp(0.0, full),
            EdgeProfile::Plain | EdgeProfile::Thickened(_) | EdgeProfile::FrostWall => full,
        }
    }

    /// What of that stands inside the form and takes its thickness off the concrete, inches.
    #[must_use]
    pub fn inside_along(&self, profile: &EdgeProfile) -> f64 {
        match self.place {
            EdgeFoamPlace::InsideForm => self.thickness_along(profile),
            EdgeFoamPlace::OutsideForm => 0.0,
        }
    }

    /// The foam as it stands along an edge of this profile.
    #[must_use]
    pub fn along(self, profile: &EdgeProfile) -> Self {
        Self { thickness: Length::inches(self.thickness_along(profile)), ..self }
    }
}

/// Where edge foam stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum EdgeFoamPlace {
    /// Inside the form: it takes its thickness off the concrete.
    #[default]
    InsideForm,
    /// Outside the form: the concrete keeps its outline.
    OutsideForm,
}

impl Edges {
    /// The edge of a side.
    #[must_use]
    pub fn of_side(&self, side: SideId) -> EdgeProfile {
        self.by_side.get(&side).copied().unwrap_or(self.usual)
    }

    /// The rim of an opening: plain unless it has its own.
    #[must_use]
    pub fn of_opening(&self, opening: OpeningId) -> EdgeProfile {
        self.by_opening.get(&opening).copied().unwrap_or(EdgeProfile::Plain)
    }
}

impl EdgeProfile {
    /// The thickened edge of this profile, if it has one.
    #[must_use]
    pub const fn thickened(&self) -> Option<ThickenedEdge> {
        match self {
            Self::Thickened(edge) => Some(*edge),
            Self::Threshold(threshold) => threshold.thickened,
            Self::Plain | Self::FrostWall => None,
        }
    }
}
