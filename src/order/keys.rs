//! The keys of an order's sections and what may stand at each, for the schema.

use serde::de::{Deserialize, Deserializer, Error, Visitor, value};
use serde_json::{Map, Value, json};

/// The keys of each section: what may stand there, and what it is for.
pub(super) const KEYS: &[(&str, &str, Form, &str)] = &[
    (
        "client",
        "name",
        Form::Text,
        "as it is printed on every sheet",
    ),
    (
        "client",
        "reference",
        Form::Text,
        "the workshop's reference; if empty, the name of the file",
    ),
    ("client", "date", Form::Date, "the day of the order"),
    ("client", "notes", Form::Lines, "for the ticket"),
    (
        "cloth",
        "name",
        Form::Text,
        "what it is, for the ticket and the lay",
    ),
    ("cloth", "width", Form::Length, "selvedge to selvedge"),
    ("cloth", "selvedge", Form::Length, "on each side, not used"),
    (
        "cloth",
        "repeat_across",
        Form::Length,
        "repeat of a check or stripe across the cloth",
    ),
    (
        "cloth",
        "repeat_along",
        Form::Length,
        "repeat along the cloth",
    ),
    (
        "cloth",
        "nap",
        Form::Words(&["one_way", "two_ways"]),
        "whether every piece points one way",
    ),
    (
        "cloth",
        "layout",
        Form::Words(&["open", "doubled"]),
        "single ply, or folded lengthwise",
    ),
    (
        "cloth",
        "shrinkage",
        Form::Length,
        "along: a fraction, or text such as \"3 %\"",
    ),
    ("cloth", "gap", Form::Length, "space between the pieces"),
    (
        "cloth",
        "price",
        Form::Price,
        "of a metre, or of a yard where the order is in inches: 85, or \"85 EUR\"",
    ),
    (
        "cloth",
        "colours",
        Form::Colours,
        "colours of the threads, hex or CSS names, by names of letters: { n = \"#2a3550\", w = \"ivory\" }",
    ),
    ("cloth", "weave", Form::Text, "how the threads cross"),
    (
        "cloth",
        "warp",
        Form::Text,
        "the ends of one repeat, each colour with how many: \"n60 w2 n60 g2\"",
    ),
    (
        "cloth",
        "weft",
        Form::Text,
        "the picks of one repeat, or \"warp\" for the same count",
    ),
    ("cloth", "ends", Form::Number(2.0, 80.0), "ends to a cm"),
    ("cloth", "picks", Form::Number(2.0, 80.0), "picks to a cm"),
    (
        "cloth",
        "swatch",
        Form::Text,
        "a picture of the cloth in its place: PNG or JPEG, in the order's folder",
    ),
    (
        "cloth",
        "swatch_width",
        Form::Length,
        "what of the cloth the picture shows from side to side",
    ),
    (
        "colours",
        "buttons",
        Form::Lines,
        "horn, mother_of_pearl or covered; or that and a colour",
    ),
    (
        "colours",
        "buttonholes",
        Form::Text,
        "their twist; else a shade of the cloth",
    ),
    (
        "colours",
        "stitching",
        Form::Text,
        "thread of stitches that are seen; else a shade of the cloth",
    ),
    ("lining", "body", Form::Text, "lining of the body"),
    ("lining", "sleeves", Form::Text, "lining of the sleeves"),
    (
        "lining",
        "width",
        Form::Length,
        "in which the body's is bought",
    ),
];

/// What may stand at a key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// A text of one line.
    Text,
    /// A text, or a list of them.
    Lines,
    /// A day.
    Date,
    /// A number in the section's unit, or text with a unit of its own.
    Length,
    /// A number, or text with a currency.
    Price,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A number between two bounds.
    Number(f64, f64),
    /// Colours by name.
    Colours,
}

impl Form {
    /// Returns the schema of what may stand there.
    pub(super) fn schema(&self) -> Value {
        match self {
            Self::Text => json!({ "type": "string" }),
            Self::Lines => json!({ "type": ["string", "array"], "items": { "type": "string" } }),
            // A schema has no type for TOML's own date.
            Self::Date => json!({}),
            Self::Length | Self::Price => json!({ "type": ["number", "string"] }),
            Self::Words(words) => json!({ "enum": words }),
            Self::Number(least, most) => {
                json!({ "type": "number", "minimum": least, "maximum": most })
            }
            Self::Colours => {
                json!({ "type": "object", "additionalProperties": { "type": "string" } })
            }
        }
    }
}

/// Returns the schema of a section with the keys that the program reads.
pub(super) fn keys<T: for<'de> Deserialize<'de>>(section: &str, required: &[&str]) -> Value {
    let known = |key: &str| KEYS.iter().find(|(s, k, ..)| (*s, *k) == (section, key));
    let of = |key: &str| match known(key) {
        Some((.., form, about)) => described(form.schema(), about),
        None => json!({}),
    };
    let keys = fields_of::<T>()
        .iter()
        .map(|key| ((*key).to_owned(), of(key)));
    table(keys.collect(), required)
}

/// Returns the schema of a table with these keys and no others.
pub(super) fn table(properties: Map<String, Value>, required: &[&str]) -> Value {
    json!({ "type": "object", "additionalProperties": false, "required": required, "properties": properties })
}

/// Adds what it is for to a schema.
pub(super) fn described(mut form: Value, about: &str) -> Value {
    form["description"] = json!(about);
    form
}

/// Returns the keys of a section's form, which its deserializer asks for.
fn fields_of<T: for<'de> Deserialize<'de>>() -> &'static [&'static str] {
    let mut fields: &'static [&'static str] = &[];
    // It always fails, as there is nothing to read.
    let _ = T::deserialize(Asked(&mut fields));
    fields
}

/// A deserializer that notes which fields a form asks for.
struct Asked<'a>(&'a mut &'static [&'static str]);

impl<'de> Deserializer<'de> for Asked<'_> {
    type Error = value::Error;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, value::Error> {
        Err(value::Error::custom("it is not a table of known keys"))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, value::Error> {
        *self.0 = fields;
        self.deserialize_any(visitor)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option
        unit unit_struct newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}
