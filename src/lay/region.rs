//! A no-fit region prepared for asking how deep a point lies in it.

use super::shape::{Contour, edges};
use kurbo::{Point, Vec2};

/// Cells across and along the box of a region.
const CELLS: usize = 32;

/// Where one shape may not stand, seen from another: both are named by the centres of their boxes,
/// so that the region's own box is centred on the origin.
///
/// Its box is divided into cells; each knows which edges can be the nearest to a point in it, so
/// that the exact distance to the boundary costs a few edges.
#[derive(Debug)]
pub struct Region {
    /// Its boundary.
    pub contours: Vec<Contour>,
    half: Vec2,
    scale: Vec2,
    edges: Vec<Edge>,
    cells: Vec<Cell>,
    near: Vec<u16>,
}

#[derive(Debug, Clone, Copy)]
struct Edge {
    from: Point,
    to: Point,
    along: Vec2,
    /// 1 over its squared length.
    inverse: f64,
}

#[derive(Debug, Clone, Copy)]
struct Cell {
    first: u32,
    count: u16,
    /// Whether the boundary runs through it.
    mixed: bool,
    /// Whether its anchor lies inside.
    inside: bool,
}

/// The shortest way out of a region.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Out {
    /// Distance to the boundary: positive inside, negative outside.
    pub depth: f64,
    /// The direction out, of length 1 (from outside: away from the region).
    pub toward: Vec2,
}

impl Region {
    /// Prepares a region with its box centred on the origin.
    pub fn new(contours: Vec<Contour>, half: Vec2) -> Self {
        let edges: Vec<Edge> = contours
            .iter()
            .flat_map(|c| edges(c))
            .filter(|(p, q)| (*q - *p).hypot2() > 0.0)
            .map(|(p, q)| Edge {
                from: p,
                to: q,
                along: q - p,
                inverse: 1.0 / (q - p).hypot2(),
            })
            .take(usize::from(u16::MAX))
            .collect();
        let scale = Vec2::new(CELLS as f64 / (2.0 * half.x), CELLS as f64 / (2.0 * half.y));
        let mut region = Region {
            contours,
            half,
            scale,
            edges,
            cells: Vec::with_capacity(CELLS * CELLS),
            near: Vec::new(),
        };
        let reach = Vec2::new(0.5 / scale.x, 0.5 / scale.y).hypot();
        let mut distances = vec![0.0; region.edges.len()];
        for row in 0..CELLS {
            for column in 0..CELLS {
                region.add_cell(region.centre(column, row), reach, &mut distances);
            }
        }
        region
    }

    fn centre(&self, column: usize, row: usize) -> Point {
        Point::new(
            (column as f64 + 0.5) / self.scale.x - self.half.x,
            (row as f64 + 0.5) / self.scale.y - self.half.y,
        )
    }

    /// The point of a cell of which it is known whether it lies inside: a little off the centre, so
    /// that no boundary drawn on round numbers runs through it.
    fn anchor(&self, centre: Point) -> Point {
        centre + Vec2::new(0.137_15 / self.scale.x, 0.091_73 / self.scale.y)
    }

    fn add_cell(&mut self, centre: Point, reach: f64, distances: &mut [f64]) {
        let mut least = f64::INFINITY;
        let mut inside = false;
        let anchor = self.anchor(centre);
        for (edge, distance) in self.edges.iter().zip(distances.iter_mut()) {
            *distance = edge.nearest(centre).hypot();
            least = least.min(*distance);
            if (edge.from.y > anchor.y) != (edge.to.y > anchor.y) {
                let x = edge.from.x + edge.along.x * (anchor.y - edge.from.y) / edge.along.y;
                inside ^= x > anchor.x;
            }
        }
        let mixed = least <= reach * 1.000_001;
        let first = self.near.len() as u32;
        if mixed || inside {
            let far = least + 2.0 * reach * 1.000_001;
            let near = distances.iter().enumerate().filter(|(_, d)| **d <= far);
            self.near.extend(near.map(|(index, _)| index as u16));
        }
        self.cells.push(Cell {
            first,
            count: (self.near.len() as u32 - first) as u16,
            mixed,
            inside,
        });
    }

    /// How far inside the region a point lies; 0 or less outside. Far outside, no distance is told.
    pub fn depth(&self, p: Point) -> f64 {
        self.find(p)
            .map_or(f64::NEG_INFINITY, |(distance2, inside, _)| {
                let distance = distance2.sqrt();
                if inside { distance } else { -distance }
            })
    }

