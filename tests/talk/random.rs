//! A talk in which anything is done in any order, with edits from outside between: the file always holds what was said
//! last, it can always be read unless the edit spoilt it, and a refusal changes nothing.

use super::client::{Served, begin, example, until};
use crate::program::asked;
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

/// Steps of the talk; `CHALKSTRIPE_STEPS` asks for more, and `CHALKSTRIPE_SEED` for others.
const STEPS: u64 = 60;
const SEED: u64 = 20_261_201;

/// Questions, each with what is said: words of its own, and words that it must refuse or carry unharmed.
const SAID: [(&str, &[&str]); 9] = [
    ("jacket.lapel", &["peak", "notch", "shawl", "xyzzy", ""]),
    ("jacket.fastening", &["one", "two", "six_two", "nine"]),
    ("jacket.vent", &["centre", "side", "none", "\"]\n[jacket"]),
    ("jacket.lapel_width", &["8", "9.5", "80", "wide"]),
    ("trousers.bottoms", &["plain", "turn_ups", "# plain"]),
    ("trousers.top", &["belt_loops", "side_adjusters", "braces"]),
    ("measures.chest", &["99", "101.5", "9", "1e9", "forty"]),
    (
        "client.name",
        &["Edmund Farrow", "<b>\"E\" & \\F\\</b>", "Ünal ’Ø"],
    ),
    ("nothing.at_all", &["1"]),
];

/// A multiplicative generator (Park and Miller, from memory): its steps are the same everywhere.
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        (self.0 >> 7) as usize % count
    }
}

/// What the file says at a dotted place.
fn at(text: &str, place: &str) -> Option<toml::Value> {
    let (section, key) = place.split_once('.')?;
    let whole: toml::Table = text.parse().ok()?;
    whole.get(section)?.get(key).cloned()
}

/// Whether a value is what was said: a number may be written as one.
fn is_said(value: &toml::Value, said: &str) -> bool {
    match value {
        toml::Value::String(text) => text == said,
        toml::Value::Integer(number) => said.parse() == Ok(*number),
        toml::Value::Float(number) => said.parse() == Ok(*number),
        _ => false,
    }
}

fn text(folder: &Path) -> String {
    fs::read_to_string(folder.join("a.toml")).unwrap()
}

struct Random {
    served: Served,
    dice: Dice,
    /// Whether an edit from outside has spoilt the file.
    spoilt: bool,
}

impl Random {
    /// Does what is no answer; some of it is done to a question.
    fn act(&self, what: &str, place: &str) -> Value {
        let mut act = json!({ "do": what, "look": { "at": place } });
        if ["house", "open"].contains(&what) {
            act["at"] = json!(place);
        }
        self.served.act(&act)
    }

    fn answer(&mut self, folder: &Path) {
        let (place, words) = SAID[self.dice.below(SAID.len())];
        let said = words[self.dice.below(words.len())];
        let before = text(folder);
        let answer = self.served.answer(place, said);
        let after = text(folder);
        if answer["refused"] == true {
            assert_eq!(before, after, "{place} = {said} was refused: {answer}");
        } else {
            let value = at(&after, place);
            let kept = value.as_ref().is_some_and(|value| is_said(value, said));
            assert!(kept || said.is_empty(), "{place} = {said} became {value:?}");
        }
    }

    /// Undoes a step: what an edit spoilt is whole again then, unless there is nothing before it.
    fn undo(&mut self, folder: &Path) {
        let undone = self.act("undo", "jacket.vent");
        if undone["refused"] == false {
            self.spoilt = false;
        }
        assert!(self.spoilt || text(folder).parse::<toml::Table>().is_ok());
    }

    /// Changes the file as an editor does, and waits until the talk has seen it.
    fn edit(&mut self, folder: &Path, count: u64) {
        let was = text(folder);
        let name = format!("Edited {count}");
        let old = at(&was, "client.name");
        let edited = match self.dice.below(3) {
            0 if !self.spoilt => {
                self.spoilt = true;
                format!("{was}\n[client\nname = = \"{name}\"\n")
            }
            _ if self.spoilt => {
                self.spoilt = false;
                let (good, _) = was.rsplit_once("\n[client\n").unwrap();
                format!("{good}\n# {name}\n")
            }
            _ => match old {
                Some(old) if was.contains(&old.to_string()) => {
                    was.replacen(&old.to_string(), &format!("\"{name}\""), 1)
                }
                _ => format!("{was}\n# {name}\n"),
            },
        };
        fs::write(folder.join("a.toml"), &edited).unwrap();
        let shown = |page: &str| match self.spoilt {
            true => page.contains("fault"),
            false => !edited.contains(&format!("\"{name}\"")) || page.contains(&name),
        };
        until("the edit is seen", || {
            shown(&self.served.get("/pieces?at=client").text())
        });
    }
}

#[test]
fn whatever_is_done_in_whatever_order_the_file_says_it() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let order = example(folder, "plain-worsted");
    fs::write(folder.join("a.toml"), order).unwrap();
    let mut talk = Random {
        served: begin(folder, "a.toml"),
        dice: Dice(asked("CHALKSTRIPE_SEED").unwrap_or(SEED)),
        spoilt: false,
    };
    for step in 0..asked("CHALKSTRIPE_STEPS").unwrap_or(STEPS) {
        match talk.dice.below(12) {
            0..6 => talk.answer(folder),
            6 => {
                let (before, spoilt) = (text(folder), talk.spoilt);
                talk.undo(folder);
                if text(folder) != before && !spoilt {
                    talk.act("redo", "jacket.lapel");
                    assert_eq!(text(folder), before, "undone and done again");
                }
            }
            7 => talk.undo(folder),
            8 => drop(talk.act("house", "jacket.vent")),
            9 => drop(talk.act("open", "trousers.bottoms")),
            10 => drop(talk.act("rest", "trousers.top")),
            _ => talk.edit(folder, step),
        }
        let read = text(folder).parse::<toml::Table>();
        assert_eq!(read.is_err(), talk.spoilt, "step {step}: {read:?}");
    }
}
