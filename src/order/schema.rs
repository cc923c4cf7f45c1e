//! The JSON Schema of an order, for editors that complete and check TOML. It is made from the measures, the
//! catalogue's choices and the keys that the program reads, so that it cannot differ from them.

mod client;
mod house;

use super::catalogue::Catalogue;
use super::choices::{Declared, Domain};
use super::colours::colourable;
use super::file::{self, TRIMMINGS};
use super::keys::{Form, KEYS, described, keys, table};
use super::material::Material;
use super::phrase::Terms;
use super::sections::SECTIONS;
use crate::diagnostic::Diagnostic;
use serde_json::{Map, Value, json};

/// Returns the schema of the orders that a catalogue takes.
///
/// # Errors
/// Returns the faults of a garment's choices or of the house file.
pub fn schema(catalogue: &Catalogue) -> Result<Value, Vec<Diagnostic>> {
    let mut sections = Map::new();
    let blocks = "a folder of blocks of your own, from the order's own folder";
    sections.insert(
        "blocks".into(),
        described(json!({ "type": "string" }), blocks),
    );
    for name in SECTIONS {
        sections.insert((*name).to_owned(), section(name, catalogue)?);
    }
    for garment in catalogue.garments() {
        let choices = catalogue.choices(garment).map_err(|fault| vec![fault])?;
        let terms = catalogue.terms();
        let keys = choices
            .0
            .iter()
            .map(|c| (c.name.clone(), choice(c, &terms)));
        sections.insert(garment.to_owned(), table(keys.collect(), &[]));
    }
    for material in catalogue.materials()?.all().skip(1) {
        if !sections.contains_key(&material.id) {
            sections.insert(material.id.clone(), goods(material));
        }
    }
    let mut whole = table(sections, &["client", "measures", "cloth"]);
    whole["$schema"] = json!("http://json-schema.org/draft-07/schema#");
    whole["title"] = json!("An order for chalkstripe");
    Ok(whole)
}

fn section(name: &str, catalogue: &Catalogue) -> Result<Value, Vec<Diagnostic>> {
    Ok(match name {
        "client" => keys::<file::Client>(name, &["name"]),
        "figure" => client::figure(catalogue),
        "fitting" => client::fittings(),
        "cloth" => cloths(catalogue)?,
        "colours" => colours(catalogue)?,
        "lining" => keys::<file::Lining>(name, &[]),
        "measures" => client::measures(catalogue),
        "trimmings" => {
            let words = TRIMMINGS.iter();
            let of = |about: &str| described(json!({ "type": "string" }), about);
            table(
                words
                    .map(|(key, about)| ((*key).to_owned(), of(about)))
                    .collect(),
                &[],
            )
        }
        "house" => house::numbers(catalogue)?,
        _ => json!({ "type": "object" }),
    })
}

/// Returns the schema of `[cloth]`, with the garments that may have a cloth of their own.
fn cloths(catalogue: &Catalogue) -> Result<Value, Vec<Diagnostic>> {
    let (mut shared, own) = (cloth(catalogue)?, cloth(catalogue)?);
    // The suit's needs no name where every garment has a cloth of its own.
    let mut named = vec![json!({ "required": ["name"] })];
    for garment in catalogue.garments() {
        let about = format!("the cloth of the {garment} alone");
        shared["properties"][garment] = described(own.clone(), &about);
        named.push(json!({ "required": [garment] }));
    }
    shared["required"] = json!([]);
    shared["anyOf"] = json!(named);
    Ok(shared)
}

/// Returns the schema of a cloth, with the weaves that the catalogue has.
fn cloth(catalogue: &Catalogue) -> Result<Value, Vec<Diagnostic>> {
    let mut section = keys::<file::Cloth>("cloth", &["name"]);
    let weaves = catalogue.weaves().map_err(|fault| vec![fault])?;
    let names: Vec<&str> = weaves.iter().map(|weave| weave.name.as_str()).collect();
    let lines = weaves
        .iter()
        .map(|weave| format!("\n- {}: {}", weave.name, weave.about));
    let about = format!("how the threads cross{}", lines.collect::<String>());
    section["properties"]["weave"] = described(json!({ "enum": names }), &about);
    Ok(section)
}

