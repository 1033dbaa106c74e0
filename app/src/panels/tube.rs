//! Tube: what is laid, what it must give, and circuit by circuit what comes of it.

use super::changed;
use crate::canvas::hit::Pick;
use crate::editor::requests::{Request, Requests};
use crate::editor::view_context::ViewContext;
use crate::widgets::{
    choice_field, length_field, note, number_field, quantity_row, section, toggle_field,
};
use egui::{RichText, Ui};
use slabloom_core::edit::{Edit, Item};
use slabloom_core::job::heating::{EdgeBand, TubePattern, TubeSize, Zone};
use slabloom_core::job::ids::ItemId;
use slabloom_core::units::quantity_text::{show_heat, show_temperature};
use slabloom_core::units::{HeatFlow, Length, Temperature, UnitSystem, show_number};

const SIZES: [(TubeSize, &str); 5] = [
    (TubeSize::ThreeEighths, "3/8\""),
    (TubeSize::Half, "1/2\""),
    (TubeSize::FiveEighths, "5/8\""),
    (TubeSize::ThreeQuarters, "3/4\""),
    (TubeSize::One, "1\""),
];

pub(super) fn tube_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let heating = &cx.job.heating;
    let given = toggle_field(ui, "The floor is heated", heating.is_heated);
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| copy.is_heated = value);
    if !heating.is_heated {
        note(ui, "No tube is laid in this floor.");
        return;
    }
    section(ui, "Zones", true, |ui| zones(cx, ui, ask));
    section(ui, "Tube", true, |ui| choices(cx, ui, ask));
    section(ui, "Circuits", true, |ui| circuits(cx, ui, ask));
    section(ui, "Heat", true, |ui| heat(cx, ui, ask));
}

fn zones(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    for (index, zone) in cx.job.heating.zones.iter().enumerate() {
        ui.push_id(("zone", index), |ui| {
            let id: ItemId = zone.id.into();
            let is_chosen = cx.selection.contains(&Pick::Item(id));
            let place = if zone.corners.is_empty() { " (the rest of the floor)" } else { "" };
            if ui.selectable_label(is_chosen, format!("{}{place}", zone.name)).clicked() {
                ask.push(Request::Select(vec![Pick::Item(id)]));
            }
            if let Some(spacing) = length_field(ui, "Spacing", zone.spacing, cx.display()) {
                let zone = slabloom_core::job::heating::Zone { spacing, ..zone.clone() };
                ask.edit(Edit::Put(Item::Zone(zone)));
            }
            edge_band(cx, ui, ask, zone);
            let patterns = [
                (TubePattern::Automatic, "Automatic"),
                (TubePattern::Counterflow, "Counterflow"),
                (TubePattern::Serpentine, "Serpentine"),
            ];
            if let Some(pattern) = choice_field(ui, "Pattern", zone.pattern, &patterns) {
                let zone = slabloom_core::job::heating::Zone { pattern, ..zone.clone() };
                ask.edit(Edit::Put(Item::Zone(zone)));
            }
        });
    }
}

/// Closer tube along outside walls: whether, how wide and how close.
fn edge_band(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, zone: &Zone) {
    let mut band = zone.edge_band;
    if let Some(is_wanted) = toggle_field(ui, "Closer along outside walls", band.is_some()) {
        band = is_wanted.then(|| EdgeBand {
            width: Length::feet(2.0),
            spacing: Length::inches(zone.spacing.to_inches() / 2.0),
        });
    }
    if let Some(own) = &mut band {
        if let Some(width) = length_field(ui, "Band width", own.width, cx.display()) {
            own.width = width;
        }
        if let Some(spacing) = length_field(ui, "Spacing in it", own.spacing, cx.display()) {
            own.spacing = spacing;
        }
    }
    if band != zone.edge_band {
        ask.edit(Edit::Put(Item::Zone(Zone { edge_band: band, ..zone.clone() })));
    }
}

fn choices(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let heating = &cx.job.heating;
    let tube = &heating.tube;
    let given = choice_field(ui, "Size", tube.size, &SIZES);
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| copy.tube.size = value);
    let given = length_field(ui, "From the edge", tube.edge_distance, cx.display());
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| copy.tube.edge_distance = value);
    let given = length_field(ui, "Leaders apart", tube.leader_spacing, cx.display());
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| {
        copy.tube.leader_spacing = value;
    });
    let barriers = [(None, "Not stated"), (Some(true), "Has one"), (Some(false), "Has none")];
    let given = choice_field(ui, "Oxygen barrier", tube.has_oxygen_barrier, &barriers);
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| {
        copy.tube.has_oxygen_barrier = value;
    });
    for manifold in &cx.job.heating.manifolds {
        let id: ItemId = manifold.id.into();
        let is_chosen = cx.selection.contains(&Pick::Item(id));
        if ui.selectable_label(is_chosen, format!("Manifold {}", manifold.name)).clicked() {
            ask.push(Request::Select(vec![Pick::Item(id)]));
            ask.push(Request::LookAt(manifold.at));
        }
    }
}

