//! An order that has been read and checked: every value is in range and every choice exists.

use super::besides::OwnCorrection;
use super::figure::{Figure, Fitting};
use super::house::{House, HouseNumber, HouseValue};
use super::laying::{Face, Layout, Nap};
use super::material::{Material, Materials};
use super::price::Price;
use crate::cloth::{Described, Trims};
use crate::units::Unit;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// One order. All lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Name of the folder its sheets go into: the stem of the order's file.
    pub name: String,
    /// Who it is for.
    pub client: Client,
    /// Body measures, taken or derived.
    pub measures: Measures,
    /// What the cutter saw and the draft is corrected for.
    pub figure: Figure,
    /// The corrections that its garments' blocks declare besides those of every order.
    pub own_corrections: Vec<OwnCorrection>,
    /// What the bastes have shown, in order.
    pub fittings: Vec<Fitting>,
    /// What to make, in the order the file gives it.
    pub garments: Vec<Garment>,
    /// The choices that were made, by garment and name; the others are the house's usual and were never asked.
    pub settled: BTreeMap<(String, String), Settled>,
    /// The cloth of the suit: of every garment that has none of its own.
    pub cloth: Cloth,
    /// Its look, if it is described.
    pub look: Option<Look>,
    /// The cloths of single garments.
    pub other_cloths: Vec<OwnCloth>,
    /// The materials that its garments may be cut from, as this order has them.
    pub materials: Materials,
    /// Words for the ticket: lining, sleeve lining, buttons, thread and so on.
    pub trimmings: BTreeMap<String, String>,
    /// The unit in which everything written for this order gives its lengths.
    pub unit: Unit,
    /// The workshop's own numbers, with this order's overrides.
    pub house: House,
    /// A folder of the workshop's own blocks, which go before the program's.
    pub blocks: Option<PathBuf>,
}

impl Order {
    /// Returns everything the draft is corrected for: the figure, with every fitting added in order.
    pub fn corrections(&self) -> Figure {
        let mut figure = self.figure.clone();
        for fitting in &self.fittings {
            fitting.alter(&mut figure);
        }
        figure
    }

    /// Returns the same order for a client of the same measures and an average figure: nothing is corrected,
    /// and no belly cut is made.
    #[must_use]
    pub fn uncorrected(&self) -> Self {
        let mut order = self.after_fittings(0);
        order.figure = Figure::default();
        let cut = HouseNumber::BellyCut.name();
        order.house.put(cut, HouseValue::Number(0.0));
        order
    }

    fn own(&self, garment: &str) -> Option<&OwnCloth> {
        let mut others = self.other_cloths.iter();
        others.find(|own| own.garments.iter().any(|name| name == garment))
    }

    /// Returns the cloth that a garment is made of, by its block.
    pub fn cloth_of(&self, garment: &str) -> &Cloth {
        self.own(garment).map_or(&self.cloth, |own| &own.cloth)
    }

    /// Returns the look of the cloth that a garment is made of, if it is described.
    pub fn look_of(&self, garment: &str) -> Option<&Look> {
        self.own(garment)
            .map_or(self.look.as_ref(), |own| own.look.as_ref())
    }

    /// Returns the choices of a garment that were made by name, without those that follow from them.
    pub fn said(&self, garment: &str) -> Style {
        let own = self.garments.iter().find(|own| own.block == garment);
        let style = own.map(|own| &own.style).into_iter().flatten();
        let said = style.filter(|(name, _)| {
            let at = (garment.to_owned(), (*name).clone());
            self.settled.contains_key(&at)
        });
        said.map(|(name, choice)| (name.clone(), choice.clone()))
            .collect()
    }

    /// Returns the cloth that is a material; `None` for a material that is no cloth of the order.
    pub fn cloth_as(&self, material: &Material) -> Option<&Cloth> {
        self.cloths().find(|cloth| cloth.material == *material)
    }

    /// Returns every cloth of the order, the suit's first.
    pub fn cloths(&self) -> impl Iterator<Item = &Cloth> {
        let others = self.other_cloths.iter().map(|own| &own.cloth);
        std::iter::once(&self.cloth).chain(others)
    }

    /// Returns what a piece of a garment is cut from: the garment's own cloth where the block says cloth, and any
    /// other material as it is.
    pub fn goods(&self, material: &Material, garment: &str) -> Material {
        match material.is_cloth() {
            true => self.cloth_of(garment).material.clone(),
            false => material.clone(),
        }
    }

