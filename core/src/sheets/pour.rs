//! The pour sheet: order, trucks, where each runs out, screed strips, the clock and the weather.

use super::frame::Draft;
use super::joints::clock_time;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanSheet, plan_sheets};
use super::plan_marks::{self, TRUCKS};
use super::tags::{self, Shown};
use crate::derive::Results;
use crate::drawing::dimension::readable_angle;
use crate::drawing::place::Label;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::NOTE_SIZE;
use crate::drawing::{Dash, Ink, Mark, Pen, Text, Vec2, symbol};
use crate::facts::weather;
use crate::geometry::{Point, Polygon, Vector, polygon};
use crate::job::Job;
use crate::units::{Length, show_inches, show_number};

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
            band: (20.0, 14.0),
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
    area.plan(&strips);
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
        truck_label(area, (from, to), say, tags::place(place, Shown::TruckLine));
    }
    // Strips are numbered last: where lines crowd, trucks and direction come first.
    for (place, strip) in parts.pour.strips.iter().enumerate() {
        strip_label(area, strip, place + 1);
    }
}

/// What a truck has brought, written along its line.
fn truck_label(area: &mut PlanArea<'_>, (from, to): (Point, Point), say: String, tag: u64) {
    let (start, end) = (area.to_paper(from), area.to_paper(to));
    let text = Text::new(start.midpoint(end), NOTE_SIZE, say)
        .centered()
        .turned(readable_angle(end - start));
    let (_, up) = text.axes();
    let lift = up * (NOTE_SIZE * 0.8);
    let mut label = Label::new(TRUCKS, text);
    label.tag = tag;
    label.about = Some(start.midpoint(end));
    label.text.at = start.lerp(end, 0.7) + lift;
    label.others = [0.7, 0.3, 0.5, 0.85, 0.15]
        .iter()
        .flat_map(|&share| [start.lerp(end, share) - lift, start.lerp(end, share) + lift])
        .collect();
    area.put(label);
}

