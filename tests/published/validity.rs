//! Faults of shapes: each named case found with its place, in every disguise; no fault cried on
//! random sound shapes; and an exact whole-number peer that agrees on random corner lists.

#![expect(clippy::disallowed_methods, reason = "a test may ask its surroundings and the platform")]

use proptest::prelude::*;
use slabloom_core::geometry::repair::{RepairStep, repair};
use slabloom_core::geometry::validity::{RingRole, ShapeFault, faults};
use slabloom_core::geometry::{Point, Ring, polygon};

type Corners = Vec<(Point, Option<Point>)>;

fn corners(points: &[(f64, f64)]) -> Corners {
    points.iter().map(|&(x, y)| (Point::new(x, y), None)).collect()
}

fn of(points: &[(f64, f64)]) -> Vec<ShapeFault> {
    faults(&Ring::from_corners(&corners(points)), &[])
}

fn square(min: f64, max: f64) -> Ring {
    Ring::from_corners(&corners(&[(min, min), (max, min), (max, max), (min, max)]))
}

/// The ring from another first corner, and the other way round.
fn disguises(ring: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
    let mut all = Vec::new();
    for first in 0..ring.len() {
        let mut turned = ring.to_vec();
        turned.rotate_left(first);
        let mut back = turned.clone();
        back.reverse();
        all.extend([turned, back]);
    }
    all
}

#[test]
fn a_bow_tie_names_both_sides_and_the_place() {
    let tie = [(0.0, 0.0), (120.0, 120.0), (120.0, 0.0), (0.0, 180.0)];
    for ring in disguises(&tie) {
        let found = of(&ring);
        assert_eq!(found.len(), 1, "{found:?}");
        let ShapeFault::CrossingSides { first, second, at } = found[0] else { panic!("{found:?}") };
        assert!(at.is_near(Point::new(72.0, 72.0)));
        assert_eq!(first.side.abs_diff(second.side), 2);
        assert!(found[0].to_string().contains("cross, at 6'-0\" east, 6'-0\" north"));
    }
    // One that crosses itself evenly has no area either, and both are told.
    let even = of(&[(0.0, 0.0), (120.0, 120.0), (120.0, 0.0), (0.0, 120.0)]);
    assert!(matches!(even[..], [ShapeFault::TooSmall { .. }, ShapeFault::CrossingSides { .. }]));
}

#[test]
fn a_spike_a_repeated_corner_and_a_side_without_length() {
    for ring in disguises(&[(0.0, 0.0), (240.0, 0.0), (240.0, 240.0), (240.0, 60.0), (0.0, 60.0)]) {
        let found = of(&ring);
        assert!(
            matches!(found[..], [ShapeFault::Spike { at, .. }] if at.is_near(Point::new(240.0, 240.0))),
            "{found:?}"
        );
    }
    let pinched =
        [(0.0, 0.0), (100.0, 0.0), (50.0, 50.0), (100.0, 100.0), (0.0, 100.0), (50.0, 50.0)];
    for ring in disguises(&pinched) {
        let found = of(&ring);
        assert!(
            matches!(found[..], [ShapeFault::RepeatedCorner { at, .. }] if at.is_near(Point::new(50.0, 50.0))),
            "{found:?}"
        );
    }
    let touching = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (50.0, 0.0), (0.0, 100.0)];
    assert!(of(&touching).iter().any(|fault| matches!(fault, ShapeFault::TouchingSides { .. })));
    let doubled = [(0.0, 0.0), (100.0, 0.0), (100.0, 0.005), (100.0, 100.0)];
    for ring in disguises(&doubled) {
        assert!(matches!(of(&ring)[..], [ShapeFault::ZeroLengthSide { .. }]), "{:?}", of(&ring));
    }
    let slip = [(0.0, 0.0), (100.0, 0.0), (100.0, 0.2), (0.0, 100.0)];
    assert!(matches!(of(&slip)[..], [ShapeFault::ShortSide { .. }]));
}

#[test]
fn numbers_that_are_none_and_shapes_too_small() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(matches!(
            of(&[(0.0, 0.0), (bad, 0.0), (50.0, 50.0)])[..],
            [ShapeFault::NotFinite { .. }]
        ));
    }
    assert!(matches!(
        of(&[(0.0, 0.0), (1e300, 0.0), (50.0, 50.0)])[..],
        [ShapeFault::TooFar { .. }]
    ));
    assert!(matches!(of(&[(0.0, 0.0), (50.0, 0.0)])[..], [ShapeFault::TooFewSides { .. }]));
    assert!(matches!(of(&[])[..], [ShapeFault::TooFewSides { .. }]));
    assert!(matches!(
        of(&[(0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.0, 5.0)])[..],
        [ShapeFault::TooSmall { .. }]
    ));
}

