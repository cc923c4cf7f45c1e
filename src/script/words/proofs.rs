//! What proves a draft: the seams, joins, girths, bounds and darts that the ledger holds it to, and the
//! points that meet on the pattern of the cloth.

use super::choice::{one_of, side};
use super::curves::place_on;
use super::pieces::Piece;
use crate::draft::{Bound, Dart, Girth, Join, Joined, Match, Seam, SeamLine, Stretch};
use crate::geometry;
use crate::script::board::{Board, Spot};
use crate::script::limits;
use crate::script::numbers::{Made, fault, length, number, source};
use rhai::{Array, Dynamic, Engine, NativeCallContext};

/// Edges that are sewn as one run.
#[derive(Debug, Clone)]
struct Run {
    stretches: Vec<Stretch>,
    mm: f64,
}

/// Lines of the cloth's pattern that meet: stripes across the cloth, bars along it, or both.
const AXES: [(&str, (bool, bool)); 3] = [
    ("across", (true, false)),
    ("along", (false, true)),
    ("both", (true, true)),
];

/// Most edges in one run; a run of any garment has a few.
const MOST_STRETCHES: usize = 100;

/// Most points of one garment that meet on the cloth's pattern; a jacket has some ten.
const MOST_MATCHES: usize = 200;

/// Greatest distance of a girth from what it is meant to be, mm (common practice, no source).
const GIRTH_WITHIN: f64 = 5.0;

fn run(ctx: NativeCallContext, p: &mut Piece, edge: &str) -> Made<Run> {
    let edge = p.edge(&ctx, edge)?;
    Ok(Run {
        mm: geometry::length(&p.path(edge)),
        stretches: vec![Stretch {
            piece: p.id,
            edge,
            from: None,
            to: None,
        }],
    })
}

fn run_between(
    ctx: NativeCallContext,
    p: &mut Piece,
    edge: &str,
    from: Dynamic,
    to: Dynamic,
) -> Made<Run> {
    let edge = p.edge(&ctx, edge)?;
    let path = p.path(edge);
    let (from, to) = (place_on(&ctx, &path, &from)?, place_on(&ctx, &path, &to)?);
    Ok(Run {
        mm: (to - from).abs(),
        stretches: vec![Stretch {
            piece: p.id,
            edge,
            from: Some(from),
            to: Some(to),
        }],
    })
}

/// Returns both runs as one.
fn and(ctx: NativeCallContext, a: Run, b: Run) -> Made<Run> {
    let stretches = [a.stretches, b.stretches].concat();
    if stretches.len() > MOST_STRETCHES {
        let text = format!("a run of more than {MOST_STRETCHES} edges");
        return Err(fault(&ctx, text));
    }
    let mm = a.mm + b.mm;
    Ok(Run { stretches, mm })
}

fn run_length(run: &mut Run) -> f64 {
    run.mm / 10.0
}

fn sew(
    ctx: &NativeCallContext,
    board: &Board,
    name: &str,
    (a, b): (Run, Run),
    (least, most): (&Dynamic, &Dynamic),
    on: &str,
) -> Made<()> {
    let seam = Seam {
        name: name.to_owned(),
        side: side(ctx, on)?,
        a: a.stretches,
        b: b.stretches,
        least: length(ctx, least)?,
        most: length(ctx, most)?,
        source: source(ctx),
    };
    board.spend(limits::STEP);
    board.sheet().draft.seams.push(seam);
    Ok(())
}

/// Resolves the edge of a piece that runs through a joint, and the line that is laid on the other piece: a
/// mark, such as the fold of a vent, or an edge.
fn joined(ctx: &NativeCallContext, p: &Piece, edge: &str, seam: &str) -> Made<Joined> {
    let mark = p.read(|piece| piece.mark_named(seam));
    Ok(Joined {
        piece: p.id,
        edge: p.edge(ctx, edge)?,
        seam: match mark {
            Some(mark) => SeamLine::Mark(mark),
            None => SeamLine::Edge(p.edge(ctx, seam)?),
        },
    })
}

fn join(
    ctx: &NativeCallContext,
    board: &Board,
    name: &str,
    edges: [(&Piece, &str); 2],
    seams: Array,
    degrees: &Dynamic,
    on: &str,
) -> Made<()> {
    let mut names = seams.into_iter().filter_map(|seam| seam.into_string().ok());
    let (Some(seam_a), Some(seam_b)) = (names.next(), names.next()) else {
        let text = "a join needs the names of both seam edges: [of the first piece, of the second]";
        return Err(fault(ctx, text));
    };
    let [(a, edge_a), (b, edge_b)] = edges;
    let join = Join {
        name: name.to_owned(),
        side: side(ctx, on)?,
        a: joined(ctx, a, edge_a, &seam_a)?,
        b: joined(ctx, b, edge_b, &seam_b)?,
        most_degrees: number(ctx, degrees)?,
        source: source(ctx),
    };
    board.spend(limits::STEP);
    board.sheet().draft.joins.push(join);
    Ok(())
}

