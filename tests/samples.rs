//! `out-samples/` holds what the program writes now, for one example: this fails when they differ.
//! `CHALKSTRIPE_KEEP=1` writes them anew. They are also the pictures of the README.

#[path = "samples/drawn.rs"]
mod drawn;
#[path = "samples/forks.rs"]
mod forks;
#[path = "samples/lapels.rs"]
mod lapels;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What is kept; the tiled paper is left out for its size.
const KEPT: [&str; 5] = [
    "lay.svg",
    "lay.plt",
    "pieces.svg",
    "ticket.pdf",
    "report.json",
];

#[test]
fn samples_are_what_the_program_writes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = tempfile::tempdir().expect("a temporary folder");
    let done = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
        .arg("cut")
        .arg(root.join("examples/plain-worsted.toml"))
        .arg("--out")
        .arg(out.path())
        .output()
        .expect("the program runs");
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );

    let written = out.path().join("plain-worsted");
    let samples = root.join("out-samples");
    let mut files: Vec<(String, Vec<u8>)> = KEPT
        .iter()
        .map(|name| {
            (
                (*name).to_owned(),
                fs::read(written.join(name)).expect("a sheet"),
            )
        })
        .collect();
    let lapels = lapels::picture();
    fs::write(written.join("lapels.svg"), &lapels).expect("a picture");
    files.push(("lapels.svg".to_owned(), lapels));
    for name in ["pieces", "lay", "lapels"] {
        files.push((
            format!("{name}.png"),
            picture(&written.join(format!("{name}.svg"))),
        ));
    }
    for (name, drawing) in [
        ("forks", drawn::forks()),
        ("waistcoats", drawn::waistcoats()),
    ] {
        let svg = written.join(format!("{name}.svg"));
        fs::write(&svg, drawing).expect("a picture");
        files.push((format!("{name}.png"), picture(&svg)));
    }
    let keep = std::env::var_os("CHALKSTRIPE_KEEP").is_some();
    let mut differ = Vec::new();
    for (name, bytes) in files {
        let sample = samples.join(&name);
        if keep {
            fs::create_dir_all(&samples).expect("the folder of samples");
            fs::write(&sample, &bytes).expect("the sample can be written");
        } else if fs::read(&sample).ok().as_deref() != Some(&bytes) {
            differ.push(name);
        }
    }
    assert!(
        differ.is_empty(),
        "no longer what the program writes: {differ:?}; look at the new ones, then run with CHALKSTRIPE_KEEP=1"
    );
}

/// A sheet drawn at 1000 pixels across.
fn picture(svg: &PathBuf) -> Vec<u8> {
    use resvg::{tiny_skia, usvg};
    let options = usvg::Options {
        dpi: 25.4,
        ..usvg::Options::default()
    };
    let tree =
        usvg::Tree::from_data(&fs::read(svg).expect("a sheet"), &options).expect("a drawing");
    let scale = 1000.0 / tree.size().width();
    let mut pixels = tiny_skia::Pixmap::new(1000, (tree.size().height() * scale).ceil() as u32)
        .expect("a picture");
    pixels.fill(tiny_skia::Color::WHITE);
    resvg::render(
        &tree,
        tiny_skia::Transform::from_scale(scale, scale),
        &mut pixels.as_mut(),
    );
    pixels.encode_png().expect("a picture")
}
