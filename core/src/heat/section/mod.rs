//! The cross-section: what a floor gives by conduction alone, for tube at any depth.
//!
//! Question: how much goes up, how much down, and how warm is the floor over a tube and between
//! two, for this slab on this foam? Steady conduction in the half cell from a tube to the middle
//! between two, by finite volumes on a graded grid ([`grid`]) with a direct solver.
//!
//! The tube is one vertex of the grid. Next to it the grid is square, and there a vertex that
//! gives off heat has the temperature of a circle of 0.1985 steps round it (Green's function of
//! the square lattice: e^(−γ)/√8), so the step from vertex to the tube's own radius is a
//! logarithm that is known. A tube near a face gives off more on one side than on the other; the
//! first harmonic of that is a pair of a source and a sink at the vertices over and under, as
//! strong as the temperature slope across the tube asks ([`Lean`]). Together they keep the error
//! of second order without a mesh that follows the circle; what is neglected is the second
//! harmonic, of the order of (radius over twice the distance to the face) to the fourth power.
//!
//! The equations are linear, so three solutions (ground a degree warmer; one watt from the tube;
//! the pair) give the answer for every temperature of water, room and ground:
//! [`SectionResponse`].
//! All SI: m, W, K; temperatures in °C or any scale of kelvins.

pub mod edge;
pub mod grid;
pub mod half_cell;

use crate::units::exact_math::ln;
use grid::Around;
use half_cell::{HalfCell, Lean};
use std::f64::consts::PI;

/// Grid halvings that [`SectionResponse::of`] uses.
const FINENESS: u32 = 1;

/// A layer of one material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// m.
    pub thickness: f64,
    /// W/(m·K).
    pub conductivity: f64,
    /// Heat capacity by volume, J/(m³·K); only warm-up asks for it.
    pub heat_capacity: f64,
}

/// The tube in a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionTube {
    /// Outside diameter, m.
    pub outside: f64,
    /// Inside diameter, m.
    pub inside: f64,
    /// Conductivity of the wall, W/(m·K).
    pub conductivity: f64,
    /// Film between water and wall, W/(m²·K); none when absent (the wall is at the water's
    /// temperature).
    pub water_film: Option<f64>,
}

impl SectionTube {
    /// How far the tube levels a slope of temperature in the concrete round it, from −1 (a tube
    /// that conducts perfectly) to 1 (one that insulates).
    ///
    /// First harmonic of conduction through the wall, the film inside it.
    #[must_use]
    fn leveling(&self, concrete: f64) -> f64 {
        let (outer, inner) = (0.25 * self.outside * self.outside, 0.25 * self.inside * self.inside);
        // −1 where the inner face is held at the water's temperature, 1 where nothing passes it.
        let held = self.water_film.map_or(-1.0, |film| {
            let through = film * 0.5 * self.inside;
            (self.conductivity - through) / (self.conductivity + through)
        });
        let ratio = self.conductivity / concrete * (outer - held * inner) / (outer + held * inner);
        (1.0 - ratio) / (1.0 + ratio)
    }

    /// Resistance from the water to the outside of the tube, m·K/W.
    #[must_use]
    pub fn resistance(&self) -> f64 {
        let wall = ln(self.outside / self.inside) / (2.0 * PI * self.conductivity);
        let film =
            self.water_film.filter(|h| *h > 0.0).map_or(0.0, |h| 1.0 / (h * PI * self.inside));
        wall + film
    }
}

/// A floor with evenly spaced tubes.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorSection {
    /// Spacing of the tubes, m.
    pub spacing: f64,
    /// Depth of the tube axis below the top of the slab, m; held inside the slab.
    pub axis_depth: f64,
    /// The slab.
    pub slab: Layer,
    /// The tube.
    pub tube: SectionTube,
    /// Resistance of the covering, m²·K/W.
    pub covering: f64,
    /// Surface coefficient, W/(m²·K).
    pub surface: f64,
    /// Layers under the slab from the top; under the last the ground has its temperature.
    pub under: Vec<Layer>,
}

impl FloorSection {
    /// Coefficient from the top of the slab to the room: covering and surface in series.
    #[must_use]
    pub fn coefficient_up(&self) -> f64 {
        1.0 / (self.covering + 1.0 / self.surface)
    }

    /// Whether the sizes make a section that can be solved.
    #[must_use]
    pub fn is_a_section(&self) -> bool {
        let tube = &self.tube;
        let layers = std::iter::once(&self.slab).chain(&self.under);
        let layers_are_sound =
            layers.into_iter().all(|l| l.thickness > 1e-6 && l.conductivity > 1e-6);
        layers_are_sound
            && !self.under.is_empty()
            && tube.inside > 0.0
            && tube.outside > tube.inside
            && tube.conductivity > 0.0
            && self.spacing > tube.outside
            && self.slab.thickness > tube.outside
            && self.surface > 0.0
            && self.covering >= 0.0
            && self.axis_depth.is_finite()
            && self.spacing < 10.0
    }

