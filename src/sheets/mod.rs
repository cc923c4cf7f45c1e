//! Makes the sheets of an order: one drawing, many outputs.
//!
//! [`piece`], [`marker`] and [`gallery`] make a [`drawing::Drawing`] of a piece, of a lay, and of all pieces.
//! [`svg`], [`plot`] and [`pdf`] write a drawing. [`paper_pattern`], [`ticket`], [`report`], [`html`],
//! [`preview`] and [`dxf`] write whole files. Every writer is a pure function from values to bytes.
//! [`all()`] makes every sheet of an order as its [`options`] ask, and [`folder`] puts them where they belong.

mod all;
mod clip;
mod contents;
pub mod cover;
mod cut_order;
pub mod drafting_sheet;
pub mod drawing;
pub mod dxf;
pub mod earlier;
pub mod fault;
pub mod fingerprint;
pub mod flow;
pub mod folder;
pub mod font;
pub mod gallery;
pub mod grid;
pub mod html;
pub mod in_cloth;
pub mod joints;
pub mod label;
pub mod lettering;
pub mod marker;
pub mod measures_form;
pub mod options;
pub mod paper;
pub mod paper_pattern;
pub mod pdf;
mod pdf_painter;
pub mod piece;
pub mod plot;
pub mod preview;
mod projector;
mod proof;
pub mod report;
mod rows;
pub mod section;
mod settled;
pub mod sheet;
pub mod svg;
mod text;
pub mod ticket;
pub mod tiling;
pub mod touched;
pub mod travel;
pub mod views;
pub mod words;

pub use all::{all, lay_alone, lay_file};
pub use folder::write_all;
pub use sheet::{Made, Sheet, Sheets, names};
