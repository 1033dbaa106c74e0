//! One frame of the window: everything the processor does for it, from input to triangles.
//!
//! The ratio that counts is to an empty window of the same toolkit in the same run. A frame of a
//! drag holds the edit, the new plan, and the plan painted anew; the worker's own time is not in
//! it, since no frame waits for it.

use divan::Bencher;
use egui::{Context, Event, Modifiers, PointerButton, Pos2};
use slabloom::editor::Editor;
use slabloom::editor::picture::{Headless, PictureOptions};
use slabloom::editor::stages::Stage;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::heating::{Manifold, Zone};
use slabloom_core::job::ids::{ManifoldId, ZoneId};
use std::cell::RefCell;
use std::sync::Arc;
use std::time::Duration;

fn main() {
    divan::main();
}

const OPTIONS: PictureOptions = PictureOptions {
    width: 1280,
    height: 800,
    scale: 1.0,
    stage: Stage::Tube,
    theme: slabloom::editor::theme::ThemeChoice::Light,
};

/// The editor with all results in, ready for frames.
fn ready(job: Job) -> (Editor, Headless) {
    let context = Context::default();
    let mut editor = Editor::new(&context, job, None);
    editor.state.stage = OPTIONS.stage;
    let mut stage = Headless::new(context, &OPTIONS);
    stage.frame(&mut editor);
    while editor.is_working() {
        std::thread::sleep(Duration::from_millis(10));
        stage.frame(&mut editor);
    }
    stage.frame(&mut editor);
    (editor, stage)
}

/// A building of 20,000 square feet in six zones, each with a manifold of its own on the outer
/// wall: some sixty circuits.
fn large() -> Job {
    let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)];
    let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
    let (zones, manifolds): (Vec<Zone>, Vec<Manifold>) = (0..6_u32).map(zone_and_manifold).unzip();
    let heating = Arc::make_mut(&mut job.heating);
    (heating.zones, heating.manifolds) = (zones, manifolds);
    job.ids.0 = 200;
    job
}

/// One sixth of the large building.
fn zone_and_manifold(number: u32) -> (Zone, Manifold) {
    let (column, is_north) = (f64::from(number % 3), number >= 3);
    let (west, east) = (column * 200.0 / 3.0, (column + 1.0) * 200.0 / 3.0);
    let (south, north) = if is_north { (50.0, 100.0) } else { (0.0, 50.0) };
    let wall = if is_north { 99.0 } else { 1.0 };
    let corners = [(west, south), (east, south), (east, north), (west, north)];
    let manifold = Manifold {
        id: ManifoldId(100 + number),
        name: format!("M{}", number + 1),
        at: Point::feet((west + east) / 2.0, wall),
        ..Manifold::default()
    };
    let zone = Zone {
        id: ZoneId(150 + number),
        corners: corners.map(|(x, y)| Point::feet(x, y)).to_vec(),
        manifold: Some(manifold.id),
        ..Zone::default()
    };
    (zone, manifold)
}

#[divan::bench]
fn empty_window(bencher: Bencher<'_, '_>) {
    let stage = RefCell::new(Headless::new(Context::default(), &OPTIONS));
    bencher.bench_local(|| {
        let mut stage = stage.borrow_mut();
        stage.frame_of(Vec::new(), |ui| drop(ui.label("nothing")));
        stage.triangles()
    });
}

#[divan::bench]
fn house_at_rest(bencher: Bencher<'_, '_>) {
    at_rest(bencher, slabloom::editor::sample::sample());
}

#[divan::bench]
fn large_building_at_rest(bencher: Bencher<'_, '_>) {
    at_rest(bencher, large());
}

#[divan::bench]
fn house_dragged(bencher: Bencher<'_, '_>) {
    dragged(bencher, slabloom::editor::sample::sample());
}

#[divan::bench]
fn large_building_dragged(bencher: Bencher<'_, '_>) {
    dragged(bencher, large());
}

fn at_rest(bencher: Bencher<'_, '_>, job: Job) {
    let desk = RefCell::new(ready(job));
    bencher.bench_local(|| {
        let (editor, stage) = &mut *desk.borrow_mut();
        stage.frame(editor);
        stage.triangles()
    });
}

/// A wall dragged a little with each frame.
fn dragged(bencher: Bencher<'_, '_>, job: Job) {
    let (mut editor, mut stage) = ready(job);
    let bounds = editor.state.plan.bounds().expect("there is a slab");
    let wall = Point::new(bounds.max.x, bounds.min.y + bounds.height() * 0.21);
    let from = editor.state.canvas.sight.expect("the plan was shown").screen_from_plan(wall);
    stage.frame_with(&mut editor, vec![Event::PointerMoved(from)]);
    let press = Event::PointerButton {
        pos: from,
        button: PointerButton::Primary,
        pressed: true,
        modifiers: Modifiers::NONE,
    };
    stage.frame_with(&mut editor, vec![press]);
    let desk = RefCell::new((editor, stage, 0_u32));
    bencher.bench_local(|| {
        let (editor, stage, count) = &mut *desk.borrow_mut();
        *count += 1;
        let at = Pos2::new(from.x + 20.0 + (*count % 40) as f32, from.y);
        stage.frame_with(editor, vec![Event::PointerMoved(at)]);
        stage.triangles()
    });
}
