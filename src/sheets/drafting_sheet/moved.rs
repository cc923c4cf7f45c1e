//! What a fitting moves, drawn: each piece in two lines, the seams that lie elsewhere numbered, and
//! what each of them needs of the cloth that was cut.

use super::page::{BODY, EDGE, FOOT, MARGIN, PAGE, STEP, TOP, heads, scale_for};
use super::written::{Row, wrapped};
use crate::order::Order;
use crate::pattern::{MovedPiece, Moves};
use crate::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use crate::sheets::font;
use crate::sheets::words::capital;
use kurbo::{Affine, Point, Rect, Shape, Vec2};

const WAS: Pen = Pen::dashed(0.2, &[2.2, 1.2]);
const CUT: Pen = Pen::full(0.12).grey(0.4);
const MARK: Pen = Pen::full(0.2);
/// Height of the numbers at the seams, and how far off they stand, in mm.
const NUMBER: f64 = 2.4;
const OFF: f64 = 4.0;
/// Between pieces, in mm.
const GAP: f64 = 14.0;

/// The pages for one garment: its pieces in two lines, and the list of the seams that move. `said` says
/// between which fittings. No pages where nothing moves.
pub fn moved_sheet(garment: &str, moves: &Moves, said: &str, order: &Order) -> Vec<Drawing> {
    let pieces: Vec<&MovedPiece> = moves
        .pieces
        .iter()
        .filter(|p| p.garment == garment)
        .collect();
    let others = |names: &[(String, String)]| -> Vec<String> {
        let own = names.iter().filter(|(of, _)| of == garment);
        own.map(|(_, name)| name.clone()).collect()
    };
    let (new, others) = (others(&moves.new), others(&moves.others));
    if pieces.is_empty() && new.is_empty() && others.is_empty() {
        return Vec::new();
    }
    let mut pages = listed(&pieces, &new, &others, said);
    pages.extend(drawn(&pieces));
    let title = format!("What moves · {garment}");
    heads(&mut pages, &title, order);
    pages
}

fn page(heading: &str) -> Drawing {
    let mut page = Drawing::new("What moves", PAGE.0, PAGE.1);
    let heading = font::shorten(
        &font::clean(heading),
        2.6,
        false,
        PAGE.0 - 2.0 * MARGIN - 30.0,
    );
    page.text(Layer::Page, Text::new(&heading, (MARGIN, 26.0), 2.6));
    page
}

/// The list: a heading for each piece, a line for each seam.
fn listed(pieces: &[&MovedPiece], new: &[String], others: &[String], said: &str) -> Vec<Drawing> {
    let mut lines: Vec<(bool, String)> = Vec::new();
    let mut number = 0;
    for piece in pieces {
        let laid = piece.laid().map(|laid| format!(", {laid}"));
        lines.push((
            true,
            format!("{}{}", capital(&piece.piece), laid.unwrap_or_default()),
        ));
        for seam in &piece.seams {
            number += 1;
            lines.push((false, format!("{number}: {}", seam.in_words())));
        }
        lines.extend(piece.carried().into_iter().map(|words| (false, words)));
    }
    for (names, heading) in [
        (new, "Cut anew, for nothing like it was cut before"),
        (
            others,
            "Of linings, canvas and the rest, to be cut by the new pattern",
        ),
    ] {
        if !names.is_empty() {
            lines.push((true, heading.to_owned()));
            lines.push((false, names.join(", ")));
        }
    }
    let mut pages = vec![page(said)];
    let mut y = TOP + 4.0;
    for (heading, words) in lines {
        let rows = if heading {
            vec![words]
        } else {
            wrapped_lines(&words)
        };
        let tall = STEP * rows.len() as f64 + if heading { 2.5 } else { 0.0 };
        if y + tall > PAGE.1 - FOOT {
            pages.push(page(said));
            y = TOP + 4.0;
        }
        if heading {
            y += 2.5;
        }
        for (i, row) in rows.iter().enumerate() {
            let indent = if heading {
                0.0
            } else {
                4.0 + if i > 0 { 4.0 } else { 0.0 }
            };
            let text = Text::new(row, (MARGIN + indent, y), BODY);
            if let Some(page) = pages.last_mut() {
                page.text(Layer::Page, if heading { text.bold() } else { text });
            }
            y += STEP;
        }
    }
    pages
}

fn wrapped_lines(words: &str) -> Vec<String> {
    let width = PAGE.0 - 2.0 * MARGIN - 8.0;
    wrapped(words, width)
        .into_iter()
        .filter_map(|row| match row {
            Row::Words(words, _) => Some(words),
            _ => None,
        })
        .collect()
}

/// The pieces in rows, all at one scale.
fn drawn(pieces: &[&MovedPiece]) -> Vec<Drawing> {
    let room = Rect::new(MARGIN, TOP, PAGE.0 - MARGIN, PAGE.1 - FOOT);
    let bounds = |piece: &MovedPiece| piece.cut.bounding_box().union(piece.now.bounding_box());
    let scales = pieces
        .iter()
        .map(|piece| scale_for(bounds(piece), room.inset(-16.0)));
    let scale = scales.fold(4.0, f64::max);
    let said =
        "Full: the new seam line. Broken: the seam line that was. Thin: the line it was cut by.";
    let mut pages: Vec<Drawing> = Vec::new();
    let (mut corner, mut tall, mut number) = (Point::ZERO, 0.0_f64, 0);
    for piece in pieces {
        let bounds = bounds(piece);
        let (wide, high) = (bounds.width() / scale, bounds.height() / scale);
        if corner.x + wide > room.x1 - 8.0 && corner.x > room.x0 + 8.0 {
            corner = Point::new(room.x0 + 8.0, corner.y + tall + GAP + 6.0);
            tall = 0.0;
        }
        if pages.is_empty() || corner.y + high > room.y1 {
            let mut page = page(said);
            let right = Point::new(PAGE.0 - MARGIN, 26.0);
            let words = format!("Scale 1:{scale}");
            page.text(
                Layer::Page,
                Text::new(&words, right, 2.6).anchor(Anchor::End).bold(),
            );
            pages.push(page);
            (corner, tall) = (room.origin() + Vec2::new(8.0, 12.0), 0.0);
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        let place = Affine::translate(corner.to_vec2() - bounds.origin().to_vec2() / scale)
            * Affine::scale(1.0 / scale);
        page.line(Layer::Cut, place * piece.cut.clone(), CUT);
        page.line(Layer::Marks, place * piece.was.clone(), WAS);
        page.line(Layer::Seam, place * piece.now.clone(), EDGE);
        for mark in &piece.marks {
            page.line(Layer::Marks, place * mark.was.clone(), WAS);
            page.line(Layer::Marks, place * mark.now.clone(), MARK);
        }
        for seam in &piece.seams {
            number += 1;
            let at = place * seam.at;
            let beyond = at + seam.outward * OFF;
            page.line(Layer::Labels, segment(at, beyond), Pen::full(0.1));
            let recut = if seam.allowed() { "" } else { "!" };
            let words = format!("{number}{recut}");
            let at = beyond + seam.outward * 2.2 + Vec2::new(0.0, NUMBER / 2.0);
            let text = Text::new(&words, at, NUMBER).anchor(Anchor::Middle);
            page.text(Layer::Labels, text.bold());
        }
        let heading = Text::new(&capital(&piece.piece), corner - Vec2::new(0.0, 8.0), 1.9).bold();
        page.text(Layer::Page, heading.clone());
        corner.x += wide.max(heading.length()) + GAP;
        tall = tall.max(high);
    }
    pages
}
