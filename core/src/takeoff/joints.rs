//! Sawing, joint filler, and dowels of construction joints.

use super::{Counted, QuantityLine, QuantityPart, Subject, feet};
use crate::facts::joints::{dowel_count, dowels_for};
use crate::job::Job;
use crate::joints::{JointKind, JointLine};

pub(super) fn lines(job: &Job, counted: &Counted<'_>) -> Vec<QuantityLine> {
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
    let mut lines = vec![
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
    ];
    lines.extend(dowels(job, moving));
    lines
}

/// Dowels by the thickness of the floor; none below the table, where the engineer decides.
fn dowels(job: &Job, moving: &[JointLine]) -> Option<QuantityLine> {
    let row = dowels_for(job.build_up.floor_thickness.to_inches())?;
    let parts: Vec<QuantityPart> = moving
        .iter()
        .filter(|line| line.kind == JointKind::Construction)
        .map(|line| {
            let count = dowel_count(line.length(), row.spacing_in);
            QuantityPart::new(line.name.clone(), f64::from(count))
                .at(vec![vec![line.from, line.to]])
        })
        .collect();
    let count = parts.iter().map(|part| part.quantity).sum();
    let item = format!("Smooth dowels {} x {} in", row.diameter_in, row.length_in);
    let line = QuantityLine::bought("saw.dowels", Subject::Saw, &item, count, "each");
    Some(line.with_parts(parts))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::units::Length;
    use std::sync::Arc;

    #[test]
    fn a_forty_foot_bulkhead_of_a_six_inch_floor_takes_forty_dowels() {
        let mut job = Job::default();
        let bulkhead = JointLine {
            kind: JointKind::Construction,
            to: Point::feet(40.0, 0.0),
            ..JointLine::default()
        };
        assert!(dowels(&job, std::slice::from_ref(&bulkhead)).is_none());
        Arc::make_mut(&mut job.build_up).floor_thickness = Length::inches(6.0);
        let line = dowels(&job, &[bulkhead]).unwrap();
        assert_eq!((line.quantity, line.item.as_str()), (40.0, "Smooth dowels 0.75 x 14 in"));
    }
}
