//! The pattern: pieces with seam line, cut line, notches and marks, and the ledger that proves them.
//!
//! [`make`] takes the drafts of an order to a [`Pattern`]. Every edge gets its house's allowance, every
//! corner its rule; then everything that must hold is measured and written into the [`Ledger`]. A
//! pattern with a row that does not hold is not handed out.

mod allowance;
mod fault;
mod ledger;
mod piece;
mod types;

pub use fault::{FailedRow, PatternFault};
pub use types::*;

use crate::drafting::Draft;
use crate::order::Order;
use allowance::Allowances;

/// The proven pattern of every draft, with the allowances of the order's house.
///
/// # Errors
/// Every allowance the house lacks or that makes no sense; or every reference of a draft that leads
/// nowhere; or every row of the ledger that does not hold.
pub fn make(order: &Order, drafts: &[Draft]) -> Result<Pattern, Vec<PatternFault>> {
    let allowances = Allowances::new(&order.house).map_err(|fault| vec![fault])?;
    let mut faults = Vec::new();
    let mut pattern = Pattern {
        pieces: Vec::new(),
        ledger: Ledger::default(),
    };
    for draft in drafts {
        let mut pieces = Vec::new();
        for drafted in &draft.pieces {
            match piece::make(&draft.garment, drafted, &allowances) {
                Ok(piece) => pieces.push(piece),
                Err(found) => faults.extend(found),
            }
        }
        if pieces.len() == draft.pieces.len() {
            match ledger::prove(draft, &pieces, &allowances) {
                Ok(rows) => pattern.ledger.append(rows),
                Err(found) => faults.extend(found),
            }
        }
        pattern.pieces.append(&mut pieces);
    }
    if faults.is_empty() {
        faults.extend(
            pattern
                .ledger
                .failed()
                .into_iter()
                .map(PatternFault::Unproven),
        );
    }
    if faults.is_empty() {
        Ok(pattern)
    } else {
        Err(faults)
    }
}
