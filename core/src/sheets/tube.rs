//! The tube sheet: circuits to lay from, their schedule, coils, manifolds, and the record of the
//! pressure test before concrete.
//!
//! The supply half of each circuit is continuous and the return half dashed, with arrow heads
//! along the flow, so that a black-and-white copy still tells them apart.

use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanFrame, PlanSheet, length, plan_sheets};
use super::plan_marks::{self, TUBE};
use super::tags::{self, Shown};
use crate::derive::Results;
use crate::drawing::place::Label;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::{NOTE_SIZE, Text};
use crate::drawing::{Dash, Ink, Pen, Vec2, symbol};
use crate::geometry::Point;
use crate::job::Job;
use crate::tube::Circuit;
use crate::units::show_number;

/// Arrow heads stand this far apart along a circuit, plan inches.
const ARROW_SPACING: f64 = 144.0;

/// The tube sheet; empty without circuits.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let circuits = &results.parts.tube.circuits;
    if circuits.is_empty() {
        return Vec::new();
    }
    let total: f64 = circuits.iter().map(|circuit| circuit.length / 12.0).sum();
    let draw = |area: &mut PlanArea<'_>| draw(area, results);
    plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Heating tube",
            alt: format!(
                "Tube plan: {} circuits, {} ft of tube",
                circuits.len(),
                show_number(total, 0)
            ),
            band: (24.0, 24.0),
            pieces: pieces(job, results),
            draw: &draw,
            is_tiled: true,
        },
    )
}

fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let parts = &results.parts;
    area.beneath(&plan_marks::heating(area.job));
    area.beneath(
        &plan_marks::joints(&parts.joints.layout.lines).into_iter().map(gray).collect::<Vec<_>>(),
    );
    area.plan(&plan_marks::slab(&parts.plan, Pen::WIDE));
    area.plan(&plan_marks::joints(&parts.moving_joints.lines));
    area.plan(&plan_marks::crowded_leaders(&parts.tube.manifolds));
    area.plan(&plan_marks::circuits(&parts.tube.circuits));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::THIN));
    for (place, circuit) in parts.tube.circuits.iter().enumerate() {
        arrows(area, circuit);
        let tag = tags::place(place, Shown::Circuit);
        let spots = spots_of(circuit);
        let Some((&first, others)) = spots.split_first() else { continue };
        area.balloon(first, (&circuit.name, NOTE_SIZE), others, tag);
    }
    for manifold in &area.job.heating.manifolds {
        let words = format!("Manifold {}", manifold.name);
        let tag = Shown::Item(manifold.id.into()).tag();
        // A manifold stands at a wall, so its name may stand beyond the wall.
        let (at, step) = (area.to_paper(manifold.at), NOTE_SIZE * 1.2);
        let text = Text::new(at - Vec2::new(0.0, step), NOTE_SIZE, words).centered();
        let side = text.width() / 2.0 + step;
        let mut label = Label { tag, ..Label::new(TUBE, text) };
        label.others = [(0.0, 1.0), (0.0, -2.0), (0.0, 2.0), (0.0, -2.7), (0.0, 2.7)]
            .map(|(x, y)| at + Vec2::new(x, y * step))
            .into_iter()
            .chain([-side, side, -side - step, side + step].map(|x| at + Vec2::new(x, 0.0)))
            .collect();
        area.put(label);
    }
    for crossing in parts.joints.crossings.iter().filter(|crossing| crossing.needs_sleeve) {
        area.label(TUBE, crossing.at, ("sleeve", NOTE_SIZE), 0);
    }
}

/// Other trades' lines are thin and gray.
fn gray(mut mark: crate::drawing::Mark) -> crate::drawing::Mark {
    if let crate::drawing::Shape::Stroke { pen, .. } = &mut mark.shape {
        *pen = Pen::FINE.dashed(pen.dash).inked(Ink::MidGray);
    }
    mark
}

/// Places along a circuit for its name: away from the crowd at the manifold.
fn spots_of(circuit: &Circuit) -> Vec<Point> {
    [0.5, 0.42, 0.58, 0.34, 0.66, 0.46, 0.54, 0.25, 0.75, 0.3, 0.7, 0.38, 0.62]
        .iter()
        .filter_map(|&share| point_along(circuit, share).map(|(at, _)| at))
        .collect()
}

