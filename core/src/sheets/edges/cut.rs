//! What a section cuts through, in inches: x along the cut, y down from the top of the floor.
//!
//! A cut through an edge starts at the outer face, x = 0, and goes into the slab; one through a
//! strip or a pad has its middle at x = 0 and floor on both sides.

use crate::derive::Results;
use crate::drawing::{Rect, Spot, Vec2};
use crate::facts::steel::bar_of_size;
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::job::edges::{EdgeFoam, EdgeFoamPlace, EdgeProfile};
use crate::job::heating::TubeDepth;
use crate::job::openings::Footprint;
use crate::job::thickenings::{Pad, ThickenedStrip};
use crate::units::{Length, show_inches, show_number};

/// Floor shown beyond the slope of a thickening.
const FLOOR_SHOWN: f64 = 16.0;
/// A wider flat bottom is broken in the middle.
const WIDEST_SHOWN: f64 = 24.0;
/// Ground shown outside an edge.
const OUTSIDE_SHOWN: f64 = 10.0;
/// Least width of a cut through an edge.
const LEAST_REACH: f64 = 30.0;

/// One cut.
#[derive(Clone, Debug, Default)]
pub(super) struct Cut {
    /// What is cut.
    pub(super) title: String,
    /// Where it is found.
    pub(super) said: String,
    /// Everything drawn but words and dimensions lies in here.
    pub(super) extent: Rect,
    /// The concrete's rim.
    pub(super) concrete: Vec<Spot>,
    /// Rims of foam.
    pub(super) foam: Vec<Vec<Spot>>,
    /// Rims of stone.
    pub(super) stone: Vec<Vec<Spot>>,
    /// A wall beside the slab.
    pub(super) wall: Option<Rect>,
    /// The surface of the ground outside.
    pub(super) ground: Option<(Spot, Spot)>,
    /// Lines of the membrane.
    pub(super) membrane: Vec<(Spot, Spot)>,
    /// Lines of the floor's steel.
    pub(super) floor_steel: Vec<(Spot, Spot)>,
    /// Middles of bars that run into the paper, and their radius.
    pub(super) bars: (Vec<Spot>, f64),
    /// Middles of tubes, and their radius.
    pub(super) tubes: (Vec<Spot>, f64),
    /// Where a wide bottom is shown shorter than it is.
    pub(super) break_at: Option<f64>,
    /// What is measured.
    pub(super) sizes: Vec<Size>,
    /// What things are called.
    pub(super) callouts: Vec<(Spot, String)>,
}

/// A length that is measured: its true value where the drawing is broken.
#[derive(Clone, Copy, Debug)]
pub(super) struct Size {
    pub(super) from: Spot,
    pub(super) to: Spot,
    pub(super) out: Vec2,
    pub(super) inches: f64,
}

/// The underside of a thickening: flat bottom, its depth, and the run of its slope.
#[derive(Clone, Copy, Debug)]
struct Under {
    depth: f64,
    flat: f64,
    run: f64,
}

/// The layers of the floor, inches.
#[derive(Clone, Copy)]
struct Layers {
    floor: f64,
    foam: f64,
    stone: f64,
    is_foam_under_edges: bool,
}

impl Layers {
    fn of(job: &Job) -> Self {
        let layers = &job.build_up.foam_layers;
        Self {
            floor: job.build_up.floor_thickness.to_inches().max(0.0),
            foam: layers.iter().map(|layer| layer.thickness.to_inches().max(0.0)).sum(),
            stone: job.build_up.stone.thickness.to_inches().max(0.0),
            is_foam_under_edges: layers.iter().any(|layer| layer.goes_under_edges),
        }
    }

    fn bottom(self) -> f64 {
        self.floor + self.foam + self.stone
    }
}

