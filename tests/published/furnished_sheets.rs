//! Sheets of random jobs that have nearly everything a job can have: strips, pads, recesses, doors
//! and frost walls, foam in layers and under edges, every kind of steel and of joint, two
//! manifolds, a band along the walls, a code row, a scale by hand, alternates, a site record. No
//! text stands on another, none leaves the page, and their results keep to the schema.

use crate::contract::faults;
use crate::sheets::{Dice, cases, job};
use slabloom_core::derive::{contract, derive};
use slabloom_core::drawing::Page;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::as_laid::{LaidCircuit, PressureTest};
use slabloom_core::job::build_up::{FloorSteel, FoamLayer, InsulationCode};
use slabloom_core::job::edges::{EdgeFoam, EdgeFoamPlace, EdgeProfile, ThickenedEdge, Threshold};
use slabloom_core::job::heating::{EdgeBand, KeepOut, KeepOutReason, Manifold, TubeDepth};
use slabloom_core::job::joints::{DrawnJoint, DrawnKind};
use slabloom_core::job::openings::Footprint;
use slabloom_core::job::prices::{Alternate, BidVersion, Rate};
use slabloom_core::job::sheet_set::PlanScale;
use slabloom_core::job::thickenings::{Pad, Recess, ThickenedStrip};
use slabloom_core::sheets;
use slabloom_core::units::{Cents, Length};
use std::sync::Arc;

const NAMES: [&str; 4] = ["", "Bearing wall", "Post", "Pad under the stair and its landing"];

fn furnish(job: &mut Job, dice: &mut Dice) {
    let corners: Vec<Point> = job.outline.sides.iter().map(|side| side.start).collect();
    let (a, b, c) = (corners[0], corners[1], corners[corners.len() - 1]);
    // A place by shares of the two sides at the first corner: inside for small shares.
    let at = |s: f64, t: f64| {
        Point::new(a.x + (b.x - a.x) * s + (c.x - a.x) * t, a.y + (b.y - a.y) * s + (c.y - a.y) * t)
    };
    thicken(job, dice, &at);
    edge(job, dice);
    build_up(job, dice);
    let kinds = [DrawnKind::Construction, DrawnKind::Isolation, DrawnKind::Contraction];
    for _ in 0..dice.below(3) {
        let share = dice.between(0.2, 0.8);
        let (from, to) = if dice.below(2) == 0 {
            (at(share, -0.1), at(share, 1.1))
        } else {
            (at(-0.1, share), at(1.1, share))
        };
        let (id, kind) = (job.ids.fresh(), kinds[dice.below(3) as usize]);
        Arc::make_mut(&mut job.joints).drawn.push(DrawnJoint { id, kind, from, to });
    }
    Arc::make_mut(&mut job.joints).offsets_keep_off = Length::inches(dice.between(-20.0, 40.0));
    if dice.below(3) == 0 {
        let manifold = Manifold {
            id: job.ids.fresh(),
            name: "M2".to_owned(),
            at: at(0.05, 0.4),
            along_degrees: (dice.below(2) == 0).then(|| dice.between(0.0, 360.0)),
            ..Manifold::default()
        };
        Arc::make_mut(&mut job.heating).manifolds.push(manifold);
    }
    let depths = [TubeDepth::Bottom, TubeDepth::Middle, TubeDepth::Top];
    Arc::make_mut(&mut job.heating).tube.depth = depths[dice.below(3) as usize];
    Arc::make_mut(&mut job.facts).is_checked = dice.below(2) == 0;
    if dice.below(6) == 0 {
        let scales = [24.0, 48.0, 96.0, 192.0];
        Arc::make_mut(&mut job.sheet_set).scale = Some(PlanScale(scales[dice.below(4) as usize]));
    }
    heat(job, dice, &at);
    price(job, dice);
    record(job, dice);
}

/// A closer band along the walls, and a cabinet that no tube goes under.
fn heat(job: &mut Job, dice: &mut Dice, at: &dyn Fn(f64, f64) -> Point) {
    let has_cabinet = dice.below(2) == 0;
    let id = job.ids.fresh();
    let heating = Arc::make_mut(&mut job.heating);
    if dice.below(2) == 0 {
        let band = EdgeBand {
            width: Length::inches(dice.sixteenths(18.0, 36.0)),
            spacing: Length::inches([6.0, 8.0][dice.below(2) as usize]),
        };
        heating.zones.iter_mut().for_each(|zone| zone.edge_band = Some(band));
    }
    if has_cabinet {
        let corners = vec![at(0.3, 0.3), at(0.42, 0.3), at(0.42, 0.36), at(0.3, 0.36)];
        let name = "Kitchen cabinets".to_owned();
        heating.keep_outs.push(KeepOut { id, name, corners, reason: KeepOutReason::default() });
    }
}

