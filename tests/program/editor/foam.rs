//! Foam laid by hand: zones drawn and taken off, what the boards are held against, the start corner
//! under the pointer and a board that is locked.

use super::desk::{Desk, rectangle};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slabloom_core::foam::by_hand;
use slabloom_core::job::build_up::Coverage;
use std::time::{Duration, Instant};

/// The editor on the rectangle of 40 x 28 ft, in the stage of foam.
fn desk() -> Desk {
    let mut desk = Desk::with(rectangle());
    desk.control("Stage Foam");
    desk.settle();
    desk
}

fn zones(desk: &Desk) -> usize {
    desk.job().build_up.foam_layers[0].coverage.zones().count()
}

#[test]
fn zones_are_drawn_seen_and_taken_off() {
    let mut desk = desk();
    let before = desk.bytes();
    desk.control("Foam zone");
    desk.click(4.0, 4.0);
    desk.click(14.0, 12.0);
    desk.press(Modifiers::NONE, Key::U);
    desk.enter("20, 10");
    desk.enter("8 x 6");
    desk.settle();
    assert_eq!(zones(&desk), 2);
    let area = desk.harness.state().state.results.parts.foam.layers[0].area / 144.0;
    assert!((area - (10.0 * 8.0 + 8.0 * 6.0)).abs() < 1e-6, "{area}");
    desk.control("Remove zone 2");
    desk.settle();
    assert_eq!(zones(&desk), 1);
    desk.control("Remove zone 1");
    assert_eq!(desk.job().build_up.foam_layers[0].coverage, Coverage::Full);
    for _ in 0..4 {
        desk.undo();
    }
    assert_eq!(desk.bytes(), before);
}

#[test]
fn a_code_row_is_picked_and_its_figures_are_ones_own_when_changed() {
    let mut desk = desk();
    desk.control("Energy code");
    desk.control("Held against");
    desk.control("IECC 2018, zones 6 to 8");
    desk.settle();
    let picked = desk.job().build_up.insulation_code.clone().expect("a row is picked");
    assert_eq!((picked.code.as_str(), picked.edge_r, picked.under_r), ("IECC 2018", 10.0, 5.0));
    desk.harness.get_by_label("R under the floor").focus();
    desk.frames(2);
    desk.press(Modifiers::COMMAND, Key::A);
    desk.enter("20");
    desk.settle();
    let own = desk.job().build_up.insulation_code.clone().expect("still one");
    assert_eq!(own.under_r, 20.0);
    assert!(own.source.starts_with("figures of this job, after IECC"), "{}", own.source);
    let findings = &desk.harness.state().state.results.findings;
    assert!(findings.iter().any(|f| f.rule == "foam.below-code"), "R-10 lies there, R-20 is asked");
}

#[test]
fn the_start_corner_counts_its_boards_while_it_is_dragged() {
    let mut desk = desk();
    desk.control("Start corner");
    let end = desk.hold((6.0, 6.0), (37.0, 25.0));
    let started = Instant::now();
    let words = loop {
        desk.frames(1);
        if let Some((_, words)) = desk.harness.state().state.boards.words() {
            break words.to_owned();
        }
        assert!(started.elapsed() < Duration::from_secs(30), "no count comes");
    };
    assert!(words.contains(" boards, "), "{words}");
    assert_eq!(desk.job().build_up.foam_layers[0].start_corner, None, "nothing is decided yet");
    desk.release(end);
    let corner = desk.job().build_up.foam_layers[0].start_corner.expect("decided on release");
    assert!(corner.distance(slabloom_core::geometry::Point::feet(40.0, 28.0)) < 1e-6);
}

#[test]
fn a_board_is_locked_where_it_lies_and_stays_there() {
    let mut desk = desk();
    desk.right_click(20.0, 14.0);
    desk.control("Lock this board here");
    desk.settle();
    let job = desk.job();
    let lock = *job.build_up.foam_layers[0].locked.first().expect("one is locked");
    let holds = |desk: &Desk| {
        let layout = &desk.harness.state().state.results.parts.foam.layers[0];
        (0..layout.pieces.len()).any(|piece| {
            by_hand::lock_of(layout, piece).is_some_and(|found| {
                found.from.distance(lock.from) < 0.1 && found.to.distance(lock.to) < 0.1
            })
        })
    };
    assert!(holds(&desk));
    // The slab grows a bump: the boards are laid anew round the one that is held.
    desk.press(Modifiers::NONE, Key::R);
    desk.enter("10, 28");
    desk.enter("12 x 5");
    desk.settle();
    assert!(holds(&desk));
}
