//! A finished draft: what a block put on the board, net (to the seam line).
//! Lengths in mm, angles in degrees, x from the centre back to the front, y down.

use super::making::{Drawn, How};
use super::marks::MarkKind;
use super::parts::{EdgeId, Seen};
use crate::order::Side;
use kurbo::{Affine, BezPath, Point, Vec2};
use serde::{Deserialize, Serialize};

/// The draft of one garment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Draft {
    /// The block that drew it: `jacket`, `trousers`.
    pub garment: String,
    /// The numbered points, in the order they were made.
    pub points: Vec<BoardPoint>,
    /// The lines and curves, in the order they were drawn.
    pub curves: Vec<BoardCurve>,
    /// What was made, in order.
    pub steps: Vec<Step>,
    /// Which points and curves the pieces are drawn by.
    pub uses: Vec<Use>,
    /// Which pieces the drafting sheet shows together.
    pub pages: Vec<SheetPage>,
    /// The pieces, in the block's order.
    pub pieces: Vec<DraftPiece>,
    /// Which edges are sewn to which.
    pub seams: Vec<Seam>,
    /// Where joined edges must run fair.
    pub joins: Vec<Join>,
    /// Finished girths and what they should be.
    pub girths: Vec<Girth>,
    /// What is drawn and the bounds between which it is plausible.
    pub bounds: Vec<Bound>,
    /// Darts: both legs.
    pub darts: Vec<Dart>,
    /// What it takes besides its pieces: tapes and stays, wadding, buttons.
    pub needs: Vec<Need>,
    /// Where pieces meet on a patterned cloth.
    pub matches: Vec<Match>,
    /// What the cutter should know: limits reached, surplus left in.
    pub warnings: Vec<String>,
    /// The pairs that are cut one for each side, because the sides differ: by the name of the pair.
    pub divided: Vec<String>,
}

/// Something a garment takes that no piece is drawn for: lengths of a tape, a number of buttons.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// What it is for: `bridle`, `front buttons`.
    pub name: String,
    /// What it is taken from, so that equal ones can be added up: `linen tape`, `button, 20 mm`.
    pub of: String,
    /// How many.
    pub count: u32,
    /// Length of each, mm; `None` for what is counted only.
    pub length: Option<f64>,
}

/// A point on the board that remembers how it was made.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPoint {
    /// Its number, from 1, in the order they were made.
    pub number: usize,
    /// What the trade calls it, if it has a name.
    pub name: Option<String>,
    /// Where it lies.
    pub at: Point,
    /// How it was made.
    pub how: How,
    /// Why so, in the block's words; may be empty.
    pub why: String,
}

/// A line or curve on the board that remembers how it was drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardCurve {
    /// Its number, from 1, in the order they were drawn.
    pub number: usize,
    /// What the trade calls it, if it has a name.
    pub name: Option<String>,
    /// The curve, from its start to its end.
    pub path: BezPath,
    /// How it was drawn.
    pub how: Drawn,
}

/// One step of the construction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What it makes.
    pub makes: Makes,
    /// File and line of the block that gave it.
    pub source: String,
}

/// What a step makes, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Makes {
    /// A point.
    Point(usize),
    /// A curve.
    Curve(usize),
}

/// What a piece takes from the board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    /// The piece's place in the draft's list.
    pub piece: usize,
    /// The edge it is used for, if it is an edge.
    pub edge: Option<String>,
    /// The points and curves, in order.
    pub made: Vec<Makes>,
}

/// Pieces that the drafting sheet shows together, in the one frame they are drafted in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetPage {
    /// The page's heading.
    pub name: String,
    /// The pieces, by name.
    pub pieces: Vec<String>,
}

impl Draft {
    /// From where a piece lies to where the block drew it, if it was turned over since.
    pub fn as_drafted(&self, piece: &str) -> Affine {
        let own = self.pieces.iter().find(|own| own.name == piece);
        own.map_or(Affine::IDENTITY, DraftPiece::as_drafted)
    }

    /// The pairs of the cloth that differ left and right.
    pub fn differing(&self) -> Vec<&str> {
        let of_cloth = |name: &&String| {
            let mut own = self.pieces.iter();
            own.any(|piece| piece.pair.as_ref() == Some(*name) && piece.material == Material::Cloth)
        };
        let divided = self.divided.iter().filter(of_cloth);
        divided.map(String::as_str).collect()
    }

    /// This draft's pieces that a piece of another draft of the garment stands for, each with what brings it
    /// into the other's frame: the one of its name, the pair that it is one side of, or both sides of it.
    pub fn counterparts(&self, piece: &str, other: &Draft) -> Vec<(&DraftPiece, Affine)> {
        let named = |name: &str| self.pieces.iter().find(|p| p.name == name);
        let theirs = other.pieces.iter().find(|p| p.name == piece);
        let pair = theirs.and_then(|piece| piece.pair.as_deref());
        let one_side = |own: &&DraftPiece| own.pair.as_deref() == Some(piece);
        let found = match named(piece).or_else(|| named(pair?)) {
            Some(one) => vec![one],
            None => self.pieces.iter().filter(one_side).collect(),
        };
        // Turning over undoes itself.
        let brought = |own: &DraftPiece| other.as_drafted(piece) * self.as_drafted(&own.name);
        found.into_iter().map(|own| (own, brought(own))).collect()
    }

