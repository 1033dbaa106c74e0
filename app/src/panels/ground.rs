//! The ground as shot: shots typed, pasted or read, where to shoot, what to call the excavator
//! back for.

use super::changed;
use crate::canvas::hit::Pick;
use crate::editor::actions::Action;
use crate::editor::requests::{Request, Requests};
use crate::editor::view_context::ViewContext;
use crate::widgets::{choice_field, length_field, note, quantity_row, text_field, toggle_field};
use egui::{Context, Id, RichText, Ui};
use slabloom_core::edit::Edit;
use slabloom_core::geometry::Point;
use slabloom_core::job::ids::{IdSource, ShotId};
use slabloom_core::job::import::shots::{self, HeightColumn, ShotOptions, ShotOrder};
use slabloom_core::job::subgrade::{Shot, Subgrade};
use slabloom_core::pour::propose_shots;
use slabloom_core::units::quantity_text::show_volume;
use slabloom_core::units::{Length, Rounding, Volume, parse_length, show_inches, show_length};

/// Shots that are listed by name; the others are on the plan and the sheet.
const MOST_LISTED: usize = 30;

/// What is typed about shots before it changes the job.
#[derive(Clone, Debug)]
struct Typed {
    text: String,
    problem: Option<String>,
    notes: Vec<String>,
    /// The laser's line of sight: heights are rod readings when given.
    laser: Option<Length>,
    order: ShotOrder,
    /// Distance from one proposed place to the next.
    spacing: Length,
    is_proposing: bool,
}

impl Default for Typed {
    fn default() -> Self {
        Self {
            text: String::new(),
            problem: None,
            notes: Vec::new(),
            laser: None,
            order: ShotOrder::NorthEast,
            spacing: Length::feet(10.0),
            is_proposing: false,
        }
    }
}

fn typed_id() -> Id {
    Id::unique("typed shots")
}

/// Puts the text of a file into the field where shots are typed.
pub fn put_shots_text(context: &Context, text: &str) {
    let known = context.data(|data| data.get_temp::<Typed>(typed_id())).unwrap_or_default();
    let typed = Typed { text: text.to_owned(), problem: None, notes: Vec::new(), ..known };
    context.data_mut(|data| data.insert_temp(typed_id(), typed));
}

pub(super) fn ground_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let mut typed = ui.data(|data| data.get_temp::<Typed>(typed_id())).unwrap_or_default();
    let ground = &cx.job.subgrade;
    let given = height_field(cx, ui, "Target height", Some(ground.target_height));
    changed!(ask, Edit::SetSubgrade, ground, given.flatten(), |copy, v| copy.target_height = v);
    let given = length_field(ui, "Tolerance", ground.tolerance, cx.display());
    changed!(ask, Edit::SetSubgrade, ground, given, |copy, value| copy.tolerance = value);
    let given = toggle_field(ui, "Low ground adds to the order", ground.adds_to_order);
    changed!(ask, Edit::SetSubgrade, ground, given, |copy, value| copy.adds_to_order = value);
    propose(cx, ui, ask, &mut typed);
    take(cx, ui, ask, &mut typed);
    ui.data_mut(|data| data.insert_temp(typed_id(), typed));
    survey(cx, ui);
    listed(cx, ui, ask);
}

/// A height, which may be below its datum; the outer `None` when nothing was typed.
fn height_field(
    cx: &ViewContext<'_>,
    ui: &mut Ui,
    label: &str,
    value: Option<Length>,
) -> Option<Option<Length>> {
    let display = cx.display();
    let shown = value.map_or_else(String::new, |value| show_length(value, display.rounding));
    text_field(ui, label, &shown, |text| {
        if text.is_empty() {
            return Ok(None);
        }
        let read = parse_length(text, display.bare_unit).map_err(|error| error.to_string());
        read.map(Some)
    })
}

