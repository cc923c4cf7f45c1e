//! Writes `report.json`, which tells other programs what came of an order.
//!
//! It is one object. Every length is in mm, rounded to a thousandth, whatever the order is read in; a key that is
//! not said here to be a length in mm ends in `_mm` if it is one. Sentences (`how`, `notes`, `needs`, `warnings`)
//! are as they are printed, in the order's own unit. Only `matrix` and `pattern_at_mm`, from which a lay is taken up
//! again exactly, and directions have six decimals. `version` grows when a key changes its meaning or is
//! removed; new keys may be added without it.
//!
//! | key | what it holds |
//! |---|---|
//! | `schema`, `version` | `"chalkstripe report"`, 1 |
//! | `draft` | a mark that the drafting sheet of the same draft bears |
//! | `asked` | how the sheets were asked for: `paper`, `print` (`pieces` or `lay`), `only`, `margin_mm` and `overlap_mm` (`null`: the house's), `printed` (what the 100 mm square measured, if it was not true), `plot` (`long` or `short`), `dxf` |
//! | `order` | `name`, `client` (`name`, `reference`, `date`), `garments` (`block`, `style`: by name a word, `true` or `false`, a number, or a length in mm) |
//! | `measures` | by name: `mm` (its length), `origin` (`taken` or `derived`), `unsure_mm` (the standard deviation of what of a derived one is not known) |
//! | `ledger.seams` | rows of `seam`, `a_mm`, `b_mm`, `ease_mm`, `min_mm`, `max_mm`, `ok`, `source` |
//! | `ledger.joins` | rows of `join`, `break_degrees`, `max_degrees`, `ok`, `source` |
//! | `ledger.girths` | finished girths: `girth`, `finished_mm`, `body_mm`, `meant_mm`, `within_mm`, `ok`, `source` |
//! | `ledger.notches`, `.outlines`, `.curves` | rows of `check`, `found`, `limit` (of notches in mm), `ok`, `source` |
//! | `pieces` | `name`, `garment`, `material`, `count` (all copies), `pairs`, `side` (`left` or `right`, only where it is cut for one alone), `area_mm2`, `bbox_mm` (width, height of the cut line), `grain` and `down` (unit vectors: the way the nap runs down the piece, and the way it hangs when it is worn), `turning` (`grain`, `quarter`: also across, `free`: of what has no grain), `bias` (only where it is cut so) |
//! | `lay` | the cloth's lay: `material`, `layout`, `face` (`up` or `down`: which side is seen, of doubled cloth that of the upper ply; left out where there is none), `cloth_width_mm` (as it lies), `usable_width_mm`, `length_mm`, `efficiency` (0 to 1), `pattern_at_mm` (where bars of the cloth's pattern meet), `placements`, `notes`, `order_length_mm`, `how`, `plot` |
//! | `lay.plot` | how far a plotter's pen travels raised: `travel_mm` as written, `drawn_travel_mm` in the order the pieces are drawn |
//! | `lay.placements` | `piece` (index in `pieces`), `name`, `copy`, `mirrored` (of the pattern, which shows the face), `degrees`, `plies`, `on_fold` (only where it is), `cut_no` (only of several orders in one lay, or of a lay in sections: the turn in which it is cut), `matrix` (a, b, c, d, e, f: x' = ax + cy + e, y' = bx + dy + f) |
//! | `other_lays` | the same for lining and the rest |
//! | `cloth` | `name`, `width_mm`, `order_length_mm`, `how` |
//! | `other_cloths` | the same of cloths that single garments are made of, with `material` (`cloth.trousers`); left out where there is none. Their lays are among `other_lays` |
//! | `needs` | what no piece is drawn for: `garment`, `name`, `of`, `count`, `length_mm` (of each; left out where only counted) |
//! | `warnings` | sentences for the cutter |
//!
//! Where a lay alone is written, `lay.json` beside it holds `schema`, `version` and `lay` as here, with
//! `"chalkstripe lay"`, and `other_lays` where single garments are of cloths of their own.

use std::collections::BTreeMap;

use kurbo::{Shape, Vec2};
use serde::Serialize;

use super::earlier::Asked;
use super::options::SheetOptions;
use super::travel::Travel;
use super::{Sheets, cut_order, fingerprint};
use crate::draft::{Count, Draft, Material, Turning};
use crate::lay::{Laid, Lay, Placement};
use crate::order::{Choice, Cloth, Face, Measure, Order, Origin, Side};
use crate::pattern::{Ledger, Pattern, Piece};
use crate::units::Unit;

#[derive(Serialize)]
struct Report<'a> {
    schema: &'static str,
    version: u32,
    draft: String,
    asked: Asked,
    order: OrderFacts<'a>,
    measures: BTreeMap<&'a str, MeasureFacts>,
    ledger: &'a Ledger,
    pieces: Vec<PieceFacts<'a>>,
    lay: Option<LayFacts<'a>>,
    other_lays: Vec<LayFacts<'a>>,
    cloth: ClothFacts<'a>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    other_cloths: Vec<ClothFacts<'a>>,
    needs: Vec<NeedFacts<'a>>,
    warnings: Vec<&'a str>,
}

