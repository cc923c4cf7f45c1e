//! Halves of pieces that are cut on the folded edge of the cloth, through both plies.

use super::types::Piece;
use crate::draft::{Mark, MarkKind};
use crate::geometry::{joined, length, line_crossings, line_inside, nearest, point_at, sub_path};
use kurbo::{Affine, BezPath, Point, Vec2};

/// Greatest distance, mm, of a point that counts as on the fold.
const ON_IT: f64 = 0.1;

/// The line of a fold and the side of it that is kept.
struct Fold {
    from: Point,
    along: Vec2,
    side: f64,
}

impl Piece {
    /// Returns the half of a piece on the fold that is cut: the one on the side on which `beside` lies. Its seam
    /// and cut lines are open, from the fold round to the fold, and the fold is a mark.
    ///
    /// Returns `None` for a piece that is not cut on the fold, or whose outline crosses it more than twice.
    pub fn half(&self, beside: Point) -> Option<Self> {
        let (from, to) = self.fold?;
        let mut fold = Fold {
            from,
            along: (to - from).normalize(),
            side: 1.0,
        };
        fold.side = fold.out(beside).signum();
        let (cut, ends) = fold.half_round(&self.cut)?;
        let (seam, _) = fold.half_round(&self.seam)?;
        let kept = |at: Point| fold.out(at) > -ON_IT;
        let clipped = |path: &BezPath| fold.kept_of(path);
        let marks = self.marks.iter().flat_map(|mark| {
            clipped(&mark.path).into_iter().map(|path| Mark {
                path,
                ..mark.clone()
            })
        });
        let mut line = BezPath::new();
        line.move_to(ends.0);
        line.line_to(ends.1);
        let on_fold = Mark {
            name: "on the fold".to_owned(),
            kind: MarkKind::Fold,
            side: None,
            path: line,
        };
        Some(Self {
            marks: std::iter::once(on_fold).chain(marks).collect(),
            notches: self
                .notches
                .iter()
                .filter(|notch| kept(notch.cut))
                .cloned()
                .collect(),
            inlays: self.inlays.iter().flat_map(clipped).collect(),
            grain: line_inside(&seam, self.grain),
            seam,
            cut,
            ..self.clone()
        })
    }
}

impl Fold {
    /// Returns the distance of a point from the fold, positive on the side that is kept.
    fn out(&self, p: Point) -> f64 {
        self.along.cross(p - self.from) * self.side.signum()
    }

    /// Returns the half of a closed line on the side that is kept, with its two ends on the fold.
    fn half_round(&self, closed: &BezPath) -> Option<(BezPath, (Point, Point))> {
        let mut at = line_crossings(closed, self.from, self.along);
        // A line that begins on the fold ends there as well.
        if let (Some(first), Some(last)) = (at.first().copied(), at.last())
            && at.len() > 2
            && first.point.distance(last.point) < ON_IT
        {
            at.pop();
        }
        let [first, second] = at.as_slice() else {
            return None;
        };
        let long = length(closed);
        let inner = sub_path(closed, first.a, second.a);
        let kept = if self.out(point_at(closed, 0.5 * (first.a + second.a))) > 0.0 {
            inner
        } else {
            let rest = [
                sub_path(closed, second.a, long),
                sub_path(closed, 0.0, first.a),
            ];
            joined(&rest, ON_IT)
        };
        Some((kept, (first.point, second.point)))
    }

    /// Returns the stretches of an open line, or the point, on the side that is kept.
    fn kept_of(&self, path: &BezPath) -> Vec<BezPath> {
        let long = length(path);
        if long < ON_IT {
            let here = crate::geometry::start(path).is_some_and(|at| self.out(at) > -ON_IT);
            return here.then(|| path.clone()).into_iter().collect();
        }
        let crossed = line_crossings(path, self.from, self.along);
        let mut ends = vec![0.0];
        ends.extend(crossed.iter().map(|crossing| crossing.a));
        ends.push(long);
        ends.windows(2)
            .filter(|ends| ends[1] - ends[0] > ON_IT)
            .filter(|ends| self.out(point_at(path, 0.5 * (ends[0] + ends[1]))) > 0.0)
            .map(|ends| sub_path(path, ends[0], ends[1]))
            .collect()
    }
}

/// Measures how far the two sides of a piece differ, mm: from the cut line to the cut line turned over about
/// the fold. It is infinite where the fold does not cross the cut line twice.
pub(super) fn difference(piece: &Piece, (from, to): (Point, Point)) -> f64 {
    let over = Affine::reflect(from, to - from);
    let beside = from + Vec2::new(-(to - from).y, (to - from).x);
    if piece.half(beside).is_none() {
        return f64::INFINITY;
    }
    let corners = crate::geometry::flattened(&piece.cut, ON_IT);
    corners
        .iter()
        .map(|&corner| nearest(&piece.cut, over * corner).distance)
        .fold(0.0, f64::max)
}
