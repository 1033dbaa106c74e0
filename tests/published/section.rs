//! The section solver against independent solutions of the same conduction problem.
//!
//! The 18 cases were computed for the reference with quadratic finite elements on a mesh that
//! follows the tube (four meshes, change under 0.001 W/m²) and checked by a Fourier series and by
//! finite volumes of another kind. Inputs: half-inch tube, wall 0.35 W/(m·K) at 40 °C inside,
//! concrete 1.4, foam R-10 of 2 in, soil 1 m of 1.5 to 10 °C, room 20 °C, surface 10.8 W/(m²·K).

use slabloom_core::heat::section::{
    FloorSection, Layer, SectionResponse, SectionState, SectionTube, solve_checked,
};
use slabloom_core::heat::warm_up::{cooling_hours, stored_heat, warm_up};
use slabloom_core::units::exact_math::{ln, sinh};

const INCH: f64 = 0.0254;

/// Name; slab, axis depth and spacing in inches; flux up, flux down, warmest, coolest and mean
/// surface by finite elements; flux up by series.
const CASES: [(&str, [f64; 3], [f64; 5], f64); 18] = [
    ("S4B06", [4.0, 3.50, 6.0], [97.606, 10.354, 29.147, 28.931, 29.038], 97.612),
    ("S4B09", [4.0, 3.50, 9.0], [80.330, 9.248, 27.925, 26.989, 27.438], 80.339),
    ("S4B12", [4.0, 3.50, 12.0], [66.492, 8.361, 27.190, 25.275, 26.157], 66.501),
    ("S4M06", [4.0, 2.00, 6.0], [118.005, 10.229, 31.428, 30.487, 30.926], 118.004),
    ("S4M09", [4.0, 2.00, 9.0], [98.118, 9.189, 30.411, 28.070, 29.085], 98.117),
    ("S4M12", [4.0, 2.00, 12.0], [81.833, 8.337, 29.811, 26.049, 27.577], 81.833),
    ("S4T06", [4.0, 1.50, 6.0], [124.696, 10.083, 32.476, 30.805, 31.546], 124.695),
    ("S4T09", [4.0, 1.50, 9.0], [102.770, 9.021, 31.577, 28.127, 29.516], 102.769),
    ("S4T12", [4.0, 1.50, 12.0], [85.251, 8.172, 31.060, 26.016, 27.894], 85.250),
    ("S6B06", [6.0, 5.50, 6.0], [82.586, 10.622, 27.658, 27.635, 27.647], 82.591),
    ("S6B09", [6.0, 5.50, 9.0], [69.713, 9.606, 26.558, 26.354, 26.455], 69.720),
    ("S6B12", [6.0, 5.50, 12.0], [59.001, 8.760, 25.772, 25.171, 25.463], 59.008),
    ("S6M06", [6.0, 3.00, 6.0], [106.617, 10.342, 30.023, 29.727, 29.872], 106.616),
    ("S6M09", [6.0, 3.00, 9.0], [90.722, 9.401, 28.946, 27.924, 28.400], 90.722),
    ("S6M12", [6.0, 3.00, 12.0], [77.447, 8.615, 28.239, 26.326, 27.171], 77.446),
    ("S6T06", [6.0, 1.50, 6.0], [124.809, 9.942, 32.482, 30.820, 31.556], 124.808),
    ("S6T09", [6.0, 1.50, 9.0], [103.299, 8.916, 31.587, 28.218, 29.565], 103.299),
    ("S6T12", [6.0, 1.50, 12.0], [86.390, 8.108, 31.054, 26.243, 27.999], 86.389),
];

fn floor(slab: f64, axis: f64, spacing: f64) -> FloorSection {
    FloorSection {
        spacing: spacing * INCH,
        axis_depth: axis * INCH,
        slab: Layer { thickness: slab * INCH, conductivity: 1.4, heat_capacity: 2.07e6 },
        tube: tube(0.625, 0.070, 0.35),
        covering: 0.0,
        surface: 10.8,
        under: vec![
            Layer { thickness: 2.0 * INCH, conductivity: 0.028_84, heat_capacity: 30.0 * 1450.0 },
            Layer { thickness: 1.0, conductivity: 1.5, heat_capacity: 1.8e6 },
        ],
    }
}

fn tube(outside: f64, wall: f64, conductivity: f64) -> SectionTube {
    SectionTube {
        outside: outside * INCH,
        inside: (outside - 2.0 * wall) * INCH,
        conductivity,
        water_film: None,
    }
}

