//! What is chosen, with every figure of it to read and to type over.

use super::forms::thickened_edge;
use crate::canvas::hit::Pick;
use crate::editor::actions::Action;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{
    choice_field, length_field, note, number_field, quantity_row, text_field, toggle_field,
};
use egui::{RichText, Ui};
use slabloom_core::edit::{Edit, Item, OutlineEdit, Pinning, SideEnd};
use slabloom_core::foam::PieceKind;
use slabloom_core::geometry::Point;
use slabloom_core::job::edges::{EdgeProfile, ThickenedEdge, Threshold};
use slabloom_core::job::heating::{KeepOutReason, Manifold, PinnedCircuit};
use slabloom_core::job::ids::{ItemId, RimId, SideId};
use slabloom_core::job::joints::{DrawnJoint, DrawnKind};
use slabloom_core::job::openings::{Footprint, Penetration, PenetrationKind};
use slabloom_core::job::subgrade::Shot;
use slabloom_core::job::thickenings::{Pad, ThickenedStrip};
use slabloom_core::tube::Circuit;
use slabloom_core::units::{Length, show_length, show_number};

/// The properties of what is chosen.
pub fn properties_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    match cx.selection {
        [] => {}
        [pick] => one(cx, ui, ask, *pick),
        several => {
            heading(ui, &format!("{} things chosen", several.len()));
            if ui.button("Delete them").clicked() {
                ask.act(Action::Delete);
            }
        }
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(crate::editor::theme::bold_font(14.0)));
}

fn one(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, pick: Pick) {
    ui.push_id(pick_salt(pick), |ui| match pick {
        Pick::Corner(id) => corner(cx, ui, ask, id),
        Pick::Item(id) => item(cx, ui, ask, id),
        Pick::ItemCorner(id, _) => item(cx, ui, ask, id),
        Pick::Circuit(index) => circuit(cx, ui, ask, index),
        Pick::FoundJoint(index) => found_joint(cx, ui, ask, index),
        Pick::SlabPanel(index) => slab_panel(cx, ui, index),
        Pick::BoardPiece(layer, index) => board_piece(cx, ui, layer, index),
    });
}

fn pick_salt(pick: Pick) -> String {
    format!("{pick:?}")
}

/// East and north of the plan's own zero, as two fields; the new place when one was typed.
pub(super) fn place(cx: &ViewContext<'_>, ui: &mut Ui, at: Point) -> Option<Point> {
    let display = cx.display();
    let field = |ui: &mut Ui, label: &str, value: f64| {
        let shown = show_length(Length::inches(value), display.rounding);
        text_field(ui, label, &shown, |text| {
            slabloom_core::units::parse_length(text, display.bare_unit)
                .map(Length::to_inches)
                .map_err(|error| error.to_string())
        })
    };
    let east = field(ui, "East", at.x);
    let north = field(ui, "North", at.y);
    (east.is_some() || north.is_some())
        .then(|| Point::new(east.unwrap_or(at.x), north.unwrap_or(at.y)))
}

fn words(text: &str) -> Result<String, String> {
    Ok(text.to_owned())
}

fn corner(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, id: SideId) {
    heading(ui, "Corner");
    let Some(side) = cx.job.outline.sides.iter().find(|side| side.id == id) else { return };
    if let Some(at) = place(cx, ui, side.start) {
        ask.edit(Edit::Outline(OutlineEdit::MoveCorner(id, at)));
    }
    if ui.button("Remove this corner").clicked() {
        ask.edit(Edit::Outline(OutlineEdit::RemoveCorner(id)));
    }
}

