//! The paper pattern, read back by poppler, mupdf and qpdf.

use std::path::{Path, PathBuf};

use chalkstripe::pattern::Piece;
use chalkstripe::sheets::paper::Paper;
use chalkstripe::sheets::tiles::{self, Setup};

use crate::fixture;
use crate::reader::{has, run};

fn pdf(paper: &str) -> Vec<u8> {
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    let setup = Setup::new(paper.parse::<Paper>().unwrap());
    tiles::write(&pieces, &fixture::order(), &setup).unwrap()
}

fn written(paper: &str) -> PathBuf {
    let name = format!("paper-{}.pdf", paper.replace(':', "-"));
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, pdf(paper)).unwrap();
    path
}

const PAPERS: [&str; 9] = [
    "a4",
    "a3",
    "a2",
    "a1",
    "a0",
    "letter",
    "tabloid",
    "roll:914mm",
    "roll:24in",
];

#[test]
fn every_paper_is_a_clean_file() {
    for paper in PAPERS {
        let started = std::time::Instant::now();
        let path = written(paper);
        let bytes = std::fs::metadata(&path).unwrap().len();
        println!("{paper}: {} kB in {:?}", bytes / 1000, started.elapsed());
        if has("qpdf") {
            run("qpdf", &["--check", path.to_str().unwrap()]);
        }
    }
}
