//! Which part of the made-up garment a piece is, and which of its edges play which role in it.
//!
//! A block declares both (`piece.seen_as("forepart", #{ shoulder: "shoulder", ... })`). A garment is shown
//! made up by what its pieces are declared to be, whatever they are called: see [`Form`].

use super::marks::MarkKind;
use super::types::{Draft, DraftEdge, DraftPiece};
use crate::geometry;
use crate::order::Side;
use kurbo::Point;

/// An edge of a piece, by its place in the piece's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EdgeId(pub usize);

/// A notch of a piece, by its place in the piece's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NotchId(pub usize);

/// What plays a role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Player {
    /// An edge.
    Edge(EdgeId),
    /// A notch.
    Notch(NotchId),
}

/// What a piece is in the garment as it is worn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    /// The part.
    pub part: Part,
    /// The roles of its edges and notches. One role may be played by several, in the order given.
    pub roles: Vec<(Role, Player)>,
    /// The step of the block that says so: file and line.
    pub source: String,
}

macro_rules! words {
    ($(#[doc = $of:literal])+ $name:ident { $($(#[doc = $about:literal])+ $one:ident $word:literal,)+ }) => {
        $(#[doc = $of])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[doc = $about])+ $one,)+
        }

        impl $name {
            /// All of them, in the order of the developers' list.
            pub const ALL: &'static [Self] = &[$(Self::$one),+];

            /// The word for it in a script.
            pub fn word(self) -> &'static str {
                match self { $(Self::$one => $word,)+ }
            }
        }
    };
}

words! {
    /// A part of a garment as it is worn.
    Part {
        /// The front of a coat or a waistcoat.
        Forepart "forepart",
        /// The panel of a coat between forepart and back.
        SideBody "side_body",
        /// The back of a coat or a waistcoat.
        Back "back",
        /// The upper half of a sleeve.
        TopSleeve "top_sleeve",
        /// The under half of a sleeve.
        UnderSleeve "under_sleeve",
        /// The collar, as it lies on the gorge before it is turned down.
        Collar "collar",
        /// A jet that binds the mouth along which it is folded.
        Jet "jet",
        /// A flap.
        Flap "flap",
        /// A patch pocket.
        Patch "patch",
        /// The front of a leg.
        TopSide "top_side",
        /// The back of a leg.
        UnderSide "under_side",
        /// Half a waistband.
        Waistband "waistband",
        /// The facing of a fly, which is stitched down on the left.
        FlyFacing "fly_facing",
        /// A strap or tab at the side of a waistband.
        Strap "strap",
    }
}

words! {
    /// What an edge or a notch is to the part that its piece is.
    Role {
        /// The shoulder seam.
        Shoulder "shoulder",
        /// The neck, of a waistcoat's forepart its V.
        Neck "neck",
        /// The seam of collar and lapel.
        Gorge "gorge",
        /// The edges round a lapel, from the gorge to the front edge.
        Lapel "lapel",
        /// The front edge.
        FrontEdge "front_edge",
        /// The front below the last button, where it is cut away.
        CutAway "cut_away",
        /// The hem.
        Hem "hem",
        /// The seam at the side: of a coat's forepart that under the arm, of its side body that to the back.
        SideSeam "side_seam",
        /// The side body's seam to the forepart.
        FrontSeam "front_seam",
        /// The armhole.
        Scye "scye",
        /// The seam in the middle of the back.
        CentreBack "centre_back",
        /// The edge of what laps under a vent in the side seam.
        SideVent "side_vent",
        /// The edge of what laps under a vent in the centre back.
        CentreVent "centre_vent",
        /// The outer edge of a collar.
        OuterEdge "outer_edge",
        /// The crown of a sleeve.
        Crown "crown",
        /// The seam along the front of a sleeve.
        Forearm "forearm",
        /// The seam along the back of a sleeve.
        Hindarm "hindarm",
        /// A notch: the level of the elbow on the forearm.
        Elbow "elbow",
        /// The seam of a jet to what it binds.
        Seam "seam",
        /// The edge along the mouth of the pocket.
        Top "top",
        /// The seam in the middle of the figure, from the waist into the fork.
        Middle "middle",
        /// The outside leg.
        OutsideLeg "outside_leg",
        /// The inside leg.
        InsideLeg "inside_leg",
        /// The edges that are sewn to the waistband.
        Waist "waist",
        /// The mouths of pleats.
        Pleats "pleats",
        /// Notches: the ends of a pocket in the side seam.
        PocketEnds "pocket_ends",
        /// The end of a waistband at the front.
        End "end",
        /// The upper edges of a waistband.
        Upper "upper",
        /// The front edge of a fly facing.
        Front "front",
        /// The inner edge of a fly facing, along which it is stitched down.
        Inside "inside",
    }
}

