//! The page as a whole, and its pieces as they change.

use super::frame::{Frame, Looking, head, placed};
use super::{ask, foot, suit};
use crate::talk::questions::questions;
use crate::talk::state::Now;
use maud::{DOCTYPE, PreEscaped, html};
use serde_json::{Value, json};

/// Writes every piece of the page that may have changed, with the number of the change and what is told.
pub(in crate::talk) fn pieces(
    frame: &Frame,
    now: &Now,
    look: &Looking,
    told: &str,
    refused: bool,
) -> Value {
    let all = questions(&now.reading);
    let placed = placed(now, &all, &look.at);
    let at = placed.as_ref().map(|placed| placed.question.at.clone());
    let ask = placed.as_ref().map(|placed| ask::ask(frame, now, placed));
    json!({
        "revision": now.revision,
        "at": at.unwrap_or_default(),
        "before": placed.as_ref().and_then(|placed| placed.before.clone()),
        "after": placed.as_ref().and_then(|placed| placed.after.clone()),
        "told": told,
        "refused": refused,
        "pieces": {
            "head": foot::head(frame, now).into_string(),
            "suit": suit::suit(frame, now, placed.as_ref(), look).into_string(),
            "ask": ask.unwrap_or_default().into_string(),
            "foot": foot::foot(frame, now, &all).into_string(),
        },
    })
}

/// Writes the page with everything in it, so that it can be used at once.
pub(in crate::talk) fn whole(frame: &Frame, look: &Looking) -> String {
    let now = frame.talk.now();
    let first = pieces(frame, &now, look, "", false);
    let piece = |name: &str| {
        let piece = first.get("pieces").and_then(|pieces| pieces.get(name));
        PreEscaped(piece.and_then(Value::as_str).unwrap_or_default().to_owned())
    };
    let said = |name: &str| first.get(name).and_then(Value::as_str);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                (head(frame, &format!("{} · talk", frame.talk.name()), "talk.js"))
                meta name="color-scheme" content="light dark";
            }
            body data-revision=(now.revision) data-at=[said("at")] data-before=[said("before")] data-after=[said("after")] {
                a.skip href="#question" { "To the question" }
                header #head { (piece("head")) }
                section #suit aria-label="The suit" { (piece("suit")) }
                main #ask { (piece("ask")) }
                footer #foot { (piece("foot")) }
                p #told role="status" aria-live="polite" {}
                dialog #keys aria-label="Keys" {
                    dl {
                        @for (key, does) in KEYS { div { dt { kbd { (key) } } dd { (does) } } }
                    }
                    form method="dialog" { button { "Close" } }
                }
                dialog #find aria-label="Find a question" {
                    form method="dialog" {
                        label for="sought" { "Which question?" }
                        input #sought list="names" autocomplete="off";
                        button { "Go there" }
                    }
                }
            }
        }
    };
    page.into_string()
}

/// The keys of the page, and what each does.
const KEYS: [(&str, &str); 12] = [
    ("1 to 9", "choose that word"),
    ("→ or n", "next question"),
    ("← or p", "question before"),
    ("h", "as the house does"),
    ("a", "keep this answer aside, or have it back"),
    ("u", "undo"),
    ("r", "do again"),
    ("/", "find a question by name"),
    ("f", "front or back"),
    ("z", "closer"),
    ("c", "cut"),
    ("?", "these keys"),
];
