//! Floor map against closed forms and the cross-section it must agree with.

use slabloom_core::geometry::{Point, Polygon};
use slabloom_core::heat::floor_map::{
    FloorMapSolution, PlateValues, Surroundings, WaterCircuit, cell_for, even_rim, map_floor,
};
use slabloom_core::heat::section::{FloorSection, Layer, SectionResponse, SectionTube};
use slabloom_core::units::exact_math::exp;

const INCH: f64 = 0.0254;
const AROUND: Surroundings = Surroundings { room: 20.0, ground: 10.0, outside: -15.0 };

fn floor(slab: f64, axis: f64, spacing: f64) -> FloorSection {
    FloorSection {
        spacing: spacing * INCH,
        axis_depth: axis * INCH,
        slab: Layer { thickness: slab * INCH, conductivity: 1.4, heat_capacity: 2.07e6 },
        tube: SectionTube {
            outside: 0.625 * INCH,
            inside: 0.485 * INCH,
            conductivity: 0.35,
            water_film: None,
        },
        covering: 0.0,
        surface: 10.8,
        under: vec![
            Layer { thickness: 2.0 * INCH, conductivity: 0.028_84, heat_capacity: 43_500.0 },
            Layer { thickness: 1.0, conductivity: 1.5, heat_capacity: 1.8e6 },
        ],
    }
}

fn rectangle(width: f64, height: f64) -> Polygon {
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new())
}

/// Straight tubes up and down a rectangle, half a spacing from its sides, joined outside of it.
fn passes(width: f64, height: f64, spacing: f64) -> Vec<Point> {
    let count = (width / spacing).round() as usize;
    let mut path = Vec::new();
    for i in 0..count {
        let x = spacing * (i as f64 + 0.5);
        let (first, last) = if i % 2 == 0 { (0.0, height) } else { (height, 0.0) };
        path.extend([Point::new(x, first), Point::new(x, last)]);
    }
    path
}

fn assert_balanced(map: &FloorMapSolution) {
    assert!(map.imbalance.abs() < 1e-4, "imbalance {}", map.imbalance);
}

#[test]
fn even_tubes_with_endless_flow_give_the_section() {
    for (slab, axis, spacing) in [
        (4.0, 2.0, 12.0),
        (4.0, 3.5, 12.0),
        (4.0, 1.5, 9.0),
        (6.0, 5.5, 12.0),
        (6.0, 3.0, 6.0),
        (4.0, 3.5, 6.0),
    ] {
        let section = SectionResponse::of(&floor(slab, axis, spacing)).unwrap();
        let state = section.at(40.0, 20.0, 10.0);
        for cell in [spacing / 6.0, spacing / 4.0] {
            let (width, height) = (spacing * 10.0, 180.0);
            let region = rectangle(width, height);
            let (values, to_plate) = PlateValues::from_section(&section, cell);
            let path = passes(width, height, spacing);
            // Each pass by itself, so that nothing lies along the walls.
            let circuits: Vec<WaterCircuit<'_>> = (path.chunks_exact(2))
                .map(|pass| WaterCircuit { path: pass, flow: 1e12, supply: 40.0, to_plate })
                .collect();
            let map = map_floor(&region, &[], &circuits, &values, AROUND, cell).unwrap();
            assert_balanced(&map);
            let area = width * height * INCH * INCH;
            let tell = format!(
                "{slab} {axis} {spacing} cell {cell}: up {:.3} down {:.3} warm {:.3} cool {:.3} mean {:.3}, section {state:?}",
                map.up / area,
                map.down / area,
                map.hottest.0,
                map.coldest.0,
                map.mean
            );
            assert!((map.up / area / state.up - 1.0).abs() < 0.005, "{tell}");
            assert!((map.down / area / state.down - 1.0).abs() < 0.005, "{tell}");
            assert!((map.mean - state.surface_mean).abs() < 0.06, "{tell}");
            assert!((map.hottest.0 - state.surface_max).abs() < 0.1, "{tell}");
            // The valley is found by parabolas through cells that are a third of it wide.
            assert!((map.coldest.0 - state.surface_min).abs() < 0.15, "{tell}");
        }
    }
}

#[test]
fn water_cools_along_one_straight_tube_by_the_exponential() {
    let section = SectionResponse::of(&floor(4.0, 2.0, 12.0)).unwrap();
    let around = Surroundings { ground: 20.0, ..AROUND };
    let (values, to_plate) = PlateValues::from_section(&section, 2.0);
    // A strip one spacing wide is half cells on both sides of the tube.
    for (feet, flow) in [(60.0, 20.0), (250.0, 150.0), (250.0, 40.0)] {
        let (length, width) = (feet * 12.0, 12.0);
        let path = [Point::new(0.0, 6.0), Point::new(length, 6.0)];
        let circuit = WaterCircuit { path: &path, flow, supply: 45.0, to_plate };
        let map =
            map_floor(&rectangle(length, width), &[], &[circuit], &values, around, 2.0).unwrap();
        assert_balanced(&map);
        let back = 20.0 + 25.0 * exp(-length * INCH / section.tube_resistance() / flow);
        let found = map.circuits[0].back;
        assert!(
            (found - back).abs() < 0.01 * (45.0 - back),
            "{feet} ft at {flow}: {found} against {back}"
        );
        assert!((map.circuits[0].heat - flow * (45.0 - found)).abs() < 1e-9 * map.water);
    }
}

