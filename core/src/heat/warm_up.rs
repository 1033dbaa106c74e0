//! How a floor warms up, and how long it remembers: the section in time.
//!
//! From everything at the room's temperature the water steps to its own and stays; how long
//! until the floor gives half, 63, 90, 95 per cent of what it will give? The grid of the steady
//! section is stepped by the two-stage singly implicit method of second order (Alexander 1977),
//! which damps the jump of the water and whatever is faster than a step; Crank and Nicolson would
//! not do, since from vertex to tube the resistance is negative on a fine grid and an undamped
//! fast mode would grow. The heat of each stage follows from the water's temperature. The
//! slowest time constant is the largest eigenvalue of stored heat over conductances, by inverse
//! iteration.
//!
//! Limits: the water is warm at once and as much of it as the floor will take; a boiler that
//! gives less takes longer, at the least the stored heat over its output.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::section::FloorSection;
use super::section::grid::{Around, Equations};
use super::section::half_cell::HalfCell;
use super::solver::BandFactor;

/// Length of a step, s.
const STEP_S: f64 = 300.0;
/// The method's coefficient: 1 − 1/√2.
const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Steps at most: ten days.
const STEPS_AT_MOST: usize = 2880;
/// Shares of the final flux that [`WarmUp`] gives the hours for.
pub const SHARES: [f64; 4] = [0.5, 0.632, 0.9, 0.95];

/// How a floor warms up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WarmUp {
    /// Hours to the [`SHARES`] of the final upward flux.
    pub hours: [f64; 4],
    /// Slowest time constant with the water held, hours.
    pub time_constant_h: f64,
    /// Upward flux as a share of the final one, at whole hours from 0.
    pub hourly: Vec<f64>,
}

/// Steps the floor in time for a day, or until it gives the last of the [`SHARES`]. `None` when its
/// sizes make no section.
///
/// Layers need their heat capacities; the lowest layer's underside stays at the temperature
/// that everything had at first.
#[must_use]
pub fn warm_up(floor: &FloorSection) -> Option<WarmUp> {
    const DAY_H: f64 = 24.0;
    let section = HalfCell::of(floor, 0)?;
    let is_over = |reached: usize, hours: f64| reached == SHARES.len() && hours > DAY_H;
    let (hours, shares) = follow(&section, is_over)?;
    let steps_an_hour = (3600.0 / STEP_S) as usize;
    Some(WarmUp {
        hours,
        time_constant_h: slowest_hours(&section),
        hourly: shares.iter().step_by(steps_an_hour).copied().collect(),
    })
}

/// Hours to the first `count` of the [`SHARES`], and no farther; 0 for the others. `None` as for
/// [`warm_up`].
#[must_use]
pub fn hours_to_shares(floor: &FloorSection, count: usize) -> Option<[f64; 4]> {
    let section = HalfCell::of(floor, 0)?;
    follow(&section, |reached, _| reached >= count).map(|(hours, _)| hours)
}

/// Hours to the [`SHARES`], and the share of the final flux after each step, until it is over, by
/// how many of those are reached and the hours gone by.
fn follow(
    section: &HalfCell,
    is_over: impl Fn(usize, f64) -> bool,
) -> Option<([f64; 4], Vec<f64>)> {
    let final_up = steady_up(section)?;
    let mut march = March::new(section)?;
    let mut hours = [0.0; 4];
    let mut shares = vec![0.0];
    let (mut reached, mut before) = (0, 0.0);
    for step in 0..STEPS_AT_MOST {
        march.step();
        let up = section.equations.flow_into(Around::Room, 0.0, &march.field);
        let now = up / (0.5 * section.floor.spacing) / final_up;
        if !(-0.5..1.5).contains(&now) {
            return None;
        }
        shares.push(now);
        while reached < SHARES.len() && now >= SHARES[reached] {
            let part = (SHARES[reached] - before) / (now - before).max(1e-12);
            hours[reached] = (step as f64 + part) * STEP_S / 3600.0;
            reached += 1;
        }
        if is_over(reached, (step + 2) as f64 * STEP_S / 3600.0) {
            break;
        }
        before = now;
    }
    Some((hours, shares))
}

/// The state in time, with the equations of one stage factored.
struct March<'a> {
    section: &'a HalfCell,
    /// Conductances and capacity over γ times the step.
    factor: BandFactor,
    /// Rise of the field at the end of a stage from one watt during it, per metre of tube.
    rise: Vec<f64>,
    field: Vec<f64>,
}

