//! The colours of what goes with the cloth: linings and other plain materials, buttons, threads.

use super::colour::Colour;
use super::texture::Texture;
use super::weave::Weave;
use super::woven::Woven;
use super::{Count, Described};
use std::sync::Arc;

/// The colours of buttons and threads.
#[derive(Debug, Clone, PartialEq)]
pub struct Trims {
    /// Buttons.
    pub buttons: Buttons,
    /// Twist of the buttonholes; `None` is a shade of the cloth.
    pub buttonholes: Option<Colour>,
    /// Thread of stitches that are seen; `None` is a shade of the cloth.
    pub stitching: Option<Colour>,
}

/// The look of a lining, or of another material that is plain or striped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lined {
    /// Its ground.
    pub ground: Colour,
    /// Its stripe along, if it has one.
    pub stripe: Option<Colour>,
}

/// The look of the buttons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Buttons {
    /// What they are made of.
    pub make: Make,
    /// Their colour; `None` is the usual one of the make, and of covered buttons that of the cloth.
    pub colour: Option<Colour>,
}

/// What buttons are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Make {
    /// Horn, with a soft sheen.
    Horn,
    /// Mother-of-pearl, with a bright one.
    MotherOfPearl,
    /// A mould covered with cloth, without holes.
    Covered,
}

impl Make {
    /// The makes and the words for them in an order.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("horn", Self::Horn),
        ("mother_of_pearl", Self::MotherOfPearl),
        ("covered", Self::Covered),
    ];

    /// Finds the make that a word stands for.
    pub fn of(word: &str) -> Option<Self> {
        let found = Self::WORDS.iter().find(|(own, _)| *own == word);
        found.map(|(_, make)| *make)
    }

    /// Returns the usual colour; `None` for buttons that are covered with the cloth.
    pub fn colour(self) -> Option<Colour> {
        match self {
            Self::Horn => Some(Colour([0x4a, 0x36, 0x28])),
            Self::MotherOfPearl => Some(Colour([0xe9, 0xe6, 0xdc])),
            Self::Covered => None,
        }
    }

    /// Returns how much of the light its face throws back as a sheen, 0 to 1 (judged by eye).
    pub fn sheen(self) -> f32 {
        match self {
            Self::Horn => 0.16,
            Self::MotherOfPearl => 0.5,
            Self::Covered => 0.0,
        }
    }
}

impl Lined {
    /// Returns the lining as it can be sampled. A stripe is two threads of sixteen to the cm, 8 mm apart (common
    /// practice, no source).
    pub fn texture(self) -> Texture {
        let plain = || Texture::plain(self.ground);
        let Some(stripe) = self.stripe else {
            return plain();
        };
        let colours = [("g".to_owned(), self.ground), ("s".to_owned(), stripe)];
        let rows = ["x.".to_owned(), ".x".to_owned()];
        let woven = || {
            let weave = Weave::new("plain", "", &rows).ok()?;
            let warp = Count::parse("g9 s2 g2 s1 g2 s2 g8").ok()?;
            let weft = Count::parse("g1").ok()?;
            Woven::new(&weave, &colours, [&warp, &weft], [3.2, 3.2])
        };
        woven().map_or_else(plain, |woven| {
            let (woven, stretch) = (Arc::new(woven), [1.0, 1.0]);
            Described::Woven { woven, stretch }.texture()
        })
    }
}
