//! The garment made up: where each point of each piece is seen on the figure that wears it, from the front
//! and from the back, with the seams closed and the lapel turned over.
//!
//! A view is made by what the pieces are declared to be ([`Form`]), whole or not at all. It is data: regions
//! that hide what lies behind them, lines and buttons, in the order in which they lie over each other;
//! lengths in mm, x from the middle of the figure to the right of who looks on, y down from the nape.

mod back;
mod front;
mod hand;
mod legs;
mod sleeve;
mod trousers;
mod trunk;
mod waistband;
mod waistcoat;

use crate::draft::{Draft, Form};
use hand::Hand;
pub use hand::{along, closed};
use kurbo::Point;

/// The side a garment is seen from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The front.
    Front,
    /// The back.
    Back,
}

/// What a line of a view is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// Where the garment ends and what is behind it begins.
    Outline,
    /// An edge that lies on the garment: of a lapel, a pocket, a buttonhole.
    Edge,
    /// A seam, or a crease.
    Seam,
    /// Stitches that are seen.
    Stitch,
    /// An edge that lies behind what is seen: of the cloth that laps under at a vent.
    Hidden,
}

/// What is seen of the cloth in a region.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shade {
    /// Its face, in the light.
    Face,
    /// The inside of the garment.
    Inside,
    /// The inside of the collar, behind the neck.
    Neck,
    /// What laps under a vent.
    Lap,
}

/// Something that is seen. What comes later lies over what came before.
#[derive(Debug, Clone, PartialEq)]
pub enum Shown {
    /// A region, by its outline.
    Region(Vec<Point>, Shade),
    /// A line through points.
    Line(Vec<Point>, Line),
    /// A button.
    Button {
        /// Its centre.
        at: Point,
        /// So many mm across.
        across: f64,
        /// How much of its width is seen: 1 from straight before it.
        seen: f64,
        /// Whether it is on the half of the figure that is drawn mirrored.
        mirrored: bool,
    },
}

/// A garment as it is seen from one side; `None` where its pieces are not declared to be what a view wants.
pub fn view(draft: &Draft, side: Side) -> Option<Vec<Shown>> {
    let draft = &draft.as_drawn();
    let mut shown = Vec::new();
    let mut hand = Hand::new(&mut shown);
    // A draft whose form is not whole is refused when its block has run.
    let form = Form::of(draft).ok()??;
    match (form, side) {
        (Form::Coat, Side::Front) => front::draw(draft, &mut hand),
        (Form::Coat, Side::Back) => back::draw(draft, &mut hand),
        (Form::Waistcoat, Side::Front) => waistcoat::front(draft, &mut hand),
        (Form::Waistcoat, Side::Back) => waistcoat::back(draft, &mut hand),
        (Form::Trousers, Side::Front) => trousers::front(draft, &mut hand),
        (Form::Trousers, Side::Back) => trousers::back(draft, &mut hand),
    }?;
    Some(shown)
}
