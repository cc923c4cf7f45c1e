//! What an earlier run left in a folder: the lays in it, and how its sheets were asked for.
//!
//! Both are read from the report that `cut` writes, or, where a lay alone was written, from the file beside it
//! ([`LAY_FILE`]). What cannot be read is as if it were not there.

use super::options::{Print, SheetOptions};
use super::plot::Reach;
use crate::draft::Material;
use crate::lay::{Placement, WarmStart};
use kurbo::{Affine, Point};
use serde::{Deserialize, Serialize};
use std::fs;
use std::path::Path;

/// The report of all sheets of an order.
pub const REPORT: &str = "report.json";

/// The file beside a lay that was written alone, with its placements.
pub const LAY_FILE: &str = "lay.json";

/// What a cutter works from, if anything was cut.
const TICKET: &str = "ticket.pdf";

/// What an earlier run left in a folder.
#[derive(Debug, Clone, Default)]
pub struct Earlier {
    /// Whether it holds all sheets of an order, and not a lay alone.
    pub cut: bool,
    /// How they were asked for, if it says so.
    pub options: Option<SheetOptions>,
    /// Of which draft they are (see [`mark`](super::mark)).
    pub draft: Option<String>,
    /// Its lays, each with its length, mm.
    pub lays: Vec<(Material, WarmStart, f64)>,
}

impl Earlier {
    /// Reads what is in a folder.
    pub fn in_folder(folder: &Path) -> Self {
        let read =
            |name: &str| serde_json::from_slice::<File>(&fs::read(folder.join(name)).ok()?).ok();
        let report = folder.join(REPORT).exists();
        let file = read(if report { REPORT } else { LAY_FILE }).unwrap_or_default();
        let lays = file.lay.iter().chain(&file.other_lays);
        Earlier {
            cut: report || folder.join(TICKET).exists(),
            options: file.asked.as_ref().and_then(Asked::options),
            draft: file.draft,
            lays: lays.map(LayThere::standing).collect(),
        }
    }

    /// Where the pieces of a material lay, and how long that lay was, mm.
    pub fn lay_of(&self, material: Material) -> Option<(&WarmStart, f64)> {
        let own = self.lays.iter().find(|(of, ..)| *of == material);
        own.map(|(_, standing, length)| (standing, *length))
    }
}

/// As much of either file as is read.
#[derive(Debug, Default, Deserialize)]
struct File {
    asked: Option<Asked>,
    draft: Option<String>,
    lay: Option<LayThere>,
    #[serde(default)]
    other_lays: Vec<LayThere>,
}

#[derive(Debug, Deserialize)]
struct LayThere {
    material: Material,
    length_mm: f64,
    pattern_at_mm: (f64, f64),
    placements: Vec<PlacedThere>,
}

#[derive(Debug, Deserialize)]
struct PlacedThere {
    piece: usize,
    copy: u32,
    mirrored: bool,
    degrees: f64,
    plies: u32,
    #[serde(default)]
    on_fold: bool,
    matrix: [f64; 6],
}

impl LayThere {
    fn standing(&self) -> (Material, WarmStart, f64) {
        let placement = |placed: &PlacedThere| Placement {
            piece: placed.piece,
            copy: placed.copy,
            mirrored: placed.mirrored,
            degrees: placed.degrees,
            // Known again from the way it lies.
            tilt: 0.0,
            plies: placed.plies,
            on_fold: placed.on_fold,
            transform: Affine::new(placed.matrix),
        };
        let standing = WarmStart {
            pattern_at: Point::from(self.pattern_at_mm),
            placements: self.placements.iter().map(placement).collect(),
        };
        (self.material, standing, self.length_mm)
    }
}

/// [`SheetOptions`] as they stand in the report: `paper` as on the command line, `print` is `pieces` or `lay`, `plot`
/// `hpgl2` or `hpgl`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Asked {
    paper: String,
    print: String,
    only: Vec<String>,
    margin_mm: Option<f64>,
    overlap_mm: Option<f64>,
    plot: String,
    dxf: bool,
}

/// What the words of a report mean.
const PRINTS: [(&str, Print); 2] = [("pieces", Print::Pieces), ("lay", Print::Lay)];
const PLOTS: [(&str, Reach); 2] = [("hpgl2", Reach::Long), ("hpgl", Reach::Short)];

fn word<T: PartialEq>(words: &[(&str, T)], meant: &T) -> String {
    let word = words.iter().find(|(_, means)| means == meant);
    word.map_or("", |(word, _)| word).to_owned()
}

fn meaning<T: Copy>(words: &[(&str, T)], word: &str) -> Option<T> {
    let known = words.iter().find(|(known, _)| *known == word);
    known.map(|(_, meaning)| *meaning)
}

impl From<&SheetOptions> for Asked {
    fn from(options: &SheetOptions) -> Self {
        Asked {
            paper: options.paper.asked(),
            print: word(&PRINTS, &options.print),
            only: options.only.clone(),
            margin_mm: options.margin,
            overlap_mm: options.overlap,
            plot: word(&PLOTS, &options.plot),
            dxf: options.dxf,
        }
    }
}

impl Asked {
    fn options(&self) -> Option<SheetOptions> {
        Some(SheetOptions {
            paper: self.paper.parse().ok()?,
            margin: self.margin_mm,
            overlap: self.overlap_mm,
            print: meaning(&PRINTS, &self.print)?,
            only: self.only.clone(),
            plot: meaning(&PLOTS, &self.plot)?,
            dxf: self.dxf,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_asked_for_is_read_as_it_was_written() {
        for (paper, print, plot) in [
            ("a1", Print::Pieces, Reach::Short),
            ("roll:914.4mm", Print::Lay, Reach::Long),
            ("roll:36in", Print::Lay, Reach::Long),
        ] {
            let options = SheetOptions {
                margin: Some(6.35),
                only: vec!["jacket".to_owned()],
                print,
                plot,
                dxf: true,
                ..SheetOptions::on(paper.parse().unwrap())
            };
            let written = serde_json::to_string(&Asked::from(&options)).unwrap();
            let read: Asked = serde_json::from_str(&written).unwrap();
            assert_eq!(read.options(), Some(options), "{written}");
        }
    }

    #[test]
    fn a_folder_without_sheets_and_a_report_that_is_not_one_hold_no_lay() {
        let folder = tempfile::tempdir().unwrap();
        let empty = Earlier::in_folder(folder.path());
        assert!(!empty.cut && empty.lays.is_empty());
        fs::write(folder.path().join(REPORT), "{ \"lay\": 3").unwrap();
        let torn = Earlier::in_folder(folder.path());
        assert!(torn.cut && torn.lays.is_empty() && torn.options.is_none());
    }
}