    /// Returns the order once for each of its cloths, each time with another one in the place of the suit's. What
    /// is found for an order and its cloth is so found for every cloth.
    pub fn by_cloth(&self) -> Vec<Self> {
        let mut all = vec![self.clone()];
        for (place, own) in self.other_cloths.iter().enumerate() {
            let mut order = self.clone();
            let of_the_suit = |garment: &&Garment| self.own(&garment.block).is_none();
            let garments = self.garments.iter().filter(of_the_suit);
            order.other_cloths[place] = OwnCloth {
                garments: garments.map(|garment| garment.block.clone()).collect(),
                cloth: std::mem::replace(&mut order.cloth, own.cloth.clone()),
                look: std::mem::replace(&mut order.look, own.look.clone()),
            };
            all.push(order);
        }
        all
    }

    /// Returns the order as it stood after the first fittings, as many as `made`.
    #[must_use]
    pub fn after_fittings(&self, made: usize) -> Self {
        let mut order = self.clone();
        order.fittings.truncate(made);
        order
    }
}

/// Who the order is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Client {
    /// The client's name, as it is printed.
    pub name: String,
    /// The workshop's reference for the order.
    pub reference: String,
    /// The day of the order, as written (YYYY-MM-DD).
    pub date: String,
    /// Notes for the ticket.
    pub notes: Vec<String>,
}

/// Where a measure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Taken with the tape and written in the order.
    Taken,
    /// Derived from other measures.
    Derived,
}

/// One measure of the body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// The length or girth in mm.
    pub mm: f64,
    /// Taken or derived.
    pub origin: Origin,
    /// How much of it is not known, mm: the standard deviation of what it may be; 0 where it was taken.
    pub open: f64,
}

/// The body's measures by name (`chest`, `half_back`, …), complete after checking.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measures(pub BTreeMap<String, Measure>);

impl Measures {
    /// Returns the measure in mm, or `None` if no measure has that name.
    pub fn mm(&self, name: &str) -> Option<f64> {
        self.0.get(name).map(|m| m.mm)
    }
}

/// One garment of the order: which block drafts it, and the style the client chose.
#[derive(Debug, Clone, PartialEq)]
pub struct Garment {
    /// The block's name: `jacket`, `trousers`.
    pub block: String,
    /// Every style choice of the block, chosen or by default.
    pub style: Style,
}

/// How a choice was settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Settled {
    /// It was made by name.
    Said,
    /// The house's usual was agreed to.
    ByHouse,
}

/// Style choices by name.
pub type Style = BTreeMap<String, Choice>;

/// The value of one style choice.
#[derive(Debug, Clone, PartialEq)]
pub enum Choice {
    /// One of the block's words, such as `notch`.
    Word(String),
    /// A length in mm.
    Length(f64),
    /// A count or a plain number.
    Number(f64),
    /// Yes or no.
    Flag(bool),
}

/// The look of a suit: of its cloth, and of what goes with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// The cloth.
    pub cloth: Described,
    /// The colours of the trimmings.
    pub trims: Trims,
}

/// A cloth that some garments of an order are made of, and not the others.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnCloth {
    /// The garments, by their blocks.
    pub garments: Vec<String>,
    /// The cloth.
    pub cloth: Cloth,
    /// Its look, if it is described.
    pub look: Option<Look>,
}

/// The cloth, or another material as it is laid. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Cloth {
    /// The material that it is.
    pub material: Material,
    /// What it is, in words.
    pub name: String,
    /// Full width, selvedge to selvedge.
    pub width: f64,
    /// Width lost at each selvedge.
    pub selvedge: f64,
    /// Repeat of the pattern across the cloth; 0 for none.
    pub repeat_across: f64,
    /// Repeat of the pattern along the cloth; 0 for none.
    pub repeat_along: f64,
    /// One way or two.
    pub nap: Nap,
    /// Open or doubled.
    pub layout: Layout,
    /// Which side of it is up.
    pub face: Face,
    /// Lengthwise shrinkage as a fraction (0.03 is three in the hundred).
    pub shrinkage: f64,
    /// Free space between pieces for the knife or shears.
    pub gap: f64,
    /// Lengths of pieces of it at hand, which are used before any is ordered.
    pub remnants: Vec<f64>,
    /// What a metre costs, or a yard where the order is in inches.
    pub price: Option<Price>,
}

impl Cloth {
    /// Returns the repeat of its pattern, across and along; 0 for none.
    pub fn repeat(&self) -> [f64; 2] {
        [self.repeat_across, self.repeat_along]
    }

    /// Tells whether it has a check or a stripe that is to be matched.
    pub fn is_patterned(&self) -> bool {
        self.repeat_across > 0.0 || self.repeat_along > 0.0
    }
}
