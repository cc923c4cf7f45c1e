//! No choice is accepted and ignored, and every one can be drafted.

use chalkstripe::drafting::{BlockFault, Draft, Library, draft};
use chalkstripe::order::choices::{Choices, Declared, Domain};
use chalkstripe::order::{self, Catalogue, Choice, Garment, Order, Source, Style};
use std::path::Path;

fn order() -> Order {
    let text = include_str!("../examples/plain-worsted.toml");
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

#[test]
fn every_choice_is_drafted_and_makes_a_difference() {
    let order = order();
    let mut faults = Vec::new();
    for block in Catalogue::default().garments() {
        let choices = Catalogue::default().choices(&block).unwrap();
        for declared in &choices.0 {
            let mut drafts: Vec<Draft> = Vec::new();
            for way in ways(declared) {
                let mut style = beside(declared);
                style.insert(declared.name.clone(), way.clone());
                match drafted(&order, &block, &choices, style) {
                    Ok(draft) if drafts.contains(&draft) => {
                        faults.push(format!(
                            "{block}: {} = {way:?} changes nothing",
                            declared.name
                        ));
                    }
                    Ok(draft) => drafts.push(draft),
                    // A length that this figure cannot wear is refused with the reason.
                    Err(fault) if fault.refused => {}
                    Err(fault) => {
                        faults.push(format!("{block}: {} = {way:?}: {fault}", declared.name))
                    }
                }
            }
            if drafts.is_empty() {
                faults.push(format!(
                    "{block}: {} is refused whatever it is",
                    declared.name
                ));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Every allowance an edge asks for is one of the house's, in every style.
#[test]
fn every_allowance_asked_for_is_in_the_house() {
    let order = order();
    for block in Catalogue::default().garments() {
        let choices = Catalogue::default().choices(&block).unwrap();
        for declared in &choices.0 {
            for way in ways(declared) {
                let mut style = beside(declared);
                style.insert(declared.name.clone(), way);
                let Ok(draft) = drafted(&order, &block, &choices, style) else {
                    continue;
                };
                for edge in draft.pieces.iter().flat_map(|piece| &piece.edges) {
                    let name = format!("allowance.{}", edge.allowance);
                    assert!(
                        order.house.0.contains_key(&name),
                        "{block}: {} asks for {name}",
                        edge.name
                    );
                }
            }
        }
    }
}
