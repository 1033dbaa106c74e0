//! Foam boards, edge foam and tape.

use super::{Counted, QuantityLine, QuantityPart, Subject, feet, square_feet};
use crate::foam::{EdgeFoamTakeoff, EdgeStrip, PieceKind};
use crate::job::Job;

/// The strips that stand, and the boards that they take beyond the floor's offcuts: the keys of
/// both lines, and what the strips are called in each.
fn standing(edge: &EdgeFoamTakeoff, keys: (&str, &str), names: (&str, &str)) -> [QuantityLine; 2] {
    let part = |strip: &EdgeStrip| {
        let name = format!("Strip {:.2} in high", strip.height);
        QuantityPart::new(name, feet(strip.length)).at(vec![vec![strip.from, strip.to]])
    };
    let [width, long, thick] = edge.board;
    let boards = if edge.boards > 0 {
        format!("Foam boards {width} x {long} x {thick} in for {}", names.1)
    } else {
        format!("Foam boards for {}", names.1)
    };
    let (length, count) = (feet(edge.strip_length), f64::from(edge.boards));
    [
        QuantityLine::measured(keys.0, Subject::Foam, names.0, length, "ft")
            .with_parts(edge.strips.iter().map(part).collect()),
        QuantityLine::bought(keys.1, Subject::Foam, &boards, count, "boards"),
    ]
}

pub(super) fn lines(job: &Job, counted: &Counted<'_>) -> Vec<QuantityLine> {
    let foam = counted.foam;
    let mut lines = Vec::new();
    for (index, layer) in foam.layers.iter().enumerate() {
        let kind =
            job.build_up.foam_layers.get(index).map(|layer| format!("{:?}", layer.foam_type));
        let name = format!(
            "Foam boards {} x {} x {} in, type {}",
            layer.board_width,
            layer.board_length,
            layer.thickness,
            kind.unwrap_or_default()
        );
        let bundle = job.build_up.foam_cutting.boards_in_bundle;
        let name = match (layer.bundles, bundle) {
            (0, _) => name,
            (1, size) => format!("{name} (1 bundle of {size})"),
            (bundles, size) => format!("{name} ({bundles} bundles of {size})"),
        };
        let count = |wanted: PieceKind| {
            let of_kind = layer.pieces.iter().filter(|piece| piece.kind == wanted);
            let places: Vec<_> = of_kind.clone().map(|piece| piece.outline.clone()).collect();
            (of_kind.count() as f64, places)
        };
        let (whole, whole_places) = count(PieceKind::Whole);
        let cut_boards = f64::from(layer.boards) - whole;
        let (_, mut cut_places) = count(PieceKind::Cut);
        cut_places.extend(count(PieceKind::Offcut).1);
        let key = format!("foam.boards-{}", index + 1);
        lines.push(
            QuantityLine::bought(&key, Subject::Foam, &name, f64::from(layer.boards), "boards")
                .with_parts(vec![
                    QuantityPart::new("Whole boards", whole).at(whole_places),
                    QuantityPart::new("Boards to cut", cut_boards).at(cut_places),
                ]),
        );
        let key = format!("foam.area-{}", index + 1);
        let area = square_feet(layer.area);
        lines.push(QuantityLine::measured(&key, Subject::Foam, "Foam in place", area, "ft2"));
    }
    let keys = ("foam.edge-strip", "foam.edge-boards");
    lines.extend(standing(&foam.edge, keys, ("Edge foam strip", "edge strips")));
    if !foam.edge_at_doors.strips.is_empty() {
        let keys = ("foam.door-strip", "foam.door-boards");
        let names = ("Edge foam strip at doors", "strips at doors");
        lines.extend(standing(&foam.edge_at_doors, keys, names));
    }
    let seam: f64 = foam.layers.first().map_or(0.0, |layer| layer.seam);
    let roll = job.build_up.foam_cutting.tape_roll.to_inches();
    if seam > 0.0 && roll > 0.0 {
        let rolls = (seam / roll).ceil();
        lines.push(
            QuantityLine::bought("foam.tape", Subject::Foam, "Seam tape", rolls, "rolls")
                .with_parts(vec![QuantityPart::new(
                    format!("{:.0} ft of seam", feet(seam)),
                    rolls,
                )]),
        );
    }
    lines
}
