//! Pieces with their edges, notches and marks.

use super::curves::{Curve, place_on};
use crate::diagnostic::nearest;
use crate::draft::MarkKind;
use crate::draft::{
    Count, DraftEdge, DraftNotch, DraftPiece, Makes, Mark, Material, SheetPage, Turning,
};
use crate::geometry;
use crate::order::Side;
use crate::script::board::{Board, Spot};
use crate::script::limits;
use crate::script::numbers::{Made, fault, number, source};
use kurbo::{BezPath, Point, Vec2};
use rhai::{Array, Dynamic, Engine, Map, NativeCallContext};

/// A piece on the board, by its place in the list of pieces.
#[derive(Debug, Clone)]
pub(in crate::script) struct Piece {
    pub(super) board: Board,
    index: usize,
}

impl Piece {
    /// Changes the piece on the board and hands it back, so that calls can follow one another.
    pub(super) fn change(&mut self, by: impl FnOnce(&mut DraftPiece)) -> Piece {
        self.board.spend(limits::STEP);
        if let Some(piece) = self.board.sheet().draft.pieces.get_mut(self.index) {
            by(piece);
        }
        self.clone()
    }

    /// The piece as it is on the board now.
    pub(super) fn drafted(&self) -> DraftPiece {
        self.board.spend(limits::STEP);
        let sheet = self.board.sheet();
        // A handle is only made for a piece that is on the board.
        sheet.draft.pieces[self.index].clone()
    }

    pub(super) fn name(&self) -> String {
        self.board
            .sheet()
            .draft
            .pieces
            .get(self.index)
            .map(|piece| piece.name.clone())
            .unwrap_or_default()
    }

    pub(super) fn path(&self, ctx: &NativeCallContext, edge: &str) -> Made<BezPath> {
        let sheet = self.board.sheet();
        let piece = sheet.draft.pieces.get(self.index);
        let found = piece.and_then(|piece| piece.edges.iter().find(|e| e.name == edge));
        found.map(|edge| edge.path.clone()).ok_or_else(|| {
            let names: Vec<&str> = piece
                .map(|piece| piece.edges.iter().map(|e| e.name.as_str()).collect())
                .unwrap_or_default();
            fault(
                ctx,
                format!("no edge '{edge}' here; there are: {}", names.join(", ")),
            )
        })
    }

    /// Checks that there is an edge of that name, or a mark that is laid on another as a seam is.
    pub(super) fn seam(&self, ctx: &NativeCallContext, name: &str) -> Made<()> {
        let marked = |piece: &DraftPiece| piece.marks.iter().any(|mark| mark.name == name);
        let sheet = self.board.sheet();
        let found = sheet.draft.pieces.get(self.index).is_some_and(marked);
        drop(sheet);
        if found {
            return Ok(());
        }
        self.path(ctx, name).map(|_| ())
    }

    /// The curves on the board that an edge lies on, by number.
    fn curves_of(&self, edge: &str) -> Vec<usize> {
        let sheet = self.board.sheet();
        let mut uses = sheet.draft.uses.iter().rev();
        let found = uses.find(|u| u.piece == self.index && u.edge.as_deref() == Some(edge));
        let made = found.into_iter().flat_map(|found| &found.made);
        made.filter_map(|made| match made {
            Makes::Curve(n) => Some(*n),
            Makes::Point(_) => None,
        })
        .collect()
    }
}

pub(super) fn one_of<T: Copy>(ctx: &NativeCallContext, word: &str, words: &[(&str, T)]) -> Made<T> {
    words
        .iter()
        .find(|(name, _)| *name == word)
        .map(|(_, value)| *value)
        .ok_or_else(|| {
            let names: Vec<&str> = words.iter().map(|(name, _)| *name).collect();
            let meant = nearest(word, names.iter().copied());
            let meant = meant.map_or(String::new(), |name| format!(" (did you mean '{name}'?)"));
            let all = names.join(", ");
            fault(ctx, format!("'{word}'{meant} is none of: {all}"))
        })
}

const MATERIALS: [(&str, Material); 6] = [
    ("cloth", Material::Cloth),
    ("lining", Material::Lining),
    ("sleeve lining", Material::SleeveLining),
    ("canvas", Material::Canvas),
    ("felt", Material::Felt),
    ("pocketing", Material::Pocketing),
];
const TURNINGS: [(&str, Turning); 3] = [
    ("grain", Turning::Grain),
    ("quarter", Turning::Quarter),
    ("free", Turning::Free),
];
const SIDES: [(&str, Side); 2] = [("left", Side::Left), ("right", Side::Right)];
const MARK_SIDES: [(&str, Option<Side>); 3] = [
    ("left", Some(Side::Left)),
    ("right", Some(Side::Right)),
    ("both", None),
];

