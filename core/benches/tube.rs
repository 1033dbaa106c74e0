//! Tube: a house, buildings with as many manifolds as their circuits need, a manifold dragged.

use divan::{Bencher, black_box};
use slabloom_core::concrete::Concrete;
use slabloom_core::effort::Cancel;
use slabloom_core::geometry::{Point, Polygon};
use slabloom_core::job::Job;
use slabloom_core::job::heating::{Manifold, Zone};
use slabloom_core::joints::MovingJoints;
use slabloom_core::plan::Plan;
use slabloom_core::tube::{Tube, route_circuits};
use std::sync::Arc;

/// A plain building in zones of `across` by `along`, a manifold in the middle of the south side
/// of each.
fn building((width, depth): (f64, f64), (across, along): (u32, u32)) -> Job {
    let corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)];
    let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
    if across * along == 1 {
        return job;
    }
    let (w, d) = (width / f64::from(across), depth / f64::from(along));
    let (mut zones, mut manifolds) = (Vec::new(), Vec::new());
    for column in 0..across {
        for row in 0..along {
            let (x, y) = (f64::from(column) * w, f64::from(row) * d);
            let manifold = Manifold {
                id: job.ids.fresh(),
                name: format!("M{}", manifolds.len() + 1),
                at: Point::feet(x + w / 2.0, y + 1.0),
                along_degrees: Some(0.0),
                ..Manifold::default()
            };
            let corners = Polygon::rectangle(Point::feet(x, y), Point::feet(x + w, y + d)).outer;
            let (id, own) = (job.ids.fresh(), Some(manifold.id));
            zones.push(Zone { id, corners, manifold: own, ..Zone::default() });
            manifolds.push(manifold);
        }
    }
    let heating = Arc::make_mut(&mut job.heating);
    (heating.zones, heating.manifolds) = (zones, manifolds);
    job
}

fn route(job: &Job) -> Option<Tube> {
    let plan = Plan::of(job);
    route_circuits(job, &plan, &Concrete::default(), &MovingJoints::default(), &Cancel::new()).ok()
}

#[divan::bench(sample_count = 20)]
fn route_house(bencher: Bencher<'_, '_>) {
    let job = building((40.0, 28.0), (1, 1));
    bencher.bench(|| route(black_box(&job)));
}

/// 20,000 square feet on eight manifolds, about 72 circuits.
#[divan::bench(sample_count = 5)]
fn route_20000_ft2(bencher: Bencher<'_, '_>) {
    let job = building((200.0, 100.0), (4, 2));
    bencher.bench(|| route(black_box(&job)));
}

/// 200,000 square feet on eighty manifolds.
#[divan::bench(sample_count = 1)]
fn route_200000_ft2(bencher: Bencher<'_, '_>) {
    let job = building((500.0, 400.0), (10, 8));
    bencher.bench(|| route(black_box(&job)));
}

/// The manifold of a house a foot further along its wall each time.
#[divan::bench(sample_count = 20)]
fn route_house_while_the_manifold_is_dragged(bencher: Bencher<'_, '_>) {
    let mut job = building((40.0, 28.0), (1, 1));
    let mut step = 0.0;
    bencher.bench_local(move || {
        step = (step + 1.0) % 30.0;
        if let Some(manifold) = Arc::make_mut(&mut job.heating).manifolds.first_mut() {
            manifold.at = Point::feet(5.0 + step, 1.0);
        }
        route(black_box(&job))
    });
}
