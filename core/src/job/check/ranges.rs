//! Every number of the slab itself within the range that a slab can have: outline, edges,
//! openings, thickenings and build-up.

use super::MOST_THINGS;
use super::range::Ranges;
use crate::job::Job;
use crate::job::build_up::{BuildUp, CourseDirection, Coverage, FloorSteel};
use crate::job::edges::{EdgeProfile, Edges, ThickenedEdge};
use crate::job::openings::{Footprint, Openings};
use crate::job::thickenings::{FallsTo, Thickenings};
use std::fmt::Arguments;

pub(super) fn check(job: &Job, ranges: &mut Ranges<'_>) {
    outline(job, ranges);
    edges(&job.edges, ranges);
    openings(&job.openings, ranges);
    thickenings(&job.thickenings, ranges);
    build_up(&job.build_up, ranges);
    foam_layers(&job.build_up, ranges);
    steel_and_forms(&job.build_up, ranges);
}

fn outline(job: &Job, ranges: &mut Ranges<'_>) {
    for (number, side) in job.outline.sides.iter().enumerate() {
        ranges.point(format_args!("outline.sides[{number}].start"), side.start);
        if let Some(through) = side.through {
            ranges.point(format_args!("outline.sides[{number}].through"), through);
        }
    }
    let facts = &job.facts;
    ranges.angle(format_args!("facts.display.north_degrees"), facts.display.north_degrees);
    for (name, text) in [
        ("title", &facts.title),
        ("number", &facts.number),
        ("place", &facts.place),
        ("customer", &facts.customer),
        ("drawn_by", &facts.drawn_by),
        ("date", &facts.date),
        ("notes", &facts.notes),
    ] {
        ranges.text(format_args!("facts.{name}"), text);
    }
}

fn thickened_edge(field: Arguments<'_>, edge: ThickenedEdge, ranges: &mut Ranges<'_>) {
    ranges.length(format_args!("{field}.total_depth"), edge.total_depth, 0.0, 240.0);
    ranges.length(format_args!("{field}.flat_width"), edge.flat_width, 0.0, 240.0);
    ranges.length(format_args!("{field}.haunch_run"), edge.haunch_run, 0.0, 240.0);
}

fn edge_profile(field: Arguments<'_>, profile: &EdgeProfile, ranges: &mut Ranges<'_>) {
    match profile {
        EdgeProfile::Plain | EdgeProfile::FrostWall => {}
        EdgeProfile::Thickened(edge) => thickened_edge(field, *edge, ranges),
        EdgeProfile::Threshold(threshold) => {
            ranges.length(format_args!("{field}.lowered_by"), threshold.lowered_by, 0.0, 24.0);
            ranges.length(format_args!("{field}.width"), threshold.width, 0.0, 240.0);
            let short = threshold.foam_stops_short;
            ranges.length(format_args!("{field}.foam_stops_short"), short, 0.0, 240.0);
            if let Some(edge) = threshold.thickened {
                thickened_edge(format_args!("{field}.thickened"), edge, ranges);
            }
        }
    }
}

fn edges(edges: &Edges, ranges: &mut Ranges<'_>) {
    edge_profile(format_args!("edges.usual"), &edges.usual, ranges);
    for (side, profile) in &edges.by_side {
        edge_profile(format_args!("edges.by_side[{}]", side.0), profile, ranges);
    }
    for (opening, profile) in &edges.by_opening {
        edge_profile(format_args!("edges.by_opening[{}]", opening.0), profile, ranges);
    }
    let foam = &edges.edge_foam;
    ranges.length(format_args!("edges.edge_foam.thickness"), foam.thickness, 0.0, 24.0);
    ranges.length(format_args!("edges.edge_foam.height"), foam.height, 0.0, 240.0);
    ranges.length(format_args!("edges.edge_foam.at_doors"), foam.at_doors, 0.0, 24.0);
    ranges.length(format_args!("edges.frost_depth"), edges.frost_depth, 0.0, 240.0);
    ranges.number(format_args!("edges.storeys"), f64::from(edges.storeys), 0.0, 10.0);
}

