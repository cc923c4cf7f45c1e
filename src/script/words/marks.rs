//! The inner marks of a piece: a line or a point, for both sides or for one.

use super::choice::{one_of, side};
use super::curves::Curve;
use super::pieces::Piece;
use crate::draft::{Makes, Mark, MarkKind};
use crate::script::board::Spot;
use crate::script::numbers::{Made, fault};
use kurbo::BezPath;
use rhai::{Engine, NativeCallContext};

/// Puts a mark on a piece, by the words for its kind and its side.
fn put(
    ctx: &NativeCallContext,
    p: &mut Piece,
    name: &str,
    (kind, on): (&str, &str),
    path: BezPath,
    made: Vec<Makes>,
) -> Made<Piece> {
    let kinds: Vec<(&str, MarkKind)> = MarkKind::ALL.iter().map(|k| (k.word(), *k)).collect();
    let mark = Mark {
        name: name.to_owned(),
        kind: one_of(ctx, kind, &kinds)?,
        side: side(ctx, on)?,
        path,
    };
    p.uses(None, made);
    Ok(p.change(|piece| piece.marks.push(mark)))
}

fn line(
    ctx: &NativeCallContext,
    p: &mut Piece,
    name: &str,
    words: (&str, &str),
    curve: &Curve,
) -> Made<Piece> {
    put(ctx, p, name, words, (*curve.path).clone(), curve.made())
}

fn point(
    ctx: &NativeCallContext,
    p: &mut Piece,
    name: &str,
    words: (&str, &str),
    spot: &Spot,
) -> Made<Piece> {
    let mut dot = BezPath::new();
    dot.move_to(spot.at);
    let made = spot.number.map(Makes::Point).into_iter().collect();
    put(ctx, p, name, words, dot, made)
}

/// Returns the line of a mark as a curve.
fn marked(ctx: NativeCallContext, p: &mut Piece, name: &str) -> Made<Curve> {
    let path = p.read(|piece| Some(piece[piece.mark_named(name)?].path.clone()));
    let path = path.ok_or_else(|| fault(&ctx, format!("no mark '{name}' here")))?;
    Ok(Curve::edge(p.board.clone(), path, vec![], name))
}

pub(super) fn register(engine: &mut Engine) {
    type Ctx<'a> = NativeCallContext<'a>;
    engine.register_fn(
        "mark",
        |ctx: Ctx, p: &mut Piece, name: &str, kind: &str, curve: Curve| {
            line(&ctx, p, name, (kind, "both"), &curve)
        },
    );
    engine.register_fn(
        "mark",
        |ctx: Ctx, p: &mut Piece, name: &str, kind: &str, curve: Curve, on: &str| {
            line(&ctx, p, name, (kind, on), &curve)
        },
    );
    engine.register_fn(
        "mark",
        |ctx: Ctx, p: &mut Piece, name: &str, kind: &str, spot: Spot| {
            point(&ctx, p, name, (kind, "both"), &spot)
        },
    );
    engine.register_fn(
        "mark",
        |ctx: Ctx, p: &mut Piece, name: &str, kind: &str, spot: Spot, on: &str| {
            point(&ctx, p, name, (kind, on), &spot)
        },
    );
    engine.register_fn("marked", marked);
}
