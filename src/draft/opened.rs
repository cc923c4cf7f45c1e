//! Pieces that are drafted as a half and cut whole: an edge of the half lies on the fold, and there is no seam.

use super::ids::EdgeId;
use super::piece::{Count, DraftEdge, DraftNotch, DraftPiece, Mark};
use crate::geometry::{end, length, start};
use kurbo::{Affine, PathEl, Point, Vec2};

/// Greatest distance, mm, of a point that counts as on the fold.
const ON_IT: f64 = 0.01;

impl DraftPiece {
    /// Returns the piece as it is cut, both halves in one, or `None` for a piece that is not cut so. Its edges begin
    /// behind the fold and run round both halves; those of the other half are named so.
    pub fn opened(&self) -> Option<Self> {
        let fold = &self[self.opens?];
        let (from, to) = (start(&fold.path)?, end(&fold.path)?);
        let over = Affine::reflect(from, to - from);
        let kept = self.after_the_fold();
        let half: Vec<&DraftEdge> = kept.iter().map(|id| &self[*id]).collect();
        let mut edges: Vec<DraftEdge> = half.iter().map(|edge| self.moved(edge, &kept)).collect();
        for (place, edge) in half.iter().enumerate().rev() {
            let before = place.checked_sub(1).and_then(|before| half.get(before));
            edges.push(DraftEdge {
                name: format!("other {}", edge.name),
                path: (over * &edge.path).reverse_subpaths(),
                part_of: edge.part_of.and_then(|of| self.mirrored(of, &kept)),
                // The corner where it ends is the one at which the edge begins.
                turns_in: before.is_some_and(|before| before.turns_in),
                ..(*edge).clone()
            });
        }
        let notches = self.notches.iter().filter_map(|notch| {
            let (edge, other) = (
                self.place(notch.edge, &kept)?,
                self.mirrored(notch.edge, &kept)?,
            );
            let long = length(&self[notch.edge].path);
            let own = DraftNotch {
                edge,
                ..notch.clone()
            };
            let far = DraftNotch {
                edge: other,
                at: long - notch.at,
                ..notch.clone()
            };
            Some([own, far])
        });
        let notches = notches.flatten().collect();
        Some(Self {
            count: match self.count {
                Count::Pairs(n) | Count::Alike(n) => Count::Alike(n),
            },
            marks: self
                .marks
                .iter()
                .flat_map(|mark| doubled(mark, over, (from, to)))
                .collect(),
            edges,
            notches,
            fold: Some((from, to)),
            opens: None,
            bias: None,
            seen: None,
            ..self.clone()
        })
    }

    /// Lists the edges from behind the fold round to it.
    fn after_the_fold(&self) -> Vec<EdgeId> {
        let (count, fold) = (self.edges.len(), self.opens.map_or(0, |fold| fold.0));
        (1..count)
            .map(|step| EdgeId((fold + step) % count))
            .collect()
    }

    /// Returns an edge with its references brought to the edges as they are kept.
    fn moved(&self, edge: &DraftEdge, kept: &[EdgeId]) -> DraftEdge {
        let part_of = edge.part_of.and_then(|of| self.place(of, kept));
        DraftEdge {
            part_of,
            ..edge.clone()
        }
    }

    /// Returns the place of an edge among those that are kept.
    fn place(&self, edge: EdgeId, kept: &[EdgeId]) -> Option<EdgeId> {
        kept.iter().position(|id| *id == edge).map(EdgeId)
    }

    /// Returns the place of the other half's edge for one of this half.
    fn mirrored(&self, edge: EdgeId, kept: &[EdgeId]) -> Option<EdgeId> {
        let place = self.place(edge, kept)?;
        Some(EdgeId(2 * kept.len() - 1 - place.0))
    }
}

/// Returns a mark and the same on the other half; one that lies on the fold is there once.
fn doubled(mark: &Mark, over: Affine, (from, to): (Point, Point)) -> Vec<Mark> {
    let along: Vec2 = (to - from).normalize();
    let off = |at: Point| along.cross(at - from).abs();
    let elements = mark.path.elements().iter();
    let mut ends = elements.filter_map(PathEl::end_point);
    if ends.all(|at| off(at) < ON_IT) {
        return vec![mark.clone()];
    }
    let path = over * &mark.path;
    let side = mark.side.map(crate::order::Side::other);
    vec![
        mark.clone(),
        Mark {
            path,
            side,
            ..mark.clone()
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::joined;
    use crate::order::{House, Material, Materials};
    use kurbo::{BezPath, Shape};

    fn cloth() -> Material {
        let house = House::built_in().unwrap();
        Materials::built_in(&house).unwrap().cloth().clone()
    }

    #[test]
    fn a_half_is_cut_in_one_with_its_other() {
        let corners = [(0.0, 0.0), (40.0, 10.0), (50.0, 100.0), (0.0, 100.0)];
        let mut half = DraftPiece::new("back", cloth(), "s".to_owned());
        for (i, name) in ["neck", "side", "hem", "centre"].iter().enumerate() {
            let mut path = BezPath::new();
            path.move_to(corners[i]);
            path.line_to(corners[(i + 1) % 4]);
            half.edges.push(DraftEdge {
                name: (*name).to_owned(),
                path,
                allowance: "seam".to_owned(),
                turns: 0,
                part_of: None,
                turns_in: *name == "neck",
                source: "s".to_owned(),
            });
        }
        half.notches.push(DraftNotch {
            name: "waist".to_owned(),
            edge: EdgeId(1),
            at: 20.0,
        });
        half.opens = Some(EdgeId(3));
        let whole = half.opened().unwrap();
        let names: Vec<&str> = whole.edges.iter().map(|edge| edge.name.as_str()).collect();
        assert_eq!(
            names,
            [
                "neck",
                "side",
                "hem",
                "other hem",
                "other side",
                "other neck"
            ]
        );
        let turns: Vec<bool> = whole.edges.iter().map(|edge| edge.turns_in).collect();
        assert_eq!(turns, [true, false, false, false, true, false]);
        let outline = joined(whole.edges.iter().map(|edge| &edge.path), 0.01);
        let of_half = joined(half.edges.iter().map(|edge| &edge.path), 0.01);
        assert!((outline.area().abs() - 2.0 * of_half.area().abs()).abs() < 1e-9);
        assert_eq!(whole.count, Count::Alike(1));
        let at = |n: usize| {
            crate::geometry::point_at(&whole[whole.notches[n].edge].path, whole.notches[n].at)
        };
        assert!((at(0).x + at(1).x).abs() < 1e-9 && (at(0).y - at(1).y).abs() < 1e-9);
        assert!(
            DraftPiece::new("front", cloth(), "s".to_owned())
                .opened()
                .is_none()
        );
    }
}
