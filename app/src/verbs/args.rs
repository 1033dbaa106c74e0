//! The verbs and their options: help, manual page and completions are made from this.

use clap::{Args as Arguments, Parser, Subcommand, ValueEnum};
use slabloom_core::units::LengthUnit;
use std::path::PathBuf;

/// Lays out, prices and draws insulated, heated concrete ground slabs.
#[derive(Debug, Parser)]
#[command(
    name = "slabloom",
    version,
    after_help = "Exit codes: 0 done, 1 a finding says stop, 2 bad input or usage, 3 an output could not be written."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Make a job from typed walls or from an outline file
    New(New),
    /// Quantities, prices and findings of a job
    Takeoff(Takeoff),
    /// Everything that follows from a job, as JSON
    Results(Results),
    /// Findings only; the exit code is 1 if one says stop
    Check(Check),
}

/// Options of `new`.
#[derive(Debug, Arguments)]
#[command(group(clap::ArgGroup::new("from").required(true).args(["walls", "outline"])))]
pub struct New {
    /// The job file to make
    pub job: PathBuf,
    /// Walls walked round, such as "E 40' N 28' W 40' close"
    #[arg(long, value_name = "LEGS", allow_hyphen_values = true)]
    pub walls: Option<String>,
    /// Outline file: .wkt (one POLYGON), .geojson, or .csv of x,y
    #[arg(long, value_name = "FILE")]
    pub outline: Option<PathBuf>,
    /// The unit of numbers without one
    #[arg(long, value_enum, default_value_t = Unit::Ft)]
    pub unit: Unit,
    /// What the job is called
    #[arg(long, value_name = "WORDS")]
    pub title: Option<String>,
    /// Put the new job in the place of a file that is there
    #[arg(long)]
    pub force: bool,
}

/// The unit of numbers without one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Unit {
    /// Feet
    Ft,
    /// Inches
    In,
    /// Metres
    M,
    /// Millimetres
    Mm,
}

impl Unit {
    /// The same as a unit of lengths.
    #[must_use]
    pub const fn length_unit(self) -> LengthUnit {
        match self {
            Self::Ft => LengthUnit::Feet,
            Self::In => LengthUnit::Inches,
            Self::M => LengthUnit::Meters,
            Self::Mm => LengthUnit::Millimeters,
        }
    }
}

/// Options of `takeoff`.
#[derive(Debug, Arguments)]
pub struct Takeoff {
    /// The job file
    pub job: PathBuf,
    /// As JSON instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Options of `results`.
#[derive(Debug, Arguments)]
pub struct Results {
    /// The job file
    pub job: PathBuf,
}

/// Options of `check`.
#[derive(Debug, Arguments)]
pub struct Check {
    /// The job file
    pub job: PathBuf,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory as _;

    #[test]
    fn the_definitions_hold_together() {
        Args::command().debug_assert();
    }
}
