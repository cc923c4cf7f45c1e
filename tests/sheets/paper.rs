//! The paper pattern, read back by poppler, mupdf and qpdf.

use std::io::Write;
use std::path::{Path, PathBuf};

use chalkstripe::pattern::Piece;
use chalkstripe::sheets::paper::Paper;
use chalkstripe::sheets::paper_pattern;
use chalkstripe::sheets::tiling::{Plan, Setup};
use kurbo::Line;

use crate::fixture;
use crate::reader::{Picture, has, run};

/// Pixels to the inch that make 10 pixels a mm.
const DPI: &str = "254";

fn setup(paper: &str) -> Setup {
    Setup::new(paper.parse::<Paper>().unwrap())
}

fn pdf(paper: &str) -> Vec<u8> {
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    paper_pattern::write(&pieces, &fixture::order(), &setup(paper)).unwrap()
}

fn written(paper: &str) -> PathBuf {
    let name = format!("paper-{}.pdf", paper.replace(':', "-"));
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    // Tests run side by side: the file is moved into place whole.
    let mut file = tempfile::NamedTempFile::new_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    file.write_all(&pdf(paper)).unwrap();
    file.persist(&path).unwrap();
    path
}

fn pages(path: &Path) -> usize {
    let text = run("pdfinfo", &[path.to_str().unwrap()]);
    let line = text
        .lines()
        .find(|line| line.starts_with("Pages:"))
        .unwrap();
    line["Pages:".len()..].trim().parse().unwrap()
}

/// Pages as poppler or mupdf draws them, at 10 pixels to the mm.
fn pictures(program: &str, pdf: &Path, first: usize, last: usize) -> Vec<Picture> {
    let folder = tempfile::tempdir().unwrap();
    let pdf = pdf.to_str().unwrap();
    let to = folder.path().join("page");
    let to = to.to_str().unwrap();
    if program == "pdftoppm" {
        let (first, last) = (first.to_string(), last.to_string());
        run(
            program,
            &["-r", DPI, "-gray", "-f", &first, "-l", &last, pdf, to],
        );
    } else {
        let (to, range) = (format!("{to}-%03d.pgm"), format!("{first}-{last}"));
        run(
            program,
            &[
                "draw", "-q", "-r", DPI, "-c", "gray", "-o", &to, pdf, &range,
            ],
        );
    }
    let mut names: Vec<PathBuf> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    names.sort();
    names.iter().map(|name| Picture::read(name)).collect()
}

#[test]
fn every_paper_is_a_clean_file_of_few_pages() {
    let most = [
        ("a4", 30),
        ("a3", 16),
        ("a2", 9),
        ("a1", 5),
        ("a0", 3),
        ("letter", 32),
        ("tabloid", 16),
        ("roll:914mm", 1),
        ("roll:24in", 1),
    ];
    for (paper, most) in most {
        let path = written(paper);
        let bytes = std::fs::metadata(&path).unwrap().len();
        assert!(bytes < 2_000_000, "{paper}: {bytes} bytes");
        if has("qpdf") {
            run("qpdf", &["--check", path.to_str().unwrap()]);
        }
        if has("pdfinfo") {
            let pages = pages(&path);
            println!("{paper}: {pages} pages, {} kB", bytes / 1000);
            assert!(pages <= most, "{paper}: {pages} pages");
        }
    }
}

#[test]
fn fonts_are_embedded_and_cut_down() {
    if !has("pdffonts") {
        return;
    }
    let fonts = run("pdffonts", &[written("a4").to_str().unwrap()]);
    let rows: Vec<&str> = fonts.lines().skip(2).collect();
    assert_eq!(rows.len(), 2, "{fonts}");
    for row in rows {
        assert!(
            row.contains("+OpenSans") && row.contains("yes yes yes"),
            "{row}"
        );
    }
}

#[test]
fn names_of_three_scripts_can_be_read_and_searched() {
    if !has("pdftotext") {
        return;
    }
    let path = written("a4");
    let text = run("pdftotext", &["-layout", path.to_str().unwrap(), "-"]);
    assert!(
        text.contains(&format!("P-117 · {}", fixture::NAME)),
        "{text}"
    );
    let facts = run("pdfinfo", &[path.to_str().unwrap()]);
    assert!(facts.contains(fixture::NAME), "{facts}");
}

#[test]
fn the_same_order_gives_the_same_bytes() {
    for paper in ["a4", "roll:914mm"] {
        let (once, again) = (pdf(paper), pdf(paper));
        assert!(once == again, "{paper}: two runs differ");
    }
}

