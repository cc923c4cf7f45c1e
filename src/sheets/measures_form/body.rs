//! The man on the form, and the tapes round him.

use crate::geometry::{Knot, spline};
use crate::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use kurbo::{Affine, BezPath, Circle, Point, Shape, Vec2};

const BODY: Pen = Pen::full(0.25).grey(0.35);
const TAPE: Pen = Pen::full(0.35);
/// A tape that goes on round the body.
const BEHIND: Pen = Pen::dashed(0.2, &[1.0, 0.8]);

/// Where a tape runs, in cm on a man of 176: x from his middle (to his left in front, to his right
/// behind), y from the crown.
pub(super) struct Tape {
    pub name: &'static str,
    pub back: bool,
    /// Whether it goes round.
    round: bool,
    path: &'static [(f64, f64)],
    /// Where its number stands.
    number: (f64, f64),
}

const fn tape(
    name: &'static str,
    back: bool,
    round: bool,
    path: &'static [(f64, f64)],
    number: (f64, f64),
) -> Tape {
    Tape {
        name,
        back,
        round,
        path,
        number,
    }
}

/// Every tape that is drawn.
pub(super) const TAPES: &[Tape] = &[
    tape(
        "height",
        false,
        false,
        &[(-44.0, 0.0), (-44.0, 176.0)],
        (-44.0, 88.0),
    ),
    tape(
        "chest",
        false,
        true,
        &[(-17.0, 50.0), (17.0, 50.0)],
        (-36.0, 50.0),
    ),
    tape(
        "waist",
        false,
        true,
        &[(-14.6, 68.0), (14.6, 68.0)],
        (-36.0, 68.0),
    ),
    tape(
        "seat",
        false,
        true,
        &[(-17.4, 90.0), (17.4, 90.0)],
        (-36.0, 84.0),
    ),
    tape(
        "neck",
        false,
        true,
        &[(-6.4, 27.6), (6.4, 27.6)],
        (-17.0, 25.0),
    ),
    tape(
        "half_back",
        true,
        false,
        &[(0.0, 42.0), (17.8, 42.0)],
        (34.0, 40.0),
    ),
    tape(
        "shoulder_width",
        true,
        false,
        &[(-20.6, 34.4), (0.0, 31.5), (20.6, 34.4)],
        (-30.0, 32.0),
    ),
    tape(
        "scye_depth",
        true,
        false,
        &[(-2.5, 28.0), (-2.5, 48.0), (-17.0, 48.0)],
        (-33.0, 48.0),
    ),
    tape(
        "nape_to_waist",
        true,
        false,
        &[(0.0, 28.0), (0.0, 68.0)],
        (8.0, 60.0),
    ),
    tape(
        "jacket_length",
        true,
        false,
        &[(3.0, 28.0), (3.0, 101.0)],
        (10.0, 98.0),
    ),
    tape(
        "sleeve",
        true,
        false,
        &[(21.4, 34.6), (26.0, 62.0), (29.6, 88.0)],
        (38.0, 62.0),
    ),
    tape(
        "outside_leg",
        false,
        false,
        &[(15.6, 68.0), (19.8, 92.0), (17.0, 131.0), (15.0, 175.0)],
        (28.0, 120.0),
    ),
    tape(
        "inside_leg",
        false,
        false,
        &[(0.0, 92.0), (0.0, 175.0)],
        (0.0, 150.0),
    ),
    tape(
        "wrist",
        false,
        true,
        &[(26.2, 86.0), (30.6, 85.0)],
        (41.0, 84.0),
    ),
    tape(
        "hand",
        false,
        true,
        &[(26.8, 94.5), (32.0, 94.0)],
        (41.0, 95.0),
    ),
    tape(
        "biceps",
        false,
        true,
        &[(17.6, 49.6), (24.9, 48.6)],
        (35.0, 47.0),
    ),
    tape(
        "thigh",
        false,
        true,
        &[(-18.0, 97.5), (-1.6, 97.5)],
        (-36.0, 99.0),
    ),
    tape(
        "knee",
        false,
        true,
        &[(-13.4, 131.0), (-4.6, 131.0)],
        (-36.0, 131.0),
    ),
];

