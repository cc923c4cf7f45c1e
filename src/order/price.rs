//! The price of cloth, and what a length of it costs.

use super::file::Written;

/// The most letters of a currency, before or after the amount.
const LONGEST: usize = 8;
/// The highest price of a metre or yard that is believed: a slip of two places in the dearest cloth.
const MOST: f64 = 1e6;

/// A price of a metre of cloth, or of a yard where the order is in inches, in whatever currency stands beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    amount: f64,
    /// What stands before and after the amount.
    currency: [String; 2],
}

impl Price {
    /// Reads a price: `85`, `"85 EUR"`, `"£ 62.50"`.
    ///
    /// # Errors
    /// Returns what is wrong with one that is none.
    pub(super) fn read(written: &Written) -> Result<Self, String> {
        let (amount, currency) = match written {
            Written::Number(amount) => (*amount, [String::new(), String::new()]),
            Written::Text(text) => {
                let digit = |c: char| c.is_ascii_digit();
                let (from, to) = (text.find(digit), text.rfind(digit));
                let (from, to) = from.zip(to).ok_or("a price has an amount: \"85 EUR\"")?;
                let parts = (text.get(..from), text.get(from..=to), text.get(to + 1..));
                let (Some(before), Some(amount), Some(after)) = parts else {
                    return Err("a price has an amount: \"85 EUR\"".to_owned());
                };
                let amount = amount.replace(',', ".").parse();
                let amount = amount.map_err(|_| format!("`{text}` is not a price: \"85 EUR\""))?;
                (
                    amount,
                    [before, after].map(|part| part.trim_start().to_owned()),
                )
            }
        };
        if currency
            .iter()
            .any(|part| part.chars().count() > LONGEST || part.contains('-'))
        {
            return Err("a price is an amount and a currency: \"85 EUR\"".to_owned());
        }
        if !(0.0..=MOST).contains(&amount) {
            return Err(format!("{amount} is no price of a metre of cloth"));
        }
        Ok(Self { amount, currency })
    }

    /// Writes what so many metres, or yards, cost.
    pub fn of(&self, count: f64) -> String {
        let [before, after] = &self.currency;
        let gap = |part: &str| {
            if part.chars().all(char::is_alphabetic) && !part.is_empty() {
                " "
            } else {
                ""
            }
        };
        let (before, after) = (before.trim(), after.trim());
        let amount = (100.0 * self.amount * count).round() / 100.0;
        format!("{before}{}{amount:.2}{}{after}", gap(before), gap(after))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_are_read_with_their_currency() {
        let cost =
            |text: &str| Price::read(&Written::Text(text.to_owned())).map(|price| price.of(3.1));
        assert_eq!(cost("85 EUR").unwrap(), "263.50 EUR");
        assert_eq!(cost("£ 62.50").unwrap(), "£193.75");
        assert_eq!(cost("CHF 90,5").unwrap(), "CHF 280.55");
        assert_eq!(
            Price::read(&Written::Number(85.0)).unwrap().of(2.0),
            "170.00"
        );
        for text in ["", "EUR", "-85", "1.2.3", "85 pieces of eight", "9999999"] {
            assert!(cost(text).is_err(), "{text}");
        }
    }
}
