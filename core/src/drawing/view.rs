//! Views: plan inches to paper points at a listed scale.
//!
//! A scale is taken from a list, the largest that fits: architect's scales for feet and inches
//! (common practice), ISO 5455 reductions for metric sheets (from memory). A plan is never
//! fitted to the page at an odd scale.

use super::{Affine, Rect, Spot, Vec2};

/// Points of 1/72 in on paper for a plan inch at full size.
const POINTS_PER_INCH: f64 = 72.0;

/// Architect's and, for large sites, engineer's scales: plan inches to a paper inch, largest
/// drawing first.
pub const FOOT_RATIOS: [f64; 18] = [
    4.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, 64.0, 96.0, 128.0, 192.0, 240.0, 384.0, 480.0, 720.0,
    1200.0, 2400.0, 6000.0,
];
/// ISO 5455 reductions, largest drawing first.
pub const METRIC_RATIOS: [f64; 12] =
    [5.0, 10.0, 20.0, 25.0, 50.0, 75.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0];

/// How many plan inches a paper inch shows, with the list it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Plan inches to a paper inch: 48 for 1/4 in to the foot.
    pub ratio: f64,
    /// It is written as a ratio (1:50) rather than as inches to the foot.
    pub is_metric: bool,
}

impl Scale {
    /// The largest listed scale at which `width` by `height` plan inches fit into `room`.
    #[must_use]
    pub fn to_fit(width: f64, height: f64, room: Rect, is_metric: bool) -> Self {
        let ratios: &[f64] = if is_metric { &METRIC_RATIOS } else { &FOOT_RATIOS };
        let fits = |ratio: &f64| {
            width * POINTS_PER_INCH / ratio <= room.width()
                && height * POINTS_PER_INCH / ratio <= room.height()
        };
        let ratio = ratios.iter().copied().find(fits).unwrap_or_else(|| {
            // Beyond the list: the next power of ten that fits.
            let need = (width * POINTS_PER_INCH / room.width().max(1.0))
                .max(height * POINTS_PER_INCH / room.height().max(1.0));
            let mut ratio = 10_000.0;
            while ratio < need && ratio < 1e12 {
                ratio *= 10.0;
            }
            ratio
        });
        Self { ratio, is_metric }
    }

    /// The next smaller scale of the list, when there is one.
    #[must_use]
    pub fn smaller(self) -> Option<Self> {
        let ratios: &[f64] = if self.is_metric { &METRIC_RATIOS } else { &FOOT_RATIOS };
        let ratio = ratios.iter().copied().find(|&ratio| ratio > self.ratio * 1.001)?;
        Some(Self { ratio, ..self })
    }

    /// Points on paper for a plan inch.
    #[must_use]
    pub fn points_per_inch(self) -> f64 {
        POINTS_PER_INCH / self.ratio
    }

    /// How it is written: `1/4" = 1'-0"`, `1" = 20'`, `1:50`.
    #[must_use]
    pub fn label(self) -> String {
        const ARCHITECT: [(f64, &str); 11] = [
            (4.0, "3\""),
            (8.0, "1 1/2\""),
            (12.0, "1\""),
            (16.0, "3/4\""),
            (24.0, "1/2\""),
            (32.0, "3/8\""),
            (48.0, "1/4\""),
            (64.0, "3/16\""),
            (96.0, "1/8\""),
            (128.0, "3/32\""),
            (192.0, "1/16\""),
        ];
        if !self.is_metric {
            let named = ARCHITECT.iter().find(|(ratio, _)| (ratio - self.ratio).abs() < 1e-9);
            if let Some((_, inches)) = named {
                return format!("{inches} = 1'-0\"");
            }
            let feet = self.ratio / 12.0;
            if (feet - feet.round()).abs() < 1e-9 && feet >= 1.0 {
                return format!("1\" = {feet:.0}'");
            }
        }
        if (self.ratio - self.ratio.round()).abs() < 1e-9 {
            format!("1:{:.0}", self.ratio)
        } else {
            format!("1:{:.2}", self.ratio)
        }
    }
}

