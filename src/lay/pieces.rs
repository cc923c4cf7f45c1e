//! From the pattern's pieces to the items of a lay.

use super::contour::signed_area;
use super::fold::made_even;
use super::outline::polygon_round;
use super::types::{Item, Match};
use crate::draft::{Material, Turning};
use crate::order::Nap;
use crate::pattern::{Pattern, Piece};

/// How far the outline that is laid may stand outside the cut line, mm.
const SLACK: f64 = 0.4;

/// The pieces of one material as items to lay; [`Item::piece`] is the index in the pattern.
pub fn items(pattern: &Pattern, material: Material, nap: Nap) -> Vec<Item> {
    let pieces = pattern.pieces.iter().enumerate();
    let mut items: Vec<Item> = pieces
        .filter(|(_, piece)| piece.material == material)
        .map(|(index, piece)| item(index, piece, nap))
        .collect();
    let turned_over = |piece: usize| pattern.pieces.get(piece).is_some_and(|p| p.turned_over);
    for item in &mut items {
        let own = pattern.matches.iter().filter(|m| m.piece == item.piece);
        item.matches.extend(own.map(|m| Match {
            name: m.name.clone(),
            at: m.at,
            partner: m.partner,
            partner_at: m.partner_at,
            across: m.across,
            along: m.along,
            opposed: turned_over(m.piece) != turned_over(m.partner),
        }));
    }
    items
}

fn item(index: usize, piece: &Piece, nap: Nap) -> Item {
    let round = polygon_round(&piece.cut, SLACK);
    let grain = piece.grain.1 - piece.grain.0;
    let (outline, grain) = match piece.fold {
        // The fold lies along the cloth: what the grain strays from it by is less than shears can tell.
        Some((from, to)) => {
            let along = (to - from) * (to - from).dot(grain).signum();
            (made_even(round, from, along), along)
        }
        None => (round, grain),
    };
    Item {
        piece: index,
        name: format!("{} {}", piece.garment, piece.name),
        side: piece.side,
        pair: (piece.pair.as_ref()).map(|pair| format!("{} {pair}", piece.garment)),
        spare: signed_area(&outline).abs() - piece.area(),
        outline,
        holes: Vec::new(),
        count: piece.count,
        grain,
        turns: turns(piece.turning, nap),
        off_grain: piece.off_grain,
        fold: piece.fold.map(|(from, _)| from),
        matches: Vec::new(),
    }
}

/// The turns a piece may take, in degrees from its grain running down the cloth. On a cloth that is laid
/// one way there is none but 0: the grain of every piece is drawn the way the nap runs down it. That of a
/// piece on the bias is drawn 45 degrees off the way it hangs, which is as near as such a piece can read.
pub fn turns(turning: Turning, nap: Nap) -> Vec<f64> {
    match (turning, nap) {
        (_, Nap::OneWay) => vec![0.0],
        (Turning::Grain, Nap::TwoWays) => vec![0.0, 180.0],
        (Turning::Quarter, Nap::TwoWays) => vec![0.0, 90.0, 180.0, 270.0],
        (Turning::Free, Nap::TwoWays) => (0..8).map(|eighth| f64::from(eighth) * 45.0).collect(),
    }
}
