//! Why sheets cannot be made as they are asked for.

/// The least width of a page's own area, in mm.
pub const LEAST_PRINT: f64 = 120.0;

/// The most pages of one pattern: a suit takes some forty of A4.
pub const MOST_PAGES: usize = 1000;

/// Sheets that cannot be made as they are asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
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

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Refusal::DoesNotFit => {
                f.write_str("the pieces do not fit on any number of pages of this paper")
            }
            Refusal::TooManyPages { pages } => write!(
                f,
                "the pattern needs {pages} pages of this paper or more, where {MOST_PAGES} are the most"
            ),
            Refusal::NoRoom { left } => write!(
                f,
                "margins and overlap leave {left:.0} mm of the page's width, and {LEAST_PRINT:.0} mm are needed"
            ),
            Refusal::NoSuchPiece { word, .. } => {
                write!(
                    f,
                    "no garment and no piece of this order is called `{word}`"
                )
            }
        }
    }
}

impl std::error::Error for Refusal {}

impl Refusal {
    /// What to do about it.
    pub fn help(&self) -> Option<String> {
        match self {
            Refusal::DoesNotFit | Refusal::TooManyPages { .. } => {
                Some("choose a larger paper, or a wider roll".to_owned())
            }
            Refusal::NoRoom { .. } => Some("give a smaller --margin or --overlap".to_owned()),
            Refusal::NoSuchPiece {
                meant: Some(meant), ..
            } => Some(format!("did you mean `{meant}`?")),
            Refusal::NoSuchPiece { known, .. } => Some(format!("there are: {known}")),
        }
    }
}
