//! Heat that the rooms ask of the floor.
//!
//! Typed in, by area, or by a simple room method: the sum of areas times U, plus air change.
//! That last one is an aid to start with and no design: a heat loss survey by a standard method
//! goes first. The slab's own loss downward and at its edges is not part of this load: the water
//! carries it, the floor's output does not.

use crate::job::heating::HeatLoad;

/// Heat capacity of air by volume, Btu/(ft³·°F): 0.24 Btu/(lb·°F) times 0.075 lb/ft³ at sea
/// level (handbook figures).
pub const AIR_HEAT_CAPACITY: f64 = 0.018;

/// Load on a floor, Btu/h.
///
/// `heated_ft2` is the area that gives heat; temperatures in °F. Never negative.
#[must_use]
pub fn load_btuh(load: HeatLoad, heated_ft2: f64, indoor_f: f64, outdoor_f: f64) -> f64 {
    let difference = (indoor_f - outdoor_f).max(0.0);
    let asked = match load {
        HeatLoad::ByArea(per_ft2) => per_ft2 * heated_ft2,
        HeatLoad::Total(total) => total,
        HeatLoad::RoomAid { envelope_ua, volume_ft3, air_changes } => {
            (envelope_ua + AIR_HEAT_CAPACITY * air_changes * volume_ft3) * difference
        }
    };
    asked.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_ways_to_say_it_agree() {
        let shop = HeatLoad::RoomAid { envelope_ua: 150.2, volume_ft3: 14_400.0, air_changes: 0.5 };
        let asked = load_btuh(shop, 1200.0, 65.0, -10.0);
        assert!((asked - 20_985.0).abs() < 1.0);
        assert_eq!(load_btuh(HeatLoad::Total(asked), 1200.0, 65.0, -10.0), asked);
        assert!(
            (load_btuh(HeatLoad::ByArea(asked / 1200.0), 1200.0, 65.0, -10.0) - asked).abs() < 1e-9
        );
        assert_eq!(load_btuh(shop, 1200.0, 65.0, 80.0), 0.0);
    }
}
