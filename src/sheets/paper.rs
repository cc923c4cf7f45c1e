//! Sizes of paper, and how much of a page is printed.

use std::fmt;
use std::str::FromStr;

/// A paper to print the pattern on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Paper {
    /// Pages of one size.
    Pages(Size),
    /// A roll of that width, in mm. Its pages are as long as needed.
    Roll(f64),
    /// One page of light.
    Projector,
}

/// Sizes of cut paper: ISO 216 and ANSI/ASME Y14.1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the sizes are called what everyone calls them")]
pub enum Size {
    A4,
    A3,
    A2,
    A1,
    A0,
    Letter,
    Tabloid,
}

/// The sizes with their names and their width and height, upright, in mm.
const SIZES: [(Size, &str, (f64, f64)); 7] = [
    (Size::A4, "a4", (210.0, 297.0)),
    (Size::A3, "a3", (297.0, 420.0)),
    (Size::A2, "a2", (420.0, 594.0)),
    (Size::A1, "a1", (594.0, 841.0)),
    (Size::A0, "a0", (841.0, 1189.0)),
    (Size::Letter, "letter", (215.9, 279.4)),
    (Size::Tabloid, "tabloid", (279.4, 431.8)),
];

/// What a projector is called.
const PROJECTOR: &str = "projector";

impl Size {
    /// Returns the width and height of an upright page, in mm.
    pub fn upright(self) -> (f64, f64) {
        SIZES[self as usize].2
    }

    fn name(self) -> &'static str {
        SIZES[self as usize].1
    }
}

impl Paper {
    /// Writes the paper as on the command line: `a4`, `roll:914mm`.
    pub fn asked(&self) -> String {
        match self {
            Self::Pages(size) => size.name().to_owned(),
            Self::Roll(width) => format!("roll:{width}mm"),
            Self::Projector => PROJECTOR.to_owned(),
        }
    }
}

/// What the 100 mm square of a printed page measured across and down, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Printed {
    /// Across an upright page.
    pub across: f64,
    /// Down an upright page.
    pub down: f64,
}

impl Printed {
    /// What a true printer prints.
    pub const TRUE: Self = Self {
        across: 100.0,
        down: 100.0,
    };

    /// Greatest error of a printer that is made good, in mm of 100. One that is farther off fits pages to its
    /// paper, which it does anew from file to file.
    const MOST: f64 = 3.0;

    /// Returns by how much what is drawn on a page of a size is enlarged, across and down, so that it is printed
    /// true.
    pub fn enlarges(&self, (width, height): (f64, f64)) -> (f64, f64) {
        let (across, down) = (100.0 / self.across, 100.0 / self.down);
        if width > height {
            // A lying page goes through the printer upright.
            (down, across)
        } else {
            (across, down)
        }
    }

    /// Writes it as on the command line: `99.4x100.2`.
    pub fn asked(&self) -> String {
        format!("{}x{}", self.across, self.down)
    }
}

impl FromStr for Printed {
    type Err = String;

    /// Reads the two sides of the square in mm, across first: `99.4x100.2`.
    fn from_str(text: &str) -> Result<Self, String> {
        let sides: Vec<f64> = (text.split(['x', 'X', '×']))
            .map_while(|side| side.trim().trim_end_matches("mm").trim_end().parse().ok())
            .filter(|side: &f64| side.is_finite())
            .collect();
        let &[across, down] = &sides[..] else {
            return Err("write what the 100 mm square measured across and down the page, in mm, such as 99.4x100.2".to_owned());
        };
        if [across, down]
            .iter()
            .all(|side| (side - 100.0).abs() <= Self::MOST)
        {
            Ok(Self { across, down })
        } else {
            Err(format!(
                "a square of {across} by {down} mm is too far from 100 mm to be made good; print at 100 %, \"actual size\", without fitting to the page, and measure again"
            ))
        }
    }
}

/// The paper, with what the printer leaves white at each edge and the strip that pages share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setup {
    /// The paper.
    pub paper: Paper,
    /// White at each edge of the page, in mm.
    pub margin: f64,
    /// Width of the strip that is glued, in mm.
    pub overlap: f64,
    /// What the printer makes of 100 mm.
    pub printed: Printed,
}

impl Setup {
    /// Sets up a paper with a margin and an overlap that suit any printer.
    pub fn new(paper: Paper) -> Self {
        Self {
            paper,
            margin: 10.0,
            overlap: 10.0,
            printed: Printed::TRUE,
        }
    }

    /// Returns the size of what is drawn on a page of a size, in true mm.
    pub fn holds(&self, page: (f64, f64)) -> (f64, f64) {
        let by = self.printed.enlarges(page);
        (page.0 / by.0, page.1 / by.1)
    }

    /// Returns the width of what is drawn on a roll, in true mm.
    pub fn roll(&self, width: f64) -> f64 {
        width * self.printed.across / 100.0
    }

    /// Returns the width and height that are printed on a page of a size, in mm.
    pub fn print(&self, page: (f64, f64)) -> (f64, f64) {
        (page.0 - 2.0 * self.margin, page.1 - 2.0 * self.margin)
    }

    /// Returns the own area of a page of a size, in mm: what is printed less the strip that is glued.
    pub fn own(&self, page: (f64, f64)) -> (f64, f64) {
        let (width, height) = self.print(page);
        (width - self.overlap, height - self.overlap)
    }
}

