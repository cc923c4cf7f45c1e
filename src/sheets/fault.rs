//! Why sheets cannot be made as they are asked for.

/// The least width of a page's own area, in mm.
pub const LEAST_PRINT: f64 = 120.0;

/// The most pages of one pattern: a suit takes some forty of A4.
pub const MOST_PAGES: usize = 1000;

/// Sheets that cannot be made as they are asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetFault {
    /// The paper cannot hold the pattern.
    DoesNotFit,
    /// The pattern needs more pages than anybody glues: so many at least.
    TooManyPages {
        /// How many.
        pages: usize,
    },
    /// Margins and overlap leave too little of the page: so much, in mm.
    NoRoom {
        /// What is left of the page's width, mm.
        left: f64,
    },
    /// A word that names no garment and no piece.
    NoSuchPiece {
        /// The word.
        word: String,
        /// What was probably meant.
        meant: Option<String>,
        /// The garments, and the pieces of each.
        known: String,
    },
}

impl std::fmt::Display for SheetFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            SheetFault::DoesNotFit => {
                f.write_str("the pieces do not fit on any number of pages of this paper")
            }
            SheetFault::TooManyPages { pages } => write!(
                f,
                "the pattern needs {pages} pages of this paper or more, where {MOST_PAGES} are the most"
            ),
            SheetFault::NoRoom { left } => write!(
                f,
                "margins and overlap leave {left:.0} mm of the page's width, and {LEAST_PRINT:.0} mm are needed"
            ),
            SheetFault::NoSuchPiece { word, .. } => {
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
    /// What to do about it.
    pub fn help(&self) -> Option<String> {
        match self {
            SheetFault::DoesNotFit | SheetFault::TooManyPages { .. } => {
                Some("choose a larger paper, or a wider roll".to_owned())
            }
            SheetFault::NoRoom { .. } => Some("give a smaller --margin or --overlap".to_owned()),
            SheetFault::NoSuchPiece {
                meant: Some(meant), ..
            } => Some(format!("did you mean `{meant}`?")),
            SheetFault::NoSuchPiece { known, .. } => Some(format!("there are: {known}")),
        }
    }
}
