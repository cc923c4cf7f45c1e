//! Makes the pattern of an order from its drafts, and refuses one that is not proven.

use super::allowance::Allowances;
use super::fault::PatternFault;
use super::types::{Ledger, Match, Pattern, Piece};
use super::{ledger, piece};
use crate::draft::{Draft, DraftPiece};
use crate::order::Order;
use rayon::prelude::*;

/// Makes the proven pattern of every draft, with the allowances that the order's house has for its garment.
///
/// # Errors
/// Every fault of [`measure`]; if it has none, every row of the ledger that does not hold.
pub fn make(order: &Order, drafts: &[Draft]) -> Result<Pattern, Vec<PatternFault>> {
    let pattern = measure(order, drafts)?;
    let failed = pattern.ledger.failed();
    if failed.is_empty() {
        Ok(pattern)
    } else {
        Err(failed.into_iter().map(PatternFault::Unproven).collect())
    }
}

/// Makes the pieces and their ledger, whether or not its rows hold. This is for the author of a block, who
/// wants to see what does not fit; nothing is to be cut from it.
///
/// # Errors
/// Every allowance that the house lacks or that makes no sense, and everything in a draft that cannot be
/// measured.
pub fn measure(order: &Order, drafts: &[Draft]) -> Result<Pattern, Vec<PatternFault>> {
    let mut faults = Vec::new();
    let mut pattern = Pattern {
        pieces: Vec::new(),
        matches: Vec::new(),
        ledger: Ledger::default(),
    };
    for draft in drafts {
        let house = order.house.of(&draft.garment);
        match of_draft(draft, &Allowances::new(&house)) {
            Ok((mut pieces, rows)) => {
                for piece in &mut pieces {
                    piece.material = order.goods(&piece.material, &draft.garment);
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
                pattern.pieces.extend(pieces);
                pattern.ledger.append(rows);
            }
            Err(found) => faults.extend(found),
        }
    }
    if faults.is_empty() {
        Ok(pattern)
    } else {
        Err(faults)
    }
}

/// Makes the pieces of one draft, in its order, and their ledger.
fn of_draft(
    draft: &Draft,
    allowances: &Allowances,
) -> Result<(Vec<Piece>, Ledger), Vec<PatternFault>> {
    if draft.pieces.is_empty() {
        let garment = &draft.garment;
        let what = format!("the block of the {garment} puts no piece on the board");
        return Err(vec![PatternFault::Draft { what, source: None }]);
    }
    let made: Vec<_> = (draft.pieces.par_iter())
        .map(|piece| piece::make(&draft.garment, piece, allowances))
        .collect();
    let (mut pieces, mut faults) = (Vec::new(), Vec::new());
    for piece in made {
        match piece {
            Ok(piece) => pieces.push(piece),
            Err(found) => faults.extend(found),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut rows = ledger::prove(draft, &pieces, allowances)?;
    for (drafted, piece) in draft.pieces.iter().zip(&mut pieces) {
        if let Some(whole) = drafted.opened() {
            *piece = piece::make(&draft.garment, &whole, allowances)?;
            rows.append(proven_whole(draft, whole, piece, allowances)?);
        }
    }
    Ok((pieces, rows))
}

/// Proves the outline of a piece that was drafted as a half, as it is cut.
fn proven_whole(
    draft: &Draft,
    whole: DraftPiece,
    piece: &Piece,
    allowances: &Allowances,
) -> Result<Ledger, Vec<PatternFault>> {
    let name = format!("{}, cut whole", whole.name);
    let alone = Draft {
        garment: draft.garment.clone(),
        pieces: vec![DraftPiece { name, ..whole }],
        ..Draft::default()
    };
    ledger::prove(&alone, std::slice::from_ref(piece), allowances)
}
