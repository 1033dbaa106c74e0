//! Jobs of every schema version open for ever and lead to results.

use crate::command::{root, slabloom};

#[test]
fn jobs_of_every_version_give_results() {
    let mut seen = 0;
    for entry in std::fs::read_dir(root().join("tests/old_jobs")).expect("old jobs are kept") {
        let path = entry.expect("they can be listed").path();
        let results = slabloom(&["results".as_ref(), path.as_os_str()]).done();
        assert!(results.contains("\"area_ft2\""), "{}", path.display());
        seen += 1;
    }
    assert_eq!(seen, slabloom_core::job::SCHEMA, "one file for each version");
}