impl Role {
    /// Whether a notch plays it, and not an edge.
    pub fn is_notch(self) -> bool {
        matches!(self, Self::Elbow | Self::PocketEnds)
    }
}

impl Part {
    /// The roles that each piece of this part must give, and those that it may.
    pub fn roles(self) -> (&'static [Role], &'static [Role]) {
        use Role::*;
        match self {
            Self::Forepart => (
                &[Shoulder, Neck, FrontEdge, Hem, SideSeam, Scye],
                &[Gorge, Lapel, CutAway],
            ),
            Self::SideBody => (&[Scye, FrontSeam, SideSeam, Hem], &[SideVent]),
            Self::Back => (
                &[Neck, Shoulder, Scye, SideSeam, Hem, CentreBack],
                &[SideVent, CentreVent],
            ),
            Self::TopSleeve => (&[Crown, Forearm, Hindarm, Hem, Elbow], &[]),
            Self::UnderSleeve => (&[Crown, Forearm, Hindarm, Hem], &[]),
            Self::Collar => (&[OuterEdge, CentreBack, Gorge], &[FrontEdge]),
            Self::Jet => (&[Seam], &[]),
            Self::Flap | Self::Patch => (&[Top], &[]),
            Self::TopSide => (
                &[Middle, OutsideLeg, InsideLeg, Hem, Waist],
                &[Pleats, PocketEnds],
            ),
            Self::UnderSide => (&[Middle, OutsideLeg, InsideLeg, Hem, Waist], &[Pleats]),
            Self::Waistband => (&[CentreBack, End, Upper], &[]),
            Self::FlyFacing => (&[Front, Inside], &[]),
            Self::Strap => (&[], &[]),
        }
    }
}

/// What a garment is made up as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A coat of three panels with a lapel, a collar and sleeves.
    Coat,
    /// A waistcoat: foreparts and a back.
    Waistcoat,
    /// Trousers with a waistband in two halves.
    Trousers,
}

/// What a form wants of one of its parts: the part, of one side where each has its own, and what a piece
/// of it must have besides the part's own roles.
#[derive(Debug)]
struct Wanted {
    part: Part,
    side: Option<Side>,
    roles: &'static [Role],
    marks: &'static [MarkKind],
}

const fn wanted(part: Part, roles: &'static [Role], marks: &'static [MarkKind]) -> Wanted {
    Wanted {
        part,
        side: None,
        roles,
        marks,
    }
}

const fn band(side: Side) -> Wanted {
    Wanted {
        side: Some(side),
        ..wanted(
            Part::Waistband,
            &[],
            &[MarkKind::MeetsFront, MarkKind::MeetsSide],
        )
    }
}

const COAT: [Wanted; 5] = [
    wanted(
        Part::Forepart,
        &[Role::Gorge, Role::Lapel],
        &[
            MarkKind::RollLine,
            MarkKind::CentreFront,
            MarkKind::ChestLine,
            MarkKind::WaistLine,
        ],
    ),
    wanted(Part::SideBody, &[], &[]),
    wanted(Part::Back, &[], &[]),
    wanted(Part::TopSleeve, &[], &[]),
    wanted(Part::UnderSleeve, &[], &[]),
];
const WAISTCOAT: [Wanted; 2] = [
    wanted(
        Part::Forepart,
        &[Role::CutAway],
        &[MarkKind::CentreFront, MarkKind::WaistLine],
    ),
    wanted(Part::Back, &[], &[]),
];
const TROUSERS: [Wanted; 4] = [
    wanted(Part::TopSide, &[], &[MarkKind::ForkLine, MarkKind::Crease]),
    wanted(Part::UnderSide, &[], &[]),
    band(Side::Right),
    band(Side::Left),
];

/// A form that is not whole: what it lacks, and the step that declares a part of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotWhole {
    /// What is wrong.
    pub message: String,
    /// File and line.
    pub source: String,
}

impl Form {
    /// What a draft is made up as, by the parts that its pieces are declared to be; `None` if none is one
    /// that a form begins with.
    ///
    /// # Errors
    /// When a part of the form, or a role or a mark of a part, is not there.
    pub fn of(draft: &Draft) -> Result<Option<Self>, NotWhole> {
        let has = |parts: &[Part]| {
            let seen = draft.pieces.iter().filter_map(|piece| piece.seen.as_ref());
            seen.into_iter().find(|seen| parts.contains(&seen.part))
        };
        let coat = [Part::SideBody, Part::TopSleeve, Part::UnderSleeve];
        let found = [
            (Self::Coat, &coat[..]),
            (Self::Waistcoat, &[Part::Forepart, Part::Back]),
            (
                Self::Trousers,
                &[Part::TopSide, Part::UnderSide, Part::Waistband],
            ),
        ];
        for (form, parts) in found {
            if let Some(seen) = has(parts) {
                form.check(draft, seen)?;
                return Ok(Some(form));
            }
        }
        Ok(None)
    }

