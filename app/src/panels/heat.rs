//! Heat: the floor and its edge in section, where the water's heat goes, and what other depths,
//! spacings and foams would do.

use super::bid::read_money;
use super::changed;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{
    choice_field, drawing, length_field, note, number_field, quantity_row, section, text_field,
};
use egui::{RichText, Ui};
use slabloom_core::drawing::Mark;
use slabloom_core::edit::Edit;
use slabloom_core::heat::compare::{FloorChoice, FoamChoice};
use slabloom_core::job::heating::{HeatLoad, TubeDepth};
use slabloom_core::sheets::heat::{cost_or, depth_name, season};
use slabloom_core::sheets::section_view::{
    Fit, SectionDrawing, SectionRoom, edge_view, floor_view,
};
use slabloom_core::units::quantity_text::{show_heat, show_temperature};
use slabloom_core::units::{
    Cents, HeatFlow, Length, Temperature, UnitSystem, show_inches, show_length, show_number,
};

/// Text of the sections, screen points.
const SECTION_TEXT: f64 = 10.0;

pub(super) fn heat_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    if !cx.job.heating.is_heated {
        note(ui, "The floor is not heated.");
        return;
    }
    section(ui, "Section", true, |ui| sections(cx, ui, ask));
    section(ui, "Where the heat goes", true, |ui| balance(cx, ui));
    section(ui, "Depth and spacing", true, |ui| floors(cx, ui));
    section(ui, "Foam", true, |ui| foams(cx, ui, ask));
    section(ui, "Design", false, |ui| design(cx, ui, ask));
    note(ui, "An aid to layout. The heating design is the licensed designer's.");
}

fn degrees(cx: &ViewContext<'_>, fahrenheit: f64) -> String {
    show_temperature(Temperature::fahrenheit(fahrenheit), cx.system())
}

fn sections(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let heating = &cx.job.heating;
    let floor = cx.job.build_up.floor_thickness;
    let mut depths =
        vec![(TubeDepth::Bottom, "Bottom"), (TubeDepth::Middle, "Middle"), (TubeDepth::Top, "Top")];
    let given = match heating.tube.depth {
        own @ TubeDepth::Axis(_) => {
            depths.push((own, "As given"));
            own
        }
        _ => TubeDepth::Axis(floor * 0.5),
    };
    if !matches!(heating.tube.depth, TubeDepth::Axis(_)) {
        depths.push((given, "As given"));
    }
    let chosen = choice_field(ui, "Tube depth", heating.tube.depth, &depths);
    changed!(ask, Edit::SetHeating, heating, chosen, |copy, value| copy.tube.depth = value);
    if let TubeDepth::Axis(axis) = heating.tube.depth {
        let typed = length_field(ui, "Axis below the floor", axis, cx.display());
        changed!(ask, Edit::SetHeating, heating, typed, |copy, value| {
            copy.tube.depth = TubeDepth::Axis(value);
        });
    }
    let marks = |view: Option<SectionDrawing>| view.map_or_else(Vec::<Mark>::new, |v| v.marks);
    let place = |room| SectionRoom { room, size: SECTION_TEXT, fit: Fit::Panel };
    if cx.results.parts.heat_study.section.is_none() {
        super::empty(ui, "No section yet. It needs a slab thick enough for its tube.");
        return;
    }
    drawing(
        ui,
        cx.palette,
        ("The floor in section with lines of one temperature", 190.0),
        |room| marks(floor_view(cx.job, cx.results, place(room))),
    );
    ui.add_space(4.0);
    drawing(ui, cx.palette, ("The edge in section with lines of one temperature", 170.0), |room| {
        marks(edge_view(cx.job, cx.results, place(room)))
    });
}

fn balance(cx: &ViewContext<'_>, ui: &mut Ui) {
    let heat = &cx.results.parts.heat;
    if heat.supply_f <= 0.0 {
        super::empty(ui, "No circuits yet: they say what the water gives.");
        return;
    }
    let flow = |btuh: f64| show_heat(HeatFlow::btu_per_hour(btuh), cx.system());
    for (name, figure) in [
        ("Asked by the rooms", flow(heat.load_btuh)),
        ("Up into the rooms", flow(heat.up_btuh)),
        ("Down into the ground", flow(heat.down_btuh - heat.edge_btuh)),
        ("Out at the edge", flow(heat.edge_btuh)),
        ("From the water", flow(heat.water_btuh)),
        ("Supply", degrees(cx, heat.supply_f)),
        ("Floor, mean", degrees(cx, heat.surface_mean_f)),
        ("Floor, warmest", degrees(cx, heat.surface_max_f)),
        ("Floor, coolest", degrees(cx, heat.surface_min_f)),
    ] {
        quantity_row(ui, cx.palette, name, &figure, None);
    }
}

