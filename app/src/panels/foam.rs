//! Foam: the layers, how boards are cut, and what it takes.

use super::foam_checks::{code_ui, loads_ui};
use super::{changed, highlight};
use crate::canvas::tools::ToolKind;
use crate::editor::actions::Action;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{
    choice_field, length_field, note, number_field, quantity_row, section, toggle_field,
};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::foam::{PieceKind, by_hand};
use slabloom_core::geometry::polygon::signed_area;
use slabloom_core::job::build_up::{CourseDirection, Coverage, FoamLayer, FoamType};
use slabloom_core::units::quantity_text::show_area;
use slabloom_core::units::{Area, Length, show_length, show_number};

const TYPES: [(FoamType, &str); 13] = [
    (FoamType::I, "Type I"),
    (FoamType::II, "Type II"),
    (FoamType::IV, "Type IV"),
    (FoamType::V, "Type V"),
    (FoamType::VI, "Type VI"),
    (FoamType::VII, "Type VII"),
    (FoamType::VIII, "Type VIII"),
    (FoamType::IX, "Type IX"),
    (FoamType::X, "Type X"),
    (FoamType::XI, "Type XI"),
    (FoamType::XII, "Type XII"),
    (FoamType::XIV, "Type XIV"),
    (FoamType::XV, "Type XV"),
];

/// The band that a layer covers when a person first asks for one: as deep as energy codes that ask
/// for a band mostly want it (the rows of `facts::foam` say 24 or 48 in).
const USUAL_BAND: Length = Length::inches(48.0);

pub(super) fn foam_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let build_up = &cx.job.build_up;
    for (index, layer) in build_up.foam_layers.iter().enumerate() {
        let name = if index == 0 { "Top layer".to_owned() } else { format!("Layer {}", index + 1) };
        ui.push_id(("layer", index), |ui| {
            section(ui, &name, true, |ui| layer_ui(cx, ui, ask, index, layer));
        });
    }
    if ui.button("Add a layer").clicked() {
        let mut copy = (**build_up).clone();
        copy.foam_layers.push(FoamLayer::default());
        ask.edit(Edit::SetBuildUp(copy));
    }
    section(ui, "Cutting and buying", false, |ui| cutting(cx, ui, ask));
    section(ui, "Loads", false, |ui| loads_ui(cx, ui, ask));
    section(ui, "Energy code", false, |ui| code_ui(cx, ui, ask));
    section(ui, "Pieces", true, |ui| pieces(cx, ui, ask));
    section(ui, "Edge foam", true, |ui| edge(cx, ui));
}

fn layer_ui(
    cx: &ViewContext<'_>,
    ui: &mut Ui,
    ask: &mut Requests,
    index: usize,
    layer: &FoamLayer,
) {
    let display = cx.display();
    let mut copy = layer.clone();
    let mut is_changed = false;
    let mut set = |given: Option<Length>, place: &mut Length| {
        if let Some(value) = given {
            *place = value;
            is_changed = true;
        }
    };
    set(length_field(ui, "Thickness", layer.thickness, display), &mut copy.thickness);
    set(length_field(ui, "Board width", layer.board_width, display), &mut copy.board_width);
    set(length_field(ui, "Board length", layer.board_length, display), &mut copy.board_length);
    if let Some(kind) = choice_field(ui, "Board (ASTM C578)", layer.foam_type, &TYPES) {
        copy.foam_type = kind;
        is_changed = true;
    }
    let directions = [
        (CourseDirection::Automatic, "Fewest boards"),
        (CourseDirection::Degrees(0.0), "East"),
        (CourseDirection::Degrees(90.0), "North"),
    ];
    if let Some(direction) = choice_field(ui, "Courses run", layer.direction, &directions) {
        copy.direction = direction;
        is_changed = true;
    }
    if let Some(coverage) = coverage_ui(cx, ui, ask, index) {
        copy.coverage = coverage;
        is_changed = true;
    }
    zones_ui(cx, ui, ask, index);
    if let Some(is_on) = toggle_field(ui, "Under thickened edges too", layer.goes_under_edges) {
        copy.goes_under_edges = is_on;
        is_changed = true;
    }
    if is_changed {
        let mut build_up = (*cx.job.build_up).clone();
        if let Some(place) = build_up.foam_layers.get_mut(index) {
            *place = copy;
        }
        ask.edit(Edit::SetBuildUp(build_up));
    }
    if ui.button("Remove this layer").clicked() {
        let mut build_up = (*cx.job.build_up).clone();
        build_up.foam_layers.remove(index);
        ask.edit(Edit::SetBuildUp(build_up));
    }
}

