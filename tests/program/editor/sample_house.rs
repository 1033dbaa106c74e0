//! The sample house from an empty plan to a priced takeoff, with its steps counted: each click,
//! each key and each line typed with its Enter is one.

use super::desk::Desk;
use egui::{Key, Modifiers};
use slabloom::editor::sample::sample;
use slabloom_core::derive::derive;
use slabloom_core::job::edges::EdgeProfile;
use slabloom_core::plan::Plan;

/// What was promised: from empty to priced takeoff in no more steps than these.
const MOST_STEPS: usize = 25;
/// What it takes; a change that needs more must say so here.
const STEPS: usize = 24;

#[test]
fn the_sample_house_is_priced_within_the_promised_steps() {
    let sample = sample();
    let mut desk = Desk::empty();
    desk.written_by_another(&sample);
    let tool = |desk: &mut Desk, key: Key, lines: &[&str]| {
        desk.press(Modifiers::NONE, key);
        for line in lines {
            desk.enter(line);
        }
    };
    tool(&mut desk, Key::R, &["0, 0", "38 x 26", "12, 26", "14 x 4"]);
    tool(&mut desk, Key::B, &["19, 0", "N 26"]);
    tool(&mut desk, Key::P, &["8, 22", "31, 24", "36, 2"]);
    tool(&mut desk, Key::D, &["5, 19"]);
    // The entry door, in the north wall of the bump-out.
    desk.press(Modifiers::NONE, Key::V);
    desk.right_click(16.0, 30.0);
    desk.control("Make this side a door");
    tool(&mut desk, Key::X, &["27'6, 23'6", "10 x 2"]);
    // The contractor's own rates, from an earlier job; choosing it in the dialog is one more.
    desk.press(Modifiers::NONE, Key::V);
    desk.press(Modifiers::NONE, Key::Num6);
    desk.control("Take rates from a job…");
    desk.steps += 1;
    let steps = desk.steps;
    desk.settle();
    desk.save();

    let saved = desk.saved();
    let (ours, theirs) = (Plan::of(&saved), Plan::of(&sample));
    assert!((ours.area - theirs.area).abs() < 1e-6, "{} {}", ours.area, theirs.area);
    assert!((ours.perimeter - theirs.perimeter).abs() < 1e-6);
    assert_eq!(saved.thickenings.strips[0].line, sample.thickenings.strips[0].line);
    let places = |job: &slabloom_core::job::Job| {
        let mut places: Vec<_> = job.openings.penetrations.iter().map(|item| item.at).collect();
        places.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        places
    };
    assert_eq!(places(&saved), places(&sample));
    assert_eq!(saved.heating.keep_outs[0].corners, sample.heating.keep_outs[0].corners);
    let doors = saved.edges.by_side.values();
    assert_eq!(doors.filter(|edge| matches!(edge, EdgeProfile::Threshold(_))).count(), 1);
    assert_eq!(saved.prices, sample.prices);
    // Priced: every quantity that has a rate stands in the price with an amount.
    let results = derive(&saved);
    assert!(results.parts.price.total.0 > 1_000_000, "{}", results.parts.price.total);
    for rate in &sample.prices.rates {
        if derive(&sample).parts.takeoff.line(&rate.item).is_some() {
            assert!(results.parts.takeoff.line(&rate.item).is_some(), "{} is missing", rate.item);
        }
    }
    assert_eq!(steps, STEPS, "the count has changed");
    assert!(steps <= MOST_STEPS);
}
