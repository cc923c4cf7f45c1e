//! What is held against the body: how far over it a draft is meant to be, and how far off it may be.

use super::Lengths;

/// One dimension that is held against the body, lengths in mm.
pub(crate) struct Dimension {
    pub name: &'static str,
    /// The measure that decides it, where one does.
    pub by: &'static str,
    /// The least that the draft may be over the body.
    pub least: f64,
    /// What it is meant to be over the body, where it is given all measures.
    pub meant: f64,
    /// What the trade has for the reference figure, less what the survey's men of that figure have.
    pub level: f64,
    /// What the draft is meant to have more where the measure was derived: room for what is not known.
    pub more: f64,
    /// How far it may be off what is meant; `None` where no measure of the body tells.
    pub tolerance: Option<f64>,
}

const fn dimension(
    name: &'static str,
    by: &'static str,
    least: f64,
    meant: f64,
    level: f64,
) -> Dimension {
    Dimension {
        name,
        by,
        least,
        meant,
        level,
        more: 0.0,
        tolerance: None,
    }
}

const fn judged(tolerance: f64, dimension: Dimension) -> Dimension {
    Dimension {
        tolerance: Some(tolerance),
        ..dimension
    }
}

pub(crate) const DIMENSIONS: &[Dimension] = &[
    Dimension {
        more: 17.0,
        ..judged(35.0, dimension("fork run", "fork_run", 0.0, 28.0, -28.0))
    },
    judged(30.0, dimension("thigh", "thigh", 30.0, 65.0, -4.0)),
    judged(
        20.0,
        dimension("back length", "nape_to_waist", 0.0, 10.0, 9.0),
    ),
    judged(
        15.0,
        dimension("shoulder seam", "shoulder_width", 0.0, 0.0, -2.0),
    ),
    judged(25.0, dimension("across back", "half_back", 0.0, 16.0, 14.0)),
    judged(25.0, dimension("sleeve girth", "biceps", 25.0, 60.0, 0.0)),
    judged(20.0, dimension("sleeve length", "sleeve", 0.0, 39.0, 4.0)),
    judged(
        20.0,
        dimension("inside leg", "inside_leg", -60.0, -20.0, -20.0),
    ),
    dimension("shoulder slope, degrees", "", -10.0, -5.0, 0.0),
    dimension("balance", "", f64::NEG_INFINITY, 0.0, 0.0),
    dimension("waistcoat, chest", "", 30.0, 60.0, 0.0),
    dimension("waistcoat, waist", "", 20.0, 50.0, 0.0),
    dimension("waistcoat over the band", "nape_to_waist", 0.0, 38.0, 9.0),
];

/// What was found of a man in one mode.
pub(crate) struct Fit {
    /// The line of the file he stands on.
    pub line: usize,
    pub draft: Lengths,
    pub body: Lengths,
    /// The measures that were derived.
    pub derived: Vec<&'static str>,
    /// How likely the order says that one of them makes a misfit.
    pub chance: f64,
    /// Whether the order is told that too little is known of him.
    pub doubted: bool,
}

impl Fit {
    /// A dimension of the draft and of the body.
    pub(crate) fn pair(&self, dimension: &Dimension) -> Option<(f64, f64)> {
        Some((
            *self.draft.get(dimension.name)?,
            *self.body.get(dimension.name)?,
        ))
    }

    /// How much the draft is over the body, less the level where the measure was derived.
    pub(crate) fn over(&self, dimension: &Dimension) -> Option<f64> {
        let (draft, body) = self.pair(dimension)?;
        let level = if self.derived.contains(&dimension.by) {
            dimension.level
        } else {
            0.0
        };
        Some(draft - body - level)
    }

    /// How many tolerances a dimension is off what is meant.
    pub(crate) fn tolerances_off(&self, dimension: &Dimension) -> Option<f64> {
        let more = if self.derived.contains(&dimension.by) {
            dimension.more
        } else {
            0.0
        };
        let off = self.over(dimension)? - dimension.meant - more;
        Some(off.abs() / dimension.tolerance?)
    }

    /// How many times its tolerance the worst dimension is off what is meant.
    pub(crate) fn worst(&self) -> f64 {
        let each = DIMENSIONS.iter().filter_map(|d| self.tolerances_off(d));
        each.fold(0.0, f64::max)
    }

    /// Whether any dimension is beyond twice its tolerance.
    pub(crate) fn is_misfit(&self) -> bool {
        self.worst() > 2.0
    }
}