/// A length of tube as read off the coil.
pub(super) fn tube_length(inches: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => format!("{} ft", show_number(inches / 12.0, 0)),
        UnitSystem::Metric => format!("{} m", show_number(inches * 0.0254, 1)),
    }
}

fn circuits(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let parts = &cx.results.parts;
    if parts.tube.circuits.is_empty() {
        super::empty(ui, "No circuits yet. They need a slab, a zone and a manifold.");
    }
    let system = cx.system();
    for (index, circuit) in parts.tube.circuits.iter().enumerate() {
        let is_over = circuit.length > circuit.limit + 0.5;
        let is_chosen = cx.selection.contains(&Pick::Circuit(index));
        ui.horizontal(|ui| {
            if ui.selectable_label(is_chosen, &circuit.name).clicked() {
                ask.push(Request::Select(vec![Pick::Circuit(index)]));
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let share = if circuit.limit > 0.0 { circuit.length / circuit.limit } else { 0.0 };
                let mark = if is_over { "▲ over " } else { "" };
                let color = if is_over { cx.palette.stop } else { cx.palette.ink };
                let text = format!("{mark}{}", tube_length(circuit.length, system));
                ui.label(RichText::new(text).color(color));
                bar(cx, ui, share, is_over);
                if let Some(heat) = parts.heat.circuits.get(index) {
                    ui.label(
                        RichText::new(format!("{} gpm", show_number(heat.flow_gpm, 2))).weak(),
                    );
                }
            });
        });
    }
    for fault in &parts.tube.faults {
        use slabloom_core::tube::TubeFaultKind as K;
        let words = match fault.kind {
            K::NoManifold => "A zone has no manifold",
            K::ManifoldBlocked => "A manifold stands where no tube can start",
            K::OutOfReach => "A part of a zone cannot be reached",
            K::TooLong => "A circuit is over its limit",
            K::TooFar => "Floor lies too far from its manifold",
            K::Unbalanced => "Circuits differ by more than a tenth",
            K::TightBend => "The spacing is too close for this tube's bends",
            K::LaidWider => "A zone is laid wider than asked",
            K::PortsAside => "Leaders start beside their manifold",
            K::CutShort => "Not every way to lay a zone was tried",
        };
        if ui.link(format!("▲ {words}")).on_hover_text("Show the place").clicked() {
            ask.push(Request::LookAt(fault.at));
        }
    }
}

/// How much of its limit a circuit takes.
fn bar(cx: &ViewContext<'_>, ui: &mut Ui, share: f64, is_over: bool) {
    let (rect, _) = ui.allocate_exact_size(egui::vec2(54.0, 8.0), egui::Sense::hover());
    let painter = ui.painter();
    let color = if is_over { cx.palette.stop } else { cx.palette.accent };
    let filled =
        egui::Rect::from_min_size(rect.min, egui::vec2(54.0 * share.clamp(0.0, 1.0) as f32, 8.0));
    painter.rect_filled(filled, 2.0, color);
    let stroke = egui::Stroke::new(1.0, cx.palette.frame);
    painter.rect_stroke(rect, 2.0, stroke, egui::StrokeKind::Inside);
}

fn heat(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let heating = &cx.job.heating;
    let design = &heating.design;
    super::heat::load_by_area(cx, ui, ask);
    let given = number_field(ui, "Room air", design.indoor_f, "°F");
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| copy.design.indoor_f = value);
    let given = number_field(ui, "Outdoors at design", design.outdoor_f, "°F");
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| copy.design.outdoor_f = value);
    let given = number_field(ui, "Drop, supply to return", design.drop_f, "°F");
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| copy.design.drop_f = value);
    let heat = &cx.results.parts.heat;
    if heat.supply_f <= 0.0 {
        return;
    }
    let system = cx.system();
    let degrees = |f: f64| show_temperature(Temperature::fahrenheit(f), system);
    let rows = [
        ("Supply", degrees(heat.supply_f)),
        ("Return", degrees(heat.return_f)),
        ("Floor, mean", degrees(heat.surface_mean_f)),
        ("Floor, warmest", degrees(heat.surface_max_f)),
        ("Up into the rooms", show_heat(HeatFlow::btu_per_hour(heat.up_btuh), system)),
        ("Down and out", show_heat(HeatFlow::btu_per_hour(heat.down_btuh), system)),
        (
            "Pump",
            format!(
                "{} gpm at {} ft",
                show_number(heat.pump_gpm, 1),
                show_number(heat.pump_head_ft, 1)
            ),
        ),
    ];
    for (name, figure) in rows {
        quantity_row(ui, cx.palette, name, &figure, None);
    }
    note(ui, "An aid to layout. The heating design is the licensed designer's.");
}
