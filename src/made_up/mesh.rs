//! Divides a part of a piece into triangles and moves their corners to where they are seen.
//!
//! The part is cut into bands between levels and the bands into cells, so small that a map which is curved
//! is nearly straight across each. Cells that the outline cuts are tessellated by `lyon`.

use super::patch::Corner;
use kurbo::{Point, Vec2};
use lyon::math::point;
use lyon::path::Path;
use lyon::tessellation::{BuffersBuilder, FillOptions, FillTessellator, FillVertex, VertexBuffers};
use std::collections::BTreeMap;

/// Size of a cell, mm: across it the section of a trunk is straight to 0.2 mm.
const CELL: f64 = 16.0;
/// Least area of a triangle that is kept, mm²: of those that are smaller nothing is seen.
pub(super) const SLIVER: f64 = 1e-4;

/// Greatest area of a triangle that may turn over and is left out, mm².
const BENT: f64 = 3.0;

/// Where a point of a piece is seen.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    /// Its place in the view.
    pub at: Point,
    /// The light that it catches, see [`Corner::light`].
    pub light: f64,
    /// Whether it is on the near side of the figure. A point beyond the silhouette is placed just outside it.
    pub seen: bool,
}

/// Strips of a piece that are sewn or folded away, as darts and pleats are: the x of both edges of each at a
/// level, from left to right, as many at every level.
pub(super) type Gaps<'a> = &'a dyn Fn(f64) -> Vec<(f64, f64)>;

/// Corners and triangles.
pub(super) type Mesh = (Vec<Corner>, Vec<[u32; 3]>);

/// Divides what a closed outline holds, less its gaps, and places it by a map. Triangles that are wholly on the
/// far side of the figure are left out.
pub(super) fn meshed(outline: &[Point], gaps: Gaps, map: impl Fn(Point) -> Placed) -> Mesh {
    let Some(columns) = Columns::new(outline, gaps) else {
        return Mesh::default();
    };
    let mut mesh = Building::new(map);
    let mut rest = outline.to_vec();
    let rows = (columns.height / CELL).ceil().max(1.0);
    let level = |row: f64| columns.top + columns.height * row / rows;
    for row in 0..rows as usize {
        let (y0, y1) = (level(row as f64), level(row as f64 + 1.0));
        let (band, below) = split(&rest, Point::new(0.0, y1), Vec2::new(-1.0, 0.0));
        rest = below;
        columns.cells(band, (y0, y1), &mut |cell| mesh.add(cell));
    }
    mesh.done()
}

/// Divides a polygon by a line: what is on its right hand as seen along `way` with y down, and what is on its
/// left. A polygon that is not convex may come out with edges that run back on themselves along the line.
pub(super) fn split(polygon: &[Point], on: Point, way: Vec2) -> (Vec<Point>, Vec<Point>) {
    let side = |p: Point| way.cross(p - on);
    let (mut right, mut left) = (Vec::new(), Vec::new());
    for (i, p) in polygon.iter().enumerate() {
        let q = polygon[(i + 1) % polygon.len()];
        let (a, b) = (side(*p), side(q));
        if a >= 0.0 {
            right.push(*p);
        }
        if a <= 0.0 {
            left.push(*p);
        }
        if a * b < 0.0 {
            let cut = p.lerp(q, a / (a - b));
            right.push(cut);
            left.push(cut);
        }
    }
    (right, left)
}

/// The lines that divide bands into cells. They run along the edges of gaps, and beside them.
struct Columns<'a> {
    top: f64,
    height: f64,
    left: f64,
    /// Number of columns before the first gap, between two, and after the last.
    counts: Vec<usize>,
    gaps: Gaps<'a>,
}

impl<'a> Columns<'a> {
    fn new(outline: &[Point], gaps: Gaps<'a>) -> Option<Self> {
        let first = outline.first()?;
        let start = kurbo::Rect::from_points(*first, *first);
        let bounds = outline.iter().fold(start, |box_, p| box_.union_pt(*p));
        let count = |long: f64| (long / CELL).ceil().max(1.0) as usize;
        let levels = [0.0, 0.25, 0.5, 0.75, 1.0].map(|part| bounds.y0 + part * bounds.height());
        let number = gaps(bounds.y0).len();
        let counts = (0..=number).map(|i| {
            let widths = levels.map(|y| {
                let at = gaps(y);
                let from = if i == 0 { bounds.x0 } else { at[i - 1].1 };
                let to = if i == number { bounds.x1 } else { at[i].0 };
                to - from
            });
            count(widths.into_iter().fold(0.0, f64::max))
        });
        Some(Self {
            top: bounds.y0,
            height: bounds.height(),
            left: bounds.x0,
            counts: counts.collect(),
            gaps,
        })
    }

    /// Returns the x of every line at a level, each with whether a gap begins there.
    fn at(&self, y: f64) -> Vec<(f64, bool)> {
        let gaps = (self.gaps)(y);
        let mut lines = Vec::new();
        // The first lines are counted back from the first gap, the last ones on from the last.
        let mut from = match gaps.first() {
            Some((first, _)) => first - CELL * self.counts[0] as f64,
            None => self.left,
        };
        for (i, count) in self.counts.iter().enumerate() {
            let step = match gaps.get(i) {
                Some((to, _)) => (to - from) / *count as f64,
                None => CELL,
            };
            let own = (0..=*count).map(|k| (from + step * k as f64, false));
            lines.extend(own);
            if let (Some((_, to)), Some(last)) = (gaps.get(i), lines.last_mut()) {
                last.1 = true;
                from = *to;
            }
        }
        lines
    }