    /// The shortest way out for a point inside the region or close to it.
    pub fn out(&self, p: Point) -> Option<Out> {
        let (distance2, inside, step) = self.find(p)?;
        let distance = distance2.sqrt();
        if distance < 1e-9 {
            return None;
        }
        let (depth, sign) = if inside {
            (distance, 1.0)
        } else {
            (-distance, -1.0)
        };
        Some(Out {
            depth,
            toward: step * (sign / distance),
        })
    }

    /// Squared distance to the boundary, whether the point is inside, and the step to the boundary;
    /// `None` in a cell that is wholly outside.
    fn find(&self, p: Point) -> Option<(f64, bool, Vec2)> {
        let column = (p.x + self.half.x) * self.scale.x;
        let row = (p.y + self.half.y) * self.scale.y;
        if column < 0.0 || row < 0.0 {
            return None;
        }
        let (column, row) = (column as usize, row as usize);
        if column >= CELLS || row >= CELLS {
            return None;
        }
        let cell = self.cells[row * CELLS + column];
        if cell.count == 0 {
            return None;
        }
        let first = cell.first as usize;
        let near = &self.near[first..first + usize::from(cell.count)];
        let mut best = (f64::INFINITY, Vec2::ZERO);
        if !cell.mixed {
            for &index in near {
                let step = self.edges[usize::from(index)].nearest(p);
                let distance2 = step.hypot2();
                if distance2 < best.0 {
                    best = (distance2, step);
                }
            }
            return Some((best.0, cell.inside, best.1));
        }
        // The line from the cell's anchor crosses the boundary only at edges near the cell.
        let anchor = self.anchor(self.centre(column, row));
        let ray = p - anchor;
        let mut inside = cell.inside;
        for &index in near {
            let edge = &self.edges[usize::from(index)];
            let step = edge.nearest(p);
            let distance2 = step.hypot2();
            if distance2 < best.0 {
                best = (distance2, step);
            }
            let from = edge.from - anchor;
            let sides = (ray.cross(from), ray.cross(edge.to - anchor));
            if (sides.0 > 0.0) != (sides.1 > 0.0) {
                // Whether the anchor and the point lie on different sides of the edge.
                let anchor_side = from.cross(edge.along);
                let point_side = (from - ray).cross(edge.along);
                inside ^= (anchor_side > 0.0) != (point_side > 0.0);
            }
        }
        Some((best.0, inside, best.1))
    }
}

impl Edge {
    /// The step from a point to the nearest point of the edge.
    fn nearest(&self, p: Point) -> Vec2 {
        let from = p - self.from;
        let t = (from.dot(self.along) * self.inverse).clamp(0.0, 1.0);
        self.along * t - from
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Line, ParamCurveNearest};

    /// Inside and distance by the plain sums over all edges, against those over a cell's few.
    #[test]
    fn depth_is_the_distance_to_the_whole_boundary() {
        let star: Contour = (0..14)
            .map(|i| {
                let radius = if i % 2 == 0 {
                    100.0
                } else {
                    40.0 + f64::from(i)
                };
                Point::ZERO + Vec2::from_angle(f64::from(i) / 14.0 * std::f64::consts::TAU) * radius
            })
            .collect();
        let hole: Contour = [(5.0, 5.0), (5.0, 15.0), (15.0, 15.0), (15.0, 5.0)]
            .map(Point::from)
            .to_vec();
        let contours = vec![star, hole];
        let region = Region::new(contours.clone(), Vec2::new(100.0, 98.0));
        let mut asked = 0;
        for i in 0..199 {
            for j in 0..197 {
                let p = Point::new(f64::from(i) - 99.3, f64::from(j) - 97.7);
                let (mut least, mut inside) = (f64::INFINITY, false);
                for (a, b) in contours.iter().flat_map(|c| edges(c)) {
                    least = least.min(Line::new(a, b).nearest(p, 1e-9).distance_sq.sqrt());
                    inside ^= (a.y > p.y) != (b.y > p.y)
                        && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y);
                }
                let depth = region.depth(p);
                if inside {
                    assert!((depth - least).abs() < 1e-9, "{p}: {depth}, not {least}");
                    asked += 1;
                } else {
                    assert!(depth <= 1e-9, "{p}: {depth} outside");
                }
            }
        }
        assert!(asked > 5000);
    }
}
