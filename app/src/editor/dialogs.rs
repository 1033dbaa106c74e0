//! Windows over the plan: unsaved changes, typed paths, settings, keys, and the command list.
//!
//! Only loss of work stops everything else; the rest can be left with Escape.

use crate::editor::actions::{self, ACTIONS, Action};
use crate::editor::file_door::{LeftOver, PathUse};
use crate::editor::requests::{Request, Requests};
use crate::editor::settings::Settings;
use crate::editor::state::{AfterSave, CommandList, Dialog, EditorState, TemplateForm};
use crate::editor::templates::Template;
use crate::editor::theme::{Palette, ThemeChoice, bold_font};
use crate::widgets::{note, wrapped};
use egui::{Id, Key, Modal, RichText, Ui};
use slabloom_core::geometry::Point;
use slabloom_core::job::facts::Display;
use slabloom_core::units::{Length, parse_length, show_length};
use std::path::PathBuf;

/// What was decided in a dialog.
#[derive(Clone, Debug, PartialEq)]
pub enum Decision {
    /// Save, then do this.
    SaveThen(AfterSave),
    /// Do this without saving.
    Discard(AfterSave),
    /// Read a job from here.
    OpenFrom(PathBuf),
    /// Start with this outline.
    StartFrom(Vec<Point>),
    /// Write the job to there.
    SaveTo(PathBuf),
    /// Write the job there, over what someone else wrote.
    SaveOver(PathBuf),
    /// Write the job to a file that is still to be chosen.
    SaveElsewhere,
    /// Write the sheets to there.
    SheetsTo(PathBuf),
    /// Take the rates of the job there.
    RatesFrom(PathBuf),
    /// Hold the job against the one there.
    CompareWith(PathBuf),
    /// Read shots of the ground from this file.
    ShotsFrom(PathBuf),
    /// Lay the picture from there under the slab.
    PictureFrom(PathBuf),
    /// Go on with work that was found.
    Recover(Box<LeftOver>),
    /// Forget work that was found.
    Forget(Option<PathBuf>),
    /// Nothing: the dialog is closed.
    Close,
}

/// Shows the dialog that is open, if one is.
pub fn show(state: &mut EditorState, ui: &mut Ui, ask: &mut Requests) -> Option<Decision> {
    let mut dialog = state.dialog.take()?;
    let settings = state.settings;
    let unit = state.job().facts.display;
    let context = ui.ctx().clone();
    let mut decision = None;
    let modal = Modal::new(Id::unique("dialog")).show(&context, |ui| {
        ui.set_width(420.0);
        match &mut dialog {
            Dialog::Unsaved(after) => unsaved(ui, after, &mut decision),
            Dialog::OpenPath(path) => typed_path(ui, path, PathUse::Open, &mut decision),
            Dialog::SavePath(path) => typed_path(ui, path, PathUse::Save, &mut decision),
            Dialog::SheetsPath(path) => typed_path(ui, path, PathUse::Sheets, &mut decision),
            Dialog::Template(form) => template(ui, form, unit, &mut decision),
            Dialog::RatesPath(path) => typed_path(ui, path, PathUse::Rates, &mut decision),
            Dialog::PicturePath(path) => typed_path(ui, path, PathUse::Picture, &mut decision),
            Dialog::ComparePath(path) => typed_path(ui, path, PathUse::Compare, &mut decision),
            Dialog::ShotsPath(path) => typed_path(ui, path, PathUse::Shots, &mut decision),
            Dialog::Buries(path) => buries(ui, path, &mut decision),
            Dialog::Settings => settings_ui(ui, settings, ask, &mut decision),
            Dialog::Keys => keys(ui, &mut decision),
            Dialog::Recover(found) => recover(ui, found, &mut decision),
        }
    });
    if modal.should_close() && decision.is_none() {
        decision = Some(Decision::Close);
    }
    if decision.is_none() {
        state.dialog = Some(dialog);
    }
    decision
}

