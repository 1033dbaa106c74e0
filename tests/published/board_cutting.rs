//! Rectangles from sheets against published instances.
//!
//! Sources: ngcut1 to ngcut4 and gcut1 (Beasley 1985), cgcut1 (Christofides and Whitlock 1977), as
//! in the OR-Library; optima with turned pieces, and the board instances, were proved for this
//! project by an integer solver.

use slabloom_core::cutting::guillotine::{
    CutSheet, SheetPiece, SheetProblem, best_sheet, cut_sheets,
};
use slabloom_core::effort::{Budget, Cancel};

fn pieces(rows: &[(f64, f64, u32, f64)]) -> Vec<SheetPiece> {
    rows.iter()
        .map(|&(length, width, count, value)| SheetPiece { length, width, count, value })
        .collect()
}

/// Inside the sheet, no overlap, and apart again with cuts from edge to edge.
fn assert_cuts(sheet: &CutSheet, problem: &SheetProblem<'_>) {
    let boxes: Vec<[f64; 4]> = sheet
        .pieces
        .iter()
        .map(|on| {
            let piece = &problem.pieces[on.piece];
            let (l, w) = if on.is_turned {
                (piece.width, piece.length)
            } else {
                (piece.length, piece.width)
            };
            [on.along, on.across, on.along + l, on.across + w]
        })
        .collect();
    for b in &boxes {
        assert!(b[2] <= problem.sheet.0 + 1e-9 && b[3] <= problem.sheet.1 + 1e-9);
    }
    assert!(comes_apart(&boxes), "no straight cuts part {boxes:?}");
}

fn comes_apart(boxes: &[[f64; 4]]) -> bool {
    if boxes.len() < 2 {
        return true;
    }
    for axis in 0..2 {
        for cut in boxes.iter().map(|b| b[axis + 2]) {
            let crosses = boxes.iter().any(|b| b[axis] < cut - 1e-9 && b[axis + 2] > cut + 1e-9);
            let (low, high): (Vec<_>, Vec<_>) =
                boxes.iter().copied().partition(|b| b[axis + 2] <= cut + 1e-9);
            if !crosses && !high.is_empty() {
                return comes_apart(&low) && comes_apart(&high);
            }
        }
    }
    false
}

fn value(sheet: (f64, f64), rows: &[(f64, f64, u32, f64)], may_turn: bool) -> f64 {
    let pieces = pieces(rows);
    let problem = SheetProblem { sheet, pieces: &pieces, kerf: 0.0, may_turn };
    let cut = best_sheet(&problem, &mut Budget::new(10_000_000, Cancel::new())).unwrap();
    assert_cuts(&cut, &problem);
    for (kind, row) in rows.iter().enumerate() {
        assert!(cut.pieces.iter().filter(|on| on.piece == kind).count() <= row.2 as usize);
    }
    cut.value
}

const NGCUT1: &[(f64, f64, u32, f64)] = &[
    (3.0, 7.0, 2, 35.0),
    (8.0, 2.0, 2, 40.0),
    (10.0, 2.0, 1, 27.0),
    (5.0, 4.0, 3, 23.0),
    (2.0, 9.0, 2, 43.0),
];
const NGCUT2: &[(f64, f64, u32, f64)] = &[
    (1.0, 10.0, 3, 28.0),
    (5.0, 3.0, 2, 40.0),
    (9.0, 3.0, 3, 63.0),
    (6.0, 1.0, 3, 13.0),
    (3.0, 8.0, 3, 31.0),
    (4.0, 1.0, 1, 10.0),
    (7.0, 3.0, 2, 44.0),
];
const NGCUT3: &[(f64, f64, u32, f64)] = &[
    (3.0, 2.0, 2, 7.0),
    (7.0, 2.0, 3, 20.0),
    (4.0, 5.0, 2, 60.0),
    (4.0, 1.0, 2, 9.0),
    (1.0, 10.0, 1, 14.0),
    (8.0, 4.0, 1, 79.0),
    (4.0, 2.0, 2, 11.0),
    (3.0, 7.0, 3, 52.0),
    (6.0, 2.0, 3, 13.0),
    (9.0, 1.0, 2, 21.0),
];
const NGCUT4: &[(f64, f64, u32, f64)] = &[
    (15.0, 2.0, 2, 34.0),
    (7.0, 3.0, 1, 27.0),
    (9.0, 1.0, 1, 14.0),
    (8.0, 3.0, 1, 71.0),
    (12.0, 2.0, 2, 61.0),
];
const CGCUT1: &[(f64, f64, u32, f64)] = &[
    (8.0, 4.0, 2, 66.0),
    (3.0, 7.0, 1, 35.0),
    (8.0, 2.0, 3, 24.0),
    (3.0, 4.0, 5, 17.0),
    (3.0, 3.0, 2, 11.0),
    (3.0, 2.0, 2, 8.0),
    (2.0, 1.0, 1, 2.0),
];