#[derive(Serialize)]
struct NeedFacts<'a> {
    garment: &'a str,
    name: &'a str,
    of: &'a str,
    count: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    length_mm: Option<f64>,
}

#[derive(Serialize)]
struct OrderFacts<'a> {
    name: &'a str,
    client: ClientFacts<'a>,
    garments: Vec<GarmentFacts<'a>>,
}

#[derive(Serialize)]
struct ClientFacts<'a> {
    name: &'a str,
    reference: &'a str,
    date: &'a str,
}

#[derive(Serialize)]
struct GarmentFacts<'a> {
    block: &'a str,
    style: BTreeMap<&'a str, serde_json::Value>,
}

#[derive(Serialize)]
struct MeasureFacts {
    mm: f64,
    origin: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    unsure_mm: Option<f64>,
}

#[derive(Serialize)]
struct PieceFacts<'a> {
    name: &'a str,
    garment: &'a str,
    material: &'a Material,
    count: u32,
    pairs: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    side: Option<&'static str>,
    area_mm2: f64,
    bbox_mm: [f64; 2],
    grain: [f64; 2],
    down: [f64; 2],
    turning: Turning,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    bias: bool,
}

#[derive(Serialize)]
struct LayFacts<'a> {
    material: &'a Material,
    layout: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    face: Option<&'static str>,
    cloth_width_mm: f64,
    usable_width_mm: f64,
    length_mm: f64,
    efficiency: f64,
    pattern_at_mm: [f64; 2],
    placements: Vec<PlacementFacts<'a>>,
    notes: Vec<String>,
    order_length_mm: f64,
    how: String,
    plot: Option<PlotFacts>,
}

#[derive(Serialize)]
struct PlotFacts {
    travel_mm: f64,
    drawn_travel_mm: f64,
}

#[derive(Serialize)]
struct PlacementFacts<'a> {
    piece: usize,
    name: &'a str,
    copy: u32,
    mirrored: bool,
    degrees: f64,
    plies: u32,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    on_fold: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_no: Option<usize>,
    matrix: [f64; 6],
}

#[derive(Serialize)]
struct ClothFacts<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    material: Option<&'a Material>,
    name: &'a str,
    width_mm: f64,
    order_length_mm: Option<f64>,
    how: Option<String>,
}

#[derive(Serialize)]
struct LayAlone<'a> {
    schema: &'static str,
    version: u32,
    lay: Option<LayFacts<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    other_lays: Vec<LayFacts<'a>>,
}

/// Writes the facts of lays that are written alone, one of each cloth; their sentences are in a reader's unit.
pub fn lays_alone(lays: &[Laid], pattern: &Pattern, told_in: Unit) -> Vec<u8> {
    let mut facts = lays
        .iter()
        .map(|laid| lay_facts(laid, pattern, None, told_in));
    json(&LayAlone {
        schema: "chalkstripe lay",
        version: 1,
        lay: facts.next(),
        other_lays: facts.collect(),
    })
}

/// Writes the report. `travels` are those of the lays' plots, in the lays' order.
pub fn write(sheets: &Sheets, travels: &[Travel], options: &SheetOptions) -> Vec<u8> {
    let order = sheets.order;
    let travels = travels
        .iter()
        .copied()
        .map(Some)
        .chain(std::iter::repeat(None));
    let plotted = sheets.lays.iter().zip(travels);
    let (cloth, others): (Vec<_>, Vec<_>) =
        plotted.partition(|(laid, _)| laid.material == order.cloth.material);
    let facts = |(laid, travel)| lay_facts(laid, sheets.pattern, travel, order.unit);
    let warnings = sheets.drafts.iter().flat_map(|draft| &draft.warnings);
    json(&Report {
        schema: "chalkstripe report",
        version: 1,
        draft: fingerprint::of(order, sheets.drafts),
        asked: Asked::from(options),
        order: order_facts(sheets),
        measures: measure_facts(order),
        ledger: &sheets.pattern.ledger,
        pieces: sheets.pattern.pieces.iter().map(piece_facts).collect(),
        lay: cloth.into_iter().next().map(facts),
        other_lays: others.into_iter().map(facts).collect(),
        cloth: cloth_facts(&order.cloth, sheets),
        other_cloths: (order.other_cloths.iter())
            .map(|own| ClothFacts {
                material: Some(&own.cloth.material),
                ..cloth_facts(&own.cloth, sheets)
            })
            .collect(),
        needs: sheets.drafts.iter().flat_map(needs).collect(),
        warnings: warnings.map(String::as_str).collect(),
    })
}

fn cloth_facts<'a>(cloth: &'a Cloth, sheets: &Sheets<'a>) -> ClothFacts<'a> {
    let laid = sheets
        .lays
        .iter()
        .find(|laid| laid.material == cloth.material);
    let order_length = laid.map(|laid| &laid.order_length);
    ClothFacts {
        material: None,
        name: &cloth.name,
        width_mm: rounded(cloth.width),
        order_length_mm: order_length.map(|length| rounded(length.length)),
        how: order_length.map(|length| length.how(sheets.order.unit)),
    }
}

