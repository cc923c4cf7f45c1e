//! The arguments that `cut` and `lay` share: how the sheets are to be made.

use chalkstripe::order::length::{self, Unit};
use chalkstripe::sheets::options::{self, SheetOptions};
use chalkstripe::sheets::paper::{Paper, Printed};
use chalkstripe::sheets::plot::Reach;
use clap::ValueEnum;

/// What the sheets are asked to be.
#[derive(Debug, clap::Args)]
pub(super) struct Asked {
    /// What the pattern is printed on: a4, a3, a2, a1, a0, letter, tabloid, a roll and its width, such as
    /// roll:914mm, or projector: one page over a grid [default: a4].
    #[arg(long, help_heading = "Paper")]
    pub paper: Option<Paper>,
    /// Print every piece once on the fewest pages, or every piece as it lies on the cloth
    /// [default: pieces].
    #[arg(long, value_enum, help_heading = "Paper")]
    pub print: Option<Print>,
    /// Print only these garments or pieces: jacket, or forepart,sleeve. Lays, ticket and cloth length
    /// stay those of the whole order.
    #[arg(long, value_name = "NAME", value_delimiter = ',', help_heading = "Paper", value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub only: Vec<String>,
    /// The edge that the printer leaves white, such as 5mm, 0.5cm or 1/4in [default: the house's
    /// print.margin].
    #[arg(long, value_name = "LENGTH", value_parser = edge, help_heading = "Paper")]
    pub margin: Option<f64>,
    /// The strip on which joined pages are glued [default: the house's print.overlap].
    #[arg(long, value_name = "LENGTH", value_parser = edge, help_heading = "Paper")]
    pub overlap: Option<f64>,
    /// What the 100 mm square of a printed page measured, across and down an upright page, in mm, such as
    /// 99.4x100.2: the pages are scaled so that it comes out true.
    #[arg(long, value_name = "MMxMM", help_heading = "Paper")]
    pub printed: Option<Printed>,
    /// How long a plot can be: long plots hold the whole lay (HP-GL/2); short plots end at 819 mm
    /// (HP-GL), so that a lay becomes several files, with crosses to join them by [default: long].
    #[arg(long, value_enum, help_heading = "Plotter and cutter")]
    pub plot: Option<Plot>,
    /// Write the pieces as DXF as well (release 12, in mm; layer numbers follow ASTM D6673, withdrawn
    /// in 2019; try it on scrap first).
    #[arg(long, help_heading = "Plotter and cutter")]
    pub dxf: bool,
}

/// What is printed at true scale.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum Print {
    Pieces,
    Lay,
}

/// What the plotter takes.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum Plot {
    Long,
    Short,
}

impl Asked {
    /// Returns what is asked for here, and what was asked before where nothing is.
    pub(super) fn over(&self, before: SheetOptions) -> SheetOptions {
        SheetOptions {
            paper: self.paper.unwrap_or(before.paper),
            margin: self.margin.or(before.margin),
            overlap: self.overlap.or(before.overlap),
            printed: self.printed.or(before.printed),
            print: match self.print {
                Some(Print::Pieces) => options::Print::Pieces,
                Some(Print::Lay) => options::Print::Lay,
                None => before.print,
            },
            only: if self.only.is_empty() {
                before.only
            } else {
                self.only.clone()
            },
            plot: match self.plot {
                Some(Plot::Long) => Reach::Long,
                Some(Plot::Short) => Reach::Short,
                None => before.plot,
            },
            dxf: self.dxf || before.dxf,
        }
    }

    /// Tells whether anything is asked of sheets other than those of the lay.
    pub(super) fn beside_the_lay(&self) -> bool {
        let length = self.margin.or(self.overlap).is_some() || self.printed.is_some();
        self.paper.is_some() || self.print.is_some() || !self.only.is_empty() || length || self.dxf
    }
}

/// Reads the width of a margin or an overlap; a bare number is in mm.
fn edge(text: &str) -> Result<f64, String> {
    let bare = text.trim().strip_suffix("mm").unwrap_or(text).trim();
    let mm = match bare.parse::<f64>() {
        Ok(mm) => mm,
        Err(_) => length::parse(text, Unit::Cm)?,
    };
    if (0.0..=50.0).contains(&mm) {
        Ok(mm)
    } else {
        Err("it is from 0 to 50 mm wide".to_owned())
    }
}
