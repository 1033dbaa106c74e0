//! The steel and membrane sheet: mesh as laid, bars in edges and strips, what to buy.

use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanSheet, length, plan_sheets};
use super::plan_marks::{self, STEEL};
use crate::concrete::{BarPlace, BarRun};
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::NOTE_SIZE;
use crate::drawing::{Dash, Ink, Mark, Pen};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
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
                steel.bar_runs.len()
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
        .bar_runs
        .iter()
        .map(|run| Mark::stroke(STEEL, plan_marks::line(&run.line), pen))
        .collect();
    area.plan(&bars);
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::THIN));
    // One mark tells each kind of bar that lies in sight; the table has the rest.
    let mut said: Vec<(BarPlace, u8)> = Vec::new();
    let mut longest: Vec<&BarRun> = steel.bar_runs.iter().collect();
    longest.sort_by(|one, other| other.length.total_cmp(&one.length));
    for run in longest {
        let (Some(&from), Some(&to)) = (run.line.first(), run.line.get(1)) else { continue };
        if !said.contains(&(run.place, run.size)) {
            said.push((run.place, run.size));
            area.label(STEEL, from.toward(to, 0.3), (&mark(area.job, run), NOTE_SIZE), 0);
        }
    }
}

/// What stands beside a run: `2 #4`, or `#4 at 18" both ways`.
fn mark(job: &Job, run: &BarRun) -> String {
    match (run.place, job.build_up.steel.floor) {
        (BarPlace::Floor, FloorSteel::Bars { spacing, .. }) => {
            format!(
                "#{} at {} both ways",
                run.size,
                show_inches(spacing, job.facts.display.rounding)
            )
        }
        _ if run.count > 1 => format!("{} #{}", run.count, run.size),
        _ => format!("#{}", run.size),
    }
}

/// Every kind of bar: where, how many, how long.
fn schedule(job: &Job, runs: &[BarRun]) -> Table {
    let mut table = Table::new(
        "Bars as laid",
        vec![
            Column::words("Where"),
            Column::words("Bars"),
            Column::numbers("Each"),
            Column::numbers("Feet"),
        ],
    );
    let mut kinds: BTreeMap<(BarPlace, u8), Vec<&BarRun>> = BTreeMap::new();
    for run in runs {
        kinds.entry((run.place, run.size)).or_default().push(run);
    }
    for ((place, size), runs) in kinds {
        let lengths = runs.iter().map(|run| run.length);
        let count: u32 = runs.iter().map(|run| run.count).sum();
        let total: f64 = runs.iter().map(|run| run.length * f64::from(run.count)).sum();
        let shortest = length(job, lengths.clone().fold(f64::INFINITY, f64::min));
        let longest = length(job, lengths.fold(0.0, f64::max));
        table.row([
            match place {
                BarPlace::Floor => "Floor, both ways",
                BarPlace::Edge => "Edges",
                BarPlace::OutsideCorner => "Corners, L-bars",
                BarPlace::InsideCorner => "Inside corners",
                BarPlace::Strip => "Strips",
                BarPlace::Pad => "Pads, both ways",
            }
            .to_owned(),
            format!("{count} #{size}"),
            if shortest == longest { longest } else { format!("{shortest} to {longest}") },
            show_number(total / 12.0, 0),
        ]);
    }
    table
}

/// Few bars are drawn wide; a mat of them thin, or it would read as a fill.
fn bar_pen(results: &Results) -> Pen {
    const MAT: usize = 40;
    if results.parts.concrete.steel.bar_runs.len() > MAT {
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
    pieces.extend(Piece::table(schedule(job, &steel.bar_runs)));
    pieces.push(Piece::Note(format!(
        "Laps {} bar diameters, counted in what to buy, not in the lengths as laid. Cover {} to the \
         outer face. Steel stands on chairs before concrete comes; it is not pulled up afterwards.",
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
    let mut legend = Vec::new();
    if !steel.bar_runs.is_empty() {
        legend.push((bar_pen(results), "bar".to_owned()));
    }
    if !steel.mesh_pieces.is_empty() {
        legend.push((Pen::THIN.inked(Ink::DarkGray), "edge of a mesh sheet".to_owned()));
    }
    legend.push((Pen::HEAVY, "slab edge".to_owned()));
    pieces.push(Piece::Legend(legend));
    let mut caution = Vec::new();
    if !steel.bar_runs.is_empty() {
        caution.push("Cap upright bar ends.".to_owned());
    }
    if !steel.mesh_pieces.is_empty() {
        caution.push("Mesh springs: cut it with two people.".to_owned());
    }
    caution.push(
        "Steel is shown as the job asks for it, not as designed: local code and the project's \
         engineer govern."
            .to_owned(),
    );
    pieces.push(Piece::Caution("CAUTION".to_owned(), caution));
    pieces
}
