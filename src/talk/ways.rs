//! The ways to answer a question, each tried on the client's own draft before it is offered.

use super::answers::Answer;
use super::drawn;
use super::questions::{Ask, Question};
use super::reading::in_words;
use super::seen::Seen;
use super::state::{Now, Talk};
use crate::job::Drafted;
use crate::made_up::Facing;
use crate::order::choices::{Declared, Domain};
use crate::order::{Choice, Order};
use crate::sheets::in_cloth::InCloth;
use crate::sheets::views::choices::{Tailored, shown};
use crate::sheets::words::{capital, spaced};
use crate::units::Unit;
use rayon::prelude::*;
use std::sync::Arc;

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
    /// Whether it was chosen.
    pub chosen: bool,
    /// Whether it is what the house does as long as nothing is chosen.
    pub usual: bool,
}

/// Lists the words of a question, yes and no, or numbers over its range, before they are tried.
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
        chosen: question.settled && stands.as_deref() == Some(said),
        usual: !question.settled && stands.as_deref() == Some(said),
    };
    match &declared.domain {
        domain @ Domain::Word(_) => {
            let words = domain.words(&now.reading.terms());
            words
                .into_iter()
                .map(|(word, about)| way(word, about))
                .collect()
        }
        Domain::Flag => ["yes", "no"].map(|said| way(said, String::new())).into(),
        domain => {
            let unit = now.reading.unit();
            let numbers = numbers(domain, unit);
            numbers
                .into_iter()
                .map(|said| {
                    let shown = match domain {
                        Domain::Length(..) => format!("{said} {}", unit.name()),
                        _ => said.clone(),
                    };
                    Way {
                        name: shown,
                        ..way(&said, String::new())
                    }
                })
                .collect()
        }
    }
}

/// The most numbers of a range that are shown.
const MOST_NUMBERS: usize = 5;

/// Returns numbers spread over a range, as the tailor writes them: any other can be typed.
fn numbers(domain: &Domain, unit: Unit) -> Vec<String> {
    let (least, most, step) = match domain {
        Domain::Length(least, most) => {
            let scale = 10.0 / unit.mm();
            let step = if unit == Unit::Inch { 0.125 } else { 0.1 };
            (least * scale, most * scale, step)
        }
        Domain::Count(least, most) => (*least, *most, 1.0),
        Domain::Number(least, most) => (*least, *most, 0.05),
        Domain::Word(_) | Domain::Flag => return Vec::new(),
    };
    let shares = (0..MOST_NUMBERS).map(|i| i as f64 / (MOST_NUMBERS - 1) as f64);
    let on_step = |share: f64| {
        let (first, last) = ((least / step).ceil(), (most / step + 1e-9).floor());
        step * (first + ((last - first) * share).round())
    };
    let written = |number: f64| match domain {
        Domain::Length(..) => unit.number(number * unit.mm()),
        _ => crate::order::words::shown((number * 100.0).round() / 100.0),
    };
    let mut numbers: Vec<String> = shares.map(on_step).map(written).collect();
    numbers.dedup();
    numbers
}

/// What a way to answer leads to.
struct Outcome {
    order: Order,
    drafted: Arc<Drafted>,
    /// The place of the garment that is asked about.
    garment: usize,
}

impl Outcome {
    fn of(question: &Question, order: &Order, drafted: &Arc<Drafted>) -> Option<Self> {
        let asked = question.garment.as_deref()?;
        let mut drafts = drafted.drafts.iter();
        Some(Self {
            garment: drafts.position(|draft| draft.garment == asked)?,
            order: order.clone(),
            drafted: drafted.clone(),
        })
    }

    fn tailored<'a>(&'a self, cloth: Option<&'a InCloth<'a>>) -> Option<Tailored<'a>> {
        Some(Tailored {
            draft: self.drafted.drafts.get(self.garment)?,
            cloth: cloth.map(|cloth| (cloth, self.garment)),
        })
    }
}

/// The ways to answer a question, each tried, and the side from which they are told apart.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    /// The ways.
    pub ways: Vec<Way>,
    /// The side, where a view shows the difference.
    pub seen: Option<Seen>,
}

/// Tries each way on the order and draws where they differ. Returns `None` where the order has changed meanwhile,
/// so that nobody waits for it.
pub(super) fn tried(talk: &Talk, now: &Now, question: &Question) -> Option<Tried> {
    let mut ways = words(now, question);
    let leads_to = |way: &Way| {
        if talk.now().revision != now.revision {
            return None;
        }
        let answer = Answer::Said(way.said.clone());
        let reading = talk.tried(&question.at, &answer);
        Some(reading.and_then(|reading| {
            let shown = (reading.order.as_ref()).zip(reading.drafted.as_ref());
            let shown = shown.and_then(|(order, drafted)| Outcome::of(question, order, drafted));
            let faults = reading.faults();
            match (shown, faults.first()) {
                (Some(shown), _) => Ok(shown),
                (None, Some(fault)) => Err(in_words(fault)),
                (None, None) => Err("it cannot be drafted".to_owned()),
            }
        }))
    };
    let outcomes: Vec<Result<Outcome, String>> =
        ways.par_iter().map(leads_to).collect::<Option<_>>()?;
    let good: Vec<&Outcome> = outcomes.iter().flatten().collect();
    let cloths = good.iter();
    let cloths = cloths.map(|outcome| drawn::in_cloth(talk, &outcome.order, &outcome.drafted));
    let cloths: Vec<Option<InCloth>> = cloths.collect();
    let garments = good.iter().zip(&cloths);
    let garments = garments.filter_map(|(outcome, cloth)| outcome.tailored(cloth.as_ref()));
    let (facing, pictures) = shown(&garments.collect::<Vec<_>>());
    let mut pictures = pictures.into_iter();
    for (i, (way, outcome)) in ways.iter_mut().zip(&outcomes).enumerate() {
        match outcome {
            Ok(_) => {
                let picture = pictures.next();
                way.picture = picture.map(|picture| drawn::inline(&picture, &format!("way-{i}-")));
            }
            // In an order that cannot be drafted anyway, no word is to blame.
            Err(_) if now.reading.drafted.is_none() => {}
            Err(why) => way.refused = Some(why.clone()),
        }
    }
    let seen = facing.map(|facing| match facing {
        Facing::Front => Seen::Front,
        Facing::Back | Facing::BackOpen => Seen::Back,
        Facing::Inside => Seen::Inside,
    });
    Some(Tried { ways, seen })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lie_in_their_range_on_the_tape() {
        let width = Domain::Length(7.0, 11.0);
        assert_eq!(numbers(&width, Unit::Cm), ["7", "8", "9", "10", "11"]);
        let inches = ["2 7/8", "3 1/4", "3 5/8", "4", "4 1/4"];
        let found = numbers(&width, Unit::Inch);
        assert_eq!((found.len(), &found[0]), (5, &inches[0].to_owned()));
        for number in &found {
            let mm = crate::order::length::parse(number, Unit::Inch).unwrap();
            assert!((70.0..=110.0).contains(&mm), "{number}");
        }
        assert_eq!(numbers(&Domain::Count(6.0, 8.0), Unit::Cm), ["6", "7", "8"]);
        assert_eq!(numbers(&Domain::Flag, Unit::Cm), Vec::<String>::new());
    }
}
