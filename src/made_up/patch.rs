//! The types of a patch: a part of a piece as it is seen in a view, so that what lies on the piece, as the
//! pattern of its cloth, can be shown where it is seen.

use crate::draft::PieceId;
use crate::order::Side;
use kurbo::Point;

/// A corner of a patch: where a point of a piece is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Its place in the view, mm of the garment: x from the middle of the figure to the viewer's right, y down
    /// from the nape.
    pub at: Point,
    /// Its place on the piece, mm in the coordinates that the piece was drafted in (net).
    pub on: Point,
    /// The light that it catches, 0 to 1: 1 where the surface looks straight at the viewer.
    pub light: f64,
}

/// A part of a piece as it is seen in a view: triangles that map the plane of the piece to the view.
///
/// Both copies of a pair give their points in the coordinates of the one draft, as pieces lie in
/// [`Draft::as_drawn`](crate::draft::Draft::as_drawn). The copy worn on the other side than the piece is
/// drawn for is cut turned over: its cloth is that of the mirrored piece, wherever the lay puts that.
/// [`Patch::side`] tells the copies apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// The piece, by its place in `draft.as_drawn()`, which is that in the draft.
    pub piece: PieceId,
    /// The wearer's side that the copy is worn on; `None` for a piece of the middle.
    pub side: Option<Side>,
    /// Whether the wrong side of the cloth is seen.
    pub wrong_side: bool,
    /// The corners of the triangles.
    pub corners: Vec<Corner>,
    /// The triangles, each by the places of its corners in the list.
    pub triangles: Vec<[u32; 3]>,
}

impl Patch {
    /// Tells of each corner whether it lies on the border of the patch: whether an edge at it belongs to one triangle
    /// alone.
    pub fn on_border(&self) -> Vec<bool> {
        let edges = |[a, b, c]: &[u32; 3]| [(*a, *b), (*b, *c), (*c, *a)];
        let mut all: Vec<(u32, u32)> = self.triangles.iter().flat_map(edges).collect();
        for (a, b) in &mut all {
            if *a > *b {
                std::mem::swap(a, b);
            }
        }
        all.sort_unstable();
        let mut on_border = vec![false; self.corners.len()];
        for same in all.chunk_by(|a, b| a == b).filter(|same| same.len() == 1) {
            for corner in [same[0].0, same[0].1] {
                if let Some(known) = on_border.get_mut(corner as usize) {
                    *known = true;
                }
            }
        }
        on_border
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_of_a_fan_is_not_on_its_border() {
        let corner = |x: f64, y: f64| Corner {
            at: Point::new(x, y),
            on: Point::new(x, y),
            light: 1.0,
        };
        let round = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 0.0)];
        let mut fan = Patch {
            piece: PieceId(0),
            side: None,
            wrong_side: false,
            corners: round.map(|(x, y)| corner(x, y)).to_vec(),
            triangles: vec![[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]],
        };
        assert_eq!(fan.on_border(), [true, true, true, true, false]);
        fan.triangles.pop();
        assert_eq!(fan.on_border(), [true; 5]);
    }
}