#[test]
fn openings_outside_crossing_touching_and_nested() {
    let outline = square(0.0, 200.0);
    assert!(faults(&outline, &[square(20.0, 60.0), square(80.0, 120.0)]).is_empty());
    let found = faults(&outline, &[square(300.0, 340.0)]);
    assert!(matches!(found[..], [ShapeFault::OpeningOutside { opening: 0, .. }]));
    let found = faults(&outline, &[square(180.0, 220.0)]);
    assert_eq!(found.len(), 2);
    assert!(found.iter().all(|fault| matches!(fault, ShapeFault::OpeningCrossesOutline { .. })));
    let found = faults(&outline, &[square(0.0, 40.0)]);
    assert!(!found.is_empty());
    assert!(found.iter().all(|fault| matches!(fault, ShapeFault::OpeningTouchesOutline { .. })));
    let found = faults(&outline, &[square(20.0, 120.0), square(40.0, 60.0)]);
    assert!(matches!(found[..], [ShapeFault::OpeningsOverlap { first: 0, second: 1, .. }]));
    let found = faults(&outline, &[square(20.0, 60.0), square(50.0, 90.0)]);
    assert!(found.iter().all(|fault| matches!(fault, ShapeFault::OpeningsOverlap { .. })));
    let found = faults(&outline, &[square(20.0, 60.0), square(60.0, 90.0)]);
    assert!(matches!(found[..], [ShapeFault::OpeningsTouch { first: 0, second: 1, .. }]));
    let around = faults(&square(50.0, 100.0), &[square(0.0, 200.0)]);
    assert!(matches!(around[..], [ShapeFault::OpeningOutside { .. }]));
    assert_eq!(around[0].rings(), [RingRole::Opening(0)]);
}

#[test]
fn arcs_are_held_exact() {
    // A bay of 5 ft radius on a wall, with a neighbor wall that its bow just clears or just cuts.
    let bay = |wall: f64| {
        Ring::from_corners(&[
            (Point::new(0.0, 0.0), None),
            (Point::new(240.0, 0.0), Some(Point::new(300.0, 60.0))),
            (Point::new(240.0, 120.0), None),
            (Point::new(240.0, 180.0), None),
            (Point::new(wall, 180.0), None),
            (Point::new(wall, -60.0), None),
            (Point::new(wall + 30.0, -60.0), None),
            (Point::new(wall + 30.0, 240.0), None),
            (Point::new(0.0, 240.0), None),
        ])
    };
    assert!(faults(&bay(300.02), &[]).is_empty());
    let touching = faults(&bay(300.005), &[]);
    assert!(matches!(touching[..], [ShapeFault::TouchingSides { .. }]), "{touching:?}");
    let cutting = faults(&bay(299.9), &[]);
    assert_eq!(cutting.len(), 2, "{cutting:?}");
    assert!(cutting.iter().all(|fault| matches!(fault, ShapeFault::CrossingSides { .. })));
    // A circle of two half arcs is a sound ring of two sides.
    let circle = Ring::from_corners(&[
        (Point::new(100.0, 0.0), Some(Point::new(0.0, 100.0))),
        (Point::new(-100.0, 0.0), Some(Point::new(0.0, -100.0))),
    ]);
    assert!(faults(&circle, &[]).is_empty(), "{:?}", faults(&circle, &[]));
    // Rounded corners that leave their walls smoothly are no crossing, also when rounded to 1/1000.
    let r: f64 = 24.0;
    let mid = |x: f64| (x * 1000.0).round() / 1000.0;
    let half = r * std::f64::consts::FRAC_1_SQRT_2;
    let rounded = Ring::from_corners(&[
        (Point::new(0.0, 0.0), None),
        (Point::new(176.0, 0.0), Some(Point::new(mid(176.0 + half), mid(24.0 - half)))),
        (Point::new(200.0, 24.0), None),
        (Point::new(200.0, 200.0), None),
        (Point::new(0.0, 200.0), None),
    ]);
    assert!(faults(&rounded, &[]).is_empty());
}

