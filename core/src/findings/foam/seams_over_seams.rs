//! End seams of one layer right under those of the layer above.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "foam.seams-over-seams",
    severity: Severity::Note,
    asks: "End seams of a foam layer do not lie under those of the layer above.",
    source: "common practice: seams of two layers stand 12 in apart where the boards allow",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let layers = parts.foam.layers.iter().zip(1..);
    layers
        .filter_map(|(layer, number)| {
            let first = layer.seams_over_seams.first()?;
            let count = layer.seams_over_seams.len();
            let (seams, lie) = if count == 1 { ("seam", "lies") } else { ("seams", "lie") };
            Some(Hit {
                at: Some(*first),
                message: format!(
                    "{count} end {seams} of foam layer {number} {lie} nearly under one of the \
                     layer above"
                ),
                remedy: "Tape the seams of the layer above there, or turn this layer's courses"
                    .to_owned(),
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

    fn hits(seams_over_seams: Vec<Point>) -> usize {
        let layer = FoamLayout { seams_over_seams, ..FoamLayout::default() };
        let foam = Foam { layers: vec![layer], ..Foam::default() };
        look(&Job::default(), &Parts { foam: foam.into(), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(vec![Point::ORIGIN, Point::ORIGIN]), 1);
        assert_eq!(hits(Vec::new()), 0);
    }
}
