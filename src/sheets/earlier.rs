//! Reads what an earlier run left in a folder: its lays, and how its sheets were asked for.
//!
//! Both are read from the report that `cut` writes or, if a lay alone was written, from the file beside it
//! ([`LAY_FILE`]). A file that cannot be read is treated as missing.

use super::plot::Reach;
use super::wishes::{Print, Wishes};
use crate::draft::Material;
use crate::lay::{Placement, Standing};
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
    pub wishes: Option<Wishes>,
    /// The mark of their draft (see [`fingerprint`](super::fingerprint)).
    pub draft: Option<String>,
    /// The lays, each with its length in mm.
    pub lays: Vec<(Material, Standing, f64)>,
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
            wishes: file.asked.as_ref().and_then(Asked::wishes),
            draft: file.draft,
            lays: lays.map(LayRecord::standing).collect(),
        }
    }

    /// Returns where the pieces of a material lay, and the length of that lay in mm.
    pub fn lay_of(&self, material: Material) -> Option<(&Standing, f64)> {
        let own = self.lays.iter().find(|(of, ..)| *of == material);
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
    material: Material,
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
    fn standing(&self) -> (Material, Standing, f64) {
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
        let standing = Standing {
            pattern_at: Point::from(self.pattern_at_mm),
            placements: self.placements.iter().map(placement).collect(),
        };
        (self.material, standing, self.length_mm)
    }
}

/// [`Wishes`] as they are written in the report: `paper` as on the command line, `print` as `pieces` or `lay`,
/// `plot` as `hpgl2` or `hpgl`.
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

/// The words of a report and their meanings.
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

impl From<&Wishes> for Asked {
    fn from(wishes: &Wishes) -> Self {
        Asked {
            paper: wishes.paper.asked(),
            print: word(&PRINTS, &wishes.print),
            only: wishes.only.clone(),
            margin_mm: wishes.margin,
            overlap_mm: wishes.overlap,
            plot: word(&PLOTS, &wishes.plot),
            dxf: wishes.dxf,
        }
    }
}

impl Asked {
    fn wishes(&self) -> Option<Wishes> {
        Some(Wishes {
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
            let wishes = Wishes {
                margin: Some(6.35),
                only: vec!["jacket".to_owned()],
                print,
                plot,
                dxf: true,
                ..Wishes::on(paper.parse().unwrap())
            };
            let written = serde_json::to_string(&Asked::from(&wishes)).unwrap();
            let read: Asked = serde_json::from_str(&written).unwrap();
            assert_eq!(read.wishes(), Some(wishes), "{written}");
        }
    }

    #[test]
    fn a_folder_without_sheets_and_a_report_that_is_not_one_hold_no_lay() {
        let folder = tempfile::tempdir().unwrap();
        let empty = Earlier::in_folder(folder.path());
        assert!(!empty.cut && empty.lays.is_empty());
        fs::write(folder.path().join(REPORT), "{ \"lay\": 3").unwrap();
        let torn = Earlier::in_folder(folder.path());
        assert!(torn.cut && torn.lays.is_empty() && torn.wishes.is_none());
    }
}
