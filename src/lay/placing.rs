//! From a solution on the strip to a lay on the cloth.

use super::cloth_rules::ClothRules;
use super::contour::{bounds, on_grid, signed_area};
use super::instance::{Instance, Part};
use super::item::Item;
use super::outcome::{Lay, Note, Placement};
use super::packing::Position;
use super::solution::Solution;
use super::tables;
use kurbo::{Affine, Point, Vec2};

/// Returns the lay that puts each part of an instance where it stands in a solution.
pub(super) fn lay_of(
    solution: &Solution,
    items: &[Item],
    cloth: &ClothRules,
    instance: &Instance,
) -> Lay {
    let (left, right) = cloth.usable();
    // The strip begins half a gap before the usable cloth and ends half a gap after.
    let before = if cloth.remnants.is_empty() {
        solution.last.0
    } else {
        0.0
    };
    let onto_cloth = Vec2::new(left - cloth.gap / 2.0, -cloth.gap / 2.0 - before);
    let mut placements = Vec::new();
    let mut spans = Vec::new();
    let mut notes = Vec::new();
    let (mut length, mut area): (f64, f64) = (0.0, 0.0);
    let plies = cloth.layout.plies();
    for (part, position) in instance.parts.iter().zip(&solution.positions) {
        let item = &items[part.item];
        let placement = placement(part, position, item, instance, onto_cloth);
        let outline: Vec<Point> = item
            .outline
            .iter()
            .map(|&p| placement.transform * p)
            .collect();
        let box_on_cloth = bounds(&outline);
        spans.push((box_on_cloth.y0, box_on_cloth.y1));
        length = length.max(box_on_cloth.y1);
        let holes: f64 = item.holes.iter().map(|h| signed_area(h).abs()).sum();
        let cut = signed_area(&outline).abs() - holes - item.spare;
        // On the fold both plies make one piece.
        area += cut * f64::from(if part.on_fold { 1 } else { part.plies });
        if part.plies < plies {
            notes.push(Note::LeftOver {
                name: item.name.clone(),
                area: cut,
            });
        }
        placements.push(placement);
    }
    let (at_hand, long_from) = cloth.pieces();
    let at_hand_note = |(number, &between)| Note::AtHand { number, between };
    notes.extend((1..).zip(&at_hand).map(at_hand_note));
    let sections = sections_of(&spans, cloth.table);
    if !sections.is_empty() {
        notes.push(Note::Sections {
            between: sections.clone(),
        });
    }
    let usable = (right - left) * length * f64::from(plies);
    Lay {
        cloth_width: cloth.lying_width(),
        layout: cloth.layout,
        face: cloth.face,
        usable: (left, right),
        length,
        at_hand,
        sections,
        bought: (length - long_from).max(0.0),
        efficiency: if usable > 0.0 { area / usable } else { 0.0 },
        pattern_at: instance.origin(cloth).to_point() + onto_cloth,
        placements,
        notes,
    }
}

/// Returns the sections of a lay on a table, from where each of its parts begins and ends; none where all of it lies
/// on the table at once, or where no cuts divide it so (which the check of the lay finds).
fn sections_of(spans: &[(f64, f64)], table: Option<f64>) -> Vec<(f64, f64)> {
    let sections = table.and_then(|table| tables::sections(spans, table));
    sections.filter(|all| all.len() > 1).unwrap_or_default()
}

/// Returns the placement of a part in a position on the strip.
fn placement(
    part: &Part,
    position: &Position,
    item: &Item,
    instance: &Instance,
    onto_cloth: Vec2,
) -> Placement {
    let orientation = &part.orientations[position.orientation];
    let size = instance.shapes[orientation.shape].size;
    let corner = position.centre.to_vec2() - size / 2.0;
    // On the grid, which is far coarser than the millionths in which a report writes a place, so that a lay
    // that is read back from a report lies exactly as it lay.
    let place = on_grid((corner + onto_cloth).to_point()).to_vec2();
    Placement {
        piece: item.piece,
        copy: part.copy,
        mirrored: part.mirrored,
        degrees: orientation.degrees,
        tilt: orientation.tilt,
        plies: part.plies,
        on_fold: part.on_fold,
        transform: Affine::translate(place) * orientation.to_shape,
    }
}
