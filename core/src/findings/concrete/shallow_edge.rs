//! A thickened edge that frost can get under.

use crate::facts::concrete::LEAST_FOOTING_DEPTH_IN;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;
use crate::units::{Rounding, show_length};

pub(super) const RULE: Rule = Rule {
    id: "concrete.shallow-edge",
    severity: Severity::Warn,
    asks: "Thickened edges reach below the frost depth, unless they are protected from frost.",
    source: "International Residential Code R403.1.4.1, R403.3 (from memory, to be confirmed)",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let edges = &job.edges;
    let frost = edges.frost_depth;
    // At or under the code's own least depth frost asks for nothing more.
    if edges.is_frost_protected || frost.to_inches() < LEAST_FOOTING_DEPTH_IN {
        return Vec::new();
    }
    let too_shallow = job.outline.sides.iter().filter_map(|side| {
        let edge = edges.of_side(side.id).thickened()?;
        (edge.total_depth < frost).then_some((side, edge.total_depth))
    });
    // One finding for the shallowest side: the remedy is the same for all.
    let shallowest = too_shallow.min_by(|a, b| a.1.to_inches().total_cmp(&b.1.to_inches()));
    shallowest
        .map(|(side, depth)| Hit {
            at: Some(side.start),
            item: Some(side.id.into()),
            message: format!(
                "The edge is {} deep and frost reaches {}",
                show_length(depth, Rounding::Quarter),
                show_length(frost, Rounding::Quarter)
            ),
            remedy: "Go deeper, stand it on a frost wall, or protect it with foam to a standard \
                     and say so in the job"
                .to_owned(),
        })
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(frost: f64, is_frost_protected: bool) -> usize {
        let mut job = Job::from_corners(&crate::findings::concrete::square_of_feet(20.0));
        let edges = Arc::make_mut(&mut job.edges);
        edges.frost_depth = crate::units::Length::inches(frost);
        edges.is_frost_protected = is_frost_protected;
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        // The usual edge is 12 in deep.
        assert_eq!(hits(12.5, false), 1);
        assert_eq!(hits(12.0, false), 0);
        assert_eq!(hits(42.0, true), 0);
    }
}
