//! What a mark shows, as the opaque number that drawings carry.

use crate::job::ids::{
    ItemId, JointId, KeepOutId, ManifoldId, OpeningId, PadId, PenetrationId, RecessId, ShotId,
    SideId, SlopeId, StripId, ZoneId,
};

/// What a mark shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shown {
    /// A thing of the job.
    Item(ItemId),
    /// A circuit, by its place in the results.
    Circuit(u32),
    /// A joint that the layout found, by its place in the results.
    FoundJoint(u32),
    /// A floor panel between joints, by its place.
    SlabPanel(u32),
    /// A board piece: layer, and place in it.
    BoardPiece(u16, u32),
    /// A truck line, by its place.
    TruckLine(u32),
}

/// Bits below the kind.
const KIND: u32 = 48;

impl Shown {
    /// The tag of a mark that shows it; never 0.
    #[must_use]
    pub const fn tag(self) -> u64 {
        let (kind, number) = match self {
            Self::Item(ItemId::SideId(id)) => (1, id.0 as u64),
            Self::Item(ItemId::OpeningId(id)) => (2, id.0 as u64),
            Self::Item(ItemId::PenetrationId(id)) => (3, id.0 as u64),
            Self::Item(ItemId::StripId(id)) => (4, id.0 as u64),
            Self::Item(ItemId::PadId(id)) => (5, id.0 as u64),
            Self::Item(ItemId::RecessId(id)) => (6, id.0 as u64),
            Self::Item(ItemId::SlopeId(id)) => (7, id.0 as u64),
            Self::Item(ItemId::ZoneId(id)) => (8, id.0 as u64),
            Self::Item(ItemId::ManifoldId(id)) => (9, id.0 as u64),
            Self::Item(ItemId::KeepOutId(id)) => (10, id.0 as u64),
            Self::Item(ItemId::JointId(id)) => (11, id.0 as u64),
            Self::Item(ItemId::ShotId(id)) => (12, id.0 as u64),
            Self::Circuit(place) => (20, place as u64),
            Self::FoundJoint(place) => (21, place as u64),
            Self::SlabPanel(place) => (22, place as u64),
            Self::BoardPiece(layer, place) => (23, (layer as u64) << 32 | place as u64),
            Self::TruckLine(place) => (24, place as u64),
        };
        (kind << KIND) | number
    }

    /// What a tag means; `None` for 0 and for tags that nobody gave.
    #[must_use]
    pub fn of_tag(tag: u64) -> Option<Self> {
        let place = u32::try_from(tag & 0xffff_ffff).ok()?;
        let layer = u16::try_from((tag >> 32) & 0xffff).ok()?;
        Some(match tag >> KIND {
            1 => Self::Item(SideId(place).into()),
            2 => Self::Item(OpeningId(place).into()),
            3 => Self::Item(PenetrationId(place).into()),
            4 => Self::Item(StripId(place).into()),
            5 => Self::Item(PadId(place).into()),
            6 => Self::Item(RecessId(place).into()),
            7 => Self::Item(SlopeId(place).into()),
            8 => Self::Item(ZoneId(place).into()),
            9 => Self::Item(ManifoldId(place).into()),
            10 => Self::Item(KeepOutId(place).into()),
            11 => Self::Item(JointId(place).into()),
            12 => Self::Item(ShotId(place).into()),
            20 => Self::Circuit(place),
            21 => Self::FoundJoint(place),
            22 => Self::SlabPanel(place),
            23 => Self::BoardPiece(layer, place),
            24 => Self::TruckLine(place),
            _ => return None,
        })
    }
}

/// The tag of a place in a list.
#[must_use]
pub fn place(number: usize, make: fn(u32) -> Shown) -> u64 {
    make(u32::try_from(number).unwrap_or(u32::MAX)).tag()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags_come_back() {
        for shown in [
            Shown::Item(SideId(7).into()),
            Shown::Item(ShotId(u32::MAX).into()),
            Shown::Circuit(3),
            Shown::BoardPiece(2, 41),
            Shown::TruckLine(0),
        ] {
            assert_eq!(Shown::of_tag(shown.tag()), Some(shown));
        }
        assert_eq!(Shown::of_tag(0), None);
    }
}
