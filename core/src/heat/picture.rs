//! Cross-sections for a picture: what lies where, and lines of one temperature through it.
//!
//! Two sections, both by plain conduction on this very slab: the floor from a tube's axis to the
//! middle between two ([`picture_section`]), and an edge with its thickening, its foam and the
//! ground before it ([`picture_edge`]), where the tubes' heat is spread along their plane. Lengths
//! are inches and temperatures °F, as they are drawn; nothing here knows paper.

use super::Heat;
use super::compare::{FLUX_PER_BTUH_FT2, asked_flux, usual_film};
use super::contour::{ContourLine, contour_lines, even_levels};
use super::job_floor::{METERS_PER_INCH, axis_depth_in, celsius, fahrenheit, section_of};
use super::rim::{edge_section, kinds_of_edge};
use super::section::edge::{EdgeState, edge_field};
use super::section::{FloorSection, SectionField, solve_checked};
use crate::job::Job;
use crate::job::edges::EdgeProfile;
use crate::plan::Plan;

/// Lines at most in a picture.
const MOST_LINES: f64 = 60.0;

/// The cross-section from a tube's axis to the middle between two.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPicture {
    /// Spacing, inches.
    pub spacing_in: f64,
    /// Tube axis below the floor, inches.
    pub axis_in: f64,
    /// Outside diameter of the tube, inches.
    pub tube_outside_in: f64,
    /// Inside diameter of the tube, inches.
    pub tube_inside_in: f64,
    /// Slab thickness, inches.
    pub slab_in: f64,
    /// Foam thickness, inches.
    pub foam_in: f64,
    /// Stone thickness, inches.
    pub stone_in: f64,
    /// Lines of one temperature, °F: distance from the tube's axis and depth below the floor.
    pub isotherms: Vec<ContourLine>,
    /// °F from line to line.
    pub step_f: f64,
    /// Warmest surface, over a tube, °F.
    pub surface_max_f: f64,
    /// Coolest surface, between tubes, °F.
    pub surface_min_f: f64,
    /// Water, °F: the mean of supply and return.
    pub water_f: f64,
    /// Heat up into the room, Btu/(h·ft²).
    pub up_btuh_ft2: f64,
    /// Heat down into the ground, Btu/(h·ft²).
    pub down_btuh_ft2: f64,
    /// Estimated error of the fluxes, as a share.
    pub error_share: f64,
}

/// The section at a spacing in inches with lines every `step_f`, °F; `None` when there is none.
#[must_use]
pub fn picture_section(
    job: &Job,
    plan: &Plan,
    heat: &Heat,
    spacing_in: f64,
    step_f: f64,
) -> Option<SectionPicture> {
    let axis = axis_depth_in(job.heating.tube.depth, job.build_up.floor_thickness.to_inches());
    let section = section_of(job, plan, spacing_in, axis);
    let checked = solve_checked(&section)?;
    let response = checked.response.with_water_film(Some(usual_film(job, heat)));
    let design = &job.heating.design;
    let (room, ground) = (celsius(design.indoor_f), celsius(design.ground_f));
    let water = if heat.supply_f > 0.0 {
        celsius(0.5 * (heat.supply_f + heat.return_f))
    } else {
        response.water_for(asked_flux(job, plan), room, ground)
    };
    let state = response.at(water, room, ground);
    let field = as_drawn(response.field(water, room, ground));
    let foam_in = job.build_up.foam_layers.iter().map(|layer| layer.thickness.to_inches()).sum();
    Some(SectionPicture {
        spacing_in,
        axis_in: section.held_axis_depth() / METERS_PER_INCH,
        tube_outside_in: section.tube.outside / METERS_PER_INCH,
        tube_inside_in: section.tube.inside / METERS_PER_INCH,
        slab_in: section.slab.thickness / METERS_PER_INCH,
        foam_in,
        stone_in: job.build_up.stone.thickness.to_inches(),
        isotherms: contour_lines(&field, &even_levels(&field, step_f, MOST_LINES)),
        step_f,
        surface_max_f: fahrenheit(state.surface_max),
        surface_min_f: fahrenheit(state.surface_min),
        water_f: fahrenheit(water),
        up_btuh_ft2: state.up / FLUX_PER_BTUH_FT2,
        down_btuh_ft2: state.down / FLUX_PER_BTUH_FT2,
        error_share: checked.error_share,
    })
}

