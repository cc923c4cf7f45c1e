//! Random outlines on joined pages: apart from one another, within the sheet, and small ones each on one page.

use crate::readback::geometry;
use chalkstripe::lay::{Pages, on_pages};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};
use proptest::prelude::*;

/// A star of corners at random distances from its middle.
fn star(radii: &[f64]) -> BezPath {
    let mut path = BezPath::new();
    for (i, radius) in radii.iter().enumerate() {
        let angle = i as f64 / radii.len() as f64 * std::f64::consts::TAU;
        let corner = Point::new(radius * angle.cos(), radius * angle.sin());
        if i == 0 {
            path.move_to(corner);
        } else {
            path.line_to(corner);
        }
    }
    path.close_path();
    path
}

/// Area that two outlines share, mm².
fn shared(a: &BezPath, b: &BezPath) -> f64 {
    let [a, b] = [a, b].map(|path| -> Vec<Point> {
        let ends = path.elements().iter();
        ends.filter_map(PathEl::end_point).collect()
    });
    geometry::shared(&a, &b)
}

/// Asserts what must be true of outlines on a sheet.
fn assert_placed(outlines: &[BezPath], places: &[Affine], pages: &Pages) {
    let lying: Vec<BezPath> = outlines
        .iter()
        .zip(places)
        .map(|(outline, place)| *place * outline)
        .collect();
    let sheet = Rect::new(0.0, 0.0, pages.columns as f64 * pages.width, f64::INFINITY);
    for (i, (own, place)) in lying.iter().zip(places).enumerate() {
        assert!((place.determinant() - 1.0).abs() < 1e-9, "{i} is mirrored");
        let bounds = own.bounding_box();
        assert!(
            sheet.contains(bounds.origin()) && bounds.x1 < sheet.x1,
            "{i} at {bounds:?}"
        );
        let kept_free = pages.kept_free.unwrap_or_default();
        let kept_free = Rect::new(0.0, 0.0, kept_free.0, kept_free.1).to_path(0.1);
        assert!(shared(own, &kept_free) < 1e-3, "{i} on what is kept free");
        for (j, other) in lying.iter().enumerate().skip(i + 1) {
            assert!(shared(own, other) < 1e-3, "{i} and {j} overlap");
        }
        let Some(height) = pages.height else {
            continue;
        };
        // What clears the joints by a millimetre at either end is small.
        let fits = |across: f64, down: f64| across + 2.0 < pages.width && down + 2.0 < height;
        if fits(bounds.width(), bounds.height()) || fits(bounds.height(), bounds.width()) {
            let page = |at: f64, size: f64| (at / size).floor();
            assert_eq!(
                page(bounds.x0, pages.width),
                page(bounds.x1, pages.width),
                "{i}"
            );
            assert_eq!(page(bounds.y0, height), page(bounds.y1, height), "{i}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn outlines_lie_apart_and_small_ones_on_one_page(
        stars in prop::collection::vec(prop::collection::vec(20.0..220.0_f64, 3..9), 1..14),
        lying in any::<bool>(),
        kept in any::<bool>(),
        roll in any::<bool>(),
    ) {
        let outlines: Vec<BezPath> = stars.iter().map(|radii| star(radii)).collect();
        let (width, height) = if lying { (267.0, 180.0) } else { (180.0, 267.0) };
        let pages = Pages {
            width,
            height: (!roll).then_some(height),
            columns: 4,
            kept_free: kept.then_some((190.0, 300.0)),
        };
        let places = on_pages(&outlines, &pages).unwrap();
        assert_placed(&outlines, &places, &pages);
        prop_assert_eq!(places, on_pages(&outlines, &pages).unwrap());
    }
}

#[test]
fn what_is_wider_than_the_sheet_has_no_place() {
    let pages = Pages {
        width: 180.0,
        height: Some(267.0),
        columns: 2,
        kept_free: None,
    };
    assert_eq!(on_pages(&[star(&[400.0; 12])], &pages), None);
    assert!(on_pages(&[], &pages).is_some());
}

/// Squares of which four fill a page stand on as few pages as hold them.
#[test]
fn pages_are_spared() {
    let square = Rect::new(0.0, 0.0, 120.0, 85.0).to_path(0.1);
    let pages = Pages {
        width: 180.0,
        height: Some(267.0),
        columns: 3,
        kept_free: None,
    };
    let outlines = vec![square; 12];
    let places = on_pages(&outlines, &pages).unwrap();
    assert_placed(&outlines, &places, &pages);
    let page = |place: &Affine| {
        let middle = *place * Point::new(60.0, 42.5);
        ((middle.x / 180.0) as u32, (middle.y / 267.0) as u32)
    };
    let used: std::collections::BTreeSet<(u32, u32)> = places.iter().map(page).collect();
    assert_eq!(used.len(), 3, "{used:?}");
}
