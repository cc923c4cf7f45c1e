//! The pattern: pieces with seam line, cut line, notches and marks, and the ledger that proves them.
//!
//! [`make`] takes the drafts of an order to a [`Pattern`]. Every edge gets its house's allowance, every
//! corner its rule; then everything that must hold is measured and written into the [`Ledger`]. A
//! pattern with a row that does not hold is not handed out.

mod allowance;
mod alterations;
mod fault;
mod fold;
mod hands;
mod ledger;
mod piece;
mod types;

pub use alterations::{Across, Change, MovedMark, MovedPiece, MovedSeam, Moves, Room, Work, moves};
pub use fault::{FailedRow, PatternFault};
pub use types::*;

use crate::draft::Draft;
use crate::order::Order;
use allowance::Allowances;
use rayon::prelude::*;

/// The proven pattern of every draft, with the allowances of the order's house.
///
/// # Errors
/// Every fault of [`measure`]; without any, every row of the ledger that does not hold.
pub fn make(order: &Order, drafts: &[Draft]) -> Result<Pattern, Vec<PatternFault>> {
    let pattern = measure(order, drafts)?;
    let failed = pattern.ledger.failed();
    if failed.is_empty() {
        Ok(pattern)
    } else {
        Err(failed.into_iter().map(PatternFault::Unproven).collect())
    }
}

/// The pieces and their ledger, whether its rows hold or not: for the author of a block, who wants to
/// see what does not fit. Nothing is to be cut from it.
///
/// # Errors
/// Every allowance the house lacks or that makes no sense, and every reference of a draft that leads
/// nowhere.
pub fn measure(order: &Order, drafts: &[Draft]) -> Result<Pattern, Vec<PatternFault>> {
    let allowances = Allowances::new(&order.house);
    let mut faults = Vec::new();
    let mut pattern = Pattern {
        pieces: Vec::new(),
        matches: Vec::new(),
        ledger: Ledger::default(),
    };
    for draft in drafts {
        if draft.pieces.is_empty() {
            faults.push(PatternFault::Draft {
                what: format!(
                    "the block of the {} puts no piece on the board",
                    draft.garment
                ),
                source: String::new(),
            });
        }
        let made: Vec<_> = draft
            .pieces
            .par_iter()
            .map(|piece| piece::make(&draft.garment, piece, &allowances))
            .collect();
        let (mut pieces, before) = (Vec::new(), faults.len());
        for piece in made {
            match piece {
                Ok(piece) => pieces.push(piece),
                Err(found) => faults.extend(found),
            }
        }
        if faults.len() == before {
            match ledger::prove(draft, &pieces, &allowances) {
                Ok(rows) => pattern.ledger.append(rows),
                Err(found) => faults.extend(found),
            }
        }
        let first = pattern.pieces.len();
        let matches = draft.matches.iter().map(|m| Match {
            name: m.name.clone(),
            piece: first + m.piece.0,
            at: m.at,
            partner: first + m.partner.0,
            partner_at: m.partner_at,
            across: m.across,
            along: m.along,
        });
        pattern.matches.extend(matches);
        pattern.pieces.append(&mut pieces);
    }
    if faults.is_empty() {
        Ok(pattern)
    } else {
        Err(faults)
    }
}
