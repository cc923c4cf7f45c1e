//! The options of the sheets: paper, pieces, plotter.

use super::fault::{LEAST_PRINT, SheetFault};
use super::font;
use super::paper::{Paper, Setup};
use super::plot::Reach;
use super::tiling;
use crate::diagnostic::nearest;
use crate::order::{House, HouseNumber};
use crate::pattern::{Pattern, Piece};

/// How the sheets of an order are to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOptions {
    /// What the pattern is printed on.
    pub paper: Paper,
    /// White at each edge of a page, mm; the house's where `None`.
    pub margin: Option<f64>,
    /// The strip that is glued, mm; the house's where `None`.
    pub overlap: Option<f64>,
    /// What is printed.
    pub print: Print,
    /// Garments and pieces to print, by name; all of them if empty.
    pub only: Vec<String>,
    /// How far the plotter reaches.
    pub plot: Reach,
    /// Whether the pieces are written as DXF, a beta.
    pub dxf: bool,
}

/// What is printed at true scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Print {
    /// Every piece once, packed so that few pages are needed.
    Pieces,
    /// Every cut as it lies on the cloth.
    Lay,
}

impl SheetOptions {
    /// Returns the options for all pieces on one paper, the rest by the house.
    pub fn on(paper: Paper) -> Self {
        SheetOptions {
            paper,
            margin: None,
            overlap: None,
            print: Print::Pieces,
            only: Vec::new(),
            plot: Reach::Long,
            dxf: false,
        }
    }

    /// Checks that paper and pieces go together, as far as it is known before anything is laid.
    ///
    /// # Errors
    /// Returns the fault for which the sheets cannot be made.
    pub fn check(&self, house: &House, pattern: &Pattern) -> Result<(), SheetFault> {
        let setup = self.setup(house)?;
        let pieces = self.pieces(pattern)?;
        let outlines = pieces.iter().map(|piece| &piece.cut);
        tiling::few_enough(outlines, &setup)
    }

    /// Returns the form of the pages, with the house's margins and overlap where none are asked for.
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
        };
        let narrow = match self.paper {
            Paper::Sheet(size) => size.upright().0,
            Paper::Roll(width) => width,
        };
        let left = narrow - 2.0 * setup.margin - setup.overlap;
        if left < LEAST_PRINT {
            return Err(SheetFault::NoRoom { left });
        }
        Ok(setup)
    }

    /// Returns the pieces asked for, in the pattern's order.
    ///
    /// # Errors
    /// Returns [`SheetFault::NoSuchPiece`] where a word names no garment and no piece.
    pub fn pieces<'a>(&self, pattern: &'a Pattern) -> Result<Vec<&'a Piece>, SheetFault> {
        let mut wanted = vec![self.only.is_empty(); pattern.pieces.len()];
        for word in &self.only {
            let word = plain(word);
            let mut found = false;
            for (piece, wanted) in pattern.pieces.iter().zip(&mut wanted) {
                if names(piece, &word) {
                    (*wanted, found) = (true, true);
                }
            }
            if !found {
                return Err(no_such_piece(&word, pattern));
            }
        }
        let pieces = pattern.pieces.iter().zip(wanted);
        Ok(pieces
            .filter_map(|(piece, wanted)| wanted.then_some(piece))
            .collect())
    }
}

/// Writes a name in small letters, with a single space between its words.
fn plain(name: &str) -> String {
    let words = name.to_lowercase().replace(['_', '-', ','], " ");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Tells whether a word names a piece: its garment, the piece itself, or words of its name (`sleeve` names both
/// the top sleeve and the under sleeve).
fn names(piece: &Piece, word: &str) -> bool {
    let name = format!(" {} ", plain(&piece.name));
    plain(&piece.garment) == word || name.contains(&format!(" {word} "))
}

/// Refuses a word that names nothing, with what there is to name.
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
        word: font::shorten(&font::clean(word), 3.0, false, 120.0),
        meant: nearest(word, all.iter().map(String::as_str)).map(str::to_owned),
        known: known.join("; "),
    }
}
