//! The baste: what a fitting says, tried on the draft, and the seams that it moves.

use super::answers::{Answered, amount, in_unit};
use super::reading::Reading;
use super::text;
use crate::job::Drafted;
use crate::order::alterations::{ALTERATIONS, Alteration};
use crate::pattern;
use toml_edit::{InlineTable, Value};

/// One alteration as it is written down.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Altered {
    /// Its key, such as `shorten_sleeves`.
    pub key: String,
    /// The amount, as it was typed; empty for none.
    pub amount: String,
    /// The side: `left`, `right`, or empty for both.
    #[serde(default)]
    pub side: String,
}

/// What a fitting says.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Said {
    /// The day, as YYYY-MM-DD.
    pub date: String,
    /// The alterations.
    pub altered: Vec<Altered>,
    /// Notes, one to a line.
    #[serde(default)]
    pub notes: String,
}

/// What moves on a garment, in words.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MovedGarment {
    /// The garment.
    pub garment: String,
    /// Each piece with its seams, and whether the cloth that is cut allows it.
    pub pieces: Vec<(String, Vec<String>, bool)>,
}

/// Writes a fitting into the text of an order.
///
/// # Errors
/// Returns why it cannot be written, in words for the page.
pub(super) fn with(reading: &Reading, said: &Said) -> Result<Answered, String> {
    let mut values = vec![("date".to_owned(), Value::from(said.date.trim()))];
    for altered in &said.altered {
        let given = altered.amount.trim();
        if given.is_empty() {
            continue;
        }
        let known = ALTERATIONS.iter().any(|known| known.name == altered.key);
        if !known {
            return Err("there is no such alteration".to_owned());
        }
        let at = ("fitting", altered.key.as_str());
        let given = amount(&in_unit(reading.unit(), at, given));
        let value = match altered.side.as_str() {
            "" => given,
            side @ ("left" | "right") => {
                let other = if side == "left" { "right" } else { "left" };
                let mut sides = InlineTable::new();
                sides.insert(side, given);
                sides.insert(other, Value::from(0));
                Value::InlineTable(sides)
            }
            _ => return Err("a side is left or right".to_owned()),
        };
        values.push((altered.key.clone(), value));
    }
    if values.len() == 1 && said.notes.trim().is_empty() {
        return Err("nothing was altered yet".to_owned());
    }
    if !said.notes.trim().is_empty() {
        values.push(("notes".to_owned(), text::lines(&said.notes)));
    }
    Ok(Answered {
        text: text::add_fitting(&reading.source.text, &values)?,
        dropped: Vec::new(),
    })
}

/// Lists the seams that move from one draft of the order to another, with what the cloth already cut allows.
///
/// # Errors
/// Returns in words why they cannot be compared.
pub(super) fn moved(
    reading: &Reading,
    before: &Drafted,
    now: &Drafted,
) -> Result<Vec<MovedGarment>, String> {
    let order = reading.order.as_ref().ok_or("the order has faults")?;
    let unit = order.unit;
    let moves = pattern::moves(&order.house, &before.drafts, &before.pattern, &now.drafts);
    let moves = moves.map_err(|fault| fault.words(unit))?;
    let of_garment = |garment: &str| {
        let pieces = moves.pieces.iter().filter(|piece| piece.garment == garment);
        let pieces = pieces.map(|piece| {
            let seams = piece.seams.iter().map(|seam| seam.in_words(unit));
            let said = piece.laid(unit).into_iter().chain(seams);
            let said: Vec<String> = said.chain(piece.carried(unit)).collect();
            (piece.piece.clone(), said, piece.allowed())
        });
        let mut pieces: Vec<_> = pieces.collect();
        let anew = moves.new.iter().filter(|(of, _)| of == garment);
        pieces.extend(anew.map(|(_, piece)| (piece.clone(), vec!["recut".to_owned()], false)));
        let garment = garment.to_owned();
        (!pieces.is_empty()).then_some(MovedGarment { garment, pieces })
    };
    let garments = now.drafts.iter();
    Ok(garments
        .filter_map(|draft| of_garment(&draft.garment))
        .collect())
}

/// Lists the alterations by the place that they alter, the ways of each side by side.
pub(super) fn places() -> Vec<Vec<&'static Alteration>> {
    let mut places: Vec<Vec<&Alteration>> = Vec::new();
    for altered in ALTERATIONS {
        let known = places.iter_mut().find(|place| {
            place
                .first()
                .is_some_and(|first| first.correction == altered.correction)
        });
        match known {
            Some(place) => place.push(altered),
            None => places.push(vec![altered]),
        }
    }
    places
}
