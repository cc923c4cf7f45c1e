//! Finds room for words inside a piece.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape, Vec2};
use lyon::algorithms::hit_test::hit_test_path;
use lyon::path::FillRule;

use super::clip::part_inside;
use super::drawing::{Anchor, Ink, Layer, Text};
use crate::geometry::straightened;

/// Sizes of words for a distance from which they are read. All are heights of capitals, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lettering {
    /// Heights of a block's first line, the largest first. The first that fits is taken.
    heights: &'static [f64],
    /// Least height of a block of several lines. Where there is no room for it, the block loses lines instead.
    legible: f64,
    /// Heights of a mark's name, the largest first.
    pub marks: &'static [f64],
}

impl Lettering {
    /// For paper in the hand.
    pub const PAPER: Self = Self {
        heights: &[10.0, 8.0, 6.5, 5.5, 4.5, 3.8, 3.2, 2.7, 2.3, 1.9, 1.6],
        legible: 2.7,
        marks: &[3.0, 2.4, 1.9],
    };
    /// For cloth on the table, read standing.
    pub const TABLE: Self = Self {
        heights: &[
            22.0, 18.0, 15.0, 12.0, 10.0, 8.0, 6.5, 5.5, 4.5, 3.8, 3.2, 2.7, 2.3, 1.9, 1.6,
        ],
        legible: 4.5,
        marks: &[7.0, 5.5, 4.2, 3.2],
    };
    /// For a small picture of large pieces.
    pub const PICTURE: Self = Self {
        heights: &[
            36.0, 30.0, 25.0, 21.0, 18.0, 15.0, 12.0, 10.0, 8.0, 6.5, 5.0, 3.8, 2.7, 1.9,
        ],
        legible: 15.0,
        marks: &[12.0, 10.0, 8.0],
    };

    fn smallest(&self) -> f64 {
        self.heights.last().copied().unwrap_or(1.6)
    }
}

/// Distance from one base line to the next, as a multiple of the height of the lower line's capitals.
const LEADING: f64 = 1.75;
/// Height of the further lines, as a share of the first.
const SECOND: f64 = 0.62;
/// Number of places tried along each side of the piece's box.
const GRID: usize = 24;
/// Distance of flattened outlines from their curves, in mm: less than the air round the words.
const FLAT: f64 = 0.3;

/// The room for words: inside an outline, clear of what is drawn there already.
pub struct Room {
    outline: Vec<(Point, Point)>,
    area: lyon::path::Path,
    bounds: Rect,
    middle: Point,
    drawn: Vec<(Point, Point)>,
    taken: Vec<Rect>,
}

impl Room {
    /// Finds the room inside a closed outline, with lines that words should not cross.
    pub fn new<'a>(outline: &BezPath, drawn: impl IntoIterator<Item = &'a BezPath>) -> Self {
        let mut room = Self {
            outline: straightened(outline, FLAT),
            area: to_lyon(outline),
            bounds: outline.bounding_box(),
            middle: Point::ZERO,
            drawn: Vec::new(),
            taken: Vec::new(),
        };
        room.middle = room.deepest();
        for path in drawn {
            room.occupy(path);
        }
        room
    }

    /// Marks a line as something words should not cross.
    pub fn occupy(&mut self, path: &BezPath) {
        self.drawn.extend(straightened(path, FLAT));
    }

    /// Marks an area in which no words may stand.
    pub fn take(&mut self, area: Rect) {
        self.taken.push(area);
    }

    /// Whether words at a place lie inside the outline, cross nothing and stand in no area that is taken.
    pub fn is_free(&self, text: &Text) -> bool {
        let [a, b, c, d] = text.corners();
        let bounds = Rect::from_points(a, c).union(Rect::from_points(b, d));
        if self.taken.iter().any(|area| area.overlaps(bounds)) {
            return false;
        }
        let along = b - a;
        let frame = TurnedBox {
            middle: a.midpoint(c),
            half: (along.hypot() / 2.0, (d - a).hypot() / 2.0),
            turn: along.atan2(),
        };
        self.holds(&frame) && !frame.crosses(&self.drawn)
    }

    /// Returns the place inside that lies furthest from the outline.
    fn deepest(&self) -> Point {
        let depth = |point: &Point| {
            self.outline
                .iter()
                .map(|&(a, b)| distance_squared(*point, a, b))
                .fold(f64::MAX, f64::min)
        };
        self.places()
            .map(|point| (depth(&point), point))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map_or(self.bounds.center(), |found| found.1)
    }

    fn places(&self) -> impl Iterator<Item = Point> {
        let step = Vec2::new(self.bounds.width(), self.bounds.height()) / GRID as f64;
        (0..GRID * GRID)
            .map(move |i| {
                let across = Vec2::new((i % GRID) as f64 + 0.5, (i / GRID) as f64 + 0.5);
                self.bounds.origin() + Vec2::new(step.x * across.x, step.y * across.y)
            })
            .filter(|&point| self.contains(point))
    }

    fn contains(&self, point: Point) -> bool {
        hit_test_path(
            &lyon_point(point),
            self.area.iter(),
            FillRule::NonZero,
            FLAT as f32,
        )
    }

    fn holds(&self, frame: &TurnedBox) -> bool {
        self.contains(frame.middle) && !frame.crosses(&self.outline)
    }

    /// Returns the free place for a box that is nearest to the deepest point. `clear` keeps it off drawn lines.
    fn place(&self, places: &[Point], half: (f64, f64), turn: f64, clear: bool) -> Option<Point> {
        places
            .iter()
            .copied()
            .filter(|&middle| {
                let frame = TurnedBox { middle, half, turn };
                !(frame.crosses(&self.outline) || clear && frame.crosses(&self.drawn))
            })
            .min_by(|a, b| a.distance(self.middle).total_cmp(&b.distance(self.middle)))
    }
}