/// How much of the floor a layer may cover, as the list names it.
#[derive(Clone, Copy, PartialEq)]
enum Covers {
    Floor,
    Band,
    HeatingZones,
    Zones,
}

/// The coverage asked for, when it was changed; zones of the top layer are drawn with their tool.
fn coverage_ui(
    cx: &ViewContext<'_>,
    ui: &mut Ui,
    ask: &mut Requests,
    index: usize,
) -> Option<Coverage> {
    let layers = &cx.job.build_up.foam_layers;
    let coverage = &layers.get(index)?.coverage;
    let above = layers.first().filter(|_| index > 0).map(|layer| &layer.coverage);
    let above = above.filter(|coverage| matches!(coverage, Coverage::Zones(_)));
    let heated: Vec<_> = cx
        .job
        .heating
        .zones
        .iter()
        .map(|zone| zone.corners.clone())
        .filter(|corners| !corners.is_empty())
        .collect();
    let now = match coverage {
        Coverage::Full => Covers::Floor,
        Coverage::Perimeter(_) => Covers::Band,
        Coverage::Zones(zones) if !heated.is_empty() && *zones == heated => Covers::HeatingZones,
        Coverage::Zones(_) => Covers::Zones,
    };
    let mut choices = vec![(Covers::Floor, "All the floor"), (Covers::Band, "Outside band")];
    if !heated.is_empty() {
        choices.push((Covers::HeatingZones, "Heating zones"));
    }
    match index {
        0 => choices.push((Covers::Zones, "Zones drawn")),
        _ if above.is_some() || now == Covers::Zones => {
            choices.push((Covers::Zones, "Top layer's zones"));
        }
        _ => {}
    }
    let picked = choice_field(ui, "Covers", now, &choices).and_then(|picked| match picked {
        Covers::Floor => Some(Coverage::Full),
        Covers::Band => Some(Coverage::Perimeter(USUAL_BAND)),
        Covers::HeatingZones => Some(Coverage::Zones(heated)),
        Covers::Zones if index > 0 => above.cloned(),
        Covers::Zones => {
            // The first one drawn makes the change.
            ask.act(Action::Tool(ToolKind::FoamZone));
            None
        }
    });
    match coverage {
        Coverage::Perimeter(width) => {
            let given = length_field(ui, "Width of the band", *width, cx.display());
            picked.or(given.map(Coverage::Perimeter))
        }
        Coverage::Full | Coverage::Zones(_) => picked,
    }
}

/// The zones of a layer, each to be seen on the plan and taken off.
fn zones_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, index: usize) {
    let build_up = &cx.job.build_up;
    let Some(Coverage::Zones(zones)) = build_up.foam_layers.get(index).map(|layer| &layer.coverage)
    else {
        return;
    };
    for (place, zone) in zones.iter().enumerate() {
        ui.horizontal(|ui| {
            let area = Area::square_inches(signed_area(zone).abs());
            let name =
                format!("Zone {}: {}", place + 1, show_area(area, cx.display().rounding.system()));
            let response = ui.link(name).on_hover_text("Show it on the plan");
            if response.clicked() || response.hovered() {
                highlight(ask, std::slice::from_ref(zone));
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if ui.small_button(format!("Remove zone {}", place + 1)).clicked() {
                    let without = by_hand::without_zone(build_up, index, place);
                    ask.edit(Edit::SetBuildUp(without));
                }
            });
        });
    }
    if index == 0 && ui.button("Draw another zone").clicked() {
        ask.act(Action::Tool(ToolKind::FoamZone));
    }
}

