//! The state of a talk: the order's file, its history, and what was kept aside.

use super::answers::{self, Answer, Answered};
use super::file::{OrderFile, Unwritten};
use super::history::History;
use super::pictures::Pictures;
use super::reading::{Reading, in_words};
use super::text;
use crate::diagnostic::{Diagnostic, Source, unwritten};
use crate::job::Drafted;
use crate::order::{self, Catalogue, Order};
use crate::workshop::Workshops;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// An order as it stands in a talk.
#[derive(Debug)]
pub(super) struct Now {
    /// Counts the changes, also those made elsewhere.
    pub revision: u64,
    /// The order's text and what follows from it.
    pub reading: Reading,
    /// The last order that could be drafted, with its draft.
    pub shown: Option<(Order, Arc<Drafted>)>,
    /// Whether there is something to undo, and to do again.
    pub ways: (bool, bool),
}

/// An answer that was kept aside while another is tried.
#[derive(Debug, Clone)]
pub(super) struct Aside {
    /// The question.
    pub at: String,
    /// The answer, as the order has it.
    pub said: String,
    /// The order as it was with it, in its own cloth.
    pub order: Order,
    /// The garments as they were with it.
    pub drafted: Arc<Drafted>,
}

/// A talk about one order.
pub(super) struct Talk {
    file: OrderFile,
    /// The order's name, after its file.
    name: String,
    workshops: Workshops,
    /// Where the folder of the order's sheets goes.
    pub out: PathBuf,
    /// Held while something is changed, so that changes come one after another.
    turn: Mutex<History>,
    now: Mutex<Arc<Now>>,
    aside: Mutex<Option<Aside>>,
    /// What was drawn last.
    pub pictures: Pictures,
    changed: Hears,
}

/// Hears of each change.
pub(super) type Hears = Box<dyn Fn(&Arc<Now>) + Send + Sync>;

/// What came of a change: the order as it stands now, and what is to be told.
pub(super) type Changed = (Arc<Now>, String);

impl Talk {
    /// Takes up an order's file, or begins a new one. `changed` is called after each change with the order as it
    /// stands.
    ///
    /// # Errors
    /// Returns a fault where the file is in use or cannot be read or written.
    pub(super) fn begin(path: &Path, out: &Path, changed: Hears) -> Result<Self, Diagnostic> {
        let file = OrderFile::hold(path, || order::starter(&Catalogue::embedded()))?;
        let (name, workshops) = (order::name_of(path), Workshops::default());
        let reading = Reading::of(&file.read()?, &name, file.folder(), &workshops);
        let now = Now {
            revision: 0,
            shown: shown(&reading),
            reading,
            ways: (false, false),
        };
        Ok(Self {
            file,
            name,
            workshops,
            out: out.to_owned(),
            turn: Mutex::default(),
            now: Mutex::new(Arc::new(now)),
            aside: Mutex::default(),
            pictures: Pictures::default(),
            changed,
        })
    }

    /// Returns the order as it stands.
    pub(super) fn now(&self) -> Arc<Now> {
        held(&self.now).clone()
    }

    /// Returns the order's name.
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// Returns the folder of the order's sheets.
    pub(super) fn sheets(&self) -> PathBuf {
        self.out.join(&self.name)
    }

    /// Returns what was kept aside.
    pub(super) fn aside(&self) -> Option<Aside> {
        held(&self.aside).clone()
    }

    /// Keeps the answer to a question aside, or forgets what was kept.
    pub(super) fn keep_aside(&self, aside: Option<Aside>) {
        *held(&self.aside) = aside;
    }

    /// Writes an answer into the order. One that would keep the order from being made is not written.
    ///
    /// # Errors
    /// Returns in words why it was not written.
    pub(super) fn answer(&self, at: &str, answer: &Answer) -> Result<Changed, String> {
        self.change(&|reading| answers::answered(reading, at, answer))
    }

    /// Tries an answer without writing it, and returns what would be found.
    ///
    /// # Errors
    /// Returns in words why it cannot be an answer.
    pub(super) fn tried(&self, at: &str, answer: &Answer) -> Result<Reading, String> {
        let now = self.now();
        let answered = answers::answered(&now.reading, at, answer)?;
        Ok(self.read(&answered.text))
    }

    /// Settles everything that is open as the house does.
    ///
    /// # Errors
    /// Returns in words why it was not written.
    pub(super) fn settle_rest(&self) -> Result<Changed, String> {
        self.change(&answers::rest_by_house)
    }

