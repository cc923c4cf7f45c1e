//! The ticket, the report, and all sheets together.

use std::path::Path;

use chalkstripe::draft::{Draft, Need};
use chalkstripe::sheets::fault::SheetFault;
use chalkstripe::sheets::options::SheetOptions;
use chalkstripe::sheets::{self, Sheets, report, ticket, views};
use chalkstripe::workshop::Workshop;
use resvg::usvg::roxmltree::{Document, ParsingOptions};

use crate::sheets::fixture;
use crate::sheets::reader::{has, run};

fn draft() -> Draft {
    Draft {
        garment: "jacket".into(),
        points: Vec::new(),
        curves: Vec::new(),
        steps: Vec::new(),
        uses: Vec::new(),
        pages: Vec::new(),
        pieces: Vec::new(),
        seams: Vec::new(),
        joins: Vec::new(),
        girths: Vec::new(),
        bounds: Vec::new(),
        darts: Vec::new(),
        needs: vec![Need {
            name: "bridle".into(),
            of: "linen tape".into(),
            count: 2,
            length: Some(384.0),
        }],
        matches: Vec::new(),
        warnings: vec!["the front dart took all it may: 1.2 cm of the waist is left in".into()],
        heeds: Default::default(),
        divided: Vec::new(),
    }
}

/// Calls `check` with the sheets of the invented pieces for a client of that name.
pub(super) fn with_sheets<T>(name: &str, check: impl FnOnce(&Sheets) -> T) -> T {
    let mut order = fixture::order();
    order.client.name = name.into();
    let pattern = fixture::pattern();
    let lays = fixture::lays();
    let choices = order.garments.iter();
    let choices: Vec<_> = choices
        .map(|garment| {
            Workshop::embedded()
                .catalogue
                .choices(&garment.block)
                .unwrap()
        })
        .collect();
    let drafts = [draft()];
    let views = views::of_order(&drafts, None);
    check(&Sheets {
        views: &views,
        cloth: None,
        choices: &choices,
        order: &order,
        drafts: &drafts,
        pattern: &pattern,
        lays: &lays,
    })
}

#[test]
fn the_ticket_says_what_the_cutter_needs_on_two_pages() {
    let bytes = with_sheets(fixture::NAME, ticket::write);
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("ticket.pdf");
    std::fs::write(&path, bytes).unwrap();
    if !has("pdftotext") || !has("pdfinfo") || !has("qpdf") {
        return;
    }
    let path = path.to_str().unwrap();
    run("qpdf", &["--check", path]);
    assert!(run("pdfinfo", &[path]).contains("Pages:           2"));
    let text = run("pdftotext", &["-raw", path, "-"]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        fixture::NAME,
        "P-117",
        "fastening",
        "Derived",
        "brown and green check, 380 g",
        "rounded up",
        "1 pair",
        "fastening six two – double-breasted, six buttons of which two fasten",
        "the front dart took all it may",
        "All passed",
        "bridle 2 × 38.4 cm",
        "Cut a toile",
        "Approved by the client",
        "page 2 of 2",
    ] {
        assert!(text.contains(words), "no `{words}` in\n{text}");
    }
}

