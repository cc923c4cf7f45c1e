//! Checking how the cloth looks: its threads, or a picture of it, and the colours of what goes with it.

use super::catalogue::Catalogue;
use super::cloth::centimetres;
use super::file;
use super::material::Materials;
use super::reading::Findings;
use super::repeats::{Threads, stretch};
use super::swatch_file::bytes;
use super::threads::Written;
use super::{Cloth, Look, colours};
use crate::cloth::{Described, Swatch, Trims, Woven};
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;
use toml::Spanned;

/// The least and the most of the cloth that a swatch shows, in cm.
const SWATCH: (f64, f64) = (1.0, 100.0);

/// A cloth as the order describes it, before its repeat is known.
pub(super) enum Raw {
    Woven(Arc<Woven>),
    Picture {
        bytes: Vec<u8>,
        place: Range<usize>,
        width: f64,
    },
}

/// Reads the description of the cloth, if the order has one, and what its threads say of its pattern.
pub(super) fn described(
    raw: &mut file::Cloth,
    catalogue: &Catalogue,
    folder: &Path,
    findings: &mut Findings,
) -> (Option<Raw>, Option<Threads>) {
    let places =
        [&raw.repeat_across, &raw.repeat_along].map(|said| said.as_ref().map(Spanned::span));
    let swatch = (raw.swatch.take(), raw.swatch_width.take());
    let threads = Written {
        colours: raw.colours.take(),
        weave: raw.weave.take(),
        warp: raw.warp.take(),
        weft: raw.weft.take(),
        sett: [raw.ends.take(), raw.picks.take()],
    };
    match (swatch, threads.first()) {
        ((None, None), None) => (None, None),
        ((Some(swatch), _), Some(_)) => {
            let fault = Diagnostic::error(
                "a cloth is described by its threads or by a swatch, not by both",
            );
            findings.at(swatch.span(), fault.help("leave one of them out"));
            (None, None)
        }
        ((None, Some(width)), _) => {
            let fault =
                Diagnostic::error("swatch_width is the width of a picture, and there is none");
            findings.at(width.span(), fault.help("swatch = \"…\" names the picture"));
            (None, None)
        }
        ((Some(swatch), None), None) => {
            let fault = Diagnostic::error("how much of the cloth does the swatch show?");
            let help =
                "swatch_width = \"10 cm\" is the cloth from the left to the right of the picture";
            findings.at(swatch.span(), fault.help(help));
            (None, None)
        }
        ((Some(swatch), Some(width)), None) => {
            let (least, most) = SWATCH;
            let width = 10.0 * centimetres("swatch_width", &width, least, most, findings);
            let place = swatch.span();
            let picture = bytes(&swatch, folder, findings).map(|bytes| Raw::Picture {
                bytes,
                place,
                width,
            });
            (picture, None)
        }
        ((None, None), Some(first)) => match threads.woven(first, catalogue, findings) {
            Some((woven, counts)) => {
                let [across, along] = places;
                let [warp, weft] = counts;
                let read = Threads {
                    repeat: woven.repeat(),
                    even: woven.reads_both_ways(),
                    places: [across.unwrap_or(warp), along.unwrap_or(weft)],
                };
                (Some(Raw::Woven(Arc::new(woven))), Some(read))
            }
            None => (None, None),
        },
    }
}

/// The colours that an order says, with the place of their header.
pub(super) type Said = (file::Colours, Option<Range<usize>>);

/// Checks the colours of buttons and threads, and takes up those of materials. `shown` says whether any cloth of the
/// order is described.
pub(super) fn trims(
    (raw, header): Said,
    shown: bool,
    catalogue: &Catalogue,
    materials: &mut Materials,
    findings: &mut Findings,
) -> Option<Trims> {
    let usual = match catalogue.trims() {
        Ok(trims) => trims,
        Err(faults) => {
            // Where nothing is shown in its colours these do no harm.
            if shown || header.is_some() {
                findings.all.extend(faults);
            }
            return None;
        }
    };
    let header = header.filter(|_| !raw.is_empty());
    let trims = colours::check(raw, usual, materials, findings);
    if let (false, Some(header), false) = (shown, header, findings.failed()) {
        let doubt = Diagnostic::warning("colours are shown only where the cloth is described");
        let help =
            "describe it under [cloth]: colours, weave, warp, weft, ends and picks, or a swatch";
        findings.at(header, doubt.help(help));
    }
    Some(trims)
}

