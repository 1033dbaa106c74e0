//! From plate to surface: the mean over a spacing passes up whole, the ripple only in part.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::plate::Plate;
use super::water::Water;
use super::{FloorMapSolution, PlateValues, Surroundings};

/// Cells with less slab than this are left out of the extremes and the picture.
const LEAST_SHARE_SHOWN: f64 = 0.5;

/// Fills in the surface of a solution from the plate's excess over the room.
pub(super) fn surface(
    plate: &Plate,
    water: &Water,
    field: &[f64],
    values: &PlateValues,
    around: Surroundings,
    mut solution: FloorMapSolution,
) -> FloorMapSolution {
    let window = values.spacing_in / plate.cell;
    let weighted: Vec<f64> = field.iter().zip(&plate.share).map(|(t, s)| t * s).collect();
    let (sums, weights) =
        (box_sums(plate, &weighted, window), box_sums(plate, &plate.share, window));
    let mut tube = vec![0.0; field.len()];
    water.mark(&mut tube);
    let near_tube = box_sums(plate, &tube, 1.5 * window);
    let mut tally = Tally::default();
    let (columns, rows) = (plate.width - 4, plate.height - 4);
    let mut shown = Vec::with_capacity(columns * rows);
    for j in 2..plate.height - 2 {
        for i in 2..plate.width - 2 {
            let cell = j * plate.width + i;
            let share = plate.share[cell];
            if share <= 0.0 {
                shown.push(f64::NAN);
                continue;
            }
            let mean = sums[cell] / weights[cell].max(1e-12);
            let over = field[cell] - mean;
            let part = if over > 0.0 { values.ripple.crest } else { values.ripple.trough };
            let excess = mean + part * over;
            let surface = around.room + values.surface_share * excess;
            // Means come from the plate itself, so that they agree with the heat that goes up.
            let plain = around.room + values.surface_share * field[cell];
            tally.add(cell, share, (surface, plain), near_tube[cell] > 1e-9);
            shown.push(if share < LEAST_SHARE_SHOWN { f64::NAN } else { surface });
        }
    }
    // Between cell middles the crest over a tube is missed: ask the tubes themselves.
    for (cell, felt) in
        water.felt(field).filter(|(cell, _)| plate.share[*cell] >= LEAST_SHARE_SHOWN)
    {
        let mean = sums[cell] / weights[cell].max(1e-12);
        let excess = mean + values.ripple.tube * (felt - mean);
        tally.warm(cell, around.room + values.surface_share * excess);
    }
    let at = |found: (f64, usize)| (found.0, plate.middle(found.1));
    if let Some(hottest) = tally.hottest {
        solution.hottest = at(hottest);
    }
    if let Some(coldest) = tally.coldest.or(tally.coldest_anywhere) {
        solution.coldest = at(coldest);
    }
    // The bottom of a valley lies between cell middles, and along a wall the nearest middles do
    // not show it: every valley is asked for its bottom.
    for (place, &surface) in shown.iter().enumerate() {
        let (i, j) = (place % columns, place / columns);
        let cell = (j + 2) * plate.width + i + 2;
        let is_near = tally.coldest.is_some() && near_tube[cell] > 1e-9;
        let bottom = surface - valley_drop(&shown, columns, (i, j));
        if is_near && bottom < solution.coldest.0 {
            solution.coldest = (bottom, plate.middle(cell));
        }
    }
    solution.mean = tally.all.mean();
    solution.heated_mean =
        if tally.heated.weight > 0.0 { tally.heated.mean() } else { solution.mean };
    solution.origin = plate.middle(2 * plate.width + 2)
        - crate::geometry::Vector::new(0.5 * plate.cell, 0.5 * plate.cell);
    solution.cell_in = plate.cell;
    (solution.columns, solution.rows, solution.surface) = (columns, rows, shown);
    solution
}

