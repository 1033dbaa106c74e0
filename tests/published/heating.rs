//! Heat: EN 1264 factors, outputs and limits; ISO 13370; edge-loss factors; the exact half-space.
//!
//! Sources stand beside each check. EN 1264-2 numbers come through an open transcription of its
//! Annex A (the `RowsOf…` tables of a university's building model library), worked outputs and
//! limits from them; see the project's reference on heating.

use slabloom_core::facts::heating as facts;
use slabloom_core::facts::heating::{EDGE_LOSS, SlabInsulation, edge_loss_full};
use slabloom_core::heat::ground::{
    EdgeStrip, GroundSlab, compare_foam, half_space_loss, slab_coefficient,
};
use slabloom_core::heat::ground_block::GroundBlock;
use slabloom_core::heat::load::load_btuh;
use slabloom_core::heat::standard::*;
use slabloom_core::job::heating::HeatLoad;

fn within(value: f64, published: f64, tolerance: f64) {
    assert!((value - published).abs() <= tolerance, "{value} against {published}");
}

/// Type A floor of the standard's tube: 2 mm wall at 0.35 W/(m·K).
fn floor(
    spacing: f64,
    outside: f64,
    cover: f64,
    conductivity: f64,
    covering: f64,
) -> EmbeddedFloor {
    EmbeddedFloor {
        spacing,
        outside,
        wall: 0.002,
        wall_conductivity: 0.35,
        cover,
        conductivity,
        covering,
    }
}

/// EN 1264-2, 6.2: q = 8.92·Δ^1.1.
#[test]
fn basic_characteristic_curve() {
    for (excess, flux) in [
        (1.0, 8.92),
        (3.0, 29.87),
        (5.0, 52.39),
        (7.0, 75.85),
        (9.0, 100.01),
        (11.0, 124.71),
        (13.0, 149.87),
        (15.0, 175.41),
    ] {
        within(basic_flux(excess), flux, 0.01);
        within(surface_excess(flux), excess, 0.001);
    }
    // The same in inch-pound: 1.4812 Btu/(h·ft²) at 1 °F.
    within(basic_flux(1.0 / 1.8) / 3.154_591, 1.4812, 0.0002);
}

/// EN 1264-2: log-mean excess, worked.
#[test]
fn medium_excess_of_worked_cases() {
    for (supply, back, room, excess) in [
        (45.0, 35.0, 20.0, 19.5762),
        (40.0, 35.0, 20.0, 17.3803),
        (40.0, 30.0, 20.0, 14.4270),
        (50.0, 40.0, 24.0, 20.5970),
        (35.0, 30.0, 20.0, 12.3315),
    ] {
        within(medium_excess(supply, back, room), excess, 1e-4);
        within(supply_over_room(excess, supply - back) + room, supply, 1e-3);
    }
}

/// EN 1264-2 Annex A constants and table A.1.
#[test]
fn constants_of_type_a() {
    assert_eq!(facts::SYSTEM_FACTOR, 6.7);
    within(facts::SURFACE_RESISTANCE_UP, 1.0 / 10.8, 1e-4);
    assert_eq!(facts::SPACING_FACTOR, [1.23, 1.188, 1.156, 1.134]);
    assert_eq!(
        (facts::WARMEST_OCCUPIED_C, facts::WARMEST_EDGE_STRIP_C, facts::WARMEST_BATH_C),
        (29.0, 35.0, 33.0)
    );
    // Tables fall or rise evenly: a slip of typing would break it.
    for table in [&facts::COVER_FACTOR, &facts::DIAMETER_FACTOR] {
        assert!(table.iter().all(|row| row.windows(2).all(|w| w[1] <= w[0])));
    }
    assert!(facts::LIMIT_FACTOR.iter().all(|row| row.windows(2).all(|w| w[1] >= w[0])));
    assert!(facts::LIMIT_FACTOR.windows(2).all(|w| w[0].iter().zip(&w[1]).all(|(a, b)| b <= a)));
    assert!(facts::LIMIT_EXPONENT.iter().all(|row| row.windows(2).all(|w| w[1] <= w[0])));
    assert!(facts::LIMIT_EXPONENT.windows(2).all(|w| w[0].iter().zip(&w[1]).all(|(a, b)| b >= a)));
}

