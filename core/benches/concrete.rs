//! The solid of a house and of a large building.

use divan::{Bencher, black_box};
use slabloom_core::concrete::cast;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::plan::Plan;

/// A building of so many wings of different depths side by side: four corners a wing at most.
fn wings(count: u32) -> Job {
    let mut top = Vec::new();
    for wing in 0..count {
        let (x, depth) = (f64::from(wing) * 9.0, 24.0 + f64::from(wing * 7 % 5) * 5.0);
        top.push((Point::feet(x, depth), None));
        top.push((Point::feet(x + 9.0, depth), None));
    }
    let mut corners =
        vec![(Point::feet(0.0, 0.0), None), (Point::feet(f64::from(count) * 9.0, 0.0), None)];
    corners.extend(top.into_iter().rev());
    Job::from_corners(&corners)
}

#[divan::bench(args = [19, 249])]
fn cast_building(bencher: Bencher, count: u32) {
    let job = wings(count);
    let plan = Plan::of(&job);
    bencher.bench(|| cast(black_box(&job), &plan));
}
