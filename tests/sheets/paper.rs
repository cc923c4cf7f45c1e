//! The paper pattern, read back by poppler, mupdf and qpdf.

use std::io::Write;
use std::path::{Path, PathBuf};

use chalkstripe::pattern::Piece;
use chalkstripe::sheets::grid::Grid;
use chalkstripe::sheets::paper::{Paper, Setup};
use chalkstripe::sheets::paper_pattern;
use chalkstripe::sheets::tiling::Plan;
use kurbo::{BezPath, Line, ParamCurve, Shape};

use crate::sheets::fixture;
use crate::sheets::reader::{Picture, has, run};

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
    let papers = [
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
    for (paper, most) in papers {
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

/// Readers stop at 14400 points, 5.08 m (ISO 32000-1, annex C): a longer strip is cut into pages that
/// join.
#[test]
fn a_long_roll_is_cut_into_pages_that_readers_take() {
    // Enough for five: on one strip they need more than 5 m.
    let pattern = fixture::pattern();
    let once: Vec<&Piece> = pattern.pieces.iter().collect();
    let pieces = once.repeat(5);
    let bytes = paper_pattern::write(&pieces, &fixture::order(), &setup("roll:914mm")).unwrap();
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("paper-long.pdf");
    std::fs::write(&path, bytes).unwrap();
    if !has("pdfinfo") || !has("qpdf") {
        return;
    }
    run("qpdf", &["--check", path.to_str().unwrap()]);
    let count = pages(&path);
    let last = count.to_string();
    let sizes = run("pdfinfo", &["-l", &last, path.to_str().unwrap()]);
    let mut strips = 0;
    let of_pages = sizes.lines().filter(|line| line.starts_with("Page "));
    for (_, size) in of_pages.filter_map(|line| line.split_once("size:")) {
        let sides = size.split_whitespace().filter_map(|word| word.parse().ok());
        let longest: f64 = sides.fold(0.0, f64::max);
        assert!(longest <= 14400.0, "{size}");
        strips += usize::from(longest > 10_000.0);
    }
    assert!(strips > 0, "{sizes}");
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

/// A printer that makes 99.4 by 100.2 mm of the square gets a square that is as much too large or too small, on
/// pages of the same size, whether they stand or lie.
#[test]
fn a_printer_that_is_not_true_is_made_good() {
    if !has("pdftoppm") || !has("pdfinfo") {
        return;
    }
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    let setup = Setup {
        printed: "99.4x100.2".parse().unwrap(),
        ..setup("a4")
    };
    let bytes = paper_pattern::write(&pieces, &fixture::order(), &setup).unwrap();
    let file = tempfile::Builder::new().suffix(".pdf").tempfile().unwrap();
    std::fs::write(file.path(), bytes).unwrap();
    let first = &pictures("pdftoppm", file.path(), 1, 1)[0];
    let (across, down) = (first.lines_across(600), first.lines_down(500));
    let apart_by = |lines: &[f64], mm: f64| apart(lines, 10.0 * mm);
    assert!(apart_by(&across, 100.0 * 100.0 / 99.4), "{across:?}");
    assert!(apart_by(&down, 100.0 * 100.0 / 100.2), "{down:?}");
    let told = run(
        "pdfinfo",
        &["-f", "1", "-l", "99", file.path().to_str().unwrap()],
    );
    let sizes: Vec<&str> = told
        .lines()
        .filter(|line| line.starts_with("Page ") && line.contains(" size:"))
        .collect();
    let is_a4 = |line: &&str| line.contains("595.2") && line.contains("841.8");
    assert!(sizes.len() > 2 && sizes.iter().all(is_a4), "{sizes:?}");
}

/// The page for a projector is one, and no two pieces lie on each other.
#[test]
fn a_projector_gets_one_page() {
    let path = written("projector");
    if has("pdfinfo") {
        assert_eq!(pages(&path), 1);
    }
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    let plan = Plan::new(&pieces, &setup("projector")).unwrap();
    let boxes = pieces.iter().zip(&plan.places);
    let boxes: Vec<_> = boxes
        .map(|(p, place)| (*place * &p.cut).bounding_box())
        .collect();
    for lying in &boxes {
        assert!(lying.x0 > 0.0 && lying.x1 < plan.page.0 && lying.y1 < plan.page.1);
        // Below the words.
        assert!(lying.y0 > 190.0, "{lying:?}");
    }
}

fn collect_squares(group: &resvg::usvg::Group, squares: &mut Vec<(f64, f64)>) {
    for node in group.children() {
        match node {
            resvg::usvg::Node::Group(inner) => collect_squares(inner, squares),
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
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    let plan = Plan::new(&pieces, &setup("a4")).unwrap();
    let used: Vec<(usize, usize)> = plan.used_pages().collect();
    let joined = |&(column, row): &(usize, usize)| column > 0 && used.contains(&(column - 1, row));
    // The pages follow the first page with the squares.
    let page = used.iter().rposition(joined).expect("two side by side") + 2;
    for program in ["pdftoppm", "mutool"] {
        if !has(program) {
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
        let beside = &pictures(program, &path, page, page)[0];
        // Ticks stand 10 mm apart along the joint at the left; look half a mm inside the frame.
        let ticks = beside.lines_down(105);
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
    let outlines = pieces.iter().zip(&plan.places);
    let outlines: Vec<BezPath> = outlines.map(|(p, place)| *place * &p.cut).collect();
    let crossings = joins(&written("a4"), &plan, &setup, &outlines);
    assert!(crossings > 60, "only {crossings} lines cross joints");
}

/// The same for a lay on Letter, with other margins: each cut lies on paper as on the cloth.
#[test]
fn a_lay_on_paper_joins_too() {
    if !has("pdftoppm") {
        return;
    }
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    let setup = Setup {
        margin: 6.0,
        overlap: 14.0,
        ..setup("letter")
    };
    let lays = [fixture::open_lay()];
    let order = fixture::order();
    let bytes = paper_pattern::write_lays(&pieces, &pattern, &lays, &order, &setup).unwrap();
    let file = tempfile::Builder::new().suffix(".pdf").tempfile().unwrap();
    std::fs::write(file.path(), bytes).unwrap();
    let outlines: Vec<BezPath> = lays[0]
        .lay
        .placements
        .iter()
        .map(|placement| placement.transform * &pattern.pieces[placement.piece].cut)
        .collect();
    let plan = Plan::of_sheet(&outlines, lays[0].lay.cloth_width, &setup).unwrap();
    let crossings = joins(file.path(), &plan, &setup, &outlines);
    assert!(crossings > 100, "only {crossings} lines cross joints");
}

/// Checks every joint of the pages after the first: the cut lines in the strips that pages share.
/// Returns how many lines crossed them.
fn joins(pdf: &Path, plan: &Plan, setup: &Setup, outlines: &[BezPath]) -> usize {
    let used: Vec<(usize, usize)> = plan.used_pages().collect();
    let pictures = pictures("pdftoppm", pdf, 2, used.len() + 1);
    let page_of = |wanted: (usize, usize)| used.iter().position(|&at| at == wanted);
    let corner = |(column, row): (usize, usize)| {
        let Grid { width, height, .. } = plan.grid;
        kurbo::Vec2::new(column as f64 * width, row as f64 * height)
            - kurbo::Vec2::new(setup.margin, setup.margin)
    };
    let (wide, tall) = (plan.page.0, plan.page.1);
    let edge = setup.margin + 2.0;
    let strip = setup.overlap / 2.0 + setup.margin;
    let mut crossings = 0;
    for &(column, row) in &used {
        // A row or column of pixels in the middle of the strip, on both pages.
        let beside = [
            ((column, row), (column + 1, row), true),
            ((column, row), (column, row + 1), false),
        ];
        for (here, there, upright) in beside {
            let (Some(first), Some(second)) = (page_of(here), page_of(there)) else {
                continue;
            };
            let own = if upright {
                plan.grid.width
            } else {
                plan.grid.height
            };
            for (page, at, from_edge) in [(first, here, own + strip), (second, there, strip)] {
                let pixel = (from_edge * 10.0) as usize;
                let mm = (pixel as f64 + 0.5) / 10.0;
                let line = if upright {
                    Line::new((mm, 0.0), (mm, tall))
                } else {
                    Line::new((0.0, mm), (wide, mm))
                };
                let on_sheet = Line::new(line.p0 + corner(at), line.p1 + corner(at));
                let length = on_sheet.p0.distance(on_sheet.p1);
                let expected: Vec<f64> = outlines
                    .iter()
                    .flat_map(|outline| outline.segments())
                    .flat_map(|part| part.intersect_line(on_sheet))
                    .map(|hit| hit.line_t * length)
                    .filter(|along| (edge..length - edge).contains(along))
                    .collect();
                let found = if upright {
                    pictures[page].lines_down(pixel)
                } else {
                    pictures[page].lines_across(pixel)
                };
                for place in &expected {
                    // A line that runs along the row of pixels, or beside another, makes one long
                    // run with it; those are counted out below.
                    let off = found.iter().map(|f| (f / 10.0 - place).abs());
                    if off.fold(f64::MAX, f64::min) < 0.1 {
                        crossings += 1;
                    } else {
                        // The lines to which the next pages are glued are lines as well.
                        let glued = setup.margin + setup.overlap;
                        let crowded = expected_near(outlines, on_sheet, *place, length)
                            || (place - glued).abs().min((length - glued - place).abs()) < 1.0;
                        assert!(
                            crowded,
                            "page {page}: no cut line at {place} mm but {found:?} pixels"
                        );
                    }
                }
            }
        }
    }
    crossings
}

/// Whether another line lies within a mm of that place, or a line meets the row at less than 30
/// degrees: there a row of pixels cannot tell the middle of a stroke.
fn expected_near(outlines: &[BezPath], row: Line, at: f64, length: f64) -> bool {
    let along = (row.p1 - row.p0).normalize();
    let mut near = 0;
    for part in outlines.iter().flat_map(|outline| outline.segments()) {
        for hit in part.intersect_line(row) {
            if (hit.line_t * length - at).abs() < 1.0 {
                near += 1;
                let t = hit.segment_t;
                let step = part.eval((t + 1e-4).min(1.0)) - part.eval((t - 1e-4).max(0.0));
                if step.normalize().cross(along).abs() < 0.5 {
                    return true;
                }
            }
        }
    }
    near > 1
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

/// A reader that switches layers off shows the rest: without any of them a page is white but for its
/// frame, and each takes its own lines with it.
#[test]
fn a_layer_switched_off_is_not_drawn() {
    if !has("pdftoppm") {
        return;
    }
    let path = written("a4");
    let dark = |off: &[&str]| {
        let mut file = lopdf::Document::load(&path).unwrap();
        let named: Vec<lopdf::ObjectId> = file
            .objects
            .iter()
            .filter(|(_, object)| {
                let name = object
                    .as_dict()
                    .ok()
                    .and_then(|d| d.get(b"Name").ok()?.as_str().ok());
                name.is_some_and(|name| off.iter().any(|off| name == off.as_bytes()))
            })
            .map(|(id, _)| *id)
            .collect();
        assert_eq!(named.len(), off.len(), "{off:?}");
        let catalog = file.catalog().unwrap();
        let layers = catalog.get(b"OCProperties").unwrap();
        let id = layers.as_reference().ok();
        let mut layers = match id {
            Some(id) => file.get_dictionary(id).unwrap().clone(),
            None => layers.as_dict().unwrap().clone(),
        };
        let named = named.into_iter().map(lopdf::Object::Reference).collect();
        let configuration = layers.get_mut(b"D").unwrap().as_dict_mut().unwrap();
        configuration.set("OFF", lopdf::Object::Array(named));
        match id {
            Some(id) => file.set_object(id, layers),
            None => file.catalog_mut().unwrap().set("OCProperties", layers),
        }
        let changed = tempfile::Builder::new().suffix(".pdf").tempfile().unwrap();
        file.save(changed.path()).unwrap();
        let page = &pictures("pdftoppm", changed.path(), 2, 2)[0];
        page.grey.iter().filter(|grey| **grey < 100).count()
    };
    let all = dark(&[]);
    let layers = ["seam", "marks", "labels", "cut"];
    let least = layers.map(|layer| all - dark(&[layer]));
    println!("dark pixels: {all}; taken by {layers:?}: {least:?}");
    assert!(least[0] > 500 && least[3] > 5000, "{least:?}");
    let bare = dark(&layers);
    assert!(bare < all / 2, "{bare} of {all} are left");
    assert!(dark(&["seam", "marks", "labels", "cut", "page"]) == 0);
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
