//! The order in which a pen or knife takes its lines, so that it travels little between them.

use kurbo::{Point, Rect};

/// How far a plotter's pen travels raised, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Travel {
    /// In the order written.
    pub written: f64,
    /// In the order drawn.
    pub drawn: f64,
}

/// A line as the plotter draws it: one run of points, or many where it is broken into dashes or
/// letters.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Which piece it belongs to.
    pub part: usize,
    /// Whether it cuts the piece loose: it comes after all else in the piece.
    pub outline: bool,
    /// The runs, each drawn with the pen down.
    pub runs: Vec<Vec<Point>>,
}

impl Line {
    /// What of the line lies inside a window. An outline that leaves it is no longer a ring.
    pub fn within(&self, window: Rect) -> Line {
        let runs = self.runs.iter().flat_map(|run| clipped(run, window));
        Line {
            runs: runs.collect(),
            ..*self
        }
    }

    fn start(&self) -> Option<Point> {
        self.runs.first()?.first().copied()
    }

    fn end(&self) -> Option<Point> {
        self.runs.last()?.last().copied()
    }

    /// A single run that ends where it began may begin anywhere.
    fn is_ring(&self) -> bool {
        self.runs.len() == 1 && self.start() == self.end()
    }

    /// How far the pen travels to begin, and how it should then take the line.
    fn approach(&self, pen: Point) -> (f64, Take) {
        let to = |point: Option<Point>| point.map_or(f64::INFINITY, |point| pen.distance(point));
        if let ([ring], true) = (self.runs.as_slice(), self.is_ring()) {
            let nearest = ring
                .iter()
                .enumerate()
                .map(|(i, &point)| (pen.distance(point), Take::From(i)))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            return nearest.unwrap_or((f64::INFINITY, Take::Forward));
        }
        let (forward, back) = (to(self.start()), to(self.end()));
        if back < forward {
            (back, Take::Backward)
        } else {
            (forward, Take::Forward)
        }
    }

    fn taken(mut self, take: Take) -> Self {
        match take {
            Take::Forward => {}
            Take::Backward => {
                self.runs.reverse();
                self.runs.iter_mut().for_each(|run| run.reverse());
            }
            Take::From(i) => {
                if let Some(ring) = self.runs.first_mut().filter(|ring| i < ring.len()) {
                    ring.pop();
                    ring.rotate_left(i);
                    ring.extend(ring.first().copied());
                }
            }
        }
        self
    }
}

/// The stretches of a run that lie inside a window.
fn clipped(run: &[Point], window: Rect) -> Vec<Vec<Point>> {
    let mut kept: Vec<Vec<Point>> = Vec::new();
    for pair in run.windows(2) {
        let Some((from, to)) = inside(pair[0], pair[1], window) else {
            continue;
        };
        match kept.last_mut() {
            Some(last) if last.last() == Some(&from) => last.push(to),
            _ => kept.push(vec![from, to]),
        }
    }
    kept
}

/// The part of a segment inside a window, clipped side by side (Liang and Barsky, "A New Concept and
/// Method for Line Clipping", ACM Transactions on Graphics 3, 1984).
fn inside(a: Point, b: Point, window: Rect) -> Option<(Point, Point)> {
    let along = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (run, room) in [
        (-along.x, a.x - window.x0),
        (along.x, window.x1 - a.x),
        (-along.y, a.y - window.y0),
        (along.y, window.y1 - a.y),
    ] {
        if run == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if run < 0.0 {
            from = from.max(room / run);
        } else {
            to = to.min(room / run);
        }
    }
    let at = |share: f64| match share {
        0.0 => a,
        1.0 => b,
        share => a + along * share,
    };
    (from < to).then(|| (at(from), at(to)))
}

#[derive(Debug, Clone, Copy)]
enum Take {
    Forward,
    Backward,
    From(usize),
}

/// Puts lines in an order that shortens the travel between them: piece by piece, the nearest next;
/// in a piece the nearest line next, its outline last.
pub fn shorten(lines: Vec<Line>, from: Point) -> Vec<Line> {
    let mut parts: Vec<Vec<Line>> = Vec::new();
    let mut lines = lines;
    lines.retain(|line| line.start().is_some());
    lines.sort_by_key(|line| line.part);
    for line in lines {
        match parts.last_mut() {
            Some(part) if part.first().is_some_and(|first| first.part == line.part) => {
                part.push(line);
            }
            _ => parts.push(vec![line]),
        }
    }
    let route = route(&parts, from);
    let mut pen = from;
    let mut taken = Vec::new();
    for i in route {
        let Some(part) = parts.get_mut(i) else {
            continue;
        };
        let (outlines, inner): (Vec<Line>, Vec<Line>) = std::mem::take(part)
            .into_iter()
            .partition(|line| line.outline);
        for mut waiting in [inner, outlines] {
            while let Some((next, take)) = nearest(&waiting, pen) {
                let line = waiting.swap_remove(next).taken(take);
                pen = line.end().unwrap_or(pen);
                taken.push(line);
            }
        }
    }
    taken
}

