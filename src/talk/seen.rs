//! The sides from which a garment is seen.

use crate::made_up::Facing;

/// The side from which a garment is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seen {
    Front,
    Back,
    Inside,
}

impl Seen {
    /// Every side, in the order in which they are offered.
    pub(super) const ALL: [Self; 3] = [Self::Front, Self::Back, Self::Inside];
    /// The sides from which a garment is seen as it is worn.
    pub(super) const WORN: [Self; 2] = [Self::Front, Self::Back];

    /// Returns the word for it.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Inside => "inside",
        }
    }

    /// Returns the way in which a view shows it.
    pub(super) fn facing(self) -> Facing {
        match self {
            Self::Front => Facing::Front,
            Self::Back => Facing::Back,
            Self::Inside => Facing::Inside,
        }
    }
}
