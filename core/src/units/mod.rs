//! Numbers that people write and read, and the only place where one unit becomes another.
//!
//! Inside the core a plan length is inches in `f64`, where a sixteenth is exact. Documents wrap
//! it in [`Length`]; geometry works on the bare number. Every other quantity has a type with
//! named constructors and getters per unit.

pub mod dates;
pub mod exact_math;
pub mod length;
pub mod money;
pub mod parse;
pub mod quantity;
pub mod quantity_text;
pub mod scan;
pub mod show;

pub use length::Length;
pub use money::Cents;
pub use parse::{LengthUnit, ParseError, parse_length};
pub use quantity::{
    Area, Flow, HeatFlow, HeatFlux, Pressure, Temperature, TemperatureStep, ThermalResistance,
    Volume, Weight,
};
pub use show::{Rounding, UnitSystem, show_inches, show_length, show_number};
