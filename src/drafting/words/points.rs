//! Points: each is made from others by a step that a cutter could chalk.
//! Lengths in cm, angles in degrees: 0 forward, 90 down, 180 back, 270 up.

use crate::drafting::board::{Board, Spot, cm};
use crate::drafting::numbers::{Made, length, number, source};
use kurbo::{Point, Vec2};
use rhai::{Dynamic, Engine, NativeCallContext};

/// A point of a curve with the direction the curve takes there.
#[derive(Debug, Clone)]
pub(in crate::drafting) struct Headed {
    pub spot: Spot,
    pub degrees: f64,
}

fn with_reason(text: String, why: &str) -> String {
    if why.is_empty() {
        text
    } else {
        format!("{text} ({why})")
    }
}

fn step(ctx: &NativeCallContext, from: &Spot, by: Vec2, words: &str, mm: f64, why: &str) -> Spot {
    let text = with_reason(format!("from {}, {words} {}", from.label(), cm(mm)), why);
    from.put(from.at + by, text, source(ctx))
}

macro_rules! straight {
    ($engine:expr, $($name:literal, $words:literal, $x:expr, $y:expr;)*) => {$(
        $engine.register_fn($name, |ctx: NativeCallContext, p: &mut Spot, d: Dynamic| -> Made<Spot> {
            let mm = length(&ctx, &d)?;
            Ok(step(&ctx, p, Vec2::new($x, $y) * mm, $words, mm, ""))
        });
        $engine.register_fn($name, |ctx: NativeCallContext, p: &mut Spot, d: Dynamic, why: &str| -> Made<Spot> {
            let mm = length(&ctx, &d)?;
            Ok(step(&ctx, p, Vec2::new($x, $y) * mm, $words, mm, why))
        });
    )*};
}

fn go(ctx: &NativeCallContext, p: &Spot, degrees: f64, mm: f64, why: &str) -> Spot {
    let text = with_reason(
        format!(
            "from {}, {} at {:.1}° from the level",
            p.label(),
            cm(mm),
            degrees
        ),
        why,
    );
    p.put(
        p.at + Vec2::from_angle(degrees.to_radians()) * mm,
        text,
        source(ctx),
    )
}

fn toward(ctx: &NativeCallContext, p: &Spot, q: &Spot, mm: f64, why: &str) -> Spot {
    let way = q.at - p.at;
    let unit = if way.hypot() > 0.0 {
        way.normalize()
    } else {
        Vec2::ZERO
    };
    let text = with_reason(
        format!("from {} toward {}, {}", p.label(), q.label(), cm(mm)),
        why,
    );
    p.put(p.at + unit * mm, text, source(ctx))
}

fn square(ctx: &NativeCallContext, p: &Spot, q: &Spot, mm: f64, why: &str) -> Spot {
    let way = q.at - p.at;
    let unit = if way.hypot() > 0.0 {
        way.normalize()
    } else {
        Vec2::ZERO
    };
    let side = if mm >= 0.0 { "right" } else { "left" };
    let text = with_reason(
        format!(
            "at {}, square to {}–{} to the {side}, {}",
            p.label(),
            p.label(),
            q.label(),
            cm(mm.abs())
        ),
        why,
    );
    // y points down, so a quarter turn clockwise, to the right of the way, is (-y, x).
    p.put(p.at + Vec2::new(-unit.y, unit.x) * mm, text, source(ctx))
}

fn between(ctx: &NativeCallContext, p: &Spot, q: &Spot, part: f64) -> Spot {
    let text = format!(
        "between {} and {}, {:.3} of the way",
        p.label(),
        q.label(),
        part
    );
    p.put(p.at.lerp(q.at, part), text, source(ctx))
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
            let text = with_reason(
                format!("start at {} across, {} down", cm(at.x), cm(at.y)),
                why,
            );
            Ok(board.put(at, text, source(&ctx)))
        },
    );

    straight! { engine,
        "down", "down", 0.0, 1.0;
        "up", "up", 0.0, -1.0;
        "forward", "forward", 1.0, 0.0;
        "back", "back", -1.0, 0.0;
    }

    engine.register_fn(
        "aslant",
        |ctx: NativeCallContext, p: &mut Spot, degrees: Dynamic, d: Dynamic| -> Made<Spot> {
            Ok(go(&ctx, p, number(&ctx, &degrees)?, length(&ctx, &d)?, ""))
        },
    );
    engine.register_fn(
        "aslant",
        |ctx: NativeCallContext,
         p: &mut Spot,
         degrees: Dynamic,
         d: Dynamic,
         why: &str|
         -> Made<Spot> { Ok(go(&ctx, p, number(&ctx, &degrees)?, length(&ctx, &d)?, why)) },
    );
    engine.register_fn(
        "toward",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic| -> Made<Spot> {
            Ok(toward(&ctx, p, &q, length(&ctx, &d)?, ""))
        },
    );
    engine.register_fn(
        "toward",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic, why: &str| -> Made<Spot> {
            Ok(toward(&ctx, p, &q, length(&ctx, &d)?, why))
        },
    );
    engine.register_fn(
        "square",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic| -> Made<Spot> {
            Ok(square(&ctx, p, &q, length(&ctx, &d)?, ""))
        },
    );
    engine.register_fn(
        "square",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, d: Dynamic, why: &str| -> Made<Spot> {
            Ok(square(&ctx, p, &q, length(&ctx, &d)?, why))
        },
    );
    engine.register_fn(
        "between",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot, part: Dynamic| -> Made<Spot> {
            Ok(between(&ctx, p, &q, number(&ctx, &part)?))
        },
    );
    engine.register_fn(
        "level_with",
        |ctx: NativeCallContext, p: &mut Spot, q: Spot| -> Made<Spot> {
            let text = format!("plumb from {}, on the level of {}", p.label(), q.label());
            Ok(p.put(Point::new(p.at.x, q.at.y), text, source(&ctx)))
        },
    );
    engine.register_fn(
        "mirrored",
        |ctx: NativeCallContext, p: &mut Spot, a: Spot, b: Spot| -> Made<Spot> {
            let text = format!("{} mirrored about {}–{}", p.label(), a.label(), b.label());
            Ok(p.put(
                kurbo::Affine::reflect(a.at, b.at - a.at) * p.at,
                text,
                source(&ctx),
            ))
        },
    );

    engine.register_fn(
        "turned",
        |ctx: NativeCallContext, p: &mut Spot, about: Spot, degrees: Dynamic| -> Made<Spot> {
            let degrees = number(&ctx, &degrees)?;
            let text = format!(
                "{} turned about {} by {degrees:.1}°",
                p.label(),
                about.label()
            );
            let turn = kurbo::Affine::rotate_about(degrees.to_radians(), about.at);
            Ok(p.put(turn * p.at, text, source(&ctx)))
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
