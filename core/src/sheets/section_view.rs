//! The floor and the edge in section, to scale, with lines of one temperature: one drawing for the
//! heat sheet and for the editor's panel.
//!
//! Question: what lies where, how warm is it, and does the blade miss the tube? The drawing fills
//! a room on paper (points, y down) at the largest listed scale that fits. Materials are told by
//! hatching and by words, temperatures by figures on their lines; a figure that has no room is
//! left out, as its neighbours say what it would.

use super::plan_marks::{DIMENSIONS, FOAM, HEAT, NOTES, SLAB, TUBE};
use crate::derive::Results;
use crate::drawing::place::Label;
use crate::drawing::text::{Across, NOTE_SIZE, Text, Upright};
use crate::drawing::{
    Affine, BezPath, Dash, Hatch, Ink, Layer, Mark, Pen, Placer, Rect, Scale, Shape, Spot, clip,
    path,
};
use crate::heat::contour::ContourLine;
use crate::heat::picture::{EdgePicture, SectionPicture};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::units::quantity_text::show_temperature;
use crate::units::{Length, Temperature, UnitSystem, show_inches, show_number};

/// Bands about the section for sizes, in points at text of note size: left, top, right, foot.
const BANDS: [f64; 4] = [72.0, 40.0, 88.0, 14.0];
/// The same where figures stand without words.
const NARROW_BANDS: [f64; 4] = [42.0, 36.0, 36.0, 6.0];
/// Earth shown under the stone at the edge, inches.
const EARTH_SHOWN: f64 = 4.0;
/// Width of floor that is shown at the least, inches.
const LEAST_WIDTH: f64 = 18.0;
/// Floor shown beside the outermost tubes, spacings.
const SHOULDER: f64 = 0.3;
/// Width of a saw blade, inches.
const BLADE: f64 = 0.1875;

/// Paper for a section: its room and the size of its words, both in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionRoom {
    /// Where it stands.
    pub room: Rect,
    /// Text size.
    pub size: f64,
    /// What it has to fit.
    pub fit: Fit,
}

/// What a section has to fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// A sheet: a listed scale, sizes with their words.
    Sheet,
    /// A narrow panel on the screen: as large as it can be, sizes without words.
    Panel,
}

/// A section as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionDrawing {
    /// Its marks, on paper.
    pub marks: Vec<Mark>,
    /// Its scale.
    pub scale: Scale,
}

/// The floor in section; `None` without one.
#[must_use]
pub fn floor_view(job: &Job, results: &Results, place: SectionRoom) -> Option<SectionDrawing> {
    let picture = results.parts.heat_study.section.as_ref()?;
    let spacing = picture.spacing_in.max(1.0);
    let tubes = (LEAST_WIDTH / spacing).ceil().clamp(2.0, 5.0);
    let last = (tubes - 1.0) * spacing;
    // Earth is nearly of one temperature under a floor: nothing is lost by ending at the stone.
    let deep = picture.slab_in + picture.foam_in + picture.stone_in;
    let shown = Rect::new(-SHOULDER * spacing, 0.0, last + SHOULDER * spacing, deep);
    let mut view = View::new(job, place, shown);
    view.floor_layers(picture, shown);
    let lines = repeated(&picture.isotherms, picture.spacing_in, tubes);
    view.isotherms(&lines, shown);
    view.floor_outlines(picture, shown);
    let mut axis = 0.0;
    while axis < last + 0.5 * spacing {
        view.tube(Spot::new(axis, picture.axis_in), picture.tube_outside_in);
        axis += spacing;
    }
    let cut = results.parts.joints.layout.lines.iter().map(|l| l.saw_depth).fold(0.0, f64::max);
    view.blade(picture, 0.0, cut);
    view.floor_sizes(picture, shown);
    view.floor_words(picture, last);
    view.line_figures(&lines, shown, picture.step_f);
    Some(SectionDrawing { marks: view.marks, scale: view.scale })
}

