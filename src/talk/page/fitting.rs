//! The baste: what the fitting says, by place, and what it moves on the pieces that are cut.

use crate::order::fields::Field;
use crate::sheets::words::{capital, spaced};
use crate::talk::baste::{self, MovedGarment, Said};
use crate::talk::drawn::{self, Seen};
use crate::talk::reading::Reading;
use crate::talk::state::{Now, Talk};
use maud::{Markup, PreEscaped, html};

/// Writes the form of a fitting.
pub(super) fn form(now: &Now, fields: &[Field]) -> Markup {
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
            div.alterations {
                @for field in fields {
                    fieldset.altered data-key=(field.key) {
                        legend { (capital(&spaced(field.key))) }
                        input name="amount" inputmode="decimal" autocomplete="off" aria-label={ (field.about) " (" (baste::unit_of(&now.reading)) ")" };
                        select name="side" aria-label={ "Side: " (spaced(field.key)) } {
                            option value="" { "both" }
                            option value="left" { "left" }
                            option value="right" { "right" }
                        }
                    }
                }
            }
            div.field { label for="notes" { "Notes" } textarea #notes name="notes" rows="2" {} }
            button type="submit" { "Write it down" }
        }
        div #moved role="status" aria-label="What the fitting moves" {}
    }
}

/// Writes what a fitting would move.
pub(in crate::talk) fn moved(talk: &Talk, now: &Now, said: &Said) -> String {
    let piece = match tried(talk, now, said) {
        Ok((reading, moved)) => seams(&reading, now, &moved),
        Err(why) => html! { p.fault { (why) } },
    };
    piece.into_string()
}

fn tried(talk: &Talk, now: &Now, said: &Said) -> Result<(Reading, Vec<MovedGarment>), String> {
    let answered = baste::with(&now.reading, said)?;
    let reading = talk.read(&answered.text);
    let fault = reading
        .faults()
        .first()
        .map(|fault| crate::talk::state::in_words(fault));
    let (Some(before), Some(after)) = (&now.reading.drafted, &reading.drafted) else {
        return Err(fault.unwrap_or_else(|| "it cannot be drafted".to_owned()));
    };
    let moved = baste::moved(&reading, before, after)?;
    Ok((reading, moved))
}

/// Writes the seams that move, with the old and the new garment.
fn seams(reading: &Reading, now: &Now, moved: &[MovedGarment]) -> Markup {
    html! {
        @if moved.is_empty() { p { "No seam of the cloth moves." } }
        @for garment in moved {
            section {
                h2 { (capital(&spaced(&garment.garment))) }
                (over(reading, now, &garment.garment))
                @for (piece, seams, allowed) in &garment.pieces {
                    h3 { (capital(piece)) " " @if !allowed { span.fault { "recut" } } }
                    ul { @for seam in seams { li { (seam) } } }
                }
            }
        }
    }
}

/// Lays the new garment, thick, over the old one, thin.
fn over(reading: &Reading, now: &Now, garment: &str) -> Markup {
    let of = |reading: &Reading, prefix: &str| {
        let (order, drafted) = (reading.order.as_ref()?, reading.drafted.as_ref()?);
        let draft = drafted
            .drafts
            .iter()
            .find(|draft| draft.garment == garment)?;
        drawn::garment(draft, order, Seen::Back, prefix)
    };
    html! {
        div.over aria-hidden="true" {
            div.new { (PreEscaped(of(reading, &format!("new-{garment}-")).unwrap_or_default())) }
            div.was { (PreEscaped(of(&now.reading, &format!("was-{garment}-")).unwrap_or_default())) }
        }
    }
}
