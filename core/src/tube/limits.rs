//! What a tube size allows: longest circuit and tightest bend.

use crate::job::heating::{TubeChoice, TubeSize};

/// Outside diameter, inches: ASTM F876 dimensions of PEX tube.
#[must_use]
pub const fn outside_diameter(size: TubeSize) -> f64 {
    match size {
        TubeSize::ThreeEighths => 0.5,
        TubeSize::Half => 0.625,
        TubeSize::FiveEighths => 0.75,
        TubeSize::ThreeQuarters => 0.875,
        TubeSize::One => 1.125,
    }
}

/// Distance between leaders that run side by side, inches: the job's own, but no closer than two
/// outside diameters, so that concrete gets between them (common practice).
#[must_use]
pub fn leader_spacing(tube: &TubeChoice) -> f64 {
    tube.leader_spacing.to_inches().max(2.0 * outside_diameter(tube.size))
}

/// Longest circuit, inches, leaders included: the job's own figure, else by size from CSA B214-12,
/// table 1 (250, 300, 400, 500, 750 ft), with 200 ft for 3/8 in as supply-trade pages have it.
#[must_use]
pub fn longest_circuit(tube: &TubeChoice) -> f64 {
    tube.longest_circuit.map_or_else(
        || {
            12.0 * match tube.size {
                TubeSize::ThreeEighths => 200.0,
                TubeSize::Half => 300.0,
                TubeSize::FiveEighths => 400.0,
                TubeSize::ThreeQuarters => 500.0,
                TubeSize::One => 750.0,
            }
        },
        |length| length.to_inches(),
    )
}

/// Least bend radius, inches: the job's own figure, else eight outside diameters (from memory:
/// the usual cold-bend minimum for PEX when its maker gives no other).
#[must_use]
pub fn least_bend_radius(tube: &TubeChoice) -> f64 {
    tube.least_bend_radius
        .map_or_else(|| 8.0 * outside_diameter(tube.size), |radius| radius.to_inches())
        .max(0.5)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    #[test]
    fn leaders_lie_as_asked_but_never_against_each_other() {
        let tube = |inches: f64, size: TubeSize| TubeChoice {
            leader_spacing: Length::inches(inches),
            size,
            ..TubeChoice::default()
        };
        assert_eq!(leader_spacing(&tube(3.0, TubeSize::Half)), 3.0);
        assert_eq!(leader_spacing(&tube(1.0, TubeSize::Half)), 1.25);
        assert_eq!(leader_spacing(&tube(2.0, TubeSize::One)), 2.25);
    }
}
