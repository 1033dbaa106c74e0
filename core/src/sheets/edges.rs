//! Sections through the edges, to scale, one for each kind of edge in use.
//!
//! Each section shows a slab edge cut square to its side: concrete hatched, foam crossed, stone
//! and ground below, with the sizes that the job gives. Local code and the project's engineer
//! decide structural sizes.

use super::frame::Draft;
use super::pieces;
use super::plan_marks::{DIMENSIONS, FOAM, NOTES, SLAB, TUBE};
use crate::derive::Results;
use crate::drawing::dimension::Dimension;
use crate::drawing::page::Role;
use crate::drawing::text::{NOTE_SIZE, Text};
use crate::drawing::{
    Affine, BezPath, Hatch, Ink, Mark, Pen, Placer, Rect, Scale, Spot, Vec2, path,
};
use crate::job::edges::{EdgeFoamPlace, EdgeProfile};
use crate::job::heating::TubeDepth;
use crate::job::{Job, ids::SideId};
use crate::units::{UnitSystem, show_inches};

/// How far into the slab a section goes, inches.
const REACH: f64 = 42.0;
/// How far it goes beyond the outer face, inches.
const BEYOND: f64 = 12.0;

/// One kind of edge and the sides that have it.
struct Kind {
    profile: EdgeProfile,
    sides: Vec<SideId>,
}

/// The section sheets; empty without a slab.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    if results.parts.plan.is_empty() {
        return Vec::new();
    }
    let kinds = kinds(job);
    let mut drafts: Vec<Draft> = Vec::new();
    let mut waiting = kinds.iter().enumerate().peekable();
    while waiting.peek().is_some() {
        let mut draft = Draft::new(
            job,
            if drafts.is_empty() { "Edge sections" } else { "Edge sections, continued" },
        );
        let body = draft.body();
        let left = waiting.len() as f64;
        let is_metric = job.facts.display.rounding.system() == UnitSystem::Metric;
        let (across, down, scale) = arrangement(left, body, deepest(job) + 16.0, is_metric);
        let (wide, high) = (body.width() / across, body.height() / down);
        let mut cell = 0.0;
        while cell < across * down {
            let Some((place, kind)) = waiting.next() else { break };
            let (column, row) = (cell % across, (cell / across).floor());
            let x = body.x0 + wide * column;
            let y = body.y0 + high * row;
            let room = Rect::new(x + 4.0, y + 2.0, x + wide - 8.0, y + high - 6.0);
            section(&mut draft, job, (place, kind), room, scale);
            cell += 1.0;
        }
        draft.scale = Some(scale);
        drafts.push(draft);
    }
    drafts
}

/// Columns, rows and the scale for so many sections on a sheet: the arrangement with the largest
/// scale, or as many as fit at 1/2 in to the foot.
fn arrangement(count: f64, body: Rect, depth: f64, is_metric: bool) -> (f64, f64, Scale) {
    let mut best: Option<(f64, f64, Scale)> = None;
    for across in [1.0, 2.0, 3.0, 4.0_f64] {
        for down in [1.0, 2.0, 3.0, 4.0_f64] {
            let room =
                Rect::new(0.0, 0.0, body.width() / across - 124.0, body.height() / down - 112.0);
            if room.width() < 60.0 || room.height() < 40.0 {
                continue;
            }
            let scale = Scale::to_fit(REACH + BEYOND, depth, room, is_metric);
            let (holds, is_readable) = (across * down >= count, scale.ratio <= 24.0);
            let better = best.is_none_or(|(a, d, known)| {
                let known_holds = a * d >= count;
                match (holds, known_holds) {
                    (true, true) => scale.ratio < known.ratio,
                    (true, false) => is_readable,
                    (false, true) => false,
                    (false, false) => is_readable && across * down > a * d,
                }
            });
            if better {
                best = Some((across, down, scale));
            }
        }
    }
    best.unwrap_or_else(|| {
        (1.0, 1.0, Scale::to_fit(REACH + BEYOND, depth, body.inset(-80.0), is_metric))
    })
}

/// The kinds of edge in use, in the order in which the sides first have them.
fn kinds(job: &Job) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for side in &job.outline.sides {
        let profile = job.edges.of_side(side.id);
        match kinds.iter_mut().find(|kind| kind.profile == profile) {
            Some(kind) => kind.sides.push(side.id),
            None => kinds.push(Kind { profile, sides: vec![side.id] }),
        }
    }
    kinds
}