/// Draws a tape with its number; `place` takes cm of the body to the page.
pub(super) fn draw_tape(page: &mut Drawing, tape: &Tape, number: usize, place: Affine) {
    let points: Vec<Point> = tape.path.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    let knots: Vec<Knot> = points.iter().map(|at| Knot::new(*at)).collect();
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
        _ => spline(&knots),
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

/// A tape round the body, as it is seen from a little above: in front it sags, behind it rises.
fn sagging(from: Point, to: Point, by: f64) -> BezPath {
    let down = Vec2::new(0.0, by * 0.07 * from.distance(to));
    let mut path = BezPath::new();
    path.move_to(from);
    path.curve_to(from.lerp(to, 0.2) + down, from.lerp(to, 0.8) + down, to);
    path
}

/// Half the outline of a man of 176, in cm, from the crown round to the fork; knots where it is
/// smooth run on in one curve.
const OUTLINE: &[&[(f64, f64)]] = &[
    &[
        (0.0, 0.0),
        (6.2, 2.8),
        (7.9, 10.0),
        (6.9, 18.0),
        (5.7, 22.0),
    ],
    &[
        (5.7, 22.0),
        (6.2, 27.0),
        (10.5, 30.6),
        (18.5, 33.2),
        (22.6, 38.0),
        (24.9, 48.0),
        (25.9, 58.0),
        (28.0, 70.0),
        (30.5, 85.0),
        (32.2, 94.0),
        (31.0, 103.0),
        (28.6, 106.0),
        (27.2, 100.0),
        (26.4, 93.0),
        (26.2, 86.0),
        (22.6, 72.0),
        (20.0, 60.0),
        (17.4, 47.5),
    ],
    &[
        (17.4, 47.5),
        (16.6, 55.0),
        (14.6, 68.0),
        (16.4, 80.0),
        (17.4, 90.0),
        (17.9, 99.0),
        (15.8, 116.0),
        (13.4, 131.0),
        (13.8, 143.0),
        (11.0, 160.0),
        (10.2, 169.0),
    ],
    &[
        (10.2, 169.0),
        (13.6, 173.6),
        (13.0, 175.8),
        (7.0, 176.0),
        (4.6, 174.0),
        (5.4, 168.0),
    ],
    &[
        (5.4, 168.0),
        (4.2, 152.0),
        (4.2, 142.0),
        (4.6, 131.0),
        (2.8, 112.0),
        (0.0, 91.5),
    ],
];

/// Draws the man round whom the tapes run.
pub(super) fn figure(page: &mut Drawing, place: Affine, back: bool) {
    for side in [1.0, -1.0] {
        for part in OUTLINE {
            let knots: Vec<Knot> = part
                .iter()
                .map(|(x, y)| Knot::new(Point::new(side * x, *y)))
                .collect();
            page.line(Layer::Seam, place * spline(&knots), BODY);
        }
    }
    // What tells the back from the front: the hair's line and the seat, or the collar bones.
    let thin = Pen::full(0.15).grey(0.5);
    let marks: &[&[(f64, f64)]] = if back {
        &[
            &[(-6.4, 20.0), (0.0, 21.2), (6.4, 20.0)],
            &[(0.0, 84.0), (0.0, 91.5)],
        ]
    } else {
        &[
            &[(1.8, 31.6), (8.0, 31.0), (14.0, 32.2)],
            &[(-1.8, 31.6), (-8.0, 31.0), (-14.0, 32.2)],
        ]
    };
    for mark in marks {
        let knots: Vec<Knot> = mark
            .iter()
            .map(|(x, y)| Knot::new(Point::new(*x, *y)))
            .collect();
        page.line(Layer::Seam, place * spline(&knots), thin);
    }
    let words = if back {
        "from behind"
    } else {
        "from the front"
    };
    let at = place * Point::new(0.0, 184.0);
    page.text(
        Layer::Page,
        Text::new(words, at, 1.7).anchor(Anchor::Middle).grey(0.35),
    );
}