fn cutting(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let build_up = &cx.job.build_up;
    let cutting = build_up.foam_cutting;
    let given = length_field(ui, "Saw cut (kerf)", cutting.kerf, cx.display());
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy.foam_cutting.kerf = v);
    let given = length_field(ui, "Least stagger", cutting.least_stagger, cx.display());
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy.foam_cutting.least_stagger = v);
    let given = length_field(ui, "Least piece", cutting.least_piece, cx.display());
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy.foam_cutting.least_piece = v);
    let given = number_field(ui, "Boards in a bundle", f64::from(cutting.boards_in_bundle), "");
    let given = given.filter(|count| (0.0..=10_000.0).contains(count));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked above")]
    let given = given.map(|count| count.round() as u32);
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy
        .foam_cutting
        .boards_in_bundle = v);
    let given = length_field(ui, "Roll of seam tape", cutting.tape_roll, cx.display());
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy.foam_cutting.tape_roll = v);
}

fn pieces(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let foam = &cx.results.parts.foam;
    if foam.layers.is_empty() {
        super::empty(ui, "No boards laid yet.");
        return;
    }
    for layer in &foam.layers {
        let count =
            |kind: PieceKind| layer.pieces.iter().filter(|piece| piece.kind == kind).count();
        quantity_row(ui, cx.palette, "Boards to buy", &layer.boards.to_string(), None);
        if layer.bundles > 0 {
            quantity_row(ui, cx.palette, "Bundles", &layer.bundles.to_string(), None);
        }
        quantity_row(ui, cx.palette, "Least possible", &layer.bound.to_string(), None);
        for (name, kind) in [
            ("Whole (plain)", PieceKind::Whole),
            ("Cut (hatched)", PieceKind::Cut),
            ("From offcuts (crossed)", PieceKind::Offcut),
        ] {
            ui.horizontal(|ui| {
                let response = ui.link(name).on_hover_text("Show these on the plan");
                if response.clicked() || response.hovered() {
                    let places: Vec<_> = layer
                        .pieces
                        .iter()
                        .filter(|piece| piece.kind == kind)
                        .map(|piece| piece.outline.clone())
                        .collect();
                    highlight(ask, &places);
                }
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    ui.label(count(kind).to_string());
                });
            });
        }
        let rounding = cx.display().rounding;
        let tape = show_length(Length::inches(layer.seam), rounding);
        quantity_row(ui, cx.palette, "Seams to tape", &tape, None);
        let r_value = format!("R-{}", show_number(layer.r_value, 1));
        quantity_row(ui, cx.palette, "Insulation", &r_value, None);
        if !layer.close_seams.is_empty() {
            let text = format!("{} seams stand closer than asked", layer.close_seams.len());
            note(ui, text);
        }
    }
}

fn edge(cx: &ViewContext<'_>, ui: &mut Ui) {
    let foam = &cx.results.parts.foam;
    let rounding = cx.display().rounding;
    let mut row = |name: &str, inches: f64| {
        let strip = show_length(Length::inches(inches), rounding);
        quantity_row(ui, cx.palette, name, &strip, None);
    };
    row("Strips in all", foam.edge.strip_length);
    if foam.edge_at_doors.strip_length > 0.0 {
        row("Thinner at doors", foam.edge_at_doors.strip_length);
    }
    let boards: u32 = foam.standing().iter().map(|edge| edge.boards).sum();
    quantity_row(ui, cx.palette, "Boards beyond offcuts", &boards.to_string(), None);
    note(ui, "Thickness and place of edge foam are set under Forms.");
}
