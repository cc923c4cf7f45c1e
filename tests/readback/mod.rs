//! What is cut, plotted and printed, read back from the files alone, as who gets them would: where every piece
//! lies, of which hand, which end of it is down, how its threads run, whether the pattern meets, and whether
//! marker, plot, paper and DXF say the same. Nothing here asks the library.

mod agreement;
mod cloth;
mod dxf;
pub(crate) mod geometry;
mod grain;
mod hands;
mod lays;
mod orders;
mod paper;
mod pdf;
mod phase;
mod plot;
mod plots;
mod sewn;
mod svg;
mod worn;
