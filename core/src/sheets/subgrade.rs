//! The subgrade map for the machine: every shot with inches high (cut) or low (fill), contours of
//! the ground between them, the pad level that would balance it, and the excavator's call-back.

use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanFrame, PlanSheet, built_size, length, plan_sheets};
use super::plan_marks::{self, SUBGRADE};
use super::tags::Shown;
use crate::derive::Results;
use crate::drawing::place::Label;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::NOTE_SIZE;
use crate::drawing::{Dash, Ink, Mark, Pen, Text, Vec2, path};
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
    let map = |area: &mut PlanArea<'_>| {
        ground(area, results);
        shots(area, false);
    };
    let mut drafts = plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Subgrade",
            alt: format!(
                "Subgrade map: {} shots, {} out of tolerance, contours of inches above target",
                job.subgrade.shots.len(),
                out_of_tolerance(job)
            ),
            band: (40.0, 24.0),
            pieces: pieces(job, results),
            draw: &map,
            is_tiled: true,
        },
    );
    if out_of_tolerance(job) > 0 {
        drafts.extend(call_back(job, results));
    }
    drafts
}

/// One page for the excavator: only what is to be done, where, and what leaving it would cost.
fn call_back(job: &Job, results: &Results) -> Vec<Draft> {
    let draw = |area: &mut PlanArea<'_>| {
        ground(area, results);
        shots(area, true);
    };
    plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Excavator call-back",
            alt: format!("Plan with the {} places to cut or fill", out_of_tolerance(job)),
            band: (40.0, 24.0),
            pieces: call_back_pieces(job, results),
            draw: &draw,
            is_tiled: false,
        },
    )
}

fn call_back_pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let survey = &results.parts.subgrade;
    let mut pieces = vec![
        Piece::Heading(format!(
            "{} more than {} off",
            match out_of_tolerance(job) {
                1 => "One place is".to_owned(),
                count => format!("{count} places are"),
            },
            show_inches(job.subgrade.tolerance, job.facts.display.rounding)
        )),
        Piece::Note(format!(
            "To bring all of the ground to grade: cut {} cu yd, fill {} cu yd.",
            show_number(survey.cut / YARD, 2),
            show_number(survey.fill / YARD, 2)
        )),
    ];
    pieces.extend(Piece::table(shot_table(job, results)));
    let yards = survey.extra_concrete / YARD;
    let rate = job.prices.rates.iter().find(|rate| rate.item == "concrete.order");
    let cost = rate.map_or_else(String::new, |rate| {
        format!(", {} at the rate of the bid", rate.rate.times(yards))
    });
    pieces.push(Piece::Note(format!(
        "Left as it is, the low ground takes {} cu yd more concrete{cost}.",
        show_number(yards, 2)
    )));
    pieces.push(Piece::Note(
        "Compact every fill in thin layers; call for the shots to be taken again before stone, \
         foam or forms go down."
            .to_owned(),
    ));
    pieces.push(Piece::Heading("Done".to_owned()));
    let blanks = ["Cut and filled by", "Date", "Shot again by", "Within tolerance"];
    pieces.push(Piece::Blanks(blanks.map(str::to_owned).to_vec()));
    pieces
}

fn out_of_tolerance(job: &Job) -> usize {
    let tolerance = job.subgrade.tolerance.to_inches();
    let shots = job.subgrade.shots.iter();
    shots.filter(|shot| off_by(job, shot.height).abs() > tolerance).count()
}

/// Inches above (positive) or below the target at a shot.
pub(super) fn off_by(job: &Job, height: Length) -> f64 {
    (height - job.subgrade.target_height).to_inches()
}

/// Ground beyond tolerance as shaded parts, its contours, and the slab.
fn ground(area: &mut PlanArea<'_>, results: &Results) {
    let parts = &results.parts;
    let tolerance = area.job.subgrade.tolerance.to_inches();
    let mut fills = Vec::new();
    for corners in &parts.subgrade.triangles {
        // High ground is light gray, low ground lighter still: contours and signs say which.
        for (is_high, ink) in [(true, Ink::LightGray), (false, Ink::PaleGray)] {
            let part = beyond(*corners, tolerance, is_high);
            if part.len() > 2 {
                fills.push(Mark::fill(SUBGRADE, plan_marks::ring(&part), ink));
            }
        }
    }
    area.beneath(&fills);
    for contour in &parts.subgrade.contours {
        let pen = if contour.height.abs() < 1e-9 {
            Pen::THIN
        } else {
            Pen::FINE.dashed(Dash::Dashed).inked(Ink::DarkGray)
        };
        let lines = contour.lines.iter();
        let marks: Vec<Mark> =
            lines.map(|ends| Mark::stroke(SUBGRADE, plan_marks::line(ends), pen)).collect();
        area.plan(&marks);
    }
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    for contour in &parts.subgrade.contours {
        let pieces = contour.lines.iter();
        let longest = pieces.max_by(|[a, b], [c, d]| a.distance(*b).total_cmp(&c.distance(*d)));
        let Some(&[from, to]) = longest else { continue };
        let at = area.to_paper(from.toward(to, 0.5));
        let text = Text::new(at, NOTE_SIZE * 0.9, signed(contour.height)).centered();
        let text = text.inked(Ink::DarkGray);
        // A contour without room for its figure is read between its neighbours.
        if area.shows(at) && area.placer.is_free(&text) {
            area.placer.take_text(&text);
            let patch = path::polygon(&text.corners());
            area.marks.push(Mark::fill(SUBGRADE, patch, Ink::Paper));
            area.marks.push(Mark::text(SUBGRADE, text));
        }
    }
}

