//! The house's allowances and the rules of its corners.

use super::fault::PatternFault;
use crate::diagnostic::nearest;
use crate::draft::{DraftEdge, DraftPiece};
use crate::geometry::Corner;
use crate::order::{House, HouseNumber, HouseValue};

/// A reader of the house's allowances and corners, in mm.
pub(super) struct Allowances<'a> {
    house: &'a House,
    /// Greatest reach of a mitre from its corner, in widths of the wider allowance.
    pub(super) mitre_limit: f64,
}

impl<'a> Allowances<'a> {
    pub(super) fn new(house: &'a House) -> Self {
        let mitre_limit = house.value(HouseNumber::MitreLimit);
        Self { house, mitre_limit }
    }

    /// Returns the house.
    pub(super) fn house(&self) -> &House {
        self.house
    }

    /// Returns the allowances along an edge, mm, spread evenly from its start to its end.
    pub(super) fn widths(&self, key: &str) -> Result<Vec<f64>, PatternFault> {
        let name = format!("allowance.{key}");
        let centimetres = match self.house.values().get(&name) {
            Some(HouseValue::Number(cm)) => vec![*cm],
            Some(HouseValue::Along(all)) if !all.is_empty() => all.clone(),
            Some(_) => return Err(wrong(&name, "it must be a number of cm, or a list of them")),
            None => {
                let known = self
                    .house
                    .values()
                    .keys()
                    .filter_map(|k| k.strip_prefix("allowance."));
                let meant = nearest(key, known).map(str::to_owned);
                return Err(PatternFault::NoAllowance {
                    key: key.to_owned(),
                    meant,
                    edge: None,
                });
            }
        };
        Ok(centimetres.iter().map(|cm| cm * 10.0).collect())
    }

    /// Returns the allowances along an edge of a piece, mm: wider than the house's where its material frays. An edge
    /// that is cut net stays net.
    pub(super) fn along(
        &self,
        piece: &DraftPiece,
        edge: &DraftEdge,
    ) -> Result<Vec<f64>, PatternFault> {
        let frays = piece.material.frays;
        let wider = |width: f64| if width > 0.0 { width + frays } else { width };
        let widths = self.widths(&edge.allowance)?;
        Ok(widths.into_iter().map(wider).collect())
    }

    /// Returns how much of an allowance is seam where the rest is an inlay, mm; `None` where it has no inlay.
    pub(super) fn seam_of_inlay(&self, key: &str) -> Result<Option<f64>, PatternFault> {
        let name = format!("inlay.{key}");
        match self.house.values().get(&name) {
            None => Ok(None),
            Some(HouseValue::Number(cm)) if cm.is_finite() && *cm > 0.0 => Ok(Some(cm * 10.0)),
            Some(_) => Err(wrong(&name, "it must be a number of cm above 0")),
        }
    }

    /// Returns the rule for the corners of an edge's allowance.
    pub(super) fn corner(&self, key: &str) -> Result<Corner, PatternFault> {
        let own = format!("corner.{key}");
        let name = if self.house.values().contains_key(&own) {
            own.as_str()
        } else {
            "corner.default"
        };
        match self.house.values().get(name) {
            None => Ok(Corner::Mitre),
            Some(HouseValue::Word(word)) if word == "mitre" => Ok(Corner::Mitre),
            Some(HouseValue::Word(word)) if word == "square" => Ok(Corner::Square),
            Some(HouseValue::Word(word)) if word == "fold" => Ok(Corner::Mirror),
            Some(_) => Err(wrong(name, "it must be mitre, square or fold")),
        }
    }
}

fn wrong(name: &str, wanted: &str) -> PatternFault {
    PatternFault::WrongHouse {
        name: name.to_owned(),
        wanted: wanted.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_house_is_read_in_mm() {
        let house = House::built_in().unwrap();
        let allowances = Allowances::new(&house);
        assert_eq!(allowances.widths("jacket_hem").unwrap(), [45.0]);
        assert_eq!(
            allowances.widths("seat_seam").unwrap(),
            [40.0, 30.0, 20.0, 10.0]
        );
        assert_eq!(allowances.corner("jacket_hem").unwrap(), Corner::Mirror);
        assert_eq!(allowances.corner("scye").unwrap(), Corner::Mitre);
    }

    #[test]
    fn what_the_house_lacks_is_named_with_what_was_meant() {
        let house = House::built_in().unwrap();
        let fault = Allowances::new(&house).widths("jacket_hen").unwrap_err();
        assert!(fault.to_string().contains("jacket_hem"), "{fault}");
    }
}
