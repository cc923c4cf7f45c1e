//! Draws lines, regions, pictures and text on a page of a PDF.

use super::drawing::{Painted, Pen, Text};
use super::fingerprint::Hash;
use super::font;
use kurbo::{Affine, BezPath, CubicBez, PathEl, Point, QuadBez};
use printpdf::{
    Color, FontId, Greyscale, Line, LineCapStyle, LineDashPattern, LinePoint, Op, PaintMode,
    PdfFontHandle, Point as PdfPoint, Polygon, PolygonRing, Pt, TextItem, TextMatrix, WindingOrder,
    XObjectId, XObjectTransform,
};

/// Points in a mm.
const POINTS: f64 = 72.0 / 25.4;
/// Names of the fonts in the file.
pub(super) const REGULAR: &str = "CHALKR";
pub(super) const BOLD: &str = "CHALKB";

/// Draws on a page, and remembers the pen and the fill in use so that they are set only when they change.
pub(super) struct Painter {
    /// What is drawn so far.
    pub ops: Vec<Op>,
    height: f64,
    pen: Option<Pen>,
    fill: Option<f64>,
}

impl Painter {
    /// Starts to draw on a page of this height, mm.
    pub(super) fn new(height: f64) -> Self {
        Self {
            ops: vec![Op::SaveGraphicsState],
            height,
            pen: None,
            fill: None,
        }
    }

    pub(super) fn stroke(&mut self, path: &BezPath, pen: Pen) {
        if self.pen != Some(pen) {
            let dash: Vec<f32> = pen.dash.iter().map(|&mm| points(mm)).collect();
            self.ops.extend([
                Op::SetOutlineThickness {
                    pt: Pt(points(pen.width)),
                },
                Op::SetOutlineColor {
                    col: grey(pen.grey),
                },
                Op::SetLineDashPattern {
                    dash: LineDashPattern::new(0.0, &dash),
                },
                Op::SetLineCapStyle {
                    cap: if dash.is_empty() {
                        LineCapStyle::Round
                    } else {
                        LineCapStyle::Butt
                    },
                },
            ]);
            self.pen = Some(pen);
        }
        for (points, is_closed) in self.rings(path) {
            self.ops.push(Op::DrawLine {
                line: Line { points, is_closed },
            });
        }
    }

    pub(super) fn fill(&mut self, shade: f64) {
        if self.fill != Some(shade) {
            self.ops.push(Op::SetFillColor { col: grey(shade) });
            self.fill = Some(shade);
        }
    }

    pub(super) fn polygon(&mut self, path: &BezPath, mode: PaintMode) {
        let rings = self
            .rings(path)
            .into_iter()
            .map(|(points, _)| PolygonRing { points })
            .collect();
        let winding_order = WindingOrder::NonZero;
        self.ops.push(Op::DrawPolygon {
            polygon: Polygon {
                rings,
                mode,
                winding_order,
            },
        });
    }

    pub(super) fn picture(&mut self, painted: &Painted, place: Affine) {
        let on_page = place.transform_rect_bbox(painted.place);
        let corner = self.point(Point::new(on_page.x0, on_page.y1));
        // The library draws a picture at its dots to the inch, times a scale.
        let times = |mm: f64, pixels: usize| points(mm) / pixels as f32;
        self.ops.push(Op::UseXobject {
            id: picture_id(painted),
            transform: XObjectTransform {
                translate_x: Some(corner.x),
                translate_y: Some(corner.y),
                scale_x: Some(times(on_page.width(), painted.picture.width)),
                scale_y: Some(times(on_page.height(), painted.picture.height)),
                dpi: Some(72.0),
                ..XObjectTransform::default()
            },
        });
    }

    pub(super) fn text(&mut self, text: &Text, place: Affine) {
        self.fill(text.grey);
        let length = font::length(&text.words, text.height, text.bold);
        // On the page y runs up, and letters stand up from the base line.
        let to_page = place * text.transform(length);
        let [a, b, _, _, _, _] = to_page.as_coeffs();
        let at = self.point(to_page * Point::ZERO);
        let matrix = [a as f32, -b as f32, b as f32, a as f32, at.x.0, at.y.0];
        let id = if text.bold { BOLD } else { REGULAR };
        self.ops.extend([
            Op::StartTextSection,
            Op::SetFont {
                font: PdfFontHandle::External(FontId(id.to_owned())),
                size: Pt(points(font::size(text.height))),
            },
            Op::SetTextMatrix {
                matrix: TextMatrix::Raw(matrix),
            },
            Op::ShowText {
                items: vec![TextItem::Text(text.words.clone())],
            },
            Op::EndTextSection,
        ]);
    }

    /// Returns the subpaths of a path in points, and whether each is closed.
    fn rings(&self, path: &BezPath) -> Vec<(Vec<LinePoint>, bool)> {
        let mut rings: Vec<(Vec<LinePoint>, bool)> = Vec::new();
        let mut last = Point::ZERO;
        for element in path {
            match (element, rings.last_mut()) {
                (PathEl::MoveTo(point), _) => rings.push((vec![self.corner(point)], false)),
                (_, None) => {}
                (PathEl::LineTo(point), Some(ring)) => ring.0.push(self.corner(point)),
                (PathEl::QuadTo(a, point), Some(ring)) => {
                    ring.0
                        .extend(self.bend(QuadBez::new(last, a, point).raise()));
                }
                (PathEl::CurveTo(a, b, point), Some(ring)) => {
                    ring.0.extend(self.bend(CubicBez::new(last, a, b, point)));
                }
                (PathEl::ClosePath, Some(ring)) => ring.1 = true,
            }
            last = element.end_point().unwrap_or(last);
        }
        rings
    }

    /// Returns the points of a curve after its first.
    fn bend(&self, curve: CubicBez) -> [LinePoint; 3] {
        let control = |point| LinePoint {
            p: self.point(point),
            bezier: true,
        };
        [control(curve.p1), control(curve.p2), self.corner(curve.p3)]
    }

    fn corner(&self, point: Point) -> LinePoint {
        LinePoint {
            p: self.point(point),
            bezier: false,
        }
    }

    fn point(&self, point: Point) -> PdfPoint {
        PdfPoint {
            x: Pt(points(point.x)),
            y: Pt(points(self.height - point.y)),
        }
    }
}

/// Converts mm to points, rounded to a thousandth, which is 0.4 µm.
fn points(mm: f64) -> f32 {
    ((mm * POINTS * 1000.0).round() / 1000.0) as f32
}

fn grey(shade: f64) -> Color {
    Color::Greyscale(Greyscale::new(shade as f32, None))
}

/// Names a picture by what it shows, so that one that is drawn twice is stored once.
pub(super) fn picture_id(painted: &Painted) -> XObjectId {
    let sum: String = fingerprint(&painted.png)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    XObjectId(format!("P{sum}"))
}

/// Returns sixteen bytes that differ where files differ: two sums from different beginnings.
pub(super) fn fingerprint(bytes: &[u8]) -> Vec<u8> {
    let mut sums = [Hash::default(), Hash(0x8422_2325_CBF2_9CE4)];
    sums.iter_mut().for_each(|sum| sum.add(bytes));
    sums.iter().flat_map(|sum| sum.0.to_be_bytes()).collect()
}
