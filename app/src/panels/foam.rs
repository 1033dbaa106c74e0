//! Foam: the layers, how boards are cut, and what it takes.

use super::{changed, highlight};
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{choice_field, length_field, note, quantity_row, section, toggle_field};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::foam::PieceKind;
use slabloom_core::job::build_up::{CourseDirection, Coverage, FoamLayer, FoamType};
use slabloom_core::units::{Length, show_length, show_number};

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
    section(ui, "Cutting", false, |ui| cutting(cx, ui, ask));
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
    if let Some(coverage) = coverage_ui(cx, ui, &layer.coverage) {
        copy.coverage = coverage;
        is_changed = true;
    }
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
    Zones,
}

/// The coverage asked for, when it was changed.
fn coverage_ui(cx: &ViewContext<'_>, ui: &mut Ui, coverage: &Coverage) -> Option<Coverage> {
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
        Coverage::Zones(_) => Covers::Zones,
    };
    let mut choices = vec![(Covers::Floor, "All the floor"), (Covers::Band, "Outside band")];
    if !heated.is_empty() || now == Covers::Zones {
        choices.push((Covers::Zones, "Heating zones"));
    }
    let picked = choice_field(ui, "Covers", now, &choices).map(|picked| match picked {
        Covers::Floor => Coverage::Full,
        Covers::Band => Coverage::Perimeter(USUAL_BAND),
        Covers::Zones => Coverage::Zones(heated),
    });
    match coverage {
        Coverage::Perimeter(width) => {
            let given = length_field(ui, "Width of the band", *width, cx.display());
            picked.or(given.map(Coverage::Perimeter))
        }
        Coverage::Full | Coverage::Zones(_) => picked,
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
    let edge = &cx.results.parts.foam.edge;
    let rounding = cx.display().rounding;
    let strip = show_length(Length::inches(edge.strip_length), rounding);
    quantity_row(ui, cx.palette, "Strips in all", &strip, None);
    quantity_row(ui, cx.palette, "Boards beyond offcuts", &edge.boards.to_string(), None);
    note(ui, "Thickness and place of edge foam are set under Forms.");
}
