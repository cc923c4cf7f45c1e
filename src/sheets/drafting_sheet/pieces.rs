//! The pages of a drafting sheet that show the pieces.

use super::page::{FOOT, MARGIN, PAGE, TOP, below_head, scale_for};
use super::show::{Group, show};
use crate::draft::{Construction, Draft, PieceId};
use crate::sheets::drawing::{Drawing, Layer, Text};
use crate::sheets::words::capital;
use kurbo::{Affine, Point, Rect, Vec2};

/// Says which pieces of a page lie on it as they were drafted and are cut turned over; empty where none is.
fn to_turn_over(draft: &Draft, page: &[PieceId]) -> String {
    let own = draft.piece_ids().filter(|piece| page.contains(piece));
    let own = own.map(|piece| &draft[piece]);
    let turned = own.filter(|piece| piece.turned_at.is_some());
    let turned: Vec<&str> = turned.map(|piece| piece.name.as_str()).collect();
    match turned.len() {
        0 => String::new(),
        all if all == page.len() => "; drawn as drafted, turn over before cutting".to_owned(),
        _ => format!(
            "; drawn as drafted, turn over before cutting: {}",
            turned.join("; ")
        ),
    }
}

/// The pages that show the pieces: those the block names together, then the others side by side.
pub(super) fn pages(construction: &Construction, against: Option<&Draft>) -> Vec<Drawing> {
    let draft = &construction.draft;
    let room = Rect::new(MARGIN, TOP, PAGE.0 - MARGIN, PAGE.1 - FOOT);
    let mut pages = Vec::new();
    for page in &draft.pages {
        let names = page.pieces.iter().map(|piece| draft[*piece].name.as_str());
        let names: Vec<&str> = names.collect();
        let group = Group::new(&page.pieces, construction);
        let scale = scale_for(group.bounds, room.inset(-6.0));
        let mut drawing = Drawing::new("", PAGE.0, PAGE.1);
        let middle = room.center() - group.bounds.center().to_vec2() / scale;
        let place = Affine::translate(middle.to_vec2()) * Affine::scale(1.0 / scale);
        show(&mut drawing, &group, construction, against, place, room);
        let turned = to_turn_over(draft, &page.pieces);
        let heading = format!("{}: {}{turned}", page.name, names.join(", "));
        below_head(&mut drawing, &heading, scale);
        pages.push(drawing);
    }
    let paged = |piece: &PieceId| draft.pages.iter().any(|page| page.pieces.contains(piece));
    let rest: Vec<PieceId> = draft.piece_ids().filter(|piece| !paged(piece)).collect();
    pages.extend(side_by_side(&rest, construction, against, room));
    pages
}

/// The other pieces, in rows.
fn side_by_side(
    ids: &[PieceId],
    construction: &Construction,
    against: Option<&Draft>,
    room: Rect,
) -> Vec<Drawing> {
    let name = |piece: PieceId| construction.draft[piece].name.as_str();
    let groups: Vec<(&str, Group)> = ids
        .iter()
        .map(|piece| (name(*piece), Group::new(&[*piece], construction)))
        .collect();
    // One scale for all of them: that of the largest, but no larger than a quarter's.
    let wanted = groups
        .iter()
        .map(|(_, group)| scale_for(group.bounds, room.inset(-16.0)));
    let scale = wanted.fold(4.0, f64::max);
    let gap = 14.0;
    let mut pages: Vec<Drawing> = Vec::new();
    let (mut corner, mut tall) = (room.origin() + Vec2::new(4.0, 8.0), 0.0_f64);
    for (name, group) in &groups {
        let (wide, high) = (group.bounds.width() / scale, group.bounds.height() / scale);
        if corner.x + wide > room.x1 - 4.0 && corner.x > room.x0 + 4.0 {
            corner = Point::new(room.x0 + 4.0, corner.y + tall + gap + 6.0);
            tall = 0.0;
        }
        if pages.is_empty() || corner.y + high > room.y1 {
            let mut page = Drawing::new("", PAGE.0, PAGE.1);
            below_head(&mut page, "Other pieces", scale);
            pages.push(page);
            (corner, tall) = (room.origin() + Vec2::new(4.0, 8.0), 0.0);
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        let place = Affine::translate(corner.to_vec2() - group.bounds.origin().to_vec2() / scale)
            * Affine::scale(1.0 / scale);
        let cell = Rect::from_origin_size(corner, (wide, high)).inflate(6.0, 6.0);
        show(page, group, construction, against, place, cell);
        let heading = Text::new(&capital(name), corner - Vec2::new(0.0, 5.0), 1.9).bold();
        page.text(Layer::Page, heading.clone());
        corner.x += wide.max(heading.length()) + gap;
        tall = tall.max(high);
    }
    pages
}
