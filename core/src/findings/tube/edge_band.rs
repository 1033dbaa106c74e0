//! A band of closer tube along outside walls that could not be laid as asked.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::job::heating::Zone;
use crate::parts::Parts;
use crate::tube::{BandShort, LaidBand, limits};

pub(super) const RULE: Rule = Rule {
    id: "tube.edge-band",
    severity: Severity::Warn,
    asks: "A band of closer tube along outside walls is laid as asked.",
    source: "what the job asks for",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let bands = parts.tube.bands.iter().filter_map(|band| {
        let zone = job.heating.zones.iter().find(|zone| zone.id == band.zone)?;
        Some((zone, band, band.short?))
    });
    bands
        .map(|(zone, band, short)| {
            let (what, remedy) = words(job, band, short);
            Hit {
                at: None,
                item: Some(zone.id.into()),
                message: format!("{}{what}", asked(zone, band)),
                remedy,
            }
        })
        .collect()
}

fn asked(zone: &Zone, band: &LaidBand) -> String {
    let (width, spacing) = band.asked;
    format!("{} asks for tube {spacing} in apart in the {width} in along outside walls", zone.name)
}

/// What is laid instead and why, and the remedy.
fn words(job: &Job, band: &LaidBand, short: BandShort) -> (String, String) {
    let radius = limits::least_bend_radius(&job.heating.tube);
    let wide = format!("{:.1} in", band.width);
    match short {
        BandShort::NoOutsideWall => (
            "; it has no outside wall, so none is laid".to_owned(),
            "Take the band away, or draw the zone out to the wall".to_owned(),
        ),
        BandShort::TooNarrow => (
            format!("; two runs, the least that a circuit needs, take {wide} and are laid"),
            format!("Ask for a band of {wide}, or a closer spacing"),
        ),
        BandShort::TightBend => (
            format!(
                "; tube that bends to {radius:.1} in lies {:.2} in apart at the closest, and is laid so",
                band.spacing
            ),
            "Ask for a wider spacing, or take smaller tube or tube with a tighter bend radius"
                .to_owned(),
        ),
        BandShort::NoRoom => (
            format!("; the floor has room for a band of {wide}, which is laid"),
            format!("Ask for a band of {wide}, or for the closer spacing in the whole zone"),
        ),
        BandShort::Blocked if band.along <= 0.0 => (
            "; none is laid, since its circuits find no way along the walls from the manifold"
                .to_owned(),
            "Move the manifold off corners and out of the way of pipes, or ask for a narrower band"
                .to_owned(),
        ),
        BandShort::Blocked => (
            format!(
                "; it is laid along {:.0} ft of {:.0} ft, up to where something stands in its way or \
                 its circuits are as long as they may be",
                band.along / 12.0,
                band.wall / 12.0
            ),
            "Move the manifold to the middle of a wall, or draw a second zone with a manifold of its own"
                .to_owned(),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(short: Option<BandShort>) -> Vec<Hit> {
        let mut job = Job::default();
        let zone = Zone::default();
        let band = LaidBand {
            zone: zone.id,
            asked: (24.0, 4.5),
            width: 21.0,
            spacing: 4.75,
            wall: 1200.0,
            along: 600.0,
            short,
        };
        Arc::make_mut(&mut job.heating).zones = vec![zone];
        let tube = crate::tube::Tube { bands: vec![band], ..Default::default() };
        look(&job, &Parts { tube: Arc::new(tube), ..Parts::default() })
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert!(hits(None).is_empty());
        let found = hits(Some(BandShort::TightBend));
        assert_eq!(found.len(), 1);
        assert!(found[0].message.contains("4.75 in apart"), "{}", found[0].message);
        let found = hits(Some(BandShort::Blocked));
        assert!(found[0].message.contains("along 50 ft of 100 ft"), "{}", found[0].message);
    }
}
