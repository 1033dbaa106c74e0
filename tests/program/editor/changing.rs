//! Changing what is there: walls, dimensions, the manifold, joints, units.

use super::desk::{Desk, rectangle};
use egui::{Key, Modifiers};
use slabloom_core::geometry::Point;
use slabloom_core::job::joints::DrawnKind;
use slabloom_core::units::{LengthUnit, Rounding};

#[test]
fn a_wall_is_dragged_and_taken_back_in_one_step() {
    let mut desk = Desk::with(rectangle());
    let before = desk.bytes();
    desk.drag((40.0, 9.0), (44.0, 9.0));
    assert!((desk.area_ft2() - 44.0 * 28.0).abs() < 1e-6, "{}", desk.area_ft2());
    desk.save();
    assert_eq!(desk.saved(), desk.job());
    desk.undo();
    assert_eq!(desk.bytes(), before);
    desk.save();
    assert_eq!(desk.written(), before, "the file after the undo is the file before the drag");
}

#[test]
fn escape_in_the_middle_of_a_drag_puts_the_wall_back() {
    let mut desk = Desk::with(rectangle());
    let before = desk.bytes();
    let at = desk.hold((40.0, 9.0), (44.0, 9.0));
    assert!((desk.area_ft2() - 44.0 * 28.0).abs() < 1e-6, "the wall follows the pointer");
    desk.press(Modifiers::NONE, Key::Escape);
    desk.release(at);
    assert_eq!(desk.bytes(), before);
    assert_eq!(desk.harness.state().state.history.undo_names().count(), 0);
}

#[test]
fn a_dimension_is_clicked_and_typed_over() {
    use egui_kittest::kittest::Queryable;
    let mut desk = Desk::with(rectangle());
    desk.harness.get_by_label("Length of side 1: 40'-0\"").click();
    desk.frames(3);
    desk.enter("36' 6\"");
    desk.frames(2);
    assert!((desk.area_ft2() - 36.5 * 28.0).abs() < 1e-6, "{}", desk.area_ft2());
}

#[test]
fn the_manifold_is_moved_and_stays_where_it_was_put() {
    let mut desk = Desk::with(rectangle());
    let at = desk.job().heating.manifolds[0].at;
    desk.control("Stage Tube");
    desk.drag((at.x / 12.0, at.y / 12.0), (38.0, 14.0));
    let moved = desk.job().heating.manifolds[0].at;
    assert!(moved.distance(slabloom_core::geometry::Point::feet(38.0, 14.0)) < 6.0, "{moved:?}");
    desk.save();
    assert_eq!(desk.saved().heating.manifolds[0].at, moved);
}

#[test]
fn a_joint_that_was_found_is_locked_where_it_is() {
    let mut desk = Desk::with(rectangle());
    desk.control("Stage Saw");
    desk.settle();
    let lines = desk.harness.state().state.results.parts.joints.layout.lines.clone();
    let line = lines.first().expect("a floor this wide needs joints").clone();
    let middle = line.from.toward(line.to, 0.31);
    desk.click(middle.x / 12.0, middle.y / 12.0);
    desk.press(Modifiers::NONE, Key::K);
    let drawn = desk.job().joints.drawn.clone();
    assert_eq!(drawn.len(), 1, "{:?}", desk.harness.state().state.selection);
    assert_eq!(drawn[0].kind, DrawnKind::Contraction);
    assert_eq!((drawn[0].from, drawn[0].to), (line.from, line.to));
    desk.save();
    assert_eq!(desk.saved().joints.drawn, drawn);
}

