//! The same job gives the same bytes: from run to run, and with other threads at work.

use crate::command::{samples, slabloom};
use slabloom_core::derive::{contract, derive};
use slabloom_core::job::file;

#[test]
fn results_are_the_same_bytes_from_run_to_run_and_thread_to_thread() {
    for sample in samples() {
        let text = std::fs::read_to_string(&sample).unwrap();
        let job = file::read(&text).unwrap().job;
        let first = slabloom(&["results".as_ref(), sample.as_os_str()]).done();
        let in_threads: Vec<String> = std::thread::scope(|scope| {
            let threads: Vec<_> =
                (0..2).map(|_| scope.spawn(|| contract::to_json(&derive(&job)))).collect();
            threads.into_iter().map(|thread| thread.join().unwrap()).collect()
        });
        for derived in in_threads {
            assert_eq!(derived, first, "{}", sample.display());
        }
    }
}
