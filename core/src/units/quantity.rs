//! Areas, volumes, temperatures, flows and heat, each with a constructor and getter per unit.

use serde::{Deserialize, Serialize};

/// Cubic inches in a cubic yard.
const CUBIC_INCHES_PER_CUBIC_YARD: f64 = 46_656.0;
/// Litres in a US gallon, exact.
const LITERS_PER_GALLON: f64 = 3.785_411_784;
/// Watts in one Btu (International Table) per hour.
const WATTS_PER_BTU_PER_HOUR: f64 = 0.293_071_070_172_222;
/// Square metres in one square foot, exact.
const SQUARE_METERS_PER_SQUARE_FOOT: f64 = 0.092_903_04;
/// Kilograms in one pound, exact.
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;
/// Kilopascals in one pound per square inch.
const KILOPASCALS_PER_PSI: f64 = 6.894_757_293_168;
/// m²·K/W in one h·ft²·°F/Btu.
const RSI_PER_R: f64 = 0.176_110_183_682;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $($(#[$method_doc:meta])* $make:ident, $get:ident, $factor:expr;)+) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            $(
                $(#[$method_doc])*
                #[must_use]
                pub const fn $make(value: f64) -> Self {
                    Self(value * $factor)
                }
                /// The same in that unit.
                #[must_use]
                pub const fn $get(self) -> f64 {
                    self.0 / $factor
                }
            )+
            /// Whether the number is neither infinite nor not-a-number.
            #[must_use]
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                Self(items.map(|item| item.0).sum())
            }
        }
    };
}

quantity!(
    /// A plan area, held in square inches.
    Area,
    /// From square inches.
    square_inches, to_square_inches, 1.0;
    /// From square feet.
    square_feet, to_square_feet, 144.0;
    /// From square metres.
    square_meters, to_square_meters, 144.0 / SQUARE_METERS_PER_SQUARE_FOOT;
);

quantity!(
    /// A volume, held in cubic inches.
    Volume,
    /// From cubic inches.
    cubic_inches, to_cubic_inches, 1.0;
    /// From cubic feet.
    cubic_feet, to_cubic_feet, 1728.0;
    /// From cubic yards.
    cubic_yards, to_cubic_yards, CUBIC_INCHES_PER_CUBIC_YARD;
    /// From cubic metres.
    cubic_meters, to_cubic_meters, 1e9 / (25.4 * 25.4 * 25.4);
    /// From US gallons.
    gallons, to_gallons, 231.0;
    /// From litres.
    liters, to_liters, 231.0 / LITERS_PER_GALLON;
);

quantity!(
    /// A rate of flow, held in US gallons a minute.
    Flow,
    /// From US gallons a minute.
    gallons_per_minute, to_gallons_per_minute, 1.0;
    /// From litres a minute.
    liters_per_minute, to_liters_per_minute, 1.0 / LITERS_PER_GALLON;
);

quantity!(
    /// A flow of heat, held in Btu an hour.
    HeatFlow,
    /// From Btu an hour.
    btu_per_hour, to_btu_per_hour, 1.0;
    /// From watts.
    watts, to_watts, 1.0 / WATTS_PER_BTU_PER_HOUR;
);

quantity!(
    /// Heat flow through an area, held in Btu an hour and square foot.
    HeatFlux,
    /// From Btu an hour and square foot.
    btu_per_hour_square_foot, to_btu_per_hour_square_foot, 1.0;
    /// From watts a square metre.
    watts_per_square_meter, to_watts_per_square_meter,
        SQUARE_METERS_PER_SQUARE_FOOT / WATTS_PER_BTU_PER_HOUR;
);

quantity!(
    /// A weight, held in pounds.
    Weight,
    /// From pounds.
    pounds, to_pounds, 1.0;
    /// From short tons.
    short_tons, to_short_tons, 2000.0;
    /// From kilograms.
    kilograms, to_kilograms, 1.0 / KILOGRAMS_PER_POUND;
);

quantity!(
    /// A pressure, held in pounds per square inch.
    Pressure,
    /// From pounds per square inch.
    psi, to_psi, 1.0;
    /// From kilopascals.
    kilopascals, to_kilopascals, 1.0 / KILOPASCALS_PER_PSI;
);

quantity!(
    /// A thermal resistance (R-value), held in h·ft²·°F/Btu.
    ThermalResistance,
    /// From h·ft²·°F/Btu.
    r_value, to_r_value, 1.0;
    /// From m²·K/W.
    square_meter_kelvin_per_watt, to_square_meter_kelvin_per_watt, 1.0 / RSI_PER_R;
);

quantity!(
    /// A difference of two temperatures, held in °F.
    TemperatureStep,
    /// From °F.
    fahrenheit, to_fahrenheit, 1.0;
    /// From kelvins.
    kelvins, to_kelvins, 1.8;
);

/// A temperature, held in °F. Saved as a bare number of °F.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Temperature(f64);

impl Temperature {
    /// From °F.
    #[must_use]
    pub const fn fahrenheit(value: f64) -> Self {
        Self(value)
    }

    /// From °C.
    #[must_use]
    pub const fn celsius(value: f64) -> Self {
        Self(value * 1.8 + 32.0)
    }

    /// In °F.
    #[must_use]
    pub const fn to_fahrenheit(self) -> f64 {
        self.0
    }

    /// In °C.
    #[must_use]
    pub const fn to_celsius(self) -> f64 {
        (self.0 - 32.0) / 1.8
    }

    /// Whether the number is neither infinite nor not-a-number.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

impl std::ops::Sub for Temperature {
    type Output = TemperatureStep;
    fn sub(self, other: Self) -> TemperatureStep {
        TemperatureStep::fahrenheit(self.0 - other.0)
    }
}

impl std::ops::Add<TemperatureStep> for Temperature {
    type Output = Self;
    fn add(self, step: TemperatureStep) -> Self {
        Self(self.0 + step.to_fahrenheit())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-6 * b.abs()
    }

    #[test]
    fn units_agree_with_exact_definitions() {
        assert!(close(Volume::cubic_yards(1.0).to_cubic_feet(), 27.0));
        assert!(close(Volume::cubic_yards(1.0).to_cubic_meters(), 0.764_554_858));
        assert!(close(Volume::cubic_feet(1.0).to_gallons(), 7.480_519_48));
        assert!(close(
            HeatFlux::btu_per_hour_square_foot(1.0).to_watts_per_square_meter(),
            3.154_591
        ));
        assert!(close(
            ThermalResistance::r_value(1.0).to_square_meter_kelvin_per_watt(),
            0.176_110_2
        ));
        assert!(close(Temperature::celsius(40.0).to_fahrenheit(), 104.0));
        assert!(close(Flow::gallons_per_minute(1.0).to_liters_per_minute(), 3.785_412));
        assert!(close(Weight::kilograms(1.0).to_pounds(), 2.204_622_6));
        assert!(close(Area::square_meters(1.0).to_square_feet(), 10.763_910_4));
    }
}
