//! A pour day played through by edits, and bids whose alternates differ by what changed.

use crate::independent::random_slabs::{Dice, cases, full_slab};
use slabloom_core::derive::alternates::{derive_alternates, priced_alternates, with_choices};
use slabloom_core::derive::{Results, contract, derive};
use slabloom_core::drawing::Page;
use slabloom_core::edit::{Edit, Item};
use slabloom_core::effort::Cancel;
use slabloom_core::job::Job;
use slabloom_core::job::file;
use slabloom_core::job::ids::ShotId;
use slabloom_core::job::pour::{LoadSplit, Ticket};
use slabloom_core::job::prices::{Alternate, Rate};
use slabloom_core::job::subgrade::Shot;
use slabloom_core::pour::propose_shots;
use slabloom_core::price::with_version;
use slabloom_core::sheets;
use slabloom_core::units::{Cents, Length};
use std::sync::Arc;

pub fn samples() -> [Job; 3] {
    [
        include_str!("../../samples/house.ron"),
        include_str!("../../samples/studio.ron"),
        include_str!("../../samples/workshop.ron"),
    ]
    .map(|text| file::read(text).expect("a sample is read").job)
}

fn titles(pages: &[Page]) -> Vec<&str> {
    pages.iter().map(|page| page.title.as_str()).collect()
}

fn said(pages: &[Page], title: &str) -> String {
    let of_title = pages.iter().filter(|page| page.title.starts_with(title));
    let texts: Vec<&str> =
        of_title.flat_map(Page::texts).map(|text| text.content.as_str()).collect();
    texts.join("\n")
}

/// Shots in, call-back, corrected shots, order, evened loads, tickets, record: on every sample.
#[test]
fn a_whole_day_on_every_sample() {
    for job in samples() {
        let name = job.facts.title.clone();
        // Alternates have a test of their own and would be derived for every sheet set here.
        let mut prices = (*job.prices).clone();
        prices.alternates.clear();
        let job = Edit::SetPrices(prices).apply(&job).unwrap();
        // The excavator's ground: shot on a grid, two inches low in one corner of it.
        let first = derive(&job);
        let places = propose_shots(&first.parts.plan, 120.0);
        assert!(places.len() >= 6, "{name}");
        let mut subgrade = (*job.subgrade).clone();
        subgrade.shots.clear();
        let mut job = Edit::SetSubgrade(subgrade.clone()).apply(&job).unwrap();
        for (number, at) in (1_u32..).zip(&places) {
            let low = if at.distance(places[0]) < 100.0 { 2.0 } else { 0.0 };
            let shot = Shot {
                id: ShotId::default(),
                name: number.to_string(),
                at: *at,
                height: subgrade.target_height - Length::inches(low),
                note: String::new(),
            };
            job = Edit::Put(Item::Shot(shot)).apply(&job).unwrap();
        }
        let rough = derive(&job);
        assert!(!rough.parts.subgrade.out_of_tolerance.is_empty(), "{name}");
        assert!(rough.findings.iter().any(|finding| finding.rule == "pour.rough-subgrade"));
        let pages = sheets::sheet_set(&job, &rough);
        assert!(said(&pages, "Excavator call-back").contains("fill 2\""), "{name}");
        assert!(rough.parts.subgrade.extra_concrete > 0.0);
        assert!(rough.parts.pour.order_yd3 >= rough.parts.pour.net_yd3);

        // Filled and shot again: all at grade, the call-back is gone and the order is less.
        let mut mended = (*job.subgrade).clone();
        for shot in &mut mended.shots {
            shot.height = mended.target_height;
        }
        let mut job = Edit::SetSubgrade(mended).apply(&job).unwrap();
        let level = derive(&job);
        let pages = sheets::sheet_set(&job, &level);
        assert!(!titles(&pages).contains(&"Excavator call-back"), "{name}");
        assert!(level.parts.pour.allowance_yd3 < rough.parts.pour.allowance_yd3, "{name}");

        // The plant evens the loads out; each truck brings what its ticket says.
        let mut pour = (*job.pour).clone();
        pour.load_split = LoadSplit::Even;
        job = Edit::SetPour(pour).apply(&job).unwrap();
        job = first_tickets(&name, job);
        let done = derive(&job);
        let pages = sheets::sheet_set(&job, &done);
        let record = said(&pages, "Record");
        for ticket in &job.pour.tickets {
            assert!(record.contains(&ticket.number), "{name}: {record}");
        }
        assert!(record.contains("Ground as shot") && record.contains("Pressure"), "{name}");
        assert!(said(&pages, "Order list").contains("on site by 2026-"), "{name}");
        for page in &pages {
            assert_eq!(page.faults(), [], "{name} {}", page.title);
        }
    }
}

