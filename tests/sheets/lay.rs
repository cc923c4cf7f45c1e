//! Lay and pieces as SVG and plot files.

use chalkstripe::order::House;
use chalkstripe::sheets::plot::{Pens, Plot};
use chalkstripe::sheets::{drawing::Drawing, gallery, marker, plot, svg};
use chalkstripe::workshop::Workshop;
use resvg::{tiny_skia, usvg};

use crate::sheets::fixture;
use crate::sheets::reader::{Picture, has, run};

fn plot(drawing: &Drawing) -> Plot {
    plot::write(drawing, Pens::of(&House::built_in().unwrap()))
}

fn lay_drawing() -> Drawing {
    let pattern = fixture::pattern();
    marker::draw(&fixture::open_lay(), &pattern, &fixture::order())
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

/// Draws an SVG as a picture to be looked at, and hands it back.
fn png(bytes: &[u8], name: &str, pixels_wide: f32) -> tiny_skia::Pixmap {
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
    picture
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
    let drawing = marker::draw(&fixture::lays()[0], &pattern, &fixture::order());
    let bytes = svg::write(&drawing);
    assert!((read_svg(&bytes).size().width() - 750.0).abs() < 0.01);
    png(&bytes, "lay-doubled.png", 1500.0);
}

#[test]
fn every_piece_keeps_its_size_in_the_svg() {
    use kurbo::Shape;
    let pattern = fixture::pattern();
    let laid = fixture::open_lay();
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
        for (side, wanted) in [
            (found.left(), expected.x0),
            (found.top(), expected.y0),
            (found.right(), expected.x1),
            (found.bottom(), expected.y1),
        ] {
            assert!(
                (f64::from(side) - wanted).abs() < 0.02,
                "{}: {side} {wanted}",
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

/// In the picture of all pieces every name is large enough to be read as it opens, and nothing lies on
/// anything else.
#[test]
fn every_piece_is_named_legibly_in_the_picture() {
    use chalkstripe::sheets::drawing::{Ink, Layer};
    use kurbo::{Rect, Shape};
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    for example in ["plain-worsted", "three-piece", "fitted-twice"] {
        let file = root.join(format!("examples/{example}.toml"));
        let order = chalkstripe::order::read(&file).unwrap().order;
        let pattern = chalkstripe::job::draft(Workshop::embedded(), &order)
            .unwrap()
            .pattern;
        let sheet = gallery::draw(&pattern, &order);
        let scale = gallery::PIXELS / sheet.width.max(sheet.height);
        let mut boxes: Vec<(String, Rect)> = Vec::new();
        for item in sheet
            .items
            .iter()
            .filter(|item| item.layer == Layer::Labels && item.part == 0)
        {
            let Ink::Text(text) = &item.ink else { continue };
            // A capital of nine pixels is that of the smallest print on a screen.
            let pixels = scale * text.height;
            assert!(
                pixels >= 9.0,
                "{example}: {} is {pixels:.1} pixels high",
                text.words
            );
            boxes.push((text.words.clone(), text.outline().bounding_box()));
        }
        assert_eq!(boxes.len(), 2 * pattern.pieces.len(), "{example}");
        let places = gallery::stand(&pattern).places;
        let cuts = pattern.pieces.iter().zip(places);
        boxes.extend(
            cuts.map(|(piece, place)| (piece.name.clone(), (place * &piece.cut).bounding_box())),
        );
        for (i, (name, a)) in boxes.iter().enumerate() {
            assert!(
                a.x0 >= 0.0 && a.y0 >= 0.0 && a.x1 <= sheet.width && a.y1 <= sheet.height,
                "{name}"
            );
            for (other, b) in boxes.iter().take(i) {
                let shared = a.inset(-0.5).intersect(b.inset(-0.5));
                assert!(shared.is_zero_area(), "{example}: {name} lies on {other}");
            }
        }
    }
}

#[test]
fn the_same_lay_gives_the_same_bytes() {
    assert_eq!(svg::write(&lay_drawing()), svg::write(&lay_drawing()));
    assert_eq!(plot(&lay_drawing()), plot(&lay_drawing()));
}

#[test]
fn a_plot_holds_only_plain_commands_and_shortens_the_travel() {
    let plot = plot(&lay_drawing());
    let text = String::from_utf8(plot.bytes).unwrap();
    holds_only_plain_commands(&text);
    println!(
        "raised travel {:.1} m, as drawn {:.1} m",
        plot.travel.written / 1e3,
        plot.travel.drawn / 1e3
    );
    assert!(plot.travel.written < 0.8 * plot.travel.drawn);
    // Each pen once: lettering, marks, cut.
    assert_eq!(
        text.match_indices("SP")
            .map(|(i, _)| &text[i + 2..i + 3])
            .collect::<String>(),
        "3210"
    );
}

fn holds_only_plain_commands(text: &str) {
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
}

/// A plotter whose coordinates end at 32767 gets the lay in frames: all of it, each frame within its
/// reach, and every cut line of the one long plot in the place it has there.
#[test]
fn a_short_plot_is_split_into_frames_that_join() {
    let lay = lay_drawing();
    let pens = Pens::of(&House::built_in().unwrap());
    let frames = plot::frames(&lay, pens);
    assert!(frames.len() >= 4, "{}", frames.len());
    let mut drawn = 0.0;
    for frame in &frames {
        let text = String::from_utf8(frame.plot.bytes.clone()).unwrap();
        holds_only_plain_commands(&text);
        let numbers = text
            .split(|c: char| !c.is_ascii_digit() && c != '-')
            .filter_map(|word| word.parse::<i64>().ok());
        for number in numbers {
            assert!((0..=32767).contains(&number), "{}: {number}", frame.name);
        }
        drawn += pen_down(&text, "SP1;");
    }
    let whole = pen_down(std::str::from_utf8(&plot(&lay).bytes).unwrap(), "SP1;");
    // The strips that frames share are drawn twice: 20 mm of every 819.
    assert!(
        drawn > whole && drawn < 1.12 * whole,
        "{drawn} mm in frames, {whole} mm in one"
    );
    let mut small = Drawing::new("small", 800.0, 500.0);
    small.line(
        chalkstripe::sheets::drawing::Layer::Cut,
        chalkstripe::sheets::drawing::rectangle(kurbo::Rect::new(5.0, 5.0, 795.0, 495.0)),
        chalkstripe::sheets::drawing::Pen::CUT,
    );
    let one = plot::frames(&small, pens);
    assert_eq!(one.len(), 1);
    assert_eq!(one[0].plot, plot(&small));
}

/// How far a pen draws, in mm.
fn pen_down(text: &str, pen: &str) -> f64 {
    let (mut length, mut at) = (0.0, (0.0, 0.0));
    let part = text.split(pen).nth(1).unwrap_or_default();
    for command in part.split(';').map(str::trim) {
        if command.starts_with("SP") {
            break;
        }
        let numbers: Vec<f64> = command
            .get(2..)
            .unwrap_or_default()
            .split(',')
            .filter_map(|number| number.parse().ok())
            .collect();
        for pair in numbers.chunks_exact(2) {
            let to = (pair[0] / 40.0, pair[1] / 40.0);
            if command.starts_with("PD") {
                length += f64::hypot(to.0 - at.0, to.1 - at.1);
            }
            at = to;
        }
    }
    length
}

/// Two neighbouring frames put a cross at the same place of the lay, and hp2xx draws it on both.
#[test]
fn frames_share_crosses_to_join_them_by() {
    if !has("hp2xx") {
        return;
    }
    use chalkstripe::sheets::drawing::{Layer, Pen, segment};
    let mut strip = Drawing::new("strip", 1200.0, 60.0);
    strip.line(Layer::Cut, segment((0.0, 30.0), (1200.0, 30.0)), Pen::CUT);
    let frames = plot::frames(&strip, Pens::of(&House::built_in().unwrap()));
    assert_eq!(
        frames.iter().map(|f| f.name.as_str()).collect::<Vec<_>>(),
        ["A1", "B1"]
    );
    // 1200 mm in two frames that share 20: 610 each, the cross in the middle of what they share. hp2xx
    // leaves an edge of a pixel or two.
    for (frame, cross) in frames.iter().zip([600.0, 10.0]) {
        let picture = drawn_by_hp2xx(&frame.plot.bytes, "254");
        // A row through the arm of a cross that stands 4 % of the way up, clear of the cut line.
        let height = picture.height as f64;
        let lines: Vec<f64> = (0..picture.height)
            .step_by(5)
            .flat_map(|y| picture.lines_across(y))
            .collect();
        assert!(
            lines.iter().any(|x| (x - 10.0 * cross).abs() < 2.5),
            "{}: no cross at {cross} mm of {height} rows: {lines:?}",
            frame.name
        );
    }
}

/// The drawing as hp2xx makes it of the plot, at that many pixels to the inch.
fn plotted(sheet: &Drawing, dpi: &str) -> Picture {
    drawn_by_hp2xx(&plot(sheet).bytes, dpi)
}

fn drawn_by_hp2xx(bytes: &[u8], dpi: &str) -> Picture {
    let folder = tempfile::tempdir().unwrap();
    let (plt, pbm) = (
        folder.path().join("sheet.plt"),
        folder.path().join("sheet.pbm"),
    );
    std::fs::write(&plt, bytes).unwrap();
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

/// What the house says of its hand is drawn: notches as triangles, and a second line for the inlays.
#[test]
fn a_house_has_its_own_notches_and_inlay_lines() {
    use chalkstripe::sheets::drawing::{Ink, Layer, Pen};
    use kurbo::Shape;
    let example =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/plain-worsted.toml");
    let mut order = chalkstripe::order::read(&example).unwrap().order;
    let pattern = chalkstripe::job::draft(Workshop::embedded(), &order)
        .unwrap()
        .pattern;
    // How many open lines are cut, how many of them have a tip between two ends, and how many lines
    // are drawn as an inlay's.
    let drawn = |asked: &chalkstripe::order::Order| {
        let sheet = gallery::draw(&pattern, asked);
        let (mut slits, mut triangles, mut inlays) = (0, 0, 0);
        for item in &sheet.items {
            if let Ink::Stroke { path, pen } = &item.ink {
                let segments = path.segments().count();
                let open = path.area() != 0.0 || segments == 1;
                slits += usize::from(item.layer == Layer::Cut && segments == 1);
                triangles += usize::from(item.layer == Layer::Cut && open && segments == 2);
                inlays += usize::from(*pen == Pen::INLAY);
            }
        }
        (slits, triangles, inlays)
    };
    let notches: usize = pattern.pieces.iter().map(|piece| piece.notches.len()).sum();
    let inlays: usize = pattern.pieces.iter().map(|piece| piece.inlays.len()).sum();
    let (slits, triangles, none) = drawn(&order);
    assert!(notches > 20 && inlays > 5 && slits >= notches);
    assert_eq!((triangles, none), (0, 0));
    for (name, word) in [
        ("drawing.notch", "triangle"),
        ("drawing.inlay_line", "drawn"),
    ] {
        order
            .house
            .change(name, &toml::Value::String(word.into()))
            .unwrap();
    }
    assert_eq!(drawn(&order), (slits - notches, notches, inlays));
}

/// Every letter of the plotter's alphabet, to be looked at: each line has its place, and between its letters
/// the paper is white.
#[test]
fn a_specimen_of_the_lettering() {
    use chalkstripe::sheets::drawing::{Layer, Text};
    let lines = [
        "ABCDEFGHIJKLMNOPQRSTUVWXYZ 0123456789 &%#@",
        "abcdefghijklmnopqrstuvwxyz .,:;!?'\"()[]{}/\\+-=*<>",
        "ŻÓŁĆ żółć Ödön ÅÄÖ åäö ß Øø Ææ Œœ Đđ Ħħ Þþ Ðð Ññ Çç Şş Ğğ İı Řř Ůů Őő",
        "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ αβγδεζηθικλμνξοπρσςτυφχψω άέήίόύώ",
        "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ ЇІЄҐЎЂЋЉЊЏ",
        "абвгдеёжзийклмнопрстуфхцчшщъыьэюя їієґўђћљњџ",
        "Żółć Ödön Ωμέγα Иван · Lefèvre — “Åse” 15½ in ◊ … № §",
    ];
    let mut sheet = Drawing::new("specimen", 240.0, 150.0);
    for (i, line) in lines.iter().enumerate() {
        let place = (8.0, 18.0 + 20.0 * i as f64);
        sheet.text(Layer::Labels, Text::new(line, place, 4.5));
    }
    let whole = png(&svg::write(&sheet), "specimen.png", 1900.0);
    let per_mm = f64::from(whole.width()) / 240.0;
    let dark = |x: u32, y: u32| whole.pixel(x, y).is_some_and(|p| p.red() < 128);
    for (i, line) in lines.iter().enumerate() {
        // From above the highest accent to below the lowest tail.
        let base = 18.0 + 20.0 * i as f64;
        let band = ((base - 8.0) * per_mm) as u32..((base + 4.0) * per_mm) as u32;
        let inked: Vec<bool> = (0..whole.width())
            .map(|x| band.clone().any(|y| dark(x, y)))
            .collect();
        let letters = line.chars().filter(|letter| *letter != ' ').count();
        let runs = inked.windows(2).filter(|pair| !pair[0] && pair[1]).count();
        assert!(runs >= letters, "{runs} of {letters} in {line}");
        let first = inked.iter().position(|ink| *ink).unwrap() as f64 / per_mm;
        assert!((first - 8.0).abs() < 1.0, "{line} begins at {first}");
        assert!(!inked[inked.len() - 8], "{line} runs off the sheet");
    }
}

/// How much of the cloth is used, as the report has it, is the area within the cut lines as the lay draws
/// them, against the cloth's usable width and the lay's length.
#[test]
fn the_part_used_is_that_of_the_cut_lines() {
    use kurbo::Shape;
    let mut lays = 0;
    for order in fixture::cut_examples() {
        let read = |file: &str| std::fs::read_to_string(order.join(file)).unwrap();
        let report: serde_json::Value = serde_json::from_str(&read("report.json")).unwrap();
        let others = report["other_lays"].as_array().unwrap();
        for lay in std::iter::once(&report["lay"]).chain(others) {
            let material = lay["material"].as_str().unwrap().replace('_', "-");
            // A garment's own cloth is known by the garment.
            let material = material.strip_prefix("cloth.").unwrap_or(&material);
            let svg = match material {
                "cloth" => read("lay.svg"),
                other => read(&format!("lay-{other}.svg")),
            };
            let placements = lay["placements"].as_array().unwrap();
            let cut = |(i, placement): (usize, &serde_json::Value)| {
                let group = format!("id=\"cut-{}\"", i + 1);
                let (_, group) = svg.split_once(&group).expect("a piece");
                let (group, _) = group.split_once("</g>").unwrap();
                let outlines = group.split(" d=\"").skip(1).map(|d| {
                    let mut path = kurbo::BezPath::from_svg(d.split_once('"').unwrap().0).unwrap();
                    // Half a piece is open along the fold of the cloth.
                    path.close_path();
                    path.area().abs()
                });
                // Notches enclose next to nothing.
                let plies = placement["plies"].as_f64().unwrap();
                outlines.fold(0.0, f64::max) * plies
            };
            let area: f64 = placements.iter().enumerate().map(cut).sum();
            let number = |key: &str| lay[key].as_f64().unwrap();
            let plies = if lay["layout"] == "doubled" { 2.0 } else { 1.0 };
            let cloth = number("usable_width_mm") * number("length_mm") * plies;
            let off = number("efficiency") - area / cloth;
            // Written to four decimals.
            assert!(
                off.abs() < 0.6e-4,
                "{order:?}, {material}: {off:.6} too much"
            );
            lays += 1;
        }
    }
    assert!(lays >= 25, "{lays}");
}
