//! Welded wire: sheets or rolls in lapped rows over the floor less cover.
//!
//! Both directions are laid and the one that needs fewer is kept. Each row goes from where to
//! where it meets the floor, so an L takes no mesh beyond its inside corner. Sheets that are cut
//! leave offcuts: pieces of the full width are cut from sheets by length, pieces of the last,
//! narrower row from sheets ripped along. A row of roll mesh may be spliced with a lap.

use super::spans::{Spans, passes_through};
use crate::cutting::stock_lengths::{CutProblem, Stock, cut_stock};
use crate::effort::{Budget, Cancel};
use crate::facts::steel::mesh_lb_per_100_ft2;
use crate::geometry::{Bounds, Point, Polygon, Vector, clip};
use crate::job::build_up::FloorSteel;

/// Steps spent on looking for the fewest sheets.
const CUTTING_STEPS: u64 = 200;
/// Shortest end of a roll that is still laid, inches.
const SHORTEST_END_IN: f64 = 48.0;
/// Least size of mesh that is laid, inches: guards the counts against absurd sizes.
const LEAST_SIZE_IN: f64 = 6.0;
/// A tie at least so often along a lap, inches (common practice).
const TIES_ALONG_LAP_IN: f64 = 24.0;

/// Mesh of a floor.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Mesh {
    pub(super) count: u32,
    pub(super) whole_count: u32,
    pub(super) name: String,
    pub(super) pieces: Vec<Vec<Point>>,
    pub(super) pounds: f64,
    pub(super) ties: u32,
}

/// Sizes of a sheet or roll, inches.
#[derive(Clone, Copy)]
struct Size {
    width: f64,
    length: f64,
    lap: f64,
}

/// A piece as laid: its box in turned axes.
type Laid = Vec<Bounds>;

/// The mesh of a floor less cover, laid along `along` or across it.
pub(super) fn lay_mesh(steel: FloorSteel, floor: &[Polygon], along: Vector) -> Mesh {
    let (wire, width, length, lap, is_sheet) = match steel {
        FloorSteel::MeshSheets { wire, width, length, lap } => (wire, width, length, lap, true),
        FloorSteel::MeshRolls { wire, width, length, lap } => (wire, width, length, lap, false),
        FloorSteel::None | FloorSteel::Bars { .. } => return Mesh::default(),
    };
    let size = Size {
        width: width.to_inches().max(LEAST_SIZE_IN),
        length: length.to_inches().max(LEAST_SIZE_IN),
        lap: lap.to_inches().max(0.0),
    };
    if size.lap >= size.width.min(size.length) / 2.0 {
        return Mesh::default();
    }
    let ways = [along, along.left()].map(|along| {
        let spans = Spans::of(floor, along)?;
        let laid = if is_sheet { lay_sheets(&spans, size) } else { lay_strips(&spans, size) };
        let count = if is_sheet { sheets_for(&laid, size) } else { rolls_for(&laid, size) };
        Some((count, laid, spans))
    });
    let best =
        ways.into_iter().flatten().min_by(|a, b| a.0.cmp(&b.0).then(a.1.len().cmp(&b.1.len())));
    let Some((count, laid, spans)) = best else { return Mesh::default() };
    let kind = if is_sheet { "sheets" } else { "rolls" };
    let feet = |inches: f64| (inches / 12.0 * 100.0).round() / 100.0;
    Mesh {
        count,
        whole_count: if is_sheet { counted(laid.len()) } else { count },
        name: format!("{} x {} ft {kind} 6x6-W{wire:.1}", feet(size.width), feet(size.length)),
        pounds: f64::from(count) * size.width * size.length / 144.0 / 100.0
            * mesh_lb_per_100_ft2(wire),
        ties: ties(&laid, size),
        pieces: in_plan(&laid, &spans, floor),
    }
}