    fn wants(self) -> (&'static str, &'static [Wanted]) {
        match self {
            Self::Coat => ("a coat", &COAT),
            Self::Waistcoat => ("a waistcoat", &WAISTCOAT),
            Self::Trousers => ("trousers", &TROUSERS),
        }
    }

    fn check(self, draft: &Draft, first: &Seen) -> Result<(), NotWhole> {
        let (form, wants) = self.wants();
        for wanted in wants {
            let part = wanted.part.word();
            let of_side = |piece: &&DraftPiece| {
                piece.is_part(wanted.part) && (wanted.side.is_none() || piece.side == wanted.side)
            };
            let mut pieces = draft.pieces.iter().filter(of_side).peekable();
            if pieces.peek().is_none() {
                let side = match wanted.side {
                    Some(Side::Left) => " of the left side",
                    Some(Side::Right) => " of the right side",
                    None => "",
                };
                return Err(NotWhole {
                    message: format!(
                        "a piece is seen as '{}', but no piece as '{part}'{side}: {form} is shown whole or not at all",
                        first.part.word()
                    ),
                    source: first.source.clone(),
                });
            }
            for piece in pieces {
                let role = wanted
                    .roles
                    .iter()
                    .find(|role| piece.edge(**role).is_none());
                let role = role.map(|role| format!("an edge with the role '{}'", role.word()));
                let has = |kind| piece.marks.iter().any(|mark| mark.kind == kind);
                let mark = wanted.marks.iter().find(|kind| !has(**kind));
                let mark = mark.map(|kind| format!("a mark of the kind '{}'", kind.word()));
                if let Some(lacks) = role.or(mark) {
                    let source = piece.seen.as_ref().map(|seen| seen.source.clone());
                    return Err(NotWhole {
                        message: format!(
                            "the {} is seen as '{part}' of {form} and lacks {lacks}",
                            piece.name
                        ),
                        source: source.unwrap_or_default(),
                    });
                }
            }
        }
        Ok(())
    }
}

impl DraftPiece {
    /// Whether it is declared to be that part.
    pub fn is_part(&self, part: Part) -> bool {
        self.seen.as_ref().is_some_and(|seen| seen.part == part)
    }

    fn players(&self, role: Role) -> impl Iterator<Item = Player> {
        let roles = self.seen.iter().flat_map(|seen| &seen.roles);
        roles
            .filter(move |(own, _)| *own == role)
            .map(|(_, player)| *player)
    }

    /// The edges that play a role.
    pub fn edges(&self, role: Role) -> impl Iterator<Item = &DraftEdge> {
        self.players(role).filter_map(|player| match player {
            Player::Edge(EdgeId(index)) => self.edges.get(index),
            Player::Notch(_) => None,
        })
    }

    /// The first edge that plays a role.
    pub fn edge(&self, role: Role) -> Option<&DraftEdge> {
        self.edges(role).next()
    }

    /// The edge that plays a role, and those that are parts of it beyond a cut.
    pub fn whole(&self, role: Role) -> impl Iterator<Item = &DraftEdge> {
        let first = self.players(role).find_map(|player| match player {
            Player::Edge(id) => Some(id),
            Player::Notch(_) => None,
        });
        let edges = first.into_iter();
        edges.flat_map(|id| self.edges.get(id.0).into_iter().chain(self.parts_of(id)))
    }

    /// The places of the notches that play a role.
    pub fn notched(&self, role: Role) -> impl Iterator<Item = Point> {
        let notches = self.players(role).filter_map(|player| match player {
            Player::Notch(NotchId(index)) => self.notches.get(index),
            Player::Edge(_) => None,
        });
        notches.filter_map(|notch| {
            let edge = self.edges.iter().find(|edge| edge.name == notch.edge)?;
            Some(geometry::point_at(&edge.path, notch.at))
        })
    }

    /// The edges that are parts of another one, which a cut or a vent has parted from it.
    pub fn parts_of(&self, whole: EdgeId) -> impl Iterator<Item = &DraftEdge> {
        let own = move |edge: &&DraftEdge| edge.part_of == Some(whole);
        self.edges.iter().filter(own)
    }
}

impl Draft {
    /// The pieces that are declared to be a part.
    pub fn of_part(&self, part: Part) -> impl Iterator<Item = &DraftPiece> {
        self.pieces.iter().filter(move |piece| piece.is_part(part))
    }

    /// The piece that is a part on one side of the figure: its own, or the one for both.
    pub fn part_on(&self, part: Part, side: Side) -> Option<&DraftPiece> {
        let other = |piece: &&DraftPiece| piece.side.is_some_and(|own| own != side);
        self.of_part(part).find(|piece| !other(piece))
    }
}
