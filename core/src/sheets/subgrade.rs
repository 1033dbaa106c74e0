//! The subgrade map for the machine: every shot with inches high (cut) or low (fill).

use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanFrame, PlanSheet, length, plan_sheets};
use super::plan_marks::{self, SUBGRADE};
use super::tags::Shown;
use crate::derive::Results;
use crate::drawing::place::Label;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::NOTE_SIZE;
use crate::drawing::{Ink, Mark, Pen, Text, Vec2, path};
use crate::geometry::Point;
use crate::job::Job;
use crate::units::{Length, Rounding, show_inches, show_number};

/// Cubic inches in a cubic yard.
const YARD: f64 = 46_656.0;

/// The subgrade map; empty without shots.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    if job.subgrade.shots.is_empty() || results.parts.plan.is_empty() {
        return Vec::new();
    }
    let draw = |area: &mut PlanArea<'_>| draw(area, results);
    plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Subgrade",
            alt: format!(
                "Subgrade map: {} shots, {} out of tolerance",
                job.subgrade.shots.len(),
                out_of_tolerance(job)
            ),
            band: (40.0, 24.0),
            pieces: pieces(job, results),
            draw: &draw,
            is_tiled: true,
        },
    )
}

fn out_of_tolerance(job: &Job) -> usize {
    let tolerance = job.subgrade.tolerance.to_inches();
    let shots = job.subgrade.shots.iter();
    shots.filter(|shot| off_by(job, shot.height).abs() > tolerance).count()
}

/// Inches above (positive) or below the target at a shot.
fn off_by(job: &Job, height: Length) -> f64 {
    (height - job.subgrade.target_height).to_inches()
}

fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let job = area.job;
    let parts = &results.parts;
    let tolerance = job.subgrade.tolerance.to_inches();
    let fills: Vec<Mark> = parts
        .subgrade
        .triangles
        .iter()
        .filter_map(|corners| {
            let mean = corners.iter().map(|(_, high)| high).sum::<f64>() / 3.0;
            let points: Vec<Point> = corners.iter().map(|(at, _)| *at).collect();
            // High ground is light gray, low ground lighter still: signs at the shots say which.
            let ink = if mean > tolerance {
                Ink::LightGray
            } else if mean < -tolerance {
                Ink::PaleGray
            } else {
                return None;
            };
            Some(Mark::fill(SUBGRADE, plan_marks::ring(&points), ink))
        })
        .collect();
    area.beneath(&fills);
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    for shot in &job.subgrade.shots {
        let off = off_by(job, shot.height);
        let at = area.to_paper(shot.at);
        if !area.shows(at) {
            continue;
        }
        let tag = Shown::Item(shot.id.into()).tag();
        let is_out = off.abs() > tolerance;
        let dot = path::circle(at, if is_out { 2.6 } else { 1.6 });
        let ink = match (is_out, off > 0.0) {
            (false, _) => Ink::Black,
            (true, true) => Ink::Red,
            (true, false) => Ink::Blue,
        };
        area.marks.push(Mark::fill(SUBGRADE, dot, ink).tagged(tag));
        let text = Text::new(at + Vec2::new(0.0, -9.0), NOTE_SIZE, signed(off)).centered();
        let text = if is_out { text.bold() } else { text };
        let mut label = Label::new(SUBGRADE, text);
        label.tag = tag;
        label.about = Some(at);
        label.others = [(0.0, 9.0), (16.0, 0.0), (-16.0, 0.0), (14.0, -9.0), (-14.0, 9.0)]
            .map(|(x, y)| at + Vec2::new(x, y))
            .to_vec();
        area.put(label);
    }
}

/// `+1/2"` for high ground, `-1 1/4"` for low.
fn signed(inches: f64) -> String {
    let shown = show_inches(Length::inches(inches), Rounding::Eighth);
    if inches > 0.0 && !shown.starts_with('0') { format!("+{shown}") } else { shown }
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let survey = &results.parts.subgrade;
    let mut pieces = vec![
        Piece::Heading(format!(
            "{} of {} shots out of tolerance",
            out_of_tolerance(job),
            job.subgrade.shots.len()
        )),
        Piece::Note(format!(
            "+ is high: cut. - is low: fill. Bold is beyond {} either way.",
            show_inches(job.subgrade.tolerance, job.facts.display.rounding)
        )),
    ];
    if survey.shots > 0 {
        pieces.push(Piece::Note(format!(
            "{} % of the slab is within tolerance. Cut {} cu yd, fill {} cu yd. Left as it is, \
             low ground would take {} cu yd of concrete.",
            show_number(survey.share_in_tolerance * 100.0, 0),
            show_number(survey.cut / YARD, 2),
            show_number(survey.fill / YARD, 2),
            show_number(survey.extra_concrete / YARD, 2)
        )));
    }
    pieces.extend(Piece::table(shot_table(job, results)));
    pieces.push(Piece::Note(
        "Shaded ground lies beyond tolerance: darker is high, lighter is low. Compact what is \
         filled; bearing is for a person who knows the soil to judge."
            .to_owned(),
    ));
    pieces
}

fn shot_table(job: &Job, results: &Results) -> Table {
    let frame = PlanFrame::of(&results.parts.plan);
    let tolerance = job.subgrade.tolerance.to_inches();
    let mut table = Table::new(
        "Shots out of tolerance",
        vec![
            Column::words("Shot"),
            Column::numbers("From west"),
            Column::numbers("From south"),
            Column::words("Do"),
        ],
    );
    for shot in &job.subgrade.shots {
        let off = off_by(job, shot.height);
        if off.abs() <= tolerance {
            continue;
        }
        let (east, north) = frame.from_edges(shot.at);
        let act = if off > 0.0 { "cut" } else { "fill" };
        let by = show_inches(Length::inches(off.abs()), Rounding::Eighth);
        let name = if shot.name.is_empty() { shot.id.0.to_string() } else { shot.name.clone() };
        table.row([name, length(job, east), length(job, north), format!("{act} {by}")]);
    }
    table
}
