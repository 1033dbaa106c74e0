//! Floor thickness and what lies in and under the floor: foam, stone, membrane, steel.

use crate::facts::foam::{HEATED_SLAB_ROWS, HeatedSlabRow};
use crate::geometry::Point;
use crate::units::Length;
use serde::{Deserialize, Serialize};

/// The floor from its top down.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BuildUp {
    /// Thickness of the floor between thickenings, measured from the top of the foam.
    pub floor_thickness: Length,
    /// Foam layers from the top down; empty for none.
    pub foam_layers: Vec<FoamLayer>,
    /// How boards are cut and ordered.
    pub foam_cutting: FoamCutting,
    /// The energy code that the foam is held against; none until a person picks one.
    pub insulation_code: Option<InsulationCode>,
    /// Compacted stone under everything.
    pub stone: Stone,
    /// The sheet that keeps ground moisture out.
    pub membrane: Membrane,
    /// Steel and fibre.
    pub steel: Steel,
    /// Form boards and stakes.
    pub forms: FormStock,
    /// What lies on the floor, for heat.
    pub floor_covering_r: f64,
    /// Live load on the floor, pounds per square foot.
    pub floor_load_psf: f64,
    /// Heaviest wheel or jack load, pounds.
    pub wheel_load_lb: f64,
    /// Line load on thickened edges, pounds per foot.
    pub edge_load_plf: f64,
}

impl Default for BuildUp {
    fn default() -> Self {
        Self {
            floor_thickness: Length::inches(4.0),
            foam_layers: vec![FoamLayer::default()],
            foam_cutting: FoamCutting::default(),
            insulation_code: None,
            stone: Stone::default(),
            membrane: Membrane::default(),
            steel: Steel::default(),
            forms: FormStock::default(),
            floor_covering_r: 0.0,
            floor_load_psf: 50.0,
            wheel_load_lb: 0.0,
            edge_load_plf: 0.0,
        }
    }
}

/// One layer of rigid board under the floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FoamLayer {
    /// Board thickness.
    pub thickness: Length,
    /// Short side of a board.
    pub board_width: Length,
    /// Long side of a board.
    pub board_length: Length,
    /// Which board.
    pub foam_type: FoamType,
    /// Direction of the courses; automatic searches for the fewest boards.
    pub direction: CourseDirection,
    /// A corner that a whole board starts from; automatic when absent.
    pub start_corner: Option<Point>,
    /// How much of the floor it covers.
    pub coverage: Coverage,
    /// Whether it also goes under the flat bottom and slopes of thickened edges and strips.
    pub goes_under_edges: bool,
    /// Pieces that a person locked where they lie; they fix direction and course lines.
    pub locked: Vec<LockedPiece>,
}

impl Default for FoamLayer {
    fn default() -> Self {
        Self {
            thickness: Length::inches(2.0),
            board_width: Length::inches(48.0),
            board_length: Length::inches(96.0),
            foam_type: FoamType::IV,
            direction: CourseDirection::Automatic,
            start_corner: None,
            coverage: Coverage::Full,
            goes_under_edges: false,
            locked: Vec::new(),
        }
    }
}

/// Rigid polystyrene board by its type in ASTM C578.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[expect(
    missing_docs,
    reason = "the names are the standard's own; the table stands in facts::foam"
)]
pub enum FoamType {
    I,
    II,
    #[default]
    IV,
    V,
    VI,
    VII,
    VIII,
    IX,
    X,
    XI,
    XII,
    XIV,
    XV,
}

/// A piece of board held where it lies: its two ends on the lower line of its course, which it
/// looks along from the first to the second.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LockedPiece {
    /// Its first end on the course's lower line, on whose left the course lies.
    pub from: Point,
    /// Its other end.
    pub to: Point,
}

/// What an energy code asks of the foam of a heated slab: a row of the program's table or the
/// person's own, kept with the job so that a later program checks against the same figures.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct InsulationCode {
    /// Code and edition, such as "IECC 2021".
    pub code: String,
    /// Climate zones the row is for, in words.
    pub zones: String,
    /// R at the edge, h·ft²·°F/Btu; zero when none is asked.
    pub edge_r: f64,
    /// How far down the edge foam reaches, or down and in.
    pub edge_depth: Length,
    /// R under the whole slab; zero when none is asked.
    pub under_r: f64,
    /// Where the figures come from.
    pub source: String,
}

impl InsulationCode {
    /// The code rows that the program ships, each with its source; states amend them.
    #[must_use]
    pub fn shipped() -> Vec<Self> {
        HEATED_SLAB_ROWS.iter().map(Self::of_row).collect()
    }

    fn of_row(row: &HeatedSlabRow) -> Self {
        Self {
            code: row.code.to_owned(),
            zones: row.zones.to_owned(),
            edge_r: row.edge_r,
            edge_depth: Length::inches(row.edge_depth),
            under_r: row.under_r,
            source: row.source.to_string(),
        }
    }
}

/// Which way board courses run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum CourseDirection {
    /// The direction that takes the fewest boards.
    #[default]
    Automatic,
    /// Degrees counter-clockwise from east.
    Degrees(f64),
}

/// How much of the floor a foam layer covers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Coverage {
    /// All of it.
    #[default]
    Full,
    /// A band of this width along the outside.
    Perimeter(Length),
    /// Inside these rings of corners, in plan; where two overlap the floor is covered once.
    Zones(Vec<Vec<Point>>),
}

impl Coverage {
    /// The rings inside which foam lies, for coverage by zones.
    pub fn zones(&self) -> impl Iterator<Item = &Vec<Point>> {
        let zones = if let Self::Zones(zones) = self { zones.as_slice() } else { &[] };
        zones.iter()
    }
}

