//! Draws the man on the form, and the tapes round him.

use crate::geometry::{Knot, spline};
use crate::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use kurbo::{Affine, BezPath, Circle, Point, Shape, Vec2};

const BODY: Pen = Pen::full(0.25).grey(0.35);
const TAPE: Pen = Pen::full(0.35);
/// The part of a tape that runs behind the body.
const BEHIND: Pen = Pen::dashed(0.2, &[1.0, 0.8]);

/// A tape on the body, in cm on a man 176 cm tall: x from his middle (to his left in front, to his right behind),
/// y down from the crown.
pub(super) struct Tape {
    pub name: &'static str,
    pub back: bool,
    /// Whether it goes round the body.
    round: bool,
    /// The points that it runs through: x and y in turn.
    path: &'static [f64],
    /// Where its number stands.
    number: (f64, f64),
}

/// Makes a tape that goes round the body, drawn on the man in front.
const fn girth(name: &'static str, path: &'static [f64], number: (f64, f64)) -> Tape {
    let round = front(name, path, number);
    Tape {
        round: true,
        ..round
    }
}

/// Makes a tape that runs from point to point in front.
const fn front(name: &'static str, path: &'static [f64], number: (f64, f64)) -> Tape {
    Tape {
        name,
        back: false,
        round: false,
        path,
        number,
    }
}

/// Makes a tape that runs from point to point behind.
const fn back(name: &'static str, path: &'static [f64], number: (f64, f64)) -> Tape {
    let behind = front(name, path, number);
    Tape {
        back: true,
        ..behind
    }
}

/// Reads points from x and y in turn.
fn points(path: &[f64]) -> Vec<Point> {
    let pairs = path.chunks_exact(2);
    pairs.map(|pair| Point::new(pair[0], pair[1])).collect()
}

/// Draws a smooth line through points.
fn through(points: &[Point]) -> BezPath {
    let knots: Vec<Knot> = points.iter().map(|at| Knot::new(*at)).collect();
    spline(&knots)
}

/// Every tape that is drawn.
pub(super) const TAPES: &[Tape] = &[
    front("height", &[-44.0, 0.0, -44.0, 176.0], (-44.0, 88.0)),
    girth("chest", &[-17.0, 50.0, 17.0, 50.0], (-36.0, 50.0)),
    girth("waist", &[-14.6, 68.0, 14.6, 68.0], (-36.0, 68.0)),
    girth("seat", &[-17.4, 90.0, 17.4, 90.0], (-36.0, 84.0)),
    girth("neck", &[-6.4, 27.6, 6.4, 27.6], (-17.0, 25.0)),
    back("half_back", &[0.0, 42.0, 17.8, 42.0], (34.0, 40.0)),
    back(
        "shoulder_width",
        &[-20.6, 34.4, 0.0, 31.5, 20.6, 34.4],
        (-30.0, 32.0),
    ),
    back(
        "scye_depth",
        &[-2.5, 28.0, -2.5, 48.0, -17.0, 48.0],
        (-33.0, 48.0),
    ),
    back("nape_to_waist", &[0.0, 28.0, 0.0, 68.0], (8.0, 60.0)),
    back(
        "over_shoulder",
        &[0.0, 38.0, 10.0, 35.0, 20.6, 34.4],
        (34.0, 31.0),
    ),
    front(
        "front_length",
        &[-7.0, 29.5, -6.0, 50.0, -5.4, 68.0],
        (-12.0, 58.0),
    ),
    back("jacket_length", &[3.0, 28.0, 3.0, 101.0], (10.0, 98.0)),
    back(
        "sleeve",
        &[21.4, 34.6, 26.0, 62.0, 29.6, 88.0],
        (38.0, 62.0),
    ),
    front(
        "outside_leg",
        &[15.6, 68.0, 19.8, 92.0, 17.0, 131.0, 15.0, 175.0],
        (28.0, 120.0),
    ),
    front("fork_run", &[0.0, 68.0, 1.5, 80.0, 0.0, 92.0], (9.0, 78.0)),
    front("inside_leg", &[0.0, 92.0, 0.0, 175.0], (0.0, 150.0)),
    girth("wrist", &[26.2, 86.0, 30.6, 85.0], (41.0, 84.0)),
    girth("hand", &[26.8, 94.5, 32.0, 94.0], (41.0, 95.0)),
    girth("biceps", &[17.6, 49.6, 24.9, 48.6], (35.0, 47.0)),
    girth("thigh", &[-18.0, 97.5, -1.6, 97.5], (-36.0, 99.0)),
    girth("knee", &[-13.4, 131.0, -4.6, 131.0], (-36.0, 131.0)),
];

