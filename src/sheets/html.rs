//! The order as one page for a browser: pieces, lays, ticket and ledger. It needs nothing beside
//! itself, prints, and is read by keyboard and by screen readers.

use std::fmt::Write;

use kurbo::{Affine, Vec2};

use super::Sheets;
use super::drawing::Drawing;
use super::label::Lettering;
use super::piece::{self, Manner};
use super::section::{Entry, Section, Table};
use super::{contents, marker, svg, ticket, words};

/// Pixels for a mm of a piece, and white round it in mm.
const SCALE: f64 = 0.3;
const SPACE: f64 = 6.0;
/// Pixels for a mm of a view.
const VIEW: f64 = 1.5;
/// Widest picture of a lay, in pixels.
const WIDE: f64 = 900.0;

const STYLE: &str = include_str!("html.css");

/// Writes the page. It is well-formed XML, so that other programs can read it too.
pub fn write(sheets: &Sheets) -> Vec<u8> {
    let title = ticket::title(sheets);
    let sections = contents::sections(sheets);
    let views = ticket::drawings(sheets);
    let mut contents = Vec::new();
    if !views.is_empty() {
        contents.push(("views".to_owned(), "Made up".to_owned()));
    }
    contents.push(("pieces".to_owned(), "Pieces drawn".to_owned()));
    let lays = sheets.lays.iter().map(|laid| {
        let name = format!("Lay in {}", words::material(laid.material));
        (super::sheet::lay_name(laid.material), name)
    });
    contents.extend(lays);
    // The page has larger pictures of the lays than the ticket.
    let spoken: Vec<&Section> = sections
        .iter()
        .filter(|section| {
            !section
                .entries
                .iter()
                .any(|entry| matches!(entry, Entry::Picture(..)))
        })
        .collect();
    let name = |i: usize| format!("section-{}", i + 1);
    contents.extend(
        spoken
            .iter()
            .enumerate()
            .map(|(i, section)| (name(i), section.heading.clone())),
    );

    let mut page = format!(
        "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n<head>\n\
         <meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <title>{}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n\
         <a class=\"skip\" href=\"#order\">To the order</a>\n<header>\n<h1>{}</h1>\n",
        escaped(&title),
        escaped(&title)
    );
    for line in ticket::under_title(sheets) {
        say(&mut page, format_args!("<p>{}</p>\n", escaped(&line)));
    }
    page.push_str("</header>\n<nav aria-label=\"Sections\">\n<ul>\n");
    for (id, heading) in &contents {
        say(
            &mut page,
            format_args!("<li><a href=\"#{id}\">{}</a></li>\n", escaped(heading)),
        );
    }
    page.push_str("</ul>\n</nav>\n<main id=\"order\">\n");
    made_up(&mut page, &views);
    pieces(&mut page, sheets);
    lays_drawn(&mut page, sheets);
    page.push_str("<div class=\"columns\">\n");
    for (i, section) in spoken.into_iter().enumerate() {
        write_section(&mut page, section, &name(i));
    }
    page.push_str("</div>\n</main>\n</body>\n</html>\n");
    page.into_bytes()
}

/// Adds to the page; writing to a string cannot fail.
fn say(page: &mut String, words: std::fmt::Arguments) {
    let _ = page.write_fmt(words);
}

fn open(page: &mut String, id: &str, heading: &str) {
    say(
        page,
        format_args!(
            "<section aria-labelledby=\"{id}\">\n<h2 id=\"{id}\">{}</h2>\n",
            escaped(heading)
        ),
    );
}

/// Every garment from the front and the back, all to one scale.
fn made_up(page: &mut String, views: &[Drawing]) {
    if views.is_empty() {
        return;
    }
    open(page, "views", "Made up");
    page.push_str("<div class=\"pieces views\">\n");
    for (i, view) in views.iter().enumerate() {
        let drawn = svg::inline(view, &format!("view-{}-", i + 1), VIEW * view.width);
        let title = escaped(&view.title);
        say(
            page,
            format_args!("<figure>\n{drawn}\n<figcaption>{title}</figcaption>\n</figure>\n"),
        );
    }
    page.push_str("</div>\n</section>\n");
}

