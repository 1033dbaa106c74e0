//! The heat sheets: the floor's temperature as a contour plan, and the floor and its edge in
//! section with what other depths, spacings and foams would do.

use super::floor_temperature::{COOL_F, TemperaturePlan, label_places};
use super::frame::{self, Draft};
use super::pieces::{self, Piece};
use super::plan_area::{PlanArea, PlanSheet, plan_sheets};
use super::plan_marks::{self, HEAT};
use super::section_view::{Fit, SectionDrawing, SectionRoom, edge_view, floor_view};
use crate::derive::Results;
use crate::drawing::page::Role;
use crate::drawing::place::Label;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::{Face, NOTE_SIZE, Text};
use crate::drawing::{Ink, Mark, Pen, Rect, Spot, path};
use crate::geometry::Point;
use crate::heat::FloorMap;
use crate::heat::compare::{FloorChoice, FoamChoice};
use crate::heat::study::main_spacing;
use crate::job::Job;
use crate::job::heating::TubeDepth;
use crate::units::quantity_text::{show_heat, show_temperature};
use crate::units::{Cents, HeatFlow, Length, Temperature, UnitSystem, show_inches, show_number};

/// The heat sheets; empty for a floor that is not heated or has no tube yet.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let Some(map) = &results.parts.heat.floor_map else { return Vec::new() };
    let plan = TemperaturePlan::of(
        map,
        main_spacing(job, &results.parts.tube),
        job.heating.design.surface_limit_f,
        is_metric(job),
    );
    let draw = |area: &mut PlanArea<'_>| draw(area, results, map, &plan);
    let heat = &results.parts.heat;
    let mut drafts = plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Floor temperature",
            alt: format!(
                "Lines of one floor temperature; mean {}, warmest {}, coolest heated {}",
                degrees(job, heat.surface_mean_f),
                degrees(job, heat.surface_max_f),
                degrees(job, heat.surface_min_f)
            ),
            band: (16.0, 16.0),
            pieces: plan_pieces(job, results, &plan),
            draw: &draw,
            is_tiled: false,
        },
    );
    drafts.extend(sections(job, results));
    drafts
}

fn is_metric(job: &Job) -> bool {
    job.facts.display.rounding.system() == UnitSystem::Metric
}

fn degrees(job: &Job, fahrenheit: f64) -> String {
    show_temperature(Temperature::fahrenheit(fahrenheit), job.facts.display.rounding.system())
}

/// A difference of temperatures.
fn difference(job: &Job, fahrenheit: f64) -> String {
    if is_metric(job) {
        format!("{} K", show_number(fahrenheit / 1.8, 1))
    } else {
        format!("{} °F", show_number(fahrenheit, 1))
    }
}

fn draw(area: &mut PlanArea<'_>, results: &Results, map: &FloorMap, plan: &TemperaturePlan) {
    let pale = |mark: &Mark| {
        let mut mark = mark.clone();
        if let crate::drawing::Shape::Stroke { pen, .. } = &mut mark.shape {
            *pen = Pen::HAIR.dashed(pen.dash).inked(Ink::LightGray);
        }
        mark
    };
    let circuits = plan_marks::circuits(&results.parts.tube.circuits);
    area.beneath(&circuits.iter().map(pale).collect::<Vec<_>>());
    area.beneath(&plan.marks());
    area.plan(&plan_marks::slab(&results.parts.plan, Pen::HEAVY));
    let job = area.job;
    let heat = &results.parts.heat;
    for (at, word, value) in
        [(map.hottest, "warmest", heat.surface_max_f), (map.coldest, "coolest", heat.surface_min_f)]
    {
        extreme(area, at, format!("{word} {}", degrees(job, value)));
    }
    let mut longest: Vec<_> = plan.lines.iter().collect();
    longest.sort_by(|a, b| b.length().total_cmp(&a.length()));
    // Short rings between others say nothing that their neighbors do not.
    for line in longest.iter().filter(|line| line.length() > 36.0).take(60) {
        figure(area, &label_places(line), level(job, line.level, plan.step_f));
    }
}