    /// Changes the order's text by an edit.
    ///
    /// # Errors
    /// Returns in words why it was not written.
    pub(super) fn change(
        &self,
        edit: &dyn Fn(&Reading) -> Result<Answered, String>,
    ) -> Result<Changed, String> {
        let mut history = held(&self.turn);
        let now = self.now();
        let answered = edit(&now.reading)?;
        if answered.text == now.reading.source.text {
            return Ok((now, String::new()));
        }
        let next = self.read(&answered.text);
        no_worse(&now.reading, &next)?;
        self.replace(&mut history, &now, &answered.text)?;
        history.push(&now.reading.source.text, &answered.text);
        let told = match answered.dropped.as_slice() {
            [] => String::new(),
            dropped => format!(
                "{} no longer applies and was taken out.",
                dropped.join(", ")
            ),
        };
        Ok((self.put(&history, next), told))
    }

    /// Undoes the last change, or does again what was undone last. A text that an edit elsewhere had spoilt is passed
    /// over: no answer could be written into it.
    ///
    /// # Errors
    /// Returns in words why it was not written.
    pub(super) fn step(&self, back: bool) -> Result<Changed, String> {
        let mut history = held(&self.turn);
        let now = self.now();
        let nothing = match back {
            true => "there is nothing to undo",
            false => "there is nothing to do again",
        };
        let (to, stepped) = history
            .stepped(&now.reading.source.text, back, text::is_readable)
            .ok_or(nothing)?;
        let next = self.read(&to);
        self.replace(&mut history, &now, &to)?;
        *history = stepped;
        Ok((self.put(&history, next), String::new()))
    }

    /// Reads the file again if it was changed elsewhere; tells whether it was.
    pub(super) fn look(&self) -> bool {
        let mut history = held(&self.turn);
        self.read_again(&mut history)
    }

    fn read_again(&self, history: &mut MutexGuard<History>) -> bool {
        let now = self.now();
        let source = match self.file.read() {
            Ok(source) if source.text != now.reading.source.text => source,
            _ => return false,
        };
        history.push(&now.reading.source.text, &source.text);
        let next = self.read(&source.text);
        self.put(history, next);
        true
    }

    fn replace(
        &self,
        history: &mut MutexGuard<History>,
        now: &Now,
        text: &str,
    ) -> Result<(), String> {
        match self.file.replace(&now.reading.source.text, text) {
            Ok(()) => Ok(()),
            Err(Unwritten::Changed) => {
                let read = self.read_again(history);
                Err(match read {
                    true => "the order was changed in another program meanwhile, and has been read again: nothing was written over; answer again".to_owned(),
                    false => "the order's file cannot be read any more: nothing was written".to_owned(),
                })
            }
            Err(Unwritten::Failed(error)) => {
                let fault = unwritten("the answer", self.file.named(), &error);
                Err(in_words(&fault))
            }
        }
    }

    /// Returns what follows from a text of the order.
    pub(super) fn read(&self, text: &str) -> Reading {
        let source = Source::new(self.file.named().display().to_string(), text);
        Reading::of(&source, &self.name, self.file.folder(), &self.workshops)
    }

    fn put(&self, history: &History, reading: Reading) -> Arc<Now> {
        let before = self.now();
        let now = Arc::new(Now {
            revision: before.revision + 1,
            shown: shown(&reading).or_else(|| before.shown.clone()),
            reading,
            ways: history.ways(),
        });
        *held(&self.now) = now.clone();
        (self.changed)(&now);
        now
    }
}

/// Returns an order that can be drafted, with its draft.
fn shown(reading: &Reading) -> Option<(Order, Arc<Drafted>)> {
    reading.order.clone().zip(reading.drafted.clone())
}

/// Refuses a change that brings a fault. One in an order that has as many before is not to blame.
fn no_worse(before: &Reading, after: &Reading) -> Result<(), String> {
    let (old, new) = (before.faults(), after.faults());
    match new.first() {
        Some(_) if new.len() <= old.len() => Ok(()),
        Some(first) => {
            let known = |fault: &&&Diagnostic| old.iter().any(|old| old.message == fault.message);
            let fault = new.iter().find(|fault| !known(fault)).unwrap_or(first);
            Err(in_words(fault))
        }
        None => Ok(()),
    }
}

