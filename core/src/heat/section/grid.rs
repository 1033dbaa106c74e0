//! A cross-section cut into rectangles, and the conductances between their corners.
//!
//! Unknown temperatures stand at the corners of cells (finite volumes about vertices), so that
//! layer faces and surfaces are grid lines and their temperatures come out directly. Each cell
//! of conductivity k gives every one of its four sides half of its own conductance. A face
//! between a cell and air has a film; a far side of the grid may be held at a temperature or let
//! no heat through. Second order in the cell size on evenly refined grids.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use crate::heat::solver::{BandFactor, BandMatrix};

/// A place of known temperature that a section gives heat to or takes it from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Around {
    /// Room air over the floor.
    Room,
    /// The ground far below.
    Ground,
    /// Outside air.
    Outside,
}

/// What fills a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// Something that conducts: W/(m·K), and its heat capacity by volume, J/(m³·K).
    Solid(f64, f64),
    /// Air: faces to it have a film.
    Air(Around),
    /// Something that conducts nothing and takes no part.
    Void,
}

/// A film on the faces to air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Film {
    /// The air.
    pub to: Around,
    /// W/(m²·K).
    pub coefficient: f64,
}

/// A graded grid with its cells. Lengths in m; `z` runs down.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Vertical grid lines.
    pub x: Vec<f64>,
    /// Horizontal grid lines, downward.
    pub z: Vec<f64>,
    /// Cells by row from the top: `(x.len() - 1)` to a row.
    pub cells: Vec<Cell>,
    /// Films, at most one to each air.
    pub films: Vec<Film>,
    /// What lies over the top line, when the top of the grid is a surface.
    pub above: Option<Around>,
    /// The bottom line is held at the ground's temperature; else no heat passes it.
    pub bottom_is_ground: bool,
}

/// A conductance from a vertex to a place of known temperature, W/(m·K) per metre of section.
#[derive(Clone, Copy, Debug)]
struct Tie {
    vertex: usize,
    to: Around,
    conductance: f64,
}

/// The grid's equations, factored.
#[derive(Clone, Debug)]
pub struct Equations {
    columns: usize,
    rows: usize,
    across: bool,
    matrix: BandMatrix,
    factor: BandFactor,
    ties: Vec<Tie>,
    /// Heat capacity about each vertex, J/(m·K).
    pub capacity: Vec<f64>,
}

impl Grid {
    /// Assembles and factors the equations; `None` when some part is tied to no temperature.
    #[must_use]
    pub fn equations(&self) -> Option<Equations> {
        let (columns, rows) = (self.x.len(), self.z.len());
        if columns < 2 || rows < 2 || self.cells.len() != (columns - 1) * (rows - 1) {
            return None;
        }
        let across = columns <= rows;
        let mut build = Build {
            columns,
            rows,
            across,
            matrix: BandMatrix::new(columns * rows, columns.min(rows) + 1),
            ties: Vec::new(),
            capacity: vec![0.0; columns * rows],
        };
        for j in 0..rows - 1 {
            for i in 0..columns - 1 {
                if let Cell::Solid(k, heat) = self.cells[j * (columns - 1) + i] {
                    build.add_cell(self, (i, j), k, heat);
                }
            }
        }
        self.add_films(&mut build);
        // A vertex that no solid touches takes no part: it is given a temperature of zero.
        for vertex in 0..columns * rows {
            if build.matrix.diagonal(vertex) <= 0.0 {
                build.matrix.add(vertex, vertex, 1.0);
            }
        }
        let matrix = build.matrix.clone();
        let factor = build.matrix.factor()?;
        let Build { ties, capacity, .. } = build;
        Some(Equations { columns, rows, across, matrix, factor, ties, capacity })
    }

    fn cell(&self, i: usize, j: usize) -> Cell {
        self.cells[j * (self.x.len() - 1) + i]
    }