fn item(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, id: ItemId) {
    let job = cx.job;
    match id {
        ItemId::SideId(id) => side(cx, ui, ask, id),
        ItemId::OpeningId(id) => {
            let Some(opening) = job.openings.openings.iter().find(|item| item.id == id) else {
                return;
            };
            heading(ui, "Opening");
            if let Some(name) = text_field(ui, "Name", &opening.name, words) {
                let opening = slabloom_core::job::openings::Opening { name, ..opening.clone() };
                ask.edit(Edit::Put(Item::Opening(opening)));
            }
            note(ui, "A hole through everything. Drag its corners or its sides.");
        }
        ItemId::PenetrationId(id) => {
            if let Some(item) = job.openings.penetrations.iter().find(|item| item.id == id) {
                penetration(cx, ui, ask, item);
            }
        }
        ItemId::StripId(id) => {
            if let Some(item) = job.thickenings.strips.iter().find(|item| item.id == id) {
                strip(cx, ui, ask, item);
            }
        }
        ItemId::PadId(id) => {
            if let Some(item) = job.thickenings.pads.iter().find(|item| item.id == id) {
                pad(cx, ui, ask, item);
            }
        }
        ItemId::ManifoldId(id) => {
            if let Some(item) = job.heating.manifolds.iter().find(|item| item.id == id) {
                manifold(cx, ui, ask, item);
            }
        }
        ItemId::ZoneId(_) | ItemId::KeepOutId(_) => area(cx, ui, ask, id),
        ItemId::JointId(id) => {
            if let Some(item) = job.joints.drawn.iter().find(|item| item.id == id) {
                joint(cx, ui, ask, item);
            }
        }
        ItemId::ShotId(id) => {
            if let Some(item) = job.subgrade.shots.iter().find(|item| item.id == id) {
                shot(cx, ui, ask, item);
            }
        }
        ItemId::RecessId(_) => heading(ui, "Recess"),
        ItemId::SlopeId(_) => heading(ui, "Sloped area"),
    }
    if !matches!(id, ItemId::SideId(_)) && ui.button("Delete").clicked() {
        ask.act(Action::Delete);
    }
}

fn side(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, id: SideId) {
    let Some((_, segment)) = cx.job.outline.segments().find(|(own, _)| *own == id) else { return };
    heading(ui, "Side");
    let length = Length::inches(segment.length());
    if let Some(length) = length_field(ui, "Length", length, cx.display()) {
        ask.edit(Edit::Outline(OutlineEdit::SetLength(id, length, SideEnd::End)));
    }
    let edges = &cx.job.edges;
    let own = edges.by_side.get(&id).copied();
    let kinds =
        [(0, "As usual"), (1, "Thickened"), (2, "Plain"), (3, "Frost wall"), (4, "Threshold")];
    let kind = match own {
        None => 0,
        Some(EdgeProfile::Thickened(_)) => 1,
        Some(EdgeProfile::Plain) => 2,
        Some(EdgeProfile::FrostWall) => 3,
        Some(EdgeProfile::Threshold(_)) => 4,
    };
    let rim = RimId::Side(id);
    match choice_field(ui, "Edge", kind, &kinds) {
        Some(0) => ask.edit(Edit::SetEdge(rim, None)),
        Some(1) => {
            let edge = EdgeProfile::Thickened(ThickenedEdge::default());
            ask.edit(Edit::SetEdge(rim, Some(edge)));
        }
        Some(2) => ask.edit(Edit::SetEdge(rim, Some(EdgeProfile::Plain))),
        Some(3) => ask.edit(Edit::SetEdge(rim, Some(EdgeProfile::FrostWall))),
        Some(_) => {
            let edge = EdgeProfile::Threshold(Threshold::default());
            ask.edit(Edit::SetEdge(rim, Some(edge)));
        }
        None => {}
    }
    match own {
        Some(EdgeProfile::Thickened(edge)) => {
            if let Some(edge) = thickened_edge(cx, ui, edge) {
                ask.edit(Edit::SetEdge(rim, Some(EdgeProfile::Thickened(edge))));
            }
        }
        Some(EdgeProfile::Threshold(threshold)) => {
            let lowered = length_field(ui, "Lowered by", threshold.lowered_by, cx.display());
            let width = length_field(ui, "Width of band", threshold.width, cx.display());
            let changed = Threshold {
                lowered_by: lowered.unwrap_or(threshold.lowered_by),
                width: width.unwrap_or(threshold.width),
                ..threshold
            };
            if changed != threshold {
                ask.edit(Edit::SetEdge(rim, Some(EdgeProfile::Threshold(changed))));
            }
        }
        _ => {}
    }
    let is_isolated = cx.job.joints.isolated_sides.contains(&id);
    if let Some(is_on) = toggle_field(ui, "Isolation joint along it", is_isolated) {
        let mut joints = (*cx.job.joints).clone();
        if is_on {
            joints.isolated_sides.insert(id);
        } else {
            joints.isolated_sides.remove(&id);
        }
        ask.edit(Edit::SetJoints(joints));
    }
}