/// The squares of the first page as poppler turns them into SVG: sides of 100 mm and of 3 in, which are
/// 283.465 and 216 points.
#[test]
fn the_squares_are_true_in_points() {
    if !has("pdftocairo") {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    for paper in ["a4", "letter", "a0", "roll:914mm"] {
        let svg = folder.path().join("first.svg");
        run(
            "pdftocairo",
            &[
                "-svg",
                "-noshrink",
                "-nocenter",
                "-f",
                "1",
                "-l",
                "1",
                written(paper).to_str().unwrap(),
                svg.to_str().unwrap(),
            ],
        );
        let text = std::fs::read_to_string(&svg).unwrap();
        let tree = resvg::usvg::Tree::from_str(
            &text,
            &resvg::usvg::Options {
                dpi: 72.0,
                ..Default::default()
            },
        )
        .unwrap();
        let mut squares = Vec::new();
        collect_squares(tree.root(), &mut squares);
        for side in [283.4646, 216.0] {
            let found = squares.iter().filter(|&&(w, h): &&(f64, f64)| {
                (w - side).abs() < 0.02 && (h - side).abs() < 0.02
            });
            assert_eq!(
                found.count(),
                1,
                "{paper}: no square of {side} points in {squares:?}"
            );
        }
    }
}

fn collect_squares(group: &resvg::usvg::Group, squares: &mut Vec<(f64, f64)>) {
    for node in group.children() {
        match node {
            resvg::usvg::Node::Group(group) => collect_squares(group, squares),
            resvg::usvg::Node::Path(path) => {
                let bounds = path.abs_bounding_box();
                let (w, h) = (f64::from(bounds.width()), f64::from(bounds.height()));
                if (w - h).abs() < 0.1 && w > 200.0 {
                    squares.push((w, h));
                }
            }
            _ => {}
        }
    }
}

/// Whether any two lines lie so many pixels apart, to half a pixel.
fn apart(lines: &[f64], distance: f64) -> bool {
    lines
        .iter()
        .any(|a| lines.iter().any(|b| (b - a - distance).abs() < 0.5))
}

/// On the first page the sides of the square, on the last the ticks of a joint: 100 mm are 1000
/// pixels between lines, as poppler and mupdf draw them.
#[test]
fn a_hundred_millimetres_are_a_thousand_pixels() {
    for program in ["pdftoppm", "mutool"] {
        if !has(program) || !has("pdfinfo") {
            return;
        }
        let path = written("a4");
        let first = &pictures(program, &path, 1, 1)[0];
        // A row and a column through the square.
        let (across, down) = (first.lines_across(600), first.lines_down(500));
        assert!(
            apart(&across, 1000.0) && apart(&down, 1000.0),
            "{program} {across:?} {down:?}"
        );
        let count = pages(&path);
        let last = &pictures(program, &path, count, count)[0];
        // Ticks stand 10 mm apart along the joint at the left; look half a mm inside the frame.
        let ticks = last.lines_down(105);
        assert!(apart(&ticks, 1000.0), "{program} {ticks:?}");
    }
}

/// Two pages that join show the same lines in the strip they share, and those are where the cut
/// lines of the pattern are, to a tenth of a mm.
#[test]
fn joined_pages_give_the_pattern_back() {
    if !has("pdftoppm") {
        return;
    }
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    let setup = setup("a4");
    let plan = Plan::new(&pieces, &setup).unwrap();
    let path = written("a4");
    let at: Vec<(usize, usize)> = plan.used_pages().collect();
    let pictures = pictures("pdftoppm", &path, 2, at.len() + 1);
    let page_of = |wanted: (usize, usize)| at.iter().position(|&at| at == wanted);
    let mut crossings = 0;
    for &(column, row) in &at {
        let Some(left) = page_of((column, row)) else {
            continue;
        };
        let Some(right) = page_of((column + 1, row)) else {
            continue;
        };
        // A column of pixels in the strip they share: the same ones of the sheet on both pages.
        let strip = setup.overlap / 2.0;
        let on_left = ((plan.grid.width + strip + setup.margin) * 10.0) as usize;
        let on_right = ((strip + setup.margin) * 10.0) as usize;
        for (page, column, pixels) in [(left, column, on_left), (right, column + 1, on_right)] {
            let x = column as f64 * plan.grid.width + (pixels as f64 + 0.5) / 10.0 - setup.margin;
            let top = row as f64 * plan.grid.height - setup.margin;
            let expected: Vec<f64> = pieces
                .iter()
                .zip(&plan.places)
                .flat_map(|(piece, place)| (*place * &piece.cut).segments().collect::<Vec<_>>())
                .flat_map(|part| {
                    let line = Line::new((x, top), (x, top + plan.page.1));
                    part.intersect_line(line)
                        .into_iter()
                        .map(|hit| hit.line_t * plan.page.1)
                        .collect::<Vec<_>>()
                })
                .filter(|y| (setup.margin + 2.0..plan.page.1 - setup.margin - 2.0).contains(y))
                .collect();
            let found = pictures[page].lines_down(pixels);
            for y in &expected {
                let nearest = found
                    .iter()
                    .map(|f| (f / 10.0 - y).abs())
                    .fold(f64::MAX, f64::min);
                assert!(
                    nearest < 0.1,
                    "page {page}: no cut line at {y} mm but {found:?} pixels"
                );
            }
            crossings += expected.len();
        }
    }
    assert!(crossings > 20, "only {crossings} lines cross joints");
}

#[test]
fn layers_can_be_switched_off() {
    if !has("qpdf") {
        return;
    }
    let text = run("qpdf", &["--json", written("a4").to_str().unwrap()]);
    for layer in ["seam", "marks", "labels", "cut", "page"] {
        assert!(text.contains(&format!("\"u:{layer}\"")), "no layer {layer}");
    }
    assert!(text.contains("\"/PrintScaling\": \"/None\""));
}

#[test]
fn hard_names_do_no_harm() {
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    let mut order = fixture::order();
    for name in [
        "x".repeat(400),
        "🧵🪡 Tailor".into(),
        "a\u{0}b\u{1b}[31m\r\n)(\\<>&\"".into(),
        String::new(),
    ] {
        order.client.name = name.clone();
        order.client.reference = name;
        let bytes = paper_pattern::write(&pieces, &order, &setup("a4")).unwrap();
        if has("qpdf") {
            let file = tempfile::NamedTempFile::new().unwrap();
            std::fs::write(file.path(), bytes).unwrap();
            run("qpdf", &["--check", file.path().to_str().unwrap()]);
        }
    }
}
