//! The half cell from a tube's axis to the middle between two tubes: its grid, and the tube as a
//! vertex of it.
//!
//! Steady sections and their warm-up share it. What the tube's vertex and its pair stand for is
//! said in [`super`].

use super::FloorSection;
use super::grid::{Around, Cell, Equations, Film, Grading, Grid, graded_steps};
use crate::units::exact_math::ln;
use std::f64::consts::PI;

/// Radius round a vertex where the lattice solution equals the vertex value, in steps:
/// e^(−γ)/√8 with Euler's constant γ.
pub const LATTICE_RADIUS: f64 = 0.198_506_2;
/// Step next to the tube on the coarsest grid, m (a quarter inch).
const FIRST_STEP: f64 = 0.006_35;
/// How grid lines thin out away from the tube.
const GRADING: Grading = Grading { even: 5, growth: 1.22, longest: 0.025 };
/// Potential of the square lattice between a source and a vertex two steps away, in quarters of
/// heat over conductivity: 4 − 8/π.
const LATTICE_TWO_AWAY: f64 = 4.0 - 8.0 / PI;

/// A half cell with its equations factored.
#[derive(Clone, Debug)]
pub struct HalfCell {
    /// What it is of.
    pub floor: FloorSection,
    /// The grid.
    pub grid: Grid,
    /// Its equations.
    pub equations: Equations,
    /// Row of the tube in the grid; its column is the first.
    pub tube_row: usize,
    /// Number of the tube's vertex.
    pub tube_vertex: usize,
    /// Step of the grid next to the tube, m.
    pub step: f64,
}

impl HalfCell {
    /// The half cell of a floor with the lines of the coarsest grid halved `fineness` times;
    /// `None` when its sizes make no section.
    #[must_use]
    pub fn of(floor: &FloorSection, fineness: u32) -> Option<Self> {
        if !floor.is_a_section() {
            return None;
        }
        let (grid, tube_row, step) = grid_of(floor, fineness);
        let equations = grid.equations()?;
        let tube_vertex = equations.number(0, tube_row);
        Some(Self { floor: floor.clone(), grid, equations, tube_row, tube_vertex, step })
    }

    /// Heats at the vertices for `heat` W from a metre of tube, of which half lies in here.
    #[must_use]
    pub fn source(&self, heat: f64) -> Vec<f64> {
        let mut heats = vec![0.0; self.equations.capacity.len()];
        if let Some(at) = heats.get_mut(self.tube_vertex) {
            *at = 0.5 * heat;
        }
        heats
    }

    /// From the tube's vertex to its outer radius, m·K/W; negative while the grid is finer than
    /// the tube.
    #[must_use]
    pub fn vertex_to_tube(&self) -> f64 {
        let radii = 0.5 * self.floor.tube.outside / (LATTICE_RADIUS * self.step);
        -ln(radii) / (2.0 * PI * self.floor.slab.conductivity)
    }

    /// Width and temperature of each vertex along the top of the slab.
    #[must_use]
    pub fn top_temperatures(&self, field: &[f64]) -> Vec<(f64, f64)> {
        let mut top: Vec<(f64, f64)> = Vec::with_capacity(self.grid.x.len());
        let mut before: Option<f64> = None;
        for (i, &x) in self.grid.x.iter().enumerate() {
            let half_step = before.map_or(0.0, |b| 0.5 * (x - b));
            if let Some(last) = top.last_mut() {
                last.0 += half_step;
            }
            top.push((half_step, field.get(self.equations.number(i, 0)).copied().unwrap_or(0.0)));
            before = Some(x);
        }
        top
    }
}