/// A strip's number within the strip, along it; a strip without room goes without, since numbers
/// follow the pour.
fn strip_label(area: &mut PlanArea<'_>, strip: &Polygon, number: usize) {
    let along = Vector::from_angle(area.job.pour.direction_degrees.to_radians()).left();
    let middle = polygon::centroid(&strip.outer);
    let reach = |axis: Vector| {
        strip.outer.iter().map(|corner| (*corner - middle).dot(axis).abs()).fold(0.0, f64::max)
    };
    let across = along.left();
    let (long, wide) = (reach(along), reach(across));
    let angle = readable_angle(area.to_paper(middle + along) - area.to_paper(middle));
    // A truck line may run down the middle of a strip: its number stands beside that.
    for aside in [0.0, 0.45, -0.45] {
        for share in [0.0, 0.25, -0.25, 0.5, -0.5, 0.7, -0.7] {
            let at = middle + along * (long * share) + across * (wide * aside);
            let text = Text::new(area.to_paper(at), NOTE_SIZE, format!("strip {number}"))
                .centered()
                .turned(angle);
            if strip.contains(at) && area.label_within(TRUCKS, text, 0) {
                return;
            }
        }
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
    let text = Text::new(tail.midpoint(tip), NOTE_SIZE, "pour this way").centered();
    let mut label = Label::new(TRUCKS, text);
    let (up, half) = (Vec2::new(0.0, NOTE_SIZE * 1.2), label.text.width() / 2.0 + 8.0);
    let (near, away) = (tail.midpoint(tip), (tip - tail) / (tip - tail).hypot().max(1e-9));
    label.others = [near - up, near + up, tail - away * half, tip + away * (half + 10.0)]
        .into_iter()
        .chain([tail - up, tail + up, tip - up, tip + up])
        .collect();
    label.about = Some(near);
    area.put(label);
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let pour = &results.parts.pour;
    let plan = &job.pour;
    let day = if plan.date.is_empty() { String::new() } else { format!(" for {}", plan.date) };
    let mut pieces = vec![Piece::Heading(format!(
        "Order {} cu yd{day}: {} net and {} allowance",
        show_number(pour.order_yd3, 2),
        show_number(pour.net_yd3, 2),
        show_number(pour.allowance_yd3, 2)
    ))];
    pieces.extend(Piece::table(loads(job, results)));
    let rounding = job.facts.display.rounding;
    let mut mix = format!(
        "Mix {} psi, aggregate {}, slump {}",
        show_number(plan.mix.strength_psi, 0),
        show_inches(plan.mix.aggregate, rounding),
        show_inches(plan.mix.slump, rounding)
    );
    if plan.mix.air_percent > 0.0 {
        mix.push_str(&format!(", air {} %", show_number(plan.mix.air_percent, 1)));
    }
    if !plan.mix.admixtures.is_empty() {
        mix.push_str(&format!(", {}", plan.mix.admixtures));
    }
    let tool = crate::pour::tool(plan);
    let inches = |inches| show_inches(Length::inches(inches), rounding);
    mix.push_str(&format!(
        ". Struck off with {}, which works with a slump of {} to {} (common practice)",
        tool.name,
        inches(tool.least_slump_in),
        inches(tool.most_slump_in)
    ));
    if !tool.works_with(plan.mix.slump.to_inches()) {
        mix.push_str(": this mix is outside that");
    }
    pieces.push(Piece::Note(mix + "."));
    pieces.extend(clock_notes(job, results));
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

/// Rate, trucks, live edge, weather and finishing, in words.
fn clock_notes(job: &Job, results: &Results) -> Vec<Piece> {
    let (pour, plan) = (&results.parts.pour, &job.pour);
    let mut said = Vec::new();
    if pour.loads_yd3.len() > 1
        && pour.loads_yd3.last().is_some_and(|last| *last < plan.short_load_yd3)
    {
        let even: Vec<String> =
            pour.even_loads_yd3.iter().map(|load| show_number(*load, 2)).collect();
        said.push(format!(
            "The last load is short. Evened out, the order is {} cu yd.",
            even.join(" + ")
        ));
    }
    if pour.placing_minutes > 0.0 {
        let given = match plan.trucks_given {
            0 => String::new(),
            count => format!(", {count} given"),
        };
        said.push(format!(
            "Placing takes about {} h; a truck every {} min, {} on the road{given}. Order the \
             last load when the one before it is half empty and what is left is measured.",
            show_number(pour.placing_minutes / 60.0, 1),
            show_number(pour.truck_interval_minutes, 0),
            pour.trucks_needed
        ));
    }
    if pour.live_edge_minutes > 0.0 {
        said.push(format!(
            "Place the strips in the order of their numbers, each from the same end, so that \
             nobody stands in what is struck off. The edge of a strip waits {} min at the most; \
             with concrete at {} °F it stays live about {} to {} min (common practice).",
            show_number(pour.live_edge_minutes, 0),
            show_number(plan.weather.concrete_f, 0),
            show_number(pour.live_edge_limits.0, 0),
            show_number(pour.live_edge_limits.1, 0)
        ));
    }
    if let Some(rate) = pour.evaporation {
        said.push(format!(
            "Evaporation with the readings typed in: {} lb/(sq ft·h); protect plain mixes from \
             {}, mixes that bleed little from {}.",
            show_number(rate, 2),
            show_number(weather::EVAPORATION_LIMIT, 2),
            show_number(weather::EVAPORATION_LIMIT_LOW_BLEED, 2)
        ));
    }
    let factor = weather::setting_factor(plan.weather.concrete_f);
    let (early, late) = weather::SET_HOURS_AT_70_F;
    said.push(format!(
        "Bull float at once, then not again before the bleed water is gone and a foot leaves 1/4 \
         in. Set is about {} to {} h off at {} °F, longer on foam (a guide, common practice).",
        show_number(early * factor, 1),
        show_number(late * factor, 1),
        show_number(plan.weather.concrete_f, 0)
    ));
    said.into_iter().map(Piece::Note).collect()
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
            let wait = pour.truck_minutes.get(place).map_or(0.0, |times| times[0]);
            clock_time(start + wait)
        });
        table.row([(place + 1).to_string(), show_number(*load, 2), show_number(sum, 2), at]);
    }
    table
}
