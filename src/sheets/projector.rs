//! Draws a pattern as one page for a projector: the pieces over a grid by which the picture is brought to size.

use super::drawing::{Drawing, Layer, Pen, Text, segment};

/// Width of the page, in mm: what a projector above a table shows without being moved (judged, no source).
pub(super) const WIDTH: f64 = 1500.0;
/// How much bolder lines are than on paper. A picture 1.5 m wide has less than 1.3 dots to the mm, and a line takes
/// two dots to be seen from a step away.
pub(super) const BOLDER: f64 = 3.5;
/// Side of the squares of the grid, in mm, and how many of them make a large one.
const SQUARE: f64 = 100.0;
const LARGE: u32 = 5;
/// Lines of the squares and of the large ones.
const THIN: Pen = Pen::full(0.8).grey(0.8);
const THICK: Pen = Pen::full(1.6).grey(0.6);
/// Height of the words, in mm.
const WORDS: f64 = 12.0;

/// Returns the height that the words above the pieces take, in mm.
pub(super) fn heading() -> f64 {
    2.0 * SQUARE
}

/// Draws the grid of a page, with what to do with it above.
pub(super) fn grid(title: &str, (width, height): (f64, f64)) -> Drawing {
    let mut page = Drawing::new(title, width, height);
    let at = |i: u32| f64::from(i) * SQUARE;
    let pen = |i: u32| if i.is_multiple_of(LARGE) { THICK } else { THIN };
    for i in (0..).take_while(|&i| at(i) <= width) {
        page.line(Layer::Page, segment((at(i), 0.0), (at(i), height)), pen(i));
    }
    for i in (0..).take_while(|&i| at(i) <= height) {
        page.line(Layer::Page, segment((0.0, at(i)), (width, at(i))), pen(i));
    }
    let title = super::font::shorten(title, WORDS, true, width - 2.0 * WORDS);
    page.write(Text::new(&title, (WORDS, 40.0), WORDS).bold());
    let told = [
        "Each square is 100 mm, each large one 500 mm: measure both ways, at the corners too.",
        "Measure again when the projector or the table was moved.",
    ];
    for (line, words) in (0..).zip(told) {
        let down = 80.0 + 40.0 * f64::from(line);
        page.write(Text::new(words, (WORDS, down), WORDS));
    }
    page
}