/// The edge in section; `None` without one.
#[must_use]
pub fn edge_view(job: &Job, results: &Results, place: SectionRoom) -> Option<SectionDrawing> {
    let picture = results.parts.heat_study.edge.as_ref()?;
    let depth = picture.underside.first().map_or(picture.slab_in, |p| p.1);
    let reach = picture.underside.last().map_or(40.0, |p| p.0);
    let below = picture.slab_in + picture.foam_in + picture.stone_in + EARTH_SHOWN;
    let shown = Rect::new(-14.0, -7.0, reach, below.max(depth + EARTH_SHOWN));
    let mut view = View::new(job, place, shown);
    view.edge_layers(picture, shown);
    view.isotherms(&picture.isotherms, shown);
    view.edge_outlines(picture, shown);
    for &x in picture.tubes_in.iter().filter(|x| **x < reach - 0.5) {
        view.tube(Spot::new(x, picture.tube.0), picture.tube.1);
    }
    view.edge_words(picture, shown, depth);
    view.line_figures(&picture.isotherms, shown, picture.step_f);
    Some(SectionDrawing { marks: view.marks, scale: view.scale })
}

/// The half cell's lines for a row of tubes: mirrored at each axis.
fn repeated(lines: &[ContourLine], spacing: f64, tubes: f64) -> Vec<ContourLine> {
    let mut all = Vec::new();
    let mut tube = 0.0;
    while tube < tubes {
        for line in lines {
            for side in [-1.0, 1.0] {
                let points = line.points.iter().map(|p| (tube * spacing + side * p.0, p.1));
                all.push(ContourLine { level: line.level, points: points.collect() });
            }
        }
        tube += 1.0;
    }
    all
}

struct View<'a> {
    job: &'a Job,
    fit: Fit,
    scale: Scale,
    map: Affine,
    size: f64,
    placer: Placer,
    marks: Vec<Mark>,
}

impl<'a> View<'a> {
    fn new(job: &'a Job, place: SectionRoom, shown: Rect) -> Self {
        let bands = if place.fit == Fit::Sheet { BANDS } else { NARROW_BANDS };
        let [left, top, right, foot] = bands.map(|band| band * place.size / NOTE_SIZE);
        let room = place.room;
        let drawn = Rect::new(room.x0 + left, room.y0 + top, room.x1 - right, room.y1 - foot);
        let is_metric = job.facts.display.rounding.system() == UnitSystem::Metric;
        let scale = match place.fit {
            Fit::Sheet => Scale::to_fit(shown.width(), shown.height(), drawn, is_metric),
            Fit::Panel => {
                let most = (drawn.width() / shown.width()).min(drawn.height() / shown.height());
                Scale { ratio: 72.0 / most.max(0.1), is_metric }
            }
        };
        let k = scale.points_per_inch();
        // What is left over goes to both sides.
        let x = drawn.x0 + 0.5 * (drawn.width() - shown.width() * k).max(0.0) - shown.x0 * k;
        let map = Affine::new([k, 0.0, 0.0, k, x, drawn.y0 - shown.y0 * k]);
        Self {
            job,
            fit: place.fit,
            scale,
            map,
            size: place.size,
            placer: Placer::new(room),
            marks: Vec::new(),
        }
    }

    fn rect(&self, x0: f64, y0: f64, x1: f64, y1: f64) -> BezPath {
        self.map * path::rectangle(Rect::new(x0, y0, x1, y1))
    }

    fn area(&mut self, layer: Layer, shape: BezPath, hatch: Option<Hatch>, ink: Ink) {
        self.marks.push(Mark::fill(layer, shape.clone(), ink));
        if let Some(hatch) = hatch {
            let pale = Hatch { pen: hatch.pen.inked(Ink::MidGray), ..hatch };
            self.marks.push(Mark::hatch(layer, shape, pale));
        }
    }

    fn stroke(&mut self, layer: Layer, shape: BezPath, pen: Pen) {
        self.placer.avoid(&shape);
        self.marks.push(Mark::stroke(layer, shape, pen));
    }

