//! Shapes: outlines in one orientation, on a grid.

use super::contour::{Contour, bounds, on_grid, signed_area, straighten};
use kurbo::{Affine, Point, Vec2};

/// Corners closer than this are one corner, mm.
pub(super) const SAME: f64 = 1e-3;

/// An outline in one orientation, moved so that its box starts at the origin.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    /// The contours that bound it, counter-clockwise (x right, y up). Mostly it is one, with its holes reached
    /// over cuts.
    pub contours: Vec<Contour>,
    /// Extent across and along the cloth.
    pub size: Vec2,
    /// Area in mm².
    pub area: f64,
    /// Index of the shape of which this is a turned or mirrored copy; its own if it is none.
    pub base: usize,
    /// How it is turned or mirrored: the sign of each axis about the centre of the box.
    pub flip: Vec2,
}

impl Shape {
    /// Moves contours by `turned`, then so that their box starts at the origin. Returns the shape with the
    /// whole movement. The box is that of the net outline grown by half the gap, which the chords of rounded
    /// corners do not quite reach.
    pub(super) fn new(
        contours: &[Contour],
        turned: Affine,
        net: &[Point],
        gap: f64,
    ) -> (Self, Affine) {
        let mut contours: Vec<Contour> = contours
            .iter()
            .map(|c| c.iter().map(|&p| turned * p).collect())
            .collect();
        let net: Contour = net.iter().map(|&p| turned * p).collect();
        let bounds = bounds(&net).inset(gap / 2.0);
        let shift = -bounds.origin().to_vec2();
        for contour in &mut contours {
            for p in contour.iter_mut() {
                *p = on_grid(*p + shift);
            }
            straighten(contour);
        }
        contours.retain(|contour| contour.len() > 2);
        for contour in &mut contours {
            if signed_area(contour) < 0.0 {
                contour.reverse();
            }
        }
        let area = contours.iter().map(|c| signed_area(c)).sum();
        let size = on_grid(bounds.size().to_vec2().to_point()).to_vec2();
        let shape = Self {
            contours,
            size,
            area,
            base: 0,
            flip: Vec2::new(1.0, 1.0),
        };
        (shape, Affine::translate(shift) * turned)
    }

    /// Returns the shape turned over about the centre of its box, by the sign of each axis.
    pub(super) fn flipped(&self, flip: Vec2) -> Self {
        let turn = |size: f64, sign: f64, at: f64| if sign < 0.0 { size - at } else { at };
        let contours = self.contours.iter().map(|contour| {
            let mut turned: Contour = contour
                .iter()
                .map(|p| {
                    Point::new(
                        turn(self.size.x, flip.x, p.x),
                        turn(self.size.y, flip.y, p.y),
                    )
                })
                .collect();
            if flip.x * flip.y < 0.0 {
                turned.reverse();
            }
            turned
        });
        Self {
            contours: contours.collect(),
            ..*self
        }
    }

    /// Whether two shapes have as many corners and the same size.
    pub(super) fn is_alike(&self, other: &Self) -> bool {
        let corners = self.contours.iter().map(Vec::len);
        (self.size - other.size).hypot2() < SAME * SAME
            && corners.eq(other.contours.iter().map(Vec::len))
    }

    /// Whether two shapes have the same corners. Their contours may start at different ones.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        self.is_alike(other)
            && self.contours.iter().zip(&other.contours).all(|(a, b)| {
                a.len() == b.len()
                    && (0..b.len()).any(|start| {
                        let round = b[start..].iter().chain(&b[..start]);
                        a.iter().zip(round).all(|(p, q)| (*p - *q).hypot() < SAME)
                    })
            })
    }
}
