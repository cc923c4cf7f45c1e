//! Days as an order writes them: year-month-day, bare or in quotes.

use toml::Value;
use toml::value::Datetime;

/// The years that are believed of an order: wide enough for an old book of orders, and no slip of a digit.
const YEARS: std::ops::RangeInclusive<u16> = 1900..=2099;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A fault of a date, and what to write instead.
pub(super) struct Slip {
    /// What is wrong.
    pub fault: String,
    /// What to do.
    pub help: String,
}

/// Reads a date as YYYY-MM-DD, written bare or as text.
///
/// # Errors
/// Returns what is wrong where it is no day that an order can be of.
pub(super) fn read(value: &Value) -> Result<String, Slip> {
    let (date, slip) = match value {
        Value::Datetime(date) => (Some(*date), None),
        Value::String(text) => (text.trim().parse().ok(), slip(text)),
        _ => (None, None),
    };
    let day = date
        .filter(|d: &Datetime| d.time.is_none() && d.offset.is_none())
        .and_then(|d| d.date);
    match (day, slip) {
        (Some(day), _) if YEARS.contains(&day.year) => Ok(day.to_string()),
        (Some(day), _) => Err(Slip {
            fault: format!("the year {} cannot be right", day.year),
            help: format!("it must be between {} and {}", YEARS.start(), YEARS.end()),
        }),
        (None, Some(slip)) => Err(slip),
        (None, None) => Err(Slip {
            fault: "this is not a date".to_owned(),
            help: "write it as year-month-day, such as 2026-03-02".to_owned(),
        }),
    }
}

/// Says what is wrong with three numbers that are meant as a day and are none to TOML: they do not begin with
/// the year, have no hyphens between them, or name no day of the calendar. Returns `None` for anything else.
pub(super) fn slip(written: &str) -> Option<Slip> {
    let written = written.trim();
    let parts: Vec<&str> = written.split(['.', '/', '-']).collect();
    let [first, second, third] = parts[..] else {
        return None;
    };
    let number = |part: &str| -> Option<u32> {
        let digits = part.chars().all(|c| c.is_ascii_digit());
        digits.then(|| part.parse().ok()).flatten()
    };
    let (year, month, day) = (number(first)?, number(second)?, number(third)?);
    let said = |fault: String, help: String| Some(Slip { fault, help });
    if first.len() != 4 {
        return said(
            "this date does not start with the year".to_owned(),
            "a date is written year-month-day: date = 2026-03-02".to_owned(),
        );
    }
    let Some(name) = (month as usize)
        .checked_sub(1)
        .and_then(|month| MONTHS.get(month))
    else {
        let help = match number(third) {
            Some(1..=12) => {
                format!("the month comes before the day: {year:04}-{day:02}-{month:02}")
            }
            _ => "a date is written year-month-day: date = 2026-03-02".to_owned(),
        };
        return said(format!("there is no month {month}"), help);
    };
    let last = last_day(year, month);
    if !(1..=last).contains(&day) {
        return said(
            format!("there is no {day} {name} in {year}"),
            format!("{name} {year} has {last} days"),
        );
    }
    said(
        "this is not written as a date".to_owned(),
        format!(
            "write it with hyphens, and two digits for month and day: {year:04}-{month:02}-{day:02}"
        ),
    )
}

/// Returns the last day of a month, by the Gregorian calendar.
fn last_day(year: u32, month: u32) -> u32 {
    let leaps = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 if leaps => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_are_none_are_told_from_those_written_otherwise() {
        for (written, told) in [
            ("2026-02-30", "there is no 30 February in 2026"),
            ("2026-02-29", "there is no 29 February in 2026"),
            ("2026-04-31", "there is no 31 April in 2026"),
            ("2026-01-00", "there is no 0 January in 2026"),
            ("2026-13-01", "there is no month 13"),
            ("2.3.2026", "does not start with the year"),
            ("02/03/2026", "does not start with the year"),
            ("2026-3-2", "not written as a date"),
            ("2026/03/02", "not written as a date"),
        ] {
            let slip = slip(written).expect(written);
            assert!(slip.fault.contains(told), "{written}: {}", slip.fault);
        }
        assert_eq!(
            slip("2026-02-30").unwrap().help,
            "February 2026 has 28 days"
        );
        assert_eq!(
            slip("2026-31-01").unwrap().help,
            "the month comes before the day: 2026-01-31"
        );
        for written in ["2026-03", "soon", "1-2-3-4", "2026-March-02", "--"] {
            assert!(slip(written).is_none(), "{written}");
        }
        assert_eq!(
            (last_day(2024, 2), last_day(1900, 2), last_day(2000, 2)),
            (29, 28, 29)
        );
    }
}
