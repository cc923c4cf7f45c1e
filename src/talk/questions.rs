//! What is asked in a talk, in its order. Questions, words and their meanings come from the blocks and the order's
//! own fields: a garment of the workshop's own is asked for as the others are.

use super::reading::Reading;
use super::text;
use crate::order::choices::Declared;
use crate::order::fields::{Field, fields};
use crate::order::phrase::Terms;
use crate::sheets::words::{capital, spaced};

/// The name of the form of a baste.
pub(super) const FITTING: &str = "fitting";

/// The name of the question of which garments are made.
pub(super) const GARMENTS: &str = "garments";

/// The sections that are asked for as forms before the garments, with their headings and the key that settles each.
const BEFORE: [(&str, &str, &str); 4] = [
    ("client", "Who is it for?", "name"),
    ("cloth", "Which cloth?", "name"),
    ("lining", "Which lining?", "body"),
    ("trimmings", "Buttons, twist and felt", "buttons"),
];

/// Forms that stand beside the talk.
const BESIDE: [(&str, &str); 3] = [
    ("measures", "Measures"),
    ("figure", "Figure"),
    (FITTING, "The baste"),
];

/// One question.
#[derive(Debug, Clone)]
pub(super) struct Question {
    /// Its address: `jacket.lapel`, or the section of a form.
    pub at: String,
    /// The garment that it is about, if it is about one.
    pub garment: Option<String>,
    /// What is asked, in a few words.
    pub heading: String,
    /// The words that are said about it.
    pub about: String,
    /// How it is answered.
    pub ask: Ask,
    /// Whether it has been answered.
    pub settled: bool,
}

/// How a question is answered.
#[derive(Debug, Clone)]
pub(super) enum Ask {
    /// By one of the ways that a block declares.
    Choice(Box<Declared>),
    /// By filling in fields.
    Form(Vec<Field>),
    /// By taking garments up or leaving them out.
    Garments,
}

/// Lists the questions of a talk in the order in which they are asked. A choice that has no meaning beside the
/// others is left out.
pub(super) fn questions(reading: &Reading) -> Vec<Question> {
    let known = text::values(&reading.source.text);
    let has = |section: &str, key: &str| {
        let mut all = known.iter();
        all.any(|(s, k, value)| s == section && k == key && !value.is_empty())
    };
    let mut asked = Vec::new();
    for (section, heading, key) in BEFORE {
        asked.push(form(reading, section, heading, has(section, key)));
        if section == "client" {
            asked.push(Question {
                at: GARMENTS.to_owned(),
                garment: None,
                heading: "What is to be made?".to_owned(),
                about: String::new(),
                ask: Ask::Garments,
                settled: !reading.garments().is_empty(),
            });
        }
    }
    for garment in reading.garments() {
        asked.extend(choices(reading, &garment, &has));
    }
    let order = reading.workshop.catalogue.talk_order();
    // What the house does not name keeps its usual order, after what it does.
    asked.sort_by_key(|asked| order.place(&asked.at));
    asked
}

/// Returns a question by its address, also one of those beside the talk.
pub(super) fn question(reading: &Reading, at: &str) -> Option<Question> {
    let beside = BESIDE.iter().find(|(section, _)| *section == at);
    match beside {
        Some((section, heading)) => Some(form(reading, section, heading, true)),
        None => questions(reading).into_iter().find(|asked| asked.at == at),
    }
}

/// Returns the address of the question that a section and key belong to.
pub(super) fn address(section: &str, key: &str) -> String {
    let forms = BEFORE.iter().map(|(name, ..)| name);
    let mut forms = forms.chain(BESIDE.iter().map(|(name, _)| name));
    match forms.any(|form| *form == section) {
        true => section.to_owned(),
        false => format!("{section}.{key}"),
    }
}

fn form(reading: &Reading, section: &str, heading: &str, settled: bool) -> Question {
    Question {
        at: section.to_owned(),
        garment: None,
        heading: heading.to_owned(),
        about: String::new(),
        ask: Ask::Form(fields(
            section,
            &reading.garments(),
            &reading.workshop.catalogue,
        )),
        settled,
    }
}

fn choices(reading: &Reading, garment: &str, has: &dyn Fn(&str, &str) -> bool) -> Vec<Question> {
    let Ok(choices) = reading.workshop.catalogue.choices(garment) else {
        return Vec::new();
    };
    let mut style = reading.said(garment);
    choices.complete(&mut style);
    let terms = reading.terms();
    let measures = reading.order.as_ref().map(|order| &order.measures);
    let asked = choices.0.iter().filter(|declared| {
        let decided = measures.and_then(|all| declared.yields_to(all)).is_some();
        (declared.has_meaning(&style) && !decided) || has(garment, &declared.name)
    });
    asked
        .map(|declared| Question {
            at: format!("{garment}.{}", declared.name),
            garment: Some(garment.to_owned()),
            heading: capital(&spaced(&declared.name)),
            about: about(declared, &terms),
            ask: Ask::Choice(Box::new(declared.clone())),
            settled: has(garment, &declared.name),
        })
        .collect()
}

fn about(declared: &Declared, terms: &Terms) -> String {
    let about = declared.about.text(terms);
    match about.ends_with(['.', '?', '!']) || about.is_empty() {
        true => about,
        false => format!("{about}."),
    }
}
