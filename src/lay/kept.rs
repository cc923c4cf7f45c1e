//! Lays that were kept: a cutter who has laid such a suit before does not begin from nothing.
//!
//! A lay is kept as where the middle of each piece lay. For a man of another build, with other
//! choices or on other cloth, its pieces are put in the same places, which then overlap a little or
//! leave gaps; the search takes it from there. What a lay is like is judged by the sizes of its pieces.

use super::crowd::{Ground, Spot};
use super::strip::Strip;
use super::types::{Item, Lay};
use super::work::Work;
use crate::draft::Count;
use crate::order::Side;
use kurbo::{Point, Vec2};
use serde::Deserialize;
use std::sync::LazyLock;

/// A lay of which only the places are kept. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Kept {
    /// What was laid, for those who read the list.
    pub name: String,
    /// Width that could be used.
    pub width: f64,
    /// Length of the lay.
    pub length: f64,
    /// One for each cut.
    pub pieces: Vec<KeptPiece>,
}

/// Where a piece lay.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(from = "Row")]
pub struct KeptPiece {
    /// Its name, with that of its garment; of a piece that is cut for one side, without the side.
    pub name: String,
    /// Whether it was that of the left side, or mirrored.
    pub mirrored: bool,
    /// Plies it was cut through.
    pub plies: u32,
    /// Its turn, degrees.
    pub degrees: f64,
    /// Its extent across and along as it lay.
    pub size: Vec2,
    /// The middle of that from the left edge of what could be used and from the cut end.
    pub middle: Point,
}

/// A piece as it stands in the file: its name, whether mirrored, plies, degrees, extent across and along,
/// middle across and along.
type Row = (String, bool, u32, f64, f64, f64, f64, f64);

impl From<Row> for KeptPiece {
    fn from((name, mirrored, plies, degrees, across, along, x, y): Row) -> Self {
        KeptPiece {
            name,
            mirrored,
            plies,
            degrees,
            size: Vec2::new(across, along),
            middle: Point::new(x, y),
        }
    }
}

/// What a piece is called on either side, and whether it is that of the left side or mirrored.
fn either_side(item: &Item, mirrored: bool) -> (&str, bool) {
    match &item.pair {
        Some(pair) => (pair, mirrored != (item.side == Some(Side::Left))),
        None => (&item.name, mirrored),
    }
}

/// Whether a piece lies in one hand only, so that the hand in which it was kept does not tell which it is.
fn of_one_hand(item: &Item) -> bool {
    matches!(item.count, Count::Alike(_)) && item.pair.is_none()
}

/// Where parts may stand at first, and the length of strip to try for them. They may overlap.
#[derive(Debug, Clone)]
pub(super) struct Start {
    /// Where each part stands on a strip that begins at 0.
    pub spots: Vec<Spot>,
    /// Length of that strip.
    pub length: f64,
}

#[derive(Deserialize)]
struct File {
    #[serde(default)]
    lay: Vec<Kept>,
}

/// The lays that come with the program: of suits for invented men, as its own long searches laid them
/// (`cargo bench --bench kept` makes them anew).
pub fn kept() -> &'static [Kept] {
    static KEPT: LazyLock<Vec<Kept>> = LazyLock::new(|| {
        toml::from_str(include_str!("kept.toml")).map_or_else(|_| Vec::new(), |file: File| file.lay)
    });
    &KEPT
}

/// A lay is of use where pieces that make up less than this of the area are missing or of another size.
const UNLIKE: f64 = 0.25;
/// So much longer, in parts of how unlike it is, a lay is reckoned to come out.
const TAKES: f64 = 0.6;
/// What is tried first is so much longer than a lay as dense as the one that was kept; and where bars across
/// hold pieces to a few places.
const LOOSER: f64 = 1.01;
const LOOSER_HELD: f64 = 1.08;

impl Kept {
    /// Keeps the places of a lay of these items.
    pub fn new(name: &str, items: &[Item], lay: &Lay) -> Self {
        let pieces = lay.placements.iter().filter_map(|placed| {
            let item = items.iter().find(|item| item.piece == placed.piece)?;
            let lying: Vec<Point> = item.outline.iter().map(|&p| placed.transform * p).collect();
            let mut bounds = super::contour::bounds(&lying);
            // Of a piece on the fold the half beyond it lies under this one.
            bounds.x1 = bounds.x1.min(lay.usable.1);
            let (name, mirrored) = either_side(item, placed.mirrored);
            Some(KeptPiece {
                name: name.to_owned(),
                mirrored,
                plies: placed.plies,
                degrees: placed.degrees,
                size: bounds.size().to_vec2(),
                middle: bounds.center() - Vec2::new(lay.usable.0, 0.0),
            })
        });
        Kept {
            name: name.to_owned(),
            width: lay.usable.1 - lay.usable.0,
            length: lay.length,
            pieces: pieces.collect(),
        }
    }