/// The sizes of a cross-section; the new one when a size was typed.
fn footprint(cx: &ViewContext<'_>, ui: &mut Ui, shape: Footprint) -> Option<Footprint> {
    match shape {
        Footprint::Round { diameter } => length_field(ui, "Diameter", diameter, cx.display())
            .map(|diameter| Footprint::Round { diameter }),
        Footprint::Rectangle { length, width, turn_degrees } => {
            let new_length = length_field(ui, "Length", length, cx.display());
            let new_width = length_field(ui, "Width", width, cx.display());
            let new_turn = number_field(ui, "Turned by", turn_degrees, "°");
            (new_length.is_some() || new_width.is_some() || new_turn.is_some()).then(|| {
                Footprint::Rectangle {
                    length: new_length.unwrap_or(length),
                    width: new_width.unwrap_or(width),
                    turn_degrees: new_turn.unwrap_or(turn_degrees),
                }
            })
        }
    }
}

fn penetration(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, item: &Penetration) {
    heading(
        ui,
        match item.kind {
            PenetrationKind::Pipe => "Pipe",
            PenetrationKind::Drain => "Floor drain",
            PenetrationKind::Column => "Column",
            PenetrationKind::Other => "Penetration",
        },
    );
    let mut copy = item.clone();
    if let Some(name) = text_field(ui, "Name", &item.name, words) {
        copy.name = name;
    }
    let kinds = [
        (PenetrationKind::Pipe, "Pipe"),
        (PenetrationKind::Drain, "Drain"),
        (PenetrationKind::Column, "Column"),
        (PenetrationKind::Other, "Other"),
    ];
    if let Some(kind) = choice_field(ui, "Kind", item.kind, &kinds) {
        copy.kind = kind;
    }
    if let Some(shape) = footprint(cx, ui, item.shape) {
        copy.shape = shape;
    }
    if let Some(clearance) = length_field(ui, "Tube keeps off", item.tube_clearance, cx.display()) {
        copy.tube_clearance = clearance;
    }
    if let Some(at) = place(cx, ui, item.at) {
        copy.at = at;
    }
    if copy != *item {
        ask.edit(Edit::Put(Item::Penetration(copy)));
    }
}

fn strip(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, item: &ThickenedStrip) {
    heading(ui, "Thickened strip");
    let mut copy = item.clone();
    let display = cx.display();
    if let Some(name) = text_field(ui, "Name", &item.name, words) {
        copy.name = name;
    }
    if let Some(width) = length_field(ui, "Flat width", item.flat_width, display) {
        copy.flat_width = width;
    }
    if let Some(depth) = length_field(ui, "Total depth", item.total_depth, display) {
        copy.total_depth = depth;
    }
    if let Some(run) = length_field(ui, "Slope run", item.haunch_run, display) {
        copy.haunch_run = run;
    }
    if copy != *item {
        ask.edit(Edit::Put(Item::Strip(copy)));
    }
}

fn pad(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, item: &Pad) {
    heading(ui, "Pad");
    let mut copy = item.clone();
    if let Some(name) = text_field(ui, "Name", &item.name, words) {
        copy.name = name;
    }
    if let Some(shape) = footprint(cx, ui, item.shape) {
        copy.shape = shape;
    }
    if let Some(depth) = length_field(ui, "Total depth", item.total_depth, cx.display()) {
        copy.total_depth = depth;
    }
    if let Some(at) = place(cx, ui, item.at) {
        copy.at = at;
    }
    if copy != *item {
        ask.edit(Edit::Put(Item::Pad(copy)));
    }
}

fn manifold(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, item: &Manifold) {
    heading(ui, "Manifold");
    let mut copy = item.clone();
    if let Some(name) = text_field(ui, "Name", &item.name, words) {
        copy.name = name;
    }
    if let Some(at) = place(cx, ui, item.at) {
        copy.at = at;
    }
    let ways = [(None, "Along the wall"), (Some(0.0), "East"), (Some(90.0), "North")];
    if let Some(way) = choice_field(ui, "Ports stand", item.along_degrees, &ways) {
        copy.along_degrees = way;
    }
    if let Some(spacing) = length_field(ui, "Port to port", item.port_spacing, cx.display()) {
        copy.port_spacing = spacing;
    }
    if copy != *item {
        ask.edit(Edit::Put(Item::Manifold(copy)));
    }
    note(ui, "Drag it on the plan, or type where it stands.");
}

