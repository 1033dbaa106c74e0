//! A closer band along outside walls that is asked for and not routed.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "tube.edge-band",
    severity: Severity::Warn,
    asks: "A band of closer tube along outside walls is laid as asked.",
    source: "what the job asks for",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let zones = parts.tube.zones.iter().filter_map(|laid| {
        let zone = job.heating.zones.iter().find(|zone| zone.id == laid.id)?;
        let band = zone.edge_band?;
        (band.spacing.to_inches() + 0.01 < laid.laid_spacing).then_some((zone, band, laid))
    });
    zones
        .map(|(zone, band, laid)| Hit {
            at: None,
            item: Some(zone.id.into()),
            message: format!(
                "{} asks for {} in along outside walls and is laid at {} in throughout",
                zone.name,
                band.spacing.to_inches(),
                laid.laid_spacing
            ),
            remedy: format!(
                "Draw the outer {} in as a zone of its own with {} in spacing, on the same manifold",
                band.width.to_inches(),
                band.spacing.to_inches()
            ),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::heating::EdgeBand;
    use crate::units::Length;
    use std::sync::Arc;

    fn hits(band: Option<f64>) -> usize {
        let mut job = Job::default();
        let heating = Arc::make_mut(&mut job.heating);
        heating.zones = vec![crate::job::heating::Zone::default()];
        let zone = &mut heating.zones[0];
        zone.edge_band = band.map(|spacing| EdgeBand {
            width: Length::inches(36.0),
            spacing: Length::inches(spacing),
        });
        let laid =
            crate::tube::RoutedZone { id: zone.id, laid_spacing: 12.0, ..Default::default() };
        let tube = crate::tube::Tube { zones: vec![laid], ..Default::default() };
        look(&job, &Parts { tube: Arc::new(tube), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(Some(6.0)), 1);
        assert_eq!(hits(Some(12.0)), 0);
        assert_eq!(hits(None), 0);
    }
}
