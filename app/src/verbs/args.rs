//! The verbs and their options: help, manual page and completions are made from this.

use crate::editor::stages::Stage;
use crate::editor::theme::ThemeChoice;
use clap::{Args as Arguments, Parser, Subcommand, ValueEnum};
use slabloom_core::job::sheet_set::{Paper, PlanScale};
use slabloom_core::units::{Length, LengthUnit, parse_length};
use std::path::PathBuf;

/// Lays out, prices and draws insulated, heated concrete ground slabs.
#[derive(Debug, Parser)]
#[command(
    name = "slabloom",
    version,
    args_conflicts_with_subcommands = true,
    after_help = "Exit codes: 0 done, 1 a finding says stop, 2 bad input or usage, 3 an output could not be written."
)]
pub struct Args {
    /// The job to open in the editor; without one it opens on the sample that is built in
    pub job: Option<PathBuf>,
    /// What to do without the editor.
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
    /// Quantities and price of two jobs side by side, where they differ
    Compare(Compare),
    /// The sheet set as a PDF file, or one SVG file a sheet
    Sheets(Sheets),
    /// The editor's window with a job in it, as a PNG file, without a display
    Picture(Picture),
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
    /// Every quantity with its parts, not only what to order
    #[arg(long, conflicts_with = "json")]
    pub all: bool,
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

/// Options of `compare`.
#[derive(Debug, Arguments)]
pub struct Compare {
    /// The job file
    pub job: PathBuf,
    /// The job file to hold it against
    pub other: PathBuf,
}

/// Options of `sheets`.
#[derive(Debug, Arguments)]
pub struct Sheets {
    /// The job file
    pub job: PathBuf,
    /// The PDF file to write; with --svg the folder
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// The paper instead of the job's own
    #[arg(long, value_enum)]
    pub paper: Option<PaperSize>,
    /// The scale of plans instead of the job's own: 1/4 (of an inch to the foot) or 1:50
    #[arg(long, value_name = "SCALE", value_parser = plan_scale)]
    pub scale: Option<PlanScale>,
    /// Only these sheets, such as joints,tube
    #[arg(long, value_name = "SHEETS", value_delimiter = ',')]
    pub only: Vec<String>,
    /// One SVG file a sheet, into a folder
    #[arg(long)]
    pub svg: bool,
}

/// A paper size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperSize {
    Letter,
    Legal,
    Tabloid,
    AnsiC,
    AnsiD,
    A4,
    A3,
    A2,
    A1,
}

impl PaperSize {
    /// The same as the job calls it.
    #[must_use]
    pub const fn paper(self) -> Paper {
        match self {
            Self::Letter => Paper::Letter,
            Self::Legal => Paper::Legal,
            Self::Tabloid => Paper::Tabloid,
            Self::AnsiC => Paper::AnsiC,
            Self::AnsiD => Paper::AnsiD,
            Self::A4 => Paper::A4,
            Self::A3 => Paper::A3,
            Self::A2 => Paper::A2,
            Self::A1 => Paper::A1,
        }
    }
}

/// A scale such as 1/4 (of an inch to the foot) or 1:50.
fn plan_scale(text: &str) -> Result<PlanScale, String> {
    let ratio = match text.split_once(':') {
        Some((one, many)) => {
            let parse = |part: &str| part.trim().parse::<f64>().ok();
            parse(one).zip(parse(many)).map(|(one, many)| many / one)
        }
        None => parse_length(text.trim_end_matches('\''), LengthUnit::Inches)
            .ok()
            .map(|inches| Length::feet(1.0) / inches),
    };
    match ratio {
        Some(ratio) if (1.0..=2400.0).contains(&ratio) => Ok(PlanScale(ratio)),
        _ => Err("write the scale as 1/4 (of an inch to the foot) or as 1:50".to_owned()),
    }
}

/// Options of `picture`.
#[derive(Debug, Arguments)]
pub struct Picture {
    /// The job file
    pub job: PathBuf,
    /// The picture file to write
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// Width and height of the window
    #[arg(long, value_name = "WIDTHxHEIGHT", default_value = "1280x800", value_parser = size)]
    pub size: (u32, u32),
    /// Pixels for each point of the window
    #[arg(long, value_name = "NUMBER", default_value = "1", value_parser = scale)]
    pub scale: f32,
    /// The stage of the work that is shown
    #[arg(long, value_enum, default_value_t = ShownStage::Forms)]
    pub stage: ShownStage,
    /// The look
    #[arg(long, value_enum, default_value_t = Look::Light)]
    pub look: Look,
}

/// A size such as 1280x800.
fn size(text: &str) -> Result<(u32, u32), String> {
    let both = text.split_once(['x', '×']).and_then(|(width, height)| {
        Some((width.trim().parse::<u32>().ok()?, height.trim().parse::<u32>().ok()?))
    });
    match both {
        Some((width, height))
            if (200..=8000).contains(&width) && (200..=8000).contains(&height) =>
        {
            Ok((width, height))
        }
        Some(_) => Err("a window is 200 to 8000 wide and high".to_owned()),
        None => Err("write the size as 1280x800".to_owned()),
    }
}

/// Pixels for each point.
fn scale(text: &str) -> Result<f32, String> {
    match text.parse::<f32>() {
        Ok(scale) if (0.5..=4.0).contains(&scale) => Ok(scale),
        _ => Err("write a number from 0.5 to 4".to_owned()),
    }
}

/// A stage of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ShownStage {
    /// Outline, edges, thickenings, ground
    Forms,
    /// Boards
    Foam,
    /// Zones, circuits, heat
    Tube,
    /// Floor temperature, sections
    Heat,
    /// Joints
    Saw,
    /// Order and trucks
    Pour,
    /// Quantities and price
    Bid,
}

impl ShownStage {
    /// The same as the editor calls it.
    #[must_use]
    pub const fn stage(self) -> Stage {
        match self {
            Self::Forms => Stage::Forms,
            Self::Foam => Stage::Foam,
            Self::Tube => Stage::Tube,
            Self::Heat => Stage::Heat,
            Self::Saw => Stage::Saw,
            Self::Pour => Stage::Pour,
            Self::Bid => Stage::Bid,
        }
    }
}

/// A look of the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Look {
    /// Dark ink on paper
    Light,
    /// Light ink on wet concrete
    Dark,
    /// White and yellow on black
    Contrast,
}

impl Look {
    /// The same as the editor calls it.
    #[must_use]
    pub const fn theme(self) -> ThemeChoice {
        match self {
            Self::Light => ThemeChoice::Light,
            Self::Dark => ThemeChoice::Dark,
            Self::Contrast => ThemeChoice::HighContrast,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory as _;

    #[test]
    fn scales_are_of_an_inch_to_the_foot_or_ratios() {
        for (text, ratio) in
            [("1/4", 48.0), ("3/16", 64.0), ("1/2\"", 24.0), ("1:50", 50.0), ("1", 12.0)]
        {
            assert_eq!(plan_scale(text), Ok(PlanScale(ratio)), "{text}");
        }
        for text in ["", "0", "1:0", "x", "-1/4", "1:NaN"] {
            assert!(plan_scale(text).is_err(), "{text}");
        }
        assert_eq!(size("1920x1080"), Ok((1920, 1080)));
        assert!(size("9x9").is_err() && size("big").is_err());
    }

    #[test]
    fn the_definitions_hold_together() {
        Args::command().debug_assert();
    }
}
