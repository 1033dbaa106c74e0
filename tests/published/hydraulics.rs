//! Hydraulics against published tables and an independent Colebrook solver.
//!
//! The head table was made with the open `fluids` library (Colebrook, roughness 1.5 µm, least
//! wall, water by IAPWS); the fluid rows with an open property library. Rules of thumb and
//! worked circuits: trade journal of January 2005 (loop temperatures), hydronic textbook 2022.

use slabloom_core::facts::fluids::{freezing_f, properties};
use slabloom_core::facts::tube::{SIZES, nearest};
use slabloom_core::tube::hydraulics::*;

/// Nominal, gpm, ft/s, Re at 100 °F, ft per 100 ft at 100 °F, psi per 100 ft, ft at 120 °F.
const HEAD: [[f64; 7]; 26] = [
    [0.375, 0.2, 0.630, 2562.0, 0.944, 0.406, 0.888],
    [0.375, 0.3, 0.946, 3843.0, 1.878, 0.809, 1.774],
    [0.375, 0.5, 1.576, 6406.0, 4.511, 1.942, 4.277],
    [0.375, 0.75, 2.364, 9609.0, 9.107, 3.921, 8.659],
    [0.375, 1.0, 3.152, 12812.0, 15.045, 6.477, 14.332],
    [0.5, 0.25, 0.434, 2377.0, 0.340, 0.146, 0.320],
    [0.5, 0.5, 0.868, 4755.0, 1.104, 0.475, 1.044],
    [0.5, 0.6, 1.042, 5706.0, 1.509, 0.650, 1.429],
    [0.5, 1.0, 1.737, 9510.0, 3.651, 1.572, 3.470],
    [0.5, 1.5, 2.605, 14264.0, 7.406, 3.189, 7.058],
    [0.5, 2.0, 3.473, 19019.0, 12.275, 5.285, 11.719],
    [0.625, 0.5, 0.599, 3949.0, 0.460, 0.198, 0.434],
    [0.625, 1.0, 1.198, 7898.0, 1.514, 0.652, 1.437],
    [0.625, 1.5, 1.797, 11846.0, 3.062, 1.318, 2.914],
    [0.625, 2.0, 2.395, 15795.0, 5.065, 2.181, 4.829],
    [0.625, 3.0, 3.593, 23693.0, 10.340, 4.452, 9.882],
    [0.75, 0.5, 0.440, 3386.0, 0.223, 0.096, 0.211],
    [0.75, 1.0, 0.881, 6773.0, 0.732, 0.315, 0.694],
    [0.75, 2.0, 1.762, 13545.0, 2.438, 1.050, 2.322],
    [0.75, 3.0, 2.643, 20318.0, 4.967, 2.138, 4.741],
    [0.75, 4.0, 3.523, 27090.0, 8.253, 3.553, 7.892],
    [1.0, 1.0, 0.534, 5271.0, 0.224, 0.096, 0.212],
    [1.0, 2.0, 1.067, 10542.0, 0.742, 0.319, 0.705],
    [1.0, 4.0, 2.134, 21084.0, 2.495, 1.074, 2.382],
    [1.0, 6.0, 3.201, 31626.0, 5.107, 2.199, 4.887],
    [1.0, 8.0, 4.268, 42168.0, 8.515, 3.666, 8.160],
];

fn near(value: f64, published: f64, share: f64) {
    assert!((value / published - 1.0).abs() <= share, "{value} against {published}");
}

#[test]
fn head_keeps_within_2_per_cent_of_colebrook() {
    let (at_100, at_120) = (properties(0.0, 100.0), properties(0.0, 120.0));
    let mut worst: f64 = 0.0;
    for [nominal, gpm, velocity, reynolds, ft_100, psi, ft_120] in HEAD {
        let inside = nearest(nominal).inside_at_least_wall_in();
        let flow = tube_flow(gpm, inside, &at_100, FrictionLaw::LaminarOrColebrook);
        near(flow.velocity_ft_s, velocity, 0.002);
        near(flow.reynolds, reynolds, 0.003);
        near(flow.head_ft_per_100_ft, ft_100, 0.02);
        near(flow.head_ft_per_100_ft * at_100.density * GRAVITY * 0.3048 / 6894.757, psi, 0.02);
        let warm = tube_flow(gpm, inside, &at_120, FrictionLaw::LaminarOrColebrook);
        near(warm.head_ft_per_100_ft, ft_120, 0.02);
        worst = worst.max((flow.head_ft_per_100_ft / ft_100 - 1.0).abs());
    }
    assert!(worst < 0.004, "the table itself rounds to less than this: {worst}");
}

