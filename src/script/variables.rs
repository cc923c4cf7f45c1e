//! The variables that every script of a block can read.

use super::board::Board;
use super::words::{Noted, Table};
use crate::order::corrections::CORRECTIONS;
use crate::order::{Choice, Figure, Garment, House, HouseValue, Measure, Measures, Order, Side};
use rhai::Dynamic;
use std::collections::BTreeMap;

/// Returns the board, the measures, what of them is not known (a standard deviation), the corrections of one side and the house's numbers in cm, the choices of
/// the garment, and those of the whole suit, each by the name that scripts use. Which corrections are asked for is
/// `noted`.
pub(super) fn variables(
    board: &Board,
    order: &Order,
    garment: &Garment,
    figure: &Figure,
    side: Side,
    noted: &Noted,
) -> BTreeMap<&'static str, Dynamic> {
    BTreeMap::from([
        ("board", Dynamic::from(board.clone())),
        (
            "figure",
            Dynamic::from(corrections(order, figure, side).noting(noted)),
        ),
        ("m", Dynamic::from(measures(&order.measures, |m| m.mm))),
        (
            "unsure",
            Dynamic::from(measures(&order.measures, |m| m.open)),
        ),
        ("style", Dynamic::from(style(garment))),
        ("suit", Dynamic::from(suit(order))),
        (
            "house",
            Dynamic::from(house(&order.house.of(&garment.block))),
        ),
    ])
}

/// Lists every correction by name, in cm, 0 where there is none, and its mean of both sides, for lines that
/// both sides share; and whether the sides differ.
fn corrections(order: &Order, figure: &Figure, side: Side) -> Table {
    let uneven = ("uneven".to_owned(), Dynamic::from(!figure.even()));
    let own = order.own_corrections.iter().map(|own| own.name.as_str());
    let names = CORRECTIONS.iter().map(|c| c.name).chain(own);
    names
        .flat_map(|name| {
            let of = |on| figure.cm(name, on);
            let mean = (of(Side::Left) + of(Side::Right)) / 2.0;
            [
                (name.to_owned(), Dynamic::from(of(side))),
                (format!("mean_{name}"), Dynamic::from(mean)),
            ]
        })
        .chain([uneven])
        .collect()
}

/// Lists one length of every measure by name, in cm: the measure, or what of it is not known.
fn measures(measures: &Measures, mm: fn(&Measure) -> f64) -> Table {
    let measures = measures.0.iter();
    measures
        .map(|(name, measure)| (name.clone(), Dynamic::from(mm(measure) / 10.0)))
        .collect()
}

fn style(garment: &Garment) -> Table {
    let value = |choice: &Choice| match choice {
        Choice::Word(word) => Dynamic::from(word.clone()),
        Choice::Length(mm) => Dynamic::from(mm / 10.0),
        Choice::Number(number) => Dynamic::from(*number),
        Choice::Flag(flag) => Dynamic::from(*flag),
    };
    garment
        .style
        .iter()
        .map(|(name, choice)| (name.clone(), value(choice)))
        .collect::<Table>()
        .choices_of(&garment.block)
}

/// Lists the style of every garment of the order by its block, for a garment that depends on another one.
fn suit(order: &Order) -> Table {
    let garments = order.garments.iter();
    garments
        .map(|garment| (garment.block.clone(), Dynamic::from(style(garment))))
        .collect()
}

/// Turns dotted names into tables within tables: `ease.classic` is `house.ease.classic`.
fn house(house: &House) -> Table {
    let values = house.values().iter().map(|(name, value)| {
        let value = match value {
            HouseValue::Number(number) => Dynamic::from(*number),
            HouseValue::Along(numbers) => Dynamic::from(
                numbers
                    .iter()
                    .map(|n| Dynamic::from(*n))
                    .collect::<rhai::Array>(),
            ),
            HouseValue::Word(word) => Dynamic::from(word.clone()),
        };
        (name.as_str(), value)
    });
    nested(values.collect())
}

fn nested(values: Vec<(&str, Dynamic)>) -> Table {
    let mut plain = Vec::new();
    let mut below: BTreeMap<&str, Vec<(&str, Dynamic)>> = BTreeMap::new();
    for (name, value) in values {
        match name.split_once('.') {
            None => plain.push((name.to_owned(), value)),
            Some((head, rest)) => below.entry(head).or_default().push((rest, value)),
        }
    }
    let below = below.into_iter();
    let below = below.map(|(head, inner)| (head.to_owned(), Dynamic::from(nested(inner))));
    below.chain(plain).collect()
}
