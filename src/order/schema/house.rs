//! The schema of the house's numbers that an order may change.

use super::super::HouseValue;
use super::super::catalogue::Catalogue;
use super::super::keys::table;
use crate::diagnostic::Diagnostic;
use serde_json::{Map, Value, json};

/// Returns the schema of the house's numbers: `scye` within `allowance` for `allowance.scye`.
pub(super) fn numbers(catalogue: &Catalogue) -> Result<Value, Vec<Diagnostic>> {
    let house = catalogue.house()?;
    let mut sections: Map<String, Value> = Map::new();
    for (name, value) in house.values() {
        let (least, most) = house.bounds(name);
        let kind = match house.is_whole(name) {
            true => json!("integer"),
            false => json!(["number", "string"]),
        };
        let number = json!({ "type": kind, "minimum": least, "maximum": most });
        let form = match value {
            HouseValue::Word(_) => json!({ "type": "string" }),
            _ if name.starts_with("allowance.") || name.starts_with("derived.") => {
                json!({ "type": ["number", "string", "array"], "items": number, "minimum": least, "maximum": most })
            }
            HouseValue::Along(_) => json!({ "type": "array", "items": number }),
            HouseValue::Number(_) => number,
        };
        let (section, key) = name.split_once('.').unwrap_or(("", name));
        if section.is_empty() {
            sections.insert(key.to_owned(), form);
            continue;
        }
        let section = sections
            .entry(section)
            .or_insert_with(|| table(Map::new(), &[]));
        match key.split_once('.') {
            None => section["properties"][key] = form,
            Some((inner, key)) => {
                let inner = &mut section["properties"][inner];
                if inner.is_null() {
                    *inner = table(Map::new(), &[]);
                }
                inner["properties"][key] = form;
            }
        }
    }
    // Of any number of the house a garment may have one of its own.
    for garment in catalogue.garments() {
        let section = sections
            .entry(garment)
            .or_insert_with(|| table(Map::new(), &[]));
        section["additionalProperties"] = json!({ "type": "object" });
        let named = section["properties"].as_object_mut();
        for inner in named.into_iter().flat_map(Map::values_mut) {
            if inner["properties"].is_object() {
                inner["additionalProperties"] = json!({});
            }
        }
    }
    Ok(table(sections, &[]))
}
