//! Truck lines and subgrade of the house, its alternates, and its sheet set as pages: from ready
//! results and alternates, since those are derived once and not by the sheets.

use divan::{Bencher, black_box};
use slabloom_core::derive::alternates::priced_alternates;
use slabloom_core::derive::derive;
use slabloom_core::effort::Cancel;
use slabloom_core::job::{Job, file};
use slabloom_core::pour::{plan_pour, survey_subgrade};
use slabloom_core::sheets::ready_set;

/// The sample house; an empty job where the sample cannot be read.
fn house() -> Job {
    file::read(include_str!("../../samples/house.ron")).map(|opened| opened.job).unwrap_or_default()
}

#[divan::bench(sample_count = 20)]
fn subgrade_and_truck_lines_of_the_house(bencher: Bencher<'_, '_>) {
    let job = house();
    let parts = derive(&job).parts;
    bencher.bench(|| {
        let survey = survey_subgrade(black_box(&job), &parts.plan);
        plan_pour(&job, &parts.plan, &parts.concrete, &survey)
    });
}

#[divan::bench(sample_count = 5)]
fn alternates_of_the_house(bencher: Bencher<'_, '_>) {
    let job = house();
    let results = derive(&job);
    bencher.bench(|| priced_alternates(black_box(&job), &results, &Cancel::new()));
}

#[divan::bench(sample_count = 5)]
fn sheet_set_of_the_house(bencher: Bencher<'_, '_>) {
    let job = house();
    let results = derive(&job);
    let alternates = priced_alternates(&job, &results, &Cancel::new()).unwrap_or_default();
    bencher.bench(|| ready_set(black_box(&job), &results, &alternates, &[]));
}
