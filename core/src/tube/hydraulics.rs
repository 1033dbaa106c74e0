//! Flow, friction and volume of a circuit: pure functions on numbers.
//!
//! Head by Darcy and Weisbach. Friction factor: 64/Re below Re 2300, Colebrook above it, which
//! is what tables are made with; and Churchill's single law over all flows, which has no jump
//! and so is the one to balance circuits with. Between Re 2000 and 4000 the flow is in
//! transition and the two may differ by 40 %: [`is_in_transition`] says so.
//!
//! Plan lengths are inches, flows US gallons a minute, heads feet of the fluid that flows.

use crate::facts::fluids::FluidProperties;
use crate::units::exact_math::{exp, ln, log10, pow};

/// Roughness of drawn plastic, m (5e-6 ft). Handbooks, from memory; 0 to 7 µm changes the head
/// of half-inch tube at 1 gpm by −0.6 to +2 %.
pub const ROUGHNESS: f64 = 1.5e-6;
/// Gravity, m/s².
pub const GRAVITY: f64 = 9.806_65;
/// Laminar below this Reynolds number, for the two-branch law.
pub const LAMINAR_BELOW: f64 = 2300.0;
/// Cubic metres a second in one US gallon a minute.
pub const CUBIC_METERS_PER_SECOND_PER_GPM: f64 = 3.785_411_784e-3 / 60.0;

const METERS_PER_INCH: f64 = 0.0254;
const METERS_PER_FOOT: f64 = 0.3048;

/// Which law gives the friction factor.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FrictionLaw {
    /// 64/Re when laminar, else Colebrook (1939). Jumps at Re 2300.
    LaminarOrColebrook,
    /// Churchill (1977): one law for laminar, transition and turbulent flow.
    #[default]
    Churchill,
}

/// How water moves in a tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TubeFlow {
    /// Mean velocity, ft/s.
    pub velocity_ft_s: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// Darcy friction factor.
    pub friction: f64,
    /// Head lost per 100 ft of tube, ft of the fluid.
    pub head_ft_per_100_ft: f64,
}

/// Flow that carries `heat_btuh` with `drop_f` between supply and return; none without a drop.
///
/// `heat_btuh` is all that leaves the water, upward and downward.
#[must_use]
pub fn flow_gpm(heat_btuh: f64, drop_f: f64, fluid: &FluidProperties) -> f64 {
    let carried = fluid.btuh_per_gpm_degree() * drop_f;
    if carried > 0.0 { (heat_btuh / carried).max(0.0) } else { 0.0 }
}

/// Velocity, Reynolds number, friction and head of a flow in a tube of `inside_in`.
#[must_use]
pub fn tube_flow(gpm: f64, inside_in: f64, fluid: &FluidProperties, law: FrictionLaw) -> TubeFlow {
    let diameter = inside_in * METERS_PER_INCH;
    let still =
        TubeFlow { velocity_ft_s: 0.0, reynolds: 0.0, friction: 0.0, head_ft_per_100_ft: 0.0 };
    if gpm <= 0.0 || diameter <= 0.0 {
        return still;
    }
    let area = std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let velocity = gpm * CUBIC_METERS_PER_SECOND_PER_GPM / area;
    let reynolds = fluid.density * velocity * diameter / fluid.viscosity;
    let friction = match law {
        FrictionLaw::Churchill => churchill(reynolds, ROUGHNESS / diameter),
        FrictionLaw::LaminarOrColebrook if reynolds < LAMINAR_BELOW => 64.0 / reynolds,
        FrictionLaw::LaminarOrColebrook => colebrook(reynolds, ROUGHNESS / diameter),
    };
    let slope = friction / diameter * velocity * velocity / (2.0 * GRAVITY);
    TubeFlow {
        velocity_ft_s: velocity / METERS_PER_FOOT,
        reynolds,
        friction,
        head_ft_per_100_ft: slope * 100.0,
    }
}

/// Head of a circuit: its tube, its bends as extra tube, and what its manifold valves take.
#[must_use]
pub fn circuit_head_ft(flow: &TubeFlow, length_in: f64, right_angles: f64, inside_in: f64) -> f64 {
    let bends_in = right_angles * BEND_DIAMETERS * inside_in;
    flow.head_ft_per_100_ft * (length_in + bends_in) / 1200.0 + MANIFOLD_HEAD_FT
}

/// Length of straight tube, in inside diameters, that a swept right angle of eight diameters
/// costs over its own length. From memory of handbook tables for wide bends.
pub const BEND_DIAMETERS: f64 = 6.0;
/// Head of the two manifold valves wide open, ft (common practice; the maker's curve goes first).
pub const MANIFOLD_HEAD_FT: f64 = 0.5;

/// Whether the flow is neither surely laminar nor surely turbulent.
#[must_use]
pub fn is_in_transition(reynolds: f64) -> bool {
    reynolds > 2000.0 && reynolds < 4000.0
}

