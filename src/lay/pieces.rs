//! Items to lay, made of the pieces of a pattern.

use super::contour::signed_area;
use super::fold::made_even;
use super::item::{Item, MatchedPoints};
use super::outline::polygon_round;
use crate::draft::{Material, Turning};
use crate::order::Nap;
use crate::pattern::{Pattern, Piece};
use kurbo::Point;

/// Distance by which the outline that is laid may stand outside the cut line, mm. A wider one would lay faster,
/// and take cloth (judged).
const SLACK: f64 = 0.4;

/// Returns the pieces of one material as items to lay. [`Item::piece`] is a piece's index in the pattern.
pub fn items(pattern: &Pattern, material: &Material, nap: Nap) -> Vec<Item> {
    let outline = |piece: &Piece| polygon_round(&piece.cut, SLACK);
    matched(pattern, material, nap, outline)
}

/// Returns the pieces of one material as items that have no outline: all that is asked of them is where they must meet
/// on the pattern ([`on_pattern`](super::on_pattern)), which does not need it.
pub fn items_to_match(pattern: &Pattern, material: &Material, nap: Nap) -> Vec<Item> {
    matched(pattern, material, nap, |_| Vec::new())
}

fn matched(
    pattern: &Pattern,
    material: &Material,
    nap: Nap,
    outline: impl Fn(&Piece) -> Vec<Point>,
) -> Vec<Item> {
    let pieces = pattern.pieces.iter().enumerate();
    let mut items: Vec<Item> = pieces
        .filter(|(_, piece)| piece.material == *material)
        .map(|(index, piece)| item(index, piece, nap, outline(piece)))
        .collect();
    let turned_over = |piece: usize| pattern.pieces.get(piece).is_some_and(|p| p.turned_over);
    for item in &mut items {
        let own = pattern.matches.iter().filter(|m| m.piece == item.piece);
        item.matches.extend(own.map(|m| MatchedPoints {
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

fn item(index: usize, piece: &Piece, nap: Nap, round: Vec<Point>) -> Item {
    let grain = piece.grain.1 - piece.grain.0;
    let (outline, grain) = match piece.fold {
        // The fold lies along the cloth. The grain strays from it by less than shears can tell.
        Some((from, to)) => {
            let along = (to - from) * (to - from).dot(grain).signum();
            let even = match round.is_empty() {
                true => round,
                false => made_even(round, from, along),
            };
            (even, along)
        }
        None => (round, grain),
    };
    let (order, garment) = match &piece.one_of {
        Some(one_of) => (one_of.order, &one_of.garment),
        None => (0, &piece.garment),
    };
    Item {
        piece: index,
        name: format!("{} {}", piece.garment, piece.name),
        kind: format!("{garment} {}", piece.name),
        order,
        side: piece.side,
        pair: (piece.pair.as_ref()).map(|pair| format!("{garment} {pair}")),
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

/// Returns the turns that a piece may take, in degrees from its grain running down the cloth. Cloth that is
/// laid one way allows only 0, since the grain of every piece is drawn the way the nap runs down it. The grain
/// of a piece on the bias is drawn 45 degrees off the way it hangs, which is as near as such a piece can read.
pub fn turns(turning: Turning, nap: Nap) -> Vec<f64> {
    match (turning, nap) {
        (_, Nap::OneWay) => vec![0.0],
        (Turning::Grain, Nap::TwoWays) => vec![0.0, 180.0],
        (Turning::Quarter, Nap::TwoWays) => vec![0.0, 90.0, 180.0, 270.0],
        (Turning::Free, Nap::TwoWays) => (0..8).map(|eighth| f64::from(eighth) * 45.0).collect(),
    }
}