    fn add_films(&self, build: &mut Build) {
        let (columns, rows) = (self.x.len(), self.z.len());
        for j in 0..rows - 1 {
            for i in 0..columns - 1 {
                if !matches!(self.cell(i, j), Cell::Solid(..)) {
                    continue;
                }
                let over = if j > 0 { air(self.cell(i, j - 1)) } else { self.above };
                let under = if j + 2 < rows { air(self.cell(i, j + 1)) } else { None };
                let left = if i > 0 { air(self.cell(i - 1, j)) } else { None };
                let right = if i + 2 < columns { air(self.cell(i + 1, j)) } else { None };
                let (dx, dz) = (self.x[i + 1] - self.x[i], self.z[j + 1] - self.z[j]);
                let corners = |a: (usize, usize), b: (usize, usize)| [a, b];
                for (to, length, ends) in [
                    (over, dx, corners((i, j), (i + 1, j))),
                    (under, dx, corners((i, j + 1), (i + 1, j + 1))),
                    (left, dz, corners((i, j), (i, j + 1))),
                    (right, dz, corners((i + 1, j), (i + 1, j + 1))),
                ] {
                    let film = to.and_then(|to| self.films.iter().find(|film| film.to == to));
                    if let Some(film) = film {
                        for end in ends {
                            build.tie(end, film.to, film.coefficient * length / 2.0);
                        }
                    }
                }
            }
        }
    }
}

fn air(cell: Cell) -> Option<Around> {
    if let Cell::Air(around) = cell { Some(around) } else { None }
}

struct Build {
    columns: usize,
    rows: usize,
    across: bool,
    matrix: BandMatrix,
    ties: Vec<Tie>,
    capacity: Vec<f64>,
}

impl Build {
    fn number(&self, (i, j): (usize, usize)) -> usize {
        if self.across { j * self.columns + i } else { i * self.rows + j }
    }

    fn tie(&mut self, at: (usize, usize), to: Around, conductance: f64) {
        let vertex = self.number(at);
        self.matrix.add(vertex, vertex, conductance);
        self.ties.push(Tie { vertex, to, conductance });
    }

    fn add_cell(&mut self, grid: &Grid, (i, j): (usize, usize), k: f64, heat: f64) {
        let (dx, dz) = (grid.x[i + 1] - grid.x[i], grid.z[j + 1] - grid.z[j]);
        let is_held = |row: usize| grid.bottom_is_ground && row + 1 == self.rows;
        let (low_held, high_held) = (is_held(j), is_held(j + 1));
        debug_assert!(!low_held);
        let (across, down) = (k * dz / dx / 2.0, k * dx / dz / 2.0);
        let [a, b] = [(i, j), (i + 1, j)].map(|at| self.number(at));
        let [c, d] = [(i, j + 1), (i + 1, j + 1)].map(|at| self.number(at));
        self.matrix.link(a, b, across);
        if high_held {
            self.tie((i, j), Around::Ground, down);
            self.tie((i + 1, j), Around::Ground, down);
        } else {
            self.matrix.link(c, d, across);
            self.matrix.link(a, c, down);
            self.matrix.link(b, d, down);
        }
        for vertex in [a, b, c, d] {
            self.capacity[vertex] += heat * dx * dz / 4.0;
        }
    }
}

impl Equations {
    /// Number of the vertex at a column and row.
    #[must_use]
    pub fn number(&self, column: usize, row: usize) -> usize {
        if self.across { row * self.columns + column } else { column * self.rows + row }
    }

    /// Temperatures when one place is at 1 and every other at 0, without heat from tubes.
    #[must_use]
    pub fn with_place_at_one(&self, place: Around) -> Vec<f64> {
        let mut heat = vec![0.0; self.capacity.len()];
        for tie in self.ties.iter().filter(|tie| tie.to == place) {
            heat[tie.vertex] += tie.conductance;
        }
        self.factor.solve(heat)
    }

    /// Temperatures when a vertex gives off 1 W/m and every place is at 0.
    #[must_use]
    pub fn with_heat_at(&self, vertex: usize) -> Vec<f64> {
        let mut heat = vec![0.0; self.capacity.len()];
        heat[vertex] = 1.0;
        self.factor.solve(heat)
    }

    /// Temperatures for any heat at the vertices, W/m, with every place at 0.
    #[must_use]
    pub fn with_heats(&self, heats: Vec<f64>) -> Vec<f64> {
        self.factor.solve(heats)
    }

