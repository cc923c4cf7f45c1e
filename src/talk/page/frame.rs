//! What the page is written from, and where a window looks.

use crate::talk::length::Lengths;
use crate::talk::making::Making;
use crate::talk::questions::{Question, question};
use crate::talk::state::{Now, Talk};
use maud::{Markup, html};
use serde::Deserialize;

/// What the page is written from.
pub(in crate::talk) struct Frame<'a> {
    /// The talk.
    pub talk: &'a Talk,
    /// The lengths of cloth that are found.
    pub lengths: &'a Lengths,
    /// The work that goes on.
    pub making: &'a Making,
    /// The key that every address bears.
    pub key: &'a str,
}

/// Writes what the head of every page holds: its title, and the script that runs it.
pub(super) fn head(frame: &Frame, title: &str, script: &str) -> Markup {
    html! {
        meta charset="utf-8";
        meta name="viewport" content="width=device-width, initial-scale=1";
        title { (title) }
        link rel="icon" href="data:,";
        link rel="stylesheet" href={ "/files/talk.css?key=" (frame.key) };
        script type="module" src={ "/files/" (script) "?key=" (frame.key) } {}
    }
}

/// Where a window looks.
#[derive(Debug, Clone, Default, Deserialize)]
pub(in crate::talk) struct Looking {
    /// The question; the first that is open where none is named.
    #[serde(default)]
    pub at: String,
    /// The garment and its side, as in `jacket.back`; `all`; or nothing for what the question is about.
    #[serde(default)]
    pub show: String,
}

/// A question with its place among the others.
pub(super) struct Placed {
    /// The question.
    pub question: Question,
    /// Its number, from 1; 0 for a form beside the talk.
    pub number: usize,
    /// How many there are.
    pub count: usize,
    /// The address of the question before it.
    pub before: Option<String>,
    /// The address of the question after it.
    pub after: Option<String>,
}

/// Finds the question at which a window looks.
pub(super) fn placed(now: &Now, all: &[Question], at: &str) -> Option<Placed> {
    let count = all.len();
    let found = all.iter().position(|asked| asked.at == at);
    if found.is_none()
        && let Some(question) = question(&now.reading, at)
    {
        return Some(Placed {
            question,
            number: 0,
            count,
            before: None,
            after: all
                .iter()
                .find(|asked| !asked.settled)
                .map(|asked| asked.at.clone()),
        });
    }
    let open = || all.iter().position(|asked| !asked.settled);
    let i = found.or_else(open).unwrap_or_default();
    let address = |n: Option<usize>| n.and_then(|n| all.get(n)).map(|asked| asked.at.clone());
    Some(Placed {
        question: all.get(i)?.clone(),
        number: i + 1,
        count,
        before: address(i.checked_sub(1)),
        after: address(Some(i + 1)),
    })
}
