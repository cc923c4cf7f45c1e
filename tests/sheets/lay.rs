//! Lay and pieces as SVG and plot files.

use chalkstripe::sheets::plot::{Reach, TooLong};
use chalkstripe::sheets::{drawing::Drawing, gallery, marker, plot, svg};
use resvg::{tiny_skia, usvg};

use crate::fixture;
use crate::reader::{Picture, has, run};

fn lay_drawing() -> Drawing {
    let pattern = fixture::pattern();
    marker::draw(&fixture::open_lay(&pattern), &pattern, &fixture::order())
}

fn read_svg(bytes: &[u8]) -> usvg::Tree {
    usvg::Tree::from_data(
        bytes,
        &usvg::Options {
            dpi: 25.4,
            ..Default::default()
        },
    )
    .unwrap()
}

fn png(bytes: &[u8], name: &str, pixels_wide: f32) {
    let tree = read_svg(bytes);
    let scale = pixels_wide / tree.size().width();
    let (width, height) = (pixels_wide as u32, (tree.size().height() * scale) as u32);
    let mut picture = tiny_skia::Pixmap::new(width, height).unwrap();
    picture.fill(tiny_skia::Color::WHITE);
    resvg::render(
        &tree,
        tiny_skia::Transform::from_scale(scale, scale),
        &mut picture.as_mut(),
    );
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    picture.save_png(folder.join(name)).unwrap();
}

#[test]
fn the_lay_is_as_wide_as_the_cloth() {
    let bytes = svg::write(&lay_drawing());
    let tree = read_svg(&bytes);
    assert!(
        (tree.size().width() - 1500.0).abs() < 0.01,
        "{:?}",
        tree.size()
    );
    png(&bytes, "lay.png", 1500.0);
    let text = String::from_utf8(bytes).unwrap();
    assert!(!text.contains("transform") && !text.contains("<text") && !text.contains("style"));
}

#[test]
fn doubled_cloth_is_drawn_as_it_lies() {
    let pattern = fixture::pattern();
    let drawing = marker::draw(&fixture::lays(&pattern)[0], &pattern, &fixture::order());
    let bytes = svg::write(&drawing);
    assert!((read_svg(&bytes).size().width() - 750.0).abs() < 0.01);
    png(&bytes, "lay-doubled.png", 1500.0);
}

#[test]
fn every_piece_keeps_its_size_in_the_svg() {
    use kurbo::Shape;
    let pattern = fixture::pattern();
    let laid = fixture::open_lay(&pattern);
    let tree = read_svg(&svg::write(&marker::draw(
        &laid,
        &pattern,
        &fixture::order(),
    )));
    for (i, placement) in laid.lay.placements.iter().enumerate() {
        let piece = &pattern.pieces[placement.piece];
        let expected = (placement.transform * &piece.cut).bounding_box();
        let node = tree.node_by_id(&format!("cut-{}", i + 1)).unwrap();
        let found = node.bounding_box();
        for (found, expected) in [
            (found.left(), expected.x0),
            (found.top(), expected.y0),
            (found.right(), expected.x1),
            (found.bottom(), expected.y1),
        ] {
            assert!(
                (f64::from(found) - expected).abs() < 0.02,
                "{}: {found} {expected}",
                piece.name
            );
        }
    }
}

#[test]
fn pieces_stand_side_by_side() {
    let drawing = gallery::draw(&fixture::pattern(), &fixture::order());
    let bytes = svg::write(&drawing);
    png(&bytes, "pieces.png", 1800.0);
    let tree = read_svg(&bytes);
    assert!((f64::from(tree.size().width()) - drawing.width).abs() < 0.01);
}

#[test]
fn the_same_lay_gives_the_same_bytes() {
    assert_eq!(svg::write(&lay_drawing()), svg::write(&lay_drawing()));
    let plot = || plot::write(&lay_drawing(), Reach::Long).unwrap().bytes;
    assert_eq!(plot(), plot());
}

#[test]
fn a_plot_holds_only_plain_commands_and_shortens_the_travel() {
    let plot = plot::write(&lay_drawing(), Reach::Long).unwrap();
    let text = String::from_utf8(plot.bytes).unwrap();
    for command in text
        .split(';')
        .map(str::trim)
        .filter(|command| !command.is_empty())
    {
        assert!(
            ["IN", "PS", "SP", "PU", "PD"].contains(&&command[..2]),
            "{command}"
        );
        assert!(
            command[2..]
                .chars()
                .all(|c| c.is_ascii_digit() || c == ',' || c == '-'),
            "{command}"
        );
    }
    println!(
        "raised travel {:.1} m, in file order {:.1} m",
        plot.travel / 1e3,
        plot.unsorted_travel / 1e3
    );
    assert!(plot.travel < 0.8 * plot.unsorted_travel);
    // Each pen once: lettering, marks, cut.
    assert_eq!(
        text.match_indices("SP")
            .map(|(i, _)| &text[i + 2..i + 3])
            .collect::<String>(),
        "3210"
    );
}

#[test]
fn a_short_plot_refuses_what_it_cannot_reach() {
    let lay = lay_drawing();
    let length = lay.width.max(lay.height);
    let refused = plot::write(&lay, Reach::Short).unwrap_err();
    assert_eq!(refused, TooLong { length });
    let mut small = Drawing::new("small", 800.0, 500.0);
    small.line(
        chalkstripe::sheets::drawing::Layer::Cut,
        chalkstripe::sheets::drawing::rectangle(kurbo::Rect::new(5.0, 5.0, 795.0, 495.0)),
        chalkstripe::sheets::drawing::Pen::CUT,
    );
    assert!(plot::write(&small, Reach::Short).is_ok());
}

