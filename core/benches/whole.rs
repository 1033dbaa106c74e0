//! The whole of `derive`: every stage, from a job to its findings.

use divan::Bencher;
use slabloom_core::derive::{Deriver, derive};
use slabloom_core::edit::{Edit, MoveBy};
use slabloom_core::effort::Cancel;
use slabloom_core::geometry::Point;
use slabloom_core::job::{Job, file};

/// The sample house; an empty job where the sample cannot be read.
fn house() -> Job {
    file::read(include_str!("../../samples/house.ron")).map(|opened| opened.job).unwrap_or_default()
}

/// A plain building of 20,000 square feet.
fn building() -> Job {
    let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)];
    Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)))
}

#[divan::bench(sample_count = 20)]
fn derive_house(bencher: Bencher<'_, '_>) {
    let job = house();
    bencher.bench(|| derive(&job));
}

#[divan::bench(sample_count = 5)]
fn derive_building_20000_ft2(bencher: Bencher<'_, '_>) {
    let job = building();
    bencher.bench(|| derive(&job));
}

/// What a change of a rate costs a deriver that remembers: takeoff, price and findings only.
#[divan::bench(sample_count = 20)]
fn derive_house_again_with_another_margin(bencher: Bencher<'_, '_>) {
    let job = house();
    let mut deriver = Deriver::default();
    let _ = deriver.derive(&job, &Cancel::new(), &mut |_| {});
    let mut prices = (*job.prices).clone();
    bencher.bench_local(|| {
        prices.margin += 0.001;
        let dearer = Edit::SetPrices(prices.clone()).apply(&job).unwrap_or_default();
        deriver.derive(&dearer, &Cancel::new(), &mut |_| {})
    });
}

/// What a moved manifold costs a deriver that remembers: tube, joints, heat and after.
#[divan::bench(sample_count = 10)]
fn derive_house_again_with_the_manifold_moved(bencher: Bencher<'_, '_>) {
    let job = house();
    let mut deriver = Deriver::default();
    let _ = deriver.derive(&job, &Cancel::new(), &mut |_| {});
    let mut step = 0.0;
    bencher.bench_local(|| {
        step = (step + 6.0) % 60.0;
        let id = job.heating.manifolds.first().map(|manifold| manifold.id).unwrap_or_default();
        let moved =
            Edit::Move(id.into(), MoveBy { x: step, y: 0.0 }).apply(&job).unwrap_or_default();
        deriver.derive(&moved, &Cancel::new(), &mut |_| {})
    });
}
