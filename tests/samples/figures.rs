//! Every correction of the figure: the draft without it thin, the draft with it thick.

use chalkstripe::diagnostic::Source;
use chalkstripe::draft::{Draft, DraftPiece};
use chalkstripe::geometry::{point_at, tangent_at};
use chalkstripe::order;
use chalkstripe::order::corrections::CORRECTIONS;
use chalkstripe::script::{Library, draft};
use chalkstripe::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use chalkstripe::sheets::svg;
use kurbo::{Affine, Point, Rect, Shape, Vec2};
use std::path::Path;

const BODY: [&str; 3] = ["back", "side body", "forepart"];
const SLEEVE: [&str; 2] = ["top sleeve", "under sleeve"];
const LEGS: [&str; 2] = ["top side", "under side"];

/// What is drawn of each correction: how much of it, and on which pieces.
const SHOWN: [(&str, f64, usize, &[&str]); 25] = [
    ("stooping", 2.0, 0, &BODY),
    ("back_balance", 1.5, 0, &BODY),
    ("front_balance", 1.5, 0, &BODY),
    ("head_forward", 2.0, 0, &BODY),
    ("sloping_shoulders", 1.5, 0, &BODY),
    ("prominent_blades", 1.5, 0, &BODY),
    ("round_back", 2.0, 0, &BODY),
    ("hollow_back", 1.5, 0, &BODY),
    ("full_chest", 1.5, 0, &BODY),
    ("corpulent", 3.0, 0, &BODY),
    ("belly_cut", 1.5, 0, &BODY),
    ("long_arms", 3.0, 0, &SLEEVE),
    ("arms_forward", 1.2, 0, &BODY),
    ("prominent_seat", 2.0, 1, &LEGS),
    ("full_thighs", 4.0, 1, &LEGS),
    ("bow_legs", 2.0, 1, &LEGS),
    ("high_hip", 2.0, 1, &LEGS),
    ("side_seams", 1.5, 0, &BODY),
    ("shoulder_back", 1.5, 0, &BODY),
    ("collar_height", 1.0, 0, &BODY),
    ("drape", 1.5, 0, &BODY),
    ("coat_length", 4.0, 0, &BODY),
    ("trouser_waist", 4.0, 1, &LEGS),
    ("trouser_seat", 4.0, 1, &LEGS),
    ("trouser_length", 4.0, 1, &LEGS),
];

/// Columns, the size of a cell and of its words, mm of the draft.
const COLUMNS: usize = 5;
const CELL: (f64, f64) = (720.0, 940.0);
const LEG: f64 = 0.68;
const WORDS: f64 = 26.0;
const WITHOUT: Pen = Pen::full(2.2).grey(0.3);
const WITH: Pen = Pen::full(4.2);

/// The picture as SVG.
pub(super) fn picture() -> Vec<u8> {
    assert_eq!(
        SHOWN.map(|shown| shown.0).to_vec(),
        CORRECTIONS.iter().map(|c| c.name).collect::<Vec<_>>()
    );
    let rows = SHOWN.len().div_ceil(COLUMNS);
    let (wide, tall) = (CELL.0 * COLUMNS as f64, CELL.1 * rows as f64);
    let mut sheet = Drawing::new("Corrections of the figure", wide, tall);
    let without = drafts("");
    for (i, (name, by, garment, pieces)) in SHOWN.into_iter().enumerate() {
        let corner = Vec2::new(CELL.0 * (i % COLUMNS) as f64, CELL.1 * (i / COLUMNS) as f64);
        let with = drafts(&format!("{name} = {by}"));
        cell(
            &mut sheet,
            corner,
            &without[garment],
            &with[garment],
            pieces,
        );
        let words = format!("{} {by}", name.replace('_', " "));
        let at = Point::new(CELL.0 / 2.0, CELL.1 - WORDS) + corner;
        sheet.text(
            Layer::Page,
            Text::new(&words, at, WORDS).anchor(Anchor::Middle),
        );
    }
    svg::write(&sheet)
}

fn cell(sheet: &mut Drawing, corner: Vec2, without: &Draft, with: &Draft, names: &[&str]) {
    let scale = if names == LEGS { LEG } else { 1.0 };
    let boxes = [without, with]
        .into_iter()
        .flat_map(|draft| found(draft, names));
    let boxes = boxes.flat_map(|piece| piece.edges.iter().map(|edge| edge.path.bounding_box()));
    let bounds = boxes.reduce(|a: Rect, b| a.union(b)).expect("an edge");
    let middle = Point::new(CELL.0 / 2.0, CELL.1 / 2.0 - WORDS) + corner;
    let place = Affine::translate(middle.to_vec2() - scale * bounds.center().to_vec2())
        * Affine::scale(scale);
    for (draft, pen) in [(with, WITH), (without, WITHOUT)] {
        for piece in found(draft, names) {
            for edge in &piece.edges {
                sheet.line(Layer::Seam, place * edge.path.clone(), pen);
            }
            for notch in &piece.notches {
                let edge = &piece[notch.edge];
                let at = place * point_at(&edge.path, notch.at);
                let along = tangent_at(&edge.path, notch.at);
                let across = Vec2::new(-along.y, along.x) * 9.0;
                sheet.line(Layer::Marks, segment(at - across, at + across), pen);
            }
        }
    }
}

fn found<'a>(draft: &'a Draft, names: &'a [&str]) -> impl Iterator<Item = &'a DraftPiece> {
    draft
        .pieces
        .iter()
        .filter(|piece| names.contains(&piece.name.as_str()))
}

/// Jacket and trousers of the figure that the house drafts from, corrected.
fn drafts(figure: &str) -> Vec<Draft> {
    let text = include_str!("../../examples/plain-worsted.toml");
    let text = format!(
        "{}\n[figure]\n{figure}\n",
        text.replace("vent = \"centre\"", "vent = \"none\"")
    );
    let order = order::parse("plain", &Source::new("plain.toml", text), Path::new(""))
        .expect("the example")
        .order;
    let garments = order.garments.iter();
    garments
        .map(|garment| draft(&Library::embedded(), &order, garment).expect("it drafts"))
        .collect()
}
