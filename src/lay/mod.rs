//! The lay: pieces placed on cloth, as irregular strip packing. It knows outlines and rules, not garments.
//!
//! [`plan`] lays a list of [`Item`]s on a cloth; a [`Problem`] lays the same items on one cloth after another.
//! The search works on shapes (an outline in one orientation) and on the no-fit regions of pairs of shapes. A
//! finished lay is checked by geometry that shares nothing with the search.

mod areas;
mod arrangement;
mod bottom_left;
mod check;
mod cloth_rules;
mod construction;
mod contour;
mod convolution;
mod depth_grid;
mod edge;
mod edge_columns;
mod exchange;
mod fault;
mod fold;
mod inflate;
mod instance;
mod item;
mod kept;
mod keyhole;
mod laid;
mod length;
mod long_search;
mod matching;
mod moving;
mod near_edges;
mod nofit_region;
mod nofit_table;
mod obstacle;
mod orientation;
mod outcome;
mod outline;
mod packing;
mod page_search;
mod pages;
mod parallel;
mod phase;
mod pieces;
mod placing;
mod problem;
mod random;
mod sampler;
mod search;
mod searcher;
mod sections;
mod separation;
mod shape;
mod solution;
mod solver;
mod start;
mod stop;
mod strip;
mod tables;
mod tolerance;

pub use cloth_rules::{ClothRules, Repeat};
pub use fault::LayFault;
pub use item::{Item, MatchedPoints};
pub use kept::{KeptLay, KeptPiece};
pub use laid::Laid;
pub use length::{Buying, OrderLength, order_length};
pub use matching::on_pattern;
pub use outcome::{Lay, Note, Placement, WarmStart};
pub use page_search::Pages;
pub use pages::on_pages;
pub use phase::TURNS;
pub use pieces::{items, items_to_match, turns};
pub use problem::{Problem, plan};
pub use search::{Effort, Progress, Search};
pub use tolerance::TOLERANCE;