/// A level with as many decimals as its step asks for.
fn level(job: &Job, level_f: f64, step_f: f64) -> String {
    let (value, step) =
        if is_metric(job) { ((level_f - 32.0) / 1.8, step_f / 1.8) } else { (level_f, step_f) };
    let decimals = if step < 0.4 {
        2
    } else if step < 0.9 {
        1
    } else {
        0
    };
    show_number(value, decimals)
}

fn figure(area: &mut PlanArea<'_>, places: &[Point], words: String) {
    for &place in places {
        let text = Text::new(area.to_paper(place), NOTE_SIZE, words.clone()).centered();
        if area.label_within(HEAT, text, 0) {
            return;
        }
    }
}

fn extreme(area: &mut PlanArea<'_>, at: Point, words: String) {
    let spot = area.to_paper(at);
    if !area.shows(spot) {
        return;
    }
    area.marks.push(Mark::stroke(HEAT, path::circle(spot, 4.0), Pen::WIDE));
    area.marks.push(Mark::fill(HEAT, path::circle(spot, 1.2), Ink::Black));
    area.placer.take_rect(Rect::from_center_size(spot, (8.0, 8.0)));
    let text = Text::new(spot + (0.0, -12.0), NOTE_SIZE, words).centered().bold();
    let half = 0.5 * text.width() + 8.0;
    let mut label = Label::new(HEAT, text);
    label.about = Some(spot);
    label.others = [(0.0, 12.0), (half, 0.0), (-half, 0.0)].map(|(x, y)| spot + (x, y)).to_vec();
    let before = area.marks.len();
    area.put(label);
    // Lines of one temperature run under it: the words stand on a patch of paper.
    let patch = area.marks.iter().skip(before).find_map(|mark| match &mark.shape {
        crate::drawing::Shape::Text(text) => Some(path::polygon(&text.corners())),
        _ => None,
    });
    if let Some(patch) = patch {
        area.marks.insert(before, Mark::fill(HEAT, patch, Ink::Paper));
    }
}

fn plan_pieces(job: &Job, results: &Results, plan: &TemperaturePlan) -> Vec<Piece> {
    let heat = &results.parts.heat;
    let limit = degrees(job, job.heating.design.surface_limit_f);
    let mut pieces = vec![
        Piece::Heading(format!("Mean {}", degrees(job, heat.surface_mean_f))),
        Piece::Note(format!(
            "Floor surface at the design load, water {} in and {} out. Warmest {}, coolest heated \
             place {}, both ringed on the plan. Lines every {} of the mean over two tube \
             spacings, wider apart where the rim is cold; from tube to tube the surface swings \
             about it.",
            degrees(job, heat.supply_f),
            degrees(job, heat.return_f),
            degrees(job, heat.surface_max_f),
            degrees(job, heat.surface_min_f),
            difference(job, plan.step_f)
        )),
        Piece::Note(format!(
            "Crossed hatching: warmer than {limit}, the most allowed here. Wide hatching: cooler \
             than {}, cool to feet in shoes.",
            degrees(job, COOL_F)
        )),
    ];
    pieces.extend(Piece::table(balance(job, results)));
    pieces.push(Piece::Note(
        "By conduction in the slab along the circuits as drawn; the design of the heating is the \
         licensed designer's."
            .to_owned(),
    ));
    pieces
}

/// Where the water's heat goes.
fn balance(job: &Job, results: &Results) -> Table {
    let heat = &results.parts.heat;
    let mut table = Table::new("Heat", vec![Column::words("Where"), Column::numbers("How much")]);
    let under = heat.down_btuh - heat.edge_btuh;
    for (name, btuh) in [
        ("asked by the rooms", heat.load_btuh),
        ("up into the rooms", heat.up_btuh),
        ("down into the ground", under),
        ("out at the edge", heat.edge_btuh),
        ("from the water", heat.water_btuh),
    ] {
        let shown = show_heat(HeatFlow::btu_per_hour(btuh), job.facts.display.rounding.system());
        table.row([name.to_owned(), shown]);
    }
    table
}

