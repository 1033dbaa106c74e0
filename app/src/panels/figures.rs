//! The five figures that are always in sight: concrete, boards, tube, panels, price. While
//! something is dragged each shows how it changed since the drag began.

use crate::canvas::layers::Layer;
use crate::editor::actions::Action;
use crate::editor::requests::{Request, Requests};
use crate::editor::stages::Stage;
use crate::editor::view_context::ViewContext;
use egui::{RichText, Ui};
use slabloom_core::derive::Results;
use slabloom_core::geometry::Bounds;
use slabloom_core::job::Job;
use slabloom_core::units::quantity_text::show_volume;
use slabloom_core::units::{Cents, Length, UnitSystem, Volume, show_length, show_number};

/// One figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is.
    pub name: &'static str,
    /// The number that is compared during a drag.
    pub value: f64,
    /// As shown.
    pub shown: String,
    /// What stands below it.
    pub note: String,
    /// It breaks a limit.
    pub is_over: bool,
}

/// The figures of a job.
#[must_use]
pub fn figures(job: &Job, results: &Results) -> [Figure; 5] {
    let system = job.facts.display.rounding.system();
    [
        concrete(results, system),
        boards(results),
        tube(job, results),
        panels(job, results),
        price(results),
    ]
}

fn concrete(results: &Results, system: UnitSystem) -> Figure {
    let parts = &results.parts;
    let net = Volume::cubic_inches(parts.concrete.volumes.net);
    let order = Volume::cubic_yards(parts.pour.order_yd3);
    let loads = parts.pour.loads_yd3.len();
    let note = if loads == 0 {
        "net, no order yet".to_owned()
    } else {
        format!("net {} · {loads} loads", show_volume(net, system))
    };
    let shown = if loads == 0 { net } else { order };
    Figure {
        name: "Concrete",
        value: net.to_cubic_yards(),
        shown: show_volume(shown, system),
        note,
        is_over: false,
    }
}

fn boards(results: &Results) -> Figure {
    let layers = &results.parts.foam.layers;
    let boards: u32 = layers.iter().map(|layer| layer.boards).sum();
    let bound: u32 = layers.iter().map(|layer| layer.bound).sum();
    let note = if layers.is_empty() {
        "no foam laid".to_owned()
    } else {
        format!("least possible {bound}")
    };
    Figure {
        name: "Foam boards",
        value: f64::from(boards),
        shown: boards.to_string(),
        note,
        is_over: false,
    }
}

fn tube(job: &Job, results: &Results) -> Figure {
    let circuits = &results.parts.tube.circuits;
    let total: f64 = circuits.iter().map(|circuit| circuit.length).sum();
    let longest = circuits.iter().map(|circuit| circuit.length).fold(0.0, f64::max);
    let limit = circuits.iter().map(|circuit| circuit.limit).fold(0.0, f64::max);
    let is_over = circuits.iter().any(|circuit| circuit.length > circuit.limit + 0.5);
    let rounding = job.facts.display.rounding;
    let whole_feet = |inches: f64| match rounding.system() {
        UnitSystem::Us => format!("{} ft", show_number(inches / 12.0, 0)),
        UnitSystem::Metric => format!("{} m", show_number(inches * 0.0254, 1)),
    };
    let note = if circuits.is_empty() {
        "no circuits".to_owned()
    } else {
        let longest = whole_feet(longest);
        format!("{} circuits, {longest} of {}", circuits.len(), whole_feet(limit))
    };
    Figure { name: "Tube", value: total / 12.0, shown: whole_feet(total), note, is_over }
}

fn panels(job: &Job, results: &Results) -> Figure {
    let layout = &results.parts.joints.layout;
    let worst = layout.panels.iter().map(|panel| panel.aspect()).fold(0.0, f64::max);
    let limit = job.joints.aspect_limit;
    let spacing = Length::inches(layout.max_spacing);
    let note = if layout.panels.is_empty() {
        "no joints laid out".to_owned()
    } else {
        let spacing = show_length(spacing, job.facts.display.rounding);
        format!("{} panels, {} : 1, {spacing}", layout.panels.len(), show_number(limit, 1))
    };
    Figure {
        name: "Worst panel",
        value: worst,
        shown: if worst > 0.0 {
            format!("{} : 1", show_number(worst, 2))
        } else {
            "–".to_owned()
        },
        note,
        is_over: worst > limit + 1e-9,
    }
}

fn price(results: &Results) -> Figure {
    let total = results.parts.price.total;
    let area_ft2 = results.parts.plan.area / 144.0;
    let note = if total == Cents(0) {
        "no rates yet: see Bid".to_owned()
    } else if area_ft2 > 0.0 {
        format!("{} per ft²", Cents::from_units(total.to_units() / area_ft2))
    } else {
        String::new()
    };
    let shown = if total == Cents(0) { "–".to_owned() } else { total.to_string() };
    Figure { name: "Price", value: total.to_units(), shown, note, is_over: false }
}