/// Darcy friction factor by Colebrook's equation, solved to the last few bits.
///
/// # Source
/// C. F. Colebrook, 1939.
#[must_use]
pub fn colebrook(reynolds: f64, relative_roughness: f64) -> f64 {
    // Fixed-point iteration on 1/sqrt(f) contracts by about 0.1 a step for turbulent flow.
    let mut x = 8.0;
    for _ in 0..40 {
        x = -2.0 * log10(relative_roughness / 3.7 + 2.51 * x / reynolds);
    }
    1.0 / (x * x)
}

/// Darcy friction factor by Churchill's law for every flow.
///
/// # Source
/// S. W. Churchill, Chemical Engineering, November 1977 (from memory).
#[must_use]
pub fn churchill(reynolds: f64, relative_roughness: f64) -> f64 {
    let a = 2.457 * ln(1.0 / (pow(7.0 / reynolds, 0.9) + 0.27 * relative_roughness));
    let b = 37_530.0 / reynolds;
    let laminar = pow(8.0 / reynolds, 12.0);
    8.0 * pow(laminar + 1.0 / pow(pow(a, 16.0) + pow(b, 16.0), 1.5), 1.0 / 12.0)
}

/// Film coefficient between water and the tube's inner wall, W/(m²·K).
///
/// Laminar 4.36 (even flux), Gnielinski (1976) with Petukhov's friction above Re 4000, a
/// straight line between them in Nusselt number, as is usual.
#[must_use]
pub fn film_coefficient(gpm: f64, inside_in: f64, fluid: &FluidProperties) -> f64 {
    let flow = tube_flow(gpm, inside_in, fluid, FrictionLaw::Churchill);
    let diameter = inside_in * METERS_PER_INCH;
    if flow.reynolds <= 0.0 {
        return 0.0;
    }
    let prandtl = fluid.prandtl();
    let gnielinski = |reynolds: f64| {
        let root = 0.79 * ln(reynolds) - 1.64;
        let eighth = 1.0 / (root * root) / 8.0;
        eighth * (reynolds - 1000.0) * prandtl
            / (1.0 + 12.7 * eighth.sqrt() * (pow(prandtl, 2.0 / 3.0) - 1.0))
    };
    let laminar = 4.36;
    let nusselt = if flow.reynolds <= LAMINAR_BELOW {
        laminar
    } else if flow.reynolds >= 4000.0 {
        gnielinski(flow.reynolds)
    } else {
        let share = (flow.reynolds - LAMINAR_BELOW) / (4000.0 - LAMINAR_BELOW);
        laminar + (gnielinski(4000.0) - laminar) * share
    };
    nusselt * fluid.conductivity / diameter
}

/// Volume of fluid in a tube, US gallons.
#[must_use]
pub fn volume_gallons(length_in: f64, inside_in: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * inside_in * inside_in * length_in / 231.0
}

/// Water temperature at the end of a tube that loses `loss_per_ft` Btu/(h·°F) per ft to a
/// surrounding at `around_f`.
#[must_use]
pub fn leaving_f(
    entering_f: f64,
    around_f: f64,
    loss_per_ft: f64,
    length_ft: f64,
    carried: f64,
) -> f64 {
    if carried <= 0.0 {
        return around_f;
    }
    around_f + (entering_f - around_f) * exp(-loss_per_ft * length_ft / carried)
}

/// Flows through circuits in parallel under one head, as shares that sum to one, when all
/// valves are open: flow goes with 1/length to the power 1/1.75.
#[must_use]
pub fn unthrottled_shares(lengths_in: &[f64]) -> Vec<f64> {
    let weights: Vec<f64> =
        lengths_in.iter().map(|&l| if l > 0.0 { pow(l, -1.0 / 1.75) } else { 0.0 }).collect();
    let sum: f64 = weights.iter().sum();
    weights.iter().map(|w| if sum > 0.0 { w / sum } else { 0.0 }).collect()
}

/// Power that water takes from a pump, W, before the pump's own losses.
#[must_use]
pub fn water_power_w(gpm: f64, head_ft: f64, fluid: &FluidProperties) -> f64 {
    gpm * CUBIC_METERS_PER_SECOND_PER_GPM * fluid.density * GRAVITY * head_ft * METERS_PER_FOOT
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::fluids::properties;

    #[test]
    fn no_flow_has_no_head_and_no_drop_asks_no_flow() {
        let water = properties(0.0, 100.0);
        assert_eq!(tube_flow(0.0, 0.5, &water, FrictionLaw::Churchill).head_ft_per_100_ft, 0.0);
        assert_eq!(flow_gpm(1000.0, 0.0, &water), 0.0);
        assert_eq!(unthrottled_shares(&[0.0]), [0.0]);
    }

    #[test]
    fn churchill_has_no_jump_and_meets_both_ends() {
        let steps = (500..8000).map(|re| churchill(f64::from(re), 1e-4));
        assert!(steps.clone().zip(steps.skip(1)).all(|(a, b)| (b / a - 1.0).abs() < 0.005));
        assert!((churchill(1000.0, 1e-4) / 0.064 - 1.0).abs() < 1e-3);
        assert!((churchill(1e5, 1e-4) / colebrook(1e5, 1e-4) - 1.0).abs() < 0.02);
    }
}