#[test]
fn churchill_stays_near_colebrook_for_turbulent_water() {
    let water = properties(0.0, 100.0);
    for [nominal, gpm, _, reynolds, ft_100, ..] in HEAD {
        if reynolds > 4000.0 {
            let inside = nearest(nominal).inside_at_least_wall_in();
            let flow = tube_flow(gpm, inside, &water, FrictionLaw::Churchill);
            near(flow.head_ft_per_100_ft, ft_100, 0.02);
        }
    }
}

#[test]
fn glycol_heads_and_their_transition_are_the_published_ones() {
    // Percent, nominal, gpm, Re, ft by the two-branch law, ft by Churchill (0 where not given).
    let cases = [
        [30.0, 0.5, 0.5, 1979.0, 0.937, 0.938],
        [30.0, 0.5, 1.0, 3959.0, 4.656, 4.738],
        [30.0, 0.375, 0.5, 2667.0, 5.825, 5.019],
        [30.0, 0.625, 1.0, 3288.0, 1.943, 1.970],
        [40.0, 0.5, 0.5, 1453.0, 1.277, 0.0],
        [40.0, 0.5, 1.0, 2906.0, 5.109, 4.931],
        [40.0, 0.625, 1.0, 2414.0, 2.137, 1.516],
        [50.0, 0.5, 0.5, 1066.0, 1.740, 0.0],
        [50.0, 0.5, 1.0, 2133.0, 3.480, 3.524],
        [50.0, 0.625, 1.0, 1771.0, 1.655, 0.0],
    ];
    for [percent, nominal, gpm, reynolds, two_branch, churchill] in cases {
        let fluid = properties(percent, 100.0);
        let inside = nearest(nominal).inside_at_least_wall_in();
        let flow = tube_flow(gpm, inside, &fluid, FrictionLaw::LaminarOrColebrook);
        near(flow.reynolds, reynolds, 0.003);
        near(flow.head_ft_per_100_ft, two_branch, 0.005);
        if churchill > 0.0 {
            let flow = tube_flow(gpm, inside, &fluid, FrictionLaw::Churchill);
            near(flow.head_ft_per_100_ft, churchill, 0.01);
        }
        assert_eq!(is_in_transition(flow.reynolds), reynolds > 2000.0 && reynolds < 4000.0);
    }
}

#[test]
fn mean_wall_costs_what_the_reference_says() {
    let water = properties(0.0, 100.0);
    for (row, factor) in SIZES.iter().zip([1.143, 1.104, 1.086, 1.073, 1.074]) {
        let head =
            |inside| tube_flow(1.0, inside, &water, FrictionLaw::Churchill).head_ft_per_100_ft;
        let ratio = head(row.inside_at_mean_wall_in()) / head(row.inside_at_least_wall_in());
        near(ratio, factor, 0.004);
    }
}

#[test]
fn volumes_per_100_ft_are_the_published_ones() {
    for (row, at_least_wall) in SIZES.iter().zip([0.529, 0.960, 1.392, 1.892, 3.124]) {
        assert!(
            (volume_gallons(1200.0, row.inside_at_least_wall_in()) - at_least_wall).abs() < 0.002
        );
        let mean = volume_gallons(1200.0, row.inside_at_mean_wall_in());
        assert!((mean - row.gallons_per_100_ft).abs() < 0.01);
    }
}

