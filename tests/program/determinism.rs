//! The same job gives the same bytes: from run to run, and with other threads at work.

use crate::command::{samples, slabloom};
use slabloom_core::derive::alternates::priced_alternates;
use slabloom_core::derive::{contract, derive};
use slabloom_core::effort::Cancel;
use slabloom_core::job::{Job, file};

/// What the `results` verb writes: what follows from the job, beside its priced alternates.
fn written(job: &Job) -> String {
    let results = derive(job);
    let alternates = priced_alternates(job, &results, &Cancel::new()).unwrap();
    contract::to_json_with(&results, &alternates)
}

#[test]
fn results_are_the_same_bytes_from_run_to_run_and_thread_to_thread() {
    for sample in samples() {
        let text = std::fs::read_to_string(&sample).unwrap();
        let job = file::read(&text).unwrap().job;
        let first = slabloom(&["results".as_ref(), sample.as_os_str()]).done();
        let in_threads: Vec<String> = std::thread::scope(|scope| {
            let threads: Vec<_> = (0..2).map(|_| scope.spawn(|| written(&job))).collect();
            threads.into_iter().map(|thread| thread.join().unwrap()).collect()
        });
        for derived in in_threads {
            assert!(derived == first, "{}", sample.display());
        }
    }
}
