//! The pour sheet: order, trucks, where each runs out, screed strips, the clock and the weather.

use super::frame::Draft;
use super::joints::clock_time;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanSheet, plan_sheets};
use super::plan_marks::{self, TRUCKS};
use super::tags::{self, Shown};
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::NOTE_SIZE;
use crate::drawing::{Dash, Ink, Mark, Pen, Vec2, symbol};
use crate::geometry::Vector;
use crate::job::Job;
use crate::units::{show_inches, show_number};

/// The pour sheet; empty when nothing is ordered.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let pour = &results.parts.pour;
    if pour.order_yd3 <= 0.0 {
        return Vec::new();
    }
    let draw = |area: &mut PlanArea<'_>| draw(area, results);
    plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Pour plan",
            alt: format!(
                "Pour plan: {} cubic yards in {} loads, with the line where each truck runs out",
                show_number(pour.order_yd3, 2),
                pour.loads_yd3.len()
            ),
            band: (24.0, 24.0),
            pieces: pieces(job, results),
            draw: &draw,
            is_tiled: false,
        },
    )
}

fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let parts = &results.parts;
    let strips: Vec<Mark> = parts
        .pour
        .strips
        .iter()
        .map(|strip| {
            let pen = Pen::FINE.dashed(Dash::Dotted).inked(Ink::DarkGray);
            Mark::stroke(TRUCKS, plan_marks::ring(&strip.outer), pen)
        })
        .collect();
    area.beneath(&strips);
    area.beneath(
        &plan_marks::joints(&parts.joints.layout.lines).into_iter().map(gray).collect::<Vec<_>>(),
    );
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    area.plan(&plan_marks::joints(&parts.moving_joints.lines));
    area.plan(&plan_marks::truck_lines(parts));
    direction(area, results);
    for (place, truck) in parts.pour.truck_lines.iter().enumerate() {
        let longest =
            truck.line.iter().max_by(|[a, b], [c, d]| a.distance(*b).total_cmp(&c.distance(*d)));
        let Some(&[from, to]) = longest else { continue };
        let say = format!("truck {}: {} yd", truck.truck, show_number(truck.placed_yd3, 1));
        let tag = tags::place(place, Shown::TruckLine);
        area.label(TRUCKS, from.toward(to, 0.5), (&say, NOTE_SIZE), tag);
    }
}

fn gray(mut mark: Mark) -> Mark {
    if let crate::drawing::Shape::Stroke { pen, .. } = &mut mark.shape {
        *pen = Pen::FINE.dashed(pen.dash).inked(Ink::MidGray);
    }
    mark
}

/// A long arrow in the direction in which the pour moves.
fn direction(area: &mut PlanArea<'_>, results: &Results) {
    let Some(bounds) = results.parts.plan.bounds() else { return };
    let along = Vector::from_angle(area.job.pour.direction_degrees.to_radians());
    let reach = bounds.width().min(bounds.height()) * 0.12;
    let center = bounds.center();
    let (tail, tip) =
        (area.to_paper(center - along * reach), area.to_paper(center + along * reach));
    if !(area.shows(tail) && area.shows(tip)) {
        return;
    }
    let course = crate::drawing::path::line(tail, tip);
    area.placer.avoid(&course);
    area.marks.push(Mark::stroke(TRUCKS, course, Pen::HEAVY));
    area.marks.extend(symbol::arrow_head(
        TRUCKS,
        tail,
        tip + (tip - tail) * 0.05,
        14.0,
        Ink::Black,
    ));
    let text = crate::drawing::Text::new(tip + Vec2::new(0.0, -12.0), NOTE_SIZE, "pour this way")
        .centered();
    area.put(crate::drawing::place::Label::new(TRUCKS, text));
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let pour = &results.parts.pour;
    let plan = &job.pour;
    let mut pieces = vec![Piece::Heading(format!(
        "Order {} cu yd: {} net and {} allowance",
        show_number(pour.order_yd3, 2),
        show_number(pour.net_yd3, 2),
        show_number(pour.allowance_yd3, 2)
    ))];
    pieces.extend(Piece::table(loads(job, results)));
    pieces.push(Piece::Note(format!(
        "Mix {} psi, aggregate {}, air {} %, slump {}.{}{}",
        show_number(plan.mix.strength_psi, 0),
        show_inches(plan.mix.aggregate, job.facts.display.rounding),
        show_number(plan.mix.air_percent, 1),
        show_inches(plan.mix.slump, job.facts.display.rounding),
        if plan.mix.admixtures.is_empty() { "" } else { " " },
        plan.mix.admixtures
    )));
    if pour.placing_minutes > 0.0 {
        pieces.push(Piece::Note(format!(
            "Placing takes about {} h; a truck every {} min, {} on the road.",
            show_number(pour.placing_minutes / 60.0, 1),
            show_number(pour.truck_interval_minutes, 0),
            pour.trucks_needed
        )));
    }
    if let Some(rate) = pour.evaporation {
        pieces.push(Piece::Note(format!(
            "Evaporation with the readings typed in: {} lb/(sq ft·h).",
            show_number(rate, 2)
        )));
    }
    if let Some(left) = pour.still_to_order_yd3 {
        pieces.push(Piece::Note(format!(
            "After the tickets typed in, still to order: {} cu yd.",
            show_number(left, 2)
        )));
    }
    pieces.push(Piece::Legend(vec![
        (Pen::WIDE.dashed(Dash::Dashed), "where a truck runs out".to_owned()),
        (Pen::FINE.dashed(Dash::Dotted).inked(Ink::DarkGray), "screed strip".to_owned()),
        (Pen::HEAVY, "slab edge".to_owned()),
    ]));
    pieces.push(Piece::Caution(
        "CAUTION".to_owned(),
        vec![
            "Wet concrete burns skin and eyes: gloves, boots, glasses, water at hand.".to_owned(),
            "Keep truck and pump clear of wires and of the edge of the cut; nobody behind a \
             backing truck."
                .to_owned(),
            "Keep the tube under pressure and watched while concrete is placed.".to_owned(),
        ],
    ));
    pieces
}

fn loads(job: &Job, results: &Results) -> Table {
    let pour = &results.parts.pour;
    let mut table = Table::new(
        "Loads",
        vec![
            Column::numbers("Truck"),
            Column::numbers("cu yd"),
            Column::numbers("Sum"),
            Column::numbers("On site"),
        ],
    );
    let mut sum = 0.0;
    for (place, load) in pour.loads_yd3.iter().enumerate() {
        sum += load;
        let at = job.pour.start_minutes.map_or_else(String::new, |start| {
            clock_time(start + pour.truck_interval_minutes * place as f64)
        });
        table.row([(place + 1).to_string(), show_number(*load, 2), show_number(sum, 2), at]);
    }
    table
}
