//! Every piece lies on its cloth as often as it must, within it, over no other, as it was drafted.

use std::collections::BTreeMap;

use kurbo::Point;

use super::geometry::{bounds, shared};
use super::lays::{READ, Read};
use super::orders::none;

/// Reads every order and collects what `find` finds wrong in it.
pub(super) fn faults(find: impl Fn(&'static Read<'static>) -> Vec<String>) -> Vec<String> {
    let each = READ.iter().flat_map(|read| {
        let found = find(read);
        found
            .into_iter()
            .map(|fault| format!("{}: {fault}", read.order.name))
            .collect::<Vec<_>>()
    });
    each.collect()
}

#[test]
fn every_piece_lies_as_often_as_it_is_cut() {
    none(faults(|read| {
        let mut found = Vec::new();
        for (index, piece) in read.order.report.pieces.iter().enumerate() {
            let lie = |spread: &&super::lays::Spread<'_>| spread.lay.material == piece.material;
            let Some(spread) = read.spreads.iter().find(lie) else {
                found.push(format!("no lay in {}", piece.material));
                continue;
            };
            let cuts = spread.cuts.iter().filter(|cut| cut.index == index);
            // On the fold one piece takes both plies.
            let plies: u32 = cuts
                .map(|cut| if cut.row.on_fold { 1 } else { cut.row.plies })
                .sum();
            if plies != piece.count {
                found.push(format!(
                    "{} is cut {plies} times of {}",
                    piece.name, piece.count
                ));
            }
            if spread
                .cuts
                .iter()
                .any(|cut| cut.row.name != read.order.report.pieces[cut.index].name)
            {
                found.push("a placement is called otherwise than its piece".to_owned());
            }
        }
        found
    }));
}

#[test]
fn no_piece_lies_over_another_or_over_the_edge() {
    none(faults(|read| {
        let mut found = Vec::new();
        for spread in &read.spreads {
            let lost = (spread.lay.cloth_width_mm - spread.lay.usable_width_mm).max(0.0);
            // Open cloth loses its selvedge on both sides, doubled on one; the marker draws where.
            let edges: Vec<f64> = spread
                .sheet
                .all("cloth")
                .filter(|stroke| stroke.dashed)
                .map(|stroke| stroke.runs[0][0].x)
                .collect();
            let (left, right) = match edges[..] {
                [a, b] => (a.min(b), a.max(b)),
                [a] if a > spread.sheet.width / 2.0 => (0.0, a),
                [a] => (a, spread.sheet.width),
                _ => (0.0, spread.sheet.width),
            };
            if ((right - left) - spread.lay.usable_width_mm).abs() > 0.01
                || (lost - (left + spread.sheet.width - right)).abs() > 0.01
            {
                found.push(format!(
                    "usable from {left} to {right}, of {} mm",
                    spread.lay.usable_width_mm
                ));
            }
            for (i, cut) in spread.cuts.iter().enumerate() {
                let box_ = bounds(&cut.outline);
                if box_.x0 < left - 0.01
                    || box_.x1 > right + 0.01
                    || box_.y0 < -0.01
                    || box_.y1 > spread.lay.length_mm + 0.01
                {
                    found.push(format!(
                        "{} lies at {box_:?}, beyond the usable cloth",
                        cut.piece.name
                    ));
                }
                for other in &spread.cuts[..i] {
                    let apart = box_.intersect(bounds(&other.outline)).is_zero_area();
                    let over = if apart {
                        0.0
                    } else {
                        shared(&cut.outline, &other.outline)
                    };
                    if over > 0.5 {
                        found.push(format!(
                            "{} lies over {}: {over:.1} mm2",
                            cut.piece.name, other.piece.name
                        ));
                    }
                }
            }
        }
        found
    }));
}

#[test]
fn every_outline_is_the_piece_where_the_report_puts_it() {
    none(faults(|read| {
        let mut found = Vec::new();
        for cut in read.spreads.iter().flat_map(|spread| &spread.cuts) {
            let turn = super::lays::Cut::turn(cut.row).as_coeffs();
            let rigid = (turn[0] * turn[2] + turn[1] * turn[3]).abs() < 1e-5
                && (cut.place.determinant().abs() - 1.0).abs() < 1e-5;
            if !rigid {
                found.push(format!(
                    "{}: a matrix that stretches: {turn:?}",
                    cut.piece.name
                ));
            }
            let off = cut.off();
            if off > 0.1 {
                found.push(format!(
                    "{} of the marker is {off:.2} mm off its piece in the DXF",
                    cut.piece.name
                ));
            }
        }
        found
    }));
}

/// The report's matrix moves a piece from where it was drafted, of which no file tells the place; but it is one
/// place for all the copies of a piece.
#[test]
fn all_copies_of_a_piece_come_from_one_place() {
    none(faults(|read| {
        let mut found = Vec::new();
        let mut places: BTreeMap<usize, Point> = BTreeMap::new();
        for cut in read.spreads.iter().flat_map(|spread| &spread.cuts) {
            let matrix = kurbo::Affine::new(cut.row.matrix);
            let place = matrix.inverse() * cut.place * Point::ZERO;
            let known = *places.entry(cut.index).or_insert(place);
            if known.distance(place) > 0.05 {
                found.push(format!(
                    "{}: {:.2} mm from where its first copy was",
                    cut.piece.name,
                    known.distance(place)
                ));
            }
        }
        found
    }));
}
