//! The standard's answer: what an embedded floor gives by EN 1264, and where its limits lie.
//!
//! Type A (tube in the screed or slab): output is a coefficient, built from factors for
//! covering, spacing, cover and diameter, times the log-mean excess of the water over the room.
//! The limit curve holds the warmest spot of the floor, over the tube, to its limit. Downward
//! loss and flow after EN 1264-3.
//!
//! The method was fitted to thin screeds on insulation. Against plain conduction
//! ([`super::section`]) it runs 8 to 15 per cent high for thin screeds with the tube on the foam
//! and up to 10 per cent low for thick slabs, because it knows little of concrete under the
//! tube: treat it as a cross-check, never as the truth for the solver. All SI.

use crate::facts::heating as facts;
use crate::units::exact_math::{exp, ln, pow};

/// An embedded floor, type A. SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EmbeddedFloor {
    /// Spacing of the tube, m.
    pub spacing: f64,
    /// Outside diameter of the tube, m.
    pub outside: f64,
    /// Wall of the tube, m.
    pub wall: f64,
    /// Conductivity of the wall, W/(m·K).
    pub wall_conductivity: f64,
    /// Concrete from the top of the tube to the floor, m.
    pub cover: f64,
    /// Conductivity of the concrete, W/(m·K).
    pub conductivity: f64,
    /// Resistance of the covering, m²·K/W.
    pub covering: f64,
}

/// Spacing beyond which output falls with 1/spacing, m.
const WIDEST_SPACING: f64 = 0.375;
/// Cover beyond which the thick-cover form may apply, m.
const THICK_COVER: f64 = 0.065;

/// Output coefficient K_H: upward flux for each kelvin of log-mean excess, W/(m²·K).
///
/// # Source
/// EN 1264-2 Annex A; see [`facts::EN_1264_2_SOURCE`].
#[must_use]
pub fn output_coefficient(floor: &EmbeddedFloor) -> f64 {
    if floor.spacing > WIDEST_SPACING {
        let at_widest = EmbeddedFloor { spacing: WIDEST_SPACING, ..*floor };
        return output_coefficient(&at_widest) * WIDEST_SPACING / floor.spacing;
    }
    let full_cover = if floor.spacing > 0.2 { 0.5 * floor.spacing } else { 0.1 };
    let product = factor_product(floor);
    let system = system_factor(floor, product);
    if floor.cover > THICK_COVER && floor.cover > full_cover {
        let at_full = EmbeddedFloor { cover: full_cover, ..*floor };
        let resistance = 1.0 / (system * factor_product(&at_full));
        return 1.0 / (resistance + (floor.cover - full_cover) / floor.conductivity);
    }
    system * product
}

/// System factor B for the tube's own wall in place of the reference wall, W/(m²·K).
///
/// With a thick cover the standard leaves open whether `product` is that of the whole cover, as
/// the transcription has it, or of the part that counts; the two differ by 0.2 per cent.
fn system_factor(floor: &EmbeddedFloor, product: f64) -> f64 {
    let log_over = |thickness: f64, conductivity: f64| {
        ln(floor.outside / (floor.outside - 2.0 * thickness)) / (2.0 * conductivity)
    };
    let extra = log_over(floor.wall, floor.wall_conductivity)
        - log_over(facts::REFERENCE_WALL, facts::REFERENCE_WALL_CONDUCTIVITY);
    let per_system =
        1.0 / facts::SYSTEM_FACTOR + 1.1 / std::f64::consts::PI * product * floor.spacing * extra;
    1.0 / per_system
}

/// Product of the factors for covering, spacing, cover and diameter.
fn factor_product(floor: &EmbeddedFloor) -> f64 {
    let surface = facts::SURFACE_RESISTANCE_UP;
    let covering_factor = (surface + facts::REFERENCE_COVER / 1.0)
        / (surface + facts::REFERENCE_COVER / floor.conductivity + floor.covering);
    let at = (floor.spacing, floor.covering);
    let columns = &facts::COVERING_COLUMNS;
    let rows = &facts::SPACING_ROWS;
    let spacing_factor = facts::interpolate(columns, &facts::SPACING_FACTOR, floor.covering);
    let cover_factor = facts::interpolate_in_table(rows, columns, &facts::COVER_FACTOR, at);
    let diameter_factor = facts::interpolate_in_table(rows, columns, &facts::DIAMETER_FACTOR, at);
    covering_factor
        * pow(spacing_factor, 1.0 - floor.spacing / 0.075)
        * pow(cover_factor, 100.0 * (facts::REFERENCE_COVER - floor.cover))
        * pow(diameter_factor, 250.0 * (floor.outside - 0.020))
}

/// The point where the warmest spot of the floor reaches its limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutputLimit {
    /// Log-mean excess of the water over the room at the limit, K.
    pub excess: f64,
    /// Upward flux at the limit, W/m².
    pub flux: f64,
}