fn footprint(field: Arguments<'_>, shape: &Footprint, ranges: &mut Ranges<'_>) {
    match *shape {
        Footprint::Round { diameter } => {
            ranges.length(format_args!("{field}.diameter"), diameter, 0.125, 1200.0);
        }
        Footprint::Rectangle { length, width, turn_degrees } => {
            ranges.length(format_args!("{field}.length"), length, 0.125, 1200.0);
            ranges.length(format_args!("{field}.width"), width, 0.125, 1200.0);
            ranges.angle(format_args!("{field}.turn_degrees"), turn_degrees);
        }
    }
}

fn openings(openings: &Openings, ranges: &mut Ranges<'_>) {
    ranges.count(format_args!("openings.openings"), openings.openings.len(), MOST_THINGS);
    ranges.count(format_args!("openings.penetrations"), openings.penetrations.len(), MOST_THINGS);
    for (number, opening) in openings.openings.iter().enumerate() {
        ranges.text(format_args!("openings.openings[{number}].name"), &opening.name);
        for (corner_number, corner) in opening.corners.iter().enumerate() {
            let field = format_args!("openings.openings[{number}].corners[{corner_number}].at");
            ranges.point(field, corner.at);
            if let Some(through) = corner.through {
                ranges.point(
                    format_args!("openings.openings[{number}].corners[{corner_number}].through"),
                    through,
                );
            }
        }
    }
    for (number, penetration) in openings.penetrations.iter().enumerate() {
        let field = format_args!("openings.penetrations[{number}]");
        ranges.text(format_args!("{field}.name"), &penetration.name);
        ranges.point(format_args!("{field}.at"), penetration.at);
        footprint(format_args!("{field}.shape"), &penetration.shape, ranges);
        let clearance = penetration.tube_clearance;
        ranges.length(format_args!("{field}.tube_clearance"), clearance, 0.0, 240.0);
    }
}

fn thickenings(thickenings: &Thickenings, ranges: &mut Ranges<'_>) {
    ranges.count(format_args!("thickenings.strips"), thickenings.strips.len(), MOST_THINGS);
    ranges.count(format_args!("thickenings.pads"), thickenings.pads.len(), MOST_THINGS);
    ranges.count(format_args!("thickenings.recesses"), thickenings.recesses.len(), MOST_THINGS);
    ranges.count(format_args!("thickenings.slopes"), thickenings.slopes.len(), MOST_THINGS);
    for (number, strip) in thickenings.strips.iter().enumerate() {
        let field = format_args!("thickenings.strips[{number}]");
        ranges.points(format_args!("{field}.line"), &strip.line);
        ranges.length(format_args!("{field}.flat_width"), strip.flat_width, 0.0, 240.0);
        ranges.length(format_args!("{field}.total_depth"), strip.total_depth, 0.0, 240.0);
        ranges.length(format_args!("{field}.haunch_run"), strip.haunch_run, 0.0, 240.0);
    }
    for (number, pad) in thickenings.pads.iter().enumerate() {
        let field = format_args!("thickenings.pads[{number}]");
        ranges.point(format_args!("{field}.at"), pad.at);
        footprint(format_args!("{field}.shape"), &pad.shape, ranges);
        ranges.length(format_args!("{field}.total_depth"), pad.total_depth, 0.0, 240.0);
        ranges.length(format_args!("{field}.haunch_run"), pad.haunch_run, 0.0, 240.0);
    }
    for (number, recess) in thickenings.recesses.iter().enumerate() {
        let field = format_args!("thickenings.recesses[{number}]");
        ranges.points(format_args!("{field}.corners"), &recess.corners);
        ranges.length(format_args!("{field}.lowered_by"), recess.lowered_by, 0.0, 240.0);
        ranges.length(format_args!("{field}.side_run"), recess.side_run, 0.0, 240.0);
    }
    for (number, slope) in thickenings.slopes.iter().enumerate() {
        let field = format_args!("thickenings.slopes[{number}]");
        ranges.points(format_args!("{field}.corners"), &slope.corners);
        ranges.length(format_args!("{field}.fall_per_foot"), slope.fall_per_foot, 0.0, 12.0);
        match slope.falls_to {
            FallsTo::Line { from, to } => {
                ranges.point(format_args!("{field}.falls_to.from"), from);
                ranges.point(format_args!("{field}.falls_to.to"), to);
            }
            FallsTo::Drain { at } => ranges.point(format_args!("{field}.falls_to.at"), at),
        }
    }
}

