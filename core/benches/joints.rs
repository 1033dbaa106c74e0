//! Contraction joints of a house, of 20,000 and of 200,000 square feet.

use divan::{Bencher, black_box};
use slabloom_core::concrete::Concrete;
use slabloom_core::effort::Cancel;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::joints::{decide_moving_joints, lay_out_joints};
use slabloom_core::plan::Plan;

/// An L-shaped building of this many square feet, or a U-shaped house for the smallest.
fn building(area_ft2: u32) -> Job {
    let corners: &[(f64, f64)] = match area_ft2 {
        200_000 => &[(0., 0.), (500., 0.), (500., 300.), (340., 300.), (340., 480.), (0., 480.)],
        20_000 => &[(0., 0.), (180., 0.), (180., 80.), (110., 80.), (110., 130.), (0., 130.)],
        _ => &[
            (0., 0.),
            (44., 0.),
            (44., 34.),
            (30., 34.),
            (30., 14.),
            (14., 14.),
            (14., 34.),
            (0., 34.),
        ],
    };
    let corners: Vec<_> = corners.iter().map(|&(x, y)| (Point::feet(x, y), None)).collect();
    Job::from_corners(&corners)
}

#[divan::bench(args = [1_176, 20_000, 200_000], sample_count = 10)]
fn lay_out_contraction_joints(bencher: Bencher, area_ft2: u32) {
    let job = building(area_ft2);
    let plan = Plan::of(&job);
    let moving = decide_moving_joints(&job, &plan);
    bencher.bench(|| {
        lay_out_joints(black_box(&job), &plan, &Concrete::default(), &moving, &Cancel::new())
    });
}