fn solve(floor: &FloorSection) -> SectionState {
    SectionResponse::of(floor).expect("a section").at(40.0, 20.0, 10.0)
}

fn share(value: f64, published: f64, tolerance: f64, what: &str) {
    let off = value / published - 1.0;
    assert!(off.abs() <= tolerance, "{what}: {value} against {published}, {:+.3} %", off * 100.0);
}

#[test]
fn eighteen_slabs_within_half_a_per_cent_and_a_twentieth_of_a_kelvin() {
    let mut worst: f64 = 0.0;
    for (name, [slab, axis, spacing], [up, down, warmest, coolest, mean], series) in CASES {
        let state = solve(&floor(slab, axis, spacing));
        share(state.up, up, 0.005, name);
        share(state.up, series, 0.005, name);
        share(state.down, down, 0.005, name);
        for (surface, published) in
            [(state.surface_max, warmest), (state.surface_min, coolest), (state.surface_mean, mean)]
        {
            assert!((surface - published).abs() < 0.05, "{name}: {surface} against {published}");
        }
        worst = worst.max((state.up / up - 1.0).abs());
        let balance = state.per_tube / (spacing * INCH) - state.up - state.down;
        assert!(balance.abs() < 1e-6 * state.up, "{name}: out of balance by {balance}");
    }
    assert!(worst < 0.0005, "the grid does better than asked: {worst}");
}

#[test]
fn tube_tangent_to_the_foam() {
    // Stapled with a gap of 0.2 mm: up, down, warmest, coolest.
    for (slab, spacing, [up, down, warmest, coolest]) in [
        (4.0, 6.0, [93.586, 10.235, 28.763, 28.570]),
        (4.0, 9.0, [76.315, 9.105, 27.513, 26.652]),
        (4.0, 12.0, [62.808, 8.220, 26.771, 24.994]),
        (6.0, 6.0, [79.654, 10.511, 27.386, 27.365]),
        (6.0, 9.0, [66.622, 9.463, 26.264, 26.075]),
        (6.0, 12.0, [56.030, 8.612, 25.476, 24.915]),
    ] {
        let mut lying = floor(slab, slab - 0.3125, spacing);
        lying.axis_depth -= 0.0002;
        let state = solve(&lying);
        share(state.up, up, 0.01, "up");
        share(state.down, down, 0.01, "down");
        assert!(
            (state.surface_max - warmest).abs() < 0.06
                && (state.surface_min - coolest).abs() < 0.06
        );
    }
}

#[test]
fn what_each_choice_does_to_four_inch_middle_twelve() {
    let base = floor(4.0, 2.0, 12.0);
    let concrete = |k: f64| {
        let mut changed = base.clone();
        changed.slab.conductivity = k;
        solve(&changed)
    };
    for (k, up, down, warmest) in
        [(1.0, 68.95, 8.02, 28.81), (1.731, 89.85, 8.53, 30.39), (2.0, 95.15, 8.65, 30.76)]
    {
        let state = concrete(k);
        share(state.up, up, 0.005, "concrete");
        share(state.down, down, 0.005, "concrete");
        assert!((state.surface_max - warmest).abs() < 0.05);
    }
    for (k, up) in [(0.38, 82.90), (0.41, 83.83)] {
        let tube = SectionTube { conductivity: k, ..base.tube };
        share(solve(&FloorSection { tube, ..base.clone() }).up, up, 0.005, "wall conductivity");
    }
    let copper = SectionTube { conductivity: 1e6, ..base.tube };
    share(solve(&FloorSection { tube: copper, ..base.clone() }).up, 97.65, 0.005, "no wall");
    for (outside, wall, up, down) in
        [(0.5, 0.070, 75.50, 8.01), (0.75, 0.083, 84.47, 8.48), (0.875, 0.097, 86.64, 8.59)]
    {
        let state = solve(&FloorSection { tube: tube(outside, wall, 0.35), ..base.clone() });
        share(state.up, up, 0.005, "tube size");
        share(state.down, down, 0.005, "tube size");
    }
    share(solve(&FloorSection { surface: 11.357, ..base.clone() }).up, 83.53, 0.005, "surface");
    let covered = solve(&FloorSection { covering: 0.1761, ..base.clone() });
    share(covered.up, 46.06, 0.005, "covering R-1");
    share(covered.down, 9.76, 0.005, "covering R-1");
    assert!((covered.slab_top_max - 34.04).abs() < 0.05);
    for (inches, up, down) in [(1.0, 79.88, 12.82), (4.0, 83.35, 4.91)] {
        let mut foam = base.clone();
        foam.under[0].thickness = inches * INCH;
        let state = solve(&foam);
        share(state.up, up, 0.005, "foam");
        share(state.down, down, 0.005, "foam");
    }
    let mut bare = base.clone();
    bare.under[0].conductivity = 1.5;
    share(solve(&bare).up, 75.74, 0.005, "no foam");
    share(solve(&bare).down, 26.82, 0.01, "no foam");
    let cold = SectionResponse::of(&base).unwrap().at(40.0, 20.0, 5.0);
    share(cold.up, 80.94, 0.005, "cold ground");
    share(cold.down, 10.32, 0.005, "cold ground");
}

