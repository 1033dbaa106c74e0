//! Heat lost to the ground: ISO 13370, edge-loss factors, and the exact half-space.
//!
//! ISO 13370 treats a slab by its characteristic dimension, area over half the perimeter. Edge
//! insulation comes as a line coefficient, where a vertical strip counts as a horizontal one of
//! twice its depth. A heated slab is warmer than the room, so its loss goes with the slab's
//! temperature and not with the room's.
//!
//! The half-space integral is exact for a rectangle at one temperature on ground whose surface
//! outside is at another, with a linear fall across the wall. It agrees with the published
//! benchmark of ground-coupled heat transfer and stands here as the check of the others. All SI.

use crate::facts::heating::{GROUND_SURFACE_INSIDE, GROUND_SURFACE_OUTSIDE};
use crate::units::exact_math::{cos, exp, ln};
use std::f64::consts::PI;

/// A slab on the ground, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundSlab {
    /// Area, m².
    pub area: f64,
    /// Exposed perimeter, m.
    pub perimeter: f64,
    /// Thickness of the walls, m.
    pub wall: f64,
    /// Conductivity of the soil, W/(m·K).
    pub soil: f64,
    /// Resistance of the whole floor, foam and covering included, m²·K/W.
    pub floor_resistance: f64,
}

/// Insulation at the edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EdgeStrip {
    /// Lying, this wide, m.
    Horizontal(f64),
    /// Standing, this deep, m.
    Vertical(f64),
}

impl GroundSlab {
    /// Area over half the perimeter, m.
    #[must_use]
    pub fn characteristic_dimension(&self) -> f64 {
        if self.perimeter > 0.0 { 2.0 * self.area / self.perimeter } else { 0.0 }
    }

    /// The floor as a thickness of soil, m.
    #[must_use]
    pub fn equivalent_thickness(&self) -> f64 {
        let films = GROUND_SURFACE_INSIDE + GROUND_SURFACE_OUTSIDE;
        self.wall + self.soil * (films + self.floor_resistance)
    }

    /// Coefficient of the floor to the outside, W/(m²·K), without an edge strip.
    #[must_use]
    pub fn coefficient(&self) -> f64 {
        slab_coefficient(self.characteristic_dimension(), self.equivalent_thickness(), self.soil)
    }

    /// Line coefficient of an edge strip, W/(m·K), negative: what it saves along the perimeter.
    ///
    /// `resistance` is that of the strip, m²·K/W, and `thickness` the soil it replaces, m.
    #[must_use]
    pub fn edge_strip(&self, strip: EdgeStrip, resistance: f64, thickness: f64) -> f64 {
        let width = match strip {
            EdgeStrip::Horizontal(width) => width,
            EdgeStrip::Vertical(depth) => 2.0 * depth,
        };
        let extra = (resistance - thickness / self.soil) * self.soil;
        let bare = self.equivalent_thickness();
        -self.soil / PI * (ln(width / bare + 1.0) - ln(width / (bare + extra) + 1.0))
    }

    /// Loss per kelvin, W/K, with the line coefficient of an edge strip (zero for none).
    #[must_use]
    pub fn loss_per_kelvin(&self, edge: f64) -> f64 {
        (self.area * self.coefficient() + self.perimeter * edge).max(0.0)
    }
}

/// ISO 13370's coefficient, W/(m²·K), for a characteristic dimension and an equivalent
/// thickness in m.
#[must_use]
pub fn slab_coefficient(characteristic: f64, equivalent: f64, soil: f64) -> f64 {
    if equivalent <= 0.0 {
        return 0.0;
    }
    if equivalent < characteristic {
        2.0 * soil / (PI * characteristic + equivalent) * ln(PI * characteristic / equivalent + 1.0)
    } else {
        soil / (0.457 * characteristic + equivalent)
    }
}