/// A field in inches and °F.
fn as_drawn(mut field: SectionField) -> SectionField {
    field.values.iter_mut().for_each(|t| *t = fahrenheit(*t));
    for line in field.x.iter_mut().chain(&mut field.z) {
        *line /= METERS_PER_INCH;
    }
    field
}

/// An edge in section. Lengths in inches; `x` runs from the concrete's outer face into the floor,
/// below zero outside of it.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgePicture {
    /// What edge it is.
    pub profile: EdgeProfile,
    /// Underside of the concrete from the outer face inward: distance in, depth.
    pub underside: Vec<(f64, f64)>,
    /// Floor thickness.
    pub slab_in: f64,
    /// Foam under the floor, as drawn.
    pub foam_in: f64,
    /// How far in the foam under the floor starts.
    pub foam_from_in: f64,
    /// Foam under the flat bottom of the edge; zero for none.
    pub foam_under_edge_in: f64,
    /// Thickness and depth of the foam that stands at the edge; zero for none.
    pub edge_foam_in: (f64, f64),
    /// Stone under the foam.
    pub stone_in: f64,
    /// Ground outside, below the floor.
    pub grade_in: f64,
    /// Width of the wall on the rim.
    pub wall_in: f64,
    /// Tubes: how far in each axis lies.
    pub tubes_in: Vec<f64>,
    /// Their axes' depth and outside diameter.
    pub tube: (f64, f64),
    /// Lines of one temperature, °F.
    pub isotherms: Vec<ContourLine>,
    /// °F from line to line.
    pub step_f: f64,
    /// Conductance from room to outside, Btu/(h·ft·°F).
    pub loss: f64,
    /// Floor beside the wall, °F.
    pub beside_wall_f: f64,
}

/// How far into the floor an edge is shown, inches, and beyond its slope at the least.
const EDGE_SHOWN_IN: (f64, f64) = (30.0, 8.0);

/// The longest kind of edge with lines every `step_f`; `None` when there is none.
#[must_use]
pub fn picture_edge(job: &Job, plan: &Plan, spacing_in: f64, step_f: f64) -> Option<EdgePicture> {
    let kinds = kinds_of_edge(job, plan);
    let (profile, _) = kinds.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let axis_in = axis_depth_in(job.heating.tube.depth, job.build_up.floor_thickness.to_inches());
    let floor = section_of(job, plan, spacing_in, axis_in);
    let edge = edge_section(job, &floor, &profile);
    // Sizes of the job count from the form; those of the section from the concrete's face.
    let face = job.edges.edge_foam.inside_along(&profile);
    let first_tube = (job.heating.tube.edge_distance.to_inches() - face).max(1.0);
    let state = edge_state(job, plan, &floor, (first_tube - 0.5 * spacing_in).max(0.0));
    let loss = super::section::edge::solve_edge(&edge, 1.0)?;
    let mut field = as_drawn(edge_field(&edge, &state, 1.0)?);
    let inch = |meters: f64| meters / METERS_PER_INCH;
    let rim = inch(edge.half_width);
    let beside_wall_f = surface_beside(&field, rim - inch(edge.wall));
    field.x.iter_mut().for_each(|x| *x = rim - *x);
    let [slab, flat, run, depth] =
        [edge.slab, edge.edge_flat, edge.edge_run, edge.edge_depth].map(inch);
    let reach = EDGE_SHOWN_IN.0.max(flat + run + EDGE_SHOWN_IN.1);
    let tubes_in =
        if job.heating.is_heated { places(first_tube, spacing_in, reach) } else { Vec::new() };
    let underside = if depth > slab + 1e-9 {
        vec![(0.0, depth), (flat, depth), (flat + run, slab), (reach, slab)]
    } else {
        vec![(0.0, slab), (reach, slab)]
    };
    Some(EdgePicture {
        profile,
        underside,
        slab_in: slab,
        foam_in: inch(edge.foam),
        foam_from_in: if depth > slab + 1e-9 { flat + run } else { 0.0 },
        foam_under_edge_in: inch(edge.foam_under_edge),
        edge_foam_in: (inch(edge.edge_foam), inch(edge.edge_foam_depth)),
        stone_in: job.build_up.stone.thickness.to_inches(),
        grade_in: inch(edge.over_grade),
        wall_in: inch(edge.wall),
        tubes_in,
        tube: (inch(floor.held_axis_depth()), inch(floor.tube.outside)),
        isotherms: contour_lines(&field, &even_levels(&field, step_f, MOST_LINES)),
        step_f,
        loss: loss.coupling_outside / super::job_floor::CONDUCTIVITY_PER_BTU,
        beside_wall_f,
    })
}

