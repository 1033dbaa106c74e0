//! Fields: a label at the left, what is written at the right, and what is wrong with it below.
//!
//! A field shows the value until someone writes in it; it gives a new value when Enter is
//! pressed or the focus leaves, and only if what is written can be read. What cannot be read
//! stays in the field with the reason under it, so that nothing typed is lost.

use egui::{Context, Id, Key, RichText, TextEdit, Ui};
use slabloom_core::job::facts::Display;
use slabloom_core::units::{Length, parse_length, show_length, show_number};

/// What a field remembers between frames.
#[derive(Clone, Debug, Default)]
struct FieldState {
    text: String,
    problem: Option<String>,
    is_open: bool,
    /// Given in the last frame: whether it was taken is known in this one.
    given: Option<String>,
}

/// Where the reason of a refused change waits for the field that it came from.
fn refusal_id() -> Id {
    Id::unique("refused change")
}

/// Notes that a change asked for in this frame was refused, and why; the field that gave it shows
/// the reason in the next frame and keeps what was typed.
pub fn refuse(context: &Context, reason: &str) {
    context.data_mut(|data| data.insert_temp(refusal_id(), reason.to_owned()));
    context.request_repaint();
}

/// Forgets the refusal of the frame before.
pub fn forget_refusal(context: &Context) {
    context.data_mut(|data| data.remove::<String>(refusal_id()));
}

/// Width of the part where values are written.
const VALUE_WIDTH: f32 = 130.0;

/// A row with a label and something at the right; the label names it for screen readers too.
fn row<R>(ui: &mut Ui, label: &str, value: impl FnOnce(&mut Ui, Id) -> R) -> R {
    ui.horizontal(|ui| {
        let width = (ui.available_width() - VALUE_WIDTH - ui.spacing().item_spacing.x).max(60.0);
        let label = ui
            .allocate_ui_with_layout(
                egui::vec2(width, ui.spacing().interact_size.y),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| {
                    ui.set_min_width(width);
                    ui.add(egui::Label::new(label).truncate())
                },
            )
            .inner;
        value(ui, label.id)
    })
    .inner
}

/// A field for anything that is written as text.
pub fn text_field<T>(
    ui: &mut Ui,
    label: &str,
    shown: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> Option<T> {
    let id = ui.make_persistent_id(("field", label));
    let mut state = ui.data(|data| data.get_temp::<FieldState>(id)).unwrap_or_default();
    if let Some(text) = state.given.take()
        && let Some(reason) = ui.data(|data| data.get_temp::<String>(refusal_id()))
    {
        state = FieldState { text, problem: Some(reason), is_open: true, given: None };
    }
    if !state.is_open {
        state.text = shown.to_owned();
    }
    let mut given = None;
    row(ui, label, |ui, label_id| {
        let response = ui
            .add(
                TextEdit::singleline(&mut state.text)
                    .id(id)
                    .desired_width(VALUE_WIDTH - 8.0)
                    .margin(egui::Margin::symmetric(6, 7)),
            )
            .labelled_by(label_id);
        if response.gained_focus() {
            state.is_open = true;
            select_all(ui, id, &state.text);
        }
        if response.changed() {
            state.is_open = true;
            state.problem = None;
        }
        if response.lost_focus() {
            let is_dropped = ui.input(|input| input.key_pressed(Key::Escape));
            if is_dropped || state.text.trim() == shown.trim() {
                state = FieldState::default();
            } else {
                match read(state.text.trim()) {
                    Ok(value) => {
                        given = Some(value);
                        let text = std::mem::take(&mut state.text);
                        state = FieldState { given: Some(text), ..FieldState::default() };
                    }
                    Err(problem) => state.problem = Some(problem),
                }
            }
        }
    });
    if let Some(problem) = &state.problem {
        let text = RichText::new(format!("▲ {problem}")).color(ui.visuals().error_fg_color).small();
        ui.add(egui::Label::new(text).wrap());
    }
    ui.data_mut(|data| data.insert_temp(id, state));
    given
}

fn select_all(ui: &Ui, id: Id, text: &str) {
    use egui::text::{CCursor, CCursorRange};
    let mut edit = egui::text_edit::TextEditState::load(ui.ctx(), id).unwrap_or_default();
    let end = CCursor::new(text.chars().count());
    edit.cursor.set_char_range(Some(CCursorRange::two(CCursor::new(0), end)));
    edit.store(ui.ctx(), id);
}

/// A field for a length, in whatever way people write lengths.
pub fn length_field(ui: &mut Ui, label: &str, value: Length, display: Display) -> Option<Length> {
    let shown = show_length(value, display.rounding);
    text_field(ui, label, &shown, |text| {
        let length = parse_length(text, display.bare_unit).map_err(|error| error.to_string())?;
        if length.to_inches() < 0.0 {
            Err("A length cannot be less than nothing".to_owned())
        } else {
            Ok(length)
        }
    })
}

/// A field for a bare number of `unit`, at least zero.
pub fn number_field(ui: &mut Ui, label: &str, value: f64, unit: &str) -> Option<f64> {
    let decimals = if (value - value.round()).abs() < 1e-9 { 0 } else { 2 };
    let shown = if unit.is_empty() {
        show_number(value, decimals)
    } else {
        format!("{} {unit}", show_number(value, decimals))
    };
    text_field(ui, label, &shown, |text| {
        let bare: String = text
            .trim_end_matches(unit)
            .chars()
            .filter(|character| !matches!(character, ',' | ' ' | '$'))
            .collect();
        match bare.trim_end_matches('%').parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            _ => Err(format!("“{text}” is no number")),
        }
    })
}

/// A value with the name it is chosen by.
pub type Choice<'a, T> = (T, &'a str);

/// A field where one of a few is chosen.
pub fn choice_field<T: PartialEq + Copy>(
    ui: &mut Ui,
    label: &str,
    value: T,
    choices: &[Choice<'_, T>],
) -> Option<T> {
    let shown =
        choices.iter().find(|(choice, _)| *choice == value).map_or("other", |choice| choice.1);
    let mut given = None;
    row(ui, label, |ui, label_id| {
        egui::ComboBox::from_id_salt(("choice", label))
            .width(VALUE_WIDTH - 2.0)
            .selected_text(shown)
            .truncate()
            .show_ui(ui, |ui| {
                for (choice, name) in choices {
                    if ui.selectable_label(*choice == value, *name).clicked() && *choice != value {
                        given = Some(*choice);
                    }
                }
            })
            .response
            .labelled_by(label_id);
    });
    given
}

/// A field that is on or off.
pub fn toggle_field(ui: &mut Ui, label: &str, value: bool) -> Option<bool> {
    let mut is_on = value;
    ui.checkbox(&mut is_on, label).changed().then_some(is_on)
}
