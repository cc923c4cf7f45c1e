//! The types of a view: what is seen of a garment, in the order in which it is drawn.

use super::patch::Patch;
use kurbo::Point;

/// The way in which a garment is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Facing {
    /// The wearer is seen from the front.
    Front,
    /// The wearer is seen from behind.
    Back,
    /// The wearer is seen from behind, the vents of his coat open as when he moves.
    BackOpen,
    /// A coat is seen from inside, opened out flat; the wearer's left is on the viewer's right.
    Inside,
}

/// The meaning of a line in a view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// The end of the garment, beyond which the background begins.
    Outline,
    /// An edge that lies on the garment: of a lapel or a pocket.
    Edge,
    /// A seam or a crease.
    Seam,
    /// A line of visible stitches, in sewing thread.
    Stitch,
    /// A buttonhole, worked in buttonhole twist.
    Hole,
    /// A covered edge: that of the cloth that laps under at a vent.
    Hidden,
}

/// The side of the cloth that shows in a region, and the light it lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shade {
    /// The face of the cloth, in the light.
    Face,
    /// The inside of the garment.
    Inside,
    /// The inside of the collar, behind the neck.
    Neck,
    /// The cloth that laps under at a vent.
    Lap,
}

/// The suit's own cloth, by its id; it and those below are seen without a piece of them, and every house has them.
pub const CLOTH: &str = "cloth";
pub(super) const BRAID: &str = "braid";
pub(super) const LINING: &str = "lining";
pub(super) const POCKETING: &str = "pocketing";

/// What a region is filled with.
#[derive(Debug, Clone, PartialEq)]
pub enum Filled {
    /// The pieces that are seen in it. They may reach over its outline, which clips them.
    Patches(Vec<Patch>),
    /// A material, by its id, that is seen without a piece of it: the lining deep inside a coat.
    Plain(String),
    /// Nothing that is known.
    Nothing,
}

/// A thing that is seen in a view. Each covers those before it.
#[derive(Debug, Clone, PartialEq)]
pub enum Shown {
    /// A region, which covers what lies behind it whatever it is filled with.
    Region {
        /// Its outline, closed.
        outline: Vec<Point>,
        /// The side of the cloth that shows, and the light it lies in.
        shade: Shade,
        /// What it is filled with.
        filled: Filled,
    },
    /// A line through points.
    Line(Vec<Point>, Stroke),
    /// A button.
    Button {
        /// Its centre.
        at: Point,
        /// Its diameter, mm.
        across: f64,
        /// The share of its width that is seen: 1 when it faces the viewer.
        seen: f64,
        /// Whether it lies on the half of the view that is drawn as a mirror image.
        mirrored: bool,
    },
}
