//! The ways to answer a question, each tried on the client's own draft before it is offered.

use super::answers::Answer;
use super::drawn;
use super::questions::{Ask, Question};
use super::state::{Now, Talk, in_words};
use crate::draft::Draft;
use crate::order::Choice;
use crate::order::choices::{Declared, Domain};
use crate::sheets::views::choices::shown;
use crate::sheets::words::{capital, spaced};
use rayon::prelude::*;

/// One way to answer.
#[derive(Debug, Clone)]
pub(super) struct Way {
    /// What the order says.
    pub said: String,
    /// What is read.
    pub name: String,
    /// What it means.
    pub about: String,
    /// The part of this client's garment that differs, as SVG.
    pub picture: Option<String>,
    /// Why it cannot be chosen beside the rest.
    pub refused: Option<String>,
    /// Whether it is what stands now.
    pub chosen: bool,
}

/// Lists the words of a question, or yes and no, before they are tried. A number has none.
pub(super) fn words(now: &Now, question: &Question) -> Vec<Way> {
    let Ask::Choice(declared) = &question.ask else {
        return Vec::new();
    };
    let stands = stands(now, question, declared);
    let way = |said: &str, about: String| Way {
        said: said.to_owned(),
        name: capital(&spaced(said)),
        about,
        picture: None,
        refused: None,
        chosen: stands.as_deref() == Some(said),
    };
    match &declared.domain {
        domain @ Domain::Word(_) => {
            let words = domain.words(&now.reading.terms());
            words
                .into_iter()
                .map(|(word, about)| way(word, about))
                .collect()
        }
        Domain::Flag => [("yes", ""), ("no", "")]
            .map(|(said, about)| way(said, about.to_owned()))
            .into(),
        _ => Vec::new(),
    }
}

/// Tries each way on the order and draws where they differ. Returns `None` where the order has changed meanwhile,
/// so that nobody waits for it.
pub(super) fn tried(talk: &Talk, now: &Now, question: &Question) -> Option<Vec<Way>> {
    let mut ways = words(now, question);
    let outcome = |way: &Way| {
        if talk.now().revision != now.revision {
            return None;
        }
        let answer = Answer::Said(way.said.clone());
        let reading = talk.tried(&question.at, &answer);
        Some(reading.and_then(|reading| {
            let garment = question.garment.as_deref();
            let draft = reading.drafted.as_ref().and_then(|drafted| {
                let mut drafts = drafted.drafts.iter();
                drafts.find(|draft| Some(draft.garment.as_str()) == garment)
            });
            let faults = reading.faults();
            match (draft, faults.first()) {
                (Some(draft), _) => Ok(draft.clone()),
                (None, Some(fault)) => Err(in_words(fault)),
                (None, None) => Err("it cannot be drafted".to_owned()),
            }
        }))
    };
    let drafts: Vec<Result<Draft, String>> = ways.par_iter().map(outcome).collect::<Option<_>>()?;
    let good: Vec<&Draft> = drafts.iter().flatten().collect();
    let mut pictures = shown(&good).into_iter();
    for (i, (way, draft)) in ways.iter_mut().zip(&drafts).enumerate() {
        match draft {
            Ok(_) => {
                let picture = pictures.next();
                way.picture = picture.map(|picture| drawn::inline(&picture, &format!("way-{i}-")));
            }
            // In an order that cannot be drafted anyway, no word is to blame.
            Err(_) if now.reading.drafted.is_none() => {}
            Err(why) => way.refused = Some(why.clone()),
        }
    }
    Some(ways)
}

/// Returns what stands for a choice now, as the order would say it, settled or not.
pub(super) fn stands(now: &Now, question: &Question, declared: &Declared) -> Option<String> {
    let (order, _) = now.shown.as_ref()?;
    let garment = question.garment.as_deref()?;
    let garment = order.garments.iter().find(|own| own.block == garment)?;
    Some(match garment.style.get(&declared.name)? {
        Choice::Word(word) => word.clone(),
        Choice::Length(mm) => now.reading.unit().number(*mm),
        Choice::Number(number) => crate::order::words::shown(*number),
        Choice::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
    })
}
