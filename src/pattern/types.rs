//! A finished pattern. Lengths in mm; every piece keeps the draft's coordinates.

use crate::draft::{Count, Mark, Material, Turning};
use crate::order::Side;
use kurbo::{BezPath, Point, Rect, Vec2};
use serde::{Serialize, Serializer};

/// The pattern of every garment in the order.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// The pieces, garment by garment.
    pub pieces: Vec<Piece>,
    /// Places where pieces meet on a patterned cloth.
    pub matches: Vec<Match>,
    /// Ledger that proves it.
    pub ledger: Ledger,
}

/// Points of two pieces that lie on the same place of a cloth's pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// Name of the place in the trade.
    pub name: String,
    /// Index of the piece that leads.
    pub piece: usize,
    /// Its point.
    pub at: Point,
    /// Index of the piece that follows.
    pub partner: usize,
    /// Its point.
    pub partner_at: Point,
    /// Whether stripes that run along the cloth meet.
    pub across: bool,
    /// Whether bars that run across it meet.
    pub along: bool,
}

/// One of several orders that are laid together.
#[derive(Debug, Clone, PartialEq)]
pub struct OneOf {
    /// Its number among them, from 0.
    pub order: usize,
    /// What the piece's garment is called in that order, where no other client has one.
    pub garment: String,
}

/// A piece ready to lay and cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// The garment it belongs to.
    pub garment: String,
    /// Name within the garment: `forepart`.
    pub name: String,
    /// Material it is cut from.
    pub material: Material,
    /// Number of times it is cut.
    pub count: Count,
    /// The side of the body that it is cut for, if it is cut for one alone.
    pub side: Option<Side>,
    /// Name of its pair within the garment, if it is one side of a pair whose sides are cut by themselves.
    pub pair: Option<String>,
    /// Whether it was turned over after it was drawn, so that it lies the other way round than the pieces that
    /// were drawn with it.
    pub turned_over: bool,
    /// The seam line, closed.
    pub seam: BezPath,
    /// The cut line, closed: the seam line and its allowances.
    pub cut: BezPath,
    /// Lines along which edges with an inlay would be cut to a plain seam: an open line beside each of them,
    /// from cut line to cut line.
    pub inlays: Vec<BezPath>,
    /// Notches, on the cut line.
    pub notches: Vec<Notch>,
    /// Inner lines and points.
    pub marks: Vec<Mark>,
    /// Grain: a line inside the seam line, in the direction in which the nap of the cloth runs.
    pub grain: (Point, Point),
    /// Unit vector that points down when the piece is worn.
    pub down: Vec2,
    /// The ways in which it may be turned on the cloth.
    pub turning: Turning,
    /// Whether it is cut on the bias.
    pub bias: bool,
    /// Greatest angle between its grain and the cloth's on plain cloth, either way, degrees.
    pub off_grain: f64,
    /// Line along the grain about which both sides are the same, if it may be cut on the folded edge of the
    /// cloth.
    pub fold: Option<(Point, Point)>,
    /// Which of several orders it is of, where they are joined to be laid together.
    pub one_of: Option<OneOf>,
}

impl Piece {
    /// Returns the box round the cut line.
    pub fn bounds(&self) -> Rect {
        kurbo::Shape::bounding_box(&self.cut)
    }

    /// Returns the area within the cut line, mm².
    pub fn area(&self) -> f64 {
        kurbo::Shape::area(&self.cut).abs()
    }
}

/// A notch on the cut line.
#[derive(Debug, Clone, PartialEq)]
pub struct Notch {
    /// Name; the partner on the other piece bears the same one.
    pub name: String,
    /// Its place on the seam line.
    pub seam: Point,
    /// Its place on the cut line.
    pub cut: Point,
    /// Unit vector from the cut line into the piece.
    pub inward: Vec2,
}

