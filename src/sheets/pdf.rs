//! Writes PDF: drawings on pages at true scale, with layers that can be switched off and an embedded font.

use std::collections::BTreeSet;

use kurbo::{Affine, Point, Rect};
use printpdf::{
    FontId, Layer as PdfLayer, LayerIntent, LayerInternalId, LayerSubtype, LineCapStyle,
    LineJoinStyle, Mm, Op, PaintMode, PdfDocument, PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions,
    RawImage, RawImageData, RawImageFormat, TextItem, XObject,
};

use super::drawing::{Drawing, Ink, Item, Layer, Painted};
use super::font;
use super::pdf_painter::{BOLD, Painter, REGULAR, fingerprint, picture_id};

/// A page with the drawings on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Page<'a> {
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// The drawings, each over the one before.
    pub drawings: Vec<PlacedDrawing<'a>>,
}

impl Page<'_> {
    /// Enlarges a page with all that is drawn on it, across and down, by a few hundredths at most: words are not
    /// stretched.
    pub fn enlarge(&mut self, (across, down): (f64, f64)) {
        self.width *= across;
        self.height *= down;
        let by = Affine::scale_non_uniform(across, down);
        for placed in &mut self.drawings {
            placed.place = by * placed.place;
            placed.window = placed.window.map(|window| by.transform_rect_bbox(window));
        }
    }
}

/// A drawing with its place on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedDrawing<'a> {
    /// The drawing.
    pub drawing: &'a Drawing,
    /// Maps the drawing to the page, both with y down. It keeps the scale, or nearly (see [`Page::enlarge`]).
    pub place: Affine,
    /// The part of the page that the drawing may cover, in mm; `None` is all of it.
    pub window: Option<Rect>,
}

impl<'a> PlacedDrawing<'a> {
    /// Places a drawing with its upper left corner at a point of the page.
    pub fn at(drawing: &'a Drawing, corner: impl Into<Point>) -> Self {
        let place = Affine::translate(corner.into().to_vec2());
        PlacedDrawing {
            drawing,
            place,
            window: None,
        }
    }
}

/// Writes drawings as a PDF, each on a page of its own size.
pub fn write_drawings<'a>(title: &str, drawings: impl IntoIterator<Item = &'a Drawing>) -> Vec<u8> {
    let page = |drawing: &'a Drawing| Page {
        width: drawing.width,
        height: drawing.height,
        drawings: vec![PlacedDrawing::at(drawing, (0.0, 0.0))],
    };
    let pages: Vec<Page> = drawings.into_iter().map(page).collect();
    write(title, &pages)
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
    for painted in pages.iter().flat_map(pictures) {
        let picture = &painted.picture;
        let raw = RawImage {
            pixels: RawImageData::U8(picture.rgb.clone()),
            width: picture.width,
            height: picture.height,
            data_format: RawImageFormat::RGB8,
            tag: Vec::new(),
        };
        let pictures = &mut document.resources.xobjects.map;
        pictures.insert(picture_id(painted), XObject::Image(raw));
    }
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

/// Returns the letters that pages show in a font.
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

/// Returns the pictures on a page.
fn pictures<'a>(page: &'a Page) -> impl Iterator<Item = &'a Painted> {
    let drawings = page.drawings.iter();
    let items = drawings.flat_map(|placed| &placed.drawing.items);
    items.filter_map(|item| match &item.ink {
        Ink::Painted(painted) => Some(painted),
        _ => None,
    })
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

/// Encodes words of the file itself in UTF-16 after a byte order mark (ISO 32000-1, 7.9.2.2), which holds any script.
fn words(text: &str) -> lopdf::Object {
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    lopdf::Object::string_literal(units.flat_map(u16::to_be_bytes).collect::<Vec<u8>>())
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
            .drawings
            .iter()
            .flat_map(|placed| draw_placed(placed, layer, page))
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

fn draw_placed(placed: &PlacedDrawing, layer: Layer, page: &Page) -> Vec<Op> {
    let whole = Rect::new(0.0, 0.0, page.width, page.height);
    let window = placed.window.unwrap_or(whole);
    let items: Vec<&Item> = placed
        .drawing
        .layer(layer)
        .filter(|item| {
            // The box of a straight line has no area, so it is given some.
            let seen = placed
                .place
                .transform_rect_bbox(item.ink.bounds())
                .inset(0.5);
            seen.intersect(window).area() > 0.0
        })
        .collect();
    if items.is_empty() {
        return Vec::new();
    }
    let mut painter = Painter::new(page.height);
    if placed.window.is_some() {
        painter.polygon(&super::drawing::rectangle(window), PaintMode::Clip);
    }
    for item in items {
        match &item.ink {
            Ink::Stroke { path, pen } => painter.stroke(&(placed.place * path), *pen),
            Ink::Fill { path, grey } => {
                painter.fill(*grey);
                painter.polygon(&(placed.place * path), PaintMode::Fill);
            }
            Ink::Text(text) => painter.text(text, placed.place),
            Ink::Painted(painted) => painter.picture(painted, placed.place),
        }
    }
    painter.ops.push(Op::RestoreGraphicsState);
    painter.ops
}
