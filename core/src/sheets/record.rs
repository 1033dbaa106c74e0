//! The record sheet: what was really built, with room to write.

use super::frame::{self, Draft};
use super::pieces::Piece;
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::job::Job;
use crate::units::show_number;

/// The record sheet; empty when there is neither tube nor a record.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let circuits = &results.parts.tube.circuits;
    if circuits.is_empty() && job.as_laid.tests.is_empty() {
        return Vec::new();
    }
    let mut pieces: Vec<Piece> = [laid(job, results), tests(job), tickets(job)]
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

fn tickets(job: &Job) -> Table {
    let mut table = Table::new(
        "Delivery tickets",
        vec![Column::words("Ticket"), Column::numbers("cu yd"), Column::words("Batched")],
    );
    for ticket in &job.pour.tickets {
        let at = ticket.batched_minutes.map_or_else(String::new, super::joints::clock_time);
        table.row([ticket.number.clone(), show_number(ticket.yards, 2), at]);
    }
    table
}