fn deepest(job: &Job) -> f64 {
    let below = foam_depth(job) + job.build_up.stone.thickness.to_inches();
    let floor = job.build_up.floor_thickness.to_inches() + below;
    kinds(job)
        .iter()
        .filter_map(|kind| kind.profile.thickened())
        .map(|edge| edge.total_depth.to_inches() + below)
        .fold(floor, f64::max)
        .min(600.0)
}

fn foam_depth(job: &Job) -> f64 {
    job.build_up.foam_layers.iter().map(|layer| layer.thickness.to_inches()).sum()
}

/// The concrete's outline in section: x from the outer face into the slab, y down from the top.
fn concrete(job: &Job, profile: &EdgeProfile) -> Vec<Spot> {
    let floor = job.build_up.floor_thickness.to_inches();
    let foam = &job.edges.edge_foam;
    let face =
        if foam.place == EdgeFoamPlace::InsideForm { foam.thickness.to_inches() } else { 0.0 };
    let mut top = vec![Spot::new(face, 0.0)];
    if let EdgeProfile::Threshold(threshold) = profile {
        let (low, wide) = (threshold.lowered_by.to_inches(), threshold.width.to_inches());
        top = vec![
            Spot::new(face, low),
            Spot::new(wide.max(face), low),
            Spot::new(wide.max(face), 0.0),
        ];
    }
    let mut outline = top;
    outline.push(Spot::new(REACH, 0.0));
    outline.push(Spot::new(REACH, floor));
    if let Some(edge) = profile.thickened() {
        let (flat, run) = (edge.flat_width.to_inches(), edge.haunch_run.to_inches());
        let depth = edge.total_depth.to_inches();
        outline.push(Spot::new((flat + run).min(REACH), floor));
        outline.push(Spot::new(flat.min(REACH), depth));
        outline.push(Spot::new(face, depth));
    } else {
        outline.push(Spot::new(face, floor));
    }
    outline
}

fn title(kind: &Kind) -> &'static str {
    match kind.profile {
        EdgeProfile::Plain => "Plain edge",
        EdgeProfile::Thickened(_) => "Thickened edge",
        EdgeProfile::FrostWall => "Edge at a frost wall",
        EdgeProfile::Threshold(_) => "Door threshold",
    }
}

fn section(draft: &mut Draft, job: &Job, (place, kind): (usize, &Kind), room: Rect, scale: Scale) {
    let names: Vec<String> = kind
        .sides
        .iter()
        .filter_map(|id| job.outline.sides.iter().position(|side| side.id == *id))
        .map(|place| (place + 1).to_string())
        .collect();
    let heading = format!("Section {}: {}", place + 1, title(kind));
    let at = Spot::new(room.x0, room.y0);
    let (marks, y) =
        pieces::lines(&heading, crate::drawing::Face::Bold, NOTE_SIZE * 1.2, at, room.width());
    draft.page.add(Role::Heading, marks);
    let said = format!("Sides {}", names.join(", "));
    let said =
        crate::drawing::text::fitted(&said, crate::drawing::Face::Regular, NOTE_SIZE, room.width());
    let (marks, y) = pieces::lines(
        &said,
        crate::drawing::Face::Regular,
        NOTE_SIZE,
        Spot::new(room.x0, y),
        room.width(),
    );
    draft.page.add(Role::Paragraph, marks);
    let k = scale.points_per_inch();
    let view = Affine::new([k, 0.0, 0.0, k, room.x0 + 62.0 + BEYOND * k, y + 30.0]);
    let placer = Placer::new(Rect::new(room.x0, y, room.x1, room.y1));
    let mut drawing = Drawing { job, view, placer, marks: Vec::new() };
    drawing.layers(&kind.profile);
    drawing.sizes(&kind.profile);
    drawing.words(&kind.profile);
    draft
        .page
        .add(Role::Figure { alt: format!("{heading}, cut square to the side") }, drawing.marks);
}

struct Drawing<'a> {
    job: &'a Job,
    view: Affine,
    placer: Placer,
    marks: Vec<Mark>,
}

