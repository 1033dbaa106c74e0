//! The bars round the plan: menus and stages above, tools at the left, the status below.

use crate::canvas::layers::Layer;
use crate::editor::actions::{self, Action};
use crate::editor::file_door::Standing;
use crate::editor::icons;
use crate::editor::requests::{Request, Requests};
use crate::editor::stages::Stage;
use crate::editor::state::EditorState;
use crate::editor::theme::{Palette, bold_font};
use crate::editor::view_context::ViewContext;
use crate::widgets::{IconLook, chip, icon_button, section};
use egui::{Align, Layout, RichText, Role, Sense, Ui, Vec2, WidgetInfo};
use slabloom_core::edit::Edit;
use slabloom_core::findings::Severity;
use slabloom_core::job::facts::Display;
use slabloom_core::units::{Length, LengthUnit, Rounding, show_length};

/// The text of an action's key.
fn key_text(ui: &Ui, action: Action) -> String {
    let key = actions::info(action).and_then(|row| row.key);
    key.map(|key| ui.ctx().format_shortcut(&key)).unwrap_or_default()
}

/// A menu entry for an action.
fn entry(ui: &mut Ui, ask: &mut Requests, action: Action, is_enabled: bool) {
    let Some(row) = actions::info(action) else { return };
    let button = egui::Button::new(row.name).shortcut_text(key_text(ui, action));
    if ui.add_enabled(is_enabled, button).on_hover_text(row.hint).clicked() {
        ask.act(action);
        ui.close();
    }
}

/// Menus, undo and redo, stages, and the job's name.
pub fn top_bar(state: &EditorState, palette: &Palette, ui: &mut Ui, ask: &mut Requests) {
    ui.horizontal_centered(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(26.0), Sense::hover());
        icons::mark(ui.painter(), rect, palette.ink, palette.accent);
        menus(state, ui, ask);
        ui.separator();
        undo_buttons(state, palette, ui, ask);
        ui.separator();
        for stage in Stage::ALL {
            stage_tab(state, palette, ui, ask, stage);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| job_name(state, palette, ui));
    });
}

fn menus(state: &EditorState, ui: &mut Ui, ask: &mut Requests) {
    use Action as A;
    ui.menu_button("File", |ui| {
        for action in [A::New, A::NewFromTemplate, A::OpenSample, A::Open, A::OpenPath] {
            entry(ui, ask, action, true);
        }
        if !state.recent.is_empty() {
            ui.menu_button("Recent jobs", |ui| {
                for (index, path) in state.recent.iter().enumerate() {
                    if ui.button(path.display().to_string()).clicked() {
                        ask.act(A::OpenRecent(index));
                        ui.close();
                    }
                }
            });
        }
        ui.separator();
        for action in [A::Save, A::SaveAs, A::SavePath] {
            entry(ui, ask, action, true);
        }
        entry(ui, ask, A::Reload, state.file.path.is_some());
        ui.separator();
        entry(ui, ask, A::Sheets, !state.plan.is_empty());
        ui.separator();
        entry(ui, ask, A::TakeRates, true);
        entry(ui, ask, A::ReadShots, true);
        ui.separator();
        entry(ui, ask, A::LayPicture, true);
        entry(ui, ask, A::LayPicturePath, true);
        entry(ui, ask, A::DropPicture, state.job().underlay.picture.is_some());
        ui.separator();
        entry(ui, ask, A::Settings, true);
        entry(ui, ask, A::Quit, true);
    });
    ui.menu_button("Edit", |ui| {
        entry(ui, ask, A::Undo, state.history.undo_names().next().is_some());
        entry(ui, ask, A::Redo, state.history.redo_names().next().is_some());
        ui.separator();
        entry(ui, ask, A::Delete, !state.selection.is_empty());
        entry(ui, ask, A::Duplicate, !state.selection.is_empty());
        entry(ui, ask, A::SelectAll, true);
        entry(ui, ask, A::LockJoint, true);
        ui.separator();
        entry(ui, ask, A::TurnToLongest, !state.plan.is_empty());
        entry(ui, ask, A::Mirror, !state.plan.is_empty());
    });
    ui.menu_button("View", |ui| {
        entry(ui, ask, A::Compare, !state.job().prices.alternates.is_empty());
        entry(ui, ask, A::CompareJobs, !state.plan.is_empty());
        ui.separator();
        for action in [A::ZoomFit, A::ZoomIn, A::ZoomOut, A::ToggleSnap] {
            entry(ui, ask, action, true);
        }
        ui.separator();
        for layer in Layer::ALL {
            layer_box(state, ui, ask, layer);
        }
    });
    ui.menu_button("Help", |ui| {
        entry(ui, ask, A::CommandList, true);
        entry(ui, ask, A::KeyHelp, true);
    });
}