    /// Hands out the cells of a band between two levels.
    fn cells(&self, band: Vec<Point>, (y0, y1): (f64, f64), give: &mut dyn FnMut(&[Point])) {
        let (above, below) = (self.at(y0), self.at(y1));
        let mut rest = band;
        let mut gap = false;
        for ((top, begins), (foot, _)) in above.iter().zip(&below) {
            if rest.len() < 3 {
                return;
            }
            let on = Point::new(*top, y0);
            let way = Point::new(*foot, y1) - on;
            let (cell, onward) = split(&rest, on, way);
            if !gap && cell.len() > 2 {
                give(&cell);
            }
            rest = onward;
            gap = *begins;
        }
        if rest.len() > 2 {
            give(&rest);
        }
    }
}

/// A mesh that is being made.
struct Building<M> {
    map: M,
    corners: Vec<Corner>,
    seen: Vec<bool>,
    triangles: Vec<[u32; 3]>,
    /// The corner that stands for each place on the piece, in thousandths of a mm.
    known: BTreeMap<(i64, i64), u32>,
    tessellator: FillTessellator,
}

impl<M: Fn(Point) -> Placed> Building<M> {
    fn new(map: M) -> Self {
        Self {
            map,
            corners: Vec::new(),
            seen: Vec::new(),
            triangles: Vec::new(),
            known: BTreeMap::new(),
            tessellator: FillTessellator::new(),
        }
    }

    /// Adds one cell.
    fn add(&mut self, cell: &[Point]) {
        if is_convex(cell) {
            for i in 1..cell.len() - 1 {
                self.triangle([cell[0], cell[i], cell[i + 1]]);
            }
            return;
        }
        let mut path = Path::builder();
        for (i, p) in cell.iter().enumerate() {
            let p = point(p.x as f32, p.y as f32);
            match i {
                0 => {
                    path.begin(p);
                }
                _ => {
                    path.line_to(p);
                }
            }
        }
        path.end(true);
        let mut out: VertexBuffers<Point, u32> = VertexBuffers::new();
        let place = |vertex: FillVertex| {
            let p = vertex.position();
            Point::new(f64::from(p.x), f64::from(p.y))
        };
        let options = FillOptions::non_zero();
        let mut building = BuffersBuilder::new(&mut out, place);
        // A cell that cannot be tessellated leaves a gap of its own size; a polygon that the outline of a
        // proven piece gives always can.
        let built = (self.tessellator).tessellate_path(&path.build(), &options, &mut building);
        if built.is_ok() {
            for t in out.indices.chunks_exact(3) {
                let corner = |i: usize| out.vertices[t[i] as usize];
                self.triangle([corner(0), corner(1), corner(2)]);
            }
        }
    }

    fn triangle(&mut self, on: [Point; 3]) {
        let area = |[a, b, c]: [Point; 3]| (b - a).cross(c - a) / 2.0;
        if area(on).abs() < SLIVER {
            return;
        }
        let corners = on.map(|p| self.corner(p));
        let at = corners.map(|i| self.corners[i as usize].at);
        if area(at).abs() < SLIVER || corners.iter().all(|i| !self.seen[*i as usize]) {
            return;
        }
        let [a, b, c] = corners;
        let turned = area(on) < 0.0;
        self.triangles
            .push(if turned { [a, c, b] } else { [a, b, c] });
    }

    fn corner(&mut self, on: Point) -> u32 {
        let key = ((on.x * 1e3).round() as i64, (on.y * 1e3).round() as i64);
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let placed = (self.map)(on);
        let place = self.corners.len() as u32;
        self.corners.push(Corner {
            at: placed.at,
            on,
            light: placed.light,
        });
        self.seen.push(placed.seen);
        self.known.insert(key, place);
        place
    }

    /// Returns the mesh, without the corners that no triangle uses.
    fn done(self) -> Mesh {
        let mut places = vec![u32::MAX; self.corners.len()];
        let mut corners = Vec::new();
        let mut triangles = self.triangles;
        for corner in triangles.iter_mut().flatten() {
            let place = &mut places[*corner as usize];
            if *place == u32::MAX {
                *place = corners.len() as u32;
                corners.push(self.corners[*corner as usize]);
            }
            *corner = *place;
        }
        all_one_way(&corners, &mut triangles);
        (corners, triangles)
    }
}

/// Makes triangles that turn as their piece turn as is usual in the view, if most of them are mirrored, and leaves
/// out slivers that turn the other way.
pub(super) fn all_one_way(corners: &[Corner], triangles: &mut Vec<[u32; 3]>) {
    let area = |t: &[u32; 3]| {
        let [a, b, c] = t.map(|i| corners[i as usize].at);
        (b - a).cross(c - a) / 2.0
    };
    if triangles.iter().map(area).sum::<f64>() < 0.0 {
        for t in triangles.iter_mut() {
            t.swap(1, 2);
        }
    }
    // A sliver along an edge may turn over where the map bends the other way than the edge does.
    triangles.retain(|t| !(-BENT..=0.0).contains(&area(t)));
}

/// Returns whether a polygon turns one way at every corner.
fn is_convex(polygon: &[Point]) -> bool {
    let count = polygon.len();
    let turn = |i: usize| {
        let [a, b, c] = [i, i + 1, i + 2].map(|k| polygon[k % count]);
        (b - a).cross(c - b)
    };
    let mut way = 0.0;
    for i in 0..count {
        let here = turn(i);
        if here.abs() < 1e-9 {
            // A corner that turns right back lies on an edge that is doubled.
            let [a, b, c] = [i, i + 1, i + 2].map(|k| polygon[k % count]);
            if (b - a).dot(c - b) < 0.0 {
                return false;
            }
        } else if here * way < 0.0 {
            return false;
        } else {
            way = here;
        }
    }
    // A polygon that turns one way may still run round twice; a band's cell is too simple for that.
    true
}
