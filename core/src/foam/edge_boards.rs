//! Foam that stands at the edges: strips ripped from boards to the edge's height.
//!
//! Question: how long and how high is the strip along each side? At each corner one strip laps the other: outside the form a strip gains the
//! foam's thickness at an outward corner (more or less at slanted ones, by the tangent of half the
//! turn) and loses it at an inward one; inside the form it is the other way round. Doors get no
//! strip, and a strip that ends at a door ends at the corner. [`super::edge_rips`] says how they
//! are pieced end to end.

use super::EdgeStrip;
use crate::job::Job;
use crate::job::edges::{EdgeFoamPlace, EdgeProfile};
use crate::plan::{Plan, RimId};
use crate::units::exact_math;

/// Strips side by side.
#[must_use]
pub(super) fn edge_strips(job: &Job, plan: &Plan) -> Vec<EdgeStrip> {
    let foam = &job.edges.edge_foam;
    let thickness = foam.thickness.to_inches();
    if thickness <= 0.0 {
        return Vec::new();
    }
    let floor = job.build_up.floor_thickness.to_inches();
    let has_strip = |id: RimId| match id {
        RimId::Side(side) => !matches!(job.edges.of_side(side), EdgeProfile::Threshold(_)),
        RimId::Opening(_) => false,
    };
    plan.rim
        .iter()
        .filter(|side| has_strip(side.id))
        .filter_map(|side| {
            let RimId::Side(id) = side.id else { return None };
            let deep =
                job.edges.of_side(id).thickened().map_or(floor, |e| e.total_depth.to_inches());
            let asked = foam.height.to_inches();
            let height = if asked > 0.0 { asked.min(deep) } else { deep };
            // The lap is counted once a corner: at the corner where the side starts.
            let corner = plan.corners.iter().find(|corner| corner.after == side.id);
            let lap = corner.filter(|corner| has_strip(corner.before)).map_or(0.0, |corner| {
                let turn = std::f64::consts::PI - corner.angle;
                let share = exact_math::tan(turn / 2.0).clamp(-4.0, 4.0);
                match foam.place {
                    EdgeFoamPlace::OutsideForm => thickness * share,
                    EdgeFoamPlace::InsideForm => -thickness * share,
                }
            });
            let length = (side.segment.length() + lap).max(0.0);
            Some(EdgeStrip { from: side.segment.start(), to: side.segment.end(), length, height })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::edge_rips::cut_strips;
    use super::super::fill::Stock;
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::Point;
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
        let strips = edge_strips(&job, &plan);
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
        let strips = edge_strips(&job, &plan);
        let length: f64 = strips.iter().map(|strip| strip.length).sum();
        assert!((length / 12.0 - (128.0 - 8.0 / 12.0)).abs() < 1e-6);
        assert!(strips.iter().all(|strip| strip.height == 12.0));
    }
}
