//! The materials of an order as they can be sampled, and the colours of its threads and buttons.

use crate::cloth::{Colour, Described, Light, Make, Texture, Trims};
use crate::order::{Look, Material, Materials};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// How much darker the twist of a buttonhole and the thread of a stitch are than the cloth, where the order does not
/// say their colours (judged by eye).
const TWIST: f32 = 0.55;
const THREAD: f32 = 0.75;

/// How many times as light as it is a black material of full sheen looks where it faces the light (judged by eye).
const BRIGHTEST: f64 = 12.0;

/// The materials of an order, to be sampled.
#[derive(Debug)]
pub struct Palette {
    cloth: Texture,
    /// The cloth, and its wrong side once that is seen.
    described: Described,
    wrong_side: OnceLock<Texture>,
    /// The light of the cloth's ground.
    ground: Light,
    /// The materials that have colours of their own, by their ids.
    others: BTreeMap<String, Texture>,
    trims: Trims,
}

/// The look of a button: its face, the colour of its holes if it has any, and its sheen.
#[derive(Debug, Clone, Copy)]
pub(super) struct ButtonLook {
    pub face: Light,
    pub holes: Option<Light>,
    /// Whether it is covered with the cloth itself.
    pub of_cloth: bool,
    pub sheen: f32,
}

impl Palette {
    /// Makes the materials of a look ready to be sampled.
    pub fn new(look: &Look, materials: &Materials) -> Self {
        let cloth = look.cloth.texture();
        let coloured = materials.all().filter_map(|material| {
            let texture = material.colour?.texture();
            Some((material.id.clone(), texture))
        });
        Self {
            described: look.cloth.clone(),
            wrong_side: OnceLock::new(),
            ground: cloth.ground(),
            cloth,
            others: coloured.collect(),
            trims: look.trims.clone(),
        }
    }

    /// Returns the texture of a material, by its id; one without colours of its own has those of the cloth.
    pub(super) fn of(&self, material: &str) -> &Texture {
        self.others.get(material).unwrap_or(&self.cloth)
    }

    /// Returns the texture of the wrong side of a material; those that are not the cloth have none of their own.
    pub(super) fn wrong_side_of(&self, material: &str) -> &Texture {
        let own = self.others.get(material);
        own.unwrap_or_else(|| self.wrong_side.get_or_init(|| self.described.wrong_side()))
    }

    /// Returns by how much a material is lighter where it throws the light back, as a part of its own: much of what is
    /// dark, little of what is light already.
    pub(super) fn sheen(&self, material: &Material) -> f64 {
        let bright = Colour::of(self.ground(&material.id)).brightness();
        BRIGHTEST * material.sheen * f64::from(1.0 - bright)
    }

    /// Returns the light of a material where no piece of it is known.
    pub(super) fn ground(&self, material: &str) -> Light {
        self.others.get(material).map_or(self.ground, Texture::mean)
    }

    fn shade(&self, colour: Option<Colour>, times: f32) -> Light {
        let own = self.ground.map(|part| part * times);
        colour.map_or(own, Colour::light)
    }

    /// Returns the light of a buttonhole's twist.
    pub(super) fn twist(&self) -> Light {
        self.shade(self.trims.buttonholes, TWIST)
    }

    /// Returns the light of stitches that are seen.
    pub(super) fn thread(&self) -> Light {
        self.shade(self.trims.stitching, THREAD)
    }

    /// Returns the look of the buttons.
    pub(super) fn button(&self) -> ButtonLook {
        let buttons = self.trims.buttons;
        let face = buttons.colour.or(buttons.make.colour());
        ButtonLook {
            face: self.shade(face, 1.0),
            holes: (buttons.make != Make::Covered).then(|| self.twist()),
            of_cloth: buttons.make == Make::Covered && buttons.colour.is_none(),
            sheen: buttons.make.sheen(),
        }
    }

    /// Returns the grey of lines on the cloth, 0 black to 1 white: darker than the cloth, or lighter where that is
    /// nearly black.
    pub(super) fn ink(&self) -> f64 {
        const NEARLY_BLACK: f32 = 0.012;
        let bright = Colour::of(self.cloth.mean()).brightness();
        let ink = match bright < NEARLY_BLACK {
            true => bright + 0.1,
            false => 0.2 * bright,
        };
        f64::from(Colour::of([ink; 3]).0[0]) / 255.0
    }

    /// Tells whether words are better read in white on the cloth.
    pub(super) fn is_dark(&self) -> bool {
        Colour::of(self.cloth.mean()).brightness() < 0.2
    }
}
