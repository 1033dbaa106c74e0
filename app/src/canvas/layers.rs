//! What the canvas shows and hides.

use crate::canvas::hit::Pickable;
use serde::{Deserialize, Serialize};

/// Something that can be shown or hidden.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Layer {
    /// The grid of feet.
    Grid,
    /// The picture of a plan that is traced.
    Picture,
    /// Dimensions of sides.
    Dimensions,
    /// Thickened edges, strips and pads.
    Thickenings,
    /// Bars and mesh.
    Steel,
    /// Foam boards.
    Foam,
    /// Heated zones and places without tube.
    Zones,
    /// Circuits.
    Tube,
    /// Floor surface temperatures.
    HeatMap,
    /// Joints.
    Joints,
    /// Sizes of floor panels.
    SlabPanels,
    /// Where trucks run out, and screed strips.
    Trucks,
    /// Survey shots.
    Subgrade,
}

impl Layer {
    /// All of them, from the ground up.
    pub const ALL: [Self; 13] = [
        Self::Grid,
        Self::Picture,
        Self::Dimensions,
        Self::Thickenings,
        Self::Steel,
        Self::Foam,
        Self::Zones,
        Self::Tube,
        Self::HeatMap,
        Self::Joints,
        Self::SlabPanels,
        Self::Trucks,
        Self::Subgrade,
    ];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Grid => "Grid",
            Self::Picture => "Plan picture",
            Self::Dimensions => "Dimensions",
            Self::Thickenings => "Thickenings",
            Self::Steel => "Steel",
            Self::Foam => "Foam boards",
            Self::Zones => "Zones",
            Self::Tube => "Tube",
            Self::HeatMap => "Floor temperature",
            Self::Joints => "Joints",
            Self::SlabPanels => "Panel sizes",
            Self::Trucks => "Truck lines",
            Self::Subgrade => "Subgrade shots",
        }
    }

    const fn bit(self) -> u16 {
        1 << self as u16
    }
}

/// Which layers are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Layers(u16);

impl Layers {
    /// These and no others.
    #[must_use]
    pub fn of(layers: &[Layer]) -> Self {
        Self(layers.iter().fold(0, |bits, layer| bits | layer.bit()))
    }

    /// Whether a layer is shown.
    #[must_use]
    pub const fn shows(self, layer: Layer) -> bool {
        self.0 & layer.bit() != 0
    }

    /// Shows what is hidden and hides what is shown.
    pub const fn toggle(&mut self, layer: Layer) {
        self.0 ^= layer.bit();
    }

    /// Shows a layer.
    pub const fn show(&mut self, layer: Layer) {
        self.0 |= layer.bit();
    }

    /// What can be picked while these are shown.
    #[must_use]
    pub const fn pickable(self) -> Pickable {
        Pickable {
            circuits: self.shows(Layer::Tube),
            joints: self.shows(Layer::Joints),
            panels: self.shows(Layer::SlabPanels),
            boards: self.shows(Layer::Foam),
            shots: self.shows(Layer::Subgrade),
        }
    }
}
