//! Pieces that are cut on the folded edge of doubled cloth. Half of the outline is laid, its centre line on the
//! fold.

use super::contour::{Contour, bounds, signed_area};
use super::item::Item;
use crate::geometry::united;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Affine, Point, Vec2};

/// Makes a polygon the same on both sides of a line. Where one side is wider, both become so.
pub(super) fn made_even(outline: Contour, from: Point, along: Vec2) -> Contour {
    let over = Affine::reflect(from, along);
    let turned = outline.iter().map(|&p| over * p).collect();
    united(&[outline, turned])
}

/// Returns the half of an item that lies to the left of its centre line when the item is turned by `degrees`
/// from its grain along the cloth. The half is an item of its own, in the same coordinates.
pub(super) fn half(item: &Item, at: Point, degrees: f64) -> Item {
    // The direction to the left on the cloth, in the item's coordinates.
    let along = item.grain.normalize();
    let left = along.turn_90();
    let left = if degrees.rem_euclid(360.0) < 90.0 {
        left
    } else {
        -left
    };
    let area = bounds(&item.outline);
    let reach = area.width() + area.height();
    let (a, b) = (at - along * reach, at + along * reach);
    let side = [a, b, b + left * reach, a + left * reach];
    Item {
        outline: shared(&item.outline, &side),
        holes: Vec::new(),
        fold: None,
        ..item.clone()
    }
}

/// Returns the largest region that two polygons share.
pub(super) fn shared(a: &[Point], b: &[Point]) -> Contour {
    let plain = |c: &[Point]| -> Vec<[f64; 2]> { c.iter().map(|p| [p.x, p.y]).collect() };
    let shapes = plain(a).overlay(&plain(b), OverlayRule::Intersect, FillRule::NonZero);
    let outer = shapes.iter().filter_map(|shape| shape.first()).map(|c| {
        c.iter()
            .map(|p| Point::new(p[0], p[1]))
            .collect::<Contour>()
    });
    outer
        .max_by(|p, q| signed_area(p).abs().total_cmp(&signed_area(q).abs()))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::contour::rotation;

    /// The half that is kept lies to the left on the cloth, whichever way the item is drawn or laid.
    #[test]
    fn the_half_lies_to_the_left_of_the_fold() {
        for drawn in [0.0_f64, 0.4, 2.0, -1.3] {
            let outline: Contour = [(-30.0, 0.0), (30.0, 0.0), (20.0, 80.0), (-20.0, 80.0)]
                .map(|p| Affine::rotate(drawn) * Point::from(p))
                .to_vec();
            let item = Item {
                grain: Vec2::from_angle(drawn + std::f64::consts::FRAC_PI_2),
                turns: vec![0.0, 180.0],
                fold: Some(Point::ZERO),
                ..Item::new(0, outline)
            };
            for degrees in [0.0, 180.0] {
                let half = half(&item, Point::ZERO, degrees);
                let upright = std::f64::consts::FRAC_PI_2 - item.grain.atan2();
                let turned = rotation(degrees) * Affine::rotate(upright);
                let laid: Contour = half.outline.iter().map(|&p| turned * p).collect();
                assert!(bounds(&laid).x1 < 1e-5, "{laid:?}");
                assert!((signed_area(&laid).abs() - 2000.0).abs() < 0.01);
            }
        }
    }
}
