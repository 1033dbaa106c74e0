//! A wing so narrow that its thickened edges meet.

use crate::findings::{Hit, Rule, Severity};
use crate::geometry::{Point, Segment};
use crate::job::Job;
use crate::parts::Parts;
use crate::plan::{Plan, RimId, RimSide};

pub(super) const RULE: Rule = Rule {
    id: "concrete.narrow-wing",
    severity: Severity::Note,
    asks: "Between two thickened edges that face each other some floor remains.",
    source: "common practice",
    look,
};

/// A stretch shorter than this is a corner, not a wing, inches.
const SHORTEST_WING_IN: f64 = 24.0;

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let floor = job.build_up.floor_thickness.to_inches();
    let banded: Vec<(&RimSide, Point, Point, f64)> = parts
        .plan
        .rim
        .iter()
        .filter_map(|side| {
            let Segment::Line(from, to) = side.segment else { return None };
            let edge = match side.id {
                RimId::Side(id) => job.edges.of_side(id),
                RimId::Opening(id) => job.edges.of_opening(id),
            }
            .thickened()
            .filter(|edge| edge.total_depth.to_inches() > floor)?;
            Some((side, from, to, edge.flat_width.to_inches() + edge.haunch_run.to_inches()))
        })
        .collect();
    let mut hits = Vec::new();
    for (index, one) in banded.iter().enumerate() {
        for other in banded.iter().skip(index + 1) {
            if let Some((at, gap)) = meeting(&parts.plan, one, other) {
                let item = match one.0.id {
                    RimId::Side(id) => id.into(),
                    RimId::Opening(id) => id.into(),
                };
                hits.push(Hit {
                    at: Some(at),
                    item: Some(item),
                    message: format!(
                        "The slab is {:.0} in wide here and its edges take {:.0} in: they meet",
                        gap,
                        one.3 + other.3
                    ),
                    remedy: "Dig it level to the bottom of the edges there; the volume counts the \
                             overlap once"
                        .to_owned(),
                });
            }
        }
    }
    hits
}

/// The middle of the wing between two sides that face each other over less than their bands,
/// and its width.
fn meeting(
    plan: &Plan,
    one: &(&RimSide, Point, Point, f64),
    other: &(&RimSide, Point, Point, f64),
) -> Option<(Point, f64)> {
    let (step, other_step) = ((one.2 - one.1).unit()?, (other.2 - other.1).unit()?);
    // Facing sides run opposite ways; ten degrees off still make a wing.
    if step.dot(other_step) > -0.985 {
        return None;
    }
    let along = |place: Point| step.dot(place - one.1);
    let (from, to) = (along(other.2).max(0.0), along(other.1).min(one.1.distance(one.2)));
    if to - from < SHORTEST_WING_IN {
        return None;
    }
    let middle = one.1 + step * f64::midpoint(from, to);
    let gap = step.left().dot(other.1 - middle)
        - (along(other.1) - f64::midpoint(from, to)) * step.left().dot(other_step)
            / other_step.dot(step);
    let at = middle + step.left() * (gap / 2.0);
    (gap > 0.0 && gap < one.3 + other.3 && plan.region.contains(at)).then_some((at, gap))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(feet: f64) -> usize {
        let corners = [(0.0, 0.0), (30.0, 0.0), (30.0, feet), (0.0, feet)]
            .map(|(x, y)| (Point::feet(x, y), None));
        let job = Job { edges: Arc::default(), ..Job::from_corners(&corners) };
        look(&job, &crate::findings::concrete::planned(&job)).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        // Two bands of 12 + 8 in meet under 40 in.
        assert_eq!(hits(3.3), 1);
        assert_eq!(hits(3.4), 0);
    }
}
