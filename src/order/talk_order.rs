//! The order in which a house asks its questions in a talk: `[talk]` of its own `house.toml`.

use super::choices::Choices;
use super::reading::Findings;
use crate::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What is asked beside the choices of the garments: who it is for, what is made, and of what.
pub const ASKED: [&str; 5] = ["client", "garments", "cloth", "lining", "trimmings"];

/// The questions that a house asks first, in its order. The others follow as they usually do.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TalkOrder(pub Vec<String>);

impl TalkOrder {
    /// Returns the place of a question (`cloth`, `jacket.lapel`): that of its own name, else that of its garment; the
    /// last place for one that is not named.
    pub fn place(&self, at: &str) -> usize {
        let of = |name: &str| self.0.iter().position(|named| named == name);
        let garment = at.split_once('.').map(|(garment, _)| garment);
        of(at).or_else(|| of(garment?)).unwrap_or(self.0.len())
    }
}

/// A name of the list with its place in the file.
pub(super) type Named = (String, Range<usize>);

/// Takes `[talk]` out of a house file and reads its list; the names are checked once the garments are known.
pub(super) fn taken(table: &mut DeTable, findings: &mut Findings) -> Vec<Named> {
    let name = table.keys().find(|name| name.get_ref() == "talk").cloned();
    let Some(section) = name.and_then(|name| table.remove(&name)) else {
        return Vec::new();
    };
    let Some((section, _)) = findings.table("talk", section) else {
        return Vec::new();
    };
    let mut names = Vec::new();
    for (key, value) in section {
        let place = value.span();
        match (key.get_ref().as_ref(), value.into_inner()) {
            ("order", DeValue::Array(list)) => {
                names.extend(list.into_iter().filter_map(|one| read(one, findings)));
            }
            ("order", _) => findings.at(
                place,
                Diagnostic::error("`order` is a list of questions")
                    .help("order = [\"cloth\", \"jacket.fastening\", \"jacket\"]"),
            ),
            (other, _) => {
                let fault = Diagnostic::error(format!("`{other}` is not known in [talk]"));
                findings.at(key.span(), fault.suggest(other, ["order"]));
            }
        }
    }
    names
}

fn read(name: Spanned<DeValue>, findings: &mut Findings) -> Option<Named> {
    let place = name.span();
    if let DeValue::String(text) = name.into_inner() {
        return Some((text.into_owned(), place));
    }
    let fault = Diagnostic::error("a question is named by a text");
    findings.at(
        place,
        fault.help("\"cloth\", \"jacket\" or \"jacket.lapel\""),
    );
    None
}

/// Checks that every name is that of a question, and that none is named twice. A garment whose choices cannot be read
/// is told elsewhere.
pub(super) fn checked(
    named: Vec<Named>,
    garments: &BTreeMap<String, Result<Choices, Diagnostic>>,
    findings: &mut Findings,
) -> TalkOrder {
    let mut order = TalkOrder::default();
    for (name, place) in named {
        let garment = name
            .split_once('.')
            .map_or(name.as_str(), |(garment, _)| garment);
        let fault = match (garments.get(garment), name.split_once('.')) {
            _ if order.0.contains(&name) => {
                Some(Diagnostic::error(format!("`{name}` is named twice")).help("leave one out"))
            }
            (None, None) if ASKED.contains(&garment) => None,
            (Some(Ok(choices)), Some((_, choice))) if choices.get(choice).is_none() => {
                let known = choices.0.iter().map(|known| known.name.as_str());
                let fault = Diagnostic::error(format!("{garment} has no choice `{choice}`"));
                Some(fault.suggest(choice, known))
            }
            (Some(_), _) => None,
            (None, _) => {
                let known = ASKED.into_iter().chain(garments.keys().map(String::as_str));
                let fault = Diagnostic::error(format!("there is no question `{name}`"));
                Some(fault.suggest(garment, known))
            }
        };
        match fault {
            Some(fault) => findings.at(place, fault),
            None => order.0.push(name),
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::super::Catalogue;
    use super::*;
    use std::fs;

    fn opened(talk: &str) -> Result<Vec<String>, String> {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("house.toml"), talk).unwrap();
        let catalogue = Catalogue::open(Some(folder.path())).unwrap();
        let told = |all: Vec<Diagnostic>| format!("{} {:?}", all[0].message, all[0].help);
        catalogue.house().map_err(told)?;
        Ok(catalogue.talk_order().0.clone())
    }

    #[test]
    fn a_house_asks_in_its_own_order() {
        let list = "[talk]\norder = [\"jacket.lapel\", \"cloth\", \"trousers\"]\n";
        let order = TalkOrder(opened(list).unwrap());
        let places = [
            "jacket.lapel",
            "cloth",
            "trousers.top",
            "jacket.vent",
            "client",
        ];
        assert_eq!(places.map(|at| order.place(at)), [0, 1, 2, 3, 3]);
        assert_eq!(opened("[cloth]\ngap = 0.4\n").unwrap(), [""; 0]);
    }

    #[test]
    fn a_name_that_is_no_question_is_refused_where_it_stands() {
        for (list, told) in [
            ("[\"clot\"]", "cloth"),
            ("[\"jacket.lapell\"]", "lapel"),
            ("[\"jaket.lapel\"]", "jacket"),
            ("[\"cloth\", \"cloth\"]", "named twice"),
            ("[1]", "named by a text"),
            ("\"cloth\"", "is a list"),
        ] {
            let fault = opened(&format!("[talk]\norder = {list}\n")).unwrap_err();
            assert!(fault.contains(told), "{fault}");
        }
        assert!(
            opened("[talk]\nordre = []\n")
                .unwrap_err()
                .contains("order")
        );
    }
}
