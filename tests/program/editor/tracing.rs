//! A slab traced over the picture of a plan.

use super::desk::Desk;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slabloom_core::geometry::Point;
use slabloom_core::plan::Plan;
use std::path::{Path, PathBuf};

/// Pixels of the drawn plan.
const SIZE: (u32, u32) = (800, 600);
/// Corners of the building on it, pixels from the upper left: an L, in no scale anyone knows.
const BUILDING: [(f64, f64); 6] = [
    (120.0, 500.0),
    (680.0, 500.0),
    (680.0, 260.0),
    (400.0, 260.0),
    (400.0, 100.0),
    (120.0, 100.0),
];

/// Draws the building's walls as black lines on white paper, as a scan has them.
fn draw_plan(folder: &Path) -> PathBuf {
    let mut picture = image::RgbImage::from_pixel(SIZE.0, SIZE.1, image::Rgb([255; 3]));
    for (index, from) in BUILDING.iter().enumerate() {
        let to = BUILDING[(index + 1) % BUILDING.len()];
        for step in 0..=1000 {
            let share = f64::from(step) / 1000.0;
            let x = (from.0 + (to.0 - from.0) * share) as u32;
            let y = (from.1 + (to.1 - from.1) * share) as u32;
            picture.put_pixel(x, y, image::Rgb([0; 3]));
        }
    }
    let path = folder.join("first floor.png");
    picture.save(&path).unwrap();
    path
}

/// Where a pixel of the picture lies on the plan, feet.
fn place(desk: &Desk, (right, down): (f64, f64)) -> (f64, f64) {
    let picture = desk.job().underlay.picture.clone().expect("there is a picture");
    let [low, east, _, north] = picture.corners(f64::from(SIZE.1) / f64::from(SIZE.0));
    let at = low
        + (east - low) * (right / f64::from(SIZE.0))
        + (north - low) * (1.0 - down / f64::from(SIZE.1));
    (at.x / 12.0, at.y / 12.0)
}

#[test]
fn a_slab_is_traced_over_a_plan_picture() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = Desk::empty();
    *desk.picture.borrow_mut() = draw_plan(folder.path());
    desk.control("Lay a plan picture…");
    desk.frames(4);
    // The scale comes first by itself: two clicks and the length that stands on the plan.
    let (from, to) = (place(&desk, BUILDING[0]), place(&desk, BUILDING[1]));
    desk.click(from.0, from.1);
    desk.click(to.0, to.1);
    desk.enter("42'");
    desk.frames(2);
    let (from, to) = (place(&desk, BUILDING[0]), place(&desk, BUILDING[1]));
    assert!(
        (to.0 - from.0 - 42.0).abs() < 0.15,
        "pointing is as exact as the screen: {from:?} {to:?}"
    );
    // The lower left corner of the building goes to the plan's zero.
    desk.control("Move it");
    desk.click(from.0, from.1);
    desk.click(0.0, 0.0);
    desk.press(Modifiers::NONE, Key::F);
    desk.control("Walls");
    for corner in BUILDING.iter().chain([&BUILDING[0]]) {
        let (x, y) = place(&desk, *corner);
        desk.click(x, y);
    }
    desk.save();
    let saved = desk.saved();
    let plan = Plan::of(&saved);
    // 560 pixels are 42 ft: 42 x 18 ft and 21 x 12 ft upon it.
    let wanted = 42.0 * 18.0 + 21.0 * 12.0;
    let area = plan.area / 144.0;
    assert!((area - wanted).abs() < wanted * 0.005, "{area} against {wanted}");
    assert_eq!(saved.outline.sides.len(), 6);
    let picture = saved.underlay.picture.clone().expect("the picture is saved with the job");
    assert!(picture.path.ends_with("first floor.png") && picture.is_to_scale);
    assert!(saved.outline.sides.iter().any(|side| side.start.distance(Point::ORIGIN) < 1e-6));
    desk.undo();
    assert!(desk.job().outline.sides.is_empty(), "the walls are one step");
    desk.undo();
    desk.undo();
    let unscaled = desk.job().underlay.picture.clone().expect("still laid");
    assert!(!unscaled.is_to_scale, "moving and scaling are a step each");
}

