//! Foam that is less than the energy code picked for the job asks for.

use crate::findings::{Hit, Rule, Severity};
use crate::foam::strength::board_of;
use crate::job::Job;
use crate::job::build_up::{Coverage, FoamLayer, InsulationCode};
use crate::job::edges::EdgeProfile;
use crate::parts::Parts;
use crate::plan::{RimId, RimSide};

pub(super) const RULE: Rule = Rule {
    id: "foam.below-code",
    severity: Severity::Warn,
    asks: "A heated slab has the R-value at its edge and under it that the energy code picked for \
           the job asks for.",
    source: "the code row kept in the job, its source named in the message; states amend these \
             rows and the local code decides",
    look,
};

/// A hair under a round R is the round R.
const SLACK: f64 = 0.01;

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let Some(code) = &job.build_up.insulation_code else { return Vec::new() };
    if parts.plan.is_empty() || !job.heating.is_heated {
        return Vec::new();
    }
    let mut hits = Vec::new();
    let mut lacks = |what: &str, has: f64, asked: f64, remedy: &str| {
        if asked > has + SLACK {
            hits.push(Hit {
                message: format!(
                    "{what} has R-{has:.1}; {} asks for R-{asked:.1} ({})",
                    named(code),
                    code.source
                ),
                remedy: remedy.to_owned(),
                ..Hit::default()
            });
        }
    };
    let layers = &job.build_up.foam_layers;
    let whole = layers.iter().filter(|layer| layer.coverage == Coverage::Full);
    // The sum of nothing would be minus zero.
    let under = whole.fold(0.0, |sum, layer| sum + r_of(layer));
    let remedy = "Choose thicker or better boards, or another layer, over the whole floor";
    lacks("The whole floor", under, code.under_r, remedy);
    let foam = &job.edges.edge_foam;
    let kind = layers.first().map_or(FoamLayer::default().foam_type, |layer| layer.foam_type);
    let edge = foam.thickness.to_inches().max(0.0) * board_of(kind).r_per_inch;
    lacks("The edge", edge, code.edge_r, "Choose thicker edge foam");
    hits.extend(shallow(job, code));
    hits.extend(thin_doors(job, parts, code, board_of(kind).r_per_inch));
    hits
}

/// Doors whose edge has less than the walls' and than asked; where the walls lack it too, that is
/// said of the whole edge.
fn thin_doors(job: &Job, parts: &Parts, code: &InsulationCode, per_inch: f64) -> Option<Hit> {
    let foam = &job.edges.edge_foam;
    let r_along = |profile: &EdgeProfile| foam.thickness_along(profile) * per_inch;
    if foam.thickness.to_inches() * per_inch + SLACK < code.edge_r {
        return None;
    }
    let lacking = |side: &&RimSide| match side.id {
        RimId::Side(id) => r_along(&job.edges.of_side(id)) + SLACK < code.edge_r,
        RimId::Opening(_) => false,
    };
    let doors: Vec<&RimSide> = parts.plan.rim.iter().filter(lacking).collect();
    let first = doors.first()?;
    let RimId::Side(id) = first.id else { return None };
    let has = r_along(&job.edges.of_side(id));
    let who = match doors.len() {
        1 => "The edge at a door has".to_owned(),
        count => format!("The edges at {count} doors have"),
    };
    Some(Hit {
        at: Some(first.segment.start().middle(first.segment.end())),
        item: Some(id.into()),
        message: format!(
            "{who} R-{has:.1}; {} asks for R-{:.1} along every edge ({})",
            named(code),
            code.edge_r,
            code.source
        ),
        remedy: "Set a thickness of edge foam at doors, or ask the building official what the \
                 threshold may do without"
            .to_owned(),
    })
}

fn r_of(layer: &FoamLayer) -> f64 {
    layer.thickness.to_inches() * board_of(layer.foam_type).r_per_inch
}

fn named(code: &InsulationCode) -> String {
    match code.zones.as_str() {
        "" | "all" => code.code.clone(),
        zones => format!("{}, zones {zones},", code.code),
    }
}