impl Drawing<'_> {
    fn shape(&self, spots: &[Spot]) -> BezPath {
        self.view * path::polygon(spots)
    }

    fn rect(&self, x0: f64, y0: f64, x1: f64, y1: f64) -> BezPath {
        self.view * path::rectangle(Rect::new(x0, y0, x1, y1))
    }

    fn outline(&mut self, shape: BezPath, pen: Pen) {
        self.placer.avoid(&shape);
        self.marks.push(Mark::stroke(SLAB, shape, pen));
    }

    /// Ground, stone, foam, concrete, tube from the bottom up.
    fn layers(&mut self, profile: &EdgeProfile) {
        let build_up = &self.job.build_up;
        let floor = build_up.floor_thickness.to_inches();
        let (foam, stone) = (foam_depth(self.job), build_up.stone.thickness.to_inches());
        let spots = concrete(self.job, profile);
        let depth = profile.thickened().map_or(floor, |edge| edge.total_depth.to_inches());
        let shelf = profile.thickened().map_or(0.0, |edge| {
            (edge.flat_width.to_inches() + edge.haunch_run.to_inches()).min(REACH)
        });
        let goes_under = build_up.foam_layers.iter().any(|layer| layer.goes_under_edges);
        let foam_from = match profile {
            EdgeProfile::Threshold(threshold) => shelf.max(threshold.foam_stops_short.to_inches()),
            _ => shelf,
        };
        if foam > 0.0 {
            let shape = self.rect(foam_from, floor, REACH, floor + foam);
            self.marks.push(Mark::hatch(FOAM, shape.clone(), Hatch::FOAM));
            self.outline(shape, Pen::THIN);
            if goes_under && shelf > 0.0 {
                let flat = profile.thickened().map_or(0.0, |edge| edge.flat_width.to_inches());
                let shape = self.rect(0.0, depth, flat.min(REACH), depth + foam);
                self.marks.push(Mark::hatch(FOAM, shape.clone(), Hatch::FOAM));
                self.outline(shape, Pen::THIN);
            }
        }
        if stone > 0.0 {
            let under = floor + foam;
            let shape = self.rect(shelf, under, REACH, under + stone);
            self.marks.push(Mark::hatch(SLAB, shape.clone(), Hatch::GROUND));
            self.outline(shape, Pen::HAIR);
        }
        let edge_foam = &self.job.edges.edge_foam;
        let thick = edge_foam.thickness.to_inches();
        if thick > 0.0 {
            let (x0, x1) = match edge_foam.place {
                EdgeFoamPlace::InsideForm => (0.0, thick),
                EdgeFoamPlace::OutsideForm => (-thick, 0.0),
            };
            let high = edge_foam.height.to_inches();
            let high = if high > 0.0 { high.min(depth) } else { depth };
            let shape = self.rect(x0, 0.0, x1, high);
            self.marks.push(Mark::hatch(FOAM, shape.clone(), Hatch::FOAM));
            self.outline(shape, Pen::THIN);
        }
        let shape = self.shape(&spots);
        self.marks.push(Mark::fill(SLAB, shape.clone(), Ink::PaleGray));
        self.marks.push(Mark::hatch(SLAB, shape.clone(), Hatch::CUT));
        self.outline(shape, Pen::HEAVY);
        let ground = path::line(
            self.view * Spot::new(-BEYOND, depth * 0.4),
            self.view * Spot::new(0.0, depth * 0.4),
        );
        self.outline(ground, Pen::MEDIUM);
        self.tube(floor);
        if *profile == EdgeProfile::FrostWall {
            let wall = self.rect(-8.0, 0.0, -0.5, depth + foam + stone);
            self.marks.push(Mark::hatch(SLAB, wall.clone(), Hatch::CUT));
            self.outline(wall, Pen::WIDE);
        }
    }

    fn tube(&mut self, floor: f64) {
        if !self.job.heating.is_heated {
            return;
        }
        let axis = match self.job.heating.tube.depth {
            TubeDepth::Bottom => floor - 0.5,
            TubeDepth::Middle => floor / 2.0,
            TubeDepth::Top => 1.5,
            TubeDepth::Axis(depth) => depth.to_inches(),
        };
        let spacing = self.job.heating.zones.first().map_or(12.0, |zone| zone.spacing.to_inches());
        let mut x = self.job.heating.tube.edge_distance.to_inches();
        let radius = self.job.heating.tube.size.nominal_in() / 2.0 + 0.06;
        let mut count = 0;
        while x < REACH && spacing > 0.5 && count < 60 {
            let ring = self.view * path::circle(Spot::new(x, axis), radius);
            self.marks.push(Mark::fill(TUBE, ring.clone(), Ink::Paper));
            self.marks.push(Mark::stroke(TUBE, ring, Pen::MEDIUM));
            x += spacing;
            count += 1;
        }
    }

    fn dimension(&mut self, from: Spot, to: Spot, out: Vec2, offset: f64, inches: f64) {
        let dimension = Dimension {
            from: self.view * from,
            to: self.view * to,
            out,
            offset,
            label: show_inches(
                crate::units::Length::inches(inches),
                self.job.facts.display.rounding,
            ),
            size: NOTE_SIZE,
            layer: DIMENSIONS,
            tag: 0,
        };
        if let Some(marks) = dimension.draw(&mut self.placer) {
            self.marks.extend(marks);
        }
    }

    fn sizes(&mut self, profile: &EdgeProfile) {
        let floor = self.job.build_up.floor_thickness.to_inches();
        let (down, right, left) = (Vec2::new(0.0, 1.0), Vec2::new(1.0, 0.0), Vec2::new(-1.0, 0.0));
        self.dimension(Spot::new(REACH, 0.0), Spot::new(REACH, floor), right, 14.0, floor);
        let Some(edge) = profile.thickened() else { return };
        let (flat, run) = (edge.flat_width.to_inches(), edge.haunch_run.to_inches());
        let depth = edge.total_depth.to_inches();
        self.dimension(
            Spot::new(-BEYOND * 0.4, 0.0),
            Spot::new(-BEYOND * 0.4, depth),
            left,
            16.0,
            depth,
        );
        let below = if self.job.build_up.foam_layers.iter().any(|layer| layer.goes_under_edges) {
            depth + foam_depth(self.job)
        } else {
            depth
        };
        self.dimension(Spot::new(0.0, below), Spot::new(flat, below), down, 16.0, flat);
        if run > 0.0 && flat + run <= REACH {
            self.dimension(Spot::new(flat, below), Spot::new(flat + run, below), down, 16.0, run);
        }
    }

    /// What the layers are, on callouts.
    fn words(&mut self, profile: &EdgeProfile) {
        let build_up = &self.job.build_up;
        let floor = build_up.floor_thickness.to_inches();
        let foam = foam_depth(self.job);
        let inches = |inches: f64| {
            show_inches(crate::units::Length::inches(inches), self.job.facts.display.rounding)
        };
        let mut said: Vec<(Spot, String)> =
            vec![(Spot::new(REACH * 0.72, 0.0), format!("concrete {}", inches(floor)))];
        if foam > 0.0 {
            said.push((
                Spot::new(REACH * 0.86, floor + foam * 0.6),
                format!("foam {}", inches(foam)),
            ));
        }
        let stone = build_up.stone.thickness.to_inches();
        if stone > 0.0 {
            said.push((
                Spot::new(REACH * 0.72, floor + foam + stone),
                format!("stone {}", inches(stone)),
            ));
        }
        if let EdgeProfile::Threshold(threshold) = profile {
            let words = format!(
                "lowered {} over {}",
                inches(threshold.lowered_by.to_inches()),
                inches(threshold.width.to_inches())
            );
            said.push((Spot::new(threshold.width.to_inches() / 2.0, 0.0), words));
        }
        if *profile == EdgeProfile::FrostWall {
            said.push((Spot::new(-4.0, 0.0), "frost wall, isolated".to_owned()));
        }
        for (at, words) in said {
            let about = self.view * at;
            let is_above = at.y <= floor / 2.0;
            let shift = if is_above { -15.0 } else { 26.0 };
            let text = Text::new(about + Vec2::new(0.0, shift), NOTE_SIZE, words).centered();
            let mut label = crate::drawing::place::Label::new(NOTES, text);
            label.about = Some(about);
            label.others = [(40.0, shift), (-40.0, shift), (0.0, shift * 1.8), (30.0, shift * 1.8)]
                .map(|(x, y)| about + Vec2::new(x, y))
                .to_vec();
            if let Some(marks) = self.placer.place(&label) {
                let reach = marks.iter().find_map(crate::drawing::Mark::bounds);
                if let Some(reach) = reach {
                    let end = Spot::new(
                        about.x.clamp(reach.x0, reach.x1),
                        if is_above { reach.y1 } else { reach.y0 },
                    );
                    self.marks.push(Mark::stroke(NOTES, path::line(about, end), Pen::FINE));
                }
                self.marks.extend(marks);
            }
        }
    }
}