/// All but the last load come and reach exactly their lines: what is still to order is the last
/// load, or a step more where the rounding up was used.
fn first_tickets(name: &str, job: Job) -> Job {
    let planned = derive(&job);
    let loads = planned.parts.pour.loads_yd3.clone();
    let mut pour = (*job.pour).clone();
    for (number, load) in loads.iter().enumerate().take(loads.len() - 1) {
        let line = &planned.parts.pour.truck_lines[number].line[0];
        pour.tickets.push(Ticket {
            number: format!("T-{}", number + 1),
            yards: *load,
            reached: Some(line[0].toward(line[1], 0.5)),
            batched_minutes: Some(420.0 + 30.0 * number as f64),
        });
    }
    let job = Edit::SetPour(pour).apply(&job).unwrap();
    let left = derive(&job).parts.pour.still_to_order_yd3;
    let last = loads.last().copied().unwrap_or_default();
    // Measured at the line, the slab took its plan volume: the allowance is not needed again.
    let left = left.expect("tickets say what is left");
    assert!(
        left > 0.0 && left <= last + job.pour.order_step_yd3 + 1e-9,
        "{name}: {left} of {last}"
    );
    job
}

/// Everything of the results but the price and findings, as JSON by part.
fn parts(results: &Results) -> serde_json::Map<String, serde_json::Value> {
    let text = contract::to_json(results);
    serde_json::from_str(&text).expect("results are JSON")
}

/// The heat of a job without what its foams cost.
fn heat_but_costs(parts: &serde_json::Map<String, serde_json::Value>) -> serde_json::Value {
    let mut heat = parts["heat"].clone();
    for foam in heat["foams"].as_array_mut().expect("foams are compared") {
        foam["boards_cost"].take();
    }
    heat
}

/// Where the tube lies: the courses of all circuits, by name.
fn courses(parts: &serde_json::Map<String, serde_json::Value>) -> Vec<String> {
    let circuits = parts["tube"]["circuits"].as_array().expect("circuits are listed");
    circuits.iter().map(|circuit| format!("{} {}", circuit["name"], circuit["path_in"])).collect()
}

/// Alternates of every kind, each with what it must leave alone to the byte.
fn every_kind(job: &Job) -> Vec<(Alternate, &'static [&'static str])> {
    let named = |name: &str| Alternate { name: name.into(), ..Alternate::default() };
    let build_up = &job.build_up;
    let foam = build_up.foam_layers.first().map(|layer| layer.thickness);
    let spacing = job.heating.zones.first().map(|zone| zone.spacing);
    let is_one_spacing = job.heating.zones.iter().all(|zone| Some(zone.spacing) == spacing);
    const ALL: &[&str] = &[
        "slab", "concrete", "forms", "steel", "base", "foam", "tube", "heat", "joints", "pour",
        "subgrade", "takeoff", "price",
    ];
    vec![
        (named("same"), ALL),
        (
            Alternate {
                floor_thickness: Some(build_up.floor_thickness),
                foam_thickness: foam,
                tube_spacing: spacing.filter(|_| is_one_spacing),
                ..named("its own choices")
            },
            ALL,
        ),
        (
            Alternate {
                floor_thickness: Some(build_up.floor_thickness + Length::inches(1.0)),
                ..named("floor")
            },
            &["slab"],
        ),
        (
            Alternate {
                foam_thickness: foam.map(|thickness| thickness + Length::inches(1.0)),
                ..named("foam")
            },
            &["slab", "concrete", "steel", "pour"],
        ),
        (
            Alternate { fibre_instead_of_steel: Some(5.0), ..named("fibre") },
            &["slab", "concrete", "forms", "base", "foam", "tube", "pour", "subgrade"],
        ),
        (
            Alternate { tube_spacing: Some(Length::inches(11.0)), ..named("tube") },
            &["slab", "concrete", "forms", "steel", "base", "foam", "pour", "subgrade"],
        ),
        (
            Alternate {
                rates: vec![Rate { item: "foam.boards-1".to_owned(), rate: Cents(5_000) }],
                ..named("rates")
            },
            &[
                "slab", "concrete", "forms", "steel", "base", "foam", "tube", "joints", "pour",
                "subgrade", "takeoff",
            ],
        ),
    ]
}

