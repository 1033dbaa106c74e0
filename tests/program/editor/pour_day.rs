//! A whole day at the window: shots in, the call-back, ground mended, the order with its clock,
//! tickets as trucks come, the record, and the bid kept; all through the widgets.

use super::desk::Desk;
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slabloom::editor::sample::sample;
use slabloom_core::derive::derive;
use slabloom_core::job::Job;
use slabloom_core::job::pour::LoadSplit;
use slabloom_core::plan::Plan;
use slabloom_core::pour::propose_shots;
use slabloom_core::sheets;
use slabloom_core::units::Length;
use std::sync::Arc;

const SHOTS: &str = "Shots, one a line: number, place, height, note";

/// The sample house before its pour day.
fn before_the_day() -> Job {
    let mut job = sample();
    Arc::make_mut(&mut job.subgrade).shots.clear();
    let pour = Arc::make_mut(&mut job.pour);
    pour.tickets.clear();
    (pour.start_minutes, pour.date, pour.load_split) =
        (None, String::new(), LoadSplit::FullThenRest);
    *Arc::make_mut(&mut job.as_laid) = Default::default();
    Arc::make_mut(&mut job.prices).alternates.clear();
    job
}

/// Clicks something of a panel, scrolled into view first.
fn press(desk: &mut Desk, name: &str) {
    desk.harness.get_by_label(name).scroll_to_me();
    desk.frames(3);
    desk.control(name);
    desk.frames(2);
}

/// Writes into a field in place of what stands there.
fn fill(desk: &mut Desk, name: &str, text: &str) {
    desk.harness.get_by_label(name).focus();
    desk.frames(2);
    desk.press(Modifiers::COMMAND, Key::A);
    desk.enter(text);
    desk.frames(2);
}

fn paste_shots(desk: &mut Desk, lines: &str) {
    desk.harness.get_by_label(SHOTS).focus();
    desk.frames(2);
    desk.harness.event(Event::Paste(lines.to_owned()));
    desk.frames(2);
    press(desk, "Take these shots");
    desk.settle();
}

fn shows(desk: &Desk, words: &str) -> bool {
    desk.harness.query_all_by_label_contains(words).count() > 0
}

#[test]
fn a_pour_day_from_shots_to_record() {
    let mut desk = Desk::with(before_the_day());
    desk.settle();
    desk.control("Stage Pour");
    ground(&mut desk);
    order(&mut desk);
    tickets(&mut desk);
    record(&mut desk);
    bid(&mut desk);
    desk.save();
    let saved = desk.saved();
    let results = derive(&saved);
    let pages = sheets::sheet_set(&saved, &results);
    let said: String = pages
        .iter()
        .filter(|page| page.title.starts_with("Record"))
        .flat_map(|page| page.texts())
        .map(|text| format!("{}\n", text.content))
        .collect();
    for words in ["4711", "6:40", "262", "B. Carver", "Ground as shot"] {
        assert!(said.contains(words), "{words} is missing in {said}");
    }
    // The whole day can be taken back, step by step.
    while desk.harness.state().state.history.undo_names().next().is_some() {
        desk.undo();
    }
    assert_eq!(desk.job(), before_the_day());
}

/// Shots on a grid, two inches low at the first corner; the excavator comes; one shot again.
fn ground(desk: &mut Desk) {
    press(desk, "Ground");
    let places = propose_shots(&Plan::of(&desk.job()), 120.0);
    let target = desk.job().subgrade.target_height.to_inches();
    let lines: String = places
        .iter()
        .enumerate()
        .map(|(number, at)| {
            let height = if number == 0 { target - 2.0 } else { target };
            format!("{}, {}\", {}\", {height}\"\n", number + 1, at.y, at.x)
        })
        .collect();
    paste_shots(desk, "1, here, there, low");
    assert!(desk.job().subgrade.shots.is_empty(), "what cannot be read changes nothing");
    assert!(shows(desk, "▲"), "and the reason stands under it");
    desk.harness.get_by_label(SHOTS).focus();
    desk.frames(2);
    desk.press(Modifiers::COMMAND, Key::A);
    paste_shots(desk, &lines);
    let job = desk.job();
    assert_eq!(job.subgrade.shots.len(), places.len());
    for (shot, at) in job.subgrade.shots.iter().zip(&places) {
        assert!(shot.at.distance(*at) < 1e-6, "north first, then east");
    }
    let mut ids: Vec<u32> = job.subgrade.shots.iter().map(|shot| shot.id.0).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), places.len(), "every shot has an id of its own");
    assert!(derive(&job).findings.iter().any(|finding| finding.rule == "pour.rough-subgrade"));
    assert!(shows(desk, "fill 2\""), "the call-back is listed");
    // Filled, and shot again with the rod: the line of sight is five feet over the target.
    fill(desk, "Laser height, for a rod", &format!("{}\"", target + 60.0));
    let at = places[0];
    paste_shots(desk, &format!("1, {}\", {}\", 4'11 15/16\"", at.y, at.x));
    let job = desk.job();
    assert_eq!(job.subgrade.shots.len(), places.len(), "the same shot, taken again");
    let off = job.subgrade.shots[0].height - Length::inches(target);
    assert!((off.to_inches() - 0.0625).abs() < 1e-9, "{off:?}");
    assert!(shows(desk, "No place to call the excavator back for"));
}

