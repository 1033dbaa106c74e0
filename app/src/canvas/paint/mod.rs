//! Paints the plan: from the job and what follows from it to shapes on the screen.
//!
//! Everything but text is tessellated once for a revision, a zoom and a set of layers, and kept
//! as a mesh; a pan moves the mesh. Text is laid out anew each frame, since the toolkit keeps
//! galleys by itself and may move their glyphs. Line weights follow drafting practice: form line
//! wide, hidden lines dashed and medium, dimensions thin.

mod brush;
mod clear;
mod foam;
pub mod ground;
mod heat;
mod joints;
mod pour;
mod tube;

pub use brush::{Brush, Dash, Label, Pen, Plate};

use crate::canvas::layers::{Layer, Layers};
use crate::canvas::view::Sight;
use crate::editor::theme::Palette;
use egui::{Mesh, Shape};
use slabloom_core::derive::Results;
use slabloom_core::job::Job;
use slabloom_core::job::facts::Display;
use slabloom_core::plan::Plan;
use std::sync::Arc;

/// What is painted.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its checked slab, always of this job.
    pub plan: &'a Plan,
    /// What follows from it, perhaps of a change ago.
    pub results: &'a Results,
    /// What is shown.
    pub layers: Layers,
    /// A plan picture lies below and must show through.
    pub is_traced: bool,
}

/// The plan is painted in three sheets, one over the other, so that a drag repaints only what
/// follows from the job at once, and not what the worker has laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sheet {
    /// The slab's own fill.
    Under,
    /// What the worker has laid out: boards, circuits, joints, ground, trucks.
    Laid,
    /// Form line, openings, zones, manifolds, shots, dimensions.
    Over,
}

const SHEETS: [Sheet; 3] = [Sheet::Under, Sheet::Laid, Sheet::Over];

/// Paints one sheet from the ground up.
fn paint(sheet: Sheet, subject: &Subject<'_>, brush: &mut Brush<'_>) {
    match sheet {
        Sheet::Under => ground::slab(subject, brush),
        Sheet::Laid => paint_laid(subject, brush),
        Sheet::Over => paint_over(subject, brush),
    }
}

fn paint_laid(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let shows = |layer| subject.layers.shows(layer);
    if shows(Layer::HeatMap) {
        heat::floor_temperatures(subject, brush);
    }
    if shows(Layer::Thickenings) {
        ground::thickenings(subject, brush);
    }
    if shows(Layer::Subgrade) {
        pour::subgrade(subject, brush);
    }
    if shows(Layer::Foam) {
        foam::boards(subject, brush);
    }
    if shows(Layer::Steel) {
        ground::steel(subject, brush);
    }
    if shows(Layer::Tube) {
        tube::circuits(subject, brush);
    }
    if shows(Layer::Joints) {
        joints::lines(subject, brush);
    }
    if shows(Layer::SlabPanels) {
        joints::slab_panels(subject, brush);
    }
    if shows(Layer::Trucks) {
        pour::trucks(subject, brush);
    }
}

fn paint_over(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let shows = |layer| subject.layers.shows(layer);
    if shows(Layer::Thickenings) {
        ground::tops(subject, brush);
    }
    if shows(Layer::Zones) {
        tube::zones(subject, brush);
    }
    ground::openings(subject, brush);
    ground::rim(subject, brush);
    if shows(Layer::Joints) {
        joints::drawn(subject, brush);
    }
    if shows(Layer::Zones) || shows(Layer::Tube) {
        tube::manifolds(subject, brush);
    }
    if shows(Layer::Subgrade) {
        pour::shots(subject, brush);
    }
    if shows(Layer::Dimensions) {
        ground::dimensions(subject, brush);
    }
}

/// What a painted sheet depends on, besides the place of the view.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Key {
    /// Of the job, or of the results for what was laid out.
    revision: u64,
    results_revision: u64,
    zoom: f64,
    layers: Layers,
    is_traced: bool,
    display: Display,
    aspect_limit: f64,
    palette: *const Palette,
    pixels_per_point: f32,
    text_scale: f32,
}

