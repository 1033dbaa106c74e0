//! A heated slab without insulation.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "heat.no-foam",
    severity: Severity::Warn,
    asks: "A heated slab has foam of at least R-5 under it and foam at its edges.",
    source: "California Mechanical Code 1217.5; IRC 2018 M2103.2 asks for a thermal break at the edges",
    look,
};

/// Least R-value under a heated slab.
const LEAST_R: f64 = 5.0;

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    if !job.heating.is_heated || parts.plan.is_empty() {
        return Vec::new();
    }
    let mut hits = Vec::new();
    // The sum of nothing would be minus zero.
    let r_value = parts.foam.layers.iter().fold(0.0, |sum, layer| sum + layer.r_value);
    if r_value < LEAST_R {
        hits.push(Hit {
            message: format!(
                "The heated floor has R-{r_value:.1} of foam under it; R-{LEAST_R:.0} is the least"
            ),
            remedy: "Add a foam layer, or turn heating off; the local energy code may ask for more"
                .to_owned(),
            ..Hit::default()
        });
    }
    if job.edges.edge_foam.thickness.to_inches() <= 0.0 {
        hits.push(Hit {
            message: "The edges of the heated floor have no foam: heat runs out through them"
                .to_owned(),
            remedy: "Set an edge foam thickness, inside or outside the form".to_owned(),
            ..Hit::default()
        });
    }
    hits
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(r_value: f64, edge_in: f64) -> usize {
        let corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0)];
        let corners = corners.map(|(x, y)| (crate::geometry::Point::feet(x, y), None));
        let mut job = Job::from_corners(&corners);
        Arc::make_mut(&mut job.edges).edge_foam.thickness = crate::units::Length::inches(edge_in);
        let layer = crate::foam::FoamLayout { r_value, ..Default::default() };
        let foam = crate::foam::Foam { layers: vec![layer], ..Default::default() };
        let plan = crate::plan::Plan::of(&job);
        let parts = Parts { foam: Arc::new(foam), plan: Arc::new(plan), ..Parts::default() };
        look(&job, &parts).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(4.9, 0.0), 2);
        assert_eq!(hits(5.0, 1.0), 0);
    }
}
