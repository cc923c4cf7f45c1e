//! The sheets, read back by programs that nobody here wrote.

mod choices;
mod cut_lines;
mod drafting_sheet;
mod dxf;
mod fixture;
mod in_cloth;
mod joined;
mod lay;
mod page;
mod paper;
mod patches;
mod plots;
pub(crate) mod reader;
mod seams;
mod ticket;
mod views;
