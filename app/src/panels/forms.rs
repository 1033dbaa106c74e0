//! Forms: the slab's size, its thickness, edges, ground, forms and steel.

use super::changed;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{
    choice_field, length_field, note, number_field, quantity_row, section, text_field, toggle_field,
};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::job::build_up::FloorSteel;
use slabloom_core::job::edges::{EdgeFoam, EdgeFoamPlace, EdgeProfile, ThickenedEdge};
use slabloom_core::units::quantity_text::{show_area, show_volume};
use slabloom_core::units::{Area, Length, Volume, show_length};

pub(super) fn forms_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    section(ui, "Job", cx.job.facts.title.is_empty(), |ui| job(cx, ui, ask));
    let is_traced = cx.job.underlay.picture.is_some();
    // A picture that was just laid opens its part, folded though it was before.
    ui.push_id(("plan picture", is_traced), |ui| {
        section(ui, "Plan picture", is_traced || cx.plan.is_empty(), |ui| {
            super::plan_picture::plan_picture_ui(cx, ui, ask);
        });
    });
    section(ui, "Slab", true, |ui| slab(cx, ui, ask));
    section(ui, "Edge", true, |ui| edge(cx, ui, ask));
    section(ui, "Steel", false, |ui| steel(cx, ui, ask));
    section(ui, "Stone and membrane", false, |ui| base(cx, ui, ask));
    section(ui, "Form boards", false, |ui| boards(cx, ui));
    section(ui, "Ground", false, |ui| super::ground::ground_ui(cx, ui, ask));
}

fn job(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let facts = &cx.job.facts;
    let words = |text: &str| Ok::<String, String>(text.to_owned());
    let given = text_field(ui, "Name", &facts.title, words);
    changed!(ask, Edit::SetFacts, facts, given, |facts, title| facts.title = title);
    let given = text_field(ui, "Place", &facts.place, words);
    changed!(ask, Edit::SetFacts, facts, given, |facts, place| facts.place = place);
    let given = text_field(ui, "Customer", &facts.customer, words);
    changed!(ask, Edit::SetFacts, facts, given, |facts, customer| facts.customer = customer);
    let given = text_field(ui, "Date (YYYY-MM-DD)", &facts.date, words);
    changed!(ask, Edit::SetFacts, facts, given, |facts, date| facts.date = date);
}

fn slab(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let (plan, volumes) = (cx.plan, &cx.results.parts.concrete.volumes);
    let system = cx.system();
    let area = show_area(Area::square_inches(plan.area), system);
    quantity_row(ui, cx.palette, "Area", &area, None);
    let perimeter = show_length(Length::inches(plan.perimeter), cx.display().rounding);
    quantity_row(ui, cx.palette, "Perimeter", &perimeter, None);
    let parts = [
        ("Floor", volumes.floor),
        ("Thickened edges", volumes.edges),
        ("Strips", volumes.strips),
        ("Pads", volumes.pads),
        ("Recesses", volumes.recesses),
        ("Slopes", volumes.slopes),
        ("Displaced by foam and columns", volumes.displaced),
    ];
    for (name, volume) in parts.into_iter().filter(|(_, volume)| volume.abs() > 1.0) {
        quantity_row(
            ui,
            cx.palette,
            name,
            &show_volume(Volume::cubic_inches(volume), system),
            None,
        );
    }
    let build_up = &cx.job.build_up;
    let given = length_field(ui, "Floor thickness", build_up.floor_thickness, cx.display());
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, value| copy.floor_thickness = value);
}

fn edge(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let edges = &cx.job.edges;
    let choices = [(true, "Thickened"), (false, "Plain")];
    let is_thickened = edges.usual.thickened().is_some();
    match choice_field(ui, "Edge of every side", is_thickened, &choices) {
        Some(true) => ask.edit(Edit::SetUsualEdge(EdgeProfile::default())),
        Some(false) => ask.edit(Edit::SetUsualEdge(EdgeProfile::Plain)),
        None => {}
    }
    if let EdgeProfile::Thickened(edge) = edges.usual
        && let Some(edge) = thickened_edge(cx, ui, edge)
    {
        ask.edit(Edit::SetUsualEdge(EdgeProfile::Thickened(edge)));
    }
    let own = edges.by_side.len();
    match own {
        0 => {}
        1 => drop(note(ui, "One side has an edge of its own: click it to see.")),
        _ => drop(note(ui, format!("{own} sides have edges of their own: click one to see."))),
    }
    let foam = edges.edge_foam;
    if let Some(thickness) = length_field(ui, "Edge foam", foam.thickness, cx.display()) {
        ask.edit(Edit::SetEdgeFoam(EdgeFoam { thickness, ..foam }));
    }
    let has_door = (edges.by_side.values().chain([&edges.usual]))
        .any(|profile| matches!(profile, EdgeProfile::Threshold(_)));
    if has_door && foam.thickness.to_inches() > 0.0 {
        let given = length_field(ui, "Edge foam at doors", foam.at_doors, cx.display());
        if let Some(at_doors) = given {
            ask.edit(Edit::SetEdgeFoam(EdgeFoam { at_doors, ..foam }));
        }
        if foam.at_doors == Length::ZERO {
            note(ui, "0 leaves doors without edge foam.");
        }
    }
    let places =
        [(EdgeFoamPlace::InsideForm, "Inside form"), (EdgeFoamPlace::OutsideForm, "Outside form")];
    if let Some(place) = choice_field(ui, "Edge foam stands", foam.place, &places) {
        ask.edit(Edit::SetEdgeFoam(EdgeFoam { place, ..foam }));
    }
    let given = length_field(ui, "Depth of frost", edges.frost_depth, cx.display());
    changed!(ask, Edit::SetEdges, edges, given, |copy, value| copy.frost_depth = value);
    let given = toggle_field(ui, "Protected from frost otherwise", edges.is_frost_protected);
    changed!(ask, Edit::SetEdges, edges, given, |copy, value| copy.is_frost_protected = value);
}