/// The painted plan, kept while it holds.
#[derive(Debug, Default)]
pub struct PaintCache {
    kept: [Option<Kept>; SHEETS.len()],
}

#[derive(Debug)]
struct Kept {
    key: Key,
    /// Where the plan was looked at when it was painted.
    sight: Sight,
    mesh: Arc<Mesh>,
    plate: Plate,
}

/// What the cache is asked for.
#[derive(Clone, Copy, Debug)]
pub struct PaintRequest<'a> {
    /// What is painted.
    pub subject: Subject<'a>,
    /// Counts changes of the job.
    pub revision: u64,
    /// Counts arrivals of results.
    pub results_revision: u64,
    /// Where the canvas looks.
    pub sight: Sight,
    /// The colours.
    pub palette: &'static Palette,
    /// Larger than one for larger text.
    pub text_scale: f32,
}

impl PaintRequest<'_> {
    fn key(&self, sheet: Sheet, painter: &egui::Painter) -> Key {
        let job = self.subject.job;
        let (of_job, of_results) = match sheet {
            Sheet::Under => (self.revision, 0),
            Sheet::Laid => (0, self.results_revision),
            Sheet::Over => (self.revision, self.results_revision),
        };
        Key {
            revision: of_job,
            results_revision: of_results,
            zoom: self.sight.view.zoom,
            layers: self.subject.layers,
            is_traced: self.subject.is_traced,
            display: job.facts.display,
            aspect_limit: job.joints.aspect_limit,
            palette: std::ptr::from_ref(self.palette),
            pixels_per_point: painter.pixels_per_point(),
            text_scale: self.text_scale,
        }
    }
}

impl PaintCache {
    /// Paints the plan, anew only where it must be, and gives the labels with their places.
    pub fn show(&mut self, request: &PaintRequest<'_>, painter: &egui::Painter) -> Vec<Label> {
        let clip = painter.clip_rect().expand(40.0);
        let mut labels = Vec::new();
        for (sheet, place) in SHEETS.into_iter().zip(&mut self.kept) {
            let key = request.key(sheet, painter);
            let kept = match place.take() {
                Some(kept) if kept.key == key => kept,
                _ => painted(sheet, key, request, painter),
            };
            let kept = place.insert(kept);
            let origin = slabloom_core::geometry::Point::ORIGIN;
            let shift =
                request.sight.screen_from_plan(origin) - kept.sight.screen_from_plan(origin);
            if shift.length_sq() < 1e-6 {
                painter.add(Shape::Mesh(Arc::clone(&kept.mesh)));
            } else {
                let mut mesh = Mesh::clone(&kept.mesh);
                mesh.translate(shift);
                painter.add(Shape::mesh(mesh));
            }
            labels.extend(
                kept.plate
                    .labels
                    .iter()
                    .filter(|label| clip.contains(label.at + shift))
                    .map(|label| Label { at: label.at + shift, ..label.clone() }),
            );
        }
        labels
    }
}

fn painted(sheet: Sheet, key: Key, request: &PaintRequest<'_>, painter: &egui::Painter) -> Kept {
    let mut plate = Plate::default();
    let mut brush = Brush::new(request.sight, request.palette, request.text_scale, &mut plate);
    paint(sheet, &request.subject, &mut brush);
    let mesh = Arc::new(compile(std::mem::take(&mut plate.shapes), painter));
    Kept { key, sight: request.sight, mesh, plate }
}

/// Turns shapes into one mesh with smooth edges.
fn compile(shapes: Vec<Shape>, painter: &egui::Painter) -> Mesh {
    let options = painter.ctx().tessellation_options(|options| *options);
    let mut tessellator = egui::epaint::Tessellator::new(
        painter.pixels_per_point(),
        egui::epaint::TessellationOptions { coarse_tessellation_culling: false, ..options },
        [1, 1],
        Vec::new(),
    );
    let mut mesh = Mesh::default();
    for shape in shapes {
        tessellator.tessellate_shape(shape, &mut mesh);
    }
    mesh
}
