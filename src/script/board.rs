//! The drafting board, on which a block leaves points, curves, pieces and proofs while it runs.

use super::limits;
use crate::draft::{BoardCurve, BoardPoint, Draft, Drawn, EdgeId, How, Makes, PieceId, Step, Use};
use crate::order::Materials;
use kurbo::{BezPath, Point};
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// A handle to a board. Cloning it gives another handle to the same board.
#[derive(Debug, Clone)]
pub(super) struct Board(Arc<Shared>);

#[derive(Debug)]
struct Shared {
    sheet: Mutex<Sheet>,
    /// The materials that pieces may be cut from.
    materials: Materials,
    /// Cost of the words so far, see [`limits::MOST_SPENT`].
    spent: AtomicU64,
}

/// The content of a board.
#[derive(Debug, Clone, Default)]
pub(super) struct Sheet {
    pub draft: Draft,
    /// Number of solvers that are at work. While it is above zero, points and curves are trials and leave
    /// nothing on the board.
    pub trying: usize,
}

/// A point on the board, as a script holds it.
#[derive(Debug, Clone)]
pub(super) struct Spot {
    /// Place on the board, mm.
    pub at: Point,
    /// Number on the board; a trial has none.
    pub number: Option<usize>,
    pub(super) board: Board,
}

impl Board {
    /// Returns an empty board for pieces of these materials.
    pub(super) fn new(materials: Materials) -> Self {
        Self(Arc::new(Shared {
            sheet: Mutex::default(),
            materials,
            spent: AtomicU64::new(0),
        }))
    }

    /// Returns the materials that pieces may be cut from.
    pub(super) fn materials(&self) -> &Materials {
        &self.0.materials
    }

    pub(super) fn sheet(&self) -> MutexGuard<'_, Sheet> {
        // A panic elsewhere cannot leave a half-made point: every change is one push.
        self.0.sheet.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Adds the cost of a word, in segments of curves.
    pub(super) fn spend(&self, segments: usize) {
        self.0.spent.fetch_add(segments as u64, Relaxed);
    }

    /// Returns the cost of all words so far.
    pub(super) fn spent(&self) -> u64 {
        self.0.spent.load(Relaxed)
    }

    /// Tells whether a solver is at work, so that points and curves are trials.
    fn is_trial(&self) -> bool {
        self.sheet().trying > 0
    }

    /// Puts a point on the board with the step that makes it. A trial is not put there, and its step is not asked
    /// for.
    pub(super) fn put(
        &self,
        at: Point,
        how: impl FnOnce() -> How,
        why: &str,
        source: String,
    ) -> Spot {
        self.spend(limits::STEP);
        let number = (!self.is_trial()).then(|| self.list(at, how(), why, source));
        Spot {
            at,
            number,
            board: self.clone(),
        }
    }

    fn list(&self, at: Point, how: How, why: &str, source: String) -> usize {
        let mut sheet = self.sheet();
        let number = sheet.draft.points.len() + 1;
        sheet.draft.points.push(BoardPoint {
            number,
            name: None,
            at,
            how,
            why: why.to_owned(),
        });
        let makes = Makes::Point(number);
        sheet.draft.steps.push(Step { makes, source });
        number
    }

    /// Draws a curve on the board; returns its number. A trial is not drawn there and has none.
    pub(super) fn draw(
        &self,
        path: &BezPath,
        how: impl FnOnce() -> Drawn,
        source: String,
    ) -> Option<usize> {
        self.spend(limits::STEP + path.elements().len());
        if self.is_trial() {
            return None;
        }
        let how = how();
        let mut sheet = self.sheet();
        let number = sheet.draft.curves.len() + 1;
        sheet.draft.curves.push(BoardCurve {
            number,
            name: None,
            path: path.clone(),
            how,
        });
        let makes = Makes::Curve(number);
        sheet.draft.steps.push(Step { makes, source });
        Some(number)
    }

    /// Notes the points and curves that a piece is drawn by: one of its edges, or a mark or notch.
    pub(super) fn used(&self, piece: PieceId, edge: Option<EdgeId>, made: Vec<Makes>) {
        self.spend(limits::STEP + made.len());
        self.sheet().draft.uses.push(Use { piece, edge, made });
    }

    /// Returns the name of a curve on the board, if it has one.
    pub(super) fn curve_name(&self, number: usize) -> Option<String> {
        let sheet = self.sheet();
        let curve = number
            .checked_sub(1)
            .and_then(|i| sheet.draft.curves.get(i))?;
        curve.name.clone()
    }

    /// Gives a curve its name.
    pub(super) fn name_curve(&self, number: usize, name: &str) {
        let mut sheet = self.sheet();
        if let Some(curve) = number
            .checked_sub(1)
            .and_then(|i| sheet.draft.curves.get_mut(i))
        {
            curve.name = Some(name.to_owned());
        }
    }

    /// Gives a point its name.
    pub(super) fn name(&self, number: usize, name: &str) {
        let mut sheet = self.sheet();
        if let Some(point) = number
            .checked_sub(1)
            .and_then(|i| sheet.draft.points.get_mut(i))
        {
            point.name = Some(name.to_owned());
        }
    }
}

impl Spot {
    /// Returns how messages refer to the point: its number, or a dash for a trial.
    pub(super) fn label(&self) -> String {
        self.number
            .map_or_else(|| "–".to_owned(), |number| number.to_string())
    }

    /// Returns the number of the point for a step that is made from it. A trial that a script has kept after its
    /// solver was done begins there, at its place.
    pub(super) fn chalked(&self, source: &str) -> usize {
        let begin = || {
            let how = How::Start(self.at);
            self.board.list(self.at, how, "", source.to_owned())
        };
        self.number.unwrap_or_else(begin)
    }

    /// Puts another point on the same board.
    pub(super) fn put(
        &self,
        at: Point,
        how: impl FnOnce() -> How,
        why: &str,
        source: String,
    ) -> Self {
        self.board.put(at, how, why, source)
    }
}
