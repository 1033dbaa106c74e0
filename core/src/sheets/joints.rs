//! The joint sheet: what the saw crew works from.
//!
//! Every cut is a running figure from two edges of the slab's box, west and east or south and
//! north, so that a tape can be read from either end and errors do not add up. Cautions: silica
//! dust by wet cutting or extraction (common practice; the crew's own rules govern), tube beneath
//! the blade, post-tensioned steel.

use super::frame::Draft;
use super::joint_rows as rows;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanFrame, PlanSheet, built_size, length, plan_sheets};
use super::plan_marks::{self, JOINTS};
use super::tags::{self, Shown};
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::{NOTE_SIZE, Text};
use crate::drawing::{Ink, Pen};
use crate::facts::joints::{DOWEL_SOURCE, FIRST_DOWEL_IN, dowels_for};
use crate::geometry::Point;
use crate::geometry::polygon::centroid;
use crate::job::Job;
use crate::joints::{JointKind, JointLine};
use crate::units::{Length, show_inches, show_number};

/// The joint sheet; empty when the slab has no joints.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let parts = &results.parts;
    if all_lines(results).is_empty() {
        return Vec::new();
    }
    let draw = |area: &mut PlanArea<'_>| draw(area, results);
    let frame = PlanFrame::of(&parts.plan);
    plan_sheets(
        job,
        &parts.plan,
        PlanSheet {
            title: "Joints",
            alt: format!(
                "Joint plan: {} lines, {} panels, {} ft of saw cut",
                all_lines(results).len(),
                parts.joints.layout.panels.len(),
                show_number(saw_feet(results), 1)
            ),
            band: rows::bands(job, results),
            pieces: pieces(job, results, frame),
            draw: &draw,
            is_tiled: true,
        },
    )
}

/// Contraction joints, then those that move.
pub(super) fn all_lines(results: &Results) -> Vec<&JointLine> {
    let parts = &results.parts;
    parts.joints.layout.lines.iter().chain(&parts.moving_joints.lines).collect()
}

fn saw_feet(results: &Results) -> f64 {
    let sawing = &results.parts.joints.sawing;
    if sawing.feet > 0.0 {
        sawing.feet
    } else {
        let lines = results.parts.joints.layout.lines.iter();
        lines.filter(|line| line.saw_depth > 0.0).map(|line| line.length() / 12.0).sum()
    }
}

fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let parts = &results.parts;
    area.beneath(&plan_marks::circuits_beneath(&parts.tube.circuits));
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::MEDIUM));
    area.plan(&plan_marks::joints(&parts.moving_joints.lines));
    area.plan(&plan_marks::joints(&parts.joints.layout.lines));
    rows::draw(area, results);
    for (place, line) in all_lines(results).into_iter().enumerate() {
        if line.name.is_empty() || is_column_isolation(line) {
            continue;
        }
        let others = [0.25, 0.75, 0.12, 0.88, 0.4, 0.6].map(|far| line.from.toward(line.to, far));
        let tag = tags::place(place, Shown::FoundJoint);
        area.balloon(line.from.middle(line.to), (&line.name, built_size(area.job)), &others, tag);
    }
    for (place, panel) in parts.joints.layout.panels.iter().enumerate() {
        // The number leads to the panel's row in the table, also where its size has no room.
        let number = place + 1;
        let size = format!("{} × {}", area.length(panel.long), area.length(panel.short));
        let at = area.to_paper(centroid(&panel.outline));
        let tag = tags::place(place, Shown::SlabPanel);
        let mut lower = at;
        lower.y += NOTE_SIZE * 1.6;
        let tries = [format!("{number}: {size}"), number.to_string()];
        let _is_shown = tries.iter().any(|words| {
            [at, lower].into_iter().any(|at| {
                let text = Text::new(at, NOTE_SIZE, words.clone()).centered().inked(Ink::DarkGray);
                area.label_within(JOINTS, text, tag)
            })
        });
    }
    for crossing in parts.joints.crossings.iter().filter(|crossing| crossing.needs_sleeve) {
        area.label(JOINTS, crossing.at, ("sleeve", NOTE_SIZE), 0);
    }
}

/// A short isolation joint round a column: its place is the column's own.
pub(super) fn is_column_isolation(line: &JointLine) -> bool {
    const SHORT_IN: f64 = 48.0;
    line.kind == JointKind::Isolation && line.length() < SHORT_IN
}

