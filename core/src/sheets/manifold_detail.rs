//! A manifold as the installer stands before it: supply bar above, return bar below, which circuit
//! goes on which port, with its length and flow.
//!
//! Ports stand in the order in which the circuits' supply ends lie along the manifold's line, so
//! that tubes come up without crossing. Not to scale; the port spacing is said in words.

use super::pieces::{Diagram, Piece};
use super::plan_area::length;
use super::plan_marks::TUBE;
use crate::derive::Results;
use crate::drawing::text::{CAP_HEIGHT, Face, NOTE_SIZE, Text, width};
use crate::drawing::{Dash, Ink, Mark, Pen, Spot, path};
use crate::geometry::{Point, Vector};
use crate::job::Job;
use crate::job::heating::Manifold;
use crate::tube::Circuit;
use crate::units::show_number;
use std::f64::consts::FRAC_PI_2;

/// Room for the bars' names left of the first port, in points.
const NAMES: f64 = 50.0;
/// Least and greatest distance from port to port on paper, in points.
const PITCH: (f64, f64) = (NOTE_SIZE * 1.35, 34.0);
/// How far return ports stand beside supply ports, in points.
const BESIDE: f64 = 5.0;

/// The details of every manifold that has circuits; `room` is the column's width in points.
pub(super) fn pieces(job: &Job, results: &Results, room: f64) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for manifold in &job.heating.manifolds {
        let ports = ports(manifold, results);
        let most = ((room - NAMES - BESIDE) / PITCH.0).floor().clamp(1.0, 200.0);
        #[expect(clippy::cast_possible_truncation, reason = "between 1 and 200")]
        #[expect(clippy::cast_sign_loss, reason = "between 1 and 200")]
        let rows: Vec<&[Port]> = ports.chunks(most as usize).collect();
        for (place, row) in rows.iter().enumerate() {
            let part = if rows.len() > 1 { format!(", row {}", place + 1) } else { String::new() };
            let spacing = length(job, manifold.port_spacing.to_inches());
            let title = format!("Manifold {}{part}: ports {spacing} apart", manifold.name);
            pieces.push(Piece::Diagram(diagram(&title, row, room)));
        }
    }
    pieces
}

/// A circuit on its ports.
struct Port {
    words: String,
}

fn ports(manifold: &Manifold, results: &Results) -> Vec<Port> {
    let mut circuits: Vec<(usize, &Circuit)> = results
        .parts
        .tube
        .circuits
        .iter()
        .enumerate()
        .filter(|(_, circuit)| circuit.manifold == manifold.id)
        .collect();
    let starts: Vec<Point> = circuits
        .iter()
        .filter_map(|(_, circuit)| circuit.path.first().map(|first| first.start()))
        .collect();
    // Along the line that the supply ends themselves stand on: the farthest two say which.
    let along = starts.first().map_or(Vector::new(1.0, 0.0), |&first| {
        let far =
            starts.iter().copied().max_by(|a, b| first.distance(*a).total_cmp(&first.distance(*b)));
        let step = far.unwrap_or(first) - first;
        // West to east, or south to north where the line is upright.
        if step.x < -1e-6 || (step.x.abs() <= 1e-6 && step.y < 0.0) { -step } else { step }
    });
    let place = |circuit: &Circuit| {
        let start = circuit.path.first().map_or(manifold.at, |first| first.start());
        along.dot(start.to_vector())
    };
    circuits.sort_by(|(_, a), (_, b)| place(a).total_cmp(&place(b)));
    circuits
        .into_iter()
        .map(|(number, circuit)| {
            let feet = show_number(circuit.length / 12.0, 0);
            let flow = results.parts.heat.circuits.get(number).map_or_else(String::new, |heat| {
                format!("  {} gpm", show_number(heat.flow_gpm, 2))
            });
            Port { words: format!("{}  {feet} ft{flow}", circuit.name) }
        })
        .collect()
}

fn diagram(title: &str, ports: &[Port], room: f64) -> Diagram {
    let pitch = ((room - NAMES - BESIDE) / ports.len().max(1) as f64).clamp(PITCH.0, PITCH.1);
    let title = crate::drawing::text::fitted(title, Face::Bold, NOTE_SIZE, room);
    let mut marks = vec![Mark::text(
        TUBE,
        Text::new(Spot::new(0.0, NOTE_SIZE * CAP_HEIGHT), NOTE_SIZE, title).bold(),
    )];
    let (supply, back, foot) = (24.0, 42.0, 58.0);
    let end = NAMES + pitch * ports.len() as f64;
    let red = Pen::HEAVY.inked(Ink::Red);
    let blue = Pen::HEAVY.inked(Ink::Blue);
    for (y, pen, name) in [(supply, red, "supply"), (back, blue, "return")] {
        marks.push(Mark::stroke(
            TUBE,
            path::line(Spot::new(NAMES - 8.0, y), Spot::new(end, y)),
            pen,
        ));
        let text = Text::new(Spot::new(0.0, y + NOTE_SIZE * CAP_HEIGHT / 2.0), NOTE_SIZE, name);
        marks.push(Mark::text(TUBE, text));
    }
    let mut longest = 0.0_f64;
    for (place, port) in ports.iter().enumerate() {
        let x = NAMES + pitch * (place as f64 + 0.3);
        let drop = |x: f64, y: f64, pen: Pen| {
            Mark::stroke(TUBE, path::line(Spot::new(x, y), Spot::new(x, foot)), pen)
        };
        marks.push(drop(x, supply, Pen::MEDIUM.inked(Ink::Red)));
        marks.push(drop(x + BESIDE, back, Pen::MEDIUM.inked(Ink::Blue).dashed(Dash::Dashed)));
        for (x, y, ink) in [(x, supply, Ink::Red), (x + BESIDE, back, Ink::Blue)] {
            marks.push(Mark::fill(TUBE, path::circle(Spot::new(x, y), 2.4), ink));
        }
        longest = longest.max(width(&port.words, Face::Regular, NOTE_SIZE));
        let middle = x + BESIDE / 2.0 + NOTE_SIZE * CAP_HEIGHT / 2.0;
        let text = Text::new(Spot::new(middle, foot + 4.0), NOTE_SIZE, port.words.as_str());
        marks.push(Mark::text(TUBE, text.ending().turned(FRAC_PI_2)));
    }
    Diagram {
        alt: format!("Manifold with {} circuits, supply above and return below", ports.len()),
        height: foot + 8.0 + longest,
        marks,
    }
}
