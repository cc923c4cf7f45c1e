//! Paints cloth onto a raster: triangles of it, within an outline.

use super::colour::{Colour, Light};
use super::picture::Picture;
use super::texture::Texture;
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};
use resvg::tiny_skia::{FillRule, Mask, PathBuilder, Stroke, Transform};
use std::ops::Range;

/// A raster that is painted on, white at first.
#[derive(Debug, Clone, PartialEq)]
pub struct Canvas {
    width: usize,
    height: usize,
    pixels: Vec<Light>,
}

/// A corner of a triangle of cloth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Its place on the canvas, in pixels.
    pub at: Point,
    /// Its place on the cloth, in mm from a bar of the pattern.
    pub on: Point,
    /// What its colour is multiplied by.
    pub light: f64,
}

/// The largest canvas, in pixels: 60 by 60 cm at 150 dpi.
const LARGEST: usize = 12_600_000;

/// The distance beyond its edges to which a triangle is painted where no other is, in pixels, so that no hair of the
/// ground shows between the outline and the triangles, which are straight where it is round.
const BEYOND: f64 = 1.5;

/// The same where other triangles meet its edges, so that no pixel is lost to rounding between two of them.
const HAIR: f64 = 1e-6;

/// The most light of what is painted: white itself is where nothing is, so that the paper can be seen there.
const NEARLY_WHITE: f32 = 0.99;

/// Width of the edge that is painted along an outline, in pixels: regions that meet overlap by it, so that the paper
/// does not shine through between them.
const OVERLAP: f32 = 1.0;

impl Canvas {
    /// Makes a white canvas; `None` if it has no pixels or too many.
    pub fn new(width: usize, height: usize) -> Option<Self> {
        let all = width.checked_mul(height)?;
        (1..=LARGEST).contains(&all).then(|| Self {
            width,
            height,
            pixels: vec![[1.0; 3]; all],
        })
    }

    /// Returns what is painted.
    pub fn picture(&self) -> Picture {
        let mut levels = vec![0; 3 * self.pixels.len()];
        for (pixel, light) in levels.chunks_exact_mut(3).zip(&self.pixels) {
            pixel.copy_from_slice(&Colour::of(*light).0);
        }
        Picture::new(self.width, self.height, levels)
    }

    /// Covers what lies inside an outline, given in pixels, with one colour.
    pub fn fill(&mut self, outline: &BezPath, colour: Light) {
        if let Some(covered) = Covered::new(self, outline, colour) {
            self.lay_on(&covered);
        }
    }

    /// Paints over the canvas what covers a part of it.
    pub fn lay_on(&mut self, covered: &Covered) {
        for y in 0..covered.height {
            let from = (covered.top + y) * self.width + covered.left;
            let of = y * covered.width..(y + 1) * covered.width;
            let row = self.pixels[from..from + covered.width].iter_mut();
            let over = covered.pixels[of.clone()].iter().zip(&covered.mask[of]);
            for (pixel, (light, mask)) in row.zip(over) {
                let part = match mask {
                    0 => continue,
                    255 => 1.0,
                    part => f32::from(*part) / 255.0,
                };
                for (under, new) in pixel.iter_mut().zip(light) {
                    *under += (new.min(NEARLY_WHITE) - *under) * part;
                }
            }
        }
    }
}

/// What covers the part of a canvas inside an outline, before it is laid on.
#[derive(Debug)]
pub struct Covered {
    left: usize,
    top: usize,
    width: usize,
    height: usize,
    /// How much of each pixel lies inside the outline.
    mask: Vec<u8>,
    pixels: Vec<Light>,
    /// What each pixel is painted with so far.
    painted: Vec<Painted>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Painted {
    Ground,
    Beyond,
    Inside,
}

impl Covered {
    /// Begins to cover the inside of an outline, with a ground of one colour. Returns `None` where the outline lies
    /// off the canvas.
    pub fn new(canvas: &Canvas, outline: &BezPath, ground: Light) -> Option<Self> {
        let whole = Rect::new(0.0, 0.0, canvas.width as f64, canvas.height as f64);
        let seen = outline.bounding_box().inflate(1.0, 1.0).expand();
        let part = seen.intersect(whole);
        if part.width() < 1.0 || part.height() < 1.0 {
            return None;
        }
        let (width, height) = (part.width() as usize, part.height() as usize);
        let mut mask = Mask::new(u32::try_from(width).ok()?, u32::try_from(height).ok()?)?;
        let path = skia_path(&(Affine::translate(-part.origin().to_vec2()) * outline))?;
        mask.fill_path(&path, FillRule::Winding, true, Transform::identity());
        let edge = Stroke {
            width: OVERLAP,
            ..Stroke::default()
        };
        if let Some(edge) = path.stroke(&edge, 1.0) {
            mask.fill_path(&edge, FillRule::Winding, true, Transform::identity());
        }
        Some(Self {
            left: part.x0 as usize,
            top: part.y0 as usize,
            width,
            height,
            mask: mask.take(),
            pixels: vec![ground; width * height],
            painted: vec![Painted::Ground; width * height],
        })
    }

