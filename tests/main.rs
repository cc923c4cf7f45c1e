//! Everything that tests chalkstripe from outside: the program on `examples/`, the library by what it makes
//! public, the sheets by other programs that read them back. One program, linked once; a file that is not
//! named here is not run.

mod blocks;
mod bodies;
mod cloth;
mod cut;
mod editor;
mod faults;
mod figure;
mod fittings;
mod garments;
mod hands;
mod hostile;
mod lay;
mod measures;
mod order;
mod pattern;
mod program;
mod readme;
mod samples;
mod sheets;
mod strangers;
