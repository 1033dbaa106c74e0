//! Water and propylene glycol mixes: density, viscosity, heat capacity, conductivity, freezing.
//!
//! Rows at a few temperatures; between rows the logarithm of viscosity and the other properties
//! follow a parabola (water: through the nearest three rows) in temperature. Between strengths
//! they are joined by straight lines, viscosity by its logarithm, plain water counting as 0 %.
//! Good to about 1 % in the range of the rows; glycol viscosity itself is only known to ±6 %,
//! since two data sets differ by that.

use super::source::{HowKnown, Source};
use crate::units::exact_math::{exp, ln};

/// One row: temperature °F, density kg/m³, viscosity mPa·s, heat capacity kJ/(kg·K),
/// conductivity W/(m·K).
type Row = [f64; 5];

/// Water at 2 bar.
pub const WATER: [Row; 5] = [
    [60.0, 999.06, 1.1210, 4.1875, 0.5899],
    [80.0, 996.65, 0.8572, 4.1804, 0.6093],
    [100.0, 993.09, 0.6810, 4.1790, 0.6256],
    [120.0, 988.58, 0.5569, 4.1808, 0.6394],
    [140.0, 983.24, 0.4661, 4.1847, 0.6511],
];

/// Propylene glycol in water by percent of mass, with its rows.
pub const PROPYLENE_GLYCOL: [(f64, [Row; 3]); 3] = [
    (
        30.0,
        [
            [60.0, 1025.76, 3.5191, 3.8450, 0.4409],
            [100.0, 1014.69, 1.6713, 3.9045, 0.4588],
            [120.0, 1008.17, 1.2606, 3.9337, 0.4677],
        ],
    ),
    (
        40.0,
        [
            [60.0, 1034.72, 5.3258, 3.6923, 0.3974],
            [100.0, 1021.50, 2.2918, 3.7638, 0.4118],
            [120.0, 1014.10, 1.6699, 3.7990, 0.4191],
        ],
    ),
    (
        50.0,
        [
            [60.0, 1041.88, 7.9162, 3.5131, 0.3573],
            [100.0, 1026.96, 3.1397, 3.5985, 0.3684],
            [120.0, 1018.86, 2.2191, 3.6410, 0.3742],
        ],
    ),
];

/// Freezing points: percent of mass, °F.
pub const FREEZING_F: [(f64, f64); 4] = [(0.0, 32.0), (30.0, 9.0), (40.0, -5.0), (50.0, -25.9)];

/// Where the fluid rows come from.
pub const FLUIDS_SOURCE: Source = Source::new(
    "IAPWS water and an incompressible propylene glycol set of an open property library",
    "",
    "evaluated row by row",
    HowKnown::Derived,
);

/// Properties of a fluid at one temperature, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FluidProperties {
    /// kg/m³.
    pub density: f64,
    /// Dynamic viscosity, Pa·s.
    pub viscosity: f64,
    /// J/(kg·K).
    pub heat_capacity: f64,
    /// W/(m·K).
    pub conductivity: f64,
}

impl FluidProperties {
    /// Prandtl number.
    #[must_use]
    pub fn prandtl(&self) -> f64 {
        self.viscosity * self.heat_capacity / self.conductivity
    }

    /// Heat that a volume carries for a degree, J/(m³·K).
    #[must_use]
    pub fn volume_heat_capacity(&self) -> f64 {
        self.density * self.heat_capacity
    }

    /// Btu/(h·gpm·°F): the 500 of the rule of thumb.
    #[must_use]
    pub fn btuh_per_gpm_degree(&self) -> f64 {
        // One gpm is 6.30902e-5 m³/s, one W/K is 1.89563 Btu/(h·°F).
        self.volume_heat_capacity() * 6.309_019_64e-5 / 0.293_071_070_172 / 1.8
    }
}

/// Properties of water with `glycol_percent` of propylene glycol by mass (0 for water, held to
/// 60 at most) at a temperature held to 40 to 160 °F.
#[must_use]
pub fn properties(glycol_percent: f64, temperature_f: f64) -> FluidProperties {
    let temperature_f = temperature_f.clamp(40.0, 160.0);
    let percent = glycol_percent.clamp(0.0, 60.0);
    let water = at_temperature(nearest_three(temperature_f), temperature_f);
    let mut below = (0.0, water);
    let mut above = (0.0, water);
    for (strength, rows) in &PROPYLENE_GLYCOL {
        let here = (*strength, at_temperature(*rows, temperature_f));
        below = above;
        above = here;
        if *strength >= percent {
            break;
        }
    }
    let share = (percent - below.0) / (above.0 - below.0);
    let mix = |a: f64, b: f64| a + (b - a) * share;
    FluidProperties {
        density: mix(below.1.density, above.1.density),
        viscosity: exp(mix(ln(below.1.viscosity), ln(above.1.viscosity))),
        heat_capacity: mix(below.1.heat_capacity, above.1.heat_capacity),
        conductivity: mix(below.1.conductivity, above.1.conductivity),
    }
}