/// Height of a sheet's body below which sections and choices have a sheet each, in points.
const LOW: f64 = 520.0;

/// The sections and what other choices would do: on one sheet where it is high enough, else each
/// section has a sheet for itself, so that its words find room.
fn sections(job: &Job, results: &Results) -> Vec<Draft> {
    const TITLE: &str = "Heat sections";
    let body = Draft::new(job, TITLE).body();
    let groups = choice_pieces(job, results);
    if body.height() < LOW {
        let floor = view_sheet(job, &[("The floor in section", floor_room(job, results, body))]);
        let edge = view_sheet(job, &[("The edge in section", edge_room(job, results, body))]);
        let mut drafts: Vec<Draft> = floor.into_iter().chain(edge).collect();
        if let Some(later) = drafts.get_mut(1) {
            later.page.title = format!("{TITLE}, continued");
        }
        if !drafts.is_empty() {
            drafts.extend(frame::continued(job, TITLE, groups.into_iter().flatten().collect()));
        }
        return drafts;
    }
    // Sections side by side in the upper half or a little more, choices in columns below.
    let foot = body.y0 + body.height() * 0.56;
    let across = 0.5 * (body.x0 + body.x1);
    let left = Rect::new(body.x0, body.y0, across - 8.0, foot);
    let right = Rect::new(across + 8.0, body.y0, body.x1, foot);
    let views = [
        ("The floor in section", floor_room(job, results, left)),
        ("The edge in section", edge_room(job, results, right)),
    ];
    let Some(mut draft) = view_sheet(job, &views) else { return Vec::new() };
    // Each group has its own column while there are columns.
    let columns = ((body.width() + 18.0) / (frame::column_width(job) + 18.0)).floor().max(1.0);
    let width = (body.width() - 18.0 * (columns - 1.0)) / columns;
    let mut rest = Vec::new();
    let mut column = 0.0;
    for group in groups {
        if column >= columns {
            rest.extend(group);
            continue;
        }
        let x = body.x0 + (width + 18.0) * column;
        let room = Rect::new(x, foot, x + width, body.y1);
        rest.extend(pieces::fill(&mut draft.page, group, room));
        column += 1.0;
    }
    let mut drafts = vec![draft];
    drafts.extend(frame::continued(job, TITLE, rest));
    drafts
}

/// A section with the room that it has with its heading.
type SectionInRoom = (Rect, Option<SectionDrawing>);

fn floor_room(job: &Job, results: &Results, room: Rect) -> SectionInRoom {
    (room, floor_view(job, results, below_heading(room)))
}

fn edge_room(job: &Job, results: &Results, room: Rect) -> SectionInRoom {
    (room, edge_view(job, results, below_heading(room)))
}

fn below_heading(room: Rect) -> SectionRoom {
    SectionRoom {
        room: Rect::new(room.x0, room.y0 + 26.0, room.x1, room.y1 - 6.0),
        size: NOTE_SIZE,
        fit: Fit::Sheet,
    }
}

/// A sheet with these sections; `None` when there are none.
fn view_sheet(job: &Job, views: &[(&str, SectionInRoom)]) -> Option<Draft> {
    let mut draft = Draft::new(job, "Heat sections");
    for (title, (room, view)) in views {
        let Some(SectionDrawing { marks, scale }) = view else { continue };
        let words = format!("{title}, {}", scale.label());
        let at = Spot::new(room.x0, room.y0);
        let (heading, _) =
            pieces::lines(&words, Face::Bold, NOTE_SIZE * 1.2, at, room.width() - 8.0);
        draft.page.add(Role::Heading, heading);
        let alt = format!("{words}: layers, tube and lines of one temperature");
        draft.page.add(Role::Figure { alt }, marks.clone());
    }
    (!draft.page.blocks.is_empty()).then_some(draft)
}