/// Where to shoot: lit on the plan while it is asked for.
fn propose(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, typed: &mut Typed) {
    let label = "Show where to shoot";
    typed.is_proposing = toggle_field(ui, label, typed.is_proposing).unwrap_or(typed.is_proposing);
    if !typed.is_proposing {
        return;
    }
    if let Some(spacing) = length_field(ui, "No further apart than", typed.spacing, cx.display()) {
        typed.spacing = spacing;
    }
    let places = propose_shots(cx.plan, typed.spacing.to_inches());
    note(ui, format!("{} places: every corner and a grid between.", places.len()));
    let size = (typed.spacing.to_inches() * 0.06).clamp(3.0, 12.0);
    super::highlight(ask, &places.iter().map(|&at| cross(at, size)).collect::<Vec<_>>());
}

/// A small diamond round a place.
fn cross(at: Point, size: f64) -> Vec<Point> {
    [(size, 0.0), (0.0, size), (-size, 0.0), (0.0, -size)]
        .map(|(x, y)| Point::new(at.x + x, at.y + y))
        .to_vec()
}

/// Shots typed, pasted or read from a file.
fn take(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, typed: &mut Typed) {
    if let Some(laser) = height_field(cx, ui, "Laser height, for a rod", typed.laser) {
        typed.laser = laser;
    }
    let orders = [(ShotOrder::NorthEast, "North, east"), (ShotOrder::EastNorth, "East, north")];
    if let Some(order) = choice_field(ui, "Places are written", typed.order, &orders) {
        typed.order = order;
    }
    let label = ui.label("Shots, one a line: number, place, height, note");
    let field = egui::TextEdit::multiline(&mut typed.text)
        .desired_rows(3)
        .desired_width(f32::INFINITY)
        .hint_text("7, 12', 24'6, -1 1/2\", soft");
    if ui.add(field).labelled_by(label.id).changed() {
        (typed.problem, typed.notes) = (None, Vec::new());
    }
    ui.horizontal_wrapped(|ui| {
        let can = !typed.text.trim().is_empty();
        if ui.add_enabled(can, egui::Button::new("Take these shots")).clicked() {
            match read(cx, typed) {
                Ok((subgrade, notes)) => {
                    ask.edit(Edit::SetSubgrade(subgrade));
                    (typed.text, typed.notes) = (String::new(), notes);
                }
                Err(problem) => typed.problem = Some(problem),
            }
        }
        if ui.button("Read a file…").clicked() {
            ask.act(Action::ReadShots);
        }
        let has_shots = !cx.job.subgrade.shots.is_empty();
        let button = egui::Button::new("Take all shots away");
        if has_shots && ui.add(button).clicked() {
            ask.edit(Edit::SetSubgrade(Subgrade {
                shots: Vec::new(),
                ..(*cx.job.subgrade).clone()
            }));
        }
    });
    if let Some(problem) = &typed.problem {
        let text = RichText::new(format!("▲ {problem}")).color(cx.palette.stop).small();
        ui.add(egui::Label::new(text).wrap());
    }
    for words in &typed.notes {
        note(ui, words);
    }
}

/// The subgrade with the typed shots: one with a known number takes that shot's place, so that
/// ground that was mended is shot again under its old numbers.
fn read(cx: &ViewContext<'_>, typed: &Typed) -> Result<(Subgrade, Vec<String>), String> {
    let options = ShotOptions {
        unit: cx.display().bare_unit,
        order: Some(typed.order),
        heights: typed.laser.map_or(HeightColumn::Heights, HeightColumn::RodReadings),
        ..ShotOptions::default()
    };
    let read = shots::read(&typed.text, options, &mut IdSource::default())
        .map_err(|error| error.to_string())?;
    let mut subgrade = (*cx.job.subgrade).clone();
    for shot in read.shots {
        let known = subgrade
            .shots
            .iter_mut()
            .find(|known| !shot.name.is_empty() && known.name == shot.name);
        match known {
            Some(known) => *known = Shot { id: known.id, ..shot },
            None => subgrade.shots.push(Shot { id: ShotId::default(), ..shot }),
        }
    }
    Ok((subgrade, read.notes))
}

