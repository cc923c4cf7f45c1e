//! The schema of what an order says of the client: measures, figure and fittings.

use super::super::alterations::ALTERATIONS;
use super::super::catalogue::Catalogue;
use super::super::corrections::{CORRECTIONS, Measured};
use super::super::keys::{Form, described, table};
use super::super::measures::KINDS;
use super::super::slope;
use serde_json::{Map, Value, json};

/// Returns the schema of `[measures]`.
pub(super) fn measures(catalogue: &Catalogue) -> Value {
    let unit = catalogue.terms().unit;
    let named = described(
        json!({ "enum": ["cm", "in"] }),
        "of every number in this section that has no unit of its own",
    );
    let mut keys = Map::from_iter([("unit".to_owned(), named)]);
    for kind in catalogue.measures_for(&[]) {
        let (least, most) = (
            unit.show(kind.range.0 * 10.0),
            unit.show(kind.range.1 * 10.0),
        );
        let about = format!("{} ({least} to {most})", kind.taken);
        keys.insert(
            kind.name.to_owned(),
            described(Form::Length.schema(), &about),
        );
    }
    let required = KINDS.iter().filter(|k| k.required).map(|k| k.name);
    table(keys, &required.collect::<Vec<_>>())
}

/// Returns the schema of `[figure]`: each correction and its opposite, by side where the sides may differ.
pub(super) fn figure(catalogue: &Catalogue) -> Value {
    let unit = catalogue.terms().unit;
    let angle = described(
        json!({ "type": ["number", "string", "object"] }),
        slope::ABOUT,
    );
    let mut keys = Map::from_iter([
        ("notes".to_owned(), notes()),
        (slope::KEY.to_owned(), angle),
    ]);
    for correction in CORRECTIONS.iter().chain(&catalogue.corrections_for(&[])) {
        let most = unit.show(10.0 * correction.most);
        let most = match correction.measured {
            Measured::Stage => format!("{} stages", correction.most),
            Measured::Length => most,
            Measured::Slope(_) => format!("{most}, or degrees as \"3 deg\""),
        };
        let about = format!("{} (at most {most})", correction.about);
        let mut form = Form::Length.schema();
        if correction.sided {
            let side = Form::Length.schema();
            form = json!({
                "type": ["number", "string", "object"],
                "properties": { "left": side, "right": side },
            });
        }
        for (name, words) in [
            (Some(correction.name), about.clone()),
            (correction.opposite, format!("the opposite of: {about}")),
        ] {
            if let Some(name) = name {
                keys.insert(name.to_owned(), described(form.clone(), &words));
            }
        }
    }
    table(keys, &[])
}

/// Returns the schema of the `[[fitting]]` records.
pub(super) fn fittings() -> Value {
    let date = described(Form::Date.schema(), "the day of the fitting");
    let order = "the reference of the earlier order that was fitted, if it was not this one";
    let order = described(Form::Text.schema(), order);
    let mut keys = Map::from_iter([
        ("date".to_owned(), date),
        ("order".to_owned(), order),
        ("notes".to_owned(), notes()),
    ]);
    for alteration in ALTERATIONS {
        let about = format!("{} …", alteration.words);
        let form = json!({ "type": ["number", "string", "object"] });
        keys.insert(alteration.name.to_owned(), described(form, &about));
    }
    json!({ "type": "array", "items": table(keys, &["date"]) })
}

fn notes() -> Value {
    described(Form::Lines.schema(), "for the ticket")
}
