//! The plate's values from the cross-section, so that the map of evenly spaced tubes agrees with
//! it.
//!
//! For a row of tubes the plate's own answer is a Fourier sum over the spacing, with the kernel
//! by which a tube heats the cells. What the section has more of resistance than that sum is the
//! resistance from tube to plate; what the section has of ripple over what the sum has is the
//! plate's ripple factor.

use super::{PlateValues, Ripple};
use crate::heat::section::SectionResponse;
use crate::units::exact_math::sin;
use std::f64::consts::PI;

/// Least resistance from tube to plate, m·K/W: keeps the map well posed for odd sections.
const LEAST_RESISTANCE: f64 = 0.01;
const METERS_PER_INCH: f64 = 0.0254;

impl PlateValues {
    /// Values for cells of `cell_in`, and the conductance from water to plate for a metre of
    /// tube, W/(m·K).
    #[must_use]
    pub fn from_section(section: &SectionResponse, cell_in: f64) -> (Self, f64) {
        let floor = section.floor();
        let (resistance_up, resistance_down) = floor.plane_resistances();
        let (up, down) = (1.0 / resistance_up, 1.0 / resistance_down);
        let along = floor.slab.conductivity * floor.slab.thickness;
        let row = RowSum {
            spacing: floor.spacing,
            cell: cell_in * METERS_PER_INCH,
            along,
            loss: up + down,
        };
        let to_plate = 1.0 / (section.tube_resistance() - row.under_tube()).max(LEAST_RESISTANCE);
        let surface_share = 1.0 / floor.surface / resistance_up;
        // One watt from a metre of tube with all around at zero.
        let state = section.at(section.tube_resistance(), 0.0, 0.0);
        let part = |section: f64, plate: f64| {
            let plate = surface_share * plate;
            if plate > 1e-12 { section / plate } else { 0.0 }
        };
        let rise = state.surface_max - state.surface_mean;
        let ripple = Ripple {
            crest: part(rise, row.crest()),
            trough: part(state.surface_mean - state.surface_min, row.trough()),
            tube: part(rise, row.under_tube() - 1.0 / (row.loss * row.spacing)),
        };
        let spacing_in = floor.spacing / METERS_PER_INCH;
        (Self { along, up, down, surface_share, ripple, spacing_in }, to_plate)
    }
}

/// A row of tubes on the plate, one watt a metre each.
struct RowSum {
    spacing: f64,
    cell: f64,
    along: f64,
    loss: f64,
}

impl RowSum {
    /// Harmonics: for each, kernel and response. Those shorter than two cells are not on the
    /// grid, and the kernel leaves next to nothing of them.
    fn harmonics(&self) -> impl Iterator<Item = (u32, f64, f64)> + '_ {
        let most = (self.spacing / (2.0 * self.cell)).floor().clamp(1.0, 400.0) as u32;
        (1..=most).map(move |n| {
            let half_angle = PI * f64::from(n) * self.cell / self.spacing;
            let kernel = sin(half_angle) / half_angle;
            let wave = 2.0 * sin(half_angle) / self.cell;
            let response = 1.0 / (self.loss + self.along * wave * wave);
            (n, kernel * kernel * kernel * kernel, response)
        })
    }

    /// Excess of the plate as a tube feels it, K per W/m.
    fn under_tube(&self) -> f64 {
        let waves: f64 =
            self.harmonics().map(|(_, kernel, response)| 2.0 * kernel * kernel * response).sum();
        (1.0 / self.loss + waves) / self.spacing
    }

    /// Plate over a tube less its mean, K per W/m.
    fn crest(&self) -> f64 {
        let waves = self.harmonics().map(|(_, kernel, response)| 2.0 * kernel * response);
        waves.sum::<f64>() / self.spacing
    }

    /// Mean of the plate less the plate between two tubes, K per W/m.
    fn trough(&self) -> f64 {
        let sign = |n: u32| if n.is_multiple_of(2) { -1.0 } else { 1.0 };
        let waves = self.harmonics().map(|(n, kernel, response)| sign(n) * 2.0 * kernel * response);
        waves.sum::<f64>() / self.spacing
    }
}
