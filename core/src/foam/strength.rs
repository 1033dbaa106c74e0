//! What the foam bears and how well it insulates.

use crate::facts::foam::{BOARDS, FoamBoard};
use crate::job::build_up::FoamType;

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
}
