//! The record sheet: what was really built, with room to write.

use super::frame::{self, Draft};
use super::pieces::Piece;
use super::plan_area::{PlanFrame, length};
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::job::Job;
use crate::units::show_number;

/// The record sheet; empty when there is neither tube nor a record.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let circuits = &results.parts.tube.circuits;
    if circuits.is_empty() && job.as_laid.tests.is_empty() && job.pour.tickets.is_empty() {
        return Vec::new();
    }
    let mut pieces: Vec<Piece> =
        [laid(job, results), tests(job), tickets(job, results), shots(job, results)]
            .into_iter()
            .filter_map(Piece::table)
            .collect();
    pieces.push(Piece::Heading("To fill in".to_owned()));
    pieces.push(Piece::Blanks(
        [
            "Pressure before the pour, psi",
            "Pressure after the pour, psi",
            "Read by",
            "Concrete placed from",
            "to",
            "Yards placed",
            "Sawing started",
            "Saw depth checked by",
            "Checked by",
            "Date",
        ]
        .map(str::to_owned)
        .to_vec(),
    ));
    let mut drafts = frame::continued(job, "Record", pieces);
    if let Some(first) = drafts.first_mut() {
        "Record".clone_into(&mut first.page.title);
    }
    drafts
}

fn laid(job: &Job, results: &Results) -> Table {
    let mut table = Table::new(
        "Circuits as laid",
        vec![
            Column::words("Circuit"),
            Column::numbers("Planned ft"),
            Column::numbers("Mark at supply"),
            Column::numbers("Mark at return"),
            Column::numbers("Laid ft"),
            Column::numbers("Off by ft"),
        ],
    );
    for circuit in &results.parts.tube.circuits {
        let planned = circuit.length / 12.0;
        let record = job
            .as_laid
            .circuits
            .iter()
            .find(|laid| laid.zone == circuit.zone && laid.number == circuit.number);
        let cells = match record {
            Some(record) => {
                let feet = (record.end_mark_ft - record.start_mark_ft).abs();
                [
                    show_number(record.start_mark_ft, 0),
                    show_number(record.end_mark_ft, 0),
                    show_number(feet, 0),
                    show_number(feet - planned, 0),
                ]
            }
            None => [const { String::new() }; 4],
        };
        let mut row = vec![circuit.name.clone(), show_number(planned, 0)];
        row.extend(cells);
        table.row(row);
    }
    table
}

fn tests(job: &Job) -> Table {
    let mut table = Table::new(
        "Pressure tests",
        vec![
            Column::words("When"),
            Column::numbers("Start psi"),
            Column::numbers("End psi"),
            Column::numbers("Hours"),
            Column::numbers("Air °F"),
            Column::words("Read by"),
        ],
    );
    for test in &job.as_laid.tests {
        table.row([
            test.when.clone(),
            show_number(test.start_psi, 0),
            show_number(test.end_psi, 0),
            show_number(test.hours, 1),
            show_number(test.air_f, 0),
            test.by.clone(),
        ]);
    }
    table
}

fn tickets(job: &Job, results: &Results) -> Table {
    let mut table = Table::new(
        "Delivery tickets",
        vec![
            Column::words("Ticket"),
            Column::numbers("cu yd"),
            Column::numbers("Sum"),
            Column::words("Batched"),
            Column::words("Reached, from west and south"),
        ],
    );
    let frame = PlanFrame::of(&results.parts.plan);
    let mut sum = 0.0;
    for ticket in &job.pour.tickets {
        sum += ticket.yards;
        let at = ticket.batched_minutes.map_or_else(String::new, super::joints::clock_time);
        let reached = ticket.reached.map_or_else(String::new, |place| {
            let (east, north) = frame.from_edges(place);
            format!("{}, {}", length(job, east), length(job, north))
        });
        let (yards, sum) = (show_number(ticket.yards, 2), show_number(sum, 2));
        table.row([ticket.number.clone(), yards, sum, at, reached]);
    }
    table
}

fn shots(job: &Job, results: &Results) -> Table {
    let mut table = Table::new(
        "Ground as shot",
        vec![
            Column::words("Shot"),
            Column::numbers("From west"),
            Column::numbers("From south"),
            Column::numbers("Off target"),
            Column::words("Note"),
        ],
    );
    let frame = PlanFrame::of(&results.parts.plan);
    for shot in &job.subgrade.shots {
        let (east, north) = frame.from_edges(shot.at);
        let name = if shot.name.is_empty() { shot.id.0.to_string() } else { shot.name.clone() };
        let off = super::subgrade::signed(super::subgrade::off_by(job, shot.height));
        table.row([name, length(job, east), length(job, north), off, shot.note.clone()]);
    }
    table
}
