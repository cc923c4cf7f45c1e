//! The sheets: one drawing, many outputs.
//!
//! [`piece`], [`marker`] and [`gallery`] make a [`drawing::Drawing`] of a piece, of a lay, of all
//! pieces; [`svg`], [`plot`] and [`pdf`] write one. [`paper_pattern`], [`ticket`] and [`report`]
//! make whole files, and so do [`html`], [`preview`] and [`dxf`]. Every writer is a pure function from
//! values to bytes; [`all`] makes every sheet of an order as its [`SheetOptions`] ask, and [`folder`] puts
//! them where they belong.

mod all;
mod contents;
pub mod cover;
pub mod drafting_sheet;
pub mod drawing;
pub mod dxf;
pub mod earlier;
pub mod fault;
pub mod flow;
pub mod folder;
pub mod font;
pub mod gallery;
pub mod grid;
pub mod html;
pub mod joints;
pub mod label;
pub mod lettering;
pub mod mark;
pub mod marker;
pub mod measures_form;
pub mod options;
pub mod packing;
pub mod paper;
pub mod paper_pattern;
pub mod pdf;
pub mod piece;
pub mod plot;
pub mod preview;
pub mod report;
mod rows;
pub mod section;
pub mod sheet;
pub mod svg;
pub mod ticket;
pub mod tiling;
pub mod travel;
pub mod views;
pub mod words;

pub use all::{all, lay_alone, lay_file};
pub use folder::write_all;
pub use sheet::{Made, Sheet, Sheets, names};