/// Returns the schema of `[colours]`: of every material that has colours, of buttons and of threads.
fn colours(catalogue: &Catalogue) -> Result<Value, Vec<Diagnostic>> {
    let known = KEYS.iter().filter(|(section, ..)| *section == "colours");
    let known =
        known.map(|(_, key, form, about)| ((*key).to_owned(), described(form.schema(), about)));
    let coloured = colourable(catalogue.materials()?);
    let form = || described(Form::Lines.schema(), "a colour, or a ground and a stripe");
    let coloured = coloured.map(|id| (id, form()));
    Ok(table(coloured.chain(known).collect(), &[]))
}

/// Returns the schema of the section in which an order says which a material is.
fn goods(material: &Material) -> Value {
    let of = |form: Form, about: &str| described(form.schema(), about);
    let about = &material.about;
    let keys = [
        (
            "name",
            of(Form::Text, &format!("which it is, for the ticket: {about}")),
        ),
        ("width", of(Form::Length, "in which it is bought")),
    ];
    table(
        keys.map(|(key, form)| (key.to_owned(), form))
            .into_iter()
            .collect(),
        &[],
    )
}

fn choice(declared: &Declared, terms: &Terms) -> Value {
    let (form, words) = match &declared.domain {
        Domain::Word(words) => {
            let names: Vec<&str> = words.iter().map(|(word, _)| word.as_str()).collect();
            let lines = declared.domain.words(terms).into_iter();
            let lines = lines.map(|(word, about)| match about.as_str() {
                "" => format!("\n- {word}"),
                about => format!("\n- {word}: {about}"),
            });
            (json!({ "enum": names }), lines.collect())
        }
        Domain::Length(least, most) => (
            json!({ "type": ["number", "string"], "minimum": least, "maximum": most }),
            String::new(),
        ),
        Domain::Count(least, most) => (
            json!({ "type": "integer", "minimum": least, "maximum": most }),
            String::new(),
        ),
        Domain::Number(least, most) => (
            json!({ "type": "number", "minimum": least, "maximum": most }),
            String::new(),
        ),
        Domain::Flag => (json!({ "type": "boolean" }), String::new()),
    };
    let about = declared.about.text(terms);
    described(form, &format!("{about}{words}"))
}

#[cfg(test)]
mod tests {
    use super::super::measures::KINDS;
    use super::*;
    use crate::diagnostic::Source;
    use crate::order::starter;

    /// Whether a value keeps to a schema, as far as this module writes schemas.
    fn holds(schema: &Value, value: &toml::Value, place: &str) {
        if let Some(words) = schema["enum"].as_array() {
            let word = value.as_str().unwrap_or_else(|| panic!("{place}: {value}"));
            assert!(words.iter().any(|w| w == word), "{place}: {value}");
        }
        let is = match value {
            toml::Value::String(_) => "string",
            toml::Value::Integer(_) => "integer",
            toml::Value::Float(_) => "number",
            toml::Value::Boolean(_) => "boolean",
            toml::Value::Array(_) => "array",
            toml::Value::Table(_) => "object",
            toml::Value::Datetime(_) => "date",
        };
        let types = match &schema["type"] {
            Value::String(one) => vec![one.as_str()],
            Value::Array(all) => all.iter().filter_map(Value::as_str).collect(),
            _ => vec![is],
        };
        let fits = types.contains(&is) || is == "integer" && types.contains(&"number");
        assert!(fits, "{place}: {value} is none of {types:?}");
        if let toml::Value::Array(values) = value {
            for item in values {
                holds(&schema["items"], item, place);
            }
        }
        if let toml::Value::Table(table) = value {
            for (key, held) in table {
                let any = &schema["additionalProperties"];
                let inner = match &schema["properties"][key] {
                    Value::Null if any.is_object() => any,
                    named => named,
                };
                assert!(!inner.is_null(), "{place}.{key} is not in the schema");
                holds(inner, held, &format!("{place}.{key}"));
            }
        }
    }

    #[test]
    fn the_examples_and_the_starter_keep_to_it() {
        let schema = schema(&Catalogue::embedded()).unwrap();
        let examples = ["plain-worsted", "check-side-vents", "corpulent-inches"]
            .map(|name| std::fs::read_to_string(format!("examples/{name}.toml")).unwrap());
        let mut texts = examples.to_vec();
        texts.push(starter(&Catalogue::embedded()).unwrap());
        let corrected = "[figure]\nerect = 1\nsloping_shoulders = { right = 1 }\nnotes = \"a\"\n\
            [[fitting]]\ndate = 2026-04-02\nlet_out_side_seams = 0.5\n";
        texts.push(corrected.to_owned());
        for text in texts {
            holds(&schema, &toml::Value::Table(text.parse().unwrap()), "order");
        }
    }

