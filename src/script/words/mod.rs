//! The words that blocks are written in: points, curves, pieces and their proofs.

mod arithmetic;
mod choice;
mod curves;
mod edges;
mod marks;
mod needs;
mod parts;
mod pieces;
mod points;
mod proofs;
mod redrawn;
pub(super) mod retake;
mod solving;
mod table;
pub(super) mod units;

use rhai::Engine;
pub(super) use table::{Noted, Table};

/// A reason that a block gives when it refuses an order whose measures or choices do not go together.
#[derive(Debug, Clone)]
pub(super) struct SheetFault(pub String);

/// Teaches an engine every word.
pub(super) fn register(engine: &mut Engine) {
    table::register(engine);
    points::register(engine);
    curves::register(engine);
    redrawn::register(engine);
    solving::register(engine);
    pieces::register(engine);
    edges::register(engine);
    marks::register(engine);
    parts::register(engine);
    proofs::register(engine);
    needs::register(engine);
    arithmetic::register(engine);
    engine.register_fn(
        "refuse",
        |ctx: rhai::NativeCallContext, reason: &str| -> super::numbers::Made<()> {
            let refusal = rhai::Dynamic::from(SheetFault(reason.to_owned()));
            Err(rhai::EvalAltResult::ErrorRuntime(refusal, ctx.call_position()).into())
        },
    );
}