/// Rows of sheets.
fn lay_sheets(spans: &Spans, size: Size) -> Laid {
    let mut laid = Vec::new();
    for (low, high) in rows(spans.bounds, size) {
        for (west, east) in spans.of_row(low, high) {
            for (from, to) in lapped(west, east, size.length, size.lap) {
                laid.push(Bounds { min: Point::new(from, low), max: Point::new(to, high) });
            }
        }
    }
    laid
}

/// Rows of roll mesh, each in one.
fn lay_strips(spans: &Spans, size: Size) -> Laid {
    let mut laid = Vec::new();
    for (low, high) in rows(spans.bounds, size) {
        for (west, east) in spans.of_row(low, high) {
            laid.push(Bounds { min: Point::new(west, low), max: Point::new(east, high) });
        }
    }
    laid
}

fn rows(bounds: Bounds, size: Size) -> Vec<(f64, f64)> {
    lapped(bounds.min.y, bounds.max.y, size.width, size.lap)
}

/// From where to where each of a lapped row of pieces lies; the last is cut.
fn lapped(from: f64, to: f64, length: f64, lap: f64) -> Vec<(f64, f64)> {
    let mut pieces = vec![(from, (from + length).min(to))];
    let mut start = from;
    // A hair is forgiven, so that 9 ft 6 in in one sheet and its lap need no third.
    while start + length < to - 1e-6 && pieces.len() < 100_000 {
        start += length - lap;
        pieces.push((start, (start + length).min(to)));
    }
    pieces
}

/// Sheets to buy for pieces of full and of cut width.
fn sheets_for(laid: &Laid, size: Size) -> u32 {
    let is_full = |piece: &&Bounds| piece.height() > size.width - 1e-6;
    let of_full_width: Vec<f64> = laid.iter().filter(is_full).map(|piece| piece.width()).collect();
    let narrow: Vec<&Bounds> = laid.iter().filter(|piece| !is_full(piece)).collect();
    let mut sheets = lengths_for(&of_full_width, size.length);
    if let Some(widest) = narrow.iter().map(|piece| piece.height()).reduce(f64::max) {
        let lengths: Vec<f64> = narrow.iter().map(|piece| piece.width()).collect();
        #[expect(clippy::cast_possible_truncation, reason = "clamped")]
        #[expect(clippy::cast_sign_loss, reason = "clamped")]
        let in_one = (size.width / widest.max(1.0)).floor().clamp(1.0, 1000.0) as u32;
        sheets += lengths_for(&lengths, size.length).div_ceil(in_one);
    }
    sheets
}

/// Stock lengths needed for pieces.
fn lengths_for(pieces: &[f64], stock: f64) -> u32 {
    let whole = pieces.iter().filter(|&&piece| piece > stock - 1e-6).count();
    let cut: Vec<f64> = pieces.iter().copied().filter(|&piece| piece <= stock - 1e-6).collect();
    let stocks = [Stock { length: stock, cost: 1 }];
    let problem = CutProblem { stocks: &stocks, pieces: &cut, kerf: 0.0 };
    let mut budget = Budget::new(CUTTING_STEPS, Cancel::new());
    // No one can raise this flag, so there is always a plan.
    let plan = cut_stock(&problem, &mut budget).unwrap_or_default();
    counted(whole + plan.cuts.len())
}

/// Rolls unrolled one after the other, spliced with a lap where one ends.
fn rolls_for(laid: &Laid, size: Size) -> u32 {
    let (mut rolls, mut left) = (0_u32, 0.0_f64);
    for piece in laid {
        let mut need = piece.width();
        while need > 1e-6 && rolls < 100_000 {
            if left < need && left < SHORTEST_END_IN {
                rolls += 1;
                left = size.length;
            }
            let used = left.min(need);
            left -= used;
            need -= used;
            if need > 1e-6 {
                need += size.lap;
            }
        }
    }
    rolls
}

