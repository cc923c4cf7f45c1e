//! Trousers drafted for figures from slim to stout: what is sewn together fits, and what is worn measures
//! as it should.

use chalkstripe::drafting::{self, Draft, Library, Stretch};
use chalkstripe::geometry;
use chalkstripe::order::{self, Source};
use std::path::Path;

/// The draft for measures in cm and the lines of `[trousers]`.
fn draft(height: f64, chest: f64, waist: f64, seat: f64, style: &str) -> Draft {
    let text = format!(
        "[client]\nname = \"A Client\"\nreference = \"R-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {seat}\nneck = 40\n\
         [cloth]\nname = \"grey worsted\"\nwidth = 150\n[trousers]\n{style}\n"
    );
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new("")).unwrap_or_else(|faults| {
        let faults: Vec<String> = faults.iter().map(|f| f.render(false)).collect();
        panic!("{}", faults.join("\n"))
    });
    let garment = &checked.order.garments[0];
    drafting::draft(&Library::embedded(), &checked.order, garment)
        .unwrap_or_else(|fault| panic!("{height}/{chest}/{waist}/{seat}, {style}: {fault}"))
}

fn long(draft: &Draft, stretches: &[Stretch]) -> f64 {
    let one = |stretch: &Stretch| {
        let mut pieces = draft.pieces.iter();
        let piece = pieces.find(|piece| piece.name == stretch.piece).unwrap();
        let mut edges = piece.edges.iter();
        let edge = edges.find(|edge| edge.name == stretch.edge).unwrap();
        let whole = geometry::length(&edge.path);
        (stretch.to.unwrap_or(whole) - stretch.from.unwrap_or(0.0)).abs()
    };
    stretches.iter().map(one).sum()
}

#[test]
fn seams_fit_and_girths_measure_right_on_slim_regular_and_stout() {
    for (height, chest, waist, seat) in [
        (182.0, 94.0, 76.0, 94.0),
        (176.0, 100.0, 88.0, 103.0),
        (172.0, 122.0, 118.0, 120.0),
    ] {
        for style in [
            "",
            "front = \"one_pleat\"\nbottoms = \"turn_ups\"\nleg = \"wide\"",
            "top = \"belt_loops\"\nleg = \"tapered\"\nrise = \"low\"\nback_pockets = \"both\"",
        ] {
            let draft = draft(height, chest, waist, seat, style);
            assert!(draft.seams.len() > 8 && draft.girths.len() == 5);
            for seam in &draft.seams {
                let ease = long(&draft, &seam.a) - long(&draft, &seam.b);
                assert!(
                    (seam.least..=seam.most).contains(&ease),
                    "seat {seat}, {style}: {}: ease of {ease}",
                    seam.name
                );
            }
            for girth in &draft.girths {
                assert!(
                    (girth.finished - girth.meant).abs() <= girth.within,
                    "seat {seat}, {style}: {}: {} for {}",
                    girth.name,
                    girth.finished,
                    girth.meant
                );
                assert!(
                    girth.finished > girth.body,
                    "seat {seat}: {} strains",
                    girth.name
                );
            }
        }
    }
}
