//! The reasons for which sheets cannot be made as they are asked for.

/// Least width of a page's own area, in mm: little more than half of A4. Narrower strips would be more joints than
/// pattern.
pub const LEAST_PRINT: f64 = 120.0;

/// Most pages of one pattern. A suit takes some forty pages of A4, so that more come from a slip in a measure.
pub const MOST_PAGES: usize = 1000;

/// The reason for which sheets cannot be made.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetFault {
    /// A piece is too large for any number of pages of this paper.
    DoesNotFit,
    /// The pattern needs more than [`MOST_PAGES`].
    TooManyPages {
        /// Least number of pages that it needs.
        pages: usize,
    },
    /// Margins and overlap leave less than [`LEAST_PRINT`] of the page.
    NoRoom {
        /// Width of the page that is left, in mm.
        left: f64,
    },
    /// A word that names no garment and no piece.
    NoSuchPiece {
        /// The word.
        word: String,
        /// The known name that is closest to the word.
        meant: Option<String>,
        /// The garments, and the pieces of each.
        known: String,
    },
}

impl std::fmt::Display for SheetFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::DoesNotFit => f.write_str("the pieces do not fit on this paper"),
            Self::TooManyPages { pages } => write!(
                f,
                "the pattern needs at least {pages} pages of this paper; {MOST_PAGES} is the most"
            ),
            Self::NoRoom { left } => write!(
                f,
                "the margins and overlap leave {left:.0} mm of the page's width; at least {LEAST_PRINT:.0} mm is needed"
            ),
            Self::NoSuchPiece { word, .. } => {
                write!(
                    f,
                    "no garment and no piece of this order is called `{word}`"
                )
            }
        }
    }
}

impl std::error::Error for SheetFault {}

impl SheetFault {
    /// Suggests what to do about it.
    pub fn help(&self) -> Option<String> {
        match self {
            Self::DoesNotFit | Self::TooManyPages { .. } => {
                Some("use larger paper, or a wider roll".to_owned())
            }
            Self::NoRoom { .. } => Some("use a smaller --margin or --overlap".to_owned()),
            Self::NoSuchPiece {
                meant: Some(meant), ..
            } => Some(format!("Perhaps: {meant}")),
            Self::NoSuchPiece { known, .. } => Some(format!("there are: {known}")),
        }
    }
}