/// Edge foam that does not reach as far as asked; foam under the floor counts on inward.
fn shallow(job: &Job, code: &InsulationCode) -> Option<Hit> {
    let asked = code.edge_depth.to_inches();
    let least_r = code.edge_r - SLACK;
    let under: f64 = job.build_up.foam_layers.iter().map(r_of).sum();
    if code.edge_r <= 0.0 || asked <= 0.0 || under >= least_r {
        return None;
    }
    let floor = job.build_up.floor_thickness.to_inches();
    let depth = |profile: &EdgeProfile| {
        let deep = profile.thickened().map_or(floor, |edge| edge.total_depth.to_inches());
        let high = job.edges.edge_foam.height.to_inches();
        if high > 0.0 { high.min(deep) } else { deep }
    };
    let sides = job.outline.sides.iter().map(|side| job.edges.of_side(side.id));
    let least = sides
        .filter(|profile| !matches!(profile, EdgeProfile::Threshold(_)))
        .map(|profile| depth(&profile))
        .fold(f64::INFINITY, f64::min);
    (least + 0.01 < asked && least.is_finite()).then(|| Hit {
        message: format!(
            "Edge foam reaches {least:.0} in down and the foam under the floor is less than \
             R-{:.1}; {} asks for {asked:.0} in, down or down and in ({})",
            code.edge_r,
            named(code),
            code.source
        ),
        remedy: "Carry the edge foam deeper, or foam of the same R-value in under the floor"
            .to_owned(),
        ..Hit::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::foam::HEATED_SLAB_ROWS;
    use crate::geometry::Point;
    use crate::job::edges::Threshold;
    use crate::plan::Plan;
    use crate::units::Length;
    use std::sync::Arc;

    fn hits(row: usize, thickness: f64) -> usize {
        let corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0)];
        let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let build_up = Arc::make_mut(&mut job.build_up);
        build_up.insulation_code = InsulationCode::shipped().get(row).cloned();
        build_up.foam_layers[0].thickness = Length::inches(thickness);
        Arc::make_mut(&mut job.edges).edge_foam.thickness = Length::inches(thickness);
        let parts = Parts { plan: Arc::new(Plan::of(&job)), ..Parts::default() };
        look(&job, &parts).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        let row = |code: &str, zones: &str| {
            HEATED_SLAB_ROWS.iter().position(|row| (row.code, row.zones) == (code, zones)).unwrap()
        };
        // Type IV has R-5 an inch: 2 in are R-10 at the edge and under the floor.
        assert_eq!(hits(row("IECC 2021", "4 to 8"), 2.0), 0);
        // the edge lacks a half, and no foam reaches 48 in with R-10.
        assert_eq!(hits(row("IECC 2021", "4 to 8"), 1.9), 2);
        assert_eq!(hits(row("Washington 2024 (commercial)", "all"), 1.9), 2);
        assert_eq!(hits(HEATED_SLAB_ROWS.len(), 0.5), 0);
    }

    #[test]
    fn a_door_with_less_foam_than_asked_is_named() {
        let corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0)];
        let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let side = job.outline.sides[0].id;
        Arc::make_mut(&mut job.build_up).insulation_code =
            InsulationCode::shipped().into_iter().find(|row| row.edge_r == 10.0);
        let edges = Arc::make_mut(&mut job.edges);
        edges.by_side.insert(side, EdgeProfile::Threshold(Threshold::default()));
        let hits =
            |job: &Job| look(job, &Parts { plan: Arc::new(Plan::of(job)), ..Parts::default() });
        let found = hits(&job);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].at, Some(Point::feet(10.0, 0.0)));
        assert!(found[0].message.starts_with("The edge at a door has R-0.0"), "{found:?}");
        // R-5 an inch: an inch is half of what is asked, two inches are all of it.
        for (at_doors, count) in [(1.0, 1), (2.0, 0)] {
            Arc::make_mut(&mut job.edges).edge_foam.at_doors = Length::inches(at_doors);
            assert_eq!(hits(&job).len(), count);
        }
    }
}