    #[test]
    fn it_knows_every_key_with_its_form() {
        let schema = schema(&Catalogue::embedded()).unwrap();
        let keys = |section: &str| {
            schema["properties"][section]["properties"]
                .as_object()
                .unwrap()
        };
        for (section, key, ..) in KEYS {
            assert!(
                keys(section).contains_key(*key),
                "{section}.{key} is no key any more"
            );
        }
        assert!(keys("cloth").len() >= 9 && keys("measures").len() == KINDS.len() + 2);
        let about = schema["properties"]["jacket"]["properties"]["lapel"]["description"].as_str();
        assert!(about.unwrap().contains("notch: "));
        let gap = &schema["properties"]["house"]["properties"]["cloth"]["properties"]["gap"];
        assert_eq!(gap["maximum"], 3.0);
        assert_eq!(gap["type"], json!(["number", "string"]));
    }

    /// The plain example with one value more, at a dotted place of it.
    fn with(path: &[&str], value: &toml::Value) -> String {
        let text = std::fs::read_to_string("examples/plain-worsted.toml").unwrap();
        let mut whole: toml::Table = text.parse().unwrap();
        let (key, sections) = path.split_last().unwrap();
        // A garment has a cloth of its own only if it is ordered.
        if let [
            "cloth",
            garment @ ("jacket" | "trousers" | "waistcoat" | "overcoat"),
            _,
            ..,
        ] = path
        {
            let empty = toml::Value::from(toml::Table::new());
            whole.entry(*garment).or_insert(empty);
        }
        let mut at = &mut whole;
        for section in sections {
            let empty = match *section {
                "fitting" => toml::Value::Array(vec![toml::Table::new().into()]),
                _ => toml::Table::new().into(),
            };
            at = match at.entry(*section).or_insert(empty) {
                toml::Value::Array(tables) => tables[0].as_table_mut().unwrap(),
                inner => inner.as_table_mut().unwrap(),
            };
        }
        at.insert((*key).to_owned(), value.clone());
        toml::to_string(&whole).unwrap()
    }

    /// Values that a form refuses.
    fn refused(form: &Value) -> Vec<toml::Value> {
        let types = match &form["type"] {
            Value::String(one) => vec![one.as_str()],
            Value::Array(all) => all.iter().filter_map(Value::as_str).collect(),
            _ => vec![],
        };
        let mut values = Vec::new();
        if form["enum"].is_array() {
            values.extend(["xyzzy".into(), true.into()]);
        }
        for (bound, beyond) in [("minimum", -1.0), ("maximum", 1.0)] {
            if let Some(bound) = form[bound].as_f64() {
                values.push(toml::Value::Float(bound + beyond));
            }
        }
        if types.contains(&"number") || types == ["string"] {
            values.push(true.into());
        }
        if types == ["boolean"] || types == ["integer"] {
            values.push("xyzzy".into());
        }
        values
    }

    /// Whatever the schema refuses, in whichever section and key, the program refuses as well.
    #[test]
    fn it_is_as_strict_as_the_program() {
        fn each(form: &Value, path: &[&str], tried: &mut usize) {
            let refuses = |to: &[&str], value: toml::Value| {
                let (text, key) = (with(to, &value), to[to.len() - 1]);
                let source = Source::new("x.toml", text.clone());
                let told = super::super::parse("x", &source, "".as_ref())
                    .expect_err(&format!("{to:?} = {value} is not refused"));
                let told_there = told.iter().any(|fault| {
                    let span = fault.place.as_ref().and_then(|place| place.span.clone());
                    let line = span.and_then(|span| text[..span.end].lines().last());
                    line.is_some_and(|line| line.starts_with(key)) || fault.message.contains(key)
                });
                assert!(
                    told_there,
                    "{to:?} = {value} is refused for another fault: {told:?}"
                );
            };
            let form = if form["type"] == "array" && form["items"]["properties"].is_object() {
                &form["items"]
            } else {
                form
            };
            for value in refused(form) {
                refuses(path, value);
                *tried += 1;
            }
            if form["additionalProperties"] == false {
                let unknown = [path, &["xyzzy"]].concat();
                refuses(&unknown, "B".into());
                *tried += 1;
            }
            for (key, inner) in form["properties"].as_object().into_iter().flatten() {
                each(inner, &[path, &[key]].concat(), tried);
            }
        }
        let schema = schema(&Catalogue::embedded()).unwrap();
        let mut tried = 0;
        each(&schema, &[], &mut tried);
        assert!(tried > 400, "{tried} were tried");
    }
}