/// The cut through an edge of a profile; an edge without foam is the rim of an opening.
pub(super) fn of_edge(
    job: &Job,
    results: &Results,
    (profile, edge_foam): (&EdgeProfile, Option<EdgeFoam>),
    said: String,
) -> Cut {
    let layers = Layers::of(job);
    let is_outside_ground = edge_foam.is_some();
    let edge_foam =
        edge_foam.unwrap_or(EdgeFoam { thickness: Length::ZERO, ..EdgeFoam::default() });
    let thick = edge_foam.thickness.to_inches().max(0.0);
    let is_inside = edge_foam.place == EdgeFoamPlace::InsideForm;
    let face = if is_inside { thick } else { 0.0 };
    let under = profile.thickened().map(|edge| Under {
        depth: edge.total_depth.to_inches().max(layers.floor),
        flat: edge.flat_width.to_inches().max(face + 0.1),
        run: edge.haunch_run.to_inches().max(0.0),
    });
    let shelf = under.map_or(0.0, |under| under.flat + under.run);
    let depth = under.map_or(layers.floor, |under| under.depth);
    let reach = (shelf + FLOOR_SHOWN).max(LEAST_REACH);

    let mut concrete = vec![Spot::new(face, 0.0)];
    if let EdgeProfile::Threshold(threshold) = profile {
        let low = threshold.lowered_by.to_inches();
        let wide = threshold.width.to_inches().clamp(face, reach);
        concrete = vec![Spot::new(face, low), Spot::new(wide, low), Spot::new(wide, 0.0)];
    }
    concrete.extend([Spot::new(reach, 0.0), Spot::new(reach, layers.floor)]);
    match under {
        Some(under) => concrete.extend([
            Spot::new(shelf, layers.floor),
            Spot::new(under.flat, depth),
            Spot::new(face, depth),
        ]),
        None => concrete.push(Spot::new(face, layers.floor)),
    }
    let foam_from = match profile {
        EdgeProfile::Threshold(threshold) => {
            shelf.max(threshold.foam_stops_short.to_inches()).min(reach)
        }
        _ => shelf.max(face),
    };
    let mut cut = Cut {
        title: title(profile).to_owned(),
        said,
        concrete,
        extent: Rect::new(
            -OUTSIDE_SHOWN,
            0.0,
            reach,
            layers.bottom().max(depth + if layers.is_foam_under_edges { layers.foam } else { 0.0 }),
        ),
        ..Cut::default()
    };
    cut.floor_layers(job, results, layers, (foam_from, reach));
    cut.stone_beside(layers, (foam_from.max(shelf), reach), under, 1.0);
    if let (Some(under), true) = (under, layers.is_foam_under_edges && layers.foam > 0.0) {
        cut.foam_below(layers, (face, under), 1.0);
    }
    if thick > 0.0 {
        let x = if is_inside { 0.0 } else { -thick };
        let height = edge_foam.height.to_inches();
        let high = if height > 0.0 { height.min(depth) } else { depth };
        cut.foam.push(rectangle(x, 0.0, x + thick, high));
        let words = format!("edge foam {}", inches(job, thick));
        cut.callouts.push((Spot::new(x + thick / 2.0, high * 0.35), words));
    }
    if *profile == EdgeProfile::FrostWall {
        cut.wall = Some(Rect::new(-8.0, 0.0, (-0.5_f64).min(-thick + face), cut.extent.y1));
        cut.callouts.push((Spot::new(-6.0, depth * 0.4), "frost wall, isolated".to_owned()));
    } else if is_outside_ground {
        let level = depth * 0.4;
        let to = if is_inside { 0.0 } else { -thick };
        cut.ground = Some((Spot::new(-OUTSIDE_SHOWN, level), Spot::new(to, level)));
    }
    if let EdgeProfile::Threshold(threshold) = profile {
        let (low, wide) = (threshold.lowered_by.to_inches(), threshold.width.to_inches());
        let words = format!("lowered {} over {}", inches(job, low), inches(job, wide));
        cut.callouts.push((Spot::new((face + wide.max(face)) / 2.0 + 0.8, low), words));
    }
    let left = Vec2::new(-1.0, 0.0);
    if let Some(under) = under {
        cut.bars_in(job, (face, under.flat), depth, job.build_up.steel.edge_bars);
        let below = depth + if layers.is_foam_under_edges { layers.foam } else { 0.0 };
        cut.sizes_below(below, &[0.0, under.flat, shelf]);
        cut.size(Spot::new(-OUTSIDE_SHOWN, 0.0), Spot::new(-OUTSIDE_SHOWN, depth), left);
    }
    cut.size(Spot::new(reach, 0.0), Spot::new(reach, layers.floor), Vec2::new(1.0, 0.0));
    cut
}