/// Least and greatest width of a roll, in mm. Any other width is taken for a slip, such as inches for mm.
const ROLLS: std::ops::RangeInclusive<f64> = 250.0..=2500.0;

/// Writes the paper as in the name of a file: `a4`, `roll-914mm`.
impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pages(size) => f.write_str(size.name()),
            Self::Roll(width) => write!(f, "roll-{}mm", (width * 10.0).round() / 10.0),
            Self::Projector => f.write_str(PROJECTOR),
        }
    }
}

/// A paper that does not exist, with those that do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchPaper(String);

impl fmt::Display for NoSuchPaper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NoSuchPaper {}

impl FromStr for Paper {
    type Err = NoSuchPaper;

    /// Reads `a4` to `a0`, `letter`, `tabloid`, or `roll:` and a width: `roll:914mm`,
    /// `roll:91.4cm`, `roll:36in`; a bare number is in mm. `projector` is none.
    fn from_str(text: &str) -> Result<Self, NoSuchPaper> {
        let word = text.trim().to_ascii_lowercase();
        if let Some((size, ..)) = SIZES.iter().find(|(_, name, _)| *name == word) {
            return Ok(Self::Pages(*size));
        }
        if word == PROJECTOR {
            return Ok(Self::Projector);
        }
        let Some(given) = word.strip_prefix("roll:") else {
            let sizes = SIZES.map(|(_, name, _)| name);
            let near = crate::diagnostic::nearest(&word, sizes.into_iter().chain([PROJECTOR]))
                .map_or_else(String::new, |near| format!("; perhaps: {near}"));
            return Err(NoSuchPaper(format!(
                "there is no paper `{}`: choose {}, {PROJECTOR} or roll:WIDTH, such as roll:914mm or roll:36in{near}",
                super::font::shorten(text, 3.0, false, 120.0),
                sizes.join(", ")
            )));
        };
        let (number, unit) = [("mm", 1.0), ("cm", 10.0), ("in", 25.4)]
            .into_iter()
            .find_map(|(name, unit)| Some((given.strip_suffix(name)?, unit)))
            .unwrap_or((given, 1.0));
        let width = number.trim().parse::<f64>().map(|number| number * unit);
        match width {
            Ok(width) if ROLLS.contains(&width) => Ok(Self::Roll(width)),
            Ok(width) if width.is_finite() => Err(NoSuchPaper(format!(
                "a roll {width:.0} mm wide cannot be used: rolls run from {:.0} to {:.0} mm",
                ROLLS.start(),
                ROLLS.end()
            ))),
            _ => Err(NoSuchPaper(
                "after roll: comes a width, such as roll:914mm, roll:91.4cm or roll:36in"
                    .to_owned(),
            )),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn papers_are_read() {
        assert_eq!("A4".parse(), Ok(Paper::Pages(Size::A4)));
        assert_eq!("roll:914".parse(), Ok(Paper::Roll(914.0)));
        assert_eq!("roll:36in".parse(), Ok(Paper::Roll(914.4)));
        assert_eq!("projector".parse(), Ok(Paper::Projector));
        assert_eq!(
            "roll:91.4cm".parse::<Paper>().unwrap().to_string(),
            "roll-914mm"
        );
    }

    #[test]
    fn a_printer_that_is_not_true_is_read_or_refused() {
        let read: Printed = "99.4x100.2".parse().unwrap();
        assert_eq!((read.across, read.down), (99.4, 100.2));
        assert_eq!(read.asked().parse(), Ok(read));
        // A lying page goes through the printer upright.
        let (across, down) = read.enlarges((210.0, 297.0));
        assert_eq!(read.enlarges((297.0, 210.0)), (down, across));
        assert!((across - 100.0 / 99.4).abs() < 1e-12);
        let fault = |text: &str| text.parse::<Printed>().unwrap_err();
        assert!(fault("96.9x100").contains("actual size"));
        for text in ["99", "99x", "x", "99x100x101", "nanx100", "infx100"] {
            assert!(fault(text).contains("such as 99.4x100.2"), "{text}");
        }
    }

    #[test]
    fn each_size_stands_at_its_place_in_the_table() {
        for (i, (size, ..)) in SIZES.into_iter().enumerate() {
            assert_eq!(size as usize, i);
        }
    }

    #[test]
    fn other_papers_are_refused_with_advice() {
        let fault = |text: &str| text.parse::<Paper>().unwrap_err().to_string();
        assert!(fault("leter").contains("perhaps: letter"));
        assert!(fault("roll:9").contains("from 250 to 2500 mm"));
        assert!(fault("roll:wide").contains("roll:914mm"));
        assert!(fault("roll:nan").contains("roll:914mm"));
        assert!(fault("").contains("a4, a3"));
    }

    #[test]
    fn a_sizes_halve() {
        // ISO 216: each is half of the one before, cut across, to the mm below.
        for (small, large) in [
            (Size::A4, Size::A3),
            (Size::A3, Size::A2),
            (Size::A2, Size::A1),
            (Size::A1, Size::A0),
        ] {
            let ((width, height), (_, tall)) = (small.upright(), large.upright());
            assert_eq!(height, large.upright().0);
            assert_eq!(width, (tall / 2.0_f64).floor());
        }
    }
}