/// Rates, two alternates and two earlier bids.
fn price(job: &mut Job, dice: &mut Dice) {
    let prices = Arc::make_mut(&mut job.prices);
    for item in [
        "concrete.order",
        "foam.boards-1",
        "tube.length",
        "forms.length",
        "saw.length",
        "slab.area",
    ] {
        let rate = Cents(dice.below(20_000) as i64);
        prices.rates.push(Rate { item: item.to_owned(), rate });
    }
    prices.alternates.push(Alternate {
        name: "Two inches more foam".to_owned(),
        foam_thickness: Some(Length::inches(4.0)),
        ..Alternate::default()
    });
    prices.alternates.push(Alternate {
        name: "Fibre".to_owned(),
        fibre_instead_of_steel: Some(1.5),
        ..Alternate::default()
    });
    for note in ["", "Without the apron, which the neighbour pours on another day"] {
        prices.versions.push(BidVersion {
            date: "2026-05-04".to_owned(),
            note: note.to_owned(),
            total: Cents(dice.below(9_000_000) as i64),
        });
    }
}

/// Footage marks of the first circuits, one of them with tube from the end of the coil, and two
/// pressure tests.
fn record(job: &mut Job, dice: &mut Dice) {
    let zone = job.heating.zones.first().map(|zone| zone.id);
    let record = Arc::make_mut(&mut job.as_laid);
    for (number, zone) in (0..dice.below(3)).zip(zone.into_iter().cycle()) {
        let (from, to) = (dice.between(0.0, 900.0), dice.between(0.0, 900.0));
        let number = u32::try_from(number).unwrap();
        record.circuits.push(LaidCircuit { zone, number, start_mark_ft: from, end_mark_ft: to });
    }
    for when in ["before the pour", "after the pour"] {
        let start_psi = dice.between(50.0, 100.0);
        record.tests.push(PressureTest {
            when: when.to_owned(),
            start_psi,
            end_psi: start_psi - dice.between(0.0, 3.0),
            hours: dice.between(0.5, 24.0),
            air_f: dice.between(20.0, 70.0),
            by: "the heating installer".to_owned(),
        });
    }
}

fn thicken(job: &mut Job, dice: &mut Dice, at: &dyn Fn(f64, f64) -> Point) {
    for _ in 0..dice.below(3) {
        let (share, far) = (dice.between(0.1, 0.45), dice.between(0.2, 0.5));
        let line = if dice.below(2) == 0 {
            vec![at(share, 0.0), at(share, far)]
        } else {
            vec![at(0.0, share), at(far, share), at(far, 0.1)]
        };
        let strip = ThickenedStrip {
            id: job.ids.fresh(),
            name: NAMES[dice.below(4) as usize].to_owned(),
            line,
            flat_width: Length::inches(dice.sixteenths(8.0, 20.0)),
            total_depth: Length::inches(dice.sixteenths(8.0, 16.0)),
            haunch_run: Length::inches(dice.sixteenths(0.0, 8.0)),
        };
        Arc::make_mut(&mut job.thickenings).strips.push(strip);
    }
    for _ in 0..dice.below(3) {
        let size = Length::inches(dice.sixteenths(12.0, 40.0));
        let shape = if dice.below(2) == 0 {
            Footprint::Round { diameter: size }
        } else {
            Footprint::Rectangle { length: size, width: Length::inches(20.0), turn_degrees: 0.0 }
        };
        let pad = Pad {
            id: job.ids.fresh(),
            name: NAMES[dice.below(4) as usize].to_owned(),
            at: at(dice.between(0.1, 0.4), dice.between(0.1, 0.4)),
            shape,
            total_depth: Length::inches(dice.sixteenths(8.0, 18.0)),
            haunch_run: Length::inches(dice.sixteenths(0.0, 6.0)),
        };
        Arc::make_mut(&mut job.thickenings).pads.push(pad);
    }
    if dice.below(4) == 0 {
        let (s, t) = (dice.between(0.1, 0.3), dice.between(0.1, 0.3));
        let recess = Recess {
            id: job.ids.fresh(),
            name: "Shower".to_owned(),
            corners: vec![at(s, t), at(s + 0.12, t), at(s + 0.12, t + 0.12), at(s, t + 0.12)],
            lowered_by: Length::inches(1.5),
            side_run: Length::ZERO,
            keeps_thickness: dice.below(2) == 0,
        };
        Arc::make_mut(&mut job.thickenings).recesses.push(recess);
    }
}