/// The grid of the half cell, its lines halved `fineness` times, with the row of the tube
/// and the step next to it.
fn grid_of(floor: &FloorSection, fineness: u32) -> (Grid, usize, f64) {
    let axis = floor.held_axis_depth();
    let below = floor.slab.thickness - axis;
    let mut first = FIRST_STEP.min(floor.spacing / 8.0);
    for near in [below, axis] {
        if near > 0.0 && near < GRADING.even as f64 * first {
            first = near / (near / first - 1e-9).ceil();
        }
    }
    let mut down = graded_steps(below, first, GRADING);
    let mut materials = vec![floor.slab; down.len()];
    for layer in &floor.under {
        let longest = layer.thickness / 4.0;
        let start = down.last().copied().unwrap_or(first).min(longest);
        let grading = Grading { even: 0, growth: 1.4, longest };
        let steps = graded_steps(layer.thickness, start, grading);
        materials.extend(std::iter::repeat_n(*layer, steps.len()));
        down.extend(steps);
    }
    let mut steps = graded_steps(axis, first, GRADING);
    steps.reverse();
    let tube_row = steps.len() << fineness;
    materials.splice(0..0, std::iter::repeat_n(floor.slab, steps.len()));
    steps.extend(down);
    let across = graded_steps(floor.spacing / 2.0, first, GRADING);
    let (x, z) = (lines(&across, fineness), lines(&steps, fineness));
    let columns = x.len() - 1;
    let cells = materials
        .iter()
        .flat_map(|m| std::iter::repeat_n(m, columns << fineness))
        .map(|m| Cell::Solid(m.conductivity, m.heat_capacity))
        .collect();
    let films = vec![Film { to: Around::Room, coefficient: floor.coefficient_up() }];
    let grid = Grid { x, z, cells, films, above: Some(Around::Room), bottom_is_ground: true };
    (grid, tube_row, first / f64::from(1 << fineness))
}

/// Grid lines from steps, every step halved `fineness` times.
fn lines(steps: &[f64], fineness: u32) -> Vec<f64> {
    let parts = 1_u32 << fineness;
    let mut at = 0.0;
    let mut lines = vec![0.0];
    for step in steps {
        for part in 1..=parts {
            lines.push(at + step * f64::from(part) / f64::from(parts));
        }
        at += step;
    }
    lines
}

/// The pair of a source and a sink that lets a tube give off more on one side.
pub(super) struct Lean {
    /// Vertices over and under the tube's.
    over: usize,
    under: usize,
    step: f64,
    /// Field of a unit pair.
    field: Vec<f64>,
    /// Strength of the pair for each kelvin per metre of slope that other causes make.
    strength: f64,
}

impl Lean {
    pub(super) fn of(cell: &HalfCell) -> Option<Self> {
        let HalfCell { floor, equations, tube_row, step, .. } = cell;
        let (row, step) = (*tube_row, *step);
        let (over, under) =
            (equations.number(0, row.checked_sub(1)?), equations.number(0, row + 1));
        let (low, high) = (equations.with_heat_at(under), equations.with_heat_at(over));
        let field: Vec<f64> = low.iter().zip(&high).map(|(a, b)| 0.5 * (a - b)).collect();
        let mut lean = Self { over, under, step, field, strength: 0.0 };
        let k = floor.slab.conductivity;
        // The slope that the pair's own near field shows across the tube is none of the slab's.
        let own = LATTICE_TWO_AWAY / (4.0 * k * step);
        let reflected = lean.slope(&lean.field) - own;
        let radius = 0.5 * floor.tube.outside;
        let per_slope = floor.tube.leveling(k) * radius * radius * PI * k / step;
        lean.strength = per_slope / (1.0 - per_slope * reflected);
        Some(lean)
    }

    /// Slope of temperature downward across the tube, K/m.
    fn slope(&self, field: &[f64]) -> f64 {
        let at = |vertex: usize| field.get(vertex).copied().unwrap_or(0.0);
        (at(self.under) - at(self.over)) / (2.0 * self.step)
    }

    /// A field with the pair that it calls for.
    pub(super) fn with_pair(&self, field: &[f64]) -> Vec<f64> {
        let strength = self.strength * self.slope(field);
        field.iter().zip(&self.field).map(|(t, pair)| t + strength * pair).collect()
    }
}
