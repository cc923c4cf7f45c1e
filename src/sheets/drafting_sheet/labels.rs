//! Places the numbers of points so that each can be read: off one another, off the lines where there is
//! room, and close to their points. A number that stands away from its point is joined to it by a thin line.

use crate::sheets::clip::part_inside;
use crate::sheets::drawing::{Anchor, Text};
use kurbo::{Line, Point, Rect, Vec2};

/// A number with its place on the page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlacedNumber {
    /// The digits, ready to draw.
    pub text: Text,
    /// The box they take on the page, in mm.
    pub room: Rect,
    /// The thin line from the point to the number; `None` where they stand close together.
    pub leader: Option<Line>,
}

/// Distances from a point at which its number is tried, in mm. Each is about 1.4 times the one before, so that
/// near places are tried more closely than far ones.
const TRIED: [f64; 9] = [0.9, 1.4, 2.0, 3.0, 4.5, 6.5, 9.0, 12.0, 16.0];
/// Directions in which a number is tried at each distance: one every 22.5 degrees.
const ROUND: usize = 16;
/// From this distance on, in mm, a thin line joins a number to its point: it is then
/// further away than a number is high and could be taken for that of another point.
const AWAY: f64 = 2.6;
/// Free room round a number, in mm, so that a line beside it does not touch its digits in print.
const FREE: f64 = 0.25;
/// Points closer to each other than this, in mm, compete for room. Numbers are rarely wider than half of it.
const CROWD: f64 = 9.0;

// Each fault of a place has a cost in mm: a number moves that much further from its point to avoid the
// fault. The costs are judged by eye, without a source; their order matters more than their size.

/// Cost of each mm² of overlap with another number. Even a tenth of a mm² costs more than the furthest
/// distance, because neither number can then be read.
const OVERLAP: f64 = 200.0;
/// Cost of leaving the page's own room, where a number runs into other pieces. It is more than the
/// furthest distance.
const OUTSIDE: f64 = 50.0;
/// Cost of each crossing of a number and a leader, as much as the furthest distance but one.
const LEADER: f64 = 12.0;
/// Cost of each dot that a number covers, because the dot can then be read as part of the number.
const DOT: f64 = 9.0;
/// Cost of each heavy line that a number covers: the edges matter more than the construction lines.
const HEAVY: f64 = 3.0;
/// Cost of each thin line that a number covers. It is small, so that numbers stay near their points among
/// many construction lines.
const THIN: f64 = 1.2;

/// Places every number. `heavy` and `thin` are the lines of the page to keep clear of.
pub(super) fn place(
    points: &[(Point, String)],
    height: f64,
    heavy: &[Line],
    thin: &[Line],
    page: Rect,
) -> Vec<PlacedNumber> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    // The most crowded come first, because they have the least choice.
    let crowd = |i: usize| {
        let near = points
            .iter()
            .filter(|(at, _)| at.distance(points[i].0) < CROWD);
        near.count()
    };
    order.sort_by_key(|i| (std::cmp::Reverse(crowd(*i)), *i));
    let mut taken: Vec<Option<PlacedNumber>> = vec![None; points.len()];
    for i in order {
        let (at, words) = &points[i];
        let text = Text::new(words, *at, height).anchor(Anchor::Middle);
        let reach = TRIED[TRIED.len() - 1] + text.length() + height;
        let near = |lines: &[Line]| -> Vec<Line> {
            let reached = |line: &&Line| {
                let around = Rect::from_points(line.p0, line.p1);
                around.inflate(reach, reach).contains(*at)
            };
            lines.iter().filter(reached).copied().collect()
        };
        let around = Around {
            points,
            heavy: near(heavy),
            thin: near(thin),
            page,
            placed: taken.iter().flatten().collect(),
        };
        taken[i] = Some(around.best(text));
    }
    taken.into_iter().flatten().collect()
}

/// What a number should keep clear of.
struct Around<'a> {
    points: &'a [(Point, String)],
    heavy: Vec<Line>,
    thin: Vec<Line>,
    page: Rect,
    placed: Vec<&'a PlacedNumber>,
}

impl Around<'_> {
    /// Places a number where it costs least; `text` stands at the number's point.
    fn best(&self, text: Text) -> PlacedNumber {
        let (at, size) = (text.at, (text.length(), text.height));
        let mut best: Option<(f64, Rect, f64)> = None;
        for away in TRIED {
            for turn in 0..ROUND {
                let way = Vec2::from_angle(turn as f64 * std::f64::consts::TAU / ROUND as f64);
                // The middle of the words: their box just touches the distance in that direction.
                let middle =
                    at + Vec2::new(way.x * (away + size.0 / 2.0), way.y * (away + size.1 / 2.0));
                let room = Rect::from_center_size(middle, size).inflate(FREE, FREE);
                let cost = self.cost(at, room, away);
                if best.is_none_or(|(least, ..)| cost < least) {
                    best = Some((cost, room, away));
                }
            }
        }
        let (_, room, away) = best.unwrap_or((0.0, Rect::from_center_size(at, size), 0.0));
        let base = Point::new(room.center().x, room.center().y + size.1 / 2.0);
        PlacedNumber {
            text: Text { at: base, ..text },
            room,
            leader: (away > AWAY).then(|| Line::new(at, edge_toward(room, at))),
        }
    }

    /// Returns the cost of putting the number of the point `at` into `room`, `away` mm from the point.
    fn cost(&self, at: Point, room: Rect, away: f64) -> f64 {
        let crossed = |lines: &[Line]| lines.iter().filter(|line| crosses(room, **line)).count();
        let mut cost = away;
        for other in &self.placed {
            cost += OVERLAP * room.intersect(other.room).area();
            if let Some(leader) = other.leader {
                cost += LEADER * f64::from(u8::from(crosses(room, leader)));
            }
        }
        let dots = self.points.iter();
        let dots = dots.filter(|(dot, _)| room.inflate(0.4, 0.4).contains(*dot));
        cost += DOT * dots.count() as f64;
        cost += HEAVY * crossed(&self.heavy) as f64;
        cost += THIN * crossed(&self.thin) as f64;
        if !self.page.contains_rect(room) {
            cost += OUTSIDE;
        }
        if away > AWAY {
            let leader = Line::new(at, edge_toward(room, at));
            let over = self.placed.iter();
            let over = over.filter(|other| crosses(other.room, leader));
            cost += LEADER * over.count() as f64;
        }
        cost
    }
}

/// Returns the point of a box nearest to a point outside it.
fn edge_toward(room: Rect, from: Point) -> Point {
    Point::new(
        from.x.clamp(room.x0, room.x1),
        from.y.clamp(room.y0, room.y1),
    )
}

/// Whether a line passes through a box.
fn crosses(room: Rect, line: Line) -> bool {
    part_inside(line.p0, line.p1, room).is_some()
}
