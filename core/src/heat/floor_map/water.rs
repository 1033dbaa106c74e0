//! Circuits on the plate: where each length of tube lies, and how its water cools.
//!
//! A circuit is walked in steps of about a cell. Each step exchanges heat with the sixteen cells
//! about its middle, by the weights of a cubic spline; so wide a kernel makes the answer the same
//! wherever a tube happens to lie between cell middles. Over a step the plate is at one
//! temperature and the water falls towards it exponentially, which is exact for that.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::WaterCircuit;
use super::plate::Plate;
use crate::geometry::Point;
use crate::units::exact_math::exp;

const METERS_PER_INCH: f64 = 0.0254;

/// A step of tube: the cells it heats and how strongly.
#[derive(Clone, Debug)]
struct Step {
    /// First of the sixteen cells, the south-west one.
    corner: usize,
    weights: [f64; 16],
    /// Heat for each kelvin between the water coming in and the plate, W/K.
    exchange: f64,
}

/// All circuits on a plate.
#[derive(Clone, Debug)]
pub(super) struct Water {
    steps: Vec<Step>,
    /// First step of each circuit, and one past the last.
    ranges: Vec<(usize, usize)>,
    /// Heat capacity of each circuit's flow, W/K, and its supply temperature over the room.
    flows: Vec<(f64, f64)>,
    width: usize,
}

/// What one circuit's water did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CircuitWater {
    /// Temperature at the return port.
    pub back: f64,
    /// Heat given off, W.
    pub heat: f64,
}