/// Exact: no two sides of the whole-number ring meet but neighbors at their corner.
fn is_simple(ring: &[(i64, i64)]) -> bool {
    let n = ring.len();
    let turn = |a: (i64, i64), b: (i64, i64), c: (i64, i64)| {
        ((b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)).signum()
    };
    let on = |a: (i64, i64), b: (i64, i64), p: (i64, i64)| {
        turn(a, b, p) == 0
            && p.0 >= a.0.min(b.0)
            && p.0 <= a.0.max(b.0)
            && p.1 >= a.1.min(b.1)
            && p.1 <= a.1.max(b.1)
    };
    for i in 0..n {
        let (a, b) = (ring[i], ring[(i + 1) % n]);
        if a == b {
            return false;
        }
        for j in i + 1..n {
            let (c, d) = (ring[j], ring[(j + 1) % n]);
            if (j + 1) % n == i || (i + 1) % n == j {
                let (tail, shared, head) = if (i + 1) % n == j { (a, b, d) } else { (c, d, b) };
                if on(tail, shared, head) || on(shared, head, tail) {
                    return false;
                }
                continue;
            }
            let proper = turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
            if proper || on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b) {
                return false;
            }
        }
    }
    true
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(super_cases()) })]

    #[test]
    fn an_exact_peer_agrees(ring in prop::collection::vec((0_i64..12, 0_i64..12), 3..9)) {
        let inches: Vec<(f64, f64)> = ring.iter().map(|&(x, y)| (x as f64 * 24.0, y as f64 * 24.0)).collect();
        let found = of(&inches);
        let is_sound = found.is_empty();
        prop_assert_eq!(is_sound, is_simple(&ring), "{:?}", found);
        for disguise in disguises(&inches) {
            prop_assert_eq!(of(&disguise).is_empty(), is_sound);
        }
    }

    #[test]
    fn star_shapes_with_bays_are_sound(
        radii in prop::collection::vec(120.0..600.0_f64, 3..40),
        bows in prop::collection::vec(prop::bool::ANY, 40),
        far in (-50_000.0..50_000.0_f64, -50_000.0..50_000.0_f64),
    ) {
        let n = radii.len() as f64;
        let points: Vec<Point> = radii.iter().enumerate().map(|(k, r)| {
            let (sin, cos) = (k as f64 / n * std::f64::consts::TAU).sin_cos();
            Point::new(far.0 + r * cos, far.1 + r * sin)
        }).collect();
        let center = Point::new(far.0, far.1);
        let corners: Corners = points.iter().enumerate().map(|(k, &at)| {
            let to = points[(k + 1) % points.len()];
            // A shallow bow that stays in its own wedge between the two radii.
            let through = bows[k].then(|| at.middle(to).toward(center, 0.01));
            (at, through)
        }).collect();
        prop_assert_eq!(faults(&Ring::from_corners(&corners), &[]), vec![]);
    }

    #[test]
    fn repair_takes_out_what_was_put_in_and_nothing_twice(
        radii in prop::collection::vec(120.0..600.0_f64, 3..12),
        spoil in prop::collection::vec((0_usize..12, prop::bool::ANY, 0.1..0.9_f64), 0..5),
    ) {
        let n = radii.len() as f64;
        let sound: Corners = radii.iter().enumerate().map(|(k, r)| {
            let (sin, cos) = (k as f64 / n * std::f64::consts::TAU).sin_cos();
            (Point::new(r * cos, r * sin), None)
        }).collect();
        let mut spoiled = sound.clone();
        for &(place, is_spike, share) in &spoil {
            let place = place % spoiled.len();
            let (at, _) = spoiled[place];
            if is_spike {
                let (back, _) = spoiled[(place + spoiled.len() - 1) % spoiled.len()];
                if back.distance(at) < 30.0 { continue; }
                // Out along the side that arrives here and back again.
                let tip = at + (at - back) * share;
                spoiled.splice(place..=place, [(at, None), (tip, None), (at, None)]);
            } else {
                spoiled.insert(place, (at, None));
            }
        }
        let mended = repair(&spoiled);
        let again: Corners = mended.corners.iter().map(|corner| (corner.at, corner.through)).collect();
        prop_assert!(faults(&Ring::from_corners(&again), &[]).is_empty());
        // A spike along a side may leave a corner in that side, but never lose one.
        prop_assert!(sound.iter().all(|corner| again.contains(corner)));
        let area = |corners: &Corners| polygon::signed_area(&corners.iter().map(|corner| corner.0).collect::<Vec<_>>());
        prop_assert!((area(&again) - area(&sound)).abs() < 1e-6 * area(&sound));
        prop_assert!(repair(&again).steps.is_empty());
        prop_assert_eq!(mended.steps.is_empty(), spoiled == sound);
    }
}

/// Cases of each property, more when asked for by `SLABLOOM_CASES`.
fn super_cases() -> u32 {
    std::env::var("SLABLOOM_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(1000)
}

#[test]
fn repair_leaves_what_is_not_safe_alone() {
    let tie = corners(&[(0.0, 0.0), (120.0, 120.0), (120.0, 0.0), (0.0, 180.0)]);
    assert!(repair(&tie).steps.is_empty());
    let line = corners(&[(0.0, 0.0), (10.0, 0.0), (5.0, 0.0), (2.0, 0.0)]);
    assert_eq!(repair(&line).corners.len(), 4);
    let not_a_number = corners(&[(0.0, 0.0), (f64::NAN, 0.0), (5.0, 5.0), (5.0, 5.0)]);
    assert!(repair(&not_a_number).steps.is_empty());
    let flat_bow = vec![
        (Point::new(0.0, 0.0), Some(Point::new(50.0, 0.0))),
        (Point::new(100.0, 0.0), None),
        (Point::new(100.0, 100.0), None),
    ];
    assert!(matches!(repair(&flat_bow).steps[..], [RepairStep::Straightened(_)]));
}