/// Draws a tape with its number. `place` maps cm of the body to the page.
pub(super) fn draw_tape(page: &mut Drawing, tape: &Tape, number: usize, place: Affine) {
    let points = points(tape.path);
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return;
    };
    let path = match (tape.round, tape.name) {
        (true, _) => sagging(*first, *last, 1.0),
        (false, "scye_depth") => {
            let mut path = BezPath::new();
            path.move_to(*first);
            points.iter().skip(1).for_each(|at| path.line_to(*at));
            path
        }
        _ => through(&points),
    };
    page.line(Layer::Marks, place * path, TAPE);
    if tape.round {
        page.line(Layer::Marks, place * sagging(*first, *last, -1.0), BEHIND);
    } else {
        for end in [*first, *last] {
            let dot = Circle::new(place * end, 0.55).to_path(0.02);
            page.fill(Layer::Marks, dot, 0.0);
        }
    }
    let at = place * Point::from(tape.number);
    let near = points.iter().map(|point| place * *point);
    let near = near.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)));
    if let Some(near) = near.filter(|near| near.distance(at) > 4.5) {
        let from = at + (near - at).normalize() * 2.2;
        page.line(Layer::Labels, segment(from, near), Pen::full(0.1));
    }
    page.fill(Layer::Labels, Circle::new(at, 2.2).to_path(0.02), 1.0);
    page.line(
        Layer::Labels,
        Circle::new(at, 2.2).to_path(0.02),
        Pen::full(0.15),
    );
    let words = Text::new(&number.to_string(), at + Vec2::new(0.0, 0.95), 1.9);
    page.text(Layer::Labels, words.anchor(Anchor::Middle).bold());
}

/// Draws half of a tape round the body as seen from a little above: it sags in front and rises behind.
fn sagging(from: Point, to: Point, by: f64) -> BezPath {
    let down = Vec2::new(0.0, by * 0.07 * from.distance(to));
    let mut path = BezPath::new();
    path.move_to(from);
    path.curve_to(from.lerp(to, 0.2) + down, from.lerp(to, 0.8) + down, to);
    path
}

/// Half the outline of a man 176 cm tall, in cm, from the crown round to the fork: x and y in turn. Each row is
/// one smooth curve; the outline has corners where rows meet.
const OUTLINE: &[&[f64]] = &[
    &[0.0, 0.0, 6.2, 2.8, 7.9, 10.0, 6.9, 18.0, 5.7, 22.0],
    &[
        5.7, 22.0, 6.2, 27.0, 10.5, 30.6, 18.5, 33.2, 22.6, 38.0, 24.9, 48.0, 25.9, 58.0, 28.0,
        70.0, 30.5, 85.0, 32.2, 94.0, 31.0, 103.0, 28.6, 106.0, 27.2, 100.0, 26.4, 93.0, 26.2,
        86.0, 22.6, 72.0, 20.0, 60.0, 17.4, 47.5,
    ],
    &[
        17.4, 47.5, 16.6, 55.0, 14.6, 68.0, 16.4, 80.0, 17.4, 90.0, 17.9, 99.0, 15.8, 116.0, 13.4,
        131.0, 13.8, 143.0, 11.0, 160.0, 10.2, 169.0,
    ],
    &[
        10.2, 169.0, 13.6, 173.6, 13.0, 175.8, 7.0, 176.0, 4.6, 174.0, 5.4, 168.0,
    ],
    &[
        5.4, 168.0, 4.2, 152.0, 4.2, 142.0, 4.6, 131.0, 2.8, 112.0, 0.0, 91.5,
    ],
];

/// Draws the man who is measured.
pub(super) fn figure(page: &mut Drawing, place: Affine, back: bool) {
    for side in [1.0, -1.0] {
        for part in OUTLINE {
            let half = points(part);
            let half: Vec<Point> = half
                .iter()
                .map(|at| Point::new(side * at.x, at.y))
                .collect();
            page.line(Layer::Seam, place * through(&half), BODY);
        }
    }
    // The hairline and the seat tell the back from the front, which has collar bones.
    let thin = Pen::full(0.15).grey(0.5);
    let marks: &[&[f64]] = if back {
        &[&[-6.4, 20.0, 0.0, 21.2, 6.4, 20.0], &[0.0, 84.0, 0.0, 91.5]]
    } else {
        &[
            &[1.8, 31.6, 8.0, 31.0, 14.0, 32.2],
            &[-1.8, 31.6, -8.0, 31.0, -14.0, 32.2],
        ]
    };
    for mark in marks {
        page.line(Layer::Seam, place * through(&points(mark)), thin);
    }
    let words = if back {
        "from behind"
    } else {
        "from the front"
    };
    let at = place * Point::new(0.0, 184.0);
    page.write(Text::new(words, at, 1.7).anchor(Anchor::Middle).grey(0.35));
}
