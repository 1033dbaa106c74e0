//! Concrete by part and as ordered.

use super::{Counted, QuantityLine, QuantityPart, Subject, cubic_yards};
use crate::concrete::SolidPart;

pub(super) fn lines(counted: &Counted<'_>) -> Vec<QuantityLine> {
    let volumes = counted.concrete.volumes;
    let places = |parts: &[SolidPart]| {
        let of_part = counted.concrete.cells.iter().filter(|cell| parts.contains(&cell.part));
        of_part.map(|cell| cell.corners.clone()).collect::<Vec<_>>()
    };
    let part = |name: &str, volume: f64| QuantityPart::new(name, cubic_yards(volume));
    let edges = [SolidPart::EdgeFlat, SolidPart::EdgeHaunch];
    let parts = vec![
        part("Floor", volumes.floor).at(counted.plan.region.rings().cloned().collect()),
        part("Thickened edges", volumes.edges).at(places(&edges)),
        part("Thickened strips", volumes.strips).at(places(&[SolidPart::Strip])),
        part("Pads", volumes.pads).at(places(&[SolidPart::Pad])),
        part("Recesses and thresholds", volumes.recesses),
        part("Sloped tops", volumes.slopes),
        part("Edge foam and large penetrations", volumes.displaced),
    ];
    let pour = counted.pour;
    let order_parts = vec![
        QuantityPart::new("Net", pour.net_yd3),
        QuantityPart::new("Allowance", pour.allowance_yd3),
        QuantityPart::new("Rounding up", pour.order_yd3 - pour.net_yd3 - pour.allowance_yd3),
    ];
    vec![
        QuantityLine::measured(
            "concrete.net",
            Subject::Pour,
            "Concrete, net",
            cubic_yards(volumes.net),
            "yd3",
        )
        .with_parts(parts),
        QuantityLine::bought(
            "concrete.order",
            Subject::Pour,
            "Concrete to order",
            pour.order_yd3,
            "yd3",
        )
        .with_parts(order_parts),
        QuantityLine::measured(
            "concrete.loads",
            Subject::Pour,
            "Truckloads",
            pour.loads_yd3.len() as f64,
            "loads",
        ),
    ]
}
