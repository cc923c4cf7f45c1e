//! The talk: a page on which an order is settled with the client, and the baste is written down.
//!
//! [`Server`] serves the page to this machine alone. The order's file is the only state: each answer is written
//! to it at once, with its comments kept, and a change made in an editor appears on the page. The page holds no
//! rule of tailoring: its questions, words, contradictions and pictures come from the blocks.
//!
//! `text`, `file` and `history` keep the order; `reading` says what follows from it; `questions` and `answers` lead
//! through it; `state` joins these. `ways` tries each word, `adds` says what it takes, `spots` where a baste alters it, `length` finds the cloth, `making` cuts. `page` writes
//! what is seen, and `server` hands it out.

mod adds;
mod answers;
mod baste;
mod drawn;
mod file;
mod history;
mod length;
mod making;
mod page;
mod pictures;
mod questions;
mod reading;
mod seen;
mod server;
mod spots;
mod state;
mod text;
mod ways;

pub use server::Server;