fn pieces(job: &Job, results: &Results, frame: PlanFrame) -> Vec<Piece> {
    let layout = &results.parts.joints.layout;
    let mut pieces =
        vec![Piece::Heading(format!("Saw cut: {} ft in all", show_number(saw_feet(results), 1)))];
    if let Some(depth) = layout.lines.iter().map(|line| line.saw_depth).find(|depth| *depth > 0.0) {
        pieces.push(Piece::Heading(format!(
            "Blade depth {}",
            show_inches(Length::inches(depth), job.facts.display.rounding)
        )));
    }
    pieces.push(Piece::Note(when(results)));
    pieces.push(clearance(job, results));
    pieces.extend(dowels(job, results));
    pieces.push(cautions());
    pieces.push(Piece::Legend(legend(results)));
    pieces.push(Piece::Note(
        "Running figures count from the edge of the slab's box marked 0: west and south edges \
         below and left, east and north edges above and right. Each is rounded once, so they do \
         not add up errors. Joints go to the form face."
            .to_owned(),
    ));
    pieces.extend(Piece::table(table(job, results, frame)));
    pieces.extend(Piece::table(set_table(job, results, frame)));
    pieces.extend(Piece::table(panel_table(job, results)));
    pieces
}

fn when(results: &Results) -> String {
    let sawing = &results.parts.joints.sawing;
    let (first, last) = sawing.window_hours;
    if last <= 0.0 {
        return "Start as soon as the concrete does not ravel under the blade.".to_owned();
    }
    let clock = sawing.window_clock.map_or_else(String::new, |(from, to)| {
        let day = |minutes: f64| if minutes >= MINUTES_A_DAY { " the next day" } else { "" };
        format!(" ({}{} to {}{})", clock_time(from), day(from), clock_time(to), day(to))
    });
    format!(
        "Saw from {} to {} hours after finishing{clock}, a guide: start as soon as the concrete \
         does not ravel under the blade. Cutting takes about {} hours at the crew's rate.",
        show_number(first, 0),
        show_number(last, 0),
        show_number(sawing.hours, 1)
    )
}

/// Minutes from midnight to midnight.
const MINUTES_A_DAY: f64 = 24.0 * 60.0;

/// Minutes after midnight as a clock shows them.
#[must_use]
pub fn clock_time(minutes: f64) -> String {
    if !(0.0..1e6).contains(&minutes) {
        return "–".to_owned();
    }
    let whole = minutes.round();
    let (hours, rest) = ((whole / 60.0).floor() % 24.0, whole % 60.0);
    format!("{hours:.0}:{rest:02.0}")
}

fn clearance(job: &Job, results: &Results) -> Piece {
    let parts = &results.parts;
    let least = parts
        .joints
        .crossings
        .iter()
        .filter(|crossing| crossing.kind == JointKind::Contraction)
        .map(|crossing| crossing.clearance)
        .fold(f64::INFINITY, f64::min);
    let inches = |inches: f64| show_inches(Length::inches(inches), job.facts.display.rounding);
    if parts.tube.circuits.is_empty() {
        return Piece::Note("No tube is drawn under these joints.".to_owned());
    }
    if !least.is_finite() {
        return Piece::Note(if has_tube_beneath(results) {
            "Tube runs beneath saw cuts and its distance to the blade is not worked out: check \
             the depth before sawing."
                .to_owned()
        } else {
            "No tube crosses beneath a saw cut.".to_owned()
        });
    }
    let allowed = job.joints.least_cover_over_tube.to_inches();
    Piece::Note(if least >= allowed {
        format!(
            "Nearest tube below the blade with the slab at its thinnest: {}. None is within {}.",
            inches(least),
            inches(allowed)
        )
    } else {
        format!(
            "STOP: tube comes within {} of the blade (least allowed {}). Do not saw before this \
             is solved.",
            inches(least),
            inches(allowed)
        )
    })
}

/// Dowels of the construction joints, if there are any.
fn dowels(job: &Job, results: &Results) -> Option<Piece> {
    let mut moving = results.parts.moving_joints.lines.iter();
    moving.find(|line| line.kind == JointKind::Construction)?;
    let thickness = job.build_up.floor_thickness;
    let inches = |inches: f64| show_inches(Length::inches(inches), job.facts.display.rounding);
    Some(Piece::Note(dowels_for(thickness.to_inches()).map_or_else(
        || {
            "Construction joints: this floor is thinner than the dowel table begins; how its \
             bulkhead passes load on is for the engineer."
                .to_owned()
        },
        |row| {
            format!(
                "Construction joints: smooth dowels {} by {} every {}, the first {} from each end, \
                 at mid-depth, level and square to the joint, one end greased ({}).",
                inches(row.diameter_in),
                inches(row.length_in),
                inches(row.spacing_in),
                inches(FIRST_DOWEL_IN),
                DOWEL_SOURCE.document
            )
        },
    )))
}