/// The cut across a thickened strip.
pub(super) fn of_strip(job: &Job, results: &Results, strip: &ThickenedStrip, said: String) -> Cut {
    let under = Under {
        depth: strip.total_depth.to_inches(),
        flat: strip.flat_width.to_inches(),
        run: strip.haunch_run.to_inches(),
    };
    let count = job.build_up.steel.strip_bars;
    across(job, results, ("Thickened strip", said), (under, count))
}

/// The cut through the middle of a pad.
pub(super) fn of_pad(job: &Job, results: &Results, pad: &Pad, said: String) -> Cut {
    let flat = match pad.shape {
        Footprint::Round { diameter } => diameter,
        Footprint::Rectangle { length, .. } => length,
    };
    let under = Under {
        depth: pad.total_depth.to_inches(),
        flat: flat.to_inches(),
        run: pad.haunch_run.to_inches(),
    };
    across(job, results, ("Pad", said), (under, job.build_up.steel.pad_bars))
}

/// A cut with floor on both sides.
fn across(
    job: &Job,
    results: &Results,
    (title, said): (&str, String),
    (under, bars): (Under, u32),
) -> Cut {
    let layers = Layers::of(job);
    let under = Under {
        depth: under.depth.max(layers.floor),
        flat: under.flat.max(1.0),
        run: under.run.max(0.0),
    };
    let half = (under.flat / 2.0).min(WIDEST_SHOWN / 2.0);
    let is_broken = half < under.flat / 2.0;
    let shelf = half + under.run;
    let reach = shelf + FLOOR_SHOWN;
    // Both sides are alike: the left one is cut short.
    let left_end = -shelf - FLOOR_SHOWN / 2.0;
    let foam_below = if layers.is_foam_under_edges { layers.foam } else { 0.0 };
    let mut cut = Cut {
        title: title.to_owned(),
        said,
        concrete: vec![
            Spot::new(left_end, 0.0),
            Spot::new(reach, 0.0),
            Spot::new(reach, layers.floor),
            Spot::new(shelf, layers.floor),
            Spot::new(half, under.depth),
            Spot::new(-half, under.depth),
            Spot::new(-shelf, layers.floor),
            Spot::new(left_end, layers.floor),
        ],
        break_at: is_broken.then_some(0.0),
        extent: Rect::new(left_end, 0.0, reach, layers.bottom().max(under.depth + foam_below)),
        ..Cut::default()
    };
    // The left side has the layers too; their names stand on the right.
    cut.layer_shapes(layers, (left_end, -shelf));
    cut.floor_layers(job, results, layers, (shelf, reach));
    let side = Under { flat: half, ..under };
    cut.stone_beside(layers, (shelf, reach), Some(side), 1.0);
    cut.stone_beside(layers, (shelf, -left_end), Some(side), -1.0);
    if foam_below > 0.0 {
        cut.foam_below(layers, (0.0, side), 1.0);
        cut.foam_below(layers, (0.0, side), -1.0);
    }
    cut.bars_in(job, (-half, half), under.depth, bars);
    let below = under.depth + foam_below;
    cut.sizes_below(below, &[-shelf, -half]);
    let (from, to) = (Spot::new(-half, below), Spot::new(half, below));
    cut.sizes.push(Size { from, to, out: Vec2::new(0.0, 1.0), inches: under.flat });
    cut.sizes_below(below, &[half, shelf]);
    let left = Vec2::new(-1.0, 0.0);
    cut.size(Spot::new(left_end, 0.0), Spot::new(left_end, under.depth), left);
    cut.size(Spot::new(reach, 0.0), Spot::new(reach, layers.floor), Vec2::new(1.0, 0.0));
    cut
}

const fn title(profile: &EdgeProfile) -> &'static str {
    match profile {
        EdgeProfile::Plain => "Plain edge",
        EdgeProfile::Thickened(_) => "Thickened edge",
        EdgeProfile::FrostWall => "Edge at a frost wall",
        EdgeProfile::Threshold(_) => "Door threshold",
    }
}

