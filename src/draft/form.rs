//! The forms that garments are made up in, and what each form needs of its parts.

use super::marks::MarkKind;
use super::piece::DraftPiece;
use super::seen::{Part, Role, Seen};
use super::types::Draft;
use crate::order::Side;

/// The form of a garment as it is made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A coat of three panels with a lapel, a collar and sleeves.
    Coat,
    /// A waistcoat: foreparts and a back.
    Waistcoat,
    /// Trousers with a waistband in two halves.
    Trousers,
}

/// A part that a form needs: of one side, where each side has its own, and with roles and marks besides the
/// part's own roles.
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

/// A fault of a draft as a whole: a form that lacks a part, or two halves that do not go together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotWhole {
    /// The fault in words.
    pub message: String,
    /// File and line of the step that is at fault.
    pub source: String,
}

impl Form {
    /// Finds the form of a draft by the parts that its pieces are declared to be; `None` if no piece is a part
    /// of any form.
    ///
    /// # Errors
    /// When the form lacks a part, or one of its parts lacks a role or a mark.
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
