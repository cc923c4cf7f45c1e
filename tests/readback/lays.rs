//! Where every cut lies on the cloth: the report's matrix, the marker's outline and the DXF's piece together.

use std::sync::LazyLock;

use kurbo::{Affine, Point, Vec2};

use super::dxf::{self, Block};
use super::geometry::{Run, apart, bounds, moved, onto};
use super::orders::{Lay, ORDERS, Order, Piece, Placement};
use super::svg::Sheet;

/// One cut of a lay.
pub(super) struct Cut<'a> {
    pub piece: &'a Piece,
    pub index: usize,
    pub block: &'a Block,
    pub row: &'a Placement,
    /// Its number among the marker's parts.
    pub part: usize,
    /// The line to cut as the marker draws it, closed.
    pub outline: Run,
    /// From the piece's block to the cloth.
    pub place: Affine,
}

impl Cut<'_> {
    /// The matrix of the report without its move: how the piece is turned and mirrored.
    pub(super) fn turn(row: &Placement) -> Affine {
        let [a, b, c, d, _, _] = row.matrix;
        Affine::new([a, b, c, d, 0.0, 0.0])
    }

    pub(super) fn mirrored(&self) -> bool {
        self.place.determinant() < 0.0
    }

    /// How far the outline as drawn is from the piece's own, placed.
    pub(super) fn off(&self) -> f64 {
        let whole = moved(&self.block.cut, self.place);
        if !self.row.on_fold {
            return apart(&self.outline, &whole);
        }
        // Half a piece: it and its image about the fold are the whole.
        let [left, right] = self.fold(&whole);
        let fold = if left {
            bounds(&self.outline).x0
        } else {
            bounds(&self.outline).x1
        };
        let image = |p: &Point| Point::new(2.0 * fold - p.x, p.y);
        let drawn: Run = self
            .outline
            .iter()
            .chain(&self.outline.iter().map(image).collect::<Run>())
            .copied()
            .collect();
        let off = |point: &Point| {
            if left || right {
                super::geometry::nearest(&whole, *point).distance(*point)
            } else {
                f64::MAX
            }
        };
        let outside = drawn
            .iter()
            .filter(|point| (point.x - fold).abs() > 0.01)
            .map(off);
        outside.fold(0.0, f64::max)
    }

    /// On which side of the half the fold is.
    fn fold(&self, whole: &Run) -> [bool; 2] {
        let (half, whole) = (bounds(&self.outline), bounds(whole));
        [
            (half.x1 - whole.x1).abs() < 0.05,
            (half.x0 - whole.x0).abs() < 0.05,
        ]
    }
}

/// A lay with its marker.
pub(super) struct Spread<'a> {
    pub lay: &'a Lay,
    pub sheet: Sheet,
    pub cuts: Vec<Cut<'a>>,
}

/// An order with all that its files say of its lays.
pub(super) struct Read<'a> {
    pub order: &'a Order,
    pub spreads: Vec<Spread<'a>>,
}

impl<'a> Read<'a> {
    pub(super) fn cloth(&self) -> &Spread<'a> {
        self.spreads
            .iter()
            .find(|spread| spread.lay.material == "cloth")
            .expect("a lay in cloth")
    }
}

static BLOCKS: LazyLock<Vec<Vec<Block>>> = LazyLock::new(|| ORDERS.iter().map(blocks).collect());

/// Every order, read once for all tests.
pub(super) static READ: LazyLock<Vec<Read<'static>>> = LazyLock::new(|| {
    ORDERS
        .iter()
        .zip(BLOCKS.iter())
        .map(|(order, blocks)| read(order, blocks))
        .collect()
});

/// The pieces of an order's DXF, in the order of the report's.
pub(super) fn blocks(order: &Order) -> Vec<Block> {
    let blocks = dxf::read(&order.folder.join("pieces.dxf"));
    assert_eq!(
        blocks.len(),
        order.report.pieces.len(),
        "{}: blocks",
        order.name
    );
    for (block, piece) in blocks.iter().zip(&order.report.pieces) {
        let name = block.words.first().map(|name| name.to_lowercase());
        assert_eq!(
            name,
            Some(piece.name.to_lowercase()),
            "{}: {}",
            order.name,
            block.name
        );
    }
    blocks
}

/// Reads an order's lays.
fn read<'a>(order: &'a Order, blocks: &'a [Block]) -> Read<'a> {
    let spread = |lay: &'a Lay| {
        let sheet = Sheet::read(&order.folder.join(Order::stem(lay)).with_extension("svg"));
        let cut = |(i, row): (usize, &'a Placement)| {
            let (part, block) = (i + 1, &blocks[row.piece]);
            let what = || format!("{}: {} in {}", order.name, row.name, lay.material);
            let outline = sheet
                .outline(part)
                .unwrap_or_else(|| panic!("{}: no outline", what()));
            let turned = moved(&block.cut, Cut::turn(row));
            let step = if row.on_fold {
                beside_fold(&turned, &outline)
            } else {
                onto(&turned, &outline)
            };
            Cut {
                piece: &order.report.pieces[row.piece],
                index: row.piece,
                block,
                row,
                part,
                outline,
                place: Affine::translate(step) * Cut::turn(row),
            }
        };
        let cuts = lay.placements.iter().enumerate().map(cut).collect();
        Spread { lay, sheet, cuts }
    };
    Read {
        order,
        spreads: order.lays().map(spread).collect(),
    }
}

/// The move that puts a whole piece on its half: their outer sides meet.
fn beside_fold(whole: &Run, half: &Run) -> Vec2 {
    let (from, to) = (bounds(whole), bounds(half));
    let level = to.center().y - from.center().y;
    let steps = [to.x0 - from.x0, to.x1 - from.x1].map(|aside| Vec2::new(aside, level));
    let off = |step: &Vec2| {
        let whole = moved(whole, Affine::translate(*step));
        let far = half
            .iter()
            .map(|point| super::geometry::nearest(&whole, *point).distance(*point));
        // The fold itself is no line of the whole.
        far.sum::<f64>()
    };
    steps
        .into_iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .expect("two")
}
