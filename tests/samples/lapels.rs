//! Every lapel turned over on one forepart, side by side, as the client sees the left front: each is
//! mirrored about its roll line, and the collar is folded along its crease.

use chalkstripe::diagnostic::Source;
use chalkstripe::draft::{Draft, DraftPiece};
use chalkstripe::geometry::{length, nearest, point_at};
use chalkstripe::order::choices::Domain;
use chalkstripe::order::{self, Choice, Garment, Style};
use chalkstripe::script::{Library, draft};
use chalkstripe::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text};
use chalkstripe::sheets::svg;
use chalkstripe::workshop::Workshop;
use kurbo::{Affine, BezPath, Point, Shape, Vec2};
use std::path::Path;

/// How the fronts of the two rows fasten.
const ROWS: [&str; 2] = ["two", "six_two"];
/// Width of a column, height of a row and of the words, mm.
const COLUMN: f64 = 380.0;
const TALL: f64 = 570.0;
const WORDS: f64 = 13.0;

/// The picture as SVG: single-breasted above, double-breasted below, each lapel nine wide.
pub(super) fn picture() -> Vec<u8> {
    let text = include_str!("../../examples/plain-worsted.toml");
    let source = Source::new("plain.toml", text);
    let order = order::parse("plain", &source, Path::new(""))
        .expect("the example")
        .order;
    let choices = Workshop::embedded()
        .catalogue
        .choices("jacket")
        .expect("the jacket's choices");
    let Some(Domain::Word(words)) = choices.get("lapel").map(|c| &c.domain) else {
        panic!("the lapel is a word");
    };
    let wide = COLUMN * words.len() as f64;
    let tall = TALL * ROWS.len() as f64 + 2.0 * WORDS;
    let mut sheet = Drawing::new("Lapels turned over", wide, tall);
    for (column, (word, _)) in words.iter().enumerate() {
        let left = COLUMN * column as f64;
        for (row, fastening) in ROWS.into_iter().enumerate() {
            let word_of = |choice: &str, value: &str| (choice.into(), Choice::Word(value.into()));
            let chosen = [("lapel", word.as_str()), ("fastening", fastening)];
            let mut style: Style = chosen.map(|(choice, value)| word_of(choice, value)).into();
            choices.complete(&mut style);
            let garment = Garment {
                block: "jacket".into(),
                style,
            };
            let draft = draft(&Library::embedded(), &order, &garment).expect("it drafts");
            turned_over(&mut sheet, &draft, left, TALL * row as f64);
        }
        let foot = (left + COLUMN / 2.0, tall - 1.5 * WORDS);
        let name = Text::new(&word.replace('_', " "), foot, WORDS);
        sheet.text(Layer::Page, name.anchor(Anchor::Middle));
    }
    svg::write(&sheet.bolder(4.0))
}

fn piece<'a>(draft: &'a Draft, name: &str) -> &'a DraftPiece {
    draft
        .pieces
        .iter()
        .find(|piece| piece.name == name)
        .expect("the piece")
}

fn edge<'a>(piece: &'a DraftPiece, name: &str) -> Option<&'a BezPath> {
    let mut edges = piece.edges.iter();
    edges.find(|edge| edge.name == name).map(|edge| &edge.path)
}

fn mark<'a>(piece: &'a DraftPiece, name: &str) -> Option<&'a BezPath> {
    let mut marks = piece.marks.iter();
    marks.find(|mark| mark.name == name).map(|mark| &mark.path)
}

/// So many points along a path.
fn points(path: &BezPath, count: usize) -> Vec<Point> {
    let long = length(path);
    (0..=count)
        .map(|i| point_at(path, long * i as f64 / count as f64))
        .collect()
}

fn path(points: &[Point], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(*point);
        } else {
            path.line_to(*point);
        }
    }
    if closed {
        path.close_path();
    }
    path
}

