//! The sheets of an order: what they are made from, and the files that they are.

use super::travel::Travel;
use super::words;
use crate::draft::{Draft, Material};
use crate::lay::Laid;
use crate::order::Order;
use crate::order::choices::Choices;
use crate::pattern::Pattern;

/// All that the sheets of one order show.
#[derive(Debug, Clone, Copy)]
pub struct Sheets<'a> {
    /// The order.
    pub order: &'a Order,
    /// The drafts of its garments.
    pub drafts: &'a [Draft],
    /// The pattern.
    pub pattern: &'a Pattern,
    /// The lays, the cloth's first.
    pub lays: &'a [Laid],
    /// What each garment's choices are and mean, in the order's order.
    pub choices: &'a [&'a Choices],
}

/// A finished sheet: the name of its file and what the file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Such as `paper-a4.pdf`.
    pub file: String,
    /// The file.
    pub bytes: Vec<u8>,
}

impl Sheet {
    pub(super) fn new(file: impl Into<String>, bytes: Vec<u8>) -> Self {
        Sheet {
            file: file.into(),
            bytes,
        }
    }
}

/// All sheets of an order, and what is worth telling of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// The sheets.
    pub sheets: Vec<Sheet>,
    /// How far the plotter's pen travels raised over each lay, in the lays' order.
    pub travels: Vec<Travel>,
}

/// The names of some sheets' files, as they are told.
pub fn names(sheets: &[Sheet]) -> String {
    let names: Vec<&str> = sheets.iter().map(|sheet| sheet.file.as_str()).collect();
    names.join(", ")
}

/// Stem of the files of a lay: `lay` for the cloth, `lay-lining` and so on for the rest.
pub fn lay_name(material: Material) -> String {
    match material {
        Material::Cloth => "lay".to_owned(),
        other => format!("lay-{}", words::material(other).replace(' ', "-")),
    }
}
