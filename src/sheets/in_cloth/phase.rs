//! Where each piece lies on the pattern of its cloth.

use crate::draft::Draft;
use crate::lay::{self, Laid, Lay, Placement, Repeat};
use crate::order::{Face, Material, Order, Side};
use crate::pattern::{Pattern, Piece};
use kurbo::{Affine, Point, Shape, Vec2};
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;

/// Where the pieces of a pattern lie on their cloth: as the lay puts them, or before there is one as their matches
/// ask. A piece that nothing is matched with has its middle on a bar, which is the house's choice.
#[derive(Debug)]
pub struct Phases<'a> {
    pieces: &'a [Piece],
    /// The lay of each cloth that is laid.
    lays: Vec<&'a Laid>,
    /// What the matches ask of each piece, across and along, where its cloth has no lay.
    asked: BTreeMap<usize, [Option<f64>; 2]>,
    /// From the frame each piece was drafted in to that of the pattern.
    turned: Vec<Affine>,
}

impl<'a> Phases<'a> {
    /// Finds where the pieces of an order lie. `lays` may be empty.
    pub fn new(order: &Order, drafts: &[Draft], pattern: &'a Pattern, lays: &'a [Laid]) -> Self {
        let of_cloth = |laid: &&Laid| laid.material.is_cloth();
        let laid_cloths: Vec<&Laid> = lays.iter().filter(of_cloth).collect();
        let mut asked = BTreeMap::new();
        for cloth in order.cloths() {
            if laid_cloths
                .iter()
                .all(|laid| laid.material != cloth.material)
            {
                let items = lay::items_to_match(pattern, &cloth.material, cloth.nap);
                let [across, along] = cloth.repeat();
                // Matches that contradict one another are told by the lay.
                let own = lay::on_pattern(&items, Repeat::new(across, along));
                asked.extend(own.unwrap_or_default());
            }
        }
        let drafted = drafts.iter().flat_map(|draft| &draft.pieces);
        Self {
            pieces: &pattern.pieces,
            lays: laid_cloths,
            asked,
            turned: drafted.map(|piece| piece.as_drafted()).collect(),
        }
    }

    /// Returns the map from a piece, in the frame it was drafted in, to the right side of the cloth, mm across and along
    /// from a bar of its pattern. `side` is the side of the body on which the copy is worn.
    pub fn of(&self, piece: usize, side: Option<Side>) -> Affine {
        let turned = self.turned.get(piece).copied().unwrap_or_default();
        let Some(of) = self.pieces.get(piece) else {
            return turned;
        };
        let mut lays = self.lays.iter();
        let laid = lays.find(|laid| laid.material == of.material);
        let laid = laid.and_then(|laid| laid_as(&laid.lay, piece, turned, side));
        laid.unwrap_or_else(|| self.unlaid(piece, of, turned, side))
    }

    /// Tells whether a garment is cut from a material.
    pub(super) fn is_of(&self, garment: &str, material: &Material) -> bool {
        let mut pieces = self.pieces.iter();
        pieces.any(|piece| piece.garment == garment && piece.material == *material)
    }

    /// Returns the map for a piece that is not laid.
    fn unlaid(&self, piece: usize, of: &Piece, turned: Affine, side: Option<Side>) -> Affine {
        let grain = of.grain.1 - of.grain.0;
        let straight = Affine::rotate(FRAC_PI_2 - grain.atan2());
        let middle = (straight * &of.seam).bounding_box().center();
        let asked = self.asked.get(&piece).copied().unwrap_or_default();
        let by = Vec2::new(asked[0].unwrap_or(-middle.x), asked[1].unwrap_or(-middle.y));
        let map = Affine::translate(by) * straight * turned;
        // Every piece is drafted as the right one is seen from outside.
        let wanted = if side == Some(Side::Left) { -1.0 } else { 1.0 };
        Affine::scale_non_uniform(wanted * map.determinant().signum(), 1.0) * map
    }
}

/// Returns the map for the copy of a piece that is worn on a side, as it is laid; the first copy if none is.
fn laid_as(lay: &Lay, piece: usize, turned: Affine, side: Option<Side>) -> Option<Affine> {
    let copies = || lay.placements.iter().filter(|placed| placed.piece == piece);
    let worn = |placed: &&Placement| side.is_none_or(|side| upper(lay, placed, turned) == side);
    let both = |placed: &&Placement| placed.plies == 2 && !placed.on_fold;
    let from_bar = Affine::translate(-lay.pattern_at.to_vec2());
    // Across the right side of the cloth, which is turned away where the wrong side is up.
    let facing = match lay.face {
        Face::Up => 1.0,
        Face::Down => -1.0,
    };
    if let Some(placed) = copies().find(worn) {
        let onto = from_bar * placed.transform * turned;
        return Some(Affine::scale_non_uniform(facing, 1.0) * onto);
    }
    // The other of the pair lies under it: unfolded, as far beyond the fold, with its other side up.
    let placed = copies().find(both).or_else(|| copies().next())?;
    let across = if placed.plies == 2 { -facing } else { facing };
    Some(Affine::scale_non_uniform(across, 1.0) * from_bar * placed.transform * turned)
}

/// Returns the side of the body for which the upper ply of a placement is. A piece is drafted as the right one is seen
/// from outside, which is the right side of the cloth.
fn upper(lay: &Lay, placed: &Placement, turned: Affine) -> Side {
    let seen_as_drafted = (placed.transform * turned).determinant() > 0.0;
    match seen_as_drafted == (lay.face == Face::Up) {
        true => Side::Right,
        false => Side::Left,
    }
}

/// Returns where a point of the table is on the right side of the cloth that lies uppermost on it.
pub(super) fn on_table(lay: &Lay, at: Point) -> Point {
    let from_bar = at - lay.pattern_at;
    match lay.face {
        Face::Up => from_bar.to_point(),
        Face::Down => Point::new(-from_bar.x, from_bar.y),
    }
}
