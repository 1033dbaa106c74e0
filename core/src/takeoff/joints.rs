//! Sawing and joint filler.

use super::{Counted, QuantityLine, QuantityPart, Subject, feet};
use crate::joints::{JointKind, JointLine};

pub(super) fn lines(counted: &Counted<'_>) -> Vec<QuantityLine> {
    let total = |kind: JointKind, all: &[JointLine]| {
        let parts: Vec<QuantityPart> = all
            .iter()
            .filter(|line| line.kind == kind)
            .map(|line| {
                QuantityPart::new(line.name.clone(), feet(line.length()))
                    .at(vec![vec![line.from, line.to]])
            })
            .collect();
        (parts.iter().map(|part| part.quantity).sum::<f64>(), parts)
    };
    let (sawn, sawn_parts) = total(JointKind::Contraction, &counted.joints.layout.lines);
    let moving = &counted.moving_joints.lines;
    let (isolation, isolation_parts) = total(JointKind::Isolation, moving);
    let (construction, construction_parts) = total(JointKind::Construction, moving);
    vec![
        QuantityLine::measured("saw.length", Subject::Saw, "Saw cuts", sawn, "ft")
            .with_parts(sawn_parts),
        QuantityLine::bought(
            "saw.isolation",
            Subject::Saw,
            "Isolation joint filler",
            isolation,
            "ft",
        )
        .with_parts(isolation_parts),
        QuantityLine::measured(
            "saw.construction",
            Subject::Saw,
            "Construction joints",
            construction,
            "ft",
        )
        .with_parts(construction_parts),
    ]
}