fn layer_box(state: &EditorState, ui: &mut Ui, ask: &mut Requests, layer: Layer) {
    let mut is_on = state.shown_layers().shows(layer);
    if ui.checkbox(&mut is_on, layer.name()).changed() {
        ask.act(Action::Layer(layer));
    }
}

fn undo_buttons(state: &EditorState, palette: &Palette, ui: &mut Ui, ask: &mut Requests) {
    let next = [state.history.undo_names().next(), state.history.redo_names().next()];
    for (action, is_back, name, step) in
        [(Action::Undo, true, "Undo", next[0]), (Action::Redo, false, "Redo", next[1])]
    {
        let icon =
            |painter: &egui::Painter, rect, color| icons::turn(painter, rect, is_back, color);
        let look =
            IconLook { icon: &icon, name, key: "", is_chosen: false, size: Vec2::splat(32.0) };
        let response = ui
            .add_enabled_ui(step.is_some(), |ui| icon_button(ui, palette, &look))
            .inner
            .on_hover_text(format!(
                "{name}: {} ({})",
                step.unwrap_or("nothing"),
                key_text(ui, action)
            ));
        if response.clicked() {
            ask.act(action);
        }
    }
    ui.menu_button("History", |ui| {
        ui.set_min_width(180.0);
        let names: Vec<_> = state.history.undo_names().collect();
        if names.is_empty() {
            ui.label("Nothing was changed yet");
        }
        for (index, name) in names.into_iter().enumerate().take(30) {
            if ui.button(format!("Back before: {name}")).clicked() {
                for _ in 0..=index {
                    ask.act(Action::Undo);
                }
                ui.close();
            }
        }
    });
}

/// A tab of the stages: its name, and a dot while something is missing in it.
fn stage_tab(
    state: &EditorState,
    palette: &Palette,
    ui: &mut Ui,
    ask: &mut Requests,
    stage: Stage,
) {
    let is_here = state.stage == stage;
    let missing = stage.missing(state.job(), &state.results);
    let font = bold_font(14.0);
    let galley = ui.painter().layout_no_wrap(stage.name().to_owned(), font, palette.ink);
    let size = Vec2::new(galley.size().x + 30.0, 32.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let name = format!("Stage {}", stage.name());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_here, &name));
    let painter = ui.painter();
    let ink = if is_here { palette.on_accent } else { palette.ink };
    if is_here {
        painter.rect_filled(rect, 4.0, palette.accent);
    } else if response.hovered() {
        painter.rect_filled(rect, 4.0, palette.control_hover);
    }
    if response.has_focus() {
        let stroke = egui::Stroke::new(2.0, palette.ink);
        painter.rect_stroke(rect.shrink(1.0), 4.0, stroke, egui::StrokeKind::Inside);
    }
    let at = rect.center() - galley.size() / 2.0 - Vec2::new(4.0, 0.0);
    painter.galley_with_override_text_color(at, galley, ink);
    // An open ring for "something to do", a filled one for "done", so that shape tells.
    let dot = egui::pos2(rect.right() - 11.0, rect.center().y);
    if missing.is_empty() {
        painter.circle_filled(dot, 3.0, ink);
    } else {
        painter.circle_stroke(dot, 3.0, egui::Stroke::new(1.4, ink));
    }
    let response = response.on_hover_ui(|ui| {
        ui.label(RichText::new(stage.task()).strong());
        for what in &missing {
            ui.label(format!("○ {what}"));
        }
        ui.label(format!("Key: {}", key_text(ui, Action::Stage(stage))));
    });
    if response.clicked() {
        ask.act(Action::Stage(stage));
    }
}

fn job_name(state: &EditorState, palette: &Palette, ui: &mut Ui) {
    let title = &state.job().facts.title;
    let title = if title.is_empty() { "Untitled job" } else { title.as_str() };
    if state.is_changed() {
        chip(ui, "not saved", palette.warn, palette.raised)
            .on_hover_text("There are changes that are not in the file yet");
    }
    let path = state.file.path.as_ref().map(|path| path.display().to_string());
    let hint = path.unwrap_or_else(|| "Not saved to a file yet".to_owned());
    ui.add(egui::Label::new(RichText::new(title).font(bold_font(13.5))).truncate())
        .on_hover_text(hint);
}

