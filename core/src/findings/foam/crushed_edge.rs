//! Foam under a bearing edge that is too weak for the wall on it.

use crate::findings::{Hit, Rule, Severity};
use crate::foam::strength::{board_of, edge_share};
use crate::geometry::Point;
use crate::job::Job;
use crate::parts::Parts;
use crate::plan::RimId;

pub(super) const RULE: Rule = Rule {
    id: "foam.crushed-edge",
    severity: Severity::Stop,
    asks: "Foam under a thickened edge carries the edge and its wall with a third of its strength.",
    source: "common practice of foam under slabs; strength by ASTM C578 (2010), Table 1 [as quoted \
             elsewhere]",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let mut hits = Vec::new();
    for layer in job.build_up.foam_layers.iter().filter(|layer| layer.goes_under_edges) {
        for side in &parts.plan.rim {
            let RimId::Side(id) = side.id else { continue };
            let Some(edge) = job.edges.of_side(id).thickened() else { continue };
            let share = edge_share(
                layer.foam_type,
                job.build_up.edge_load_plf,
                edge.total_depth.to_inches(),
                edge.flat_width.to_inches(),
            );
            if share > 1.0 {
                let (from, to): (Point, Point) = (side.segment.start(), side.segment.end());
                hits.push(Hit {
                    at: Some(from.middle(to)),
                    item: Some(id.into()),
                    message: format!(
                        "Foam of type {:?} ({:.0} psi) under this edge is loaded to {:.0} % of \
                         what it bears for good",
                        layer.foam_type,
                        board_of(layer.foam_type).compressive_psi,
                        share * 100.0
                    ),
                    remedy: "Choose a stronger type, a wider flat bottom, or stop the foam at the \
                             edge; the engineer of the wall decides"
                        .to_owned(),
                });
            }
        }
    }
    hits
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;
    use std::sync::Arc;

    fn hits(edge_load_plf: f64) -> usize {
        let corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0)];
        let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let build_up = Arc::make_mut(&mut job.build_up);
        build_up.edge_load_plf = edge_load_plf;
        for layer in &mut build_up.foam_layers {
            layer.goes_under_edges = true;
        }
        let parts = Parts { plan: Arc::new(Plan::of(&job)), ..Parts::default() };
        look(&job, &parts).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        // 25 psi board: 8.33 psi less 1.04 of the edge's own weight, on 12 in: 1050 lb/ft.
        assert_eq!(hits(1055.0), 3);
        assert_eq!(hits(1045.0), 0);
    }
}