#[test]
fn films_in_the_tube() {
    let base = SectionResponse::of(&floor(4.0, 2.0, 12.0)).unwrap();
    let up = |film: f64| base.clone().with_water_film(Some(film)).at(40.0, 20.0, 10.0).up;
    share(up(145.0), 65.31, 0.005, "laminar film");
    share(up(1880.0), 80.28, 0.005, "turbulent film");
    let bare = base.at(40.0, 20.0, 10.0).up;
    for (film, change) in [(3000.0, -0.012), (1000.0, -0.035), (250.0, -0.128)] {
        assert!((up(film) / bare - 1.0 - change).abs() < 0.0015, "film {film}");
    }
}

#[test]
fn halving_the_grid_quarters_the_error() {
    // With tube half an inch over the foam the surface temperatures stand still to 1e-4 K from
    // the first grid on, so only its fluxes show an order; they fall faster than second order.
    for (slab, axis, spacing, quantities) in
        [(4.0, 2.0, 12.0, 4), (6.0, 3.0, 6.0, 4), (6.0, 1.5, 9.0, 4), (4.0, 3.5, 9.0, 2)]
    {
        let levels: Vec<[f64; 4]> = (0..4)
            .map(|fineness| {
                let response = SectionResponse::on_grid(&floor(slab, axis, spacing), fineness);
                let state = response.unwrap().at(40.0, 20.0, 10.0);
                [state.up, state.down, state.surface_max, state.surface_min]
            })
            .collect();
        let change = |level: usize| -> Vec<f64> {
            levels[level].iter().zip(&levels[level + 1]).map(|(a, b)| (a - b).abs()).collect()
        };
        for (quantity, (first, last)) in
            change(0).iter().zip(change(2)).enumerate().take(quantities)
        {
            let order = 0.5 * (first / last).log2();
            assert!(order > 1.85, "{slab} {axis} {spacing} quantity {quantity}: order {order}");
        }
    }
}

#[test]
fn the_error_estimate_is_honest() {
    for (_, [slab, axis, spacing], [up, ..], _) in CASES {
        let checked = solve_checked(&floor(slab, axis, spacing)).unwrap();
        let true_error = (checked.response.at(40.0, 20.0, 10.0).up / up - 1.0).abs();
        // The neglected unevenness round the tube is up to 0.03 per cent; the grid is the rest.
        assert!(checked.error_share < 0.002 && true_error < checked.error_share * 3.0 + 5e-4);
    }
}

#[test]
fn a_row_of_pipes_under_an_isothermal_plane() {
    // Shape factor by fundamental solutions (residual under 3e-9): diameter, depth, spacing, S.
    // The classic row formula is 0.4 to 0.9 per cent low at these sizes.
    for (diameter, depth, spacing, exact) in [
        (0.015_875, 0.0508, 0.1524, 1.983_424),
        (0.015_875, 0.0508, 0.3048, 2.314_301),
        (0.020, 0.10, 0.20, 1.470_479),
    ] {
        let k = 1.4;
        let deep = FloorSection {
            spacing,
            axis_depth: depth,
            slab: Layer { thickness: 1.2, conductivity: k, heat_capacity: 2e6 },
            tube: SectionTube {
                outside: diameter,
                inside: diameter * 0.999_999,
                conductivity: 1e9,
                water_film: None,
            },
            covering: 0.0,
            surface: 1e7,
            under: vec![Layer { thickness: 1.0, conductivity: 1e-5, heat_capacity: 1e4 }],
        };
        let state = SectionResponse::on_grid(&deep, 2).unwrap().at(1.0, 0.0, 0.0);
        share(state.per_tube / k, exact, 0.0002, "shape factor");
        let w = spacing;
        let pi = std::f64::consts::PI;
        let row = 2.0 * pi / ln(2.0 * w / (pi * diameter) * sinh(2.0 * pi * depth / w));
        share(state.per_tube / k, row, 0.0105, "row formula");
    }
}

