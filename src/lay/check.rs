//! The check of a finished lay, by exact geometry that shares nothing with the search.

use super::areas::{breadth, overlap, region};
use super::cloth_rules::ClothRules;
use super::contour::{Contour, bounds};
use super::fault::LayFault;
use super::item::Item;
use super::matching;
use super::outcome::{Lay, Placement};
use super::tolerance::TOLERANCE;
use crate::draft::Count;
use crate::order::{Face, Layout};
use i_overlay::core::overlay_rule::OverlayRule;
use kurbo::{Point, Rect, Shape};

/// Turn in degrees, or change of scale as a part of one, that is rounding.
const TURNED: f64 = 1e-6;

/// Checks that every copy of every item is there, inside the usable cloth, and that no two overlap by more
/// than [`TOLERANCE`].
///
/// # Errors
/// When the lay is not so: always [`LayFault::Unsound`], with the first thing that is wrong.
pub(super) fn check(items: &[Item], cloth: &ClothRules, lay: &Lay) -> Result<(), LayFault> {
    all_cut(items, cloth, lay)
        .and_then(|()| matched(items, cloth, lay))
        .and_then(|()| outlines(items, cloth, lay))
        .and_then(|outlines| {
            on_the_table(cloth, lay, &outlines)?;
            apart(&outlines)
        })
        .map_err(|found| LayFault::Unsound { found })
}

/// Checks that each section of the lay lies on the table, and each piece in one section.
fn on_the_table(cloth: &ClothRules, lay: &Lay, outlines: &[Placed]) -> Result<(), String> {
    let Some(table) = cloth.table else {
        return Ok(());
    };
    let ends = |of: &dyn Fn(&Rect) -> f64, better: fn(f64, f64) -> f64| {
        let all = outlines.iter().map(|placed| of(&placed.bounds));
        all.reduce(better).unwrap_or_default()
    };
    let whole = [(ends(&|r| r.y0, f64::min), ends(&|r| r.y1, f64::max))];
    let sections = if lay.sections.is_empty() {
        &whole[..]
    } else {
        &lay.sections
    };
    if let Some((from, to)) = sections
        .iter()
        .find(|(a, b)| b - a > table + 2.0 * TOLERANCE)
    {
        return Err(format!(
            "a section from {from:.1} to {to:.1} is longer than the table"
        ));
    }
    let inside = |placed: &&Placed| {
        sections.iter().any(|(from, to)| {
            placed.bounds.y0 >= from - TOLERANCE && placed.bounds.y1 <= to + TOLERANCE
        })
    };
    match outlines.iter().find(|placed| !inside(placed)) {
        Some(placed) => Err(format!("{} lies across the end of a section", placed.name)),
        None => Ok(()),
    }
}

/// The outline of a placed piece, on the upper ply.
struct Placed<'a> {
    name: &'a str,
    contours: Vec<Contour>,
    bounds: Rect,
}

/// Checks that every item is cut as often as it should be, in the right hands and with the right side up.
fn all_cut(items: &[Item], cloth: &ClothRules, lay: &Lay) -> Result<(), String> {
    for item in items {
        let here = || lay.placements.iter().filter(|p| p.piece == item.piece);
        let in_hand = |mirrored: bool| {
            let cut = here().filter(|p| p.plies == 2 || p.mirrored == mirrored);
            cut.count()
        };
        let total: u32 = here().map(|p| if p.on_fold { 1 } else { p.plies }).sum();
        let (right_side, paired) = match item.count {
            Count::Pairs(n) => {
                let paired = [false, true].map(|mirrored| in_hand(mirrored) == n as usize);
                (true, paired == [true, true])
            }
            Count::Alike(_) => {
                let down = cloth.face == Face::Down;
                let right_side = here().all(|p| p.plies == 2 || p.mirrored == down);
                (right_side, true)
            }
        };
        if !right_side {
            return Err(format!("{} lies with its wrong side up", item.name));
        }
        if total != item.count.total() || !paired {
            return Err(format!("{} is cut {total} times", item.name));
        }
    }
    Ok(())
}

/// Checks that the pattern matches wherever it must.
fn matched(items: &[Item], cloth: &ClothRules, lay: &Lay) -> Result<(), String> {
    match matching::worst(items, &lay.placements, cloth.repeat, lay.pattern_at) {
        Some(miss) if miss.by > matching::EXACT => Err(format!(
            "the pattern misses by {:.2} mm at the {}",
            miss.by, miss.of.name
        )),
        _ => Ok(()),
    }
}

