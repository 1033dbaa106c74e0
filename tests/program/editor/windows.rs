//! Windows over the plan: nothing is lost without a word, and every command can be found.

use super::desk::{Desk, SAVED, rectangle};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slabloom::editor::file_door::Picked;
use slabloom_core::job::Job;
use std::path::PathBuf;

fn changed() -> Desk {
    let mut desk = Desk::with(rectangle());
    desk.drag((40.0, 9.0), (42.0, 9.0));
    assert!(desk.harness.state().state.is_changed());
    desk
}

#[test]
fn a_new_job_asks_before_it_loses_changes() {
    let mut desk = changed();
    desk.press(Modifiers::COMMAND, Key::N);
    assert!(desk.harness.query_by_label("Save the changes first?").is_some());
    desk.control("Cancel");
    assert!((desk.area_ft2() - 42.0 * 28.0).abs() < 1e-6);
    desk.press(Modifiers::COMMAND, Key::N);
    desk.control("Save");
    desk.frames(3);
    assert!((slabloom_core::plan::Plan::of(&desk.saved()).area / 144.0 - 1176.0).abs() < 1e-6);
    assert!(desk.job().outline.sides.is_empty(), "then the new job is there");
}

#[test]
fn changes_can_be_given_up() {
    let mut desk = changed();
    desk.press(Modifiers::COMMAND, Key::N);
    desk.control("Do not save");
    assert!(desk.job().outline.sides.is_empty());
}

#[test]
fn without_a_dialog_of_the_system_a_path_is_typed() {
    let mut desk = Desk::answering(rectangle(), Picked::NoDialog);
    desk.save();
    assert!(desk.harness.query_by_label("Save the job").is_some());
    desk.press(Modifiers::COMMAND, Key::A);
    desk.enter(SAVED);
    desk.frames(2);
    assert_eq!(desk.saved().outline.sides.len(), 4);
}

#[test]
fn work_that_was_not_saved_is_there_after_a_kill() {
    let mut desk = changed();
    // A little after the last change it is kept aside.
    desk.frames(12);
    let bytes = desk.bytes();
    let kept = std::rc::Rc::clone(&desk.kept);
    // No farewell: the window is simply gone.
    drop(desk);
    let mut desk = Desk::over(Job::default(), Picked::Path(PathBuf::from(SAVED)), kept);
    assert!(desk.harness.query_by_label("Unsaved work was found").is_some());
    desk.control("Go on with it");
    assert_eq!(desk.bytes(), bytes);
    assert!(desk.harness.state().state.is_changed(), "it is still not in its file");
    desk.save();
    assert_eq!(desk.written(), bytes, "and then it is, to the byte");
    assert!(desk.kept.borrow().is_empty(), "saved work need not be kept aside");
}

#[test]
fn the_sheets_are_printed_from_the_window() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    desk.press(Modifiers::COMMAND, Key::P);
    desk.frames(3);
    assert!(desk.written().lines().count() > 2, "{}", desk.written());
    let message = desk.harness.state().state.message.clone();
    assert!(message.is_some_and(|message| message.text.contains("sheets")));
}

#[test]
fn a_command_is_found_by_its_words() {
    let mut desk = Desk::with(rectangle());
    desk.press(Modifiers::COMMAND, Key::K);
    desk.enter("stage pour");
    desk.frames(2);
    assert_eq!(desk.harness.state().state.stage, slabloom::editor::stages::Stage::Pour);
}

#[test]
fn every_stage_shows_without_a_control_that_has_no_name() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    for stage in ["Forms", "Foam", "Tube", "Saw", "Pour", "Bid"] {
        // The desk fails on a control without a name, and on a letter without a glyph.
        desk.control(&format!("Stage {stage}"));
        desk.frames(2);
    }
    for dialog in [Key::Comma, Key::K] {
        desk.press(Modifiers::COMMAND, dialog);
        desk.press(Modifiers::NONE, Key::Escape);
    }
}
