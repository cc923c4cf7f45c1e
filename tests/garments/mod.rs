//! The garments as they are drafted: each against what the trade asks of it and against books that
//! nobody here wrote, and together as a suit.

mod choices;
mod jacket;
mod overcoat;
mod suit;
mod trousers;
mod waistcoat;
