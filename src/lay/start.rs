//! Starts of a search from kept lays: which of them are the most like an instance, and where its parts stand as
//! theirs did.

use super::instance::Instance;
use super::item::Item;
use super::kept::{KeptLay, KeptPiece, either_side};
use super::packing::{Packing, Position};
use super::strip::Strip;
use crate::draft::Count;
use kurbo::Point;

/// Positions of all parts to try first, and the length of strip to try them on. Parts may overlap.
#[derive(Debug, Clone)]
pub(super) struct Start {
    /// Position of each part on a strip that begins at 0.
    pub positions: Vec<Position>,
    /// Length of that strip.
    pub length: f64,
}

/// Dissimilarity above which a kept lay is of no use. Pieces that are missing count with their part of the
/// area, others with the logarithm of what their sizes differ by. (These numbers are judged by benches; no
/// source.)
const UNLIKE: f64 = 0.25;
/// Expected extra length per unit of dissimilarity.
const EXTRA: f64 = 0.6;
/// Length tried first over that of a lay as dense as the kept one.
const LOOSER: f64 = 1.01;
/// The same where bars across hold pieces to a few places.
const LOOSER_HELD: f64 = 1.08;

/// The orientation in which a part lay in a kept lay, and the piece that it was there.
#[derive(Clone, Copy)]
struct Counterpart<'a> {
    orientation: usize,
    /// `None` if the kept lay has no such piece.
    kept: Option<&'a KeptPiece>,
}

/// A kept lay beside the instance that is to be laid.
struct Likeness<'a> {
    lay: &'a KeptLay,
    counterparts: Vec<Counterpart<'a>>,
    /// Length of a lay of the instance that is as dense as the kept one was, mm.
    dense: f64,
    /// Length that a search from it is expected to find, mm.
    expected: f64,
}

impl<'a> Likeness<'a> {
    /// Compares a kept lay with an instance; `None` if it is of no use.
    fn new(lay: &'a KeptLay, items: &[Item], packing: &Packing, strip: &Strip) -> Option<Self> {
        let (counterparts, left) = counterparts(lay, items, packing.instance);
        let across = strip.width / lay.width;
        let (mut area, mut unlike) = (0.0, 0.0);
        for (part, counterpart) in counterparts.iter().enumerate() {
            let size = packing.size(part, counterpart.orientation);
            let differs = counterpart.kept.map_or(1.0, |kept| {
                (size.x / kept.size.x).ln().abs() + (size.y / kept.size.y).ln().abs()
            });
            area += size.x * size.y;
            unlike += size.x * size.y * differs;
        }
        unlike += total_area(left.into_iter());
        let unlike = unlike / area + across.ln().abs();
        if unlike.is_nan() || unlike > UNLIKE {
            return None;
        }
        let dense = lay.length * area / total_area(lay.pieces.iter()) / across;
        Some(Likeness {
            lay,
            counterparts,
            dense,
            expected: dense * (1.0 + EXTRA * unlike),
        })
    }

    /// Puts the parts where their counterparts lay.
    fn start(&self, packing: &Packing, strip: &Strip) -> Start {
        let looser = if packing.instance.repeat.along.is_some() {
            LOOSER_HELD
        } else {
            LOOSER
        };
        let length = self.dense * looser + packing.instance.gap;
        let position = |counterpart: &Counterpart| {
            let (x, y) = counterpart.kept.map_or((0.5, 0.5), |kept| {
                (
                    kept.middle.x / self.lay.width,
                    kept.middle.y / self.lay.length,
                )
            });
            Position {
                orientation: counterpart.orientation,
                centre: Point::new(x * strip.width, y * length),
            }
        };
        Start {
            positions: self.counterparts.iter().map(position).collect(),
            length,
        }
    }
}

/// Finds the counterpart of each part of an instance in a kept lay. Returns also the kept pieces that are
/// nobody's counterpart.
fn counterparts<'a>(
    lay: &'a KeptLay,
    items: &[Item],
    instance: &Instance,
) -> (Vec<Counterpart<'a>>, Vec<&'a KeptPiece>) {
    let mut left: Vec<&KeptPiece> = lay.pieces.iter().collect();
    let counterparts = instance.parts.iter().map(|part| {
        let item = &items[part.item];
        let (name, mirrored) = either_side(item, part.mirrored);
        let own = left.iter().enumerate().find_map(|(index, kept)| {
            let hand = kept.mirrored == mirrored || is_of_one_hand(item);
            if (kept.name.as_str(), kept.plies) != (name, part.plies) || !hand {
                return None;
            }
            let mut orientations = part.orientations.iter();
            let orientation = orientations.position(|o| same_turn(o.degrees, kept.degrees))?;
            Some((index, orientation))
        });
        match own {
            Some((index, orientation)) => Counterpart {
                orientation,
                kept: Some(left.remove(index)),
            },
            None => Counterpart {
                orientation: 0,
                kept: None,
            },
        }
    });
    let counterparts = counterparts.collect();
    (counterparts, left)
}

/// Whether a piece lies in one hand only, so that the hand in which it was kept does not tell which it is.
fn is_of_one_hand(item: &Item) -> bool {
    matches!(item.count, Count::Alike(_)) && item.pair.is_none()
}

/// Sum of the areas of the boxes of pieces, mm².
fn total_area<'a>(pieces: impl Iterator<Item = &'a KeptPiece>) -> f64 {
    pieces.map(|kept| kept.size.x * kept.size.y).sum()
}

/// Whether two turns in degrees are the same but for a tilt.
fn same_turn(a: f64, b: f64) -> bool {
    /// More than any piece is tilted, degrees, and less than an eighth turn.
    const TILT: f64 = 10.0;
    let off = (a - b).rem_euclid(360.0);
    off.min(360.0 - off) < TILT
}

/// Makes at most `count` starts from kept lays, first from the lay from which the shortest is expected. A strip
/// of several bays gets none: kept lays are of one length of cloth.
pub(super) fn starts(
    kept: &[KeptLay],
    items: &[Item],
    packing: &Packing,
    strip: &Strip,
    count: usize,
) -> Vec<Start> {
    if strip.bays.len() != 1 {
        return Vec::new();
    }
    let like = |lay| Likeness::new(lay, items, packing, strip);
    let mut likest: Vec<Likeness> = kept.iter().filter_map(like).collect();
    likest.sort_by(|a, b| a.expected.total_cmp(&b.expected));
    likest.truncate(count);
    likest
        .iter()
        .map(|likeness| likeness.start(packing, strip))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_are_the_same_but_for_a_tilt() {
        assert!(same_turn(0.0, 358.0) && same_turn(182.0, 180.0));
        assert!(!same_turn(0.0, 180.0) && !same_turn(90.0, 45.0));
    }
}
