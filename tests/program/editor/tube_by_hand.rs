//! Tube changed by hand on the plan: a circuit pinned, turned, let go and drawn; the manifold and
//! a zone's corner dragged; an edge band asked for. The rest is routed anew each time.

use super::desk::{Desk, rectangle};
use egui::{Key, Modifiers};
use slabloom_core::geometry::Point;
use slabloom_core::tube::{Circuit, Tube};
use std::sync::Arc;

fn tube(desk: &mut Desk) -> Tube {
    desk.settle();
    desk.harness.state().state.results.parts.tube.as_ref().clone()
}

fn pinned(tube: &Tube) -> Vec<&Circuit> {
    tube.circuits.iter().filter(|circuit| circuit.is_pinned).collect()
}

/// A place on a circuit half way along it, ft.
fn half_way(circuit: &Circuit) -> (f64, f64) {
    let mut left = circuit.length / 2.0;
    for segment in &circuit.path {
        if left < segment.length() {
            let at = segment.point_at(left / segment.length());
            return (at.x / 12.0, at.y / 12.0);
        }
        left -= segment.length();
    }
    panic!("half of a length lies on it");
}

#[test]
fn a_circuit_is_pinned_turned_and_let_go() {
    let mut desk = Desk::with(rectangle());
    desk.control("Stage Tube");
    let before = tube(&mut desk);
    assert!(before.circuits.len() > 1);
    let (x, y) = half_way(&before.circuits[0]);
    desk.click(x, y);
    desk.control("Pin this circuit");
    let held = tube(&mut desk);
    assert_eq!(pinned(&held).len(), 1);
    let own = pinned(&held)[0].clone();
    let was = &before.circuits[0];
    assert!((own.length - was.length).abs() < 1.0, "{} and {}", own.length, was.length);
    assert!(held.circuits.len() > 1, "the others are routed round it");
    // The manifold moves, and the circuit does not.
    let manifold = desk.job().heating.manifolds[0].at;
    desk.drag((manifold.x / 12.0, manifold.y / 12.0), (manifold.x / 12.0 + 5.0, 0.5));
    let moved = desk.job().heating.manifolds[0].at;
    assert!((moved.x - manifold.x).abs() > 36.0, "{moved:?}");
    let after = tube(&mut desk);
    assert_eq!(pinned(&after)[0].path, own.path);
    desk.click(x, y);
    desk.control("Reverse its water");
    let turned = tube(&mut desk);
    let ends = |circuit: &Circuit| {
        (circuit.path.first().unwrap().start(), circuit.path.last().unwrap().end())
    };
    let (start, end) = ends(&own);
    let (new_start, new_end) = ends(pinned(&turned)[0]);
    assert!(new_start.distance(end) < 0.01 && new_end.distance(start) < 0.01);
    desk.click(x, y);
    desk.control("Release this circuit");
    assert!(pinned(&tube(&mut desk)).is_empty());
    desk.undo();
    assert_eq!(desk.job().heating.pinned.len(), 1);
}

#[test]
fn a_circuit_is_drawn_by_hand_on_whole_spacings() {
    let mut desk = Desk::with(rectangle());
    desk.control("Stage Tube");
    let spacing = desk.job().heating.zones[0].spacing.to_inches();
    desk.control("Circuit");
    // Out along the west wall and back beside it; the far corners are pointed at roughly.
    desk.click(4.0, 1.0);
    desk.click(4.1, 20.3);
    desk.click(5.2, 20.1);
    desk.click(5.1, 1.2);
    desk.press(Modifiers::NONE, Key::Enter);
    let drawn = desk.job().heating.pinned.clone();
    assert_eq!(drawn.len(), 1, "{:?}", desk.job().heating.pinned);
    for leg in drawn[0].path.windows(2) {
        let step = leg[1] - leg[0];
        let is_square = step.x.abs() < 1e-6 || step.y.abs() < 1e-6;
        let count = step.length() / spacing;
        assert!(is_square && (count - count.round()).abs() < 1e-6, "{step:?}");
    }
    let laid = tube(&mut desk);
    assert_eq!(pinned(&laid).len(), 1);
    let others: Vec<&Circuit> = laid.circuits.iter().filter(|c| !c.is_pinned).collect();
    assert!(!others.is_empty());
    let own = pinned(&laid)[0].points(0.1);
    let is_near = |at: &Point| own.iter().any(|other| other.distance(*at) < 0.7 * spacing);
    assert!(others.iter().all(|circuit| !circuit.points(0.1).iter().any(is_near)));
    desk.save();
    assert_eq!(desk.saved().heating.pinned, drawn);
}