    /// For each part of some work the way in which it lay and the piece it was, `None` if there was none;
    /// and the pieces that are not wanted now.
    fn known<'a>(&'a self, items: &[Item], work: &Work) -> (Vec<Known<'a>>, Vec<&'a KeptPiece>) {
        let mut left: Vec<&KeptPiece> = self.pieces.iter().collect();
        let known = work.parts.iter().map(|part| {
            let item = &items[part.item];
            let (name, mirrored) = either_side(item, part.mirrored);
            let own = left.iter().enumerate().find_map(|(index, kept)| {
                let hand = kept.mirrored == mirrored || of_one_hand(item);
                let is = (kept.name.as_str(), kept.plies) == (name, part.plies) && hand;
                let way = (part.ways.iter()).position(|way| turned(way.degrees, kept.degrees));
                is.then_some((index, way?))
            });
            match own {
                Some((index, way)) => (way, Some(left.remove(index))),
                None => (0, None),
            }
        });
        let known = known.collect();
        (known, left)
    }

    /// The parts of some work where they lay, and how long a lay this promises; `None` if it is of no use.
    fn start(&self, items: &[Item], ground: &Ground, strip: &Strip) -> Option<(f64, Start)> {
        let (known, left) = self.known(items, ground.work);
        let across = strip.width / self.width;
        let (mut area, mut unlike) = (0.0, 0.0);
        for (part, &(way, kept)) in known.iter().enumerate() {
            let size = ground.size(part, way);
            let other = kept.map_or(1.0, |kept| {
                (size.x / kept.size.x).ln().abs() + (size.y / kept.size.y).ln().abs()
            });
            area += size.x * size.y;
            unlike += size.x * size.y * other;
        }
        unlike += total(left.into_iter());
        let unlike = unlike / area + across.ln().abs();
        if unlike.is_nan() || unlike > UNLIKE {
            return None;
        }
        // As dense a lay as it was.
        let promised = self.length * area / total(self.pieces.iter()) / across;
        let looser = if ground.work.repeat.y > 0.0 {
            LOOSER_HELD
        } else {
            LOOSER
        };
        let length = promised * looser + ground.work.gap;
        let spot = |(way, kept): Known| {
            let (x, y) = kept.map_or((0.5, 0.5), |kept| {
                (kept.middle.x / self.width, kept.middle.y / self.length)
            });
            let centre = Point::new(x * strip.width, y * length);
            Spot { way, centre }
        };
        let spots = known.into_iter().map(spot).collect();
        Some((promised * (1.0 + TAKES * unlike), Start { spots, length }))
    }
}

/// The way in which a part lay, and the piece that it was.
type Known<'a> = (usize, Option<&'a KeptPiece>);

/// The areas of the boxes of pieces.
fn total<'a>(pieces: impl Iterator<Item = &'a KeptPiece>) -> f64 {
    pieces.map(|kept| kept.size.x * kept.size.y).sum()
}

/// Whether two turns are the same but for a tilt, degrees.
fn turned(a: f64, b: f64) -> bool {
    const TILT: f64 = 10.0;
    let off = (a - b).rem_euclid(360.0);
    off.min(360.0 - off) < TILT
}

/// What the kept lays give some work to start from, at most so many, those that promise most first.
pub(super) fn starts(
    kept: &[Kept],
    items: &[Item],
    ground: &Ground,
    strip: &Strip,
    count: usize,
) -> Vec<Start> {
    if strip.bays.len() != 1 {
        return Vec::new();
    }
    let starts = kept
        .iter()
        .filter_map(|kept| kept.start(items, ground, strip));
    let mut starts: Vec<(f64, Start)> = starts.collect();
    starts.sort_by(|a, b| a.0.total_cmp(&b.0));
    starts
        .into_iter()
        .take(count)
        .map(|start| start.1)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;

    /// Places and extents are written to a whole mm.
    const WRITTEN: f64 = 1.0;

    #[test]
    fn the_lays_that_come_with_the_program_are_read() {
        let file: File = toml::from_str(include_str!("kept.toml")).unwrap();
        assert_eq!(file.lay, kept());
        assert!(!kept().is_empty());
        for lay in kept() {
            let cloth = Rect::new(0.0, 0.0, lay.width, lay.length).inset(WRITTEN);
            let mut area = 0.0;
            for piece in &lay.pieces {
                let placed = Rect::from_center_size(piece.middle, piece.size.to_size());
                assert!(cloth.contains_rect(placed), "{}: {}", lay.name, piece.name);
                area += placed.area();
            }
            assert!(area > cloth.area(), "{}: pieces are missing", lay.name);
        }
    }

    fn item() -> Item {
        Item {
            piece: 0,
            name: "welt".into(),
            side: None,
            pair: None,
            outline: Vec::new(),
            holes: Vec::new(),
            spare: 0.0,
            count: Count::Alike(1),
            grain: Vec2::new(0.0, 1.0),
            turns: Vec::new(),
            off_grain: 0.0,
            fold: None,
            matches: Vec::new(),
        }
    }

    #[test]
    fn the_sides_of_a_piece_lie_as_a_pair_did() {
        let one = |side: Side| Item {
            side: Some(side),
            pair: Some("forepart".into()),
            ..item()
        };
        let sides = [Side::Left, Side::Right].map(one);
        let found = [&sides[0], &sides[1]].map(|item| either_side(item, false));
        assert_eq!(found, [("forepart", true), ("forepart", false)]);
        // Cut for one side, but of no pair: its name and its hand are its own.
        let welt = Item {
            side: Some(Side::Left),
            ..item()
        };
        assert_eq!(either_side(&welt, true), ("welt", true));
    }

    #[test]
    fn turns_are_the_same_but_for_a_tilt() {
        assert!(turned(0.0, 358.0) && turned(182.0, 180.0));
        assert!(!turned(0.0, 180.0) && !turned(90.0, 45.0));
    }
}
