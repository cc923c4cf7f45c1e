//! The choices for the sheets beside the order: paper, pieces, plotter.

use super::fault::{LEAST_PRINT, SheetFault};
use super::font;
use super::paper::{Paper, Printed, Setup};
use super::plot::Reach;
use super::projector;
use super::tiling;
use crate::diagnostic::nearest;
use crate::order::{House, HouseNumber};
use crate::pattern::{Pattern, Piece};

/// The choices for the sheets of an order.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOptions {
    /// Paper that the pattern is printed on.
    pub paper: Paper,
    /// White margin of a page, in mm; `None` takes the house's.
    pub margin: Option<f64>,
    /// Width of the strip that is glued, in mm; `None` takes the house's.
    pub overlap: Option<f64>,
    /// What the 100 mm square measured on the printer, if it is not true.
    pub printed: Option<Printed>,
    /// Whether the pieces or the lays are printed.
    pub print: Print,
    /// Names of the garments and pieces to print; empty prints all of them.
    pub only: Vec<String>,
    /// Range of the plotter's coordinates.
    pub plot: Reach,
    /// Whether the pieces are also written as DXF, which is a beta.
    pub dxf: bool,
}

/// What is printed at true scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Print {
    /// Every piece once, packed so that few pages are needed.
    Pieces,
    /// Every copy of a piece as it lies on the cloth.
    Lay,
}

impl SheetOptions {
    /// Prints all pieces on a paper, with everything else as the house has it.
    pub fn on(paper: Paper) -> Self {
        Self {
            paper,
            margin: None,
            overlap: None,
            printed: None,
            print: Print::Pieces,
            only: Vec::new(),
            plot: Reach::Long,
            dxf: false,
        }
    }

    /// Checks that paper and pieces go together, as far as this is known before anything is laid.
    ///
    /// # Errors
    /// When no such piece exists, or the paper is too small for the pieces.
    pub fn check(&self, house: &House, pattern: &Pattern) -> Result<(), SheetFault> {
        let setup = self.setup(house)?;
        let pieces = self.pieces(pattern)?;
        let outlines = pieces.iter().map(|piece| &piece.cut);
        tiling::few_enough(outlines, &setup)
    }

    /// Returns the page setup, with the house's margins and overlap where none were chosen.
    ///
    /// # Errors
    /// Returns [`SheetFault::NoRoom`] where they leave too little of the page to print on.
    pub fn setup(&self, house: &House) -> Result<Setup, SheetFault> {
        let setup = Setup {
            paper: self.paper,
            margin: self.margin.unwrap_or(house.value(HouseNumber::PrintMargin)),
            overlap: self
                .overlap
                .unwrap_or(house.value(HouseNumber::PrintOverlap)),
            printed: self.printed.unwrap_or(Printed::TRUE),
        };
        let narrow = match self.paper {
            Paper::Pages(size) => setup.holds(size.upright()).0,
            Paper::Roll(width) => setup.roll(width),
            Paper::Projector => projector::WIDTH,
        };
        let left = narrow - 2.0 * setup.margin - setup.overlap;
        if left < LEAST_PRINT {
            return Err(SheetFault::NoRoom { left });
        }
        Ok(setup)
    }

    /// Returns the pieces to print, in the order of the pattern.
    ///
    /// # Errors
    /// Returns [`SheetFault::NoSuchPiece`] where a word names no garment and no piece.
    pub fn pieces<'a>(&self, pattern: &'a Pattern) -> Result<Vec<&'a Piece>, SheetFault> {
        let mut wanted = vec![self.only.is_empty(); pattern.pieces.len()];
        for word in &self.only {
            let word = plain(word);
            let mut found = false;
            for (piece, asked) in pattern.pieces.iter().zip(&mut wanted) {
                if names(piece, &word) {
                    (*asked, found) = (true, true);
                }
            }
            if !found {
                return Err(no_such_piece(&word, pattern));
            }
        }
        let pieces = pattern.pieces.iter().zip(wanted);
        Ok(pieces
            .filter_map(|(piece, asked)| asked.then_some(piece))
            .collect())
    }
}

/// Writes a name in lower case, with single spaces for all that joins words.
fn plain(name: &str) -> String {
    let words = name.to_lowercase().replace(['_', '-', ','], " ");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether a word names a piece: by its garment, by its name, or by words of its name. `sleeve` names both the
/// top sleeve and the under sleeve.
fn names(piece: &Piece, word: &str) -> bool {
    let name = format!(" {} ", plain(&piece.name));
    plain(&piece.garment) == word || name.contains(&format!(" {word} "))
}

/// Refuses a word that names nothing, with the names that exist.
fn no_such_piece(word: &str, pattern: &Pattern) -> SheetFault {
    let mut known: Vec<String> = Vec::new();
    for pieces in pattern.pieces.chunk_by(|a, b| a.garment == b.garment) {
        let garment = pieces.first().map_or("", |piece| &piece.garment);
        let names: Vec<String> = pieces.iter().map(|piece| plain(&piece.name)).collect();
        known.push(format!("{garment} ({})", names.join(", ")));
    }
    let all: Vec<String> = pattern
        .pieces
        .iter()
        .flat_map(|piece| {
            let name = plain(&piece.name);
            let words = name.split(' ').map(str::to_owned).collect::<Vec<_>>();
            [plain(&piece.garment), name].into_iter().chain(words)
        })
        .collect();
    SheetFault::NoSuchPiece {
        word: font::shorten(word, 3.0, false, 120.0),
        meant: nearest(word, all.iter().map(String::as_str)).map(str::to_owned),
        known: known.join("; "),
    }
}
