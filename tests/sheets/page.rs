//! The page for a browser and the pictures.

use std::collections::BTreeSet;

use chalkstripe::sheets::{Sheet, all, html, wishes::Wishes};
use resvg::tiny_skia::Pixmap;
use resvg::usvg::roxmltree::{Document, ParsingOptions};

use crate::fixture::NAME;
use crate::ticket::with_sheets;

/// Every sheet for a client of that name, DXF included, on A3.
fn made(name: &str) -> Vec<Sheet> {
    let mut wishes = Wishes::on("a3".parse().unwrap());
    wishes.dxf = true;
    with_sheets(name, |sheets| all(sheets, &wishes))
        .unwrap()
        .sheets
}

#[test]
fn the_page_stands_on_its_own_and_can_be_read_aloud() {
    let page = with_sheets(NAME, html::write);
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(folder.join("order.html"), &page).unwrap();
    let text = String::from_utf8(page).unwrap();
    let options = ParsingOptions {
        allow_dtd: true,
        ..Default::default()
    };
    let page = Document::parse_with_options(&text, options).unwrap();
    let ids: Vec<&str> = page
        .descendants()
        .filter_map(|node| node.attribute("id"))
        .collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), unique.len(), "an id is used twice");
    for node in page.descendants() {
        for reference in [node.attribute("href"), node.attribute("aria-labelledby")]
            .into_iter()
            .flatten()
        {
            assert!(
                unique.contains(reference.trim_start_matches('#')),
                "{reference} leads nowhere"
            );
        }
        for outside in ["src", "data", "action"] {
            assert!(
                node.attribute(outside).is_none(),
                "{outside} leads out of the page"
            );
        }
        if node.has_tag_name("svg") || node.tag_name().name() == "svg" {
            assert_eq!(node.attribute("role"), Some("img"));
            assert!(
                node.attribute("aria-label")
                    .is_some_and(|label| !label.is_empty())
            );
        }
    }
    let said: String = page.descendants().filter_map(|node| node.text()).collect();
    for words in [NAME, "Top sleeve", "fastening", "shoulder", "Cut a toile"] {
        assert!(said.contains(words), "no {words}");
    }
    assert!(!text.contains("url(") && !text.contains("@import"));
}

#[test]
fn pictures_are_drawn_and_not_blank() {
    let mut made = made(NAME);
    made.retain(|sheet| sheet.file.ends_with(".png"));
    let names: Vec<&str> = made.iter().map(|sheet| sheet.file.as_str()).collect();
    assert_eq!(names, ["lay.png", "lay-sleeve-lining.png", "pieces.png"]);
    for sheet in &made {
        let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
        std::fs::write(folder.join(format!("preview-{}", sheet.file)), &sheet.bytes).unwrap();
        let picture = Pixmap::decode_png(&sheet.bytes).unwrap();
        assert_eq!(
            picture.width().max(picture.height()),
            1600,
            "{}",
            sheet.file
        );
        let dark = picture
            .pixels()
            .iter()
            .filter(|pixel| pixel.red() < 128)
            .count();
        assert!(dark > 2000, "{}: {dark} dark pixels", sheet.file);
    }
}

#[test]
fn hard_names_do_no_harm_to_the_page() {
    for name in [
        "x".repeat(400),
        "🧵\u{0}<script>&]]>\"'".into(),
        String::new(),
    ] {
        let made = made(&name);
        let bytes = |file: &str| &made.iter().find(|sheet| sheet.file == file).unwrap().bytes;
        let text = String::from_utf8(bytes("order.html").clone()).unwrap();
        let options = ParsingOptions {
            allow_dtd: true,
            ..Default::default()
        };
        Document::parse_with_options(&text, options).unwrap();
        assert!(!text.contains("<script"));
        assert!(bytes("pieces.dxf").is_ascii());
    }
}