/// Returns the look of what is made of a cloth, with the repeat that this has; `None` if it is not described.
pub(super) fn of(
    described: Option<Raw>,
    cloth: &Cloth,
    trims: Option<&Trims>,
    findings: &mut Findings,
) -> Option<Look> {
    let repeat = cloth.repeat();
    let shown = match described? {
        Raw::Woven(woven) => {
            let own = woven.repeat();
            let stretch = [0, 1].map(|axis| stretch(repeat[axis], own[axis]).unwrap_or(1.0));
            Described::Woven { woven, stretch }
        }
        Raw::Picture {
            bytes,
            place,
            width,
        } => match Swatch::read(&bytes, width, repeat) {
            Ok(swatch) => Described::Swatch(Arc::new(swatch)),
            Err(fault) => {
                let told = Diagnostic::error(format!("the swatch cannot be used: {fault}"));
                findings.at(place, told.help(fault.help()));
                return None;
            }
        },
    };
    Some(Look {
        cloth: shown,
        trims: trims?.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cloth::Texture;
    use crate::diagnostic::{Severity, Source};
    use crate::order::{Checked, Layout, parse};

    /// The plain order with these lines in its `[cloth]` and after its end.
    fn checked_in(folder: &Path, cloth: &str, after: &str) -> Result<Checked, Vec<Diagnostic>> {
        let text = std::fs::read_to_string("examples/plain-worsted.toml").unwrap();
        let with = format!("width = 150\n{cloth}\n");
        let text = text.replace("layout = \"doubled\"\n", "");
        let text = text.replacen("width = 150", &with, 1) + "\n" + after + "\n";
        parse("x", &Source::new("x.toml", text), folder)
    }

    fn checked(cloth: &str) -> Result<Checked, Vec<Diagnostic>> {
        checked_in(Path::new(""), cloth, "")
    }

    const PANE: &str = "colours = { n = \"#2a3550\", w = \"ivory\" }\nweave = \"twill\"\n\
        warp = \"n122 w2\"\nweft = \"n142 w2\"\nends = 26\npicks = 24\n";

    #[test]
    fn a_windowpane_has_the_repeat_of_its_threads_and_is_laid_open() {
        let plain = checked("").unwrap().order;
        assert_eq!((plain.look, plain.cloth.layout), (None, Layout::Doubled));
        let Checked {
            order, warnings, ..
        } = checked(PANE).unwrap();
        assert_eq!(warnings, []);
        assert_eq!(order.cloth.layout, Layout::Open);
        assert!((order.cloth.repeat_across - 1240.0 / 26.0).abs() < 1e-9);
        assert!((order.cloth.repeat_along - 1440.0 / 24.0).abs() < 1e-9);
        let texture = order.look.unwrap().cloth.texture();
        assert!((texture.size()[1] - 60.0).abs() < 1e-9);
        // The light bar is where the pattern is measured from.
        let light = |of: &Texture, x: f64, y: f64| of.sample(x, y, 0.8)[0];
        assert!(light(&texture, 0.0, 20.0) > 0.15 && light(&texture, 20.0, 20.0) < 0.1);
        assert!(light(&texture, 20.0, 0.0) > 0.15);
    }

    #[test]
    fn a_measured_repeat_is_held_against_the_threads() {
        let with = |repeat: &str| checked(&format!("{PANE}repeat_along = {repeat}\n")).unwrap();
        let near = with("6.1");
        assert_eq!(near.warnings, []);
        let texture = near.order.look.unwrap().cloth.texture();
        assert!(
            (texture.size()[1] - 61.0).abs() < 1e-9,
            "it is shown as it is laid"
        );
        assert_eq!(with("12").warnings, [], "two of its repeats are one too");
        let far = with("6.3");
        assert_eq!(far.warnings.len(), 1);
        assert!(
            far.warnings[0]
                .message
                .contains("repeat_along is 6.3 cm, and the threads repeat after 6 cm")
        );
        assert!(
            with("0").order.cloth.repeat_along == 0.0,
            "as it is written"
        );
        let uneven = PANE.replace("n142 w2", "n100 w2 n40 w8 n6 w1");
        let uneven = checked(&uneven).unwrap();
        assert!(
            uneven.warnings[0].help[0].contains("one_way"),
            "{:?}",
            uneven.warnings
        );
    }

    /// The faults of a cloth, each as it is shown.
    fn faults(result: Result<Checked, Vec<Diagnostic>>) -> String {
        let faults = result.unwrap_err();
        let shown = faults
            .iter()
            .filter(|fault| fault.severity == Severity::Error);
        shown
            .map(|fault| fault.render(false))
            .collect::<Vec<_>>()
            .join("\n")
    }

    #[test]
    fn what_is_wrong_with_a_cloth_is_told_where_it_stands() {
        let changed = |from: &str, to: &str| {
            assert!(PANE.contains(from));
            faults(checked(&PANE.replacen(from, to, 1)))
        };
        for (from, to, told) in [
            (
                "n122 w2",
                "n2758 w2",
                "the threads repeat after 106.2 cm, and no repeat over 100 cm is believed",
            ),
            ("\"ivory\"", "\"ivoory\"", "`ivoory` is not a colour"),
            ("\"ivory\"", "\"ivoory\"", "Perhaps: ivory"),
            ("#2a3550", "#2a355", "`#2a355` is not a colour"),
            ("n122 w2", "n1000000 w2", "at most 4000 threads"),
            ("n122 w2", "n122 v2", "`v` is not among the colours"),
            ("n122 w2", "n122, w2", "this is no thread count"),
            ("\"twill\"", "\"twil\"", "Perhaps: twill"),
            ("ends = 26", "ends = 66000", "2 to 80 to the cm"),
            ("ends = 26", "ends = 90", "to the inch, write 35.4"),
            ("ends = 26", "", "needs ends"),
            ("weft = \"n142 w2\"", "", "needs weft"),
            ("n122 w2", "n3989 w2", "the warp a multiple of 4"),
            ("w = ", "w2 = ", "no name of a thread"),
        ] {
            let shown = changed(from, to);
            assert!(shown.contains(told), "{to}: {shown}");
            assert!(
                shown.contains("x.toml, line ") && shown.contains('^'),
                "{shown}"
            );
        }
    }

    #[test]
    fn a_swatch_lies_in_the_folder_of_its_order() {
        let folder = tempfile::tempdir().unwrap();
        let own = folder.path().join("orders");
        std::fs::create_dir_all(own.join("swatches")).unwrap();
        let rgb = (0..64 * 64)
            .flat_map(|i| [if i % 16 < 2 { 220 } else { 40 }; 3])
            .collect();
        let mut canvas = crate::cloth::Canvas::new(64, 64).unwrap().picture();
        canvas.rgb = rgb;
        let png = canvas.png(None).unwrap();
        for place in ["orders/swatches/314.png", "outside.png"] {
            std::fs::write(folder.path().join(place), &png).unwrap();
        }
        std::fs::write(own.join("note.txt"), "grey flannel").unwrap();
        let read = |swatch: &str, more: &str| {
            let cloth = format!("swatch = \"{swatch}\"\nswatch_width = 6.4\n{more}");
            checked_in(&own, &cloth, "[colours]\nbuttons = \"covered\"")
        };
        let good = read("swatches/314.png", "repeat_across = 1.6").unwrap();
        assert_eq!(good.warnings, []);
        let look = good.order.look.unwrap();
        assert_eq!(look.cloth.texture().size()[0], 64.0);
        for (swatch, told) in [
            ("../outside.png", "not in the order's folder"),
            ("/etc/hostname", "not in the order's folder"),
            ("", "not in the order's folder"),
            ("nowhere.png", "cannot be read"),
            ("swatches", "is not a file"),
            ("note.txt", "neither a PNG nor a JPEG"),
        ] {
            let shown = faults(read(swatch, ""));
            assert!(shown.contains(told), "{swatch}: {shown}");
        }
        let narrow = faults(read("swatches/314.png", "repeat_across = 7"));
        assert!(narrow.contains("less than one repeat"), "{narrow}");
        let both = faults(read("swatches/314.png", PANE));
        assert!(both.contains("not by both"), "{both}");
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink("../outside.png", own.join("link.png")).unwrap();
            assert!(faults(read("link.png", "")).contains("not in the order's folder"));
        }
    }

    #[test]
    fn colours_without_a_cloth_are_doubted() {
        let checked = checked_in(Path::new(""), "", "[colours]\nlining = \"navy\"").unwrap();
        assert_eq!(checked.warnings.len(), 1);
        assert!(
            checked.warnings[0]
                .message
                .contains("only where the cloth is described")
        );
    }
}