    /// The instruction of a step with this client's numbers, in cm:
    /// `from 3, down 24.6 (depth of scye)`. Empty for one that is not on the board.
    pub fn instruction(&self, makes: Makes) -> String {
        let names = |curves: &[usize]| super::making::names(self, curves);
        match makes {
            Makes::Point(n) => match n.checked_sub(1).and_then(|i| self.points.get(i)) {
                Some(point) if point.why.is_empty() => point.how.words(names),
                Some(point) => format!("{} ({})", point.how.words(names), point.why),
                None => String::new(),
            },
            Makes::Curve(n) => match n.checked_sub(1).and_then(|i| self.curves.get(i)) {
                Some(curve) => curve.how.words(names),
                None => String::new(),
            },
        }
    }
}

/// What a piece is cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// The suit's own cloth.
    Cloth,
    /// Body lining.
    Lining,
    /// Sleeve lining.
    SleeveLining,
    /// Canvas and chest cloth.
    Canvas,
    /// Collar felt (melton).
    Felt,
    /// Pocketing.
    Pocketing,
}

impl Material {
    /// Whether it has a face, so that a piece of it can come out for the wrong side of the body. Canvas, felt
    /// and pocketing are used either side up (common practice, no source).
    pub fn has_face(self) -> bool {
        match self {
            Material::Cloth | Material::Lining | Material::SleeveLining => true,
            Material::Canvas | Material::Felt | Material::Pocketing => false,
        }
    }
}

/// How many are cut, and how they relate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Count {
    /// So many, all alike.
    Alike(u32),
    /// So many pairs; each pair is one as drawn and one mirrored.
    Pairs(u32),
}

impl Count {
    /// How many pieces of cloth are cut in all.
    pub fn total(self) -> u32 {
        match self {
            Count::Alike(n) => n,
            Count::Pairs(n) => 2 * n,
        }
    }
}

/// A piece: net edges that run round it, each starting where the last ended.
///
/// Every piece shows the face of its cloth. A block draws the right half of the body seen from outside, so
/// that a piece whose face looks outward is as drawn the right one, and a piece whose face looks inward (a
/// lining, a facing) the left one. What is cut for the other side alone is turned over once it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftPiece {
    /// Name within the garment, in lower case: `forepart`, `top sleeve`.
    pub name: String,
    /// What it is cut from.
    pub material: Material,
    /// How many.
    pub count: Count,
    /// The side of the body that it is cut for; `None` for pairs and for what is the same turned over.
    pub side: Option<Side>,
    /// What the pair is called of which it is one side, if it is cut so.
    pub pair: Option<String>,
    /// The side for which it would be as the block drew it; `None`: as the material has it, see
    /// [`DraftPiece::drawn_for`].
    pub drawn: Option<Side>,
    /// The plumb line, by its place across, about which it was turned over after it was drawn.
    pub turned_at: Option<f64>,
    /// The edges in order round the piece; together they close.
    pub edges: Vec<DraftEdge>,
    /// Notches on its edges.
    pub notches: Vec<DraftNotch>,
    /// Inner lines and points.
    pub marks: Vec<Mark>,
    /// The grain, in the direction in which the nap of the cloth runs down it: to the lower end of the
    /// piece as it is worn, or round the body. The ledger proves it by `down`.
    pub grain: (Point, Point),
    /// The direction in which what is seen of the piece hangs down when it is worn: a unit vector.
    pub down: Vec2,
    /// Whether the piece may be turned or must keep the grain.
    pub turning: Turning,
    /// The straight edge that its grain crosses at 45 degrees, if it is cut on the bias.
    pub bias: Option<String>,
    /// How far off the grain it may lie either way on plain cloth, degrees.
    pub off_grain: f64,
    /// The line, along the grain, about which both sides are the same, if the piece may be cut on the
    /// folded edge of the cloth.
    pub fold: Option<(Point, Point)>,
    /// What it is in the garment as it is worn, if the block says.
    pub seen: Option<Seen>,
    /// The step of the block that began it: file and line.
    pub source: String,
}

impl DraftPiece {
    /// The side of the body for which the piece would be as the block drew it, with the face of the cloth
    /// up: the left for linings, whose face looks inward, the right for all else, unless the block says.
    pub fn drawn_for(&self) -> Side {
        self.drawn.unwrap_or(match self.material {
            Material::Lining | Material::SleeveLining => Side::Left,
            _ => Side::Right,
        })
    }

    /// What it is called on either side of the body: its pair's name, if it is one side of a pair.
    pub fn either_side(&self) -> &str {
        self.pair.as_deref().unwrap_or(&self.name)
    }

    /// From where it lies to where the block drew it. Turning over undoes itself.
    pub fn as_drafted(&self) -> Affine {
        self.turned_at.map_or(Affine::IDENTITY, |x| {
            Affine::reflect(Point::new(x, 0.0), (0.0, 1.0))
        })
    }
}

