//! A piece of a draft: its net edges, its notches and inner marks, and how it is cut.

use super::ids::{EdgeId, MarkId, NotchId};
use super::marks::MarkKind;
use super::seen::{Part, Player, Role, Seen};
use crate::geometry;
use crate::order::{Material, Side, Worn};
use kurbo::{Affine, BezPath, Point, Vec2};
use serde::Serialize;
use std::ops::Index;

/// Number of times a piece is cut, and whether the cuts are mirrored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Count {
    /// This many, all alike.
    Alike(u32),
    /// This many pairs; each pair is one as drawn and one mirrored.
    Pairs(u32),
}

impl Count {
    /// Returns how many pieces of cloth are cut in all.
    pub fn total(self) -> u32 {
        match self {
            Self::Alike(n) => n,
            Self::Pairs(n) => 2 * n,
        }
    }
}

/// A piece whose net edges run round it, each starting where the last one ends.
///
/// Every piece shows the face of its cloth. A block draws the right half of the body seen from outside. A
/// piece whose face looks outward is therefore drawn as the right one of its pair, and a piece whose face
/// looks inward (a lining, a facing) as the left one. A piece that is cut for the other side alone is turned
/// over once it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftPiece {
    /// Name within the garment, in lower case: `forepart`, `top sleeve`.
    pub name: String,
    /// Material it is cut from.
    pub material: Material,
    /// Number of times it is cut.
    pub count: Count,
    /// The side of the body that it is cut for; `None` for pairs and for pieces that are the same turned over.
    pub side: Option<Side>,
    /// Name of its pair, if it is one side of a pair whose sides are cut by themselves.
    pub pair: Option<String>,
    /// The side that it fits as the block drew it; `None` leaves that to the material, see
    /// [`DraftPiece::drawn_for`].
    pub drawn: Option<Side>,
    /// Place across of the plumb line about which the piece was turned over after it was drawn, mm; `None` if
    /// it lies as the block drew it.
    pub turned_at: Option<f64>,
    /// The edges in order round the piece; together they close.
    pub edges: Vec<DraftEdge>,
    /// Notches on its edges.
    pub notches: Vec<DraftNotch>,
    /// Inner lines and points.
    pub marks: Vec<Mark>,
    /// The grain, from the first point to the second. The nap of the cloth runs the same way: to the lower end
    /// of the piece as it is worn, or round the body. The ledger proves it by `down`.
    pub grain: (Point, Point),
    /// Unit vector that points down when the piece is worn.
    pub down: Vec2,
    /// The ways in which the piece may be turned on the cloth.
    pub turning: Turning,
    /// The straight edge that its grain crosses at 45 degrees, if it is cut on the bias.
    pub bias: Option<EdgeId>,
    /// Greatest angle between the grain and the cloth's on plain cloth, either way, degrees.
    pub off_grain: f64,
    /// The line, along the grain, about which both sides are the same, if the piece may be cut on the
    /// folded edge of the cloth.
    pub fold: Option<(Point, Point)>,
    /// The straight edge along which it is cut in one with its other half, if it is drafted as a half and cut whole.
    pub opens: Option<EdgeId>,
    /// Its part in the garment as it is worn, if the block says.
    pub seen: Option<Seen>,
    /// File and line of the step that began it.
    pub source: String,
}

impl DraftPiece {
    /// Returns a piece without edges: a pair, drawn as it hangs, with its grain down the board. `source` is the file
    /// and line of the step that begins it.
    pub fn new(name: &str, material: Material, source: String) -> Self {
        let down = Vec2::new(0.0, 1.0);
        Self {
            name: name.to_owned(),
            material,
            count: Count::Pairs(1),
            side: None,
            pair: None,
            drawn: None,
            turned_at: None,
            edges: Vec::new(),
            notches: Vec::new(),
            marks: Vec::new(),
            grain: (Point::ZERO, down.to_point()),
            down,
            turning: Turning::Grain,
            bias: None,
            off_grain: 0.0,
            fold: None,
            opens: None,
            seen: None,
            source,
        }
    }

    /// Returns the side of the body that the piece fits as the block drew it, with the face of the cloth up.
    /// Unless the block says otherwise, that is the left for a material whose face looks inward, as a lining's, and
    /// the right for everything else.
    pub fn drawn_for(&self) -> Side {
        self.drawn.unwrap_or(match self.material.face {
            Worn::Inside => Side::Left,
            Worn::Outside | Worn::Either => Side::Right,
        })
    }

    /// Returns the name that both sides share: its pair's if it is one side of a pair, else its own.
    pub fn either_side(&self) -> &str {
        self.pair.as_deref().unwrap_or(&self.name)
    }

    /// Returns the transform from where the piece lies to where the block drew it. It is its own inverse.
    pub fn as_drafted(&self) -> Affine {
        self.turned_at.map_or(Affine::IDENTITY, |x| {
            Affine::reflect(Point::new(x, 0.0), (0.0, 1.0))
        })
    }
}

