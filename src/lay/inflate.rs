//! Inflation: from an item to contours that are checked, untangled and grown by half the gap round it.

use super::contour::{Contour, signed_area};
use super::fault::LayFault;
use super::item::Item;
use super::keyhole::keyholed;
use super::shape::SAME;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use kurbo::Point;

/// Greatest coordinate that a piece of cloth can have, mm: a kilometre.
const FARTHEST: f64 = 1e6;

/// Area by which an outline round a curve may cross itself in a notch or a slit, mm². No shears would find what
/// is cut off there. Drafted outlines stay below 0.001.
const CROSSED: f64 = 1.0;

/// Area by which a hole may lie outside its outline, or in another hole, by rounding, mm².
const ASTRAY: f64 = 1e-4;

/// Area below which a region is rounding, mm².
const NOTHING: f64 = 1e-9;

/// The contours of an item, and those grown by half the gap that is kept round it.
pub(super) struct Inflated {
    /// The contours as they are, with holes reached over cuts.
    pub net: Vec<Contour>,
    /// The contours grown by half the gap.
    pub contours: Vec<Contour>,
    /// The gap, mm.
    pub gap: f64,
}

impl Inflated {
    /// Makes an item's contours.
    ///
    /// # Errors
    /// When its outline encloses nothing, or not one region, or a hole of it lies elsewhere.
    pub(super) fn new(item: &Item, gap: f64) -> Result<Self, LayFault> {
        let net = grown(item, 0.0)?;
        let contours = if gap > 0.0 {
            grown(item, gap / 2.0)?
        } else {
            net.clone()
        };
        Ok(Self { net, contours, gap })
    }
}

/// Returns an item's outline and holes as contours, grown by `by`: mostly one, which runs round the outline and
/// through the holes.
///
/// # Errors
/// As [`Inflated::new`].
fn grown(item: &Item, by: f64) -> Result<Vec<Contour>, LayFault> {
    let fault = || LayFault::Outline {
        name: item.name.clone(),
    };
    if !is_measured(item) || !bounds_one_region(&item.outline) {
        return Err(fault());
    }
    let outline = vec![corners(&item.outline)];
    let holes: Vec<_> = item.holes.iter().map(|hole| corners(hole)).collect();
    let mut shapes = outline.overlay(&holes, OverlayRule::Difference, FillRule::NonZero);
    if !holes.is_empty() {
        let none: Vec<Vec<[f64; 2]>> = Vec::new();
        let uncut = outline.overlay(&none, OverlayRule::Subject, FillRule::NonZero);
        let largest = |regions: &[Vec<Vec<[f64; 2]>>]| {
            let areas = regions.iter().map(|region| net_area_of(region));
            areas.fold(0.0, f64::max)
        };
        let cut_out: f64 = item.holes.iter().map(|hole| signed_area(hole).abs()).sum();
        // A hole that cuts something off, lies outside or overlaps another: the check of the lay would read it
        // in another way.
        if (largest(&uncut) - cut_out - largest(&shapes)).abs() > ASTRAY {
            return Err(fault());
        }
    }
    if by > 0.0 {
        // The chords of a round corner cut inside it, at this step by 0.5 % of the offset.
        let style = OutlineStyle::new(by).line_join(LineJoin::Round(0.2));
        shapes = shapes.outline(&style);
    }
    let contours: Vec<Contour> = shapes
        .into_iter()
        .filter(|shape| area_of(shape) > NOTHING)
        .map(|shape| {
            let points = |c: Vec<[f64; 2]>| c.into_iter().map(|p| Point::new(p[0], p[1]));
            let mut contours = shape.into_iter().map(|c| points(c).collect::<Contour>());
            let outer = contours.next().unwrap_or_default();
            keyholed(outer, contours.collect())
        })
        .collect();
    let whole: f64 = contours.iter().map(|c| signed_area(c)).sum();
    if whole > SAME {
        Ok(contours)
    } else {
        Err(fault())
    }
}

/// Whether every number of an item is finite, and its coordinates are those of a piece of cloth.
fn is_measured(item: &Item) -> bool {
    let near = |p: &Point| p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST;
    let matched = item.matches.iter().flat_map(|m| [&m.at, &m.partner_at]);
    let corners = item.outline.iter().chain(item.holes.iter().flatten());
    corners.chain(matched).chain(&item.fold).all(near)
        && item.off_grain.is_finite()
        && item.turns.iter().all(|degrees| degrees.is_finite())
        && item.grain.is_finite()
}

/// Whether an outline goes round one region, once. Other regions that it goes round would not be laid with it,
/// and other pieces would be laid there.
fn bounds_one_region(outline: &[Point]) -> bool {
    let none: Vec<Vec<[f64; 2]>> = Vec::new();
    let outlines = vec![corners(outline)];
    let regions = outlines.overlay(&none, OverlayRule::Subject, FillRule::NonZero);
    let areas = regions.iter().map(|region| net_area_of(region));
    let (all, largest) = areas.fold((0.0, 0.0_f64), |(all, most), a| (all + a, most.max(a)));
    all - largest < CROSSED && (largest - signed_area(outline).abs()).abs() < CROSSED
}

fn corners(contour: &[Point]) -> Vec<[f64; 2]> {
    contour.iter().map(|p| [p.x, p.y]).collect()
}

/// Returns the area of a region less that of its holes, mm².
fn net_area_of(region: &[Vec<[f64; 2]>]) -> f64 {
    let holes = region.iter().skip(1);
    area_of(region)
        - holes
            .map(|hole| area_of(std::slice::from_ref(hole)))
            .sum::<f64>()
}

fn area_of(shape: &[Vec<[f64; 2]>]) -> f64 {
    shape.first().map_or(0.0, |c| {
        let points: Contour = c.iter().map(|p| Point::new(p[0], p[1])).collect();
        signed_area(&points).abs()
    })
}
