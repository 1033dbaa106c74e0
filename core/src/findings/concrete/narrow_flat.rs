//! A flat bottom too narrow for the storeys it carries.

use crate::facts::concrete::LEAST_FLAT_WIDTH_IN;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;
use crate::units::{Rounding, show_length};

pub(super) const RULE: Rule = Rule {
    id: "concrete.narrow-flat",
    severity: Severity::Warn,
    asks: "The flat bottom of a thickened edge is as wide as a footing for the storeys it carries.",
    source: "International Residential Code, older Table R403.1, frame house on 1,500 psf (as quoted elsewhere)",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let edges = &job.edges;
    let row = LEAST_FLAT_WIDTH_IN.into_iter().rev().find(|(storeys, _)| edges.storeys >= *storeys);
    let Some((_, least)) = row else { return Vec::new() };
    let narrow = job.outline.sides.iter().filter_map(|side| {
        let edge = edges.of_side(side.id).thickened()?;
        (edge.flat_width.to_inches() < least).then_some((side, edge.flat_width))
    });
    narrow
        .min_by(|a, b| a.1.to_inches().total_cmp(&b.1.to_inches()))
        .map(|(side, width)| Hit {
            at: Some(side.start),
            item: Some(side.id.into()),
            message: format!(
                "The flat bottom is {} wide; for {} stories on weak soil the table asks {least:.0} in",
                show_length(width, Rounding::Quarter),
                edges.storeys
            ),
            remedy: "Widen it, or have the engineer confirm it for the soil and the load".to_owned(),
        })
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(storeys: u8) -> usize {
        let mut job = Job::from_corners(&crate::findings::concrete::square_of_feet(20.0));
        Arc::make_mut(&mut job.edges).storeys = storeys;
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        // The usual flat is 12 in wide: enough for one storey.
        assert_eq!(hits(2), 1);
        assert_eq!(hits(1), 0);
        assert_eq!(hits(0), 0);
    }
}
