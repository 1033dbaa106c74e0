//! The JSON of the results keeps to its schema, checked by an independent validator of
//! JSON Schema draft 2020-12.

use slabloom_core::derive::{contract, derive};
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;

const SCHEMA: &str = include_str!("../../core/results.schema.json");

/// What of this JSON breaks the schema.
pub fn faults(json: &str) -> Vec<String> {
    let schema: serde_json::Value = serde_json::from_str(SCHEMA).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let document = serde_json::from_str(json).unwrap();
    validator
        .iter_errors(&document)
        .map(|fault| format!("{}: {fault}", fault.instance_path()))
        .collect()
}

fn corners(feet: &[(f64, f64)]) -> Job {
    let corners: Vec<_> = feet.iter().map(|&(x, y)| (Point::feet(x, y), None)).collect();
    Job::from_corners(&corners)
}

fn sample(text: &str) -> Job {
    ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(text)
        .unwrap()
}

#[test]
fn results_keep_to_the_schema() {
    let jobs = [
        Job::default(),
        corners(&[(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (24.0, 28.0), (24.0, 32.0), (0.0, 32.0)]),
        sample(include_str!("../../samples/house.ron")),
        sample(include_str!("../../samples/workshop.ron")),
        sample(include_str!("../../samples/studio.ron")),
        corners(&[(-3.0, 2.0), (30.0, -4.0), (36.0, 20.0), (4.0, 26.0)]),
    ];
    for job in jobs {
        let json = contract::to_json(&derive(&job));
        assert_eq!(faults(&json), Vec::<String>::new());
    }
}

#[test]
fn the_validator_notices_what_does_not_belong() {
    let json = contract::to_json(&derive(&Job::default())).replacen("\"area_ft2\"", "\"area\"", 1);
    assert!(!faults(&json).is_empty());
}
