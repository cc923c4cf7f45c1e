//! Draws what a fitting moves: the old and the new seam line of each piece, with the seams that move numbered,
//! and lists what each seam needs of the cloth that was cut.

use super::page::{BODY, EDGE, FOOT, MARGIN, PAGE, STEP, Shelves, TOP, heads, room, scale_for};
use super::written::INDENT;
use crate::order::Order;
use crate::pattern::{MovedPiece, Moves};
use crate::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use crate::sheets::font;
use crate::sheets::words::capital;
use crate::units::Unit;
use kurbo::{Affine, Point, Shape, Vec2};

const WAS: Pen = Pen::dashed(0.2, &[2.2, 1.2]);
const CUT: Pen = Pen::full(0.12).grey(0.4);
const MARK: Pen = Pen::full(0.2);
/// Height of the numbers at the seams, and their distance from the seams, in mm.
const NUMBER: f64 = 2.4;
const OFF: f64 = 4.0;

/// Draws the pages for one garment: the list of the seams that move, then the pieces with their old and new
/// lines. `said` tells between which fittings. Returns no pages if nothing moves.
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
    let mut pages = listed(&pieces, &new, &others, said, order.unit);
    pages.extend(drawn(&pieces));
    let title = format!("What moves · {garment}");
    heads(&mut pages, &title, order);
    pages
}

fn page(heading: &str) -> Drawing {
    let mut page = Drawing::new("What moves", PAGE.0, PAGE.1);
    let heading = font::shorten(heading, 2.6, false, PAGE.0 - 2.0 * MARGIN - 30.0);
    page.write(Text::new(&heading, (MARGIN, 26.0), 2.6));
    page
}

/// Writes the list of seams, with a heading for each piece.
fn listed(
    pieces: &[&MovedPiece],
    new: &[String],
    others: &[String],
    said: &str,
    unit: Unit,
) -> Vec<Drawing> {
    let mut lines: Vec<(bool, String)> = Vec::new();
    let mut number = 0;
    for piece in pieces {
        let laid = piece.laid(unit).map(|laid| format!(", {laid}"));
        lines.push((
            true,
            format!("{}{}", capital(&piece.piece), laid.unwrap_or_default()),
        ));
        for seam in &piece.seams {
            number += 1;
            lines.push((false, format!("{number}: {}", seam.in_words(unit))));
        }
        lines.extend(piece.carried(unit).into_iter().map(|words| (false, words)));
    }
    for (names, heading) in [
        (new, "New pieces to cut"),
        (
            others,
            "Linings, canvas and the rest, to cut by the new pattern",
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
            font::wrap(&words, BODY, false, PAGE.0 - 2.0 * MARGIN - 3.0 * INDENT)
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
            let indent = match (heading, i) {
                (true, _) => 0.0,
                (false, 0) => INDENT,
                (false, _) => 2.0 * INDENT,
            };
            let text = Text::new(row, (MARGIN + indent, y), BODY);
            if let Some(page) = pages.last_mut() {
                page.write(if heading { text.bold() } else { text });
            }
            y += STEP;
        }
    }
    pages
}

/// Draws the pieces in rows, all at one scale.
fn drawn(pieces: &[&MovedPiece]) -> Vec<Drawing> {
    let bounds = |piece: &MovedPiece| piece.cut.bounding_box().union(piece.now.bounding_box());
    let scales = pieces
        .iter()
        .map(|piece| scale_for(bounds(piece), room(PAGE).inset(-16.0)));
    let scale = scales.fold(4.0, f64::max);
    let said =
        "Full: the new seam line. Broken: the seam line that was. Thin: the line it was cut by.";
    let mut pages: Vec<Drawing> = Vec::new();
    let mut shelves = Shelves::new(room(PAGE), Vec2::new(8.0, 12.0));
    let mut number = 0;
    for piece in pieces {
        let bounds = bounds(piece);
        let size = bounds.size() / scale;
        if shelves.make_room(size) || pages.is_empty() {
            let mut page = page(said);
            let right = Point::new(PAGE.0 - MARGIN, 26.0);
            let words = format!("Scale 1:{scale}");
            page.write(Text::new(&words, right, 2.6).anchor(Anchor::End).bold());
            pages.push(page);
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        let corner = shelves.corner;
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
            let number_at = beyond + seam.outward * 2.2 + Vec2::new(0.0, NUMBER / 2.0);
            let text = Text::new(&words, number_at, NUMBER).anchor(Anchor::Middle);
            page.text(Layer::Labels, text.bold());
        }
        let heading = Text::new(&capital(&piece.piece), corner - Vec2::new(0.0, 8.0), 1.9).bold();
        page.write(heading.clone());
        shelves.fill(size, heading.length());
    }
    pages
}
