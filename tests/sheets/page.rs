//! The page for a browser and the pictures.

use std::collections::BTreeSet;

use chalkstripe::sheets::{Sheet, all, html, options::SheetOptions};
use resvg::tiny_skia::Pixmap;
use resvg::usvg::roxmltree::{Document, ParsingOptions};

use crate::sheets::fixture::NAME;
use crate::sheets::reader::{has, run};
use crate::sheets::ticket::with_sheets;
use crate::skipped::skipped;

/// Every sheet for a client of that name, DXF included, on A3.
fn made(name: &str) -> Vec<Sheet> {
    let mut options = SheetOptions::on("a3".parse().unwrap());
    options.dxf = true;
    with_sheets(name, |sheets| all(sheets, &options))
        .unwrap()
        .sheets
}

#[test]
fn the_page_stands_on_its_own_and_can_be_read_aloud() {
    let written = with_sheets(NAME, html::write);
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(folder.join("order.html"), &written).unwrap();
    let text = String::from_utf8(written).unwrap();
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

/// A browser without a network shows the page, on a screen and on a telephone, and prints it whole.
#[test]
fn a_browser_shows_and_prints_the_page() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("order.html");
    std::fs::write(&page, with_sheets(NAME, html::write)).unwrap();
    let address = format!("file://{}", page.display());
    let profile = format!(
        "--user-data-dir={}",
        folder.path().join("profile").display()
    );
    let call = |arguments: &[&str]| {
        let mut all = vec![
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            profile.as_str(),
        ];
        all.extend(arguments);
        all.push(&address);
        run(browser, &all);
    };
    let kept = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    for (size, name) in [
        ("1280,1600", "page-wide.png"),
        ("400,1200", "page-narrow.png"),
    ] {
        let to = kept.join(name);
        call(&[
            &format!("--window-size={size}"),
            &format!("--screenshot={}", to.display()),
        ]);
        let picture = Pixmap::load_png(&to).unwrap();
        let dark = picture.pixels().iter().filter(|pixel| pixel.red() < 128);
        assert!(dark.count() > 5000, "{name} is blank");
    }
    let printed = kept.join("page-printed.pdf");
    call(&[
        "--no-pdf-header-footer",
        &format!("--print-to-pdf={}", printed.display()),
    ]);
    if !has("pdftotext") {
        return;
    }
    let text = run("pdftotext", &["-layout", printed.to_str().unwrap(), "-"]);
    for words in [
        NAME,
        "Top sleeve",
        "fastening",
        "Cut a toile",
        "Approved by the client",
    ] {
        assert!(text.contains(words), "{words} is not printed");
    }
}

/// The browser, where there is one; nothing else needs it, so that its want is told and no fault.
fn browser() -> Option<&'static str> {
    let found = ["chromium", "chromium-browser"]
        .into_iter()
        .find(|program| {
            let trial = std::process::Command::new(program)
                .arg("--version")
                .output();
            trial.is_ok_and(|output| output.status.success())
        });
    if found.is_none() {
        skipped("chromium is not installed");
    }
    found
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
        // All pieces are more to read than a lay.
        let longest = if sheet.file == "pieces.png" {
            3000
        } else {
            1600
        };
        assert_eq!(
            picture.width().max(picture.height()),
            longest,
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