fn order(desk: &mut Desk) {
    fill(desk, "Day of the pour", "2026-05-27");
    fill(desk, "Days off before it", "2026-05-25");
    fill(desk, "First truck at", "7:30");
    press(desk, "Loads");
    desk.control("As even as can be");
    desk.settle();
    let pour = &desk.job().pour;
    assert_eq!((pour.date.as_str(), pour.start_minutes), ("2026-05-27", Some(450.0)));
    assert_eq!(pour.days_off, ["2026-05-25"]);
    assert_eq!(pour.load_split, LoadSplit::Even);
    assert!(shows(desk, "Truck 1, on site 7:30"));
}

fn tickets(desk: &mut Desk) {
    press(desk, "Tickets");
    press(desk, "Add a ticket");
    desk.settle();
    fill(desk, "Ticket 1, number", "4711");
    fill(desk, "Ticket 1, batched at", "6:40");
    press(desk, "Say where truck 1 ran out");
    desk.settle();
    let (job, planned) = (desk.job(), derive(&desk.job()).parts.pour.clone());
    let ticket = &job.pour.tickets[0];
    assert_eq!((ticket.number.as_str(), ticket.batched_minutes), ("4711", Some(400.0)));
    assert_eq!(ticket.yards, planned.loads_yd3[0]);
    let line = planned.truck_lines[0].line[0];
    let reached = ticket.reached.expect("a place to start from");
    assert!(reached.distance(line[0].toward(line[1], 0.5)) < 1e-6, "at the planned line");
    // As planned so far: what is left is the other loads, less the allowance not yet needed.
    let others: f64 = planned.loads_yd3[1..].iter().sum();
    let left = planned.still_to_order_yd3.expect("tickets say what is left");
    assert!(left > 0.5 * others && left <= others + job.pour.order_step_yd3, "{left} of {others}");
    // The truck ran out early, a foot short of its line: more is needed.
    let short = reached.x - 12.0;
    fill(desk, "East", &format!("{short}\""));
    desk.settle();
    let more = derive(&desk.job()).parts.pour.still_to_order_yd3.expect("what is left");
    assert!(more > left, "{more} after {left}");
    press(desk, "Add a ticket");
    desk.settle();
    fill(desk, "Ticket 2, on it", "5.5");
    assert_eq!(desk.job().pour.tickets[1].yards, 5.5);
    press(desk, "Take ticket 2 away");
    assert_eq!(desk.job().pour.tickets.len(), 1);
}

fn record(desk: &mut Desk) {
    press(desk, "Record");
    let name = derive(&desk.job()).parts.tube.circuits[0].name.clone();
    fill(desk, &format!("{name}, mark at supply"), "12");
    fill(desk, &format!("{name}, mark at return"), "262");
    press(desk, "Add a pressure test");
    fill(desk, "Test 1, when", "2026-05-26");
    fill(desk, "Test 1, pressure at start", "60");
    fill(desk, "Test 1, read by", "B. Carver");
    let record = desk.job().as_laid;
    assert_eq!(record.circuits.len(), 1);
    assert_eq!((record.circuits[0].start_mark_ft, record.circuits[0].end_mark_ft), (12.0, 262.0));
    assert_eq!((record.tests[0].start_psi, record.tests[0].by.as_str()), (60.0, "B. Carver"));
}

fn bid(desk: &mut Desk) {
    desk.control("Stage Bid");
    press(desk, "Order list");
    assert!(shows(desk, "by 2026-05-22, before laying tube"), "the day off is stepped over");
    press(desk, "Bids given out");
    desk.settle();
    fill(desk, "Keep this bid as", "first");
    let total = derive(&desk.job()).parts.price.total;
    let kept = desk.job().prices.versions.last().cloned().expect("the bid is kept");
    assert_eq!((kept.note.as_str(), kept.total), ("first", total));
}