/// Every piece on its own, all to one scale.
fn pieces(page: &mut String, sheets: &Sheets) {
    open(page, "pieces", "Pieces drawn");
    page.push_str("<div class=\"pieces\">\n");
    let manner = Manner::of(sheets.order, Lettering::PICTURE);
    for (i, piece) in sheets.pattern.pieces.iter().enumerate() {
        let bounds = piece.bounds().inflate(SPACE, SPACE);
        let name = words::capital(&piece.name);
        let mut drawing = Drawing::new(&name, bounds.width(), bounds.height());
        let place = Affine::translate(Vec2::new(-bounds.x0, -bounds.y0));
        drawing.part(1, piece::draw(piece, place, &[], &manner, &[]));
        let drawn = svg::inline(
            &drawing,
            &format!("piece-{}-", i + 1),
            SCALE * drawing.width,
        );
        let count = words::cut(piece) + words::on_the_bias(piece);
        say(
            page,
            format_args!(
                "<figure>\n{drawn}\n<figcaption><b>{}</b><br/>{} · {} · {count}</figcaption>\n</figure>\n",
                escaped(&name),
                escaped(&words::spaced(&piece.garment)),
                words::material(piece.material)
            ),
        );
    }
    page.push_str("</div>\n</section>\n");
}

fn lays_drawn(page: &mut String, sheets: &Sheets) {
    for laid in sheets.lays {
        let id = super::sheet::lay_name(laid.material);
        open(
            page,
            &id,
            &format!("Lay in {}", words::material(laid.material)),
        );
        let drawing = marker::draw(laid, sheets.pattern, sheets.order);
        let drawn = svg::inline(&drawing, &format!("{id}-"), WIDE);
        say(
            page,
            format_args!(
                "<div class=\"lay\" tabindex=\"0\" role=\"region\" aria-labelledby=\"{id}\">{drawn}</div>\n</section>\n"
            ),
        );
    }
}

fn write_section(page: &mut String, section: &Section, id: &str) {
    open(page, id, &section.heading);
    for entry in &section.entries {
        match entry {
            Entry::Words(words) => say(page, format_args!("<p>{}</p>\n", escaped(words))),
            Entry::List(items) => {
                page.push_str("<ul>\n");
                for item in items {
                    say(page, format_args!("<li>{}</li>\n", escaped(item)));
                }
                page.push_str("</ul>\n");
            }
            Entry::Named(pairs) => {
                page.push_str("<dl>\n");
                for (name, value) in pairs {
                    let (name, value) = (escaped(name), escaped(value));
                    say(
                        page,
                        format_args!("<div><dt>{name}</dt><dd>{value}</dd></div>\n"),
                    );
                }
                page.push_str("</dl>\n");
            }
            Entry::Table(table) => write_table(page, table),
            Entry::Picture(picture, shows) => {
                let drawn = svg::inline(picture, &format!("{id}-"), WIDE);
                let shows = escaped(shows);
                say(
                    page,
                    format_args!("<figure>{drawn}<figcaption>{shows}</figcaption></figure>\n"),
                );
            }
            Entry::Signature(words) => {
                say(
                    page,
                    format_args!("<p class=\"sign\">{}</p>\n", escaped(words)),
                );
            }
        }
    }
    page.push_str("</section>\n");
}

fn write_table(page: &mut String, table: &Table) {
    page.push_str("<table>\n");
    if let Some(heading) = &table.heading {
        say(
            page,
            format_args!("<caption>{}</caption>\n", escaped(heading)),
        );
    }
    if table.columns.iter().any(|(head, _)| !head.is_empty()) {
        page.push_str("<thead><tr><td></td>");
        for (head, _) in &table.columns {
            say(
                page,
                format_args!("<th scope=\"col\">{}</th>", escaped(head)),
            );
        }
        page.push_str("</tr></thead>\n");
    }
    page.push_str("<tbody>\n");
    for (name, values) in &table.rows {
        say(
            page,
            format_args!("<tr><th scope=\"row\">{}</th>", escaped(name)),
        );
        for value in values {
            say(page, format_args!("<td>{}</td>", escaped(value)));
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody>\n</table>\n");
}

/// Words that cannot be taken for tags.
/// Words as text of a page.
pub fn escaped(words: &str) -> String {
    words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
