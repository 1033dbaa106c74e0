//! Mesh, bars, chairs, ties and fibre.

use super::{Counted, QuantityLine, QuantityPart, Subject, feet};

pub(super) fn lines(counted: &Counted<'_>) -> Vec<QuantityLine> {
    let steel = &counted.concrete.steel;
    let mut lines = vec![
        QuantityLine::bought(
            "steel.mesh",
            Subject::Steel,
            &steel.mesh_name,
            f64::from(steel.mesh_count),
            "each",
        )
        .with_parts(vec![
            QuantityPart::new("Mesh", f64::from(steel.mesh_count)).at(steel.mesh_pieces.clone()),
        ]),
        QuantityLine::measured(
            "steel.mesh-weight",
            Subject::Steel,
            "Mesh weight",
            steel.mesh_lb,
            "lb",
        ),
    ];
    for bar in &steel.bars {
        let places: Vec<_> = steel
            .bar_runs
            .iter()
            .filter(|run| run.size == bar.size)
            .map(|run| run.line.clone())
            .collect();
        let name = format!("No. {} bars, stock lengths", bar.size);
        let count = f64::from(bar.stock_bars);
        lines.push(
            QuantityLine::bought(
                &format!("steel.bars-{}", bar.size),
                Subject::Steel,
                &name,
                count,
                "each",
            )
            .with_parts(vec![
                QuantityPart::new(format!("{:.0} ft with laps", feet(bar.length)), count)
                    .at(places),
            ]),
        );
        lines.push(QuantityLine::measured(
            &format!("steel.weight-{}", bar.size),
            Subject::Steel,
            &format!("No. {} bar weight", bar.size),
            bar.weight_lb,
            "lb",
        ));
    }
    lines.extend([
        QuantityLine::bought(
            "steel.chairs",
            Subject::Steel,
            "Chairs",
            f64::from(steel.chairs),
            "each",
        ),
        QuantityLine::bought("steel.ties", Subject::Steel, "Ties", f64::from(steel.ties), "each"),
        QuantityLine::bought("steel.fibre", Subject::Steel, "Fibre", steel.fibre_lb, "lb"),
    ]);
    lines
}
