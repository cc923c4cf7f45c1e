//! Reads what an earlier run left in a folder: its lays, and how its sheets were asked for.
//!
//! Both are read from the report that `cut` writes or, if a lay alone was written, from the file beside it
//! ([`LAY_FILE`]). A file that cannot be read is treated as missing.

use super::options::{Print, SheetOptions};
use super::plot::Reach;
use crate::draft::Material;
use crate::lay::{Placement, WarmStart};
use kurbo::{Affine, Point};
use serde::{Deserialize, Serialize};
use std::fs;
use std::path::Path;

/// File name of the report on all sheets of an order.
pub const REPORT: &str = "report.json";

/// Name of the file that holds the placements of a lay that was written alone.
pub const LAY_FILE: &str = "lay.json";

/// Name of the file that a cutter works from: it is there if the order was cut.
const TICKET: &str = "ticket.pdf";

/// The sheets of an earlier run.
#[derive(Debug, Clone, Default)]
pub struct Earlier {
    /// Whether the folder holds all sheets of an order, not only a lay.
    pub cut: bool,
    /// How the sheets were asked for, if it is known.
    pub options: Option<SheetOptions>,
    /// The mark of their draft (see [`fingerprint`](super::fingerprint)).
    pub draft: Option<String>,
    /// The lays, each with the id of its material and its length in mm.
    pub lays: Vec<(String, WarmStart, f64)>,
}

impl Earlier {
    /// Reads what is in a folder.
    pub fn in_folder(folder: &Path) -> Self {
        let read =
            |name: &str| serde_json::from_slice::<File>(&fs::read(folder.join(name)).ok()?).ok();
        let report = folder.join(REPORT).exists();
        let file = read(if report { REPORT } else { LAY_FILE }).unwrap_or_default();
        let lays = file.lay.iter().chain(&file.other_lays);
        Self {
            cut: report || folder.join(TICKET).exists(),
            options: file.asked.as_ref().and_then(Asked::options),
            draft: file.draft,
            lays: lays.map(LayRecord::standing).collect(),
        }
    }

    /// Returns where the pieces of a material lay, and the length of that lay in mm.
    pub fn lay_of(&self, material: &Material) -> Option<(&WarmStart, f64)> {
        let own = self.lays.iter().find(|(of, ..)| *of == material.id);
        own.map(|(_, standing, length)| (standing, *length))
    }
}

/// The part of either file that is read.
#[derive(Debug, Default, Deserialize)]
struct File {
    asked: Option<Asked>,
    draft: Option<String>,
    lay: Option<LayRecord>,
    #[serde(default)]
    other_lays: Vec<LayRecord>,
}

#[derive(Debug, Deserialize)]
struct LayRecord {
    material: String,
    length_mm: f64,
    pattern_at_mm: (f64, f64),
    placements: Vec<PlacementRecord>,
}

#[derive(Debug, Deserialize)]
struct PlacementRecord {
    piece: usize,
    copy: u32,
    mirrored: bool,
    degrees: f64,
    plies: u32,
    #[serde(default)]
    on_fold: bool,
    matrix: [f64; 6],
}

impl LayRecord {
    fn standing(&self) -> (String, WarmStart, f64) {
        let placement = |placed: &PlacementRecord| Placement {
            piece: placed.piece,
            copy: placed.copy,
            mirrored: placed.mirrored,
            degrees: placed.degrees,
            // The tilt follows from the transform.
            tilt: 0.0,
            plies: placed.plies,
            on_fold: placed.on_fold,
            transform: Affine::new(placed.matrix),
        };
        let standing = WarmStart {
            pattern_at: Point::from(self.pattern_at_mm),
            placements: self.placements.iter().map(placement).collect(),
        };
        (self.material.clone(), standing, self.length_mm)
    }
}

/// [`SheetOptions`] as they are written in the report: `paper` as on the command line, `print` as `pieces` or `lay`,
/// `plot` as `long` or `short`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Asked {
    paper: String,
    print: String,
    only: Vec<String>,
    margin_mm: Option<f64>,
    overlap_mm: Option<f64>,
    /// As on the command line; left out where the printer is true.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    printed: Option<String>,
    plot: String,
    dxf: bool,
}

/// The words of a report and their meanings.
const PRINTS: [(&str, Print); 2] = [("pieces", Print::Pieces), ("lay", Print::Lay)];
const PLOTS: [(&str, Reach); 2] = [("long", Reach::Long), ("short", Reach::Short)];

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
        Self {
            paper: options.paper.asked(),
            print: word(&PRINTS, &options.print),
            only: options.only.clone(),
            margin_mm: options.margin,
            overlap_mm: options.overlap,
            printed: options.printed.map(|printed| printed.asked()),
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
            printed: match &self.printed {
                Some(printed) => Some(printed.parse().ok()?),
                None => None,
            },
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
                printed: "99.4x100.2".parse().ok(),
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
