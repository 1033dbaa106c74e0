//! Where a joint may fall: the stagger to the courses beside, and off the seams of another layer.
//!
//! Question: may the piece under way end here, and if not, how far back may it? Every seam of a
//! neighbouring course forbids a stretch of the stagger to both sides of it; seams of the layer
//! above forbid a shorter one.

use super::courses::{Cell, Strip};
use super::end_seams::{EndSeam, MEETS};
use super::fill::{Choice, SAME, Stock};

/// A place that joints keep off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct KeptOff {
    /// Where along the course.
    pub at: f64,
    /// How far off.
    pub by: f64,
    /// It is a seam of the layer above, not of a course beside.
    pub is_above: bool,
}

impl KeptOff {
    fn is_kept(&self, joint: f64) -> bool {
        (joint - self.at).abs() >= self.by - SAME
    }
}

/// The places that joints of a strip keep off: `seams` by course, and along its own course those
/// of the layer above.
pub(super) fn kept_off(
    strip: &Strip,
    (seams, above): (&[Vec<EndSeam>], &[f64]),
    stock: &Stock,
) -> Vec<KeptOff> {
    let touches = |level: f64, of: fn(&Cell) -> f64| {
        strip.cells.iter().any(|cell| (of(cell) - level).abs() < MEETS)
    };
    let beside = |at: f64| KeptOff { at, by: stock.stagger, is_above: false };
    let of_course = |course: Option<usize>| course.and_then(|c| seams.get(c)).into_iter().flatten();
    let mut places: Vec<KeptOff> = Vec::new();
    if touches(strip.band.0, |cell| cell.low.0.min(cell.low.1)) {
        let below = of_course(strip.course.checked_sub(1)).filter(|seam| seam.meets_high);
        places.extend(below.map(|seam| beside(seam.at)));
    }
    if touches(strip.band.1, |cell| cell.high.0.max(cell.high.1)) {
        let above = of_course(Some(strip.course + 1)).filter(|seam| seam.meets_low);
        places.extend(above.map(|seam| beside(seam.at)));
    }
    places.extend(above.iter().map(|&at| KeptOff { at, by: stock.apart, is_above: true }));
    let near = (strip.start() - stock.stagger, strip.end() + stock.stagger);
    places.retain(|place| place.at > near.0 && place.at < near.1);
    places
}

/// The same places seen from the far end.
pub(super) fn turned(mut places: Vec<KeptOff>) -> Vec<KeptOff> {
    for place in &mut places {
        place.at = -place.at;
    }
    places
}

/// A strip under way, seen in the direction in which it is filled.
pub(super) struct Front<'a> {
    /// The strip, turned when it is filled from its far end.
    pub strip: &'a Strip,
    /// Its index.
    pub index: usize,
    /// How it is filled.
    pub choice: Choice,
    /// Where the next piece starts.
    pub at: f64,
    /// Where the strip ends.
    pub end: f64,
    kept_off: Vec<KeptOff>,
}

impl<'a> Front<'a> {
    /// A strip whose first piece is to be laid.
    pub fn new(strip: &'a Strip, index: usize, choice: Choice, kept_off: Vec<KeptOff>) -> Self {
        Self { strip, index, choice, at: strip.start(), end: strip.end(), kept_off }
    }

    /// Whether a joint keeps off all places.
    pub fn is_legal(&self, joint: f64) -> bool {
        self.kept_off.iter().all(|place| place.is_kept(joint))
    }

    /// Whether a joint keeps the stagger to the courses beside.
    pub fn is_staggered(&self, joint: f64) -> bool {
        self.kept_off.iter().all(|place| place.is_above || place.is_kept(joint))
    }

    /// Whether a joint comes too near to a seam of the layer above.
    pub fn is_over_seam(&self, joint: f64) -> bool {
        self.kept_off.iter().any(|place| place.is_above && !place.is_kept(joint))
    }

    /// The farthest legal joint not beyond `most`.
    pub fn legal_below(&self, most: f64) -> f64 {
        self.below(most, |_| true)
    }

    /// The farthest joint not beyond `most` that keeps the stagger.
    pub fn staggered_below(&self, most: f64) -> f64 {
        self.below(most, |place| !place.is_above)
    }

