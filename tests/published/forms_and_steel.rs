//! Forms, squaring, steel and base against worked and published figures.
//!
//! Figures marked (derived) were computed outside the program from the stated rule; the others
//! are as printed in the source named.

use crate::concrete::{edged, rectangle, slab};
use slabloom_core::concrete::{Concrete, cast};
use slabloom_core::facts::concrete::DRESSED_HEIGHTS_IN;
use slabloom_core::facts::steel::{BARS, bar_of_size, mesh_lb_per_100_ft2};
use slabloom_core::job::Job;
use slabloom_core::job::build_up::FloorSteel;
use slabloom_core::plan::Plan;
use slabloom_core::units::{Length, Rounding, show_length};
use std::sync::Arc;

fn solid(job: &Job) -> Concrete {
    cast(job, &Plan::of(job))
}

fn with_floor_steel(x: f64, y: f64, cover: f64, floor: FloorSteel) -> Job {
    let mut job = slab(&rectangle(x, y), 4.0);
    let steel = &mut Arc::make_mut(&mut job.build_up).steel;
    steel.floor = floor;
    steel.cover = Length::inches(cover);
    job
}

fn sheets(lap: f64) -> FloorSteel {
    FloorSteel::MeshSheets {
        wire: 2.9,
        width: Length::feet(5.0),
        length: Length::feet(10.0),
        lap: Length::inches(lap),
    }
}

/// n = 1 + ceil((net - size) / (size - lap)) along each axis, net = clear width less 2 in at each
/// edge, the better way round (derived). Reuse of offcuts may only need fewer.
#[test]
fn sheets_of_mesh() {
    for (x, y, lap, whole) in
        [(24.0, 30.0, 6.0, 21), (40.0, 60.0, 6.0, 63), (32.0, 48.0, 6.0, 35), (28.0, 36.0, 6.0, 24)]
    {
        let steel = solid(&with_floor_steel(x, y, 2.0, sheets(lap))).steel;
        assert!(steel.mesh_count <= whole, "{x} x {y}: {} of {whole}", steel.mesh_count);
        assert!(f64::from(steel.mesh_count) * 50.0 > x * y, "{x} x {y}");
        assert_eq!(steel.mesh_name, "5 x 10 ft sheets 6x6-W2.9");
    }
}

/// 24 x 30 ft takes 2 rolls of 5 x 150 ft, 40 x 60 takes 4 (derived).
#[test]
fn rolls_of_mesh() {
    let rolls = FloorSteel::MeshRolls {
        wire: 1.4,
        width: Length::feet(5.0),
        length: Length::feet(150.0),
        lap: Length::inches(6.0),
    };
    assert_eq!(solid(&with_floor_steel(24.0, 30.0, 2.0, rolls)).steel.mesh_count, 2);
    assert_eq!(solid(&with_floor_steel(40.0, 60.0, 2.0, rolls)).steel.mesh_count, 4);
}

/// Wire Reinforcement Institute's common stock styles: W number, lb per 100 ft².
#[test]
fn weights_of_mesh() {
    for (wire, pounds) in [(1.4, 21.0), (2.0, 29.0), (2.9, 42.0), (4.0, 58.0), (5.5, 80.0)] {
        assert_eq!(mesh_lb_per_100_ft2(wire), pounds);
    }
    // By the wire's own cross-section W1.4 is 19.0, tables 5 to 10 % above.
    let w14: f64 = 2.0 * 0.028 * 3.4 * 100.0;
    assert!((w14 - 19.04).abs() < 0.01 && 21.0 / w14 < 1.11);
}