    /// Paints a triangle of cloth, and a little beyond its edges where nothing is painted yet. Later triangles cover
    /// earlier ones.
    pub fn paint(&mut self, corners: [Corner; 3], cloth: &Texture) {
        self.paint_to(corners, cloth, BEYOND);
    }

    /// Paints a triangle of cloth that has other triangles all round it, up to its edges.
    pub fn paint_amid(&mut self, corners: [Corner; 3], cloth: &Texture) {
        self.paint_to(corners, cloth, HAIR);
    }

    /// Paints a triangle of cloth, and so far beyond its edges, in pixels, as nothing is painted yet.
    fn paint_to(&mut self, corners: [Corner; 3], cloth: &Texture, beyond: f64) {
        let origin = Point::new(self.left as f64, self.top as f64).to_vec2();
        let at = corners.map(|corner| corner.at - origin);
        let double = (at[1] - at[0]).cross(at[2] - at[0]);
        if !double.is_finite() || double.abs() < 1e-9 {
            return;
        }
        // Distance from each edge, in pixels, positive inside; and the share that the corner opposite has.
        let edge = |from: Point, to: Point| {
            let along = (to - from) * double.signum();
            let length = along.hypot().max(1e-9);
            let (a, b) = (-along.y / length, along.x / length);
            (a, b, -(a * from.x + b * from.y), length / double.abs())
        };
        let edges = [edge(at[1], at[2]), edge(at[2], at[0]), edge(at[0], at[1])];
        let bounds = Rect::from_points(at[0], at[1])
            .union_pt(at[2])
            .inflate(beyond, beyond);
        let rows = span(bounds.y0, bounds.y1, self.height);
        let columns = span(bounds.x0, bounds.x1, self.width);
        let sampler = cloth.sampler(footprint(&corners, double));
        let across = Plane::of(&edges, corners.map(|corner| corner.on.x));
        let along = Plane::of(&edges, corners.map(|corner| corner.on.y));
        let light = Plane::of(&edges, corners.map(|corner| corner.light));
        for y in rows {
            let far = edges.map(|(a, b, c, _)| Plane { a, b, c }.row(y));
            let (across, along, light) = (across.row(y), along.row(y), light.row(y));
            for x in within(&far, beyond, &columns) {
                let pixel = y * self.width + x;
                if self.mask[pixel] == 0 {
                    continue;
                }
                let px = x as f64 + 0.5;
                let least = far[0].at(px).min(far[1].at(px)).min(far[2].at(px));
                let how = match least {
                    inside if inside >= 0.0 => Painted::Inside,
                    near if near >= -beyond => Painted::Beyond,
                    _ => continue,
                };
                if how == Painted::Beyond && self.painted[pixel] != Painted::Ground {
                    continue;
                }
                let light = light.at(px).clamp(0.0, 1.0) as f32;
                let [red, green, blue] = sampler.at(across.at(px), along.at(px));
                self.pixels[pixel] = [red * light, green * light, blue * light];
                self.painted[pixel] = how;
            }
        }
    }
}

/// A value that changes evenly over the canvas: `a x + b y + c` at the pixel coordinates x and y.
#[derive(Clone, Copy)]
struct Plane {
    a: f64,
    b: f64,
    c: f64,
}

/// A value that changes evenly along a row of pixels: `a x + c`.
#[derive(Clone, Copy)]
struct Row {
    a: f64,
    c: f64,
}

impl Plane {
    /// Returns the plane through the values of a triangle's corners. Each edge gives the distance from it and the share
    /// of the opposite corner in a pixel of distance.
    fn of(edges: &[(f64, f64, f64, f64); 3], values: [f64; 3]) -> Self {
        let mut plane = Self {
            a: 0.0,
            b: 0.0,
            c: 0.0,
        };
        for ((a, b, c, share), value) in edges.iter().zip(values) {
            plane.a += a * share * value;
            plane.b += b * share * value;
            plane.c += c * share * value;
        }
        plane
    }