/// The part of a triangle that lies above the tolerance, or below it.
fn beyond(corners: [(Point, f64); 3], tolerance: f64, is_high: bool) -> Vec<Point> {
    let over = |height: f64| if is_high { height - tolerance } else { -tolerance - height };
    let [a, b, c] = corners;
    let mut part = Vec::new();
    for (from, to) in [(a, b), (b, c), (c, a)] {
        let (start, end) = (over(from.1), over(to.1));
        if start > 0.0 {
            part.push(from.0);
        }
        if (start > 0.0) != (end > 0.0) {
            part.push(from.0.toward(to.0, start / (start - end)));
        }
    }
    part
}

/// Every shot with inches above target, or only those out of tolerance with what to do.
fn shots(area: &mut PlanArea<'_>, is_call_back: bool) {
    let job = area.job;
    let tolerance = job.subgrade.tolerance.to_inches();
    for shot in &job.subgrade.shots {
        let off = off_by(job, shot.height);
        let is_out = off.abs() > tolerance;
        let at = area.to_paper(shot.at);
        if !area.shows(at) || (is_call_back && !is_out) {
            continue;
        }
        let tag = Shown::Item(shot.id.into()).tag();
        let dot = path::circle(at, if is_out { 2.6 } else { 1.6 });
        let ink = match (is_out, off > 0.0) {
            (false, _) => Ink::Black,
            (true, true) => Ink::Red,
            (true, false) => Ink::Blue,
        };
        area.marks.push(Mark::fill(SUBGRADE, dot, ink).tagged(tag));
        let (words, size) =
            if is_call_back { (act(off), built_size(job)) } else { (signed(off), NOTE_SIZE) };
        let text = Text::new(at + Vec2::new(0.0, -size), size, words).centered();
        let text = if is_out { text.bold() } else { text };
        let side = text.width() / 2.0 + 5.0;
        let mut label = Label::new(SUBGRADE, text);
        label.tag = tag;
        label.about = Some(at);
        label.others = [(0.0, size), (side, 0.0), (-side, 0.0), (side, -size), (-side, size)]
            .map(|(x, y)| at + Vec2::new(x, y))
            .to_vec();
        area.put(label);
    }
}

/// `cut 1 1/2"` for high ground, `fill 1 3/8"` for low.
fn act(off: f64) -> String {
    let by = show_inches(Length::inches(off.abs()), Rounding::Eighth);
    format!("{} {by}", if off > 0.0 { "cut" } else { "fill" })
}

/// `+1/2"` for high ground, `-1 1/4"` for low.
pub(super) fn signed(inches: f64) -> String {
    let shown = show_inches(Length::inches(inches), Rounding::Eighth);
    if inches > 0.0 && !shown.starts_with('0') { format!("+{shown}") } else { shown }
}

/// `raise the target 1/2"` or `lower` it.
fn raise(inches: f64) -> String {
    let by = show_inches(Length::inches(inches.abs()), Rounding::Sixteenth);
    format!("{} the target {by}", if inches < 0.0 { "lower" } else { "raise" })
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
    if survey.shots > 2 {
        pieces.push(Piece::Note(format!(
            "Best pad level: {} and what is cut fills what is low; {} and 95 % of the ground \
             lies at or below it.",
            raise(survey.balance_raise),
            raise(survey.clear_raise)
        )));
    }
    pieces.extend(Piece::table(shot_table(job, results)));
    pieces.push(Piece::Legend(vec![
        (Pen::THIN, "ground at target".to_owned()),
        (Pen::FINE.dashed(Dash::Dashed).inked(Ink::DarkGray), "contour, inches".to_owned()),
        (Pen::HEAVY, "slab edge".to_owned()),
    ]));
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
        let name = if shot.name.is_empty() { shot.id.0.to_string() } else { shot.name.clone() };
        table.row([name, length(job, east), length(job, north), act(off)]);
    }
    table
}
