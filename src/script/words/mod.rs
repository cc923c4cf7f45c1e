//! The words that blocks are written in: points, curves, pieces and their proofs.

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
pub(super) use table::Table;

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
    arithmetic(engine);
    engine.register_fn(
        "refuse",
        |ctx: rhai::NativeCallContext, reason: &str| -> super::numbers::Made<()> {
            let refusal = rhai::Dynamic::from(SheetFault(reason.to_owned()));
            Err(rhai::EvalAltResult::ErrorRuntime(refusal, ctx.call_position()).into())
        },
    );
}

/// Registers arithmetic that differs from the language's own, which would surprise a cutter: 10 / 4 is 2.5, and
/// lengths compare and clamp whether or not they are whole.
fn arithmetic(engine: &mut Engine) {
    use super::numbers::number;
    use rhai::{Dynamic, NativeCallContext};

    engine.register_fn("/", |a: i64, b: i64| a as f64 / b as f64);
    engine.register_fn("least", |ctx: NativeCallContext, a: Dynamic, b: Dynamic| {
        Ok::<f64, Box<rhai::EvalAltResult>>(number(&ctx, &a)?.min(number(&ctx, &b)?))
    });
    engine.register_fn("most", |ctx: NativeCallContext, a: Dynamic, b: Dynamic| {
        Ok::<f64, Box<rhai::EvalAltResult>>(number(&ctx, &a)?.max(number(&ctx, &b)?))
    });
    engine.register_fn(
        "within",
        |ctx: NativeCallContext, x: Dynamic, low: Dynamic, high: Dynamic| {
            let (x, low, high) = (number(&ctx, &x)?, number(&ctx, &low)?, number(&ctx, &high)?);
            Ok::<f64, Box<rhai::EvalAltResult>>(x.min(high).max(low))
        },
    );
    engine.register_fn("sine", |ctx: NativeCallContext, degrees: Dynamic| {
        Ok::<f64, Box<rhai::EvalAltResult>>(number(&ctx, &degrees)?.to_radians().sin())
    });
    engine.register_fn("cosine", |ctx: NativeCallContext, degrees: Dynamic| {
        Ok::<f64, Box<rhai::EvalAltResult>>(number(&ctx, &degrees)?.to_radians().cos())
    });
}
