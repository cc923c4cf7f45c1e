//! A drawing, before it is written to any kind of file. Sizes are in mm, x runs to the right, y down.

pub use super::text::{Anchor, Text};
use crate::cloth::Picture;
use kurbo::{Affine, BezPath, Point, Rect, Shape};
use std::sync::Arc;

/// A sheet with what is drawn on it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// The sheet's title.
    pub title: String,
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// What is drawn, in any order: writers put the layers in order.
    pub items: Vec<Item>,
}

/// The purpose of what is drawn. Writers keep layers apart, so that each can be switched off, and draw them in
/// this order, in which the lines inside a piece come before the outline that cuts it loose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// The repeat of the cloth's pattern.
    Repeat,
    /// Edges of the cloth and of what may be used of it.
    Cloth,
    /// Seam lines.
    Seam,
    /// Grain, inner lines and points.
    Marks,
    /// Lettering inside pieces.
    Labels,
    /// Lines to cut: notches, then outlines.
    Cut,
    /// Frames, joints and words of the page itself.
    Page,
}

impl Layer {
    /// Every layer, in the order of drawing.
    pub const ALL: [Self; 7] = [
        Self::Repeat,
        Self::Cloth,
        Self::Seam,
        Self::Marks,
        Self::Labels,
        Self::Cut,
        Self::Page,
    ];

    /// Returns the layer's name, as a reader shows it in its list of layers.
    pub fn name(self) -> &'static str {
        match self {
            Self::Repeat => "repeat",
            Self::Cloth => "cloth",
            Self::Seam => "seam",
            Self::Marks => "marks",
            Self::Labels => "labels",
            Self::Cut => "cut",
            Self::Page => "page",
        }
    }
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Its layer.
    pub layer: Layer,
    /// The piece of the sheet that it belongs to, from 1; 0 is the sheet itself.
    pub part: usize,
    /// What is drawn.
    pub ink: Ink,
}

/// A line, a filled shape or words.
#[derive(Debug, Clone, PartialEq)]
pub enum Ink {
    /// A line along a path.
    Stroke {
        /// The path, in mm.
        path: BezPath,
        /// How it is drawn.
        pen: Pen,
    },
    /// A shape filled with grey, for pictures and solid heads; plotters leave it out.
    Fill {
        /// The outline, closed, filled by the non-zero rule.
        path: BezPath,
        /// 0 black to 1 white.
        grey: f64,
    },
    /// Words.
    Text(Text),
    /// A picture, which lies under everything else; plotters leave it out.
    Painted(Painted),
}

/// A picture with its place on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Painted {
    /// The picture.
    pub picture: Arc<Picture>,
    /// The same as PNG.
    pub png: Arc<Vec<u8>>,
    /// Its place, mm.
    pub place: Rect,
}

impl Painted {
    /// Puts a picture on a sheet; `None` if it has no pixels.
    pub fn new(picture: Picture, place: Rect) -> Option<Self> {
        let png = picture.png_on_paper().ok()?;
        Some(Self {
            picture: Arc::new(picture),
            png: Arc::new(png),
            place,
        })
    }
}

impl Ink {
    /// Returns the box round it, without the pen's width. The box round words is generous.
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Stroke { path, .. } | Self::Fill { path, .. } => path.bounding_box(),
            Self::Text(text) => text.bounds(),
            Self::Painted(painted) => painted.place,
        }
    }
}

/// The look of a line. Lines of different meaning differ in width or dash, not in colour alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Width in mm.
    pub width: f64,
    /// Lengths of dash and gap in turn, in mm; empty for a full line.
    pub dash: &'static [f64],
    /// 0 black to 1 white.
    pub grey: f64,
}

impl Pen {
    /// The line to cut on: the heaviest, unbroken.
    pub const CUT: Self = Self::full(0.5);
    /// The line to sew on: thin, in long dashes.
    pub const SEAM: Self = Self::dashed(0.25, &[5.0, 2.0]);
    /// The direction of the grain.
    pub const GRAIN: Self = Self::full(0.35);
    /// Inner lines to place things on, stitch to or mark with thread.
    pub const PLACE: Self = Self::full(0.25);
    /// Lines to fold on: dash and dot.
    pub const FOLD: Self = Self::dashed(0.25, &[8.0, 2.0, 1.0, 2.0]);
    /// The line to cut along if an inlay is not wanted: short dashes.
    pub const INLAY: Self = Self::dashed(0.25, &[2.0, 2.0]);
    /// Levels: short dots.
    pub const LEVEL: Self = Self::dashed(0.2, &[1.0, 2.0]);
    /// Frames and rules of a page.
    pub const PAGE: Self = Self::full(0.2);

