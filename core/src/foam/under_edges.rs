//! Foam under thickened edges, strips and pads: flat bottoms and slopes, each a surface of its own.
//!
//! Question: which faces lie under the floor's level, and how large are they in truth? Each side
//! gives a flat bottom and a slope, mitred at the corners; strips and pads have slopes all round.
//! A slope is laid in its true length: across the side its plan is stretched by the hypotenuse of
//! run and rise over the run.
//!
//! Limits: where two slopes run into each other the first one keeps the place and the other is
//! trimmed in plan, which is true for equal slopes and within a hand's breadth otherwise.

use super::PieceSurface;
use super::area::{Margin, margins, ring_bands};
use super::courses::{Division, Strip, strips_of};
use super::frame::Frame;
use crate::geometry::{Point, Polygon, clip};
use crate::job::Job;
use crate::plan::{Plan, RimId};
use crate::units::exact_math::hypot;

/// A face under an edge.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Face {
    /// Its plan.
    pub plan: Vec<Polygon>,
    /// Axes along its side.
    pub frame: Frame,
    /// True length across the side over the length in plan.
    pub stretch: f64,
    /// Which face.
    pub surface: PieceSurface,
}

impl Face {
    /// True area, square inches.
    pub fn area(&self) -> f64 {
        self.plan.iter().map(Polygon::area).sum::<f64>() * self.stretch
    }

    /// The strips that boards fill, in true length, along the side.
    pub fn strips(&self, width: f64) -> Vec<Strip> {
        let mut turned = self.frame.into_course(&self.plan);
        for ring in turned
            .iter_mut()
            .flat_map(|part| std::iter::once(&mut part.outer).chain(&mut part.holes))
        {
            for point in ring {
                point.y *= self.stretch;
            }
        }
        let low = turned
            .iter()
            .flat_map(|part| &part.outer)
            .fold(f64::INFINITY, |least, point| least.min(point.y));
        if !low.is_finite() {
            return Vec::new();
        }
        strips_of(&turned, Division { offset: low, width, step_kept: 3.0 })
    }

    /// A place of the plan in its true course axes.
    pub fn face_from_plan(&self, at: Point) -> Point {
        let course = self.frame.course_from_plan(at);
        Point::new(course.x, course.y * self.stretch)
    }

    /// A place of its true course axes in plan.
    pub fn plan_from_face(&self, at: Point) -> Point {
        self.frame.plan_from_course(Point::new(at.x, at.y / self.stretch))
    }
}

/// The faces under thickened parts, in the order of the sides, off the `floor` in plan: where
/// unlike edges meet at a sharp corner the floor's own boundary decides.
pub(super) fn faces(job: &Job, plan: &Plan, floor: &[Polygon]) -> Vec<Face> {
    let thickness = job.build_up.floor_thickness.to_inches();
    let mut taken: Vec<Polygon> = Vec::new();
    let mut faces = Vec::new();
    let profile = |id: RimId| match id {
        RimId::Side(side) => job.edges.of_side(side),
        RimId::Opening(opening) => job.edges.of_opening(opening),
    };
    let foam = margins(plan, |id| match id {
        RimId::Side(_) => job.edges.edge_foam.inside_along(&profile(id)),
        RimId::Opening(_) => 0.0,
    });
    for ring in &foam {
        taken.extend(ring_bands(ring).into_iter().flatten());
    }
    let edge = |id: RimId| profile(id).thickened();
    let flat = |id: RimId| edge(id).map_or(0.0, |edge| edge.flat_width.to_inches());
    let run = |id: RimId| edge(id).map_or(0.0, |edge| edge.haunch_run.to_inches().max(0.0));
    let rise =
        |id: RimId| edge(id).map_or(0.0, |e| (e.total_depth.to_inches() - thickness).max(0.0));
    let slab = clip::difference(std::slice::from_ref(&plan.region), floor);
    let flats = margins(plan, flat);
    for ring in &flats {
        for (margin, band) in ring.iter().zip(ring_bands(ring)) {
            take(&mut faces, &mut taken, &slab, (margin, band, 1.0, PieceSurface::EdgeFlat));
        }
    }
    let slopes = margins(plan, |id| flat(id) + run(id));
    let (runs, rises) = (margins(plan, run), margins(plan, rise));
    for ((ring, runs), rises) in slopes.iter().zip(&runs).zip(&rises) {
        for (((margin, band), run), rise) in ring.iter().zip(ring_bands(ring)).zip(runs).zip(rises)
        {
            let stretch = stretch_of(run.depth, rise.depth);
            take(&mut faces, &mut taken, &slab, (margin, band, stretch, PieceSurface::EdgeSlope));
        }
    }
    for (ring, run, depth) in footings(job) {
        let along = |run: f64| -> Vec<Margin> {
            // Seen from outside, so that the band lies outside the flat bottom.
            let back: Vec<Point> = ring.iter().rev().copied().collect();
            crate::geometry::polygon::edges(&back)
                .map(|(from, to)| Margin { from, to, depth: run })
                .collect()
        };
        if let [from, to, ..] = ring.as_slice() {
            let margin = Margin { from: *from, to: *to, depth: 0.0 };
            let whole = Polygon::new(ring.clone(), Vec::new());
            take(
                &mut faces,
                &mut taken,
                &slab,
                (&margin, Some(whole), 1.0, PieceSurface::EdgeFlat),
            );
        }
        let sides = along(run);
        let stretch = stretch_of(run, (depth - thickness).max(0.0));
        for (margin, band) in sides.iter().zip(ring_bands(&sides)) {
            take(&mut faces, &mut taken, &slab, (margin, band, stretch, PieceSurface::EdgeSlope));
        }
    }
    faces
}