/// The ways in which a piece may be turned on the cloth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Turning {
    /// The grain runs along the cloth; also head to foot where the cloth is laid two ways.
    Grain,
    /// The grain runs along or across the cloth (a small piece that allows it).
    Quarter,
    /// The piece may lie at any eighth of a turn, because its material has no grain, as felt. A piece on the
    /// bias has a grain.
    Free,
}

/// One net edge of a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftEdge {
    /// Name within the piece: `side seam`, `scye`.
    pub name: String,
    /// The seam line of this edge: an open path, in mm.
    pub path: BezPath,
    /// Name of the house's allowance for it: the key after `allowance.`.
    pub allowance: String,
    /// Number of times that its curvature is meant to change sign.
    pub turns: u8,
    /// The edge that this one continues beyond a cut; both are one seam.
    pub part_of: Option<EdgeId>,
    /// Whether the outline is meant to turn inward at the corner where this edge ends.
    pub turns_in: bool,
    /// File and line of the step that put it on the piece.
    pub source: String,
}

/// A notch on an edge.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftNotch {
    /// Name; the two partners across a seam bear the same one.
    pub name: String,
    /// The edge it lies on.
    pub edge: EdgeId,
    /// Arc length from the start of that edge, in mm.
    pub at: f64,
}

/// An inner line or point of a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Name, as it is printed.
    pub name: String,
    /// Kind, which decides how it is drawn and what it asks for after a fitting.
    pub kind: MarkKind,
    /// The side it is on, if it is on one side of the garment only.
    pub side: Option<Side>,
    /// The line; a single `MoveTo` for a point.
    pub path: BezPath,
}

impl Index<EdgeId> for DraftPiece {
    type Output = DraftEdge;

    fn index(&self, edge: EdgeId) -> &DraftEdge {
        &self.edges[edge.0]
    }
}

impl Index<MarkId> for DraftPiece {
    type Output = Mark;

    fn index(&self, mark: MarkId) -> &Mark {
        &self.marks[mark.0]
    }
}

impl DraftPiece {
    /// Finds the edge that a script calls by this name.
    pub fn edge_named(&self, name: &str) -> Option<EdgeId> {
        let found = self.edges.iter().position(|edge| edge.name == name);
        found.map(EdgeId)
    }

    /// Finds the first mark that a script calls by this name.
    pub fn mark_named(&self, name: &str) -> Option<MarkId> {
        let found = self.marks.iter().position(|mark| mark.name == name);
        found.map(MarkId)
    }

    /// Finds the first notch that a script calls by this name.
    pub fn notch_named(&self, name: &str) -> Option<NotchId> {
        let found = self.notches.iter().position(|notch| notch.name == name);
        found.map(NotchId)
    }

    /// Returns the place of a notch on the seam line.
    pub fn notch_at(&self, notch: &DraftNotch) -> Point {
        geometry::point_at(&self[notch.edge].path, notch.at)
    }

    /// Returns whether the piece is declared to be this part.
    pub fn is_part(&self, part: Part) -> bool {
        self.seen.as_ref().is_some_and(|seen| seen.part == part)
    }

    fn players(&self, role: Role) -> impl Iterator<Item = Player> {
        let roles = self.seen.iter().flat_map(|seen| &seen.roles);
        roles
            .filter(move |(own, _)| *own == role)
            .map(|(_, player)| *player)
    }

    /// Returns whether an edge plays a role.
    pub fn plays(&self, edge: EdgeId, role: Role) -> bool {
        self.players(role)
            .any(|player| player == Player::Edge(edge))
    }

    /// Returns the edges that play a role.
    pub fn edges(&self, role: Role) -> impl Iterator<Item = &DraftEdge> {
        self.players(role).filter_map(|player| match player {
            Player::Edge(EdgeId(index)) => self.edges.get(index),
            Player::Notch(_) => None,
        })
    }

    /// Returns the first edge that plays a role.
    pub fn edge(&self, role: Role) -> Option<&DraftEdge> {
        self.edges(role).next()
    }

    /// Returns the first edge that plays a role, and the edges that continue it beyond a cut.
    pub fn whole(&self, role: Role) -> impl Iterator<Item = &DraftEdge> {
        let first = self.players(role).find_map(|player| match player {
            Player::Edge(id) => Some(id),
            Player::Notch(_) => None,
        });
        let edges = first.into_iter();
        edges.flat_map(|id| self.edges.get(id.0).into_iter().chain(self.parts_of(id)))
    }

    /// Returns the places of the notches that play a role.
    pub fn notched(&self, role: Role) -> impl Iterator<Item = Point> {
        let notches = self.players(role).filter_map(|player| match player {
            Player::Notch(NotchId(index)) => self.notches.get(index),
            Player::Edge(_) => None,
        });
        notches.map(|notch| self.notch_at(notch))
    }

    /// Returns the edges that continue another one, from which a cut or a vent has parted them.
    pub fn parts_of(&self, whole: EdgeId) -> impl Iterator<Item = &DraftEdge> {
        let own = move |edge: &&DraftEdge| edge.part_of == Some(whole);
        self.edges.iter().filter(own)
    }
}
