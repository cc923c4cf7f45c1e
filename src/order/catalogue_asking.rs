//! What the garments of a catalogue ask of a client: measures to take, corrections to look for.

use super::asking::{self, Asked};
use super::besides::Besides;
use super::catalogue::Catalogue;
use super::corrections::Correction;
use super::declaring::BUILT_IN;
use super::measures::{Kind, wanted};
use super::{Measure, Order, Origin};

impl Catalogue {
    /// Returns the measures and corrections that a garment asks for besides those of every order.
    pub fn besides(&self, garment: &str) -> Option<&Besides> {
        self.besides.get(garment)
    }

    /// Gathers what some garments ask for besides; where two of them ask for one thing in two ways, the second
    /// result says so in words.
    pub(super) fn asked(&self, ordered: &[&str]) -> (Asked<'_>, Vec<String>) {
        let of = |name| Some((name, self.besides(name)?));
        Asked::of(ordered, self.garments().filter_map(of))
    }

    /// Returns the garments of the program's that some garments are measured as: of one of a workshop's own, the
    /// nearest that it is like.
    pub fn measured_as(&self, garments: &[String]) -> Vec<String> {
        let known = |name: &&String| BUILT_IN.iter().any(|(built_in, _)| built_in == name);
        let of = |name: &String| {
            self.line(name)
                .iter()
                .rev()
                .find(known)
                .unwrap_or(name)
                .clone()
        };
        garments.iter().map(of).collect()
    }

    /// Lists the measures to take for some garments, or for all where none is named: those of every order, and those
    /// that their blocks ask for besides.
    pub fn measures_for(&self, garments: &[String]) -> Vec<Kind<'_>> {
        let mut kinds: Vec<Kind> = wanted(&self.measured_as(garments))
            .into_iter()
            .copied()
            .collect();
        kinds.extend(
            self.asked_by(garments)
                .0
                .measures
                .iter()
                .map(|own| own.kind()),
        );
        kinds
    }

    /// Lists the corrections that some garments know besides those of every order, or all garments where none is named.
    pub fn corrections_for(&self, garments: &[String]) -> Vec<Correction<'_>> {
        let asked = self.asked_by(garments).0;
        asked
            .corrections
            .iter()
            .map(|own| own.correction())
            .collect()
    }

    /// Gives an order that was made for other garments what one garment asks for besides: each measure as it is
    /// derived, or in the midst of what is believed where it must be taken.
    pub fn ask_besides(&self, garment: &str, order: &mut Order) {
        let (asked, _) = self.asked(&[garment]);
        asking::complete(&mut order.measures, &asked.measures);
        for own in asked.measures.iter().filter(|own| own.required) {
            let look = |name: &str| order.measures.mm(name).unwrap_or_default() / 10.0;
            let mm = 10.0 * own.example(&look);
            let (origin, open) = (Origin::Taken, 0.0);
            let taken = Measure { mm, origin, open };
            order.measures.0.entry(own.name.clone()).or_insert(taken);
        }
        let own = asked.corrections.iter();
        order.own_corrections = own.map(|own| (*own).clone()).collect();
    }

    fn asked_by(&self, garments: &[String]) -> (Asked<'_>, Vec<String>) {
        let named: Vec<&str> = match garments.is_empty() {
            true => self.garments().collect(),
            false => garments.iter().map(String::as_str).collect(),
        };
        self.asked(&named)
    }
}