/// Returns the outlines of all placed pieces, once it is checked that each lies as it may and on the cloth.
fn outlines<'a>(
    items: &'a [Item],
    cloth: &ClothRules,
    lay: &Lay,
) -> Result<Vec<Placed<'a>>, String> {
    let (left, right) = cloth.usable();
    let (at_hand, long_from) = cloth.pieces();
    let long = (long_from, lay.length.max(long_from));
    let on_one_piece = |area: Rect| {
        let mut pieces = at_hand.iter().chain([&long]);
        pieces.any(|&(start, end)| {
            let piece = Rect::new(left, start, right, end).inset(TOLERANCE);
            piece.contains_rect(area)
        })
    };
    let placed = |placement: &Placement| {
        let Some(item) = items.iter().find(|i| i.piece == placement.piece) else {
            return Err(format!("piece {} is not in this order", placement.piece));
        };
        let name = &item.name;
        if placement.plies == 2 && cloth.layout == Layout::Open {
            return Err(format!(
                "{name} would be cut through two plies of an open cloth"
            ));
        }
        if let Some(found) = astray(item, placement, cloth) {
            return Err(found);
        }
        let moved = |c: &Contour| c.iter().map(|&p| placement.transform * p).collect();
        let mut contours: Vec<Contour> = std::iter::once(&item.outline)
            .chain(&item.holes)
            .map(moved)
            .collect();
        if placement.on_fold {
            contours = upper_half(item, placement, cloth, &contours)?;
        }
        let bounds = bounds(&contours[0]);
        if !on_one_piece(bounds) {
            return Err(format!("{name} leaves the cloth"));
        }
        Ok(Placed {
            name,
            contours,
            bounds,
        })
    };
    lay.placements.iter().map(placed).collect()
}

/// Checks that no two outlines overlap.
fn apart(outlines: &[Placed]) -> Result<(), String> {
    for (index, one) in outlines.iter().enumerate() {
        for other in &outlines[..index] {
            if one.bounds.overlaps(other.bounds) {
                let depth = overlap(&one.contours, &other.contours);
                if depth > TOLERANCE {
                    let (name, other) = (one.name, other.name);
                    return Err(format!("{name} and {other} overlap by {depth:.3} mm"));
                }
            }
        }
    }
    Ok(())
}

/// Returns what is wrong with the way a piece lies: it is turned otherwise than it may be, tilted off the grain
/// by more than it allows, out of scale, or not mirrored as it is said to be.
fn astray(item: &Item, placement: &Placement, cloth: &ClothRules) -> Option<String> {
    let [a, b, c, d, ..] = placement.transform.as_coeffs();
    let side = if placement.mirrored { -1.0 } else { 1.0 };
    let rigid = (a - side * d).abs().max((b + side * c).abs()) < TURNED
        && (a.hypot(b) - 1.0).abs() < TURNED
        && (a * d - b * c) * side > 0.0;
    if !rigid {
        return Some(format!("{} does not keep its shape", item.name));
    }
    let off = if cloth.repeat.is_patterned() {
        0.0
    } else {
        item.off_grain
    };
    let laid = placement.transform * item.grain.to_point() - placement.transform * Point::ZERO;
    let degrees = laid.atan2().to_degrees() - 90.0;
    let tilted = item.turns.iter().map(|turn| {
        let by = (degrees - turn).rem_euclid(360.0);
        by.min(360.0 - by)
    });
    let tilted = tilted.fold(f64::INFINITY, f64::min);
    (tilted > off + TURNED).then(|| format!("{} lies {tilted:.2} degrees off its grain", item.name))
}