#[test]
fn a_floor_without_tube_takes_the_temperature_between_room_and_ground() {
    let section = SectionResponse::of(&floor(4.0, 2.0, 12.0)).unwrap();
    let (values, _) = PlateValues::from_section(&section, 2.0);
    let map = map_floor(&rectangle(240.0, 180.0), &[], &[], &values, AROUND, 2.0).unwrap();
    assert_balanced(&map);
    let state = section.at(section_at_rest(&section), 20.0, 10.0);
    assert!((map.mean - state.surface_mean).abs() < 1e-3, "{} {}", map.mean, state.surface_mean);
    assert!((map.up + map.down).abs() < 1e-4 * map.down.abs());
    assert!((map.hottest.0 - map.coldest.0).abs() < 1e-3);
    // A rim that loses heat: far along a wall the fall is that of a fin.
    let long = rectangle(2400.0, 240.0);
    let rim = even_rim(&long, 1.0);
    let map = map_floor(&long, &rim, &[], &values, AROUND, 2.0).unwrap();
    assert_balanced(&map);
    let loss = values.up + values.down;
    let m = (loss / values.along).sqrt();
    let rest = (values.down * (10.0 - 20.0)) / loss;
    // Fin of the plate from the rim: flux at the rim equals edge·(T − outside).
    let rim = (values.along * m * rest + 1.0 * (AROUND.outside - 20.0)) / (values.along * m + 1.0);
    let loss_per_meter = rim + 20.0 - AROUND.outside;
    let long_sides = 2.0 * 2400.0 * INCH * loss_per_meter;
    let short_sides = 2.0 * 240.0 * INCH * loss_per_meter;
    let off = map.edge / (long_sides + short_sides) - 1.0;
    assert!(off.abs() < 0.04, "{off}");
}

/// Water temperature at which the tube gives nothing.
fn section_at_rest(section: &SectionResponse) -> f64 {
    let (cold, warm) =
        (section.at(10.0, 20.0, 10.0).per_tube, section.at(20.0, 20.0, 10.0).per_tube);
    10.0 + 10.0 * cold / (cold - warm)
}

#[test]
fn heat_from_the_water_is_heat_up_down_and_out() {
    // L with an opening, two circuits side by side in counterflow, cold edges.
    let outer =
        [(0.0, 0.0), (333.0, 0.0), (333.0, 200.0), (150.0, 200.0), (150.0, 301.0), (0.0, 301.0)];
    let hole = [(60.0, 60.0), (100.0, 60.0), (100.0, 90.0), (60.0, 90.0)];
    let ring =
        |points: &[(f64, f64)]| points.iter().map(|&(x, y)| Point::new(x, y)).collect::<Vec<_>>();
    let region = Polygon::new(ring(&outer), vec![ring(&hole)]);
    let section = SectionResponse::of(&floor(4.0, 3.5, 9.0)).unwrap();
    for cell in [1.0, 2.0, 3.0] {
        let (values, to_plate) = PlateValues::from_section(&section, cell);
        let supply =
            ring(&[(10.0, 10.0), (320.0, 10.0), (320.0, 190.0), (20.0, 190.0), (20.0, 290.0)]);
        let back: Vec<Point> =
            supply.iter().rev().map(|p| Point::new(p.x - 4.0, p.y - 4.0)).collect();
        let circuits = [
            WaterCircuit { path: &supply, flow: 60.0, supply: 45.0, to_plate },
            WaterCircuit { path: &back, flow: 30.0, supply: 42.0, to_plate },
        ];
        let map =
            map_floor(&region, &even_rim(&region, 0.5), &circuits, &values, AROUND, cell).unwrap();
        assert_balanced(&map);
        assert!(map.imbalance.abs() < 1e-3);
        let heat: f64 = map.circuits.iter().map(|c| c.heat).sum();
        assert!((heat - map.water).abs() < 1e-9 * heat);
        assert!(map.edge > 0.0 && map.up > 0.0 && map.down > 0.0);
        assert!(map.hottest.0 >= map.mean && map.mean >= map.coldest.0);
        assert!(region.contains(map.hottest.1) && region.contains(map.coldest.1));
    }
}

#[test]
fn more_flow_warms_and_a_finer_grid_agrees() {
    let section = SectionResponse::of(&floor(4.0, 2.0, 12.0)).unwrap();
    let region = rectangle(240.0, 180.0);
    let path = passes(240.0, 180.0, 12.0);
    let run = |flow: f64, cell: f64| {
        let (values, to_plate) = PlateValues::from_section(&section, cell);
        let circuit = WaterCircuit { path: &path, flow, supply: 40.0, to_plate };
        map_floor(&region, &even_rim(&region, 0.3), &[circuit], &values, AROUND, cell).unwrap()
    };
    let ups: Vec<f64> = [20.0, 60.0, 200.0, 1e9].iter().map(|&flow| run(flow, 2.0).up).collect();
    assert!(ups.windows(2).all(|w| w[1] > w[0]));
    let (coarse, fine) = (run(100.0, 3.0), run(100.0, 1.0));
    assert!((coarse.up / fine.up - 1.0).abs() < 0.01, "{} {}", coarse.up, fine.up);
    assert!((coarse.circuits[0].back - fine.circuits[0].back).abs() < 0.1);
}

#[test]
fn cells_grow_with_the_floor_but_keep_the_tubes_apart() {
    assert_eq!(cell_for(1200.0 * 144.0, 12.0), 2.0);
    assert_eq!(cell_for(20_000.0 * 144.0, 12.0), 3.5);
    assert_eq!(cell_for(200_000.0 * 144.0, 12.0), 6.0);
    assert_eq!(cell_for(200_000.0 * 144.0, 6.0), 3.0);
}