fn profile(dice: &mut Dice) -> EdgeProfile {
    let thickened = ThickenedEdge {
        total_depth: Length::inches(dice.sixteenths(8.0, 24.0)),
        flat_width: Length::inches(dice.sixteenths(6.0, 16.0)),
        haunch_run: Length::inches(dice.sixteenths(0.0, 10.0)),
    };
    match dice.below(4) {
        0 => EdgeProfile::Plain,
        1 => EdgeProfile::Thickened(thickened),
        2 => EdgeProfile::FrostWall,
        _ => EdgeProfile::Threshold(Threshold {
            thickened: (dice.below(2) == 0).then_some(thickened),
            ..Threshold::default()
        }),
    }
}

fn edge(job: &mut Job, dice: &mut Dice) {
    let sides: Vec<_> = job.outline.sides.iter().map(|side| side.id).collect();
    let openings: Vec<_> = job.openings.openings.iter().map(|opening| opening.id).collect();
    let edges = Arc::make_mut(&mut job.edges);
    edges.usual = profile(dice);
    for side in sides {
        if dice.below(3) == 0 {
            edges.by_side.insert(side, profile(dice));
        }
    }
    for opening in openings {
        edges.by_opening.insert(opening, EdgeProfile::Thickened(ThickenedEdge::default()));
    }
    let places = [EdgeFoamPlace::InsideForm, EdgeFoamPlace::OutsideForm];
    edges.edge_foam = EdgeFoam {
        thickness: Length::inches([0.0, 1.0, 2.0][dice.below(3) as usize]),
        place: places[dice.below(2) as usize],
        ..EdgeFoam::default()
    };
}

fn build_up(job: &mut Job, dice: &mut Dice) {
    let steels = [
        FloorSteel::None,
        FloorSteel::Bars { size: 4, spacing: Length::inches(18.0) },
        FloorSteel::MeshRolls {
            wire: 1.4,
            width: Length::feet(5.0),
            length: Length::feet(150.0),
            lap: Length::inches(6.0),
        },
    ];
    let codes = InsulationCode::shipped();
    let build = Arc::make_mut(&mut job.build_up);
    let layers = 1 + dice.below(2) as usize;
    build.foam_layers = vec![
        FoamLayer {
            thickness: Length::inches([1.0, 1.5, 2.0, 3.0][dice.below(4) as usize]),
            goes_under_edges: dice.below(2) == 0,
            ..FoamLayer::default()
        };
        layers
    ];
    build.foam_cutting.boards_in_bundle = [0, 12][dice.below(2) as usize];
    build.floor_thickness = Length::inches([3.5, 4.0, 5.0, 6.0, 8.0][dice.below(5) as usize]);
    build.insulation_code = codes.get(dice.below(8) as usize).cloned();
    build.steel.floor = steels[dice.below(3) as usize];
    build.steel.fibre_lb_per_yd3 = [0.0, 1.5][dice.below(2) as usize];
    build.wheel_load_lb = dice.between(0.0, 9000.0);
}

#[test]
fn sheets_of_furnished_jobs_have_no_text_on_another() {
    let (mut sheets, mut texts) = (0, 0);
    for seed in 0..cases(8) {
        let mut job = job(seed + 500);
        furnish(&mut job, &mut Dice(seed ^ 0x5a5a_0000));
        let results = derive(&job);
        assert!(!results.parts.plan.is_empty(), "job {seed} has a slab");
        assert_eq!(faults(&contract::to_json(&results)), Vec::<String>::new(), "job {seed}");
        let pages = sheets::sheet_set(&job, &results);
        sheets += pages.len();
        texts += pages.iter().flat_map(Page::texts).count();
        for page in &pages {
            assert_eq!(page.faults(), [], "job {seed}, {} {}", page.number, page.title);
        }
        let sections = pages.iter().any(|page| page.title.starts_with("Sections"));
        assert!(sections, "job {seed} has sections");
    }
    println!("{sheets} sheets, {texts} texts");
}
