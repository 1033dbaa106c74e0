//! Names for things that other decisions refer to, never used twice within a job.

use serde::{Deserialize, Serialize};

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
            #[serde(transparent)]
            pub struct $name(pub u32);
        )+

        /// The id of any thing in a job, for selection, findings and picking.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum ItemId {
            $(
                $(#[$doc])*
                $name($name),
            )+
        }

        impl ItemId {
            /// The number inside the id, unique among all things of a job.
            #[must_use]
            pub const fn number(self) -> u32 {
                match self {
                    $(Self::$name(id) => id.0,)+
                }
            }
        }

        $(
            impl From<$name> for ItemId {
                fn from(id: $name) -> Self {
                    Self::$name(id)
                }
            }

            impl From<u32> for $name {
                fn from(number: u32) -> Self {
                    Self(number)
                }
            }
        )+
    };
}

ids!(
    /// A side of the outline.
    SideId,
    /// An opening through the slab.
    OpeningId,
    /// A pipe, drain or column that comes through the slab.
    PenetrationId,
    /// An interior thickened strip.
    StripId,
    /// A pad under a column.
    PadId,
    /// A lowered part of the floor.
    RecessId,
    /// A sloped part of the floor.
    SlopeId,
    /// A heated zone.
    ZoneId,
    /// A manifold.
    ManifoldId,
    /// A place where no tube may lie.
    KeepOutId,
    /// A joint drawn or locked by hand.
    JointId,
    /// A survey shot.
    ShotId,
);

/// Which side of the slab's rim something belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RimId {
    /// A side of the outline.
    Side(SideId),
    /// The rim of an opening.
    Opening(OpeningId),
}

/// Gives out ids: each number once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct IdSource(pub u32);

impl Default for IdSource {
    fn default() -> Self {
        Self(1)
    }
}

impl IdSource {
    /// An id that was never given out before.
    pub fn fresh<Id: From<u32>>(&mut self) -> Id {
        let number = self.0;
        self.0 = self.0.saturating_add(1);
        Id::from(number)
    }
}