/// Ties along the laps: between neighbours of a row, and between rows.
fn ties(laid: &Laid, size: Size) -> u32 {
    let mut along_laps = 0.0;
    for (piece, next) in laid.iter().zip(laid.iter().skip(1)) {
        if piece.min.y == next.min.y && next.min.x < piece.max.x {
            along_laps += piece.height();
        }
    }
    let first_row = laid.first().map_or(0.0, |piece| piece.min.y);
    let upper: f64 =
        laid.iter().filter(|piece| piece.min.y > first_row).map(|piece| piece.width()).sum();
    if size.lap > 0.0 {
        along_laps += upper;
    }
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    #[expect(clippy::cast_sign_loss, reason = "clamped")]
    let ties = (along_laps / TIES_ALONG_LAP_IN).ceil().clamp(0.0, 1e9) as u32;
    ties
}

/// The pieces in plan, clipped where the floor's own sides pass through them.
fn in_plan(laid: &Laid, spans: &Spans, floor: &[Polygon]) -> Vec<Vec<Point>> {
    let sides: Vec<(Point, Point)> = floor
        .iter()
        .flat_map(Polygon::edges)
        .map(|(from, to)| (spans.turned(from), spans.turned(to)))
        .collect();
    let mut row = f64::NAN;
    let mut beside: Vec<(Point, Point)> = Vec::new();
    let mut pieces = Vec::with_capacity(laid.len());
    for piece in laid {
        if piece.min.y != row {
            // Pieces come row by row, and only sides that reach into the row can cross them.
            row = piece.min.y;
            let reaches = |side: &&(Point, Point)| {
                side.0.y.max(side.1.y) > piece.min.y && side.0.y.min(side.1.y) < piece.max.y
            };
            beside = sides.iter().filter(reaches).copied().collect();
        }
        let (min, max) = (piece.min, piece.max);
        let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)]
            .map(|corner| spans.plan(corner))
            .to_vec();
        let inner = piece.grown(-0.01);
        if !beside.iter().any(|&(from, to)| passes_through(inner, from, to)) {
            pieces.push(corners);
            continue;
        }
        let parts = clip::intersection(&[Polygon::new(corners, Vec::new())], floor);
        pieces.extend(parts.into_iter().map(|part| part.outer));
    }
    pieces
}

fn counted(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn floor(x: f64, y: f64) -> Vec<Polygon> {
        vec![Polygon::rectangle(Point::new(2.0, 2.0), Point::new(x * 12.0 - 2.0, y * 12.0 - 2.0))]
    }

    fn sheets(lap: f64) -> FloorSteel {
        FloorSteel::MeshSheets {
            wire: 2.9,
            width: Length::feet(5.0),
            length: Length::feet(10.0),
            lap: Length::inches(lap),
        }
    }

    #[test]
    fn offcuts_are_used_again() {
        let mesh = lay_mesh(sheets(6.0), &floor(24.0, 30.0), Vector::new(1.0, 0.0));
        assert_eq!(mesh.name, "5 x 10 ft sheets 6x6-W2.9");
        assert!(mesh.count < mesh.whole_count, "{} of {}", mesh.count, mesh.whole_count);
        // Never less than the floor itself.
        assert!(f64::from(mesh.count) * 50.0 > 24.0 * 30.0);
    }

    #[test]
    fn an_angled_floor_clips_its_mesh() {
        let triangle = Polygon::new(
            vec![Point::new(0.0, 0.0), Point::new(300.0, 0.0), Point::new(0.0, 300.0)],
            Vec::new(),
        );
        let mesh = lay_mesh(sheets(6.0), std::slice::from_ref(&triangle), Vector::new(1.0, 0.0));
        let covered: f64 = clip::union_all(
            &mesh.pieces.iter().map(|p| Polygon::new(p.clone(), vec![])).collect::<Vec<_>>(),
        )
        .iter()
        .map(Polygon::area)
        .sum();
        assert!((covered - triangle.area()).abs() < 1.0, "{covered}");
    }
}
