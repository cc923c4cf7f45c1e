//! The marker, read from its SVG by an XML reader: layers, in each a group for every cut, in each strokes.

use std::collections::BTreeMap;
use std::path::Path;

use kurbo::{BezPath, Point, Vec2};
use resvg::usvg::roxmltree::{Document, Node};

use super::geometry::{Run, runs};

/// Curves are flattened to this, in mm.
const FLAT: f64 = 0.005;

/// One stroke as it is drawn.
#[derive(Clone)]
pub(super) struct Stroke {
    pub runs: Vec<Run>,
    pub dashed: bool,
    closed: bool,
}

/// A sheet: 1 unit is 1 mm, x across the cloth, y along it.
pub(super) struct Sheet {
    pub width: f64,
    pub height: f64,
    pub title: String,
    /// By layer and by the number of the part, which is 0 for what belongs to no piece.
    pub layers: BTreeMap<String, BTreeMap<usize, Vec<Stroke>>>,
}

impl Sheet {
    pub(super) fn read(path: &Path) -> Self {
        let text =
            std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let document = Document::parse(&text).expect("XML");
        let root = document.root_element();
        let length = |name: &str| -> f64 {
            let value = root.attribute(name).expect("a size");
            value
                .strip_suffix("mm")
                .expect("mm")
                .parse()
                .expect("a number")
        };
        let (width, height) = (length("width"), length("height"));
        let view: Vec<f64> = root
            .attribute("viewBox")
            .expect("a view")
            .split(' ')
            .map(|n| n.parse().unwrap())
            .collect();
        assert_eq!(
            view,
            [0.0, 0.0, width, height],
            "{}: not at true scale",
            path.display()
        );
        assert!(
            document
                .descendants()
                .all(|node| node.attribute("transform").is_none()),
            "{}: a transform, which this reader does not follow",
            path.display()
        );
        let elements = |node: Node<'_, '_>| {
            node.children()
                .filter(Node::is_element)
                .map(|n| n.id())
                .collect::<Vec<_>>()
        };
        let mut layers = BTreeMap::new();
        for id in elements(root) {
            let layer = document.get_node(id).unwrap();
            let Some(name) = layer.attribute("id").filter(|_| layer.has_tag_name("g")) else {
                continue;
            };
            let mut parts = BTreeMap::new();
            for part in layer.children().filter(|node| node.has_tag_name("g")) {
                let part_id = part.attribute("id").expect("a part's id");
                let number = part_id
                    .rsplit('-')
                    .next()
                    .unwrap()
                    .parse()
                    .expect("a part's number");
                let strokes = part
                    .children()
                    .filter(|node| node.has_tag_name("path"))
                    .map(stroke)
                    .collect();
                assert!(
                    parts.insert(number, strokes).is_none(),
                    "{part_id} stands twice"
                );
            }
            layers.insert(name.to_owned(), parts);
        }
        let title = root.children().find(|node| node.has_tag_name("title"));
        let title = title
            .and_then(|node| node.text())
            .unwrap_or_default()
            .to_owned();
        Self {
            width,
            height,
            title,
            layers,
        }
    }

    /// The strokes of a part in a layer.
    pub(super) fn strokes(&self, layer: &str, part: usize) -> &[Stroke] {
        let parts = self.layers.get(layer);
        parts
            .and_then(|parts| parts.get(&part))
            .map_or(&[], Vec::as_slice)
    }

    /// Every run of a layer.
    pub(super) fn all(&self, layer: &str) -> impl Iterator<Item = &Stroke> {
        self.layers
            .get(layer)
            .into_iter()
            .flat_map(|parts| parts.values().flatten())
    }

    /// The line that is cut round a part, closed: its only closed one, or what is longest where half a piece
    /// lies on the fold.
    pub(super) fn outline(&self, part: usize) -> Option<Run> {
        closed(self.strokes("cut", part))
    }

    /// A part's seam line.
    pub(super) fn seam(&self, part: usize) -> Option<Run> {
        closed(self.strokes("seam", part))
    }

    /// Places of the pattern's bars: x of those along the cloth, y of those across it.
    pub(super) fn bars(&self) -> (Vec<f64>, Vec<f64>) {
        let (mut xs, mut ys) = (Vec::new(), Vec::new());
        for run in self.all("repeat").flat_map(|stroke| &stroke.runs) {
            if run[0].x == run[1].x {
                xs.push(run[0].x);
            } else {
                ys.push(run[0].y);
            }
        }
        (xs, ys)
    }

    /// The arrow of a part's grain.
    pub(super) fn arrow(&self, part: usize) -> Option<Arrow> {
        let strokes = self.strokes("marks", part);
        let solid: Vec<&Run> = strokes
            .iter()
            .filter(|s| !s.dashed)
            .filter_map(|s| s.runs.first())
            .collect();
        // A head: two arms of one length that meet at an end of a line, which runs between them.
        let tip = |head: &Run, line: &Run| {
            let [a, tip, b] = head[..] else { return None };
            let (from, to) = (line[0], line[line.len() - 1]);
            let from = if tip.distance(to) < 0.01 {
                from
            } else if tip.distance(from) < 0.01 {
                to
            } else {
                return None;
            };
            let even = (a.distance(tip) - b.distance(tip)).abs() < 0.01;
            let between = (a.midpoint(b) - tip).cross(from - tip).abs() < 0.02 * tip.distance(from);
            (even && between).then_some((from, tip))
        };
        for line in solid.iter().filter(|run| run.len() == 2) {
            let tips: Vec<(Point, Point)> =
                solid.iter().filter_map(|head| tip(head, line)).collect();
            match tips[..] {
                [(from, to)] => {
                    return Some(Arrow {
                        from,
                        to,
                        both: false,
                    });
                }
                [(from, to), _] => {
                    return Some(Arrow {
                        from,
                        to,
                        both: true,
                    });
                }
                _ => {}
            }
        }
        None
    }
}

fn closed(strokes: &[Stroke]) -> Option<Run> {
    let mut closed = strokes.iter().filter(|stroke| stroke.closed);
    let runs = match (closed.next(), closed.next()) {
        (Some(stroke), None) => &stroke.runs,
        (Some(_), Some(_)) => return None,
        _ => {
            &strokes
                .iter()
                .max_by_key(|stroke| stroke.runs[0].len())?
                .runs
        }
    };
    let [run] = &runs[..] else { return None };
    let mut run = run.clone();
    if run.first() != run.last() {
        run.push(run[0]);
    }
    Some(run)
}

/// A grain line with a head at `to`, or at both ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Arrow {
    pub from: Point,
    pub to: Point,
    pub both: bool,
}

impl Arrow {
    pub(super) fn direction(&self) -> Vec2 {
        (self.to - self.from).normalize()
    }
}

fn stroke(node: Node<'_, '_>) -> Stroke {
    let data = node.attribute("d").expect("a path");
    let path = BezPath::from_svg(data).unwrap_or_else(|error| panic!("{error}: {data}"));
    Stroke {
        runs: runs(&path, FLAT),
        dashed: node.attribute("stroke-dasharray").is_some(),
        closed: data.ends_with(['Z', 'z']),
    }
}
