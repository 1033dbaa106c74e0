//! Foam that is less than the energy code picked for the job asks for.

use crate::findings::{Hit, Rule, Severity};
use crate::foam::strength::board_of;
use crate::job::Job;
use crate::job::build_up::{Coverage, FoamLayer, InsulationCode};
use crate::job::edges::EdgeProfile;
use crate::parts::Parts;

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
    hits
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
}