/// Places a block of words in a room, as large as fits, along the first of `turns` (in degrees) that leaves
/// room. Where the block is too large its last lines are left out. A first line that fits nowhere is
/// written small over the middle, so that no piece is left without a name.
pub fn block(
    lines: &[String],
    room: &Room,
    turns: &[f64],
    lettering: &Lettering,
) -> Vec<(Layer, Ink)> {
    let mut places: Vec<Point> = room.places().collect();
    places.push(room.middle);
    for clear in [true, false] {
        for kept in (1..=lines.len()).rev() {
            let lines = lines.get(..kept).unwrap_or_default();
            for height in lettering
                .heights
                .iter()
                .copied()
                .filter(|&height| kept == 1 || height >= lettering.legible)
            {
                for &degrees in turns {
                    let half = half_size(lines, height);
                    let turn = degrees.to_radians();
                    if let Some(middle) = room.place(&places, half, turn, clear) {
                        return set(lines, middle, height, degrees);
                    }
                }
            }
        }
    }
    set(
        lines.get(..1).unwrap_or_default(),
        room.middle,
        lettering.smallest(),
        turns.first().copied().unwrap_or(0.0),
    )
}

/// Returns half the width and half the height of a block, with a little air.
fn half_size(lines: &[String], height: f64) -> (f64, f64) {
    let air = 0.5 * height;
    let width = rows(lines, height)
        .map(|row| row.length())
        .fold(0.0, f64::max);
    let tall = rows(lines, height)
        .skip(1)
        .map(|row| LEADING * row.height)
        .sum::<f64>()
        + height;
    (width / 2.0 + air, tall / 2.0 + air)
}

fn rows(lines: &[String], height: f64) -> impl Iterator<Item = Text> + '_ {
    lines.iter().enumerate().map(move |(i, words)| {
        let height = if i == 0 { height } else { SECOND * height };
        let text = Text::new(words, Point::ZERO, height).anchor(Anchor::Middle);
        if i == 0 { text.bold() } else { text }
    })
}

fn set(lines: &[String], middle: Point, height: f64, degrees: f64) -> Vec<(Layer, Ink)> {
    let (_, half) = half_size(lines, height);
    let to_sheet = Affine::translate(middle.to_vec2()) * Affine::rotate(degrees.to_radians());
    let mut base = 0.5 * height - half;
    rows(lines, height)
        .enumerate()
        .map(|(i, row)| {
            base += if i == 0 {
                row.height
            } else {
                LEADING * row.height
            };
            let at = to_sheet * Point::new(0.0, base);
            (
                Layer::Labels,
                Ink::Text(Text {
                    at,
                    ..row.turned(degrees)
                }),
            )
        })
        .collect()
}