fn stretch_of(run: f64, rise: f64) -> f64 {
    if run > 0.0 { hypot(run, rise) / run } else { 1.0 }
}

/// Flat bottoms of strips and pads with the run of their slopes and their depth.
fn footings(job: &Job) -> Vec<(Vec<Point>, f64, f64)> {
    let mut footings = Vec::new();
    for strip in &job.thickenings.strips {
        let half = strip.flat_width.to_inches() / 2.0;
        for pair in strip.line.windows(2) {
            if let [from, to] = pair
                && let Some(along) = (*to - *from).unit()
            {
                let side = along.left() * half;
                let ring = vec![*from - side, *to - side, *to + side, *from + side];
                footings.push((
                    ring,
                    strip.haunch_run.to_inches().max(0.0),
                    strip.total_depth.to_inches(),
                ));
            }
        }
    }
    for pad in &job.thickenings.pads {
        let run = pad.haunch_run.to_inches().max(0.0);
        footings.push((pad.shape.outline(pad.at), run, pad.total_depth.to_inches()));
    }
    footings
}

/// Takes what is still free of a band as a face.
fn take(
    faces: &mut Vec<Face>,
    taken: &mut Vec<Polygon>,
    slab: &[Polygon],
    (margin, band, stretch, surface): (&Margin, Option<Polygon>, f64, PieceSurface),
) {
    let (Some(band), Some(frame)) = (band, Frame::of(margin.to - margin.from)) else { return };
    let inside = clip::intersection(std::slice::from_ref(&band), slab);
    let free = clip::difference(&inside, taken);
    if free.is_empty() {
        return;
    }
    *taken = clip::union(taken, &free);
    faces.push(Face { plan: free, frame, stretch, surface });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flats_and_slopes_of_a_rectangle_have_their_true_areas() {
        let job = Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(38.0, 0.0), None),
            (Point::feet(38.0, 26.0), None),
            (Point::feet(0.0, 26.0), None),
        ]);
        let faces = faces(&job, &Plan::of(&job), &[]);
        let area = |surface: PieceSurface| -> f64 {
            faces.iter().filter(|face| face.surface == surface).map(Face::area).sum()
        };
        // Rings between insets of 2 (edge foam), 12 and 20 in; the slope rises 8 in over 8.
        let inset = |d: f64| (456.0 - 2.0 * d) * (312.0 - 2.0 * d);
        assert!((area(PieceSurface::EdgeFlat) - (inset(2.0) - inset(12.0))).abs() < 1.0);
        let slope = (inset(12.0) - inset(20.0)) * 2.0_f64.sqrt();
        assert!((area(PieceSurface::EdgeSlope) - slope).abs() < 1.0);
        assert_eq!(faces.len(), 8);
    }
}