impl<'a> March<'a> {
    fn new(section: &'a HalfCell) -> Option<Self> {
        let equations = &section.equations;
        let mut matrix = equations.matrix().clone();
        for (vertex, capacity) in equations.capacity.iter().enumerate() {
            matrix.add(vertex, vertex, capacity / (GAMMA * STEP_S));
        }
        let factor = matrix.factor()?;
        let rise = factor.solve(section.source(1.0));
        let field = vec![0.0; equations.capacity.len()];
        Some(Self { section, factor, rise, field })
    }

    fn step(&mut self) {
        let first = self.stage(&self.field);
        // The second stage starts as far along the first one's slope as the method weighs it.
        let ahead = (1.0 - GAMMA) / GAMMA;
        let start: Vec<f64> =
            self.field.iter().zip(&first).map(|(old, new)| old + ahead * (new - old)).collect();
        self.field = self.stage(&start);
    }

    /// A stage from `start`: (C/(γΔ) + A)·T = C/(γΔ)·start + heat of the tube, water at 1.
    fn stage(&self, start: &[f64]) -> Vec<f64> {
        let capacity = &self.section.equations.capacity;
        let held = capacity.iter().zip(start).map(|(c, t)| c * t / (GAMMA * STEP_S)).collect();
        let free = self.factor.solve(held);
        let at = self.section.tube_vertex;
        let heat = (1.0 - free[at]) / (tube_to_vertex(self.section) + self.rise[at]);
        free.iter().zip(&self.rise).map(|(t, rise)| t + heat * rise).collect()
    }
}

/// From the water to the tube's vertex, m·K/W; may be negative on a fine grid.
fn tube_to_vertex(section: &HalfCell) -> f64 {
    section.floor.tube.resistance() + section.vertex_to_tube()
}

/// Upward flux at last for water at 1 and all else at 0, W/m².
fn steady_up(section: &HalfCell) -> Option<f64> {
    let response = section.equations.with_heats(section.source(1.0));
    let heat = 1.0 / (tube_to_vertex(section) + response[section.tube_vertex]);
    let up = section.equations.flow_into(Around::Room, 0.0, &response);
    let flux = heat * up / (0.5 * section.floor.spacing);
    (flux > 0.0).then_some(flux)
}

/// Slowest time constant, hours: the largest eigenvalue of (conductances)⁻¹ · capacities with
/// the water held at zero.
fn slowest_hours(section: &HalfCell) -> f64 {
    let equations: &Equations = &section.equations;
    let response = equations.with_heats(section.source(1.0));
    let at = section.tube_vertex;
    let mut field: Vec<f64> = vec![1.0; equations.capacity.len()];
    let mut constant = 0.0;
    for _ in 0..40 {
        let stored = equations.capacity.iter().zip(&field).map(|(c, t)| c * t).collect();
        let free = equations.with_heats(stored);
        let heat = -free[at] / (tube_to_vertex(section) + response[at]);
        let next: Vec<f64> = free.iter().zip(&response).map(|(t, r)| t + heat * r).collect();
        let norm = |field: &[f64]| -> f64 {
            equations.capacity.iter().zip(field).map(|(c, t)| c * t * t).sum::<f64>().sqrt()
        };
        let (before, after) = (norm(&field), norm(&next));
        if before <= 0.0 || after <= 0.0 {
            return 0.0;
        }
        let estimate = after / before;
        let is_settled = (estimate / constant - 1.0).abs() < 1e-9;
        constant = estimate;
        field = next.iter().map(|t| t / after).collect();
        if is_settled {
            break;
        }
    }
    constant / 3600.0
}

/// Heat stored in the slab for each kelvin, J/(m²·K).
#[must_use]
pub fn stored_heat(floor: &FloorSection) -> f64 {
    floor.slab.thickness * floor.slab.heat_capacity
}

/// Slowest time constant of a slab that cools upward only, insulated below, hours: exact, from
/// the first root of ζ·tan ζ = h·L/k.
#[must_use]
pub fn cooling_hours(thickness: f64, conductivity: f64, heat_capacity: f64, surface: f64) -> f64 {
    use crate::units::exact_math::tan;
    let biot = surface * thickness / conductivity;
    let (mut low, mut high) = (0.0, std::f64::consts::FRAC_PI_2 - 1e-12);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if middle * tan(middle) < biot { low = middle } else { high = middle }
    }
    if low <= 0.0 {
        return f64::INFINITY;
    }
    thickness * thickness * heat_capacity / (conductivity * low * low) / 3600.0
}
