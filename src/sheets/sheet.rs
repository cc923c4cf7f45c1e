//! The sheets of an order, and what they are made from.

use super::in_cloth::InCloth;
use super::travel::Travel;
use super::views::Views;
use crate::draft::{Draft, Material};
use crate::lay::Laid;
use crate::order::Order;
use crate::order::choices::Choices;
use crate::pattern::Pattern;

/// A finished order, as its sheets show it.
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
    /// The views of each garment, as [`views::of_order`](super::views::of_order) draws them.
    pub views: &'a [Views],
    /// The cloth, if it is described.
    pub cloth: Option<&'a InCloth<'a>>,
    /// The choices of each garment and their meanings, in the order of `order.garments`.
    pub choices: &'a [&'a Choices],
}

/// A finished sheet, ready to be put into a folder.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Name of the file, such as `paper-a4.pdf`.
    pub file: String,
    /// Content of the file.
    pub bytes: Vec<u8>,
}

impl Sheet {
    /// Returns a sheet with the name of its file and its content.
    pub fn new(file: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self {
            file: file.into(),
            bytes,
        }
    }
}

/// All sheets of an order, with what the program tells about them.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// The sheets.
    pub sheets: Vec<Sheet>,
    /// The travel of the plotter's pen over each lay, in the order of the lays.
    pub travels: Vec<Travel>,
}

/// Lists the names of the files of sheets.
pub fn names(sheets: &[Sheet]) -> String {
    let names: Vec<&str> = sheets.iter().map(|sheet| sheet.file.as_str()).collect();
    names.join(", ")
}

/// Returns the stem of the files of a lay: `lay` for the suit's cloth, `lay-trousers` for the trousers' own,
/// `lay-lining` and so on for the rest.
pub fn lay_name(material: &Material) -> String {
    let of = match &material.garment {
        Some(garment) => garment,
        None if material.is_cloth() => return "lay".to_owned(),
        None => &material.id,
    };
    format!("lay-{}", of.replace('_', "-"))
}
