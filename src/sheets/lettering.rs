//! Draws single-stroke lettering for plotters and markers, with Latin, Greek and Cyrillic letters.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use kurbo::{Affine, BezPath, Point, Rect, Shape};
use unicode_normalization::UnicodeNormalization;

/// Height of a capital on the letters' grid.
const CAPITAL: f64 = 12.0;
/// Space between letters, on the grid.
const GAP: f64 = 3.0;
/// Width of a word space on the grid, without the gap.
const WORD: f64 = 5.0;

/// The character that is drawn in place of a letter that the alphabet or the font lacks.
pub const STAND_IN: char = '◊';

/// A letter as strokes on the grid, with its base line at y = 0 and y up.
#[derive(Debug, Clone, PartialEq, Default)]
struct Letter {
    strokes: Vec<BezPath>,
    bounds: Rect,
}

impl Letter {
    fn new(strokes: Vec<BezPath>) -> Self {
        let bounds = strokes
            .iter()
            .map(Shape::bounding_box)
            .reduce(|a, b| a.union(b));
        Self {
            strokes,
            bounds: bounds.unwrap_or_default(),
        }
    }

    fn transformed(&self, affine: Affine) -> Self {
        Self::new(self.strokes.iter().map(|stroke| affine * stroke).collect())
    }
}

/// The letters, and the marks that are put over or under them.
struct Alphabet {
    letters: BTreeMap<char, Letter>,
    marks: BTreeMap<char, Letter>,
}

static ALPHABET: LazyLock<Alphabet> = LazyLock::new(|| read(include_str!("fonts/lettering.txt")).0);

/// Reads the table of letters. Also returns the lines that it cannot read; a test checks that there are none.
fn read(table: &str) -> (Alphabet, Vec<&str>) {
    let mut alphabet = Alphabet {
        letters: BTreeMap::new(),
        marks: BTreeMap::new(),
    };
    let mut spoilt = Vec::new();
    for line in table.lines().filter(|line| !line.starts_with("//")) {
        if read_line(line, &mut alphabet).is_none() {
            spoilt.push(line);
        }
    }
    (alphabet, spoilt)
}

fn read_line(line: &str, alphabet: &mut Alphabet) -> Option<()> {
    let (name, body) = line.split_once(' ')?;
    let mut name = name.chars();
    let first = name.next()?;
    match (first, name.next()) {
        ('◌', Some(mark)) => {
            alphabet.marks.insert(mark, Letter::new(strokes(body)?));
        }
        (letter, None) => {
            let drawn = if let Some(other) = body.strip_prefix("= ") {
                alphabet.letters.get(&other.chars().next()?)?.clone()
            } else if let Some(capital) = body.strip_prefix("^ ") {
                let capital = alphabet.letters.get(&capital.chars().next()?)?;
                capital.transformed(Affine::scale_non_uniform(0.72, 2.0 / 3.0))
            } else {
                Letter::new(strokes(body)?)
            };
            alphabet.letters.insert(letter, drawn);
        }
        _ => return None,
    }
    Some(())
}

fn strokes(body: &str) -> Option<Vec<BezPath>> {
    body.split(" | ").map(stroke).collect()
}

/// Reads one stroke: corners that are joined by lines, and points marked `~` that control a quadratic spline.
fn stroke(text: &str) -> Option<BezPath> {
    let mut words = text.split_whitespace().peekable();
    let closed = words.next_if_eq(&"@").is_some();
    let mut points: Vec<(bool, Point)> = Vec::new();
    for word in words {
        let (soft, pair) = match word.strip_prefix('~') {
            Some(pair) => (true, pair),
            None => (false, word),
        };
        let (x, y) = pair.split_once(',')?;
        points.push((soft, Point::new(x.parse().ok()?, y.parse().ok()?)));
    }
    let (&(first_soft, first), &(last_soft, last)) = (points.first()?, points.last()?);
    if points.len() < 2 || (!closed && (first_soft || last_soft)) {
        return None;
    }
    let mut path = BezPath::new();
    path.move_to(match (first_soft, last_soft) {
        (true, true) => first.midpoint(last),
        (true, false) => last,
        _ => first,
    });
    let after = points.iter().skip(1).chain(closed.then_some(&points[0]));
    for (&(soft, point), &(next_soft, next)) in points.iter().zip(after) {
        if soft {
            path.quad_to(
                point,
                if next_soft {
                    point.midpoint(next)
                } else {
                    next
                },
            );
        } else if !next_soft {
            path.line_to(next);
        }
    }
    if closed {
        path.close_path();
    }
    Some(path)
}

