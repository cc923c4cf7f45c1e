//! Pieces: how each is cut, how it lies on the cloth, and the page that shows it.

use super::choice::{choices, one_of, one_side};
use crate::diagnostic::nearest;
use crate::draft::{Count, DraftPiece, EdgeId, Makes, PieceId, SheetPage, Turning};
use crate::geometry::{end, flattened, start};
use crate::order::Bought;
use crate::script::board::{Board, Spot};
use crate::script::limits;
use crate::script::numbers::{Made, fault, number, source};
use kurbo::BezPath;
use rhai::{Array, Dynamic, Engine, NativeCallContext};

/// A piece on the board, as a script holds it.
#[derive(Debug, Clone)]
pub(in crate::script) struct Piece {
    pub(super) board: Board,
    /// Its place in the draft. A handle is only made for a piece that is on the board.
    pub(super) id: PieceId,
}

impl Piece {
    /// Changes the piece on the board and returns it, so that calls can follow one another.
    pub(super) fn change(&mut self, by: impl FnOnce(&mut DraftPiece)) -> Self {
        self.board.spend(limits::STEP);
        by(&mut self.board.sheet().draft.pieces[self.id.0]);
        self.clone()
    }

    /// Reads the piece as it is on the board now. `of` must not use the board.
    pub(super) fn read<T>(&self, of: impl FnOnce(&DraftPiece) -> T) -> T {
        self.board.spend(limits::STEP);
        of(&self.board.sheet().draft[self.id])
    }

    /// Notes the points and curves that one of the piece's edges, marks or notches is drawn by.
    pub(super) fn uses(&self, edge: Option<EdgeId>, made: Vec<Makes>) {
        self.board.used(self.id, edge, made);
    }

    /// Resolves the name of an edge.
    ///
    /// # Errors
    /// When the piece has no such edge.
    pub(super) fn edge(&self, ctx: &NativeCallContext, name: &str) -> Made<EdgeId> {
        self.read(|piece| {
            piece.edge_named(name).ok_or_else(|| {
                let all = choices(name, piece.edges.iter().map(|edge| edge.name.as_str()));
                let text = format!("the {} has no edge '{name}'; {all}", piece.name);
                fault(ctx, text)
            })
        })
    }

    /// Returns the path of an edge.
    pub(super) fn path(&self, edge: EdgeId) -> BezPath {
        self.read(|piece| piece[edge].path.clone())
    }
}

const TURNINGS: [(&str, Turning); 3] = [
    ("grain", Turning::Grain),
    ("quarter", Turning::Quarter),
    ("free", Turning::Free),
];

/// Greatest angle off the grain, degrees: half way to the next eighth. A piece that lies further off does not
/// hang as it should.
const MOST_OFF_GRAIN: f64 = 22.5;

/// Greatest bow, mm, of an edge that lies on a fold: shears cannot cut finer.
const STRAIGHT: f64 = 0.1;

/// Most of a piece, a pair or an article: no garment has as many of one kind.
const MOST_COUNT: u32 = 50;

/// Returns a count of pieces, pairs or articles.
///
/// # Errors
/// When it is not 1 to [`MOST_COUNT`].
pub(super) fn count(ctx: &NativeCallContext, n: i64) -> Made<u32> {
    let count = u32::try_from(n).ok();
    let allowed = count.filter(|given| (1..=MOST_COUNT).contains(given));
    allowed.ok_or_else(|| fault(ctx, format!("a count is 1 to {MOST_COUNT}")))
}

fn begin(ctx: NativeCallContext, board: &mut Board, name: &str) -> Made<Piece> {
    board.spend(limits::STEP);
    let mut sheet = board.sheet();
    if sheet.draft.piece_named(name).is_some() {
        return Err(fault(&ctx, format!("there is a piece '{name}' already")));
    }
    let piece = DraftPiece::new(name, board.materials().cloth().clone(), source(&ctx));
    sheet.draft.pieces.push(piece);
    let id = PieceId(sheet.draft.pieces.len() - 1);
    drop(sheet);
    let board = board.clone();
    Ok(Piece { board, id })
}

/// Returns a piece that is on the board, or `()`: some styles have it and some do not.
fn drawn(board: &mut Board, name: &str) -> Dynamic {
    let id = board.sheet().draft.piece_named(name);
    let board = board.clone();
    id.map_or(Dynamic::UNIT, |id| Dynamic::from(Piece { board, id }))
}

fn pairs(ctx: NativeCallContext, p: &mut Piece, n: i64) -> Made<Piece> {
    let n = count(&ctx, n)?;
    Ok(p.change(|piece| piece.count = Count::Pairs(n)))
}

fn alike(ctx: NativeCallContext, p: &mut Piece, n: i64) -> Made<Piece> {
    let n = count(&ctx, n)?;
    Ok(p.change(|piece| piece.count = Count::Alike(n)))
}

fn of(ctx: NativeCallContext, p: &mut Piece, word: &str) -> Made<Piece> {
    let materials = p.board.materials();
    let material = materials.named(word).cloned().ok_or_else(|| {
        let laid = materials.all().filter(|m| m.bought == Bought::Laid);
        let all = choices(word, laid.map(|material| material.name.as_str()));
        fault(&ctx, format!("'{word}' is no material of the house; {all}"))
    })?;
    if material.bought != Bought::Laid {
        let text = format!(
            "{} is not laid, and no piece is cut from it: write board.need(name, \"{}\", …)",
            material.name, material.name
        );
        return Err(fault(&ctx, text));
    }
    Ok(p.change(|piece| piece.material = material))
}

fn turning(ctx: NativeCallContext, p: &mut Piece, word: &str) -> Made<Piece> {
    let turning = one_of(&ctx, word, &TURNINGS)?;
    Ok(p.change(|piece| piece.turning = turning))
}

