//! Joints that move: isolation along fixed things and round columns, and where a day's pour ends.
//!
//! They are decided before tube is routed, since a tube that crosses one needs a sleeve.

use super::column::ColumnSpot;
use super::ground::{Frame, frames_of};
use super::{JointKind, JointLine, MovingJoints};
use crate::geometry::{Point, clip, polygon, tolerance};
use crate::job::Job;
use crate::job::joints::DrawnKind;
use crate::plan::{Plan, RimId};

/// Isolation and construction joints of a job.
#[must_use]
pub fn decide(job: &Job, plan: &Plan) -> MovingJoints {
    if plan.is_empty() {
        return MovingJoints::default();
    }
    let mut lines = Vec::new();
    for side in &plan.rim {
        let is_isolated = match side.id {
            RimId::Side(id) => job.joints.isolated_sides.contains(&id),
            RimId::Opening(_) => false,
        };
        if is_isolated {
            let start = side.segment.start();
            let points: Vec<Point> = std::iter::once(start)
                .chain(side.segment.flatten(tolerance::ARC_CHORD_IN))
                .collect();
            lines.extend(between(&points, JointKind::Isolation));
        }
    }
    for spot in columns(job, plan) {
        for (from, to) in polygon::edges(&spot.ring) {
            lines.extend(inside(&[from, to], plan, JointKind::Isolation));
        }
    }
    for (number, line) in lines.iter_mut().enumerate() {
        line.name = format!("M{}", number + 1);
    }
    for (number, drawn) in job.joints.drawn.iter().enumerate() {
        let kind = match drawn.kind {
            DrawnKind::Contraction => continue,
            DrawnKind::Isolation => JointKind::Isolation,
            DrawnKind::Construction => JointKind::Construction,
        };
        for mut line in inside(&[drawn.from, drawn.to], plan, kind) {
            line.drawn = Some(drawn.id);
            line.name = format!("J{}", number + 1);
            lines.push(line);
        }
    }
    MovingJoints { lines }
}

/// Columns with their isolation; a tied column has none.
#[must_use]
pub fn columns(job: &Job, plan: &Plan) -> Vec<ColumnSpot> {
    let frame = frames_of(&plan.region, 1).first().map_or(Frame::UPRIGHT, |first| first.0);
    let gap = job.joints.column_gap.to_inches().max(0.0);
    plan.columns()
        .map(|column| {
            if job.joints.tied_columns.contains(&column.id) {
                return ColumnSpot { at: column.at, reach: 0.0, ring: Vec::new() };
            }
            ColumnSpot::around(column.at, &column.outline, frame, job.joints.column_isolation, gap)
        })
        .collect()
}

fn between(points: &[Point], kind: JointKind) -> Vec<JointLine> {
    points
        .iter()
        .zip(points.iter().skip(1))
        .map(|(&from, &to)| JointLine { kind, from, to, ..JointLine::default() })
        .collect()
}

/// The parts of a line inside the slab.
fn inside(line: &[Point], plan: &Plan, kind: JointKind) -> Vec<JointLine> {
    let is_whole = line.iter().all(|&point| plan.region.contains(point))
        && line.iter().zip(line.iter().skip(1)).all(|(&from, &to)| {
            !plan
                .region
                .edges()
                .any(|edge| crate::geometry::nearest::crossing(edge, (from, to)).is_some())
        });
    if is_whole {
        return between(line, kind);
    }
    clip::line_inside(line, std::slice::from_ref(&plan.region))
        .iter()
        .flat_map(|part| between(part, kind))
        .filter(|line| line.length() > 0.25)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::openings::{Footprint, Penetration, PenetrationKind};
    use crate::units::Length;
    use std::sync::Arc;

    #[test]
    fn a_column_gets_a_turned_square_and_a_tied_one_none() {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)];
        let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let id = job.ids.fresh();
        Arc::make_mut(&mut job.openings).penetrations.push(Penetration {
            id,
            name: String::new(),
            at: Point::feet(20.0, 15.0),
            kind: PenetrationKind::Column,
            shape: Footprint::Rectangle {
                length: Length::inches(12.0),
                width: Length::inches(12.0),
                turn_degrees: 0.0,
            },
            tube_clearance: Length::inches(6.0),
        });
        let plan = Plan::of(&job);
        let moving = decide(&job, &plan);
        assert_eq!(moving.lines.len(), 4);
        assert!(moving.lines.iter().all(|line| line.kind == JointKind::Isolation));
        let length: f64 = moving.lines.iter().map(JointLine::length).sum();
        assert!((length / 4.0 - 20.971).abs() < 1e-3);
        Arc::make_mut(&mut job.joints).tied_columns.insert(id);
        assert!(decide(&job, &plan).lines.is_empty());
    }
}
