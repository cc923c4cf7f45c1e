//! Writes what was chosen of every garment, and the measures.

use super::Sheets;
use super::section::{Section, Table};
use super::words::{self, spaced};
use crate::order::choices::{Declared, Domain};
use crate::order::measures::KINDS;
use crate::order::phrase::Terms;
use crate::order::words::shown;
use crate::order::{Choice, Origin, Settled, settling};

/// The mark beside a choice that nobody made by name: the line that the client signs says what it means.
const BY_USUAL: &str = " *";

/// The word for what is made of the garment's own cloth.
const OF_CLOTH: &str = "self";

/// Writes the choices of every garment, in the order in which its block declares them. The last rows list what is
/// made of the garment's own cloth, and everything that the client does without.
pub(super) fn choices(sheets: &Sheets) -> Vec<Section> {
    let terms = Terms {
        unit: sheets.order.unit,
        house: Some(&sheets.order.house),
    };
    let garments = sheets.order.garments.iter().enumerate();
    garments
        .map(|(i, garment)| {
            let mut section = Section::new(&words::capital(&spaced(&garment.block)));
            let declared: &[Declared] = sheets.choices.get(i).map_or(&[], |choices| &choices.0);
            let measures = &sheets.order.measures;
            let said = |one: &&Declared| one.yields_to(measures).is_none();
            let known = declared.iter().filter(said).filter_map(|one| {
                let choice = garment.style.get(&one.name)?;
                let value = in_words(choice, Some(&one.domain), &terms);
                Some((one.name.as_str(), choice, value))
            });
            let usual = |name: &str| {
                settling::settled(sheets.order, &garment.block, name) != Some(Settled::Said)
            };
            let rest = garment
                .style
                .iter()
                .filter(|(name, _)| declared.iter().all(|one| one.name != **name))
                .map(|(name, choice)| (name.as_str(), choice, in_words(choice, None, &terms)));
            let (mut of_cloth, mut without) = (Vec::new(), Vec::new());
            for (name, choice, value) in known.chain(rest) {
                let mark = if usual(name) { BY_USUAL } else { "" };
                let marked = format!("{}{mark}", spaced(name));
                let own_cloth = *choice == Choice::Word(OF_CLOTH.to_owned());
                match value {
                    // One whose words say more than which cloth has a row of its own.
                    Some(value) if own_cloth && !value.contains(',') => of_cloth.push(marked),
                    Some(value) => section.named(&spaced(name), &format!("{value}{mark}")),
                    None => without.push(marked),
                }
            }
            for (heading, names) in [("of the cloth", of_cloth), ("without", without)] {
                if !names.is_empty() {
                    section.named(heading, &names.join(", "));
                }
            }
            section
        })
        .collect()
}

/// Writes a choice, with the meaning of its word. Returns `None` for one to do without.
fn in_words(choice: &Choice, domain: Option<&Domain>, terms: &Terms) -> Option<String> {
    let words = match (choice, domain) {
        (Choice::Word(word), Some(Domain::Word(words))) => {
            let meaning = words.iter().find(|(known, _)| known == word);
            let meaning = meaning.map(|(_, meaning)| meaning.text(terms));
            return said(&spaced(word), &meaning.unwrap_or_default());
        }
        (Choice::Word(word), _) => return said(&spaced(word), ""),
        (Choice::Length(mm), _) => terms.unit.show(*mm),
        (Choice::Number(number), _) => shown(*number),
        (Choice::Flag(true), _) => "yes".to_owned(),
        (Choice::Flag(false), _) => return None,
    };
    Some(words)
}

/// Writes a word with its meaning, or one of both where that says it all: `notch – a step of 3.5 cm`, `zip`,
/// `two buttons`. Returns `None` for a word that means nothing is made.
fn said(word: &str, meaning: &str) -> Option<String> {
    let letters = |c: char| !c.is_alphanumeric() && c != '-';
    let said: Vec<&str> = meaning.split(letters).filter(|w| !w.is_empty()).collect();
    let own: Vec<&str> = word.split(' ').collect();
    let has_word = said.windows(own.len()).any(|words| words == own);
    match word {
        "none" if meaning.is_empty() || said.first() == Some(&"no") => None,
        "none" => Some(meaning.to_owned()),
        _ if said.len() <= own.len() + usize::from(has_word)
            && (meaning.is_empty() || has_word) =>
        {
            Some(word.to_owned())
        }
        _ if has_word => Some(meaning.to_owned()),
        _ => Some(format!("{word} – {meaning}")),
    }
}

/// Writes the measures of the body in the order of the tape, the taken ones before the derived.
pub(super) fn measures(sheets: &Sheets) -> Section {
    let unit = sheets.order.unit;
    let mut section = Section::new(&format!("Measures of the body, {}", unit.spoken()));
    let all = &sheets.order.measures.0;
    for (origin, heading) in [
        (Origin::Taken, "Taken"),
        (
            Origin::Derived,
            "Derived, ± what is not known: measure if in doubt",
        ),
    ] {
        // First the measures that the table knows, then any others.
        let known = KINDS.iter().filter_map(|kind| all.get_key_value(kind.name));
        let unknown = all
            .iter()
            .filter(|(name, _)| KINDS.iter().all(|kind| kind.name != **name));
        let mut table = Table::new(&[("", 1.0)]);
        table.heading = Some(heading.to_owned());
        for (name, measure) in known.chain(unknown) {
            if measure.origin == origin {
                let mut value = unit.number(measure.mm);
                if measure.open > 0.0 {
                    value = format!("{value} ± {}", unit.number(measure.open));
                }
                table.row(&spaced(name), [&value]);
            }
        }
        section.table(table);
    }
    section
}
