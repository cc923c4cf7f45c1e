//! Turns the numbers of scripts, whole or decimal, in cm and degrees, into mm and degrees.

use rhai::{Dynamic, EvalAltResult, NativeCallContext};

/// Result of a word of the blocks' language.
pub(super) type Made<T> = Result<T, Box<EvalAltResult>>;

/// Makes a fault at the place of the call.
pub(super) fn fault(ctx: &NativeCallContext, text: impl Into<String>) -> Box<EvalAltResult> {
    EvalAltResult::ErrorRuntime(Dynamic::from(text.into()), ctx.call_position()).into()
}

/// Returns a number of either kind.
///
/// # Errors
/// When the value is no number, or not a finite one.
pub(super) fn number(ctx: &NativeCallContext, value: &Dynamic) -> Made<f64> {
    let value = value.flatten_clone();
    let number = value
        .as_float()
        .or_else(|_| value.as_int().map(|whole| whole as f64))
        .map_err(|kind| fault(ctx, format!("a number is needed here, not {kind}")))?;
    if number.is_finite() {
        Ok(number)
    } else {
        Err(fault(
            ctx,
            format!("this number is {number}: a step before it divides by zero"),
        ))
    }
}

/// Returns a length in mm from a number in cm.
///
/// # Errors
/// As [`number`].
pub(super) fn length(ctx: &NativeCallContext, value: &Dynamic) -> Made<f64> {
    Ok(number(ctx, value)? * 10.0)
}

/// Returns file and line of the call.
pub(super) fn source(ctx: &NativeCallContext) -> String {
    let file = ctx.call_source().unwrap_or("block");
    match ctx.call_position().line() {
        Some(line) => format!("{file}:{line}"),
        None => file.to_owned(),
    }
}