fn inches(job: &Job, inches: f64) -> String {
    show_inches(Length::inches(inches), job.facts.display.rounding)
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Spot> {
    vec![Spot::new(x0, y0), Spot::new(x1, y0), Spot::new(x1, y1), Spot::new(x0, y1)]
}

impl Cut {
    fn size(&mut self, from: Spot, to: Spot, out: Vec2) {
        if from.distance(to) > 0.05 {
            self.sizes.push(Size { from, to, out, inches: from.distance(to) });
        }
    }

    /// A chain of sizes below.
    fn sizes_below(&mut self, y: f64, stations: &[f64]) {
        for pair in stations.windows(2) {
            if let &[from, to] = pair {
                self.size(Spot::new(from, y), Spot::new(to, y), Vec2::new(0.0, 1.0));
            }
        }
    }

    /// Foam and membrane under the floor between two places.
    fn layer_shapes(&mut self, layers: Layers, (from, to): (f64, f64)) {
        let under = layers.floor + layers.foam;
        if layers.foam > 0.0 && to > from {
            self.foam.push(rectangle(from, layers.floor, to, under));
        }
    }

    /// The layers of the floor between two places, with what they are called.
    fn floor_layers(
        &mut self,
        job: &Job,
        results: &Results,
        layers: Layers,
        (from, to): (f64, f64),
    ) {
        let Layers { floor, foam, stone, .. } = layers;
        let at = |share: f64| from + (to - from) * share;
        self.layer_shapes(layers, (from, to));
        let left = self.extent.x0.max(self.concrete.first().map_or(from, |spot| spot.x));
        let tube_axis = self.lay_tube(job, floor, (left, to), at(0.12));
        self.lay_floor_steel(job, results, (left, to), tube_axis);
        self.callouts.push((Spot::new(at(0.5), floor * 0.3), concrete_words(job, floor)));
        if foam > 0.0 {
            let words = format!("foam {}{}", inches(job, foam), foam_type(job));
            self.callouts.push((Spot::new(at(0.66), floor + foam * 0.5), words));
        }
        let base = floor + foam;
        let membrane = job.build_up.membrane;
        if membrane.is_laid {
            self.membrane.push((Spot::new(from, base), Spot::new(to, base)));
            let words = format!("membrane {} mil", show_number(membrane.mils, 0));
            self.callouts.push((Spot::new(at(0.78), base), words));
        }
        if stone > 0.0 {
            let words = format!("stone {}", inches(job, stone));
            self.callouts.push((Spot::new(at(0.9), base + stone * 0.5), words));
        }
    }

    /// Stone from a thickening's slope outward; `side` is 1 to the right and -1 to the left.
    fn stone_beside(
        &mut self,
        layers: Layers,
        (shelf, reach): (f64, f64),
        under: Option<Under>,
        side: f64,
    ) {
        if layers.stone <= 0.0 {
            return;
        }
        let (top, bottom) = (layers.floor + layers.foam, layers.bottom());
        // The stone fills up to the slope, or to the foam that lies below it.
        let shift = if layers.is_foam_under_edges { layers.foam } else { 0.0 };
        let mut rim = vec![Spot::new(reach, top), Spot::new(reach, bottom)];
        if let Some(under) = under.filter(|under| under.depth > layers.floor) {
            let start = layers.floor + shift;
            let slope = |depth: f64| {
                let share = ((depth - start) / (under.depth - layers.floor)).clamp(0.0, 1.0);
                under.flat + under.run * (1.0 - share)
            };
            let toe = (under.depth + shift).min(bottom);
            rim.push(Spot::new(slope(toe), bottom));
            rim.push(Spot::new(slope(toe), toe));
            rim.push(Spot::new(slope(start), start));
        } else {
            rim.push(Spot::new(shelf, bottom));
        }
        rim.push(Spot::new(shelf, top));
        self.stone.push(rim.into_iter().map(|spot| Spot::new(spot.x * side, spot.y)).collect());
    }

    /// Foam below a thickening: flat, then up its slope.
    fn foam_below(&mut self, layers: Layers, (from, under): (f64, Under), side: f64) {
        let (flat, shelf, depth) = (under.flat, under.flat + under.run, under.depth);
        let foam = layers.foam;
        let rims = [
            rectangle(from, depth, flat, depth + foam),
            vec![
                Spot::new(flat, depth),
                Spot::new(shelf, layers.floor),
                Spot::new(shelf, layers.floor + foam),
                Spot::new(flat, depth + foam),
            ],
        ];
        for rim in rims {
            self.foam.push(rim.into_iter().map(|spot| Spot::new(spot.x * side, spot.y)).collect());
        }
    }

    /// Bars that run into the paper, over the bottom of a thickening.
    fn bars_in(&mut self, job: &Job, (from, to): (f64, f64), depth: f64, count: u32) {
        let steel = &job.build_up.steel;
        if count == 0 {
            return;
        }
        let bar = bar_of_size(steel.edge_bar_size);
        let radius = bar.diameter_in / 2.0;
        let cover = steel.cover.to_inches().max(0.0) + radius;
        let (first, last) = ((from + cover).min(to), (to - cover).max(from));
        let y = (depth - cover).max(radius);
        // More than a handful would run into one another on paper.
        let shown = count.min(12);
        let spots = (0..shown).map(|place| {
            let share = if shown > 1 { f64::from(place) / f64::from(shown - 1) } else { 0.5 };
            Spot::new(first + (last - first) * share, y)
        });
        self.bars = (spots.collect(), radius);
        let words =
            format!("{count} bars #{}, cover {}", bar.size, inches(job, steel.cover.to_inches()));
        if let Some(&spot) = self.bars.0.last() {
            self.callouts.push((spot, words));
        }
    }

    /// Tube in the floor between two places; gives its axis' depth and radius when there is any.
    /// The one nearest to `near` is named.
    fn lay_tube(
        &mut self,
        job: &Job,
        floor: f64,
        (from, to): (f64, f64),
        near: f64,
    ) -> Option<(f64, f64)> {
        let tube = &job.heating.tube;
        if !job.heating.is_heated {
            return None;
        }
        let radius = tube.size.nominal_in() / 2.0 + 0.06;
        let axis = match tube.depth {
            TubeDepth::Bottom => floor - radius,
            TubeDepth::Middle => floor / 2.0,
            TubeDepth::Top => 1.5,
            TubeDepth::Axis(depth) => depth.to_inches(),
        };
        let spacing = job.heating.zones.first().map_or(12.0, |zone| zone.spacing.to_inches());
        let mut x = from + tube.edge_distance.to_inches().max(radius);
        let mut spots = Vec::new();
        while x < to - radius && spacing > 0.5 && spots.len() < 60 {
            spots.push(Spot::new(x, axis));
            x += spacing;
        }
        let nearest =
            |one: &&Spot, other: &&Spot| (one.x - near).abs().total_cmp(&(other.x - near).abs());
        if let Some(&spot) = spots.iter().min_by(nearest) {
            let size = inches(job, tube.size.nominal_in());
            let words = format!("tube {size} at {}", inches(job, spacing));
            self.callouts.push((spot, words));
        }
        self.tubes = (spots, radius);
        Some((axis, radius))
    }

    /// The floor's own steel: below a tube that is tied to it, else at mid depth.
    fn lay_floor_steel(
        &mut self,
        job: &Job,
        results: &Results,
        (from, to): (f64, f64),
        tube: Option<(f64, f64)>,
    ) {
        let floor = job.build_up.floor_thickness.to_inches();
        let words = match job.build_up.steel.floor {
            FloorSteel::None => return,
            FloorSteel::MeshSheets { .. } | FloorSteel::MeshRolls { .. } => {
                let name = &results.parts.concrete.steel.mesh_name;
                format!("mesh {}", name.split_whitespace().last().unwrap_or_default())
            }
            FloorSteel::Bars { size, spacing } => {
                format!("#{size} at {} both ways", inches(job, spacing.to_inches()))
            }
        };
        let y = match (job.heating.tube.depth, tube) {
            // The tube lies on the foam and is tied up to the steel.
            (TubeDepth::Bottom, Some((axis, radius))) => axis - radius - 0.15,
            (_, Some((axis, radius))) => (axis + radius + 0.15).min(floor - 0.3),
            (_, None) => floor / 2.0,
        };
        let cover = job.build_up.steel.cover.to_inches().max(0.0);
        let (from, to) = (from + cover.min(to - from), to);
        self.floor_steel.push((Spot::new(from, y), Spot::new(to, y)));
        self.callouts.push((Spot::new(from + (to - from) * 0.72, y), words));
    }
}

fn concrete_words(job: &Job, floor: f64) -> String {
    format!("concrete {}", inches(job, floor))
}

fn foam_type(job: &Job) -> String {
    let layers = &job.build_up.foam_layers;
    match layers.split_first() {
        Some((first, rest)) if rest.iter().all(|layer| layer.foam_type == first.foam_type) => {
            format!(", type {:?}", first.foam_type)
        }
        _ => String::new(),
    }
}