    fn line(&mut self, layer: Layer, from: (f64, f64), to: (f64, f64), pen: Pen) {
        let shape = self.map * path::line(from.into(), to.into());
        self.stroke(layer, shape, pen);
    }

    fn floor_layers(&mut self, picture: &SectionPicture, shown: Rect) {
        let (x0, x1) = (shown.x0, shown.x1);
        let foam = picture.slab_in + picture.foam_in;
        let stone = foam + picture.stone_in;
        if picture.foam_in > 0.0 {
            let shape = self.rect(x0, picture.slab_in, x1, foam);
            self.area(FOAM, shape, Some(Hatch::FOAM), Ink::Paper);
        }
        if picture.stone_in > 0.0 {
            let shape = self.rect(x0, foam, x1, stone);
            self.area(SLAB, shape, Some(Hatch { spacing: 6.0, ..Hatch::GROUND }), Ink::Paper);
        }
        let slab = self.rect(x0, 0.0, x1, picture.slab_in);
        self.area(SLAB, slab, None, Ink::PaleGray);
    }

    fn floor_outlines(&mut self, picture: &SectionPicture, shown: Rect) {
        let (x0, x1) = (shown.x0, shown.x1);
        let mut z = 0.0;
        for (thick, pen) in [
            (0.0, Pen::HEAVY),
            (picture.slab_in, Pen::WIDE),
            (picture.foam_in, Pen::THIN),
            (picture.stone_in, Pen::THIN),
        ] {
            z += thick;
            self.line(SLAB, (x0, z), (x1, z), pen);
        }
        let steel = &self.job.build_up.steel;
        if matches!(steel.floor, FloorSteel::None) {
            return;
        }
        // Wire lies on the tube where that is at the bottom, else over it.
        let radius = 0.5 * picture.tube_outside_in;
        let is_low = picture.axis_in > 0.6 * picture.slab_in;
        let wire =
            if is_low { picture.axis_in + radius + 0.06 } else { picture.axis_in - radius - 0.06 };
        let wire = wire.clamp(0.25, picture.slab_in - 0.1);
        self.line(SLAB, (x0, wire), (x1, wire), Pen::THIN.dashed(Dash::LongDashDot));
    }

    /// Lines of one temperature, cut to what is shown.
    fn isotherms(&mut self, lines: &[ContourLine], shown: Rect) {
        let room = self.map.transform_rect_bbox(shown);
        for line in lines {
            let spots: Vec<Spot> = line.points.iter().map(|&p| self.map * Spot::from(p)).collect();
            let mark = Mark::stroke(HEAT, path::polyline(&spots), Pen::FINE);
            self.marks.extend(clip::clip(&mark, room));
        }
    }

    fn tube(&mut self, at: Spot, outside: f64) {
        let ring = self.map * path::circle(at, 0.5 * outside);
        self.marks.push(Mark::fill(TUBE, ring.clone(), Ink::Paper));
        self.stroke(TUBE, ring, Pen::MEDIUM);
        let rect = Rect::from_center_size(at, (outside, outside));
        self.placer.take_rect(self.map.transform_rect_bbox(rect));
    }

    /// The saw cut, over a tube, with what is clear between blade and tube.
    fn blade(&mut self, picture: &SectionPicture, axis: f64, cut: f64) {
        if cut <= 0.0 || cut >= picture.slab_in {
            return;
        }
        let notch = self.rect(axis - 0.5 * BLADE, 0.0, axis + 0.5 * BLADE, cut);
        self.marks.push(Mark::fill(SLAB, notch.clone(), Ink::Paper));
        self.stroke(SLAB, notch, Pen::THIN);
        let clear = picture.axis_in - 0.5 * picture.tube_outside_in - cut;
        let words = if clear > 0.0 {
            format!("saw cut {}, {} clear", self.inches(cut), self.inches(clear))
        } else {
            format!("saw cut {} meets the tube", self.inches(cut))
        };
        let at = self.map * Spot::new(axis, 0.55 * cut);
        let mut text = Text::new(Spot::new(at.x + 5.0, at.y), self.size, words);
        text.upright = Upright::Middle;
        let text = if clear > 0.0 { text } else { text.bold() };
        let mut label = Label::new(DIMENSIONS, text.clone());
        label.about = Some(at);
        let back = Spot::new(at.x - 5.0 - text.width(), at.y);
        label.others = vec![back, back + (0.0, self.size), text.at + (0.0, self.size)];
        label.reach = 70.0;
        self.put(&label);
    }