fn heading(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(bold_font(16.0)));
    ui.add_space(4.0);
}

fn unsaved(ui: &mut Ui, after: &AfterSave, decision: &mut Option<Decision>) {
    heading(ui, "Save the changes first?");
    wrapped(ui, "This job has changes that are not in its file. They would be lost.");
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        if ui.button("Save").clicked() {
            *decision = Some(Decision::SaveThen(after.clone()));
        }
        if ui.button("Do not save").clicked() {
            *decision = Some(Decision::Discard(after.clone()));
        }
        if ui.button("Cancel").clicked() {
            *decision = Some(Decision::Close);
        }
    });
}

fn buries(ui: &mut Ui, path: &std::path::Path, decision: &mut Option<Decision>) {
    heading(ui, "Someone else changed this file");
    wrapped(
        ui,
        format!(
            "{} was saved by another window or person since it was opened here. Saving over it \
             keeps their version beside it, in a file that ends in .bak.",
            path.display()
        ),
    );
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        if ui.button("Save as another file…").clicked() {
            *decision = Some(Decision::SaveElsewhere);
        }
        if ui.button("Save over it").clicked() {
            *decision = Some(Decision::SaveOver(path.to_owned()));
        }
        if ui.button("Open theirs").on_hover_text("Changes made here are given up").clicked() {
            *decision = Some(Decision::OpenFrom(path.to_owned()));
        }
        if ui.button("Cancel").clicked() {
            *decision = Some(Decision::Close);
        }
    });
}

fn template(
    ui: &mut Ui,
    form: &mut TemplateForm,
    display: Display,
    decision: &mut Option<Decision>,
) {
    heading(ui, "Start from a usual outline");
    for choice in Template::ALL {
        ui.radio_value(&mut form.template, choice, choice.name());
    }
    ui.add_space(6.0);
    let mut inches = Vec::new();
    let mut problem = None;
    let mut is_entered = false;
    for ((name, feet), text) in form.template.sizes().iter().zip(&mut form.sizes) {
        let offered = Length::feet(*feet);
        ui.horizontal(|ui| {
            let label = ui.add_sized([220.0, 28.0], egui::Label::new(*name));
            let field = egui::TextEdit::singleline(text)
                .hint_text(show_length(offered, display.rounding))
                .margin(egui::Margin::symmetric(6, 6))
                .desired_width(140.0);
            let response = ui.add(field).labelled_by(label.id);
            is_entered |= response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        });
        let read = if text.trim().is_empty() {
            Ok(offered)
        } else {
            parse_length(text, display.bare_unit).map_err(|error| format!("{name}: {error}"))
        };
        match read {
            Ok(length) => inches.push(length.to_inches()),
            Err(reason) => problem = Some(reason),
        }
    }
    let corners = match problem {
        Some(problem) => Err(problem),
        None => form.template.corners(&inches),
    };
    ui.add_space(6.0);
    if let Err(problem) = &corners {
        wrapped(ui, RichText::new(format!("▲ {problem}")).color(ui.visuals().error_fg_color));
    }
    ui.horizontal(|ui| {
        let start = ui.add_enabled(corners.is_ok(), egui::Button::new("Start with it"));
        if (start.clicked() || is_entered)
            && let Ok(corners) = corners
        {
            *decision = Some(Decision::StartFrom(corners));
        }
        if ui.button("Cancel").clicked() {
            *decision = Some(Decision::Close);
        }
    });
}

