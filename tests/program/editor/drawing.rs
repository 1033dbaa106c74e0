//! From nothing to a slab: by clicks, and by the keyboard alone.

use super::desk::Desk;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;

#[test]
fn a_slab_by_clicks_undone_to_nothing_and_redone_to_the_same_bytes() {
    let mut desk = Desk::empty();
    let before = desk.bytes();
    desk.control("Walls");
    for (x, y) in [(4.0, 4.0), (30.0, 4.0), (30.0, 24.0), (4.0, 24.0), (4.0, 4.0)] {
        desk.click(x, y);
    }
    assert!((desk.area_ft2() - 26.0 * 20.0).abs() < 1e-6, "{}", desk.area_ft2());
    assert_eq!(desk.job().heating.manifolds.len(), 1, "a first slab has a manifold at once");
    let drawn = desk.bytes();
    desk.undo();
    assert_eq!(desk.bytes(), before);
    desk.redo();
    assert_eq!(desk.bytes(), drawn);
}

#[test]
fn a_house_with_a_bump_out_by_clicks_is_saved_as_drawn() {
    let mut desk = Desk::empty();
    desk.control("Add rectangle");
    desk.click(2.0, 2.0);
    desk.click(38.0, 26.0);
    desk.frames(2);
    desk.control("Add rectangle");
    desk.click(12.0, 26.0);
    desk.click(24.0, 30.0);
    desk.save();
    let saved = desk.saved();
    let area = slabloom_core::plan::Plan::of(&saved).area / 144.0;
    assert!((area - (36.0 * 24.0 + 12.0 * 4.0)).abs() < 1e-6, "{area}");
    assert_eq!(saved.outline.sides.len(), 8);
    assert!(!desk.harness.state().state.is_changed(), "what was saved counts as saved");
}

#[test]
fn the_same_house_by_the_keyboard_alone() {
    let mut desk = Desk::empty();
    desk.press(Modifiers::NONE, Key::R);
    desk.enter("2, 2");
    desk.enter("36 x 24");
    desk.press(Modifiers::NONE, Key::R);
    desk.enter("12, 26");
    desk.enter("12 x 4");
    desk.save();
    let area = slabloom_core::plan::Plan::of(&desk.saved()).area / 144.0;
    assert!((area - (36.0 * 24.0 + 12.0 * 4.0)).abs() < 1e-6, "{area}");
}

#[test]
fn walls_by_typing_directions_and_lengths() {
    let mut desk = Desk::empty();
    desk.press(Modifiers::NONE, Key::W);
    desk.press(Modifiers::NONE, Key::Enter);
    for leg in ["e 40", "n 28'", "w 16' 0\"", "s 4", "w 24"] {
        desk.enter(leg);
    }
    desk.enter("close");
    assert!((desk.area_ft2() - (40.0 * 28.0 - 24.0 * 4.0)).abs() < 1e-6, "{}", desk.area_ft2());
    assert_eq!(desk.job().outline.sides.len(), 6);
}

#[test]
fn a_template_takes_typed_sizes_and_is_one_step_to_take_back() {
    let mut desk = Desk::empty();
    let before = desk.bytes();
    desk.control("Start from a template…");
    desk.frames(2);
    desk.control("L-shape");
    desk.harness.get_by_label("Length over all").focus();
    desk.frames(2);
    desk.type_text("44' 6\"");
    desk.control("Start with it");
    desk.save();
    let saved = desk.saved();
    let area = slabloom_core::plan::Plan::of(&saved).area / 144.0;
    assert!((area - (44.5 * 28.0 - 16.0 * 12.0)).abs() < 1e-6, "{area}");
    desk.undo();
    assert_eq!(desk.bytes(), before);
}

#[test]
fn an_empty_plan_offers_the_ways_to_start() {
    let mut desk = Desk::empty();
    desk.control("Draw walls");
    desk.frames(2);
    desk.press(Modifiers::NONE, Key::Enter);
    for leg in ["e 20", "n 20", "w 20"] {
        desk.enter(leg);
    }
    desk.enter("close");
    assert!((desk.area_ft2() - 400.0).abs() < 1e-6, "{}", desk.area_ft2());
}
