//! Sawing on the day: in which order, how long, and when.
//!
//! Order: concrete placed first is sawn first, cuts from inside corners go ahead of their
//! neighbours, and the saw walks to the nearest end of the next cut without stepping over fresh
//! cuts more than it must. Hours are feet over the crew's rate. The window is a guide: a trial
//! cut on the slab decides.

use super::ground::Ground;
use super::{JointLine, SawPlan};
use crate::facts::joints as facts;
use crate::geometry::{Point, Vector, nearest};
use crate::job::Job;
use crate::job::joints::SawMethod;
use crate::plan::Plan;

/// The saw plan for these joints.
#[must_use]
pub fn plan_sawing(job: &Job, plan: &Plan, ground: &Ground, lines: &[JointLine]) -> SawPlan {
    let feet = lines.iter().map(JointLine::length).sum::<f64>() / 12.0;
    let rate = job.joints.saw_feet_per_hour;
    let is_early = job.joints.sawing == SawMethod::EarlyEntry;
    let window_hours = facts::saw_window(is_early, job.pour.weather.air_f);
    // Counted from the concrete placed first, which is ready first and cracks first.
    let window_clock = job.pour.start_minutes.filter(|_| !plan.is_empty()).map(|start| {
        let finished = start + facts::FINISHING_HOURS * 60.0;
        (finished + window_hours.0 * 60.0, finished + window_hours.1 * 60.0)
    });
    SawPlan {
        cut_sequence: cut_sequence(job, ground, lines),
        feet,
        hours: if rate > 0.0 { feet / rate } else { 0.0 },
        window_hours,
        window_clock,
    }
}

/// Cuts whose concrete was placed within this of the earliest left may be taken out of order.
const STRIP_IN: f64 = 180.0;
/// Stepping over a fresh cut counts as this much walking, inches.
const STEP_OVER_IN: f64 = 120.0;

fn cut_sequence(job: &Job, ground: &Ground, lines: &[JointLine]) -> Vec<usize> {
    let direction = Vector::from_angle(job.pour.direction_degrees.to_radians());
    let placed = |line: &JointLine| {
        let along = |point: Point| point.to_vector().dot(direction);
        let first = along(line.from).min(along(line.to));
        let meets_corner = ground
            .inside_corners()
            .any(|corner| nearest::distance_to_line(corner, line.from, line.to) < 0.2);
        first - if meets_corner { STRIP_IN } else { 0.0 }
    };
    let mut waiting: Vec<(f64, usize)> =
        lines.iter().enumerate().map(|(index, line)| (placed(line), index)).collect();
    waiting.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut sequence: Vec<usize> = Vec::with_capacity(lines.len());
    let mut cut: Vec<(Point, Point)> = Vec::with_capacity(lines.len());
    let mut saw_at: Option<Point> = None;
    while let Some(&(earliest, _)) = waiting.first() {
        let best = waiting
            .iter()
            .enumerate()
            .take_while(|(_, (first, _))| *first <= earliest + STRIP_IN)
            .filter_map(|(slot, &(first, index))| {
                let line = lines.get(index)?;
                let ends = [(line.from, line.to), (line.to, line.from)];
                let (walk, end) = ends
                    .into_iter()
                    .map(|(start, end)| (walk(saw_at, start, &cut), end))
                    .min_by(|a, b| a.0.total_cmp(&b.0))?;
                Some((walk + (first - earliest) * 0.5, slot, end))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let Some((_, slot, end)) = best else { break };
        let (_, index) = waiting.remove(slot);
        if let Some(line) = lines.get(index) {
            cut.push((line.from, line.to));
        }
        sequence.push(index);
        saw_at = Some(end);
    }
    sequence
}

/// How far the saw walks to a place, fresh cuts on the way counted in, inches.
fn walk(from: Option<Point>, to: Point, cut: &[(Point, Point)]) -> f64 {
    let Some(from) = from else { return 0.0 };
    let steps_over = cut
        .iter()
        .filter(|&&line| {
            nearest::crossing((from, to), line)
                .is_some_and(|(share, _)| share > 0.02 && share < 0.98)
        })
        .count();
    from.distance(to) + STEP_OVER_IN * steps_over as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    #[test]
    fn every_cut_comes_once_and_the_first_placed_first() {
        let line = |x: f64| JointLine {
            from: Point::new(x, 0.0),
            to: Point::new(x, 240.0),
            ..JointLine::default()
        };
        let lines: Vec<JointLine> = [900.0, 100.0, 500.0].map(line).to_vec();
        let mut job = Job::from_corners(
            &[(0.0, 0.0), (1000.0, 0.0), (1000.0, 240.0), (0.0, 240.0)]
                .map(|corner| (Point::from(corner), None)),
        );
        Arc::make_mut(&mut job.pour).start_minutes = Some(7.0 * 60.0);
        let plan = Plan::of(&job);
        let sawing = plan_sawing(&job, &plan, &Ground::default(), &lines);
        assert_eq!(sawing.cut_sequence, vec![1, 2, 0]);
        assert!((sawing.feet - 60.0).abs() < 1e-9 && (sawing.hours - 1.0).abs() < 1e-9);
        let (opens, closes) = sawing.window_clock.unwrap();
        assert!(opens < closes && opens > 7.0 * 60.0);
    }
}
