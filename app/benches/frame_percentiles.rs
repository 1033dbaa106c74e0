//! Percentiles of the frame of a drag, which a median does not tell: the processor's time of the
//! window's own thread, frame by frame, beside an empty window of the same toolkit.
//!
//! What counts is the thread's time on the processor, so that other work on the machine does not
//! make a frame look slow that was only waiting. Linux tells it in `/proc`; elsewhere the time on
//! the wall stands in, and the heading says so.
//! Between frames the loop rests as a window does, so that the worker derives and answers meanwhile
//! and frames with new results are among those that are measured.

#[allow(dead_code, reason = "the other benchmark uses what this one does not")]
mod drag;

use drag::{Drag, OPTIONS, large};
use egui::Context;
use slabloom::editor::Editor;
use slabloom::editor::picture::Headless;
use std::time::{Duration, Instant};

/// Frames of each measurement, after some to warm up.
const FRAMES: usize = 1500;
const WARM_UP: usize = 50;
/// The rest between frames: those of a screen come every 16 ms or so.
const REST: Duration = Duration::from_millis(6);

/// What this thread has spent on the processor, if the system tells it.
fn on_processor() -> Option<Duration> {
    // The system brings its account of a thread up to date when the thread gives way.
    std::thread::yield_now();
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse().ok().map(Duration::from_nanos)
}

/// Times of frames, milliseconds, sorted.
fn measured(mut frame: impl FnMut() -> usize) -> Vec<f64> {
    for _ in 0..WARM_UP {
        frame();
    }
    let mut times: Vec<f64> = (0..FRAMES)
        .map(|_| {
            std::thread::sleep(REST);
            let (wall, before) = (Instant::now(), on_processor());
            std::hint::black_box(frame());
            let taken = match (before, on_processor()) {
                (Some(before), Some(after)) => after.saturating_sub(before),
                _ => wall.elapsed(),
            };
            taken.as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times
}

fn told(name: &str, times: &[f64]) {
    let at = |share: f64| times[((times.len() - 1) as f64 * share).round() as usize];
    println!(
        "{name:<28} median {:>7.3} ms   95 % {:>7.3} ms   99 % {:>7.3} ms   slowest {:>7.3} ms",
        at(0.5),
        at(0.95),
        at(0.99),
        at(1.0)
    );
}

/// Times of so many first frames of windows made anew, milliseconds on the wall, sorted.
fn first_frames(first: impl Fn() -> usize) -> Vec<f64> {
    const WINDOWS: usize = 25;
    let mut times: Vec<f64> = (0..WINDOWS)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(first());
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times
}

fn main() {
    // Cargo runs benchmarks as tests too, and wants no figures then.
    if std::env::args().any(|argument| argument == "--test") {
        return;
    }
    let clock = if on_processor().is_some() { "processor time" } else { "time on the wall" };
    println!("{FRAMES} frames each, {clock} of the window's thread");
    let mut empty = Headless::new(Context::default(), &OPTIONS);
    let nothing = measured(|| {
        empty.frame_of(Vec::new(), |ui| drop(ui.label("nothing")));
        empty.triangles()
    });
    told("empty window", &nothing);
    println!("first frame of a window made anew, time on the wall");
    told(
        "empty window",
        &first_frames(|| {
            let mut empty = Headless::new(Context::default(), &OPTIONS);
            empty.frame_of(Vec::new(), |ui| drop(ui.label("nothing")));
            empty.triangles()
        }),
    );
    told(
        "the sample house",
        &first_frames(|| {
            let context = Context::default();
            let mut editor = Editor::new(&context, slabloom::editor::sample::sample(), None);
            let mut stage = Headless::new(context, &OPTIONS);
            stage.frame(&mut editor);
            stage.triangles()
        }),
    );
    println!("dragging");
    let mut house = Drag::new(slabloom::editor::sample::sample());
    told("wall of the house dragged", &measured(|| house.frame()));
    drop(house);
    let mut building = Drag::new(large());
    told("wall of 20,000 ft2 dragged", &measured(|| building.frame()));
}
