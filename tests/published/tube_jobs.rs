//! Circuits of whole jobs as read from the results: several zones, manifolds and obstacles.

use slabloom_core::derive::{contract, derive};
use slabloom_core::job::{Job, file};
use std::collections::BTreeMap;

type Place = (f64, f64);

/// The tube of a job as read from the JSON, by whoever never saw the program.
struct Read {
    spacing: f64,
    radius: f64,
    paths: Vec<(String, Vec<Place>)>,
    ports: Vec<(String, Place, Place)>,
    corridors: Vec<Vec<Place>>,
}

fn read(job: &Job) -> Read {
    let json = contract::to_json(&derive(job));
    let document: serde_json::Value = serde_json::from_str(&json).unwrap();
    let tube = &document["tube"];
    let place =
        |value: &serde_json::Value| (value[0].as_f64().unwrap(), value[1].as_f64().unwrap());
    let course = |value: &serde_json::Value| value.as_array().unwrap().iter().map(place).collect();
    let word = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    let manifolds = tube["manifolds"].as_array().unwrap();
    let spacings = tube["zones"].as_array().unwrap().iter();
    let radii = tube["circuits"].as_array().unwrap().iter();
    Read {
        radius: radii
            .filter_map(|circuit| circuit["least_radius_in"].as_f64())
            .fold(99.0, f64::min),
        spacing: spacings.map(|zone| zone["spacing_in"].as_f64().unwrap()).fold(48.0, f64::min),
        paths: tube["circuits"]
            .as_array()
            .unwrap()
            .iter()
            .map(|circuit| (word(&circuit["name"]), course(&circuit["path_in"])))
            .collect(),
        ports: manifolds
            .iter()
            .flat_map(|manifold| manifold["ports"].as_array().unwrap())
            .map(|port| {
                (word(&port["circuit"]), place(&port["supply_in"]), place(&port["return_in"]))
            })
            .collect(),
        corridors: manifolds
            .iter()
            .flat_map(|manifold| manifold["leader_corridor_in"].as_array().unwrap())
            .flat_map(|patch| {
                let mut rings = vec![course(&patch["outline_in"])];
                rings.extend(patch["holes_in"].as_array().unwrap().iter().map(course));
                rings
            })
            .collect(),
    }
}

fn is_within(rings: &[Vec<Place>], (x, y): Place) -> bool {
    let crossed = |ring: &Vec<Place>| {
        let next = ring.iter().skip(1).chain(ring.first());
        ring.iter()
            .zip(next)
            .filter(|((ax, ay), (bx, by))| {
                (*ay > y) != (*by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
            })
            .count()
    };
    rings.iter().map(crossed).sum::<usize>() % 2 == 1
}

/// Points every half inch: where, which circuit, how far along.
fn dots(read: &Read) -> Vec<(Place, usize, f64)> {
    let mut dots = Vec::new();
    for (number, (_, path)) in read.paths.iter().enumerate() {
        let mut along = 0.0;
        for (a, b) in path.iter().zip(&path[1..]) {
            let length = (b.0 - a.0).hypot(b.1 - a.1);
            let parts = (length / 0.5).ceil().max(1.0);
            for part in 0..parts as usize {
                let t = part as f64 / parts;
                let at = (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1));
                dots.push((at, number, along + t * length));
            }
            along += length;
        }
    }
    dots
}

/// Places where two runs lie closer than 0.8 of the spacing though neither is a marked leader,
/// and where leaders lie closer than the ports allow.
fn too_close(read: &Read) -> Vec<(Place, f64)> {
    // A return tighter than the tube bends is a bulb; two of them back to back stand two spacings
    // less two radii apart (project reference, bends, from the geometry of three equal arcs).
    let is_bulb = 2.0 * read.radius > read.spacing;
    let bulbs = if is_bulb { 2.0 * (read.spacing - read.radius) } else { f64::INFINITY };
    let reach = (0.8 * read.spacing).min(bulbs) - 0.3;
    let dots = dots(read);
    let key = |(x, y): Place| ((x / reach).floor() as i64, (y / reach).floor() as i64);
    let mut buckets: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    for (n, dot) in dots.iter().enumerate() {
        buckets.entry(key(dot.0)).or_default().push(n);
    }
    let mut found = Vec::new();
    for (n, &(at, circuit, along)) in dots.iter().enumerate() {
        let (kx, ky) = key(at);
        let near = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (kx + dx, ky + dy)));
        for &m in near.filter_map(|key| buckets.get(&key)).flatten() {
            let (other, other_circuit, other_along) = dots[m];
            let is_same_bend = circuit == other_circuit && (along - other_along).abs() < 36.0;
            let apart = (at.0 - other.0).hypot(at.1 - other.1);
            if m <= n || is_same_bend || apart >= reach {
                continue;
            }
            let is_marked = is_within(&read.corridors, at) && is_within(&read.corridors, other);
            if !is_marked || apart < 1.8 {
                found.push((at, apart));
            }
        }
    }
    found
}

fn assert_well_laid(job: &Job) {
    let read = read(job);
    assert!(!read.paths.is_empty());
    let near = |a: Place, b: Place| (a.0 - b.0).hypot(a.1 - b.1) < 1e-6;
    for (name, path) in &read.paths {
        let own: Vec<_> = read.ports.iter().filter(|port| &port.0 == name).collect();
        assert_eq!(own.len(), 1, "{name} has its two ports");
        assert!(near(path[0], own[0].1) && near(path[path.len() - 1], own[0].2));
    }
    let close = too_close(&read);
    assert!(close.is_empty(), "{} places, the first {:?}", close.len(), close[0]);
}

#[test]
fn runs_of_the_samples_are_close_only_in_the_marked_leader_corridors() {
    for text in [
        include_str!("../../samples/house.ron"),
        include_str!("../../samples/workshop.ron"),
        include_str!("../../samples/studio.ron"),
    ] {
        assert_well_laid(&file::read(text).unwrap().job);
    }
}
