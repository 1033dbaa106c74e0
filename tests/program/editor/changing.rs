//! Changing what is there: walls, dimensions, the manifold, joints, units.

use super::desk::{Desk, rectangle};
use egui::{Key, Modifiers};
use slabloom_core::job::joints::DrawnKind;
use slabloom_core::units::{LengthUnit, Rounding};

#[test]
fn a_wall_is_dragged_and_taken_back_in_one_step() {
    let mut desk = Desk::with(rectangle());
    let before = desk.bytes();
    desk.drag((40.0, 9.0), (44.0, 9.0));
    assert!((desk.area_ft2() - 44.0 * 28.0).abs() < 1e-6, "{}", desk.area_ft2());
    desk.undo();
    assert_eq!(desk.bytes(), before);
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
}