    fn inches(&self, inches: f64) -> String {
        show_inches(Length::inches(inches), self.job.facts.display.rounding)
    }

    /// A size with its words, where there is room for words.
    fn sized(&self, inches: f64, words: &str) -> String {
        match self.fit {
            Fit::Sheet => format!("{} {words}", self.inches(inches)),
            Fit::Panel => self.inches(inches),
        }
    }

    fn degrees(&self, fahrenheit: f64) -> String {
        let system = self.job.facts.display.rounding.system();
        show_temperature(Temperature::fahrenheit(fahrenheit), system)
    }

    /// A label on a patch of paper, as lines of one temperature run everywhere.
    fn put(&mut self, label: &Label) {
        for mark in self.placer.place(label).into_iter().flatten() {
            if let Shape::Text(text) = &mark.shape {
                let patch = path::polygon(&text.corners());
                self.marks.push(Mark::fill(label.layer, patch, Ink::Paper));
            }
            self.marks.push(mark);
        }
    }

    /// Words at a place of the section, above it or where there is room.
    fn say(&mut self, at: Spot, words: String, others: &[(f64, f64)]) {
        let at = self.map * at;
        let mut label = Label::new(NOTES, Text::new(at, self.size, words).centered());
        label.others = others.iter().map(|&(x, y)| at + (x, y)).collect();
        label.reach = 90.0;
        self.put(&label);
    }

    /// A height beside the section: ticks at both ends and words beside their middle.
    fn bracket(&mut self, x: f64, ends: (f64, f64), words: &str, is_left: bool) {
        let side = if is_left { -1.0 } else { 1.0 };
        let (from, to) = (self.map * Spot::new(x, ends.0), self.map * Spot::new(x, ends.1));
        let out = from.x + side * 8.0;
        for end in [from, to] {
            let tick = path::line(
                Spot::new(end.x + side * 2.0, end.y),
                Spot::new(out + side * 3.0, end.y),
            );
            self.stroke(DIMENSIONS, tick, Pen::FINE);
        }
        self.stroke(
            DIMENSIONS,
            path::line(Spot::new(out, from.y), Spot::new(out, to.y)),
            Pen::FINE,
        );
        let at = Spot::new(out + side * 5.0, 0.5 * (from.y + to.y));
        let mut text = Text::new(at, self.size, words);
        text.upright = Upright::Middle;
        text.across = if is_left { Across::End } else { Across::Start };
        let mut label = Label::new(DIMENSIONS, text);
        let step = self.size * 1.2;
        label.others = [1.0, -1.0, 2.0, -2.0].map(|n| at + (0.0, n * step)).to_vec();
        label.about = Some(Spot::new(out, at.y));
        label.reach = 60.0;
        self.put(&label);
    }

    fn floor_sizes(&mut self, picture: &SectionPicture, shown: Rect) {
        let foam = picture.slab_in + picture.foam_in;
        let words = self.sized(picture.axis_in, "to axis");
        self.bracket(shown.x0, (0.0, picture.axis_in), &words, true);
        let layers = [
            ("concrete", 0.0, picture.slab_in),
            ("foam", picture.slab_in, picture.foam_in),
            ("stone", foam, picture.stone_in),
        ];
        for (name, from, thick) in layers {
            if thick > 0.0 {
                let words = self.sized(thick, name);
                self.bracket(shown.x1, (from, from + thick), &words, false);
            }
        }
        // Spacing stands over the floor, from tube to tube.
        let (from, to) =
            (self.map * Spot::new(0.0, 0.0), self.map * Spot::new(picture.spacing_in, 0.0));
        let y = from.y - self.size * 2.2;
        self.stroke(DIMENSIONS, path::line(Spot::new(from.x, y), Spot::new(to.x, y)), Pen::FINE);
        for x in [from.x, to.x] {
            let tick = path::line(Spot::new(x, y - 4.0), Spot::new(x, y + 4.0));
            self.stroke(DIMENSIONS, tick, Pen::FINE);
        }
        let at = Spot::new(0.5 * (from.x + to.x), y - self.size * 0.7);
        let words = self.inches(picture.spacing_in);
        let label = Label::new(DIMENSIONS, Text::new(at, self.size, words).centered());
        self.put(&label);
    }