fn area(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, id: ItemId) {
    let heating = &cx.job.heating;
    if let ItemId::ZoneId(id) = id
        && let Some(zone) = heating.zones.iter().find(|zone| zone.id == id)
    {
        heading(ui, "Zone");
        let mut copy = zone.clone();
        if let Some(name) = text_field(ui, "Name", &zone.name, words) {
            copy.name = name;
        }
        if let Some(spacing) = length_field(ui, "Tube spacing", zone.spacing, cx.display()) {
            copy.spacing = spacing;
        }
        let shown = zone.circuits.map(|count| count.to_string()).unwrap_or_default();
        let circuits = text_field(ui, "Circuits (empty: any)", &shown, |text| {
            if text.is_empty() {
                return Ok(None);
            }
            text.parse::<u32>().map(Some).map_err(|_| "Write a whole number".to_owned())
        });
        if let Some(circuits) = circuits {
            copy.circuits = circuits;
        }
        if copy != *zone {
            ask.edit(Edit::Put(Item::Zone(copy)));
        }
    }
    if let ItemId::KeepOutId(id) = id
        && let Some(keep_out) = heating.keep_outs.iter().find(|item| item.id == id)
    {
        heading(ui, "No tube here");
        let mut copy = keep_out.clone();
        if let Some(name) = text_field(ui, "Name", &keep_out.name, words) {
            copy.name = name;
        }
        let reasons = [
            (KeepOutReason::Cabinets, "Cabinets"),
            (KeepOutReason::Stair, "Stair"),
            (KeepOutReason::AnchorLine, "Bolted wall"),
            (KeepOutReason::Other, "Other"),
        ];
        if let Some(reason) = choice_field(ui, "Why", keep_out.reason, &reasons) {
            copy.reason = reason;
        }
        if copy != *keep_out {
            ask.edit(Edit::Put(Item::KeepOut(copy)));
        }
    }
}

fn joint(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, item: &DrawnJoint) {
    heading(ui, "Joint, locked");
    let kinds = [
        (DrawnKind::Contraction, "Contraction"),
        (DrawnKind::Isolation, "Isolation"),
        (DrawnKind::Construction, "Construction"),
    ];
    if let Some(kind) = choice_field(ui, "Kind", item.kind, &kinds) {
        ask.edit(Edit::Put(Item::Joint(DrawnJoint { kind, ..item.clone() })));
    }
    let length = show_length(Length::inches(item.from.distance(item.to)), cx.display().rounding);
    quantity_row(ui, cx.palette, "Length", &length, None);
    note(ui, "Delete it to let the layout decide again.");
}

fn shot(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, item: &Shot) {
    heading(ui, "Ground shot");
    let mut copy = item.clone();
    let display = cx.display();
    let shown = show_length(item.height, display.rounding);
    let height = text_field(ui, "Height", &shown, |text| {
        slabloom_core::units::parse_length(text, display.bare_unit)
            .map_err(|error| error.to_string())
    });
    if let Some(height) = height {
        copy.height = height;
    }
    if let Some(name) = text_field(ui, "Point", &item.name, words) {
        copy.name = name;
    }
    if let Some(at) = place(cx, ui, item.at) {
        copy.at = at;
    }
    if copy != *item {
        ask.edit(Edit::Put(Item::Shot(copy)));
    }
}

/// Fixes a circuit, turns its water round, or gives it back to the layout.
fn hold_circuit(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, circuit: &Circuit) {
    let is_this = |own: &&PinnedCircuit| (own.zone, own.number) == (circuit.zone, circuit.number);
    let pinned = cx.job.heating.pinned.iter().find(is_this);
    let held = || pinned.cloned().unwrap_or_else(|| slabloom_core::tube::pinned_of(circuit));
    ui.horizontal_wrapped(|ui| {
        if pinned.is_none() && ui.button("Pin this circuit").clicked() {
            ask.edit(Edit::Pin(held(), Pinning::Hold));
        }
        if ui.button("Reverse its water").clicked() {
            let own = held();
            let turned = PinnedCircuit { is_reversed: !own.is_reversed, ..own };
            ask.edit(Edit::Pin(turned, Pinning::Hold));
        }
        if let Some(own) = pinned.filter(|_| ui.button("Release this circuit").clicked()) {
            ask.edit(Edit::Pin(own.clone(), Pinning::Release));
        }
    });
    note(
        ui,
        if pinned.is_some() {
            "It stays as it lies; the others are routed round it."
        } else {
            "The layout found it. Pinned, it stays as it lies."
        },
    );
}

