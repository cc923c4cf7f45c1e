//! The suit, large: the garment that the question is about, or all; two side by side while one is kept aside.

use super::faults::faults;
use super::frame::{Frame, Looking, Placed};
use crate::order::Order;
use crate::sheets::words::{capital, spaced};
use crate::talk::drawn::Suit;
use crate::talk::questions::FITTING;
use crate::talk::seen::Seen;
use crate::talk::state::{Aside, Now};
use maud::{Markup, PreEscaped, html};

/// What is shown: one garment from one side, or all of them from one side.
struct Show {
    garment: Option<String>,
    seen: Seen,
}

impl Show {
    fn of(look: &Looking, order: &Order, placed: Option<&Placed>) -> Self {
        let (garment, side) = look.show.split_once('.').unwrap_or((&look.show, ""));
        let seen = match side {
            "back" => Seen::Back,
            "inside" => Seen::Inside,
            _ => Seen::Front,
        };
        let asked = placed.and_then(|placed| placed.question.garment.clone());
        let first = || order.garments.first().map(|first| first.block.clone());
        let garment = match garment {
            "all" => None,
            "" => asked.or_else(first),
            named => Some(named.to_owned()),
        };
        Self { garment, seen }
    }
}

/// Writes the suit with the ways to see it.
pub(super) fn suit(frame: &Frame, now: &Now, placed: Option<&Placed>, look: &Looking) -> Markup {
    let Some((order, drafted)) = &now.shown else {
        return html! { (faults(now)) p.nothing { "Nothing is drawn until the order has no fault." } };
    };
    let show = Show::of(look, order, placed);
    let at = placed.map(|placed| placed.question.at.as_str());
    let aside = frame
        .talk
        .aside()
        .filter(|aside| Some(aside.at.as_str()) == at);
    let old = now.reading.drafted.is_none();
    html! {
        (faults(now))
        (sides(order, &show))
        div.views.pair[aside.is_some()].old[old] {
            @if let Some(aside) = &aside { (kept(frame, aside, &show)) }
            figure {
                @let suit = Suit::new(frame.talk, order, drafted);
                @match show.garment.as_deref().filter(|_| at == Some(FITTING)) {
                    Some(garment) => (picture(suit.with_spots(garment, show.seen, "now-"), &show)),
                    None => (drawing(&suit, &show, "now-")),
                }
                @if aside.is_some() {
                    figcaption {
                        "Now " button type="button" data-act="choose-new" { "Have this" }
                    }
                }
            }
        }
        @if old { p.nothing { "Drawn as it was before the faults." } }
    }
}

fn drawing(suit: &Suit, show: &Show, prefix: &str) -> Markup {
    let picture = match &show.garment {
        Some(garment) => suit.garment(garment, show.seen, prefix),
        None => suit.together(show.seen, prefix),
    };
    self::picture(picture, show)
}

fn picture(picture: Option<String>, show: &Show) -> Markup {
    html! {
        @match picture {
            Some(picture) => (PreEscaped(picture)),
            None if show.seen == Seen::Inside => p.nothing { "It is not drawn from inside." },
            None => p.nothing { "It has no picture: its pieces are not declared as they are worn." },
        }
    }
}

fn kept(frame: &Frame, aside: &Aside, show: &Show) -> Markup {
    html! {
        figure {
            (drawing(&Suit::new(frame.talk, &aside.order, &aside.drafted), show, "kept-"))
            figcaption {
                "Kept aside: " (spaced(&aside.said)) " "
                button type="button" data-act="choose-kept" { "Have this" }
            }
        }
    }
}

/// Writes the ways to see the suit.
fn sides(order: &Order, show: &Show) -> Markup {
    let garments: Vec<&str> = order
        .garments
        .iter()
        .map(|own| own.block.as_str())
        .collect();
    let shown = show.garment.as_deref().unwrap_or("all");
    let seen = show.seen.word();
    html! {
        div.sides role="group" aria-label="How the suit is seen" {
            @for side in Seen::ALL {
                @let pressed = if side == show.seen { "true" } else { "false" };
                button type="button" aria-pressed=(pressed) data-show={ (shown) "." (side.word()) } { (capital(side.word())) }
            }
            @if garments.len() > 1 {
                span.gap aria-hidden="true" {}
                @for garment in garments.iter().chain(&["all"]) {
                    @let pressed = if *garment == shown { "true" } else { "false" };
                    button type="button" aria-pressed=(pressed) data-show={ (garment) "." (seen) } { (capital(&spaced(garment))) }
                }
            }
            button.near type="button" data-act="near" aria-pressed="false" { "Closer" }
        }
    }
}
