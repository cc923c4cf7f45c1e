//! Text on a drawing: its words, where they stand, how large and which way up.

use super::font;
use kurbo::{Affine, BezPath, Point, Rect, Vec2};

/// A line of words at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// One line of words, already [cleaned](font::clean).
    pub words: String,
    /// A point on the base line: its start, middle or end, by `anchor`.
    pub at: Point,
    /// Height of a capital letter in mm.
    pub height: f64,
    /// Direction of the base line: degrees, clockwise from the x axis as seen on the sheet.
    pub degrees: f64,
    /// The point of the base line that `at` gives.
    pub anchor: Anchor,
    /// Whether it is heavier, as headings are.
    pub bold: bool,
    /// 0 black to 1 white.
    pub grey: f64,
}

/// The point of a line of words that its place gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

impl Text {
    /// Cleans words and starts them at a point, level and black.
    pub fn new(words: &str, at: impl Into<Point>, height: f64) -> Self {
        Self {
            words: font::clean(words),
            at: at.into(),
            height,
            degrees: 0.0,
            anchor: Anchor::Start,
            bold: false,
            grey: 0.0,
        }
    }

    /// Places the words by another point of the line.
    #[must_use]
    pub fn anchor(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// Turns the words about their place.
    #[must_use]
    pub fn turned(self, degrees: f64) -> Self {
        Self { degrees, ..self }
    }

    /// Makes the words heavier.
    #[must_use]
    pub fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// Makes the words grey.
    #[must_use]
    pub fn grey(self, grey: f64) -> Self {
        Self { grey, ..self }
    }

    /// Returns the length of the words in mm, in the wider of the two letterings.
    pub fn length(&self) -> f64 {
        font::length(&self.words, self.height, self.bold)
            .max(super::lettering::length(&self.words, self.height))
    }

    /// Returns the distance from `at` to the start of the words along the base line, if they are `length` long.
    pub fn offset(&self, length: f64) -> f64 {
        match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -length / 2.0,
            Anchor::End => -length,
        }
    }

    /// Returns the map from the words' own axes (x along the base line, y down, start at 0) to the sheet.
    pub fn transform(&self, length: f64) -> Affine {
        Affine::translate(self.at.to_vec2())
            * Affine::rotate(self.degrees.to_radians())
            * Affine::translate(Vec2::new(self.offset(length), 0.0))
    }

    /// Returns the four corners of the words, tails and accents included, in mm.
    pub fn corners(&self) -> [Point; 4] {
        let length = self.length();
        let to_sheet = self.transform(length);
        let (top, foot) = (-1.35 * self.height, 0.4 * self.height);
        [(0.0, top), (length, top), (length, foot), (0.0, foot)]
            .map(|corner| to_sheet * Point::from(corner))
    }

    /// Returns the box round the words as a closed path.
    pub fn outline(&self) -> BezPath {
        let [a, b, c, d] = self.corners();
        let mut path = BezPath::new();
        path.move_to(a);
        path.line_to(b);
        path.line_to(c);
        path.line_to(d);
        path.close_path();
        path
    }

    pub(super) fn bounds(&self) -> Rect {
        let [a, b, c, d] = self.corners();
        Rect::from_points(a, b).union(Rect::from_points(c, d))
    }
}
