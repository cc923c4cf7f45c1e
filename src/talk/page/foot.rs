//! What stands above and below: whose suit it is, the cloth that it takes, and what is not yet settled.

use super::frame::Frame;
use super::shell::kind_of;
use crate::sheets::words::spaced;
use crate::talk::length::Length;
use crate::talk::questions::Question;
use crate::talk::state::Now;
use crate::talk::text;
use maud::{Markup, html};
use std::fs;

/// The most open questions that are named at the foot.
const MOST_NAMED: usize = 3;

/// Writes whose suit it is, of what, and the way to the forms beside the talk.
pub(super) fn head(frame: &Frame, now: &Now) -> Markup {
    let said = |section, key| {
        let text = text::get(&now.reading.source.text, (section, key));
        text.filter(|text| !text.is_empty())
    };
    let of = [
        said("cloth", "name"),
        said("lining", "body"),
        said("trimmings", "buttons"),
    ];
    let of: Vec<String> = of.into_iter().flatten().collect();
    html! {
        p.whose { b { (said("client", "name").unwrap_or_default()) } " " span.of { (of.join(" · ")) } }
        nav aria-label="Beside the talk" {
            @for (at, name) in [("measures", "Measures"), ("figure", "Figure"), ("fitting", "The baste")] {
                button.link type="button" data-go=(at) { (name) } " "
            }
        }
        p #length role="status" {
            @if let Some(length) = frame.lengths.told() { (length_piece(&length)) }
        }
    }
}

/// Writes the length of cloth, for the pages that are open.
pub(in crate::talk) fn length(length: &Length) -> String {
    length_piece(length).into_string()
}

/// Writes what is not yet settled, and what can be done then.
pub(super) fn foot(frame: &Frame, now: &Now, all: &[Question]) -> Markup {
    let open: Vec<&Question> = all.iter().filter(|asked| !asked.settled).collect();
    let (undo, redo) = now.ways;
    html! {
        div.open {
            b { "Not yet settled: " span #count { (open.len()) } } " "
            @for asked in open.iter().take(MOST_NAMED) { (way_to(asked)) " " }
            @if open.len() > MOST_NAMED { details.more {
                summary { "and " (open.len() - MOST_NAMED) " more" }
                div.list { @for asked in open.iter().skip(MOST_NAMED) { (way_to(asked)) " " } }
            } }
            @if !open.is_empty() { " " button.link.rest type="button" data-act="rest" { "the rest as the house does" } }
        }
        div.acts {
            button.link type="button" data-act="undo" disabled[!undo] { "Undo" } " "
            button.link type="button" data-act="redo" disabled[!redo] { "Redo" } " "
            button.link type="button" data-act="find" { "Find" } " "
            button.link type="button" data-act="keys" { "Keys" } " "
            a href={ "/read?key=" (frame.key) } { "Read back" } " "
            button.link type="button" data-act="draft" { "Draft" } " "
            button type="button" data-act="cut" { "Cut" }
        }
        div #progress role="status" { (progress_piece(frame)) }
        datalist #names { @for asked in all { option value={ (name(asked)) } data-at=(asked.at) {} } }
    }
}

/// Writes the way to a question by a short name; a screen reader says whose it is.
fn way_to(asked: &Question) -> Markup {
    let short = asked
        .at
        .split_once('.')
        .map_or(asked.at.as_str(), |(_, choice)| choice);
    html! {
        button.link type="button" data-go=(asked.at) aria-label=(name(asked)) { (spaced(short)) }
    }
}

fn name(asked: &Question) -> String {
    match &asked.garment {
        Some(garment) => {
            let choice = asked.at.split_once('.').map_or("", |(_, choice)| choice);
            format!("{} {}", spaced(garment), spaced(choice))
        }
        None => spaced(&asked.at),
    }
}

/// Writes what is said of the work that goes on, for the pages that are open.
pub(in crate::talk) fn progress(frame: &Frame) -> String {
    progress_piece(frame).into_string()
}

fn progress_piece(frame: &Frame) -> Markup {
    let (said, going) = (frame.making.said(), frame.making.is_going());
    html! {
        @if !said.is_empty() {
            span { (said) } " "
            @if going { button type="button" data-act="stop" { "Stop" } }
            @else { (sheets(frame)) }
        }
    }
}

/// Lists the sheets that can be opened.
fn sheets(frame: &Frame) -> Markup {
    let entries = fs::read_dir(frame.talk.sheets());
    let names = entries.into_iter().flatten().flatten();
    let names = names.filter_map(|entry| entry.file_name().into_string().ok());
    let mut names: Vec<String> = names.filter(|name| kind_of(name).is_some()).collect();
    names.sort();
    html! {
        @for name in &names {
            a href={ "/sheets/" (name) "?key=" (frame.key) } target="_blank" rel="noopener" { (name) } " "
        }
    }
}

/// Writes a length as it is told.
fn length_piece(length: &Length) -> Markup {
    html! {
        span.words { "cloth " (length.words) }
        @if let Some(cost) = &length.cost { " · " span.cost { (cost) } }
        @if !length.change.is_empty() { " " span.change { (length.change) } }
        @if length.rough { " " span.rough { "or less" } }
    }
}
