//! The edges of a piece, in order round it, and the notches on them.

use super::curves::{Curve, place_on};
use super::pieces::Piece;
use crate::draft::{DraftEdge, DraftNotch, DraftPiece, EdgeId, Makes};
use crate::geometry;
use crate::script::board::Spot;
use crate::script::numbers::{Made, fault, source};
use kurbo::BezPath;
use rhai::{Array, Dynamic, Engine, Map, NativeCallContext};

/// Greatest distance of a notch beyond the end of its edge, mm, so that a rounded length is no fault.
const BEYOND: f64 = 0.01;

fn edge(
    ctx: NativeCallContext,
    p: &mut Piece,
    name: &str,
    curve: Curve,
    allowance: &str,
) -> Made<Piece> {
    let (next, repeated) = p.read(|piece| {
        let next = EdgeId(piece.edges.len());
        (next, piece.edge_named(name).is_some())
    });
    if repeated {
        let text = format!("there is an edge '{name}' on this piece already");
        return Err(fault(&ctx, text));
    }
    p.uses(Some(next), curve.made());
    let edge = DraftEdge {
        name: name.to_owned(),
        path: BezPath::clone(&curve.path),
        allowance: allowance.to_owned(),
        turns: 0,
        part_of: None,
        turns_in: false,
        source: source(&ctx),
    };
    Ok(p.change(|piece| piece.edges.push(edge)))
}

fn turns(ctx: NativeCallContext, p: &mut Piece, edge: &str, n: i64) -> Made<Piece> {
    let edge = p.edge(&ctx, edge)?;
    let turns = u8::try_from(n).map_err(|_| fault(&ctx, "an edge turns 0 to 255 times"))?;
    Ok(p.change(|piece| piece.edges[edge.0].turns = turns))
}

/// Says that the outline turns inward at the end of an edge, as at the step of a collar or beside a vent.
fn turns_in(ctx: NativeCallContext, p: &mut Piece, edge: &str) -> Made<Piece> {
    let edge = p.edge(&ctx, edge)?;
    Ok(p.change(|piece| piece.edges[edge.0].turns_in = true))
}

/// Says that an edge continues another one beyond a cut.
fn part_of(ctx: NativeCallContext, p: &mut Piece, name: &str, whole: &str) -> Made<Piece> {
    let (own, whole) = (p.edge(&ctx, name)?, p.edge(&ctx, whole)?);
    if own == whole {
        return Err(fault(&ctx, format!("'{name}' cannot be a part of itself")));
    }
    Ok(p.change(|piece| piece.edges[own.0].part_of = Some(whole)))
}

fn notch(
    ctx: NativeCallContext,
    p: &mut Piece,
    name: &str,
    on: &str,
    place: Dynamic,
) -> Made<Piece> {
    let edge = p.edge(&ctx, on)?;
    let path = p.path(edge);
    let at = place_on(&ctx, &path, &place)?;
    if !(-BEYOND..=geometry::length(&path) + BEYOND).contains(&at) {
        let text = format!("the notch '{name}' lies beyond the end of '{on}'");
        return Err(fault(&ctx, text));
    }
    if let Some(spot) = place.flatten_clone().try_cast::<Spot>() {
        p.uses(None, spot.number.map(Makes::Point).into_iter().collect());
    }
    let name = name.to_owned();
    Ok(p.change(|piece| piece.notches.push(DraftNotch { name, edge, at })))
}

/// Returns an edge as a curve, with the curves on the board that it was drawn by.
fn as_curve(p: &Piece, edge: EdgeId) -> Curve {
    let sheet = p.board.sheet();
    let DraftEdge { name, path, .. } = &sheet.draft[p.id][edge];
    let (name, path) = (name.clone(), path.clone());
    let mut uses = sheet.draft.uses.iter().rev();
    let found = uses.find(|used| used.piece == p.id && used.edge == Some(edge));
    let made = found.into_iter().flat_map(|found| &found.made);
    let on = made.filter_map(|made| match made {
        Makes::Curve(n) => Some(*n),
        Makes::Point(_) => None,
    });
    let on = on.collect();
    drop(sheet);
    Curve::edge(p.board.clone(), path, on, &name)
}

fn curve(ctx: NativeCallContext, p: &mut Piece, edge: &str) -> Made<Curve> {
    Ok(as_curve(p, p.edge(&ctx, edge)?))
}

/// Lists the edges, each with its name, its curve and how often it turns.
fn edges(p: &mut Piece) -> Array {
    let listed = |piece: &DraftPiece| -> Vec<(String, u8)> {
        let edges = piece.edges.iter();
        edges.map(|edge| (edge.name.clone(), edge.turns)).collect()
    };
    let edges = p.read(listed).into_iter().enumerate();
    let as_map = |(index, (name, turns)): (usize, (String, u8))| {
        Dynamic::from(Map::from([
            ("name".into(), name.into()),
            ("curve".into(), Dynamic::from(as_curve(p, EdgeId(index)))),
            ("turns".into(), i64::from(turns).into()),
        ]))
    };
    edges.map(as_map).collect()
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_fn("edge", edge);
    engine.register_fn("turns", turns);
    engine.register_fn("turns_in", turns_in);
    engine.register_fn("part_of", part_of);
    engine.register_fn("notch", notch);
    engine.register_fn("curve", curve);
    engine.register_get("edges", edges);
}