/// EN 1264-2 Annex A: output coefficients of twelve floors, worked from the tables.
#[test]
fn output_coefficients_of_type_a() {
    for (spacing, outside, cover, conductivity, covering, coefficient) in [
        (0.075, 0.020, 0.045, 1.0, 0.0, 6.7000),
        (0.10, 0.017, 0.045, 1.0, 0.0, 6.1206),
        (0.15, 0.017, 0.045, 1.0, 0.0, 5.2893),
        (0.15, 0.020, 0.045, 1.0, 0.0, 5.4472),
        (0.15, 0.017, 0.045, 1.2, 0.0, 5.5942),
        (0.15, 0.017, 0.045, 1.2, 0.10, 3.3923),
        (0.15, 0.016, 0.045, 1.2, 0.0, 5.5396),
        (0.20, 0.017, 0.045, 1.2, 0.0, 4.8521),
        (0.20, 0.017, 0.045, 1.2, 0.05, 3.7300),
        (0.225, 0.020, 0.045, 1.0, 0.0, 4.4286),
        (0.30, 0.017, 0.045, 1.2, 0.0, 3.6634),
        (0.30, 0.020, 0.065, 1.2, 0.15, 2.1651),
    ] {
        within(
            output_coefficient(&floor(spacing, outside, cover, conductivity, covering)),
            coefficient,
            1e-3,
        );
    }
    within(output_coefficient(&floor(0.15, 0.020, 0.045, 1.0, 0.0)), 6.7 / 1.23, 1e-4);
    within(output_coefficient(&floor(0.225, 0.020, 0.045, 1.0, 0.0)), 6.7 / (1.23 * 1.23), 1e-4);
    // Beyond 0.375 m output falls with 1/spacing.
    let (at, beyond) = (floor(0.375, 0.017, 0.045, 1.2, 0.0), floor(0.75, 0.017, 0.045, 1.2, 0.0));
    within(output_coefficient(&beyond) * 2.0, output_coefficient(&at), 1e-9);
}

/// The slab cases of the conduction reference by the standard, flux at 20 K.
#[test]
fn slabs_by_the_standard() {
    let inches = |inches: f64| inches * 0.0254;
    for (axis, fluxes) in [
        (3.5, [95.24, 79.18, 65.98]),
        (2.0, [117.89, 94.83, 76.52]),
        (5.5, [77.92, 64.84, 54.17]),
        (3.0, [102.25, 84.08, 69.31]),
        (1.5, [126.59, 100.72, 80.40]),
    ] {
        for (spacing, flux) in [6.0, 9.0, 12.0].into_iter().zip(fluxes) {
            let slab = EmbeddedFloor {
                spacing: inches(spacing),
                outside: inches(0.625),
                wall: inches(0.070),
                wall_conductivity: 0.35,
                cover: inches(axis - 0.3125),
                conductivity: 1.4,
                covering: 0.0,
            };
            within(20.0 * output_coefficient(&slab), flux, 0.01);
        }
    }
}

/// EN 1264-2 limit curve, worked from tables A.4 and A.6 at 29 °C and 20 °C, and at 35 °C.
#[test]
fn limits_of_output() {
    for (spacing, covering, excess, flux) in [
        (0.15, 0.0, 16.909, 94.594),
        (0.15, 0.10, 29.056, 98.567),
        (0.20, 0.0, 18.636, 90.424),
        (0.30, 0.0, 20.933, 76.684),
    ] {
        let limit = output_limit(&floor(spacing, 0.017, 0.045, 1.2, covering), 9.0);
        within(limit.excess, excess, 0.02);
        within(limit.flux, flux, 0.05);
    }
    let strip = output_limit(&floor(0.15, 0.017, 0.045, 1.2, 0.0), 15.0);
    within(strip.excess, 29.66, 0.02);
    within(strip.flux, 165.92, 0.1);
    // No limit may exceed the curve of an evenly warm floor.
    for spacing in [0.05, 0.1, 0.2, 0.3, 0.375, 0.5, 0.6] {
        for cover in [0.03, 0.045, 0.08, 0.12] {
            let limit = output_limit(&floor(spacing, 0.017, cover, 1.4, 0.0), 9.0);
            assert!(limit.flux <= basic_flux(9.0) + 0.01 && limit.flux > 0.0, "{spacing} {cover}");
        }
    }
}