fn choice_pieces(job: &Job, results: &Results) -> [Vec<Piece>; 3] {
    let study = &results.parts.heat_study;
    let mut notes = Vec::new();
    if let Some(section) = &study.section {
        notes.push(Piece::Note(format!(
            "Lines every {} in the floor, every {} in the edge, by conduction; its fluxes are good \
             to {} %. Check the blade against the tube at every crossing.",
            difference(job, section.step_f),
            difference(job, study.edge.as_ref().map_or(0.0, |edge| edge.step_f)),
            show_number((section.error_share * 100.0).max(0.1), 1)
        )));
    }
    notes.push(Piece::Note(
        "Supply for the same heat upward, by conduction and by EN 1264 as a cross-check. Down: \
         share of the water's heat. Swing: warmest less coolest surface from tube to tube. Hours: \
         to nine tenths of the heat from cold, water held warm. Ground loss by ISO 13370 with the \
         slab's own temperature; other thicknesses cost in proportion to the job's board rate. An \
         aid, not a design."
            .to_owned(),
    ));
    [
        Piece::table(floor_table(job, &study.floors)).into_iter().collect(),
        Piece::table(foam_table(job, &results.parts.foam_costs)).into_iter().collect(),
        notes,
    ]
}

/// What a depth is called.
#[must_use]
pub fn depth_name(depth: TubeDepth) -> &'static str {
    match depth {
        TubeDepth::Bottom => "bottom",
        TubeDepth::Middle => "middle",
        TubeDepth::Top => "top",
        TubeDepth::Axis(_) => "as given",
    }
}

fn floor_table(job: &Job, floors: &[FloorChoice]) -> Table {
    let mut table = Table::new(
        "Depth and spacing (* this job)",
        vec![
            Column::words("Tube"),
            Column::numbers("Supply"),
            Column::numbers("EN 1264"),
            Column::numbers("Down"),
            Column::numbers("Swing"),
            Column::numbers("Hours"),
        ],
    );
    for floor in floors {
        let own = if floor.is_own { "*" } else { "" };
        let spacing = show_inches(Length::inches(floor.spacing_in), job.facts.display.rounding);
        table.row([
            format!("{} {spacing}{own}", depth_name(floor.depth)),
            degrees(job, floor.supply_f),
            degrees(job, floor.standard_supply_f),
            format!("{} %", show_number(floor.down_share * 100.0, 0)),
            difference(job, floor.ripple_f),
            show_number(floor.warm_up_h, 1),
        ]);
    }
    table
}

fn foam_table(job: &Job, foams: &[FoamChoice]) -> Table {
    let mut table = Table::new(
        "Foam under the floor (* this job)",
        vec![
            Column::words("Foam"),
            Column::numbers("R"),
            Column::numbers("Boards"),
            Column::numbers("Loss at design"),
            Column::numbers("Loss a year"),
            Column::numbers("Its cost"),
        ],
    );
    let system = job.facts.display.rounding.system();
    for foam in foams {
        let own = if foam.is_own { "*" } else { "" };
        let thick = show_inches(Length::inches(foam.thickness_in), job.facts.display.rounding);
        table.row([
            format!("{thick}{own}"),
            show_number(foam.r_value, 0),
            cost_or(foam.cost, "no rate"),
            show_heat(HeatFlow::btu_per_hour(foam.loss.iso_13370_btuh), system),
            season(foam.loss.season_btu, system),
            cost_or(foam.season_cost, "no price"),
        ]);
    }
    table
}

/// An amount of money, or why there is none.
#[must_use]
pub fn cost_or(cost: Option<Cents>, otherwise: &str) -> String {
    cost.map_or_else(|| otherwise.to_owned(), |cost| cost.to_string())
}

/// A year's heat: millions of Btu, or kWh; a dash where degree days are not known.
#[must_use]
pub fn season(btu: f64, system: UnitSystem) -> String {
    match system {
        _ if btu <= 0.0 => "no degree days".to_owned(),
        UnitSystem::Us => format!("{} MMBtu", show_number(btu / 1e6, 1)),
        UnitSystem::Metric => format!("{} kWh", show_number(btu / 3412.142, 0)),
    }
}
