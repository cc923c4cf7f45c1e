//! Forms: the fields that are filled in, each with what was found at it.

use crate::diagnostic::{Diagnostic, Severity};
use crate::order::fields::{Field, Form};
use crate::order::likely::expected;
use crate::order::measures::KINDS;
use crate::order::{Order, Origin};
use crate::sheets::words::{capital, spaced};
use crate::talk::questions::GARMENTS;
use crate::talk::reading::{Reading, in_words};
use crate::talk::state::Now;
use crate::talk::text;
use crate::units::Unit;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// Writes the fields of a section.
pub(super) fn form(now: &Now, section: &str, fields: &[Field]) -> Markup {
    let reading = &now.reading;
    let order = now.shown.as_ref().map(|(order, _)| order);
    let hints = order.map(|order| hints(section, order)).unwrap_or_default();
    html! {
        @if section == "measures" { (unit(reading)) }
        div.fields {
            @for field in fields {
                @let at = format!("{}.{}", field.section, field.key);
                @let stands = text::get(&reading.source.text, (field.section, &field.key));
                div.field data-field=(at) {
                    label for=(at) { (capital(&spaced(&field.key))) }
                    (input(&at, field, stands.as_deref(), hints.get(&field.key)))
                    p.hint id={ (at) "-about" } { (field.about) }
                    p.found id={ (at) "-found" } role="status" { (found(reading, &at)) }
                }
            }
        }
    }
}

fn input(at: &str, field: &Field, stands: Option<&str>, hint: Option<&String>) -> Markup {
    let describes = format!("{at}-about {at}-found");
    html! {
        @match field.form {
            Form::Words(words) => select id=(at) aria-describedby=(describes) {
                option value="" selected[stands.is_none()] { "as usual" }
                @for word in words {
                    option value=(word) selected[stands == Some(word)] { (spaced(word)) }
                }
            },
            Form::Lines => textarea id=(at) rows="3" aria-describedby=(describes) { (stands.unwrap_or_default()) },
            form => input id=(at) type="text" autocomplete="off" aria-describedby=(describes)
                inputmode=[matches!(form, Form::Length).then_some("decimal")]
                value=[stands] placeholder=[hint];
        }
    }
}

/// Says of each measure that was not taken what it is derived to be, and of each that was what is expected.
fn hints(section: &str, order: &Order) -> BTreeMap<String, String> {
    if section != "measures" {
        return BTreeMap::new();
    }
    let taken = KINDS.iter().filter_map(|kind| {
        let measure = order.measures.0.get(kind.name)?;
        (measure.origin == Origin::Taken).then_some((kind.name, measure.mm / 10.0))
    });
    let expected = expected(&taken.collect());
    let derived = order.measures.0.iter().map(|(name, measure)| {
        let range = expected.get(name.as_str()).map(|said| {
            let [least, most] = [said.least, said.most].map(|cm| order.unit.number(10.0 * cm));
            format!(", likely {least} to {most}")
        });
        let length = order.unit.number(measure.mm);
        (
            name.clone(),
            format!("{length}{}", range.unwrap_or_default()),
        )
    });
    derived.collect()
}

fn unit(reading: &Reading) -> Markup {
    let inches = reading.unit() == Unit::Inch;
    html! {
        div.field data-field="measures.unit" {
            label for="measures.unit" { "Unit" }
            select id="measures.unit" {
                option value="cm" selected[!inches] { "cm" }
                option value="in" selected[inches] { "inches" }
            }
        }
    }
}

/// Writes what was found at a field, for the page that is typing in it.
pub(in crate::talk) fn found_at(reading: &Reading, at: &str) -> String {
    found(reading, at).into_string()
}

/// Writes a doubt in words.
pub(in crate::talk) fn doubt(why: &str) -> String {
    html! { span.fault { (why) } }.into_string()
}

fn found(reading: &Reading, at: &str) -> Markup {
    let here = |finding: &&Diagnostic| {
        let key = text::key_at(&reading.source.text, finding.start());
        key.is_some_and(|(section, key)| format!("{section}.{key}") == at)
    };
    html! {
        @for finding in reading.findings.iter().filter(here) {
            @let kind = if finding.severity == Severity::Error { "fault" } else { "doubt" };
            span class=(kind) { (in_words(finding)) @for note in &finding.notes { " (" (note.replace('`', "")) ")" } } " "
        }
    }
}

/// Writes which garments are made.
pub(super) fn garments(now: &Now) -> Markup {
    let made = now.reading.garments();
    html! {
        ul.garments {
            @for garment in now.reading.workshop.catalogue.garments() {
                @let at = format!("{GARMENTS}.{garment}");
                li data-field=(at) {
                    label {
                        input id=(at) type="checkbox" checked[made.iter().any(|made| made == garment)];
                        " " (capital(&spaced(garment)))
                    }
                }
            }
        }
    }
}