    /// Makes an unbroken black line.
    pub const fn full(width: f64) -> Self {
        Self {
            width,
            dash: &[],
            grey: 0.0,
        }
    }

    /// Makes a broken black line.
    pub const fn dashed(width: f64, dash: &'static [f64]) -> Self {
        Self {
            width,
            dash,
            grey: 0.0,
        }
    }

    /// Makes the line grey.
    #[must_use]
    pub const fn grey(self, grey: f64) -> Self {
        Self { grey, ..self }
    }
}

impl Drawing {
    /// Makes an empty sheet.
    pub fn new(title: &str, width: f64, height: f64) -> Self {
        Self {
            title: super::font::tidy(title),
            width,
            height,
            items: Vec::new(),
        }
    }

    /// Draws a line that belongs to the sheet itself.
    pub fn line(&mut self, layer: Layer, path: BezPath, pen: Pen) {
        self.items.push(Item {
            layer,
            part: 0,
            ink: Ink::Stroke { path, pen },
        });
    }

    /// Writes words that belong to the sheet itself.
    pub fn text(&mut self, layer: Layer, text: Text) {
        self.items.push(Item {
            layer,
            part: 0,
            ink: Ink::Text(text),
        });
    }

    /// Rules a straight line on the page itself.
    pub fn rule(&mut self, from: impl Into<Point>, to: impl Into<Point>, pen: Pen) {
        self.line(Layer::Page, segment(from, to), pen);
    }

    /// Writes words on the page itself.
    pub fn write(&mut self, text: Text) {
        self.text(Layer::Page, text);
    }

    /// Fills a shape that belongs to the sheet itself.
    pub fn fill(&mut self, layer: Layer, path: BezPath, grey: f64) {
        self.items.push(Item {
            layer,
            part: 0,
            ink: Ink::Fill { path, grey },
        });
    }

    /// Adds what was drawn elsewhere as a further piece of the sheet.
    pub fn part(&mut self, part: usize, items: impl IntoIterator<Item = (Layer, Ink)>) {
        self.items.extend(
            items
                .into_iter()
                .map(|(layer, ink)| Item { layer, part, ink }),
        );
    }

    /// Returns the items moved onto another sheet. `place` should keep the scale, as words and pens do not scale.
    pub fn placed(&self, place: Affine) -> impl Iterator<Item = Item> {
        self.items.iter().map(move |item| {
            let ink = match &item.ink {
                Ink::Stroke { path, pen } => Ink::Stroke {
                    path: place * path,
                    pen: *pen,
                },
                Ink::Fill { path, grey } => Ink::Fill {
                    path: place * path,
                    grey: *grey,
                },
                Ink::Text(text) => Ink::Text(Text {
                    at: place * text.at,
                    ..text.clone()
                }),
                Ink::Painted(painted) => Ink::Painted(Painted {
                    place: place.transform_rect_bbox(painted.place),
                    ..painted.clone()
                }),
            };
            Item { ink, ..*item }
        })
    }

    /// Returns the drawing enlarged, with its words. Lines keep their width and dashes.
    #[must_use]
    pub fn scaled(&self, times: f64) -> Self {
        let scale = Affine::scale(times);
        let items = self.placed(scale).map(|mut item| {
            if let Ink::Text(text) = &mut item.ink {
                text.height *= times;
            }
            item
        });
        Self {
            title: self.title.clone(),
            width: times * self.width,
            height: times * self.height,
            items: items.collect(),
        }
    }

    /// Makes every line `times` as wide, for small pictures.
    #[must_use]
    pub fn bolder(mut self, times: f64) -> Self {
        for item in &mut self.items {
            if let Ink::Stroke { pen, .. } = &mut item.ink {
                pen.width *= times;
            }
        }
        self
    }

    /// Returns the items of one layer, in the order they were drawn.
    pub fn layer(&self, layer: Layer) -> impl Iterator<Item = &Item> {
        self.items.iter().filter(move |item| item.layer == layer)
    }
}

/// Returns a straight line as a path.
pub fn segment(from: impl Into<Point>, to: impl Into<Point>) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from.into());
    path.line_to(to.into());
    path
}

/// Returns a rectangle as a closed path.
pub fn rectangle(rect: Rect) -> BezPath {
    rect.to_path(0.1)
}
