//! The cover: job facts, a picture of the plan, quantities, findings, cautions, sheet list.

use super::frame::{self, Draft};
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanSheet, plan_sheets};
use super::plan_marks;
use crate::derive::Results;
use crate::drawing::Pen;
use crate::drawing::table::{Column, Table};
use crate::findings::Severity;
use crate::job::Job;
use crate::units::show_number;

/// The cover, and further sheets when quantities and findings need them. `titles` are the titles
/// of the sheets that follow.
#[must_use]
pub fn sheets(job: &Job, results: &Results, titles: &[String]) -> Vec<Draft> {
    let draw = |area: &mut PlanArea<'_>| draw(area, results);
    let pieces = pieces(job, results);
    let title = "Cover";
    let alt = format!(
        "Plan of the slab: {} square feet, {} ft round",
        show_number(results.parts.plan.area / 144.0, 0),
        show_number(results.parts.plan.perimeter / 12.0, 0)
    );
    let with_list = |list: Table| {
        let mut pieces = pieces.clone();
        // The list of sheets comes early: it is what a cover is asked for first.
        let place = 1.min(pieces.len());
        if let Some(piece) = Piece::table(list) {
            pieces.insert(place, piece);
        }
        let sheet = PlanSheet {
            title,
            alt: alt.clone(),
            band: (20.0, 20.0),
            pieces,
            draw: &draw,
            is_tiled: false,
        };
        if results.parts.plan.is_empty() {
            return frame::continued(job, title, sheet.pieces);
        }
        plan_sheets(job, &results.parts.plan, sheet)
    };
    // How many sheets the cover takes does not depend on the numbers in its list.
    let own = with_list(sheet_list(titles, 1)).len();
    with_list(sheet_list(titles, own))
}

fn sheet_list(titles: &[String], own: usize) -> Table {
    let mut table = Table::new("Sheets", vec![Column::words("Sheet"), Column::words("Title")]);
    table.row(["S1".to_owned(), "Cover".to_owned()]);
    for (place, title) in titles.iter().enumerate() {
        // Parts and continuations are listed with their first sheet.
        if [", continued", ", part ", ", large"].iter().all(|more| !title.contains(more)) {
            table.row([format!("S{}", own + place + 1), title.clone()]);
        }
    }
    table
}

fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let parts = &results.parts;
    area.beneath(&plan_marks::circuits_beneath(&parts.tube.circuits));
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    area.plan(&plan_marks::joints(&parts.moving_joints.lines));
    area.plan(&plan_marks::joints(&parts.joints.layout.lines));
    area.plan(&plan_marks::manifolds(area.job));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::THIN));
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let parts = &results.parts;
    let mut pieces = vec![Piece::Note(facts(job, results))];
    if !job.facts.notes.is_empty() {
        pieces.push(Piece::Note(job.facts.notes.clone()));
    }
    pieces.push(Piece::Caution(
        "READ FIRST".to_owned(),
        vec![
            if job.facts.is_checked {
                "A person has marked this set as checked against the site and the local code."
                    .to_owned()
            } else {
                "Not for construction until a person has checked it against the site and the \
                 local code."
                    .to_owned()
            },
            "Structural sizes, steel and soil are for licensed practice and local code to decide."
                .to_owned(),
            "Print without scaling: the square in the corner of every sheet measures 1 in."
                .to_owned(),
        ],
    ));
    pieces.extend(Piece::table(findings(results)));
    pieces.extend(Piece::table(quantities(results)));
    pieces.extend(Piece::table(revisions(job)));
    if parts.plan.is_empty() {
        pieces.push(Piece::Note("The outline is not a slab yet.".to_owned()));
    }
    pieces
}

fn facts(job: &Job, results: &Results) -> String {
    let plan = &results.parts.plan;
    let concrete = &results.parts.concrete.volumes;
    const CUBIC_INCHES_PER_YARD: f64 = 46_656.0;
    let mut said = format!(
        "{} sq ft, {} ft round. Floor {} thick.",
        show_number(plan.area / 144.0, 0),
        show_number(plan.perimeter / 12.0, 0),
        crate::units::show_inches(job.build_up.floor_thickness, job.facts.display.rounding)
    );
    if concrete.net > 0.0 {
        said.push_str(&format!(
            " Concrete {} cu yd net",
            show_number(concrete.net / CUBIC_INCHES_PER_YARD, 2)
        ));
        let order = results.parts.pour.order_yd3;
        if order > 0.0 {
            said.push_str(&format!(", order {}", show_number(order, 2)));
        }
        said.push('.');
    }
    said
}

fn findings(results: &Results) -> Table {
    let mut table =
        Table::new("Findings", vec![Column::words("Level"), Column::words("What, and what to do")]);
    for finding in &results.findings {
        let level = match finding.severity {
            Severity::Stop => "STOP",
            Severity::Warn => "warn",
            Severity::Note => "note",
        };
        table.row([level.to_owned(), format!("{}. {}.", finding.message, finding.remedy)]);
    }
    table
}

fn quantities(results: &Results) -> Table {
    let mut table = Table::new(
        "Quantities",
        vec![Column::words("Item"), Column::numbers("Quantity"), Column::words("Unit")],
    );
    for line in &results.parts.takeoff.lines {
        table.row([
            line.item.clone(),
            show_number(line.quantity, decimals(line.quantity)),
            unit_words(line.unit),
        ]);
    }
    table
}

/// A unit as sheets write it: `sq ft` for `ft2`.
#[must_use]
pub fn unit_words(unit: &str) -> String {
    match unit {
        "ft2" => "sq ft",
        "yd3" => "cu yd",
        "ft3" => "cu ft",
        "in2" => "sq in",
        other => other,
    }
    .to_owned()
}

/// Counts have no decimals, small amounts two, large ones none or one.
#[must_use]
pub fn decimals(quantity: f64) -> u32 {
    if (quantity - quantity.round()).abs() < 1e-9 {
        0
    } else if quantity.abs() < 100.0 {
        2
    } else {
        1
    }
}

fn revisions(job: &Job) -> Table {
    let mut table = Table::new(
        "Revisions",
        vec![
            Column::numbers("No."),
            Column::words("Date"),
            Column::words("What"),
            Column::words("By"),
        ],
    );
    for (place, revision) in job.sheet_set.revisions.iter().enumerate() {
        table.row([
            (place + 1).to_string(),
            revision.date.clone(),
            revision.what.clone(),
            revision.by.clone(),
        ]);
    }
    table
}