/// The measurements that prove a pattern. It is written only when every row holds.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Ledger {
    /// Seams: both lengths, the ease between them, the range allowed.
    pub seams: Vec<SeamRow>,
    /// Joins: the break between two edges once their seam is closed.
    pub joins: Vec<JoinRow>,
    /// Notches: the distance by which partners miss each other.
    pub notches: Vec<CheckRow>,
    /// Finished girths.
    pub girths: Vec<GirthRow>,
    /// Outlines: crossings, the cut line outside the seam line, dart legs.
    pub outlines: Vec<CheckRow>,
    /// Curves: kinks and wiggles.
    pub curves: Vec<CheckRow>,
    /// Corners between two edges: the angle by which the outline turns inward. The report leaves them out,
    /// because a corner that holds tells nothing.
    #[serde(skip)]
    pub corners: Vec<CheckRow>,
    /// Lengths of the draft with their plausible bounds. The report leaves them out as well.
    #[serde(skip)]
    pub bounds: Vec<BoundRow>,
}

/// Writes a number of the ledger to a thousandth, as the report has all of its lengths.
#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "this is how a value is handed over to be written"
)]
fn to_a_thousandth<S: Serializer>(value: &f64, writer: S) -> Result<S::Ok, S::Error> {
    writer.serialize_f64((value * 1000.0).round() / 1000.0 + 0.0)
}

/// A seam of the ledger, mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(
    missing_docs,
    reason = "the fields are the report's own words, explained there"
)]
pub struct SeamRow {
    pub seam: String,
    #[serde(serialize_with = "to_a_thousandth")]
    pub a_mm: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub b_mm: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub ease_mm: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub min_mm: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub max_mm: f64,
    pub ok: bool,
    /// File and line of the step that declares the seam.
    pub source: String,
}

/// A joint of the ledger, degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(
    missing_docs,
    reason = "the fields are the report's own words, explained there"
)]
pub struct JoinRow {
    pub join: String,
    #[serde(serialize_with = "to_a_thousandth")]
    pub break_degrees: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub max_degrees: f64,
    pub ok: bool,
    pub source: String,
}

/// A finished girth of the ledger, mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(
    missing_docs,
    reason = "the fields are the report's own words, explained there"
)]
pub struct GirthRow {
    pub girth: String,
    #[serde(serialize_with = "to_a_thousandth")]
    pub finished_mm: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub body_mm: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub meant_mm: f64,
    #[serde(serialize_with = "to_a_thousandth")]
    pub within_mm: f64,
    pub ok: bool,
    pub source: String,
}

/// A length of the draft and the bounds between which it is plausible, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct BoundRow {
    /// Name of the length.
    pub bound: String,
    /// Length in the draft.
    pub found_mm: f64,
    /// The least that is plausible.
    pub least_mm: f64,
    /// The most that is plausible.
    pub most_mm: f64,
    /// Whether it lies between them.
    pub ok: bool,
    /// File and line of the step that declares it.
    pub source: String,
}

/// Any other check of the ledger: a measurement with its limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckRow {
    /// Name of the check, with the pieces and edges it concerns.
    pub check: String,
    /// Measurement.
    #[serde(serialize_with = "to_a_thousandth")]
    pub found: f64,
    /// Greatest measurement that is allowed.
    #[serde(serialize_with = "to_a_thousandth")]
    pub limit: f64,
    /// Whether it holds.
    pub ok: bool,
    /// File and line of the step that asks for it, if one does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// Where a curve is not fair, for the words of the fault.
    #[serde(skip)]
    pub unfair: Option<Box<Unfair>>,
}

/// Where a curve is not fair, as a cutter finds it on the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Unfair {
    /// The edge with its piece: `the side seam of the overcoat's back`.
    pub edge: String,
    /// Where the places are measured from: `the hem`.
    pub from: String,
    /// Distances along the edge from there, mm, the nearest first.
    pub places: Vec<f64>,
    /// Where all of them lie, if they lie together: `below the waist`.
    pub beside: Option<&'static str>,
    /// Whether it breaks there, by so many degrees; else it changes its bend.
    pub breaks: Option<f64>,
}