#[test]
fn the_report_carries_its_schema() {
    let bytes = with_sheets(fixture::NAME, |sheets| {
        report::write(sheets, &[], &SheetOptions::on("a4".parse().unwrap()))
    });
    let report: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
    assert_eq!(report["schema"], "chalkstripe report");
    assert_eq!(report["version"], 1);
    assert_eq!(report["order"]["client"]["name"], fixture::NAME);
    assert_eq!(
        report["measures"]["chest"],
        serde_json::json!({"mm": 1040.0, "origin": "taken"})
    );
    let seam = &report["ledger"]["seams"][0];
    for key in ["seam", "a_mm", "b_mm", "ease_mm", "min_mm", "max_mm", "ok"] {
        assert!(!seam[key].is_null(), "{key}");
    }
    assert_eq!(report["ledger"]["girths"][0]["girth"], "chest");
    let band = report["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .find(|p| p["name"] == "waistband")
        .unwrap();
    // 470 × 40 with 8 all round, mitred.
    assert_eq!(band["bbox_mm"], serde_json::json!([486.0, 56.0]));
    assert_eq!(band["area_mm2"], 486.0 * 56.0);
    assert_eq!((&band["count"], &band["pairs"]), (&2.into(), &true.into()));
    assert_eq!(report["lay"]["cloth_width_mm"], 750.0);
    assert_eq!(
        report["needs"][0],
        serde_json::json!({"garment": "jacket", "name": "bridle", "of": "linen tape", "count": 2, "length_mm": 384.0})
    );
    let pieces = report["pieces"].as_array().unwrap();
    for placement in report["lay"]["placements"].as_array().unwrap() {
        let piece = &pieces[placement["piece"].as_u64().unwrap() as usize];
        assert_eq!(piece["name"], placement["name"]);
        assert_eq!(piece["material"], "cloth");
    }
    assert_eq!(
        report["cloth"]["order_length_mm"],
        report["lay"]["order_length_mm"]
    );
    assert_eq!(report["other_lays"][0]["material"], "sleeve_lining");
}

#[test]
fn all_sheets_of_an_order_are_the_same_twice() {
    let options = SheetOptions::on("a3".parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    with_sheets(fixture::NAME, |all| {
        let once = sheets::all(all, &options).unwrap().sheets;
        let again = sheets::all(all, &options).unwrap().sheets;
        assert!(once == again, "two runs differ");
        sheets::write_all(&once, &folder.path().join("order")).unwrap();
    });
    let mut names: Vec<String> = std::fs::read_dir(folder.path().join("order"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "lay-sleeve-lining.plt",
            "lay-sleeve-lining.png",
            "lay-sleeve-lining.svg",
            "lay.plt",
            "lay.png",
            "lay.svg",
            "order.html",
            "paper-a3.pdf",
            "pieces.png",
            "pieces.svg",
            "report.json",
            "ticket.pdf",
        ]
    );
}

#[test]
fn pieces_are_chosen_by_garment_by_name_or_by_a_word_of_it() {
    let pattern = fixture::pattern();
    let chosen = |words: &[&str]| {
        let mut options = SheetOptions::on("a4".parse().unwrap());
        options.only = words.iter().map(|word| (*word).to_owned()).collect();
        let pieces = options.pieces(&pattern);
        pieces.map(|pieces| pieces.iter().map(|piece| piece.name.clone()).collect())
    };
    let all: Vec<String> = pattern.pieces.iter().map(|p| p.name.clone()).collect();
    assert_eq!(chosen(&[]), Ok(all.clone()));
    assert_eq!(chosen(&["Trousers"]), Ok(all[6..].to_vec()));
    assert_eq!(
        chosen(&["belt-loop", "sleeve"]),
        Ok(vec![all[2].clone(), all[5].clone(), all[8].clone()])
    );
    let refused: Result<Vec<String>, SheetFault> = chosen(&["forpart"]);
    let refusal = refused.unwrap_err();
    assert!(refusal.help().unwrap().contains("forepart"), "{refusal:?}");
    let unknown = chosen(&["collars and cuffs"]).unwrap_err();
    assert!(unknown.help().unwrap().contains("hip jet"), "{unknown:?}");
}

#[test]
fn hard_names_do_no_harm_anywhere() {
    let mut options = SheetOptions::on("a3".parse().unwrap());
    options.dxf = true;
    for name in [
        "Maximilian ".repeat(40),
        "x".repeat(400),
        "🧵\u{0}\u{7}\u{202E}<script>&]]>\"'\\)(".into(),
        String::new(),
    ] {
        with_sheets(&name, |all| {
            for sheet in sheets::all(all, &options).unwrap().sheets {
                let text = String::from_utf8_lossy(&sheet.bytes);
                match sheet.file.rsplit('.').next() {
                    Some("svg") => {
                        resvg::usvg::Tree::from_str(&text, &resvg::usvg::Options::default())
                            .unwrap();
                    }
                    Some("json") => {
                        let report: serde_json::Value = serde_json::from_str(&text).unwrap();
                        assert_eq!(report["order"]["client"]["name"], name.as_str());
                    }
                    Some("plt" | "dxf") => assert!(text.is_ascii()),
                    Some("html") => {
                        let parsing = ParsingOptions {
                            allow_dtd: true,
                            ..Default::default()
                        };
                        Document::parse_with_options(&text, parsing).unwrap();
                        assert!(!text.contains("<script"));
                    }
                    Some("pdf") if has("qpdf") => {
                        let file = tempfile::NamedTempFile::new().unwrap();
                        std::fs::write(file.path(), &sheet.bytes).unwrap();
                        run("qpdf", &["--check", file.path().to_str().unwrap()]);
                    }
                    _ => {}
                }
            }
        });
    }
}