fn circuit(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, index: usize) {
    let parts = &cx.results.parts;
    let Some(circuit) = parts.tube.circuits.get(index) else { return };
    heading(ui, &format!("Circuit {}", circuit.name));
    let rounding = cx.display().rounding;
    let rows = [
        ("Length", circuit.length),
        ("of it leader", circuit.leader),
        ("Limit", circuit.limit),
        ("Least bend radius", circuit.least_radius),
    ];
    for (name, inches) in rows {
        quantity_row(ui, cx.palette, name, &show_length(Length::inches(inches), rounding), None);
    }
    if let Some(heat) = parts.heat.circuits.get(index) {
        let rows = [
            ("Flow", format!("{} gpm", show_number(heat.flow_gpm, 2))),
            ("Head", format!("{} ft", show_number(heat.head_ft, 2))),
            ("Gives", format!("{} Btu/h", show_number(heat.output_btuh, 0))),
        ];
        for (name, figure) in rows {
            quantity_row(ui, cx.palette, name, &figure, None);
        }
    }
    hold_circuit(cx, ui, ask, circuit);
}

fn found_joint(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, index: usize) {
    let Some(line) = cx.results.parts.joints.layout.lines.get(index) else { return };
    heading(ui, &format!("Joint {}", line.name));
    let rounding = cx.display().rounding;
    let length = show_length(Length::inches(line.length()), rounding);
    quantity_row(ui, cx.palette, "Length", &length, None);
    let depth = slabloom_core::units::show_inches(Length::inches(line.saw_depth), rounding);
    quantity_row(ui, cx.palette, "Blade depth", &depth, None);
    if ui.button("Lock it here").on_hover_text("Key: K").clicked() {
        ask.act(Action::LockJoint);
    }
    note(ui, "The layout found it. Drag it, and it is locked where you drop it.");
}

fn slab_panel(cx: &ViewContext<'_>, ui: &mut Ui, index: usize) {
    let Some(panel) = cx.results.parts.joints.layout.panels.get(index) else { return };
    heading(ui, "Floor panel");
    let rounding = cx.display().rounding;
    let rows = [
        ("Longer side", show_length(Length::inches(panel.long), rounding)),
        ("Shorter side", show_length(Length::inches(panel.short), rounding)),
        ("Longer to shorter", format!("{} : 1", show_number(panel.aspect(), 2))),
    ];
    for (name, figure) in rows {
        quantity_row(ui, cx.palette, name, &figure, None);
    }
}

fn board_piece(cx: &ViewContext<'_>, ui: &mut Ui, layer: usize, index: usize) {
    let Some(layer) = cx.results.parts.foam.layers.get(layer) else { return };
    let Some(piece) = layer.pieces.get(index) else { return };
    heading(ui, &format!("Board piece {}", piece.number));
    let kind = match piece.kind {
        PieceKind::Whole => "A whole board",
        PieceKind::Cut => "Cut from a new board",
        PieceKind::Offcut => "Cut from what was left of a board",
    };
    note(ui, kind);
    quantity_row(ui, cx.palette, "From board", &(piece.board + 1).to_string(), None);
    let others: Vec<String> =
        layer.siblings(index).map(|sibling| sibling.number.to_string()).collect();
    if !others.is_empty() {
        quantity_row(ui, cx.palette, "With pieces", &others.join(", "), None);
    }
    quantity_row(ui, cx.palette, "Course", &(piece.course + 1).to_string(), None);
    let size = slabloom_core::geometry::Bounds::of(piece.on_board.iter().copied());
    if let Some(size) = size {
        let rounding = cx.display().rounding;
        let text = format!(
            "{} × {}",
            show_length(Length::inches(size.width()), rounding),
            show_length(Length::inches(size.height()), rounding)
        );
        quantity_row(ui, cx.palette, "Cut from", &text, None);
    }
}