fn recover(ui: &mut Ui, found: &[LeftOver], decision: &mut Option<Decision>) {
    heading(ui, "Unsaved work was found");
    wrapped(ui, "The program ended before this work was saved. Nothing of it is lost yet.");
    ui.add_space(6.0);
    for (index, left) in found.iter().enumerate() {
        ui.push_id(index, |ui| {
            let name = &left.job.facts.title;
            let name = if name.is_empty() { "Untitled job" } else { name.as_str() };
            ui.label(RichText::new(name).strong());
            match &left.path {
                Some(path) => note(ui, path.display().to_string()),
                None => note(ui, "It never had a file"),
            };
            ui.horizontal(|ui| {
                if ui.button("Go on with it").clicked() {
                    *decision = Some(Decision::Recover(Box::new(left.clone())));
                }
                if ui.button("Throw it away").clicked() {
                    *decision = Some(Decision::Forget(left.path.clone()));
                }
            });
        });
    }
    ui.add_space(6.0);
    if ui.button("Decide later").clicked() {
        *decision = Some(Decision::Close);
    }
}

fn typed_path(ui: &mut Ui, path: &mut String, path_use: PathUse, decision: &mut Option<Decision>) {
    let (title, name) = match path_use {
        PathUse::Open => ("Open a job", "Open"),
        PathUse::Save => ("Save the job", "Save"),
        PathUse::Sheets => ("Print the sheets as PDF", "Print"),
        PathUse::Rates => ("Take the rates of another job", "Take them"),
        PathUse::Picture => ("Lay a picture of the plan under the slab", "Lay it"),
        PathUse::Compare => ("Compare with another job", "Compare"),
        PathUse::Shots => ("Read shots of the ground", "Read them"),
    };
    heading(ui, title);
    let label = ui.label("Path of the file");
    let field = egui::TextEdit::singleline(path).desired_width(f32::INFINITY);
    let response = ui.add(field).labelled_by(label.id);
    if !response.has_focus() && !response.lost_focus() {
        response.request_focus();
    }
    let is_entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        let can = !path.trim().is_empty();
        if ui.add_enabled(can, egui::Button::new(name)).clicked() || (is_entered && can) {
            let path = PathBuf::from(path.trim());
            *decision = Some(match path_use {
                PathUse::Open => Decision::OpenFrom(path),
                PathUse::Save => Decision::SaveTo(path),
                PathUse::Sheets => Decision::SheetsTo(path),
                PathUse::Rates => Decision::RatesFrom(path),
                PathUse::Picture => Decision::PictureFrom(path),
                PathUse::Compare => Decision::CompareWith(path),
                PathUse::Shots => Decision::ShotsFrom(path),
            });
        }
        if ui.button("Cancel").clicked() {
            *decision = Some(Decision::Close);
        }
    });
}

fn settings_ui(
    ui: &mut Ui,
    settings: Settings,
    ask: &mut Requests,
    decision: &mut Option<Decision>,
) {
    heading(ui, "Settings");
    let mut changed = settings;
    ui.label("Look");
    ui.horizontal(|ui| {
        for theme in ThemeChoice::ALL {
            ui.radio_value(&mut changed.theme, theme, theme.name());
        }
    });
    for (label, value, sizes) in [
        ("Size of everything", &mut changed.scale, [0.9, 1.0, 1.15, 1.3, 1.6, 2.0]),
        ("Text on the plan", &mut changed.plan_text, [0.9, 1.0, 1.15, 1.3, 1.6, 2.0]),
    ] {
        ui.label(label);
        ui.horizontal(|ui| {
            for size in sizes {
                let is_chosen = (*value - size).abs() < 0.01;
                let name = format!("{:.0} %", size * 100.0);
                if ui.radio(is_chosen, name).clicked() {
                    *value = size;
                }
            }
        });
    }
    note(ui, "Units of a job are chosen at the right end of the bar below the plan.");
    if changed != settings {
        ask.push(Request::Settings(changed));
    }
    ui.add_space(8.0);
    if ui.button("Close").clicked() {
        *decision = Some(Decision::Close);
    }
}

