//! End seams of neighbouring courses too near to each other.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "foam.close-seams",
    severity: Severity::Warn,
    asks: "End seams of neighbouring board courses stand apart by the stagger asked for.",
    source: "common practice: 12 in at least, 24 in preferred",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let stagger = job.build_up.foam_cutting.least_stagger.to_inches();
    parts
        .foam
        .layers
        .iter()
        .zip(1..)
        .flat_map(|(layer, number)| {
            layer.close_seams.iter().map(move |at| Hit {
                at: Some(*at),
                message: format!(
                    "End seams of foam layer {number} stand closer than {stagger:.0} in here"
                ),
                remedy: "Tape this seam well, turn the courses, or ask for less stagger".to_owned(),
                ..Hit::default()
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::foam::{Foam, FoamLayout};
    use crate::geometry::Point;

    fn hits(close_seams: Vec<Point>) -> usize {
        let layer = FoamLayout { close_seams, ..FoamLayout::default() };
        let foam = Foam { layers: vec![layer], ..Foam::default() };
        look(&Job::default(), &Parts { foam: foam.into(), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(vec![Point::ORIGIN]), 1);
        assert_eq!(hits(Vec::new()), 0);
    }
}
