//! The DXF of the pieces, read back by ezdxf.

use chalkstripe::sheets::dxf;

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