    /// Surface temperatures over the last tube and between it and the one before; the water's.
    fn floor_words(&mut self, picture: &SectionPicture, last: f64) {
        let half = last - 0.5 * picture.spacing_in;
        let up = -self.size * 0.8;
        for (x, degrees) in [(last, picture.surface_max_f), (half, picture.surface_min_f)] {
            let words = self.degrees(degrees);
            let above = Spot::new(x, 0.0) + (0.0, up / self.scale.points_per_inch());
            self.say(above, words, &[(12.0, 0.0), (-12.0, 0.0)]);
        }
        let words = format!("water {}", self.degrees(picture.water_f));
        let beside = 0.5 * picture.tube_outside_in * self.scale.points_per_inch() + 34.0;
        let at = Spot::new(last, picture.axis_in);
        let under = 0.9 * picture.foam_in.max(2.0) * self.scale.points_per_inch();
        self.say(at, words, &[(-beside - 4.0, 0.0), (-beside, 12.0), (0.0, under)]);
    }

    /// Figures on lines of one temperature, where they have room.
    fn line_figures(&mut self, lines: &[ContourLine], shown: Rect, step: f64) {
        let room = self.map.transform_rect_bbox(shown).inflate(-6.0, -5.0);
        let is_metric = self.job.facts.display.rounding.system() == UnitSystem::Metric;
        let mut done: Vec<f64> = Vec::new();
        let mut longest: Vec<&ContourLine> = lines.iter().collect();
        longest.sort_by(|a, b| b.length().total_cmp(&a.length()));
        for line in longest {
            // A figure on every line would hide them: one on every second, once.
            let number = (line.level / step.max(1e-6)).round();
            if (number / 2.0).fract() != 0.0 || done.contains(&line.level) {
                continue;
            }
            let words = if is_metric {
                show_number((line.level - 32.0) / 1.8, 0)
            } else {
                show_number(line.level, 0)
            };
            for place in super::floor_temperature::label_places(line) {
                let at = self.map * Spot::new(place.x, place.y);
                let text = Text::new(at, self.size * 0.86, words.clone()).centered();
                if room.contains(at)
                    && self.placer.is_free(&text)
                    && self.placer.crossings(&text) == 0
                {
                    self.placer.take_text(&text);
                    let patch = path::polygon(&text.corners());
                    self.marks.push(Mark::fill(HEAT, patch, Ink::Paper));
                    self.marks.push(Mark::text(HEAT, text));
                    done.push(line.level);
                    break;
                }
            }
        }
    }

    fn edge_layers(&mut self, picture: &EdgePicture, shown: Rect) {
        let foam = picture.slab_in + picture.foam_in;
        if picture.foam_in > 0.0 {
            let shape = self.rect(picture.foam_from_in, picture.slab_in, shown.x1, foam);
            self.area(FOAM, shape, Some(Hatch::FOAM), Ink::Paper);
        }
        if picture.stone_in > 0.0 {
            let shape = self.rect(picture.foam_from_in, foam, shown.x1, foam + picture.stone_in);
            self.area(SLAB, shape, Some(Hatch { spacing: 6.0, ..Hatch::GROUND }), Ink::Paper);
        }
        let concrete = self.concrete(picture, shown);
        self.area(SLAB, concrete, None, Ink::PaleGray);
        let (thick, deep) = picture.edge_foam_in;
        if thick > 0.0 {
            let shape = self.rect(-thick, 0.0, 0.0, deep);
            self.area(FOAM, shape, Some(Hatch::FOAM), Ink::Paper);
        }
        if let (true, Some(&(flat, depth))) =
            (picture.foam_under_edge_in > 0.0, picture.underside.get(1))
        {
            let shape = self.rect(0.0, depth, flat, depth + picture.foam_under_edge_in);
            self.area(FOAM, shape, Some(Hatch::FOAM), Ink::Paper);
        }
    }