#[test]
fn the_rule_of_500_and_its_glycol_relatives() {
    near(flow_gpm(20_000.0, 20.0, &properties(0.0, 60.0)), 2.00, 0.01);
    near(flow_gpm(20_000.0, 10.0, &properties(0.0, 60.0)), 4.00, 0.01);
    near(flow_gpm(20_000.0, 20.0, &properties(40.0, 100.0)), 2.17, 0.005);
    for (percent, at_60, at_100) in
        [(0.0, 500.3, 496.3), (30.0, 471.7, 473.8), (40.0, 456.9, 459.8), (50.0, 437.7, 442.0)]
    {
        near(properties(percent, 60.0).btuh_per_gpm_degree(), at_60, 0.001);
        near(properties(percent, 100.0).btuh_per_gpm_degree(), at_100, 0.001);
    }
    near(properties(0.0, 100.0).viscosity * 1e3, 0.6810, 0.005);
    near(properties(40.0, 100.0).viscosity * 1e3, 2.292, 0.06);
    for (percent, freezing) in [(30.0, 9.0), (40.0, -5.0), (50.0, -25.9)] {
        assert!((freezing_f(percent) - freezing).abs() < 3.0);
    }
}

#[test]
fn water_cools_along_a_circuit_as_published() {
    // Trade journal 2005: 110 °F in, room 70 °F; 100 ft at 1 gpm leaves at 103.5, 500 ft at
    // 0.5 gpm at 77. Both give one loss of 0.887 Btu/(h·ft·°F).
    assert!((leaving_f(110.0, 70.0, 0.887, 100.0, 500.0) - 103.5).abs() < 0.3);
    assert!((leaving_f(110.0, 70.0, 0.887, 500.0, 250.0) - 77.0).abs() < 0.5);
    // Worked in the reference: loss 0.7994.
    for [length, gpm, leaving, heat] in [
        [250.0, 0.6, 90.547, 5835.9],
        [300.0, 0.6, 87.984, 6604.8],
        [300.0, 0.8, 91.962, 7215.1],
        [200.0, 0.5, 91.102, 4724.5],
    ] {
        let out = leaving_f(110.0, 70.0, 0.7994, length, 500.0 * gpm);
        assert!((out - leaving).abs() < 0.002, "{out}");
        near(500.0 * gpm * (110.0 - out), heat, 1e-4);
    }
}

#[test]
fn a_worked_circuit_of_260_ft() {
    let water = properties(0.0, 100.0);
    let inside = nearest(0.5).inside_at_least_wall_in();
    let flow = tube_flow(0.5352, inside, &water, FrictionLaw::LaminarOrColebrook);
    near(flow.velocity_ft_s, 0.929, 0.002);
    near(flow.reynolds, 5090.0, 0.002);
    near(flow.head_ft_per_100_ft, 1.2403, 0.005);
    near(circuit_head_ft(&flow, 260.0 * 12.0, 0.0, inside) - MANIFOLD_HEAD_FT, 3.225, 0.005);
    let churchill = tube_flow(0.5352, inside, &water, FrictionLaw::Churchill);
    near(churchill.head_ft_per_100_ft * 2.6, 3.268, 0.005);
    // Cold water: 0.1886 W per gpm and foot.
    near(water_power_w(1.0, 1.0, &properties(0.0, 60.0)), 0.1886, 0.003);
}

#[test]
fn flow_splits_with_the_length_to_the_power_of_one_over_1_75() {
    let shares = unthrottled_shares(&[250.0, 225.0, 300.0]);
    near(shares[1] / shares[0], 1.062, 0.001);
    near(shares[0] / shares[2], 1.110, 0.001);
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
}

#[test]
fn film_coefficients_by_gnielinski() {
    // Half-inch tube, water at 100 °F: 1667, 2009 and 3269 W/(m²·K); the law's variants differ
    // by a few per cent near transition. Laminar 40 % glycol: 122 to 146.
    let inside = nearest(0.5).inside_at_least_wall_in();
    for (gpm, published) in [(0.5, 1667.0), (0.6, 2009.0), (1.0, 3269.0)] {
        near(film_coefficient(gpm, inside, &properties(0.0, 100.0)), published, 0.03);
    }
    let laminar = film_coefficient(0.5, inside, &properties(40.0, 100.0));
    assert!((122.0..=147.0).contains(&laminar), "{laminar}");
}
