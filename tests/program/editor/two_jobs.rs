//! Two jobs held against each other in the window.

use super::desk::{Desk, SAVED, rectangle};
use egui_kittest::kittest::Queryable;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;

#[test]
fn another_job_stands_beside_this_one_with_what_differs() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    let corners = [(0.0, 0.0), (46.0, 0.0), (46.0, 28.0), (0.0, 28.0)];
    let larger = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
    desk.written_by_another(&larger);
    desk.command("compare with another");
    let state = &desk.harness.state().state;
    let other = state.other.as_ref().and_then(|other| other.job()).expect("it is worked out");
    assert_eq!(other.path.to_str(), Some(SAVED));
    let own = state.results.parts.takeoff.line("forms.length").expect("forms").quantity;
    let theirs = other.results.parts.takeoff.line("forms.length").expect("forms").quantity;
    assert!((theirs - own - 12.0).abs() < 0.01, "two sides are 6 ft longer: {own} {theirs}");
    let shown = desk.harness.query_all_by_label_contains("+12").count();
    assert!(shown > 0, "the difference is on the screen");
    // The job itself is as it was, and a change of it shows beside the other.
    assert_eq!(desk.job(), rectangle());
    desk.control("Close window");
    assert!(desk.harness.state().state.other.is_none());
}

#[test]
fn a_job_that_cannot_be_read_is_told_and_nothing_opens() {
    let mut desk = Desk::with(rectangle());
    desk.command("compare with another");
    assert!(desk.harness.state().state.other.is_none());
    assert!(desk.harness.state().state.message.clone().is_some_and(|told| told.is_problem));
}