/// How boards are cut, joined and bought.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FoamCutting {
    /// What a saw cut eats; zero for a knife.
    pub kerf: Length,
    /// Least distance between end seams of neighbouring courses.
    pub least_stagger: Length,
    /// Pieces narrower than this are flagged.
    pub least_piece: Length,
    /// Boards in a bundle; zero when the yard sells single boards.
    pub boards_in_bundle: u32,
    /// Length of a roll of seam tape.
    pub tape_roll: Length,
}

impl Default for FoamCutting {
    fn default() -> Self {
        Self {
            kerf: Length::ZERO,
            least_stagger: Length::inches(12.0),
            least_piece: Length::inches(6.0),
            boards_in_bundle: 0,
            tape_roll: Length::feet(164.0),
        }
    }
}

/// Compacted stone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Stone {
    /// Compacted thickness; zero for none.
    pub thickness: Length,
    /// Loose yards to buy for each compacted yard.
    pub compaction_factor: f64,
    /// Loose weight, tons per cubic yard.
    pub tons_per_yard: f64,
    /// How far it goes beyond the form.
    pub beyond_form: Length,
}

impl Default for Stone {
    fn default() -> Self {
        Self {
            thickness: Length::inches(4.0),
            compaction_factor: 1.15,
            tons_per_yard: 1.4,
            beyond_form: Length::inches(12.0),
        }
    }
}

/// The vapor retarder.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Membrane {
    /// There is one.
    pub is_laid: bool,
    /// Thickness in thousandths of an inch.
    pub mils: f64,
    /// Width of a roll.
    pub roll_width: Length,
    /// Length of a roll.
    pub roll_length: Length,
    /// Lap between strips.
    pub lap: Length,
    /// Turn-up at the edges.
    pub turn_up: Length,
    /// Waste as a share, 0.05 for five per cent.
    pub waste: f64,
}

impl Default for Membrane {
    fn default() -> Self {
        Self {
            is_laid: true,
            mils: 10.0,
            roll_width: Length::feet(12.0),
            roll_length: Length::feet(100.0),
            lap: Length::inches(6.0),
            turn_up: Length::inches(6.0),
            waste: 0.05,
        }
    }
}

/// Steel and fibre. None of it is a valid choice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Steel {
    /// In the floor.
    pub floor: FloorSteel,
    /// Continuous bars in thickened edges: how many.
    pub edge_bars: u32,
    /// Bar size of the edges (4 is a half inch).
    pub edge_bar_size: u8,
    /// Bars along each thickened strip.
    pub strip_bars: u32,
    /// Bars each way in each pad.
    pub pad_bars: u32,
    /// Lap of bars in bar diameters.
    pub lap_diameters: f64,
    /// Stock length of bars.
    pub stock_bar: Length,
    /// Cover to the outer face.
    pub cover: Length,
    /// Diagonal bars at each inside corner.
    pub inside_corner_bars: u32,
    /// Spacing of chairs each way; zero for none.
    pub chair_spacing: Length,
    /// Fibre dosage in pounds per cubic yard; zero for none.
    pub fibre_lb_per_yd3: f64,
}

impl Default for Steel {
    fn default() -> Self {
        Self {
            floor: FloorSteel::default(),
            edge_bars: 2,
            edge_bar_size: 4,
            strip_bars: 2,
            pad_bars: 3,
            lap_diameters: 40.0,
            stock_bar: Length::feet(20.0),
            cover: Length::inches(3.0),
            inside_corner_bars: 2,
            chair_spacing: Length::feet(3.0),
            fibre_lb_per_yd3: 0.0,
        }
    }
}

/// Steel in the floor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum FloorSteel {
    /// None.
    None,
    /// Welded wire in flat sheets.
    MeshSheets {
        /// Wire size: W2.9 is 2.9.
        wire: f64,
        /// Short side of a sheet.
        width: Length,
        /// Long side of a sheet.
        length: Length,
        /// Lap.
        lap: Length,
    },
    /// Welded wire in rolls.
    MeshRolls {
        /// Wire size: W1.4 is 1.4.
        wire: f64,
        /// Width of a roll.
        width: Length,
        /// Length of a roll.
        length: Length,
        /// Lap.
        lap: Length,
    },
    /// Bars both ways.
    Bars {
        /// Bar size (4 is a half inch).
        size: u8,
        /// Spacing both ways.
        spacing: Length,
    },
}

impl Default for FloorSteel {
    fn default() -> Self {
        Self::MeshSheets {
            wire: 2.9,
            width: Length::feet(5.0),
            length: Length::feet(10.0),
            lap: Length::inches(8.0),
        }
    }
}

/// Form boards and what holds them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FormStock {
    /// Nominal height of the boards in inches: 12 for a nominal 2 x 12, whose true height is
    /// 11 1/4 in. Zero lets the program choose the nearest that is no higher than the edge.
    pub nominal_height: u8,
    /// Lengths the yard stocks.
    pub stock_lengths: Vec<Length>,
    /// Greatest spacing of stakes.
    pub stake_spacing: Length,
    /// Greatest spacing of kickers (diagonal braces); zero for none.
    pub kicker_spacing: Length,
}

impl Default for FormStock {
    fn default() -> Self {
        Self {
            nominal_height: 0,
            stock_lengths: [8.0, 10.0, 12.0, 14.0, 16.0].map(Length::feet).to_vec(),
            stake_spacing: Length::feet(3.0),
            kicker_spacing: Length::feet(6.0),
        }
    }
}
