//! PDF: drawings on pages at true scale, layers that can be switched off, an embedded font.

use std::collections::BTreeSet;

use kurbo::{Affine, BezPath, PathEl, PathSeg, Point, Rect};
use printpdf::{
    Color, FontId, Greyscale, Layer as PdfLayer, LayerIntent, LayerInternalId, LayerSubtype, Line,
    LineCapStyle, LineDashPattern, LineJoinStyle, LinePoint, Mm, Op, PaintMode, PdfDocument,
    PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Point as PdfPoint, Polygon, PolygonRing, Pt,
    TextItem, TextMatrix, WindingOrder,
};

use super::drawing::{Drawing, Ink, Item, Layer, Pen, Text};
use super::font;

/// Points in a mm.
const POINTS: f64 = 72.0 / 25.4;
/// Names of the fonts in the file.
const REGULAR: &str = "CHALKR";
const BOLD: &str = "CHALKB";

/// A page: its size in mm, and what is seen on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Page<'a> {
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// What is seen, one over the other.
    pub views: Vec<View<'a>>,
}

/// A drawing seen on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct View<'a> {
    /// The drawing.
    pub drawing: &'a Drawing,
    /// From the drawing to the page, both with y down; it keeps the scale.
    pub place: Affine,
    /// The part of the page it may cover, in mm; all of it if `None`.
    pub window: Option<Rect>,
}

impl<'a> View<'a> {
    /// A drawing with its corner at a point of the page.
    pub fn at(drawing: &'a Drawing, corner: impl Into<Point>) -> Self {
        let place = Affine::translate(corner.into().to_vec2());
        View {
            drawing,
            place,
            window: None,
        }
    }
}

/// Writes pages as a PDF. The same pages give the same bytes.
pub fn write(title: &str, pages: &[Page]) -> Vec<u8> {
    let mut document = PdfDocument::new(title);
    for layer in Layer::ALL {
        document.resources.layers.map.insert(
            layer_id(layer),
            PdfLayer {
                name: layer.name().to_owned(),
                creator: "chalkstripe".to_owned(),
                intent: LayerIntent::Design,
                usage: LayerSubtype::Artwork,
            },
        );
    }
    document.pages = pages.iter().map(draw_page).collect();
    for (id, face) in [(REGULAR, &font::REGULAR), (BOLD, &font::BOLD)] {
        let face = face.with_only(&letters(&document.pages, id), id);
        document
            .resources
            .fonts
            .map
            .insert(FontId(id.to_owned()), PdfFont::new(face));
    }
    let options = PdfSaveOptions {
        optimize: false,
        ..Default::default()
    };
    let file = document.to_lopdf_document(&options, &mut Vec::new());
    finished(file, title)
}

/// The letters that pages show in a font.
fn letters(pages: &[PdfPage], id: &str) -> BTreeSet<char> {
    let mut letters = BTreeSet::new();
    let mut is_held = false;
    for op in pages.iter().flat_map(|page| &page.ops) {
        match op {
            Op::SetFont { font, .. } => {
                is_held = matches!(font, PdfFontHandle::External(font) if font.0 == id);
            }
            Op::ShowText { items } if is_held => {
                for item in items {
                    if let TextItem::Text(words) = item {
                        letters.extend(words.chars());
                    }
                }
            }
            _ => {}
        }
    }
    letters
}

fn layer_id(layer: Layer) -> LayerInternalId {
    LayerInternalId(layer.name().to_owned())
}

/// Gives the file its title, language, printing options and identifier, and its bytes.
fn finished(mut file: lopdf::Document, title: &str) -> Vec<u8> {
    use lopdf::{Object, dictionary};
    "1.7".clone_into(&mut file.version);
    let information = dictionary! {
        "Title" => words(title),
        "Creator" => words("chalkstripe"),
    };
    let information = file.add_object(information);
    file.trailer.set("Info", Object::Reference(information));
    if let Ok(catalog) = file.catalog_mut() {
        catalog.set("Lang", words("en"));
        // Print at true size, from the tray whose paper fits.
        catalog.set(
            "ViewerPreferences",
            dictionary! {
                "PrintScaling" => "None",
                "PickTrayByPDFSize" => true,
                "DisplayDocTitle" => true,
            },
        );
    }
    file.trailer.remove(b"ID");
    file.prune_objects();
    file.renumber_objects();
    let mut plain = Vec::new();
    // Writing to memory cannot fail.
    let _ = file.save_to(&mut plain);
    file.compress();
    let id = Object::String(fingerprint(&plain), lopdf::StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![id.clone(), id]);
    let mut bytes = Vec::new();
    let _ = file.save_to(&mut bytes);
    bytes
}

/// Words of the file itself, in any script (ISO 32000-1, 7.9.2.2: UTF-16 after its mark).
fn words(text: &str) -> lopdf::Object {
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    lopdf::Object::string_literal(units.flat_map(u16::to_be_bytes).collect::<Vec<u8>>())
}

