//! Places the numbers of points so that each can be read: none upon another, as few as can be upon
//! lines, each close to its point or joined to it by a thin line.

use crate::sheets::drawing::{Anchor, Text};
use kurbo::{Line, Point, Rect, Vec2};

/// A number with its place on the page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    /// The words, ready to draw.
    pub text: Text,
    /// The room they take, in mm.
    pub room: Rect,
    /// From the point to the words, where they stand away from it.
    pub leader: Option<Line>,
}

/// How far from its point a number is tried, in mm.
const TRIED: [f64; 9] = [0.9, 1.4, 2.0, 3.0, 4.5, 6.5, 9.0, 12.0, 16.0];
/// Directions it is tried in.
const ROUND: usize = 16;
/// From this distance on, a thin line joins a number to its point.
const AWAY: f64 = 2.6;
/// Free room round a number.
const FREE: f64 = 0.25;

/// Places every number; `heavy` and `thin` are the lines of the page to keep clear of.
pub(super) fn place(
    points: &[(Point, String)],
    height: f64,
    heavy: &[Line],
    thin: &[Line],
    page: Rect,
) -> Vec<Placed> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    // The most crowded first: they have the least choice.
    let crowd = |i: usize| {
        let near = points
            .iter()
            .filter(|(at, _)| at.distance(points[i].0) < 9.0);
        near.count()
    };
    order.sort_by_key(|i| (std::cmp::Reverse(crowd(*i)), *i));
    let mut taken: Vec<Option<Placed>> = vec![None; points.len()];
    for i in order {
        let placed: Vec<&Placed> = taken.iter().flatten().collect();
        taken[i] = Some(best(i, points, height, heavy, thin, page, &placed));
    }
    taken.into_iter().flatten().collect()
}

fn best(
    i: usize,
    points: &[(Point, String)],
    height: f64,
    heavy: &[Line],
    thin: &[Line],
    page: Rect,
    placed: &[&Placed],
) -> Placed {
    let (at, words) = &points[i];
    let text = Text::new(words, *at, height).anchor(Anchor::Middle);
    let (wide, high) = (text.length(), height);
    let reach = TRIED[TRIED.len() - 1] + wide + high;
    let near = |line: &&Line| {
        let (a, b) = (line.p0, line.p1);
        let around = Rect::from_points(a, b).inflate(reach, reach);
        around.contains(*at)
    };
    let heavy: Vec<&Line> = heavy.iter().filter(near).collect();
    let thin: Vec<&Line> = thin.iter().filter(near).collect();
    let mut best: Option<(f64, Rect, f64)> = None;
    for away in TRIED {
        for turn in 0..ROUND {
            let way = Vec2::from_angle(turn as f64 * std::f64::consts::TAU / ROUND as f64);
            // The middle of the words: their box just touches the distance in that direction.
            let middle = *at + Vec2::new(way.x * (away + wide / 2.0), way.y * (away + high / 2.0));
            let room = Rect::from_center_size(middle, (wide, high)).inflate(FREE, FREE);
            let mut cost = away;
            for other in placed {
                cost += 200.0 * room.intersect(other.room).area();
                if let Some(leader) = other.leader {
                    cost += 12.0 * f64::from(u8::from(crosses(room, leader)));
                }
            }
            let dots = points
                .iter()
                .filter(|(dot, _)| room.inflate(0.4, 0.4).contains(*dot));
            cost += 9.0 * dots.count() as f64;
            cost += 3.0 * heavy.iter().filter(|line| crosses(room, ***line)).count() as f64;
            cost += 1.2 * thin.iter().filter(|line| crosses(room, ***line)).count() as f64;
            if !page.contains_rect(room) {
                cost += 50.0;
            }
            if away > AWAY {
                let leader = Line::new(*at, edge_toward(room, *at));
                let over = placed.iter().filter(|other| crosses(other.room, leader));
                cost += 12.0 * over.count() as f64;
            }
            if best.is_none_or(|(least, ..)| cost < least) {
                best = Some((cost, room, away));
            }
        }
    }
    let (_, room, away) = best.unwrap_or((0.0, Rect::from_center_size(*at, (wide, high)), 0.0));
    let base = Point::new(room.center().x, room.center().y + high / 2.0);
    Placed {
        text: Text { at: base, ..text },
        room,
        leader: (away > AWAY).then(|| Line::new(*at, edge_toward(room, *at))),
    }
}

/// The point of a box nearest to a point outside it.
fn edge_toward(room: Rect, from: Point) -> Point {
    Point::new(
        from.x.clamp(room.x0, room.x1),
        from.y.clamp(room.y0, room.y1),
    )
}

/// Whether a line passes through a box (Liang and Barsky's clipping).
pub(super) fn crosses(room: Rect, line: Line) -> bool {
    let way = line.p1 - line.p0;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let sides = [
        (-way.x, line.p0.x - room.x0),
        (way.x, room.x1 - line.p0.x),
        (-way.y, line.p0.y - room.y0),
        (way.y, room.y1 - line.p0.y),
    ];
    for (p, q) in sides {
        if p == 0.0 {
            if q < 0.0 {
                return false;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    from <= to
}
