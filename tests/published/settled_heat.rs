//! Heat of whole jobs: the balance between rooms, water and ground, on circuits laid by hand.

use slabloom_core::effort::Cancel;
use slabloom_core::geometry::{Point, Segment};
use slabloom_core::heat::{Heat, work_out_heat};
use slabloom_core::job::Job;
use slabloom_core::job::heating::{Fluid, HeatLoad, Heating, TubeDepth};
use slabloom_core::plan::Plan;
use slabloom_core::tube::{Circuit, RoutedZone, Tube};
use std::sync::Arc;

fn settled(job: &Job, plan: &Plan, tube: &Tube) -> Heat {
    work_out_heat(job, plan, tube, &Cancel::new()).unwrap()
}

/// A shop of 40 by 28 ft with plain passes at 12 in, four circuits.
fn shop(change: impl FnOnce(&mut Heating)) -> (Job, Plan, Tube) {
    let (width, height) = (480.0, 336.0);
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::new(x, y), None)));
    Arc::make_mut(&mut job.heating).design.load = HeatLoad::ByArea(20.0);
    change(Arc::make_mut(&mut job.heating));
    let plan = Plan::of(&job);
    let zone = job.heating.zones[0].id;
    let mut circuits = Vec::new();
    for number in 0..4 {
        let mut points = Vec::new();
        for pass in 0..10 {
            let x = f64::from(number) * 120.0 + 6.0 + 12.0 * f64::from(pass);
            let ends = if pass % 2 == 0 { [6.0, height - 6.0] } else { [height - 6.0, 6.0] };
            points.extend(ends.map(|y| Point::new(x, y)));
        }
        let path: Vec<Segment> = points.windows(2).map(|w| Segment::Line(w[0], w[1])).collect();
        let length = path.iter().map(|s| s.length()).sum();
        circuits.push(Circuit {
            name: format!("M1-{number}"),
            number: number as u32,
            zone,
            path,
            length,
            ..Circuit::default()
        });
    }
    let heated_area = (width - 6.0) * (height - 6.0);
    let zones = vec![RoutedZone {
        id: zone,
        heated_area,
        spacing: 12.0,
        laid_spacing: 12.0,
        ..RoutedZone::default()
    }];
    (job, plan, Tube { circuits, zones, ..Tube::default() })
}

fn share(value: f64, expected: f64, tolerance: f64) {
    assert!((value / expected - 1.0).abs() <= tolerance, "{value} against {expected}");
}

#[test]
fn the_floor_gives_its_load_and_the_water_carries_all_of_it() {
    for depth in [TubeDepth::Bottom, TubeDepth::Middle] {
        let (job, plan, tube) = shop(|heating| heating.tube.depth = depth);
        let heat = settled(&job, &plan, &tube);
        share(heat.load_btuh, 20.0 * 1120.0, 1e-9);
        share(heat.up_btuh, heat.load_btuh, 0.01);
        let water: f64 = heat.circuits.iter().map(|c| c.output_btuh).sum();
        share(water, heat.up_btuh + heat.down_btuh, 0.001);
        let map = heat.floor_map.as_ref().unwrap();
        assert!(map.imbalance.abs() < 1e-3);
        // 10 °F of drop, and the rule of 500.
        share(heat.supply_f - heat.return_f, 10.0, 0.03);
        share(heat.pump_gpm, water / (500.0 * 10.0), 0.02);
        for circuit in &heat.circuits {
            share(
                circuit.flow_gpm * 497.0 * (heat.supply_f - circuit.return_f),
                circuit.output_btuh,
                0.01,
            );
        }
        // 344 ft of half-inch tube carry about 1.1 gpm: 4 to 6 ft a hundred feet.
        assert!(heat.pump_head_ft > 10.0 && heat.pump_head_ft < 25.0, "{}", heat.pump_head_ft);
        assert!(
            heat.surface_max_f > heat.surface_mean_f && heat.surface_mean_f > heat.surface_min_f
        );
        // Room 68 °F and 20 Btu/(h·ft²) over 1.902: 10.5 °F over the room on the mean.
        assert!((heat.surface_mean_f - 78.5).abs() < 0.8, "{}", heat.surface_mean_f);
        share(heat.fluid_gallons, 0.921 * 4.0 * (10.0 * 27.0 + 9.0) / 100.0, 0.01);
    }
}

