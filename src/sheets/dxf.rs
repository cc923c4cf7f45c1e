//! Writes the pieces as DXF, release 12. This is a beta: it follows ASTM D6673 and claims no conformance.
//!
//! Every piece is a block that is inserted once, in millimetres with y up. The layers are those of D6673
//! (withdrawn 2019) from memory, not checked against a bought copy: 1 the line to cut, 4 notches, 7 grain,
//! 8 inner lines, 11 lines to cut inside, 13 drill holes and buttons, 14 the seam line, 15 words.

use std::fmt::Write;

use kurbo::{Affine, BezPath, PathEl, Point};

use super::words::CAUTION;
use super::{gallery, words};
use crate::draft::{Mark, Symbol};
use crate::order::Order;
use crate::pattern::{Pattern, Piece};

/// Distance of a flattened curve from the true one, in mm: far less than a knife is wide.
const FLAT: f64 = 0.02;
/// Height of words, in mm.
const HEIGHT: f64 = 5.0;
/// Distance from one line to the next, in mm.
const STEP: f64 = 9.0;

const CUT: u8 = 1;
const NOTCH: u8 = 4;
const GRAIN: u8 = 7;
const INNER: u8 = 8;
const SLASH: u8 = 11;
const DRILL: u8 = 13;
const SEAM: u8 = 14;
const WORDS: u8 = 15;
const LAYERS: [u8; 8] = [CUT, NOTCH, GRAIN, INNER, SLASH, DRILL, SEAM, WORDS];

/// Writes the pieces as DXF.
pub fn write(pattern: &Pattern, order: &Order) -> Vec<u8> {
    let mut file = File::default();
    // Comments; release 12 has no variable for the unit.
    file.pair(999, "Lengths in millimetres");
    file.pair(999, CAUTION);
    let stand = gallery::stand(pattern);
    file.section("HEADER", |file| {
        file.pairs(&[(9, "$ACADVER"), (1, "AC1009"), (9, "$EXTMIN")]);
        file.point(10, Point::new(0.0, -stand.ends.y));
        file.pair(9, "$EXTMAX");
        file.point(10, Point::new(stand.ends.x, 0.0));
    });
    file.section("TABLES", tables);
    let names: Vec<String> = pattern
        .pieces
        .iter()
        .enumerate()
        .map(|(i, piece)| block_name(i, piece))
        .collect();
    file.section("BLOCKS", |file| {
        for (piece, name) in pattern.pieces.iter().zip(&names) {
            block(file, piece, name, order);
        }
    });
    file.section("ENTITIES", |file| {
        for ((piece, name), place) in pattern.pieces.iter().zip(&names).zip(&stand.places) {
            file.entity("INSERT", CUT);
            file.pair(2, name);
            let base = *place * corner(piece);
            file.point(10, Point::new(base.x, -base.y));
        }
    });
    file.pair(0, "EOF");
    file.0.into_bytes()
}

fn tables(file: &mut File) {
    file.pairs(&[(0, "TABLE"), (2, "LTYPE"), (70, "1")]);
    file.pairs(&[
        (0, "LTYPE"),
        (2, "CONTINUOUS"),
        (70, "0"),
        (3, "Solid line"),
    ]);
    file.pairs(&[(72, "65"), (73, "0"), (40, "0.0"), (0, "ENDTAB")]);
    let count = LAYERS.len().to_string();
    file.pairs(&[(0, "TABLE"), (2, "LAYER"), (70, &count)]);
    for layer in LAYERS {
        let name = layer.to_string();
        file.pairs(&[
            (0, "LAYER"),
            (2, &name),
            (70, "0"),
            (62, "7"),
            (6, "CONTINUOUS"),
        ]);
    }
    file.pair(0, "ENDTAB");
}

/// Makes a name that release 12 accepts: at most 31 capitals, digits, `-` and `_`.
fn block_name(index: usize, piece: &Piece) -> String {
    let name = format!("{:02}-{}-{}", index + 1, piece.garment, piece.name);
    let plain = name
        .chars()
        .map(|letter| match letter.to_ascii_uppercase() {
            plain @ ('A'..='Z' | '0'..='9' | '-') => plain,
            _ => '_',
        });
    plain.take(31).collect()
}

/// Returns a block's base point, the upper left corner of the box round the piece.
fn corner(piece: &Piece) -> Point {
    piece.bounds().origin()
}