/// EN 1264-3: 12 m² at 80 W/m², 5 K drop, insulation 1.25, 10 °C below.
#[test]
fn downward_loss_and_flow() {
    let resistances = PartialResistances::of(&floor(0.15, 0.017, 0.045, 1.2, 0.0), 1.25, 0.0);
    within(resistances.up, 0.13009, 1e-4);
    within(resistances.flux_down(80.0, 20.0, 10.0), 16.326, 0.01);
    let flow = resistances.mass_flow(12.0, 80.0, (20.0, 10.0), 5.0);
    within(flow * 3600.0, 198.63, 0.5);
}

/// NREL/TP-550-43388, case GC10a: 12 by 12 m, wall 0.24 m, soil 1.9, 30 °C in, 10 °C out.
#[test]
fn ground_benchmark_gc10a_by_the_half_space() {
    within(half_space_loss((12.0, 12.0), 0.24, 1.9) * 20.0 / 2432.597, 1.0, 1e-6);
    within(half_space_loss((12.0, 6.0), 0.24, 1.9) * 20.0, 1658.58, 0.02);
    // Three verified numerical models: 2427, 2425 and 2432 W.
    for model in [2427.0, 2425.0, 2432.0] {
        within(half_space_loss((12.0, 12.0), 0.24, 1.9) * 20.0 / model, 1.0, 0.004);
    }
    // ISO 13370 on the same, without resistance: 3.1 per cent over.
    within(slab_coefficient(6.0, 0.24, 1.9) * 144.0 * 20.0, 2508.9, 0.5);
}

/// ISO 13370 with clay soil 1.5 and walls of 0.3 m, by perimeter over area and resistance.
#[test]
fn ground_coefficients_by_iso_13370() {
    let resistances = [0.0, 0.5, 1.0, 1.5, 2.0, 2.5];
    for (ratio, row) in [
        (0.05, [0.126, 0.107, 0.096, 0.089, 0.083, 0.078]),
        (0.10, [0.219, 0.180, 0.158, 0.143, 0.131, 0.122]),
        (0.20, [0.370, 0.291, 0.247, 0.217, 0.194, 0.176]),
        (0.30, [0.495, 0.376, 0.311, 0.267, 0.234, 0.208]),
        (0.40, [0.603, 0.444, 0.359, 0.302, 0.260, 0.228]),
        (0.50, [0.698, 0.500, 0.396, 0.327, 0.278, 0.242]),
        (0.55, [0.741, 0.525, 0.411, 0.337, 0.284, 0.249]),
        (1.00, [1.051, 0.676, 0.495, 0.397, 0.331, 0.284]),
    ] {
        for (resistance, coefficient) in resistances.into_iter().zip(row) {
            let slab = GroundSlab {
                area: 100.0,
                perimeter: 100.0 * ratio,
                wall: 0.3,
                soil: 1.5,
                floor_resistance: resistance,
            };
            within(slab.coefficient(), coefficient, 0.0006);
        }
    }
    // Four named cases on sand, from the insulation reference.
    let slab = |area, perimeter, resistance, soil| GroundSlab {
        area,
        perimeter,
        wall: 0.3,
        soil,
        floor_resistance: resistance,
    };
    let concrete = 0.1016 / 2.3;
    within(slab(80.0, 36.0, 0.0, 2.0).coefficient(), 0.8214, 1e-4);
    within(slab(91.788, 39.014, concrete, 2.0).coefficient(), 0.7593, 1e-4);
    within(slab(91.788, 39.014, concrete + 1.761, 2.0).coefficient(), 0.3107, 1e-4);
    within(slab(91.788, 39.014, concrete + 1.761, 1.5).coefficient(), 0.2809, 1e-4);
    within(slab(91.788, 39.014, concrete + 3.522, 2.0).coefficient(), 0.1999, 1e-4);
}