/// Sixteen bytes that differ where files differ: two FNV-1a sums (Fowler, Noll and Vo).
fn fingerprint(bytes: &[u8]) -> Vec<u8> {
    let sum = |start: u64| {
        bytes.iter().fold(start, |sum, &byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3)
        })
    };
    let (a, b) = (sum(0xcbf2_9ce4_8422_2325), sum(0x8422_2325_cbf2_9ce4));
    a.to_be_bytes().into_iter().chain(b.to_be_bytes()).collect()
}

fn draw_page(page: &Page) -> PdfPage {
    let mut ops = vec![
        Op::SetLineCapStyle {
            cap: LineCapStyle::Round,
        },
        Op::SetLineJoinStyle {
            join: LineJoinStyle::Round,
        },
    ];
    for layer in Layer::ALL {
        let drawn: Vec<Op> = page
            .views
            .iter()
            .flat_map(|view| draw_view(view, layer, page))
            .collect();
        if !drawn.is_empty() {
            ops.push(Op::BeginLayer {
                layer_id: layer_id(layer),
            });
            ops.extend(drawn);
            ops.push(Op::EndLayer);
        }
    }
    PdfPage::new(Mm(page.width as f32), Mm(page.height as f32), ops)
}

fn draw_view(view: &View, layer: Layer, page: &Page) -> Vec<Op> {
    let whole = Rect::new(0.0, 0.0, page.width, page.height);
    let window = view.window.unwrap_or(whole);
    let items: Vec<&Item> = view
        .drawing
        .layer(layer)
        .filter(|item| {
            // A straight line's box has no area: give it one.
            let seen = view.place.transform_rect_bbox(item.ink.bounds()).inset(0.5);
            seen.intersect(window).area() > 0.0
        })
        .collect();
    if items.is_empty() {
        return Vec::new();
    }
    let mut hand = Hand {
        ops: vec![Op::SaveGraphicsState],
        height: page.height,
        pen: None,
        fill: None,
    };
    if view.window.is_some() {
        hand.polygon(&super::drawing::rectangle(window), PaintMode::Clip);
    }
    for item in items {
        match &item.ink {
            Ink::Stroke { path, pen } => hand.stroke(&(view.place * path), *pen),
            Ink::Fill { path, grey } => {
                hand.fill(*grey);
                hand.polygon(&(view.place * path), PaintMode::Fill);
            }
            Ink::Text(text) => hand.text(text, view.place),
        }
    }
    hand.ops.push(Op::RestoreGraphicsState);
    hand.ops
}

/// Draws on a page and remembers which pen it holds.
struct Hand {
    ops: Vec<Op>,
    height: f64,
    pen: Option<Pen>,
    fill: Option<f64>,
}

impl Hand {
    fn stroke(&mut self, path: &BezPath, pen: Pen) {
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

    fn fill(&mut self, shade: f64) {
        if self.fill != Some(shade) {
            self.ops.push(Op::SetFillColor { col: grey(shade) });
            self.fill = Some(shade);
        }
    }

    fn polygon(&mut self, path: &BezPath, mode: PaintMode) {
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

    fn text(&mut self, text: &Text, place: Affine) {
        self.fill(text.grey);
        let length = font::length(&text.words, text.height, text.bold);
        // Letters stand up from the base line on the page, whose y runs up.
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

    /// The subpaths of a path in points, and whether each is closed.
    fn rings(&self, path: &BezPath) -> Vec<(Vec<LinePoint>, bool)> {
        let mut rings: Vec<(Vec<LinePoint>, bool)> = Vec::new();
        let mut last = Point::ZERO;
        for element in path {
            let ring = match (element, rings.last_mut()) {
                (PathEl::MoveTo(point), _) => {
                    rings.push((vec![self.corner(point)], false));
                    last = point;
                    continue;
                }
                (_, Some(ring)) => ring,
                (_, None) => continue,
            };
            let curve = match element {
                PathEl::LineTo(point) => {
                    ring.0.push(self.corner(point));
                    last = point;
                    continue;
                }
                PathEl::QuadTo(a, point) => PathSeg::Quad(kurbo::QuadBez::new(last, a, point)),
                PathEl::CurveTo(a, b, point) => {
                    PathSeg::Cubic(kurbo::CubicBez::new(last, a, b, point))
                }
                PathEl::ClosePath | PathEl::MoveTo(_) => {
                    ring.1 = true;
                    continue;
                }
            };
            let cubic = curve.to_cubic();
            let bend = |point| LinePoint {
                p: self.point(point),
                bezier: true,
            };
            ring.0
                .extend([bend(cubic.p1), bend(cubic.p2), self.corner(cubic.p3)]);
            last = cubic.p3;
        }
        rings
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

/// Points to a thousandth, which is 0.4 µm.
fn points(mm: f64) -> f32 {
    ((mm * POINTS * 1000.0).round() / 1000.0) as f32
}

fn grey(shade: f64) -> Color {
    Color::Greyscale(Greyscale::new(shade as f32, None))
}