fn turned_over(sheet: &mut Drawing, draft: &Draft, left: f64, top: f64) {
    let (fore, under) = (piece(draft, "forepart"), piece(draft, "under-collar"));
    let of = |name: &str| edge(fore, name).expect("an edge of the forepart");
    let roll = mark(fore, "roll line").expect("the roll line");
    let crease = mark(under, "crease").expect("the crease");
    let (breaks, crossing) = (point_at(roll, 0.0), point_at(roll, length(roll)));
    let shoulder = of("shoulder");
    let (outer_end, neck) = (
        point_at(shoulder, 0.0),
        point_at(shoulder, length(shoulder)),
    );
    // Seen from before: the left forepart has its edge on the viewer's left.
    let foot = of("shoulder").bounding_box().y0 + TALL - 50.0;
    let place = Affine::FLIP_X.then_translate(Vec2::new(
        left + breaks.x + 25.0,
        top + 25.0 - of("shoulder").bounding_box().y0,
    ));
    let mut ink = |points: &[Point], closed: bool, pen: Pen| {
        let drawn = place * path(points, closed);
        if closed {
            sheet.fill(Layer::Page, drawn.clone(), 1.0);
        }
        sheet.line(Layer::Seam, drawn, pen);
    };
    let above_foot = |path: &BezPath| -> Vec<Point> {
        points(path, 400)
            .into_iter()
            .filter(|p| p.y <= foot)
            .collect()
    };

    // The forepart: shoulder, scye, under-arm seam; the front edge below the break; the welt.
    ink(&points(shoulder, 1), false, Pen::CUT);
    ink(&points(of("scye"), 60), false, Pen::CUT);
    ink(&above_foot(of("under-arm seam")), false, Pen::CUT);
    ink(&above_foot(of("front edge")), false, Pen::CUT);
    if let Some(welt) = mark(fore, "breast welt, left side") {
        ink(&points(welt, 80), false, Pen::SEAM);
    }
    for hole in fore.marks.iter().filter(|m| m.name.starts_with("button,")) {
        let at = point_at(&hole.path, 0.0);
        if at.y > foot - 15.0 {
            continue;
        }
        ink(
            &points(&kurbo::Circle::new(at, 10.0).to_path(0.1), 40),
            false,
            Pen::SEAM,
        );
    }

    // The lapel, about the roll line.
    let over = Affine::reflect(breaks, crossing - breaks);
    let lapel: Vec<Point> = std::iter::once(crossing)
        .chain(
            edge(fore, "lapel step")
                .map(|step| points(step, 30))
                .unwrap_or_default(),
        )
        .chain(points(of("lapel"), 120))
        .map(|p| over * p)
        .collect();
    ink(&lapel, true, Pen::CUT);
    if let Some(hole) = mark(fore, "lapel hole, left lapel") {
        let hole: Vec<Point> = points(hole, 1).into_iter().map(|p| over * p).collect();
        ink(&hole, false, Pen::SEAM);
    }

    // The collar, about its crease, as far as the shoulder.
    let mut fold = roll.clone();
    fold.extend(crease.segments().map(|part| part.as_path_el()));
    let folded = |p: Point| {
        let at = nearest(&fold, p).point;
        at + (at - p)
    };
    let along = neck - outer_end;
    let in_front = |p: &Point| along.cross(*p - outer_end) > 0.0;
    let outer = edge(under, "outer edge").expect("the outer edge");
    let mut fall: Vec<Point> = points(outer, 200).into_iter().rev().collect();
    if fall[0].distance(crossing) > fall[fall.len() - 1].distance(crossing) {
        fall.reverse();
    }
    let front = edge(under, "front edge")
        .map(|front| points(front, 40))
        .unwrap_or_default();
    let step = front.last().copied().unwrap_or(fall[0]);
    let mut collar = vec![crossing, over * step];
    collar.extend(front.into_iter().rev().map(folded));
    collar.extend(fall.into_iter().map(folded).take_while(in_front));
    let mut inner: Vec<Point> = points(crease, 200)
        .into_iter()
        .take_while(in_front)
        .collect();
    inner.reverse();
    collar.extend(inner);
    ink(&collar, true, Pen::CUT);
}
