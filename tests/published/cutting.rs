//! Cutting plans against published instances and a plain brute force.
//!
//! Sources: the roll-cutting example of Fourer, Gay and Kernighan's AMPL book (110 in rolls);
//! Chvatal's cutting example (100 in); the 13-width paper roll problem (5600 mm) of a public
//! encyclopedia; a known instance without integer round-up (132; 44, 33, 12); Falkenauer's
//! triplet and uniform bin packing files t60_00 and u120_00 of the OR-Library. Optima: proved by
//! an integer solver over all patterns, as noted in the project's reference.

use slabloom_core::cutting::{CutPlan, CutProblem, Stock, cut_stock};
use slabloom_core::effort::{Budget, Cancel};
use slabloom_core::tube::coils::plan_coils;

fn cut(stocks: &[Stock], pieces: &[f64], kerf: f64) -> CutPlan {
    let mut budget = Budget::new(5_000_000, Cancel::new());
    let plan = cut_stock(&CutProblem { stocks, pieces, kerf }, &mut budget).unwrap();
    assert_is_a_plan(&plan, stocks, pieces);
    plan
}

/// Every piece once, no stock length overfull, the bound not over the cost.
fn assert_is_a_plan(plan: &CutPlan, stocks: &[Stock], pieces: &[f64]) {
    let mut seen: Vec<usize> = plan.cuts.iter().flat_map(|c| c.pieces.clone()).collect();
    seen.extend(&plan.unfit);
    seen.sort_unstable();
    assert_eq!(seen, (0..pieces.len()).collect::<Vec<_>>());
    for c in &plan.cuts {
        let used: f64 = c.pieces.iter().map(|&i| pieces[i]).sum();
        assert!(used <= stocks[c.stock].length + 1e-9, "a stock length is overfull");
    }
    assert!(plan.bound <= plan.cost);
}

fn demand(widths: &[f64], counts: &[usize]) -> Vec<f64> {
    widths.iter().zip(counts).flat_map(|(&w, &n)| std::iter::repeat_n(w, n)).collect()
}

fn bars(width: f64, pieces: &[f64]) -> (usize, bool) {
    let plan = cut(&[Stock::by_length(width)], pieces, 0.0);
    (plan.cuts.len(), plan.is_cheapest())
}

#[test]
fn textbook_rolls_take_47() {
    let pieces = demand(&[20.0, 45.0, 50.0, 55.0, 75.0], &[48, 35, 24, 10, 8]);
    assert_eq!(bars(110.0, &pieces), (47, true));
}

#[test]
fn chvatals_rolls_take_453_where_first_fit_takes_485() {
    let pieces = demand(&[45.0, 36.0, 31.0, 14.0], &[97, 610, 395, 211]);
    assert_eq!(bars(100.0, &pieces), (453, true));
}

#[test]
fn thirteen_widths_of_paper_take_73() {
    let widths = [
        1380.0, 1520.0, 1560.0, 1710.0, 1820.0, 1880.0, 1930.0, 2000.0, 2050.0, 2100.0, 2140.0,
        2150.0, 2200.0,
    ];
    let counts = [22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20];
    assert_eq!(bars(5600.0, &demand(&widths, &counts)), (73, true));
}

#[test]
fn a_bound_of_two_does_not_make_a_plan_of_two() {
    // Linear bound 1.962, material 1.962, and yet three are needed: only a search can say so.
    let pieces = demand(&[44.0, 33.0, 12.0], &[2, 3, 6]);
    assert_eq!(bars(132.0, &pieces), (3, true));
    // Without steps to search, the plan of three stands with its honest bound of two.
    let mut none = Budget::new(0, Cancel::new());
    let stocks = [Stock::by_length(132.0)];
    let problem = CutProblem { stocks: &stocks, pieces: &pieces, kerf: 0.0 };
    let plan = cut_stock(&problem, &mut none).unwrap();
    assert_eq!((plan.cuts.len(), plan.bound), (3, 2 * 132 * 64));
    assert!(!plan.is_cheapest());
}

#[test]
fn first_fit_decreasing_fails_and_the_search_does_not() {
    assert_eq!(bars(8.0, &demand(&[4.0, 3.0, 2.0], &[1, 2, 3])), (2, true));
}

#[test]
fn falkenauer_t60_00_takes_20() {
    let items = [
        366, 268, 366, 430, 263, 307, 414, 287, 299, 495, 251, 254, 474, 252, 274, 370, 269, 361,
        473, 252, 275, 472, 259, 269, 444, 258, 298, 439, 273, 288, 445, 272, 283, 419, 261, 320,
        363, 271, 366, 355, 273, 372, 466, 262, 272, 357, 292, 351, 395, 255, 350, 350, 303, 347,
        450, 252, 298, 410, 275, 315,
    ];
    assert_eq!(bars(1000.0, &items.map(f64::from)), (20, true));
}

