//! The DXF of the pieces, read back by ezdxf.

use chalkstripe::sheets::dxf;

use kurbo::Point;

use crate::sheets::fixture;
use crate::sheets::reader::{python_with, run};

/// Prints, for every block, its name, the width and height of its line to cut in mm, how many
/// notches it has, and its words.
const READ: &str = r#"
import sys, ezdxf
from ezdxf.lldxf.encoding import decode_dxf_unicode
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
# Before 1.0, ezdxf gave no owner to the SEQENDs it read from release 12 (which knows no owners) and
# then mended them: its own doing.
fixes = [f for f in audit.fixes if "SEQEND" not in f.message]
print("audit", len(audit.errors), len(fixes))
for insert in doc.modelspace().query("INSERT"):
    block = doc.blocks[insert.dxf.name]
    cut = [e for e in block if e.dxf.layer == "1" and e.dxftype() == "POLYLINE"]
    points = [v.dxf.location for e in cut for v in e.vertices]
    xs, ys = [p.x for p in points], [p.y for p in points]
    notches = len([e for e in block if e.dxf.layer == "4"])
    words = " / ".join(decode_dxf_unicode(e.plain_text()) for e in block if e.dxftype() == "TEXT")
    print("block|%s|%.3f|%.3f|%d|%s" % (insert.dxf.name, max(xs) - min(xs), max(ys) - min(ys), notches, words))
"#;

#[test]
fn every_piece_is_a_block_of_its_size() {
    let pattern = fixture::pattern();
    let bytes = dxf::write(&pattern, &fixture::order());
    assert!(bytes.is_ascii());
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pieces.dxf");
    std::fs::write(&path, &bytes).unwrap();
    assert!(
        bytes == dxf::write(&pattern, &fixture::order()),
        "two runs differ"
    );
    let Some(python) = python_with("ezdxf") else {
        return;
    };
    let text = run(python, &["-c", READ, path.to_str().unwrap()]);
    assert!(text.contains("audit 0 0"), "{text}");
    let blocks: Vec<Vec<&str>> = text
        .lines()
        .filter(|l| l.starts_with("block|"))
        .map(|l| l.split('|').collect())
        .collect();
    assert_eq!(blocks.len(), pattern.pieces.len());
    for (piece, block) in pattern.pieces.iter().zip(blocks) {
        let bounds = piece.bounds();
        let number = |i: usize| block[i].parse::<f64>().unwrap();
        assert!(
            (number(2) - bounds.width()).abs() < 0.05,
            "{block:?} {bounds:?}"
        );
        assert!(
            (number(3) - bounds.height()).abs() < 0.05,
            "{block:?} {bounds:?}"
        );
        assert_eq!(number(4), piece.notches.len() as f64, "{block:?}");
        assert!(block[5].contains(fixture::NAME), "{block:?}");
    }
}

/// Prints, for every block, its name, the corners of its seam line and the two ends of its grain line.
const GRAINS: &str = r#"
import sys, ezdxf
doc = ezdxf.readfile(sys.argv[1])
for insert in doc.modelspace().query("INSERT"):
    block = doc.blocks[insert.dxf.name]
    seam = [e for e in block if e.dxf.layer == "14" and e.dxftype() == "POLYLINE"][0]
    grain = [e for e in block if e.dxf.layer == "7"][0]
    points = [v.dxf.location for v in seam.vertices] + [grain.dxf.start, grain.dxf.end]
    print(insert.dxf.name, " ".join("%.4f,%.4f" % (p.x, p.y) for p in points))
"#;

/// The grain line of every piece of every example lies inside its seam line, all along, and is long enough
/// to lay a rule to.
#[test]
fn every_grain_line_lies_in_its_piece() {
    let Some(python) = python_with("ezdxf") else {
        return;
    };
    let mut pieces = 0;
    for order in fixture::cut_examples() {
        let file = order.join("pieces.dxf");
        let text = run(python, &["-c", GRAINS, file.to_str().unwrap()]);
        for line in text.lines() {
            let (name, points) = line.split_once(' ').unwrap();
            let point = |pair: &str| {
                let (x, y) = pair.split_once(',').unwrap();
                Point::new(x.parse().unwrap(), y.parse().unwrap())
            };
            let mut seam: Vec<Point> = points.split(' ').map(point).collect();
            let (lower, upper) = (seam.pop().unwrap(), seam.pop().unwrap());
            for share in 0..=20 {
                let at = upper.lerp(lower, f64::from(share) / 20.0);
                assert!(
                    winds_round(&seam, at),
                    "{order:?}: the grain of {name} leaves it at {at:?}"
                );
            }
            let long = upper.distance(lower);
            assert!(long > 8.0, "{name}: a grain line of {long:.1} mm");
            pieces += 1;
        }
    }
    println!("{pieces} pieces");
    assert!(pieces > 250, "{pieces}");
}

/// Whether a ring winds round a point: by the angles under which its sides are seen.
fn winds_round(ring: &[Point], at: Point) -> bool {
    let next = ring.iter().cycle().skip(1);
    let turned: f64 = ring
        .iter()
        .zip(next)
        .map(|(a, b)| {
            let (a, b) = (*a - at, *b - at);
            a.cross(b).atan2(a.dot(b))
        })
        .sum();
    turned.abs() > std::f64::consts::PI
}
