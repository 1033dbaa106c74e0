//! The panels at the right: the live figures, the stage's own choices, what is chosen, findings.

mod alternates;
mod bid;
mod figures;
mod findings;
mod foam;
mod foam_checks;
mod forms;
mod ground;
mod heat;
mod order;
mod plan_picture;
mod pour;
mod properties;
mod record;
mod saw;
mod side_by_side;
mod terms;
mod tickets;
mod tube;

pub use alternates::compare_ui;
pub use figures::{Figure, figures, live_figures_ui};
pub use findings::findings_ui;
pub use ground::put_shots_text;
pub use properties::properties_ui;
pub use side_by_side::side_by_side_ui;

use crate::editor::requests::{Request, Requests};
use crate::editor::stages::Stage;
use crate::editor::view_context::ViewContext;
use crate::widgets::note;
use egui::{RichText, Ui};

/// The panel of the stage.
pub fn stage_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    missing_ui(cx, ui);
    match cx.stage {
        Stage::Forms => forms::forms_ui(cx, ui, ask),
        Stage::Foam => foam::foam_ui(cx, ui, ask),
        Stage::Tube => tube::tube_ui(cx, ui, ask),
        Stage::Heat => heat::heat_ui(cx, ui, ask),
        Stage::Saw => saw::saw_ui(cx, ui, ask),
        Stage::Pour => pour::pour_ui(cx, ui, ask),
        Stage::Bid => bid::bid_ui(cx, ui, ask),
    }
}

/// What should still be done in this stage.
fn missing_ui(cx: &ViewContext<'_>, ui: &mut Ui) {
    if cx.awaits_first {
        return;
    }
    let missing = cx.stage.missing(cx.job, cx.results);
    if missing.is_empty() {
        return;
    }
    egui::Frame::new().fill(cx.palette.accent_wash).corner_radius(4.0).inner_margin(8.0).show(
        ui,
        |ui| {
            ui.set_width(ui.available_width());
            ui.label(
                RichText::new("Next").family(crate::editor::theme::bold()).color(cx.palette.ink),
            );
            for what in missing {
                ui.add(
                    egui::Label::new(RichText::new(format!("•  {what}")).color(cx.palette.ink))
                        .wrap(),
                );
            }
        },
    );
    ui.add_space(6.0);
}

/// Words where there are no figures yet.
fn empty(ui: &mut Ui, what: &str) {
    note(ui, what);
}

/// Asks for a changed copy of a subject, when something in it was changed.
macro_rules! changed {
    ($ask:expr, $edit:path, $subject:expr, $given:expr, |$copy:ident, $value:ident| $set:expr) => {
        if let Some($value) = $given {
            let mut $copy = (**$subject).clone();
            $set;
            $ask.edit($edit($copy));
        }
    };
}
use changed;

/// Shows shapes on the plan while the pointer is over a row.
fn highlight(ask: &mut Requests, places: &[Vec<slabloom_core::geometry::Point>]) {
    ask.push(Request::Highlight(places.to_vec()));
}
