//! Draws a view: each shape is filled over those behind it, then its lines are drawn.

use crate::made_up::{Shade, Shown, Stroke, closed};
use crate::sheets::drawing::{Drawing, Layer, Pen};
use kurbo::{Affine, BezPath, Circle, Point, Shape, Vec2};

/// Returns the pen for a kind of line, in mm of the sheet.
pub(in crate::sheets) fn pen(stroke: Stroke) -> Pen {
    match stroke {
        Stroke::Outline => Pen::full(0.32),
        Stroke::Edge | Stroke::Hole => Pen::full(0.24),
        Stroke::Seam => Pen::full(0.13).grey(0.15),
        Stroke::Stitch => Pen::dashed(0.1, &[0.55, 0.45]).grey(0.25),
        Stroke::Hidden => Pen::dashed(0.13, &[1.6, 1.1]).grey(0.35),
    }
}

/// Returns the grey of a region, where 1 is white.
fn grey(shade: Shade) -> f64 {
    match shade {
        Shade::Face => 1.0,
        Shade::Neck => 0.97,
        Shade::Inside => 0.9,
        Shade::Lap => 0.86,
    }
}

/// Draws a view on a sheet. `place` maps the view, in mm of the garment, to the sheet.
pub(super) fn draw(shown: &[Shown], sheet: &mut Drawing, place: Affine) {
    for seen in shown {
        match seen {
            Shown::Region { outline, shade, .. } => {
                sheet.fill(Layer::Page, place * closed(outline), grey(*shade));
            }
            Shown::Line(points, stroke) => {
                sheet.line(Layer::Page, place * through(points), pen(*stroke));
            }
            Shown::Button {
                at,
                across,
                seen,
                mirrored,
            } => {
                let over = if *mirrored { -1.0 } else { 1.0 };
                let half = place * Affine::scale_non_uniform(over, 1.0);
                button(sheet, half, (Point::new(over * at.x, at.y), *across), *seen);
            }
        }
    }
}

/// Draws a button with its four holes, `across` mm wide. `seen` is its apparent width as a share of its true width.
fn button(sheet: &mut Drawing, place: Affine, (at, across): (Point, f64), seen: f64) {
    let ring = |size: f64| {
        let ring = Circle::new(Point::ZERO, size / 2.0).to_path(0.05);
        Affine::translate(at.to_vec2()) * Affine::scale_non_uniform(seen, 1.0) * ring
    };
    sheet.fill(Layer::Page, place * ring(across), 1.0);
    sheet.line(Layer::Page, place * ring(across), pen(Stroke::Edge));
    if seen > 0.8 {
        let inner = place * ring(0.72 * across);
        sheet.line(Layer::Page, inner, pen(Stroke::Seam));
        for (x, y) in [(-0.1, -0.1), (0.1, -0.1), (-0.1, 0.1), (0.1, 0.1)] {
            let hole = Circle::new(at + Vec2::new(x, y) * across, 0.055 * across);
            sheet.fill(Layer::Page, place * hole.to_path(0.05), 0.2);
        }
    }
}

fn through(points: &[Point]) -> BezPath {
    let mut path = closed(points);
    path.pop();
    path
}