/// The kind of mark that a word stands for.
fn kind(ctx: &NativeCallContext, word: &str) -> Made<MarkKind> {
    let kinds: Vec<(&str, MarkKind)> = MarkKind::ALL.iter().map(|k| (k.word(), *k)).collect();
    one_of(ctx, word, &kinds)
}

/// Further off the grain no piece hangs as it should: half way to the next eighth, degrees.
const MOST_OFF_GRAIN: f64 = 22.5;

pub(super) fn count(ctx: &NativeCallContext, n: i64) -> Made<u32> {
    u32::try_from(n)
        .ok()
        .filter(|n| (1..=50).contains(n))
        .ok_or_else(|| fault(ctx, "a count is 1 to 50"))
}

fn make_pieces(engine: &mut Engine) {
    engine.register_fn(
        "piece",
        |ctx: NativeCallContext, board: &mut Board, name: &str| -> Made<Piece> {
            board.spend(limits::STEP);
            let mut sheet = board.sheet();
            if sheet.draft.pieces.iter().any(|piece| piece.name == name) {
                return Err(fault(&ctx, format!("there is a piece '{name}' already")));
            }
            sheet.draft.pieces.push(DraftPiece {
                name: name.to_owned(),
                material: Material::Cloth,
                count: Count::Pairs(1),
                side: None,
                pair: None,
                drawn: None,
                turned_at: None,
                edges: Vec::new(),
                notches: Vec::new(),
                marks: Vec::new(),
                grain: (Point::ZERO, Point::new(0.0, 1.0)),
                down: Vec2::new(0.0, 1.0),
                turning: Turning::Grain,
                bias: None,
                off_grain: 0.0,
                fold: None,
                seen: None,
                source: source(&ctx),
            });
            let index = sheet.draft.pieces.len() - 1;
            drop(sheet);
            Ok(Piece {
                board: board.clone(),
                index,
            })
        },
    );
    engine.register_fn("drawn", |board: &mut Board, name: &str| -> Dynamic {
        let sheet = board.sheet();
        let index = sheet.draft.pieces.iter().position(|p| p.name == name);
        drop(sheet);
        let board = board.clone();
        index.map_or(Dynamic::UNIT, |index| Dynamic::from(Piece { board, index }))
    });
    engine.register_fn(
        "pairs",
        |ctx: NativeCallContext, p: &mut Piece, n: i64| -> Made<Piece> {
            let n = count(&ctx, n)?;
            Ok(p.change(|piece| piece.count = Count::Pairs(n)))
        },
    );
    engine.register_fn(
        "alike",
        |ctx: NativeCallContext, p: &mut Piece, n: i64| -> Made<Piece> {
            let n = count(&ctx, n)?;
            Ok(p.change(|piece| piece.count = Count::Alike(n)))
        },
    );
    engine.register_fn(
        "of",
        |ctx: NativeCallContext, p: &mut Piece, word: &str| -> Made<Piece> {
            let material = one_of(&ctx, word, &MATERIALS)?;
            Ok(p.change(|piece| piece.material = material))
        },
    );
    engine.register_fn(
        "turning",
        |ctx: NativeCallContext, p: &mut Piece, word: &str| -> Made<Piece> {
            let turning = one_of(&ctx, word, &TURNINGS)?;
            Ok(p.change(|piece| piece.turning = turning))
        },
    );
    engine.register_fn("grain", |p: &mut Piece, a: Spot, b: Spot| {
        p.change(|piece| piece.grain = (a.at, b.at))
    });
    // A piece that is not drawn as it hangs when it is worn: down is from a to b.
    engine.register_fn(
        "hangs",
        |ctx: NativeCallContext, p: &mut Piece, a: Spot, b: Spot| -> Made<Piece> {
            let down = b.at - a.at;
            if down.hypot() < 1e-6 {
                return Err(fault(&ctx, "a piece does not hang from a point to itself"));
            }
            Ok(p.change(|piece| piece.down = down.normalize()))
        },
    );
    // A piece that is cut on the bias: its grain crosses that edge at 45 degrees.
    engine.register_fn(
        "on_bias",
        |ctx: NativeCallContext, p: &mut Piece, edge: &str| -> Made<Piece> {
            p.path(&ctx, edge)?;
            Ok(p.change(|piece| piece.bias = Some(edge.to_owned())))
        },
    );
    // A piece that is the same on both sides of a line: on doubled cloth it is cut on the fold.
    engine.register_fn("on_fold", |p: &mut Piece, a: Spot, b: Spot| {
        p.change(|piece| piece.fold = Some((a.at, b.at)))
    });
    engine.register_fn(
        "off_grain",
        |ctx: NativeCallContext, p: &mut Piece, degrees: Dynamic| -> Made<Piece> {
            let degrees = number(&ctx, &degrees)?;
            if !(0.0..=MOST_OFF_GRAIN).contains(&degrees) {
                let fault_is = format!("a piece lies 0 to {MOST_OFF_GRAIN} degrees off the grain");
                return Err(fault(&ctx, fault_is));
            }
            Ok(p.change(|piece| piece.off_grain = degrees))
        },
    );
    // Cut for one side of the body alone; the draft turns it over where it must.
    engine.register_fn(
        "only",
        |ctx: NativeCallContext, p: &mut Piece, word: &str| only(&ctx, p, word, None),
    );
    // The same, of two that are a pair but are not drawn alike: under the pair's name.
    engine.register_fn(
        "only",
        |ctx: NativeCallContext, p: &mut Piece, word: &str, pair: &str| {
            only(&ctx, p, word, Some(pair))
        },
    );
    // The side for which a piece would be as it is drawn: that from which its face is seen.
    engine.register_fn(
        "drawn_for",
        |ctx: NativeCallContext, p: &mut Piece, word: &str| -> Made<Piece> {
            let side = one_of(&ctx, word, &SIDES)?;
            Ok(p.change(|piece| piece.drawn = Some(side)))
        },
    );
}