    fn below(&self, most: f64, counts: impl Fn(&KeptOff) -> bool) -> f64 {
        let mut joint = most;
        // Each round passes one forbidden place for good.
        for _ in 0..=self.kept_off.len() {
            let back = self
                .kept_off
                .iter()
                .filter(|place| counts(place) && !place.is_kept(joint))
                .fold(f64::INFINITY, |least, place| least.min(place.at - place.by));
            if back.is_infinite() {
                break;
            }
            joint = back;
        }
        joint
    }

    /// The first joint of a running bond that leaves a piece worth laying before it, or a small
    /// one where no board is long enough for the next; see [`super::fill::Start::Bond`].
    pub fn joint_of_bond(&self, shift: f64, stock: &Stock) -> f64 {
        let half = if self.strip.course % 2 == 1 { 0.5 } else { 0.0 };
        let from_origin = (shift + half) * stock.length;
        let from_origin = if self.choice.is_backward { -from_origin } else { from_origin };
        let least = self.at + stock.least;
        let joint = least + (from_origin - least).rem_euclid(stock.length);
        if joint > self.at + stock.length + SAME { joint - stock.length } else { joint }
    }

    /// Whether whole boards of this length laid on from this joint keep every joint legal.
    pub fn is_legal_series(&self, joint: f64, length: f64) -> bool {
        self.kept_off.iter().all(|place| {
            if place.at < joint - place.by {
                return true;
            }
            let beyond = (place.at - joint).rem_euclid(length);
            let nearest = beyond.min(length - beyond);
            let is_past = place.at < joint || place.at > self.end + place.by;
            nearest >= place.by - SAME || (is_past && place.is_kept(joint))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn front(strip: &Strip, places: &[(f64, f64, bool)]) -> Vec<f64> {
        let kept: Vec<KeptOff> =
            places.iter().map(|&(at, by, is_above)| KeptOff { at, by, is_above }).collect();
        let front = Front::new(strip, 0, Choice::default(), kept);
        vec![front.legal_below(96.0), front.staggered_below(96.0)]
    }

    #[test]
    fn joints_step_back_over_every_place_they_keep_off() {
        let cell = Cell { from: 0.0, to: 300.0, low: (0.0, 0.0), high: (48.0, 48.0) };
        let strip = Strip {
            cells: vec![cell],
            band: (0.0, 48.0),
            course: 0,
            surface: 0,
            is_rectangle: true,
            is_staggered: true,
            is_locked: false,
        };
        assert_eq!(front(&strip, &[]), [96.0, 96.0]);
        assert_eq!(front(&strip, &[(100.0, 12.0, false), (84.0, 6.0, true)]), [78.0, 88.0]);
        let kept = vec![KeptOff { at: 192.0, by: 12.0, is_above: false }];
        let on = Front::new(&strip, 0, Choice::default(), kept);
        assert!(!on.is_legal_series(96.0, 96.0) && on.is_legal_series(60.0, 96.0));
        assert!(on.is_legal(96.0) && !on.is_legal(200.0));
    }

    #[test]
    fn joints_of_a_bond_stand_half_a_board_apart_whatever_the_wall_does() {
        let stock =
            Stock { length: 96.0, width: 48.0, kerf: 0.0, stagger: 48.0, least: 6.0, apart: 12.0 };
        let joint = |from: f64, course: usize| {
            let cell = Cell { from, to: 900.0, low: (0.0, 0.0), high: (48.0, 48.0) };
            let strip = Strip {
                cells: vec![cell],
                band: (0.0, 48.0),
                course,
                surface: 0,
                is_rectangle: true,
                is_staggered: true,
                is_locked: false,
            };
            Front::new(&strip, 0, Choice::default(), Vec::new()).joint_of_bond(0.25, &stock)
        };
        assert_eq!([joint(0.0, 0), joint(10.0, 0), joint(30.0, 2)], [24.0, 24.0, 120.0]);
        assert_eq!([joint(0.0, 1), joint(50.0, 1)], [72.0, 72.0]);
        // Four inches before the joint no board reaches the next one.
        assert_eq!(joint(20.0, 0), 24.0);
    }
}