fn foam_layers(build_up: &BuildUp, ranges: &mut Ranges<'_>) {
    ranges.count(format_args!("build_up.foam_layers"), build_up.foam_layers.len(), 10);
    for (number, layer) in build_up.foam_layers.iter().enumerate() {
        let field = format_args!("build_up.foam_layers[{number}]");
        ranges.length(format_args!("{field}.thickness"), layer.thickness, 0.25, 24.0);
        ranges.length(format_args!("{field}.board_width"), layer.board_width, 6.0, 480.0);
        ranges.length(format_args!("{field}.board_length"), layer.board_length, 6.0, 480.0);
        if let CourseDirection::Degrees(degrees) = layer.direction {
            ranges.angle(format_args!("{field}.direction"), degrees);
        }
        if let Some(start) = layer.start_corner {
            ranges.point(format_args!("{field}.start_corner"), start);
        }
        ranges.count(format_args!("{field}.locked"), layer.locked.len(), 1000);
        for piece in &layer.locked {
            ranges.point(format_args!("{field}.locked.from"), piece.from);
            ranges.point(format_args!("{field}.locked.to"), piece.to);
        }
        match &layer.coverage {
            Coverage::Full => {}
            Coverage::Perimeter(width) => {
                ranges.length(format_args!("{field}.coverage"), *width, 1.0, 1200.0);
            }
            Coverage::Zones(zones) => {
                ranges.count(format_args!("{field}.coverage"), zones.len(), 200);
                for zone in zones {
                    ranges.points(format_args!("{field}.coverage"), zone);
                }
            }
        }
    }
}

fn build_up(build_up: &BuildUp, ranges: &mut Ranges<'_>) {
    let floor = build_up.floor_thickness;
    ranges.length(format_args!("build_up.floor_thickness"), floor, 1.0, 60.0);
    let cutting = &build_up.foam_cutting;
    ranges.length(format_args!("build_up.foam_cutting.kerf"), cutting.kerf, 0.0, 1.0);
    let stagger = cutting.least_stagger;
    ranges.length(format_args!("build_up.foam_cutting.least_stagger"), stagger, 0.0, 240.0);
    let piece = cutting.least_piece;
    ranges.length(format_args!("build_up.foam_cutting.least_piece"), piece, 0.0, 48.0);
    let bundle = f64::from(cutting.boards_in_bundle);
    ranges.number(format_args!("build_up.foam_cutting.boards_in_bundle"), bundle, 0.0, 1000.0);
    ranges.length(
        format_args!("build_up.foam_cutting.tape_roll"),
        cutting.tape_roll,
        12.0,
        120_000.0,
    );
    if let Some(code) = &build_up.insulation_code {
        let field = "build_up.insulation_code";
        ranges.number(format_args!("{field}.edge_r"), code.edge_r, 0.0, 100.0);
        ranges.number(format_args!("{field}.under_r"), code.under_r, 0.0, 100.0);
        ranges.length(format_args!("{field}.edge_depth"), code.edge_depth, 0.0, 240.0);
    }
    let stone = &build_up.stone;
    ranges.length(format_args!("build_up.stone.thickness"), stone.thickness, 0.0, 120.0);
    ranges.number(
        format_args!("build_up.stone.compaction_factor"),
        stone.compaction_factor,
        0.5,
        3.0,
    );
    ranges.number(format_args!("build_up.stone.tons_per_yard"), stone.tons_per_yard, 0.0, 10.0);
    ranges.length(format_args!("build_up.stone.beyond_form"), stone.beyond_form, 0.0, 240.0);
    let membrane = &build_up.membrane;
    ranges.number(format_args!("build_up.membrane.mils"), membrane.mils, 0.0, 100.0);
    ranges.length(format_args!("build_up.membrane.roll_width"), membrane.roll_width, 12.0, 1200.0);
    ranges.length(
        format_args!("build_up.membrane.roll_length"),
        membrane.roll_length,
        12.0,
        120_000.0,
    );
    ranges.length(format_args!("build_up.membrane.lap"), membrane.lap, 0.0, 48.0);
    ranges.length(format_args!("build_up.membrane.turn_up"), membrane.turn_up, 0.0, 96.0);
    ranges.number(format_args!("build_up.membrane.waste"), membrane.waste, 0.0, 1.0);
}