fn only(ctx: &NativeCallContext, p: &mut Piece, word: &str, pair: Option<&str>) -> Made<Piece> {
    let side = one_of(ctx, word, &SIDES)?;
    let pair = pair.map(str::to_owned);
    Ok(p.change(|piece| {
        piece.side = Some(side);
        piece.pair = pair;
        if let Count::Pairs(n) = piece.count {
            piece.count = Count::Alike(n);
        }
    }))
}

fn make_edges(engine: &mut Engine) {
    engine.register_fn(
        "edge",
        |ctx: NativeCallContext,
         p: &mut Piece,
         name: &str,
         curve: Curve,
         allowance: &str|
         -> Made<Piece> {
            let (mut repeated, from) = (false, source(&ctx));
            p.board.used(p.index, Some(name), curve.made());
            let piece = p.change(|piece| {
                repeated = piece.edges.iter().any(|edge| edge.name == name);
                piece.edges.push(DraftEdge {
                    name: name.to_owned(),
                    path: BezPath::clone(&curve.path),
                    allowance: allowance.to_owned(),
                    turns: 0,
                    part_of: None,
                    turns_in: false,
                    source: from,
                });
            });
            if repeated {
                Err(fault(
                    &ctx,
                    format!("there is an edge '{name}' on this piece already"),
                ))
            } else {
                Ok(piece)
            }
        },
    );
    engine.register_fn(
        "turns",
        |ctx: NativeCallContext, p: &mut Piece, edge: &str, n: i64| -> Made<Piece> {
            p.path(&ctx, edge)?;
            let turns = u8::try_from(n).map_err(|_| fault(&ctx, "an edge turns 0 to 255 times"))?;
            Ok(p.change(|piece| {
                if let Some(edge) = piece.edges.iter_mut().find(|e| e.name == edge) {
                    edge.turns = turns;
                }
            }))
        },
    );
    // A corner in which the outline turns inward, as it does at the step of a collar or beside a vent.
    engine.register_fn(
        "turns_in",
        |ctx: NativeCallContext, p: &mut Piece, edge: &str| -> Made<Piece> {
            p.path(&ctx, edge)?;
            Ok(p.change(|piece| {
                if let Some(edge) = piece.edges.iter_mut().find(|e| e.name == edge) {
                    edge.turns_in = true;
                }
            }))
        },
    );
    engine.register_fn(
        "notch",
        |ctx: NativeCallContext,
         p: &mut Piece,
         name: &str,
         edge: &str,
         place: Dynamic|
         -> Made<Piece> {
            let path = p.path(&ctx, edge)?;
            let at = place_on(&ctx, &path, &place)?;
            if !(-0.01..=geometry::length(&path) + 0.01).contains(&at) {
                return Err(fault(
                    &ctx,
                    format!("the notch '{name}' lies beyond the end of '{edge}'"),
                ));
            }
            if let Some(spot) = place.flatten_clone().try_cast::<Spot>() {
                p.board.used(p.index, None, vec![Makes::Point(spot.number)]);
            }
            Ok(p.change(|piece| {
                piece.notches.push(DraftNotch {
                    name: name.to_owned(),
                    edge: edge.to_owned(),
                    at,
                });
            }))
        },
    );
    engine.register_fn(
        "curve",
        |ctx: NativeCallContext, p: &mut Piece, edge: &str| -> Made<Curve> {
            let (path, on) = (p.path(&ctx, edge)?, p.curves_of(edge));
            Ok(Curve::edge(p.board.clone(), path, on, edge))
        },
    );
    engine.register_fn(
        "marked",
        |ctx: NativeCallContext, p: &mut Piece, name: &str| -> Made<Curve> {
            let sheet = p.board.sheet();
            let piece = sheet.draft.pieces.get(p.index);
            let mark = piece.and_then(|piece| piece.marks.iter().find(|mark| mark.name == name));
            let path = mark.map(|mark| mark.path.clone());
            drop(sheet);
            let path = path.ok_or_else(|| fault(&ctx, format!("no mark '{name}' here")))?;
            Ok(Curve::edge(p.board.clone(), path, vec![], name))
        },
    );
    engine.register_get("edges", |p: &mut Piece| -> Array {
        let sheet = p.board.sheet();
        let edges = sheet
            .draft
            .pieces
            .get(p.index)
            .map(|piece| piece.edges.clone());
        drop(sheet);
        let as_map = |edge: DraftEdge| {
            let turns = i64::from(edge.turns);
            let on = p.curves_of(&edge.name);
            let curve = Curve::edge(p.board.clone(), edge.path, on, &edge.name);
            Dynamic::from(Map::from([
                ("name".into(), edge.name.into()),
                ("curve".into(), Dynamic::from(curve)),
                ("turns".into(), turns.into()),
            ]))
        };
        edges.unwrap_or_default().into_iter().map(as_map).collect()
    });
}