/// The tools of the stage, and the layers.
pub fn tool_rail(state: &EditorState, palette: &Palette, ui: &mut Ui, ask: &mut Requests) {
    egui::ScrollArea::vertical().show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for kind in state.stage.tools().iter().chain(state.stage.picture_tools(state.job())) {
            let action = Action::Tool(*kind);
            let Some(row) = actions::info(action) else { continue };
            let key = key_text(ui, action);
            let icon =
                |painter: &egui::Painter, rect, color| icons::tool(painter, rect, *kind, color);
            let look = IconLook {
                icon: &icon,
                name: row.name,
                key: &key,
                is_chosen: state.canvas.tool.kind() == *kind,
                size: Vec2::new(ui.available_width(), 32.0),
            };
            let response = icon_button(ui, palette, &look).on_hover_text(row.hint);
            if response.clicked() {
                ask.act(action);
            }
        }
        ui.add_space(6.0);
        ui.separator();
        section(ui, "Shown", true, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for layer in Layer::ALL {
                layer_box(state, ui, ask, layer);
            }
        });
    });
}

/// Hint at the left; snap, place, results and units at the right.
pub fn status_bar(state: &EditorState, cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let palette = cx.palette;
    ui.horizontal_centered(|ui| {
        match &state.message {
            Some(message) if message.is_problem => {
                let (rect, _) = ui.allocate_exact_size(Vec2::splat(18.0), Sense::hover());
                icons::severity(ui.painter(), rect, Severity::Warn, palette.stop, palette.panel);
                ui.label(RichText::new(&message.text).color(palette.stop));
            }
            Some(message) => drop(ui.label(&message.text)),
            None => {
                ui.label(RichText::new(state.canvas.tool.hint()).color(palette.ink));
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            units(cx, ui, ask);
            if let Some(snapped) = &state.canvas.pointer {
                let rounding = cx.display().rounding;
                let text = format!(
                    "{}  {}",
                    show_length(Length::inches(snapped.at.x), rounding),
                    show_length(Length::inches(snapped.at.y), rounding)
                );
                ui.label(RichText::new(text).color(palette.ink_soft));
            }
            if !state.is_snapping {
                chip(ui, "snapping off", palette.warn, palette.raised);
            }
            others(state, palette, ui);
            if state.is_behind() {
                chip(ui, "newer results coming", palette.accent, palette.raised);
            }
            if let Some(fault) = &state.fault {
                chip(ui, "program fault", palette.stop, palette.raised).on_hover_text(format!(
                    "A part of the program failed on this job: {fault}. The figures are of the \
                     change before. Save the job, undo the last change, and report it."
                ));
            }
        });
    });
}

/// What others do with the job's file.
fn others(state: &EditorState, palette: &Palette, ui: &mut Ui) {
    let outside = &state.outside;
    if let Some(holder) = &outside.held_by {
        chip(ui, "open elsewhere", palette.warn, palette.raised).on_hover_text(format!(
            "{holder} has this job open as well. Who saves last wins: use Save as to keep both"
        ));
    }
    let (word, hint) = match outside.standing {
        Standing::AsSeen => return,
        Standing::Changed => {
            ("changed by others", "File, Reload shows their version; a save here asks first")
        }
        Standing::Gone => ("file is gone", "The job is still here: save it"),
    };
    chip(ui, word, palette.stop, palette.raised).on_hover_text(hint);
}

/// How numbers of this job are shown and what a bare number means.
fn units(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    const CHOICES: [(Rounding, LengthUnit, &str); 4] = [
        (Rounding::Sixteenth, LengthUnit::Feet, "ft-in, 1/16"),
        (Rounding::Eighth, LengthUnit::Feet, "ft-in, 1/8"),
        (Rounding::Quarter, LengthUnit::Feet, "ft-in, 1/4"),
        (Rounding::Millimeter, LengthUnit::Millimeters, "mm"),
    ];
    let display = cx.display();
    let shown = CHOICES.iter().find(|choice| choice.0 == display.rounding).map_or("", |c| c.2);
    let response = egui::ComboBox::from_id_salt("units")
        .width(104.0)
        .selected_text(shown)
        .show_ui(ui, |ui| {
            for (rounding, bare_unit, name) in CHOICES {
                if ui.selectable_label(rounding == display.rounding, name).clicked() {
                    let mut facts = (*cx.job.facts).clone();
                    facts.display = Display { rounding, bare_unit, ..display };
                    ask.push(Request::Edit(Edit::SetFacts(facts)));
                }
            }
        })
        .response;
    response.accessible_name("Units").on_hover_text("How lengths are shown and read");
}