/// Temperature at which a mix freezes, °F, by straight lines between the rows.
#[must_use]
pub fn freezing_f(glycol_percent: f64) -> f64 {
    let percent = glycol_percent.clamp(0.0, 50.0);
    let mut last = FREEZING_F[0];
    for &(strength, freezing) in &FREEZING_F {
        if percent <= strength {
            let span = strength - last.0;
            let share = if span > 0.0 { (percent - last.0) / span } else { 0.0 };
            return last.1 + (freezing - last.1) * share;
        }
        last = (strength, freezing);
    }
    last.1
}

fn nearest_three(temperature_f: f64) -> [Row; 3] {
    let [a, b, c, d, e] = WATER;
    if temperature_f < 90.0 {
        [a, b, c]
    } else if temperature_f < 110.0 {
        [b, c, d]
    } else {
        [c, d, e]
    }
}

fn at_temperature(rows: [Row; 3], temperature_f: f64) -> FluidProperties {
    let [a, b, c] = rows;
    let parabola = |x: f64, [xa, xb, xc]: [f64; 3], [ya, yb, yc]: [f64; 3]| {
        ya * (x - xb) * (x - xc) / ((xa - xb) * (xa - xc))
            + yb * (x - xa) * (x - xc) / ((xb - xa) * (xb - xc))
            + yc * (x - xa) * (x - xb) / ((xc - xa) * (xc - xb))
    };
    let at = |column: fn(&Row) -> f64| {
        let xs = [&a, &b, &c].map(|row| row[0]);
        parabola(temperature_f, xs, [&a, &b, &c].map(column))
    };
    // Viscosity is nearest to a straight line as its logarithm over 1/T.
    let inverse = |f: f64| 1000.0 / (f + 459.67);
    let log_viscosity = parabola(
        inverse(temperature_f),
        [&a, &b, &c].map(|row| inverse(row[0])),
        [&a, &b, &c].map(|row| ln(row[2])),
    );
    FluidProperties {
        density: at(|row| row[1]),
        viscosity: exp(log_viscosity) * 1e-3,
        heat_capacity: at(|row| row[3]) * 1e3,
        conductivity: at(|row| row[4]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rows_come_back_and_between_them_nothing_jumps() {
        for row in &WATER {
            let here = properties(0.0, row[0]);
            assert!((here.density / row[1] - 1.0).abs() < 1e-9);
            assert!((here.viscosity * 1e3 / row[2] - 1.0).abs() < 1e-9);
        }
        for (percent, rows) in &PROPYLENE_GLYCOL {
            for row in rows {
                let here = properties(*percent, row[0]);
                assert!((here.viscosity * 1e3 / row[2] - 1.0).abs() < 1e-9);
                assert!((here.heat_capacity / 1e3 / row[3] - 1.0).abs() < 1e-9);
            }
        }
        let steps = (40..160).map(|f| properties(0.0, f64::from(f)).viscosity);
        assert!(steps.clone().zip(steps.skip(1)).all(|(a, b)| b < a && b > a * 0.97));
        let strengths = (0..60).map(|p| properties(f64::from(p), 100.0).viscosity);
        assert!(strengths.clone().zip(strengths.skip(1)).all(|(a, b)| b > a && b < a * 1.06));
    }

    #[test]
    fn water_between_rows_keeps_to_the_steam_tables() {
        // Water at 50 °C (122 °F): 0.5465 mPa·s, at 40 °C (104 °F): 0.6527 (IAPWS, from memory).
        assert!((properties(0.0, 122.0).viscosity * 1e3 - 0.5465).abs() < 0.002);
        assert!((properties(0.0, 104.0).viscosity * 1e3 - 0.6527).abs() < 0.002);
        assert!((properties(0.0, 100.0).btuh_per_gpm_degree() - 496.3).abs() < 0.5);
        assert!((properties(40.0, 100.0).btuh_per_gpm_degree() - 459.8).abs() < 0.5);
        assert!((freezing_f(35.0) - 2.0).abs() < 1e-9);
    }
}