#[test]
fn published_trends_of_depth() {
    // A trade journal gives 26 per cent less output at the bottom than at the middle of a bare
    // 4 in slab with tube at 12 in; conduction alone gives 19 to 23.
    let up = |axis: f64| solve(&floor(4.0, axis, 12.0)).up;
    let loss = 1.0 - up(3.5) / up(2.0);
    assert!((0.18..0.20).contains(&loss), "{loss}");
    let lying = 1.0 - up(4.0 - 0.3125 - 0.008) / up(2.0);
    assert!((0.22..0.245).contains(&lying), "{lying}");
    // A 2005 article's loop constant is 0.887 Btu/(h·ft·°F), which sits at k near 1.8.
    let mut article = floor(4.0, 2.0, 12.0);
    article.surface = 11.357;
    article.tube.conductivity = 0.38;
    let constant = |k: f64| {
        let mut here = article.clone();
        here.slab.conductivity = k;
        let response = SectionResponse::of(&here).unwrap();
        1.0 / response.tube_resistance() * 0.577_789
    };
    share(constant(1.4), 0.799, 0.01, "loop constant");
    share(constant(1.731), 0.876, 0.01, "loop constant");
    share(constant(2.0), 0.926, 0.01, "loop constant");
}

/// Final flux, hours to 50, 63.2, 90 and 95 per cent, slowest time constant, and the shares at
/// 1, 2, 4, 8, 12 and 24 h: finite elements in space, Crank and Nicolson in time, as above but
/// for 1 in of soil with its underside at 20 °C.
#[test]
fn floors_warm_up_as_finite_elements_say() {
    for (slab, axis, spacing, flux, hours, constant, shares) in [
        (
            4.0,
            2.0,
            12.0,
            82.932,
            [2.06, 3.06, 7.37, 9.67],
            3.311,
            [0.296, 0.491, 0.723, 0.917, 0.975, 0.999],
        ),
        (
            4.0,
            3.5,
            12.0,
            67.606,
            [2.71, 3.77, 8.32, 10.74],
            3.498,
            [0.167, 0.384, 0.656, 0.891, 0.965, 0.999],
        ),
        (
            4.0,
            2.0,
            6.0,
            118.415,
            [1.28, 1.84, 4.20, 5.46],
            1.816,
            [0.414, 0.664, 0.888, 0.988, 0.999, 1.0],
        ),
        (
            6.0,
            3.0,
            12.0,
            78.390,
            [3.37, 4.90, 11.41, 14.88],
            5.000,
            [0.169, 0.337, 0.559, 0.802, 0.911, 0.992],
        ),
        (
            6.0,
            5.5,
            12.0,
            59.926,
            [4.80, 6.46, 13.50, 17.24],
            5.406,
            [0.038, 0.169, 0.421, 0.724, 0.868, 0.986],
        ),
        (
            6.0,
            1.5,
            12.0,
            87.527,
            [2.22, 3.98, 11.74, 15.87],
            5.962,
            [0.344, 0.479, 0.634, 0.813, 0.904, 0.987],
        ),
    ] {
        let mut cold = floor(slab, axis, spacing);
        cold.under[1].thickness = INCH;
        share(
            SectionResponse::of(&cold).unwrap().at(40.0, 20.0, 20.0).up,
            flux,
            0.005,
            "final flux",
        );
        let warming = warm_up(&cold).unwrap();
        for (found, published) in warming.hours.iter().zip(hours) {
            share(*found, published, 0.006, "hours");
        }
        share(warming.time_constant_h, constant, 0.003, "time constant");
        for (hour, published) in [1, 2, 4, 8, 12, 24].into_iter().zip(shares) {
            let found = warming.hourly[hour];
            assert!((found - published).abs() < 0.002, "{slab} {axis} at {hour} h: {found}");
        }
    }
}

/// Exact cooling with the pump off, and stored heat.
#[test]
fn cooling_and_stored_heat() {
    share(cooling_hours(0.1016, 1.4, 2.07e6, 10.8), 6.884, 0.001, "4 in");
    share(cooling_hours(0.1524, 1.4, 2.07e6, 10.8), 11.485, 0.001, "6 in");
    // Btu/(ft²·°F).
    share(stored_heat(&floor(4.0, 2.0, 12.0)) / 20_441.7, 10.29, 0.002, "stored");
    share(stored_heat(&floor(6.0, 3.0, 12.0)) / 20_441.7, 15.43, 0.002, "stored");
}