/// The three lengths of a thickened edge; the changed edge when one was typed.
pub(super) fn thickened_edge(
    cx: &ViewContext<'_>,
    ui: &mut Ui,
    edge: ThickenedEdge,
) -> Option<ThickenedEdge> {
    let depth = length_field(ui, "Total depth", edge.total_depth, cx.display());
    let flat = length_field(ui, "Flat width", edge.flat_width, cx.display());
    let haunch = length_field(ui, "Slope run", edge.haunch_run, cx.display());
    depth
        .map(|total_depth| ThickenedEdge { total_depth, ..edge })
        .or_else(|| flat.map(|flat_width| ThickenedEdge { flat_width, ..edge }))
        .or_else(|| haunch.map(|haunch_run| ThickenedEdge { haunch_run, ..edge }))
}

fn steel(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let build_up = &cx.job.build_up;
    let choices = [(0, "None"), (1, "Mesh sheets"), (2, "Mesh rolls"), (3, "Bars")];
    let kind = match build_up.steel.floor {
        FloorSteel::None => 0,
        FloorSteel::MeshSheets { .. } => 1,
        FloorSteel::MeshRolls { .. } => 2,
        FloorSteel::Bars { .. } => 3,
    };
    let given = choice_field(ui, "In the floor", kind, &choices);
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, kind| {
        copy.steel.floor = match kind {
            0 => FloorSteel::None,
            1 => FloorSteel::default(),
            2 => FloorSteel::MeshRolls {
                wire: 1.4,
                width: Length::feet(5.0),
                length: Length::feet(150.0),
                lap: Length::inches(8.0),
            },
            _ => FloorSteel::Bars { size: 4, spacing: Length::inches(18.0) },
        };
    });
    let given = number_field(ui, "Bars in the edge", f64::from(build_up.steel.edge_bars), "");
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, value| {
        copy.steel.edge_bars = value.clamp(0.0, 12.0) as u32;
    });
    let given = number_field(ui, "Fibre", build_up.steel.fibre_lb_per_yd3, "lb/yd³");
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, value| {
        copy.steel.fibre_lb_per_yd3 = value.max(0.0);
    });
    let steel = &cx.results.parts.concrete.steel;
    if steel.mesh_count > 0 {
        quantity_row(ui, cx.palette, &steel.mesh_name, &steel.mesh_count.to_string(), None);
    }
    for bars in &steel.bars {
        let name = format!("#{} bars to buy", bars.size);
        quantity_row(ui, cx.palette, &name, &bars.stock_bars.to_string(), None);
    }
}

fn base(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let build_up = &cx.job.build_up;
    let given = length_field(ui, "Compacted stone", build_up.stone.thickness, cx.display());
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, value| copy.stone.thickness = value);
    let given = toggle_field(ui, "Membrane under the slab", build_up.membrane.is_laid);
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, value| copy.membrane.is_laid = value);
    let base = &cx.results.parts.concrete.base;
    let number = slabloom_core::units::show_number;
    if base.stone_tons > 0.0 {
        let tons = format!("{} tons", number(base.stone_tons, 1));
        quantity_row(ui, cx.palette, "Stone to buy", &tons, None);
    }
    if base.membrane_rolls > 0 {
        let rolls = base.membrane_rolls.to_string();
        quantity_row(ui, cx.palette, "Membrane rolls", &rolls, None);
    }
}

fn boards(cx: &ViewContext<'_>, ui: &mut Ui) {
    let forms = &cx.results.parts.concrete.forms;
    if forms.sides.is_empty() {
        super::empty(ui, "Form boards are counted as soon as there is a slab.");
        return;
    }
    let rounding = cx.display().rounding;
    for (length, count) in &forms.stock {
        let name = format!("Boards {}", show_length(Length::inches(*length), rounding));
        quantity_row(ui, cx.palette, &name, &count.to_string(), None);
    }
    quantity_row(ui, cx.palette, "Stakes", &forms.stakes.to_string(), None);
    quantity_row(ui, cx.palette, "Kickers", &forms.kickers.to_string(), None);
    for diagonal in forms.diagonals.iter().take(6) {
        let name = format!("Diagonal: {}", diagonal.of);
        let length = show_length(Length::inches(diagonal.length), rounding);
        quantity_row(ui, cx.palette, &name, &length, None);
    }
}
