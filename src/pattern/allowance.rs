//! The house's allowances and the rules of its corners.

use super::fault::PatternFault;
use crate::diagnostic::nearest;
use crate::geometry::Corner;
use crate::order::{House, HouseValue};

/// A reader of the house's allowances and corners, in mm.
pub(super) struct Allowances<'a> {
    house: &'a House,
    /// Greatest reach of a mitre from its corner, in widths of the wider allowance.
    pub(super) mitre_limit: f64,
}

/// Limit of mitres where the house gives none (common practice, no source).
const MITRE_LIMIT: f64 = 4.0;

impl<'a> Allowances<'a> {
    pub(super) fn new(house: &'a House) -> Result<Self, PatternFault> {
        let mitre_limit = match house.0.get("mitre.limit") {
            None => MITRE_LIMIT,
            Some(HouseValue::Number(n)) if *n >= 1.0 && n.is_finite() => *n,
            Some(_) => return Err(wrong("mitre.limit", "it is a number of at least 1")),
        };
        Ok(Self { house, mitre_limit })
    }

    /// Returns the house.
    pub(super) fn house(&self) -> &House {
        self.house
    }

    /// Returns the allowances along an edge, mm, spread evenly from its start to its end.
    pub(super) fn widths(&self, key: &str) -> Result<Vec<f64>, PatternFault> {
        let name = format!("allowance.{key}");
        let centimetres = match self.house.0.get(&name) {
            Some(HouseValue::Number(cm)) => vec![*cm],
            Some(HouseValue::Along(all)) if !all.is_empty() => all.clone(),
            Some(_) => return Err(wrong(&name, "it is a number of cm, or a list of them")),
            None => {
                let known = self
                    .house
                    .0
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
        if centimetres.iter().any(|cm| !cm.is_finite() || *cm < 0.0) {
            return Err(wrong(&name, "an allowance cannot be negative"));
        }
        Ok(centimetres.iter().map(|cm| cm * 10.0).collect())
    }

    /// Returns how much of an allowance is seam where the rest is an inlay, mm; `None` where it has no inlay.
    pub(super) fn seam_of_inlay(&self, key: &str) -> Result<Option<f64>, PatternFault> {
        let name = format!("inlay.{key}");
        match self.house.0.get(&name) {
            None => Ok(None),
            Some(HouseValue::Number(cm)) if cm.is_finite() && *cm > 0.0 => Ok(Some(cm * 10.0)),
            Some(_) => Err(wrong(&name, "it is a number of cm above 0")),
        }
    }

    /// Returns the rule for the corners of an edge's allowance.
    pub(super) fn corner(&self, key: &str) -> Result<Corner, PatternFault> {
        let own = format!("corner.{key}");
        let name = if self.house.0.contains_key(&own) {
            own.as_str()
        } else {
            "corner.default"
        };
        match self.house.0.get(name) {
            None => Ok(Corner::Mitre),
            Some(HouseValue::Word(word)) if word == "mitre" => Ok(Corner::Mitre),
            Some(HouseValue::Word(word)) if word == "square" => Ok(Corner::Square),
            Some(HouseValue::Word(word)) if word == "fold" => Ok(Corner::Mirror),
            Some(_) => Err(wrong(name, "it is one of the words mitre, square, fold")),
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
        let allowances = Allowances::new(&house).unwrap();
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
        let fault = Allowances::new(&house)
            .unwrap()
            .widths("jacket_hen")
            .unwrap_err();
        assert!(fault.to_string().contains("jacket_hem"), "{fault}");
        let mut odd = house;
        odd.0
            .insert("corner.scye".into(), HouseValue::Word("round".into()));
        odd.0
            .insert("allowance.scye".into(), HouseValue::Number(-1.0));
        let allowances = Allowances::new(&odd).unwrap();
        assert!(allowances.corner("scye").is_err() && allowances.widths("scye").is_err());
        odd.0.insert("mitre.limit".into(), HouseValue::Number(0.0));
        assert!(Allowances::new(&odd).is_err());
    }
}
