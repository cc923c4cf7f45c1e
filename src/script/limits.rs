//! Limits of what a draft may cost and hold. No garment comes near them; they refuse a block with a fault, or
//! one written in bad faith, before it fills the memory or runs for hours.

use crate::draft::{Draft, DraftPiece, Turning};
use crate::order::{self, words::shown};
use kurbo::Shape;

/// Most operations of a script. A jacket with every choice takes some 20,000; a script that needs more than
/// this does not end.
pub(super) const MOST_OPERATIONS: u64 = 2_000_000;

/// Greatest cost of the words of a script, in segments of curves that are made or walked along. A step or a
/// piece on the board costs [`STEP`]. The garments of a suit cost some tens of thousands.
pub(super) const MOST_SPENT: u64 = 4_000_000;

/// Cost of a step of the construction, of a piece and of each of its parts.
pub(super) const STEP: usize = 100;

/// Cost of finding the crossings of two segments, which takes some fifty times as long as walking one.
pub(super) const PAIR: usize = 50;

/// Most segments of one curve.
pub(super) const MOST_SEGMENTS: usize = 1000;

/// Greatest depth of scripts that import one another.
pub(super) const DEEPEST_IMPORT: usize = 20;

/// Most pieces of one garment.
const MOST_PIECES: usize = 200;
/// Most cuts of all pieces of one garment.
const MOST_CUT: u32 = 600;

/// Greatest length and width of a piece, mm: no cloth is wider.
const LARGEST: f64 = 4000.0;

/// Most characters of a name that is printed on a piece.
const LONGEST_NAME: usize = 80;

/// Checks a finished draft.
///
/// # Errors
/// When there is too much of something in it, or a piece of it cannot be cut.
pub(super) fn check(draft: &Draft) -> Result<(), String> {
    let pieces = draft.pieces.len();
    if pieces > MOST_PIECES {
        return Err(format!("it has {pieces} pieces; {MOST_PIECES} is the most"));
    }
    let cut: u32 = draft.pieces.iter().map(|p| p.count.total()).sum();
    if cut > MOST_CUT {
        return Err(format!("{cut} pieces would be cut; {MOST_CUT} is the most"));
    }
    draft.pieces.iter().try_for_each(check_piece)
}

fn check_piece(piece: &DraftPiece) -> Result<(), String> {
    let edges = piece.edges.iter().map(|edge| &edge.name);
    let marks = piece.marks.iter().map(|mark| &mark.name);
    let notches = piece.notches.iter().map(|notch| &notch.name);
    let names = edges.chain(marks).chain(notches);
    names
        .chain([&piece.name])
        .try_for_each(|name| printable(name))?;
    let (name, size) = (&piece.name, size(piece));
    if size > LARGEST {
        let (size, most) = (shown(size / 10.0), LARGEST / 10.0);
        return Err(format!(
            "{name} is {size} cm long or wide; {most} cm is the most for a piece"
        ));
    }
    if piece.grain.0.distance(piece.grain.1) < 1e-6 {
        return Err(format!(
            "{name} has no grain: it runs from a point to itself"
        ));
    }
    if let (Some(edge), Turning::Free) = (piece.bias, piece.turning) {
        let edge = &piece[edge].name;
        return Err(format!(
            "{name} is cut on the bias of its {edge}, and turning(\"free\") is for what has no grain: \
             write \"grain\" or \"quarter\""
        ));
    }
    if piece.material.grain && piece.turning == Turning::Free {
        return Err(format!(
            "{name} is of {}, which has a grain, and turning(\"free\") is for what has none: write \"grain\" or \"quarter\"",
            piece.material.name
        ));
    }
    Ok(())
}

fn printable(name: &str) -> Result<(), String> {
    let length = name.chars().count();
    if length > LONGEST_NAME {
        let head: String = name.chars().take(20).collect();
        return Err(format!(
            "a name of {length} characters is too long ({LONGEST_NAME} is the most): {head}…"
        ));
    }
    if !name.is_empty() && name.chars().all(order::unseen) {
        return Err("a name has nothing in it that can be seen".to_owned());
    }
    if name.chars().any(char::is_control) {
        return Err(format!(
            "a name has characters that cannot be printed: {name:?}"
        ));
    }
    Ok(())
}

/// Returns the longer side of the box round a piece and its marks, mm.
fn size(piece: &DraftPiece) -> f64 {
    let edges = piece.edges.iter().map(|edge| &edge.path);
    let paths = edges.chain(piece.marks.iter().map(|mark| &mark.path));
    let boxes = paths.map(|path| path.bounding_box());
    let whole = boxes.reduce(|a, b| a.union(b)).unwrap_or_default();
    whole.width().max(whole.height())
}
