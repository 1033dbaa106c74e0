//! The whole solid level by level: at every depth the plan of the concrete is put together by
//! union and difference of polygons, and the areas are added up over depth.
//!
//! Thickened edges come from the moved rings of [`super::offsets`]; strips, pads, recesses and
//! slopes from their own outlines at that depth; overlaps are left to the boolean engine. The
//! area is a piecewise quadratic in depth with kinks at unknown depths, so Simpson's rule is
//! halved until two steps agree. Stated error: the engine's grid (about 1e-6 in) along every
//! rim, crumbs under 0.1 in², and about 1e-7 of the volume for the halving.

use super::offsets::{self, EdgedRing};
use slabloom_core::geometry::clip::{difference, intersection, union_all};
use slabloom_core::geometry::{Point, Polygon, Vector, nearest};
use slabloom_core::job::Job;
use slabloom_core::job::openings::Footprint;
use slabloom_core::job::thickenings::{FallsTo, Pad, Recess, SlopedArea, ThickenedStrip};
use slabloom_core::plan::Plan;

/// What the levels are made of.
pub struct Levels<'a> {
    job: &'a Job,
    slab: [Polygon; 1],
    floor: f64,
    rings: Vec<EdgedRing>,
    stretches: Vec<(f64, f64)>,
    cuts: Vec<f64>,
    whole_volume: f64,
    window: Option<Polygon>,
    /// Two steps that differ by less than this share of the volume agree.
    settled: f64,
    /// Halvings at most, and how many of them are always made.
    halvings: (u32, u32),
}

impl<'a> Levels<'a> {
    /// Ready for a job of straight sides whose edges the moved rings can follow.
    pub fn new(job: &'a Job, plan: &Plan) -> Option<Self> {
        offsets::edged_volume(job, plan)?;
        let floor = job.build_up.floor_thickness.to_inches();
        let rings = offsets::rings(job, plan);
        let stretches = offsets::stretches(&rings, floor);
        let things = &job.thickenings;
        let mut cuts = vec![0.0, floor];
        cuts.extend(stretches.iter().map(|stretch| stretch.1));
        cuts.extend(things.strips.iter().map(|strip| strip.total_depth.to_inches()));
        cuts.extend(things.pads.iter().map(|pad| pad.total_depth.to_inches()));
        for recess in &things.recesses {
            let depth = recess.lowered_by.to_inches();
            cuts.extend([depth, floor + depth]);
        }
        cuts.extend(things.slopes.iter().map(deepest_of));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let whole_volume = plan.region.area() * floor;
        Some(Self {
            job,
            slab: [plan.region.clone()],
            floor,
            rings,
            stretches,
            cuts,
            whole_volume,
            window: None,
            settled: 2e-9,
            halvings: (10, 3),
        })
    }

    /// Only what lies within a window of the plan, to about 1e-5 of the volume.
    pub fn seen_through(self, window: Polygon) -> Self {
        Self { window: Some(window), settled: 2e-7, halvings: (7, 1), ..self }
    }

    /// Volume in cubic inches.
    pub fn volume(&self) -> f64 {
        self.cuts
            .windows(2)
            .map(|pair| {
                let (from, to) = (pair[0], pair[1]);
                // A hair inside the stretch, so that no level falls on a flat bottom.
                let hair = (to - from) * 1e-9;
                let ends = (from + hair, to - hair);
                let area = |depth: f64| self.area_at(depth, to);
                let middle = f64::midpoint(from, to);
                let areas = (area(ends.0), area(middle), area(ends.1));
                self.halved(&area, ends, areas, self.halvings.0)
            })
            .sum()
    }

    /// Simpson's rule, halved until it settles.
    fn halved(
        &self,
        area: &dyn Fn(f64) -> f64,
        (from, to): (f64, f64),
        (first, middle, last): (f64, f64, f64),
        left: u32,
    ) -> f64 {
        let half = f64::midpoint(from, to);
        let (before, after) = (area(f64::midpoint(from, half)), area(f64::midpoint(half, to)));
        let height = to - from;
        let coarse = height / 6.0 * (first + 4.0 * middle + last);
        let fine = height / 12.0 * (first + 4.0 * before + 2.0 * middle + 4.0 * after + last);
        // The first steps are always halved: two coarse sums may agree by chance.
        let may_settle = left + self.halvings.1 <= self.halvings.0;
        let settles = may_settle && (fine - coarse).abs() < self.settled * self.whole_volume;
        if left == 0 || settles {
            return fine;
        }
        self.halved(area, (from, half), (first, before, middle), left - 1)
            + self.halved(area, (half, to), (middle, after, last), left - 1)
    }

    /// Plan area of the concrete at a depth within the stretch of cuts that ends at `low`.
    fn area_at(&self, depth: f64, low: f64) -> f64 {
        let things = &self.job.thickenings;
        let mut below: Vec<Polygon> = Vec::new();
        let concrete = if depth < self.floor {
            self.slab.to_vec()
        } else {
            below.extend(things.strips.iter().filter_map(|strip| self.strip_at(strip, depth)));
            below.extend(things.pads.iter().filter_map(|pad| self.pad_at(pad, depth)));
            for recess in things.recesses.iter().filter(|recess| recess.keeps_thickness) {
                below.extend(recess_at(recess, depth - self.floor));
            }
            let mut parts = intersection(&self.slab, &union_all(&below));
            parts.extend(self.edges_at(depth, low));
            union_all(&parts)
        };
        let mut above: Vec<Polygon> = Vec::new();
        above.extend(things.recesses.iter().filter_map(|recess| recess_at(recess, depth)));
        above.extend(things.slopes.iter().filter_map(|slope| slope_at(slope, depth)));
        let concrete =
            if above.is_empty() { concrete } else { difference(&concrete, &union_all(&above)) };
        let seen = match &self.window {
            Some(window) => intersection(&concrete, std::slice::from_ref(window)),
            None => concrete,
        };
        seen.iter().map(Polygon::area).sum()
    }

