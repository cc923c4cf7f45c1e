//! Orders the lines of a plot, so that the pen or knife travels little between them.

use super::clip::part_inside;
use kurbo::{Point, Rect};

/// The distance that a plotter's pen travels raised, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Travel {
    /// With the lines in the order of the plot file.
    pub written: f64,
    /// With the lines in the order of the drawing, for comparison.
    pub drawn: f64,
}

/// A line as the plotter draws it: one run of points, or many where it is broken into dashes or
/// letters.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotLine {
    /// The piece it belongs to, as [`Item::part`](super::drawing::Item::part).
    pub part: usize,
    /// Whether it cuts the piece loose. Such a line comes after all others of its piece.
    pub outline: bool,
    /// The runs, each drawn with the pen down.
    pub runs: Vec<Vec<Point>>,
}

impl PlotLine {
    /// Returns the parts of the line inside a window. An outline that leaves the window is no longer a ring.
    #[must_use]
    pub fn within(&self, window: Rect) -> Self {
        let runs = self.runs.iter().flat_map(|run| clipped(run, window));
        Self {
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

    /// Whether it is a single run that ends where it began, which may then begin at any of its points.
    fn is_ring(&self) -> bool {
        self.runs.len() == 1 && self.start() == self.end()
    }

    /// Returns the distance from the pen to the best place to begin the line, and how to draw it from there.
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

/// Returns the parts of a run that lie inside a window.
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

/// Returns the part of a segment inside a window, unless it only touches it.
fn inside(a: Point, b: Point, window: Rect) -> Option<(Point, Point)> {
    let at = |share: f64| match share {
        0.0 => a,
        1.0 => b,
        share => a + (b - a) * share,
    };
    let (from, to) = part_inside(a, b, window)?;
    (from < to).then(|| (at(from), at(to)))
}

/// How a line is drawn: as it runs, from its other end, or, for a ring, from one of its points.
#[derive(Debug, Clone, Copy)]
enum Take {
    Forward,
    Backward,
    From(usize),
}

/// Orders lines so that the raised pen travels less. Each piece is finished before the next begins; within
/// a piece the nearest line is always next, and the outline comes last.
pub fn shorten(lines: Vec<PlotLine>, from: Point) -> Vec<PlotLine> {
    let mut parts: Vec<Vec<PlotLine>> = Vec::new();
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
        let (outlines, inner): (Vec<PlotLine>, Vec<PlotLine>) = std::mem::take(part)
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

fn nearest(lines: &[PlotLine], pen: Point) -> Option<(usize, Take)> {
    lines
        .iter()
        .enumerate()
        .map(|(i, line)| (i, line.approach(pen)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
        .map(|(i, (_, take))| (i, take))
}

/// Orders the pieces: the nearest is always next, then parts of that order are reversed as long as this
/// makes it shorter (the 2-opt exchange for travelling salesmen).
fn route(parts: &[Vec<PlotLine>], from: Point) -> Vec<usize> {
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

fn middle(part: &[PlotLine]) -> Point {
    let points = part.iter().flat_map(|line| line.runs.iter().flatten());
    let (sum, count) = points.fold((kurbo::Vec2::ZERO, 0.0_f64), |(sum, count), point| {
        (sum + point.to_vec2(), count + 1.0)
    });
    (sum / count.max(1.0)).to_point()
}

/// Returns the distance in mm that the pen travels raised over lines in their given order, beginning at `from`.
pub fn raised(lines: &[PlotLine], from: Point) -> f64 {
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

    fn square(part: usize, x: f64, y: f64, outline: bool) -> PlotLine {
        let corners = [
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (0.0, 10.0),
            (0.0, 0.0),
        ];
        let ring = corners.map(|(dx, dy)| Point::new(x + dx, y + dy)).to_vec();
        PlotLine {
            part,
            outline,
            runs: vec![ring],
        }
    }

    #[test]
    fn the_order_is_shorter_and_loses_nothing() {
        let scattered: Vec<PlotLine> = (0..40)
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
        let drawn = |lines: &[PlotLine]| {
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
        let line = PlotLine {
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
