//! Why no lay could be made, in words.

use crate::units::Unit;
use std::fmt;

/// Why no lay could be made.
#[derive(Debug, Clone, PartialEq)]
pub enum LayFault {
    /// An outline has no area, crosses itself, or lies where no cloth is.
    Outline {
        /// The piece.
        name: String,
    },
    /// A piece fits the width of the cloth in none of its orientations.
    TooWide {
        /// The piece.
        name: String,
        /// Least width it needs, mm.
        needs: f64,
        /// Width that may be used, mm.
        usable: f64,
    },
    /// A piece has no place on the cloth where its pattern matches.
    OffPattern {
        /// The piece.
        name: String,
    },
    /// Points that must match contradict one another.
    Matching {
        /// The match that does not hold.
        name: String,
        /// The two pieces.
        pieces: (String, String),
        /// How far they miss on the pattern, mm.
        by: f64,
    },
    /// A piece is longer than the table in all of its orientations.
    OffTable {
        /// The piece.
        name: String,
        /// Least length it needs, mm.
        needs: f64,
        /// Length of the table, mm.
        table: f64,
    },
    /// The pieces need more than the longest lay allowed.
    TooLong {
        /// Best length found, mm.
        needs: f64,
        /// Longest allowed, mm.
        longest: f64,
    },
    /// The finished lay did not pass its own check. This is a fault of the program, never of the order.
    Unsound {
        /// What the check found.
        found: String,
    },
}

impl LayFault {
    /// Says it in words, in the reader's unit.
    pub fn words(&self, unit: Unit) -> String {
        match self {
            Self::Outline { name } => {
                format!(
                    "the outline of {name} cannot be laid: it encloses no area, crosses itself, is far too large, or has a hole outside it"
                )
            }
            Self::TooWide {
                name,
                needs,
                usable,
            } => format!(
                "{name} needs {} across the cloth and only {} can be used",
                unit.show(*needs),
                unit.show(*usable)
            ),
            Self::OffPattern { name } => format!(
                "{name} cannot match across the cloth: it is too wide for the repeat; use wider cloth, or lay it open"
            ),
            Self::Matching { name, pieces, by } => format!(
                "the repeat cannot match at the {name}: {} and {} would miss by {}, because their other matches hold them",
                pieces.0,
                pieces.1,
                unit.small(*by)
            ),
            Self::OffTable { name, needs, table } => format!(
                "{name} is {} long and the table only {}; lay on a longer one, or leave the length of the table out",
                unit.show(*needs),
                unit.show(*table)
            ),
            Self::TooLong { needs, longest } => format!(
                "the lay needs {} and only {} may be used",
                unit.show(*needs),
                unit.show(*longest)
            ),
            Self::Unsound { found } => format!(
                "the lay failed its check ({found}); nothing was written. Please report this"
            ),
        }
    }
}

/// Says it in cm: for whoever has no order, and so no unit.
impl fmt::Display for LayFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words(Unit::Cm))
    }
}

impl std::error::Error for LayFault {}