#[test]
fn a_joint_is_dragged_split_and_let_go() {
    let mut desk = Desk::with(rectangle());
    desk.control("Stage Saw");
    desk.settle();
    let lines = desk.harness.state().state.results.parts.joints.layout.lines.clone();
    let line = lines.iter().find(|line| (line.from.x - line.to.x).abs() < 0.1);
    let line = line.expect("a floor this long is cut across").clone();
    let grip = line.from.toward(line.to, 0.31);
    let (x, y) = (grip.x / 12.0, grip.y / 12.0);
    // While it is dragged the floor panels are worked out anew beside it.
    let before = desk.harness.state().state.results_revision;
    let at = desk.hold((x, y), (x + 2.0, y));
    let started = std::time::Instant::now();
    while desk.harness.state().state.results_revision == before {
        assert!(started.elapsed().as_secs() < 60, "the panels do not follow");
        std::thread::sleep(std::time::Duration::from_millis(10));
        desk.frames(1);
    }
    desk.release(at);
    let drawn = desk.job().joints.drawn.clone();
    assert_eq!(drawn.len(), 1);
    assert!((drawn[0].from.x - line.from.x - 24.0).abs() < 6.1, "{:?}", drawn[0]);
    let x = drawn[0].from.x / 12.0;
    desk.right_click(x, y);
    desk.control("Split this joint here");
    assert_eq!(desk.job().joints.drawn.len(), 2);
    desk.right_click(x, y + 2.0);
    desk.control("Let the layout decide again");
    assert_eq!(desk.job().joints.drawn.len(), 1, "one half is the layout's again");
    desk.save();
    assert_eq!(desk.saved().joints.drawn, desk.job().joints.drawn);
}

#[test]
fn units_are_changed_half_way_and_lengths_stay() {
    let mut desk = Desk::with(rectangle());
    let area = desk.area_ft2();
    desk.control("Units");
    desk.control("mm");
    let display = desk.job().facts.display;
    assert_eq!(
        (display.rounding, display.bare_unit),
        (Rounding::Millimeter, LengthUnit::Millimeters)
    );
    assert!((desk.area_ft2() - area).abs() < 1e-9);
    desk.press(Modifiers::NONE, Key::R);
    desk.enter("3000, 8000");
    desk.enter("3000 x 2000");
    let outline = slabloom_core::plan::Plan::of(&desk.job());
    let top = outline.bounds().unwrap().max.y * 25.4;
    assert!((top - 10_000.0).abs() < 0.5, "{top}");
    desk.save();
    assert_eq!(desk.saved(), desk.job());
    assert_eq!(desk.saved().facts.display.bare_unit, LengthUnit::Millimeters);
}

#[test]
fn boards_are_counted_while_their_start_corner_is_dragged() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    desk.press(Modifiers::NONE, Key::Num2);
    desk.press(Modifiers::NONE, Key::E);
    let before = desk.job();
    let end = desk.hold((3.0, 3.0), (37.0, 26.0));
    let started = std::time::Instant::now();
    while desk.harness.state().state.boards.words().is_none() {
        assert!(started.elapsed().as_secs() < 60, "the count does not come");
        std::thread::sleep(std::time::Duration::from_millis(5));
        desk.frames(1);
    }
    let state = &desk.harness.state().state;
    let (corner, words) = state.boards.words().expect("it is counted");
    assert!(corner.distance(Point::feet(40.0, 28.0)) < 1e-6);
    let counted: u32 = words.split(' ').next().and_then(|n| n.parse().ok()).expect("a count");
    let bound = state.results.parts.foam.layers[0].bound;
    assert!(words.contains("boards") && counted >= bound, "{words}, at least {bound}");
    assert_eq!(desk.job(), before, "nothing is changed while it is dragged");
    desk.release(end);
    let start = desk.job().build_up.foam_layers[0].start_corner.expect("it starts there");
    assert!(start.distance(Point::feet(40.0, 28.0)) < 1e-6);
    assert!(desk.harness.state().state.boards.words().is_none(), "the tool is put down");
    desk.settle();
    let laid = desk.harness.state().state.results.parts.foam.layers[0].boards;
    assert!(laid <= counted, "the full search takes no more than was counted: {laid} {counted}");
    desk.undo();
    assert_eq!(desk.job(), before);
}