/// Returns the half of a piece on the fold that lies on the upper ply.
///
/// # Errors
/// When the fold does not run along the middle of the piece, or the ply below does not give the other half.
fn upper_half(
    item: &Item,
    placement: &Placement,
    cloth: &ClothRules,
    contours: &[Contour],
) -> Result<Vec<Contour>, String> {
    let fold = cloth.width / 2.0;
    let miss = |at: Point| (placement.transform * at).x - fold;
    let Some(at) = item
        .fold
        .filter(|_| cloth.layout == Layout::Doubled && placement.plies == 2 && contours.len() == 1)
    else {
        return Err(format!("{} cannot be cut on a fold", item.name));
    };
    let ends = [-1000.0, 1000.0].map(|along| miss(at + item.grain.normalize() * along));
    let worst = ends[0].abs().max(ends[1].abs());
    if worst > TOLERANCE {
        return Err(format!("{} misses the fold by {worst:.3} mm", item.name));
    }
    let all = bounds(&contours[0]).inset(1.0);
    let on_ply = |left: f64, right: f64| {
        let ply = Rect::new(left, all.y0, right, all.y1).to_path(0.1);
        let corners: Contour = ply
            .elements()
            .iter()
            .filter_map(|e| e.end_point())
            .collect();
        let shapes = region(contours, &[corners], OverlayRule::Intersect);
        shapes.into_iter().flatten().collect::<Vec<Contour>>()
    };
    let (upper, mut lower) = (on_ply(all.x0, fold), on_ply(fold, all.x1));
    for p in lower.iter_mut().flatten() {
        p.x = 2.0 * fold - p.x;
    }
    for (one, other) in [(&upper, &lower), (&lower, &upper)] {
        let differ = region(one, other, OverlayRule::Difference);
        let differ = differ
            .iter()
            .map(|shape| breadth(shape))
            .fold(0.0, f64::max);
        if differ > TOLERANCE {
            let name = &item.name;
            return Err(format!(
                "the sides of {name} differ by {differ:.3} mm at the fold"
            ));
        }
    }
    Ok(upper)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::{Effort, Repeat, Search, plan};
    use kurbo::Affine;

    /// A collar that may be cut on the fold, and the cloth folded.
    fn on_the_fold() -> (Vec<Item>, ClothRules, Lay) {
        let corners = [
            (-200.0, 30.0),
            (0.0, 0.0),
            (200.0, 30.0),
            (150.0, 100.0),
            (-150.0, 100.0),
        ];
        let item = Item {
            name: "top collar".into(),
            kind: "top collar".into(),
            turns: vec![0.0, 180.0],
            fold: Some(Point::ZERO),
            ..Item::new(0, corners.map(Point::from).to_vec())
        };
        let cloth = ClothRules {
            width: 1500.0,
            selvedge: 10.0,
            layout: Layout::Doubled,
            face: Face::Up,
            gap: 3.0,
            longest: None,
            table: None,
            repeat: Repeat::default(),
            remnants: Vec::new(),
        };
        let items = vec![item];
        let search = Search {
            effort: Effort::Rounds(1),
            ..Search::default()
        };
        let lay = plan(&items, &cloth, &search).unwrap();
        (items, cloth, lay)
    }

    /// Returns what the check finds once the only piece is moved and turned.
    fn found(by: Affine) -> Option<String> {
        let (items, cloth, mut lay) = on_the_fold();
        let placed = &mut lay.placements[0].transform;
        let at = *placed * Point::new(0.0, 50.0);
        *placed = Affine::translate(at.to_vec2()) * by * Affine::translate(-at.to_vec2()) * *placed;
        check(&items, &cloth, &lay)
            .err()
            .map(|fault| fault.to_string())
    }

    #[test]
    fn a_piece_beside_the_fold_or_off_the_grain_is_found() {
        assert_eq!(found(Affine::IDENTITY), None);
        let aside = found(Affine::translate((-0.02, 0.0))).unwrap();
        assert!(
            aside.contains("top collar misses the fold by 0.020 mm"),
            "{aside}"
        );
        let turned = found(Affine::rotate(0.01)).unwrap();
        assert!(
            turned.contains("top collar lies 0.57 degrees off its grain"),
            "{turned}"
        );
        let larger = found(Affine::scale(1.001)).unwrap();
        assert!(larger.contains("does not keep its shape"), "{larger}");
    }

    #[test]
    fn a_piece_that_is_lost_or_cut_twice_or_in_the_wrong_hand_is_found() {
        let told = |items: &[Item], cloth: &ClothRules, lay: &Lay| {
            check(items, cloth, lay).unwrap_err().to_string()
        };
        let (mut items, mut cloth, mut lay) = on_the_fold();
        lay.placements.push(lay.placements[0].clone());
        let twice = told(&items, &cloth, &lay);
        assert!(twice.contains("top collar is cut 2 times"), "{twice}");
        lay.placements.clear();
        let lost = told(&items, &cloth, &lay);
        assert!(lost.contains("top collar is cut 0 times"), "{lost}");
        // One ply of open cloth, the right side up, and then over the other face.
        cloth.layout = Layout::Open;
        items[0].fold = None;
        let search = Search {
            effort: Effort::Rounds(1),
            ..Search::default()
        };
        let single = plan(&items, &cloth, &search).unwrap();
        cloth.face = Face::Down;
        let over = told(&items, &cloth, &single);
        assert!(over.contains("lies with its wrong side up"), "{over}");
        cloth.face = Face::Up;
        assert!(check(&items, &cloth, &single).is_ok());
        // A pair from open cloth, whose second half is then the first once more.
        items[0].count = Count::Pairs(1);
        let mut paired = plan(&items, &cloth, &search).unwrap();
        assert!(check(&items, &cloth, &paired).is_ok());
        let mut again = paired.placements[0].clone();
        again.transform = Affine::translate((0.0, 200.0)) * again.transform;
        paired.placements[1] = again;
        let alike = told(&items, &cloth, &paired);
        assert!(alike.contains("top collar is cut 2 times"), "{alike}");
    }

    #[test]
    fn sides_that_differ_are_found() {
        let (mut items, cloth, lay) = on_the_fold();
        items[0].outline[0].x -= 5.0;
        let fault = check(&items, &cloth, &lay).unwrap_err().to_string();
        assert!(
            fault.contains("the sides of top collar differ by"),
            "{fault}"
        );
    }
}