/// Whether any circuit crosses a saw cut in plan, found here anew: the sheet must not say that
/// nothing lies beneath because nobody looked.
fn has_tube_beneath(results: &Results) -> bool {
    let parts = &results.parts;
    let cuts = parts.joints.layout.lines.iter().filter(|line| line.saw_depth > 0.0);
    let courses: Vec<Vec<Point>> =
        parts.tube.circuits.iter().map(|circuit| circuit.points(0.1)).collect();
    let side = |from: Point, to: Point, at: Point| (to - from).cross(at - from) >= 0.0;
    cuts.into_iter().any(|cut| {
        courses.iter().flat_map(|course| course.windows(2)).any(|step| match step {
            &[from, to] => {
                side(cut.from, cut.to, from) != side(cut.from, cut.to, to)
                    && side(from, to, cut.from) != side(from, to, cut.to)
            }
            _ => false,
        })
    })
}

fn cautions() -> Piece {
    Piece::Caution(
        "CAUTION".to_owned(),
        vec![
            "Silica dust: cut wet or with extraction at the blade, and wear the respirator that \
             your rules ask for."
                .to_owned(),
            "Eyes and ears: goggles and hearing protection for everybody near the saw.".to_owned(),
            "Tube may lie beneath: never set the blade deeper than this sheet says. Check the \
             depth on the first foot."
                .to_owned(),
            "Post-tensioned slabs: do not cut without the word of the engineer who knows where \
             the tendons are."
                .to_owned(),
            "Local code and the project's engineer decide where this sheet and they differ."
                .to_owned(),
        ],
    )
}

fn legend(results: &Results) -> Vec<(Pen, String)> {
    let mut rows = vec![(Pen::HEAVY, "slab edge (form face)".to_owned())];
    let lines = all_lines(results);
    for (kind, words) in [
        (JointKind::Contraction, "contraction joint, saw cut"),
        (JointKind::Isolation, "isolation joint, full depth"),
        (JointKind::Construction, "construction joint, bulkhead"),
    ] {
        if lines.iter().any(|line| line.kind == kind) {
            rows.push((plan_marks::joint_pen(kind), words.to_owned()));
        }
    }
    if !results.parts.tube.circuits.is_empty() {
        rows.push((Pen::FINE.inked(Ink::MidGray), "heating tube below".to_owned()));
    }
    rows
}

/// Saw cuts in the order in which they are cut.
fn table(job: &Job, results: &Results, frame: PlanFrame) -> Table {
    let parts = &results.parts;
    let lines = &parts.joints.layout.lines;
    let sequence = &parts.joints.sawing.cut_sequence;
    let mut ordered: Vec<&JointLine> =
        sequence.iter().filter_map(|&place| lines.get(place)).collect();
    if ordered.len() != lines.len() {
        ordered = lines.iter().collect();
    }
    lines_table("Joints in cutting order (from west edge, from south edge)", &ordered, (job, frame))
}

/// Joints that are formed, not cut.
fn set_table(job: &Job, results: &Results, frame: PlanFrame) -> Table {
    let lines: Vec<&JointLine> = results.parts.moving_joints.lines.iter().collect();
    let title = "Joints set before the pour, not cut (from west edge, from south edge)";
    lines_table(title, &lines, (job, frame))
}

fn lines_table(title: &str, lines: &[&JointLine], (job, frame): (&Job, PlanFrame)) -> Table {
    let mut table = Table::new(
        title,
        vec![
            Column::words("Joint"),
            Column::words("From"),
            Column::words("To"),
            Column::numbers("Length"),
        ],
    );
    let place = |at: Point| {
        let (east, north) = frame.from_edges(at);
        format!("{}, {}", length(job, east), length(job, north))
    };
    for line in lines {
        let kind = match line.kind {
            JointKind::Contraction => "",
            JointKind::Isolation => " isolation",
            JointKind::Construction => " construction",
        };
        table.row([
            format!("{}{kind}", line.name).trim().to_owned(),
            place(line.from),
            place(line.to),
            length(job, line.length()),
        ]);
    }
    table
}

fn panel_table(job: &Job, results: &Results) -> Table {
    let mut table = Table::new(
        "Panels",
        vec![Column::numbers("Panel"), Column::words("Size"), Column::numbers("Long : short")],
    );
    for (place, panel) in results.parts.joints.layout.panels.iter().enumerate() {
        table.row([
            (place + 1).to_string(),
            format!("{} × {}", length(job, panel.long), length(job, panel.short)),
            show_number(panel.aspect(), 2),
        ]);
    }
    table
}
