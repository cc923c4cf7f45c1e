//! The parts of a garment as it is worn, and the roles that edges and notches play in them.
//!
//! A block declares both (`piece.seen_as("forepart", #{ shoulder: "shoulder", ... })`). The views draw a
//! garment by what its pieces are declared to be, whatever their names are.

use super::ids::{EdgeId, NotchId};

/// An edge or a notch that plays a role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Player {
    /// An edge.
    Edge(EdgeId),
    /// A notch.
    Notch(NotchId),
}

/// A piece's part in the garment as it is worn, and the roles of its edges and notches there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    /// The part.
    pub part: Part,
    /// Roles with the edges and notches that play them. Several may play one role, in the order given.
    pub roles: Vec<(Role, Player)>,
    /// File and line of the step that declares it.
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
            /// All of them, in the order of the list for developers.
            pub const ALL: &'static [Self] = &[$(Self::$one),+];

            /// Returns the word for it in a script.
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
        /// The upper side of a collar that is a piece of its own.
        TopCollar "top_collar",
        /// The facing of a front, which is the upper side of its lapel.
        Facing "facing",
        /// A lining of the forepart.
        ForepartLining "forepart_lining",
        /// A lining of the side body.
        SideBodyLining "side_body_lining",
        /// A lining of the back.
        BackLining "back_lining",
        /// A lapel or a collar that is sewn on a forepart, its upper side.
        Lapel "lapel",
        /// A welt, which stands over the mouth of its pocket.
        Welt "welt",
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
    /// A role of an edge or a notch in the part that its piece is.
    Role {
        /// The shoulder seam.
        Shoulder "shoulder",
        /// The neck; on a waistcoat's forepart, its V.
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
        /// The seam at the side: on a coat's forepart the one under the arm, on its side body the one to the back.
        SideSeam "side_seam",
        /// The side body's seam to the forepart.
        FrontSeam "front_seam",
        /// The armhole.
        Scye "scye",
        /// The seam in the middle of the back.
        CentreBack "centre_back",
        /// The edge of the lap under a vent in the side seam.
        SideVent "side_vent",
        /// The edge of the lap under a vent in the centre back.
        CentreVent "centre_vent",
        /// The outer edge of a collar.
        OuterEdge "outer_edge",
        /// The crown of a sleeve.
        Crown "crown",
        /// The seam along the front of a sleeve.
        Forearm "forearm",
        /// The seam along the back of a sleeve.
        Hindarm "hindarm",
        /// A notch at the level of the elbow on the forearm.
        Elbow "elbow",
        /// The seam of a jet to the mouth that it binds.
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
        /// Notches at the ends of a pocket in the side seam.
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
    /// Returns whether notches play it, rather than edges.
    pub fn is_notch(self) -> bool {
        matches!(self, Self::Elbow | Self::PocketEnds)
    }
}

impl Part {
    /// Returns the roles that each piece of this part must have, and those that it may have.
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
            Self::TopCollar => (&[OuterEdge, Gorge, FrontEdge], &[Seam]),
            Self::Facing => (&[], &[OuterEdge, CentreBack]),
            Self::ForepartLining
            | Self::SideBodyLining
            | Self::BackLining
            | Self::Lapel
            | Self::Welt => (&[], &[]),
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