fn grain(p: &mut Piece, a: Spot, b: Spot) -> Piece {
    p.change(|piece| piece.grain = (a.at, b.at))
}

/// Says that down is from `a` to `b` when the piece is worn, for a piece that is not drawn as it hangs.
fn hangs(ctx: NativeCallContext, p: &mut Piece, a: Spot, b: Spot) -> Made<Piece> {
    let down = b.at - a.at;
    if down.hypot() < 1e-6 {
        return Err(fault(&ctx, "a piece does not hang from a point to itself"));
    }
    Ok(p.change(|piece| piece.down = down.normalize()))
}

/// Says that the grain crosses a straight edge at 45 degrees.
fn on_bias(ctx: NativeCallContext, p: &mut Piece, edge: &str) -> Made<Piece> {
    let edge = p.edge(&ctx, edge)?;
    Ok(p.change(|piece| piece.bias = Some(edge)))
}

/// Says that the piece is the same on both sides of a line, so that doubled cloth is cut on the fold.
fn on_fold(p: &mut Piece, a: Spot, b: Spot) -> Piece {
    p.change(|piece| piece.fold = Some((a.at, b.at)))
}

/// Returns how far an edge bows off the straight between its ends, mm.
fn bow(path: &BezPath) -> f64 {
    let Some((from, to)) = start(path).zip(end(path)) else {
        return f64::INFINITY;
    };
    let along = (to - from).normalize();
    let points = flattened(path, 0.01).into_iter();
    let off = points.map(|at| along.cross(at - from).abs());
    off.fold(0.0, f64::max)
}

/// Says that the piece is one half, cut in one with the other along a straight edge.
fn whole_along(ctx: NativeCallContext, p: &mut Piece, edge: &str) -> Made<Piece> {
    let edge = p.edge(&ctx, edge)?;
    if bow(&p.path(edge)) > STRAIGHT {
        let text = "a piece is cut whole along a straight edge, which lies on the fold";
        return Err(fault(&ctx, text));
    }
    Ok(p.change(|piece| piece.opens = Some(edge)))
}

fn off_grain(ctx: NativeCallContext, p: &mut Piece, degrees: Dynamic) -> Made<Piece> {
    let degrees = number(&ctx, &degrees)?;
    if !(0.0..=MOST_OFF_GRAIN).contains(&degrees) {
        let text = format!("a piece lies 0 to {MOST_OFF_GRAIN} degrees off the grain");
        return Err(fault(&ctx, text));
    }
    Ok(p.change(|piece| piece.off_grain = degrees))
}

/// Says that the piece is cut for one side of the body alone. The draft turns it over where it must.
fn only(ctx: NativeCallContext, p: &mut Piece, word: &str) -> Made<Piece> {
    let side = one_side(&ctx, word)?;
    Ok(p.change(|piece| {
        piece.side = Some(side);
        if let Count::Pairs(n) = piece.count {
            piece.count = Count::Alike(n);
        }
    }))
}

/// Says the same of one of two pieces that are a pair but are not drawn alike.
fn only_of(ctx: NativeCallContext, p: &mut Piece, word: &str, pair: &str) -> Made<Piece> {
    let mut one = only(ctx, p, word)?;
    Ok(one.change(|piece| piece.pair = Some(pair.to_owned())))
}

/// Says which side the piece fits as it is drawn: the side from which its face is seen.
fn drawn_for(ctx: NativeCallContext, p: &mut Piece, word: &str) -> Made<Piece> {
    let side = one_side(&ctx, word)?;
    Ok(p.change(|piece| piece.drawn = Some(side)))
}

/// Resolves the pieces of a page, each given as a piece or by its name.
fn paged(ctx: &NativeCallContext, board: &Board, pieces: Array) -> Made<Vec<PieceId>> {
    let sheet = board.sheet();
    let resolved = pieces.into_iter().map(|piece| {
        if let Some(piece) = piece.clone().try_cast::<Piece>() {
            return Ok(piece.id);
        }
        let name = piece
            .into_immutable_string()
            .map_err(|kind| fault(ctx, format!("a page needs pieces, not {kind}")))?;
        sheet.draft.piece_named(&name).ok_or_else(|| {
            let names = sheet.draft.pieces.iter().map(|other| other.name.as_str());
            let meant = nearest(&name, names);
            let meant = meant.map_or(String::new(), |near| format!(" (perhaps '{near}')"));
            let text = format!("there is no piece '{name}' on the board{meant}");
            fault(ctx, text)
        })
    });
    resolved.collect()
}

fn page(ctx: NativeCallContext, board: &mut Board, name: &str, pieces: Array) -> Made<()> {
    let pieces = paged(&ctx, board, pieces)?;
    board.spend(limits::STEP);
    if !pieces.is_empty() {
        let name = name.to_owned();
        board.sheet().draft.pages.push(SheetPage { name, pieces });
    }
    Ok(())
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Piece>("piece");
    engine.register_fn("piece", begin);
    engine.register_fn("drawn", drawn);
    engine.register_fn("pairs", pairs);
    engine.register_fn("alike", alike);
    engine.register_fn("of", of);
    engine.register_fn("turning", turning);
    engine.register_fn("grain", grain);
    engine.register_fn("hangs", hangs);
    engine.register_fn("on_bias", on_bias);
    engine.register_fn("on_fold", on_fold);
    engine.register_fn("whole_along", whole_along);
    engine.register_fn("off_grain", off_grain);
    engine.register_fn("only", only);
    engine.register_fn("only", only_of);
    engine.register_fn("drawn_for", drawn_for);
    engine.register_fn("page", page);
}