/// The change of a figure in words: `+0.25`, or nothing when it is the same.
fn change(now: &Figure, before: &Figure) -> Option<String> {
    let step = now.value - before.value;
    let decimals = if now.value.abs() >= 1000.0 || now.name == "Foam boards" { 0 } else { 2 };
    let shown = show_number(step, decimals);
    let is_nothing = shown.chars().all(|character| matches!(character, '0' | '.' | '-'));
    (!is_nothing).then(|| if step > 0.0 { format!("+{shown}") } else { shown })
}

/// The strip of live figures along the foot of the plan, as a title block stands on a sheet.
pub fn live_figures_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let mut now = figures(cx.job, cx.results);
    if cx.awaits_first {
        for figure in &mut now {
            figure.shown = "…".to_owned();
            figure.note = "being worked out".to_owned();
        }
    }
    let before = cx.before_drag.map(|results| figures(cx.job, results));
    let palette = cx.palette;
    ui.spacing_mut().item_spacing = egui::vec2(6.0, 1.0);
    // The whole cell is the target, so that its lines may stand close.
    ui.spacing_mut().interact_size.y = 20.0;
    let top = ui.max_rect();
    ui.columns(now.len(), |columns| {
        for (index, (ui, figure)) in columns.iter_mut().zip(&now).enumerate() {
            if index > 0 {
                let x = ui.max_rect().left() - 3.0;
                let stroke = egui::Stroke::new(1.0, palette.frame);
                ui.painter().vline(x, top.y_range().expand(6.0), stroke);
            }
            let earlier = before.as_ref().and_then(|before| before.get(index));
            let step = earlier.and_then(|earlier| change(figure, earlier));
            cell(cx, ui, figure, step.as_deref());
            source(cx, ui, ask, figure);
        }
    });
}

/// A click on a figure shows where it comes from.
fn source(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, figure: &Figure) {
    let rect = ui.max_rect().expand2(egui::vec2(0.0, 4.0));
    let response =
        ui.interact(rect, ui.scope_id().with(("source", figure.name)), egui::Sense::click());
    let name = format!("Where {} comes from", figure.name);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
    if response.hovered() || response.has_focus() {
        let stroke = egui::Stroke::new(1.5, cx.palette.accent);
        ui.painter().rect_stroke(rect, 3.0, stroke, egui::StrokeKind::Inside);
    }
    if !response.on_hover_text("Click: light up on the plan what this adds up from").clicked() {
        return;
    }
    match figure.name {
        "Concrete" => ask.push(Request::Trace("concrete.order".to_owned())),
        "Foam boards" => {
            ask.push(Request::Reveal(Layer::Foam));
            ask.push(Request::Trace("foam.boards-1".to_owned()));
        }
        "Tube" => {
            ask.push(Request::Reveal(Layer::Tube));
            ask.push(Request::Trace("tube.length".to_owned()));
        }
        "Worst panel" => {
            let panels = &cx.results.parts.joints.layout.panels;
            let worst = panels.iter().max_by(|a, b| a.aspect().total_cmp(&b.aspect()));
            let middle = worst.and_then(|panel| Bounds::of(panel.outline.iter().copied()));
            if let Some(bounds) = middle {
                ask.push(Request::Reveal(Layer::Joints));
                ask.push(Request::LookAt(bounds.center()));
            }
        }
        _ => ask.act(Action::Stage(Stage::Bid)),
    }
}

fn cell(cx: &ViewContext<'_>, ui: &mut Ui, figure: &Figure, step: Option<&str>) {
    let palette = cx.palette;
    ui.horizontal(|ui| {
        ui.add_space(6.0);
        ui.vertical(|ui| {
            ui.label(RichText::new(figure.name).weak().small());
            ui.horizontal(|ui| {
                let color = if figure.is_over { palette.stop } else { palette.ink };
                let mark = if figure.is_over { "▲ " } else { "" };
                let font = crate::editor::theme::bold_font(16.0);
                let text = RichText::new(format!("{mark}{}", figure.shown)).font(font).color(color);
                ui.add(egui::Label::new(text).truncate());
                if let Some(step) = step {
                    ui.label(RichText::new(step).color(palette.accent));
                }
            });
            let note = egui::Label::new(RichText::new(&figure.note).weak().small()).truncate();
            ui.add(note).on_hover_text(&figure.note);
        });
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_told_only_when_it_shows() {
        let figure = |value| Figure {
            name: "Concrete",
            value,
            shown: String::new(),
            note: String::new(),
            is_over: false,
        };
        assert_eq!(change(&figure(16.5), &figure(16.25)), Some("+0.25".to_owned()));
        assert_eq!(change(&figure(16.0), &figure(16.25)), Some("-0.25".to_owned()));
        assert_eq!(change(&figure(16.001), &figure(16.0)), None);
    }
}