/// A place and the place a little before it, at a share of the length.
fn point_along(circuit: &Circuit, share: f64) -> Option<(Point, Point)> {
    let total: f64 = circuit.path.iter().map(|segment| segment.length()).sum();
    let mut left = total * share;
    for segment in &circuit.path {
        let length = segment.length();
        if left <= length && length > 0.0 {
            let here = left / length;
            let before = (here - 0.05).max(0.0);
            let ahead = if before < here { here } else { (here + 0.05).min(1.0) };
            return Some((segment.point_at(ahead), segment.point_at(before)));
        }
        left -= length;
    }
    None
}

fn arrows(area: &mut PlanArea<'_>, circuit: &Circuit) {
    let total: f64 = circuit.path.iter().map(|segment| segment.length()).sum();
    let count = (total / ARROW_SPACING).floor().clamp(2.0, 400.0);
    let size = 5.0;
    let mut step = 0.5;
    while step < count {
        if let Some((at, before)) = point_along(circuit, step / count) {
            let (tip, tail) = (area.to_paper(at), area.to_paper(before));
            if area.shows(tip) {
                let ink = if step < count / 2.0 { Ink::Red } else { Ink::Blue };
                area.marks.extend(symbol::arrow_head(TUBE, tail, tip, size, ink));
            }
        }
        step += 1.0;
    }
}