    /// Returns its values along the middle of a row of pixels.
    fn row(self, y: usize) -> Row {
        Row {
            a: self.a,
            c: self.b * (y as f64 + 0.5) + self.c,
        }
    }
}

impl Row {
    fn at(self, x: f64) -> f64 {
        self.a * x + self.c
    }
}

/// Returns the columns of a row in which a pixel may lie within a triangle or just beyond it: no edge has those before
/// and after them further off than is painted. `far` is the distance from each edge.
fn within(far: &[Row; 3], beyond: f64, columns: &Range<usize>) -> Range<usize> {
    let (mut from, mut to) = (columns.start as f64, columns.end as f64);
    for Row { a, c } in far {
        let end = -(beyond + c) / a - 0.5;
        if *a > 1e-9 {
            from = from.max(end.floor());
        } else if *a < -1e-9 {
            to = to.min(end.ceil() + 1.0);
        }
    }
    from as usize..to.max(from) as usize
}

/// Returns how much of the cloth a pixel covers across, in mm: the root of the area.
fn footprint(corners: &[Corner; 3], double: f64) -> f64 {
    let [a, b, c] = corners.map(|corner| corner.on);
    ((b - a).cross(c - a) / double).abs().sqrt()
}

/// Returns the pixels between two places, within a row of `count`.
fn span(from: f64, to: f64, count: usize) -> Range<usize> {
    let within = |at: f64| at.clamp(0.0, count as f64) as usize;
    within(from.floor())..within(to.ceil())
}

fn skia_path(path: &BezPath) -> Option<resvg::tiny_skia::Path> {
    let mut built = PathBuilder::new();
    let xy = |p: Point| (p.x as f32, p.y as f32);
    for element in path {
        match element {
            PathEl::MoveTo(p) => built.move_to(xy(p).0, xy(p).1),
            PathEl::LineTo(p) => built.line_to(xy(p).0, xy(p).1),
            PathEl::QuadTo(a, p) => built.quad_to(xy(a).0, xy(a).1, xy(p).0, xy(p).1),
            PathEl::CurveTo(a, b, p) => {
                built.cubic_to(xy(a).0, xy(a).1, xy(b).0, xy(b).1, xy(p).0, xy(p).1);
            }
            PathEl::ClosePath => built.close(),
        }
    }
    built.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The level of red at a pixel.
    fn red(canvas: &Canvas, x: usize, y: usize) -> u8 {
        canvas.picture().rgb[3 * (y * canvas.width + x)]
    }

    #[test]
    fn cloth_is_painted_where_its_corners_put_it_and_within_the_outline() {
        let cells = vec![[0.0; 3], [1.0; 3]];
        let stripes = Texture::of_cells([2, 1], cells, [20.0, 1.0], [0.0, 0.0]);
        let mut canvas = Canvas::new(40, 20).unwrap();
        let outline = Rect::new(0.0, 0.0, 40.0, 10.0).to_path(0.1);
        let mut covered = Covered::new(&canvas, &outline, [0.5; 3]).unwrap();
        let corner = |x: f64, y: f64| Corner {
            at: Point::new(x, y),
            on: Point::new(x, y),
            light: 1.0,
        };
        let [a, b, c, d] = [(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0)];
        let [a, b, c, d] = [a, b, c, d].map(|(x, y)| corner(x, y));
        covered.paint([a, b, c], &stripes);
        covered.paint([a, c, d], &stripes);
        canvas.lay_on(&covered);
        assert!(red(&canvas, 4, 5) < 80 && red(&canvas, 24, 5) < 80);
        assert!(red(&canvas, 14, 5) > 220 && red(&canvas, 34, 5) > 220);
        assert_eq!(
            red(&canvas, 4, 15),
            255,
            "nothing is painted beyond the outline"
        );
    }

    #[test]
    fn a_canvas_without_pixels_or_with_too_many_is_not_made() {
        assert!(Canvas::new(0, 5).is_none());
        assert!(Canvas::new(usize::MAX, 2).is_none());
        assert!(Canvas::new(4000, 4000).is_none());
        let canvas = Canvas::new(10, 10).unwrap();
        let off = Rect::new(20.0, 0.0, 30.0, 10.0).to_path(0.1);
        assert!(Covered::new(&canvas, &off, [0.0; 3]).is_none());
    }
}
