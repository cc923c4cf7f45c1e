//! What of an order was settled with the client, and what was never asked.

use super::catalogue::Catalogue;
use super::types::{Order, Settled};
use super::words::counted;

/// The comment beside a choice that nobody asked for by name: the house's usual was agreed to.
pub const BY_HOUSE: &str = "as the house does";

/// The word that settles a choice of which the block draws the usual from the figure. It has no other value to
/// be written.
pub const DRAFTED: &str = "drafted";

/// The most choices that a line names; beyond these they are counted.
const MOST_NAMED: usize = 6;

/// Tells how a choice was settled, or `None` if it never was.
pub fn settled(order: &Order, garment: &str, choice: &str) -> Option<Settled> {
    let key = (garment.to_owned(), choice.to_owned());
    order.settled.get(&key).copied()
}

/// Lists the choices that the order never made, garment by garment, as their blocks declare them. A choice that
/// has no meaning beside the others is left out.
pub fn unsettled(order: &Order, catalogue: &Catalogue) -> Vec<(String, String)> {
    let mut open = Vec::new();
    for garment in &order.garments {
        let Ok(choices) = catalogue.choices(&garment.block) else {
            continue;
        };
        for declared in &choices.0 {
            let asked = settled(order, &garment.block, &declared.name).is_some();
            let decided = declared.yields_to(&order.measures).is_some();
            if !asked && !decided && declared.has_meaning(&garment.style) {
                open.push((garment.block.clone(), declared.name.clone()));
            }
        }
    }
    open
}

/// Says in a line what was never settled; returns `None` where everything was.
pub fn never_settled(order: &Order, catalogue: &Catalogue) -> Option<String> {
    let open = unsettled(order, catalogue);
    if open.is_empty() {
        return None;
    }
    let garments = order.garments.iter().filter_map(|garment| {
        let own = open.iter().filter(|(of, _)| *of == garment.block);
        let names: Vec<&str> = own.map(|(_, name)| name.as_str()).collect();
        let said = match names.len() {
            0 => return None,
            count if open.len() > MOST_NAMED => format!("{} {count}", garment.block),
            _ => format!("{} {}", garment.block, names.join(", ")),
        };
        Some(said)
    });
    let garments: Vec<String> = garments.collect();
    let count = counted(open.len(), "choice");
    Some(format!(
        "{count} never settled, made {BY_HOUSE}: {}",
        garments.join("; ")
    ))
}

/// Tells whether the rest of a line, after a value, says that the house's usual was agreed to.
pub(super) fn says_by_house(rest: &str) -> bool {
    let comment = rest.trim_start().strip_prefix('#');
    comment.is_some_and(|words| words.trim().starts_with(BY_HOUSE))
}

#[cfg(test)]
mod tests {
    use super::super::parse;
    use super::*;
    use crate::diagnostic::Source;
    use std::path::Path;

    fn order(garment: &str) -> Order {
        let text = format!(
            "[client]\nname = \"A. Client\"\n[measures]\nheight = 176\nchest = 100\nwaist = 88\nseat = 103\n\
             neck = 40\n[cloth]\nname = \"worsted\"\nwidth = 150\n{garment}"
        );
        let source = Source::new("a.toml", text);
        parse("a", &source, Path::new("")).unwrap().order
    }

    #[test]
    fn what_is_written_is_settled_and_the_rest_is_told() {
        let catalogue = Catalogue::embedded();
        let order = order(
            "[jacket]\nlapel = \"peak\"\nvent = \"centre\" # as the house does\nvent_length = \"drafted\"\n",
        );
        let how = |choice| settled(&order, "jacket", choice);
        assert_eq!(how("lapel"), Some(Settled::Said));
        assert_eq!(how("vent"), Some(Settled::ByHouse));
        assert_eq!(how("vent_length"), Some(Settled::ByHouse));
        assert_eq!(how("gorge"), None);
        let open = unsettled(&order, &catalogue);
        assert!(open.iter().all(|(garment, _)| garment == "jacket"));
        assert!(open.iter().any(|(_, choice)| choice == "gorge"));
        assert!(!open.iter().any(|(_, choice)| choice == "lapel"));
        // It has no meaning without slanted pockets.
        assert!(!open.iter().any(|(_, choice)| choice == "hip_pocket_slant"));
        let told = never_settled(&order, &catalogue).unwrap();
        let count = open.len();
        assert_eq!(
            told,
            format!("{count} choices never settled, made as the house does: jacket {count}")
        );
    }

    #[test]
    fn a_few_are_named() {
        let catalogue = Catalogue::embedded();
        let choices = catalogue.choices("waistcoat").unwrap();
        let bare = order("[waistcoat]\n");
        let mut all = String::from("[waistcoat]\n");
        for declared in &choices.0 {
            let usual = bare.garments[0].style.get(&declared.name);
            if let Some(usual) = usual.filter(|_| declared.name != "strap") {
                let usual = super::super::starter::written(usual, bare.unit);
                all += &format!("{} = {usual}\n", declared.name);
            }
        }
        let told = never_settled(&order(&all), &catalogue).unwrap();
        assert_eq!(
            told,
            "1 choice never settled, made as the house does: waistcoat strap"
        );
    }
}