/// How a piece may be turned on the cloth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Turning {
    /// Grain along the cloth; also head to foot where the cloth is laid two ways.
    Grain,
    /// Grain along or across the cloth (a small piece that allows it).
    Quarter,
    /// Any of the eighths: what has no grain, as felt. What is cut on the bias has one.
    Free,
}

/// One net edge of a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftEdge {
    /// Name within the piece: `side seam`, `scye`.
    pub name: String,
    /// The seam line of this edge: an open path, in mm.
    pub path: BezPath,
    /// Which of the house's allowances it takes: the key after `allowance.`.
    pub allowance: String,
    /// How often a drafter means its curvature to change sign.
    pub turns: u8,
    /// The edge of the piece that this one goes on from beyond a cut: both are one seam.
    pub part_of: Option<EdgeId>,
    /// Whether a drafter means the outline to turn inward at the corner where this edge ends.
    pub turns_in: bool,
    /// The step of the block that put it on the piece.
    pub source: String,
}

/// A notch on an edge.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftNotch {
    /// Name; the two partners of a seam bear the same name.
    pub name: String,
    /// The edge it lies on.
    pub edge: String,
    /// Arc length from the start of that edge, in mm.
    pub at: f64,
}

/// An inner line or point of a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it is, in words.
    pub name: String,
    /// What it stands for.
    pub kind: MarkKind,
    /// The side it is for, if it is on one side of the garment only.
    pub side: Option<Side>,
    /// The line; a single `MoveTo` for a point.
    pub path: BezPath,
}

/// A stretch of one edge of one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// The piece's name.
    pub piece: String,
    /// The edge's name.
    pub edge: String,
    /// From this arc length along the edge; the start if `None`.
    pub from: Option<f64>,
    /// To this arc length along the edge; the end if `None`.
    pub to: Option<f64>,
}

/// Two runs of edges that are sewn together.
///
/// A run is a walk along the seam: each stretch starts where the last one ended once the pieces before
/// are sewn (a stretch whose `from` lies after its `to` is walked backwards). Both runs start at the same
/// place, or one starts where the other ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Seam {
    /// What the trade calls it.
    pub name: String,
    /// The run that is held full, if either is.
    pub a: Vec<Stretch>,
    /// The run it is sewn to.
    pub b: Vec<Stretch>,
    /// Least ease allowed: length of `a` less length of `b`, mm.
    pub least: f64,
    /// Most ease allowed, mm.
    pub most: f64,
    /// The step of the block that declares it: file and line.
    pub source: String,
}

/// A place where two edges must run on into each other once a seam is closed.
#[derive(Debug, Clone, PartialEq)]
pub struct Join {
    /// What runs through: `neck through the shoulder`.
    pub name: String,
    /// Edge that arrives at the joint (at its end nearest the seam).
    pub a: (String, String),
    /// Edge that leaves the joint.
    pub b: (String, String),
    /// The seam edges that are laid on each other to close it: of `a`'s piece and of `b`'s piece. A
    /// mark may stand for an edge: the fold of a vent, along which it hangs closed.
    pub seam: ((String, String), (String, String)),
    /// Greatest break allowed, degrees.
    pub most_degrees: f64,
    /// The step of the block that declares it.
    pub source: String,
}

/// A finished girth or width, against the body.
#[derive(Debug, Clone, PartialEq)]
pub struct Girth {
    /// `chest`, `waist`, `thigh`, …
    pub name: String,
    /// What the draft measures, mm.
    pub finished: f64,
    /// The body's measure, mm (0 where it is a style choice alone).
    pub body: f64,
    /// What it is meant to be, mm.
    pub meant: f64,
    /// Furthest it may be from that, mm.
    pub within: f64,
    /// The step of the block that declares it.
    pub source: String,
}

/// A length of the draft, and the bounds beyond which no garment of this kind has it: coarser than any proof,
/// they find a line that was drawn on a wrong level and still fits all its neighbours.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// What it is: `depth of scye`.
    pub name: String,
    /// What the draft measures, mm.
    pub found: f64,
    /// The least that is plausible, mm.
    pub least: f64,
    /// The most that is plausible, mm.
    pub most: f64,
    /// The step of the block that declares it.
    pub source: String,
}

/// A dart: its two legs, sewn together.
#[derive(Debug, Clone, PartialEq)]
pub struct Dart {
    /// Which one.
    pub name: String,
    /// The piece it lies in.
    pub piece: String,
    /// Length of each leg, mm.
    pub legs: (f64, f64),
    /// The step of the block that declares it.
    pub source: String,
}

/// Points of two pieces that lie on the same place of a cloth's pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// What the trade calls it: `centre back`.
    pub name: String,
    /// The piece that leads.
    pub piece: String,
    /// Its point.
    pub at: Point,
    /// The piece that follows; the same one where the two of a pair are matched.
    pub partner: String,
    /// Its point.
    pub partner_at: Point,
    /// Whether stripes that run along the cloth meet.
    pub across: bool,
    /// Whether bars that run across it meet.
    pub along: bool,
}
