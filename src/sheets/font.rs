//! Measures and prepares words in the font of the PDF sheets: Open Sans, with Latin, Greek and Cyrillic letters.

use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

use allsorts::binary::read::ReadScope;
use allsorts::font_data::FontData;
use allsorts::subset::{CmapTarget, SubsetProfile, subset};
use printpdf::ParsedFont;
use unicode_normalization::UnicodeNormalization;

pub use super::lettering::STAND_IN;

/// The usual weight.
pub static REGULAR: LazyLock<Typeface> = LazyLock::new(|| {
    Typeface::new(
        "OpenSans-Regular",
        include_bytes!("fonts/OpenSans-Regular.ttf"),
    )
});
/// The heavier weight, for headings.
pub static BOLD: LazyLock<Typeface> = LazyLock::new(|| {
    Typeface::new(
        "OpenSans-Semibold",
        include_bytes!("fonts/OpenSans-Semibold.ttf"),
    )
});

/// Units of the em square (the font's `head` table).
const EM: f64 = 2048.0;
/// Height of a capital in these units (the font's `OS/2` table).
const CAPITAL: f64 = 1462.0;

/// A weight of the font.
pub struct Typeface {
    name: &'static str,
    bytes: &'static [u8],
    whole: ParsedFont,
    /// The glyph of each letter, and its advance width in units.
    letters: HashMap<char, (u16, f64)>,
}

impl Typeface {
    fn new(name: &'static str, bytes: &'static [u8]) -> Self {
        let whole = ParsedFont::from_bytes(bytes, 0, &mut Vec::new());
        let whole = whole.expect("the embedded font is whole");
        let letter = |(code, glyph): (&u32, &u16)| {
            let width = whole.get_glyph_width(*glyph).unwrap_or_default();
            Some((char::from_u32(*code)?, (*glyph, f64::from(width))))
        };
        Self {
            name,
            bytes,
            letters: whole.codepoint_to_glyph.iter().filter_map(letter).collect(),
            whole,
        }
    }

    /// Returns the glyph of a letter, if the font has one.
    fn glyph(&self, letter: char) -> Option<u16> {
        self.letters.get(&letter).map(|(glyph, _)| *glyph)
    }

    /// Cuts the face down to the letters of a sheet. A `tag` of six capitals before its name says that it is a
    /// subset (ISO 32000-1, 9.6.4).
    pub fn with_only(&self, letters: &BTreeSet<char>, tag: &str) -> ParsedFont {
        let mut font = self.cut_down(letters).unwrap_or_else(|| self.whole.clone());
        font.font_name = Some(format!("{tag}+{}", self.name));
        // The tables of the subset no longer hold the weight of the face.
        font.pdf_font_metrics = self.whole.pdf_font_metrics.clone();
        font
    }

    fn cut_down(&self, letters: &BTreeSet<char>) -> Option<ParsedFont> {
        // The glyph for missing letters, number 0, must come first.
        let glyphs: BTreeSet<u16> = letters
            .iter()
            .filter_map(|&letter| self.glyph(letter))
            .chain([0])
            .collect();
        let glyphs: Vec<u16> = glyphs.into_iter().collect();
        let file = ReadScope::new(self.bytes).read::<FontData>().ok()?;
        let tables = file.table_provider(0).ok()?;
        let bytes = subset(&tables, &glyphs, &SubsetProfile::Pdf, CmapTarget::Unicode).ok()?;
        ParsedFont::from_bytes(&bytes, 0, &mut Vec::new())
    }
}

/// Returns the font size that gives capitals of a height, in the unit of the height.
pub fn size(height: f64) -> f64 {
    height * EM / CAPITAL
}

/// Returns the length of a line of words in mm, for capitals of `height` mm.
pub fn length(words: &str, height: f64, bold: bool) -> f64 {
    let font = if bold { &*BOLD } else { &*REGULAR };
    let units: f64 = words
        .chars()
        .filter_map(|letter| Some(font.letters.get(&letter)?.1))
        .sum();
    units * height / CAPITAL
}

/// Makes one line of words that every output can show: composed letters, no control characters, single spaces,
/// and one [`STAND_IN`] for each run of letters that the font lacks (an emoji, another script).
pub fn clean(words: &str) -> String {
    let mut line = String::with_capacity(words.len());
    for letter in words.nfc() {
        if letter.is_whitespace() || (letter.is_control() && !line.ends_with(' ')) {
            if !line.is_empty() && !line.ends_with(' ') {
                line.push(' ');
            }
        } else if joins_or_directs(letter) || letter.is_control() {
            continue;
        } else if REGULAR.glyph(letter).is_some_and(|glyph| glyph != 0) {
            line.push(letter);
        } else if !line.ends_with(STAND_IN) {
            line.push(STAND_IN);
        }
    }
    line.truncate(line.trim_end().len());
    line
}

