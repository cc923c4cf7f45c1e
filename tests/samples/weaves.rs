//! Swatches of the usual patterns at true scale, and the swatch of an example.

use chalkstripe::cloth::{Colour, Count, Described, Picture, Texture, Woven, true_scale, weaves};
use std::sync::Arc;

/// Each pattern: its colours, weave, counts, ends and picks to a cm.
type Pattern = (
    &'static [(&'static str, &'static str)],
    &'static str,
    &'static str,
    &'static str,
    [f64; 2],
);

const GREY: &[(&str, &str)] = &[("d", "#2c2e33"), ("l", "#d9d5cb")];

/// Houndstooth, glen check, herringbone; windowpane, pin stripe, chalk stripe.
const PATTERNS: [Pattern; 6] = [
    (GREY, "twill", "d4 l4", "d4 l4", [20.0, 20.0]),
    (
        GREY,
        "twill",
        "d4 l4 d4 l4 d4 l4 d4 l4 d2 l2 d2 l2 d2 l2 d2 l2 d2 l2 d2 l2 d2 l2",
        "d4 l4 d4 l4 d4 l4 d4 l4 d2 l2 d2 l2 d2 l2 d2 l2 d2 l2 d2 l2 d2 l2",
        [24.0, 24.0],
    ),
    (
        &[("a", "#6f7278"), ("b", "#4a4c52")],
        "herringbone",
        "a1",
        "b1",
        [20.0, 20.0],
    ),
    (
        &[("n", "#2a3550"), ("w", "#e9e6da")],
        "twill",
        "n62 w2",
        "n70 w2",
        [26.0, 24.0],
    ),
    (
        &[("n", "#23272f"), ("w", "#e9e6da")],
        "twill",
        "n30 w1",
        "n1",
        [26.0, 24.0],
    ),
    (
        &[("n", "#232c44"), ("c", "#c9c6bd")],
        "twill",
        "n45 c5",
        "n1",
        [20.0, 18.0],
    ),
];

/// Pixels to a mm, the side of a swatch and the space between two, mm; and swatches side by side.
const PIXELS: f64 = 8.0;
const SIDE: f64 = 34.0;
const SPACE: usize = 16;
const COLUMNS: usize = 3;

fn texture((colours, weave, warp, weft, sett): &Pattern) -> Texture {
    let all = weaves(None).expect("weaves");
    let weave = all.iter().find(|own| own.name == *weave).expect("a weave");
    let colours: Vec<(String, Colour)> = (colours.iter())
        .map(|(name, colour)| ((*name).to_owned(), Colour::parse(colour).expect("a colour")))
        .collect();
    let counts = [warp, weft].map(|text| Count::parse(text).expect("a count"));
    let sett = sett.map(|to_a_cm| to_a_cm / 10.0);
    let woven = Woven::new(weave, &colours, [&counts[0], &counts[1]], sett).expect("a cloth");
    let stretch = [1.0, 1.0];
    Described::Woven {
        woven: Arc::new(woven),
        stretch,
    }
    .texture()
}

/// The patterns side by side.
pub(super) fn picture() -> Vec<u8> {
    let swatches: Vec<Picture> = (PATTERNS.iter())
        .map(|pattern| true_scale(&texture(pattern), [SIDE, SIDE], PIXELS))
        .collect();
    let side = swatches[0].width + SPACE;
    let (width, height) = (
        COLUMNS * side + SPACE,
        swatches.len() / COLUMNS * side + SPACE,
    );
    let mut all = swatches[0].clone();
    (all.width, all.height) = (width, height);
    all.rgb = vec![255; 3 * width * height];
    for (i, swatch) in swatches.iter().enumerate() {
        let (left, top) = (SPACE + i % COLUMNS * side, SPACE + i / COLUMNS * side);
        for (y, row) in swatch.rgb.chunks_exact(3 * swatch.width).enumerate() {
            let at = 3 * ((top + y) * width + left);
            all.rgb[at..at + row.len()].copy_from_slice(row);
        }
    }
    all.png(Some(PIXELS)).expect("a picture")
}

/// The swatch of the herringbone example: 8 cm of the flannel, six pixels to a mm.
pub(super) fn herringbone() -> Vec<u8> {
    let swatch = true_scale(&texture(&PATTERNS[2]), [80.0, 80.0], 6.0);
    swatch.png(Some(6.0)).expect("a picture")
}
