//! Paper, scale and title block of the printed sheets.

use serde::{Deserialize, Serialize};

/// How sheets are printed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SheetSet {
    /// Paper size.
    pub paper: Paper,
    /// Scale of plans; the largest listed one that fits when absent.
    pub scale: Option<PlanScale>,
    /// The company's own lines in the title block.
    pub company_lines: Vec<String>,
    /// What was changed, when and by whom.
    pub revisions: Vec<Revision>,
    /// Labels moved by hand: the label's key and its shift on paper in points.
    pub moved_labels: Vec<MovedLabel>,
}

/// A paper size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the names are the sizes' own")]
pub enum Paper {
    Letter,
    Legal,
    #[default]
    Tabloid,
    AnsiC,
    AnsiD,
    A4,
    A3,
    A2,
    A1,
}

/// A plan scale as paper inches to plan inches: 1/4 in to the foot is 1 to 48.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct PlanScale(pub f64);

/// A line of the revision table.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Revision {
    /// Date as YYYY-MM-DD.
    pub date: String,
    /// What changed.
    pub what: String,
    /// Who changed it.
    pub by: String,
}

/// A label that a person has moved on a sheet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct MovedLabel {
    /// The sheet and what the label is about, as `sheets::plan_area::label_key` writes it.
    pub key: String,
    /// Shift to the right in points.
    pub right: f64,
    /// Shift down in points.
    pub down: f64,
}
