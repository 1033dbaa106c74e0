//! Where a number comes from, where a finding is, and what can be done at a place.

use super::desk::{Desk, rectangle};
use egui_kittest::kittest::Queryable;
use slabloom_core::geometry::Point;
use slabloom_core::job::edges::EdgeProfile;
use slabloom_core::job::file;

#[test]
fn a_number_that_is_clicked_lights_up_the_parts_it_adds_up_from() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    desk.control("Where Foam boards comes from");
    desk.frames(2);
    let state = &desk.harness.state().state;
    let pieces = state.results.parts.foam.layers[0].pieces.len();
    assert_eq!(state.highlight.len(), pieces, "every piece of board is lit");
    let message = state.message.clone().expect("it is said too").text;
    assert!(message.contains("boards"), "{message}");
    desk.frames(20);
    assert_eq!(desk.harness.state().state.highlight.len(), pieces, "and stays lit");
    desk.click(20.0, -6.0);
    desk.frames(2);
    assert!(desk.harness.state().state.highlight.is_empty(), "until something else is chosen");
}

#[test]
fn the_parts_of_a_takeoff_line_are_listed_under_it() {
    let mut desk = Desk::with(rectangle());
    desk.control("Stage Bid");
    desk.settle();
    let lines = desk.harness.state().state.results.parts.takeoff.lines.clone();
    let line = lines.iter().find(|line| line.parts.len() > 1).expect("something adds up");
    desk.harness.get_by_label(&line.item).click();
    desk.frames(3);
    let part = &line.parts[0].name;
    assert!(desk.harness.query_all_by_label_contains(part).count() > 0, "{part}");
}

#[test]
fn a_finding_that_is_clicked_is_shown_near() {
    // The shots of the sample house lie too unevenly, and that is found at a place.
    let house = file::read(include_str!("../../../samples/house.ron")).unwrap().job;
    let mut desk = Desk::with(house);
    desk.settle();
    let findings = desk.harness.state().state.results.findings.clone();
    let finding = findings.iter().find(|finding| finding.at.is_some());
    let finding = finding.expect("the house has a finding with a place").clone();
    desk.harness.query_all_by_label_contains(&finding.message).next().expect("listed").click();
    desk.frames(3);
    let state = &desk.harness.state().state;
    assert!(state.canvas.view.center.distance(finding.at.unwrap()) < 1e-6);
    assert!(!state.highlight.is_empty(), "a ring shows the place");
    let shown = 600.0 / state.canvas.view.zoom / 12.0;
    assert!(shown < 30.0, "{shown} ft are in sight");
}

#[test]
fn a_right_click_offers_what_can_be_done_there() {
    let mut desk = Desk::with(rectangle());
    desk.right_click(12.0, 0.0);
    desk.control("Make this side a door");
    desk.frames(2);
    let job = desk.job();
    let side = job.outline.sides[0].id;
    assert!(matches!(job.edges.by_side.get(&side), Some(EdgeProfile::Threshold(_))));
    desk.right_click(31.0, 20.0);
    desk.control("Move manifold M1 here");
    desk.frames(2);
    let at = desk.job().heating.manifolds[0].at;
    assert!(at.distance(Point::feet(31.0, 20.0)) < 1.0, "{at:?}");
    desk.undo();
    desk.undo();
    desk.save();
    assert_eq!(desk.saved(), rectangle(), "each choice is a step that can be taken back");
}

#[test]
fn alternates_stand_side_by_side_with_what_each_changes() {
    let mut desk = Desk::with(slabloom::editor::sample::sample());
    desk.control("Stage Bid");
    desk.settle();
    let started = std::time::Instant::now();
    while desk.harness.state().state.alternates.is_none() {
        assert!(started.elapsed().as_secs() < 60, "the alternates do not come");
        std::thread::sleep(std::time::Duration::from_millis(20));
        desk.frames(1);
    }
    desk.press(egui::Modifiers::COMMAND, egui::Key::K);
    desk.enter("compare alternates");
    desk.frames(3);
    let state = &desk.harness.state().state;
    let alternates = state.alternates.clone().expect("just there");
    let own = state.results.parts.price.total;
    let thicker = alternates.iter().find(|one| one.name == "Five-inch floor");
    let dearer = thicker.expect("the sample has it").results.parts.price.total;
    assert!(dearer > own, "more concrete costs more: {dearer} {own}");
    for alternate in alternates.iter() {
        assert!(desk.harness.query_all_by_label(&alternate.name).count() > 0);
    }
    let shown = slabloom_core::units::show_number(dearer.to_units(), 0);
    assert!(desk.harness.query_all_by_label(&shown).count() > 0, "{shown}");
}