/// ASTM A615/A615M, Table 1, as printed in handbooks.
#[test]
fn weights_of_bars() {
    for (size, pounds) in [
        (3, 0.376),
        (4, 0.668),
        (5, 1.043),
        (6, 1.502),
        (7, 2.044),
        (8, 2.670),
        (9, 3.400),
        (10, 4.303),
        (11, 5.313),
    ] {
        assert_eq!(bar_of_size(size).lb_per_ft, pounds);
    }
    // Weight is area times 3.4 lb a foot of square inch, to the rounding of the table's areas.
    for bar in BARS {
        assert!((bar.area_in2 * 3.4 / bar.lb_per_ft - 1.0).abs() < 0.02, "No. {}", bar.size);
    }
    // University estimating notes: No. 5 bar, 318 ft x 4, 10 % more, 1459 lb.
    let pounds: f64 = 1399.0 * bar_of_size(5).lb_per_ft;
    assert!((pounds - 1459.0).abs() < 1.0);
    // 0.1 % of a 4 in slab each way is No. 3 at 24 in.
    assert!((bar_of_size(3).area_in2 / (4.0 * 24.0) - 0.001).abs() < 0.0002);
}

/// No. 4 at 18 in both ways, 3 in cover: 24 x 30 ft is 995.0 ft and 664.7 lb before laps; 40 x 60
/// with laps of 24 in on 20 ft bars is 3617.5 ft and 2416.5 lb, 181 to 235 bars (derived).
#[test]
fn bars_both_ways() {
    let bars = FloorSteel::Bars { size: 4, spacing: Length::inches(18.0) };
    let mut small = with_floor_steel(24.0, 30.0, 3.0, bars);
    Arc::make_mut(&mut small.build_up).steel.stock_bar = Length::feet(60.0);
    let steel = solid(&small).steel.bars[0];
    assert!((steel.length / 12.0 - 995.0).abs() < 1e-3, "{}", steel.length / 12.0);
    assert!((steel.weight_lb - 664.7).abs() < 0.05);
    let mut large = with_floor_steel(40.0, 60.0, 3.0, bars);
    Arc::make_mut(&mut large.build_up).steel.lap_diameters = 48.0;
    let steel = solid(&large).steel.bars[0];
    assert!((steel.length / 12.0 - 3617.5).abs() < 1e-3, "{}", steel.length / 12.0);
    assert!((steel.weight_lb - 2416.5).abs() < 0.05);
    assert!((181..=235).contains(&steel.stock_bars), "{}", steel.stock_bars);
}

/// Two No. 4 round a 40 x 60 ft edge, centre line 3.25 in in: 395.67 ft and 264.3 lb before laps
/// and corner bars (derived); four corners add two L-bars of 24 + 24 in each.
#[test]
fn bars_round_an_edge() {
    let mut job = edged(&rectangle(40.0, 60.0), 4.0, 12.0, 12.0, 8.0);
    let steel = &mut Arc::make_mut(&mut job.build_up).steel;
    steel.floor = FloorSteel::None;
    steel.stock_bar = Length::feet(60.0);
    let bars = solid(&job).steel.bars[0];
    let corner_bars = 4.0 * 2.0 * 4.0;
    let straight = bars.length / 12.0 - corner_bars;
    assert!((straight - 395.67).abs() < 0.005, "{straight}");
    assert!((straight * 0.668 - 264.3).abs() < 0.05);
}

/// 40 x 60 ft with chairs 3 ft each way: about 267; fibre 3 lb on 38 yd³ is 114 lb (derived).
#[test]
fn chairs_and_fibre() {
    let mut job = with_floor_steel(40.0, 60.0, 3.0, sheets(6.0));
    Arc::make_mut(&mut job.build_up).steel.fibre_lb_per_yd3 = 3.0;
    let concrete = solid(&job);
    assert_eq!(concrete.steel.chairs, 267);
    let yards = concrete.volumes.net / 46_656.0;
    assert!((concrete.steel.fibre_lb - 3.0 * yards).abs() < 1e-9);
    assert!((38.0 * 3.0_f64 - 114.0).abs() < 1e-9);
}

/// PS 20 dressed sizes; a 12 in edge takes a board 11 1/4 in high.
#[test]
fn boards_are_as_dressed() {
    assert_eq!(DRESSED_HEIGHTS_IN.map(|(_, height)| height), [3.5, 5.5, 7.25, 9.25, 11.25]);
    let job = edged(&rectangle(40.0, 60.0), 4.0, 12.0, 12.0, 8.0);
    assert_eq!(solid(&job).forms.board_height, 11.25);
    assert_eq!(solid(&slab(&rectangle(24.0, 30.0), 4.0)).forms.board_height, 3.5);
}