/// What surrounds the edge, and the tubes' heat as far as `from_rim_in` from the rim: as much as
/// the floor's middle needs for the heat that is asked.
fn edge_state(job: &Job, plan: &Plan, floor: &FloorSection, from_rim_in: f64) -> EdgeState {
    let design = &job.heating.design;
    let (up, down) = floor.plane_resistances();
    let rise = asked_flux(job, plan) * up;
    let (room, ground) = (celsius(design.indoor_f), celsius(design.ground_f));
    EdgeState {
        room,
        ground,
        outside: celsius(design.outdoor_f),
        flux: (rise / up + (rise + room - ground) / down).max(0.0),
        axis: floor.held_axis_depth(),
        from_rim: from_rim_in * METERS_PER_INCH,
    }
}

/// Places from the first on, a spacing apart, as far as the picture reaches.
fn places(first: f64, spacing: f64, reach: f64) -> Vec<f64> {
    let mut all = Vec::new();
    let mut x = first;
    while x < reach && spacing > 0.5 {
        all.push(x);
        x += spacing;
    }
    all
}

/// Top of the slab at a distance from the floor's middle, by the nearest grid line.
fn surface_beside(field: &SectionField, x: f64) -> f64 {
    let top = field.z.iter().position(|z| *z >= -1e-9).unwrap_or(0);
    let off = |i: &usize| field.x.get(*i).map_or(f64::MAX, |at| (at - x).abs());
    let nearest = (0..field.x.len()).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0);
    field.values.get(top * field.x.len() + nearest).copied().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    fn shop() -> (Job, Plan) {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)];
        let job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let plan = Plan::of(&job);
        (job, plan)
    }

    #[test]
    fn the_floors_section_has_its_sizes_and_its_lines() {
        let (job, plan) = shop();
        let picture = picture_section(&job, &plan, &Heat::default(), 12.0, 2.0).unwrap();
        assert!(picture.isotherms.len() > 10 && picture.error_share < 0.002);
        assert_eq!((picture.slab_in, picture.foam_in, picture.stone_in), (4.0, 2.0, 4.0));
        assert!(picture.water_f > picture.surface_max_f);
        assert!(picture.surface_max_f > picture.surface_min_f);
        // Every line lies in the half cell, and the warmest runs round the tube.
        for line in &picture.isotherms {
            assert!(line.points.iter().all(|p| p.0 >= -1e-9 && p.0 <= 6.0 + 1e-9));
        }
    }

    #[test]
    fn the_edges_section_runs_from_warm_to_cold() {
        let (job, plan) = shop();
        let picture = picture_edge(&job, &plan, 12.0, 5.0).unwrap();
        let levels: Vec<f64> = picture.isotherms.iter().map(|line| line.level).collect();
        let (low, high) = (
            levels.iter().copied().fold(f64::MAX, f64::min),
            levels.iter().copied().fold(f64::MIN, f64::max),
        );
        assert!(low < 20.0 && high >= 75.0, "{low} to {high}");
        assert!(picture.beside_wall_f > 50.0 && picture.beside_wall_f < 80.0);
        assert!((picture.underside[0].1 - 12.0).abs() < 1e-9);
        // Foam inside the form takes two of the twelve inches of the flat.
        assert!((picture.underside[1].0 - 10.0).abs() < 1e-9);
    }
}
