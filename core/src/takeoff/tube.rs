//! Tube, coils and fastening.

use super::{Counted, QuantityLine, QuantityPart, Subject, feet};
use crate::job::Job;

/// Flattening of circuits that are only highlighted, inches.
const HIGHLIGHT_CHORD_IN: f64 = 0.1;

pub(super) fn lines(job: &Job, counted: &Counted<'_>) -> Vec<QuantityLine> {
    let circuits = &counted.tube.circuits;
    if circuits.is_empty() {
        return Vec::new();
    }
    let parts = circuits
        .iter()
        .map(|circuit| {
            QuantityPart::new(circuit.name.clone(), feet(circuit.length))
                .at(vec![circuit.points(HIGHLIGHT_CHORD_IN)])
        })
        .collect();
    let total: f64 = circuits.iter().map(|circuit| circuit.length).sum();
    let size = crate::facts::tube::nearest(job.heating.tube.size.nominal_in()).name;
    let mut lines = vec![
        QuantityLine::measured("tube.length", Subject::Tube, "Tube in the slab", feet(total), "ft")
            .with_parts(parts),
        QuantityLine::measured(
            "tube.circuits",
            Subject::Tube,
            "Circuits",
            circuits.len() as f64,
            "each",
        ),
    ];
    let mut lengths: Vec<f64> = counted.coils.coils.iter().map(|coil| coil.length_in).collect();
    lengths.sort_by(f64::total_cmp);
    lengths.dedup();
    for length in lengths {
        let count = counted.coils.coils.iter().filter(|coil| coil.length_in == length).count();
        let name = format!("Coils of {size} tube, {:.0} ft", feet(length));
        let key = format!("tube.coil-{:.0}", feet(length));
        lines.push(QuantityLine::bought(&key, Subject::Tube, &name, count as f64, "each"));
    }
    lines.push(QuantityLine::measured(
        "tube.coil-length",
        Subject::Tube,
        "Tube in coils",
        feet(counted.coils.bought_in),
        "ft",
    ));
    // Fastened every 2 1/2 ft on average: common practice, inside the three feet of straight runs
    // and one foot of bends.
    let ties = (total / 30.0).ceil();
    lines.push(QuantityLine::bought("tube.ties", Subject::Tube, "Tube ties", ties, "each"));
    lines
}