fn nearest(lines: &[Line], pen: Point) -> Option<(usize, Take)> {
    lines
        .iter()
        .enumerate()
        .map(|(i, line)| (i, line.approach(pen)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
        .map(|(i, (_, take))| (i, take))
}

/// An order of the pieces: the nearest next, then stretches of it reversed while that shortens it.
fn route(parts: &[Vec<Line>], from: Point) -> Vec<usize> {
    let middles: Vec<Point> = parts.iter().map(|part| middle(part)).collect();
    let mut route: Vec<usize> = Vec::new();
    let mut waiting: Vec<usize> = (0..parts.len()).collect();
    let mut pen = from;
    let at = |i: usize| middles.get(i).copied().unwrap_or(from);
    while let Some(found) = waiting
        .iter()
        .enumerate()
        .min_by(|a, b| pen.distance(at(*a.1)).total_cmp(&pen.distance(at(*b.1))))
        .map(|(slot, _)| slot)
    {
        let next = waiting.swap_remove(found);
        pen = at(next);
        route.push(next);
    }
    let mut better = true;
    while better {
        better = false;
        for i in 0..route.len() {
            for j in i + 1..route.len() {
                let before = if i == 0 { from } else { at(route[i - 1]) };
                let after = route.get(j + 1).map(|&next| at(next));
                let tail = |point: Point| after.map_or(0.0, |after| point.distance(after));
                let (first, last) = (at(route[i]), at(route[j]));
                let now = before.distance(first) + tail(last);
                let reversed = before.distance(last) + tail(first);
                if reversed < now - 1e-6 {
                    route[i..=j].reverse();
                    better = true;
                }
            }
        }
    }
    route
}

fn middle(part: &[Line]) -> Point {
    let points = part.iter().flat_map(|line| line.runs.iter().flatten());
    let (sum, count) = points.fold((kurbo::Vec2::ZERO, 0.0_f64), |(sum, count), point| {
        (sum + point.to_vec2(), count + 1.0)
    });
    (sum / count.max(1.0)).to_point()
}

/// How far the pen travels raised, from a place, over lines in their order; in mm.
pub fn raised(lines: &[Line], from: Point) -> f64 {
    let runs = lines.iter().flat_map(|line| &line.runs);
    let ends = runs.filter_map(|run| Some((*run.first()?, *run.last()?)));
    ends.fold((0.0, from), |(sum, pen), (start, end)| {
        (sum + pen.distance(start), end)
    })
    .0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(part: usize, x: f64, y: f64, outline: bool) -> Line {
        let corners = [
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (0.0, 10.0),
            (0.0, 0.0),
        ];
        let ring = corners.map(|(dx, dy)| Point::new(x + dx, y + dy)).to_vec();
        Line {
            part,
            outline,
            runs: vec![ring],
        }
    }

    #[test]
    fn the_order_is_shorter_and_loses_nothing() {
        let scattered: Vec<Line> = (0..40)
            .map(|i| {
                square(
                    i,
                    f64::from(i as u32 * 7919 % 1000),
                    f64::from(i as u32 * 104_729 % 1000),
                    true,
                )
            })
            .collect();
        let ordered = shorten(scattered.clone(), Point::ZERO);
        assert_eq!(ordered.len(), scattered.len());
        let drawn = |lines: &[Line]| {
            let mut boxes: Vec<String> = lines
                .iter()
                .map(|line| {
                    let low = line.runs[0].iter().fold((f64::MAX, f64::MAX), |low, p| {
                        (low.0.min(p.x), low.1.min(p.y))
                    });
                    format!("{} {low:?} {}", line.part, line.runs[0].len())
                })
                .collect();
            boxes.sort();
            boxes
        };
        assert_eq!(drawn(&ordered), drawn(&scattered));
        assert!(raised(&ordered, Point::ZERO) < 0.5 * raised(&scattered, Point::ZERO));
    }

    #[test]
    fn a_piece_is_cut_loose_last() {
        let lines = vec![
            square(1, 0.0, 0.0, true),
            square(1, 3.0, 3.0, false),
            square(1, 90.0, 90.0, false),
        ];
        let ordered = shorten(lines, Point::ZERO);
        let outlines: Vec<bool> = ordered.iter().map(|line| line.outline).collect();
        assert_eq!(outlines, [false, false, true]);
    }

    #[test]
    fn an_open_line_is_taken_from_its_nearer_end() {
        let line = Line {
            part: 0,
            outline: false,
            runs: vec![vec![Point::new(50.0, 0.0), Point::new(1.0, 0.0)]],
        };
        assert_eq!(
            shorten(vec![line], Point::ZERO)[0].start(),
            Some(Point::new(1.0, 0.0))
        );
    }
}