fn floors(cx: &ViewContext<'_>, ui: &mut Ui) {
    let floors = &cx.results.parts.heat_study.floors;
    if floors.is_empty() {
        super::empty(ui, "Nothing to compare yet.");
        return;
    }
    egui::Grid::new("floors").num_columns(5).striped(true).spacing([8.0, 3.0]).show(ui, |ui| {
        for head in ["Tube", "Supply", "Down", "Swing", "Hours"] {
            ui.label(RichText::new(head).weak().small());
        }
        ui.end_row();
        for floor in floors {
            for figure in floor_row(cx, floor) {
                let text = RichText::new(figure).small();
                ui.label(if floor.is_own { text.color(cx.palette.accent).strong() } else { text });
            }
            ui.end_row();
        }
    });
    note(
        ui,
        "Supply for the same heat; share of it that goes down; swing of the surface from tube to \
         tube; hours to nine tenths from cold.",
    );
}

fn floor_row(cx: &ViewContext<'_>, floor: &FloorChoice) -> [String; 5] {
    let own = if floor.is_own { " ◄" } else { "" };
    let spacing = show_inches(Length::inches(floor.spacing_in), cx.display().rounding);
    let swing = match cx.system() {
        UnitSystem::Us => format!("{} °F", show_number(floor.ripple_f, 1)),
        UnitSystem::Metric => format!("{} K", show_number(floor.ripple_f / 1.8, 1)),
    };
    [
        format!("{} {spacing}{own}", depth_name(floor.depth)),
        degrees(cx, floor.supply_f),
        format!("{} %", show_number(floor.down_share * 100.0, 0)),
        swing,
        show_number(floor.warm_up_h, 1),
    ]
}

fn foams(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let heating = &cx.job.heating;
    let days = number_field(ui, "Degree days", heating.design.degree_days, "°F·d");
    changed!(ask, Edit::SetHeating, heating, days, |copy, value| {
        copy.design.degree_days = value.max(0.0);
    });
    let known = heating.design.energy_per_million_btu;
    let shown = if known == Cents(0) { String::new() } else { known.to_string() };
    let price = text_field(ui, "A million Btu of heat", &shown, read_money);
    changed!(ask, Edit::SetHeating, heating, price, |copy, value| {
        copy.design.energy_per_million_btu = value;
    });
    let foams = &cx.results.parts.foam_costs;
    egui::Grid::new("foams").num_columns(5).striped(true).spacing([8.0, 3.0]).show(ui, |ui| {
        for head in ["Foam", "R", "Boards", "Loss a year", "Its cost"] {
            ui.label(RichText::new(head).weak().small());
        }
        ui.end_row();
        for foam in foams.iter() {
            for figure in foam_row(cx, foam) {
                let text = RichText::new(figure).small();
                ui.label(if foam.is_own { text.color(cx.palette.accent).strong() } else { text });
            }
            ui.end_row();
        }
    });
    note(ui, "Other thicknesses cost in proportion to the job's board rate.");
}

fn foam_row(cx: &ViewContext<'_>, foam: &FoamChoice) -> [String; 5] {
    let own = if foam.is_own { " ◄" } else { "" };
    let thick = show_length(Length::inches(foam.thickness_in), cx.display().rounding);
    [
        format!("{thick}{own}"),
        show_number(foam.r_value, 0),
        cost_or(foam.cost, "no rate"),
        season(foam.loss.season_btu, cx.system()),
        cost_or(foam.season_cost, "no price"),
    ]
}

/// The load where it is given by area: one field for the panels that ask for it.
pub(super) fn load_by_area(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let heating = &cx.job.heating;
    if let HeatLoad::ByArea(load) = heating.design.load {
        let given = number_field(ui, "Load by area", load, "Btu/h·ft²");
        changed!(ask, Edit::SetHeating, heating, given, |copy, value| {
            copy.design.load = HeatLoad::ByArea(value.max(0.0));
        });
    }
}

fn design(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let heating = &cx.job.heating;
    let design = &heating.design;
    load_by_area(cx, ui, ask);
    let given = number_field(ui, "Ground under the foam", design.ground_f, "°F");
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| copy.design.ground_f = value);
    let given = number_field(ui, "Concrete conducts", design.concrete_k, "Btu/h·ft·°F");
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| {
        copy.design.concrete_k = value.max(0.1);
    });
    let given = number_field(ui, "Warmest floor allowed", design.surface_limit_f, "°F");
    changed!(ask, Edit::SetHeating, heating, given, |copy, value| {
        copy.design.surface_limit_f = value;
    });
}
