//! No choice is accepted and ignored, and every one can be drafted.

use chalkstripe::diagnostic::Source;
use chalkstripe::draft::Draft;
use chalkstripe::order::choices::{Choices, Declared, Domain};
use chalkstripe::order::{self, Choice, Garment, Order, Style};
use chalkstripe::script::{BlockFault, Library, draft};
use chalkstripe::workshop::Workshop;
use rayon::prelude::*;
use std::path::Path;

fn order() -> Order {
    let text = include_str!("../../examples/plain-worsted.toml");
    order::parse("plain", &Source::new("plain.toml", text), Path::new(""))
        .unwrap()
        .order
}

/// The draft of a garment in a style, completed with its defaults.
fn drafted(
    order: &Order,
    block: &str,
    choices: &Choices,
    chosen: Style,
) -> Result<Draft, Box<BlockFault>> {
    let mut style = chosen;
    choices.complete(&mut style);
    let garment = Garment {
        block: block.to_owned(),
        style,
    };
    draft(&Library::embedded(), order, &garment)
}

/// Every way to choose: each word; the least, the middle and the most of a length; yes and no.
fn ways(declared: &Declared) -> Vec<Choice> {
    match &declared.domain {
        Domain::Word(words) => words
            .iter()
            .map(|(word, _)| Choice::Word(word.clone()))
            .collect(),
        Domain::Length(least, most) => {
            let tried = [*least, (least + most) / 2.0, *most];
            tried.map(|cm| Choice::Length(cm * 10.0)).to_vec()
        }
        Domain::Count(least, most) | Domain::Number(least, most) => {
            vec![Choice::Number(*least), Choice::Number(*most)]
        }
        Domain::Flag => vec![Choice::Flag(false), Choice::Flag(true)],
    }
}

/// A style in which a choice has a meaning.
fn beside(declared: &Declared) -> Style {
    let first = |words: &Vec<String>| Choice::Word(words[0].clone());
    declared
        .only_with
        .iter()
        .map(|(other, words)| (other.clone(), first(words)))
        .collect()
}

/// And every allowance that an edge asks for, in whatever style, is one of the house's.
#[test]
fn every_choice_is_drafted_and_makes_a_difference() {
    let order = order();
    for block in Workshop::embedded().catalogue.garments() {
        let choices = Workshop::embedded().catalogue.choices(block).unwrap();
        let faults: Vec<String> = choices
            .0
            .par_iter()
            .flat_map_iter(|declared| faults(&order, block, choices, declared))
            .collect();
        assert!(faults.is_empty(), "{block}: {}", faults.join("\n"));
    }
}

/// What is wrong with a choice, each way to make it.
fn faults(order: &Order, block: &str, choices: &Choices, declared: &Declared) -> Vec<String> {
    let name = &declared.name;
    let mut faults = Vec::new();
    let mut drafts: Vec<Draft> = Vec::new();
    for way in ways(declared) {
        let mut style = beside(declared);
        style.insert(name.clone(), way.clone());
        match drafted(order, block, choices, style) {
            Ok(draft) if drafts.contains(&draft) => {
                faults.push(format!("{name} = {way:?} changes nothing"));
            }
            Ok(draft) => drafts.push(draft),
            // A length that this figure cannot wear is refused with the reason.
            Err(fault) if fault.refused => {}
            Err(fault) => faults.push(format!("{name} = {way:?}: {fault}")),
        }
    }
    if drafts.is_empty() {
        faults.push(format!("{name} is refused whatever it is"));
    }
    let pieces = drafts.iter().flat_map(|draft| &draft.pieces);
    for edge in pieces.flat_map(|piece| &piece.edges) {
        let allowance = format!("allowance.{}", edge.allowance);
        if !order.house.values().contains_key(&allowance) {
            faults.push(format!("{name}: {} asks for {allowance}", edge.name));
        }
    }
    faults
}
