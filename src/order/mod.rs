//! The order: who the client is, his measures and figure, what is to be made, and of which cloth.
//!
//! [`read`] takes an order's file to an [`Order`], or to everything that is wrong with it. The file
//! is TOML, in sections: `[client]`, `[measures]`, `[figure]`, `[[fitting]]`, `[cloth]`, `[lining]`,
//! `[trimmings]`, `[house]`, and one for each garment, named as its block is (`[jacket]`,
//! `[trousers]`).

pub mod alterations;
mod asking;
mod balance;
mod besides;
mod besides_file;
mod block_numbers;
mod body;
mod catalogue;
mod catalogue_asking;
mod checking;
pub mod choices;
mod cloth;
mod cloths;
mod colours;
pub mod corrections;
mod day;
mod declaring;
pub mod derive;
pub mod fields;
mod figure;
mod file;
mod goods;
mod house;
mod house_agreed;
mod house_bounds;
mod house_file;
mod inheriting;
mod keys;
mod laying;
pub mod length;
pub mod likely;
mod look;
mod material;
mod material_file;
mod materials;
pub mod measures;
mod name;
mod next;
pub mod phrase;
mod posture;
mod price;
mod reading;
mod repeats;
mod rules;
mod schema;
mod sections;
pub mod settling;
pub mod slips;
mod slope;
mod sorting;
mod starter;
mod style;
mod swatch_file;
mod syntax;
mod talk_order;
mod tape;
pub mod telling;
mod text;
mod threads;
mod types;
pub mod words;

pub use besides::{Besides, Derived, OwnCorrection, OwnMeasure};
pub use catalogue::Catalogue;
pub use checking::{Checked, Open, parse, parse_with, read};
pub use figure::{Amount, Figure, Fitting, Side};
pub use house::{House, HouseNumber, HouseValue};
pub use inheriting::liked_by;
pub use laying::{Face, Layout, Nap};
pub use material::{Bought, Material, Materials, Stuff, Worn};
pub use name::name_of;
pub use next::next;
pub use price::Price;
pub use schema::schema;
pub use sections::called_here;
pub use starter::{starter, written};
pub use talk_order::{ASKED, TalkOrder};
pub use text::unseen;
pub use types::*;