    fn concrete(&self, picture: &EdgePicture, shown: Rect) -> BezPath {
        let mut spots = vec![Spot::new(shown.x1, 0.0), Spot::new(0.0, 0.0)];
        spots.extend(picture.underside.iter().map(|&(x, z)| Spot::new(x.min(shown.x1), z)));
        self.map * path::polygon(&spots)
    }

    fn edge_outlines(&mut self, picture: &EdgePicture, shown: Rect) {
        let concrete = self.concrete(picture, shown);
        self.stroke(SLAB, concrete, Pen::WIDE);
        let (thick, deep) = picture.edge_foam_in;
        if thick > 0.0 {
            let shape = self.rect(-thick, 0.0, 0.0, deep);
            self.stroke(FOAM, shape, Pen::THIN);
        }
        if picture.foam_in > 0.0 {
            let foam = picture.slab_in + picture.foam_in;
            let shape = self.rect(picture.foam_from_in, picture.slab_in, shown.x1, foam);
            self.stroke(FOAM, shape, Pen::THIN);
        }
        self.line(SLAB, (shown.x0, picture.grade_in), (-thick, picture.grade_in), Pen::HEAVY);
        let wall = self.rect(-thick, shown.y0, picture.wall_in, 0.0);
        self.marks.push(Mark::fill(SLAB, wall.clone(), Ink::Paper));
        self.stroke(SLAB, wall, Pen::THIN);
    }

    fn edge_words(&mut self, picture: &EdgePicture, shown: Rect, depth: f64) {
        let design = &self.job.heating.design;
        let (outside, room) = (self.degrees(design.outdoor_f), self.degrees(design.indoor_f));
        let thick = picture.edge_foam_in.0;
        let words = self.sized(depth, "edge");
        self.bracket(shown.x0, (0.0, depth), &words, true);
        let words = self.sized(picture.slab_in, "concrete");
        self.bracket(shown.x1, (0.0, picture.slab_in), &words, false);
        if picture.foam_in > 0.0 {
            let foam = picture.slab_in + picture.foam_in;
            let words = self.sized(picture.foam_in, "foam");
            self.bracket(shown.x1, (picture.slab_in, foam), &words, false);
        }
        let middle = 0.5 * (picture.wall_in + shown.x1);
        self.say(Spot::new(middle, -4.0), format!("room {room}"), &[]);
        let left = 0.5 * (shown.x0 - thick);
        // Words wider than the strip of outside that is shown stand off the wall.
        let aside = [(-14.0, 0.0), (-28.0, 0.0), (-42.0, 0.0), (0.0, -12.0)];
        self.say(Spot::new(left, -4.0), format!("outside {outside}"), &aside);
        let wall = 0.5 * (picture.wall_in - thick);
        self.say(Spot::new(wall, 0.6 * shown.y0), "wall".to_owned(), &[(0.0, -10.0), (0.0, 10.0)]);
        let words = format!("{} beside the wall", self.degrees(picture.beside_wall_f));
        self.say(
            Spot::new(picture.wall_in + 6.0, -1.6),
            words,
            &[(14.0, 0.0), (30.0, 0.0), (46.0, 0.0)],
        );
        if thick > 0.0 {
            let words = format!("{} foam", self.inches(thick));
            let at = Spot::new(-0.5 * thick, 0.75 * picture.edge_foam_in.1);
            self.say(at, words, &[(-46.0, 4.0), (-46.0, 12.0)]);
        }
    }
}