fn block(file: &mut File, piece: &Piece, name: &str, order: &Order) {
    // From the piece (y down) to the block (y up), its corner at 0.
    let place = Affine::FLIP_Y * Affine::translate(-corner(piece).to_vec2());
    file.entity("BLOCK", CUT);
    file.pair(2, name);
    file.pair(70, "0");
    file.point(10, Point::ZERO);
    file.pair(3, name);
    file.path(CUT, &(place * &piece.cut));
    file.path(SEAM, &(place * &piece.seam));
    file.line(GRAIN, place * piece.grain.0, place * piece.grain.1);
    for notch in &piece.notches {
        file.entity("POINT", NOTCH);
        file.point(10, place * notch.cut);
    }
    for mark in &piece.marks {
        draw_mark(file, mark, place);
    }
    let middle = piece.grain.0.midpoint(piece.grain.1);
    for (i, line) in words::on_piece(piece, order).iter().enumerate() {
        let down = kurbo::Vec2::new(4.0, STEP * i as f64);
        file.entity("TEXT", WORDS);
        file.point(10, place * (middle + down));
        file.pair(40, &number(HEIGHT));
        file.pair(1, &escaped(line));
    }
    file.entity("ENDBLK", CUT);
}

fn draw_mark(file: &mut File, mark: &Mark, place: Affine) {
    let path = place * &mark.path;
    match (mark.kind.symbol(), path.elements().first()) {
        (Symbol::Drill | Symbol::Button, Some(PathEl::MoveTo(at))) => {
            file.entity("POINT", DRILL);
            file.point(10, *at);
        }
        (Symbol::Cut, _) => file.path(SLASH, &path),
        _ => file.path(INNER, &path),
    }
}

/// The text of a DXF file: pairs of a code and a value, each on a line of its own.
#[derive(Default)]
struct File(String);

impl File {
    fn pair(&mut self, code: u16, value: &str) {
        // Writing to a string cannot fail.
        let _ = write!(self.0, "{code:3}\r\n{value}\r\n");
    }

    fn pairs(&mut self, pairs: &[(u16, &str)]) {
        pairs
            .iter()
            .for_each(|(code, value)| self.pair(*code, value));
    }

    fn section(&mut self, name: &str, fill: impl FnOnce(&mut Self)) {
        self.pair(0, "SECTION");
        self.pair(2, name);
        fill(self);
        self.pair(0, "ENDSEC");
    }

    fn entity(&mut self, kind: &str, layer: u8) {
        self.pair(0, kind);
        self.pair(8, &layer.to_string());
    }

    /// Writes a point: x, y and z at the codes `code`, `code` + 10 and `code` + 20.
    fn point(&mut self, code: u16, at: Point) {
        self.pair(code, &number(at.x));
        self.pair(code + 10, &number(at.y));
        self.pair(code + 20, "0.0");
    }

    fn line(&mut self, layer: u8, from: Point, to: Point) {
        self.entity("LINE", layer);
        self.point(10, from);
        self.point(11, to);
    }

    /// Writes every subpath as a polyline.
    fn path(&mut self, layer: u8, path: &BezPath) {
        let mut runs: Vec<(Vec<Point>, bool)> = Vec::new();
        kurbo::flatten(path, FLAT, |element| match (element, runs.last_mut()) {
            (PathEl::MoveTo(point), _) => runs.push((vec![point], false)),
            (PathEl::LineTo(point), Some(run)) => run.0.push(point),
            (PathEl::ClosePath, Some(run)) => {
                // A closed polyline does not repeat its first point.
                if run.0.len() > 2 && run.0.first() == run.0.last() {
                    run.0.pop();
                }
                run.1 = true;
            }
            _ => {}
        });
        for (points, closed) in runs.into_iter().filter(|run| run.0.len() > 1) {
            self.entity("POLYLINE", layer);
            self.pair(66, "1");
            self.point(10, Point::ZERO);
            self.pair(70, if closed { "1" } else { "0" });
            for point in points {
                self.entity("VERTEX", layer);
                self.point(10, point);
            }
            self.entity("SEQEND", layer);
        }
    }
}

/// Writes a length to a thousandth of a mm, never as a negative zero.
fn number(value: f64) -> String {
    let rounded = (value * 1000.0).round() / 1000.0 + 0.0;
    if rounded.fract() == 0.0 {
        format!("{rounded:.1}")
    } else {
        rounded.to_string()
    }
}

/// Writes words in plain ASCII, with other letters as numbers.
fn escaped(words: &str) -> String {
    let mut plain = String::new();
    for letter in words.chars() {
        match letter {
            ' '..='~' => plain.push(letter),
            other => {
                let mut units = [0; 2];
                for unit in other.encode_utf16(&mut units) {
                    let _ = write!(plain, "\\U+{unit:04X}");
                }
            }
        }
    }
    plain
}