fn keys(ui: &mut Ui, decision: &mut Option<Decision>) {
    heading(ui, "Keys");
    egui::ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        for (name, key) in [
            ("Pan", "middle or right drag, Space and drag, or two fingers"),
            ("Zoom", "wheel or pinch, about the pointer"),
            ("Hold snapping off", "Alt"),
            ("Choose several", "Shift and click, or a box"),
            ("Type a length", "figures while a tool is in hand, then Enter"),
            ("Give up", "Escape"),
        ] {
            key_row(ui, name, key);
        }
        ui.separator();
        for row in ACTIONS {
            if let Some(key) = row.key {
                let key = ui.ctx().format_shortcut(&key);
                key_row(ui, row.name, &key);
            }
        }
    });
    ui.add_space(8.0);
    if ui.button("Close").clicked() {
        *decision = Some(Decision::Close);
    }
}

fn key_row(ui: &mut Ui, name: &str, key: &str) {
    ui.horizontal(|ui| {
        ui.label(name);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(RichText::new(key).strong());
        });
    });
}

/// The actions whose name or hint holds every word of the search, best first.
#[must_use]
pub fn found(search: &str) -> Vec<&'static actions::ActionInfo> {
    let words: Vec<String> = search.split_whitespace().map(str::to_lowercase).collect();
    let mut found: Vec<_> = ACTIONS
        .iter()
        .filter(|row| row.action != Action::CommandList)
        .filter(|row| {
            let text = format!("{} {}", row.name, row.hint).to_lowercase();
            words.iter().all(|word| text.contains(word))
        })
        .collect();
    let start = search.trim().to_lowercase();
    found.sort_by_key(|row| !row.name.to_lowercase().starts_with(&start));
    found
}

/// Shows the list of commands; gives the one that was chosen.
pub fn command_list(
    list: &mut CommandList,
    palette: &Palette,
    ui: &mut Ui,
) -> (Option<Action>, bool) {
    let mut chosen = None;
    let context = ui.ctx().clone();
    let modal = Modal::new(Id::unique("commands")).show(&context, |ui| {
        ui.set_width(460.0);
        let field = egui::TextEdit::singleline(&mut list.search)
            .hint_text("What do you want to do?")
            .desired_width(f32::INFINITY);
        let response = ui.add(field).accessible_name("Search commands");
        if !list.has_focus {
            list.has_focus = true;
            response.request_focus();
        }
        if response.changed() {
            list.row = 0;
        }
        let rows = found(&list.search);
        let (down, up, enter) = ui.input(|input| {
            (
                input.key_pressed(Key::ArrowDown),
                input.key_pressed(Key::ArrowUp),
                input.key_pressed(Key::Enter),
            )
        });
        let last = rows.len().saturating_sub(1);
        list.row = if down { (list.row + 1).min(last) } else { list.row.min(last) };
        list.row = if up { list.row.saturating_sub(1) } else { list.row };
        if enter {
            chosen = rows.get(list.row).map(|row| row.action);
        }
        egui::ScrollArea::vertical().max_height(380.0).show(ui, |ui| {
            ui.set_width(ui.available_width());
            for (index, row) in rows.iter().enumerate() {
                let key = row.key.map(|key| ui.ctx().format_shortcut(&key)).unwrap_or_default();
                let button = egui::Button::selectable(index == list.row, row.name)
                    .right_text(RichText::new(key).color(palette.ink_soft))
                    .min_size(egui::vec2(ui.available_width(), 26.0));
                let response = ui.add(button).on_hover_text(row.hint);
                if index == list.row && (down || up) {
                    response.scroll_to_me(None);
                }
                if response.clicked() {
                    chosen = Some(row.action);
                }
            }
            if rows.is_empty() {
                note(ui, "No command has these words.");
            }
        });
    });
    (chosen, modal.should_close())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_are_found_by_their_words() {
        assert_eq!(found("undo").first().map(|row| row.action), Some(Action::Undo));
        assert!(found("bump").iter().any(|row| row.name == "Add rectangle"));
        assert!(found("no such words").is_empty());
    }
}