/// IHVE Guide 1977, A3: solid floors with four exposed edges, within what the reference says.
#[test]
fn ground_coefficients_of_the_ihve_guide() {
    for (long, short, published) in [
        (150.0, 30.0, 0.18),
        (60.0, 60.0, 0.15),
        (60.0, 30.0, 0.21),
        (60.0, 15.0, 0.32),
        (30.0, 30.0, 0.26),
        (30.0, 15.0, 0.36),
        (30.0, 7.5, 0.55),
        (15.0, 15.0, 0.45),
        (15.0, 7.5, 0.62),
        (7.5, 7.5, 0.76),
    ] {
        let slab = GroundSlab {
            area: long * short,
            perimeter: 2.0 * (long + short),
            wall: 0.3,
            soil: 1.5,
            floor_resistance: 0.0,
        };
        within(slab.coefficient() / published, 1.0, 0.065);
    }
}

/// ISO 13370 edge strips, on a shop of 30 by 40 ft.
#[test]
fn edge_strips_and_a_shop() {
    let shop = |resistance: f64| GroundSlab {
        area: 111.48,
        perimeter: 42.67,
        wall: 0.2,
        soil: 1.5,
        floor_resistance: resistance,
    };
    let per_degree_f = |slab: GroundSlab| slab.loss_per_kelvin(0.0) / 0.293_071 / 1.8;
    let r_10 = 10.0 * 0.176_11;
    within(per_degree_f(shop(0.0)), 130.8, 0.3);
    within(per_degree_f(shop(r_10)), 59.1, 0.3);
    within(per_degree_f(shop(2.0 * r_10)), 38.7, 0.3);
    let edge = |slab: GroundSlab, strip| slab.edge_strip(strip, r_10, 0.0508);
    within(edge(shop(0.0), EdgeStrip::Horizontal(1.2)), -0.4184, 2e-3);
    within(edge(shop(0.0), EdgeStrip::Vertical(1.2)), -0.5543, 2e-3);
    within(edge(shop(r_10), EdgeStrip::Horizontal(1.2)), -0.0633, 1e-3);
    within(edge(shop(r_10), EdgeStrip::Vertical(1.2)), -0.1034, 1e-3);
    // A standing strip saves what a lying one of twice the size does.
    let (lying, standing) = (EdgeStrip::Horizontal(1.2), EdgeStrip::Vertical(0.6));
    within(edge(shop(0.0), lying), edge(shop(0.0), standing), 1e-12);
    let foams = compare_foam(&shop(0.0), &[0.0, r_10, 2.0 * r_10], 3000.0);
    within(foams[1].season_kwh / foams[0].season_kwh, 59.1 / 130.8, 0.002);
}

/// Washington State Energy Code Table A106.1; ASHRAE 90.1 Table A6.3.
#[test]
fn edge_loss_factors() {
    for (r_value, factor) in [(5.0, 0.74), (10.0, 0.55), (15.0, 0.44), (20.0, 0.39), (30.0, 0.32)] {
        within(edge_loss_full(true, r_value), factor, 1e-9);
    }
    within(edge_loss_full(true, 0.0), 0.84, 1e-9);
    within(edge_loss_full(false, 0.0), 0.73, 1e-9);
    within(edge_loss_full(false, 10.0), 0.36, 1e-9);
    assert!(edge_loss_full(true, 7.5) > 0.55 && edge_loss_full(true, 7.5) < 0.74);
    assert_eq!(facts::HEATED_UNINSULATED_OTHER.factor, 1.35);
    let vertical = EDGE_LOSS
        .iter()
        .find(|r| !r.is_heated && r.insulation == SlabInsulation::Vertical(2.0, 10.0));
    assert_eq!(vertical.map(|r| r.factor), Some(0.54));
}

