//! Everything that tests chalkstripe from outside: the program on `examples/`, the library by what it makes
//! public, the sheets by other programs that read them back. One program, linked once; a file that is not
//! named here is not run.

#![allow(clippy::unwrap_used)] // a test may end where what it reads is not there
#![allow(clippy::too_many_lines)] // a test may be one long table

mod again;
mod besides;
mod blocks;
mod bodies;
mod cloth;
mod cut;
mod editor;
mod faults;
mod figure;
mod fittings;
mod garments;
mod goods;
mod grain;
mod hands;
mod hostile;
mod inches;
mod lay;
mod machines;
mod many;
mod measures;
mod messages;
mod order;
mod pages;
mod pattern;
mod program;
mod readback;
mod readme;
mod samples;
mod search;
mod sheets;
mod skipped;
mod strangers;
mod talk;
mod wear;
