//! The figures that a garment is tried on.

/// A figure by the five measures from which all others are derived, in cm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "they are the measures of their names")]
pub struct Body {
    pub height: f64,
    pub chest: f64,
    pub waist: f64,
    pub seat: f64,
    pub neck: f64,
}

impl Body {
    /// Returns a measure by its name, in cm; 0 for one that is not among the five.
    pub(super) fn measure(&self, name: &str) -> f64 {
        match name {
            "height" => self.height,
            "chest" => self.chest,
            "waist" => self.waist,
            "seat" => self.seat,
            "neck" => self.neck,
            _ => 0.0,
        }
    }
}

const fn body([height, chest, waist, seat, neck]: [f64; 5]) -> Body {
    Body {
        height,
        chest,
        waist,
        seat,
        neck,
    }
}

/// Invented figures over the range that a garment is tried on, chests of 84 to 132 and heights of 155 to 205: slight,
/// athletic, regular, stout, each short and tall.
pub const BODIES: [Body; 16] = [
    body([155.0, 84.0, 70.0, 87.0, 35.0]),
    body([178.0, 84.0, 72.0, 90.0, 35.5]),
    body([160.0, 88.0, 72.0, 90.0, 36.0]),
    body([205.0, 92.0, 78.0, 97.0, 38.0]),
    body([170.0, 96.0, 84.0, 99.0, 39.0]),
    body([176.0, 100.0, 88.0, 103.0, 40.0]),
    body([192.0, 104.0, 90.0, 106.0, 40.5]),
    body([184.0, 108.0, 84.0, 102.0, 42.0]),
    body([158.0, 108.0, 104.0, 109.0, 42.5]),
    body([184.0, 112.0, 98.0, 112.0, 43.0]),
    body([176.0, 116.0, 118.0, 118.0, 44.5]),
    body([203.0, 120.0, 110.0, 121.0, 45.0]),
    body([166.0, 124.0, 128.0, 124.0, 46.5]),
    body([196.0, 126.0, 124.0, 127.0, 47.0]),
    body([164.0, 132.0, 136.0, 132.0, 48.0]),
    body([188.0, 132.0, 134.0, 134.0, 48.0]),
];

/// The figure on which every single choice is tried.
pub const REGULAR: Body = BODIES[5];

/// The figures of the picture: the slightest, the regular, the tallest, the stoutest.
pub const EXTREMES: [Body; 4] = [BODIES[0], REGULAR, BODIES[3], BODIES[15]];