fn survey(cx: &ViewContext<'_>, ui: &mut Ui) {
    let survey = &cx.results.parts.subgrade;
    quantity_row(ui, cx.palette, "Shots", &survey.shots.to_string(), None);
    if survey.shots == 0 {
        note(ui, "Or take the Shot tool (S) and click where the laser was read.");
        return;
    }
    let out = survey.out_of_tolerance.len().to_string();
    quantity_row(ui, cx.palette, "Out of tolerance", &out, None);
    let within = format!("{:.0} %", survey.share_in_tolerance * 100.0);
    quantity_row(ui, cx.palette, "Slab within tolerance", &within, None);
    let volumes = [
        ("Cut", survey.cut),
        ("Fill", survey.fill),
        ("Concrete that low ground takes", survey.extra_concrete),
    ];
    for (name, volume) in volumes {
        let shown = show_volume(Volume::cubic_inches(volume), cx.system());
        quantity_row(ui, cx.palette, name, &shown, None);
    }
    let rate = cx.job.prices.rates.iter().find(|rate| rate.item == "concrete.order");
    if let Some(rate) = rate.filter(|_| survey.extra_concrete > 0.0) {
        let yards = Volume::cubic_inches(survey.extra_concrete).to_cubic_yards();
        let cost = rate.rate.times(yards).to_string();
        quantity_row(ui, cx.palette, "What that concrete costs", &cost, None);
    }
}

/// Shots with what is to be done at each, those out of tolerance first: the call-back.
fn listed(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let ground = &cx.job.subgrade;
    let off = |shot: &Shot| (shot.height - ground.target_height).to_inches();
    let is_out = |shot: &Shot| off(shot).abs() > ground.tolerance.to_inches() + 1e-9;
    let (mut shots, rest): (Vec<&Shot>, Vec<&Shot>) =
        ground.shots.iter().partition(|shot| is_out(shot));
    if shots.is_empty() && !rest.is_empty() {
        note(ui, "No place to call the excavator back for.");
    }
    shots.extend(rest);
    for shot in shots.iter().take(MOST_LISTED) {
        ui.push_id(("shot", shot.id), |ui| {
            ui.horizontal(|ui| {
                let pick = Pick::Item(shot.id.into());
                let name = format!("Shot {}", shot.name);
                if ui.selectable_label(cx.selection.contains(&pick), name).clicked() {
                    ask.push(Request::Select(vec![pick]));
                    ask.push(Request::LookAt(shot.at));
                }
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    let is_out = is_out(shot);
                    let color = if is_out { cx.palette.stop } else { cx.palette.ink };
                    let mark = if is_out { "▲ " } else { "" };
                    let what = format!("{mark}{}", what_to_do(off(shot)));
                    ui.label(RichText::new(what).color(color));
                });
            });
        });
    }
    if shots.len() > MOST_LISTED {
        note(ui, format!("and {} more on the plan", shots.len() - MOST_LISTED));
    }
}

/// `cut 1 1/2"` for high ground, `fill 1 3/8"` for low.
fn what_to_do(off: f64) -> String {
    let shown = show_inches(Length::inches(off.abs()), Rounding::Eighth);
    match off {
        off if shown.starts_with("0\"") || off == 0.0 => "at grade".to_owned(),
        off if off > 0.0 => format!("cut {shown}"),
        _ => format!("fill {shown}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn high_ground_is_cut_and_low_ground_filled() {
        assert_eq!(what_to_do(1.5), "cut 1 1/2\"");
        assert_eq!(what_to_do(-1.375), "fill 1 3/8\"");
        assert_eq!(what_to_do(0.01), "at grade");
        assert_eq!(what_to_do(0.0), "at grade");
    }
}