/// Returns the strokes of a line of words and its length, for capitals of `height` mm. It starts at 0,0, and y
/// runs down as on the sheets. A letter that the alphabet lacks is a [`STAND_IN`], as on paper.
pub fn write(words: &str, height: f64) -> (Vec<BezPath>, f64) {
    let to_mm = Affine::scale_non_uniform(height / CAPITAL, -height / CAPITAL);
    let (letters, length) = set(words);
    (
        letters.into_iter().map(|stroke| to_mm * stroke).collect(),
        length * height / CAPITAL,
    )
}

/// Whether the alphabet has a letter and its marks.
pub fn has(letter: char) -> bool {
    letter.nfd().all(|part| {
        part == ' ' || ALPHABET.letters.contains_key(&part) || ALPHABET.marks.contains_key(&part)
    })
}

/// Returns the length of a line of words in mm, for capitals of `height` mm.
pub fn length(words: &str, height: f64) -> f64 {
    set(words).1 * height / CAPITAL
}

/// Sets letter after letter on the grid. Returns the strokes and the x at which the last letter ends.
fn set(words: &str) -> (Vec<BezPath>, f64) {
    let mut strokes: Vec<BezPath> = Vec::new();
    let mut pen = 0.0;
    let mut base = Rect::ZERO;
    let stand_in = ALPHABET.letters.get(&STAND_IN);
    let parts: Vec<char> = words.nfd().collect();
    for (i, &part) in parts.iter().enumerate() {
        if part == ' ' {
            pen += WORD;
            continue;
        }
        if let Some(mark) = ALPHABET.marks.get(&part) {
            let below = mark.bounds.y1 <= 0.5;
            let top = if below { 0.0 } else { base.y1.max(8.0) };
            let place = Affine::translate((base.center().x, top));
            strokes.extend(mark.strokes.iter().map(|stroke| place * stroke));
            base = if below {
                base
            } else {
                Rect {
                    y1: top + mark.bounds.y1,
                    ..base
                }
            };
            continue;
        }
        let marked = parts.get(i + 1).and_then(|next| ALPHABET.marks.get(next));
        let drawn = undotted(part, marked.is_some_and(|mark| mark.bounds.y0 > 0.5));
        let letter = ALPHABET.letters.get(&drawn).or(stand_in);
        let Some(letter) = letter else { continue };
        let place = Affine::translate((pen, 0.0));
        strokes.extend(letter.strokes.iter().map(|stroke| place * stroke));
        base = letter.bounds + kurbo::Vec2::new(pen, 0.0);
        pen += letter.bounds.x1 + GAP;
    }
    (strokes, (pen - GAP).max(0.0))
}

/// Returns the i without its dot if it bears a mark.
fn undotted(letter: char, marked: bool) -> char {
    if marked && matches!(letter, 'i' | 'і') {
        'ı'
    } else {
        letter
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_table_reads() {
        assert_eq!(
            read(include_str!("fonts/lettering.txt")).1,
            Vec::<&str>::new()
        );
    }

    #[test]
    fn latin_greek_and_cyrillic_have_their_letters() {
        let alphabet = (' '..='~')
            .chain("ŻÓŁĆżółćÖdönßẞÆæŒœØøĐđĦħÞþÐðŠšŇňŘřŮůŐőŰűȘșȚțĄąĘęĮįİıÇçŞşĞğ".chars())
            .chain('Α'..='Ρ')
            .chain('Σ'..='Ω')
            .chain('α'..='ω')
            .chain("άέήίόύώϊΐ".chars())
            .chain('А'..='я')
            .chain("ЁёЇїІіЄєҐґЎўЂђЋћЉљЊњЏџЃѓЌќЈјЅѕ".chars());
        let missing: String = alphabet
            .filter(|&letter| {
                letter != ' '
                    && letter.nfd().any(|part| {
                        !ALPHABET.letters.contains_key(&part) && !ALPHABET.marks.contains_key(&part)
                    })
            })
            .collect();
        assert_eq!(missing, "");
    }

    #[test]
    fn a_capital_is_as_high_as_asked() {
        let (strokes, length) = write("H", 6.0);
        let bounds = strokes
            .iter()
            .map(Shape::bounding_box)
            .reduce(|a, b| a.union(b))
            .unwrap();
        assert!((bounds.height() - 6.0).abs() < 1e-9 && bounds.y1.abs() < 1e-9);
        assert!((length - bounds.width()).abs() < 1e-9);
    }

    #[test]
    fn accents_sit_clear_above_their_letter() {
        let top = |words| {
            write(words, 12.0)
                .0
                .iter()
                .map(|s| s.bounding_box().y0)
                .fold(0.0, f64::min)
        };
        assert!(top("é") < top("e") - 1.0);
        assert!(top("É") < top("E") - 1.0);
        assert!(top("ї") > -12.5, "the dots stand in place of the dot of i");
    }
}