    /// The rings of the thickened edges.
    fn edges_at(&self, depth: f64, low: f64) -> Vec<Polygon> {
        let Some(&(_, end)) = self
            .stretches
            .iter()
            .find(|stretch| stretch.0 <= depth && depth <= stretch.1 && low <= stretch.1 + 1e-9)
        else {
            return Vec::new();
        };
        let mut moved =
            offsets::rings_at(&self.rings, self.floor, depth, end).expect("checked before");
        let outer = moved.remove(0);
        difference(&self.slab, &[Polygon::new(outer, moved)])
    }

    /// How far the sides of a thickening have drawn apart at a depth; `None` below its bottom.
    fn spread(&self, total: f64, run: f64, depth: f64) -> Option<f64> {
        (depth < total).then(|| run * (total - depth) / (total - self.floor))
    }

    fn strip_at(&self, strip: &ThickenedStrip, depth: f64) -> Option<Polygon> {
        let spread =
            self.spread(strip.total_depth.to_inches(), strip.haunch_run.to_inches(), depth)?;
        let half = strip.flat_width.to_inches() / 2.0 + spread;
        let left = moved_line(&strip.line, half);
        let right = moved_line(&strip.line, -half);
        Some(Polygon::new(right.into_iter().chain(left.into_iter().rev()).collect(), Vec::new()))
    }

    fn pad_at(&self, pad: &Pad, depth: f64) -> Option<Polygon> {
        let spread = self.spread(pad.total_depth.to_inches(), pad.haunch_run.to_inches(), depth)?;
        let corners = match pad.shape {
            Footprint::Round { diameter } => {
                // A fine polygon with the area of the circle.
                let radius = diameter.to_inches() / 2.0 + spread;
                let count = 720;
                let step = std::f64::consts::TAU / f64::from(count);
                let larger = (step / step.sin()).sqrt();
                (0..count)
                    .map(|i| {
                        let angle = step * f64::from(i);
                        pad.at + Vector::new(angle.cos(), angle.sin()) * (radius * larger)
                    })
                    .collect()
            }
            Footprint::Rectangle { length, width, turn_degrees } => {
                let turn = turn_degrees.to_radians();
                let along = Vector::new(turn.cos(), turn.sin());
                let (x, y) = (length.to_inches() / 2.0 + spread, width.to_inches() / 2.0 + spread);
                [(-x, -y), (x, -y), (x, y), (-x, y)]
                    .map(|(x, y)| pad.at + along * x + along.left() * y)
                    .to_vec()
            }
        };
        Some(Polygon::new(corners, Vec::new()))
    }
}

/// A line moved sideways to the left, its bends mitred.
fn moved_line(line: &[Point], off: f64) -> Vec<Point> {
    let legs: Vec<(Point, Point)> = line
        .windows(2)
        .map(|pair| {
            let side = (pair[1] - pair[0]).unit().expect("a leg").left() * off;
            (pair[0] + side, pair[1] + side)
        })
        .collect();
    let mut moved = vec![legs[0].0];
    for pair in legs.windows(2) {
        moved.push(nearest::meeting_of_lines(pair[0], pair[1]).unwrap_or(pair[0].1));
    }
    moved.push(legs[legs.len() - 1].1);
    moved
}

/// A recess of four corners at a depth: its corners drawn in along the slope of its sides.
fn recess_at(recess: &Recess, depth: f64) -> Option<Polygon> {
    let total = recess.lowered_by.to_inches();
    if depth >= total {
        return None;
    }
    let inset = recess.side_run.to_inches() * depth / total;
    let ring =
        EdgedRing { corners: recess.corners.clone(), edges: vec![None; recess.corners.len()] };
    let corners = offsets::moved_ring(&ring, &vec![inset; recess.corners.len()])?;
    Some(Polygon::new(corners, Vec::new()))
}

fn deepest_of(slope: &SlopedArea) -> f64 {
    let fall = slope.fall_per_foot.to_inches() / 12.0;
    let region = Polygon::new(slope.corners.clone(), Vec::new());
    match slope.falls_to {
        FallsTo::Line { from, to } => {
            let off =
                |corner: &Point| (*corner - nearest::nearest_on_line(*corner, from, to)).length();
            fall * slope.corners.iter().map(off).fold(0.0, f64::max)
        }
        FallsTo::Drain { at } => fall * nearest::distance_to_sides(at, &region),
    }
}

/// Where a sloped top lies deeper than a depth.
fn slope_at(slope: &SlopedArea, depth: f64) -> Option<Polygon> {
    let deepest = deepest_of(slope);
    if depth >= deepest {
        return None;
    }
    let corners = match slope.falls_to {
        FallsTo::Drain { at } => slope
            .corners
            .iter()
            .map(|corner| at + (*corner - at) * (1.0 - depth / deepest))
            .collect(),
        // The random slopes fall to the west side of an upright rectangle.
        FallsTo::Line { from, .. } => {
            let fall = slope.fall_per_foot.to_inches() / 12.0;
            let east = from.x + (deepest - depth) / fall;
            slope.corners.iter().map(|corner| Point::new(corner.x.min(east), corner.y)).collect()
        }
    };
    Some(Polygon::new(corners, Vec::new()))
}
