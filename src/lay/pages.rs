//! Outlines on joined pages of paper: as few pages as the search finds.
//!
//! The joined pages are a strip. A part that fits within a page lies on one, so that no joint goes through it.

use super::bottom_left::BottomLeft;
use super::cloth_rules::Repeat;
use super::instance::{Instance, Part};
use super::item::Item;
use super::nofit_table::NoFitTable;
use super::orientation::{Orientation, Orientations};
use super::outline::polygon_round;
use super::packing::{End, Packing, Position};
use super::page_search::{BEYOND, PageSearch, Pages};
use super::random::Random;
use super::searcher::Searcher;
use super::shape::Shape;
use super::solution::Solution;
use super::stop::Stop;
use super::strip::Strip;
use kurbo::{Affine, BezPath, Point, Rect, Size, Vec2};

/// Distances, mm, by which the outline that is packed may stand outside the cut line. The finer one is for outlines
/// that the coarser would close up.
const SLACKS: [f64; 2] = [1.2, 0.1];
/// Air between two outlines, mm; half of it between an outline and a joint or the edge of a page. It keeps apart two
/// lines of half a millimetre.
const AIR: f64 = 1.5;
/// Overlap evaluations of a search, for each part: twice what a suit's regions cost. (Judged by benches; no source.)
const EVALUATIONS: u64 = 100_000;
/// Rounds of a search on a roll.
const ROUNDS: u64 = 4;
/// Greatest width of a part that lies down the sheet, as a part of its height.
const SQUARE: f64 = 1.2;

/// Places outlines on few pages, or on a short piece of a roll, and returns what maps each to the sheet; `None` where
/// one is wider than the sheet. Outlines may be turned by quarters, never mirrored. One that fits within a page lies
/// on one page alone.
pub fn on_pages(outlines: &[BezPath], pages: &Pages) -> Option<Vec<Affine>> {
    let (orientations, items) = SLACKS.iter().find_map(|&slack| {
        let items = items(outlines, pages, slack);
        let orientations = Orientations::new(&items, AIR).ok()?;
        Some((orientations, items))
    })?;
    let instance = instance(&orientations, items.len(), outlines.len(), pages)?;
    let table = NoFitTable::new(&orientations.shapes);
    let mut fixed = vec![None; outlines.len()];
    fixed.resize(instance.parts.len(), Some(End::Start));
    let packing = Packing::new(&instance, &table).with_fixed(&fixed);
    let built = built(&packing, pages, outlines.len())?;
    let positions = match pages.height {
        Some(height) => {
            let mut search = PageSearch::new(&packing, pages, height, outlines.len(), built);
            search.run(EVALUATIONS * outlines.len() as u64);
            search.base
        }
        None => on_roll(&packing, built),
    };
    let place = |(part, position): (&Part, &Position)| {
        let orientation = &part.orientations[position.orientation];
        let size = instance.shapes[orientation.shape].size;
        Affine::translate(position.centre.to_vec2() - size / 2.0) * orientation.to_shape
    };
    let parts = instance.parts.iter().take(outlines.len());
    Some(parts.zip(&positions).map(place).collect())
}

/// Lists the outlines as items, and after them what is kept free and what blocks pages.
fn items(outlines: &[BezPath], pages: &Pages, slack: f64) -> Vec<Item> {
    let turned = |(index, outline): (usize, &BezPath)| Item {
        turns: vec![0.0, 90.0, 180.0, 270.0],
        ..Item::new(index, polygon_round(outline, slack))
    };
    let mut items: Vec<Item> = outlines.iter().enumerate().map(turned).collect();
    let mut blocks = Vec::new();
    if let Some((width, height)) = pages.kept_free {
        blocks.push(Size::new(width + BEYOND, height));
    }
    if let Some(height) = pages.height {
        let blocked = |count| count as f64 * pages.width + BEYOND;
        blocks.extend((1..pages.columns).map(|n| Size::new(blocked(n), height + BEYOND)));
    }
    for size in blocks {
        let round = Rect::from_origin_size((0.0, 0.0), size).inset(-AIR / 2.0);
        let (left, right) = (round.x0, round.x1);
        let corners = [
            (left, round.y0),
            (right, round.y0),
            (right, round.y1),
            (left, round.y1),
        ];
        let outline = corners.map(Point::from).to_vec();
        items.push(Item::new(items.len(), outline));
    }
    items
}

