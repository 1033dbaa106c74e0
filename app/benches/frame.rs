//! One frame of the window: everything the processor does for it, from input to triangles.
//!
//! The ratio that counts is to an empty window of the same toolkit in the same run. A frame of a
//! drag holds the edit, the new plan, and the plan painted anew; the worker's own time is not in
//! it, since no frame waits for it.

mod drag;

use divan::Bencher;
use drag::{Drag, OPTIONS, large, ready};
use egui::Context;
use slabloom::editor::picture::Headless;
use slabloom_core::job::Job;
use std::cell::RefCell;

fn main() {
    divan::main();
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
    let drag = RefCell::new(Drag::new(job));
    bencher.bench_local(|| drag.borrow_mut().frame());
}
