//! Lays the part of a piece between two of its lines between two lines of a view, row by row.

use super::mesh::{Mesh, SLIVER, all_one_way};
use super::patch::Corner;
use kurbo::Point;
use std::f64::consts::FRAC_PI_2;

/// A point of a piece with its place in the view.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    /// Its place on the piece.
    pub on: Point,
    /// Its place in the view.
    pub at: Point,
}

/// How the surface curves from the first line to the second.
#[derive(Debug, Clone, Copy)]
pub(super) enum Section {
    /// It is flat, and catches so much light at either line.
    Flat(f64, f64),
    /// It is part of a tube between two angles from the direction of the viewer, radians: what lies between is
    /// foreshortened towards the edge of the tube.
    Tube(f64, f64),
}

impl Section {
    /// Returns the share of the way across the view at a share of the way across the piece, and the light there.
    fn at(self, part: f64) -> (f64, f64) {
        match self {
            Self::Flat(a, b) => (part, a + (b - a) * part),
            Self::Tube(a, b) => {
                let (a, b) = (
                    a.clamp(-FRAC_PI_2, FRAC_PI_2),
                    b.clamp(-FRAC_PI_2, FRAC_PI_2),
                );
                let turn = a + (b - a) * part;
                let wide = b.sin() - a.sin();
                let share = if wide.abs() > 1e-9 {
                    (turn.sin() - a.sin()) / wide
                } else {
                    part
                };
                (share, turn.cos().max(0.0))
            }
        }
    }
}

/// Divides what lies between two lines into `across` columns; both lines have as many points, and each row is
/// curved by its own section.
pub(super) fn ruled(
    first: &[Spot],
    second: &[Spot],
    across: usize,
    section: impl Fn(usize) -> Section,
) -> Mesh {
    let (mut corners, mut triangles) = (Vec::new(), Vec::new());
    for (row, (a, b)) in first.iter().zip(second).enumerate() {
        let section = section(row);
        corners.extend((0..=across).map(|i| {
            let part = i as f64 / across as f64;
            let (share, light) = section.at(part);
            Corner {
                at: a.at.lerp(b.at, share),
                on: a.on.lerp(b.on, part),
                light,
            }
        }));
    }
    let rows = first.len().min(second.len());
    let corner = |row: usize, column: usize| (row * (across + 1) + column) as u32;
    for row in 1..rows {
        for column in 0..across {
            let [a, b] = [corner(row - 1, column), corner(row - 1, column + 1)];
            let [c, d] = [corner(row, column), corner(row, column + 1)];
            triangles.extend([[a, b, d], [a, d, c]]);
        }
    }
    // Where both lines touch, a triangle has no area.
    triangles.retain(|t| {
        let [a, b, c] = t.map(|i| corners[i as usize].at);
        (b - a).cross(c - a).abs() > SLIVER
    });
    all_one_way(&corners, &mut triangles);
    (corners, triangles)
}

/// Returns `count` + 1 points at equal distances along a line through points.
pub(super) fn spaced(line: &[Point], count: usize) -> Vec<Point> {
    let whole: f64 = line.windows(2).map(|p| p[0].distance(p[1])).sum();
    (0..=count)
        .map(|i| along(line, whole * i as f64 / count as f64))
        .collect()
}

/// Returns the point so far along a line through points; beyond it, its end.
pub(super) fn along(line: &[Point], far: f64) -> Point {
    let mut left = far.max(0.0);
    for pair in line.windows(2) {
        let long = pair[0].distance(pair[1]);
        if left <= long && long > 0.0 {
            return pair[0].lerp(pair[1], left / long);
        }
        left -= long;
    }
    line.last().copied().unwrap_or_default()
}

/// Pairs points of a piece with their places.
pub(super) fn spots(on: &[Point], at: &[Point]) -> Vec<Spot> {
    let pairs = on.iter().zip(at);
    pairs
        .map(|(from, to)| Spot { on: *from, at: *to })
        .collect()
}