/// A box that is turned about its middle.
struct TurnedBox {
    middle: Point,
    half: (f64, f64),
    turn: f64,
}

impl TurnedBox {
    fn crosses(&self, lines: &[(Point, Point)]) -> bool {
        let reach = self.half.0.hypot(self.half.1);
        let far = Rect::from_center_size(self.middle, (2.0 * reach, 2.0 * reach));
        let (sin, cos) = self.turn.sin_cos();
        let own = |point: Point| {
            let from = point - self.middle;
            Point::new(from.x * cos + from.y * sin, from.y * cos - from.x * sin)
        };
        let own_box = Rect::new(-self.half.0, -self.half.1, self.half.0, self.half.1);
        lines.iter().any(|&(a, b)| {
            a.x.max(b.x) >= far.x0
                && a.x.min(b.x) <= far.x1
                && a.y.max(b.y) >= far.y0
                && a.y.min(b.y) <= far.y1
                && part_inside(own(a), own(b), own_box).is_some()
        })
    }
}

/// Returns the square of the distance of a point from a segment. Unlike kurbo's nearest point it rounds the same
/// way at both ends, so that places of equal depth stay equal.
fn distance_squared(point: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let share = (point - a).dot(along) / along.hypot2().max(f64::MIN_POSITIVE);
    point.distance_squared(a + along * share.clamp(0.0, 1.0))
}

/// Flattens an outline, so that many points can be tried against it at little cost.
fn to_lyon(path: &BezPath) -> lyon::path::Path {
    let mut builder = lyon::path::Path::builder();
    let mut open = false;
    kurbo::flatten(path, FLAT, |element| match element {
        PathEl::MoveTo(point) => {
            if open {
                builder.end(true);
            }
            builder.begin(lyon_point(point));
            open = true;
        }
        PathEl::LineTo(point) if open => {
            builder.line_to(lyon_point(point));
        }
        _ => {}
    });
    if open {
        builder.end(true);
    }
    builder.build()
}

fn lyon_point(point: Point) -> lyon::math::Point {
    lyon::math::point(point.x as f32, point.y as f32)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(words: &[&str]) -> Vec<String> {
        words.iter().map(|line| (*line).to_owned()).collect()
    }

    fn texts(block: &[(Layer, Ink)]) -> Vec<&Text> {
        block
            .iter()
            .filter_map(|(_, ink)| {
                if let Ink::Text(text) = ink {
                    Some(text)
                } else {
                    None
                }
            })
            .collect()
    }

    #[test]
    fn a_block_lies_inside_a_crescent_and_off_its_lines() {
        // A crescent's box has its middle outside the shape.
        let crescent = BezPath::from_svg(
            "M0 0 C200 0 300 150 300 300 C300 450 200 600 0 600 C120 480 170 400 170 300 C170 200 120 120 0 0Z",
        )
        .unwrap();
        let line = super::super::drawing::segment((235.0, 100.0), (235.0, 500.0));
        let room = Room::new(&crescent, [&line]);
        let found = block(
            &lines(&["forepart", "cut 1 pair"]),
            &room,
            &[0.0, -90.0],
            &Lettering::PAPER,
        );
        let texts = texts(&found);
        assert_eq!(texts.len(), 2);
        for text in texts {
            assert!(room.is_free(text), "{text:?}");
        }
    }

    #[test]
    fn a_narrow_strip_keeps_its_name_and_turns_it() {
        let strip = super::super::drawing::rectangle(Rect::new(0.0, 0.0, 12.0, 160.0));
        let room = Room::new(&strip, []);
        let found = block(
            &lines(&["hip jet", "cut 2 pairs", "long reference"]),
            &room,
            &[0.0, -90.0],
            &Lettering::PAPER,
        );
        let texts = texts(&found);
        assert_eq!(texts[0].words, "hip jet");
        assert_eq!(texts[0].degrees, -90.0);
        assert!(texts.iter().all(|text| room.is_free(text)));
    }

    #[test]
    fn the_tiniest_piece_still_has_its_name() {
        let scrap = super::super::drawing::rectangle(Rect::new(0.0, 0.0, 3.0, 3.0));
        let found = block(
            &lines(&["button loop", "cut 1"]),
            &Room::new(&scrap, []),
            &[0.0],
            &Lettering::PAPER,
        );
        assert_eq!(texts(&found)[0].words, "button loop");
    }
}