/// On random slabs: an alternate of the bid is the job with that choice made by hand, and where it
/// chooses nothing that a part reads, the part is the same to the byte.
#[test]
fn alternates_differ_by_what_changed_and_nothing_else() {
    for seed in 0..cases(1) {
        let mut dice = Dice(seed);
        let mut job = full_slab(&mut dice);
        let rate = |item: &str, cents| Rate { item: item.to_owned(), rate: Cents(cents) };
        let kinds = every_kind(&job);
        let prices = Arc::make_mut(&mut job.prices);
        prices.rates = vec![
            rate("concrete.order", 17_801),
            rate("foam.boards-1", 3_907),
            rate("tube.length", 143),
            rate("slab.area", 331),
        ];
        (prices.overhead, prices.margin, prices.tax) = (0.0831, 0.117, 0.0625);
        prices.alternates = kinds.iter().map(|(alternate, _)| alternate.clone()).collect();
        let own = derive(&job);
        let derived = derive_alternates(&job, &own, &Cancel::new()).unwrap();
        let priced = priced_alternates(&job, &own, &Cancel::new()).unwrap();
        let before = parts(&own);
        for (place, (other, (alternate, keys))) in derived.iter().zip(&kinds).enumerate() {
            let by_hand = derive(&with_choices(&job, alternate));
            assert_eq!(
                contract::to_json(&other.results),
                contract::to_json(&by_hand),
                "job {seed}"
            );
            let after = parts(&other.results);
            for key in *keys {
                // The parts are long: only which one differs is told.
                assert!(before[*key] == after[*key], "job {seed}, {}: {key}", other.name);
            }
            // Other foam changes what the water must give, not where the tube lies.
            if other.name == "foam" {
                assert_eq!(courses(&before), courses(&after), "job {seed}");
            }
            // A rate changes what other foams cost, and nothing else of the heat.
            if other.name == "rates" {
                assert_eq!(heat_but_costs(&before), heat_but_costs(&after), "job {seed}");
            }
            let price = &other.results.parts.price;
            let lines: Cents = price.lines.iter().map(|line| line.amount).sum();
            let stages: Cents = price.stages.iter().map(|stage| stage.amount).sum();
            assert_eq!((lines, stages), (price.cost, price.cost), "job {seed}");
            assert_eq!(price.total, price.cost + price.overhead + price.margin + price.tax);
            assert_eq!(priced[place].difference, price.total - own.parts.price.total);
            let changed: Cents =
                priced[place].changed.iter().map(|line| line.alternate - line.own).sum();
            assert_eq!(changed, price.cost - own.parts.price.cost, "the changed lines say it all");
        }
        for unchanged in &priced[..2] {
            assert_eq!(unchanged.difference, Cents(0), "job {seed}, {}", unchanged.name);
            assert_eq!(unchanged.changed, []);
        }
        let kept = with_version(&job.prices, &own.parts.price, "2026-05-04", "first");
        assert_eq!(kept.versions[0].total, own.parts.price.total);
    }
}

/// The order list's dates step over weekends and the days off that the job lists.
#[test]
fn needed_by_dates_step_over_days_off() {
    use slabloom_core::takeoff::Supplier;
    let [house, ..] = samples();
    let mut pour = (*house.pour).clone();
    // A Wednesday, two days after Memorial Day of 2026.
    pour.date = "2026-05-27".to_owned();
    let dates = |pour: &slabloom_core::job::PourPlan| {
        [Supplier::Heating, Supplier::Steel, Supplier::LumberYard, Supplier::Pit]
            .map(|supplier| supplier.needed_on(pour).unwrap())
    };
    assert_eq!(dates(&pour), ["2026-05-25", "2026-05-22", "2026-05-19", "2026-05-15"]);
    pour.days_off = vec!["2026-05-25".to_owned(), "no date".to_owned()];
    assert_eq!(dates(&pour), ["2026-05-22", "2026-05-21", "2026-05-18", "2026-05-14"]);
    let job = Edit::SetPour(pour).apply(&house).unwrap();
    let pages = sheets::sheet_set_of(&job, &derive(&job), &[sheets::Subject::Order]);
    let order = said(&pages, "Order list");
    assert!(order.contains("on site by 2026-05-22") && order.contains("2026-05-25"), "{order}");
}

/// Amounts are exact decimals rounded once, halves away from zero: held against whole-number
/// arithmetic on quantities of up to three decimals.
#[test]
fn amounts_are_decimal() {
    let mut dice = Dice(7);
    for _ in 0..20_000 {
        let (rate, thousandths) = (dice.below(1_000_000) as i64, dice.below(10_000_000) as i64);
        let product = i128::from(rate) * i128::from(thousandths);
        let expected = i64::try_from((product + 500) / 1000).unwrap();
        let quantity = thousandths as f64 / 1000.0;
        assert_eq!(Cents(rate).times(quantity), Cents(expected), "{rate} x {quantity}");
        assert_eq!(Cents(-rate).times(quantity), Cents(-expected));
    }
}

/// The balance raise is where cut equals fill: the survey taken again from that target says so.
#[test]
fn the_balance_raise_balances() {
    let [house, ..] = samples();
    let own = derive(&house).parts.subgrade.clone();
    let mut subgrade = (*house.subgrade).clone();
    subgrade.target_height = subgrade.target_height + Length::inches(own.balance_raise);
    let moved = Edit::SetSubgrade(subgrade).apply(&house).unwrap();
    let after = derive(&moved).parts.subgrade.clone();
    assert!((after.cut - after.fill).abs() < 1e-6 * (after.cut + after.fill), "{after:?}");
    assert!(after.balance_raise.abs() < 1e-9);
    assert!(own.clear_raise > own.balance_raise);
}