/// Where a plan lies on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Its scale.
    pub scale: Scale,
    /// A place in the plan, inches, y up.
    pub plan_spot: Spot,
    /// Where that place lies on paper, points, y down.
    pub paper_spot: Spot,
    /// How the plan is turned on paper: cosine and sine of the angle, counter-clockwise as seen.
    pub turn: Vec2,
}

impl View {
    /// A view with the middle of `plan` (inches) in the middle of `room` (points).
    #[must_use]
    pub fn centered(plan: Rect, room: Rect, scale: Scale) -> Self {
        let turn = Vec2::new(1.0, 0.0);
        Self { scale, plan_spot: plan.center(), paper_spot: room.center(), turn }
    }

    /// From plan inches to paper points.
    #[must_use]
    pub fn paper_from_plan(&self) -> Affine {
        let k = self.scale.points_per_inch();
        let (cos, sin) = (k * self.turn.x, k * self.turn.y);
        let from = self.plan_spot;
        // Turned counter-clockwise with y up, then flipped to y down.
        Affine::new([
            cos,
            -sin,
            -sin,
            -cos,
            self.paper_spot.x - cos * from.x + sin * from.y,
            self.paper_spot.y + sin * from.x + cos * from.y,
        ])
    }

    /// A place of the plan on paper.
    #[must_use]
    pub fn to_paper(&self, plan: Spot) -> Spot {
        self.paper_from_plan() * plan
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_to_the_foot_of_the_architects_scales() {
        for (ratio, per_foot) in
            [(96.0, 9.0), (64.0, 13.5), (48.0, 18.0), (32.0, 27.0), (24.0, 36.0)]
        {
            let scale = Scale { ratio, is_metric: false };
            assert!((scale.points_per_inch() * 12.0 - per_foot).abs() < 1e-9);
        }
        let metric = Scale { ratio: 50.0, is_metric: true };
        assert!((metric.points_per_inch() * 1000.0 / 25.4 - 56.6929).abs() < 1e-4);
    }

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        // 40 x 25 ft fits a letter sheet's net 10 x 6 1/4 in at 1/4 in, 41 ft does not.
        let room = Rect::new(0.0, 0.0, 720.0, 450.0);
        assert!((Scale::to_fit(480.0, 300.0, room, false).ratio - 48.0).abs() < 1e-9);
        assert!((Scale::to_fit(492.0, 300.0, room, false).ratio - 64.0).abs() < 1e-9);
        assert_eq!(Scale::to_fit(480.0, 300.0, room, true).label(), "1:50");
        assert!(Scale::to_fit(1e9, 1.0, room, false).ratio >= 1e9 / 10.0);
    }

    #[test]
    fn scales_are_written_as_the_trade_does() {
        let label = |ratio| Scale { ratio, is_metric: false }.label();
        assert_eq!(label(48.0), "1/4\" = 1'-0\"");
        assert_eq!(label(240.0), "1\" = 20'");
        assert_eq!(label(50.0), "1:50");
    }

    #[test]
    fn north_is_up_and_back_again() {
        let view = View::centered(
            Rect::new(0.0, 0.0, 480.0, 336.0),
            Rect::new(36.0, 36.0, 756.0, 540.0),
            Scale { ratio: 48.0, is_metric: false },
        );
        let (south, north) =
            (view.to_paper(Spot::new(0.0, 0.0)), view.to_paper(Spot::new(0.0, 336.0)));
        assert!(north.y < south.y);
        assert!(((south.y - north.y) - 28.0 * 18.0).abs() < 1e-9);
        // A quarter turn to the left puts east where north was.
        let turned = View { turn: Vec2::new(0.0, 1.0), ..view };
        let east = turned.to_paper(view.plan_spot + Vec2::new(12.0, 0.0));
        assert!((east.y - (view.paper_spot.y - 18.0)).abs() < 1e-9);
        assert!((east.x - view.paper_spot.x).abs() < 1e-9);
    }
}