fn measure_facts(order: &Order) -> BTreeMap<&str, MeasureFacts> {
    let facts = |measure: &Measure| MeasureFacts {
        mm: rounded(measure.mm),
        origin: match measure.origin {
            Origin::Taken => "taken",
            Origin::Derived => "derived",
        },
        unsure_mm: (measure.open > 0.0).then(|| rounded(measure.open)),
    };
    let measures = order.measures.0.iter();
    measures
        .map(|(name, measure)| (name.as_str(), facts(measure)))
        .collect()
}

fn json(facts: &impl Serialize) -> Vec<u8> {
    // Plain structs of numbers and words: writing them to memory cannot fail.
    let mut bytes = serde_json::to_vec_pretty(facts).unwrap_or_default();
    bytes.push(b'\n');
    bytes
}

fn order_facts<'a>(sheets: &Sheets<'a>) -> OrderFacts<'a> {
    let order = sheets.order;
    let choice = |choice: &Choice| match choice {
        Choice::Word(word) => word.as_str().into(),
        Choice::Length(number) | Choice::Number(number) => rounded(*number).into(),
        Choice::Flag(flag) => (*flag).into(),
    };
    OrderFacts {
        name: &order.name,
        client: ClientFacts {
            name: &order.client.name,
            reference: &order.client.reference,
            date: &order.client.date,
        },
        garments: order
            .garments
            .iter()
            .map(|garment| GarmentFacts {
                block: &garment.block,
                style: garment
                    .style
                    .iter()
                    .map(|(name, word)| (name.as_str(), choice(word)))
                    .collect(),
            })
            .collect(),
    }
}

fn needs(draft: &Draft) -> impl Iterator<Item = NeedFacts<'_>> {
    draft.needs.iter().map(|need| NeedFacts {
        garment: &draft.garment,
        name: &need.name,
        of: &need.of,
        count: need.count,
        length_mm: need.length.map(rounded),
    })
}

fn piece_facts(piece: &Piece) -> PieceFacts<'_> {
    let bounds = piece.bounds();
    PieceFacts {
        name: &piece.name,
        garment: &piece.garment,
        material: &piece.material,
        count: piece.count.total(),
        pairs: matches!(piece.count, Count::Pairs(_)),
        side: piece.side.map(Side::word),
        area_mm2: rounded(piece.cut.area().abs()),
        bbox_mm: [rounded(bounds.width()), rounded(bounds.height())],
        grain: unit(piece.grain.1 - piece.grain.0),
        down: unit(piece.down),
        turning: piece.turning,
        bias: piece.bias,
    }
}

fn lay_facts<'a>(
    laid: &'a Laid,
    pattern: &'a Pattern,
    travel: Option<Travel>,
    told_in: Unit,
) -> LayFacts<'a> {
    let lay = &laid.lay;
    LayFacts {
        material: &laid.material,
        layout: lay.layout.word(),
        face: laid.material.has_face().then_some(match lay.face {
            Face::Up => "up",
            Face::Down => "down",
        }),
        cloth_width_mm: rounded(lay.cloth_width),
        usable_width_mm: rounded(lay.usable.1 - lay.usable.0),
        length_mm: rounded(lay.length),
        efficiency: (lay.efficiency * 1e4).round() / 1e4,
        pattern_at_mm: [lay.pattern_at.x, lay.pattern_at.y].map(to_a_millionth),
        placements: placement_facts(lay, pattern),
        notes: lay.notes.iter().map(|note| note.words(told_in)).collect(),
        order_length_mm: rounded(laid.order_length.length),
        how: laid.order_length.how(told_in),
        plot: travel.map(|travel| PlotFacts {
            travel_mm: rounded(travel.written),
            drawn_travel_mm: rounded(travel.drawn),
        }),
    }
}

fn placement_facts<'a>(lay: &Lay, pattern: &'a Pattern) -> Vec<PlacementFacts<'a>> {
    let turns = cut_order::turns(lay, pattern);
    let facts = |(index, placement): (usize, &Placement)| PlacementFacts {
        piece: placement.piece,
        name: (pattern.pieces.get(placement.piece)).map_or("", |piece| &piece.name),
        copy: placement.copy,
        mirrored: placement.mirrored,
        degrees: rounded(placement.degrees),
        plies: placement.plies,
        on_fold: placement.on_fold,
        cut_no: turns.get(index).copied(),
        matrix: placement.transform.as_coeffs().map(to_a_millionth),
    };
    lay.placements.iter().enumerate().map(facts).collect()
}

/// Returns a direction as a unit vector, rounded to a millionth.
fn unit(along: Vec2) -> [f64; 2] {
    let along = along.normalize();
    [along.x, along.y].map(to_a_millionth)
}

/// Rounds to a millionth; never returns a negative zero.
fn to_a_millionth(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

/// Rounds to a thousandth; never returns a negative zero.
fn rounded(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0 + 0.0
}
