//! An edge of the boundary of a no-fit region: its distance from points and boxes.

use kurbo::{Point, Vec2};

/// An edge, with what its distances are computed from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// From its beginning to its end.
    pub along: Vec2,
    /// 1 over its squared length.
    inverse: f64,
}

impl Edge {
    /// The edge between two points that are not the same.
    pub(super) fn new(from: Point, to: Point) -> Self {
        Self {
            from,
            to,
            along: to - from,
            inverse: 1.0 / (to - from).hypot2(),
        }
    }

    /// Returns the step from a point to the nearest point of the edge.
    pub(super) fn nearest(&self, p: Point) -> Vec2 {
        let from = p - self.from;
        let t = (from.dot(self.along) * self.inverse).clamp(0.0, 1.0);
        self.along * t - from
    }

    /// Returns bounds of the squared distance of the edge from the points of a box: a lower bound, which is 0
    /// where the edge may run through the box, and the greatest distance. Where the lower bound is above
    /// `enough` it is rough, and the greatest is infinite.
    pub(super) fn distances_to_box(&self, centre: Point, half: Vec2, enough: f64) -> (f64, f64) {
        let distance = self.nearest(centre).hypot();
        let reach = half.hypot();
        if distance > reach && (distance - reach).powi(2) > enough {
            return ((distance - reach).powi(2), f64::INFINITY);
        }
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| centre + Vec2::new(half.x * x, half.y * y));
        let (mut least, mut most) = (f64::INFINITY, 0.0);
        let (mut left, mut right) = (false, false);
        for corner in corners {
            let distance2 = self.nearest(corner).hypot2();
            least = distance2.min(least);
            most = distance2.max(most);
            let side = self.along.cross(corner - self.from);
            left |= side >= 0.0;
            right |= side <= 0.0;
        }
        for end in [self.from, self.to] {
            let beside = end - centre;
            let out = Vec2::new(
                (beside.x.abs() - half.x).max(0.0),
                (beside.y.abs() - half.y).max(0.0),
            );
            least = least.min(out.hypot2());
        }
        // Its line runs through the box: the edge may as well.
        if left && right && distance <= reach {
            let beside = |from: f64, to: f64, middle: f64, extent: f64| {
                from.min(to) <= middle + extent && from.max(to) >= middle - extent
            };
            if beside(self.from.x, self.to.x, centre.x, half.x)
                && beside(self.from.y, self.to.y, centre.y, half.y)
            {
                least = 0.0;
            }
        }
        (least, most)
    }
}
