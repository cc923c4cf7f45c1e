//! The shape of an order file: its sections as they are written, before anything is checked.
//!
//! Everything is optional here, so that one missing line does not hide what is wrong elsewhere;
//! the checks say what is missing. The garments' sections bear the names of their blocks and are
//! read as they come, like the measures, the trimmings and the house.

use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};
use std::collections::BTreeMap;
use std::fmt;
use toml::{Spanned, Value};

/// A key of the file, with its place.
pub(super) type Key = Spanned<String>;

/// A section whose keys are in a table of their own: measures, trimmings.
pub(super) type Free<T> = BTreeMap<Key, Spanned<T>>;

/// `[client]`
#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Client {
    /// As it is to be printed.
    pub name: Option<Spanned<String>>,
    /// The workshop's reference.
    pub reference: Option<Spanned<String>>,
    /// A date, bare or as text.
    pub date: Option<Spanned<Value>>,
    /// For the ticket.
    pub notes: Option<Spanned<Lines>>,
}

/// `[cloth]`
#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Cloth {
    /// What it is.
    pub name: Option<Spanned<String>>,
    /// Selvedge to selvedge.
    pub width: Option<Spanned<Written>>,
    /// Lost on each side.
    pub selvedge: Option<Spanned<Written>>,
    /// Repeat of the pattern, weft way.
    pub repeat_across: Option<Spanned<Written>>,
    /// Repeat of the pattern, warp way.
    pub repeat_along: Option<Spanned<Written>>,
    /// Whether the pieces all point one way.
    pub nap: Option<Nap>,
    /// How it lies on the table.
    pub layout: Option<Spanned<Layout>>,
    /// Along, as a fraction or in the hundred.
    pub shrinkage: Option<Spanned<Written>>,
    /// Between the pieces.
    pub gap: Option<Spanned<Written>>,
    /// Lengths of pieces at hand.
    pub remnants: Vec<Spanned<Written>>,
    /// Of a metre, or of a yard where the order is in inches.
    pub price: Option<Spanned<Written>>,
    /// Colours of its threads, by names of letters.
    pub colours: Option<Spanned<Free<String>>>,
    /// How they cross.
    pub weave: Option<Spanned<String>>,
    /// Its ends by their colours.
    pub warp: Option<Spanned<String>>,
    /// Its picks by their colours.
    pub weft: Option<Spanned<String>>,
    /// Ends to a cm.
    pub ends: Option<Spanned<f64>>,
    /// Picks to a cm.
    pub picks: Option<Spanned<f64>>,
    /// A picture of it, in the order's folder.
    pub swatch: Option<Spanned<String>>,
    /// What of the cloth the picture shows.
    pub swatch_width: Option<Spanned<Written>>,
}

/// `[colours]`, and the house's file of them: those of materials by their ids, and of buttons and threads.
pub(super) type Colours = Free<Lines>;

/// The words of `nap`.
#[derive(Debug, Clone, Copy, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Nap {
    /// Every piece points one way.
    OneWay,
    /// Either way.
    TwoWays,
}

impl From<Nap> for super::laying::Nap {
    fn from(nap: Nap) -> Self {
        match nap {
            Nap::OneWay => Self::OneWay,
            Nap::TwoWays => Self::TwoWays,
        }
    }
}

/// The words of `layout`.
#[derive(Debug, Clone, Copy, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Layout {
    /// Single ply.
    Open,
    /// Folded lengthwise.
    Doubled,
}

impl From<Layout> for super::laying::Layout {
    fn from(layout: Layout) -> Self {
        match layout {
            Layout::Open => Self::Open,
            Layout::Doubled => Self::Doubled,
        }
    }
}

/// `[lining]`
#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Lining {
    /// The body's.
    pub body: Option<Spanned<String>>,
    /// The sleeves'.
    pub sleeves: Option<Spanned<String>>,
    /// In which the body's is bought.
    pub width: Option<Spanned<Written>>,
}

/// The keys of `[trimmings]`, each with what belongs there; all are words for the ticket.
pub(super) const TRIMMINGS: &[(&str, &str)] = &[
    ("buttons", "front and cuff buttons"),
    ("waistcoat_buttons", "buttons of the waistcoat"),
    ("trouser_buttons", "buttons of the trousers"),
    ("thread", "colour of the sewing thread"),
    ("buttonhole_twist", "colour of the buttonhole twist"),
    ("canvas", "canvas and chest cloth"),
    ("wadding", "wadding of the shoulder"),
    ("collar_felt", "colour of the felt under the collar"),
    ("pocketing", "cloth of the pocket bags"),
    ("fly", "zip or buttons"),
    (
        "buckles",
        "buckles of the side adjusters and of the waistcoat's strap",
    ),
];

/// A number, or a length with its own unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Written {
    /// In the unit of the section.
    Number(f64),
    /// Text, as it was written.
    Text(String),
}

impl<'de> Deserialize<'de> for Written {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(WrittenVisitor)
    }
}

struct WrittenVisitor;

impl Visitor<'_> for WrittenVisitor {
    type Value = Written;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a number, or text such as \"39.5 cm\" or \"15 1/2 in\"")
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Written, E> {
        Ok(Written::Number(value as f64))
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Written, E> {
        Ok(Written::Number(value))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Written, E> {
        Ok(Written::Text(value.to_owned()))
    }
}

/// One text or a list of them.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Lines(pub Vec<String>);

impl<'de> Deserialize<'de> for Lines {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(LinesVisitor)
    }
}

struct LinesVisitor;

impl<'de> Visitor<'de> for LinesVisitor {
    type Value = Lines;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("text or a list of texts")
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Lines, E> {
        Ok(Lines(value.lines().map(str::to_owned).collect()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Lines, A::Error> {
        let mut lines = Vec::new();
        while let Some(text) = seq.next_element::<String>()? {
            lines.extend(text.lines().map(str::to_owned));
        }
        Ok(Lines(lines))
    }
}
