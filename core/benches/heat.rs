//! Heat: a cross-section, and floor maps of a house and of a large building.

use divan::{Bencher, black_box};
use slabloom_core::geometry::{Point, Polygon};
use slabloom_core::heat::floor_map::{
    PlateValues, Surroundings, WaterCircuit, cell_for, even_rim, map_floor,
};
use slabloom_core::heat::section::{FloorSection, Layer, SectionResponse, SectionTube};
use slabloom_core::heat::warm_up::warm_up;

const INCH: f64 = 0.0254;

fn floor() -> FloorSection {
    FloorSection {
        spacing: 12.0 * INCH,
        axis_depth: 3.5 * INCH,
        slab: Layer { thickness: 4.0 * INCH, conductivity: 1.4, heat_capacity: 2.07e6 },
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

#[divan::bench]
fn section(bencher: Bencher) {
    bencher.bench(|| SectionResponse::of(black_box(&floor())));
}

#[divan::bench]
fn section_warming_up(bencher: Bencher) {
    bencher.bench(|| warm_up(black_box(&floor())));
}

/// Rectangle of `width` by `height` ft with circuits of 250 ft.
#[divan::bench(args = [(40.0, 28.0), (160.0, 125.0), (500.0, 400.0)])]
fn floor_map(bencher: Bencher, (width, height): (f64, f64)) {
    let (width, height) = (width * 12.0, height * 12.0);
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let region = Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
    let section = SectionResponse::of(&floor()).expect("a section");
    let cell = cell_for(width * height, 12.0);
    let (values, to_plate) = PlateValues::from_section(&section, cell);
    let rim = even_rim(&region, 0.3);
    let mut paths: Vec<Vec<Point>> = vec![Vec::new()];
    let (mut x, mut length, mut is_up) = (6.0, 0.0, true);
    while x < width {
        let ends = if is_up { [6.0, height - 6.0] } else { [height - 6.0, 6.0] };
        if length > 250.0 * 12.0 {
            paths.push(Vec::new());
            length = 0.0;
        }
        if let Some(path) = paths.last_mut() {
            path.extend(ends.map(|y| Point::new(x, y)));
        }
        (x, length, is_up) = (x + 12.0, length + height, !is_up);
    }
    let circuits: Vec<WaterCircuit<'_>> = paths
        .iter()
        .map(|path| WaterCircuit { path, flow: 150.0, supply: 45.0, to_plate })
        .collect();
    let around = Surroundings { room: 20.0, ground: 10.0, outside: -15.0 };
    bencher.bench_local(|| map_floor(black_box(&region), &rim, &circuits, &values, around, cell));
}