fn girth(
    ctx: NativeCallContext,
    board: &mut Board,
    name: &str,
    finished: Dynamic,
    body: Dynamic,
    meant: Dynamic,
) -> Made<()> {
    let girth = Girth {
        name: name.to_owned(),
        finished: length(&ctx, &finished)?,
        body: length(&ctx, &body)?,
        meant: length(&ctx, &meant)?,
        within: GIRTH_WITHIN,
        source: source(&ctx),
    };
    board.spend(limits::STEP);
    board.sheet().draft.girths.push(girth);
    Ok(())
}

fn bound(
    ctx: NativeCallContext,
    board: &mut Board,
    name: &str,
    found: Dynamic,
    least: Dynamic,
    most: Dynamic,
) -> Made<()> {
    let bound = Bound {
        name: name.to_owned(),
        found: length(&ctx, &found)?,
        least: length(&ctx, &least)?,
        most: length(&ctx, &most)?,
        source: source(&ctx),
    };
    if bound.least >= bound.most {
        let text = format!("the bounds of the {name} leave nothing between them");
        return Err(fault(&ctx, text));
    }
    board.spend(limits::STEP);
    board.sheet().draft.bounds.push(bound);
    Ok(())
}

fn dart(
    ctx: NativeCallContext,
    board: &mut Board,
    name: &str,
    piece: Piece,
    leg: Dynamic,
    other: Dynamic,
) -> Made<()> {
    let dart = Dart {
        name: name.to_owned(),
        piece: piece.id,
        legs: (length(&ctx, &leg)?, length(&ctx, &other)?),
        source: source(&ctx),
    };
    board.spend(limits::STEP);
    board.sheet().draft.darts.push(dart);
    Ok(())
}

fn matches(
    ctx: &NativeCallContext,
    p: &Piece,
    name: &str,
    at: &Spot,
    (partner, partner_at): (&Piece, &Spot),
    way: &str,
    on: &str,
) -> Made<Piece> {
    let (across, along) = one_of(ctx, way, &AXES)?;
    let found = Match {
        name: name.to_owned(),
        side: side(ctx, on)?,
        piece: p.id,
        at: at.at,
        partner: partner.id,
        partner_at: partner_at.at,
        across,
        along,
    };
    let mut sheet = p.board.sheet();
    if sheet.draft.matches.len() >= MOST_MATCHES {
        return Err(fault(ctx, format!("more than {MOST_MATCHES} matches")));
    }
    sheet.draft.matches.push(found);
    drop(sheet);
    Ok(p.clone())
}

/// Registers the words for seams and joins. They take a side as a last value; without it they hold for both.
fn register_seams(engine: &mut Engine) {
    type Ctx<'a> = NativeCallContext<'a>;
    type Value = Dynamic;
    engine.register_fn(
        "sew",
        |ctx: Ctx, board: &mut Board, name: &str, a: Run, b: Run, least: Value, most: Value| {
            sew(&ctx, board, name, (a, b), (&least, &most), "both")
        },
    );
    engine.register_fn(
        "sew",
        |ctx: Ctx,
         board: &mut Board,
         name: &str,
         a: Run,
         b: Run,
         least: Value,
         most: Value,
         on: &str| { sew(&ctx, board, name, (a, b), (&least, &most), on) },
    );
    engine.register_fn(
        "join",
        |ctx: Ctx,
         board: &mut Board,
         name: &str,
         a: Piece,
         edge_a: &str,
         b: Piece,
         edge_b: &str,
         seams: Array,
         degrees: Value| {
            let edges = [(&a, edge_a), (&b, edge_b)];
            join(&ctx, board, name, edges, seams, &degrees, "both")
        },
    );
    engine.register_fn(
        "join",
        |ctx: Ctx,
         board: &mut Board,
         name: &str,
         a: Piece,
         edge_a: &str,
         b: Piece,
         edge_b: &str,
         seams: Array,
         degrees: Value,
         on: &str| {
            let edges = [(&a, edge_a), (&b, edge_b)];
            join(&ctx, board, name, edges, seams, &degrees, on)
        },
    );
}

/// Registers the word for points that meet on the pattern of the cloth, on both sides or on one.
fn register_matches(engine: &mut Engine) {
    type Ctx<'a> = NativeCallContext<'a>;
    engine.register_fn(
        "matches",
        |ctx: Ctx, p: &mut Piece, name: &str, at: Spot, partner: Piece, there: Spot, way: &str| {
            matches(&ctx, p, name, &at, (&partner, &there), way, "both")
        },
    );
    engine.register_fn(
        "matches",
        |ctx: Ctx,
         p: &mut Piece,
         name: &str,
         at: Spot,
         partner: Piece,
         there: Spot,
         way: &str,
         on: &str| { matches(&ctx, p, name, &at, (&partner, &there), way, on) },
    );
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Run>("run");
    engine.register_fn("run", run);
    engine.register_fn("run", run_between);
    engine.register_fn("+", and);
    engine.register_get("length", run_length);
    register_seams(engine);
    register_matches(engine);
    engine.register_fn("girth", girth);
    engine.register_fn("bound", bound);
    engine.register_fn("dart", dart);
}