/// Heat from a rectangle to the ground's surface outside, W/K per W/(m·K) of soil times its
/// conductivity; exact for a half-space.
///
/// `sides` and `wall` in m; across the wall the surface temperature falls in a straight line.
///
/// # Source
/// Dirichlet half-space, integrated here; checked against case GC10a of NREL/TP-550-43388.
#[must_use]
pub fn half_space_loss(sides: (f64, f64), wall: f64, soil: f64) -> f64 {
    let nodes = gauss_legendre(32);
    let mut sum = 0.0;
    // The distance into the wall is wall·s², which takes the end where the heat flux is
    // infinite into a smooth integrand.
    for &(s, weight) in &nodes {
        let s = 0.5 * (s + 1.0);
        let t = wall * s * s;
        sum += 0.5 * weight * 2.0 * s * edge_integral(t, sides, &nodes);
    }
    soil * 2.0 / PI * sum
}

/// Integral of √(a² + b²)/(a·b) over a from t to L+t and b from t to B+t, in log coordinates.
fn edge_integral(t: f64, (length, breadth): (f64, f64), nodes: &[(f64, f64)]) -> f64 {
    let (low, high_a, high_b) = (ln(t), ln(length + t), ln(breadth + t));
    let (half_a, half_b) = (0.5 * (high_a - low), 0.5 * (high_b - low));
    let mut sum = 0.0;
    for &(u, weight_u) in nodes {
        let a = exp(low + half_a * (u + 1.0));
        for &(v, weight_v) in nodes {
            let b = exp(low + half_b * (v + 1.0));
            sum += weight_u * weight_v * (a * a + b * b).sqrt();
        }
    }
    sum * half_a * half_b
}

/// Nodes and weights of Gauss and Legendre on −1 to 1, by Newton's method.
fn gauss_legendre(count: u32) -> Vec<(f64, f64)> {
    let n = f64::from(count);
    let node = |i: u32| {
        let mut x = cos(PI * (f64::from(i) + 0.75) / (n + 0.5));
        let mut slope = 1.0;
        for _ in 0..50 {
            let (mut before, mut here) = (1.0, x);
            for k in 2..=count {
                let k = f64::from(k);
                (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
            }
            slope = n * (x * here - before) / (x * x - 1.0);
            x -= here / slope;
        }
        (x, 2.0 / ((1.0 - x * x) * slope * slope))
    };
    (0..count).map(node).collect()
}

/// Heat lost in a heating season, kWh, by degree days (K·d) and a loss per kelvin (W/K).
#[must_use]
pub fn season_loss_kwh(loss_per_kelvin: f64, degree_days: f64) -> f64 {
    loss_per_kelvin * degree_days * 24.0 / 1000.0
}

/// A slab in the ways that foam under it could be chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoamAlternative {
    /// Resistance of the foam, m²·K/W.
    pub resistance: f64,
    /// Coefficient of the floor, W/(m²·K).
    pub coefficient: f64,
    /// Loss in a heating season, kWh.
    pub season_kwh: f64,
}

/// The season's loss for each foam resistance under the same slab.
///
/// `degree_days` in K·d are those of the slab's mean temperature over the outside, which for a
/// heated slab are more than the room's.
#[must_use]
pub fn compare_foam(
    slab: &GroundSlab,
    resistances: &[f64],
    degree_days: f64,
) -> Vec<FoamAlternative> {
    let alternative = |&resistance: &f64| {
        let here = GroundSlab { floor_resistance: slab.floor_resistance + resistance, ..*slab };
        let loss = here.loss_per_kelvin(0.0);
        let season_kwh = season_loss_kwh(loss, degree_days);
        FoamAlternative { resistance, coefficient: here.coefficient(), season_kwh }
    };
    resistances.iter().map(alternative).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauss_integrates_polynomials() {
        let nodes = gauss_legendre(8);
        let integral: f64 = nodes.iter().map(|(x, w)| w * x * x * x * x).sum();
        assert!((integral - 0.4).abs() < 1e-14);
        assert!((nodes.iter().map(|n| n.1).sum::<f64>() - 2.0).abs() < 1e-14);
    }

    #[test]
    fn more_foam_always_loses_less() {
        let slab = GroundSlab {
            area: 90.0,
            perimeter: 39.0,
            wall: 0.2,
            soil: 2.0,
            floor_resistance: 0.05,
        };
        let all = compare_foam(&slab, &[0.0, 0.88, 1.76, 3.52], 3000.0);
        assert!(all.windows(2).all(|w| w[1].season_kwh < w[0].season_kwh));
        assert!(slab.edge_strip(EdgeStrip::Vertical(0.6), 1.76, 0.05) < 0.0);
    }
}
