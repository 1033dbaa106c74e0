//! The steel and membrane sheet: mesh as laid, bars in edges and strips, what to buy.

use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanSheet, length, plan_sheets};
use super::plan_marks::{self, STEEL};
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::NOTE_SIZE;
use crate::drawing::{Dash, Ink, Mark, Pen};
use crate::job::Job;
use crate::units::{show_inches, show_number};
use std::collections::BTreeMap;

/// The steel sheet; empty when there is neither steel nor membrane nor fibre.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let (steel, base) = (&results.parts.concrete.steel, &results.parts.concrete.base);
    let has_steel = !steel.bars.is_empty() || steel.mesh_count > 0 || steel.fibre_lb > 0.0;
    if !has_steel && base.membrane_rolls == 0 {
        return Vec::new();
    }
    let draw = |area: &mut PlanArea<'_>| draw(area, results);
    plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Steel and membrane",
            alt: format!(
                "Steel plan: {} mesh pieces, {} runs of bar",
                steel.mesh_pieces.len(),
                steel.bar_lines.len()
            ),
            band: (22.0, 22.0),
            pieces: pieces(job, results),
            draw: &draw,
            is_tiled: false,
        },
    )
}

fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let parts = &results.parts;
    let steel = &parts.concrete.steel;
    area.beneath(&plan_marks::thickenings(&parts.concrete, Pen::FINE.inked(Ink::MidGray)));
    let mesh: Vec<Mark> = steel
        .mesh_pieces
        .iter()
        .map(|piece| Mark::stroke(STEEL, plan_marks::ring(piece), Pen::THIN.inked(Ink::DarkGray)))
        .collect();
    area.plan(&mesh);
    let pen = bar_pen(results);
    let bars: Vec<Mark> = steel
        .bar_lines
        .iter()
        .map(|(_, line)| Mark::stroke(STEEL, plan_marks::line(line), pen))
        .collect();
    area.plan(&bars);
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::THIN));
    // A few size marks tell bars that lie side by side.
    const MARKS_A_SIZE: usize = 4;
    const LEAST_IN: f64 = 60.0;
    let mut said: BTreeMap<u8, usize> = BTreeMap::new();
    for (size, line) in &steel.bar_lines {
        let (Some(&from), Some(&to)) = (line.first(), line.get(1)) else { continue };
        let count = said.entry(*size).or_default();
        if *count < MARKS_A_SIZE && from.distance(to) > LEAST_IN {
            *count += 1;
            area.label(STEEL, from.toward(to, 0.3), (&format!("#{size}"), NOTE_SIZE), 0);
        }
    }
}

/// Few bars are drawn wide; a mat of them thin, or it would read as a fill.
fn bar_pen(results: &Results) -> Pen {
    const MAT: usize = 40;
    if results.parts.concrete.steel.bar_lines.len() > MAT {
        Pen::THIN
    } else {
        Pen::WIDE.dashed(Dash::LongDashDot)
    }
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let (steel, base) = (&results.parts.concrete.steel, &results.parts.concrete.base);
    let choice = &job.build_up.steel;
    let inches = |length| show_inches(length, job.facts.display.rounding);
    let mut pieces = Vec::new();
    let mut table = Table::new(
        "Steel to buy",
        vec![
            Column::words("What"),
            Column::numbers("Count"),
            Column::numbers("Length"),
            Column::numbers("Pounds"),
        ],
    );
    if steel.mesh_count > 0 {
        table.row([
            steel.mesh_name.clone(),
            steel.mesh_count.to_string(),
            String::new(),
            show_number(steel.mesh_lb, 0),
        ]);
    }
    for bar in &steel.bars {
        table.row([
            format!("#{} bars of {}", bar.size, length(job, choice.stock_bar.to_inches())),
            bar.stock_bars.to_string(),
            length(job, bar.length),
            show_number(bar.weight_lb, 0),
        ]);
    }
    for (what, count) in [("Chairs", steel.chairs), ("Ties", steel.ties)] {
        if count > 0 {
            table.row([what.to_owned(), count.to_string(), String::new(), String::new()]);
        }
    }
    if steel.fibre_lb > 0.0 {
        table.row([
            "Fibre".to_owned(),
            String::new(),
            String::new(),
            show_number(steel.fibre_lb, 0),
        ]);
    }
    pieces.extend(Piece::table(table));
    pieces.push(Piece::Note(format!(
        "Laps {} bar diameters, cover {} to the outer face. Steel stands on chairs before \
         concrete comes; it is not pulled up afterwards.",
        show_number(choice.lap_diameters, 0),
        inches(choice.cover)
    )));
    if base.membrane_rolls > 0 {
        let membrane = &job.build_up.membrane;
        pieces.push(Piece::Note(format!(
            "Membrane {} mil: {} sq ft with laps, turn-ups and waste; {} rolls. Lap {}, turn up \
             {} at edges, tape every penetration.",
            show_number(membrane.mils, 0),
            show_number(base.membrane / 144.0, 0),
            base.membrane_rolls,
            inches(membrane.lap),
            inches(membrane.turn_up)
        )));
    }
    if base.stone_in_place > 0.0 {
        pieces.push(Piece::Note(format!(
            "Stone below: {} tons, {} cu yd loose.",
            show_number(base.stone_tons, 1),
            show_number(base.stone_loose_yd3, 1)
        )));
    }
    pieces.push(Piece::Legend(vec![
        (bar_pen(results), "bar".to_owned()),
        (Pen::THIN.inked(Ink::DarkGray), "edge of a mesh sheet".to_owned()),
        (Pen::HEAVY, "slab edge".to_owned()),
    ]));
    pieces.push(Piece::Caution(
        "CAUTION".to_owned(),
        vec![
            "Cap upright bar ends. Mesh springs: cut it with two people.".to_owned(),
            "Steel is shown as the job asks for it, not as designed: local code and the project's \
             engineer govern."
                .to_owned(),
        ],
    ));
    pieces
}