/// Limit of output for a floor whose warmest spot may be `surface_excess` kelvins over the room.
///
/// # Source
/// EN 1264-2, tables A.4 to A.7; the factor for spacings over 0.375 m is from memory.
#[must_use]
pub fn output_limit(floor: &EmbeddedFloor, surface_excess: f64) -> OutputLimit {
    let phi = pow(surface_excess.max(0.0) / 9.0, facts::BASIC_EXPONENT);
    let spacing = floor.spacing.min(WIDEST_SPACING);
    let at = EmbeddedFloor { spacing, ..*floor };
    let (factor, exponent) = limit_factor_and_exponent(&at);
    let coefficient = output_coefficient(&at);
    let flux = phi * factor * pow(factor / coefficient, exponent / (1.0 - exponent));
    // Between rows of the tables the formula can pass the curve of an evenly warm floor, which
    // is the most there can be, by some tenths of a per cent.
    let flux = flux.min(basic_flux(surface_excess));
    if floor.spacing <= WIDEST_SPACING {
        return OutputLimit { excess: flux / coefficient, flux };
    }
    let thinned = flux * WIDEST_SPACING / floor.spacing;
    let over = floor.cover / floor.spacing - 0.173;
    let most = basic_flux(surface_excess);
    let flux =
        if over <= 0.0 { thinned } else { most - (most - thinned) * exp(-20.0 * over * over) };
    OutputLimit { excess: flux / output_coefficient(floor), flux }
}

fn limit_factor_and_exponent(floor: &EmbeddedFloor) -> (f64, f64) {
    let resistance = floor.cover / floor.conductivity;
    if resistance <= facts::THIN_COVER_LIMIT {
        let at = (floor.spacing, resistance);
        let columns = &facts::COVER_RESISTANCE_COLUMNS;
        return (
            facts::interpolate_in_table(&facts::SPACING_ROWS, columns, &facts::LIMIT_FACTOR, at),
            facts::interpolate_in_table(
                &facts::LIMIT_EXPONENT_ROWS,
                columns,
                &facts::LIMIT_EXPONENT,
                at,
            ),
        );
    }
    let column = |i: fn(&[f64; 3]) -> f64| facts::LIMIT_BY_COVER_OVER_SPACING.each_ref().map(i);
    let ratio = floor.cover / floor.spacing;
    let over = column(|row| row[0]);
    (
        facts::interpolate(&over, &column(|row| row[1]), ratio),
        facts::interpolate(&over, &column(|row| row[2]), ratio),
    )
}

/// Flux of the basic characteristic curve, W/m², for a floor `surface_excess` over the room.
#[must_use]
pub fn basic_flux(surface_excess: f64) -> f64 {
    facts::BASIC_FACTOR * pow(surface_excess.max(0.0), facts::BASIC_EXPONENT)
}

/// Mean surface excess over the room that gives a flux, K: the basic curve read backward.
#[must_use]
pub fn surface_excess(flux: f64) -> f64 {
    pow(flux.max(0.0) / facts::BASIC_FACTOR, 1.0 / facts::BASIC_EXPONENT)
}

/// Log-mean excess of the water over the room, K; zero when the return is no warmer than it.
#[must_use]
pub fn medium_excess(supply: f64, back: f64, room: f64) -> f64 {
    let (a, b) = (supply - room, back - room);
    if a <= 0.0 || b <= 0.0 {
        return 0.0;
    }
    let ratio = ln(a / b);
    // The quotient's limit for equal temperatures, to second order, where it would be 0/0.
    if ratio.abs() < 1e-6 { 0.5 * (a + b) } else { (a - b) / ratio }
}

/// Supply temperature over the room for a log-mean excess and a drop from supply to return, K.
#[must_use]
pub fn supply_over_room(excess: f64, drop: f64) -> f64 {
    if excess <= 0.0 {
        return 0.0;
    }
    let part = drop.max(0.0) / excess;
    if part < 1e-6 { excess * (1.0 + 0.5 * part) } else { drop / (1.0 - exp(-part)) }
}

/// What lies over and under the tube plane, for the loss downward after EN 1264-3.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartialResistances {
    /// From the tube plane to the room, m²·K/W.
    pub up: f64,
    /// From the tube plane to what lies below, m²·K/W.
    pub down: f64,
}

impl PartialResistances {
    /// Of a floor on insulation `insulation` over `below` (m²·K/W), both under the tube.
    #[must_use]
    pub fn of(floor: &EmbeddedFloor, insulation: f64, below: f64) -> Self {
        Self {
            up: 1.0 / facts::SURFACE_COEFFICIENT_UP
                + floor.covering
                + floor.cover / floor.conductivity,
            down: insulation + below,
        }
    }

    /// Flux downward, W/m², for an upward flux with the room and the place below at their
    /// temperatures.
    #[must_use]
    pub fn flux_down(&self, flux_up: f64, room: f64, below: f64) -> f64 {
        (self.up * flux_up + room - below) / self.down
    }

    /// Mass flow, kg/s, that feeds `area` m² with `drop` K of drop, upward and downward.
    #[must_use]
    pub fn mass_flow(&self, area: f64, flux_up: f64, (room, below): (f64, f64), drop: f64) -> f64 {
        if drop <= 0.0 {
            return 0.0;
        }
        area * (flux_up + self.flux_down(flux_up, room, below)) / (drop * WATER_HEAT_CAPACITY)
    }
}

/// Heat capacity of water that EN 1264 reckons with, J/(kg·K).
pub const WATER_HEAT_CAPACITY: f64 = 4190.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn supply_and_log_mean_undo_each_other() {
        for (excess, drop) in [(10.0, 5.0), (20.0, 0.0), (3.0, 10.0), (12.0, 1e-9)] {
            let supply = supply_over_room(excess, drop);
            assert!((medium_excess(supply, supply - drop, 0.0) - excess).abs() < 1e-6);
        }
        assert_eq!(medium_excess(20.0, 18.0, 19.0), 0.0);
        assert!((basic_flux(surface_excess(80.0)) - 80.0).abs() < 1e-9);
    }
}
