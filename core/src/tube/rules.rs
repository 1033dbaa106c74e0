//! What one zone asks of its circuits: spacing, bends, limits, and the distances that follow.

use super::check::Demands;
use super::tree::Look;

/// What one zone asks of its circuits.
#[derive(Clone, Copy, Debug)]
pub struct Rules {
    /// Spacing, inches.
    pub spacing: f64,
    /// Bend radius, inches.
    pub radius: f64,
    /// Longest circuit, inches.
    pub limit: f64,
    /// Distance of the outermost tube from the slab edge, inches.
    pub edge: f64,
    /// Distance between leaders side by side, inches.
    pub port_spacing: f64,
    /// How the tube should wind.
    pub look: Look,
    /// Two tubes run side by side in each lane, this far from its middle: spacings so close that
    /// a return between neighbours would be a bulb in every lane are laid so, supply beside
    /// return. `spacing` is then that of the lanes.
    pub pair: Option<f64>,
}

impl Rules {
    /// Half-inch tube at a spacing, with ports and leaders 3 in apart.
    #[cfg(test)]
    pub const fn half_inch(spacing: f64) -> Self {
        Self {
            spacing,
            radius: 5.0,
            limit: 3_600.0,
            edge: 6.0,
            port_spacing: 3.0,
            look: Look::FewBends,
            pair: None,
        }
    }

    /// The least distance between two runs.
    #[must_use]
    pub fn least(&self) -> f64 {
        if self.pair.is_some() { 0.9 * self.spacing } else { 0.8 * self.spacing }
    }

    /// How far the middle of a lane keeps from leaders.
    pub fn beside_leaders(&self) -> f64 {
        self.pair.map_or(self.least() + 0.05, |half| half + 0.82 * self.tube_spacing())
    }

    /// How far a bulb between neighbouring runs bows at most, which is to one side only, inches; less
    /// than nothing where none is needed.
    #[must_use]
    pub fn bow_to_one_side(&self) -> f64 {
        2.0 * self.bend() - self.spacing
    }

    /// Tubes in a lane.
    pub fn tubes(&self) -> f64 {
        if self.pair.is_some() { 2.0 } else { 1.0 }
    }

    /// Distance from tube to tube as asked for.
    #[must_use]
    pub fn tube_spacing(&self) -> f64 {
        self.spacing / self.tubes()
    }

    /// Bends are made a hair wider than the least radius, so that rounding never makes one too
    /// tight.
    #[must_use]
    pub fn bend(&self) -> f64 {
        self.radius + 0.01
    }

    /// The closest pitch of lanes: no less than two bends need where the spacing nearly gives it.
    pub fn least_pitch(&self) -> f64 {
        if self.pair.is_some() {
            return 0.925 * self.spacing;
        }
        (0.86 * self.spacing).max((2.0 * self.radius + 0.1).min(0.957 * self.spacing))
    }

    /// The closest that lanes stand where they splay: returns have room there, though some bulbs side
    /// by side must be drawn back from each other.
    #[must_use]
    pub fn closest_pitch(&self) -> f64 {
        let needs_more = self.is_tight() && !self.is_crowded();
        self.spacing * if needs_more { 0.88 } else { 0.85 }
    }

    /// How splayed lanes may stand at the closest, as a share of how they stand at the most:
    /// where bulbs need more room than runs, lanes stand a little wider than asked at the most.
    #[must_use]
    pub fn most_splayed(&self) -> f64 {
        let wider = if self.is_tight() { 0.97 } else { 1.0 };
        wider * self.closest_pitch() / self.spacing
    }

    /// Returns between neighbours are bulbs.
    #[must_use]
    pub fn is_tight(&self) -> bool {
        self.pair.is_none() && 2.0 * self.radius > self.least_pitch() + 0.2
    }

    /// Returns are so tight that bulbs crowd their neighbours: a part two cells wide, for tube out
    /// and back, has fewer of them.
    #[must_use]
    pub fn is_crowded(&self) -> bool {
        self.pair.is_none() && 1.4 * self.radius >= self.spacing
    }

    /// What the check holds the finished circuits to.
    pub fn demands(&self) -> Demands {
        if self.pair.is_some() {
            // A bulb stands half a lane and its own half width off the next run.
            let spacing = self.tube_spacing();
            return Demands {
                least: 0.8 * spacing,
                least_at_leaders: (0.65 * self.port_spacing).min(0.8 * spacing),
                least_at_bends: [
                    (1.3 * spacing - self.radius).clamp(1.0, 0.8 * spacing),
                    (1.95 * spacing - 2.0 * self.radius).clamp(1.0, 0.8 * spacing),
                ],
                radius: self.radius,
            };
        }
        let (pitch, least) = (self.least_pitch(), self.least());
        // Two bulbs back to back stand two spacings less two radii apart.
        let back_to_back = (2.0 * (self.spacing - self.radius) - 0.2).clamp(1.0, least);
        let bulb = |lanes: f64, radii: f64| {
            if 2.0 * self.radius > self.spacing {
                (lanes * pitch - radii * self.radius - 0.2).clamp(1.0, least)
            } else {
                least
            }
        };
        Demands {
            least,
            // A bulb that bows to one side only stands nearer, as it does with two tubes to a lane.
            least_at_bends: [
                if self.is_crowded() {
                    (1.3 * self.spacing - self.radius).clamp(1.0, least)
                } else {
                    bulb(1.5, 1.0)
                },
                if self.is_crowded() { bulb(2.0, 2.0) } else { back_to_back },
            ],
            least_at_leaders: (0.65 * self.port_spacing).min(self.least()),
            radius: self.radius,
        }
    }
}
