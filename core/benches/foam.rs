//! Foam boards of a house, a large and a very large floor.

use slabloom_core::concrete::Concrete;
use slabloom_core::effort::Cancel;
use slabloom_core::foam::{Foam, lay_foam};
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::build_up::FoamLayer;
use slabloom_core::plan::Plan;
use std::sync::Arc;

fn slab(corners: &[(f64, f64)]) -> Job {
    let corners: Vec<_> = corners.iter().map(|&(x, y)| (Point::feet(x, y), None)).collect();
    Job::from_corners(&corners)
}

fn lay(bencher: divan::Bencher<'_, '_>, job: &Job) {
    let plan = Plan::of(job);
    bencher.bench(|| -> Foam {
        lay_foam(job, &plan, &Concrete::default(), &Cancel::new()).unwrap_or_default()
    });
}

const HOUSE: [(f64, f64); 7] =
    [(0.0, 0.0), (44.0, 0.0), (44.0, 16.5), (38.0, 22.0), (26.0, 22.0), (26.0, 34.0), (0.0, 34.0)];

#[divan::bench(sample_count = 10)]
fn house(bencher: divan::Bencher<'_, '_>) {
    lay(bencher, &slab(&HOUSE));
}

#[divan::bench(sample_count = 10)]
fn house_in_two_layers(bencher: divan::Bencher<'_, '_>) {
    let mut job = slab(&HOUSE);
    let build_up = Arc::make_mut(&mut job.build_up);
    build_up.foam_layers.push(FoamLayer::default());
    lay(bencher, &job);
}

#[divan::bench(sample_count = 5)]
fn floor_of_20_000_square_feet(bencher: divan::Bencher<'_, '_>) {
    lay(bencher, &slab(&[(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)]));
}

#[divan::bench(sample_count = 3)]
fn floor_of_200_000_square_feet(bencher: divan::Bencher<'_, '_>) {
    lay(bencher, &slab(&[(0.0, 0.0), (500.0, 0.0), (500.0, 400.0), (0.0, 400.0)]));
}
