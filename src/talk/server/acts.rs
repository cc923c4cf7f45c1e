//! What can be done from the page.

use super::app::{App, Heard};
use crate::talk::answers::Answer;
use crate::talk::baste::{self, Said};
use crate::talk::making::Work;
use crate::talk::page::{self, Looking};
use crate::talk::questions::{Ask, question};
use crate::talk::state::Aside;
use crate::talk::ways;
use serde::Deserialize;
use serde_json::Value;
use std::sync::Arc;

/// One act, as the page sends it.
#[derive(Debug, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum Act {
    /// Answers a question or fills in a field.
    Answer {
        at: String,
        said: String,
        look: Looking,
    },
    /// Settles a question as the house does.
    House { at: String, look: Looking },
    /// Opens a question again.
    Open { at: String, look: Looking },
    /// Settles everything that is open as the house does.
    Rest { look: Looking },
    /// Undoes the last change.
    Undo { look: Looking },
    /// Does again what was undone last.
    Redo { look: Looking },
    /// Keeps the answer that stands aside.
    Aside { look: Looking },
    /// Takes the answer that was kept aside, or forgets it.
    Choose { kept: bool, look: Looking },
    /// Says what would be found if a field were filled in so; nothing is written.
    Try { at: String, said: String },
    /// Says what a fitting would move; nothing is written.
    Fit { said: Said },
    /// Writes a fitting down.
    Fitting { said: Said, look: Looking },
    /// Makes the sheets.
    Cut { look: Looking },
    /// Makes the drafting sheet.
    Draft { look: Looking },
    /// Stops the work that goes on.
    Stop { look: Looking },
    /// Writes what was agreed, for the client.
    Agree { look: Looking },
}

/// Does what the page asks for and returns what it shows then.
pub(super) fn done(app: &Arc<App>, act: Act) -> Value {
    // The draft has the machine to itself until it is drawn.
    app.pause();
    let talk = app.talk();
    let (outcome, look) = match act {
        Act::Answer { at, said, look } => (talk.answer(&at, &Answer::Said(said)), look),
        Act::House { at, look } => (talk.answer(&at, &Answer::AsTheHouseDoes), look),
        Act::Open { at, look } => (talk.answer(&at, &Answer::Open), look),
        Act::Rest { look } => (talk.settle_rest(), look),
        Act::Undo { look } => (talk.step(true), look),
        Act::Redo { look } => (talk.step(false), look),
        Act::Fitting { said, look } => (talk.change(&|reading| baste::with(reading, &said)), look),
        Act::Try { at, said } => return tried(app, &at, said),
        Act::Fit { said } => return fit(app, &said),
        Act::Choose { kept, look } => (chosen(app, kept), look),
        Act::Aside { look } => (
            keep_aside(app, &look).map(|()| (talk.now(), String::new())),
            look,
        ),
        Act::Cut { look } => (begin(app, Work::Cut), look),
        Act::Draft { look } => (begin(app, Work::Draft), look),
        Act::Stop { look } => {
            app.making.stop();
            (Ok((talk.now(), String::new())), look)
        }
        Act::Agree { look } => (
            page::agreed(talk)
                .map(|file| (talk.now(), format!("{file} was written for the client."))),
            look,
        ),
    };
    let (now, told, refused) = match outcome {
        Ok((now, told)) => (now, told, false),
        Err(why) => (talk.now(), why, true),
    };
    app.lengths.want(&now);
    page::pieces(&app.frame(), &now, &look, &told, refused)
}

/// Says what would be found if a field were filled in.
fn tried(app: &App, at: &str, said: String) -> Value {
    let told = match app.talk().tried(at, &Answer::Said(said)) {
        Ok(reading) => page::found_at(&reading, at),
        Err(why) => page::doubt(&why),
    };
    app.lengths.want(&app.talk().now());
    serde_json::json!({ "found": told })
}

/// Says what a fitting would move.
fn fit(app: &App, said: &Said) -> Value {
    let now = app.talk().now();
    app.lengths.want(&now);
    let (moved, over) = page::moved(app.talk(), &now, said);
    serde_json::json!({ "moved": moved, "over": over })
}

fn begin(app: &Arc<App>, work: Work) -> Result<(Arc<crate::talk::state::Now>, String), String> {
    if app.making.is_going() {
        return Err("the last piece of work goes on".to_owned());
    }
    let at_work = app.clone();
    std::thread::Builder::new()
        .spawn(move || at_work.make(work))
        .map_err(|error| format!("the work cannot begin: {error}"))?;
    Ok((app.talk().now(), String::new()))
}

/// Keeps the answer that stands to the question that is looked at aside.
fn keep_aside(app: &App, look: &Looking) -> Result<(), String> {
    let now = app.talk().now();
    let asked = question(&now.reading, &look.at).ok_or("there is no such question")?;
    let Ask::Choice(declared) = &asked.ask else {
        return Err("only a choice of a garment can be kept aside".to_owned());
    };
    let said = ways::stands(&now, &asked, declared).ok_or("nothing stands there yet")?;
    let (order, drafted) = now.shown.clone().ok_or("the order cannot be drafted yet")?;
    app.talk().keep_aside(Some(Aside {
        at: look.at.clone(),
        said,
        order,
        drafted,
    }));
    app.tell(Heard::Changed(now.revision));
    Ok(())
}

fn chosen(app: &App, kept: bool) -> Result<crate::talk::state::Changed, String> {
    let aside = app.talk().aside();
    app.talk().keep_aside(None);
    match aside.filter(|_| kept) {
        Some(aside) => app.talk().answer(&aside.at, &Answer::Said(aside.said)),
        None => Ok((app.talk().now(), String::new())),
    }
}