fn steel_and_forms(build_up: &BuildUp, ranges: &mut Ranges<'_>) {
    let steel = &build_up.steel;
    for (name, count) in [
        ("edge_bars", steel.edge_bars),
        ("strip_bars", steel.strip_bars),
        ("pad_bars", steel.pad_bars),
        ("inside_corner_bars", steel.inside_corner_bars),
    ] {
        ranges.number(format_args!("build_up.steel.{name}"), f64::from(count), 0.0, 100.0);
    }
    let size = f64::from(steel.edge_bar_size);
    ranges.number(format_args!("build_up.steel.edge_bar_size"), size, 2.0, 18.0);
    ranges.number(format_args!("build_up.steel.lap_diameters"), steel.lap_diameters, 0.0, 200.0);
    ranges.length(format_args!("build_up.steel.stock_bar"), steel.stock_bar, 24.0, 1200.0);
    ranges.length(format_args!("build_up.steel.cover"), steel.cover, 0.0, 24.0);
    ranges.length_or_none(
        format_args!("build_up.steel.chair_spacing"),
        steel.chair_spacing,
        6.0,
        240.0,
    );
    ranges.number(
        format_args!("build_up.steel.fibre_lb_per_yd3"),
        steel.fibre_lb_per_yd3,
        0.0,
        200.0,
    );
    match steel.floor {
        FloorSteel::None => {}
        FloorSteel::MeshSheets { wire, width, length, lap }
        | FloorSteel::MeshRolls { wire, width, length, lap } => {
            ranges.number(format_args!("build_up.steel.floor.wire"), wire, 0.1, 50.0);
            ranges.length(format_args!("build_up.steel.floor.width"), width, 12.0, 1200.0);
            ranges.length(format_args!("build_up.steel.floor.length"), length, 12.0, 12_000.0);
            let most_lap = (width.to_inches().min(length.to_inches()) / 2.0).max(0.0);
            ranges.length(format_args!("build_up.steel.floor.lap"), lap, 0.0, most_lap);
        }
        FloorSteel::Bars { size, spacing } => {
            ranges.number(format_args!("build_up.steel.floor.size"), f64::from(size), 2.0, 18.0);
            ranges.length(format_args!("build_up.steel.floor.spacing"), spacing, 2.0, 120.0);
        }
    }
    let forms = &build_up.forms;
    ranges.count(format_args!("build_up.forms.stock_lengths"), forms.stock_lengths.len(), 50);
    for (number, &stock) in forms.stock_lengths.iter().enumerate() {
        ranges.length(format_args!("build_up.forms.stock_lengths[{number}]"), stock, 12.0, 1200.0);
    }
    ranges.length(format_args!("build_up.forms.stake_spacing"), forms.stake_spacing, 6.0, 240.0);
    let kicker = forms.kicker_spacing;
    ranges.length_or_none(format_args!("build_up.forms.kicker_spacing"), kicker, 6.0, 480.0);
    ranges.number(format_args!("build_up.floor_covering_r"), build_up.floor_covering_r, 0.0, 20.0);
    ranges.number(format_args!("build_up.floor_load_psf"), build_up.floor_load_psf, 0.0, 1e4);
    ranges.number(format_args!("build_up.wheel_load_lb"), build_up.wheel_load_lb, 0.0, 1e6);
    ranges.number(format_args!("build_up.edge_load_plf"), build_up.edge_load_plf, 0.0, 1e6);
}
