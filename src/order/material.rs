//! Materials, as a house and its blocks declare them: what pieces are cut from, and what is bought beside them.

use super::laying::{Layout, Nap};
use crate::cloth::Lined;
use serde::{Serialize, Serializer};
use std::cmp::Ordering;
use std::fmt;
use std::ops::Deref;
use std::sync::Arc;

/// A material. Cloning shares what is known of it; two are equal if they bear the same id.
#[derive(Clone)]
pub struct Material(Arc<Stuff>);

/// What is known of a material. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Stuff {
    /// The name by which files and scripts know it: `sleeve_lining`; of a garment's own cloth `cloth.trousers`.
    pub id: String,
    /// The name that sheets and messages give it: `sleeve lining`.
    pub name: String,
    /// What it is for.
    pub about: String,
    /// Its place among the materials: the cloth has the first.
    pub rank: usize,
    /// The garment whose own cloth it is; `None` for the suit's cloth and for every other material.
    pub garment: Option<String>,
    /// How it is bought.
    pub bought: Bought,
    /// Which way its right side is worn.
    pub face: Worn,
    /// Whether it has a grain.
    pub grain: bool,
    /// The width in which it is bought.
    pub width: f64,
    /// Free space between its pieces; `None` is as between those of the cloth.
    pub gap: Option<f64>,
    /// Width that is added to every allowance, because its edge frays.
    pub frays: f64,
    /// One way or two.
    pub nap: Nap,
    /// How it lies on the table.
    pub layout: Layout,
    /// The colours in which it is shown; `None` is those of the suit's cloth.
    pub colour: Option<Lined>,
    /// How much of the light it throws back, 0 to 1.
    pub sheen: f64,
    /// The key under `[trimmings]` that says which it is.
    pub trimming: Option<String>,
    /// What the client chose of it, if the order says so in the material's own section.
    pub chosen: Option<String>,
}

/// How a material is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bought {
    /// Pieces are laid on it, and a length is bought.
    Laid,
    /// By the length that is needed.
    Length,
    /// By the piece.
    Count,
}

/// Which way the right side of a material is worn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Worn {
    /// It is seen from outside the garment.
    Outside,
    /// It is seen from inside the garment, as that of a lining.
    Inside,
    /// It has none, and is used either side up.
    Either,
}

/// The id of the suit's own cloth, which every house has.
pub(super) const CLOTH: &str = "cloth";

impl Material {
    /// Returns the material of which this is known.
    pub fn new(known: Stuff) -> Self {
        Self(Arc::new(known))
    }

    /// Changes what is known of it, for this clone alone.
    pub(super) fn change(&mut self, by: impl FnOnce(&mut Stuff)) {
        by(Arc::make_mut(&mut self.0));
    }

    /// Tells whether it is a cloth of the suit: the one that all garments share, or that of one alone.
    pub fn is_cloth(&self) -> bool {
        self.id == CLOTH || self.garment.is_some()
    }

    /// Tells whether the material has a face, so that a piece of it can come out for the wrong side of the body.
    pub fn has_face(&self) -> bool {
        self.face != Worn::Either
    }

    /// Returns the cloth of one garment alone, which is in all else as this one.
    #[must_use]
    pub fn of_garment(&self, garment: &str) -> Self {
        Self::new(Stuff {
            id: format!("{}.{garment}", self.id),
            name: format!("{} of the {}", self.name, garment.replace('_', " ")),
            garment: Some(garment.to_owned()),
            ..(*self.0).clone()
        })
    }
}

impl Deref for Material {
    type Target = Stuff;

    fn deref(&self) -> &Stuff {
        &self.0
    }
}

impl PartialEq for Material {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl Eq for Material {}

impl Ord for Material {
    /// Orders materials as they are declared; the cloths of single garments follow the one they share.
    fn cmp(&self, other: &Self) -> Ordering {
        (self.rank, &self.id).cmp(&(other.rank, &other.id))
    }
}

impl PartialOrd for Material {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Writes the id, its words joined with capitals.
impl fmt::Debug for Material {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for word in self.id.split('_') {
            let mut letters = word.chars();
            if let Some(first) = letters.next() {
                write!(f, "{}{}", first.to_ascii_uppercase(), letters.as_str())?;
            }
        }
        Ok(())
    }
}

impl Serialize for Material {
    fn serialize<S: Serializer>(&self, writer: S) -> Result<S::Ok, S::Error> {
        writer.serialize_str(&self.id)
    }
}

/// The materials that a house knows, in the order in which they are declared, the cloth first.
#[derive(Debug, Clone, PartialEq)]
pub struct Materials {
    cloth: Material,
    others: Vec<Material>,
}

impl Materials {
    /// Returns a house that knows the cloth alone.
    pub(super) fn of(cloth: Material) -> Self {
        let others = Vec::new();
        Self { cloth, others }
    }

    /// Returns the suit's own cloth.
    pub fn cloth(&self) -> &Material {
        &self.cloth
    }

    /// Returns all of them, the cloth first.
    pub fn all(&self) -> impl Iterator<Item = &Material> {
        std::iter::once(&self.cloth).chain(&self.others)
    }

    /// Finds a material by its id, with spaces or underscores between its words.
    pub fn named(&self, name: &str) -> Option<&Material> {
        let id = name.replace(' ', "_");
        self.all().find(|material| material.id == id)
    }

    /// Returns every material but the cloth, to be changed.
    pub(super) fn others_mut(&mut self) -> impl Iterator<Item = &mut Material> {
        self.others.iter_mut()
    }

    /// Tells whether a word is the id of a material other than the cloth.
    pub fn is_another(&self, id: &str) -> bool {
        self.others.iter().any(|material| material.id == id)
    }

    /// Adds a material, or puts it in place of one of the same id.
    pub(super) fn put(&mut self, material: Material) {
        if material.id == CLOTH {
            self.cloth = material;
            return;
        }
        match self.others.iter_mut().find(|known| **known == material) {
            Some(known) => *known = material,
            None => self.others.push(material),
        }
    }
}
