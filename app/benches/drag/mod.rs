//! A window with a job in it whose wall is dragged, and the large building, for the benchmarks.

use egui::{Context, Event, Modifiers, PointerButton, Pos2};
use slabloom::editor::Editor;
use slabloom::editor::picture::{Headless, PictureOptions};
use slabloom::editor::stages::Stage;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::heating::{Manifold, Zone};
use slabloom_core::job::ids::{ManifoldId, ZoneId};
use std::sync::Arc;
use std::time::Duration;

pub const OPTIONS: PictureOptions = PictureOptions {
    width: 1280,
    height: 800,
    scale: 1.0,
    stage: Stage::Tube,
    theme: slabloom::editor::theme::ThemeChoice::Light,
};

/// The editor with all results in, ready for frames.
pub fn ready(job: Job) -> (Editor, Headless) {
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
pub fn large() -> Job {
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

/// A drag that goes on for as many frames as are asked for.
pub struct Drag {
    editor: Editor,
    stage: Headless,
    from: Pos2,
    count: u32,
}

impl Drag {
    /// Takes hold of the east wall of a job.
    pub fn new(job: Job) -> Self {
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
        Self { editor, stage, from, count: 0 }
    }

    /// One frame with the pointer a little on, down to triangles; how many there are.
    pub fn frame(&mut self) -> usize {
        self.count += 1;
        let at = Pos2::new(self.from.x + 20.0 + (self.count % 40) as f32, self.from.y);
        self.stage.frame_with(&mut self.editor, vec![Event::PointerMoved(at)]);
        self.stage.triangles()
    }
}
