//! From a bespoke tailor's order to a proven pattern, a lay and the sheets to cut from.
//!
//! The stages, in order; each takes the one before as a value and returns the next:
//!
//! | stage | module | in | out |
//! |---|---|---|---|
//! | read and check the order | [`order`] | a TOML file | [`order::Order`] |
//! | draft the garments | [`script`] | the order, the blocks | [`draft::Draft`] |
//! | make and prove the pattern | [`pattern`] | the drafts | [`pattern::Pattern`] |
//! | lay it on the cloth | [`lay`] | the pattern, the cloth | [`lay::Lay`] |
//! | show it made up | [`made_up`] | a draft | what is seen of it |
//! | draw the sheets | [`sheets`] | all of them | SVG, PDF, plot file, ticket, report |
//!
//! A [`workshop`] holds what they work by, read once. [`job`] takes one order through all of them, [`need`] finds
//! the length of cloth it takes, [`pictures`] drafts every way to choose, and [`trial`] tries a garment on all figures.
//! [`talk`] settles an order with a client on a page. [`geometry`] lies below them all and
//! knows nothing of tailoring. Lengths are in millimetres everywhere inside; x runs from the centre back to the
//! front, y down the body, and the grain of the cloth runs along y unless a piece says otherwise.

pub mod cloth;
pub mod diagnostic;
pub mod draft;
pub mod geometry;
pub mod job;
pub mod lay;
pub mod lays;
pub mod made_up;
pub mod need;
pub mod order;
pub mod pattern;
pub mod pictures;
pub mod script;
pub mod sheets;
pub mod talk;
pub mod trial;
pub mod units;
pub mod workshop;
