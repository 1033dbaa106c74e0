//! Others at the same file, and values that no slab can have: told in clear words, nothing lost.

use super::desk::{Desk, rectangle};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slabloom_core::job::Job;
use slabloom_core::units::Length;
use std::sync::Arc;

fn with_title(title: &str) -> Job {
    let mut job = rectangle();
    Arc::make_mut(&mut job.facts).title = title.to_owned();
    job
}

fn message(desk: &Desk) -> String {
    desk.harness.state().state.message.clone().map_or_else(String::new, |message| message.text)
}

#[test]
fn a_job_that_is_open_elsewhere_says_who_has_it() {
    let mut desk = Desk::with(rectangle());
    desk.holder.replace(Some("process 4711 on shop".to_owned()));
    desk.save();
    assert!(message(&desk).contains("process 4711 on shop"), "{}", message(&desk));
    assert!(desk.harness.query_by_label("open elsewhere").is_some());
    assert_eq!(desk.saved(), rectangle(), "it warns and does not forbid");
}

#[test]
fn a_save_never_buries_what_another_saved_without_a_word() {
    let mut desk = Desk::with(with_title("Mine"));
    desk.save();
    let theirs = with_title("Theirs");
    desk.written_by_another(&theirs);
    // Found within two seconds, without anyone asking.
    desk.frames(150);
    assert!(message(&desk).contains("Someone else changed"), "{}", message(&desk));
    desk.drag((40.0, 9.0), (42.0, 9.0));
    desk.save();
    assert!(desk.harness.query_by_label("Someone else changed this file").is_some());
    assert_eq!(desk.saved(), theirs, "nothing was written yet");
    desk.control("Cancel");
    assert_eq!(desk.saved(), theirs);
    desk.save();
    desk.control("Save over it");
    assert_eq!(desk.saved().facts.title, "Mine");
    assert!(desk.harness.query_by_label("changed by others").is_none(), "the file is ours again");
}

#[test]
fn the_version_of_another_can_be_opened_instead() {
    let mut desk = Desk::with(with_title("Mine"));
    desk.save();
    desk.written_by_another(&with_title("Theirs"));
    desk.save();
    desk.control("Open theirs");
    assert_eq!(desk.job().facts.title, "Theirs");
}

#[test]
fn a_value_that_no_slab_has_stays_in_its_field_with_the_reason() {
    let mut desk = Desk::with(rectangle());
    let before = desk.bytes();
    desk.harness.get_by_label("Floor thickness").focus();
    desk.frames(2);
    desk.enter("900'");
    desk.frames(3);
    assert_eq!(desk.bytes(), before, "the job is as it was");
    assert_eq!(desk.harness.state().state.history.undo_names().count(), 0);
    let told = desk.harness.query_all_by_label_contains("Write a length from").count();
    assert!(told >= 2, "under the field and in the bar: {told}");
    // What was typed stands there to be mended.
    desk.harness.get_by_label("Floor thickness").focus();
    desk.frames(2);
    desk.press(Modifiers::COMMAND, Key::A);
    desk.enter("6\"");
    desk.frames(3);
    assert_eq!(desk.job().build_up.floor_thickness, Length::inches(6.0));
    assert_eq!(desk.harness.query_all_by_label_contains("Write a length from").count(), 0);
    desk.undo();
    assert_eq!(desk.bytes(), before);
}

#[test]
fn figures_of_one_job_never_stand_for_another() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    assert!(desk.harness.state().state.results.parts.concrete.volumes.net > 0.0);
    desk.press(Modifiers::COMMAND, Key::N);
    let state = &desk.harness.state().state;
    let is_new = state.job().outline.sides.is_empty();
    let net = state.results.parts.concrete.volumes.net;
    assert!(is_new && net.abs() < 1e-9, "{net} of the job before");
    // Until its own figures are there, nothing is said about the slab.
    desk.settle();
    assert!(!desk.harness.state().state.awaits_first());
    let job = rectangle();
    desk.harness.state_mut().state.replace(job, None);
    desk.harness.step();
    // This frame has only asked for them.
    assert_eq!(desk.harness.query_all_by_label_contains("Nothing to report").count(), 0);
    assert!(desk.harness.query_all_by_label_contains("being worked out").count() > 0);
}
