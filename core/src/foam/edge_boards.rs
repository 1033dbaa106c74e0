//! Foam that stands at the edges: strips ripped from boards to the edge's height.
//!
//! Question: how long and how high is the strip along each side? At each corner one strip laps the other: outside the form a strip gains the
//! foam's thickness at an outward corner (more or less at slanted ones, by the tangent of half the
//! turn) and loses it at an inward one; inside the form it is the other way round. Doors get no
//! strip or a thinner one, as the job says: it starts under the lowered top of the threshold. A
//! strip that ends at a door without foam ends at the corner. [`super::edge_rips`] says how they
//! are pieced end to end.

use super::EdgeStrip;
use crate::job::Job;
use crate::job::edges::{EdgeFoamPlace, EdgeProfile};
use crate::plan::{Plan, RimId};
use crate::units::exact_math;

/// Strips of one thickness, side by side.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Strips {
    /// Thickness of the foam, inches.
    pub thickness: f64,
    /// One a side.
    pub strips: Vec<EdgeStrip>,
}

/// The strips along walls, and those along doors where foam is thinner there; doors with foam as
/// thick as walls are among the walls.
#[must_use]
pub(super) fn edge_strips(job: &Job, plan: &Plan) -> [Strips; 2] {
    let foam = &job.edges.edge_foam;
    let full = foam.thickness.to_inches().max(0.0);
    let mut walls = Strips { thickness: full, strips: Vec::new() };
    let mut doors = Strips::default();
    for side in &plan.rim {
        let RimId::Side(id) = side.id else { continue };
        let profile = job.edges.of_side(id);
        let thickness = foam.thickness_along(&profile);
        if thickness <= 0.0 {
            continue;
        }
        let length = (side.segment.length() + lap_at_start(job, plan, side.id)).max(0.0);
        let height = height_along(job, &profile);
        let strip =
            EdgeStrip { from: side.segment.start(), to: side.segment.end(), length, height };
        if thickness < full - 1e-9 {
            doors.thickness = thickness;
            doors.strips.push(strip);
        } else {
            walls.strips.push(strip);
        }
    }
    [walls, doors]
}

/// How high foam stands along a side with this profile, inches: at a door its foot is as deep as
/// along walls, and its top as low as the threshold.
fn height_along(job: &Job, profile: &EdgeProfile) -> f64 {
    let floor = job.build_up.floor_thickness.to_inches();
    let deep = profile.thickened().map_or(floor, |edge| edge.total_depth.to_inches());
    let asked = job.edges.edge_foam.height.to_inches();
    let foot = if asked > 0.0 { asked.min(deep) } else { deep };
    let lowered = match profile {
        EdgeProfile::Threshold(door) => door.lowered_by.to_inches().max(0.0),
        _ => 0.0,
    };
    (foot - lowered).max(0.0)
}

/// What a strip is longer than its side, inches, where the strip before it ends. The lap is counted
/// once a corner: at the corner where the side starts, by the foam of the side before.
fn lap_at_start(job: &Job, plan: &Plan, side: RimId) -> f64 {
    let foam = &job.edges.edge_foam;
    let Some(corner) = plan.corners.iter().find(|corner| corner.after == side) else { return 0.0 };
    let RimId::Side(before) = corner.before else { return 0.0 };
    let turn = std::f64::consts::PI - corner.angle;
    let share = exact_math::tan(turn / 2.0).clamp(-4.0, 4.0);
    let lap = foam.thickness_along(&job.edges.of_side(before)) * share;
    match foam.place {
        EdgeFoamPlace::OutsideForm => lap,
        EdgeFoamPlace::InsideForm => -lap,
    }
}

#[cfg(test)]
mod tests {
    use super::super::edge_rips::cut_strips;
    use super::super::fill::Stock;
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::Point;
    use crate::job::edges::Threshold;
    use crate::units::Length;
    use std::sync::Arc;

    fn house(place: EdgeFoamPlace, height: f64) -> (Job, Plan) {
        let mut job = Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(38.0, 0.0), None),
            (Point::feet(38.0, 26.0), None),
            (Point::feet(0.0, 26.0), None),
        ]);
        let edges = Arc::make_mut(&mut job.edges);
        edges.edge_foam.place = place;
        edges.edge_foam.height = Length::inches(height);
        let plan = Plan::of(&job);
        (job, plan)
    }

    #[test]
    fn corners_lap_by_the_foam_and_ten_inch_strips_take_at_most_five_boards() {
        // Worked by hand: 128 ft round, 2 in foam: 128 ft 8 in outside, 127 ft 4 in inside.
        let (job, plan) = house(EdgeFoamPlace::OutsideForm, 10.0);
        let [Strips { strips, .. }, doors] = edge_strips(&job, &plan);
        assert_eq!(doors, Strips::default());
        let length: f64 = strips.iter().map(|strip| strip.length).sum();
        assert!((length / 12.0 - 128.666_666_7).abs() < 1e-6);
        for kerf in [0.0, 0.125] {
            let stock =
                Stock { length: 96.0, width: 48.0, kerf, stagger: 12.0, least: 6.0, apart: 12.0 };
            let none = (Vec::new(), 0);
            let cut = cut_strips(strips.clone(), stock, none, &Cancel::new()).unwrap();
            // Four rips of 8 ft a board make five boards; nine cuts of 4 ft a board make four,
            // and the area of 107 ft2 allows no three.
            assert!((4..=5).contains(&cut.boards), "{}", cut.boards);
        }
        let (job, plan) = house(EdgeFoamPlace::InsideForm, 0.0);
        let [Strips { strips, .. }, _] = edge_strips(&job, &plan);
        let length: f64 = strips.iter().map(|strip| strip.length).sum();
        assert!((length / 12.0 - (128.0 - 8.0 / 12.0)).abs() < 1e-6);
        assert!(strips.iter().all(|strip| strip.height == 12.0));
    }

    /// The house with a door along all of its second side, which the job's foam is thinned at.
    fn with_door(at_doors: f64) -> [Strips; 2] {
        let (mut job, _) = house(EdgeFoamPlace::InsideForm, 0.0);
        let side = job.outline.sides[1].id;
        let edges = Arc::make_mut(&mut job.edges);
        edges.by_side.insert(side, EdgeProfile::Threshold(Threshold::default()));
        edges.edge_foam.at_doors = Length::inches(at_doors);
        edge_strips(&job, &Plan::of(&job))
    }

    #[test]
    fn doors_are_left_out_thinned_or_as_thick_as_walls() {
        // Worked by hand: sides of 38, 26, 38, 26 ft, foam of 2 in inside the form. Every side
        // but the first laps the one before; the one after the door laps as thick as the door.
        let inches = |strips: &Strips| -> Vec<f64> {
            strips.strips.iter().map(|strip| (strip.length * 1e6).round() / 1e6).collect()
        };
        let [walls, doors] = with_door(0.0);
        assert_eq!(inches(&walls), [454.0, 456.0, 310.0]);
        assert_eq!(doors, Strips::default());
        let [walls, doors] = with_door(1.0);
        assert_eq!((inches(&walls), inches(&doors)), (vec![454.0, 455.0, 310.0], vec![310.0]));
        assert_eq!(doors.thickness, 1.0);
        // Three quarters of an inch of the twelve are the lowered threshold.
        assert_eq!(doors.strips[0].height, 11.25);
        for thick in [2.0, 3.0] {
            let [walls, doors] = with_door(thick);
            assert_eq!(inches(&walls), [454.0, 310.0, 454.0, 310.0]);
            assert_eq!(doors, Strips::default());
        }
    }
}