#[test]
fn a_picture_that_is_gone_takes_nothing_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = Desk::empty();
    let path = draw_plan(folder.path());
    (*desk.picture.borrow_mut()).clone_from(&path);
    desk.control("Lay a plan picture…");
    desk.frames(4);
    desk.press(Modifiers::NONE, Key::Escape);
    desk.press(Modifiers::NONE, Key::R);
    desk.enter("0, 0");
    desk.enter("40 x 28");
    let job = desk.job();
    std::fs::remove_file(&path).unwrap();
    let mut desk = Desk::with(job.clone());
    desk.frames(4);
    let message = desk.harness.state().state.message.clone().expect("it is told");
    assert!(message.is_problem && message.text.contains("place and scale are kept"));
    let told = desk.harness.query_all_by_label_contains("cannot be read").count();
    assert!(told > 1, "in the panel too");
    desk.save();
    assert_eq!(desk.saved(), job, "the job is whole");
    // The picture comes back: it is chosen again and lies as it lay.
    draw_plan(folder.path());
    *desk.picture.borrow_mut() = path;
    desk.control("Choose it again…");
    desk.frames(4);
    assert_eq!(desk.job().underlay, job.underlay);
    assert!(desk.harness.state().state.picture.underlaid().is_some());
}

#[test]
fn a_picture_is_dragged_squared_and_faded_in_the_panel() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = Desk::empty();
    *desk.picture.borrow_mut() = draw_plan(folder.path());
    desk.control("Lay a plan picture…");
    desk.frames(4);
    desk.control("Move it");
    desk.drag((20.0, 20.0), (30.0, 25.0));
    let moved = desk.job().underlay.picture.clone().unwrap();
    assert!(moved.at.distance(Point::feet(10.0, 5.0)) < 12.0, "{:?}", moved.at);
    assert_eq!(desk.harness.state().state.history.undo_names().count(), 2);
    // A wall that leans by a foot in forty lies level afterwards.
    desk.control("Square it");
    desk.click(20.0, 20.0);
    desk.click(60.0, 21.0);
    let squared = desk.job().underlay.picture.clone().unwrap();
    let leaning = (1.0_f64 / 40.0).atan().to_degrees();
    assert!((squared.turn_degrees + leaning).abs() < 0.1, "{}", squared.turn_degrees);
}

#[test]
fn a_page_of_a_pdf_is_chosen_by_its_picture_and_stays_with_the_job() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plans.pdf");
    std::fs::write(&path, crate::plan_pdf::plan_pdf(3)).unwrap();
    let mut desk = Desk::empty();
    (*desk.picture.borrow_mut()).clone_from(&path);
    desk.control("Lay a plan picture…");
    desk.frames(6);
    // Several pages: they are offered by themselves, the first one shown as chosen.
    assert!(desk.harness.state().state.pages.as_ref().is_some_and(|pages| pages.drawn() == 3));
    desk.control("Page 2");
    desk.frames(4);
    let picture = desk.job().underlay.picture.clone().expect("it is laid");
    assert_eq!(picture.page, 2);
    assert!(desk.harness.state().state.pages.is_none(), "the choice is made");
    let shown = desk.harness.state().state.picture.underlaid().expect("it is on the screen");
    assert!((shown.height_by_width - 8.5 / 11.0).abs() < 1e-6);
    desk.save();
    let saved = desk.saved().underlay.picture.clone().expect("it is saved");
    assert_eq!((saved.page, saved.kept.is_empty()), (2, true));
    assert!(saved.path.ends_with("plans.pdf"));
    desk.undo();
    desk.frames(4);
    assert_eq!(desk.job().underlay.picture.as_ref().map(|picture| picture.page), Some(1));
}

#[test]
fn a_picture_kept_in_the_job_shows_without_its_file_and_is_never_lost() {
    let folder = tempfile::tempdir().unwrap();
    let path = draw_plan(folder.path());
    let mut desk = Desk::empty();
    (*desk.picture.borrow_mut()).clone_from(&path);
    desk.control("Lay a plan picture…");
    desk.frames(4);
    desk.press(Modifiers::NONE, Key::Escape);
    desk.command("keep plan picture in the job");
    desk.save();
    let bytes = std::fs::read(&path).unwrap();
    let saved = desk.saved();
    let kept = saved.underlay.picture.clone().expect("it is laid").kept;
    assert!(kept.bytes() == bytes, "the file is kept whole");
    std::fs::remove_file(&path).unwrap();
    let mut desk = Desk::with(saved.clone());
    desk.frames(4);
    assert!(desk.harness.state().state.picture.underlaid().is_some());
    assert!(desk.harness.state().state.message.is_none());
    // There is no file to go back to: it stays in.
    desk.command("keep plan picture beside");
    assert_eq!(desk.job(), saved);
    let message = desk.harness.state().state.message.clone().expect("it is told");
    assert!(message.is_problem && message.text.contains("stays in"), "{}", message.text);
    // With the file in its place the job becomes small again.
    draw_plan(folder.path());
    desk.command("keep plan picture beside");
    let left = desk.job().underlay.picture.clone().expect("it is laid");
    assert!(left.kept.is_empty() && left.path.ends_with("first floor.png"));
}
