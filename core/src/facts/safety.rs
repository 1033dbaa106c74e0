//! Cautions to print on sheets where the work can hurt someone.
//!
//! They remind; the site's own rules, the state plan, local code, product labels and licensed
//! practice decide.

use super::source::{HowKnown, Source};

/// One caution: a short heading, what to do, and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Caution {
    /// A word or two.
    pub heading: &'static str,
    /// What to do, in plain words.
    pub text: &'static str,
    /// Where it comes from.
    pub source: Source,
}

const fn caution(heading: &'static str, text: &'static str, source: Source) -> Caution {
    Caution { heading, text, source }
}

const SILICA: Source = Source::new(
    "29 CFR 1926.1153",
    "",
    "Table 1, entries for walk-behind, drivable and handheld saws",
    HowKnown::Read,
);

/// For whoever saws joints.
pub const SAWING: [Caution; 7] = [
    caution(
        "Silica dust",
        "Cut wet with water fed to the blade. Walk-behind saw outdoors: no respirator; indoors or enclosed: respirator APF 10. Handheld saw: APF 10 indoors, and outdoors beyond 4 h a shift. A dry early-entry saw needs its dust collector and exposure data",
        SILICA,
    ),
    caution(
        "Eyes, ears, feet",
        "Wear eye and ear protection and boots; keep bystanders out of the blade's line; guard on the blade",
        Source::practice("usual protection with a concrete saw"),
    ),
    caution(
        "Exhaust",
        "No engine saw inside an enclosed space: carbon monoxide builds up within minutes even with doors open. Use electric or air tools, or keep the engine outside",
        Source::new("NIOSH 96-118", "1996", "carbon monoxide from small engines", HowKnown::Read),
    ),
    caution(
        "Heating tube beneath",
        "Set and lock the blade depth before the first cut. Keep the tube under pressure with the gauge in view while sawing; a drop means stop and mark the place",
        Source::practice("pressure held through placing and sawing"),
    ),
    caution(
        "Post-tensioned slab",
        "Never cut a post-tensioned slab until its tendons are located and the engineer agrees",
        Source::new("practice of post-tensioning", "", "", HowKnown::Memory),
    ),
    caution(
        "Green concrete",
        "Wet slurry burns skin without pain at first: rubber boots and gloves, wash at once with clean water",
        Source::new("PCA manual and trade safety sheet", "", "pH 12 to 13", HowKnown::Read),
    ),
    caution(
        "Slurry",
        "Keep slurry out of storm drains",
        Source::new("EPA, through a supplier's page", "", "", HowKnown::SecondHand),
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_says_what_and_where_from() {
        for caution in SAWING {
            assert!(!caution.heading.is_empty() && caution.text.len() > 20);
            assert!(!caution.source.document.is_empty());
        }
    }
}
