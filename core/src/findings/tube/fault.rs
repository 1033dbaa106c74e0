//! What routing could not do, zone by zone.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;
use crate::tube::{TubeFault, TubeFaultKind};

pub(super) const NOT_LAID: Rule = Rule {
    id: "tube.not-laid",
    severity: Severity::Stop,
    asks: "Every zone has a manifold, and tube reaches all of it.",
    source: "needed for a heated zone",
    look: look_for_unlaid,
};

pub(super) const NOT_AS_ASKED: Rule = Rule {
    id: "tube.not-as-asked",
    severity: Severity::Warn,
    asks: "Circuits keep the spacing asked for, their length limit, and lengths within 10 per cent, and start at their manifold.",
    source: "CSA B214-12 table 1 for lengths (read in a quotation); 10 per cent is common practice",
    look: look_for_compromise,
};

fn look_for_unlaid(job: &Job, parts: &Parts) -> Vec<Hit> {
    hits(job, parts, |kind| {
        use TubeFaultKind::{ManifoldBlocked, NoManifold, OutOfReach};
        matches!(kind, NoManifold | ManifoldBlocked | OutOfReach)
    })
}

fn look_for_compromise(job: &Job, parts: &Parts) -> Vec<Hit> {
    hits(job, parts, |kind| {
        use TubeFaultKind::{
            CutShort, LaidWider, PortsAside, TightBend, TooFar, TooLong, Unbalanced,
        };
        let is_layout = matches!(kind, TooLong | TooFar | Unbalanced | TightBend | LaidWider);
        is_layout || matches!(kind, PortsAside | CutShort)
    })
}

fn hits(job: &Job, parts: &Parts, wanted: fn(TubeFaultKind) -> bool) -> Vec<Hit> {
    parts
        .tube
        .faults
        .iter()
        .filter(|fault| wanted(fault.kind))
        .map(|fault| hit(job, parts, fault))
        .collect()
}

fn hit(job: &Job, parts: &Parts, fault: &TubeFault) -> Hit {
    let zone = job.heating.zones.iter().find(|zone| zone.id == fault.zone);
    let name = zone.map_or("The zone", |zone| zone.name.as_str());
    let (what, remedy) = match fault.kind {
        TubeFaultKind::NoManifold => {
            ("has no manifold to start from", "Place a manifold on or beside the slab")
        }
        TubeFaultKind::ManifoldBlocked => (
            "has its manifold where no tube can start, or from where its leaders find no way",
            "Move the manifold clear of pipes and corners, onto a longer wall, or add one in this zone",
        ),
        TubeFaultKind::OutOfReach => (
            "has a part that no tube reaches: every way to it is too narrow",
            "Give that part a manifold or a zone of its own, or a closer spacing",
        ),
        TubeFaultKind::TooLong => (
            "could not be held within the circuit length limit",
            "Ask for more circuits, move the manifold toward the middle, or take a larger tube",
        ),
        TubeFaultKind::TooFar => (
            "has floor that no circuit within the length limit reaches from its manifold",
            "Give that floor a manifold of its own, move this one toward it, or take a larger tube",
        ),
        TubeFaultKind::Unbalanced => (
            "has circuits that differ by more than 10 % in length",
            "Balance them at the manifold, ask for another number of circuits, or move the manifold",
        ),
        TubeFaultKind::TightBend => (
            "is spaced closer than its tube bends: returns bulge to less than 0.8 of the spacing from the next run",
            "Take a smaller tube, a wider spacing, or a tighter bend radius if the maker allows it",
        ),
        TubeFaultKind::LaidWider => (
            "could not be laid as close as asked and is laid wider",
            "Check the output; move the manifold, take a smaller tube, or ask for a wider spacing",
        ),
        TubeFaultKind::PortsAside => (
            "has its manifold where leaders find no way out, and they start some feet beside it",
            "Move the manifold to where they start, or clear of what stands before it",
        ),
        TubeFaultKind::CutShort => (
            "is too involved to try every way to lay it: the best of those tried is shown",
            "Look it over; split the zone, or give it a manifold of its own",
        ),
    };
    let laid = parts.tube.zones.iter().find(|zone| zone.id == fault.zone);
    let how = match (fault.kind, laid) {
        (TubeFaultKind::LaidWider, Some(zone)) => {
            format!(": {} in instead of {} in", zone.laid_spacing, zone.spacing)
        }
        _ => String::new(),
    };
    Hit {
        at: Some(fault.at),
        item: Some(fault.zone.into()),
        message: format!("{name} {what}{how}"),
        remedy: remedy.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn found(kind: Option<TubeFaultKind>) -> (usize, usize) {
        let faults = kind.map(|kind| TubeFault {
            zone: Default::default(),
            at: crate::geometry::Point::ORIGIN,
            kind,
        });
        let tube = crate::tube::Tube { faults: faults.into_iter().collect(), ..Default::default() };
        let parts = Parts { tube: Arc::new(tube), ..Parts::default() };
        (
            look_for_unlaid(&Job::default(), &parts).len(),
            look_for_compromise(&Job::default(), &parts).len(),
        )
    }

    #[test]
    fn every_fault_of_routing_is_said_once() {
        assert_eq!(found(None), (0, 0));
        assert_eq!(found(Some(TubeFaultKind::OutOfReach)), (1, 0));
        assert_eq!(found(Some(TubeFaultKind::TooLong)), (0, 1));
        assert_eq!(found(Some(TubeFaultKind::LaidWider)), (0, 1));
        assert_eq!(found(Some(TubeFaultKind::PortsAside)), (0, 1));
        assert_eq!(found(Some(TubeFaultKind::CutShort)), (0, 1));
    }
}
