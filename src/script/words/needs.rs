//! Needs of a garment besides its pieces, and warnings for its cutter.

use super::pieces::count;
use crate::draft::Need;
use crate::script::board::Board;
use crate::script::limits;
use crate::script::numbers::{Made, fault, length};
use rhai::{Dynamic, Engine, NativeCallContext};

fn put(board: &Board, name: &str, of: &str, count: u32, length: Option<f64>) {
    board.spend(limits::STEP);
    board.sheet().draft.needs.push(Need {
        name: name.to_owned(),
        of: of.to_owned(),
        count,
        length,
    });
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_fn(
        "need",
        |ctx: NativeCallContext, board: &mut Board, name: &str, of: &str, n: i64| -> Made<()> {
            put(board, name, of, count(&ctx, n)?, None);
            Ok(())
        },
    );
    engine.register_fn(
        "need",
        |ctx: NativeCallContext,
         board: &mut Board,
         name: &str,
         of: &str,
         n: i64,
         long: Dynamic|
         -> Made<()> {
            let (count, long) = (count(&ctx, n)?, length(&ctx, &long)?);
            if long <= 0.0 {
                return Err(fault(&ctx, format!("'{name}' has no length")));
            }
            put(board, name, of, count, Some(long));
            Ok(())
        },
    );
    engine.register_fn("warn", |board: &mut Board, text: &str| {
        // A warning is compared with every earlier one, so that it costs more than a step.
        board.spend(20 * limits::STEP);
        let mut sheet = board.sheet();
        if sheet.trying == 0 && !sheet.draft.warnings.iter().any(|known| known == text) {
            sheet.draft.warnings.push(text.to_owned());
        }
    });
}