impl Water {
    pub(super) fn on(plate: &Plate, circuits: &[WaterCircuit<'_>], room: f64) -> Self {
        let mut water =
            Self { steps: Vec::new(), ranges: Vec::new(), flows: Vec::new(), width: plate.width };
        for circuit in circuits {
            let start = water.steps.len();
            for (&a, &b) in circuit.path.iter().zip(circuit.path.iter().skip(1)) {
                let length = (b - a).length();
                let pieces = (length / plate.cell).ceil().max(1.0);
                let piece = length / pieces * METERS_PER_INCH;
                let mut at = 0.5;
                while at < pieces && piece > 0.0 {
                    let middle = a + (b - a) * (at / pieces);
                    let exchange = exchange(circuit.to_plate * piece, circuit.flow);
                    water.steps.extend(step_at(plate, middle, exchange));
                    at += 1.0;
                }
            }
            water.ranges.push((start, water.steps.len()));
            water.flows.push((circuit.flow, circuit.supply - room));
        }
        water
    }

    /// Adds the exchange with the water, taken at its incoming temperature, to the matrix times
    /// a field.
    pub(super) fn add_times(&self, field: &[f64], product: &mut [f64]) {
        for step in &self.steps {
            let heat = step.exchange * self.plate_under(step, field);
            self.give(step, heat, product);
        }
    }

    /// Adds the same exchange to a diagonal.
    pub(super) fn add_diagonal(&self, diagonal: &mut [f64]) {
        for step in &self.steps {
            for (row, weights) in step.weights.chunks_exact(4).enumerate() {
                let from = step.corner + row * self.width;
                for (d, w) in diagonal[from..from + 4].iter_mut().zip(weights) {
                    *d += step.exchange * w * w;
                }
            }
        }
    }

    /// Walks every circuit over the plate at `field` (over the room), adds to `heat` what the
    /// water would give if the plate were at the room's temperature, and says what it did.
    pub(super) fn walk(&self, field: &[f64], heat: &mut [f64]) -> Vec<CircuitWater> {
        let mut circuits = Vec::with_capacity(self.flows.len());
        for (&(start, end), &(flow, supply)) in self.ranges.iter().zip(&self.flows) {
            let (mut here, mut given) = (supply, 0.0);
            for step in &self.steps[start..end] {
                self.give(step, step.exchange * here, heat);
                let out = step.exchange * (here - self.plate_under(step, field));
                given += out;
                here -= if flow > 0.0 { out / flow } else { 0.0 };
            }
            circuits.push(CircuitWater { back: here, heat: given });
        }
        circuits
    }

    /// Adds the length-weighted kernel of all tube to a field: where the floor is heated.
    pub(super) fn mark(&self, field: &mut [f64]) {
        for step in &self.steps {
            self.give(step, 1.0, field);
        }
    }

    /// Every step: the cell under its middle, and the plate as it feels it.
    pub(super) fn felt<'a>(&'a self, field: &'a [f64]) -> impl Iterator<Item = (usize, f64)> + 'a {
        self.steps.iter().map(|step| {
            let heaviest = (0..16).max_by(|&a, &b| step.weights[a].total_cmp(&step.weights[b]));
            let k = heaviest.unwrap_or(0);
            (step.corner + k / 4 * self.width + k % 4, self.plate_under(step, field))
        })
    }

    fn plate_under(&self, step: &Step, field: &[f64]) -> f64 {
        let mut sum = 0.0;
        for (row, weights) in step.weights.chunks_exact(4).enumerate() {
            let from = step.corner + row * self.width;
            let cells = &field[from..from + 4];
            sum += (weights[0] * cells[0] + weights[1] * cells[1])
                + (weights[2] * cells[2] + weights[3] * cells[3]);
        }
        sum
    }

    fn give(&self, step: &Step, heat: f64, field: &mut [f64]) {
        for (row, weights) in step.weights.chunks_exact(4).enumerate() {
            let from = step.corner + row * self.width;
            let cells = &mut field[from..from + 4];
            cells[0] += heat * weights[0];
            cells[1] += heat * weights[1];
            cells[2] += heat * weights[2];
            cells[3] += heat * weights[3];
        }
    }
}

/// Heat over a step for each kelvin between incoming water and plate: flow·(1 − e^(−G/flow)).
fn exchange(conductance: f64, flow: f64) -> f64 {
    if flow <= 0.0 {
        return 0.0;
    }
    let units = conductance / flow;
    if units < 1e-4 {
        // The same by its series, which does not cancel for a large flow.
        conductance * (1.0 - units / 2.0 + units * units / 6.0)
    } else {
        flow * (1.0 - exp(-units))
    }
}

/// The sixteen cells about a point that are slab; none when there are none.
fn step_at(plate: &Plate, at: Point, exchange: f64) -> Option<Step> {
    let along = |from: f64, to: f64, count: usize| {
        let place = (to - from) / plate.cell - 0.5;
        let first = place.floor();
        let held = first.clamp(1.0, count as f64 - 3.0);
        (held as usize - 1, spline((place - held).clamp(0.0, 1.0)))
    };
    let (column, across) = along(plate.origin.x, at.x, plate.width);
    let (row, down) = along(plate.origin.y, at.y, plate.height);
    let corner = row * plate.width + column;
    let mut weights = [0.0; 16];
    let mut sum = 0.0;
    for (k, weight) in weights.iter_mut().enumerate() {
        let (i, j) = (k % 4, k / 4);
        // A cell that is only partly slab takes its part.
        *weight = across[i] * down[j] * plate.share[corner + j * plate.width + i];
        sum += *weight;
    }
    if sum < 1e-3 {
        return None;
    }
    weights.iter_mut().for_each(|weight| *weight /= sum);
    Some(Step { corner, weights, exchange })
}

/// Weights of the cubic B-spline on the four nodes about a place `u` past the second.
fn spline(u: f64) -> [f64; 4] {
    let v = 1.0 - u;
    [
        v * v * v / 6.0,
        (3.0 * u * u * u - 6.0 * u * u + 4.0) / 6.0,
        (3.0 * v * v * v - 6.0 * v * v + 4.0) / 6.0,
        u * u * u / 6.0,
    ]
}
