//! The DXF of the pieces, read as pairs of a code and a value; ezdxf audits it as well.

use std::path::Path;

use kurbo::Point;

use super::geometry::Run;

/// A piece as its block tells it, in mm, y turned down as on every other sheet.
#[derive(Default, Clone)]
pub(super) struct Block {
    pub name: String,
    /// The words on it, the piece's name first.
    pub words: Vec<String>,
    /// Line to cut and seam line, both closed.
    pub cut: Run,
    pub seam: Run,
    pub grain: Run,
    /// Where notches begin, on the line to cut.
    pub notches: Vec<Point>,
    /// Inner lines.
    pub inner: Vec<Run>,
    /// Drill holes and buttons.
    pub drills: Vec<Point>,
}

struct Pairs<'a>(std::iter::Peekable<std::str::Lines<'a>>);

impl<'a> Pairs<'a> {
    fn next(&mut self) -> Option<(u32, &'a str)> {
        let code = self.0.next()?.trim().parse().expect("a code");
        Some((code, self.0.next().expect("a value")))
    }
}

/// An entity: its kind and its pairs.
type Entity<'a> = (&'a str, Vec<(u32, &'a str)>);

fn entities(text: &str) -> Vec<Entity<'_>> {
    let mut pairs = Pairs(text.lines().peekable());
    let mut found: Vec<Entity<'_>> = Vec::new();
    while let Some((code, value)) = pairs.next() {
        match found.last_mut() {
            // A comment.
            _ if code == 999 => {}
            _ if code == 0 => found.push((value, Vec::new())),
            Some(entity) => entity.1.push((code, value)),
            None => panic!("a file begins with {code} {value}"),
        }
    }
    found
}

fn value<'a>(entity: &Entity<'a>, code: u32) -> Option<&'a str> {
    entity
        .1
        .iter()
        .find(|pair| pair.0 == code)
        .map(|pair| pair.1)
}

fn point(entity: &Entity<'_>, code: u32) -> Point {
    let number = |group| -> f64 {
        value(entity, group)
            .expect("a coordinate")
            .trim()
            .parse()
            .expect("a number")
    };
    Point::new(number(code), -number(code + 10))
}

/// Reads the blocks in their order, which is that of the report's pieces.
pub(super) fn read(path: &Path) -> Vec<Block> {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let mut blocks: Vec<Block> = Vec::new();
    let mut line: Option<(Run, bool, String)> = None;
    let mut inside = false;
    for entity in entities(&text) {
        let layer = value(&entity, 8).unwrap_or_default();
        match entity.0 {
            "BLOCK" => {
                inside = true;
                let name = value(&entity, 2).expect("a block's name").to_owned();
                blocks.push(Block {
                    name,
                    ..Block::default()
                });
            }
            "ENDBLK" => inside = false,
            _ if !inside => {}
            kind => {
                let block = blocks.last_mut().expect("a block");
                match kind {
                    "POLYLINE" => {
                        line = Some((
                            Vec::new(),
                            value(&entity, 70) == Some("1"),
                            layer.to_owned(),
                        ));
                    }
                    "VERTEX" => line
                        .as_mut()
                        .expect("a polyline")
                        .0
                        .push(point(&entity, 10)),
                    "SEQEND" => {
                        let (mut run, closed, drawn_on) = line.take().expect("a polyline");
                        if closed {
                            run.push(run[0]);
                        }
                        match drawn_on.as_str() {
                            "1" => block.cut = run,
                            "14" => block.seam = run,
                            _ => block.inner.push(run),
                        }
                    }
                    "LINE" if layer == "7" => {
                        block.grain = vec![point(&entity, 10), point(&entity, 11)];
                    }
                    "POINT" if layer == "4" => block.notches.push(point(&entity, 10)),
                    "POINT" => block.drills.push(point(&entity, 10)),
                    "TEXT" => block
                        .words
                        .push(value(&entity, 1).expect("words").to_owned()),
                    other => panic!("{}: an entity that is not known: {other}", block.name),
                }
            }
        }
    }
    blocks
}

/// Prints what an audit finds, and for every block by how many mm its grain line leaves the line to cut.
pub(super) const AUDIT: &str = r#"
import sys, ezdxf
from ezdxf.math import Vec2, is_point_in_polygon_2d
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
fixes = [f for f in audit.fixes if "SEQEND" not in f.message]
print("audit", len(audit.errors), len(fixes))
print("inserted", len(doc.modelspace().query("INSERT")))
def beyond(p, ring):
    if is_point_in_polygon_2d(p, ring) >= 0: return 0.0
    best = 1e9
    for a, b in zip(ring, ring[1:] + ring[:1]):
        d = b - a
        t = max(0.0, min(1.0, (p - a).dot(d) / max(d.dot(d), 1e-12)))
        best = min(best, (p - (a + d * t)).magnitude)
    return best
for insert in doc.modelspace().query("INSERT"):
    assert insert.dxf.get("xscale", 1) == 1 and insert.dxf.get("yscale", 1) == 1 and insert.dxf.get("rotation", 0) == 0
    block = doc.blocks[insert.dxf.name]
    cut = [e for e in block if e.dxf.layer == "1" and e.dxftype() == "POLYLINE"][0]
    ring = [Vec2(v.dxf.location) for v in cut.vertices]
    for line in [e for e in block if e.dxf.layer == "7"]:
        a, b = Vec2(line.dxf.start), Vec2(line.dxf.end)
        worst = max(beyond(a + (b - a) * (i / 50), ring) for i in range(51))
        print("grain|%s|%.2f" % (insert.dxf.name, worst))
"#;