/// A shop worked by area in the reference: 65 °F in, −10 °F out.
#[test]
fn room_load_of_a_shop() {
    let envelope = 1420.0 * 0.05 + 60.0 * 0.30 + 200.0 * 0.15 + 1200.0 * 0.026;
    let aid = HeatLoad::RoomAid { envelope_ua: envelope, volume_ft3: 14_400.0, air_changes: 0.5 };
    let upward = load_btuh(aid, 1200.0, 65.0, -10.0);
    within(upward, 20_985.0, 5.0);
    within(upward / 1200.0, 17.49, 0.01);
    let with_slab = upward + edge_loss_full(true, 10.0) * 140.0 * 75.0;
    within(with_slab, 26_760.0, 30.0);
}

/// The block of NREL/TP-550-43388: a floor of 12 by 12 m with a wall of 0.24 m that lets nothing
/// through, soil 1.9.
fn benchmark_block(
    (inside, outside): (Option<f64>, Option<f64>),
    (depth, beyond): (f64, f64),
) -> GroundBlock {
    let sides = (12.0, 12.0);
    GroundBlock { sides, wall: 0.24, soil: 1.9, depth, beyond, inside, outside }
}

/// NREL/TP-550-43388, steady cases with films, 30 °C in, 10 °C out and deep down: three verified
/// numerical models each. Films and the sizes that the project's reference names are from there; a
/// depth of 15 m and a far field of 15 m, where it names none, are from memory of the report.
#[test]
fn ground_benchmarks_with_films_by_the_block_of_ground() {
    let wide = (15.0, 15.0);
    for (case, block, models) in [
        ("GC30b", benchmark_block((Some(100.0), Some(100.0)), wide), [2533.0, 2504.0, 2570.0]),
        ("GC30c", benchmark_block((Some(7.95), None), (15.0, 8.0)), [2137.0, 2123.0, 2154.0]),
        ("GC60b", benchmark_block((Some(7.95), Some(100.0)), wide), [2113.0, 2104.0, 2128.0]),
        ("GC65b", benchmark_block((Some(7.95), Some(11.95)), wide), [1994.0, 1991.0, 2004.0]),
    ] {
        let watts = block.loss_per_kelvin(0.02).unwrap() * 20.0;
        let mean = models.iter().sum::<f64>() / 3.0;
        let off = watts / mean - 1.0;
        println!("{case}: {watts:.0} W, {:+.2} % from the models' mean {mean:.0}", off * 100.0);
        assert!(off.abs() < 0.01, "{case}: {watts} W against {models:?}");
    }
}

/// GC30a of the same report: no films, ground 30 m deep and 20 m beyond the wall (both from memory
/// of the report). Where the wall meets floor and ground the flux has no bound, and a grid nears
/// the answer only in step with its finest cell, so two grids are drawn out to none. The report's
/// models stand 4 % apart for the same reason; ours lies among them.
#[test]
fn a_floor_without_films_lies_among_the_benchmarks_models() {
    let models = [2585.0, 2642.0, 2695.0];
    let block = benchmark_block((None, None), (30.0, 20.0));
    let watts = |finest: f64| block.loss_per_kelvin(finest).unwrap() * 20.0;
    let (coarse, fine) = (watts(0.02), watts(0.01));
    let drawn_out = 2.0 * fine - coarse;
    println!("GC30a: {coarse:.0} and {fine:.0} W, drawn out {drawn_out:.0} W, models {models:?}");
    assert!(models[0] < drawn_out && drawn_out < models[2]);
    let nearest = models.iter().map(|model| (drawn_out / model - 1.0).abs()).fold(1.0, f64::min);
    assert!(nearest < 0.01, "{drawn_out} W, {nearest} from the nearest");
}