/// The drawing as hp2xx makes it of the plot, at that many pixels to the inch.
fn plotted(sheet: &Drawing, dpi: &str) -> Picture {
    let folder = tempfile::tempdir().unwrap();
    let (plt, pbm) = (
        folder.path().join("sheet.plt"),
        folder.path().join("sheet.pbm"),
    );
    std::fs::write(&plt, plot::write(sheet, Reach::Long).unwrap().bytes).unwrap();
    let (from, to) = (plt.to_str().unwrap(), pbm.to_str().unwrap());
    run(
        "hp2xx",
        &["-q", "-t", "-m", "pbm", "-d", dpi, "-f", to, from],
    );
    Picture::read(&pbm)
}

/// Two cut lines across a narrow sheet, that far apart in mm.
fn ladder(apart: f64) -> Drawing {
    use chalkstripe::sheets::drawing::{Layer, Pen, segment};
    let mut sheet = Drawing::new("ladder", 12.0, apart + 50.0);
    for y in [25.0, 25.0 + apart] {
        sheet.line(Layer::Cut, segment((1.0, y), (11.0, y)), Pen::CUT);
    }
    sheet
}

/// At 10 pixels to the mm, two cut lines a metre apart lie 10000 pixels apart.
#[test]
fn a_plot_is_true_over_a_metre() {
    if !has("hp2xx") {
        return;
    }
    let picture = plotted(&ladder(1000.0), "254");
    let lines = picture.lines_across(picture.height / 2);
    assert_eq!(lines.len(), 2, "{lines:?}");
    assert!((lines[1] - lines[0] - 10_000.0).abs() < 1.0, "{lines:?}");
}

/// usvg, librsvg and hp2xx find the same three metres, to 0.05 mm.
#[test]
fn three_programs_agree_over_three_metres() {
    if !has("hp2xx") || !has("rsvg-convert") {
        return;
    }
    let sheet = ladder(3000.0);
    let bytes = svg::write(&sheet);
    let cut = read_svg(&bytes).node_by_id("cut").unwrap().bounding_box();
    assert!((f64::from(cut.height()) - 3000.0).abs() < 0.05, "{cut:?}");
    let folder = tempfile::tempdir().unwrap();
    let (from, to) = (
        folder.path().join("sheet.svg"),
        folder.path().join("sheet.png"),
    );
    std::fs::write(&from, &bytes).unwrap();
    let (from, to) = (from.to_str().unwrap(), to.to_str().unwrap());
    run(
        "rsvg-convert",
        &["-d", "254", "-p", "254", "-b", "white", "-o", to, from],
    );
    let drawn = tiny_skia::Pixmap::load_png(to).unwrap();
    let picture = Picture {
        width: drawn.width() as usize,
        height: drawn.height() as usize,
        grey: drawn.pixels().iter().map(|pixel| pixel.red()).collect(),
    };
    for lines in [picture.lines_down(picture.width / 2), {
        let plotted = plotted(&sheet, "254");
        plotted.lines_across(plotted.height / 2)
    }] {
        assert_eq!(lines.len(), 2, "{lines:?}");
        assert!((lines[1] - lines[0] - 30_000.0).abs() <= 0.5, "{lines:?}");
    }
}

/// An L on the sheet, long leg along the cloth and foot to the right at its far end, is a quarter
/// turn to the left on the plot: long leg along the bottom, foot upwards at the right.
#[test]
fn the_plot_of_a_lay_is_not_mirrored() {
    use chalkstripe::sheets::drawing::{Layer, Pen, segment};
    if !has("hp2xx") {
        return;
    }
    let mut sheet = Drawing::new("L", 100.0, 300.0);
    sheet.line(Layer::Cut, segment((20.0, 20.0), (20.0, 280.0)), Pen::CUT);
    sheet.line(Layer::Cut, segment((20.0, 280.0), (80.0, 280.0)), Pen::CUT);
    let picture = plotted(&sheet, "127");
    let (width, height) = (picture.width as f64, picture.height as f64);
    let leg = picture.lines_down(picture.width / 2);
    let foot = picture.lines_across(picture.height / 2);
    assert!(leg.len() == 1 && leg[0] > 0.7 * height, "{leg:?}");
    assert!(foot.len() == 1 && foot[0] > 0.9 * width, "{foot:?}");
}

/// Every letter of the plotter's alphabet, to be looked at.
#[test]
fn a_specimen_of_the_lettering() {
    use chalkstripe::sheets::drawing::{Layer, Text};
    let mut sheet = Drawing::new("specimen", 240.0, 150.0);
    for (i, line) in [
        "ABCDEFGHIJKLMNOPQRSTUVWXYZ 0123456789 &%#@",
        "abcdefghijklmnopqrstuvwxyz .,:;!?'\"()[]{}/\\+-=*<>",
        "ŻÓŁĆ żółć Ödön ÅÄÖ åäö ß Øø Ææ Œœ Đđ Ħħ Þþ Ðð Ññ Çç Şş Ğğ İı Řř Ůů Őő",
        "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ αβγδεζηθικλμνξοπρσςτυφχψω άέήίόύώ",
        "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ ЇІЄҐЎЂЋЉЊЏ",
        "абвгдеёжзийклмнопрстуфхцчшщъыьэюя їієґўђћљњџ",
        "Żółć Ödön Ωμέγα Иван · Lefèvre — “Åse” 15½ in ◊ … № §",
    ]
    .iter()
    .enumerate()
    {
        sheet.text(
            Layer::Labels,
            Text::new(line, (8.0, 18.0 + 20.0 * i as f64), 4.5),
        );
    }
    png(&svg::write(&sheet), "specimen.png", 1900.0);
}