/// Marks: a line or a point, for both sides or for one.
fn make_marks(engine: &mut Engine) {
    engine.register_fn(
        "mark",
        |ctx: NativeCallContext, p: &mut Piece, name: &str, kind: &str, curve: Curve| {
            let path = BezPath::clone(&curve.path);
            marked(&ctx, p, name, (kind, "both"), path, curve.made())
        },
    );
    engine.register_fn(
        "mark",
        |ctx: NativeCallContext,
         p: &mut Piece,
         name: &str,
         kind: &str,
         curve: Curve,
         side: &str| {
            let path = BezPath::clone(&curve.path);
            marked(&ctx, p, name, (kind, side), path, curve.made())
        },
    );
    engine.register_fn(
        "mark",
        |ctx: NativeCallContext, p: &mut Piece, name: &str, kind: &str, spot: Spot| {
            let made = vec![Makes::Point(spot.number)];
            marked(&ctx, p, name, (kind, "both"), dot(&spot), made)
        },
    );
    engine.register_fn(
        "mark",
        |ctx: NativeCallContext, p: &mut Piece, name: &str, kind: &str, spot: Spot, side: &str| {
            let made = vec![Makes::Point(spot.number)];
            marked(&ctx, p, name, (kind, side), dot(&spot), made)
        },
    );
}

/// A point as a path.
fn dot(spot: &Spot) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(spot.at);
    path
}

/// Puts a mark on a piece: `what` is the words for its kind and for its side.
fn marked(
    ctx: &NativeCallContext,
    p: &mut Piece,
    name: &str,
    what: (&str, &str),
    path: BezPath,
    made: Vec<Makes>,
) -> Made<Piece> {
    let (kind, side) = (kind(ctx, what.0)?, one_of(ctx, what.1, &MARK_SIDES)?);
    p.board.used(p.index, None, made);
    let name = name.to_owned();
    Ok(p.change(|piece| {
        piece.marks.push(Mark {
            name,
            kind,
            side,
            path,
        });
    }))
}

/// The pieces of a page: each as the script holds it, or by a name that is on the board.
fn paged(ctx: &NativeCallContext, board: &Board, pieces: Array) -> Made<Vec<String>> {
    let sheet = board.sheet();
    let names: Vec<&str> = sheet.draft.pieces.iter().map(|p| p.name.as_str()).collect();
    let named = pieces.into_iter().map(|piece| {
        if let Some(piece) = piece.clone().try_cast::<Piece>() {
            let found = names.get(piece.index);
            return Ok(found.copied().unwrap_or_default().to_owned());
        }
        let name = piece
            .into_immutable_string()
            .map_err(|kind| fault(ctx, format!("a page wants pieces, not {kind}")))?;
        if names.contains(&name.as_str()) {
            return Ok(name.to_string());
        }
        let meant = nearest(&name, names.iter().copied());
        let meant = meant.map_or(String::new(), |near| format!(": did you mean '{near}'?"));
        Err(fault(
            ctx,
            format!("there is no piece '{name}' on the board{meant}"),
        ))
    });
    named.collect()
}

fn make_pages(engine: &mut Engine) {
    engine.register_fn(
        "page",
        |ctx: NativeCallContext, board: &mut Board, name: &str, pieces: Array| -> Made<()> {
            let pieces = paged(&ctx, board, pieces)?;
            board.spend(limits::STEP);
            if !pieces.is_empty() {
                let name = name.to_owned();
                board.sheet().draft.pages.push(SheetPage { name, pieces });
            }
            Ok(())
        },
    );
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Piece>("piece");
    make_pieces(engine);
    make_edges(engine);
    make_marks(engine);
    make_pages(engine);
}