/// With 16 ft boards, each side by itself: 24 x 30 ft takes 8, 40 x 60 takes 14. Stakes by
/// ceil(L/s) + 1 a side: 58 and 104 at 2 ft; 40 and 72 at 3 ft, where 12 ft boards end on a stake.
#[test]
fn boards_and_stakes_by_side() {
    let set = |x: f64, y: f64, stock: f64, spacing: f64| {
        let mut job = slab(&rectangle(x, y), 4.0);
        let forms = &mut Arc::make_mut(&mut job.build_up).forms;
        forms.stock_lengths = vec![Length::feet(stock)];
        forms.stake_spacing = Length::feet(spacing);
        solid(&job).forms
    };
    let boards = |forms: &slabloom_core::concrete::Forms| -> usize {
        forms.sides.iter().map(|side| side.boards.len()).sum()
    };
    let (small, large) = (set(24.0, 30.0, 16.0, 2.0), set(40.0, 60.0, 16.0, 2.0));
    assert_eq!((boards(&small), boards(&large)), (8, 14));
    assert_eq!((small.stakes, large.stakes), (58, 104));
    assert_eq!(set(24.0, 30.0, 12.0, 3.0).stakes, 40);
    assert_eq!(set(40.0, 60.0, 12.0, 3.0).stakes, 72);
    // The stock bought holds every board: 108 ft of side from 16 ft boards is at least 7.
    assert!((7..=8).contains(&small.stock.iter().map(|stock| stock.1).sum::<u32>()));
}

/// Diagonals to a sixteenth, as a square root gives them.
#[test]
fn diagonals_as_a_tape_reads_them() {
    for (x, y, printed) in [
        (24.0, 30.0, "38'-5\""),
        (26.0, 40.0, "47'-8 1/2\""),
        (28.0, 36.0, "45'-7 5/16\""),
        (30.0, 40.0, "50'-0\""),
        (32.0, 48.0, "57'-8 1/4\""),
        (40.0, 60.0, "72'-1 5/16\""),
        (50.0, 80.0, "94'-4 1/16\""),
    ] {
        let forms = solid(&slab(&rectangle(x, y), 4.0)).forms;
        let diagonals = &forms.diagonals;
        assert_eq!(diagonals.len(), 2, "a rectangle is its own enclosing rectangle");
        for diagonal in diagonals {
            let exact = (x * x + y * y).sqrt() * 12.0;
            assert!((diagonal.length - exact).abs() < 1e-9);
            let shown = show_length(Length::inches(diagonal.length), Rounding::Sixteenth);
            assert_eq!(plain(&shown), plain(printed));
        }
    }
    // A clip of 8 ft legs is 11-3 3/4 long; 3-4-5 in whole feet fits inside 24 x 30.
    let clip = show_length(Length::feet(8.0 * 2.0_f64.sqrt()), Rounding::Sixteenth);
    assert_eq!(plain(&clip), plain("11'-3 3/4\""));
    let legs = solid(&slab(&rectangle(24.0, 30.0), 4.0)).forms.check_legs;
    assert_eq!(legs, Some([252.0, 336.0, 420.0]));
}

/// Digits only, so that the way feet and inches are set off does not matter here.
fn plain(shown: &str) -> String {
    shown.chars().filter(|c| c.is_ascii_digit() || *c == '/').collect()
}

/// Two tapes find every corner again: along and off give back the corner's own place.
#[test]
fn corners_from_two_base_lines() {
    let l = [(0.0, 0.0), (40.0, 0.0), (40.0, 18.0), (24.0, 18.0), (24.0, 30.0), (0.0, 30.0)];
    let forms = solid(&slab(&l, 5.0)).forms;
    assert_eq!(forms.offsets.len(), 6);
    for offset in &forms.offsets {
        let base = forms.base_corner.expect("a base corner");
        let direct = base.distance(offset.at);
        let taped = (offset.along * offset.along + offset.off * offset.off).sqrt();
        assert!((direct - taped).abs() < 1e-9 && offset.off > -1e-9);
    }
}