/// Takes a lock; what a thread that panicked held is still whole, as it is only ever exchanged.
pub(super) fn held<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn talk(folder: &Path, example: &str) -> Talk {
        let path = folder.join("a.toml");
        fs::copy(format!("examples/{example}.toml"), &path).unwrap();
        Talk::begin(&path, folder, Box::new(|_| ())).unwrap()
    }

    fn said(words: &str) -> Answer {
        Answer::Said(words.to_owned())
    }

    #[test]
    fn an_answer_is_written_undone_and_done_again() {
        let folder = tempfile::tempdir().unwrap();
        let talk = talk(folder.path(), "plain-worsted");
        let text = || fs::read_to_string(folder.path().join("a.toml")).unwrap();
        let before = text();
        talk.answer("jacket.lapel", &said("peak")).unwrap();
        let after = text();
        assert!(after.contains("lapel = \"peak\""), "{after}");
        talk.step(true).unwrap();
        assert_eq!(text(), before);
        talk.step(false).unwrap();
        assert_eq!(text(), after);
        assert_eq!(
            talk.step(false).unwrap_err(),
            "there is nothing to do again"
        );
    }

    #[test]
    fn what_cannot_be_is_not_written() {
        let folder = tempfile::tempdir().unwrap();
        let talk = talk(folder.path(), "plain-worsted");
        let before = talk.now().reading.source.text.clone();
        for (at, words) in [
            ("jacket.lapel", "wavy"),
            ("jacket.lapel_width", "40"),
            ("jacket.nothing", "1"),
            ("measures.chest", "1000"),
            ("cloth.nap", "sideways"),
            ("house.cloth.gap", "1"),
            ("client.name", ""),
        ] {
            assert!(talk.answer(at, &said(words)).is_err(), "{at} {words}");
        }
        assert_eq!(talk.now().reading.source.text, before);
        assert_eq!(talk.now().revision, 0);
    }

    #[test]
    fn an_answer_takes_out_what_has_no_meaning_any_more() {
        let folder = tempfile::tempdir().unwrap();
        let talk = talk(folder.path(), "plain-worsted");
        talk.answer("jacket.hip_pocket", &said("flapped")).unwrap();
        talk.answer("jacket.hip_pocket_angle", &said("slanted"))
            .unwrap();
        talk.answer("jacket.hip_pocket_slant", &said("3")).unwrap();
        let (now, told) = talk.answer("jacket.hip_pocket", &said("patch")).unwrap();
        assert!(
            told.starts_with("hip pocket angle, hip pocket slant"),
            "{told}"
        );
        assert_eq!(now.reading.faults(), Vec::<&Diagnostic>::new());
        talk.step(true).unwrap();
        assert!(
            talk.now()
                .reading
                .source
                .text
                .contains("hip_pocket_slant = 3")
        );
    }

    #[test]
    fn a_change_made_elsewhere_is_read_and_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let talk = talk(folder.path(), "plain-worsted");
        let path = folder.path().join("a.toml");
        let edited = fs::read_to_string(&path)
            .unwrap()
            .replace("[jacket]", "[jacket]\ngorge = \"high\"");
        fs::write(&path, &edited).unwrap();
        let told = talk.answer("jacket.lapel", &said("peak")).unwrap_err();
        assert!(told.contains("changed in another program"), "{told}");
        assert_eq!(fs::read_to_string(&path).unwrap(), edited);
        assert_eq!(talk.now().reading.source.text, edited);
        talk.answer("jacket.lapel", &said("peak")).unwrap();
        assert!(
            fs::read_to_string(&path)
                .unwrap()
                .contains("gorge = \"high\"")
        );
        assert!(!talk.look());
    }

    #[test]
    fn the_rest_is_settled_as_the_house_does() {
        let folder = tempfile::tempdir().unwrap();
        let talk = talk(folder.path(), "three-piece");
        let drafts = |of: &Talk| of.now().reading.drafted.clone().unwrap().drafts.clone();
        let before = drafts(&talk);
        let (now, _) = talk.settle_rest().unwrap();
        let order = now.reading.order.clone().unwrap();
        let catalogue = &now.reading.workshop.catalogue;
        assert_eq!(order::settling::unsettled(&order, catalogue), []);
        assert_eq!(drafts(&talk), before, "nothing else was chosen");
        assert!(
            now.reading
                .source
                .text
                .contains("gorge = \"classic\" # as the house does")
        );
    }
}
