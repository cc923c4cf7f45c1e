//! Points: each is made from others by a step that a cutter could chalk.
//! Lengths in cm, angles in degrees: 0 forward, 90 down, 180 back, 270 up.

use crate::draft::{How, Way};
use crate::script::board::{Board, Spot};
use crate::script::numbers::{Made, fault, length, number, source};
use kurbo::Point;
use rhai::{Dynamic, Engine, NativeCallContext};

/// A point of a curve with the direction the curve takes there.
#[derive(Debug, Clone)]
pub(in crate::script) struct Headed {
    pub spot: Spot,
    pub degrees: f64,
}

/// Makes a point by a step of arithmetic. The step refers to the points it starts from by their places in
/// `from`, counted from 1.
fn made(ctx: &NativeCallContext, how: How, why: &str, from: &[&Spot]) -> Made<Spot> {
    let listed = |n: usize| from.get(n.checked_sub(1)?).copied();
    let at = |n: usize| listed(n).map(|spot| spot.at);
    let (Some(place), Some(&first)) = (how.place(at), from.first()) else {
        return Err(fault(ctx, "this point is made from none"));
    };
    let source = source(ctx);
    let number = |n: usize| listed(n).unwrap_or(first).chalked(&source);
    let numbered = || how.numbered(number, |c| c);
    Ok(first.put(place, numbered, why, source.clone()))
}

/// Begins with a point that is made from no other.
fn point(
    ctx: NativeCallContext,
    board: &mut Board,
    x: Dynamic,
    y: Dynamic,
    why: &str,
) -> Made<Spot> {
    let at = Point::new(length(&ctx, &x)?, length(&ctx, &y)?);
    Ok(board.put(at, || How::Start(at), why, source(&ctx)))
}

/// Registers a word for a step from one point, with and without a reason.
fn from_one(
    engine: &mut Engine,
    name: &str,
    how: impl Fn(f64) -> How + Copy + Send + Sync + 'static,
) {
    let step = move |ctx: NativeCallContext, p: &mut Spot, d: Dynamic, why: &str| {
        made(&ctx, how(length(&ctx, &d)?), why, &[p])
    };
    engine.register_fn(name, step);
    let bare = move |ctx: NativeCallContext, p: &mut Spot, d: Dynamic| -> Made<Spot> {
        made(&ctx, how(length(&ctx, &d)?), "", &[p])
    };
    engine.register_fn(name, bare);
}

/// Registers a word for a step from one point by another, with and without a reason.
fn from_two(
    engine: &mut Engine,
    name: &str,
    how: impl Fn(f64) -> How + Copy + Send + Sync + 'static,
) {
    let step = move |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic, why: &str| {
        made(&ctx, how(length(&ctx, &d)?), why, &[p, &q])
    };
    engine.register_fn(name, step);
    let bare = move |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic| -> Made<Spot> {
        made(&ctx, how(length(&ctx, &d)?), "", &[p, &q])
    };
    engine.register_fn(name, bare);
}

fn aslant(ctx: NativeCallContext, p: &mut Spot, degrees: Dynamic, d: Dynamic) -> Made<Spot> {
    aslant_for(ctx, p, degrees, d, "")
}

fn aslant_for(
    ctx: NativeCallContext,
    p: &mut Spot,
    degrees: Dynamic,
    d: Dynamic,
    why: &str,
) -> Made<Spot> {
    let how = How::Aslant(1, number(&ctx, &degrees)?, length(&ctx, &d)?);
    made(&ctx, how, why, &[p])
}

fn between(ctx: NativeCallContext, p: &mut Spot, q: Spot, part: Dynamic) -> Made<Spot> {
    made(&ctx, How::Between(1, 2, number(&ctx, &part)?), "", &[p, &q])
}

fn level_with(ctx: NativeCallContext, p: &mut Spot, q: Spot) -> Made<Spot> {
    made(&ctx, How::Level(1, 2), "", &[p, &q])
}

fn mirrored(ctx: NativeCallContext, p: &mut Spot, a: Spot, b: Spot) -> Made<Spot> {
    made(&ctx, How::Mirrored(1, 2, 3), "", &[p, &a, &b])
}

fn turned(ctx: NativeCallContext, p: &mut Spot, about: Spot, degrees: Dynamic) -> Made<Spot> {
    let how = How::Turned(1, 2, number(&ctx, &degrees)?);
    made(&ctx, how, "", &[p, &about])
}

fn called(p: &mut Spot, name: &str) -> Spot {
    if let Some(number) = p.number {
        p.board.name(number, name);
    }
    p.clone()
}

fn headed(ctx: NativeCallContext, p: &mut Spot, degrees: Dynamic) -> Made<Headed> {
    Ok(Headed {
        spot: p.clone(),
        degrees: number(&ctx, &degrees)?,
    })
}

fn headed_to(p: &mut Spot, q: Spot) -> Headed {
    Headed {
        degrees: heading_to(p, q),
        spot: p.clone(),
    }
}

/// Returns the direction from one point to another, degrees.
fn heading_to(p: &mut Spot, q: Spot) -> f64 {
    (q.at - p.at).atan2().to_degrees()
}

fn distance(p: &mut Spot, q: Spot) -> f64 {
    p.at.distance(q.at) / 10.0
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Spot>("point");
    engine.register_type_with_name::<Headed>("headed point");
    engine.register_type_with_name::<Board>("board");
    engine.register_fn("point", point);
    from_one(engine, "down", |mm| How::Straight(1, Way::Down, mm));
    from_one(engine, "up", |mm| How::Straight(1, Way::Up, mm));
    from_one(engine, "forward", |mm| How::Straight(1, Way::Forward, mm));
    from_one(engine, "back", |mm| How::Straight(1, Way::Back, mm));
    from_two(engine, "toward", |mm| How::Toward(1, 2, mm));
    from_two(engine, "square", |mm| How::Square(1, 2, mm));
    engine.register_fn("aslant", aslant);
    engine.register_fn("aslant", aslant_for);
    engine.register_fn("between", between);
    engine.register_fn("level_with", level_with);
    engine.register_fn("mirrored", mirrored);
    engine.register_fn("turned", turned);
    engine.register_fn("called", called);
    engine.register_fn("headed", headed);
    engine.register_fn("headed", headed_to);
    engine.register_fn("heading_to", heading_to);
    engine.register_fn("distance", distance);
    engine.register_get("x", |p: &mut Spot| p.at.x / 10.0);
    engine.register_get("y", |p: &mut Spot| p.at.y / 10.0);
}