/// The spacing as laid, zone by zone where they differ.
fn spacings(job: &Job, results: &Results) -> String {
    let zones = &results.parts.tube.zones;
    let mut words: Vec<String> = Vec::new();
    for zone in zones {
        let word = length(job, zone.laid_spacing);
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.join(" and ")
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let parts = &results.parts;
    let tube = &job.heating.tube;
    let mut pieces = vec![Piece::Note(format!(
        "Tube: nominal {}, runs {} apart. Lay from this sheet with a tape from the form \
         face; keep circuits in one piece, no couplings in concrete.",
        crate::units::show_inches(
            crate::units::Length::inches(tube.size.nominal_in()),
            job.facts.display.rounding
        ),
        spacings(job, results)
    ))];
    pieces.extend(Piece::table(schedule(results)));
    pieces.extend(band_notes(job, results).into_iter().map(Piece::Note));
    pieces.extend(crowd_notes(job, results).into_iter().map(Piece::Note));
    pieces.extend(Piece::table(coil_table(results)));
    let heat = &parts.heat;
    if heat.supply_f > 0.0 {
        pieces.push(Piece::Note(format!(
            "Supply {} °F, return {} °F. Pump: {} gpm against {} ft of head.",
            show_number(heat.supply_f, 0),
            show_number(heat.return_f, 0),
            show_number(heat.pump_gpm, 1),
            show_number(heat.pump_head_ft, 1)
        )));
    }
    pieces.extend(Piece::table(manifold_table(job, results)));
    pieces.extend(super::manifold_detail::pieces(job, results, super::frame::column_width(job)));
    pieces.push(Piece::Legend(vec![
        (Pen::MEDIUM.inked(Ink::Red), "first half of a circuit, from supply".to_owned()),
        (Pen::MEDIUM.inked(Ink::Blue).dashed(Dash::Dashed), "second half, to return".to_owned()),
        (Pen::WIDE, "slab edge".to_owned()),
    ]));
    pieces.push(Piece::Caution(
        "BEFORE AND DURING THE POUR".to_owned(),
        vec![
            "Test with pressure before concrete and keep the gauge on while it is placed, to the \
             tube maker's and the code's figures. Air under pressure can throw fittings: stand \
             clear and keep to the maker's limit."
                .to_owned(),
            "Protect tube against frost, sun and wheels until it is covered.".to_owned(),
            "Sleeve tube where it crosses joints that move.".to_owned(),
        ],
    ));
    pieces.push(Piece::Heading("Pressure test".to_owned()));
    pieces.push(Piece::Blanks(
        ["Date and hour", "Pressure at start, psi", "Pressure at end, psi", "Hours", "Read by"]
            .map(str::to_owned)
            .to_vec(),
    ));
    pieces
}

/// What lies closer along outside walls, band by band.
fn band_notes(job: &Job, results: &Results) -> Vec<String> {
    let tube = &results.parts.tube;
    let laid = tube.bands.iter().filter(|band| band.along > 0.0);
    laid.map(|band| {
        let own = tube
            .circuits
            .iter()
            .filter(|circuit| circuit.is_edge_band && circuit.zone == band.zone);
        let names: Vec<&str> = own.map(|circuit| circuit.name.as_str()).collect();
        format!(
            "Edge band: {}. Runs {} apart along outside walls, to {} from the slab edge; lay these \
             circuits first.",
            names.join(", "),
            length(job, band.spacing),
            length(job, band.width)
        )
    })
    .collect()
}

/// Where leaders are insulated, manifold by manifold.
fn crowd_notes(job: &Job, results: &Results) -> Vec<String> {
    let manifolds = results.parts.tube.manifolds.iter();
    let crowds = manifolds.filter_map(|manifold| Some((manifold, manifold.crowd.as_ref()?)));
    crowds
        .map(|(manifold, crowd)| {
            format!(
                "Hatched: {} leaders of {} side by side, {} apart. Put pipe insulation on the \
                 supply leaders there, so that the floor over them does not get too warm.",
                crowd.leaders,
                manifold.name,
                length(job, crowd.pitch)
            )
        })
        .collect()
}

/// The circuits, with a place for the footage marks that are read off the tube.
fn schedule(results: &Results) -> Table {
    let parts = &results.parts;
    let mut table = Table::new(
        "Circuits",
        vec![
            Column::words("Circuit"),
            Column::numbers("Feet"),
            Column::numbers("of it leader"),
            Column::numbers("gpm"),
            Column::numbers("Head ft"),
            Column::words("Marks: start / end"),
        ],
    );
    for (place, circuit) in parts.tube.circuits.iter().enumerate() {
        let heat = parts.heat.circuits.get(place);
        let shown = |value: Option<f64>, decimals: u32| {
            value.map_or_else(String::new, |value| show_number(value, decimals))
        };
        table.row([
            circuit.name.clone(),
            show_number(circuit.length / 12.0, 0),
            show_number(circuit.leader / 12.0, 0),
            shown(heat.map(|heat| heat.flow_gpm), 2),
            shown(heat.map(|heat| heat.head_ft), 1),
            "_____ / _____".to_owned(),
        ]);
    }
    table
}

fn coil_table(results: &Results) -> Table {
    let mut table = Table::new(
        "Coils: what is cut from which",
        vec![Column::numbers("Coil ft"), Column::words("Circuits"), Column::numbers("Left ft")],
    );
    let parts = &results.parts;
    for coil in &parts.coils.coils {
        let names: Vec<String> = coil
            .cuts
            .iter()
            .map(|(place, cut)| {
                let name = parts.tube.circuits.get(*place).map_or("?", |circuit| &circuit.name);
                format!("{name} ({})", show_number(cut / 12.0, 0))
            })
            .collect();
        table.row([
            show_number(coil.length_in / 12.0, 0),
            names.join(", "),
            show_number(coil.left_in / 12.0, 0),
        ]);
    }
    table
}

fn manifold_table(job: &Job, results: &Results) -> Table {
    let parts = &results.parts;
    let frame = PlanFrame::of(&parts.plan);
    let mut table = Table::new(
        "Manifolds, middle of the port line",
        vec![
            Column::words("Manifold"),
            Column::numbers("Circuits"),
            Column::numbers("From west"),
            Column::numbers("From south"),
        ],
    );
    for manifold in &job.heating.manifolds {
        let count =
            parts.tube.circuits.iter().filter(|circuit| circuit.manifold == manifold.id).count();
        let (east, north) = frame.from_edges(manifold.at);
        table.row([
            manifold.name.clone(),
            count.to_string(),
            length(job, east),
            length(job, north),
        ]);
    }
    table
}
