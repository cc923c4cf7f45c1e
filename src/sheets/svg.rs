//! Writes SVG in true millimetres, with one group for each layer and lettering in single strokes.

use std::fmt::Write;

use base64::Engine;
use kurbo::{BezPath, PathEl, Point};
use svg::node::element::{Group, Image, Path, Title};

use super::drawing::{Drawing, Ink, Item, Layer, Painted, Pen};
use super::lettering;
use super::words::CAUTION;

/// Writes a drawing as SVG. One unit is one mm. There are no transforms and no fonts, so that any plotter or cutter
/// can read it. Each layer is a group with the layer's name, and holds a group for each piece.
pub fn write(drawing: &Drawing) -> Vec<u8> {
    let mut bytes = b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_vec();
    bytes.extend_from_slice(format!("<!-- {CAUTION} -->\n").as_bytes());
    bytes.extend_from_slice(document(drawing, "").to_string().as_bytes());
    bytes.push(b'\n');
    bytes
}

/// Writes a drawing for a web page, `pixels` wide. The ids of its groups begin with `prefix`, so that several
/// drawings can share a page.
pub fn inline(drawing: &Drawing, prefix: &str, pixels: f64) -> String {
    let height = pixels * drawing.height / drawing.width.max(1.0);
    document(drawing, prefix)
        .set("width", number(pixels))
        .set("height", number(height))
        .set("role", "img")
        .set("aria-label", drawing.title.as_str())
        .to_string()
}

fn document(drawing: &Drawing, prefix: &str) -> svg::Document {
    let mut document = svg::Document::new()
        .set("width", format!("{}mm", number(drawing.width)))
        .set("height", format!("{}mm", number(drawing.height)))
        .set(
            "viewBox",
            format!("0 0 {} {}", number(drawing.width), number(drawing.height)),
        )
        .set("fill", "none")
        .set("stroke", "black")
        .set("stroke-linecap", "round")
        .set("stroke-linejoin", "round")
        .add(Title::new(drawing.title.as_str()));
    for layer in Layer::ALL {
        let mut items: Vec<&Item> = drawing.layer(layer).collect();
        items.sort_by_key(|item| item.part);
        if items.is_empty() {
            continue;
        }
        let id = format!("{prefix}{}", layer.name());
        let mut group = Group::new().set("id", id.as_str());
        for part in items.chunk_by(|a, b| a.part == b.part) {
            let mut of_part = Group::new();
            if let Some(first) = part.first() {
                of_part = of_part.set("id", format!("{id}-{}", first.part));
            }
            for item in part {
                of_part = match &item.ink {
                    Ink::Painted(painted) => of_part.add(image(painted)),
                    ink => match draw(ink) {
                        Some(path) => of_part.add(path),
                        None => of_part,
                    },
                };
            }
            group = group.add(of_part);
        }
        document = document.add(group);
    }
    document
}

/// Embeds a picture as PNG.
fn image(painted: &Painted) -> Image {
    let place = painted.place;
    let data = base64::engine::general_purpose::STANDARD.encode(painted.png.as_slice());
    Image::new()
        .set("x", number(place.x0))
        .set("y", number(place.y0))
        .set("width", number(place.width()))
        .set("height", number(place.height()))
        .set("preserveAspectRatio", "none")
        .set("href", format!("data:image/png;base64,{data}"))
}

/// Returns the path of lines, shapes and words; `None` for a picture.
fn draw(ink: &Ink) -> Option<Path> {
    Some(match ink {
        Ink::Stroke { path, pen } => stroke(data(path), *pen),
        Ink::Fill { path, grey } => Path::new()
            .set("d", data(path))
            .set("fill", shade(*grey))
            .set("stroke", "none"),
        Ink::Text(text) => {
            let (strokes, length) = lettering::write(&text.words, text.height);
            let place = text.transform(length);
            let lines: String = strokes.iter().map(|line| data(&(place * line))).collect();
            let width = (text.height * if text.bold { 0.11 } else { 0.075 }).max(0.15);
            stroke(lines, Pen::full(width).grey(text.grey))
        }
        Ink::Painted(_) => return None,
    })
}

fn stroke(data: String, pen: Pen) -> Path {
    let mut path = Path::new()
        .set("d", data)
        .set("stroke-width", number(pen.width));
    if !pen.dash.is_empty() {
        let dash: Vec<String> = pen.dash.iter().map(|&length| number(length)).collect();
        path = path
            .set("stroke-dasharray", dash.join(" "))
            .set("stroke-linecap", "butt");
    }
    if pen.grey > 0.0 {
        path = path.set("stroke", shade(pen.grey));
    }
    path
}

fn shade(grey: f64) -> String {
    let level = (255.0 * grey.clamp(0.0, 1.0)).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

/// Writes path data to a thousandth of a mm.
fn data(path: &BezPath) -> String {
    let mut data = String::new();
    for element in path {
        // Writing to a string cannot fail.
        let _ = match element {
            PathEl::MoveTo(p) => write!(data, "M{}", pair(p)),
            PathEl::LineTo(p) => write!(data, "L{}", pair(p)),
            PathEl::QuadTo(a, p) => write!(data, "Q{} {}", pair(a), pair(p)),
            PathEl::CurveTo(a, b, p) => write!(data, "C{} {} {}", pair(a), pair(b), pair(p)),
            PathEl::ClosePath => write!(data, "Z"),
        };
    }
    data
}

fn pair(point: Point) -> String {
    format!("{} {}", number(point.x), number(point.y))
}

/// Writes a number with at most three decimals, without trailing zeros and never as a negative zero.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}