#[test]
fn the_middle_needs_cooler_water_than_the_bottom_and_glycol_more_flow() {
    let run = |change: fn(&mut Heating)| {
        let (job, plan, tube) = shop(change);
        settled(&job, &plan, &tube)
    };
    let bottom = run(|_| ());
    let middle = run(|heating| heating.tube.depth = TubeDepth::Middle);
    let glycol = run(|heating| heating.fluid = Fluid::PropyleneGlycol(40.0));
    assert!(middle.supply_f < bottom.supply_f - 3.0);
    assert!(glycol.pump_gpm > 1.05 * bottom.pump_gpm && glycol.pump_head_ft > bottom.pump_head_ft);
    // A supply from the source that is too cool leaves the floor short, and says so by its sums.
    let cool = run(|heating| heating.design.supply_f = Some(90.0));
    assert_eq!(cool.supply_f, 90.0);
    assert!(cool.up_btuh < 0.9 * cool.load_btuh);
    // Twice the load needs nearly twice the excess.
    let cold = run(|heating| heating.design.load = HeatLoad::ByArea(40.0));
    share((cold.supply_f - 68.0 - 5.0) / (bottom.supply_f - 68.0 - 5.0), 2.0, 0.08);
}

#[test]
fn footage_marks_correct_the_head() {
    let (mut job, plan, tube) = shop(|_| ());
    let planned = settled(&job, &plan, &tube);
    let zone = tube.circuits[0].zone;
    Arc::make_mut(&mut job.as_laid).circuits.push(slabloom_core::job::as_laid::LaidCircuit {
        zone,
        number: 2,
        start_mark_ft: 1000.0,
        end_mark_ft: 1000.0 - 1.1 * tube.circuits[2].length / 12.0,
    });
    let laid = settled(&job, &plan, &tube);
    share(laid.circuits[2].head_ft / planned.circuits[2].head_ft, 1.1, 0.03);
    share(laid.circuits[1].head_ft, planned.circuits[1].head_ft, 1e-3);
}

#[test]
fn nothing_heated_and_nothing_routed() {
    let (job, plan, tube) = shop(|heating| heating.is_heated = false);
    assert_eq!(settled(&job, &plan, &tube), slabloom_core::heat::Heat::default());
    let (job, plan, _) = shop(|_| ());
    let heat = settled(&job, &plan, &Tube::default());
    assert_eq!((heat.load_btuh, heat.supply_f), (22_400.0, 0.0));
    assert!(heat.floor_map.is_none());
    let same = settled(&job, &plan, &shop(|_| ()).2);
    assert_eq!(same, settled(&job, &plan, &shop(|_| ()).2), "same job, same bits");
}

#[test]
fn work_that_nobody_waits_for_is_given_up() {
    let (job, plan, tube) = shop(|_| ());
    let cancel = Cancel::new();
    cancel.raise();
    assert!(work_out_heat(&job, &plan, &tube, &cancel).is_err());
}

#[test]
fn water_is_up_and_down_and_the_rim_loses_by_its_foam() {
    let (mut job, plan, tube) = shop(|_| ());
    let foamed = settled(&job, &plan, &tube);
    Arc::make_mut(&mut job.edges).edge_foam.thickness = slabloom_core::units::Length::ZERO;
    let bare = settled(&job, &plan, &tube);
    for heat in [&foamed, &bare] {
        share(heat.water_btuh, heat.up_btuh + heat.down_btuh, 0.001);
        share(heat.up_btuh, heat.load_btuh, 0.01);
        assert!(heat.edge_btuh > 0.0 && heat.edge_btuh < heat.down_btuh);
    }
    assert!(bare.edge_btuh > 1.5 * foamed.edge_btuh);
    // ISO 13370 with the slab's own temperature, and the heated factor of the energy code
    // (Washington A106.1), bracket the loss of the insulated floor within a third.
    let ground = slabloom_core::heat::compare::ground_loss(&job, &plan);
    let (low, high) = (
        ground.iso_13370_btuh.min(ground.edge_factor_btuh),
        ground.iso_13370_btuh.max(ground.edge_factor_btuh),
    );
    assert!(foamed.down_btuh > low / 1.33 && foamed.down_btuh < high * 1.33);
}
