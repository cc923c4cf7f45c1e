//! `out-samples/` holds what the program writes now, for one example: this fails when they differ.
//! `CHALKSTRIPE_KEEP=1` writes them anew. They are also the pictures of the README.

mod draft;
mod drawn;
mod figures;
pub(crate) mod forks;
mod lapels;
mod manifest;
mod weaves;

use std::fs;
use std::path::Path;
use std::process::Command;

/// What is kept; the paper is A1, whose few pages make a small file.
const KEPT: [&str; 9] = [
    "paper-a1.pdf",
    "lay.svg",
    "lay.plt",
    "lay.png",
    "pieces.svg",
    "pieces.png",
    "views.png",
    "ticket.pdf",
    "report.json",
];

/// The examples of which the garments are kept as they are worn, each in its cloth.
const WORN: [&str; 3] = ["dinner-suit", "odd-jacket", "overcoat"];

/// The swatch of an example is made by the program as well.
#[test]
fn the_swatch_of_an_example_is_what_the_program_draws() {
    let swatch =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/in-cloth/grey-herringbone.png");
    let drawn = weaves::herringbone();
    if std::env::var_os("CHALKSTRIPE_KEEP").is_some() {
        fs::write(&swatch, &drawn).expect("the swatch can be written");
    }
    assert!(
        fs::read(&swatch).is_ok_and(|kept| kept == drawn),
        "it is drawn otherwise now"
    );
}

#[test]
fn samples_are_what_the_program_writes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = tempfile::tempdir().expect("a temporary folder");
    let cut = |name: &str, options: &[&str]| {
        let done = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
            .arg("cut")
            .arg(root.join(format!("examples/{name}.toml")))
            .args(options)
            .arg("--out")
            .arg(out.path())
            .output()
            .expect("the program runs");
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success(), "{said}");
        let name = Path::new(name).file_name().expect("a name");
        out.path().join(name)
    };
    let worn = |name: &str| {
        let done = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
            .arg("draft")
            .arg(root.join(format!("examples/{name}.toml")))
            .arg("--out")
            .arg(out.path().join("worn"))
            .output()
            .expect("the program runs");
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success(), "{said}");
        fs::read(out.path().join("worn").join(name).join("views.png")).expect("the views")
    };
    let written = cut("plain-worsted", &["--paper", "a1"]);
    let checked = cut("check-side-vents", &["--paper", "a0", "--rounds", "18"]);
    let striped = cut("in-cloth/chalk-stripe", &["--paper", "a0", "--rounds", "8"]);
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
    let lay = fs::read(checked.join("lay.png")).expect("a lay");
    files.push(("lay-check.png".to_owned(), lay));
    let suit = fs::read(striped.join("views.png")).expect("the views");
    files.push(("suit.png".to_owned(), suit));
    for name in WORN {
        files.push((format!("{name}.png"), worn(name)));
    }
    files.push(("figures.png".to_owned(), picture(&figures::picture())));
    let lapels = lapels::picture();
    files.push(("lapels.png".to_owned(), picture(&lapels)));
    files.push(("lapels.svg".to_owned(), lapels));
    files.push(("weaves.png".to_owned(), weaves::picture()));
    for (name, svg) in draft::pages(&root.join("examples/plain-worsted.toml")) {
        files.push((format!("{name}.png"), picture(&svg)));
    }
    for (name, drawing) in [
        ("forks", drawn::forks()),
        ("waistcoats", drawn::waistcoats()),
    ] {
        files.push((format!("{name}.png"), picture(drawing.as_bytes())));
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

/// A picture drawn at 1000 pixels across.
fn picture(svg: &[u8]) -> Vec<u8> {
    use resvg::{tiny_skia, usvg};
    let options = usvg::Options {
        dpi: 25.4,
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_data(svg, &options).expect("a drawing");
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
