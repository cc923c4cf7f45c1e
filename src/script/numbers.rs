//! Numbers as scripts pass them: whole or decimal, in cm and degrees, turned into mm at this edge.

use rhai::{Dynamic, EvalAltResult, NativeCallContext};

/// What a word of the blocks' language returns.
pub(super) type Made<T> = Result<T, Box<EvalAltResult>>;

/// A fault at the place of the call.
pub(super) fn fault(ctx: &NativeCallContext, text: impl Into<String>) -> Box<EvalAltResult> {
    EvalAltResult::ErrorRuntime(Dynamic::from(text.into()), ctx.call_position()).into()
}

/// A number of either kind; anything else, and a number that is not finite, is a fault.
pub(super) fn number(ctx: &NativeCallContext, value: &Dynamic) -> Made<f64> {
    let value = value.flatten_clone();
    let number = value
        .as_float()
        .or_else(|_| value.as_int().map(|whole| whole as f64))
        .map_err(|kind| fault(ctx, format!("a number is wanted here, not {kind}")))?;
    if number.is_finite() {
        Ok(number)
    } else {
        Err(fault(
            ctx,
            format!("this number is {number}: a step before it divides by nothing"),
        ))
    }
}

/// A length in mm from a number in cm.
pub(super) fn length(ctx: &NativeCallContext, value: &Dynamic) -> Made<f64> {
    Ok(number(ctx, value)? * 10.0)
}

/// File and line of the call.
pub(super) fn source(ctx: &NativeCallContext) -> String {
    let file = ctx.call_source().unwrap_or("block");
    match ctx.call_position().line() {
        Some(line) => format!("{file}:{line}"),
        None => file.to_owned(),
    }
}