    /// Depth of the axis, held so that the tube lies in the slab.
    #[must_use]
    pub fn held_axis_depth(&self) -> f64 {
        let radius = 0.5 * self.tube.outside;
        let deepest = (self.slab.thickness - radius).max(radius);
        self.axis_depth.clamp(radius, deepest)
    }

    /// Resistance from the tube plane up to the room and down to the ground, m²·K/W.
    #[must_use]
    pub fn plane_resistances(&self) -> (f64, f64) {
        let axis = self.held_axis_depth();
        let up = 1.0 / self.coefficient_up() + axis / self.slab.conductivity;
        let below = (self.slab.thickness - axis).max(0.0) / self.slab.conductivity;
        let under: f64 = self.under.iter().map(|l| l.thickness / l.conductivity).sum();
        (up, below + under)
    }
}

/// Answer of the section to one cause: per kelvin of the ground, or per watt of a metre of tube.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Answer {
    at_tube: f64,
    up: f64,
    down: f64,
    top_over_tube: f64,
    top_between: f64,
    top_mean: f64,
}

/// What a section does for any temperatures.
#[derive(Clone, Debug)]
pub struct SectionResponse {
    floor: FloorSection,
    x: Vec<f64>,
    z: Vec<f64>,
    ground: (Answer, Vec<f64>),
    tube: (Answer, Vec<f64>),
    /// From the tube's vertex to its outer radius, m·K/W; mostly negative.
    vertex_to_tube: f64,
    columns_first: bool,
}

/// Fluxes and temperatures of a section.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SectionState {
    /// Heat from a metre of tube, W/m.
    pub per_tube: f64,
    /// Flux up into the room, W/m².
    pub up: f64,
    /// Flux down into the ground, W/m².
    pub down: f64,
    /// Floor surface over a tube.
    pub surface_max: f64,
    /// Floor surface between tubes.
    pub surface_min: f64,
    /// Mean floor surface.
    pub surface_mean: f64,
    /// Warmest top of the slab, under any covering.
    pub slab_top_max: f64,
}

impl SectionResponse {
    /// Solves a section on the usual grid; `None` when its sizes make no section.
    #[must_use]
    pub fn of(floor: &FloorSection) -> Option<Self> {
        Self::on_grid(floor, FINENESS)
    }

    /// Solves a section with the grid lines of the coarsest grid halved `fineness` times.
    #[must_use]
    pub fn on_grid(floor: &FloorSection, fineness: u32) -> Option<Self> {
        let cell = HalfCell::of(floor, fineness)?;
        let lean = Lean::of(&cell)?;
        let HalfCell { grid, equations, tube_vertex, .. } = &cell;
        let from_tube = lean.with_pair(&equations.with_heats(cell.source(1.0)));
        let from_ground = lean.with_pair(&equations.with_place_at_one(Around::Ground));
        let half = 0.5 * floor.spacing;
        let answer = |field: &[f64], ground: f64| {
            let top = cell.top_temperatures(field);
            Answer {
                at_tube: field.get(*tube_vertex).copied().unwrap_or(0.0),
                up: equations.flow_into(Around::Room, 0.0, field) / half,
                down: equations.flow_into(Around::Ground, ground, field) / half,
                top_over_tube: top.first().map_or(0.0, |t| t.1),
                top_between: top.last().map_or(0.0, |t| t.1),
                top_mean: top.iter().map(|(width, t)| width * t).sum::<f64>() / half,
            }
        };
        Some(Self {
            floor: floor.clone(),
            ground: (answer(&from_ground, 1.0), from_ground),
            tube: (answer(&from_tube, 0.0), from_tube),
            vertex_to_tube: cell.vertex_to_tube(),
            columns_first: equations.number(1, 0) == 1,
            x: grid.x.clone(),
            z: grid.z.clone(),
        })
    }

    /// Resistance from the water of a metre of tube to room and ground together, m·K/W.
    #[must_use]
    pub fn tube_resistance(&self) -> f64 {
        self.floor.tube.resistance() + self.vertex_to_tube + self.tube.0.at_tube
    }

    /// The same section with another film in the tube, without solving it again.
    #[must_use]
    pub fn with_water_film(mut self, film: Option<f64>) -> Self {
        self.floor.tube.water_film = film;
        self
    }

    /// The floor it was solved for.
    #[must_use]
    pub fn floor(&self) -> &FloorSection {
        &self.floor
    }

    /// Fluxes and temperatures for water, room and ground at their temperatures.
    #[must_use]
    pub fn at(&self, water: f64, room: f64, ground: f64) -> SectionState {
        let below = ground - room;
        let per_tube = (water - room - below * self.ground.0.at_tube) / self.tube_resistance();
        let both =
            |part: fn(&Answer) -> f64| per_tube * part(&self.tube.0) + below * part(&self.ground.0);
        // Over a covering the surface is nearer to the room than the slab's top is.
        let share = self.floor.coefficient_up() / self.floor.surface;
        SectionState {
            per_tube,
            up: both(|a| a.up),
            down: both(|a| a.down),
            surface_max: room + share * both(|a| a.top_over_tube),
            surface_min: room + share * both(|a| a.top_between),
            surface_mean: room + share * both(|a| a.top_mean),
            slab_top_max: room + both(|a| a.top_over_tube),
        }
    }

