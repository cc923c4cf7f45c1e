//! What was settled, to read back and agree on, on the page and as a PDF for the client.

use super::frame::{Frame, head};
use crate::diagnostic::unwritten;
use crate::job::Drafted;
use crate::order::choices::Choices;
use crate::order::{Order, Settled, settling};
use crate::sheets::words::capital;
use crate::sheets::{Sheet, Sheets, folder, html as page, ticket, views};
use crate::talk::drawn::{Suit, in_cloth};
use crate::talk::reading::in_words;
use crate::talk::seen::Seen;
use crate::talk::state::{Now, Talk};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::sync::Arc;

/// Name of the PDF for the client.
const AGREED: &str = "agreed.pdf";

/// Writes the page that is read back.
pub(in crate::talk) fn read_back(frame: &Frame) -> String {
    let now = frame.talk.now();
    let body = match &now.shown {
        Some((order, drafted)) if now.reading.drafted.is_some() => {
            settled(frame.talk, &now, order, drafted)
        }
        _ => html! { p { "The order has faults: nothing can be agreed yet." } },
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                (head(frame, "Read back", "read.js"))
            }
            body.read {
                nav.screen {
                    a href={ "/?key=" (frame.key) } { "← Back to the talk" } " "
                    button type="button" data-act="agree" { "Write it for the client" } " "
                    button type="button" data-act="print" { "Print" }
                    p #told role="status" {}
                }
                main { (body) }
            }
        }
    };
    page.into_string()
}

fn settled(talk: &Talk, now: &Now, order: &Order, drafted: &Arc<Drafted>) -> Markup {
    let choices = choices(now, order);
    let suit = Suit::new(talk, order, drafted);
    let sheets = sheets(order, drafted, &choices);
    let open = settling::unsettled(order, &now.reading.workshop.catalogue).len();
    let by_house = order
        .settled
        .values()
        .filter(|how| **how == Settled::ByHouse)
        .count();
    html! {
        header {
            h1 { (order.client.name) }
            p { (order.client.reference) @if !order.client.date.is_empty() { " · " (order.client.date) } }
        }
        div.pictures {
            @for seen in Seen::WORN {
                @if let Some(picture) = suit.together(seen, seen.word()) {
                    figure { (PreEscaped(picture)) figcaption { (capital(seen.word())) } }
                }
            }
        }
        div.sections { (PreEscaped(page::written(&ticket::agreed_sections(&sheets)))) }
        @if open > 0 { p { (open) " were never settled and are made as the house does." } }
        @if by_house > 0 { p { (by_house) " were left to the house." } }
        div.sign { p { "Approved by the client as written here: name, date" } p { "Cutter: name, date" } }
    }
}

/// Writes the PDF for the client into the folder of the order's sheets, and returns its name.
///
/// # Errors
/// Returns in words why it was not written.
pub(in crate::talk) fn agreed(talk: &Talk) -> Result<&'static str, String> {
    let now = talk.now();
    let (Some(order), Some(drafted)) = (&now.reading.order, &now.reading.drafted) else {
        return Err("the order has faults: nothing can be agreed yet".to_owned());
    };
    let choices = choices(&now, order);
    let cloth = in_cloth(talk, order, drafted);
    let views = views::of_order(&drafted.drafts, cloth.as_ref());
    let bytes = ticket::agreed(&Sheets {
        views: &views,
        cloth: cloth.as_ref(),
        ..sheets(order, drafted, &choices)
    });
    let sheet = Sheet::new(AGREED, bytes);
    let written = folder::write_all(&[sheet], &talk.sheets());
    written.map_err(|error| in_words(&unwritten("what was agreed", &talk.sheets(), &error)))?;
    Ok(AGREED)
}

fn choices<'a>(now: &'a Now, order: &Order) -> Vec<&'a Choices> {
    let garments = order.garments.iter();
    let catalogue = &now.reading.workshop.catalogue;
    garments
        .filter_map(|garment| catalogue.choices(&garment.block).ok())
        .collect()
}

fn sheets<'a>(order: &'a Order, drafted: &'a Drafted, choices: &'a [&'a Choices]) -> Sheets<'a> {
    Sheets {
        order,
        drafts: &drafted.drafts,
        pattern: &drafted.pattern,
        lays: &[],
        views: &[],
        cloth: None,
        choices,
    }
}