/// Returns the letters of a text that not every sheet can show, each once, in their order. Characters that have
/// no shape are not among them.
pub fn lacking(words: &str) -> Vec<char> {
    let mut found = Vec::new();
    for letter in words.nfc() {
        let shapeless = letter.is_whitespace() || letter.is_control() || joins_or_directs(letter);
        if !shapeless && !shown(letter) && !found.contains(&letter) {
            found.push(letter);
        }
    }
    found
}

/// Whether both the font of the paper and the single strokes of the plots have a letter.
fn shown(letter: char) -> bool {
    let printed = [&*REGULAR, &*BOLD]
        .iter()
        .all(|font| font.glyph(letter).is_some_and(|glyph| glyph != 0));
    printed && super::lettering::has(letter)
}

/// Makes one line of words for outputs that are shown in the reader's own font: composed letters, no control
/// characters, single spaces.
pub fn tidy(words: &str) -> String {
    let mut line = String::with_capacity(words.len());
    for letter in words.nfc() {
        if letter.is_whitespace() || letter.is_control() {
            if !line.is_empty() && !line.ends_with(' ') {
                line.push(' ');
            }
        } else if !turns(letter) {
            line.push(letter);
        }
    }
    line.truncate(line.trim_end().len());
    line
}

/// Whether a character changes the direction of the text after it.
fn turns(letter: char) -> bool {
    matches!(letter, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}')
}

/// Whether a character has no shape of its own: joiners, directions, variation selectors, tags.
fn joins_or_directs(letter: char) -> bool {
    matches!(letter,
        '\u{00AD}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}'
        | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{E0000}'..='\u{E0FFF}')
}

/// Cleans words and cuts them short with an ellipsis where they would run past `width` mm.
pub fn shorten(words: &str, height: f64, bold: bool, width: f64) -> String {
    let words = clean(words);
    let fits = |line: &str| {
        length(line, height, bold).max(super::lettering::length(line, height)) <= width
    };
    if fits(&words) {
        return words;
    }
    let letters: Vec<char> = words.chars().collect();
    let (mut least, mut most) = (0, letters.len());
    while least < most {
        let middle = (least + most).div_ceil(2);
        let line: String = letters.iter().take(middle).chain(&['…']).collect();
        if fits(&line) {
            least = middle;
        } else {
            most = middle - 1;
        }
    }
    let kept: String = letters.iter().take(least).collect();
    format!("{}…", kept.trim_end())
}

/// Cleans words and breaks them into lines of at most `width` mm. A word longer than a line is broken
/// too.
pub fn wrap(words: &str, height: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in clean(words).split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if length(&longer, height, bold) <= width {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            line.push(letter);
            if length(&line, height, bold) > width && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::replace(&mut line, letter.to_string()));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_three_scripts_pass_unchanged() {
        let name = "Żółć Ödön Ωμέγα Иван";
        assert_eq!(clean(name), name);
        let decomposed: String = name.nfd().collect();
        assert_eq!(clean(&decomposed), name);
    }

    #[test]
    fn what_cannot_be_printed_does_no_harm() {
        assert_eq!(clean("Ann\u{0}\u{1b}[31m\tLee\r\n"), "Ann [31m Lee");
        assert_eq!(clean("🧵🪡 Tailor 👩‍👩‍👧"), "◊ Tailor ◊");
        assert_eq!(clean("\u{202E}abc\u{200B}"), "abc");
    }

    #[test]
    fn letters_that_no_sheet_has_are_told_each_once() {
        assert_eq!(lacking("Żółć Ωμέγα Иван 12 ½"), Vec::<char>::new());
        assert_eq!(lacking("Ann דוד דן \u{200B}"), ['ד', 'ו', 'ן']);
        assert_eq!(lacking(&STAND_IN.to_string()), Vec::<char>::new());
        assert_eq!(tidy("דוד\u{202E}\t \u{0}李"), "דוד 李");
    }

    #[test]
    fn long_names_are_cut_short_or_broken() {
        let name = "Maximilian ".repeat(40);
        let short = shorten(&name, 3.0, false, 80.0);
        assert!(short.ends_with('…') && length(&short, 3.0, false) <= 80.0);
        let lines = wrap(&"x".repeat(400), 3.0, false, 80.0);
        assert!(lines.iter().all(|line| length(line, 3.0, false) <= 80.0));
        assert_eq!(lines.concat().len(), 400);
    }

    #[test]
    fn a_size_gives_capitals_of_that_height() {
        // Open Sans: capital H is 1462 of 2048 units high, 1511 wide (its own tables).
        assert!((length("H", 1462.0, false) - 1511.0).abs() < 1.0);
        assert!((size(1462.0) - 2048.0).abs() < 1e-9);
    }
}