    /// Heat that flows into a place at `temperature`, W/m of section.
    #[must_use]
    pub fn flow_into(&self, place: Around, temperature: f64, field: &[f64]) -> f64 {
        let ties = self.ties.iter().filter(|tie| tie.to == place);
        ties.map(|tie| tie.conductance * (field[tie.vertex] - temperature)).sum()
    }

    /// The conductance matrix itself, for steps in time.
    #[must_use]
    pub fn matrix(&self) -> &BandMatrix {
        &self.matrix
    }
}

/// How grid lines thin out with the distance from a tube.
#[derive(Clone, Copy, Debug)]
pub struct Grading {
    /// Even steps next to the tube.
    pub even: usize,
    /// Growth of a step over the one before.
    pub growth: f64,
    /// No step is longer, m.
    pub longest: f64,
}

/// Steps that fill `length` starting with `first`: some even ones, then growing. What does not
/// come out even is spread over the steps that grew, never over the even ones.
#[must_use]
pub fn graded_steps(length: f64, first: f64, grading: Grading) -> Vec<f64> {
    let mut steps = Vec::new();
    let (mut sum, mut step) = (0.0, first);
    while sum < length * (1.0 - 1e-9) {
        if steps.len() >= grading.even {
            step = (step * grading.growth).min(grading.longest.max(first));
        }
        steps.push(step);
        sum += step;
    }
    let over = sum - length;
    let grown: f64 = steps.iter().skip(grading.even).sum();
    if steps.len() > grading.even && grown > over {
        let scale = (grown - over) / grown;
        // A last growing step much shortened would make them all short: drop it instead.
        if scale < 0.6 && steps.len() > grading.even + 1 {
            steps.pop();
            let kept: f64 = steps.iter().skip(grading.even).sum();
            let even: f64 = steps.iter().take(grading.even).sum();
            let scale = (length - even) / kept;
            steps.iter_mut().skip(grading.even).for_each(|step| *step *= scale);
        } else {
            steps.iter_mut().skip(grading.even).for_each(|step| *step *= scale);
        }
    } else if let Some(last) = steps.pop() {
        // Only even steps: the remainder joins the last whole one.
        let rest = last - over;
        match steps.last_mut() {
            Some(before) if rest < 0.5 * first => *before += rest,
            _ => steps.push(rest),
        }
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_fill_their_length_and_keep_the_even_ones() {
        let grading = Grading { even: 4, growth: 1.25, longest: 10.0 };
        for length in [0.3, 1.0, 3.9, 4.0, 4.1, 5.0, 12.0, 100.0] {
            let steps = graded_steps(length, 1.0, grading);
            assert!((steps.iter().sum::<f64>() - length).abs() < 1e-9, "{length}: {steps:?}");
            assert!(steps.iter().all(|&s| s > 0.0));
            assert!(steps.iter().take(3).all(|&s| (s - 1.0).abs() < 1e-9) || length < 4.0);
        }
    }

    #[test]
    fn a_slab_without_tubes_is_a_chain_of_resistances() {
        let grid = Grid {
            x: vec![0.0, 0.1, 0.3],
            z: vec![0.0, 0.05, 0.1, 0.2],
            cells: vec![Cell::Solid(1.4, 2e6); 4]
                .into_iter()
                .chain(vec![Cell::Solid(0.03, 4e4); 2])
                .collect(),
            films: vec![Film { to: Around::Room, coefficient: 10.0 }],
            above: Some(Around::Room),
            bottom_is_ground: true,
        };
        let equations = grid.equations().unwrap();
        let field = equations.with_place_at_one(Around::Ground);
        let flow = 0.3 / (0.1 + 0.1 / 1.4 + 0.1 / 0.03);
        assert!((equations.flow_into(Around::Room, 0.0, &field) - flow).abs() < 1e-12);
        assert!((equations.flow_into(Around::Ground, 1.0, &field) + flow).abs() < 1e-12);
        assert!(
            (equations.capacity.iter().sum::<f64>() - 0.3 * (0.1 * 2e6 + 0.1 * 4e4)).abs() < 1e-6
        );
    }
}