#[test]
fn one_sheet_reaches_the_published_optimum() {
    for (name, sheet, rows, straight, turned) in [
        ("ngcut1", (10.0, 10.0), NGCUT1, 164.0, 193.0),
        ("ngcut2", (10.0, 10.0), NGCUT2, 230.0, 250.0),
        ("ngcut3", (10.0, 10.0), NGCUT3, 247.0, 259.0),
        ("ngcut4", (15.0, 10.0), NGCUT4, 268.0, 268.0),
        ("cgcut1", (15.0, 10.0), CGCUT1, 244.0, 260.0),
    ] {
        assert_eq!(value(sheet, rows, false), straight, "{name}");
        assert_eq!(value(sheet, rows, true), turned, "{name}, turned");
    }
}

#[test]
fn gcut1_without_limits_is_exact() {
    let sizes = [
        (167.0, 184.0),
        (114.0, 118.0),
        (167.0, 152.0),
        (83.0, 140.0),
        (70.0, 86.0),
        (143.0, 166.0),
        (120.0, 160.0),
        (66.0, 148.0),
        (87.0, 141.0),
        (69.0, 165.0),
    ];
    let rows: Vec<_> = sizes.iter().map(|&(l, w)| (l, w, 99, l * w)).collect();
    assert_eq!(value((250.0, 250.0), &rows, false), 56460.0);
}

/// A published list: its name, the board, the pieces with how many of each, the boards it takes.
type BoardList<'a> = (&'a str, (f64, f64), &'a [(f64, f64, u32)], usize);

#[test]
fn board_lists_take_the_proven_number_of_boards() {
    let lists: [BoardList<'_>; 4] = [
        ("B1", (4.0, 2.0), &[(4.0, 2.0, 24), (3.0, 2.0, 6), (4.0, 1.0, 4), (3.0, 1.0, 1)], 33),
        (
            "B2",
            (4.0, 2.0),
            &[(4.0, 2.0, 24), (3.0, 2.0, 6), (2.0, 1.0, 6), (4.0, 1.0, 1), (3.0, 1.0, 1)],
            31,
        ),
        (
            "B3",
            (96.0, 48.0),
            &[(96.0, 12.0, 10), (96.0, 16.0, 8), (48.0, 24.0, 5), (60.0, 30.0, 4)],
            10,
        ),
        (
            "B4",
            (96.0, 48.0),
            &[(96.0, 18.0, 5), (72.0, 30.0, 4), (60.0, 24.0, 6), (42.0, 42.0, 3), (36.0, 20.0, 7)],
            10,
        ),
    ];
    for (name, sheet, rows, boards) in lists {
        let pieces: Vec<SheetPiece> = rows
            .iter()
            .map(|&(length, width, count)| SheetPiece {
                length,
                width,
                count,
                value: length * width,
            })
            .collect();
        let problem = SheetProblem { sheet, pieces: &pieces, kerf: 0.0, may_turn: true };
        let plan = cut_sheets(&problem, &mut Budget::new(10_000_000, Cancel::new())).unwrap();
        for cut in &plan.sheets {
            assert_cuts(cut, &problem);
        }
        for (kind, piece) in pieces.iter().enumerate() {
            let cut: usize = plan
                .sheets
                .iter()
                .map(|sheet| sheet.pieces.iter().filter(|on| on.piece == kind).count())
                .sum();
            assert_eq!(cut, piece.count as usize, "{name}");
        }
        assert!(plan.bound as usize <= plan.sheets.len());
        assert_eq!(plan.sheets.len(), boards, "{name}");
    }
}
