//! Arithmetic that differs from the language's own, which would surprise a cutter: 10 / 4 is 2.5, lengths compare
//! and clamp whether or not they are whole, and angles are in degrees.

use crate::script::numbers::{Made, fault, number};
use rhai::{Dynamic, Engine, NativeCallContext};
use std::f64::consts::PI;

fn least(ctx: NativeCallContext, a: Dynamic, b: Dynamic) -> Made<f64> {
    Ok(number(&ctx, &a)?.min(number(&ctx, &b)?))
}

fn most(ctx: NativeCallContext, a: Dynamic, b: Dynamic) -> Made<f64> {
    Ok(number(&ctx, &a)?.max(number(&ctx, &b)?))
}

fn within(ctx: NativeCallContext, x: Dynamic, low: Dynamic, high: Dynamic) -> Made<f64> {
    let (x, low, high) = (number(&ctx, &x)?, number(&ctx, &low)?, number(&ctx, &high)?);
    Ok(x.min(high).max(low))
}

fn sine(ctx: NativeCallContext, degrees: Dynamic) -> Made<f64> {
    Ok(number(&ctx, &degrees)?.to_radians().sin())
}

fn cosine(ctx: NativeCallContext, degrees: Dynamic) -> Made<f64> {
    Ok(number(&ctx, &degrees)?.to_radians().cos())
}

/// Returns an angle in degrees. It is multiplied before it is divided: `to_degrees` differs in the last digit,
/// which moves a vertex of patterns that were cut before.
fn degrees(radians: f64) -> f64 {
    radians * 180.0 / PI
}

/// Returns by how many degrees a wedge opens that is `wide` across, square to one of its sides, at `long` from
/// its point.
///
/// # Errors
/// When `long` is nothing: the wedge has no point.
fn opens(ctx: NativeCallContext, wide: Dynamic, long: Dynamic) -> Made<f64> {
    let (wide, long) = (number(&ctx, &wide)?, number(&ctx, &long)?);
    if long == 0.0 {
        return Err(fault(&ctx, "a wedge that is 0 long has no angle"));
    }
    Ok(degrees((wide / long).atan()))
}

/// Returns by how many degrees a line that is `long` turns about its start until its end lies `lower` on the level
/// that it turns from.
///
/// # Errors
/// When the end cannot come to lie so far off, because the line is shorter than that.
fn leans(ctx: NativeCallContext, lower: Dynamic, long: Dynamic) -> Made<f64> {
    let (lower, long) = (number(&ctx, &lower)?, number(&ctx, &long)?);
    if lower.abs() > long {
        let text = format!("a line of {long:.2} cannot lean by {lower:.2}");
        return Err(fault(&ctx, text));
    }
    Ok(degrees((lower / long).asin()))
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_fn("/", |a: i64, b: i64| a as f64 / b as f64);
    engine.register_fn("least", least);
    engine.register_fn("most", most);
    engine.register_fn("within", within);
    engine.register_fn("sine", sine);
    engine.register_fn("cosine", cosine);
    engine.register_fn("opens", opens);
    engine.register_fn("leans", leans);
}
