//! This job beside another: every quantity of both and what each costs, with the difference.

use crate::editor::file_door::OtherJob;
use crate::editor::theme::bold;
use crate::editor::view_context::ViewContext;
use crate::widgets::{note, wrapped};
use egui::{Align, Layout, RichText, Ui};
use slabloom_core::price::Price;
use slabloom_core::takeoff::{QuantityPair, side_by_side};
use slabloom_core::units::{Cents, show_number};

/// Widths of the columns: what, this, other, difference.
const COLUMNS: [f32; 4] = [300.0, 104.0, 104.0, 104.0];
/// Differences below what any figure shows are none.
const SAME: f64 = 0.005;

/// Both jobs, line by line.
pub fn side_by_side_ui(
    cx: &ViewContext<'_>,
    other: Option<&OtherJob>,
    shows_all: &mut bool,
    ui: &mut Ui,
) {
    let Some(other) = other else {
        note(ui, "The other job is being worked out…");
        return;
    };
    wrapped(ui, format!("The other job: {}", other.path.display()));
    if cx.is_behind {
        note(ui, "Newer figures of this job are coming.");
    }
    ui.checkbox(shows_all, "Show what is the same, too");
    ui.add_space(4.0);
    let title = if other.title.is_empty() { "Other" } else { &other.title };
    row(cx, ui, ["", "This job", title, "Difference"], true);
    let (own, theirs) = (&cx.results.parts, &other.results.parts);
    let (own_price, their_price) = (own.price.total, theirs.price.total);
    let texts = [own_price.to_string(), their_price.to_string(), step(their_price.0 - own_price.0)];
    row(cx, ui, ["Price, each at its own rates", &texts[0], &texts[1], &texts[2]], true);
    ui.separator();
    let pairs = side_by_side(&own.takeoff, &theirs.takeoff);
    let shown: Vec<_> =
        pairs.iter().filter(|pair| *shows_all || pair.difference().abs() >= SAME).collect();
    let height = (ui.ctx().content_rect().height() - 320.0).clamp(160.0, 620.0);
    egui::ScrollArea::vertical().max_height(height).show(ui, |ui| {
        let mut subject = None;
        for pair in &shown {
            if subject != Some(pair.subject) {
                subject = Some(pair.subject);
                ui.add_space(4.0);
                ui.label(RichText::new(pair.subject.name()).family(bold()));
            }
            let texts = words(pair);
            row(cx, ui, texts.each_ref().map(String::as_str), false);
        }
        if shown.is_empty() {
            note(ui, "Every quantity is the same in both.");
        }
        let costs = money(&own.price, &theirs.price, *shows_all);
        if !costs.is_empty() {
            ui.add_space(4.0);
            ui.label(RichText::new("Cost, before overhead, margin and tax").family(bold()));
        }
        for (name, own, theirs) in costs {
            let difference = step(theirs.0 - own.0);
            row(cx, ui, [name, &own.to_string(), &theirs.to_string(), &difference], false);
        }
    });
}

/// A line of four columns, figures at the right of theirs.
fn row(cx: &ViewContext<'_>, ui: &mut Ui, texts: [&str; 4], is_bold: bool) {
    ui.horizontal(|ui| {
        for (place, (text, width)) in texts.into_iter().zip(COLUMNS).enumerate() {
            let layout = match place {
                0 => Layout::left_to_right(Align::Center),
                _ => Layout::right_to_left(Align::Center),
            };
            let color = if place == 3 && !is_bold { cx.palette.accent } else { cx.palette.ink };
            let words = RichText::new(text).color(color);
            let words = if is_bold { words.family(bold()) } else { words };
            ui.allocate_ui_with_layout(egui::vec2(width, 20.0), layout, |ui| {
                ui.set_min_width(width);
                ui.add(egui::Label::new(words).truncate());
            });
        }
    });
}

/// What a pair says in each column.
fn words(pair: &QuantityPair) -> [String; 4] {
    let is_whole = |value: f64| (value - value.round()).abs() < 1e-6;
    let decimals = if is_whole(pair.first) && is_whole(pair.second) { 0 } else { 2 };
    let unit = pair.unit.replace("ft2", "ft²").replace("yd3", "yd³");
    let show = |value: f64| {
        if value == 0.0 { "none".to_owned() } else { show_number(value, decimals) }
    };
    let difference = pair.difference();
    let size = show_number(difference.abs(), decimals);
    let difference = match difference {
        none if none.abs() < SAME => "same".to_owned(),
        more if more > 0.0 => format!("+{size}"),
        _ => format!("−{size}"),
    };
    [format!("{}, {unit}", pair.item), show(pair.first), show(pair.second), difference]
}

/// What each stage of the work costs in both.
fn money(own: &Price, theirs: &Price, shows_all: bool) -> Vec<(&'static str, Cents, Cents)> {
    let of = |price: &Price, stage: &str| {
        let found = price.stages.iter().find(|known| known.stage == stage);
        found.map_or(Cents(0), |known| known.amount)
    };
    let mut stages: Vec<&'static str> = own.stages.iter().map(|stage| stage.stage).collect();
    for stage in &theirs.stages {
        if !stages.contains(&stage.stage) {
            stages.push(stage.stage);
        }
    }
    stages
        .into_iter()
        .map(|stage| (stage, of(own, stage), of(theirs, stage)))
        .filter(|(_, own, theirs)| shows_all || own != theirs)
        .collect()
}

/// A difference of money, with its sign.
pub(super) fn step(cents: i64) -> String {
    match cents {
        0 => "no change".to_owned(),
        more if more > 0 => format!("+{}", Cents(more)),
        less => format!("−{}", Cents(-less)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::price::StagePrice;
    use slabloom_core::takeoff::Subject;

    #[test]
    fn a_difference_of_money_has_its_sign() {
        assert!(step(12_345).starts_with('+'));
        assert!(step(-12_345).starts_with('−'));
        assert_eq!(step(0), "no change");
    }

    #[test]
    fn a_pair_says_what_each_has_and_the_difference() {
        let pair = |first, second| {
            let (key, item) = ("concrete.net".to_owned(), "Concrete".to_owned());
            words(&QuantityPair { key, subject: Subject::Pour, item, unit: "yd3", first, second })
        };
        assert_eq!(pair(20.5, 18.25), ["Concrete, yd³", "20.50", "18.25", "−2.25"]);
        assert_eq!(pair(0.0, 3.0), ["Concrete, yd³", "none", "3", "+3"]);
        assert_eq!(pair(3.0, 3.0)[3], "same");
    }

    #[test]
    fn stages_of_either_job_are_priced_and_the_same_ones_left_out() {
        let priced = |stages: &[(&'static str, i64)]| Price {
            stages: stages
                .iter()
                .map(|&(stage, cents)| StagePrice { stage, amount: Cents(cents) })
                .collect(),
            ..Price::default()
        };
        let own = priced(&[("Foam", 100), ("Tube", 50)]);
        let theirs = priced(&[("Foam", 100), ("Steel", 70)]);
        let told = money(&own, &theirs, false);
        assert_eq!(told, [("Tube", Cents(50), Cents(0)), ("Steel", Cents(0), Cents(70))]);
        assert_eq!(money(&own, &theirs, true).len(), 3);
    }
}
