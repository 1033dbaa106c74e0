//! What the foam bears and how well it insulates.

use crate::facts::foam::{BOARDS, FoamBoard, share_of_strength};
use crate::job::build_up::{BuildUp, FoamType};

/// Weight of concrete, pounds per cubic inch (150 lb/ft3).
const CONCRETE_LB_PER_IN3: f64 = 150.0 / 1728.0;
/// Stiffness of compacted ground under the foam, pounds per cubic inch (common practice).
const GROUND_PCI: f64 = 100.0;
/// Concrete strength that the plate is reckoned with, psi.
const CONCRETE_PSI: f64 = 3000.0;
/// Poisson's ratio of concrete.
const POISSON: f64 = 0.15;
/// Modulus of foam over its compressive resistance: 100 times the stress at 1 % strain of ASTM
/// D6817, which is about half the resistance (730 psi for 15 psi board, 1090 for 25 psi).
const MODULUS_OVER_RESISTANCE: f64 = 50.0;

/// The row of ASTM C578 for a type.
#[must_use]
pub const fn board_of(foam_type: FoamType) -> FoamBoard {
    use FoamType as T;
    let [xi, i, viii, ii, ix, xiv, xv, xii, x, iv, vi, vii, v] = BOARDS;
    match foam_type {
        T::XI => xi,
        T::I => i,
        T::VIII => viii,
        T::II => ii,
        T::IX => ix,
        T::XIV => xiv,
        T::XV => xv,
        T::XII => xii,
        T::X => x,
        T::IV => iv,
        T::VI => vi,
        T::VII => vii,
        T::V => v,
    }
}

/// Pressure on the foam right under a wheel or jack, psi: the floor as a plate on springs,
/// `P/8 sqrt(k/D)` with `D = E h^3 / (12 (1 - v^2))`.
///
/// `stiffness_pci` is the bed's: foam and ground in series. Zero when the floor has no thickness.
///
/// # Source
/// Timoshenko and Woinowsky-Krieger, *Theory of Plates and Shells*, plate on elastic foundation
/// (formula read in a reprint); `E = 57000 sqrt(f'c)` of ACI 318.
#[must_use]
pub fn wheel_pressure(load_lb: f64, floor_in: f64, stiffness_pci: f64) -> f64 {
    if floor_in <= 0.0 || stiffness_pci <= 0.0 {
        return 0.0;
    }
    let modulus = 57_000.0 * CONCRETE_PSI.sqrt();
    let plate = modulus * floor_in * floor_in * floor_in / (12.0 * (1.0 - POISSON * POISSON));
    load_lb / 8.0 * (stiffness_pci / plate).sqrt()
}

/// Stiffness of ground and foam layers in series, pounds per cubic inch.
#[must_use]
pub fn bed_stiffness(build_up: &BuildUp) -> f64 {
    let layers = build_up.foam_layers.iter().map(|layer| {
        let modulus = MODULUS_OVER_RESISTANCE * board_of(layer.foam_type).compressive_psi;
        layer.thickness.to_inches().max(0.0) / modulus
    });
    1.0 / (1.0 / GROUND_PCI + layers.sum::<f64>())
}

/// How much of a layer's strength the floor uses: its weight sustained; live load and wheel
/// together come and go. Over 1 the foam creeps.
#[must_use]
pub fn floor_share(build_up: &BuildUp, foam_type: FoamType) -> f64 {
    let floor = build_up.floor_thickness.to_inches();
    let live = build_up.floor_load_psf / 144.0
        + wheel_pressure(build_up.wheel_load_lb, floor, bed_stiffness(build_up));
    let resistance = board_of(foam_type).compressive_psi;
    share_of_strength(resistance, floor * CONCRETE_LB_PER_IN3, live)
}

/// How much of a layer's strength a thickened edge uses: its own weight and the line load on it,
/// both sustained, over its flat bottom.
#[must_use]
pub fn edge_share(foam_type: FoamType, load_plf: f64, depth_in: f64, flat_in: f64) -> f64 {
    if flat_in <= 0.0 {
        return 0.0;
    }
    let sustained = load_plf / 12.0 / flat_in + depth_in * CONCRETE_LB_PER_IN3;
    share_of_strength(board_of(foam_type).compressive_psi, sustained, 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_type_has_the_row_of_its_name() {
        use FoamType as T;
        for kind in [
            T::I,
            T::II,
            T::IV,
            T::V,
            T::VI,
            T::VII,
            T::VIII,
            T::IX,
            T::X,
            T::XI,
            T::XII,
            T::XIV,
            T::XV,
        ] {
            assert_eq!(board_of(kind).designation, format!("{kind:?}"));
        }
    }

    #[test]
    fn wheels_and_edges_as_worked_by_hand() {
        // 2000 lb on 4 in of concrete over 78.49 pci: 0.537 psi; 6 in: 0.292 psi.
        assert!((wheel_pressure(2000.0, 4.0, 78.49) - 0.537).abs() < 0.002);
        assert!((wheel_pressure(2000.0, 6.0, 78.49) - 0.292).abs() < 0.002);
        // 1200 lb/ft on an edge 12 in deep and 16 in wide.
        assert!((edge_share(FoamType::IV, 1200.0, 12.0, 16.0) - 0.875).abs() < 0.001);
        assert!((edge_share(FoamType::X, 1200.0, 12.0, 16.0) - 1.458).abs() < 0.001);
        let floor = BuildUp::default();
        assert!((floor_share(&floor, FoamType::IV) - 0.111).abs() < 0.001);
    }
}
