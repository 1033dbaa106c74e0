//! The sheet set of the house on its way to paper: pages from ready results, and their painting.

use divan::{Bencher, black_box};
use slabloom::editor::sample::sample;
use slabloom::export::pdf::{DocumentFacts, pdf};
use slabloom::export::svg::svg;
use slabloom_core::derive::alternates::priced_alternates;
use slabloom_core::derive::derive;
use slabloom_core::drawing::Page;
use slabloom_core::effort::Cancel;
use slabloom_core::sheets::ready_set;

fn main() {
    divan::main();
}

/// What the window waits for when the set is asked for: results and alternates stand already.
#[divan::bench(sample_count = 20)]
fn house_from_results_to_pdf(bencher: Bencher<'_, '_>) {
    let job = sample();
    let results = derive(&job);
    let alternates = priced_alternates(&job, &results, &Cancel::new()).unwrap_or_default();
    let facts = DocumentFacts::default();
    let bytes = pdf(&ready_set(&job, &results, &alternates, &[]), &facts).len();
    println!("{bytes} bytes");
    bencher.bench(|| pdf(&ready_set(black_box(&job), &results, &alternates, &[]), &facts));
}

#[divan::bench(sample_count = 20)]
fn pages_of_the_house_painted_to_pdf(bencher: Bencher<'_, '_>) {
    let pages = pages();
    let facts = DocumentFacts::default();
    bencher.bench(|| pdf(black_box(&pages), &facts));
}

#[divan::bench(sample_count = 20)]
fn pages_of_the_house_painted_to_svg(bencher: Bencher<'_, '_>) {
    let pages = pages();
    bencher.bench(|| black_box(&pages).iter().map(|page| svg(page).len()).sum::<usize>());
}

fn pages() -> Vec<Page> {
    let job = sample();
    let results = derive(&job);
    ready_set(&job, &results, &[], &[])
}