#[test]
fn the_corner_of_a_zone_is_dragged_and_its_tube_follows() {
    use slabloom_core::job::heating::Zone;
    use slabloom_core::units::Length;
    let mut job = rectangle();
    let id = job.ids.fresh();
    let corners = slabloom_core::geometry::Polygon::rectangle(
        Point::feet(20.0, 0.0),
        Point::feet(job.outline.ring().bounds().unwrap().max.x / 12.0, 30.0),
    )
    .outer;
    let zone = Zone { id, corners, spacing: Length::inches(9.0), ..Zone::default() };
    Arc::make_mut(&mut job.heating).zones.push(zone);
    let mut desk = Desk::with(job);
    desk.control("Stage Tube");
    let area = |tube: &Tube| tube.zones.iter().find(|zone| zone.id == id).unwrap().heated_area;
    let before = area(&tube(&mut desk));
    // Chosen by its boundary, then a corner is taken.
    desk.click(20.0, 8.0);
    desk.drag((20.0, 0.0), (16.0, 0.0));
    let corners = desk.job().heating.zones.iter().find(|z| z.id == id).unwrap().corners.clone();
    assert!(corners.iter().any(|at| (at.x - 192.0).abs() < 7.0), "{corners:?}");
    assert!(area(&tube(&mut desk)) > before + 500.0);
}

#[test]
fn the_line_between_two_zones_is_dragged_for_both() {
    use slabloom_core::job::heating::Zone;
    let mut job = rectangle();
    let ids = [job.ids.fresh(), job.ids.fresh()];
    let sides = [(0.0, 22.0), (22.0, 40.0)];
    let zones = ids.iter().zip(sides).map(|(&id, (west, east))| {
        let (low, high) = (Point::feet(west, 0.0), Point::feet(east, 28.0));
        let corners = slabloom_core::geometry::Polygon::rectangle(low, high).outer;
        Zone { id, corners, ..Zone::default() }
    });
    Arc::make_mut(&mut job.heating).zones = zones.collect();
    let mut desk = Desk::with(job);
    desk.control("Stage Tube");
    desk.settle();
    desk.click(22.0, 8.0);
    desk.drag((22.0, 28.0), (18.0, 28.0));
    let zones = desk.job().heating.zones.clone();
    let moved = |zone: &Zone| zone.corners.iter().any(|at| (at.x - 216.0).abs() < 7.0);
    assert!(zones.iter().all(moved), "{zones:?}");
    let area = |zone: &Zone| slabloom_core::geometry::polygon::signed_area(&zone.corners).abs();
    let both: f64 = zones.iter().map(area).sum();
    assert!((both - 40.0 * 28.0 * 144.0).abs() < 1.0, "no floor is lost between them");
}

#[test]
fn an_edge_band_is_asked_for_in_the_panel() {
    let mut desk = Desk::with(rectangle());
    desk.control("Stage Tube");
    desk.settle();
    desk.control("Closer along outside walls");
    let band = desk.job().heating.zones[0].edge_band.expect("a band");
    assert_eq!((band.width.to_inches(), band.spacing.to_inches()), (24.0, 6.0));
    let laid = tube(&mut desk);
    assert!(laid.circuits.iter().any(|circuit| circuit.is_edge_band));
    desk.control("Closer along outside walls");
    assert_eq!(desk.job().heating.zones[0].edge_band, None);
}