/// Lists the parts: the outlines, what is kept free, and what blocks pages. The last has a shape for each number of
/// pages that it blocks. Returns `None` where an outline is wider than the sheet.
fn instance<'a>(
    orientations: &'a Orientations,
    items: usize,
    outlines: usize,
    pages: &Pages,
) -> Option<Instance<'a>> {
    let part = |item: usize| Part {
        item,
        copy: 0,
        mirrored: false,
        plies: 1,
        on_fold: false,
        orientations: orientations.of(item, false, false, false),
    };
    let fixed = outlines + usize::from(pages.kept_free.is_some());
    let mut parts: Vec<Part> = (0..fixed).map(part).collect();
    for own in parts.iter_mut().take(outlines) {
        lie_on_pages(own, &orientations.shapes, pages);
        if own.orientations.is_empty() {
            return None;
        }
    }
    if fixed < items {
        let mut blocks = part(fixed);
        let others = (fixed + 1..items).flat_map(|item| orientations.of(item, false, false, false));
        blocks.orientations.extend(others);
        parts.push(blocks);
    }
    Some(Instance {
        shapes: &orientations.shapes,
        parts,
        width: pages.columns as f64 * pages.width,
        gap: AIR,
        repeat: Repeat::default(),
    })
}

/// Leaves a part the orientations in which it lies on one page, or else, on pages, those in which it lies down the
/// sheet: long parts side by side leave little between them.
fn lie_on_pages(part: &mut Part, shapes: &[Shape], pages: &Pages) {
    let size = |o: &Orientation| shapes[o.shape].size;
    let width = pages.columns as f64 * pages.width;
    part.orientations.retain(|o| size(o).x <= width);
    let Some(height) = pages.height else {
        return;
    };
    let on_one = |o: &Orientation| size(o).x <= pages.width && size(o).y <= height;
    let is_long = |o: &Orientation| size(o).x <= SQUARE * size(o).y;
    if part.orientations.iter().any(on_one) {
        part.orientations.retain(on_one);
    } else if part.orientations.iter().any(is_long) {
        part.orientations.retain(is_long);
    }
}

/// Places the parts one by one, the largest first.
fn built(packing: &Packing, pages: &Pages, outlines: usize) -> Option<(Strip, Vec<Position>)> {
    let longest = |part| {
        let size = packing.size(part, 0);
        size.x.max(size.y) + pages.height.unwrap_or_default()
    };
    let (kept_wide, kept_high) = pages.kept_free.unwrap_or_default();
    let enough = (0..outlines).map(longest).sum::<f64>() + kept_high;
    let step = pages.height.unwrap_or(enough).max(AIR);
    let strip = Strip {
        bays: vec![(0.0, (enough / step).ceil() * step)],
        page: pages.height.map(|height| Vec2::new(pages.width, height)),
        ..Strip::alone(packing.instance.width)
    };
    let nowhere = Position {
        orientation: 0,
        centre: Point::ZERO,
    };
    let mut positions = vec![nowhere; packing.count()];
    let mut order = packing.by_decreasing_area();
    order.retain(|&part| part < outlines);
    let kept_free = pages.kept_free.map(|_| outlines);
    if let Some(part) = kept_free {
        positions[part].centre = Point::new((kept_wide - BEYOND) / 2.0, kept_high / 2.0);
        order.insert(0, part);
    }
    let kept = usize::from(kept_free.is_some());
    let mut builder = BottomLeft::default();
    let built = builder.build(packing, &strip, &order, kept, f64::INFINITY, &mut positions);
    built.then_some((strip, positions))
}

/// Searches for a short piece of a roll.
fn on_roll(packing: &Packing, (strip, positions): (Strip, Vec<Position>)) -> Vec<Position> {
    let first = Solution::new(packing, &strip, positions);
    let mut searcher = Searcher::new(packing, &strip, &first, Random::new(1, 0));
    let stop = Stop {
        at: None,
        cancel: None,
    };
    for _ in 0..ROUNDS {
        searcher.run(
            packing,
            EVALUATIONS / ROUNDS * packing.count() as u64,
            &stop,
        );
    }
    let found = searcher.base;
    let up = Vec2::new(0.0, found.last.0);
    let moved = |position: &Position| Position {
        centre: position.centre - up,
        ..*position
    };
    found.positions.iter().map(moved).collect()
}
