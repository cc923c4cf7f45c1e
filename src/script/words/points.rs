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

/// Where a step of arithmetic leads, with the points it starts from by number.
fn made(ctx: &NativeCallContext, how: How, why: &str, from: &[&Spot]) -> Made<Spot> {
    let at = |n: usize| from.get(n.checked_sub(1)?).map(|spot| spot.at);
    let (Some(place), Some(first)) = (how.place(at), from.first()) else {
        return Err(fault(ctx, "this point is made from none"));
    };
    let numbered = how.numbered(
        |n| {
            n.checked_sub(1)
                .and_then(|i| from.get(i))
                .map_or(0, |s| s.number)
        },
        |c| c,
    );
    Ok(first.put(place, numbered, why, source(ctx)))
}

macro_rules! straight {
    ($engine:expr, $($name:literal, $way:expr;)*) => {$(
        $engine.register_fn($name, |ctx: NativeCallContext, p: &mut Spot, d: Dynamic| -> Made<Spot> {
            made(&ctx, How::Straight(1, $way, length(&ctx, &d)?), "", &[p])
        });
        $engine.register_fn($name, |ctx: NativeCallContext, p: &mut Spot, d: Dynamic, why: &str| -> Made<Spot> {
            made(&ctx, How::Straight(1, $way, length(&ctx, &d)?), why, &[p])
        });
    )*};
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Spot>("point");
    engine.register_type_with_name::<Headed>("headed point");
    engine.register_type_with_name::<Board>("board");

    engine.register_fn(
        "point",
        |ctx: NativeCallContext,
         board: &mut Board,
         x: Dynamic,
         y: Dynamic,
         why: &str|
         -> Made<Spot> {
            let at = Point::new(length(&ctx, &x)?, length(&ctx, &y)?);
            Ok(board.put(at, How::Start(at), why, source(&ctx)))
        },
    );

    straight! { engine,
        "down", Way::Down;
        "up", Way::Up;
        "forward", Way::Forward;
        "back", Way::Back;
    }

    engine.register_fn(
        "aslant",
        |ctx: NativeCallContext, p: &mut Spot, degrees: Dynamic, d: Dynamic| -> Made<Spot> {
            let how = How::Aslant(1, number(&ctx, &degrees)?, length(&ctx, &d)?);
            made(&ctx, how, "", &[p])
        },
    );
    engine.register_fn(
        "aslant",
        |ctx: NativeCallContext,
         p: &mut Spot,
         degrees: Dynamic,
         d: Dynamic,
         why: &str|
         -> Made<Spot> {
            let how = How::Aslant(1, number(&ctx, &degrees)?, length(&ctx, &d)?);
            made(&ctx, how, why, &[p])
        },
    );
    engine.register_fn(
        "toward",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic| -> Made<Spot> {
            made(&ctx, How::Toward(1, 2, length(&ctx, &d)?), "", &[p, &q])
        },
    );
    engine.register_fn(
        "toward",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic, why: &str| -> Made<Spot> {
            made(&ctx, How::Toward(1, 2, length(&ctx, &d)?), why, &[p, &q])
        },
    );
    engine.register_fn(
        "square",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic| -> Made<Spot> {
            made(&ctx, How::Square(1, 2, length(&ctx, &d)?), "", &[p, &q])
        },
    );
    engine.register_fn(
        "square",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic, why: &str| -> Made<Spot> {
            made(&ctx, How::Square(1, 2, length(&ctx, &d)?), why, &[p, &q])
        },
    );
    engine.register_fn(
        "between",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, part: Dynamic| -> Made<Spot> {
            made(&ctx, How::Between(1, 2, number(&ctx, &part)?), "", &[p, &q])
        },
    );
    engine.register_fn(
        "level_with",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot| -> Made<Spot> {
            made(&ctx, How::Level(1, 2), "", &[p, &q])
        },
    );
    engine.register_fn(
        "mirrored",
        |ctx: NativeCallContext, p: &mut Spot, a: Spot, b: Spot| -> Made<Spot> {
            made(&ctx, How::Mirrored(1, 2, 3), "", &[p, &a, &b])
        },
    );
    engine.register_fn(
        "turned",
        |ctx: NativeCallContext, p: &mut Spot, about: Spot, degrees: Dynamic| -> Made<Spot> {
            let how = How::Turned(1, 2, number(&ctx, &degrees)?);
            made(&ctx, how, "", &[p, &about])
        },
    );

    engine.register_fn("called", |p: &mut Spot, name: &str| {
        p.board.name(p.number, name);
        p.clone()
    });
    engine.register_fn(
        "headed",
        |ctx: NativeCallContext, p: &mut Spot, degrees: Dynamic| -> Made<Headed> {
            Ok(Headed {
                spot: p.clone(),
                degrees: number(&ctx, &degrees)?,
            })
        },
    );
    engine.register_fn("headed", |p: &mut Spot, q: Spot| Headed {
        degrees: heading(p.at, q.at),
        spot: p.clone(),
    });

    engine.register_get("x", |p: &mut Spot| p.at.x / 10.0);
    engine.register_get("y", |p: &mut Spot| p.at.y / 10.0);
    engine.register_fn("distance", |p: &mut Spot, q: Spot| {
        p.at.distance(q.at) / 10.0
    });
    engine.register_fn("heading_to", |p: &mut Spot, q: Spot| heading(p.at, q.at));
}

/// The direction from one point to another, degrees.
fn heading(from: Point, to: Point) -> f64 {
    (to - from).atan2().to_degrees()
}
