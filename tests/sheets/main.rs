//! The sheets, read back by programs that nobody here wrote.

mod cut_lines;
mod dxf;
mod fixture;
mod lay;
mod page;
mod paper;
mod reader;
mod ticket;
