//! The types of the views of a garment.

use crate::sheets::drawing::Drawing;

/// What is seen of one garment; nothing if its pieces are not declared to be the parts of a garment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Views {
    /// From the front and from the back, as it is worn, at a fifth of its size.
    pub worn: Vec<Drawing>,
    /// From inside and with its vents open, one below the other at a tenth of its size, where there is anything to be
    /// seen.
    pub beside: Option<Drawing>,
}
