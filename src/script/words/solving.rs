//! Solves for the number that gives a wanted length, such as the width of a sleeve whose crown sews in.

use crate::script::board::Board;
use crate::script::numbers::{Made, fault, number};
use rhai::{Dynamic, Engine, FnPtr, NativeCallContext};

/// Finds the number between `low` and `high` for which `of` returns `target`, by Brent-like
/// bisection and secant steps (Illinois); the trials leave nothing on the board.
fn solve(
    ctx: &NativeCallContext,
    board: &Board,
    low: f64,
    high: f64,
    target: f64,
    of: &FnPtr,
) -> Made<f64> {
    board.sheet().trying += 1;
    let miss = |x: f64| -> Made<f64> {
        let value: Dynamic = of.call_within_context(ctx, (x,))?;
        Ok(number(ctx, &value)? - target)
    };
    let found = bracketed(low, high, miss);
    board.sheet().trying -= 1;
    found?.ok_or_else(|| {
        fault(ctx, format!("nothing between {low:.2} and {high:.2} gives {target:.2}: the measures do not go together here"))
    })
}

fn bracketed(low: f64, high: f64, mut miss: impl FnMut(f64) -> Made<f64>) -> Made<Option<f64>> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (miss(a)?, miss(b)?);
    if fa == 0.0 {
        return Ok(Some(a));
    }
    if fa * fb > 0.0 {
        return Ok(None);
    }
    for _ in 0..60 {
        let c = b - fb * (b - a) / (fb - fa);
        let fc = miss(c)?;
        if fc.abs() < 1e-7 || (b - a).abs() < 1e-9 {
            return Ok(Some(c));
        }
        if fc * fb < 0.0 {
            (a, fa) = (b, fb);
        } else {
            fa /= 2.0;
        }
        (b, fb) = (c, fc);
    }
    Ok(Some(b))
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_fn(
        "solve",
        |ctx: NativeCallContext,
         board: &mut Board,
         low: Dynamic,
         high: Dynamic,
         target: Dynamic,
         of: FnPtr|
         -> Made<f64> {
            let (low, high, target) = (
                number(&ctx, &low)?,
                number(&ctx, &high)?,
                number(&ctx, &target)?,
            );
            solve(&ctx, board, low, high, target, &of)
        },
    );
}
