//! The pages of a drafting sheet that show the pieces.

use super::page::{Shelves, below_head, room, turned_for};
use super::show::{Group, show};
use crate::draft::{Construction, Draft, PieceId};
use crate::sheets::drawing::{Drawing, Text};
use crate::sheets::words::capital;
use crate::units::Unit;
use kurbo::{Affine, Rect, Vec2};

/// Says which pieces of a page must be turned over before they are cut, because they are drawn as they were
/// drafted. Returns no words for a page without such pieces.
fn to_turn_over(draft: &Draft, page: &[PieceId]) -> String {
    let own = draft.piece_ids().filter(|piece| page.contains(piece));
    let own = own.map(|piece| &draft[piece]);
    let turned = own.filter(|piece| piece.turned_at.is_some());
    let turned: Vec<&str> = turned.map(|piece| piece.name.as_str()).collect();
    match turned.len() {
        0 => String::new(),
        all if all == page.len() => "; turn over before cutting".to_owned(),
        _ => format!("; turn over before cutting: {}", turned.join("; ")),
    }
}

/// Draws the pages of the pieces: first the groups that the block names, then all other pieces side by
/// side. A page is turned where the pieces are then drawn larger.
pub(super) fn pages(
    construction: &Construction,
    against: Option<&Draft>,
    unit: Unit,
) -> Vec<Drawing> {
    let draft = &construction.draft;
    let mut pages = Vec::new();
    for page in &draft.pages {
        let names = page.pieces.iter().map(|piece| draft[*piece].name.as_str());
        let names: Vec<&str> = names.collect();
        let group = Group::new(&page.pieces, construction);
        let (size, scale) = turned_for(std::iter::once(group.bounds), 6.0);
        let room = room(size);
        let mut drawing = Drawing::new("", size.0, size.1);
        let middle = room.center() - group.bounds.center().to_vec2() / scale;
        let place = Affine::translate(middle.to_vec2()) * Affine::scale(1.0 / scale);
        show(&mut drawing, &group, construction, against, place, room);
        let turned = to_turn_over(draft, &page.pieces);
        let heading = format!("{}: {}{turned}", page.name, names.join(", "));
        below_head(&mut drawing, &heading, scale, unit);
        pages.push(drawing);
    }
    let paged = |piece: &PieceId| draft.pages.iter().any(|page| page.pieces.contains(piece));
    let rest: Vec<PieceId> = draft.piece_ids().filter(|piece| !paged(piece)).collect();
    pages.extend(side_by_side(&rest, construction, against, unit));
    pages
}

/// Draws pieces side by side in rows.
fn side_by_side(
    ids: &[PieceId],
    construction: &Construction,
    against: Option<&Draft>,
    unit: Unit,
) -> Vec<Drawing> {
    let name = |piece: PieceId| construction.draft[piece].name.as_str();
    let groups: Vec<(&str, Group)> = ids
        .iter()
        .map(|piece| (name(*piece), Group::new(&[*piece], construction)))
        .collect();
    // All share one scale: that of the largest piece, and a quarter at most.
    let (size, scale) = turned_for(groups.iter().map(|(_, group)| group.bounds), 16.0);
    let (scale, room) = (scale.max(4.0), room(size));
    let mut pages: Vec<Drawing> = Vec::new();
    let mut shelves = Shelves::new(room, Vec2::new(4.0, 8.0));
    for (title, group) in &groups {
        let wide = group.bounds.size() / scale;
        if shelves.make_room(wide) || pages.is_empty() {
            let mut page = Drawing::new("", size.0, size.1);
            below_head(&mut page, "Other pieces", scale, unit);
            pages.push(page);
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        let corner = shelves.corner;
        let place = Affine::translate(corner.to_vec2() - group.bounds.origin().to_vec2() / scale)
            * Affine::scale(1.0 / scale);
        let cell = Rect::from_origin_size(corner, wide).inflate(6.0, 6.0);
        show(page, group, construction, against, place, cell);
        let heading = Text::new(&capital(title), corner - Vec2::new(0.0, 5.0), 1.9).bold();
        page.write(heading.clone());
        shelves.fill(wide, heading.length());
    }
    pages
}
