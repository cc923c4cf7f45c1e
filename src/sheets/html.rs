//! Writes the order as one page for a browser: pieces, lays, ticket and ledger. The page needs no other files. It
//! can be printed, used by keyboard, and read by a screen reader.

use kurbo::{Affine, Vec2};

use super::Sheets;
use super::drawing::Drawing;
use super::label::Lettering;
use super::piece::{self, Manner};
use super::section::{Amount, Entry, Section, Table};
use super::{contents, marker, svg, ticket, words};

/// Pixels for a mm of a piece.
const SCALE: f64 = 0.3;
/// White round a piece, in mm.
const SPACE: f64 = 6.0;
/// Pixels for a mm of a view.
const VIEW: f64 = 1.5;
/// Width of the picture of a lay, in pixels.
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
        let name = format!("Lay in {}", &laid.material.name);
        (super::sheet::lay_name(&laid.material), name)
    });
    contents.extend(lays);
    let name = |i: usize| format!("section-{}", i + 1);
    let numbered = sections.iter().enumerate();
    contents.extend(numbered.map(|(i, section)| (name(i), section.heading.clone())));

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
        page += &format!("<p>{}</p>\n", escaped(&line));
    }
    page.push_str("</header>\n<nav aria-label=\"Sections\">\n<ul>\n");
    for (id, heading) in &contents {
        page += &format!("<li><a href=\"#{id}\">{}</a></li>\n", escaped(heading));
    }
    page.push_str("</ul>\n</nav>\n<main id=\"order\">\n");
    made_up(&mut page, &views);
    pieces(&mut page, sheets);
    lays_drawn(&mut page, sheets);
    page.push_str("<div class=\"columns\">\n");
    for (i, section) in sections.iter().enumerate() {
        write_section(&mut page, section, &name(i));
    }
    page.push_str("</div>\n</main>\n</body>\n</html>\n");
    page.into_bytes()
}

fn open(page: &mut String, id: &str, heading: &str) {
    *page += &format!(
        "<section aria-labelledby=\"{id}\">\n<h2 id=\"{id}\">{}</h2>\n",
        escaped(heading)
    );
}

/// Writes every garment made up, from the front and the back, all at one scale.
fn made_up(page: &mut String, views: &[Drawing]) {
    if views.is_empty() {
        return;
    }
    open(page, "views", "Made up");
    page.push_str("<div class=\"pieces views\">\n");
    for (i, view) in views.iter().enumerate() {
        let drawn = svg::inline(view, &format!("view-{}-", i + 1), VIEW * view.width);
        let title = escaped(&view.title);
        *page += &format!("<figure>\n{drawn}\n<figcaption>{title}</figcaption>\n</figure>\n");
    }
    page.push_str("</div>\n</section>\n");
}

/// Writes every piece on its own, all at one scale.
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
        *page += &format!(
            "<figure>\n{drawn}\n<figcaption><b>{}</b><br/>{} · {} · {count}</figcaption>\n</figure>\n",
            escaped(&name),
            escaped(&words::spaced(&piece.garment)),
            &piece.material.name
        );
    }
    page.push_str("</div>\n</section>\n");
}

fn lays_drawn(page: &mut String, sheets: &Sheets) {
    for laid in sheets.lays {
        let id = super::sheet::lay_name(&laid.material);
        open(page, &id, &format!("Lay in {}", &laid.material.name));
        let drawing = marker::draw(laid, sheets.pattern, sheets.order);
        let drawn = svg::inline(&drawing, &format!("{id}-"), WIDE);
        *page += &format!(
            "<div class=\"lay\" tabindex=\"0\" role=\"region\" aria-labelledby=\"{id}\">{drawn}</div>\n</section>\n"
        );
    }
}

/// Writes sections for another page.
pub fn written(sections: &[Section]) -> String {
    let mut page = String::new();
    for (i, section) in sections.iter().enumerate() {
        write_section(&mut page, section, &format!("section-{}", i + 1));
    }
    page
}

fn write_section(page: &mut String, section: &Section, id: &str) {
    open(page, id, &section.heading);
    for entry in &section.entries {
        match entry {
            Entry::Words(words) => *page += &format!("<p>{}</p>\n", escaped(words)),
            Entry::List(items) => {
                page.push_str("<ul>\n");
                for item in items {
                    *page += &format!("<li>{}</li>\n", escaped(item));
                }
                page.push_str("</ul>\n");
            }
            Entry::Named(pairs) => {
                page.push_str("<dl>\n");
                for (name, value) in pairs {
                    let (name, value) = (escaped(name), escaped(value));
                    *page += &format!("<div><dt>{name}</dt><dd>{value}</dd></div>\n");
                }
                page.push_str("</dl>\n");
            }
            Entry::Amounts(amounts) => {
                page.push_str("<ul class=\"amounts\">\n");
                for Amount { name, amount, note } in amounts {
                    let [name, amount, note] = [name, amount, note].map(|words| escaped(words));
                    *page += &format!(
                        "<li><b>{name}</b> <span>{amount}</span><small>{note}</small></li>\n"
                    );
                }
                page.push_str("</ul>\n");
            }
            Entry::Table(table) => write_table(page, table),
            Entry::Picture(picture, shows) => {
                let drawn = svg::inline(picture, &format!("{id}-"), WIDE);
                let shows = escaped(shows);
                *page += &format!("<figure>{drawn}<figcaption>{shows}</figcaption></figure>\n");
            }
            Entry::Signature(words) => {
                *page += &format!("<p class=\"sign\">{}</p>\n", escaped(words));
            }
        }
    }
    page.push_str("</section>\n");
}

fn write_table(page: &mut String, table: &Table) {
    page.push_str("<table>\n");
    if let Some(heading) = &table.heading {
        *page += &format!("<caption>{}</caption>\n", escaped(heading));
    }
    if table.columns.iter().any(|(head, _)| !head.is_empty()) {
        page.push_str("<thead><tr><td></td>");
        for (head, _) in &table.columns {
            *page += &format!("<th scope=\"col\">{}</th>", escaped(head));
        }
        page.push_str("</tr></thead>\n");
    }
    page.push_str("<tbody>\n");
    for (name, values) in &table.rows {
        *page += &format!("<tr><th scope=\"row\">{}</th>", escaped(name));
        for value in values {
            *page += &format!("<td>{}</td>", escaped(value));
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody>\n</table>\n");
}

/// Writes words as text of a page, in which no letter can be taken for markup.
pub fn escaped(words: &str) -> String {
    words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
