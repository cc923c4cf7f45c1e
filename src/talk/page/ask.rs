//! One question: what is asked, the words with their pictures, and what stands.

use super::frame::{Frame, Placed};
use super::{fitting, forms};
use crate::order::choices::{Declared, DefaultChoice, Domain};
use crate::sheets::words::spaced;
use crate::talk::questions::{Ask, FITTING};
use crate::talk::seen::Seen;
use crate::talk::state::Now;
use crate::talk::ways::{self, Tried, Way};
use maud::{Markup, PreEscaped, html};

/// Writes a question.
pub(super) fn ask(frame: &Frame, now: &Now, placed: &Placed) -> Markup {
    let asked = &placed.question;
    let about = asked.garment.as_deref().map(spaced);
    let beside = frame.talk.aside().is_some_and(|aside| aside.at == asked.at);
    let choice = matches!(asked.ask, Ask::Choice(_));
    html! {
        p.place {
            @if let Some(before) = &placed.before { button.link type="button" data-go=(before) { "← Back" } "  " }
            @if placed.number > 0 { (placed.number) " of " (placed.count) }
            @if let Some(garment) = about { " · " (garment) }
            @if choice && asked.settled { " · settled" }
        }
        h1 #question tabindex="-1" { (asked.heading) }
        @if !asked.about.is_empty() { p.about { (asked.about) } }
        @match &asked.ask {
            Ask::Choice(declared) => (choices(now, placed, declared)),
            Ask::Garments => (forms::garments(now)),
            Ask::Form(_) if asked.at == FITTING => (fitting::form(now)),
            Ask::Form(fields) => (forms::form(now, &asked.at, fields)),
        }
        div.steps {
            @if choice {
                button.link type="button" data-act="house" { "As the house does" }
                @if asked.settled { button.link type="button" data-act="open" { "Not yet" } }
                @if !beside { button.link type="button" data-act="aside" { "Keep this aside" } }
            }
            @if let Some(after) = &placed.after { button.next type="button" data-go=(after) { "Next →" } }
        }
    }
}

/// Writes the words of a choice, or a field for a number. The pictures follow when each way has been tried.
fn choices(now: &Now, placed: &Placed, declared: &Declared) -> Markup {
    let ways = ways::words(now, &placed.question);
    let stands = ways::stands(now, &placed.question, declared);
    let number = !matches!(declared.domain, Domain::Word(_) | Domain::Flag);
    let drafted = declared.default == DefaultChoice::Drafted && !placed.question.settled;
    html! {
        div #ways data-tried="no" aria-busy="true" { (list(&ways, None)) }
        @if number {
            form.number data-field=(placed.question.at) {
                label for="exact" { "Exactly" }
                input #exact name="said" inputmode="decimal" autocomplete="off" aria-describedby="bounds found"
                    value=[stands.as_ref()];
                button type="submit" { "Have it" }
                p #bounds { (declared.domain.described(now.reading.unit())) }
                p #found role="status" {}
            }
            @if drafted { p.about { "As the block draws it from the figure, unless it is given." } }
        }
    }
}

/// Writes the ways to answer, once each was tried.
pub(in crate::talk) fn ways(tried: &Tried) -> String {
    list(&tried.ways, tried.seen).into_string()
}

fn list(ways: &[Way], seen: Option<Seen>) -> Markup {
    html! {
        ul.ways data-seen=[seen.map(Seen::word)] {
            @for (i, way) in ways.iter().enumerate() {
                li { (one(i, way)) }
            }
        }
    }
}

fn one(i: usize, way: &Way) -> Markup {
    let pressed = if way.chosen { "true" } else { "false" };
    let refused = way.refused.as_ref().map(|_| "true");
    // A screen reader says the word and what it means; the picture shows the same.
    html! {
        button.way.usual[way.usual] type="button" data-said=(way.said) aria-pressed=(pressed) aria-disabled=[refused] {
            span.picture aria-hidden="true" {
                @if let Some(picture) = &way.picture { (PreEscaped(picture)) }
            }
            span.name { @if i < 9 { kbd aria-hidden="true" { (i + 1) } " " } (way.name) }
            @match &way.refused {
                Some(why) => span.why { "not possible: " (why) },
                None => @if !way.about.is_empty() { span.means { (way.about) } },
            }
            span.adds {}
            @if way.usual { span.means { "(as the house does)" } }
        }
    }
}
