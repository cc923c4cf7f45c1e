//! The baste: what the fitting says, by place, and what it moves on the pieces that are cut.

use crate::order::alterations::Alteration;
use crate::order::corrections::correction;
use crate::sheets::words::{capital, spaced};
use crate::talk::baste::{self, MovedGarment, Said};
use crate::talk::drawn::Suit;
use crate::talk::reading::{Reading, in_words};
use crate::talk::seen::Seen;
use crate::talk::state::{Now, Talk};
use maud::{Markup, PreEscaped, html};

/// Writes the form of a fitting.
pub(super) fn form(now: &Now) -> Markup {
    let order = now.shown.as_ref().map(|(order, _)| order);
    let earlier = order
        .map(|order| order.fittings.as_slice())
        .unwrap_or_default();
    html! {
        @if !earlier.is_empty() {
            ul.earlier {
                @for fitting in earlier {
                    li { b { (fitting.date) } " " (fitting.lines(now.reading.unit()).join("; ")) }
                }
            }
        }
        form #baste {
            div.field {
                label for="date" { "Day of the fitting" }
                input #date name="date" type="date" required;
            }
            p.about { "Press a ring on the garment, or fill in the list; the seams that move are told at once." }
            div #moved role="status" aria-label="What the fitting moves" {}
            div.alterations {
                @for ways in baste::places() { (altered(&ways, &now.reading)) }
            }
            div.field { label for="notes" { "Notes" } textarea #notes name="notes" rows="2" {} }
            button type="submit" { "Write it down" }
        }
    }
}

/// Writes one place at which a garment is altered, one way or the other, and on which side.
fn altered(ways: &[&Alteration], reading: &Reading) -> Markup {
    let Some(first) = ways.first() else {
        return html! {};
    };
    let sided = correction(first.correction).is_some_and(|(correction, _)| correction.sided);
    let place = spaced(first.correction);
    html! {
        fieldset.altered data-place=(first.correction) {
            legend { (capital(&place)) }
            select name="key" aria-label={ "What is done: " (place) } {
                @for way in ways { option value=(way.name) { (capital(&spaced(way.name))) } }
            }
            input name="amount" inputmode="decimal" autocomplete="off" placeholder=(reading.unit().name()) aria-label={ "Amount: " (place) };
            @if sided {
                select name="side" aria-label={ "Side: " (place) } {
                    option value="" { "both" }
                    option value="left" { "left" }
                    option value="right" { "right" }
                }
            }
        }
    }
}

/// Writes what a fitting would move: the seams in words, and the new garments over the old ones.
pub(in crate::talk) fn moved(talk: &Talk, now: &Now, said: &Said) -> (String, String) {
    match tried(talk, now, said) {
        Ok((reading, moved)) => {
            let over = html! { @for garment in &moved { (over(talk, (&now.reading, &reading), &garment.garment)) } };
            (seams(&moved).into_string(), over.into_string())
        }
        Err(why) => (html! { p.fault { (why) } }.into_string(), String::new()),
    }
}

fn tried(talk: &Talk, now: &Now, said: &Said) -> Result<(Reading, Vec<MovedGarment>), String> {
    let answered = baste::with(&now.reading, said)?;
    let reading = talk.read(&answered.text);
    let fault = reading.faults().first().map(|fault| in_words(fault));
    let (Some(before), Some(after)) = (&now.reading.drafted, &reading.drafted) else {
        return Err(fault.unwrap_or_else(|| "it cannot be drafted".to_owned()));
    };
    let moved = baste::moved(&reading, before, after)?;
    Ok((reading, moved))
}

/// Writes the seams that move.
fn seams(moved: &[MovedGarment]) -> Markup {
    html! {
        @if moved.is_empty() { p { "No seam of the cloth moves." } }
        @for garment in moved {
            h2 { (capital(&spaced(&garment.garment))) }
            @for (piece, seams, allowed) in &garment.pieces {
                h3 { (capital(piece)) " " @if !allowed { span.fault { "recut" } } }
                ul { @for seam in seams { li { (seam) } } }
            }
        }
    }
}

/// Lays the new garment, thick, over the old one, thin, from the front and the back.
fn over(talk: &Talk, (before, after): (&Reading, &Reading), garment: &str) -> Markup {
    let of = |from: &Reading, seen: Seen, prefix: &str| {
        let prefix = format!("{prefix}-{garment}-{}-", seen.word());
        Suit::in_lines(talk, from.drafted.as_ref()?).garment(garment, seen, &prefix)
    };
    html! {
        @for seen in Seen::WORN {
            figure.over {
                div.new { (PreEscaped(of(after, seen, "new").unwrap_or_default())) }
                div.was { (PreEscaped(of(before, seen, "was").unwrap_or_default())) }
            }
        }
    }
}