    /// Mean water temperature that gives a flux upward, with room and ground at theirs.
    #[must_use]
    pub fn water_for(&self, up: f64, room: f64, ground: f64) -> f64 {
        let below = ground - room;
        if self.tube.0.up <= 0.0 {
            return room;
        }
        let per_tube = (up - below * self.ground.0.up) / self.tube.0.up;
        room + per_tube * self.tube_resistance() + below * self.ground.0.at_tube
    }

    /// Temperatures over the half cell, row by row from the top, for a section view.
    #[must_use]
    pub fn field(&self, water: f64, room: f64, ground: f64) -> SectionField {
        let (below, per_tube) = (ground - room, self.at(water, room, ground).per_tube);
        let (columns, rows) = (self.x.len(), self.z.len());
        let mut values = Vec::with_capacity(columns * rows);
        for j in 0..rows {
            for i in 0..columns {
                let at = if self.columns_first { j * columns + i } else { i * rows + j };
                let held = j + 1 == rows;
                let of = |field: &[f64]| field.get(at).copied().unwrap_or(0.0);
                let excess = below * of(&self.ground.1) + per_tube * of(&self.tube.1);
                values.push(if held { ground } else { room + excess });
            }
        }
        SectionField { x: self.x.clone(), z: self.z.clone(), values }
    }
}

/// Temperatures of a half cell: `values` by row from the top, `x.len()` to a row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SectionField {
    /// Distance from the tube's axis, m.
    pub x: Vec<f64>,
    /// Depth below the top of the slab, m.
    pub z: Vec<f64>,
    /// Temperatures.
    pub values: Vec<f64>,
}

/// A section's answer with what halving the grid changed.
#[derive(Clone, Debug)]
pub struct CheckedResponse {
    /// On the finer grid.
    pub response: SectionResponse,
    /// Estimated error of the upward flux as a share: a third of what the last halving changed,
    /// as befits a method of second order.
    pub error_share: f64,
}

/// Solves a section twice and estimates the error from the difference.
#[must_use]
pub fn solve_checked(floor: &FloorSection) -> Option<CheckedResponse> {
    let coarse = SectionResponse::on_grid(floor, FINENESS - 1)?;
    let response = SectionResponse::on_grid(floor, FINENESS)?;
    let (before, after) = (coarse.at(1.0, 0.0, 0.0).up, response.at(1.0, 0.0, 0.0).up);
    let error_share = if after > 0.0 { ((after - before) / (3.0 * after)).abs() } else { 0.0 };
    Some(CheckedResponse { response, error_share })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn floor() -> FloorSection {
        FloorSection {
            spacing: 0.3048,
            axis_depth: 0.0508,
            slab: Layer { thickness: 0.1016, conductivity: 1.4, heat_capacity: 2.07e6 },
            tube: SectionTube {
                outside: 0.015_875,
                inside: 0.012_319,
                conductivity: 0.35,
                water_film: None,
            },
            covering: 0.0,
            surface: 10.8,
            under: vec![
                Layer { thickness: 0.0508, conductivity: 0.028_84, heat_capacity: 43_500.0 },
                Layer { thickness: 1.0, conductivity: 1.5, heat_capacity: 1.8e6 },
            ],
        }
    }

    #[test]
    fn heat_from_the_tube_is_heat_up_and_down() {
        let response = SectionResponse::of(&floor()).unwrap();
        let state = response.at(40.0, 20.0, 10.0);
        let balance = state.per_tube / 0.3048 - state.up - state.down;
        assert!(balance.abs() < 1e-6 * state.up, "{balance}");
        let back = response.water_for(state.up, 20.0, 10.0);
        assert!((back - 40.0).abs() < 1e-9);
    }

    #[test]
    fn everything_at_one_temperature_stays_there() {
        let response = SectionResponse::of(&floor()).unwrap();
        let state = response.at(20.0, 20.0, 20.0);
        assert!(state.up.abs() < 1e-12 && (state.surface_mean - 20.0).abs() < 1e-12);
        let field = response.field(20.0, 20.0, 20.0);
        assert!(field.values.iter().all(|t| (t - 20.0).abs() < 1e-9));
    }

    #[test]
    fn sizes_that_make_no_section_give_none() {
        let thin = FloorSection { slab: Layer { thickness: 0.01, ..floor().slab }, ..floor() };
        assert!(SectionResponse::of(&thin).is_none());
        assert!(SectionResponse::of(&FloorSection { under: Vec::new(), ..floor() }).is_none());
        assert!(SectionResponse::of(&FloorSection { spacing: 0.01, ..floor() }).is_none());
        let deep = FloorSection { axis_depth: 5.0, ..floor() };
        assert!((deep.held_axis_depth() - (0.1016 - 0.015_875 / 2.0)).abs() < 1e-12);
    }
}
