//! What proves a draft: the seams, joins, girths and darts that the ledger holds it to, and the points
//! that meet on the pattern of the cloth.

use super::curves::place_on;
use super::pieces::{Piece, one_of};
use crate::draft::{Bound, Dart, Girth, Join, Match, Seam, Stretch};
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

/// What meets: stripes across the cloth, bars along it.
const AXES: [(&str, (bool, bool)); 3] = [
    ("across", (true, false)),
    ("along", (false, true)),
    ("both", (true, true)),
];

/// Edges in one run.
const MOST_STRETCHES: usize = 100;

/// Points that meet on the cloth's pattern, in one garment.
const MOST_MATCHES: usize = 200;

fn run(
    ctx: &NativeCallContext,
    piece: &Piece,
    edge: &str,
    limits: Option<(&Dynamic, &Dynamic)>,
) -> Made<Run> {
    let path = piece.path(ctx, edge)?;
    let (from, to, mm) = match limits {
        None => (None, None, geometry::length(&path)),
        Some((from, to)) => {
            let (from, to) = (place_on(ctx, &path, from)?, place_on(ctx, &path, to)?);
            (Some(from), Some(to), (to - from).abs())
        }
    };
    Ok(Run {
        stretches: vec![Stretch {
            piece: piece.name(),
            edge: edge.to_owned(),
            from,
            to,
        }],
        mm,
    })
}

fn make_runs(engine: &mut Engine) {
    engine.register_type_with_name::<Run>("run");
    engine.register_fn(
        "run",
        |ctx: NativeCallContext, p: &mut Piece, edge: &str| run(&ctx, p, edge, None),
    );
    engine.register_fn(
        "run",
        |ctx: NativeCallContext, p: &mut Piece, edge: &str, from: Dynamic, to: Dynamic| {
            run(&ctx, p, edge, Some((&from, &to)))
        },
    );
    engine.register_fn("+", |ctx: NativeCallContext, a: Run, b: Run| -> Made<Run> {
        let stretches: Vec<Stretch> = a.stretches.into_iter().chain(b.stretches).collect();
        if stretches.len() > MOST_STRETCHES {
            return Err(fault(
                &ctx,
                format!("a run of more than {MOST_STRETCHES} edges"),
            ));
        }
        Ok(Run {
            mm: a.mm + b.mm,
            stretches,
        })
    });
    engine.register_get("length", |run: &mut Run| run.mm / 10.0);
}

fn make_proofs(engine: &mut Engine) {
    engine.register_fn(
        "sew",
        |ctx: NativeCallContext,
         board: &mut Board,
         name: &str,
         a: Run,
         b: Run,
         least: Dynamic,
         most: Dynamic|
         -> Made<()> {
            let (least, most) = (length(&ctx, &least)?, length(&ctx, &most)?);
            let seam = Seam {
                name: name.to_owned(),
                a: a.stretches,
                b: b.stretches,
                least,
                most,
                source: source(&ctx),
            };
            board.spend(limits::STEP);
            board.sheet().draft.seams.push(seam);
            Ok(())
        },
    );
    engine.register_fn(
        "join",
        |ctx: NativeCallContext, board: &mut Board, name: &str, a: Piece, edge_a: &str, b: Piece, edge_b: &str, seams: Array, degrees: Dynamic| -> Made<()> {
            for (piece, edge) in [(&a, edge_a), (&b, edge_b)] {
                piece.path(&ctx, edge)?;
            }
            let mut names = seams.into_iter().filter_map(|seam| seam.into_string().ok());
            let (Some(seam_a), Some(seam_b)) = (names.next(), names.next()) else {
                return Err(fault(&ctx, "a join wants the names of both seam edges: [of the first piece, of the second]"));
            };
            a.seam(&ctx, &seam_a)?;
            b.seam(&ctx, &seam_b)?;
            let most_degrees = number(&ctx, &degrees)?;
            let join = Join {
                name: name.to_owned(),
                a: (a.name(), edge_a.to_owned()),
                b: (b.name(), edge_b.to_owned()),
                seam: ((a.name(), seam_a), (b.name(), seam_b)),
                most_degrees,
                source: source(&ctx),
            };
            board.spend(limits::STEP);
            board.sheet().draft.joins.push(join);
            Ok(())
        },
    );
    engine.register_fn(
        "girth",
        |ctx: NativeCallContext,
         board: &mut Board,
         name: &str,
         finished: Dynamic,
         body: Dynamic,
         meant: Dynamic|
         -> Made<()> {
            let girth = Girth {
                name: name.to_owned(),
                finished: length(&ctx, &finished)?,
                body: length(&ctx, &body)?,
                meant: length(&ctx, &meant)?,
                // Half a centimetre, as the proof of every draft asks (common practice, no source).
                within: 5.0,
                source: source(&ctx),
            };
            board.spend(limits::STEP);
            board.sheet().draft.girths.push(girth);
            Ok(())
        },
    );
    engine.register_fn(
        "bound",
        |ctx: NativeCallContext,
         board: &mut Board,
         name: &str,
         found: Dynamic,
         least: Dynamic,
         most: Dynamic|
         -> Made<()> {
            let bound = Bound {
                name: name.to_owned(),
                found: length(&ctx, &found)?,
                least: length(&ctx, &least)?,
                most: length(&ctx, &most)?,
                source: source(&ctx),
            };
            if bound.least >= bound.most {
                return Err(fault(
                    &ctx,
                    format!("the bounds of the {name} leave nothing between them"),
                ));
            }
            board.spend(limits::STEP);
            board.sheet().draft.bounds.push(bound);
            Ok(())
        },
    );
    engine.register_fn(
        "dart",
        |ctx: NativeCallContext,
         board: &mut Board,
         name: &str,
         piece: Piece,
         leg: Dynamic,
         other: Dynamic|
         -> Made<()> {
            let legs = (length(&ctx, &leg)?, length(&ctx, &other)?);
            let dart = Dart {
                name: name.to_owned(),
                piece: piece.name(),
                legs,
                source: source(&ctx),
            };
            board.spend(limits::STEP);
            board.sheet().draft.darts.push(dart);
            Ok(())
        },
    );
}

fn make_matches(engine: &mut Engine) {
    engine.register_fn(
        "matches",
        |ctx: NativeCallContext,
         p: &mut Piece,
         name: &str,
         at: Spot,
         partner: Piece,
         partner_at: Spot,
         word: &str|
         -> Made<Piece> {
            let (across, along) = one_of(&ctx, word, &AXES)?;
            let found = Match {
                name: name.to_owned(),
                piece: p.name(),
                at: at.at,
                partner: partner.name(),
                partner_at: partner_at.at,
                across,
                along,
            };
            let mut sheet = p.board.sheet();
            if sheet.draft.matches.len() >= MOST_MATCHES {
                return Err(fault(&ctx, format!("more than {MOST_MATCHES} matches")));
            }
            sheet.draft.matches.push(found);
            drop(sheet);
            Ok(p.clone())
        },
    );
}

pub(super) fn register(engine: &mut Engine) {
    make_runs(engine);
    make_proofs(engine);
    make_matches(engine);
}