#[test]
fn falkenauer_u120_00_takes_48() {
    let items = [
        42, 69, 67, 57, 93, 90, 38, 36, 45, 42, 33, 79, 27, 57, 44, 84, 86, 92, 46, 38, 85, 33, 82,
        73, 49, 70, 59, 23, 57, 72, 74, 69, 33, 42, 28, 46, 30, 64, 29, 74, 41, 49, 55, 98, 80, 32,
        25, 38, 82, 30, 35, 39, 57, 84, 62, 50, 55, 27, 30, 36, 20, 78, 47, 26, 45, 41, 58, 98, 91,
        96, 73, 84, 37, 93, 91, 43, 73, 85, 81, 79, 71, 80, 76, 83, 41, 78, 70, 23, 42, 87, 43, 84,
        60, 55, 49, 78, 73, 62, 36, 44, 94, 69, 32, 96, 70, 84, 58, 78, 25, 80, 58, 66, 83, 24, 98,
        60, 42, 43, 43, 39,
    ];
    assert_eq!(bars(150.0, &items.map(f64::from)), (48, true));
}

#[test]
fn circuits_come_out_of_the_fewest_feet_of_coils() {
    let circuits =
        [287.0, 291.0, 295.0, 248.0, 252.0, 305.0, 312.0, 198.0, 176.0, 210.0, 233.0, 268.0]
            .map(|ft| ft * 12.0);
    let coils = |tails_ft: f64, stock: &[f64]| {
        let stock: Vec<f64> = stock.iter().map(|ft| ft * 12.0).collect();
        let plan = plan_coils(&circuits, tails_ft * 12.0, &stock, &Cancel::new()).unwrap();
        assert_eq!(plan.bought_in, plan.bound_in, "proven");
        (plan.bought_in / 12.0, plan.coils.len())
    };
    assert_eq!(coils(0.0, &[1000.0]), (4000.0, 4));
    assert_eq!(coils(10.0, &[1000.0]), (4000.0, 4));
    let (bought, count) = coils(0.0, &[1000.0, 500.0, 300.0]);
    assert_eq!(bought, 3100.0);
    assert!(count <= 5, "the published plan of 3100 ft has five coils");
}

#[test]
fn mixed_coils_of_the_reference_reach_their_proved_totals() {
    let total = |circuits: &[f64], coils: &[f64]| {
        let plan = plan_coils(circuits, 0.0, coils, &Cancel::new()).unwrap();
        assert_eq!(plan.bought_in, plan.bound_in, "proven");
        plan.bought_in
    };
    assert_eq!(total(&[242.0, 243.0, 244.0, 245.0, 244.5], &[500.0, 1000.0]), 1500.0);
    assert_eq!(total(&[250.0, 253.0, 255.0, 258.0], &[300.0, 500.0, 1000.0]), 1200.0);
    let sixteen: Vec<f64> = (0..16).map(|i| 302.0 + 0.8 * f64::from(i)).collect();
    assert_eq!(total(&sixteen, &[1000.0]), 6000.0);
    assert_eq!(total(&sixteen, &[500.0, 1000.0, 1200.0]), 5500.0);
}

/// The least cost by trying every way to put each piece into an open bar or a new one.
fn brute_force(stocks: &[Stock], pieces: &[f64], rooms: &mut Vec<f64>, spent: i64, best: &mut i64) {
    let Some((&piece, rest)) = pieces.split_first() else {
        *best = (*best).min(spent);
        return;
    };
    if spent >= *best {
        return;
    }
    for i in 0..rooms.len() {
        if rooms[i] >= piece - 1e-9 {
            rooms[i] -= piece;
            brute_force(stocks, rest, rooms, spent, best);
            rooms[i] += piece;
        }
    }
    for stock in stocks.iter().filter(|s| s.length >= piece) {
        rooms.push(stock.length - piece);
        brute_force(stocks, rest, rooms, spent + stock.cost, best);
        rooms.pop();
    }
}

#[test]
fn random_small_jobs_agree_with_brute_force() {
    let mut seed: u64 = 7;
    let mut random = |limit: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % limit
    };
    for _ in 0..150 {
        let count = 2 + random(7);
        let pieces: Vec<f64> = (0..count).map(|_| (20 + random(75)) as f64).collect();
        let mut stocks = vec![Stock::by_length((95 + random(40)) as f64)];
        if random(2) == 1 {
            stocks.push(Stock {
                length: (140 + random(100)) as f64,
                cost: 6000 + random(9000) as i64,
            });
        }
        let mut least = i64::MAX;
        let mut sorted = pieces.clone();
        sorted.sort_by(|a, b| b.total_cmp(a));
        brute_force(&stocks, &sorted, &mut Vec::new(), 0, &mut least);
        let plan = cut(&stocks, &pieces, 0.0);
        assert_eq!((plan.cost, plan.bound), (least, least), "{stocks:?} {pieces:?}");
    }
}

#[test]
fn order_and_scale_of_the_input_change_nothing_and_a_kerf_never_saves() {
    let pieces = demand(&[45.0, 36.0, 31.0, 14.0], &[7, 11, 9, 13]);
    let stock = |scale: f64| [Stock::by_length(100.0 * scale)];
    let count = cut(&stock(1.0), &pieces, 0.0).cuts.len();
    let reversed: Vec<f64> = pieces.iter().rev().copied().collect();
    assert_eq!(cut(&stock(1.0), &reversed, 0.0).cuts.len(), count);
    let doubled: Vec<f64> = pieces.iter().map(|p| p * 2.0).collect();
    assert_eq!(cut(&stock(2.0), &doubled, 0.0).cuts.len(), count);
    let with_kerf = |kerf: f64| cut(&stock(1.0), &pieces, kerf).cuts.len();
    assert!(with_kerf(0.0) <= with_kerf(0.0625) && with_kerf(0.0625) <= with_kerf(0.125));
}