/// How far the bottom of a valley lies below the middle of its lowest cell: by a parabola across
/// and one up; nothing where a neighbor is missing or lower.
fn valley_drop(shown: &[f64], columns: usize, (i, j): (usize, usize)) -> f64 {
    let here = shown[j * columns + i];
    let rows = shown.len() / columns;
    let drop = |before: f64, after: f64| {
        let curve = before - 2.0 * here + after;
        let is_valley = before >= here && after >= here && curve > 1e-9;
        if is_valley { (before - after) * (before - after) / (8.0 * curve) } else { 0.0 }
    };
    let mut sum = 0.0;
    if i > 0 && i + 1 < columns {
        sum += drop(shown[j * columns + i - 1], shown[j * columns + i + 1]);
    }
    if j > 0 && j + 1 < rows {
        sum += drop(shown[(j - 1) * columns + i], shown[(j + 1) * columns + i]);
    }
    sum
}

/// Extremes and means, as cells come by.
#[derive(Default)]
struct Tally {
    hottest: Option<(f64, usize)>,
    coldest: Option<(f64, usize)>,
    coldest_anywhere: Option<(f64, usize)>,
    all: Mean,
    heated: Mean,
}

#[derive(Default)]
struct Mean {
    sum: f64,
    weight: f64,
}

impl Mean {
    fn mean(&self) -> f64 {
        if self.weight > 0.0 { self.sum / self.weight } else { 0.0 }
    }
}

impl Tally {
    fn add(&mut self, cell: usize, share: f64, (surface, plain): (f64, f64), is_heated: bool) {
        self.all.sum += share * plain;
        self.all.weight += share;
        if is_heated {
            self.heated.sum += share * plain;
            self.heated.weight += share;
        }
        if share < LEAST_SHARE_SHOWN {
            return;
        }
        let colder = |best: Option<(f64, usize)>| best.is_none_or(|b| surface < b.0);
        self.warm(cell, surface);
        if colder(self.coldest_anywhere) {
            self.coldest_anywhere = Some((surface, cell));
        }
        if is_heated && colder(self.coldest) {
            self.coldest = Some((surface, cell));
        }
    }
}

impl Tally {
    fn warm(&mut self, cell: usize, surface: f64) {
        if self.hottest.is_none_or(|b| surface > b.0) {
            self.hottest = Some((surface, cell));
        }
    }
}

/// Sums over a square window of `window` cells about each cell, cut cells by their part.
fn box_sums(plate: &Plate, values: &[f64], window: f64) -> Vec<f64> {
    let (width, height) = (plate.width, plate.height);
    let mut across = vec![0.0; values.len()];
    let mut running = Vec::new();
    for j in 0..height {
        let row = &values[j * width..(j + 1) * width];
        window_sums(row.iter().copied(), window, &mut running, |i, sum| {
            across[j * width + i] = sum
        });
    }
    let mut both = vec![0.0; values.len()];
    for i in 0..width {
        let column = across[i..].iter().step_by(width).copied();
        window_sums(column, window, &mut running, |j, sum| both[j * width + i] = sum);
    }
    both
}

/// Sums of a row over a window about each place, from running sums with straight lines between.
fn window_sums(
    row: impl Iterator<Item = f64>,
    window: f64,
    running: &mut Vec<f64>,
    mut set: impl FnMut(usize, f64),
) {
    running.clear();
    running.push(0.0);
    let mut sum = 0.0;
    for value in row {
        sum += value;
        running.push(sum);
    }
    let count = running.len() - 1;
    let up_to = |place: f64| {
        let place = place.clamp(0.0, count as f64);
        let whole = (place.floor() as usize).min(count - 1);
        running[whole] + (running[whole + 1] - running[whole]) * (place - whole as f64)
    };
    for i in 0..count {
        let middle = i as f64 + 0.5;
        set(i, up_to(middle + 0.5 * window) - up_to(middle - 0.5 * window));
    }
}
