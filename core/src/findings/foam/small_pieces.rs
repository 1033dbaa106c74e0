//! Pieces too small to lie still.

use crate::findings::{Hit, Rule, Severity};
use crate::geometry::Bounds;
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "foam.small-pieces",
    severity: Severity::Note,
    asks: "Foam pieces are no smaller than the least size asked for.",
    source: "common practice: narrow pieces shift and break under foot",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let least = job.build_up.foam_cutting.least_piece.to_inches();
    let mut hits = Vec::new();
    for (layer, number) in parts.foam.layers.iter().zip(1..) {
        let small: Vec<_> = layer
            .pieces
            .iter()
            .filter_map(|piece| {
                let bounds = Bounds::of(piece.on_board.iter().copied())?;
                let size = bounds.width().min(bounds.height());
                (size < least - 1e-6)
                    .then_some((piece.number, Bounds::of(piece.outline.iter().copied())?.center()))
            })
            .collect();
        if let Some((_, at)) = small.first() {
            let numbers: Vec<String> =
                small.iter().take(12).map(|(number, _)| number.to_string()).collect();
            let more = if small.len() > numbers.len() { " and more" } else { "" };
            hits.push(Hit {
                at: Some(*at),
                message: format!(
                    "Foam layer {number} has {} {} under {least:.0} in: number {}{more}",
                    small.len(),
                    if small.len() == 1 { "piece" } else { "pieces" },
                    numbers.join(", ")
                ),
                remedy: "Cut them with their neighbour as one piece where a board allows, or fill \
                         with low-expansion foam"
                    .to_owned(),
                ..Hit::default()
            });
        }
    }
    hits
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::foam::{BoardPiece, Foam, FoamLayout};
    use crate::geometry::Point;
    use crate::geometry::Polygon;

    fn hits(height: f64) -> usize {
        let outline = Polygon::rectangle(Point::ORIGIN, Point::new(40.0, height)).outer;
        let piece =
            BoardPiece { outline: outline.clone(), on_board: outline, ..BoardPiece::default() };
        let layer = FoamLayout { pieces: vec![piece], ..FoamLayout::default() };
        let foam = Foam { layers: vec![layer], ..Foam::default() };
        look(&Job::default(), &Parts { foam: foam.into(), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(5.9), 1);
        assert_eq!(hits(6.0), 0);
    }
}
